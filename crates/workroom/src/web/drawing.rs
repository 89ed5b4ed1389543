//! The pattern on the brown paper, as the page shows it: the stitching line heavy, for it is the
//! truth; levels in pencil; a mark where something is found.
//!
//! Paths are in tenths of a millimetre in a group of each piece, words and marks in units of the whole
//! drawing: a unit is about a dot of the screen when all of it is seen on a laptop.

pub(crate) mod letters;
pub(crate) mod pair;
pub(crate) mod path;
pub(crate) mod place;
pub(crate) mod sofar;

use check::{Finding, Weight};
use draft::Worked;
use draft::worked::EdgeName;
use maud::{Markup, PreEscaped, html};
use measure::fraction::{Shown, show_number};
use measure::{Length, Point, Vector};
use piece::{Piece, Role, notch_places_on};

use letters::{LINE, Letter, Taken, across, distance, wide, within};
use path::{FINE, Path};
use place::{Paper, Placed};

/// A drawing that is seen whole is so many units high, or so many wide.
const HIGH: f64 = 560.0;
const WIDE: f64 = 980.0;
/// A place is lit so far each way along its edge, in mm.
const LIT: f64 = 45.0;
/// The round of a finding's mark, in units.
pub(crate) const MARK: f64 = 9.5;

/// What is seen of the drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum View {
    /// All of it.
    #[default]
    Whole,
    /// The waist and what is round it.
    Top,
    /// From the hip to the break.
    Hip,
    /// The foot.
    Hem,
}

impl View {
    /// The view of this word in an address.
    pub(crate) fn of(word: Option<&str>) -> Self {
        match word {
            Some("top") => Self::Top,
            Some("hip") => Self::Hip,
            Some("hem") => Self::Hem,
            _ => Self::Whole,
        }
    }
}

/// What can be left off the drawing: its class, and its word.
pub(crate) const LINES: &[(&str, &str)] = &[
    ("cutting", "Cutting lines"),
    ("levels", "Levels"),
    ("notches", "Notches"),
    ("grain", "Grain"),
    ("words", "Words"),
    ("marks", "Marks of what is found"),
];

/// How the drawing is wanted.
#[derive(Clone, Debug)]
pub(crate) struct Wanted<'a> {
    pub(crate) shown: Shown,
    pub(crate) view: View,
    /// Classes of `LINES` that are left off.
    pub(crate) hidden: &'a [String],
    /// What was measured, in chalk.
    pub(crate) line: Option<Trace>,
    /// Its name, for those who don't see it.
    pub(crate) title: &'a str,
    pub(crate) id: &'a str,
}

/// What is measured on the paper, drawn in chalk: one place or two, or an edge.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Trace {
    /// In mm of the paper.
    pub(crate) ends: Vec<Point>,
    /// The number of the piece in the draft, and of its edge.
    pub(crate) edge: Option<(usize, usize)>,
    /// The same edge of her other side, where left and right are cut apart.
    pub(crate) other: Option<(usize, usize)>,
    /// How long it is, as it stands beside it.
    pub(crate) says: String,
}

/// So many units are a millimetre of this paper.
pub(crate) fn scale(paper: &Paper<'_>) -> f64 {
    (HIGH / paper.size.1.max(1.0)).min(WIDE / paper.size.0.max(1.0))
}

