//! `ellwand check`: what would go wrong, before paper is made.

use check::Weight;
use serde_json::{Value, json};

use crate::answer::{Answer, DONE, STOP, calm};
use crate::args::Check;
use crate::finding::{self, told};
use crate::job::{self, Job};
use crate::json as js;

pub(crate) fn run(asked: &Check) -> Result<Answer, Vec<String>> {
    let wanted = &asked.wanted;
    let gathered = job::gather(&wanted.method, &wanted.ways.set, Some(&asked.card));
    // Whatever stands in the way is told at once.
    let ((method, set, opened), cloth, corrections, table) = match (
        gathered,
        job::cloth(wanted.cloth.as_deref()),
        job::corrections(wanted.correct.as_deref()),
        job::table(wanted.allowances.as_deref(), wanted.toile),
    ) {
        (Ok(gathered), Ok(cloth), Ok(corrections), Ok(table)) => {
            (gathered, cloth, corrections, table)
        }
        (gathered, cloth, corrections, table) => {
            let mut faults = gathered.err().unwrap_or_default();
            faults.extend(cloth.err().unwrap_or_default());
            faults.extend(corrections.err().unwrap_or_default());
            faults.extend(table.err().unwrap_or_default());
            return Err(faults);
        }
    };
    let Some(opened) = opened else {
        return Err(Vec::new());
    };
    let job = Job::new(&opened, &method, &set, &asked.wanted.ways)
        .of(cloth.as_ref())
        .corrected(&corrections)
        .allowing(table.as_ref().map(|(t, s)| (t, *s)));
    let worked = job.work_soundly()?;
    let findings = finding::all(&job, &worked);
    let stops = findings.iter().any(|f| f.weight == Weight::Stop);
    let code = if stops { STOP } else { DONE };
    let out = if asked.json {
        let values: Vec<Value> = findings.iter().map(finding::value).collect();
        js::text(&json!({
            "format": 1,
            "client": job.card().client(),
            "method": worked.title,
            "version": job.version(&worked),
            "findings": values,
        }))
    } else if findings.is_empty() {
        format!(
            "{} for {}: nothing to tell.\n",
            calm(&worked.title),
            calm(job.card().client())
        )
    } else {
        format!(
            "{} for {}:\n{}",
            calm(&worked.title),
            calm(job.card().client()),
            told(&findings, true)
        )
    };
    Ok(Answer::says(out).ending(code))
}
