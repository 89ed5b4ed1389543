//! Letters: fractions, columns of figures, line breaks.

use super::*;

fn wide(lines: &[Set]) -> f64 {
    lines
        .iter()
        .filter_map(|l| l.last())
        .map(|(x, w)| x + w.width)
        .fold(0.0, f64::max)
}

// Catches a date or a ratio drawn as a fraction, and a fraction left as plain figures.
#[test]
fn fractions_are_told_from_other_strokes() {
    let fractions = |t: &str| {
        runs(t)
            .iter()
            .filter(|r| matches!(r, Run::Fraction(..)))
            .count()
    };
    for (text, n) in [
        ("7 1/2 in", 1),
        ("1/32", 1),
        ("A is 3/4 down, B 13/16 up", 2),
        ("3/7/2026", 0),
        ("and/or", 0),
        ("9/8", 0),
        ("A1/2", 0),
        ("1/2b", 0),
        ("order 12/345", 0),
        ("0/8", 0),
    ] {
        assert_eq!(fractions(text), n, "{text}");
    }
}

// Catches a fraction whose figures are too small to read: 0.57 em (look of the paper).
#[test]
fn a_fraction_s_figures_stand_over_half_an_em() {
    let em = 11.0 * MM_PER_POINT;
    let letters = set("7 1/2", 11.0, false);
    let small: Vec<&Glyph> = letters
        .glyphs
        .iter()
        .filter(|g| g.size > 11.0 * 1.2)
        .collect();
    assert_eq!(small.len(), 2);
    for g in small {
        let b = g.face.bounds(g.id).unwrap();
        let tall = f64::from(b.y_max - b.y_min) / 1000.0 * g.size * MM_PER_POINT;
        assert!(tall / em > 0.55 && tall / em < 0.6, "{}", tall / em);
    }
    // The text stays what it was, for whoever copies it.
    let text: String = letters.glyphs.iter().map(|g| g.text.as_str()).collect();
    assert!(
        text.starts_with('7') && text.ends_with("1\u{2044}2"),
        "{text}"
    );
}

// Catches 9, 9 1/8 and 1/8 misread in a column.
#[test]
fn figures_end_and_begin_at_the_tab() {
    let pair = |a: &str, b: &str| Some((a.to_owned(), b.to_owned()));
    assert_eq!(figures("9"), pair("9", ""));
    assert_eq!(figures("9 1/8"), pair("9", "1/8"));
    assert_eq!(figures("1/8"), pair("", "1/8"));
    assert_eq!(figures("-1 1/4"), pair("\u{2013}1", "1/4"));
    assert_eq!(figures("-1/4"), pair("\u{2013}", "1/4"));
    assert_eq!(figures("22.5"), pair("22.5", ""));
    assert_eq!(figures("22,5"), pair("22,5", ""));
    assert_eq!(figures("centre back"), None);
    assert_eq!(figures("9 in"), None);
    assert_eq!(figures(""), None);
}

// Catches a line wider than its column, a number torn from its fraction, and a word that never ends.
#[test]
fn paragraphs_keep_their_width_and_their_numbers() {
    let text = "Mark the side waist 8 1/2 in across and raise it to 1/2 in, so that it agrees. ";
    let long = "w".repeat(500);
    let spans = [
        Span::bold("1"),
        Span::plain(text.repeat(4)),
        Span::plain(long),
    ];
    for width in [30.0, 50.0, 88.0, 186.0] {
        let lines = paragraph(&spans, 11.0, width);
        assert!(wide(&lines) <= width + 0.3, "{width}: {}", wide(&lines));
        for line in &lines {
            let said: String = line.iter().map(|(_, w)| w.text.as_str()).collect();
            assert!(!said.ends_with('8') && !said.starts_with("in "), "{said}");
        }
    }
}

