//! The cloth drawn at its real proportion with every piece on it, scraps beside it, and a join before it is made.

use lay::Fold;
use lay::join::Join;
use lay::laid::{Laid, LaidPiece};
use maud::{Markup, html};
use measure::Length;
use measure::fraction::{Shown, Unit, show};

use super::kept::Current;
use super::ready::Ready;
use super::view::{ClothView, is_pinned, named, note};
use crate::web::parts::number::told;

/// The scraps, each with what is cut from it.
pub(super) fn scraps(laid: &Laid, shown: Shown) -> Markup {
    /// A drawing is no wider and no higher than this, so that its numbers are shown as large as they are.
    const ROOM: (f64, f64) = (300.0, 240.0);
    /// Units of the drawing for a millimetre: about the size of the lay above, where there is room.
    const K: f64 = 0.3;
    let n = |v: f64| format!("{v:.1}");
    // Numbered on after the lay, scrap after scrap.
    let first = |k: usize| {
        let before = laid.scraps.iter().take(k).map(|s| s.pieces.len());
        laid.pieces.len() + before.sum::<usize>()
    };
    html! {
        @if !laid.scraps.is_empty() {
            ul.scraps aria-label="From your scraps" {
                @for (k, s) in laid.scraps.iter().enumerate() {
                    @let begin = first(k);
                    @let scale = K.min(ROOM.0 / s.long.max(1.0)).min(ROOM.1 / s.wide.max(1.0));
                    li {
                        svg.lay viewBox=(format!("-4 -4 {} {}", n(s.long * scale + 8.0), n(s.wide * scale + 8.0))) width=(n(s.long * scale + 8.0)) role="img" aria-label=(format!("Scrap {} with {} outlines", s.number, s.pieces.len())) {
                            rect.bolt x="0" y="0" width=(n(s.long * scale)) height=(n(s.wide * scale)) {}
                            @for (i, p) in s.pieces.iter().enumerate() {
                                @let at = |q: &[f64; 2]| format!("{:.1} {:.1}", q[0] * scale, (s.wide - q[1]) * scale);
                                @let line: Vec<String> = p.outline.iter().map(at).collect();
                                @let middle = roomy(&p.outline);
                                path.cut d=(format!("M{}Z", line.join("L"))) { title { (begin + i + 1) " " (named(p)) } }
                                text.letter.sub x=(n(middle[0] * scale)) y=(n((s.wide - middle[1]) * scale + 5.0)) text-anchor="middle" { (begin + i + 1) }
                            }
                        }
                        p.help { "Scrap " (s.number) ", " (told(&show(Length::mm(s.wide), shown))) " wide, " (told(&show(Length::mm(s.long), shown))) " long" }
                    }
                }
            }
        }
    }
}

/// A piece with its join: the part that is sewn on is shaded.
pub(super) fn joined(join: &Join) -> Markup {
    const SIDE: f64 = 300.0;
    let mut b = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
    for p in &join.whole {
        for axis in 0..2 {
            b[axis] = b[axis].min(p[axis]);
            b[axis + 2] = b[axis + 2].max(p[axis]);
        }
    }
    let k = SIDE / (b[2] - b[0]).max(b[3] - b[1]).max(1.0);
    let at = |p: [f64; 2]| format!("{:.1} {:.1}", (p[0] - b[0]) * k, (p[1] - b[1]) * k);
    let line = |all: &[[f64; 2]]| {
        let all: Vec<String> = all.iter().map(|p| at(*p)).collect();
        format!("M{}Z", all.join("L"))
    };
    let size = format!(
        "-8 -8 {:.0} {:.0}",
        (b[2] - b[0]) * k + 16.0,
        (b[3] - b[1]) * k + 16.0
    );
    html! {
        svg.joinpicture viewBox=(size) role="img" aria-label={ (check::told::capital(&join.piece)) ", with its join" } {
            path.cut d=(line(&join.whole)) {}
            path.sewnon d=(line(&join.beyond())) {}
            path.joinline d={ "M" (at(join.line[0])) "L" (at(join.line[1])) } {}
        }
    }
}

