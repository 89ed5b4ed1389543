//! The quote's pages, in process: without scripts, as a browser sends its forms.

use axum::http::StatusCode;
use book::{About, Book, ClientNo, DayKind, NewActual, NewDay, NewOrder, OrderNo, Stamp};
use measure::Date;

use crate::web::testing::{Visit, demo_book};

fn clock() -> Stamp {
    Stamp::read("2026-11-25T18:45:51Z").unwrap()
}

/// An invented order of an invented client, in crepe with a lining, for an evening in two weeks.
fn order(book: &mut Book) -> (ClientNo, OrderNo) {
    let about = About {
        name: "Ines Halloway".into(),
        ..About::default()
    };
    let client = book.new_client(&about, false).unwrap();
    let order = NewOrder {
        title: "Mermaid skirt with a train".into(),
        method: "mermaid-two".into(),
        holds: vec![
            (
                "cloth/shell".into(),
                "name = \"Plum crepe\"\nunit = \"yd\"\nwidth = 58\nprice = \"28.00 USD\"\n".into(),
            ),
            (
                "cloth/lining".into(),
                "name = \"Lining\"\nunit = \"yd\"\nwidth = 54\nprice = \"9.00 USD\"\n".into(),
            ),
        ],
        ..NewOrder::of(client)
    };
    (client, book.new_order(&order).unwrap())
}

fn visit() -> (Visit, String) {
    let mut book = Book::in_memory(clock).unwrap();
    let (_, number) = order(&mut book);
    (Visit::with(book), format!("/orders/{number}/quote"))
}

/// W13 of the worked examples, as a browser sends it.
const W13: [(&str, &str); 26] = [
    ("currency", "USD"),
    ("goods/0/kind", "cloth"),
    ("goods/0/words", "Plum crepe, 58 in wide"),
    ("goods/0/amount", "5"),
    ("goods/0/count", "yd"),
    ("goods/0/each", "28"),
    ("goods/1/kind", "lining"),
    ("goods/1/words", "Lining, 54 in wide"),
    ("goods/1/amount", "4 1/4"),
    ("goods/1/count", "yd"),
    ("goods/1/each", "9"),
    ("goods/2/kind", "trim"),
    ("goods/2/words", "Lace"),
    ("goods/2/each", "60"),
    ("goods/3/kind", "notion"),
    ("goods/3/words", "Notions"),
    ("goods/3/each", "35"),
    ("work/0/stage", "machine"),
    ("work/0/hours", "46"),
    ("rate", "22"),
    ("waste", "10"),
    ("overhead", "6"),
    ("margin", "15"),
    ("part/0/words", "With the order"),
    ("part/0/share", "50 %"),
    ("last", "When you fetch it"),
];

fn w13(more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    W13.iter().chain(more).copied().collect()
}

/// The whole way without a script: begun, kept, made, looked at, printed; W13 to the cent.
#[test]
fn from_an_order_to_its_sheet() {
    let (visit, base) = visit();
    let first = visit.get(&base);
    assert_eq!(first.status, StatusCode::OK);
    let text = first.text();
    assert!(
        text.contains("Still to fill in") && text.contains("Plum crepe, 58 in wide"),
        "{text}"
    );
    assert!(text.contains("value=\"28.00\""));
    // A look keeps nothing.
    assert!(!visit.get("/shopping").text().contains("Plum crepe"));

    let kept = visit.post(&base, &w13(&[("do", "keep")]));
    assert_eq!(
        (kept.status, kept.leads_to()),
        (StatusCode::SEE_OTHER, format!("{base}?said=kept").as_str())
    );
    let text = visit.get(kept.leads_to()).text();
    assert!(text.contains("Kept.") && text.contains("1868.91"), "{text}");

    let made = visit.post(&base, &w13(&[("do", "give")]));
    let at = made.leads_to().to_owned();
    assert!(at.ends_with("/quotes/1"), "{at}");
    let sheet = visit.get(&at).text();
    for said in [
        "1868.91",
        "934.46",
        "934.45",
        "Ines Halloway",
        "46 hours",
        "181.18",
    ] {
        assert!(sheet.contains(said), "{said}");
    }
    for hidden in ["Margin", "Overhead", "Waste", "22.00"] {
        assert!(!sheet.contains(hidden), "{hidden}");
    }
    for paper in ["a4.pdf", "letter.pdf"] {
        let pdf = visit.get(&format!("{at}/{paper}"));
        assert_eq!(pdf.header("content-type"), "application/pdf");
        assert!(pdf.bytes.starts_with(b"%PDF-"));
        assert_eq!(pdf.bytes, visit.get(&format!("{at}/{paper}")).bytes);
    }
    assert_eq!(
        visit.get(&format!("{at}/a3.pdf")).status,
        StatusCode::NOT_FOUND
    );
    assert_eq!(
        visit.get("/orders/1/quotes/2").status,
        StatusCode::NOT_FOUND
    );
    assert_eq!(visit.get("/orders/77/quote").status, StatusCode::NOT_FOUND);
    assert_eq!(visit.get("/orders/x/quote").status, StatusCode::NOT_FOUND);
}

