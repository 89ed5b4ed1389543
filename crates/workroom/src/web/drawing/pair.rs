//! Before and after on one another: before in pencil dashes, after in ink, what is gained washed, what
//! is lost hatched, and a round glass over the place that moved most.

use draft::Worked;
use maud::{Markup, html};
use measure::fraction::{Shown, show_number};
use measure::{Length, Point};

use super::letters::{across, distance, glyphs, wide, within};
use super::number;
use super::place::{Paper, Placed, reach};
use piece::Role;

/// A drawing is at most so wide and so high, in units.
const WIDE: f64 = 760.0;
const HIGH: f64 = 560.0;
/// White round it.
const AROUND: f64 = 14.0;
/// The round of the glass, in units.
const GLASS: f64 = 58.0;
/// The glass enlarges so many times at most.
const MOST: f64 = 9.0;
/// The size of its number.
const FIGURE: f64 = 32.0;
/// A chord this near the line is the line, in mm, under the glass too.
const CHORD: f64 = 0.15;
/// A move smaller than this is none, in mm.
const SEEN: f64 = 0.4;

/// The place that moved most.
#[derive(Clone, Debug)]
pub(crate) struct Moved {
    pub(crate) piece: String,
    pub(crate) edge: String,
    /// On the paper, in mm: where the line was, and where it is.
    from: Point,
    to: Point,
    /// How far.
    pub(crate) far: Length,
}

/// Both drafts on one sheet of paper.
#[derive(Debug)]
pub(crate) struct Pair<'a> {
    before: Paper<'a>,
    after: Paper<'a>,
    /// Pieces of the outside that are in one of the two only.
    pub(crate) only_before: Vec<&'a str>,
    pub(crate) only_after: Vec<&'a str>,
    pub(crate) moved: Option<Moved>,
}

impl<'a> Pair<'a> {
    /// Lays both as the wider of the two lies.
    pub(crate) fn new(before: &'a Worked, after: &'a Worked) -> Self {
        let (own, other) = (Paper::main(before), Paper::main(after));
        let (old, new) = if other.size.0 > own.size.0 {
            (other.like(before), other)
        } else {
            let like = own.like(after);
            (own, like)
        };
        let name = |w: &'a Worked, not: &Worked| -> Vec<&'a str> {
            w.pieces
                .iter()
                .filter(|p| not.pieces.iter().all(|q| q.name != p.name))
                .map(|p| p.name.as_str())
                .collect()
        };
        let moved = moved_most(&old, &new);
        Self {
            only_before: name(before, after),
            only_after: name(after, before),
            before: old,
            after: new,
            moved,
        }
    }

    /// From where to where both reach, in mm.
    fn reach(&self) -> (f64, f64, f64, f64) {
        let all: Vec<Point> = self
            .before
            .pieces
            .iter()
            .chain(&self.after.pieces)
            .flat_map(|p| p.ring.iter().copied())
            .collect();
        if all.is_empty() {
            (0.0, 0.0, 1.0, 1.0)
        } else {
            reach(&all)
        }
    }

