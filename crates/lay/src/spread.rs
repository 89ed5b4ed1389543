//! Pieces and a cloth, spread on the table: what is to be laid, and a lay told as places on the cloth.

use measure::Length;
use measure::fraction::{Shown, Unit, show};

use crate::cloth::{Cloth, Fold, Nap, NoMatch, Runs};
use crate::cut_piece::{CutPiece, mirrored, opened_out, unit};
use crate::gap::{above, grown};
use crate::join::{self, Join};
use crate::laid::{Laid, LaidPiece, Layers};
use crate::outline::{Outline, OutlineFault};
use crate::scraps::{self, OnScrap};
use crate::solve::{Effort, solve};
use crate::strip;
use crate::task::{Beside, Cut, Kind, Lay, Placed, Task, TaskFault, Turns};

/// What she asks of the lay beside what the cloth is.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Rules {
    /// How far pieces keep from each other.
    pub gap: Length,
    /// By how many degrees a piece may lie off the grain.
    pub tilt: f64,
    /// Pieces may lie at any angle: felt, or cloth without a grain.
    pub any_grain: bool,
}

/// The widest gap, in millimetres, and the greatest tilt, in degrees.
const MOST_GAP: f64 = 100.0;
const MOST_TILT: f64 = 10.0;
/// How deep pieces may overlap and count as touching, in millimetres.
const HAIR: f64 = 0.004;
/// So many depths of a fold are tried.
const MOST_DEPTHS: usize = 6;
/// A fold this far off the grain, as a sine, is none that could lie on the fold of the cloth.
const OFF_GRAIN: f64 = 0.01;

/// Why pieces can't be laid on a cloth.
#[derive(Clone, Debug, PartialEq)]
pub enum SpreadFault {
    /// Nobody said how wide the cloth is, or its selvedges take all of it.
    NoWidth,
    /// No piece is cut from it.
    Nothing,
    /// More pieces than can be laid in one go.
    TooMany(usize),
    /// A gap or a tilt that can't be used.
    BadRule(&'static str),
    /// An outline can't be laid.
    Outline(String, OutlineFault),
    /// A half piece that does not lie along its own fold.
    NoFold(String),
    /// A piece is wider than the cloth.
    TooWide {
        /// The piece.
        name: String,
        /// What it takes, as it may be turned.
        takes: Length,
        /// What the cloth has as it lies.
        room: Length,
        /// The width a cloth must have, selvedges with it; none where this one is wide enough, folded
        /// otherwise.
        wanted: Option<Length>,
        /// How far its edge must be turned in from the fold, where she said how far and that is too little.
        turn_in: Option<Length>,
        /// Whether the cloth is folded, so that flat it might do.
        folded: bool,
        /// Whether it would go if the garment's length ran the other way.
        other_way: bool,
        /// How it would go with a join in its flare, if it would.
        join: Option<Box<Join>>,
    },
    /// A part of the width is to be folded, and nothing is cut through two layers.
    NothingToFold,
    /// Its pattern repeats, and can't meet at the seams as the cloth is to lie.
    NoMatch(NoMatch),
    /// The search refuses it.
    Task(TaskFault),
}

impl SpreadFault {
    /// How the piece that is too wide would be joined, if a join would help.
    pub fn join(&self) -> Option<&Join> {
        match self {
            Self::TooWide { join, .. } => join.as_deref(),
            _ => None,
        }
    }

