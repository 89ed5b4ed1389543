//! Finish: roles, allowances, notches and corners of the edges of sheets and pieces.

use measure::{Curve, Length, Point};
use piece::{Allowance, Change, Corner, Edge, How, Notch, Role};

use crate::note::Note;
use crate::said;
use crate::tree::{Arg, Entry, Part, RefName, Says};
use crate::vocabulary::{Id, Slot};
use crate::walk::{Finish, Key, Thing, ThingKind, Walker};

/// Puts what was said of an edge on it.
pub(crate) fn finished(edge: &mut Edge, finish: &Finish, shift: Option<(Length, Length)>) {
    if let Some(role) = finish.role {
        edge.role = role;
        if role == Role::Fold {
            edge.allowance = Allowance::NONE;
        }
    }
    let whole = edge.curve.length();
    if let Some((first, changes)) = &finish.allowance {
        let changes: Vec<Change> = changes
            .iter()
            .map(|(at, width, how)| Change {
                at: Length::mm(*at),
                width: Length::mm(*width),
                how: *how,
            })
            .collect();
        let said = Allowance::changing(Length::mm(*first), changes);
        edge.allowance = match shift {
            None => said,
            Some((s, t)) if s <= t => said.between(s, t),
            Some((s, t)) => said.between(t, s).reversed(s - t),
        };
    }
    let placed = |at: f64| -> Option<Length> {
        let at = Length::mm(at);
        let at = match shift {
            None => at,
            Some((s, t)) if s <= t => at - s,
            Some((s, _)) => s - at,
        };
        (at >= -Length::mm(1e-6) && at <= whole + Length::mm(1e-6))
            .then(|| at.max(Length::ZERO).min(whole))
    };
    if let Some(notches) = &finish.notches {
        let mut all: Vec<Notch> = notches
            .iter()
            .filter_map(|(at, snips)| placed(*at).map(|at| Notch { at, snips: *snips }))
            .collect();
        all.sort_by(|a, b| a.at.in_mm().total_cmp(&b.at.in_mm()));
        edge.notches = all;
    }
    for (p, style) in &finish.corners {
        if edge.curve.start().distance(*p) <= edge.curve.end().distance(*p) {
            edge.start_corner = *style;
        } else {
            edge.end_corner = *style;
        }
    }
    if let Some((from, to)) = finish.open
        && let (Some(a), Some(b)) = (placed(from), placed(to))
    {
        edge.open = vec![(a.min(b), a.max(b))];
    }
}

impl<'a> Walker<'a> {
    /// `finish` on a sheet, of its own edges.
    pub(crate) fn finish_sheet(&mut self, entry: &'a Entry) {
        let Says::Parts(parts) = &entry.says else {
            return;
        };
        if entry.spoilt {
            return;
        }
        if let Some(of) = entry.head.of.first()
            && self.dry()
        {
            self.note(
                Note::new(of.span, "On a sheet its own edges are finished.")
                    .hint("Finish a piece's edges below `pieces`."),
            );
            return;
        }
        for name in &entry.head.names {
            let Some(key) = self.key(name) else { continue };
            let scope = self.scope;
            let Some(held) = self.scope_drawn(scope, &key).cloned() else {
                let known: Vec<String> = self.scopes[scope].edges.iter().map(Key::shown).collect();
                let note = Note::new(
                    name.span,
                    format!("There is no edge `{}` here.", key.shown()),
                );
                let note =
                    match measure::words::nearest(&name.name, known.iter().map(String::as_str)) {
                        Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                        None => note.hint("Draw it under `edges` first."),
                    };
                self.note_missing(&name.name, note);
                continue;
            };
            self.conditions(&held.conds, name.span, &key.shown());
            let curve = match &held.what {
                Thing::Line(c) => Some((**c).clone()),
                Thing::Unknown(ThingKind::Line | ThingKind::Any) => None,
                other => {
                    let kind = other.kind().shown();
                    self.note(Note::new(
                        name.span,
                        format!("`{}` is {kind}; only edges are finished.", key.shown()),
                    ));
                    continue;
                }
            };
            if curve.is_none() && !self.dry() {
                continue;
            }
            if let Some(finish) = self.finish_parts(parts, curve.as_ref()) {
                self.scopes[scope].finishes.push((key, finish));
            }
        }
    }

