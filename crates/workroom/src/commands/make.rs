//! `ellwand make`: from a card and a method to the files of a pattern.

use std::fmt::Write as _;
use std::path::Path;

use check::Finding;
use check::measured::{self, Measured};
use draft::allowances::{Stage, Table};
use draft::{Correction, Worked};
use lay::Cloth;
use measure::Length;
use sheet::words::Words;

use crate::answer::{Answer, calm};
use crate::args::{Looks, Make, PaperWord, Wanted, Ways};
use crate::batch;
use crate::file::named;
use crate::finding::{self, told};
use crate::job::{self, Job, Opened, Set};
use crate::{folder, order};

use crate::outputs::{self, Output};
use crate::shelf::Taken;

/// How every card of a run is made.
#[derive(Debug)]
pub(crate) struct Plan {
    pub(crate) method: Taken,
    pub(crate) set: Set,
    pub(crate) cloth: Option<Cloth>,
    pub(crate) corrections: Vec<Correction>,
    /// The table of allowances, and what is cut.
    pub(crate) allowances: Option<(Table, Stage)>,
    pub(crate) ways: Ways,
    pub(crate) outputs: Vec<Output>,
    pub(crate) looks: Looks,
    /// The language of the papers.
    pub(crate) words: &'static Words,
}

pub(crate) fn run(asked: &Make) -> Result<Answer, Vec<String>> {
    let Wanted {
        method,
        cloth,
        correct,
        allowances,
        toile,
        ways,
    } = &asked.wanted;
    // Whatever stands in the way is told at once.
    let (outputs, gathered, cloth, corrections, table) = match (
        wanted(asked),
        job::gather(method, &ways.set, asked.card.as_deref()),
        job::cloth(cloth.as_deref()),
        job::corrections(correct.as_deref()),
        job::table(allowances.as_deref(), *toile),
    ) {
        (Ok(outputs), Ok(gathered), Ok(cloth), Ok(corrections), Ok(table)) => {
            (outputs, gathered, cloth, corrections, table)
        }
        (outputs, gathered, cloth, corrections, table) => {
            let mut faults = outputs.err().unwrap_or_default();
            faults.extend(gathered.err().unwrap_or_default());
            faults.extend(cloth.err().unwrap_or_default());
            faults.extend(corrections.err().unwrap_or_default());
            faults.extend(table.err().unwrap_or_default());
            return Err(faults);
        }
    };
    let (method, set, opened) = gathered;
    let plan = Plan {
        method,
        set,
        cloth,
        corrections,
        allowances: table,
        ways: ways.clone(),
        outputs,
        looks: asked.looks.clone(),
        words: asked.language.words,
    };
    let made = match (&opened, &asked.cards) {
        (Some(opened), _) => make(opened, &asked.out, &plan)?,
        (None, folder) => {
            let folder = folder.as_deref().unwrap_or(Path::new("."));
            return batch::run(folder, &asked.out, &plan);
        }
    };
    let mut out = format!(
        "{}{} for {}, version {}.\n",
        if *toile { "Toile: " } else { "" },
        calm(&made.title),
        calm(&made.client),
        made.version
    );
    let names: Vec<&str> = plan.outputs.iter().map(|o| o.file()).collect();
    let _ = writeln!(out, "In {}: {}.", named(&asked.out), names.join(", "));
    if !sheet::can_set(&made.client) {
        out.push_str(
            "Paper can't show all letters of this name, so it names nobody: write `client` on the card in letters it can show.\n",
        );
    }
    if made.findings.is_empty() {
        out.push_str("Nothing to tell before you cut.\n");
    } else {
        out.push_str("\nBefore you cut:\n");
        out.push_str(&told(&made.findings, false));
    }
    Ok(Answer::says(out))
}

/// What is told of a pattern that was made.
#[derive(Clone, Debug)]
pub(crate) struct Made {
    pub(crate) title: String,
    pub(crate) client: String,
    pub(crate) version: String,
    pub(crate) findings: Vec<Finding>,
    /// The biggest difference between two partners, with its sign.
    pub(crate) worst_seam: Option<Length>,
}

/// Makes one pattern: all its files, or none.
///
/// # Errors
/// Everything that stands in the way, a message each.
pub(crate) fn make(opened: &Opened, out: &Path, plan: &Plan) -> Result<Made, Vec<String>> {
    let job = Job::new(opened, &plan.method, &plan.set, &plan.ways)
        .of(plan.cloth.as_ref())
        .corrected(&plan.corrections)
        .allowing(plan.allowances.as_ref().map(|(t, s)| (t, *s)))
        .saying(plan.words);
    let worked = job.work_soundly()?;
    let findings = finding::all(&job, &worked);
    let measured: Measured = measured::measure_in(&worked, job.card(), job.cloth);
    let version = job.version(&worked);
    let order = outputs::drawn_as(
        order::order(&job, &worked, &findings, &measured, &version),
        &plan.looks,
    )?;
    let sheets = outputs::make(
        &job,
        &worked,
        &findings,
        &measured,
        (&version, &order),
        &plan.outputs,
    )?;
    folder::fill(out, &sheets).map_err(|m| vec![m])?;
    Ok(Made {
        title: worked.title.clone(),
        client: job.card().client().to_owned(),
        version,
        findings,
        worst_seam: worst_seam(&worked),
    })
}

fn worst_seam(worked: &Worked) -> Option<Length> {
    worked
        .seams
        .iter()
        .map(|s| s.difference)
        .max_by(|a, b| a.abs().in_mm().total_cmp(&b.abs().in_mm()))
}

/// Which files are wanted.
fn wanted(asked: &Make) -> Result<Vec<Output>, Vec<String>> {
    if !asked.only.is_empty() {
        return outputs::named(&asked.only);
    }
    let mut out = vec![Output::Report];
    let papers: &[PaperWord] = if asked.paper.is_empty() {
        &[PaperWord::A4, PaperWord::Letter, PaperWord::Roll]
    } else {
        &asked.paper
    };
    let mut add = |output: Output| {
        if !out.contains(&output) {
            out.push(output);
        }
    };
    for paper in papers {
        match paper {
            PaperWord::A4 => add(Output::A4),
            PaperWord::Letter => add(Output::Letter),
            PaperWord::A3 => add(Output::A3),
            PaperWord::Roll => add(Output::Roll),
            PaperWord::A0 => add(Output::A0),
            PaperWord::Plotter => add(Output::Plotter),
            PaperWord::All => [
                Output::A4,
                Output::Letter,
                Output::A3,
                Output::Roll,
                Output::A0,
                Output::Plotter,
            ]
            .into_iter()
            .for_each(&mut add),
        }
    }
    add(Output::Svg);
    add(Output::Dxf);
    add(Output::HandSheet);
    if asked.class {
        add(Output::ClassSheet);
    }
    add(Output::Preview);
    Ok(out)
}