    /// The fault in a sentence or two, lengths in her unit.
    pub fn says(&self, shown: Shown) -> String {
        match self {
            Self::NoWidth => "The cloth has no width that pieces could lie on. Say how wide it is: `width = \"58 in\"`, and `selvedge` for what one selvedge takes.".into(),
            Self::Nothing => "No piece is cut from this cloth.".into(),
            Self::TooMany(count) => format!(
                "There are {count} pieces to cut; at most {} can be laid in one go. Lay them in several parts.",
                Task::MOST
            ),
            Self::BadRule(what) => format!("The {what} can't be used."),
            Self::Outline(name, fault) => {
                let why = match fault {
                    OutlineFault::NotANumber => "has a point that is no usable number",
                    OutlineFault::TooFew => "has fewer than three points that differ",
                    OutlineFault::TooMany => "has more points than can be worked with",
                    OutlineFault::Crosses => "has a cutting line that crosses itself",
                    OutlineFault::Empty => "encloses nothing",
                    OutlineFault::Spike => "has a spike without width",
                };
                format!("The piece \"{name}\" {why}, so it can't be laid.")
            }
            Self::NoFold(name) => format!(
                "The piece \"{name}\" is cut on the fold, but its outline does not lie along its fold edge."
            ),
            Self::TooWide { name, takes, room, wanted, turn_in, folded, other_way, join } => {
                let mut out = format!(
                    "The piece \"{name}\" takes {} across the cloth, and the cloth has room for {}{}.",
                    up(*takes, shown),
                    show(*room, shown),
                    if *folded { " as it is folded" } else { "" },
                );
                out.push_str(&match (wanted, turn_in.map(|deep| up(deep, shown))) {
                    (None, Some(deep)) => format!(
                        " Turn its edge in {deep} from the fold, or leave `fold_depth` out."
                    ),
                    (Some(wide), Some(deep)) => format!(
                        " A cloth {} wide would do, with its edge turned in {deep} from the fold.",
                        up(*wide, shown)
                    ),
                    (Some(wide), None) => format!(" A cloth {} wide would do.", up(*wide, shown)),
                    (None, None) => String::new(),
                });
                if *folded && turn_in.is_none() {
                    out.push_str(" Laid flat, this cloth has twice the room.");
                }
                if *other_way {
                    out.push_str(" It would go with the garment's length running the other way.");
                }
                if let Some(join) = join {
                    out.push(' ');
                    out.push_str(&offered(join, shown));
                }
                out
            }
            Self::NothingToFold => "No piece is cut on the fold or in a pair that is narrow enough, so there is nothing to fold a part of the width for. Lay the cloth flat.".into(),
            Self::NoMatch(why) => why.says().into(),
            Self::Task(fault) => format!("This can't be laid: {fault}."),
        }
    }
}

/// What a join would be, in a sentence.
fn offered(join: &Join, shown: Shown) -> String {
    format!(
        "It would go with {} joined on along the selvedge, {} wide and {} long as cut, from {} below its top to the hem.",
        if join.count > 1 { "parts" } else { "a part" },
        up(join.size.0, shown),
        up(join.size.1, shown),
        show(join.begins, shown),
    )
}

/// A length shown, and never less than it is.
fn up(length: Length, shown: Shown) -> String {
    let part = match shown.unit {
        Unit::Inch => Length::inches(0.25),
        Unit::Cm => Length::cm(0.5),
    };
    let many = ((length / part) - 1e-6).ceil();
    show(part * many, shown)
}

/// A kind of the task, and the piece that it is.
#[derive(Clone, Debug)]
struct Part {
    piece: usize,
    twin: bool,
    opened_out: bool,
    layers: Layers,
    /// The true outline; the task's may be larger by half the gap.
    outline: Vec<[f64; 2]>,
    grain: [[f64; 2]; 2],
    /// Its notches, from the cutting line inwards, and how many snips each is.
    notches: Vec<([[f64; 2]; 2], u8)>,
    /// Where it is joined to another part.
    joins: Vec<[[f64; 2]; 2]>,
}

/// Pieces and a cloth, ready to be laid.
#[derive(Clone, Debug)]
pub struct Spread {
    task: Task,
    parts: Vec<Part>,
    names: Vec<String>,
    fold: Fold,
    runs: Runs,
    usable: f64,
    selvedge: f64,
    half_gap: f64,
    flaws: Vec<[f64; 4]>,
    joins: Vec<Join>,
    scraps: Vec<OnScrap>,
    /// Where a part of the width is folded: how far two layers lie, and where the single one begins.
    turned_in: Option<[f64; 2]>,
}

impl Spread {
    /// Spreads a cloth for these pieces.
    ///
    /// Where a part of the width is folded and nobody says how deep, it is tried as deep as each piece
    /// asks that is cut through two layers, and what comes shortest at first is taken.
    ///
    /// # Errors
    /// The first thing that stands in the way.
    pub fn new(pieces: &[CutPiece], cloth: &Cloth, rules: Rules) -> Result<Self, SpreadFault> {
        let whole = pieces;
        let (pieces, joins) = match cloth.join {
            Some(allowance) => join::joined(pieces, cloth, (allowance, rules.gap)),
            None => (pieces.to_vec(), Vec::new()),
        };
        let (pieces, scraps) = if cloth.scraps.is_empty() {
            (pieces, Vec::new())
        } else {
            scraps::used(&pieces, cloth, rules)
        };
        if !scraps.is_empty() && pieces.iter().all(|p| p.count == 0) {
            return Ok(Self::without(&pieces, cloth, (joins, scraps)));
        }
        let mut spread = Self::as_deep(&pieces, whole, cloth, rules)?;
        (spread.joins, spread.scraps) = (joins, scraps);
        Ok(spread)
    }

