//! A correction of a fitting: how far a stitching line of a finished piece is moved, and between which
//! places.

use measure::fraction::{Shown, show};
use measure::{Curve, Length};
use piece::works::Shift;
use piece::{Edge, Piece};

use crate::pinned;
use crate::work::capital;

/// Over so many millimetres a correction fades out beyond its places: 3 in, the blend of the trade
/// (common practice, no source), or four times its amount where that is more.
const FADE: f64 = 76.2;
/// It needs twice its amount of room to fade; in less the line would show a step.
const STEEP: f64 = 2.0;
/// A place this near to an end of its edge, in millimetres, is that end.
const END: f64 = 1.0;
/// What is marked this near to an edge, in millimetres, is a place of it.
const ON: f64 = 1.0;

/// A place on an edge of a piece.
///
/// An edge is counted from its upper end as the piece lies on the paper, and one that runs across from
/// its left end.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// Where the edge begins.
    Start,
    /// Where it ends.
    End,
    /// What is so called on it: a named point, the neighbour that meets it there, or a level that
    /// reaches it.
    Named(String),
    /// A notch, counted from 1.
    Notch(usize),
    /// So far from where the edge begins.
    Along(Length),
}

impl Place {
    /// As it is told: `hip side`, `notch 2`, `3 in along it`.
    pub fn words(&self, shown: Shown) -> String {
        match self {
            Self::Start => "its beginning".into(),
            Self::End => "its end".into(),
            Self::Named(name) => name.clone(),
            Self::Notch(n) => format!("notch {n}"),
            Self::Along(at) => format!("{} along it", show(*at, shown)),
        }
    }
}

/// How far between two places, from the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Between {
    /// So far along the edge from the first.
    Length(Length),
    /// At this share of the way: 0 is the first place, 1 the second.
    Share(f64),
}

/// On which side of her a correction is made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Side {
    /// On both.
    #[default]
    Both,
    /// On her left only.
    Left,
    /// On her right only.
    Right,
}

/// In which layers a correction is made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Layers {
    /// In the piece and in every piece that was copied from it: what is moved in the shell is moved
    /// in lining and facing too.
    #[default]
    All,
    /// In this piece alone.
    This,
}

/// A correction of one edge, laid over the draft. A redraft keeps it.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// What it is called where it is kept; told back with what came of it.
    pub key: String,
    /// The piece.
    pub piece: String,
    /// Its edge.
    pub edge: String,
    /// Where it begins; it may also be the farther one of the two.
    pub from: Place,
    /// Where it ends.
    pub to: Place,
    /// How far the line is moved, square to itself, at places from `from` to `to`: positive outwards
    /// (let out), negative inwards (taken in).
    pub points: Vec<(Between, Length)>,
    /// Over how much of the edge it fades out beyond its places; without it over 3 in, or four times the
    /// amount where that is more. What reaches the end of the edge moves its corner.
    pub fade: Option<Length>,
    /// On which side of her.
    pub side: Side,
    /// In which layers.
    pub layers: Layers,
    /// Her words for it.
    pub words: String,
}

impl Correction {
    /// The usual one: so far at its beginning, halfway, and at its end.
    pub fn new(
        piece: impl Into<String>,
        edge: impl Into<String>,
        (from, to): (Place, Place),
        [start, middle, end]: [Length; 3],
    ) -> Self {
        let at = Between::Share;
        Self {
            key: String::new(),
            piece: piece.into(),
            edge: edge.into(),
            from,
            to,
            points: vec![(at(0.0), start), (at(0.5), middle), (at(1.0), end)],
            fade: None,
            side: Side::Both,
            layers: Layers::All,
            words: String::new(),
        }
    }

