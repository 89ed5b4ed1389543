//! A card and a method for the tests: a skirt in which nothing is wrong, to be broken one thing at a
//! time. Invented.

use draft::{Library, Wish, Worked};
use measure::card::{self, Card};
use measure::fraction::Shown;

use crate::finding::Finding;
use crate::seen::Subject;

/// An invented client, all that the rules ask for measured.
pub(crate) const CARD: &str = r#"
client = "Sample (invented)"
unit = "in"
[measures]
height = 65
waist = 29
"high hip" = 34
hip = 40
"waist to hip" = "8 1/2"
"waist to knee" = 24
"waist to floor" = 42
"knee to floor" = 18
"hip joint to floor" = 34
thigh = 24
"lower thigh" = "15 1/2"
knee = 15
calf = "14 1/2"
ankle = 9
"#;

/// A flared skirt in two halves on the fold, zip in the side, written for these tests.
pub(crate) const METHOD: &str = r#"method "Sample skirt"

card
  waist
  hip
  waist to hip
  waist to knee

choices
  hip ease: 2 in, between -4 in and 4 in, "How easily it sits on the hip"
  waist ease: 1/2 in, between -2 in and 4 in, "How easily it sits at the waist"
  length: waist to knee, between 14 in and 40 in, "Waist to hem"
  flare: 3 in, between -3 in and 12 in, "Flare at each side of the hem"
  zip length: 9 in, between 2 in and 14 in, "Zip in the side"

values
  quarter hip: (hip + hip ease) / 4
  quarter waist: (waist + waist ease) / 4

sheets front, back
             | front   | back
  dart take  | 3/4 in  | 1 in
  waist rise | 1/2 in  | 1/2 in, may move between -1/2 in and 2 in
  trim       | 0 in, may move between -1 in and 1 in | 0 in, may move between -1 in and 1 in

levels
  waist line: at the top, the waist level
  hip line: waist to hip below waist line, the hip level
  hem line: length below waist line
uprights
  centre line: at the left

points
  waist centre: at waist line and centre line
  waist side: at waist line, outward quarter waist + dart take - trim from centre line, up waist rise
  hip side: at hip line, outward quarter hip from centre line
  hem mark: at hem line, outward quarter hip + flare from centre line
  hem side: along (from hip side, straight to hem mark) by length - waist to hip from hip side

edges
  side: from waist side
    curve to hip side
    straight to hem side
  hem: from hem side, curve to (at hem line and centre line), leaving square to side, arriving level
  centre: from waist centre, straight to end of hem
  waist: from waist centre, curve to waist side, leaving level, arriving square to side

darts
  dart: into waist, place 1/2, intake dart take, length 5 in, pressed toward waist centre

finish
  waist: seam, allowance 1/2 in
  side: seam, allowance 1 in, notch at hip side, open from waist side for zip length, reflected corner at waist side, reflected corner at hem side
  hem: hem, allowance 2 in
  centre: fold

pieces
  front: on front, outline waist then side then hem then centre
    smooth waist
    cut 1 on the fold from shell
    grain along centre line
  back: on back, outline waist then side then hem then centre
    smooth waist
    cut 1 on the fold from shell
    grain along centre line

seams
  front waist: make length of waist of front = quarter waist by moving trim of front
  back waist: make length of waist of back = quarter waist by moving trim of back
  side seam: side of front with side of back
    true between waist side and hip side by moving waist rise of back
"#;

/// A worked sample.
pub(crate) struct Made {
    pub(crate) card: Card,
    pub(crate) worked: Worked,
}

impl Made {
    pub(crate) fn subject(&self) -> Subject<'_> {
        Subject {
            card: &self.card,
            worked: &self.worked,
            cloth: None,
            shown: Shown::inches(),
        }
    }

    /// All that is found.
    pub(crate) fn found(&self) -> Vec<Finding> {
        crate::inspect(&self.subject())
    }

    /// The rules that found something, each once, in order.
    pub(crate) fn broken(&self) -> Vec<String> {
        let mut rules: Vec<String> = self.found().into_iter().map(|f| f.rule).collect();
        rules.sort();
        rules.dedup();
        rules
    }
}

/// A method worked for a card.
pub(crate) fn made(card: &str, method: &str, set: &[(&str, &str)]) -> Made {
    let card = card::read(card, &[]).unwrap();
    let reading = draft::read(method);
    assert!(reading.notes.is_empty(), "{:#?}", reading.notes);
    let set: Vec<(String, String)> = set
        .iter()
        .map(|(n, v)| ((*n).to_owned(), (*v).to_owned()))
        .collect();
    let wish = Wish {
        card: &card,
        set: &set,
        predict: false,
        untrued: false,
        shown: Shown::inches(),
        corrections: &[],
    };
    let worked = draft::work(&reading, &Library::default(), &wish);
    assert!(worked.sound(), "{:#?} {:#?}", worked.notes, worked.faults);
    Made { card, worked }
}

