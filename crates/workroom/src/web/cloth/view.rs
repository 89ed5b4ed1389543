//! The cloth page as it is shown.

use std::sync::Arc;

use lay::Fold;
use lay::compare::Change;
use lay::join::Join;
use lay::laid::{Laid, LaidPiece, Layers};
use lay::task::Lay;
use maud::{Markup, html};
use measure::Length;
use measure::fraction::{Shown, Unit, show};

use super::drawing::{drawing, flaw_called, joined, scraps};
use super::kept::{Current, compared, opened_out};
use super::ready::{NotReady, Ready};
use super::search::Search;
use super::typed::Typed;
use super::{Asked, said};
use crate::cloth_sheet;
use crate::cut_list::{TOILE, cloth_called};
use crate::laying::{Found, Other, Sums, left_over, missing, purchase};
use crate::web::parts::field::summary;
use crate::web::parts::link::escaped;
use crate::web::parts::number::told;
use crate::web::working::OnTable;

/// All that the page shows.
pub(super) struct ClothView {
    pub(super) order: u32,
    pub(super) client: String,
    pub(super) demo: bool,
    /// The order's count, for what changes the cloth.
    seen: u64,
    kind: String,
    kinds: Vec<String>,
    typed: Typed,
    edit: bool,
    /// What did not fit when the cloth was typed: the key of its box, and what is said.
    wrong: Vec<(String, String)>,
    /// Why there is no lay.
    faults: NotReady,
    no_cloth: bool,
    said: Option<String>,
    pub(super) running: Option<Arc<Search>>,
    shown: Shown,
    lay: Option<(Ready, Current, Found)>,
    /// The mark of that lay, which a press on it sends.
    mark: Option<String>,
    pub(super) piece: Option<usize>,
    others: Vec<Other>,
    /// How much a folded lay would take with the cloth opened out.
    flat: Option<Length>,
}

impl ClothView {
    /// Gathers it.
    pub(super) fn of(
        on: &OnTable,
        ready: Result<Ready, NotReady>,
        running: Option<Arc<Search>>,
        typed: Typed,
        wrong: Vec<(String, String)>,
        (asked, kind): (&Asked, &str),
    ) -> Self {
        let mut kinds: Vec<String> = match &ready {
            Ok(ready) => ready.list.kinds().into_iter().map(str::to_owned).collect(),
            Err(_) => {
                let worked = on.redraw();
                let all = worked
                    .pieces
                    .iter()
                    .flat_map(|p| &p.cuts)
                    .map(|c| cloth_called(&worked, &c.cloth).to_owned());
                all.fold(Vec::new(), |mut kinds, k| {
                    if !kinds.contains(&k) {
                        kinds.push(k);
                    }
                    kinds
                })
            }
        };
        if on.allowed.toile() {
            // Beside the toile all that is cut in the end.
            let worked = on.in_the_cloth().redraw();
            for cut in worked.pieces.iter().flat_map(|p| &p.cuts) {
                if !kinds.contains(&cut.cloth) {
                    kinds.push(cut.cloth.clone());
                }
            }
        } else if on.has_toile() {
            kinds.insert(0, TOILE.to_owned());
        }
        if !kinds.iter().any(|k| k == kind) {
            kinds.push(kind.to_owned());
        }
        let no_cloth = !on.holds.contains_key(&format!("cloth/{kind}"));
        let (lay, faults) = match ready {
            Ok(ready) => {
                let mut current = Current::of(&ready, &on.holds);
                if let Some(best) = running.as_ref().and_then(|s| s.best()) {
                    current.pinned = vec![false; best.placed.len()];
                    current.lay = best;
                }
                let found = ready.found(&current.lay);
                (Some((ready, current, found)), NotReady::default())
            }
            Err(faults) => (None, faults),
        };
        let others = lay
            .as_ref()
            .map_or_else(Vec::new, |(r, ..)| compared(&r.page_key));
        let flat = lay
            .as_ref()
            .filter(|(_, _, found)| running.is_none() && !found.laid.all_on_scraps())
            .and_then(|(ready, ..)| opened_out(ready, &others));
        let mark = lay.as_ref().map(|(r, current, _)| current.mark(r));
        Self {
            order: on.order.number.0,
            client: on.name().to_owned(),
            demo: on.order.demo,
            seen: on.order.seen,
            kind: kind.to_owned(),
            kinds,
            edit: asked.edit.is_some() || no_cloth,
            typed,
            wrong,
            faults,
            no_cloth,
            said: asked.said.clone(),
            running,
            shown: on.shown,
            lay,
            mark,
            piece: asked.piece,
            others,
            flat,
        }
    }

