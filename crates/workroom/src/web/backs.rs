//! What was done last to an order, to be taken back, and what was taken back, to be put again: the same on
//! every page that offers it.

use axum::http::StatusCode;
use book::{Book, Entry, OrderNo};
use maud::{Markup, html};

use super::parts::number::told;
use super::rights;
use super::trouble::Trouble;
use super::visit;

/// Which of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// Taken back.
    Back,
    /// Put again.
    Again,
}

impl Way {
    /// The one that a button's word means.
    pub(crate) fn of(word: &str) -> Option<Self> {
        match word {
            "back" => Some(Self::Back),
            "again" => Some(Self::Again),
            _ => None,
        }
    }

    /// The button's word, which is the name of the line's place in the form too.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Back => "back",
            Self::Again => "again",
        }
    }

    fn next(self, book: &Book, order: OrderNo) -> Result<Option<Entry>, Trouble> {
        Ok(match self {
            Self::Back => book.next_back(order)?,
            Self::Again => book.next_again(order)?,
        })
    }
}

/// Whether whoever asks may turn this line: a phone those alone that it could have made itself.
fn may(line: &Entry) -> bool {
    !visit::now().phone
        || line
            .changes
            .iter()
            .all(|change| rights::phone_may_hold(&change.key))
}

/// The lines of an order's journal that can be turned from here.
#[derive(Clone, Debug, Default)]
pub(crate) struct Backs {
    pub(crate) back: Option<Entry>,
    pub(crate) again: Option<Entry>,
}

impl Backs {
    /// Those of an order.
    ///
    /// # Errors
    /// When there is no such order, or the book can't be read.
    pub(crate) fn of(book: &Book, order: OrderNo) -> Result<Self, Trouble> {
        Ok(Self {
            back: Way::Back.next(book, order)?.filter(may),
            again: Way::Again.next(book, order)?.filter(may),
        })
    }

    /// Whether there is none.
    pub(crate) fn is_empty(&self) -> bool {
        self.back.is_none() && self.again.is_none()
    }

    /// Which lines the buttons of a form name, to be sent with it; they stand before the buttons.
    pub(crate) fn places(&self) -> Markup {
        html! {
            @for (way, line) in [(Way::Back, &self.back), (Way::Again, &self.again)] {
                @if let Some(line) = line { input type="hidden" name=(way.word()) value=(line.at); }
            }
        }
    }

    /// The two buttons, as they stand on the draft table.
    pub(crate) fn buttons(&self) -> Markup {
        html! {
            @if let Some(line) = &self.back { button.press.quiet name="do" value="back" { "Take back: " (told(&line.label)) } }
            @if let Some(line) = &self.again { button.press.quiet name="do" value="again" { "Put again: " (told(&line.label)) } }
        }
    }
}

/// Turns the line that a page's button named, or without a place the next one; whether there was one.
/// `here` is where the page sends its form.
///
/// # Errors
/// That another line would be turned by now; that a phone may not; that the order is closed.
pub(crate) fn turn(
    book: &mut Book,
    order: OrderNo,
    way: Way,
    at: Option<u64>,
    here: &str,
) -> Result<bool, Trouble> {
    let next = way.next(book, order)?;
    let meant = next.filter(|line| at.is_none_or(|at| at == line.at));
    if meant.is_some_and(|line| !may(&line)) {
        return Err(Trouble::refused(
            "This was done at the computer, and is taken back or put again there.",
        )
        .back(here, "Back to the order"));
    }
    let turned = match (way, at) {
        (Way::Back, Some(at)) => book.take_back_at(order, at),
        (Way::Back, None) => book.take_back(order),
        (Way::Again, Some(at)) => book.put_again_at(order, at),
        (Way::Again, None) => book.put_again(order),
    };
    match turned {
        Err(book::Trouble::Moved { .. }) => Err(moved(&Backs::of(book, order)?, way, here)),
        other => Ok(other?.is_some()),
    }
}

/// Something else was done since the page was made: nothing is turned, and what could be now is offered.
fn moved(now: &Backs, way: Way, here: &str) -> Trouble {
    let says = match way {
        Way::Back => {
            "So nothing was taken back: it would have been something else than the button said."
        }
        Way::Again => {
            "So nothing was put again: it would have been something else than the button said."
        }
    };
    Trouble::new(
        StatusCode::CONFLICT,
        "Something else was done to this order meanwhile.",
        says,
    )
    .back(here, "Look at it as it is now")
    .with(html! {
        @if !now.is_empty() { form.presses method="post" action=(here) { (now.places()) (now.buttons()) } }
    })
}

#[cfg(test)]
mod tests;
