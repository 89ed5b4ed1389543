//! One slip, one note: planted mistakes, the slips a dressmaker makes, and every small slip in turn.
#![allow(
    clippy::unwrap_used,
    reason = "a test or an example stops, and prints, where it must"
)]

mod common;

use std::fmt::Write as _;

use common::text;
use expect_test::expect_file;

/// A text with one thing wrong in it.
struct Slip {
    title: &'static str,
    of: &'static str,
    written: &'static str,
    slip: &'static str,
}

impl Slip {
    fn made_in(&self, text: &str) -> String {
        assert!(
            text.contains(self.written),
            "{}: {}",
            self.title,
            self.written
        );
        text.replacen(self.written, self.slip, 1)
    }
}

fn notes(text: &str) -> Vec<draft::Note> {
    draft::check(&draft::read(text), &draft::Library::default())
}

/// The notes as they are printed, and whether each slip gave exactly one.
fn told(slips: &[Slip]) -> String {
    let (mut out, mut wrong) = (String::new(), String::new());
    for slip in slips {
        let text = slip.made_in(&text(slip.of));
        let notes = notes(&text);
        let mut shown = String::new();
        let _ = writeln!(shown, "-- {}", slip.title);
        for note in &notes {
            let _ = writeln!(shown, "{}", note.shown(slip.of, &text));
        }
        if notes.len() != 1 {
            wrong.push_str(&shown);
        }
        out.push_str(&shown);
    }
    assert!(wrong.is_empty(), "not one note:\n{wrong}");
    out
}

