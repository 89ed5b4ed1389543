//! What every work promises, tried on many pieces and in any order.

use measure::{Angle, Curve, Length, Motion, Point, Vector};
use proptest::prelude::*;

use super::{inch, line, pt};
use crate::allowance::{Allowance, Change, How};
use crate::edge::{Edge, Notch, Role};
use crate::fault::Fault;
use crate::ring::{Balance, Dart, Grain, Mark, Piece, Toward};
use crate::works::{
    Place, close_dart, cut_along, join, let_out, let_out_fading, open_out, rectangle, replace,
    slash, smooth, strip, swing_dart, turn_over, turned,
};

/// The shape of a quarter: width, length, take at the side, rise, and its darts.
#[derive(Clone, Debug)]
struct Shape {
    wide: f64,
    length: f64,
    take: f64,
    rise: f64,
    darts: usize,
    intake: f64,
    deep: f64,
    fold: bool,
    flare: f64,
}

fn shape() -> impl Strategy<Value = Shape> {
    (
        8.0..16.0f64,
        14.0..45.0f64,
        -0.5..2.5f64,
        0.0..1.0f64,
        0..3usize,
        0.3..1.3f64,
        2.0..6.0f64,
        any::<bool>(),
        -0.15..0.22f64,
    )
        .prop_map(
            |(wide, length, take, rise, darts, intake, deep, fold, flare)| Shape {
                wide,
                length,
                take,
                rise,
                darts,
                intake,
                deep,
                fold,
                flare,
            },
        )
}

impl Shape {
    fn piece(&self) -> Piece {
        let (centre, waist_side) = (pt(0.0, 0.4), pt(self.wide - self.take, -self.rise));
        let (hip_side, hem_side) = (
            pt(self.wide, 9.0),
            pt(self.wide + self.flare * (self.length - 9.0), self.length),
        );
        let foot = pt(0.0, self.length + 0.5);
        let top = Curve::blend(waist_side, None, hip_side, Some(Vector::DOWN)).unwrap();
        let square = top.start_direction().left();
        let under = Curve::blend(hip_side, Some(Vector::DOWN), hem_side, None).unwrap();
        let side = Curve::joined([&top, &under]).unwrap();
        let waist = Curve::blend(centre, Some(Vector::OUTWARD), waist_side, Some(square)).unwrap();
        let hem = Curve::blend(hem_side, None, foot, Some(Vector::INWARD)).unwrap();
        let mut edges = vec![
            Edge::plain("waist", waist.clone()),
            Edge::plain("side", side),
            Edge::plain("hem", hem),
            Edge::plain("centre", line(foot, centre)),
        ];
        edges[1].allowance = Allowance::changing(
            inch(1.0),
            vec![
                Change {
                    at: inch(6.0),
                    width: inch(0.75),
                    how: How::Ramp,
                },
                Change {
                    at: inch(10.0),
                    width: inch(0.5),
                    how: How::Step,
                },
            ],
        );
        edges[1].notches = [4.0, 9.0, 12.0]
            .map(|at| Notch {
                at: inch(at),
                snips: 1,
            })
            .to_vec();
        edges[3].open = vec![(inch(1.0), inch(8.0))];
        if self.fold {
            edges[3].role = Role::Fold;
        }
        let mut piece = Piece::from_edges("quarter", edges).unwrap();
        let whole = waist.length();
        for k in 0..self.darts {
            let at = whole * (small(k + 1) / small(self.darts + 1));
            let mouth = (at - inch(self.intake / 2.0), at + inch(self.intake / 2.0));
            let (a, b) = (waist.at(mouth.0).point, waist.at(mouth.1).point);
            piece.darts.push(Dart {
                name: format!("dart number {}", k + 1),
                edge: "waist".to_owned(),
                mouth,
                tip: a.toward(b, 0.5) + (b - a).unit().unwrap().right() * (self.deep * 25.4),
                pressed: Some(Toward::Start),
            });
        }
        piece.marks = vec![
            Mark {
                name: "hip side".to_owned(),
                point: hip_side,
            },
            Mark {
                name: "hem side".to_owned(),
                point: hem_side,
            },
        ];
        piece.balance = vec![Balance {
            name: "hip line".to_owned(),
            from: pt(0.0, 9.0),
            to: hip_side,
        }];
        piece.grain = Some(Grain {
            from: pt(2.0, 3.0),
            to: pt(2.0, 12.0),
        });
        piece
    }
}

