//! A step that is done on the pieces: those that there are so far, and what it touches in chalk.

use draft::Worked;
use draft::sided::bare;
use draft::worked::{EdgeName, Shape, Step};
use maud::{Markup, html};
use measure::fraction::{Fineness, Shown, show_number};
use measure::{Curve, Length, Point};
use piece::{Piece, Role, notch_places};

use super::clear::{Clear, Spot, wide};
use super::spelled::listed;
use super::{FIGURE, How, called, number, part_of, path, text};
use crate::web::drawing::letters::glyphs;
use crate::web::drawing::letters::{across, distance, within};
use crate::web::drawing::place::{Paper, Placed};

/// A drawing is at most so wide and so high, in units.
const WIDE: f64 = 460.0;
const HIGH: f64 = 430.0;
/// The size of a piece's name.
const NAME: f64 = 25.0;
/// A chord this near the line is the line, in mm.
const CHORD: f64 = 0.6;

/// Which kind of work on pieces a step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Truing,
    Pieces,
    Finish,
}

/// What a step touches: whole pieces, or edges of them.
#[derive(Debug, Default)]
struct Touched {
    pieces: Vec<usize>,
    edges: Vec<EdgeName>,
}

/// The drawing; nothing when there are no pieces.
pub(super) fn drawing(worked: &Worked, step: &Step, how: &How<'_>) -> Option<Markup> {
    let kind = kind(&step.stage);
    let touched = touched(worked, step, kind);
    let main = Paper::main(worked);
    let on_main = |i: &usize| main.pieces.iter().any(|p| p.index == *i);
    let paper = match touched.pieces.first() {
        Some(first) if !on_main(first) => Paper::others(worked),
        _ => main,
    };
    if paper.pieces.is_empty() {
        return None;
    }
    let made = made(worked);
    let there = |i: usize| kind != Kind::Pieces || made[i] <= how.step;
    let (w, h) = (paper.size.0.max(1.0), paper.size.1.max(1.0));
    let k = (WIDE / w).min(HIGH / h);
    let placed: Vec<&Placed<'_>> = paper.pieces.iter().filter(|p| there(p.index)).collect();
    let mut clear = Clear::of((w * k, h * k));
    let rings: Vec<Vec<Point>> = paper
        .pieces
        .iter()
        .map(|p| p.ring.iter().map(|q| on(*q, k)).collect())
        .collect();
    for ring in &rings {
        let mut round = ring.clone();
        round.extend(ring.first());
        clear.line(&round, true);
    }
    for placed in &paper.pieces {
        for dart in darts(placed, k) {
            clear.line(&dart, true);
        }
        if kind == Kind::Finish
            && let Some(line) = &placed.cutting
        {
            clear.line(&chain(placed, &line.curve, k), true);
        }
    }
    let mut words = Vec::new();
    if kind == Kind::Truing {
        for name in &touched.edges {
            words.extend(length_of(&paper, name, k, (how, step), &mut clear));
        }
    }
    for (p, ring) in paper.pieces.iter().zip(&rings) {
        if there(p.index) {
            let now = touched.pieces.contains(&p.index);
            words.extend(name_of(p, ring, now, &mut clear));
        }
    }
    let title_id = format!("{}-title", how.id);
    Some(html! {
        svg.sofar.pieces viewBox={ "0 0 " (number((w * k).round())) " " (number((h * k).round())) } role="img" aria-labelledby=(title_id) {
            title id=(title_id) { (title(worked, &touched, how)) }
            @for p in &placed { (outline(p, kind, touched.pieces.contains(&p.index), k)) }
            @for name in &touched.edges { (lit(&paper, name, kind, k)) }
            @for word in &words { (word) }
        }
    })
}

fn kind(stage: &str) -> Kind {
    if stage.starts_with("truing") {
        Kind::Truing
    } else if stage.starts_with("finish") {
        Kind::Finish
    } else {
        Kind::Pieces
    }
}

fn on(p: Point, k: f64) -> Point {
    Point::new(p.x * k, p.y * k)
}

/// The words before the colon of a step's short form, in small letters: what it is about.
fn about(step: &Step) -> String {
    let head = step.short.split(':').next().unwrap_or_default();
    head.to_lowercase()
}