const FIFTEEN: &[Slip] = &[
    Slip {
        title: "a misspelt measure",
        of: "mermaid-two",
        written: "quarter hip: (hip + hip ease) / 4",
        slip: "quarter hip: (hipp + hip ease) / 4",
    },
    Slip {
        title: "a misspelt measure of several words",
        of: "mermaid-two",
        written: "hip line: waist to hip below",
        slip: "hip line: wast to hip below",
    },
    Slip {
        title: "a length added to an angle",
        of: "mermaid-two",
        written: "flare mark: flare + 1/2 in",
        slip: "flare mark: flare + 20 deg",
    },
    Slip {
        title: "a missing unit",
        of: "mermaid-two",
        written: "tightening: 2 1/2 in, between",
        slip: "tightening: 2 1/2, between",
    },
    Slip {
        title: "a misspelt point",
        of: "mermaid-two",
        written: "    straight to hem side\n    soften",
        slip: "    straight to hemm side\n    soften",
    },
    Slip {
        title: "a missing comma",
        of: "mermaid-two",
        written: "from centre line, down waist drop",
        slip: "from centre line down waist drop",
    },
    Slip {
        title: "a misspelt heading",
        of: "mermaid-two",
        written: "uprights",
        slip: "uprigts",
    },
    Slip {
        title: "a joining word in a name",
        of: "mermaid-two",
        written: "flare height: length",
        slip: "height by flare: length",
    },
    Slip {
        title: "a misspelt move",
        of: "mermaid-two",
        written: "break centre: at break line, outward",
        slip: "break centre: at break line, outwards",
    },
    Slip {
        title: "a bracket not closed",
        of: "mermaid-two",
        written: "from (break side, down hold), straight",
        slip: "from (break side, down hold, straight",
    },
    Slip {
        title: "a word that is not one of the choice",
        of: "mermaid-two",
        written: "when hem rise is drawn, else flare rise",
        slip: "when hem rise is drawm, else flare rise",
    },
    Slip {
        title: "a freedom that is not one",
        of: "mermaid-two",
        written: "by moving waist rise of back",
        slip: "by moving waist drop of back",
    },
    Slip {
        title: "a name of the other kind",
        of: "mermaid-two",
        written: "2 * length of waist of front + 2",
        slip: "2 * waist side of front + 2",
    },
    Slip {
        title: "an edge the piece does not have",
        of: "mermaid-two",
        written: "copy from front, strip along waist, deep",
        slip: "copy from front, strip along waits, deep",
    },
    Slip {
        title: "a block not closed",
        of: "mermaid-two",
        written: "      why: The quarter inch at the hip is hidden room for the seat.\n  end",
        slip: "      why: The quarter inch at the hip is hidden room for the seat.",
    },
];
const MORE: &[Slip] = &[
    Slip {
        title: "colon missing after a name",
        of: "plain-skirt",
        written: "hip side: at hip line, outward quarter hip from centre line",
        slip: "hip side at hip line, outward quarter hip from centre line",
    },
    Slip {
        title: "two colons",
        of: "plain-skirt",
        written: "hip side: at hip line",
        slip: "hip side: at: hip line",
    },
    Slip {
        title: "otherwise without when",
        of: "mermaid-two",
        written: "  when here is front\n    centre: fold\n  otherwise",
        slip: "    centre: fold\n  otherwise",
    },
    Slip {
        title: "end too many",
        of: "mermaid-two",
        written: "pieces\n  front:",
        slip: "end\npieces\n  front:",
    },
    Slip {
        title: "two units",
        of: "plain-skirt",
        written: "hip ease: 2 in, between",
        slip: "hip ease: 2 in cm, between",
    },
    Slip {
        title: "unit misspelt",
        of: "plain-skirt",
        written: "hip ease: 2 in, between",
        slip: "hip ease: 2 inchs, between",
    },
    Slip {
        title: "unknown unit",
        of: "plain-skirt",
        written: "hem: hem, allowance 2 in",
        slip: "hem: hem, allowance 2 yards",
    },
    Slip {
        title: "unknown body level",
        of: "plain-skirt",
        written: ", the hip level",
        slip: ", the seat level",
    },
    Slip {
        title: "body level misspelt",
        of: "plain-skirt",
        written: ", the hip level",
        slip: ", the hipp level",
    },
    Slip {
        title: "too many cells",
        of: "plain-skirt",
        written: "  dart width | third of take out | half of take out",
        slip: "  dart width | third of take out | half of take out | 1 in",
    },
    Slip {
        title: "too few cells",
        of: "plain-skirt",
        written: "  dart width | third of take out | half of take out",
        slip: "  dart width | third of take out",
    },
    Slip {
        title: "unknown column",
        of: "plain-skirt",
        written: "             | front             | back",
        slip: "             | frnt              | back",
    },
    Slip {
        title: "no header row",
        of: "plain-skirt",
        written: "             | front             | back",
        slip: "",
    },
    Slip {
        title: "misspelt work",
        of: "plain-skirt",
        written: "    grain along centre line",
        slip: "    grian along centre line",
    },
    Slip {
        title: "piece work misspelt",
        of: "mermaid-two",
        written: "    let out side by lining ease / 4\n    cut 1 on",
        slip: "    let ou side by lining ease / 4\n    cut 1 on",
    },
    Slip {
        title: "piece work unknown",
        of: "mermaid-two",
        written: "    let out side by lining ease / 4\n    cut 1 on",
        slip: "    widen side by lining ease / 4\n    cut 1 on",
    },
    Slip {
        title: "quote not closed",
        of: "plain-skirt",
        written: r#""How easily it sits on the hip""#,
        slip: r#""How easily it sits on the hip"#,
    },
    Slip {
        title: "title without quotes",
        of: "plain-skirt",
        written: r#"method "Plain skirt""#,
        slip: "method Plain skirt",
    },
    Slip {
        title: "closing bracket too many",
        of: "plain-skirt",
        written: "(hip + hip ease) / 4",
        slip: "(hip + hip ease)) / 4",
    },
    Slip {
        title: "sum without end",
        of: "plain-skirt",
        written: "(hip + hip ease) / 4",
        slip: "(hip + hip ease) /",
    },
    Slip {
        title: "comma missing between parts",
        of: "plain-skirt",
        written: "leaving level, arriving square to side",
        slip: "leaving level arriving square to side",
    },
    Slip {
        title: "comma missing before from",
        of: "plain-skirt",
        written: "side: from waist side\n    curve to",
        slip: "side: from waist side curve to",
    },
    Slip {
        title: "value after else missing",
        of: "plain-skirt",
        written: "choices",
        slip: "  seat: else\nchoices",
    },
    Slip {
        title: "heading misspelt seems",
        of: "plain-skirt",
        written: "seams",
        slip: "seems",
    },
    Slip {
        title: "heading singular",
        of: "plain-skirt",
        written: "seams",
        slip: "seam",
    },
    Slip {
        title: "heading with colon",
        of: "plain-skirt",
        written: "points",
        slip: "points:",
    },
    Slip {
        title: "unknown heading",
        of: "plain-skirt",
        written: "darts",
        slip: "pleats",
    },
    Slip {
        title: "entry without heading",
        of: "plain-skirt",
        written: "card\n  waist",
        slip: "  waist",
    },
    Slip {
        title: "nothing after colon",
        of: "plain-skirt",
        written: "hip side: at hip line, outward quarter hip from centre line",
        slip: "hip side:",
    },
    Slip {
        title: "name missing",
        of: "plain-skirt",
        written: "hip side: at hip line, outward quarter hip from centre line",
        slip: ": at hip line, outward quarter hip from centre line",
    },
    Slip {
        title: "number in a name",
        of: "plain-skirt",
        written: "  hip side: at hip line",
        slip: "  hip side 2: at hip line",
    },
    Slip {
        title: "check without text",
        of: "plain-skirt",
        written: r#", "A dart of [dart width of front] is hardly worth sewing""#,
        slip: "",
    },
    Slip {
        title: "square bracket open",
        of: "plain-skirt",
        written: "[dart width of front] is",
        slip: "[dart width of front is",
    },
    Slip {
        title: "sum in text unreadable",
        of: "plain-skirt",
        written: "[dart width of front] is",
        slip: "[dart width + ] is",
    },
    Slip {
        title: "check weight",
        of: "plain-skirt",
        written: "small dart: note if",
        slip: "small dart: warn if",
    },
    Slip {
        title: "check no if",
        of: "plain-skirt",
        written: "small dart: note if",
        slip: "small dart: note",
    },
    Slip {
        title: "seam without with",
        of: "plain-skirt",
        written: "side seam: side of front with side of back",
        slip: "side seam: side of front and side of back",
    },
    Slip {
        title: "seam misspelt true",
        of: "plain-skirt",
        written: "true between waist side",
        slip: "treu between waist side",
    },
    Slip {
        title: "by moving missing",
        of: "plain-skirt",
        written: "by moving waist rise of back",
        slip: "moving waist rise of back",
    },
    Slip {
        title: "may move misspelt",
        of: "plain-skirt",
        written: "may move between 0 in and 1 in",
        slip: "may mov between 0 in and 1 in",
    },
    Slip {
        title: "between without and",
        of: "plain-skirt",
        written: "between 0 in and 4 in",
        slip: "between 0 in to 4 in",
    },
    Slip {
        title: "outline with commas",
        of: "plain-skirt",
        written: "on front, outline waist then side then hem then centre",
        slip: "on front, outline waist, side, hem, centre",
    },
    Slip {
        title: "cut without from",
        of: "plain-skirt",
        written: "cut 1 on the fold from shell",
        slip: "cut 1 on the fold shell",
    },
    Slip {
        title: "cut missing count",
        of: "plain-skirt",
        written: "cut 1 on the fold from shell",
        slip: "cut on the fold from shell",
    },
    Slip {
        title: "grain wrong word",
        of: "plain-skirt",
        written: "grain along centre line",
        slip: "grain parallel to centre line",
    },
    Slip {
        title: "dart part misspelt",
        of: "plain-skirt",
        written: "intake dart width",
        slip: "intak dart width",
    },
    Slip {
        title: "at left in levels",
        of: "plain-skirt",
        written: "waist line: at the top, the waist level",
        slip: "waist line: at the left, the waist level",
    },
    Slip {
        title: "at top in uprights",
        of: "plain-skirt",
        written: "centre line: at the left",
        slip: "centre line: at the top",
    },
    Slip {
        title: "level as point",
        of: "plain-skirt",
        written: "hip line: waist to hip below waist line, the hip level",
        slip: "hip line: at waist line, down waist to hip",
    },
    Slip {
        title: "finish role misspelt",
        of: "plain-skirt",
        written: "centre: fold",
        slip: "centre: fild",
    },
    Slip {
        title: "finish role unknown",
        of: "plain-skirt",
        written: "centre: fold",
        slip: "centre: selvedge",
    },
    Slip {
        title: "semicolons",
        of: "plain-skirt",
        written: "leaving level, arriving square to side",
        slip: "leaving level; arriving square to side",
    },
    Slip {
        title: "full stop at end",
        of: "plain-skirt",
        written: "  hem side: at hem line, outward quarter hip from centre line",
        slip: "  hem side: at hem line, outward quarter hip from centre line.",
    },
    Slip {
        title: "decimal comma",
        of: "plain-skirt",
        written: "allowance 2 in",
        slip: "allowance 2,5 cm",
    },
    Slip {
        title: "two points with to",
        of: "plain-skirt",
        written: "side: from waist side",
        slip: "side: from waist side to hip side",
    },
    Slip {
        title: "each misspelt",
        of: "mermaid-gores",
        written: "each k up to half round",
        slip: "each k upto half round",
    },
    Slip {
        title: "each without comma",
        of: "mermaid-gores",
        written: "outline waist then right then hem then left, each k up to half round",
        slip: "outline waist then right then hem then left each k up to half round",
    },
    Slip {
        title: "number without figure",
        of: "mermaid-gores",
        written: "seam of seam number k over centre line",
        slip: "seam of seam number over centre line",
    },
    Slip {
        title: "when without question",
        of: "straight-skirt",
        written: "when top finish is waistband",
        slip: "when",
    },
    Slip {
        title: "when with colon",
        of: "straight-skirt",
        written: "when top finish is waistband",
        slip: "when top finish is waistband:",
    },
    Slip {
        title: "otherwise with question",
        of: "straight-skirt",
        written: "otherwise\n  edges",
        slip: "otherwise top finish is facing\n  edges",
    },
    Slip {
        title: "else when",
        of: "straight-skirt",
        written: "0 in when darts = 0, else darts wanted / darts",
        slip: "0 in if darts = 0, else darts wanted / darts",
    },
    Slip {
        title: "double equals",
        of: "straight-skirt",
        written: "0 in when darts = 0, else",
        slip: "0 in when darts == 0, else",
    },
    Slip {
        title: "two methods",
        of: "plain-skirt",
        written: "card",
        slip: r#"method "Second"
card"#,
    },
    Slip {
        title: "tilde sign",
        of: "plain-skirt",
        written: "hip line: waist to hip below",
        slip: "hip line: ~waist to hip below",
    },
    Slip {
        title: "the word at doubled",
        of: "plain-skirt",
        written: "waist centre: at waist line",
        slip: "waist centre: at at waist line",
    },
    Slip {
        title: "and missing in crossing",
        of: "plain-skirt",
        written: "waist centre: at waist line and centre line",
        slip: "waist centre: at waist line, centre line",
    },
    Slip {
        title: "outwards distance missing",
        of: "plain-skirt",
        written: "hip side: at hip line, outward quarter hip from centre line",
        slip: "hip side: at hip line, outward from centre line",
    },
    Slip {
        title: "leg missing to",
        of: "plain-skirt",
        written: "straight to hem side",
        slip: "straight hem side",
    },
    Slip {
        title: "leg before from",
        of: "plain-skirt",
        written: "hem: from hem side, straight to",
        slip: "hem: straight to",
    },
    Slip {
        title: "square to nothing",
        of: "plain-skirt",
        written: "arriving square to side",
        slip: "arriving square",
    },
    Slip {
        title: "direction misspelt",
        of: "plain-skirt",
        written: "leaving level",
        slip: "leaving levle",
    },
    Slip {
        title: "notch missing at",
        of: "plain-skirt",
        written: "notch at hip line",
        slip: "notch hip line",
    },
    Slip {
        title: "allowance missing number",
        of: "plain-skirt",
        written: "seam, allowance 1 in, notch",
        slip: "seam, allowance, notch",
    },
];

