//! The table as its page shows it: the paper in the middle, the numbers and what is found beside it, the
//! choices below.

use check::{Finding, Measured};
use draft::Worked;
use draft::worked::Quantity;
use maud::{Markup, html};
use measure::fraction::{Shown, Unit, show_number};

use super::asked::{Asked, in_hand};
use super::measuring::{measure, measured_now};
use super::pressed::Refused;
use super::{hand, slips, twin};
use crate::web::backs::Backs;
use crate::web::drawing::place::Paper;
use crate::web::drawing::{self, Trace, View, Wanted};
use crate::web::parts::number::{n, told};
use crate::web::working::NO_CARD;

/// All that the table shows.
pub(crate) struct TableView<'a> {
    pub(crate) order: u32,
    pub(crate) client: &'a str,
    pub(crate) client_address: String,
    /// Under the title: order, card, cloth.
    pub(crate) facts: String,
    pub(crate) seen: u64,
    pub(crate) worked: &'a Worked,
    pub(crate) faults: &'a [String],
    pub(crate) findings: &'a [Finding],
    pub(crate) sought: bool,
    pub(crate) measured: &'a Measured,
    pub(crate) shown: Shown,
    pub(crate) asked: &'a Asked,
    pub(crate) backs: &'a Backs,
    pub(crate) done: Option<&'a str>,
    pub(crate) refused: Option<&'a Refused>,
    /// Choices of the order whose values the method can't take.
    pub(crate) unread: Vec<&'a str>,
}

/// The page's body.
pub(crate) fn table(view: &TableView<'_>) -> Markup {
    let order = view.order;
    let base = format!("/orders/{order}/draft");
    let unit = if view.shown.unit == Unit::Inch {
        "in"
    } else {
        "cm"
    };
    let paper = Paper::main(view.worked);
    let (says, line) = measured_now(view, &paper).unzip();
    html! {
        form #table method="post" action=(base) data-live={ (base) "/live" } data-keep={ (base) "/keep" }
            data-between={ (base) "/between" } data-steps={ (base) "/steps" } data-compare={ (base) "/compare" } data-cures={ (base) "/cures" } data-unit=(unit) {
            input type="hidden" name="seen" id="seen" value=(view.seen);
            input type="hidden" name="view" value=(view.asked.view.as_deref().unwrap_or(""));
            input type="hidden" name="hide" value=(view.asked.hide);
            // Enter in the box draws: it must not press the first button of the page.
            button.vh name="do" value="draw" tabindex="-1" aria-hidden="true" { "Draw" }
            div.bench.sheet {
                (titleblock(view))
                div.middle {
                    @if no_card(view) { div.undrawn {
                        p { (NO_CARD) }
                        p.presses { a.press.main href={ "/orders/" (order) "/card" } { "To her card" } }
                    } }
                    div.paper #paper role="group" tabindex="0" aria-label="The paper. Arrows move it, plus and minus enlarge it, F goes from finding to finding, M measures" {
                        (pattern(view, &paper, line))
                        (looks(view))
                    }
                    output.told-here #measured role="status" { @if let Some(says) = &says { (told(says)) } }
                    (measure(view, &paper, says.is_some()))
                    (lines(view))
                }
                (strip(view))
                (found(view))
            }
            @match in_hand(view.worked, view.asked.hand.as_deref()) {
                Some(choice) => (hand::hand(choice, view.shown, view.backs, view.refused.map(|r| (r.says.as_str(), r.typed.as_str())))),
                None => (empty_hand(view.backs)),
            }
        }
        form #measuring method="get" action={ (base) "#paper" } {
            @for (name, value) in [("hand", &view.asked.hand), ("view", &view.asked.view)] {
                @if let Some(value) = value { input type="hidden" name=(name) value=(value); }
            }
            @if !view.asked.hide.is_empty() { input type="hidden" name="hide" value=(view.asked.hide); }
        }
        section.tray aria-labelledby="choices-h" {
            div {
                h2 #choices-h { "The choices of this method" }
                (tray(view))
                (allowed(view))
            }
            (others(view))
            (twin::twin(view.worked, view.shown))
        }
    }
}

/// What her table of allowances put in place of the method's, and that it is a toile; a phone, which
/// has no room for the facts at the head, reads it here.
fn allowed(view: &TableView<'_>) -> Markup {
    let laid = view.worked.allowances.as_ref();
    html! {
        @for sentence in laid.map(|l| l.sentences(view.shown)).unwrap_or_default() { p.help { (told(&sentence)) } }
    }
}

fn empty_hand(backs: &Backs) -> Markup {
    html! {
        div.hand #hand {
            p.what { b { "Nothing to choose yet" } }
            div.presses.back { (backs.places()) (backs.buttons()) }
        }
    }
}

fn titleblock(view: &TableView<'_>) -> Markup {
    let base = format!("/orders/{}/draft", view.order);
    html! {
        div.titleblock {
            h1 { a href=(view.client_address) { (view.client) } }
            div.facts {
                p { a.ink href={ "/orders/" (view.order) "/method" } { (view.worked.title) } }
                p.small { (told(&view.facts)) }
            }
            ul.ways {
                li { a href={ (base) "/steps/1" } { "Step by step" } }
                li { a href={ (base) "/compare" } { "Compare" } }
                li { a href="#measure" data-panel="measure" { "Measure" } }
                li { a href="#lines" data-panel="lines" { "Lines" } }
            }
        }
    }
}

