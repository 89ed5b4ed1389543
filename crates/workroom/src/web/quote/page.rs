//! The quote's page: what it comes to, and every line it is reckoned from.

use lay::quote::{Asked, Fault, Quote, Stage, View};
use maud::{Markup, html};
use sheet::QuoteSheet;
use sheet::words::ENGLISH;

use super::habits;
use super::took::{self, Log};
use super::typed::{KINDS, Typed, TypedGoods, TypedPair, TypedWork};
use super::written;
use crate::web::parts::field::{Choice, Field, Kind, id, summary};
use crate::web::parts::number::told;
use crate::web::parts::said::said;

/// A quote that was given, in a list.
#[derive(Clone, Debug)]
pub(crate) struct Given {
    pub(crate) number: u32,
    pub(crate) day: String,
    pub(crate) total: String,
    pub(crate) valid: String,
}

/// All that the page shows.
#[derive(Debug)]
pub(crate) struct QuoteView<'a> {
    pub(crate) order: u32,
    /// What is made, for whom.
    pub(crate) facts: String,
    pub(crate) seen: u64,
    pub(crate) closed: bool,
    pub(crate) typed: &'a Typed,
    /// Reckoned, or what stands in the way.
    pub(crate) reckoned: Result<&'a (Asked, Quote), &'a [Fault]>,
    /// She pressed a button: faults are told on top.
    pub(crate) pressed: bool,
    /// It is as begun from the order, and not kept yet.
    pub(crate) fresh: bool,
    pub(crate) given: &'a [Given],
    /// Names that her price book knows.
    pub(crate) known: &'a [String],
    /// What her last orders of the same method took.
    pub(crate) took: &'a Log,
    pub(crate) said: Option<&'a str>,
    /// Something else to be told on top.
    pub(crate) word: Option<Markup>,
}

/// How many blank lines stand under those that are filled in.
const BLANK: usize = 2;

impl QuoteView<'_> {
    fn fault(&self, place: &str) -> Option<String> {
        let faults = self.reckoned.err().filter(|_| self.pressed)?;
        let fault = faults.iter().find(|f| f.place == place)?;
        Some(format!("{} {}", fault.says, fault.hint))
    }

    fn line(&self, name: &str, label: &str, value: &str, help: Option<&str>) -> Markup {
        let fault = self.fault(name);
        let field = Field::new(name, label, value).fault(fault.as_deref());
        match help {
            Some(help) => field.help(help).html(),
            None => field.html(),
        }
    }

    /// A narrow box of a line of the list.
    fn cell(
        &self,
        name: &str,
        label: &str,
        value: &str,
        class: &str,
        list: Option<&str>,
    ) -> Markup {
        let fault = self.fault(name);
        let told = format!("{}-fault", id(name));
        html! {
            div.cell.(class) {
                label for=(id(name)) { (label) }
                input.box id=(id(name)) name=(name) type="text" value=(value) autocomplete="off" list=[list]
                    aria-invalid=[fault.is_some().then_some("true")] aria-describedby=[fault.is_some().then_some(&told)];
                @if let Some(fault) = &fault { p.fault id=(told) { (fault) } }
            }
        }
    }
}

fn pick(name: &str, label: &str, class: &str, ways: &[(&str, &str)], chosen: &str) -> Markup {
    html! {
        div.cell.(class) {
            label for=(id(name)) { (label) }
            select.box id=(id(name)) name=(name) {
                @for (value, words) in ways { option value=(value) selected[*value == chosen] { (words) } }
            }
        }
    }
}

