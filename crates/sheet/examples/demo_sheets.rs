//! Writes the sheets of the hand-made demo pieces into a folder, to be looked at and judged:
//! `cargo run -p sheet --example demo_sheets -- FOLDER`.
#![allow(clippy::unwrap_used, reason = "a trial stops at the first fault")]

use sheet::{
    Alteration, Fact, NotchWord, Order, Paper, SheetPiece, StepText, Told, Weight, pattern_pdf,
    pattern_svg, preview_png,
};

#[path = "../src/samples.rs"]
mod samples;

fn main() {
    let folder = std::env::args().nth(1).unwrap_or_else(|| ".".to_owned());
    let order = samples::order();
    for (name, paper) in [
        ("a4", Paper::A4),
        ("letter", Paper::Letter),
        ("a3", Paper::A3),
    ] {
        let started = std::time::Instant::now();
        let bytes = pattern_pdf(&order, paper).unwrap();
        eprintln!("{name}: {} bytes, {:?}", bytes.len(), started.elapsed());
        std::fs::write(format!("{folder}/pattern-{name}.pdf"), bytes).unwrap();
    }
    let started = std::time::Instant::now();
    std::fs::write(
        format!("{folder}/pattern.svg"),
        pattern_svg(&order).unwrap(),
    )
    .unwrap();
    std::fs::write(
        format!("{folder}/preview.png"),
        preview_png(&order).unwrap(),
    )
    .unwrap();
    eprintln!("svg and png: {:?}", started.elapsed());
}
