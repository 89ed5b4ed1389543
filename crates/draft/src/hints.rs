//! What to say of a name that is not there.

use measure::words::nearest;

use crate::note::Note;
use crate::reader::NAMELESS;
use crate::said;
use crate::seek::Owner;
use crate::shelf::Key;
use crate::state::{Scope, Walker};
use crate::tree::{Item, Ref};

impl Walker<'_> {
    /// What to say of a name that is not there.
    pub(crate) fn no_such(&mut self, r: &Ref, wants_number: bool) {
        let said = said::reference(r);
        let first = &r.parts[0];
        let mut note = Note::new(r.span, format!("There is no `{said}`."));
        if r.parts.len() > 1 {
            // Perhaps the owner is wrong, perhaps what belongs to it.
            let owners = &r.parts[1..];
            match self.owner(owners) {
                None => {
                    let known: Vec<String> = self.owners();
                    let last = &owners[owners.len() - 1].name;
                    if let Some(meant) = nearest(last, known.iter().map(String::as_str)) {
                        note = Note::new(
                            owners[owners.len() - 1].span,
                            format!("There is no sheet or piece `{last}`."),
                        )
                        .hint(format!("Did you mean `{meant}`?"));
                    } else {
                        note = Note::new(
                            owners[owners.len() - 1].span,
                            format!("There is no sheet or piece `{last}`."),
                        );
                    }
                }
                Some(owner) => {
                    let draft = self.draft_of(&owner);
                    let faulty = owner
                        .piece
                        .is_some_and(|p| draft.pieces[p].spoilt && draft.pieces[p].sheet.is_none());
                    if faulty {
                        return;
                    }
                    let whose = said::names(owners);
                    let known = self.names_of(&owner, wants_number);
                    let what = if wants_number {
                        "no number"
                    } else {
                        "nothing called"
                    };
                    note = Note::new(
                        first.span,
                        format!("`{whose}` has {what} `{}`.", first.name),
                    );
                    if let Some(meant) = nearest(&first.name, known.iter().map(String::as_str)) {
                        note = Note::new(first.span, format!("`{whose}` has no `{}`.", first.name))
                            .hint(format!("Did you mean `{meant}`?"));
                    }
                }
            }
            // The same name is noted at its first use alone: it is one slip.
            let key = if note.span == first.span {
                &first.name
            } else {
                &owners[owners.len() - 1].name
            };
            let key = key.to_string();
            self.note_missing(&key, note);
            return;
        }
        let name = &first.name;
        // What a piece has whose sheet is not there can't be told.
        let homeless = self
            .in_hand
            .as_ref()
            .is_some_and(|hand| hand.spoilt && hand.sheet.is_none());
        if homeless || self.redrawing || self.missed.contains(&**name) {
            return;
        }
        self.missed.insert(name.clone());
        if self.missed.remove(NAMELESS) {
            return;
        }
        let wanted = self.names_here(wants_number);
        let other = self.names_here(!wants_number);
        if let Some(meant) = nearest(name, wanted.iter().map(String::as_str)) {
            note = note.hint(format!("Did you mean `{meant}`?"));
        } else if let Some(meant) =
            nearest(name, other.iter().map(String::as_str)).filter(|m| m != &&**name)
        {
            note = note.hint(format!("Did you mean `{meant}`?"));
        } else if let Some(owner) = self.elsewhere(name, wants_number) {
            note = note.hint(format!("It is on {owner}: write `{name} of {owner}`."));
        } else if let Some(known) = longest_start(name, wanted.iter().chain(&other)) {
            note = note.hint(format!(
                "I know `{known}`. Is a comma or a sign missing after it?"
            ));
        } else if let Some(owner) = known_below(self, name) {
            note = note.hint(owner);
        }
        self.note(note);
    }

    pub(crate) fn owners(&self) -> Vec<String> {
        let sheets = self
            .scopes
            .iter()
            .filter_map(|s| s.key.as_ref())
            .map(Key::shown);
        let pieces = self.pieces.iter().map(|p| p.key.shown());
        let subs = self.subs.iter().map(|s| s.name.shown());
        sheets.chain(pieces).chain(subs).collect()
    }

    pub(crate) fn names_of(&self, owner: &Owner, numbers: bool) -> Vec<String> {
        let draft = self.draft_of(owner);
        let mut all = Vec::new();
        if let Some(scope) = owner.sheet {
            all.extend(names_on(&draft.scopes[scope], numbers));
        }
        if let Some(piece) = owner.piece {
            all.extend(draft.pieces[piece].edges.iter().cloned());
        }
        all
    }

    pub(crate) fn names_here(&self, numbers: bool) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        if numbers {
            all.extend(self.locals.iter().map(|(w, _)| w.to_string()));
        } else {
            if let Some(piece) = &self.in_hand {
                all.extend(piece.edges.iter().cloned());
            }
            all.extend(self.owners());
        }
        for scope in self.where_to_look() {
            all.extend(names_on(&self.scopes[scope], numbers));
        }
        all
    }

    pub(crate) fn elsewhere(&self, name: &str, numbers: bool) -> Option<String> {
        self.scopes.iter().enumerate().find_map(|(i, scope)| {
            let key = scope.key.as_ref()?;
            (i != self.scope && names_on(scope, numbers).iter().any(|n| n == name))
                .then(|| key.shown())
        })
    }
}

/// A name that comes only later in the method.
pub(crate) fn known_below(walker: &Walker<'_>, name: &str) -> Option<String> {
    fn has(items: &[Item], name: &str) -> bool {
        items.iter().any(|item| match item {
            Item::Entry(e) => e.head.names.iter().any(|n| &*n.name == name),
            Item::When(w) => has(&w.then, name) || has(&w.otherwise, name),
            Item::Sheets(g) => {
                g.rows.iter().any(|r| &*r.name.name == name)
                    || g.names.iter().any(|n| &*n.name == name)
                    || has(&g.body, name)
            }
            Item::Use(_) => false,
        })
    }
    (walker.method.choices.iter().any(|c| &*c.name.name == name) || has(&walker.method.body, name))
        .then(|| "It comes only further down: a thing is written above its first use.".to_owned())
}

pub(crate) fn names_on(scope: &Scope, numbers: bool) -> Vec<String> {
    if numbers {
        scope.numbers.all.iter().map(|h| h.key.shown()).collect()
    } else {
        scope.drawn.all.iter().map(|h| h.key.shown()).collect()
    }
}

/// The longest known name with which the words begin.
pub(crate) fn longest_start<'n>(
    said: &str,
    known: impl Iterator<Item = &'n String>,
) -> Option<&'n String> {
    known
        .filter(|k| {
            said.strip_prefix(k.as_str())
                .is_some_and(|rest| rest.starts_with(' '))
        })
        .max_by_key(|k| k.len())
}
