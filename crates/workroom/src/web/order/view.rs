//! The page of an order.

use book::{Day, DayKind, DayState, Photos};
use maud::{Markup, html};

use super::begin::{card_words, method_box};
use super::signed::Signed;
use super::{Held, Sent, called, days, sent};
use crate::shelf;
use crate::web::clients;
use crate::web::layout;
use crate::web::layout::{Frame, Here, OrderHead, Stage};
use crate::web::limits::PHOTO;
use crate::web::parts::day;
use crate::web::parts::field::{Field, Kind, id, summary};
use crate::web::parts::number::told;
use crate::web::parts::said::said;
use crate::web::visit;

/// So many lines of the history stand open.
const LINES: usize = 12;

pub(super) fn page(held: &Held, form: &Sent, faults: &[(String, String)]) -> Markup {
    let order = &held.on.order;
    let frame = Frame {
        title: format!("{}, {}", called(order), held.on.name()),
        here: Here::Clients,
        order: Some(OrderHead {
            number: order.number,
            stage: Stage::Order,
        }),
        demo: order.demo,
        ..Frame::default()
    };
    layout::page(&frame, body(held, form, faults))
}

fn body(held: &Held, form: &Sent, faults: &[(String, String)]) -> Markup {
    // A phone looks, and adds pictures; the rest is done at the computer.
    let may = !held.closed() && !visit::now().phone;
    html! {
        div.orderpage {
            (head(held))
            (said(Some(sent(form, "said"))))
            (summary(faults))
            (mind(held))
            (closed(held))
            p.presses {
                @if held.on.card_row.is_none() {
                    a.press.main href={ "/orders/" (held.on.order.number) "/card" } { "To her card" }
                } @else {
                    a.press.main href={ "/orders/" (held.on.order.number) "/draft" } { "Open the draft" }
                }
                a.press.quiet href={ "/orders/" (held.on.order.number) "/sheet" } { "The order on one sheet" }
            }
            div.cols {
                (days_of(held, may))
                (what(held, may, form))
            }
            div.cols {
                (notes(held, may, form))
                (pictures(held, form, faults))
            }
            div.cols {
                (history(held, may))
                (more(held, may, form))
            }
        }
    }
}

fn head(held: &Held) -> Markup {
    let order = &held.on.order;
    html! {
        div.top {
            h1 { (called(order)) }
            p.small {
                "Order " (order.number) " for " a href={ "/clients/" (held.on.client.number) } { (held.on.name()) }
                ", begun " (day::long(order.made.day()))
                @if let Some(before) = held.before { ". Made again after " a href={ "/orders/" (before) } { "order " (before) } }
                @if let Some((name, _)) = &held.party { ". Of " (name) }
                "."
            }
        }
    }
}

/// What must not be forgotten while working on it.
fn mind(held: &Held) -> Markup {
    html! {
        (clients::mind(&held.on.client, held.today))
        @if held.on.toile_first() {
            p.noteline { "A toile first: cut from the shell only, without lining and facings, and its sheets say so. What is pinned on it stays laid on when you go over to the cloth, which has its own allowances again."
                @if !held.on.corrections.is_empty() { " So far: " (corrections(held)) "." }
            }
        } @else if !held.on.corrections.is_empty() {
            p.noteline { "Laid on from its fittings: " (corrections(held)) ". They stay whatever is cut, the toile or the cloth. " a href={ "/orders/" (held.on.order.number) "/fittings" } { "See them" } }
        }
    }
}

/// How many corrections are laid on.
fn corrections(held: &Held) -> String {
    match held.on.corrections.len() {
        1 => "one correction".to_owned(),
        n => format!("{n} corrections"),
    }
}

fn closed(held: &Held) -> Markup {
    html! {
        @if let Some(closed) = held.on.order.closed {
            div.slip.shutorder {
                p { "Closed " (day::long(closed.day())) ". It is looked at and printed as before, and nothing in it is changed." }
                @if !visit::now().phone {
                    (press(held, "open", "Open it again", "press"))
                }
            }
        }
    }
}

/// A button that does one thing to the order.
fn press(held: &Held, act: &str, words: &str, class: &str) -> Markup {
    html! {
        form method="post" action={ "/orders/" (held.on.order.number) } {
            button class=(class) name="do" value=(act) { (words) }
        }
    }
}

