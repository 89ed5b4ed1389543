//! What the inspector sees: the pieces measured afresh, and what the method declares of them.

use std::sync::OnceLock;

use draft::correction::Side;
use draft::sided::bare;
use draft::worked::{EdgeName, Origin, Worked};
use lay::Cloth;
use measure::card::Card;
use measure::fraction::{Shown, Unit, show};
use measure::{Length, Point, Vector};
use piece::{Edge, Piece, Role};

use crate::lines::Line;
use crate::round::Placed;

/// What is inspected.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// Her card.
    pub card: &'a Card,
    /// The draft, worked for it.
    pub worked: &'a Worked,
    /// The cloth, if it is known.
    pub cloth: Option<&'a Cloth>,
    /// How lengths are told.
    pub shown: Shown,
}

/// An edge as it is seen.
#[derive(Clone, Debug)]
pub struct EdgeSeen<'a> {
    /// The edge as made.
    pub edge: &'a Edge,
    /// Its stitching line.
    pub line: Line,
    /// The mouths of its darts, as places along it in millimetres, in order.
    pub mouths: Vec<(f64, f64)>,
}

impl EdgeSeen<'_> {
    /// Its name.
    pub fn name(&self) -> &str {
        &self.edge.name
    }

    /// How long it is when its darts are sewn, in millimetres.
    pub fn sewn(&self) -> f64 {
        self.closed(self.line.length())
    }

    /// A place along the drawn line as a place along the sewn one, in millimetres.
    pub fn closed(&self, at: f64) -> f64 {
        let taken: f64 = self
            .mouths
            .iter()
            .map(|m| (at.min(m.1) - m.0).max(0.0))
            .sum();
        at - taken
    }

    /// Its notches as places along the sewn line, in millimetres, with their snips, in order. Notches
    /// at the ends and at the legs of darts mark those and have no partner of their own.
    pub fn notches(&self) -> Vec<(f64, u8)> {
        const AT: f64 = 0.05;
        let whole = self.line.length();
        let mut out: Vec<(f64, u8)> = self
            .edge
            .notches
            .iter()
            .map(|n| (n.at.in_mm(), n.snips))
            .filter(|(at, _)| *at > AT && *at < whole - AT)
            .filter(|(at, _)| !self.mouths.iter().any(|m| *at > m.0 - AT && *at < m.1 + AT))
            .map(|(at, snips)| (self.closed(at), snips))
            .collect();
        out.sort_by(|a, b| a.0.total_cmp(&b.0));
        out
    }

    /// Which way its line runs where it begins.
    pub fn leaves(&self) -> Vector {
        self.edge.curve.start_direction()
    }

    /// Which way its line runs where it ends.
    pub fn arrives(&self) -> Vector {
        self.edge.curve.end_direction()
    }
}

/// How a piece belongs to the garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Shell that goes round her.
    Shell,
    /// Shell that lies on other shell: a facing.
    Facing,
    /// Not of the shell: lining, interlining.
    Under,
}

/// A piece as it is seen.
#[derive(Clone, Debug)]
pub struct Part<'a> {
    /// The piece as made.
    pub piece: &'a Piece,
    /// The sheet on which it still lies in its place, or none.
    pub sheet: Option<&'a str>,
    /// How it belongs to the garment.
    pub place: Place,
    /// How often it goes round her: each cut in the shell, twice when it opens out on a fold.
    pub times: f64,
    /// Its edges, in order round it.
    pub edges: Vec<EdgeSeen<'a>>,
}

impl<'a> Part<'a> {
    /// The edge of this name.
    pub fn edge(&self, name: &str) -> Option<usize> {
        self.edges.iter().position(|e| e.name() == name)
    }