/// The page.
pub(crate) fn page(view: &QuoteView<'_>) -> Markup {
    let order = view.order;
    let faults: Vec<(String, String)> = match view.reckoned {
        Err(faults) if view.pressed => faults
            .iter()
            .map(|f| {
                (
                    f.place.clone(),
                    format!("{}: {}", place_words(view.typed, &f.place), f.says),
                )
            })
            .collect(),
        _ => Vec::new(),
    };
    html! {
        div.quote {
            header {
                h1 { "Quote" }
                p.quietline { (view.facts) }
            }
            (said(view.said))
            @if let Some(word) = &view.word { (word) }
            (summary(&faults))
            (comes_to(view))
            @if !view.given.is_empty() { (given(order, view.given)) }
            p.presses.noprint {
                @if !view.fresh && view.reckoned.is_ok() { a.press href={ "/orders/" (order) "/quote/sheet" } { "See her sheet" } }
                a.press href={ "/orders/" (order) "/quote/paid" } { "Paid and spent" }
                a.press href={ "/orders/" (order) "/quote/shopping" } { "What to buy" }
            }
            @if view.closed {
                p { "This order is closed. Open it again to quote for it." }
            } @else { (form(view)) }
        }
    }
}

/// What the quote comes to, as the maker sees it.
fn comes_to(view: &QuoteView<'_>) -> Markup {
    match view.reckoned {
        Ok((asked, quote)) => {
            let (rows, sums) = written::rows(asked, quote, View::Inside, &ENGLISH);
            html! {
                section.reckoned aria-labelledby="comes-h" {
                    h2 #comes-h { "It comes to" }
                    p.price { span.n { (written::figure(quote.total)) } span.u { (asked.currency) } }
                    @if view.fresh { p.quietline { "Begun from the order. Look the lines over, then keep it." } }
                    details.fold {
                        summary { "How it is reckoned" }
                        div.wide role="group" tabindex="0" aria-label="How it is reckoned" {
                            table {
                                thead { tr { th scope="col" { "What" } th scope="col" { "How much" } th.r scope="col" { "In all, " (asked.currency) } } }
                                tbody {
                                    @for row in &rows { tr { th scope="row" { (told(&row.what)) } td { (told(&row.how_much)) } td.r { (row.in_all) } } }
                                    @for row in &sums { tr.insum { th scope="row" { (row.what) } td {} td.r { (row.in_all) } } }
                                }
                            }
                        }
                        p.quietline {
                            "It costs " (written::figure(quote.cost)) " to make; the margin is " (written::figure(quote.margin)) ". "
                            "Each figure is rounded by itself; what the lines are out by is told as a line."
                        }
                    }
                }
            }
        }
        Err(faults) if !view.pressed => html! {
            section.reckoned aria-labelledby="comes-h" {
                h2 #comes-h { "Still to fill in" }
                ul.still {
                    @for fault in faults.iter().take(12) {
                        li { a href={ "#" (id(&fault.place)) } { (place_words(view.typed, &fault.place)) } }
                    }
                }
                p.quietline { "Then it is reckoned. What you set under " a href="/settings/quote" { "How you quote" } " is filled in by itself next time." }
            }
        },
        Err(_) => html! {},
    }
}

/// A place of the form in words.
fn place_words(typed: &Typed, place: &str) -> String {
    let mut bits = place.split('/');
    let (list, at, field) = (
        bits.next().unwrap_or_default(),
        bits.next(),
        bits.next().unwrap_or_default(),
    );
    let at = at.and_then(|a| a.parse::<usize>().ok());
    let of = |name: Option<&str>, field: &str| {
        let name = name
            .filter(|n| !n.is_empty())
            .unwrap_or("A line without a name");
        format!("{name}, {field}")
    };
    match (list, at) {
        ("goods", Some(at)) => {
            let field = match field {
                "amount" => "how much",
                "each" => "the price",
                _ => "its name",
            };
            of(typed.goods.get(at).map(|g| g.words.as_str()), field)
        }
        ("work", Some(at)) => {
            let field = match field {
                "times" => "how often",
                "rate" => "the price of an hour",
                _ => "the hours",
            };
            let stage = typed.work.get(at).and_then(|w| Stage::read(&w.stage));
            of(stage.map(written::stage), field)
        }
        ("extra", Some(at)) => of(
            typed.extras.get(at).map(|e| e.words.as_str()),
            "what it costs",
        ),
        ("part", Some(at)) => of(typed.parts.get(at).map(|p| p.words.as_str()), "how much"),
        ("part", None) => "The parts".into(),
        ("currency", _) => "The currency".into(),
        ("waste", _) => "Waste".into(),
        ("rate", _) => "The price of an hour".into(),
        ("overhead", _) => "Overhead".into(),
        ("margin", _) => "Margin".into(),
        ("tax", _) => "Tax".into(),
        ("rounding", _) => "Rounding".into(),
        ("valid", _) => "Until when it holds".into(),
        _ => "The figures".into(),
    }
}

