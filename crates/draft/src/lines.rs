//! Draws lines leg by leg, and darts.

use std::rc::Rc;

use measure::{Angle, Curve, Length, Motion, Point, Vector, angle};
use piece::Toward;

use crate::construct::{Side, side_of};
use crate::note::{Note, Span};
use crate::points::{half_turn, turn_to};
use crate::tree::{Arg, Drawn, Part, Way};
use crate::vocabulary::{Id, Slot};
use crate::walk::{DartThing, Dim, Key, Thing, Walker};

/// A leg and what was said after it.
struct Leg<'p> {
    part: &'p Part,
    more: Vec<&'p Part>,
    drawn: bool,
}

impl Leg<'_> {
    fn said(&self, id: Id) -> Option<&Part> {
        self.more.iter().copied().find(|p| p.row.id == id)
    }

    fn side(&self) -> Option<Side> {
        self.more.iter().find_map(|p| side_of(p.row.id))
    }
}

impl Walker<'_> {
    /// A line from its legs, of a bounded number of stretches.
    pub(crate) fn line(&mut self, parts: &[Part], span: Span) -> Option<Curve> {
        let curve = self.line_of_legs(parts, span)?;
        let stretches = curve.segments().len();
        if stretches > crate::walk::MOST_STRETCHES {
            self.note(
                Note::new(span, "This line is made of more stretches than I keep.")
                    .hint("Follow fewer lines in one."),
            );
            return None;
        }
        self.spend(stretches as u64 / 40, span).then_some(curve)
    }

    fn line_of_legs(&mut self, parts: &[Part], span: Span) -> Option<Curve> {
        let (first, rest) = parts.split_first()?;
        let mut legs: Vec<Leg<'_>> = Vec::new();
        let mut first_more: Vec<&Part> = Vec::new();
        for part in rest {
            match part.row.place {
                crate::vocabulary::Where::Leg => legs.push(Leg {
                    part,
                    more: Vec::new(),
                    drawn: true,
                }),
                _ => match legs.last_mut() {
                    Some(leg) => leg.more.push(part),
                    None => first_more.push(part),
                },
            }
        }
        let mut ok = true;
        for leg in &mut legs {
            if let Some(q) = leg.said(Id::If)
                && let Some(expr) = Self::expr_arg(q, 0)
            {
                match self.ask(expr) {
                    Some(answer) => leg.drawn = self.dry() || answer,
                    None => ok = false,
                }
            }
        }
        let start = Leg {
            part: first,
            more: first_more,
            drawn: true,
        };
        if self.dry() {
            return self
                .line_dry(&start, &legs)
                .filter(|()| ok)
                .and_then(|()| Curve::line(Point::new(0.0, 0.0), Point::new(0.0, 100.0)).ok());
        }
        if !ok {
            return None;
        }
        let mut path: Vec<Curve> = Vec::new();
        let here = match first.row.id {
            Id::From => self.point_arg(first, 0)?,
            _ => {
                let whole = self.whole_line(&start)?;
                let end = whole.end();
                path.push(whole);
                end
            }
        };
        let legs: Vec<Leg<'_>> = legs.into_iter().filter(|l| l.drawn).collect();
        let drawn = self.legs(&legs, here, path, span)?;
        self.softened(&legs, drawn)
    }

    /// Kinds only.
    fn line_dry(&mut self, start: &Leg<'_>, legs: &[Leg<'_>]) -> Option<()> {
        let mut ok = Some(());
        for leg in core::iter::once(start).chain(legs) {
            let part = leg.part;
            let outer = self.conds.len();
            if let Some(q) = leg.said(Id::If)
                && let Some(expr) = Self::expr_arg(q, 0)
                && let crate::walk::Truth::Open(parts) = self.static_truth(expr)
            {
                self.conds.extend(parts);
            }
            let fine = match part.row.id {
                Id::Straight | Id::Curve | Id::Arc | Id::From => {
                    self.point_arg(part, 0).map(|_| ())
                }
                Id::Follow => self.edge_arg(part, 0).map(|_| ()),
                Id::Beside => self
                    .edge_arg(part, 0)
                    .and(self.length_arg(part, 1))
                    .map(|_| ()),
                Id::SoftenOver | Id::SoftenRadius => {
                    let (p, d) = (self.point_arg(part, 0), self.length_arg(part, 1));
                    p.and(d).map(|_| ())
                }
                Id::ReflectLine => {
                    let (e, x) = (
                        self.edge_arg(part, 0),
                        self.thing_arg(part, 1, Slot::Straight),
                    );
                    e.and(x).map(|_| ())
                }
                Id::TurnLine => {
                    let (e, p, x) = (
                        self.edge_arg(part, 0),
                        self.point_arg(part, 1),
                        self.number_arg(part, 2, Dim::Angle),
                    );
                    e.and(p).and(x).map(|_| ())
                }
                _ => Some(()),
            };
            if fine.is_none() {
                ok = None;
            }
            for more in &leg.more {
                let fine = match more.row.id {
                    Id::Leaving | Id::Arriving => self.way_dry(more),
                    Id::Held => {
                        let way = self.way_dry(more);
                        let d = self.number_arg(more, 1, Dim::Length);
                        way.and(d).map(|_| ())
                    }
                    Id::Through => self.several(more).map(|_| ()),
                    Id::Bowed => self.length_arg(more, 0).map(|_| ()),
                    Id::Around => self.point_arg(more, 0).map(|_| ()),
                    _ => Some(()),
                };
                if fine.is_none() {
                    ok = None;
                }
            }
            if part.row.id == Id::Arc && leg.said(Id::Around).is_none() {
                self.note(
                    Note::new(part.span, "An arc wants its middle.")
                        .hint("Add `around` and a point."),
                );
                ok = None;
            }
            self.conds.truncate(outer);
        }
        ok
    }

    fn way_dry(&mut self, part: &Part) -> Option<()> {
        match part.args.first()? {
            Arg::Way(Way::Upright | Way::Level) => Some(()),
            Arg::Way(Way::Square(d) | Way::Along(d)) => self.thing(d, Slot::Straight).map(|_| ()),
            Arg::Way(Way::Toward(d)) => self.thing(d, Slot::Point).map(|_| ()),
            _ => None,
        }
    }

    pub(crate) fn several(&mut self, part: &Part) -> Option<Vec<Point>> {
        let Some(Arg::Several(all)) = part.args.first() else {
            return None;
        };
        let points: Vec<Option<Point>> = all.iter().map(|d| self.point(d)).collect();
        points.into_iter().collect()
    }

    /// A line that is another one, elsewhere.
    fn whole_line(&mut self, leg: &Leg<'_>) -> Option<Curve> {
        let part = leg.part;
        match part.row.id {
            Id::Follow => self.edge_arg(part, 0).map(|c| (*c).clone()),
            Id::Beside => {
                let (e, d) = (self.edge_arg(part, 0)?, self.length_arg(part, 1)?);
                self.beside(&e, d, leg.side(), part.span)
            }
            Id::ReflectLine => {
                let (e, over) = (
                    self.edge_arg(part, 0)?,
                    self.thing_arg(part, 1, Slot::Straight)?,
                );
                let motion = self.mirror(&over, part.span)?;
                Some(e.moved(&motion))
            }
            Id::TurnLine => {
                let (e, p, x) = (
                    self.edge_arg(part, 0)?,
                    self.point_arg(part, 1)?,
                    self.number_arg(part, 2, Dim::Angle)?,
                );
                let far = e.at(e.length() * 0.5).point;
                Some(e.moved(&Motion::turn(p, turn_to(far, p, x, leg.side()))))
            }
            _ => None,
        }
    }

    /// The true line beside another.
    fn beside(&mut self, e: &Curve, d: f64, side: Option<Side>, span: Span) -> Option<Curve> {
        let middle = e.at(e.length() * 0.5);
        let wanted = side.map_or(Vector::OUTWARD, Side::way);
        let left = middle.direction.left().dot(wanted) >= 0.0;
        match e.offset(Length::try_mm(if left { d } else { -d })?) {
            Ok(curve) => Some(curve),
            Err(_) => {
                let shown = self.shown_mm(d);
                self.note(Note::new(
                    span,
                    format!("Nothing of the line is left {shown} beside it."),
                ));
                None
            }
        }
    }

    fn legs(
        &mut self,
        legs: &[Leg<'_>],
        start: Point,
        mut path: Vec<Curve>,
        span: Span,
    ) -> Option<Curve> {
        let mut here = start;
        // The way the line runs on after a hold.
        let mut running: Option<Vector> = None;
        let moving: Vec<usize> = (0..legs.len())
            .filter(|i| !matches!(legs[*i].part.row.id, Id::SoftenOver | Id::SoftenRadius))
            .collect();
        for (n, &i) in moving.iter().enumerate() {
            let leg = &legs[i];
            let part = leg.part;
            let last = n + 1 == moving.len();
            match part.row.id {
                Id::Straight | Id::Curve => {
                    let to = self.point_arg(part, 0)?;
                    let held = match leg.said(Id::Held) {
                        Some(h) => {
                            let over = self.length_arg(h, 1)?;
                            let toward = if (to - here).size() > 1e-9 {
                                to - here
                            } else {
                                Vector::DOWN
                            };
                            Some((self.way(h, to, toward)?, over.max(0.0)))
                        }
                        None => None,
                    };
                    let target = held.map_or(to, |(v, over)| to - v * over);
                    if part.row.id == Id::Straight {
                        push(&mut path, Curve::line(here, target));
                    } else {
                        let curve =
                            self.curve_leg(leg, here, target, running, held.map(|h| h.0))?;
                        push(&mut path, Ok(curve));
                    }
                    here = target;
                    running = None;
                    if let Some((v, over)) = held {
                        let past = if last { to } else { to + v * over };
                        push(&mut path, Curve::line(here, past));
                        here = past;
                        running = Some(v);
                    }
                }
                Id::Arc => {
                    let to = self.point_arg(part, 0)?;
                    let curve = self.arc_leg(leg, here, to)?;
                    here = curve.end();
                    path.push(curve);
                    running = None;
                }
                Id::Follow | Id::Beside => {
                    let curve = if part.row.id == Id::Follow {
                        (*self.edge_arg(part, 0)?).clone()
                    } else {
                        let (e, d) = (self.edge_arg(part, 0)?, self.length_arg(part, 1)?);
                        self.beside(&e, d, leg.side(), part.span)?
                    };
                    let turned = (curve.start() - here).size() > (curve.end() - here).size();
                    let curve = if turned { curve.reversed() } else { curve };
                    if (curve.start() - here).size() > 1e-4 {
                        push(&mut path, Curve::line(here, curve.start()));
                    } else if let Ok(c) = curve.with_ends(here, curve.end()) {
                        here = c.end();
                        path.push(c);
                        running = None;
                        continue;
                    }
                    here = curve.end();
                    path.push(curve);
                    running = None;
                }
                _ => {}
            }
        }
        match Curve::joined(path.iter()) {
            Ok(curve) => Some(curve),
            Err(_) => {
                self.note(Note::new(
                    span,
                    "This line has no length with these numbers.",
                ));
                None
            }
        }
    }

    fn curve_leg(
        &mut self,
        leg: &Leg<'_>,
        here: Point,
        to: Point,
        running: Option<Vector>,
        held: Option<Vector>,
    ) -> Option<Curve> {
        let span = leg.part.span;
        let through = match leg.said(Id::Through) {
            Some(p) => self.several(p)?,
            None => Vec::new(),
        };
        let ahead = through.first().copied().unwrap_or(to) - here;
        let behind = to - through.last().copied().unwrap_or(here);
        let leaving = match leg.said(Id::Leaving) {
            Some(p) => Some(self.way(p, here, ahead)?),
            None => running,
        };
        let arriving = match leg.said(Id::Arriving) {
            Some(p) => Some(self.way(p, to, behind)?),
            None => held,
        };
        let made = if !through.is_empty() {
            let mut points = vec![here];
            points.extend(through);
            points.push(to);
            Curve::through(&points, leaving, arriving)
        } else if let Some(b) = leg.said(Id::Bowed) {
            let bow = self.length_arg(b, 0)?;
            let left = (to - here).left();
            let wanted = leg.side().map_or(Vector::OUTWARD, Side::way);
            let lean = left.dot(wanted);
            // A level line bows up where outward says nothing.
            let sign = if lean.abs() < 1e-9 {
                if left.dot(Vector::UP) >= 0.0 {
                    1.0
                } else {
                    -1.0
                }
            } else {
                lean.signum()
            };
            Curve::bowed(here, to, Length::try_mm(bow * sign)?)
        } else {
            Curve::blend(here, leaving, to, arriving)
        };
        match made {
            Ok(curve) => Some(curve),
            Err(_) => {
                self.note(Note::new(
                    span,
                    "This curve begins where it ends, with these numbers.",
                ));
                None
            }
        }
    }

    fn arc_leg(&mut self, leg: &Leg<'_>, here: Point, to: Point) -> Option<Curve> {
        let span = leg.part.span;
        let centre = self.point_arg(leg.said(Id::Around)?, 0)?;
        let (a, b) = (here - centre, to - centre);
        if (a.size() - b.size()).abs() > 0.05 {
            let (x, y) = (self.shown_mm(a.size()), self.shown_mm(b.size()));
            self.note(
                Note::new(
                    span,
                    format!("No arc goes there: one end is {x} from the middle, the other {y}."),
                )
                .hint("Both ends of an arc are equally far from its middle."),
            );
            return None;
        }
        let mut sweep = a.angle_to(b).in_radians();
        if let Some(side) = leg.side() {
            // The way whose middle lies on that side.
            let turn = core::f64::consts::TAU;
            let other = if sweep > 0.0 {
                sweep - turn
            } else {
                sweep + turn
            };
            let lean = |s: f64| a.turned(Angle::radians(s / 2.0)).dot(side.way());
            let better = if half_turn(sweep) {
                lean(other) > lean(sweep)
            } else {
                lean(sweep) < -1e-9 && lean(other) > 1e-9 && sweep.abs() > 3.0
            };
            if better {
                sweep = other;
            }
        } else if half_turn(sweep) {
            self.note(
                Note::new(span, "Half a circle can go round either way.")
                    .hint("Add `outward`, `inward`, `up` or `down`."),
            );
            return None;
        }
        match Curve::arc(centre, here, Angle::radians(sweep)) {
            Ok(curve) => curve.with_ends(here, to).ok().or(Some(curve)),
            Err(_) => {
                self.note(Note::new(
                    span,
                    "This arc has no length with these numbers.",
                ));
                None
            }
        }
    }

    /// A direction at a point, taken the way that leads on.
    fn way(&mut self, part: &Part, at: Point, on: Vector) -> Option<Vector> {
        let Some(Arg::Way(way)) = part.args.first() else {
            return None;
        };
        let v = match way {
            Way::Upright => Vector::DOWN,
            Way::Level => Vector::OUTWARD,
            Way::Square(d) => {
                let thing = self.straight(d)?;
                Self::direction_at(&thing, at)?.left()
            }
            Way::Along(d) => {
                let thing = self.straight(d)?;
                Self::direction_at(&thing, at)?
            }
            Way::Toward(d) => {
                let p = self.point(d)?;
                let Some(v) = (p - at).unit() else {
                    self.note(Note::new(
                        part.span,
                        "This direction leads to the point where the line already is.",
                    ));
                    return None;
                };
                v
            }
        };
        Some(if v.dot(on) < 0.0 { -v } else { v })
    }

    fn straight(&mut self, d: &Drawn) -> Option<Thing> {
        self.thing(d, Slot::Straight)
    }

    /// The corners that are softened, when all legs are drawn.
    fn softened(&mut self, legs: &[Leg<'_>], curve: Curve) -> Option<Curve> {
        let mut curve = curve;
        for leg in legs {
            let part = leg.part;
            if !matches!(part.row.id, Id::SoftenOver | Id::SoftenRadius) {
                continue;
            }
            let (p, d) = (self.point_arg(part, 0)?, self.length_arg(part, 1)?);
            let s = self.on_line(&curve, p, part.span)?;
            let whole = curve.length().in_mm();
            let reach = if part.row.id == Id::SoftenOver {
                d
            } else {
                let (before, after) = (
                    curve.at(Length::mm((s - 0.5).max(0.0))),
                    curve.at(Length::mm((s + 0.5).min(whole))),
                );
                let turn = before
                    .direction
                    .angle_to(after.direction)
                    .in_radians()
                    .abs();
                d * angle::tan(turn / 2.0)
            };
            let (from, to) = ((s - reach).max(0.0), (s + reach).min(whole));
            if to - from < 1e-6 {
                continue;
            }
            let (a, b) = (curve.at(Length::mm(from)), curve.at(Length::mm(to)));
            let Ok(blend) = Curve::blend(a.point, Some(a.direction), b.point, Some(b.direction))
            else {
                continue;
            };
            let head = curve.sub(Length::ZERO, Length::mm(from)).ok();
            let tail = curve.sub(Length::mm(to), Length::mm(whole)).ok();
            let all: Vec<Curve> = [head, Some(blend), tail].into_iter().flatten().collect();
            if let Ok(joined) = Curve::joined(all.iter()) {
                curve = joined;
            }
        }
        Some(curve)
    }

    // Darts.

    /// A dart: `None` inside when it takes out nothing.
    #[expect(
        clippy::option_option,
        reason = "a fault, and a dart that takes out nothing, differ"
    )]
    pub(crate) fn dart(&mut self, parts: &[Part], span: Span) -> Option<Option<DartThing>> {
        let part = |id: Id| parts.iter().find(|p| p.row.id == id);
        let mut missing = Vec::new();
        for (id, word) in [
            (Id::Into, "into"),
            (Id::Intake, "intake"),
            (Id::DartLength, "length"),
        ] {
            if part(id).is_none() {
                missing.push(word);
            }
        }
        if part(Id::Place).is_none() && part(Id::DartAt).is_none() {
            missing.push("place");
        }
        if !missing.is_empty() {
            self.note(
                Note::new(span, format!("This dart lacks its {}.", missing.join(", ")))
                    .hint("Write `into waist, place 1/2, intake 1 in, length 4 in`."),
            );
            return None;
        }
        let into = part(Id::Into)?;
        let edge = self.edge_arg(into, 0);
        let key = match into.args.first() {
            Some(Arg::Edge(e)) if e.between.is_none() => match &e.line {
                Drawn::Named(r) => self.joined(&r.parts),
                _ => None,
            },
            _ => None,
        };
        if edge.is_some() && key.is_none() {
            self.note(Note::new(
                into.span,
                "A dart goes into a whole edge, by its name.",
            ));
        }
        let intake = self.length_arg(part(Id::Intake)?, 0);
        let length = self.length_arg(part(Id::DartLength)?, 0);
        let place = match part(Id::Place) {
            Some(p) => self.number_arg(p, 0, Dim::Number).map(Ok),
            None => self.point_arg(part(Id::DartAt)?, 0).map(Err),
        };
        let pressed = part(Id::Pressed).map(|p| self.point_arg(p, 0));
        let (edge, key, intake, length, place) = (edge?, key?, intake?, length?, place?);
        if self.dry() {
            return Some(Some(dart_of_nothing(key)));
        }
        let shown = self.shown_mm(intake);
        if intake < -1e-6 {
            self.note(
                Note::new(
                    span,
                    format!("This dart comes out {shown} wide: there is nothing to take out here."),
                )
                .hint("Let the method count no dart then: `each k up to darts`, with `darts` 0."),
            );
            return None;
        }
        if intake < 1e-4 {
            return Some(None);
        }
        if length <= 1e-6 {
            self.note(Note::new(span, "This dart has no length."));
            return None;
        }
        let whole = edge.length().in_mm();
        let middle = match place {
            Ok(k) => whole * k,
            Err(p) => self.on_line(&edge, p, span)?,
        };
        let mouth = (middle - intake / 2.0, middle + intake / 2.0);
        if mouth.0 < -1e-6 || mouth.1 > whole + 1e-6 {
            self.note(
                Note::new(
                    span,
                    format!("This dart, {shown} wide, runs off the end of its edge."),
                )
                .hint("Move it, or make it narrower."),
            );
            return None;
        }
        let (a, b) = (
            edge.at(Length::mm(mouth.0)).point,
            edge.at(Length::mm(mouth.1)).point,
        );
        let foot = a.toward(b, 0.5);
        let along = (b - a).unit()?;
        let inside = self.middle_of_sheet(&edge) - foot;
        let off = if along.left().dot(inside) >= 0.0 {
            along.left()
        } else {
            along.right()
        };
        let pressed = match pressed {
            Some(Some(p)) => Some(if edge.nearest(p).along.in_mm() < middle {
                Toward::Start
            } else {
                Toward::End
            }),
            Some(None) => return None,
            None => None,
        };
        Some(Some(DartThing {
            edge: key,
            mouth,
            tip: foot + off * length,
            pressed,
            length,
            intake,
        }))
    }

    /// A point well inside what is drawn: the middle of all edges of the sheet.
    fn middle_of_sheet(&self, edge: &Rc<Curve>) -> Point {
        let scope = &self.scopes[self.scope];
        let mut sum = Vector::default();
        let mut count = 0.0;
        let mut add = |p: Point| {
            sum = sum + (p - Point::default());
            count += 1.0;
        };
        for held in &scope.drawn.all {
            match &held.what {
                Thing::Line(c) if scope.edges.contains(&held.key) && !Rc::ptr_eq(c, edge) => {
                    for k in [0.0, 0.25, 0.5, 0.75, 1.0] {
                        add(c.at(c.length() * k).point);
                    }
                }
                Thing::Point(p) => add(*p),
                _ => {}
            }
        }
        if count == 0.0 {
            edge.start()
        } else {
            Point::default() + sum * (1.0 / count)
        }
    }
}

fn dart_of_nothing(edge: Key) -> DartThing {
    DartThing {
        edge,
        mouth: (0.0, 0.0),
        tip: Point::default(),
        pressed: None,
        length: 0.0,
        intake: 0.0,
    }
}

fn push(path: &mut Vec<Curve>, made: Result<Curve, measure::Degenerate>) {
    if let Ok(curve) = made {
        path.push(curve);
    }
}
