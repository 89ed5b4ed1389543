//! Finds numbers by name: here, on the sheet, in the method, or with an owner named by `of`.

use crate::shelf::{Dim, Key, Num};
use crate::state::{PieceMade, Walker};
use crate::tree::{Ref, RefName};

/// Whose a thing is.
#[derive(Clone, Debug, Default)]
pub(crate) struct Owner {
    pub(crate) sub: Option<usize>,
    pub(crate) sheet: Option<usize>,
    pub(crate) piece: Option<usize>,
    /// The used method itself.
    pub(crate) whole: bool,
}

/// Something found by name.
#[derive(Clone, Debug)]
pub(crate) struct Found<T> {
    pub(crate) what: T,
    pub(crate) deps: u64,
    pub(crate) by: usize,
    pub(crate) conds: Vec<String>,
    pub(crate) ours: bool,
}

impl<'a> Walker<'a> {
    /// The sheet or piece or method of this name, and what is there.
    pub(crate) fn owner(&mut self, parts: &[RefName]) -> Option<Owner> {
        let mut owner = Owner::default();
        let (last, before) = parts.split_last()?;
        let key = self.key(last)?;
        if before.is_empty() {
            owner.sheet = self.sheet_of(&key);
            owner.piece = self.piece_of(&key);
            if owner.sheet.is_none() && owner.piece.is_none() {
                if let Some(i) = self.subs.iter().position(|s| s.name == key) {
                    owner.sub = Some(i);
                    owner.whole = true;
                    return Some(owner);
                }
                return None;
            }
            return Some(owner);
        }
        if before.len() == 1
            && let Some(i) = self.subs.iter().position(|s| s.name == key)
        {
            let inner = self.key(&before[0])?;
            let walker = &self.subs[i].walker;
            owner.sub = Some(i);
            owner.sheet = walker.sheet_of(&inner);
            owner.piece = walker.piece_of(&inner);
            if owner.sheet.is_some() || owner.piece.is_some() {
                return Some(owner);
            }
        }
        None
    }

    pub(crate) fn sheet_of(&self, key: &Key) -> Option<usize> {
        self.scopes
            .iter()
            .position(|s| s.key.as_ref() == Some(key))
            .or_else(|| self.loosely(self.scopes.iter().map(|s| s.key.as_ref()), key))
    }

    pub(crate) fn piece_of(&self, key: &Key) -> Option<usize> {
        self.pieces
            .iter()
            .position(|p| p.key == *key)
            .or_else(|| self.loosely(self.pieces.iter().map(|p| Some(&p.key)), key))
    }

    pub(crate) fn loosely<'k>(
        &self,
        mut all: impl Iterator<Item = Option<&'k Key>>,
        key: &Key,
    ) -> Option<usize> {
        if !self.dry() || key.number.is_none() {
            return None;
        }
        all.position(|k| k.is_some_and(|k| k.name == key.name && k.number.is_some()))
    }

    /// The draft of an owner: this one, or that of a used method.
    pub(crate) fn draft_of(&self, owner: &Owner) -> &Walker<'a> {
        match owner.sub {
            Some(i) => &self.subs[i].walker,
            None => self,
        }
    }

    /// A number by its name, wherever it is.
    pub(crate) fn find_number(&mut self, r: &Ref) -> Option<Found<Num>> {
        let n = r.parts.len();
        for cut in (0..n).rev() {
            // `cut` is the last part that belongs to the name itself; what follows is the owner.
            let (own, owners) = r.parts.split_at(cut + 1);
            let key = self.joined(own)?;
            if owners.is_empty() {
                if n == 1
                    && key.number.is_none()
                    && let Some((_, v)) = self.locals.iter().rev().find(|(w, _)| *w == key.name)
                {
                    return Some(Found {
                        what: Num {
                            v: *v,
                            dim: Dim::Number,
                        },
                        deps: 0,
                        by: usize::MAX,
                        conds: Vec::new(),
                        ours: false,
                    });
                }
                for scope in self.where_to_look() {
                    if let Some(held) = self.scope_number(scope, &key) {
                        return Some(Found {
                            what: held.what,
                            deps: held.deps,
                            by: held.by,
                            conds: held.conds.clone(),
                            ours: true,
                        });
                    }
                }
                continue;
            }
            if let Some(owner) = self.owner(owners) {
                let sub = owner.sub.is_some();
                let found = {
                    let draft = self.draft_of(&owner);
                    let place = match (owner.whole, owner.sheet, owner.piece) {
                        (true, ..) => Some((None, 0)),
                        (_, Some(scope), _) => Some((None, scope)),
                        (_, None, Some(piece)) => draft.pieces[piece].sheet,
                        _ => None,
                    };
                    place.and_then(|(inner, scope)| {
                        let draft = match inner {
                            Some(i) => &draft.subs[i].walker,
                            None => draft,
                        };
                        draft
                            .scope_number(scope, &key)
                            .map(|h| (h.what, h.deps, h.by, h.conds.clone()))
                    })
                };
                if let Some((what, deps, by, conds)) = found {
                    let what = if sub { self.adopt(what, &owner) } else { what };
                    let (deps, by) = if sub { (0, usize::MAX) } else { (deps, by) };
                    return Some(Found {
                        what,
                        deps,
                        by,
                        conds: if sub { Vec::new() } else { conds },
                        ours: !sub,
                    });
                }
            }
        }
        None
    }

    /// A word of a used method's choice, as a word here.
    pub(crate) fn adopt(&mut self, num: Num, owner: &Owner) -> Num {
        let Dim::Word(list) = num.dim else { return num };
        let words = self
            .draft_of(owner)
            .words
            .get(list)
            .cloned()
            .unwrap_or_default();
        let place = self
            .words
            .iter()
            .position(|w| *w == words)
            .unwrap_or_else(|| {
                self.words.push(words);
                self.words.len() - 1
            });
        Num {
            dim: Dim::Word(place),
            ..num
        }
    }

    /// Names with `of` inside, in one.
    pub(crate) fn joined(&mut self, parts: &[RefName]) -> Option<Key> {
        if let [one] = parts {
            return self.key(one);
        }
        let mut number = None;
        let mut said: Vec<&str> = Vec::new();
        for part in parts {
            said.push(&part.name);
            if part.number.is_some() {
                number = self.key(part)?.number;
            }
        }
        Some(Key {
            name: said.join(" of ").into(),
            number,
        })
    }

    /// The sheet in hand (or that of the piece in hand), then the method.
    pub(crate) fn where_to_look(&self) -> Vec<usize> {
        let mut all = Vec::with_capacity(2);
        if self.scope != 0 {
            all.push(self.scope);
        } else if let Some(PieceMade {
            sheet: Some((None, scope)),
            ..
        }) = &self.in_hand
        {
            all.push(*scope);
        }
        all.push(0);
        all
    }
}
