//! Paper: which one, how many sheets, which sheet shows what; and then the file.

mod map;
mod versions;

use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::{HeaderMap, HeaderValue};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use book::{Client, NewVersion, OrderNo, VersionNo};
use check::{Finding, Weight};
use draft::Worked;
use maud::{Markup, html};
use serde::Deserialize;
use sheet::words::{ENGLISH, LANGUAGES, Words};
use sheet::{LargePaper, Order, Paper, TileMap};

use super::layout::{Frame, Here, OrderHead, Stage, page};
use super::parts::number::{n, told};
use super::room::Room;
use super::trouble::Trouble;
use super::working::OnTable;
use crate::args::{LeaveWord, Looks};
use crate::outputs::{self, Output};
use crate::{order, report};

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/paper", get(show).post(make))
        .merge(versions::routes())
}

/// A paper that can be chosen: its word, its name, and the file it makes.
pub(crate) const PAPERS: &[(&str, &str, Output)] = &[
    ("a4", "A4, to tape together", Output::A4),
    ("letter", "Letter, to tape together", Output::Letter),
    ("a3", "A3, to tape together", Output::A3),
    ("roll", "A roll 36 in wide, for a copy shop", Output::Roll),
    ("a0", "A0 sheets, for a copy shop", Output::A0),
    ("plot", "A plotter’s file (HP-GL/2)", Output::Plotter),
    (
        "hand",
        "No printer: the hand sheet, in numbers",
        Output::HandSheet,
    ),
    (
        "class",
        "For a class: the hand sheet with blanks",
        Output::ClassSheet,
    ),
    ("svg", "A drawing for the screen (SVG)", Output::Svg),
    ("dxf", "A drawing for a cutter (DXF)", Output::Dxf),
];

/// Lines that can be left out: their word, their name.
const LINES: &[(&str, &str, LeaveWord)] = &[
    ("cutting", "Cutting line", LeaveWord::Cutting),
    ("stitching", "Stitching line", LeaveWord::Stitching),
    ("levels", "Level lines: hip, break, knee", LeaveWord::Levels),
    ("notches", "Notches and darts", LeaveWord::Notches),
    ("grain", "Grain arrow", LeaveWord::Grain),
    ("words", "Words on the pieces", LeaveWord::Words),
];

/// What is asked of the paper.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Asked {
    paper: String,
    /// Lines to show, as ticked; `asked` tells a page that was sent from one that was opened.
    cutting: Option<String>,
    stitching: Option<String>,
    levels: Option<String>,
    notches: Option<String>,
    grain: Option<String>,
    words: Option<String>,
    construction: Option<String>,
    opened: Option<String>,
    name: Option<String>,
    asked: Option<String>,
    all: Option<String>,
    anyway: Option<String>,
}

/// How a paper is drawn, with its language where it is not English.
fn spoken(looks: &str, words: &Words) -> String {
    if words.language == ENGLISH.language {
        return looks.to_owned();
    }
    let joint = if looks.is_empty() { "" } else { ", " };
    format!("{looks}{joint}in {}", words.own_name)
}

/// The language of a kept paper, where it is drawn as usual but for that.
pub(super) fn usual_in(looks: &str) -> Option<&'static Words> {
    LANGUAGES.into_iter().find(|w| spoken("", w) == looks)
}

impl Asked {
    fn shows(&self, line: &str) -> bool {
        let ticked = match line {
            "cutting" => &self.cutting,
            "stitching" => &self.stitching,
            "levels" => &self.levels,
            "notches" => &self.notches,
            "grain" => &self.grain,
            _ => &self.words,
        };
        self.asked.is_none() || ticked.is_some()
    }

    fn looks(&self) -> Looks {
        Looks {
            opened_out: self.opened.is_some(),
            leave_out: LINES
                .iter()
                .filter(|(word, _, _)| !self.shows(word))
                .map(|(_, _, leave)| *leave)
                .collect(),
            construction: self.construction.is_some(),
        }
    }

