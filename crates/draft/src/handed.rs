//! For which side of her a half is, cut as it is drawn with its right side up.
//!
//! Two pieces that lie right side up and are sewn edge to edge are walked in opposite ways along their
//! seam; where both are walked the same way, one of them is the mirror image or lies face to face, as a
//! facing and a lining do. So the seams tell which halves belong to one side of her. Which side it is
//! tells a half that reaches her centre, once it is known whether it is before or behind her: seen from
//! before, what lies right of the centre is her left; seen from behind, her right.

use measure::{Point, Vector};
use piece::{Piece, Role};

use crate::correction::{Side, same};
use crate::refit::{Layer, find};
use crate::worked::{EdgeName, SeamMade};

/// An edge whose chord leans from the grain by less than this share runs along it.
const ALONG: f64 = 0.7;

/// An edge of a layer.
pub(crate) type At = (usize, usize);

/// One edge of a side of a seam, and whether the side is walked against the ring of its piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Leg {
    at: At,
    backward: bool,
}

/// How a layer is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Half of a piece, on the fold along this edge.
    Fold(usize),
    /// Twice, mirrored.
    Pair,
    /// As it is, or in a way in which left and right are not told.
    Single,
}

/// How a piece is cut.
pub(crate) fn kind(piece: &Piece) -> Kind {
    let folds: Vec<usize> = (0..piece.edges.len())
        .filter(|i| piece.edges[*i].role == Role::Fold)
        .collect();
    let all = |what: fn(&piece::Cut) -> bool| !piece.cuts.is_empty() && piece.cuts.iter().all(what);
    match folds[..] {
        [fold] if all(|c| c.on_fold && !c.pair) => Kind::Fold(fold),
        [] if all(|c| c.pair && !c.on_fold) => Kind::Pair,
        _ => Kind::Single,
    }
}

/// The other side of her.
pub(crate) const fn other(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
        Side::Both => Side::Both,
    }
}

/// The layers with their seams, as they hang together.
#[derive(Debug)]
pub(crate) struct Hands<'a> {
    layers: &'a [Layer],
    seams: &'a [SeamMade],
    kinds: Vec<Kind>,
    /// For each layer the side for which it is drawn, where that can be told.
    of: Vec<Option<Side>>,
}

impl<'a> Hands<'a> {
    /// Looks at all of them.
    pub(crate) fn of(layers: &'a [Layer], seams: &'a [SeamMade]) -> Self {
        let mut hands = Self {
            layers,
            seams,
            kinds: layers.iter().map(|l| kind(&l.piece)).collect(),
            of: vec![None; layers.len()],
        };
        hands.settle();
        hands
    }

    /// How a layer is cut.
    pub(crate) fn kind(&self, layer: usize) -> Kind {
        self.kinds[layer]
    }

    /// For which side of her a layer is drawn.
    pub(crate) fn side(&self, layer: usize) -> Option<Side> {
        self.of[layer]
    }

    /// On which side of her the edges of whole pieces lie in a seam with halves, where that can be told.
    pub(crate) fn side_of_seam(&self, seam: &SeamMade) -> Option<Side> {
        let (a, b) = self.turned(seam)?;
        let whole = |l: &&Leg| self.kinds[l.at.0] == Kind::Single;
        let (one, two) = (
            a.iter().chain(&b).find(whole)?,
            a.iter().chain(&b).find(|l| !whole(l))?,
        );
        // Both in one side of the seam lie beside each other, else they are sewn edge to edge.
        let beside = a.contains(one) == a.contains(two);
        let drawn = self.of[two.at.0]?;
        let alike = (one.backward == two.backward) == beside;
        Some(if alike { drawn } else { other(drawn) })
    }

    /// Which halves belong to one side of her, and then which side it is.
    fn settle(&mut self) {
        // Halves that hang together: in each other's place, or mirrored.
        let mut alike: Vec<(usize, usize, bool)> = Vec::new();
        for seam in self.seams {
            let Some((a, b)) = self.turned(seam) else {
                continue;
            };
            let legs: Vec<(Leg, bool)> = a
                .iter()
                .map(|l| (*l, true))
                .chain(b.iter().map(|l| (*l, false)))
                .filter(|(l, _)| self.kinds[l.at.0] != Kind::Single)
                .collect();
            for (i, (one, first)) in legs.iter().enumerate() {
                for (two, second) in &legs[i + 1..] {
                    let beside = first == second;
                    let same_hand = (one.backward == two.backward) == beside;
                    alike.push((one.at.0, two.at.0, same_hand));
                }
            }
        }
        // A copy that is sewn to nothing lies face to face with its piece; what is fused to it does not.
        let sewn: Vec<bool> = (0..self.layers.len())
            .map(|i| alike.iter().any(|x| x.0 == i || x.1 == i))
            .collect();
        let mut last = Vec::new();
        for (i, layer) in self.layers.iter().enumerate() {
            let from = layer.copied_from.first();
            if let Some(j) = from.and_then(|f| self.named(f)) {
                let fused = layer.piece.cuts.iter().all(|c| c.cloth == "interlining");
                last.push((i, j, fused, sewn[i]));
            }
        }
        for i in 0..self.layers.len() {
            if self.of[i].is_none() && self.layers[i].copied_from.is_empty() {
                let Some(side) = self.anchored(i) else {
                    continue;
                };
                self.of[i] = Some(side);
                self.spread(&alike);
            }
        }
        // What hangs on nothing that is known.
        for only_unsewn in [true, false] {
            for (i, j, fused, sewn) in &last {
                if self.of[*i].is_none()
                    && !(only_unsewn && *sewn)
                    && let Some(side) = self.of[*j]
                {
                    let own = self.anchored(*i).filter(|_| !fused && *sewn);
                    self.of[*i] = Some(match own {
                        Some(own) => own,
                        None if *fused => side,
                        None => other(side),
                    });
                    self.spread(&alike);
                }
            }
        }
        for i in 0..self.layers.len() {
            if self.of[i].is_none() {
                self.of[i] = self.anchored(i);
                self.spread(&alike);
            }
        }
    }

