//! Points from their constructions: moves, crossings, turns, compass strokes.

use std::rc::Rc;

use measure::{Angle, Curve, Length, Motion, Point, Vector};

use crate::construct::{Side, side_of};
use crate::note::{Note, Span};
use crate::said;
use crate::tree::{Arg, Part};
use crate::vocabulary::{Id, Slot};
use crate::walk::{Dim, Thing, ThingKind, Walker};

/// A point may lie this far off a line of which it is said to be a point: a softened corner keeps its
/// name. An inch.
pub(crate) const NEAR_LINE: f64 = 25.4;

/// A ruling as an endless straight line.
pub(crate) fn ruling_line(thing: &Thing) -> Option<(Point, Vector)> {
    match thing {
        Thing::Level(y) => Some((Point::new(0.0, *y), Vector::OUTWARD)),
        Thing::Upright(x) => Some((Point::new(*x, 0.0), Vector::DOWN)),
        _ => None,
    }
}

/// A line with its straight ends carried on, five feet each way.
pub(crate) fn carried_on(curve: &Curve) -> Option<Curve> {
    const FAR: f64 = 1500.0;
    let segments = curve.segments();
    let straight = |s: &measure::Segment| matches!(s, measure::Segment::Line { .. });
    let mut all = Vec::new();
    if straight(&segments[0]) {
        all.push(measure::Segment::Line {
            from: curve.start() - curve.start_direction() * FAR,
            to: curve.start(),
        });
    }
    all.extend_from_slice(segments);
    if straight(&segments[segments.len() - 1]) {
        all.push(measure::Segment::Line {
            from: curve.end(),
            to: curve.end() + curve.end_direction() * FAR,
        });
    }
    Curve::from_segments(all).ok()
}

/// The turn of `a` about `b` that goes to the side that was said.
pub(crate) fn turn_to(a: Point, b: Point, by: f64, side: Option<Side>) -> Angle {
    let Some(side) = side else {
        return Angle::radians(by);
    };
    let arm = a - b;
    let clockwise = arm.right().dot(side.way());
    if clockwise.abs() > 1e-9 * arm.size() {
        return Angle::radians(if clockwise > 0.0 { by } else { -by });
    }
    // The arm itself points that way or against it: look at where it ends.
    let there = |x: f64| arm.turned(Angle::radians(x)).dot(side.way());
    Angle::radians(if there(by) >= there(-by) { by } else { -by })
}

/// Half a turn within a hair.
pub(crate) fn half_turn(sweep: f64) -> bool {
    (sweep.abs() - core::f64::consts::PI).abs() < 1e-9
}