/// The text of a shipped method, where the folder of methods is there.
#[expect(
    clippy::disallowed_methods,
    reason = "a test may read a file that its crate may not"
)]
pub(crate) fn shipped(name: &str) -> Option<String> {
    let path = format!("{}/../../methods/{name}.method", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).ok()
}

/// The sample skirt, with choices set.
pub(crate) fn skirt(set: &[(&str, &str)]) -> Made {
    made(CARD, METHOD, set)
}

/// Would catch a sample that is not what the tests take it for.
#[test]
fn the_sample_s_pieces_are_seen_as_they_lie() {
    let made = skirt(&[]);
    let seen = crate::seen::Seen::of(&made.subject());
    assert_eq!(seen.parts.len(), 2);
    assert!(made.broken().is_empty(), "{:#?}", made.found());
    let seam = &seen.seams[0];
    // Both halves are drawn with the side on the right, so both sides run the same way.
    assert!(seam.a[0].backward == seam.b[0].backward, "{seam:?}");
    let (a, b) = (seen.length(&seam.a), seen.length(&seam.b));
    assert!((a - b).abs() < 0.01, "{a} {b}");
    // Square at the fold.
    let front = &seen.parts[0];
    let centre = front.edge("centre").unwrap();
    assert!((front.corner(centre, true) - 90.0).abs() < 0.1);
    assert!((front.corner(centre, false) - 90.0).abs() < 0.1);
}

/// A skirt of four straight quarters from the waist to the hip and on to the hem: every girth of it can
/// be reckoned in the head. It has a zip at the side, or none.
pub(crate) const FUNNEL: &str = r#"method "Funnel for trying"

card
  waist
  hip
  waist to hip
  waist to knee

choices
  waist ease: hip - waist, between -20 in and 60 in, "Round the waist"
  hip ease: 2 in, between -20 in and 30 in, "Round the hip"
  hem girth: hip, between 8 in and 120 in, "Round the hem"
  length: waist to knee, between 6 in and 60 in, "Waist to hem"
  zip length: 0 in, between 0 in and 30 in, "Zip in the side"
  slit: 0 in, between 0 in and 30 in, "From the hem up"

sheets front, back
levels
  waist line: at the top, the waist level
  hip line: waist to hip below waist line, the hip level
  hem line: length below waist line
uprights
  centre line: at the left
points
  waist centre: at waist line and centre line
  waist side: at waist line, outward (waist + waist ease) / 4 from centre line
  hip side: at hip line, outward (hip + hip ease) / 4 from centre line
  hem side: at hem line, outward hem girth / 4 from centre line
edges
  waist: from waist centre, straight to waist side
  side: from waist side, straight to hip side, straight to hem side
  hem: from hem side, straight to (at hem line and centre line)
  centre: from waist centre, straight to end of hem
finish
  waist: seam, allowance 1/2 in
  hem: hem, allowance 2 in
  centre: fold
when zip length > 0 in
  finish
    side: seam, allowance 1 in, open from waist side for zip length
otherwise
  when slit > 0 in
    points
      slit top: along side by slit from hem side, going toward waist side
    finish
      side: seam, allowance 1 in, open from slit top for slit
  otherwise
    finish
      side: seam, allowance 1 in
  end
end
pieces
  front: on front, outline waist then side then hem then centre
    cut 1 on the fold from shell
    grain along centre line
  back: on back, outline waist then side then hem then centre
    cut 1 on the fold from shell
    grain along centre line
seams
  side seam: side of front with side of back
"#;

/// The funnel, with choices set.
pub(crate) fn funnel(card: &str, set: &[(&str, &str)]) -> Made {
    made(card, FUNNEL, set)
}

impl Made {
    /// What one rule found.
    pub(crate) fn of_rule(&self, rule: &str) -> Vec<Finding> {
        let found = self.found().into_iter();
        found.filter(|f| f.rule == rule).collect()
    }

    /// The same in a cloth that stretches so far, as a part of one.
    pub(crate) fn of_rule_in(&self, rule: &str, stretch: f64) -> Vec<Finding> {
        let cloth = lay::Cloth {
            stretch_round_body: stretch,
            ..lay::Cloth::default()
        };
        let subject = Subject {
            cloth: Some(&cloth),
            ..self.subject()
        };
        let found = crate::inspect(&subject).into_iter();
        found.filter(|f| f.rule == rule).collect()
    }
}

/// An amount that is a length, in inches.
pub(crate) fn inches(finding: &Finding) -> f64 {
    match finding.amount {
        Some(crate::Amount::Length(l)) => l.in_inches(),
        _ => f64::NAN,
    }
}
