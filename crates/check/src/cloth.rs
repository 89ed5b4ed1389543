//! F26 and F30: whether the cloth can be laid so, and whether the pieces can be cut from it.

use lay::{Cloth, Nap, Runs};
use measure::{Length, Motion, Point, Vector};
use piece::{Piece, cutting_line};

use crate::finding::{Amount, Finding, Weight};
use crate::hang::{begin, off_plumb, the};
use crate::rules::{F26, F30};
use crate::seen::{Leg, Part, Place, Seam, Seen};

/// The widest cloth that is sold everywhere, in inches (common practice, no source).
const WIDEST_IN: f64 = 60.0;
/// Widths in which cloth is sold, in inches (common practice, no source).
const SOLD_IN: [f64; 8] = [36.0, 45.0, 50.0, 54.0, 60.0, 66.0, 72.0, 108.0];
/// Chords this near the cutting line, in millimetres.
const NEAR_MM: f64 = 0.1;
/// A piece may be so much too wide by reckoning, in millimetres.
const HAIR_MM: f64 = 0.05;
/// A motif may be so much off at a seam, in millimetres: 1/8 in.
const MOTIF_MM: f64 = 3.175;
/// A grain this near the plumb, in degrees, says which way is up.
const PLUMB: f64 = 45.0 - 3.0;

/// F26 and F30.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<Finding> {
    let mut out = too_wide(seen);
    if let Some(cloth) = seen.cloth {
        out.extend(laid_wrong(cloth));
        if cloth.nap == Nap::OneWay {
            out.extend(upside_down(seen));
        }
        let repeat = cloth.repeat_as_cut();
        if let Some(repeat) = repeat.filter(|_| cloth.length_runs == Runs::Along) {
            let off = seen
                .seams
                .iter()
                .filter_map(|s| motif(seen, s, repeat.in_mm()));
            out.extend(off);
        }
    }
    out
}

/// How wide a piece is across the grain and how long along it, as it is cut: allowances and all,
/// opened out where it lies on a fold.
fn size(piece: &Piece) -> Option<(f64, f64)> {
    let way = piece.grain.and_then(|g| (g.to - g.from).unit())?;
    let points = cutting_line(piece).ok()?.curve.flatten(Length::mm(NEAR_MM));
    let points = opened(piece, points);
    Some((extent(&points, way.right()), extent(&points, way)))
}

/// Whether a piece lies within so much of the cloth's width whatever its corners do: twice the widest
/// allowance beyond its stitching line on either side. Spares the cutting line where nothing is in doubt.
fn surely_within(part: &Part<'_>, width: f64, laid_across: bool) -> bool {
    let Some(way) = part.piece.grain.and_then(|g| (g.to - g.from).unit()) else {
        return true;
    };
    let widest = part.piece.edges.iter().map(|e| e.allowance.widest());
    let margin = 4.0 * widest.fold(Length::ZERO, Length::max).in_mm();
    let points = opened(part.piece, part.ring());
    let needs = if laid_across { way } else { way.right() };
    extent(&points, needs) + margin < width
}

/// A piece's points, and those of its other half where it is cut on the fold.
fn opened(piece: &Piece, mut points: Vec<Point>) -> Vec<Point> {
    let on_fold = piece.cuts.iter().any(|c| c.on_fold);
    let fold = piece.fold().filter(|_| on_fold).and_then(|fold| {
        let (a, b) = (fold.curve.start(), fold.curve.end());
        Some(Motion::reflect(a, (b - a).unit()?))
    });
    if let Some(over) = fold {
        let other: Vec<Point> = points.iter().map(|p| over.point(*p)).collect();
        points.extend(other);
    }
    points
}

fn extent(points: &[Point], way: Vector) -> f64 {
    let origin = Point::new(0.0, 0.0);
    let (low, high) = points
        .iter()
        .map(|p| (*p - origin).dot(way))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        });
    (high - low).max(0.0)
}

/// A piece that is wider than the cloth.
struct Wide<'a> {
    part: &'a Part<'a>,
    needs: f64,
    /// How much it takes the other way.
    other: f64,
    /// Whether it could be cut with its length the other way.
    turns: bool,
}

