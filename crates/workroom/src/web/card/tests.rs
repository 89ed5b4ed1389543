//! A card is begun, written, asked about, and kept; two hands never overwrite each other.

use book::{About, Book, Change, NewOrder, Stamp};

use crate::web::testing::Visit;

fn clock() -> Stamp {
    Stamp::read("2026-11-25T12:00:00Z").unwrap()
}

const CARD: &str = "/clients/1/cards/1";

/// A client with a card begun.
fn visit(unit: &str) -> Visit {
    let mut book = Book::in_memory(clock).unwrap();
    let about = About {
        name: "Ines Halloway".into(),
        ..About::default()
    };
    book.new_client(&about, false).unwrap();
    let visit = Visit::with(book);
    let head = [
        ("taken", "2024-05-20"),
        ("taker", "Mara"),
        ("unit", unit),
        ("foundation", "her shaper"),
        ("shoes", "the shoes of the day"),
        ("waist", "natural"),
    ];
    let begun = visit.post("/clients/1/cards/new", &head);
    assert_eq!(begun.leads_to(), CARD, "{}", begun.text());
    visit
}

fn write(visit: &Visit, measure: &str, first: &str) -> String {
    let answer = visit.post(
        CARD,
        &[
            ("m", measure),
            ("r1", first),
            ("r2", ""),
            ("part", ""),
            ("do", "next"),
        ],
    );
    assert_eq!(answer.status, 303, "{measure}: {}", answer.text());
    answer.leads_to().to_owned()
}

/// Catches a new card that is not empty, that asks in no order, or whose open measure has no drawing.
#[test]
fn a_card_begins_empty_with_the_first_measure_in_the_hand() {
    let visit = visit("in");
    let page = visit.get(CARD).text();
    assert!(page.contains("Taken 20 May 2024, by Mara, over her shaper"));
    assert!(
        page.contains("data-measure=\"height\""),
        "the first of the general order"
    );
    assert!(page.contains("svg class=\"body\"") && page.contains("Where the tape goes"));
    assert!(page.contains("Eighths to add to the whole inches"));
    assert!(!page.contains("value=\"27"));
    assert!(
        !page.contains("style="),
        "a style that the pages' rules forbid"
    );
    assert_eq!(page.matches("<h1").count(), 1);
}

/// Catches a reading that is lost, a tapped eighth that is not added, and Enter that does not go on.
#[test]
fn readings_are_kept_one_by_one_and_the_next_measure_opens() {
    let visit = visit("in");
    let to = write(&visit, "height", "64 1/2");
    assert!(to.contains("m=waist"), "{to}");
    let tapped = visit.post(
        CARD,
        &[
            ("m", "waist"),
            ("r1", "27"),
            ("r2", ""),
            ("part", "3"),
            ("do", "next"),
        ],
    );
    assert!(
        tapped.leads_to().contains("m=high-hip"),
        "{}",
        tapped.leads_to()
    );
    let page = visit.get(&format!("{CARD}?m=waist")).text();
    assert!(page.contains("value=\"27 3/8\""));
    assert!(page.contains("69.5 cm"), "echoed in the other unit");
    assert!(page.contains("Two taken"));
    // The second reading's eighth goes to the second box.
    visit.post(
        CARD,
        &[
            ("m", "waist"),
            ("r1", "27 3/8"),
            ("r2", "27"),
            ("part", "4"),
            ("do", "stay"),
        ],
    );
    let page = visit.get(&format!("{CARD}?m=waist")).text();
    assert!(page.contains("value=\"27 3/8\"") && page.contains("value=\"27 1/2\""));
    assert!(page.contains("Their mean counts"));
}