/// The place on a piece that is farthest from its outline, as far as a look at a few hundred finds:
/// there its name has room.
fn roomy(outline: &[[f64; 2]]) -> [f64; 2] {
    const LOOKS: i32 = 16;
    let mut b = [f64::MAX, f64::MAX, f64::MIN, f64::MIN];
    for p in outline {
        for axis in 0..2 {
            b[axis] = b[axis].min(p[axis]);
            b[axis + 2] = b[axis + 2].max(p[axis]);
        }
    }
    let edges = || outline.iter().zip(outline.iter().cycle().skip(1));
    let mut best = ([f64::midpoint(b[0], b[2]), f64::midpoint(b[1], b[3])], 0.0);
    for i in 1..LOOKS {
        for j in 1..LOOKS {
            let at = |axis: usize, n: i32| {
                b[axis] + (b[axis + 2] - b[axis]) * f64::from(n) / f64::from(LOOKS)
            };
            let p = [at(0, i), at(1, j)];
            let mut inside = false;
            let mut near = f64::MAX;
            for (s, t) in edges() {
                if (s[1] > p[1]) != (t[1] > p[1])
                    && p[0] < s[0] + (p[1] - s[1]) * (t[0] - s[0]) / (t[1] - s[1])
                {
                    inside = !inside;
                }
                // Words are wide and low: what is beside them is nearer than what is above.
                let near_by = |q: &[f64; 2]| [(q[0] - p[0]) / 2.0, q[1] - p[1]];
                let (a, b) = (near_by(s), near_by(t));
                let way = [b[0] - a[0], b[1] - a[1]];
                let long = way[0] * way[0] + way[1] * way[1];
                let part = if long > 0.0 {
                    (-(a[0] * way[0] + a[1] * way[1]) / long).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let (dx, dy) = (a[0] + way[0] * part, a[1] + way[1] * part);
                near = near.min(dx * dx + dy * dy);
            }
            if inside && near > best.1 {
                best = (p, near);
            }
        }
    }
    best.0
}

/// How far it is from a place on a piece to its outline: to the left, to the right, and down.
fn room_at(outline: &[[f64; 2]], p: [f64; 2]) -> [f64; 3] {
    let mut room = [f64::MAX; 3];
    for (s, t) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        for axis in 0..2 {
            let other = 1 - axis;
            if (s[other] > p[other]) == (t[other] > p[other]) {
                continue;
            }
            let part = (p[other] - s[other]) / (t[other] - s[other]);
            let off = s[axis] + part * (t[axis] - s[axis]) - p[axis];
            match (axis, off < 0.0) {
                (0, true) => room[0] = room[0].min(-off),
                (0, false) => room[1] = room[1].min(off),
                (_, true) => room[2] = room[2].min(-off),
                (_, false) => {}
            }
        }
    }
    room
}

/// From line to line of small words on the drawing, and half of what a letter of them takes at most.
const LINE: f64 = 22.0;
const HALF_LETTER: f64 = 5.0;

/// How a piece lies, as it is written on it: in one line, or one below the other where that goes over its
/// edge and there is room below. `k` is how many units of the drawing a millimetre is.
fn written(note: &str, outline: &[[f64; 2]], middle: [f64; 2], k: f64) -> Vec<String> {
    let room = room_at(outline, middle);
    let half =
        |text: &str| f64::from(u32::try_from(text.chars().count()).unwrap_or(0)) * HALF_LETTER;
    let parts: Vec<String> = note.split(", ").map(str::to_owned).collect();
    let lines = f64::from(u32::try_from(parts.len()).unwrap_or(1));
    let over = half(note) > room[0].min(room[1]) * k;
    if over && room[2] * k > 24.0 + LINE * (lines - 1.0) + 6.0 {
        parts
    } else {
        vec![note.to_owned()]
    }
}

