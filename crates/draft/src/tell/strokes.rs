//! Lines and darts: how they are drawn, and how long they come out.

use measure::Length;

use super::figures::plainly;
use super::places::side_word;
use super::{Form, Style, Teller};
use crate::construct::{Side, side_of};
use crate::tree::{Arg, Drawn, Part, Way};
use crate::vocabulary::{Id, Where};
use crate::walk::{Key, Thing};

/// A leg and what was said of it.
struct Leg<'p> {
    part: &'p Part,
    more: Vec<&'p Part>,
}

impl Leg<'_> {
    fn said(&self, id: Id) -> Option<&Part> {
        self.more.iter().copied().find(|p| p.row.id == id)
    }

    fn side(&self) -> Option<Side> {
        self.more.iter().find_map(|p| side_of(p.row.id))
    }
}

impl Teller<'_, '_> {
    /// A line: its drawing first, then what is done to its corners, a sentence each.
    pub(super) fn line(
        &mut self,
        style: Style,
        parts: &[Part],
        name: Option<&str>,
    ) -> Option<Vec<String>> {
        let style = if name.is_none() {
            style.within()
        } else {
            style
        };
        let (first, rest) = parts.split_first()?;
        let mut begin = Leg {
            part: first,
            more: Vec::new(),
        };
        let mut legs: Vec<Leg<'_>> = Vec::new();
        for part in rest {
            if part.row.place == Where::Leg {
                legs.push(Leg {
                    part,
                    more: Vec::new(),
                });
            } else {
                legs.last_mut().unwrap_or(&mut begin).more.push(part);
            }
        }
        let mut drawn = Vec::with_capacity(legs.len());
        for leg in legs {
            let asked = leg.said(Id::If).and_then(|q| match q.args.first() {
                Some(Arg::Number(expr)) => Some(expr),
                _ => None,
            });
            let there = match asked {
                Some(expr) => self.w.ask(expr)?,
                None => true,
            };
            if there {
                drawn.push(leg);
            }
        }
        let softened = |leg: &Leg<'_>| matches!(leg.part.row.id, Id::SoftenOver | Id::SoftenRadius);
        let strokes: Vec<&Leg<'_>> = drawn.iter().filter(|l| !softened(l)).collect();
        let mut said = self.beginning(style, &begin, strokes.is_empty(), name)?;
        if style.form() == Form::Passing
            && strokes.len() == 1
            && strokes[0].part.row.id == Id::Straight
        {
            said = said.replacen("a line", "a straight line", 1);
            let to = self.leg(style, strokes[0], true)?;
            said.push(' ');
            said.push_str(to.strip_prefix("straight ").unwrap_or(&to));
        } else {
            for (i, leg) in strokes.iter().enumerate() {
                let told = self.leg(style, leg, i + 1 == strokes.len())?;
                let joint = match (i, style) {
                    (0, Style::Short) => ", ",
                    (0, _) if begin.part.row.id == Id::From => " ",
                    (_, Style::Short) => ", ",
                    _ => ", then ",
                };
                said.push_str(joint);
                said.push_str(&told);
            }
        }
        let mut all = vec![plainly(&said)];
        for leg in drawn.iter().filter(|l| softened(l)) {
            if let Some(Arg::Number(expr)) = leg.part.args.get(1)
                && self.amount(Style::Short, expr)?.nothing()
            {
                continue;
            }
            all.push(self.filled(style, leg.part, &[])?);
        }
        Some(all)
    }

    fn beginning(
        &mut self,
        style: Style,
        begin: &Leg<'_>,
        alone: bool,
        name: Option<&str>,
    ) -> Option<String> {
        let part = begin.part;
        let mut more = vec![("name", name.unwrap_or_default().to_owned())];
        match part.row.id {
            Id::Beside => {
                let side = begin.side().unwrap_or(Side::Outward);
                more.push(("side", side_word(side).to_owned()));
            }
            Id::TurnLine => more.push(("turning", self.turning(part, 2, begin.side())?)),
            Id::Follow if style.form() == Form::Teaching && alone && elsewhere(part) => {
                let Some(Arg::Edge(edge)) = part.args.first() else {
                    return None;
                };
                let name = name.unwrap_or_default();
                return Some(format!("trace {name} from {}", self.edge(style, edge)?));
            }
            Id::Follow if style.form() == Form::Passing && alone => {
                let Some(Arg::Edge(edge)) = part.args.first() else {
                    return None;
                };
                return self.edge(style, edge);
            }
            _ => {}
        }
        self.filled(style, part, &more)
    }

