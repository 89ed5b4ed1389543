//! A piece of the pattern as it is cut from one cloth: its outline, grain and fold, and how many.

use piece::{Fault, Piece, Role, cutting::notch_places_on, cutting_line, flat};

/// A notch of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Snip {
    /// The edge it lies on.
    pub edge: String,
    /// Its place on the cutting line.
    pub at: [f64; 2],
    /// One, two or three snips.
    pub snips: u8,
    /// What it is called: the ruling, the level of the body or the point at which the method puts it.
    pub names: Vec<String>,
}

impl Snip {
    /// Whether it is meant by a name: its own, or the first word of its own.
    pub fn is_called(&self, name: &str) -> bool {
        let name = name.trim().to_lowercase();
        !name.is_empty()
            && self.names.iter().any(|own| {
                let own = own.to_lowercase();
                own.strip_prefix(&name)
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
            })
    }
}

/// A piece as it is cut from one cloth. Millimetres as on the paper: x right, y **down**.
#[derive(Clone, Debug, PartialEq)]
pub struct CutPiece {
    /// Its name.
    pub name: String,
    /// The cutting line, closed or not.
    pub outline: Vec<[f64; 2]>,
    /// The grain arrow, pointing down the garment; without one, straight down the paper.
    pub grain: Option<[[f64; 2]; 2]>,
    /// The edge that lies on the fold, if it is half a piece.
    pub fold: Option<[[f64; 2]; 2]>,
    /// Its notches.
    pub notches: Vec<Snip>,
    /// How many; a pair is two.
    pub count: u32,
    /// Whether it is cut on the fold of the cloth; the outline is then half of it.
    pub on_fold: bool,
    /// Whether it is cut as mirrored pairs.
    pub pair: bool,
    /// The point that must meet the repeat of the cloth, if one is known.
    pub matched: Option<[f64; 2]>,
    /// Where it is joined to another part of the same piece: stitching lines.
    pub joins: Vec<[[f64; 2]; 2]>,
}

impl CutPiece {
    /// The piece as it is cut from this cloth; none when it is not cut from it.
    ///
    /// # Errors
    /// When it has no cutting line.
    pub fn of(piece: &Piece, cloth: &str) -> Result<Vec<Self>, Fault> {
        let mut out = Vec::new();
        for cut in piece.cuts.iter().filter(|c| c.cloth == cloth) {
            let line = cutting_line(piece)?;
            let xy = |p: measure::Point| [p.x, p.y];
            let fold = piece.edges.iter().find(|e| e.role == Role::Fold);
            out.push(Self {
                name: piece.name.clone(),
                outline: flat::cutting(&line).points.into_iter().map(xy).collect(),
                grain: piece.grain.map(|g| [xy(g.from), xy(g.to)]),
                fold: fold.map(|e| [xy(e.curve.start()), xy(e.curve.end())]),
                notches: notch_places_on(piece, &line)
                    .iter()
                    .map(|n| Snip {
                        edge: piece
                            .edges
                            .get(n.edge)
                            .map_or(String::new(), |e| e.name.clone()),
                        at: xy(n.on_cutting),
                        snips: n.snips,
                        names: Vec::new(),
                    })
                    .collect(),
                count: cut.count,
                on_fold: cut.on_fold,
                pair: cut.pair,
                matched: None,
                joins: Vec::new(),
            });
        }
        Ok(out)
    }

    /// The unit direction down the garment, as on the paper.
    pub(crate) fn down(&self) -> [f64; 2] {
        self.grain
            .and_then(|[a, b]| unit([b[0] - a[0], b[1] - a[1]]))
            .unwrap_or([0.0, 1.0])
    }
}

/// A direction of length one; none of a point.
pub(crate) fn unit(v: [f64; 2]) -> Option<[f64; 2]> {
    let long = (v[0] * v[0] + v[1] * v[1]).sqrt();
    (long.is_finite() && long > 1e-9).then(|| [v[0] / long, v[1] / long])
}

/// Two sets of edges that are sewn together, each as piece and edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Sewn {
    /// One side.
    pub a: Vec<(String, String)>,
    /// The other.
    pub b: Vec<(String, String)>,
}

