//! The draft table of an order: the paper in the middle, what is found beside it, one choice in the hand.

mod hand;
mod points;
mod slips;
mod twin;

use check::{Finding, Measured};
use draft::Worked;
use draft::worked::{ChoiceUsed, Quantity};
use maud::{Markup, html};
use measure::fraction::{Shown, Unit, show_number};

use super::drawing::place::Paper;
use super::drawing::{self, View, Wanted};
use super::parts::number::{n, told};

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
    pub(crate) measured: &'a Measured,
    pub(crate) shown: Shown,
    pub(crate) asked: &'a Asked,
    pub(crate) take_back: Option<&'a str>,
    pub(crate) put_again: Option<&'a str>,
    pub(crate) done: Option<&'a str>,
}

/// What the address asks for.
#[derive(Clone, Debug, Default, serde::Deserialize)]
pub(crate) struct Asked {
    /// The choice in the hand.
    pub(crate) hand: Option<String>,
    pub(crate) view: Option<String>,
    /// Lines left off, with commas.
    #[serde(default)]
    pub(crate) hide: String,
    /// The two points to measure between.
    pub(crate) a: Option<String>,
    pub(crate) b: Option<String>,
    pub(crate) edge: Option<String>,
    pub(crate) said: Option<String>,
}

impl Asked {
    fn hidden(&self) -> Vec<String> {
        self.hide.split(',').filter(|h| !h.is_empty()).map(str::to_owned).collect()
    }

    /// The address of the table with one thing of this other.
    fn address(&self, order: u32, key: &str, value: &str) -> String {
        let mut pairs: Vec<(&str, &str)> = Vec::new();
        for (k, v) in [("hand", &self.hand), ("view", &self.view)] {
            if let Some(v) = v.as_deref().filter(|_| k != key) {
                pairs.push((k, v));
            }
        }
        if key != "hide" && !self.hide.is_empty() {
            pairs.push(("hide", &self.hide));
        }
        if !value.is_empty() {
            pairs.push((key, value));
        }
        let query: Vec<String> = pairs.iter().map(|(k, v)| format!("{k}={}", super::parts::link::escaped(v))).collect();
        if query.is_empty() {
            format!("/orders/{order}/draft")
        } else {
            format!("/orders/{order}/draft?{}", query.join("&"))
        }
    }
}

/// The choice that is in the hand: the one asked for, else the first length that is offered.
pub(crate) fn in_hand<'a>(worked: &'a Worked, asked: Option<&str>) -> Option<&'a ChoiceUsed> {
    let mut offered = worked.choices.iter().filter(|c| c.offered);
    let is_length = |c: &&ChoiceUsed| matches!(c.value, Quantity::Length(_)) && c.range.is_some();
    asked
        .and_then(|name| worked.choices.iter().find(|c| c.name == name && c.offered))
        .or_else(|| offered.clone().find(|c| c.name == "tightening"))
        .or_else(|| offered.clone().find(is_length))
        .or_else(|| offered.next())
}

/// The page's body.
pub(crate) fn table(view: &TableView<'_>) -> Markup {
    let order = view.order;
    let base = format!("/orders/{order}/draft");
    let unit = if view.shown.unit == Unit::Inch { "in" } else { "cm" };
    html! {
        form #table method="post" action=(base) data-live={ (base) "/live" } data-keep={ (base) "/keep" }
            data-between={ (base) "/between" } data-steps={ (base) "/steps" } data-compare={ (base) "/compare" } data-unit=(unit) {
            input type="hidden" name="seen" id="seen" value=(view.seen);
            input type="hidden" name="view" value=(view.asked.view.as_deref().unwrap_or(""));
            input type="hidden" name="hide" value=(view.asked.hide);
            // Enter in the box draws: it must not press the first button of the page.
            button.vh name="do" value="draw" tabindex="-1" aria-hidden="true" { "Draw" }
            div.bench.sheet {
                (titleblock(view))
                div.paper #paper role="group" tabindex="0" aria-label="The paper. Arrows move it, plus and minus enlarge it, F goes from finding to finding" {
                    (pattern(view))
                    (looks(view))
                }
                (strip(view))
                (slips::slips(&slips::Slips {
                    findings: view.findings,
                    faults: view.faults,
                    done: view.done,
                    rules: check::rules::RULES.len(),
                    sought: true,
                }))
            }
            @match in_hand(view.worked, view.asked.hand.as_deref()) {
                Some(choice) => (hand::hand(choice, view.shown, view.take_back, view.put_again)),
                None => (empty_hand(view.take_back, view.put_again)),
            }
        }
        section.tray aria-labelledby="choices-h" {
            div {
                h2 #choices-h { "The choices of this method" }
                (tray(view))
            }
            (measure(view))
            (lines(view))
            (others(view))
            (twin::twin(view.worked, view.shown))
        }
    }
}

fn empty_hand(take_back: Option<&str>, put_again: Option<&str>) -> Markup {
    html! {
        div.hand #hand {
            p.what { b { "Nothing to choose yet" } }
            div.presses.back {
                @if let Some(label) = take_back { button.press.quiet name="do" value="back" { "Take back: " (told(label)) } }
                @if let Some(label) = put_again { button.press.quiet name="do" value="again" { "Put again: " (told(label)) } }
            }
        }
    }
}