    /// The drawing of both on one another.
    pub(crate) fn over(&self, shown: Shown, title: &str) -> Markup {
        let frame = Frame::of(self.reach());
        let rings: Vec<Vec<Point>> = self
            .before
            .pieces
            .iter()
            .chain(&self.after.pieces)
            .map(|p| p.ring.iter().map(|q| frame.put(*q)).collect())
            .collect();
        let glass = self.moved.as_ref().and_then(|m| glass(&frame, m, &rings));
        let size = glass.as_ref().map_or(frame.size, |g| {
            let label = g.at.x + GLASS + 96.0;
            (frame.size.0.max(label), frame.size.1)
        });
        html! {
            svg.pair viewBox={ "0 0 " (number(size.0.round())) " " (number(size.1.round())) } role="img" aria-labelledby="pair-title" {
                title #pair-title { (title) }
                defs {
                    pattern #hatch width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                        path.loss d="M0 0V7" {}
                    }
                }
                @for (i, old) in self.before.pieces.iter().enumerate() {
                    @match self.after.named(&old.piece.name) {
                        Some(new) => (both(old, new, &frame, &i.to_string())),
                        None => path.before d=(lines(old, &frame).round) {},
                    }
                }
                @for new in self.after.pieces.iter().filter(|p| self.before.named(&p.piece.name).is_none()) {
                    @let own = lines(new, &frame);
                    path.cloth d=(own.round) {}
                    path.gain d=(own.round) {}
                    path.stitch d=(own.sewn) {}
                    @if !own.fold.is_empty() { path.fold d=(own.fold) {} }
                }
                @for new in &self.after.pieces { (name(new, &frame)) }
                @for old in self.before.pieces.iter().filter(|p| self.after.named(&p.piece.name).is_none()) { (name(old, &frame)) }
                @if let (Some(g), Some(moved)) = (&glass, &self.moved) { (glass_drawn(g, self, moved, &frame, shown, &rings)) }
            }
        }
    }

    /// One of the two by itself, both at one scale.
    pub(crate) fn alone(&self, after: bool, title: &str, id: &str) -> Markup {
        let frame = Frame::of(self.reach());
        let paper = if after { &self.after } else { &self.before };
        let title_id = format!("{id}-title");
        html! {
            svg.pair viewBox={ "0 0 " (number(frame.size.0.round())) " " (number(frame.size.1.round())) } role="img" aria-labelledby=(title_id) {
                title id=(title_id) { (title) }
                @for placed in &paper.pieces {
                    @let own = lines(placed, &frame);
                    path.cloth d=(own.round) {}
                    path.stitch d=(own.sewn) {}
                    @if !own.fold.is_empty() { path.fold d=(own.fold) {} }
                    (name(placed, &frame))
                }
            }
        }
    }
}

/// The part of the paper that is seen, and its scale.
#[derive(Clone, Copy, Debug)]
struct Frame {
    x0: f64,
    y0: f64,
    k: f64,
    size: (f64, f64),
}

impl Frame {
    fn of((x0, y0, x1, y1): (f64, f64, f64, f64)) -> Self {
        let (w, h) = ((x1 - x0).max(1.0), (y1 - y0).max(1.0));
        let k = (WIDE / w).min(HIGH / h);
        Self {
            x0,
            y0,
            k,
            size: (w * k + 2.0 * AROUND, h * k + 2.0 * AROUND),
        }
    }

    fn put(&self, p: Point) -> Point {
        Point::new(
            AROUND + (p.x - self.x0) * self.k,
            AROUND + (p.y - self.y0) * self.k,
        )
    }
}

/// Where the lines of the two are farthest apart, measured square to the older line.
fn moved_most(before: &Paper<'_>, after: &Paper<'_>) -> Option<Moved> {
    let mut best: Option<Moved> = None;
    for old in &before.pieces {
        let Some(new) = after.named(&old.piece.name) else {
            continue;
        };
        for edge in &old.piece.edges {
            let Ok(other) = new.piece.edge(&edge.name) else {
                continue;
            };
            let whole = other.curve.length();
            for i in 0..=24 {
                let to = other.curve.at(whole * (f64::from(i) / 24.0)).point;
                let near = edge.curve.nearest(to);
                if near.distance.in_mm() > best.as_ref().map_or(SEEN, |b| b.far.in_mm()) {
                    best = Some(Moved {
                        piece: old.piece.name.clone(),
                        edge: edge.name.clone(),
                        from: old.on_paper(edge.curve.at(near.along).point),
                        to: new.on_paper(to),
                        far: near.distance,
                    });
                }
            }
        }
    }
    best
}

/// The outline of a piece, and of its edges those on the fold and the others, with the darts.
struct Lines {
    round: String,
    sewn: String,
    fold: String,
}

