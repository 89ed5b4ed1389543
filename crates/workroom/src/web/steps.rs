//! Step by step: the draft as it is taught, one sentence and what is drawn so far.

mod blank;
mod lessons;
mod listed;
mod twin;

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::routing::get;
use book::OrderNo;
use check::told::capital;
use draft::Worked;
use maud::{Markup, html};
use measure::fraction::Shown;

use super::drawing::sofar::{How, called, sofar};
use super::layout::{Frame, OrderHead, Stage, page};
use super::parts::number::told;
use super::room::Room;
use super::trouble::Trouble;
use super::working::OnTable;
use lessons::{Lesson, lessons};

/// Keys of this page.
pub(crate) const KEYS: &[(&str, &str)] = &[
    ("Left, Right", "the step before, the next step"),
    (
        "H",
        "hide the numbers, show them (while the paper has the focus)",
    ),
    ("F", "full screen, and back (while the paper has the focus)"),
];

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/draft/steps", get(list))
        .route("/orders/{order}/draft/steps/{step}", get(step))
}

/// How she looks at the steps; it goes with her from step to step.
#[derive(Clone, Debug, Default, serde::Deserialize)]
pub(crate) struct Asked {
    /// `hidden`: a ruled blank for each number of the client's.
    numbers: Option<String>,
    /// `1`: nothing on the page but the step.
    wall: Option<String>,
}

impl Asked {
    fn hidden(&self) -> bool {
        self.numbers.as_deref() == Some("hidden")
    }

    fn wall(&self) -> bool {
        self.wall.as_deref() == Some("1")
    }

    /// The end of an address that keeps this way of looking.
    fn query(hidden: bool, wall: bool) -> &'static str {
        match (hidden, wall) {
            (false, false) => "",
            (true, false) => "?numbers=hidden",
            (false, true) => "?wall=1",
            (true, true) => "?numbers=hidden&wall=1",
        }
    }
}

/// What a page of steps shows.
struct StepsView<'a> {
    order: u32,
    worked: &'a Worked,
    shown: Shown,
    hidden: bool,
    wall: bool,
}

impl StepsView<'_> {
    fn base(&self) -> String {
        format!("/orders/{}/draft", self.order)
    }

    fn address(&self, step: u32) -> String {
        let query = Asked::query(self.hidden, self.wall);
        format!("{}/steps/{step}{query}", self.base())
    }

    fn how<'h>(&self, step: u32, id: &'h str) -> How<'h> {
        How {
            step,
            shown: self.shown,
            hidden: self.hidden,
            id,
        }
    }
}

async fn step(
    State(room): State<Arc<Room>>,
    Path((order, number)): Path<(u32, u32)>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let back = format!("/orders/{order}/draft");
    let table = room
        .book(move |book| OnTable::load(book, OrderNo(order)))
        .await?;
    room.work(move || {
        let worked = table.work();
        let view = StepsView {
            order,
            worked: &worked,
            shown: table.shown,
            hidden: asked.hidden(),
            wall: asked.wall(),
        };
        let all = lessons(&worked);
        let Some(at) = all.iter().position(|l| l.number == number) else {
            return Err(
                no_step(&table, &worked, &all, number).back(back, "Back to the whole draft")
            );
        };
        let frame = Frame {
            title: format!("Step {number}, {}", worked.title),
            order: Some(OrderHead {
                number: OrderNo(order),
                stage: Stage::Draft,
            }),
            wide: true,
            demo: table.client.demo,
            scripts: &["steps.js"],
            keys: KEYS,
            ..Frame::default()
        };
        Ok(page(&frame, one(&view, &all, at)))
    })
    .await?
}

