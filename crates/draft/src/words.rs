//! A line of a method cut into words, numbers, texts and signs.

use crate::note::{Note, Span};

/// The words that join and may not stand inside a name.
pub const JOINING: [&str; 25] = [
    "of",
    "and",
    "or",
    "not",
    "is",
    "from",
    "by",
    "at",
    "with",
    "if",
    "when",
    "then",
    "between",
    "toward",
    "over",
    "about",
    "meets",
    "above",
    "below",
    "for",
    "into",
    "on",
    "number",
    "so",
    "otherwise",
];

/// Joining words with which a name may begin, when a plain word follows.
pub const MAY_BEGIN: [&str; 5] = ["above", "below", "over", "about", "between"];

/// Whether a word joins and so ends a name.
pub fn joins(word: &str) -> bool {
    // `so` and `otherwise` are words of their own only in their own places; names may hold them.
    JOINING[..23].contains(&word)
}

/// A unit written after a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measured {
    /// Inches.
    Inch,
    /// Centimetres.
    Cm,
    /// Millimetres.
    Mm,
    /// Degrees.
    Degree,
    /// Of a hundred.
    Percent,
}

/// What a token is.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// A word, folded to small letters.
    Word(String),
    /// A number with its unit, if one stood directly after it; and whether it is a whole figure.
    Number {
        /// Its value in that unit.
        value: f64,
        /// The unit.
        unit: Option<Measured>,
        /// Written as a plain whole figure.
        whole: bool,
    },
    /// A text between quotation marks.
    Text(String),
    /// A sign.
    Sign(&'static str),
    /// A sign that the language does not know. It is noted, and kept for printing alone.
    Unknown,
}

/// A token and where it stood.
#[derive(Clone, Debug, PartialEq)]
pub struct Token {
    /// What it is.
    pub kind: Kind,
    /// Where it stood.
    pub span: Span,
    /// As it was written.
    pub raw: String,
}

impl Token {
    /// Whether it is this word.
    pub fn is_word(&self, word: &str) -> bool {
        matches!(&self.kind, Kind::Word(w) if w == word)
    }

    /// Whether it is this sign.
    pub fn is_sign(&self, sign: &str) -> bool {
        matches!(&self.kind, Kind::Sign(s) if *s == sign)
    }
}

/// One line: its tokens and what stood behind `--`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line {
    /// Its number, from 1.
    pub number: u32,
    /// The tokens, without `the`.
    pub tokens: Vec<Token>,
    /// The same with `the` and with unknown signs, for printing.
    pub all: Vec<Token>,
    /// The private remark behind `--`.
    pub remark: Option<String>,
    /// The free text of a `why:` line.
    pub why: Option<String>,
    /// It was noted that its words can't be told apart well, so nothing else is noted on it.
    pub torn: bool,
}

const SIGNS: [&str; 14] = [
    "<=", ">=", ",", ":", "|", "(", ")", "+", "-", "*", "/", "<", ">", "=",
];

/// The ready-made fractions.
const READY: [(char, f64); 18] = [
    ('½', 1.0 / 2.0),
    ('¼', 1.0 / 4.0),
    ('¾', 3.0 / 4.0),
    ('⅛', 1.0 / 8.0),
    ('⅜', 3.0 / 8.0),
    ('⅝', 5.0 / 8.0),
    ('⅞', 7.0 / 8.0),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('⅙', 1.0 / 6.0),
    ('⅚', 5.0 / 6.0),
    ('⅕', 1.0 / 5.0),
    ('⅖', 2.0 / 5.0),
    ('⅗', 3.0 / 5.0),
    ('⅘', 4.0 / 5.0),
    ('⅐', 1.0 / 7.0),
    ('⅑', 1.0 / 9.0),
    ('⅒', 1.0 / 10.0),
];

