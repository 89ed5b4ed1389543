//! The choice in the hand: its box, its slide, or its words.

use draft::worked::{ChoiceUsed, Quantity};
use maud::{Markup, html};
use measure::fraction::{Shown, Unit, show, show_number};

use super::super::backs::Backs;
use super::super::parts::number::{n, told};
use super::super::parts::quoted::quoted;

/// What a choice is counted in on its slide: where it begins and ends, its step, where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Slide {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) step: f64,
    pub(crate) at: f64,
}

/// How a value is counted on a slide; nothing for words.
fn counted(value: &Quantity, shown: Shown) -> Option<f64> {
    match value {
        Quantity::Length(length) => Some(shown.unit.count(*length)),
        Quantity::Angle(angle) => Some(angle.in_degrees()),
        Quantity::Number(number) => Some(*number),
        Quantity::Share(share) => Some(share * 100.0),
        Quantity::Area(_) | Quantity::YesNo(_) | Quantity::Word(_) => None,
    }
}

/// The step of the slide, the small one of the buttons: an eighth, a millimetre, one.
fn step(value: &Quantity, shown: Shown) -> f64 {
    match (value, shown.unit) {
        (Quantity::Length(_), Unit::Inch) => 0.125,
        (Quantity::Length(_), Unit::Cm) => 0.1,
        _ => 1.0,
    }
}

/// The slide of a choice that has a range.
pub(crate) fn slide(choice: &ChoiceUsed, shown: Shown) -> Option<Slide> {
    let (low, high) = choice.range.as_ref()?;
    let step = step(&choice.value, shown);
    let at = counted(&choice.value, shown)?;
    // Whole steps inside the range, so that each place of the slide is one that may be set.
    let from = (counted(low, shown)? / step - 1e-6).ceil() * step;
    let to = (counted(high, shown)? / step + 1e-6).floor() * step;
    (to > from).then_some(Slide { from, to, step, at })
}

/// A value as she would type it into its box.
pub(crate) fn typed(value: &Quantity, shown: Shown) -> String {
    match value {
        Quantity::Length(length) => show_number(*length, shown),
        other => other.shown(shown),
    }
}

/// A value with its unit, as it is kept.
pub(crate) fn kept(value: &Quantity, shown: Shown) -> String {
    match value {
        Quantity::Length(length) => show(*length, shown),
        other => other.shown(shown),
    }
}

/// A step more or less than a value, within its range, as it is kept.
pub(crate) fn stepped(choice: &ChoiceUsed, shown: Shown, more: bool) -> Option<String> {
    let slide = slide(choice, shown);
    let step = step(&choice.value, shown);
    let at = counted(&choice.value, shown)?;
    let whole = (at / step).round() * step;
    let next = if more { whole + step } else { whole - step };
    let next = slide.map_or(next, |s| next.clamp(s.from, s.to));
    written(&choice.value, next, shown)
}

/// What a place on the slide is, as it is kept.
pub(crate) fn written(kind: &Quantity, count: f64, shown: Shown) -> Option<String> {
    if !count.is_finite() {
        return None;
    }
    Some(match kind {
        Quantity::Length(_) => show(shown.unit.of(count)?, shown),
        Quantity::Angle(_) => format!("{}°", super::super::drawing::number(count)),
        Quantity::Number(_) => super::super::drawing::number(count),
        Quantity::Share(_) => format!("{} %", super::super::drawing::number(count)),
        Quantity::Area(_) | Quantity::YesNo(_) | Quantity::Word(_) => return None,
    })
}

/// The kind of a value, in a word.
const fn kind(value: &Quantity) -> &'static str {
    match value {
        Quantity::Length(_) => "length",
        Quantity::Share(_) => "share",
        Quantity::Angle(_) => "angle",
        Quantity::Number(_) | Quantity::Area(_) => "number",
        Quantity::YesNo(_) | Quantity::Word(_) => "word",
    }
}

