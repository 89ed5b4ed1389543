//! A whole piece: the ring of its edges, and all that is marked on it.

use measure::{Curve, Length, Motion, Point};

use crate::edge::{Edge, Role};
use crate::fault::Fault;

/// Neighbouring edges that end this far apart, in millimetres, are laid together; more is a gap.
const MEETING: f64 = 1e-3;

/// Which way along its edge a folded dart is pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toward {
    /// Towards the beginning of the edge.
    Start,
    /// Towards its end.
    End,
}

/// A wedge taken out of an edge, sewn to a point.
///
/// The edge's curve runs across the mouth; what the mouth takes is not sewn.
#[derive(Clone, Debug, PartialEq)]
pub struct Dart {
    /// Its name, unique on the piece.
    pub name: String,
    /// The edge it opens into.
    pub edge: String,
    /// Where its legs leave the edge, both as lengths along it, the earlier first.
    pub mouth: (Length, Length),
    /// Its point; both legs are equally long.
    pub tip: Point,
    /// The way it is pressed; without it the mouth gets no cap.
    pub pressed: Option<Toward>,
}

/// A named point on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub point: Point,
}

/// A level printed across a piece, from edge to edge: hip line, break line.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// Its name on the paper.
    pub name: String,
    /// One end.
    pub from: Point,
    /// The other end.
    pub to: Point,
}

/// The grain arrow, pointing down the garment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grain {
    /// Its tail.
    pub from: Point,
    /// Its head.
    pub to: Point,
}

/// How many to cut, how, and from which cloth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut {
    /// The cloth: shell, lining, interlining, or a word of hers.
    pub cloth: String,
    /// How many; a pair is two.
    pub count: u32,
    /// On the fold of the cloth.
    pub on_fold: bool,
    /// A mirrored pair.
    pub pair: bool,
}

/// A finished piece. See the crate's invariants.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name.
    pub name: String,
    /// The ring, clockwise on the paper.
    pub edges: Vec<Edge>,
    /// Darts in its edges.
    pub darts: Vec<Dart>,
    /// Named points that move with it.
    pub marks: Vec<Mark>,
    /// Levels printed across it.
    pub balance: Vec<Balance>,
    /// The grain arrow.
    pub grain: Option<Grain>,
    /// What to cut.
    pub cuts: Vec<Cut>,
    /// What is written on it, if not its name.
    pub label: Option<String>,
}