    fn leg(&mut self, style: Style, leg: &Leg<'_>, last: bool) -> Option<String> {
        let part = leg.part;
        let mut more = Vec::new();
        let slot = |teller: &mut Self, id: Id| -> Option<String> {
            match leg.said(id) {
                Some(p) => teller.filled(style, p, &[]),
                None => Some(String::new()),
            }
        };
        match part.row.id {
            Id::Curve => more.push(("through", slot(self, Id::Through)?)),
            Id::Arc => more.push(("around", slot(self, Id::Around)?)),
            Id::Beside => more.push((
                "side",
                side_word(leg.side().unwrap_or(Side::Outward)).to_owned(),
            )),
            _ => {}
        }
        let mut said = self.filled(style, part, &more)?;
        let leaving = match leg.said(Id::Leaving) {
            Some(p) => Some(self.filled(style, p, &[])?),
            None => None,
        };
        let arriving = match leg.said(Id::Arriving) {
            Some(p) => Some(self.filled(style, p, &[])?),
            None => None,
        };
        let ends = match (leaving, arriving) {
            (Some(a), Some(b)) => {
                let (way_a, way_b) = (
                    a.trim_start_matches("leaving "),
                    b.trim_start_matches("arriving "),
                );
                if way_a == way_b {
                    format!(", leaving and arriving {way_a}")
                } else {
                    format!(", {a} and {b}")
                }
            }
            (Some(one), None) | (None, Some(one)) => format!(", {one}"),
            (None, None) => String::new(),
        };
        said.push_str(&ends);
        if let Some(held) = leg.said(Id::Held) {
            said.push_str(", ");
            said.push_str(&self.held(style, held, last)?);
        }
        if let Some(bowed) = leg.said(Id::Bowed)
            && let Some(Arg::Number(expr)) = bowed.args.first()
        {
            let amount = self.amount(style, expr)?;
            if !amount.nothing() {
                let side = match (leg.side(), amount.less_than_nothing()) {
                    (Some(Side::Outward) | None, false) | (Some(Side::Inward), true) => "outward",
                    (Some(Side::Inward), false) | (Some(Side::Outward) | None, true) => "inward",
                    (Some(Side::Up), false) | (Some(Side::Down), true) => "upward",
                    _ => "downward",
                };
                said.push_str(", ");
                let far = self.said(style, &amount);
                said.push_str(&self.filled(
                    style,
                    bowed,
                    &[("side", side.to_owned()), ("d", far)],
                )?);
            }
        } else if part.row.id == Id::Arc
            && let Some(side) = leg.more.iter().find(|p| side_of(p.row.id).is_some())
        {
            said.push_str(", ");
            said.push_str(&self.filled(style, side, &[])?);
        }
        Some(said)
    }

    /// `held upright over 1 in`, or only the direction when it is held over nothing.
    fn held(&mut self, style: Style, held: &Part, last: bool) -> Option<String> {
        let (Some(Arg::Way(way)), Some(Arg::Number(expr))) = (held.args.first(), held.args.get(1))
        else {
            return None;
        };
        let amount = self.amount(style, expr)?;
        if amount.nothing() {
            return Some(format!("arriving {}", self.way(style, way)?));
        }
        let each = match (way, last, style) {
            (_, true, _) => "before it",
            (_, _, Style::Short) => "each way",
            (Way::Upright, ..) => "above and below it",
            (Way::Level, ..) => "to either side of it",
            _ => "before and after it",
        };
        self.filled(style, held, &[("each", each.to_owned())])
    }

    /// A direction.
    pub(super) fn way(&mut self, style: Style, way: &Way) -> Option<String> {
        Some(match way {
            Way::Upright => "upright".into(),
            Way::Level => "level".into(),
            Way::Square(d) => format!("square to {}", self.thing(style, d)?),
            Way::Toward(d) => format!("toward {}", self.thing(style, d)?),
            Way::Along(d) if style.few() => format!("along {}", self.thing(style, d)?),
            Way::Along(d) => format!("in line with {}", self.thing(style, d)?),
        })
    }

