//! An order that has no card yet: which of hers is it worked from?

use book::{Book, CardNo, Change, OrderNo};
use maud::{Markup, html};

use super::At;
use crate::web::clients::{Sent, sent, spoken};
use crate::web::layout::{Frame, Here, OrderHead, Stage, page as framed};
use crate::web::trouble::Trouble;

pub(super) fn page(book: &Book, at: &At) -> Result<Markup, Trouble> {
    let At::Order(number) = at else {
        return Err(Trouble::missing("card"));
    };
    let order = book.order(*number)?;
    let client = book.client_by_id(order.client)?;
    let cards = book.cards(client.number)?;
    let frame = Frame {
        title: format!("Card of order {number}"),
        here: Here::Elsewhere,
        demo: order.demo,
        order: Some(OrderHead {
            number: *number,
            stage: Stage::Card,
        }),
        ..Frame::default()
    };
    Ok(framed(
        &frame,
        html! {
            form.stack.full.narrow method="post" action={ "/orders/" (number) "/card" } {
                h1 { "From which card is it worked?" }
                @if cards.is_empty() {
                    p.lead { (client.about.name) " has not been measured yet." }
                } @else {
                    fieldset.choose {
                        legend { (client.about.name) }
                        @for (i, card) in cards.iter().enumerate() {
                            label { input type="radio" name="card" value=(card.number) checked[i == 0]; span { "Card " (card.number) ", " (spoken(card.head.taken)) } }
                        }
                    }
                    p.presses { button.press.main name="do" value="choose" { "Work from this card" } }
                }
                p { a href={ "/clients/" (client.number) "/cards/new" } { "Begin a new card" } }
            }
        },
    ))
}

pub(super) fn choose(
    book: &mut Book,
    number: OrderNo,
    form: &Sent,
    by: &str,
) -> Result<(), Trouble> {
    let order = book.order(number)?;
    let client = book.client_by_id(order.client)?;
    let card = CardNo::read(sent(form, "card")).ok_or_else(|| Trouble::missing("card"))?;
    let card = book.card(client.number, card)?;
    let change = Change {
        key: "card".to_owned(),
        after: Some(card.id.to_string()),
    };
    book.change(
        number,
        None,
        &format!("card {}", card.number),
        by,
        &[change],
    )?;
    Ok(())
}
