//! What is drawn so far as a table: for those who can't see it, and to check a drawing by.

use draft::worked::{Shape, Step};
use maud::{Markup, html};
use measure::Length;
use measure::fraction::show_number;

use super::StepsView;
use crate::web::drawing::sofar::{called, sheet_of};
use crate::web::parts::number::{n, unit_word};
use crate::web::parts::twin::twin;

/// The table; nothing where a step draws on no sheet.
pub(super) fn sofar_table(view: &StepsView<'_>, step: &Step) -> Markup {
    let Some(sheet) = sheet_of(view.worked, step) else {
        return Markup::default();
    };
    let last = step.number.unwrap_or_default();
    let length = |mm: f64| -> Markup {
        if view.hidden {
            return html! { span.blank { span.vh { "blank" } } };
        }
        let length = Length::try_mm(mm).unwrap_or(Length::ZERO);
        n(&show_number(length, view.shown).replace('-', "\u{2212}"))
    };
    let none = Markup::default;
    let rows: Vec<Vec<Markup>> = view
        .worked
        .drawn
        .iter()
        .filter(|d| d.sheet == sheet && d.step <= last)
        .map(|d| {
            let (kind, across, down, long) = match &d.shape {
                Shape::Level(y) => ("level", none(), length(*y), none()),
                Shape::Upright(x) => ("upright", length(*x), none(), none()),
                Shape::Point(p) => ("point", length(p.x), length(p.y), none()),
                Shape::Line { curve, edge, .. } => (
                    if *edge { "edge" } else { "line that helps" },
                    none(),
                    none(),
                    length(curve.length().in_mm()),
                ),
                Shape::Dart { mouth, tip, .. } => {
                    let middle = mouth.0.toward(mouth.1, 0.5);
                    (
                        "dart",
                        none(),
                        none(),
                        length(middle.distance(*tip).in_mm()),
                    )
                }
            };
            vec![
                html! { (called(&d.name)) },
                html! { (kind) },
                html! { (d.step) },
                across,
                down,
                long,
            ]
        })
        .collect();
    let unit = unit_word(view.shown.unit);
    twin(
        &format!("What is drawn so far, as a table, in {unit}"),
        "What is drawn so far",
        &[
            ("Name", false),
            ("What", false),
            ("Step", true),
            ("Across", true),
            ("Down", true),
            ("Long", true),
        ],
        &rows,
    )
}