/// The promise of the module: a closed clockwise ring of named edges, and all that is marked on it
/// where it can be.
fn sound(p: &Piece) {
    let n = p.edges.len();
    assert!(n > 0);
    let mut area = 0.0;
    for (i, e) in p.edges.iter().enumerate() {
        let next = &p.edges[(i + 1) % n];
        assert_eq!(
            e.curve.end(),
            next.curve.start(),
            "{} {}",
            e.name,
            next.name
        );
        assert!(!e.name.is_empty());
        assert!(
            p.edges[..i].iter().all(|o| o.name != e.name),
            "{} twice",
            e.name
        );
        let long = e.curve.length() + Length::mm(1e-3);
        for notch in &e.notches {
            assert!(notch.at.in_mm() >= -1e-6 && notch.at <= long, "notch");
        }
        for (a, b) in &e.open {
            assert!(a.in_mm() >= -1e-6 && a < b && *b <= long, "open");
        }
        area += e.curve.area();
    }
    assert!(area > 0.0, "anticlockwise");
    p.check_simple().unwrap();
    for (i, d) in p.darts.iter().enumerate() {
        let e = &p.edge(&d.edge).unwrap().curve;
        assert!(d.mouth.0 < d.mouth.1 && d.mouth.1 <= e.length() + Length::mm(1e-3));
        assert!(p.darts[..i].iter().all(|o| o.name != d.name));
        let legs = [d.mouth.0, d.mouth.1].map(|m| e.at(m).point.distance(d.tip).in_mm());
        assert!((legs[0] - legs[1]).abs() < 0.02, "{legs:?}");
    }
    if let Some(g) = p.grain {
        assert!(g.from.is_finite() && g.to.is_finite());
    }
}

/// A count from 1 up to `most`, chosen by a number between 0 and 1.
fn up_to(x: f64, most: usize) -> usize {
    (1..most)
        .find(|k| x * small(most) < small(*k))
        .unwrap_or(most)
}

fn small(n: usize) -> f64 {
    f64::from(u8::try_from(n).unwrap_or(u8::MAX))
}

/// One work, chosen and aimed by numbers between 0 and 1.
fn work(p: &Piece, which: usize, a: f64, b: f64, c: f64) -> Result<Piece, Fault> {
    let pick = |x: f64| &p.edges[up_to(x, p.edges.len()) - 1];
    let (e, f) = (pick(a), pick(b));
    let on = |e: &Edge, x: f64| e.curve.at(e.curve.length() * x).point;
    let dart = p.darts.first().map_or("dart", |d| d.name.as_str());
    let amount = inch(4.0 * c - 1.0);
    match which {
        0 => close_dart(p, dart, c, &f.name, None).map(|r| r.0),
        1 => swing_dart(p, dart, &f.name, on(f, c)).map(|r| r.0),
        2 => {
            let cut = Curve::line(on(e, c), on(f, a)).map_err(|_| Fault::Nothing(String::new()))?;
            cut_along(p, &cut, "cut edge", on(e, b))
        }
        3 => {
            let cut = Curve::blend(
                on(e, c),
                None,
                on(f, a),
                Some(Vector::OUTWARD.turned(Angle::radians(6.0 * b))),
            )
            .map_err(|_| Fault::Nothing(String::new()))?;
            cut_along(p, &cut, "cut edge", on(e, b))
        }
        4 => let_out(p, &e.name, amount),
        5 => let_out_fading(p, &e.name, amount, on(e, b.round()), on(e, c)),
        6 => slash(
            p,
            Place::Edge(&e.name),
            Place::Edge(&f.name),
            up_to(c, 4),
            inch(1.0),
            b > 0.5,
        ),
        7 => slash(
            p,
            Place::At(on(e, c)),
            Place::At(on(f, a)),
            1,
            inch(2.0 * b),
            c > 0.5,
        ),
        8 => strip(p, &e.name, inch(0.5 + 3.0 * c)),
        9 => smooth(p, &e.name),
        10 => open_out(p, &e.name),
        11 => replace(
            p,
            &e.name,
            &Curve::bowed(e.curve.start(), e.curve.end(), inch(2.0 * b - 1.0))
                .map_err(|_| Fault::Nothing(String::new()))?,
        ),
        12 => join(
            p,
            &e.name,
            &turned(p, on(e, b), Angle::radians(c))?,
            &e.name,
        ),
        13 => join(
            p,
            &e.name,
            &rectangle("band", e.curve.length(), inch(2.0))?,
            "top",
        ),
        14 => turn_over(p),
        _ => turned(p, on(e, b), Angle::degrees(360.0 * c)),
    }
}

