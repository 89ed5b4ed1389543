//! What is to be laid: pieces with their rules, and the cloth as a strip.

use crate::outline::{Outline, OutlineFault};

/// How a piece is cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cut {
    /// Once, from one layer. It is never turned over: its wrong side would show.
    Single,
    /// Once through two layers, which gives a right and a left piece.
    Pair,
    /// Half a piece, with the line between these two points on the fold.
    Fold([[f64; 2]; 2]),
}

/// How a piece may be turned.
#[derive(Clone, Debug, PartialEq)]
pub enum Turns {
    /// Only by these angles, in degrees, counter-clockwise.
    Only(Vec<f64>),
    /// By any angle. A few are tried: quarter turns, eighths, and those that set a long edge level.
    Any,
}

/// One kind of piece: so many of the same outline under the same rules.
#[derive(Clone, Debug, PartialEq)]
pub struct Kind {
    /// The number by which the asker knows it.
    pub id: u64,
    /// What it is called, for messages.
    pub name: String,
    /// Its outline.
    pub outline: Outline,
    /// How many are laid.
    pub count: usize,
    /// How it may be turned.
    pub turns: Turns,
    /// How it is cut.
    pub cut: Cut,
    /// The point that must meet the repeat of the cloth.
    pub matched: Option<[f64; 2]>,
}

/// A single layer beside the doubled part, where only a part of the width is folded.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// The y at which it begins.
    pub from: f64,
    /// How wide it is.
    pub height: f64,
    /// Places there that no piece may touch, in the frame of the task.
    pub flaws: Vec<[f64; 4]>,
}

/// The parts of the cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// As it is folded; all of it, where it is not.
    Main,
    /// The single layer beside it.
    Beside,
    /// Behind both, opened out.
    Opened,
}

/// Pieces to lay on a strip of cloth. x runs along the cloth, y across it; any unit of length.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// The usable width as it lies: half of it when folded.
    pub height: f64,
    /// The usable width when opened out. The same as `height` if the cloth is not folded.
    pub opened: f64,
    /// Whether it is folded lengthwise, with the fold at y = 0.
    pub folded: bool,
    /// The single layer beside, where only a part of the width is folded.
    pub beside: Option<Beside>,
    /// The pieces.
    pub kinds: Vec<Kind>,
    /// Places that no piece may touch: least x, least y, greatest x, greatest y.
    pub flaws: Vec<[f64; 4]>,
    /// The same where folded cloth is opened out.
    pub flaws_opened: Vec<[f64; 4]>,
    /// Pieces that lie where they are; they count towards their kinds. On folded cloth, none that
    /// is cut from one layer.
    pub pinned: Vec<Placed>,
    /// The length after which the cloth's pattern comes again; match points keep the same place in it.
    pub repeat: Option<f64>,
    /// Whether the grain of the pieces runs across the strip, along y: then a piece that is turned over
    /// is turned by half a turn more, so that its top stays where it was.
    pub across: bool,
    /// How deep two pieces may overlap and still count as touching.
    pub hair: f64,
}