    fn spread(&mut self, alike: &[(usize, usize, bool)]) {
        loop {
            let mut fresh = false;
            for (one, two, same_hand) in alike {
                let pass = |s: Side| if *same_hand { s } else { other(s) };
                match (self.of[*one], self.of[*two]) {
                    (Some(s), None) => self.of[*two] = Some(pass(s)),
                    (None, Some(s)) => self.of[*one] = Some(pass(s)),
                    _ => continue,
                }
                fresh = true;
            }
            if !fresh {
                return;
            }
        }
    }

    fn named(&self, name: &str) -> Option<usize> {
        self.layers.iter().position(|l| same(&l.piece.name, name))
    }

    /// For which side a half is drawn that reaches her centre.
    fn anchored(&self, layer: usize) -> Option<Side> {
        let piece = &self.layers[layer].piece;
        let twin = self.seams.iter().find_map(|s| {
            let [only] = s.a.as_slice() else { return None };
            let mine = s.b.is_empty() && same(&only.piece, &piece.name);
            mine.then(|| Some((s.name.as_str(), piece.edge_index(&only.edge).ok()?)))?
        });
        let (seam, edge) = match (self.kinds[layer], twin) {
            (Kind::Fold(edge), _) => ("", edge),
            (Kind::Pair, Some(twin)) => twin,
            _ => return None,
        };
        let said = [seam, &piece.edges[edge].name, &piece.name];
        let before = said.iter().find_map(|s| before_her(s)).or_else(|| {
            let label = piece.label.as_deref()?;
            before_her(&label.to_lowercase())
        })?;
        let curve = &piece.edges[edge].curve;
        let way = (curve.end() - curve.start()).unit()?;
        let grain = piece.grain.and_then(|g| (g.to - g.from).unit());
        let down = grain
            .filter(|g| g.dot(way).abs() > ALONG)
            .unwrap_or(Vector::DOWN);
        if way.dot(down).abs() < ALONG {
            return None;
        }
        // The ring is walked clockwise: going up the centre, the piece lies at the right.
        let at_right = way.dot(down) < 0.0;
        let out = if at_right == before {
            Side::Left
        } else {
            Side::Right
        };
        let inside = piece.cuts.iter().all(|c| c.cloth == "lining");
        Some(if inside { other(out) } else { out })
    }

    /// Both sides of a seam as legs, walked from the same end of it; nothing where it can't be told.
    fn turned(&self, seam: &SeamMade) -> Option<(Vec<Leg>, Vec<Leg>)> {
        if seam.a.is_empty() || seam.b.is_empty() {
            return None;
        }
        let (a, b) = (self.legs(&seam.a)?, self.legs(&seam.b)?);
        let ends = |legs: &[Leg]| -> Option<[Corner; 2]> {
            let (first, last) = (legs.first()?, legs.last()?);
            Some([
                self.corner(first.at, !first.backward),
                self.corner(last.at, last.backward),
            ])
        };
        let (one, two) = (ends(&a)?, ends(&b)?);
        let likeness = |x: &[Corner; 2], y: [&Corner; 2]| {
            self.alike(&x[0], y[0], seam) + self.alike(&x[1], y[1], seam)
        };
        let plain = likeness(&one, [&two[0], &two[1]]);
        let back = likeness(&one, [&two[1], &two[0]]);
        if plain == back {
            return None;
        }
        let b = if plain > back {
            b
        } else {
            b.iter()
                .rev()
                .map(|l| Leg {
                    backward: !l.backward,
                    ..*l
                })
                .collect()
        };
        Some((a, b))
    }

    fn find(&self, name: &EdgeName) -> Option<At> {
        find(self.layers, name)
    }

    /// The edges of a side, each walked so that the next follows it.
    fn legs(&self, names: &[EdgeName]) -> Option<Vec<Leg>> {
        let mut legs: Vec<Leg> = names
            .iter()
            .map(|n| {
                Some(Leg {
                    at: self.find(n)?,
                    backward: false,
                })
            })
            .collect::<Option<_>>()?;
        for i in 1..legs.len() {
            let (one, two) = (legs[i - 1].at, legs[i].at);
            // Of each the end at which the other goes on.
            let goes_on = [false, true].into_iter().find_map(|one_start| {
                let two_start = [true, false]
                    .into_iter()
                    .find(|s| self.joins((one, one_start), (two, *s)))?;
                Some((one_start, two_start))
            });
            let (one_start, two_start) = goes_on?;
            if i == 1 {
                legs[0].backward = one_start;
            } else if legs[i - 1].backward != one_start {
                return None;
            }
            legs[i].backward = !two_start;
        }
        Some(legs)
    }