/// Each of the fifteen alone gives one note, with the hint that mends it.
#[test]
fn fifteen_mistakes_each_give_one_note() {
    expect_file!["texts/fifteen.txt"].assert_eq(&told(FIFTEEN));
}

/// All fifteen in one file give fifteen notes in one reading: none hides another.
#[test]
fn fifteen_mistakes_together_give_fifteen_notes() {
    let mut text = text("mermaid-two");
    for slip in FIFTEEN {
        text = slip.made_in(&text);
    }
    let notes = notes(&text);
    let alone = std::fs::read_to_string(common::folder().join("fifteen.txt")).unwrap();
    for note in &notes {
        // Where lines were taken out above, only the line's number differs.
        let says = note.says();
        let says = says
            .split(" I closed it before line")
            .next()
            .unwrap_or(&says);
        assert!(alone.contains(says), "{says}");
    }
    let said: Vec<String> = notes
        .iter()
        .map(|n| format!("{}: {}", n.span.line, n.says()))
        .collect();
    assert_eq!(notes.len(), 15, "{}", said.join("\n"));
}

/// The other slips of a hand at work: forgotten colons, wrong units, misspelt works, and so on.
#[test]
fn everyday_slips_each_give_one_note() {
    expect_file!["texts/slips.txt"].assert_eq(&told(MORE));
}

