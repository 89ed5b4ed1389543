//! Questions: slips found and named, clean bodies left alone.

use super::*;

/// A woman near the middle of the survey of 1988, in inches.
fn usual() -> Card {
    [
        ("height", 64.0),
        ("bust", 35.5),
        ("waist", 28.25),
        ("hip", 38.0),
        ("thigh", 22.75),
        ("knee", 14.25),
        ("calf", 13.875),
        ("waist to hip", 8.625),
        ("waist to knee", 23.5),
        ("waist to floor", 41.5),
        ("heel", 0.0),
    ]
    .into_iter()
    .fold(Card::new("x", Unit::Inch), |card, (name, inches)| {
        card.with(name, Length::inches(inches))
    })
}

fn asks(card: &Card) -> Vec<Question> {
    ask(card)
        .into_iter()
        .filter(|q| q.weight == Weight::Ask)
        .collect()
}

fn of_rule(card: &Card, rule: &str) -> Option<Question> {
    ask(card).into_iter().find(|q| q.rule == rule)
}

/// Catches a rule that troubles the usual woman.
#[test]
fn the_usual_woman_is_left_alone() {
    assert_eq!(ask(&usual()), []);
}

/// Catches a wrong field, a wrong mend, or a sentence that got worse.
#[test]
fn what_is_asked() {
    let say = |name: &str, length: Length| {
        let asks = asks(&usual().with(name, length));
        assert_eq!(asks.len(), 1, "{asks:?}");
        assert_eq!(asks[0].measure, name);
        (asks[0].says.clone(), asks[0].likely)
    };
    let (says, likely) = say("waist to hip", Length::inches(22.25));
    assert_eq!(
        says,
        "waist to hip 22 1/4 in is longer than anyone measured; was it 22 1/4 cm, 8 3/4 in?"
    );
    assert_eq!(likely, Some(Length::cm(22.25)));
    let (says, likely) = say("hip", Length::inches(83.0));
    assert!(
        says.ends_with("; was it 38 in, with two digits exchanged?"),
        "{says}"
    );
    assert_eq!(likely, Some(Length::inches(38.0)));
    let (says, likely) = say("thigh", Length::inches(11.375));
    assert!(
        says.ends_with("; is it only half, and the whole 22 3/4 in?"),
        "{says}"
    );
    assert_eq!(likely, Some(Length::inches(22.75)));
    let (says, _) = say("knee", Length::inches(18.5));
    assert!(
        says.starts_with("knee 18 1/2 in is larger than her other measures let expect"),
        "{says}"
    );
}

/// Catches figures of one question that can't be held against each other: a measure typed in metres on a
/// card in inches.
#[test]
fn a_question_speaks_in_the_unit_in_which_its_measure_was_typed() {
    let card = usual().with_typed("waist to floor", Length::cm(80.0), "0.8 m");
    let asks = asks(&card);
    let floor = asks.iter().find(|q| q.measure == "waist to floor").unwrap();
    assert!(
        floor.says.contains(" cm") && !floor.says.contains(" in,") && !floor.says.contains(" in;"),
        "{}",
        floor.says
    );
}

/// Catches a height in metres on a card in centimetres for which no likely value is offered.
#[test]
fn metres_on_a_card_in_centimetres_are_understood() {
    let card = usual()
        .measures()
        .fold(Card::new("x", Unit::Cm), |card, m| {
            card.with(&m.name, m.length)
        })
        .with_typed("height", Length::cm(1.68), "1,68");
    let asks = asks(&card);
    let height = asks.iter().find(|q| q.measure == "height").unwrap();
    assert!(height.says.contains("in metres, 168 cm"), "{}", height.says);
    assert_eq!(height.likely, Some(Length::cm(168.0)));
}

/// Catches an exchange of two fields that is asked about twice, or not seen as one.
#[test]
fn exchanged_fields_are_one_question() {
    for (a, b) in [
        ("waist", "hip"),
        ("waist to knee", "waist to floor"),
        ("waist to hip", "waist to knee"),
        ("thigh", "knee"),
    ] {
        let card = usual();
        let (x, y) = (card.get(a).unwrap(), card.get(b).unwrap());
        let asks = asks(&card.with(a, y).with(b, x));
        assert_eq!(asks.len(), 1, "{a} {b}: {asks:?}");
        let q = &asks[0];
        assert!(q.measure == a || q.measure == b);
        assert!(q.says.contains("exchanged with"), "{}", q.says);
        assert_eq!(q.likely, Some(if q.measure == a { x } else { y }));
    }
}

/// Catches a card in the wrong unit that is asked about field by field.
#[test]
fn a_whole_card_in_the_other_unit_is_one_question() {
    for by in [2.54, 1.0 / 2.54] {
        let card = usual()
            .measures()
            .fold(Card::new("x", Unit::Inch), |card, m| {
                card.with(&m.name, m.length * by)
            });
        let questions = ask(&card);
        assert_eq!(questions.len(), 1, "{questions:?}");
        assert_eq!(questions[0].measure, "unit");
    }
}

