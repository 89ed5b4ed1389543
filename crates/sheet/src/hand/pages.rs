//! The pages of the hand sheet: plates with their sentences, then the tables.

use measure::Point;
use measure::fraction::Unit;

use super::letters::said;
use super::plan::Plan;
use super::plate::{self, Steps, View};
use super::rounded::Figures;
use super::running::{Running, Set, put};
use super::tables::{self, CurveTable, ReadBy, SeamTable, SheetTable, Tables, sheet_word};
use super::{Came, Hand, HandStage, HandStep, told};
use crate::cover::{SIDE, head};
use crate::dash::Line;
use crate::drawing::Layer;
use crate::face::{Face, figures as split, set, shortened};
use crate::flow::{LEAD, SMALL};
use crate::number::real;
use crate::order::{Order, Paper, SheetFault};
use crate::page::{Page, Spot as At};
use crate::steps::under;
use crate::words::{Words, capital, fill};

/// Plates stand so many side by side.
pub(crate) const ACROSS: usize = 3;
const BETWEEN: f64 = 6.5;
/// The lowest base line.
pub(crate) const FOOT: f64 = 14.0;
/// How tall a plate's drawing may be.
const TALL: f64 = 72.0;
/// How tall the words under a plate may be, where its steps can be parted.
const WORDS: f64 = 45.0;
/// White after a step.
const AFTER: f64 = 1.0;

/// A line of text, set.
pub(crate) type Laid = Vec<(f64, Set)>;

/// A plate: which steps it adds, and their words.
#[derive(Clone, Debug)]
pub(crate) struct Plate {
    pub(crate) steps: Option<Steps>,
    /// Each step's lines.
    pub(crate) text: Vec<Vec<Laid>>,
}

/// Draws all pages.
pub(crate) fn pages(
    order: &Order,
    hand: &Hand,
    words: &Words,
    paper: Paper,
) -> Result<(Vec<Page>, Came), SheetFault> {
    let plan = Plan::new(hand);
    if plan.sheets.is_empty() {
        return Err(SheetFault::Nothing);
    }
    let figures = Figures::new(&plan, hand, order.shown);
    let tables = tables::of(&plan, &figures, hand, words);
    let book = |of: usize| {
        let mut book = Book::new(order, words, paper, of);
        book.plates(hand, &plan, &figures);
        book.came.plates = book.pages.len();
        book.tables(hand, &tables);
        (book.pages, book.came)
    };
    // How many there are is known when they are laid out.
    let of = book(1).0.len();
    Ok(book(of))
}

/// The plates of a sheet's steps: as many steps to each as go under it.
pub(crate) fn plated(
    steps: &[(Option<u32>, Vec<Laid>)],
    (lead, after, most): (f64, f64, f64),
) -> Vec<Plate> {
    let tall = |text: &Vec<Laid>| real(text.len()) * lead + after;
    let all: f64 = steps.iter().map(|s| tall(&s.1)).sum();
    // Evenly filled, not the first ones full and the last one thin.
    let many = (all / most).ceil().max(1.0);
    let fair = all / many;
    let mut out: Vec<Plate> = Vec::new();
    let mut used = 0.0;
    for (number, text) in steps {
        let full = used > 0.0 && (used + tall(text) > most || used + lead >= fair);
        if out.is_empty() || (full && number.is_some()) {
            out.push(Plate {
                steps: None,
                text: Vec::new(),
            });
            used = 0.0;
        }
        let Some(plate) = out.last_mut() else {
            continue;
        };
        used += tall(text);
        plate.text.push(text.clone());
        if let Some(n) = number {
            let first = plate.steps.map_or(*n, |s| s.first);
            plate.steps = Some(Steps { first, last: *n });
        }
    }
    out
}

/// The steps of each sheet in order: the sheet, and which steps.
pub(crate) fn by_sheet<'h>(hand: &'h Hand, plan: &Plan<'_>) -> Vec<(usize, Vec<&'h HandStep>)> {
    let mut out: Vec<(usize, Vec<&HandStep>)> = Vec::new();
    for step in hand.steps.iter().filter(|s| s.stage == HandStage::Sheet) {
        let Some(sheet) = plan.sheet(&step.heading) else {
            continue;
        };
        match out.last_mut() {
            Some(last) if last.0 == sheet => last.1.push(step),
            _ => out.push((sheet, vec![step])),
        }
    }
    out
}

