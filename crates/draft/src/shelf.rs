//! What a draft holds by name: numbers on one shelf, drawn things on the other.

use std::collections::HashMap;
use std::rc::Rc;
use std::sync::Arc;

use measure::{Curve, Point};
use piece::Toward;

/// A name with the number in it.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct Key {
    pub(crate) name: Arc<str>,
    pub(crate) number: Option<i64>,
}

/// Any number: a counted name in the dry walk.
pub(crate) const ANY: i64 = i64::MIN;

impl Key {
    pub(crate) fn plain(name: impl Into<Arc<str>>) -> Self {
        Self {
            name: name.into(),
            number: None,
        }
    }

    /// As it is written.
    pub(crate) fn shown(&self) -> String {
        let Some(number) = self.number else {
            return self.name.to_string();
        };
        let number = if number == ANY {
            "k".to_owned()
        } else {
            number.to_string()
        };
        match self.name.split_once('\u{1}') {
            Some((before, after)) => format!("{before} number {number} {after}"),
            None => format!("{} number {number}", self.name),
        }
    }
}

/// The kind of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Dim {
    Length,
    Angle,
    Area,
    Number,
    Share,
    YesNo,
    /// One of the words of a list.
    Word(usize),
    /// Of an entry with a fault: fits everywhere.
    Any,
}

impl Dim {
    pub(crate) fn shown(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Area => "an area",
            Self::Number | Self::Share => "a number",
            Self::YesNo => "yes or no",
            Self::Word(_) => "a word of a choice",
            Self::Any => "anything",
        }
    }

    pub(crate) fn fits(self, other: Self) -> bool {
        let plain = |d: Self| if d == Self::Share { Self::Number } else { d };
        self == Self::Any || other == Self::Any || plain(self) == plain(other)
    }
}

/// A number: lengths in mm, angles in radians, areas in mm²; yes is 1; a word is its place in the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Num {
    pub(crate) v: f64,
    pub(crate) dim: Dim,
}

/// A dart on a sheet.
#[derive(Clone, Debug)]
pub(crate) struct DartThing {
    pub(crate) edge: Key,
    pub(crate) mouth: (f64, f64),
    pub(crate) tip: Point,
    pub(crate) pressed: Option<Toward>,
    pub(crate) length: f64,
    pub(crate) intake: f64,
}

/// A drawn thing.
#[derive(Clone, Debug)]
pub(crate) enum Thing {
    Level(f64),
    Upright(f64),
    Point(Point),
    Line(Rc<Curve>),
    Dart(Rc<DartThing>),
    /// In the dry walk, or of an entry with a fault.
    Unknown(ThingKind),
}

/// The kind of a drawn thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ThingKind {
    Level,
    Upright,
    Point,
    Line,
    Dart,
    Sheet,
    Piece,
    Method,
    Any,
}

impl ThingKind {
    pub(crate) fn shown(self) -> &'static str {
        match self {
            Self::Level => "a level",
            Self::Upright => "an upright",
            Self::Point => "a point",
            Self::Line => "a line",
            Self::Dart => "a dart",
            Self::Sheet => "a sheet",
            Self::Piece => "a piece",
            Self::Method => "a method",
            Self::Any => "anything",
        }
    }
}

impl Thing {
    pub(crate) fn kind(&self) -> ThingKind {
        match self {
            Self::Level(_) => ThingKind::Level,
            Self::Upright(_) => ThingKind::Upright,
            Self::Point(_) => ThingKind::Point,
            Self::Line(_) => ThingKind::Line,
            Self::Dart(_) => ThingKind::Dart,
            Self::Unknown(kind) => *kind,
        }
    }
}

/// Something on a shelf.
#[derive(Clone, Debug)]
pub(crate) struct Held<T> {
    pub(crate) key: Key,
    pub(crate) what: T,
    /// Which freedoms it depends on.
    pub(crate) deps: u64,
    /// Which worked entry made it.
    pub(crate) by: usize,
    /// The questions under which it is there.
    pub(crate) conds: Vec<String>,
    /// The level on which a point was placed, for balance lines.
    pub(crate) level: Option<Key>,
    /// What a level is on the body.
    pub(crate) body: Option<Arc<str>>,
}

/// One shelf: things in the order in which they were made.
#[derive(Clone, Debug)]
pub(crate) struct Shelf<T> {
    pub(crate) all: Vec<Held<T>>,
    index: HashMap<Key, usize>,
}

impl<T> Default for Shelf<T> {
    fn default() -> Self {
        Self {
            all: Vec::new(),
            index: HashMap::new(),
        }
    }
}

impl<T> Shelf<T> {
    pub(crate) fn get(&self, key: &Key) -> Option<&Held<T>> {
        self.index.get(key).map(|i| &self.all[*i])
    }

    /// The dry walk's search: a counted name stands for each of its numbers.
    pub(crate) fn get_loosely(&self, key: &Key) -> Option<&Held<T>> {
        if let Some(found) = self.get(key) {
            return Some(found);
        }
        key.number?;
        self.get(&Key {
            name: key.name.clone(),
            number: Some(ANY),
        })
        .or_else(|| {
            self.all
                .iter()
                .find(|h| h.key.name == key.name && h.key.number.is_some())
        })
    }

    /// Takes away what was put last, down to `count` things.
    pub(crate) fn drop_last(&mut self, count: usize) {
        while self.all.len() > count {
            if let Some(held) = self.all.pop() {
                self.index.remove(&held.key);
            }
        }
    }

    pub(crate) fn put(&mut self, held: Held<T>) {
        match self.index.get(&held.key) {
            Some(i) => self.all[*i] = held,
            None => {
                self.index.insert(held.key.clone(), self.all.len());
                self.all.push(held);
            }
        }
    }
}
