//! The steps as they are taught: each with what was reckoned before it.

use draft::Worked;
use draft::worked::Step;

/// One step with a number, and the values told on the way to it.
#[derive(Debug)]
pub(super) struct Lesson<'a> {
    pub(super) number: u32,
    pub(super) step: &'a Step,
    /// What is reckoned before it can be drawn.
    pub(super) reckoned: Vec<&'a Step>,
}

/// All steps in order. Values that come after the last step stand with it.
pub(super) fn lessons(worked: &Worked) -> Vec<Lesson<'_>> {
    let mut out: Vec<Lesson<'_>> = Vec::new();
    let mut waiting = Vec::new();
    for step in &worked.steps {
        match step.number {
            Some(number) => out.push(Lesson {
                number,
                step,
                reckoned: std::mem::take(&mut waiting),
            }),
            None => waiting.push(step),
        }
    }
    if let Some(last) = out.last_mut() {
        last.reckoned.extend(waiting);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(number: Option<u32>, says: &str) -> Step {
        Step {
            number,
            stage: "front".into(),
            sentence: says.into(),
            short: says.into(),
            few: Vec::new(),
            why: None,
            draws: Vec::new(),
            pieces: Vec::new(),
            lines: Vec::new(),
        }
    }

    /// Would catch a value that is told with the step after the one that needs it, or lost at the end.
    #[test]
    fn values_stand_with_the_step_that_needs_them() {
        let worked = Worked {
            steps: vec![
                step(Some(1), "a"),
                step(None, "quarter"),
                step(None, "taken out"),
                step(Some(2), "b"),
                step(None, "left over"),
            ],
            ..Worked::default()
        };
        let all = lessons(&worked);
        assert_eq!(all.len(), 2);
        assert!(all[0].reckoned.is_empty());
        let says: Vec<&str> = all[1]
            .reckoned
            .iter()
            .map(|s| s.sentence.as_str())
            .collect();
        assert_eq!(says, ["quarter", "taken out", "left over"]);
    }
}
