//! Methods damaged at random are read, checked and worked: none may panic or run on, and what is worked
//! is finite. Catches: a panic behind a slip that no one thought of, an unbounded search.

use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

/// A small generator of our own, so that a case can be named by its number (xorshift, 64 bits).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % (n.max(1) as u64)).unwrap_or(0)
    }
}

const TEXTS: [&str; 3] = [
    include_str!("damaged/skirt.method"),
    include_str!("damaged/gores.method"),
    include_str!("damaged/works.method"),
];

const WORDS: [&str; 40] = [
    "0 in",
    "-3 in",
    "1000 in",
    "60",
    "0",
    "yes",
    "curved",
    "hip line",
    "side",
    "up",
    "outward",
    "(",
    ")",
    ",",
    ":",
    "*",
    "/",
    "-",
    "of",
    "and",
    "each k up to 60",
    "number k",
    "number (k + 1)",
    "root of",
    "found between 0 in and 9 in, so that",
    "may move between -1 in and 1 in",
    "when",
    "end",
    "otherwise",
    "copy from front",
    "slash 40 times from hem toward waist",
    "spread 2 in",
    "beside side by 30 in",
    "soften at hip side over 90 in",
    "360 deg",
    "1/0",
    "9999999999999999999999 in",
    "half of",
    "length of side",
    "not",
];

fn damaged(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..=chance.below(3) {
        let at = chance.below(lines.len());
        match chance.below(7) {
            0 => {
                lines.remove(at);
            }
            1 => {
                let line = lines[at].clone();
                lines.insert(chance.below(lines.len()), line);
            }
            2 => {
                let other = chance.below(lines.len());
                lines.swap(at, other);
            }
            3 => {
                let mut chars: Vec<char> = lines[at].chars().collect();
                if !chars.is_empty() {
                    let i = chance.below(chars.len());
                    chars.remove(i);
                    lines[at] = chars.into_iter().collect();
                }
            }
            4 | 5 => {
                let mut words: Vec<String> = lines[at].split(' ').map(str::to_owned).collect();
                let i = chance.below(words.len());
                words[i] = WORDS[chance.below(WORDS.len())].to_owned();
                lines[at] = words.join(" ");
            }
            _ => {
                let i = chance.below(lines[at].chars().count() + 1);
                let cut: String = lines[at].chars().take(i).collect();
                lines[at] = cut;
            }
        }
        if lines.is_empty() {
            break;
        }
    }
    lines.join("\n")
}

fn card() -> Card {
    Card::new("damaged", Unit::Inch)
        .with("waist", Length::inches(30.0))
        .with("hip", Length::inches(40.0))
        .with("waist to hip", Length::inches(9.0))
        .with("waist to knee", Length::inches(22.0))
}

#[test]
fn damaged_methods_never_panic_and_always_end() {
    let cases: u64 = std::env::var("ELLWAND_CASES")
        .ok()
        .and_then(|v| v.parse().ok())
        .unwrap_or(600);
    let library = draft::Library::new(TEXTS);
    let card = card();
    for case in 0..cases {
        let mut chance =
            Chance(0x9e37_79b9_7f4a_7c15 ^ (case + 1).wrapping_mul(0x2545_f491_4f6c_dd1d));
        let text = damaged(TEXTS[chance.below(TEXTS.len())], &mut chance);
        let reading = draft::read(&text);
        let wish = draft::Wish {
            card: &card,
            set: &[],
            predict: false,
            untrued: false,
            shown: Shown::inches(),
        };
        let worked = std::panic::catch_unwind(|| draft::work(&reading, &library, &wish));
        let Ok(worked) = worked else {
            panic!("case {case} panicked on:\n{text}");
        };
        for piece in &worked.pieces {
            for edge in &piece.edges {
                assert!(
                    edge.curve.start().is_finite() && edge.curve.end().is_finite(),
                    "case {case}"
                );
            }
        }
    }
}
