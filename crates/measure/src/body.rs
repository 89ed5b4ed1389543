//! What goes with what on a body: how the measures of many women lie about their means together.
//!
//! The model is a normal distribution of the logarithms of inches, from a public-domain survey
//! (`body/table.rs`). Lengths and girths are all barefoot. It answers one question: given some
//! measures, what may another one be? From that come predictions and the card's questions.

use crate::angle;
use crate::card::Card;
use crate::length::Length;

mod table;

/// The names of the measures that the model knows.
pub(crate) const NAMES: &[&str] = &table::NAMES;

/// The place of a measure in the model, by its trade name.
pub(crate) fn place(name: &str) -> Option<usize> {
    table::NAMES.iter().position(|n| *n == name)
}

/// The usual size of a measure, in inches.
pub(crate) fn usual(place: usize) -> f64 {
    angle::exp(table::MEAN[place])
}

/// Which bodies a test has in mind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Bodies {
    /// The women of the survey: for predicting.
    Surveyed,
    /// Women at large, with softer waists and a far wider range of sizes, measured by a
    /// dressmaker: for asking. How much larger than the surveyed they are loosens the rest.
    AtLarge(Larger),
    /// The same when little else is known of them, so that nothing tells a round waist from a slip.
    Unknown(Larger),
}

/// How much looser the girths of a body are for being larger than those surveyed, as a deviation
/// of the logarithm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Larger(f64);

/// With fewer measures than this a card says little, and is asked little.
pub(crate) const ENOUGH: usize = 7;

/// Up to so much above the mean, in the hip's logarithm, bodies were surveyed well: a hip of 44 in.
const WELL_KNOWN: f64 = 0.15;
/// Beyond that every girth may depart from the survey's line by this share of the rest.
const DEPARTS: f64 = 0.25;
/// A measure that grows at least so fast with the hip tells the size of a body.
const TELLS_SIZE: f64 = 0.4;

impl Bodies {
    /// The bodies to hold some measures against.
    pub(crate) fn at_large(given: &[Given]) -> Self {
        let larger = Larger::of(given);
        if given.len() < ENOUGH {
            Self::Unknown(larger)
        } else {
            Self::AtLarge(larger)
        }
    }
}

impl Larger {
    /// From the middle one of the sizes that the girths tell, so that one slip changes little.
    fn of(given: &[Given]) -> Self {
        let mut sizes: Vec<f64> = given
            .iter()
            .filter(|g| table::SIZE[g.place] > TELLS_SIZE)
            .map(|g| g.off / table::SIZE[g.place])
            .collect();
        sizes.sort_by(f64::total_cmp);
        let middle = sizes.get(sizes.len().saturating_sub(1) / 2);
        Self(middle.map_or(0.0, |m| (m - WELL_KNOWN).max(0.0) * DEPARTS))
    }
}

/// Tape error of a survey's measurer, in inches. It also keeps exact sums of lengths solvable.
const FINE_TAPE: f64 = 0.06;
/// Tape error in a workroom, in inches: the 1/8 in that is written down, and the 1/4 in between two
/// readings (ISO 20685-1 allows 4 to 9 mm to a skilled measurer).
const TAPE: f64 = 0.15;

/// Spread of size among women at large beyond the surveyed: the hip's logarithm has a deviation of
/// 0.138 in the national survey of 2017-2020 (CDC, public domain) and 0.062 in that of 1988.
const SIZE_MORE: f64 = 0.123;

/// What is looser among women at large than among the surveyed, as deviations of the logarithm; and
/// how loose it is when little else is known.
///
/// The residual on the hip is 0.080 for waists in the national survey and 0.057 in that of 1988,
/// and 0.084 against 0.055 for upper arms. Heights of levels differ between the surveys of 1988 and
/// 2012 by up to 1.6 cm.
const LOOSER: &[(&str, f64, f64)] = &[
    ("waist", 0.04, 0.055),
    ("front waist arc", 0.04, 0.055),
    ("back waist arc", 0.04, 0.055),
    ("garment waist", 0.05, 0.06),
    ("high hip", 0.03, 0.04),
    ("upper arm", 0.04, 0.06),
    ("knee to floor", 0.015, 0.015),
    ("hip joint to floor", 0.015, 0.015),
    ("hip to floor", 0.01, 0.01),
    ("hip to knee", 0.02, 0.02),
    ("crotch height", 0.015, 0.015),
];

/// The covariance of two measures' logarithms.
pub(crate) fn covariance(a: usize, b: usize, bodies: Bodies) -> f64 {
    let (high, low) = (a.max(b), a.min(b));
    let mut sum = f64::from(table::COVARIANCE[high * (high + 1) / 2 + low]) * 1e-8;
    if bodies != Bodies::Surveyed {
        sum += SIZE_MORE * SIZE_MORE * table::SIZE[a] * table::SIZE[b];
    }
    if a == b {
        let looser = LOOSER.iter().find(|(n, ..)| *n == table::NAMES[a]);
        let (tape, looser) = match bodies {
            Bodies::Surveyed => (FINE_TAPE, 0.0),
            Bodies::AtLarge(_) => (TAPE, looser.map_or(0.0, |l| l.1)),
            Bodies::Unknown(_) => (TAPE, looser.map_or(0.0, |l| l.2)),
        };
        let larger = match bodies {
            Bodies::AtLarge(l) | Bodies::Unknown(l) if table::SIZE[a] > TELLS_SIZE => l.0,
            _ => 0.0,
        };
        let tape = tape / usual(a);
        sum += tape * tape + table::BLUR[a] * table::BLUR[a] + looser * looser + larger * larger;
    }
    sum
}

/// One measure that is given: its place, and how far its logarithm lies from the mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Given {
    /// The place in the model.
    pub(crate) place: usize,
    /// The logarithm of its inches, barefoot, less the mean.
    pub(crate) off: f64,
}

