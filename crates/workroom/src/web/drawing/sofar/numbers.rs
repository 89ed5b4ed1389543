//! Where on the paper each number of a step is measured: found again from the places of what the step
//! drew, and from what its sentence names.

use draft::worked::{Drawn, Shape, Step, Telling};
use measure::fraction::{Shown, show, show_number};
use measure::{Length, Point};

use super::frame::{CHORD, Frame};
use super::spelled;

/// Nearer than this two places are one, in mm.
const SAME: f64 = 0.05;
/// A point so near a line lies on it, in mm.
const ON: f64 = 0.5;

/// A number of the step.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figure {
    pub(super) shown: String,
    /// The method's own, the same for everyone.
    pub(super) fixed: bool,
}

/// A number and where it is measured, in units of the drawing.
#[derive(Clone, Debug)]
pub(super) enum Said {
    /// From a place to a place.
    Across {
        from: Point,
        to: Point,
        figure: Figure,
    },
    /// From a ruling to another; `along` when they are uprights.
    Level {
        from: f64,
        to: f64,
        figure: Figure,
        along: bool,
    },
    /// Along a line.
    Along { chain: Vec<Point>, figure: Figure },
}

/// The numbers of a step that can be shown on its sheet.
pub(super) fn figures(
    there: &[&Drawn],
    step: &Step,
    shown: Shown,
    says: &str,
    frame: &Frame,
) -> Vec<Said> {
    let mut left: Vec<Figure> = step
        .few
        .iter()
        .filter_map(|p| match p {
            Telling::Figure { shown, fixed, .. } => Some(Figure {
                shown: shown.clone(),
                fixed: *fixed,
            }),
            _ => None,
        })
        .collect();
    let own: Vec<&Drawn> = there
        .iter()
        .copied()
        .filter(|d| Some(d.step) == step.number)
        .collect();
    // A sheet that is traced tells no numbers of its own.
    if own.len() > 6 {
        return Vec::new();
    }
    let mut take = |mm: f64| -> Option<Figure> {
        let length = Length::try_mm(mm.abs())?;
        if mm.abs() < SAME {
            return None;
        }
        let ways = [show_number(length, shown), show(length, shown)];
        let at = left
            .iter()
            .position(|f| ways.contains(&f.shown.trim_start_matches('-').to_owned()))?;
        Some(left.remove(at))
    };
    let mut out = Vec::new();
    for thing in &own {
        match &thing.shape {
            Shape::Level(y) => {
                for (_, base) in bases(there, says, thing, level) {
                    if let Some(figure) = take(y - base) {
                        out.push(Said::Level {
                            from: frame.y(base),
                            to: frame.y(*y),
                            figure,
                            along: false,
                        });
                        break;
                    }
                }
            }
            Shape::Upright(x) => {
                for (_, base) in bases(there, says, thing, upright) {
                    if let Some(figure) = take(x - base) {
                        out.push(Said::Level {
                            from: frame.x(base),
                            to: frame.x(*x),
                            figure,
                            along: true,
                        });
                        break;
                    }
                }
            }
            Shape::Point(p) => {
                let along = from_point_on_line(there, says, thing, *p);
                let mut found = false;
                for (chain, far) in along {
                    if let Some(figure) = take(far) {
                        for chain in frame.chains(&chain) {
                            out.push(Said::Along {
                                chain,
                                figure: figure.clone(),
                            });
                        }
                        found = true;
                        break;
                    }
                }
                if found {
                    continue;
                }
                let mut across = bases(there, says, thing, upright);
                across.extend(points(there, says, thing, |q| {
                    ((q.y - p.y).abs() < SAME).then_some(q.x)
                }));
                across.sort_by_key(|(spoken, _)| !spoken);
                let across = across
                    .into_iter()
                    .find_map(|(_, base)| Some((base, take(p.x - base)?)));
                let mut down = bases(there, says, thing, level);
                down.extend(points(there, says, thing, |q| {
                    ((q.x - p.x).abs() < SAME).then_some(q.y)
                }));
                down.sort_by_key(|(spoken, _)| !spoken);
                let down = down
                    .into_iter()
                    .find_map(|(_, base)| Some((base, take(p.y - base)?)));
                // First along the level, then up or down from it, as it is told.
                let level = down.as_ref().map_or(p.y, |(base, _)| *base);
                if let Some((base, figure)) = across {
                    out.push(Said::Across {
                        from: frame.put(Point::new(base, level)),
                        to: frame.put(Point::new(p.x, level)),
                        figure,
                    });
                }
                if let Some((base, figure)) = down {
                    out.push(Said::Across {
                        from: frame.put(Point::new(p.x, base)),
                        to: frame.put(*p),
                        figure,
                    });
                }
            }
            Shape::Dart { mouth, tip, .. } => {
                let middle = mouth.0.toward(mouth.1, 0.5);
                if let Some(figure) = take(mouth.0.distance(mouth.1).in_mm()) {
                    out.push(Said::Along {
                        chain: vec![frame.put(mouth.0), frame.put(mouth.1)],
                        figure,
                    });
                }
                if let Some(figure) = take(middle.distance(*tip).in_mm()) {
                    out.push(Said::Across {
                        from: frame.put(middle),
                        to: frame.put(*tip),
                        figure,
                    });
                }
            }
            // Its length stands beside its name.
            Shape::Line { .. } => {}
        }
    }
    out
}