/// Sets the points that must meet the cloth's repeat, so that its pattern runs on over the seams:
/// at the notch of that name, where both sides of a seam have one; else at the first that both have.
///
/// A piece without such a notch keeps no point, and lies where it likes.
pub fn match_at_notches(pieces: &mut [CutPiece], seams: &[Sewn], called: Option<&str>) {
    // How far a point lies down the garment.
    let down = |p: &CutPiece, at: [f64; 2]| {
        let d = p.down();
        at[0] * d[0] + at[1] * d[1]
    };
    let first = |pieces: &[CutPiece],
                 side: &[(String, String)],
                 called: Option<&str>,
                 snips: Option<u8>| {
        let mut best: Option<(usize, f64, u8)> = None;
        for (i, piece) in pieces.iter().enumerate() {
            for n in &piece.notches {
                let here = side.iter().any(|(p, e)| *p == piece.name && *e == n.edge);
                let other = called.is_some_and(|name| !n.is_called(name));
                if !here || other || snips.is_some_and(|s| s != n.snips) {
                    continue;
                }
                let deep = down(piece, n.at);
                if best.is_none_or(|b| deep < b.1) {
                    best = Some((i, deep, n.snips));
                }
            }
        }
        best
    };
    let met = |s: &Sewn, called: Option<&str>| {
        let (i, a, snips) = first(pieces, &s.a, called, None)?;
        // What is called alike may be snipped otherwise on the other side.
        let alike = called.is_none().then_some(snips);
        let (j, b, _) = first(pieces, &s.b, called, alike)?;
        Some(((i, a), (j, b)))
    };
    let named = |s: &Sewn| called.and_then(|name| met(s, Some(name)));
    // Seams that meet at the notch she named come first; what they say stands.
    let mut pairs: Vec<((usize, f64), (usize, f64))> = seams.iter().filter_map(named).collect();
    pairs.extend(
        seams
            .iter()
            .filter(|s| named(s).is_none())
            .filter_map(|s| met(s, None)),
    );
    // From piece to piece over the seams: what is level with the first one's notch.
    let mut level: Vec<Option<f64>> = vec![None; pieces.len()];
    for (start, _) in &pairs {
        if level[start.0].is_some() {
            continue;
        }
        level[start.0] = Some(start.1);
        let mut more = true;
        while more {
            more = false;
            for (a, b) in &pairs {
                for (p, q) in [(a, b), (b, a)] {
                    if let (Some(known), None) = (level[p.0], level[q.0]) {
                        level[q.0] = Some(q.1 + known - p.1);
                        more = true;
                    }
                }
            }
        }
    }
    for (piece, level) in pieces.iter_mut().zip(level) {
        if let Some(level) = level {
            let d = piece.down();
            piece.matched = Some([d[0] * level, d[1] * level]);
        }
    }
}

/// A half piece opened out along its fold; none when it does not lie along it on one side.
pub(crate) fn opened_out(half: &[[f64; 2]], fold: [[f64; 2]; 2]) -> Option<Vec<[f64; 2]>> {
    let along = unit([fold[1][0] - fold[0][0], fold[1][1] - fold[0][1]])?;
    let off = |p: [f64; 2]| off(p, fold[0], along);
    let at_foot = |p: [f64; 2], times: f64| moved_square(p, fold[0], along, times);
    let mut points = half.to_vec();
    if points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    let n = points.len();
    let on: Vec<bool> = points.iter().map(|p| off(*p).abs() < ON_FOLD).collect();
    let side = points
        .iter()
        .map(|p| off(*p))
        .fold(0.0_f64, |a, b| if b.abs() > a.abs() { b } else { a });
    if points.iter().any(|p| off(*p) * side.signum() < -ON_FOLD) || side.abs() < ON_FOLD {
        return None;
    }
    // The first point after the stretch on the fold, and how many are off it.
    let starts: Vec<usize> = (0..n).filter(|&i| on[i] && !on[(i + 1) % n]).collect();
    let [last_on] = starts[..] else { return None };
    let away = (1..=n).take_while(|k| !on[(last_on + k) % n]).count();
    let mut chain: Vec<[f64; 2]> = vec![at_foot(points[last_on], 1.0)];
    chain.extend((1..=away).map(|k| points[(last_on + k) % n]));
    chain.push(at_foot(points[(last_on + away + 1) % n], 1.0));
    let back: Vec<[f64; 2]> = chain[1..chain.len() - 1]
        .iter()
        .rev()
        .map(|p| at_foot(*p, 2.0))
        .collect();
    chain.extend(back);
    Some(chain)
}

/// How far a point lies from the line through another, along a direction.
fn off(p: [f64; 2], from: [f64; 2], along: [f64; 2]) -> f64 {
    along[0] * (p[1] - from[1]) - along[1] * (p[0] - from[0])
}

