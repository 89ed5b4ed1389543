//! The vocabulary, one table: form, places and their kinds, and the sentence of every construction.
//!
//! The reader knows the table and nothing of darts or hems. A new construction is a new row here, and
//! an arm where it is worked.

use std::sync::LazyLock;

/// Where a row may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Where {
    /// A level.
    Level,
    /// After a level.
    LevelMore,
    /// An upright.
    Upright,
    /// A point.
    Place,
    /// After a point: moves and the like.
    PlaceMore,
    /// A line or edge, at its beginning.
    Line,
    /// A leg of a line.
    Leg,
    /// After a leg.
    LegMore,
    /// A dart.
    Dart,
    /// A piece.
    Piece,
    /// After a seam's sides.
    Seam,
    /// The finish of an edge.
    Finish,
    /// A direction.
    Way,
}

/// The kind of a place in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slot {
    /// A length.
    Length,
    /// A plain number.
    Number,
    /// An angle.
    Angle,
    /// A question.
    Ask,
    /// A point.
    Point,
    /// Points with `then` between.
    Points,
    /// A line or edge, or a part of one.
    Edge,
    /// Lines or edges with `then` between.
    Edges,
    /// An edge of this piece by its name.
    Own,
    /// A line, edge, level or upright.
    Straight,
    /// A level or upright.
    Ruling,
    /// A level, upright or point.
    Spot,
    /// A point or an edge of this piece.
    PointOrOwn,
    /// A dart.
    Dart,
    /// A sheet or piece.
    Sheet,
    /// A direction.
    Way,
    /// A word of the drafter.
    Word,
    /// A level of the body: words that end with `level`.
    BodyLevel,
    /// A text.
    Text,
    /// A value that may move.
    Free,
}

impl Slot {
    /// What is wanted there, in words.
    pub fn wants(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Number => "a number",
            Self::Angle => "an angle",
            Self::Ask => "a question",
            Self::Point => "a point",
            Self::Points => "points with `then` between",
            Self::Edge => "a line",
            Self::Edges => "lines with `then` between",
            Self::Own => "an edge of this piece",
            Self::Straight => "a line or a ruling",
            Self::Ruling => "a level or an upright",
            Self::Spot => "a level, an upright or a point",
            Self::PointOrOwn => "a point or an edge of this piece",
            Self::Dart => "a dart",
            Self::Sheet => "a sheet or a piece",
            Self::Way => "a direction",
            Self::Word => "a word",
            Self::BodyLevel => "a level of the body",
            Self::Text => "a text in quotation marks",
            Self::Free => "a value that may move",
        }
    }
}

