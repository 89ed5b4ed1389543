//! Corrections for one side of her alone on the shipped methods.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test that can't go on says so best by stopping"
)]

#[path = "common/sums.rs"]
mod sums;

use draft::correction::{Correction, Place, Side};
use draft::worked::{Outcome, Worked};
use draft::{Library, Wish};
use measure::Length;
use measure::card::Card;
use measure::fraction::Shown;
use piece::Role;
use sums::shipped;

fn client() -> Card {
    sums::card(&[
        ("bust", 36.0),
        ("waist", 30.0),
        ("hip", 40.0),
        ("waist to hip", 9.0),
        ("waist to knee", 22.0),
        ("waist to floor", 40.0),
        ("neck", 14.0),
        ("shoulder", 5.0),
        ("back waist length", 16.0),
        ("bust span", 7.0),
        ("shoulder to bust", 10.5),
        ("upper arm", 12.0),
        ("wrist", 6.5),
        ("arm length", 23.0),
        ("armhole", 17.0),
        ("armhole depth", 8.5),
        ("across back", 14.0),
        ("across chest", 13.0),
    ])
}

fn work(library: &Library, text: &str, set: &[(&str, &str)], corrections: &[Correction]) -> Worked {
    let set: Vec<(String, String)> = set
        .iter()
        .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
        .collect();
    let card = client();
    let wish = Wish {
        card: &card,
        set: &set,
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections,
    };
    draft::work(&draft::read(text), library, &wish)
}

fn whole(piece: &str, edge: &str, amounts: [f64; 3], side: Side) -> Correction {
    let mut c = Correction::new(
        piece,
        edge,
        (Place::Start, Place::End),
        amounts.map(Length::inches),
    );
    c.side = side;
    c
}

#[test]
fn look() {
    let texts = shipped();
    let library = Library::new(texts.iter().map(|t| t.1.as_str()));
    for (name, text) in &texts {
        for set in [
            &[][..],
            &[("top finish", "waistband"), ("hem facing", "yes"), ("gore count", "7")][..],
        ] {
            let plain = work(&library, text, set, &[]);
            if !plain.sound() {
                println!("== {name} {:?} {:?}", plain.faults, plain.notes.first());
            }
            for (piece, origin) in plain.pieces.iter().zip(&plain.origins) {
                if !origin.copied_from.is_empty() {
                    continue;
                }
                for edge in &piece.edges {
                    if edge.role == Role::Fold {
                        continue;
                    }
                    let c = whole(&piece.name, &edge.name, [-0.25, -0.25, 0.0], Side::Left);
                    let now = work(&library, text, set, &[c]);
                    println!("{name} {} {}: {:?}", piece.name, edge.name, now.corrections[0].outcome);
                    if now.corrections[0].outcome == Outcome::Made && edge.name.contains("side") {
                        for (p, o) in now.pieces.iter().zip(&now.origins) {
                            println!("    {} {:?} {:?} {:?}", p.name, o.half.as_ref().map(|h| (h.side, h.turned)), o.copied_from, p.cuts);
                            if o.half.is_some() { println!("       {:?}", p.edges.iter().map(|e| &e.name).collect::<Vec<_>>()); }
                        }
                        for s in &now.seams {
                            println!("    seam {} {:.4}", s.name, s.difference.in_inches());
                        }
                        for r in &now.retrued { if r.told { println!("    {}", r.sentence); } }
                    }
                }
            }
        }
    }
}
