//! The page of a card: what is taken, the measure in the hand, what is still to take.

use book::Reading;
use maud::{Markup, html};
use measure::fraction::{self, Shown, Unit, show, show_number};
use measure::predict::{Predicted, predict};
use measure::questions::{Question, Weight};
use measure::{Length, names};

use super::{Counted, Held, counted, echo, head, save, slug, wanted};
use crate::web::clients::{Sent, minor, sent, spoken};
use crate::web::figure::figure;
use crate::web::layout::{Frame, Here, OrderHead, Stage, page as framed};
use crate::web::parts::day;
use crate::web::parts::number::{n, told};
use crate::web::parts::said::said;
use crate::web::parts::slip;

/// A change of more than this since the last card is told.
const CHANGE_IN: f64 = 1.0;

/// What she typed and what could not be read of it, by reading.
pub(super) type Refused<'a> = (&'a Sent, &'a [(u8, String)]);

/// A measure as it heads its place: a capital at its front.
pub(super) fn label(measure: &str) -> String {
    let mut letters = measure.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

pub(super) fn page(held: &Held, asked: &Sent, refused: Option<Refused<'_>>) -> Markup {
    let named = asked.get("m").and_then(|m| held.named(m));
    // A finished card is looked at; a measure of it is taken up again by pressing it.
    let next = (!held.card.finished).then(|| held.next()).flatten();
    let open = named.or_else(|| next.map(str::to_owned));
    let questions = held.questions();
    let trusted = held.trusted(&questions);
    let name = &held.client.about.name;
    let frame = Frame {
        title: format!("Card of {name}"),
        here: Here::Clients,
        order: held.order.as_ref().map(|o| OrderHead {
            number: o.number,
            stage: Stage::Card,
        }),
        demo: held.client.demo,
        scripts: &["card.js"],
        keys: &[
            (
                "Enter",
                "in a reading: keep it and go on to the next measure",
            ),
            ("Arrows", "in the inch: an eighth more, an eighth less"),
        ],
        ..Frame::default()
    };
    framed(
        &frame,
        html! {
            div.cardpage {
                div.top {
                    h1 { (name) (if name.ends_with('s') { "\u{2019}" } else { "\u{2019}s" }) " card" }
                    p.small {
                        (told(&head::sentence(&held.card))) " "
                        a.noprint href={ "/clients/" (held.client.number) "/cards/" (held.card.number) "/head" } { "Change" }
                    }
                    (said(asked.get("said").map(String::as_str)))
                }
                (minor(&held.client, held.today))
                (old(held))
                (whole_card(held, &questions))
                div.linen {
                    (taken(held, open.as_deref()))
                    @match &open {
                        Some(measure) => (in_hand(held, measure, (&questions, &trusted), refused)),
                        None => (complete(held)),
                    }
                    (still(held, &trusted, open.as_deref()))
                    (others(held, open.as_deref()))
                    (waiting(held, &questions, open.as_deref()))
                    @if open.is_some() { (bar(held)) }
                }
                (printed(held))
                nav.noprint.onwards aria-label="Of this card" {
                    a href={ "/clients/" (held.client.number) } { "All cards and orders of " (name) }
                    a href={ "/clients/" (held.client.number) "/cards/" (held.card.number) "/split" } { "This card is someone else\u{2019}s" }
                    @match &held.order {
                        Some(order) => { a href={ "/cards/blank?order=" (order.number) } { "The same on paper, to fill in" } },
                        None => { a href="/cards/blank" { "A card on paper, to fill in" } },
                    }
                }
            }
        },
    )
}

/// Says when the card has grown old, and when the one before it was taken.
fn old(held: &Held) -> Markup {
    html! {
        @if let Some(old) = day::old(held.card.head.taken, held.today) {
            p.noteline {
                "This card is " (old) ". Bodies change: measure her again before cloth is cut by it. "
                a.noprint href={ "/clients/" (held.client.number) "/cards/new" } { "Begin a new card" }
            }
        }
    }
}

/// A question that is about all measures at once stands on top.
fn whole_card(held: &Held, questions: &[(String, Question)]) -> Markup {
    html! {
        @for (_, q) in questions.iter().filter(|(_, q)| names::find(&q.measure).is_none() && q.measure == "unit") {
            div.ask-slip role="group" {
                p.q { (mark_ask(q.weight)) span { (told(&q.says)) } }
                p.presses { a.press href={ "/clients/" (held.client.number) "/cards/" (held.card.number) "/head#f-taken" } { "Look at the unit of the card" } }
            }
        }
    }
}

fn mark_ask(weight: Weight) -> Markup {
    let (class, weight) = match weight {
        Weight::Ask => ("ask", slip::Weight::Ask),
        Weight::Note => ("note", slip::Weight::Note),
    };
    html! {
        svg.slipmark.mark.(class) viewBox="0 0 28 28" aria-hidden="true" focusable="false" {
            (slip::shape(weight, 14.0, 14.0, 12.6))
            text x="14" y="19" text-anchor="middle" { "?" }
        }
    }
}

fn how_shown(held: &Held) -> Shown {
    Shown::usual(held.unit())
}

/// What counts, as it is shown on the card.
fn value(held: &Held, counts: Counted) -> String {
    match counts.length() {
        Some(length) => show_number(length, how_shown(held)),
        None => format!("{}\u{b0}", (counts.value * 10.0).round() / 10.0),
    }
}

fn counted_words(many: usize) -> String {
    const WORDS: [&str; 13] = [
        "None", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten",
        "Eleven", "Twelve",
    ];
    WORDS
        .get(many)
        .map_or_else(|| many.to_string(), |w| (*w).to_owned())
}

fn link(held: &Held, measure: &str, open: Option<&str>) -> Markup {
    let now = (open == Some(measure)).then_some("true");
    html! { a href={ (held.at.address()) "?m=" (slug(measure)) "" } aria-current=[now] { (label(measure)) } }
}

fn taken(held: &Held, open: Option<&str>) -> Markup {
    let all: Vec<(&str, Counted)> = held
        .wanted
        .iter()
        .filter_map(|w| Some((w.name.as_str(), held.counts(&w.name)?)))
        .collect();
    let few: Vec<String> = all
        .iter()
        .take(5)
        .map(|(name, c)| format!("{name} {}", value(held, *c)))
        .collect();
    let changed = all.iter().any(|(name, c)| change(held, name, *c).is_some());
    html! {
        @if !all.is_empty() {
            details.fold.taken open[open.is_none() || changed] {
                summary { span { (counted_words(all.len())) " taken: " (told(&few.join(", "))) @if all.len() > 5 { " \u{2026}" } } }
                ul.leaders {
                    @for (name, counts) in &all {
                        li {
                            (link(held, name, open))
                            @if let Some(words) = change(held, name, *counts) { span.changed { (told(&words)) } }
                            @if !counts.agreed { span.changed { "two readings do not agree" } }
                            span.lead {}
                            span.n { (n(&value(held, *counts))) }
                        }
                    }
                }
            }
        }
    }
}

/// How much it has changed since the last card, where that is more than an inch.
fn change(held: &Held, measure: &str, now: Counted) -> Option<String> {
    let (card, readings) = held.before.as_ref()?;
    let was = counted(readings, measure)?.length()?;
    let by = now.length()? - was;
    if by.abs().in_inches() <= CHANGE_IN + 1e-9 {
        return None;
    }
    let word = if by > Length::ZERO { "more" } else { "less" };
    Some(format!(
        "{} {word} than on {}",
        show(by.abs(), how_shown(held)),
        spoken(card.head.taken)
    ))
}

/// The measure in the hand.
fn in_hand(
    held: &Held,
    measure: &str,
    (questions, trusted): (&[(String, Question)], &measure::Card),
    refused: Option<Refused<'_>>,
) -> Markup {
    let entry = held.wanted.iter().find(|w| w.name == measure);
    let how = wanted::how(entry, measure);
    let drawing = figure(measure);
    let angle = super::is_angle(measure);
    let mine: Vec<&(String, Question)> = questions
        .iter()
        .filter(|(_, q)| q.measure == measure)
        .collect();
    let disagree = held.counts(measure).is_some_and(|c| !c.agreed);
    let third = disagree || !held.text(measure, 3).is_empty();
    let unit = held.unit();
    let class = if drawing.is_some() {
        "open"
    } else {
        "open plain"
    };
    html! {
        form #open class=(class) method="post" action=(held.at.address()) aria-labelledby="open-h" data-measure=(measure) data-unit=(unit.sign()) {
            // Enter presses the first button of a form: it keeps and goes on.
            button.vh name="do" value="next" tabindex="-1" aria-hidden="true" { "Keep it" }
            input type="hidden" name="m" value=(measure);
            input type="hidden" name="seen" value=(held.seen);
            @if let Some(drawing) = drawing { div.figure { (drawing) } }
            div.how {
                h2 #open-h { (label(measure)) }
                p.help #open-help { (told(&how)) @if entry.is_some_and(|e| e.may_miss) { " The method draws without it too." } }
            }
            div.reading.three[third] {
                @for turn in 1..=3_u8 {
                    @if turn < 3 || third { (reading_box(held, measure, turn, refused)) }
                }
                p.echo role="status" { (told_now(held, measure)) }
            }
            @if !angle { (part(unit)) }
            @if !mine.is_empty() { div.asks { @for (key, question) in mine { (ask(held, key, question)) } } }
            div.under {
                (likely_words(held, trusted, measure))
                @if let Some(words) = held.counts(measure).and_then(|c| change(held, measure, c)) { p.help { (told(&words)) "." } }
                (history(held, measure))
            }
        }
    }
}

