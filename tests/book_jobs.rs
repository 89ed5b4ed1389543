//! What the command line does with the records of the workroom, through the built program.
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

use std::fs;
use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use serde_json::Value;
use tests::{Ran, Scratch, ellwand, names_in, program};

/// Every paper of an order, with its report.
const PAPERS: [&str; 11] = [
    "class-sheet.pdf",
    "hand-sheet.pdf",
    "pattern-a0.pdf",
    "pattern-a3.pdf",
    "pattern-a4.pdf",
    "pattern-letter.pdf",
    "pattern-roll.pdf",
    "pattern.dxf",
    "pattern.plt",
    "pattern.svg",
    "report.json",
];

/// The workroom, open; it is closed when dropped.
struct Open(Child);

impl Drop for Open {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Opens the workroom and waits until it shows its address: then the demo is laid out.
fn open(data: &Path) -> (Open, String) {
    let mut child = Command::new(program())
        .args(["--no-open", "--port", "0", "--data"])
        .arg(data)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let out = BufReader::new(child.stdout.take().unwrap());
    let open = Open(child);
    let mut lines = out.lines().map_while(Result::ok);
    let line = lines.find(|l| l.contains("http://")).unwrap();
    std::thread::spawn(move || lines.for_each(drop));
    let at = line.find("http://").unwrap();
    let address = line[at..].split("/start").next().unwrap().to_owned();
    (open, address)
}

/// A folder with the demo's records in it, the workroom closed again.
fn demo(scratch: &Scratch) -> String {
    let data = scratch.path().join("data");
    drop(open(&data));
    scratch.word("data")
}

fn listed(what: &str, data: &str) -> Vec<Value> {
    let ran = ellwand(&[what, "--json", "--data", data]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.err.is_empty(), "{ran:?}");
    let json = ran.json();
    assert_eq!(json["format"], 1);
    json[what].as_array().unwrap().clone()
}

/// The demo's order by this method.
fn order_by(method: &str, data: &str) -> Value {
    let all = listed("orders", data);
    all.iter().find(|o| o["method"] == method).unwrap().clone()
}

fn refused(words: &[&str], says: &[&str]) -> Ran {
    let ran = ellwand(words);
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.out.is_empty(), "{ran:?}");
    assert_eq!(ran.err.lines().count(), 1, "{ran:?}");
    for word in says {
        assert!(ran.err.contains(word), "{word}: {ran:?}");
    }
    ran
}

/// Would catch a list that leaves somebody out, a client's number that belongs to no client, text
/// beside the answer for a program.
#[test]
fn clients_and_orders_are_listed_for_her_and_for_a_program() {
    let scratch = Scratch::new();
    let data = demo(&scratch);
    let (clients, orders) = (listed("clients", &data), listed("orders", &data));
    assert!(clients.len() >= 2 && !orders.is_empty());
    for order in &orders {
        let client = clients.iter().find(|c| c["number"] == order["client"]);
        assert_eq!(client.unwrap()["name"], order["client_name"]);
        // The demo is told apart, and counts from 9001 on.
        assert_eq!(order["demo"], true);
        assert!(order["number"].as_u64().unwrap() > 9000);
        assert_eq!(order["closed"], Value::Null);
    }
    for (what, all) in [("clients", &clients), ("orders", &orders)] {
        let ran = ellwand(&[what, "--data", &data]);
        assert_eq!(ran.code, 0, "{ran:?}");
        for one in all {
            let number = one["number"].to_string();
            let line = ran.out.lines().find(|l| l.trim().starts_with(&number));
            assert!(line.unwrap().ends_with("; demo"), "{ran:?}");
        }
    }
}