    /// What it does, in a sentence: with each distance, where she gave distances.
    pub fn sentence(&self, shown: Shown) -> String {
        let lengths = |p: &(Between, Length)| matches!(p.0, Between::Length(_));
        let between =
            |p: &(Between, Length)| matches!(p.0, Between::Share(s) if s > 0.0 && s < 1.0);
        let mixed = self.points.iter().any(lengths) && self.points.iter().any(between);
        let mut points = self.points.clone();
        // Which comes first of a share and a length, only the draft knows.
        if !mixed {
            points.sort_by(|a, b| order(a.0).total_cmp(&order(b.0)));
        }
        let is =
            |at: Between, share: f64| matches!(at, Between::Share(s) if (s - share).abs() < 1e-9);
        let usual = |p: &(Between, Length)| [0.0, 0.5, 1.0].iter().any(|s| is(p.0, *s));
        let plain = points.iter().all(usual)
            && points.first().is_some_and(|p| is(p.0, 0.0))
            && points.last().is_some_and(|p| is(p.0, 1.0));
        let amounts: Vec<String> = points.iter().map(|p| moved(p.1, shown)).collect();
        let amounts = match amounts.first() {
            Some(first) if plain && amounts.iter().all(|a| a == first) => {
                format!("{first} all along")
            }
            _ if plain => amounts.join(", then "),
            _ => {
                let each = points.iter().zip(&amounts);
                let each = each.map(|(p, by)| format!("{} {by}", self.at(p.0, shown)));
                each.collect::<Vec<_>>().join(", ")
            }
        };
        let side = match self.side {
            Side::Both => "",
            Side::Left => ", on her left only",
            Side::Right => ", on her right only",
        };
        format!(
            "{} of {}, from {} to {}: {amounts}{side}.",
            capital(&self.edge),
            self.piece,
            self.from.words(shown),
            self.to.words(shown),
        )
    }

    /// Where one of its points is, told from its first place.
    fn at(&self, between: Between, shown: Shown) -> String {
        match between {
            Between::Length(l) if l.in_mm().abs() < 0.05 => {
                format!("at {}", self.from.words(shown))
            }
            Between::Length(l) => format!("at {}", show(l, shown.finely())),
            Between::Share(s) if s <= 0.0 => format!("at {}", self.from.words(shown)),
            Between::Share(s) if s >= 1.0 => format!("at {}", self.to.words(shown)),
            Between::Share(s) if (s - 0.5).abs() < 1e-9 => "halfway".into(),
            Between::Share(s) => format!("at {} % of the way", (s * 1000.0).round() / 10.0),
        }
    }

    /// Whether it can be laid on the edge that it names, as this piece is drawn now.
    ///
    /// # Errors
    /// Why it can't be, in a sentence.
    pub fn fits(&self, piece: &Piece, shown: Shown) -> Result<(), String> {
        let index = piece.edges.iter().position(|e| same(&e.name, &self.edge));
        let index = index.unwrap_or(piece.edges.len());
        match self.shift(piece, index, shown) {
            Ok(_) => Ok(()),
            Err(Trouble::Lost(says) | Trouble::Refused(says)) => Err(says),
        }
    }

