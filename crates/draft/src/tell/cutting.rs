//! Pieces: what is traced, what is done to it, and how it is cut.

use piece::{Allowance, Piece, Role};

use super::figures::{in_a_row, plainly, sentence, share};
use super::places::side_word;
use super::{Style, Teller};
use crate::construct::side_of;
use crate::piecework::belongs;
use crate::tree::{Arg, Drawn, EdgeRef, Entry, Part, Says};
use crate::vocabulary::{self, Id, Where};
use crate::walk::PieceMade;
use crate::worked::plain;

/// Stands for the piece's own name until it is known whether several are told at once.
pub(super) const ITSELF: &str = "\u{3}";

impl<'a> Teller<'_, 'a> {
    /// A piece in whole sentences, and in few words.
    pub(super) fn piece(
        &mut self,
        style: Style,
        entry: &'a Entry,
        made: usize,
        which: usize,
    ) -> Option<String> {
        let Says::Parts(parts) = &entry.says else {
            return None;
        };
        let hand = self.w.pieces.get(made)?.clone();
        hand.piece.as_ref()?;
        // What is done to a copy is said of what it was copied from, as it then stood.
        let hand = PieceMade {
            piece: self.model(parts).or(hand.piece.clone()),
            other: None,
            ..hand
        };
        let outer = self.w.in_hand.replace(hand);
        let said = self.piece_parts(style, parts, which);
        self.w.in_hand = outer;
        said
    }

    /// The piece that another is copied from.
    fn model(&mut self, parts: &[Part]) -> Option<Piece> {
        let copy = parts.iter().find(|p| p.row.id == Id::Copy)?;
        let Some(Arg::Drawn(Drawn::Named(r))) = copy.args.first() else {
            return None;
        };
        let owner = self.w.owner(&r.parts).filter(|o| o.sub.is_none())?;
        self.w.pieces.get(owner.piece?)?.piece.clone()
    }

    fn piece_parts(&mut self, style: Style, parts: &[Part], which: usize) -> Option<String> {
        let mut works: Vec<String> = Vec::new();
        let (mut cuts, mut grain, mut label) = (Vec::new(), String::new(), None);
        let mut i = 0;
        while i < parts.len() {
            let mut end = i + 1;
            while end < parts.len() && belongs(parts[i].row.id, parts[end].row.id) {
                end += 1;
            }
            let (part, more) = (&parts[i], &parts[i + 1..end]);
            if part.row.id == Id::Fold && parts.iter().any(|p| p.row.id == Id::Outline) {
                // The outline has said so.
                i = end;
                continue;
            }
            let at = i;
            i = end;
            let mut there = true;
            for q in more.iter().filter(|p| p.row.id == Id::If) {
                if let Some(Arg::Number(expr)) = q.args.first() {
                    there &= self.w.ask(expr)?;
                }
            }
            if !there {
                continue;
            }
            match part.row.id {
                Id::CutFold | Id::CutPlain => {
                    if let Some(Arg::Number(expr)) = part.args.first()
                        && self.w.asked(expr)?.v > 0.5
                    {
                        cuts.push(self.filled(style, part, &[])?);
                    }
                }
                Id::CutPair => cuts.push(self.filled(style, part, &[])?),
                Id::GrainAlong | Id::GrainDown | Id::GrainFrom => {
                    grain = self.filled(style, part, &[])?;
                }
                Id::Label => label = Some(self.filled(style, part, &[])?),
                _ => {
                    let work = self.work(style, part, more, which, at)?;
                    if !work.is_empty() {
                        works.push(work);
                    }
                }
            }
        }
        if !self.of.is_empty() {
            // What is drafted for another method is traced, not cut.
            cuts.clear();
            label = None;
        }
        if cuts.is_empty() {
            if !grain.is_empty() {
                works.push(match grain.strip_prefix("with the grain ") {
                    Some(way) => format!("the grain runs {way}"),
                    None => grain,
                });
            }
        } else {
            let cut = format!("cut {}", in_a_row(&cuts));
            works.push(if grain.is_empty() {
                cut
            } else {
                format!("{cut}, {grain}")
            });
        }
        works.extend(label);
        if style.few() {
            return Some(plainly(&works.join("; ")));
        }
        let sentences: Vec<String> = works.iter().map(|w| sentence(w)).collect();
        Some(sentences.join(" "))
    }

    fn hand(&self) -> Option<&PieceMade> {
        self.w.in_hand.as_ref()
    }

    /// One work; nothing when it comes to nothing.
    fn work(
        &mut self,
        style: Style,
        part: &Part,
        more: &[Part],
        which: usize,
        at: usize,
    ) -> Option<String> {
        let extra = |id: Id| more.iter().find(|p| p.row.id == id);
        let side = more.iter().find_map(|p| side_of(p.row.id));
        let within = style.within();
        let itself = (
            "name",
            if style.few() {
                ITSELF.to_owned()
            } else {
                format!("the {ITSELF}")
            },
        );
        Some(match part.row.id {
            Id::On => {
                let Some(Arg::Drawn(Drawn::Named(r))) = part.args.first() else {
                    return None;
                };
                let Some(Arg::Edges(edges)) = extra(Id::Outline).and_then(|o| o.args.first())
                else {
                    return None;
                };
                let round = self.outline(style, edges)?;
                let key = self.w.joined(&r.parts);
                let own = self.hand().map(|h| h.key.clone());
                if style.few() {
                    format!("{ITSELF}: {round}")
                } else if key == own {
                    format!("trace off the {ITSELF}: go round {round}")
                } else {
                    let sheet = self.thing(style, &Drawn::Named(r.clone()))?;
                    format!("trace the {ITSELF} off {sheet}: go round {round}")
                }
            }
            Id::Copy => {
                let Some(Arg::Drawn(Drawn::Named(r))) = part.args.first() else {
                    return None;
                };
                let mut of = self.thing(style, &Drawn::Named(r.clone()))?;
                if self.w.owner(&r.parts).is_some_and(|o| o.whole) {
                    let key = self.hand()?.key.clone();
                    of = format!("{} of {of}", Self::the(style, &key));
                }
                self.filled(style, part, &[itself, ("g", of)])?
            }
            Id::Rectangle => {
                let style = if style.few() { style } else { within };
                self.filled(style, part, &[itself])?
            }
            Id::CutAlong => {
                let cut = self.filled(style, part, &[])?;
                let Some(keeping) = extra(Id::Keeping) else {
                    return Some(cut);
                };
                let Some(Arg::Several(kept)) = keeping.args.first() else {
                    return None;
                };
                let kept = self.thing(style, kept.get(which).or(kept.last())?)?;
                let keep = self.filled(style, keeping, &[("p", kept)])?;
                let joint = if style.few() { ", " } else { " and " };
                // A line with a comma in it wants a pause before the second verb.
                format!(
                    "{cut}{}{joint}{keep}",
                    if cut.contains(',') && !style.few() {
                        ","
                    } else {
                        ""
                    }
                )
            }
            Id::Slash | Id::SlashTimes => {
                let spread = extra(Id::Spread)?;
                let Some(Arg::Number(expr)) = spread.args.first() else {
                    return None;
                };
                let amount = self.amount(within, expr)?;
                if amount.nothing() {
                    return Some(String::new());
                }
                let slashed = self.filled(style, part, &[])?;
                let spread = self.filled(within, spread, &[])?;
                let along = match extra(Id::AllAlong) {
                    Some(p) => format!(", {}", self.filled(style, p, &[])?),
                    None => String::new(),
                };
                let joint = if style.few() { ", " } else { " and " };
                format!("{slashed}{joint}{spread}{along}")
            }
            Id::Close | Id::CloseBy | Id::CloseEvery | Id::CloseEveryBy => {
                return self.closed(style, part, more, at);
            }
            Id::Swing => {
                let wide = self.opened(style, at);
                self.filled(style, part, &[("wide", wide)])?
            }
            Id::LetOut | Id::LetOutAt | Id::TakeIn | Id::TakeInAt => {
                let Some(Arg::Number(expr)) = part.args.get(1) else {
                    return None;
                };
                let amount = self.amount(style, expr)?;
                if amount.nothing() {
                    return Some(String::new());
                }
                let fading = match extra(Id::Fading) {
                    Some(f) => self.filled(style, f, &[])?,
                    None => String::new(),
                };
                let mut part = part.clone();
                if amount.less_than_nothing() {
                    let other = match part.row.id {
                        Id::LetOut => Id::TakeIn,
                        Id::LetOutAt => Id::TakeInAt,
                        Id::TakeIn => Id::LetOut,
                        _ => Id::LetOutAt,
                    };
                    part.row = vocabulary::rows(Where::Piece).find(|r| r.id == other)?;
                }
                let said = self.said(style, &amount);
                self.filled(style, &part, &[("d", said), ("fading", fading)])?
            }
            Id::Strip => {
                let deep = match extra(Id::Deep) {
                    Some(d) => self.filled(within, d, &[])?,
                    None => String::new(),
                };
                let mut said = self.filled(style, part, &[("deep", deep)])?;
                if !style.few() && self.had_darts() {
                    said.push_str(", with its darts closed");
                }
                said
            }
            Id::Replace => {
                // The new line stands within the sentence.
                let line = match part.args.get(1)? {
                    Arg::Edge(edge) => self.edge(within, edge)?,
                    _ => return None,
                };
                self.filled(style, part, &[("f", line)])?
            }
            Id::TurnAbout => {
                let turning = self.turning(part, 1, side)?;
                self.filled(style, part, &[("turning", turning)])?
            }
            Id::MoveUp | Id::MoveDown | Id::MoveInward | Id::MoveOutward => {
                let Some(Arg::Number(expr)) = part.args.first() else {
                    return None;
                };
                let amount = self.amount(style, expr)?;
                if amount.nothing() {
                    return Some(String::new());
                }
                let turned = amount.less_than_nothing();
                let way = match (part.row.id, turned) {
                    (Id::MoveUp, false) | (Id::MoveDown, true) => "up",
                    (Id::MoveDown, false) | (Id::MoveUp, true) => "down",
                    (Id::MoveInward, false) | (Id::MoveOutward, true) => "in",
                    _ => "out",
                };
                let said = self.said(style, &amount);
                self.filled(style, part, &[("way", way.to_owned()), ("d", said)])?
            }
            Id::SideOutward | Id::SideInward | Id::SideUp | Id::SideDown => {
                let _ = side.map(side_word);
                return Some(String::new());
            }
            _ => {
                let said = self.filled(style, part, &[])?;
                return Some(said);
            }
        })
    }

    /// How far the works at one place opened something.
    fn opened(&mut self, style: Style, at: usize) -> String {
        let Some(hand) = self.hand() else {
            return String::new();
        };
        let here = hand.opened.iter().filter(|o| o.0 == at);
        let wide: Vec<f64> = here.map(|o| o.1).collect();
        let all: Vec<String> = wide.into_iter().map(|w| self.length(style, w)).collect();
        in_a_row(&all)
    }

    fn closed(&mut self, style: Style, part: &Part, more: &[Part], at: usize) -> Option<String> {
        let opened = self.hand()?.opened.iter().filter(|o| o.0 == at).count();
        let every = matches!(part.row.id, Id::CloseEvery | Id::CloseEveryBy);
        let by = match part.row.id {
            Id::CloseBy => part.args.get(1),
            Id::CloseEveryBy => part.args.first(),
            _ => None,
        };
        let by = match by {
            Some(Arg::Number(expr)) => self.w.asked(expr)?.v,
            _ => 1.0,
        };
        if (every && opened == 0) || by < 1e-9 {
            return Some(String::new());
        }
        let whole = (by - 1.0).abs() < 1e-9;
        let amount = if whole {
            String::new()
        } else {
            format!(
                "{} of ",
                share(by).unwrap_or_else(|| format!("{} %", plain(by * 100.0, 1)))
            )
        };
        let dart = match (every, opened, style) {
            (true, 1, Style::Short) => "the dart".to_owned(),
            (true, 1, _) => "its dart".to_owned(),
            (true, _, _) => "every dart".to_owned(),
            (false, ..) => {
                let Some(Arg::Drawn(drawn)) = part.args.first() else {
                    return None;
                };
                self.thing(style, drawn)?
            }
        };
        let mut said = format!("close {amount}{dart}");
        if let Some(opening) = more
            .iter()
            .find(|p| matches!(p.row.id, Id::Opening | Id::OpeningAt))
        {
            let wide = self.opened(style, at);
            let opens = self.filled(style, opening, &[("wide", wide)])?;
            said.push_str(if style.few() { ", " } else { "; " });
            said.push_str(&opens);
        }
        Some(said)
    }

    /// Whether the piece this one was copied from had darts.
    fn had_darts(&self) -> bool {
        let Some(name) = self.hand().and_then(|h| h.copied_from.first()) else {
            return false;
        };
        self.w
            .pieces
            .iter()
            .find(|p| p.key.shown() == *name)
            .and_then(|p| p.piece.as_ref())
            .is_some_and(|p| !p.darts.is_empty())
    }

    /// The edges of an outline with what each is: `the side (a seam, 1 in)`.
    fn outline(&mut self, style: Style, edges: &[EdgeRef]) -> Option<String> {
        let mut all = Vec::with_capacity(edges.len());
        for edge in edges {
            let said = self.edge(style, edge)?;
            let name = match &edge.line {
                Drawn::Named(r) => self.w.joined(&r.parts[..1])?.shown(),
                _ => String::new(),
            };
            let role = self
                .hand()
                .and_then(|h| h.piece.as_ref())
                .and_then(|p| self.role(style, p, &name));
            all.push(match role {
                Some(role) => format!("{said} ({role})"),
                None => said,
            });
        }
        Some(in_a_row(&all))
    }

    fn role(&self, style: Style, piece: &Piece, name: &str) -> Option<String> {
        let edge = piece.edge(name).ok()?;
        let role = match edge.role {
            Role::Seam => "seam",
            Role::Hem => "hem",
            Role::Fold => return Some("fold".into()),
            Role::Opening => "opening",
        };
        let widths = self.widths(style, &edge.allowance);
        Some(if widths.is_empty() {
            role.into()
        } else {
            format!("{role}, {widths}")
        })
    }

    /// An allowance in few words: `1 in`, `1/2 to 1 in`.
    fn widths(&self, style: Style, allowance: &Allowance) -> String {
        let mut all: Vec<f64> = vec![allowance.first().in_mm()];
        all.extend(allowance.changes().iter().map(|c| c.width.in_mm()));
        let low = all.iter().copied().fold(f64::INFINITY, f64::min);
        let high = all.iter().copied().fold(0.0, f64::max);
        if high < super::figures::HAIR {
            return String::new();
        }
        let shown = self.w.purpose.shown;
        let said = |style: Style, mm: f64| {
            if style.few() {
                super::figures::bare_length(mm, shown)
            } else {
                super::figures::length(mm, shown)
            }
        };
        if high - low < super::figures::HAIR {
            return said(style, high);
        }
        let low = if low < super::figures::HAIR {
            "0".to_owned()
        } else {
            said(Style::Short, low)
        };
        format!("{low} to {}", said(style, high))
    }
}