/// Why a task cannot be laid. `Display` is a sentence.
#[derive(Clone, Debug, PartialEq)]
pub enum TaskFault {
    /// The cloth has no width, or one that is no number.
    NoWidth,
    /// There is nothing to lay.
    NoPieces,
    /// More pieces than [`Task::MOST`].
    TooMany(usize),
    /// So many kinds that they have more than [`Task::SHAPES`] shapes, in all their turns.
    TooManyShapes(usize),
    /// The repeat, or a flaw, is no number or not above zero.
    BadCloth(&'static str),
    /// An outline cannot be laid.
    Outline(String, OutlineFault),
    /// A piece is wider than the cloth in every way that it may be turned.
    TooWide {
        /// The piece.
        name: String,
        /// Its least width, as it may be turned.
        across: f64,
        /// The room.
        room: f64,
    },
    /// A pair or a piece on the fold, but the cloth is not folded.
    NotFolded(String),
    /// A piece on the fold may not be turned so that it lies there.
    NeverOnFold(String),
    /// No turn is allowed.
    NoTurn(String),
    /// A pinned piece is none of the task, is pinned more often than it is laid, or lies where it
    /// may not.
    BadPin(String),
}

impl core::fmt::Display for TaskFault {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::NoWidth => write!(f, "the cloth has no width that pieces could lie on"),
            Self::NoPieces => write!(f, "there is no piece to lay"),
            Self::TooMany(count) => write!(
                f,
                "there are {count} pieces; at most {} can be laid in one go",
                Task::MOST
            ),
            Self::TooManyShapes(kinds) => write!(
                f,
                "the {kinds} pieces have more than {} shapes in all their turns; with fewer turns or fewer \
                 sorts of pieces they can be laid",
                Task::SHAPES
            ),
            Self::BadCloth(what) => write!(
                f,
                "the cloth's {what} cannot be used: it must be above zero"
            ),
            Self::Outline(name, fault) => {
                let why = match fault {
                    OutlineFault::NotANumber => "has a point that is no usable number",
                    OutlineFault::TooFew => "has fewer than three points that differ",
                    OutlineFault::TooMany => "has more points than can be worked with (5000)",
                    OutlineFault::Crosses => "has an outline that crosses itself",
                    OutlineFault::Empty => "encloses nothing",
                    OutlineFault::Spike => {
                        "has a spike without width in its outline, which can't be cut; leave it out"
                    }
                };
                write!(f, "the piece \"{name}\" {why}")
            }
            Self::TooWide { name, across, room } => write!(
                f,
                "the piece \"{name}\" is {across:.1} wide, and the cloth has room for {room:.1}; \
                 a wider cloth, another turn or a seam would help"
            ),
            Self::NotFolded(name) => write!(
                f,
                "the piece \"{name}\" is cut through two layers, but the cloth is not folded"
            ),
            Self::NeverOnFold(name) => write!(
                f,
                "the piece \"{name}\" is cut on the fold, but its fold line does not lie along the cloth"
            ),
            Self::NoTurn(name) => write!(f, "the piece \"{name}\" may not be laid at any angle"),
            Self::BadPin(name) => write!(f, "the piece \"{name}\" can't be pinned there"),
        }
    }
}

impl Task {
    /// The most pieces that are laid in one go.
    pub const MOST: usize = 1000;
    /// The most shapes that are laid in one go, a shape in another turn counted as another: what is known
    /// of two of them is kept for each two.
    pub const SHAPES: usize = 1500;

    /// Whether it can be laid at all, as far as that shows without trying.
    ///
    /// # Errors
    ///
    /// The first thing that is wrong.
    pub fn sound(&self) -> Result<(), TaskFault> {
        let usable = |v: f64| v.is_finite() && v > 0.0 && v < Outline::FARTHEST;
        let beside = |b: &Beside| usable(b.height) && b.from.is_finite() && b.from >= self.height;
        if !usable(self.height)
            || !usable(self.opened)
            || self
                .beside
                .as_ref()
                .is_some_and(|b| !self.folded || !beside(b))
        {
            return Err(TaskFault::NoWidth);
        }
        let count = self
            .kinds
            .iter()
            .fold(0_usize, |n, k| n.saturating_add(k.count));
        if count == 0 {
            return Err(TaskFault::NoPieces);
        }
        if count > Self::MOST {
            return Err(TaskFault::TooMany(count));
        }
        if self
            .repeat
            .is_some_and(|r| !usable(r) || r < self.height * 1e-4)
        {
            return Err(TaskFault::BadCloth("repeat"));
        }
        let beside = self.beside.iter().flat_map(|b| &b.flaws);
        for f in self.flaws.iter().chain(&self.flaws_opened).chain(beside) {
            let finite = f
                .iter()
                .all(|v| v.is_finite() && v.abs() < Outline::FARTHEST);
            if !finite || f[0] > f[2] || f[1] > f[3] {
                return Err(TaskFault::BadCloth("flaw"));
            }
        }
        if !(self.hair.is_finite() && self.hair >= 0.0) {
            return Err(TaskFault::BadCloth("hair"));
        }
        self.pins_sound()?;
        if !self.folded
            && let Some(k) = self
                .kinds
                .iter()
                .find(|k| k.cut != Cut::Single && k.count > 0)
        {
            return Err(TaskFault::NotFolded(k.name.clone()));
        }
        Ok(())
    }