/// Catches typed text that is lost when it can't be read, and a fault that is not said at its box.
#[test]
fn what_cant_be_read_is_said_at_its_box() {
    let visit = visit("in");
    let answer = visit.post(
        CARD,
        &[
            ("m", "waist"),
            ("r1", "wide <b>"),
            ("r2", "27"),
            ("do", "next"),
        ],
    );
    assert_eq!(answer.status, 422);
    let page = answer.text();
    assert!(page.contains("value=\"wide &lt;b&gt;\"") && page.contains("value=\"27\""));
    assert!(page.contains("id=\"r1-fault\"") && page.contains("aria-invalid=\"true\""));
    assert_eq!(
        visit.get(&format!("{CARD}?m=nose")).status,
        200,
        "an unknown name opens the next measure"
    );
    assert_eq!(visit.post(CARD, &[("m", "nose"), ("r1", "3")]).status, 404);
}

/// Catches two readings far apart that pass without a third, or a third that does not decide.
#[test]
fn readings_that_disagree_ask_for_a_third() {
    let visit = visit("in");
    let answer = visit.post(
        CARD,
        &[("m", "waist"), ("r1", "27"), ("r2", "28"), ("do", "next")],
    );
    assert!(
        answer.leads_to().contains("m=waist"),
        "it stays: {}",
        answer.leads_to()
    );
    let page = visit.get(answer.leads_to()).text();
    assert!(page.contains("Third reading") && page.contains("They do not agree"));
    let answer = visit.post(
        CARD,
        &[
            ("m", "waist"),
            ("r1", "27"),
            ("r2", "28"),
            ("r3", "27 1/8"),
            ("do", "next"),
        ],
    );
    assert!(
        answer.leads_to().contains("m=high-hip"),
        "{}",
        answer.leads_to()
    );
    // The mean of the two that agree: 27 1/16, shown to the eighth.
    assert!(
        visit
            .get(CARD)
            .text()
            .contains("27\u{200a}<span class=\"fr\"><sup>1</sup>")
    );
}

/// Writes a card with one measure that no body has; gives the page that asks about it.
fn odd(visit: &Visit) -> String {
    for (measure, reading) in [
        ("height", "64"),
        ("waist", "28"),
        ("hip", "38"),
        ("knee", "14 1/2"),
        ("waist to knee", "23 1/2"),
        ("waist to floor", "41 1/2"),
        ("thigh", "23"),
    ] {
        write(visit, measure, reading);
    }
    let to = write(visit, "waist to hip", "22 1/4");
    assert!(
        to.contains("m=waist-to-hip"),
        "the question keeps her here: {to}"
    );
    visit.get(&to).text()
}

/// The address that an answer of the page is sent to.
fn answer_address(page: &str) -> String {
    let from = page.find("?q=").expect("a question") + 3;
    format!("{CARD}?q={}", &page[from..from + 16])
}

/// Catches a likely value that is not offered, is taken in part, or is taken by itself.
#[test]
fn the_likely_value_is_taken_in_a_tap() {
    let visit = visit("in");
    let page = odd(&visit);
    assert!(page.contains("value=\"22 1/4\""), "never changed by itself");
    assert!(
        page.contains("value=\"take\"")
            && page.contains("value=\"right\"")
            && page.contains("value=\"later\"")
    );
    // 22.25 cm is 8.76 in: written in the other unit.
    let taken = visit.post(
        &answer_address(&page),
        &[
            ("m", "waist to hip"),
            ("r1", "22 1/4"),
            ("r2", ""),
            ("do", "take"),
        ],
    );
    assert_eq!(taken.status, 303, "{}", taken.text());
    let page = visit.get(&format!("{CARD}?m=waist-to-hip")).text();
    assert!(page.contains("value=\"8 3/4\""), "{page}");
    assert!(
        page.contains("What was written here before") && page.contains("22\u{200a}"),
        "the history keeps it"
    );
}

/// Catches a doubted reading that makes the likely value of the next measure wrong too.
#[test]
fn what_is_asked_about_foretells_nothing() {
    let visit = visit("in");
    for (measure, reading) in [
        ("height", "65 1/2"),
        ("waist", "27 3/8"),
        ("hip", "38 1/4"),
        ("waist to hip", "8 1/2"),
        ("waist to knee", "32"),
    ] {
        write(&visit, measure, reading);
    }
    let page = visit.get(&format!("{CARD}?m=waist-to-floor")).text();
    let from = page.find("From her").expect("a likely value");
    let words = &page[from..page[from..].find("likely").map_or(page.len(), |n| from + n)];
    assert!(!words.contains("waist to knee"), "{words}");
}

