//! The steps of a toile of every shipped method: they tell nothing of what is not cut, and lean on
//! nothing that is not told.

use std::fs;
use std::path::{Path, PathBuf};

use draft::allowances::{Stage, Table};
use draft::worked::Worked;
use measure::card;

use crate::args::Ways;
use crate::job::{Job, Opened};
use crate::shelf::{self, SHIPPED};

/// A method for the demo card, in a toile or in the cloth.
fn worked(name: &str, stage: Stage) -> Worked {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/cards/demo.toml");
    let method = shelf::take(name).unwrap();
    let opened = Opened {
        path: PathBuf::from("card.toml"),
        card: card::read(&fs::read_to_string(file).unwrap(), &[]).unwrap(),
    };
    let ways = Ways {
        set: Vec::new(),
        predict: true,
        untrued: false,
        unit: None,
    };
    let table = Table::usual();
    let job = Job::new(&opened, &method, &[], &ways).allowing(Some((&table, stage)));
    let worked = job.work();
    assert!(worked.sound(), "{name}: {:?}", worked.faults);
    worked
}

// Catches a step that tells how lining, interlining or facing is drawn, trued or finished though none is
// cut; a gap in the numbers; and a thing on the paper that is shown at a step which does not draw it.
#[test]
fn no_step_of_a_toile_is_for_a_piece_that_is_not_cut() {
    let mut fewer = 0;
    for (name, _) in SHIPPED {
        let (toile, cloth) = (worked(name, Stage::Toile), worked(name, Stage::Cloth));
        let left = toile.allowances.as_ref().map_or(&[][..], |l| &l.left_out);
        let last = toile.steps.iter().position(|s| s.stage == "allowances");
        let steps = &toile.steps[..last.unwrap_or(toile.steps.len())];
        for step in steps {
            for piece in left {
                assert!(
                    !step.sentence.contains(piece.as_str()),
                    "{name} is cut without {piece}: {}",
                    step.sentence
                );
            }
        }
        let numbers = toile.steps.iter().filter_map(|s| s.number);
        assert!(numbers.eq(
            1..=u32::try_from(toile.steps.iter().filter(|s| s.number.is_some()).count()).unwrap()
        ));
        assert_eq!(toile.drawn.len(), cloth.drawn.len(), "{name}");
        for thing in &toile.drawn {
            let by = toile
                .steps
                .iter()
                .find(|s| s.number == Some(thing.step))
                .unwrap();
            let mut draws = by.draws.iter();
            assert!(
                draws.any(|d| *d == (thing.sheet.clone(), thing.name.clone())),
                "{name}: {}",
                thing.name
            );
        }
        fewer += usize::from(steps.len() < cloth.steps.len() && !left.is_empty());
        // Every piece that is cut is still told.
        for piece in &toile.pieces {
            let told = steps.iter().filter(|s| s.stage == "pieces");
            assert!(
                told.flat_map(|s| &s.pieces).any(|p| *p == piece.name),
                "{name}: {}",
                piece.name
            );
        }
    }
    assert!(SHIPPED.is_empty() || fewer >= 4, "{fewer}");
}
