//! A half piece on the fold, opened out to its full width.

use measure::{Length, Motion};
use piece::works::open_out;
use piece::{Balance, Fault, Role};

use crate::order::{Alteration, NotchWord, Order, SheetFault, SheetPiece};
use crate::words::{Words, fill};

impl SheetPiece {
    /// The whole of a piece that is a half on the fold; any other as it is. The fold stays as a level
    /// line under its name, what was cut once on the fold is cut once, and every word stands on both
    /// sides.
    ///
    /// # Errors
    /// When the fold is not straight.
    pub fn opened_out(&self, words: &Words) -> Result<Self, Fault> {
        let mut whole = self.clone();
        // A piece with two folds (a belt) is opened twice.
        for _ in 0..2 {
            let Some(fold) = whole.piece.edges.iter().find(|e| e.role == Role::Fold) else {
                break;
            };
            let name = fold.name.clone();
            whole = opened_at(&whole, &name, words)?;
        }
        Ok(whole)
    }
}

fn opened_at(half: &SheetPiece, name: &str, words: &Words) -> Result<SheetPiece, Fault> {
    let fold = half.piece.edge(name)?;
    let (from, to) = (fold.curve.start(), fold.curve.end());
    let mut piece = open_out(&half.piece, name)?;
    let way = (to - from)
        .unit()
        .ok_or_else(|| Fault::Nothing(format!("`{name}`")))?;
    let over = Motion::reflect(from, way);
    piece.balance.push(Balance {
        name: name.to_owned(),
        from,
        to,
    });
    // The nearest edge to where a place of the half comes to lie, and how far along it that is.
    let edge_at = |p| {
        piece
            .edges
            .iter()
            .map(|e| (e.curve.nearest(p), e))
            .min_by(|a, b| a.0.distance.in_mm().total_cmp(&b.0.distance.in_mm()))
            .map(|(near, e)| (e.name.clone(), near.along))
    };
    let mut seams = half.seams.clone();
    let mut notch_words: Vec<NotchWord> = Vec::new();
    for edge in &half.piece.edges {
        let middle = edge.curve.at(edge.curve.length() * 0.5).point;
        let said = half.seams.iter().find(|(n, _)| *n == edge.name);
        if let (Some((_, text)), Some((twin, _))) = (said, edge_at(over.point(middle)))
            && !seams.iter().any(|(n, _)| *n == twin)
        {
            seams.push((twin, text.clone()));
        }
        for word in half.notch_words.iter().filter(|w| w.edge == edge.name) {
            let here = edge.curve.at(word.at).point;
            for p in [here, over.point(here)] {
                if let Some((edge, at)) = edge_at(p)
                    && !notch_words
                        .iter()
                        .any(|w| w.edge == edge && (w.at - at).abs() < Length::mm(1.0))
                {
                    notch_words.push(NotchWord {
                        edge,
                        at,
                        text: word.text.clone(),
                    });
                }
            }
        }
    }
    // A line that reaches the fold goes right across.
    let on_fold = |p: measure::Point| way.cross(p - from).abs() < 0.05;
    let mut alterations = Vec::new();
    for a in &half.alterations {
        match (on_fold(a.from), on_fold(a.to)) {
            (true, _) => alterations.push(Alteration {
                from: over.point(a.to),
                to: a.to,
            }),
            (_, true) => alterations.push(Alteration {
                from: a.from,
                to: over.point(a.from),
            }),
            _ => alterations.extend([
                *a,
                Alteration {
                    from: over.point(a.from),
                    to: over.point(a.to),
                },
            ]),
        }
    }
    let mut notes = half.notes.clone();
    notes.push(fill(words.full_width, &[("edge", name)]));
    Ok(SheetPiece {
        piece,
        seams,
        notch_words,
        alterations,
        notes,
        ..half.clone()
    })
}

impl Order {
    /// The same order with every half piece opened out.
    ///
    /// # Errors
    /// When a fold is not straight; the piece is named.
    pub fn opened_out(mut self) -> Result<Self, SheetFault> {
        let words = self.words;
        for p in &mut self.pieces {
            *p = p
                .opened_out(words)
                .map_err(|fault| SheetFault::Piece(p.piece.name.clone(), fault))?;
        }
        Ok(self)
    }
}

#[cfg(test)]
mod tests {
    use crate::samples;
    use crate::words::ENGLISH;

    // Catches a half that loses or doubles something: the whole is twice as large, has every mark on
    // both sides, keeps the fold as a line, and is cut once, not on the fold.
    #[test]
    fn the_whole_is_twice_the_half() {
        let half = samples::front();
        let whole = half.opened_out(&ENGLISH).unwrap();
        assert!((whole.piece.area() - 2.0 * half.piece.area()).abs() < 0.5);
        assert!(whole.piece.fold().is_none());
        let fold = half.piece.fold().unwrap();
        let line = whole.piece.balance.iter().find(|b| b.name == fold.name);
        assert!((line.unwrap().to - line.unwrap().from).size() > 1000.0);
        let marks = |p: &crate::SheetPiece| -> usize {
            p.piece.edges.iter().map(|e| e.notches.len()).sum()
        };
        assert_eq!(marks(&whole), 2 * marks(&half));
        assert_eq!(whole.piece.darts.len(), 2 * half.piece.darts.len());
        for (before, after) in half.piece.cuts.iter().zip(&whole.piece.cuts) {
            assert!(!after.on_fold && !after.pair && after.count == before.count);
        }
        // Each seam says on both sides what it is sewn to.
        let side = half.seams.iter().find(|s| s.0 == "side").unwrap();
        assert_eq!(whole.seams.iter().filter(|s| s.1 == side.1).count(), 2);
        for a in &whole.alterations {
            assert!((a.to.x + a.from.x).abs() < 0.2, "{a:?}");
        }
        // A word stands at its notch on either side.
        assert_eq!(whole.notch_words.len(), 2 * half.notch_words.len());
        let back = samples::back();
        assert_eq!(back.opened_out(&ENGLISH).unwrap(), back);
    }
}
