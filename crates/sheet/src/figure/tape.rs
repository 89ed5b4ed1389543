//! The measuring tape on the body: a band with its inches, and its two ends.

use measure::angle::{cos, sin};

use super::Look;
use super::sketch::Sketch;
use super::strokes::{Place, smooth};
use crate::number::real;

/// Half the width of the tape, in units.
const HALF: f64 = 3.2;
/// An inch, in centimetres.
const INCH: f64 = 2.54;

/// A ring round the body, seen a little from above.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ring {
    pub(super) middle: Place,
    pub(super) half_width: f64,
    /// How far its near half hangs below its middle, and its far half rises over it.
    pub(super) near: f64,
    pub(super) far: f64,
    /// How far its right end lies above its left one, along its own width.
    pub(super) tilt: f64,
}

impl Ring {
    /// A level ring between two sides.
    pub(super) fn level(left: f64, right: f64, height: f64) -> Self {
        let half_width = (right - left) / 2.0;
        Self {
            middle: (f64::midpoint(left, right), height),
            half_width,
            near: half_width * 0.17,
            far: half_width * 0.13,
            tilt: 0.0,
        }
    }

    /// A ring across a limb, from edge to edge.
    pub(super) fn between(a: Place, b: Place, bow: f64) -> Self {
        Self {
            middle: (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1)),
            half_width: (b.0 - a.0) / 2.0,
            near: bow,
            far: bow * 0.8,
            tilt: (b.1 - a.1) / 2.0,
        }
    }

    /// Along its width, and square to that.
    fn ways(&self) -> (Place, Place) {
        let (x, h) = (self.half_width, self.tilt);
        let size = (x * x + h * h).sqrt().max(1e-9);
        ((x / size, h / size), (-h / size, x / size))
    }

    /// A part of the ring, in turns from its left end: 0 to 0.5 is the near half.
    pub(super) fn part(&self, from: f64, to: f64) -> Vec<Place> {
        let steps = 40;
        (0..=steps)
            .map(|i| {
                let turn = from + (to - from) * real(i) / real(steps);
                let angle = turn * core::f64::consts::TAU;
                let (across, rise) = (-cos(angle), -sin(angle));
                let drop = if rise < 0.0 { self.near } else { self.far };
                (
                    self.middle.0 + across * self.half_width,
                    self.middle.1 + across * self.tilt + rise * drop,
                )
            })
            .collect()
    }
}

/// The chain moved to its left by so much.
fn beside(chain: &[Place], by: f64) -> Vec<Place> {
    let n = chain.len();
    (0..n)
        .map(|i| {
            let (a, b) = (chain[i.saturating_sub(1)], chain[(i + 1).min(n - 1)]);
            let (dx, dh) = (b.0 - a.0, b.1 - a.1);
            let size = (dx * dx + dh * dh).sqrt().max(1e-9);
            let here = chain[i];
            (here.0 - dh / size * by, here.1 + dx / size * by)
        })
        .collect()
}

/// Places so far along a chain, each with the way of the chain there.
fn marks(chain: &[Place], every: f64) -> Vec<(Place, Place)> {
    let mut out = Vec::new();
    let (mut gone, mut next) = (0.0, every);
    for w in chain.windows(2) {
        let (dx, dh) = (w[1].0 - w[0].0, w[1].1 - w[0].1);
        let size = (dx * dx + dh * dh).sqrt();
        while size > 0.0 && next <= gone + size {
            let t = (next - gone) / size;
            out.push(((w[0].0 + dx * t, w[0].1 + dh * t), (dx / size, dh / size)));
            next += every;
        }
        gone += size;
    }
    out
}

