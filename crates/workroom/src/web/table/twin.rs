//! The drawing as a table: each edge from where to where, how long, and what it is sewn to.

use draft::Worked;
use maud::{Markup, html};
use measure::Point;
use measure::fraction::{Shown, show_number};

use super::super::drawing;
use super::super::parts::number::{n, told};

/// The table of the edges of all pieces.
pub(crate) fn twin(worked: &Worked, shown: Shown) -> Markup {
    let sign = shown.unit.sign();
    html! {
        details.twin {
            summary { "The same drawing as a table" }
            div.wide role="group" tabindex="0" aria-label="Edges and lengths" {
                table {
                    caption.vh { "Edges and lengths, in " (sign) "; across and down from where the piece’s draft begins" }
                    thead { tr {
                        th scope="col" { "Edge" } th scope="col" { "From" } th scope="col" { "To" }
                        th.r scope="col" { "Length, " (sign) } th scope="col" { "Sewn to" }
                    } }
                    tbody {
                        @for piece in &worked.pieces {
                            @for edge in &piece.edges {
                                tr {
                                    th scope="row" { (check::told::capital(&piece.name)) ", " (edge.name) }
                                    td { (place(edge.curve.start(), shown)) }
                                    td { (place(edge.curve.end(), shown)) }
                                    td.r { (n(&show_number(piece.sewn_length(&edge.name).unwrap_or(edge.curve.length()), shown))) }
                                    td {
                                        @if let Some((name, length)) = drawing::partner(worked, &piece.name, &edge.name) {
                                            (name) ", " (n(&show_number(length, shown)))
                                        } @else if edge.role == piece::Role::Fold { "on the fold" }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn place(p: Point, shown: Shown) -> Markup {
    let one = |mm: f64| {
        measure::Length::try_mm(mm.abs()).map_or_else(String::new, |l| show_number(l, shown))
    };
    let across = if p.x < -0.5 { "left" } else { "across" };
    let down = if p.y < -0.5 { "up" } else { "down" };
    told(&format!("{} {across}, {} {down}", one(p.x), one(p.y)))
}
