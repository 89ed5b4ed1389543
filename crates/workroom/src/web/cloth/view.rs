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

use super::kept::{Current, compared};
use super::ready::{NotReady, Ready};
use super::search::Search;
use super::typed::Typed;
use super::{Asked, said};
use crate::cloth_sheet;
use crate::cut_list::{TOILE, cloth_called};
use crate::laying::{Found, Other, Sums, left_over, missing};
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
    running: Option<Arc<Search>>,
    shown: Shown,
    lay: Option<(Ready, Current, Found)>,
    /// The mark of that lay, which a press on it sends.
    mark: Option<String>,
    piece: Option<usize>,
    others: Vec<Other>,
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
        }
    }

    fn address(&self) -> String {
        format!("/orders/{}/cloth", self.order)
    }

    fn with(&self, more: &str) -> String {
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
                }
            }
            @if !bare { (self.ways(ready, found)) }
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

fn is_pinned(current: &Current, piece: &LaidPiece) -> bool {
    let at = current.lay.placed.iter().position(|p| *p == piece.placed);
    at.and_then(|i| current.pinned.get(i))
        .copied()
        .unwrap_or(false)
}

fn named(piece: &LaidPiece) -> String {
    let name = check::told::capital(&piece.name);
    if piece.of > 1 {
        format!("{name}, {} of {}", piece.copy, piece.of)
    } else {
        name
    }
}

