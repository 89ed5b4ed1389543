//! The shell as it goes round her: its girth at any distance below the waist.
//!
//! A piece that lies in its place on a sheet with levels of the body is measured straight across at the
//! level. A piece that was spread, turned or drawn away from such a sheet is measured across from a
//! place so far down its one side to the same on the other. A piece that is sewn to the foot of others
//! begins where they end. Facings lie on the shell, bands and bodices above the waist: none of them
//! counts. Where it can't be said honestly what goes round her, there is no girth.

mod openings;
mod places;

use std::sync::Arc;

use draft::worked::LevelMade;
use measure::Point;
use piece::Role;

use crate::ring::{self, Ring};
use crate::seen::{Leg, Part, Seen};
use crate::sides::{self, Sides};

/// The waist's edges lie within this of the waist level, in millimetres: 3 1/2 in.
const AT_WAIST: f64 = 88.9;
/// A level may lie so far past the foot of the pieces, in millimetres, and still be measured there.
const PAST_FOOT: f64 = 25.4;
/// A hair above the foot, in millimetres: a hair below it there is nothing to measure.
const HAIR: f64 = 0.01;

/// How a piece is measured.
#[derive(Clone, Debug)]
enum Lies {
    /// In its place on the paper: the waist lies so far down it.
    Placed { waist: f64 },
    /// By its sides; its top lies so far below the waist.
    Hung { from: f64, sides: Box<Sides> },
}

/// The panels and the openings of a garment, sorted.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    panels: Vec<Panel>,
    feet: Vec<(usize, f64)>,
    openings: Vec<Opening>,
}

/// A piece that goes round her.
#[derive(Clone, Debug)]
struct Panel {
    part: usize,
    lies: Lies,
    /// Panels of one column follow each other downward or lie beside each other on one sheet.
    column: usize,
    /// Others are sewn to its foot.
    carries: bool,
    /// Its stitching line.
    ring: Arc<Ring>,
}

/// A stretch that is left open: a zip, a slit, a vent.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// The piece, in [`Seen::parts`].
    pub part: usize,
    /// The edge on it.
    pub edge: usize,
    /// Its upper end below the waist, in millimetres.
    pub top: f64,
    /// Its lower end below the waist.
    pub foot: f64,
    /// The upper end on the paper.
    pub top_point: Point,
    /// The lower end on the paper.
    pub foot_point: Point,
    /// It begins at the top of the garment.
    pub from_top: bool,
    /// It runs out at the hem.
    pub to_hem: bool,
}

/// The shell that goes round her.
#[derive(Clone, Debug)]
pub struct Round<'s, 'a> {
    seen: &'s Seen<'a>,
    panels: Vec<Panel>,
    /// For each column how far below the waist it is closed, in millimetres.
    feet: Vec<(usize, f64)>,
    openings: Vec<Opening>,
}

impl<'s, 'a> Round<'s, 'a> {
    /// Sorts what was seen. Without panels nothing can be measured.
    pub fn of(seen: &'s Seen<'a>) -> Self {
        let placed = seen.placed.get_or_init(|| {
            let mut round = Self {
                seen,
                panels: Vec::new(),
                feet: Vec::new(),
                openings: Vec::new(),
            };
            round.place();
            round.hang();
            round.drop_what_lies_above();
            round.feet = round.column_feet();
            let openings = round.find_openings();
            Placed {
                panels: round.panels,
                feet: round.feet,
                openings,
            }
        });
        Self {
            seen,
            panels: placed.panels.clone(),
            feet: placed.feet.clone(),
            openings: placed.openings.clone(),
        }
    }

    /// Whether there is anything round her below the waist.
    pub fn is_empty(&self) -> bool {
        self.panels.is_empty()
    }

    /// How far down a placed piece is closed all the way across: the highest place of its lowest edge
    /// that runs across.
    fn placed_foot(part: &Part<'_>) -> Option<f64> {
        let across = part.edges.iter().filter(|e| {
            let (a, b) = (e.line.start(), e.line.end());
            (b.x - a.x).abs() > (b.y - a.y).abs()
        });
        across
            .map(|e| {
                e.line
                    .points()
                    .iter()
                    .map(|p| p.y)
                    .fold(f64::INFINITY, f64::min)
            })
            .max_by(f64::total_cmp)
    }

