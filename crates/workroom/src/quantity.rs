//! Numbers with their kind, for people and for programs.

use draft::worked::Quantity;
use serde_json::Value;

use crate::json;

/// For a report: a length in millimetres, an angle in degrees, a share as a part of one, an area in
/// square millimetres, yes and no as such, a word as text.
pub(crate) fn value(quantity: &Quantity) -> Value {
    match quantity {
        Quantity::Length(length) => json::mm(*length),
        Quantity::Angle(angle) => json::number(angle.in_degrees()),
        Quantity::Number(n) | Quantity::Share(n) | Quantity::Area(n) => json::number(*n),
        Quantity::YesNo(yes) => Value::Bool(*yes),
        Quantity::Word(word) => Value::String(word.clone()),
    }
}

/// Exactly enough to tell one from another, for the version.
pub(crate) fn exact(quantity: &Quantity) -> String {
    match quantity {
        Quantity::Length(length) => format!("{:.6} mm", length.in_mm()),
        Quantity::Angle(angle) => format!("{:.9} deg", angle.in_degrees()),
        Quantity::Number(n) => format!("{n:.9}"),
        Quantity::Share(n) => format!("{n:.9} share"),
        Quantity::Area(n) => format!("{n:.6} mm2"),
        Quantity::YesNo(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Quantity::Word(word) => word.clone(),
    }
}
