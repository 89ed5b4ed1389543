//! Texts in plain ASCII, for files that hold nothing else: accents and dots are left out, fractions
//! are written with a stroke, and what has no plain form becomes a question mark.

use crate::face::printable;

/// Latin letters and what is left of them: the base letters of Unicode's own decompositions (UAX 15),
/// and for letters that have none the usual way to write them without.
const PLAIN: [(&str, &str); 69] = [
    ("A", "ÀÁÂÃÄÅĀĂĄǍǞǠǺȀȂȦḀẠẢẤẦẨẪẬẮẰẲẴẶȺ"),
    ("AE", "ÆǢǼ"),
    ("B", "ḂḄḆɃ"),
    ("C", "ÇĆĈĊČḈȻ"),
    ("D", "ĎḊḌḎḐḒÐĐƉ"),
    ("DZ", "ǄǱ"),
    ("Dz", "ǅǲ"),
    ("E", "ÈÉÊËĒĔĖĘĚȄȆȨḔḖḘḚḜẸẺẼẾỀỂỄỆƎƏƐ"),
    ("F", "Ḟ"),
    ("G", "ĜĞĠĢǦǴḠǤ"),
    ("H", "ĤȞḢḤḦḨḪĦ"),
    ("I", "ÌÍÎÏĨĪĬĮİǏȈȊḬḮỈỊ"),
    ("IJ", "Ĳ"),
    ("J", "Ĵ"),
    ("K", "ĶǨḰḲḴ"),
    ("L", "ĹĻĽḶḸḺḼŁ"),
    ("LJ", "Ǉ"),
    ("Lj", "ǈ"),
    ("M", "ḾṀṂ"),
    ("N", "ÑŃŅŇǸṄṆṈṊŊ"),
    ("NJ", "Ǌ"),
    ("Nj", "ǋ"),
    ("O", "ÒÓÔÕÖŌŎŐƠǑǪǬȌȎȪȬȮȰṌṎṐṒỌỎỐỒỔỖỘỚỜỞỠỢØǾ"),
    ("OE", "Œ"),
    ("P", "ṔṖ"),
    ("R", "ŔŖŘȐȒṘṚṜṞ"),
    ("S", "ŚŜŞŠȘṠṢṤṦṨ"),
    ("SS", "ẞ"),
    ("T", "ŢŤȚṪṬṮṰŦ"),
    ("TH", "Þ"),
    ("U", "ÙÚÛÜŨŪŬŮŰŲƯǓǕǗǙǛȔȖṲṴṶṸṺỤỦỨỪỬỮỰɄ"),
    ("V", "ṼṾ"),
    ("W", "ŴẀẂẄẆẈ"),
    ("X", "ẊẌ"),
    ("Y", "ÝŶŸȲẎỲỴỶỸɎ"),
    ("Z", "ŹŻŽẐẒẔƵ"),
    ("a", "àáâãäåāăąǎǟǡǻȁȃȧḁạảấầẩẫậắằẳẵặ"),
    ("ae", "æǣǽ"),
    ("b", "ḃḅḇƀ"),
    ("c", "çćĉċčḉȼ"),
    ("d", "ďḋḍḏḑḓðđ"),
    ("dz", "ǆǳ"),
    ("e", "èéêëēĕėęěȅȇȩḕḗḙḛḝẹẻẽếềểễệǝ"),
    ("f", "ḟƒ"),
    ("g", "ĝğġģǧǵḡǥ"),
    ("h", "ĥȟḣḥḧḩḫẖħ"),
    ("i", "ìíîïĩīĭįǐȉȋḭḯỉịı"),
    ("ij", "ĳ"),
    ("j", "ĵǰȷ"),
    ("k", "ķǩḱḳḵĸ"),
    ("l", "ĺļľḷḹḻḽłƚ"),
    ("lj", "ǉ"),
    ("m", "ḿṁṃ"),
    ("n", "ñńņňǹṅṇṉṋŋ"),
    ("nj", "ǌ"),
    ("o", "òóôõöōŏőơǒǫǭȍȏȫȭȯȱṍṏṑṓọỏốồổỗộớờởỡợøǿ"),
    ("oe", "œ"),
    ("p", "ṕṗ"),
    ("r", "ŕŗřȑȓṙṛṝṟ"),
    ("s", "śŝşšſșṡṣṥṧṩẛ"),
    ("ss", "ß"),
    ("t", "ţťțṫṭṯṱẗŧ"),
    ("th", "þ"),
    ("u", "ùúûüũūŭůűųưǔǖǘǚǜȕȗṳṵṷṹṻụủứừửữự"),
    ("v", "ṽṿ"),
    ("w", "ŵẁẃẅẇẉẘ"),
    ("x", "ẋẍ"),
    ("y", "ýÿŷȳẏẙỳỵỷỹɏ"),
    ("z", "źżžẑẓẕƶ"),
];

