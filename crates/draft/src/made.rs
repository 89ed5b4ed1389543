//! Makes pieces from sheets and other pieces, works on them, and finishes their edges.

use measure::{Curve, Length, Motion, Point, Vector};
use piece::works::{self, Place};
use piece::{
    Allowance, Balance, Change, Corner, Cut, Dart, Edge, Fault, Grain, How, Mark, Notch, Piece,
    Role, Toward,
};

use crate::construct::{side_of, turn_to};
use crate::note::{Note, Span};
use crate::said;
use crate::tree::{Arg, Drawn, EdgeRef, Entry, Part, RefName, Says};
use crate::vocabulary::{Id, Slot};
use crate::walk::{Dim, Finish, Key, PieceMade, Thing, ThingKind, Told, Walker};

impl<'a> Walker<'a> {
    /// An entry under `pieces`.
    pub(crate) fn piece_entry(&mut self, entry: &'a Entry) {
        let Says::Parts(parts) = &entry.says else {
            return;
        };
        if self.scope != 0 {
            return;
        }
        let mut made = Vec::new();
        let mut keys: Vec<Key> = Vec::new();
        for name in &entry.head.names {
            if let Some(key) = self.key(name) {
                keys.push(key);
            }
        }
        for (i, key) in keys.iter().enumerate() {
            let span = entry.head.names.get(i).map_or(entry.head.span, |n| n.span);
            if self
                .pieces
                .iter()
                .any(|p| p.key == *key && !crossing(&p.conds, &self.conds))
            {
                if self.dry() {
                    self.note(
                        Note::new(span, format!("There is a piece `{}` already.", key.shown()))
                            .hint("One name, one thing: choose another."),
                    );
                }
                continue;
            }
            let mut piece = PieceMade {
                key: key.clone(),
                piece: None,
                edges: Vec::new(),
                loose: false,
                sheet: None,
                conds: self.conds.clone(),
                spoilt: entry.spoilt,
                cuts: 0,
                in_place: true,
                copied_from: Vec::new(),
                opened: Vec::new(),
            };
            // Of a piece with a fault the parts that were read still tell its sheet and its edges.
            let quiet = entry.spoilt && self.dry();
            if (!entry.spoilt || quiet) && self.spend(4, span) {
                let before = self.in_hand.replace(piece);
                let noted = self.notes.len();
                let fine = self.piece_parts(parts, i, span);
                if quiet {
                    self.notes.truncate(noted);
                }
                piece = match core::mem::replace(&mut self.in_hand, before) {
                    Some(p) => p,
                    None => return,
                };
                piece.spoilt = quiet || fine.is_none();
                if piece.spoilt && !self.dry() {
                    piece.piece = None;
                }
                if let Some(p) = &piece.piece
                    && let Err(fault) = p.check_simple()
                {
                    let says = fault.to_string();
                    self.crossed(&key.shown(), &says);
                }
            }
            if !self.dry() && self.pieces.iter().any(|p| p.key == *key) {
                continue;
            }
            if self.dry()
                && let Some(i) = self.pieces.iter().position(|p| p.key == *key)
            {
                // Made on the other side of the question too: it is there either way.
                let before = &mut self.pieces[i];
                before.conds = crate::walk::common(&before.conds, &piece.conds);
                for edge in piece.edges {
                    if !before.edges.contains(&edge) {
                        before.edges.push(edge);
                    }
                }
                before.loose |= piece.loose;
                before.spoilt |= piece.spoilt;
                before.cuts = before.cuts.max(piece.cuts);
                made.push(i);
                continue;
            }
            made.push(self.pieces.len());
            self.pieces.push(piece);
        }
        let locals = self.locals.clone();
        self.order.push(Told::Piece {
            entry,
            pieces: made,
            locals,
        });
    }

    /// A ring that crosses itself is a stop.
    fn crossed(&mut self, piece: &str, says: &str) {
        self.findings.push(crate::worked::Finding {
            rule: "outline".into(),
            weight: crate::tree::Weight::Stop,
            place: piece.to_owned(),
            amount: None,
            says: format!("On the {piece}: {says}"),
            cure: Some("look at the choices and measures that draw these edges".into()),
        });
    }

    fn piece_parts(&mut self, parts: &[Part], which: usize, span: Span) -> Option<()> {
        let mut i = 0;
        let mut ok = Some(());
        while i < parts.len() {
            // What is said after a work belongs to it.
            let mut end = i + 1;
            while end < parts.len() && belongs(parts[i].row.id, parts[end].row.id) {
                end += 1;
            }
            let more = &parts[i + 1..end];
            let mut drawn = true;
            let outer = self.conds.len();
            for q in more.iter().filter(|p| p.row.id == Id::If) {
                if let Some(expr) = Self::expr_arg(q, 0) {
                    match self.ask(expr) {
                        Some(answer) => drawn &= answer,
                        None => ok = None,
                    }
                    if self.dry()
                        && let crate::walk::Truth::Open(open) = self.static_truth(expr)
                    {
                        self.conds.extend(open);
                    }
                }
            }
            if (drawn || self.dry()) && self.piece_part(&parts[i], more, which, span, i).is_none() {
                ok = None;
                if !self.dry() {
                    return None;
                }
            }
            self.conds.truncate(outer);
            i = end;
        }
        let hand = self.in_hand.as_ref()?;
        if ok.is_some() && hand.piece.is_none() && !self.dry() {
            return None;
        }
        if let Some(piece) = &hand.piece
            && piece.cuts.iter().any(|c| c.on_fold)
            && piece.fold().is_none()
        {
            let place = parts
                .iter()
                .find(|p| p.row.id == Id::CutFold)
                .map_or(span, |p| p.span);
            let says = format!(
                "`{}` is to lie on the fold, and none of its edges is a fold.",
                piece.name
            );
            self.note(
                Note::new(place, says)
                    .hint("Say `centre: fold` under `finish`, or `fold centre` here."),
            );
            return None;
        }
        if self.dry()
            && !parts
                .iter()
                .any(|p| matches!(p.row.id, Id::On | Id::Copy | Id::Rectangle))
        {
            self.note(
                Note::new(span, "I can't tell what this piece is made from.")
                    .hint("Begin with `on` a sheet and `outline`, `copy from` a piece, or `rectangle … by …`."),
            );
            return None;
        }
        ok
    }

