//! The label of a piece: what it says, and where on the piece it may stand.

use measure::{Angle, Length, Point, Vector};

use crate::drawing::Layer;
use crate::face::{Set, Span, paragraph};
use crate::letters::{Form, HAND, Letters};
use crate::order::{Leave, Order};
use crate::page::{Page, Spot};
use crate::quad::{Quad, Rect, rings};
use crate::traced::Traced;
use crate::words::{Words, capital, fill};

/// White round a label, in mm.
const GAP: f64 = 1.6;

/// A label, set: its lines with their base lines, and the box round them from the corner at the
/// upper left.
#[derive(Clone, Debug)]
pub(crate) struct Label {
    lines: Vec<(f64, Set)>,
    size: Rect,
    /// Places on the piece, the best first, each the upper left corner.
    pub(crate) spots: Vec<Point>,
    pub(crate) turn: Angle,
    /// It found no room on the piece and stands beside it.
    pub(crate) beside: bool,
    /// No words are wanted.
    left_out: bool,
}

impl Label {
    /// The box of the label at a spot.
    pub(crate) fn quad(&self, at: Point) -> Quad {
        Quad::turned(at, self.turn, &self.size)
    }

    /// Sets the label.
    pub(crate) fn draw(&self, page: &mut Page, at: Point) {
        if self.left_out {
            return;
        }
        for (y, line) in &self.lines {
            for (x, word) in line {
                let spot = Spot {
                    at: at + Vector::new(*x, *y).turned(self.turn),
                    turn: self.turn,
                    part: 0.0,
                };
                page.letters(Layer::Text, word, spot);
            }
        }
    }
}

/// What a label says: its name, then lines with their weight.
struct Says {
    name: String,
    lines: Vec<Span>,
}

fn says(piece: &Traced<'_>, order: &Order, words: &Words, headed: bool) -> Says {
    let p = &piece.given.piece;
    let mut lines = Vec::new();
    let (n, of) = (piece.number.0.to_string(), piece.number.1.to_string());
    lines.push(Span::plain(fill(words.piece_of, &[("n", &n), ("of", &of)])));
    lines.extend(cuts(piece, words));
    lines.extend(piece.given.notes.iter().map(Span::bold));
    let any = p.edges.iter().any(|e| e.allowance.widest() > Length::ZERO);
    lines.push(Span::plain(if any && piece.leaves_out(Leave::Cutting) {
        words.not_drawn
    } else if any {
        words.allowances_included
    } else {
        words.no_allowances
    }));
    lines.push(Span::plain(words.right_side));
    if !piece.given.used.is_empty() {
        let used: Vec<String> = piece
            .given
            .used
            .iter()
            .map(|f| format!("{} {}", f.label, f.value))
            .collect();
        let unit = words.locale.sign(order.shown.unit);
        let all = format!("{}\u{a0}{unit}", used.join(", "));
        lines.push(Span::plain(capital(&all)));
    }
    if !order.remarks.is_empty() {
        lines.push(Span::plain(capital(if headed {
            words.estimates_roll
        } else {
            words.read_first
        })));
    }
    if order.estimates.is_some() {
        lines.push(Span::plain(words.some_estimates));
    }
    lines.push(Span::plain(capital(&signature(order, words))));
    if let Some(taken) = &order.taken {
        lines.push(Span::plain(taken.clone()));
    }
    Says {
        name: capital(p.label.as_deref().unwrap_or(&p.name)),
        lines,
    }
}

/// How many to cut from each cloth.
pub(crate) fn cuts(piece: &Traced<'_>, words: &Words) -> Vec<Span> {
    let mut lines = Vec::new();
    for cut in &piece.given.piece.cuts {
        let template = if cut.on_fold {
            words.cut_fold
        } else if cut.pair {
            words.cut_pair
        } else {
            words.cut_some
        };
        lines.push(Span::bold(fill(
            template,
            &[
                ("cloth", &capital(&cut.cloth)),
                ("n", &cut.count.to_string()),
            ],
        )));
    }
    lines
}

/// The version alone, where it is said beside it that it is of a toile.
pub(crate) fn plain_version(order: &Order, words: &Words) -> String {
    fill(words.version, &[("v", &order.version)])
}

