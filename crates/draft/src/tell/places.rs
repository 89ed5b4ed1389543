//! Rulings and points: how they are found on the paper.

use super::figures::{plainly, way};
use super::sums::Amount;
use super::{Form, Style, Teller};
use crate::construct::{Side, side_of};
use crate::tree::{Arg, Part};
use crate::vocabulary::{self, Bit, Id, Slot, Where};
use crate::walk::{Thing, ThingKind, Walker};

/// A way on the paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Heads {
    Up,
    Down,
    In,
    Out,
}

impl Heads {
    fn turned(self) -> Self {
        match self {
            Self::Up => Self::Down,
            Self::Down => Self::Up,
            Self::In => Self::Out,
            Self::Out => Self::In,
        }
    }

    /// After `go`.
    fn going(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
            Self::In => "in",
            Self::Out => "out",
        }
    }

    /// Behind an amount: `in` alone would be read as inches.
    fn behind(self) -> &'static str {
        match self {
            Self::In => "inward",
            other => other.going(),
        }
    }

    /// Between an amount and the point it is counted from.
    fn beside(self) -> &'static str {
        match self {
            Self::Up => "above",
            Self::Down => "below",
            Self::In => "inward from",
            Self::Out => "outward from",
        }
    }
}

/// One move from a point, or its place across or down.
#[derive(Clone, Debug)]
struct Step {
    heads: Heads,
    amount: Amount,
    /// From which ruling or point, and what that is.
    from: Option<(String, Thing)>,
}

/// How a side is said.
pub(super) fn side_word(side: Side) -> &'static str {
    match side {
        Side::Outward => "outward",
        Side::Inward => "inward",
        Side::Up => "upward",
        Side::Down => "downward",
    }
}

fn side_name(side: Side) -> &'static str {
    match side {
        Side::Outward => "outward",
        Side::Inward => "inward",
        Side::Up => "upper",
        Side::Down => "lower",
    }
}

impl Teller<'_, '_> {
    /// Fills the form of a row with what stands in its places; `more` fills the places that no
    /// argument fills.
    pub(super) fn filled(
        &mut self,
        style: Style,
        part: &Part,
        more: &[(&str, String)],
    ) -> Option<String> {
        let row = part.row;
        let form = match style.form() {
            Form::Teaching => row.teaching(),
            Form::Passing => row.passing(),
            Form::Short => row.short(),
        };
        self.filled_form(style, form, part, more)
    }

    fn filled_form(
        &mut self,
        style: Style,
        form: &str,
        part: &Part,
        more: &[(&str, String)],
    ) -> Option<String> {
        let mut out = String::with_capacity(form.len() + 24);
        let mut rest = form;
        while let Some((before, after)) = rest.split_once('{') {
            out.push_str(before);
            let (slot, behind) = after.split_once('}')?;
            rest = behind;
            if let Some((_, said)) = more.iter().find(|(name, _)| *name == slot) {
                out.push_str(said);
                continue;
            }
            let place = part.row.bits.iter().filter_map(|b| match b {
                Bit::Slot(name, kind) => Some((*name, *kind)),
                Bit::Word(_) => None,
            });
            let found = place.enumerate().find(|(_, (name, _))| *name == slot);
            if let Some((i, (_, kind))) = found {
                let said = self.argument(style, part, i, kind)?;
                out.push_str(&said);
            }
        }
        out.push_str(rest);
        Some(out)
    }

