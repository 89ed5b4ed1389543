//! Draws levels, uprights, points, and finds drawn things by name.

use std::rc::Rc;
use std::sync::Arc;

use measure::{Angle, Curve, Length, Motion, Point, Vector};

use crate::note::{Note, Span};
use crate::said;
use crate::tree::{
    Arg, Drawn, EdgeRef, End, Entry, Expr, Heading, Makes, Part, Ref, RefName, Says,
};
use crate::vocabulary::{Id, Slot};
use crate::walk::{Dim, Found, Key, Owner, Thing, ThingKind, Walker, value_of};

/// A point may lie this far off a line of which it is said to be a point: a softened corner keeps its
/// name. An inch.
const NEAR_LINE: f64 = 25.4;

/// A line that was found, with the mouths of its darts.
#[derive(Clone, Debug)]
pub(crate) struct LineFound {
    pub(crate) curve: Rc<Curve>,
    pub(crate) mouths: Vec<(f64, f64)>,
    /// The names of its owner, to look for points there.
    pub(crate) owner: Vec<RefName>,
}

/// Which side a construction goes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Outward,
    Inward,
    Up,
    Down,
}

impl Side {
    pub(crate) const fn way(self) -> Vector {
        match self {
            Self::Outward => Vector::OUTWARD,
            Self::Inward => Vector::INWARD,
            Self::Up => Vector::UP,
            Self::Down => Vector::DOWN,
        }
    }
}

pub(crate) fn side_of(id: Id) -> Option<Side> {
    match id {
        Id::SideOutward => Some(Side::Outward),
        Id::SideInward => Some(Side::Inward),
        Id::SideUp => Some(Side::Up),
        Id::SideDown => Some(Side::Down),
        _ => None,
    }
}

impl<'a> Walker<'a> {
    /// Works one entry of a sheet.
    pub(crate) fn make(&mut self, entry: &'a Entry) {
        if entry.spoilt {
            self.put_spoilt(&entry.head, entry.heading);
            return;
        }
        if entry.head.names.len() != 1 && self.dry() {
            self.note(
                Note::new(entry.head.span, "One line makes one thing here.")
                    .hint("Write a line for each."),
            );
        }
        let Some(name) = entry.head.names.first() else {
            return;
        };
        let Some(key) = self.key(name) else { return };
        match (&entry.says, entry.heading) {
            (Says::Value(_), _) => {
                let Some(value) = value_of(entry) else { return };
                let num = self.value(value, Some(&key));
                self.put_number(name, key, num);
            }
            (Says::Parts(parts), Heading::Levels) => {
                let y = self.level(parts);
                let body = parts
                    .iter()
                    .find(|p| p.row.id == Id::BodyLevel)
                    .and_then(|p| match &p.args[..] {
                        [Arg::Word(w, _)] => Some(w.clone()),
                        _ => None,
                    });
                let thing = self.or_unknown(y.map(Thing::Level), ThingKind::Level);
                self.put_drawn(name, key, thing, None, body);
            }
            (Says::Parts(parts), Heading::Uprights) => {
                let x = self.upright(parts);
                let thing = self.or_unknown(x.map(Thing::Upright), ThingKind::Upright);
                self.put_drawn(name, key, thing, None, None);
            }
            (Says::Parts(parts), Heading::Points) => {
                let level = self.base_level(parts);
                let point = self.place(parts);
                let thing = self.or_unknown(point.map(Thing::Point), ThingKind::Point);
                self.put_drawn(name, key, thing, level, None);
            }
            (Says::Parts(parts), Heading::Lines | Heading::Edges) => {
                let line = self.line(parts, entry.head.span);
                self.softens(parts, &key);
                let thing = self.or_unknown(line.map(|c| Thing::Line(Rc::new(c))), ThingKind::Line);
                let scope = self.scope;
                if entry.heading == Heading::Edges && !self.scopes[scope].edges.contains(&key) {
                    self.scopes[scope].edges.push(key.clone());
                }
                self.put_drawn(name, key, thing, None, None);
            }
            (Says::Parts(parts), Heading::Darts) => match self.dart(parts, entry.head.span) {
                // A dart that takes out nothing is not there.
                Some(None) if !self.dry() => {}
                Some(Some(dart)) => {
                    self.put_drawn(name, key, Thing::Dart(Rc::new(dart)), None, None)
                }
                _ => self.put_drawn(name, key, Thing::Unknown(ThingKind::Dart), None, None),
            },
            _ => {}
        }
    }

