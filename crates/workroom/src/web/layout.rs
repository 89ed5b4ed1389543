//! The frame round every page: head, stages of an order, foot.

use book::OrderNo;
use maud::{DOCTYPE, Markup, html};

use super::{assets, visit};

/// Which of the four words of the head is this page's.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Here {
    #[default]
    Today,
    Clients,
    Methods,
    Settings,
    /// None of them: search, help.
    Elsewhere,
}

/// The stages of an order, in the order of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stage {
    /// The order itself: dates, notes, pictures. Not one of the six words.
    Order,
    Card,
    Draft,
    Cloth,
    Quote,
    Paper,
    Fittings,
}

impl Stage {
    const WORDS: [(Self, &'static str, &'static str); 6] = [
        (Self::Card, "card", "Card"),
        (Self::Draft, "draft", "Draft"),
        (Self::Cloth, "cloth", "Cloth"),
        (Self::Quote, "quote", "Quote"),
        (Self::Paper, "paper", "Paper"),
        (Self::Fittings, "fittings", "Fittings"),
    ];
}

/// The order that a page belongs to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OrderHead {
    pub(crate) number: OrderNo,
    pub(crate) stage: Stage,
}

/// What stands round a page.
#[derive(Clone, Debug, Default)]
pub(crate) struct Frame {
    /// What the page is about, without the name of the program.
    pub(crate) title: String,
    pub(crate) here: Here,
    pub(crate) order: Option<OrderHead>,
    /// The page takes the whole width, as the draft table does.
    pub(crate) wide: bool,
    /// What is shown is invented.
    pub(crate) demo: bool,
    /// Modules of assets/js beside `main.js`: `"table.js"`.
    pub(crate) scripts: &'static [&'static str],
    /// Keys of this page beside those that work everywhere: key and what it does.
    pub(crate) keys: &'static [(&'static str, &'static str)],
}

/// Keys that work on every page.
pub(crate) const KEYS: &[(&str, &str)] = &[
    ("Tab, Shift Tab", "to the next thing, to the one before"),
    ("Enter", "press it; in a box, keep what is typed"),
    ("?", "this list"),
    ("Esc", "shut the list"),
];

/// A whole page.
#[allow(clippy::needless_pass_by_value, reason = "a body is made for one page")]
pub(crate) fn page(frame: &Frame, body: Markup) -> Markup {
    let visit = visit::now();
    let class = if frame.wide { Some("tablepage") } else { None };
    let words = [
        (Here::Today, "/", "Today"),
        (Here::Clients, "/clients", "Clients"),
        (Here::Methods, "/methods", "Methods"),
        (Here::Settings, "/settings", "Settings"),
    ];
    let content = html! {
        a.skip href="#main" { "To the middle of the page" }
        header.house {
            a.mark-home href="/" aria-label={ (visit.name) ", today" } {
                svg.ellwand viewBox="0 0 66 16" aria-hidden="true" focusable="false" {
                    path d="M10 8H64M22 8V4.5M35 8V3M48 8V4.5M61 8V3" {}
                    circle cx="6" cy="8" r="3.6" {}
                }
                span { (visit.name) }
            }
            nav.words aria-label="Workroom" {
                @for (here, href, word) in words {
                    @if !(visit.phone && here == Here::Settings) {
                        a href=(href) aria-current=[(frame.order.is_none() && frame.here == here).then_some("page")] { (word) }
                    }
                }
            }
            @if let Some(order) = frame.order {
                nav.words.order aria-label={ "Order " (order.number) } {
                    @for (stage, path, word) in Stage::WORDS {
                        // Money is talked of at the computer.
                        @if !(visit.phone && stage == Stage::Quote) { a href={ "/orders/" (order.number) "/" (path) } aria-current=[(stage == order.stage).then_some("page")] { (word) } }
                    }
                }
            }
        }
        @if visit.ill {
            p.ill role="note" {
                "The file with your records is damaged; nothing new can be kept in it. "
                a href="/records" { "What can be done" }
            }
        }
        main id="main" tabindex="-1" class=[class] { (body) }
        footer.foot {
            @if frame.demo {
                p.demo { "Lantern Lane and everyone in it are invented, to look round with." }
            }
            p.footlines {
                a href="/search" { "Search" }
                a href="/keys" data-keys { "Keys" }
            }
        }
        (keys(frame.keys))
    };
    document(
        &frame.title,
        &visit.name,
        frame.scripts,
        visit.letters,
        &content,
    )
}

/// A page for somebody who has not come in: words, and no links.
pub(crate) fn bare(title: &str, body: &Markup) -> Markup {
    let content = html! {
        main id="main" tabindex="-1" { (body) }
    };
    document(title, "", &[], true, &content)
}

fn document(title: &str, name: &str, scripts: &[&str], letters: bool, content: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title {
                    (title)
                    @if !name.is_empty() { " · " (name) }
                    " · Ellwand"
                }
                link rel="icon" href=(assets::address("icon.svg"));
                link rel="stylesheet" href=(assets::address("ellwand.css"));
                script type="module" src=(assets::address("js/main.js")) {}
                @for script in scripts {
                    script type="module" src=(assets::address(&format!("js/{script}"))) {}
                }
            }
            body data-letters=[(!letters).then_some("off")] { (content) }
        }
    }
}

/// The list of keys, as a window that `?` opens; /keys shows the same with scripts off.
fn keys(own: &[(&str, &str)]) -> Markup {
    html! {
        dialog #keys .keys aria-labelledby="keys-h" {
            h2 #keys-h { "Keys" }
            (key_list(own))
            form method="dialog" { button.press { "Shut the list" } }
        }
    }
}

/// The keys that work everywhere, and a page's own.
pub(crate) fn key_list(own: &[(&str, &str)]) -> Markup {
    html! {
        (own_keys(KEYS))
        @if !own.is_empty() { (own_keys(own)) }
    }
}

/// Keys and what they do.
pub(crate) fn own_keys(keys: &[(&str, &str)]) -> Markup {
    html! {
        dl.keylist {
            @for (key, does) in keys {
                div { dt { kbd { (key) } } dd { (does) } }
            }
        }
    }
}