/// Cuts a text into lines of tokens. Never fails: an unknown sign is noted and left out.
pub fn lines(text: &str, notes: &mut Vec<Note>) -> Vec<Line> {
    let mut out = Vec::new();
    for (i, source) in sources(text).enumerate() {
        if i >= MOST_LINES {
            notes.push(
                Note::new(
                    at(number_of(i), 1, 1),
                    "The method is longer than a method may be.",
                )
                .hint(format!("Keep it under {MOST_LINES} lines.")),
            );
            break;
        }
        out.push(line(number_of(i), source, notes));
    }
    out
}

/// A blank, or the mark without ink that some programs set before a text.
fn is_blank(c: char) -> bool {
    c.is_whitespace() || c == '\u{feff}'
}

/// Characters with one blank where there were several.
fn one_blank(chars: &[char]) -> String {
    let said: String = chars.iter().collect();
    let words: Vec<&str> = said.split(is_blank).filter(|w| !w.is_empty()).collect();
    words.join(" ")
}

/// The lines of a text as they stand.
pub(crate) fn sources(text: &str) -> impl Iterator<Item = &str> {
    text.lines().map(|line| line.trim_end_matches('\r'))
}

/// More lines than any method needs.
pub(crate) const MOST_LINES: usize = 5000;
/// More characters than any line needs.
pub(crate) const MOST_CHARACTERS: usize = 2000;

fn number_of(i: usize) -> u32 {
    u32::try_from(i + 1).unwrap_or(u32::MAX)
}

fn at(line: u32, column: usize, width: usize) -> Span {
    Span {
        line,
        column: u32::try_from(column).unwrap_or(u32::MAX),
        width: u32::try_from(width.max(1)).unwrap_or(u32::MAX),
    }
}