fn reading_box(held: &Held, measure: &str, turn: u8, refused: Option<Refused<'_>>) -> Markup {
    let name = format!("r{turn}");
    let kept = held.text(measure, turn);
    let typed = refused.map_or(kept.as_str(), |(form, _)| sent(form, &name));
    let fault = refused.and_then(|(_, faults)| {
        faults
            .iter()
            .find(|(t, _)| *t == turn)
            .map(|(_, says)| says.as_str())
    });
    let words = match turn {
        1 => "First reading",
        2 => "Second reading",
        _ => "Third reading",
    };
    let fault_id = format!("{name}-fault");
    let told_by = if fault.is_some() {
        format!("open-help {fault_id}")
    } else {
        "open-help".to_owned()
    };
    let here = fault.is_some() || (refused.is_none() && turn == first_empty(held, measure));
    html! {
        div.field {
            label for=(name) { (words) @if turn == 1 { span.vh { " of " (measure) } } }
            input.box id=(name) name=(name) type="text" inputmode="text" value=(typed) autocomplete="off" autofocus[here]
                aria-describedby=(told_by) aria-invalid=[fault.map(|_| "true")] data-reading=(turn);
        }
        @if let Some(fault) = fault { p.fault id=(fault_id) role="alert" { (told(fault)) } }
    }
}

