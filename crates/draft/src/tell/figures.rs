//! Figures as a teacher says them: lengths to the tape, shares in words, angles in degrees.

use measure::Length;
use measure::fraction::{Fineness, Shown, Unit, show};

use crate::worked::plain;

/// Less than this, in mm, is nothing that a pencil can draw: a sixty-fourth of an inch.
pub(super) const HAIR: f64 = 0.39;

/// A length, shown as the drafter wants it; never "0 in" for what is there, so that a move of a
/// thread's width is shown more finely than the rest.
pub(super) fn length(mm: f64, shown: Shown) -> String {
    let Some(length) = Length::try_mm(mm) else {
        return String::new();
    };
    if shown.rounded(length) != Length::ZERO || mm.abs() < HAIR {
        return show(length, shown);
    }
    let sign = if mm < 0.0 { "-" } else { "" };
    format!("{sign}{}", finely(mm.abs(), shown))
}

/// The same without its unit.
pub(super) fn bare_length(mm: f64, shown: Shown) -> String {
    let said = length(mm, shown);
    said.strip_suffix(shown.unit.sign())
        .map_or(said.clone(), |s| s.trim_end().to_owned())
}

/// A small length shown to 1/32 in or a tenth of a millimetre.
fn finely(mm: f64, shown: Shown) -> String {
    match shown.unit {
        Unit::Inch => fraction(mm, 32),
        Unit::Cm => format!("{} mm", plain(mm, 1)),
    }
}

/// Inches with a fraction of so many parts.
fn fraction(mm: f64, parts: u32) -> String {
    let count = (mm / measure::length::MM_PER_INCH * f64::from(parts)).round();
    let whole = (count / f64::from(parts)).floor();
    let (mut over, mut under) = (count - whole * f64::from(parts), f64::from(parts));
    if over < 0.5 {
        return format!("{whole:.0} in");
    }
    while over % 2.0 < 0.5 {
        over /= 2.0;
        under /= 2.0;
    }
    if whole < 0.5 {
        format!("{over:.0}/{under:.0} in")
    } else {
        format!("{whole:.0} {over:.0}/{under:.0} in")
    }
}

/// A length as it is given where nothing is a word of its own: from `nothing` to 1/4 in.
pub(super) fn or_nothing(mm: f64, shown: Shown) -> String {
    if mm.abs() < HAIR {
        "nothing".into()
    } else {
        length(mm, shown)
    }
}

/// One of the finer and finer ways of showing lengths.
fn at_scale(mm: f64, shown: Shown, scale: u32) -> (f64, String) {
    let inch = measure::length::MM_PER_INCH;
    let first = match (shown.unit, shown.fineness) {
        (Unit::Inch, Fineness::Sixteenth | Fineness::Millimetre) => 16,
        (Unit::Inch, Fineness::ThirtySecond) => 32,
        (Unit::Inch, _) => 8,
        (Unit::Cm, _) => 10,
    };
    match shown.unit {
        Unit::Inch => {
            let parts = first << scale;
            let counted = (mm / inch * f64::from(parts)).round() / f64::from(parts);
            (
                counted,
                if mm < 0.0 {
                    format!("-{}", fraction(-mm, parts))
                } else {
                    fraction(mm, parts)
                },
            )
        }
        Unit::Cm => {
            let places = 1 + scale as usize;
            let parts = if scale == 0 {
                10.0
            } else if scale == 1 {
                100.0
            } else {
                1000.0
            };
            let counted = (mm / 10.0 * parts).round() / parts;
            // The tape has no tenths of a millimetre: what is small is said in millimetres.
            let said = if scale > 0 && counted.abs() < 3.0 {
                format!("{} mm", plain(counted * 10.0, places - 1))
            } else {
                format!("{} cm", plain(counted, places))
            };
            (counted, said)
        }
    }
}

/// Two lengths, how far they are apart and what they come to now, so that the three agree and none of
/// them says nothing: shown no finer than the difference asks, the second rounded together with the
/// first. `None` when they agree to a hair.
pub(super) fn apart(a: f64, b: f64, now: f64, shown: Shown) -> Option<[String; 4]> {
    let out = (a - b).abs();
    if out < HAIR {
        return None;
    }
    let scales = if shown.unit == Unit::Inch { 4 } else { 2 };
    let unit = shown.unit.of(1.0).map_or(1.0, Length::in_mm);
    let mut first = None;
    for scale in 0..scales {
        let (x, x_said) = at_scale(a, shown, scale);
        let (y, y_said) = at_scale(b, shown, scale);
        let (d, d_said) = at_scale(out, shown, scale);
        if d <= 0.0 {
            continue;
        }
        let now_said = at_scale(now, shown, scale).1;
        if ((x - y).abs() - d).abs() < 1e-9 {
            return Some([x_said, y_said, d_said, now_said]);
        }
        let together = if a > b { x - d } else { x + d };
        let y_said = at_scale(together * unit, shown, scale).1;
        let coarse = first.get_or_insert([x_said, y_said, d_said, now_said]);
        // A 16th is still read off a tape at ease; finer only what is itself so small.
        if scale > 0 || shown.unit == Unit::Cm {
            return Some(coarse.clone());
        }
    }
    first
}