struct Book<'a> {
    order: &'a Order,
    words: &'a Words,
    size: (f64, f64),
    of: usize,
    pages: Vec<Page>,
    y: f64,
    came: Came,
}

impl<'a> Book<'a> {
    fn new(order: &'a Order, words: &'a Words, paper: Paper, of: usize) -> Self {
        let (w, h) = paper.size();
        Self {
            order,
            words,
            size: (w.in_mm(), h.in_mm()),
            of,
            pages: Vec::new(),
            y: 0.0,
            came: Came::default(),
        }
    }

    fn turn(&mut self, title: &str) {
        let mut page = Page::new(self.size.0, self.size.1);
        self.y = head(
            &mut page,
            self.order,
            self.words,
            (title, 22.0),
            &under(self.order, self.words),
            (self.pages.len() + 1, self.of),
        );
        self.pages.push(page);
    }

    fn foot(&self) -> f64 {
        self.size.1 - FOOT
    }

    fn page(&mut self) -> Option<&mut Page> {
        self.pages.last_mut()
    }

    /// The measures, the choices that were set, the unit.
    fn lead(&mut self, set: &[crate::order::Fact], scales: &[f64]) {
        let w = self.words;
        let mut all: Vec<String> = Vec::new();
        let list = |facts: &[crate::order::Fact]| -> String {
            let each: Vec<String> = facts
                .iter()
                .map(|f| format!("{} {}", lower(&f.label), f.value))
                .collect();
            each.join(", ")
        };
        if !self.order.body.is_empty() {
            all.push(format!("{}: {}.", w.body, list(&self.order.body)));
        }
        if !set.is_empty() {
            all.push(fill(w.set_choices, &[("all", &list(set))]));
        }
        let inches = self.order.shown.unit == Unit::Inch;
        all.push(if inches { w.hand_inches } else { w.hand_cm }.to_owned());
        let scales: Vec<String> = scales.iter().map(|s| format!("{s:.0}")).collect();
        if !scales.is_empty() {
            all.push(fill(
                w.plates,
                &[("scale", &scales.join(&format!(" {} 1 to ", w.and)))],
            ));
        }
        let mut text = Running::default();
        text.add(&all.join(" "), false);
        let lines = text.lines(self.size.0 - 2.0 * SIDE);
        let at = Point::new(SIDE, self.y);
        if let Some(page) = self.page() {
            self.y = put(page, at, &lines, LEAD) + 2.0;
        }
    }

    fn plates(&mut self, hand: &Hand, plan: &Plan<'_>, figures: &Figures) {
        let words = self.words;
        let column = (self.size.0 - 2.0 * SIDE - BETWEEN * real(ACROSS - 1)) / real(ACROSS);
        let sheets = by_sheet(hand, plan);
        let view = |sheet: usize| View::of(plan, sheet, (column + 4.0, TALL));
        let mut scales: Vec<f64> = Vec::new();
        for (sheet, _) in &sheets {
            let scale = view(*sheet).scale;
            if !plan.sheets[*sheet].no_more && !scales.iter().any(|s| (s - scale).abs() < 0.5) {
                scales.push(scale);
            }
        }
        self.turn(words.hand_sheet);
        self.lead(&hand.set, &scales);
        for (sheet, steps) in sheets {
            let this = &plan.sheets[sheet];
            let mut set_steps: Vec<(Option<u32>, Vec<Laid>)> = Vec::new();
            for step in steps.iter().filter(|s| s.number.is_some()) {
                let number = step.number.unwrap_or_default();
                let own = told::own(plan, sheet, number);
                let step = &told::rounded_together(plan, figures, sheet, step);
                let mut text = Running::step(plan, step, &own, false);
                for more in told::corners(plan, sheet, number, words)
                    .into_iter()
                    .chain(told::places(plan, figures, sheet, step, words))
                {
                    text.sentence(&more);
                }
                set_steps.push((step.number, text.lines(column)));
            }
            if set_steps.is_empty() {
                continue;
            }
            let title = sheet_word(this.name);
            let first = plan.sheets.iter().position(|s| s.group == this.group) == Some(sheet);
            let from = if first {
                measured_from(plan, sheet, words)
            } else {
                None
            };
            if this.no_more {
                self.plain(&set_steps);
                continue;
            }
            let view = view(sheet);
            let plates = plated(&set_steps, (LEAD, AFTER, WORDS));
            let mut heading = Some((title, from));
            for row in plates.chunks(ACROSS) {
                let lines = row
                    .iter()
                    .map(|p| text_height(&p.text, LEAD, AFTER))
                    .fold(0.0, f64::max);
                let tall = view.height() + 5.0 + lines;
                let with_head = tall + if heading.is_some() { 7.0 } else { 0.0 };
                if self.y + with_head > self.foot() + LEAD && self.y > 80.0 {
                    self.turn(words.hand_sheet);
                }
                if let Some((title, from)) = heading.take() {
                    let at = Point::new(SIDE, self.y);
                    if let Some(page) = self.page() {
                        let wide = page.text(Layer::Plain, at, &title, 14.0, true);
                        if let Some(from) = from {
                            page.text(
                                Layer::Plain,
                                Point::new(SIDE + wide + 4.0, at.y),
                                &from,
                                SMALL,
                                false,
                            );
                        }
                    }
                    self.y += 3.0;
                }
                let top = self.y;
                for (i, p) in row.iter().enumerate() {
                    let x = SIDE + real(i) * (column + BETWEEN);
                    let Some(page) = self.pages.last_mut() else {
                        continue;
                    };
                    // Text first: no letter may run into it.
                    let mut y = top + view.height() + 5.0;
                    for lines in &p.text {
                        y = put(page, Point::new(x, y), lines, LEAD) + AFTER;
                    }
                    if let Some(steps) = p.steps {
                        let left_out = plate::draw(
                            page,
                            plan,
                            sheet,
                            &view,
                            steps,
                            (Point::new(x, top), column),
                        );
                        self.came.without_place.extend(left_out);
                    }
                }
                self.y = top + tall + 3.0;
            }
            self.y += 2.0;
        }
    }