/// Would catch a quote whose figures change after it was given.
#[test]
fn a_quote_that_was_given_stays() {
    let (visit, base) = visit();
    let at = visit
        .post(&base, &w13(&[("do", "give")]))
        .leads_to()
        .to_owned();
    let (page, pdf) = (
        visit.get(&at).text(),
        visit.get(&format!("{at}/a4.pdf")).bytes,
    );
    let settings = [
        ("quote/currency", "EUR"),
        ("quote/rate", "90"),
        ("quote/margin", "50"),
    ];
    assert_eq!(
        visit.post("/settings/quote", &settings).status,
        StatusCode::SEE_OTHER
    );
    let mut dearer = w13(&[("do", "give")]);
    dearer[5] = ("goods/0/each", "99");
    assert!(visit.post(&base, &dearer).leads_to().ends_with("/quotes/2"));
    assert_eq!(visit.get(&at).text(), page);
    assert_eq!(visit.get(&format!("{at}/a4.pdf")).bytes, pdf);
}

/// Would catch a quote for a client who reads German in English, or with a point where she reads a comma;
/// and one that changes its language after it was given.
#[test]
fn a_quote_speaks_the_language_that_was_set_when_it_was_given() {
    let (visit, base) = visit();
    visit.post("/settings", &[("language", "de")]);
    let at = visit
        .post(&base, &w13(&[("do", "give")]))
        .leads_to()
        .to_owned();
    let page = visit.get(&at).text();
    for said in [
        "lang=\"de\"",
        "<h1>Angebot</h1>",
        "1868,91",
        "46 Stunden",
        "Zahlung",
    ] {
        assert!(page.contains(said), "{said} in {page}");
    }
    visit.post("/settings", &[("language", "en")]);
    assert_eq!(visit.get(&at).text(), page);
}

/// Would catch a German quote whose payments and terms are in English until she writes her own; and words
/// of hers that are put away for them.
#[test]
fn its_usual_words_are_in_the_language_of_her_sheets() {
    let (visit, base) = visit();
    assert!(visit.get(&base).text().contains("When you fetch it"));
    visit.post("/settings", &[("language", "de")]);
    let page = visit.get(&base).text();
    for said in ["Bei der Abholung", "Bei der ersten Anprobe", "MwSt."] {
        assert!(page.contains(said), "{said} in {page}");
    }
    assert!(!page.contains("When you fetch it") && !page.contains("are quoted anew"));
    visit.post("/settings/quote", &[("quote/last", "Wenn sie kommt")]);
    assert!(visit.get(&base).text().contains("Wenn sie kommt"));
}

/// Each bad figure is told at its box and on top, what she typed stands there still, nothing is kept.
#[test]
fn bad_figures_come_back_with_their_faults() {
    let (visit, base) = visit();
    let mut bad = w13(&[
        ("do", "give"),
        ("valid", "2020-01-01"),
        ("terms", "<b>none</b>"),
    ]);
    bad[3] = ("goods/0/amount", "five yards");
    bad[22] = ("margin", "100");
    let page = visit.post(&base, &bad);
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let text = page.text();
    for said in [
        "value=\"five yards\"",
        "href=\"#f-goods-0-amount\"",
        "href=\"#f-valid\"",
        "2 things to look at",
        "&lt;b&gt;none",
    ] {
        assert!(text.contains(said), "{said} in {text}");
    }
    bad[3] = ("goods/0/amount", "5");
    assert!(
        visit
            .post(&base, &bad)
            .text()
            .contains("href=\"#f-margin\"")
    );
    assert!(visit.get(&base).text().contains("Still to fill in"));
}