    /// A cloth of which nothing is cut, for all lies on scraps.
    fn without(pieces: &[CutPiece], cloth: &Cloth, on: (Vec<Join>, Vec<OnScrap>)) -> Self {
        let usable = cloth.usable().map_or(0.0, Length::in_mm).max(0.0);
        Self {
            task: Task {
                height: usable,
                opened: usable,
                folded: false,
                beside: None,
                kinds: Vec::new(),
                flaws: Vec::new(),
                flaws_opened: Vec::new(),
                pinned: Vec::new(),
                repeat: None,
                across: cloth.length_runs == Runs::Across,
                hair: HAIR,
            },
            parts: Vec::new(),
            names: pieces.iter().map(|p| p.name.clone()).collect(),
            fold: Fold::None,
            runs: cloth.length_runs,
            usable,
            selvedge: cloth.selvedge.in_mm(),
            half_gap: 0.0,
            flaws: Vec::new(),
            joins: on.0,
            scraps: on.1,
            turned_in: None,
        }
    }

    /// Where all that is cut lies on scraps, the lay of the cloth itself: nothing, and no search is wanted.
    pub fn bare(&self) -> Option<Lay> {
        (self.parts.is_empty() && !self.scraps.is_empty()).then_some(Lay {
            length: 0.0,
            flat_from: None,
            placed: Vec::new(),
        })
    }

    /// The same, with all that is cut from the cloth itself.
    fn as_deep(
        cut: &[CutPiece],
        whole: &[CutPiece],
        cloth: &Cloth,
        rules: Rules,
    ) -> Result<Self, SpreadFault> {
        if let Some(why) = cloth.no_match() {
            return Err(SpreadFault::NoMatch(why));
        }
        if cloth.fold != Fold::Part {
            return Self::folded(cut, whole, (cloth, rules, None));
        }
        let selvedge = cloth.selvedge.in_mm();
        let usable = cloth.usable().map_or(0.0, Length::in_mm);
        if let Some(depth) = cloth.fold_depth {
            let deep = (depth.in_mm() - selvedge).clamp(0.0, usable / 2.0);
            return Self::folded(cut, whole, (cloth, rules, Some(deep)));
        }
        if usable < 1.0 {
            return Err(SpreadFault::NoWidth);
        }
        // What the fold must hold at the least: the widest half on it.
        let across = cloth.length_runs == Runs::Across;
        let asks = |p: &CutPiece| {
            let d = p.down();
            let way = if across { d } else { [d[1], -d[0]] };
            let (low, high) = join::reach(&p.outline, way);
            // A pair keeps half a gap from the fold, and an outline that keeps a gap may be a hundredth of it
            // wider than it need be; the gap to what lies beside is behind the edge.
            let clear = if p.on_fold && !across { 0.01 } else { 0.52 };
            // As it can be measured: to the next eighth of an inch, edge and all.
            let eighth = 3.175;
            (((high - low + rules.gap.in_mm() * clear + selvedge) / eighth).ceil()) * eighth
                - selvedge
        };
        let some = |p: &&CutPiece| p.count > 0;
        let on_fold = cut
            .iter()
            .filter(some)
            .filter(|p| p.on_fold && !across)
            .map(asks)
            .fold(0.0, f64::max)
            .min(usable / 2.0);
        let mut depths: Vec<f64> = cut
            .iter()
            .filter(some)
            .filter(|p| p.pair && p.count > 1)
            .map(asks)
            .filter(|d| *d > on_fold && *d <= usable / 2.0)
            .collect();
        if on_fold > 0.0 {
            depths.push(on_fold);
        }
        depths.sort_by(f64::total_cmp);
        depths.dedup_by(|a, b| (*a - *b).abs() < 1.0);
        // The widest and the narrowest matter most.
        while depths.len() > MOST_DEPTHS {
            depths.remove(depths.len() / 2);
        }
        let mut best: Option<(f64, Self)> = None;
        let mut fault = SpreadFault::NothingToFold;
        let once = Effort {
            workers: 1,
            seed: 0,
        };
        for depth in depths {
            match Self::folded(cut, whole, (cloth, rules, Some(depth))) {
                Ok(spread) => {
                    let found = solve(&spread.task, once, &|_| 1.0, &mut |_| ());
                    let Ok(found) = found else { continue };
                    if best.as_ref().is_none_or(|b| found.lay.length < b.0) {
                        best = Some((found.lay.length, spread));
                    }
                }
                Err(why) => fault = why,
            }
        }
        best.map(|b| b.1).ok_or(fault)
    }

