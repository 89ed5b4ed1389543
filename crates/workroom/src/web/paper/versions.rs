//! Versions of an order: the pattern as it was printed or fitted, and its papers as they were made.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use book::{OrderNo, PaperLine, VersionLine, VersionNo};
use maud::{Markup, html};
use serde::Deserialize;
use sheet::words::Words;
use sheet::{Paper, TileMap};

use super::super::drawing::place::Paper as Laid;
use super::super::drawing::{self, View, Wanted};
use super::super::layout::{Frame, Here, OrderHead, Stage, page};
use super::super::parts::number::told;
use super::super::parts::{day, link, said};
use super::super::room::Room;
use super::super::trouble::Trouble;
use super::super::working::OnTable;
use super::{Asked, ForPaper, download, usual_in};
use crate::outputs::Output;

pub(crate) fn routes() -> Router<Arc<Room>> {
    Router::new()
        .route("/orders/{order}/versions/{version}", get(show))
        .route("/orders/{order}/versions/{version}/{file}", get(file))
}

/// The versions there are, the newest first.
pub(crate) fn line(order: u32, versions: &[VersionLine]) -> Markup {
    html! {
        @if !versions.is_empty() {
            section.versions aria-labelledby="versions-h" {
                h2 #versions-h { "Made before" }
                ul.leaders {
                    @for v in versions.iter().rev() {
                        li {
                            a href={ "/orders/" (order) "/versions/" (v.number) } { "Version " (v.number) ", " (v.mark) }
                            span.lead {}
                            span { (day::long(v.made.day())) ", "
                                @match v.why { book::Why::Paper => "for paper", book::Why::Fitting => "for a fitting" }
                                @if !v.stopped.is_empty() { ", with a stop standing" }
                            }
                        }
                    }
                }
                p.help { "Each opens and prints as it was, whatever is changed later." }
            }
        }
    }
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Seen {
    said: Option<String>,
}

async fn show(
    State(room): State<Arc<Room>>,
    Path((order, version)): Path<(u32, u32)>,
    Query(seen): Query<Seen>,
) -> Result<Markup, Trouble> {
    let (number, version) = (OrderNo(order), VersionNo(version));
    let (on, kept, papers) = room
        .book(move |book| {
            let (on, kept) = OnTable::version(book, number, version)?;
            let papers = book.papers(number, version)?;
            Ok((on, kept, papers))
        })
        .await?;
    let (made, maps, papers) = room
        .work(move || {
            let mut made = ForPaper::quick(on);
            if made.faults.is_empty() && papers.iter().any(|p| tiled(p).is_some()) {
                // With its cures, as its papers were made: they may take a page more.
                made = made.cured();
            }
            let map = |p| made.faults.is_empty().then(|| tiles(&made, p)).flatten();
            let maps: Vec<_> = papers.iter().map(map).collect();
            (made, maps, papers)
        })
        .await?;
    let (on, worked) = (&made.on, &made.worked);
    let frame = Frame {
        title: format!("Version {version} of order {order}"),
        here: Here::Clients,
        order: Some(OrderHead {
            number,
            stage: Stage::Paper,
        }),
        demo: on.order.demo,
        ..Frame::default()
    };
    let laid = Laid::main(worked);
    Ok(page(
        &frame,
        html! {
            (said::said(seen.said.as_deref()))
            div.outpage.kept {
                div.top {
                    h1 { "Version " (version) " of order " (order) }
                    p.small { (on.name()) ". " (worked.title) ". Mark " (kept.kept.mark) ", kept on " (day::long(kept.made.day())) "." }
                    @for stop in kept.kept.stopped.lines() { p { strong { "Made with a stop standing: " } (told(stop)) } }
                }
                div.sheet.map {
                    (drawing::drawing(&laid, worked, &[], &Wanted {
                        shown: on.shown, view: View::Whole, hidden: &[], line: None,
                        title: "The pattern of this version", id: "version-drawing",
                    }))
                }
                div.side.cols {
                    section aria-labelledby="papers-h" {
                        h2 #papers-h { "Its papers, as they were made" }
                        @if papers.is_empty() { p { "None yet." } }
                        @for (i, (paper, map)) in papers.iter().zip(&maps).enumerate() { (one(order, version.0, i, paper, map.as_ref())) }
                    }
                    details.fold {
                        summary { "What it was drawn from" }
                        table {
                            caption.vh { "Choices of this version" }
                            tbody {
                                @for (key, value) in &kept.kept.holds {
                                    @if let Some(choice) = key.strip_prefix("choice/") {
                                        tr { th scope="row" { (check::told::capital(choice)) } td { (told(value)) } }
                                    }
                                }
                            }
                        }
                        @if let Some(laid) = &worked.allowances {
                            @for sentence in laid.sentences(on.shown) { p { (told(&sentence)) } }
                        }
                        pre.src { (kept.kept.card) }
                    }
                    p { a.press.quiet href={ "/orders/" (order) "/paper" } { "Other paper of the draft as it is now" } }
                }
            }
        },
    ))
}

/// The size of the sheets of a paper to tape together that was drawn as usual, and its language.
fn tiled(paper: &PaperLine) -> Option<(Paper, &'static Words)> {
    let (_, size) = [
        (Output::A4, Paper::A4),
        (Output::Letter, Paper::Letter),
        (Output::A3, Paper::A3),
    ]
    .into_iter()
    .find(|(output, _)| output.file() == paper.name)?;
    Some((size, usual_in(&paper.looks)?))
}

/// Which sheet of a kept paper shows what: to print a torn one by its name.
fn tiles(made: &ForPaper, paper: &PaperLine) -> Option<TileMap> {
    let (size, words) = tiled(paper)?;
    let order = made.order_in(&Asked::default(), words).ok()?;
    let map = sheet::tile_map(&order, size).ok()?;
    let pages = map.pages.covers + map.pages.steps + map.pages.sheets;
    // Of a file that another program version made only the pages are sure.
    (paper.sheets.and_then(|s| usize::try_from(s).ok()) == Some(pages)).then_some(map)
}

fn one(order: u32, version: u32, i: usize, paper: &PaperLine, map: Option<&TileMap>) -> Markup {
    if super::super::visit::now().phone {
        return html! { div.made { p { (paper.name) @if let Some(sheets) = paper.sheets { ", " (sheets) " pages" } ". It is taken at the computer." } } };
    }
    let address = format!(
        "/orders/{order}/versions/{version}/{}?looks={}",
        paper.name,
        link::escaped(&paper.looks)
    );
    html! {
        div.made {
            p { a.press href=(address) download { (paper.name) }
                " " span.help {
                    @if let Some(sheets) = paper.sheets { (sheets) " pages. " }
                    @if !paper.looks.is_empty() { (check::told::capital(&paper.looks)) ". " }
                }
            }
            @if let Some(map) = map {
                form.again method="get" action={ "/orders/" (order) "/versions/" (version) "/" (paper.name) } {
                    input type="hidden" name="looks" value=(paper.looks);
                    label for={ "tile-" (i) } { "Only sheet "
                        select.box id={ "tile-" (i) } name="from" {
                            @for piece in &map.pieces { @for tile in &piece.tiles {
                                option value=(tile.page) { (tile.name) ", " (piece.name) }
                            } }
                        }
                    }
                    button.press { "This sheet" }
                }
            }
            @if std::path::Path::new(&paper.name).extension().is_some_and(|e| e == "pdf") && paper.sheets.is_some_and(|s| s > 1) {
                @let most = paper.sheets.unwrap_or(1);
                form.again method="get" action={ "/orders/" (order) "/versions/" (version) "/" (paper.name) } {
                    input type="hidden" name="looks" value=(paper.looks);
                    label for={ "from-" (i) } { "Only pages " input.box.short id={ "from-" (i) } name="from" type="number" min="1" max=(most) required; }
                    label for={ "to-" (i) } { "to " input.box.short id={ "to-" (i) } name="to" type="number" min="1" max=(most) required; }
                    button.press { "These pages" }
                }
            }
        }
    }
}

#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
struct Part {
    looks: String,
    from: Option<usize>,
    to: Option<usize>,
}

async fn file(
    State(room): State<Arc<Room>>,
    Path((order, version, name)): Path<(u32, u32, String)>,
    Query(part): Query<Part>,
) -> Result<Response, Trouble> {
    let looks = part.looks.clone();
    let wanted = name.clone();
    let paper = room
        .book(move |book| {
            book.paper(OrderNo(order), VersionNo(version), &wanted, &looks)?
                .ok_or_else(|| Trouble::missing("such paper"))
        })
        .await?;
    let back = format!("/orders/{order}/versions/{version}");
    let stem = format!("order-{order}-version-{version}");
    // The name in the book is one of the program's own, never a visitor's.
    let name = &paper.line.name;
    let (Some(from), to) = (part.from, part.to) else {
        return Ok(download(&format!("{stem}-{name}"), paper.bytes));
    };
    let to = to.unwrap_or(from);
    if from < 1 || to < from {
        return Err(
            Trouble::unclear("The first page comes before the last: 17 to 33.")
                .back(back, "Back to the version"),
        );
    }
    let pages: Vec<usize> = (from..=to.min(from + 2000)).collect();
    let picked = sheet::picked_pages(&paper.bytes, &pages).ok_or_else(|| {
        let many = sheet::page_count(&paper.bytes).unwrap_or(0);
        Trouble::unclear(format!("This paper has pages 1 to {many}."))
            .back(back, "Back to the version")
    })?;
    Ok(download(
        &format!("{stem}-pages-{from}-to-{to}-{name}"),
        picked,
    ))
}
