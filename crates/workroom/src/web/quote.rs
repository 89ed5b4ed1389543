//! The quote of an order: lines begun from the order, reckoned exactly, given as a numbered sheet.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use book::{Book, Change, Client, DayKind, DayState, NewQuote, Order, OrderNo, Price, QuoteNo};
use lay::quote::{Asked, Fault, Quote};
use maud::html;
use measure::Date;
use measure::fraction::{Shown, Unit};
use serde::Deserialize;
use sheet::words::{ENGLISH, fill};
use sheet::{Paper, QuoteSheet};

use super::layout::{self, Frame, Here, OrderHead, Stage};
use super::parts::number::told;
use super::room::Room;
use super::trouble::Trouble;
use super::working::{self, OnTable};

mod differs;
pub(crate) mod habits;
mod kept;
mod needs;
mod page;
mod paid;
mod prefill;
mod prices;
mod shopping;
#[cfg(test)]
mod tests;
mod took;
mod typed;
mod ways;
mod written;

use habits::Habits;
use kept::Kept;
use page::{Given, QuoteView};
use prefill::Pattern;
use typed::Typed;

/// The key under which an order holds its quote while it is worked on.
const KEY: &str = "quote/typed";
/// A page of these names and figures is no larger.
const MOST_TEXT: usize = 200_000;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/quote", get(look).post(keep))
        .route("/orders/{order}/quote/sheet", get(beforehand))
        .route("/orders/{order}/quotes/{number}", get(given))
        .route("/orders/{order}/quotes/{number}/{file}", get(pdf))
        .route("/orders/{order}/quote/paid", get(paid::look))
        .route("/orders/{order}/quote/payments", post(paid::pay))
        .route(
            "/orders/{order}/quote/payments/{id}/drop",
            post(paid::drop_payment),
        )
        .route("/orders/{order}/quote/spent", post(paid::spend))
        .route(
            "/orders/{order}/quote/spent/{id}/drop",
            post(paid::drop_spent),
        )
        .route("/orders/{order}/quote/shopping", get(shopping::of_order))
        .route("/shopping", get(shopping::of_all))
        .route("/settings/prices", get(prices::look).post(prices::add))
        .route("/settings/prices/away", post(prices::away))
        .route("/settings/quote", get(ways::look).post(ways::keep))
}

/// What an address may say besides.
#[derive(Clone, Debug, Default, Deserialize)]
pub(crate) struct Besides {
    pub(crate) said: Option<String>,
    /// The quote as it begins, though another is kept.
    pub(crate) afresh: Option<String>,
}

/// Whether the quote that an order holds is another one by now than this, which was given.
pub(crate) fn changed_since(holds: &BTreeMap<String, String>, given: &book::Quote) -> bool {
    let now = holds.get(KEY).and_then(|text| Typed::of_json(text));
    let then = Kept::of_json(&given.kept.asked).map(|kept| kept.typed);
    matches!((now, then), (Some(now), Some(then)) if now != then)
}

/// An order's number in an address.
fn number_of(text: &str) -> Result<OrderNo, Trouble> {
    OrderNo::read(text).ok_or_else(|| Trouble::missing("such order"))
}

/// What the pages of an order's quote need from the book.
struct Known {
    order: Order,
    client: Client,
    holds: BTreeMap<String, String>,
    settings: BTreeMap<String, String>,
    prices: Vec<Price>,
    quotes: Vec<book::Quote>,
    event: Option<(Date, String)>,
    shown: Shown,
    lays: Vec<prefill::ChosenLay>,
    /// What her last orders of the same method took.
    took: took::Log,
}

impl Known {
    fn of(book: &Book, number: OrderNo, today: Date) -> Result<Self, Trouble> {
        let order = book.order(number)?;
        let holds = book.holds(number)?;
        let settings = book.settings()?;
        let days = book.days(number)?;
        let event = days
            .into_iter()
            .filter(|d| {
                d.day.kind == DayKind::Event && matches!(d.state, DayState::Comes | DayState::Done)
            })
            .map(|d| (d.day.on, d.day.words))
            .min_by_key(|(on, _)| *on);
        let prices = book
            .prices(today)?
            .into_iter()
            .filter(|p| p.price.demo == order.demo || !p.price.demo)
            .collect();
        let lays = book
            .lays(number)?
            .iter()
            .filter(|l| l.chosen)
            .filter_map(shopping::chosen)
            .collect();
        Ok(Self {
            client: book.client_by_id(order.client)?,
            prices,
            quotes: book.quotes(number)?,
            event,
            shown: shown(book, &holds, &settings),
            holds,
            settings,
            lays,
            took: took::log(book, &order)?,
            order,
        })
    }