/// The version as it stands on every sheet, and whether it is of a toile.
pub(crate) fn version(order: &Order, words: &Words) -> String {
    let says = if order.toile {
        words.toile_version
    } else {
        words.version
    };
    fill(says, &[("v", &order.version)])
}

/// The order and its version: its code, or without one the client.
pub(crate) fn signature(order: &Order, words: &Words) -> String {
    signed(order, words, &version(order, words))
}

/// The same, where it is said beside it that it is of a toile.
pub(crate) fn plain_signature(order: &Order, words: &Words) -> String {
    signed(order, words, &plain_version(order, words))
}

fn signed(order: &Order, words: &Words, version: &str) -> String {
    let whose = if order.code.is_empty() {
        order.client.trim()
    } else {
        &order.code
    };
    if whose.is_empty() {
        version.to_owned()
    } else {
        fill(
            words.ordered_for,
            &[("client", whose), ("version", version)],
        )
    }
}

/// In the widest forms the facts run on in one paragraph.
fn runs_on((_, small, width): &Form) -> bool {
    *width > 12.0 * small
}

/// Sets the label in one form.
fn set_in(says: &Says, (big, small, width): Form, turn: Angle) -> Label {
    let lead = |pt: f64| pt * 0.515;
    let mut lines = Vec::new();
    let mut y = 0.0;
    for line in paragraph(&[Span::bold(says.name.clone())], big, width) {
        y += if y == 0.0 {
            big * 0.28
        } else {
            lead(big) * 0.9
        };
        lines.push((y, line));
    }
    y += big * 0.06;
    let paragraphs: Vec<Vec<Span>> = if runs_on(&(big, small, width)) {
        let last = says.lines.len().saturating_sub(1);
        vec![
            says.lines
                .iter()
                .enumerate()
                .map(|(i, s)| Span {
                    text: if i < last {
                        format!("{};", s.text)
                    } else {
                        s.text.clone()
                    },
                    bold: s.bold,
                })
                .collect(),
        ]
    } else {
        says.lines.iter().map(|s| vec![s.clone()]).collect()
    };
    let mut before = false;
    for (i, spans) in paragraphs.iter().enumerate() {
        let bold = spans.first().is_some_and(|s| s.bold);
        if i > 0 && before && !bold {
            y += small * 0.13;
        }
        before = bold;
        for line in paragraph(spans, small, width) {
            y += lead(small);
            lines.push((y, line));
        }
    }
    let mut size = Rect::EMPTY;
    for (y, line) in &lines {
        for (x, word) in line {
            size = size.joined(&word.ink.shifted(Vector::new(*x, *y)));
        }
    }
    if size == Rect::EMPTY {
        size = Rect::new(0.0, 0.0, 1.0, 1.0);
    }
    Label {
        lines,
        size,
        spots: Vec::new(),
        turn,
        beside: false,
        left_out: false,
    }
}

/// The label of a piece with all its places: in the largest form that finds one, upright with the
/// grain if it can be. It must also fit into `room` (the inside of one sheet) as it stands.
pub(crate) fn of(
    piece: &Traced<'_>,
    order: &Order,
    words: &Words,
    letters: &Letters,
    room: (f64, f64),
) -> Label {
    let says = says(piece, order, words, letters.headed);
    let forms = (letters.label, letters.upright);
    let mut label = fit(piece, &says, forms, letters.beside, room);
    label.left_out = piece.leaves_out(Leave::Words);
    label
}

/// A label for a picture in small, its letters `times` as large as on the paper: name and cloth.
pub(crate) fn in_small(piece: &Traced<'_>, words: &Words, times: f64) -> Label {
    let p = &piece.given.piece;
    let says = Says {
        name: capital(p.label.as_deref().unwrap_or(&p.name)),
        lines: cuts(piece, words),
    };
    let forms: Vec<Form> = HAND
        .label
        .iter()
        .take(4)
        .map(|(big, small, width)| (big * times, small * times, width * times))
        .collect();
    let room = (f64::INFINITY, f64::INFINITY);
    fit(piece, &says, (&forms, 0.0), forms[2], room)
}

