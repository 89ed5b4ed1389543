//! The draft so far: what is drawn on a sheet up to a step, the step's own lines in chalk with their
//! numbers, what its sentence names called by its name.
//!
//! Everything is in units of the drawing, its height about four hundred, so that lettering keeps its
//! size beside the lines from a phone to a wall.

mod clear;
mod frame;
mod numbers;
mod onpieces;
mod spelled;

use draft::Worked;
use draft::worked::{Drawn, Shape, Step, Telling};
use maud::{Markup, html};
use measure::fraction::{Shown, show_number};
use measure::{Length, Point, Vector};

use super::letters::glyphs;
use super::number;
use clear::{Clear, Spot, wide};
use frame::{CHORD, Frame};
use numbers::{Said, figures};

/// The size of names, in units: of what is new, and of what was there.
const NEW: f64 = 20.0;
const OLD: f64 = 17.0;
/// The size of a number.
const FIGURE: f64 = 29.0;
/// A step's own dot, and an earlier one.
const DOT: (f64, f64) = (5.0, 3.0);
/// More new things than this are a sheet that is traced.
const MANY: usize = 6;

/// How the draft so far is wanted.
#[derive(Clone, Copy, Debug)]
pub(crate) struct How<'a> {
    /// The number of the last step that is drawn.
    pub(crate) step: u32,
    pub(crate) shown: Shown,
    /// A ruled blank stands for each number that is the client's.
    pub(crate) hidden: bool,
    /// Its name in the page, for its title.
    pub(crate) id: &'a str,
}

/// The drawing of a step: the sheet so far, or the pieces; nothing when there is nothing to be seen.
pub(crate) fn sofar(worked: &Worked, how: &How<'_>) -> Option<Markup> {
    let step = worked.steps.iter().find(|s| s.number == Some(how.step))?;
    match sheet_of(worked, step) {
        Some(sheet) => Some(on_sheet(worked, step, sheet, how)),
        None => onpieces::drawing(worked, step, how),
    }
}

/// A whole sheet, all its steps done, nothing new: for the list of steps.
pub(crate) fn whole(worked: &Worked, sheet: &str, how: &How<'_>) -> Option<Markup> {
    let done = Step {
        number: Some(u32::MAX),
        stage: sheet.to_owned(),
        sentence: String::new(),
        short: String::new(),
        few: Vec::new(),
        why: None,
        draws: Vec::new(),
        pieces: Vec::new(),
        lines: Vec::new(),
    };
    let any = worked.drawn.iter().any(|d| d.sheet == sheet);
    any.then(|| {
        let how = How {
            step: u32::MAX,
            ..*how
        };
        on_sheet(worked, &done, sheet, &how)
    })
}

/// The sheet that a step draws on.
pub(crate) fn sheet_of<'a>(worked: &'a Worked, step: &'a Step) -> Option<&'a str> {
    let drawn = |name: &str| worked.drawn.iter().any(|d| d.sheet == name);
    step.draws
        .iter()
        .map(|(sheet, _)| sheet.as_str())
        .chain([step.stage.as_str()])
        .find(|name| drawn(name))
}

/// A name as it is read: `dart 1`, not `dart number 1`.
pub(crate) fn called(name: &str) -> String {
    name.replace(" number ", " ")
}

/// The drawing while it is made.
struct Table<'a> {
    frame: Frame,
    clear: Clear,
    step: &'a Step,
    how: &'a How<'a>,
    /// Everything that is ever drawn on the sheet, and what of it is drawn so far.
    all: Vec<&'a Drawn>,
    there: Vec<&'a Drawn>,
    lines: Vec<Markup>,
    words: Vec<Markup>,
    /// All that the step says.
    says: String,
    /// Where arrows run from ruling to ruling.
    arrows: Vec<f64>,
}

