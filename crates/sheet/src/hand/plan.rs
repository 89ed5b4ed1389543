//! What lies on each sheet: rulings, points with their letters, edges with the places that hold them.

use measure::{Angle, Curve, Length, Point};

use super::letters::{letter, said};
use super::{Hand, HandShape, HandThing};

/// Nearer than this two places are one, in mm.
const SAME: f64 = 1e-5;
/// A point so near an edge lies on it, in mm.
const ON: f64 = 1e-3;
/// A turn of an edge by more than this is a corner, in degrees.
const CORNER: f64 = 1.5;

/// A level or upright.
#[derive(Clone, Debug)]
pub(crate) struct Ruling {
    pub(crate) name: String,
    pub(crate) level: bool,
    pub(crate) at: f64,
    /// A level of the body: it is not moved to please a seam.
    pub(crate) body: bool,
    pub(crate) step: u32,
}

/// A point with its letter.
#[derive(Clone, Debug)]
pub(crate) struct Spot {
    pub(crate) letter: String,
    /// What it is, for the table.
    pub(crate) what: String,
    /// Its name on the sheet; of a corner or a dart, what it is.
    pub(crate) name: String,
    pub(crate) at: Point,
    pub(crate) step: u32,
    /// The method gives it no name.
    pub(crate) unnamed: bool,
}

/// A place at which a lettered point holds an edge.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Joint {
    pub(crate) spot: usize,
    /// How far along the edge, in mm.
    pub(crate) along: f64,
    /// The edge passes beside the point: its corner there was softened.
    pub(crate) beside: bool,
}

/// An edge.
#[derive(Clone, Debug)]
pub(crate) struct PlanEdge<'a> {
    pub(crate) name: &'a str,
    pub(crate) curve: &'a Curve,
    pub(crate) step: u32,
    pub(crate) hem: bool,
    /// In order along the edge; the first is its beginning, the last its end.
    pub(crate) joints: Vec<Joint>,
    /// Between which joints a dart is open.
    pub(crate) mouths: Vec<(usize, usize)>,
}

/// A dart: the points of its mouth and tip.
#[derive(Clone, Debug)]
pub(crate) struct PlanDart<'a> {
    pub(crate) name: &'a str,
    pub(crate) edge: &'a str,
    pub(crate) legs: (usize, usize),
    pub(crate) tip: usize,
    pub(crate) step: u32,
}

/// A sheet.
#[derive(Clone, Debug)]
pub(crate) struct Sheet<'a> {
    pub(crate) name: &'a str,
    pub(crate) group: &'a str,
    pub(crate) rulings: Vec<Ruling>,
    pub(crate) spots: Vec<Spot>,
    pub(crate) edges: Vec<PlanEdge<'a>>,
    pub(crate) darts: Vec<PlanDart<'a>>,
    /// Lines that only help: name, line, step.
    pub(crate) helps: Vec<(&'a str, &'a Curve, u32)>,
    /// An earlier sheet that is the same in all that both have.
    pub(crate) like: Option<usize>,
    /// It has nothing that the sheet it is like has not.
    pub(crate) no_more: bool,
}

/// All sheets.
#[derive(Clone, Debug)]
pub(crate) struct Plan<'a> {
    pub(crate) sheets: Vec<Sheet<'a>>,
    /// Group, name, letter.
    letters: Vec<(String, String, String)>,
}

impl<'a> Plan<'a> {
    pub(crate) fn new(hand: &'a Hand) -> Self {
        let mut sheets: Vec<Sheet<'a>> = Vec::new();
        let mut from = 0;
        while from < hand.drawn.len() {
            let name = &hand.drawn[from].sheet;
            let mut to = from + 1;
            while to < hand.drawn.len() && hand.drawn[to].sheet == *name {
                to += 1;
            }
            sheets.push(sheet(hand, &hand.drawn[from..to]));
            from = to;
        }
        for i in 0..sheets.len() {
            let found =
                (0..i).find(|j| sheets[*j].like.is_none() && alike(&sheets[*j], &sheets[i]));
            sheets[i].no_more = found.is_some_and(|j| {
                sheets[i].spots.len() == sheets[j].spots.len()
                    && sheets[i].edges.len() == sheets[j].edges.len()
            });
            sheets[i].like = found;
        }
        let mut plan = Self {
            sheets,
            letters: Vec::new(),
        };
        plan.give_letters();
        plan
    }