    /// How the edge moves, told along its ring; or why it can't, in a sentence.
    pub(crate) fn shift(
        &self,
        piece: &Piece,
        index: usize,
        shown: Shown,
    ) -> Result<Shift, Trouble> {
        let Some(edge) = piece.edges.get(index) else {
            return Err(Trouble::Lost(format!(
                "There is no {} on {} any more.",
                self.edge, self.piece
            )));
        };
        let whole = edge.curve.length().in_mm();
        let find = |place: &Place| {
            along(piece, index, place)
                .map(Length::in_mm)
                .ok_or_else(|| lost(self, piece, index, place, shown))
        };
        let (from, to) = (find(&self.from)?, find(&self.to)?);
        let way = to - from;
        let refuse = |says: String| Err(Trouble::Refused(says));
        if self.points.is_empty() {
            return refuse("It does not say how far the line moves.".into());
        }
        if way.abs() < END {
            return refuse(format!(
                "{} and {} are the same place; a correction wants some way between its two places.",
                capital(&self.from.words(shown)),
                self.to.words(shown)
            ));
        }
        if let Some(much) = self
            .points
            .iter()
            .map(|p| p.1.abs())
            .find(|by| by.in_inches() > pinned::DEEPEST + 1e-6)
        {
            return refuse(format!(
                "{} is more than an edge is moved by; {} is the most.",
                show(much, shown.finely()),
                show(Length::inches(pinned::DEEPEST), shown)
            ));
        }
        let mut said: Vec<(f64, Length)> = Vec::new();
        for (at, by) in &self.points {
            let share = match at {
                Between::Length(l) => l.in_mm() / way.abs(),
                Between::Share(share) => *share,
            };
            if !(-0.001..=1.001).contains(&share) {
                let beyond = if share < 0.0 { &self.from } else { &self.to };
                return refuse(format!(
                    "{} lies beyond {}; from {} to {} it is {} long.",
                    capital(self.at(*at, shown).trim_start_matches("at ")),
                    beyond.words(shown),
                    self.from.words(shown),
                    self.to.words(shown),
                    show(Length::try_mm(way.abs()).unwrap_or_default(), shown)
                ));
            }
            said.push((share, *by));
        }
        said.sort_by(|a, b| a.0.total_cmp(&b.0));
        // A line that is moved here and nowhere said to be as it was would be moved from end to end.
        let opens = said.first().filter(|p| p.0 * way.abs() > END);
        let closes = said.last().filter(|p| (1.0 - p.0) * way.abs() > END);
        for (end, begins) in [(opens, "begins"), (closes, "ends")] {
            if let Some((at, by)) = end
                && by.in_mm().abs() > 1e-6
            {
                let far = Length::try_mm(at * way.abs()).unwrap_or_default();
                return refuse(format!(
                    "At {} the line lies {}, and it is not said where that {begins}. Begin with a place where it is as it was (0 there), and end with one.",
                    show(far, shown.finely()),
                    moved(*by, shown)
                ));
            }
        }
        let mut knots: Vec<(f64, f64)> = said
            .iter()
            .map(|(at, by)| ((from + way * at).clamp(0.0, whole), by.in_mm()))
            .collect();
        knots.sort_by(|a, b| a.0.total_cmp(&b.0));
        let twice = |w: &[(f64, f64)]| w[1].0 - w[0].0 < END && (w[1].1 - w[0].1).abs() > 1e-6;
        if knots.windows(2).any(twice) {
            return refuse("Two of its places are the same, with different amounts.".into());
        }
        // Before the first place and after the last it is as it was.
        let (low, high) = (from.min(to), from.max(to));
        if let Some(first) = knots.first().copied()
            && first.0 - low > END
        {
            knots.insert(0, (low, first.1));
        }
        if let Some(last) = knots.last().copied()
            && high - last.0 > END
        {
            knots.push((high, last.1));
        }
        for at_start in [true, false] {
            let end = if at_start {
                knots.first()
            } else {
                knots.last()
            };
            let Some(&(at, by)) = end else { continue };
            let room = if at_start { at } else { whole - at };
            if by.abs() < 1e-6 || room < END {
                continue;
            }
            if room < STEEP * by.abs() {
                return refuse(format!(
                    "Beyond {} it has only {} of the edge in which to fade out. Let it go on to the end of the edge.",
                    if at_start == (from <= to) {
                        self.from.words(shown)
                    } else {
                        self.to.words(shown)
                    },
                    show(Length::try_mm(room).unwrap_or_default(), shown.finely())
                ));
            }
            let usual = FADE.max(4.0 * by.abs());
            let fade = self.fade.map_or(usual, |f| f.in_mm().max(STEEP * by.abs()));
            let fade = fade.min(room);
            if at_start {
                knots.insert(0, (at - fade, 0.0));
            } else {
                knots.push((at + fade, 0.0));
            }
        }
        let lengths = knots
            .into_iter()
            .map(|(s, by)| Some((Length::try_mm(s)?, Length::try_mm(by)?)))
            .collect::<Option<Vec<_>>>();
        match lengths {
            Some(places) => Ok(Shift::new(&places)),
            None => refuse("One of its amounts is no length.".into()),
        }
    }
}

/// The order of points of which none, or none but the ends, is a share.
fn order(at: Between) -> f64 {
    match at {
        Between::Length(l) => l.in_mm(),
        Between::Share(share) if share >= 1.0 => f64::INFINITY,
        Between::Share(share) if share <= 0.0 => f64::NEG_INFINITY,
        Between::Share(share) => share,
    }
}

/// How far a line moves: `out 1/8 in`, `as it was`.
fn moved(by: Length, shown: Shown) -> String {
    let fine = shown.finely();
    if by.in_mm().abs() < 0.05 {
        "as it was".to_owned()
    } else if by > Length::ZERO {
        format!("out {}", show(by, fine))
    } else {
        format!("in {}", show(-by, fine))
    }
}

/// Why a correction could not be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Trouble {
    /// The draft has not got what it names.
    Lost(String),
    /// It can't be drawn.
    Refused(String),
}

fn lost(c: &Correction, piece: &Piece, index: usize, place: &Place, shown: Shown) -> Trouble {
    let long = piece.edges[index].curve.length();
    Trouble::Lost(match place {
        Place::Along(at) => format!(
            "{} of {} is only {} long, and the correction speaks of {}.",
            capital(&c.edge),
            c.piece,
            show(long, shown),
            show(*at, shown)
        ),
        _ => format!(
            "There is no {} on {} of {} any more.",
            place.words(shown),
            c.edge,
            c.piece
        ),
    })
}

