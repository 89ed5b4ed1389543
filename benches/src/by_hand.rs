//! The mermaid in two patterns, written out in Rust with the same curves, truing and pieces, and no
//! language in between: the yardstick for a redraw.

use measure::{Curve, Degenerate, Length, Point, Vector};
use piece::{Allowance, Change, Corner, Cut, Edge, How, Mark, Notch, Piece, Role, works};

/// The card and the choices, in millimetres.
#[derive(Clone, Copy, Debug)]
#[expect(
    missing_docs,
    reason = "they are named as on the card and in the method"
)]
pub struct Body {
    pub waist: f64,
    pub hip: f64,
    pub waist_to_hip: f64,
    pub waist_to_knee: f64,
    pub length: f64,
    pub tightening: f64,
}

/// An inch in millimetres.
const IN: f64 = 25.4;

struct Sheet {
    side: Curve,
    centre: Curve,
    waist: Curve,
    hem: Curve,
    waist_centre: Point,
    hip_side: Point,
    break_side: Point,
    break_centre: Point,
    hip_line: f64,
}

#[derive(Clone, Copy)]
struct Free {
    waist_rise: f64,
    break_drop: f64,
    hem_lift: f64,
}

fn side_line(b: &Body, back: bool, free: Free) -> Result<(Curve, [Point; 4]), Degenerate> {
    let quarter = b.hip / 4.0;
    let (set, take) = if back { (IN, IN) } else { (0.0, 0.0) };
    let (hold, hip_hold, blend) = (0.5 * IN, IN, 3.0 * IN);
    let break_line = b.waist_to_knee - 3.0 * IN;
    let waist_side = Point::new(set + b.waist / 4.0, -free.waist_rise);
    let hip_side = Point::new(quarter, b.waist_to_hip);
    let break_side = Point::new(
        quarter - (b.tightening - take),
        break_line + free.break_drop,
    );
    let mark = Point::new(quarter + 8.0 * IN, b.length);
    let flare_from = break_side + Vector::DOWN * hold;
    let cut = b.length - free.hem_lift;
    let hem_side = flare_from.toward(mark, (cut - flare_from.y) / (mark.y - flare_from.y));
    let (above_hip, below_hip) = (
        hip_side + Vector::UP * hip_hold,
        hip_side + Vector::DOWN * hip_hold,
    );
    let (above, below) = (
        break_side + Vector::UP * hold,
        break_side + Vector::DOWN * hold,
    );
    let path = Curve::joined([
        &Curve::blend(waist_side, None, above_hip, Some(Vector::DOWN))?,
        &Curve::line(above_hip, below_hip)?,
        &Curve::blend(below_hip, Some(Vector::DOWN), above, Some(Vector::DOWN))?,
        &Curve::line(above, below)?,
        &Curve::line(below, hem_side)?,
    ])?;
    let path = soften(&path, break_side, blend)?;
    Ok((path, [waist_side, hip_side, break_side, hem_side]))
}

fn soften(path: &Curve, at: Point, over: f64) -> Result<Curve, Degenerate> {
    let s = path.nearest(at).along.in_mm();
    let whole = path.length();
    let (from, to) = (Length::mm(s - over), Length::mm(s + over));
    let (a, b) = (path.at(from), path.at(to));
    let blend = Curve::blend(a.point, Some(a.direction), b.point, Some(b.direction))?;
    Curve::joined([
        &path.sub(Length::ZERO, from)?,
        &blend,
        &path.sub(to, whole)?,
    ])
}

fn between(curve: &Curve, p: Point, q: Point) -> f64 {
    (curve.nearest(p).along.in_mm() - curve.nearest(q).along.in_mm()).abs()
}