    /// Remembers which corners of a line were softened: their points keep their names on the curve.
    fn softens(&mut self, parts: &[Part], line: &Key) {
        if self.dry() || self.redrawing {
            return;
        }
        for part in parts
            .iter()
            .filter(|p| matches!(p.row.id, Id::SoftenOver | Id::SoftenRadius))
        {
            if let Some(Arg::Drawn(Drawn::Named(r))) = part.args.first()
                && let [one] = &r.parts[..]
                && let Some(point) = self.key(one)
            {
                let scope = self.scope;
                self.scopes[scope].softened.push((line.clone(), point));
            }
        }
    }

    fn or_unknown(&self, thing: Option<Thing>, kind: ThingKind) -> Thing {
        match thing {
            Some(thing) if !self.dry() => thing,
            _ => Thing::Unknown(kind),
        }
    }

    /// The level on which a point is placed first.
    fn base_level(&mut self, parts: &[Part]) -> Option<Key> {
        let first = parts.first()?;
        for arg in &first.args {
            if let Arg::Drawn(Drawn::Named(r)) = arg
                && let [one] = &r.parts[..]
            {
                let key = self.key(one)?;
                let scope = self.scope;
                if self
                    .scope_drawn(scope, &key)
                    .is_some_and(|h| h.what.kind() == ThingKind::Level)
                {
                    return Some(key);
                }
            }
        }
        None
    }

    // Arguments.

    pub(crate) fn length_arg(&mut self, part: &Part, i: usize) -> Option<f64> {
        self.number_arg(part, i, Dim::Length)
    }

    pub(crate) fn number_arg(&mut self, part: &Part, i: usize, dim: Dim) -> Option<f64> {
        match part.args.get(i)? {
            Arg::Number(expr) => self.of_kind(expr, dim),
            _ => None,
        }
    }

    pub(crate) fn expr_arg(part: &Part, i: usize) -> Option<&Expr> {
        match part.args.get(i)? {
            Arg::Number(expr) => Some(expr),
            _ => None,
        }
    }

    pub(crate) fn thing_arg(&mut self, part: &Part, i: usize, slot: Slot) -> Option<Thing> {
        match part.args.get(i)? {
            Arg::Drawn(drawn) => self.thing(drawn, slot),
            Arg::Edge(edge) => {
                let curve = self.line_of(edge)?;
                Some(if self.dry() {
                    Thing::Unknown(ThingKind::Line)
                } else {
                    Thing::Line(curve)
                })
            }
            _ => None,
        }
    }

    pub(crate) fn point_arg(&mut self, part: &Part, i: usize) -> Option<Point> {
        match part.args.get(i)? {
            Arg::Drawn(drawn) => self.point(drawn),
            _ => None,
        }
    }

    pub(crate) fn edge_arg(&mut self, part: &Part, i: usize) -> Option<Rc<Curve>> {
        match part.args.get(i)? {
            Arg::Edge(edge) => self.line_of(edge),
            Arg::Drawn(drawn) => match self.thing(drawn, Slot::Edge)? {
                Thing::Line(curve) => Some(curve),
                _ => self.dry_curve(),
            },
            _ => None,
        }
    }

    /// Some line, for the dry walk.
    fn dry_curve(&self) -> Option<Rc<Curve>> {
        if !self.dry() {
            return None;
        }
        Curve::line(Point::new(0.0, 0.0), Point::new(0.0, 100.0))
            .ok()
            .map(Rc::new)
    }

