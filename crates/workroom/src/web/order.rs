//! An order: what it is, its days, notes and pictures, and what was done to it.

mod begin;
pub(crate) mod both;
mod change;
pub(crate) mod days;
mod list;
mod party;
mod pictures;
mod remade;
mod sheet;
pub(crate) mod signed;
mod view;

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use book::{Book, Day, Entry, Of, OrderLine, OrderNo, PictureLine, VersionLine, Which};
use maud::Markup;
use measure::Date;

use super::backs::Backs;
use super::room::Room;
use super::trouble::Trouble;
use super::working::OnTable;
use crate::shelf;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders", get(list::list))
        .route("/orders/new", get(begin::ask).post(begin::begin))
        .route("/orders/{order}", get(show).post(change::press))
        .route("/orders/{order}/days", post(days::add))
        .route("/orders/{order}/days/all", post(days::all))
        .route(
            "/orders/{order}/days/{day}",
            get(days::one).post(days::press),
        )
        .route(
            "/orders/{order}/days/{day}/move",
            get(days::ask).post(days::go),
        )
        .route("/orders/{order}/pictures", post(pictures::add))
        .route("/orders/{order}/pictures/{picture}", post(pictures::press))
        .route("/pictures/{picture}", get(pictures::picture))
        .route("/orders/{order}/again", get(remade::ask).post(remade::make))
        .route("/orders/{order}/party", get(party::ask).post(party::make))
        .route("/orders/{order}/sheet", get(sheet::sheet))
}

/// What a form sent: names and texts.
pub(crate) type Sent = BTreeMap<String, String>;

/// A text of a form, trimmed; empty when it was not sent.
pub(crate) fn sent<'a>(form: &'a Sent, name: &str) -> &'a str {
    form.get(name).map_or("", |text| text.trim())
}

/// A text of a form with its lines ended as everywhere else.
fn lines(form: &Sent, name: &str) -> String {
    sent(form, name).replace("\r\n", "\n")
}

/// The number in an address.
fn number(text: &str) -> Result<OrderNo, Trouble> {
    OrderNo::read(text).ok_or_else(|| Trouble::missing("such order"))
}

/// The shipped methods: names and titles.
static SHIPPED: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    shelf::SHIPPED
        .iter()
        .map(|(name, text)| ((*name).to_owned(), shelf::title(text)))
        .collect()
});

/// The methods an order can be made by, hers first: name and title.
fn methods(book: &Book) -> Result<Methods, Trouble> {
    let own = book
        .methods(false)?
        .into_iter()
        .map(|m| {
            let title = shelf::title(&m.text);
            (m.name, title)
        })
        .collect();
    Ok(Methods { own })
}

/// The methods on the shelf.
pub(super) struct Methods {
    own: Vec<(String, String)>,
}

impl Methods {
    fn has(&self, name: &str) -> bool {
        self.own
            .iter()
            .chain(SHIPPED.iter())
            .any(|(n, _)| n == name)
    }
}

/// An order with all that its page shows.
struct Held {
    on: OnTable,
    backs: Backs,
    days: Vec<Day>,
    pictures: Vec<PictureLine>,
    journal: Vec<Entry>,
    versions: Vec<VersionLine>,
    quotes: Vec<book::Quote>,
    /// The sign-off that stands.
    signed: Option<signed::Signed>,
    /// What a sign-off would be given for now, and what the one that stands is held against.
    now: signed::Now,
    /// Its paper, and whether the draft was changed after it was made.
    paper: Option<(VersionLine, bool)>,
    cards: Vec<book::Card>,
    /// A newer card than the one it is worked from, and what is more than an inch apart on it.
    newer: Option<(book::Card, Vec<String>)>,
    methods: Methods,
    /// The party's name, and the other orders in it.
    party: Option<(String, Vec<OrderLine>)>,
    /// The order it was made again from.
    before: Option<OrderNo>,
    /// Those that were made again from it.
    after: Vec<OrderLine>,
    today: Date,
}

impl Held {
    fn load(book: &Book, number: OrderNo, today: Date) -> Result<Self, Trouble> {
        let on = OnTable::load(book, number)?;
        let party = match on.order.party {
            Some(id) => {
                let name = book
                    .parties()?
                    .into_iter()
                    .find(|p| p.id == id)
                    .map(|p| p.name)
                    .unwrap_or_default();
                let others = book
                    .orders(Which::Party(id))?
                    .into_iter()
                    .filter(|o| o.order.number != number)
                    .collect();
                Some((name, others))
            }
            None => None,
        };
        let cards = book.cards(on.client.number)?;
        let newer = match (cards.first(), &on.card_row) {
            (Some(new), Some(old)) if new.id != old.id && new.head.taken > old.head.taken => {
                Some((new.clone(), remade::differences(book, old, new)?))
            }
            _ => None,
        };
        let before = match on.order.after {
            Some(id) => book.order_by_id(id).ok().map(|o| o.number),
            None => None,
        };
        let versions = book.versions(number)?;
        let newest = versions.iter().find(|v| v.papers > 0);
        Ok(Self {
            backs: Backs::of(book, number)?,
            days: book.days(number)?,
            pictures: book.pictures(Of::Order(number))?,
            quotes: book.quotes(number)?,
            signed: signed::Signed::read(&on.holds),
            now: signed::Now::default(),
            journal: book.journal(number)?,
            paper: newest.map(|v| (v.clone(), false)),
            versions,
            newer,
            cards,
            methods: methods(book)?,
            party,
            before,
            after: book.orders(Which::After(number))?,
            today,
            on,
        })
    }

    /// The same, looked at which paper and which sign-off is of the draft as it is now; for that it works
    /// the draft.
    fn looked(mut self) -> Self {
        let signed = self.signed.as_ref();
        let asked = signed.is_some_and(signed::Signed::known);
        if self.paper.is_some() || asked || !self.closed() {
            let worked = self.on.redraw();
            let found = self.on.paper(&worked, &self.versions);
            self.now = signed::Now::of(&self.on, &worked, signed, found, &self.quotes);
            self.paper = found.map(|(v, changed)| (v.clone(), changed));
        }
        self
    }

    fn closed(&self) -> bool {
        self.on.order.closed.is_some()
    }

    fn hold(&self, key: &str) -> &str {
        self.on.holds.get(key).map_or("", String::as_str)
    }
}

/// What an order is called: its title, else its number.
pub(crate) fn called(order: &book::Order) -> String {
    if order.title.trim().is_empty() {
        format!("Order {}", order.number)
    } else {
        order.title.trim().to_owned()
    }
}

/// What was sent is not kept: the order's page again, with what is still to be looked at.
async fn unkept(
    room: &Arc<Room>,
    held: Held,
    form: Sent,
    faults: Vec<(String, String)>,
) -> Result<Response, Trouble> {
    room.work(move || {
        let page = view::page(&held.looked(), &form, &faults);
        (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
    })
    .await
}

async fn show(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Query(asked): Query<Sent>,
) -> Result<Markup, Trouble> {
    let number = number(&order)?;
    let today = room.today();
    let held = room
        .book(move |book| Held::load(book, number, today))
        .await?;
    room.work(move || view::page(&held.looked(), &asked, &[]))
        .await
}

#[cfg(test)]
mod tests;