fn sheet(b: &Body, back: bool, free: Free) -> Result<Sheet, Degenerate> {
    let (side, [waist_side, hip_side, break_side, hem_side]) = side_line(b, back, free)?;
    let (set, take, drop) = if back {
        (IN, IN, 0.5 * IN)
    } else {
        (0.0, 0.0, 0.75 * IN)
    };
    let (sweep_out, sweep_down) = if back {
        (15.0 * IN, 7.0 * IN)
    } else {
        (0.0, 0.0)
    };
    let (hold, hip_hold, blend) = (0.5 * IN, IN, 3.0 * IN);
    let break_line = b.waist_to_knee - 3.0 * IN;
    let waist_centre = Point::new(set, drop);
    let hip_centre = Point::new(0.0, b.waist_to_hip);
    let break_centre = Point::new(take, break_line);
    let hem_centre = Point::new(-sweep_out, b.length + sweep_down);
    let (h0, h1) = (
        hip_centre + Vector::UP * hip_hold,
        hip_centre + Vector::DOWN * hip_hold,
    );
    let (b0, b1) = (
        break_centre + Vector::UP * hold,
        break_centre + Vector::DOWN * hold,
    );
    let centre = Curve::joined([
        &Curve::line(waist_centre, h0)?,
        &Curve::line(h0, h1)?,
        &Curve::line(h1, b0)?,
        &Curve::line(b0, b1)?,
        &Curve::line(b1, hem_centre)?,
    ])?;
    let centre = if back {
        soften(&centre, break_centre, blend)?
    } else {
        centre
    };
    let toward = |v: Vector, on: Vector| if v.dot(on) < 0.0 { -v } else { v };
    let square = |c: &Curve, p: Point| c.at(c.nearest(p).along).direction.left();
    let on = waist_side - waist_centre;
    let waist = Curve::blend(
        waist_centre,
        Some(toward(square(&centre, waist_centre), on)),
        waist_side,
        Some(toward(square(&side, waist_side), on)),
    )?;
    let on = hem_centre - hem_side;
    let hem = Curve::blend(
        hem_side,
        Some(toward(square(&side, hem_side), on)),
        hem_centre,
        Some(toward(square(&centre, hem_centre), on)),
    )?;
    Ok(Sheet {
        side,
        centre,
        waist,
        hem,
        waist_centre,
        hip_side,
        break_side,
        break_centre,
        hip_line: b.waist_to_hip,
    })
}

/// Moves one value until the back is as long as the front, by secant.
fn agree(
    start: f64,
    mut out: impl FnMut(f64) -> Result<f64, Degenerate>,
) -> Result<f64, Degenerate> {
    let (mut x, mut y) = (start, out(start)?);
    let mut u = x + 2.0;
    for _ in 0..14 {
        if y.abs() < 2.54e-7 {
            break;
        }
        let v = out(u)?;
        let next = u - v * (u - x) / (v - y);
        (x, y, u) = (u, v, next);
    }
    Ok(x)
}

fn edge(name: &str, curve: &Curve, role: Role, allowance: f64, notches: &[Length]) -> Edge {
    Edge {
        role,
        allowance: Allowance::even(Length::mm(allowance)),
        notches: notches
            .iter()
            .map(|at| Notch { at: *at, snips: 1 })
            .collect(),
        ..Edge::plain(name, curve.clone())
    }
}

fn cut(cloth: &str, on_fold: bool) -> Cut {
    Cut {
        cloth: cloth.into(),
        count: if on_fold { 1 } else { 2 },
        on_fold,
        pair: !on_fold,
    }
}

fn whole(name: &str, s: &Sheet, back: bool) -> Result<Piece, piece::Fault> {
    let hip = s.side.nearest(s.hip_side).along;
    let brk = s.side.nearest(s.break_side).along;
    let three = Length::inches(3.0);
    let mut side = edge(
        "side",
        &s.side,
        Role::Seam,
        IN,
        &[hip, brk - three, brk, brk + three],
    );
    side.allowance = Allowance::changing(
        Length::inches(1.0),
        vec![Change {
            at: brk,
            width: Length::inches(0.5),
            how: How::Step,
        }],
    );
    side.start_corner = Corner::Reflected;
    side.end_corner = Corner::Reflected;
    let mut centre = edge(
        "centre",
        &s.centre,
        if back { Role::Seam } else { Role::Fold },
        if back { IN } else { 0.0 },
        &[],
    );
    if back {
        let at = |y: f64| {
            s.centre
                .crossings_straight(Point::new(0.0, y), Vector::OUTWARD)
                .first()
                .map_or(Length::ZERO, |c| c.0)
        };
        centre.allowance = Allowance::changing(
            Length::inches(1.0),
            vec![
                Change {
                    at: at(s.hip_line),
                    width: Length::inches(1.25),
                    how: How::Ramp,
                },
                Change {
                    at: at(s.break_centre.y + 3.0 * IN),
                    width: Length::inches(0.5),
                    how: How::Ramp,
                },
            ],
        );
        centre.notches = vec![
            Notch {
                at: at(s.hip_line),
                snips: 2,
            },
            Notch {
                at: at(s.break_centre.y),
                snips: 1,
            },
        ];
    }
    let mut made = Piece::from_edges(
        name,
        vec![
            edge("waist", &s.waist, Role::Seam, 0.5 * IN, &[]),
            side,
            edge("hem", &s.hem, Role::Hem, 0.375 * IN, &[]),
            centre,
        ],
    )?;
    made.marks = vec![
        Mark {
            name: "waist centre".into(),
            point: s.waist_centre,
        },
        Mark {
            name: "hip side".into(),
            point: s.hip_side,
        },
        Mark {
            name: "break centre".into(),
            point: s.centre.nearest(s.break_centre).point,
        },
    ];
    made.cuts = vec![cut("shell", !back)];
    made.check_simple()?;
    Ok(made)
}

