//! The arithmetic of an alteration: from what was pinned to how far each edge moves.
//!
//! "In all" x at a seam is x/2 from each of its two edges; a depth counted from the new pin line to the
//! old seam line is what each edge moves by, and the girth changes by twice that at the seam (common
//! practice, no source).

use measure::Length;

/// The most, in inches, that is pinned or by which an edge is moved at one place: what is more is another
/// garment (common practice, no source).
pub const DEEPEST: f64 = 10.0;

/// How a pinned amount was counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Each side: from the old seam line to the pins. Each of the two edges moves by it.
    Each,
    /// In all: what the seam takes from the girth. Half of it goes to each edge.
    InAll,
}

/// How far each of the two edges of a seam moves for a pinned amount: positive is let out, as the
/// amount is. Front and back share it equally; any other split would shift the seam.
pub fn each_edge(amount: Length, counted: Counted) -> Length {
    match counted {
        Counted::Each => amount,
        Counted::InAll => amount * 0.5,
    }
}

/// What was pinned at one seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pinned {
    /// How much.
    pub amount: Length,
    /// How it was counted.
    pub counted: Counted,
    /// How many such seams she wears: 2 where it was pinned left and right, 1 for a centre seam or
    /// one side only.
    pub seams: u32,
}

/// How much the garment grows (or shrinks) all round: over all seams what each takes or gives, left
/// and right.
pub fn girth_change(pinned: &[Pinned]) -> Length {
    pinned
        .iter()
        .map(|p| each_edge(p.amount, p.counted) * (2.0 * f64::from(p.seams)))
        .sum()
}

/// The other way round: how far each edge moves so that the girth changes by so much, shared equally by
/// this many seams with two edges each. Nothing for no seams.
pub fn each_edge_of_girth(change: Length, seams: u32) -> Option<Length> {
    (seams > 0).then(|| change * (0.5 / f64::from(seams)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(x: f64) -> Length {
        Length::inches(x)
    }

    /// records.md, "Alteration arithmetic": in all x at a seam is x/2 from each edge. Would catch a
    /// doubled or halved alteration, the commonest slip at the table.
    #[test]
    fn in_all_is_half_from_each_edge() {
        assert_eq!(each_edge(inch(-1.0), Counted::InAll), inch(-0.5));
        assert_eq!(each_edge(inch(-0.5), Counted::Each), inch(-0.5));
    }

    /// "Back into the pattern": each of the two piece edges moves by y, and the girth changes by 2y at
    /// that seam. "Alteration arithmetic": the sum over the seams, x for each of left and right.
    #[test]
    fn the_girth_changes_by_the_sum_over_the_seams() {
        let one = |amount: f64, counted, seams| Pinned {
            amount: inch(amount),
            counted,
            seams,
        };
        let near = |a: Length, b: f64| (a.in_inches() - b).abs() < 1e-12;
        // 3/8 in each side, at one seam: 3/4 in.
        assert!(near(girth_change(&[one(-0.375, Counted::Each, 1)]), -0.75));
        // 1 in in all at the left and at the right side seam: 2 in.
        assert!(near(girth_change(&[one(-1.0, Counted::InAll, 2)]), -2.0));
        // The same pins counted the other way are the same girth.
        assert!(near(girth_change(&[one(-0.5, Counted::Each, 2)]), -2.0));
        // Sides taken in, centre back let out.
        let all = [one(-1.0, Counted::InAll, 2), one(0.25, Counted::Each, 1)];
        assert!(near(girth_change(&all), -1.5));
        assert!(near(girth_change(&[]), 0.0));
    }

    /// Would catch a girth that is shared out wrongly among the edges.
    #[test]
    fn a_girth_is_shared_among_all_edges() {
        let each = each_edge_of_girth(inch(-2.0), 2).unwrap();
        assert_eq!(each, inch(-0.5));
        let back = Pinned {
            amount: each,
            counted: Counted::Each,
            seams: 2,
        };
        assert_eq!(girth_change(&[back]), inch(-2.0));
        assert_eq!(each_edge_of_girth(inch(1.0), 0), None);
    }
}