    /// How it is drawn, as the book keeps it: empty where as usual.
    pub(crate) fn looks_words(&self, named: bool, words: &Words) -> String {
        let mut out: Vec<&str> = LINES
            .iter()
            .filter(|(word, _, _)| !self.shows(word))
            .map(|(_, name, _)| *name)
            .collect();
        let mut says = String::new();
        if !out.is_empty() {
            says.push_str("without ");
            says.push_str(&out.join(", ").to_lowercase());
        }
        out.clear();
        if self.opened.is_some() {
            out.push("opened out");
        }
        if self.construction.is_some() {
            out.push("with the draft");
        }
        if !named {
            out.push("with her code");
        }
        for word in out {
            if !says.is_empty() {
                says.push_str(", ");
            }
            says.push_str(word);
        }
        spoken(&says, words)
    }

    fn output(&self, usual: &str) -> (&'static str, Output) {
        let word = if self.paper.is_empty() {
            usual
        } else {
            &self.paper
        };
        PAPERS
            .iter()
            .find(|(w, _, _)| *w == word)
            .or_else(|| PAPERS.first())
            .map_or(("a4", Output::A4), |(w, _, o)| (*w, *o))
    }

    /// Her name stands on paper, unless she has a code and it was not asked for.
    pub(crate) fn named(&self, on: &OnTable) -> bool {
        on.client.about.code.is_empty() || self.name.is_some()
    }
}

/// A draft with all that its paper needs.
pub(crate) struct ForPaper {
    pub(crate) on: OnTable,
    pub(crate) worked: Worked,
    pub(crate) findings: Vec<Finding>,
    pub(crate) measured: check::Measured,
    pub(crate) mark: String,
    pub(crate) faults: Vec<String>,
}

impl ForPaper {
    pub(crate) fn of(on: OnTable) -> Self {
        Self::quick(on).cured()
    }

    /// The same without the cures, which a page does not wait for.
    pub(crate) fn quick(on: OnTable) -> Self {
        let worked = on.work();
        let faults = on.in_the_way(&worked);
        let sound = faults.is_empty();
        let findings = if sound { on.seen(&worked) } else { Vec::new() };
        let measured = if sound {
            on.measured(&worked)
        } else {
            check::Measured::default()
        };
        let mark = on.job().version(&worked);
        Self {
            on,
            worked,
            findings,
            measured,
            mark,
            faults,
        }
    }

    /// With the cures that can be computed, as they stand on its sheets.
    pub(crate) fn cured(mut self) -> Self {
        if self.faults.is_empty() {
            self.findings = self.on.found(&self.worked);
        }
        self
    }

    /// The order of its sheets.
    pub(crate) fn order(&self, asked: &Asked) -> Result<Order, Trouble> {
        self.order_in(asked, self.on.words)
    }

    /// The order of its sheets in a language.
    fn order_in(&self, asked: &Asked, words: &'static Words) -> Result<Order, Trouble> {
        let job = self.on.job().saying(words);
        let mut order = order::order(
            &job,
            &self.worked,
            &self.findings,
            &self.measured,
            &self.mark,
        );
        if !asked.named(&self.on) {
            order.client.clone_from(&self.on.client.about.code);
        }
        if order.client.is_empty() || !sheet::can_set(&order.client) {
            order.client = on_paper(&self.on.client);
        }
        order.code = words
            .order_number
            .replace("{order}", &self.on.order.number.to_string());
        outputs::drawn_as(order, &asked.looks()).map_err(|all| {
            Trouble::unclear(
                all.join(" ")
                    .replace("--leave-out: ", "")
                    .replace("--opened-out: ", ""),
            )
            .back(
                format!("/orders/{}/paper", self.on.order.number),
                "Back to the paper",
            )
        })
    }