    fn panel_foot(&self, panel: &Panel) -> Option<f64> {
        match &panel.lies {
            Lies::Placed { waist } => {
                Some(Self::placed_foot(&self.seen.parts[panel.part])? - waist)
            }
            Lies::Hung { from, sides } => Some(from + sides.deep()),
        }
    }

    /// For each column how far below the waist it is closed: on a sheet down to its lowest piece, of
    /// pieces that hang side by side down to the shortest.
    fn column_feet(&self) -> Vec<(usize, f64)> {
        let mut out: Vec<(usize, f64)> = Vec::new();
        for panel in self.panels.iter().filter(|p| !p.carries) {
            let Some(foot) = self.panel_foot(panel) else {
                continue;
            };
            let hung = matches!(panel.lies, Lies::Hung { .. });
            match out.iter_mut().find(|(c, _)| *c == panel.column) {
                Some((_, known)) if hung => *known = known.min(foot),
                Some((_, known)) => *known = known.max(foot),
                None => out.push((panel.column, foot)),
            }
        }
        out
    }

    /// How far below the waist cloth goes round her without a gap, slits not counted, in millimetres.
    pub fn foot(&self) -> Option<f64> {
        self.feet
            .iter()
            .map(|(_, foot)| *foot)
            .min_by(f64::total_cmp)
    }

    /// How far below the waist it is closed: down to its foot, or to the top of the highest slit.
    pub fn closed_foot(&self) -> Option<f64> {
        let slits = self.openings.iter().filter(|o| o.to_hem).map(|o| o.top);
        slits.chain(self.foot()).min_by(f64::total_cmp)
    }

    /// The slit or vent whose top is the highest.
    pub fn slit(&self) -> Option<&Opening> {
        let slits = self.openings.iter().filter(|o| o.to_hem);
        slits.min_by(|a, b| a.top.total_cmp(&b.top))
    }

    /// How far down the paper the waist lies on a piece that is in its place; nothing for others.
    pub fn waist_on(&self, part: usize) -> Option<f64> {
        let mut panels = self.panels.iter().filter(|p| p.part == part);
        match panels.next()?.lies {
            Lies::Placed { waist } => Some(waist),
            Lies::Hung { .. } => None,
        }
    }

    /// What is left open.
    pub fn openings(&self) -> &[Opening] {
        &self.openings
    }

    fn panel_across(&self, panel: &Panel, below: f64) -> Option<f64> {
        let part = &self.seen.parts[panel.part];
        let one = match &panel.lies {
            Lies::Placed { waist } => {
                let y = waist + below;
                let darts: f64 = part
                    .piece
                    .darts
                    .iter()
                    .filter_map(|d| {
                        let line = &part.edges[part.edge(&d.edge)?].line;
                        let (a, b) = (line.at(d.mouth.0.in_mm()), line.at(d.mouth.1.in_mm()));
                        Some(ring::across(
                            [[a, b], [b, d.tip], [d.tip, a]].into_iter(),
                            y,
                        ))
                    })
                    .sum();
                (panel.ring.across(y) - darts).max(0.0)
            }
            Lies::Hung { from, sides } => {
                let darts: f64 = part
                    .piece
                    .darts
                    .iter()
                    .filter_map(|d| {
                        let edge = part.edge(&d.edge)?;
                        sides.top.edges.contains(&edge).then_some(())?;
                        let line = &part.edges[edge].line;
                        let (a, b) = (line.at(d.mouth.0.in_mm()), line.at(d.mouth.1.in_mm()));
                        let long = (d.tip - a.toward(b, 0.5)).size();
                        let left = 1.0 - (below - from) / long.max(1e-9);
                        Some((b - a).size() * left.max(0.0))
                    })
                    .sum();
                (sides.across(below - from)? - darts).max(0.0)
            }
        };
        Some(one * part.times)
    }