proptest! {
    /// Would catch a ring that gapes, turns anticlockwise, crosses itself, or names an edge twice; a
    /// dart with unequal legs; and any panic.
    #[test]
    fn works_in_any_order_leave_a_sound_piece(
        shape in shape(),
        works in prop::collection::vec((0..16usize, 0.0..1.0f64, 0.0..1.0f64, 0.0..1.0f64), 1..4),
    ) {
        let mut p = shape.piece();
        sound(&p);
        for (which, a, b, c) in works {
            if let Ok(q) = work(&p, which, a, b, c) {
                sound(&q);
                p = q;
            }
        }
    }

    /// Closing changes the closed and the opened edge only; the area grows by the wedge that opens
    /// and shrinks by the wedge that closes.
    #[test]
    fn closing_a_dart_keeps_all_other_edges(shape in shape()) {
        let p = shape.piece();
        let Some(d) = p.darts.first().cloned() else { return Ok(()) };
        let Ok((q, opened)) = close_dart(&p, &d.name, 1.0, "hem", None) else { return Ok(()) };
        for name in ["side", "centre"] {
            let (a, b) = (p.sewn_length(name).unwrap(), q.sewn_length(name).unwrap());
            prop_assert!((a - b).in_mm().abs() < 1e-5);
        }
        let sewn = (p.sewn_length("waist").unwrap(), q.sewn_length("waist").unwrap());
        prop_assert!((sewn.0 - sewn.1).in_mm().abs() < 1e-4);
        let grown = q.sewn_length("hem").unwrap() - p.sewn_length("hem").unwrap();
        prop_assert!((grown - opened).in_mm().abs() < 1e-5);
        // The wedges: by chord for the one that opens, along the waist's curve for the other.
        let waist = &p.edge("waist").unwrap().curve;
        let (a, b) = (waist.at(d.mouth.0).point, waist.at(d.mouth.1).point);
        let mouth = waist.sub(d.mouth.0, d.mouth.1).unwrap();
        let closed = mouth.area() + line(b, d.tip).area() + line(d.tip, a).area();
        let angle = (b - d.tip).angle_to(a - d.tip).abs().in_radians();
        let far = opened.in_mm() / (2.0 * measure::angle::sin(angle / 2.0));
        let open = 0.5 * far * far * measure::angle::sin(angle);
        prop_assert!((q.area() - p.area() - open + closed).abs() < 1e-3);
    }

    /// Cut anywhere, the two parts are the whole; joined again, too.
    #[test]
    fn cut_and_joined_again_is_as_large(shape in shape(), a in 0.05..0.95f64, b in 0.05..0.95f64) {
        let mut p = shape.piece();
        p.darts.clear();
        let (side, centre) = (&p.edge("side").unwrap().curve, &p.edge("centre").unwrap().curve);
        let cut = line(side.at(side.length() * a).point, centre.at(centre.length() * b).point);
        let one = cut_along(&p, &cut, "cut edge", side.start());
        let two = cut_along(&p, &cut, "cut edge", side.end());
        let (Ok(one), Ok(two)) = (one, two) else { return Ok(()) };
        if one.name == two.name && one.edges.len() + two.edges.len() == 8 {
            prop_assert!(((one.area() + two.area()) / p.area() - 1.0).abs() < 1e-9);
            let again = join(&one, "cut edge", &two, "cut edge").unwrap();
            prop_assert!((again.area() / p.area() - 1.0).abs() < 1e-7);
        }
    }

    /// The whole is twice the half; turning and turning over keep everything.
    #[test]
    fn opened_out_and_turned(shape in shape(), turn in -180.0..180.0f64) {
        let p = shape.piece();
        let q = open_out(&p, "centre").unwrap();
        prop_assert!((q.area() / p.area() - 2.0).abs() < 1e-9);
        for m in [Motion::turn(pt(3.0, 1.0), Angle::degrees(turn)), Motion::reflect(pt(1.0, 1.0), Vector::DOWN)] {
            let r = q.moved(&m);
            sound(&r);
            prop_assert!((r.area() / q.area() - 1.0).abs() < 1e-9);
            for e in &q.edges {
                prop_assert!((r.sewn_length(&e.name).unwrap() - q.sewn_length(&e.name).unwrap()).in_mm().abs() < 1e-6);
            }
        }
        let back = turn_over(&turn_over(&p).unwrap()).unwrap();
        for (e, f) in p.edges.iter().zip(&back.edges) {
            prop_assert!((e.curve.start() - f.curve.start()).size() < 1e-9);
        }
    }

    /// Smoothing keeps the sewn length to a millionth of an inch, the ends exactly, and the directions
    /// there to a tenth of a degree (a dart that opens at an end is closed first, and may turn it).
    #[test]
    fn smoothed_at_equal_length(shape in shape(), by in 0.0..1.0f64) {
        let p = shape.piece();
        let q = match p.darts.first() {
            Some(d) => close_dart(&p, &d.name, by, "hem", None).map_or(p.clone(), |r| r.0),
            None => p.clone(),
        };
        for name in ["waist", "hem", "side"] {
            if let Ok(r) = smooth(&q, name) {
                let (a, b) = (q.sewn_length(name).unwrap(), r.sewn_length(name).unwrap());
                prop_assert!((a - b).in_inches().abs() < 1e-6, "{name} {a:?} {b:?}");
                prop_assert_eq!(q.edge(name).unwrap().curve.start(), r.edge(name).unwrap().curve.start());
                prop_assert_eq!(q.edge(name).unwrap().curve.end(), r.edge(name).unwrap().curve.end());
                let (old, new) = (&q.edge(name).unwrap().curve, &r.edge(name).unwrap().curve);
                if !q.darts.iter().any(|d| d.edge == name) {
                    let off = [
                        old.start_direction().angle_to(new.start_direction()),
                        old.end_direction().angle_to(new.end_direction()),
                    ];
                    prop_assert!(off.iter().all(|a| a.in_degrees().abs() < 0.1), "{name} {off:?}");
                }
                sound(&r);
            }
        }
    }
}

