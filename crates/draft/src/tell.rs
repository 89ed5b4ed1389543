//! Tells the steps of a worked draft as a teacher says them.

use crate::truing::Trued;
use crate::walk::Walker;
use crate::worked::{Step, TruingDone};

/// The steps of the draft, in order.
pub(crate) fn steps(_walker: &mut Walker<'_>, _truings: &[TruingDone]) -> Vec<Step> {
    Vec::new()
}

/// What truing did, as a sentence.
pub(crate) fn truing_sentence(
    walker: &mut Walker<'_>,
    one: &Trued<'_>,
    moved: &str,
    met: bool,
) -> String {
    let shown = |v: f64| walker.shown_mm(v);
    let (a, b) = one.before.unwrap_or_default();
    let out = (a - b).abs();
    if met {
        format!(
            "True the {}: it was out by {}. Change {moved} from {} to {}.",
            one.target.seam.shown(),
            shown(out),
            shown(one.from),
            shown(one.to)
        )
    } else {
        format!(
            "The {} could not be made true by moving {moved}: it is out by {}.",
            one.target.seam.shown(),
            shown(out)
        )
    }
}
