//! The small drawing of where the tape goes, as a picture of a page.

use maud::{Markup, html};
use sheet::figure::{Figure, Look, Part};

/// The drawing of a measure, with its words for those who can't see it; `None` for a measure of the
/// drafter's own. It holds no ids, so that any number of them stand on a page.
pub(crate) fn figure(measure: &str) -> Option<Markup> {
    sheet::figure::figure(measure).map(|f| picture(&f))
}

fn picture(figure: &Figure) -> Markup {
    let view = format!("0 0 {:.0} {:.1}", figure.width, figure.height);
    html! {
        svg.body viewBox=(view) role="img" focusable="false" {
            title { (figure.says) }
            @for part in &figure.parts {
                path class=(class(part.look)) d=(path(part)) {}
            }
            @for letter in &figure.letters {
                @for (i, line) in letter.text.split('|').enumerate() {
                    text.letter x=(format!("{:.1}", letter.at.x)) y=(format!("{:.1}", letter.at.y + down(i))) { (line) }
                }
            }
        }
    }
}

/// How far the next line of a name lies below its first.
fn down(line: usize) -> f64 {
    u32::try_from(line).map_or(0.0, f64::from) * Figure::LETTER
}

const fn class(look: Look) -> &'static str {
    match look {
        Look::Flesh => "flesh",
        Look::Skin => "skin",
        Look::Thin => "skin thin",
        Look::Tied => "tied",
        Look::Far => "taken far",
        Look::Level => "taken",
        Look::Band => "tapeband",
        Look::Tick => "tapetick",
        Look::End => "tapeend",
        Look::Leader => "leader",
    }
}

/// The chain as a path: the first point, then steps from point to point.
fn path(part: &Part) -> String {
    // Tenths of a unit are finer than any screen shows; whole tenths keep the steps exact.
    let tenths = |x: f64| (x * 10.0).round() / 10.0;
    let mut out = String::new();
    let mut last = (0.0, 0.0);
    for (i, p) in part.chain.iter().enumerate() {
        let here = (tenths(p.x), tenths(p.y));
        if i == 0 {
            out.push_str(&format!("M{} {}", here.0, here.1));
        } else {
            let step = (tenths(here.0 - last.0), tenths(here.1 - last.1));
            out.push_str(&format!("l{} {}", step.0, step.1));
        }
        last = here;
    }
    if part.closed {
        out.push('Z');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a measure without a drawing, a drawing without words, a style that the pages' rules
    /// forbid, an id that stands twice on a page, and a drawing too heavy for a phone.
    #[test]
    fn every_measure_has_a_picture_with_words_and_without_styles() {
        for measure in measure::names::all() {
            let html = figure(measure.name)
                .unwrap_or_else(|| panic!("{}", measure.name))
                .into_string();
            assert!(html.contains("<title>"), "{}", measure.name);
            assert!(html.contains(measure.definition), "{}", measure.name);
            assert!(!html.contains("style=") && !html.contains(" id="));
            assert!(!html.contains("NaN") && !html.contains("inf"));
            assert!(
                html.len() < 24_000,
                "{}: {} bytes",
                measure.name,
                html.len()
            );
        }
        assert!(figure("left elbow fold").is_none());
    }
}
