//! `ellwand lay --report` and `--order`: the pieces of a pattern laid on its cloths.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::thread;

use book::OrderNo;
use lay::Cloth;
use lay::compare::Change;
use lay::exact::Exact;
use lay::shop::{Margin, Step, buy};
use lay::solve::Effort;
use lay::spread::Rules;
use measure::Length;
use measure::fraction::{self, Shown, Unit, show};
use serde_json::Value;
use sheet::Paper;

use crate::answer::{Answer, calm};
use crate::args::{Data, Lay, UnitWord};
use crate::commands::records::Records;
use crate::cut_list::{CutList, TOILE};
use crate::ending::Ending;
use crate::file::{self, named};
use crate::folder::{self, Sheet};
use crate::laying::{
    Buying, Found, Other, Spend, Wanted, compare, find, left_over, missing, step_for,
};
use crate::web::working::OnTable;
use crate::{cloth_sheet, job, json as js};

/// No report is longer.
const LONGEST: u64 = 32 * 1024 * 1024;

/// Lays the pieces of a report.
///
/// # Errors
/// Everything that stands in the way, a message each.
pub(crate) fn report(path: &Path, asked: &Lay, ending: &Ending) -> Result<Answer, Vec<String>> {
    let text = file::text_within(path, "report", LONGEST).map_err(|m| vec![m])?;
    let list = CutList::read(&text).map_err(|all| {
        all.into_iter()
            .map(|m| format!("{}: {m}", named(path)))
            .collect::<Vec<_>>()
    })?;
    let cloths = cloths(asked)?;
    let Some(out) = &asked.out else {
        return Err(vec![
            "Say with --out into which folder the lay goes.".into(),
        ]);
    };
    let made = lay_list(&list, &cloths, asked, "", ending)?;
    folder::fill(out, &made.sheets).map_err(|m| vec![m])?;
    Ok(made.answer(asked.json, out))
}

/// Lays the pieces of an order of the workroom, as it lies on the table there; nothing in the book is
/// changed.
///
/// # Errors
/// When the order can't be had, worked or laid, a message each.
pub(crate) fn order(number: u32, asked: &Lay, ending: &Ending) -> Result<Answer, Vec<String>> {
    let records = Records::to_read(&Data {
        data: asked.data.clone(),
    })?;
    let on = OnTable::load(&records.book, OrderNo(number))
        .map_err(|t| vec![format!("{} {}", calm(&t.title), calm(&t.says))])?;
    let worked = on.work();
    let faults = on.in_the_way(&worked);
    if !faults.is_empty() {
        return Err(faults.iter().map(|f| calm(f)).collect());
    }
    let list = CutList::of(
        &worked,
        on.name(),
        &on.job().version(&worked),
        on.shown.unit,
    )?;
    let cloths = if asked.cloth.is_empty() {
        held_cloths(&on)?
    } else {
        cloths(asked)?
    };
    let Some(out) = &asked.out else {
        return Err(vec![
            "Say with --out into which folder the lay goes.".into(),
        ]);
    };
    let made = lay_list(&list, &cloths, asked, &number.to_string(), ending)?;
    folder::fill(out, &made.sheets).map_err(|m| vec![m])?;
    Ok(made.answer(asked.json, out))
}