fn on_sheet(worked: &Worked, step: &Step, sheet: &str, how: &How<'_>) -> Markup {
    let all: Vec<&Drawn> = worked.drawn.iter().filter(|d| d.sheet == sheet).collect();
    let frame = Frame::of(&all);
    let mut says = format!("{} {}", step.sentence, step.short).to_lowercase();
    for part in &step.few {
        if let Telling::Point { name, .. } = part {
            says.push(' ');
            says.push_str(name);
        }
    }
    let mut table = Table {
        clear: Clear::of(frame.size()),
        frame,
        step,
        how,
        there: all.iter().copied().filter(|d| d.step <= how.step).collect(),
        lines: Vec::new(),
        words: Vec::new(),
        says,
        all,
        arrows: Vec::new(),
    };
    table.feel();
    table.rule();
    table.draw();
    table.level_names();
    table.figures();
    table.names();
    let size = table.frame.size();
    let title_id = format!("{}-title", how.id);
    html! {
        svg.sofar viewBox={ "0 0 " (number(size.0.round())) " " (number(size.1.round())) } role="img" aria-labelledby=(title_id) {
            title id=(title_id) { (title(worked, step, sheet, &table)) }
            @for line in &table.lines { (line) }
            @for word in &table.words { (word) }
        }
    }
}

/// What is to be seen, for those who don't see it.
fn title(worked: &Worked, step: &Step, sheet: &str, table: &Table<'_>) -> String {
    let sheet = check::told::capital(&called(sheet));
    if step.sentence.is_empty() {
        return format!("{sheet}, all of it drawn");
    }
    let new: Vec<String> = table
        .there
        .iter()
        .filter(|d| table.is_new(d))
        .map(|d| called(&d.name))
        .collect();
    let old = table.there.len() - new.len();
    let last = worked.steps.iter().filter_map(|s| s.number).max();
    let so_far = match old {
        0 => "the first lines".to_owned(),
        1 => "one thing drawn before".to_owned(),
        n => format!("{n} things drawn before"),
    };
    format!(
        "{sheet} after step {} of {}: {so_far}, and now in chalk {}",
        table.how.step,
        last.unwrap_or(table.how.step),
        if new.is_empty() {
            "nothing new".to_owned()
        } else {
            new.join(", ")
        }
    )
}