    /// Steps that need no plate.
    fn plain(&mut self, steps: &[(Option<u32>, Vec<Laid>)]) {
        for (_, lines) in steps {
            if self.y + real(lines.len()) * LEAD > self.foot() {
                self.turn(self.words.hand_sheet);
            }
            let at = Point::new(SIDE, self.y + 3.0);
            if let Some(page) = self.page() {
                self.y = put(page, at, lines, LEAD) + 1.0;
            }
        }
    }

    fn tables(&mut self, hand: &Hand, tables: &Tables) {
        let width = (self.size.0 - 2.0 * SIDE - 10.0) / 2.0;
        let mut blocks: Vec<Table> = Vec::new();
        for sheet in &tables.sheets {
            if sheet.like.is_some() && sheet.points.is_empty() && sheet.rulings.is_empty() {
                continue;
            }
            blocks.push(points(sheet, self.words, width));
        }
        for curve in &tables.curves {
            let begins = begins(tables, curve);
            blocks.push(curve_block(curve, begins.as_deref(), self.words, width));
        }
        blocks.push(self.note(tables, width));
        for (i, seam) in tables.seams.iter().enumerate() {
            blocks.push(self.seam(seam, i == 0, width));
        }
        if !tables.seams.is_empty() {
            let inches = self.order.shown.unit == Unit::Inch;
            let mut text = Running::default();
            text.add(
                if inches {
                    self.words.proof_inches
                } else {
                    self.words.proof_cm
                },
                false,
            );
            blocks.push(Table::text("", &[text], width));
        }
        if !tables.girths.is_empty() {
            let each = tables.girths.iter().map(|g| {
                let mut text = Running::default();
                let said = fill(
                    self.words.girth_drawn,
                    &[("name", &g.name), ("exact", &g.exact), ("drawn", &g.drawn)],
                );
                text.add(&said, false);
                text
            });
            let all: Vec<Running> = each.collect();
            blocks.push(Table::text(self.words.all_round, &all, width));
        }
        blocks.extend(self.texts(hand, width));
        self.pour(blocks, width);
    }

    fn note(&self, tables: &Tables, width: f64) -> Table {
        let w = self.words;
        let mut text = Running::default();
        text.sentence(w.how_to_read);
        text.sentence(w.straight_rest);
        if tables.seams.is_empty() {
            text.sentence(w.no_proof);
        }
        Table::text("", &[text], width)
    }