/// Half of what a letter of a name takes, as large as it stands on a piece.
const HALF_OF_NAME: f64 = 7.6;

/// Whether a name stays on its piece: beside its middle, and as high as its letters are.
fn has_room(name: &str, outline: &[[f64; 2]], middle: [f64; 2], k: f64) -> bool {
    let half = f64::from(u32::try_from(name.chars().count()).unwrap_or(u32::MAX)) * HALF_OF_NAME;
    [2.0, 20.0].into_iter().all(|up| {
        let room = room_at(outline, [middle[0], middle[1] + up / k]);
        half <= room[0].min(room[1]) * k
    })
}

/// What a flaw is called on the drawing, and beside it.
pub(super) fn flaw_called(at: usize, many: usize) -> String {
    match many {
        1 => "flaw".to_owned(),
        _ => format!("flaw {}", at + 1),
    }
}

/// The middle of words so that none of their letters is cut off at the edge of the drawing.
fn within(x: f64, text: &str) -> f64 {
    // On a narrow window the letters are larger.
    let half = f64::from(u32::try_from(text.chars().count()).unwrap_or(0)) * 6.2;
    x.clamp(
        (half - 16.0).min(WIDE / 2.0),
        (WIDE + 16.0 - half).max(WIDE / 2.0),
    )
}

/// The drawing is so many units wide, whatever the cloth.
const WIDE: f64 = 945.0;