    fn address(&self) -> String {
        format!("/orders/{}/cloth", self.order)
    }

    pub(super) fn with(&self, more: &str) -> String {
        format!("{}?for={}{more}", self.address(), escaped(&self.kind))
    }

    pub(super) fn body(&self) -> Markup {
        html! {
            div.clothpage data-order=(self.order) data-for=(self.kind) data-lay=[&self.mark] {
                (said(self.said.as_deref()))
                (summary(&self.wrong))
                @match &self.lay {
                    Some((ready, current, found)) => { (self.answer(found)) (self.table(ready, current, found)) }
                    None => { (self.nothing()) }
                }
                (self.tabs())
                @if let Some((ready, current, found)) = &self.lay {
                    (self.hand(ready, current, found))
                    (self.below(ready, current, found))
                }
                (self.cloth_itself())
            }
        }
    }

    /// The answer, the largest words of the page.
    fn answer(&self, found: &Found) -> Markup {
        html! { div.answer id="answer" { (answer(found, self.shown)) } }
    }

    /// The cloth with the lay on it.
    fn table(&self, ready: &Ready, current: &Current, found: &Found) -> Markup {
        if found.laid.all_on_scraps() {
            return html! {
                (scraps(&found.laid, self.shown))
                p.help { "To see how it would lie on cloth that you buy, empty the box \u{201c}Scraps of it\u{201d} of the cloth itself." }
            };
        }
        html! {
            div.sheet.bolt-wrap id="lay" data-live=[self.running.is_some().then(|| format!("{}/live?for={}", self.address(), escaped(&self.kind)))] {
                (drawing(&found.laid, ready, Some((self, current))))
            }
            (scraps(&found.laid, self.shown))
            @if let Some(search) = &self.running {
                form.presses method="post" action={ (self.address()) "/stop" } {
                    input type="hidden" name="for" value=(self.kind);
                    p id="progress" role="status" { (search.progress()) }
                    button.press.main { "Stop, and keep the best" }
                    a.press href=(self.with("")) { "Look again" }
                }
            } @else {
                form.presses method="post" action={ (self.address()) "/search" } {
                    input type="hidden" name="for" value=(self.kind);
                    button.press.main name="seconds" value="10" { @if current.kept { "Try again for 10 seconds" } @else { "Look for a shorter lay" } }
                    button.press name="seconds" value="60" { "Try longer: a minute" }
                }
                @if !current.kept {
                    p.help { "This is a first lay, found in a moment. A longer look finds a shorter one." }
                }
            }
        }
    }

    /// Why there is no lay, and what helps.
    fn nothing(&self) -> Markup {
        html! {
            h1 { "The cloth" }
            @if self.no_cloth {
                p.lead { "What is the " (self.kind) " cut from? Its width is enough to begin with." }
            } @else {
                ul.faults {
                    @for fault in &self.faults.says { li { (told(fault)) } }
                }
                @if let Some(join) = &self.faults.join { (self.offer(join)) }
                p.presses {
                    a.press href=(self.with("&edit=yes")) { "Change the cloth" }
                    a.press href={ "/orders/" (self.order) "/draft" } { "To the draft" }
                }
            }
        }
    }

    /// A join that would help: how, with a picture, and the press.
    fn offer(&self, join: &Join) -> Markup {
        html! {
            section.joinoffer {
                (joined(join))
                div {
                    h2 { "Or join it" }
                    p {
                        "The old way: what reaches past the cloth is cut beside and sewn on, straight grain on straight grain, where the folds of the flare hide it. The join begins "
                        (told(&show(join.begins, self.shown))) " below the top."
                    }
                    form.presses method="post" action={ (self.address()) "/join" } {
                        input type="hidden" name="for" value=(self.kind);
                        input type="hidden" name="seen" value=(self.seen);
                        button.press.main { "Join it so" }
                    }
                    p.help { "It is said on the lay and on its paper. To take it back, empty the box \u{201c}A join is allowed\u{201d} of the cloth itself." }
                }
            }
        }
    }