    /// Spreads a cloth for these pieces, folded so deep.
    ///
    /// On folded cloth, pairs are cut through both layers and half pieces lie on the fold; a piece
    /// that can't (a single one, a fold that does not run along the cloth) lies where the cloth is
    /// opened out. On flat cloth halves are opened out, and a pair is two mirror twins.
    ///
    /// # Errors
    /// The first thing that stands in the way.
    fn folded(
        pieces: &[CutPiece],
        whole: &[CutPiece],
        (cloth, rules, depth): (&Cloth, Rules, Option<f64>),
    ) -> Result<Self, SpreadFault> {
        let gap = rules.gap.in_mm();
        if !(0.0..=MOST_GAP).contains(&gap) {
            return Err(SpreadFault::BadRule("gap between pieces"));
        }
        if !(0.0..=MOST_TILT).contains(&rules.tilt) {
            return Err(SpreadFault::BadRule("tilt off the grain"));
        }
        let usable = cloth.usable().map_or(0.0, Length::in_mm);
        if usable < 1.0 {
            return Err(SpreadFault::NoWidth);
        }
        let count = pieces.iter().fold(0_usize, |n, p| {
            n.saturating_add(usize::try_from(p.count).unwrap_or(usize::MAX))
        });
        if count == 0 {
            return Err(SpreadFault::Nothing);
        }
        if count > Task::MOST {
            return Err(SpreadFault::TooMany(count));
        }
        let half = gap / 2.0;
        let doubled = cloth.fold != Fold::None;
        let (height, opened) = match cloth.fold {
            Fold::None | Fold::Double | Fold::Crosswise => (usable + gap, usable + gap),
            Fold::Lengthwise => (usable / 2.0 + half, usable + gap),
            Fold::Part => (depth.unwrap_or(0.0) + half, usable + gap),
        };
        // The single layer begins behind the edge that is turned in.
        let turned_in = (cloth.fold == Fold::Part).then(|| {
            let deep = depth.unwrap_or(0.0);
            [deep, deep + cloth.selvedge.in_mm().max(gap)]
        });
        let beside = turned_in.and_then(|[deep, from]| {
            let single = usable - deep - from;
            (single > 1.0).then(|| Beside {
                // In the task's frame all but what lies on the fold is half a gap up; there is at least a
                // gap between the edge that is turned in and what lies beside it.
                from,
                height: single + gap,
                flaws: Vec::new(),
            })
        });
        let mut spread = Self {
            task: Task {
                height,
                opened,
                folded: doubled,
                beside,
                kinds: Vec::new(),
                flaws: Vec::new(),
                flaws_opened: Vec::new(),
                pinned: Vec::new(),
                repeat: cloth.repeat_as_cut().map(Length::in_mm),
                across: cloth.length_runs == Runs::Across,
                hair: HAIR,
            },
            parts: Vec::new(),
            names: pieces.iter().map(|p| p.name.clone()).collect(),
            fold: cloth.fold,
            runs: cloth.length_runs,
            usable,
            selvedge: cloth.selvedge.in_mm(),
            half_gap: half,
            flaws: Vec::new(),
            joins: Vec::new(),
            scraps: Vec::new(),
            turned_in,
        };
        let mut turns = vec![0.0];
        if cloth.nap == Nap::TwoWay {
            turns.push(180.0);
        }
        if rules.tilt > 0.0 {
            for t in turns.clone() {
                turns.extend([t + rules.tilt, (t - rules.tilt + 360.0) % 360.0]);
            }
        }
        let turns = if rules.any_grain {
            Turns::Any
        } else {
            Turns::Only(turns)
        };
        for (i, piece) in pieces.iter().enumerate() {
            spread.add(i, piece, &turns)?;
        }
        spread.set_flaws(cloth);
        spread.wide_enough(cloth, whole)?;
        spread.task.sound().map_err(SpreadFault::Task)?;
        Ok(spread)
    }

    /// How pieces that are too wide for the cloth are joined.
    pub fn joins(&self) -> &[Join] {
        &self.joins
    }

    /// The task for the search, in its own frame.
    pub const fn task(&self) -> &Task {
        &self.task
    }

