//! The finders: each goes over what was seen and tells what breaks its rules.

use crate::finding::Finding;
use crate::seen::Seen;

/// One finder.
pub(crate) type Finder = fn(&Seen<'_>) -> Vec<Finding>;

/// All of them, in the order in which a drafter looks: levels and grain, girth, darts, waist, seams,
/// hem.
pub(crate) const FINDERS: &[Finder] = &[
    crate::grain::find,
    crate::hip::find,
    crate::hip::find_high,
    crate::thigh::find,
    crate::sitting::find,
    crate::walking::find,
    crate::hip::find_pads,
    crate::opening::find,
    crate::darts::find,
    crate::waist::find,
    crate::corners::find,
    crate::seams::find,
    crate::notches::find,
    crate::rounds::find,
    crate::pairs::find,
    crate::allowances::find,
    crate::blend::find,
    crate::flare::find,
    crate::train::find,
    crate::length::find,
    crate::cloth::find,
    crate::weight::find,
    crate::refit::find,
];
