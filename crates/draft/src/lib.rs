//! The method language: text, tree, worked draft, pieces.
//!
//! Invariants: reading never fails and never panics, it returns what was understood and notes that
//! have a place, a message and a hint; no garment is known here; the same card, method and choices
//! give the same draft on every machine; all work is bounded by counts, never by a clock.
#![warn(clippy::disallowed_methods)]

pub mod allowances;
mod asked;
mod construct;
pub mod correction;
mod drawing;
mod finishing;
mod functions;
mod handed;
mod hints;
mod lines;
mod lookup;
mod made;
mod naming;
pub mod note;
mod phrase;
mod piecework;
pub mod pinned;
mod points;
mod question;
pub mod reader;
mod reckon;
mod refit;
mod said;
mod search;
mod seek;
mod shelf;
pub mod sided;
mod state;
mod taking;
mod tell;
mod tidy;
pub mod tree;
mod truing;
mod using;
pub mod vocabulary;
mod walk;
pub mod words;
mod work;
pub mod worked;

pub use correction::Correction;
pub use note::{Note, Span};
pub use reader::{Reading, read};
pub use tidy::tidy;
pub use work::{Library, Wish, check, redraw, work, work_checked};
pub use worked::Worked;