    /// From shell to lining.
    fn tabs(&self) -> Markup {
        html! {
            @if self.kinds.len() > 1 {
                nav.words aria-label="Cloths of this order" {
                    @for kind in &self.kinds {
                        a href={ (self.address()) "?for=" (escaped(kind)) } aria-current=[(*kind == self.kind).then_some("page")] { (check::told::capital(kind)) }
                    }
                }
            }
        }
    }

    /// The piece in the hand: everything that dragging does, with buttons.
    fn hand(&self, ready: &Ready, current: &Current, found: &Found) -> Markup {
        let taken = self
            .piece
            .and_then(|i| Some((i, found.laid.pieces.get(i)?)));
        let Some((i, piece)) = taken.filter(|_| self.running.is_none()) else {
            return html! {};
        };
        let pinned = is_pinned(current, piece);
        let one_way = ready.cloth.nap == lay::Nap::OneWay;
        let step = if self.shown.unit == Unit::Inch {
            "1 in"
        } else {
            "2 cm"
        };
        let fine = if self.shown.unit == Unit::Inch {
            "1/8 in"
        } else {
            "2 mm"
        };
        html! {
            form.handform id="hand" method="post" action={ (self.address()) "/hand" } data-live="yes" {
                input type="hidden" name="for" value=(self.kind);
                input type="hidden" name="piece" value=(i);
                @if let Some(mark) = &self.mark { input type="hidden" name="lay" value=(mark); }
                fieldset {
                    legend { (i + 1) " " (named(piece)) ", in the hand" }
                    p.help { (lies(&found.laid, piece, self.shown)) }
                    p.presses {
                        button.press name="do" value="left" { "To the start" }
                        button.press name="do" value="right" { "To the end" }
                        button.press name="do" value="up" { "Up" }
                        button.press name="do" value="down" { "Down" }
                        @if !one_way { button.press name="do" value="turn" { "Turn head to foot" } }
                        @if pinned { button.press name="do" value="loose" { "Take the pin out" } } @else { button.press name="do" value="pin" { "Pin it here" } }
                    }
                    label.finely { input type="checkbox" name="fine" value="yes"; span { "Finely: by " (told(fine)) " in place of " (told(step)) } }
                    p.presses { a.press.quiet href=(self.with("#lay")) { "Out of the hand" } }
                }
            }
        }
    }

    fn below(&self, ready: &Ready, current: &Current, found: &Found) -> Markup {
        let pins = current.pinned.iter().filter(|p| **p).count();
        let bare = found.laid.all_on_scraps();
        html! {
            div.cols {
                section {
                    h2 { @if bare { "From your scraps" } @else { "Before you buy" } }
                    @if !bare { ul.leaders { @for (label, value) in facts(found, self.shown) {
                        li { span { (label) } span.lead {} (told(&value)) }
                    } } }
                    (self.opening(ready, found))
                    @for said in cloth_sheet::joins(&found.laid, self.shown, &sheet::words::ENGLISH) { p.lead { (told(&said)) } }
                    @for said in cloth_sheet::scraps(&found.laid, self.shown, &sheet::words::ENGLISH) { p.lead { (told(&said)) } }
                    @if found.stretch_down { p.lead { (sheet::words::ENGLISH.lay_stretch) } }
                    @for said in cloth_sheet::flaws_behind(found, self.shown, &sheet::words::ENGLISH) { p.lead { (told(&said)) } }
                }
                section {
                    h2 { "To cut by" }
                    @if pins > 0 { p { (pins) @if pins == 1 { " piece is pinned" } @else { " pieces are pinned" } "; a new search lays the rest round it." } }
                    form.presses method="post" action={ (self.address()) "/keep" } {
                        input type="hidden" name="for" value=(self.kind);
                        @if let Some(mark) = &self.mark { input type="hidden" name="lay" value=(mark); }
                        button.press.main { "Keep this lay" }
                    }
                    ul.plain {
                        li { a href={ (self.address()) "/lay.pdf?for=" (escaped(&self.kind)) } { "Print the lay to cut by (PDF)" } }
                        @if !bare {
                            li { a href={ (self.address()) "/lay-full.pdf?for=" (escaped(&self.kind)) } { "At full size, for a roll (PDF)" } }
                            li { a href={ (self.address()) "/lay.plt?for=" (escaped(&self.kind)) } { "For a plotter" } }
                        }
                    }
                }
                section {
                    h2 { "Pieces, in the order of cutting" }
                    ol.pieces { @for (i, p) in found.laid.pieces.iter().enumerate() {
                        li {
                            a href=(self.with(&format!("&piece={i}#hand"))) aria-current=[(self.piece == Some(i)).then_some("true")] { (i + 1) " " (named(p)) }
                            span.help { (note(p)) @if is_pinned(current, p) { ", pinned" } }
                        }
                    }
                    @for (i, (scrap, p)) in on_scraps(&found.laid).enumerate() {
                        li.onscrap { span { (found.laid.pieces.len() + i + 1) " " (named(p)) } " " span.help { "from scrap " (scrap) ", " (note(p)) } }
                    } }
                    (flaws(found, self.shown))
                }
            }
            @if !bare { (self.ways(ready, found)) }
        }
    }

