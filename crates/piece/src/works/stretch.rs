//! A stretch of an edge with the darts that open into it: what a ring is parted into.

use measure::{Curve, Length, Motion, Point, Segment};

use super::SAME;
use crate::allowance::{Allowance, Change, How};
use crate::edge::{Corner, Edge, Notch};
use crate::fault::Fault;
use crate::ring::{Dart, Piece, Toward};

/// A stretch of a named edge. Its darts' mouths are told from its own beginning.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    pub(super) edge: Edge,
    pub(super) darts: Vec<Dart>,
    /// Whether the edge really begins here, and was not only parted here.
    pub(super) begins: bool,
    /// Whether the edge really ends here.
    pub(super) ends: bool,
}

impl Stretch {
    /// A whole edge of a piece.
    pub(super) fn whole(piece: &Piece, index: usize) -> Self {
        let edge = piece.edges[index].clone();
        let darts = piece
            .darts
            .iter()
            .filter(|d| d.edge == edge.name)
            .cloned()
            .collect();
        Self {
            edge,
            darts,
            begins: true,
            ends: true,
        }
    }

    /// A new line that goes on with an edge: its name, role and the width of its allowance at a
    /// place, and nothing marked on it.
    pub(super) fn more(like: &Edge, at: f64, curve: Curve) -> Self {
        Self {
            edge: Edge {
                name: like.name.clone(),
                role: like.role,
                allowance: like
                    .allowance
                    .become_of(like.allowance.width_at(Length::mm(at)), Vec::new()),
                ..Edge::plain("", curve)
            },
            darts: Vec::new(),
            begins: false,
            ends: false,
        }
    }

    pub(super) fn length(&self) -> f64 {
        self.edge.curve.length().in_mm()
    }

    /// The part between two places, or nothing when they are the same. A dart goes along when its
    /// whole mouth lies in it.
    pub(super) fn between(&self, from: f64, to: f64) -> Option<Self> {
        let whole = self.length();
        let (from, to) = (from.clamp(0.0, whole), to.clamp(0.0, whole));
        if to - from < SAME {
            return None;
        }
        let (at_start, at_end) = (from < SAME, to > whole - SAME);
        if at_start && at_end {
            return Some(self.clone());
        }
        let (a, b) = (
            if at_start { 0.0 } else { from },
            if at_end { whole } else { to },
        );
        let (from, to) = (Length::mm(a), Length::mm(b));
        let curve = self.edge.curve.sub(from, to).ok()?;
        let inside = |l: Length| l.in_mm() > a - 1e-6 && l.in_mm() < b + 1e-6;
        let told = |l: Length| Length::mm((l.in_mm() - a).clamp(0.0, b - a));
        let edge = Edge {
            name: self.edge.name.clone(),
            curve,
            role: self.edge.role,
            allowance: self.edge.allowance.between(from, to),
            notches: self
                .edge
                .notches
                .iter()
                .filter(|n| inside(n.at))
                .map(|n| Notch {
                    at: told(n.at),
                    ..*n
                })
                .collect(),
            start_corner: if at_start {
                self.edge.start_corner
            } else {
                Corner::default()
            },
            end_corner: if at_end {
                self.edge.end_corner
            } else {
                Corner::default()
            },
            open: self
                .edge
                .open
                .iter()
                .map(|(p, q)| (p.max(from), q.min(to)))
                .filter(|(p, q)| q.in_mm() - p.in_mm() > 1e-6)
                .map(|(p, q)| (p - from, q - from))
                .collect(),
        };
        let darts = self
            .darts
            .iter()
            .filter(|d| d.mouth.0.in_mm() > a - SAME && d.mouth.1.in_mm() < b + SAME)
            .map(|d| Dart {
                mouth: (told(d.mouth.0), told(d.mouth.1)),
                ..d.clone()
            })
            .collect();
        Some(Self {
            edge,
            darts,
            begins: self.begins && at_start,
            ends: self.ends && at_end,
        })
    }

    /// The same stretch elsewhere on the paper; turned over it is also walked the other way.
    pub(super) fn moved(&self, by: &Motion) -> Self {
        let over = by.turns_over();
        let length = self.edge.curve.length();
        let mut darts: Vec<Dart> = self
            .darts
            .iter()
            .map(|d| {
                let mut dart = Dart {
                    tip: by.point(d.tip),
                    ..d.clone()
                };
                if over {
                    dart.mouth = (length - d.mouth.1, length - d.mouth.0);
                    dart.pressed = d.pressed.map(turned_toward);
                }
                dart
            })
            .collect();
        if over {
            darts.reverse();
        }
        Self {
            edge: self.edge.moved(by),
            darts,
            begins: if over { self.ends } else { self.begins },
            ends: if over { self.begins } else { self.ends },
        }
    }