    fn head(&self) -> OrderHead {
        OrderHead {
            number: self.order.number,
            stage: Stage::Quote,
        }
    }

    fn frame(&self, title: &str) -> Frame {
        Frame {
            title: format!("{title}, order {}", self.order.number),
            here: Here::Clients,
            order: Some(self.head()),
            demo: self.order.demo,
            ..Frame::default()
        }
    }

    fn facts(&self) -> String {
        format!(
            "Order {}, {}, for {}",
            self.order.number, self.order.title, self.client.about.name
        )
    }

    /// The quote as it is worked on, or `None` when none is kept yet.
    fn typed(&self) -> Option<Typed> {
        self.holds.get(KEY).and_then(|text| Typed::of_json(text))
    }

    /// Works with all that a quote is begun from.
    fn with<T>(
        &self,
        pattern: Option<Pattern<'_>>,
        work: impl FnOnce(&prefill::From<'_>) -> T,
    ) -> T {
        let cloths = prefill::cloths(&self.holds);
        work(&prefill::From {
            habits: Habits(&self.settings),
            shown: self.shown,
            cloths: &cloths,
            lays: &self.lays,
            pattern,
            prices: &self.prices,
        })
    }

    /// The quote as it begins.
    fn begin(&self, pattern: Option<Pattern<'_>>) -> Typed {
        self.with(pattern, prefill::prefill)
    }

    /// What to look at before it is sent: a cloth that was laid again since the quote was kept, and one that
    /// it leaves out.
    fn to_see(&self, pattern: Option<Pattern<'_>>, typed: &Typed) -> Option<maud::Markup> {
        let (again, left_out) = self.with(pattern, |from| {
            let again = prefill::laid_again(from, typed);
            (again, prefill::not_quoted(from, typed))
        });
        (!again.is_empty() || !left_out.is_empty()).then(|| {
            html! {
                div.lost role="note" {
                    @for one in again.iter().chain(&left_out) { p { (told(one)) } }
                    @if !again.is_empty() { p { "Type the new amount, or begin afresh from the order." } }
                }
            }
        })
    }

    /// Until when a quote that is made today holds: as she set it, but before the event.
    fn valid(&self, today: Date, asked: &str) -> Result<Date, Fault> {
        let fault = |says: &str, hint: String| Fault {
            place: "valid".into(),
            says: says.into(),
            hint,
        };
        let before = self
            .event
            .as_ref()
            .and_then(|(on, _)| on.later(-1))
            .filter(|d| *d >= today);
        if asked.is_empty() {
            let weeks = Habits(&self.settings).weeks();
            let day = today.later(weeks * 7).unwrap_or(today);
            return Ok(before.map_or(day, |b| day.min(b)));
        }
        let day = Date::read(asked)
            .ok_or_else(|| fault("This is no day.", "Write it like 2026-12-11.".into()))?;
        if day < today {
            return Err(fault(
                "This day is past.",
                "A quote holds from today on.".into(),
            ));
        }
        match before {
            Some(before) if day > before => Err(fault(
                "It would still hold on the day of the event.",
                format!("Choose {before} or a day before it."),
            )),
            _ => Ok(day),
        }
    }

    /// The sheet's head: who, for whom, what, when.
    fn sheet_head(&self, number: u32, name: &str, today: Date, valid: Date) -> QuoteSheet {
        let words = working::words(&self.settings);
        let date = |d: Date| words.locale.date(d);
        let mut from = vec![name.to_owned()];
        from.extend(
            Habits(&self.settings)
                .get("quote/from")
                .lines()
                .map(str::to_owned)
                .filter(|l| !l.trim().is_empty()),
        );
        let about = &self.client.about;
        let mut to = vec![if about.code.trim().is_empty() {
            super::paper::on_paper(&self.client)
        } else {
            about.code.clone()
        }];
        if let Some((on, words)) = &self.event {
            let words = words.trim();
            to.push(if words.is_empty() {
                date(*on)
            } else {
                format!("{words}, {}", date(*on))
            });
        }
        QuoteSheet {
            number: (self.order.number.0, number),
            from,
            to,
            about: vec![
                self.order.title.clone(),
                fill(words.quote_given, &[("date", &date(today))]),
                fill(words.quote_valid, &[("date", &date(valid))]),
            ],
            words,
            ..QuoteSheet::default()
        }
    }
}

/// In which unit lengths are shown: as she set it, else as the order's card.
fn shown(
    book: &Book,
    holds: &BTreeMap<String, String>,
    settings: &BTreeMap<String, String>,
) -> Shown {
    let row = holds
        .get("card")
        .and_then(|id| book::Id::read(id))
        .and_then(|id| book.card_by_id(id).ok());
    let unit = row.map_or(Unit::Inch, |row| working::unit(&row));
    working::shown(settings, &measure::card::Card::new(String::new(), unit))
}

/// A quote reckoned, with what it was reckoned from.
fn reckoned(typed: &Typed) -> Result<(Asked, Quote), Vec<Fault>> {
    let asked = typed.read()?;
    let quote = lay::quote::reckon(&asked)?;
    Ok((asked, quote))
}

fn shown_page(
    known: &Known,
    typed: &Typed,
    (seen, pressed, fresh): (u64, bool, bool),
    more: (Vec<Fault>, Option<maud::Markup>),
    said: Option<&str>,
) -> Response {
    let (extra, word) = more;
    let mut read = reckoned(typed);
    if !extra.is_empty() {
        let mut faults = read.err().unwrap_or_default();
        faults.extend(extra);
        read = Err(faults);
    }
    let date = |d: Date| ENGLISH.locale.date(d);
    let given: Vec<Given> = known
        .quotes
        .iter()
        .map(|q| Given {
            number: q.number.0,
            day: date(q.made.day()),
            total: lay::Money::new(q.kept.total, &q.kept.currency)
                .map_or_else(String::new, |m| m.to_string()),
            valid: date(q.kept.valid),
        })
        .collect();
    let mut names: Vec<String> = known.prices.iter().map(|p| p.price.name.clone()).collect();
    names.dedup();
    let body = page::page(&QuoteView {
        order: known.order.number.0,
        facts: known.facts(),
        seen,
        closed: known.order.closed.is_some(),
        typed,
        reckoned: read.as_ref().map_err(Vec::as_slice),
        pressed,
        fresh,
        given: &given,
        known: &names,
        took: &known.took,
        said,
        word,
    });
    let page = layout::page(&known.frame("Quote"), body);
    let status = if pressed && read.is_err() {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::OK
    };
    (status, page).into_response()
}

/// The quote as it is worked on.
async fn look(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Query(besides): Query<Besides>,
) -> Result<Response, Trouble> {
    let number = number_of(&order)?;
    let today = room.today();
    let afresh = besides.afresh.is_some();
    let (known, kept, table) = room
        .book(move |book| {
            let known = Known::of(book, number, today)?;
            let kept = known.typed().filter(|_| !afresh);
            // A quote is begun from the pattern too, where there is one.
            let table = match kept {
                Some(_) => None,
                None => Some(OnTable::load(book, number)?),
            };
            Ok((known, kept, table))
        })
        .await?;
    room.work(move || {
        // The garment is paid as it is cut in the end, and its toile beside it.
        let of_toile = table.as_ref().filter(|on| on.has_toile());
        let of_toile = of_toile.map(OnTable::as_toile);
        let of_toile = of_toile.map(|on| on.redraw());
        let table = table.map(|on| on.in_the_cloth());
        let worked = table.as_ref().map(OnTable::redraw);
        let pattern = table
            .as_ref()
            .zip(worked.as_ref())
            .and_then(|(table, worked)| {
                table.in_the_way(worked).is_empty().then(|| Pattern {
                    worked,
                    toile: of_toile.as_ref(),
                    hem: table.measured(worked).hem,
                    opening: needs::opening(&table.job().subject(worked)),
                })
            });
        let fresh = kept.is_none();
        let typed = kept.unwrap_or_else(|| known.begin(pattern));
        let word = known.to_see(pattern, &typed);
        shown_page(
            &known,
            &typed,
            (known.order.seen, false, fresh),
            (Vec::new(), word),
            besides.said.as_deref(),
        )
    })
    .await
}

/// Keeps the quote, and makes it if she says so.
async fn keep(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let number = number_of(&order)?;
    let today = room.today();
    let name = room.name();
    let base = format!("/orders/{number}/quote");
    let text: usize = pairs.iter().map(|(n, v)| n.len() + v.len()).sum();
    if text > MOST_TEXT {
        return Err(Trouble::unclear(
            "This quote is longer than any. Put some of its lines together.",
        )
        .back(base, "Back to the quote"));
    }
    let one = |name: &str| {
        pairs
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, v)| v.clone())
    };
    let act = one("do").unwrap_or_default();
    if act == "afresh" {
        return Ok(Redirect::to(&format!("{base}?afresh=1")).into_response());
    }
    let seen = one("seen").and_then(|s| s.parse::<u64>().ok());
    let mut pairs = pairs;
    room.book(move |book| {
        let known = Known::of(book, number, today)?;
        // What the log says is taken into the line, and kept with the rest where all of it reads.
        let taken = act.strip_prefix("took/").is_some_and(|at| took::take(&mut pairs, at, &known.took));
        let mut typed = Typed::of_form(&pairs);
        prefill::fill_prices(&mut typed, &known.prices);
        let read = reckoned(&typed);
        let valid = known.valid(today, &typed.valid);
        let (Ok((asked, quote)), Ok(valid)) = (&read, &valid) else {
            let extra: Vec<Fault> = valid.err().filter(|_| !taken).into_iter().collect();
            let at = (seen.unwrap_or(known.order.seen), !taken, false);
            return Ok(shown_page(&known, &typed, at, (extra, None), None));
        };
        let label = format!("the quote, {}", quote.total);
        let change = Change { key: KEY.into(), after: Some(typed.to_json()) };
        match book.change(number, seen, &label, "here", &[change]) {
            Ok(_) => {}
            // Nothing of hers is lost: the page comes again with what she typed, beside what is there now.
            Err(book::Trouble::Moved { now }) => {
                let there = known.typed();
                let total = match there.as_ref().map(reckoned) {
                    Some(Ok((_, other))) => format!(" There it comes to {}.", other.total),
                    _ => String::new(),
                };
                let differs = there.and_then(|theirs| differs::differs(&typed, &theirs));
                let word = html! {
                    div.lost role="alert" tabindex="-1" data-focus {
                        p { strong { "Someone else changed this quote while you were typing. Nothing is lost." } (total) }
                        p { "Below is yours. Keep it to put it in place of theirs, or " a href=(base) { "take theirs" } "." }
                        @if let Some(table) = differs { (table) }
                    }
                };
                let page = shown_page(&known, &typed, (now, false, false), (Vec::new(), Some(word)), None);
                return Ok((StatusCode::CONFLICT, page).into_response());
            }
            Err(trouble) => return Err(trouble.into()),
        }
        if act != "give" {
            return Ok(Redirect::to(&format!("{base}?said=kept")).into_response());
        }
        // The number is known only when it is kept; the sheet is kept without it.
        let head = known.sheet_head(0, &name, today, *valid);
        let terms = typed.terms.clone();
        let sheet = written::sheet(head, asked, quote, typed.view(), &terms);
        let new = NewQuote {
            asked: Kept::of(typed.clone(), &sheet).to_json(),
            total: quote.total.minor(),
            currency: asked.currency.clone(),
            valid: *valid,
        };
        let made = book.keep_quote(number, &new)?;
        let paper = if known.settings.get("paper").is_some_and(|p| p.eq_ignore_ascii_case("letter")) { Paper::Letter } else { Paper::A4 };
        let numbered = QuoteSheet { number: (number.0, made.0), ..sheet };
        // A paper once made is kept as made.
        let bytes = sheet::quote_pdf(&numbered, paper).map_err(|fault| not_drawn(&fault))?;
        book.keep_quote_sheet(number, made, bytes)?;
        Ok(Redirect::to(&format!("/orders/{number}/quotes/{made}")).into_response())
    })
    .await
}

