//! The parts into which a ring falls, what lies on each, and how they become one ring again.

use measure::{Curve, Length, Motion, Point};

use super::stretch::Stretch;
use super::{ON, SAME, Spot, straight, unique};
use crate::edge::{Edge, Role};
use crate::fault::Fault;
use crate::ring::{Balance, Dart, Grain, Mark, Piece};

/// The stretches of the ring from one place clockwise to another. From a place to itself it is the
/// whole ring.
pub(super) fn chain(piece: &Piece, from: Spot, to: Spot) -> Vec<Stretch> {
    let n = piece.edges.len();
    let mut out = Vec::new();
    let mut whole = Stretch::whole(piece, from.edge);
    if n == 1 {
        // An edge that goes all round runs on over the place where it is said to begin.
        (whole.begins, whole.ends) = (false, false);
    }
    if from.edge == to.edge && to.along > from.along + SAME {
        if let Some(mut s) = whole.between(from.along, to.along) {
            (s.begins, s.ends) = (false, false);
            out.push(s);
        }
        return out;
    }
    if let Some(mut s) = whole.between(from.along, whole.length()) {
        s.begins = false;
        out.push(s);
    }
    let mut i = (from.edge + 1) % n;
    while i != to.edge {
        out.push(Stretch::whole(piece, i));
        i = (i + 1) % n;
    }
    if let Some(mut s) = Stretch::whole(piece, to.edge).between(0.0, to.along) {
        (s.begins, s.ends) = (s.begins && n > 1, false);
        out.push(s);
    }
    out
}

/// One part of a parted piece: its chain, and the line along which it was parted, from the chain's
/// end back to its beginning.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) stretches: Vec<Stretch>,
    outline: Curve,
    chain: Curve,
    corners: Vec<Point>,
}

impl Part {
    pub(super) fn new(stretches: Vec<Stretch>, back: &[&Curve]) -> Result<Self, Fault> {
        let none = || Fault::Nothing("one part of the piece".to_owned());
        let chain = Curve::joined(stretches.iter().map(|s| &s.edge.curve)).map_err(|_| none())?;
        let mut segments = chain.segments().to_vec();
        for c in back {
            // Rounding may leave hair's breadths between; the outline is only asked for sides.
            let at = segments[segments.len() - 1].to();
            let c = c.with_ends(at, c.end()).map_err(|_| none())?;
            segments.extend(c.segments());
        }
        let outline = Curve::from_segments(segments).map_err(|_| none())?;
        let corners = outline.flatten(Length::mm(0.01));
        Ok(Self {
            stretches,
            outline,
            chain,
            corners,
        })
    }

    pub(super) fn area(&self) -> f64 {
        self.outline.area()
    }

    pub(super) fn has_fold(&self) -> bool {
        self.stretches.iter().any(|s| s.edge.role == Role::Fold)
    }

    /// How far a point is from this part: nothing inside it or on its border.
    pub(super) fn away(&self, p: Point) -> f64 {
        if inside(&self.corners, p) {
            return 0.0;
        }
        self.outline.nearest(p).distance.in_mm()
    }

    fn away_from_chain(&self, p: Point) -> f64 {
        self.chain.nearest(p).distance.in_mm()
    }

    pub(super) fn moved(&self, by: &Motion) -> Vec<Stretch> {
        self.stretches.iter().map(|s| s.moved(by)).collect()
    }
}

