//! A strip with four square corners: waistband, tie, belt.

use measure::{Curve, Length, Point};

use super::sane_length;
use crate::edge::Edge;
use crate::fault::Fault;
use crate::ring::Piece;

/// A rectangle from the upper left corner of the paper. Its edges are `top`, `far end`, `bottom` and
/// `near end`; the near end is at the left.
///
/// # Errors
/// When it has no width or no depth.
///
/// # Example
/// ```
/// use measure::Length;
/// let band = piece::works::rectangle("waistband", Length::inches(30.0), Length::inches(2.5))?;
/// assert_eq!(band.sewn_length("far end")?, Length::inches(2.5));
/// # Ok::<(), piece::Fault>(())
/// ```
pub fn rectangle(name: &str, across: Length, down: Length) -> Result<Piece, Fault> {
    let (w, h) = (sane_length(across)?.in_mm(), sane_length(down)?.in_mm());
    if w <= 1e-3 || h <= 1e-3 {
        return Err(Fault::Nothing(format!("`{name}`")));
    }
    let corners = [
        Point::new(0.0, 0.0),
        Point::new(w, 0.0),
        Point::new(w, h),
        Point::new(0.0, h),
    ];
    let mut edges = Vec::with_capacity(4);
    for (i, edge) in ["top", "far end", "bottom", "near end"]
        .into_iter()
        .enumerate()
    {
        let line = Curve::line(corners[i], corners[(i + 1) % 4])
            .map_err(|_| Fault::Nothing(format!("`{name}`")))?;
        edges.push(Edge::plain(edge, line));
    }
    Piece::from_edges(name, edges)
}
