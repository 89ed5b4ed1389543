//! What can keep a piece from being made, in words for the drafter.

use core::fmt;

/// Why a piece, or a work on it, could not be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The piece has no edge of this name.
    NoEdge(String),
    /// The piece has no dart of this name.
    NoDart(String),
    /// The edges do not follow each other: between these two there is a gap.
    Gap(String, String),
    /// The outline crosses itself, at these edges.
    CrossesItself(String, String),
    /// Something came out without length or width.
    Nothing(String),
    /// Anything else, as a whole sentence.
    Says(String),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoEdge(name) => write!(f, "There is no edge `{name}` on this piece."),
            Self::NoDart(name) => write!(f, "There is no dart `{name}` on this piece."),
            Self::Gap(a, b) => write!(f, "The edges `{a}` and `{b}` do not meet."),
            Self::CrossesItself(a, b) if a == b => write!(f, "The edge `{a}` crosses itself."),
            Self::CrossesItself(a, b) => write!(f, "The edges `{a}` and `{b}` cross each other."),
            Self::Nothing(what) => write!(f, "Nothing is left of {what}."),
            Self::Says(sentence) => f.write_str(sentence),
        }
    }
}

impl core::error::Error for Fault {}