    // Levels and uprights.

    fn level(&mut self, parts: &[Part]) -> Option<f64> {
        let part = parts.first()?;
        match part.row.id {
            Id::AtTop => Some(0.0),
            Id::Below | Id::Above => {
                let (d, r) = (
                    self.length_arg(part, 0),
                    self.thing_arg(part, 1, Slot::Spot),
                );
                let y = self.down_of(r?, part.span, "a level or a point")?;
                Some(if part.row.id == Id::Below {
                    y + d?
                } else {
                    y - d?
                })
            }
            _ => None,
        }
    }

    fn upright(&mut self, parts: &[Part]) -> Option<f64> {
        let part = parts.first()?;
        match part.row.id {
            Id::AtLeft => Some(0.0),
            Id::FromRuling => {
                let (d, r) = (
                    self.length_arg(part, 0),
                    self.thing_arg(part, 1, Slot::Spot),
                );
                let x = self.across_of(r?, part.span, "an upright or a point")?;
                Some(x + d?)
            }
            _ => None,
        }
    }

    fn down_of(&mut self, thing: Thing, span: Span, wants: &str) -> Option<f64> {
        match thing {
            Thing::Level(y) => Some(y),
            Thing::Point(p) => Some(p.y),
            Thing::Unknown(ThingKind::Level | ThingKind::Point | ThingKind::Any) if self.dry() => {
                Some(0.0)
            }
            Thing::Unknown(ThingKind::Any) => None,
            other => {
                if !(matches!(other, Thing::Unknown(_)) && !self.dry()) {
                    self.note(Note::new(
                        span,
                        format!(
                            "Down the paper I count from {wants}, and this is {}.",
                            other.kind().shown()
                        ),
                    ));
                }
                None
            }
        }
    }

    fn across_of(&mut self, thing: Thing, span: Span, wants: &str) -> Option<f64> {
        match thing {
            Thing::Upright(x) => Some(x),
            Thing::Point(p) => Some(p.x),
            Thing::Unknown(ThingKind::Upright | ThingKind::Point | ThingKind::Any)
                if self.dry() =>
            {
                Some(0.0)
            }
            Thing::Unknown(ThingKind::Any) => None,
            other => {
                if !(matches!(other, Thing::Unknown(_)) && !self.dry()) {
                    self.note(Note::new(
                        span,
                        format!(
                            "Across the paper I count from {wants}, and this is {}.",
                            other.kind().shown()
                        ),
                    ));
                }
                None
            }
        }
    }

