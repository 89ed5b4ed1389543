//! Lays through the built program: the open benchmark format, our own problems, and files that
//! cannot be laid.

use std::fs;
#[cfg(target_os = "linux")]
use std::{
    process::{Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use serde_json::Value;
#[cfg(target_os = "linux")]
use tests::program;
use tests::{Scratch, data, ellwand};

fn file(name: &str) -> String {
    data("lay").join(name).to_string_lossy().into_owned()
}

/// Would catch an answer that a program cannot read, a length that does not go with its density,
/// and a lay that leaves pieces out.
#[test]
fn a_benchmark_instance_is_laid() {
    let scratch = Scratch::new();
    let out = scratch.word("lay.json");
    let name = file("fu.json");
    let words = [
        "lay",
        "--instance",
        &name,
        "--workers",
        "2",
        "--steps",
        "300000",
        "--json",
        "--out",
        &out,
    ];
    let ran = ellwand(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    // Who measures it reads it by the line.
    assert_eq!(ran.out.trim_end().lines().count(), 1, "{ran:?}");
    let said = ran.json();
    let number = |key: &str| said[key].as_f64().unwrap();
    assert!((number("format") - 1.0).abs() < 1e-9);
    assert!(
        number("density") > 0.75 && number("density") < 1.0,
        "{said}"
    );
    assert!(number("steps") >= 300_000.0, "{said}");
    // The area of fu's twelve pieces, by their corners (shapely gives 1083).
    assert!(
        (number("density") * number("length") * 38.0038 - 1083.0).abs() < 0.5,
        "{said}"
    );
    let lay: Value = serde_json::from_str(&fs::read_to_string(&out).unwrap()).unwrap();
    assert_eq!(lay["placed"].as_array().unwrap().len(), 12);
    assert!(lay["flat_from"].is_null());
    // The same words, the same lay.
    let again = ellwand(&words).json();
    assert_eq!(
        (&again["length"], &again["steps"]),
        (&said["length"], &said["steps"])
    );
}

/// Would catch a case that is not looked up, and a single piece on doubled cloth: the gown's drape
/// lies where the cloth is opened out, and no lay is shorter than its bound.
#[test]
fn a_problem_is_laid_by_its_case() {
    let scratch = Scratch::new();
    let out = scratch.word("lay.json");
    let name = file("gown-folded.json");
    let words = [
        "lay",
        "--instance",
        &name,
        "--case",
        "two-way",
        "--steps",
        "200000",
        "--workers",
        "1",
        "--json",
        "--out",
        &out,
    ];
    let ran = ellwand(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    let length = ran.json()["length"].as_f64().unwrap();
    assert!((2297.7..2838.0).contains(&length), "{length}");
    let lay: Value = serde_json::from_str(&fs::read_to_string(&out).unwrap()).unwrap();
    assert!(lay["flat_from"].as_f64().unwrap() < length);
    let ran = ellwand(&["lay", "--instance", &name, "--case", "sideways"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("\"one-way\", \"two-way\""), "{ran:?}");
}

/// Would catch a crash, an endless run or a silent repair: each bad file is told in one message.
#[test]
fn what_cannot_be_laid_is_said_in_one_message() {
    let scratch = Scratch::new();
    let strip = |height: &str, demand: &str, points: &str| {
        format!(
            "{{\"strip_height\": {height}, \"items\": [{{\"id\": 0, \"demand\": {demand}, \
             \"allowed_orientations\": [0], \"shape\": {{\"type\": \"simple_polygon\", \"data\": {points}}}}}]}}"
        )
    };
    let square = "[[0,0],[10,0],[10,10],[0,10],[0,0]]";
    let cases = [
        (
            strip("100", "1", "[[0,0],[10,10],[10,0],[0,10],[0,0]]"),
            "crosses itself",
        ),
        (strip("100", "1", "[[0,0],[NaN,10],[10,0]]"), "no JSON"),
        (
            strip("100", "1", "[[0,0],[1e300,10],[10,0]]"),
            "no usable number",
        ),
        (
            strip("100", "1", "[[0,0],[5,5],[10,10]]"),
            "fewer than three",
        ),
        (strip("100", "1", "[[0,0],[\"x\",10],[10,0]]"), "no outline"),
        (strip("5", "1", square), "10.0 wide"),
        (strip("0", "1", square), "no width"),
        (strip("-3", "1", square), "no width"),
        (strip("100", "0", square), "no piece"),
        (strip("100", "10000", square), "at most 1000"),
        (strip("100", "-1", square), "demand"),
        ("{}".into(), "items"),
        ("[".into(), "no JSON"),
        // Would catch a spike that the lay leaves out, and two pieces that a lay can't tell apart.
        (
            strip("100", "1", "[[0,0],[50,0],[80,0],[50,0],[50,30],[0,30]]"),
            "The piece \"0\" has a spike without width",
        ),
        (
            strip("100", "1", square).replace(
                "}]}",
                "}, {\"id\": 0, \"demand\": 1, \"shape\": {\"data\": [[0,0],[9,0],[0,9]]}}]}",
            ),
            "Pieces 1 and 2 of the list have the same `id` 0",
        ),
    ];
    for (text, words) in cases {
        let name = scratch.file("pieces.json", &text);
        let ran = ellwand(&["lay", "--instance", &name, "--seconds", "5"]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{text}: {ran:?}");
        assert!(ran.err.contains(words), "{text}: {ran:?}");
        assert_eq!(ran.err.trim_end().lines().count(), 1, "{ran:?}");
    }
    let name = scratch.file("pieces.json", strip("100", "1", square));
    for words in [
        &["lay", "--instance", &name, "--seconds", "0"][..],
        &["lay", "--instance", &name, "--seconds", "NaN"],
        &["lay", "--instance", "nowhere.json"],
        &["lay"],
    ] {
        let ran = ellwand(words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {ran:?}");
    }
    // Would catch a word that is taken and does nothing for a file of pieces, and a number below zero that
    // is called unexpected instead of wrong.
    let cases: [(&[&str], &str); 14] = [
        (&["--gap", "5mm"], "'--gap <LENGTH>'"),
        (&["--tilt", "2"], "'--tilt <DEGREES>'"),
        (&["--any-grain"], "'--any-grain'"),
        (&["--margin", "5 %"], "'--margin <MARGIN>'"),
        (&["--sold-by", "10 cm"], "'--sold-by <STEP>'"),
        (&["--for", "lining"], "'--for <CLOTH>'"),
        (&["--unit", "cm"], "'--unit <in|cm>'"),
        (&["--compare"], "'--compare'"),
        (
            &["--seconds", "-1"],
            "--seconds must be a number above zero",
        ),
        (
            &["--seed", "-1"],
            "invalid value '-1' for '--seed <NUMBER>'",
        ),
        (&["--workers", "-2"], "invalid value '-2'"),
        (&["--steps", "-2"], "invalid value '-2'"),
        (&["--case", "-x"], "unexpected argument '-x'"),
        (&["--case"], "a value is required for '--case <NAME>'"),
    ];
    for (more, says) in cases {
        let mut words = vec!["lay", "--instance", &name, "--seconds", "2"];
        if more[0] == "--seconds" {
            words.truncate(3);
        }
        words.extend(more);
        let ran = ellwand(&words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {ran:?}");
        assert!(ran.err.contains(says), "{words:?}: {ran:?}");
    }
}

/// Would catch a Ctrl-C, or an end that the system asks for, by which all that was found is lost; and one
/// that is not heard before the time is over.
#[cfg(target_os = "linux")]
#[test]
fn a_search_that_is_stopped_gives_the_best_so_far() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let cloth = scratch.file("crepe.toml", CREPE);
    let pieces = file("fu.json");
    let (out, folder) = (scratch.word("stopped.json"), scratch.word("stopped"));
    let cases: [(&str, Vec<&str>); 3] = [
        ("-INT", vec!["--instance", &pieces, "--out", &out]),
        ("-TERM", vec!["--instance", &pieces, "--out", &out]),
        (
            "-INT",
            vec![
                "--report",
                &report,
                "--cloth",
                &cloth,
                "--compare",
                "--out",
                &folder,
            ],
        ),
    ];
    for (signal, more) in cases {
        let running = Command::new(program())
            .args(["lay", "--seconds", "400", "--workers", "1", "--json"])
            .args(&more)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let begun = Instant::now();
        let number = running.id().to_string();
        while !listens(&number) {
            assert!(begun.elapsed() < Duration::from_mins(1), "it never listens");
            thread::sleep(Duration::from_millis(20));
        }
        let sent = Command::new("kill").args([signal, &number]).status();
        assert!(sent.unwrap().success());
        let ended = running.wait_with_output().unwrap();
        // Far less than it was given.
        assert!(begun.elapsed() < Duration::from_mins(5), "{more:?}");
        let said = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(0), "{more:?}: {said}");
        assert!(said.starts_with("Stopped, as you asked"), "{said}");
        assert_eq!(said.trim_end().lines().count(), 1, "{said}");
        let told: Value = serde_json::from_slice(&ended.stdout).unwrap();
        assert_eq!(told["stopped"], true);
        if more[0] == "--instance" {
            let lay: Value = serde_json::from_str(&fs::read_to_string(&out).unwrap()).unwrap();
            assert_eq!(lay["placed"].as_array().unwrap().len(), 12);
            fs::remove_file(&out).unwrap();
        } else {
            assert!(fs::metadata(format!("{folder}/lay.pdf")).is_ok());
            // Hers, and no way that was not looked at to its end.
            let ways = told["compare"].as_array().unwrap().len();
            assert!((1..8).contains(&ways), "{told}");
        }
    }
}

/// Whether a running program hears of Ctrl-C and of an end that is asked for (signals 2 and 15).
#[cfg(target_os = "linux")]
fn listens(number: &str) -> bool {
    let told = fs::read_to_string(format!("/proc/{number}/status")).unwrap_or_default();
    let caught = told.lines().find_map(|l| l.strip_prefix("SigCgt:"));
    let bits = caught.and_then(|b| u64::from_str_radix(b.trim(), 16).ok());
    bits.is_some_and(|b| b & (1 << 1) != 0 && b & (1 << 14) != 0)
}

/// A thousand pieces in a second: a lay comes, and the run ends.
#[test]
fn a_thousand_pieces_end_in_time() {
    let scratch = Scratch::new();
    let text = "{\"strip_height\": 100, \"items\": [{\"id\": 0, \"demand\": 1000, \"allowed_orientations\": [0, 180], \
                \"shape\": {\"type\": \"simple_polygon\", \"data\": [[0,0],[5,1],[2,6],[0,0]]}}]}";
    let name = scratch.file("pieces.json", text);
    let ran = ellwand(&["lay", "--instance", &name, "--seconds", "1", "--json"]);
    assert_eq!(ran.code, 0, "{ran:?}");
}

/// A made pattern to lay: the report of the darted skirt.
fn made(scratch: &Scratch) -> String {
    let out = scratch.word("made");
    let method = data("darted.method").to_string_lossy().into_owned();
    let card = data("anna.toml").to_string_lossy().into_owned();
    let words = [
        "make",
        "--card",
        &card,
        "--method",
        &method,
        "--predict",
        "--only",
        "report.json",
        "--out",
        &out,
    ];
    let ran = ellwand(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    format!("{out}/report.json")
}

const CREPE: &str =
    "name = \"Crepe (invented)\"\nunit = \"in\"\nwidth = 60\nselvedge = 1\nprice = \"28.00 EUR\"\n";

/// Would catch a file that is missing, an amount that is not the lay and its margin rounded up once, a
/// piece outside the cloth, and an answer that differs from run to run.
#[test]
fn a_report_is_laid() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let cloth = scratch.file("crepe.toml", CREPE);
    let out = scratch.word("lay");
    let words = [
        "lay",
        "--report",
        &report,
        "--cloth",
        &cloth,
        "--steps",
        "100000",
        "--workers",
        "2",
        "--margin",
        "5 % + 2 in",
        "--sold-by",
        "1/4 yd",
        "--json",
        "--out",
        &out,
    ];
    let ran = ellwand(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    let said = ran.json();
    for name in ["lay.json", "lay.svg", "lay.pdf", "lay-full.pdf", "lay.plt"] {
        assert!(
            fs::metadata(format!("{out}/{name}")).unwrap().len() > 300,
            "{name}"
        );
    }
    let written: Value =
        serde_json::from_str(&fs::read_to_string(format!("{out}/lay.json")).unwrap()).unwrap();
    assert_eq!(written, said);
    let number = |v: &Value| v.as_f64().unwrap();
    let lay = number(&said["length_mm"]);
    let wanted = lay * 1.05 + 50.8;
    let bought = number(&said["buy"]["bought_mm"]);
    assert!(
        (number(&said["buy"]["margin_mm"]) - (lay * 0.05 + 50.8)).abs() < 1e-3,
        "{said}"
    );
    assert!(bought >= wanted - 0.01 && bought - wanted < 228.6, "{said}");
    assert!((bought / 228.6).fract().min(1.0 - (bought / 228.6).fract()) < 1e-6);
    // 28.00 a yard, exactly.
    let yards = (bought / 914.4 * 4.0).round() / 4.0;
    assert_eq!(said["cost"], format!("{:.2} EUR", yards * 28.0));
    for piece in said["pieces"].as_array().unwrap() {
        for p in piece["outline_mm"].as_array().unwrap() {
            let (x, y) = (number(&p[0]), number(&p[1]));
            assert!(
                x > -0.01 && x < lay + 0.01 && y > -0.01 && y < 58.0 * 25.4 + 0.01,
                "{piece}"
            );
        }
    }
    assert_eq!(ellwand(&words).json(), said);
}

/// Would catch a way of folding or running that is not laid, and a compared way that is left out.
#[test]
fn cloth_is_laid_folded_doubled_and_across() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let mut lengths = Vec::new();
    for more in [
        "fold = \"none\"",
        "fold = \"lengthwise\"",
        "fold = \"double\"",
        "length_runs = \"across\"",
    ] {
        let cloth = scratch.file("cloth.toml", format!("{CREPE}{more}\n"));
        let out = scratch.word("lay");
        let ran = ellwand(&[
            "lay",
            "--report",
            &report,
            "--cloth",
            &cloth,
            "--steps",
            "60000",
            "--workers",
            "1",
            "--compare",
            "--json",
            "--gap",
            "1/8 in",
            "--out",
            &out,
        ]);
        assert_eq!(ran.code, 0, "{more}: {ran:?}");
        let said = ran.json();
        lengths.push(said["length_mm"].as_f64().unwrap());
        assert!(said["compare"].as_array().unwrap().len() >= 4, "{said}");
    }
    // Nothing folded is shorter than flat, as good as the search is.
    assert!(lengths[1] > lengths[0] * 0.99, "{lengths:?}");
}

/// Would catch a comparison whose first row is another lay than the one that was found, a width that is not
/// compared, and flaws of her piece that another width leaves out with nothing said.
#[test]
fn a_comparison_begins_with_the_lay_and_says_what_it_leaves_out() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let cloth = scratch.file(
        "cloth.toml",
        "unit = \"in\"\nwidth = 58\nprice = \"28.00 EUR\"\nin_hand = 90\nflaws = [\"10 in along, 20 in across, 2 in round\"]\n",
    );
    let words = |steps: &'static str, more: &[&str]| {
        let out = scratch.word("lay");
        let mut words = vec![
            "lay",
            "--report",
            &report,
            "--cloth",
            &cloth,
            "--steps",
            steps,
            "--workers",
            "1",
            "--compare",
            "--out",
            &out,
        ];
        words.extend(more);
        let ran = ellwand(&words);
        assert_eq!(ran.code, 0, "{ran:?}");
        ran
    };
    // So few places that a way laid anew with a share of them would come out longer.
    for steps in ["40", "4000"] {
        let said = words(steps, &["--json"]).json();
        let rows = said["compare"].as_array().unwrap();
        let first = &rows[0];
        assert_eq!(first["way"], "as the cloth says");
        for key in ["length_mm", "cost", "steps"] {
            assert_eq!(first[key], said[key], "{key}");
        }
        assert_eq!(first["amount"], said["buy"]["amount"]);
        assert_eq!(first["without"], serde_json::json!([]));
        for width in ["45", "54", "60"] {
            let way = format!("cloth {width} in wide");
            let row = rows.iter().find(|r| r["way"] == way.as_str());
            let row = row.unwrap_or_else(|| panic!("{way}: {said}"));
            assert_eq!(row["without"], serde_json::json!(["flaws", "in_hand"]));
        }
    }
    let told = words("400", &[]).out;
    let row = told.lines().find(|l| l.contains("cloth 45 in wide"));
    let row = row.expect("a row for 45 in");
    assert!(
        row.contains("without the flaws of your piece")
            && row.contains("what you have is not of this width"),
        "{row}"
    );
    for line in ["1/7 of the time of yours", "at the price of yours"] {
        assert!(told.contains(line), "{line}: {told}");
    }
}

/// Would catch a fault that leaves files behind, or that is told in more than one message.
#[test]
fn what_cannot_be_laid_leaves_nothing() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let good = scratch.file("good.toml", CREPE);
    let narrow = scratch.file("narrow.toml", "unit = \"in\"\nwidth = 4\n");
    let none = scratch.file("none.toml", "name = \"No width\"\n");
    let other = scratch.file("other.json", "{\"format\": 7, \"pieces\": []}");
    let no_report = scratch.file("no.json", "{\"items\": []}");
    let whole: Value = serde_json::from_str(&fs::read_to_string(&report).unwrap()).unwrap();
    let changed = |name: &str, change: &dyn Fn(&mut Value)| {
        let mut value = whole.clone();
        change(&mut value);
        scratch.file(name, value.to_string())
    };
    let many = changed("many.json", &|v| {
        v["pieces"][0]["cut"][0]["count"] = 10_000.into();
    });
    let words = changed("words.json", &|v| {
        v["pieces"][0]["cutting_mm"][3] = "NaN".into();
    });
    let crossed = changed("crossed.json", &|v| {
        let points = v["pieces"][0]["cutting_mm"].as_array_mut().unwrap();
        let n = points.len();
        points.swap(n / 4, 3 * n / 4);
    });
    let with = |name: &str, more: &str| scratch.file(name, format!("{CREPE}{more}\n"));
    let off = with("off.toml", "flaws = [\"4 in along, 80 in across\"]");
    let scraps = with("scraps.toml", "scraps = [\"some\"]");
    let nap = with("nap.toml", "fold = \"crosswise\"\nnap = \"one-way\"");
    let deep = with("deep.toml", "fold = \"part\"\nfold_depth = 31");
    let called = with("called.toml", "repeat = 12\nmatch = \"nowhere\"");
    let plain = with("plain.toml", "match = \"hip\"");
    let across = with("across.toml", "repeat = 12\nlength_runs = \"across\"");
    let double = with("double.toml", "repeat = 12\nfold = \"double\"");
    let turned = with("turned.toml", "repeat = 12\nfold = \"crosswise\"");
    let cases: [(&str, &str, &[&str], &str); 30] = [
        (&report, &narrow, &[], "would do"),
        (&report, &none, &[], "no width"),
        (&other, &good, &[], "format 7"),
        (&no_report, &good, &[], "no report"),
        (&many, &good, &[], "at most 1000"),
        (&words, &good, &[], "cutting line"),
        (&crossed, &good, &[], "its fold edge"),
        (&report, &good, &["--for", "velvet"], "\"velvet\""),
        (&report, &good, &["--gap", "9 ft"], "--gap"),
        (&report, &good, &["--tilt", "NaN"], "--tilt"),
        (
            &report,
            &good,
            &["--gap", "-1in"],
            "--gap must be from nothing",
        ),
        (&report, &good, &["--margin", "-10 cm"], "0 to 100 %"),
        (&report, &good, &["--tilt", "-1"], "from 0 to 10"),
        (&report, &off, &[], "80 in across lies outside the cloth"),
        (&report, &good, &["--sold-by", "2 ells"], "--sold-by"),
        (&report, &good, &["--margin", "much"], "--margin"),
        (&report, &good, &["--join", "9 in"], "--join"),
        (&report, &scraps, &[], "12 in wide, 20 in long"),
        (&report, &nap, &[], "the other way round"),
        (&report, &deep, &[], "more than half of the width"),
        (&report, &called, &[], "called \"nowhere\""),
        (&report, &plain, &[], "whose pattern repeats"),
        (&report, &across, &[], "one level of the pattern"),
        (&report, &double, &[], "begins anywhere in it"),
        (&report, &turned, &[], "the other way in the upper layer"),
        // Would catch a lay that says nothing of what to buy, or that keeps but the last of two.
        (&report, &good, &["--margin", "150 %"], "0 to 100 %"),
        (&report, &good, &["--margin=-10 cm"], "0 to 100 %"),
        (
            &report,
            &good,
            &["--margin", "2 yd + 1200 m"],
            "of one sort",
        ),
        (&report, &good, &["--margin", "1200 m"], "no more than 1 km"),
        (&report, &good, &["--margin", "5 % + 5 %"], "of one sort"),
    ];
    for (report, cloth, more, says) in cases {
        let out = scratch.word("never");
        let mut words = vec![
            "lay",
            "--report",
            report,
            "--cloth",
            cloth,
            "--seconds",
            "2",
            "--out",
            &out,
        ];
        words.extend(more);
        let ran = ellwand(&words);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{words:?}: {ran:?}");
        assert!(ran.err.contains(says), "{words:?}: {ran:?}");
        assert_eq!(ran.err.trim_end().lines().count(), 1, "{ran:?}");
        assert!(fs::metadata(&out).is_err(), "{words:?}");
    }
}

/// A report laid on the crepe with more lines on its page: what the program answers, and its drawing.
fn laid(scratch: &Scratch, report: &str, cloth: &str, more: &[&str]) -> (Value, String) {
    let cloth = scratch.file("cloth.toml", format!("{CREPE}{cloth}\n"));
    let out = scratch.word("out");
    let mut words = vec![
        "lay", "--report", report, "--cloth", &cloth, "--steps", "2000", "--json", "--out", &out,
    ];
    words.extend(more);
    let ran = ellwand(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    let drawing = fs::read_to_string(format!("{out}/lay.svg")).expect("a drawing");
    (ran.json(), drawing)
}

/// Would catch a repeat as bought on the paper of cloth that has shrunk, a way that is offered though the
/// pattern can't meet there, and a flaw behind two lengths of which nothing is said.
#[test]
fn a_pattern_and_flaws_are_told_as_they_lie() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let lay = |cloth: &str, more: &[&str]| laid(&scratch, &report, cloth, more);
    let (print, _) = lay("repeat = 12\nshrink_along = \"4 %\"", &["--compare"]);
    let repeat = print["cloth"]["repeat_mm"].as_f64().unwrap();
    assert!((repeat - 12.0 * 25.4 * 0.96).abs() < 1e-3, "{repeat}");
    let ways = print["compare"].as_array().unwrap();
    let way = |name: &str| ways.iter().find(|w| w["way"] == name).unwrap();
    let why = way("length across the cloth")["why_not"].as_str().unwrap();
    assert!(why.contains("one level of the pattern"), "{why}");
    assert!(way("folded along its length")["why_not"].is_null());
    let flaw = "fold = \"double\"\nflaws = [\"200 in along, 12 in across\"]";
    let (two, drawn) = lay(flaw, &["--language", "de"]);
    let asks = two["asks"][0].as_str().unwrap();
    assert!(asks.contains("200 in along lies behind"), "{two}");
    assert!(drawn.contains("Fehlstelle bei"), "{drawn}");
    let (one, _) = lay("flaws = [\"200 in along, 12 in across\"]", &[]);
    assert_eq!(one["asks"], serde_json::json!([]));
}

/// Would catch a lay sheet in German that says what to buy with an English point, or in English words.
#[test]
fn a_lay_speaks_german_down_to_its_figures() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let (cloth, out) = (scratch.file("cloth.toml", CREPE), scratch.word("out"));
    let words = [
        "lay",
        "--report",
        &report,
        "--cloth",
        &cloth,
        "--steps",
        "500",
        "--json",
        "--out",
        &out,
        "--unit",
        "cm",
        "--sold-by",
        "10 cm",
        "--language",
        "de",
    ];
    let ran = ellwand(&words);
    assert_eq!(ran.code, 0, "{ran:?}");
    let buy = ran.json()["buy"]["amount"].as_str().unwrap().to_owned();
    assert!(buy.contains('.'), "{buy}");
    let svg = fs::read_to_string(format!("{out}/lay.svg")).unwrap();
    assert!(
        svg.contains("Kaufen") && svg.contains(&buy.replace('.', ",")),
        "{buy}"
    );
    assert!(!svg.contains(&buy) && !svg.contains("Lay to cut by"));
}

/// Would catch a piece that is joined or laid on a scrap without being said, and a part of the width that is
/// folded deeper than what lies on it.
#[test]
fn joins_scraps_and_a_fold_of_a_part_are_told() {
    let scratch = Scratch::new();
    let report = made(&scratch);
    let lay = |cloth: &str, more: &[&str]| laid(&scratch, &report, cloth, more).0;
    let flat = lay("", &["--join"]);
    assert_eq!(
        (&flat["joins"], &flat["scraps"]),
        (&serde_json::json!([]), &serde_json::json!([]))
    );
    let part = lay("fold = \"part\"", &[]);
    let [deep, beside] = [0, 1].map(|i| part["cloth"]["turned_in_mm"][i].as_f64().unwrap());
    assert!((beside - deep - 25.4).abs() < 0.01, "{deep} {beside}");
    let most = part["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["layers"] == "fold")
        .flat_map(|p| p["outline_mm"].as_array().unwrap())
        .map(|q| q[1].as_f64().unwrap())
        .fold(0.0, f64::max);
    assert!(
        most > 0.0 && most <= deep + 0.01 && deep - most < 200.0,
        "{most} of {deep}"
    );
    // A scrap as large as the cloth takes a piece; it is numbered on after the lay.
    let scrap = lay("scraps = [\"40 in wide, 40 in long\"]", &[]);
    let on = &scrap["scraps"][0];
    let first = on["pieces"][0]["number"].as_u64().unwrap();
    let laid = scrap["pieces"].as_array().unwrap().len() as u64;
    assert_eq!((on["number"].as_u64(), first), (Some(1), laid + 1), "{on}");
    // On one as large as two cloths lies all of it: drawn on its own sheet, and nothing is bought.
    let bare = scratch.file(
        "bare.toml",
        format!("{CREPE}in_hand = 5\nscraps = [\"100 in wide, 150 in long\"]\n"),
    );
    let out = scratch.word("bare");
    let ran = ellwand(&[
        "lay",
        "--report",
        &report,
        "--cloth",
        &bare,
        "--compare",
        "--out",
        &out,
    ]);
    assert!(
        ran.code == 0 && ran.out.contains("Shell: nothing to buy."),
        "{ran:?}"
    );
    let file = |name: &str| fs::read(scratch.path().join("bare").join(name));
    let told: Value = serde_json::from_slice(&file("lay.json").unwrap()).expect("lay.json is JSON");
    for key in ["buy", "cost", "at_hand", "thumb_mm", "flat_from_mm"] {
        assert!(told[key].is_null(), "{key}: {}", told[key]);
    }
    for key in ["pieces", "left_mm", "compare"] {
        assert_eq!(told[key], serde_json::json!([]), "{key}");
    }
    assert_eq!(told["length_mm"].as_f64(), Some(0.0));
    assert_eq!(told["scraps"][0]["pieces"][0]["number"].as_u64(), Some(1));
    assert!(file("lay.pdf").unwrap().starts_with(b"%PDF"));
    assert!(file("lay.svg").unwrap().starts_with(b"<"));
    assert!(file("lay-full.pdf").is_err() && file("lay.plt").is_err());
}