/// A change of a value, shown just finely enough to see it. `None` when it is less than a hair.
pub(super) fn change(from: f64, to: f64, shown: Shown) -> Option<(String, String)> {
    if (from - to).abs() < HAIR {
        return None;
    }
    let scales = if shown.unit == Unit::Inch { 4 } else { 2 };
    for scale in 0..scales {
        let ((x, x_said), (y, y_said)) = (at_scale(from, shown, scale), at_scale(to, shown, scale));
        // What is there is not to be shown as nothing.
        let lost = |v: f64, mm: f64| v.abs() < 1e-9 && mm.abs() >= HAIR;
        let clear = (x - y).abs() > 1e-9 && !lost(x, from) && !lost(y, to);
        if clear {
            let said = |v: f64, s: String| {
                if v.abs() < 1e-9 {
                    "nothing".to_owned()
                } else {
                    s
                }
            };
            return Some((said(x, x_said), said(y, y_said)));
        }
    }
    None
}

/// A share in words: `half`, `a third`, `two thirds`, `three quarters`; `None` when it has no name.
pub(super) fn share(v: f64) -> Option<String> {
    const PARTS: [(u32, &str, &str); 7] = [
        (2, "half", "halves"),
        (3, "a third", "thirds"),
        (4, "a quarter", "quarters"),
        (5, "a fifth", "fifths"),
        (6, "a sixth", "sixths"),
        (7, "a seventh", "sevenths"),
        (8, "an eighth", "eighths"),
    ];
    const COUNTS: [&str; 8] = ["", "one", "two", "three", "four", "five", "six", "seven"];
    for (below, one, many) in PARTS {
        let above = v * f64::from(below);
        for (count, word) in COUNTS.iter().enumerate().skip(1) {
            #[expect(clippy::cast_precision_loss, reason = "at most seven")]
            if count < below as usize && (above - count as f64).abs() < 1e-9 {
                return Some(if count == 1 {
                    one.to_owned()
                } else {
                    format!("{word} {many}")
                });
            }
        }
    }
    None
}

/// How far along something: `half-way`, `a third of the way`.
pub(super) fn way(v: f64) -> String {
    if (v - 0.5).abs() < 1e-9 {
        return "half-way".into();
    }
    match share(v) {
        Some(share) => format!("{share} of the way"),
        None => format!("{} % of the way", plain(v * 100.0, 1)),
    }
}

/// A multiple in words, to be followed by what is multiplied: `twice`, `3 times`, `half of`.
pub(super) fn times(v: f64) -> String {
    if (v - 2.0).abs() < 1e-9 {
        return "twice".into();
    }
    match share(v) {
        Some(share) => format!("{share} of"),
        None => format!("{} times", plain(v, 3)),
    }
}

/// A division by a count in words: `half of`, `a quarter of`; `None` when it has no such name.
pub(super) fn divided(by: f64) -> Option<String> {
    const BELOW: [(f64, &str); 4] = [
        (9.0, "a ninth"),
        (10.0, "a tenth"),
        (12.0, "a twelfth"),
        (16.0, "a sixteenth"),
    ];
    if by.abs() < 1e-9 {
        return None;
    }
    if let Some((_, word)) = BELOW.iter().find(|b| (b.0 - by).abs() < 1e-9) {
        return Some(format!("{word} of"));
    }
    if by < 1.0 {
        let many = 1.0 / by;
        return ((many - many.round()).abs() < 1e-9).then(|| times(many.round()));
    }
    share(1.0 / by).map(|s| format!("{s} of"))
}

/// An angle in words.
pub(super) fn degrees(radians: f64) -> String {
    format!("{} degrees", plain(radians.to_degrees(), 1))
}

/// Things in a row: `a`, `a and b`, `a, b and c`.
pub(crate) fn in_a_row(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// Puts right what the joining of parts leaves: doubled commas and blanks, a capital, a full stop.
pub(super) fn sentence(said: &str) -> String {
    let mut out = plainly(said);
    if !out.ends_with(['.', '?', '!', ':']) {
        out.push('.');
    }
    crate::work::capital(&out)
}

/// The same within a sentence.
pub(super) fn plainly(said: &str) -> String {
    let said = said.trim();
    let mut out = String::with_capacity(said.len() + 1);
    let mut last = '\0';
    for c in said.chars() {
        match c {
            ' ' if last == ' ' => continue,
            ',' | '.' | ';' | ':' | ')' if last == ' ' || last == ',' => {
                out.truncate(out.trim_end_matches([' ', ',']).len());
            }
            _ => {}
        }
        out.push(c);
        last = c;
    }
    out.truncate(out.trim_end_matches([' ', ',']).len());
    out
}

/// Several of a numbered name: `gores number 2 to 4`.
pub(super) fn numbered(name: &str, from: i64, to: i64) -> String {
    let many = if name.ends_with('s') {
        name.to_owned()
    } else {
        format!("{name}s")
    };
    let (before, after) = many.split_once('\u{1}').unwrap_or((&many, ""));
    let joint = if to == from + 1 { "and" } else { "to" };
    plainly(&format!("{before} number {from} {joint} {to} {after}"))
}

#[cfg(test)]
mod tests {
    use measure::fraction::Shown;

    use super::change;

    /// Would catch hundredths of a centimetre, which no tape has, where millimetres say it.
    #[test]
    fn a_small_change_is_said_in_millimetres() {
        let said = |from: f64, to: f64| change(from, to, Shown::cm()).unwrap();
        assert_eq!(said(6.4, 5.9), ("6.4 mm".into(), "5.9 mm".into()));
        assert_eq!(said(6.4, 8.2), ("0.6 cm".into(), "0.8 cm".into()));
        assert_eq!(said(780.6, 781.4), ("78.06 cm".into(), "78.14 cm".into()));
    }
}
