//! The drawings of every shipped method, step by step.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
use super::*;

const CARD: &str = include_str!("../../../../../../examples/cards/demo.toml");

fn worked(method: &str) -> Option<Worked> {
    let text = crate::shelf::SHIPPED.iter().find(|(n, _)| *n == method)?.1;
    let card = measure::card::read(CARD, &[]).unwrap();
    let library = draft::Library::new(crate::shelf::SHIPPED.iter().map(|(_, t)| *t));
    let wish = draft::Wish {
        card: &card,
        set: &[],
        predict: true,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    Some(draft::work(&draft::read(text), &library, &wish))
}

fn how(step: u32, hidden: bool) -> How<'static> {
    How {
        step,
        shown: Shown::inches(),
        hidden,
        id: "t",
    }
}

/// Would catch a number that is drawn where it does not belong: the arrow's length on paper is the
/// number itself, 8 3/4 in = 222.25 mm and so on, at the frame's scale.
#[test]
fn an_arrow_is_as_long_as_its_number_says() {
    let Some(worked) = worked("mermaid-two") else {
        return;
    };
    let all: Vec<&Drawn> = worked.drawn.iter().filter(|d| d.sheet == "front").collect();
    let frame = Frame::of(&all);
    let mut found = 0;
    for step in worked.steps.iter().filter(|s| s.stage == "front") {
        let Some(number) = step.number else { continue };
        let there: Vec<&Drawn> = all.iter().copied().filter(|d| d.step <= number).collect();
        let says = format!("{} {}", step.sentence, step.short).to_lowercase();
        for said in figures(&there, step, Shown::inches(), &says, &frame) {
            let (long, figure) = match said {
                Said::Across { from, to, figure } => ((from.x - to.x).hypot(from.y - to.y), figure),
                Said::Level {
                    from, to, figure, ..
                } => ((from - to).abs(), figure),
                Said::Along { .. } => continue,
            };
            let wanted =
                measure::fraction::read(&figure.shown, Some(measure::fraction::Unit::Inch))
                    .unwrap()
                    .in_mm()
                    * frame.k;
            // A stretch that is taken out makes a long arrow shorter.
            if figure.shown != "44 3/4" {
                let part = Length::inches(1.0 / 16.0).in_mm() * frame.k;
                assert!(
                    (long - wanted).abs() <= part + 0.01,
                    "step {number}: {figure:?} {long} {wanted}"
                );
                found += 1;
            }
        }
    }
    assert!(found >= 8, "only {found} numbers have a place");
}

/// Would catch a shipped method with a step that has no drawing, and text that is not well-formed.
#[test]
fn every_step_of_every_method_has_a_drawing() {
    for (name, _) in crate::shelf::SHIPPED {
        let worked = worked(name).unwrap();
        for step in &worked.steps {
            let Some(number) = step.number else { continue };
            if worked.pieces.is_empty() && sheet_of(&worked, step).is_none() {
                continue;
            }
            for hidden in [false, true] {
                let svg = sofar(&worked, &how(number, hidden));
                let svg = svg.unwrap_or_else(|| panic!("{name}, step {number}: no drawing"));
                let text = svg.into_string();
                assert!(
                    !text.contains("NaN") && !text.contains("inf"),
                    "{name} {number}"
                );
            }
        }
    }
}

/// Would catch a name that covers another, or a new thing without its name, on the sheets of the demo.
#[test]
fn what_is_new_is_called_by_its_name() {
    let Some(worked) = worked("mermaid-two") else {
        return;
    };
    for step in worked
        .steps
        .iter()
        .filter(|s| !s.draws.is_empty() && s.draws.len() <= 4)
    {
        let svg = sofar(&worked, &how(step.number.unwrap(), true))
            .unwrap()
            .into_string();
        for (_, name) in &step.draws {
            let short = called(name);
            let short = short.strip_suffix(" line").unwrap_or(&short);
            assert!(svg.contains(short), "step {:?}: no {name}", step.number);
        }
    }
}

/// Would catch a point or a level that falls into the break, and a break in a sheet that needs none.
#[test]
fn a_break_takes_out_a_plain_stretch_only() {
    let Some(worked) = worked("mermaid-two") else {
        return;
    };
    let all: Vec<&Drawn> = worked.drawn.iter().filter(|d| d.sheet == "front").collect();
    let frame = Frame::of(&all);
    let (from, to) = frame.gap().unwrap();
    for thing in &all {
        let y = match &thing.shape {
            Shape::Point(p) => frame.y(p.y),
            Shape::Level(y) => frame.y(*y),
            _ => continue,
        };
        assert!(
            y <= from + 1e-6 || y >= to - 1e-6,
            "{} lies in the break",
            thing.name
        );
    }
    // The train makes the back broad enough as it is.
    let back: Vec<&Drawn> = worked.drawn.iter().filter(|d| d.sheet == "back").collect();
    assert!(Frame::of(&back).gap().is_none());
}