/// The whole drawing.
pub(crate) fn drawing(
    paper: &Paper<'_>,
    worked: &Worked,
    findings: &[Finding],
    wanted: &Wanted<'_>,
) -> Markup {
    let k = scale(paper);
    let (w, h) = (paper.size.0 * k, paper.size.1 * k);
    let rings: Vec<Vec<Point>> = paper
        .pieces
        .iter()
        .map(|p| {
            p.ring
                .iter()
                .map(|q| Point::new(q.x * k, q.y * k))
                .collect()
        })
        .collect();
    let mut taken = Taken::default();
    let marks = marks(paper, findings, &rings, k, &mut taken);
    let (levels, level_words) = levels(paper, worked, &rings, k, wanted.shown, &mut taken);
    let mut words = level_words;
    for (placed, ring) in paper.pieces.iter().zip(&rings) {
        words.extend(piece_words(placed, ring, k, wanted.shown, &mut taken));
    }
    let mut class = String::from("pattern");
    for hidden in wanted.hidden {
        if let Some((known, _)) = LINES.iter().find(|(c, _)| c == hidden) {
            class.push_str(" no-");
            class.push_str(known);
        }
    }
    let title_id = format!("{}-title", wanted.id);
    html! {
        svg class=(class) id=(wanted.id) viewBox=(view_box(paper, worked, wanted.view, (w, h), k))
            data-mm=(number(1.0 / k)) data-whole={ "0 0 " (tenth(w)) " " (tenth(h)) } role="group" aria-labelledby=(title_id) {
            title id=(title_id) { (wanted.title) }
            @for placed in &paper.pieces { (piece_lines(placed, findings, k)) }
            g class="levels" { @for (a, b) in &levels {
                line class="pencil" x1=(number(a.x)) y1=(number(a.y)) x2=(number(b.x)) y2=(number(b.y)) {}
            } }
            g class="words" { @for letter in &words { (lettered(letter)) } }
            g class="marks" { @for (n, weight, at) in &marks { (mark(*n, *weight, *at)) } }
            @if let Some(trace) = &wanted.line { (traced(paper, trace)) }
        }
    }
}

/// A number of the drawing, to a tenth.
pub(crate) fn number(v: f64) -> String {
    let mut text = format!("{v:.3}");
    text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    if text == "-0" { "0".into() } else { text }
}

fn tenth(v: f64) -> String {
    number((v * 10.0).round() / 10.0)
}

fn view_box(paper: &Paper<'_>, worked: &Worked, view: View, (w, h): (f64, f64), k: f64) -> String {
    let level = |body: &str| {
        let placed = paper.pieces.first()?;
        let found = worked.levels.iter().find(|l| l.body == body)?;
        Some((found.y + placed.moved.y) * k)
    };
    let band = |from: f64, to: f64| {
        let high = (to - from).max(h * 0.2);
        let wide = (high * w / h).max(1.0);
        format!(
            "{} {} {} {}",
            tenth((w - wide) / 2.0),
            tenth(from),
            tenth(wide),
            tenth(high)
        )
    };
    match view {
        View::Whole => format!("0 0 {} {}", tenth(w), tenth(h)),
        View::Top => band(0.0, h * 0.4),
        View::Hip => {
            let hip = level("hip").unwrap_or(h * 0.3);
            let foot = level("break")
                .or_else(|| level("knee"))
                .unwrap_or(hip + h * 0.3);
            band(hip - h * 0.08, foot + h * 0.08)
        }
        View::Hem => band(h * 0.6, h),
    }
}

/// The group of a piece: its lines, in tenths of a millimetre of the piece itself.
fn piece_lines(placed: &Placed<'_>, findings: &[Finding], k: f64) -> Markup {
    let piece = placed.piece;
    let place = matrix(placed, k);
    html! {
        g class="piece" transform=(place) data-piece=(piece.name) {
            @if let Some(line) = &placed.cutting {
                path class="allow cutting" d=(closed(&line.curve)) {}
            }
            path class="cloth" d=(outline(piece)) {}
            @for (n, finding) in findings.iter().enumerate().take(40) {
                @let d = lit(piece, finding);
                @if !d.is_empty() {
                    path class={ "lit at-" (n + 1) " " (weight_class(finding.weight)) } d=(d) {}
                }
            }
            path class="stitch" d=(stitching(piece)) {}
            @for edge in piece.edges.iter().filter(|e| e.role == Role::Fold) {
                path class="fold" d=(path::of(&edge.curve)) {}
            }
            @for edge in &piece.edges {
                @for (from, to) in &edge.open {
                    @if let Ok(zip) = edge.curve.sub(*from, *to) { path class="open-part" d=(path::of(&zip)) {} }
                }
            }
            @for dart in &piece.darts {
                @if let Ok(edge) = piece.edge(&dart.edge) {
                    path class="stitch dart" d=(path::through(&[edge.curve.at(dart.mouth.0).point, dart.tip, edge.curve.at(dart.mouth.1).point])) {}
                }
            }
            g class="notches" {
                @for notch in placed.cutting.as_ref().map(|line| notch_places_on(piece, line)).unwrap_or_default() {
                    path class="notch" d=(path::through(&[notch.on_stitching, snipped(notch.on_stitching, notch.direction)])) {}
                }
            }
            @if let Some(grain) = piece.grain { g class="grain" { path class="grain-line" d=(arrow(grain.from, grain.to)) {} } }
        }
    }
}

