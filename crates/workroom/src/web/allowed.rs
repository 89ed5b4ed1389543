//! Which allowances an order is worked with: the method's, or her own table; in the cloth, or a toile.

use std::collections::BTreeMap;

use draft::allowances::{Stage, Table};
use measure::fraction::Unit;

use crate::allowances::{self, Typed};

/// The setting that keeps her table, as a page of allowances.
pub(crate) const SETTING: &str = "allowances";
/// What an order holds when it is to be as its method says.
pub(crate) const HOLD: &str = "allowances";
/// What a version holds: the table that it was made with.
const KEPT: &str = "allowances/page";

/// The allowances of an order.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Allowed {
    table: Table,
    page: String,
    /// The garment in its cloth, or a toile.
    pub(crate) stage: Stage,
    /// She left this order to its method.
    pub(crate) by_method: bool,
    /// A version that was made before there was a table.
    none: bool,
}

/// The page of her table; before she wrote in it the cloth is as methods say, and a toile has 1 in.
pub(crate) fn page(settings: &BTreeMap<String, String>) -> String {
    match settings.get(SETTING) {
        Some(page) if !page.is_empty() => page.clone(),
        _ => allowances::page_of(&allowances::usual(Unit::Inch), Unit::Inch),
    }
}

fn stage(holds: &BTreeMap<String, String>) -> Stage {
    if holds.get("stage").is_some_and(|s| s == "toile") {
        Stage::Toile
    } else {
        Stage::Cloth
    }
}

impl Allowed {
    /// Of an order that is open: by her table as it is now, if the order does not leave it aside.
    pub(crate) fn of_order(
        holds: &BTreeMap<String, String>,
        settings: &BTreeMap<String, String>,
    ) -> Self {
        let by_method = holds.get(HOLD).is_some_and(|h| h == "method");
        let page = if by_method {
            // A toile is cut without facings whoever says its allowances.
            allowances::page_of(&Typed::default(), Unit::Inch)
        } else {
            page(settings)
        };
        Self {
            table: allowances::read(&page).unwrap_or_default(),
            page,
            stage: stage(holds),
            by_method,
            none: false,
        }
    }

    /// Of a version: by the table that it was made with.
    pub(crate) fn of_version(holds: &BTreeMap<String, String>) -> Self {
        let page = holds.get(KEPT).cloned();
        Self {
            none: page.is_none(),
            table: page
                .as_deref()
                .and_then(|p| allowances::read(p).ok())
                .unwrap_or_default(),
            page: page.unwrap_or_default(),
            stage: stage(holds),
            by_method: holds.get(HOLD).is_some_and(|h| h == "method"),
        }
    }

    /// What is laid on a draft, if anything is.
    pub(crate) fn laid(&self) -> Option<(&Table, Stage)> {
        let nothing = self.none || (self.stage == Stage::Cloth && self.table.is_empty(self.stage));
        (!nothing).then_some((&self.table, self.stage))
    }

    /// What a version keeps of it.
    pub(crate) fn kept(&self) -> Option<(String, String)> {
        self.laid()
            .is_some()
            .then(|| (KEPT.to_owned(), self.page.clone()))
    }

    /// The same for what is cut from the cloth in the end.
    #[must_use]
    pub(crate) fn in_the_cloth(&self) -> Self {
        Self {
            stage: Stage::Cloth,
            ..self.clone()
        }
    }

    /// The same for its toile.
    #[must_use]
    pub(crate) fn in_a_toile(&self) -> Self {
        Self {
            stage: Stage::Toile,
            ..self.clone()
        }
    }

    /// Whether it is a toile as yet.
    pub(crate) fn toile(&self) -> bool {
        self.stage == Stage::Toile
    }

    /// By which allowances it is worked, in a few words.
    pub(crate) fn words(&self) -> &'static str {
        match (self.laid().is_some(), self.by_method) {
            (_, true) => "As the method says",
            (false, false) => "As the method says: your table is empty",
            (true, false) => "By your table",
        }
    }
}

#[cfg(test)]
mod tests;