    fn seam(&self, seam: &SeamTable, first: bool, width: f64) -> Table {
        let w = self.words;
        let tabs = vec![31.0, 55.0, width - 9.0];
        let rows = seam
            .rows
            .iter()
            .map(|r| Cells {
                label: r.what.clone(),
                bold: true,
                what: String::new(),
                figures: vec![
                    Some(r.a.clone()),
                    Some(r.b.clone()),
                    Some(r.difference.clone()),
                ],
            })
            .collect();
        Table {
            title: if first {
                w.seam_proof.to_owned()
            } else {
                String::new()
            },
            sub: capital(&said(&seam.name)),
            heads: vec![
                seam.a.clone(),
                seam.b.clone(),
                w.first_less_second.to_owned(),
            ],
            label_head: String::new(),
            tabs,
            rows,
            lines: Vec::new(),
            every: 0,
            numeric_label: false,
            width,
        }
    }

    /// Cutting, allowances, pieces and edges, cautions: in sentences.
    fn texts(&self, hand: &Hand, width: f64) -> Vec<Table> {
        let w = self.words;
        let mut out = Vec::new();
        let mut add = |title: &str, all: Vec<Running>| {
            if !all.is_empty() {
                out.push(Table::text(title, &all, width));
            }
        };
        let plain = |said: &str| {
            let mut text = Running::default();
            text.add(said, false);
            text
        };
        let plan = Plan::new(hand);
        let cut = hand
            .pieces
            .iter()
            .map(|p| {
                let mut text = Running::default();
                text.add(&format!("{}:", capital(&said(&p.name))), true);
                text.space();
                text.add(&fill(w.add_to, &[("cut", &p.cut), ("add", &p.add)]), false);
                text
            })
            .collect();
        add(w.cut_and_add, cut);
        let steps = |stage: HandStage| -> Vec<Running> {
            hand.steps
                .iter()
                .filter(|s| s.stage == stage && s.number.is_some())
                .map(|s| Running::step(&plan, s, &[], false))
                .collect()
        };
        let mut pieces = steps(HandStage::Piece);
        if hand.steps.iter().any(|s| s.stage == HandStage::Truing) {
            pieces.insert(0, plain(w.trued_already));
        }
        add(w.take_off, pieces);
        add(w.finish, steps(HandStage::Finish));
        add(
            w.no_cover,
            self.order.cautions.iter().map(|c| plain(c)).collect(),
        );
        out
    }

    /// Pours tables into two columns, page by page; what is cut goes on under its head.
    fn pour(&mut self, tables: Vec<Table>, width: f64) {
        let xs = [SIDE, SIDE + width + 10.0];
        self.turn(self.words.points_and_curves);
        let top = self.y + 1.0;
        let (mut column, mut y) = (0, top);
        let mut waiting: Vec<Table> = tables;
        waiting.reverse();
        let mut turns = 0;
        while let Some(table) = waiting.pop() {
            let room = self.foot() - y;
            let fits = table.fitting(room);
            if fits == 0 && turns < 400 && y > top {
                turns += 1;
                waiting.push(table);
                (column, y) = self.next_column(column, &mut turns);
                continue;
            }
            let (now, later) = table.cut(fits.max(1));
            let Some(page) = self.pages.last_mut() else {
                return;
            };
            y = now.draw(page, Point::new(xs[column], y), width, self.words) + 9.0;
            if let Some(later) = later {
                waiting.push(later.going_on(self.words));
                (column, y) = self.next_column(column, &mut turns);
            }
        }
    }

    fn next_column(&mut self, column: usize, turns: &mut usize) -> (usize, f64) {
        *turns += 1;
        if column == 0 {
            return (1, self.top());
        }
        self.turn(self.words.points_and_curves);
        (0, self.y + 1.0)
    }

    /// Where columns begin on this page.
    fn top(&self) -> f64 {
        self.y + 1.0
    }
}

fn lower(label: &str) -> String {
    let mut letters = label.chars();
    letters
        .next()
        .map(|c| c.to_lowercase().chain(letters).collect())
        .unwrap_or_default()
}

/// How tall the texts of a plate are.
pub(crate) fn text_height(text: &[Vec<Laid>], lead: f64, after: f64) -> f64 {
    text.iter().map(|l| real(l.len()) * lead + after).sum()
}

/// From which rulings one counts on a sheet.
pub(crate) fn measured_from(plan: &Plan<'_>, sheet: usize, words: &Words) -> Option<String> {
    let find = |level: bool| {
        let all = plan.sheets[sheet].rulings.iter();
        all.filter(|r| r.level == level)
            .find(|r| r.at.abs() < 1e-6)
            .map(|r| said(&r.name))
    };
    Some(fill(
        words.measured_from,
        &[("top", &find(true)?), ("left", &find(false)?)],
    ))
}