// Catches control characters, directions and line ends that would reach the paper.
#[test]
fn only_letters_are_printed() {
    assert_eq!(printable("a\r\n\tb\u{0}\u{202e}c\u{200d}"), "a bc");
    assert_eq!(
        printable("a\u{302}\u{323}\u{301}\u{301}b"),
        "a\u{302}\u{323}b"
    );
    assert_eq!(set("", 11.0, false).glyphs.len(), 0);
    assert_eq!(set("\n", 11.0, false), set(" ", 11.0, false));
}

// Catches boxes of missing marks piled on their letter, or thrown out of the line.
#[test]
fn a_missing_mark_is_a_box_in_the_line() {
    let letters = set("\u{591}A\u{591}", 11.0, false);
    assert_eq!(letters.glyphs.len(), 3);
    assert!(letters.glyphs.windows(2).all(|w| w[1].x > w[0].x + 1.0));
    assert!(
        letters.ink.y1 < 0.1 && letters.ink.y0 > -3.0,
        "{:?}",
        letters.ink
    );
}

// Catches a text cut short too early or too late.
#[test]
fn what_is_too_long_ends_in_dots() {
    let whole = "Demo client, invented";
    assert_eq!(shortened(whole, 11.0, false, 200.0).text, whole);
    for width in [0.0, 5.0, 10.0, 20.0, 30.0] {
        let short = shortened(whole, 11.0, false, width);
        assert!(short.text.ends_with('\u{2026}'));
        assert!(short.width <= width.max(4.0), "{} {width}", short.width);
    }
}

/// Letters of the languages that the sheets are to be read in, small and large.
///
/// From memory of the alphabets: Vietnamese (twelve vowels with six tones, đ), Hungarian, Czech,
/// Slovak, Polish, Croatian, Slovene, Romanian (with commas below and, for old texts, cedillas),
/// Turkish, Latvian, Lithuanian, Estonian, German, French, the Nordic languages; and all of Latin
/// Extended-A (Unicode, U+0100 to U+017F).
fn alphabets() -> String {
    let mut all = String::from(
        "áéíóöőúüű áčďéěíňóřšťúůýž äĺľŕô ąćęłńóśźż čćđšž âăîșțşţ çğıİöşü āčēģīķļņšūž ąčęėįšųūž \
         õäöü ßẞ àâæçéèêëîïôœùûüÿ åæøäö ðþ",
    );
    for vowel in "aăâeêioôơuưy".chars() {
        all.push(vowel);
        for tone in ['\u{300}', '\u{301}', '\u{309}', '\u{303}', '\u{323}'] {
            all.push(vowel);
            all.push(tone);
        }
    }
    all.push('đ');
    all.extend((0x100..=0x17f).filter_map(char::from_u32));
    let large = all.replace('ß', "").to_uppercase();
    all + &large
}

// Catches a font that was cut down too far: a letter that would be printed as a box.
#[test]
fn both_faces_have_the_letters_of_europe_and_of_vietnamese() {
    let all = alphabets();
    assert!(all.chars().count() > 500);
    for bold in [false, true] {
        for letters in all.split(' ') {
            let set = set(letters, 11.0, bold);
            let boxes = set.glyphs.iter().filter(|g| g.id == 0).count();
            assert_eq!(boxes, 0, "{letters}, bold {bold}");
        }
    }
    assert!(!lacks("Nguyễn Thị Ánh, Žofie Łucja Ő, 9 1/8 in"));
    assert!(lacks("שלום") && lacks("👗"));
}

// Catches a line end between a whole number and its fraction, also where the unit is held to it already.
#[test]
fn a_number_is_never_parted_from_its_fraction() {
    for text in [
        "from 38 3/4\u{a0}in below",
        "from 38 3/4 in, below",
        "so 5 1/8.",
    ] {
        let kept = kept_together(text);
        let figure = kept
            .chars()
            .position(|c| c.is_ascii_digit())
            .unwrap_or_default();
        let rest: String = kept.chars().skip(figure).collect();
        let number = rest.split(' ').next().unwrap_or_default();
        assert!(number.contains('/'), "{kept:?}");
    }
    assert_eq!(kept_together("38 parts in all"), "38 parts in all");
}
