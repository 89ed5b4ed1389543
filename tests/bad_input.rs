//! Bad input of every sort: the program ends with 2, says one clear thing for each fault, and leaves
//! nothing half made.
#![allow(
    clippy::print_stdout,
    reason = "a test or an example stops, and prints, where it must"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

use std::fs;
use std::path::Path;
use std::process::Command;

use tests::{Ran, Scratch, data, ellwand, names_in, program};

const CARD: &str = "client = \"A\"\nunit = \"in\"\n[measures]\nhip = 40\nwaist = 28\n\
    \"waist to hip\" = \"8 1/2\"\n\"waist to knee\" = \"23 1/2\"\n";

/// Each card is wrong in one way; the message must hold these words.
#[test]
fn a_bad_card_is_told_by_line() {
    let cases: &[(&str, String, &[&str])] = &[
        (
            "an unknown name",
            CARD.replace("waist = ", "wast = "),
            &["line 5", "`waist`"],
        ),
        (
            "the same twice",
            format!("{CARD}hip = 41\n"),
            &["line 8", "hip"],
        ),
        (
            "a synonym twice",
            format!("{CARD}\"natural waist\" = 28\n"),
            &["line 8", "waist"],
        ),
        (
            "less than nothing",
            CARD.replace("= 40", "= -40"),
            &["line 4"],
        ),
        ("nothing", CARD.replace("= 40", "= 0"), &["line 4"]),
        ("absurd", CARD.replace("= 40", "= 400"), &["line 4", "200"]),
        ("no number", CARD.replace("= 40", "= \"wide\""), &["line 4"]),
        ("not a number", CARD.replace("= 40", "= nan"), &["line 4"]),
        ("endless", CARD.replace("= 40", "= inf"), &["line 4"]),
        (
            "more readings than anyone takes",
            CARD.replace("= 40", "= [40, 40, 40, 40]"),
            &["line 4"],
        ),
        ("an empty list", CARD.replace("= 40", "= []"), &["line 4"]),
        (
            "a half-quoted value",
            CARD.replace("= 40", "= \"40"),
            &["line 4"],
        ),
        (
            "an unknown unit",
            CARD.replace("\"in\"", "\"ell\""),
            &["line 2"],
        ),
        (
            "an unknown heading",
            CARD.replace("[measures]", "[mesures]"),
            &["line 3"],
        ),
        (
            "a date that is none",
            format!("taken = 2026-02-30\n{CARD}"),
            &["line 1"],
        ),
        ("no TOML at all", "waist 28\nhip: 40\n".into(), &["line 1"]),
        ("empty", String::new(), &["card"]),
    ];
    let scratch = Scratch::new();
    let never = scratch.word("never");
    for (what, text, words) in cases {
        let card = scratch.file("card.toml", text);
        for command in [vec!["card", card.as_str()], make_words(&card, &never)] {
            let ran = ellwand(&command);
            assert_eq!(ran.code, 2, "{what}: {ran:?}");
            assert!(ran.out.is_empty(), "{what}: {ran:?}");
            assert!(ran.err.contains("card.toml"), "{what}: {ran:?}");
            for word in *words {
                assert!(
                    ran.err.contains(word),
                    "{what} does not say {word}: {ran:?}"
                );
            }
            calm(what, &ran, &never);
        }
    }
    assert_eq!(names_in(scratch.path()), ["card.toml"]);
}

/// Words that make a pattern in a folder that must not come to be.
fn make_words<'a>(card: &'a str, never: &'a str) -> Vec<&'a str> {
    vec![
        "make",
        "--card",
        card,
        "--method",
        "tests/data/tube.method",
        "--out",
        never,
    ]
}

/// A message for her holds no word of the machine, and nothing was made.
fn calm(what: &str, ran: &Ran, never: &str) {
    for word in [
        "panicked",
        "unwrap",
        "RUST_BACKTRACE",
        "Os {",
        "Error(",
        "None",
        "Some(",
    ] {
        assert!(!ran.err.contains(word), "{what}: {ran:?}");
    }
    assert!(!Path::new(never).exists(), "{what} left a folder: {ran:?}");
}

#[test]
fn several_faults_of_a_card_are_told_at_once() {
    let scratch = Scratch::new();
    let card = CARD.replace("waist = ", "wast = ").replace("= 40", "= -40");
    let card = scratch.file("card.toml", card);
    let ran = ellwand(&["card", &card]);
    assert_eq!(ran.err.lines().count(), 2, "{ran:?}");
}