    // Points.

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
                            y = Some(if let Thing::Level(v) = thing { v } else { 0.0 })
                        }
                        ThingKind::Upright => {
                            x = Some(if let Thing::Upright(v) = thing {
                                v
                            } else {
                                0.0
                            })
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

    fn reach(
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

    pub(crate) fn shown_mm(&self, mm: f64) -> String {
        Length::try_mm(mm).map_or_else(String::new, |l| {
            measure::fraction::show(l, self.purpose.shown)
        })
    }

    /// A point made from others.
    fn constructed(&mut self, part: &Part, side: Option<Side>, parts: &[Part]) -> Option<Point> {
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
                let along = self.direction_at(&e, p)?;
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

    fn compass(
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
    fn meeting(&mut self, a: &Thing, b: &Thing, near: Option<Point>, part: &Part) -> Option<Point> {
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
    pub(crate) fn direction_at(&mut self, thing: &Thing, p: Point) -> Option<Vector> {
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

    // Finding drawn things.

    /// A drawn thing for a place of this kind.
    pub(crate) fn thing(&mut self, drawn: &Drawn, slot: Slot) -> Option<Thing> {
        match drawn {
            Drawn::Named(r) => {
                let Some(found) = self.find_drawn(r) else {
                    self.not_drawn(r, slot);
                    return None;
                };
                self.read_mark(found.deps, found.by);
                let said = said::reference(r);
                self.conditions(&found.conds, r.span, &said);
                let kind = found.what.kind();
                if kind == ThingKind::Any {
                    return self.dry().then_some(found.what);
                }
                if !takes(slot, kind) {
                    let note = Note::new(
                        r.span,
                        format!(
                            "`{said}` is {}; here I want {}.",
                            kind.shown(),
                            slot.wants()
                        ),
                    );
                    self.note(note);
                    return None;
                }
                if !self.dry() && matches!(found.what, Thing::Unknown(_)) {
                    return None;
                }
                Some(found.what)
            }
            Drawn::Bracket(body) => {
                if body.spoilt {
                    return None;
                }
                let made = match body.makes {
                    Makes::Point => self.place(&body.parts).map(Thing::Point),
                    Makes::Level => self.level(&body.parts).map(Thing::Level),
                    Makes::Line => self
                        .line(&body.parts, body.span)
                        .map(|c| Thing::Line(Rc::new(c))),
                }?;
                let kind = made.kind();
                if !takes(slot, kind) {
                    self.note(Note::new(
                        body.span,
                        format!(
                            "In brackets stands {}; here I want {}.",
                            kind.shown(),
                            slot.wants()
                        ),
                    ));
                    return None;
                }
                Some(if self.dry() {
                    Thing::Unknown(kind)
                } else {
                    made
                })
            }
            Drawn::EndOf(end, of, span) => {
                let inner = if *end == End::Tip {
                    Slot::Dart
                } else {
                    Slot::Edge
                };
                let made = match (self.thing(of, inner)?, end) {
                    (Thing::Line(c), End::Start) => Thing::Point(c.start()),
                    (Thing::Line(c), _) => Thing::Point(c.end()),
                    (Thing::Dart(d), _) => Thing::Point(d.tip),
                    _ if self.dry() => Thing::Unknown(ThingKind::Point),
                    _ => return None,
                };
                if !takes(slot, ThingKind::Point) {
                    self.note(Note::new(
                        *span,
                        format!("This is a point; here I want {}.", slot.wants()),
                    ));
                    return None;
                }
                Some(made)
            }
        }
    }

    fn not_drawn(&mut self, r: &Ref, slot: Slot) {
        if self.redrawing {
            return;
        }
        // A piece in hand is asked for its own edges by name.
        if slot == Slot::Own
            && let Some(piece) = self.in_hand.clone()
        {
            if piece.loose || piece.spoilt {
                return;
            }
            let said = said::reference(r);
            let note = Note::new(
                r.span,
                format!("`{}` has no edge `{said}`.", piece.key.shown()),
            );
            let hint = match measure::words::nearest(&said, piece.edges.iter().map(String::as_str))
            {
                Some(meant) => format!("Did you mean `{meant}`?"),
                None => format!("It has {}.", piece.edges.join(", ")),
            };
            self.note(note.hint(hint));
            return;
        }
        if let Some(found) = self.find_number(r) {
            if found.what.dim == Dim::Any {
                return;
            }
            let said = said::reference(r);
            let note = Note::new(
                r.span,
                format!(
                    "`{said}` is {}; here I want {}.",
                    found.what.dim.shown(),
                    slot.wants()
                ),
            );
            self.note_missing(&said, note);
            return;
        }
        if let Some(kind) = self.kind_of_drawn(r) {
            if kind == ThingKind::Any {
                return;
            }
            let said = said::reference(r);
            self.note(Note::new(
                r.span,
                format!(
                    "`{said}` is {}; here I want {}.",
                    kind.shown(),
                    slot.wants()
                ),
            ));
            return;
        }
        if let Some(owner) = (r.parts.len() > 1)
            .then(|| self.owner(&r.parts[1..]))
            .flatten()
            && let Some(p) = owner.piece
            && (self.draft_of(&owner).pieces[p].loose || self.draft_of(&owner).pieces[p].spoilt)
        {
            return;
        }
        self.no_such(r, false);
    }

    /// What a name stands for among drawn things, sheets, pieces and methods.
    pub(crate) fn kind_of_drawn(&mut self, r: &Ref) -> Option<ThingKind> {
        if let Some(found) = self.find_drawn(r) {
            return Some(found.what.kind());
        }
        let owner = self.owner(&r.parts)?;
        Some(match (owner.whole, owner.sheet, owner.piece) {
            (true, ..) => ThingKind::Method,
            (_, Some(_), _) => ThingKind::Sheet,
            _ => ThingKind::Piece,
        })
    }

    /// Whether a name is a line.
    pub(crate) fn kind_of_line(&mut self, r: &Ref) -> Option<()> {
        self.find_drawn(r)
            .filter(|f| matches!(f.what.kind(), ThingKind::Line | ThingKind::Any))
            .map(|_| ())
    }

    /// A drawn thing by its name: of the piece in hand, on the sheet, in the method; or of an owner.
    pub(crate) fn find_drawn(&mut self, r: &Ref) -> Option<Found<Thing>> {
        let n = r.parts.len();
        for cut in (0..n).rev() {
            let (own, owners) = r.parts.split_at(cut + 1);
            let key = self.joined(own)?;
            if owners.is_empty() {
                if let Some(piece) = &self.in_hand
                    && let Some(thing) = of_piece(piece, &key, self.dry())
                {
                    return Some(Found {
                        what: thing,
                        deps: 0,
                        by: usize::MAX,
                        conds: Vec::new(),
                        ours: true,
                    });
                }
                for scope in self.where_to_look() {
                    if let Some(held) = self.scope_drawn(scope, &key) {
                        return Some(Found {
                            what: held.what.clone(),
                            deps: held.deps,
                            by: held.by,
                            conds: held.conds.clone(),
                            ours: true,
                        });
                    }
                }
                if let Some(piece) = &self.in_hand
                    && let Some((Some(sub), scope)) = piece.sheet
                    && let Some(held) = self.subs[sub].walker.scope_drawn(scope, &key)
                {
                    return Some(Found {
                        what: held.what.clone(),
                        deps: 0,
                        by: usize::MAX,
                        conds: Vec::new(),
                        ours: false,
                    });
                }
                continue;
            }
            if let Some(owner) = self.owner(owners)
                && let Some(found) = self.of_owner(&owner, &key)
            {
                return Some(found);
            }
        }
        None
    }

    fn of_owner(&self, owner: &Owner, key: &Key) -> Option<Found<Thing>> {
        let draft = self.draft_of(owner);
        let ours = owner.sub.is_none();
        let on_sheet = |sheet: Option<usize>| {
            sheet
                .and_then(|s| draft.scope_drawn(s, key))
                .map(|h| Found {
                    what: h.what.clone(),
                    deps: if ours { h.deps } else { 0 },
                    by: if ours { h.by } else { usize::MAX },
                    conds: if ours { h.conds.clone() } else { Vec::new() },
                    ours,
                })
        };
        if self.of_sheets
            && let Some(found) = on_sheet(owner.sheet)
        {
            return Some(found);
        }
        if let Some(p) = owner.piece {
            let piece = &draft.pieces[p];
            if let Some(thing) = of_piece(piece, key, self.dry()) {
                let conds = if ours {
                    piece.conds.clone()
                } else {
                    Vec::new()
                };
                return Some(Found {
                    what: thing,
                    deps: 0,
                    by: usize::MAX,
                    conds,
                    ours,
                });
            }
        }
        if let Some(found) = on_sheet(owner.sheet) {
            return Some(found);
        }
        let piece = owner.piece.map(|p| &draft.pieces[p])?;
        let (inner, scope) = piece.sheet?;
        let draft = match inner {
            Some(i) => &draft.subs[i].walker,
            None => draft,
        };
        draft.scope_drawn(scope, key).map(|h| Found {
            what: h.what.clone(),
            deps: 0,
            by: usize::MAX,
            conds: Vec::new(),
            ours: false,
        })
    }

    /// The darts in a line, as the stretches their mouths take of it.
    fn mouths_of(&mut self, r: &Ref) -> Vec<(f64, f64)> {
        let n = r.parts.len();
        for cut in (0..n).rev() {
            let (own, owners) = r.parts.split_at(cut + 1);
            let Some(key) = self.joined(own) else {
                return Vec::new();
            };
            if owners.is_empty() {
                if let Some(PieceState::Made(piece)) = self.in_hand.as_ref().map(piece_state)
                    && piece.edge(&key.shown()).is_ok()
                {
                    return piece_mouths(piece, &key);
                }
                for scope in self.where_to_look() {
                    if self.scope_drawn(scope, &key).is_some() {
                        return self.sheet_mouths(scope, &key);
                    }
                }
            } else if let Some(owner) = self.owner(owners) {
                let draft = self.draft_of(&owner);
                if self.of_sheets
                    && let Some(scope) = owner.sheet
                    && draft.scope_drawn(scope, &key).is_some()
                {
                    return draft.sheet_mouths(scope, &key);
                }
                if let Some(p) = owner.piece
                    && let Some(piece) = &draft.pieces[p].piece
                    && piece.edge(&key.shown()).is_ok()
                {
                    return piece_mouths(piece, &key);
                }
                if let Some(scope) = owner.sheet {
                    return draft.sheet_mouths(scope, &key);
                }
            }
        }
        Vec::new()
    }

    fn sheet_mouths(&self, scope: usize, key: &Key) -> Vec<(f64, f64)> {
        self.scopes[scope]
            .drawn
            .all
            .iter()
            .filter_map(|h| match &h.what {
                Thing::Dart(d) if d.edge == *key => Some(d.mouth),
                _ => None,
            })
            .collect()
    }

    /// A line, or the part of one between two of its points.
    pub(crate) fn line_of(&mut self, edge: &EdgeRef) -> Option<Rc<Curve>> {
        let found = self.line_found(edge)?;
        let Some(between) = &edge.between else {
            return Some(found.curve);
        };
        let (a, b) = (
            self.point_near(&between.0, &found.owner),
            self.point_near(&between.1, &found.owner),
        );
        let (a, b) = (a?, b?);
        if self.dry() {
            return Some(found.curve);
        }
        let span = edge.line.span();
        let (s, e) = (
            self.on_line(&found.curve, a, span)?,
            self.on_line(&found.curve, b, span)?,
        );
        match found.curve.sub(Length::mm(s), Length::mm(e)) {
            Ok(part) => Some(Rc::new(part)),
            Err(_) => {
                self.note(Note::new(
                    span,
                    "Between these two points nothing of the line is left.",
                ));
                None
            }
        }
    }

    /// How long a line, or its part between two points, is when its darts are sewn.
    pub(crate) fn sewn_length(&mut self, edge: &EdgeRef) -> Option<f64> {
        let found = self.line_found(edge)?;
        let (mut from, mut to) = (0.0, found.curve.length().in_mm());
        if let Some(between) = &edge.between {
            let (a, b) = (
                self.point_near(&between.0, &found.owner),
                self.point_near(&between.1, &found.owner),
            );
            let (a, b) = (a?, b?);
            if !self.dry() {
                let span = edge.line.span();
                let (s, e) = (
                    self.on_line(&found.curve, a, span)?,
                    self.on_line(&found.curve, b, span)?,
                );
                (from, to) = (s.min(e), s.max(e));
            }
        }
        let taken: f64 = found
            .mouths
            .iter()
            .map(|m| (m.1.min(to) - m.0.max(from)).max(0.0))
            .sum();
        Some(to - from - taken)
    }

    fn line_found(&mut self, edge: &EdgeRef) -> Option<LineFound> {
        let thing = self.thing(&edge.line, Slot::Edge)?;
        let curve = match thing {
            Thing::Line(curve) => curve,
            _ => self.dry_curve()?,
        };
        let (mouths, owner) = match &edge.line {
            Drawn::Named(r) => {
                let mouths = if self.dry() {
                    Vec::new()
                } else {
                    self.mouths_of(r)
                };
                (mouths, r.parts[1..].to_vec())
            }
            _ => (Vec::new(), Vec::new()),
        };
        Some(LineFound {
            curve,
            mouths,
            owner,
        })
    }

    /// A point said beside a line is sought where the line is, then here.
    pub(crate) fn point_near(&mut self, drawn: &Drawn, owner: &[RefName]) -> Option<Point> {
        if let Drawn::Named(r) = drawn
            && !owner.is_empty()
        {
            let mut parts = r.parts.clone();
            parts.extend(owner.iter().cloned());
            let longer = Ref {
                parts,
                span: r.span,
            };
            if let Some(found) = self.find_drawn(&longer) {
                let drawn = Drawn::Named(longer);
                let _ = found;
                return self.point(&drawn);
            }
        }
        self.point(drawn)
    }
}

enum PieceState<'p> {
    Made(&'p piece::Piece),
    Not,
}

fn piece_state(piece: &crate::walk::PieceMade) -> PieceState<'_> {
    match &piece.piece {
        Some(p) => PieceState::Made(p),
        None => PieceState::Not,
    }
}

fn piece_mouths(piece: &piece::Piece, key: &Key) -> Vec<(f64, f64)> {
    let name = key.shown();
    piece
        .darts
        .iter()
        .filter(|d| d.edge == name)
        .map(|d| (d.mouth.0.in_mm(), d.mouth.1.in_mm()))
        .collect()
}

/// An edge, mark or dart of a piece.
fn of_piece(piece: &crate::walk::PieceMade, key: &Key, dry: bool) -> Option<Thing> {
    let name = key.shown();
    if dry {
        if piece.spoilt {
            return Some(Thing::Unknown(ThingKind::Any));
        }
        if piece.edges.contains(&name) {
            return Some(Thing::Unknown(ThingKind::Line));
        }
        if piece.loose && name.starts_with("other ") {
            return Some(Thing::Unknown(ThingKind::Any));
        }
        return None;
    }
    let made = piece.piece.as_ref()?;
    if let Ok(edge) = made.edge(&name) {
        return Some(Thing::Line(Rc::new(edge.curve.clone())));
    }
    if let Some(p) = made.mark(&name) {
        return Some(Thing::Point(p));
    }
    if let Ok(dart) = made.dart(&name) {
        let mouth = (dart.mouth.0.in_mm(), dart.mouth.1.in_mm());
        let edge: Arc<str> = dart.edge.as_str().into();
        return Some(Thing::Dart(Rc::new(crate::walk::DartThing {
            edge: Key::plain(edge),
            mouth,
            tip: dart.tip,
            pressed: dart.pressed,
            length: 0.0,
            intake: mouth.1 - mouth.0,
        })));
    }
    None
}

/// Which kinds a place takes.
pub(crate) fn takes(slot: Slot, kind: ThingKind) -> bool {
    use ThingKind as K;
    match slot {
        Slot::Point | Slot::Points => kind == K::Point,
        Slot::Edge | Slot::Edges | Slot::Own => kind == K::Line,
        Slot::Straight => matches!(kind, K::Line | K::Level | K::Upright),
        Slot::Ruling => matches!(kind, K::Level | K::Upright),
        Slot::Spot => matches!(kind, K::Level | K::Upright | K::Point),
        Slot::PointOrOwn => matches!(kind, K::Line | K::Point),
        Slot::Dart => kind == K::Dart,
        _ => true,
    }
}

/// A ruling as an endless straight line.
pub(crate) fn ruling_line(thing: &Thing) -> Option<(Point, Vector)> {
    match thing {
        Thing::Level(y) => Some((Point::new(0.0, *y), Vector::OUTWARD)),
        Thing::Upright(x) => Some((Point::new(*x, 0.0), Vector::DOWN)),
        _ => None,
    }
}

/// A line with its straight ends carried on, five feet each way.
fn carried_on(curve: &Curve) -> Option<Curve> {
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