fn touched(worked: &Worked, step: &Step, kind: Kind) -> Touched {
    let about = about(step);
    let mut out = Touched::default();
    match kind {
        Kind::Truing => {
            let seam = worked
                .truings
                .iter()
                .find(|t| t.sentence == step.sentence)
                .map_or(about.as_str(), |t| t.seam.as_str());
            let seams = worked
                .seams
                .iter()
                .filter(|s| bare(&s.name).0.eq_ignore_ascii_case(seam));
            let between = between(&step.sentence);
            for seam in seams {
                for edge in seam.a.iter().chain(&seam.b) {
                    let between = edge
                        .between
                        .or_else(|| on_sheet(worked, edge, between.as_ref()?));
                    out.edges.push(EdgeName {
                        between,
                        ..edge.clone()
                    });
                }
            }
            if out.edges.is_empty() {
                // "the waist of the front" is no seam: one edge is trued by itself.
                for (i, piece) in worked.pieces.iter().enumerate() {
                    for edge in &piece.edges {
                        let own = bare(&edge.name).0;
                        let told = format!("the {own} of the {}", worked.of(i));
                        if super::spelled::holds(
                            &step.sentence.to_lowercase(),
                            &told.to_lowercase(),
                        ) {
                            out.edges.push(named(piece, &edge.name));
                        }
                    }
                }
            }
        }
        Kind::Finish => {
            let (edge, pieces) = about.split_once(", ").unwrap_or((about.as_str(), ""));
            for (i, (piece, origin)) in worked.pieces.iter().zip(&worked.origins).enumerate() {
                let sheet = origin.sheet.as_deref().unwrap_or_default().to_lowercase();
                let is_it = listed(pieces, &worked.of(i).to_lowercase())
                    || !sheet.is_empty() && origin.copied_from.is_empty() && listed(pieces, &sheet);
                for own in &piece.edges {
                    if is_it && listed(edge, &bare(&own.name).0.to_lowercase()) {
                        out.edges.push(named(piece, &own.name));
                    }
                }
            }
        }
        Kind::Pieces => {
            let all = worked.pieces.iter().enumerate();
            out.pieces = all
                .filter(|(i, _)| listed(&about, &worked.of(*i).to_lowercase()))
                .map(|(i, _)| i)
                .collect();
        }
    }
    for name in &out.edges {
        let at = worked.pieces.iter().position(|p| p.name == name.piece);
        if let Some(at) = at
            && !out.pieces.contains(&at)
        {
            out.pieces.push(at);
        }
    }
    out
}

/// The two points between which a seam is trued: "True the side seam from waist side to hip side: …".
fn between(sentence: &str) -> Option<(String, String)> {
    let head = sentence.split(':').next()?.to_lowercase();
    let (_, part) = head.split_once(" from ")?;
    let (a, b) = part.split_once(" to ")?;
    Some((a.to_owned(), b.to_owned()))
}

/// Two points by name, where they lie on the sheet of an edge's piece.
fn on_sheet(worked: &Worked, edge: &EdgeName, (a, b): &(String, String)) -> Option<(Point, Point)> {
    let at = worked.pieces.iter().position(|p| p.name == edge.piece)?;
    let sheet = worked.origins.get(at)?.sheet.as_deref()?;
    let find = |name: &str| {
        worked.drawn.iter().find_map(|d| match &d.shape {
            Shape::Point(p) if d.sheet == sheet && d.name.to_lowercase() == *name => Some(*p),
            _ => None,
        })
    };
    Some((find(a)?, find(b)?))
}

fn named(piece: &Piece, edge: &str) -> EdgeName {
    EdgeName {
        piece: piece.name.clone(),
        edge: edge.to_owned(),
        between: None,
    }
}

/// The step at which each piece is made; one that no step tells of was always there.
fn made(worked: &Worked) -> Vec<u32> {
    let steps: Vec<(u32, String)> = worked
        .steps
        .iter()
        .filter(|s| kind(&s.stage) == Kind::Pieces && s.draws.is_empty())
        .filter_map(|s| Some((s.number?, about(s))))
        .collect();
    worked
        .pieces
        .iter()
        .enumerate()
        .map(|(i, _)| {
            let name = worked.of(i).to_lowercase();
            steps
                .iter()
                .find(|(_, about)| listed(about, &name))
                .map_or(0, |(n, _)| *n)
        })
        .collect()
}

fn title(worked: &Worked, touched: &Touched, how: &How<'_>) -> String {
    let names: Vec<String> = touched
        .pieces
        .iter()
        .filter_map(|i| worked.pieces.get(*i))
        .map(|p| called(&p.name))
        .collect();
    let mut edges: Vec<String> = touched.edges.iter().map(|e| called(&e.edge)).collect();
    edges.dedup();
    let what = if edges.is_empty() {
        String::new()
    } else {
        format!("the {} of ", edges.join(" and the "))
    };
    format!(
        "The pieces at step {}; in chalk {what}{}",
        how.step,
        names.join(" and ")
    )
}