    /// A file.
    pub(crate) fn file(&self, order: &Order, output: Output) -> Result<Vec<u8>, Trouble> {
        let made = outputs::make(
            &self.on.job(),
            &self.worked,
            &self.findings,
            &self.measured,
            (&self.mark, order),
            &[output],
        );
        made.map_err(|all| Trouble::unclear(all.join(" ")))?
            .into_iter()
            .next()
            .map(|(_, bytes)| bytes)
            .ok_or_else(Trouble::broken)
    }

    /// The headlines of what says stop.
    fn stops(&self) -> Vec<&str> {
        self.findings
            .iter()
            .filter(|f| f.weight == Weight::Stop)
            .map(|f| f.says.as_str())
            .collect()
    }

    /// It as a version to be kept.
    ///
    /// # Errors
    /// When a piece has no outline.
    pub(crate) fn version(&self, why: book::Why, card: String) -> Result<NewVersion, Trouble> {
        let report = report::report(
            &self.worked,
            self.on.job().card(),
            &self.findings,
            &self.measured,
            &self.mark,
        )
        .map_err(|all| Trouble::unclear(all.join(" ")))?;
        // A version is drawn later by the table that it was made with.
        let mut holds = self.on.holds.clone();
        holds.extend(self.on.allowed.kept());
        Ok(NewVersion {
            mark: self.mark.clone(),
            why,
            holds,
            card,
            report: report::text(&report),
            stopped: self.stops().join("\n"),
        })
    }
}

/// Whether it is said of this paper how many sheets it has.
fn counted(output: Output) -> bool {
    matches!(
        output,
        Output::A4 | Output::Letter | Output::A3 | Output::Roll | Output::Plotter | Output::A0
    )
}

/// How a paper comes out.
enum Out {
    Tiles(TileMap),
    Sheets(Vec<(measure::Length, measure::Length)>),
    Pages,
    Drawing,
}

fn out(order: &Order, output: Output) -> Result<Out, sheet::SheetFault> {
    Ok(match output {
        Output::A4 => Out::Tiles(sheet::tile_map(order, Paper::A4)?),
        Output::Letter => Out::Tiles(sheet::tile_map(order, Paper::Letter)?),
        Output::A3 => Out::Tiles(sheet::tile_map(order, Paper::A3)?),
        Output::Roll | Output::Plotter => {
            Out::Sheets(sheet::large_sheets(order, LargePaper::Roll)?)
        }
        Output::A0 => Out::Sheets(sheet::large_sheets(order, LargePaper::A0)?),
        Output::HandSheet | Output::ClassSheet => Out::Pages,
        Output::Svg | Output::Dxf | Output::Report | Output::Preview => Out::Drawing,
    })
}

