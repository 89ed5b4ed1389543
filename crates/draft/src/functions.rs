//! The functions of the language: least and greatest, slants, circles, steps.

use measure::{Length, angle};

use crate::note::{Note, Span};
use crate::said;
use crate::tree::{Expr, Function};
use crate::walk::{Dim, Num, Walker};

impl Walker<'_> {
    pub(crate) fn function(&mut self, f: Function, args: &[Expr], span: Span) -> Option<Num> {
        let mut nums = Vec::with_capacity(2);
        for arg in args {
            nums.push(self.sum(arg));
        }
        let nums: Vec<Num> = nums.into_iter().collect::<Option<_>>()?;
        let name = said::function(f);
        let wants: &[Dim] = match f {
            Function::Slant
            | Function::FlareRise
            | Function::ArcAngle
            | Function::StepGirth
            | Function::StepLength => &[Dim::Length, Dim::Length],
            Function::CircleRadius | Function::CircleGirth => &[Dim::Length],
            Function::NextWhole | Function::WholePart | Function::Root => &[Dim::Number],
            Function::Least | Function::Greatest | Function::Size => &[],
        };
        if f == Function::Root && matches!(nums[0].dim, Dim::Area) {
            return Some(Num {
                v: nums[0].v.sqrt(),
                dim: Dim::Length,
            });
        }
        for ((want, num), arg) in wants.iter().zip(&nums).zip(args) {
            if !want.fits(num.dim) {
                if !self.bare_length(*want, arg) {
                    self.note(Note::new(
                        arg.span,
                        format!(
                            "`{name}` wants {}, and this is {}.",
                            want.shown(),
                            num.dim.shown()
                        ),
                    ));
                }
                return None;
            }
        }
        let (x, y) = (nums[0].v, nums.get(1).map_or(0.0, |n| n.v));
        let length = |v| {
            Some(Num {
                v,
                dim: Dim::Length,
            })
        };
        match f {
            Function::Least | Function::Greatest => {
                if !nums[0].dim.fits(nums[1].dim) {
                    if !self.bare_length(nums[0].dim, &args[1]) {
                        self.note(Note::new(
                            span,
                            format!(
                                "`{name}` wants two of one kind: these are {} and {}.",
                                nums[0].dim.shown(),
                                nums[1].dim.shown()
                            ),
                        ));
                    }
                    return None;
                }
                let dim = if nums[0].dim == Dim::Any {
                    nums[1].dim
                } else {
                    nums[0].dim
                };
                Some(Num {
                    v: if f == Function::Least {
                        x.min(y)
                    } else {
                        x.max(y)
                    },
                    dim,
                })
            }
            Function::Size => Some(Num {
                v: x.abs(),
                dim: nums[0].dim,
            }),
            Function::NextWhole => Some(Num {
                v: (x - 1e-9).ceil(),
                dim: Dim::Number,
            }),
            Function::WholePart => Some(Num {
                v: (x + 1e-9).floor(),
                dim: Dim::Number,
            }),
            Function::Root => Some(Num {
                v: x.sqrt(),
                dim: Dim::Number,
            }),
            Function::Slant => length(angle::hypot(x, y)),
            // An edge that runs out x over a drop of y is cut where it is as long as y: at the height
            // y (1 - cos a), tan a = x / y.
            Function::FlareRise => length(y * (1.0 - y.abs() / angle::hypot(x, y))),
            Function::CircleRadius => length(x / core::f64::consts::TAU),
            Function::CircleGirth => length(x * core::f64::consts::TAU),
            Function::ArcAngle => Some(Num {
                v: x / y,
                dim: Dim::Angle,
            }),
            Function::StepGirth | Function::StepLength => self.step(f, x, y, span),
        }
    }

    pub(crate) fn step(&mut self, f: Function, x: f64, depth: f64, span: Span) -> Option<Num> {
        if self.dry() {
            return Some(Num {
                v: f64::NAN,
                dim: Dim::Length,
            });
        }
        let (Some(card), Some(x), Some(depth)) =
            (self.purpose.card, Length::try_mm(x), Length::try_mm(depth))
        else {
            return None;
        };
        let answer = if f == Function::StepGirth {
            measure::step::girth_needed(card, x, depth)
        } else {
            measure::step::longest_step(card, x, depth)
        };
        match answer {
            Ok(answer) => {
                // What the walking model took without a measure is never silent; it is said once.
                if let Some(says) = answer.assumed_says(self.purpose.shown)
                    && !self
                        .findings
                        .iter()
                        .any(|f| f.rule == "assumed" && f.says == says)
                {
                    self.finding(
                        "assumed",
                        crate::tree::Weight::Note,
                        "card".into(),
                        says,
                        Some(format!(
                            "measure them, and the step is right to {}",
                            match self.purpose.shown.unit {
                                measure::fraction::Unit::Inch => "a tenth of an inch",
                                measure::fraction::Unit::Cm => "2 or 3 mm",
                            }
                        )),
                    );
                }
                Some(Num {
                    v: answer.value.in_mm(),
                    dim: Dim::Length,
                })
            }
            Err(says) => {
                self.note(Note::new(span, says));
                None
            }
        }
    }
}