/// Names are the same however they are spaced, and in small or capital letters.
pub(crate) fn same(a: &str, b: &str) -> bool {
    a.split_whitespace()
        .map(str::to_lowercase)
        .eq(b.split_whitespace().map(str::to_lowercase))
}

/// Whether people count an edge from the other end than its ring: from its upper end, and one that
/// runs across from its left end.
fn counted_back(curve: &Curve) -> bool {
    let way = curve.end() - curve.start();
    if way.y.abs() >= way.x.abs() {
        way.y < 0.0
    } else {
        way.x < 0.0
    }
}

/// Where a place is along the ring of an edge, or nothing when the edge has no such place.
pub(crate) fn along(piece: &Piece, index: usize, place: &Place) -> Option<Length> {
    let edge = piece.edges.get(index)?;
    let whole = edge.curve.length();
    let back = counted_back(&edge.curve);
    let from_people = |at: Length| if back { whole - at } else { at };
    match place {
        Place::Start => Some(from_people(Length::ZERO)),
        Place::End => Some(from_people(whole)),
        Place::Along(at) => {
            let fits = at.in_mm() > -END && (*at - whole).in_mm() < END;
            fits.then(|| from_people(at.max(Length::ZERO).min(whole)))
        }
        Place::Notch(n) => {
            let i = n.checked_sub(1)?;
            let last = edge.notches.len().checked_sub(1)?;
            let i = if back { last.checked_sub(i)? } else { i };
            edge.notches.get(i).map(|n| n.at)
        }
        Place::Named(name) => named(piece, index, name),
    }
}

fn named(piece: &Piece, index: usize, name: &str) -> Option<Length> {
    let edge = &piece.edges[index];
    let whole = edge.curve.length();
    let on = |p| {
        let near = edge.curve.nearest(p);
        (near.distance.in_mm() <= ON).then_some(near.along)
    };
    let mut mark = piece.marks.iter().filter(|m| same(&m.name, name));
    if let Some(at) = mark.find_map(|m| on(m.point)) {
        return Some(at);
    }
    let n = piece.edges.len();
    let beside = |i: usize| same(&piece.edges[i].name, name);
    match (beside((index + n - 1) % n), beside((index + 1) % n)) {
        (true, false) => return Some(Length::ZERO),
        (false, true) => return Some(whole),
        _ => {}
    }
    piece
        .balance
        .iter()
        .filter(|b| same(&b.name, name))
        .find_map(|b| on(b.from).or_else(|| on(b.to)))
}

/// A place of an edge that a correction can name, for her to choose from.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceOn {
    /// The place.
    pub place: Place,
    /// How far it is from where the edge begins.
    pub along: Length,
}

/// Which notch of its edge a notch is as [`Place::Notch`] counts them, by how many come before it along
/// the ring.
pub fn notch_number(edge: &Edge, before: usize) -> usize {
    if counted_back(&edge.curve) {
        edge.notches.len().saturating_sub(before)
    } else {
        before + 1
    }
}

/// The places of an edge in order from where it begins: what meets it at its ends, the named points and
/// levels on it, and notches at which no point is named. Nothing when there is no such edge.
pub fn places(piece: &Piece, edge: &str) -> Vec<PlaceOn> {
    let Some(index) = piece.edges.iter().position(|e| same(&e.name, edge)) else {
        return Vec::new();
    };
    let curve = &piece.edges[index].curve;
    let whole = curve.length();
    let back = counted_back(curve);
    let n = piece.edges.len();
    let mut ends = [
        piece.edges[(index + n - 1) % n].name.clone(),
        piece.edges[(index + 1) % n].name.clone(),
    ];
    if back {
        ends.reverse();
    }
    let mut out: Vec<PlaceOn> = Vec::new();
    let mut add = |place: Place| {
        let Some(ring) = along(piece, index, &place) else {
            return;
        };
        let at = if back { whole - ring } else { ring };
        if !out.iter().any(|p| (p.along - at).in_mm().abs() < END) {
            out.push(PlaceOn { place, along: at });
        }
    };
    if ends[0] == ends[1] {
        add(Place::Start);
        add(Place::End);
    } else {
        for end in ends {
            add(Place::Named(end));
        }
    }
    for mark in &piece.marks {
        add(Place::Named(mark.name.clone()));
    }
    for level in &piece.balance {
        add(Place::Named(level.name.clone()));
    }
    for i in 1..=piece.edges[index].notches.len() {
        add(Place::Notch(i));
    }
    out.sort_by(|a, b| a.along.in_mm().total_cmp(&b.along.in_mm()));
    out
}