/// The reading to write next.
fn first_empty(held: &Held, measure: &str) -> u8 {
    let third = held.counts(measure).is_some_and(|c| !c.agreed);
    (1..=if third { 3 } else { 2 })
        .find(|turn| held.text(measure, *turn).is_empty())
        .unwrap_or(1)
}

/// What counts now, in both units.
fn told_now(held: &Held, measure: &str) -> Markup {
    let Some(counts) = held.counts(measure) else {
        return html! {};
    };
    let Some((one, other)) = echo::both(counts.value, held.unit()).filter(|_| !counts.angle) else {
        return html! { (value(held, counts)) };
    };
    html! {
        @if counts.many > 2 && counts.agreed { "The two that agree count, as their mean: " }
        @else if counts.many > 1 && counts.agreed { "Their mean counts: " }
        @if !counts.agreed { "They do not agree. The mean, " }
        (told(&one)) ", that is " (told(&other))
        @if !counts.agreed { ", counts until a third reading decides." }
    }
}

/// The marks of one inch, or of one centimetre.
fn part(unit: Unit) -> Markup {
    match unit {
        Unit::Inch => html! {
            fieldset.inch {
                legend.vh { "Eighths to add to the whole inches" }
                label { input type="radio" name="part" value="" data-part="" checked; span aria-hidden="true" { "0" } span.vh { "no eighths" } }
                @for eighth in 1..=7 {
                    @let text = eighth.to_string();
                    @let fraction = echo::eighth(&text).unwrap_or_default();
                    label { input type="radio" name="part" value=(text) data-part=(fraction); (n(fraction)) }
                }
            }
        },
        Unit::Cm => html! {
            fieldset.inch.tenths {
                legend.vh { "Millimetres to add to the whole centimetres" }
                label { input type="radio" name="part" value="" data-part="" checked; span aria-hidden="true" { "0" } span.vh { "no millimetres" } }
                @for tenth in 1..=9 {
                    label { input type="radio" name="part" value=(tenth) data-part=(tenth); span { "." (tenth) } }
                }
            }
        },
    }
}