/// The drawing of the outside, for the page and for each redraw; with what is measured on it.
pub(super) fn pattern(view: &TableView<'_>, paper: &Paper<'_>, line: Option<Trace>) -> Markup {
    let hidden = view.asked.hidden();
    drawing::drawing(
        paper,
        view.worked,
        view.findings,
        &Wanted {
            shown: view.shown,
            view: View::of(view.asked.view.as_deref()),
            hidden: &hidden,
            line,
            title: "The pattern, piece beside piece, turned so that what is sewn together faces",
            id: "pattern",
        },
    )
}

/// Ways to look at the paper: links with scripts off, more with them.
fn looks(view: &TableView<'_>) -> Markup {
    let now = view.asked.view.as_deref().unwrap_or("");
    html! {
        nav.looks aria-label="Look at the paper" {
            @for (word, name) in [("", "Whole"), ("top", "Top"), ("hip", "Hip"), ("hem", "Hem")] {
                a href=(view.asked.address(view.order, "view", word)) aria-current=[(now == word).then_some("true")]
                    data-look=[word.is_empty().then_some("whole")] { (name) }
            }
            button type="button" data-look="larger" hidden { "Larger" }
            button type="button" data-look="smaller" hidden { "Smaller" }
        }
    }
}

/// The finished numbers, five at most, always in the same order.
pub(crate) fn strip(view: &TableView<'_>) -> Markup {
    let m = view.measured;
    let all = [
        ("Waist", m.waist),
        ("Hip", m.hip),
        ("Break", m.break_girth),
        ("Hem", m.hem),
        ("Her step", m.step.as_ref().map(|s| s.longest)),
    ];
    let sign = view.shown.unit.sign();
    html! {
        dl.tape #numbers aria-label="Finished" {
            @for (name, length) in all {
                @if let Some(length) = length {
                    div { dt { (name) } dd { (n(&show_number(length, view.shown))) span.u { (sign) } } }
                }
            }
        }
    }
}

/// Whether she has not been measured for it yet.
fn no_card(view: &TableView<'_>) -> bool {
    view.faults.iter().any(|f| f == NO_CARD)
}

pub(super) fn tray(view: &TableView<'_>) -> Markup {
    let now = in_hand(view.worked, view.asked.hand.as_deref()).map(|c| c.name.as_str());
    html! {
        ul.leaders #tray {
            @for choice in view.worked.choices.iter().filter(|c| c.offered) {
                li.set[choice.set] {
                    a href={ (view.asked.address(view.order, "hand", &choice.name)) "#hand" } aria-current=[(now == Some(choice.name.as_str())).then_some("true")] {
                        (check::told::capital(&choice.label))
                    }
                    span.lead {}
                    // Without her card a usual value would be somebody else’s.
                    @if choice.set || !no_card(view) { @match &choice.value {
                        Quantity::YesNo(_) | Quantity::Word(_) => span.value { (choice.value.shown(view.shown)) },
                        value => (n(&hand::typed(value, view.shown))),
                    } }
                }
            }
        }
    }
}

/// What is found, on its slips.
pub(super) fn found(view: &TableView<'_>) -> Markup {
    slips::slips(&slips::Slips {
        findings: view.findings,
        faults: view.faults,
        unread: &view.unread,
        done: view.done,
        rules: check::rules::RULES.len(),
        more: (!view.sought).then(|| view.asked.address(view.order, "cures", "all")),
        asked: view.asked.cures.is_some(),
    })
}

fn lines(view: &TableView<'_>) -> Markup {
    let hidden = view.asked.hidden();
    html! {
        div.panel #lines role="group" aria-label="Lines shown or hidden" {
            ul.ticks {
                @for (class, name) in drawing::LINES {
                    @let off = hidden.iter().any(|h| h == class);
                    @let other: Vec<&str> = drawing::LINES.iter().map(|(c, _)| *c)
                        .filter(|c| if c == class { !off } else { hidden.iter().any(|h| h == c) }).collect();
                    li {
                        a href={ (view.asked.address(view.order, "hide", &other.join(","))) "#lines" } data-line=(class) {
                            (name) ": " span.state { (if off { "hidden" } else { "shown" }) }
                        }
                    }
                }
                li { a href={ (view.asked.address(view.order, "", "")) "#paper" } data-shut { "Done" } }
            }
        }
    }
}

/// The pieces that are not in the middle of the table.
fn others(view: &TableView<'_>) -> Markup {
    let paper = Paper::others(view.worked);
    html! {
        @if !paper.pieces.is_empty() {
            details.fold #others {
                summary { "The other pieces: facings, linings, bands" }
                div.sheet.underpaper {
                    (drawing::drawing(&paper, view.worked, &[], &Wanted {
                        shown: view.shown, view: View::Whole, hidden: &[], line: None,
                        title: "The other pieces of the pattern", id: "others-drawing",
                    }))
                }
            }
        }
    }
}