/// Would catch a quote that still holds on the day of the event.
#[test]
fn a_quote_ends_before_the_event() {
    let mut book = Book::in_memory(clock).unwrap();
    let (_, number) = order(&mut book);
    let day = Date::read("9998-12-12").unwrap();
    let near = Visit::new().room.today().later(14).unwrap();
    for on in [day, near] {
        book.add_day(
            number,
            &NewDay {
                kind: DayKind::Event,
                on,
                time: String::new(),
                words: "Evening".into(),
            },
        )
        .unwrap();
    }
    let visit = Visit::with(book);
    let base = format!("/orders/{number}/quote");
    let at = visit
        .post(&base, &w13(&[("do", "give")]))
        .leads_to()
        .to_owned();
    let last = sheet::words::ENGLISH.locale.date(near.later(-1).unwrap());
    assert!(
        visit
            .get(&at)
            .text()
            .contains(&format!("Good until {last}")),
        "{}",
        visit.get(&at).text()
    );
    let late = near.to_string();
    let mut asked = w13(&[("do", "give")]);
    asked.push(("valid", Box::leak(late.into_boxed_str())));
    assert_eq!(
        visit.post(&base, &asked).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
}

/// Two windows: the second is told, with both, and nothing of hers is lost.
#[test]
fn two_windows_lose_nothing() {
    let (visit, base) = visit();
    let seen = |text: &str| {
        text.split("name=\"seen\" value=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap()
            .to_owned()
    };
    let first: &'static str = Box::leak(seen(&visit.get(&base).text()).into_boxed_str());
    assert_eq!(
        visit.post(&base, &w13(&[("seen", first)])).status,
        StatusCode::SEE_OTHER
    );
    let mut other = w13(&[("seen", first)]);
    other[22] = ("margin", "20");
    let page = visit.post(&base, &other);
    assert_eq!(page.status, StatusCode::CONFLICT);
    let text = page.text();
    assert!(
        text.contains("Nothing is lost") && text.contains("1868.91") && text.contains("1985.72"),
        "{text}"
    );
    // What differs is told, and nothing else.
    let (_, table) = text.split_once("What differs between yours").unwrap();
    let table = table.split("</table>").next().unwrap();
    assert!(table.contains("<th scope=\"row\">Margin, percent of the price</th>"));
    assert_eq!(table.matches("<th scope=\"row\">").count(), 1, "{table}");
    let now: &'static str = Box::leak(seen(&text).into_boxed_str());
    other.retain(|(name, _)| *name != "seen");
    other.push(("seen", now));
    assert_eq!(visit.post(&base, &other).status, StatusCode::SEE_OTHER);
    assert!(visit.get(&base).text().contains("1985.72"));
}

/// Deposits and the balance, and what it really took.
#[test]
fn paid_and_spent() {
    let (visit, base) = visit();
    let paid = format!("{base}/paid");
    assert!(visit.get(&paid).text().contains("Nothing is quoted yet"));
    visit.post(&base, &w13(&[("do", "give")]));
    let pay = |money: &str, back: &str| {
        visit.post(
            &format!("{base}/payments"),
            &[
                ("on", "2026-11-25"),
                ("money", money),
                ("words", "deposit"),
                ("back", back),
            ],
        )
    };
    assert_eq!(pay("1000", "").leads_to(), format!("{paid}?said=kept"));
    assert_eq!(pay("65.54", "yes").status, StatusCode::SEE_OTHER);
    let text = visit.get(&paid).text();
    assert!(text.contains("934.45 is still to come."), "{text}");
    for bad in ["", "0", "x", "1.005"] {
        assert_eq!(
            pay(bad, "").status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{bad}"
        );
    }
    let spend = |stage: &str, hours: &str, money: &str| {
        visit.post(
            &format!("{base}/spent"),
            &[
                ("stage", stage),
                ("hours", hours),
                ("spent", money),
                ("day", "2026-11-25"),
                ("note", ""),
            ],
        )
    };
    assert_eq!(spend("machine", "50", "").status, StatusCode::SEE_OTHER);
    assert_eq!(spend("goods", "", "280.00").status, StatusCode::SEE_OTHER);
    let text = visit.get(&paid).text();
    // 50 x 28 + 280 = 1680; 1868.91 - 1680 = 188.91.
    assert!(
        text.contains("188.91") && text.contains("10.1 % of it"),
        "{text}"
    );
    assert_eq!(
        spend("machine", "", "").status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(
        spend("machine", "9999999", "").status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    // What was entered by mistake is taken away again.
    let drop = text
        .split("action=\"")
        .filter_map(|t| t.split('"').next())
        .find(|a| a.ends_with("/drop"))
        .unwrap();
    assert_eq!(visit.post(drop, &[]).status, StatusCode::SEE_OTHER);
    assert!(!visit.get(&paid).text().contains(drop));
}

/// A price is never changed: a newer one is added, and fills a line that has none.
#[test]
fn the_price_book() {
    let (visit, base) = visit();
    assert!(
        visit
            .get("/settings/prices")
            .text()
            .contains("No prices yet")
    );
    let add = |name: &str, price: &str, since: &str| {
        visit.post(
            "/settings/prices",
            &[
                ("name", name),
                ("kind", "notion"),
                ("price", price),
                ("unit", "piece"),
                ("supplier", "The corner shop"),
                ("since", since),
            ],
        )
    };
    assert_eq!(
        add("Zip", "4.50 USD", "2026-01-01").status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(
        add("zip", "5.25 USD", "2026-06-01").status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(
        add("Zip", "99 USD", "9999-01-01").status,
        StatusCode::SEE_OTHER
    );
    for (name, price, since) in [
        ("", "1 USD", "2026-01-01"),
        ("Hook", "one", "2026-01-01"),
        ("Hook", "1", "2026-01-01"),
        ("Hook", "1 USD", "soon"),
    ] {
        assert_eq!(
            add(name, price, since).status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{name} {price} {since}"
        );
    }
    let text = visit.get("/settings/prices").text();
    for price in ["4.50 USD", "5.25 USD", "99.00 USD"] {
        assert!(text.contains(price), "{price}");
    }
    let mut lines = w13(&[
        ("goods/4/words", "Zip, 8 in"),
        ("goods/4/kind", "notion"),
        ("goods/4/amount", "1"),
        ("goods/4/count", "piece"),
    ]);
    lines.push(("do", "keep"));
    assert_eq!(visit.post(&base, &lines).status, StatusCode::SEE_OTHER);
    assert!(visit.get(&base).text().contains("value=\"5.25\""));
    assert_eq!(
        visit
            .post(
                "/settings/prices/away",
                &[("kind", "notion"), ("name", "Zip")]
            )
            .status,
        StatusCode::SEE_OTHER
    );
    assert!(!visit.get("/settings/prices").text().contains("5.25"));
}

/// What to buy stands under the width of its cloth, and what she brings is not bought.
#[test]
fn the_shopping_sheet() {
    let (visit, base) = visit();
    visit.post(&base, &w13(&[("goods/2/hers", "yes")]));
    for at in [format!("{base}/shopping"), "/shopping".to_owned()] {
        let text = visit.get(&at).text();
        let (wide, narrow) = (
            text.find("58 in wide").unwrap(),
            text.find("54 in wide").unwrap(),
        );
        assert!(wide < narrow, "{text}");
        assert!(text.contains("Notions and trims") && !text.contains("Lace"));
    }
}

/// Would catch cloth that lies in her cupboard and is bought again, or a piece too short that is taken for
/// enough.
#[test]
fn what_she_has_is_not_bought() {
    let (visit, base) = visit();
    visit.post(&base, &w13(&[]));
    let number = OrderNo(base.rsplit('/').nth(1).unwrap().parse().unwrap());
    for (hand, says, not) in [
        ("6", "nothing to buy", "not enough for it by itself"),
        ("1", "not enough for it by itself", "nothing to buy"),
    ] {
        {
            let book = visit.room.shelf();
            let mut book = crate::web::calm_lock(&book);
            let page = format!(
                "name = \"Plum crepe\"\nunit = \"yd\"\nwidth = 58\nin_hand = {hand}\nprice = \"28.00 USD\"\n"
            );
            let seen = book.order(number).unwrap().seen;
            let change = book::Change {
                key: "cloth/shell".into(),
                after: Some(page),
            };
            book.change(number, Some(seen), "cloth", "here", &[change])
                .unwrap();
        }
        let text = visit.get(&format!("{base}/shopping")).text();
        assert!(text.contains(says) && !text.contains(not), "{hand}: {text}");
        assert_eq!(text.contains("in hand"), hand == "6", "{text}");
    }
}

/// Would catch a lining that is sewn and not paid for, and a word about it that can't be answered.
#[test]
fn a_cloth_that_the_pattern_cuts_and_no_line_names_is_told() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let base = format!("/orders/{order}/quote");
    let says = "of lining, and no line here is for it";
    let text = visit.get(&base).text();
    assert!(text.contains(says) && !text.contains("of shell"), "{text}");
    visit.post(&base, &w13(&[("goods/1/amount", "0")]));
    let named = visit.get(&base).text();
    assert!(!named.contains(says), "W13 has a line for it: {named}");
}

/// Her habits: what is set there begins the next quote, and what can't be is told at its box.
#[test]
fn how_she_quotes() {
    let (visit, base) = visit();
    assert_eq!(visit.get("/settings/quote").status, StatusCode::OK);
    let bad = visit.post(
        "/settings/quote",
        &[("quote/currency", "dollars"), ("quote/rate", "22")],
    );
    assert_eq!(bad.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        bad.text().contains("href=\"#f-quote-currency\"")
            && bad.text().contains("value=\"dollars\"")
    );
    let good = [
        ("quote/currency", "usd"),
        ("quote/rate", "22"),
        ("quote/hours/hand", "7"),
        ("shop/step", "1/4 yd"),
    ];
    assert_eq!(
        visit.post("/settings/quote", &good).status,
        StatusCode::SEE_OTHER
    );
    let text = visit.get(&base).text();
    assert!(
        text.contains("value=\"22\"") && text.contains("value=\"7\""),
        "{text}"
    );
}

/// Would catch a form that is too long, or of odd names, and brings the page down.
#[test]
fn odd_forms_are_answered() {
    let (visit, base) = visit();
    let long = "x".repeat(300_000);
    assert_eq!(
        visit.post(&base, &[("terms", &long)]).status,
        StatusCode::BAD_REQUEST
    );
    for form in [
        vec![],
        vec![("goods/99999999999999999999/words", "a")],
        vec![("goods//words", "a"), ("work/0", "b"), ("///", "c")],
        vec![("currency", "💶")],
        vec![
            ("goods/0/words", "a"),
            ("goods/0/each", "9999999999999"),
            ("currency", "USD"),
        ],
    ] {
        let page = visit.post(&base, &form);
        assert!(page.status.is_client_error(), "{form:?} {}", page.status);
    }
}

/// A cloth that was laid again since asks for another amount, and the page says so; a note that tells
/// of another amount than she typed is not shown.
#[test]
fn a_cloth_that_was_laid_again_is_told() {
    let mut book = Book::in_memory(clock).unwrap();
    let (_, number) = order(&mut book);
    let found =
        "{\"cloth\":{\"shrink_along\":0.0},\"buy\":{\"lay_mm\":2286.0},\"takes_mm\":2286.0}";
    let lay = book.keep_lay(number, "shell", "{}", found).unwrap();
    book.choose_lay(number, lay).unwrap();
    let visit = Visit::with(book);
    let base = format!("/orders/{number}/quote");
    // 2 1/2 yd, 5 % and 10 cm come to 2.73, so 2 3/4 yd.
    let text = visit.get(&base).text();
    assert!(
        text.contains("value=\"2 3/4\"") && text.contains("The lay comes to 2.50 yd"),
        "{text}"
    );
    visit.post(
        &base,
        &w13(&[
            ("goods/0/note", "The lay comes to 2.50 yd"),
            ("goods/0/noted", "2 3/4"),
        ]),
    );
    let text = visit.get(&base).text();
    assert!(
        text.contains("its lay now asks for") && text.contains("the quote says 5 yd"),
        "{text}"
    );
    assert!(!text.contains("The lay comes to"), "{text}");
}

/// The demo's orders draft, so their quotes begin with cloth by the rule of thumb, a zip and a braid.
#[test]
fn a_quote_begins_from_the_pattern() {
    let book = demo_book();
    let orders = book.orders(book::Which::Open).unwrap();
    let visit = Visit::with(book);
    let mut zips = 0;
    for order in &orders {
        let page = visit.get(&format!("/orders/{}/quote", order.order.number));
        assert_eq!(page.status, StatusCode::OK);
        let text = page.text();
        zips += usize::from(text.contains("Horsehair braid") && text.contains("value=\"Zip, "));
        // The demo's mermaid opens for 7 in or as far as her hip, never for the height of a facing.
        assert!(!text.contains("The opening is 2 "), "{text}");
    }
    assert!(zips > 0);
}

/// Would catch hours of another method or of an open order that are taken for what it took, a tap that loses
/// what was typed, and Enter in a box that takes hours in place of keeping.
#[test]
fn her_log_stands_beside_the_hours_and_is_taken_by_one_tap() {
    let mut book = Book::in_memory(clock).unwrap();
    let (client, number) = order(&mut book);
    let today = Date::read("2026-11-25").unwrap();
    let mut before = |method: &str, minutes: &[u32], closed: bool| {
        let new = NewOrder {
            title: "Before".into(),
            method: method.into(),
            ..NewOrder::of(client)
        };
        let other = book.new_order(&new).unwrap();
        for minutes in minutes {
            let took = NewActual {
                stage: "machine".into(),
                minutes: *minutes,
                minor: 0,
                on: today,
                words: String::new(),
            };
            book.add_actual(other, &took).unwrap();
        }
        if closed {
            book.close_order(other).unwrap();
        }
        other
    };
    // 4 and 2 hours, and 5: on average 5.5. What is open yet, or of another method, does not count.
    let first = before("mermaid-two", &[240, 120], true);
    let second = before("mermaid-two", &[300], true);
    before("mermaid-two", &[60], false);
    before("a-line", &[6000], true);
    let visit = Visit::with(book);
    let base = format!("/orders/{number}/quote");
    visit.post(
        &base,
        &w13(&[
            ("work/0/stage", "machine"),
            ("work/0/times", "1"),
            ("work/0/hours", "46"),
        ]),
    );
    let text = visit.get(&base).text();
    assert!(
        text.contains(&format!(
            "Order {second} took 5 hours, order {first} took 6 hours."
        )) && text.contains("Take 5.5 hours"),
        "{text}"
    );
    // The first button of the form is what Enter presses.
    let form = text.split("class=\"quoteform\"").nth(1).unwrap();
    assert!(form.find("value=\"keep\"").unwrap() < form.find("value=\"took/0\"").unwrap());
    let tapped = visit.post(
        &base,
        &w13(&[
            ("work/0/stage", "machine"),
            ("work/0/times", "2"),
            ("work/0/hours", "46"),
            ("waste", "12"),
            ("do", "took/0"),
        ]),
    );
    assert!(
        tapped.leads_to().ends_with("said=kept"),
        "{}",
        tapped.text()
    );
    let text = visit.get(&base).text();
    // Twice, so half of it each.
    assert!(
        text.contains("name=\"work/0/hours\" type=\"text\" value=\"2.75\"")
            && text.contains("value=\"12\""),
        "{text}"
    );
    // What does not read yet is not lost, and not scolded.
    let tapped = visit.post(
        &base,
        &[
            ("work/0/stage", "machine"),
            ("work/0/hours", ""),
            ("rate", "as usual"),
            ("do", "took/0"),
        ],
    );
    assert_eq!(tapped.status, StatusCode::OK);
    assert!(tapped.text().contains("value=\"5.5\"") && tapped.text().contains("as usual"));
    for odd in ["took/99", "took/", "took/x"] {
        let tapped = visit.post(&base, &[("work/0/stage", "machine"), ("do", odd)]);
        assert!(
            tapped.status.is_success() || tapped.status.is_client_error(),
            "{odd}"
        );
    }
}

/// The quote buys by the lay that is kept, as long as it is before it shrinks: a lay on cloth that loses
/// 4 % along asks for its length over 0.96 (cloth/README.md 5 of the trade's notes), and no more.
#[test]
fn a_kept_lay_is_bought_before_it_shrinks() {
    let Some((visit, order)) = Visit::demo("mermaid-two") else {
        return;
    };
    let at = |rest: &str| format!("/orders/{order}/{rest}");
    let cloth = [
        ("for", "shell"),
        ("width", "60 in"),
        ("selvedge", "1 in"),
        ("unit", "yd"),
        ("nap", "one-way"),
        ("shrink_along", "4 %"),
        ("price", "28.00 EUR"),
    ];
    visit.post(&at("cloth/page"), &cloth);
    visit.post(&at("cloth/keep"), &[("for", "shell")]);
    let file = visit.get(&at("cloth/lay.json?for=shell")).text();
    let lay: serde_json::Value = serde_json::from_str(&file).unwrap();
    let mm = |at: &str| lay.pointer(at).and_then(serde_json::Value::as_f64).unwrap();
    assert!((mm("/buy/lay_mm") * 0.96 - mm("/length_mm")).abs() < 0.01);
    let text = visit.get(&at("quote?afresh=1")).text();
    let said = format!("The lay comes to {:.2} yd", mm("/length_mm") / 0.96 / 914.4);
    assert!(text.contains(&said), "{said}: {text}");
}
