//! A pupil with ruler and square: does what the sentences say, and nothing else.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a sentence that can't be followed fails the test"
)]

use measure::Point;

/// The paper as a pupil has it: rulings and points by name, in inches.
#[derive(Default)]
pub(crate) struct Paper {
    levels: Vec<(String, f64)>,
    uprights: Vec<(String, f64)>,
    points: Vec<(String, Point)>,
    lengths: Vec<(String, f64)>,
    /// Lines ruled straight, checked against what the sentence says they measure.
    pub(crate) ruled: usize,
}

fn number(text: &str) -> f64 {
    // The last figure before ` in`: 8 1/2, 3/8, 12.
    let words: Vec<&str> = text.split(" in").collect();
    let before = words[..words.len() - 1]
        .iter()
        .rev()
        .find(|w| w.ends_with(|c: char| c.is_ascii_digit()))
        .unwrap();
    let mut value = 0.0;
    for word in before.rsplit(' ') {
        let word = word.trim_matches(|c: char| !c.is_ascii_digit() && c != '/');
        match word.split_once('/') {
            Some((a, b)) => value += a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap(),
            None => match word.parse::<f64>() {
                Ok(whole) => return value + whole,
                Err(_) => return value,
            },
        }
    }
    value
}

fn named(all: &[(String, f64)], name: &str) -> f64 {
    all.iter()
        .rev()
        .find(|(n, _)| n == name.trim())
        .unwrap_or_else(|| panic!("no {name} on the paper"))
        .1
}

impl Paper {
    /// A point that was marked.
    pub(crate) fn point(&self, name: &str) -> Point {
        self.points
            .iter()
            .rev()
            .find(|(n, _)| n == name.trim())
            .unwrap_or_else(|| panic!("no {name} on the paper"))
            .1
    }

    fn put(&mut self, name: &str, p: Point) {
        self.points
            .push((name.trim().trim_end_matches('.').to_owned(), p));
    }

    /// Where two rulings cross: "the waist line and the centre line cross".
    fn crossing(&self, text: &str) -> Point {
        let text = text
            .trim()
            .trim_end_matches(" cross")
            .trim_end_matches(" cross.");
        let (a, b) = text.split_once(" and ").unwrap();
        let (a, b) = (
            a.trim().trim_start_matches("the "),
            b.trim().trim_start_matches("the ").trim_end_matches('.'),
        );
        Point::new(named(&self.uprights, b), named(&self.levels, a))
    }

    fn moved(mut p: Point, moves: &str) -> Point {
        for step in moves.split(", then ") {
            let by = number(step);
            let step = step.trim();
            if step.starts_with("out ") {
                p.x += by;
            } else if step.starts_with("in ") {
                p.x -= by;
            } else if step.starts_with("up ") {
                p.y -= by;
            } else if step.starts_with("down ") {
                p.y += by;
            } else {
                panic!("which way: {step}");
            }
        }
        p
    }

    /// Does what one sentence says.
    pub(crate) fn follow(&mut self, said: &str) {
        let said = said.trim();
        if let Some(rest) = said.strip_prefix("Rule the ") {
            let (top, rest) = rest.split_once(" across the top of the paper").unwrap();
            self.levels.push((top.to_owned(), 0.0));
            let left = rest
                .trim_start_matches(" and the ")
                .split_once(" down its left edge")
                .unwrap()
                .0;
            self.uprights.push((left.to_owned(), 0.0));
        } else if said.starts_with("Come down ") || said.starts_with("Go up ") {
            let (far, ruled) = said.split_once(" and rule the ").unwrap();
            let (far, from) = far.rsplit_once(" from the ").unwrap();
            let way = if said.starts_with("Come down ") {
                1.0
            } else {
                -1.0
            };
            let at = named(&self.levels, from) + way * number(&format!("{far} "));
            self.levels
                .push((ruled.trim_end_matches(" across.").to_owned(), at));
        } else if let Some(rest) = said.strip_prefix("On the ") {
            let (moves, name) = rest.split_once(" and mark ").unwrap();
            let (level, moves) = moves.split_once(" go ").unwrap();
            let (first, rest) = moves.split_once(" from the ").unwrap();
            let (upright, then) = rest.split_once(',').unwrap_or((rest, ""));
            let start = Point::new(named(&self.uprights, upright), named(&self.levels, level));
            let mut p = Self::moved(start, first);
            let then = then.trim().trim_start_matches("then ");
            if !then.is_empty() {
                p = Self::moved(p, then);
            }
            self.put(name, p);
        } else if let Some(rest) = said.strip_prefix("Mark ") {
            let Some((name, at)) = rest.split_once(" where ") else {
                return;
            };
            let p = self.crossing(at);
            self.put(name, p);
        } else if let Some(rest) = said.strip_prefix("From where ") {
            let (from, rest) = rest.split_once(" go ").unwrap();
            let (moves, name) = rest.split_once(" and mark ").unwrap();
            let p = Self::moved(self.crossing(from), moves);
            self.put(name, p);
        } else if let Some(rest) = said.strip_prefix("Draw the ") {
            let (name, rest) = rest.split_once(" from ").unwrap();
            self.lengths.push((name.to_owned(), f64::NAN));
            if let Some((from, to)) = rest.split_once(" straight to ")
                && !from.contains(" in a curve")
            {
                let a = self.point(from);
                let to = to.trim_end_matches('.');
                let b = match to.strip_prefix("the crossing of ") {
                    Some(two) => {
                        let p = self.crossing(two);
                        self.put(&format!("the end of the {name}"), p);
                        p
                    }
                    None => self.point(to),
                };
                if let Some(last) = self.lengths.last_mut() {
                    last.1 = (b - a).size();
                }
            }
        } else if said.starts_with("It measures ") {
            let said = number(said);
            let (name, drawn) = self.lengths.last().unwrap();
            if drawn.is_finite() {
                // Each end was set to the nearest sixteenth.
                assert!(
                    (said - drawn).abs() < 0.1,
                    "the {name} is said to measure {said} and measures {drawn} on the paper"
                );
                self.ruled += 1;
            }
        }
    }
}
