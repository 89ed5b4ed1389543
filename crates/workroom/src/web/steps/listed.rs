//! All steps on a sheet to print: to teach from without a screen, or to hand out with blanks.

use check::told::capital;
use maud::{Markup, html};

use super::blank::sentence;
use super::lessons::Lesson;
use super::{Asked, StepsView};
use crate::web::drawing::sofar::{called, sheet_of, whole};
use crate::web::parts::number::told;

/// The page. `client` is left off where the numbers are hidden.
pub(super) fn list(
    view: &StepsView<'_>,
    all: &[Lesson<'_>],
    client: Option<&str>,
    in_the_way: &[String],
) -> Markup {
    let mut stages: Vec<(&str, Vec<&Lesson<'_>>)> = Vec::new();
    for lesson in all {
        match stages.last_mut() {
            Some((stage, lessons)) if *stage == lesson.step.stage => lessons.push(lesson),
            _ => stages.push((&lesson.step.stage, vec![lesson])),
        }
    }
    let toggle = Asked::query(!view.hidden, false);
    html! {
        article.lessons {
            header {
                h1 { (view.worked.title) ", step by step" }
                p.small {
                    @match client {
                        Some(client) => { "Drafted for " (client) ", order " (view.order) },
                        None => { "Name " span.blank.wide { span.vh { "blank" } } },
                    }
                }
                p.lookways.noprint {
                    a href={ (view.base()) "/steps" (toggle) } { (if view.hidden { "Show the numbers" } else { "Hide the numbers" }) }
                    @if let Some(first) = all.first() { a href=(view.address(first.number)) { "One step at a time" } }
                    a href=(view.base()) { "Back to the whole draft" }
                }
                p.help.noprint { "Print it from your browser: each part begins with its sheet as it is in the end." }
                @for fault in in_the_way { p.fault { (fault) } }
            }
            @for (i, (stage, lessons)) in stages.iter().enumerate() {
                section aria-labelledby={ "part-" (i) } {
                    h2 id={ "part-" (i) } { (capital(&called(stage))) }
                    @if let Some(sheet) = lessons.first().and_then(|l| sheet_of(view.worked, l.step)) {
                        @let id = format!("whole-{i}");
                        @if let Some(drawing) = whole(view.worked, sheet, &view.how(0, &id)) { figure.keep { (drawing) } }
                    }
                    ol.lesson-list {
                        @for lesson in lessons {
                            li.keep value=(lesson.number) {
                                @for value in &lesson.reckoned { p.sum { (sentence(&value.sentence, value, view.hidden)) } }
                                p { a href=(view.address(lesson.number)) aria-label={ "Step " (lesson.number) } { b { (lesson.number) } } " " (sentence(&lesson.step.sentence, lesson.step, view.hidden)) }
                                @for value in &lesson.reckoned { @if let Some(why) = &value.why { p.why { (told(why)) } } }
                                @if let Some(why) = &lesson.step.why { p.why { (told(why)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
