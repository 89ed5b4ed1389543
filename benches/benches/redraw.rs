//! A redraw of the two-pattern mermaid through the language, beside the same mermaid by hand; reading;
//! and the cost of a card among many. Run: `cargo bench -p benches`.
#![allow(
    missing_docs,
    reason = "the macros of the bench runner make items without docs"
)]

use benches::by_hand::{Body, mermaid};
use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

const TEXT: &str = include_str!("../texts/mermaid-two.method");

fn main() {
    divan::main();
}

/// The card of the benches, in millimetres.
const BODY: Body = Body {
    waist: 30.0 * 25.4,
    hip: 40.0 * 25.4,
    waist_to_hip: 9.0 * 25.4,
    waist_to_knee: 22.0 * 25.4,
    length: 47.0 * 25.4,
    tightening: 2.5 * 25.4,
};

fn card() -> Card {
    Card::new("bench", Unit::Inch)
        .with("waist", Length::inches(30.0))
        .with("hip", Length::inches(40.0))
        .with("waist to hip", Length::inches(9.0))
        .with("waist to knee", Length::inches(22.0))
        .with("waist to floor", Length::inches(41.0))
}

fn set() -> Vec<(String, String)> {
    vec![("length".into(), "47 in".into())]
}

#[divan::bench]
fn a_redraw_by_hand(bencher: divan::Bencher<'_, '_>) {
    assert_eq!(mermaid(&BODY).map(|p| p.len()), Ok(6));
    bencher.bench(|| mermaid(divan::black_box(&BODY)));
}

#[divan::bench]
fn b_redraw_through_the_language(bencher: divan::Bencher<'_, '_>) {
    let library = draft::Library::default();
    let reading = draft::read(TEXT);
    let notes = draft::check(&reading, &library);
    assert!(notes.is_empty());
    let (card, set) = (card(), set());
    let wish = draft::Wish {
        card: &card,
        set: &set,
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    assert_eq!(draft::work(&reading, &library, &wish).pieces.len(), 6);
    bencher.bench(|| draft::redraw(divan::black_box(&reading), Vec::new(), &library, &wish));
}

#[divan::bench]
fn b_the_same_with_its_steps_told(bencher: divan::Bencher<'_, '_>) {
    let library = draft::Library::default();
    let reading = draft::read(TEXT);
    let (card, set) = (card(), set());
    let wish = draft::Wish {
        card: &card,
        set: &set,
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    bencher.bench(|| draft::work_checked(divan::black_box(&reading), Vec::new(), &library, &wish));
}

#[divan::bench]
fn b_cutting_lines_of_its_six_pieces(bencher: divan::Bencher<'_, '_>) {
    let pieces = mermaid(&BODY).unwrap_or_default();
    assert_eq!(pieces.len(), 6);
    bencher.bench(|| {
        for piece in &pieces {
            let _ = divan::black_box(piece::cutting_line(piece));
        }
    });
}

#[divan::bench]
fn c_check_without_a_card(bencher: divan::Bencher<'_, '_>) {
    let library = draft::Library::default();
    let reading = draft::read(TEXT);
    bencher.bench(|| draft::check(divan::black_box(&reading), &library));
}

#[divan::bench]
fn d_read_300_lines(bencher: divan::Bencher<'_, '_>) {
    let lines: Vec<&str> = TEXT.lines().collect();
    let text: String = lines
        .iter()
        .cycle()
        .take(300)
        .map(|l| format!("{l}\n"))
        .collect();
    bencher.bench(|| draft::read(divan::black_box(&text)));
}

#[divan::bench(args = [10, 100, 1000], sample_count = 3)]
fn e_cards_in_one_process(bencher: divan::Bencher<'_, '_>, cards: usize) {
    let library = draft::Library::default();
    let reading = draft::read(TEXT);
    let set = set();
    bencher
        .counter(divan::counter::ItemsCount::new(cards))
        .bench(|| {
            for i in 0..cards {
                #[expect(clippy::cast_precision_loss, reason = "a thousand at most")]
                let more = Length::inches(i as f64 * 0.01);
                let card = card().with("hip", Length::inches(40.0) + more);
                let wish = draft::Wish {
                    card: &card,
                    set: &set,
                    predict: false,
                    untrued: false,
                    shown: Shown::inches(),
                    corrections: &[],
                };
                divan::black_box(draft::work_checked(&reading, Vec::new(), &library, &wish));
            }
        });
}