    /// The edge before one, round the ring.
    pub fn before(&self, edge: usize) -> &EdgeSeen<'a> {
        &self.edges[(edge + self.edges.len() - 1) % self.edges.len()]
    }

    /// The edge after one.
    pub fn after(&self, edge: usize) -> &EdgeSeen<'a> {
        &self.edges[(edge + 1) % self.edges.len()]
    }

    /// The angle inside the piece, in degrees, at the corner where an edge begins (`at_start`) or ends.
    pub fn corner(&self, edge: usize, at_start: bool) -> f64 {
        let (one, two) = if at_start {
            (self.before(edge), &self.edges[edge])
        } else {
            (&self.edges[edge], self.after(edge))
        };
        // The ring is walked clockwise as seen, y down: a right turn at a corner is positive.
        180.0 - one.arrives().angle_to(two.leaves()).in_degrees()
    }

    /// Its whole stitching line, closed.
    pub fn ring(&self) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for edge in &self.edges {
            points.extend(
                edge.line
                    .points()
                    .iter()
                    .skip(usize::from(!points.is_empty())),
            );
        }
        points
    }

    /// `front.side`.
    pub fn named(&self, edge: usize) -> String {
        format!("{}.{}", self.piece.name, self.edges[edge].name())
    }
}

/// One edge of a seam: its part, its place in the ring, and whether it is walked from its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// The part, in [`Seen::parts`].
    pub part: usize,
    /// The edge, in [`Part::edges`].
    pub edge: usize,
    /// Walked from its end to its beginning.
    pub backward: bool,
    /// The stretch of it that is sewn here, as places along its drawn line, the earlier first.
    pub stretch: (f64, f64),
}

/// A seam as it is declared: two sides, both walked from the same end of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// Its name.
    pub name: String,
    /// One side.
    pub a: Vec<Leg>,
    /// The other; for a seam sewn to its own twin the same as `a`.
    pub b: Vec<Leg>,
    /// Whether it is sewn to its own twin.
    pub twin: bool,
    /// How much longer the first side is meant to be, in millimetres.
    pub ease: f64,
}

/// The garment as it is seen.
#[derive(Clone, Debug)]
pub struct Seen<'a> {
    /// Her card.
    pub card: &'a Card,
    /// The draft.
    pub worked: &'a Worked,
    /// The cloth.
    pub cloth: Option<&'a Cloth>,
    /// How lengths are told.
    pub shown: Shown,
    /// The pieces.
    pub parts: Vec<Part<'a>>,
    /// The seams.
    pub seams: Vec<Seam>,
    /// What goes round her, sorted once for all rules that ask for it.
    pub(crate) placed: OnceLock<Placed>,
    /// Her card with what the walking model lacks, reckoned once.
    pub(crate) whole: OnceLock<Card>,
}

impl<'a> Seen<'a> {
    /// Looks at a worked draft.
    pub fn of(subject: &Subject<'a>) -> Self {
        let worked = subject.worked;
        let mut seen = Self {
            card: subject.card,
            worked,
            cloth: subject.cloth,
            shown: subject.shown,
            parts: parts(worked),
            seams: Vec::new(),
            placed: OnceLock::new(),
            whole: OnceLock::new(),
        };
        seen.seams = worked
            .seams
            .iter()
            .filter_map(|s| {
                let a = seen.legs(&s.a)?;
                let twin = s.b.is_empty();
                let b = if twin { a.clone() } else { seen.legs(&s.b)? };
                let mut seam = Seam {
                    name: s.name.clone(),
                    a,
                    b,
                    twin,
                    ease: s.ease.in_mm(),
                };
                seen.lay_together(&mut seam);
                Some(seam)
            })
            .collect();
        seen
    }

    fn legs(&self, names: &[EdgeName]) -> Option<Vec<Leg>> {
        let mut legs: Vec<Leg> = Vec::new();
        for name in names {
            let part = self.parts.iter().position(|p| p.piece.name == name.piece)?;
            let edge = self.parts[part].edge(&name.edge)?;
            let line = &self.parts[part].edges[edge].line;
            let stretch = match name.between {
                Some((from, to)) => {
                    let (one, two) = (line.nearest(from).0, line.nearest(to).0);
                    (one.min(two), one.max(two))
                }
                None => (0.0, line.length()),
            };
            legs.push(Leg {
                part,
                edge,
                backward: false,
                stretch,
            });
        }
        self.chain(&mut legs);
        Some(legs)
    }