/// The letter at which an edge that is measured along begins.
fn begins(tables: &Tables, curve: &CurveTable) -> Option<String> {
    let edge = curve.edges.first().filter(|_| curve.by == ReadBy::Along)?;
    let sheet = tables.sheets.iter().find(|s| s.name == edge.sheet)?;
    let row = sheet.edges.iter().find(|e| e.name == said(&edge.edge))?;
    row.letters.first().map(|l| l.0.clone())
}

/// A row of a table.
#[derive(Clone, Debug)]
struct Cells {
    label: String,
    bold: bool,
    /// Words between the label and the figures.
    what: String,
    figures: Vec<Option<String>>,
}

/// A table, or text under a title.
#[derive(Clone, Debug)]
struct Table {
    title: String,
    /// A smaller title.
    sub: String,
    label_head: String,
    heads: Vec<String>,
    tabs: Vec<f64>,
    rows: Vec<Cells>,
    /// Text, after the rows.
    lines: Vec<Laid>,
    /// White after so many rows.
    every: usize,
    /// Labels are figures and stand on a tab.
    numeric_label: bool,
    /// How wide it is.
    width: f64,
}

/// How wide the head of a column is.
const HEAD_WIDE: f64 = 23.0;
/// From line to line in heads, and of titles.
const HEAD_LEAD: f64 = 4.8;
const TITLE_LEAD: f64 = 6.5;

const ROW: f64 = 5.5;
const WHITE: f64 = 1.7;

impl Table {
    fn text(title: &str, all: &[Running], width: f64) -> Self {
        let mut lines = Vec::new();
        for text in all {
            lines.extend(text.lines(width));
        }
        Self {
            title: title.to_owned(),
            sub: String::new(),
            label_head: String::new(),
            heads: Vec::new(),
            tabs: Vec::new(),
            rows: Vec::new(),
            lines,
            every: 0,
            numeric_label: false,
            width,
        }
    }

    /// What stands over the rows.
    fn over(&self) -> f64 {
        let mut y = 0.0;
        y += TITLE_LEAD * real(broken(&self.title, 14.0, true, self.width).len());
        y += LEAD * real(broken(&self.sub, SMALL, true, self.width).len());
        if !self.heads.is_empty() {
            let deep = self
                .heads
                .iter()
                .map(|h| head_lines(h).len())
                .max()
                .unwrap_or(1);
            y += HEAD_LEAD * real(deep.saturating_sub(1)) + 2.0 + ROW - 0.6;
        }
        y
    }

    /// The words of a row, which may need more lines than one.
    fn what(&self, row: &Cells) -> Vec<String> {
        let first = self.tabs.first().map_or(self.width, |t| t - 7.0);
        broken(&row.what, SMALL, false, first - 9.0)
    }

    /// How much taller a row is than one line.
    fn more(&self, row: &Cells) -> f64 {
        HEAD_LEAD * real(self.what(row).len().saturating_sub(1))
    }

    fn before(&self, row: usize) -> f64 {
        let whites = row.checked_div(self.every).unwrap_or(0);
        let more: f64 = self.rows.iter().take(row).map(|r| self.more(r)).sum();
        real(row) * ROW + real(whites) * WHITE + more
    }

    /// How many rows and lines fit; none if it had better not be begun.
    fn fitting(&self, room: f64) -> usize {
        let all = self.rows.len() + self.lines.len();
        let mut n = 0;
        while n < all && self.under(n + 1) <= room + 0.01 {
            n += 1;
        }
        if n < all && n < 4.min(all) { 0 } else { n }
    }

    /// The last base line when so many rows and lines are set.
    fn under(&self, n: usize) -> f64 {
        let rows = n.min(self.rows.len());
        let lines = n - rows;
        let mut y = self.over();
        if rows > 0 {
            y += self.before(rows - 1) + self.rows.get(rows - 1).map_or(0.0, |r| self.more(r));
        }
        if lines > 0 {
            y += real(lines) * LEAD + if rows > 0 { 1.0 } else { -LEAD };
        }
        y
    }