fn lined(name: &str, shell: &Piece, down: Length, back: bool) -> Result<Piece, piece::Fault> {
    let side = shell.edge("side")?;
    let hip = shell.mark("hip side").unwrap_or_default();
    let centre = shell.mark("break centre").unwrap_or_default();
    let from = side.curve.nearest(hip).along;
    let line = Curve::line(centre, side.curve.at(from + down).point)
        .map_err(|_| piece::Fault::Nothing("the cut".into()))?;
    let mut made = works::cut_along(shell, &line, "cut edge", hip)?;
    made = works::let_out(&made, "side", Length::inches(0.125))?;
    made.name = name.into();
    made.cuts = vec![cut("lining", !back)];
    made.check_simple()?;
    Ok(made)
}

fn faced(name: &str, shell: &Piece, back: bool) -> Result<Piece, piece::Fault> {
    let mut made = works::strip(shell, "waist", Length::inches(2.5))?;
    made.name = name.into();
    made.cuts = vec![cut("shell", !back), cut("interlining", !back)];
    made.check_simple()?;
    Ok(made)
}

/// The six pieces, trued.
///
/// # Errors
/// When the body gives lines without length.
pub fn mermaid(b: &Body) -> Result<Vec<Piece>, piece::Fault> {
    let flat = |_| piece::Fault::Nothing("a line".into());
    let flare_height = b.length - (b.waist_to_knee - 3.0 * IN + 0.5 * IN);
    let out = b.tightening + 8.0 * IN;
    let rise = flare_height * (1.0 - flare_height / measure::angle::hypot(out, flare_height));
    let start = Free {
        waist_rise: 0.25 * IN,
        break_drop: 0.0,
        hem_lift: rise,
    };
    let front = sheet(b, false, start).map_err(flat)?;
    let (f_side, f) = side_line(b, false, start).map_err(flat)?;
    let mut free = start;
    for (part, range) in [(0usize, (0usize, 1usize)), (1, (1, 2)), (2, (2, 3))] {
        let wanted = between(&f_side, f[range.0], f[range.1]);
        let base = free;
        let found = agree(
            [base.waist_rise, base.break_drop, base.hem_lift][part],
            |x| {
                let mut trial = base;
                match part {
                    0 => trial.waist_rise = x,
                    1 => trial.break_drop = x,
                    _ => trial.hem_lift = x,
                }
                let (side, p) = side_line(b, true, trial)?;
                Ok(wanted - between(&side, p[range.0], p[range.1]))
            },
        )
        .map_err(flat)?;
        match part {
            0 => free.waist_rise = found,
            1 => free.break_drop = found,
            _ => free.hem_lift = found,
        }
    }
    let back = sheet(b, true, free).map_err(flat)?;
    let front = whole("front", &front, false)?;
    let back = whole("back", &back, true)?;
    let down = Length::mm(b.waist_to_knee - 3.0 * IN - b.waist_to_hip);
    Ok(vec![
        lined("front lining", &front, down, false)?,
        lined("back lining", &back, down, true)?,
        faced("front facing", &front, false)?,
        faced("back facing", &back, true)?,
        front,
        back,
    ])
}