    /// What stands in a place of a row.
    fn argument(&mut self, style: Style, part: &Part, i: usize, kind: Slot) -> Option<String> {
        match part.args.get(i)? {
            Arg::Number(expr) => {
                if kind == Slot::Number {
                    let num = self.w.asked(expr)?;
                    if part.row.place == Where::Place || part.row.place == Where::Dart {
                        return Some(way(num.v));
                    }
                    let figure = self.figure(style, num);
                    if style.few() {
                        let (rule, fixed) = (self.rule(expr), self.only_figures(expr));
                        return Some(self.marked(figure, rule, fixed));
                    }
                    return Some(figure);
                }
                let amount = self.amount(style, expr)?;
                Some(self.said(style, &amount))
            }
            Arg::Drawn(drawn) => self.thing(style, drawn),
            Arg::Several(all) => self.things(style, all),
            Arg::Edge(edge) => self.edge(style, edge),
            Arg::Edges(all) => self.edges(style, all),
            Arg::Way(way) => self.way(style, way),
            Arg::Word(word, _) => Some(word.to_string()),
            Arg::Text(text) => Some(format!("\u{201c}{text}\u{201d}")),
            Arg::Free(r) => Some(crate::said::reference(r)),
        }
    }

    /// A level or upright.
    pub(super) fn ruling(&mut self, style: Style, parts: &[Part], name: &str) -> Option<String> {
        let part = parts.first()?;
        let mut part = part.clone();
        let mut more = vec![("name", name.to_owned())];
        if let Some(Arg::Number(expr)) = part.args.first() {
            let amount = self.amount(style, expr)?;
            if amount.nothing() {
                let from = self.argument(style, &part, 1, Slot::Spot)?;
                return Some(match style {
                    Style::Short => format!("{name} on {from}"),
                    _ if part.row.place == Where::Level => {
                        format!("rule {name} across at {from} itself")
                    }
                    _ => format!("rule {name} down at {from} itself"),
                });
            }
            let turned = amount.less_than_nothing();
            more.push(("d", self.said(style, &amount)));
            let inward = if style.form() == Form::Teaching {
                "in"
            } else {
                "inward"
            };
            more.push(("way", if turned { inward } else { "out" }.to_owned()));
            let other = match part.row.id {
                Id::Below if turned => Some(Id::Above),
                Id::Above if turned => Some(Id::Below),
                _ => None,
            };
            if let Some(row) =
                other.and_then(|id| vocabulary::rows(Where::Level).find(|r| r.id == id))
            {
                part.row = row;
            }
        }
        self.filled(style, &part, &more)
    }

    /// A point: how it is found, or (without a name) which point it is.
    pub(super) fn place(
        &mut self,
        style: Style,
        parts: &[Part],
        name: Option<&str>,
    ) -> Option<String> {
        let first = parts.first()?;
        let style = if name.is_none() {
            style.within()
        } else {
            style
        };
        let side = parts.iter().find_map(|p| side_of(p.row.id));
        let mut moves = self.moves(style, parts)?;
        let name = name.unwrap_or_default().to_owned();
        if let Some(reach) = parts.iter().find(|p| p.row.id == Id::Reaching) {
            let on = self.argument(style, first, 0, Slot::Spot)?;
            let side = side.map_or("outward", side_word).to_owned();
            return self.filled(style, reach, &[("a", on), ("side", side), ("name", name)]);
        }
        let base = match first.row.id {
            Id::At => {
                let kind = self.kind_of(first);
                let base = self.argument(style, first, 0, Slot::Spot)?;
                if matches!(kind, ThingKind::Level | ThingKind::Upright) {
                    return self.on_ruling(style, &name, &base, kind, moves);
                }
                Base {
                    passing: base,
                    itself: None,
                }
            }
            Id::FromToward | Id::AlongBy | Id::TurnPoint | Id::SquareTo if self.stays(first)? => {
                // No way is gone: it is the point it starts from.
                let start = if matches!(first.row.id, Id::AlongBy) {
                    2
                } else {
                    usize::from(first.row.id == Id::SquareTo)
                };
                let passing = self.argument(style, first, start, Slot::Point)?;
                Base {
                    passing,
                    itself: None,
                }
            }
            _ => {
                let more = self.more_of(style, first, parts, side, &name)?;
                let itself = self.filled(style, first, &more)?;
                let passing = if style == Style::Full {
                    self.filled(Style::Passing, first, &more)?
                } else {
                    itself.clone()
                };
                Base {
                    passing,
                    itself: Some(itself),
                }
            }
        };
        moves.retain(|m| m.from.is_some() || !m.amount.nothing());
        Some(self.going_from(style, &name, &base, &moves))
    }