    /// Once round, so far below the waist, in millimetres; nothing where cloth does not go all the way
    /// round. Slits are not looked at.
    pub fn girth_at(&self, below: f64) -> Option<f64> {
        if self.feet.is_empty() || self.feet.iter().any(|(_, foot)| below > *foot) {
            return None;
        }
        let mut round = 0.0;
        for (column, _) in self.feet.iter().copied() {
            let of_column = || self.panels.iter().filter(move |p| p.column == column);
            // Where the seam to the next tier dips, the tier above it is measured where it still is whole.
            let join = of_column()
                .filter_map(|p| match &p.lies {
                    Lies::Hung { from, .. } if *from > 0.0 => Some(*from),
                    _ => None,
                })
                .filter(|from| *from <= below)
                .fold(f64::NEG_INFINITY, f64::max);
            for panel in of_column() {
                let starts = match &panel.lies {
                    Lies::Placed { .. } => f64::NEG_INFINITY,
                    Lies::Hung { from, .. } => *from,
                };
                if starts > below || (panel.carries && join > starts) {
                    continue;
                }
                let at = if panel.carries {
                    below.min(self.panel_foot(panel)? - HAIR)
                } else {
                    below
                };
                round += self.panel_across(panel, at)?;
            }
        }
        (round > 0.0).then_some(round)
    }

    /// The same; a little past the foot it is measured at the foot.
    pub fn girth_near(&self, below: f64) -> Option<f64> {
        let foot = self.foot()? - HAIR;
        (below - foot < PAST_FOOT).then(|| self.girth_at(below.min(foot)))?
    }

    /// Once round the break, each piece measured at its own level of it, and the level's mean distance
    /// below the waist.
    pub fn break_girth(&self) -> Option<(f64, f64)> {
        let levels: Vec<&LevelMade> = {
            let all = self.seen.worked.levels.iter();
            all.filter(|l| l.body == "break").collect()
        };
        let first = levels.first()?.below_waist.in_mm();
        let steps = levels
            .iter()
            .any(|l| (l.below_waist.in_mm() - first).abs() > 1.0);
        if !steps {
            return Some((self.girth_near(first)?, first));
        }
        let (mut round, mut depth, mut times) = (0.0, 0.0, 0.0);
        for panel in &self.panels {
            let part = &self.seen.parts[panel.part];
            let Lies::Placed { waist } = panel.lies else {
                continue;
            };
            let own = levels.iter().find(|l| Some(l.sheet.as_str()) == part.sheet);
            let (wide, at) = match own {
                Some(level) => {
                    let at = level.below_waist.in_mm();
                    let foot = self.panel_foot(panel)? - HAIR;
                    (self.panel_across(panel, at.min(foot))?, at)
                }
                None => {
                    let (wide, at) = stepped(part, waist, &levels)?;
                    (wide * part.times, at)
                }
            };
            round += wide;
            depth += at * part.times;
            times += part.times;
        }
        (round > 0.0).then(|| (round, depth / times))
    }

    /// A whole edge.
    fn leg(&self, part: usize, edge: usize) -> Leg {
        Leg {
            part,
            edge,
            backward: false,
            stretch: (0.0, self.seen.parts[part].edges[edge].line.length()),
        }
    }

    /// The edges along the top of the garment, at the waist.
    pub fn top(&self) -> Vec<Leg> {
        let mut out = Vec::new();
        for panel in &self.panels {
            let part = &self.seen.parts[panel.part];
            match &panel.lies {
                Lies::Hung { from, sides } if *from <= 0.0 => {
                    out.extend(sides.top.edges.iter().map(|e| self.leg(panel.part, *e)));
                }
                Lies::Hung { .. } => {}
                Lies::Placed { waist } => {
                    for (i, edge) in part.edges.iter().enumerate() {
                        let (a, b) = (edge.line.start(), edge.line.end());
                        let at_waist = [a, b].iter().all(|p| (p.y - waist).abs() <= AT_WAIST);
                        let across = (b.x - a.x).abs() > (b.y - a.y).abs();
                        if edge.edge.role == Role::Fold || !at_waist || !across {
                            continue;
                        }
                        let middle = edge.line.at(edge.line.length() * 0.5);
                        let above = Point::new(middle.x, middle.y - 1.0);
                        let covered = self.panels.iter().any(|p| {
                            self.seen.parts[p.part].sheet == part.sheet
                                && sides::inside(p.ring.points(), above)
                        });
                        if !covered {
                            out.push(self.leg(panel.part, i));
                        }
                    }
                }
            }
        }
        out
    }