fn too_wide(seen: &Seen<'_>) -> Vec<Finding> {
    let usable = seen.cloth.and_then(Cloth::usable).map(Length::in_mm);
    let width = usable.unwrap_or(WIDEST_IN * 25.4);
    let across = seen.cloth.is_some_and(|c| c.length_runs == Runs::Across);
    let one_way = seen.cloth.is_some_and(|c| c.nap == Nap::OneWay);
    let wide: Vec<Wide<'_>> = seen
        .parts
        .iter()
        .filter(|p| p.place != Place::Under)
        .filter(|p| !surely_within(p, width, across))
        .filter_map(|part| {
            let (wide, long) = size(part.piece)?;
            let (needs, other) = if across { (long, wide) } else { (wide, long) };
            (needs > width + HAIR_MM).then_some(Wide {
                part,
                needs,
                other,
                turns: other <= width && !one_way,
            })
        })
        .collect();
    if usable.is_none() {
        return told(seen, &wide, Weight::Note, width).into_iter().collect();
    }
    let (turns, stays): (Vec<_>, Vec<_>) = wide.into_iter().partition(|w| w.turns);
    told(seen, &stays, Weight::Stop, width)
        .into_iter()
        .chain(told(seen, &turns, Weight::Ask, width))
        .collect()
}

/// One finding for all pieces that are too wide in the same way.
fn told(seen: &Seen<'_>, wide: &[Wide<'_>], weight: Weight, width: f64) -> Option<Finding> {
    let most = wide.iter().max_by(|a, b| a.needs.total_cmp(&b.needs))?;
    let name = the(&most.part.piece.name);
    let opened = if most.part.piece.cuts.iter().any(|c| c.on_fold) {
        ", opened out,"
    } else {
        ""
    };
    let which = if wide.len() == 1 {
        format!("{}{opened}", begin(&name))
    } else {
        format!(
            "{} pieces are wider than the cloth. The widest, {name}{opened}",
            wide.len()
        )
    };
    let needs = seen.tell(most.needs);
    let says = match weight {
        Weight::Note => {
            let round = if most.turns {
                format!(", or turned round, with {} across", seen.tell(most.other))
            } else {
                String::new()
            };
            format!(
                "{which} is {needs} wide across the grain, more than most cloth. It must be cut from cloth {}{round}.",
                sold(most.needs, seen)
            )
        }
        Weight::Ask => format!(
            "{which} is {needs} wide as the cloth lies, which is {} wide. Turned round, it fits.",
            seen.tell(width)
        ),
        Weight::Stop => format!(
            "{which} is {needs} wide, and of the cloth {} can be used.",
            seen.tell(width)
        ),
    };
    let mut places: Vec<String> = wide.iter().map(|w| w.part.piece.name.clone()).collect();
    places.dedup();
    let mut finding = Finding::of(&F30, weight, places.join(" + "), says).out_by(
        Amount::Length(Length::try_mm(most.needs - width)?),
        Some(Amount::Length(Length::ZERO)),
    );
    if weight == Weight::Ask {
        finding.why = Some("As the cloth lies it can't be cut.".to_owned());
        finding = finding.cured_by("Lay its length the other way, if the cloth hangs well so.");
    }
    for w in wide {
        finding = finding.at(&w.part.piece.name, None, inside(w.part.piece));
    }
    Some(finding)
}

/// Of what usual width cloth must be for a piece so wide.
fn sold(needs: f64, seen: &Seen<'_>) -> String {
    // An inch for the two selvedges.
    match SOLD_IN.iter().find(|w| *w * 25.4 >= needs + 25.4) {
        Some(w) => format!("{} wide", seen.tell(w * 25.4)),
        None => "wider than any is sold".to_owned(),
    }
}

/// A place to point at: the middle of the grain arrow.
fn inside(piece: &Piece) -> Point {
    match piece.grain {
        Some(grain) => grain.from.toward(grain.to, 0.5),
        None => piece
            .edges
            .first()
            .map_or(Point::new(0.0, 0.0), |e| e.curve.start()),
    }
}

/// Cloth laid across that must not be.
fn laid_wrong(cloth: &Cloth) -> Vec<Finding> {
    let mut out = Vec::new();
    if cloth.length_runs != Runs::Across {
        return out;
    }
    if cloth.nap == Nap::OneWay {
        out.push(
            Finding::of(
                &F26,
                Weight::Ask,
                "shell",
                "The cloth has one way up and is laid across, so its nap runs round her.",
            )
            .cured_by(
                "Lay the length along the cloth; or take it so on purpose, all pieces alike.",
            ),
        );
    }
    if cloth.stretch_round_body > 0.0 {
        let mut finding = Finding::of(
            &F26,
            Weight::Ask,
            "shell",
            format!(
                "The cloth gives by {:.0} % across. Laid across, it gives down the leg and not round her.",
                cloth.stretch_round_body * 100.0
            ),
        )
        .cured_by("Lay the length along the cloth, or give it the ease of cloth that does not stretch.");
        finding.why = Some("The skirt is as tight as woven cloth, and grows longer.".to_owned());
        out.push(finding);
    }
    out
}

