//! The class sheet: one row for each plate, with lines for the numbers, so that a pupil drafts for a
//! client of her own.

use measure::Point;

use super::letters::said;
use super::pages::{FOOT, Laid, by_sheet, measured_from, plated, text_height};
use super::plan::Plan;
use super::plate::{self, View};
use super::running::{Bit, Running, put};
use super::tables::sheet_word;
use super::{Came, Hand, HandStage, asked, told};
use crate::cover::{SIDE, head};
use crate::dash::Line;
use crate::drawing::Layer;
use crate::face::set;
use crate::flow::{self, SMALL};
use crate::number::real;
use crate::order::{Order, Paper, SheetFault};
use crate::page::{Page, Spot as At};
use crate::words::{Words, fill};

/// From base line to base line, for handwriting.
const LEAD: f64 = 8.4;
/// White after a step.
const AFTER: f64 = 3.0;
/// How much of a row the drawing may take.
const DRAWN: (f64, f64) = (62.0, 68.0);
/// How tall the words beside a plate may be: three rows go on a page.
const WORDS: f64 = 66.0;

/// Draws all pages.
pub(crate) fn pages(
    order: &Order,
    hand: &Hand,
    words: &Words,
    paper: Paper,
) -> Result<(Vec<Page>, Came), SheetFault> {
    let hand = &Hand {
        steps: asked::told_first(&hand.steps),
        ..hand.clone()
    };
    let plan = Plan::new(hand);
    if plan.sheets.is_empty() {
        return Err(SheetFault::Nothing);
    }
    // Nothing of this client stands on it.
    let mut bare = Order::new(order.title.clone());
    bare.shown = order.shown;
    bare.body.clone_from(&order.body);
    let book = |of: usize| {
        let mut class = Class {
            order: &bare,
            words,
            size: {
                let (w, h) = paper.size();
                (w.in_mm(), h.in_mm())
            },
            of,
            pages: Vec::new(),
            y: 0.0,
            came: Came::default(),
        };
        class.all(hand, &plan);
        (class.pages, class.came)
    };
    let of = book(1).0.len();
    Ok(book(of))
}

struct Class<'a> {
    order: &'a Order,
    words: &'a Words,
    size: (f64, f64),
    of: usize,
    pages: Vec<Page>,
    y: f64,
    came: Came,
}