    /// What opening the fold out would save, with the press that does it.
    fn opening(&self, ready: &Ready, found: &Found) -> Markup {
        let Some(flat) = self.flat else {
            return html! {};
        };
        let round = |l: Length| self.shown.part() * (l / self.shown.part()).round();
        let saves = round(found.laid.takes()) - round(flat);
        if saves <= Length::ZERO {
            return html! { p.help { "Opening the fold out would save nothing, as far as a quick look tells." } };
        }
        let buys = purchase(flat, &ready.cloth, ready.buying);
        let less = buys
            .zip(found.purchase)
            .filter(|(flat, now)| flat.steps < now.steps)
            // Where what she has is enough, nothing is bought.
            .filter(|_| !matches!(found.in_hand, Some((true, _))));
        let way = lay::compare::ways(&ready.cloth);
        let way = way.iter().position(|w| w.change == Change::Flat);
        html! {
            p.lead {
                "Opened out and laid flat, in one layer, it would take " (told(&show(flat, self.shown))) ": " (told(&show(saves, self.shown))) " less."
                @if let Some((flat, now)) = less { " You would buy " (told(&flat.to_string())) " in place of " (told(&now.to_string())) "." }
            }
            p.help { "This was a quick look; a longer one may save more. Flat, what is cut through two layers now is cut one by one." }
            @if let Some(way) = way {
                form.presses method="post" action={ (self.address()) "/way" } {
                    input type="hidden" name="for" value=(self.kind);
                    input type="hidden" name="seen" value=(self.seen);
                    button.press name="way" value=(way) { "Lay it flat" }
                }
            }
        }
    }

    /// Other ways, side by side.
    fn ways(&self, ready: &Ready, found: &Found) -> Markup {
        html! {
            section.otherways id="ways" {
                h2 { "Other ways to lay it" }
                @if self.others.is_empty() {
                    p { "Across or along, flat or folded, on another width: each is laid for a moment and set beside yours." }
                    form.presses method="post" action={ (self.address()) "/compare" } {
                        input type="hidden" name="for" value=(self.kind);
                        button.press { "Compare: about ten seconds" }
                    }
                } @else {
                    p.help { "Each was looked for but a moment: a longer look may find any of them shorter." }
                    ul.waycards {
                        @for (i, o) in self.others.iter().enumerate() {
                            li { (self.card(i, o, found, ready)) }
                        }
                    }
                }
            }
        }
    }

