//! Whole jobs, from a card and a method to files, checked against sums that can be done in the head.
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use tests::{Ran, Scratch, data, ellwand, names_in, program, root};

const DEFAULT: [&str; 8] = [
    "hand-sheet.pdf",
    "pattern-a4.pdf",
    "pattern-letter.pdf",
    "pattern-roll.pdf",
    "pattern.dxf",
    "pattern.svg",
    "preview.png",
    "report.json",
];

fn make(out: &str, more: &[&str]) -> Ran {
    let (card, method) = (data("anna.toml"), data("tube.method"));
    let mut words = vec![
        "make".to_owned(),
        "--card".into(),
        card.to_string_lossy().into(),
        "--method".into(),
        method.to_string_lossy().into(),
        "--out".into(),
        out.into(),
    ];
    words.extend(more.iter().map(|w| (*w).to_owned()));
    ellwand(&words)
}

fn report(out: &str) -> Value {
    let text = fs::read_to_string(Path::new(out).join("report.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn mm(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

fn close(value: &Value, inches: f64) {
    let mm = mm(value);
    assert!(
        (mm - inches * 25.4).abs() < 0.01,
        "{mm} mm, {inches} in expected"
    );
}

/// Would catch a file that is not made, a file left beside them, a report that is not what was drawn.
#[test]
fn a_tube_is_what_its_sums_say() {
    let scratch = Scratch::new();
    let out = scratch.word("anna");
    let ran = make(&out, &[]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert_eq!(names_in(Path::new(&out)), DEFAULT);
    let report = report(&out);
    assert_eq!(report["format"], 1);
    assert_eq!(report["client"], "Anna (invented)");
    assert_eq!(report["method"], "Tube for trying");
    close(&report["measures_mm"]["hip"], 40.0);
    assert_eq!(report["choices"]["hem turn"], "wide");
    assert_eq!(report["choices"]["slit"], false);
    close(&report["choices"]["length"], 24.0);
    // A quarter is 10 by 24 in: the area, the edges, the darts, all by hand.
    let front = &report["pieces"][0];
    assert_eq!(front["name"], "front");
    assert_eq!(
        front["cut"],
        json!([{"cloth": "shell", "count": 1, "on_fold": true, "pair": false}])
    );
    assert!((mm(&front["area_mm2"]) - 240.0 * 645.16).abs() < 0.5);
    let edge = |name: &str| {
        let all = front["edges"].as_array().unwrap();
        all.iter().find(|e| e["name"] == name).unwrap().clone()
    };
    close(&edge("side")["length_mm"], 24.0);
    close(&edge("foot")["length_mm"], 10.0);
    assert_eq!(edge("foot")["role"], "hem");
    assert_eq!(edge("middle")["role"], "fold");
    close(&edge("foot")["allowance_mm"][0][1], 2.0);
    // The allowance steps from 1 in to 1/2 in at the hip, 8 1/2 in down.
    let stops: Vec<(f64, f64)> = edge("side")["allowance_mm"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| (mm(&s[0]) / 25.4, mm(&s[1]) / 25.4))
        .collect();
    let wanted = [(0.0, 1.0), (8.5, 1.0), (8.5, 0.5), (24.0, 0.5)];
    assert_eq!(stops.len(), wanted.len(), "{stops:?}");
    for (stop, wanted) in stops.iter().zip(wanted) {
        assert!(
            (stop.0 - wanted.0).abs() < 1e-4 && (stop.1 - wanted.1).abs() < 1e-4,
            "{stops:?}"
        );
    }
    // The side notch lies at the hip, 10 in out and 8 1/2 in down from the waist.
    let notch = &front["notches_mm"][0];
    let top = &front["stitching_mm"][0];
    close(&json!(mm(&notch[1]) - mm(&top[1])), 8.5);
    // From and to of the edges go round the outline without a gap, and the outline is closed.
    let outline = front["stitching_mm"].as_array().unwrap();
    assert_eq!(outline.first(), outline.last());
    let mut at = 0;
    for e in front["edges"].as_array().unwrap() {
        assert_eq!(e["from"], at);
        at = e["to"].as_u64().unwrap();
    }
    assert_eq!(usize::try_from(at).unwrap(), outline.len() - 1);
    // Trued: the back was drawn an inch short.
    let seam = &report["seams"][0];
    assert_eq!(
        (&seam["a"], &seam["b"]),
        (&json!("front.side"), &json!("back.side"))
    );
    close(&seam["difference_mm"], 0.0);
    close(&seam["untrued_b_mm"], 23.0);
    assert_eq!(report["seams"][1]["twin"], true);
    // Measured afresh: 40 in round at waist, hip and hem.
    for name in ["waist_mm", "hip_mm", "hem_mm"] {
        close(&report["measured"][name], 40.0);
    }
    assert_eq!(report["measured"]["break_girth_mm"], Value::Null);
    assert!(mm(&report["measured"]["step_mm"]) > 0.0);
    close(&report["results"][0]["mm"], 40.0);
    assert_eq!(report["results"][0]["name"], "hip girth");
    assert!(report["steps"].as_array().unwrap().len() > 3);
    assert!(ran.out.contains(report["version"].as_str().unwrap()));
}

/// Would catch an output that depends on the clock, the folder, hashing or which core was faster.
#[test]
fn two_runs_give_the_same_bytes() {
    let scratch = Scratch::new();
    let (a, b) = (scratch.word("a"), scratch.word("deep/er/b"));
    for out in [&a, &b] {
        assert_eq!(make(out, &["--paper", "all"]).code, 0);
    }
    assert_eq!(names_in(Path::new(&a)).len(), 11);
    for name in names_in(Path::new(&a)) {
        let read = |out: &str| fs::read(Path::new(out).join(&name)).unwrap();
        assert!(read(&a) == read(&b), "{name} differs");
        let text = String::from_utf8_lossy(&read(&a)).into_owned();
        let folder = scratch.path().to_string_lossy().into_owned();
        assert!(!text.contains(&folder), "{name} holds a path");
    }
}

/// Would catch an output that is made though it was not named, or a paper that is not.
#[test]
fn only_and_paper_choose_the_files() {
    let scratch = Scratch::new();
    let out = scratch.word("only");
    assert_eq!(make(&out, &["--only", "report.json,pattern.svg"]).code, 0);
    assert_eq!(names_in(Path::new(&out)), ["pattern.svg", "report.json"]);
    let out = scratch.word("a3");
    assert_eq!(make(&out, &["--paper", "a3"]).code, 0);
    assert_eq!(
        names_in(Path::new(&out)),
        [
            "hand-sheet.pdf",
            "pattern-a3.pdf",
            "pattern.dxf",
            "pattern.svg",
            "preview.png",
            "report.json"
        ]
    );
}

/// The vertices of a layer of a DXF, read by pairs of lines.
fn vertices(dxf: &str, block: &str, layer: &str) -> Vec<(f64, f64)> {
    let lines: Vec<&str> = dxf.lines().collect();
    let pairs: Vec<(&str, &str)> = lines.chunks(2).map(|p| (p[0], p[1])).collect();
    let mut at = "";
    let mut out = Vec::new();
    for w in pairs.windows(5) {
        match w[0] {
            ("0", "BLOCK") => at = w[2].1,
            ("0", "VERTEX") if at == block && w[1] == ("8", layer) => {
                out.push((w[2].1.parse().unwrap(), w[3].1.parse().unwrap()));
            }
            _ => {}
        }
    }
    out
}

/// Would catch a paper that does not speak the language asked for, another pattern than in English, and a
/// language that is not there and is not told.
#[test]
fn the_sheets_speak_the_language_that_is_asked_for() {
    let scratch = Scratch::new();
    let (here, there) = (scratch.word("en"), scratch.word("de"));
    let only = ["--only", "pattern.dxf,report.json"];
    assert_eq!(make(&here, &only).code, 0);
    let german = [only.as_slice(), &["--language", "de"]].concat();
    assert_eq!(make(&there, &german).code, 0);
    let drawn = |out: &str| fs::read_to_string(Path::new(out).join("pattern.dxf")).unwrap();
    assert!(drawn(&there).contains("Fadenlauf") && !drawn(&there).contains("Grain"));
    assert!(drawn(&here).contains("Grain"));
    assert_eq!(report(&here), report(&there));
    let other = make(&scratch.word("xx"), &["--language", "xx"]);
    assert_eq!(other.code, 2);
    assert!(
        other.err.contains("en (English), de (Deutsch)"),
        "{}",
        other.err
    );
}

/// Would catch a DXF that is not the pattern of the report: scaled, turned over twice, of another
/// version; and letters that are not plain.
#[test]
fn the_dxf_holds_the_outlines_of_the_report() {
    let scratch = Scratch::new();
    let out = scratch.word("dxf");
    assert_eq!(make(&out, &["--only", "report.json,pattern.dxf"]).code, 0);
    assert_eq!(names_in(Path::new(&out)), ["pattern.dxf", "report.json"]);
    let dxf = fs::read_to_string(Path::new(&out).join("pattern.dxf")).unwrap();
    assert!(dxf.is_ascii() && dxf.contains("\r\nAC1009\r\n") && dxf.ends_with("\r\nEOF\r\n"));
    let report = report(&out);
    let version = report["version"].as_str().unwrap();
    assert!(dxf.contains(&format!("SAMPLE SIZE: {version}")));
    for (block, piece) in ["FRONT", "BACK"]
        .iter()
        .zip(report["pieces"].as_array().unwrap())
    {
        for (layer, key) in [("1", "cutting_mm"), ("14", "stitching_mm")] {
            let got = vertices(&dxf, block, layer);
            let want: Vec<(f64, f64)> = piece[key]
                .as_array()
                .unwrap()
                .iter()
                .map(|p| (mm(&p[0]), -mm(&p[1])))
                .collect();
            assert!(got.len() > 3, "{block} {key}");
            let near = |a: &(f64, f64), b: &(f64, f64)| {
                (a.0 - b.0).abs() < 0.001 && (a.1 - b.1).abs() < 0.001
            };
            assert!(
                got.iter().all(|g| want.iter().any(|w| near(g, w))),
                "{block} {key}"
            );
            assert!(
                want.iter().all(|w| got.iter().any(|g| near(g, w))),
                "{block} {key}"
            );
        }
    }
}

/// Would catch a plot that is not asked for, is no HP-GL/2, or does not begin with a square of 100 mm
/// or 4 in at 40 units to the millimetre.
#[test]
fn a_plot_is_made_when_it_is_asked_for() {
    let scratch = Scratch::new();
    let out = scratch.word("plot");
    assert_eq!(make(&out, &["--paper", "plotter"]).code, 0);
    let made = names_in(Path::new(&out));
    assert!(made.contains(&"pattern.plt".to_owned()), "{made:?}");
    assert!(!made.contains(&"pattern-a4.pdf".to_owned()), "{made:?}");
    let plot = fs::read_to_string(Path::new(&out).join("pattern.plt")).unwrap();
    assert!(plot.starts_with("IN;SP1;\nPS") && plot.ends_with("PU;SP0;\nPG;\n"));
    assert!(plot.bytes().all(|b| b == b'\n' || (32..127).contains(&b)));
    let first = plot.split("PU").nth(1).unwrap();
    let places: Vec<i64> = first
        .split(|c: char| !c.is_ascii_digit() && c != '-')
        .filter_map(|n| n.parse().ok())
        .collect();
    let side = (places[2] - places[0]).abs() + (places[3] - places[1]).abs();
    assert!(side == 4000 || side == 4064, "{places:?}");
}

/// Would catch a class sheet that comes unasked, or not at all.
#[test]
fn the_class_sheet_comes_when_asked() {
    let scratch = Scratch::new();
    let out = scratch.word("class");
    assert_eq!(make(&out, &["--class"]).code, 0);
    assert!(names_in(Path::new(&out)).contains(&"class-sheet.pdf".to_owned()));
    let out = scratch.word("one");
    assert_eq!(make(&out, &["--only", "class-sheet.pdf"]).code, 0);
    assert_eq!(names_in(Path::new(&out)), ["class-sheet.pdf"]);
}

/// Would catch a way of drawing that is taken and not followed.
#[test]
fn pieces_are_drawn_as_wanted() {
    let scratch = Scratch::new();
    let svg = |name: &str, more: &[&str]| {
        let out = scratch.word(name);
        let ran = make(&out, &[&["--only", "pattern.svg"], more].concat());
        assert_eq!(ran.code, 0, "{ran:?}");
        fs::read_to_string(Path::new(&out).join("pattern.svg")).unwrap()
    };
    let plain = svg("plain", &[]);
    assert!(plain.contains("id=\"cutting-line\"") && plain.contains("on the fold"));
    let opened = svg("opened", &["--opened-out"]);
    assert!(!opened.contains("on the fold") && opened.contains("Full width"));
    let less = svg("less", &["--leave-out", "cutting,construction"]);
    for id in ["cutting-line", "construction"] {
        assert!(!less.contains(&format!("<g id=\"{id}\"")), "{id}");
    }
    assert!(less.contains("id=\"stitching-line\""));
    assert!(!svg("draft", &["--construction"]).contains("display=\"none\""));
    let ran = make(&scratch.word("odd"), &["--leave-out", "moon"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("moon"), "{ran:?}");
}

/// Would catch choices that are not passed on, units that are not converted.
#[test]
fn what_is_set_is_what_is_made() {
    let scratch = Scratch::new();
    let out = scratch.word("set");
    let words = [
        "--only",
        "report.json",
        "--set",
        "ease=5 cm",
        "--set",
        "hem turn=narrow",
    ];
    assert_eq!(make(&out, &words).code, 0);
    let report = report(&out);
    assert!((mm(&report["choices"]["ease"]) - 50.0).abs() < 1e-9);
    assert!((mm(&report["measured"]["hip_mm"]) - 1066.0).abs() < 0.01);
    close(&report["results"][1]["mm"], 1.0);
}

/// Would catch truing that can't be left out, or a seam out by an inch that is not a stop.
#[test]
fn an_untrued_draft_shows_its_fault() {
    let scratch = Scratch::new();
    let out = scratch.word("untrued");
    let ran = make(&out, &["--untrued", "--only", "report.json"]);
    assert_eq!(ran.code, 0, "a finding is no fault: {ran:?}");
    let report = report(&out);
    close(&report["seams"][0]["difference_mm"], 1.0);
    let finding = &report["findings"][0];
    assert_eq!(
        (&finding["rule"], &finding["weight"]),
        (&json!("F1"), &json!("stop"))
    );
    assert_eq!(finding["where"], "front.side + back.side");
    assert_eq!(finding["try"], Value::Null);
    close(&finding["amount_mm"], 1.0);
}

/// Would catch a version that stays when the pattern changes, or changes when it does not.
#[test]
fn the_version_follows_card_method_and_choices_only() {
    let scratch = Scratch::new();
    let version = |name: &str, more: &[&str]| {
        let out = scratch.word(name);
        let mut words = vec!["--only", "report.json"];
        words.extend(more);
        assert_eq!(make(&out, &words).code, 0);
        report(&out)["version"].as_str().unwrap().to_owned()
    };
    let first = version("a", &[]);
    assert_eq!(first, version("b", &["--unit", "cm"]));
    assert_ne!(first, version("c", &["--set", "ease=1 in"]));
    assert_eq!(first, version("d", &["--set", "ease=0 cm"]));
    assert_ne!(first, version("e", &["--untrued"]));
}

/// A quarter of a tube, 10 by 24 in: with 1 in all round but on the fold it is cut 11 by 26 in, and the
/// back, which has no fold, 12 by 26. Would catch an edge that keeps the method's allowance in a toile,
/// a fold that gets one, and a toile that has the version of the cloth.
#[test]
fn a_toile_has_an_inch_all_round() {
    let scratch = Scratch::new();
    let (cloth, toile) = (scratch.word("cloth"), scratch.word("toile"));
    assert_eq!(make(&cloth, &["--only", "report.json"]).code, 0);
    let ran = make(&toile, &["--toile"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    assert!(ran.out.starts_with("Toile: "), "{}", ran.out);
    let (first, report) = (report(&cloth), report(&toile));
    assert_ne!(first["version"], report["version"]);
    assert!(first["allowances"].is_null());
    assert_eq!(report["allowances"]["stage"], "toile");
    let size = |piece: &Value, line: &str| {
        let points = piece[line].as_array().unwrap();
        let spread = |i: usize| {
            let all: Vec<f64> = points.iter().map(|p| p[i].as_f64().unwrap()).collect();
            let low = all.iter().copied().fold(f64::INFINITY, f64::min);
            (all.iter().copied().fold(f64::NEG_INFINITY, f64::max) - low) / 25.4
        };
        (spread(0), spread(1))
    };
    for (piece, sides) in report["pieces"].as_array().unwrap().iter().zip([1.0, 2.0]) {
        let (net, cut) = (size(piece, "stitching_mm"), size(piece, "cutting_mm"));
        assert!(
            (net.0 - 10.0).abs() < 1e-3 && (net.1 - 24.0).abs() < 1e-3,
            "{net:?}"
        );
        assert!((cut.0 - 10.0 - sides).abs() < 1e-3, "{cut:?}");
        assert!((cut.1 - 26.0).abs() < 1e-3, "{cut:?}");
    }
    let svg = fs::read_to_string(Path::new(&toile).join("pattern.svg")).unwrap();
    assert!(svg.contains("Toile: cut") && svg.contains("toile, version"));
}

/// Would catch a table that is read and laid on nothing, and one that fills up what the method steps.
#[test]
fn a_table_of_her_own_takes_the_place_of_the_method_s() {
    let scratch = Scratch::new();
    let out = scratch.word("out");
    let table = scratch.file(
        "house.toml",
        "unit = \"in\"\n[cloth]\nside = \"1 1/2\"\nhem = \"3\"\n",
    );
    let ran = make(&out, &["--only", "report.json", "--allowances", &table]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let report = report(&out);
    let edges = report["pieces"][0]["edges"].as_array().unwrap();
    let widths = |name: &str| -> Vec<f64> {
        let edge = edges.iter().find(|e| e["name"] == name).unwrap();
        let all = edge["allowance_mm"].as_array().unwrap();
        all.iter().map(|w| mm(&w[1]) / 25.4).collect()
    };
    let told = |name: &str, expected: &[f64]| {
        let found = widths(name);
        let near = found
            .iter()
            .zip(expected)
            .all(|(a, b)| (a - b).abs() < 1e-4);
        assert!(near && found.len() == expected.len(), "{name}: {found:?}");
    };
    // The method steps from 1 in to 1/2 in at the hip: the narrow part is meant.
    told("side", &[1.5, 1.5, 0.5, 0.5]);
    told("foot", &[3.0, 3.0]);
    told("top", &[0.5, 0.5]);
    told("middle", &[0.0, 0.0]);
    assert_eq!(
        report["allowances"]["kept"],
        json!(["front.side", "back.side"])
    );
}

/// Would catch a fallback that is silent, a prediction without its band, or one used unasked.
#[test]
fn a_missing_measure_is_never_filled_in_silently() {
    let scratch = Scratch::new();
    let card = fs::read_to_string(data("anna.toml")).unwrap();
    let short: String = card
        .lines()
        .filter(|l| !l.contains("to floor\""))
        .flat_map(|l| [l, "\n"])
        .collect();
    let card = scratch.file("short.toml", short);
    let method = data("tube.method").to_string_lossy().into_owned();
    let run = |name: &str, more: &[&str]| {
        let out = scratch.word(name);
        let mut words = vec!["make", "--card", &card, "--method", &method, "--out", &out];
        words.extend(["--only", "report.json"]);
        words.extend(more);
        let ran = ellwand(&words);
        assert_eq!(ran.code, 0, "{ran:?}");
        report(&out)
    };
    let fallen = run("else", &[]);
    assert_eq!(fallen["fallbacks"][0]["measure"], "waist to floor");
    close(&fallen["fallbacks"][0]["mm"], 42.5);
    assert_eq!(fallen["predicted"], json!([]));
    let told = fallen["findings"].as_array().unwrap();
    assert!(
        told.iter().any(|f| f["rule"] == "method/fallback"),
        "{told:?}"
    );
    let predicted = run("predict", &["--predict"]);
    let band = &predicted["predicted"][0];
    assert_eq!(band["measure"], "waist to floor");
    assert!(mm(&band["low_mm"]) < mm(&band["mm"]) && mm(&band["mm"]) < mm(&band["high_mm"]));
    assert_eq!(predicted["fallbacks"], json!([]));
}

/// A drafter may have measures of her own: a method names one, and then a card may hold it.
#[test]
fn a_measure_of_her_own_is_taken_where_a_method_names_it() {
    let scratch = Scratch::new();
    let text = fs::read_to_string(data("anna.toml")).unwrap() + "\"side swing\" = \"1/2\"\n";
    let card = scratch.file("own.toml", text);
    let refused = ellwand(&["card", &card]);
    assert_eq!(refused.code, 2, "{refused:?}");
    assert!(refused.err.contains("side swing"), "{refused:?}");
    let method = data("darted.method").to_string_lossy().into_owned();
    assert_eq!(ellwand(&["card", &card, "--method", &method]).code, 0);
    let out = scratch.word("out");
    let words = ["make", "--card", &card, "--method", &method, "--out", &out];
    let ran = ellwand(&[&words[..], &["--only", "report.json"]].concat());
    assert_eq!(ran.code, 0, "{ran:?}");
    close(&report(&out)["measures_mm"]["side swing"], 0.5);
    // A method that lies beside the card is at hand.
    scratch.file("mine.method", fs::read_to_string(&method).unwrap());
    assert_eq!(ellwand(&["card", &card]).code, 0);
}

#[test]
fn check_ends_with_one_only_at_a_stop() {
    let (card, method) = (data("anna.toml"), data("tube.method"));
    let check = |more: &[&str]| {
        let mut words = vec!["check", "--card", card.to_str().unwrap(), "--method"];
        words.push(method.to_str().unwrap());
        words.extend(more);
        ellwand(&words)
    };
    assert_eq!(check(&[]).code, 0);
    let ask = check(&["--set", "ease=5 in", "--json"]);
    assert_eq!(ask.code, 0);
    let findings = ask.json();
    let rule = |f: &Value| f["rule"] == "method/loose" && f["weight"] == "ask";
    assert!(
        findings["findings"].as_array().unwrap().iter().any(rule),
        "{findings}"
    );
    let stop = check(&["--set", "ease=-3 in"]);
    assert_eq!(stop.code, 1, "{stop:?}");
    assert!(stop.out.contains("won't close"), "{stop:?}");
    assert!(stop.err.is_empty());
}

/// The keys are a contract (issue 2, section 1).
#[test]
fn a_card_answers_in_its_agreed_form() {
    let scratch = Scratch::new();
    let odd = fs::read_to_string(data("anna.toml"))
        .unwrap()
        .replace("\"8 1/2\"", "\"22 1/4\"");
    let card = scratch.file("odd.toml", odd);
    let ran = ellwand(&["card", &card, "--json"]);
    assert_eq!(ran.code, 0);
    let value = ran.json();
    let keys: Vec<&String> = value.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        ["format", "client", "measures_mm", "questions", "predicted"]
    );
    let question = &value["questions"][0];
    let keys: Vec<&String> = question.as_object().unwrap().keys().collect();
    assert_eq!(keys, ["measure", "weight", "rule", "says", "likely_mm"]);
    assert_eq!(question["measure"], "waist to hip");
    assert_eq!(question["weight"], "ask");
    assert!((mm(&question["likely_mm"]) - 222.5).abs() < 0.01);
    let keys: Vec<&String> = value["predicted"][0].as_object().unwrap().keys().collect();
    assert_eq!(keys, ["measure", "mm", "low_mm", "high_mm"]);
    let explained = ellwand(&["card", "--explain", "Nape to Waist"]);
    assert!(
        explained.out.starts_with("back waist length: "),
        "{explained:?}"
    );
}

/// The closed form of body/body.md 3.3, with nothing of Ellwand in it: girth = leg + 2 times the way
/// the legs part, 8 cm apart from side to side.
#[test]
fn a_step_is_the_closed_form() {
    let card = data("anna.toml").to_string_lossy().into_owned();
    let (hip_joint, knee_up, leg, girth) = (34.0, 18.25, 14.75, 30.0_f64);
    let parted = (girth - leg) / 2.0;
    let share = (hip_joint - knee_up) / hip_joint;
    let step = (parted * parted - (8.0_f64 / 2.54).powi(2)).sqrt() / share;
    let ran = ellwand(&[
        "step",
        "--card",
        &card,
        "--girth",
        "30 in",
        "--at",
        "waist to knee",
        "--json",
    ]);
    assert!(
        (mm(&ran.json()["step_mm"]) / 25.4 - step).abs() < 0.01,
        "{ran:?} {step}"
    );
    let back = format!("{step} in");
    let ran = ellwand(&[
        "step",
        "--card",
        &card,
        "--step",
        &back,
        "--at",
        "23 1/2 in below waist",
        "--json",
    ]);
    assert!(
        (mm(&ran.json()["girth_mm"]) / 25.4 - girth).abs() < 0.01,
        "{ran:?}"
    );
}

#[test]
fn a_method_is_read_tidied_and_told() {
    let scratch = Scratch::new();
    let method = data("tube.method").to_string_lossy().into_owned();
    let ran = ellwand(&["read", &method, "--json"]);
    assert_eq!(ran.code, 0, "{ran:?}");
    let value = ran.json();
    let keys: Vec<&String> = value.as_object().unwrap().keys().collect();
    assert_eq!(keys, ["format", "title", "notes", "measures", "choices"]);
    assert_eq!(value["choices"][1]["name"], "length");
    assert_eq!(value["choices"][1]["between"], json!(["10 in", "60 in"]));

    let text = fs::read_to_string(&method).unwrap();
    let slips = text.replace("at top line and side line", "at topp line and side line");
    let wrong = scratch.file("wrong.method", slips);
    let ran = ellwand(&["read", &wrong, "--json"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.is_empty(), "{ran:?}");
    let notes = ran.json()["notes"].clone();
    assert_eq!(notes.as_array().unwrap().len(), 1, "{notes}");
    let line = text
        .lines()
        .position(|l| l.contains("top side: at"))
        .unwrap()
        + 1;
    assert_eq!(notes[0]["line"], line);
    assert!(
        notes[0]["hint"].as_str().unwrap().contains("top line"),
        "{notes}"
    );
    let ran = ellwand(&["read", &wrong]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains("wrong.method, line") && ran.err.contains('^'),
        "{ran:?}"
    );

    let tidied = ellwand(&["read", &method, "--tidy"]);
    assert_eq!(tidied.code, 0);
    let again = scratch.file("tidied.method", &tidied.out);
    assert_eq!(
        ellwand(&["read", &again, "--tidy"]).out,
        tidied.out,
        "tidied twice is not the same"
    );

    let card = data("anna.toml").to_string_lossy().into_owned();
    let steps = ellwand(&["read", &method, "--steps", "--card", &card]);
    assert_eq!(steps.code, 0, "{steps:?}");
    assert!(
        steps.out.contains("10 in"),
        "her own numbers are in the steps: {}",
        steps.out
    );
}

/// Would catch a batch that stops at the first bad card, loses one, or writes where it must not.
#[test]
fn a_folder_of_cards_is_made_whole() {
    let scratch = Scratch::new();
    fs::create_dir(scratch.path().join("cards")).unwrap();
    let good = fs::read_to_string(data("anna.toml")).unwrap();
    for name in ["ánh, ngọc", "bea", "=sum", "zoe"] {
        scratch.file(&format!("cards/{name}.toml"), &good);
    }
    scratch.file("cards/wrong.toml", good.replace("hip = ", "hipp = "));
    scratch.file("cards/remarks.txt", "not a card");
    let (cards, out) = (scratch.word("cards"), scratch.word("out"));
    let method = data("tube.method").to_string_lossy().into_owned();
    let words = [
        "make", "--cards", &cards, "--method", &method, "--out", &out,
    ];
    let ran = ellwand(&[&words[..], &["--only", "report.json"]].concat());
    assert_eq!(ran.code, 2, "one card is wrong: {ran:?}");
    assert!(
        ran.err.contains("wrong.toml") && ran.err.contains("`hip`"),
        "{ran:?}"
    );
    assert_eq!(
        names_in(Path::new(&out)),
        ["=sum", "bea", "summary.csv", "zoe", "ánh, ngọc"]
    );
    for name in ["ánh, ngọc", "bea"] {
        assert_eq!(names_in(&Path::new(&out).join(name)), ["report.json"]);
    }
    let table = fs::read_to_string(Path::new(&out).join("summary.csv")).unwrap();
    let rows: Vec<&str> = table.split("\r\n").collect();
    assert_eq!(
        rows[0],
        "card,stops,asks,biggest seam difference (in),fault"
    );
    assert!(rows[1].starts_with("'=sum,0,"), "{rows:?}");
    assert!(rows[3].starts_with("wrong,,,,"), "{rows:?}");
    assert!(rows[5].starts_with("\"ánh, ngọc\",0,"), "{rows:?}");
    assert_eq!(rows.len(), 7);
    // Every good card gives what it would give alone.
    let alone = scratch.word("alone");
    let card = scratch.word("cards/bea.toml");
    let words = [
        "make", "--card", &card, "--method", &method, "--out", &alone,
    ];
    assert_eq!(
        ellwand(&[&words[..], &["--only", "report.json"]].concat()).code,
        0
    );
    assert_eq!(report(&alone), report(&format!("{out}/bea")));
}

/// Would catch a trace or a failure when the reader goes away: `ellwand methods | head -1`.
#[test]
fn a_reader_who_goes_away_is_no_fault() {
    let mut child = Command::new(program())
        .args(["card", "--explain", "all"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert!(output.stderr.is_empty(), "{output:?}");
}

/// Every method that is shipped makes every file for the shipped card, with no stop; and its report
/// holds no number that is none.
#[test]
fn every_shipped_method_makes_a_pattern_for_the_shipped_card() {
    let scratch = Scratch::new();
    let card = root().join("examples/cards/demo.toml");
    let card = card.to_string_lossy().into_owned();
    let methods = ellwand(&["methods", "--json"]).json();
    for method in methods["methods"].as_array().unwrap() {
        let name = method["name"].as_str().unwrap();
        let out = scratch.word(name);
        let ran = ellwand(&[
            "make",
            "--card",
            &card,
            "--method",
            name,
            "--out",
            &out,
            "--predict",
        ]);
        assert_eq!(ran.code, 0, "{name}: {ran:?}");
        assert_eq!(names_in(Path::new(&out)), DEFAULT, "{name}");
        let report = report(&out);
        for finding in report["findings"].as_array().unwrap() {
            assert_ne!(finding["weight"], "stop", "{name}: {finding}");
        }
        for seam in report["seams"].as_array().unwrap() {
            assert!(
                mm(&seam["difference_mm"]).abs() < 25.4 / 32.0,
                "{name}: {seam}"
            );
        }
    }
}

/// Would catch a cloth that is read and not looked at: the front of the tube, opened out, is wider than
/// 20 in, and tulle burns.
#[test]
fn a_cloth_that_is_named_is_looked_at() {
    let scratch = Scratch::new();
    let (card, method) = (data("anna.toml"), data("tube.method"));
    let (card, method) = (card.to_string_lossy(), method.to_string_lossy());
    let check = |cloth: &str| {
        let file = scratch.file("cloth.toml", cloth);
        ellwand(&[
            "check", "--card", &card, "--method", &method, "--json", "--cloth", &file,
        ])
    };
    let narrow = check("width = \"14 in\"\n");
    assert_eq!(narrow.code, 1, "{narrow:?}");
    let told: Value = serde_json::from_str(&narrow.out).unwrap();
    let stop = told["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["weight"] == "stop")
        .unwrap();
    assert_eq!(stop["rule"], "F30", "{stop}");
    assert!(mm(&stop["amount_mm"]) > 0.0);
    let wide = check("width = \"60 in\"\n");
    assert_eq!(wide.code, 0, "{wide:?}");
    assert!(!wide.out.contains("F30"), "{wide:?}");
}

/// One hip alone, from the page of corrections to the lay: would catch a half that stays on the fold, a girth
/// that changes twice, a piece for her left that is cut for her right, and one that is turned over on the
/// cloth. Every number can be checked in the head: a quarter of 40 in is 10 in.
#[test]
fn her_left_alone_is_cut_for_her_left() {
    let scratch = Scratch::new();
    let path = |name: &str| scratch.word(name);
    let out = path("out");
    let one = |piece: &str| {
        format!(
            "[[correction]]\npiece = \"{piece}\"\nedge = \"side\"\nstart = \"in 1/2\"\nend = \"in 1/2\"\nside = \"left\"\n\n"
        )
    };
    let page = format!("unit = \"in\"\n\n{}{}", one("front"), one("back"));
    fs::write(path("left.toml"), page).unwrap();
    let ran = make(&out, &["--correct", &path("left.toml")]);
    assert!(ran.err.is_empty(), "{ran:?}");
    let made = report(&out);
    let pieces = made["pieces"].as_array().unwrap();
    let names: Vec<&str> = pieces.iter().map(|p| p["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["front", "back, her left", "back, her right"]);
    for piece in pieces {
        let cut = &piece["cut"][0];
        assert_eq!(
            (&cut["count"], &cut["on_fold"], &cut["pair"]),
            (&1.into(), &false.into(), &false.into())
        );
    }
    let long = |piece: &Value, edge: &str| -> Value {
        let edges = piece["edges"].as_array().unwrap();
        let found = edges.iter().find(|e| e["name"] == edge);
        found.unwrap_or_else(|| panic!("no {edge}"))["length_mm"].clone()
    };
    close(&long(&pieces[0], "top, her left"), 9.5);
    close(&long(&pieces[0], "top, her right"), 10.0);
    close(&long(&pieces[1], "top"), 9.5);
    close(&long(&pieces[2], "top"), 10.0);
    assert_eq!(
        (&pieces[0]["of"], &pieces[0]["side"]),
        (&"front".into(), &"both".into())
    );
    assert_eq!(
        (&pieces[1]["of"], &pieces[1]["side"]),
        (&"back".into(), &"left".into())
    );
    // Right side up her left is at the right of a front, and at the left of a back: there is the notch.
    let x = |piece: &Value, notch: usize| mm(&piece["notches_mm"][notch][0]);
    let grain = |piece: &Value| mm(&piece["grain_mm"][0][0]);
    assert!((x(&pieces[0], 0) - 241.3).abs() < 0.01 && (x(&pieces[0], 1) + 254.0).abs() < 0.01);
    assert!(
        grain(&pieces[0]).abs() < 1e-6,
        "the grain lies on the old fold"
    );
    assert!(x(&pieces[1], 0) < grain(&pieces[1]) && x(&pieces[2], 0) > grain(&pieces[2]));
    // Half an inch from each of two edges of one seam: 1 in all round, not 2.
    close(&made["measured"]["hip_mm"], 39.0);
    close(&made["measured"]["hem_mm"], 39.0);
    for seam in made["seams"].as_array().unwrap() {
        assert!(mm(&seam["difference_mm"]).abs() < 0.01, "{seam}");
        assert_eq!(seam["twin"], false);
    }
    let words = |file: &str| fs::read_to_string(Path::new(&out).join(file)).unwrap();
    assert!(words("pattern.svg").contains("her left") && words("pattern.dxf").contains("her left"));
    // On the cloth, folded or not, no piece is turned over.
    for (i, fold) in ["none", "lengthwise"].into_iter().enumerate() {
        let cloth = path(&format!("cloth-{i}.toml"));
        let text = format!("name = \"Trial\"\nunit = \"in\"\nwidth = 60\nfold = \"{fold}\"\n");
        fs::write(&cloth, text).unwrap();
        let lay = path(&format!("lay-{i}"));
        let report = Path::new(&out)
            .join("report.json")
            .to_string_lossy()
            .into_owned();
        let ran = ellwand(&[
            "lay", "--report", &report, "--cloth", &cloth, "--steps", "2000", "--out", &lay,
        ]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        let text = fs::read_to_string(Path::new(&lay).join("lay.json")).unwrap();
        let lay: Value = serde_json::from_str(&text).unwrap();
        let laid = lay["pieces"].as_array().unwrap();
        assert_eq!(laid.len(), 3);
        assert!(
            laid.iter()
                .all(|p| p["face_down"] == false && p["opened_out"] == false),
            "{lay}"
        );
    }
}