    fn cut(mut self, n: usize) -> (Self, Option<Self>) {
        let all = self.rows.len() + self.lines.len();
        if n >= all {
            return (self, None);
        }
        let rows = n.min(self.rows.len());
        let mut later = self.clone();
        later.rows = self.rows.split_off(rows);
        later.lines = self.lines.split_off(n - rows);
        if later.rows.is_empty() && !self.rows.is_empty() {
            // Words that belong under a table need no head of their own.
            later.title.clear();
            later.sub.clear();
            later.heads.clear();
            later.label_head.clear();
        }
        (self, Some(later))
    }

    fn going_on(mut self, words: &Words) -> Self {
        let tail = words.go_on.trim_start_matches("{head}");
        for title in [&mut self.title, &mut self.sub] {
            if !title.is_empty() && !title.ends_with(tail) {
                *title = fill(words.go_on, &[("head", title)]);
            }
        }
        self
    }

    /// Draws it, the first base line at `at`; gives the last base line.
    fn draw(&self, page: &mut Page, at: Point, width: f64, words: &Words) -> f64 {
        let _ = words;
        let mut y = at.y;
        for line in broken(&self.title, 14.0, true, self.width) {
            let title = shortened(&line, 14.0, true, self.width);
            page.letters(Layer::Plain, &title, At::level(Point::new(at.x, y), 0.0));
            y += TITLE_LEAD;
        }
        for line in broken(&self.sub, SMALL, true, self.width) {
            let sub = shortened(&line, SMALL, true, self.width);
            page.letters(Layer::Plain, &sub, At::level(Point::new(at.x, y), 0.0));
            y += LEAD;
        }
        if !self.heads.is_empty() {
            let mut deep = 1;
            page.text(
                Layer::Plain,
                Point::new(at.x, y),
                &self.label_head,
                SMALL,
                false,
            );
            for (head, tab) in self.heads.iter().zip(&self.tabs) {
                let lines = head_lines(head);
                deep = deep.max(lines.len());
                for (i, line) in lines.iter().enumerate() {
                    let line = shortened(line, SMALL, false, HEAD_WIDE);
                    page.letters(
                        Layer::Plain,
                        &line,
                        At::level(Point::new(at.x + tab + 8.5, y + HEAD_LEAD * real(i)), 1.0),
                    );
                }
            }
            y += HEAD_LEAD * real(deep - 1) + 2.0;
            page.line(
                Layer::Plain,
                Point::new(at.x, y),
                Point::new(at.x + width, y),
                Line::Frame,
            );
            y += ROW - 0.6;
        }
        let mut last = y;
        for (i, row) in self.rows.iter().enumerate() {
            let here = y + self.before(i);
            last = here + self.more(row);
            let mut x = at.x;
            if self.numeric_label {
                number(page, Point::new(at.x + 8.2, here), &row.label, true);
            } else {
                let first = self.tabs.first().map_or(width, |t| t - 7.0);
                let room = if row.what.is_empty() { first } else { 12.0 };
                let label = shortened(&row.label, SMALL, row.bold, room);
                page.letters(Layer::Plain, &label, At::level(Point::new(x, here), 0.0));
                x += 9.0;
                for (n, line) in self.what(row).iter().enumerate() {
                    let what = shortened(line, SMALL, false, first - 9.0);
                    let place = Point::new(x, here + HEAD_LEAD * real(n));
                    page.letters(Layer::Plain, &what, At::level(place, 0.0));
                }
            }
            for (cell, tab) in row.figures.iter().zip(&self.tabs) {
                if let Some(text) = cell {
                    number(page, Point::new(at.x + tab, here), text, false);
                }
            }
        }
        if !self.lines.is_empty() {
            if !self.rows.is_empty() {
                y = last + LEAD + 1.0;
            }
            last = put(page, Point::new(at.x, y), &self.lines, LEAD) - LEAD;
        }
        last
    }
}

/// The head of a column: the sheet, then the edge, over as many lines as it needs.
fn head_lines(head: &str) -> Vec<String> {
    let parted = match head.rsplit_once(' ') {
        Some((a, b)) if head.len() > 8 => vec![a, b],
        _ => vec![head],
    };
    let fits = |part: &&str| set(part, SMALL, false).width <= HEAD_WIDE;
    if parted.iter().all(fits) {
        return parted.into_iter().map(str::to_owned).collect();
    }
    broken(head, SMALL, false, HEAD_WIDE)
}

/// Words broken into lines no wider than `width`; none for no words.
fn broken(text: &str, size: f64, bold: bool, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        if let Some(last) = lines.last_mut() {
            let longer = format!("{last} {word}");
            if set(&longer, size, bold).width <= width {
                *last = longer;
                continue;
            }
        }
        lines.push(word.to_owned());
    }
    lines
}