/// What stands in the box while it moves, as it would be kept: the page says of what kind it is, so that
/// nothing need be drawn to know it.
pub(crate) fn moving(of_kind: &str, typed: &str, shown: Shown) -> String {
    let like = match of_kind {
        "length" => Quantity::Length(measure::Length::ZERO),
        "share" => Quantity::Share(0.0),
        "angle" => Quantity::Angle(measure::Angle::degrees(0.0)),
        _ => Quantity::Number(0.0),
    };
    understood(&like, typed, shown)
}

/// What she typed, as it is kept: a bare number gets the unit of the page.
pub(crate) fn understood(kind: &Quantity, typed: &str, shown: Shown) -> String {
    let typed = typed.trim();
    let bare = !typed.is_empty()
        && typed.chars().all(|c| {
            c.is_ascii_digit()
                || matches!(
                    c,
                    ' ' | '/' | '.' | ',' | '-' | '+' | '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞'
                )
        });
    match kind {
        Quantity::Length(_) if bare => format!("{typed} {}", shown.unit.sign()),
        Quantity::Share(_) if bare => format!("{typed} %"),
        Quantity::Angle(_) if bare => format!("{typed}°"),
        _ => typed.to_owned(),
    }
}

/// The hand with a choice in it.
pub(crate) fn hand(
    choice: &ChoiceUsed,
    shown: Shown,
    backs: &Backs,
    refused: Option<(&str, &str)>,
) -> Markup {
    let slide = slide(choice, shown);
    let unit = match choice.value {
        Quantity::Length(_) => match shown.unit {
            Unit::Inch => ", in inches",
            Unit::Cm => ", in centimetres",
        },
        _ => "",
    };
    html! {
        div.hand #hand role="group" aria-label="The choice in your hand" {
            input type="hidden" name="choice" value=(choice.name);
            (was(choice, shown, refused.map(|(_, typed)| typed)))
            input type="hidden" name="kind" value=(kind(&choice.value));
            p.what {
                b { (check::told::capital(&choice.label)) }
                @if let Some((says, _)) = refused { span.fault #hand-fault role="alert" { (told(&quoted(says))) } }
                @else if let Some(help) = &choice.help { span.help.why #hand-help { (help) } }
            }
            @match &choice.value {
                Quantity::YesNo(on) => {
                    (words(&[("yes", "Yes"), ("no", "No")], if *on { "yes" } else { "no" }))
                }
                Quantity::Word(word) => {
                    @let all: Vec<(&str, &str)> = choice.words.iter().map(|w| (w.as_str(), w.as_str())).collect();
                    (words(&all, word))
                }
                _ => {
                    div.stepper {
                        button.press name="do" value="less" aria-label="A little less" { "−" }
                        label.vh for="hand-box" { (check::told::capital(&choice.label)) (unit) }
                        @match refused {
                            Some((_, typed)) => input.box #hand-box name="value" type="text" inputmode="text" value=(typed)
                                autocomplete="off" aria-invalid="true" aria-describedby="hand-fault" data-focus;,
                            None => (boxed(choice, shown)),
                        }
                        button.press name="do" value="more" aria-label="A little more" { "+" }
                    }
                    @if let Some(s) = slide {
                        div.run {
                            label.vh for="hand-slide" { (check::told::capital(&choice.label)) ", slide" }
                            (slid(choice, shown))
                            p.scale aria-hidden="true" {
                                @for mark in scale(s) { span { (n(&mark)) } }
                            }
                        }
                    }
                }
            }
            (self::backs(choice, shown, backs))
        }
    }
}

/// What stands in the box and where the slide is, as the page has them: what comes back is held against it.
pub(crate) fn was(choice: &ChoiceUsed, shown: Shown, refused: Option<&str>) -> Markup {
    let stood = typed(&choice.value, shown);
    html! {
        input #hand-was type="hidden" name="was" value=(refused.unwrap_or(&stood));
        @if let Some(s) = slide(choice, shown) { input #hand-at type="hidden" name="at" value=(s.at); }
    }
}

/// The box of the hand.
pub(crate) fn boxed(choice: &ChoiceUsed, shown: Shown) -> Markup {
    html! {
        input.box #hand-box name="value" type="text" inputmode="text" value=(typed(&choice.value, shown))
            autocomplete="off" aria-describedby=[choice.help.as_ref().map(|_| "hand-help")];
    }
}

/// The slide of the hand.
pub(crate) fn slid(choice: &ChoiceUsed, shown: Shown) -> Markup {
    html! {
        @if let Some(s) = slide(choice, shown) {
            input.slide #hand-slide name="slide" type="range" min=(s.from) max=(s.to) step=(s.step) value=(s.at)
                aria-valuetext=(kept(&choice.value, shown));
        }
    }
}

/// What can be done with the choice in the hand, and with what was done last.
pub(crate) fn backs(choice: &ChoiceUsed, shown: Shown, backs: &Backs) -> Markup {
    let usual = kept(&choice.usual, shown);
    html! {
        div.presses.back #backs {
            // Before what is pressed: the style counts from the end.
            (backs.places())
            button.press.draw name="do" value="draw" { "Draw it again" }
            @if choice.set { button.press.quiet name="do" value="usual" { "As the method has it: " (n(&usual)) } }
            (backs.buttons())
        }
    }
}

/// A handful of words to choose one from.
fn words(all: &[(&str, &str)], now: &str) -> Markup {
    html! {
        fieldset.pick {
            legend.vh { "One of these" }
            @for (value, word) in all {
                label {
                    input type="radio" name="value" value=(value) checked[*value == now];
                    span { (word) }
                }
            }
        }
    }
}

/// At most five figures under a slide.
fn scale(slide: Slide) -> Vec<String> {
    let parts = [4.0, 3.0, 2.0]
        .into_iter()
        .find(|p| ((slide.to - slide.from) / p).fract().abs() < 1e-6)
        .unwrap_or(1.0);
    let mut out = Vec::new();
    let mut i = 0.0;
    while i <= parts {
        let at = slide.from + (slide.to - slide.from) * i / parts;
        out.push(super::super::drawing::number(
            (at * 1000.0).round() / 1000.0,
        ));
        i += 1.0;
    }
    out
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;
    use measure::Length;

    fn tightening(inches: f64) -> ChoiceUsed {
        let length = |v: f64| Quantity::Length(Length::inches(v));
        ChoiceUsed {
            name: "tightening".into(),
            label: "tightening".into(),
            help: None,
            value: length(inches),
            usual: length(2.5),
            range: Some((length(0.03), length(4.0))),
            words: Vec::new(),
            offered: true,
            set: true,
        }
    }

    #[test]
    fn the_slide_holds_only_places_that_may_be_set() {
        let slide = slide(&tightening(2.5), Shown::inches()).unwrap();
        assert!((slide.from - 0.125).abs() < 1e-9 && (slide.to - 4.0).abs() < 1e-9);
    }

    #[test]
    fn an_eighth_more_stays_in_the_range_and_is_kept_with_its_unit() {
        let more = |v, up| stepped(&tightening(v), Shown::inches(), up).unwrap();
        assert_eq!(more(2.5, true), "2 5/8 in");
        assert_eq!(more(4.0, true), "4 in");
        assert_eq!(more(0.125, false), "1/8 in");
    }

    #[test]
    fn a_bare_number_is_in_the_unit_of_the_page_and_any_other_text_is_left_alone() {
        let kind = Quantity::Length(Length::ZERO);
        assert_eq!(understood(&kind, " 2 3/8", Shown::inches()), "2 3/8 in");
        assert_eq!(understood(&kind, "6 cm", Shown::inches()), "6 cm");
        assert_eq!(understood(&Quantity::Share(0.0), "40", Shown::cm()), "40 %");
    }
}
