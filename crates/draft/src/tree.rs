//! What a method says, as a tree. Names are words; what they stand for is found out in working.

use std::sync::Arc;

use crate::note::Span;
use crate::vocabulary::Row;

/// A name as it is written, with a number in it if it has one.
#[derive(Clone, Debug, PartialEq)]
pub struct RefName {
    /// The words. Behind a number, the words that follow it come after `\u{1}`.
    pub name: Arc<str>,
    /// The number: `dart number k`.
    pub number: Option<Number>,
    /// Where it stands.
    pub span: Span,
}

/// The number in a name.
#[derive(Clone, Debug, PartialEq)]
pub enum Number {
    /// A figure.
    Figure(i64),
    /// A counter or another number by name.
    Word(Arc<str>),
    /// A sum in brackets.
    Sum(Box<Expr>),
}

/// A name, and perhaps whose: `hip side of front of block`.
#[derive(Clone, Debug, PartialEq)]
pub struct Ref {
    /// The parts between `of`.
    pub parts: Vec<RefName>,
    /// Where it stands.
    pub span: Span,
}

/// A drawn thing: by name, in brackets, or an end of another.
#[derive(Clone, Debug, PartialEq)]
pub enum Drawn {
    /// By name.
    Named(Ref),
    /// Constructed in brackets.
    Bracket(Box<Body>),
    /// `start of`, `end of`, `tip of`.
    EndOf(End, Box<Self>, Span),
}

impl Drawn {
    /// Where it stands.
    pub fn span(&self) -> Span {
        match self {
            Self::Named(r) => r.span,
            Self::Bracket(b) => b.span,
            Self::EndOf(_, _, span) => *span,
        }
    }
}

/// Which end of a line, or the tip of a dart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Where it begins.
    Start,
    /// Where it ends.
    End,
    /// The point of a dart.
    Tip,
}

/// A line, or the part of it between two of its points.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeRef {
    /// The line.
    pub line: Drawn,
    /// The points between which it is meant.
    pub between: Option<Box<(Drawn, Drawn)>>,
}

/// What stands in a bracket: parts of a construction.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// What it makes.
    pub makes: Makes,
    /// Its parts.
    pub parts: Vec<Part>,
    /// Where it stands.
    pub span: Span,
    /// Something in it could not be read.
    pub spoilt: bool,
}

/// What a bracket makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Makes {
    /// A point.
    Point,
    /// A level.
    Level,
    /// A line.
    Line,
}

/// One part of an entry: a row of the vocabulary with its places filled.
#[derive(Clone, Debug)]
pub struct Part {
    /// The row.
    pub row: &'static Row,
    /// What fills its places, in order.
    pub args: Vec<Arg>,
    /// Where it stands.
    pub span: Span,
}

impl PartialEq for Part {
    fn eq(&self, other: &Self) -> bool {
        self.row.id == other.row.id
            && self.row.pattern == other.row.pattern
            && self.args == other.args
    }
}

/// What fills a place of a row.
#[derive(Clone, Debug, PartialEq)]
pub enum Arg {
    /// A number, length, angle, count or question.
    Number(Expr),
    /// A drawn thing.
    Drawn(Drawn),
    /// Several, with `then` between.
    Several(Vec<Drawn>),
    /// A line or part of one.
    Edge(EdgeRef),
    /// Several lines.
    Edges(Vec<EdgeRef>),
    /// A direction.
    Way(Way),
    /// A word of the drafter.
    Word(Arc<str>, Span),
    /// A text.
    Text(String),
    /// A value that may move.
    Free(Ref),
}

/// A direction.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// Up or down.
    Upright,
    /// Across.
    Level,
    /// Square to a line or ruling.
    Square(Drawn),
    /// Towards a point.
    Toward(Drawn),
    /// As a line or ruling runs.
    Along(Drawn),
}

/// A number, length, angle, count, word or question.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    /// What it is.
    pub kind: ExprKind,
    /// Where it stands.
    pub span: Span,
}