    /// How long an edge measures, and how long it is when its darts are sewn.
    pub(super) fn measures(&self, key: &Key) -> Option<(f64, Option<(usize, f64)>)> {
        let scope = self.w.scopes.get(self.w.scope)?;
        let Thing::Line(curve) = &scope.drawn.get(key)?.what else {
            return None;
        };
        let whole = curve.length().in_mm();
        let mouths: Vec<f64> = scope
            .drawn
            .all
            .iter()
            .filter_map(|h| match &h.what {
                Thing::Dart(d) if d.edge == *key => Some(d.mouth.1 - d.mouth.0),
                _ => None,
            })
            .collect();
        let taken: f64 = mouths.iter().sum();
        if whole - taken < super::figures::HAIR {
            return Some((whole, None));
        }
        Some((
            whole,
            (!mouths.is_empty()).then_some((mouths.len(), whole - taken)),
        ))
    }

    /// A dart: its middle, width and length, and how long each leg comes out.
    pub(super) fn dart(&mut self, style: Style, parts: &[Part], key: &Key) -> Option<Vec<String>> {
        let part = |id: Id| parts.iter().find(|p| p.row.id == id);
        let (into, intake, length) = (part(Id::Into)?, part(Id::Intake)?, part(Id::DartLength)?);
        let scope = self.w.scope;
        let Thing::Dart(dart) = self.w.scope_drawn(scope, key)?.what.clone() else {
            return None;
        };
        let curve = self.w.edge_arg(into, 0)?;
        let edge = match into.args.first()? {
            Arg::Edge(edge) => self.edge(style, edge)?,
            _ => return None,
        };
        let middle = 0.5 * (dart.mouth.0 + dart.mouth.1);
        let a = curve.at(Length::mm(dart.mouth.0)).point;
        let leg = (dart.tip - a).size();
        let wide = self.dart_length(style, intake, dart.intake)?;
        let long = self.dart_length(style, length, dart.length)?;
        let name = Self::the(style, key);
        let begin = self.end_of(style, curve.start(), "beginning");
        let far = self.length(style, middle);
        let at = match (part(Id::DartAt), part(Id::Place)) {
            (Some(p), _) => self.filled(style, p, &[])?,
            (None, Some(p)) => self.filled(style, p, &[("far", far), ("begin", begin)])?,
            _ => return None,
        };
        let on = self.filled(style, into, &[("name", name)])?;
        let leg = self.length(style, leg);
        let mut all = match style {
            Style::Short => vec![format!("{on}: {at}, {wide}, {long}, legs {leg}")],
            _ => vec![
                format!("{on}: {at}, {wide} and {long}, square to {edge}"),
                format!("each leg measures {leg}"),
            ],
        };
        if let Some(p) = part(Id::Pressed) {
            let said = self.filled(style, p, &[])?;
            if style.few() {
                all[0] = format!("{}, {said}", all[0]);
            } else {
                all.push(said);
            }
        }
        Some(all)
    }

    /// A dart's width or length: within the sentence the figure leads, 1 in (the dart width) wide. The
    /// figure is the dart's own, for its edge may have been measured before it was there.
    fn dart_length(&mut self, style: Style, part: &Part, mm: f64) -> Option<String> {
        let Some(Arg::Number(expr)) = part.args.first() else {
            return None;
        };
        let style = style.within();
        let mut amount = self.amount(style, expr)?;
        amount.num.v = mm;
        let said = self.said(style, &amount);
        self.filled(style, part, &[("d", said)])
    }

    /// A length as it came out, without a formula.
    pub(super) fn length(&mut self, style: Style, mm: f64) -> String {
        let shown = self.w.purpose.shown;
        if style.few() {
            self.marked(super::figures::bare_length(mm, shown), None, false)
        } else {
            super::figures::length(mm, shown)
        }
    }
}

/// Whether a line is followed on another sheet.
fn elsewhere(part: &Part) -> bool {
    match part.args.first() {
        Some(Arg::Edge(edge)) => matches!(&edge.line, Drawn::Named(r) if r.parts.len() > 1),
        _ => false,
    }
}