/// A name that can't be one is noted where it is made, and not at each of its uses.
#[test]
fn a_name_with_a_joining_word_is_noted_once() {
    for (from, to) in [
        ("hip side", "on side"),
        ("waist side", "side at waist"),
        ("hem line", "line below"),
        ("quarter hip", "quarter by hip"),
    ] {
        let notes = notes(&text("plain-skirt").replace(from, to));
        let said: Vec<String> = notes.iter().map(draft::Note::says).collect();
        assert_eq!(said.len(), 1, "{to}: {}", said.join("\n"));
        assert!(said[0].contains("joining word"), "{}", said[0]);
    }
}

/// A seam is trued between points that both of its sides have.
#[test]
fn a_point_of_one_side_is_no_end_of_a_truing() {
    let text = text("plain-skirt").replace(
        "true between waist side and hip side",
        "true between waist side of back and hip side",
    );
    let notes = notes(&text);
    let said: Vec<String> = notes.iter().map(draft::Note::says).collect();
    assert_eq!(said.len(), 1, "{}", said.join("\n"));
    assert!(said[0].contains("both sides"), "{}", said[0]);
}

/// What may be written more ways than one is not a slip.
#[test]
fn other_ways_of_writing_are_no_slips() {
    for (of, written, other) in [
        (
            "plain-skirt",
            r#"method "Plain skirt""#,
            "method “Plain skirt”",
        ),
        (
            "plain-skirt",
            r#"method "Plain skirt""#,
            "method 'Plain skirt'",
        ),
        ("plain-skirt", "points\n", "POINTS\n"),
        ("plain-skirt", "allowance 2 in", "allowance 2\""),
        ("plain-skirt", "allowance 2 in", "allowance 2 inches"),
        ("plain-skirt", "3 1/2 in ", "3½ in "),
        ("plain-skirt", "edges\n", "edges\n\nedges\n"),
        (
            "plain-skirt",
            "straight to hem side",
            "straight to the hem side",
        ),
        (
            "plain-skirt",
            "curve to hip side, arriving upright\n",
            "curve to hip side\n    arriving upright\n",
        ),
        (
            "plain-skirt",
            "(hip + hip ease) / 4",
            "(hip + hip ease) ÷ 4",
        ),
        (
            "straight-skirt",
            "when top finish is waistband",
            "when top finish is not facing",
        ),
        (
            "straight-skirt",
            "darts wanted <= widest dart",
            "darts wanted ≤ widest dart",
        ),
    ] {
        let changed = text(of);
        assert!(changed.contains(written), "{written}");
        let notes = notes(&changed.replacen(written, other, 1));
        let said: Vec<String> = notes.iter().map(draft::Note::says).collect();
        assert!(said.is_empty(), "{other}: {}", said.join("\n"));
    }
}

