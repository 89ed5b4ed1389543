//! Reads, checks and works method files for one card: `read FILE... -- set choice=value`.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test or an example stops, and prints, where it must"
)]
use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let (files, rest) = match args.iter().position(|a| a == "--") {
        Some(i) => (args[..i].to_vec(), args[i + 1..].to_vec()),
        None => (args, Vec::new()),
    };
    let texts: Vec<String> = std::fs::read_dir("methods")
        .unwrap()
        .map(|e| std::fs::read_to_string(e.unwrap().path()).unwrap())
        .collect();
    let library = draft::Library::new(texts.iter().map(String::as_str));
    let i = Length::inches;
    let card = Card::new("W1", Unit::Inch)
        .with("waist", i(30.0))
        .with("hip", i(40.0))
        .with("waist to hip", i(9.0))
        .with("waist to knee", i(22.0))
        .with("bust", Length::cm(88.0))
        .with("back waist length", Length::cm(41.0))
        .with("armhole depth", Length::cm(21.0))
        .with("neck", Length::cm(37.0))
        .with("shoulder", Length::cm(12.25))
        .with("across back", Length::cm(34.4))
        .with("across chest", Length::cm(32.4));
    let set: Vec<(String, String)> = rest
        .iter()
        .filter_map(|s| s.split_once('='))
        .map(|(a, b)| (a.to_owned(), b.to_owned()))
        .collect();
    for f in files {
        let text = std::fs::read_to_string(&f).unwrap();
        let reading = draft::read(&text);
        let notes = draft::check(&reading, &library);
        println!("=== {f}: {} notes", notes.len());
        for n in &notes {
            println!("{}", n.shown(&f, &text));
        }
        let w = draft::work(
            &reading,
            &library,
            &draft::Wish {
                card: &card,
                set: &set,
                predict: false,
                untrued: false,
                shown: Shown::inches(),
                corrections: &[],
            },
        );
        for n in &w.notes {
            if n.working {
                println!("WORKING {}", n.shown(&f, &text));
            }
        }
        for f in &w.faults {
            println!("FAULT {f}");
        }
        for s in &w.steps {
            println!(
                "  {} {}",
                s.number.map_or(String::from("   "), |n| format!("{n:3}.")),
                s.sentence
            );
            if let Some(y) = &s.why {
                println!("        why: {y}");
            }
        }
        for t in &w.truings {
            println!(
                "  * {} [{:.4} -> {:.4} in]",
                t.sentence,
                t.out_before.in_inches(),
                t.out_after.in_inches()
            );
        }
        for s in &w.seams {
            println!(
                "  seam {}: {:.4} {:.4} ease {:.3} diff {:.6} before {:?}",
                s.name,
                s.a_length.in_inches(),
                s.b_length.in_inches(),
                s.ease.in_inches(),
                s.difference.in_inches(),
                s.before.map(|b| (b.0.in_inches(), b.1.in_inches()))
            );
        }
        for r in &w.results {
            println!(
                "  result {}: {}",
                r.name,
                match &r.value {
                    draft::worked::Quantity::Length(l) => format!("{:.4} in", l.in_inches()),
                    q => q.shown(Shown::inches()),
                }
            );
        }
        for p in &w.pieces {
            let e: Vec<String> = p
                .edges
                .iter()
                .map(|e| {
                    format!(
                        "{} {:.3}",
                        e.name,
                        p.sewn_length(&e.name).unwrap().in_inches()
                    )
                })
                .collect();
            println!(
                "  piece {}: {}; {} darts; {:?}",
                p.name,
                e.join(", "),
                p.darts.len(),
                p.cuts
                    .iter()
                    .map(|c| format!(
                        "{}{}{} {}",
                        c.count,
                        if c.on_fold { " on fold" } else { "" },
                        if c.pair { " pair" } else { "" },
                        c.cloth
                    ))
                    .collect::<Vec<_>>()
            );
        }
        for x in &w.findings {
            println!("  {:?} {}: {} ({:?})", x.weight, x.place, x.says, x.cure);
        }
    }
}