    fn card(&self, i: usize, o: &Other, found: &Found, ready: &Ready) -> Markup {
        let way = check::told::capital(&cloth_sheet::way(o.way.change, self.shown));
        // Hers is the lay that is shown, looked for longer.
        let mine = o.way.change == Change::None;
        html! {
            h3 { (told(&way)) }
            @match o.found.as_ref().map(|f| if mine { found } else { f }) {
                Err(why) => { p { (told(why)) } }
                Ok(f) if f.laid.all_on_scraps() => { p { "Nothing to buy: all of it fits on your scraps." } }
                Ok(f) => {
                    p.buy { @if let Some(p) = f.purchase { (told(&p.to_string())) } }
                    p { "The lay ends at " (told(&show(f.laid.takes(), self.shown))) "." @if let Some(c) = f.cost { " " (c) "." } }
                    p.help {
                        (f.care.outlines) " outlines to cut"
                        @if f.care.twins > 0 { ", " (f.care.twins) " of them face down" }
                        @if f.care.head_to_foot > 0 { ", " (f.care.head_to_foot) " head to foot" }
                        @if !f.laid.joins.is_empty() { ", " (f.laid.joins.len()) " joined" }
                        "."
                        @match f.care.weight().cmp(&found.care.weight()) {
                            core::cmp::Ordering::Greater => " More care in cutting.",
                            core::cmp::Ordering::Less => " Less care in cutting.",
                            core::cmp::Ordering::Equal => "",
                        }
                    }
                    @if o.way.stretch_down { p.help { "Its stretch would go down the leg: ask first." } }
                    @for said in cloth_sheet::left_out(&o.way) { p.help { (check::told::capital(said)) "." } }
                    @if matches!(o.way.change, Change::Width(_)) && f.cost.is_some() { p.help { "Reckoned at the price of yours." } }
                    @if o.way.cloth != ready.cloth {
                        form method="post" action={ (self.address()) "/way" } {
                            input type="hidden" name="for" value=(self.kind);
                            input type="hidden" name="seen" value=(self.seen);
                            button.press name="way" value=(i) { "Lay it this way" }
                        }
                    }
                }
            }
        }
    }

    /// The cloth's own page.
    fn cloth_itself(&self) -> Markup {
        html! {
            details.fold open[self.edit] id="cloth" {
                summary { "The cloth itself" }
                (self.typed.form((self.order, &self.kind), self.seen, &self.wrong))
            }
        }
    }
}

pub(super) fn is_pinned(current: &Current, piece: &LaidPiece) -> bool {
    let at = current.lay.placed.iter().position(|p| *p == piece.placed);
    at.and_then(|i| current.pinned.get(i))
        .copied()
        .unwrap_or(false)
}

pub(super) fn named(piece: &LaidPiece) -> String {
    let name = check::told::capital(&piece.name);
    if piece.of > 1 {
        format!("{name}, {} of {}", piece.copy, piece.of)
    } else {
        name
    }
}

/// How a piece lies, in words.
pub(super) fn note(piece: &LaidPiece) -> String {
    let mut out: Vec<&str> = Vec::new();
    match piece.layers {
        Layers::Fold => out.push("on the fold"),
        Layers::Two => out.push("two at once"),
        Layers::One if piece.opened_out => out.push("opened out"),
        Layers::One => {}
    }
    if piece.face_down {
        out.push("face down");
    }
    if piece.head_to_foot {
        out.push("head to foot");
    }
    if out.is_empty() {
        "as drawn".into()
    } else {
        out.join(", ")
    }
}

fn lies(laid: &Laid, piece: &LaidPiece, shown: Shown) -> Markup {
    let b = piece.bounds();
    let folded = matches!(laid.fold, Fold::Lengthwise | Fold::Part) && !piece.on_opened();
    let edge = if folded { b[1] } else { b[1] + laid.selvedge };
    let from = if folded { "the fold" } else { "the lower edge" };
    let start = show(Length::mm(b[0].max(0.0)), shown);
    let low = show(Length::mm(edge.max(0.0)), shown);
    html! { (told(&start)) " from the start, " (told(&low)) " from " (from) ". " (check::told::capital(&note(piece))) "." }
}