    /// Adds the kinds of one piece.
    fn add(&mut self, number: usize, piece: &CutPiece, turns: &Turns) -> Result<(), SpreadFault> {
        let count = usize::try_from(piece.count).unwrap_or(usize::MAX);
        if count == 0 {
            return Ok(());
        }
        let d = piece.down();
        // From the paper (y down) to the table (y up), with the garment's length along the cloth.
        let place = |p: [f64; 2]| [p[0] * d[0] + p[1] * d[1], p[0] * d[1] - p[1] * d[0]];
        let mut points: Vec<[f64; 2]> = piece.outline.iter().copied().map(place).collect();
        let mut fold = piece.fold.map(|f| f.map(place));
        let mut matched = piece.matched.map(place);
        let mut grain = piece
            .grain
            .map_or_else(|| middle(&points), |g| g.map(place));
        let mut joins: Vec<[[f64; 2]; 2]> = piece.joins.iter().map(|j| j.map(place)).collect();
        let mut notches: Vec<([f64; 2], u8)> = piece
            .notches
            .iter()
            .map(|n| (place(n.at), n.snips))
            .collect();
        let across = self.runs == Runs::Across;
        let folded = matches!(self.fold, Fold::Lengthwise | Fold::Part) && !across;
        let on_fold = piece.on_fold && fold.is_some();
        let along = fold
            .and_then(|f| unit([f[1][0] - f[0][0], f[1][1] - f[0][1]]))
            .is_some_and(|u| u[1].abs() < OFF_GRAIN);
        let keeps_fold = on_fold && folded && along;
        if let (true, Some(f)) = (on_fold, fold) {
            if keeps_fold {
                // The fold at y = 0, the half above it: turned over, a half on the fold is the same.
                let y = f64::midpoint(f[0][1], f[1][1]);
                let below = points
                    .iter()
                    .map(|p| p[1] - y)
                    .fold(0.0_f64, |a, b| if b.abs() > a.abs() { b } else { a })
                    < 0.0;
                let lay = |p: [f64; 2]| [p[0], if below { y - p[1] } else { p[1] - y }];
                for p in &mut points {
                    *p = lay(*p);
                    // What lies on the fold lies on it to the hair, or the half would overlap itself.
                    if p[1].abs() < 0.06 {
                        p[1] = 0.0;
                    }
                }
                if points.iter().any(|p| p[1] < 0.0) {
                    return Err(SpreadFault::NoFold(piece.name.clone()));
                }
                fold = Some(f.map(lay).map(|p| [p[0], 0.0]));
                matched = matched.map(lay);
                grain = grain.map(lay);
                joins = joins.into_iter().map(|j| j.map(lay)).collect();
                notches = notches.into_iter().map(|(n, s)| (lay(n), s)).collect();
            } else {
                points = opened_out(&points, f)
                    .ok_or_else(|| SpreadFault::NoFold(piece.name.clone()))?;
                // What is marked on the half is on its other side too.
                let other = |p: [f64; 2]| mirrored(p, f);
                let more: Vec<_> = joins.iter().map(|j| j.map(other)).collect();
                joins.extend(more);
                let more: Vec<_> = notches.iter().map(|(n, s)| (other(*n), *s)).collect();
                notches.extend(more);
            }
        }
        if across {
            let quarter = |p: [f64; 2]| [-p[1], p[0]];
            points = points.into_iter().map(quarter).collect();
            fold = fold.map(|f| f.map(quarter));
            matched = matched.map(quarter);
            grain = grain.map(quarter);
            joins = joins.into_iter().map(|j| j.map(quarter)).collect();
            notches = notches.into_iter().map(|(n, s)| (quarter(n), s)).collect();
        }
        let opened = on_fold && !keeps_fold;
        // Where a part of the width is folded, what is too wide for it comes from the single layer.
        let doubled = match self.fold {
            Fold::None => false,
            Fold::Part => {
                let b = crate::outline::bounds(&points);
                let deep = self.turned_in.map_or(0.0, |t| t[0]);
                // It keeps half a gap from the fold, and its outline may be a hundredth wider for its gap.
                b[3] - b[1] + 1.02 * self.half_gap <= deep * (1.0 + 1e-9)
            }
            _ => true,
        };
        // How many of which kind: on the fold, through two layers, from one, and its twin from one.
        let (pairs, singles, twins) = match (piece.pair, opened) {
            _ if keeps_fold => (0, 0, 0),
            (true, _) if doubled => (count / 2, count % 2, 0),
            (true, _) => (0, count.div_ceil(2), count / 2),
            // A whole piece that is its own mirror image comes twice from two layers.
            (false, true) if doubled => (count / 2, count % 2, 0),
            (false, _) => (0, count, 0),
        };
        let mut push = |count: usize, twin: bool, layers: Layers| -> Result<(), SpreadFault> {
            if count == 0 {
                return Ok(());
            }
            let flip = |p: [f64; 2]| match (twin, across) {
                (false, _) => p,
                (true, false) => [p[0], -p[1]],
                (true, true) => [-p[0], p[1]],
            };
            let mut points: Vec<[f64; 2]> = points.iter().copied().map(flip).collect();
            thin(&mut points);
            let bad = |fault| SpreadFault::Outline(piece.name.clone(), fault);
            let outline = Outline::new(&points).map_err(bad)?;
            let mut spaced = outline.clone();
            if self.half_gap > 0.0 {
                spaced = grown(&outline, self.half_gap).map_err(bad)?;
                if layers == Layers::Fold {
                    spaced = Outline::new(&above(spaced.points())).map_err(bad)?;
                }
            }
            self.task.kinds.push(Kind {
                id: self.parts.len() as u64,
                name: piece.name.clone(),
                outline: spaced,
                count,
                turns: turns.clone(),
                cut: match (layers, fold) {
                    (Layers::Fold, Some(f)) => Cut::Fold(f),
                    (Layers::Two, _) => Cut::Pair,
                    _ => Cut::Single,
                },
                matched: matched.map(flip),
            });
            self.parts.push(Part {
                piece: number,
                twin,
                opened_out: opened,
                layers,
                outline: outline.points().to_vec(),
                grain: grain.map(flip),
                notches: notches
                    .iter()
                    .filter_map(|(n, s)| Some((snip(outline.points(), flip(*n))?, *s)))
                    .collect(),
                joins: joins.iter().map(|j| j.map(flip)).collect(),
            });
            Ok(())
        };
        if keeps_fold {
            push(count, false, Layers::Fold)?;
        }
        push(pairs, false, Layers::Two)?;
        push(singles, false, Layers::One)?;
        push(twins, true, Layers::One)
    }