fn days_of(held: &Held, may: bool) -> Markup {
    let at = format!("/orders/{}/days", held.on.order.number);
    let comes = held.days.iter().any(|d| d.state == DayState::Comes);
    let put_off = held.days.iter().any(|d| d.state == DayState::Postponed);
    html! {
        section #days aria-labelledby="days-h" {
            h2 #days-h { "Days" }
            @if held.days.is_empty() { p.help { "No day is set yet." } }
            @if !held.days.is_empty() {
                div.days.hers {
                    @for d in &held.days { (one_day(held, d, may)) }
                }
            }
            @if may {
                details.fold open[held.days.is_empty()] {
                    summary { "Another day" }
                    form.stack.full method="post" action=(at) {
                        (days::boxes(&Sent::from([("kind".to_owned(), "fitting".to_owned())]), &[]))
                        p.presses { button.press { "Keep the day" } }
                    }
                }
                @if comes || put_off {
                    details.fold {
                        summary { "All days of this order" }
                        form.presses method="post" action={ (at) "/all" } {
                            @if comes {
                                button.press name="do" value="postpone" { "Put them all off" }
                                button.press name="do" value="cancel" { "Cancel them all" }
                            }
                            @if put_off { button.press name="do" value="come" { "What was put off comes after all" } }
                        }
                    }
                }
            }
        }
    }
}

fn one_day(held: &Held, d: &Day, may: bool) -> Markup {
    let at = format!("/orders/{}/days/{}", held.on.order.number, d.id);
    let state = days::state_word(d, held.today);
    let called = days::called(&d.day);
    let event = held
        .days
        .iter()
        .find(|e| e.day.kind == DayKind::Event && e.state == DayState::Comes);
    let care = matches!(d.day.kind, DayKind::Event | DayKind::Care);
    let too_late =
        d.state == DayState::Comes && !care && event.is_some_and(|e| e.day.on < d.day.on);
    let month: String = day::month(d.day.on).chars().take(3).collect();
    let weekday: String = day::weekday(d.day.on).chars().take(3).collect();
    html! {
        div.day {
            p.when {
                b { (d.day.on.day()) }
                span { (weekday) ", " (month) @if d.day.on.year() != held.today.year() { " " (d.day.on.year()) } }
            }
            div.hang {
                h3 { (called) }
                p.stateline {
                    @if !state.is_empty() { @if state == "overdue" { strong { (state) } } @else { (state) } @if d.state == DayState::Comes { ", " } }
                    @if d.state == DayState::Comes { (day::away(d.day.on, held.today)) }
                    @if too_late { ", " strong { "after the day it is for" } }
                }
                @if may {
                    form.presses.lines method="post" action=(at) {
                        @if d.state == DayState::Comes {
                            button.press.quiet name="do" value="done" aria-label={ "Done: " (called) } { "Done" }
                        }
                        a.press.quiet href=(at) aria-label={ "Change: " (called) } { "Change" }
                        @match d.state {
                            DayState::Comes => {
                                button.press.quiet name="do" value="postpone" aria-label={ "Put off: " (called) } { "Put off" }
                                button.press.quiet name="do" value="cancel" aria-label={ "Cancel: " (called) } { "Cancel" }
                            }
                            _ => { button.press.quiet name="do" value="come" aria-label={ "It comes after all: " (called) } { "It comes after all" } }
                        }
                    }
                }
            }
        }
    }
}

