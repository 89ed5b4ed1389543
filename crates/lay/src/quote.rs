//! The price of an order, reckoned exactly; each figure that is printed is rounded once.
//!
//! Price = (materials × (1 + waste) + hours × rate + hours × overhead + extras) ÷ (1 − margin): the
//! margin is a share of the price, not of the cost (common practice, no source; W13 of the worked
//! examples). Nothing that was rounded is reckoned with again, save two figures that follow from the
//! total because they are parts of what she pays: the tax within it, and the parts it is paid in.

use measure::fraction::ReadFault;

use crate::exact::Exact;
use crate::money::Money;

mod actual;
mod check;
mod paid;
mod reckon;
#[cfg(test)]
mod tests;

pub use actual::{Actual, Against, Beside, against};
pub use paid::{Due, Standing, standing};
pub use reckon::reckon;

/// What a line of goods is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// The cloth itself.
    Cloth,
    /// Its lining.
    Lining,
    /// Underlining, interlining, interfacing.
    Interlining,
    /// Net of a petticoat.
    Net,
    /// Zip, thread, hooks, bones, tape, braid.
    Notion,
    /// Lace, beads, applique, buttons.
    Trim,
}

/// What goods are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Count {
    /// Yards.
    Yard,
    /// Metres.
    Metre,
    /// Pieces.
    Piece,
}

impl Count {
    /// Its sign: `yd`, `m`, `piece`.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Yard => "yd",
            Self::Metre => "m",
            Self::Piece => "piece",
        }
    }

    /// The count of that sign.
    pub fn read(text: &str) -> Option<Self> {
        [Self::Yard, Self::Metre, Self::Piece]
            .into_iter()
            .find(|c| c.sign() == text)
    }
}

/// Cloth or notions: so much, at so much each.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Goods {
    /// What it is for.
    pub kind: Kind,
    /// What she calls it.
    pub words: String,
    /// How much: 0 to 100,000.
    pub amount: Exact,
    /// Counted in what.
    pub count: Count,
    /// The price of one.
    pub each: Money,
    /// The client brings it: it is told and costs nothing here.
    pub hers: bool,
}

/// A stage of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// Drafting the pattern.
    Pattern,
    /// Making the toile.
    Toile,
    /// Cutting.
    Cutting,
    /// Sewing by machine.
    Machine,
    /// Sewing by hand.
    Hand,
    /// Beads and lace.
    Beads,
    /// Fittings.
    Fitting,
    /// Pressing and finish.
    Finish,
}

impl Stage {
    /// All of them, in the order of the work.
    pub const ALL: [Self; 8] = [
        Self::Pattern,
        Self::Toile,
        Self::Cutting,
        Self::Machine,
        Self::Hand,
        Self::Beads,
        Self::Fitting,
        Self::Finish,
    ];

    /// Its short name, as it is kept: `pattern`, `hand`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Pattern => "pattern",
            Self::Toile => "toile",
            Self::Cutting => "cutting",
            Self::Machine => "machine",
            Self::Hand => "hand",
            Self::Beads => "beads",
            Self::Fitting => "fitting",
            Self::Finish => "finish",
        }
    }

    /// The stage of that short name.
    pub fn read(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.name() == text)
    }
}

/// Work at one stage: so many hours at so much. Fittings are `times` of so many hours each.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// The stage.
    pub stage: Stage,
    /// How often: 1, or the number of fittings; 0 to 1000.
    pub times: u32,
    /// Hours each time: 0 to 100,000.
    pub hours: Exact,
    /// The price of an hour.
    pub rate: Money,
}

impl Work {
    /// All the hours.
    pub(crate) fn all(&self) -> Option<Exact> {
        self.hours.times(Exact::whole(i64::from(self.times)))
    }
}

/// Something that has a price of its own: rush, travel, courier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Extra {
    /// What it is.
    pub words: String,
    /// What it costs.
    pub money: Money,
}

/// How tax stands to the price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TaxWay {
    /// The figures are without tax; it comes on top.
    Added,
    /// The figures hold it already; the sheet says how much of the total it is.
    Within,
}

/// A tax on the price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tax {
    /// What it is called: `VAT`, `GST`, `Sales tax`.
    pub name: String,
    /// How many percent of the price without it: 0 to 100.
    pub percent: Exact,
    /// On top, or within.
    pub way: TaxWay,
}