/// The cloths that an order has.
fn held_cloths(on: &OnTable) -> Result<Vec<(String, Cloth)>, Vec<String>> {
    let mut out = Vec::new();
    let mut faults = Vec::new();
    for (key, page) in &on.holds {
        let Some(kind) = key.strip_prefix("cloth/") else {
            continue;
        };
        // A toile is laid first; what is cut afterwards waits until the order is in its cloth.
        if (kind == TOILE) != on.allowed.toile() {
            continue;
        }
        match lay::cloth::read(page) {
            Ok(cloth) => out.push((kind.to_owned(), cloth)),
            Err(all) => faults.extend(
                all.iter()
                    .map(|f| format!("The {}: {}", calm(kind), calm(&f.to_string()))),
            ),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    if out.is_empty() && on.allowed.toile() {
        return Err(vec![
            "This order is a toile as yet, and has no cloth for it. Say on its cloth page what the toile is cut from, or name one here with --cloth toile=CLOTH.toml.".into(),
        ]);
    }
    if out.is_empty() {
        return Err(vec![
            "This order has no cloth yet. Say on its cloth page what it is cut from, or name one here with --cloth.".into(),
        ]);
    }
    Ok(out)
}

/// The cloths by what is cut from them: `CLOTH.toml`, or `lining=CLOTH.toml`.
fn cloths(asked: &Lay) -> Result<Vec<(String, Cloth)>, Vec<String>> {
    if asked.cloth.is_empty() {
        return Err(vec![
            "Say with --cloth what it is laid on: the page of a cloth, CLOTH.toml.".into(),
        ]);
    }
    let mut out: Vec<(String, Cloth)> = Vec::new();
    let mut faults = Vec::new();
    for word in &asked.cloth {
        let (kind, path) = match word.split_once('=') {
            Some((kind, path)) if !kind.contains(['/', '\\', '.']) => {
                (kind.trim().to_owned(), path)
            }
            _ => (asked.part.clone(), word.as_str()),
        };
        if out.iter().any(|(k, _)| *k == kind) {
            faults.push(format!(
                "--cloth: There are two cloths for \"{}\". Say which is for what: --cloth shell=FILE --cloth lining=FILE.",
                calm(&kind)
            ));
            continue;
        }
        match job::cloth(Some(&PathBuf::from(path))) {
            Ok(Some(cloth)) => out.push((kind, cloth)),
            Ok(None) => {}
            Err(all) => faults.extend(all),
        }
    }
    if faults.is_empty() {
        Ok(out)
    } else {
        Err(faults)
    }
}

/// What was laid, ready to be written and told.
pub(crate) struct Made {
    pub(crate) sheets: Vec<Sheet>,
    files: Vec<Value>,
    told: String,
}

impl Made {
    fn answer(&self, program: bool, out: &Path) -> Answer {
        if program {
            let value = match self.files.as_slice() {
                [one] => one.clone(),
                all => Value::Array(all.to_vec()),
            };
            return Answer::says(js::text(&value));
        }
        let names: Vec<&str> = self.sheets.iter().map(|s| s.0.as_str()).collect();
        Answer::says(format!(
            "{}In {}: {}.\n",
            self.told,
            named(out),
            names.join(", ")
        ))
    }
}

/// Lays each cloth in turn.
///
/// # Errors
/// What can't be laid, a message each; then nothing is made.
pub(crate) fn lay_list(
    list: &CutList,
    cloths: &[(String, Cloth)],
    asked: &Lay,
    code: &str,
    ending: &Ending,
) -> Result<Made, Vec<String>> {
    let shown = Shown::usual(match asked.unit {
        Some(UnitWord::In) => Unit::Inch,
        Some(UnitWord::Cm) => Unit::Cm,
        None => list.unit,
    });
    let rules = rules(asked, shown.unit)?;
    let buying = buying(asked, shown.unit)?;
    let join = allowance(asked, shown.unit)?;
    let kinds = list.kinds();
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let effort = Effort {
        workers: asked
            .workers
            .unwrap_or(cores)
            .clamp(1, super::lay::MOST_WORKERS),
        seed: asked.seed,
    };
    // A moment is kept back for the last look and for writing.
    let whole = match asked.steps {
        Some(steps) => Spend::Steps(steps),
        None => Spend::Seconds((asked.seconds * 0.99).max(asked.seconds - 0.1)),
    };
    #[expect(clippy::cast_precision_loss, reason = "a handful")]
    let each = whole.share(1.0 / cloths.len().max(1) as f64);
    let mut made = Made {
        sheets: Vec::new(),
        files: Vec::new(),
        told: String::new(),
    };
    let mut faults = Vec::new();
    let ended: &(dyn Fn() -> bool + Sync) = &|| ending.asked();
    for (kind, cloth) in cloths {
        if !kinds.contains(&kind.as_str()) {
            faults.push(format!(
                "Nothing of this pattern is cut from \"{}\". There {} {}.",
                calm(kind),
                if kinds.len() == 1 { "is" } else { "are" },
                kinds
                    .iter()
                    .map(|k| format!("\"{}\"", calm(k)))
                    .collect::<Vec<_>>()
                    .join(", ")
            ));
            continue;
        }
        let called = cloth.matched_at.as_deref();
        if let Some(fault) = list.no_such_notch(kind, called) {
            faults.push(fault);
            continue;
        }
        let pieces = list.of_kind(kind, called);
        let mut cloth = cloth.clone();
        cloth.join = join.or(cloth.join);
        let cloth = &cloth;
        let spend = if asked.compare { each.share(0.5) } else { each };
        let wanted = Wanted {
            pieces: &pieces,
            cloth,
            rules,
            effort,
            spend,
            buying: Buying {
                step: if asked.sold_by.is_some() {
                    buying.step
                } else {
                    step_for(cloth.sold, buying.step)
                },
                ..buying
            },
            shown,
        };
        let found = match find(&wanted, ended) {
            Ok(found) => found,
            Err(fault) => {
                faults.push(fault.says(shown));
                if fault.join().is_some() {
                    faults.push("To have it joined so, say --join, or `join = \"1/2 in\"` on the cloth's page.".into());
                }
                continue;
            }
        };
        let bare = found.laid.all_on_scraps();
        let others = if asked.compare && !bare {
            compare(&wanted, &found, ended)
        } else {
            Vec::new()
        };
        tell(&mut made.told, kind, &found, &others, shown);
        let stopped = ended();
        let base = if cloths.len() == 1 {
            "lay".to_owned()
        } else {
            format!("lay-{}", plain(kind))
        };
        let mut value = cloth_sheet::file(&found, list, kind, &others, asked.seed);
        value["stopped"] = stopped.into();
        let drawn = cloth_sheet::sheet(&found, list, kind, code, (shown, asked.language.words));
        let paper = |fault: sheet::SheetFault| vec![calm(&fault.to_string())];
        made.sheets
            .push((format!("{base}.json"), js::text(&value).into_bytes()));
        made.sheets.push((
            format!("{base}.svg"),
            sheet::cloth_svg(&drawn).map_err(paper)?.into_bytes(),
        ));
        made.sheets.push((
            format!("{base}.pdf"),
            sheet::cloth_pdf(&drawn, Paper::A4).map_err(paper)?,
        ));
        made.files.push(value);
        if bare {
            // Nothing is cut from the cloth itself: there is no lay of it at full size.
            continue;
        }
        made.sheets.push((
            format!("{base}-full.pdf"),
            sheet::cloth_full_pdf(&drawn).map_err(paper)?,
        ));
        made.sheets.push((
            format!("{base}.plt"),
            sheet::cloth_plt(&drawn).map_err(paper)?.into_bytes(),
        ));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let rest: Vec<&str> = kinds
        .into_iter()
        .filter(|k| cloths.iter().all(|(c, _)| c != k))
        .collect();
    if !rest.is_empty() {
        let _ = writeln!(
            made.told,
            "Not laid: what is cut from {}. Name its cloth too, for example --cloth {}=CLOTH.toml.",
            rest.iter().map(|k| calm(k)).collect::<Vec<_>>().join(", "),
            calm(rest[0]),
        );
    }
    Ok(made)
}

/// A name for a file.
fn plain(kind: &str) -> String {
    let out: String = kind
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        })
        .take(40)
        .collect();
    if out.is_empty() { "cloth".into() } else { out }
}

/// The gap and the grain.
fn rules(asked: &Lay, unit: Unit) -> Result<Rules, Vec<String>> {
    let gap = match &asked.gap {
        None => Length::ZERO,
        Some(text) => fraction::read(text, Some(unit))
            .map_err(|why| vec![format!("--gap: {} {}", why.says, why.hint)])?,
    };
    if !asked.tilt.is_finite() || asked.tilt < 0.0 || asked.tilt > 10.0 {
        return Err(vec!["--tilt must be degrees, from 0 to 10.".into()]);
    }
    if gap < Length::ZERO || gap > Length::mm(100.0) {
        return Err(vec!["--gap must be from nothing to 4 in (10 cm).".into()]);
    }
    Ok(Rules {
        gap,
        tilt: asked.tilt,
        any_grain: asked.any_grain,
    })
}

/// What a join is allowed on both sides.
fn allowance(asked: &Lay, unit: Unit) -> Result<Option<Length>, Vec<String>> {
    let Some(text) = &asked.join else {
        return Ok(None);
    };
    let allowance = fraction::read(text, Some(unit))
        .map_err(|why| vec![format!("--join: {} {}", why.says, why.hint)])?;
    if lay::join::may_be_allowed(allowance) {
        return Ok(Some(allowance));
    }
    Err(vec![
        "--join must be what a join is allowed on each side, from 1/8 in to 2 in.".into(),
    ])
}

/// The shop's step and the margin: `5 %`, `10 cm`, or both with a plus.
fn buying(asked: &Lay, unit: Unit) -> Result<Buying, Vec<String>> {
    let step = match &asked.sold_by {
        None if unit == Unit::Cm => Step::TenCm,
        None => Step::EighthYard,
        Some(text) => {
            Step::read(text).map_err(|why| vec![format!("--sold-by: {} {}", why.says, why.hint)])?
        }
    };
    let mut margin = Margin::NONE;
    let Some(text) = &asked.margin else {
        return Ok(Buying {
            margin: Margin::usual(),
            step,
        });
    };
    let (mut percents, mut lengths) = (0_u32, 0_u32);
    for part in text.split('+').map(str::trim).filter(|p| !p.is_empty()) {
        if let Some(percent) = part.strip_suffix('%') {
            percents += 1;
            margin.percent = Exact::read(percent.trim())
                .map_err(|why| vec![format!("--margin: {} {}", why.says, why.hint)])?;
        } else {
            lengths += 1;
            margin.length = fraction::read(part, Some(unit))
                .map_err(|why| vec![format!("--margin: {} {}", why.says, why.hint)])?;
        }
    }
    if percents > 1 || lengths > 1 {
        return Err(vec![
            "--margin may have one percentage and one length, like \"5 % + 10 cm\". Add up what is of one sort.".into(),
        ]);
    }
    // What is out of bounds is told here, not left out of every answer.
    buy(Length::ZERO, margin, step).map_err(|why| vec![format!("--margin: {why}")])?;
    Ok(Buying { margin, step })
}

fn tell(out: &mut String, kind: &str, found: &Found, others: &[Other], shown: Shown) {
    let name = check::told::capital(kind);
    if found.laid.all_on_scraps() {
        let _ = writeln!(
            out,
            "{}: nothing to buy. All that is cut from it fits on your scraps, so there is no lay at full size.",
            calm(&name)
        );
    } else {
        let _ = write!(
            out,
            "{}: {} outlines lie on {}",
            calm(&name),
            found.laid.pieces.len(),
            show(found.laid.takes(), shown)
        );
    }
    match found.purchase {
        Some(p) => {
            let _ = writeln!(
                out,
                ". Buy {p}: the lay{}, a margin of {}, rounded up once.",
                if found.cloth.shrink_along > 0.0 {
                    " before it shrinks"
                } else {
                    ""
                },
                show(p.margin, shown)
            );
        }
        None if found.laid.all_on_scraps() => {}
        None => out.push_str(".\n"),
    }
    if let Some((fits, over)) = found.in_hand {
        let _ = if fits {
            writeln!(
                out,
                "It fits on what you have, with {} left: there is nothing to buy.",
                show(left_over(over, shown), shown)
            )
        } else {
            writeln!(
                out,
                "What you have is {} too short.",
                show(missing(over, shown), shown)
            )
        };
    }
    let words = &sheet::words::ENGLISH;
    for said in cloth_sheet::flaws_behind(found, shown, words)
        .into_iter()
        .chain(cloth_sheet::joins(&found.laid, shown, words))
        .chain(cloth_sheet::scraps(&found.laid, shown, words))
    {
        let _ = writeln!(out, "{}", calm(&said));
    }
    if found.stretch_down {
        let _ = writeln!(out, "{}", sheet::words::ENGLISH.lay_stretch);
    }
    if let Some(cost) = found.cost {
        let _ = writeln!(out, "That costs {cost}.");
    }
    if let Some(thumb) = found.thumb {
        let _ = writeln!(
            out,
            "By the rule of thumb, a box round each piece: {}.",
            show(thumb, shown)
        );
    }
    for o in others {
        let way = cloth_sheet::way(o.way.change, shown);
        match &o.found {
            Ok(f) if f.laid.all_on_scraps() => {
                let _ = writeln!(out, "  {way}: nothing to buy, all fits on your scraps");
            }
            Ok(f) => {
                let buy = f
                    .purchase
                    .map_or_else(String::new, |p| format!(", buy {p}"));
                let cost = f.cost.map_or_else(String::new, |c| format!(", {c}"));
                let more = match f.care.weight().cmp(&found.care.weight()) {
                    core::cmp::Ordering::Greater => ", more care in cutting",
                    core::cmp::Ordering::Less => ", less care in cutting",
                    core::cmp::Ordering::Equal => "",
                };
                let ask = if o.way.stretch_down {
                    ", its stretch down the leg"
                } else {
                    ""
                };
                let left_out: String = cloth_sheet::left_out(&o.way)
                    .iter()
                    .map(|said| format!(", {said}"))
                    .collect();
                let _ = writeln!(
                    out,
                    "  {way}: {}{buy}{cost}{more}{ask}{left_out}",
                    show(f.laid.takes(), shown)
                );
            }
            Err(why) => {
                let _ = writeln!(out, "  {way}: {why}");
            }
        }
    }
    if others.len() > 1 {
        let less = lay::compare::ways(&found.cloth).len().saturating_sub(1);
        let _ = writeln!(
            out,
            "  Each of the others had 1/{less} of the time of yours: a longer look may find any of them shorter."
        );
    }
    let priced = |o: &Other| {
        let other = matches!(o.way.change, Change::Width(_));
        other && o.found.as_ref().is_ok_and(|f| f.cost.is_some())
    };
    if others.iter().any(priced) {
        out.push_str("  Other widths are reckoned at the price of yours.\n");
    }
}