impl Sketch {
    fn band(&mut self, chain: &[Place]) {
        if chain.len() < 2 {
            return;
        }
        let half = self.units(HALF);
        let (left, right) = (beside(chain, half), beside(chain, -half));
        let shape: Vec<Place> = left.iter().chain(right.iter().rev()).copied().collect();
        self.closed(Look::Band, &shape);
        for (i, (at, way)) in marks(chain, INCH).into_iter().enumerate() {
            let long = if (i + 1) % 5 == 0 { 0.3 } else { -0.25 };
            let from = (at.0 - way.1 * half, at.1 + way.0 * half);
            let to = (at.0 + way.1 * half * long, at.1 - way.0 * half * long);
            self.line(Look::Tick, &[from, to]);
        }
    }

    fn end(&mut self, at: Place, (dx, dh): Place) {
        let size = (dx * dx + dh * dh).sqrt().max(1e-9);
        let reach = self.units(HALF + 2.6);
        let (ax, ah) = (-dh / size * reach, dx / size * reach);
        self.line(Look::End, &[(at.0 - ax, at.1 - ah), (at.0 + ax, at.1 + ah)]);
    }

    /// The tape along places, smoothly, with its two ends.
    pub(super) fn tape(&mut self, through: &[Place]) {
        let chain = smooth(through);
        self.tape_as_it_runs(&chain);
    }

    fn tape_as_it_runs(&mut self, chain: &[Place]) {
        self.band(chain);
        if let ([a, b, ..], [.., c, d]) = (chain, chain) {
            self.end(*a, (b.0 - a.0, b.1 - a.1));
            self.end(*d, (d.0 - c.0, d.1 - c.1));
        }
    }

    /// The tape straight from place to place.
    pub(super) fn straight(&mut self, from: Place, to: Place) {
        self.tape_as_it_runs(&[from, to]);
    }

    /// The tape along a part of a ring, its edges square to the ring's own width.
    fn belt(&mut self, ring: &Ring, from: f64, to: f64) {
        let half = self.units(HALF);
        let (_, up) = ring.ways();
        let middle = ring.part(from, to);
        let moved = |by: f64| {
            middle
                .iter()
                .map(move |(x, h)| (x + up.0 * by, h + up.1 * by))
        };
        let upper: Vec<Place> = moved(half).collect();
        let lower: Vec<Place> = moved(-half).collect();
        let shape: Vec<Place> = upper.iter().chain(lower.iter().rev()).copied().collect();
        self.closed(Look::Band, &shape);
        for (i, (at, _)) in marks(&middle, INCH).into_iter().enumerate() {
            let reach = if (i + 1) % 5 == 0 { -0.3 } else { 0.25 };
            self.line(
                Look::Tick,
                &[
                    (at.0 + up.0 * half, at.1 + up.1 * half),
                    (at.0 + up.0 * half * reach, at.1 + up.1 * half * reach),
                ],
            );
        }
    }

    /// The tape round a ring; its ends meet in front.
    pub(super) fn girth(&mut self, ring: &Ring) {
        self.line(Look::Far, &ring.part(0.5, 1.0));
        self.belt(ring, 0.0, 0.5);
        let (across, _) = ring.ways();
        let apart = self.units(2.8) / (core::f64::consts::TAU * ring.half_width.abs().max(1e-9));
        for turn in [0.29 - apart, 0.29 + apart] {
            if let Some(at) = ring.part(turn, turn).first() {
                self.end(*at, across);
            }
        }
    }

    /// The tape along the near half of a ring only, with its two ends.
    pub(super) fn arc(&mut self, ring: &Ring) {
        self.belt(ring, 0.0, 0.5);
        let (across, _) = ring.ways();
        for turn in [0.0, 0.5] {
            if let Some(at) = ring.part(turn, turn).first() {
                self.end(*at, across);
            }
        }
    }

    /// A narrow tape tied round.
    pub(super) fn tied(&mut self, ring: &Ring) {
        self.line(Look::Far, &ring.part(0.5, 1.0));
        self.line(Look::Tied, &ring.part(0.0, 0.5));
    }

    /// A level that the measure refers to.
    pub(super) fn level(&mut self, ring: &Ring) {
        self.line(Look::Far, &ring.part(0.5, 1.0));
        self.line(Look::Level, &ring.part(0.0, 0.5));
    }
}
