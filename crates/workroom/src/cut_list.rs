//! What is cut from which cloth: from a worked draft, or from a `report.json`.

use draft::Worked;
use draft::worked::Shape;
use lay::cut_piece::{CutPiece, Sewn, Snip, match_at_notches};
use measure::Point;
use measure::fraction::Unit;
use serde_json::Value;
use sheet::words::{Words, fill};

use crate::answer::calm;

/// The pieces of a pattern by the cloth that they are cut from, and what is said of it.
#[derive(Clone, Debug)]
pub(crate) struct CutList {
    title: String,
    /// It is cut for a toile, and is titled so.
    toile: bool,
    pub(crate) client: String,
    pub(crate) version: String,
    pub(crate) unit: Unit,
    /// Each with what it is cut from.
    pieces: Vec<(String, CutPiece)>,
    seams: Vec<Sewn>,
}

impl CutList {
    /// What is cut; a toile is called so.
    pub(crate) fn title(&self, words: &Words) -> String {
        if self.toile {
            fill(words.toile_title, &[("title", &self.title)])
        } else {
            self.title.clone()
        }
    }

    /// Of a worked draft.
    ///
    /// # Errors
    /// When a piece has no cutting line, a message each.
    pub(crate) fn of(
        worked: &Worked,
        client: &str,
        version: &str,
        unit: Unit,
    ) -> Result<Self, Vec<String>> {
        let mut pieces = Vec::new();
        let mut faults = Vec::new();
        let mut kinds: Vec<&str> = Vec::new();
        for piece in &worked.pieces {
            for cut in &piece.cuts {
                if !kinds.contains(&cut.cloth.as_str()) {
                    kinds.push(&cut.cloth);
                }
            }
        }
        for (number, piece) in worked.pieces.iter().enumerate() {
            let places = piece::notch_places(piece).unwrap_or_default();
            for kind in &kinds {
                match CutPiece::of(piece, kind) {
                    Ok(all) => {
                        let kind = cloth_called(worked, kind);
                        pieces.extend(all.into_iter().map(|mut p| {
                            for (snip, place) in p.notches.iter_mut().zip(&places) {
                                snip.names = notch_names(worked, number, place.on_stitching);
                            }
                            (kind.to_owned(), p)
                        }));
                    }
                    Err(fault) => {
                        faults.push(format!("The piece `{}` can't be cut: {fault}", piece.name));
                    }
                }
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let side = |edges: &[draft::worked::EdgeName]| {
            edges
                .iter()
                .map(|e| (e.piece.clone(), e.edge.clone()))
                .collect::<Vec<_>>()
        };
        let seams = worked
            .seams
            .iter()
            .map(|s| Sewn {
                a: side(&s.a),
                b: side(if s.b.is_empty() { &s.a } else { &s.b }),
            })
            .collect();
        Ok(Self {
            title: worked.title.clone(),
            toile: worked.is_toile(),
            client: client.to_owned(),
            version: version.to_owned(),
            unit,
            pieces,
            seams,
        })
    }

    /// Of the text of a report.
    ///
    /// # Errors
    /// When it is no report of this format, or a piece in it can't be read; in sentences.
    pub(crate) fn read(text: &str) -> Result<Self, Vec<String>> {
        let report: Value = serde_json::from_str(text)
            .map_err(|e| vec![format!("This is no JSON that can be read ({e}).")])?;
        match report.get("format").and_then(Value::as_u64) {
            Some(1) => {}
            Some(other) => {
                return Err(vec![format!(
                    "This report has format {other}; this Ellwand reads format 1. Make it again with `ellwand make`."
                )]);
            }
            None => {
                return Err(vec![
                    "This is no report of a pattern. Make one with `ellwand make`: it writes report.json.".into(),
                ]);
            }
        }
        let Some(all) = report.get("pieces").and_then(Value::as_array) else {
            return Err(vec!["The report has no list `pieces`.".into()]);
        };
        let words = |key: &str| {
            report
                .get(key)
                .and_then(Value::as_str)
                .map_or(String::new(), calm)
        };
        let mut pieces = Vec::new();
        let mut faults = Vec::new();
        for (n, piece) in all.iter().enumerate() {
            match one(piece, n) {
                Ok(cut) => pieces.extend(cut),
                Err(message) => faults.push(message),
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let seams = report
            .get("seams")
            .and_then(Value::as_array)
            .map_or(&[][..], Vec::as_slice)
            .iter()
            .filter_map(|s| {
                Some(Sewn {
                    a: side(s.get("a")?)?,
                    b: side(s.get("b")?)?,
                })
            })
            .collect();
        Ok(Self {
            title: words("method"),
            toile: false,
            client: words("client"),
            version: words("version"),
            unit: if words("unit") == "cm" {
                Unit::Cm
            } else {
                Unit::Inch
            },
            pieces,
            seams,
        })
    }

    /// The cloths that something is cut from, in the order of the pieces.
    pub(crate) fn kinds(&self) -> Vec<&str> {
        let mut out: Vec<&str> = Vec::new();
        for (kind, _) in &self.pieces {
            if !out.contains(&kind.as_str()) {
                out.push(kind);
            }
        }
        out
    }

    /// The pieces that are cut from this cloth, with the points that must meet its repeat.
    ///
    /// Seams meet at the notch of that name; else at the first that both sides have.
    pub(crate) fn of_kind(&self, kind: &str, called: Option<&str>) -> Vec<CutPiece> {
        let mut out: Vec<CutPiece> = self
            .pieces
            .iter()
            .filter(|(k, _)| k == kind)
            .map(|(_, p)| p.clone())
            .collect();
        match_at_notches(&mut out, &self.seams, called);
        out
    }

    /// Why no seam of this cloth can meet at the notch of that name; none when one can.
    pub(crate) fn no_such_notch(&self, kind: &str, called: Option<&str>) -> Option<String> {
        let called = called?;
        let on = |side: &[(String, String)]| {
            let here =
                |p: &CutPiece, n: &Snip| side.iter().any(|(a, e)| *a == p.name && *e == n.edge);
            let mut all: Vec<Snip> = Vec::new();
            for (_, p) in self.pieces.iter().filter(|(k, _)| k == kind) {
                all.extend(p.notches.iter().filter(|n| here(p, n)).cloned());
            }
            all
        };
        let mut known: Vec<String> = Vec::new();
        for seam in &self.seams {
            let (a, b) = (on(&seam.a), on(&seam.b));
            let has = |side: &[Snip], name: &str| side.iter().any(|n| n.is_called(name));
            if has(&a, called) && has(&b, called) {
                return None;
            }
            for name in a.iter().flat_map(|n| &n.names) {
                if has(&b, name) && !known.contains(name) {
                    known.push(name.clone());
                }
            }
        }
        let there = if known.is_empty() {
            "Leave `match` out: they meet at the first notch that both sides have.".to_owned()
        } else {
            format!("Those on both sides: {}.", known.join(", "))
        };
        Some(format!(
            "No seam has a notch called \"{}\" on both sides, where the pattern of the cloth could meet. {there}",
            calm(called)
        ))
    }
}

/// A notch has no more names.
const MOST_NAMES: usize = 8;
/// So near, in millimetres, a notch lies on a ruling; and on a point, beside which a corner that was
/// softened passes.
const ON: f64 = 0.5;
const BESIDE: f64 = 8.0;

/// What the method calls the place of a notch of a piece, on its stitching line: the points that it lies
/// on, the rulings, and the levels of the body that those are. None once the piece was moved.
pub(crate) fn notch_names(worked: &Worked, number: usize, at: Point) -> Vec<String> {
    let sheet = worked.origins.get(number).and_then(|o| o.sheet.as_ref());
    let mut out: Vec<String> = Vec::new();
    let mut add = |name: &str| {
        if out.len() < MOST_NAMES && !out.iter().any(|n| n == name) {
            out.push(name.to_owned());
        }
    };
    for drawn in worked.drawn.iter().filter(|d| Some(&d.sheet) == sheet) {
        let here = match &drawn.shape {
            Shape::Level(y) => (y - at.y).abs() < ON,
            Shape::Point(p) => p.distance(at).in_mm() < BESIDE,
            _ => false,
        };
        if here {
            add(&drawn.name);
            if let Some(body) = &drawn.body {
                add(body);
            }
        }
    }
    out
}

/// What the cloth of a toile is called in an order.
pub(crate) const TOILE: &str = "toile";

/// What pieces are cut from, in the order in which it is told; other words are the method's own.
pub(crate) const CLOTHS: [&str; 5] = ["shell", "lining", "interlining", "net", TOILE];

/// What a cloth is called on lists and labels: a toile is cut from a cloth of its own.
pub(crate) fn cloth_called<'a>(worked: &Worked, cloth: &'a str) -> &'a str {
    if worked.is_toile() && cloth == "shell" {
        TOILE
    } else {
        cloth
    }
}

/// A side of a seam: `front.side`, several joined by ` + `.
fn side(value: &Value) -> Option<Vec<(String, String)>> {
    value
        .as_str()?
        .split(" + ")
        .map(|e| e.split_once('.').map(|(p, e)| (p.to_owned(), e.to_owned())))
        .collect()
}

/// The most pieces of one kind, and the most cloths of one piece, that are read.
const MOST: usize = 1000;

/// A piece of the report, once for each cloth that it is cut from.
fn one(piece: &Value, n: usize) -> Result<Vec<(String, CutPiece)>, String> {
    let name = piece
        .get("name")
        .and_then(Value::as_str)
        .map_or_else(|| format!("piece {}", n + 1), calm);
    let says = |what: &str| format!("The piece \"{name}\" {what}.");
    let outline = piece
        .get("cutting_mm")
        .and_then(points)
        .ok_or_else(|| says("has no cutting line: `cutting_mm`, a list of pairs of numbers"))?;
    let grain = match piece.get("grain_mm") {
        None | Some(Value::Null) => None,
        Some(g) => Some(
            two(&points(g).ok_or_else(|| says("has a grain that is no pair of points"))?)
                .ok_or_else(|| says("has a grain that is no pair of points"))?,
        ),
    };
    let stitching = piece.get("stitching_mm").and_then(points);
    let edges = piece
        .get("edges")
        .and_then(Value::as_array)
        .map_or(&[][..], Vec::as_slice);
    let fold = edges
        .iter()
        .find(|e| e.get("role").and_then(Value::as_str) == Some("fold"))
        .and_then(|e| {
            let at = |key: &str| {
                let i = usize::try_from(e.get(key)?.as_u64()?).ok()?;
                stitching.as_ref()?.get(i).copied()
            };
            Some([at("from")?, at("to")?])
        });
    let notches = piece
        .get("notches")
        .and_then(Value::as_array)
        .map_or(&[][..], Vec::as_slice)
        .iter()
        .filter_map(|s| {
            Some(Snip {
                edge: s.get("edge")?.as_str()?.to_owned(),
                at: point(s.get("cutting_mm")?)?,
                snips: u8::try_from(s.get("snips")?.as_u64()?).ok()?,
                names: s
                    .get("names")
                    .and_then(Value::as_array)
                    .map_or(&[][..], Vec::as_slice)
                    .iter()
                    .filter_map(|n| Some(calm(n.as_str()?)))
                    .take(MOST_NAMES)
                    .collect(),
            })
        })
        .collect();
    let base = CutPiece {
        name: name.clone(),
        outline,
        grain,
        fold,
        notches,
        count: 1,
        on_fold: false,
        pair: false,
        matched: None,
        joins: Vec::new(),
    };
    let cuts = piece
        .get("cut")
        .and_then(Value::as_array)
        .map_or(&[][..], Vec::as_slice);
    let mut out = Vec::new();
    for cut in cuts.iter().take(MOST) {
        let flag = |key: &str| cut.get(key).and_then(Value::as_bool).unwrap_or(false);
        let cloth = cut.get("cloth").and_then(Value::as_str).map(calm);
        let count = cut
            .get("count")
            .and_then(Value::as_u64)
            .and_then(|c| u32::try_from(c).ok());
        let (Some(cloth), Some(count)) = (cloth, count) else {
            return Err(says("does not say how many are cut, and from which cloth"));
        };
        if flag("on_fold") && base.fold.is_none() {
            return Err(says(
                "is cut on the fold, but has no edge of the role `fold`",
            ));
        }
        out.push((
            cloth,
            CutPiece {
                count,
                on_fold: flag("on_fold"),
                pair: flag("pair"),
                ..base.clone()
            },
        ));
    }
    Ok(out)
}

fn point(value: &Value) -> Option<[f64; 2]> {
    match value.as_array()?.as_slice() {
        [x, y] => Some([x.as_f64()?, y.as_f64()?]),
        _ => None,
    }
}

fn points(value: &Value) -> Option<Vec<[f64; 2]>> {
    value.as_array()?.iter().map(point).collect()
}

fn two(points: &[[f64; 2]]) -> Option<[[f64; 2]; 2]> {
    <[[f64; 2]; 2]>::try_from(points).ok()
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;
    use crate::args::Ways;
    use crate::job::{Job, Opened};
    use crate::{finding, report, shelf};

    const METHOD: &str = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/data/darted.method"
    );
    const CARD: &str = include_str!("../../../tests/data/anna.toml");

    /// Would catch a report that lacks something that the lay needs: the pieces read from it are those
    /// of the draft, to the report's ten-thousandth of a millimetre.
    #[test]
    fn a_report_tells_as_much_as_the_draft() {
        let opened = Opened {
            path: PathBuf::from("anna.toml"),
            card: measure::card::read(CARD, &[]).unwrap(),
        };
        let method = shelf::take(METHOD).unwrap();
        let ways = Ways {
            set: Vec::new(),
            predict: true,
            untrued: false,
            unit: None,
        };
        let set = Vec::new();
        let job = Job::new(&opened, &method, &set, &ways);
        let worked = job.work_soundly().unwrap();
        let findings = finding::all(&job, &worked);
        let measured = check::measured::measure_in(&worked, job.card(), None);
        let report = report::report(&worked, job.card(), &findings, &measured, "V").unwrap();
        let read = CutList::read(&report::text(&report)).unwrap();
        let direct = CutList::of(&worked, job.card().client(), "V", job.card().unit()).unwrap();
        assert_eq!(read.kinds().len(), direct.kinds().len());
        assert!(!direct.kinds().is_empty());
        // A notch that no seam has is told with those that there are.
        let says = direct.no_such_notch("shell", Some("nowhere")).unwrap();
        assert!(says.contains("Those on both sides: "), "{says}");
        assert_eq!(read.no_such_notch("shell", Some("nowhere")), Some(says));
        for kind in direct.kinds() {
            let (a, b) = (read.of_kind(kind, None), direct.of_kind(kind, None));
            assert_eq!(a.len(), b.len());
            for (a, b) in a.iter().zip(&b) {
                assert_eq!(
                    (&a.name, a.count, a.on_fold, a.pair),
                    (&b.name, b.count, b.on_fold, b.pair)
                );
                let near = |p: &[f64; 2], q: &[f64; 2]| {
                    (p[0] - q[0]).abs() < 2e-4 && (p[1] - q[1]).abs() < 2e-4
                };
                assert_eq!(a.outline.len(), b.outline.len());
                assert!(a.outline.iter().zip(&b.outline).all(|(p, q)| near(p, q)));
                assert_eq!(a.notches.len(), b.notches.len());
                for (n, m) in a.notches.iter().zip(&b.notches) {
                    assert_eq!(n.names, m.names);
                }
                assert_eq!(a.fold.is_some(), b.fold.is_some());
                assert_eq!(a.matched.is_some(), b.matched.is_some());
            }
        }
    }
}
