//! Redraws one method many times, for a profiler: `redraw FILE TIMES`.
use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let text = std::fs::read_to_string(&args[0]).expect("a file");
    let times: usize = args[1].parse().expect("a count");
    let library = draft::Library::default();
    let reading = draft::read(&text);
    let inches = Length::inches;
    let card = Card::new("W1", Unit::Inch)
        .with("waist", inches(30.0))
        .with("hip", inches(40.0))
        .with("waist to hip", inches(9.0))
        .with("waist to knee", inches(22.0))
        .with("waist to floor", inches(41.0));
    let wish = draft::Wish {
        card: &card,
        set: &[],
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    let mut pieces = 0;
    for _ in 0..times {
        pieces += draft::redraw(&reading, Vec::new(), &library, &wish)
            .pieces
            .len();
    }
    assert!(pieces > 0, "nothing was drawn");
}