    /// Whether a construction goes no way at all.
    fn stays(&mut self, part: &Part) -> Option<bool> {
        let far = part.args.iter().find_map(|a| match a {
            Arg::Number(expr) => Some(expr),
            _ => None,
        })?;
        Some(self.amount(Style::Short, far)?.nothing())
    }

    /// The moves after a point or ruling.
    fn moves(&mut self, style: Style, parts: &[Part]) -> Option<Vec<Step>> {
        let mut out = Vec::new();
        for part in &parts[1..] {
            let heads = match part.row.id {
                Id::Up | Id::UpFrom => Heads::Up,
                Id::Down | Id::DownFrom => Heads::Down,
                Id::Inward | Id::InwardFrom => Heads::In,
                Id::Outward | Id::OutwardFrom => Heads::Out,
                _ => continue,
            };
            let Some(Arg::Number(expr)) = part.args.first() else {
                continue;
            };
            let amount = self.amount(style, expr)?;
            let from = match part.args.get(1) {
                Some(Arg::Drawn(drawn)) => {
                    let said = self.thing(style, drawn)?;
                    Some((said, self.w.thing(drawn, Slot::Spot)?))
                }
                _ => None,
            };
            let heads = if amount.less_than_nothing() {
                heads.turned()
            } else {
                heads
            };
            out.push(Step {
                heads,
                amount,
                from,
            });
        }
        Some(out)
    }

    fn kind_of(&mut self, part: &Part) -> ThingKind {
        self.w
            .thing_arg(part, 0, Slot::Spot)
            .map_or(ThingKind::Any, |t| t.kind())
    }

    /// What fills the places of a point's form that no argument fills.
    fn more_of(
        &mut self,
        style: Style,
        first: &Part,
        parts: &[Part],
        side: Option<Side>,
        name: &str,
    ) -> Option<Vec<(&'static str, String)>> {
        let mut more = vec![("name", name.to_owned())];
        match first.row.id {
            Id::Where => {
                let nearest = match parts.iter().find(|p| p.row.id == Id::Nearest) {
                    Some(p) => self.filled(style, p, &[])?,
                    None => String::new(),
                };
                more.push(("nearest", nearest));
            }
            Id::AlongBy => {
                let toward = match parts.iter().find(|p| p.row.id == Id::GoingToward) {
                    Some(p) => self.filled(style, p, &[])?,
                    None => self.along_toward(style, first)?,
                };
                more.push(("toward", toward));
            }
            Id::AlongAt => {
                let curve = self.w.edge_arg(first, 0)?;
                let begin = self.end_of(style, curve.start(), "beginning");
                more.push(("begin", format!(" from {begin}")));
            }
            Id::FromToward => {
                let Some(Arg::Number(expr)) = first.args.get(2) else {
                    return None;
                };
                let back = self.w.asked(expr)?.v < 0.0;
                more.push(("way", if back { "away from" } else { "toward" }.to_owned()));
            }
            Id::SquareTo => {
                let side = match side {
                    Some(side) => side,
                    None => self.square_side(first)?,
                };
                more.push(("side", side_word(side).to_owned()));
            }
            Id::TurnPoint => more.push(("turning", self.turning(first, 2, side)?)),
            Id::Compass => {
                let side = side.unwrap_or(Side::Outward);
                more.push((
                    "side",
                    if style.few() {
                        side_word(side)
                    } else {
                        side_name(side)
                    }
                    .to_owned(),
                ));
            }
            _ => {}
        }
        Some(more)
    }