/// A word or a place of a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bit {
    /// A fixed word.
    Word(&'static str),
    /// A place, with its name in the sentence.
    Slot(&'static str, Slot),
}

/// Which construction a row is. Several rows may be forms of one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "the table below says it row by row")]
pub enum Id {
    AtTop,
    Below,
    Above,
    BodyLevel,
    AtLeft,
    FromRuling,
    At,
    AtCrossing,
    Where,
    AlongBy,
    AlongAt,
    FromToward,
    Midway,
    BetweenAt,
    SquareTo,
    TurnPoint,
    ReflectPoint,
    Compass,
    TipOf,
    StartOf,
    EndOf,
    Up,
    Down,
    Inward,
    Outward,
    InwardFrom,
    OutwardFrom,
    UpFrom,
    DownFrom,
    Nearest,
    GoingToward,
    Reaching,
    SideOutward,
    SideInward,
    SideUp,
    SideDown,
    From,
    Straight,
    Curve,
    Arc,
    Follow,
    Beside,
    SoftenOver,
    SoftenRadius,
    ReflectLine,
    TurnLine,
    Leaving,
    Arriving,
    Held,
    Through,
    Bowed,
    Around,
    If,
    Into,
    Place,
    DartAt,
    Intake,
    DartLength,
    Pressed,
    On,
    Outline,
    Copy,
    Rectangle,
    CutAlong,
    Keeping,
    Join,
    JoinWith,
    Slash,
    SlashTimes,
    Spread,
    AllAlong,
    CloseEvery,
    CloseEveryBy,
    Close,
    CloseBy,
    Opening,
    OpeningAt,
    Swing,
    LetOut,
    LetOutAt,
    TakeIn,
    TakeInAt,
    Fading,
    Strip,
    Deep,
    Replace,
    Smooth,
    OpenOut,
    TurnOver,
    TurnAbout,
    MoveUp,
    MoveDown,
    MoveInward,
    MoveOutward,
    Fold,
    CutFold,
    CutPlain,
    CutPair,
    GrainAlong,
    GrainDown,
    GrainFrom,
    Label,
    Seam,
    Hem,
    Folded,
    Open,
    Allowance,
    Ramping,
    Stepping,
    NotchAt,
    NotchAbove,
    NotchBelow,
    NotchFrom,
    NotchEvery,
    DoubleNotchAt,
    DoubleNotchAbove,
    DoubleNotchBelow,
    DoubleNotchFrom,
    TripleNotchAt,
    ReflectedCorner,
    SquaredCorner,
    ExtendedCorner,
    BevelledCorner,
    SteppedCorner,
    MitredCorner,
    OpenFrom,
    Upright,
    Level,
    SquareWay,
    TowardWay,
    AlongWay,
}

/// One row of the vocabulary.
#[derive(Clone, Debug)]
pub struct Row {
    /// Where it may stand.
    pub place: Where,
    /// Which construction it is.
    pub id: Id,
    /// Its form, as it is written in the manual.
    pub pattern: &'static str,
    /// The form cut into words and places.
    pub bits: Vec<Bit>,
    /// Its sentence in English, with the places in braces.
    pub tells: &'static str,
}

use Where as W;

const ROWS: &[(Where, Id, &str, &str)] = &[
    (
        W::Level,
        Id::AtTop,
        "at top",
        "rule the {name} across the top of the paper",
    ),
    (
        W::Level,
        Id::Below,
        "{d:L} below {r:S}",
        "from {the r} come down {d} and rule a line across: the {name}",
    ),
    (
        W::Level,
        Id::Above,
        "{d:L} above {r:S}",
        "from {the r} come up {d} and rule a line across: the {name}",
    ),
    (W::LevelMore, Id::BodyLevel, "{b:body}", ""),
    (
        W::Upright,
        Id::AtLeft,
        "at left",
        "rule the {name} down the left of the paper",
    ),
    (
        W::Upright,
        Id::FromRuling,
        "{d:L} from {r:S}",
        "from {the r} go out {d} and rule a line down: the {name}",
    ),
    (
        W::Place,
        Id::AtCrossing,
        "at {a:S} and {b:S}",
        "mark where {the a} and {the b} cross",
    ),
    (W::Place, Id::At, "at {a:S}", "from {a}"),
    (
        W::Place,
        Id::Where,
        "where {a:X} meets {b:X}",
        "mark where {the a} meets {the b}",
    ),
    (
        W::Place,
        Id::AlongBy,
        "along {e:E} by {d:L} from {p:P}",
        "from {p} measure {d} along {the e}",
    ),
    (
        W::Place,
        Id::AlongAt,
        "along {e:E} at {k:N}",
        "mark {k} of the way along {the e}",
    ),
    (
        W::Place,
        Id::FromToward,
        "from {a:P} toward {b:P} by {d:L}",
        "from {a} go {d} straight toward {b}",
    ),
    (
        W::Place,
        Id::Midway,
        "midway between {a:P} and {b:P}",
        "mark the middle between {a} and {b}",
    ),
    (
        W::Place,
        Id::BetweenAt,
        "between {a:P} and {b:P} at {k:N}",
        "mark {k} of the way from {a} to {b}",
    ),
    (
        W::Place,
        Id::SquareTo,
        "square to {e:X} at {p:P} by {d:L}",
        "at {p} square off {the e} and go {d} {side}",
    ),
    (
        W::Place,
        Id::TurnPoint,
        "turn {a:P} about {b:P} by {x:A}",
        "turn {a} about {b} by {x} {side}",
    ),
    (
        W::Place,
        Id::ReflectPoint,
        "reflect {a:P} over {b:X}",
        "mark {a} as far on the other side of {the b}",
    ),
    (
        W::Place,
        Id::Compass,
        "compass {d:L} from {p:P} and {f:L} from {q:P}",
        "strike {d} from {p} and {f} from {q}, and mark where they cross on the {side} side",
    ),
    (
        W::Place,
        Id::TipOf,
        "tip of {t:D}",
        "mark the tip of {the t}",
    ),
    (
        W::Place,
        Id::StartOf,
        "start of {e:E}",
        "mark the beginning of {the e}",
    ),
    (
        W::Place,
        Id::EndOf,
        "end of {e:E}",
        "mark the end of {the e}",
    ),
    (
        W::PlaceMore,
        Id::UpFrom,
        "up {d:L} from {r:S}",
        "go up {d} from {the r}",
    ),
    (
        W::PlaceMore,
        Id::DownFrom,
        "down {d:L} from {r:S}",
        "go down {d} from {the r}",
    ),
    (
        W::PlaceMore,
        Id::InwardFrom,
        "inward {d:L} from {r:S}",
        "go in {d} from {the r}",
    ),
    (
        W::PlaceMore,
        Id::OutwardFrom,
        "outward {d:L} from {r:S}",
        "go out {d} from {the r}",
    ),
    (W::PlaceMore, Id::Up, "up {d:L}", "go up {d}"),
    (W::PlaceMore, Id::Down, "down {d:L}", "go down {d}"),
    (W::PlaceMore, Id::Inward, "inward {d:L}", "go in {d}"),
    (W::PlaceMore, Id::Outward, "outward {d:L}", "go out {d}"),
    (
        W::PlaceMore,
        Id::Nearest,
        "nearest {p:P}",
        "the crossing nearest {p}",
    ),
    (
        W::PlaceMore,
        Id::GoingToward,
        "going toward {q:P}",
        "toward {q}",
    ),
    (
        W::PlaceMore,
        Id::Reaching,
        "reaching {d:L} from {p:P}",
        "from {p} swing {d} {side} on to {the a}",
    ),
    (W::PlaceMore, Id::SideOutward, "outward", "outward"),
    (W::PlaceMore, Id::SideInward, "inward", "inward"),
    (W::PlaceMore, Id::SideUp, "up", "upward"),
    (W::PlaceMore, Id::SideDown, "down", "downward"),
    (W::Line, Id::From, "from {a:P}", "from {a}"),
    (
        W::Line,
        Id::ReflectLine,
        "reflect {e:E} over {b:X}",
        "turn {the e} over {the b}",
    ),
    (
        W::Line,
        Id::ReflectLine,
        "mirror {e:E} over {b:X}",
        "turn {the e} over {the b}",
    ),
    (
        W::Line,
        Id::TurnLine,
        "turn {e:E} about {p:P} by {x:A}",
        "turn {the e} about {p} by {x} {side}",
    ),
    (W::Line, Id::Follow, "follow {e:E}", "along {the e}"),
    (
        W::Line,
        Id::Beside,
        "beside {e:E} by {d:L}",
        "beside {the e}, {d} {side}",
    ),
    (W::Leg, Id::Straight, "straight to {p:P}", "straight to {p}"),
    (W::Leg, Id::Curve, "curve to {p:P}", "in a curve to {p}"),
    (W::Leg, Id::Arc, "arc to {p:P}", "in an arc to {p}"),
    (W::Leg, Id::Follow, "follow {e:E}", "along {the e}"),
    (
        W::Leg,
        Id::Beside,
        "beside {e:E} by {d:L}",
        "beside {the e}, {d} {side}",
    ),
    (
        W::Leg,
        Id::SoftenOver,
        "soften at {p:P} over {d:L}",
        "soften the corner at {p} over {d} each way",
    ),
    (
        W::Leg,
        Id::SoftenRadius,
        "soften at {p:P} with radius {d:L}",
        "soften the corner at {p} to a curve of radius {d}",
    ),
    (W::LegMore, Id::Leaving, "leaving {v:V}", "leaving {v}"),
    (W::LegMore, Id::Arriving, "arriving {v:V}", "arriving {v}"),
    (
        W::LegMore,
        Id::Held,
        "held {v:V} over {d:L}",
        "keeping it {v} there for {d} each way",
    ),
    (W::LegMore, Id::Through, "through {p:P+}", "through {p}"),
    (
        W::LegMore,
        Id::Bowed,
        "bowed {d:L}",
        "bowed out {d} at its middle",
    ),
    (W::LegMore, Id::Around, "around {p:P}", "round {p}"),
    (W::LegMore, Id::If, "if {q:?}", ""),
    (
        W::LegMore,
        Id::SideOutward,
        "outward",
        "on the outward side",
    ),
    (W::LegMore, Id::SideInward, "inward", "on the inward side"),
    (W::LegMore, Id::SideUp, "up", "on the upper side"),
    (W::LegMore, Id::SideDown, "down", "on the lower side"),
    (W::Dart, Id::Into, "into {e:E}", "into {the e}"),
    (
        W::Dart,
        Id::Place,
        "place {k:N}",
        "its middle {k} of the way along",
    ),
    (W::Dart, Id::DartAt, "at {p:P}", "its middle at {p}"),
    (W::Dart, Id::Intake, "intake {d:L}", "{d} wide"),
    (W::Dart, Id::DartLength, "length {d:L}", "{d} long"),
    (
        W::Dart,
        Id::Pressed,
        "pressed toward {p:P}",
        "pressed toward {p}",
    ),
    (W::Piece, Id::On, "on {g:G}", ""),
    (W::Piece, Id::Outline, "outline {e:E+}", "go round {the e}"),
    (W::Piece, Id::Copy, "copy from {g:G}", "trace {the g}"),
    (
        W::Piece,
        Id::Rectangle,
        "rectangle {d:L} by {w:L}",
        "draw a strip {d} by {w}",
    ),
    (
        W::Piece,
        Id::CutAlong,
        "cut along {e:E}",
        "cut it along {the e}",
    ),
    (
        W::Piece,
        Id::Keeping,
        "keeping {p:P+}",
        "keep the part with {p}",
    ),
    (
        W::Piece,
        Id::JoinWith,
        "join {g:G} at {e:e} with {f:W}",
        "lay {the f} of {the g} against {the e}",
    ),
    (
        W::Piece,
        Id::Join,
        "join {g:G} at {e:e}",
        "lay {the g} against it at {the e}",
    ),
    (
        W::Piece,
        Id::SlashTimes,
        "slash {n:N} times from {a:Pe} toward {b:Pe}",
        "slash it {n} times from {a} toward {b}",
    ),
    (
        W::Piece,
        Id::Slash,
        "slash from {a:Pe} toward {b:Pe}",
        "slash it from {a} toward {b}",
    ),
    (W::Piece, Id::Spread, "spread {d:L}", "spread {d}"),
    (W::Piece, Id::AllAlong, "all along", "the same all along"),
    (
        W::Piece,
        Id::CloseEveryBy,
        "close every dart by {k:N}",
        "close {k} of every dart",
    ),
    (
        W::Piece,
        Id::CloseEvery,
        "close every dart",
        "close every dart",
    ),
    (
        W::Piece,
        Id::CloseBy,
        "close {t:D} by {k:N}",
        "close {k} of {the t}",
    ),
    (W::Piece, Id::Close, "close {t:D}", "close {the t}"),
    (
        W::Piece,
        Id::OpeningAt,
        "opening {e:e} at {p:P}",
        "{the e} opens at {p}",
    ),
    (W::Piece, Id::Opening, "opening {e:e}", "{the e} opens"),
    (
        W::Piece,
        Id::Swing,
        "swing {t:D} into {e:e} at {p:P}",
        "swing {the t} into {the e} at {p}",
    ),
    (
        W::Piece,
        Id::LetOutAt,
        "let out {e:e} by {d:L} at {p:P}",
        "add {d} to {the e} at {p}",
    ),
    (
        W::Piece,
        Id::LetOut,
        "let out {e:e} by {d:L}",
        "add {d} to {the e} all along",
    ),
    (
        W::Piece,
        Id::LetOutAt,
        "let down {e:e} by {d:L} at {p:P}",
        "let {the e} down {d} at {p}",
    ),
    (
        W::Piece,
        Id::LetOut,
        "let down {e:e} by {d:L}",
        "let {the e} down {d} all along",
    ),
    (
        W::Piece,
        Id::TakeInAt,
        "take in {e:e} by {d:L} at {p:P}",
        "take {d} off {the e} at {p}",
    ),
    (
        W::Piece,
        Id::TakeIn,
        "take in {e:e} by {d:L}",
        "take {d} off {the e} all along",
    ),
    (
        W::Piece,
        Id::TakeInAt,
        "take up {e:e} by {d:L} at {p:P}",
        "take {the e} up {d} at {p}",
    ),
    (
        W::Piece,
        Id::TakeIn,
        "take up {e:e} by {d:L}",
        "take {the e} up {d} all along",
    ),
    (
        W::Piece,
        Id::Fading,
        "fading to {p:P}",
        "fading to nothing at {p}",
    ),
    (
        W::Piece,
        Id::Strip,
        "strip along {e:e}",
        "keep a strip along {the e}, darts closed",
    ),
    (W::Piece, Id::Deep, "deep {d:L}", "{d} deep"),
    (
        W::Piece,
        Id::Replace,
        "replace {e:e} by {f:E}",
        "draw {the e} anew as {the f}",
    ),
    (
        W::Piece,
        Id::Smooth,
        "smooth {e:e}",
        "redraw {the e} in one smooth line",
    ),
    (
        W::Piece,
        Id::OpenOut,
        "open out {e:e}",
        "open it out at {the e}",
    ),
    (W::Piece, Id::TurnOver, "turn over", "turn it over"),
    (
        W::Piece,
        Id::TurnAbout,
        "turn about {p:P} by {x:A}",
        "turn it about {p} by {x} {side}",
    ),
    (W::Piece, Id::MoveUp, "move up {d:L}", "move it up {d}"),
    (
        W::Piece,
        Id::MoveDown,
        "move down {d:L}",
        "move it down {d}",
    ),
    (
        W::Piece,
        Id::MoveInward,
        "move inward {d:L}",
        "move it in {d}",
    ),
    (
        W::Piece,
        Id::MoveOutward,
        "move outward {d:L}",
        "move it out {d}",
    ),
    (W::Piece, Id::Fold, "fold {e:e}", "lay {the e} on the fold"),
    (
        W::Piece,
        Id::CutPair,
        "cut a pair from {c:W}",
        "cut a pair from {c}",
    ),
    (
        W::Piece,
        Id::CutFold,
        "cut {n:N} on fold from {c:W}",
        "cut {n} on the fold from {c}",
    ),
    (
        W::Piece,
        Id::CutPlain,
        "cut {n:N} from {c:W}",
        "cut {n} from {c}",
    ),
    (
        W::Piece,
        Id::GrainAlong,
        "grain along {r:X}",
        "grain along {the r}",
    ),
    (
        W::Piece,
        Id::GrainDown,
        "grain down from {p:P}",
        "grain straight down from {p}",
    ),
    (
        W::Piece,
        Id::GrainFrom,
        "grain from {p:P} toward {q:P}",
        "grain from {p} toward {q}",
    ),
    (W::Piece, Id::Label, "label {t:T}", "write on it: {t}"),
    (W::Piece, Id::SideOutward, "outward", "outward"),
    (W::Piece, Id::SideInward, "inward", "inward"),
    (W::Piece, Id::SideUp, "up", "upward"),
    (W::Piece, Id::SideDown, "down", "downward"),
    (W::Piece, Id::If, "if {q:?}", ""),
    (W::Finish, Id::Seam, "seam", "a seam"),
    (W::Finish, Id::Hem, "hem", "a hem"),
    (W::Finish, Id::Folded, "fold", "a fold"),
    (W::Finish, Id::Open, "opening", "left open"),
    (W::Finish, Id::Allowance, "allowance {d:L}", "{d} allowance"),
    (
        W::Finish,
        Id::Ramping,
        "ramping to {d:L} at {s:S}",
        "growing evenly to {d} at {the s}",
    ),
    (
        W::Finish,
        Id::Stepping,
        "stepping to {d:L} at {s:S}",
        "stepping to {d} at {the s}",
    ),
    (
        W::Finish,
        Id::NotchEvery,
        "notch every {d:L}",
        "a notch every {d}",
    ),
    (
        W::Finish,
        Id::NotchAt,
        "notch at {s:S}",
        "a notch at {the s}",
    ),
    (
        W::Finish,
        Id::NotchAbove,
        "notch {d:L} above {s:S}",
        "a notch {d} above {the s}",
    ),
    (
        W::Finish,
        Id::NotchBelow,
        "notch {d:L} below {s:S}",
        "a notch {d} below {the s}",
    ),
    (
        W::Finish,
        Id::NotchFrom,
        "notch {d:L} from {s:S}",
        "a notch {d} from {the s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchAt,
        "double notch at {s:S}",
        "a double notch at {the s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchAbove,
        "double notch {d:L} above {s:S}",
        "a double notch {d} above {the s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchBelow,
        "double notch {d:L} below {s:S}",
        "a double notch {d} below {the s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchFrom,
        "double notch {d:L} from {s:S}",
        "a double notch {d} from {the s}",
    ),
    (
        W::Finish,
        Id::TripleNotchAt,
        "triple notch at {s:S}",
        "three notches at {the s}",
    ),
    (
        W::Finish,
        Id::ReflectedCorner,
        "reflected corner at {p:P}",
        "a reflected corner at {p}",
    ),
    (
        W::Finish,
        Id::SquaredCorner,
        "squared corner at {p:P}",
        "a squared corner at {p}",
    ),
    (
        W::Finish,
        Id::ExtendedCorner,
        "extended corner at {p:P}",
        "an extended corner at {p}",
    ),
    (
        W::Finish,
        Id::BevelledCorner,
        "bevelled corner at {p:P}",
        "a bevelled corner at {p}",
    ),
    (
        W::Finish,
        Id::SteppedCorner,
        "stepped corner at {p:P}",
        "a stepped corner at {p}",
    ),
    (
        W::Finish,
        Id::MitredCorner,
        "mitred corner at {p:P}",
        "a mitred corner at {p}",
    ),
    (
        W::Finish,
        Id::OpenFrom,
        "open from {p:P} for {d:L}",
        "open from {p} for {d}",
    ),
    (W::Finish, Id::If, "if {q:?}", ""),
    (W::Way, Id::Upright, "upright", "upright"),
    (W::Way, Id::Level, "level", "level"),
    (
        W::Way,
        Id::SquareWay,
        "square to {e:X}",
        "square to {the e}",
    ),
    (W::Way, Id::TowardWay, "toward {p:P}", "toward {p}"),
    (W::Way, Id::AlongWay, "along {e:X}", "along {the e}"),
];

static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    ROWS.iter()
        .map(|&(place, id, pattern, tells)| Row {
            place,
            id,
            pattern,
            bits: bits(pattern),
            tells,
        })
        .collect()
});

