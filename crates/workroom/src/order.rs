//! Fills the sheets' texts: what the paper says beside the lines.

use check::told::{capital as sentence_case, ended};
use check::{Finding, Measured, Seen, Weight as Gravity};
use draft::correction::Side;
use draft::sided::bare;
use draft::worked::{EdgeName, Half, MeasureUsed, Quantity, Shape, Source, Worked};
use measure::fraction::Shown;
use measure::names::{self, Kind};
use measure::{Curve, Length, Point};
use piece::Piece;
use sheet::words::{Words, fill};
use sheet::{Alteration, Construct, Fact, NotchWord, Order, SheetPiece, StepText, Told, Weight};

use crate::glossary;
use crate::job::Job;

/// So many of her measures stand on a label: enough to tell one pattern from another.
const ON_LABEL: usize = 3;

/// The order of a worked draft, in the language of its papers.
pub(crate) fn order(
    job: &Job<'_>,
    worked: &Worked,
    findings: &[Finding],
    measured: &Measured,
    version: &str,
) -> Order {
    order_in(job, worked, findings, measured, version, job.words)
}

/// The order of a worked draft in the words of a language; what the method and the checks say stays as they
/// say it.
pub(crate) fn order_in(
    job: &Job<'_>,
    worked: &Worked,
    findings: &[Finding],
    measured: &Measured,
    version: &str,
    words: &'static Words,
) -> Order {
    let card = job.card();
    let toile = worked.is_toile();
    let mut order = Order::new(if toile {
        fill(words.toile_title, &[("title", &worked.title)])
    } else {
        worked.title.clone()
    });
    order.words = words;
    order.toile = toile;
    // Without a name rather than with a row of empty boxes.
    order.client = Some(client(card.client()))
        .filter(|name| sheet::can_set(name))
        .unwrap_or_default();
    version.clone_into(&mut order.version);
    order.taken = card.taken().map(|d| words.locale.date(d));
    order.shown = job.shown;
    order.chosen = worked
        .choices
        .iter()
        .filter(|c| c.offered)
        .map(|c| fact(&c.label, quantity(&c.value, job.shown, words)))
        .collect();
    order.finished = finished(measured, job, words);
    // What was predicted is said once, under the title.
    order.findings = findings
        .iter()
        .filter(|f| f.rule != "measure/predicted")
        .map(|f| told(f, words))
        .collect();
    order.cautions = check::cautions(&Seen::of(&job.subject(worked)), measured)
        .into_iter()
        .map(|c| glossary::caution(c.says, words).to_owned())
        .collect();
    if job.untrued {
        order.remarks = vec![words.untrued.into()];
    }
    order.estimates = estimates(worked, job.shown, words);
    order.steps = steps(worked);
    let used = used(worked, job.shown, words);
    order.pieces = worked
        .pieces
        .iter()
        .enumerate()
        .map(|(i, piece)| {
            let mut on_sheet = dressed(piece, worked, words);
            on_sheet.used.clone_from(&used);
            for cut in &mut on_sheet.piece.cuts {
                cut.cloth = if toile {
                    words.toile.to_owned()
                } else {
                    glossary::cloth(&cut.cloth, words).to_owned()
                };
            }
            on_sheet.one_way = job.cloth.is_some_and(|c| c.nap == lay::Nap::OneWay);
            let half = worked.half(i);
            if let Some(half) = half {
                on_sheet.notes.push(for_her(piece, half, words));
            }
            if worked.origins.get(i).is_some_and(|o| o.sheet.is_some()) {
                on_sheet.alterations = alterations(piece, worked);
                if !half.is_some_and(|h| h.turned) {
                    on_sheet.construction = construction(piece, worked, i);
                }
            }
            on_sheet
        })
        .collect();
    order.body = worked
        .measures
        .iter()
        .filter(|m| m.source != Source::Missing)
        .map(|m| {
            let name = sentence_case(glossary::measure(&m.name, words));
            let label = match m.source {
                Source::Predicted { .. } => fill(words.estimate_label, &[("measure", &name)]),
                Source::Fallback => fill(words.reckoned_label, &[("measure", &name)]),
                Source::Card | Source::Missing => name,
            };
            fact(&label, words.locale.length(m.value, job.shown))
        })
        .collect();
    order
}

/// For which side of her a piece is, where her left and her right differ on it.
fn for_her(piece: &Piece, half: &Half, words: &Words) -> String {
    let said = match half.side {
        Side::Left => return words.for_left.into(),
        Side::Right => return words.for_right.into(),
        Side::Both => {
            let across = |side: Side| -> f64 {
                let own = piece.edges.iter().filter(|e| bare(&e.name).1 == side);
                own.map(|e| e.curve.at(e.curve.length() * 0.5).point.x)
                    .sum()
            };
            (across(Side::Left), across(Side::Right))
        }
    };
    let at = if said.0 > said.1 {
        words.right_hand
    } else {
        words.left_hand
    };
    fill(words.for_both, &[("hand", at)])
}

