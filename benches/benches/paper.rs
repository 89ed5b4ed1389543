//! All papers of an order beside the redraw of its pattern, and how their cost grows with the number
//! of sheets. Run: `cargo bench -p benches --bench paper`.
#![allow(
    missing_docs,
    reason = "the macros of the bench runner make items without docs"
)]

use measure::card::Card;
use measure::fraction::{Shown, Unit};
use measure::{Curve, Length, Point};
use piece::{Allowance, Edge, Piece};
use sheet::{LargePaper, Order, Paper, SheetFault, SheetPiece};

const TEXT: &str = include_str!("../texts/mermaid-two.method");

fn main() {
    divan::main();
}

fn card() -> Card {
    Card::new("bench", Unit::Inch)
        .with("waist", Length::inches(30.0))
        .with("hip", Length::inches(40.0))
        .with("waist to hip", Length::inches(9.0))
        .with("waist to knee", Length::inches(22.0))
        .with("waist to floor", Length::inches(41.0))
}

fn reading() -> draft::Reading {
    draft::read(TEXT)
}

/// The two-pattern mermaid, with nothing on its cover.
fn order() -> Order {
    let (library, card) = (draft::Library::default(), card());
    let wish = draft::Wish {
        card: &card,
        set: &[],
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    let worked = draft::work(&reading(), &library, &wish);
    assert!(!worked.pieces.is_empty());
    let mut order = Order::new("Bench");
    order.version = "v".into();
    order.pieces = worked.pieces.into_iter().map(SheetPiece::new).collect();
    order
}

/// What all papers are measured against.
#[divan::bench]
fn a_redraw(bencher: divan::Bencher<'_, '_>) {
    let (library, card, reading) = (draft::Library::default(), card(), reading());
    let wish = draft::Wish {
        card: &card,
        set: &[],
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    bencher.bench(|| draft::redraw(divan::black_box(&reading), Vec::new(), &library, &wish));
}

#[divan::bench(args = [Paper::A4, Paper::Letter, Paper::A3], sample_count = 5, sample_size = 1)]
fn b_in_sheets(bencher: divan::Bencher<'_, '_>, paper: Paper) {
    let order = order();
    bencher.bench(|| sheet::pattern_pdf(divan::black_box(&order), paper));
}

#[divan::bench(args = [LargePaper::Roll, LargePaper::A0], sample_count = 5, sample_size = 1)]
fn b_large(bencher: divan::Bencher<'_, '_>, paper: LargePaper) {
    let order = order();
    bencher.bench(|| sheet::large_pdf(divan::black_box(&order), paper));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn b_svg(bencher: divan::Bencher<'_, '_>) {
    let order = order();
    bencher.bench(|| sheet::pattern_svg(divan::black_box(&order)));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn b_dxf(bencher: divan::Bencher<'_, '_>) {
    let order = order();
    bencher.bench(|| sheet::pattern_dxf(divan::black_box(&order)));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn b_plot(bencher: divan::Bencher<'_, '_>) {
    let order = order();
    bencher.bench(|| sheet::pattern_plt(divan::black_box(&order)));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn b_preview(bencher: divan::Bencher<'_, '_>) {
    let order = order();
    bencher.bench(|| sheet::preview_png(divan::black_box(&order)));
}

/// A rectangle of four sheets.
fn four_sheets(name: String) -> SheetPiece {
    let c = [(0.0, 0.0), (300.0, 0.0), (300.0, 450.0), (0.0, 450.0)].map(|(x, y)| Point::new(x, y));
    let edges = (0..4)
        .filter_map(|i| {
            let mut edge =
                Edge::plain(format!("edge {i}"), Curve::line(c[i], c[(i + 1) % 4]).ok()?);
            edge.allowance = Allowance::even(Length::mm(10.0));
            Some(edge)
        })
        .collect();
    match Piece::from_edges(name, edges) {
        Ok(piece) => SheetPiece::new(piece),
        Err(fault) => panic!("{fault:?}"),
    }
}

/// Twice the sheets should cost twice the time: 16, 32 and 64 sheets.
#[divan::bench(args = [4, 8, 16], sample_count = 5, sample_size = 1)]
fn c_growth(bencher: divan::Bencher<'_, '_>, pieces: usize) {
    let mut order = Order::new("Bench");
    order.version = "v".into();
    order.pieces = (0..pieces)
        .map(|i| four_sheets(format!("piece {i}")))
        .collect();
    let sheets = |order: &Order| -> Result<usize, SheetFault> {
        Ok(sheet::pattern_pages(order, Paper::A4)?.sheets)
    };
    assert_eq!(sheets(&order), Ok(4 * pieces));
    bencher.bench(|| sheet::pattern_pdf(divan::black_box(&order), Paper::A4));
}