/// From tenths of a millimetre of a piece to units of the drawing.
fn matrix(placed: &Placed<'_>, k: f64) -> String {
    let s = k / FINE;
    let side = if placed.turned { -s } else { s };
    format!(
        "matrix({} 0 0 {} {} {})",
        precise(side),
        precise(s),
        tenth(placed.moved.x * k),
        tenth(placed.moved.y * k)
    )
}

fn precise(v: f64) -> String {
    let mut text = format!("{v:.6}");
    text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    text
}

/// A notch stands outwards, 9 mm long.
fn snipped(at: Point, inwards: Vector) -> Point {
    Point::new(at.x - inwards.x * 9.0, at.y - inwards.y * 9.0)
}

fn arrow(from: Point, to: Point) -> String {
    let Some(way) = Vector::new(to.x - from.x, to.y - from.y).unit() else {
        return String::new();
    };
    let head = |tip: Point, sign: f64| {
        let back = Point::new(tip.x - way.x * 20.0 * sign, tip.y - way.y * 20.0 * sign);
        let side = way.left();
        [
            Point::new(back.x + side.x * 8.0, back.y + side.y * 8.0),
            tip,
            Point::new(back.x - side.x * 8.0, back.y - side.y * 8.0),
        ]
    };
    format!(
        "{}{}{}",
        path::through(&[from, to]),
        path::through(&head(to, 1.0)),
        path::through(&head(from, -1.0))
    )
}

fn closed(curve: &measure::Curve) -> String {
    let mut out = Path::default();
    out.to(curve.start());
    out.along(curve);
    out.close();
    out.text()
}

fn outline(piece: &Piece) -> String {
    let mut out = Path::default();
    for (i, edge) in piece.edges.iter().enumerate() {
        if i == 0 {
            out.to(edge.curve.start());
        }
        out.along(&edge.curve);
    }
    out.close();
    out.text()
}

/// The edges that are sewn, hemmed or left open; the fold has a line of its own.
fn stitching(piece: &Piece) -> String {
    let mut out = Path::default();
    let mut drawing = false;
    for edge in &piece.edges {
        if edge.role == Role::Fold {
            drawing = false;
            continue;
        }
        if !drawing {
            out.to(edge.curve.start());
        }
        out.along(&edge.curve);
        drawing = true;
    }
    out.text()
}

/// The places of a finding on a piece: so far each way along the edge, or a small round.
fn lit(piece: &Piece, finding: &Finding) -> String {
    let mut out = String::new();
    for spot in finding
        .spots
        .iter()
        .filter(|s| s.piece == piece.name)
        .take(24)
    {
        let edge = spot.edge.as_deref().and_then(|e| piece.edge(e).ok());
        let part = edge.and_then(|edge| {
            let near = edge.curve.nearest(spot.point);
            if near.distance > Length::mm(30.0) {
                return None;
            }
            let whole = edge.curve.length();
            let from = (near.along - Length::mm(LIT)).max(Length::ZERO);
            let to = (near.along + Length::mm(LIT)).min(whole);
            edge.curve.sub(from, to).ok()
        });
        match part {
            Some(part) => out.push_str(&path::of(&part)),
            None => {
                let p = spot.point;
                out.push_str(&path::through(&[
                    Point::new(p.x - 12.0, p.y),
                    Point::new(p.x + 12.0, p.y),
                ]));
            }
        }
    }
    out
}