/// Whether a point lies inside a ring of points.
pub(super) fn inside(ring: &[Point], p: Point) -> bool {
    let mut inside = false;
    let n = ring.len();
    for i in 0..n {
        let (a, b) = (ring[i], ring[(i + 1) % n]);
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}

/// Which of two parts stays: the one with the fold, else the larger.
pub(super) fn staying(parts: &[Part; 2]) -> usize {
    match (parts[0].has_fold(), parts[1].has_fold()) {
        (true, false) => 0,
        (false, true) => 1,
        _ => usize::from(parts[1].area() > parts[0].area()),
    }
}

/// To which of two parts a point belongs; on the line between them, to the part that stays.
pub(super) fn part_of(parts: &[Part; 2], stays: usize, p: Point) -> usize {
    let (a, b) = (parts[0].away(p), parts[1].away(p));
    if (a - b).abs() > ON {
        return usize::from(b < a);
    }
    let (a, b) = (parts[0].away_from_chain(p), parts[1].away_from_chain(p));
    if a.min(b) < ON && (a - b).abs() > ON {
        return usize::from(b < a);
    }
    stays
}

/// The marks, levels and grain of a piece, each moved with its part. Levels are parted where the
/// piece is parted, and a stretch of them that lies in neither part (in a closed dart) is left out.
pub(super) fn dealt(
    piece: &Piece,
    parts: &[Part; 2],
    stays: usize,
    lines: &[&Curve],
    by: &Motion,
) -> (Vec<Mark>, Vec<Balance>, Option<Grain>) {
    let moved = |p: Point, with: Point| {
        if part_of(parts, stays, with) == stays {
            p
        } else {
            by.point(p)
        }
    };
    let marks = piece
        .marks
        .iter()
        .map(|m| Mark {
            name: m.name.clone(),
            point: moved(m.point, m.point),
        })
        .collect();
    let mut balance = Vec::new();
    for level in &piece.balance {
        for (from, to) in parted(level, lines) {
            let middle = from.toward(to, 0.5);
            if parts[0].away(middle).min(parts[1].away(middle)) > 1.0 && lines.len() > 1 {
                continue;
            }
            balance.push(Balance {
                name: level.name.clone(),
                from: moved(from, middle),
                to: moved(to, middle),
            });
        }
    }
    let grain = piece.grain.map(|g| {
        let middle = g.from.toward(g.to, 0.5);
        Grain {
            from: moved(g.from, middle),
            to: moved(g.to, middle),
        }
    });
    (marks, balance, grain)
}

/// A level cut where lines cross it; bits shorter than a millimetre are left out.
pub(super) fn parted(level: &Balance, lines: &[&Curve]) -> Vec<(Point, Point)> {
    let Ok(line) = Curve::line(level.from, level.to) else {
        return Vec::new();
    };
    let whole = line.length().in_mm();
    let mut at: Vec<f64> = lines
        .iter()
        .flat_map(|c| line.crossings(c))
        .map(|x| x.first.in_mm())
        .collect();
    at.push(0.0);
    at.push(whole);
    at.sort_by(f64::total_cmp);
    at.windows(2)
        .filter(|w| w[1] - w[0] > 1.0)
        .map(|w| {
            let place = |s: f64| level.from.toward(level.to, s / whole);
            (place(w[0]), place(w[1]))
        })
        .collect()
}

/// A straight line that bridges what has opened in an edge between two chains.
pub(super) fn bridge(
    edge: &Edge,
    at: f64,
    before: Option<&Stretch>,
    after: Option<&Stretch>,
    from: Point,
    to: Point,
) -> Result<Stretch, Fault> {
    let mut s = Stretch::more(edge, at, straight(from, to, "what opens")?);
    s.begins = !before.is_some_and(|b| b.edge.name == edge.name && !b.ends);
    s.ends = !after.is_some_and(|a| a.edge.name == edge.name && !a.begins);
    if s.begins {
        s.edge.start_corner = edge.start_corner;
    }
    if s.ends {
        s.edge.end_corner = edge.end_corner;
    }
    Ok(s)
}

/// Stretches in order become a ring again: those of one parted edge become one, ends are laid
/// together, and the ring begins with the edge with which the old one began.
pub(super) fn ring(like: &Piece, stretches: Vec<Stretch>) -> Result<(Vec<Edge>, Vec<Dart>), Fault> {
    let goes_on = |a: &Stretch, b: &Stretch| a.edge.name == b.edge.name && !a.ends && !b.begins;
    let mut out: Vec<Stretch> = Vec::new();
    for s in stretches {
        match out.pop() {
            Some(last) if goes_on(&last, &s) => out.push(last.run_on(s)?),
            Some(last) => {
                out.push(last);
                out.push(s);
            }
            None => out.push(s),
        }
    }
    if out.len() > 1 && goes_on(&out[out.len() - 1], &out[0]) {
        let first = out.remove(0);
        if let Some(last) = out.pop() {
            out.insert(0, last.run_on(first)?);
        }
    }
    if out.is_empty() {
        return Err(Fault::Nothing(format!("`{}`", like.name)));
    }
    let n = out.len();
    for i in 0..n {
        let next = out[(i + 1) % n].edge.curve.start();
        let here = &out[i].edge;
        if (here.curve.end() - next).size() > ON {
            return Err(Fault::Gap(
                here.name.clone(),
                out[(i + 1) % n].edge.name.clone(),
            ));
        }
        if here.curve.end() != next {
            out[i].edge.curve = here
                .curve
                .with_ends(here.curve.start(), next)
                .map_err(|_| Fault::Nothing(format!("the edge `{}`", here.name)))?;
        }
    }
    let first = like
        .edges
        .iter()
        .find_map(|e| out.iter().position(|s| s.edge.name == e.name))
        .unwrap_or(0);
    out.rotate_left(first);
    // An edge whose middle was cut away is two now; the later one gets a number.
    for i in 1..n {
        let (before, rest) = out.split_at_mut(i);
        let name = &mut rest[0].edge.name;
        *name = unique(name, before.iter().map(|s| s.edge.name.as_str()));
    }
    let mut edges = Vec::with_capacity(n);
    let mut darts = Vec::new();
    for s in out {
        let name = s.edge.name.clone();
        darts.extend(s.darts.into_iter().map(|d| Dart {
            edge: name.clone(),
            ..d
        }));
        edges.push(s.edge);
    }
    // In the order in which the old piece had them, so that works don't shuffle a list she knows.
    darts.sort_by_key(|d| {
        like.darts
            .iter()
            .position(|o| o.name == d.name)
            .unwrap_or(usize::MAX)
    });
    Ok((edges, darts))
}

/// That nothing lies in the way of a straight cut: it touches the outline at its ends only, and cuts
/// through no dart other than `except`.
pub(super) fn clear_way(
    piece: &Piece,
    from: Point,
    to: Point,
    except: Option<&str>,
) -> Result<(), Fault> {
    let line = straight(from, to, "the cut")?;
    let whole = line.length().in_mm();
    let near_end = |s: Length| s.in_mm() < 0.05 || s.in_mm() > whole - 0.05;
    for e in &piece.edges {
        if e.curve.crossings(&line).iter().any(|x| !near_end(x.second)) {
            return Err(Fault::Says(format!(
                "The cut would leave the piece across the edge `{}`.",
                e.name
            )));
        }
    }
    if !piece.holds(from.toward(to, 0.5)) {
        return Err(Fault::Says(
            "The cut would run outside the piece.".to_owned(),
        ));
    }
    for d in &piece.darts {
        if except == Some(d.name.as_str()) {
            continue;
        }
        let edge = piece.edge(&d.edge)?;
        for m in [d.mouth.0, d.mouth.1] {
            let Ok(leg) = Curve::line(edge.curve.at(m).point, d.tip) else {
                continue;
            };
            if leg.crossings(&line).iter().any(|x| !near_end(x.second)) {
                return Err(Fault::Says(format!(
                    "The cut would run through the dart `{}`; cut beside it, or close it first.",
                    d.name
                )));
            }
        }
    }
    Ok(())
}
