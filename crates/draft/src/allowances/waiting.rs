//! What a toile needs no steps for: those that only make or finish pieces which it is cut without.

use crate::sided::bare;
use crate::tell::in_a_row;
use crate::worked::{Origin, SeamMade, Step, Telling, Worked};

/// A piece before a toile left pieces out.
struct Part {
    /// Its name as it is cut.
    name: String,
    /// The piece of the draft that it is, as the steps name it.
    of: String,
    origin: Origin,
}

/// What the draft was before a toile left pieces out.
pub(super) struct Before {
    parts: Vec<Part>,
    seams: Vec<SeamMade>,
}

impl Before {
    pub(super) fn of(worked: &Worked) -> Self {
        let all = worked.pieces.iter().zip(&worked.origins).enumerate();
        Self {
            parts: all
                .map(|(i, (piece, origin))| Part {
                    name: piece.name.clone(),
                    of: worked.of(i).to_owned(),
                    origin: origin.clone(),
                })
                .collect(),
            seams: worked.seams.clone(),
        }
    }

    /// The pieces of the draft of which no part stays. Where her left and her right differ, parts that are
    /// cut bear other names than the draft's, and the steps know the draft's alone.
    fn gone(&self, left: &[String]) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for part in &self.parts {
            let mut parts = self.parts.iter().filter(|p| p.of == part.of);
            if parts.all(|p| left.contains(&p.name)) && !out.contains(&part.of) {
                out.push(part.of.clone());
            }
        }
        out
    }

    /// The piece of the draft that a piece is of, by its name as it is cut.
    fn of_draft<'a>(&'a self, cut: &'a str) -> &'a str {
        let part = self.parts.iter().find(|p| p.name == cut);
        part.map_or(bare(cut).0, |p| &p.of)
    }

    /// Whether a piece that stays was copied from this one of the draft.
    fn model(&self, name: &str, left: &[String]) -> bool {
        let mut stay = self.parts.iter().filter(|p| !left.contains(&p.name));
        stay.any(|p| {
            let mut from = p.origin.copied_from.iter();
            from.any(|from| self.of_draft(from) == name)
        })
    }

    /// Whether a step trues a seam of which both sides are left out, on both sides of her.
    fn trues_what_is_left(&self, worked: &Worked, step: &Step, left: &[String]) -> bool {
        let mut done = worked.truings.iter();
        let Some(done) = done.find(|t| t.sentence == step.sentence) else {
            return false;
        };
        let hers = |s: &&SeamMade| s.name == done.seam || bare(&s.name).0 == done.seam;
        let mut seams = self.seams.iter().filter(hers).peekable();
        seams.peek().is_some()
            && seams.all(|s| {
                let mut edges = s.a.iter().chain(&s.b);
                edges.all(|e| left.contains(&e.piece))
            })
    }
}

/// What is done with a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lot {
    Stays,
    /// It makes pieces that are left out; it stays if anything that stays speaks of them.
    Makes,
    Goes,
}

/// Takes out the steps that only make, true or finish what is left out (`left`, as it is cut), with the
/// values that were told for them alone, and numbers the others anew; how many of the numbered went. A
/// step on which one that stays leans is kept: a piece that another is copied from, one that a step speaks
/// of. A piece of a used method is known by its name: it goes where the piece of that name which is made
/// of it goes.
pub(super) fn take_out(worked: &mut Worked, before: &Before, left: &[String]) -> usize {
    if left.is_empty() {
        return 0;
    }
    let gone = before.gone(left);
    let is_left = |name: &String| gone.contains(name);
    let steps = &worked.steps;
    let mut lots: Vec<Lot> = steps
        .iter()
        .map(|step| {
            let only = !step.pieces.is_empty() && step.pieces.iter().all(is_left);
            match (only, step.stage.starts_with("pieces")) {
                (true, true) => Lot::Makes,
                (true, false) => Lot::Goes,
                (false, _) if before.trues_what_is_left(worked, step, left) => Lot::Goes,
                (false, _) => Lot::Stays,
            }
        })
        .collect();
    // Values that were told on the way to a step go with it, unless they are spoken of elsewhere.
    let mut leads = vec![None; steps.len()];
    let mut next = None;
    for i in (0..steps.len()).rev() {
        if steps[i].number.is_some() {
            next = Some(i);
        } else if value(&steps[i]).is_some() {
            leads[i] = next;
        }
    }
    let keep = loop {
        let keep = kept(steps, &lots, &leads);
        // A finish of several pieces names those that are left out too, and needs none of them.
        let speaks = |name: &str| {
            let told = steps.iter().zip(&keep);
            told.filter(|(s, keep)| **keep && !s.pieces.iter().any(is_left))
                .any(|(s, _)| names(&s.sentence, name))
        };
        let needed = (0..steps.len()).find(|&i| {
            let mut made = steps[i].pieces.iter();
            lots[i] == Lot::Makes && made.any(|name| before.model(name, left) || speaks(name))
        });
        match needed {
            Some(i) => lots[i] = Lot::Stays,
            None => break keep,
        }
    };
    let went = steps.iter().zip(&keep);
    let went = went
        .filter(|(s, keep)| s.number.is_some() && !**keep)
        .count();
    let mut kept = keep.iter();
    worked.steps.retain(|_| *kept.next().unwrap_or(&true));
    for step in &mut worked.steps {
        without(step, &gone);
    }
    number_anew(worked);
    went
}

