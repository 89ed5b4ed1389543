//! What the benches measure against: the two-pattern mermaid worked straight in Rust.

pub mod by_hand;