/// A slip of every small kind at every place of a text: how many notes each gives.
struct Census {
    slips: usize,
    many: Vec<String>,
}

impl Census {
    fn of(text: &str, slip: impl Fn(&str) -> Vec<String>) -> Self {
        let lines: Vec<&str> = text.lines().collect();
        let mut census = Self {
            slips: 0,
            many: Vec::new(),
        };
        for (i, line) in lines.iter().enumerate() {
            for changed in slip(line) {
                let mut all = lines.clone();
                all[i] = &changed;
                let notes = notes(&all.join("\n"));
                census.slips += 1;
                if notes.len() > 1 {
                    census
                        .many
                        .push(format!("{line}\n  -> {changed}: {} notes", notes.len()));
                }
            }
        }
        census
    }

    /// Fails when more than so many of a hundred slips gave more than one note.
    fn at_most(&self, percent: usize) {
        assert!(self.slips > 50);
        assert!(
            self.many.len() * 100 <= self.slips * percent,
            "{} of {} slips gave more than one note\n{}",
            self.many.len(),
            self.slips,
            self.many.join("\n")
        );
    }
}

/// Lines whose words are read: not `why`, and not those with texts in them.
fn plain(line: &str) -> bool {
    let line = line.trim();
    !line.is_empty() && !line.starts_with("why") && !line.contains('"')
}