/// The measures by which a label is told from that of another body: her girths, else the first that
/// the method takes.
fn used(worked: &Worked, shown: Shown, words: &Words) -> Vec<Fact> {
    let girth = |m: &&MeasureUsed| names::find(&m.name).is_some_and(|n| n.kind == Kind::Girth);
    let given: Vec<&MeasureUsed> = worked
        .measures
        .iter()
        .filter(|m| !matches!(m.source, Source::Missing | Source::Fallback))
        .collect();
    let mut main: Vec<&MeasureUsed> = given.iter().copied().filter(girth).collect();
    if main.is_empty() {
        main = given;
    }
    main.iter()
        .take(ON_LABEL)
        .map(|m| Fact {
            label: glossary::measure(&m.name, words).to_owned(),
            value: words.locale.bare(m.value, shown),
        })
        .collect()
}

/// A choice's value as it is read.
fn quantity(value: &Quantity, shown: Shown, words: &Words) -> String {
    match value {
        Quantity::Length(length) => words.locale.length(*length, shown),
        Quantity::YesNo(true) => words.yes.into(),
        Quantity::YesNo(false) => words.no.into(),
        // A word of a choice is the method's own.
        Quantity::Word(word) => word.clone(),
        Quantity::Angle(_) | Quantity::Number(_) | Quantity::Share(_) | Quantity::Area(_) => {
            let said = value.shown(shown);
            let end = said
                .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-')))
                .unwrap_or(said.len());
            let (number, sign) = said.split_at(end);
            format!("{}{sign}", words.locale.figure(number))
        }
    }
}

/// A client's name on one line: a line end in it would tear a label.
fn client(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    words.join(" ")
}

fn fact(label: &str, value: String) -> Fact {
    Fact {
        label: sentence_case(label),
        value,
    }
}

/// A step past this share of her height is longer than anyone takes: 0.42 of it is brisk
/// (body/body.md 3.1).
const FREE_STEP: f64 = 0.45;

fn finished(measured: &Measured, job: &Job<'_>, words: &Words) -> Vec<Fact> {
    let card = job.card();
    let step = measured.step.as_ref().map(|s| s.longest);
    let height = card
        .barefoot("height")
        .or_else(|| Some(measure::predict::predict(card, "height")?.value));
    let free = |step: Length| height.is_some_and(|h| step > h * FREE_STEP);
    [
        (words.waist, measured.waist),
        (words.hip, measured.hip),
        (words.break_girth, measured.break_girth),
        (words.hem, measured.hem),
        (words.longest_step, step),
    ]
    .into_iter()
    .filter_map(|(label, length)| {
        let length = length?;
        let value = if label == words.longest_step && free(length) {
            words.free_step.to_owned()
        } else {
            words.locale.length(length, job.shown)
        };
        Some(fact(label, value))
    })
    .collect()
}

fn told(finding: &Finding, words: &Words) -> Told {
    let says = ended(&finding.says);
    let text = match &finding.cure {
        Some(cure) => fill(
            words.with_cure,
            &[("says", &says), ("cure", &sentence_case(&ended(cure)))],
        ),
        None => says,
    };
    Told {
        weight: match finding.weight {
            Gravity::Stop => Weight::Stop,
            Gravity::Ask => Weight::Ask,
            Gravity::Note => Weight::Note,
        },
        text,
    }
}

/// The measures that were predicted, each with its band.
fn estimates(worked: &Worked, shown: Shown, words: &Words) -> Option<String> {
    let each: Vec<String> = worked
        .measures
        .iter()
        .filter_map(|m| {
            let Source::Predicted { low, high } = m.source else {
                return None;
            };
            Some(fill(
                words.estimate,
                &[
                    ("measure", glossary::measure(&m.name, words)),
                    ("value", &words.locale.length(m.value, shown)),
                    ("low", &words.locale.bare(low, shown)),
                    ("high", &words.locale.bare(high, shown)),
                ],
            ))
        })
        .collect();
    (!each.is_empty()).then(|| fill(words.estimates_are, &[("all", &each.join(", "))]))
}

fn steps(worked: &Worked) -> Vec<StepText> {
    let mut stage = "";
    worked
        .steps
        .iter()
        .map(|s| {
            let fresh = s.stage != stage;
            stage = &s.stage;
            StepText {
                number: s.number,
                heading: (fresh && !s.stage.is_empty()).then(|| sentence_case(&s.stage)),
                sentence: s.sentence.clone(),
                why: s.why.clone(),
            }
        })
        .collect()
}