/// A chain on the paper, in units.
fn chain(placed: &Placed<'_>, curve: &Curve, k: f64) -> Vec<Point> {
    curve
        .flatten(Length::mm(CHORD))
        .into_iter()
        .map(|p| on(placed.on_paper(p), k))
        .collect()
}

fn outline(placed: &Placed<'_>, kind: Kind, now: bool, k: f64) -> Markup {
    let piece = placed.piece;
    let whole: Vec<Point> = placed.ring.iter().map(|p| on(*p, k)).collect();
    let mut ring = path(&whole);
    ring.push('Z');
    let new = kind == Kind::Pieces && now;
    let class = |edge: &piece::Edge| match (new, edge.role) {
        (true, _) => "chalkline",
        (false, Role::Fold) => "fold",
        (false, _) => "drawn",
    };
    html! {
        @if kind == Kind::Finish && let Some(line) = &placed.cutting {
            path.allow d={ (path(&chain(placed, &line.curve, k))) "Z" } {}
        }
        @if kind != Kind::Truing { path.cloth d=(ring) {} }
        @for edge in &piece.edges { path class=(class(edge)) d=(path(&chain(placed, &edge.curve, k))) {} }
        @for dart in darts(placed, k) { path.drawn d=(path(&dart)) {} }
    }
}

/// The legs of a piece's darts, in units.
fn darts(placed: &Placed<'_>, k: f64) -> Vec<[Point; 3]> {
    let piece = placed.piece;
    let legs = |dart: &piece::Dart| {
        let edge = &piece.edge(&dart.edge).ok()?.curve;
        let all = [
            edge.at(dart.mouth.0).point,
            dart.tip,
            edge.at(dart.mouth.1).point,
        ];
        Some(all.map(|p| on(placed.on_paper(p), k)))
    };
    piece.darts.iter().filter_map(legs).collect()
}

/// The edge that a name means, on the paper, and the part of it that is meant.
fn edge_of<'a>(paper: &'a Paper<'a>, name: &EdgeName) -> Option<(&'a Placed<'a>, Curve)> {
    let placed = paper.named(&name.piece)?;
    let curve = &placed.piece.edge(&name.edge).ok()?.curve;
    let part = name.between.and_then(|(a, b)| {
        let (a, b) = (curve.nearest(a).along, curve.nearest(b).along);
        curve.sub(a.min(b), a.max(b)).ok()
    });
    Some((placed, part.unwrap_or_else(|| curve.clone())))
}

fn lit(paper: &Paper<'_>, name: &EdgeName, kind: Kind, k: f64) -> Markup {
    let Some((placed, curve)) = edge_of(paper, name) else {
        return Markup::default();
    };
    let notches: Vec<[Point; 2]> = if kind == Kind::Finish {
        notch_places(placed.piece)
            .unwrap_or_default()
            .into_iter()
            .filter(|n| curve.nearest(n.on_stitching).distance.in_mm() < 0.5)
            .map(|n| {
                let a = on(placed.on_paper(n.on_stitching), k);
                let d = placed.way(n.direction);
                [a, Point::new(a.x - d.x * 12.0, a.y - d.y * 12.0)]
            })
            .collect()
    } else {
        Vec::new()
    };
    html! {
        path.chalkline d=(path(&chain(placed, &curve, k))) {}
        @for notch in &notches { path.chalkline.fine d=(path(notch)) {} }
    }
}

/// A length as the sentence tells it: what is trued is told more finely where that is needed.
fn as_told(length: Length, shown: Shown, sentence: &str) -> String {
    let plain = show_number(length, shown);
    let finer = [
        Fineness::Sixteenth,
        Fineness::ThirtySecond,
        Fineness::Millimetre,
    ]
    .map(|fineness| show_number(length, Shown { fineness, ..shown }));
    let told = |n: &&String| super::spelled::holds(sentence, n);
    let found = std::iter::once(&plain).chain(&finer).find(told).cloned();
    found.unwrap_or(plain)
}

