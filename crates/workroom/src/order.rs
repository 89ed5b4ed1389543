//! Fills the sheets' texts: what the paper says beside the lines.

use check::told::{capital as sentence_case, ended, reckoned};
use check::{Finding, Measured, Seen, Weight as Gravity};
use draft::worked::{EdgeName, Source, Worked};
use measure::fraction::{Shown, show};
use measure::{Length, Point};
use piece::Piece;
use sheet::{Alteration, Fact, NotchWord, Order, SheetPiece, StepText, Told, Weight};

use crate::job::Job;

/// The order of a worked draft.
pub(crate) fn order(
    job: &Job<'_>,
    worked: &Worked,
    findings: &[Finding],
    measured: &Measured,
    version: &str,
) -> Order {
    let card = job.card();
    let body: Vec<Fact> = worked
        .measures
        .iter()
        .filter(|m| m.source != Source::Missing)
        .map(|m| fact(&m.name, show(m.value, job.shown)))
        .collect();
    let mut order = Order::new(worked.title.clone());
    client(card.client()).clone_into(&mut order.client);
    version.clone_into(&mut order.version);
    order.taken = card.taken().map(|d| d.to_string());
    order.shown = job.shown;
    order.chosen = worked
        .choices
        .iter()
        .filter(|c| c.offered)
        .map(|c| fact(&c.label, c.value.shown(job.shown)))
        .collect();
    order.finished = finished(measured, job.shown);
    order.findings = findings.iter().map(told).collect();
    order.cautions = check::cautions(&Seen::of(&job.subject(worked)), measured)
        .into_iter()
        .map(|c| c.says.to_owned())
        .collect();
    order.remarks = remarks(job, worked);
    order.steps = steps(worked);
    order.pieces = worked
        .pieces
        .iter()
        .enumerate()
        .map(|(i, piece)| {
            let mut on_sheet = dressed(piece, worked);
            on_sheet.used.clone_from(&body);
            if worked.origins.get(i).is_some_and(|o| o.sheet.is_some()) {
                on_sheet.alterations = alterations(piece, worked);
            }
            on_sheet
        })
        .collect();
    order.body = body;
    order
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

fn finished(measured: &Measured, shown: Shown) -> Vec<Fact> {
    let step = measured.step.as_ref().map(|s| s.longest);
    [
        ("Waist", measured.waist),
        ("Hip", measured.hip),
        ("Break", measured.break_girth),
        ("Hem", measured.hem),
        ("Longest step, about", step),
    ]
    .into_iter()
    .filter_map(|(label, length)| Some(fact(label, show(length?, shown))))
    .collect()
}

fn told(finding: &Finding) -> Told {
    let text = match &finding.cure {
        Some(cure) => format!("{} Cure: {}", ended(&finding.says), ended(cure)),
        None => ended(&finding.says),
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

/// What every page must say that rests on it.
fn remarks(job: &Job<'_>, worked: &Worked) -> Vec<String> {
    let mut out = Vec::new();
    if job.untrued {
        out.push(
            "As the hand drew it: its seams are not matched. To look at, not to cut by.".into(),
        );
    }
    for m in &worked.measures {
        out.extend(reckoned(m, job.shown));
    }
    out
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
fn dressed(piece: &Piece, worked: &Worked) -> SheetPiece {
    let mut out = SheetPiece::new(piece.clone());
    for edge in &piece.edges {
        let is_it = |e: &EdgeName| e.piece == piece.name && e.edge == edge.name;
        let partner = worked.seams.iter().find_map(|seam| {
            let in_a = seam.a.iter().any(is_it);
            if seam.b.is_empty() && in_a {
                return Some("its twin".to_owned());
            }
            let other = match (in_a, seam.b.iter().any(is_it)) {
                (true, _) => &seam.b,
                (_, true) => &seam.a,
                _ => return None,
            };
            // That its own facing or lining goes on an edge need not be said along it.
            let lies_on_it = |e: &EdgeName| copied_from(worked, &e.piece).contains(&piece.name);
            (!other.iter().all(lies_on_it)).then(|| to(other))
        });
        if let Some(partner) = partner {
            let said = format!("{}, to {partner}", sentence_case(&edge.name));
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
                        text: "end of the opening".into(),
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

/// `the back side`.
fn to(edges: &[EdgeName]) -> String {
    let each: Vec<String> = edges
        .iter()
        .map(|e| format!("the {} {}", e.piece, e.edge))
        .collect();
    each.join(" and ")
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