    /// Gives every name of a group one letter, the same on each of its sheets; names that always
    /// stand for one place share theirs.
    fn give_letters(&mut self) {
        let mut given = 0;
        for i in 0..self.sheets.len() {
            let group = self.sheets[i].group.to_owned();
            for k in 0..self.sheets[i].spots.len() {
                let name = self.sheets[i].spots[k].name.clone();
                let known = self.letter_of(&group, &name).map(str::to_owned);
                let found = known.or_else(|| {
                    let others = self.letters.iter().filter(|l| l.0 == group);
                    let same = others.filter(|l| self.always_one(&group, &l.1, &name));
                    same.map(|l| l.2.clone()).next()
                });
                let letter = found.unwrap_or_else(|| {
                    given += 1;
                    letter(given - 1)
                });
                if self.letter_of(&group, &name).is_none() {
                    self.letters.push((group.clone(), name, letter.clone()));
                }
                self.sheets[i].spots[k].letter = letter;
            }
        }
    }

    /// Whether two names stand for one place on every sheet of a group.
    fn always_one(&self, group: &str, a: &str, b: &str) -> bool {
        let mut together = false;
        for sheet in self.sheets.iter().filter(|s| s.group == group) {
            let at = |name: &str| sheet.spots.iter().find(|s| s.name == name).map(|s| s.at);
            match (at(a), at(b)) {
                (Some(p), Some(q)) if (p - q).size() <= SAME => together = true,
                (None, None) => {}
                _ => return false,
            }
        }
        together
    }

    /// The letter of a point by its name.
    pub(crate) fn letter_of(&self, group: &str, name: &str) -> Option<&str> {
        let found = self.letters.iter().find(|l| l.0 == group && l.1 == name);
        found.map(|l| l.2.as_str())
    }

    /// The place of a sheet by its name.
    pub(crate) fn sheet(&self, name: &str) -> Option<usize> {
        self.sheets.iter().position(|s| s.name == name)
    }

    /// The place of an edge: its sheet, and where it stands there.
    pub(crate) fn edge(&self, sheet: &str, edge: &str) -> Option<(usize, usize)> {
        let i = self.sheet(sheet)?;
        let k = self.sheets[i].edges.iter().position(|e| e.name == edge)?;
        Some((i, k))
    }
}

fn sheet<'a>(hand: &Hand, things: &'a [HandThing]) -> Sheet<'a> {
    let mut out = Sheet {
        name: &things[0].sheet,
        group: &things[0].group,
        rulings: Vec::new(),
        spots: Vec::new(),
        edges: Vec::new(),
        darts: Vec::new(),
        helps: Vec::new(),
        like: None,
        no_more: false,
    };
    for thing in things {
        let step = thing.step;
        let mut ruling = |level: bool, at: f64, body: bool| {
            out.rulings.push(Ruling {
                name: thing.name.clone(),
                level,
                at,
                body,
                step,
            });
        };
        match &thing.shape {
            HandShape::Level(y, body) => ruling(true, y.in_mm(), *body),
            HandShape::Upright(x) => ruling(false, x.in_mm(), false),
            HandShape::Point(p) => out.spots.push(Spot {
                letter: String::new(),
                what: said(&thing.name),
                name: thing.name.clone(),
                at: *p,
                step,
                unnamed: false,
            }),
            HandShape::Line {
                curve, edge: false, ..
            } => out.helps.push((&thing.name, curve, step)),
            HandShape::Line {
                curve, edge: true, ..
            } => out.edges.push(PlanEdge {
                name: &thing.name,
                curve,
                step,
                hem: hand
                    .hems
                    .iter()
                    .any(|h| h.sheet == thing.sheet && h.edge == thing.name),
                joints: Vec::new(),
                mouths: Vec::new(),
            }),
            HandShape::Dart { .. } => {}
        }
    }
    // Dart points, then ends and corners that bear no name.
    for thing in things {
        let HandShape::Dart { edge, mouth, tip } = &thing.shape else {
            continue;
        };
        let mut add = |which: &str, at: Point| {
            let what = format!("{} {which}", said(&thing.name));
            out.spots.push(Spot {
                letter: String::new(),
                what: what.clone(),
                name: what,
                at,
                step: thing.step,
                unnamed: true,
            });
            out.spots.len() - 1
        };
        let legs = (add("first leg", mouth.0), add("second leg", mouth.1));
        let tip = add("tip", *tip);
        out.darts.push(PlanDart {
            name: &thing.name,
            edge,
            legs,
            tip,
            step: thing.step,
        });
    }
    for k in 0..out.edges.len() {
        corners_of(&mut out, k);
    }
    // Letters are given in the order of work.
    let mut order: Vec<usize> = (0..out.spots.len()).collect();
    order.sort_by_key(|i| (out.spots[*i].step, *i));
    let mut place = vec![0; order.len()];
    for (new, old) in order.iter().enumerate() {
        place[*old] = new;
    }
    out.spots = order.iter().map(|i| out.spots[*i].clone()).collect();
    for dart in &mut out.darts {
        dart.legs = (place[dart.legs.0], place[dart.legs.1]);
        dart.tip = place[dart.tip];
    }
    for k in 0..out.edges.len() {
        hold(&mut out, k, things);
    }
    out
}