/// The length of an edge that is trued, beside it.
fn length_of(
    paper: &Paper<'_>,
    name: &EdgeName,
    k: f64,
    (how, step): (&How<'_>, &Step),
    clear: &mut Clear,
) -> Option<Markup> {
    let (placed, curve) = edge_of(paper, name)?;
    let chain = chain(placed, &curve, k);
    // A dart in it is closed.
    let length = match name.between {
        None => placed
            .piece
            .sewn_length(&name.edge)
            .unwrap_or(curve.length()),
        Some(_) => curve.length(),
    };
    let said = if how.hidden {
        "\u{a0}\u{a0}\u{a0}\u{a0}\u{a0}".to_owned()
    } else {
        glyphs(&as_told(length, how.shown, &step.sentence))
    };
    let reach = wide(&said, FIGURE);
    let mut spots = Vec::new();
    for part in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
        let (at, way) = part_of(&chain, part)?;
        for far in [6.0, 14.0, 24.0, 36.0] {
            for side in [way.left(), way.right()] {
                let out = far + side.x.abs() * reach / 2.0 + side.y.abs() * FIGURE * 0.4;
                let to = Point::new(at.x + side.x * out, at.y + side.y * out);
                spots.push(Spot::level(to, reach, FIGURE * 0.8));
            }
        }
    }
    let found = clear.take(&spots)?;
    let at = spots[found].middle;
    let class = if how.hidden {
        "letter huge now blank"
    } else {
        "letter huge now"
    };
    Some(text(
        class,
        Point::new(at.x, at.y + FIGURE * 0.34),
        0.0,
        &said,
    ))
}

/// The name of a piece: in it where there is room, in two rows if need be, else beside it.
fn name_of(placed: &Placed<'_>, ring: &[Point], now: bool, clear: &mut Clear) -> Option<Markup> {
    let name = glyphs(&check::told::capital(&called(&placed.piece.name)));
    let small = NAME * 0.72;
    let two: Vec<&str> = name.split_whitespace().collect();
    let mut ways = vec![(vec![name.as_str()], NAME), (vec![name.as_str()], small)];
    if two.len() > 1 {
        ways.push((two, small));
    }
    for (rows, size) in &ways {
        let spots = in_it(ring, rows, *size);
        if let Some(found) = clear.take(&spots) {
            return Some(named_at(rows, *size, spots[found].middle, now));
        }
    }
    let (x0, y0, x1, y1) = super::super::place::reach(ring);
    let (reach, high) = (wide(&name, small), small * 0.9);
    let mut spots = Vec::new();
    for far in [4.0, 10.0, 18.0, 28.0] {
        for (at, side) in [(y1, 1.0), (y0, -1.0)] {
            let middle = Point::new(f64::midpoint(x0, x1), at + side * (far + high / 2.0));
            spots.push(Spot::level(middle, reach, high));
        }
    }
    // A piece that is new is named in any case.
    let found = if now {
        clear.take_some(&spots)
    } else {
        clear.take(&spots)
    }?;
    Some(named_at(&[name.as_str()], small, spots[found].middle, now))
}

/// The places in a piece for a name in so many rows.
fn in_it(ring: &[Point], rows: &[&str], size: f64) -> Vec<Spot> {
    let (_, y0, _, y1) = super::super::place::reach(ring);
    let reach = rows.iter().map(|r| wide(r, size)).fold(0.0, f64::max);
    let high = size * 0.95 * count(rows);
    let mut spots = Vec::new();
    for down in [0.55, 0.65, 0.45, 0.75, 0.35, 0.25, 0.85, 0.5] {
        let y = y0 + (y1 - y0) * down;
        let mut parts = across(ring, y);
        parts.sort_by(|a, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)));
        let Some((a, b)) = parts.first().copied() else {
            continue;
        };
        let spot = Spot::level(Point::new(f64::midpoint(a, b), y), reach, high);
        if b - a > reach && within(spot.middle, ring) && distance(spot.middle, ring) > high / 2.0 {
            spots.push(spot);
        }
    }
    spots
}

fn named_at(rows: &[&str], size: f64, at: Point, now: bool) -> Markup {
    let class = match (now, size < NAME) {
        (true, false) => "name now",
        (true, true) => "name small now",
        (false, false) => "name",
        (false, true) => "name small",
    };
    let first = at.y + size * 0.34 - size * 0.475 * (count(rows) - 1.0);
    let placed = rows.iter().scan(first, |y, row| {
        let here = *y;
        *y += size * 0.95;
        Some((here, *row))
    });
    html! {
        @for (y, row) in placed { (text(class, Point::new(at.x, y), 0.0, row)) }
    }
}

/// How many rows there are.
fn count(rows: &[&str]) -> f64 {
    f64::from(u32::try_from(rows.len()).unwrap_or(1))
}