/// How a piece lies, in words.
fn note(piece: &LaidPiece) -> String {
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
            (Some((true, _)), _) => { h1 { span.buy { "Nothing to buy" } } p { "What you have is enough." } }
            (_, Some(p)) => { h1 { "Buy " span.buy { (told(&p.to_string())) } } }
            (_, None) => { h1 { "The lay" } }
        }
        p {
            "of " (name) ", " (told(&show(Length::mm(found.laid.usable), shown))) " between the selvedges. The lay ends at "
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

/// What is cut from scraps, each with the number of its scrap.
fn on_scraps(laid: &Laid) -> impl Iterator<Item = (usize, &LaidPiece)> {
    laid.scraps
        .iter()
        .flat_map(|s| s.pieces.iter().map(move |p| (s.number, p)))
}

/// The scraps, each with what is cut from it.
fn scraps(laid: &Laid, shown: Shown) -> Markup {
    /// A drawing is no wider and no higher than this, so that its numbers are shown as large as they are.
    const ROOM: (f64, f64) = (300.0, 240.0);
    /// Units of the drawing for a millimetre: about the size of the lay above, where there is room.
    const K: f64 = 0.3;
    let n = |v: f64| format!("{v:.1}");
    // Numbered on after the lay, scrap after scrap.
    let first = |k: usize| {
        let before = laid.scraps.iter().take(k).map(|s| s.pieces.len());
        laid.pieces.len() + before.sum::<usize>()
    };
    html! {
        @if !laid.scraps.is_empty() {
            ul.scraps aria-label="From your scraps" {
                @for (k, s) in laid.scraps.iter().enumerate() {
                    @let begin = first(k);
                    @let scale = K.min(ROOM.0 / s.long.max(1.0)).min(ROOM.1 / s.wide.max(1.0));
                    li {
                        svg.lay viewBox=(format!("-4 -4 {} {}", n(s.long * scale + 8.0), n(s.wide * scale + 8.0))) width=(n(s.long * scale + 8.0)) role="img" aria-label=(format!("Scrap {} with {} outlines", s.number, s.pieces.len())) {
                            rect.bolt x="0" y="0" width=(n(s.long * scale)) height=(n(s.wide * scale)) {}
                            @for (i, p) in s.pieces.iter().enumerate() {
                                @let at = |q: &[f64; 2]| format!("{:.1} {:.1}", q[0] * scale, (s.wide - q[1]) * scale);
                                @let line: Vec<String> = p.outline.iter().map(at).collect();
                                @let middle = roomy(&p.outline);
                                path.cut d=(format!("M{}Z", line.join("L"))) { title { (begin + i + 1) " " (named(p)) } }
                                text.letter.sub x=(n(middle[0] * scale)) y=(n((s.wide - middle[1]) * scale + 5.0)) text-anchor="middle" { (begin + i + 1) }
                            }
                        }
                        p.help { "Scrap " (s.number) ", " (told(&show(Length::mm(s.wide), shown))) " wide, " (told(&show(Length::mm(s.long), shown))) " long" }
                    }
                }
            }
        }
    }
}

/// A piece with its join: the part that is sewn on is shaded.
fn joined(join: &Join) -> Markup {
    const SIDE: f64 = 300.0;
    let mut b = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
    for p in &join.whole {
        for axis in 0..2 {
            b[axis] = b[axis].min(p[axis]);
            b[axis + 2] = b[axis + 2].max(p[axis]);
        }
    }
    let k = SIDE / (b[2] - b[0]).max(b[3] - b[1]).max(1.0);
    let at = |p: [f64; 2]| format!("{:.1} {:.1}", (p[0] - b[0]) * k, (p[1] - b[1]) * k);
    let line = |all: &[[f64; 2]]| {
        let all: Vec<String> = all.iter().map(|p| at(*p)).collect();
        format!("M{}Z", all.join("L"))
    };
    let size = format!(
        "-8 -8 {:.0} {:.0}",
        (b[2] - b[0]) * k + 16.0,
        (b[3] - b[1]) * k + 16.0
    );
    html! {
        svg.joinpicture viewBox=(size) role="img" aria-label={ (check::told::capital(&join.piece)) ", with its join" } {
            path.cut d=(line(&join.whole)) {}
            path.sewnon d=(line(&join.beyond())) {}
            path.joinline d={ "M" (at(join.line[0])) "L" (at(join.line[1])) } {}
        }
    }
}

/// The place on a piece that is farthest from its outline, as far as a look at a few hundred finds:
/// there its name has room.
fn roomy(outline: &[[f64; 2]]) -> [f64; 2] {
    const LOOKS: i32 = 16;
    let mut b = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
    for p in outline {
        for axis in 0..2 {
            b[axis] = b[axis].min(p[axis]);
            b[axis + 2] = b[axis + 2].max(p[axis]);
        }
    }
    let edges = || outline.iter().zip(outline.iter().cycle().skip(1));
    let mut best = ([f64::midpoint(b[0], b[2]), f64::midpoint(b[1], b[3])], 0.0);
    for i in 1..LOOKS {
        for j in 1..LOOKS {
            let at = |axis: usize, n: i32| {
                b[axis] + (b[axis + 2] - b[axis]) * f64::from(n) / f64::from(LOOKS)
            };
            let p = [at(0, i), at(1, j)];
            let mut inside = false;
            let mut near = f64::MAX;
            for (s, t) in edges() {
                if (s[1] > p[1]) != (t[1] > p[1])
                    && p[0] < s[0] + (p[1] - s[1]) * (t[0] - s[0]) / (t[1] - s[1])
                {
                    inside = !inside;
                }
                // Words are wide and low: what is beside them is nearer than what is above.
                let near_by = |q: &[f64; 2]| [(q[0] - p[0]) / 2.0, q[1] - p[1]];
                let (a, b) = (near_by(s), near_by(t));
                let way = [b[0] - a[0], b[1] - a[1]];
                let long = way[0] * way[0] + way[1] * way[1];
                let part = if long > 0.0 {
                    (-(a[0] * way[0] + a[1] * way[1]) / long).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let (dx, dy) = (a[0] + way[0] * part, a[1] + way[1] * part);
                near = near.min(dx * dx + dy * dy);
            }
            if inside && near > best.1 {
                best = (p, near);
            }
        }
    }
    best.0
}

/// How far it is from a place on a piece to its outline: to the left, to the right, and down.
fn room_at(outline: &[[f64; 2]], p: [f64; 2]) -> [f64; 3] {
    let mut room = [f64::MAX; 3];
    for (s, t) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        for axis in 0..2 {
            let other = 1 - axis;
            if (s[other] > p[other]) == (t[other] > p[other]) {
                continue;
            }
            let part = (p[other] - s[other]) / (t[other] - s[other]);
            let off = s[axis] + part * (t[axis] - s[axis]) - p[axis];
            match (axis, off < 0.0) {
                (0, true) => room[0] = room[0].min(-off),
                (0, false) => room[1] = room[1].min(off),
                (_, true) => room[2] = room[2].min(-off),
                (_, false) => {}
            }
        }
    }
    room
}

/// From line to line of small words on the drawing, and half of what a letter of them takes at most.
const LINE: f64 = 22.0;
const HALF_LETTER: f64 = 5.0;

/// How a piece lies, as it is written on it: in one line, or one below the other where that goes over its
/// edge and there is room below. `k` is how many units of the drawing a millimetre is.
fn written(note: &str, outline: &[[f64; 2]], middle: [f64; 2], k: f64) -> Vec<String> {
    let room = room_at(outline, middle);
    let half =
        |text: &str| f64::from(u32::try_from(text.chars().count()).unwrap_or(0)) * HALF_LETTER;
    let parts: Vec<String> = note.split(", ").map(str::to_owned).collect();
    let lines = f64::from(u32::try_from(parts.len()).unwrap_or(1));
    let over = half(note) > room[0].min(room[1]) * k;
    if over && room[2] * k > 24.0 + LINE * (lines - 1.0) + 6.0 {
        parts
    } else {
        vec![note.to_owned()]
    }
}

/// The middle of words so that none of their letters is cut off at the edge of the drawing.
fn within(x: f64, text: &str) -> f64 {
    // On a narrow window the letters are larger.
    let half = f64::from(u32::try_from(text.chars().count()).unwrap_or(0)) * 6.2;
    x.clamp(
        (half - 16.0).min(WIDE / 2.0),
        (WIDE + 16.0 - half).max(WIDE / 2.0),
    )
}

/// The drawing is so many units wide, whatever the cloth.
const WIDE: f64 = 945.0;

/// The cloth at its real proportion, with every piece on it.
fn drawing(laid: &Laid, ready: &Ready, at: Option<(&ClothView, &Current)>) -> Markup {
    let end = laid.length.max(1.0);
    let s = laid.selvedge;
    let folded = matches!(laid.fold, Fold::Lengthwise | Fold::Part);
    let high = if laid.flat_from.is_some() {
        laid.usable
    } else {
        laid.height()
    };
    let k = WIDE / end;
    let low = if folded && laid.flat_from.is_none() {
        0.0
    } else {
        s
    };
    let tall = (high + s + low) * k;
    let x = |v: f64| v * k;
    let y = |v: f64| (high + s - v) * k;
    let n = |v: f64| format!("{v:.1}");
    let path = |p: &LaidPiece| {
        let mut d = String::new();
        // Closer than a pixel nobody sees.
        let mut last: Option<(f64, f64)> = None;
        for q in &p.outline {
            let (a, b) = (x(q[0]), y(q[1]));
            if last.is_some_and(|l| (l.0 - a).abs() + (l.1 - b).abs() < 0.8) {
                continue;
            }
            d.push_str(&format!(
                "{}{a:.1} {b:.1}",
                if last.is_none() { 'M' } else { 'L' }
            ));
            last = Some((a, b));
        }
        d.push('Z');
        d
    };
    let inches = ready.shown.unit == Unit::Inch;
    let (each, sign, parts) = if inches {
        (914.4, "yd", 8)
    } else {
        (1000.0, "m", 10)
    };
    let mut ticks = Vec::new();
    let mut i = 0;
    while f64::from(i) * each / f64::from(parts) <= end + 1.0 && i < 4000 {
        ticks.push((i, f64::from(i) * each / f64::from(parts)));
        i += 1;
    }
    let title = format!(
        "The lay: {} outlines on {} of cloth",
        laid.pieces.len(),
        show(Length::mm(laid.length), ready.shown)
    );
    let selvedges = [
        (!folded || laid.flat_from.is_some()).then_some(0.0),
        Some(if laid.flat_from.is_some() {
            laid.usable
        } else {
            laid.height()
        }),
    ];
    html! {
        svg.lay viewBox=(format!("-20 -34 {} {}", n(WIDE + 40.0), n(tall + 90.0))) data-scale=(n(1.0 / k)) role="group" aria-label=(title) {
            rect.bolt x="0" y="0" width=(n(WIDE)) height=(n(tall)) {}
            @for v in selvedges.into_iter().flatten() {
                path.selvedge d=(format!("M0 {}H{}", n(y(v)), n(WIDE))) {}
            }
            @if folded {
                path.foldline d=(format!("M0 {}H{}", n(y(0.0)), n(x(laid.flat_from.unwrap_or(end))))) {}
                // Beside the nought of the rule, clear of its marks.
                text.letter.out x="24" y=(n(tall + 40.0)) { "fold" }
            }
            @if laid.fold == Fold::Crosswise {
                path.foldline d=(format!("M0 0V{}", n(tall))) {}
                text.letter.out x="6" y=(n(tall - 8.0)) { "fold" }
            }
            @if let Some([deep, _]) = laid.turned_in {
                @let end = n(x(laid.flat_from.unwrap_or(end)));
                rect.turnedin x="0" y=(n(y(deep + s))) width=(end) height=(n((deep + s) * k)) {}
                path.selvedge d=(format!("M0 {}H{end}", n(y(deep)))) {}
                path.edge d=(format!("M0 {}H{end}", n(y(deep + s)))) {}
                text.letter.out x="4" y=(n(y(deep + s) - 5.0)) { "edge, turned in" }
            }
            @if let (true, Some(from)) = (folded, laid.flat_from) {
                path.selvedge d=(format!("M0 {}H{}", n(y(laid.height())), n(x(from)))) {}
            }
            @if let Some(from) = laid.flat_from {
                path.selvedge d=(format!("M{} 0V{}", n(x(from)), n(tall))) {}
                text.letter.out x=(n(x(from))) y="-8" text-anchor="middle" { "opened out from here" }
            }
            @for f in &laid.flaws {
                rect.flaw x=(n(x(f[0]))) y=(n(y(f[3]))) width=(n((f[2] - f[0]) * k)) height=(n((f[3] - f[1]) * k)) { title { "A flaw" } }
            }
            @for (i, p) in laid.pieces.iter().enumerate() {
                @let b = p.bounds();
                @let pinned = at.is_some_and(|(_, c)| is_pinned(c, p));
                @let chosen = at.is_some_and(|(v, _)| v.piece == Some(i));
                @let class = match (pinned, chosen) { (true, true) => "cut pinned chosen", (true, false) => "cut pinned", (false, true) => "cut chosen", _ => "cut" };
                @let middle = roomy(&p.outline);
                @let words = html! {
                    path class=(class) d=(path(p)) data-piece=(i) { title { (i + 1) " " (named(p)) ", " (note(p)) } }
                    @for [a, b] in &p.joins { path.joinline d=(format!("M{} {}L{} {}", n(x(a[0])), n(y(a[1])), n(x(b[0])), n(y(b[1])))) { title { "A join" } } }
                    path.grain d=(format!("M{} {}L{} {}", n(x(p.grain[0][0])), n(y(p.grain[0][1])), n(x(p.grain[1][0])), n(y(p.grain[1][1])))) {}
                    @if (b[2] - b[0]) * k > 90.0 && (b[3] - b[1]) * k > 50.0 {
                        text.name x=(n(x(middle[0]))) y=(n(y(middle[1]) - 2.0)) text-anchor="middle" { (i + 1) " " (check::told::capital(&p.name)) }
                        @let said = if pinned { format!("{}, pinned", note(p)) } else { note(p) };
                        @for (line, words) in written(&said, &p.outline, middle, k).iter().enumerate() {
                            text.letter.sub x=(n(within(x(middle[0]), words))) y=(n(y(middle[1]) + 24.0 + LINE * f64::from(u32::try_from(line).unwrap_or(0)))) text-anchor="middle" { (words) }
                        }
                    } @else {
                        text.letter.sub x=(n(x(middle[0]))) y=(n(y(middle[1]) + 5.0)) text-anchor="middle" { (i + 1) }
                    }
                };
                @match at {
                    Some((view, _)) if view.running.is_none() => {
                        a.onlay.inhand[chosen] href=(view.with(&format!("&piece={i}#hand"))) aria-label={ (i + 1) " " (named(p)) ", " (note(p)) } data-of=(i) { (words) }
                    }
                    _ => { g.onlay data-of=(i) { (words) } }
                }
            }
            @for (i, v) in &ticks {
                path.tick d=(format!("M{} {}v{}", n(x(*v)), n(tall + 6.0), if i % parts == 0 { 14 } else { 7 })) {}
                @if i % parts == 0 {
                    text.letter.out x=(n(x(*v))) y=(n(tall + 40.0)) text-anchor="middle" { (i / parts) @if *i > 0 { " " (sign) } }
                }
            }
            path.tick.end d=(format!("M{} -6V{}", n(WIDE), n(tall + 6.0))) {}
            text.letter.out x=(n(WIDE)) y="-12" text-anchor="end" { "the lay ends here" }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch words that go over the edge of a piece though there is room below, that are cut off at the
    /// edge of the drawing, and lines that are broken where one is enough. On a board of 200 by 100, from its
    /// middle it is 100 to each side and 50 down.
    #[test]
    fn words_on_a_piece_have_room() {
        let board = [[0.0, 0.0], [200.0, 0.0], [200.0, 100.0], [0.0, 100.0]];
        for (at, room) in [
            ([100.0, 50.0], [100.0, 100.0, 50.0]),
            ([20.0, 30.0], [20.0, 180.0, 30.0]),
        ] {
            let found = room_at(&board, at);
            let near = found.iter().zip(room).all(|(f, r)| (f - r).abs() < 1e-9);
            assert!(near, "{found:?}, not {room:?}");
        }
        let said = "face down, head to foot";
        assert_eq!(written(said, &board, [100.0, 50.0], 2.0), [said]);
        assert_eq!(
            written(said, &board, [100.0, 90.0], 1.0),
            ["face down", "head to foot"]
        );
        // Neither beside nor below: in one line.
        assert_eq!(written(said, &board, [100.0, 20.0], 1.0), [said]);
        assert!(within(60.0, said) > 120.0 && within(940.0, said) < 830.0);
        assert!((within(500.0, said) - 500.0).abs() < 1e-9);
    }
}