impl Table<'_> {
    fn is_new(&self, thing: &Drawn) -> bool {
        thing.step == self.how.step
    }

    /// How what is new is drawn: a whole sheet that is traced is not all thick.
    fn chalk(&self) -> &'static str {
        if self.there.iter().filter(|d| self.is_new(d)).count() > MANY {
            "chalkline fine"
        } else {
            "chalkline"
        }
    }

    /// Whether the step's words name this thing.
    fn names_it(&self, name: &str) -> bool {
        let name = name.to_lowercase();
        let mut says = self.says.clone();
        // The waist line is not the waist.
        for other in &self.all {
            let other = other.name.to_lowercase();
            if other.len() > name.len() && spelled::holds(&other, &name) {
                says = says.replace(&other, ",");
            }
        }
        spelled::holds(&says, &name)
    }

    /// Keeps words off the lines: off those to come too, so that a name stays where it is.
    fn feel(&mut self) {
        for thing in self.all.clone() {
            let there = thing.step <= self.how.step;
            match &thing.shape {
                Shape::Line { curve, edge, .. } => {
                    for chain in self.frame.chains(&curve.flatten(Length::mm(CHORD))) {
                        self.clear.line(&chain, *edge && there);
                    }
                }
                Shape::Dart { mouth, tip, .. } => {
                    let chain: Vec<Point> = [mouth.0, *tip, mouth.1]
                        .iter()
                        .map(|p| self.frame.put(*p))
                        .collect();
                    self.clear.line(&chain, there);
                }
                Shape::Point(p) if there => self.clear.dot(self.frame.put(*p), DOT.0),
                Shape::Point(p) => {
                    let at = self.frame.put(*p);
                    self.clear.line(&[at, at], false);
                }
                Shape::Level(y) => {
                    let (left, _, right, _) = self.frame.inner();
                    let y = self.frame.y(*y);
                    self.clear
                        .line(&[Point::new(left, y), Point::new(right, y)], false);
                }
                Shape::Upright(x) => {
                    let (_, top, _, foot) = self.frame.inner();
                    let x = self.frame.x(*x);
                    self.clear
                        .line(&[Point::new(x, top), Point::new(x, foot)], false);
                }
            }
        }
    }

    /// Levels and uprights.
    fn rule(&mut self) {
        let (left, top, right, foot) = self.frame.inner();
        let over = 8.0;
        for thing in self.there.clone() {
            let new = self.is_new(thing);
            match &thing.shape {
                Shape::Level(y) => {
                    let y = self.frame.y(*y);
                    if y < top - 0.5 || y > foot + 0.5 {
                        continue;
                    }
                    let class = if new { self.chalk() } else { "pencil" };
                    self.stroke(
                        class,
                        &[Point::new(left - over, y), Point::new(right + over, y)],
                    );
                }
                Shape::Upright(x) => {
                    let x = self.frame.x(*x);
                    if x < left - 0.5 || x > right + 0.5 {
                        continue;
                    }
                    let class = if new { self.chalk() } else { "pencil dash" };
                    let (above, below) = (Point::new(x, top - over), Point::new(x, foot + over));
                    match self.frame.gap() {
                        Some((from, to)) => {
                            self.broken(class, &[above, Point::new(x, from)]);
                            self.broken(class, &[Point::new(x, to), below]);
                        }
                        None => self.stroke(class, &[above, below]),
                    }
                }
                _ => {}
            }
        }
    }

    fn draw(&mut self) {
        let now = self.how.step;
        let there = self.there.clone();
        // What is new lies on top.
        for new in [false, true] {
            for thing in there.iter().filter(|d| (d.step == now) == new) {
                match &thing.shape {
                    Shape::Line { curve, edge, .. } => {
                        let class = match (new, edge) {
                            (true, _) => self.chalk(),
                            (false, true) => "drawn",
                            (false, false) => "pencil dash",
                        };
                        let frame = self.frame.clone();
                        let points = within(&frame, &curve.flatten(Length::mm(CHORD)), *edge);
                        for run in points {
                            for chain in frame.chains(&run) {
                                self.broken(class, &chain);
                            }
                        }
                    }
                    Shape::Dart { mouth, tip, .. } => {
                        let chain: Vec<Point> = [mouth.0, *tip, mouth.1]
                            .iter()
                            .map(|p| self.frame.put(*p))
                            .collect();
                        self.stroke(if new { "chalkline" } else { "drawn" }, &chain);
                    }
                    _ => {}
                }
            }
        }
        for new in [false, true] {
            for thing in there.iter().filter(|d| (d.step == now) == new) {
                if let Shape::Point(p) = &thing.shape {
                    let at = self.frame.put(*p);
                    let (class, r) = if new {
                        ("chalkdot", DOT.0)
                    } else {
                        ("inkdot", DOT.1)
                    };
                    self.lines.push(html! {
                        circle class=(class) cx=(tenth(at.x)) cy=(tenth(at.y)) r=(number(r)) {}
                    });
                }
            }
        }
    }

    fn stroke(&mut self, class: &str, chain: &[Point]) {
        self.lines
            .push(html! { path class=(class) d=(path(chain)) {} });
    }

    /// A line, with the sign of a break where it ends at the gap.
    fn broken(&mut self, class: &str, chain: &[Point]) {
        self.stroke(class, chain);
        let Some((from, to)) = self.frame.gap() else {
            return;
        };
        for end in [chain.first(), chain.last()].into_iter().flatten() {
            let way = if (end.y - from).abs() < 0.01 {
                1.0
            } else if (end.y - to).abs() < 0.01 {
                -1.0
            } else {
                continue;
            };
            let sign = [
                *end,
                Point::new(end.x + 5.0 * way, end.y + 2.0 * way),
                Point::new(end.x - 5.0 * way, end.y + 5.0 * way),
            ];
            // Dashes would hide it.
            self.stroke(class.trim_end_matches(" dash"), &sign);
        }
    }

    /// The names of levels, down the left side. A new one first, then those that are spoken of.
    fn level_names(&mut self) {
        let (left, top, _, foot) = self.frame.inner();
        let mut levels: Vec<(u8, &Drawn, f64)> = self
            .there
            .iter()
            .filter_map(|d| match &d.shape {
                Shape::Level(y) => Some((*d, self.frame.y(*y))),
                _ => None,
            })
            .filter(|(_, y)| *y >= top - 0.5 && *y <= foot + 0.5)
            .map(|(d, y)| {
                let rank = match (self.is_new(d), self.names_it(&d.name), &d.body) {
                    (true, ..) => 0,
                    (_, true, _) => 1,
                    (_, _, Some(_)) => 2,
                    _ => 3,
                };
                (rank, d, y)
            })
            .collect();
        levels.sort_by(|a, b| a.0.cmp(&b.0).then(a.2.total_cmp(&b.2)));
        let mut taken: Vec<f64> = Vec::new();
        for (rank, thing, y) in levels {
            let lines = spelled::in_column(&short_of(&thing.name), left - 16.0, NEW);
            #[expect(clippy::cast_precision_loss, reason = "a name has two lines at most")]
            let many = lines.rows.len() as f64;
            let high = lines.size * many;
            let free = |at: f64| taken.iter().all(|t| (t - at).abs() >= high.max(NEW) * 0.92);
            let Some(at) = [0.0, -4.0, 4.0, -8.0, 8.0, -12.0, 12.0, -16.0, 16.0]
                .into_iter()
                .map(|d| y + d)
                .find(|at| free(*at))
            else {
                continue;
            };
            taken.push(at);
            let class = match rank {
                0 => "letter end now",
                1 => "letter end",
                _ => "letter end soft",
            };
            let class = format!("{class}{}", if lines.size < NEW { " tight" } else { "" });
            for (i, row) in lines.rows.iter().enumerate() {
                #[expect(clippy::cast_precision_loss, reason = "a name has two lines at most")]
                let down = (i as f64 - (many - 1.0) / 2.0) * lines.size;
                self.words.push(text(
                    &class,
                    Point::new(left - 13.0, at + down + lines.size * 0.34),
                    0.0,
                    &glyphs(row),
                ));
            }
            self.clear
                .keep(Spot::level(Point::new(left / 2.0, at), left - 18.0, high));
        }
    }

    /// The numbers of the step, each on the paper where it is measured.
    fn figures(&mut self) {
        for said in figures(
            &self.there,
            self.step,
            self.how.shown,
            &self.says,
            &self.frame,
        ) {
            match said {
                Said::Across { from, to, figure } => self.arrow(from, to, &figure),
                Said::Level {
                    from,
                    to,
                    figure,
                    along,
                } => self.fall(from, to, &figure, along),
                Said::Along { chain, figure } => {
                    self.stroke("chalkline", &chain);
                    self.number_at(middle(&chain), &figure);
                }
            }
        }
    }

    /// An arrow from one place to another, and its number.
    fn arrow(&mut self, from: Point, to: Point, figure: &numbers::Figure) {
        let long = (from.x - to.x).hypot(from.y - to.y);
        if long > 2.0 {
            self.shaft(from, to);
        }
        self.number_at(from.toward(to, 0.5), figure);
    }

    /// The line of an arrow and, where it is long enough for one, its head.
    fn shaft(&mut self, from: Point, to: Point) {
        match self.frame.gap() {
            Some((top, foot))
                if (from.y - top) * (to.y - foot) < 0.0 && (from.x - to.x).abs() < 1e-9 =>
            {
                let (near, far) = if from.y < to.y {
                    (top, foot)
                } else {
                    (foot, top)
                };
                self.broken("chalkline", &[from, Point::new(from.x, near)]);
                self.broken("chalkline", &[Point::new(to.x, far), to]);
            }
            _ => self.stroke("chalkline", &[from, to]),
        }
        if (from.x - to.x).hypot(from.y - to.y) > 18.0 {
            self.stroke("chalkline", &head(from, to));
        }
    }

    /// An arrow down or across from one ruling to another, where there is room for it.
    fn fall(&mut self, from: f64, to: f64, figure: &numbers::Figure, upright: bool) {
        let (left, top, right, foot) = self.frame.inner();
        let said = self.said(figure);
        let reach = reach(figure);
        let mut tried: Vec<(Spot, Point, Point)> = Vec::new();
        for part in [0.5, 0.62, 0.38, 0.74, 0.26, 0.86, 0.14, 0.95, 0.05] {
            let (a, b) = if upright {
                let y = top + (foot - top) * (part * 0.6);
                (Point::new(from, y), Point::new(to, y))
            } else {
                let x = left + (right - left) * part;
                (Point::new(x, from), Point::new(x, to))
            };
            for s in beside(a.toward(b, 0.5), reach) {
                tried.push((s, a, b));
            }
        }
        // Two arrows do not run on one another.
        let taken = |p: &Point| {
            let at = if upright { p.y } else { p.x };
            self.arrows.iter().any(|a| (a - at).abs() < 16.0)
        };
        tried.sort_by_key(|(_, a, _)| taken(a));
        let spots: Vec<Spot> = tried.iter().map(|t| t.0).collect();
        let Some(found) = self.clear.take_some(&spots) else {
            return;
        };
        let (spot, a, b) = tried[found];
        self.arrows.push(if upright { a.y } else { a.x });
        self.shaft(a, b);
        self.clear.line(&[a, b], true);
        self.figure_in(&spot, &said);
    }

    fn number_at(&mut self, at: Point, figure: &numbers::Figure) {
        let said = self.said(figure);
        let spots = beside(at, reach(figure));
        if let Some(found) = self.clear.take_some(&spots) {
            self.figure_in(&spots[found], &said);
        }
    }

    /// A number's letters, and how they are set: a ruled blank where the client's are hidden.
    fn said(&self, figure: &numbers::Figure) -> (String, bool) {
        let blank = self.how.hidden && !figure.fixed;
        if blank {
            ("\u{a0}\u{a0}\u{a0}\u{a0}\u{a0}".to_owned(), true)
        } else {
            (glyphs(&figure.shown), false)
        }
    }

    fn figure_in(&mut self, spot: &Spot, (said, blank): &(String, bool)) {
        let at = Point::new(spot.middle.x, spot.middle.y + FIGURE * 0.34);
        let class = if *blank {
            "letter huge now blank"
        } else {
            "letter huge now"
        };
        self.words.push(text(class, at, 0.0, said));
    }

    /// The names of what is new, then of what the sentence speaks of.
    fn names(&mut self) {
        let now = self.how.step;
        let there = self.there.clone();
        // A whole sheet calls everything by its name.
        let whole = self.step.sentence.is_empty();
        for new in [true, false] {
            let (class, size) = if new {
                ("letter middle now", NEW)
            } else {
                ("letter middle old", OLD)
            };
            // A whole sheet that is traced would be a thicket of names.
            let many = there.iter().filter(|d| self.is_new(d)).count();
            for thing in there.iter().filter(|d| (d.step == now) == new) {
                let spoken = whole || self.names_it(&thing.name);
                if !(spoken || new && many <= 4) {
                    continue;
                }
                match &thing.shape {
                    Shape::Point(p) => {
                        self.point_name(self.frame.put(*p), &called(&thing.name), class, size);
                    }
                    Shape::Line { curve, .. } => {
                        let mut name = called(&thing.name);
                        let mut blank = false;
                        let length = show_number(curve.length(), self.how.shown);
                        if let Some(fixed) = length_told(self.step, &length).filter(|_| new) {
                            blank = self.how.hidden && !fixed;
                            if !blank {
                                name = format!("{name} {length}");
                            }
                        }
                        self.along(&curve.flatten(Length::mm(CHORD)), &name, blank, class, size);
                    }
                    Shape::Upright(x) => {
                        let x = self.frame.x(*x);
                        let (left, top, right, foot) = self.frame.inner();
                        if x > left - 0.5 && x < right + 0.5 {
                            self.upright_name(x, (top, foot), &short_of(&thing.name), new);
                        }
                    }
                    Shape::Dart { mouth, tip, .. } => {
                        let at = self
                            .frame
                            .put(mouth.0.toward(mouth.1, 0.5).toward(*tip, 0.6));
                        self.point_name(at, &called(&thing.name), class, size);
                    }
                    Shape::Level(_) => {}
                }
            }
        }
    }

    /// A place for a name; one that is new is not left out.
    fn place(&mut self, spots: &[Spot], class: &str) -> Option<usize> {
        if class.ends_with("now") {
            self.clear.take_some(spots)
        } else {
            self.clear.take(spots)
        }
    }

    fn point_name(&mut self, at: Point, name: &str, class: &str, size: f64) {
        let reach = wide(name, size);
        let high = size * 0.9;
        let mut spots = Vec::new();
        for far in [8.0, 13.0, 20.0, 30.0, 44.0, 60.0] {
            for (x, y) in [
                (1.0, 0.0),
                (-1.0, 0.0),
                (0.0, -1.0),
                (0.0, 1.0),
                (0.75, -0.8),
                (0.75, 0.8),
                (-0.75, -0.8),
                (-0.75, 0.8),
                (0.95, -0.45),
                (0.95, 0.45),
                (-0.95, -0.45),
                (-0.95, 0.45),
            ] {
                let to = Point::new(
                    at.x + x * (far + reach / 2.0),
                    at.y + y * (far + high / 2.0),
                );
                spots.push((far, Spot::level(to, reach, high)));
            }
        }
        let only: Vec<Spot> = spots.iter().map(|s| s.1).collect();
        let Some(found) = self.place(&only, class) else {
            return;
        };
        let (far, spot) = spots[found];
        if far > 24.0 {
            // A thread from the name to its point.
            let end = Point::new(
                at.x.clamp(spot.middle.x - reach / 2.0, spot.middle.x + reach / 2.0),
                at.y.clamp(spot.middle.y - high / 2.0, spot.middle.y + high / 2.0),
            );
            self.stroke("pencil", &[at, end]);
        }
        let to = Point::new(spot.middle.x, spot.middle.y + size * 0.34);
        self.words.push(text(class, to, 0.0, &glyphs(name)));
    }

    /// A name along a line.
    fn along(&mut self, points: &[Point], name: &str, blank: bool, class: &str, size: f64) {
        let said = glyphs(name);
        let said = if blank {
            format!("{said} \u{a0}")
        } else {
            said
        };
        let reach = wide(&said, size) + if blank { 3.0 * size } else { 0.0 };
        let chains = self.frame.chains(points);
        let mut spots = Vec::new();
        for part in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88] {
            for chain in &chains {
                let Some((at, mut way)) = part_of(chain, part) else {
                    continue;
                };
                if way.x < -1e-6 || (way.x.abs() < 1e-6 && way.y > 0.0) {
                    way = Vector::new(-way.x, -way.y);
                }
                for off in [0.85, 1.2] {
                    for side in [way.left(), way.right()] {
                        let to = Point::new(at.x + side.x * size * off, at.y + side.y * size * off);
                        spots.push(Spot {
                            middle: to,
                            way,
                            half: (reach / 2.0, size * 0.42),
                        });
                    }
                }
            }
        }
        let Some(found) = self.place(&spots, class) else {
            return;
        };
        let spot = spots[found];
        let down = Vector::new(-spot.way.y, spot.way.x);
        let at = Point::new(
            spot.middle.x + down.x * size * 0.34,
            spot.middle.y + down.y * size * 0.34,
        );
        let turned = spot.way.y.atan2(spot.way.x).to_degrees();
        let rule = "\u{a0}\u{a0}\u{a0}\u{a0}\u{a0}\u{a0}";
        self.words.push(html! {
            text class=(class) x=(tenth(at.x)) y=(tenth(at.y)) transform=[turn(turned, at)] {
                (said)
                @if blank { tspan.blank { (rule) } }
            }
        });
    }

    /// The name of an upright, read from below, or where there is room.
    fn upright_name(&mut self, x: f64, (top, foot): (f64, f64), name: &str, new: bool) {
        let (class, size) = if new {
            ("letter middle now", NEW)
        } else {
            ("letter middle soft", OLD)
        };
        let reach = wide(name, size);
        let way = Vector::new(0.0, 1.0);
        let mut spots = Vec::new();
        for part in [0.8, 0.66, 0.9, 0.52, 0.38, 0.25, 0.12] {
            for side in [1.0, -1.0] {
                let middle = Point::new(x + side * size * 0.72, top + (foot - top) * part);
                spots.push(Spot {
                    middle,
                    way,
                    half: (reach / 2.0, size * 0.42),
                });
            }
        }
        if let Some(found) = self.clear.take(&spots) {
            let at = spots[found].middle;
            // Turned a quarter, "down" is to the left.
            let at = Point::new(at.x - size * 0.34, at.y);
            self.words.push(text(class, at, 90.0, &glyphs(name)));
        }
    }
}