    /// How far below the waist level the top edges reach down where they lie lowest, in millimetres.
    pub fn top_dips(&self) -> Option<f64> {
        self.top()
            .iter()
            .filter_map(|leg| {
                let waist = self.waist_on(leg.part)?;
                let points = self.seen.edge(*leg).line.points();
                let lowest = points.iter().map(|p| p.y).max_by(f64::total_cmp)?;
                Some(lowest - waist)
            })
            .max_by(f64::total_cmp)
    }

    /// Along the top edges, darts sewn; where the shell goes on above the waist, across at the waist.
    pub fn waist(&self) -> Option<f64> {
        let top = self.top();
        if top.is_empty() {
            return self.girth_at(0.0);
        }
        let round: f64 = top
            .iter()
            .map(|l| self.seen.edge(*l).sewn() * self.seen.parts[l.part].times)
            .sum();
        (round > 0.0).then_some(round)
    }

    /// Along the hems of the shell, darts sewn; what lies under a vent is not counted.
    pub fn hem(&self) -> Option<f64> {
        let mut round = 0.0;
        for part in self.seen.shell() {
            for (i, edge) in part.edges.iter().enumerate() {
                if edge.edge.role == Role::Hem && !sides::hangs_below(part, i) {
                    round += part.times * edge.sewn();
                }
            }
        }
        let under: f64 = self.openings.iter().filter_map(|o| self.under(o)).sum();
        let finished = round - under;
        (finished > 0.0).then_some(finished)
    }

    /// How wide the extension of a vent is at the hem: off the line of the seam that ends at its top.
    fn under(&self, vent: &Opening) -> Option<f64> {
        let part = &self.seen.parts[vent.part];
        let own = &part.edges[vent.edge];
        if !vent.to_hem || vent.from_top || own.edge.role != Role::Opening {
            return None;
        }
        let starts_at_top = (own.line.start() - vent.top_point).size() < 1.0;
        let way = if starts_at_top {
            part.before(vent.edge).arrives()
        } else {
            part.after(vent.edge).leaves()
        };
        Some(part.times * way.cross(vent.foot_point - vent.top_point).abs())
    }

    /// Where a level crosses the pieces' sides: the piece, the edge and the point, folds left out.
    pub fn sides_at(&self, below: f64) -> Vec<(Leg, Point)> {
        let mut out = Vec::new();
        for panel in &self.panels {
            let part = &self.seen.parts[panel.part];
            match &panel.lies {
                Lies::Placed { waist } => {
                    for (i, edge) in part.edges.iter().enumerate() {
                        if matches!(edge.edge.role, Role::Fold | Role::Hem) {
                            continue;
                        }
                        if let Some(at) = edge.line.crossings(waist + below).first() {
                            out.push((self.leg(panel.part, i), edge.line.at(*at)));
                        }
                    }
                }
                Lies::Hung { from, sides } => {
                    let on = below - from;
                    if on < 0.0 || on > sides.deep() {
                        continue;
                    }
                    for run in [&sides.left, &sides.right] {
                        let point = run.line.at(on);
                        let nearest = run.edges.iter().min_by(|a, b| {
                            let off = |e: &usize| part.edges[*e].line.nearest(point).1;
                            off(a).total_cmp(&off(b))
                        });
                        if let Some(e) = nearest
                            && part.edges[*e].edge.role != Role::Fold
                        {
                            out.push((self.leg(panel.part, *e), point));
                        }
                    }
                }
            }
        }
        out
    }
}

/// The width of a piece whose two sides were taken from different levels of the break: across from the
/// innermost of those levels on its one side to that on the other, and their mean.
fn stepped(part: &Part<'_>, waist: f64, levels: &[&LevelMade]) -> Option<(f64, f64)> {
    let sides = Sides::of(part)?;
    let inner = |line: &crate::lines::Line, inward: f64| {
        levels
            .iter()
            .filter_map(|l| {
                let at = *line.crossings(waist + l.below_waist.in_mm()).first()?;
                Some((line.at(at), l.below_waist.in_mm()))
            })
            .max_by(|a, b| (a.0.x * inward).total_cmp(&(b.0.x * inward)))
    };
    let (a, da) = inner(&sides.left.line, 1.0)?;
    let (b, db) = inner(&sides.right.line, -1.0)?;
    Some(((b - a).size(), f64::midpoint(da, db)))
}

#[cfg(test)]
mod tests;