    /// How a turn goes: by the side that was said, or clockwise.
    pub(super) fn turning(
        &mut self,
        part: &Part,
        angle: usize,
        side: Option<Side>,
    ) -> Option<String> {
        if let Some(side) = side {
            return Some(side_word(side).to_owned());
        }
        let Some(Arg::Number(expr)) = part.args.get(angle) else {
            return None;
        };
        Some(
            if self.w.asked(expr)?.v < 0.0 {
                "anticlockwise"
            } else {
                "clockwise"
            }
            .to_owned(),
        )
    }

    /// The side to which a point square off a line goes when none was said.
    fn square_side(&mut self, part: &Part) -> Option<Side> {
        let thing = self.w.thing_arg(part, 0, Slot::Straight)?;
        let p = self.w.point_arg(part, 1)?;
        let along = Walker::direction_at(&thing, p)?;
        Some(if along.x.abs() > along.y.abs() {
            Side::Down
        } else {
            Side::Outward
        })
    }

    /// Which way along a line, where it starts from the middle of it.
    fn along_toward(&mut self, style: Style, part: &Part) -> Option<String> {
        let (curve, p) = (self.w.edge_arg(part, 0)?, self.w.point_arg(part, 2)?);
        let Some(Arg::Number(expr)) = part.args.get(1) else {
            return None;
        };
        let d = self.w.asked(expr)?.v;
        let (at, whole) = (curve.nearest(p).along.in_mm(), curve.length().in_mm());
        if at < 1e-3 || whole - at < 1e-3 {
            return Some(String::new());
        }
        let end = if at + d <= whole + 1e-6 {
            self.end_of(style, curve.end(), "end")
        } else {
            self.end_of(style, curve.start(), "beginning")
        };
        Some(format!(" toward {end}"))
    }

    /// A point on a level or upright, so far from something.
    fn on_ruling(
        &mut self,
        style: Style,
        name: &str,
        on: &str,
        kind: ThingKind,
        mut moves: Vec<Step>,
    ) -> Option<String> {
        let across = kind == ThingKind::Level;
        let place = moves.iter().position(|m| {
            m.from.is_some() && across == matches!(m.heads, Heads::In | Heads::Out)
        })?;
        let placed = moves.remove(place);
        moves.retain(|m| m.from.is_some() || !m.amount.nothing());
        let (from, thing) = placed.from.clone()?;
        if placed.amount.nothing() {
            // It lies on both rulings, or straight across from a point.
            let ruling = !matches!(thing, Thing::Point(_));
            let passing = match (ruling, across) {
                (true, _) => format!("the crossing of {on} and {from}"),
                (false, true) => format!("the point on {on} straight below or above {from}"),
                (false, false) => format!("the point on {on} level with {from}"),
            };
            let itself = match (style.form(), ruling, across) {
                (Form::Teaching, true, _) => format!("mark {name} where {on} and {from} cross"),
                (Form::Teaching, false, true) => {
                    format!("mark {name} on {on}, straight below or above {from}")
                }
                (Form::Teaching, false, false) => format!("mark {name} on {on}, level with {from}"),
                (Form::Short, true, _) => format!("{name}: {on} at {from}"),
                (Form::Short, false, _) => format!("{name}: on {on} at {from}"),
                (Form::Passing, ..) => passing.clone(),
            };
            return Some(self.going_from(
                style,
                name,
                &Base {
                    passing,
                    itself: Some(itself),
                },
                &moves,
            ));
        }
        let amount = self.said(style, &placed.amount);
        let (going, behind) = (placed.heads.going(), placed.heads.behind());
        Some(match style.form() {
            Form::Teaching => {
                let mut said = format!("on {on} go {going} {amount} from {from}");
                for m in &moves {
                    said.push_str(&self.clause(style, m));
                }
                format!("{said} and mark {name}")
            }
            Form::Passing => {
                let mut said = format!("the point on {on}, {amount} {behind} from {from}");
                for m in &moves {
                    said.push_str(&self.clause(style, m));
                }
                said
            }
            Form::Short => {
                // From the left edge is where one counts from anyway.
                let edge = matches!(thing, Thing::Upright(x) if x == 0.0)
                    || matches!(thing, Thing::Level(y) if y == 0.0);
                let mut said = if edge {
                    format!("{name}: on {on}, {amount} {behind}")
                } else {
                    format!("{name}: on {on}, {amount} {behind} from {from}")
                };
                for m in &moves {
                    said.push_str(&self.clause(style, m));
                }
                said
            }
        })
    }