fn lines(placed: &Placed<'_>, frame: &Frame) -> Lines {
    let mut out = Lines {
        round: String::new(),
        sewn: String::new(),
        fold: String::new(),
    };
    let mut drawing = false;
    for (i, edge) in placed.piece.edges.iter().enumerate() {
        let fold = edge.role == Role::Fold;
        let points = edge.curve.flatten(Length::mm(CHORD));
        for (j, p) in points.iter().enumerate() {
            let q = frame.put(placed.on_paper(*p));
            let to = format!("{} {}", fine(q.x), fine(q.y));
            if j > 0 || i == 0 {
                out.round.push(if i == 0 && j == 0 { 'M' } else { 'L' });
                out.round.push_str(&to);
            }
            if fold {
                out.fold.push(if j == 0 { 'M' } else { 'L' });
                out.fold.push_str(&to);
            } else if j > 0 || !drawing {
                out.sewn.push(if j == 0 { 'M' } else { 'L' });
                out.sewn.push_str(&to);
            }
        }
        drawing = !fold;
    }
    // A dart that comes, goes or grows is a change too.
    for dart in &placed.piece.darts {
        let Ok(edge) = placed.piece.edge(&dart.edge) else {
            continue;
        };
        let mouth = |at| edge.curve.at(at).point;
        for (j, p) in [mouth(dart.mouth.0), dart.tip, mouth(dart.mouth.1)]
            .iter()
            .enumerate()
        {
            let q = frame.put(placed.on_paper(*p));
            out.sewn.push(if j == 0 { 'M' } else { 'L' });
            out.sewn.push_str(&format!("{} {}", fine(q.x), fine(q.y)));
        }
    }
    out.round.push('Z');
    out
}

/// A hundredth of a unit: the glass enlarges.
fn fine(v: f64) -> String {
    number((v * 100.0).round() / 100.0)
}

/// A piece before and after. What is gained lies outside the old line and inside the new one.
fn both(old: &Placed<'_>, new: &Placed<'_>, frame: &Frame, id: &str) -> Markup {
    let (was, is) = (lines(old, frame), lines(new, frame));
    let sheet = "M-9999 -9999H9999V9999H-9999Z";
    let (out_old, out_new) = (format!("out-old-{id}"), format!("out-new-{id}"));
    html! {
        clipPath id=(out_old) { path d={ (sheet) (was.round) } clip-rule="evenodd" {} }
        clipPath id=(out_new) { path d={ (sheet) (is.round) } clip-rule="evenodd" {} }
        path.cloth d=(is.round) {}
        path.cloth d=(was.round) {}
        path.gain d=(is.round) clip-path={ "url(#" (out_old) ")" } {}
        path.lossarea d=(was.round) fill="url(#hatch)" clip-path={ "url(#" (out_new) ")" } {}
        path.before d=(was.sewn) {}
        path.stitch d=(is.sewn) {}
        @if !is.fold.is_empty() { path.fold d=(is.fold) {} }
    }
}

/// The name of a piece, in it where it is widest.
fn name(placed: &Placed<'_>, frame: &Frame) -> Markup {
    let ring: Vec<Point> = placed.ring.iter().map(|p| frame.put(*p)).collect();
    let said = check::told::capital(&super::sofar::called(&placed.piece.name));
    let (_, y0, _, y1) = reach(&ring);
    for (size, class) in [(26.0, "name"), (19.0, "name small")] {
        let room = wide(&said, size);
        for down in [0.72, 0.62, 0.52, 0.8, 0.42, 0.32] {
            let y = y0 + (y1 - y0) * down;
            let mut parts = across(&ring, y);
            parts.sort_by(|a, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)));
            if let Some((a, b)) = parts.first()
                && b - a > room + 8.0
            {
                return html! {
                    text class=(class) x=(fine(f64::midpoint(*a, *b))) y=(fine(y)) { (glyphs(&said)) }
                };
            }
        }
    }
    Markup::default()
}

/// Where the glass lies, and what it enlarges.
struct Glass {
    at: Point,
    over: Point,
    times: f64,
    far: Length,
}

