//! The method language: text, tree, worked draft, pieces.
//!
//! Invariants: reading never fails and never panics, it returns what was understood and notes that
//! have a place, a message and a hint; no garment is known here; the same card, method and choices
//! give the same draft on every machine; all work is bounded by counts, never by a clock.
#![warn(clippy::disallowed_methods)]

pub mod note;
mod phrase;
pub mod reader;
mod tidy;
pub mod tree;
pub mod vocabulary;
pub mod words;
mod work;
pub mod worked;

pub use note::{Note, Span};
pub use reader::{Reading, read};
pub use tidy::tidy;
pub use work::{Library, Wish, check, work};
pub use worked::Worked;
