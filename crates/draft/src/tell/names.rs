//! Names in a sentence: rulings and edges with their article, points without, and whose a thing is.

use measure::Point;

use super::figures::{in_a_row, plainly};
use super::{Style, Teller};
use crate::tree::{Drawn, EdgeRef, End, Makes, Ref, RefName};
use crate::walk::{Key, Thing, ThingKind};

/// Points that are spoken of with an article, as the body is.
const WITH_ARTICLE: [&str; 6] = ["nape", "apex", "middle", "underarm", "crotch", "crown"];
const ENDS_WITH_ARTICLE: [&str; 4] = [" point", " corner", " tip", " middle"];

impl Teller<'_, '_> {
    /// A ruling, edge, dart, sheet or piece.
    pub(super) fn the(style: Style, key: &Key) -> String {
        let name = key.shown();
        if style.few() || key.number.is_some() {
            name
        } else {
            format!("the {name}")
        }
    }

    /// A point.
    pub(super) fn spot(&mut self, style: Style, key: &Key) -> String {
        if style.few() {
            return self.marked_point(key);
        }
        let name = key.shown();
        let known = WITH_ARTICLE.contains(&name.as_str())
            || ENDS_WITH_ARTICLE.iter().any(|e| name.ends_with(e));
        if known && key.number.is_none() {
            format!("the {name}")
        } else {
            name
        }
    }

    pub(super) fn named(&mut self, style: Style, key: &Key, kind: ThingKind) -> String {
        if kind == ThingKind::Point {
            self.spot(style, key)
        } else {
            Self::the(style, key)
        }
    }

    /// Cuts a name into what is meant and whose it is.
    pub(super) fn parted<'r>(&mut self, r: &'r Ref) -> (&'r [RefName], &'r [RefName]) {
        let n = r.parts.len();
        if n == 1 {
            return r.parts.split_at(1);
        }
        // `pit of neck` is one name.
        if let Some(key) = self.w.joined(&r.parts)
            && self.w.where_to_look().iter().any(|s| {
                self.w.scope_drawn(*s, &key).is_some() || self.w.scope_number(*s, &key).is_some()
            })
        {
            return r.parts.split_at(n);
        }
        let owned = (1..n).find(|cut| self.w.owner(&r.parts[*cut..]).is_some());
        r.parts.split_at(owned.unwrap_or(n))
    }

    /// Whose a thing is: `the front`, `the front of the block`.
    pub(super) fn whose(&mut self, style: Style, owners: &[RefName]) -> Option<String> {
        let mut said = Vec::with_capacity(owners.len());
        for owner in owners {
            let key = self.w.key(owner)?;
            said.push(Self::the(style, &key));
        }
        Some(said.join(" of "))
    }

    /// A drawn thing as it is spoken of.
    pub(super) fn thing(&mut self, style: Style, drawn: &Drawn) -> Option<String> {
        match drawn {
            Drawn::Named(r) => {
                let kind = self
                    .w
                    .find_drawn(r)
                    .map_or(ThingKind::Any, |f| f.what.kind());
                let (own, owners) = self.parted(r);
                let key = self.w.joined(own)?;
                let name = self.named(style, &key, kind);
                if owners.is_empty() {
                    return Some(name);
                }
                Some(format!("{name} of {}", self.whose(style, owners)?))
            }
            Drawn::Bracket(body) => match body.makes {
                Makes::Point => self.place(style.within(), &body.parts, None),
                Makes::Level => {
                    let part = body.parts.first()?;
                    self.filled(style.within(), part, &[])
                }
                Makes::Line => self
                    .line(style.within(), &body.parts, None)
                    .map(|l| l.join(", ")),
            },
            Drawn::EndOf(end, of, _) => {
                if let Some(p) = self.w.point(drawn)
                    && let Some(name) = self.named_at(style, p)
                {
                    return Some(name);
                }
                let of = self.thing(style, of)?;
                Some(match end {
                    End::Start => format!("the beginning of {of}"),
                    End::End => format!("the end of {of}"),
                    End::Tip => format!("the tip of {of}"),
                })
            }
        }
    }

    /// A line, or a part of one.
    pub(super) fn edge(&mut self, style: Style, edge: &EdgeRef) -> Option<String> {
        let line = self.thing(style, &edge.line)?;
        let Some(between) = &edge.between else {
            return Some(line);
        };
        let (a, b) = (
            self.spot_named(style, &between.0)?,
            self.spot_named(style, &between.1)?,
        );
        Some(format!("{line} between {a} and {b}"))
    }

    /// A point by name, wherever it is: its kind is known from where it stands.
    pub(super) fn spot_named(&mut self, style: Style, drawn: &Drawn) -> Option<String> {
        if let Drawn::Named(r) = drawn
            && let [_] = &r.parts[..]
        {
            let key = self.w.joined(&r.parts)?;
            return Some(self.spot(style, &key));
        }
        self.thing(style, drawn)
    }

    pub(super) fn things(&mut self, style: Style, all: &[Drawn]) -> Option<String> {
        let said: Option<Vec<String>> = all.iter().map(|d| self.thing(style, d)).collect();
        Some(in_a_row(&said?))
    }

    pub(super) fn edges(&mut self, style: Style, all: &[EdgeRef]) -> Option<String> {
        let said: Option<Vec<String>> = all.iter().map(|d| self.edge(style, d)).collect();
        Some(in_a_row(&said?))
    }

    /// The point that was marked at a place before this step, by name.
    pub(super) fn named_at(&mut self, style: Style, p: Point) -> Option<String> {
        if let Some(made) = self.w.in_hand.as_ref().and_then(|h| h.piece.as_ref())
            && let Some(mark) = made.marks.iter().find(|m| (m.point - p).size() < 1e-6)
        {
            let key = Key::plain(mark.name.as_str());
            return Some(self.spot(style, &key));
        }
        let scope = self.w.scopes.get(*self.w.where_to_look().first()?)?;
        let held = scope.drawn.all.iter().take(2000).find(|h| {
            h.by < self.here && matches!(h.what, Thing::Point(q) if (q - p).size() < 1e-6)
        })?;
        let key = held.key.clone();
        Some(self.spot(style, &key))
    }

    /// An end of an edge: the point there, or the end itself.
    pub(super) fn end_of(&mut self, style: Style, p: Point, which: &str) -> String {
        self.named_at(style, p)
            .unwrap_or_else(|| plainly(&format!("its {which}")))
    }
}
