//! The files that a pattern is made into.

use check::{Finding, Measured};
use draft::Worked;
use sheet::words::ENGLISH;
use sheet::{LargePaper, Leave, Order, Paper, SheetFault};

use crate::answer::calm;
use crate::args::{LeaveWord, Looks};
use crate::folder::Sheet;
use crate::job::Job;
use crate::{hand, order, report};

/// A file of this version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Output {
    Report,
    A4,
    Letter,
    A3,
    Roll,
    A0,
    Svg,
    Dxf,
    Plotter,
    HandSheet,
    ClassSheet,
    Preview,
}

const ALL: [Output; 12] = [
    Output::Report,
    Output::A4,
    Output::Letter,
    Output::A3,
    Output::Roll,
    Output::A0,
    Output::Svg,
    Output::Dxf,
    Output::Plotter,
    Output::HandSheet,
    Output::ClassSheet,
    Output::Preview,
];

impl Output {
    /// Its name.
    pub(crate) const fn file(self) -> &'static str {
        match self {
            Self::Report => "report.json",
            Self::A4 => "pattern-a4.pdf",
            Self::Letter => "pattern-letter.pdf",
            Self::A3 => "pattern-a3.pdf",
            Self::Roll => "pattern-roll.pdf",
            Self::A0 => "pattern-a0.pdf",
            Self::Svg => "pattern.svg",
            Self::Dxf => "pattern.dxf",
            Self::Plotter => "pattern.plt",
            Self::HandSheet => "hand-sheet.pdf",
            Self::ClassSheet => "class-sheet.pdf",
            Self::Preview => "preview.png",
        }
    }
}

/// The files of these names.
///
/// # Errors
/// For each name that is none, a message.
pub(crate) fn named(names: &[String]) -> Result<Vec<Output>, Vec<String>> {
    let mut out: Vec<Output> = Vec::new();
    let mut faults = Vec::new();
    for name in names {
        let name = name.trim();
        if let Some(output) = ALL.into_iter().find(|o| o.file() == name) {
            if !out.contains(&output) {
                out.push(output);
            }
        } else {
            let known: Vec<&str> = ALL.iter().map(|o| o.file()).collect();
            let hint = measure::words::nearest(name, known.iter().copied()).map_or_else(
                || format!("There are {}.", known.join(", ")),
                |near| format!("Did you mean `{near}`?"),
            );
            faults.push(format!(
                "--only {}: There is no such file. {hint}",
                calm(name)
            ));
        }
    }
    if faults.is_empty() {
        Ok(out)
    } else {
        Err(faults)
    }
}

/// An order, drawn as it is wanted.
///
/// # Errors
/// When nothing would be left to cut or sew by, or a half piece can't be opened out, a message.
pub(crate) fn drawn_as(mut order: Order, looks: &Looks) -> Result<Order, Vec<String>> {
    let lines = [LeaveWord::Cutting, LeaveWord::Stitching];
    if lines.iter().all(|l| looks.leave_out.contains(l)) && !looks.construction {
        return Err(vec![
            "--leave-out: Without its cutting and its stitching line nothing is left of a piece. Keep one of them."
                .into(),
        ]);
    }
    order.left_out = looks
        .leave_out
        .iter()
        .map(|word| match word {
            LeaveWord::Cutting => Leave::Cutting,
            LeaveWord::Stitching => Leave::Stitching,
            LeaveWord::Grain => Leave::Grain,
            LeaveWord::Levels => Leave::Levels,
            LeaveWord::Notches => Leave::Notches,
            LeaveWord::Words => Leave::Words,
            LeaveWord::Construction => Leave::Construction,
        })
        .collect();
    order.shows_construction = looks.construction;
    if looks.opened_out {
        order
            .opened_out()
            .map_err(|fault| vec![format!("--opened-out: {}", calm(&fault.to_string()))])
    } else {
        Ok(order)
    }
}

/// Makes the files, in memory.
///
/// # Errors
/// When one can't be made, a message each.
pub(crate) fn make(
    job: &Job<'_>,
    worked: &Worked,
    findings: &[Finding],
    measured: &Measured,
    (version, order): (&str, &Order),
    outputs: &[Output],
) -> Result<Vec<Sheet>, Vec<String>> {
    let hand = hand::hand(worked, job.shown);
    // A4 fits her printer nearly everywhere; Letter where she asked for nothing else.
    let letter = outputs.contains(&Output::Letter) && !outputs.contains(&Output::A4);
    let paper = if letter { Paper::Letter } else { Paper::A4 };
    // The steps are told in English, figure by figure: a sheet that changes its language within a step
    // misleads the hand.
    let asked = |o: &Output| matches!(o, Output::HandSheet | Output::ClassSheet);
    let told = (order.words != &ENGLISH && outputs.iter().any(asked)).then(|| Order {
        client: order.client.clone(),
        code: order.code.clone(),
        ..order::order(&job.saying(&ENGLISH), worked, findings, measured, version)
    });
    let by_hand = told.as_ref().unwrap_or(order);
    outputs
        .iter()
        .map(|output| {
            let drawn = |bytes: Result<Vec<u8>, SheetFault>| {
                bytes.map_err(|fault| vec![calm(&fault.to_string())])
            };
            let bytes = match output {
                Output::Report => {
                    let report = report::report(worked, job.card(), findings, measured, version)?;
                    report::text(&report).into_bytes()
                }
                Output::A4 => drawn(sheet::pattern_pdf(order, Paper::A4))?,
                Output::Letter => drawn(sheet::pattern_pdf(order, Paper::Letter))?,
                Output::A3 => drawn(sheet::pattern_pdf(order, Paper::A3))?,
                Output::Roll => drawn(sheet::large_pdf(order, LargePaper::Roll))?,
                Output::A0 => drawn(sheet::large_pdf(order, LargePaper::A0))?,
                Output::Svg => drawn(sheet::pattern_svg(order).map(String::into_bytes))?,
                Output::Dxf => drawn(sheet::pattern_dxf(order).map(String::into_bytes))?,
                Output::Plotter => drawn(sheet::pattern_plt(order).map(String::into_bytes))?,
                Output::HandSheet => drawn(sheet::hand_pdf(by_hand, &hand, paper))?,
                Output::ClassSheet => drawn(sheet::class_pdf(by_hand, &hand, paper))?,
                Output::Preview => drawn(sheet::preview_png(order))?,
            };
            Ok((output.file().to_owned(), bytes))
        })
        .collect()
}