fn line(number: u32, source: &str, notes: &mut Vec<Note>) -> Line {
    let mut chars: Vec<char> = source.chars().collect();
    if chars.len() > MOST_CHARACTERS {
        notes.push(
            Note::new(at(number, MOST_CHARACTERS, 1), "This line is too long.")
                .hint("Break it after a comma."),
        );
        chars.truncate(MOST_CHARACTERS);
    }
    let mut out = Line {
        number,
        ..Line::default()
    };
    // `why:` takes the rest of the line as it is.
    let lead = chars.iter().take_while(|c| is_blank(**c)).count();
    let word: String = chars[lead..]
        .iter()
        .take_while(|c| c.is_alphabetic())
        .collect();
    if word.eq_ignore_ascii_case("why") {
        let after = lead + 3;
        let blanks = chars[after..].iter().take_while(|c| is_blank(**c)).count();
        if chars.get(after + blanks) == Some(&':') {
            let said: String = chars[after + blanks + 1..].iter().collect();
            out.why = Some(said.trim().to_owned());
            out.all.push(Token {
                kind: Kind::Word("why".into()),
                span: at(number, lead + 1, 3),
                raw: word,
            });
            return out;
        }
    }
    let before = notes.len();
    let mut i = 0;
    while i < chars.len() {
        let c = chars[i];
        if is_blank(c) {
            i += 1;
            continue;
        }
        if c == '-' && chars.get(i + 1) == Some(&'-') {
            let said: String = chars[i + 2..].iter().collect();
            out.remark = Some(said.trim().to_owned());
            break;
        }
        let start = i;
        let kind = if let Some((kind, next)) =
            number_token(&chars, i, out.all.iter().rfind(|t| t.kind != Kind::Unknown))
        {
            i = next;
            if chars[start..i].contains(&',') {
                let said = one_blank(&chars[start..i]);
                notes.push(
                    Note::new(
                        at(number, start + 1, i - start),
                        format!("`{said}` holds a comma, and a comma parts the pieces of a line."),
                    )
                    .hint(format!("I read it as `{}`.", said.replace(',', "."))),
                );
            }
            kind
        } else if c.is_alphabetic() {
            i += 1;
            while i < chars.len() {
                let inner = matches!(chars[i], '-' | '\'' | '’')
                    && chars.get(i + 1).is_some_and(|n| n.is_alphabetic())
                    && chars.get(i + 1) != Some(&'-');
                if chars[i].is_alphabetic() || is_mark(chars[i]) || inner || chars[i] == '\'' {
                    i += 1;
                } else {
                    break;
                }
            }
            Kind::Word(chars[start..i].iter().collect::<String>().to_lowercase())
        } else if let Some(close) = in_single_quotes(&chars, i) {
            i = close + 1;
            Kind::Text(chars[start + 1..close].iter().collect())
        } else if c == ';' {
            i += 1;
            notes.push(
                Note::new(at(number, start + 1, 1), "I don't know the sign `;`.")
                    .hint("I read it as a comma."),
            );
            Kind::Sign(",")
        } else if matches!(c, '"' | '“' | '”' | '„' | '«' | '»') {
            i += 1;
            while i < chars.len() && !matches!(chars[i], '"' | '“' | '”' | '«' | '»') {
                i += 1;
            }
            let mut said: String = chars[start + 1..i].iter().collect();
            if i < chars.len() {
                i += 1;
            } else {
                said.truncate(said.trim_end().len());
                out.torn = true;
                notes.truncate(before);
                notes.push(
                    Note::new(at(number, start + 1, 1), "This text is not closed.")
                        .hint("Put `\"` at its end."),
                );
            }
            Kind::Text(said)
        } else if let Some(sign) = sign_at(&chars, i) {
            i += if matches!(c, '≤' | '≥' | '−' | '–' | '×' | '÷') {
                1
            } else {
                sign.len()
            };
            Kind::Sign(sign)
        } else {
            i += 1;
            if c == '%' {
                out.torn = true;
                notes.push(
                    Note::new(
                        at(number, start + 1, 1),
                        "No figure stands before this `%`.",
                    )
                    .hint("Write `40 %`."),
                );
                out.all.push(Token {
                    kind: Kind::Unknown,
                    span: at(number, start + 1, 1),
                    raw: c.to_string(),
                });
                continue;
            }
            let shown = if c.is_control() || is_hidden(c) {
                "a hidden sign".to_owned()
            } else {
                format!("the sign `{c}`")
            };
            notes.push(
                Note::new(at(number, start + 1, 1), format!("I don't know {shown}."))
                    .hint("I left it out."),
            );
            out.all.push(Token {
                kind: Kind::Unknown,
                span: at(number, start + 1, 1),
                raw: c.to_string(),
            });
            continue;
        };
        let mut raw: String = chars[start..i].iter().collect();
        if matches!(kind, Kind::Number { .. }) {
            raw = one_blank(&chars[start..i]);
        }
        raw.truncate(raw.trim_end().len());
        let token = Token {
            kind,
            span: at(number, start + 1, i - start),
            raw,
        };
        if !token.is_word("the") {
            out.tokens.push(token.clone());
        }
        out.all.push(token);
    }
    out
}

/// Combining marks belong to the letter before them.
fn is_mark(c: char) -> bool {
    ('\u{300}'..='\u{36f}').contains(&c)
}

/// The place of the closing single quotation mark of a text that opens here. An apostrophe inside a
/// word closes nothing.
fn in_single_quotes(chars: &[char], i: usize) -> Option<usize> {
    let opens = matches!(chars.get(i), Some('\'' | '‘' | '‚'))
        && chars.get(i + 1).is_some_and(|c| c.is_alphanumeric());
    if !opens {
        return None;
    }
    (i + 1..chars.len()).find(|&k| {
        matches!(chars[k], '\'' | '’' | '‘')
            && !chars[k - 1].is_whitespace()
            && chars.get(k + 1).is_none_or(|c| !c.is_alphabetic())
    })
}

/// Signs without ink, which come along when text is copied from elsewhere.
fn is_hidden(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{ad}')
}

fn sign_at(chars: &[char], i: usize) -> Option<&'static str> {
    match chars[i] {
        '≤' => return Some("<="),
        '≥' => return Some(">="),
        '−' | '–' => return Some("-"),
        '×' => return Some("*"),
        '÷' => return Some("/"),
        _ => {}
    }
    SIGNS.into_iter().find(|s| {
        s.chars()
            .enumerate()
            .all(|(k, c)| chars.get(i + k) == Some(&c))
    })
}

