//! Reading a length in any of the ways in which it is written down.

use core::fmt;

use super::Unit;
use crate::length::{Length, MM_PER_INCH};

/// Why a text is not a length, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadFault {
    /// What is wrong, in a sentence.
    pub says: String,
    /// What to do, in a sentence.
    pub hint: String,
}

impl ReadFault {
    fn new(says: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            says: says.into(),
            hint: hint.into(),
        }
    }
}

impl fmt::Display for ReadFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.says, self.hint)
    }
}

impl core::error::Error for ReadFault {}

const WAYS: &str = "Write it like `27 1/2`, `27.5`, `27 1/2 in`, `70 cm` or `700 mm`.";

/// Longer texts than this are no length.
const LONGEST: usize = 64;

/// The length that a text says.
///
/// Understood: `27 1/2`, `27-1/2`, `27.5`, `27,5`, `27½`, `1/2`, with `in`, `inch`, `inches`, `"`,
/// `″`, `cm`, `mm`, `m`, `ft`, `yd` or none; and `5' 4 1/2"`. A minus may stand in front. A text
/// without a unit takes `bare`.
///
/// # Errors
/// When the text is not one number with at most one unit, when it says no unit and `bare` is
/// `None`, or when a fraction is more than a whole or is divided by nothing.
///
/// # Example
/// ```
/// use measure::fraction::{Unit, read};
/// use measure::Length;
/// assert_eq!(read("27 1/2", Some(Unit::Inch)), Ok(Length::inches(27.5)));
/// assert_eq!(read("70 cm", Some(Unit::Inch)), Ok(Length::cm(70.0)));
/// assert!(read("27 1/2", None).is_err());
/// ```
pub fn read(text: &str, bare: Option<Unit>) -> Result<Length, ReadFault> {
    let said = text.trim();
    if said.is_empty() {
        return Err(ReadFault::new("There is no number here.", WAYS));
    }
    if said.chars().count() > LONGEST {
        return Err(ReadFault::new("This is too long to be a length.", WAYS));
    }
    let plain = plain(said);
    let (minus, unsigned) = sign(&plain);
    let tokens = tokens(unsigned).ok_or_else(|| not_a_length(said))?;
    let mm = match split_feet(&tokens) {
        Some((feet, inches)) => {
            let feet = number(feet, said)?;
            let inches = match inches {
                [] => 0.0,
                [number_part @ .., Token::Word("in")] if !number_part.is_empty() => {
                    number(number_part, said)?
                }
                rest => number(rest, said)?,
            };
            if feet.fract() != 0.0 && inches > 0.0 || inches >= 12.0 {
                return Err(ReadFault::new(
                    format!("I can't read `{said}` as feet and inches."),
                    "Write whole feet and less than twelve inches, like `5 ft 4 1/2 in`.",
                ));
            }
            (feet * 12.0 + inches) * MM_PER_INCH
        }
        None => match tokens.as_slice() {
            [number_part @ .., Token::Word(word)] => {
                let each = unit_mm(word).ok_or_else(|| unknown_unit(word, said))?;
                number(number_part, said)? * each
            }
            number_part => {
                let many = number(number_part, said)?;
                let Some(unit) = bare else {
                    return Err(ReadFault::new(
                        format!("A number by itself is no length. {said} what?"),
                        format!("Write `{said} in` or `{said} cm`."),
                    ));
                };
                unit.of(many).map_or(f64::NAN, Length::in_mm)
            }
        },
    };
    Length::try_mm(if minus { -mm } else { mm })
        .ok_or_else(|| ReadFault::new(format!("`{said}` is too large to be a length."), WAYS))
}

