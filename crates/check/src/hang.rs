//! How the pieces hang: which lie on their sheet as they are worn, which edges run down to the hem,
//! what is front and what is back.

use measure::{Angle, Point, Vector, angle};
use piece::Role;

use crate::seen::{EdgeSeen, Leg, Part, Place, Seen};

/// Front or back of her.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Half {
    Front,
    Back,
}

/// Which half a name speaks of, if it speaks of just one.
pub(crate) fn half_named(name: &str) -> Option<Half> {
    let has = |wanted: &str| {
        name.split(|c: char| !c.is_alphanumeric())
            .any(|word| word.eq_ignore_ascii_case(wanted))
    };
    match (has("front"), has("back")) {
        (true, false) => Some(Half::Front),
        (false, true) => Some(Half::Back),
        _ => None,
    }
}

/// A piece as it is said in a sentence: `the front`, and one of several by its number.
pub(crate) fn the(name: &str) -> String {
    if name.split(' ').any(|word| word == "number") {
        name.to_owned()
    } else {
        format!("the {name}")
    }
}

/// The same at the beginning of a sentence.
pub(crate) fn begin(said: &str) -> String {
    let mut letters = said.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Which half a piece belongs to, by its name or else by what is written on it.
pub(crate) fn half(part: &Part<'_>) -> Option<Half> {
    half_named(&part.piece.name).or_else(|| part.piece.label.as_deref().and_then(half_named))
}

impl Seen<'_> {
    /// Whether a piece lies on its sheet as it hangs on her: shell, on a sheet with levels of her body,
    /// or, where no piece's sheet has any (panels put together from seams drawn apart), beside them.
    pub(crate) fn hangs(&self, part: &Part<'_>) -> bool {
        let has = |sheet: &str| self.worked.levels.iter().any(|l| l.sheet == sheet);
        let Some(sheet) = part.sheet.filter(|_| part.place == Place::Shell) else {
            return false;
        };
        has(sheet)
            || (!self.worked.levels.is_empty() && !self.shell().filter_map(|p| p.sheet).any(has))
    }

    /// How far down the paper a level of the body lies for a piece, in millimetres; where its own sheet
    /// has none, the lowest of all.
    pub(crate) fn level_of(&self, part: &Part<'_>, body: &str) -> Option<f64> {
        let own = part.sheet?;
        if self.worked.levels.iter().any(|l| l.sheet == own) {
            return self.level(own, body);
        }
        let all = self.worked.levels.iter().filter(|l| l.body == body);
        all.map(|l| l.y).max_by(f64::total_cmp)
    }

    /// The whole of an edge as one side of a seam.
    pub(crate) fn whole(&self, part: usize, edge: usize) -> Leg {
        Leg {
            part,
            edge,
            backward: false,
            stretch: (0.0, self.parts[part].edges[edge].line.length()),
        }
    }

    /// How far down the paper the waist level lies for a piece, in millimetres; a sheet whose waist has
    /// no level of its own still says how far below it the others lie.
    pub(crate) fn waist_of(&self, part: &Part<'_>) -> Option<f64> {
        self.level_of(part, "waist").or_else(|| {
            let levels = &self.worked.levels;
            let own = levels.iter().find(|l| Some(l.sheet.as_str()) == part.sheet);
            own.or_else(|| levels.first())
                .map(|l| l.y - l.below_waist.in_mm())
        })
    }

    /// The level from which the skirt flares: the break, or else the hip.
    pub(crate) fn flares_from(&self, part: &Part<'_>) -> Option<f64> {
        self.level_of(part, "break")
            .or_else(|| self.level_of(part, "hip"))
    }

    /// What it is called in a sentence: `the break` or `the hip`.
    pub(crate) fn flares_from_what(&self, part: &Part<'_>) -> &'static str {
        if self.level_of(part, "break").is_some() {
            "the break"
        } else {
            "the hip"
        }
    }
}

/// Whether an edge runs down more than across.
pub(crate) fn runs_down(edge: &EdgeSeen<'_>) -> bool {
    let chord = edge.line.end() - edge.line.start();
    chord.y.abs() > chord.x.abs()
}

/// The lower part of an edge that runs down to the hem, walked downward.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fall {
    /// Where it crosses the level from which it is looked at.
    pub(crate) from: Point,
    /// Where it meets the hem.
    pub(crate) foot: Point,
    /// 1 when the piece lies to the left of it on the paper, -1 when it lies to the right.
    pub(crate) outward: f64,
}

impl Fall {
    /// How far it flares out, in millimetres.
    pub(crate) fn flare(&self) -> f64 {
        (self.foot.x - self.from.x) * self.outward
    }

    /// How far it slopes out from the plumb.
    pub(crate) fn slope(&self) -> Angle {
        Angle::radians(angle::atan2(self.flare(), self.foot.y - self.from.y))
    }

    /// Its direction, downward.
    pub(crate) fn direction(&self) -> Vector {
        self.foot - self.from
    }
}

/// Which end of an edge meets the hem: its beginning (`true`) or its end.
pub(crate) fn foot_end(part: &Part<'_>, edge: usize) -> Option<bool> {
    let (before, after) = (part.before(edge), part.after(edge));
    let line = &part.edges[edge].line;
    let lower = |at_start: bool| {
        if at_start {
            line.start().y > line.end().y
        } else {
            line.end().y > line.start().y
        }
    };
    if before.edge.role == Role::Hem && lower(true) {
        Some(true)
    } else if after.edge.role == Role::Hem && lower(false) {
        Some(false)
    } else {
        None
    }
}

/// How an edge falls from a level to the hem, where it does.
pub(crate) fn fall(part: &Part<'_>, edge: usize, level: f64) -> Option<Fall> {
    let at_start = foot_end(part, edge)?;
    let line = &part.edges[edge].line;
    let crossings = line.crossings(level);
    let (from, foot) = if at_start {
        (*crossings.first()?, line.start())
    } else {
        (*crossings.last()?, line.end())
    };
    let from = line.at(from);
    if foot.y - from.y < 25.4 {
        return None;
    }
    // The ring is walked clockwise: with the foot at its end the edge is walked downward, and the
    // piece lies to the walker's right, which is the left of the paper.
    let outward = if at_start { -1.0 } else { 1.0 };
    Some(Fall {
        from,
        foot,
        outward,
    })
}

/// How far the grain arrow of a piece is from the plumb, in degrees, whichever way it points; none
/// without an arrow.
pub(crate) fn off_plumb(part: &Part<'_>) -> Option<f64> {
    let grain = part.piece.grain?;
    let way = (grain.to - grain.from).unit()?;
    Some(angle::atan2(way.x.abs(), way.y.abs()).to_degrees())
}
