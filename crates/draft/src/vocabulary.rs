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
    /// Its sentence in English, with the places in braces; where they differ, the teaching form, the
    /// form in passing (in brackets, within another sentence) and the short form of the hand sheet,
    /// with bars between; of two forms the last is the short one.
    pub tells: &'static str,
}

impl Row {
    /// The sentence as a teacher says it.
    pub fn teaching(&self) -> &'static str {
        self.tells.split(" | ").next().unwrap_or_default()
    }

    /// The same within another sentence.
    pub fn passing(&self) -> &'static str {
        let mut forms = self.tells.split(" | ");
        let first = forms.next().unwrap_or_default();
        match (forms.next(), forms.next()) {
            (Some(middle), Some(_)) => middle,
            _ => first,
        }
    }

    /// The same in few words, for the hand sheet.
    pub fn short(&self) -> &'static str {
        self.tells.rsplit(" | ").next().unwrap_or_default()
    }
}

use Where as W;

const ROWS: &[(Where, Id, &str, &str)] = &[
    (
        W::Level,
        Id::AtTop,
        "at top",
        "rule {name} across the top of the paper | the top of the paper | {name} at the top",
    ),
    (
        W::Level,
        Id::Below,
        "{d:L} below {r:S}",
        "come down {d} from {r} and rule {name} across | the level {d} below {r} | {name} {d} below {r}",
    ),
    (
        W::Level,
        Id::Above,
        "{d:L} above {r:S}",
        "go up {d} from {r} and rule {name} across | the level {d} above {r} | {name} {d} above {r}",
    ),
    (W::LevelMore, Id::BodyLevel, "{b:body}", ""),
    (
        W::Upright,
        Id::AtLeft,
        "at left",
        "rule {name} down the left of the paper | the left of the paper | {name} at the left",
    ),
    (
        W::Upright,
        Id::FromRuling,
        "{d:L} from {r:S}",
        "go {way} {d} from {r} and rule {name} down | the upright {d} {way} from {r} | {name} {d} {way} from {r}",
    ),
    (
        W::Place,
        Id::AtCrossing,
        "at {a:S} and {b:S}",
        "mark {name} where {a} and {b} cross | the crossing of {a} and {b} | {name}: {a} at {b}",
    ),
    (
        W::Place,
        Id::At,
        "at {a:S}",
        "mark {name} at the same place as {a} | {a} | {name}: {a}",
    ),
    (
        W::Place,
        Id::Where,
        "where {a:X} meets {b:X}",
        "mark {name} where {a} meets {b}{nearest} | the crossing of {a} with {b}{nearest} | {name}: {a} meets {b}{nearest}",
    ),
    (
        W::Place,
        Id::AlongBy,
        "along {e:E} by {d:L} from {p:P}",
        "from {p} measure {d} along {e}{toward} and mark {name} | the point {d} along {e} from {p}{toward} | {name}: {d} along {e} from {p}{toward}",
    ),
    (
        W::Place,
        Id::AlongAt,
        "along {e:E} at {k:N}",
        "mark {name} {k} along {e}{begin} | the point {k} along {e}{begin} | {name}: {k} along {e}{begin}",
    ),
    (
        W::Place,
        Id::FromToward,
        "from {a:P} toward {b:P} by {d:L}",
        "from {a} go {d} straight {way} {b} and mark {name} | the point {d} from {a} {way} {b} | {name}: {d} from {a} {way} {b}",
    ),
    (
        W::Place,
        Id::Midway,
        "midway between {a:P} and {b:P}",
        "mark {name} half-way between {a} and {b} | the point half-way between {a} and {b} | {name}: half-way, {a} to {b}",
    ),
    (
        W::Place,
        Id::BetweenAt,
        "between {a:P} and {b:P} at {k:N}",
        "mark {name} {k} from {a} to {b} | the point {k} from {a} to {b} | {name}: {k}, {a} to {b}",
    ),
    (
        W::Place,
        Id::SquareTo,
        "square to {e:X} at {p:P} by {d:L}",
        "square off {e} at {p}, go {d} {side} and mark {name} | the point {d} {side}, square off {e} at {p} | {name}: {d} {side}, square off {e} at {p}",
    ),
    (
        W::Place,
        Id::TurnPoint,
        "turn {a:P} about {b:P} by {x:A}",
        "turn {a} about {b} by {x} {turning}, and mark {name} | the point that {a} comes to when it is turned about {b} by {x} {turning} | {name}: {a} about {b} by {x} {turning}",
    ),
    (
        W::Place,
        Id::ReflectPoint,
        "reflect {a:P} over {b:X}",
        "mark {name} on the other side of {b}, as far from it as {a} | the point across {b} from {a}, as far off | {name}: {a} over {b}",
    ),
    (
        W::Place,
        Id::Compass,
        "compass {d:L} from {p:P} and {f:L} from {q:P}",
        "with the compass strike {d} from {p} and {f} from {q}, and mark {name} where the strokes cross, on the {side} side | where a stroke of {d} from {p} and one of {f} from {q} cross, on the {side} side | {name}: {d} from {p}, {f} from {q}, {side}",
    ),
    (
        W::Place,
        Id::TipOf,
        "tip of {t:D}",
        "mark {name} at the tip of {t} | the tip of {t} | {name}: tip of {t}",
    ),
    (
        W::Place,
        Id::StartOf,
        "start of {e:E}",
        "mark {name} at the beginning of {e} | the beginning of {e} | {name}: start of {e}",
    ),
    (
        W::Place,
        Id::EndOf,
        "end of {e:E}",
        "mark {name} at the end of {e} | the end of {e} | {name}: end of {e}",
    ),
    (
        W::PlaceMore,
        Id::UpFrom,
        "up {d:L} from {r:S}",
        "{way} {d} from {r}",
    ),
    (
        W::PlaceMore,
        Id::DownFrom,
        "down {d:L} from {r:S}",
        "{way} {d} from {r}",
    ),
    (
        W::PlaceMore,
        Id::InwardFrom,
        "inward {d:L} from {r:S}",
        "{way} {d} from {r} | {d} {way} from {r} | {d} {way} from {r}",
    ),
    (
        W::PlaceMore,
        Id::OutwardFrom,
        "outward {d:L} from {r:S}",
        "{way} {d} from {r} | {d} {way} from {r} | {d} {way} from {r}",
    ),
    (
        W::PlaceMore,
        Id::Up,
        "up {d:L}",
        "{way} {d} | {d} {way} | {d} {way}",
    ),
    (
        W::PlaceMore,
        Id::Down,
        "down {d:L}",
        "{way} {d} | {d} {way} | {d} {way}",
    ),
    (
        W::PlaceMore,
        Id::Inward,
        "inward {d:L}",
        "{way} {d} | {d} {way} | {d} {way}",
    ),
    (
        W::PlaceMore,
        Id::Outward,
        "outward {d:L}",
        "{way} {d} | {d} {way} | {d} {way}",
    ),
    (
        W::PlaceMore,
        Id::Nearest,
        "nearest {p:P}",
        ", at the crossing nearest {p} | , at the crossing nearest {p} | , near {p}",
    ),
    (
        W::PlaceMore,
        Id::GoingToward,
        "going toward {q:P}",
        " toward {q}",
    ),
    (
        W::PlaceMore,
        Id::Reaching,
        "reaching {d:L} from {p:P}",
        "from {p} swing {d} {side} on to {a} and mark {name} | the point on {a} that {d} from {p} just reaches, going {side} | {name}: on {a}, {d} {side} from {p}",
    ),
    (W::PlaceMore, Id::SideOutward, "outward", "outward"),
    (W::PlaceMore, Id::SideInward, "inward", "inward"),
    (W::PlaceMore, Id::SideUp, "up", "upward"),
    (W::PlaceMore, Id::SideDown, "down", "downward"),
    (
        W::Line,
        Id::From,
        "from {a:P}",
        "draw {name} from {a} | a line from {a} | {name}: {a}",
    ),
    (
        W::Line,
        Id::ReflectLine,
        "reflect {e:E} over {b:X}",
        "draw {name} as {e} turned over {b} | {e} turned over {b} | {name}: {e} over {b}",
    ),
    (
        W::Line,
        Id::ReflectLine,
        "mirror {e:E} over {b:X}",
        "draw {name} as {e} turned over {b} | {e} turned over {b} | {name}: {e} over {b}",
    ),
    (
        W::Line,
        Id::TurnLine,
        "turn {e:E} about {p:P} by {x:A}",
        "draw {name} as {e} turned about {p} by {x} {turning} | {e} turned about {p} by {x} {turning} | {name}: {e} about {p} by {x} {turning}",
    ),
    (
        W::Line,
        Id::Follow,
        "follow {e:E}",
        "draw {name} along {e} | a line along {e} | {name}: along {e}",
    ),
    (
        W::Line,
        Id::Beside,
        "beside {e:E} by {d:L}",
        "draw {name} beside {e}, {d} away on the {side} side | a line beside {e}, {d} away on the {side} side | {name}: beside {e}, {d} {side}",
    ),
    (W::Leg, Id::Straight, "straight to {p:P}", "straight to {p}"),
    (
        W::Leg,
        Id::Curve,
        "curve to {p:P}",
        "in a curve{through} to {p} | curve{through} to {p}",
    ),
    (
        W::Leg,
        Id::Arc,
        "arc to {p:P}",
        "in an arc{around} to {p} | arc{around} to {p}",
    ),
    (W::Leg, Id::Follow, "follow {e:E}", "along {e}"),
    (
        W::Leg,
        Id::Beside,
        "beside {e:E} by {d:L}",
        "beside {e}, {d} away on the {side} side | beside {e}, {d} {side}",
    ),
    (
        W::Leg,
        Id::SoftenOver,
        "soften at {p:P} over {d:L}",
        "soften the corner at {p} over {d} each way | softened at {p} over {d}",
    ),
    (
        W::Leg,
        Id::SoftenRadius,
        "soften at {p:P} with radius {d:L}",
        "soften the corner at {p} with a curve of radius {d} | softened at {p}, radius {d}",
    ),
    (W::LegMore, Id::Leaving, "leaving {v:V}", "leaving {v}"),
    (W::LegMore, Id::Arriving, "arriving {v:V}", "arriving {v}"),
    (
        W::LegMore,
        Id::Held,
        "held {v:V} over {d:L}",
        "running {v} for {d} {each} | {v} for {d} {each}",
    ),
    (W::LegMore, Id::Through, "through {p:P+}", " through {p}"),
    (
        W::LegMore,
        Id::Bowed,
        "bowed {d:L}",
        "bowed {side} by {d} at its middle | bowed {side} {d}",
    ),
    (W::LegMore, Id::Around, "around {p:P}", " round {p}"),
    (W::LegMore, Id::If, "if {q:?}", ""),
    (
        W::LegMore,
        Id::SideOutward,
        "outward",
        "going round on the outward side | outward",
    ),
    (
        W::LegMore,
        Id::SideInward,
        "inward",
        "going round on the inward side | inward",
    ),
    (
        W::LegMore,
        Id::SideUp,
        "up",
        "going round on the upper side | upward",
    ),
    (
        W::LegMore,
        Id::SideDown,
        "down",
        "going round on the lower side | downward",
    ),
    (
        W::Dart,
        Id::Into,
        "into {e:E}",
        "mark {name} on {e} | {name} on {e}",
    ),
    (
        W::Dart,
        Id::Place,
        "place {k:N}",
        "its middle {k} along, {far} from {begin} | {far} from {begin}",
    ),
    (
        W::Dart,
        Id::DartAt,
        "at {p:P}",
        "its middle at {p} | at {p}",
    ),
    (W::Dart, Id::Intake, "intake {d:L}", "{d} wide"),
    (W::Dart, Id::DartLength, "length {d:L}", "{d} long"),
    (
        W::Dart,
        Id::Pressed,
        "pressed toward {p:P}",
        "press it toward {p} | pressed to {p}",
    ),
    (W::Piece, Id::On, "on {g:G}", ""),
    (W::Piece, Id::Outline, "outline {e:E+}", "go round {e}"),
    (
        W::Piece,
        Id::Copy,
        "copy from {g:G}",
        "for {name} trace {g} | {name}: trace {g}",
    ),
    (
        W::Piece,
        Id::Rectangle,
        "rectangle {d:L} by {w:L}",
        "draw {name} as a strip {d} long and {w} wide | {name}: strip {d} by {w}",
    ),
    (
        W::Piece,
        Id::CutAlong,
        "cut along {e:E}",
        "cut it along {e} | cut along {e}",
    ),
    (
        W::Piece,
        Id::Keeping,
        "keeping {p:P+}",
        "keep the part with {p} | keep {p}",
    ),
    (
        W::Piece,
        Id::JoinWith,
        "join {g:G} at {e:e} with {f:W}",
        "lay the {f} of {g} against {e} and join them there into one piece | join {f} of {g} at {e}",
    ),
    (
        W::Piece,
        Id::Join,
        "join {g:G} at {e:e}",
        "lay {g} against it at {e} and join them there into one piece | join {g} at {e}",
    ),
    (
        W::Piece,
        Id::SlashTimes,
        "slash {n:N} times from {a:Pe} toward {b:Pe}",
        "slash it {n} times from {a} toward {b} | slash {n} times, {a} to {b}",
    ),
    (
        W::Piece,
        Id::Slash,
        "slash from {a:Pe} toward {b:Pe}",
        "slash it from {a} toward {b} | slash {a} to {b}",
    ),
    (
        W::Piece,
        Id::Spread,
        "spread {d:L}",
        "spread each cut {d} | spread {d}",
    ),
    (
        W::Piece,
        Id::AllAlong,
        "all along",
        "the same all along | all along",
    ),
    (
        W::Piece,
        Id::CloseEveryBy,
        "close every dart by {k:N}",
        "close {k} of every dart | close {k} of darts",
    ),
    (
        W::Piece,
        Id::CloseEvery,
        "close every dart",
        "close every dart | close darts",
    ),
    (
        W::Piece,
        Id::CloseBy,
        "close {t:D} by {k:N}",
        "close {k} of {t}",
    ),
    (W::Piece, Id::Close, "close {t:D}", "close {t}"),
    (
        W::Piece,
        Id::OpeningAt,
        "opening {e:e} at {p:P}",
        "{e} opens {wide} at {p}",
    ),
    (W::Piece, Id::Opening, "opening {e:e}", "{e} opens {wide}"),
    (
        W::Piece,
        Id::Swing,
        "swing {t:D} into {e:e} at {p:P}",
        "swing {t} into {e} at {p}, where it comes out {wide} wide | {t} to {e} at {p}, {wide} wide",
    ),
    (
        W::Piece,
        Id::LetOutAt,
        "let out {e:e} by {d:L} at {p:P}",
        "add {d} to {e} at {p}{fading} | let out {e} {d} at {p}{fading}",
    ),
    (
        W::Piece,
        Id::LetOut,
        "let out {e:e} by {d:L}",
        "add {d} to {e} all along | let out {e} {d}",
    ),
    (
        W::Piece,
        Id::LetOutAt,
        "let down {e:e} by {d:L} at {p:P}",
        "let {e} down {d} at {p}{fading}",
    ),
    (
        W::Piece,
        Id::LetOut,
        "let down {e:e} by {d:L}",
        "let {e} down {d} all along | let down {e} {d}",
    ),
    (
        W::Piece,
        Id::TakeInAt,
        "take in {e:e} by {d:L} at {p:P}",
        "take {d} off {e} at {p}{fading} | take in {e} {d} at {p}{fading}",
    ),
    (
        W::Piece,
        Id::TakeIn,
        "take in {e:e} by {d:L}",
        "take {d} off {e} all along | take in {e} {d}",
    ),
    (
        W::Piece,
        Id::TakeInAt,
        "take up {e:e} by {d:L} at {p:P}",
        "take {e} up {d} at {p}{fading}",
    ),
    (
        W::Piece,
        Id::TakeIn,
        "take up {e:e} by {d:L}",
        "take {e} up {d} all along | take up {e} {d}",
    ),
    (
        W::Piece,
        Id::Fading,
        "fading to {p:P}",
        ", fading to nothing at {p} | , fading to {p}",
    ),
    (
        W::Piece,
        Id::Strip,
        "strip along {e:e}",
        "keep a strip{deep} along {e} | strip{deep} along {e}",
    ),
    (W::Piece, Id::Deep, "deep {d:L}", " {d} deep"),
    (
        W::Piece,
        Id::Replace,
        "replace {e:e} by {f:E}",
        "draw {e} anew as {f} | {e} anew: {f}",
    ),
    (
        W::Piece,
        Id::Smooth,
        "smooth {e:e}",
        "redraw {e} in one smooth line | smooth {e}",
    ),
    (
        W::Piece,
        Id::OpenOut,
        "open out {e:e}",
        "open it out at {e}, so that it is whole | open out at {e}",
    ),
    (W::Piece, Id::TurnOver, "turn over", "turn it over"),
    (
        W::Piece,
        Id::TurnAbout,
        "turn about {p:P} by {x:A}",
        "turn it about {p} by {x} {turning} | turn about {p} by {x} {turning}",
    ),
    (
        W::Piece,
        Id::MoveUp,
        "move up {d:L}",
        "move it {way} {d} | move {way} {d}",
    ),
    (
        W::Piece,
        Id::MoveDown,
        "move down {d:L}",
        "move it {way} {d} | move {way} {d}",
    ),
    (
        W::Piece,
        Id::MoveInward,
        "move inward {d:L}",
        "move it {way} {d} | move {way} {d}",
    ),
    (
        W::Piece,
        Id::MoveOutward,
        "move outward {d:L}",
        "move it {way} {d} | move {way} {d}",
    ),
    (
        W::Piece,
        Id::Fold,
        "fold {e:e}",
        "{e} is a fold | fold at {e}",
    ),
    (
        W::Piece,
        Id::CutPair,
        "cut a pair from {c:W}",
        "a pair from {c}",
    ),
    (
        W::Piece,
        Id::CutFold,
        "cut {n:N} on fold from {c:W}",
        "{n} on the fold from {c} | {n} on fold from {c}",
    ),
    (
        W::Piece,
        Id::CutPlain,
        "cut {n:N} from {c:W}",
        "{n} from {c}",
    ),
    (
        W::Piece,
        Id::GrainAlong,
        "grain along {r:X}",
        "with the grain along {r} | grain along {r}",
    ),
    (
        W::Piece,
        Id::GrainDown,
        "grain down from {p:P}",
        "with the grain straight down from {p} | grain down from {p}",
    ),
    (
        W::Piece,
        Id::GrainFrom,
        "grain from {p:P} toward {q:P}",
        "with the grain from {p} toward {q} | grain from {p} to {q}",
    ),
    (
        W::Piece,
        Id::Label,
        "label {t:T}",
        "write {t} on it | label {t}",
    ),
    (W::Piece, Id::SideOutward, "outward", "outward"),
    (W::Piece, Id::SideInward, "inward", "inward"),
    (W::Piece, Id::SideUp, "up", "upward"),
    (W::Piece, Id::SideDown, "down", "downward"),
    (W::Piece, Id::If, "if {q:?}", ""),
    (W::Finish, Id::Seam, "seam", "a seam"),
    (W::Finish, Id::Hem, "hem", "turned up"),
    (W::Finish, Id::Folded, "fold", "on the fold"),
    (W::Finish, Id::Open, "opening", "an opening"),
    (
        W::Finish,
        Id::Allowance,
        "allowance {d:L}",
        "allow {d} | {d}",
    ),
    (
        W::Finish,
        Id::Ramping,
        "ramping to {d:L} at {s:S}",
        "{how} evenly to {d} at {s} | {how} to {d} at {s}",
    ),
    (
        W::Finish,
        Id::Stepping,
        "stepping to {d:L} at {s:S}",
        "stepping to {d} at {s} | then {d} from {s}",
    ),
    (W::Finish, Id::NotchEvery, "notch every {d:L}", "every {d}"),
    (W::Finish, Id::NotchAt, "notch at {s:S}", "at {s}"),
    (
        W::Finish,
        Id::NotchAbove,
        "notch {d:L} above {s:S}",
        "{d} above {s}",
    ),
    (
        W::Finish,
        Id::NotchBelow,
        "notch {d:L} below {s:S}",
        "{d} below {s}",
    ),
    (
        W::Finish,
        Id::NotchFrom,
        "notch {d:L} from {s:S}",
        "{d} from {s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchAt,
        "double notch at {s:S}",
        "at {s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchAbove,
        "double notch {d:L} above {s:S}",
        "{d} above {s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchBelow,
        "double notch {d:L} below {s:S}",
        "{d} below {s}",
    ),
    (
        W::Finish,
        Id::DoubleNotchFrom,
        "double notch {d:L} from {s:S}",
        "{d} from {s}",
    ),
    (
        W::Finish,
        Id::TripleNotchAt,
        "triple notch at {s:S}",
        "at {s}",
    ),
    (
        W::Finish,
        Id::ReflectedCorner,
        "reflected corner at {p:P}",
        "reflect the corner at {p} | reflected corner at {p}",
    ),
    (
        W::Finish,
        Id::SquaredCorner,
        "squared corner at {p:P}",
        "square the corner at {p} | squared corner at {p}",
    ),
    (
        W::Finish,
        Id::ExtendedCorner,
        "extended corner at {p:P}",
        "extend the corner at {p} | extended corner at {p}",
    ),
    (
        W::Finish,
        Id::BevelledCorner,
        "bevelled corner at {p:P}",
        "bevel the corner at {p} | bevelled corner at {p}",
    ),
    (
        W::Finish,
        Id::SteppedCorner,
        "stepped corner at {p:P}",
        "step the corner at {p} | stepped corner at {p}",
    ),
    (
        W::Finish,
        Id::MitredCorner,
        "mitred corner at {p:P}",
        "mitre the corner at {p} | mitred corner at {p}",
    ),
    (
        W::Finish,
        Id::OpenFrom,
        "open from {p:P} for {d:L}",
        "leave it open for {d} from {p} | open {d} from {p}",
    ),
    (W::Finish, Id::If, "if {q:?}", ""),
    (W::Way, Id::Upright, "upright", "upright"),
    (W::Way, Id::Level, "level", "level"),
    (W::Way, Id::SquareWay, "square to {e:X}", "square to {e}"),
    (W::Way, Id::TowardWay, "toward {p:P}", "toward {p}"),
    (
        W::Way,
        Id::AlongWay,
        "along {e:X}",
        "in line with {e} | along {e}",
    ),
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
