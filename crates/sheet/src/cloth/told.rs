//! What is said round the cloth: whose it is at the head, what to buy beside it, and sentences at the
//! foot.

use measure::{Length, Point};

use super::lay::{ClothFold, ClothLay};
use super::{BESIDE, EDGE, FOOT, HEAD, LEAD, TEXT, TOP};
use crate::drawing::{Layer, Pen, Shape};
use crate::face::{Span, paragraph, set, shortened};
use crate::number::real;
use crate::page::{Page, Spot};
use crate::words::{Words, capital, fill};

/// Title, whose it is, and the scale.
pub(super) fn head(page: &mut Page, lay: &ClothLay, words: &Words, scale: Option<f64>) {
    let w = page.drawing.width;
    let code = shortened(&lay.code, 22.0, true, 60.0);
    page.letters(
        Layer::Text,
        &code,
        Spot::level(Point::new(w - EDGE, HEAD[0]), 1.0),
    );
    let mut said = vec![lay.title.clone()];
    if !lay.client.is_empty() {
        said.push(lay.client.clone());
    }
    if !lay.version.is_empty() {
        said.push(fill(words.version, &[("v", &lay.version)]));
    }
    let cloth = match (lay.part.is_empty(), lay.cloth.is_empty()) {
        (false, false) => format!("{}: {}", capital(&lay.part), lay.cloth),
        (false, true) => capital(&lay.part),
        (true, _) => lay.cloth.clone(),
    };
    if !cloth.is_empty() {
        said.push(cloth);
    }
    let right = scale.map_or(0.0, |s| {
        let said = fill(
            words.lay_scale,
            &[("scale", &words.locale.figure(&format!("{}", s.round())))],
        );
        let letters = set(&said, TEXT, false);
        page.letters(
            Layer::Text,
            &letters,
            Spot::level(Point::new(w - EDGE, HEAD[1]), 1.0),
        );
        letters.width + 6.0
    });
    let title = shortened(
        words.lay_title,
        22.0,
        true,
        w - 2.0 * EDGE - code.width - 8.0,
    );
    page.letters(
        Layer::Text,
        &title,
        Spot::level(Point::new(EDGE, HEAD[0]), 0.0),
    );
    let under = shortened(&said.join(", "), TEXT, false, w - 2.0 * EDGE - right);
    page.letters(
        Layer::Text,
        &under,
        Spot::level(Point::new(EDGE, HEAD[1]), 0.0),
    );
    page.stroke(
        Layer::Sheet,
        Shape::line(&[Point::new(EDGE, HEAD[2]), Point::new(w - EDGE, HEAD[2])]),
        Pen::solid(0.7),
        false,
    );
}

/// What to buy, the largest word on the sheet, and what stands under it; tells how far down it goes.
pub(super) fn beside(page: &mut Page, lay: &ClothLay, words: &Words, w: f64) -> f64 {
    let right = w - EDGE;
    let mut y = TOP + 9.0;
    if let Some(buy) = &lay.buy {
        for text in [words.lay_buy, buy] {
            let letters = shortened(text, 26.0, true, BESIDE - 2.0);
            page.letters(
                Layer::Text,
                &letters,
                Spot::level(Point::new(right, y), 1.0),
            );
            y += 11.0;
        }
    } else if lay.enough {
        let letters = shortened(words.lay_nothing, 14.0, true, BESIDE - 2.0);
        page.letters(
            Layer::Text,
            &letters,
            Spot::level(Point::new(right, y), 1.0),
        );
        y += 11.0;
    }
    let length = |l: Length| words.locale.length(l, lay.shown);
    // The shop is asked for it by the width that it sells.
    let mut wide = vec![fill(
        words.lay_wide,
        &[("width", &length(lay.sold_wide.unwrap_or(lay.width)))],
    )];
    if lay.sold_wide.is_some() {
        wide.push(fill(
            words.lay_wide_shrunk,
            &[("width", &length(lay.width))],
        ));
    }
    let nap = if lay.one_way {
        words.lay_one_way
    } else {
        words.lay_two_way
    };
    for text in wide.iter().map(String::as_str).chain([nap]) {
        y = right_lines(page, text, (right, y), false);
    }
    y += 3.0;
    for f in &lay.facts {
        if y > page.drawing.height - EDGE - FOOT {
            break;
        }
        y = right_lines(page, &f.label, (right, y), false);
        y = right_lines(page, &f.value, (right, y), true) + 1.6;
    }
    y
}