    /// On which part of the cloth a kind lies: what is cut from one layer lies beside the doubled part
    /// if it is narrow enough for it, else where the cloth is opened out.
    pub fn part_of(&self, kind: &Kind) -> Part {
        if !self.folded || kind.cut != Cut::Single {
            return Part::Main;
        }
        match &self.beside {
            Some(b) if crate::strip::least_across(kind) <= b.height * (1.0 + 1e-9) => Part::Beside,
            _ => Part::Opened,
        }
    }

    /// The least y and the height of a part of the cloth.
    pub fn reach_of(&self, part: Part) -> (f64, f64) {
        match (part, &self.beside) {
            (Part::Main, _) => (0.0, self.height),
            (Part::Beside, Some(b)) => (b.from, b.height),
            (Part::Beside | Part::Opened, _) => (0.0, self.opened),
        }
    }

    /// What is to be kept clear on a part of the cloth.
    pub(crate) fn flaws_of(&self, part: Part) -> &[[f64; 4]] {
        match (part, &self.beside) {
            (Part::Main, _) => &self.flaws,
            (Part::Beside, Some(b)) => &b.flaws,
            (Part::Beside | Part::Opened, _) => &self.flaws_opened,
        }
    }

    /// How many of a kind are pinned.
    pub(crate) fn pinned_of(&self, kind: usize) -> usize {
        self.pinned.iter().filter(|p| p.kind == kind).count()
    }

    fn pins_sound(&self) -> Result<(), TaskFault> {
        for p in &self.pinned {
            let Some(kind) = self.kinds.get(p.kind) else {
                return Err(TaskFault::BadPin(format!("{}", p.kind)));
            };
            let usable = |v: f64| v.is_finite() && v.abs() < Outline::FARTHEST;
            let sound = usable(p.turn) && usable(p.at[0]) && usable(p.at[1]);
            let flat = self.part_of(kind) == Part::Opened;
            if !sound || flat || self.pinned_of(p.kind) > kind.count {
                return Err(TaskFault::BadPin(kind.name.clone()));
            }
        }
        Ok(())
    }

    /// The share of the cloth that pieces cover on a lay of this length, each layer counted.
    pub fn cover(&self, length: f64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "at most a thousand")]
        let layers = self.kinds.iter().map(|k| {
            let twice = if self.folded && k.cut != Cut::Single {
                2.0
            } else {
                1.0
            };
            k.outline.area() * k.count as f64 * twice
        });
        layers.sum::<f64>() / (self.opened * length)
    }

    /// The area of all outlines.
    pub fn area(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "at most a thousand")]
        let sum = self.kinds.iter().map(|k| k.outline.area() * k.count as f64);
        sum.sum()
    }
}

/// Where one piece lies. A point of its outline goes there so: if `over`, y becomes -y; then it is
/// turned by `turn` about (0, 0); then moved by `at`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which of the task's kinds.
    pub kind: usize,
    /// Degrees, counter-clockwise.
    pub turn: f64,
    /// Whether it is turned over first.
    pub over: bool,
    /// The move.
    pub at: [f64; 2],
}

/// A lay: where every piece lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// From x = 0 to the rightmost point.
    pub length: f64,
    /// From where on a folded cloth is opened out, if it is.
    pub flat_from: Option<f64>,
    /// The pieces.
    pub placed: Vec<Placed>,
}