async fn show(
    State(room): State<Arc<Room>>,
    Path(number): Path<u32>,
    Query(asked): Query<Asked>,
) -> Result<Markup, Trouble> {
    let (on, usual, versions) = room
        .book(move |book| {
            let on = OnTable::load(book, OrderNo(number))?;
            let usual = book.setting("paper")?.unwrap_or_else(|| "a4".to_owned());
            let versions = book.versions(OrderNo(number))?;
            Ok((on, usual, versions))
        })
        .await?;
    let (word, output) = asked.output(&usual);
    let wanted = asked.clone();
    let (made, sheets) = room
        .paper(move || {
            let mut made = ForPaper::quick(on);
            if counted(output) {
                // Its cures stand on the cover, which may go over a page by them.
                made = made.cured();
            }
            let sheets = if made.faults.is_empty() {
                Some(
                    made.order(&wanted)
                        .and_then(|o| out(&o, output).map_err(|f| Trouble::unclear(f.to_string()))),
                )
            } else {
                None
            };
            (made, sheets)
        })
        .await?;
    let sheets = sheets.transpose()?;
    let frame = Frame {
        title: format!("Paper for {}", made.on.name()),
        here: Here::Clients,
        order: Some(OrderHead {
            number: OrderNo(number),
            stage: Stage::Paper,
        }),
        demo: made.on.order.demo,
        scripts: &["paper.js"],
        ..Frame::default()
    };
    let stops = made.stops();
    let body = html! {
        div.outpage {
            div.top {
                h1 { "Paper for " (made.on.name()) }
                p.small { (made.worked.title) ". Order " (number) ", version " (made.mark) "." }
                @if let Some(laid) = &made.worked.allowances {
                    @if made.on.allowed.toile() { p.small { strong { "A toile. " } "Every sheet says so." } }
                    @for sentence in laid.sentences(made.on.shown) { p.small { (told(&sentence)) } }
                }
            }
            @if !made.faults.is_empty() {
                div.slip { div.top { (super::table::slips::shape(Weight::Stop, "!"))
                    span.says { "There is nothing to print yet." }
                } div.more {
                    @for fault in &made.faults { p { (told(fault)) } }
                    p { a.press href={ "/orders/" (number) "/draft" } { "To the draft" } }
                } }
            } @else {
                div.sheet.map { @match &sheets {
                    Some(Out::Tiles(map)) => { (map::map(map)) (map::list(map)) }
                    _ => (super::drawing::thumb(&made.worked)),
                } }
                (chooser(number, &asked, word, &made, sheets.as_ref(), &stops))
            }
            (versions::line(number, &versions))
        }
    };
    Ok(page(&frame, body))
}

fn count(made: &ForPaper, sheets: Option<&Out>) -> Markup {
    let shown = made.on.shown;
    html! {
        @match sheets {
            Some(Out::Tiles(map)) => {
                @let blank: usize = map.pieces.iter().map(|p| p.grid.0 * p.grid.1 - p.tiles.len()).sum();
                p #count role="status" { span.buy { (map.pages.sheets) } " sheets of pattern, and " (map.pages.covers + map.pages.steps) " of cover and steps."
                    @if blank > 0 { " " (blank) " would be blank and are left out." }
                    " About " (minutes(map.pages.sheets)) " with tape."
                }
            }
            Some(Out::Sheets(all)) => {
                p #count role="status" {
                    span.buy { (all.len()) } @if all.len() == 1 { " sheet: " } @else { " sheets: " }
                    @for (i, (w, h)) in all.iter().enumerate() { @if i > 0 { "; " }
                        (n(&measure::fraction::show(*w, shown))) " wide, " (n(&measure::fraction::show(*h, shown))) " long"
                    } "."
                }
            }
            Some(Out::Pages) => p #count role="status" { "A few pages of figures and plates: all that is needed to draw it with ruler and curve." },
            _ => p #count role="status" { "One file." },
        }
    }
}

/// What a client is called on paper that can't show her name: by her code, else by her number.
pub(crate) fn on_paper(client: &Client) -> String {
    let about = &client.about;
    [about.name.trim(), about.code.trim()]
        .into_iter()
        .find(|name| !name.is_empty() && sheet::can_set(name))
        .map_or_else(|| format!("Client {}", client.number), str::to_owned)
}

/// Said of her before it is printed: that her card is not finished, or her name can't stand on paper.
fn of_her(made: &ForPaper, asked: &Asked) -> Markup {
    let client = &made.on.client;
    html! {
        @if made.on.card_row.as_ref().is_some_and(|card| !card.finished) {
            p.help { "Her card is not finished: what is missing is reckoned from her other measures." }
        }
        @if asked.named(&made.on) && !sheet::can_set(&client.about.name) {
            p.help { "Paper can’t show all letters of her name, so “" (on_paper(client)) "” stands there. "
                a href={ "/clients/" (client.number) "/edit" } { "Give her another code for paper" } }
        }
    }
}

/// A sheet takes about a minute to trim and tape (common practice, no source).
fn minutes(sheets: usize) -> String {
    match sheets {
        0..=12 => "a quarter of an hour".into(),
        13..=22 => "twenty minutes".into(),
        23..=40 => "half an hour to three quarters".into(),
        41..=75 => "an hour".into(),
        n => format!("{} hours", n.div_ceil(60)),
    }
}

