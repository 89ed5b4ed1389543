//! How often the card's questions find a slip, and how often they trouble a clean card.
//!
//! `cargo run --release -p measure --example slip_rates -- ROWS.csv [EVERY]` reads rows of bodies
//! in centimetres (columns as `measure::names` has them, with `_cm`), puts slips into them on
//! purpose and counts.
#![allow(
    clippy::print_stdout,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a counting tool that prints"
)]

use measure::fraction::Unit;
use measure::questions::{Weight, ask};
use measure::{Card, Length, names};

/// A body: names and inches.
type Body = Vec<(&'static str, f64)>;

/// Chance that is the same on every run.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    fn shuffle<T>(&mut self, all: &mut [T]) {
        for i in (1..all.len()).rev() {
            let j = (self.next() * (i + 1) as f64) as usize;
            all.swap(i, j.min(i));
        }
    }
}

fn bodies(text: &str, every: usize, chance: &mut Chance) -> Vec<Body> {
    let mut lines = text.lines();
    let head: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let mut out = Vec::new();
    for line in lines.step_by(every) {
        let cells: Vec<&str> = line.split(',').collect();
        let inches = |column: &str| -> Option<f64> {
            let at = head.iter().position(|h| *h == format!("{column}_cm"))?;
            cells.get(at)?.parse::<f64>().ok().map(|cm| cm / 2.54)
        };
        let mut body: Body = names::all()
            .iter()
            .filter_map(|m| Some((m.name, inches(m.column?)?)))
            .collect();
        let get = |body: &Body, name: &str| body.iter().find(|(n, _)| *n == name).map(|x| x.1);
        // What no survey took, put together otherwise than the model does it.
        if let (Some(w), Some(h)) = (get(&body, "waist"), get(&body, "hip")) {
            body.push(("high hip", w + (h - w) * chance.between(0.5, 0.85)));
        }
        if let Some(h) = get(&body, "hip") {
            body.push(("seated hip", h + chance.between(0.3, 3.5)));
        }
        if let Some(k) = get(&body, "knee") {
            body.push(("both knees", k * chance.between(1.58, 1.69)));
        }
        if let Some(f) = get(&body, "waist to floor") {
            body.push(("front waist to floor", f + chance.between(-0.6, 0.2)));
            body.push(("back waist to floor", f + chance.between(-0.3, 1.2)));
        }
        // The national survey has a waist at the hip bones only, and calls the upper arm an arm.
        if get(&body, "waist").is_none()
            && let Some(w) = inches("iliac_waist_girth")
        {
            body.push(("waist", w));
            body.extend(inches("arm_girth").map(|a| ("upper arm", a)));
        }
        out.push(body);
    }
    out
}

fn eighths(inches: f64) -> f64 {
    (inches * 8.0).round() / 8.0
}

