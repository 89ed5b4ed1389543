//! Cures that can be computed: the choice, and the least change of it, that clears a finding.
//!
//! The rule names the words of choices that usually cure it. Each choice of the method with such a
//! word in its name or label is tried, the most usual first: outward from where it stands, in steps
//! that double, on the grid that the drafter writes in; then the least change that does it is sought
//! between the last that did not and the first that did. A value counts when the draft can be worked
//! with it, the finding is gone and nothing as grave has come in its place; one that is only noted now
//! but is farther out than before is not gone. All work is counted.

use draft::worked::{ChoiceUsed, Quantity, Worked};
use measure::Length;
use measure::fraction::{Shown, Unit, show};

use crate::finding::{Amount, Finding, Try, Weight};
use crate::rules::rule;
use crate::seen::Subject;

/// How many drafts are worked for the cures of one pattern, at most.
pub const MOST_DRAFTS: usize = 160;
/// How many for one choice.
const MOST_EACH: usize = 18;

/// Works the draft anew with one choice set to a value, given as the drafter would write it; nothing
/// where it can't be worked soundly.
pub type Rework<'r> = dyn FnMut(&str, &str) -> Option<Worked> + 'r;

/// Looks for a cure of each finding that says stop or ask, and writes it into the finding. No more than
/// `most` drafts are worked, and never more than [`MOST_DRAFTS`]; answers whether they were enough to
/// seek a cure of each.
pub fn cure(
    findings: &mut [Finding],
    subject: &Subject<'_>,
    most: usize,
    rework: &mut Rework<'_>,
) -> bool {
    let before: Vec<Finding> = findings.to_vec();
    let mut bench = Bench {
        subject: *subject,
        before: &before,
        rework,
        left: most.min(MOST_DRAFTS),
        enough: true,
    };
    for finding in findings.iter_mut() {
        if finding.attempt.is_some() || finding.weight == Weight::Note {
            continue;
        }
        let Some(rule) = rule(&finding.rule) else {
            continue;
        };
        let target = Target {
            rule: finding.rule.clone(),
            place: finding.place.clone(),
            amount: finding.amount,
            tolerance: finding.tolerance,
        };
        let words = finding.choices.unwrap_or(rule.choices);
        finding.attempt = candidates(subject.worked, words)
            .into_iter()
            .find_map(|choice| bench.best(choice, &target));
    }
    bench.enough
}

/// The finding to be cleared.
struct Target {
    rule: String,
    place: String,
    amount: Option<Amount>,
    tolerance: Option<Amount>,
}

impl Target {
    /// Whether a draft's finding is this one at its place, and is either as grave as ever or, though it
    /// is only noted now, farther out than it was.
    fn stands_in(&self, found: &Finding) -> bool {
        found.rule == self.rule
            && found.place == self.place
            && (found.weight < Weight::Note || self.is_less_than(found))
    }

    /// Whether another finding of the same kind is farther out.
    fn is_less_than(&self, other: &Finding) -> bool {
        const HAIR: f64 = 1e-6;
        let (Some(before), Some(after)) = (number(self.amount), number(other.amount)) else {
            return false;
        };
        if before.0 != after.0 {
            return false;
        }
        let allowed = number(self.tolerance).map_or(0.0, |t| t.1);
        let (before, after) = (before.1, after.1);
        // Where both are past what is allowed to either side the larger is worse; an amount that must
        // be reached is worse the farther it is from it.
        if before.abs() >= allowed && after.abs() >= allowed {
            after.abs() > before.abs() + HAIR
        } else {
            (after - allowed).abs() > (before - allowed).abs() + HAIR
        }
    }
}

/// The figure of an amount, with a number for its kind: millimetres, degrees, a part of one, grams.
fn number(amount: Option<Amount>) -> Option<(u8, f64)> {
    Some(match amount? {
        Amount::Length(l) => (0, l.in_mm()),
        Amount::Angle(a) => (1, a.in_degrees()),
        Amount::Share(s) => (2, s),
        Amount::Grams(g) => (3, g),
    })
}

/// The offered choices with one of these words in the name or label, the words' order first.
fn candidates<'w>(worked: &'w Worked, wanted: &[&str]) -> Vec<&'w ChoiceUsed> {
    let mut out: Vec<&ChoiceUsed> = Vec::new();
    for word in wanted {
        // Numbers before words: a little more or less before another way.
        let is_word = |c: &&ChoiceUsed| matches!(c.value, Quantity::Word(_) | Quantity::YesNo(_));
        let offered = || worked.choices.iter().filter(|c| c.offered);
        for choice in offered()
            .filter(|c| !is_word(c))
            .chain(offered().filter(is_word))
        {
            let named = choice.name.contains(word) || choice.label.to_lowercase().contains(word);
            if named && !out.iter().any(|c| c.name == choice.name) {
                out.push(choice);
            }
        }
    }
    out
}

struct Bench<'a, 'b, 'r> {
    subject: Subject<'a>,
    before: &'b [Finding],
    rework: &'b mut Rework<'r>,
    left: usize,
    /// No draft was wanted past the last.
    enough: bool,
}

