//! `ellwand order`: every paper of an order, as the workroom's page makes them.

use std::fmt::Write as _;

use book::{NewVersion, OrderNo, Trouble as BookTrouble, VersionNo, Why};
use check::Finding;

use super::records::Records;
use crate::answer::{Answer, calm};
use crate::args::Order;
use crate::file::named;
use crate::finding::told;
use crate::folder::{self, Sheet};
use crate::outputs::Output;
use crate::web::paper::{Asked, ForPaper, PAPERS};
use crate::web::trouble::Trouble;
use crate::web::working::{self, OnTable};

pub(crate) fn run(asked: &Order) -> Result<Answer, Vec<String>> {
    let number = OrderNo(asked.number);
    let mut records = Records::to_write(&asked.at)?;
    match records.book.order(number) {
        Err(BookTrouble::Missing(_)) => {
            return Err(vec![format!(
                "There is no order {number} in the book. `ellwand orders` lists those there are."
            )]);
        }
        other => records.told(other)?,
    };
    if asked.out.exists() && !asked.out.is_dir() {
        return Err(vec![format!(
            "{}: This is a file, and the papers need a folder. Choose another --out.",
            named(&asked.out)
        )]);
    }
    let on = OnTable::load(&records.book, number).map_err(says)?;
    let card = match &on.card_row {
        Some(row) => working::card_page(&records.book, &on.client, row).map_err(says)?,
        None => String::new(),
    };
    let made = ForPaper::of(on);
    if !made.faults.is_empty() {
        let faults = made.faults.iter();
        return Err(faults
            .map(|f| format!("Order {number}: {}", calm(f)))
            .collect());
    }
    let usual = Asked::default();
    let looks = usual.looks_words(usual.named(&made.on), made.on.words);
    let sheet_order = made.order(&usual).map_err(says)?;
    let version = made.version(Why::Paper, card).map_err(says)?;
    // What was made of this version before comes out as it was.
    let before = records.told(records.book.kept_as(number, &version))?;
    let mut sheets: Vec<Sheet> = Vec::new();
    for (_, _, output) in PAPERS {
        let kept = match before {
            Some(v) => records.told(records.book.paper(number, v, output.file(), &looks))?,
            None => None,
        };
        let bytes = match kept {
            Some(paper) => paper.bytes,
            None => made.file(&sheet_order, *output).map_err(says)?,
        };
        sheets.push((output.file().to_owned(), bytes));
    }
    let report = (
        Output::Report.file().to_owned(),
        version.report.clone().into_bytes(),
    );
    folder::fill(
        &asked.out,
        &[sheets.as_slice(), std::slice::from_ref(&report)].concat(),
    )
    .map_err(|m| vec![m])?;
    let (mut messages, mut code) = (Vec::new(), crate::answer::DONE);
    let mut kept_as = String::new();
    if records.book.only_to_read() {
        messages.push(
            "This version is not kept in the records: the workroom has them open, or they can't be written to. \
             The papers are made; the workroom's page of papers keeps what it makes."
                .to_owned(),
        );
    } else {
        match keep(&mut records, number, &version, &looks, sheets) {
            Ok(v) => {
                let _ = write!(kept_as, ", kept as version {v}");
            }
            Err(trouble) => {
                messages.push(format!(
                    "The papers are made, but the book could not keep this version: {}",
                    calm(&trouble.to_string())
                ));
                code = crate::answer::FAULT;
            }
        }
    }
    let mut out = format!(
        "Order {number}: {} for {}, mark {}{kept_as}.\n",
        calm(&made.worked.title),
        calm(&sheet_order.client),
        made.mark
    );
    let names = PAPERS.iter().map(|(_, _, o)| o.file());
    let names: Vec<&str> = names.chain([Output::Report.file()]).collect();
    let _ = writeln!(out, "In {}: {}.", named(&asked.out), names.join(", "));
    if made.findings.is_empty() {
        out.push_str("Nothing to tell before you cut.\n");
    } else {
        out.push_str("\nBefore you cut:\n");
        // A cure to be typed belongs to `make`; an order is changed on its page.
        let findings: Vec<Finding> = made
            .findings
            .iter()
            .cloned()
            .map(|f| Finding { attempt: None, ..f })
            .collect();
        out.push_str(&told(&findings, false));
    }
    let mut answer = Answer::says(out).ending(code);
    answer.messages = messages;
    Ok(answer)
}

/// Keeps the version and its papers; those that were kept before stay.
fn keep(
    records: &mut Records,
    order: OrderNo,
    version: &NewVersion,
    looks: &str,
    sheets: Vec<Sheet>,
) -> Result<VersionNo, BookTrouble> {
    let number = records.book.keep_version(order, version)?;
    for (name, bytes) in sheets {
        let count = sheet::page_count(&bytes).and_then(|n| u32::try_from(n).ok());
        records
            .book
            .keep_paper(order, number, &name, looks, count, bytes)?;
    }
    Ok(number)
}

/// What a page would say, as a message.
fn says(trouble: Trouble) -> Vec<String> {
    let words = if trouble.status.is_server_error() || trouble.status.as_u16() == 404 {
        format!("{} {}", trouble.title, trouble.says)
    } else {
        trouble.says
    };
    vec![calm(&words)]
}