/// Which way the total is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RoundWay {
    /// To the nearest, halves upwards.
    Nearest,
    /// Always upwards.
    Up,
}

/// How the total is rounded: to whole coins, to 5, to 1000.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Rounding {
    /// To how many of the smallest coin; 1 rounds to the coin itself.
    pub to: i64,
    /// Which way.
    pub way: RoundWay,
}

impl Default for Rounding {
    /// To the smallest coin, the nearest.
    fn default() -> Self {
        Self {
            to: 1,
            way: RoundWay::Nearest,
        }
    }
}

/// How large a part of the payment is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Share {
    /// So many percent of the total.
    Percent(Exact),
    /// A sum.
    Amount(Money),
}

/// A part that is paid at a time. What the parts leave is paid at the end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// When: `With the order`.
    pub words: String,
    /// How much.
    pub share: Share,
}

/// Everything that a quote is reckoned from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Three letters (ISO 4217). All money of the quote is of this currency.
    pub currency: String,
    /// Cloth and notions.
    pub goods: Vec<Goods>,
    /// Percent of the materials that is lost in cutting and trying: 0 to 100.
    pub waste: Exact,
    /// The work by stages.
    pub work: Vec<Work>,
    /// What an hour costs besides: rent, power, machines.
    pub overhead: Money,
    /// What has a price of its own.
    pub extras: Vec<Extra>,
    /// Percent of the price: 0 to 95.
    pub margin: Exact,
    /// The tax, where there is one.
    pub tax: Option<Tax>,
    /// How the total is rounded.
    pub rounding: Rounding,
    /// The parts that are paid before the last, in order.
    pub parts: Vec<Part>,
    /// What the last part is called: `When you fetch it`.
    pub last: String,
}

/// A figure that cannot be reckoned with, told at its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Its place: `goods/2/amount`, `margin`, `part/0`; `all` when it is no one figure's.
    pub place: String,
    /// What is wrong.
    pub says: String,
    /// What to write.
    pub hint: String,
}

impl Fault {
    pub(crate) fn new(place: impl Into<String>, says: &str, hint: &str) -> Self {
        Self {
            place: place.into(),
            says: says.into(),
            hint: hint.into(),
        }
    }

    /// The fault of a text that is no number or no money, at its place.
    pub fn at(place: impl Into<String>, fault: ReadFault) -> Self {
        Self {
            place: place.into(),
            says: fault.says,
            hint: fault.hint,
        }
    }
}

/// What a line of the quote is; the number is its place in what was asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum What {
    /// Cloth or notions.
    Goods(usize),
    /// The share of waste.
    Waste,
    /// A stage of the work.
    Work(usize),
    /// All the work together.
    AllWork,
    /// What the hours cost besides.
    Overhead,
    /// Something with a price of its own.
    Extra(usize),
    /// The margin.
    Margin,
    /// What the printed lines are short of the printed price, since each is rounded by itself.
    Rounded,
}

/// A line with its printed figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line {
    /// What it is.
    pub what: What,
    /// Its figure, rounded once.
    pub money: Money,
}

/// Who looks at the quote.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum View {
    /// The maker: cost by cost, overhead, waste and margin as lines.
    Inside,
    /// The client: overhead, waste and margin are in the lines that they belong to.
    Stages,
    /// The client, and all the work is one line without its hours.
    OneLine,
}

/// A quote, reckoned. Every figure is rounded once, and in each view the lines add up to the price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quote {
    pub(crate) inside: Vec<Line>,
    pub(crate) stages: Vec<Line>,
    pub(crate) one_line: Vec<Line>,
    /// All goods that are not hers, without waste.
    pub materials: Money,
    /// All the hours.
    pub hours: Exact,
    /// What it costs to make.
    pub cost: Money,
    /// The margin in money.
    pub margin: Money,
    /// The lines' sum: without tax that is added, with tax that is within.
    pub price: Money,
    /// The tax, added or within.
    pub tax: Option<Money>,
    /// What she pays.
    pub total: Money,
    /// The parts in order, the last taking what the others leave: they add up to the total.
    pub parts: Vec<Money>,
    /// The cost, exactly: the actual cost is set beside it.
    pub(crate) exact_cost: Exact,
}

impl Quote {
    /// The lines of a view. They add up to the price.
    pub fn lines(&self, view: View) -> &[Line] {
        match view {
            View::Inside => &self.inside,
            View::Stages => &self.stages,
            View::OneLine => &self.one_line,
        }
    }
}
