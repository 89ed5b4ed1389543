//! The measurer's double-checks: sums that must come out, and orders that seldom change.
//!
//! Common practice, no source, with tolerances from memory, as `docs/measures.md` says; the numbers
//! Q1 to Q14 are those of the list there.

use super::{Question, Told, Weight, shown};
use crate::card::Card;
use crate::length::Length;
use crate::names::Kind;

/// Sums of lengths come out within this.
const SUM_IN: f64 = 0.25;

/// Lengths are kept in millimetres, so a difference of exactly 2 in may come out a hair more.
const HAIR: f64 = 1e-6;

fn lies_within(x: f64, low: f64, high: f64) -> bool {
    (low - HAIR..=high + HAIR).contains(&x)
}

/// Adds the double-checks as notes. One that rests on a measure that is asked about already is
/// left out: it would only repeat the question under another name.
pub(super) fn ask(card: &Card, told: &mut Told) {
    let tape = Tape { card, told };
    let mut notes = Vec::new();
    tape.sums(&mut notes);
    tape.girths(&mut notes);
    tape.lengths(&mut notes);
    tape.upper(&mut notes);
    tape.shoes(&mut notes);
    tape.readings(&mut notes);
    // The finer test may have said the same of the same measure; once is enough. But a sum names
    // one of three, and a measure that is missing or was read twice is another matter.
    let apart = ["card.sum", "card.q12", "card.q14", "card.readings"];
    let new: Vec<Question> = notes
        .into_iter()
        .filter(|n| apart.contains(&n.rule.as_str()) || !told.has(&n.measure))
        .collect();
    for note in new {
        told.push(note);
    }
}

struct Tape<'a> {
    card: &'a Card,
    told: &'a Told,
}