/// The class of a weight.
pub(crate) const fn weight_class(weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => "stop",
        Weight::Ask => "ask",
        Weight::Note => "note",
    }
}

/// Where each finding's mark stands: outside the piece, beside its first place.
fn marks(
    paper: &Paper<'_>,
    findings: &[Finding],
    rings: &[Vec<Point>],
    k: f64,
    taken: &mut Taken,
) -> Vec<(usize, Weight, Point)> {
    let mut out = Vec::new();
    for (n, finding) in findings.iter().enumerate().take(40) {
        let Some((spot, placed)) = finding
            .spots
            .iter()
            .find_map(|s| Some((s, paper.named(&s.piece)?)))
        else {
            continue;
        };
        let on = placed.on_paper(spot.point);
        let at = Point::new(on.x * k, on.y * k);
        let way = spot
            .edge
            .as_deref()
            .and_then(|e| placed.piece.edge(e).ok())
            .map_or(Vector::new(0.0, 1.0), |e| {
                placed.way(e.curve.at(e.curve.nearest(spot.point).along).direction)
            });
        let tries = [0.0, 22.0, -22.0, 44.0, -44.0, 66.0, -66.0, 88.0, -88.0];
        let beside = |far: f64, along: f64| {
            [way.left(), way.right()].map(|out| {
                Point::new(
                    at.x + out.x * far + way.x * along,
                    at.y + out.y * far + way.y * along,
                )
            })
        };
        let found = [24.0, 34.0, 46.0].into_iter().find_map(|far| {
            tries.iter().find_map(|along| {
                beside(far, *along).into_iter().find(|p| {
                    taken.free(*p, MARK + 3.0)
                        && rings
                            .iter()
                            .all(|r| !within(*p, r) && distance(*p, r) > MARK + 6.0)
                        && p.x > MARK
                        && p.y > MARK
                        && p.x < paper.size.0 * k - MARK
                        && p.y < paper.size.1 * k - MARK
                })
            })
        });
        let place = found.unwrap_or(at);
        taken.spot(place, MARK + 3.0);
        out.push((n + 1, finding.weight, place));
    }
    out
}

/// A mark on the paper: it leads to its slip.
fn mark(n: usize, weight: Weight, at: Point) -> Markup {
    let word = weight_class(weight);
    let (x, y) = (tenth(at.x), tenth(at.y));
    html! {
        a href={ "#finding-" (n) } aria-label={ "Finding " (n) ", " (word) } {
            g class={ "mark " (word) } {
                circle class="hit" cx=(x) cy=(y) r="22" {}
                @if weight == Weight::Stop { polygon points=(eight(at)) {} }
                @else { circle cx=(x) cy=(y) r=(MARK) {} }
                text x=(x) y=(tenth(at.y + 4.7)) text-anchor="middle" { (n) }
            }
        }
    }
}

fn eight(at: Point) -> String {
    let (far, near) = (10.2, 4.2);
    [
        (far, near),
        (near, far),
        (-near, far),
        (-far, near),
        (-far, -near),
        (-near, -far),
        (near, -far),
        (far, -near),
    ]
    .iter()
    .map(|(x, y)| format!("{},{}", tenth(at.x + x), tenth(at.y + y)))
    .collect::<Vec<_>>()
    .join(" ")
}