/// Kinds of numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum ExprKind {
    /// A figure with its kind; lengths in millimetres, angles in radians.
    Figure(f64, FigureKind),
    /// By name.
    Named(Ref),
    /// `yes` or `no`.
    YesNo(bool),
    /// With a minus.
    Minus(Box<Expr>),
    /// A sum, difference, product or quotient.
    Reckon(Op, Box<Expr>, Box<Expr>, Span),
    /// A comparison.
    Compare(Comparison, Box<Expr>, Box<Expr>, Span),
    /// `shaping is curved`.
    Is(Box<Expr>, RefName),
    /// Both.
    And(Box<Expr>, Box<Expr>),
    /// Either.
    Or(Box<Expr>, Box<Expr>),
    /// Not.
    Not(Box<Expr>),
    /// A share of something: the share, how it was said, of what.
    Share(f64, Arc<str>, Box<Expr>),
    /// A function.
    Function(Function, Vec<Expr>),
    /// The length of a line without its darts.
    LengthOf(EdgeRef),
    /// A distance, drop or span between two points.
    Between(Across, Box<(Drawn, Drawn)>),
    /// In brackets.
    Bracket(Box<Expr>),
    /// Could not be read.
    Spoilt,
}

/// The kind of a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureKind {
    /// A length, with the unit it was written in.
    Length,
    /// An angle.
    Angle,
    /// A plain number.
    Plain,
    /// Of a hundred.
    Percent,
}

/// A sign of reckoning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Op {
    /// +
    Add,
    /// -
    Subtract,
    /// *
    Times,
    /// /
    Divide,
}

/// A sign of comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// <
    Less,
    /// <=
    AtMost,
    /// >
    More,
    /// >=
    AtLeast,
    /// =
    Equal,
}

/// How a distance between two points is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// Straight.
    Distance,
    /// Only down.
    Drop,
    /// Only across.
    Span,
}

/// A function of the language.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Function {
    /// The smaller.
    Least,
    /// The larger.
    Greatest,
    /// Without its minus.
    Size,
    /// The next whole number.
    NextWhole,
    /// The whole part.
    WholePart,
    /// The square root.
    Root,
    /// The long side over a square corner.
    Slant,
    /// How far a hem comes up.
    FlareRise,
    /// Radius of a whole circle.
    CircleRadius,
    /// Girth of a whole circle.
    CircleGirth,
    /// Angle of an arc.
    ArcAngle,
    /// Girth needed for a step.
    StepGirth,
    /// Step that a girth allows.
    StepLength,
}

/// A value: the first case whose question holds, or one searched for.
#[derive(Clone, Debug, PartialEq)]
pub struct Value {
    /// Its form.
    pub form: ValueForm,
    /// Between what it may move, when truing asks.
    pub moves: Option<(Expr, Expr)>,
    /// Where it stands.
    pub span: Span,
}

/// The forms of a value.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "a tree is read once and walked by reference"
)]
pub enum ValueForm {
    /// Cases: a sum and the question under which it holds.
    Cases(Vec<(Expr, Option<Expr>)>),
    /// Searched for between two limits so that two sums agree.
    Found {
        /// The lower limit.
        low: Expr,
        /// The upper limit.
        high: Expr,
        /// One side.
        left: Expr,
        /// The other side.
        right: Expr,
    },
}

/// `each k up to N`.
#[derive(Clone, Debug, PartialEq)]
pub struct Each {
    /// The counter.
    pub counter: Arc<str>,
    /// How far it counts.
    pub upto: Expr,
    /// Where it stands.
    pub span: Span,
}

/// Whom an entry is about.
#[derive(Clone, Debug, PartialEq)]
pub struct Head {
    /// The names, more than one where `and` stands between.
    pub names: Vec<RefName>,
    /// Whose they are: pieces, in a `finish` of pieces.
    pub of: Vec<RefName>,
    /// Where it stands.
    pub span: Span,
}

/// One entry: a name, a colon, and what it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Whom it is about.
    pub head: Head,
    /// What it says.
    pub says: Says,
    /// Repeated for a counter.
    pub each: Option<Each>,
    /// The author's reason.
    pub why: Option<String>,
    /// Something in it could not be read.
    pub spoilt: bool,
    /// The heading under which it stands.
    pub heading: Heading,
}

/// What an entry says.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "a tree is read once and walked by reference"
)]
pub enum Says {
    /// A number.
    Value(Value),
    /// A construction, a piece, a finish, a seam.
    Parts(Vec<Part>),
    /// A seam.
    Seam(Seam),
    /// A check.
    Check(Check),
}

/// What is sewn to what.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// The two sides; the second is absent for a twin; both absent for a `make` alone.
    pub sides: Option<(Vec<EdgeRef>, Option<Vec<EdgeRef>>)>,
    /// How much longer the first is.
    pub ease: Option<Expr>,
    /// What is to agree, and what may move.
    pub truings: Vec<Truing>,
}