/// A free place for the glass near what it enlarges; beside the drawing where there is none. Nothing
/// when the move is large enough to be seen without.
fn glass(frame: &Frame, moved: &Moved, rings: &[Vec<Point>]) -> Option<Glass> {
    let (a, b) = (frame.put(moved.from), frame.put(moved.to));
    let over = a.toward(b, 0.5);
    let apart = (a.x - b.x).hypot(a.y - b.y).max(0.05);
    let times = (GLASS * 0.55 / apart).min(MOST);
    if times < 1.6 {
        return None;
    }
    let clear = |p: Point| {
        p.x > GLASS + 2.0
            && p.y > GLASS + 2.0
            && p.y < frame.size.1 - GLASS - 2.0
            && p.x < frame.size.0 - GLASS - 2.0
            && rings
                .iter()
                .all(|r| !within(p, r) && distance(p, r) > GLASS + 3.0)
    };
    let turns = [
        0.0_f64, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0, 4.0, -4.0, 5.0, -5.0, 6.0,
    ];
    let found = [80.0, 105.0, 135.0, 170.0, 210.0]
        .into_iter()
        .find_map(|far: f64| {
            turns.iter().find_map(|t| {
                let angle = (t * 30.0).to_radians();
                let p = Point::new(
                    over.x + far * measure::angle::cos(angle),
                    over.y + far * measure::angle::sin(angle),
                );
                clear(p).then_some(p)
            })
        });
    let beside = Point::new(
        frame.size.0 + GLASS + 4.0,
        over.y
            .clamp(GLASS + 4.0, (frame.size.1 - GLASS - 4.0).max(GLASS + 4.0)),
    );
    Some(Glass {
        at: found.unwrap_or(beside),
        over,
        times,
        far: moved.far,
    })
}

fn glass_drawn(
    g: &Glass,
    pair: &Pair<'_>,
    moved: &Moved,
    frame: &Frame,
    shown: Shown,
    rings: &[Vec<Point>],
) -> Markup {
    let way = measure::Vector::new(g.over.x - g.at.x, g.over.y - g.at.y)
        .unit()
        .unwrap_or(measure::Vector::new(1.0, 0.0));
    let rim = Point::new(g.at.x + way.x * GLASS, g.at.y + way.y * GLASS);
    let (x, y) = (fine(g.at.x), fine(g.at.y));
    // The same lines at the glass's own scale: what is scaled as a picture gets thick lines.
    let enlarged = Frame {
        k: frame.k * g.times,
        x0: frame.x0 + (g.over.x - AROUND) / frame.k - (g.at.x - AROUND) / (frame.k * g.times),
        y0: frame.y0 + (g.over.y - AROUND) / frame.k - (g.at.y - AROUND) / (frame.k * g.times),
        size: frame.size,
    };
    // What rounds to nothing is told more finely.
    let plain = show_number(g.far, shown);
    let said = if plain == "0" {
        show_number(g.far, shown.finely())
    } else {
        plain
    };
    let said = glyphs(&said);
    let label = beside(g, wide(&said, FIGURE), frame, rings);
    html! {
        line.pencil x1=(fine(g.over.x)) y1=(fine(g.over.y)) x2=(fine(rim.x)) y2=(fine(rim.y)) {}
        clipPath #glass { circle cx=(x) cy=(y) r=(number(GLASS)) {} }
        g clip-path="url(#glass)" {
            circle.glassfill cx=(x) cy=(y) r=(number(GLASS)) {}
            @if let (Some(old), Some(new)) = (pair.before.named(&moved.piece), pair.after.named(&moved.piece)) {
                (both(old, new, &enlarged, "glass"))
            }
        }
        circle.glass cx=(x) cy=(y) r=(number(GLASS)) {}
        text.letter.huge x=(fine(label.x)) y=(fine(label.y + FIGURE * 0.34)) { (said) }
    }
}

/// Where the number of the glass stands: right, left, above or below, clear of the pieces.
fn beside(g: &Glass, width: f64, frame: &Frame, rings: &[Vec<Point>]) -> Point {
    let half = width / 2.0;
    let (out, over) = (GLASS + 8.0 + half, GLASS + FIGURE * 0.6);
    let all = [(out, 0.0), (-out, 0.0), (0.0, -over), (0.0, over)]
        .map(|(x, y)| Point::new(g.at.x + x, g.at.y + y));
    let clear = |p: &&Point| {
        let fits = p.x - half > 2.0 && p.y > FIGURE * 0.6 && p.y < frame.size.1 - FIGURE * 0.6;
        let ends = [-1.0, -0.5, 0.0, 0.5, 1.0].map(|part| Point::new(p.x + part * half, p.y));
        fits && ends.iter().all(|e| {
            rings
                .iter()
                .all(|r| distance(*e, r) > FIGURE * 0.5 && !within(*e, r))
        })
    };
    all.iter().find(clear).copied().unwrap_or(all[0])
}