fn given(order: u32, all: &[Given]) -> Markup {
    html! {
        section aria-labelledby="given-h" {
            h2 #given-h { "Given" }
            ul.leaders {
                @for quote in all {
                    li {
                        a href={ "/orders/" (order) "/quotes/" (quote.number) } { "Quote " (quote.number) ", " (quote.day) }
                        span.lead {}
                        span.n { (quote.total) }
                        span.quietline { "until " (quote.valid) }
                    }
                }
            }
        }
    }
}

fn form(view: &QuoteView<'_>) -> Markup {
    let typed = view.typed;
    html! {
        datalist #known { @for name in view.known { option value=(name) {} } }
        form.quoteform method="post" action={ "/orders/" (view.order) "/quote" } {
            input type="hidden" name="seen" value=(view.seen);
            // What Enter in a box does.
            button name="do" value="keep" hidden tabindex="-1" { "Keep and reckon" }
            section aria-labelledby="goods-h" {
                h2 #goods-h { "Cloth and notions" }
                p.help { "A line without a price takes it from your price book. An emptied line is left out." }
                ol.quotelines {
                    @for (at, goods) in typed.goods.iter().enumerate() { (goods_line(view, at, goods)) }
                    @for more in 0..BLANK { (goods_line(view, typed.goods.len() + more, &TypedGoods { count: "piece".into(), kind: "notion".into(), ..TypedGoods::default() })) }
                }
                (view.line("waste", "Waste, percent of the materials", &typed.waste, None))
            }
            section aria-labelledby="work-h" {
                h2 #work-h { "Work" }
                div.twoboxes {
                    (view.line("rate", "An hour costs", &typed.rate, None))
                    (view.line("overhead", "Overhead for each hour", &typed.overhead, Some("Rent, power, machines, the office.")))
                }
                ol.quotelines {
                    @for (at, work) in typed.work.iter().enumerate() { (work_line(view, at, work)) }
                    (work_line(view, typed.work.len(), &TypedWork::default()))
                }
            }
            section aria-labelledby="extra-h" {
                h2 #extra-h { "Besides" }
                p.help { "Rush, travel, courier." }
                ol.quotelines {
                    @for (at, pair) in with_blank(&typed.extras, 1).iter().enumerate() {
                        li.line {
                            (view.cell(&format!("extra/{at}/words"), "What", &pair.words, "named", None))
                            (view.cell(&format!("extra/{at}/money"), "Costs", &pair.much, "much", None))
                        }
                    }
                }
            }
            section aria-labelledby="price-h" {
                h2 #price-h { "Price" }
                div.twoboxes {
                    (view.line("margin", "Margin, percent of the price", &typed.margin, Some("15 % of the price is 17.65 % on the cost.")))
                    (view.line("currency", "Currency", &typed.currency, Some("Its three letters: EUR, USD, NGN.")))
                }
                details.fold open[["tax", "rounding"].iter().any(|place| view.fault(place).is_some())] {
                    summary { "Tax and rounding" @if !matches!(typed.tax.as_str(), "" | "0") { ": " (typed.tax_name) " " (typed.tax) " %" } }
                    div.twoboxes {
                        (view.line("tax", "Tax, percent", &typed.tax, Some("0 or empty where there is none.")))
                        (view.line("tax_name", "What the tax is called", &typed.tax_name, None))
                        (view.line("rounding", "Round the total to", &typed.rounding, Some("Empty for the smallest coin; 1 for whole ones, 5, 10.")))
                    }
                    (Choice { name: "tax_way", legend: "The tax", ways: &[("added", "comes on top of the price", ""), ("within", "is in the price already", "")], chosen: if typed.tax_way == "within" { "within" } else { "added" } }.html())
                    (Choice { name: "round_way", legend: "Round", ways: &[("nearest", "to the nearest", ""), ("up", "always up", "")], chosen: if typed.round_way == "up" { "up" } else { "nearest" } }.html())
                }
            }
            section aria-labelledby="parts-h" {
                h2 #parts-h { "How it is paid" }
                p.help { "Percent of the total, or an amount: 50 % or 200.00. What the parts leave is paid last." }
                @if let Some(fault) = view.fault("part") { p.fault { (fault) } }
                ol.quotelines {
                    @for (at, pair) in with_blank(&typed.parts, 1).iter().enumerate() {
                        li.line {
                            (view.cell(&format!("part/{at}/words"), "When", &pair.words, "named", None))
                            (view.cell(&format!("part/{at}/share"), "How much", &pair.much, "much", None))
                        }
                    }
                }
                (view.line("last", "The last part", &typed.last, None))
            }
            section aria-labelledby="sheet-h" {
                h2 #sheet-h { "The sheet she gets" }
                (Field::new("valid", "Good until", &typed.valid).kind(Kind::Day).fault(view.fault("valid").as_deref()).help("Empty: as you set it, and always before the event.").html())
                (Choice { name: "show", legend: "She sees", ways: &[
                    ("stages", "the work by stages", "margin, waste and overhead are in the lines"),
                    ("one line", "the work as one line", "the hours are hidden too"),
                    ("inside", "everything", "margin, waste and overhead as lines"),
                ], chosen: if typed.show.is_empty() { "stages" } else { &typed.show } }.html())
                (Field::new("terms", "Agreed", &typed.terms).kind(Kind::Text(4)).help("A line each.").html())
            }
            p.presses {
                button.press.main name="do" value="keep" { "Keep and reckon" }
                button.press name="do" value="give" { "Make the quote" }
                button.press.quiet name="do" value="afresh" { "Begin afresh from the order" }
            }
            p.help { "A quote that is made gets a number, and its figures never change afterwards. A better one is another quote." }
        }
    }
}