/// Two letters exchanged in one word, at each word: a misspelt name, heading, unit or work.
#[test]
fn exchanged_letters_give_one_note() {
    for of in ["plain-skirt", "mermaid-two"] {
        Census::of(&text(of), |line| {
            let words: Vec<&str> = line.split(' ').collect();
            (0..words.len())
                .filter(|_| plain(line))
                .filter_map(|w| {
                    let mut letters: Vec<char> = words[w].chars().collect();
                    if letters.len() < 4 || !letters[0].is_alphabetic() || letters[1] == letters[2]
                    {
                        return None;
                    }
                    letters.swap(1, 2);
                    let mut words: Vec<String> = words.iter().map(|w| (*w).to_owned()).collect();
                    words[w] = letters.into_iter().collect();
                    Some(words.join(" "))
                })
                .collect()
        })
        .at_most(2);
    }
}

/// One comma, colon, bracket or bar left out, at each of them.
#[test]
fn a_sign_left_out_gives_one_note() {
    for of in ["plain-skirt", "mermaid-two"] {
        Census::of(&text(of), |line| {
            line.char_indices()
                .filter(|(_, c)| ",:()|".contains(*c) && plain(line))
                .map(|(i, _)| format!("{}{}", &line[..i], &line[i + 1..]))
                .collect()
        })
        .at_most(5);
    }
}

/// One word left out, at each word. A word of a name at its making counts too: then the name and its
/// uses part, and two notes are fair.
#[test]
fn a_word_left_out_seldom_gives_more_than_one_note() {
    for of in ["plain-skirt", "mermaid-two"] {
        Census::of(&text(of), |line| {
            let words: Vec<&str> = line.split(' ').collect();
            (0..words.len())
                .filter(|w| plain(line) && !words[*w].is_empty())
                .map(|w| {
                    let mut words = words.clone();
                    words.remove(w);
                    words.join(" ")
                })
                .collect()
        })
        .at_most(15);
    }
}
