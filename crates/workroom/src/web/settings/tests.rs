//! The settings as a browser sees them: what is set acts, backups hold, one client is carried and erased.
#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use axum::body::Body;
use axum::http::{StatusCode, header};
use book::{About, Book, Stamp};

use super::carry::{packed, unpacked};
use crate::web::testing::{HOST, Page, Visit};

fn with_client(name: &str) -> (Visit, book::ClientNo) {
    let mut book = Book::in_memory(Stamp::now).unwrap();
    let about = About {
        name: name.to_owned(),
        ..About::default()
    };
    let number = book.new_client(&about, false).unwrap();
    (Visit::with(book), number)
}

/// Sends a file as a browser does (RFC 7578).
fn send_file(visit: &Visit, address: &str, bytes: &[u8]) -> Page {
    let mut body =
        b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x\"\r\n\r\n".to_vec();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    let request = visit
        .request("POST", address)
        .header(header::ORIGIN, format!("http://{HOST}"))
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .body(Body::from(body))
        .unwrap();
    visit.send(request)
}

#[test]
fn what_is_set_stands_on_the_page_and_a_slip_is_told() {
    let (visit, _) = with_client("Ada");
    let kept = visit.post(
        "/settings",
        &[
            ("name", "Elm Street"),
            ("unit", "cm"),
            ("fraction", "16"),
            ("paper", "letter"),
            ("letters", "off"),
            ("hip_ease", "1 in"),
        ],
    );
    assert_eq!(kept.status, StatusCode::SEE_OTHER);
    let page = visit.get("/settings").text();
    assert!(page.contains("Elm Street") && page.contains("data-letters=\"off\""));
    let slip = visit.post("/settings", &[("hip_ease", "some")]);
    assert_eq!(slip.status, StatusCode::BAD_REQUEST);
    assert!(slip.text().contains("ease at the hip"));
}

/// Catches an order of hers that the cards do not follow, and a name that is unknown and lost.
#[test]
fn cards_ask_in_the_order_in_which_she_measures() {
    let (visit, _) = with_client("Ada");
    let slip = visit.post("/settings", &[("measures", "hip\r\nthe best bit\r\n")]);
    assert_eq!(slip.status, StatusCode::BAD_REQUEST);
    assert!(slip.text().contains("the best bit\u{201d} is no measure"));
    assert!(
        slip.text().contains(">\nhip"),
        "what she typed is still there"
    );
    let kept = visit.post("/settings", &[("measures", "Hip\r\nwaist\r\nknee\r\n")]);
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text());
    visit.post(
        "/clients/1/cards/new",
        &[
            ("taken", "2024-05-20"),
            ("unit", "in"),
            ("waist", "natural"),
        ],
    );
    let card = visit.get("/clients/1/cards/1").text();
    assert!(card.contains("data-measure=\"hip\""), "{card}");
    assert!(card.contains("of 3 taken"));
}

#[test]
fn an_ease_she_set_begins_only_where_the_method_offers_it() {
    let mut book = Book::in_memory(Stamp::now).unwrap();
    book.set("ease/hip ease", "1 in").unwrap();
    let with = "method \"x\"\n\nchoices\n  hip ease: 0 in\n";
    assert_eq!(
        super::begins(&book, with).unwrap(),
        vec![("choice/hip ease".to_owned(), "1 in".to_owned())]
    );
    assert!(super::begins(&book, "method \"x\"\n").unwrap().is_empty());
}

#[test]
fn a_client_is_carried_away_read_without_the_program_and_taken_in_again() {
    let (visit, number) = with_client("Ada <b>");
    let file = visit.post(&format!("/clients/{number}/export"), &[]);
    assert_eq!(file.header("content-type"), "application/zip");
    let parts = unpacked(&file.bytes).unwrap();
    let told = String::from_utf8_lossy(&parts["client.json"]).into_owned();
    assert!(told.contains("Ada <b>") && parts.contains_key("readme.txt"));
    let page = String::from_utf8_lossy(&parts["about-her.txt"]).into_owned();
    assert!(page.starts_with("Ada <b>\r\n"), "{page}");
    let (other, _) = with_client("Bea");
    let taken = send_file(&other, "/settings/import", &file.bytes);
    assert_eq!(taken.status, StatusCode::SEE_OTHER, "{}", taken.text());
    let again = send_file(&other, "/settings/import", &file.bytes);
    assert_ne!(
        again.status,
        StatusCode::SEE_OTHER,
        "she was taken in twice"
    );
    for bad in [&b""[..], b"PK", b"no zip at all"] {
        assert_eq!(
            send_file(&other, "/settings/import", bad).status,
            StatusCode::BAD_REQUEST
        );
    }
}