fn chooser(
    number: u32,
    asked: &Asked,
    word: &str,
    made: &ForPaper,
    sheets: Option<&Out>,
    stops: &[&str],
) -> Markup {
    let tick = |name: &'static str, words: &str, on: bool| {
        html! { label { input type="checkbox" name=(name) value="yes" checked[on]; span { (words) } span {} } }
    };
    html! {
        form.side.cols method="get" action={ "/orders/" (number) "/paper" } data-paper {
            input type="hidden" name="asked" value="yes";
            (count(made, sheets))
            fieldset.choose {
                legend { "Paper" }
                @for (w, name, _) in PAPERS {
                    label { input type="radio" name="paper" value=(w) checked[*w == word]; span { (name) } span {} }
                }
            }
            fieldset.choose {
                legend { "On it" }
                @for (w, name, _) in LINES { (tick(w, name, asked.shows(w))) }
                (tick("construction", "The draft under the pieces", asked.construction.is_some()))
                (tick("opened", "Half pieces opened out, for cloth that is not folded", asked.opened.is_some()))
                @if !made.on.client.about.code.is_empty() { (tick("name", "Her name; otherwise her code", asked.name.is_some())) }
            }
            (of_her(made, asked))
            div.stack {
                p.presses data-show { button.press { "Show how it comes out" } }
                @if !stops.is_empty() {
                    div.slip { div.top { (super::table::slips::shape(Weight::Stop, "!"))
                        span.says { "A stop stands: " (told(stops.first().copied().unwrap_or_default())) }
                    } div.more { label.tickline { input type="checkbox" name="anyway" value="yes"; span { "Make it all the same; it is written down with the version." } } } }
                }
                @if super::visit::now().phone {
                    p { "It is made and printed at the computer." }
                } @else {
                    p.presses {
                        button.press.main formmethod="post" { "Make it" }
                        button.press formmethod="post" name="all" value="yes" { "Make every paper" }
                    }
                }
                p.help { "Print at 100 %, “actual size”, never “fit to page”. Then measure the test square, and the long check after taping. If either is out, do not cut. On the dialog turn headers and footers off." }
            }
        }
    }
}

async fn make(
    State(room): State<Arc<Room>>,
    Path(number): Path<u32>,
    Form(asked): Form<Asked>,
) -> Result<Response, Trouble> {
    let order = OrderNo(number);
    let (on, usual, card) = room
        .book(move |book| {
            let on = OnTable::load(book, order)?;
            let usual = book.setting("paper")?.unwrap_or_else(|| "a4".to_owned());
            let card = match &on.card_row {
                Some(row) => super::working::card_page(book, &on.client, row)?,
                None => String::new(),
            };
            Ok((on, usual, card))
        })
        .await?;
    let back = format!("/orders/{number}/paper");
    // What can't be drawn so is said before anything is begun.
    let (made, asked, drawn) = room
        .paper(move || {
            let made = ForPaper::quick(on);
            let drawn = made.order(&asked).map(|_| ());
            (made, asked, drawn)
        })
        .await?;
    if let Some(fault) = made.faults.first() {
        return Err(
            Trouble::unclear(fault.clone()).back(format!("/orders/{number}/draft"), "To the draft")
        );
    }
    if !made.stops().is_empty() && asked.anyway.is_none() {
        return Err(Trouble::unclear(format!(
            "A stop stands: {} Mend it in the draft, or tick that it is made all the same.",
            check::told::ended(made.stops().first().copied().unwrap_or_default())
        ))
        .back(back, "Back to the paper"));
    }
    drawn.map_err(|t| t.back(back, "Back to the paper"))?;
    let wanted: Vec<_> = if asked.all.is_some() {
        PAPERS
            .iter()
            .map(|(_, name, output)| (*name, *output))
            .collect()
    } else {
        let (word, _) = asked.output(&usual);
        let one = PAPERS.iter().filter(|(w, _, _)| *w == word);
        one.map(|(_, name, output)| (*name, *output)).collect()
    };
    let work = super::works::begin(&room, order, made, asked, card, wanted);
    let to = super::works::soon(&work).await;
    Ok(Redirect::to(&to).into_response())
}