    /// This stretch and the next as one edge, with this one's name and role. The next must begin
    /// where this ends, within 0.01 mm.
    pub(super) fn run_on(self, next: Self) -> Result<Self, Fault> {
        let mut one = self;
        let joint = one.edge.curve.length();
        let end = one.edge.curve.end();
        let gap = || Fault::Gap(one.edge.name.clone(), next.edge.name.clone());
        if (next.edge.curve.start() - end).size() > super::ON {
            return Err(gap());
        }
        let after = next
            .edge
            .curve
            .with_ends(end, next.edge.curve.end())
            .map_err(|_| gap())?;
        let curve = Curve::joined([&one.edge.curve, &after]).map_err(|_| gap())?;
        one.edge.allowance = one_allowance(&one.edge.allowance, joint, &next.edge.allowance);
        one.edge.curve = curve;
        for n in next.edge.notches {
            let at = n.at + joint;
            let twice = one
                .edge
                .notches
                .iter()
                .any(|o| (o.at - at).in_mm().abs() < 1e-3 && o.snips == n.snips);
            if !twice {
                one.edge.notches.push(Notch { at, ..n });
            }
        }
        for (a, b) in next.edge.open {
            let (a, b) = (a + joint, b + joint);
            match one.edge.open.last_mut() {
                Some(last) if (last.1 - a).in_mm().abs() < 1e-3 => last.1 = b,
                _ => one.edge.open.push((a, b)),
            }
        }
        one.edge.end_corner = next.edge.end_corner;
        let name = one.edge.name.clone();
        one.darts.extend(next.darts.into_iter().map(|d| Dart {
            edge: name.clone(),
            mouth: (d.mouth.0 + joint, d.mouth.1 + joint),
            ..d
        }));
        one.ends = next.ends;
        Ok(one)
    }

    /// This stretch with a straight line before its beginning.
    pub(super) fn begun_at(self, from: Point) -> Result<Self, Fault> {
        let Ok(line) = Curve::line(from, self.edge.curve.start()) else {
            return Ok(self);
        };
        let mut before = Self::more(&self.edge, 0.0, line);
        before.begins = self.begins;
        before.edge.start_corner = self.edge.start_corner;
        before.run_on(self)
    }

    /// This stretch with a straight line after its end.
    pub(super) fn ended_at(self, to: Point) -> Result<Self, Fault> {
        let Ok(line) = Curve::line(self.edge.curve.end(), to) else {
            return Ok(self);
        };
        let mut after = Self::more(&self.edge, self.length(), line);
        after.ends = self.ends;
        after.edge.end_corner = self.edge.end_corner;
        self.run_on(after)
    }
}

/// The other way along an edge.
pub(super) const fn turned_toward(way: Toward) -> Toward {
    match way {
        Toward::Start => Toward::End,
        Toward::End => Toward::Start,
    }
}

/// Two allowances one after the other.
fn one_allowance(first: &Allowance, joint: Length, next: &Allowance) -> Allowance {
    let mut changes: Vec<Change> = first
        .changes()
        .iter()
        .filter(|c| c.at <= joint)
        .copied()
        .collect();
    let ramps = next.changes().first().is_some_and(|c| c.how == How::Ramp);
    let steps = (first.width_at(joint) - next.first()).in_mm().abs() > 1e-6;
    if ramps || steps {
        changes.push(Change {
            at: joint,
            width: next.first(),
            how: How::Step,
        });
    }
    changes.extend(next.changes().iter().map(|c| Change {
        at: c.at + joint,
        ..*c
    }));
    first.become_of(first.first(), changes)
}

/// A curve enlarged or made smaller, and turned, so that its ends come to lie on two points.
pub(super) fn fitted(curve: &Curve, from: Point, to: Point) -> Result<Curve, Fault> {
    let none = || Fault::Nothing("a line".to_owned());
    let old = curve.end() - curve.start();
    let new = to - from;
    let square = old.dot(old);
    if square < 1e-12 {
        return Curve::line(from, to).map_err(|_| none());
    }
    let (c, s) = (old.dot(new) / square, old.cross(new) / square);
    let start = curve.start();
    let map = |p: Point| {
        let v = p - start;
        Point::new(from.x + v.x * c - v.y * s, from.y + v.x * s + v.y * c)
    };
    let segments = curve
        .segments()
        .iter()
        .map(|seg| match *seg {
            Segment::Line { from, to } => Segment::Line {
                from: map(from),
                to: map(to),
            },
            Segment::Cubic { from, c1, c2, to } => Segment::Cubic {
                from: map(from),
                c1: map(c1),
                c2: map(c2),
                to: map(to),
            },
        })
        .collect();
    Curve::from_segments(segments)
        .and_then(|c| c.with_ends(from, to))
        .map_err(|_| none())
}
