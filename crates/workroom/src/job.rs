//! One draft: a card, a method and what is set, worked.

use std::path::{Path, PathBuf};

use draft::allowances::{self, Laid, Stage, Table};
use draft::correction::{Between, Place};
use draft::{Correction, Library, Wish, Worked};
use lay::Cloth;
use measure::card::{self, Card};
use measure::fraction::{Shown, Unit};
use measure::names;
use measure::page::Fault;
use sheet::words::{ENGLISH, Words};

use crate::answer::{calm, calm_lines};
use crate::args::{UnitWord, Ways};
use crate::corrections;
use crate::file::{self, named};
use crate::shelf::{self, Taken};
use crate::version::Version;

/// A card that was read, and its file.
#[derive(Clone, Debug)]
pub(crate) struct Opened {
    pub(crate) path: PathBuf,
    pub(crate) card: Card,
}

/// Opens a card; `own` are the names of measures that are the drafter's own.
///
/// # Errors
/// Every fault of the card, a message each.
pub(crate) fn open(path: &Path, own: &[String]) -> Result<Opened, Vec<String>> {
    let text = file::text(path, "card").map_err(|message| vec![message])?;
    match card::read(&text, own) {
        Ok(card) => Ok(Opened {
            path: path.to_path_buf(),
            card,
        }),
        Err(faults) => Err(each_told(path, &faults)),
    }
}

/// What is wrong in a file, a message each.
fn each_told(path: &Path, faults: &[Fault]) -> Vec<String> {
    let one = |f: &Fault| {
        let joint = if f.line.is_some() { "," } else { ":" };
        format!("{}{joint} {}", named(path), calm(&f.to_string()))
    };
    faults.iter().map(one).collect()
}

/// Opens the page of a cloth, where one is named.
///
/// # Errors
/// Every fault of the page, a message each.
pub(crate) fn cloth(path: Option<&Path>) -> Result<Option<Cloth>, Vec<String>> {
    let Some(path) = path else {
        return Ok(None);
    };
    let text = file::text(path, "cloth").map_err(|message| vec![message])?;
    lay::cloth::read(&text)
        .map(Some)
        .map_err(|faults| each_told(path, &faults))
}

/// Opens the page of corrections, where one is named.
///
/// # Errors
/// Every fault of the page, a message each.
pub(crate) fn corrections(path: Option<&Path>) -> Result<Vec<Correction>, Vec<String>> {
    let Some(path) = path else {
        return Ok(Vec::new());
    };
    let text = file::text(path, "page of corrections").map_err(|message| vec![message])?;
    corrections::read(&text).map_err(|faults| each_told(path, &faults))
}

/// The table of allowances and what is cut: a page that is named, `--toile`, or neither.
///
/// # Errors
/// Every fault of the page, a message each.
pub(crate) fn table(
    path: Option<&Path>,
    toile: bool,
) -> Result<Option<(Table, Stage)>, Vec<String>> {
    let stage = if toile { Stage::Toile } else { Stage::Cloth };
    let Some(path) = path else {
        return Ok(toile.then(|| (Table::usual(), stage)));
    };
    let text = file::text(path, "page of allowances").map_err(|message| vec![message])?;
    match crate::allowances::read(&text) {
        Ok(table) => Ok(Some((table, stage))),
        Err(faults) => Err(each_told(path, &faults)),
    }
}

/// How lengths are shown: as asked, or else in the card's unit.
pub(crate) fn shown(asked: Option<UnitWord>, card: &Card) -> Shown {
    Shown::usual(match asked {
        Some(UnitWord::In) => Unit::Inch,
        Some(UnitWord::Cm) => Unit::Cm,
        None => card.unit(),
    })
}

/// The choices that were set on the command line.
///
/// # Errors
/// When one has no value or stands twice, a message each.
pub(crate) fn choices(set: &[String]) -> Result<Set, Vec<String>> {
    let mut out: Set = Vec::new();
    let mut faults = Vec::new();
    for each in set {
        let Some((name, value)) = each.split_once('=') else {
            faults.push(format!(
                "--set {}: There is no value. Write it as CHOICE=VALUE, for example --set length=\"30 in\".",
                calm(each)
            ));
            continue;
        };
        let (name, value) = (name.trim(), value.trim());
        let folded = names::fold(name);
        if name.is_empty() || value.is_empty() {
            faults.push(format!(
                "--set {}: The name or the value is missing. Write it as CHOICE=VALUE, for example --set length=\"30 in\".",
                calm(each)
            ));
        } else if out.iter().any(|(n, _)| names::fold(n) == folded) {
            faults.push(format!(
                "--set {}: `{}` is set twice. Set it once.",
                calm(each),
                calm(name)
            ));
        } else {
            out.push((name.to_owned(), value.to_owned()));
        }
    }
    if faults.is_empty() {
        Ok(out)
    } else {
        Err(faults)
    }
}