/// Why there is no such step.
fn no_step(table: &OnTable, worked: &Worked, all: &[Lesson<'_>], number: u32) -> Trouble {
    let says = match all.last() {
        Some(last) => format!(
            "The draft has {} steps, from 1 to {}.",
            all.len(),
            last.number
        ),
        None => {
            let why = table.in_the_way(worked).join(" ");
            format!("Nothing can be drawn yet. {why}")
        }
    };
    Trouble::new(
        StatusCode::NOT_FOUND,
        format!("There is no step {number} here."),
        says,
    )
}

async fn list(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let table = room
        .book(move |book| OnTable::load(book, OrderNo(order)))
        .await?;
    room.work(move || {
        let worked = table.work();
        let view = StepsView {
            order,
            worked: &worked,
            shown: table.shown,
            hidden: asked.hidden(),
            wall: false,
        };
        let frame = Frame {
            title: format!("All steps, {}", worked.title),
            order: Some(OrderHead {
                number: OrderNo(order),
                stage: Stage::Draft,
            }),
            demo: table.client.demo,
            ..Frame::default()
        };
        let client = (!view.hidden).then(|| table.name());
        let in_the_way = table.in_the_way(&worked);
        page(
            &frame,
            listed::list(&view, &lessons(&worked), client, &in_the_way),
        )
    })
    .await
}

/// One step: paper left, the sentence right, the way through all steps below.
fn one(view: &StepsView<'_>, all: &[Lesson<'_>], at: usize) -> Markup {
    let lesson = &all[at];
    let step = lesson.step;
    let last = all.last().map_or(lesson.number, |l| l.number);
    let drawing = sofar(view.worked, &view.how(lesson.number, "sofar"));
    let size = match step.sentence.chars().count() {
        0..=110 => "say",
        111..=220 => "say longer",
        _ => "say longest",
    };
    let class = if view.wall {
        "sheet teach wall"
    } else {
        "sheet teach"
    };
    html! {
        div #steps data-hidden=[view.hidden.then_some("yes")] data-wall=[view.wall.then_some("yes")] {
            div class=(class) {
                div.paper tabindex="0" role="group" aria-label="The paper, step by step. Left and right arrows turn the steps, H hides the numbers." {
                    @match &drawing {
                        Some(svg) => (svg),
                        None => p.help { "Nothing is drawn in this step." },
                    }
                }
                div class=(size) {
                    p.which { (capital(&called(&step.stage))) ", step " (lesson.number) " of " (last) }
                    h1 #say tabindex="-1" { (blank::sentence(&step.sentence, step, view.hidden)) }
                    @if !lesson.reckoned.is_empty() {
                        div class=(if lesson.reckoned.len() > 1 { "sums several" } else { "sums" }) {
                            @for value in &lesson.reckoned {
                                p.sum { (blank::sentence(&value.sentence, value, view.hidden)) }
                                @if let Some(why) = &value.why { p.why { (told(why)) } }
                            }
                        }
                    }
                    @if let Some(why) = &step.why { p.why { (told(why)) } }
                    @if lesson.number == last { (after(view)) }
                    (ways(view, lesson.number))
                    (twin::sofar_table(view, step))
                }
            }
            (walk(view, all, at))
        }
    }
}

/// What comes after the last step.
fn after(view: &StepsView<'_>) -> Markup {
    let order = view.order;
    html! {
        p.after {
            "That was the last step: the draft is done. What comes next: "
            a href={ "/orders/" (order) "/cloth" } { "lay it on the cloth" }
            ", or "
            a href={ "/orders/" (order) "/paper" } { "print it on paper" }
            "."
        }
    }
}

/// Other ways to look: numbers hidden, full screen, all steps, the table.
fn ways(view: &StepsView<'_>, number: u32) -> Markup {
    let to = |hidden: bool, wall: bool| {
        format!(
            "{}/steps/{number}{}",
            view.base(),
            Asked::query(hidden, wall)
        )
    };
    html! {
        p.lookways.noprint {
            a #numbers href=(to(!view.hidden, view.wall)) { (if view.hidden { "Show the numbers" } else { "Hide the numbers" }) }
            a #wall href=(to(view.hidden, !view.wall)) { (if view.wall { "Back to the page" } else { "Full screen" }) }
            a href={ (view.base()) "/steps" (Asked::query(view.hidden, false)) } { "All steps, to print" }
            a href=(view.base()) { "Back to the whole draft" }
        }
    }
}

/// Back, the tape of steps, next.
fn walk(view: &StepsView<'_>, all: &[Lesson<'_>], at: usize) -> Markup {
    let before = at.checked_sub(1).and_then(|i| all.get(i));
    let next = all.get(at + 1);
    let class = |i: usize| {
        let begins = i > 0 && all[i].step.stage != all[i - 1].step.stage;
        let state = match i.cmp(&at) {
            std::cmp::Ordering::Less => "done",
            std::cmp::Ordering::Equal => "here",
            std::cmp::Ordering::Greater => "todo",
        };
        if begins {
            format!("{state} begins")
        } else {
            state.to_owned()
        }
    };
    html! {
        nav.walk aria-label="Steps" {
            @match before {
                Some(before) => a.press #back href=(view.address(before.number)) rel="prev" { "Back" },
                None => a.press #back href=(view.base()) { "Back" },
            }
            ol.marks aria-hidden="true" {
                @for (i, lesson) in all.iter().enumerate() {
                    li class=(class(i)) data-step=(view.address(lesson.number)) title={ "Step " (lesson.number) } {}
                }
            }
            @match next {
                Some(next) => a.press.main #next href=(view.address(next.number)) rel="next" { "Next step" },
                None => a.press.main #next href={ "/orders/" (view.order) "/paper" } { "To the paper" },
            }
        }
    }
}

#[cfg(test)]
mod tests;