fn not_drawn(fault: &sheet::SheetFault) -> Trouble {
    match fault {
        sheet::SheetFault::TooLarge(_) => {
            Trouble::unclear("This quote is too long for paper. Put some of its lines together.")
        }
        _ => Trouble::broken(),
    }
}

/// A quote's number in an address.
fn quote_of(text: &str) -> Result<QuoteNo, Trouble> {
    QuoteNo::read(text).ok_or_else(|| Trouble::missing("such quote"))
}

/// A quote as it was given.
async fn given(
    State(room): State<Arc<Room>>,
    Path((order, quote)): Path<(String, String)>,
) -> Result<Response, Trouble> {
    let (number, quote) = (number_of(&order)?, quote_of(&quote)?);
    let today = room.today();
    room.book(move |book| {
        let known = Known::of(book, number, today)?;
        let row = book.quote(number, quote)?;
        let kept = Kept::of_json(&row.kept.asked).ok_or_else(Trouble::broken)?;
        let sheet = kept.sheet(number.0, quote.0);
        let body = html! {
            div.office { (page::sheet_page(&sheet, &format!("/orders/{number}/quotes/{quote}"), true)) }
        };
        Ok(layout::page(&known.frame(&format!("Quote {quote}")), body).into_response())
    })
    .await
}