impl Piece {
    /// A piece from edges in order; the ends are laid together, each edge turned round where that
    /// closes the ring, and the whole is walked clockwise.
    ///
    /// # Errors
    /// When two neighbours do not meet within 0.001 mm, or the ring has no area.
    #[expect(
        clippy::needless_pass_by_value,
        reason = "a piece takes its edges over"
    )]
    pub fn from_edges(name: impl Into<String>, edges: Vec<Edge>) -> Result<Self, Fault> {
        let name = name.into();
        if edges.is_empty() {
            return Err(Fault::Nothing(format!("`{name}`")));
        }
        let edges = chained(&edges)?;
        let mut piece = Self {
            name,
            edges,
            darts: Vec::new(),
            marks: Vec::new(),
            balance: Vec::new(),
            grain: None,
            cuts: Vec::new(),
            label: None,
        };
        let area: f64 = piece.signed_area();
        if area.abs() < 1e-3 {
            return Err(Fault::Nothing(format!("`{}`", piece.name)));
        }
        if area < 0.0 {
            piece.edges = piece.edges.iter().rev().map(Edge::reversed).collect();
        }
        Ok(piece)
    }

    /// The edge of this name.
    ///
    /// # Errors
    /// When there is none.
    pub fn edge(&self, name: &str) -> Result<&Edge, Fault> {
        self.edges
            .iter()
            .find(|e| e.name == name)
            .ok_or_else(|| Fault::NoEdge(name.to_owned()))
    }

    /// Where in the ring the edge of this name is.
    ///
    /// # Errors
    /// When there is none.
    pub fn edge_index(&self, name: &str) -> Result<usize, Fault> {
        self.edges
            .iter()
            .position(|e| e.name == name)
            .ok_or_else(|| Fault::NoEdge(name.to_owned()))
    }

    /// The dart of this name.
    ///
    /// # Errors
    /// When there is none.
    pub fn dart(&self, name: &str) -> Result<&Dart, Fault> {
        self.darts
            .iter()
            .find(|d| d.name == name)
            .ok_or_else(|| Fault::NoDart(name.to_owned()))
    }

    /// The marked point of this name.
    pub fn mark(&self, name: &str) -> Option<Point> {
        self.marks.iter().find(|m| m.name == name).map(|m| m.point)
    }

    /// How long an edge is when its darts are sewn.
    ///
    /// # Errors
    /// When there is no such edge.
    pub fn sewn_length(&self, name: &str) -> Result<Length, Fault> {
        let whole = self.edge(name)?.curve.length();
        let mouths: Length = self
            .darts
            .iter()
            .filter(|d| d.edge == name)
            .map(|d| d.mouth.1 - d.mouth.0)
            .sum();
        Ok(whole - mouths)
    }

    /// The area inside the stitching line, in square millimetres.
    pub fn area(&self) -> f64 {
        self.signed_area().abs()
    }

    fn signed_area(&self) -> f64 {
        self.edges.iter().map(|e| e.curve.area()).sum()
    }

    /// The edge that lies on the fold of the cloth, if there is one.
    pub fn fold(&self) -> Option<&Edge> {
        self.edges.iter().find(|e| e.role == Role::Fold)
    }

    /// The whole stitching line as one closed curve.
    ///
    /// # Errors
    /// When the ring does not close.
    pub fn outline(&self) -> Result<Curve, Fault> {
        Curve::joined(self.edges.iter().map(|e| &e.curve))
            .map_err(|_| Fault::Nothing(format!("`{}`", self.name)))
    }

    /// Whether a point lies inside the stitching line, or within 1e-6 mm of it.
    pub fn holds(&self, p: Point) -> bool {
        let points: Vec<Point> = self
            .edges
            .iter()
            .flat_map(|e| e.curve.flatten(Length::mm(0.01)))
            .collect();
        let mut inside = false;
        let n = points.len();
        for i in 0..n {
            let (a, b) = (points[i], points[(i + 1) % n]);
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
        }
        inside
            || self
                .edges
                .iter()
                .any(|e| e.curve.nearest(p).distance.in_mm() < 1e-6)
    }

    /// That the outline crosses itself nowhere.
    ///
    /// # Errors
    /// Naming the two edges that cross.
    pub fn check_simple(&self) -> Result<(), Fault> {
        let outline = self.outline()?;
        let Some((a, b)) = outline.self_crossings_closed().into_iter().next() else {
            return Ok(());
        };
        let at = |s: Length| {
            let mut along = Length::ZERO;
            for e in &self.edges {
                along += e.curve.length();
                if s < along {
                    return e.name.clone();
                }
            }
            self.edges[self.edges.len() - 1].name.clone()
        };
        Err(Fault::CrossesItself(at(a), at(b)))
    }

    /// The same piece elsewhere on the paper, with all that is on it; still clockwise if turned over.
    #[must_use]
    pub fn moved(&self, by: &Motion) -> Self {
        let over = by.turns_over();
        let mut edges: Vec<Edge> = self.edges.iter().map(|e| e.moved(by)).collect();
        if over {
            edges.reverse();
        }
        let darts = self
            .darts
            .iter()
            .map(|d| {
                let mut dart = Dart {
                    tip: by.point(d.tip),
                    ..d.clone()
                };
                if over && let Ok(edge) = self.edge(&d.edge) {
                    let length = edge.curve.length();
                    dart.mouth = (length - d.mouth.1, length - d.mouth.0);
                    dart.pressed = d.pressed.map(|p| match p {
                        Toward::Start => Toward::End,
                        Toward::End => Toward::Start,
                    });
                }
                dart
            })
            .collect();
        Self {
            name: self.name.clone(),
            edges,
            darts,
            marks: self
                .marks
                .iter()
                .map(|m| Mark {
                    name: m.name.clone(),
                    point: by.point(m.point),
                })
                .collect(),
            balance: self
                .balance
                .iter()
                .map(|b| Balance {
                    name: b.name.clone(),
                    from: by.point(b.from),
                    to: by.point(b.to),
                })
                .collect(),
            grain: self.grain.map(|g| Grain {
                from: by.point(g.from),
                to: by.point(g.to),
            }),
            cuts: self.cuts.clone(),
            label: self.label.clone(),
        }
    }
}

/// Edges turned so that each begins where the one before ends, and the last ends at the beginning.
fn chained(edges: &[Edge]) -> Result<Vec<Edge>, Fault> {
    let n = edges.len();
    let meets = |a: Point, b: Point| (a - b).size() < MEETING;
    let mut best: Option<(usize, Fault)> = None;
    for flip_first in [false, true] {
        let mut out: Vec<Edge> = Vec::with_capacity(n);
        let mut fault = None;
        for (i, edge) in edges.iter().enumerate() {
            let next = if i == 0 {
                if flip_first {
                    edge.reversed()
                } else {
                    edge.clone()
                }
            } else {
                let end = out[i - 1].curve.end();
                if meets(end, edge.curve.start()) {
                    edge.clone()
                } else if meets(end, edge.curve.end()) {
                    edge.reversed()
                } else {
                    fault = Some((i, Fault::Gap(edges[i - 1].name.clone(), edge.name.clone())));
                    break;
                }
            };
            out.push(next);
        }
        if fault.is_none() && !meets(out[n - 1].curve.end(), out[0].curve.start()) {
            fault = Some((
                n,
                Fault::Gap(edges[n - 1].name.clone(), edges[0].name.clone()),
            ));
        }
        match fault {
            Some(f) => {
                if best.as_ref().is_none_or(|b| f.0 > b.0) {
                    best = Some(f);
                }
            }
            None => return laid_together(out),
        }
    }
    Err(best.map_or_else(|| Fault::Nothing(String::new()), |b| b.1))
}

fn laid_together(mut edges: Vec<Edge>) -> Result<Vec<Edge>, Fault> {
    let n = edges.len();
    for i in 0..n {
        let end = edges[(i + 1) % n].curve.start();
        let start = edges[i].curve.start();
        if edges[i].curve.end() != end {
            edges[i].curve = edges[i]
                .curve
                .with_ends(start, end)
                .map_err(|_| Fault::Nothing(format!("the edge `{}`", edges[i].name)))?;
        }
    }
    Ok(edges)
}