fn what(held: &Held, may: bool, form: &Sent) -> Markup {
    let order = &held.on.order;
    let seen = order.seen;
    let at = format!("/orders/{}", order.number);
    let method = shelf::title(held.hold("method"));
    let method = if method.is_empty() {
        order.method.clone()
    } else {
        method
    };
    let newer = held.newer.as_ref();
    let old = held
        .on
        .card_row
        .as_ref()
        .and_then(|c| day::old(c.head.taken, held.today));
    html! {
        section aria-labelledby="what-h" {
            h2 #what-h { "What it is" }
            dl.about {
                div { dt { "Card" } dd {
                    @match &held.on.card_row {
                        Some(card) => a href={ "/orders/" (order.number) "/card" } { (card_words(card, held.today)) },
                        None => "none yet",
                    }
                } }
                div { dt { "Method" } dd { @if method.is_empty() { "none yet" } @else { (method) } } }
                div { dt { "Stage" } dd { @if held.on.toile_first() { "A toile first" } @else { "In the cloth" } } }
                div { dt { "Paper" } dd {
                    @match &held.paper {
                        Some((v, _)) => { a href={ (at) "/versions/" (v.number) } { "Version " (v.number) ", " (v.mark) } ", " (day::long(v.made.day())) },
                        None => "not made yet",
                    }
                } }
                div { dt { "Allowances" } dd { (held.on.allowed.words()) } }
                @if let Some(signed) = &held.signed { (signed_off(signed)) }
            }
            (since_signed(held, may))
            @if let (Some(old), None, false) = (&old, newer, held.closed()) {
                p.noteline { "Her card is " (old) ". Bodies change: " a href={ "/clients/" (held.on.client.number) "/cards/new" } { "measure her again" } " before cloth is cut by it." }
            }
            @if !held.closed() && held.paper.as_ref().is_some_and(|(_, changed)| *changed) {
                p.noteline { "Something was changed after her paper was made. " a href={ (at) "/paper" } { "Make it anew" } " before cloth is cut." }
            }
            @if let Some((new, apart)) = newer {
                p.noteline {
                    "She has a newer card, of " (day::long(new.head.taken)) ". This order goes on with the one it has until you change it."
                    @if !apart.is_empty() { " More than an inch apart since: " (told(&apart.join(", "))) "." }
                }
            }
            @if may {
                form.stack.full method="post" action=(at) {
                    input type="hidden" name="was" value=(order.title);
                    (Field::new("title", "What is made, in your words", form.get("title").map_or(order.title.as_str(), String::as_str)).html())
                    p.presses { button.press name="do" value="title" { "Keep the words" } }
                }
                @if !held.cards.is_empty() {
                    details.fold open[held.on.card_row.is_none()] {
                        summary { "Another card of hers" }
                        form.stack.full method="post" action=(at) {
                            input type="hidden" name="seen" value=(seen);
                            div.field {
                                label for=(id("card")) { "Work from this card" }
                                select.box id=(id("card")) name="card" {
                                    @for card in &held.cards {
                                        option value=(card.id) selected[held.on.card_row.as_ref().is_some_and(|c| c.id == card.id)] { (card_words(card, held.today)) }
                                    }
                                }
                            }
                            p.help { "The choices stay; the draft is worked from the other measures. It can be taken back." }
                            p.presses { button.press name="do" value="card" { "Take this card" } }
                        }
                    }
                }
                details.fold {
                    summary { "Another method" }
                    form.stack.full method="post" action=(at) {
                        input type="hidden" name="seen" value=(seen);
                        (method_box(&held.methods, &order.method))
                        p.help { "It is taken as it reads today. Choices that both have stay; the others fall away, and come back when this is taken back." }
                        p.presses { button.press name="do" value="method" { "Draft it by this method" } }
                    }
                }
                form.presses method="post" action=(at) {
                    input type="hidden" name="seen" value=(seen);
                    @if held.on.toile_first() {
                        input type="hidden" name="stage" value="cloth";
                        button.press name="do" value="stage" { "The toile fits: on to the cloth" }
                    } @else {
                        input type="hidden" name="stage" value="toile";
                        button.press.quiet name="do" value="stage" { "Make a toile first" }
                    }
                }
                form.presses method="post" action=(at) {
                    input type="hidden" name="seen" value=(seen);
                    @if held.on.allowed.by_method {
                        input type="hidden" name="by" value="table";
                        button.press.quiet name="do" value="allowances" { "Allow by my table" }
                    } @else if held.on.allowed.laid().is_some() {
                        input type="hidden" name="by" value="method";
                        button.press.quiet name="do" value="allowances" { "Allow as the method says" }
                    }
                    a.press.quiet href="/settings/allowances" { "My table of allowances" }
                }
            }
        }
    }
}

fn notes(held: &Held, may: bool, form: &Sent) -> Markup {
    let text = held.hold("note");
    html! {
        section #notes aria-labelledby="notes-h" {
            h2 #notes-h { "Notes" }
            @if may {
                form.stack.full method="post" action={ "/orders/" (held.on.order.number) } {
                    input type="hidden" name="seen" value=(held.on.order.seen);
                    (Field::new("note", "Notes on this order", form.get("note").map_or(text, String::as_str)).kind(Kind::Text(6)).html())
                    p.presses { button.press name="do" value="note" { "Keep the notes" } }
                }
            } @else if text.is_empty() { p.help { "None." } } @else { p.written { (text) } }
            @if !held.on.client.about.notes.trim().is_empty() { p.help.written { "About her: " (held.on.client.about.notes) } }
            @if !held.on.client.about.figure.trim().is_empty() { p.help.written { "Her figure: " (held.on.client.about.figure) } }
        }
    }
}

