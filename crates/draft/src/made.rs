//! Makes pieces from sheets and other pieces, works on them, and finishes their edges.

use measure::{Curve, Length, Point, Vector};
use piece::{Balance, Dart, Edge, Fault, Mark, Piece, Toward};

use crate::finishing::finished;
use crate::note::{Note, Span};
use crate::piecework::belongs;
use crate::said;
use crate::tree::{Arg, Drawn, Entry, Part, Says};
use crate::vocabulary::{Id, Slot};
use crate::walk::{Finish, Key, PieceMade, Thing, Told, Walker};

/// Two pieces of one name may stand on the two sides of a question.
fn crossing(a: &[String], b: &[String]) -> bool {
    a.iter().any(|x| {
        b.iter()
            .any(|y| format!("not {x}") == *y || *x == format!("not {y}"))
    })
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
                other: None,
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
    pub(crate) fn crossed(&mut self, piece: &str, says: &str) {
        self.findings.push(crate::worked::Finding {
            rule: "outline".into(),
            weight: crate::tree::Weight::Stop,
            place: piece.to_owned(),
            amount: None,
            says: format!("On the {piece}: {says}"),
            cure: Some("look at the choices and measures that draw these edges".into()),
        });
    }

    pub(crate) fn piece_parts(&mut self, parts: &[Part], which: usize, span: Span) -> Option<()> {
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
    pub(crate) fn hand(&mut self) -> Option<Piece> {
        self.in_hand.as_ref()?.piece.clone()
    }

    pub(crate) fn put(&mut self, made: Result<Piece, Fault>, span: Span) -> Option<()> {
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

    pub(crate) fn set_edges(&mut self, names: &[&str]) {
        if let Some(hand) = &mut self.in_hand {
            hand.edges = names.iter().map(|n| (*n).to_owned()).collect();
        }
    }

    pub(crate) fn add_edge(&mut self, name: &str) {
        if let Some(hand) = &mut self.in_hand
            && !hand.edges.iter().any(|e| e == name)
        {
            hand.edges.push(name.to_owned());
        }
    }

    /// Takes the sheet on which the piece lies.
    pub(crate) fn on_sheet(&mut self, part: &Part) -> Option<()> {
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

    pub(crate) fn outlined(&mut self, part: &Part, span: Span) -> Option<()> {
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
    pub(crate) fn marked(
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
    pub(crate) fn copied(&mut self, part: &Part, span: Span) -> Option<()> {
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
}