/// Nothing that can be written down makes a work panic.
#[test]
fn senseless_asks_are_refused() {
    let p = super::plain();
    let wild = [f64::NAN, f64::INFINITY, -f64::INFINITY, 1e300, -1e12, 0.0];
    for x in wild {
        let at = Point::new(x, 1.0);
        let _ = close_dart(&p, "dart", x, "hem", None);
        let _ = close_dart(&p, "dart", 1.0, "hem", Some(at));
        let _ = swing_dart(&p, "dart", "side", at);
        let _ = cut_along(&p, &line(pt(0.0, 3.0), pt(20.0, 3.0)), "cut", at);
        let _ = slash(&p, Place::At(at), Place::Edge("waist"), 2, inch(1.0), false);
        let _ = turned(&p, at, Angle::radians(x));
        let _ = let_out_fading(&p, "side", inch(1.0), at, pt(20.0, 9.0));
        if let Some(l) = Length::try_mm(x) {
            let _ = let_out(&p, "side", l);
            let _ = let_out_fading(&p, "side", l, pt(20.0, 24.0), pt(20.0, 9.0));
            let _ = strip(&p, "waist", l);
            let _ = slash(&p, Place::Edge("hem"), Place::Edge("waist"), 2, l, true);
            let _ = rectangle("band", l, inch(2.0));
        }
    }
    for name in ["", "waist "] {
        assert!(close_dart(&p, name, 1.0, "hem", None).is_err());
        assert!(let_out(&p, name, inch(1.0)).is_err());
        assert!(strip(&p, name, inch(1.0)).is_err());
        assert!(smooth(&p, name).is_err());
        assert!(open_out(&p, name).is_err());
        assert!(join(&p, "side", &p, name).is_err());
    }
    assert!(rectangle("band", Length::ZERO, inch(2.0)).is_err());
    assert!(open_out(&p, "waist").is_ok());
    assert!(strip(&p, "waist", inch(30.0)).is_err());
}