fn pictures(held: &Held, form: &Sent, faults: &[(String, String)]) -> Markup {
    let order = held.on.order.number;
    let photos = held.on.client.about.photos;
    let phone = visit::now().phone;
    let fault = |name: &str| {
        faults
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, says)| says.as_str())
    };
    let wrong = ["file", "words", "agreed"]
        .iter()
        .any(|n| fault(n).is_some());
    html! {
        section #pictures aria-labelledby="pictures-h" {
            h2 #pictures-h { "Pictures" }
            @if held.pictures.is_empty() { p.help { "None yet: a sketch, a swatch, a photograph of the fitting." } }
            @if photos == Photos::No && held.pictures.iter().any(|p| !p.consent.is_empty()) {
                p.noteline { "She says no to photographs. Those here that show her were agreed to earlier: ask her whether they may stay, or take them away." }
            }
            div.pictures {
                @for p in &held.pictures {
                    figure.picture {
                        a href={ "/pictures/" (p.id) } { img src={ "/pictures/" (p.id) } alt=(p.words) loading="lazy"; }
                        figcaption.help { (p.words) ", " (day::long(p.made.day())) @if !p.consent.is_empty() { br; (p.consent) } }
                        @if !held.closed() && !phone {
                            details.fold {
                                summary { "Change" span.vh { ": " (p.words) } }
                                form.stack.full method="post" action={ "/orders/" (order) "/pictures/" (p.id) } {
                                    div.field {
                                        label for={ "p-" (p.id) } { "What it shows" }
                                        input.box id={ "p-" (p.id) } name="words" type="text" value=(p.words) autocomplete="off";
                                    }
                                    p.presses {
                                        button.press name="do" value="words" { "Keep the words" }
                                        button.press.quiet name="do" value="drop" { "Take the picture away for good" }
                                    }
                                }
                            }
                        }
                    }
                }
            }
            @if !held.closed() {
                details.fold open[wrong] {
                    summary { "Add a picture" }
                    form.stack.full method="post" enctype="multipart/form-data" action={ "/orders/" (order) "/pictures" } {
                        div.field {
                            label for=(id("file")) { "The picture: JPEG, PNG or WebP, up to 10 MB" }
                            @if let Some(says) = fault("file") { p.fault { (says) } }
                            input.box id=(id("file")) name="file" type="file" accept="image/jpeg,image/png,image/webp" required data-most=(PHOTO);
                        }
                        (Field::new("words", "What it shows", sent(form, "words")).required().fault(fault("words")).html())
                        fieldset.choose {
                            legend { "Who is in it" }
                            label { input type="radio" name="of" value="thing" checked[sent(form, "of") != "her"]; span { "Nobody: a sketch, a swatch, the garment" } }
                            label { input type="radio" name="of" value="her" checked[sent(form, "of") == "her"]; span { "She is" } }
                        }
                        @if photos != Photos::Yes {
                            @if let Some(says) = fault("agreed") { p.fault { (says) } }
                            label.tickline for=(id("agreed")) {
                                input id=(id("agreed")) type="checkbox" name="agreed" value="yes";
                                span {
                                    @if photos == Photos::No { "She said no to photographs, but was asked about this one, and agrees" }
                                    @else { "If she is in it: she was asked, and agrees that it is kept" }
                                }
                            }
                        }
                        p.help { "It is made smaller, and where and when it was taken is left out." }
                        p.presses { button.press { "Keep the picture" } }
                    }
                }
            }
        }
    }
}

fn history(held: &Held, may: bool) -> Markup {
    let newest: Vec<&book::Entry> = held.journal.iter().rev().collect();
    let (first, rest) = newest.split_at(newest.len().min(LINES));
    let line = |e: &&book::Entry| {
        html! {
            li {
                span { (told(&check::told::capital(&e.label))) @if e.undone { ", taken back" } }
                span.lead {}
                span.help { (day::long(e.made.day())) @if e.by != "here" { ", " (e.by) } }
            }
        }
    };
    html! {
        section #history aria-labelledby="history-h" {
            h2 #history-h { "What was done" }
            @if may && (held.on.take_back.is_some() || held.on.put_again.is_some()) {
                form.presses method="post" action={ "/orders/" (held.on.order.number) } {
                    (held.backs.places())
                    @if let Some(label) = &held.on.take_back { button.press name="do" value="back" { span { "Take back: " (told(label)) } } }
                    @if let Some(label) = &held.on.put_again { button.press name="do" value="again" { span { "Put again: " (told(label)) } } }
                }
            }
            @if newest.is_empty() { p.help { "Nothing was changed since it was begun." } }
            ul.leaders.history { @for e in first { (line(e)) } }
            @if !rest.is_empty() {
                details.fold {
                    summary { "Earlier, " (rest.len()) }
                    ul.leaders.history { @for e in rest { (line(e)) } }
                }
            }
        }
    }
}