/// Would catch a paper that is left out, a version that the book does not keep, a reprint that is
/// another sheet.
#[test]
fn all_papers_of_an_order_are_made_and_kept() {
    let scratch = Scratch::new();
    let data = demo(&scratch);
    let number = order_by("a-line", &data)["number"].to_string();
    let (one, two) = (scratch.word("one"), scratch.word("two"));
    let ran = ellwand(&["order", &number, "--out", &one, "--data", &data]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.contains("version 1"), "{ran:?}");
    assert!(!ran.out.contains("--set"), "an order has no --set: {ran:?}");
    assert_eq!(names_in(Path::new(&one)), PAPERS);
    for name in PAPERS {
        let bytes = fs::read(Path::new(&one).join(name)).unwrap();
        assert!(bytes.len() > 500, "{name}");
        let pdf = Path::new(name).extension().is_some_and(|e| e == "pdf");
        assert_eq!(bytes.starts_with(b"%PDF-"), pdf, "{name}");
    }
    let report: Value =
        serde_json::from_slice(&fs::read(Path::new(&one).join("report.json")).unwrap()).unwrap();
    assert_eq!(report["format"], 1);
    assert!(ran.out.contains(report["version"].as_str().unwrap()));
    // Once more: the same version, and the same bytes.
    let ran = ellwand(&["order", &number, "--out", &two, "--data", &data]);
    assert!(ran.out.contains("version 1"), "{ran:?}");
    for name in PAPERS {
        let read = |out: &str| fs::read(Path::new(out).join(name)).unwrap();
        assert!(read(&one) == read(&two), "{name}");
    }
    // What is kept goes with her when she is carried away.
    let client = order_by("a-line", &data)["client"].to_string();
    let file = scratch.word("her.zip");
    let ran = ellwand(&["export", &client, &file, "--data", &data]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let zip = fs::read(&file).unwrap();
    assert!(zip.starts_with(b"PK\x03\x04"));
    // Names stand as they are in a zip, packed or not.
    for name in ["client.json", "readme.txt", "pattern-a4.pdf"] {
        assert!(
            zip.windows(name.len()).any(|w| w == name.as_bytes()),
            "{name}"
        );
    }
}

/// Would catch papers that are half made, and a folder that is made for nothing.
#[test]
fn an_order_that_is_not_there_or_has_no_place_makes_nothing() {
    let scratch = Scratch::new();
    let data = demo(&scratch);
    let never = scratch.word("never");
    let made = |number: &str, out: &str, says: &[&str]| {
        refused(&["order", number, "--out", out, "--data", &data], says);
    };
    made("777", &never, &["order 777", "ellwand orders"]);
    let number = order_by("a-line", &data)["number"].to_string();
    let file = scratch.file("file", "mine");
    made(&number, &file, &["file", "--out"]);
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    for number in ["0", "-1", "x", "99999999999"] {
        let ran = ellwand(&["order", number, "--out", &never, "--data", &data]);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(ran.out.is_empty() && !ran.err.is_empty(), "{ran:?}");
    }
    assert!(!Path::new(&never).exists());
}

/// Would catch a backup that does not bring everything back, one that is taken for the workroom's own
/// file, and a file that is none taken for one.
#[test]
fn a_backup_brings_everything_back_on_another_computer() {
    let scratch = Scratch::new();
    let data = demo(&scratch);
    let (file, other) = (scratch.word("all.db"), scratch.word("other"));
    let ran = ellwand(&["backup", &file, "--data", &data]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(fs::read(&file).unwrap().starts_with(b"SQLite format 3\0"));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = fs::metadata(&file).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "others may read it");
    }
    // A file that is none leaves no records behind.
    let none = scratch.file("none.db", "no backup");
    refused(
        &["restore", &none, "--data", &other],
        &["none.db", "backup"],
    );
    assert!(!Path::new(&other).join("book.db").exists());
    let ran = ellwand(&["restore", &file, "--data", &other]);
    assert_eq!(ran.code, 0, "{ran:?}");
    for what in ["clients", "orders"] {
        assert_eq!(listed(what, &data), listed(what, &other));
    }
    // Over what is there: it is kept as a backup of its own, and named.
    let ran = ellwand(&["restore", &file, "--data", &other]);
    assert!(ran.out.contains("before-restore-"), "{ran:?}");
    refused(&["restore", &none, "--data", &other], &["none.db"]);
    refused(
        &["restore", &scratch.word("gone.db"), "--data", &other],
        &["gone.db", "no such backup"],
    );
    assert_eq!(listed("clients", &data), listed("clients", &other));
    // Nothing is ever written over the records themselves.
    let own = Path::new(&data).join("book.db");
    let own = own.to_string_lossy();
    let was = fs::read(&*own).unwrap();
    refused(&["backup", &own, "--data", &data], &["workroom's own"]);
    refused(&["restore", &own, "--data", &data], &["not a backup"]);
    refused(
        &["export", "9001", &own, "--data", &data],
        &["workroom's own"],
    );
    assert!(fs::read(&*own).unwrap() == was);
    for place in ["nowhere/all.db", "data"] {
        refused(
            &["backup", &scratch.word(place), "--data", &data],
            &["folder"],
        );
    }
}