/// A point moved square to a line, by so many times what it lies from it: by once it lies on the line, by
/// twice it is mirrored there.
fn moved_square(p: [f64; 2], from: [f64; 2], along: [f64; 2], times: f64) -> [f64; 2] {
    let far = off(p, from, along) * times;
    [p[0] + along[1] * far, p[1] - along[0] * far]
}

/// A point mirrored at a line through two others.
pub(crate) fn mirrored(p: [f64; 2], line: [[f64; 2]; 2]) -> [f64; 2] {
    unit([line[1][0] - line[0][0], line[1][1] - line[0][1]])
        .map_or(p, |along| moved_square(p, line[0], along, 2.0))
}

/// So near the fold line, in millimetres, a point lies on it.
const ON_FOLD: f64 = 0.06;

#[cfg(test)]
mod tests {
    use super::*;

    fn square(name: &str, notch: [f64; 2]) -> CutPiece {
        CutPiece {
            name: name.into(),
            outline: vec![[0.0, 0.0], [10.0, 0.0], [10.0, 20.0], [0.0, 20.0]],
            grain: Some([[5.0, 2.0], [5.0, 18.0]]),
            fold: None,
            notches: vec![Snip {
                edge: "side".into(),
                at: notch,
                snips: 1,
                names: vec!["hip line".into(), "hip".into()],
            }],
            count: 1,
            on_fold: false,
            pair: false,
            matched: None,
            joins: Vec::new(),
        }
    }

    /// Would catch halves that are opened to the wrong side, or keep the fold as a seam.
    #[test]
    fn a_half_is_opened_out_to_twice_its_area() {
        let half = [
            [0.0, 0.0],
            [4.0, 0.0],
            [6.0, 10.0],
            [0.0, 10.0],
            [0.0, 5.0],
            [0.0, 0.0],
        ];
        let whole = opened_out(&half, [[0.0, 1.0], [0.0, 9.0]]).unwrap();
        assert_eq!(
            whole,
            [
                [0.0, 0.0],
                [4.0, 0.0],
                [6.0, 10.0],
                [0.0, 10.0],
                [-6.0, 10.0],
                [-4.0, 0.0]
            ]
        );
        assert_eq!(opened_out(&half, [[2.0, 0.0], [2.0, 9.0]]), None);
        assert_eq!(opened_out(&half, [[0.0, 1.0], [0.0, 1.0]]), None);
    }

    /// Would catch match points that do not bring the notches of a seam to one level.
    #[test]
    fn notches_of_a_seam_come_to_one_level() {
        let mut all = [
            square("front", [10.0, 6.0]),
            square("back", [0.0, 9.0]),
            square("cuff", [0.0, 1.0]),
        ];
        let edge = |p: &str| vec![(p.to_owned(), "side".to_owned())];
        match_at_notches(
            &mut all,
            &[Sewn {
                a: edge("front"),
                b: edge("back"),
            }],
            None,
        );
        let y = |i: usize| all[i].matched.map(|m| m[1]);
        assert_eq!((y(0), y(1), y(2)), (Some(6.0), Some(9.0), None));
    }

    /// Would catch a named notch that is passed over for a higher one, a name that is only a part of a word,
    /// and a seam without such a notch that is not matched at all.
    #[test]
    fn a_seam_meets_at_the_notch_she_names() {
        let lower = |name: &str, at: [f64; 2], called: &str, snips: u8| {
            let mut piece = square(name, [at[0], 2.0]);
            piece.notches[0].names = vec!["top".into()];
            piece.notches.push(Snip {
                edge: "side".into(),
                at,
                snips,
                names: vec![called.into()],
            });
            piece
        };
        let seam = |a: &str, b: &str| Sewn {
            a: vec![(a.to_owned(), "side".to_owned())],
            b: vec![(b.to_owned(), "side".to_owned())],
        };
        let mut all = [
            lower("front", [10.0, 8.0], "hip line", 1),
            lower("back", [0.0, 11.0], "Hip side", 2),
            lower("gore", [0.0, 15.0], "hips", 1),
        ];
        let seams = [seam("back", "gore"), seam("front", "back")];
        match_at_notches(&mut all, &seams, Some("hip"));
        let y = |i: usize| all[i].matched.map(|m| m[1]);
        // The gore has none of that name: it meets the back at their first notch, level with 11 - 2.
        assert_eq!((y(0), y(1), y(2)), (Some(8.0), Some(11.0), Some(11.0)));
        match_at_notches(&mut all, &seams, None);
        let y = |i: usize| all[i].matched.map(|m| m[1]);
        assert_eq!((y(0), y(1), y(2)), (Some(2.0), Some(2.0), Some(2.0)));
    }
}
