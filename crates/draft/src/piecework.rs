//! Works on the piece in hand, one part of its entry after the other.

use measure::{Length, Motion, Point, Vector};
use piece::works::{self, Place};
use piece::{Allowance, Cut, Grain, Piece, Role};

use crate::construct::side_of;
use crate::note::Note;
use crate::note::Span;
use crate::points::turn_to;
use crate::said;
use crate::tree::{Arg, Drawn, EdgeRef, Part};
use crate::vocabulary::{Id, Slot};
use crate::walk::{Dim, Thing, ThingKind, Walker};

/// A point or an edge by name.
#[derive(Clone, Debug)]
pub(crate) enum Spot {
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

pub(crate) fn first_word(pattern: &str) -> &str {
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

/// The middle of a piece's box.
pub(crate) fn middle(piece: &Piece) -> Point {
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
pub(crate) fn grain_in(piece: &Piece, anchor: Option<Point>, way: Vector) -> Option<Grain> {
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
    let mut found: Vec<(f64, Point, (f64, f64))> = Vec::new();
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
            #[expect(clippy::cast_precision_loss, reason = "at most four")]
            let worth = (pair[1] - pair[0]) * (1.0 - 0.02 * rank as f64);
            found.push((worth, at, (pair[0], pair[1])));
        }
    }
    // The longest first, so that few are tried for lying inside.
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let (_, at, (from, to)) = found
        .into_iter()
        .find(|(_, at, pair)| piece.holds(*at + way * (0.5 * (pair.0 + pair.1))))?;
    let short = (to - from) * 0.08;
    Some(Grain {
        from: at + way * (from + short),
        to: at + way * (to - short),
    })
}

impl Walker<'_> {
    pub(crate) fn piece_part(
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

    /// The name of an edge of the piece in hand.
    pub(crate) fn own(&mut self, part: &Part, i: usize) -> Option<String> {
        let Arg::Drawn(drawn) = part.args.get(i)? else {
            return None;
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

    pub(crate) fn dart_name(&mut self, part: &Part, i: usize) -> Option<String> {
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

    pub(crate) fn place_arg(&mut self, part: &Part, i: usize) -> Option<Spot> {
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

    pub(crate) fn joined_on(&mut self, part: &Part) -> Option<()> {
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

    pub(crate) fn closed(&mut self, part: &Part, more: &[Part], at: usize) -> Option<()> {
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

    pub(crate) fn cut(&mut self, part: &Part) -> Option<()> {
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

    pub(crate) fn grain(&mut self, part: &Part) -> Option<()> {
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
}