/// A question at its field, with its three answers.
fn ask(held: &Held, key: &str, question: &Question) -> Markup {
    let likely = save::likely(held, question);
    let id = format!("ask-{}", question.rule.replace('.', "-"));
    let kept = held.counts(&question.measure).map(|c| value(held, c));
    html! {
        div.ask-slip role="group" aria-labelledby=(id) {
            p.q id=(id) { (mark_ask(question.weight)) span { (told(&label(&question.says))) } }
            // The button alone sends the key, so that several questions stand in one form.
            p.presses {
                @if let Some(likely) = &likely {
                    button.press.main formaction=(answer(held, key)) name="do" value="take" { "It is " (n(likely)) }
                }
                @if question.rule != "card.readings" {
                    button.press formaction=(answer(held, key)) name="do" value="right" {
                        @match &kept {
                            Some(kept) => { (n(kept)) " is right" },
                            None if question.measure == "heel" => "It was taken barefoot",
                            None => "That is right",
                        }
                    }
                }
                @if save::put_off(held, question) {
                    span.help { "You put this off." }
                } @else {
                    button.press formaction=(answer(held, key)) name="do" value="later" { "Ask me again later" }
                }
            }
        }
    }
}

/// Where an answer is sent: the key of its question stands in the address, which the card reads back.
fn answer(held: &Held, key: &str) -> String {
    format!("{}?q={}", held.at.address(), mark_of(key))
}

/// A short mark of a question's key.
pub(super) fn mark_of(key: &str) -> String {
    use sha2::{Digest as _, Sha256};
    let hash = Sha256::digest(key.as_bytes());
    hash.iter().take(8).map(|b| format!("{b:02x}")).collect()
}

/// What it is likely to be, for a measure that is not taken; never written by itself.
fn likely(held: &Held, trusted: &measure::Card, measure: &str) -> Option<Predicted> {
    if held.counts(measure).is_some() {
        return None;
    }
    predict(trusted, measure).filter(|p| !p.from.is_empty())
}

fn likely_words(held: &Held, trusted: &measure::Card, measure: &str) -> Markup {
    let how = how_shown(held);
    html! {
        @if let Some(p) = likely(held, trusted, measure) {
            p.help {
                "From her " (listed(&p.from)) " it is likely " (told(&show(p.value, how)))
                "; nine women in ten have " (told(&show_number(p.low, how))) " to " (told(&show(p.high, how)))
                ". It counts only when you write it."
            }
        }
    }
}

/// Names in a sentence: "hip, waist and knee".
fn listed(names: &[String]) -> String {
    match names {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        all => all.join(""),
    }
}

/// What stood here before, the newest first.
fn history(held: &Held, measure: &str) -> Markup {
    let rows: Vec<&Reading> = held
        .history
        .iter()
        .filter(|r| r.measure == measure)
        .collect();
    let now = (1..=3)
        .filter(|t| !held.text(measure, *t).is_empty())
        .count();
    html! {
        @if rows.len() > now {
            details.fold {
                summary { "What was written here before" }
                ul {
                    @for r in rows.iter().rev() {
                        li {
                            (match r.turn { 1 => "First", 2 => "Second", _ => "Third" }) " reading: "
                            @if r.text.is_empty() { "taken off" } @else { (told(&r.text)) @if !super::is_angle(measure) && fraction::unit_said(&r.text).is_none() { " " (r.unit) } }
                            span.help { ", " (spoken(r.made.day())) @if r.by != "here" { ", on " (r.by) } }
                        }
                    }
                }
            }
        }
    }
}

/// Everything that is asked for is on the card.
fn complete(held: &Held) -> Markup {
    html! {
        section.under aria-labelledby="all-h" {
            h2 #all-h { @if held.next().is_none() { "Everything that is asked for is taken." } @else { "The card is finished." } }
            form method="post" action=(held.at.address()) {
                p.presses {
                    @if let Some(order) = &held.order { a.press.main href={ "/orders/" (order.number) "/draft" } { "On to the draft" } }
                    @if held.card.finished {
                        button.press name="do" value="unfinish" { "Take it up again" }
                    } @else {
                        button.press name="do" value="finish" { "The card is finished" }
                    }
                }
            }
        }
    }
}