    /// Turns the edges of one side so that they follow each other: on one piece by their places in the
    /// ring, from piece to piece as neighbouring pieces lie, each walked the way of its ring.
    fn chain(&self, legs: &mut [Leg]) {
        for i in 1..legs.len() {
            let (one, two) = (legs[i - 1], legs[i]);
            if one.part == two.part {
                let n = self.parts[one.part].edges.len();
                if two.edge == (one.edge + n - 1) % n && n > 2 {
                    legs[i - 1].backward = true;
                    legs[i].backward = true;
                }
            }
        }
    }

    /// Settles from which end the second side is walked: names and roles of the edges that meet at its
    /// ends tell first, then the notches; else both pieces lie right side up and one is walked back.
    fn lay_together(&self, seam: &mut Seam) {
        if seam.twin {
            return;
        }
        let reversed = |legs: &[Leg]| -> Vec<Leg> {
            legs.iter()
                .rev()
                .map(|l| Leg {
                    backward: !l.backward,
                    ..*l
                })
                .collect()
        };
        let turned = reversed(&seam.b);
        let score = |b: &[Leg]| -> (u32, f64) {
            let mut likeness = 0;
            for at_start in [true, false] {
                let (Some(x), Some(y)) = (self.meets(&seam.a, at_start), self.meets(b, at_start))
                else {
                    continue;
                };
                if bare(x.name()).0 == bare(y.name()).0 {
                    likeness += 2;
                }
                if x.edge.role == y.edge.role && x.edge.role != Role::Seam {
                    likeness += 1;
                }
            }
            let (one, two) = (self.notches(&seam.a), self.notches(b));
            let off: f64 = one
                .iter()
                .map(|n| {
                    two.iter()
                        .map(|m| (n.0 - m.0).abs())
                        .fold(f64::INFINITY, f64::min)
                })
                .filter(|d| d.is_finite())
                .sum();
            (likeness, off)
        };
        let (plain, other) = (score(&seam.b), score(&turned));
        let turn = other.0 > plain.0 || (other.0 == plain.0 && other.1 <= plain.1 + 0.01);
        if turn {
            seam.b = turned;
        }
    }

    /// Where a side begins or ends at a corner of its piece: its leg, and whether that edge begins
    /// there in its ring. Nothing where the seam ends in the middle of the edge.
    pub fn end(&self, side: &[Leg], at_start: bool) -> Option<(Leg, bool)> {
        const AT: f64 = 0.05;
        let leg = *if at_start {
            side.first()?
        } else {
            side.last()?
        };
        let begins = at_start != leg.backward;
        let there = if begins {
            leg.stretch.0 < AT
        } else {
            leg.stretch.1 > self.edge(leg).line.length() - AT
        };
        there.then_some((leg, begins))
    }