impl Given {
    /// A measure of so many inches, if it is more than nothing.
    pub(crate) fn new(place: usize, length: Length) -> Option<Self> {
        let inches = length.in_inches();
        (inches > 0.0).then(|| Self {
            place,
            off: angle::ln(inches) - table::MEAN[place],
        })
    }
}

/// The measures of a card that the model knows, barefoot, in the order of the card.
pub(crate) fn given(card: &Card) -> Vec<Given> {
    card.measures()
        .filter_map(|m| Given::new(place(&m.name)?, card.barefoot(&m.name)?))
        .collect()
}

/// What one measure may be, given others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Guess {
    /// The likeliest logarithm of inches.
    pub(crate) log: f64,
    /// Its standard deviation.
    pub(crate) deviation: f64,
}

/// What the measure at `place` may be, given some others. It must not be among them.
pub(crate) fn guess(place: usize, given: &[Given], bodies: Bodies) -> Guess {
    let n = given.len();
    let matrix = Matrix::of(n, |i, j| covariance(given[i].place, given[j].place, bodies));
    let with: Vec<f64> = given
        .iter()
        .map(|g| covariance(place, g.place, bodies))
        .collect();
    let own = covariance(place, place, bodies);
    let Some(root) = matrix.root() else {
        return Guess {
            log: table::MEAN[place],
            deviation: own.sqrt(),
        };
    };
    let weights = root.solve(&with);
    let off: f64 = weights.iter().zip(given).map(|(w, g)| w * g.off).sum();
    let explained: f64 = weights.iter().zip(&with).map(|(w, c)| w * c).sum();
    Guess {
        log: table::MEAN[place] + off,
        deviation: (own - explained).max(1e-8).sqrt(),
    }
}

/// How some measures fit together: for each, how far it lies from what the others let expect.
#[derive(Clone, Debug)]
pub(crate) struct Fit {
    /// For each measure given, its distance from what the others let expect, in deviations.
    pub(crate) odd: Vec<f64>,
    /// For each, the deviation itself: how well the others pin it down.
    pub(crate) deviation: Vec<f64>,
}

/// How the given measures fit together. Nothing can be said of a single one but how usual it is.
pub(crate) fn fit(given: &[Given], bodies: Bodies) -> Option<Fit> {
    let n = given.len();
    let matrix = Matrix::of(n, |i, j| covariance(given[i].place, given[j].place, bodies));
    let inverse = matrix.root()?.inverse();
    let mut odd = Vec::with_capacity(n);
    let mut deviation = Vec::with_capacity(n);
    for i in 0..n {
        let sum: f64 = (0..n).map(|j| inverse.at(i, j) * given[j].off).sum();
        let own = inverse.at(i, i);
        if own <= 0.0 {
            return None;
        }
        odd.push(sum / own.sqrt());
        deviation.push(1.0 / own.sqrt());
    }
    Some(Fit { odd, deviation })
}

/// How far a whole set of measures lies from usual: the square of the distance in deviations.
pub(crate) fn distance_squared(given: &[Given], bodies: Bodies) -> f64 {
    let n = given.len();
    let matrix = Matrix::of(n, |i, j| covariance(given[i].place, given[j].place, bodies));
    let off: Vec<f64> = given.iter().map(|g| g.off).collect();
    match matrix.root() {
        Some(root) => root.solve(&off).iter().zip(&off).map(|(a, b)| a * b).sum(),
        None => f64::INFINITY,
    }
}

/// A square table of numbers.
struct Matrix {
    side: usize,
    cells: Vec<f64>,
}

/// The lower triangular root of a matrix.
struct Root(Matrix);

impl Matrix {
    fn of(side: usize, cell: impl Fn(usize, usize) -> f64) -> Self {
        let mut cells = Vec::with_capacity(side * side);
        for i in 0..side {
            for j in 0..side {
                cells.push(cell(i, j));
            }
        }
        Self { side, cells }
    }

    fn at(&self, i: usize, j: usize) -> f64 {
        self.cells[i * self.side + j]
    }

    /// The root, if the matrix is symmetric and positive.
    fn root(&self) -> Option<Root> {
        let n = self.side;
        let mut root = Self::of(n, |_, _| 0.0);
        for i in 0..n {
            for j in 0..=i {
                let dot: f64 = (0..j).map(|k| root.at(i, k) * root.at(j, k)).sum();
                let rest = self.at(i, j) - dot;
                root.cells[i * n + j] = if i == j {
                    if rest <= 0.0 {
                        return None;
                    }
                    rest.sqrt()
                } else {
                    rest / root.at(j, j)
                };
            }
        }
        Some(Root(root))
    }
}

impl Root {
    /// The vector that the matrix makes into `right`.
    fn solve(&self, right: &[f64]) -> Vec<f64> {
        let n = self.0.side;
        let mut x = right.to_vec();
        for i in 0..n {
            let dot: f64 = (0..i).map(|k| self.0.at(i, k) * x[k]).sum();
            x[i] = (x[i] - dot) / self.0.at(i, i);
        }
        for i in (0..n).rev() {
            let dot: f64 = (i + 1..n).map(|k| self.0.at(k, i) * x[k]).sum();
            x[i] = (x[i] - dot) / self.0.at(i, i);
        }
        x
    }

    fn inverse(&self) -> Matrix {
        let n = self.0.side;
        let columns: Vec<Vec<f64>> = (0..n)
            .map(|j| {
                let unit: Vec<f64> = (0..n).map(|i| f64::from(u8::from(i == j))).collect();
                self.solve(&unit)
            })
            .collect();
        Matrix::of(n, |i, j| columns[j][i])
    }
}

#[cfg(test)]
mod tests;
