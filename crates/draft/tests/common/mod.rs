//! What the tests share: texts, damage, trees without their places.
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each test file uses its own part, and a test that can't go on may stop"
)]

use std::path::{Path, PathBuf};

/// Where the test texts are.
pub(crate) fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/texts")
}

/// The methods kept for tests, by name, in order.
pub(crate) fn texts() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "method"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .collect();
    all.sort();
    assert!(!all.is_empty());
    all
}

/// One of them.
pub(crate) fn text(name: &str) -> String {
    std::fs::read_to_string(folder().join(format!("{name}.method"))).unwrap()
}

/// A tree as it prints, without the places.
pub(crate) fn spanless(tree: &impl std::fmt::Debug) -> String {
    let printed = format!("{tree:?}");
    let mut out = String::with_capacity(printed.len());
    let mut rest = printed.as_str();
    while let Some(at) = rest.find("Span { line: ") {
        out.push_str(&rest[..at]);
        out.push_str("Span");
        rest = rest[at..].split_once('}').map_or("", |x| x.1);
    }
    out.push_str(rest);
    out
}

/// Dice that fall the same on every machine: Knuth's MMIX generator, upper bits.
pub(crate) struct Dice(u64);

impl Dice {
    /// Dice with a seed.
    pub(crate) fn new(seed: u64) -> Self {
        let mut dice = Self(seed);
        for _ in 0..5 {
            dice.next();
        }
        dice
    }

    fn next(&mut self) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }

    /// A number below `n`; 0 if there is none.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next()).unwrap_or(0) % n.max(1)
    }
}

/// A text with one to six things wrong: characters, words or lines left out, doubled or exchanged.
pub(crate) fn damaged(text: &str, dice: &mut Dice) -> String {
    let mut text = text.to_owned();
    for _ in 0..=dice.below(6) {
        match dice.below(3) {
            0 => {
                let mut chars: Vec<char> = text.chars().collect();
                hurt(&mut chars, dice);
                text = chars.into_iter().collect();
            }
            1 => {
                let mut lines: Vec<Vec<String>> = text
                    .lines()
                    .map(|l| l.split(' ').map(str::to_owned).collect())
                    .collect();
                if lines.is_empty() {
                    continue;
                }
                let at = dice.below(lines.len());
                hurt(&mut lines[at], dice);
                let joined: Vec<String> = lines.iter().map(|l| l.join(" ")).collect();
                text = joined.join("\n");
            }
            _ => {
                let mut lines: Vec<&str> = text.lines().collect();
                hurt(&mut lines, dice);
                text = lines.join("\n");
            }
        }
    }
    text
}

fn hurt<T: Clone>(things: &mut Vec<T>, dice: &mut Dice) {
    if things.is_empty() {
        return;
    }
    let (a, b) = (dice.below(things.len()), dice.below(things.len()));
    match dice.below(4) {
        0 => {
            things.remove(a);
        }
        1 => {
            let thing = things[a].clone();
            things.insert(b, thing);
        }
        2 => things.swap(a, b),
        _ => {
            if a + 1 < things.len() {
                things.swap(a, a + 1);
            }
        }
    }
}