/// The unit that a length's text says for itself, if it says one: metres and millimetres count as
/// centimetres, feet and yards as inches.
pub fn unit_said(text: &str) -> Option<Unit> {
    read(text, None).ok()?;
    let metric = plain(text)
        .split(|c: char| !c.is_alphabetic())
        .any(|word| word.starts_with('m') || word.starts_with('c'));
    Some(if metric { Unit::Cm } else { Unit::Inch })
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Token<'a> {
    /// Digits, perhaps with a decimal point: the text is kept to see how it was written.
    Number(&'a str),
    Slash,
    /// The hyphen of `27-1/2`.
    Hyphen,
    /// Letters or a tick that say the unit.
    Word(&'a str),
}

/// The text with its many kinds of blank, dash, tick and fraction made one kind each.
fn plain(said: &str) -> String {
    let mut out = String::with_capacity(said.len() + 8);
    for c in said.chars() {
        match c {
            '½' => out.push_str(" 1/2 "),
            '¼' => out.push_str(" 1/4 "),
            '¾' => out.push_str(" 3/4 "),
            '⅛' => out.push_str(" 1/8 "),
            '⅜' => out.push_str(" 3/8 "),
            '⅝' => out.push_str(" 5/8 "),
            '⅞' => out.push_str(" 7/8 "),
            '⅓' => out.push_str(" 1/3 "),
            '⅔' => out.push_str(" 2/3 "),
            '⅕' => out.push_str(" 1/5 "),
            '⅖' => out.push_str(" 2/5 "),
            '⅗' => out.push_str(" 3/5 "),
            '⅘' => out.push_str(" 4/5 "),
            '⅙' => out.push_str(" 1/6 "),
            '⅚' => out.push_str(" 5/6 "),
            '⁄' | '∕' | '／' => out.push('/'),
            '−' | '‐' | '‑' | '‒' | '–' | '—' | '﹣' | '－' => out.push('-'),
            '″' | '”' | '“' | '„' | '＂' | '〃' => out.push('"'),
            '′' | '’' | '‘' | '＇' | '´' | '`' => out.push('\''),
            '\u{200e}'
            | '\u{200f}'
            | '\u{2060}'
            | '\u{200b}'
            | '\u{feff}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}' => {}
            c if c.is_whitespace() => out.push(' '),
            c => out.extend(c.to_lowercase()),
        }
    }
    // Two single ticks are a double one.
    out.replace("''", "\"")
}

fn sign(plain: &str) -> (bool, &str) {
    let plain = plain.trim();
    if let Some(rest) = plain.strip_prefix('-') {
        (true, rest)
    } else {
        (false, plain.strip_prefix('+').unwrap_or(plain))
    }
}

fn tokens(text: &str) -> Option<Vec<Token<'_>>> {
    let mut out = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let size = match first {
            '0'..='9' | '.' | ',' => {
                let size = rest
                    .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
                    .unwrap_or(rest.len());
                out.push(Token::Number(&rest[..size]));
                size
            }
            '/' => {
                out.push(Token::Slash);
                1
            }
            '-' => {
                out.push(Token::Hyphen);
                1
            }
            '"' => {
                out.push(Token::Word("in"));
                1
            }
            '\'' => {
                out.push(Token::Word("ft"));
                1
            }
            c if c.is_alphabetic() => {
                let size = rest
                    .find(|c: char| !c.is_alphabetic())
                    .unwrap_or(rest.len());
                let word = &rest[..size];
                out.push(Token::Word(word));
                // A unit may be shortened with a full stop: `27 in.`
                let stop = rest[size..].starts_with('.') && rest[size + 1..].trim().is_empty();
                size + usize::from(stop)
            }
            _ => return None,
        };
        rest = rest[size..].trim_start();
    }
    Some(out)
}

/// The parts before and after a word that says feet, if feet are said and more may follow.
fn split_feet<'t, 'a>(tokens: &'t [Token<'a>]) -> Option<(&'t [Token<'a>], &'t [Token<'a>])> {
    let at = tokens
        .iter()
        .position(|t| matches!(t, Token::Word("ft" | "foot" | "feet")))?;
    Some((&tokens[..at], &tokens[at + 1..]))
}