impl Class<'_> {
    fn turn(&mut self) {
        let mut page = Page::new(self.size.0, self.size.1);
        let title = fill(self.words.to_draft_by_hand, &[("title", &self.order.title)]);
        self.y = head(
            &mut page,
            self.order,
            self.words,
            (self.words.class_sheet, 22.0),
            &title,
            (self.pages.len() + 1, self.of),
        );
        let right = self.size.0 - SIDE;
        let name = set(self.words.name_line, SMALL, false);
        let from = right - 68.0;
        page.letters(
            Layer::Plain,
            &name,
            At::level(Point::new(from - 2.0, 25.0), 1.0),
        );
        page.line(
            Layer::Plain,
            Point::new(from, 26.0),
            Point::new(right, 26.0),
            Line::Fine,
        );
        self.pages.push(page);
    }

    fn client(&mut self) {
        let mut text = Running::default();
        text.add(self.words.your_client, false);
        for (i, fact) in self.order.body.iter().enumerate() {
            if i > 0 {
                text.add(", ", false);
            }
            // How this client's was had is no matter of the pupil's.
            let label = fact.label.split(',').next().unwrap_or_default();
            text.add(&label.to_lowercase(), false);
            text.space();
            text.blank();
        }
        text.add(".", false);
        let lines = text.lines(self.size.0 - 2.0 * SIDE);
        let at = Point::new(SIDE, self.y);
        if let Some(page) = self.pages.last_mut() {
            self.y = put(page, at, &lines, LEAD) + 1.0;
        }
    }

    /// A line for each choice that the rules name, with what it is when nothing is set.
    fn chosen(&mut self, hand: &Hand) {
        let all = asked::choices(hand);
        if all.is_empty() {
            return;
        }
        let mut text = Running::default();
        text.add(self.words.you_choose, false);
        for (i, choice) in all.iter().enumerate() {
            if i > 0 {
                text.add(", ", false);
            }
            text.add(&said(&choice.name), false);
            text.space();
            text.blank();
            text.space();
            // What follows one of her measures is said by its name: her numbers are not on the sheet.
            let hers = self.order.body.iter().find(|f| f.value == choice.usual);
            let usual = match hers.and_then(|f| f.label.split(',').next()) {
                Some(measure) => measure.to_lowercase(),
                None => choice.usual.replace(' ', "\u{a0}"),
            };
            text.add(&format!("({usual})"), false);
        }
        text.add(". ", false);
        text.add(self.words.usual_in_brackets, false);
        let lines = text.lines(self.size.0 - 2.0 * SIDE);
        let at = Point::new(SIDE, self.y);
        if let Some(page) = self.pages.last_mut() {
            self.y = put(page, at, &lines, LEAD) + 1.0;
        }
    }

    fn all(&mut self, hand: &Hand, plan: &Plan<'_>) {
        self.turn();
        self.client();
        self.chosen(hand);
        for (sheet, steps) in by_sheet(hand, plan) {
            let this = &plan.sheets[sheet];
            let view = View::of(plan, sheet, DRAWN);
            let x = SIDE + view.width().clamp(44.0, DRAWN.0) + 4.0;
            let width = self.size.0 - SIDE - x;
            let mut laid: Vec<(Option<u32>, Vec<Laid>)> = Vec::new();
            for step in &steps {
                let number = step.number.unwrap_or_default();
                let own = told::own(plan, sheet, number);
                let mut text = Running::step(plan, step, &own, true);
                if step.number.is_some() {
                    for more in told::corners(plan, sheet, number, self.words) {
                        text.sentence(&more);
                    }
                }
                laid.push((step.number, text.lines(width)));
            }
            let first = plan.sheets.iter().position(|s| s.group == this.group) == Some(sheet);
            let from = if first {
                measured_from(plan, sheet, self.words)
            } else {
                None
            };
            let mut heading = Some((sheet_word(this.name), from));
            for p in plated(&laid, (LEAD, AFTER, WORDS)) {
                let drawn = p.steps.filter(|_| !this.no_more);
                let picture = if drawn.is_some() { view.height() } else { 0.0 };
                let tall = picture.max(text_height(&p.text, LEAD, AFTER) + 1.0);
                let with_head = tall + if heading.is_some() { 8.0 } else { 0.0 };
                if self.y + with_head > self.size.1 - FOOT + AFTER && self.y > 80.0 {
                    self.turn();
                }
                let Some(page) = self.pages.last_mut() else {
                    return;
                };
                if let Some((title, from)) = heading.take() {
                    let at = Point::new(SIDE, self.y);
                    let wide = page.text(Layer::Plain, at, &title, 14.0, true);
                    if let Some(from) = from {
                        let at = Point::new(SIDE + wide + 4.0, at.y);
                        page.text(Layer::Plain, at, &from, SMALL, false);
                    }
                    self.y += 3.0;
                }
                let mut y = self.y + 6.0;
                for lines in &p.text {
                    y = put(page, Point::new(x, y), lines, LEAD) + AFTER;
                }
                if let Some(steps) = drawn {
                    let at = Point::new(SIDE, self.y);
                    let left_out =
                        plate::draw(page, plan, sheet, &view, steps, (at, x - SIDE - 5.0));
                    self.came.without_place.extend(left_out);
                }
                self.y += tall + 3.0;
            }
            self.y += 2.0;
        }
        self.words_only(hand, plan, HandStage::Truing, self.words.truing);
        self.words_only(hand, plan, HandStage::Piece, self.words.take_off);
        self.words_only(hand, plan, HandStage::Finish, self.words.finish);
    }

    /// Steps without plates.
    fn words_only(&mut self, hand: &Hand, plan: &Plan<'_>, stage: HandStage, title: &str) {
        let mut heading = Some(title);
        for step in hand.steps.iter().filter(|s| s.stage == stage) {
            let text = Running::step(plan, step, &[], true);
            let lines = text.lines(self.size.0 - 2.0 * SIDE);
            let writes = text.bits.iter().any(|b| matches!(b, Bit::Blank { .. }));
            let lead = if writes { LEAD } else { flow::LEAD };
            let tall = real(lines.len()) * lead + if heading.is_some() { 12.0 } else { 0.0 };
            if self.y + tall > self.size.1 - FOOT {
                self.turn();
            }
            let Some(page) = self.pages.last_mut() else {
                return;
            };
            if let Some(title) = heading.take() {
                self.y += 2.0;
                page.text(
                    Layer::Plain,
                    Point::new(SIDE, self.y),
                    &said(title),
                    14.0,
                    true,
                );
                self.y += 8.0;
            }
            self.y = put(page, Point::new(SIDE, self.y), &lines, lead) + 1.0;
        }
    }
}
