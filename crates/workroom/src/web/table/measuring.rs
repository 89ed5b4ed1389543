//! The tape: between two places that are pressed or named, and along an edge; said and drawn.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use draft::Worked;
use maud::{Markup, html};
use measure::fraction::Shown;

use super::super::drawing::place::Paper;
use super::super::drawing::{self, Trace};
use super::super::parts::number::told;
use super::super::room::Room;
use super::super::trouble::Trouble;
use super::bench::TableView;
use super::{load, points};

/// What is measured: places of the paper, in mm, or points and an edge by their keys.
#[derive(Clone, Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Ends {
    x1: Option<f64>,
    y1: Option<f64>,
    x2: Option<f64>,
    y2: Option<f64>,
    /// So much of the paper a finger covers.
    finger: Option<f64>,
    a: Option<String>,
    b: Option<String>,
    edge: Option<String>,
}

pub(super) async fn measure_between(
    State(room): State<Arc<Room>>,
    Path(order): Path<u32>,
    Query(ends): Query<Ends>,
) -> Result<Markup, Trouble> {
    let on = load(&room, order).await?;
    room.work(move || {
        let worked = on.redraw();
        let paper = Paper::main(&worked);
        let pressed = |x: Option<f64>, y: Option<f64>| {
            let place = measure::Point::new(x?, y?);
            place
                .is_finite()
                .then(|| points::meant(&paper, place, ends.finger))
        };
        let (says, trace) = match (pressed(ends.x1, ends.y1), pressed(ends.x2, ends.y2)) {
            (Some(a), Some(b)) => two_places(&paper, on.shown, &a, &b),
            (Some(a), None) => {
                let ends = vec![a.on_paper];
                (
                    points::first(&a),
                    Trace {
                        ends,
                        ..Trace::default()
                    },
                )
            }
            _ => named(&paper, &worked, on.shown, (&ends.a, &ends.b, &ends.edge)).unwrap_or_else(
                || {
                    (
                        "Press two places on the paper.".to_owned(),
                        Trace::default(),
                    )
                },
            ),
        };
        html! {
            output #measured role="status" { (told(&says)) }
            svg hidden { (drawing::traced(&paper, &trace)) }
        }
    })
    .await
}

/// How far two places are apart, said and drawn.
fn two_places(
    paper: &Paper<'_>,
    shown: Shown,
    a: &points::Named,
    b: &points::Named,
) -> (String, Trace) {
    let (words, says) = points::between(paper, a, b, shown);
    let trace = Trace {
        ends: vec![a.on_paper, b.on_paper],
        edge: None,
        says,
        other: None,
    };
    (words, trace)
}

/// What is measured by names: two points, or an edge, or both.
fn named(
    paper: &Paper<'_>,
    worked: &Worked,
    shown: Shown,
    (a, b, edge): (&Option<String>, &Option<String>, &Option<String>),
) -> Option<(String, Trace)> {
    let all = points::points(paper);
    let find = |key: &Option<String>| {
        let key = key.as_deref()?;
        all.iter().find(|p| p.key == key)
    };
    let between = find(a)
        .zip(find(b))
        .map(|(a, b)| two_places(paper, shown, a, b));
    let edge = edge.as_deref().and_then(|key| {
        let (_, said) = points::edges(worked, shown)
            .into_iter()
            .find(|(k, _)| k == key)?;
        Some((said, points::edge_of(key)))
    });
    match (between, edge) {
        (Some(between), None) => Some(between),
        (Some((words, mut trace)), Some((said, edge))) => {
            trace.edge = edge;
            Some((format!("{words} {said}."), trace))
        }
        (None, Some((said, edge))) => {
            let trace = Trace {
                edge,
                ..Trace::default()
            };
            Some((format!("{said}."), trace))
        }
        (None, None) => None,
    }
}

/// What the address asks to be measured, said and drawn.
pub(super) fn measured_now(view: &TableView<'_>, paper: &Paper<'_>) -> Option<(String, Trace)> {
    let asked = view.asked;
    if asked.edge.is_none() && (asked.a.is_none() || asked.b.is_none()) {
        return None;
    }
    named(
        paper,
        view.worked,
        view.shown,
        (&asked.a, &asked.b, &asked.edge),
    )
}

/// Measuring by names: between two points, or along an edge. It stands under the paper when it is asked
/// for, with scripts off too; `on` once something is measured.
pub(super) fn measure(view: &TableView<'_>, paper: &Paper<'_>, on: bool) -> Markup {
    let all = points::points(paper);
    let edges = points::edges(view.worked, view.shown);
    let asked = view.asked;
    let pick = |id: &str, label: &str, chosen: &Option<String>| {
        html! {
            label for=(id) { (label)
                select.box id=(id) name=(id) form="measuring" {
                    option value="" { "choose a point" }
                    @for p in &all { option value=(p.key) selected[chosen.as_deref() == Some(p.key.as_str())] { (p.name) } }
                }
            }
        }
    };
    html! {
        div.panel.measure #measure .on[on] role="group" aria-label="Measure" {
            (pick("a", "From", &asked.a))
            (pick("b", "To", &asked.b))
            label for="edge" { "Along"
                select.box #edge name="edge" form="measuring" {
                    option value="" { "choose an edge" }
                    @for (key, said) in &edges { option value=(key) selected[asked.edge.as_deref() == Some(key.as_str())] { (said) } }
                }
            }
            p.presses {
                button.press form="measuring" { "Measure" }
                a.press.quiet href={ (asked.address(view.order, "", "")) "#paper" } data-shut { "Done" }
            }
        }
    }
}