/// Signs that a name or a note may hold.
const SIGNS: [(&str, &str); 15] = [
    ("'", "‘’‚‛′ʼ´`"),
    ("\"", "“”„‟″«»"),
    ("-", "‐‑‒–—―−·•"),
    (" ", "\u{a0}\u{2009}\u{200a}\u{202f}"),
    ("...", "…"),
    ("/", "⁄÷"),
    ("x", "×"),
    (" deg", "°"),
    ("1/2", "½"),
    ("1/4", "¼"),
    ("3/4", "¾"),
    ("1/8", "⅛"),
    ("3/8", "⅜"),
    ("5/8", "⅝"),
    ("7/8", "⅞"),
];

/// The text on one line, in printable ASCII only.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in printable(text).chars() {
        if (' '..='~').contains(&c) {
            out.push(c);
        } else if is_mark(c) {
        } else if let Some((p, _)) = PLAIN.iter().chain(&SIGNS).find(|(_, all)| all.contains(c)) {
            // `9½` is nine and a half.
            if p.contains('/') && p.len() > 1 && out.ends_with(|d: char| d.is_ascii_digit()) {
                out.push(' ');
            }
            out.push_str(p);
        } else if !out.ends_with('?') {
            out.push('?');
        }
    }
    out.trim().to_owned()
}

/// A mark over or under the letter before it.
const fn is_mark(c: char) -> bool {
    matches!(c, '\u{300}'..='\u{36f}' | '\u{1ab0}'..='\u{1aff}' | '\u{1dc0}'..='\u{1dff}' | '\u{20d0}'..='\u{20ff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    // Catches letters with accents, dots below or strokes that turn into question marks, whether
    // written in one sign or with marks of their own.
    #[test]
    fn letters_keep_their_base() {
        for (given, wanted) in [
            ("Nguyễn Thị Ánh Ế", "Nguyen Thi Anh E"),
            ("Ọlátúnjí Ẹ̀bùn Ṣadé", "Olatunji Ebun Sade"),
            ("Žofie Łucja Ő Đorđe Çağla", "Zofie Lucja O Dorde Cagla"),
            ("A\u{323}\u{301}", "A"),
            ("Größe, Ærø, Cœur", "Grosse, AEro, Coeur"),
            ("9½ in – “side”", "9 1/2 in - \"side\""),
            ("90° × 2…", "90 deg x 2..."),
        ] {
            assert_eq!(plain(given), wanted);
        }
    }

    // Catches line ends, control signs and other scripts reaching a file of ASCII.
    #[test]
    fn nothing_but_printable_ascii_comes_out() {
        let all: String = ('\0'..'\u{3000}').collect();
        let out = plain(&format!("{all}👗\r\n0\nEOF"));
        assert!(out.bytes().all(|b| (32..127).contains(&b)), "{out}");
        assert_eq!(plain("שלום"), "?");
        assert_eq!(plain("\r\n\u{0}"), "");
    }

    // Catches a letter in two rows, of which only the first would count.
    #[test]
    fn every_letter_has_one_row() {
        let mut all: Vec<char> = PLAIN
            .iter()
            .chain(&SIGNS)
            .flat_map(|(_, l)| l.chars())
            .collect();
        let n = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), n);
    }
}