#[test]
fn a_bad_table_of_allowances_is_told_by_line_and_with_all_else() {
    let scratch = Scratch::new();
    let out = scratch.word("never");
    let text = "unit = \"in\"\n[cloth]\nsidee = \"1\"\nhem = \"broad\"\n[toile]\nlining = 1\n";
    let table = scratch.file("house.toml", text);
    let card = scratch.file("card.toml", CARD.replace("waist = ", "wast = "));
    let method = data("tube.method").to_string_lossy().into_owned();
    for command in ["make", "check"] {
        let mut words = vec![
            command,
            "--card",
            &card,
            "--method",
            &method,
            "--allowances",
            &table,
            "--toile",
        ];
        if command == "make" {
            words.extend(["--out", &out]);
        }
        let ran = ellwand(&words);
        calm(command, &ran, &out);
        for told in [
            "card.toml, line 5",
            "house.toml, line 3",
            "`side`",
            "house.toml, line 4",
            "house.toml, line 6",
        ] {
            assert!(ran.err.contains(told), "{told}: {ran:?}");
        }
    }
}

#[test]
fn a_bad_cloth_is_told_by_line_and_with_all_else() {
    let scratch = Scratch::new();
    let out = scratch.word("never");
    let cloth = scratch.file("cloth.toml", "width = \"wide\"\nnaps = \"one-way\"\n");
    let card = scratch.file("card.toml", CARD.replace("waist = ", "wast = "));
    let method = data("tube.method").to_string_lossy().into_owned();
    for command in ["make", "check"] {
        let mut words = vec![
            command, "--card", &card, "--method", &method, "--cloth", &cloth,
        ];
        if command == "make" {
            words.extend(["--out", &out]);
        }
        let ran = ellwand(&words);
        calm(command, &ran, &out);
        for told in [
            "card.toml, line 5",
            "cloth.toml, line 1",
            "cloth.toml, line 2",
            "`nap`",
        ] {
            assert!(ran.err.contains(told), "{told}: {ran:?}");
        }
    }
}

#[test]
fn a_file_that_can_not_be_read_is_told() {
    let scratch = Scratch::new();
    let folder = scratch.path().to_string_lossy().into_owned();
    let binary = scratch.file("binary.toml", [b'a', b'\n', 0xff, 0xfe]);
    let long = scratch.file("long.toml", vec![b'#'; 3 << 20]);
    let missing = scratch.word("missing.toml");
    let under = scratch.word("binary.toml/card.toml");
    let never = scratch.word("never");
    let odd = scratch.word("no\nsuch\u{1b}[31m\u{202e}🧵.toml");
    for (card, word) in [
        (&folder, "folder"),
        (&binary, "line 2"),
        (&long, "too long"),
        (&missing, "no such card"),
        (&under, "no such"),
        (&odd, "no such card"),
    ] {
        let ran = ellwand(&make_words(card, &never));
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(ran.err.contains(word), "{word}: {ran:?}");
        assert_eq!(ran.err.lines().count(), 1, "{ran:?}");
        assert!(!ran.err.contains(['\u{1b}', '\u{202e}']), "{ran:?}");
        calm(word, &ran, &never);
    }
}