/// The places of a number near a point: right, left, above, below, then farther.
fn beside(at: Point, reach: f64) -> Vec<Spot> {
    let mut out = Vec::new();
    let high = FIGURE * 0.8;
    for far in [9.0, 16.0, 25.0, 36.0] {
        for (x, y) in [
            (0.0, -1.0),
            (1.0, 0.0),
            (-1.0, 0.0),
            (0.0, 1.0),
            (0.8, -0.8),
            (-0.8, -0.8),
            (0.8, 0.8),
            (-0.8, 0.8),
        ] {
            let to = Point::new(
                at.x + x * (far + reach / 2.0),
                at.y + y * (far + high / 2.0),
            );
            out.push(Spot::level(to, reach, high));
        }
    }
    out
}

/// How wide a number is, or its blank: hidden or shown, it stands in the same place.
fn reach(figure: &numbers::Figure) -> f64 {
    wide(&glyphs(&figure.shown), FIGURE).max(FIGURE * 1.3)
}

/// Whether the step tells this length of a line, and whether it is the method's own.
fn length_told(step: &Step, length: &str) -> Option<bool> {
    step.few.iter().rev().find_map(|p| match p {
        Telling::Figure {
            shown,
            rule: None,
            fixed,
        } if shown == length => Some(*fixed),
        _ => None,
    })
}