    /// The piece as it is so far.
    fn hand(&mut self) -> Option<Piece> {
        self.in_hand.as_ref()?.piece.clone()
    }

    fn put(&mut self, made: Result<Piece, Fault>, span: Span) -> Option<()> {
        match made {
            Ok(piece) => {
                if let Some(hand) = &mut self.in_hand {
                    hand.edges = piece.edges.iter().map(|e| e.name.clone()).collect();
                    hand.piece = Some(piece);
                }
                Some(())
            }
            Err(fault) => {
                self.note(Note::new(span, fault.to_string()));
                None
            }
        }
    }

    fn piece_part(
        &mut self,
        part: &Part,
        more: &[Part],
        which: usize,
        span: Span,
        at: usize,
    ) -> Option<()> {
        let dry = self.dry();
        let moves = matches!(
            part.row.id,
            Id::Rectangle
                | Id::Join
                | Id::JoinWith
                | Id::Slash
                | Id::SlashTimes
                | Id::Close
                | Id::CloseBy
                | Id::CloseEvery
                | Id::CloseEveryBy
                | Id::Swing
                | Id::TurnOver
                | Id::TurnAbout
                | Id::MoveUp
                | Id::MoveDown
                | Id::MoveInward
                | Id::MoveOutward
                | Id::OpenOut
        );
        if let (true, Some(hand)) = (moves, &mut self.in_hand) {
            hand.in_place = false;
        }
        // Every work looks at each stretch of the ring beside each other one.
        let ring = self.in_hand.as_ref().and_then(|h| h.piece.as_ref());
        let stretches: u64 = ring.map_or(0, |p| {
            p.edges
                .iter()
                .map(|e| e.curve.segments().len() as u64)
                .sum()
        });
        if !self.spend(1 + stretches * stretches / 1000, part.span) {
            return None;
        }
        let extra = |id: Id| more.iter().find(|p| p.row.id == id);
        let side = more.iter().find_map(|p| side_of(p.row.id));
        match part.row.id {
            Id::On => {
                let outline = extra(Id::Outline);
                let Some(outline) = outline else {
                    self.note(
                        Note::new(part.span, "A piece on a sheet wants its outline.")
                            .hint("Add `outline waist then side then hem then centre`."),
                    );
                    return None;
                };
                self.on_sheet(part)?;
                self.outlined(outline, span)
            }
            Id::Outline => {
                self.note(
                    Note::new(part.span, "An outline wants its sheet.")
                        .hint("Write `on front, outline …`."),
                );
                None
            }
            Id::Copy => self.copied(part, span),
            Id::Rectangle => {
                let (d, w) = (self.length_arg(part, 0), self.length_arg(part, 1));
                let (d, w) = (d?, w?);
                if dry {
                    self.set_edges(&["top", "far end", "bottom", "near end"]);
                    return Some(());
                }
                let name = self.in_hand.as_ref()?.key.shown();
                let made = works::rectangle(&name, Length::try_mm(d)?, Length::try_mm(w)?);
                self.put(made, part.span)
            }
            Id::CutAlong => {
                let line = self.edge_arg(part, 0);
                let keep = match extra(Id::Keeping) {
                    Some(k) => self.several(k),
                    None => {
                        self.note(
                            Note::new(part.span, "Which part is kept?")
                                .hint("Add `keeping` and a point of it."),
                        );
                        None
                    }
                };
                let new = match part.args.first() {
                    Some(Arg::Edge(EdgeRef {
                        line: Drawn::Named(r),
                        ..
                    })) => said::name(&r.parts[0]),
                    _ => "cut edge".to_owned(),
                };
                if dry {
                    self.add_edge(&new);
                    line?;
                    keep?;
                    return Some(());
                }
                let (line, keep) = (line?, keep?);
                let keep = *keep.get(which).or(keep.last())?;
                let made = works::cut_along(&self.hand()?, &line, &new, keep);
                self.put(made, part.span)
            }
            Id::Join | Id::JoinWith => self.joined_on(part),
            Id::Slash | Id::SlashTimes => {
                let (times, n) = if part.row.id == Id::SlashTimes {
                    (self.number_arg(part, 0, Dim::Number), 1)
                } else {
                    (Some(1.0), 0)
                };
                let (a, b) = (self.place_arg(part, n), self.place_arg(part, n + 1));
                let spread = match extra(Id::Spread) {
                    Some(s) => self.length_arg(s, 0),
                    None => {
                        self.note(
                            Note::new(part.span, "How far is it spread?")
                                .hint("Add `spread 2 in`."),
                        );
                        None
                    }
                };
                let (times, a, b, spread) = (times?, a?, b?, spread?);
                if dry {
                    return Some(());
                }
                if !(0.0..=40.0).contains(&times) {
                    self.note(Note::new(part.span, "A piece is slashed at most 40 times."));
                    return None;
                }
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "0 to 40"
                )]
                let times = times.round() as usize;
                let made = works::slash(
                    &self.hand()?,
                    a.place(),
                    b.place(),
                    times,
                    Length::try_mm(spread)?,
                    extra(Id::AllAlong).is_some(),
                );
                self.put(made, part.span)
            }
            Id::Close | Id::CloseBy | Id::CloseEvery | Id::CloseEveryBy => {
                self.closed(part, more, at)
            }
            Id::Swing => {
                let (dart, edge, p) = (
                    self.dart_name(part, 0),
                    self.own(part, 1),
                    self.point_arg(part, 2),
                );
                let (dart, edge, p) = (dart?, edge?, p?);
                if dry {
                    return Some(());
                }
                match works::swing_dart(&self.hand()?, &dart, &edge, p) {
                    Ok((piece, wide)) => {
                        if let Some(hand) = &mut self.in_hand {
                            hand.opened.push((at, wide.in_mm()));
                        }
                        self.put(Ok(piece), part.span)
                    }
                    Err(fault) => self.put(Err(fault), part.span),
                }
            }
            Id::LetOut | Id::TakeIn | Id::LetOutAt | Id::TakeInAt => {
                let (edge, d) = (self.own(part, 0), self.length_arg(part, 1));
                let place = if matches!(part.row.id, Id::LetOutAt | Id::TakeInAt) {
                    Some(self.point_arg(part, 2))
                } else {
                    None
                };
                let fading = extra(Id::Fading).map(|f| self.point_arg(f, 0));
                let (edge, d) = (edge?, d?);
                if place.is_some() != fading.is_some() {
                    let hint = if place.is_some() {
                        "Add `fading to` and a point."
                    } else {
                        "Say at which point the whole amount is: `at hem side`."
                    };
                    self.note(Note::new(part.span, "At one end the whole amount, fading to nothing at the other: one of the two is missing.").hint(hint));
                    return None;
                }
                let d = if matches!(part.row.id, Id::TakeIn | Id::TakeInAt) {
                    -d
                } else {
                    d
                };
                if dry {
                    place.map_or(Some(Point::default()), |p| p)?;
                    fading.map_or(Some(Point::default()), |p| p)?;
                    return Some(());
                }
                let by = Length::try_mm(d)?;
                let made = match (place, fading) {
                    (Some(p), Some(f)) => works::let_out_fading(&self.hand()?, &edge, by, p?, f?),
                    _ => works::let_out(&self.hand()?, &edge, by),
                };
                self.put(made, part.span)
            }
            Id::Strip => {
                let edge = self.own(part, 0);
                let deep = match extra(Id::Deep) {
                    Some(d) => self.length_arg(d, 0),
                    None => {
                        self.note(
                            Note::new(part.span, "How deep is the strip?")
                                .hint("Add `deep 2 1/2 in`."),
                        );
                        None
                    }
                };
                let (edge, deep) = (edge?, deep?);
                if dry {
                    self.add_edge("inner edge");
                    return Some(());
                }
                let made = works::strip(&self.hand()?, &edge, Length::try_mm(deep)?);
                self.put(made, part.span)
            }
            Id::Replace => {
                let (edge, line) = (self.own(part, 0), self.edge_arg(part, 1));
                let (edge, line) = (edge?, line?);
                if dry {
                    return Some(());
                }
                let made = works::replace(&self.hand()?, &edge, &line);
                self.put(made, part.span)
            }
            Id::Smooth => {
                let edge = self.own(part, 0)?;
                if dry {
                    return Some(());
                }
                let made = works::smooth(&self.hand()?, &edge);
                self.put(made, part.span)
            }
            Id::OpenOut => {
                let edge = self.own(part, 0)?;
                if dry {
                    if let Some(hand) = &mut self.in_hand {
                        hand.loose = true;
                        let doubled: Vec<String> =
                            hand.edges.iter().map(|e| format!("other {e}")).collect();
                        hand.edges.extend(doubled);
                    }
                    return Some(());
                }
                let made = works::open_out(&self.hand()?, &edge);
                self.put(made, part.span)
            }
            Id::TurnOver => {
                if dry {
                    return Some(());
                }
                let made = works::turn_over(&self.hand()?);
                self.put(made, part.span)
            }
            Id::TurnAbout => {
                let (p, x) = (
                    self.point_arg(part, 0),
                    self.number_arg(part, 1, Dim::Angle),
                );
                let (p, x) = (p?, x?);
                if dry {
                    return Some(());
                }
                let piece = self.hand()?;
                let far = middle(&piece);
                let made = works::turned(&piece, p, turn_to(far, p, x, side));
                self.put(made, part.span)
            }
            Id::MoveUp | Id::MoveDown | Id::MoveInward | Id::MoveOutward => {
                let d = self.length_arg(part, 0)?;
                if dry {
                    return Some(());
                }
                let way = match part.row.id {
                    Id::MoveUp => Vector::UP,
                    Id::MoveDown => Vector::DOWN,
                    Id::MoveInward => Vector::INWARD,
                    _ => Vector::OUTWARD,
                };
                let made = self.hand()?.moved(&Motion::shift(way * d));
                self.put(Ok(made), part.span)
            }
            Id::Fold => {
                let edge = self.own(part, 0)?;
                if dry {
                    return Some(());
                }
                let mut piece = self.hand()?;
                if let Ok(i) = piece.edge_index(&edge) {
                    piece.edges[i].role = Role::Fold;
                    piece.edges[i].allowance = Allowance::NONE;
                }
                self.put(Ok(piece), part.span)
            }
            Id::CutFold | Id::CutPlain | Id::CutPair => self.cut(part),
            Id::GrainAlong | Id::GrainDown | Id::GrainFrom => self.grain(part),
            Id::Label => {
                let Some(Arg::Text(text)) = part.args.first() else {
                    return None;
                };
                if let Some(hand) = &mut self.in_hand
                    && let Some(piece) = &mut hand.piece
                {
                    piece.label = Some(text.clone());
                }
                Some(())
            }
            Id::Keeping
            | Id::Spread
            | Id::AllAlong
            | Id::Deep
            | Id::Fading
            | Id::Opening
            | Id::OpeningAt => {
                self.note(Note::new(
                    part.span,
                    format!(
                        "`{}` belongs behind a work on the piece.",
                        first_word(part.row.pattern)
                    ),
                ));
                None
            }
            _ => Some(()),
        }
    }

    fn set_edges(&mut self, names: &[&str]) {
        if let Some(hand) = &mut self.in_hand {
            hand.edges = names.iter().map(|n| (*n).to_owned()).collect();
        }
    }

    fn add_edge(&mut self, name: &str) {
        if let Some(hand) = &mut self.in_hand
            && !hand.edges.iter().any(|e| e == name)
        {
            hand.edges.push(name.to_owned());
        }
    }

    /// The name of an edge of the piece in hand.
    fn own(&mut self, part: &Part, i: usize) -> Option<String> {
        let drawn = match part.args.get(i)? {
            Arg::Drawn(drawn) => drawn,
            _ => return None,
        };
        let Drawn::Named(r) = drawn else {
            self.note(Note::new(
                drawn.span(),
                "Here I want an edge of this piece by its name.",
            ));
            return None;
        };
        let key = self.joined(&r.parts)?;
        let name = key.shown();
        let hand = self.in_hand.as_ref()?;
        if hand.spoilt || (hand.loose && self.dry()) {
            return Some(name);
        }
        if hand.edges.contains(&name) {
            return Some(name);
        }
        // A counted name in the dry walk stands for each of its numbers.
        if self.dry() && key.number.is_some() {
            return Some(name);
        }
        let known = hand.edges.clone();
        let piece = hand.key.shown();
        if known.is_empty() && self.dry() {
            return None;
        }
        let note = Note::new(
            r.span,
            format!("`{piece}` has no edge `{}`.", said::reference(r)),
        );
        let hint = match measure::words::nearest(&name, known.iter().map(String::as_str)) {
            Some(meant) => format!("Did you mean `{meant}`?"),
            None => format!("It has {}.", known.join(", ")),
        };
        self.note(note.hint(hint));
        None
    }

    fn dart_name(&mut self, part: &Part, i: usize) -> Option<String> {
        let Some(Arg::Drawn(drawn)) = part.args.get(i) else {
            return None;
        };
        if self.dry() {
            self.thing(drawn, Slot::Dart)?;
            return Some(String::new());
        }
        let Drawn::Named(r) = drawn else { return None };
        let key = self.joined(&r.parts[..1])?;
        let name = key.shown();
        if self.hand()?.dart(&name).is_err() {
            self.note(
                Note::new(
                    r.span,
                    format!("There is no dart `{name}` on this piece for this figure."),
                )
                .hint("Use `every dart`, or ask first how many there are."),
            );
            return None;
        }
        Some(name)
    }

    fn place_arg(&mut self, part: &Part, i: usize) -> Option<Spot> {
        let Some(Arg::Drawn(drawn)) = part.args.get(i) else {
            return None;
        };
        if let Drawn::Named(r) = drawn
            && let Some(hand) = &self.in_hand
        {
            let name = said::reference(r);
            if hand.edges.contains(&name) {
                return Some(Spot::Edge(name));
            }
            if hand.loose && self.dry() {
                return Some(Spot::Edge(name));
            }
        }
        match self.thing(drawn, Slot::PointOrOwn)? {
            Thing::Point(p) => Some(Spot::At(p)),
            Thing::Unknown(ThingKind::Point | ThingKind::Any) if self.dry() => {
                Some(Spot::At(Point::default()))
            }
            _ => {
                self.note(Note::new(
                    drawn.span(),
                    "Here I want a point, or an edge of this piece by its name.",
                ));
                None
            }
        }
    }

    /// Takes the sheet on which the piece lies.
    fn on_sheet(&mut self, part: &Part) -> Option<()> {
        let Some(Arg::Drawn(Drawn::Named(r))) = part.args.first() else {
            return None;
        };
        let owner = self.owner(&r.parts);
        match owner.and_then(|o| o.sheet.map(|s| (o.sub, s))) {
            Some((sub, sheet)) => {
                let conds = if sub.is_none() {
                    self.scopes[sheet].conds.clone()
                } else {
                    Vec::new()
                };
                let said = said::reference(r);
                self.conditions(&conds, r.span, &said);
                if let Some(hand) = &mut self.in_hand {
                    hand.sheet = Some((sub, sheet));
                }
                Some(())
            }
            None => {
                let known: Vec<String> = self
                    .scopes
                    .iter()
                    .filter_map(|s| s.key.as_ref())
                    .map(Key::shown)
                    .collect();
                let said = said::reference(r);
                let note = Note::new(r.span, format!("There is no sheet `{said}`."));
                let note = match measure::words::nearest(&said, known.iter().map(String::as_str)) {
                    Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                    None => note.hint("Write `sheets front, back` above it."),
                };
                self.note_missing(&said, note);
                if let Some(hand) = &mut self.in_hand {
                    hand.spoilt = true;
                }
                None
            }
        }
    }

    fn outlined(&mut self, part: &Part, span: Span) -> Option<()> {
        let Some(Arg::Edges(edges)) = part.args.first() else {
            return None;
        };
        let (sub, sheet) = self.in_hand.as_ref()?.sheet?;
        let mut made: Vec<Edge> = Vec::new();
        let mut drawn: Vec<(Key, Curve)> = Vec::new();
        let mut ok = Some(());
        let mut names: Vec<String> = Vec::new();
        for edge in edges {
            let line = self.line_of(edge);
            let key = match &edge.line {
                Drawn::Named(r) => self.joined(&r.parts[..1]),
                _ => Some(Key::plain("edge")),
            };
            let (Some(line), Some(key)) = (line, key) else {
                ok = None;
                if let Drawn::Named(r) = &edge.line {
                    names.push(said::name(&r.parts[0]));
                }
                continue;
            };
            let name = key.shown();
            if names.contains(&name) && self.dry() {
                self.note(Note::new(
                    edge.line.span(),
                    format!("The outline goes over `{name}` twice."),
                ));
                ok = None;
            }
            names.push(name.clone());
            if self.dry() {
                continue;
            }
            let mut e = Edge::plain(name, (*line).clone());
            let finishes: Vec<Finish> = match sub {
                None => self.scopes[sheet]
                    .finishes
                    .iter()
                    .filter(|(k, _)| *k == key)
                    .map(|x| x.1.clone())
                    .collect(),
                Some(i) => self.subs[i].walker.scopes[sheet]
                    .finishes
                    .iter()
                    .filter(|(k, _)| *k == key)
                    .map(|x| x.1.clone())
                    .collect(),
            };
            // A finish was said of the whole line; of a part of it only what lies there is left.
            let shift = match &edge.between {
                Some(_) => match self.thing(&edge.line, Slot::Edge) {
                    Some(Thing::Line(whole)) => {
                        let (s, t) = (
                            whole.nearest(line.start()).along,
                            whole.nearest(line.end()).along,
                        );
                        Some((s, t))
                    }
                    _ => None,
                },
                None => None,
            };
            for finish in &finishes {
                finished(&mut e, finish, shift);
            }
            drawn.push((key, (*line).clone()));
            made.push(e);
        }
        if self.dry() {
            if let Some(hand) = &mut self.in_hand {
                hand.edges = names;
                hand.loose |= ok.is_none();
            }
            return ok;
        }
        ok?;
        let name = self.in_hand.as_ref()?.key.shown();
        let mut piece = match Piece::from_edges(&name, made) {
            Ok(piece) => piece,
            Err(fault) => {
                self.note(Note::new(
                    span,
                    format!("The outline of `{name}` does not close. {fault}"),
                ));
                return None;
            }
        };
        self.marked(&mut piece, sub, sheet, &drawn);
        self.put(Ok(piece), span)
    }

    /// Puts the sheet's points, darts and levels on a piece.
    fn marked(
        &mut self,
        piece: &mut Piece,
        sub: Option<usize>,
        sheet: usize,
        drawn: &[(Key, Curve)],
    ) {
        let scope = match sub {
            None => &self.scopes[sheet],
            Some(i) => &self.subs[i].walker.scopes[sheet],
        };
        let mut points: Vec<(Key, Point)> = Vec::new();
        for held in &scope.drawn.all {
            match &held.what {
                Thing::Point(p) => {
                    let soft = scope
                        .softened
                        .iter()
                        .filter(|(_, point)| *point == held.key);
                    let p = &soft
                        .filter_map(|(line, _)| drawn.iter().find(|(k, _)| k == line))
                        .map(|(_, curve)| curve.nearest(*p).point)
                        .next()
                        .unwrap_or(*p);
                    piece.marks.push(Mark {
                        name: held.key.shown(),
                        point: *p,
                    });
                    if let Some(level) = &held.level {
                        points.push((level.clone(), *p));
                    }
                }
                Thing::Dart(d) => {
                    let Some((_, curve)) = drawn.iter().find(|(k, _)| *k == d.edge) else {
                        continue;
                    };
                    let Ok(edge) = piece.edge(&d.edge.shown()) else {
                        continue;
                    };
                    let flipped = (edge.curve.start() - curve.start()).size() > 1e-3;
                    let whole = edge.curve.length();
                    let (a, b) = (
                        Length::mm(d.mouth.0.max(0.0)),
                        Length::mm(d.mouth.1).min(whole),
                    );
                    let (mouth, pressed) = if flipped {
                        let turned = d.pressed.map(|p| {
                            if p == Toward::Start {
                                Toward::End
                            } else {
                                Toward::Start
                            }
                        });
                        ((whole - b, whole - a), turned)
                    } else {
                        ((a, b), d.pressed)
                    };
                    piece.darts.push(Dart {
                        name: held.key.shown(),
                        edge: d.edge.shown(),
                        mouth,
                        tip: d.tip,
                        pressed,
                    });
                }
                _ => {}
            }
        }
        let levels: Vec<(Key, f64)> = scope
            .drawn
            .all
            .iter()
            .filter(|h| {
                h.body
                    .as_deref()
                    .is_some_and(|b| b != "waist" && b != "floor")
            })
            .filter_map(|h| match h.what {
                Thing::Level(y) => Some((h.key.clone(), y)),
                _ => None,
            })
            .collect();
        for (key, y) in levels {
            if let Some((from, to)) = balance(piece, &key, y, &points) {
                piece.balance.push(Balance {
                    name: key.shown(),
                    from,
                    to,
                });
            }
        }
    }

    /// Takes another piece as it is; what was to be cut of it is said anew.
    fn copied(&mut self, part: &Part, span: Span) -> Option<()> {
        let Some(Arg::Drawn(Drawn::Named(r))) = part.args.first() else {
            return None;
        };
        let mut owner = self.owner(&r.parts);
        let name = self.in_hand.as_ref()?.key.clone();
        if let Some(o) = &mut owner
            && o.whole
        {
            // The piece of the same name of the other method.
            if let Some(i) = o.sub {
                o.piece = self.subs[i].walker.piece_of(&name);
                o.whole = false;
                if o.piece.is_none() {
                    let known: Vec<String> = self.subs[i]
                        .walker
                        .pieces
                        .iter()
                        .map(|p| p.key.shown())
                        .collect();
                    let said = said::reference(r);
                    let note =
                        Note::new(r.span, format!("`{said}` has no piece `{}`.", name.shown()));
                    self.note(note.hint(format!("It has {}.", known.join(", "))));
                    return None;
                }
            }
        }
        let found = owner.as_ref().and_then(|o| o.piece.map(|p| (o.sub, p)));
        let Some((sub, p)) = found else {
            let said = said::reference(r);
            if owner.is_some_and(|o| o.sheet.is_some()) {
                let note = Note::new(r.span, format!("`{said}` is a sheet, not a piece yet."))
                    .hint("Write `on` it and `outline`.");
                self.note_missing(&format!("piece {said}"), note);
                if let Some(hand) = &mut self.in_hand {
                    hand.spoilt = true;
                }
                return None;
            }
            let known: Vec<String> = self
                .pieces
                .iter()
                .map(|p| p.key.shown())
                .chain(self.subs.iter().map(|s| s.name.shown()))
                .collect();
            let note = Note::new(r.span, format!("There is no piece `{said}`."));
            let note = match measure::words::nearest(&said, known.iter().map(String::as_str)) {
                Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                None if known.is_empty() => note,
                None => note.hint(format!("I know {}.", known.join(", "))),
            };
            self.note_missing(&said, note);
            if let Some(hand) = &mut self.in_hand {
                hand.spoilt = true;
            }
            return None;
        };
        let other = match sub {
            None => self.pieces[p].clone(),
            Some(i) => self.subs[i].walker.pieces[p].clone(),
        };
        if sub.is_none() {
            let said = said::reference(r);
            self.conditions(&other.conds, r.span, &said);
        }
        let sheet = match (sub, other.sheet) {
            (None, s) => s,
            (Some(i), Some((None, s))) => Some((Some(i), s)),
            (Some(_), _) => None,
        };
        let hand = self.in_hand.as_mut()?;
        hand.edges.clone_from(&other.edges);
        hand.in_place = other.in_place;
        hand.copied_from = core::iter::once(other.key.shown())
            .chain(other.copied_from.iter().cloned())
            .collect();
        hand.loose = other.loose;
        hand.spoilt |= other.spoilt;
        hand.sheet = sheet;
        if self.dry() {
            return (!other.spoilt).then_some(());
        }
        let mut piece = other.piece?;
        piece.name = name.shown();
        piece.cuts.clear();
        piece.label = None;
        self.put(Ok(piece), span)
    }

    fn joined_on(&mut self, part: &Part) -> Option<()> {
        let Some(Arg::Drawn(Drawn::Named(r))) = part.args.first() else {
            return None;
        };
        let owner = self.owner(&r.parts);
        let found = owner.and_then(|o| o.piece.map(|p| (o.sub, p)));
        let Some((sub, p)) = found else {
            let said = said::reference(r);
            let known: Vec<String> = self.pieces.iter().map(|p| p.key.shown()).collect();
            let note = Note::new(r.span, format!("There is no piece `{said}`."));
            let note = match measure::words::nearest(&said, known.iter().map(String::as_str)) {
                Some(meant) => note.hint(format!("Did you mean `{meant}`?")),
                None => note,
            };
            self.note_missing(&said, note);
            return None;
        };
        let other = match sub {
            None => self.pieces[p].clone(),
            Some(i) => self.subs[i].walker.pieces[p].clone(),
        };
        let at = self.own(part, 1)?;
        let theirs = match part.args.get(2) {
            Some(Arg::Word(w, span)) => {
                let w = w.to_string();
                if !other.edges.contains(&w) && !other.loose && !other.spoilt {
                    let note =
                        Note::new(*span, format!("`{}` has no edge `{w}`.", other.key.shown()));
                    let hint =
                        match measure::words::nearest(&w, other.edges.iter().map(String::as_str)) {
                            Some(meant) => format!("Did you mean `{meant}`?"),
                            None => format!("It has {}.", other.edges.join(", ")),
                        };
                    self.note(note.hint(hint));
                    return None;
                }
                w
            }
            _ => {
                if self.dry() && !other.edges.contains(&at) && !other.loose && !other.spoilt {
                    self.note(
                        Note::new(
                            r.span,
                            format!("`{}` has no edge `{at}`.", other.key.shown()),
                        )
                        .hint(format!("Add `with` and one of {}.", other.edges.join(", "))),
                    );
                    return None;
                }
                at.clone()
            }
        };
        if self.dry() {
            if let Some(hand) = &mut self.in_hand {
                hand.edges.retain(|e| *e != at);
                for e in &other.edges {
                    if *e != theirs && !hand.edges.contains(e) {
                        hand.edges.push(e.clone());
                    }
                }
                hand.loose = true;
            }
            return Some(());
        }
        let other = other.piece?;
        let made = works::join(&self.hand()?, &at, &other, &theirs);
        self.put(made, part.span)
    }

    fn closed(&mut self, part: &Part, more: &[Part], at: usize) -> Option<()> {
        let every = matches!(part.row.id, Id::CloseEvery | Id::CloseEveryBy);
        let opening = more
            .iter()
            .find(|p| matches!(p.row.id, Id::Opening | Id::OpeningAt));
        let Some(opening) = opening else {
            self.note(
                Note::new(part.span, "When a dart closes, another edge opens.")
                    .hint("Add `opening hem`."),
            );
            return None;
        };
        let edge = self.own(opening, 0);
        let place = if opening.row.id == Id::OpeningAt {
            Some(self.point_arg(opening, 1)?)
        } else {
            None
        };
        let by = match part.row.id {
            Id::CloseBy => self.number_arg(part, 1, Dim::Number),
            Id::CloseEveryBy => self.number_arg(part, 0, Dim::Number),
            _ => Some(1.0),
        };
        let dart = if every {
            None
        } else {
            Some(self.dart_name(part, 0))
        };
        let (edge, by) = (edge?, by?);
        let dart = match dart {
            Some(d) => Some(d?),
            None => None,
        };
        if self.dry() {
            return Some(());
        }
        if !(0.0..=1.0).contains(&by) {
            self.note(Note::new(part.span, "A dart is closed by 0 % to 100 %."));
            return None;
        }
        let mut piece = self.hand()?;
        let names: Vec<String> = match dart {
            Some(name) => vec![name],
            None => piece.darts.iter().map(|d| d.name.clone()).collect(),
        };
        for name in names {
            match works::close_dart(&piece, &name, by, &edge, place) {
                Ok((closed, opened)) => {
                    piece = closed;
                    if let Some(hand) = &mut self.in_hand {
                        hand.opened.push((at, opened.in_mm()));
                    }
                }
                Err(fault) => return self.put(Err(fault), part.span),
            }
        }
        self.put(Ok(piece), part.span)
    }

    fn cut(&mut self, part: &Part) -> Option<()> {
        let pair = part.row.id == Id::CutPair;
        let (count, word) = if pair {
            (Some(2.0), 0)
        } else {
            (self.number_arg(part, 0, Dim::Number), 1)
        };
        let Some(Arg::Word(cloth, span)) = part.args.get(word) else {
            return None;
        };
        let count = count?;
        if self.dry() {
            if let Some(hand) = &mut self.in_hand {
                hand.cuts += 1;
            }
            return Some(());
        }
        let whole = count.round();
        if (count - whole).abs() > 1e-6 || !(0.0..=200.0).contains(&whole) {
            self.note(Note::new(
                *span,
                format!("I can't cut {} of a piece.", crate::worked::plain(count, 2)),
            ));
            return None;
        }
        if whole < 0.5 {
            return Some(());
        }
        let hand = self.in_hand.as_mut()?;
        hand.cuts += 1;
        let on_fold = part.row.id == Id::CutFold;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 200"
        )]
        let cut = Cut {
            cloth: cloth.to_string(),
            count: whole as u32,
            on_fold,
            pair,
        };
        let piece = hand.piece.as_mut()?;
        piece.cuts.push(cut);
        Some(())
    }

    fn grain(&mut self, part: &Part) -> Option<()> {
        let (anchor, way) = match part.row.id {
            Id::GrainAlong => {
                let thing = self.thing_arg(part, 0, Slot::Straight)?;
                if self.dry() {
                    return Some(());
                }
                let way = match &thing {
                    Thing::Line(c) => (c.end() - c.start()).unit()?,
                    Thing::Level(_) => Vector::OUTWARD,
                    _ => Vector::DOWN,
                };
                (None, way)
            }
            Id::GrainDown => {
                let p = self.point_arg(part, 0)?;
                if self.dry() {
                    return Some(());
                }
                (Some(p), Vector::DOWN)
            }
            _ => {
                let (p, q) = (self.point_arg(part, 0), self.point_arg(part, 1));
                let (p, q) = (p?, q?);
                if self.dry() {
                    return Some(());
                }
                let Some(way) = (q - p).unit() else {
                    self.note(Note::new(
                        part.span,
                        "The grain wants two different points.",
                    ));
                    return None;
                };
                if let Some(hand) = &mut self.in_hand
                    && let Some(piece) = &mut hand.piece
                {
                    piece.grain = grain_in(piece, Some(p.toward(q, 0.5)), way);
                }
                return Some(());
            }
        };
        // The arrow points down the garment.
        let way = if way.y < -1e-9 { -way } else { way };
        if let Some(hand) = &mut self.in_hand
            && let Some(piece) = &mut hand.piece
        {
            piece.grain = grain_in(piece, anchor, way);
        }
        Some(())
    }

    // Finish.

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

    fn finish_parts(&mut self, parts: &[Part], curve: Option<&Curve>) -> Option<Finish> {
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
    fn along_arg(&mut self, part: &Part, i: usize, curve: Option<&Curve>) -> Option<f64> {
        let thing = self.thing_arg(part, i, Slot::Spot)?;
        let Some(curve) = curve else { return Some(0.0) };
        match thing {
            Thing::Point(p) => self.on_line(curve, p, part.span),
            ruling => {
                let (on, way) = crate::construct::ruling_line(&ruling)?;
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

/// A point or an edge by name.
#[derive(Clone, Debug)]
enum Spot {
    At(Point),
    Edge(String),
}

impl Spot {
    fn place(&self) -> Place<'_> {
        match self {
            Self::At(p) => Place::At(*p),
            Self::Edge(e) => Place::Edge(e),
        }
    }
}

fn first_word(pattern: &str) -> &str {
    pattern.split(' ').next().unwrap_or(pattern)
}

/// Whether a part is said of the work before it.
pub(crate) fn belongs(work: Id, more: Id) -> bool {
    let side = side_of(more).is_some();
    match work {
        Id::On => more == Id::Outline || more == Id::If,
        Id::CutAlong => matches!(more, Id::Keeping | Id::If),
        Id::Slash | Id::SlashTimes => matches!(more, Id::Spread | Id::AllAlong | Id::If),
        Id::Close | Id::CloseBy | Id::CloseEvery | Id::CloseEveryBy => {
            matches!(more, Id::Opening | Id::OpeningAt | Id::If)
        }
        Id::LetOut | Id::LetOutAt | Id::TakeIn | Id::TakeInAt => {
            matches!(more, Id::Fading | Id::If)
        }
        Id::Strip => matches!(more, Id::Deep | Id::If),
        Id::TurnAbout => side || more == Id::If,
        _ => more == Id::If,
    }
}

/// Two pieces of one name may stand on the two sides of a question.
fn crossing(a: &[String], b: &[String]) -> bool {
    a.iter().any(|x| {
        b.iter()
            .any(|y| format!("not {x}") == *y || *x == format!("not {y}"))
    })
}

/// Puts what was said of an edge on it.
fn finished(edge: &mut Edge, finish: &Finish, shift: Option<(Length, Length)>) {
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

/// Where a level is printed across a piece: between the points that were placed on it, where two of
/// them lie on the outline (a trued level may slope), else where it crosses the outline.
fn balance(piece: &Piece, level: &Key, y: f64, points: &[(Key, Point)]) -> Option<(Point, Point)> {
    let mut on: Vec<Point> = Vec::new();
    for (key, p) in points {
        if key != level {
            continue;
        }
        let near = piece
            .edges
            .iter()
            .map(|e| e.curve.nearest(*p))
            .min_by(|a, b| a.distance.in_mm().total_cmp(&b.distance.in_mm()));
        if let Some(near) = near
            && near.distance.in_mm() < 25.4
        {
            on.push(near.point);
        }
    }
    let mut crossings: Vec<Point> = piece
        .edges
        .iter()
        .flat_map(|e| {
            e.curve
                .crossings_straight(Point::new(0.0, y), Vector::OUTWARD)
        })
        .map(|c| c.1)
        .collect();
    crossings.sort_by(|a, b| a.x.total_cmp(&b.x));
    let (low, high) = (crossings.first().copied(), crossings.last().copied());
    on.sort_by(|a, b| a.x.total_cmp(&b.x));
    let pair = match (on.first(), on.last()) {
        (Some(a), Some(b)) if b.x - a.x > 10.0 => Some((*a, *b)),
        (Some(a), _) => match (low, high) {
            // One end is a point of the level; the other is where the ruling leaves the piece.
            (Some(l), Some(h)) if (*a - l).size() < (*a - h).size() => Some((*a, h)),
            (Some(l), Some(_)) => Some((l, *a)),
            _ => None,
        },
        _ => low.zip(high),
    };
    pair.filter(|(a, b)| (*b - *a).size() > 10.0)
}

/// The middle of a piece's box.
fn middle(piece: &Piece) -> Point {
    let (mut low, mut high) = (
        Point::new(f64::INFINITY, f64::INFINITY),
        Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
    );
    for edge in &piece.edges {
        let (a, b) = edge.curve.bounds();
        low = Point::new(low.x.min(a.x), low.y.min(a.y));
        high = Point::new(high.x.max(b.x), high.y.max(b.y));
    }
    low.toward(high, 0.5)
}

/// The longest arrow in this direction inside the piece, a tenth short at either end; through the
/// anchor if one is given, else where the piece is longest.
fn grain_in(piece: &Piece, anchor: Option<Point>, way: Vector) -> Option<Grain> {
    let anchors: Vec<Point> = match anchor {
        Some(p) => vec![p, p + way.left() * 2.0, p + way.right() * 2.0],
        None => {
            let mid = middle(piece);
            let across = way.left();
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for edge in &piece.edges {
                for k in [0.0, 0.25, 0.5, 0.75, 1.0] {
                    let d = (edge.curve.at(edge.curve.length() * k).point - mid).dot(across);
                    low = low.min(d);
                    high = high.max(d);
                }
            }
            [0.5, 0.4, 0.6, 0.3, 0.7]
                .iter()
                .map(|k| mid + across * (low + (high - low) * k))
                .collect()
        }
    };
    let mut best: Option<(f64, Grain)> = None;
    for (rank, at) in anchors.into_iter().enumerate() {
        let mut places: Vec<f64> = piece
            .edges
            .iter()
            .flat_map(|e| e.curve.crossings_straight(at, way))
            .map(|(_, p)| (p - at).dot(way))
            .collect();
        places.sort_by(f64::total_cmp);
        places.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
        for pair in places.windows(2) {
            let length = pair[1] - pair[0];
            let inside = piece.holds(at + way * (0.5 * (pair[0] + pair[1])));
            #[expect(clippy::cast_precision_loss, reason = "at most four")]
            let worth = length * (1.0 - 0.02 * rank as f64);
            if inside && best.as_ref().is_none_or(|b| worth > b.0) {
                let short = length * 0.08;
                let grain = Grain {
                    from: at + way * (pair[0] + short),
                    to: at + way * (pair[1] - short),
                };
                best = Some((worth, grain));
            }
        }
    }
    best.map(|b| b.1)
}
