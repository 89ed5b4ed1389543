//! What the class sheet asks of a pupil: the choices that its rules name, its rules in one style, and
//! each value told before the first rule that uses it.

use super::{Hand, HandChoice, HandPart, HandStage, HandStep};

/// A rule with one sign for each kind of sum: × for times, / for parts, – for less.
pub(crate) fn rule_said(rule: &str) -> String {
    let mut out = String::new();
    let mut before = ' ';
    let mut letters = rule.chars().peekable();
    while let Some(c) = letters.next() {
        let after = letters.peek().copied().unwrap_or(' ');
        let said = match c {
            '*' => '\u{d7}',
            // A hyphen within a name stays.
            '-' if !before.is_alphanumeric() || after == ' ' => '\u{2013}',
            other => other,
        };
        out.push(said);
        before = c;
    }
    thirds(&out)
}

/// Percents that are rounded from a simple part are said as the part.
fn thirds(rule: &str) -> String {
    let mut out = rule.to_owned();
    for (percent, part) in [
        ("66.7", "2/3"),
        ("33.3", "1/3"),
        ("16.7", "1/6"),
        ("83.3", "5/6"),
        ("50", "1/2"),
        ("25", "1/4"),
        ("75", "3/4"),
        ("12.5", "1/8"),
        ("37.5", "3/8"),
        ("62.5", "5/8"),
        ("87.5", "7/8"),
    ] {
        for before in [" ", "("] {
            out = out.replace(
                &format!("{before}{percent} % of "),
                &format!("{before}{part} of "),
            );
        }
        if let Some(rest) = out.strip_prefix(&format!("{percent} % of ")) {
            out = format!("{part} of {rest}");
        }
    }
    out
}

/// The rules of a step that a pupil reckons by.
fn rules(step: &HandStep) -> impl Iterator<Item = &str> {
    step.parts.iter().filter_map(|p| match p {
        HandPart::Figure {
            rule: Some(rule),
            fixed: false,
            ..
        } => Some(rule.as_str()),
        _ => None,
    })
}

/// Where a name stands in a rule as whole words.
fn stands_in(rule: &str, name: &str) -> Option<usize> {
    if name.is_empty() {
        return None;
    }
    let word = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
    rule.match_indices(name)
        .find(|(at, _)| {
            !word(rule[..*at].chars().next_back()) && !word(rule[at + name.len()..].chars().next())
        })
        .map(|(at, _)| at)
}

/// The choices that the rules of the steps name, in the method's order.
pub(crate) fn choices(hand: &Hand) -> Vec<&HandChoice> {
    let mut longest: Vec<usize> = (0..hand.choices.len()).collect();
    longest.sort_by_key(|i| core::cmp::Reverse(hand.choices[*i].name.len()));
    // The values that are told have names of their own, which may hold a choice's.
    let values: Vec<String> = hand.steps.iter().filter_map(value_name).collect();
    let mut named = vec![false; hand.choices.len()];
    for step in &hand.steps {
        for rule in rules(step) {
            let mut left = rule.to_owned();
            let mut others: Vec<&String> = values.iter().collect();
            others.sort_by_key(|v| core::cmp::Reverse(v.len()));
            for value in others {
                // A choice that says just this is asked for, not reckoned.
                if hand.choices.iter().any(|c| c.name == *value) {
                    continue;
                }
                take_out(&mut left, value);
            }
            for i in &longest {
                named[*i] |= take_out(&mut left, &hand.choices[*i].name);
            }
        }
    }
    hand.choices
        .iter()
        .zip(named)
        .filter(|(_, named)| *named)
        .map(|(c, _)| c)
        .collect()
}

/// Takes a name out of a rule wherever it stands, so that no shorter one is found in it.
fn take_out(rule: &mut String, name: &str) -> bool {
    let mut found = false;
    while let Some(at) = stands_in(rule, name) {
        rule.replace_range(at..at + name.len(), "+");
        found = true;
    }
    found
}

/// The name of a value that is told on the way.
fn value_name(step: &HandStep) -> Option<String> {
    let (None, Some(HandPart::Words(first))) = (step.number, step.parts.first()) else {
        return None;
    };
    let figure = matches!(step.parts.get(1), Some(HandPart::Figure { .. }));
    let name = first.trim().trim_end_matches(':').trim().to_lowercase();
    (figure && !name.is_empty()).then_some(name)
}