/// The cloth at its real proportion, with every piece on it.
pub(super) fn drawing(laid: &Laid, ready: &Ready, at: Option<(&ClothView, &Current)>) -> Markup {
    let end = laid.length.max(1.0);
    let s = laid.selvedge;
    let folded = matches!(laid.fold, Fold::Lengthwise | Fold::Part);
    let high = if laid.flat_from.is_some() {
        laid.usable
    } else {
        laid.height()
    };
    let k = WIDE / end;
    let low = if folded && laid.flat_from.is_none() {
        0.0
    } else {
        s
    };
    let tall = (high + s + low) * k;
    let x = |v: f64| v * k;
    let y = |v: f64| (high + s - v) * k;
    let n = |v: f64| format!("{v:.1}");
    let path = |p: &LaidPiece| {
        let mut d = String::new();
        // Closer than a pixel nobody sees.
        let mut last: Option<(f64, f64)> = None;
        for q in &p.outline {
            let (a, b) = (x(q[0]), y(q[1]));
            if last.is_some_and(|l| (l.0 - a).abs() + (l.1 - b).abs() < 0.8) {
                continue;
            }
            d.push_str(&format!(
                "{}{a:.1} {b:.1}",
                if last.is_none() { 'M' } else { 'L' }
            ));
            last = Some((a, b));
        }
        d.push('Z');
        d
    };
    let inches = ready.shown.unit == Unit::Inch;
    let (each, sign, parts) = if inches {
        (914.4, "yd", 8)
    } else {
        (1000.0, "m", 10)
    };
    let mut ticks = Vec::new();
    let mut i = 0;
    while f64::from(i) * each / f64::from(parts) <= end + 1.0 && i < 4000 {
        ticks.push((i, f64::from(i) * each / f64::from(parts)));
        i += 1;
    }
    let title = format!(
        "The lay: {} outlines on {} of cloth",
        laid.pieces.len(),
        show(Length::mm(laid.length), ready.shown)
    );
    let selvedges = [
        (!folded || laid.flat_from.is_some()).then_some(0.0),
        Some(if laid.flat_from.is_some() {
            laid.usable
        } else {
            laid.height()
        }),
    ];
    html! {
        svg.lay viewBox=(format!("-20 -34 {} {}", n(WIDE + 40.0), n(tall + 90.0))) data-scale=(n(1.0 / k)) role="group" aria-label=(title) {
            rect.bolt x="0" y="0" width=(n(WIDE)) height=(n(tall)) {}
            @for v in selvedges.into_iter().flatten() {
                path.selvedge d=(format!("M0 {}H{}", n(y(v)), n(WIDE))) {}
            }
            @if folded {
                path.foldline d=(format!("M0 {}H{}", n(y(0.0)), n(x(laid.flat_from.unwrap_or(end))))) {}
                // Beside the nought of the rule, clear of its marks.
                text.letter.out x="24" y=(n(tall + 40.0)) { "fold" }
            }
            @if laid.fold == Fold::Crosswise {
                path.foldline d=(format!("M0 0V{}", n(tall))) {}
                text.letter.out x="6" y=(n(tall - 8.0)) { "fold" }
            }
            @if let Some([deep, _]) = laid.turned_in {
                @let end = n(x(laid.flat_from.unwrap_or(end)));
                rect.turnedin x="0" y=(n(y(deep + s))) width=(end) height=(n((deep + s) * k)) {}
                path.selvedge d=(format!("M0 {}H{end}", n(y(deep)))) {}
                path.edge d=(format!("M0 {}H{end}", n(y(deep + s)))) {}
                text.letter.out x="4" y=(n(y(deep + s) - 5.0)) { "edge, turned in" }
            }
            @if let (true, Some(from)) = (folded, laid.flat_from) {
                path.selvedge d=(format!("M0 {}H{}", n(y(laid.height())), n(x(from)))) {}
            }
            @if let Some(from) = laid.flat_from {
                path.selvedge d=(format!("M{} 0V{}", n(x(from)), n(tall))) {}
                text.letter.out x=(n(x(from))) y="-8" text-anchor="middle" { "opened out from here" }
            }
            @for (i, f) in laid.flaws.iter().enumerate() {
                @let called = check::told::capital(&flaw_called(i, laid.flaws.len()));
                rect.flaw x=(n(x(f[0]))) y=(n(y(f[3]))) width=(n((f[2] - f[0]) * k)) height=(n((f[3] - f[1]) * k)) role="img" aria-label=(called) { title { (called) } }
            }
            @for (i, p) in laid.pieces.iter().enumerate() {
                @let b = p.bounds();
                @let pinned = at.is_some_and(|(_, c)| is_pinned(c, p));
                @let chosen = at.is_some_and(|(v, _)| v.piece == Some(i));
                @let class = match (pinned, chosen) { (true, true) => "cut pinned chosen", (true, false) => "cut pinned", (false, true) => "cut chosen", _ => "cut" };
                @let middle = roomy(&p.outline);
                @let words = html! {
                    path class=(class) d=(path(p)) data-piece=(i) { title { (i + 1) " " (named(p)) ", " (note(p)) } }
                    @for [a, b] in &p.joins { path.joinline d=(format!("M{} {}L{} {}", n(x(a[0])), n(y(a[1])), n(x(b[0])), n(y(b[1])))) { title { "A join" } } }
                    path.grain d=(format!("M{} {}L{} {}", n(x(p.grain[0][0])), n(y(p.grain[0][1])), n(x(p.grain[1][0])), n(y(p.grain[1][1])))) {}
                    @if (b[2] - b[0]) * k > 90.0 && (b[3] - b[1]) * k > 50.0 {
                        @let name = format!("{} {}", i + 1, check::told::capital(&p.name));
                        @let roomy = has_room(&name, &p.outline, middle, k);
                        text.name x=(n(x(middle[0]))) y=(n(y(middle[1]) - 2.0)) text-anchor="middle" { @if roomy { (name) } @else { (i + 1) } }
                        @let said = if pinned { format!("{}, pinned", note(p)) } else { note(p) };
                        // Where not even the name has room, the list beside tells both.
                        @for (line, words) in written(&said, &p.outline, middle, k).iter().enumerate().filter(|(_, words)| roomy || has_room(words, &p.outline, middle, k)) {
                            text.letter.sub x=(n(within(x(middle[0]), words))) y=(n(y(middle[1]) + 24.0 + LINE * f64::from(u32::try_from(line).unwrap_or(0)))) text-anchor="middle" { (words) }
                        }
                    } @else {
                        text.letter.sub x=(n(x(middle[0]))) y=(n(y(middle[1]) + 5.0)) text-anchor="middle" { (i + 1) }
                    }
                };
                @match at {
                    Some((view, _)) if view.running.is_none() => {
                        a.onlay.inhand[chosen] href=(view.with(&format!("&piece={i}#hand"))) aria-label={ (i + 1) " " (named(p)) ", " (note(p)) } data-of=(i) { (words) }
                    }
                    _ => { g.onlay data-of=(i) { (words) } }
                }
            }
            @for (i, f) in laid.flaws.iter().enumerate().filter(|(_, f)| f[0] < end) {
                @let called = flaw_called(i, laid.flaws.len());
                @let (top, foot) = (y(f[3]), y(f[1]));
                // Above it; where that is off the cloth, below.
                @let at = if top > 20.0 { top - 5.0 } else { foot + 18.0 };
                text.letter.sub.flawname x=(n(within(x(f64::midpoint(f[0], f[2])), &called))) y=(n(at)) text-anchor="middle" aria-hidden="true" { (called) }
            }
            @for (i, v) in &ticks {
                path.tick d=(format!("M{} {}v{}", n(x(*v)), n(tall + 6.0), if i % parts == 0 { 14 } else { 7 })) {}
                @if i % parts == 0 {
                    text.letter.out x=(n(x(*v))) y=(n(tall + 40.0)) text-anchor="middle" { (i / parts) @if *i > 0 { " " (sign) } }
                }
            }
            path.tick.end d=(format!("M{} -6V{}", n(WIDE), n(tall + 6.0))) {}
            text.letter.out x=(n(WIDE)) y="-12" text-anchor="end" { "the lay ends here" }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch words that go over the edge of a piece though there is room below, that are cut off at the
    /// edge of the drawing, and lines that are broken where one is enough. On a board of 200 by 100, from its
    /// middle it is 100 to each side and 50 down.
    #[test]
    fn words_on_a_piece_have_room() {
        let board = [[0.0, 0.0], [200.0, 0.0], [200.0, 100.0], [0.0, 100.0]];
        for (at, room) in [
            ([100.0, 50.0], [100.0, 100.0, 50.0]),
            ([20.0, 30.0], [20.0, 180.0, 30.0]),
        ] {
            let found = room_at(&board, at);
            let near = found.iter().zip(room).all(|(f, r)| (f - r).abs() < 1e-9);
            assert!(near, "{found:?}, not {room:?}");
        }
        let said = "face down, head to foot";
        assert_eq!(written(said, &board, [100.0, 50.0], 2.0), [said]);
        assert_eq!(
            written(said, &board, [100.0, 90.0], 1.0),
            ["face down", "head to foot"]
        );
        // Neither beside nor below: in one line.
        assert_eq!(written(said, &board, [100.0, 20.0], 1.0), [said]);
        // A name is as large as it is, and goes over no edge: not at its foot, and not where its letters end.
        assert!(has_room("1 Front", &board, [100.0, 50.0], 1.0));
        assert!(!has_room(
            "5 Flounce, joined on part",
            &board,
            [100.0, 50.0],
            1.0
        ));
        assert!(has_room(
            "5 Flounce, joined on part",
            &board,
            [100.0, 50.0],
            2.0
        ));
        let gable = [
            [0.0, 0.0],
            [200.0, 0.0],
            [200.0, 50.0],
            [110.0, 65.0],
            [90.0, 65.0],
            [0.0, 50.0],
        ];
        assert!(!has_room("1 Front back", &gable, [100.0, 44.0], 1.0));
        assert!(within(60.0, said) > 120.0 && within(940.0, said) < 830.0);
        assert!((within(500.0, said) - 500.0).abs() < 1e-9);
    }
}