/// Every line of the table is one run that must fail with these words.
#[test]
fn a_bad_command_line_is_told() {
    let card = data("anna.toml").to_string_lossy().into_owned();
    let tube = data("tube.method").to_string_lossy().into_owned();
    let scratch = Scratch::new();
    let never = scratch.word("never");
    let cases: &[(&[&str], &[&str])] = &[
        (&["--method", "no-such"], &["no method `no-such`"]),
        (&["--method", "no/such.method"], &["no/such.method"]),
        (
            &["--method", &tube, "--set", "ease"],
            &["--set ease", "CHOICE=VALUE"],
        ),
        (
            &["--method", &tube, "--set", "eas=1 in"],
            &["eas", "`ease`"],
        ),
        (&["--method", &tube, "--set", "ease=tight"], &["ease"]),
        (
            &[
                "--method",
                &tube,
                "--set",
                "ease=1 in",
                "--set",
                "Ease=2 in",
            ],
            &["twice"],
        ),
        (
            &["--method", &tube, "--set", "hem turn=wid"],
            &["hem turn", "wide"],
        ),
        (&["--method", &tube, "--set", "slit=perhaps"], &["slit"]),
        (&["--method", &tube, "--set", "length=nan"], &["length"]),
        (&["--method", &tube, "--set", "=3"], &["CHOICE=VALUE"]),
        (
            &["--method", &tube, "--only", "report.txt"],
            &["report.txt", "report.json"],
        ),
        (
            &["--method", &tube, "--only", "../report.json"],
            &["no such file"],
        ),
        (&["--method", &tube, "--paper", "b5"], &["b5"]),
        (&["--method", &tube, "--unit", "ell"], &["ell"]),
        (&["--metod", &tube], &["--metod"]),
    ];
    for (more, words) in cases {
        let mut line = vec!["make", "--card", card.as_str(), "--out", &never];
        line.extend(*more);
        let ran = ellwand(&line);
        assert_eq!(ran.code, 2, "{more:?}: {ran:?}");
        assert!(ran.out.is_empty(), "{ran:?}");
        for word in *words {
            assert!(
                ran.err.contains(word),
                "{more:?} does not say {word}: {ran:?}"
            );
        }
        calm(&format!("{more:?}"), &ran, &never);
    }
    // Nobody's own records are looked for by a test.
    let nowhere = scratch.word("no-records");
    for (line, word) in [
        (
            &["lay", "--order", "3", "--data", &nowhere, "--out", &never][..],
            "no-records",
        ),
        (
            &["lay", "--report", "x", "--cloth", "y", "--out", &never],
            "x",
        ),
    ] {
        let ran = ellwand(line);
        assert_eq!(ran.code, 2, "{ran:?}");
        assert!(ran.err.contains(word), "{ran:?}");
    }
    for line in [
        &["step", "--card", &card, "--girth", "30 in", "--at", "moon"][..],
        &["step", "--card", &card, "--girth", "round", "--at", "knee"],
        &["step", "--card", &card, "--girth", "-3 in", "--at", "knee"],
        &[
            "step",
            "--card",
            &card,
            "--girth",
            "30 in",
            "--at",
            "2 in below waist",
        ],
        &[
            "step",
            "--card",
            &card,
            "--girth",
            "30 in",
            "--at",
            "90 in below waist",
        ],
        &["step", "--card", &card, "--at", "knee"],
        &["card", "--explain", "wast"],
        &["card"],
    ] {
        let ran = ellwand(line);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{line:?}: {ran:?}");
        assert!(!ran.err.is_empty());
        calm(&format!("{line:?}"), &ran, &never);
    }
}

/// Would catch a method whose fault is told without its place, or of which paper is made all the same.
#[test]
fn of_a_bad_method_no_paper_is_made() {
    let scratch = Scratch::new();
    let card = data("anna.toml").to_string_lossy().into_owned();
    let good = fs::read_to_string(data("tube.method")).unwrap();
    for (what, text) in [
        (
            "a slip",
            good.replace("quarter from centre line", "quater from centre line"),
        ),
        ("a torn end", good[..good.len() / 2].to_owned()),
        ("nothing", String::new()),
        ("noise", "\u{1}\u{7}) ( | then\n\"".repeat(50)),
        ("one long line", "a ".repeat(20_000)),
        (
            "deep brackets",
            format!("method \"d\"\nvalues\n  a: {}", "(".repeat(5_000)),
        ),
    ] {
        let method = scratch.file("bad.method", text);
        let out = scratch.word("out");
        let ran = ellwand(&["make", "--card", &card, "--method", &method, "--out", &out]);
        assert_eq!(ran.code, 2, "{what}: {ran:?}");
        assert!(!ran.err.is_empty(), "{what}");
        assert!(!Path::new(&out).exists(), "{what} left a folder");
        calm(what, &ran, &out);
        let read = ellwand(&["read", &method]);
        assert_eq!(read.code, 2, "{what}: {read:?}");
        assert!(read.err.contains("bad.method, line"), "{what}: {read:?}");
    }
}