fn level(shape: &Shape) -> Option<f64> {
    match shape {
        Shape::Level(y) => Some(*y),
        _ => None,
    }
}

fn upright(shape: &Shape) -> Option<f64> {
    match shape {
        Shape::Upright(x) => Some(*x),
        _ => None,
    }
}

/// The rulings from which a thing may be measured, those that are spoken of first, then the latest.
fn bases(
    there: &[&Drawn],
    says: &str,
    thing: &Drawn,
    of: fn(&Shape) -> Option<f64>,
) -> Vec<(bool, f64)> {
    // Of the same step only what was ruled before it; of the same thing nothing.
    let mut out: Vec<(bool, u32, f64)> = there
        .iter()
        .take_while(|d| d.name != thing.name || d.step != thing.step)
        .chain(
            there
                .iter()
                .skip_while(|d| d.name != thing.name)
                .filter(|d| d.step < thing.step),
        )
        .filter_map(|d| {
            Some((
                spelled::holds(says, &d.name.to_lowercase()),
                d.step,
                of(&d.shape)?,
            ))
        })
        .collect();
    out.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.cmp(&a.1)));
    out.into_iter()
        .map(|(spoken, _, at)| (spoken, at))
        .collect()
}

/// The points from which a point may be measured.
fn points(
    there: &[&Drawn],
    says: &str,
    thing: &Drawn,
    of: impl Fn(Point) -> Option<f64>,
) -> Vec<(bool, f64)> {
    there
        .iter()
        .filter(|d| d.name != thing.name)
        .filter_map(|d| match &d.shape {
            Shape::Point(q) => Some((spelled::holds(says, &d.name.to_lowercase()), of(*q)?)),
            _ => None,
        })
        .collect()
}

/// A point that lies on an edge that is spoken of: the part of the edge from each point spoken of to
/// it, and how long that is in mm.
fn from_point_on_line(
    there: &[&Drawn],
    says: &str,
    thing: &Drawn,
    p: Point,
) -> Vec<(Vec<Point>, f64)> {
    let mut out = Vec::new();
    for edge in there {
        let Shape::Line { curve, .. } = &edge.shape else {
            continue;
        };
        if Some(edge.step) == Some(thing.step) || !spelled::holds(says, &edge.name.to_lowercase()) {
            continue;
        }
        let here = curve.nearest(p);
        if here.distance.in_mm() > ON {
            continue;
        }
        let mut froms = vec![Length::ZERO, curve.length()];
        for other in there {
            if let Shape::Point(q) = &other.shape
                && other.name != thing.name
                && spelled::holds(says, &other.name.to_lowercase())
            {
                let near = curve.nearest(*q);
                if near.distance.in_mm() < ON {
                    froms.insert(0, near.along);
                }
            }
        }
        for from in froms {
            let (a, b) = (from.min(here.along), from.max(here.along));
            if let Ok(part) = curve.sub(a, b) {
                out.push((part.flatten(Length::mm(CHORD)), (b - a).in_mm()));
            }
        }
    }
    out
}