/// One thing to be trued.
#[derive(Clone, Debug, PartialEq)]
pub enum Truing {
    /// The seam between two points.
    Between {
        /// From here.
        from: Drawn,
        /// To here.
        to: Drawn,
        /// What moves.
        moving: Ref,
        /// Where it stands.
        span: Span,
        /// The author's reason.
        why: Option<String>,
    },
    /// Two sums.
    Make {
        /// One side.
        left: Expr,
        /// The other.
        right: Expr,
        /// What moves.
        moving: Ref,
        /// Where it stands.
        span: Span,
        /// The author's reason.
        why: Option<String>,
    },
}

/// How serious a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// It can't be cut so.
    Stop,
    /// The drafter must decide.
    Ask,
    /// Good to know.
    Note,
}

/// A question that the method asks of its own draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// How serious.
    pub weight: Weight,
    /// When it speaks.
    pub when: Expr,
    /// Where it points.
    pub at: Option<Ref>,
    /// What it says, with sums in square brackets.
    pub says: Vec<Piecewise>,
    /// What to do.
    pub cure: Vec<Piecewise>,
}

/// A text with sums in it.
#[derive(Clone, Debug, PartialEq)]
pub enum Piecewise {
    /// Words.
    Words(String),
    /// A number to be shown.
    Number(Expr),
}

/// A heading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Heading {
    /// `method`
    Method,
    /// `card`
    Card,
    /// `choices`
    Choices,
    /// `values`
    Values,
    /// `use`
    Use,
    /// `sheets`
    Sheets,
    /// `levels`
    Levels,
    /// `uprights`
    Uprights,
    /// `points`
    Points,
    /// `lines`
    Lines,
    /// `edges`
    Edges,
    /// `darts`
    Darts,
    /// `finish`
    Finish,
    /// `pieces`
    Pieces,
    /// `seams`
    Seams,
    /// `results`
    Results,
    /// `checks`
    Checks,
}

/// One thing in the body of a method or of a sheet, in order of work.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "a tree is read once and walked by reference"
)]
pub enum Item {
    /// An entry.
    Entry(Entry),
    /// A decision.
    When(When),
    /// Another method.
    Use(Use),
    /// Sheets that share a description.
    Sheets(Group),
}

/// `when … otherwise … end`.
#[derive(Clone, Debug, PartialEq)]
pub struct When {
    /// The question.
    pub ask: Expr,
    /// What holds when it is answered yes.
    pub then: Vec<Item>,
    /// What holds otherwise.
    pub otherwise: Vec<Item>,
    /// Where it stands.
    pub span: Span,
}

/// `use "…" as name`, with choices set.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// The title of the other method.
    pub title: String,
    /// The name it has here.
    pub name: RefName,
    /// Its choices, set.
    pub sets: Vec<(RefName, Expr)>,
    /// Where it stands.
    pub span: Span,
}

/// Sheets that share a description, with the table of what differs.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The sheets.
    pub names: Vec<RefName>,
    /// Counted sheets.
    pub each: Option<Each>,
    /// The table.
    pub rows: Vec<TableRow>,
    /// What is drawn on each.
    pub body: Vec<Item>,
    /// Where it stands.
    pub span: Span,
}

/// A row of the table of what differs.
#[derive(Clone, Debug, PartialEq)]
pub struct TableRow {
    /// Its name.
    pub name: RefName,
    /// A value for each sheet.
    pub cells: Vec<Value>,
    /// The author's reason.
    pub why: Option<String>,
}

/// A measure that the method takes.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureEntry {
    /// Its name.
    pub name: RefName,
    /// What is taken when the card has it not.
    pub fallback: Option<Expr>,
    /// How it is taken.
    pub taken: Option<String>,
    /// The author's reason.
    pub why: Option<String>,
}

/// A choice that the method offers.
#[derive(Clone, Debug, PartialEq)]
pub struct ChoiceEntry {
    /// Its name.
    pub name: RefName,
    /// The usual value.
    pub usual: Expr,
    /// Its range.
    pub between: Option<(Expr, Expr)>,
    /// The words to choose from.
    pub one_of: Vec<RefName>,
    /// When it is offered.
    pub offered: Option<Expr>,
    /// Its label, when another than its name.
    pub label: Option<String>,
    /// What it does.
    pub help: Option<String>,
    /// The author's reason.
    pub why: Option<String>,
    /// Something in it could not be read.
    pub spoilt: bool,
}

/// A whole method.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Method {
    /// Its title.
    pub title: String,
    /// What it is about.
    pub about: Vec<String>,
    /// The measures it takes.
    pub card: Vec<MeasureEntry>,
    /// The choices it offers.
    pub choices: Vec<ChoiceEntry>,
    /// Everything else, in order of work.
    pub body: Vec<Item>,
}