/// A client's name is text, never part of a path, and comes through whole.
#[test]
fn odd_names_break_nothing() {
    let scratch = Scratch::new();
    let method = data("tube.method").to_string_lossy().into_owned();
    for (i, client) in [
        "../../etc/passwd",
        "O\\\"Brien \\\\ 'Ann'",
        "two\\nlines\\tand a tab",
        "\\u202Eright to left\\u202C שלום",
        "👗🧵 Ngọc Ánh Đặng",
        "\\u0000\\u001B[31m",
    ]
    .iter()
    .enumerate()
    {
        let card = CARD.replace("client = \"A\"", &format!("client = \"{client}\""));
        let card = scratch.file("card.toml", card);
        let out = scratch.word(&format!("out-{i}"));
        let ran = ellwand(&["make", "--card", &card, "--method", &method, "--out", &out]);
        assert_eq!(ran.code, 0, "{client}: {ran:?}");
        assert!(!ran.out.contains(['\u{1b}', '\u{202e}', '\0']), "{ran:?}");
        assert_eq!(names_in(Path::new(&out)).len(), 8, "{client}");
        let report = fs::read_to_string(Path::new(&out).join("report.json")).unwrap();
        let report: serde_json::Value = serde_json::from_str(&report).unwrap();
        let wanted: serde_json::Value = serde_json::from_str(&format!("\"{client}\"")).unwrap();
        assert_eq!(report["client"], wanted);
    }
    let wanted: Vec<String> = ["card.toml".to_owned()]
        .into_iter()
        .chain((0..6).map(|i| format!("out-{i}")))
        .collect();
    assert_eq!(names_in(scratch.path()), wanted);
}

fn tube(out: &str) -> Ran {
    let card = data("anna.toml").to_string_lossy().into_owned();
    let method = data("tube.method").to_string_lossy().into_owned();
    ellwand(&["make", "--card", &card, "--method", &method, "--out", out])
}

#[test]
fn a_folder_that_can_not_be_written_is_told() {
    let scratch = Scratch::new();
    let file = scratch.file("file", "x");
    fs::create_dir_all(scratch.path().join("taken/preview.png")).unwrap();
    let long = scratch.word(&"x".repeat(400));
    for out in [
        file.as_str(),
        &format!("{file}/under"),
        &long,
        &scratch.word("taken"),
        "/proc/ellwand",
    ] {
        let ran = tube(out);
        assert_eq!(ran.code, 2, "{out}: {ran:?}");
        assert_eq!(ran.err.lines().count(), 1, "{ran:?}");
        let never = scratch.word("never");
        calm(out, &ran, &never);
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), "x");
    assert_eq!(names_in(&scratch.path().join("taken")), ["preview.png"]);
    assert_eq!(names_in(scratch.path()), ["file", "taken"]);
}

/// An older pattern in the folder stays whole when a new one can't be written, and is replaced when it
/// can.
#[test]
fn an_older_pattern_is_replaced_whole_or_not_at_all() {
    let scratch = Scratch::new();
    let out = scratch.word("out");
    assert_eq!(tube(&out).code, 0);
    let place = Path::new(&out);
    let old = fs::read(place.join("report.json")).unwrap();
    fs::remove_file(place.join("preview.png")).unwrap();
    fs::create_dir(place.join("preview.png")).unwrap();
    fs::write(place.join("report.json"), "older").unwrap();
    assert_eq!(tube(&out).code, 2);
    assert_eq!(fs::read(place.join("report.json")).unwrap(), b"older");
    fs::remove_dir(place.join("preview.png")).unwrap();
    assert_eq!(tube(&out).code, 0);
    assert_eq!(fs::read(place.join("report.json")).unwrap(), old);
    assert_eq!(names_in(place).len(), 8);
}

/// A full disk, tried on a disk of 48 kB in memory; only root may make one, so elsewhere this says that it was
/// not tried.
#[test]
fn a_full_disk_leaves_nothing() {
    let scratch = Scratch::new();
    let disk = scratch.word("disk");
    fs::create_dir(&disk).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=48k", "tmpfs", &disk])
        .output();
    if !mounted.is_ok_and(|m| m.status.success()) {
        println!("not tried: this user may not make a small disk");
        return;
    }
    let ran = tube(&format!("{disk}/out"));
    let left = names_in(Path::new(&disk));
    let unmounted = Command::new("umount").arg(&disk).status();
    assert!(unmounted.is_ok_and(|u| u.success()));
    assert_eq!(ran.code, 2, "{ran:?}");
    assert!(ran.err.contains("The disk is full"), "{ran:?}");
    assert!(left.is_empty(), "{left:?}");
}

/// Would catch an answer that is lost without a word.
#[test]
fn an_answer_that_can_not_be_written_is_a_fault() {
    let Ok(full) = fs::File::options().write(true).open("/dev/full") else {
        return;
    };
    let ran = Command::new(program())
        .args(["card", "--explain", "all"])
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(ran.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&ran.stderr).contains("could not be written"));
}
