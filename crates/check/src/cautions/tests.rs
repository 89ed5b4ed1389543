//! Each caution where it applies, and nowhere else.

use lay::Cloth;
use measure::{Date, Length};

use super::*;
use crate::measured::Step;
use crate::sketch::{Sketch, edge, flared};

fn topics(sketch: &Sketch, measured: &Measured) -> Vec<&'static str> {
    cautions(&Seen::of(&sketch.subject()), measured)
        .iter()
        .map(|c| c.topic)
        .collect()
}

/// The sample, 40 in long, on a woman whose waist is so many inches from the floor.
fn above(floor: f64) -> Sketch {
    let mut sketch = flared(3.0, 3.0);
    sketch.card = sketch.card.with("waist to floor", Length::inches(floor));
    sketch
}

fn of(cloth: Cloth) -> Sketch {
    above(50.0).of_cloth(cloth)
}

const ALWAYS: [&str; 2] = ["workshop", "workshop"];

/// Would catch a short skirt on flat shoes that is told to lift its train.
#[test]
fn a_plain_short_skirt_is_told_of_the_workshop_only() {
    assert_eq!(topics(&above(44.0), &Measured::default()), ALWAYS);
}

/// Would catch a limit that slipped: within 2 in of the floor it is long, an inch past it it is a train.
#[test]
fn how_far_it_reaches_decides() {
    let told = |floor: f64| topics(&above(floor), &Measured::default());
    assert_eq!(told(42.1), ALWAYS);
    for floor in [41.9, 40.0, 39.1] {
        let told = told(floor);
        for topic in [
            "stairs",
            "escalators, lifts and doors",
            "driving",
            "moving machinery",
        ] {
            assert!(told.contains(&topic), "{floor}: {told:?}");
        }
        assert!(
            !told.contains(&"train") && !told.contains(&"fire"),
            "{told:?}"
        );
    }
    let train = told(38.9);
    assert!(
        train.contains(&"train") && train.contains(&"fire"),
        "{train:?}"
    );
}

/// Would catch a short step or a high heel that is passed over.
#[test]
fn a_short_step_and_a_heel_are_cautioned() {
    let step = |inches: f64| Measured {
        step: Some(Step {
            longest: Length::inches(inches),
            below_waist: Length::inches(19.0),
            girth: Length::inches(30.0),
            assumed: Vec::new(),
        }),
        ..Measured::default()
    };
    assert_eq!(topics(&above(50.0), &step(15.1)), ALWAYS);
    let told = topics(&above(50.0), &step(14.9));
    assert!(
        told.contains(&"stairs") && told.contains(&"driving"),
        "{told:?}"
    );
    let mut heels = above(50.0);
    heels.card = heels.card.with("heel", Length::inches(2.5));
    assert_eq!(topics(&heels, &Measured::default())[0], "driving");
}

/// Would catch a short wide skirt whose hem is to be gathered, and low shoes that are to be changed.
#[test]
fn at_the_pedals_only_what_is_there_is_told() {
    for (floor, heel, shoes, hem) in [
        (50.0, 2.5, true, false),
        (50.0, 1.0, false, false),
        (40.0, 1.0, false, true),
        (40.0, 2.5, true, true),
    ] {
        let mut sketch = above(floor);
        sketch.card = sketch.card.with("heel", Length::inches(heel));
        let told = cautions(&Seen::of(&sketch.subject()), &Measured::default());
        let driving: Vec<&str> = told
            .iter()
            .filter(|c| c.topic == "driving")
            .map(|c| c.says)
            .collect();
        assert_eq!(driving.len(), usize::from(shoes || hem), "{driving:?}");
        let says = driving.concat();
        assert_eq!(says.contains("shoes"), shoes, "{floor} {heel}: {says}");
        assert_eq!(says.contains("hem"), hem, "{floor} {heel}: {says}");
    }
}

/// 16 CFR 1610.1(d) (from memory): plain cloth of 88 g/m2 and more of any fibre is exempt from the
/// test, and polyester, nylon and wool at any weight. Would catch tulle that is passed over.
#[test]
fn the_cloth_decides_about_fire() {
    let cloth = |fibre: &str, make: &str, weight: f64| Cloth {
        fibre: Some(fibre.into()),
        make: Some(make.into()),
        weight: Some(weight),
        ..Cloth::default()
    };
    for (fibre, make, weight, words) in [
        ("Nylon", "bridal tulle", 20.0, "burn fast"),
        ("silk", "chiffon", 30.0, "burn fast"),
        ("viscose", "crepe", 150.0, "burn fast"),
        ("cotton", "poplin", 120.0, "burn fast"),
        ("silk", "satin", 82.46, "burn fast"),
        ("silk", "duchess satin", 160.0, ""),
        ("wool", "crepe", 150.0, ""),
        ("polyester", "satin", 160.0, "melts"),
    ] {
        let sketch = of(cloth(fibre, make, weight));
        let told = cautions(&Seen::of(&sketch.subject()), &Measured::default());
        let fire: Vec<&Caution> = told.iter().filter(|c| c.topic == "fire").collect();
        if words.is_empty() {
            assert!(fire.is_empty(), "{fibre} {make}: {fire:?}");
        } else {
            assert_eq!(fire.len(), 1, "{fibre} {make}");
            assert!(fire[0].says.contains(words), "{fibre} {make}: {fire:?}");
        }
    }
}