/// Catches an answer that is forgotten, and one that silences another reading.
#[test]
fn mine_is_right_is_remembered_until_it_reads_otherwise() {
    let visit = visit("in");
    let page = odd(&visit);
    let said = visit.post(
        &answer_address(&page),
        &[
            ("m", "waist to hip"),
            ("r1", "22 1/4"),
            ("r2", ""),
            ("do", "right"),
        ],
    );
    assert!(
        !said.leads_to().contains("m=waist-to-hip"),
        "{}",
        said.leads_to()
    );
    assert!(
        !visit
            .get(&format!("{CARD}?m=waist-to-hip"))
            .text()
            .contains("value=\"right\"")
    );
    let to = write(&visit, "waist to hip", "22 1/2");
    assert!(
        to.contains("m=waist-to-hip"),
        "a new reading asks anew: {to}"
    );
    assert!(visit.get(&to).text().contains("value=\"right\""));
}

/// Catches a question that comes up again at once after it was put off, or that is lost.
#[test]
fn a_question_put_off_waits() {
    let visit = visit("in");
    let page = odd(&visit);
    let said = visit.post(
        &answer_address(&page),
        &[
            ("m", "waist to hip"),
            ("r1", "22 1/4"),
            ("r2", ""),
            ("do", "later"),
        ],
    );
    assert!(
        !said.leads_to().contains("m=waist-to-hip"),
        "{}",
        said.leads_to()
    );
    let page = visit.get(CARD).text();
    assert!(page.contains("of the card") && page.contains("?m=waist-to-hip"));
    assert!(
        visit
            .get(&format!("{CARD}?m=waist-to-hip"))
            .text()
            .contains("You put this off")
    );
}

/// Catches a phone and a page that write over each other.
#[test]
fn two_hands_on_one_measure_see_both() {
    let visit = visit("in");
    write(&visit, "waist", "27");
    let page = visit.get(&format!("{CARD}?m=waist")).text();
    let from = page.find("name=\"seen\" value=\"").expect("a mark") + 19;
    let seen: String = page[from..]
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    let first = visit.post(
        CARD,
        &[
            ("m", "waist"),
            ("seen", &seen),
            ("r1", "27 1/2"),
            ("r2", ""),
            ("do", "next"),
        ],
    );
    assert_eq!(first.status, 303);
    let second = visit.post(
        CARD,
        &[
            ("m", "waist"),
            ("seen", &seen),
            ("r1", "28"),
            ("r2", ""),
            ("do", "next"),
        ],
    );
    assert_eq!(second.status, 409);
    let page = second.text();
    assert!(page.contains("27 1/2") && page.contains(">28<"), "{page}");
    // What differs is marked, not by colour alone.
    assert_eq!(page.matches("<mark class=\"apart\">").count(), 2);
    let other = visit.post(
        CARD,
        &[
            ("m", "hip"),
            ("seen", &seen),
            ("r1", "38"),
            ("r2", ""),
            ("do", "next"),
        ],
    );
    assert_eq!(other.status, 303, "another measure is no quarrel");
}