    /// `finish` of pieces' edges.
    pub(crate) fn finish_pieces(&mut self, entry: &'a Entry) {
        let Says::Parts(parts) = &entry.says else {
            return;
        };
        if entry.spoilt {
            return;
        }
        if entry.head.of.is_empty() {
            if self.dry() {
                let span = entry.head.span;
                self.note(Note::new(span, "Of which piece?").hint(format!(
                    "Write `{} of front`.",
                    entry.head.names.first().map_or("hem", |n| &*n.name)
                )));
            }
            return;
        }
        let mut noted = false;
        for of in &entry.head.of {
            let Some(key) = self.key(of) else { continue };
            let Some(p) = self.piece_of(&key) else {
                let known: Vec<String> = self.pieces.iter().map(|p| p.key.shown()).collect();
                let note = Note::new(of.span, format!("There is no piece `{}`.", key.shown()));
                let note = match measure::words::nearest(&of.name, known.iter().map(String::as_str))
                {
                    Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                    None => note,
                };
                self.note_missing(&key.shown(), note);
                continue;
            };
            let conds = self.pieces[p].conds.clone();
            self.conditions(&conds, of.span, &key.shown());
            let all = matches!(&entry.head.names[..], [RefName { name, number: None, .. }] if &**name == "all");
            let names: Vec<String> = if all {
                self.pieces[p].edges.clone()
            } else {
                entry
                    .head
                    .names
                    .iter()
                    .filter_map(|n| self.key(n))
                    .map(|k| k.shown())
                    .collect()
            };
            let held = self.pieces[p].clone();
            let before = self.in_hand.replace(held.clone());
            for (i, name) in names.iter().enumerate() {
                if !held.edges.contains(name) {
                    if !held.loose && !held.spoilt && !noted {
                        let span = entry.head.names.get(i).map_or(entry.head.span, |n| n.span);
                        let note = Note::new(
                            span,
                            format!("`{}` has no edge `{name}`.", held.key.shown()),
                        );
                        let hint = match measure::words::nearest(
                            name,
                            held.edges.iter().map(String::as_str),
                        ) {
                            Some(meant) => format!("Did you mean `{meant}`?"),
                            None => format!("It has {}.", held.edges.join(", ")),
                        };
                        self.note(note.hint(hint));
                        noted = true;
                    }
                    continue;
                }
                let curve = held
                    .piece
                    .as_ref()
                    .and_then(|p| p.edge(name).ok())
                    .map(|e| e.curve.clone());
                if curve.is_none() && !self.dry() {
                    continue;
                }
                if noted {
                    continue;
                }
                let count = self.notes.len();
                let finish = self.finish_parts(parts, curve.as_ref());
                // The same words are read once for each edge; a slip in them is noted once.
                noted |= self.notes.len() > count;
                if let (Some(finish), Some(piece)) = (finish, &mut self.pieces[p].piece)
                    && let Ok(e) = piece.edge_index(name)
                {
                    // A fold stays a fold when all edges are spoken of at once.
                    if !(all && piece.edges[e].role == Role::Fold) {
                        finished(&mut piece.edges[e], &finish, None);
                    }
                }
            }
            self.in_hand = before;
        }
    }