/// `waist`, where the level is called the waist line.
fn short_of(name: &str) -> String {
    let name = called(name);
    name.strip_suffix(" line")
        .map_or(name.clone(), str::to_owned)
}

/// A line that only helps may run off the paper: the parts of it that don't.
fn within(frame: &Frame, points: &[Point], edge: bool) -> Vec<Vec<Point>> {
    if edge {
        return vec![points.to_vec()];
    }
    let (left, top, right, foot) = frame.inner();
    let on = |p: Point| {
        let q = frame.put(p);
        q.x > left - 9.0 && q.x < right + 9.0 && q.y > top - 9.0 && q.y < foot + 9.0
    };
    let mut out = Vec::new();
    let mut run: Vec<Point> = Vec::new();
    for pair in points.windows(2) {
        // Long chords are walked in short parts.
        let long = pair[0].distance(pair[1]).in_mm();
        let parts = (long / 15.0).ceil().clamp(1.0, 400.0);
        let mut i = 0.0;
        while i <= parts {
            let p = pair[0].toward(pair[1], i / parts);
            if on(p) {
                run.push(p);
            } else if run.len() > 1 {
                out.push(std::mem::take(&mut run));
            } else {
                run.clear();
            }
            i += 1.0;
        }
    }
    if run.len() > 1 {
        out.push(run);
    }
    out
}

