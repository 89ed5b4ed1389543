//! By what a lay is known again: the mark of all that moves a piece, and the mark of a lay as it lies.

use lay::spread::Spread;
use lay::task::{Cut, Turns};
use lay::{Cloth, Nap, Runs};
use sha2::{Digest as _, Sha256};

/// A sum over what is told to it, bit by bit.
struct Sum(Sha256);

impl Sum {
    fn words(&mut self, words: &str) {
        self.0.update(words.len().to_le_bytes());
        self.0.update(words.as_bytes());
    }

    fn numbers<'a>(&mut self, all: impl IntoIterator<Item = &'a f64>) {
        for number in all {
            self.0.update(number.to_le_bytes());
        }
        // So that what ends here is told from what goes on.
        self.0.update([0xff; 8]);
    }

    fn mark(self) -> String {
        let bytes = self.0.finalize();
        bytes.iter().take(12).map(|b| format!("{b:02x}")).collect()
    }
}

/// The mark of what a lay depends on: the pieces as they are cut, and the cloth as they lie on it. What the
/// cloth is called, what it costs, how it is sold and how much of it she has moves no piece.
pub(super) fn of_what_lies(spread: &Spread, cloth: &Cloth) -> String {
    let task = spread.task();
    let mut sum = Sum(Sha256::new());
    sum.words(cloth.fold.word());
    sum.words(match cloth.nap {
        Nap::OneWay => "one-way",
        Nap::TwoWay => "two-way",
    });
    sum.words(match cloth.length_runs {
        Runs::Along => "along",
        Runs::Across => "across",
    });
    sum.numbers(&[task.height, task.opened]);
    sum.numbers(&task.repeat);
    sum.numbers(task.flaws.iter().flatten());
    sum.numbers(task.flaws_opened.iter().flatten());
    if let Some(beside) = &task.beside {
        sum.numbers(&[beside.from, beside.height]);
        sum.numbers(beside.flaws.iter().flatten());
    }
    for kind in &task.kinds {
        sum.words(&kind.name);
        sum.0.update(kind.count.to_le_bytes());
        match &kind.turns {
            Turns::Only(turns) => sum.numbers(turns),
            Turns::Any => sum.words("any"),
        }
        match &kind.cut {
            Cut::Single => sum.words("single"),
            Cut::Pair => sum.words("pair"),
            Cut::Fold(line) => sum.numbers(line.iter().flatten()),
        }
        sum.numbers(kind.matched.iter().flatten());
        sum.numbers(kind.outline.points().iter().flatten());
    }
    sum.mark()
}

/// The mark of the whole page of a cloth and its pieces. Lays that were kept before they were known by
/// what moves a piece bear it, and a comparison does, for it tells prices too.
pub(super) fn of_page(page: &str, spread: &Spread) -> String {
    let mut hash = Sha256::new();
    hash.update(page);
    for k in &spread.task().kinds {
        hash.update(k.name.as_bytes());
        hash.update(k.count.to_le_bytes());
        for p in k.outline.points().iter().flatten() {
            hash.update(p.to_le_bytes());
        }
    }
    Sum(hash).mark()
}

/// The mark of a text.
pub(super) fn of_text(text: &str) -> String {
    let mut sum = Sum(Sha256::new());
    sum.words(text);
    sum.mark()
}