/// The sign-off that stands, and those before it.
fn signed_off(signed: &Signed) -> Markup {
    html! {
        div { dt { "Signed off" } dd {
            (signed.told())
            @if !signed.known() { br; span.help { "For which draft was not kept." } }
            @for before in signed.earlier() { br; span.help { "Before that: " (before.told()) } }
        } }
    }
}

/// What is another now than when it was signed off.
fn since_signed(held: &Held, may: bool) -> Markup {
    let since = held.signed.as_ref().map(|s| s.since(&held.now));
    let since = since.unwrap_or_default();
    html! {
        @if !since.is_empty() {
            p.noteline #since-signed {
                strong { "Not signed off as it is now. " }
                (since.join(" ")) " What she signed stays as it was."
                @if may { " " a href="#sign" { "Sign it off again" } }
            }
        }
    }
}

/// The form in which she says that she is content, and with what.
fn sign(held: &Held, form: &Sent) -> Markup {
    let now = &held.now;
    let stale = held
        .signed
        .as_ref()
        .is_some_and(|s| !s.since(now).is_empty());
    let today = held.today.to_string();
    let draft = match &now.mark {
        Some(mark) => format!("the draft as it is now, mark {mark}"),
        None => "what was made so far: the draft can’t be drawn as it is".to_owned(),
    };
    let what = form.get("what").map_or("draft", String::as_str);
    let text = |name: &str, usual: &str| form.get(name).map_or(usual, String::as_str).to_owned();
    html! {
        details.fold #sign open[stale || form.contains_key("who")] {
            summary { @if held.signed.is_some() { "She is content with it as it is now: sign off again" } @else { "She is content: sign off" } }
            form.stack.full method="post" action={ "/orders/" (held.on.order.number) } {
                input type="hidden" name="seen" value=(held.on.order.seen);
                input type="hidden" name="mark" value=(now.mark.as_deref().unwrap_or_default());
                @if let Some(quote) = &now.quote { input type="hidden" name="quote" value=(quote.number); }
                (Field::new("who", "Who says so", &text("who", held.on.name())).html())
                (Field::new("on", "On which day", &text("on", &today)).kind(Kind::Day).html())
                @match &now.quote {
                    Some(quote) => {
                        @let quoted = format!("Quote {}, {}", quote.number, quote.total);
                        fieldset.choose #f-what {
                            legend { "What is signed off" }
                            label { input type="radio" name="what" value="draft" checked[what == "draft"]; span { (check::told::capital(&draft)) } }
                            label { input type="radio" name="what" value="quote" checked[what == "quote"]; span { (quoted) } }
                            label { input type="radio" name="what" value="both" checked[what == "both"]; span { "Both" } }
                        }
                    }
                    None => p.help #f-what { "What is signed off: " (draft) "." },
                }
                p.help { "Should it be changed later, that is said beside her sign-off. What she signed is kept as it was." }
                p.presses { button.press name="do" value="sign" { "Write it down" } }
            }
        }
    }
}

fn more(held: &Held, may: bool, form: &Sent) -> Markup {
    let order = held.on.order.number;
    html! {
        section.noprint aria-labelledby="more-h" {
            h2 #more-h { "When it is done, and afterwards" }
            @if may {
                (sign(held, form))
                @if held.signed.is_some() {
                    form method="post" action={ "/orders/" (order) } {
                        input type="hidden" name="seen" value=(held.on.order.seen);
                        button class="press quiet" name="do" value="unsign" { "Take the sign-off off" }
                    }
                }
            }
            @if !visit::now().phone {
                p.lines { a href={ "/orders/" (order) "/again" } { "Make it again" } }
                p.lines { a href={ "/orders/" (order) "/party" } { @match &held.party { Some((name, _)) => { "Everyone of " (name) }, None => "The same design for others: a party" } } }
            }
            @if let Some((name, others)) = &held.party {
                h3 { (name) }
                ul.leaders {
                    @for line in others {
                        li { a href={ "/orders/" (line.order.number) } { (line.order.number) ", " (line.name) } span.lead {} span.help { (called(&line.order)) } }
                    }
                }
            }
            @if !held.after.is_empty() {
                h3 { "Made again" }
                ul.leaders {
                    @for line in &held.after {
                        li { a href={ "/orders/" (line.order.number) } { "Order " (line.order.number) } span.lead {} span.help { (day::long(line.order.made.day())) } }
                    }
                }
            }
            @if may {
                (press(held, "close", "Close the order", "press"))
                p.help { "Closed, it stays as it is: looked at and printed as before, and opened again if need be. What was done to it can then no longer be taken back." }
            }
        }
    }
}
