//! The commands, one file each.

pub(crate) mod card;
pub(crate) mod check;
pub(crate) mod lay;
mod lay_pattern;
pub(crate) mod make;
pub(crate) mod methods;
pub(crate) mod read;
pub(crate) mod step;