/// A card as it would be written: eighths of an inch, or millimetres.
fn card(body: &[(&'static str, f64)], unit: Unit) -> Card {
    let mut card = Card::new("x", unit);
    for (name, inches) in body {
        let length = match unit {
            Unit::Inch => Length::inches(eighths(*inches)),
            Unit::Cm => Length::cm((inches * 25.4).round() / 10.0),
        };
        card = card.with(name, length);
    }
    card
}

/// The whole part with its first two digits exchanged, if they differ.
fn transposed(number: f64) -> Option<f64> {
    let whole = number.floor() as i64;
    let text = whole.to_string().into_bytes();
    if text.len() < 2 || text[0] == text[1] {
        return None;
    }
    let mut swapped = text.clone();
    swapped.swap(0, 1);
    let whole: f64 = String::from_utf8(swapped).ok()?.parse().ok()?;
    Some(whole + number.fract())
}

const SLIPS: [&str; 4] = ["x 2.54", "/ 2.54", "transposed", "halved"];

fn slipped(name: &str, length: Length, slip: usize, unit: Unit) -> Option<Length> {
    let girth = names::find(name).is_some_and(|m| m.kind == names::Kind::Girth);
    let out = match slip {
        0 => Length::inches(eighths(length.in_inches() * 2.54)),
        1 => Length::inches(eighths(length.in_inches() / 2.54)),
        2 => unit.of(transposed(unit.count(length))?)?,
        _ if girth => Length::inches(eighths(length.in_inches() / 2.0)),
        _ => return None,
    };
    (out > Length::ZERO && out.in_inches() <= 200.0).then_some(out)
}

#[derive(Default, Clone)]
struct Count {
    cards: usize,
    asked: usize,
    right: usize,
    alone: usize,
    restored: usize,
}

fn main() {
    let mut args = std::env::args().skip(1);
    let path = args.next().unwrap_or_default();
    let every: usize = args.next().and_then(|a| a.parse().ok()).unwrap_or(10);
    let text = std::fs::read_to_string(&path).unwrap_or_default();
    let mut chance = Chance(20_260_502);
    let all = bodies(&text, every, &mut chance);
    println!("{path}: {} bodies", all.len());
    let fourteen = [
        "height",
        "bust",
        "underbust",
        "waist",
        "hip",
        "thigh",
        "knee",
        "calf",
        "ankle",
        "waist to hip",
        "waist to knee",
        "waist to floor",
        "back waist length",
        "front waist length",
    ];
    let skirt = [
        "waist",
        "hip",
        "waist to hip",
        "waist to knee",
        "waist to floor",
        "knee",
        "height",
    ];
    let skirt_b = [
        "waist",
        "high hip",
        "hip",
        "waist to hip",
        "waist to knee",
        "waist to floor",
        "thigh",
        "knee",
        "both knees",
    ];
    let skirt_c = [
        "waist",
        "hip",
        "waist to hip",
        "waist to knee",
        "knee",
        "thigh",
        "calf",
    ];
    let navy = [
        "height",
        "bust",
        "hip",
        "thigh",
        "lower thigh",
        "calf",
        "ankle",
        "knee to floor",
        "crotch height",
        "hip joint to floor",
    ];
    let plain: Vec<&str> = Vec::new();
    let national = ["height", "hip", "waist", "upper arm"];
    let sets: [(&str, &[&str], usize, usize); 11] = [
        ("national survey", &national, 4, 4),
        ("national survey, three", &national[..3], 3, 3),
        ("all fourteen", &fourteen, 14, 14),
        ("7 to 13 of the fourteen", &fourteen, 7, 13),
        ("exactly 7 of the fourteen", &fourteen, 7, 7),
        ("skirt a", &skirt, 7, 7),
        ("skirt b", &skirt_b, 9, 9),
        ("skirt c", &skirt_c, 7, 7),
        ("survey of 2012", &navy, 10, 10),
        ("7 to 20 of everything", &plain, 7, 20),
        ("everything", &plain, 99, 99),
    ];
    for unit in [Unit::Inch, Unit::Cm] {
        println!("== cards in {unit}");
        for (title, wanted, least, most) in sets {
            if std::env::var("LEAVE").is_ok_and(|leave| leave == title) {
                continue;
            }
            let mut clean = 0;
            let mut clean_notes = 0;
            let mut cards = 0;
            let mut counts = vec![Count::default(); SLIPS.len()];
            let mut missed: Vec<(String, usize)> = Vec::new();
            for body in &all {
                let mut pool: Body = body
                    .iter()
                    .filter(|(n, _)| wanted.is_empty() || wanted.contains(n))
                    .copied()
                    .collect();
                let want = least + (chance.next() * (most - least + 1) as f64) as usize;
                if pool.len() < least.min(7)
                    || (title.starts_with("national") && body.len() > 8)
                    || (!wanted.is_empty() && pool.len() < least)
                {
                    continue;
                }
                chance.shuffle(&mut pool);
                pool.truncate(want.min(most));
                let base = card(&pool, unit);
                cards += 1;
                let questions = ask(&base);
                if let Some(q) = questions.iter().find(|q| q.weight == Weight::Ask) {
                    clean += 1;
                    if std::env::var("SAY").is_ok() {
                        println!("   clean: {} [{}]", q.says, q.rule);
                    }
                }
                clean_notes += usize::from(questions.iter().any(|q| q.rule == "card.slip"));
                for (name, _) in &pool {
                    let Some(right) = base.get(name) else {
                        continue;
                    };
                    if std::env::var("CLEAN").is_ok() {
                        continue;
                    }
                    for (slip, count) in counts.iter_mut().enumerate() {
                        let Some(wrong) = slipped(name, right, slip, unit) else {
                            continue;
                        };
                        let questions = ask(&base.clone().with(name, wrong));
                        let asks: Vec<_> = questions
                            .iter()
                            .filter(|q| q.weight == Weight::Ask)
                            .collect();
                        count.cards += 1;
                        count.asked += usize::from(!asks.is_empty());
                        let named = asks.iter().find(|q| q.measure == *name);
                        count.right += usize::from(named.is_some());
                        count.alone += usize::from(named.is_some() && asks.len() == 1);
                        let likely = named.and_then(|q| q.likely);
                        count.restored += usize::from(
                            likely.is_some_and(|l| (l - right).abs().in_inches() < 0.2),
                        );
                        if named.is_none() {
                            if std::env::var("MISS").is_ok() {
                                println!("   missed: {name} {right:?} -> {wrong:?} {questions:?}");
                            }
                            let key = format!("{} {name}", SLIPS[slip]);
                            match missed.iter_mut().find(|(k, _)| *k == key) {
                                Some((_, n)) => *n += 1,
                                None => missed.push((key, 1)),
                            }
                        }
                    }
                }
            }
            if cards == 0 {
                continue;
            }
            let share = |n: usize, of: usize| 100.0 * n as f64 / of.max(1) as f64;
            println!(
                "{title}: {cards} clean cards, asked {:.2} %, any slip question {:.2} %",
                share(clean, cards),
                share(clean_notes, cards)
            );
            for (slip, c) in SLIPS.iter().zip(&counts) {
                if c.cards > 0 {
                    println!(
                        "   {slip:10} {:6} cards: asked {:6.2} %, right {:6.2} %, alone {:6.2} %, restored {:6.2} %",
                        c.cards,
                        share(c.asked, c.cards),
                        share(c.right, c.cards),
                        share(c.alone, c.cards),
                        share(c.restored, c.cards)
                    );
                }
            }
            missed.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
            let most: Vec<String> = missed
                .iter()
                .take(6)
                .map(|(k, n)| format!("{k} {n}"))
                .collect();
            if !most.is_empty() {
                println!("   missed most: {}", most.join(", "));
            }
        }
    }
}