/// Would catch a waist as large as hers called tight, and one that laces in passed over.
#[test]
fn a_waist_smaller_than_hers_is_cautioned() {
    let mut sketch = above(50.0);
    sketch.card = sketch.card.with("waist", Length::inches(28.0));
    let round = |inches: f64| Measured {
        waist: Some(Length::inches(inches)),
        ..Measured::default()
    };
    assert_eq!(topics(&sketch, &round(28.0)), ALWAYS);
    assert_eq!(topics(&sketch, &round(27.5))[0], "tight lacing");
}

/// Would catch a bodice that laces in under the bust passed over: a tube of four quarters of 7 in, with
/// a level 4 in above the waist.
#[test]
fn a_bodice_smaller_than_she_is_under_the_bust_is_cautioned() {
    let tube = || {
        let line = |points: &[(f64, f64)]| crate::sketch::through(points);
        vec![
            edge("top", Role::Seam, line(&[(0.0, -8.0), (7.0, -8.0)]), 0.5),
            edge("side", Role::Seam, line(&[(7.0, -8.0), (7.0, 9.0)]), 0.5),
            edge("hem", Role::Hem, line(&[(7.0, 9.0), (0.0, 9.0)]), 0.5),
            edge("centre", Role::Fold, line(&[(0.0, 9.0), (0.0, -8.0)]), 0.0),
        ]
    };
    let bodice = |under_bust: f64| {
        let mut sketch = Sketch::new()
            .piece("front", true, tube())
            .piece("back", true, tube())
            .levels(&[("waist", 0.0), ("underbust", -4.0), ("hip", 8.5)])
            .seam("side seam", "front.side", "back.side");
        sketch.card = sketch.card.with("underbust", Length::inches(under_bust));
        topics(&sketch, &Measured::default())
    };
    assert!(!bodice(28.0).contains(&"tight lacing"));
    assert!(bodice(28.5).contains(&"tight lacing"));
}

/// The shell of the sample is more than a square metre: heavy cloth of more than 1900 g/m2 passes 2 kg.
#[test]
fn a_heavy_gown_is_cautioned() {
    let weighs = |grams: f64| Cloth {
        weight: Some(grams),
        ..Cloth::default()
    };
    assert!(!topics(&of(weighs(200.0)), &Measured::default()).contains(&"heavy gown"));
    assert!(topics(&of(weighs(2000.0)), &Measured::default()).contains(&"heavy gown"));
}

/// EN 14682: under 7 years no cords at the neck, from 7 to 14 no free ends. Would catch a grown woman
/// told of cords.
#[test]
fn a_child_s_cords_are_cautioned_by_her_age() {
    let on = |born: (u16, u8, u8)| {
        let mut sketch = above(50.0);
        sketch.card = sketch
            .card
            .taken_on(Date::new(2026, 5, 2).unwrap())
            .born_on(Date::new(born.0, born.1, born.2).unwrap());
        cautions(&Seen::of(&sketch.subject()), &Measured::default())
            .iter()
            .find(|c| c.topic == "children's cords")
            .map(|c| c.says)
    };
    assert!(on((2019, 5, 3)).unwrap().contains("under 7"));
    assert!(on((2019, 5, 2)).unwrap().contains("under 14"));
    assert!(on((2012, 5, 3)).unwrap().contains("under 14"));
    assert_eq!(on((2012, 5, 2)), None);
}

/// Would catch a caution without anyone behind it, or one that is too long to be read.
#[test]
fn every_caution_names_its_source_in_few_words() {
    let mut sketch = above(38.0).of_cloth(Cloth {
        make: Some("tulle".into()),
        weight: Some(2000.0),
        ..Cloth::default()
    });
    sketch.card = sketch.card.with("waist", Length::inches(28.0));
    let tight = Measured {
        waist: Some(Length::inches(26.0)),
        ..Measured::default()
    };
    let all = cautions(&Seen::of(&sketch.subject()), &tight);
    assert!(all.len() >= 9, "{all:?}");
    for c in all {
        assert!(!c.source.is_empty() && c.says.ends_with('.'), "{c:?}");
        assert!(c.says.chars().count() <= 190, "{c:?}");
    }
}
