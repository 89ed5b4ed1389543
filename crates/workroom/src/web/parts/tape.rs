//! The linen tape that carries the finished numbers: five at most, the unit once, always in the same order.

use maud::{Markup, html};

use super::number::n;

/// One number of the tape.
#[derive(Clone, Debug)]
pub(crate) struct Span {
    /// What it is: "Hip".
    pub(crate) label: String,
    /// Its value without a unit: "40 1/2".
    pub(crate) value: String,
    /// A word under it, or nothing.
    pub(crate) word: String,
}

/// The tape.
pub(crate) fn tape(unit: &str, spans: &[Span]) -> Markup {
    html! {
        dl.tape {
            @for span in spans {
                div {
                    dt { (span.label) }
                    dd {
                        span.n { (n(&span.value)) span.u { (unit) } }
                        @if !span.word.is_empty() { em { (span.word) } }
                    }
                }
            }
        }
    }
}
