//! Lays through the built program: the open benchmark format, our own problems, and files that
//! cannot be laid.

use std::fs;

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
    let lay: serde_json::Value = serde_json::from_str(&fs::read_to_string(&out).unwrap()).unwrap();
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
    let lay: serde_json::Value = serde_json::from_str(&fs::read_to_string(&out).unwrap()).unwrap();
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