/// Takes the method, the choices and the card that were named, and tells every fault of all three at
/// once.
///
/// # Errors
/// When any can't be had, a message each.
pub(crate) fn gather(
    method: &str,
    set: &[String],
    card: Option<&Path>,
) -> Result<(Taken, Set, Option<Opened>), Vec<String>> {
    let mut faults = Vec::new();
    let method = shelf::take(method).map_err(|m| faults.push(m)).ok();
    let set = choices(set).map_err(|m| faults.extend(m)).ok();
    let opened = match (card, &method) {
        (None, _) => None,
        (Some(card), Some(method)) => open(card, &method.own_measures())
            .map_err(|m| faults.extend(m))
            .ok(),
        // Without the method it is not known which measures of her own may stand on the card.
        (Some(card), None) => {
            faults.extend(file::text(card, "card").err());
            None
        }
    };
    match (method, set) {
        (Some(method), Some(set)) if faults.is_empty() => Ok((method, set, opened)),
        _ => Err(faults),
    }
}

/// Choices that were set: name and value.
pub(crate) type Set = Vec<(String, String)>;

/// What a draft is worked from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Job<'a> {
    pub(crate) opened: &'a Opened,
    pub(crate) method: &'a Taken,
    pub(crate) set: &'a [(String, String)],
    pub(crate) cloth: Option<&'a Cloth>,
    pub(crate) corrections: &'a [Correction],
    /// The table of allowances that is laid on, and for what is cut; usually none.
    pub(crate) allowances: Option<(&'a Table, Stage)>,
    pub(crate) predict: bool,
    pub(crate) untrued: bool,
    pub(crate) shown: Shown,
    /// The language of its papers.
    pub(crate) words: &'static Words,
}

impl<'a> Job<'a> {
    pub(crate) fn new(
        opened: &'a Opened,
        method: &'a Taken,
        set: &'a [(String, String)],
        ways: &Ways,
    ) -> Self {
        Self {
            opened,
            method,
            set,
            cloth: None,
            corrections: &[],
            allowances: None,
            predict: ways.predict,
            untrued: ways.untrued,
            shown: shown(ways.unit, &opened.card),
            words: &ENGLISH,
        }
    }

    /// The same, with its papers in a language.
    pub(crate) fn saying(self, words: &'static Words) -> Self {
        Self { words, ..self }
    }

    /// The same, cut from a cloth.
    pub(crate) fn of(self, cloth: Option<&'a Cloth>) -> Self {
        Self { cloth, ..self }
    }

    /// The same, with the corrections of its fittings.
    pub(crate) fn corrected(self, corrections: &'a [Correction]) -> Self {
        Self {
            corrections,
            ..self
        }
    }

    /// The same, with a table of allowances laid on.
    pub(crate) fn allowing(self, allowances: Option<(&'a Table, Stage)>) -> Self {
        Self { allowances, ..self }
    }

    /// Lays the table of allowances on a draft.
    pub(crate) fn laid(&self, mut worked: Worked) -> Worked {
        if let Some((table, stage)) = self.allowances
            && worked.sound()
        {
            allowances::lay_on(&mut worked, table, stage, self.shown);
        }
        worked
    }

    pub(crate) fn card(&self) -> &'a Card {
        &self.opened.card
    }

    /// Works the draft, faults and all.
    pub(crate) fn work(&self) -> Worked {
        let wish = Wish {
            card: self.card(),
            set: self.set,
            predict: self.predict,
            untrued: self.untrued,
            shown: self.shown,
            corrections: self.corrections,
        };
        self.laid(draft::work(
            &self.method.reading,
            &self.method.library,
            &wish,
        ))
    }

    /// What the inspector is given of a draft.
    pub(crate) fn subject<'s>(&'s self, worked: &'s Worked) -> check::Subject<'s> {
        check::Subject {
            card: self.card(),
            worked,
            cloth: self.cloth,
            shown: self.shown,
        }
    }

    /// The draft with one choice set to another value, steps not told; nothing where it can't be
    /// worked soundly.
    pub(crate) fn reworked(&self, before: &Worked, choice: &str, value: &str) -> Option<Worked> {
        // She may have set it by its label; set twice it would be a fault.
        let label = before.choices.iter().find(|c| c.name == choice);
        let known = [Some(choice), label.map(|c| c.label.as_str())];
        let mut set: Set = self.set.to_vec();
        set.retain(|(name, _)| {
            let name = names::fold(name);
            !known.iter().flatten().any(|k| names::fold(k) == name)
        });
        set.push((choice.to_owned(), value.to_owned()));
        let wish = Wish {
            card: self.card(),
            set: &set,
            predict: self.predict,
            untrued: self.untrued,
            shown: self.shown,
            corrections: self.corrections,
        };
        let worked = draft::redraw(
            &self.method.reading,
            Vec::new(),
            &self.method.library,
            &wish,
        );
        worked.sound().then(|| self.laid(worked))
    }