    /// The edge that meets a side of a seam at one of its ends.
    pub fn meets(&self, side: &[Leg], at_start: bool) -> Option<&EdgeSeen<'a>> {
        let (leg, begins) = self.end(side, at_start)?;
        let part = &self.parts[leg.part];
        Some(if begins {
            part.before(leg.edge)
        } else {
            part.after(leg.edge)
        })
    }

    /// The angle inside the piece, in degrees, at one end of a side.
    pub fn corner(&self, side: &[Leg], at_start: bool) -> Option<f64> {
        let (leg, begins) = self.end(side, at_start)?;
        Some(self.parts[leg.part].corner(leg.edge, begins))
    }

    /// An edge of a seam.
    pub fn edge(&self, leg: Leg) -> &EdgeSeen<'a> {
        &self.parts[leg.part].edges[leg.edge]
    }

    /// The stretch of a leg, darts sewn: where it begins and ends along the sewn edge.
    fn sewn(&self, leg: Leg) -> (f64, f64) {
        let edge = self.edge(leg);
        (edge.closed(leg.stretch.0), edge.closed(leg.stretch.1))
    }

    /// How long a side is, darts sewn, in millimetres.
    pub fn length(&self, side: &[Leg]) -> f64 {
        side.iter()
            .map(|l| {
                let (from, to) = self.sewn(*l);
                to - from
            })
            .sum()
    }

    /// The notches of a side, as places along it in millimetres with their snips, darts sewn.
    pub fn notches(&self, side: &[Leg]) -> Vec<(f64, u8)> {
        const AT: f64 = 0.05;
        let mut out = Vec::new();
        let mut before = 0.0;
        for leg in side {
            let (from, to) = self.sewn(*leg);
            let whole = to - from;
            let mut own = self.edge(*leg).notches();
            own.retain(|(at, _)| *at > from + AT && *at < to - AT);
            for (at, _) in &mut own {
                *at -= from;
            }
            if leg.backward {
                own = own
                    .iter()
                    .rev()
                    .map(|(at, snips)| (whole - at, *snips))
                    .collect();
            }
            out.extend(own.into_iter().map(|(at, snips)| (at + before, snips)));
            before += whole;
        }
        out
    }

    /// The point of a side so far along it, darts sewn, with its leg.
    pub fn point(&self, side: &[Leg], at: f64) -> Option<(Leg, Point)> {
        let mut before = 0.0;
        for (i, leg) in side.iter().enumerate() {
            let edge = self.edge(*leg);
            let (from, to) = self.sewn(*leg);
            let whole = to - from;
            if at <= before + whole + 1e-6 || i + 1 == side.len() {
                let mut here = (at - before).clamp(0.0, whole);
                if leg.backward {
                    here = whole - here;
                }
                here += from;
                // Back from the sewn line to the drawn one.
                for mouth in &edge.mouths {
                    if here > mouth.0 {
                        here += mouth.1 - mouth.0;
                    }
                }
                return Some((*leg, edge.line.at(here)));
            }
            before += whole;
        }
        None
    }

    /// The edges of a side as a program reads them: `front.side`, more joined by ` + `.
    pub fn named(&self, side: &[Leg]) -> String {
        let each: Vec<String> = side
            .iter()
            .map(|l| self.parts[l.part].named(l.edge))
            .collect();
        each.join(" + ")
    }

    /// The edges of a side as they are said: `side of front`.
    pub fn spoken(&self, side: &[Leg]) -> String {
        let each: Vec<String> = side
            .iter()
            .map(|l| {
                let (edge, on) = bare(self.edge(*l).name());
                let (piece, of) = bare(&self.parts[l.part].piece.name);
                // Her side is said last, and once: `side of front on her left`.
                let hers = match (on, of) {
                    (Side::Left, _) | (_, Side::Left) => " on her left",
                    (Side::Right, _) | (_, Side::Right) => " on her right",
                    _ => "",
                };
                format!("{edge} of {piece}{hers}")
            })
            .collect();
        each.join(" and ")
    }

    /// Pieces of the shell that go round her.
    pub fn shell(&self) -> impl Iterator<Item = &Part<'a>> {
        self.parts.iter().filter(|p| p.place == Place::Shell)
    }

    /// How far down the paper a level of the body lies on a sheet, in millimetres.
    pub fn level(&self, sheet: &str, body: &str) -> Option<f64> {
        let mut all = self.worked.levels.iter();
        all.find(|l| l.sheet == sheet && l.body == body)
            .map(|l| l.y)
    }

    /// A length in her unit and fineness.
    pub fn tell(&self, mm: f64) -> String {
        Length::try_mm(mm).map_or_else(String::new, |l| show(l, self.shown))
    }

    /// Two lengths that are set against each other, and by how much they differ: in her fineness where the
    /// three agree as they are told, else in 32nds of an inch or in millimetres.
    pub fn tell_apart(&self, one: f64, two: f64) -> [String; 3] {
        let fine = self.shown.finely();
        let rounded =
            |mm: f64, how: Shown| Length::try_mm(mm).map_or(mm, |l| how.rounded(l).in_mm());
        let by = |how: Shown| rounded(one, how) - rounded(two, how);
        let agree = (by(self.shown) - by(fine)).abs() < 0.05;
        let how = if agree { self.shown } else { fine };
        let told =
            |mm: f64| Length::try_mm(mm).map_or_else(String::new, |length| show(length, how));
        [told(one), told(two), self.tell_small(by(fine))]
    }

    /// A small amount without its sign, in 32nds of an inch or in millimetres: `3/32 in`, `2.4 mm`.
    pub fn tell_small(&self, mm: f64) -> String {
        small(mm, self.shown)
    }
}

