//! The finished garment measured afresh on its pieces, at the levels of her body.
//!
//! Only the shell that goes round her counts: a facing lies on it, a band beside it. What can't be
//! measured honestly (a piece that was turned or spread, a method without levels) is left out.

use draft::worked::{Origin, Worked};
use measure::card::Card;
use measure::{Length, Point, step};
use piece::{Edge, Piece, Role};

/// Chords this near the curve, in millimetres, when a width is taken across a piece.
const NEAR: f64 = 0.005;
/// The waist's edges lie within this of the waist level, in millimetres: 3 1/2 in.
const AT_WAIST: f64 = 88.9;
/// A level may lie so far past the foot of the pieces, in millimetres, and still be measured there.
const PAST_FOOT: f64 = 25.4;
/// Levels looked at between hip and hem when the longest step is sought.
const LEVELS: u32 = 24;

/// What the finished garment measures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// Round the waist, along the sewn edges.
    pub waist: Option<Length>,
    /// Round the hip level.
    pub hip: Option<Length>,
    /// Round the break.
    pub break_girth: Option<Length>,
    /// Along the hem.
    pub hem: Option<Length>,
    /// The step it allows.
    pub step: Option<Step>,
}

/// The longest step, and what decides it.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Heel to heel.
    pub longest: Length,
    /// The level below the waist at which the skirt is tightest for it.
    pub below_waist: Length,
    /// The girth there.
    pub girth: Length,
    /// What of her body was not on the card and was reckoned.
    pub assumed: Vec<String>,
}

/// Measures a worked draft.
pub fn measure(worked: &Worked, card: &Card) -> Measured {
    let shell = Shell::of(worked);
    Measured {
        waist: shell.waist(worked),
        hip: shell.at_level(worked, "hip").map(|(girth, _)| girth),
        break_girth: shell.at_level(worked, "break").map(|(girth, _)| girth),
        hem: shell.hem(),
        step: shell.step(worked, card),
    }
}

/// A piece of the shell, and how many of it go round her.
struct Part<'a> {
    piece: &'a Piece,
    sheet: Option<&'a str>,
    times: f64,
    /// Its stitching line as chords.
    ring: Vec<Point>,
}

struct Shell<'a> {
    parts: Vec<Part<'a>>,
}

