//! Notches taken out, put in, moved far and given other snips.

use measure::Length;
use piece::Notch;
use proptest::prelude::*;

use crate::finding::Weight;
use crate::samples::{Made, skirt};

fn side(made: &mut Made, piece: usize) -> &mut piece::Edge {
    let edges = &mut made.worked.pieces[piece].edges;
    edges.iter_mut().find(|e| e.name == "side").unwrap()
}

fn says(made: &Made) -> String {
    let found = made.found();
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].rule, "F24", "{found:#?}");
    assert_eq!(found[0].weight, Weight::Ask);
    found[0].says.clone()
}

#[test]
fn a_notch_taken_out_leaves_its_partner_alone() {
    for (from, left, other) in [(0, "back", "front"), (1, "front", "back")] {
        let mut made = skirt(&[]);
        side(&mut made, from).notches.clear();
        assert_eq!(
            says(&made),
            format!(
                "Side seam: the notch at hip on the {left} side has no partner on the {other} side."
            )
        );
    }
}

#[test]
fn other_snips_are_told() {
    let mut made = skirt(&[]);
    side(&mut made, 1).notches[0].snips = 2;
    assert_eq!(
        says(&made),
        "Side seam: the notch at hip has one snip on the front side and two snips on the back side."
    );
}

#[test]
fn several_lone_notches_are_one_finding() {
    let mut made = skirt(&[]);
    for at in [14.0, 18.0] {
        side(&mut made, 0).notches.push(Notch {
            at: Length::inches(at),
            snips: 1,
        });
    }
    let said = says(&made);
    assert!(
        said.starts_with(
            "Side seam: 2 notches on the front side have no partner on the back side: "
        ),
        "{said}"
    );
}

/// Would catch a notch that marks an end or a dart's leg taken for a lone one.
#[test]
fn ends_and_legs_want_no_partner() {
    let mut made = skirt(&[]);
    let whole = side(&mut made, 0).curve.length();
    for at in [Length::ZERO, whole] {
        side(&mut made, 0).notches.push(Notch { at, snips: 1 });
    }
    assert_eq!(made.broken(), Vec::<String>::new(), "{:#?}", made.found());
}

/// An edge sewn in two seams wants a partner in one of them; would catch a band blamed for its lack.
#[test]
fn a_partner_in_one_seam_is_enough() {
    let mut made = skirt(&[]);
    let mut band = made.worked.pieces[1].clone();
    band.name = "beside".into();
    for edge in &mut band.edges {
        edge.notches.clear();
    }
    made.worked.pieces.push(band);
    made.worked.origins.push(draft::worked::Origin::default());
    let mut seam = made.worked.seams[0].clone();
    seam.name = "second".into();
    seam.b[0].piece = "beside".into();
    made.worked.seams.push(seam);
    let found = made.found();
    assert!(found.iter().all(|f| f.rule != "F24"), "{found:#?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Would catch partners paired over a greater distance than 1/2 in, or not within it; and an answer
    /// that hangs on the order of the notches.
    #[test]
    fn a_lone_notch_is_found_wherever_it_stands(at in 0.7..22.0f64, first: bool) {
        let mut made = skirt(&[]);
        let here = usize::from(!first);
        let hip = side(&mut made, here).notches[0].at.in_inches();
        prop_assume!((at - hip).abs() > 0.6);
        side(&mut made, here).notches.insert(0, Notch { at: Length::inches(at), snips: 1 });
        let said = says(&made);
        let wanted = if first { "on the front side has no partner" } else { "on the back side has no partner" };
        prop_assert!(said.contains(wanted), "{said}");
        // With a partner at the same place nothing is said.
        side(&mut made, 1 - here).notches.push(Notch { at: Length::inches(at), snips: 1 });
        prop_assert_eq!(made.broken(), Vec::<String>::new());
    }
}