fn still(held: &Held, trusted: &measure::Card, open: Option<&str>) -> Markup {
    let all: Vec<&str> = held
        .wanted
        .iter()
        .map(|w| w.name.as_str())
        .filter(|name| held.counts(name).is_none() && Some(*name) != open)
        .collect();
    html! {
        @if !all.is_empty() {
            h2.still { "Still to take" }
            ul.leaders.noprint {
                @for name in all { li { (link(held, name, open)) span.lead {} span.notyet { (not_yet(held, trusted, name)) } } }
            }
            @if !held.card.finished && !held.readings.is_empty() {
                form.noprint method="post" action=(held.at.address()) {
                    p.presses { button.press name="do" value="finish" { "That is all: the card is finished" } }
                }
            }
        }
    }
}

/// What a line says of a measure that is not taken.
fn not_yet(held: &Held, trusted: &measure::Card, measure: &str) -> Markup {
    match likely(held, trusted, measure) {
        Some(p) => html! { "likely " (told(&show(p.value, how_shown(held)))) },
        None => html! { "not taken yet" },
    }
}

/// Everything else that can stand on a card: what stands there, then what may be added.
fn others(held: &Held, open: Option<&str>) -> Markup {
    let on = held.others();
    let rest: Vec<&str> = names::all()
        .iter()
        .map(|m| m.name)
        .filter(|name| {
            !held.wanted.iter().any(|w| w.name == *name) && !on.iter().any(|o| o == name)
        })
        .collect();
    html! {
        @if !on.is_empty() {
            h2.still { "Also on the card" }
            ul.leaders.noprint {
                @for name in &on {
                    li {
                        (link(held, name, open))
                        span.lead {}
                        @if let Some(counts) = held.counts(name) { span.n { (n(&value(held, counts))) } }
                    }
                }
            }
        }
        @if !rest.is_empty() {
            details.fold {
                summary { "Another measure" }
                ul.leaders { @for name in rest { li { (link(held, name, open)) } } }
            }
        }
    }
}

/// Questions about other measures than the one in the hand.
fn waiting(held: &Held, questions: &[(String, Question)], open: Option<&str>) -> Markup {
    let all: Vec<&Question> = questions
        .iter()
        .map(|(_, q)| q)
        .filter(|q| Some(q.measure.as_str()) != open && q.measure != "unit")
        .collect();
    html! {
        @if !all.is_empty() {
            details.fold open[all.iter().any(|q| q.weight == Weight::Ask)] {
                summary { (counted_words(all.len())) @if all.len() == 1 { " question" } @else { " questions" } " of the card" }
                ul {
                    @for q in all {
                        li {
                            span.weight.(if q.weight == Weight::Ask { "ask" } else { "note" }) { (if q.weight == Weight::Ask { "Ask" } else { "Note" }) } " "
                            a href={ (held.at.address()) "?m=" (slug(&q.measure)) "" } { (told(&label(&q.says))) }
                        }
                    }
                }
            }
        }
    }
}

/// The bar at the foot: keep it and go on.
fn bar(held: &Held) -> Markup {
    let done = held
        .wanted
        .iter()
        .filter(|w| held.counts(&w.name).is_some())
        .count();
    html! {
        div.bar {
            button.press.main form="open" name="do" value="next" { "Keep it, next measure" }
            button.press.quiet form="open" name="do" value="stay" { "Keep it, stay here" }
            span.help { (counted_words(done)) " of " (held.wanted.len()) " taken. Kept as you go; you can stop here." }
        }
    }
}

/// The whole card as a table, for paper.
fn printed(held: &Held) -> Markup {
    let names: Vec<String> = held
        .wanted
        .iter()
        .map(|w| w.name.clone())
        .chain(held.others())
        .filter(|name| held.counts(name).is_some())
        .collect();
    html! {
        div.printonly {
            table {
                thead { tr { th scope="col" { "Measure" } th.r scope="col" { (held.unit().sign()) } th.r scope="col" { "as written" } } }
                tbody {
                    @for name in names {
                        tr {
                            th scope="row" { (label(&name)) }
                            td.r { @if let Some(c) = held.counts(&name) { (n(&value(held, c))) } }
                            td.r { (told(&(1..=3).map(|t| held.text(&name, t)).filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", "))) }
                        }
                    }
                }
            }
            @if !held.card.head.notes.trim().is_empty() { p.kept { (held.card.head.notes) } }
        }
    }
}