fn with_blank(pairs: &[TypedPair], blank: usize) -> Vec<TypedPair> {
    pairs
        .iter()
        .cloned()
        .chain((0..blank).map(|_| TypedPair::default()))
        .collect()
}

fn goods_line(view: &QuoteView<'_>, at: usize, goods: &TypedGoods) -> Markup {
    let name = |field: &str| format!("goods/{at}/{field}");
    let kinds: Vec<(&str, &str)> = KINDS
        .iter()
        .map(|(_, value, words)| (*value, *words))
        .collect();
    let blank = goods.is_blank();
    html! {
        li.line.goods {
            (view.cell(&name("words"), if blank { "Another line" } else { "What" }, &goods.words, "named", Some("known")))
            (view.cell(&name("amount"), "How much", &goods.amount, "much", None))
            (pick(&name("count"), "Of", "unit", &[("yd", "yd"), ("m", "m"), ("piece", "piece")], &goods.count))
            (view.cell(&name("each"), "Price of one", &goods.each, "much", None))
            (pick(&name("kind"), "Kind", "kind", &kinds, &goods.kind))
            label.hers { input type="checkbox" name=(name("hers")) value="yes" checked[goods.hers == "yes"]; span { "she brings it" } }
            @if !goods.note.is_empty() {
                input type="hidden" name=(name("note")) value=(goods.note);
                input type="hidden" name=(name("noted")) value=(goods.noted);
                p.help.linenote { (told(&goods.note)) }
            }
        }
    }
}

