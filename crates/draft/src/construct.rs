//! Draws levels, uprights, points, and finds drawn things by name.

use std::rc::Rc;

use measure::{Curve, Length, Point, Vector};

use crate::note::{Note, Span};
use crate::tree::{Arg, Drawn, Entry, Expr, Heading, Part, Says};
use crate::vocabulary::{Id, Slot};
use crate::walk::{Dim, Key, Thing, ThingKind, Walker, value_of};

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
                    self.put_drawn(name, key, Thing::Dart(Rc::new(dart)), None, None);
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
    pub(crate) fn dry_curve(&self) -> Option<Rc<Curve>> {
        if !self.dry() {
            return None;
        }
        Curve::line(Point::new(0.0, 0.0), Point::new(0.0, 100.0))
            .ok()
            .map(Rc::new)
    }

    pub(crate) fn level(&mut self, parts: &[Part]) -> Option<f64> {
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

    pub(crate) fn upright(&mut self, parts: &[Part]) -> Option<f64> {
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

    /// Notes that lengths `way` the paper are not counted from such a thing.
    fn not_counted_from(&mut self, thing: &Thing, span: Span, way: &str, wants: &str) {
        if matches!(thing, Thing::Unknown(_)) && !self.dry() {
            return;
        }
        let kind = thing.kind().shown();
        self.note(Note::new(
            span,
            format!("{way} the paper I count from {wants}, and this is {kind}."),
        ));
    }

    pub(crate) fn down_of(&mut self, thing: Thing, span: Span, wants: &str) -> Option<f64> {
        match thing {
            Thing::Level(y) => Some(y),
            Thing::Point(p) => Some(p.y),
            Thing::Unknown(ThingKind::Level | ThingKind::Point | ThingKind::Any) if self.dry() => {
                Some(0.0)
            }
            Thing::Unknown(ThingKind::Any) => None,
            other => {
                self.not_counted_from(&other, span, "Down", wants);
                None
            }
        }
    }

    pub(crate) fn across_of(&mut self, thing: Thing, span: Span, wants: &str) -> Option<f64> {
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
                self.not_counted_from(&other, span, "Across", wants);
                None
            }
        }
    }

    pub(crate) fn shown_mm(&self, mm: f64) -> String {
        Length::try_mm(mm).map_or_else(String::new, |l| {
            measure::fraction::show(l, self.purpose.shown)
        })
    }
}