/// Catches two slips of which the second is hidden by the first.
#[test]
fn two_slips_are_two_questions() {
    let card = usual()
        .with("hip", Length::inches(96.5))
        .with("knee", Length::inches(41.25));
    let mut names: Vec<String> = asks(&card).into_iter().map(|q| q.measure).collect();
    names.sort();
    assert_eq!(names, ["hip", "knee"]);
}

/// Catches a heel that makes a clean card look odd.
#[test]
fn heels_are_taken_off_before_any_rule() {
    let shod = usual()
        .with("waist to floor", Length::inches(45.5))
        .with("heel", Length::inches(4.0));
    assert_eq!(ask(&shod), []);
    let bare = usual().without("heel");
    let note = of_rule(&bare, "card.q14").unwrap();
    assert_eq!((note.measure.as_str(), note.weight), ("heel", Weight::Note));
    assert_eq!(of_rule(&bare.without("waist to floor"), "card.q14"), None);
}

/// Catches a padded hip that enters the body model, or one that stands alone.
#[test]
fn the_padded_hip_stays_outside() {
    let padded = usual().with("padded hip", Length::inches(42.0));
    assert_eq!(ask(&padded), []);
    assert!(of_rule(&padded.clone().without("hip"), "card.q12").is_some());
    let slip = usual().with("padded hip", Length::inches(106.0));
    assert_eq!(asks(&slip)[0].measure, "padded hip");
    let less = usual().with("padded hip", Length::inches(37.75));
    assert!(of_rule(&less, "card.q12").is_some());
}

/// A double-check's rule, the card that just passes, and the card that just fails.
type Check = (
    &'static str,
    &'static [(&'static str, f64)],
    &'static [(&'static str, f64)],
);

/// Catches a double-check that fires too early or too late: each by a hair on both sides.
#[test]
fn the_double_checks_by_a_hair() {
    let checks: &[Check] = &[
        (
            "card.q1",
            &[("front waist arc", 14.5), ("back waist arc", 14.0)],
            &[("front waist arc", 14.625), ("back waist arc", 14.0)],
        ),
        (
            "card.q1",
            &[("front hip arc", 18.75), ("back hip arc", 19.0)],
            &[("front hip arc", 18.5), ("back hip arc", 19.125)],
        ),
        ("card.q2", &[("high hip", 38.0)], &[("high hip", 38.125)]),
        ("card.q3", &[("waist", 34.0)], &[("waist", 34.125)]),
        ("card.q4", &[("both knees", 21.5)], &[("both knees", 21.25)]),
        (
            "card.q4",
            &[("both knees", 24.875)],
            &[("both knees", 25.0)],
        ),
        (
            "card.q6",
            &[
                ("front waist to floor", 41.0),
                ("back waist to floor", 43.0),
            ],
            &[
                ("front waist to floor", 41.0),
                ("back waist to floor", 43.125),
            ],
        ),
        (
            "card.q6",
            &[("front waist to floor", 41.75)],
            &[("front waist to floor", 41.875)],
        ),
        (
            "card.q7",
            &[("back waist to knee", 25.5)],
            &[("back waist to knee", 25.625)],
        ),
        (
            "card.q7",
            &[("back waist to knee", 23.5)],
            &[("back waist to knee", 23.375)],
        ),
        (
            "card.q8",
            &[("seated hip", 38.0)],
            &[("seated hip", 37.875)],
        ),
        (
            "card.q8",
            &[("both thighs", 38.0)],
            &[("both thighs", 38.125)],
        ),
        (
            "card.q9",
            &[
                ("front waist length", 12.25),
                ("front waist to floor", 41.0),
                ("hollow to floor", 53.75),
            ],
            &[
                ("front waist length", 12.25),
                ("front waist to floor", 41.0),
                ("hollow to floor", 53.875),
            ],
        ),
        (
            "card.q10",
            &[("back waist length", 14.5), ("shoulder to waist", 17.5)],
            &[("back waist length", 14.5), ("shoulder to waist", 17.625)],
        ),
        (
            "card.q13",
            &[
                ("left waist to floor", 41.5),
                ("right waist to floor", 41.875),
            ],
            &[
                ("left waist to floor", 41.5),
                ("right waist to floor", 42.0),
            ],
        ),
        (
            "card.bent",
            &[("bent knee", 16.25)],
            &[("bent knee", 16.375)],
        ),
        (
            "card.sum",
            &[("knee to floor", 18.25)],
            &[("knee to floor", 18.375)],
        ),
        (
            "card.order",
            &[("high bust", 35.5)],
            &[("high bust", 35.625)],
        ),
    ];
    for (rule, passes, fails) in checks {
        let with = |all: &[(&str, f64)]| {
            all.iter().fold(usual(), |card, (name, inches)| {
                card.with(name, Length::inches(*inches))
            })
        };
        let found = of_rule(&with(passes), rule);
        assert_eq!(found, None, "{rule} {passes:?}");
        let found = of_rule(&with(fails), rule);
        assert!(
            found.is_some_and(|q| q.weight == Weight::Note),
            "{rule} {fails:?}"
        );
    }
}

