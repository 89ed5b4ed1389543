//! Finishing: what each edge is, how much is allowed, and where it is notched.

use super::figures::{in_a_row, plainly, sentence};
use super::{Style, Teller};
use crate::tree::{Arg, Entry, Part, Says};
use crate::vocabulary::Id;
use crate::walk::Key;
use crate::worked::Step;

/// An entry of a finish, its sheet and the walk's counters.
pub(super) type Finished<'a> = (&'a Entry, usize, super::sheets::Locals);

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
    word: &'static str,
    allowance: String,
    notches: Vec<String>,
    doubles: Vec<String>,
    triples: Vec<String>,
    corners: Vec<String>,
    open: Vec<String>,
}

impl<'a> Teller<'_, 'a> {
    /// The finish of all edges, sheets that are finished alike told together.
    pub(super) fn finishes(&mut self, all: &[Finished<'a>], needed: &dyn Fn(&Key) -> bool) {
        let mut groups: Vec<(usize, Vec<Told>, Option<&'a str>, u32)> = Vec::new();
        for (entry, scope, locals) in all {
            self.w.scope = *scope;
            self.w.locals.clone_from(locals);
            self.w.reads.clear();
            let place = core::ptr::from_ref(*entry).addr();
            for told in self.finish(entry, *scope, needed) {
                match groups.iter_mut().find(|g| g.0 == place) {
                    Some(group) => group.1.push(told),
                    None => groups.push((
                        place,
                        vec![told],
                        entry.why.as_deref(),
                        entry.head.span.line,
                    )),
                }
            }
        }
        self.stage = format!("finish{}", self.of);
        for (_, mut group, why, line) in groups {
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
                self.lines = vec![line];
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
        let several = told.all || names.len() > 1;
        let (head, short) = if told.all {
            ("all edges".to_owned(), format!("{short_whose}, all"))
        } else {
            (
                in_a_row(&names),
                format!("{}, {short_whose}", in_a_row(&bare)),
            )
        };
        let mut full = told
            .full
            .replace("{it}", if several { "them" } else { "it" });
        full = full.replace("{is}", if several { "are" } else { "is" });
        if several {
            for (one, many) in [("a seam", "seams"), ("an opening", "openings")] {
                full = full.replacen(one, many, 1);
            }
        }
        self.number += 1;
        let (short, few) = self
            .marks
            .few(&sentence(&format!("{short}: {}", told.short)));
        let lines = self.take_lines();
        self.steps.push(Step {
            number: Some(self.number),
            stage: self.stage.clone(),
            sentence: sentence(&format!("on {whose} {head} {full}")),
            short,
            few,
            why: why.map(str::to_owned),
            draws: Vec::new(),
            pieces: owners.iter().map(Key::shown).collect(),
            lines,
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
                self.finish_parts(Style::Plain, parts),
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
                .finish_parts(Style::Plain, parts)
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
        let mut wide = 0.0;
        for part in parts {
            match part.row.id {
                Id::If => {
                    if let Some(Arg::Number(expr)) = part.args.first()
                        && !self.w.ask(expr)?
                    {
                        return None;
                    }
                }
                Id::Seam | Id::Hem | Id::Folded | Id::Open => {
                    said.role = Some(part.row.teaching());
                    said.word = part.row.pattern;
                }
                Id::Allowance => {
                    wide = self.wide(part)?;
                    said.allowance = match (wide.abs() < super::figures::HAIR, style) {
                        (true, Style::Short) => "no allowance".into(),
                        (true, _) => "allow nothing".into(),
                        _ => self.filled(style, part, &[])?,
                    };
                }
                Id::Ramping | Id::Stepping => {
                    let next = self.wide(part)?;
                    let how = if next > wide { "widening" } else { "narrowing" };
                    let same = (next - wide).abs() < super::figures::HAIR;
                    wide = next;
                    let more = if same {
                        let spot = part.args.get(1)?;
                        let Arg::Drawn(spot) = spot else { return None };
                        format!("the same as far as {}", self.thing(style, spot)?)
                    } else {
                        self.filled(style, part, &[("how", how.to_owned())])?
                    };
                    let then = if !style.few() && said.allowance.contains(',') {
                        ", then "
                    } else {
                        ", "
                    };
                    said.allowance.push_str(then);
                    said.allowance.push_str(&more);
                }
                Id::NotchAt | Id::NotchAbove | Id::NotchBelow | Id::NotchFrom | Id::NotchEvery => {
                    said.notches.push(self.filled(style, part, &[])?);
                }
                Id::DoubleNotchAt
                | Id::DoubleNotchAbove
                | Id::DoubleNotchBelow
                | Id::DoubleNotchFrom => {
                    said.doubles.push(self.filled(style, part, &[])?);
                }
                Id::TripleNotchAt => said.triples.push(self.filled(style, part, &[])?),
                Id::OpenFrom => said.open.push(self.filled(style, part, &[])?),
                _ => said.corners.push(self.filled(style, part, &[])?),
            }
        }
        Some(said.put(style))
    }

    fn wide(&mut self, part: &Part) -> Option<f64> {
        match part.args.first() {
            Some(Arg::Number(expr)) => self.w.asked(expr).map(|n| n.v),
            _ => None,
        }
    }
}

/// Corners of one kind in one breath: `square the corners at a and b`.
fn corners(all: &[String]) -> Vec<String> {
    let mut kinds: Vec<(&str, Vec<String>)> = Vec::new();
    for corner in all {
        let (kind, at) = corner.split_once(" at ").unwrap_or((corner, ""));
        match kinds.iter_mut().find(|k| k.0 == kind) {
            Some(found) => found.1.push(at.to_owned()),
            None => kinds.push((kind, vec![at.to_owned()])),
        }
    }
    kinds
        .into_iter()
        .map(|(kind, at)| {
            format!(
                "{kind}{} at {}",
                if at.len() > 1 { "s" } else { "" },
                in_a_row(&at)
            )
        })
        .collect()
}

impl Said {
    fn put(self, style: Style) -> String {
        let notches = |one: &str, all: &[String]| {
            (!all.is_empty()).then(|| format!("{one} {}", in_a_row(all)))
        };
        let mut parts: Vec<String> = Vec::new();
        if style.few() {
            let role = self.role.map(|_| self.word.to_owned());
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
            parts.extend(corners(&self.corners));
            return plainly(&parts.join("; "));
        }
        parts.extend((!self.allowance.is_empty()).then_some(self.allowance));
        parts.extend(
            self.open
                .iter()
                .map(|o| o.replace("leave it", "leave {it}")),
        );
        parts.extend(notches("notch {it}", &self.notches));
        parts.extend(notches("notch {it} twice", &self.doubles));
        parts.extend(notches("notch {it} three times", &self.triples));
        parts.extend(corners(&self.corners));
        let rest = parts.join("; ");
        match self.role {
            Some(role) if rest.is_empty() => format!("{{is}} {role}"),
            Some(role) => plainly(&format!("{{is}} {role}: {rest}")),
            None => plainly(&format!(": {rest}")),
        }
    }
}