/// A piece with the words along its edges and beside its notches.
fn dressed(piece: &Piece, worked: &Worked, words: &Words) -> SheetPiece {
    let mut out = SheetPiece::new(piece.clone());
    for edge in &piece.edges {
        let is_it = |e: &EdgeName| e.piece == piece.name && e.edge == edge.name;
        let partner = worked.seams.iter().find_map(|seam| {
            let in_a = seam.a.iter().any(is_it);
            if seam.b.is_empty() && in_a {
                return Some(words.twin.to_owned());
            }
            let other = match (in_a, seam.b.iter().any(is_it)) {
                (true, _) => &seam.b,
                (_, true) => &seam.a,
                _ => return None,
            };
            // That its own facing or lining goes on an edge need not be said along it.
            let lies_on_it = |e: &EdgeName| copied_from(worked, &e.piece).contains(&piece.name);
            (!other.iter().all(lies_on_it)).then(|| to(other, words))
        });
        if let Some(partner) = partner {
            let said = fill(
                words.to_partner,
                &[
                    ("edge", &sentence_case(&on_her(bare(&edge.name), words))),
                    ("partner", &partner),
                ],
            );
            out.seams.push((edge.name.clone(), said));
        }
        let whole = edge.curve.length();
        for (from, to) in &edge.open {
            for at in [*from, *to] {
                // Where the opening runs out at a corner there is nothing to mark.
                if at > Length::mm(1.0) && at < whole - Length::mm(1.0) {
                    out.notch_words.push(NotchWord {
                        edge: edge.name.clone(),
                        at,
                        text: words.end_of_opening.into(),
                    });
                }
            }
        }
    }
    out
}

/// The pieces from which one was copied.
fn copied_from<'a>(worked: &'a Worked, piece: &str) -> &'a [String] {
    let place = worked.pieces.iter().position(|p| p.name == piece);
    place
        .and_then(|i| worked.origins.get(i))
        .map_or(&[], |o| &o.copied_from)
}

/// An edge, and on which side of her it is where her left and her right differ.
fn on_her((said, side): (&str, Side), words: &Words) -> String {
    let words = match side {
        Side::Left => words.on_left,
        Side::Right => words.on_right,
        Side::Both => return said.to_owned(),
    };
    fill(words, &[("edge", said)])
}

/// `the back side`.
fn to(edges: &[EdgeName], words: &Words) -> String {
    let each: Vec<String> = edges
        .iter()
        .map(|e| {
            let ((piece, one), (edge, two)) = (bare(&e.piece), bare(&e.edge));
            let said = fill(words.partner, &[("piece", piece), ("edge", edge)]);
            let side = if one == Side::Both { two } else { one };
            on_her((&said, side), words)
        })
        .collect();
    each.join(&format!(" {} ", words.and))
}

/// Where a piece in its place may be lengthened or shortened: half way from the hip to the break, and
/// half way from there to the foot; without a break, 6 in below the hip (trade/finishing.md 4).
fn alterations(piece: &Piece, worked: &Worked) -> Vec<Alteration> {
    let level = |body: &str| {
        let mut all = worked.levels.iter().filter(|l| l.body == body).map(|l| l.y);
        all.next()
    };
    let Some(hip) = level("hip") else {
        return Vec::new();
    };
    let foot = piece
        .edges
        .iter()
        .flat_map(|e| [e.curve.start().y, e.curve.end().y])
        .fold(hip, f64::max);
    let places = match level("break") {
        Some(at_break) => vec![f64::midpoint(hip, at_break), f64::midpoint(at_break, foot)],
        None => vec![hip + 6.0 * 25.4],
    };
    places
        .into_iter()
        .filter(|y| *y < foot - 25.4)
        .filter_map(|y| straight_across(piece, y))
        .collect()
}

/// What the steps drew on the sheet where a piece still lies: levels and uprights as far as the
/// piece reaches, lines that are no edges, points.
fn construction(piece: &Piece, worked: &Worked, i: usize) -> Vec<Construct> {
    let sheet = worked.origins.get(i).and_then(|o| o.sheet.as_deref());
    let Some((sheet, outline)) = sheet.zip(piece.outline().ok()) else {
        return Vec::new();
    };
    let (low, high) = outline.bounds();
    let beyond = 10.0;
    let ruled = |from: Point, to: Point| Curve::line(from, to).ok().map(Construct::Line);
    worked
        .drawn
        .iter()
        .filter(|d| d.sheet == sheet)
        .filter_map(|d| match &d.shape {
            Shape::Level(y) => ruled(
                Point::new(low.x - beyond, *y),
                Point::new(high.x + beyond, *y),
            ),
            Shape::Upright(x) => ruled(
                Point::new(*x, low.y - beyond),
                Point::new(*x, high.y + beyond),
            ),
            Shape::Line { curve, edge, .. } => (!edge).then(|| Construct::Line(curve.clone())),
            Shape::Point(p) => Some(Construct::Point(d.name.clone(), *p)),
            Shape::Dart { .. } => None,
        })
        .collect()
}

/// A line across the piece at one height, where it lies inside from end to end.
fn straight_across(piece: &Piece, y: f64) -> Option<Alteration> {
    let ring = piece.outline().ok()?.flatten(Length::mm(0.1));
    let cuts: Vec<f64> = ring
        .windows(2)
        .filter(|w| (w[0].y > y) != (w[1].y > y))
        .map(|w| w[0].x + (y - w[0].y) / (w[1].y - w[0].y) * (w[1].x - w[0].x))
        .collect();
    let [a, b] = cuts[..] else {
        return None;
    };
    Some(Alteration {
        from: Point::new(a.min(b), y),
        to: Point::new(a.max(b), y),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_client_s_name_keeps_its_letters_but_not_its_line_ends() {
        assert_eq!(client("Ngọc\n\tÁnh \u{2028} 🧵"), "Ngọc Ánh 🧵");
    }
}
