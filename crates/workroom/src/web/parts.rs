//! What pages are put together from: the same number, box and slip everywhere.

pub(crate) mod apart;
pub(crate) mod day;
pub(crate) mod field;
pub(crate) mod link;
pub(crate) mod number;
pub(crate) mod quoted;
pub(crate) mod said;
pub(crate) mod slip;
pub(crate) mod twin;
