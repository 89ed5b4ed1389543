//! Finishing: what each edge is, how much is allowed, and where it is notched.

use super::figures::{in_a_row, plainly, sentence};
use super::{Style, Teller};
use crate::tree::{Arg, Entry, Part, Says};
use crate::vocabulary::Id;
use crate::walk::Key;
use crate::worked::Step;

/// One entry of a finish as it is told of one sheet or piece.
#[derive(Clone, Debug)]
struct Told {
    edges: Vec<Key>,
    all: bool,
    owner: Key,
    full: String,
    short: String,
}

/// What is said of an edge, sorted.
#[derive(Clone, Debug, Default)]
struct Said {
    role: Option<&'static str>,
    allowance: String,
    notches: Vec<String>,
    doubles: Vec<String>,
    triples: Vec<String>,
    corners: Vec<String>,
    open: Vec<String>,
}

impl<'a> Teller<'_, 'a> {
    /// The finish of all edges, sheets that are finished alike told together.
    pub(super) fn finishes(
        &mut self,
        all: &[(&'a Entry, usize, Vec<(std::sync::Arc<str>, f64)>)],
        needed: &dyn Fn(&Key) -> bool,
    ) {
        let mut groups: Vec<(usize, Vec<Told>, Option<&'a str>)> = Vec::new();
        for (entry, scope, locals) in all {
            self.w.scope = *scope;
            self.w.locals.clone_from(locals);
            self.w.reads.clear();
            let place = core::ptr::from_ref(*entry).addr();
            for told in self.finish(entry, *scope, needed) {
                match groups.iter_mut().find(|g| g.0 == place) {
                    Some(group) => group.1.push(told),
                    None => groups.push((place, vec![told], entry.why.as_deref())),
                }
            }
        }
        self.stage = format!("finish{}", self.of);
        for (_, mut group, why) in groups {
            let mut why = why;
            while !group.is_empty() {
                let first = group.remove(0);
                let mut owners = vec![first.owner.clone()];
                group.retain(|t| {
                    let same = t.full == first.full && t.edges == first.edges && t.all == first.all;
                    if same {
                        owners.push(t.owner.clone());
                    }
                    !same
                });
                self.finish_step(&first, &owners, why.take());
            }
        }
        self.w.scope = 0;
        self.w.locals.clear();
    }

    fn finish_step(&mut self, told: &Told, owners: &[Key], why: Option<&str>) {
        let whose = super::sheets::together(owners, true);
        let short_whose = super::sheets::together(owners, false);
        let names: Vec<String> = told
            .edges
            .iter()
            .map(|k| Self::the(Style::Full, k))
            .collect();
        let bare: Vec<String> = told.edges.iter().map(Key::shown).collect();
        let several = told.all || names.len() > 1 || owners.len() > 1;
        let (head, short) = if told.all {
            (
                format!("all edges of {whose}"),
                format!("{short_whose}, all"),
            )
        } else {
            (
                format!("{} of {whose}", in_a_row(&names)),
                format!("{}, {short_whose}", in_a_row(&bare)),
            )
        };
        let full = told
            .full
            .replace("{it}", if several { "them" } else { "it" });
        let is = if several { "are" } else { "is" };
        let full = full.replace("{is}", is);
        // Several seams, one hem.
        let full = if several {
            full.replace("a seam", "seams")
                .replace("a hem", "hems")
                .replace("a fold", "folds")
                .replace("an opening", "openings")
        } else {
            full
        };
        self.number += 1;
        self.steps.push(Step {
            number: Some(self.number),
            stage: self.stage.clone(),
            sentence: sentence(&format!("{head} {full}")),
            short: sentence(&format!("{short}: {}", told.short)),
            why: why.map(str::to_owned),
            draws: Vec::new(),
        });
    }

    /// One entry of a finish on a sheet, or of each of its pieces.
    fn finish(
        &mut self,
        entry: &'a Entry,
        scope: usize,
        needed: &dyn Fn(&Key) -> bool,
    ) -> Vec<Told> {
        let Says::Parts(parts) = &entry.says else {
            return Vec::new();
        };
        if entry.spoilt {
            return Vec::new();
        }
        let mut out = Vec::new();
        if scope != 0 {
            let Some(owner) = self.w.scopes.get(scope).and_then(|s| s.key.clone()) else {
                return Vec::new();
            };
            let mut edges: Vec<Key> = Vec::new();
            for name in &entry.head.names {
                if let Some(key) = self.w.key(name)
                    && self.outlined(scope, &key, needed)
                {
                    edges.push(key);
                }
            }
            if edges.is_empty() {
                return out;
            }
            if let (Some(full), Some(short)) = (
                self.finish_parts(Style::Full, parts),
                self.finish_parts(Style::Short, parts),
            ) {
                out.push(Told {
                    edges,
                    all: false,
                    owner,
                    full,
                    short,
                });
            }
            return out;
        }
        let all =
            matches!(&entry.head.names[..], [one] if &*one.name == "all" && one.number.is_none());
        let edges: Vec<Key> = if all {
            Vec::new()
        } else {
            entry
                .head
                .names
                .iter()
                .filter_map(|n| self.w.key(n))
                .collect()
        };
        for of in &entry.head.of {
            let Some(owner) = self.w.key(of) else {
                continue;
            };
            let Some(place) = self.w.piece_of(&owner) else {
                continue;
            };
            let hand = self.w.pieces[place].clone();
            if hand.piece.is_none() || !needed(&owner) {
                continue;
            }
            let outer = self.w.in_hand.replace(hand);
            let said = self
                .finish_parts(Style::Full, parts)
                .zip(self.finish_parts(Style::Short, parts));
            self.w.in_hand = outer;
            if let Some((full, short)) = said {
                out.push(Told {
                    edges: edges.clone(),
                    all,
                    owner,
                    full,
                    short,
                });
            }
        }
        out
    }

    /// Whether an edge of a sheet bounds a piece.
    fn outlined(&self, scope: usize, key: &Key, needed: &dyn Fn(&Key) -> bool) -> bool {
        let name = key.shown();
        self.w.pieces.iter().any(|p| {
            p.sheet == Some((None, scope))
                && needed(&p.key)
                && p.piece
                    .as_ref()
                    .is_some_and(|made| made.edge(&name).is_ok())
        })
    }

    fn finish_parts(&mut self, style: Style, parts: &[Part]) -> Option<String> {
        let mut said = Said::default();
        for part in parts {
            match part.row.id {
                Id::If => {
                    if let Some(Arg::Number(expr)) = part.args.first()
                        && !self.w.ask(expr)?
                    {
                        return None;
                    }
                }
                Id::Seam | Id::Hem | Id::Folded | Id::Open => said.role = Some(part.row.teaching()),
                Id::Allowance => {
                    let nothing = match part.args.first() {
                        Some(Arg::Number(expr)) => self.amount(Style::Short, expr)?.nothing(),
                        _ => false,
                    };
                    said.allowance = match (nothing, style) {
                        (true, Style::Short) => "no allowance".into(),
                        (true, _) => "allow nothing".into(),
                        _ => self.filled(style, part, &[])?,
                    };
                }
                Id::Ramping | Id::Stepping => {
                    let more = self.filled(style, part, &[])?;
                    said.allowance.push_str(", ");
                    said.allowance.push_str(&more);
                }
                Id::NotchAt | Id::NotchAbove | Id::NotchBelow | Id::NotchFrom | Id::NotchEvery => {
                    said.notches.push(self.filled(style, part, &[])?)
                }
                Id::DoubleNotchAt
                | Id::DoubleNotchAbove
                | Id::DoubleNotchBelow
                | Id::DoubleNotchFrom => said.doubles.push(self.filled(style, part, &[])?),
                Id::TripleNotchAt => said.triples.push(self.filled(style, part, &[])?),
                Id::OpenFrom => said.open.push(self.filled(style, part, &[])?),
                _ => said.corners.push(self.filled(style, part, &[])?),
            }
        }
        Some(said.put(style))
    }
}

impl Said {
    fn put(self, style: Style) -> String {
        let short = style == Style::Short;
        let mut parts: Vec<String> = Vec::new();
        let notches = |one: &str, all: &[String]| {
            (!all.is_empty()).then(|| format!("{one} {}", in_a_row(all)))
        };
        if short {
            let role = self
                .role
                .map(|r| r.rsplit(' ').next().unwrap_or(r).to_owned());
            let first: Vec<String> = role
                .into_iter()
                .chain((!self.allowance.is_empty()).then_some(self.allowance))
                .collect();
            if !first.is_empty() {
                parts.push(first.join(" "));
            }
            parts.extend(notches("notch", &self.notches));
            parts.extend(notches("double notch", &self.doubles));
            parts.extend(notches("three notches", &self.triples));
            parts.extend(self.open);
            parts.extend(self.corners);
            return plainly(&parts.join("; "));
        }
        parts.extend((!self.allowance.is_empty()).then_some(self.allowance));
        parts.extend(
            self.open
                .iter()
                .map(|o| o.replace("leave it", "leave {it}")),
        );
        let mut cuts: Vec<String> = Vec::new();
        cuts.extend(notches("notch {it}", &self.notches));
        cuts.extend(notches("double-notch {it}", &self.doubles));
        cuts.extend(notches("cut three notches", &self.triples));
        parts.extend(cuts);
        if !self.corners.is_empty() {
            parts.push(format!("draw {}", in_a_row(&self.corners)));
        }
        let rest = parts.join("; ");
        match self.role {
            Some(role) if rest.is_empty() => format!("{{is}} {role}"),
            Some(role) => plainly(&format!("{{is}} {role}: {rest}")),
            None => plainly(&format!(": {rest}")),
        }
    }
}
