//! The head of a large sheet: what it is, squares and checks to measure; and the name square of
//! every further sheet.

use measure::fraction::Unit;
use measure::{Point, Vector};

use crate::cover::{FOUR_INCHES, OFF, squares, under_title};
use crate::dash::Line;
use crate::drawing::Layer;
use crate::face::{Lettering, Span, paragraph, set, shortened};
use crate::label;
use crate::number::real;
use crate::order::{Order, Weight};
use crate::page::{Page, Spot};
use crate::quad::Rect;
use crate::traced::Traced;
use crate::words::{Words, capital, fill};

/// Sizes of its letters in points, and from base line to base line.
const TEXT: f64 = 17.0;
const LEAD: f64 = 8.6;
const SQUARES: f64 = 14.0;
/// White between the squares and what stands beside them.
const GUTTER: f64 = 9.0;

/// What the head says.
pub(super) struct Said<'a> {
    pub(super) order: &'a Order,
    pub(super) words: &'a Words,
    pub(super) pieces: &'a [Traced<'a>],
    /// Sentences on how the pattern had to be laid.
    pub(super) laying: Vec<String>,
    /// The numbers at the ends of the stretch of the rule to measure.
    pub(super) rule: Option<(usize, usize)>,
    /// Its number, and how many sheets there are.
    pub(super) sheet: (usize, usize),
}

/// How wide the head is: with its text beside the squares, or under them.
pub(super) const WIDE: f64 = 262.0;
pub(super) const NARROW: f64 = 128.0;