    /// What is to be kept clear, on the table and in the task's frame.
    fn set_flaws(&mut self, cloth: &Cloth) {
        let half = self.half_gap;
        for flaw in &cloth.flaws {
            // Told as the cloth is bought, it is laid when it has shrunk.
            let (x, r) = (cloth.shrunk_along(flaw.along).in_mm(), flaw.round.in_mm());
            let u = cloth.shrunk_across(flaw.across).in_mm() - self.selvedge;
            let rect = |y: f64| [(x - r).max(0.0), y - r, x + r, y + r];
            let shift = |f: [f64; 4], by: f64| [f[0] + half, f[1] + by, f[2] + half, f[3] + by];
            let flat = rect(u);
            self.task.flaws_opened.push(shift(flat, half));
            let (lies, by) = match self.fold {
                Fold::None | Fold::Double | Fold::Crosswise => (flat, half),
                Fold::Lengthwise => (rect((u - self.usable / 2.0).abs()), 0.0),
                Fold::Part => (rect((u - self.turned_in.map_or(0.0, |t| t[0])).abs()), 0.0),
            };
            if let Some(beside) = &mut self.task.beside {
                beside.flaws.push(shift(lies, half));
            }
            self.task.flaws.push(shift(lies, by));
            self.flaws.push(lies);
        }
    }