impl<'a> Shell<'a> {
    fn of(worked: &'a Worked) -> Self {
        let nowhere = Origin::default();
        let is_shell = |piece: &Piece| times(piece) > 0.0;
        let mut parts = Vec::new();
        for (i, piece) in worked.pieces.iter().enumerate() {
            let origin = worked.origins.get(i);
            // A copy of a piece that is itself cut from the shell lies on it.
            let lies_on_another = origin.unwrap_or(&nowhere).copied_from.iter().any(|from| {
                worked
                    .pieces
                    .iter()
                    .any(|p| p.name == *from && p.name != piece.name && is_shell(p))
            });
            if !is_shell(piece) || lies_on_another {
                continue;
            }
            let Ok(outline) = piece.outline() else {
                continue;
            };
            parts.push(Part {
                piece,
                sheet: origin.and_then(|o| o.sheet.as_deref()),
                times: times(piece),
                ring: outline.flatten(Length::mm(NEAR)),
            });
        }
        // A sheet without a level of the body (a ring, a frill) lies beside her, unless none has one:
        // then the pieces share the levels from which their edges were taken.
        let levelled = |part: &Part<'_>| {
            let has = |sheet| worked.levels.iter().any(|l| l.sheet == sheet);
            part.sheet.is_some_and(has)
        };
        if parts.iter().any(levelled) {
            for part in &mut parts {
                if !levelled(part) {
                    part.sheet = None;
                }
            }
        }
        Self { parts }
    }

    /// The pieces that lie in their place on a sheet.
    fn placed(&self) -> impl Iterator<Item = &Part<'a>> {
        self.parts.iter().filter(|p| p.sheet.is_some())
    }

    /// Once round at a level so far down the paper.
    fn girth(&self, y: f64) -> Option<Length> {
        let round: f64 = self.placed().map(|p| p.times * p.across(y)).sum();
        (round > 0.0).then(|| Length::try_mm(round)).flatten()
    }

    /// Once round at a level of the body, and how far that lies below the waist. Where the level
    /// differs from sheet to sheet (a break that steps down) the tightest is meant.
    fn at_level(&self, worked: &Worked, body: &str) -> Option<(Length, Length)> {
        let foot = self.foot();
        worked
            .levels
            .iter()
            .filter(|l| l.body == body)
            .filter_map(|l| {
                // Where the pieces end at the level itself, its edge may run a little above it.
                let past = foot.map_or(0.0, |f| (l.y - (f - 0.01)).max(0.0));
                let girth = (past < PAST_FOOT).then(|| self.girth(l.y - past))??;
                Some((girth, l.below_waist))
            })
            .min_by(|a, b| a.0.in_mm().total_cmp(&b.0.in_mm()))
    }

    /// The sewn edges along the top, at the waist level.
    fn waist(&self, worked: &Worked) -> Option<Length> {
        let level = waist_level(worked)?;
        let mut round = 0.0;
        for part in self.placed() {
            for edge in &part.piece.edges {
                let (a, b) = (edge.curve.start(), edge.curve.end());
                let at_waist = [a, b].iter().all(|p| (p.y - level).abs() <= AT_WAIST);
                let across = (b.x - a.x).abs() > (b.y - a.y).abs();
                if edge.role == Role::Fold || !at_waist || !across {
                    continue;
                }
                let middle = edge.curve.at(edge.curve.length() * 0.5).point;
                let above = Point::new(middle.x, middle.y - 1.0);
                let covered = self
                    .placed()
                    .any(|p| p.sheet == part.sheet && p.piece.holds(above));
                if !covered {
                    let sewn = part.piece.sewn_length(&edge.name).ok()?;
                    round += part.times * sewn.in_mm();
                }
            }
        }
        (round > 0.0).then(|| Length::try_mm(round)).flatten()
    }

    /// The hems of the shell.
    fn hem(&self) -> Option<Length> {
        let mut round = 0.0;
        for part in &self.parts {
            for edge in part.piece.edges.iter().filter(|e| e.role == Role::Hem) {
                // The upper edge of a band may be turned in like a hem; it is none of the garment's.
                if !part.hangs_from(edge) {
                    round += part.times * part.piece.sewn_length(&edge.name).ok()?.in_mm();
                }
            }
        }
        (round > 0.0).then(|| Length::try_mm(round)).flatten()
    }

    /// How far down it goes round her without a gap: the lowest foot on each sheet, and of those the
    /// highest.
    fn foot(&self) -> Option<f64> {
        let mut sheets: Vec<(&str, f64)> = Vec::new();
        for part in self.placed() {
            let (Some(sheet), Some(foot)) = (part.sheet, part.foot()) else {
                continue;
            };
            match sheets.iter_mut().find(|(s, _)| *s == sheet) {
                Some((_, lowest)) => *lowest = lowest.max(foot),
                None => sheets.push((sheet, foot)),
            }
        }
        sheets
            .into_iter()
            .map(|(_, foot)| foot)
            .min_by(f64::total_cmp)
    }

    /// The longest step that every level below the hip allows.
    fn step(&self, worked: &Worked, card: &Card) -> Option<Step> {
        let waist = waist_level(worked)?;
        let hip = worked.levels.iter().find(|l| l.body == "hip")?.y;
        let foot = self.foot().filter(|y| *y > hip)?;
        let named = worked
            .levels
            .iter()
            .map(|l| l.y)
            .filter(|y| *y > hip && *y < foot);
        let between = (1..=LEVELS).map(|i| hip + (foot - hip) * f64::from(i) / f64::from(LEVELS));
        let mut tightest: Option<Step> = None;
        for y in named.chain(between) {
            // The last level lies on the hem itself, where a hair more would be past it.
            let y = y.min(foot - 0.01);
            if self.placed().any(|p| p.is_open(y)) {
                continue;
            }
            let (Some(girth), Some(below_waist)) = (self.girth(y), Length::try_mm(y - waist))
            else {
                continue;
            };
            let Ok(answer) = step::longest_step(card, girth, below_waist) else {
                continue;
            };
            if tightest.as_ref().is_none_or(|t| answer.value < t.longest) {
                tightest = Some(Step {
                    longest: answer.value,
                    below_waist,
                    girth,
                    assumed: answer.assumed.iter().map(|p| p.name.clone()).collect(),
                });
            }
        }
        tightest
    }
}