/// The whole table.
pub fn table() -> &'static [Row] {
    &TABLE
}

/// The rows that may stand in one place.
pub fn rows(place: Where) -> impl Iterator<Item = &'static Row> {
    TABLE.iter().filter(move |r| r.place == place)
}

fn bits(pattern: &'static str) -> Vec<Bit> {
    let mut out = Vec::new();
    for word in pattern.split(' ') {
        if let Some(inner) = word.strip_prefix('{').and_then(|w| w.strip_suffix('}')) {
            let (name, kind) = inner.split_once(':').unwrap_or((inner, ""));
            let slot = match kind {
                "L" => Slot::Length,
                "N" => Slot::Number,
                "A" => Slot::Angle,
                "?" => Slot::Ask,
                "P" => Slot::Point,
                "P+" => Slot::Points,
                "E" => Slot::Edge,
                "E+" => Slot::Edges,
                "e" => Slot::Own,
                "X" => Slot::Straight,
                "R" => Slot::Ruling,
                "S" => Slot::Spot,
                "Pe" => Slot::PointOrOwn,
                "D" => Slot::Dart,
                "G" => Slot::Sheet,
                "V" => Slot::Way,
                "body" => Slot::BodyLevel,
                "T" => Slot::Text,
                "M" => Slot::Free,
                _ => Slot::Word,
            };
            out.push(Bit::Slot(name, slot));
        } else {
            out.push(Bit::Word(word));
        }
    }
    out
}

/// The levels of the body that a level may be.
pub const BODY_LEVELS: [&str; 13] = [
    "waist",
    "high hip",
    "hip",
    "thigh",
    "break",
    "knee",
    "ankle",
    "floor",
    "bust",
    "underbust",
    "high bust",
    "upper arm",
    "wrist",
];

/// Shares of something: how they are said, and how much.
pub const SHARES: [(&str, f64); 7] = [
    ("half", 1.0 / 2.0),
    ("third", 1.0 / 3.0),
    ("quarter", 1.0 / 4.0),
    ("two thirds", 2.0 / 3.0),
    ("three quarters", 3.0 / 4.0),
    ("sixth", 1.0 / 6.0),
    ("eighth", 1.0 / 8.0),
];