/// Catches a pair rule that does not fire, fires early, or names the wrong one of the two. With few
/// measures on the card the pair alone must speak.
#[test]
fn pairs_by_a_hair() {
    let two = |a: &str, x: f64, b: &str, y: f64| {
        Card::new("x", Unit::Inch)
            .with(a, Length::inches(x))
            .with(b, Length::inches(y))
    };
    for (odd, low, fine, beside, y) in [
        ("waist to hip", 5.5, 5.625, "height", 64.0),
        ("knee", 18.375, 18.25, "hip", 40.0),
        ("waist to knee", 25.75, 25.625, "waist to floor", 41.25),
        ("underbust", 36.75, 36.5, "bust", 37.0),
    ] {
        assert!(asks(&two(odd, fine, beside, y)).is_empty(), "{odd} {fine}");
        let asked = &asks(&two(odd, low, beside, y))[0];
        assert_eq!(
            (asked.measure.as_str(), asked.rule.as_str()),
            (odd, "card.pair")
        );
    }
}

/// Catches two double-checks that fire too early or too late on a card that says little else; on a
/// fuller one the finer test speaks first.
#[test]
fn double_checks_of_short_cards_by_a_hair() {
    let two = |a: &str, x: f64, b: &str, y: f64| {
        Card::new("x", Unit::Inch)
            .with(a, Length::inches(x))
            .with(b, Length::inches(y))
    };
    let high = |inches: f64| two("waist", 33.0, "high hip", inches);
    assert_eq!(of_rule(&high(33.0), "card.q2"), None);
    assert!(of_rule(&high(32.875), "card.q2").is_some());
    let floor = |inches: f64| two("waist to knee", 23.5, "waist to floor", inches);
    for (fine, odd) in [(44.0, 44.125), (39.25, 39.125)] {
        assert_eq!(of_rule(&floor(fine), "card.q5"), None);
        assert!(of_rule(&floor(odd), "card.q5").is_some());
    }
}

/// Catches a single measure beyond all that was seen that is let pass, or one at the edge that is
/// asked about.
#[test]
fn seen_by_a_hair() {
    let one = |inches: f64| Card::new("x", Unit::Inch).with("calf", Length::inches(inches));
    assert_eq!(ask(&one(20.0)), []);
    assert_eq!(ask(&one(20.125))[0].weight, Weight::Note);
    assert_eq!(ask(&one(21.5))[0].weight, Weight::Note);
    assert_eq!(ask(&one(21.625))[0].weight, Weight::Ask);
    let large = one(21.625).with("hip", Length::inches(53.0));
    assert!(asks(&large).is_empty(), "{:?}", ask(&large));
}

/// Catches readings that do not agree and are let pass.
#[test]
fn readings_that_disagree_are_asked_about() {
    let inches = |all: [f64; 2]| all.map(Length::inches);
    let fine = usual().with_readings("waist", &inches([28.25, 28.5]));
    let far = usual().with_readings("waist", &inches([28.25, 28.625]));
    assert_eq!(ask(&fine), []);
    let asks = asks(&far);
    assert_eq!(
        (asks[0].rule.as_str(), asks[0].measure.as_str()),
        ("card.readings", "waist")
    );
}

/// Catches a rule that is not in the table, or a sentence that does not end.
#[test]
fn every_question_has_its_rule_and_its_stop() {
    let odd = usual()
        .with("hip", Length::inches(56.0))
        .with("both knees", Length::inches(30.0))
        .with("knee to floor", Length::inches(19.0))
        .with("height", Length::inches(55.0))
        .with("stair", Length::inches(11.0))
        .without("heel");
    let questions = ask(&odd);
    assert!(questions.len() > 3);
    for q in questions {
        assert!(RULES.iter().any(|(id, _)| *id == q.rule), "{}", q.rule);
        assert!(q.says.ends_with(['?', '.', ')']), "{}", q.says);
    }
}

/// Catches a number or a panic that an odd card brings forth.
#[test]
fn any_card_is_asked_without_a_panic() {
    for inches in [0.01, 0.5, 3.0, 60.0, 199.0] {
        for only in ["hip", "waist to floor", "heel", "stride", "ankle to floor"] {
            let alone = Card::new("x", Unit::Cm).with(only, Length::inches(inches));
            let beside = usual().with(only, Length::inches(inches));
            let all: Card = names::all().iter().fold(beside.clone(), |card, m| {
                if m.kind == Kind::Angle {
                    card
                } else {
                    card.with(m.name, Length::inches(inches))
                }
            });
            for card in [alone, beside, all] {
                for q in ask(&card) {
                    assert!(
                        !q.says.contains("NaN") && !q.says.contains("inf "),
                        "{}",
                        q.says
                    );
                }
            }
        }
    }
}

mod rates;
