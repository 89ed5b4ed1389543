//! Every example of the page is tried: read, checked, worked for its card, and compared with what the
//! page says it makes. `UPDATE_PAGE=1` writes the table of the vocabulary anew.
#![allow(
    clippy::unwrap_used,
    reason = "a test or an example stops, and prints, where it must"
)]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use draft::vocabulary::{Bit, Slot, Where, table};
use draft::worked::Worked;
use draft::{Library, Wish};
use measure::Length;
use measure::card::Card;
use measure::fraction::{Shown, Unit};

fn page_path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/method-language.md")
}

fn page() -> String {
    std::fs::read_to_string(page_path()).unwrap()
}

/// A fenced example: its kind, what stands behind the kind, its text, and its line on the page.
struct Fence {
    kind: String,
    of: String,
    text: String,
    line: usize,
}

fn fences(page: &str) -> Vec<Fence> {
    let mut out = Vec::new();
    let mut open: Option<Fence> = None;
    for (i, line) in page.lines().enumerate() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(_), Some(_)) => out.extend(open.take()),
            (Some(head), None) => {
                let (kind, of) = head.split_once(' ').unwrap_or((head, ""));
                open = Some(Fence {
                    kind: kind.to_owned(),
                    of: of.to_owned(),
                    text: String::new(),
                    line: i + 1,
                });
            }
            (None, Some(fence)) => {
                fence.text.push_str(line);
                fence.text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "an example is not closed");
    out
}

/// A card of the page, and the choices it sets.
#[derive(Clone)]
struct Client {
    card: Card,
    set: Vec<(String, String)>,
}

fn client(fence: &Fence) -> Client {
    let mut out = Client {
        card: Card::new("invented", Unit::Inch),
        set: Vec::new(),
    };
    for line in fence.text.lines() {
        if let Some((choice, value)) = line.split_once(" = ") {
            out.set.push((choice.to_owned(), value.to_owned()));
            continue;
        }
        let words: Vec<&str> = line.rsplitn(3, ' ').collect();
        let [unit, number, name] = words[..] else {
            panic!("line {}: {line}", fence.line);
        };
        let number: f64 = number.parse().unwrap();
        let length = match unit {
            "in" => Length::inches(number),
            "cm" => Length::cm(number),
            other => panic!("line {}: {other}", fence.line),
        };
        out.card = out.card.with(name, length);
    }
    out
}