/// Level lines across the pieces, and their names at the left.
fn levels(
    paper: &Paper<'_>,
    worked: &Worked,
    rings: &[Vec<Point>],
    k: f64,
    shown: Shown,
    taken: &mut Taken,
) -> (Vec<(Point, Point)>, Vec<Letter>) {
    let mut lines = Vec::new();
    let mut words = Vec::new();
    let mut named: Vec<(String, f64)> = Vec::new();
    for (placed, ring) in paper.pieces.iter().zip(rings) {
        let sheet = worked
            .origins
            .get(placed.index)
            .and_then(|o| o.sheet.as_deref());
        let mut own: Vec<_> = worked
            .levels
            .iter()
            .filter(|l| Some(l.sheet.as_str()) == sheet)
            .collect();
        own.sort_by(|a, b| a.y.total_cmp(&b.y));
        for level in own {
            let y = (level.y + placed.moved.y) * k;
            let parts = across(ring, y);
            let Some(first) = parts.first() else { continue };
            let again = named
                .iter()
                .any(|(n, at)| *n == level.body && (at - y).abs() < 3.0);
            let crowded = named.iter().any(|(_, at)| (at - y).abs() < LINE);
            let lead = !again && !crowded && placed.index == paper.pieces[0].index;
            for (i, (a, b)) in parts.iter().enumerate() {
                let from = if lead && i == 0 { a - 9.0 } else { *a };
                lines.push((Point::new(from, y), Point::new(*b, y)));
            }
            if lead {
                let far = show_number(level.below_waist, shown);
                let text = if level.below_waist.in_mm().abs() < 1.0 {
                    level.body.clone()
                } else {
                    format!("{} {far}", level.body)
                };
                let reach = wide(&text, 13.5);
                // A waist that dips begins inside its piece: its name stands before all of it.
                let low = ring.iter().map(|p| p.x).fold(f64::MAX, f64::min);
                let clear = |x: f64| {
                    let middle = Point::new(x - reach / 2.0, y);
                    !within(middle, ring) && distance(middle, ring) > LINE
                };
                let end = if clear(first.0 - 13.0) { first.0 } else { low } - 13.0;
                let at = Point::new(end, y + 4.5);
                let middle = Point::new(at.x - reach / 2.0, y);
                for (p, r) in Taken::covers(middle, Vector::new(1.0, 0.0), reach, LINE) {
                    taken.spot(p, r);
                }
                words.push(Letter {
                    at,
                    turned: 0.0,
                    text,
                    class: "letter out end",
                });
                named.push((level.body.clone(), y));
            }
        }
    }
    (lines, words)
}

