//! Checks of the house itself: which crate knows which, what is said to her, and what may be kept in
//! the repository.
#![allow(
    clippy::print_stdout,
    reason = "a test or an example stops, and prints, where it must"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;
use tests::{Scratch, data, ellwand, files_under, root};

fn cargo(words: &[&str]) -> String {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .current_dir(root())
        .args(words)
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

/// The members of the workspace and what each depends on, by any kind of arrow.
fn members() -> Vec<(String, BTreeSet<String>)> {
    let text = cargo(&["metadata", "--format-version", "1", "--no-deps", "--locked"]);
    let all: Value = serde_json::from_str(&text).unwrap();
    let name = |v: &Value| v["name"].as_str().unwrap().to_owned();
    all["packages"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| {
            let needs = p["dependencies"].as_array().unwrap();
            (name(p), needs.iter().map(name).collect())
        })
        .collect()
}

/// The house plan: `measure <- piece <- {draft, sheet}`; the workroom sees all. Would catch drift into
/// one crate, and an inner crate that knows an outer one.
#[test]
fn no_arrow_but_those_of_the_plan() {
    let plan: &[(&str, &[&str])] = &[
        ("measure", &[]),
        ("piece", &["measure"]),
        ("draft", &["measure", "piece"]),
        ("sheet", &["measure", "piece"]),
        ("lay", &["measure", "piece"]),
        ("check", &["measure", "piece", "draft", "lay"]),
        ("book", &["measure"]),
        (
            "workroom",
            &["measure", "piece", "draft", "sheet", "lay", "check", "book"],
        ),
        ("tests", &[]),
        (
            "benches",
            &["measure", "piece", "draft", "sheet", "check", "workroom"],
        ),
    ];
    let members = members();
    let names: BTreeSet<&str> = members.iter().map(|(n, _)| n.as_str()).collect();
    let planned: BTreeSet<&str> = plan.iter().map(|(n, _)| *n).collect();
    assert_eq!(names, planned, "a crate that the plan does not know");
    for (name, needs) in &members {
        let (_, allowed) = plan.iter().find(|(n, _)| n == name).unwrap();
        for need in needs.iter().filter(|n| planned.contains(n.as_str())) {
            assert!(
                allowed.contains(&need.as_str()),
                "{name} may not know {need}"
            );
        }
    }
}

/// Would catch a library that leaks out of the one crate that is to know it.
#[test]
fn each_library_is_named_by_one_crate() {
    let owners: &[(&str, &str)] = &[
        ("kurbo", "measure"),
        ("toml", "measure"),
        ("pdf-writer", "sheet"),
        ("subsetter", "sheet"),
        ("rustybuzz", "sheet"),
        ("tiny-skia", "sheet"),
        ("miniz_oxide", "sheet"),
        ("clap", "workroom"),
        ("rusqlite", "book"),
        ("uuid", "book"),
    ];
    for (name, needs) in members() {
        for (library, owner) in owners {
            assert!(
                name == *owner || !needs.contains(*library),
                "{name} names {library}, which belongs to {owner}"
            );
        }
    }
}

/// kurbo without `std` computes the same on every computer; one crate that switches `std` on switches
/// it on for all, without a word.
#[test]
fn the_curve_library_has_no_std() {
    let tree = cargo(&[
        "tree",
        "--locked",
        "--workspace",
        "-e",
        "features",
        "-i",
        "kurbo",
    ]);
    assert!(tree.contains("kurbo feature \"libm\""), "{tree}");
    for feature in ["std", "default"] {
        let on = format!("kurbo feature \"{feature}\"");
        assert!(!tree.contains(&on), "{on}:\n{tree}");
    }
}

fn ends_with(path: &Path, ending: &str) -> bool {
    path.extension().is_some_and(|e| e == ending)
}

fn rust_files(folder: &str) -> Vec<PathBuf> {
    let mut files = files_under(folder);
    files.retain(|f| ends_with(f, "rs"));
    assert!(!files.is_empty(), "no Rust file in {folder}");
    files
}

fn shown(path: &Path) -> String {
    path.strip_prefix(root())
        .unwrap_or(path)
        .display()
        .to_string()
}

/// Would catch a file without an idea.
#[test]
fn every_module_opens_with_a_sentence() {
    let mut wrong = Vec::new();
    for file in rust_files("crates").into_iter().chain(rust_files("tests")) {
        let text = fs::read_to_string(&file).unwrap();
        let opens = text
            .strip_prefix("//! ")
            .and_then(|rest| rest.split("\n//!\n").next())
            .map(|first| {
                first
                    .lines()
                    .take_while(|l| !l.is_empty())
                    .collect::<Vec<_>>()
            });
        if !opens.is_some_and(|lines| lines.concat().contains(['.', ':'])) {
            wrong.push(shown(&file));
        }
    }
    assert!(
        wrong.is_empty(),
        "open with `//! ` and a sentence: {wrong:#?}"
    );
}

/// What stands before the tests of a file.
fn without_tests(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests {")
        .next()
        .unwrap_or(text)
}

/// The texts in quotes in a Rust file, outside remarks.
fn texts_of(source: &str) -> Vec<String> {
    let letters: Vec<char> = source.chars().collect();
    let at = |i: usize| letters.get(i).copied().unwrap_or('\0');
    let mut out = Vec::new();
    let mut i = 0;
    while i < letters.len() {
        if at(i) == '/' && at(i + 1) == '/' {
            while i < letters.len() && at(i) != '\n' {
                i += 1;
            }
        } else if at(i) == '\'' {
            // A letter in quotes, or a lifetime.
            if at(i + 1) == '\\' {
                i += 3;
                while i < letters.len() && at(i) != '\'' {
                    i += 1;
                }
            } else if at(i + 2) == '\'' {
                i += 2;
            }
        } else if at(i) == 'r' && at(i + 1) == '#' && at(i + 2) == '"' {
            let begin = i + 3;
            i = begin;
            while i < letters.len() && !(at(i) == '"' && at(i + 1) == '#') {
                i += 1;
            }
            out.push(letters[begin..i.min(letters.len())].iter().collect());
        } else if at(i) == '"' {
            let mut text = String::new();
            i += 1;
            while i < letters.len() && at(i) != '"' {
                if at(i) == '\\' {
                    i += 1;
                    text.push(if at(i) == 'n' { ' ' } else { at(i) });
                } else {
                    text.push(at(i));
                }
                i += 1;
            }
            out.push(text);
        }
        i += 1;
    }
    out
}

#[test]
fn texts_are_found_where_they_are() {
    let source = "// \"no\"\nlet a = \"one\\\"two\"; let b = '\"'; fn f<'a>(x: &'a str) {} let c = r#\"raw \"x\" y\"#;";
    assert_eq!(texts_of(source), ["one\"two", "raw \"x\" y"]);
}

fn words(text: &str) -> String {
    let mut out = String::from(" ");
    for c in text.chars() {
        out.push(if c.is_alphanumeric() || c == '-' || c == '_' {
            c.to_ascii_lowercase()
        } else {
            ' '
        });
    }
    out.push(' ');
    while out.contains("  ") {
        out = out.replace("  ", " ");
    }
    out
}

/// Words that are habits of programs, not of the trade (trade/glossary.md 3), and words of the machine.
const NOT_OURS: [&str; 22] = [
    "detail",
    "details",
    "increment",
    "increments",
    "workpiece",
    "workpieces",
    "node",
    "nodes",
    "anchor",
    "anchors",
    "spline",
    "splines",
    "unfold",
    "mirror the piece",
    "internal",
    "digitize",
    "turn point",
    "curve point",
    "grade reference line",
    "invalid",
    "parse",
    "parser",
];

/// Would catch a word that she does not use, in anything that is said to her.
#[test]
fn what_is_said_to_her_has_no_jargon() {
    let mut wrong = Vec::new();
    let mut look = |file: &Path, said: &str| {
        let said_words = words(said);
        for word in NOT_OURS {
            if said_words.contains(&format!(" {word} ")) {
                wrong.push(format!("{}: `{word}` in {said:?}", shown(file)));
            }
        }
    };
    for file in rust_files("crates") {
        let text = fs::read_to_string(&file).unwrap();
        if ends_with_tests(&file) || !file.components().any(|c| c.as_os_str() == "src") {
            continue;
        }
        for said in texts_of(without_tests(&text)) {
            look(&file, &said);
        }
        // The help of the command line is written as doc comments.
        if file.ends_with("workroom/src/args.rs") {
            for line in text.lines().filter_map(|l| l.trim().strip_prefix("/// ")) {
                look(&file, line);
            }
        }
    }
    for file in files_under("methods")
        .into_iter()
        .chain([root().join("README.md")])
    {
        let text = fs::read_to_string(&file).unwrap_or_default();
        for line in text.lines() {
            look(&file, line);
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

fn ends_with_tests(file: &Path) -> bool {
    file.file_name().is_some_and(|n| n == "tests.rs")
        || file.components().any(|c| c.as_os_str() == "tests")
}

/// Whether a name stands in a text as a whole: "data-line" does not hold "a-line".
fn stands_in(text: &str, name: &str) -> bool {
    let joined = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-' || c == '_');
    text.match_indices(name).any(|(at, _)| {
        !joined(text[..at].chars().next_back()) && !joined(text[at + name.len()..].chars().next())
    })
}

#[test]
fn a_name_is_found_as_a_whole() {
    assert!(stands_in("(\"a-line\")", "a-line"));
    assert!(!stands_in("data-line=", "a-line") && !stands_in("a-lines", "a-line"));
}

/// Would catch a garment that the program knows: its name in Rust code outside tests.
#[test]
fn no_shipped_garment_is_named_in_the_code() {
    let mut wrong = Vec::new();
    let names: Vec<String> = files_under("methods")
        .iter()
        .filter(|f| ends_with(f, "method"))
        .filter_map(|f| Some(f.file_stem()?.to_string_lossy().into_owned()))
        .collect();
    for file in rust_files("crates") {
        if ends_with_tests(&file) || !file.components().any(|c| c.as_os_str() == "src") {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        let code: Vec<&str> = without_tests(&text)
            .lines()
            .filter(|l| !l.trim_start().starts_with("//"))
            .collect();
        let code = code.join("\n");
        for name in &names {
            if stands_in(&code, name) {
                wrong.push(format!("{} names {name}", shown(&file)));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Would catch work that nobody owns.
#[test]
fn every_todo_has_an_issue() {
    let mut wrong = Vec::new();
    let marks = [
        concat!("TO", "DO"),
        concat!("FIX", "ME"),
        concat!("XX", "X"),
    ];
    for file in files_under(".") {
        let Ok(text) = fs::read_to_string(&file) else {
            continue;
        };
        if file.ends_with("Cargo.lock") {
            continue;
        }
        for (i, line) in text.lines().enumerate() {
            for mark in marks {
                if line.contains(mark) && !line.contains(&format!("{mark}(#")) {
                    wrong.push(format!("{}, line {}", shown(&file), i + 1));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "write its issue behind it, as (#n): {wrong:#?}"
    );
}

/// Would catch what must not be kept: build output, places of one machine, hosts of registries.
#[test]
fn the_repository_holds_only_what_it_may() {
    let places = [
        concat!("/wo", "rk/"),
        concat!("/ro", "ot/"),
        concat!("/ho", "me/"),
        concat!("crates", ".io"),
        concat!("pypi", ".org"),
        concat!("npmjs", ".org"),
        concat!("deb.debian", ".org"),
    ];
    let mut wrong = Vec::new();
    for file in files_under(".") {
        let name = shown(&file);
        for folder in ["target/", ".venv/", "node_modules/"] {
            if name.starts_with(folder) {
                wrong.push(format!("{name}: build output"));
            }
        }
        if fs::metadata(&file).is_ok_and(|m| m.len() > 4 << 20) {
            wrong.push(format!("{name}: larger than 4 MiB"));
        }
        let Ok(text) = fs::read_to_string(&file) else {
            continue;
        };
        if name == "Cargo.lock" {
            continue;
        }
        for place in places {
            if text.contains(place) {
                wrong.push(format!("{name}: holds {place}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// `docs/report.md` is the contract of report.json: every key of a real report is explained there, and
/// every key that is explained is in one.
#[test]
fn the_report_is_documented_key_by_key() {
    fn keys(value: &Value, into: &mut BTreeSet<String>, free: &[&str]) {
        match value {
            Value::Object(map) => {
                for (key, inner) in map {
                    into.insert(key.clone());
                    // The keys below these are names of measures and choices.
                    if !free.contains(&key.as_str()) {
                        keys(inner, into, free);
                    }
                }
            }
            Value::Array(all) => all.iter().for_each(|v| keys(v, into, free)),
            _ => {}
        }
    }
    let scratch = Scratch::new();
    let card = data("anna.toml").to_string_lossy().into_owned();
    let method = data("darted.method").to_string_lossy().into_owned();
    let mut found = BTreeSet::new();
    let fitting = data("fitting.toml").to_string_lossy().into_owned();
    for more in [
        &["--untrued"] as &[&str],
        &["--predict"],
        &["--correct", &fitting],
        &["--toile"],
    ] {
        let out = scratch.word(more[0]);
        let mut words = vec![
            "make",
            "--card",
            &card,
            "--method",
            &method,
            "--out",
            &out,
            "--only",
            "report.json",
        ];
        words.extend(more);
        let ran = ellwand(&words);
        assert_eq!(ran.code, 0, "{ran:?}");
        let report = fs::read_to_string(Path::new(&out).join("report.json")).unwrap();
        let report: Value = serde_json::from_str(&report).unwrap();
        keys(
            &report,
            &mut found,
            &["measures_mm", "slopes_deg", "choices"],
        );
    }
    let page = fs::read_to_string(root().join("docs/report.md")).unwrap();
    let told: BTreeSet<String> = page
        .lines()
        .filter_map(|l| l.strip_prefix("| `"))
        .filter_map(|l| l.split('`').next())
        .map(str::to_owned)
        .collect();
    let missing: Vec<_> = found.difference(&told).collect();
    let stale: Vec<_> = told.difference(&found).collect();
    assert!(missing.is_empty(), "not in docs/report.md: {missing:?}");
    assert!(
        stale.is_empty(),
        "in docs/report.md, but in no report: {stale:?}"
    );
}

/// Every `ellwand` line of the README does what it says.
#[test]
fn the_commands_of_the_readme_work() {
    if !root().join("methods").is_dir() {
        println!("not tried: the README's commands use the shipped methods, and there are none");
        return;
    }
    let page = fs::read_to_string(root().join("README.md")).unwrap();
    let scratch = Scratch::new();
    let mut ran_any = false;
    for line in page.lines() {
        let Some(rest) = line.trim().strip_prefix("target/release/ellwand ") else {
            continue;
        };
        let rest = rest.split(" # ").next().unwrap_or(rest).trim();
        let mut words = split(rest);
        // What one command writes, another may read.
        for word in words.iter_mut().filter(|w| w.starts_with("out/")) {
            *word = scratch.word(word);
        }
        let ran = ellwand(&words);
        assert_eq!(ran.code, 0, "{line}: {ran:?}");
        ran_any = true;
    }
    assert!(ran_any, "the README shows no command");
}

/// Would catch a page that points to a page or picture that is not there.
#[test]
fn every_link_leads_somewhere() {
    let mut wrong = Vec::new();
    for file in files_under(".").iter().filter(|f| ends_with(f, "md")) {
        let text = fs::read_to_string(file).unwrap_or_default();
        for rest in text.split("](").skip(1) {
            let place = rest.split([')', '#']).next().unwrap_or_default();
            let elsewhere = place.is_empty() || place.contains("://");
            let folder = file.parent().unwrap_or(Path::new("."));
            if !elsewhere && !folder.join(place).exists() {
                wrong.push(format!("{}: {place}", shown(file)));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Words of a command line, with double quotes.
fn split(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            c => {
                if let Some(last) = words.last_mut() {
                    last.push(c);
                }
            }
        }
    }
    words.retain(|w| !w.is_empty());
    words
}

/// Help is there for every command, with an example, and shows no word that a person would not say.
#[test]
fn every_command_helps() {
    let top = ellwand(&["--help"]);
    assert_eq!(top.code, 0);
    let commands = [
        "methods",
        "make",
        "check",
        "card",
        "step",
        "read",
        "clients",
        "orders",
        "order",
        "backup",
        "restore",
        "export",
        "completions",
        "man",
    ];
    for command in commands {
        assert!(top.out.contains(&format!("  {command} ")), "{}", top.out);
        let ran = ellwand(&[command, "--help"]);
        assert_eq!(ran.code, 0, "{ran:?}");
        assert!(
            ran.out.contains(&format!("ellwand {command} ")),
            "no example: {}",
            ran.out
        );
        assert!(ran.out.contains("Example"), "{}", ran.out);
        assert!(
            ran.out.lines().all(|l| l.chars().count() <= 110),
            "{}",
            ran.out
        );
    }
}

/// `docs/safety.md` names tests as its proof. Would catch one that was renamed or taken out.
#[test]
fn the_tests_that_the_page_of_safety_names_are_there() {
    let page = fs::read_to_string(root().join("docs/safety.md")).unwrap();
    let sources: String = rust_files("crates")
        .into_iter()
        .chain(rust_files("tests"))
        .filter_map(|file| fs::read_to_string(file).ok())
        .collect();
    let named: Vec<&str> = page
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|name| {
            name.contains('_')
                && name
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b == b'_' || b.is_ascii_digit())
        })
        .collect();
    assert!(named.len() > 40, "{} tests are named", named.len());
    let missing: Vec<&&str> = named
        .iter()
        .filter(|name| !sources.contains(&format!("fn {name}(")))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}