fn waist_level(worked: &Worked) -> Option<f64> {
    let level = worked.levels.iter().find(|l| l.body == "waist");
    // A sheet whose waist has no level of its own still says how far below it the others lie.
    level
        .map(|l| l.y)
        .or_else(|| worked.levels.first().map(|l| l.y - l.below_waist.in_mm()))
}

/// How often a piece goes round her: each cut in the shell, twice when it opens out on a fold.
fn times(piece: &Piece) -> f64 {
    piece
        .cuts
        .iter()
        .filter(|c| c.cloth == "shell")
        .map(|c| f64::from(c.count) * if c.on_fold { 2.0 } else { 1.0 })
        .sum()
}

impl Part<'_> {
    /// How wide the piece is at a level, darts sewn.
    fn across(&self, y: f64) -> f64 {
        let darts: f64 = self
            .piece
            .darts
            .iter()
            .filter_map(|d| {
                let curve = &self.piece.edge(&d.edge).ok()?.curve;
                let (a, b) = (curve.at(d.mouth.0).point, curve.at(d.mouth.1).point);
                Some(across(&[a, b, d.tip, a], y))
            })
            .sum();
        (across(&self.ring, y) - darts).max(0.0)
    }

    /// How far down the piece is closed all the way across: the upper end of its lowest edge that runs
    /// across.
    fn foot(&self) -> Option<f64> {
        let edges = self.piece.edges.iter().filter_map(|e| {
            let (a, b) = (e.curve.start(), e.curve.end());
            ((b.x - a.x).abs() > (b.y - a.y).abs()).then(|| a.y.min(b.y))
        });
        edges.max_by(f64::total_cmp)
    }

    /// Whether an edge runs level with the piece below it.
    fn hangs_from(&self, edge: &Edge) -> bool {
        let (a, b) = (edge.curve.start(), edge.curve.end());
        let middle = edge.curve.at(edge.curve.length() * 0.5).point;
        let level = (b.y - a.y).abs() < 0.1 * (b.x - a.x).abs();
        level && self.piece.holds(Point::new(middle.x, middle.y + 1.0))
    }

    /// Whether a slit leaves the skirt open at a level: an opening that reaches down to the foot.
    fn is_open(&self, y: f64) -> bool {
        self.piece.edges.iter().any(|edge| {
            let curve = &edge.curve;
            let lower = curve.start().y.max(curve.end().y);
            edge.open.iter().any(|(from, to)| {
                let (a, b) = (curve.at(*from).point.y, curve.at(*to).point.y);
                a.max(b) > lower - 1.0 && y > a.min(b)
            })
        })
    }
}

/// How much of a level lies inside a ring of chords.
fn across(ring: &[Point], y: f64) -> f64 {
    let mut cuts: Vec<f64> = ring
        .windows(2)
        .filter(|w| (w[0].y > y) != (w[1].y > y))
        .map(|w| w[0].x + (y - w[0].y) / (w[1].y - w[0].y) * (w[1].x - w[0].x))
        .collect();
    cuts.sort_by(f64::total_cmp);
    cuts.chunks_exact(2).map(|c| c[1] - c[0]).sum()
}

#[cfg(test)]
mod tests {
    use draft::worked::LevelMade;
    use measure::Curve;
    use measure::fraction::Unit;
    use piece::{Cut, Dart};

    use super::*;

    /// A quarter of a straight skirt, cut on the fold: 250 mm wide, 700 long, a dart of 30 by 100.
    fn quarter(name: &str) -> Piece {
        let corners = [(0.0, 0.0), (250.0, 0.0), (250.0, 700.0), (0.0, 700.0)];
        let roles = [
            ("top", Role::Seam),
            ("side", Role::Seam),
            ("foot", Role::Hem),
            ("middle", Role::Fold),
        ];
        let edges = (0..4)
            .map(|i| {
                let (a, b) = (corners[i], corners[(i + 1) % 4]);
                let line = Curve::line(Point::new(a.0, a.1), Point::new(b.0, b.1)).unwrap();
                Edge {
                    role: roles[i].1,
                    ..Edge::plain(roles[i].0, line)
                }
            })
            .collect();
        let mut piece = Piece::from_edges(name, edges).unwrap();
        piece.darts.push(Dart {
            name: "dart".into(),
            edge: "top".into(),
            mouth: (Length::mm(100.0), Length::mm(130.0)),
            tip: Point::new(115.0, 100.0),
            pressed: None,
        });
        piece.cuts.push(Cut {
            cloth: "shell".into(),
            count: 1,
            on_fold: true,
            pair: false,
        });
        piece
    }

