//! Finds drawn things by name: of the piece in hand, on the sheet, in the method, or with an owner.

use std::rc::Rc;
use std::sync::Arc;

use measure::{Curve, Length, Point};

use crate::note::Note;
use crate::said;
use crate::tree::{Drawn, EdgeRef, End, Makes, Ref, RefName};
use crate::vocabulary::Slot;
use crate::walk::{Dim, Found, Key, Owner, Thing, ThingKind, Walker};

/// A line that was found, with the mouths of its darts.
#[derive(Clone, Debug)]
pub(crate) struct LineFound {
    pub(crate) curve: Rc<Curve>,
    pub(crate) mouths: Vec<(f64, f64)>,
    /// The names of its owner, to look for points there.
    pub(crate) owner: Vec<RefName>,
}

pub(crate) enum PieceState<'p> {
    Made(&'p piece::Piece),
    Not,
}

pub(crate) fn piece_state(piece: &crate::walk::PieceMade) -> PieceState<'_> {
    match &piece.piece {
        Some(p) => PieceState::Made(p),
        None => PieceState::Not,
    }
}

pub(crate) fn piece_mouths(piece: &piece::Piece, key: &Key) -> Vec<(f64, f64)> {
    let name = key.shown();
    piece
        .darts
        .iter()
        .filter(|d| d.edge == name)
        .map(|d| (d.mouth.0.in_mm(), d.mouth.1.in_mm()))
        .collect()
}

/// An edge, mark or dart of a piece.
pub(crate) fn of_piece(piece: &crate::walk::PieceMade, key: &Key, dry: bool) -> Option<Thing> {
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

impl Walker<'_> {
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

    pub(crate) fn not_drawn(&mut self, r: &Ref, slot: Slot) {
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

    pub(crate) fn of_owner(&self, owner: &Owner, key: &Key) -> Option<Found<Thing>> {
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
    pub(crate) fn mouths_of(&mut self, r: &Ref) -> Vec<(f64, f64)> {
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

    pub(crate) fn sheet_mouths(&self, scope: usize, key: &Key) -> Vec<(f64, f64)> {
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

    /// How long a line, or its part between two points, is when its darts are sewn; where her left and
    /// her right differ on a piece, the mean of both.
    pub(crate) fn sewn_length(&mut self, edge: &EdgeRef) -> Option<f64> {
        let one = self.sewn_once(edge)?;
        let Drawn::Named(r) = &edge.line else {
            return Some(one);
        };
        let owner = r.parts.get(1..).filter(|of| !of.is_empty());
        let piece = owner
            .and_then(|of| self.owner(of))
            .filter(|o| o.sub.is_none());
        let Some(p) = piece.and_then(|o| o.piece) else {
            return Some(one);
        };
        let Some(other) = self.pieces.get(p).and_then(|p| p.other.clone()) else {
            return Some(one);
        };
        let kept = self.pieces[p].piece.replace(other);
        let two = self.sewn_once(edge);
        self.pieces[p].piece = kept;
        Some(f64::midpoint(one, two?))
    }

    fn sewn_once(&mut self, edge: &EdgeRef) -> Option<f64> {
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

    /// The points between which an edge is meant, where that is not all of it.
    pub(crate) fn between(&mut self, edge: &EdgeRef) -> Option<(Point, Point)> {
        let between = edge.between.as_ref()?;
        let owner = self.line_found(edge)?.owner;
        let (a, b) = (
            self.point_near(&between.0, &owner),
            self.point_near(&between.1, &owner),
        );
        Some((a?, b?))
    }

    pub(crate) fn line_found(&mut self, edge: &EdgeRef) -> Option<LineFound> {
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