impl Walker<'_> {
    /// A point from its construction.
    pub(crate) fn place(&mut self, parts: &[Part]) -> Option<Point> {
        let first = parts.first()?;
        let span = first.span;
        let side = parts.iter().find_map(|p| side_of(p.row.id));
        let mut x: Option<f64> = None;
        let mut y: Option<f64> = None;
        match first.row.id {
            Id::At => match self.thing_arg(first, 0, Slot::Spot)? {
                Thing::Level(v) => y = Some(v),
                Thing::Upright(v) => x = Some(v),
                Thing::Point(p) => (x, y) = (Some(p.x), Some(p.y)),
                Thing::Unknown(ThingKind::Level) if self.dry() => y = Some(0.0),
                Thing::Unknown(ThingKind::Upright) if self.dry() => x = Some(0.0),
                Thing::Unknown(_) if self.dry() => (x, y) = (Some(0.0), Some(0.0)),
                _ => return None,
            },
            Id::AtCrossing => {
                let (a, b) = (
                    self.thing_arg(first, 0, Slot::Spot),
                    self.thing_arg(first, 1, Slot::Spot),
                );
                for thing in [a?, b?] {
                    match thing.kind() {
                        ThingKind::Level => {
                            y = Some(if let Thing::Level(v) = thing { v } else { 0.0 });
                        }
                        ThingKind::Upright => {
                            x = Some(if let Thing::Upright(v) = thing {
                                v
                            } else {
                                0.0
                            });
                        }
                        ThingKind::Any => {
                            if !self.dry() {
                                return None;
                            }
                            (x, y) = (x.or(Some(0.0)), y.or(Some(0.0)));
                        }
                        other => {
                            self.note(
                                Note::new(
                                    span,
                                    format!(
                                        "A level and an upright cross; this is {}.",
                                        other.shown()
                                    ),
                                )
                                .hint("Where lines cross, write `where … meets …`."),
                            );
                            return None;
                        }
                    }
                }
                if x.is_none() || y.is_none() {
                    let what = if x.is_none() {
                        "Two levels"
                    } else {
                        "Two uprights"
                    };
                    self.note(
                        Note::new(span, format!("{what} never cross."))
                            .hint("Name a level and an upright."),
                    );
                    return None;
                }
            }
            _ => {
                let p = self.constructed(first, side, parts)?;
                (x, y) = (Some(p.x), Some(p.y));
            }
        }
        for part in &parts[1..] {
            let up_down = matches!(part.row.id, Id::Up | Id::Down | Id::UpFrom | Id::DownFrom);
            match part.row.id {
                Id::Up | Id::Down | Id::Inward | Id::Outward => {
                    let d = self.length_arg(part, 0)?;
                    let here = if up_down { &mut y } else { &mut x };
                    let Some(v) = here else {
                        let says = if up_down {
                            "This point is placed across but not down yet."
                        } else {
                            "This point is placed down but not across yet."
                        };
                        let hint = if up_down {
                            "Say from what: `down 3 in from waist line`."
                        } else {
                            "Say from what: `outward 3 in from centre line`."
                        };
                        self.note(Note::new(part.span, says).hint(hint));
                        return None;
                    };
                    *v += if matches!(part.row.id, Id::Down | Id::Outward) {
                        d
                    } else {
                        -d
                    };
                }
                Id::UpFrom | Id::DownFrom => {
                    let (d, r) = (
                        self.length_arg(part, 0),
                        self.thing_arg(part, 1, Slot::Spot),
                    );
                    let from = self.down_of(r?, part.span, "a level or a point")?;
                    let d = d?;
                    y = Some(if part.row.id == Id::DownFrom {
                        from + d
                    } else {
                        from - d
                    });
                }
                Id::InwardFrom | Id::OutwardFrom => {
                    let (d, r) = (
                        self.length_arg(part, 0),
                        self.thing_arg(part, 1, Slot::Spot),
                    );
                    let from = self.across_of(r?, part.span, "an upright or a point")?;
                    let d = d?;
                    x = Some(if part.row.id == Id::OutwardFrom {
                        from + d
                    } else {
                        from - d
                    });
                }
                Id::Reaching => {
                    let (d, p) = (self.length_arg(part, 0), self.point_arg(part, 1));
                    let (d, p) = (d?, p?);
                    self.reach(d, p, &mut x, &mut y, side, part.span)?;
                }
                Id::Nearest | Id::GoingToward => {
                    self.point_arg(part, 0)?;
                }
                _ => {}
            }
        }
        let (Some(x), Some(y)) = (x, y) else {
            let says = if x.is_none() {
                "This point is placed down but not across."
            } else {
                "This point is placed across but not down."
            };
            let hint = if x.is_none() {
                "Add how far it lies from an upright: `outward 3 in from centre line`."
            } else {
                "Add how far it lies from a level: `down 3 in from waist line`."
            };
            self.note(Note::new(span, says).hint(hint));
            return None;
        };
        let p = Point::new(x, y);
        if !p.is_finite() || x.abs() > 1e6 || y.abs() > 1e6 {
            if !self.dry() {
                self.note(
                    Note::new(span, "This point lies far off any paper.")
                        .hint("Look at the lengths in it."),
                );
                return None;
            }
            return Some(Point::default());
        }
        Some(p)
    }

    pub(crate) fn reach(
        &mut self,
        d: f64,
        p: Point,
        x: &mut Option<f64>,
        y: &mut Option<f64>,
        side: Option<Side>,
        span: Span,
    ) -> Option<()> {
        if self.dry() {
            (*x, *y) = (Some(0.0), Some(0.0));
            return Some(());
        }
        let (fixed, from) = match (*x, *y) {
            (None, Some(level)) => (level - p.y, p.x),
            (Some(upright), None) => (upright - p.x, p.y),
            _ => {
                self.note(
                    Note::new(
                        span,
                        "`reaching` wants a level or an upright on to which it swings.",
                    )
                    .hint("Begin with `at` and one ruling."),
                );
                return None;
            }
        };
        let left = d * d - fixed * fixed;
        if left < -1e-9 {
            let shown = self.shown_mm(d);
            let far = self.shown_mm(fixed.abs());
            self.note(Note::new(
                span,
                format!("{shown} does not reach: the ruling is {far} away."),
            ));
            return None;
        }
        let run = left.max(0.0).sqrt();
        let forward = !matches!(side, Some(Side::Inward | Side::Up));
        let v = if forward { from + run } else { from - run };
        if x.is_none() {
            *x = Some(v);
        } else {
            *y = Some(v);
        }
        Some(())
    }

    /// A point made from others.
    pub(crate) fn constructed(
        &mut self,
        part: &Part,
        side: Option<Side>,
        parts: &[Part],
    ) -> Option<Point> {
        let dry = self.dry();
        let nothing = Some(Point::default());
        match part.row.id {
            Id::Where => {
                let (a, b) = (
                    self.thing_arg(part, 0, Slot::Straight),
                    self.thing_arg(part, 1, Slot::Straight),
                );
                let nearest = match parts.iter().find(|p| p.row.id == Id::Nearest) {
                    Some(p) => Some(self.point_arg(p, 0)?),
                    None => None,
                };
                let (a, b) = (a?, b?);
                if dry {
                    return nothing;
                }
                self.meeting(&a, &b, nearest, part)
            }
            Id::AlongBy => {
                let (e, d, p) = (
                    self.edge_arg(part, 0),
                    self.length_arg(part, 1),
                    self.point_arg(part, 2),
                );
                let toward = match parts.iter().find(|p| p.row.id == Id::GoingToward) {
                    Some(p) => Some(self.point_arg(p, 0)?),
                    None => None,
                };
                let (e, d, p) = (e?, d?, p?);
                if dry {
                    return nothing;
                }
                let start = self.on_line(&e, p, part.span)?;
                let whole = e.length().in_mm();
                let forward = match toward {
                    Some(q) => e.nearest(q).along.in_mm() >= start,
                    None => start + d <= whole + 1e-6,
                };
                let s = if forward { start + d } else { start - d };
                if s < -1e-6 || s > whole + 1e-6 {
                    let shown = self.shown_mm(d);
                    self.note(
                        Note::new(part.span, format!("The line ends before {shown}."))
                            .hint("It is not that long."),
                    );
                    return None;
                }
                Some(e.at(Length::mm(s.clamp(0.0, whole))).point)
            }
            Id::AlongAt => {
                let (e, k) = (
                    self.edge_arg(part, 0),
                    self.number_arg(part, 1, Dim::Number),
                );
                let (e, k) = (e?, k?);
                if dry {
                    return nothing;
                }
                if !(-1e-9..=1.0 + 1e-9).contains(&k) {
                    self.note(Note::new(
                        part.span,
                        "On a line a share lies between 0 and 1.",
                    ));
                    return None;
                }
                Some(e.at(e.length() * k.clamp(0.0, 1.0)).point)
            }
            Id::FromToward => {
                let (a, b, d) = (
                    self.point_arg(part, 0),
                    self.point_arg(part, 1),
                    self.length_arg(part, 2),
                );
                let (a, b, d) = (a?, b?, d?);
                if dry {
                    return nothing;
                }
                let Some(way) = (b - a).unit() else {
                    self.note(Note::new(
                        part.span,
                        "The two points are the same, so there is no way from one to the other.",
                    ));
                    return None;
                };
                Some(a + way * d)
            }
            Id::Midway => {
                let (a, b) = (self.point_arg(part, 0), self.point_arg(part, 1));
                Some(a?.toward(b?, 0.5))
            }
            Id::BetweenAt => {
                let (a, b, k) = (
                    self.point_arg(part, 0),
                    self.point_arg(part, 1),
                    self.number_arg(part, 2, Dim::Number),
                );
                let (a, b, k) = (a?, b?, k?);
                if dry {
                    return nothing;
                }
                Some(a.toward(b, k))
            }
            Id::SquareTo => {
                let (e, p, d) = (
                    self.thing_arg(part, 0, Slot::Straight),
                    self.point_arg(part, 1),
                    self.length_arg(part, 2),
                );
                let (e, p, d) = (e?, p?, d?);
                if dry {
                    return nothing;
                }
                let along = Self::direction_at(&e, p)?;
                let mut off = along.left();
                let wanted = side
                    .unwrap_or(if along.x.abs() > along.y.abs() {
                        Side::Down
                    } else {
                        Side::Outward
                    })
                    .way();
                if off.dot(wanted) < 0.0 {
                    off = -off;
                }
                let foot = match &e {
                    Thing::Line(c) => c.nearest(p).point,
                    Thing::Level(y) => Point::new(p.x, *y),
                    Thing::Upright(x) => Point::new(*x, p.y),
                    _ => p,
                };
                Some(foot + off * d)
            }
            Id::TurnPoint => {
                let (a, b, x) = (
                    self.point_arg(part, 0),
                    self.point_arg(part, 1),
                    self.number_arg(part, 2, Dim::Angle),
                );
                let (a, b, x) = (a?, b?, x?);
                if dry {
                    return nothing;
                }
                let turn = turn_to(a, b, x, side);
                Some(Motion::turn(b, turn).point(a))
            }
            Id::ReflectPoint => {
                let (a, over) = (
                    self.point_arg(part, 0),
                    self.thing_arg(part, 1, Slot::Straight),
                );
                let (a, over) = (a?, over?);
                if dry {
                    return nothing;
                }
                let motion = self.mirror(&over, part.span)?;
                Some(motion.point(a))
            }
            Id::Compass => {
                let (d, p) = (self.length_arg(part, 0), self.point_arg(part, 1));
                let (f, q) = (self.length_arg(part, 2), self.point_arg(part, 3));
                let (d, p, f, q) = (d?, p?, f?, q?);
                if dry {
                    return nothing;
                }
                self.compass(d, p, f, q, side, part.span)
            }
            Id::TipOf => match self.thing_arg(part, 0, Slot::Dart)? {
                Thing::Dart(dart) => Some(dart.tip),
                _ if dry => nothing,
                _ => None,
            },
            Id::StartOf | Id::EndOf => {
                let e = self.edge_arg(part, 0)?;
                if dry {
                    return nothing;
                }
                Some(if part.row.id == Id::StartOf {
                    e.start()
                } else {
                    e.end()
                })
            }
            _ => None,
        }
    }

    pub(crate) fn compass(
        &mut self,
        d: f64,
        p: Point,
        f: f64,
        q: Point,
        side: Option<Side>,
        span: Span,
    ) -> Option<Point> {
        let apart = (q - p).size();
        let Some(way) = (q - p).unit() else {
            self.note(Note::new(
                span,
                "Both strokes are struck from the same point.",
            ));
            return None;
        };
        let along = (d * d - f * f + apart * apart) / (2.0 * apart);
        let off2 = d * d - along * along;
        if off2 < -1e-6 * apart.max(1.0) {
            let (a, b, c) = (self.shown_mm(d), self.shown_mm(f), self.shown_mm(apart));
            self.note(Note::new(
                span,
                format!("{a} and {b} do not meet: the two points are {c} apart."),
            ));
            return None;
        }
        let off = way.left() * off2.max(0.0).sqrt();
        let foot = p + way * along;
        let (one, two) = (foot + off, foot - off);
        let wanted = side.map_or(Vector::OUTWARD, Side::way);
        Some(if (one - foot).dot(wanted) >= (two - foot).dot(wanted) {
            one
        } else {
            two
        })
    }

    /// Where two lines or rulings meet.
    pub(crate) fn meeting(
        &mut self,
        a: &Thing,
        b: &Thing,
        near: Option<Point>,
        part: &Part,
    ) -> Option<Point> {
        let mut found: Vec<Point> = match (a, b) {
            (Thing::Line(c), Thing::Line(e)) => {
                c.crossings(e).into_iter().map(|x| x.point).collect()
            }
            (Thing::Line(c), ruling) | (ruling, Thing::Line(c)) => {
                let (on, way) = ruling_line(ruling)?;
                c.crossings_straight(on, way)
                    .into_iter()
                    .map(|x| x.1)
                    .collect()
            }
            (Thing::Level(y), Thing::Upright(x)) | (Thing::Upright(x), Thing::Level(y)) => {
                vec![Point::new(*x, *y)]
            }
            _ => Vec::new(),
        };
        if found.is_empty() {
            // A ruler is laid on: straight ends are carried on.
            let longer = |t: &Thing| match t {
                Thing::Line(c) => carried_on(c).map(|c| Thing::Line(Rc::new(c))),
                other => Some(other.clone()),
            };
            if let (Some(a), Some(b)) = (longer(a), longer(b)) {
                found = match (&a, &b) {
                    (Thing::Line(c), Thing::Line(e)) => {
                        c.crossings(e).into_iter().map(|x| x.point).collect()
                    }
                    (Thing::Line(c), ruling) | (ruling, Thing::Line(c)) => {
                        let (on, way) = ruling_line(ruling)?;
                        c.crossings_straight(on, way)
                            .into_iter()
                            .map(|x| x.1)
                            .collect()
                    }
                    _ => Vec::new(),
                };
            }
        }
        if let Some(p) = near {
            found.sort_by(|x, y| (*x - p).size().total_cmp(&(*y - p).size()));
        }
        if found.is_empty() {
            let names: Vec<String> = part
                .args
                .iter()
                .map(|a| match a {
                    Arg::Drawn(d) => said::drawn(d),
                    Arg::Edge(e) => said::edge(e),
                    _ => String::new(),
                })
                .collect();
            self.note(Note::new(
                part.span,
                format!(
                    "With these numbers the {} and the {} do not meet.",
                    names[0], names[1]
                ),
            ));
        }
        found.first().copied()
    }

    /// How far along a line a point of it is.
    pub(crate) fn on_line(&mut self, curve: &Curve, p: Point, span: Span) -> Option<f64> {
        let near = curve.nearest(p);
        if near.distance.in_mm() > NEAR_LINE {
            let far = self.shown_mm(near.distance.in_mm());
            self.note(Note::new(
                span,
                format!("The point does not lie on that line: it is {far} away."),
            ));
            return None;
        }
        Some(near.along.in_mm())
    }

    /// The direction of a line or ruling at a point.
    pub(crate) fn direction_at(thing: &Thing, p: Point) -> Option<Vector> {
        match thing {
            Thing::Line(c) => Some(c.at(c.nearest(p).along).direction),
            Thing::Level(_) => Some(Vector::OUTWARD),
            Thing::Upright(_) => Some(Vector::DOWN),
            _ => None,
        }
    }

    /// The motion that turns things over a ruling or a straight line.
    pub(crate) fn mirror(&mut self, over: &Thing, span: Span) -> Option<Motion> {
        match over {
            Thing::Line(c) => {
                let (a, b) = (c.start(), c.end());
                let Some(way) = (b - a).unit() else {
                    self.note(Note::new(
                        span,
                        "A line that comes back to its beginning can't be turned over.",
                    ));
                    return None;
                };
                if c.flatten(Length::mm(0.05))
                    .iter()
                    .any(|p| way.cross(*p - a).abs() > 0.5)
                {
                    self.note(Note::new(
                        span,
                        "I can turn things over a straight line only, and this one is curved.",
                    ));
                    return None;
                }
                Some(Motion::reflect(a, way))
            }
            ruling => {
                let (on, way) = ruling_line(ruling)?;
                Some(Motion::reflect(on, way))
            }
        }
    }
}