impl Bench<'_, '_, '_> {
    /// The value of a choice that clears the target with the least change.
    fn best(&mut self, choice: &ChoiceUsed, target: &Target) -> Option<Try> {
        let found = match &choice.value {
            Quantity::YesNo(yes) => {
                let other = if *yes { "no" } else { "yes" };
                self.clears(choice, other, target).then(|| other.to_owned())
            }
            Quantity::Word(word) => choice
                .words
                .iter()
                .filter(|w| *w != word)
                .find(|w| self.clears(choice, w, target))
                .cloned(),
            _ => {
                let scale = Scale::of(choice, self.subject.shown)?;
                self.least(choice, &scale, target)
            }
        }?;
        Some(Try {
            choice: choice.name.clone(),
            value: found,
        })
    }

    /// The nearest value on the scale that does it, as it is written.
    fn least(&mut self, choice: &ChoiceUsed, scale: &Scale, target: &Target) -> Option<String> {
        let mut tries = 0;
        let mut far = 1;
        loop {
            let mut any = false;
            for down in [false, true] {
                let most = if down { scale.below } else { scale.above };
                // The last step of a direction ends at the end of its range.
                if far / 2 >= most {
                    continue;
                }
                any = true;
                let steps = far.min(most);
                tries += 1;
                if tries > MOST_EACH {
                    return None;
                }
                let signed = if down { -steps } else { steps };
                if self.clears(choice, &scale.text(signed), target) {
                    return Some(self.between(choice, scale, target, down, far / 2, steps));
                }
            }
            if !any {
                return None;
            }
            far *= 2;
        }
    }

    /// Between a number of steps that did not do it and one that did, the least that does.
    fn between(
        &mut self,
        choice: &ChoiceUsed,
        scale: &Scale,
        target: &Target,
        down: bool,
        mut not: i64,
        mut does: i64,
    ) -> String {
        let signed = |steps: i64| if down { -steps } else { steps };
        while does - not > 1 {
            let middle = i64::midpoint(not, does);
            if self.clears(choice, &scale.text(signed(middle)), target) {
                does = middle;
            } else {
                not = middle;
            }
        }
        scale.text(signed(does))
    }

    /// Whether the draft with this choice has the target no more, and nothing as grave in its place.
    fn clears(&mut self, choice: &ChoiceUsed, value: &str, target: &Target) -> bool {
        if self.left == 0 {
            self.enough = false;
            return false;
        }
        self.left -= 1;
        let Some(worked) = (self.rework)(&choice.name, value) else {
            return false;
        };
        let after = crate::inspect(&Subject {
            worked: &worked,
            ..self.subject
        });
        let gone = !after.iter().any(|f| target.stands_in(f));
        gone && after.iter().filter(|f| f.weight < Weight::Note).all(|f| {
            self.before
                .iter()
                .any(|b| b.rule == f.rule && b.place == f.place && b.weight <= f.weight)
        })
    }
}

/// The values that a choice of a number can take, on the grid the drafter writes in.
struct Scale {
    kind: Kind,
    shown: Shown,
    /// Where it stands, in steps of the grid, rounded.
    here: f64,
    /// How many steps down to the lower end of its range.
    below: i64,
    /// How many steps up.
    above: i64,
}

#[derive(Clone, Copy)]
enum Kind {
    Length,
    Degrees,
    Whole,
    Hundredths,
    Percent,
}

impl Kind {
    /// The step of the grid: inches or centimetres, degrees, a count, a hundredth, a part of one.
    fn step(self, shown: Shown) -> f64 {
        match (self, shown.unit) {
            (Self::Length, Unit::Inch) => 0.125,
            (Self::Length, Unit::Cm) => 0.5,
            (Self::Degrees | Self::Whole, _) => 1.0,
            (Self::Hundredths | Self::Percent, _) => 0.05,
        }
    }
}

impl Scale {
    fn of(choice: &ChoiceUsed, shown: Shown) -> Option<Self> {
        let (low, high) = choice.range.as_ref()?;
        let figure = |q: &Quantity| match q {
            Quantity::Length(l) => Some(shown.unit.count(*l)),
            Quantity::Angle(a) => Some(a.in_degrees()),
            Quantity::Number(n) | Quantity::Share(n) => Some(*n),
            _ => None,
        };
        let (now, low, high) = (figure(&choice.value)?, figure(low)?, figure(high)?);
        let whole = |n: f64| (n - n.round()).abs() < 1e-9;
        let kind = match choice.value {
            Quantity::Length(_) => Kind::Length,
            Quantity::Angle(_) => Kind::Degrees,
            Quantity::Share(_) => Kind::Percent,
            Quantity::Number(_) if whole(now) && whole(low) && whole(high) => Kind::Whole,
            _ => Kind::Hundredths,
        };
        let step = kind.step(shown);
        let here = (now / step).round();
        let steps = |n: f64| -> i64 {
            #[expect(
                clippy::cast_possible_truncation,
                reason = "held within a few thousand"
            )]
            let n = n.clamp(0.0, 4096.0) as i64;
            n
        };
        Some(Self {
            kind,
            shown,
            here,
            below: steps((here - low / step + 1e-6).floor()),
            above: steps((high / step - here + 1e-6).floor()),
        })
    }

    /// The value so many steps away, as it is written.
    fn text(&self, steps: i64) -> String {
        #[expect(clippy::cast_precision_loss, reason = "at most a few thousand")]
        let at = (self.here + steps as f64) * self.kind.step(self.shown);
        match self.kind {
            Kind::Length => self.shown.unit.of(at).map_or_else(
                || at.to_string(),
                |l: Length| show(l, Shown::usual(self.shown.unit)),
            ),
            Kind::Degrees => format!("{at:.0} degrees"),
            Kind::Whole => format!("{at:.0}"),
            Kind::Hundredths => format!("{at:.2}"),
            Kind::Percent => format!("{:.0} %", at * 100.0),
        }
    }
}