/// Adds points at the ends and corners of an edge where the method names none.
fn corners_of(sheet: &mut Sheet<'_>, k: usize) {
    let (curve, step, name) = {
        let e = &sheet.edges[k];
        (e.curve, e.step, e.name)
    };
    let mut places = vec![(curve.start(), true), (curve.end(), true)];
    for (along, _) in curve.corners(Angle::degrees(CORNER)) {
        places.push((curve.at(along).point, false));
    }
    let mut number = 0;
    for (at, end) in places {
        if sheet.spots.iter().any(|s| (s.at - at).size() <= ON) {
            continue;
        }
        let what = if end {
            let meets = sheet.edges.iter().filter(|e| {
                (e.curve.start() - at).size() <= ON || (e.curve.end() - at).size() <= ON
            });
            let names: Vec<String> = meets.map(|e| said(e.name)).collect();
            names.join(", ")
        } else {
            number += 1;
            format!("{} corner {number}", said(name))
        };
        sheet.spots.push(Spot {
            letter: String::new(),
            what: what.clone(),
            name: what,
            at,
            step,
            unnamed: true,
        });
    }
}

/// Finds the points that hold an edge, and where its darts are.
fn hold(sheet: &mut Sheet<'_>, k: usize, things: &[HandThing]) {
    let (curve, name) = (sheet.edges[k].curve, sheet.edges[k].name);
    let softened: &[String] = things
        .iter()
        .find_map(|t| match &t.shape {
            HandShape::Line {
                edge: true,
                softened,
                ..
            } if t.name == name => Some(softened.as_slice()),
            _ => None,
        })
        .unwrap_or_default();
    let whole = curve.length().in_mm();
    let mut joints: Vec<Joint> = Vec::new();
    for (spot, s) in sheet.spots.iter().enumerate() {
        if !s.at.is_finite() {
            continue;
        }
        let near = curve.nearest(s.at);
        let beside = softened.contains(&s.name) && near.distance.in_mm() > ON;
        if near.distance.in_mm() > ON && !beside {
            continue;
        }
        let along = near.along.in_mm();
        // Of several at one place the first stands for all.
        if joints
            .iter()
            .any(|j| (j.along - along).abs() <= ON && !j.beside)
        {
            continue;
        }
        joints.push(Joint {
            spot,
            along,
            beside,
        });
    }
    joints.sort_by(|a, b| a.along.total_cmp(&b.along));
    // A softened corner at the very end would leave an edge without an end.
    joints.retain(|j| !j.beside || (j.along > ON && j.along < whole - ON));
    // A closed edge begins and ends at one point.
    for (along, at) in [(0.0, curve.start()), (whole, curve.end())] {
        if !joints.iter().any(|j| (j.along - along).abs() <= 2.0 * ON)
            && let Some(spot) = sheet
                .spots
                .iter()
                .position(|s| (s.at - at).size() <= 2.0 * ON)
        {
            let end = if along > 0.0 { joints.len() } else { 0 };
            joints.insert(
                end,
                Joint {
                    spot,
                    along,
                    beside: false,
                },
            );
        }
    }
    let place = |spot: usize| {
        let at = curve.nearest(sheet.spots[spot].at).along.in_mm();
        joints
            .iter()
            .position(|j| !j.beside && (j.along - at).abs() <= 2.0 * ON)
    };
    let mouths = sheet
        .darts
        .iter()
        .filter(|d| d.edge == name)
        .filter_map(|d| Some((place(d.legs.0)?, place(d.legs.1)?)))
        .map(|(a, b)| (a.min(b), a.max(b)))
        .collect();
    sheet.edges[k].joints = joints;
    sheet.edges[k].mouths = mouths;
}

/// Whether two sheets agree in all that both have, and the second leaves nothing out.
fn alike(a: &Sheet<'_>, b: &Sheet<'_>) -> bool {
    let same = |p: f64, q: f64| (p - q).abs() <= SAME;
    a.group == b.group
        && a.spots.iter().all(|s| {
            b.spots
                .iter()
                .any(|t| t.name == s.name && (s.at - t.at).size() <= SAME)
        })
        && a.rulings.iter().all(|r| {
            b.rulings
                .iter()
                .any(|q| q.name == r.name && q.level == r.level && same(q.at, r.at))
        })
        && a.edges.iter().all(|e| {
            b.edges
                .iter()
                .any(|f| f.name == e.name && same_line(e.curve, f.curve))
        })
}

fn same_line(a: &Curve, b: &Curve) -> bool {
    let (la, lb) = (a.length().in_mm(), b.length().in_mm());
    (la - lb).abs() <= SAME
        && (0..=16).all(|i| {
            let at = Length::mm(la * f64::from(i) / 16.0);
            (a.at(at).point - b.at(at).point).size() <= 10.0 * SAME
        })
}
