//! The commands, one file each.

pub(crate) mod card;
pub(crate) mod carried;
pub(crate) mod check;
pub(crate) mod lay;
mod lay_pattern;
pub(crate) mod lists;
pub(crate) mod make;
pub(crate) mod methods;
pub(crate) mod order;
pub(crate) mod read;
mod records;
pub(crate) mod shell;
pub(crate) mod step;