/// The name of a piece, how it is cut, and the lengths of its edges.
fn piece_words(
    placed: &Placed<'_>,
    ring: &[Point],
    k: f64,
    shown: Shown,
    taken: &mut Taken,
) -> Vec<Letter> {
    let mut out = Vec::new();
    let piece = placed.piece;
    let (x0, y0, x1, y1) = place::reach(ring);
    // The grain arrow takes its place too.
    if let Some(grain) = piece.grain {
        let mut t = 0.0;
        while t <= 1.0 {
            let p = placed.on_paper(grain.from.toward(grain.to, t));
            taken.spot(Point::new(p.x * k, p.y * k), 3.0);
            t += 0.04;
        }
    }
    let name = check::told::capital(&piece.name);
    let cut = cut_words(piece);
    let (big, small) = (30.0, 13.5);
    let whole = [name.as_str()];
    // "Back, her left" on a line each.
    let apart: Vec<&str> = name.split_inclusive(", ").map(str::trim_end).collect();
    // Large with how it is cut under it; where there is no room smaller, and at last the name alone.
    'sizes: for (size, class, with_cut, lines) in [
        (big, "name", true, whole.as_slice()),
        (20.0, "name middling", true, &whole),
        (20.0, "name middling", false, &whole),
        (14.0, "name small", false, &whole),
        (20.0, "name middling", false, &apart),
        (14.0, "name small", false, &apart),
    ] {
        // Each line with how far it stands above the last.
        let mut lift = -size * 1.1;
        let stand: Vec<(f64, &str)> = lines
            .iter()
            .rev()
            .map(|line| {
                lift += size * 1.1;
                (lift, *line)
            })
            .collect();
        for down in [0.72, 0.62, 0.52, 0.8, 0.88, 0.42, 0.32, 0.22] {
            let y = y0 + (y1 - y0) * down;
            let mut parts = across(ring, y);
            parts.sort_by(|a, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)));
            let Some((a, b)) = parts.first().copied() else {
                continue;
            };
            for part in [0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78] {
                let x = a + (b - a) * part;
                let level = Vector::new(1.0, 0.0);
                let mut spots = Vec::new();
                for (up, line) in &stand {
                    let middle = Point::new(x, y - up - size * 0.3);
                    spots.extend(Taken::covers(middle, level, wide(line, size), size * 0.8));
                }
                if with_cut {
                    let under = Point::new(x, y + 17.0);
                    spots.extend(Taken::covers(under, level, wide(&cut, small), LINE));
                }
                if taken.inside(&spots, ring) {
                    out.extend(stand.iter().map(|(up, line)| Letter {
                        at: Point::new(x, y - up),
                        turned: 0.0,
                        text: (*line).to_owned(),
                        class,
                    }));
                    if with_cut {
                        let at = Point::new(x, y + 21.0);
                        out.push(Letter {
                            at,
                            turned: 0.0,
                            text: cut.clone(),
                            class: "letter fine",
                        });
                    }
                    break 'sizes;
                }
            }
        }
    }
    for edge in &piece.edges {
        let length = edge.curve.length();
        if length.in_mm() * k < 60.0 || x1 - x0 < 50.0 {
            continue;
        }
        let sewn = piece.sewn_length(&edge.name).unwrap_or(length);
        let text = if edge.role == Role::Fold {
            format!("{}, on the fold", edge.name)
        } else {
            format!(
                "{} {}",
                draft::sided::spoken(&edge.name),
                show_number(sewn, shown)
            )
        };
        let reach = wide(&text, small);
        for part in [0.5, 0.6, 0.4, 0.7, 0.3, 0.8, 0.2] {
            let place = edge.curve.at(length * part);
            let on = placed.on_paper(place.point);
            let mut way = placed.way(place.direction);
            if way.x < 0.0 || (way.x.abs() < 1e-6 && way.y > 0.0) {
                way = Vector::new(-way.x, -way.y);
            }
            let found = [way.left(), way.right()].into_iter().find_map(|side| {
                let at = Point::new(on.x * k + side.x * 13.0, on.y * k + side.y * 13.0);
                let spots = Taken::covers(at, way, reach, LINE);
                taken.inside(&spots, ring).then_some(at)
            });
            if let Some(at) = found {
                let turned = way.y.atan2(way.x).to_degrees();
                let down = Vector::new(-way.y, way.x);
                out.push(Letter {
                    at: Point::new(at.x + down.x * 4.5, at.y + down.y * 4.5),
                    turned,
                    text,
                    class: "letter fine",
                });
                break;
            }
        }
    }
    out
}

/// "cut 1 on the fold", "cut a pair", "cut 1, right side up".
pub(crate) fn cut_words(piece: &Piece) -> String {
    let each: Vec<String> = piece
        .cuts
        .iter()
        .map(|cut| {
            let many = match (cut.pair, cut.on_fold, cut.count) {
                (true, _, 2) => "cut a pair".to_owned(),
                (true, _, n) => format!("cut {} pairs", n / 2),
                (false, true, n) => format!("cut {n} on the fold"),
                (false, false, n) if draft::sided::is_sided(piece) => {
                    format!("cut {n}, right side up")
                }
                (false, false, n) => format!("cut {n}"),
            };
            if cut.cloth == "shell" {
                many
            } else {
                format!("{many}, {}", cut.cloth)
            }
        })
        .collect();
    each.join("; ")
}

fn lettered(letter: &Letter) -> Markup {
    let (x, y) = (tenth(letter.at.x), tenth(letter.at.y));
    let text = letters::glyphs(&letter.text);
    let turn =
        (letter.turned.abs() > 0.5).then(|| format!("rotate({} {x} {y})", tenth(letter.turned)));
    // On a small screen the name of a level stands without its figure.
    let (name, figure) = match text.split_once(' ') {
        Some((name, figure)) if letter.class.contains("out") => {
            (name.to_owned(), Some(figure.to_owned()))
        }
        _ => (text, None),
    };
    html! {
        text class=(letter.class) x=(x) y=(y) transform=[turn] {
            (name) @if let Some(figure) = figure { tspan.figure { " " (figure) } }
        }
    }
}