    pub(crate) fn finish_parts(&mut self, parts: &[Part], curve: Option<&Curve>) -> Option<Finish> {
        let mut finish = Finish::default();
        let mut ok = Some(());
        for part in parts.iter().filter(|p| p.row.id == Id::If) {
            if let Some(expr) = Self::expr_arg(part, 0) {
                match self.ask(expr) {
                    Some(true) => {}
                    Some(false) if self.dry() => {}
                    _ => return None,
                }
            }
        }
        let whole = curve.map_or(100.0, |c| c.length().in_mm());
        for part in parts {
            let fine = match part.row.id {
                Id::Seam => {
                    finish.role = Some(Role::Seam);
                    Some(())
                }
                Id::Hem => {
                    finish.role = Some(Role::Hem);
                    Some(())
                }
                Id::Folded => {
                    finish.role = Some(Role::Fold);
                    finish.allowance = Some((0.0, Vec::new()));
                    Some(())
                }
                Id::Open => {
                    finish.role = Some(Role::Opening);
                    Some(())
                }
                Id::Allowance => self.length_arg(part, 0).and_then(|d| {
                    if d < -1e-9 && !self.dry() {
                        self.note(Note::new(
                            part.span,
                            "An allowance is not less than nothing.",
                        ));
                        return None;
                    }
                    finish.allowance = Some((d.max(0.0), Vec::new()));
                    Some(())
                }),
                Id::Ramping | Id::Stepping => {
                    let (d, s) = (self.length_arg(part, 0), self.along_arg(part, 1, curve));
                    match (d, s) {
                        (Some(d), Some(s)) => {
                            let how = if part.row.id == Id::Ramping {
                                How::Ramp
                            } else {
                                How::Step
                            };
                            match &mut finish.allowance {
                                Some((_, changes)) => changes.push((s, d.max(0.0), how)),
                                None => {
                                    self.note(
                                        Note::new(
                                            part.span,
                                            "The allowance must be said before it changes.",
                                        )
                                        .hint("Add `allowance 1 in` first."),
                                    );
                                }
                            }
                            Some(())
                        }
                        _ => None,
                    }
                }
                Id::NotchEvery => self.length_arg(part, 0).and_then(|d| {
                    if self.dry() {
                        return Some(());
                    }
                    if d < 6.0 {
                        self.note(Note::new(
                            part.span,
                            "Notches that close together would cut the edge off.",
                        ));
                        return None;
                    }
                    let notches = finish.notches.get_or_insert_with(Vec::new);
                    let mut s = d;
                    while s < whole - d * 0.25 && notches.len() < 200 {
                        notches.push((s, 1));
                        s += d;
                    }
                    Some(())
                }),
                Id::NotchAt | Id::DoubleNotchAt | Id::TripleNotchAt => {
                    let snips = match part.row.id {
                        Id::NotchAt => 1,
                        Id::DoubleNotchAt => 2,
                        _ => 3,
                    };
                    self.along_arg(part, 0, curve)
                        .map(|s| finish.notches.get_or_insert_with(Vec::new).push((s, snips)))
                }
                Id::NotchAbove
                | Id::NotchBelow
                | Id::NotchFrom
                | Id::DoubleNotchAbove
                | Id::DoubleNotchBelow
                | Id::DoubleNotchFrom => {
                    let snips =
                        if matches!(part.row.id, Id::NotchAbove | Id::NotchBelow | Id::NotchFrom) {
                            1
                        } else {
                            2
                        };
                    let (d, s) = (self.length_arg(part, 0), self.along_arg(part, 1, curve));
                    match (d, s, curve) {
                        (Some(d), Some(s), Some(curve)) => {
                            let down = curve.at(Length::mm(s)).direction.y >= 0.0;
                            let forward = match part.row.id {
                                Id::NotchAbove | Id::DoubleNotchAbove => !down,
                                Id::NotchBelow | Id::DoubleNotchBelow => down,
                                _ => s + d <= whole + 1e-6,
                            };
                            let place = if forward { s + d } else { s - d };
                            if place < -1e-6 || place > whole + 1e-6 {
                                let far = self.shown_mm(d);
                                self.note(Note::new(
                                    part.span,
                                    format!("A notch {far} away runs off the end of the edge."),
                                ));
                                None
                            } else {
                                finish
                                    .notches
                                    .get_or_insert_with(Vec::new)
                                    .push((place.clamp(0.0, whole), snips));
                                Some(())
                            }
                        }
                        (Some(_), Some(_), None) => Some(()),
                        _ => None,
                    }
                }
                Id::ReflectedCorner
                | Id::SquaredCorner
                | Id::ExtendedCorner
                | Id::BevelledCorner
                | Id::SteppedCorner
                | Id::MitredCorner => {
                    let style = match part.row.id {
                        Id::ReflectedCorner => Corner::Reflected,
                        Id::SquaredCorner => Corner::Squared,
                        Id::BevelledCorner => Corner::Bevelled,
                        Id::SteppedCorner => Corner::Stepped,
                        Id::MitredCorner => Corner::Mitred,
                        _ => Corner::Extended,
                    };
                    self.point_arg(part, 0)
                        .map(|p| finish.corners.push((p, style)))
                }
                Id::OpenFrom => {
                    let (p, d) = (self.point_arg(part, 0), self.length_arg(part, 1));
                    match (p, d, curve) {
                        (Some(p), Some(d), Some(curve)) => {
                            let s = self.on_line(curve, p, part.span)?;
                            let e = if s + d <= whole + 1e-6 { s + d } else { s - d };
                            finish.open = Some((s.min(e).max(0.0), s.max(e).min(whole)));
                            Some(())
                        }
                        (Some(_), Some(_), None) => Some(()),
                        _ => None,
                    }
                }
                _ => Some(()),
            };
            if fine.is_none() {
                ok = None;
            }
        }
        ok.map(|()| finish)
    }

    /// How far along an edge a point of it lies, or a level or upright crosses it.
    pub(crate) fn along_arg(
        &mut self,
        part: &Part,
        i: usize,
        curve: Option<&Curve>,
    ) -> Option<f64> {
        let thing = self.thing_arg(part, i, Slot::Spot)?;
        let Some(curve) = curve else { return Some(0.0) };
        match thing {
            Thing::Point(p) => self.on_line(curve, p, part.span),
            ruling => {
                let (on, way) = crate::points::ruling_line(&ruling)?;
                let found = curve.crossings_straight(on, way);
                let Some(first) = found.first() else {
                    // A level just above or below an end is that end, to a sixteenth.
                    let near = |p: Point| way.cross(p - on).abs() < 1.6;
                    if near(curve.start()) {
                        return Some(0.0);
                    }
                    if near(curve.end()) {
                        return Some(curve.length().in_mm());
                    }
                    let name = match part.args.get(i) {
                        Some(Arg::Drawn(d)) => said::drawn(d),
                        _ => "ruling".into(),
                    };
                    self.note(Note::new(
                        part.span,
                        format!("With these numbers the {name} does not cross that edge."),
                    ));
                    return None;
                };
                Some(first.0.in_mm())
            }
        }
    }
}