/// Catches a second card that is filled from the first, and a change over an inch that is not told.
#[test]
fn a_new_card_stands_beside_the_old() {
    let visit = visit("in");
    write(&visit, "waist", "27");
    let head = [
        ("taken", "2024-05-24"),
        ("unit", "in"),
        ("waist", "natural"),
    ];
    let second = visit.post("/clients/1/cards/new", &head);
    assert_eq!(second.leads_to(), "/clients/1/cards/2");
    let at = second.leads_to();
    assert!(
        !visit
            .get(&format!("{at}?m=waist"))
            .text()
            .contains("value=\"27\""),
        "nothing is carried over"
    );
    visit.post(
        at,
        &[("m", "waist"), ("r1", "28 1/2"), ("r2", ""), ("do", "stay")],
    );
    let page = visit.get(&format!("{at}?m=waist")).text();
    assert!(page.contains("more than on 20 May 2024"), "{page}");
    visit.post(
        at,
        &[("m", "waist"), ("r1", "28"), ("r2", ""), ("do", "stay")],
    );
    assert!(
        !visit
            .get(&format!("{at}?m=waist"))
            .text()
            .contains("more than on"),
        "an inch is no news"
    );
    assert!(
        visit
            .get(&format!("{CARD}?m=waist"))
            .text()
            .contains("value=\"27\""),
        "the old card is as it was"
    );
}

/// Catches centimetres that are tapped wrongly or echoed in the same unit.
#[test]
fn a_card_in_centimetres() {
    let visit = visit("cm");
    let page = visit.get(&format!("{CARD}?m=waist")).text();
    assert!(page.contains("Millimetres to add"));
    visit.post(
        CARD,
        &[
            ("m", "waist"),
            ("r1", "69"),
            ("r2", ""),
            ("part", "5"),
            ("do", "stay"),
        ],
    );
    let page = visit.get(&format!("{CARD}?m=waist")).text();
    assert!(page.contains("value=\"69.5\""));
    assert!(
        visit
            .get("/cards/echo?text=69.5&unit=cm&measure=waist")
            .text()
            .contains("27")
    );
    // A length with its own unit keeps it.
    visit.post(
        CARD,
        &[("m", "hip"), ("r1", "38 in"), ("r2", ""), ("do", "stay")],
    );
    assert!(visit.get(&format!("{CARD}?m=hip")).text().contains("96.5"));
}

/// Catches readings that change their meaning when the card's unit is changed.
#[test]
fn readings_keep_their_unit_when_the_card_changes_its_own() {
    let visit = visit("in");
    write(&visit, "waist", "27");
    let head = [
        ("taken", "2024-05-20"),
        ("unit", "cm"),
        ("waist", "natural"),
        ("seen", "1"),
    ];
    assert_eq!(visit.post(&format!("{CARD}/head"), &head).status, 303);
    let page = visit.get(&format!("{CARD}?m=waist")).text();
    assert!(
        page.contains("value=\"27 in\"") && page.contains("68.6 cm"),
        "{page}"
    );
    // Sending it back as it stands changes nothing.
    visit.post(
        CARD,
        &[("m", "waist"), ("r1", "27 in"), ("r2", ""), ("do", "stay")],
    );
    let shelf = visit.room.shelf();
    let book = shelf.lock().unwrap();
    let id = book.card(book::ClientNo(1), book::CardNo(1)).unwrap().id;
    assert_eq!(book.reading_history(id).unwrap().len(), 1);
}

