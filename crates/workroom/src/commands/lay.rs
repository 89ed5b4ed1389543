//! `ellwand lay`: lays pieces on cloth.

use std::path::Path;
use std::thread;
use std::time::Instant;

use lay::solve::{Effort, solve};
use serde_json::json;

use super::lay_pattern;
use crate::answer::Answer;
use crate::args::Lay;
use crate::ending::Ending;
use crate::file::{self, named};
use crate::{folder, json as js, strip_file};

/// More does not help, and each needs room.
pub(super) const MOST_WORKERS: usize = 64;

pub(crate) fn run(asked: &Lay) -> Result<Answer, Vec<String>> {
    if !(asked.seconds.is_finite() && asked.seconds > 0.0) {
        return Err(vec!["--seconds must be a number above zero.".into()]);
    }
    let ending = Ending::listened_for();
    let answer = lay(asked, &ending)?;
    if !ending.asked() {
        return Ok(answer);
    }
    let rest = if asked.compare {
        " Ways that were not laid by then are left out."
    } else {
        ""
    };
    Ok(answer.with(&format!(
        "Stopped, as you asked: this is the best that was found until then.{rest}"
    )))
}

fn lay(asked: &Lay, ending: &Ending) -> Result<Answer, Vec<String>> {
    if let Some(number) = asked.order {
        return lay_pattern::order(number, asked, ending);
    }
    if let Some(path) = &asked.report {
        return lay_pattern::report(path, asked, ending);
    }
    let Some(path) = &asked.instance else {
        return Err(vec![
            "Name what is to be laid: --report report.json, or --instance FILE.json.".into(),
        ]);
    };
    let begun = Instant::now();
    let text = file::text(path, "file of pieces").map_err(|m| vec![m])?;
    let named_all = |faults: Vec<String>| -> Vec<String> {
        faults
            .into_iter()
            .map(|m| format!("{}: {m}", named(path)))
            .collect()
    };
    let task = strip_file::read(&text, asked.case.as_deref()).map_err(named_all)?;
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let effort = Effort {
        workers: asked.workers.unwrap_or(cores).clamp(1, MOST_WORKERS),
        seed: asked.seed,
    };
    // A moment is kept back for the last look and for writing.
    let seconds = (asked.seconds * 0.99).max(asked.seconds - 0.1);
    let spent = |steps: u64| {
        if ending.asked() {
            return 1.0;
        }
        let by_clock = begun.elapsed().as_secs_f64() / seconds;
        #[expect(clippy::cast_precision_loss, reason = "a share")]
        match asked.steps {
            Some(most) => steps as f64 / most.max(1) as f64,
            None => by_clock,
        }
    };
    let outcome = solve(&task, effort, &spent, &mut |_| ())
        .map_err(|fault| named_all(vec![strip_file::spoken(&fault)]))?;
    let lay = &outcome.lay;
    if let Some(out) = &asked.out {
        write(out, &js::text(&strip_file::write(&task, lay)))?;
    }
    let density = task.area() / (task.height * lay.length);
    if asked.json {
        let mut told = json!({
            "format": 1,
            "density": density,
            "length": lay.length,
            "seconds": begun.elapsed().as_secs_f64(),
            "steps": outcome.steps,
        });
        if ending.asked() {
            told["stopped"] = true.into();
        }
        // One line, however many figures a number has: it is read by the line.
        return Ok(Answer::says(format!("{told}\n")));
    }
    Ok(Answer::says(format!(
        "{} pieces lie on a length of {:.1}; they cover {:.1} % of the cloth.\n",
        lay.placed.len(),
        lay.length,
        task.cover(lay.length) * 100.0,
    )))
}

fn write(out: &Path, text: &str) -> Result<(), Vec<String>> {
    let Some(name) = out.file_name().and_then(|n| n.to_str()) else {
        return Err(vec![format!("--out {}: Name a file.", named(out))]);
    };
    let folder = match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    folder::fill(folder, &[(name.to_owned(), text.as_bytes().to_vec())]).map_err(|m| vec![m])
}
