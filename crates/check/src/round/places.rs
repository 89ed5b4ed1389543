//! Which pieces go round her, and where each begins.

use std::sync::Arc;

use draft::worked::LevelMade;
use piece::Role;

use super::{AT_WAIST, Lies, Panel, Round};
use crate::ring::Ring;
use crate::seen::{Leg, Place};
use crate::sides::{self, Sides};

impl<'a> Round<'_, 'a> {
    /// The pieces that lie in their place on a sheet with levels; where no such sheet has a piece,
    /// those whose top lies at the height of the levels from which their edges were taken.
    pub(super) fn place(&mut self) {
        let seen = self.seen;
        let waist_of = |sheet: &str| {
            let on = |l: &&LevelMade| l.sheet == sheet;
            let mut own = seen.worked.levels.iter().filter(on);
            own.next().map(|l| l.y - l.below_waist.in_mm())
        };
        let mut sheets: Vec<&str> = Vec::new();
        let mut add = |panels: &mut Vec<Panel>, part: usize, sheet: &'a str, waist: f64| {
            let column = sheets.iter().position(|s| *s == sheet).unwrap_or_else(|| {
                sheets.push(sheet);
                sheets.len() - 1
            });
            panels.push(Panel {
                part,
                lies: Lies::Placed { waist },
                column,
                carries: false,
                ring: Arc::new(Ring::of(seen.parts[part].ring())),
            });
        };
        for (i, part) in seen.parts.iter().enumerate() {
            if let (Place::Shell, Some(sheet)) = (part.place, part.sheet)
                && let Some(waist) = waist_of(sheet)
            {
                add(&mut self.panels, i, sheet, waist);
            }
        }
        if !self.panels.is_empty() {
            return;
        }
        let mut waists = seen
            .worked
            .levels
            .iter()
            .map(|l| l.y - l.below_waist.in_mm());
        let Some(waist) = waists.next() else {
            return;
        };
        if waists.any(|other| (other - waist).abs() > 1.0) {
            return;
        }
        for (i, part) in seen.parts.iter().enumerate() {
            let (Place::Shell, Some(sheet)) = (part.place, part.sheet) else {
                continue;
            };
            let top = Sides::of(part).map(|s| s.top.line);
            let beside = top.is_some_and(|t| {
                t.points().iter().all(|p| (p.y - waist).abs() < AT_WAIST) && t.length() > 0.0
            });
            if beside && !self.is_above(i) {
                add(&mut self.panels, i, sheet, waist);
            }
        }
    }

    /// The pieces that were spread, turned or drawn apart: those at the waist, then what is sewn to the
    /// foot of others, tier by tier.
    pub(super) fn hang(&mut self) {
        let seen = self.seen;
        let placed = !self.panels.is_empty();
        let mut left: Vec<(usize, Sides)> = seen
            .parts
            .iter()
            .enumerate()
            .filter(|(i, p)| p.place == Place::Shell && !self.panels.iter().any(|q| q.part == *i))
            .filter_map(|(i, p)| Some((i, Sides::of(p)?)))
            .collect();
        // Those at the waist: not sewn to another's foot, not above, and joined side to side into a
        // ring; beside placed pieces only what is sewn to their sides.
        let mut roots: Vec<(usize, Sides)> = left
            .iter()
            .filter(|(i, s)| {
                !self.is_above(*i)
                    && s.top
                        .edges
                        .iter()
                        .all(|e| !self.sewn_to_a_foot(*i, *e, &left))
                    && self.joined_at_sides(*i, s)
            })
            .cloned()
            .collect();
        if placed {
            roots.retain(|(i, s)| {
                let sides = s.left.edges.iter().chain(&s.right.edges);
                sides.into_iter().any(|e| {
                    self.partners(*i, *e)
                        .iter()
                        .any(|l| self.panels.iter().any(|p| p.part == l.part))
                })
            });
        }
        let next = 1 + self.panels.iter().map(|p| p.column).max().unwrap_or(0);
        for (column, (i, sides)) in (next..).zip(roots) {
            self.add_hung(i, 0.0, sides, column);
        }
        // Tier by tier; no garment has more tiers than pieces.
        for _ in 0..seen.parts.len() {
            left.retain(|(i, _)| !self.panels.iter().any(|p| p.part == *i));
            let mut found = Vec::new();
            for (i, sides) in &left {
                if let Some((from, parents)) = self.hangs_from(*i, sides) {
                    found.push((*i, from, sides.clone(), parents));
                }
            }
            if found.is_empty() {
                break;
            }
            for (i, from, sides, parents) in found {
                let columns: Vec<usize> = parents.iter().map(|p| self.panels[*p].column).collect();
                let Some(column) = columns.iter().copied().min() else {
                    continue;
                };
                for parent in parents {
                    self.panels[parent].carries = true;
                }
                for panel in &mut self.panels {
                    if columns.contains(&panel.column) {
                        panel.column = column;
                    }
                }
                self.add_hung(i, from, sides, column);
            }
        }
    }

    fn add_hung(&mut self, part: usize, from: f64, sides: Sides, column: usize) {
        self.panels.push(Panel {
            part,
            lies: Lies::Hung {
                from,
                sides: Box::new(sides),
            },
            column,
            carries: false,
            ring: Arc::new(Ring::of(self.seen.parts[part].ring())),
        });
    }

    /// A bodice ends at the waist: what has all its length above it is not measured below it.
    pub(super) fn drop_what_lies_above(&mut self) {
        let feet: Vec<(usize, f64)> = self.column_feet();
        self.panels.retain(|p| {
            feet.iter()
                .any(|(column, foot)| *column == p.column && *foot > AT_WAIST)
        });
    }

    /// The legs that are sewn to an edge, its own twin left out.
    pub fn partners(&self, part: usize, edge: usize) -> Vec<Leg> {
        let is = |l: &Leg| l.part == part && l.edge == edge;
        let mut out = Vec::new();
        for seam in &self.seen.seams {
            if seam.twin {
                continue;
            }
            if seam.a.iter().any(is) {
                out.extend(seam.b.iter().copied());
            } else if seam.b.iter().any(is) {
                out.extend(seam.a.iter().copied());
            }
        }
        out
    }

    fn is_shell(&self, leg: &Leg) -> bool {
        self.seen.parts[leg.part].place == Place::Shell
    }

    /// Whether a piece lies above the waist: it has no foot of its own that is turned up, or its foot
    /// is sewn to the top of another.
    fn is_above(&self, part: usize) -> bool {
        let seen = self.seen;
        let p = &seen.parts[part];
        (0..p.edges.len()).any(|e| p.edges[e].edge.role == Role::Hem && sides::hangs_below(p, e))
    }

    /// Whether a top edge is sewn to the foot of a panel or of a piece of the shell.
    fn sewn_to_a_foot(&self, part: usize, edge: usize, others: &[(usize, Sides)]) -> bool {
        self.partners(part, edge).iter().any(|leg| {
            if !self.is_shell(leg) || self.is_above(leg.part) {
                return false;
            }
            let at_top = others
                .iter()
                .any(|(i, s)| *i == leg.part && s.top.edges.contains(&leg.edge));
            !at_top
        })
    }

    /// Whether each of its two sides is on the fold, sewn to its twin or sewn to another piece.
    fn joined_at_sides(&self, part: usize, sides: &Sides) -> bool {
        let joined = |edge: usize| {
            let e = self.seen.parts[part].edges[edge].edge;
            let twin = self
                .seen
                .seams
                .iter()
                .any(|s| s.twin && s.a.iter().any(|l| l.part == part && l.edge == edge));
            e.role == Role::Fold || twin || !self.partners(part, edge).is_empty()
        };
        [&sides.left, &sides.right]
            .iter()
            .all(|run| run.edges.iter().any(|e| joined(*e)))
    }

    /// How far below the waist the foot lies to which a piece's top is sewn, and the panels it is.
    fn hangs_from(&self, part: usize, sides: &Sides) -> Option<(f64, Vec<usize>)> {
        let mut depths: Vec<f64> = Vec::new();
        let mut parents: Vec<usize> = Vec::new();
        for edge in &sides.top.edges {
            for leg in self.partners(part, *edge) {
                let Some(place) = self.panels.iter().position(|p| p.part == leg.part) else {
                    continue;
                };
                let line = &self.seen.edge(leg).line;
                depths.push(match &self.panels[place].lies {
                    Lies::Placed { waist } => line.at(line.length() / 2.0).y - waist,
                    Lies::Hung { from, sides } => from + sides.deep(),
                });
                if !parents.contains(&place) {
                    parents.push(place);
                }
            }
        }
        let many = f64::from(u32::try_from(depths.len()).ok()?);
        (!depths.is_empty()).then(|| (depths.iter().sum::<f64>() / many, parents))
    }
}