impl Tape<'_> {
    /// A measure as it stands on the card, unless it is asked about already.
    fn get(&self, name: &str) -> Option<Length> {
        if self.told.doubts(name) {
            return None;
        }
        self.card.get(name)
    }

    fn two(&self, a: &str, b: &str) -> Option<(Length, Length)> {
        self.get(a).zip(self.get(b))
    }

    fn show(&self, length: Length) -> String {
        shown(self.card.unit(), length)
    }

    fn note(measure: &str, rule: &str, says: String, likely: Option<Length>) -> Question {
        Question {
            measure: measure.to_owned(),
            weight: Weight::Note,
            rule: rule.to_owned(),
            says,
            likely,
        }
    }

    /// Q1, Q9 and the sums of lengths: parts that must make up a whole.
    fn sums(&self, out: &mut Vec<Question>) {
        let sums: [(&str, &str, &str, &str, f64); 9] = [
            (
                "waist",
                "front waist arc",
                "back waist arc",
                "card.q1",
                SUM_IN,
            ),
            ("hip", "front hip arc", "back hip arc", "card.q1", SUM_IN),
            ("bust", "front bust arc", "back bust arc", "card.q1", SUM_IN),
            (
                "waist to floor",
                "waist to knee",
                "knee to floor",
                "card.sum",
                SUM_IN,
            ),
            (
                "waist to floor",
                "waist to hip",
                "hip to floor",
                "card.sum",
                SUM_IN,
            ),
            (
                "waist to floor",
                "waist to ankle",
                "ankle to floor",
                "card.sum",
                0.5,
            ),
            (
                "waist to knee",
                "waist to hip",
                "hip to knee",
                "card.sum",
                SUM_IN,
            ),
            (
                "hip to floor",
                "hip to knee",
                "knee to floor",
                "card.sum",
                SUM_IN,
            ),
            (
                "hollow to floor",
                "front waist length",
                "front waist to floor",
                "card.q9",
                0.5,
            ),
        ];
        for (whole, one, other, rule, within) in sums {
            let (Some(sum), Some((a, b))) = (self.get(whole), self.two(one, other)) else {
                continue;
            };
            let apart = a + b - sum;
            if apart.abs().in_inches() > within + HAIR {
                out.push(Self::note(
                    whole,
                    rule,
                    format!(
                        "{whole} {} is not {one} {} and {other} {} together: they differ by {}. Which of the three is it?",
                        self.show(sum),
                        self.show(a),
                        self.show(b),
                        self.show(apart.abs()),
                    ),
                    None,
                ));
            }
        }
    }

    /// Q2, Q3, Q4, Q8 and the bent knee: girths beside girths.
    fn girths(&self, out: &mut Vec<Question>) {
        if let Some((waist, high)) = self.two("waist", "high hip")
            && high < waist
        {
            out.push(Self::note(
                "high hip",
                "card.q2",
                format!(
                    "high hip {} is less than the waist {}; is that a belly above it?",
                    self.show(high),
                    self.show(waist)
                ),
                None,
            ));
        }
        if let Some((high, hip)) = self.two("high hip", "hip")
            && high > hip
        {
            out.push(Self::note(
                "high hip",
                "card.q2",
                format!(
                    "high hip {} is more than the hip {}; if that is her belly, the larger one rules the skirt.",
                    self.show(high),
                    self.show(hip)
                ),
                None,
            ));
        }
        if let Some((waist, hip)) = self.two("waist", "hip") {
            let less = hip - waist;
            if !lies_within(less.in_inches(), 4.0, 15.0) {
                out.push(Self::note(
                    "waist",
                    "card.q3",
                    format!(
                        "hip less waist is {} ({} less {}); most women have {} to {}. Were both taken level and snug?",
                        self.show(less),
                        self.show(hip),
                        self.show(waist),
                        self.show(Length::inches(4.0)),
                        self.show(Length::inches(15.0)),
                    ),
                    None,
                ));
            }
        }
        if let Some((knee, both)) = self.two("knee", "both knees") {
            let times = both / knee;
            if !lies_within(times, 1.5, 1.75) {
                out.push(Self::note(
                    "both knees",
                    "card.q4",
                    format!(
                        "both knees {} is {times:.2} times the knee {}; two round knees side by side are 1.64 times, {}.",
                        self.show(both),
                        self.show(knee),
                        self.show(knee * 1.637),
                    ),
                    Some(knee * 1.637),
                ));
            }
        }
        if let Some((knee, bent)) = self.two("knee", "bent knee")
            && !lies_within((bent - knee).in_inches(), 0.0, 2.0)
        {
            out.push(Self::note(
                "bent knee",
                "card.bent",
                format!(
                    "bent knee {} beside the knee {}: bending adds up to {}.",
                    self.show(bent),
                    self.show(knee),
                    self.show(Length::inches(2.0))
                ),
                None,
            ));
        }
        if let Some((hip, seated)) = self.two("hip", "seated hip")
            && seated < hip
        {
            out.push(Self::note(
                "seated hip",
                "card.q8",
                format!(
                    "seated hip {} is less than the hip {}; sitting does not make it less.",
                    self.show(seated),
                    self.show(hip)
                ),
                None,
            ));
        }
        if let Some((hip, padded)) = self.two("hip", "padded hip")
            && padded < hip
        {
            out.push(Self::note(
                "padded hip",
                "card.q12",
                format!(
                    "padded hip {} is less than the hip {}; a pad does not make it less.",
                    self.show(padded),
                    self.show(hip)
                ),
                None,
            ));
        }
        if let Some((hip, both)) = self.two("hip", "both thighs")
            && both > hip
        {
            out.push(Self::note(
                "both thighs",
                "card.q8",
                format!(
                    "both thighs {} is more than the hip {}; then the thighs rule the skirt.",
                    self.show(both),
                    self.show(hip)
                ),
                None,
            ));
        }
    }

    /// Q5, Q6, Q7, Q13: lengths beside lengths.
    fn lengths(&self, out: &mut Vec<Question>) {
        if let Some((floor, knee)) = self.two("waist to floor", "waist to knee") {
            let heel = self.card.heel_in("waist to floor");
            let left = floor - knee - heel;
            if !lies_within(left.in_inches(), 15.7, 20.6) {
                out.push(Self::note(
                    "waist to floor",
                    "card.q5",
                    format!(
                        "from knee to floor only {} would be left, barefoot ({} less {} less the heel); most women have {} to {}.",
                        self.show(left),
                        self.show(floor),
                        self.show(knee),
                        self.show(Length::inches(15.7)),
                        self.show(Length::inches(20.6)),
                    ).replacen("only ", if left.in_inches() < 15.7 { "only " } else { "" }, 1),
                    None,
                ));
            }
        }
        if let Some((front, back)) = self.two("front waist to floor", "back waist to floor") {
            let more = (back - front).in_inches();
            if !lies_within(more, -1.0, 2.0) {
                out.push(Self::note(
                    "back waist to floor",
                    "card.q6",
                    format!(
                        "back waist to floor {} beside the front {}: the back is usually from {} less to {} more.",
                        self.show(back),
                        self.show(front),
                        self.show(Length::inches(1.0)),
                        self.show(Length::inches(2.0)),
                    ),
                    None,
                ));
            }
        }
        if let Some((front, side)) = self.two("front waist to floor", "waist to floor")
            && (front - side).in_inches() > SUM_IN + HAIR
        {
            out.push(Self::note(
                "front waist to floor",
                "card.q6",
                format!(
                    "front waist to floor {} is more than the side {}; it usually is not.",
                    self.show(front),
                    self.show(side)
                ),
                None,
            ));
        }
        for front_name in ["front waist to knee", "waist to knee"] {
            if let Some((front, back)) = self.two(front_name, "back waist to knee") {
                let more = (back - front).in_inches();
                if !lies_within(more, 0.0, 2.0) {
                    out.push(Self::note(
                        "back waist to knee",
                        "card.q7",
                        format!(
                            "back waist to knee {} beside the front {}: the seat makes the back longer, by up to {}.",
                            self.show(back),
                            self.show(front),
                            self.show(Length::inches(2.0)),
                        ),
                        None,
                    ));
                }
                break;
            }
        }
        if let Some((left, right)) = self.two("left waist to floor", "right waist to floor")
            && (left - right).abs().in_inches() > 0.375 + HAIR
        {
            out.push(Self::note(
                "left waist to floor",
                "card.q13",
                format!(
                    "left side {} and right side {} differ by {}: draft the two sides apart, or use the longer for both.",
                    self.show(left),
                    self.show(right),
                    self.show((left - right).abs()),
                ),
                None,
            ));
        }
    }

    /// Q10: the bodice.
    fn upper(&self, out: &mut Vec<Question>) {
        if let Some((over, centre)) = self.two("shoulder to waist", "front waist length")
            && over <= centre
        {
            out.push(Self::note(
                "shoulder to waist",
                "card.q10",
                format!(
                    "shoulder to waist {} must be more than front waist length {}: it starts higher and goes over the bust.",
                    self.show(over),
                    self.show(centre)
                ),
                None,
            ));
        }
        if let Some((bust, over)) = self.two("shoulder to bust", "shoulder to waist")
            && bust >= over
        {
            out.push(Self::note(
                "shoulder to bust",
                "card.q10",
                format!(
                    "shoulder to bust {} must be less than shoulder to waist {}.",
                    self.show(bust),
                    self.show(over)
                ),
                None,
            ));
        }
        if let Some((back, over)) = self.two("back waist length", "shoulder to waist")
            && (back - over).abs().in_inches() > 3.0 + HAIR
        {
            out.push(Self::note(
                "shoulder to waist",
                "card.q10",
                format!(
                    "shoulder to waist {} and back waist length {} differ by more than {}; is one from another waist?",
                    self.show(over),
                    self.show(back),
                    self.show(Length::inches(3.0)),
                ),
                None,
            ));
        }
        if let Some((bust, under)) = self.two("bust", "underbust")
            && under > bust
        {
            out.push(Self::note(
                "underbust",
                "card.order",
                format!(
                    "underbust {} is more than the bust {}.",
                    self.show(under),
                    self.show(bust)
                ),
                None,
            ));
        }
        if let Some((bust, high)) = self.two("bust", "high bust")
            && high > bust
        {
            out.push(Self::note(
                "high bust",
                "card.order",
                format!(
                    "high bust {} is more than the bust {}.",
                    self.show(high),
                    self.show(bust)
                ),
                None,
            ));
        }
    }

    /// Two readings that do not agree.
    fn readings(&self, out: &mut Vec<Question>) {
        for measured in self.card.measures().filter(|m| !m.is_agreed()) {
            out.push(Question {
                measure: measured.name.clone(),
                weight: Weight::Ask,
                rule: "card.readings".to_owned(),
                says: format!(
                    "{} was read {}; these do not agree. Please take it once more.",
                    measured.name, measured.typed
                ),
                likely: None,
            });
        }
    }

    /// Q12 and Q14: what must stand beside what.
    fn shoes(&self, out: &mut Vec<Question>) {
        if self.card.get("padded hip").is_some() && self.card.get("hip").is_none() {
            out.push(Self::note(
                "hip",
                "card.q12",
                "The hip over pads is on the card but not the natural hip; please take that too."
                    .to_owned(),
                None,
            ));
        }
        let floor = self
            .card
            .measures()
            .find(|m| crate::names::find(&m.name).is_some_and(|n| n.kind == Kind::Floor));
        if let Some(floor) = floor
            && self.card.get("heel").is_none()
        {
            out.push(Self::note(
                "heel",
                "card.q14",
                format!(
                    "{} is on the card but no heel, so floor lengths count as barefoot. Write the heel of her shoes, or 0.",
                    floor.name
                ),
                None,
            ));
        }
    }
}