    fn skirt() -> Worked {
        let mut facing = quarter("facing");
        facing.darts.clear();
        let mut levels = Vec::new();
        for sheet in ["one", "two"] {
            for (body, y) in [("waist", 0.0), ("high hip", 50.0), ("hip", 200.0)] {
                levels.push(LevelMade {
                    body: body.into(),
                    name: body.into(),
                    sheet: sheet.into(),
                    below_waist: Length::mm(y),
                    y,
                });
            }
        }
        let on = |sheet: &str, from: &[&str]| Origin {
            sheet: Some(sheet.into()),
            copied_from: from.iter().map(|f| (*f).to_owned()).collect(),
        };
        Worked {
            pieces: vec![quarter("one"), quarter("two"), facing],
            origins: vec![on("one", &[]), on("two", &[]), on("one", &["one"])],
            levels,
            ..Worked::default()
        }
    }

    /// Would catch a facing counted as shell, a fold counted once, a dart left open.
    #[test]
    fn a_straight_skirt_measures_what_its_sums_say() {
        let worked = skirt();
        let m = measure(&worked, &Card::new("x", Unit::Cm));
        assert_eq!(m.waist, Some(Length::mm(4.0 * 220.0)));
        assert_eq!(m.hip, Some(Length::mm(4.0 * 250.0)));
        assert_eq!(m.hem, Some(Length::mm(4.0 * 250.0)));
        assert_eq!(m.break_girth, None);
        let shell = Shell::of(&worked);
        // Half way down the dart half of it is left.
        let (girth, _) = shell.at_level(&worked, "high hip").unwrap();
        assert!((girth.in_mm() - 4.0 * 235.0).abs() < 1e-6, "{girth:?}");
    }

    /// Would catch a step taken at the wrong level: a straight skirt binds at its hem. The closed form
    /// is body/body.md 3.3.
    #[test]
    fn the_step_is_the_shortest_of_all_levels() {
        let card = Card::new("x", Unit::Cm)
            .with("waist to knee", Length::cm(59.5))
            .with("waist to floor", Length::cm(105.4))
            .with("knee to floor", Length::cm(45.9))
            .with("hip joint to floor", Length::cm(86.2))
            .with("height", Length::cm(163.0))
            .with("knee", Length::cm(36.5))
            .with("calf", Length::cm(35.3))
            .with("thigh", Length::cm(58.0));
        let step = measure(&skirt(), &card).step.unwrap();
        assert!((step.below_waist.in_mm() - 700.0).abs() < 0.1, "{step:?}");
        let at_hem = step::longest_step(&card, Length::mm(1000.0), Length::mm(699.99)).unwrap();
        assert_eq!(step.longest, at_hem.value);
        assert!(step.assumed.is_empty(), "{step:?}");
    }

    /// Would catch a ring that is sewn to the skirt, drawn on a sheet of its own, counted as if it lay
    /// round the hip.
    #[test]
    fn a_sheet_without_levels_of_the_body_is_not_measured_at_them() {
        let mut worked = skirt();
        worked.pieces.push(quarter("ring"));
        worked.origins.push(Origin {
            sheet: Some("ring".into()),
            copied_from: Vec::new(),
        });
        let m = measure(&worked, &Card::new("x", Unit::Cm));
        assert_eq!(m.hip, Some(Length::mm(4.0 * 250.0)));
        assert_eq!(m.hem, Some(Length::mm(6.0 * 250.0)));
    }

    /// Would catch a slit that is counted as closed, or a zip as open.
    #[test]
    fn a_slit_frees_the_levels_below_its_top() {
        let mut worked = skirt();
        let curve_of = |p: &Piece| p.edge("side").unwrap().curve.length();
        let whole = curve_of(&worked.pieces[0]);
        worked.pieces[0].edges[1].open = vec![(Length::mm(500.0), whole)];
        let card = Card::new("x", Unit::Cm).with("height", Length::cm(163.0));
        let step = measure(&worked, &card).step.unwrap();
        assert!(step.below_waist.in_mm() <= 500.0, "{step:?}");
        worked.pieces[0].edges[1].open = vec![(Length::ZERO, Length::mm(180.0))];
        let step = measure(&worked, &card).step.unwrap();
        assert!((step.below_waist.in_mm() - 700.0).abs() < 0.1, "{step:?}");
    }
}
