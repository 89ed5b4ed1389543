//! Questions under which things are there, and what can be answered without a card.

use crate::said;
use crate::state::Walker;
use crate::tree::{Expr, ExprKind};

/// The opposite of a question, as it is kept.
pub(crate) fn negated(part: &str) -> String {
    match part.strip_prefix("not ") {
        Some(rest) => rest.to_owned(),
        None => format!("not {part}"),
    }
}

/// Whether two sets of questions can't both be answered yes because one holds what the other denies.
pub(crate) fn other_side(a: &[String], b: &[String]) -> bool {
    a.iter()
        .any(|x| b.contains(&negated(x)) || b.iter().any(|y| negated(y) == *x))
        || b.iter().any(|y| denies(y, a))
        || a.iter().any(|x| denies(x, b))
}

/// `not (p and q)` denies a set that holds both.
pub(crate) fn denies(not: &str, set: &[String]) -> bool {
    not.strip_prefix("not (")
        .and_then(|r| r.strip_suffix(')'))
        .is_some_and(|all| all.split(" and ").all(|p| set.iter().any(|s| s == p)))
}

/// The questions that hold either way.
pub(crate) fn common(a: &[String], b: &[String]) -> Vec<String> {
    a.iter().filter(|x| b.contains(x)).cloned().collect()
}

/// Whether a question is answered without a card.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Truth {
    Yes,
    No,
    Open(Vec<String>),
}

impl Walker<'_> {
    /// Whether the answer is known without a card: `here is back` on a sheet is.
    pub(crate) fn static_truth(&mut self, ask: &Expr) -> Truth {
        match &ask.kind {
            ExprKind::Bracket(inner) => self.static_truth(inner),
            ExprKind::Is(left, word) => {
                if let ExprKind::Named(r) = &left.kind
                    && r.parts.len() == 1
                    && &*r.parts[0].name == "here"
                    && let Some(key) = &self.scopes[self.scope].key
                {
                    return if key.name == word.name {
                        Truth::Yes
                    } else {
                        Truth::No
                    };
                }
                Truth::Open(vec![said::expr(ask)])
            }
            ExprKind::And(a, b) => match (self.static_truth(a), self.static_truth(b)) {
                (Truth::No, _) | (_, Truth::No) => Truth::No,
                (Truth::Yes, other) | (other, Truth::Yes) => other,
                (Truth::Open(mut x), Truth::Open(y)) => {
                    x.extend(y);
                    Truth::Open(x)
                }
            },
            ExprKind::Or(a, b) => match (self.static_truth(a), self.static_truth(b)) {
                (Truth::Yes, _) | (_, Truth::Yes) => Truth::Yes,
                (Truth::No, other) | (other, Truth::No) => other,
                _ => Truth::Open(vec![said::expr(ask)]),
            },
            ExprKind::Not(inner) => match self.static_truth(inner) {
                Truth::Yes => Truth::No,
                Truth::No => Truth::Yes,
                Truth::Open(parts) => Truth::Open(if parts.len() == 1 {
                    vec![negated(&parts[0])]
                } else {
                    vec![format!("not ({})", parts.join(" and "))]
                }),
            },
            _ => Truth::Open(vec![said::expr(ask)]),
        }
    }
}