fn work_line(view: &QuoteView<'_>, at: usize, work: &TypedWork) -> Markup {
    let name = |field: &str| format!("work/{at}/{field}");
    html! {
        li.line.work {
            (pick(&name("stage"), "Stage", "named", &habits::stages(), &work.stage))
            (view.cell(&name("times"), "How often", &work.times, "unit", None))
            (view.cell(&name("hours"), "Hours each", &work.hours, "much", None))
            (view.cell(&name("rate"), "At another price", &work.rate, "much", None))
            @if let (Some(says), Some(each)) = (took::says(work, view.took), took::each(work, view.took)) {
                div.took.linenote {
                    p.help { (says) }
                    @if each.to_string() != work.hours.trim() {
                        button.press name="do" value={ "took/" (at) } aria-label={ "Take " (written::hours(each)) " for " (Stage::read(&work.stage).map_or("this line", written::stage)) } { "Take " (written::hours(each)) @if work.times.trim().parse::<u32>().is_ok_and(|n| n > 1) { " each" } }
                    }
                }
            }
        }
    }
}

/// A quote's sheet as a page: the same words and figures as its PDF.
pub(crate) fn sheet_page(sheet: &QuoteSheet, base: &str, kept: bool) -> Markup {
    let w = sheet.words;
    let number = [
        ("order", sheet.number.0.to_string()),
        ("n", sheet.number.1.to_string()),
    ];
    let number: Vec<(&str, &str)> = number.iter().map(|(a, b)| (*a, b.as_str())).collect();
    let number = if kept {
        sheet::words::fill(w.quote_number, &number)
    } else {
        format!("Order {}", sheet.number.0)
    };
    let row = |row: &sheet::QuoteRow, sum: bool| {
        html! {
            tr.insum[sum] { th scope="row" { (told(&row.what)) } td { (told(&row.how_much)) } td.r { (row.in_all) } }
        }
    };
    html! {
        p.presses.noprint {
            @if kept {
                a.press.main href={ (base) "/a4.pdf" } { "PDF, A4" }
                a.press href={ (base) "/letter.pdf" } { "PDF, Letter" }
            }
            a.press.quiet href={ "/orders/" (sheet.number.0) "/quote" } { "Back to the quote" }
        }
        p.quietline.noprint { @if kept { "As it was given. The browser prints this page too." } @else { "Not given yet: it has no number. Make the quote when you are content with it." } }
        article.letterpage lang=(w.language) {
            header {
                h1 { (w.quote) }
                div.from { @for (at, line) in sheet.from.iter().enumerate() { @if at == 0 { p { strong { (line) } } } @else { p.small { (line) } } } }
            }
            div.cols.keep {
                div { h2 { (w.quote_for) } @for line in &sheet.to { p { (line) } } }
                div { h2 { (number) } @for line in &sheet.about { p { (told(line)) } } }
            }
            div.wide role="group" tabindex="0" aria-label="The lines of the quote" {
                table {
                    thead { tr { th scope="col" { (w.quote_what) } th scope="col" { (w.quote_how_much) } th.r scope="col" { (sheet::words::fill(w.quote_in_all, &[("currency", &sheet.currency)])) } } }
                    tbody {
                        @for line in &sheet.rows { (row(line, false)) }
                        @for line in &sheet.sums { (row(line, true)) }
                    }
                }
            }
            @if !sheet.parts.is_empty() {
                section.keep {
                    h2 { (w.quote_paid) }
                    ul.leaders { @for (when, much) in &sheet.parts { li { (when) span.lead {} span.n { (much) } } } }
                }
            }
            @if !sheet.terms.is_empty() {
                section.keep { h2 { (w.quote_terms) } @for line in &sheet.terms { p { (line) } } }
            }
            div.sign {
                p { (w.quote_sign_client) }
                p { (sheet::words::fill(w.quote_sign_maker, &[("maker", sheet.from.first().map_or("", String::as_str))])) }
            }
        }
    }
}
