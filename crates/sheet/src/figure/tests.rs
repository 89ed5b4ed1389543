//! Every measure has a drawing, and its letters stand clear.

use super::*;
use crate::quad::Rect;

/// Catches a measure that was added to the table without a drawing, and a drawing that runs out of
/// its frame.
#[test]
fn every_measure_has_a_figure_within_its_frame() {
    for measure in names::all() {
        let f = figure(measure.name).unwrap_or_else(|| panic!("{} has no drawing", measure.name));
        assert!(f.says.contains(measure.definition));
        for part in &f.parts {
            for p in &part.chain {
                assert!(
                    p.x >= 0.0 && p.x <= f.width && p.y >= 0.0 && p.y <= f.height,
                    "{}: {p:?}",
                    measure.name
                );
            }
        }
        assert!(!f.letters.is_empty(), "{}", measure.name);
    }
}

/// The box of a line of letters, in units of the figure.
fn letter_box(letter: &Letter, line: usize, text: &str) -> Rect {
    let size = Figure::LETTER;
    let set = crate::face::set(text, size, false);
    // Letters set in points, measured in millimetres: one unit of the figure is one point here.
    let width = set.width / crate::face::MM_PER_POINT;
    let down = crate::number::real(line) * size;
    Rect::new(
        letter.at.x,
        letter.at.y + down - size * 0.75,
        width,
        size * 0.95,
    )
}

/// Catches a name that runs out of the figure, over a line or over another name.
#[test]
fn names_stand_clear_of_lines_and_of_each_other() {
    for measure in names::all() {
        let f = figure(measure.name).expect("drawn");
        let mut seen: Vec<(Rect, &str)> = Vec::new();
        for letter in &f.letters {
            for (i, text) in letter.text.split('|').enumerate() {
                let rect = letter_box(letter, i, text);
                assert!(
                    rect.x1 <= f.width && rect.y0 >= -1.0 && rect.y1 <= f.height + 1.0,
                    "{}: {text} {rect:?} of {}",
                    measure.name,
                    f.height
                );
                for part in &f.parts {
                    for w in part.chain.windows(2) {
                        assert!(
                            rect.grown(-0.5).clipped(w[0], w[1]).is_none(),
                            "{}: a line runs through {text}",
                            measure.name
                        );
                    }
                }
                for (other, said) in &seen {
                    assert!(
                        !rect.grown(-0.5).meets(other),
                        "{}: {text} over {said}",
                        measure.name
                    );
                }
                seen.push((rect, text));
            }
        }
    }
}

/// Catches a tape that was left out, that is hidden by the body, or that has lost an end.
#[test]
fn every_tape_is_seen_with_its_two_ends() {
    for measure in names::all() {
        let f = figure(measure.name).expect("drawn");
        if measure.kind == names::Kind::Angle {
            continue;
        }
        let many = |look: Look| f.parts.iter().filter(|p| p.look == look).count();
        assert!(many(Look::Band) >= 1, "{}", measure.name);
        assert!(
            many(Look::End) >= 2,
            "{}: {} ends",
            measure.name,
            many(Look::End)
        );
        assert!(many(Look::Tick) >= 1, "{}", measure.name);
    }
}

/// Catches a drawing that differs between two runs, or under another name of the same measure.
#[test]
fn the_same_measure_gives_the_same_drawing() {
    for measure in names::all() {
        let first = figure(measure.name);
        assert_eq!(first, figure(measure.name));
        for other in measure.synonyms {
            assert_eq!(first, figure(other));
        }
    }
}

/// Catches two measures that share one drawing by mistake.
#[test]
fn no_two_measures_have_the_same_drawing() {
    let all: Vec<_> = names::all()
        .iter()
        .map(|m| (m.name, figure(m.name).map(|f| (f.parts, f.letters))))
        .collect();
    for (i, (a, one)) in all.iter().enumerate() {
        for (b, other) in &all[i + 1..] {
            assert!(one != other, "{a} and {b}");
        }
    }
}
