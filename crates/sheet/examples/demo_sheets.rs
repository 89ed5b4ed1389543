//! Writes the sheets of the hand-made demo pieces into a folder, to be looked at and judged:
//! `cargo run -p sheet --example demo_sheets -- FOLDER`.
#![allow(
    clippy::print_stdout,
    reason = "a test or an example stops, and prints, where it must"
)]
#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a trial at the desk: it stops at the first fault and tells its times"
)]

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
    std::fs::write(format!("{folder}/report.json"), report(&order)).unwrap();
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

/// The pieces as `report.json` has them: the truth that a judge compares with.
fn report(order: &Order) -> String {
    let points = |p: &[measure::Point]| {
        let all: Vec<String> = p.iter().map(|p| format!("[{},{}]", p.x, p.y)).collect();
        format!("[{}]", all.join(","))
    };
    let pieces: Vec<String> = order
        .pieces
        .iter()
        .map(|p| {
            let stitching = piece::flat::stitching(&p.piece).unwrap();
            let cutting = piece::flat::cutting(&piece::cutting_line(&p.piece).unwrap());
            let edges: Vec<String> = p
                .piece
                .edges
                .iter()
                .map(|e| {
                    let fold = e.role == piece::Role::Fold;
                    let role = if fold { "fold" } else { "seam" };
                    let length = e.curve.length().in_mm();
                    format!(
                        "{{\"name\":\"{}\",\"role\":\"{role}\",\"length_mm\":{length}}}",
                        e.name
                    )
                })
                .collect();
            format!(
                "{{\"name\":\"{}\",\"stitching_mm\":{},\"cutting_mm\":{},\"edges\":[{}]}}",
                p.piece.name,
                points(&stitching.points),
                points(&cutting.points),
                edges.join(",")
            )
        })
        .collect();
    format!("{{\"format\":1,\"pieces\":[{}]}}", pieces.join(","))
}