/// Which steps are kept: with each its values, and those that are spoken of after it.
fn kept(steps: &[Step], lots: &[Lot], leads: &[Option<usize>]) -> Vec<bool> {
    let mut keep: Vec<bool> = lots.iter().map(|lot| *lot == Lot::Stays).collect();
    // A value may be spoken of by another one after it: from the last to the first.
    for i in (0..steps.len()).rev() {
        if leads[i].is_some_and(|at| !keep[at]) {
            let name = value(&steps[i]).unwrap_or_default();
            let mut said = steps
                .iter()
                .zip(&keep)
                .skip(i + 1)
                .filter(|(_, keep)| **keep);
            keep[i] = said.any(|(s, _)| names(&s.sentence, name));
        }
    }
    keep
}

/// The value that a line without a number tells of: `The lining down is ...`, `The darts wanted are ...`.
fn value(step: &Step) -> Option<&str> {
    if step.number.is_some() {
        return None;
    }
    let rest = step.sentence.strip_prefix("The ")?;
    let says = [" is ", " are "];
    let name = says.iter().filter_map(|word| rest.find(word)).min();
    Some(name.map_or(rest, |end| &rest[..end]))
}

/// Whether a sentence says a name, in whole words.
fn names(sentence: &str, name: &str) -> bool {
    let letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    !name.is_empty()
        && sentence.match_indices(name).any(|(at, _)| {
            let (head, tail) = (&sentence[..at], &sentence[at + name.len()..]);
            !letter(head.chars().next_back()) && !letter(tail.chars().next())
        })
}

/// A step for several pieces, some of which are left out, names only those that are cut.
fn without(step: &mut Step, gone: &[String]) {
    let kept: Vec<String> = step
        .pieces
        .iter()
        .filter(|p| !gone.contains(p))
        .cloned()
        .collect();
    if step.stage.starts_with("pieces") || kept.is_empty() || kept.len() == step.pieces.len() {
        return;
    }
    let all = in_a_row(&step.pieces);
    let few = in_a_row(&kept);
    let full = match kept.as_slice() {
        [one] => format!("the {one}"),
        _ => few.clone(),
    };
    step.sentence = step.sentence.replacen(&all, &full, 1);
    step.short = step.short.replacen(&all, &few, 1);
    for part in &mut step.few {
        if let Telling::Words(words) = part {
            *words = words.replacen(&all, &few, 1);
        }
    }
    step.pieces = kept;
}

/// Numbers the steps from 1, and what they drew by them.
fn number_anew(worked: &mut Worked) {
    let mut was = Vec::new();
    for step in &mut worked.steps {
        if let Some(number) = &mut step.number {
            was.push(*number);
            *number = u32::try_from(was.len()).unwrap_or(u32::MAX);
        }
    }
    for thing in &mut worked.drawn {
        if let Some(at) = was.iter().position(|n| *n == thing.step) {
            thing.step = u32::try_from(at + 1).unwrap_or(u32::MAX);
        }
    }
}