/// The answer: what to buy, and where the lay ends.
fn answer(found: &Found, shown: Shown) -> Markup {
    let cloth = &found.cloth;
    let name = if cloth.name.is_empty() {
        "this cloth"
    } else {
        &cloth.name
    };
    if found.laid.all_on_scraps() {
        return html! {
            h1 { span.buy { "Nothing to buy" } }
            p { "All that is cut from " (name) " fits on your scraps." }
        };
    }
    html! {
        @match (found.in_hand, found.purchase) {
            (Some((true, _)), _) => { h1 { span.buy { "Nothing to buy" } } }
            (_, Some(p)) => { h1 { "Buy " span.buy { (told(&p.to_string())) } } }
            (_, None) => { h1 { "The lay" } }
        }
        p {
            @if matches!(found.in_hand, Some((true, _))) { "What you have of " (name) " is enough: " } @else { "of " (name) ", " }
            (told(&show(Length::mm(found.laid.usable), shown))) " between the selvedges. The lay ends at "
            (told(&show(Length::mm(found.laid.length), shown))) "."
        }
    }
}

/// What stands under the answer: the margin apart from the lay.
fn facts(found: &Found, shown: Shown) -> Vec<(String, String)> {
    let length = |l: Length| show(l, shown);
    let shrinks = found.cloth.shrink_along > 0.0;
    let mut out: Vec<(String, String)> = Vec::new();
    if let Some(p) = found.purchase {
        let sums = Sums::of(found.laid.takes(), &p, shown);
        out.push(("The lay takes".into(), length(sums.lay)));
        if shrinks {
            let percent = found.cloth.shrink_along * 100.0;
            out.push((
                format!("For shrinking, {percent:.1} % along"),
                length(sums.shrinking),
            ));
        }
        out.push((
            "Spare for flaws and straightening".into(),
            length(sums.margin),
        ));
        out.push((
            format!("Over, for the shop sells by the {}", p.step.name()),
            length(sums.over),
        ));
        out.push((format!("In all, {p}"), length(sums.bought)));
    } else {
        out.push(("The lay takes".into(), length(found.laid.takes())));
    }
    if let Some([deep, _]) = found.laid.turned_in {
        out.push((
            "One edge lies from the fold".into(),
            length(Length::mm(deep + found.laid.selvedge)),
        ));
    }
    let have = if shrinks {
        "What you have, before it shrinks,"
    } else {
        "What you have"
    };
    match found.in_hand {
        Some((true, left)) => out.push((
            format!("{have} is enough, with left"),
            length(left_over(left, shown)),
        )),
        Some((false, short)) => out.push((
            format!("{have} is too short by"),
            length(missing(short, shown)),
        )),
        None => {}
    }
    if let Some(cost) = found.cost {
        let says = match found.in_hand {
            Some((true, _)) => "Bought, it would cost",
            _ => "Costs",
        };
        out.push((says.into(), cost.to_string()));
    }
    if let Some(thumb) = found.thumb {
        out.push((
            "By the rule of thumb, a box round each piece".into(),
            length(thumb),
        ));
    }
    out.push((
        "Covered by pieces".into(),
        format!("{:.0} %", found.laid.cover * 100.0),
    ));
    out
}

/// Answer and drawing for a page that is open.
pub(super) fn live(ready: &Ready, lay: &Lay) -> Markup {
    let found = ready.found(lay);
    html! {
        div data-answer="" { (answer(&found, ready.shown)) }
        (drawing(&found.laid, ready, None))
    }
}

/// The flaws by the names that they have on the drawing, where she told that they are.
fn flaws(found: &Found, shown: Shown) -> Markup {
    let all = &found.cloth.flaws;
    let length = |l: Length| show(l, shown);
    html! {
        @if !all.is_empty() && !found.laid.all_on_scraps() {
            h3 { "Kept clear of" }
            ul.plain.flaws {
                @for (i, flaw) in all.iter().enumerate() {
                    li {
                        (check::told::capital(&flaw_called(i, all.len()))) ": "
                        (told(&length(flaw.along))) " along, " (told(&length(flaw.across))) " across, and "
                        (told(&length(flaw.round))) " round it"
                        @if found.laid.flaws.get(i).is_some_and(|f| f[0] >= found.laid.length) { ", behind the end of the lay" }
                    }
                }
            }
        }
    }
}

/// What is cut from scraps, each with the number of its scrap.
fn on_scraps(laid: &Laid) -> impl Iterator<Item = (usize, &LaidPiece)> {
    laid.scraps
        .iter()
        .flat_map(|s| s.pieces.iter().map(move |p| (s.number, p)))
}
