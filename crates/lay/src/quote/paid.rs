//! What was paid of a quote, and what is still to come.

use super::Quote;
use crate::money::Money;

/// One part of the payment, and how it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Due {
    /// How large it is.
    pub part: Money,
    /// What of it was received.
    pub received: Money,
}

impl Due {
    /// Nothing of it is missing.
    pub fn is_paid(&self) -> bool {
        self.received.minor() >= self.part.minor()
    }
}

/// How the whole stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// All that was received, less what was paid back.
    pub received: Money,
    /// What is still to be paid; below nothing when too much was.
    pub balance: Money,
    /// The parts in their order: what was received pays the first first.
    pub parts: Vec<Due>,
}

/// How payments stand to the total. `None` when one is of another currency, or they are too large to be
/// added.
pub fn standing(quote: &Quote, payments: &[Money]) -> Option<Standing> {
    let currency = quote.total.currency();
    let mut received = 0_i64;
    for payment in payments {
        if payment.currency() != currency {
            return None;
        }
        received = received.checked_add(payment.minor())?;
    }
    let mut left = received.max(0);
    let mut parts = Vec::with_capacity(quote.parts.len());
    for part in &quote.parts {
        let paid = left.min(part.minor());
        left -= paid;
        parts.push(Due {
            part: *part,
            received: Money::new(paid, currency)?,
        });
    }
    Some(Standing {
        received: Money::new(received, currency)?,
        balance: Money::new(quote.total.minor().checked_sub(received)?, currency)?,
        parts,
    })
}