    /// That every piece is narrow enough in one of its turns.
    fn wide_enough(&self, cloth: &Cloth, pieces: &[CutPiece]) -> Result<(), SpreadFault> {
        for (kind, part) in self.task.kinds.iter().zip(&self.parts) {
            if kind.turns == Turns::Any {
                continue;
            }
            let room = self.task.reach_of(self.task.part_of(kind)).1;
            let single = kind.cut == Cut::Single;
            let across = strip::least_across(kind);
            if across <= room * (1.0 + 1e-9) {
                continue;
            }
            let less = if part.layers == Layers::Fold {
                self.half_gap
            } else {
                2.0 * self.half_gap
            };
            let halved = !single && matches!(self.fold, Fold::Lengthwise | Fold::Part);
            let takes = across - less;
            let whole = takes * if halved { 2.0 } else { 1.0 } + 2.0 * self.selvedge;
            let wanted = Length::mm(whole) / (1.0 - cloth.shrink_across.clamp(0.0, 0.5));
            // Folded only so deep, a cloth may be wide enough and its fold too shallow.
            let deep = self.turned_in.map_or(f64::MAX, |t| t[0]);
            let half = self.usable / 2.0;
            let shallow = halved && self.fold == Fold::Part && deep < half * (1.0 - 1e-9);
            let enough = shallow && takes <= half * (1.0 + 1e-9);
            // Said to the next quarter of an inch or half a centimetre, it must not be more than there is.
            let turn_in = if enough && takes + 6.35 > half {
                half
            } else {
                takes
            };
            return Err(SpreadFault::TooWide {
                name: kind.name.clone(),
                takes: Length::mm(takes),
                room: Length::mm(room - less),
                wanted: (!enough).then_some(wanted),
                turn_in: shallow.then(|| Length::mm(turn_in + self.selvedge)),
                folded: halved,
                other_way: !halved && strip::least(kind, 0) <= room && cloth.nap == Nap::TwoWay,
                // Where a join was allowed already, none could be had.
                join: pieces
                    .iter()
                    .filter(|p| cloth.join.is_none() && p.name == kind.name)
                    .find_map(|p| {
                        join::join(
                            p,
                            cloth,
                            (join::usual_allowance(), Length::mm(2.0 * self.half_gap)),
                        )
                    })
                    .and_then(|(.., joins)| joins.into_iter().next())
                    .map(Box::new),
            });
        }
        Ok(())
    }

    /// What the search found wrong, told for this cloth.
    pub fn fault(&self, fault: TaskFault) -> SpreadFault {
        match fault {
            TaskFault::TooWide { name, across, room } => SpreadFault::TooWide {
                name,
                takes: Length::mm(across - 2.0 * self.half_gap),
                room: Length::mm(room - 2.0 * self.half_gap),
                wanted: Some(Length::mm(
                    across - 2.0 * self.half_gap + 2.0 * self.selvedge,
                )),
                turn_in: None,
                folded: false,
                other_way: false,
                join: None,
            },
            TaskFault::NoWidth => SpreadFault::NoWidth,
            TaskFault::NoPieces => SpreadFault::Nothing,
            TaskFault::TooMany(count) => SpreadFault::TooMany(count),
            other => SpreadFault::Task(other),
        }
    }

    /// How far the task's frame lies from the cloth's: at the start, and at the fold or selvedge.
    fn offset(&self, kind: usize) -> [f64; 2] {
        let on_fold = matches!(self.fold, Fold::Lengthwise | Fold::Part)
            && self
                .parts
                .get(kind)
                .is_some_and(|p| p.layers != Layers::One);
        [self.half_gap, if on_fold { 0.0 } else { self.half_gap }]
    }

    /// A lay of the task, told on the cloth; pieces in the order in which they are cut.
    pub fn laid(&self, lay: &Lay) -> Laid {
        let mut copies = vec![0_u32; self.names.len()];
        let mut pieces: Vec<LaidPiece> = Vec::with_capacity(lay.placed.len());
        for placed in &lay.placed {
            if let Some(piece) = self.piece_at(placed) {
                pieces.push(piece);
            }
        }
        // The scissors come to what lies nearest the start first; the doubled part before the rest.
        pieces.sort_by(|a, b| {
            let (x, y) = (a.bounds(), b.bounds());
            a.on_opened()
                .cmp(&b.on_opened())
                .then(x[0].total_cmp(&y[0]))
                .then(x[1].total_cmp(&y[1]))
                .then(a.piece.cmp(&b.piece))
        });
        for p in &mut pieces {
            copies[p.piece] += 1;
            p.copy = copies[p.piece];
        }
        let mut scraps = self.scraps.clone();
        for p in scraps.iter_mut().flat_map(|s| &mut s.pieces) {
            copies[p.piece] += 1;
            p.copy = copies[p.piece];
        }
        for p in pieces
            .iter_mut()
            .chain(scraps.iter_mut().flat_map(|s| &mut s.pieces))
        {
            p.of = copies[p.piece];
        }
        Laid {
            scraps,
            // By the true outlines: those of the search may lie a hair outside them.
            length: pieces.iter().map(|p| p.bounds()[2]).fold(0.0, f64::max),
            flat_from: lay.flat_from.map(|f| (f - self.half_gap).max(0.0)),
            fold: self.fold,
            turned_in: self.turned_in,
            runs: self.runs,
            usable: self.usable,
            selvedge: self.selvedge,
            flaws: self.flaws.clone(),
            cover: self.cover(lay),
            joins: self.joins.clone(),
            pieces,
        }
    }

