//! An edge as it is when its darts are sewn.

use measure::{Angle, Curve, Length, Motion};

use super::SAME;
use crate::fault::Fault;
use crate::ring::{Dart, Piece};

/// A stretch between two darts.
#[derive(Clone, Debug)]
pub(super) struct Section {
    /// From and to along the edge as it lies flat.
    pub(super) flat: (f64, f64),
    /// Where it begins along the sewn edge.
    pub(super) sewn: f64,
    /// What brings it to its sewn place, and back.
    pub(super) there: Motion,
    pub(super) back: Motion,
}

/// An edge with its darts closed one after the other from its beginning, which stays.
#[derive(Clone, Debug)]
pub(super) struct Sewn {
    pub(super) curve: Curve,
    pub(super) sections: Vec<Section>,
    /// Its darts in order along it.
    pub(super) darts: Vec<Dart>,
}

impl Sewn {
    pub(super) fn of(piece: &Piece, name: &str) -> Result<Self, Fault> {
        let edge = piece.edge(name)?;
        let curve = &edge.curve;
        let whole = curve.length().in_mm();
        let mut darts: Vec<Dart> = piece
            .darts
            .iter()
            .filter(|d| d.edge == name)
            .cloned()
            .collect();
        darts.sort_by(|a, b| a.mouth.0.in_mm().total_cmp(&b.mouth.0.in_mm()));
        if let Some(w) = darts
            .windows(2)
            .find(|w| w[1].mouth.0.in_mm() < w[0].mouth.1.in_mm() - SAME)
        {
            return Err(Fault::Says(format!(
                "The darts `{}` and `{}` overlap.",
                w[0].name, w[1].name
            )));
        }
        let mut sections = vec![Section {
            flat: (0.0, whole),
            sewn: 0.0,
            there: Motion::STILL,
            back: Motion::STILL,
        }];
        for d in &darts {
            let (p, q) = (curve.at(d.mouth.0).point, curve.at(d.mouth.1).point);
            let angle = (q - d.tip).angle_to(p - d.tip);
            let last = sections.len() - 1;
            let before = &mut sections[last];
            before.flat.1 = d.mouth.0.in_mm();
            let next = Section {
                flat: (d.mouth.1.in_mm(), whole),
                sewn: before.sewn + (before.flat.1 - before.flat.0),
                there: Motion::turn(d.tip, angle).then(&before.there),
                back: before.back.then(&Motion::turn(d.tip, Angle::ZERO - angle)),
            };
            sections.push(next);
        }
        let mut segments = Vec::new();
        for s in &sections {
            if s.flat.1 - s.flat.0 < SAME {
                continue;
            }
            let Ok(part) = curve.sub(Length::mm(s.flat.0), Length::mm(s.flat.1)) else {
                continue;
            };
            let part = part.moved(&s.there);
            // Legs are equal to rounding only; a closed mouth has no gap.
            let part = match segments.last() {
                Some(l) => {
                    let end = measure::Segment::to(l);
                    part.with_ends(end, part.end())
                        .map_err(|_| Fault::Nothing(format!("the edge `{name}`")))?
                }
                None => part,
            };
            segments.extend_from_slice(part.segments());
        }
        let curve = Curve::from_segments(segments)
            .map_err(|_| Fault::Nothing(format!("the edge `{name}`")))?;
        Ok(Self {
            curve,
            sections,
            darts,
        })
    }

    /// The section at a place of the flat edge; in a mouth, the one before it.
    pub(super) fn section(&self, flat: f64) -> &Section {
        self.sections
            .iter()
            .rev()
            .find(|s| s.flat.0 <= flat + SAME)
            .unwrap_or(&self.sections[0])
    }

    /// The place along the sewn edge of a place along the flat one.
    pub(super) fn along(&self, flat: Length) -> Length {
        let s = self.section(flat.in_mm());
        let within = (flat.in_mm() - s.flat.0).clamp(0.0, s.flat.1 - s.flat.0);
        Length::mm(s.sewn + within)
    }

    /// The place along the flat edge of a place along the sewn one; where a dart is sewn, before it.
    pub(super) fn flat(&self, sewn: f64) -> f64 {
        self.sections
            .iter()
            .rev()
            .find(|s| s.sewn < sewn - SAME)
            .map_or(0.0, |s| s.flat.0 + (sewn - s.sewn))
    }

    /// The motion that has brought the end of the edge to its sewn place.
    pub(super) fn last(&self) -> &Section {
        &self.sections[self.sections.len() - 1]
    }
}