/// Makes a file of a version, if it was not made before, and keeps it.
pub(crate) async fn keep(
    room: &Arc<Room>,
    order: OrderNo,
    version: VersionNo,
    made: Arc<(ForPaper, Order)>,
    output: Output,
    looks: String,
) -> Result<(), Trouble> {
    let known = looks.clone();
    let there = room
        .book(move |book| Ok(book.paper(order, version, output.file(), &known)?.is_some()))
        .await?;
    if there {
        return Ok(());
    }
    let bytes = room.paper(move || made.0.file(&made.1, output)).await??;
    let sheets = sheet::page_count(&bytes).and_then(|n| u32::try_from(n).ok());
    room.book(move |book| {
        book.keep_paper(order, version, output.file(), &looks, sheets, bytes)?;
        Ok(())
    })
    .await
}

/// A file to be taken away, under a name of its own.
pub(crate) fn download(name: &str, bytes: Vec<u8>) -> Response {
    let kind = match name.rsplit('.').next() {
        Some("pdf") => "application/pdf",
        Some("json") => "application/json",
        Some("png") => "image/png",
        Some("zip") => "application/zip",
        _ => "application/octet-stream",
    };
    let mut headers = HeaderMap::new();
    headers.insert("content-type", HeaderValue::from_static(kind));
    let says = format!("attachment; filename=\"{name}\"");
    if let Ok(says) = HeaderValue::from_str(&says) {
        headers.insert("content-disposition", says);
    }
    (headers, bytes).into_response()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use axum::http::StatusCode;

    use crate::web::testing::Visit;

    #[test]
    fn the_count_and_the_map_are_seen_before_anything_is_made() {
        let Some((visit, order)) = Visit::demo("a-line") else {
            return;
        };
        let page = visit
            .get(&format!("/orders/{order}/paper?paper=letter"))
            .text();
        assert!(page.contains("sheets of pattern") && page.contains("class=\"tilename\""));
        let roll = visit
            .get(&format!("/orders/{order}/paper?paper=roll"))
            .text();
        assert!(roll.contains("wide,"), "no size of the roll");
        assert!(
            !visit
                .get(&format!("/orders/{order}/paper"))
                .text()
                .contains("Made before")
        );
    }

    /// Would catch a row of empty boxes on the cover, and a name that is lost without a word.
    #[test]
    fn a_name_that_paper_can_t_show_is_said_and_another_stands_there() {
        let Some((visit, order)) = Visit::first_of_demo() else {
            return;
        };
        let address = format!("/orders/{order}/paper");
        assert!(!visit.get(&address).text().contains("letters of her name"));
        let named = |name: &str, code: &str| {
            let book = visit.room.shelf();
            let mut book = crate::web::calm_lock(&book);
            let id = book.order(order).unwrap().client;
            let client = book.client_by_id(id).unwrap();
            let mut about = client.about.clone();
            (about.name, about.code) = (name.to_owned(), code.to_owned());
            book.change_client(client.number, client.seen, &about, "here")
                .unwrap();
            super::on_paper(&book.client_by_id(id).unwrap())
        };
        assert_eq!(named("Ngọc-Ánh Đỗ", ""), "Ngọc-Ánh Đỗ");
        let number = named("王美玲", "");
        assert!(number.starts_with("Client 9"), "{number}");
        let page = visit.get(&address).text();
        assert!(page.contains("letters of her name") && page.contains(&number));
        assert_eq!(named("王美玲", "W 7"), "W 7");
    }

    /// Would catch a count of another paper than is made of it, by its findings or without them, and
    /// sheets that can't be printed again by their names as their count is another.
    #[test]
    fn the_count_is_that_of_the_file() {
        let Some((visit, order)) = Visit::demo("mermaid-two") else {
            return;
        };
        {
            let book = visit.room.shelf();
            let change = book::Change {
                key: "choice/tightening".to_owned(),
                after: Some("5 in".to_owned()),
            };
            crate::web::calm_lock(&book)
                .change(order, None, "tightening", "", &[change])
                .unwrap();
        }
        let page = visit.get(&format!("/orders/{order}/paper?paper=a4")).text();
        let says = page.split("id=\"count\"").nth(1).unwrap();
        let says = says.split("</p>").next().unwrap();
        let numbers: usize = says
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|n| n.parse::<usize>().ok())
            .take(2)
            .sum();
        let made = visit.post(
            &format!("/orders/{order}/paper"),
            &[("paper", "a4"), ("anyway", "yes")],
        );
        let at = made.leads_to().replace("?said=made", "");
        let file = visit.get(&format!("{at}/pattern-a4.pdf"));
        assert_eq!(sheet::page_count(&file.bytes), Some(numbers), "{says}");
        assert!(visit.get(&at).text().contains("Only sheet"));
    }

    #[test]
    fn a_paper_once_made_is_the_same_sheet_after_the_draft_went_on() {
        let Some((visit, order)) = Visit::demo("a-line") else {
            return;
        };
        let made = visit.post(
            &format!("/orders/{order}/paper"),
            &[("paper", "a4"), ("anyway", "yes")],
        );
        assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text());
        assert_eq!(
            made.leads_to(),
            format!("/orders/{order}/versions/1?said=made")
        );
        let file = format!("/orders/{order}/versions/1/pattern-a4.pdf");
        let first = visit.get(&file);
        assert!(
            first.bytes.starts_with(b"%PDF")
                && first.header("content-disposition").contains("attachment")
        );
        visit.post(
            &format!("/orders/{order}/draft"),
            &[("choice", "length"), ("value", "50 cm"), ("do", "draw")],
        );
        visit.post(
            &format!("/orders/{order}/paper"),
            &[("paper", "a4"), ("anyway", "yes")],
        );
        assert_eq!(
            visit.get(&format!("/orders/{order}/versions/2")).status,
            StatusCode::OK
        );
        assert_eq!(first.bytes, visit.get(&file).bytes);
        // One torn sheet by its name: the page that the map says is the one with this name.
        let page = visit.get(&format!("/orders/{order}/versions/1")).text();
        assert!(
            page.contains("Only sheet") && page.contains(">A1, "),
            "no names of sheets"
        );
        // One torn sheet, and a run of them, out of that very file.
        let torn = visit.get(&format!("{file}?from=3&to=4"));
        assert_eq!(sheet::page_count(&first.bytes).map(|n| n > 4), Some(true));
        assert!(torn.bytes.starts_with(&first.bytes));
        assert_eq!(
            visit.get(&format!("{file}?from=900&to=901")).status,
            StatusCode::BAD_REQUEST
        );
    }

    #[test]
    fn nothing_is_made_of_a_draft_that_is_not_sound() {
        let Some((visit, order)) = Visit::demo("a-line") else {
            return;
        };
        {
            // The draft's page refuses such a value; a restored or imported order may hold one.
            let book = visit.room.shelf();
            let change = book::Change {
                key: "choice/length".to_owned(),
                after: Some("softly".to_owned()),
            };
            crate::web::calm_lock(&book)
                .change(order, None, "length softly", "", &[change])
                .unwrap();
        }
        let made = visit.post(&format!("/orders/{order}/paper"), &[("paper", "a4")]);
        assert_eq!(made.status, StatusCode::BAD_REQUEST);
        assert!(
            visit
                .get(&format!("/orders/{order}/paper"))
                .text()
                .contains("nothing to print yet")
        );
    }
}