#[test]
fn a_file_that_unpacks_without_end_is_refused() {
    // 600 MB of noughts pack to less than one: a zip bomb.
    let export = book::Export {
        told: serde_json::json!({}),
        files: vec![("orders/1/x.pdf".to_owned(), vec![0; 600 * 1024 * 1024])],
    };
    let bomb = packed(&export).unwrap();
    assert!(unpacked(&bomb).unwrap_err().contains("too much"));
}

#[test]
fn she_is_erased_only_when_her_name_is_typed() {
    let (visit, number) = with_client("Ada Lind");
    let address = format!("/clients/{number}/erase");
    // Catches a page that nothing leads to.
    let hers = visit.get(&format!("/clients/{number}")).text();
    assert!(hers.contains(&format!("href=\"{address}\"")), "{hers}");
    assert!(visit.get(&address).text().contains("Erase Ada Lind?"));
    assert_eq!(
        visit.post(&address, &[("name", "Ada")]).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    let slip = visit.post(&address, &[("name", "Ada")]).text();
    assert!(slip.contains("value=\"Ada\"") && slip.contains("nothing was erased"));
    // Catches a name that can't be typed as the page shows it: with two blanks in the records.
    let (double, her) = with_client("Ngọc  Đỗ");
    let address_of_her = format!("/clients/{her}/erase");
    assert_eq!(
        double
            .post(&address_of_her, &[("name", " ngọc Đỗ ")])
            .status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(visit.get(&address).status, StatusCode::OK);
    assert_eq!(
        visit.post(&address, &[("name", "Ada Lind")]).status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(visit.get(&address).status, StatusCode::NOT_FOUND);
}

/// Catches an erasing that leaves whole copies of her on this computer without a word, or stops at the first
/// one that can't be cleaned; and a deleting of anything else than such a copy.
#[test]
fn what_may_still_hold_her_is_told_and_can_be_deleted() {
    let place = tempfile::tempdir().unwrap();
    let mut book = Book::open(place.path(), Stamp::now).unwrap();
    for name in ["Ada Lind", "Bea Lind"] {
        let about = About {
            name: name.to_owned(),
            ..About::default()
        };
        book.new_client(&about, false).unwrap();
    }
    let whole = book.back_up().unwrap().path;
    let backups = place.path().join("backups");
    let damaged = backups.join("before-restore-00002-2026-01-01T10-00-00Z.db");
    let aside = place.path().join("damaged-2026-01-01T10-00-00Z.db");
    for file in [&damaged, &aside] {
        std::fs::write(file, "Ada Lind").unwrap();
    }
    let holds_her = |file: &std::path::Path| {
        let bytes = std::fs::read(file).unwrap();
        bytes.windows(8).any(|w| w == b"Ada Lind")
    };
    assert!(holds_her(&whole));
    let visit = Visit::with(book);
    let form = [("name", "Ada Lind"), ("backups", "yes")];
    let told = visit.post("/clients/1/erase", &form);
    assert_eq!(told.status, StatusCode::OK, "{}", told.text());
    let text = told.text();
    assert!(text.contains("She is erased.") && text.contains("it is damaged"));
    for file in [&damaged, &aside] {
        let name = file.file_name().unwrap().to_str().unwrap();
        assert!(text.contains(&format!("value=\"{name}\"")), "{text}");
    }
    assert!(!holds_her(&whole), "the older one is cleaned all the same");
    assert_eq!(visit.get("/clients/1").status, StatusCode::NOT_FOUND);
    // Only what was told is deleted, and only by its name.
    let name = |file: &std::path::Path| file.file_name().unwrap().to_str().unwrap().to_owned();
    for other in [name(&whole).as_str(), "book.db", "../book.db", ""] {
        let kept = visit.post("/settings/left", &[("name", other)]);
        assert!(kept.text().contains(&name(&damaged)), "{other}");
    }
    let one = visit.post("/settings/left", &[("name", &name(&damaged))]);
    assert!(one.text().contains(&name(&aside)) && !one.text().contains(&name(&damaged)));
    let last = visit.post("/settings/left", &[("name", &name(&aside))]);
    assert_eq!(last.leads_to(), "/clients?said=cleaned");
    assert!(!damaged.exists() && !aside.exists() && whole.exists());
    // With nothing left there is no more to say.
    let form = [("name", "Bea Lind"), ("backups", "yes")];
    let told = visit.post("/clients/2/erase", &form);
    assert_eq!(told.leads_to(), "/clients?said=erased");
}

/// Catches an erasing that was done and is told as if all were still kept: she would try it again, and
/// find nobody.
#[test]
fn an_erasing_with_traces_left_is_told_as_what_it_is() {
    let full = book::Trouble::Unswept(Box::new(book::Trouble::Full));
    let page = super::carry::erased(Some(&full), &[]);
    assert_eq!(page.status(), StatusCode::OK);
    let trouble = crate::web::trouble::Trouble::from(full);
    assert_eq!(trouble.status, StatusCode::INSUFFICIENT_STORAGE);
    assert!(trouble.title.contains("It is erased"), "{trouble:?}");
    for part in [
        "gone from the records",
        "too full",
        "Make room",
        "start the workroom again",
    ] {
        assert!(trouble.says.contains(part), "{trouble:?}");
    }
    assert!(!trouble.says.contains("kept"), "{trouble:?}");
}

#[test]
fn a_backup_is_looked_into_first_and_then_restored() {
    let (visit, _) = with_client("Ada");
    let file = visit.post("/settings/backup/file", &[]);
    assert!(file.bytes.starts_with(b"SQLite format 3"));
    let (other, _) = with_client("Bea");
    let look = send_file(&other, "/settings/restore", &file.bytes);
    assert_eq!(look.status, StatusCode::OK, "{}", look.text());
    assert!(look.text().contains("This backup holds 1 client"));
    assert_eq!(
        other.post("/settings/restore/do", &[]).status,
        StatusCode::SEE_OTHER
    );
    let names: Vec<String> = crate::web::calm_lock(&other.room.shelf())
        .clients()
        .unwrap()
        .into_iter()
        .map(|c| c.client.about.name)
        .collect();
    assert_eq!(names, ["Ada"]);
    assert_eq!(
        other.post("/settings/restore/do", &[]).status,
        StatusCode::BAD_REQUEST
    );
    assert_eq!(
        send_file(&other, "/settings/restore", b"not a backup").status,
        StatusCode::BAD_REQUEST
    );
}

/// The word by which the page of a backup that was looked into asks for it.
fn word(page: &Page) -> String {
    let text = page.text();
    let (_, from) = text.split_once("name=\"word\" value=\"").unwrap();
    from.split('"').next().unwrap().to_owned()
}

/// Would catch a page that restores another file than the one it told of: two windows each looked into one.
#[test]
fn two_windows_restore_the_file_that_each_told_of() {
    let backup = |name| {
        let (of, _) = with_client(name);
        of.post("/settings/backup/file", &[]).bytes
    };
    let (visit, _) = with_client("Bea");
    let names = || -> Vec<String> {
        let shelf = visit.room.shelf();
        let all = crate::web::calm_lock(&shelf).clients().unwrap();
        all.into_iter().map(|c| c.client.about.name).collect()
    };
    let first = word(&send_file(&visit, "/settings/restore", &backup("Ada")));
    let second = word(&send_file(&visit, "/settings/restore", &backup("Cleo")));
    let old = visit.post("/settings/restore/do", &[("word", &first)]);
    assert_eq!(old.status, StatusCode::CONFLICT);
    assert!(old.text().contains("Another file was looked into since"));
    assert_eq!(names(), ["Bea"]);
    // The old page leaves alone what the other window waits for.
    visit.post("/settings/restore/leave", &[("word", &first)]);
    let new = visit.post("/settings/restore/do", &[("word", &second)]);
    assert_eq!(new.status, StatusCode::SEE_OTHER, "{}", new.text());
    assert_eq!(names(), ["Cleo"]);
}

/// Would catch a whole copy of every client that stays on this computer after she left everything as it
/// was, or after the workroom was shut.
#[test]
fn a_backup_that_was_only_looked_into_does_not_stay() {
    let (of, _) = with_client("Ada");
    let file = of.post("/settings/backup/file", &[]).bytes;
    let place = tempfile::tempdir().unwrap();
    let waiting = || -> Vec<std::path::PathBuf> {
        let all = std::fs::read_dir(place.path().join("backups")).unwrap();
        all.map(|entry| entry.unwrap().path()).collect()
    };
    let visit = Visit::with(Book::open(place.path(), Stamp::now).unwrap());
    let look = || send_file(&visit, "/settings/restore", &file);
    let page = look();
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    let lies = waiting();
    assert_eq!(lies.len(), 1, "it lies beside the book alone: {lies:?}");
    assert_eq!(std::fs::read(&lies[0]).unwrap(), file);
    // What she sees leaves it by a press: looking changes nothing.
    assert!(page.text().contains("action=\"/settings/restore/leave\""));
    let left = visit.post("/settings/restore/leave", &[("word", &word(&page))]);
    assert_eq!(left.leads_to(), "/settings");
    assert_eq!(waiting().len(), 0);
    let again = visit.post("/settings/restore/do", &[("word", &word(&page))]);
    assert_eq!(again.status, StatusCode::BAD_REQUEST);
    // A later one takes the place of the one before; a file that is none does not stay either.
    look();
    look();
    send_file(&visit, "/settings/restore", b"not a backup");
    assert_eq!(waiting().len(), 1);
    drop(visit);
    assert_eq!(waiting().len(), 0);
}

/// What a form sends.
type Form = &'static [(&'static str, &'static str)];

/// A page, what each of two windows sends, what the second one is shown, and a setting of the first.
type Quarrel = (
    &'static str,
    [Form; 2],
    &'static [&'static str],
    (&'static str, &'static str),
);

/// The mark of what a page of settings showed.
fn seen(page: &Page) -> String {
    let text = page.text();
    let (_, from) = text.split_once("name=\"seen\" value=\"").unwrap();
    from.split('"').next().unwrap().to_owned()
}

/// What is set under this name.
fn set(visit: &Visit, name: &str) -> Option<String> {
    let shelf = visit.room.shelf();
    let book = crate::web::calm_lock(&shelf);
    book.setting(name).unwrap()
}

/// Would catch a page of settings that takes back without a word what another window set meanwhile, and one
/// that loses what was typed.
#[test]
fn two_windows_never_set_over_each_other_silently() {
    let (visit, _) = with_client("Ada");
    let pages: [Quarrel; 3] = [
        (
            "/settings",
            [
                &[("name", "Elm Street"), ("paper", "letter")],
                &[("name", "Ada <b>"), ("measures", "hip\r\nwaist")],
            ],
            &[
                "Usual paper: Letter",
                "value=\"Ada &lt;b&gt;\"",
                "value=\"hip\r\nwaist\"",
            ],
            ("name", "Elm Street"),
        ),
        (
            "/settings/allowances",
            [&[("cloth/side", "1 1/2")], &[("cloth/hem", "2")]],
            &["Side seams,", "name=\"cloth/hem\" value=\"2\""],
            (
                "allowances",
                "unit = \"in\"\n\n[cloth]\nside = \"1 1/2\"\n\n[toile]\n",
            ),
        ),
        (
            "/settings/quote",
            [
                &[("quote/currency", "EUR"), ("quote/rate", "30")],
                &[("quote/currency", "EUR"), ("quote/rate", "41")],
            ],
            &["An hour of your work: ", "name=\"quote/rate\" value=\"41\""],
            ("quote/rate", "30"),
        ),
    ];
    for (at, [first, second], shown, (name, value)) in pages {
        let old = seen(&visit.get(at));
        let send = |mark: &str, form: &[(&str, &str)]| {
            let mut form = form.to_vec();
            form.push(("seen", mark));
            visit.post(at, &form)
        };
        assert_eq!(send(&old, first).status, StatusCode::SEE_OTHER, "{at}");
        assert_eq!(set(&visit, name).as_deref(), Some(value), "{at}");
        // The same wish is no quarrel, though the page is old.
        assert_eq!(send(&old, first).status, StatusCode::SEE_OTHER, "{at}");
        let both = send(&old, second);
        assert_eq!(both.status, StatusCode::CONFLICT, "{at}");
        assert_eq!(set(&visit, name).as_deref(), Some(value), "{at}");
        let page = both.text();
        for part in shown.iter().chain(&["Keep mine", "<mark class=\"apart\">"]) {
            assert!(page.contains(part), "{at}: {part} in {page}");
        }
        let kept = send(&seen(&both), second);
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{at}");
        assert_ne!(set(&visit, name).as_deref(), Some(value), "{at}");
    }
    // As at the beginning is a wish as well.
    let at = "/settings/allowances";
    let old = seen(&visit.get(at));
    visit.post(at, &[("cloth/side", "1 1/2")]);
    let both = visit.post(at, &[("do", "fresh"), ("seen", &old)]);
    assert_eq!(both.status, StatusCode::CONFLICT);
    assert!(both.text().contains("name=\"do\" value=\"fresh\""));
    let fresh = visit.post(at, &[("do", "fresh"), ("seen", &seen(&both))]);
    assert_eq!(fresh.status, StatusCode::SEE_OTHER);
    assert_eq!(set(&visit, "allowances").as_deref(), Some(""));
    // A slip on an old page is told there, and the page stays as old as it is.
    for (at, slip) in [
        ("/settings", ("hip_ease", "some")),
        ("/settings/allowances", ("cloth/side", "wide")),
        ("/settings/quote", ("quote/rate", "much")),
    ] {
        let told = visit.post(at, &[slip, ("seen", "older")]);
        assert!(told.status.is_client_error(), "{at}");
        assert_eq!(seen(&told), "older", "{at}");
    }
}

/// Would catch a number that is read in another unit than its page said, because another window changed the
/// unit meanwhile: 4 in would become 4 cm.
#[test]
fn a_number_is_meant_as_its_page_said() {
    let (visit, _) = with_client("Ada");
    let page = visit.get("/settings/allowances").text();
    assert!(page.contains("name=\"unit\" value=\"in\""));
    visit.post("/settings", &[("unit", "cm")]);
    let form = [("unit", "in"), ("cloth/side", "4")];
    visit.post("/settings/allowances", &form);
    let kept = set(&visit, "allowances").unwrap();
    assert!(kept.starts_with("unit = \"in\"\n"), "{kept}");
    let page = visit.get("/settings/allowances").text();
    assert!(page.contains("value=\"4 in\""), "{page}");
}

/// Would catch a language that is only a word on the page; a paper in another language that takes the
/// place of one that was made before; a torn sheet of it that can't be printed again.
#[test]
fn papers_come_in_the_language_that_is_set() {
    let Some((visit, order)) = Visit::demo("a-line") else {
        return;
    };
    let spoken = |file: &[u8], tag: &str| {
        let lang = format!("/Lang ({tag})");
        file.windows(lang.len()).any(|w| w == lang.as_bytes())
    };
    let print = || {
        let made = visit.post(
            &format!("/orders/{order}/paper"),
            &[("paper", "a4"), ("anyway", "yes")],
        );
        made.leads_to().replace("?said=made", "")
    };
    let at = print();
    let english = visit.get(&format!("{at}/pattern-a4.pdf")).bytes;
    assert!(spoken(&english, "en"));
    let set = visit.post("/settings", &[("language", "de")]);
    assert_eq!(set.status, StatusCode::SEE_OTHER);
    assert!(
        visit
            .get("/settings")
            .text()
            .contains("value=\"de\" checked")
    );
    assert_eq!(print(), at, "the draft is the same version");
    let page = visit.get(&at).text();
    assert!(page.contains("In Deutsch."), "{page}");
    assert_eq!(page.matches("Only sheet").count(), 2);
    let german = visit
        .get(&format!("{at}/pattern-a4.pdf?looks=in%20Deutsch"))
        .bytes;
    assert!(spoken(&german, "de"));
    assert_eq!(visit.get(&format!("{at}/pattern-a4.pdf")).bytes, english);
    let blank = visit.get("/cards/blank?paper=a4&unit=cm").bytes;
    assert!(spoken(&blank, "de"));
    visit.post("/settings", &[("language", "xx")]);
    assert!(spoken(
        &visit.get("/cards/blank?paper=a4&unit=cm").bytes,
        "en"
    ));
}