/// Would catch a damaged book that no command can mend.
#[test]
fn a_damaged_book_is_told_and_a_backup_takes_its_place() {
    let scratch = Scratch::new();
    let data = demo(&scratch);
    let file = scratch.word("all.db");
    assert_eq!(ellwand(&["backup", &file, "--data", &data]).code, 0);
    let whole = listed("clients", &data);
    for beside in ["book.db-wal", "book.db-shm"] {
        let _ = fs::remove_file(Path::new(&data).join(beside));
    }
    fs::write(Path::new(&data).join("book.db"), vec![7; 8192]).unwrap();
    refused(&["clients", "--data", &data], &["damaged"]);
    let ran = ellwand(&["restore", &file, "--data", &data]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert_eq!(listed("clients", &data), whole);
    let aside = names_in(Path::new(&data));
    assert!(aside.iter().any(|n| n.starts_with("damaged-")), "{aside:?}");
}

#[test]
fn a_client_is_found_by_name_and_a_slip_is_told() {
    let scratch = Scratch::new();
    let data = demo(&scratch);
    let clients = listed("clients", &data);
    let name = clients[0]["name"].as_str().unwrap();
    let file = scratch.word("her.zip");
    let ran = ellwand(&["export", name, &file, "--data", &data]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(
        ran.out.contains(&clients[0]["number"].to_string()),
        "{ran:?}"
    );
    let never = scratch.word("never.zip");
    for client in ["Nobody of this name", "777"] {
        refused(
            &["export", client, &never, "--data", &data],
            &[client, "ellwand clients"],
        );
    }
    assert!(!Path::new(&never).exists());
}

/// Would catch records that two copies of the program write at once, and commands that are refused though
/// they only read.
#[test]
fn beside_the_open_workroom_all_is_read_and_nothing_put_in_its_place() {
    let scratch = Scratch::new();
    let (running, address) = open(&scratch.path().join("data"));
    let data = scratch.word("data");
    let out = scratch.word("out");
    let names = ["a.db", "a.zip"].map(|name| scratch.word(name));
    let versions = || listed("orders", &data);
    let before = versions();
    for words in [
        vec!["clients"],
        vec!["orders", "--json"],
        vec!["order", "9001", "--out", &out],
        vec!["backup", &names[0]],
        vec!["export", "9001", &names[1]],
    ] {
        let words: Vec<&str> = words.into_iter().chain(["--data", &data]).collect();
        let ran = ellwand(&words);
        assert_eq!(ran.code, 0, "{ran:?}");
        if words[0] == "order" {
            assert!(ran.err.contains("not kept in the records"), "{ran:?}");
            assert!(Path::new(&out).join("pattern-a4.pdf").is_file());
        }
    }
    assert_eq!(versions(), before);
    let backup = scratch.file("some.db", "x");
    refused(
        &["restore", &backup, "--data", &data],
        &["already open", &address, "close it"],
    );
    drop(running);
    // What was backed up beside the open workroom is whole.
    let other = scratch.word("other");
    let ran = ellwand(&["restore", &names[0], "--data", &other]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert_eq!(listed("orders", &other), before);
}

/// Would catch a look that makes what it looks for.
#[test]
fn where_there_are_no_records_none_are_made() {
    let scratch = Scratch::new();
    let (data, file) = (scratch.word("empty"), scratch.word("file"));
    for words in [
        vec!["clients"],
        vec!["orders"],
        vec!["order", "1", "--out", &file],
        vec!["backup", &file],
        vec!["export", "1", &file],
    ] {
        let words: Vec<&str> = words.into_iter().chain(["--data", &data]).collect();
        refused(&words, &["empty", "no records", "--data"]);
        assert!(!Path::new(&data).exists() && !Path::new(&file).exists());
    }
}

/// Would catch completions that a shell can't read, or that lack a command.
#[test]
fn shells_complete_every_command_and_the_manual_names_them() {
    let commands = [
        "methods", "make", "check", "card", "step", "read", "lay", "clients", "orders", "order",
        "backup", "restore", "export",
    ];
    let scratch = Scratch::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let ran = ellwand(&["completions", shell]);
        assert_eq!(ran.code, 0, "{ran:?}");
        for command in commands {
            assert!(ran.out.contains(command), "{shell}: {command}");
        }
        let file = scratch.file(shell, &ran.out);
        // Where the shell is here, it reads them itself.
        if ["bash", "zsh", "fish"].contains(&shell)
            && let Ok(read) = Command::new(shell).args(["-n", &file]).output()
        {
            assert!(read.status.success(), "{shell}: {read:?}");
        }
    }
    assert_eq!(ellwand(&["completions", "abacus"]).code, 2);
    let page = ellwand(&["man"]);
    assert_eq!(page.code, 0);
    assert!(page.out.contains(".TH"), "{page:?}");
    for command in commands {
        // A hyphen is written `\-` in a page of the manual.
        assert!(
            page.out.contains(&format!("ellwand\\-{command}(1)")),
            "{command}: {}",
            page.out
        );
        let one = ellwand(&["man", command]);
        assert_eq!(one.code, 0, "{one:?}");
        let head = format!(".TH ellwand-{command} 1");
        assert!(one.out.contains(&head), "{one:?}");
    }
    refused(&["man", "abacus"], &["abacus", "make"]);
}
