//! Small drawings of where the tape goes, one for each measure that the trade knows.
//!
//! ```text
//! name of a measure -> view of a body, levels, tape -> Figure (chains of points) -> SVG | paper
//! ```
//! A figure is plain data: chains of points and letters, y down, in units of its own. What is hidden
//! by something nearer is taken away already, so that it can be drawn with a pen alone.
//! The body has the middle measures of the 1988 survey of US Army women (Gordon et al.,
//! NATICK/TR-89/044, 1989, public domain); its curves are our own.

use measure::{Point, names};

mod along;
mod body;
mod poses;
mod round;
mod sketch;
mod strokes;
mod tape;

use sketch::Sketch;

/// What a part of a figure is, and so how it is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// The ground of the body: filled on a page, left out by a pen.
    Flesh,
    /// The outline of the body.
    Skin,
    /// A finer line of the body, or something she stands or sits on.
    Thin,
    /// The tape that is tied round the waist, or another line she is given to measure from.
    Tied,
    /// What lies behind the body: dotted.
    Far,
    /// A level that the measure refers to.
    Level,
    /// The measuring tape: filled on a page, outlined.
    Band,
    /// The inches of the tape.
    Tick,
    /// Where the tape begins and ends.
    End,
    /// From a place to its name.
    Leader,
}

/// A part of a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is.
    pub look: Look,
    /// Its points, in units of the figure.
    pub chain: Vec<Point>,
    /// Whether the last point joins the first.
    pub closed: bool,
}

/// The name of a place beside a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Letter {
    /// Where the base line begins.
    pub at: Point,
    /// What it says.
    pub text: &'static str,
}

/// A drawing of how a measure is taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The drawing in words.
    pub says: String,
    /// Units across; letters are [`Figure::LETTER`] units high.
    pub width: f64,
    /// Units down.
    pub height: f64,
    /// What is drawn, the farthest first.
    pub parts: Vec<Part>,
    /// The names beside it.
    pub letters: Vec<Letter>,
}

impl Figure {
    /// Units across, names included.
    pub const WIDTH: f64 = 210.0;
    /// Units across that the drawing itself takes at the most.
    pub const DRAWN: f64 = 128.0;
    /// The size of the letters, in units.
    pub const LETTER: f64 = 14.0;
}

/// How this measure is taken, for every name and other name that the trade knows.
///
/// # Example
/// ```
/// let figure = sheet::figure::figure("nape to waist").expect("a measure of the trade");
/// assert!(figure.says.contains("from the nape to the waist"));
/// assert!(sheet::figure::figure("length of the nose").is_none());
/// ```
pub fn figure(measure: &str) -> Option<Figure> {
    let known = names::find(measure)?;
    let mut sketch: Sketch = round::drawn(known.name).or_else(|| along::drawn(known.name))?;
    sketch.seat_letters();
    Some(sketch.finished(says(known)))
}

fn says(measure: &names::Measure) -> String {
    let opening = match measure.kind {
        names::Kind::Angle | names::Kind::Wish => "What is meant",
        _ => "Where the tape goes",
    };
    format!("{opening}: {}", measure.definition)
}

#[cfg(test)]
mod tests;
