//! Works methods for every woman of a table and counts what goes wrong.
//!
//! `bodies TABLE FOLDER [--only NAME,NAME] [--every N] [--predict] [--ends] [--set choice=value]...`
//!
//! TABLE is comma separated, in inches, its first column a name, its first line the measures. FOLDER
//! holds the method files. With `--ends` each choice is set to either end of its range and to each of
//! its words, one at a time.

#![expect(clippy::print_stdout, reason = "it prints what it counted")]

#[path = "../tests/common/bodies.rs"]
mod bodies;

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use bodies::{Worst, cards, judged};
use draft::worked::Quantity;
use draft::{Library, Reading};

type Settings = Vec<(String, String)>;

#[derive(Default)]
struct Tally {
    drafts: usize,
    counts: BTreeMap<String, (usize, String)>,
    seam: Worst,
    segment: Worst,
    slowest: (u128, String),
}

impl Tally {
    fn count(&mut self, what: String, who: &str) {
        let entry = self
            .counts
            .entry(what)
            .or_insert_with(|| (0, who.to_owned()));
        entry.0 += 1;
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let after = |flag: &str| {
        args.iter()
            .enumerate()
            .filter(|(_, a)| *a == flag)
            .filter_map(|(i, _)| args.get(i + 1))
            .cloned()
            .collect::<Vec<_>>()
    };
    let [table, folder, ..] = &args[..] else {
        println!(
            "bodies TABLE FOLDER [--only NAME,NAME] [--every N] [--predict] [--ends] [--set choice=value]"
        );
        return;
    };
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder of methods can be read")
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "method"))
        .collect();
    files.sort();
    let texts: Vec<String> = files
        .iter()
        .map(|f| std::fs::read_to_string(f).expect("a method can be read"))
        .collect();
    let library = Library::new(texts.iter().map(String::as_str));
    let table = std::fs::read_to_string(table).expect("the table can be read");
    let every: usize = after("--every")
        .first()
        .and_then(|n| n.parse().ok())
        .unwrap_or(1);
    let all: Vec<_> = cards(&table).into_iter().step_by(every.max(1)).collect();
    let predict = args.iter().any(|a| a == "--predict");
    let ends = args.iter().any(|a| a == "--ends");
    let only: Option<Vec<String>> = after("--only")
        .first()
        .map(|o| o.split(',').map(str::to_owned).collect());
    let set: Settings = after("--set")
        .iter()
        .filter_map(|s| s.split_once('='))
        .map(|(a, b)| (a.to_owned(), b.to_owned()))
        .collect();
    for (file, text) in files.iter().zip(&texts) {
        let name = file
            .file_stem()
            .map_or_else(String::new, |s| s.to_string_lossy().into_owned());
        if only.as_ref().is_some_and(|o| !o.contains(&name)) {
            continue;
        }
        let reading = draft::read(text);
        let notes = draft::check(&reading, &library);
        for n in &notes {
            println!("{}", n.shown(&name, text));
        }
        if !notes.is_empty() {
            continue;
        }
        let tally = Mutex::new(Tally::default());
        let next = AtomicUsize::new(0);
        std::thread::scope(|scope| {
            for _ in 0..2 {
                scope.spawn(|| {
                    loop {
                        let i = next.fetch_add(1, Ordering::Relaxed);
                        let Some(card) = all.get(i) else { break };
                        let one = |settings: &Settings, who: String| {
                            try_one(&reading, &library, card, settings, predict, &who, &tally)
                        };
                        let worked = one(&set, card.client().to_owned());
                        if !ends {
                            continue;
                        }
                        for (choice, value) in end_values(&worked) {
                            let mut settings: Settings =
                                set.iter().filter(|s| s.0 != choice).cloned().collect();
                            let who = format!("{} {choice}={value}", card.client());
                            settings.push((choice, value));
                            one(&settings, who);
                        }
                    }
                });
            }
        });
        let tally = tally.into_inner().expect("no thread fell");
        println!("{name}: {} drafts", tally.drafts);
        println!("   seam {:.6} in: {}", tally.seam.inches, tally.seam.at);
        println!(
            "   segment {:.6} in: {}",
            tally.segment.inches, tally.segment.at
        );
        println!("   slowest {} ms: {}", tally.slowest.0, tally.slowest.1);
        for (what, (n, who)) in &tally.counts {
            println!("   {n:5} {what}   [{who}]");
        }
    }
}

fn try_one(
    reading: &Reading,
    library: &Library,
    card: &measure::card::Card,
    settings: &Settings,
    predict: bool,
    who: &str,
    tally: &Mutex<Tally>,
) -> draft::Worked {
    let begun = std::time::Instant::now();
    let (worked, v) = judged(reading, library, card, settings, predict);
    let took = begun.elapsed().as_millis();
    let mut t = tally.lock().expect("no thread fell");
    t.drafts += 1;
    if took > t.slowest.0 {
        t.slowest = (took, who.to_owned());
    }
    let figures = |s: &str| -> String {
        // Figures are left out so that alike things are counted together.
        let mut out = String::new();
        for c in s.chars() {
            let c = if c.is_ascii_digit() { '#' } else { c };
            if !(c == '#' && out.ends_with('#')) {
                out.push(c);
            }
        }
        out.chars().take(150).collect()
    };
    for f in &v.faults {
        t.count(format!("FAULT {f}"), who);
    }
    for f in &v.stops {
        t.count(format!("STOP {}", figures(f)), who);
    }
    for f in &v.asks {
        t.count(
            format!("says {}", f.split(':').next().unwrap_or_default()),
            who,
        );
    }
    for f in &v.outlines {
        t.count(format!("OUTLINE {}", figures(f)), who);
    }
    for f in &v.orphans {
        t.count(format!("ORPHAN {}", figures(f)), who);
    }
    if v.seam.inches > t.seam.inches {
        t.seam = Worst {
            at: format!("{} {who}", v.seam.at),
            ..v.seam
        };
    }
    if v.segment.inches > t.segment.inches {
        t.segment = Worst {
            at: format!("{} {who}", v.segment.at),
            ..v.segment
        };
    }
    if v.seam.inches > 1.0 / 32.0 || v.segment.inches > 1.0 / 32.0 {
        t.count(
            format!(
                "UNTRUE {} / {}",
                figures(&v.seam.at),
                figures(&v.segment.at)
            ),
            who,
        );
    }
    worked
}

/// Both ends of each range and each word.
fn end_values(worked: &draft::Worked) -> Vec<(String, String)> {
    let said = |q: &Quantity| match q {
        Quantity::Length(l) => format!("{} mm", l.in_mm()),
        Quantity::Angle(a) => format!("{} deg", a.in_degrees()),
        Quantity::Share(s) => format!("{} %", s * 100.0),
        Quantity::Number(n) => format!("{n}"),
        other => other.shown(measure::fraction::Shown::inches()),
    };
    let mut out = Vec::new();
    for c in &worked.choices {
        if let Some((low, high)) = &c.range {
            out.push((c.name.clone(), said(low)));
            out.push((c.name.clone(), said(high)));
        }
        for word in &c.words {
            out.push((c.name.clone(), word.clone()));
        }
        if let Quantity::YesNo(_) = c.value {
            out.push((c.name.clone(), "yes".into()));
            out.push((c.name.clone(), "no".into()));
        }
    }
    out
}