/// Catches an order that does not ask for its method's measures, in the method's order.
#[test]
fn an_order_asks_for_what_its_method_takes() {
    let visit = visit("in");
    let text = "method \"My skirt\"\n\ncard\n  hip\n  waist to floor\n  left fold\n  waist\n";
    let wanted = super::wanted::of(Some(text), "");
    let names: Vec<&str> = wanted.iter().map(|w| w.name.as_str()).collect();
    // A floor length is nothing without the heel it was taken in.
    assert_eq!(
        names,
        ["hip", "waist to floor", "heel", "left fold", "waist"]
    );
    let number = {
        let shelf = visit.room.shelf();
        let mut book = shelf.lock().unwrap();
        let order = NewOrder {
            title: "Skirt".into(),
            method: "my-skirt".into(),
            holds: vec![("method".into(), text.into())],
            ..NewOrder::of(book::ClientNo(1))
        };
        book.new_order(&order).unwrap()
    };
    let at = format!("/orders/{number}/card");
    assert!(
        visit
            .get(&at)
            .text()
            .contains("From which card is it worked?")
    );
    let chosen = visit.post(&at, &[("do", "choose"), ("card", "1")]);
    assert_eq!(chosen.status, 303, "{}", chosen.text());
    let page = visit.get(&at).text();
    assert!(
        page.contains(&format!("data-measure=\"{}\"", wanted[0].name)),
        "{wanted:?}"
    );
    assert!(page.contains("aria-label=\"Order"));
    let kept = visit.post(
        &at,
        &[
            ("m", &wanted[0].name),
            ("r1", "38"),
            ("r2", ""),
            ("do", "next"),
        ],
    );
    assert!(kept.leads_to().starts_with(&at), "{}", kept.leads_to());
    let shelf = visit.room.shelf();
    let mut book = shelf.lock().unwrap();
    // A card that is gone from the order leads back to the choice, never to a fault.
    let gone = Change {
        key: "card".into(),
        after: None,
    };
    book.change(number, None, "no card", "here", &[gone])
        .unwrap();
    drop(book);
    assert!(
        visit
            .get(&at)
            .text()
            .contains("From which card is it worked?")
    );
}

/// Catches an old card that says nothing.
#[test]
fn an_old_card_says_so() {
    let visit = visit("in");
    assert!(
        visit
            .get(CARD)
            .text()
            .contains("This card is two years old")
    );
    let today = visit.room.today().to_string();
    let head = [
        ("taken", today.as_str()),
        ("unit", "in"),
        ("waist", "natural"),
    ];
    visit.post("/clients/1/cards/new", &head);
    assert!(
        !visit
            .get("/clients/1/cards/2")
            .text()
            .contains("Bodies change")
    );
}

/// Catches a finished card that stays unfinished, and a page on paper that does not come.
#[test]
fn a_card_is_finished_and_a_blank_one_is_printed() {
    let visit = visit("in");
    assert_eq!(visit.post(CARD, &[("do", "finish")]).status, 303);
    assert!(!visit.get("/clients/1").text().contains("not finished"));
    let form = visit.get("/cards/blank").text();
    assert!(form.contains("name=\"paper\"") && form.contains("A4"));
    for address in [
        "/cards/blank?paper=a4&unit=cm",
        "/cards/blank?paper=letter&unit=in&method=",
    ] {
        let answer = visit.get(address);
        assert_eq!(answer.header("content-type"), "application/pdf");
        assert!(answer.bytes.starts_with(b"%PDF"));
    }
    assert_eq!(
        visit
            .get("/cards/blank?paper=a4&method=nothing-like-it")
            .status,
        404
    );
}

/// Catches a card for a skirt that can never be called finished, since nobody measured her neck; and one
/// that asks on when it is.
#[test]
fn a_card_is_finished_when_she_says_so() {
    let visit = visit("in");
    assert!(!visit.get(CARD).text().contains("value=\"finish\""));
    write(&visit, "waist", "27 1/2");
    assert!(
        visit
            .get(CARD)
            .text()
            .contains("That is all: the card is finished")
    );
    assert_eq!(visit.post(CARD, &[("do", "finish")]).status, 303);
    let page = visit.get(CARD).text();
    assert!(page.contains("The card is finished.") && page.contains("value=\"unfinish\""));
    assert!(!page.contains("data-measure="), "nothing is asked any more");
    // A measure is taken up all the same by pressing it.
    let hip = visit.get(&format!("{CARD}?m=hip")).text();
    assert!(hip.contains("data-measure=\"hip\""));
}

/// Catches an answer that is no answer: a floor length without a heel is right only if she was barefoot.
#[test]
fn a_floor_length_without_a_heel_asks_whether_she_was_barefoot() {
    let visit = visit("in");
    write(&visit, "waist to floor", "42");
    let heel = visit.get(&format!("{CARD}?m=heel")).text();
    assert!(heel.contains("so floor lengths count as barefoot"));
    assert!(heel.contains("It was taken barefoot") && !heel.contains("That is right"));
}