fn fit(
    piece: &Traced<'_>,
    says: &Says,
    (forms, upright_to): (&[Form], f64),
    beside: Form,
    room: (f64, f64),
) -> Label {
    let upright = upright(piece);
    let across = readable(upright + Angle::degrees(90.0));
    // Upright with the grain, if smaller; then across; and last with the facts running on.
    let blocks = |large: bool| {
        let these = move |f: &&Form| !runs_on(f) && (f.1 >= upright_to) == large;
        let upright = forms.iter().filter(these).map(move |f| (f, upright));
        upright.chain(forms.iter().filter(these).map(move |f| (f, across)))
    };
    let lines = forms
        .iter()
        .filter(|f| runs_on(f))
        .flat_map(|f| [(f, upright), (f, across)]);
    for (form, turn) in blocks(true).chain(blocks(false)).chain(lines) {
        let mut label = set_in(says, *form, turn);
        let b = label.quad(Point::default()).bounds;
        if b.width() > room.0 || b.height() > room.1 {
            continue;
        }
        label.spots = spots(piece, &label);
        if !label.spots.is_empty() {
            return label;
        }
    }
    let mut label = set_in(says, beside, Angle::ZERO);
    label.beside = true;
    let b = piece.bounds;
    let (w, h) = (label.size.width(), label.size.height());
    let at = |x: f64, y: f64| Point::new(x - label.size.x0, y - label.size.y0);
    label.spots = vec![
        at(b.x0 + 4.0, b.y1 + 8.0),
        at(b.x1 + 8.0, b.y0 + 4.0),
        at(b.x0 + 4.0, b.y0 - h - 8.0),
        at(b.x0 - w - 8.0, b.y0 + 4.0),
    ];
    label
}

/// The turn at which words stand upright with the grain, as far as they can be read then.
pub(crate) fn upright(piece: &Traced<'_>) -> Angle {
    readable(Vector::DOWN.angle_to(piece.down()))
}

/// A turn at which letters read from the foot or from the right; what stands almost upright reads
/// from the right, so that neighbours on a curved seam read the same way.
pub(crate) fn readable(turn: Angle) -> Angle {
    let d = turn.wrapped().in_degrees();
    if d > 75.0 {
        Angle::degrees(d - 180.0)
    } else if d <= -105.0 {
        Angle::degrees(d + 180.0)
    } else {
        Angle::degrees(d)
    }
}

/// All places on the piece where the label is clear of lines, the best first: roomy, and near the
/// middle.
fn spots(piece: &Traced<'_>, label: &Label) -> Vec<Point> {
    let b = piece.bounds;
    let local = label.quad(Point::default()).bounds;
    if local.width() > b.width() || local.height() > b.height() {
        return Vec::new();
    }
    let pitch = (b.width().max(b.height()) / 90.0).clamp(2.5, 15.0);
    let middle = b.centre();
    let mut found: Vec<(f64, Point)> = Vec::new();
    let mut y = b.y0 - local.y0;
    while y + local.y1 <= b.y1 {
        let mut x = b.x0 - local.x0;
        while x + local.x1 <= b.x1 {
            let at = Point::new(x, y);
            let quad = label.quad(at);
            // A box that no line enters lies all inside or all outside.
            if rings(&piece.stitch_ring, quad.corners[0]) {
                let room = clearance(piece, &quad, 12.0);
                if room > GAP {
                    let off = (quad.bounds.centre() - middle).size();
                    found.push((room * 20.0 - off, at));
                }
            }
            x += pitch;
        }
        y += pitch;
    }
    found.sort_by(|p, q| q.0.total_cmp(&p.0));
    found.into_iter().map(|f| f.1).collect()
}

/// How far the lines of the piece stay from a box, at most `most`; nothing when one comes too near.
fn clearance(piece: &Traced<'_>, quad: &Quad, most: f64) -> f64 {
    let near = quad.bounds.grown(most);
    let mut best = most;
    for b in piece.bits.iter().filter(|b| b.bounds.meets(&near)) {
        best = best.min(quad.gap_to_line(b.a, b.b) - b.half);
        if best <= GAP {
            return 0.0;
        }
    }
    best
}