fn right_lines(page: &mut Page, text: &str, (right, mut y): (f64, f64), bold: bool) -> f64 {
    let span = if bold {
        Span::bold(text)
    } else {
        Span::plain(text)
    };
    for line in paragraph(&[span], TEXT, BESIDE - 6.0) {
        let width = line.iter().map(|(x, l)| x + l.width).fold(0.0, f64::max);
        for (x, letters) in &line {
            page.letters(
                Layer::Text,
                letters,
                Spot::level(Point::new(right - width + x, y), 0.0),
            );
        }
        y += LEAD;
    }
    y
}

/// What is said below the lay; gives back what had no room.
pub(super) fn remarks(
    page: &mut Page,
    lay: &ClothLay,
    words: &Words,
    listed: bool,
    at: (f64, f64),
) -> Vec<String> {
    let length = |l: Length| words.locale.length(l, lay.shown);
    let lies = match lay.fold {
        ClothFold::Flat => words.lay_flat.to_owned(),
        ClothFold::Folded => lay.turned_in.map_or_else(
            || words.lay_folded.to_owned(),
            |deep| fill(words.lay_part, &[("deep", &length(deep + lay.selvedge))]),
        ),
        ClothFold::Double => words.lay_double.to_owned(),
        ClothFold::Crosswise => words.lay_crosswise.to_owned(),
    };
    let pins = match (lay.across, lay.fold == ClothFold::Folded) {
        (true, _) => words.lay_pins_across,
        (false, true) => words.lay_pins_fold,
        (false, false) => words.lay_pins,
    };
    let long = fill(words.lay_long, &[("length", &length(lay.length))]);
    let mut all = vec![
        format!("{lies} {long} {}", words.lay_in_order),
        pins.to_owned(),
    ];
    if listed {
        all.push(words.lay_listed.to_owned());
    }
    all.extend(turned(lay, words));
    // What is to be asked before cutting goes before what a sign means, should the room be short.
    all.extend(lay.remarks.iter().cloned());
    if !lay.flaws.is_empty() && !lay.pieces.is_empty() {
        all.push(words.lay_flaw_key.to_owned());
    }
    sentences(page, all, at)
}

/// What is said where pieces lie head to foot.
pub(super) fn turned(lay: &ClothLay, words: &Words) -> Option<String> {
    let on_scraps = lay.scraps.iter().flat_map(|s| &s.pieces);
    let any = lay.pieces.iter().chain(on_scraps).any(|p| p.head_to_foot);
    any.then(|| words.lay_turned.to_owned())
}

/// Sentences at the foot, beside what stands at the right as far as that goes; what has no room comes back.
pub(super) fn sentences(
    page: &mut Page,
    all: Vec<String>,
    (mut y, beside): (f64, f64),
) -> Vec<String> {
    let foot = page.drawing.height - EDGE + 3.0;
    let mut rest = Vec::new();
    for text in all {
        // Beside what is to be bought, it keeps clear of that.
        let less = if y < beside { BESIDE } else { 0.0 };
        let width = page.drawing.width - 2.0 * EDGE - less;
        let lines = paragraph(&[Span::plain(text.clone())], TEXT, width);
        if !rest.is_empty() || y + real(lines.len().saturating_sub(1)) * LEAD > foot {
            rest.push(text);
            continue;
        }
        y = page.lines(Layer::Text, Point::new(EDGE, y), &lines, LEAD);
    }
    rest
}