    /// Works the draft.
    ///
    /// # Errors
    /// When paper may not be made of it: every fault, a message each.
    pub(crate) fn work_soundly(&self) -> Result<Worked, Vec<String>> {
        let worked = self.work();
        let faults = self.faults(&worked);
        if faults.is_empty() {
            Ok(worked)
        } else {
            Err(faults)
        }
    }

    /// Why no paper may be made of a draft, a message each.
    pub(crate) fn faults(&self, worked: &Worked) -> Vec<String> {
        let notes = worked
            .notes
            .iter()
            .map(|n| calm_lines(&n.shown(&self.method.shown, &self.method.text).to_string()));
        let more = worked.faults.iter().map(|fault| {
            format!(
                "{} for {}: {}",
                calm(&self.method.shown),
                named(&self.opened.path),
                calm(fault)
            )
        });
        notes.chain(more).collect()
    }

    /// The version of the pattern that is made of a draft.
    pub(crate) fn version(&self, worked: &Worked) -> String {
        let mut hash = Version::new();
        let card = self.card();
        hash.with(card.client());
        hash.with(&card.taken().map(|d| d.to_string()).unwrap_or_default());
        hash.with(card.notes());
        if let Some(born) = card.born() {
            hash.with(&born.to_string());
        }
        for m in card.measures() {
            hash.with(&m.name);
            hash.with(&format!("{:.6}", m.length.in_mm()));
        }
        for a in card.angles() {
            hash.with(&a.name);
            hash.with(&format!("{:.6}", a.angle.in_degrees()));
        }
        for text in used_texts(self.method) {
            // The line ends of one computer are not those of another.
            hash.with(&text.replace("\r\n", "\n"));
        }
        for choice in &worked.choices {
            hash.with(&choice.name);
            hash.with(&crate::quantity::exact(&choice.value));
        }
        for correction in self.corrections {
            told(&mut hash, correction);
        }
        if let Some(laid) = &worked.allowances {
            told_allowances(&mut hash, laid);
        }
        hash.with(if self.predict { "predicted" } else { "" });
        hash.with(if self.untrued { "untrued" } else { "" });
        hash.short()
    }
}

/// A table that was laid on, in the version; where it did nothing the version is as without it.
fn told_allowances(hash: &mut Version, laid: &Laid) {
    if laid.stage == Stage::Toile {
        hash.with("toile");
    }
    for row in &laid.rows {
        hash.with(row.row.key());
        hash.with(&format!("{:.6}", row.width.in_mm()));
    }
}

/// A correction in the version; its words and where it is kept change no line on the paper.
fn told(hash: &mut Version, c: &Correction) {
    hash.with("correction");
    for text in [&c.piece, &c.edge] {
        hash.with(text);
    }
    for place in [&c.from, &c.to] {
        hash.with(&match place {
            Place::Along(at) => format!("{:.6} along", at.in_mm()),
            other => other.words(Shown::inches()),
        });
    }
    for (at, by) in &c.points {
        let at = match at {
            Between::Length(l) => format!("{:.6}", l.in_mm()),
            Between::Share(share) => format!("{:.6} %", share * 100.0),
        };
        hash.with(&format!("{at} {:.6}", by.in_mm()));
    }
    let fade = c
        .fade
        .map_or(String::new(), |f| format!("{:.6}", f.in_mm()));
    hash.with(&format!("{fade} {:?} {:?}", c.side, c.layers));
}

/// The text of a method and of every method that it uses, each once.
pub(crate) fn used_texts(method: &Taken) -> Vec<&str> {
    let mut texts = vec![method.text.as_str()];
    let mut waiting = used_titles(&method.reading.method.body);
    let mut seen: Vec<String> = Vec::new();
    while let Some(title) = waiting.pop() {
        let title = title.trim().to_lowercase();
        if seen.contains(&title) {
            continue;
        }
        if let Some((text, reading)) = titled(&method.others, &method.library, &title) {
            texts.push(text);
            waiting.extend(used_titles(&reading.method.body));
        }
        seen.push(title);
    }
    texts
}

fn titled<'a>(
    texts: &'a [String],
    library: &'a Library,
    title: &str,
) -> Option<(&'a str, &'a draft::Reading)> {
    texts
        .iter()
        .zip(library.methods())
        .find(|(_, r)| r.method.title.to_lowercase() == title)
        .map(|(text, reading)| (text.as_str(), reading))
}

fn used_titles(items: &[draft::tree::Item]) -> Vec<String> {
    use draft::tree::Item;
    let mut out = Vec::new();
    for item in items {
        match item {
            Item::Use(used) => out.push(used.title.clone()),
            Item::When(when) => {
                out.extend(used_titles(&when.then));
                out.extend(used_titles(&when.otherwise));
            }
            Item::Sheets(group) => out.extend(used_titles(&group.body)),
            Item::Entry(_) => {}
        }
    }
    out
}