/// The sheet of the quote that is worked on, before it is given.
async fn beforehand(
    State(room): State<Arc<Room>>,
    Path(order): Path<String>,
) -> Result<Response, Trouble> {
    let number = number_of(&order)?;
    let (today, name) = (room.today(), room.name());
    room.book(move |book| {
        let known = Known::of(book, number, today)?;
        let typed = known
            .typed()
            .ok_or_else(|| Trouble::missing("quote of this order yet"))?;
        let back = format!("/orders/{number}/quote");
        let read = reckoned(&typed).map_err(drop);
        let valid = known.valid(today, &typed.valid).map_err(drop);
        let (Ok((asked, quote)), Ok(valid)) = (read, valid) else {
            let says = "Something in it is to be looked at first: the page of the quote says what.";
            return Err(Trouble::unclear(says).back(back, "Back to the quote"));
        };
        let head = known.sheet_head(0, &name, today, valid);
        let sheet = written::sheet(head, &asked, &quote, typed.view(), &typed.terms);
        let body = html! { div.office { (page::sheet_page(&sheet, "", false)) } };
        Ok(layout::page(&known.frame("The sheet"), body).into_response())
    })
    .await
}

/// Its sheet as a file: the one that was kept, or the same on the other paper.
async fn pdf(
    State(room): State<Arc<Room>>,
    Path((order, quote, file)): Path<(String, String, String)>,
) -> Result<Response, Trouble> {
    let (number, quote) = (number_of(&order)?, quote_of(&quote)?);
    let paper = match file.as_str() {
        "a4.pdf" => Paper::A4,
        "letter.pdf" => Paper::Letter,
        _ => return Err(Trouble::missing("such sheet")),
    };
    let (sheet, kept, usual) = room
        .book(move |book| {
            let row = book.quote(number, quote)?;
            let letter = book
                .setting("paper")?
                .is_some_and(|p| p.eq_ignore_ascii_case("letter"));
            let kept = Kept::of_json(&row.kept.asked).ok_or_else(Trouble::broken)?;
            let usual = if letter { Paper::Letter } else { Paper::A4 };
            Ok((
                kept.sheet(number.0, quote.0),
                book.quote_sheet(number, quote)?,
                usual,
            ))
        })
        .await?;
    let bytes = match kept.filter(|bytes| paper == usual && is_on(bytes, paper)) {
        Some(bytes) => bytes,
        None => room
            .paper(move || sheet::quote_pdf(&sheet, paper))
            .await?
            .map_err(|fault| not_drawn(&fault))?,
    };
    let disposition = format!("inline; filename=\"order-{number}-quote-{quote}-{file}\"");
    Ok((
        [
            (header::CONTENT_TYPE, "application/pdf".to_owned()),
            (header::CONTENT_DISPOSITION, disposition),
        ],
        bytes,
    )
        .into_response())
}

/// Whether a kept sheet is of that paper: she may have changed her paper since.
fn is_on(bytes: &[u8], paper: Paper) -> bool {
    let (width, height) = paper.size();
    let points = |l: measure::Length| l.in_inches() * 72.0;
    let text = String::from_utf8_lossy(bytes);
    text.split("/MediaBox").nth(1).is_some_and(|rest| {
        let inside = rest.split(']').next().unwrap_or_default();
        let numbers: Vec<f64> = inside.split(|c: char| c.is_whitespace() || c == '[').filter_map(|n| n.parse().ok()).collect();
        matches!(numbers.as_slice(), [.., w, h] if (w - points(width)).abs() < 1.0 && (h - points(height)).abs() < 1.0)
    })
}
