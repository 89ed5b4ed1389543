//! The mark of a finding: how much it weighs, by its shape, and its number.

use maud::{Markup, html};

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Weight {
    Stop,
    Ask,
    Note,
}

impl Weight {
    /// Its class.
    pub(crate) fn class(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Ask => "ask",
            Self::Note => "note",
        }
    }
}

/// The mark of a finding, as it stands on a slip: eight sides for a stop, a ring to ask, dots for a note.
pub(crate) fn mark(weight: Weight, number: usize) -> Markup {
    html! {
        svg.slipmark.mark.(weight.class()) viewBox="0 0 28 28" aria-hidden="true" focusable="false" {
            (shape(weight, 14.0, 14.0, 12.6))
            text x="14" y="19" text-anchor="middle" { (number) }
        }
    }
}

/// The shape of a mark round a place of a drawing.
pub(crate) fn shape(weight: Weight, x: f64, y: f64, reach: f64) -> Markup {
    // The eight corners lie at odd sixteenths of a turn.
    let (far, near) = (reach * 0.924, reach * 0.383);
    let corner = |dx: f64, dy: f64| format!("{:.1},{:.1}", x + dx, y + dy);
    html! {
        @if weight == Weight::Stop {
            polygon points={
                (corner(far, near)) " " (corner(near, far)) " " (corner(-near, far)) " " (corner(-far, near)) " "
                (corner(-far, -near)) " " (corner(-near, -far)) " " (corner(near, -far)) " " (corner(far, -near))
            } {}
        } @else {
            circle cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r=(format!("{:.1}", reach * 0.91)) {}
        }
    }
}