/// A number with all that belongs to it: `2 1/2 in`, `3/8`, `2.5 cm`, `27½`, `40 %`.
fn number_token(chars: &[char], start: usize, before: Option<&Token>) -> Option<(Kind, usize)> {
    let mut i = start;
    let mut whole = true;
    let mut value;
    if let Some(part) = ready(chars, i) {
        value = part;
        whole = false;
        i += 1;
    } else {
        let (figure, next, plain) = figure(chars, i)?;
        i = next;
        value = figure;
        whole &= plain;
        if let Some((below, next)) = over(chars, i).filter(|_| plain) {
            value /= below;
            whole = false;
            i = next;
        } else if plain {
            let blanks = chars[i..].iter().take_while(|c| is_blank(**c)).count();
            if let Some(part) = ready(chars, i + blanks) {
                value += part;
                whole = false;
                i += blanks + 1;
            } else if blanks > 0
                && let Some((above, next, true)) = self::figure(chars, i + blanks)
                && let Some((below, next)) = over(chars, next)
            {
                value += above / below;
                whole = false;
                i = next;
            }
        }
    }
    if !value.is_finite() {
        value = 0.0;
    }
    let mut unit = None;
    if !before.is_some_and(|t| t.is_word("number")) {
        let blanks = chars[i..].iter().take_while(|c| is_blank(**c)).count();
        let from = i + blanks;
        if chars.get(from) == Some(&'%') {
            unit = Some(Measured::Percent);
            i = from + 1;
        } else if chars.get(from) == Some(&'°') {
            unit = Some(Measured::Degree);
            i = from + 1;
        } else if matches!(chars.get(i), Some('"' | '”' | '″')) {
            // No text begins so close behind a figure: these are the marks for inches.
            unit = Some(Measured::Inch);
            i += 1;
        } else {
            let word: String = chars
                .get(from..)
                .unwrap_or(&[])
                .iter()
                .take_while(|c| c.is_alphabetic())
                .collect();
            unit = match word.to_lowercase().as_str() {
                "in" | "inch" | "inches" => Some(Measured::Inch),
                "cm" => Some(Measured::Cm),
                "mm" => Some(Measured::Mm),
                "deg" | "degree" | "degrees" => Some(Measured::Degree),
                _ => None,
            };
            if unit.is_some() {
                i = from + word.chars().count();
            }
        }
    }
    Some((Kind::Number { value, unit, whole }, i))
}

fn ready(chars: &[char], i: usize) -> Option<f64> {
    let c = chars.get(i)?;
    READY.iter().find(|(r, _)| r == c).map(|(_, v)| *v)
}

/// Figures, perhaps with a point; and whether they are plain whole figures.
fn figure(chars: &[char], start: usize) -> Option<(f64, usize, bool)> {
    let digits = chars
        .get(start..)?
        .iter()
        .take_while(|c| c.is_ascii_digit())
        .count();
    let mut i = start + digits;
    let figure_at = |i: usize| chars.get(i).is_some_and(char::is_ascii_digit);
    // `2,5` without a blank is a decimal as it is written in other lands; the reader says so.
    let point = match chars.get(i) {
        Some('.') => figure_at(i + 1),
        Some(',') => digits > 0 && figure_at(i + 1),
        _ => false,
    };
    if digits == 0 && !point {
        return None;
    }
    if point {
        i += 1 + chars[i + 1..]
            .iter()
            .take_while(|c| c.is_ascii_digit())
            .count();
    }
    let said: String = chars[start..i].iter().collect();
    let value = said.replace(',', ".").parse::<f64>().ok()?;
    Some((value, i, !point))
}

/// `/8` directly behind a figure.
fn over(chars: &[char], i: usize) -> Option<(f64, usize)> {
    if !matches!(chars.get(i), Some('/' | '⁄')) {
        return None;
    }
    let (below, next, plain) = figure(chars, i + 1)?;
    (plain && below > 0.0).then_some((below, next))
}