impl Said<'_> {
    /// Draws the head, its corner at the origin.
    pub(super) fn draw(&self, width: f64) -> Page {
        let mut page = Page::new(0.0, 0.0);
        let (order, words) = (self.order, self.words);
        let mut y = 0.0;
        // A long title is set smaller before it runs on in another line.
        let sizes = [42.0, 34.0, 26.0, 22.0];
        let fits = |s: &f64| set(&order.title, *s, true).width <= width;
        let size = sizes.into_iter().find(|s| fits(s)).unwrap_or(26.0);
        for line in paragraph(&[Span::bold(order.title.clone())], size, width) {
            y += size * if y > 0.0 { 0.48 } else { 0.28 };
            page.lines(Layer::Sheet, Point::new(0.0, y), &[line], 0.0);
        }
        y += 2.5;
        let mut under = Vec::new();
        if !order.code.is_empty() {
            under.push(order.code.clone());
        }
        under.push(under_title(order, words));
        let mut lines = vec![under.join(", ")];
        if self.sheet.1 > 1 {
            lines.push(capital(&self.numbered()));
        }
        lines.push(self.listed());
        for line in &lines {
            y = text(
                &mut page,
                Point::new(0.0, y),
                &[Span::plain(line.clone())],
                width,
            );
        }
        y += 5.0;
        squares(&mut page, Layer::Sheet, Point::new(0.0, y), SQUARES, words);
        let side = FOUR_INCHES + OFF;
        let (at, room) = if width > side + GUTTER + 60.0 {
            (Point::new(side + GUTTER, y - 3.0), width - side - GUTTER)
        } else {
            (Point::new(0.0, y + side + 4.0), width)
        };
        let mut y = at.y;
        for spans in self.to_do() {
            y = text(&mut page, Point::new(at.x, y), &spans, room);
            y += 1.2;
        }
        page
    }

    fn numbered(&self) -> String {
        let (n, of) = self.sheet;
        fill(
            self.words.sheet_of,
            &[("n", &n.to_string()), ("of", &of.to_string())],
        )
    }

    /// Every piece with its number, so that none goes missing.
    fn listed(&self) -> String {
        let list: Vec<String> = self
            .pieces
            .iter()
            .map(|p| format!("{} {}", p.number.0, capital(&p.given.piece.name)))
            .collect();
        fill(self.words.all_pieces, &[("list", &list.join(", "))])
    }

    /// What to do with the sheet, a paragraph each.
    fn to_do(&self) -> Vec<Vec<Span>> {
        let w = self.words;
        let unit = self.order.shown.unit;
        let mut out = vec![vec![Span::plain(if unit == Unit::Inch {
            w.plot_full_inches
        } else {
            w.plot_full_cm
        })]];
        let mut checks: Vec<Vec<Span>> = self
            .pieces
            .iter()
            .filter_map(|p| p.long.as_ref())
            .map(|l| {
                let names = fill(w.long_check, &[("a", &l.names.0), ("b", &l.names.1)]);
                let much = format!(
                    "{}\u{a0}{}",
                    w.locale.figure(&l.units.to_string()),
                    w.locale.sign(unit)
                );
                vec![Span::bold(names.replace(' ', "\u{a0}")), Span::plain(much)]
            })
            .collect();
        if let Some((a, b)) = self.rule {
            let ends = [("a", a.to_string()), ("b", b.to_string())];
            let ends = ends.each_ref().map(|(k, v)| (*k, v.as_str()));
            checks.push(vec![Span::plain(fill(w.rule, &ends))]);
        }
        if !checks.is_empty() {
            out.push(vec![Span::plain(w.then_measure)]);
            out.append(&mut checks);
        }
        out.extend(self.laying.iter().map(|l| vec![Span::plain(l.clone())]));
        for remark in self.order.remarks.iter().chain(&self.order.estimates) {
            out.push(vec![Span::plain(remark.clone())]);
        }
        // Nobody may cut without having read what would spoil the garment.
        for told in self
            .order
            .findings
            .iter()
            .filter(|f| f.weight == Weight::Stop)
        {
            let weight = Span::bold(format!("{}.", w.weight(told.weight)));
            out.push(vec![weight, Span::plain(capital(&told.text))]);
        }
        out
    }

    /// The name square of a further sheet, exactly 2 in or 5 cm, its corner at the origin.
    pub(super) fn square(&self) -> Page {
        let inches = self.order.shown.unit == Unit::Inch;
        let side = if inches { 50.8 } else { 50.0 };
        let mut page = Page::new(0.0, 0.0);
        page.frame(
            Layer::Sheet,
            Rect::new(0.0, 0.0, side, side),
            Line::Frame,
            false,
        );
        let (w, order) = (self.words, self.order);
        let room = side - 8.0;
        page.text(
            Layer::Sheet,
            Point::new(4.0, 15.5),
            &self.sheet.0.to_string(),
            36.0,
            true,
        );
        // A long title takes two lines before it is cut short.
        let broken = paragraph(&[Span::bold(order.title.clone())], 11.0, room);
        let mut lines: Vec<Lettering> = if broken.len() > 2 {
            vec![shortened(&order.title, 11.0, true, room)]
        } else {
            broken.into_iter().flatten().map(|(_, l)| l).collect()
        };
        let whole = set(&label::plain_signature(order, w), 11.0, false);
        if whole.width <= room {
            lines.push(whole);
        } else {
            if !order.code.is_empty() {
                lines.push(shortened(&order.code, 11.0, false, room));
            }
            let version = label::plain_version(order, w);
            lines.push(shortened(&version, 11.0, false, room));
        }
        let estimated = !order.remarks.is_empty() || order.estimates.is_some();
        // Six lines stand clear of each other; the head of the first sheet says the day too.
        if let Some(taken) = order
            .taken
            .as_ref()
            .filter(|_| lines.len() + usize::from(estimated) < 4)
        {
            lines.push(shortened(taken, 11.0, false, room));
        }
        lines.push(set(&self.numbered(), 11.0, false));
        if estimated {
            lines.push(shortened(w.estimates_roll, 11.0, false, room));
        }
        let measure = if inches { w.square_inches } else { w.square_cm };
        lines.push(set(measure, 11.0, true));
        let first = if lines.len() > 5 { 22.4 } else { 24.6 };
        let lead = ((46.8 - first) / (real(lines.len()) - 1.0).max(1.0)).min(6.6);
        for (i, letters) in lines.iter().enumerate() {
            let at = Point::new(4.0, first + real(i) * lead);
            page.letters(Layer::Sheet, letters, Spot::level(at, 0.0));
        }
        page
    }
}

/// Sets a paragraph below a height; gives the height of its last base line.
fn text(page: &mut Page, at: Point, spans: &[Span], width: f64) -> f64 {
    let lines = paragraph(spans, TEXT, width);
    page.lines(Layer::Sheet, at + Vector::new(0.0, LEAD), &lines, LEAD) - LEAD
}