/// Pieces whose arrow points up while others point down.
fn upside_down(seen: &Seen<'_>) -> Option<Finding> {
    let arrows: Vec<(&Part<'_>, bool)> = seen
        .shell()
        .filter(|p| seen.hangs(p) && off_plumb(p).is_some_and(|off| off <= PLUMB))
        .filter_map(|p| p.piece.grain.map(|g| (p, g.to.y > g.from.y)))
        .collect();
    let up: Vec<&Part<'_>> = arrows.iter().filter(|a| !a.1).map(|a| a.0).collect();
    if up.is_empty() || up.len() == arrows.len() {
        return None;
    }
    let names: Vec<String> = up.iter().map(|p| the(&p.piece.name)).collect();
    let places: Vec<&str> = up.iter().map(|p| p.piece.name.as_str()).collect();
    let (verb, they) = if up.len() == 1 {
        ("points", "it shades")
    } else {
        ("point", "they shade")
    };
    let mut finding = Finding::of(
        &F26,
        Weight::Ask,
        places.join(" + "),
        format!(
            "The cloth has one way up, and the grain of {} {verb} up: cut so, {they} otherwise than the rest.",
            names.join(" and ")
        ),
    );
    for part in up {
        finding = finding.at(&part.piece.name, None, inside(part.piece));
    }
    Some(finding)
}

/// How far a motif that is matched at the first pair of notches of a seam is off at the others.
fn motif(seen: &Seen<'_>, seam: &Seam, repeat: f64) -> Option<Finding> {
    if seam.twin || repeat <= 0.0 {
        return None;
    }
    let along = |side: &[Leg]| -> Option<Vec<(f64, Leg, Point)>> {
        let shell = side.iter().all(|l| {
            let part = &seen.parts[l.part];
            part.place == Place::Shell && part.sheet.is_some()
        });
        if !shell {
            return None;
        }
        seen.notches(side)
            .iter()
            .map(|(at, _)| {
                let (leg, point) = seen.point(side, *at)?;
                let grain = seen.parts[leg.part].piece.grain?;
                let way = (grain.to - grain.from).unit()?;
                Some(((point - Point::new(0.0, 0.0)).dot(way), leg, point))
            })
            .collect()
    };
    let (one, two) = (along(&seam.a)?, along(&seam.b)?);
    if one.len() != two.len() {
        return None;
    }
    let (first_one, first_two) = (one.first()?.0, two.first()?.0);
    let mut worst: Option<(f64, usize)> = None;
    for (k, (x, y)) in one.iter().zip(&two).enumerate() {
        let out = (x.0 - first_one) - (y.0 - first_two);
        // A whole repeat further the motif comes again.
        let off = out - repeat * (out / repeat).round();
        if worst.is_none_or(|w| off.abs() > w.0.abs()) {
            worst = Some((off, k));
        }
    }
    let (off, k) = worst.filter(|w| w.0.abs() > MOTIF_MM)?;
    let place = |leg: Leg| &seen.parts[leg.part].piece.name;
    let (a, b) = (one[k], two[k]);
    Some(
        Finding::of(
            &F26,
            Weight::Note,
            format!("{} + {}", seen.named(&seam.a), seen.named(&seam.b)),
            format!(
                "Matched at the first notch of the {}, the print of {} and {} is off by {} at the notch {} further down.",
                seam.name,
                the(place(a.1)),
                the(place(b.1)),
                seen.tell_small(off),
                seen.tell((a.0 - first_one).abs())
            ),
        )
        .out_by(
            Amount::Length(Length::try_mm(off)?),
            Some(Amount::Length(Length::mm(MOTIF_MM))),
        )
        .cured_by("Match it where it is seen most, and let it part where the seam curves.")
        .at(place(a.1), Some(seen.edge(a.1).name()), a.2)
        .at(place(b.1), Some(seen.edge(b.1).name()), b.2),
    )
}

#[cfg(test)]
mod tests;
