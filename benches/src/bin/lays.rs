//! How short the lays are: the table of docs/lay.md, made by one command.
//!
//! `cargo build --release -p workroom && cargo run --release -p benches --bin lays -- [SECONDS] [SEEDS] [WORKERS] [NAME,...]`
//!
//! Runs the built program, as anybody would, on the pieces of tests/data/lay; prints the median over
//! the seeds 0, 1, ... and the worst and best.

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::{env, fs};

use serde_json::Value;

fn main() -> ExitCode {
    match table() {
        Ok(text) => {
            #[expect(clippy::print_stdout, reason = "a table for who ran it")]
            {
                println!("{text}");
            }
            ExitCode::SUCCESS
        }
        Err(fault) => {
            #[expect(clippy::print_stderr, reason = "a message for who ran it")]
            {
                eprintln!("{fault}");
            }
            ExitCode::FAILURE
        }
    }
}

/// What is run, and how.
struct Bench {
    program: PathBuf,
    folder: PathBuf,
    seconds: String,
    seeds: usize,
    workers: String,
}

fn table() -> Result<String, String> {
    let words: Vec<String> = env::args().skip(1).collect();
    let word = |i: usize, other: &str| words.get(i).map_or(other, String::as_str).to_owned();
    let this = env::current_exe().map_err(|e| e.to_string())?;
    let bench = Bench {
        program: this.with_file_name(format!("ellwand{}", env::consts::EXE_SUFFIX)),
        folder: Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/data/lay"),
        seconds: word(0, "10"),
        seeds: word(1, "5")
            .parse()
            .map_err(|_| "SEEDS is a whole number")?,
        workers: word(2, "2"),
    };
    let wanted = word(3, "");
    let mut names: Vec<PathBuf> = fs::read_dir(&bench.folder)
        .map_err(|e| e.to_string())?
        .filter_map(|f| Some(f.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "json"))
        .collect();
    names.sort();
    let (mut instances, mut problems) = (String::new(), String::new());
    for path in names {
        let name = path
            .file_stem()
            .map(|n| n.to_string_lossy().into_owned())
            .unwrap_or_default();
        if !wanted.is_empty() && !wanted.split(',').any(|w| w == name) {
            continue;
        }
        let text = fs::read_to_string(&path).map_err(|e| e.to_string())?;
        let file: Value = serde_json::from_str(&text).map_err(|e| e.to_string())?;
        let Some(cases) = file["cases"].as_array() else {
            let found = bench.runs(&path, None, |v| Some(v["density"].as_f64()? * 100.0))?;
            let [low, median, high] = spread(&found);
            instances.push_str(&format!(
                "| {name} | {median:.2} | {low:.2} to {high:.2} |\n"
            ));
            continue;
        };
        for case in cases {
            let title = case["name"].as_str().unwrap_or_default();
            let found = bench.runs(&path, Some(title), |v| v["length"].as_f64())?;
            let [low, median, high] = spread(&found);
            let mark = |key: &str| {
                case[key]
                    .as_f64()
                    .map_or("-".to_owned(), |v| format!("{v:.0}"))
            };
            problems.push_str(&format!(
                "| {name} | {title} | {} | {} | {} | {} | {median:.1} | {low:.1} to {high:.1} |\n",
                mark("lower_mm"),
                mark("hand_mm"),
                mark("search_mm"),
                mark("flat_anchor_mm"),
            ));
        }
    }
    Ok(format!(
        "{} s, {} workers, {} seeds\n\n\
         | Instance | Density, median (%) | Worst to best |\n|---|---|---|\n{instances}\n\
         | Problem | Case | Bound | Hand | Search | Flat | Length, median (mm) | Best to worst |\n\
         |---|---|---|---|---|---|---|---|\n{problems}",
        bench.seconds, bench.workers, bench.seeds
    ))
}

impl Bench {
    fn runs(
        &self,
        file: &Path,
        case: Option<&str>,
        take: impl Fn(&Value) -> Option<f64>,
    ) -> Result<Vec<f64>, String> {
        let mut found = Vec::new();
        for seed in 0..self.seeds.max(1) {
            let mut command = Command::new(&self.program);
            command.arg("lay").arg("--instance").arg(file);
            command.args([
                "--seconds",
                &self.seconds,
                "--workers",
                &self.workers,
                "--json",
            ]);
            command.args(["--seed", &seed.to_string()]);
            if let Some(case) = case {
                command.args(["--case", case]);
            }
            let done = command
                .output()
                .map_err(|e| format!("{}: {e}; build it first", self.program.display()))?;
            let said = String::from_utf8_lossy(&done.stdout);
            let value: Value = serde_json::from_str(&said)
                .map_err(|_| String::from_utf8_lossy(&done.stderr).into_owned())?;
            found.push(take(&value).ok_or("the answer lacks a number")?);
        }
        found.sort_by(f64::total_cmp);
        Ok(found)
    }
}

fn spread(sorted: &[f64]) -> [f64; 3] {
    let at = |i: usize| sorted.get(i).copied().unwrap_or(f64::NAN);
    [
        at(0),
        at(sorted.len() / 2),
        at(sorted.len().saturating_sub(1)),
    ]
}