    fn piece_at(&self, placed: &Placed) -> Option<LaidPiece> {
        let part = self.parts.get(placed.kind)?;
        let kind = self.task.kinds.get(placed.kind)?;
        let off = self.offset(placed.kind);
        let [c, s] = crate::outline::direction(placed.turn);
        let lies = |p: [f64; 2]| {
            let y = if placed.over { -p[1] } else { p[1] };
            [
                p[0] * c - y * s + placed.at[0] - off[0],
                p[0] * s + y * c + placed.at[1] - off[1],
            ]
        };
        let grain = part.grain.map(lies);
        let axis = usize::from(self.runs == Runs::Across);
        Some(LaidPiece {
            piece: part.piece,
            name: self.names.get(part.piece)?.clone(),
            copy: 0,
            of: 0,
            outline: part.outline.iter().copied().map(lies).collect(),
            grain,
            turn: placed.turn,
            head_to_foot: grain[1][axis] < grain[0][axis],
            face_down: part.twin != (placed.over && part.layers != Layers::Fold),
            layers: part.layers,
            on: self.task.part_of(kind),
            opened_out: part.opened_out,
            notches: part
                .notches
                .iter()
                .map(|(n, snips)| (n.map(lies), *snips))
                .collect(),
            joins: part.joins.iter().map(|j| j.map(lies)).collect(),
            placed: *placed,
        })
    }

    /// The share of the cloth that is covered, each layer counted.
    fn cover(&self, lay: &Lay) -> f64 {
        let mut area = 0.0;
        for placed in &lay.placed {
            if let Some(part) = self.parts.get(placed.kind) {
                let twice = if part.layers == Layers::One { 1.0 } else { 2.0 };
                area += twice * crate::outline::double_area(&part.outline) / 2.0;
            }
        }
        let length = lay.length - 2.0 * self.half_gap;
        let doubled = match (self.fold, lay.flat_from) {
            (Fold::Double | Fold::Crosswise, Some(from)) => from - self.half_gap,
            (Fold::Double | Fold::Crosswise, None) => length,
            _ => 0.0,
        };
        area / (self.usable * (length + doubled)).max(1e-9)
    }

    /// The same spread with these places kept; what they count for is laid no more.
    #[must_use]
    pub fn pinned(&self, places: &[Placed]) -> Self {
        let mut out = self.clone();
        out.task.pinned = places.to_vec();
        out
    }
}

/// How long a notch is drawn, in millimetres: shorter than any seam allowance.
const SNIP: f64 = 5.0;

/// A notch at a point of the cutting line: from there inwards.
fn snip(points: &[[f64; 2]], at: [f64; 2]) -> Option<[[f64; 2]; 2]> {
    let edge = |i: usize| (points[i], points[(i + 1) % points.len()]);
    let near = (0..points.len()).min_by(|&i, &j| {
        let far = |i: usize| crate::outline::distance_squared(at, edge(i).0, edge(i).1);
        far(i).total_cmp(&far(j))
    })?;
    let (a, b) = edge(near);
    let u = unit([b[0] - a[0], b[1] - a[1]])?;
    // Outlines run counter-clockwise: what is inside lies to the left.
    Some([at, [at[0] - u[1] * SNIP, at[1] + u[0] * SNIP]])
}

/// A grain line down the middle of a piece that has none of its own, along x.
fn middle(points: &[[f64; 2]]) -> [[f64; 2]; 2] {
    let b = crate::outline::bounds(points);
    let y = f64::midpoint(b[1], b[3]);
    let long = b[2] - b[0];
    [[b[0] + 0.3 * long, y], [b[2] - 0.3 * long, y]]
}

/// More points than this are thinned: they lie closer than cloth can be cut.
const MANY: usize = 1500;

/// Takes out points that lie within a few thousandths of a millimetre of the line between others.
fn thin(points: &mut Vec<[f64; 2]>) {
    let mut within = 0.000_5_f64;
    while points.len() > MANY && within <= 0.002 {
        let mut kept: Vec<[f64; 2]> = Vec::with_capacity(points.len());
        let mut from = 0;
        while from < points.len() {
            kept.push(points[from]);
            // As far as one straight line goes for all that lies between.
            let mut to = from + 1;
            while to + 1 < points.len()
                && to - from < 40
                && points[from + 1..=to].iter().all(|p| {
                    crate::outline::distance_squared(*p, points[from], points[to + 1])
                        <= within * within
                })
            {
                to += 1;
            }
            from = to;
        }
        *points = kept;
        within *= 2.0;
    }
}