    /// The edge that meets one at its start or its end.
    fn beside(&self, at: At, at_start: bool) -> At {
        let n = self.layers[at.0].piece.edges.len();
        (at.0, (at.1 + if at_start { n - 1 } else { 1 }) % n)
    }

    /// Whether one edge goes on in another at these ends: round the corner of one piece, or over a seam.
    fn joins(&self, one: (At, bool), two: (At, bool)) -> bool {
        let (x, y) = (self.beside(one.0, one.1), self.beside(two.0, two.1));
        (x == two.0 && y == one.0) || self.partners(x).contains(&y)
    }

    /// What an edge is sewn to.
    fn partners(&self, at: At) -> Vec<At> {
        let mut out = Vec::new();
        for seam in self.seams {
            let has = |names: &[EdgeName]| names.iter().any(|n| self.find(n) == Some(at));
            for (mine, theirs) in [(&seam.a, &seam.b), (&seam.b, &seam.a)] {
                if has(mine) {
                    out.extend(theirs.iter().filter_map(|n| self.find(n)));
                }
            }
        }
        out
    }

    fn corner(&self, at: At, at_start: bool) -> Corner {
        let curve = &self.layers[at.0].piece.edges[at.1].curve;
        let (here, there) = if at_start {
            (curve.start(), curve.end())
        } else {
            (curve.end(), curve.start())
        };
        let way = here - there;
        Corner {
            beside: self.beside(at, at_start),
            edge: at,
            point: here,
            above: (way.y.abs() > way.x.abs()).then_some(way.y < 0.0),
        }
    }

    /// How well two corners belong together as one end of a seam.
    fn alike(&self, one: &Corner, two: &Corner, seam: &SeamMade) -> u32 {
        let edge = |at: At| &self.layers[at.0].piece.edges[at.1];
        let (x, y) = (edge(one.beside), edge(two.beside));
        let mut out = 0;
        if same(&x.name, &y.name) {
            out += 8;
        } else if last_word(&x.name) == last_word(&y.name) {
            out += 4;
        }
        if x.role == y.role && x.role != Role::Seam {
            out += 4;
        }
        // Beyond the end the seam goes on in another: both corners know the same one.
        if self
            .onward(one, seam)
            .iter()
            .any(|k| self.onward(two, seam).contains(k))
        {
            out += 8;
        }
        let marked = |c: &Corner| -> Vec<&str> {
            let piece = &self.layers[c.edge.0].piece;
            let here = piece
                .marks
                .iter()
                .filter(|m| (m.point - c.point).size() < 1.0);
            here.map(|m| m.name.as_str()).collect()
        };
        let (mine, theirs) = (marked(one), marked(two));
        if mine.iter().any(|m| theirs.contains(m)) {
            out += 4;
        }
        if one.above.is_some() && one.above == two.above {
            out += 1;
        }
        out
    }

    /// The seams that begin where this one ends: those of what is sewn to the neighbour, next to it; over
    /// the fold and over a seam with its own twin it is the same edge once more, in another seam.
    fn onward(&self, corner: &Corner, seam: &SeamMade) -> Vec<usize> {
        let seams_of = |at: At| -> Vec<usize> {
            (0..self.seams.len())
                .filter(|i| self.seams[*i] != *seam)
                .filter(|i| {
                    let s = &self.seams[*i];
                    s.a.iter().chain(&s.b).any(|n| self.find(n) == Some(at))
                })
                .collect()
        };
        let mut edges = Vec::new();
        let piece = &self.layers[corner.beside.0].piece;
        let twin = self
            .seams
            .iter()
            .any(|s| s.b.is_empty() && s.a.iter().any(|n| self.find(n) == Some(corner.beside)));
        if piece.edges[corner.beside.1].role == Role::Fold || twin {
            edges.push(corner.edge);
        } else {
            // On one piece the neighbour itself may be sewn on.
            edges.push(corner.beside);
            for partner in self.partners(corner.beside) {
                edges.extend([self.beside(partner, true), self.beside(partner, false)]);
            }
        }
        edges.into_iter().flat_map(seams_of).collect()
    }
}

/// One end of a side of a seam.
#[derive(Debug)]
struct Corner {
    edge: At,
    beside: At,
    point: Point,
    /// Whether it is the upper end of an edge that runs up and down.
    above: Option<bool>,
}

/// Whether a name says before her or behind her; nothing where it says neither, or both.
fn before_her(name: &str) -> Option<bool> {
    let has = |word: &str| name.split_whitespace().any(|w| w == word);
    match (has("front"), has("back")) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    }
}

fn last_word(name: &str) -> &str {
    name.split(' ').next_back().unwrap_or(name)
}