/// The two strokes of an arrow's head.
fn head(from: Point, to: Point) -> [Point; 3] {
    let way = Vector::new(to.x - from.x, to.y - from.y)
        .unit()
        .unwrap_or(Vector::new(1.0, 0.0));
    let side = way.left();
    let back = Point::new(to.x - way.x * 9.0, to.y - way.y * 9.0);
    [
        Point::new(back.x + side.x * 5.5, back.y + side.y * 5.5),
        to,
        Point::new(back.x - side.x * 5.5, back.y - side.y * 5.5),
    ]
}

/// The middle of a chain.
fn middle(chain: &[Point]) -> Point {
    part_of(chain, 0.5).map_or(Point::new(0.0, 0.0), |(at, _)| at)
}

/// The place at a part of a chain's length, and its way there.
fn part_of(chain: &[Point], part: f64) -> Option<(Point, Vector)> {
    let long = |a: Point, b: Point| (a.x - b.x).hypot(a.y - b.y);
    let whole: f64 = chain.windows(2).map(|w| long(w[0], w[1])).sum();
    let mut left = whole * part;
    for pair in chain.windows(2) {
        let here = long(pair[0], pair[1]);
        if left <= here && here > 0.0 {
            let way = Vector::new(pair[1].x - pair[0].x, pair[1].y - pair[0].y).unit()?;
            return Some((pair[0].toward(pair[1], left / here), way));
        }
        left -= here;
    }
    None
}

/// A chain as a path, in tenths.
fn path(chain: &[Point]) -> String {
    let mut d = String::new();
    for (i, p) in chain.iter().enumerate() {
        d.push(if i == 0 { 'M' } else { 'L' });
        d.push_str(&format!("{} {}", tenth(p.x), tenth(p.y)));
    }
    d
}

fn tenth(v: f64) -> String {
    number((v * 10.0).round() / 10.0)
}

fn turn(turned: f64, at: Point) -> Option<String> {
    (turned.abs() > 0.5)
        .then(|| format!("rotate({} {} {})", tenth(turned), tenth(at.x), tenth(at.y)))
}

fn text(class: &str, at: Point, turned: f64, said: &str) -> Markup {
    html! {
        text class=(class) x=(tenth(at.x)) y=(tenth(at.y)) transform=[turn(turned, at)] { (said) }
    }
}

#[cfg(test)]
mod tests;