    /// A further move.
    fn clause(&mut self, style: Style, m: &Step) -> String {
        let amount = self.said(style, &m.amount);
        let (going, behind) = (m.heads.going(), m.heads.behind());
        match (&m.from, style.form()) {
            (None, Form::Teaching) => format!(", then {going} {amount}"),
            (None, Form::Passing) => format!(" and {amount} {behind}"),
            (None, Form::Short) => format!(", {amount} {behind}"),
            (Some((from, _)), Form::Short) => format!(", {amount} {behind} from {from}"),
            (Some((from, _)), _) if matches!(m.heads, Heads::Up | Heads::Down) => format!(
                ", then straight up or down to {amount} {} {from}",
                m.heads.beside()
            ),
            (Some((from, _)), _) => format!(", then level across to {amount} {behind} from {from}"),
        }
    }

    /// A point from another point or a construction, moved or not.
    fn going_from(&mut self, style: Style, name: &str, base: &Base, moves: &[Step]) -> String {
        let from = &base.passing;
        let Some((first, rest)) = moves.split_first() else {
            return match (&base.itself, style.form()) {
                (Some(itself), _) => itself.clone(),
                (None, Form::Teaching) => format!("mark {name} at the same place as {from}"),
                (None, Form::Passing) => from.clone(),
                (None, Form::Short) => format!("{name}: {from}"),
            };
        };
        let amount = self.said(style, &first.amount);
        match style.form() {
            Form::Teaching => {
                // One goes from where two rulings cross.
                let from = match from.strip_prefix("the crossing of ") {
                    Some(two) if !two.contains(" with ") => format!("where {two} cross"),
                    _ => from.clone(),
                };
                let mut said = match &first.from {
                    None => format!("from {from} go {} {amount}", first.heads.going()),
                    Some(_) => format!(
                        "from {from} go{}",
                        self.clause(style, first).replacen(", then", "", 1)
                    ),
                };
                for m in rest {
                    said.push_str(&self.clause(style, m));
                }
                plainly(&format!("{said} and mark {name}"))
            }
            Form::Passing => {
                let from = from
                    .strip_prefix("the point ")
                    .map_or(from.clone(), |f| format!("the point {f}"));
                match (&first.from, rest) {
                    (None, []) => format!("the point {amount} {} {from}", first.heads.beside()),
                    (None, [second]) if second.from.is_none() => {
                        let (a, b) = (first.heads, second.heads);
                        format!(
                            "the point {amount} {} and {} {} from {from}",
                            away(a),
                            self.said(style, &second.amount),
                            away(b)
                        )
                    }
                    _ => {
                        let mut said = format!("the point reached from {from} by going");
                        for (i, m) in moves.iter().enumerate() {
                            let clause = self.clause(Style::Full, m);
                            said.push_str(if i == 0 {
                                clause.strip_prefix(", then").unwrap_or(&clause)
                            } else {
                                &clause
                            });
                        }
                        plainly(&said)
                    }
                }
            }
            Form::Short => {
                let mut said = base
                    .itself
                    .clone()
                    .unwrap_or_else(|| format!("{name}: {from}"));
                for m in moves {
                    said.push_str(&self.clause(style, m));
                }
                said
            }
        }
    }
}

/// After an amount, of two moves together.
fn away(heads: Heads) -> &'static str {
    match heads {
        Heads::Up => "up",
        Heads::Down => "down",
        Heads::In => "inward",
        Heads::Out => "outward",
    }
}

/// From where a point is found.
#[derive(Clone, Debug)]
struct Base {
    /// After `from`.
    passing: String,
    /// The whole sentence, when nothing follows.
    itself: Option<String>,
}
