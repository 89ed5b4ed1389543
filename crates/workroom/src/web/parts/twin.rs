//! The same drawing as a table: its text for those who can't see it, and half of the hand sheet.

use maud::{Markup, html};

/// A closed table under a drawing. The first cell of a row names it; columns marked `true` are numbers.
pub(crate) fn twin(
    summary: &str,
    label: &str,
    head: &[(&str, bool)],
    rows: &[Vec<Markup>],
) -> Markup {
    html! {
        details.twin {
            summary { (summary) }
            (table(label, head, rows))
        }
    }
}

/// A table that scrolls by itself when the page is narrow.
pub(crate) fn table(label: &str, head: &[(&str, bool)], rows: &[Vec<Markup>]) -> Markup {
    let number = |at: usize| {
        head.get(at)
            .is_some_and(|(_, number)| *number)
            .then_some("r")
    };
    html! {
        div.wide role="group" tabindex="0" aria-label=(label) {
            table {
                thead { tr { @for (at, (word, _)) in head.iter().enumerate() { th scope="col" class=[number(at)] { (word) } } } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (at, cell) in row.iter().enumerate() {
                                @if at == 0 { th scope="row" { (cell) } } @else { td class=[number(at)] { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