/// A length to a thousandth of an inch, without the noughts that say nothing.
fn figure(length: Length) -> String {
    let said = format!("{:.3}", length.in_inches());
    said.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What a draft made, a line for each piece, seam and result.
fn made(worked: &Worked) -> Vec<String> {
    let mut out = Vec::new();
    for piece in &worked.pieces {
        let edges: Vec<String> = piece
            .edges
            .iter()
            .filter(|edge| edge.curve.length().in_inches() > 1e-9)
            .map(|edge| {
                format!(
                    "{} {}",
                    edge.name,
                    figure(piece.sewn_length(&edge.name).unwrap())
                )
            })
            .collect();
        out.push(format!("{}: {}", piece.name, edges.join(", ")));
    }
    for seam in &worked.seams {
        out.push(format!(
            "{}: {} with {}",
            seam.name,
            figure(seam.a_length),
            figure(seam.b_length)
        ));
    }
    for result in &worked.results {
        out.push(format!(
            "{} = {}",
            result.name,
            result.value.shown(Shown::inches())
        ));
    }
    out
}

/// The page's methods and fragments in order, each with its card if one was given.
struct Lesson {
    text: String,
    line: usize,
    notes: Option<Vec<String>>,
    client: Option<Client>,
    lengths: Option<Vec<String>>,
}

fn lessons() -> Vec<Lesson> {
    let page = page();
    let mut out: Vec<Lesson> = Vec::new();
    for fence in fences(&page) {
        let lines = || fence.text.lines().map(str::to_owned).collect();
        match fence.kind.as_str() {
            "method" => out.push(Lesson {
                text: fence.text.clone(),
                line: fence.line,
                notes: None,
                client: None,
                lengths: None,
            }),
            "sheet" | "below" => {
                let title = format!("method \"{}\"", fence.of);
                let base = out
                    .iter()
                    .find(|l| l.text.starts_with(&title))
                    .unwrap_or_else(|| panic!("line {}: no {title}", fence.line));
                let text = if fence.kind == "sheet" {
                    base.text
                        .replacen("\npieces\n", &format!("\n{}\npieces\n", fence.text), 1)
                } else {
                    format!("{}\n{}", base.text, fence.text)
                };
                let client = base.client.clone();
                out.push(Lesson {
                    text,
                    line: fence.line,
                    notes: None,
                    client,
                    lengths: None,
                });
            }
            "notes" => out.last_mut().unwrap().notes = Some(lines()),
            "card" => out.last_mut().unwrap().client = Some(client(&fence)),
            "lengths" => out.last_mut().unwrap().lengths = Some(lines()),
            "grammar" => {}
            other => panic!("line {}: what is `{other}`?", fence.line),
        }
    }
    out
}

/// Every method and fragment reads and checks without a note, or with the notes that the page shows;
/// and is worked without a fault for its card, making what the page says it makes.
#[test]
fn every_example_does_what_the_page_says() {
    let lessons = lessons();
    assert!(lessons.len() > 15);
    let texts: Vec<&str> = lessons
        .iter()
        .filter(|l| l.notes.is_none())
        .map(|l| l.text.as_str())
        .collect();
    let library = Library::new(texts);
    let mut wrong = String::new();
    for lesson in &lessons {
        let reading = draft::read(&lesson.text);
        let notes: Vec<String> = draft::check(&reading, &library)
            .iter()
            .map(draft::Note::says)
            .collect();
        let expected = lesson.notes.clone().unwrap_or_default();
        if notes != expected {
            let _ = writeln!(wrong, "line {}: notes\n{}", lesson.line, notes.join("\n"));
            continue;
        }
        let (Some(client), true) = (&lesson.client, expected.is_empty()) else {
            continue;
        };
        let wish = Wish {
            card: &client.card,
            set: &client.set,
            predict: false,
            untrued: false,
            shown: Shown::inches(),
            corrections: &[],
        };
        let worked = draft::work(&reading, &library, &wish);
        for fault in worked
            .notes
            .iter()
            .map(draft::Note::says)
            .chain(worked.faults.iter().cloned())
        {
            let _ = writeln!(wrong, "line {}: {fault}", lesson.line);
        }
        for seam in worked
            .seams
            .iter()
            .filter(|s| s.difference.in_inches().abs() > 1e-6)
        {
            let _ = writeln!(
                wrong,
                "line {}: {} is out by {}",
                lesson.line,
                seam.name,
                seam.difference.in_inches()
            );
        }
        let made = made(&worked);
        let missing: Vec<&String> = lesson
            .lengths
            .iter()
            .flatten()
            .filter(|line| !made.contains(line))
            .collect();
        if !missing.is_empty() {
            let _ = writeln!(
                wrong,
                "line {}: not made: {missing:?}\n{}",
                lesson.line,
                made.join("\n")
            );
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// A whole example with a card shows what it makes: an example that is only read proves little.
#[test]
fn methods_with_a_card_show_what_they_make() {
    let mut shown = 0;
    for lesson in lessons() {
        if lesson.text.starts_with("method") && lesson.client.is_some() && lesson.notes.is_none() {
            shown += usize::from(lesson.lengths.is_some());
        }
    }
    assert!(shown >= 8, "{shown}");
}

/// Every form of the vocabulary stands in an example of the page, so that no form is only listed.
#[test]
fn every_form_is_shown_in_an_example() {
    let mut used: Vec<String> = Vec::new();
    for lesson in lessons() {
        let tree = format!("{:?}", draft::read(&lesson.text).method);
        for form in tree.split("pattern: \"").skip(1) {
            used.extend(form.split('"').next().map(str::to_owned));
        }
    }
    let missing: Vec<&str> = table()
        .iter()
        .filter(|row| row.place != Where::Way && !used.iter().any(|u| u == row.pattern))
        .map(|row| row.pattern)
        .collect();
    assert!(missing.is_empty(), "{missing:#?}");
}

/// What a place of a form takes, as the page says it.
fn slot(slot: Slot) -> &'static str {
    match slot {
        Slot::Length => "LENGTH",
        Slot::Number => "NUMBER",
        Slot::Angle => "ANGLE",
        Slot::Ask => "QUESTION",
        Slot::Point => "POINT",
        Slot::Points => "POINT then POINT …",
        Slot::Edge => "LINE",
        Slot::Edges => "LINE then LINE …",
        Slot::Own => "EDGE",
        Slot::Straight => "LINE or RULING",
        Slot::Ruling => "RULING",
        Slot::Spot => "RULING or POINT",
        Slot::PointOrOwn => "POINT or EDGE",
        Slot::Dart => "DART",
        Slot::Sheet => "SHEET or PIECE",
        Slot::Way => "DIRECTION",
        Slot::Word => "WORD",
        Slot::BodyLevel => "BODY level",
        Slot::Text => "TEXT",
        Slot::Free => "VALUE",
    }
}

fn place(place: Where) -> &'static str {
    match place {
        Where::Level => "level",
        Where::LevelMore => "after a level",
        Where::Upright => "upright",
        Where::Place => "point",
        Where::PlaceMore => "after a point",
        Where::Line => "line, first",
        Where::Leg => "line, then",
        Where::LegMore => "after a leg",
        Where::Dart => "dart",
        Where::Piece => "piece",
        Where::Seam => "seam",
        Where::Finish => "finish",
        Where::Way => "direction",
    }
}

/// The vocabulary as the page prints it: a line for each place, its forms in order.
fn vocabulary() -> String {
    let mut out = String::from("| under | forms |\n|---|---|\n");
    let mut before: Option<Where> = None;
    for row in table() {
        let form: Vec<&str> = row
            .bits
            .iter()
            .map(|bit| match bit {
                Bit::Word(word) => word,
                Bit::Slot(_, kind) => slot(*kind),
            })
            .collect();
        let form = form.join(" ");
        if before == Some(row.place) {
            let _ = write!(out, " · `{form}`");
        } else {
            let end = if before.is_some() { " |\n" } else { "" };
            let _ = write!(out, "{end}| {} | `{form}`", place(row.place));
        }
        before = Some(row.place);
    }
    out.push_str(" |\n");
    out
}

/// The table on the page is the table of the program.
#[test]
fn the_vocabulary_on_the_page_is_the_programs() {
    let page = page();
    let (begin, end) = ("<!-- vocabulary begins -->\n", "<!-- vocabulary ends -->");
    let from = page.find(begin).unwrap() + begin.len();
    let to = page.find(end).unwrap();
    if std::env::var_os("UPDATE_PAGE").is_some() {
        let new = format!("{}{}{}", &page[..from], vocabulary(), &page[to..]);
        std::fs::write(page_path(), new).unwrap();
        return;
    }
    assert!(
        page[from..to] == vocabulary(),
        "the table on the page is stale: run this test once with UPDATE_PAGE=1"
    );
}