/// Millimetres in one of a unit.
fn unit_mm(word: &str) -> Option<f64> {
    Some(match word {
        "in" | "inch" | "inches" | "ins" => MM_PER_INCH,
        "cm" | "cms" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => 10.0,
        "mm" | "mms" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => 1.0,
        "m" | "metre" | "metres" | "meter" | "meters" => 1000.0,
        "yd" | "yds" | "yard" | "yards" => 36.0 * MM_PER_INCH,
        _ => return None,
    })
}

fn unknown_unit(word: &str, said: &str) -> ReadFault {
    let known = ["in", "inch", "cm", "mm", "m", "ft", "yd"];
    let hint = match crate::words::nearest(word, known) {
        Some(near) if word.chars().count() > 1 => format!("Did you mean `{near}`?"),
        _ => "Use `in`, `cm` or `mm`.".to_owned(),
    };
    ReadFault::new(format!("I don't know the unit `{word}` in `{said}`."), hint)
}

fn not_a_length(said: &str) -> ReadFault {
    ReadFault::new(format!("`{said}` is not a length."), WAYS)
}

/// A whole or decimal number, a fraction, or a whole number and a fraction.
fn number(tokens: &[Token<'_>], said: &str) -> Result<f64, ReadFault> {
    use Token::{Hyphen, Number, Slash};
    match *tokens {
        [Number(n)] => decimal(n).ok_or_else(|| not_a_length(said)),
        [Number(a), Slash, Number(b)] => fraction(None, a, b, said),
        [Number(w), Number(a), Slash, Number(b)]
        | [Number(w), Hyphen, Number(a), Slash, Number(b)] => fraction(Some(w), a, b, said),
        [Number(_), Hyphen, Number(_)] => Err(ReadFault::new(
            format!("`{said}` names two numbers."),
            "Write one, like `27 1/2`; two readings are not kept in one place.",
        )),
        [Number(a), Number(b)] => Err(ReadFault::new(
            format!("`{said}` has two numbers side by side."),
            format!(
                "Is it `{}.{}`, or is the line of a fraction missing?",
                a.trim_end_matches(['.', ',']),
                b.trim_start_matches(['.', ','])
            ),
        )),
        _ => Err(not_a_length(said)),
    }
}

fn decimal(text: &str) -> Option<f64> {
    let text = text.replace(',', ".");
    let marks = text.matches('.').count();
    let digits = text.chars().any(|c| c.is_ascii_digit());
    (marks <= 1 && digits)
        .then(|| text.parse::<f64>().ok())
        .flatten()
        .filter(|n| n.is_finite())
}

fn whole(text: &str) -> Option<f64> {
    let all_digits =
        !text.is_empty() && text.len() <= 9 && text.bytes().all(|b| b.is_ascii_digit());
    all_digits.then(|| text.parse::<f64>().ok()).flatten()
}

fn fraction(before: Option<&str>, over: &str, under: &str, said: &str) -> Result<f64, ReadFault> {
    let parts = whole(over).zip(whole(under));
    let Some((a, b)) = parts else {
        return Err(ReadFault::new(
            format!("The fraction in `{said}` is not two whole numbers."),
            WAYS,
        ));
    };
    if b < 0.5 {
        return Err(ReadFault::new(
            format!("Nothing can be divided by 0, as in `{said}`."),
            WAYS,
        ));
    }
    if a >= b && a > 0.5 {
        // `271/2` is nearly always `27 1/2` without its blank.
        let hint = match (before, over.len()) {
            (None, 2..) => {
                let (head, tail) = over.split_at(over.len() - 1);
                format!("Did you mean `{head} {tail}/{under}`?")
            }
            _ => "A fraction is less than one: write `28 1/2`, not `27 3/2`.".to_owned(),
        };
        return Err(ReadFault::new(
            format!("The fraction {over}/{under} in `{said}` is not less than one."),
            hint,
        ));
    }
    let head = match before {
        None => 0.0,
        Some(text) => whole(text).ok_or_else(|| {
            ReadFault::new(
                format!("`{said}` has a decimal and a fraction together."),
                "Write one or the other, like `27.5` or `27 1/2`.",
            )
        })?,
    };
    Ok(head + a / b)
}