/// A figure of a column: its whole ends at the tab, its fraction begins a little after it.
fn number(page: &mut Page, tab: Point, text: &str, bold: bool) {
    const SIZE: f64 = 13.0;
    let face = Face::of(bold);
    if let Some((whole, decimals)) = text.split_once('.') {
        page.text_at(Layer::Plain, tab, whole, (SIZE, face), 1.0);
        page.text_at(
            Layer::Plain,
            tab,
            &format!(".{decimals}"),
            (SIZE, face),
            0.0,
        );
        return;
    }
    match split(text) {
        Some((whole, fraction)) => {
            if !whole.is_empty() {
                page.text_at(Layer::Plain, tab, &whole, (SIZE, face), 1.0);
            }
            if !fraction.is_empty() {
                let letters = set(&fraction, SIZE, bold);
                page.letters(
                    Layer::Plain,
                    &letters,
                    At::level(Point::new(tab.x + 0.7, tab.y), 0.0),
                );
            }
        }
        None => page.text_at(Layer::Plain, tab, text, (SIZE, face), 1.0),
    }
}

fn points(sheet: &SheetTable, words: &Words, width: f64) -> Table {
    let tabs = vec![width - 28.0, width - 9.0];
    let mut rows = Vec::new();
    for r in &sheet.rulings {
        rows.push(Cells {
            label: String::new(),
            bold: false,
            what: r.name.clone(),
            figures: vec![r.down.clone(), r.across.clone()],
        });
    }
    for p in &sheet.points {
        rows.push(Cells {
            label: p.letter.clone(),
            bold: true,
            what: p.what.clone(),
            figures: vec![Some(p.down.clone()), Some(p.across.clone())],
        });
    }
    let mut text = Running::default();
    if let (Some(top), Some(left)) = (&sheet.down_from, &sheet.across_from) {
        text.sentence(&fill(
            words.measured_from,
            &[("top", &said(top)), ("left", &said(left))],
        ));
    }
    for e in &sheet.edges {
        let letters: Vec<String> = e
            .letters
            .iter()
            .map(|(l, beside)| {
                if *beside {
                    fill(words.beside_point, &[("a", l)])
                } else {
                    l.clone()
                }
            })
            .collect();
        text.sentence(&fill(
            words.along_edge,
            &[
                ("edge", &capital(&e.name)),
                ("letters", &letters.join(", ")),
            ],
        ));
    }
    let like = sheet
        .like
        .as_ref()
        .map(|l| fill(words.as_sheet, &[("like", &said(l))]));
    Table {
        title: sheet_word(&sheet.name),
        sub: String::new(),
        label_head: like.unwrap_or_default(),
        heads: vec![words.down_head.to_owned(), words.across_head.to_owned()],
        tabs,
        rows,
        lines: text.lines(width),
        every: 4,
        numeric_label: false,
        width,
    }
}

fn curve_block(curve: &CurveTable, begins: Option<&str>, words: &Words, width: f64) -> Table {
    let many = if curve.by == ReadBy::Along {
        2
    } else {
        curve.edges.len()
    };
    let tabs: Vec<f64> = (0..many)
        .map(|i| width - 9.0 - 24.0 * real(many - 1 - i))
        .collect();
    let heads = match curve.by {
        ReadBy::Along => vec![words.down_head.to_owned(), words.across_head.to_owned()],
        _ => curve
            .edges
            .iter()
            .map(|e| format!("{} {}", sheet_word(&e.sheet), said(&e.edge)))
            .collect(),
    };
    let label_head = match curve.by {
        ReadBy::Down => words.down_head,
        ReadBy::Across => words.across_head,
        ReadBy::Along => words.along_head,
    };
    let mut text = Running::default();
    if let Some(a) = begins {
        text.add(&fill(words.from_beginning, &[("a", a)]), false);
    }
    Table {
        title: curve.title.clone(),
        sub: String::new(),
        label_head: label_head.to_owned(),
        heads,
        tabs,
        rows: curve
            .rows
            .iter()
            .map(|(at, cells)| Cells {
                label: at.clone(),
                bold: true,
                what: String::new(),
                figures: cells.clone(),
            })
            .collect(),
        lines: text.lines(width),
        every: 4,
        numeric_label: true,
        width,
    }
}