/// What is measured, as a group that can take the place of the one before.
pub(crate) fn traced(paper: &Paper<'_>, trace: &Trace) -> Markup {
    let k = scale(paper);
    let ends: Vec<Point> = trace
        .ends
        .iter()
        .map(|p| Point::new(p.x * k, p.y * k))
        .collect();
    let found = |at: Option<(usize, usize)>| {
        let (index, n) = at?;
        let placed = paper.pieces.iter().find(|p| p.index == index)?;
        Some((placed, placed.piece.edges.get(n)?))
    };
    let edge = found(trace.edge);
    let middle = match (ends.as_slice(), edge) {
        ([a, b], _) => Some(a.toward(*b, 0.5)),
        (_, Some((placed, edge))) => {
            let p = placed.on_paper(edge.curve.at(edge.curve.length() * 0.5).point);
            Some(Point::new(p.x * k, p.y * k))
        }
        _ => None,
    };
    // Beside a steep line, above a level one.
    let words = letters::glyphs(&trace.says);
    let middle = middle.map(|p| match ends.as_slice() {
        [a, b] if (b.x - a.x).abs() < (b.y - a.y).abs() => {
            Point::new(p.x + wide(&words, 24.0) / 2.0 + 10.0, p.y + 6.0)
        }
        _ => Point::new(p.x, p.y - 9.0),
    });
    html! {
        g #trace class="measured" {
            @for (placed, edge) in edge.into_iter().chain(found(trace.other)) {
                g transform=(matrix(placed, k)) { path class="walked" d=(path::of(&edge.curve)) {} }
            }
            @if let [a, b] = ends.as_slice() {
                line x1=(tenth(a.x)) y1=(tenth(a.y)) x2=(tenth(b.x)) y2=(tenth(b.y)) {}
            }
            @for p in &ends { circle cx=(tenth(p.x)) cy=(tenth(p.y)) r="5" {} }
            @if let (Some(p), false) = (middle, trace.says.is_empty()) {
                text class="letter chalked" x=(tenth(p.x)) y=(tenth(p.y)) { (words) }
            }
        }
    }
}

/// A small drawing of the main pieces, for lists.
pub(crate) fn thumb(worked: &Worked) -> Markup {
    let paper = Paper::main(worked);
    let k = (100.0 / paper.size.1.max(1.0)).min(110.0 / paper.size.0.max(1.0));
    let mut d = String::new();
    for placed in paper.pieces.iter().take(8) {
        for (i, p) in placed.ring.iter().enumerate() {
            d.push_str(&format!(
                "{}{} {}",
                if i == 0 { 'M' } else { 'L' },
                tenth(p.x * k),
                tenth(p.y * k)
            ));
        }
        d.push('Z');
    }
    let size = format!(
        "0 0 {} {}",
        tenth(paper.size.0 * k),
        tenth(paper.size.1 * k)
    );
    html! {
        svg class="thumb" viewBox=(size) aria-hidden="true" focusable="false" { path d=(PreEscaped(d)) {} }
    }
}

/// Whether a place of the paper lies inside a ring of it.
pub(crate) fn inside(p: Point, ring: &[Point]) -> bool {
    within(p, ring)
}

/// The edges of a seam's other side, for the twin table.
pub(crate) fn partner(worked: &Worked, piece: &str, edge: &str) -> Option<(String, Length)> {
    let is_it = |e: &EdgeName| e.piece == piece && e.edge == edge;
    worked.seams.iter().find_map(|seam| {
        if seam.b.is_empty() {
            return seam
                .a
                .iter()
                .any(is_it)
                .then(|| ("its own pair".to_owned(), seam.a_length));
        }
        let (other, length) = match (seam.a.iter().any(is_it), seam.b.iter().any(is_it)) {
            (true, _) => (&seam.b, seam.b_length),
            (_, true) => (&seam.a, seam.a_length),
            _ => return None,
        };
        let each: Vec<String> = other
            .iter()
            .map(|e| format!("{}, {}", check::told::capital(&e.piece), e.edge))
            .collect();
        Some((each.join(" and "), length))
    })
}