/// As [`Seen::tell_small`]. What is nothing by the tape is still something to the rule that speaks of it.
fn small(mm: f64, shown: Shown) -> String {
    match (Length::try_mm(mm.abs()), shown.unit) {
        (None, _) => String::new(),
        (Some(l), Unit::Inch) if l > Length::ZERO && l < Length::inches(1.0 / 64.0) => {
            "less than 1/32 in".to_owned()
        }
        (Some(l), Unit::Inch) => show(l, shown.finely()),
        (Some(l), Unit::Cm) if l > Length::ZERO && l < Length::mm(0.05) => {
            "less than 0.1 mm".to_owned()
        }
        (Some(l), Unit::Cm) => format!("{:.1} mm", l.in_mm()),
    }
}

/// How often a piece goes round her.
fn times(piece: &Piece) -> f64 {
    piece
        .cuts
        .iter()
        .filter(|c| c.cloth == "shell")
        .map(|c| f64::from(c.count) * if c.on_fold { 2.0 } else { 1.0 })
        .sum()
}

fn parts(worked: &Worked) -> Vec<Part<'_>> {
    let nowhere = Origin::default();
    worked
        .pieces
        .iter()
        .enumerate()
        .map(|(i, piece)| {
            let origin = worked.origins.get(i);
            let lies_on_another = origin.unwrap_or(&nowhere).copied_from.iter().any(|from| {
                worked
                    .pieces
                    .iter()
                    .any(|p| p.name == *from && p.name != piece.name && times(p) > 0.0)
            });
            let times = times(piece);
            let edges = piece
                .edges
                .iter()
                .map(|edge| {
                    let mut mouths: Vec<(f64, f64)> = piece
                        .darts
                        .iter()
                        .filter(|d| d.edge == edge.name)
                        .map(|d| (d.mouth.0.in_mm(), d.mouth.1.in_mm()))
                        .collect();
                    mouths.sort_by(|a, b| a.0.total_cmp(&b.0));
                    EdgeSeen {
                        edge,
                        line: Line::of(&edge.curve),
                        mouths,
                    }
                })
                .collect();
            Part {
                piece,
                sheet: origin.and_then(|o| o.sheet.as_deref()),
                place: match (times > 0.0, lies_on_another) {
                    (false, _) => Place::Under,
                    (true, true) => Place::Facing,
                    (true, false) => Place::Shell,
                },
                times,
                edges,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Catches a finding that says of its fault that it is nothing.
    #[test]
    fn a_small_amount_is_never_told_as_nothing() {
        let (inches, metric) = (Shown::inches(), Shown::usual(Unit::Cm));
        assert_eq!(small(0.06, inches), "less than 1/32 in");
        assert_eq!(small(0.4, inches), "1/32 in");
        assert_eq!(small(-2.4, inches), "3/32 in");
        assert_eq!(small(0.03, metric), "less than 0.1 mm");
        assert_eq!(small(-0.06, metric), "0.1 mm");
        assert_eq!(small(0.0, metric), "0.0 mm");
    }
}