/// The steps, with each value before the first step whose rule uses it.
pub(crate) fn told_first(steps: &[HandStep]) -> Vec<HandStep> {
    let mut out = steps.to_vec();
    let mut at = 0;
    // Each value is moved at most a few times; rules never run in a ring, but no page may hang on that.
    let mut left = out.len() * 8;
    while at < out.len() {
        let used = |value: &HandStep| {
            value_name(value).is_some_and(|name| {
                rules(&out[at]).any(|r| stands_in(&r.to_lowercase(), &name).is_some())
            })
        };
        let told = |i: usize| {
            let name = value_name(&out[i]);
            out[..at]
                .iter()
                .any(|s| s.heading == out[at].heading && value_name(s) == name)
        };
        let late = (at + 1..out.len()).find(|i| {
            out[at].stage == HandStage::Sheet
                && out[*i].stage == HandStage::Sheet
                && out[*i].heading == out[at].heading
                && used(&out[*i])
                && value_name(&out[*i]) != value_name(&out[at])
                && !told(*i)
        });
        match late {
            Some(i) if left > 0 => {
                left -= 1;
                let value = out.remove(i);
                // What it is reckoned from is looked for in its turn.
                out.insert(at, value);
            }
            _ => at += 1,
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(name: &str, rule: &str) -> HandStep {
        step(None, &format!("{name} "), rule)
    }

    fn step(number: Option<u32>, words: &str, rule: &str) -> HandStep {
        HandStep {
            number,
            stage: HandStage::Sheet,
            heading: "front".into(),
            parts: vec![
                HandPart::Words(words.into()),
                HandPart::Figure {
                    shown: "1".into(),
                    rule: Some(rule.into()),
                    fixed: false,
                },
            ],
        }
    }

    /// Would catch two signs for one thing, and a hyphen of a name that is read as a minus.
    #[test]
    fn a_rule_has_one_sign_for_each_sum() {
        let rule = "waist to knee \u{2013} least of break lift and (waist to knee - 5 in) * 2";
        let said =
            "waist to knee \u{2013} least of break lift and (waist to knee \u{2013} 5 in) \u{d7} 2";
        assert_eq!(rule_said(rule), said);
        assert_eq!(
            rule_said("half-back + (-1 in)"),
            "half-back + (\u{2013}1 in)"
        );
        assert_eq!(rule_said("66.7 % of dart total"), "2/3 of dart total");
        assert_eq!(rule_said("166.7 % of dart total"), "166.7 % of dart total");
    }

    /// Would catch a choice that a rule asks for and the head of the sheet does not, and one that only
    /// stands within another name.
    #[test]
    fn choices_are_those_that_the_rules_name() {
        let choice = |name: &str| HandChoice {
            name: name.into(),
            usual: "1 in".into(),
        };
        let hand = Hand {
            steps: vec![step(
                Some(1),
                "A ",
                "(hip + hip ease) / 4 + side share \u{d7} rise",
            )],
            choices: ["ease", "hip ease", "train", "side share"]
                .map(choice)
                .to_vec(),
            ..Hand::default()
        };
        let names: Vec<&str> = choices(&hand).iter().map(|c| c.name.as_str()).collect();
        assert_eq!(names, ["hip ease", "side share"]);
    }

    /// Would catch a value that is reckoned after the rule that uses it, also by way of another.
    #[test]
    fn values_are_told_before_they_are_used() {
        let steps = [
            step(Some(1), "B ", "quarter hip"),
            value("Quarter hip", "greatest of full hip / 4 and quarter waist"),
            value("Quarter waist", "waist / 4"),
            // A ring must not hang the page.
            value("One", "other"),
            value("Other", "one"),
        ];
        let told = told_first(&steps);
        let names: Vec<Option<String>> = told.iter().take(2).map(value_name).collect();
        assert_eq!(
            names,
            [Some("quarter waist".into()), Some("quarter hip".into())]
        );
        assert_eq!(told[2].number, Some(1));
        assert_eq!(told.len(), steps.len());
    }
}
