//! One edge of a piece.

use measure::{Curve, Length, Motion};

use crate::allowance::Allowance;

/// What an edge is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Sewn to another edge.
    Seam,
    /// Turned up, faced or bound at the foot.
    Hem,
    /// Laid on the fold of the cloth: no allowance.
    Fold,
    /// Left open.
    Opening,
}

/// How the allowance ends at a corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Corner {
    /// The two cutting lines are carried on until they meet; a spike longer than twice the allowance
    /// is bevelled.
    #[default]
    Extended,
    /// The end is the neighbour's cutting line turned over this seam, so that it lies under the
    /// neighbour when the seam is pressed.
    Reflected,
    /// The end is square to this seam where the neighbour's cutting line crosses it.
    Squared,
    /// The end is square to this seam at the corner itself.
    Stepped,
    /// The corner is cut off.
    Bevelled,
    /// Folded along the bisector of the corner.
    Mitred,
}

/// A mark that must meet its partner on the other edge of the seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notch {
    /// How far along the edge.
    pub at: Length,
    /// One, two or three snips.
    pub snips: u8,
}

/// One named edge: a stitching line in the direction of the ring.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Its name, unique on the piece.
    pub name: String,
    /// The stitching line.
    pub curve: Curve,
    /// What it is for.
    pub role: Role,
    /// The turning outside it.
    pub allowance: Allowance,
    /// Notches in order along it.
    pub notches: Vec<Notch>,
    /// How the allowance ends where the edge begins.
    pub start_corner: Corner,
    /// How the allowance ends where the edge ends.
    pub end_corner: Corner,
    /// Stretches left open for a zip, from and to along it.
    pub open: Vec<(Length, Length)>,
}

impl Edge {
    /// A seam without allowance or notches.
    pub fn plain(name: impl Into<String>, curve: Curve) -> Self {
        Self {
            name: name.into(),
            curve,
            role: Role::Seam,
            allowance: Allowance::NONE,
            notches: Vec::new(),
            start_corner: Corner::Extended,
            end_corner: Corner::Extended,
            open: Vec::new(),
        }
    }

    /// The same edge walked the other way, with all that lies on it.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let length = self.curve.length();
        let mut notches: Vec<Notch> = self
            .notches
            .iter()
            .map(|n| Notch {
                at: length - n.at,
                ..*n
            })
            .collect();
        notches.reverse();
        Self {
            name: self.name.clone(),
            curve: self.curve.reversed(),
            role: self.role,
            allowance: self.allowance.reversed(length),
            notches,
            start_corner: self.end_corner,
            end_corner: self.start_corner,
            open: self
                .open
                .iter()
                .rev()
                .map(|(a, b)| (length - *b, length - *a))
                .collect(),
        }
    }

    /// The same edge elsewhere on the paper (a motion that turns over also walks it the other way).
    #[must_use]
    pub fn moved(&self, by: &Motion) -> Self {
        let moved = Self {
            curve: self.curve.moved(by),
            ..self.clone()
        };
        if by.turns_over() {
            moved.reversed()
        } else {
            moved
        }
    }
}