fn titleblock(view: &TableView<'_>) -> Markup {
    let base = format!("/orders/{}/draft", view.order);
    html! {
        div.titleblock {
            h1 { a href=(view.client_address) { (view.client) } }
            div.facts {
                p { (view.worked.title) }
                p.small { (told(&view.facts)) }
            }
            ul.ways {
                li { a href={ (base) "/steps/1" } { "Step by step" } }
                li { a href={ (base) "/compare" } { "Compare" } }
                li { a href="#measure" data-measure { "Measure" } }
                li { a href="#lines" { "Lines" } }
            }
        }
    }
}

/// The drawing of the outside, for the page and for each redraw.
pub(crate) fn pattern(view: &TableView<'_>) -> Markup {
    let paper = Paper::main(view.worked);
    let hidden = view.asked.hidden();
    let line = view.asked.a.as_deref().zip(view.asked.b.as_deref()).and_then(|(a, b)| {
        let all = points::points(&paper);
        let find = |key: &str| all.iter().find(|p| p.key == key).map(|p| p.on_paper);
        Some((find(a)?, find(b)?))
    });
    drawing::drawing(
        &paper,
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
        div.tape #numbers role="group" aria-label="Finished" {
            dl {
                @for (name, length) in all {
                    @if let Some(length) = length {
                        div { dt { (name) } dd { (n(&show_number(length, view.shown))) span.u { (sign) } } }
                    }
                }
            }
        }
    }
}

fn tray(view: &TableView<'_>) -> Markup {
    let now = in_hand(view.worked, view.asked.hand.as_deref()).map(|c| c.name.as_str());
    html! {
        ul.leaders #tray {
            @for choice in view.worked.choices.iter().filter(|c| c.offered) {
                li.set[choice.set] {
                    a href={ (view.asked.address(view.order, "hand", &choice.name)) "#hand" } aria-current=[(now == Some(choice.name.as_str())).then_some("true")] {
                        (check::told::capital(&choice.label))
                    }
                    span.lead {}
                    @match &choice.value {
                        Quantity::YesNo(_) | Quantity::Word(_) => span.value { (choice.value.shown(view.shown)) },
                        value => (n(&hand::typed(value, view.shown))),
                    }
                }
            }
        }
    }
}

/// Measuring by names: between two points, or along an edge.
fn measure(view: &TableView<'_>) -> Markup {
    let paper = Paper::main(view.worked);
    let all = points::points(&paper);
    let find = |key: &Option<String>| {
        let key = key.as_deref()?;
        all.iter().find(|p| p.key == key)
    };
    let said = find(&view.asked.a)
        .zip(find(&view.asked.b))
        .map(|(a, b)| points::between(a, b, view.shown));
    let edges = points::edges(view.worked, view.shown);
    let edge = view.asked.edge.as_deref().and_then(|key| edges.iter().find(|(k, _)| k == key));
    let pick = |id: &str, label: &str, chosen: &Option<String>| {
        html! {
            label for=(id) { (label)
                select.box id=(id) name=(id) {
                    @for p in &all { option value=(p.key) selected[chosen.as_deref() == Some(p.key.as_str())] { (p.name) } }
                }
            }
        }
    };
    html! {
        details.fold #measure open[said.is_some() || edge.is_some()] {
            summary { "Measure between two points, or along an edge" }
            form.measure method="get" action={ "/orders/" (view.order) "/draft#measure" } {
                @if let Some(hand) = &view.asked.hand { input type="hidden" name="hand" value=(hand); }
                (pick("a", "From", &view.asked.a))
                (pick("b", "To", &view.asked.b))
                label for="edge" { "Along"
                    select.box #edge name="edge" {
                        option value="" { "no edge" }
                        @for (key, said) in &edges { option value=(key) selected[view.asked.edge.as_deref() == Some(key.as_str())] { (said) } }
                    }
                }
                button.press { "Measure" }
                output #measured role="status" {
                    @if let Some(said) = &said { (told(said)) " " }
                    @if let Some((_, said)) = edge { (told(said)) "." }
                }
            }
        }
    }
}

/// What a pressed pair of places is apart: the answer to a script.
pub(crate) fn between(worked: &Worked, shown: Shown, a: measure::Point, b: measure::Point) -> Markup {
    let paper = Paper::main(worked);
    let (a, b) = (points::meant(&paper, a), points::meant(&paper, b));
    html! { output #measured role="status" { (told(&points::between(&a, &b, shown))) } }
}

fn lines(view: &TableView<'_>) -> Markup {
    let hidden = view.asked.hidden();
    html! {
        details.fold #lines open[!hidden.is_empty()] {
            summary { "Lines shown or hidden" }
            ul.leaders {
                @for (class, name) in drawing::LINES {
                    @let off = hidden.iter().any(|h| h == class);
                    @let other: Vec<&str> = drawing::LINES.iter().map(|(c, _)| *c)
                        .filter(|c| if c == class { !off } else { hidden.iter().any(|h| h == c) }).collect();
                    li {
                        a href={ (view.asked.address(view.order, "hide", &other.join(","))) "#lines" } {
                            (name) ": " (if off { "hidden, show them" } else { "shown, hide them" })
                        }
                    }
                }
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
