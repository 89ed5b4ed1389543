//! An exact number: a whole number over a whole number, so that nothing is lost before it is shown.

use core::cmp::Ordering;
use core::fmt;

use measure::fraction::ReadFault;
use measure::page::quoted;

/// A number kept exactly, in lowest terms.
///
/// What would not fit is refused with `None`, never rounded and never wrapped round.
///
/// # Example
/// ```
/// use lay::Exact;
/// let yards = Exact::read("2 5/8").unwrap();
/// assert_eq!(yards.times(Exact::whole(2800)).unwrap().nearest(), Some(7350));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Exact {
    over: i128,
    under: i128,
}

impl Exact {
    /// Nothing.
    pub const ZERO: Self = Self::whole(0);
    /// One.
    pub const ONE: Self = Self::whole(1);

    /// A whole number.
    pub const fn whole(number: i64) -> Self {
        Self {
            over: number as i128,
            under: 1,
        }
    }

    /// One number over another; `None` over nothing.
    pub fn over(over: i64, under: i64) -> Option<Self> {
        Self::reduced(i128::from(over), i128::from(under))
    }

    /// So many hundredths: of 5 it is 1/20.
    pub fn hundredths(self) -> Option<Self> {
        self.shared(Self::whole(100))
    }

    fn reduced(over: i128, under: i128) -> Option<Self> {
        if under == 0 || over == i128::MIN || under == i128::MIN {
            return None;
        }
        let part = common(over.unsigned_abs(), under.unsigned_abs());
        let part = i128::try_from(part).ok()?.max(1) * under.signum();
        Some(Self {
            over: over / part,
            under: under / part,
        })
    }

    /// The number that a text says: `5`, `4.25`, `4,25`, `5/8`, `2 5/8`.
    ///
    /// # Errors
    /// When it is no number of nothing or more, has more than nine figures before or six after the
    /// point, or stands over nothing or over more than 1000.
    pub fn read(text: &str) -> Result<Self, ReadFault> {
        let fault = |says: &str| ReadFault {
            says: format!("{} {says}", quoted(text)),
            hint: "Write it like `5`, `4.25` or `2 5/8`.".into(),
        };
        let digits = |t: &str, most: usize| {
            let plain = !t.is_empty() && t.len() <= most && t.bytes().all(|b| b.is_ascii_digit());
            plain.then(|| t.parse::<i64>().ok()).flatten()
        };
        let said = text.trim().replace(',', ".").replace('\u{2044}', "/");
        if said.is_empty() {
            return Err(ReadFault {
                says: "Nothing is written here.".into(),
                hint: "Write a number, or 0.".into(),
            });
        }
        if said.starts_with('-') {
            return Err(fault("is less than nothing."));
        }
        if let Some((before, under)) = said.split_once('/') {
            let before = before.trim();
            let (whole, over) = before
                .rsplit_once([' ', '-'])
                .map_or(("0", before), |(w, o)| (w.trim(), o));
            let read = digits(whole, 9)
                .zip(digits(over, 9))
                .zip(digits(under.trim(), 4));
            let Some(((whole, over), under)) = read else {
                return Err(fault("is no number."));
            };
            if !(1..=1000).contains(&under) {
                return Err(fault("is no fraction that I can reckon with."));
            }
            return Self::over(whole * under + over, under).ok_or_else(|| fault("is no number."));
        }
        let (whole, part) = said.split_once('.').unwrap_or((&said, "0"));
        if part.len() > 6 || whole.len() > 9 {
            return Err(fault("has too many figures."));
        }
        let Some((whole, after)) = digits(whole, 9).zip(digits(part, 6)) else {
            return Err(fault("is no number."));
        };
        let under = (0..part.len()).fold(1_i64, |u, _| u * 10);
        Self::over(whole * under + after, under).ok_or_else(|| fault("is no number."))
    }

    /// The sum.
    pub fn plus(self, other: Self) -> Option<Self> {
        let part = i128::try_from(common(
            self.under.unsigned_abs(),
            other.under.unsigned_abs(),
        ))
        .ok()?;
        let over = self
            .over
            .checked_mul(other.under / part)?
            .checked_add(other.over.checked_mul(self.under / part)?)?;
        Self::reduced(over, (self.under / part).checked_mul(other.under)?)
    }

    /// The difference.
    pub fn less(self, other: Self) -> Option<Self> {
        self.plus(Self {
            over: other.over.checked_neg()?,
            under: other.under,
        })
    }

    /// The product.
    pub fn times(self, other: Self) -> Option<Self> {
        // Cancelled crosswise first, so that only a result that is too large is refused.
        let a = Self::reduced(self.over, other.under)?;
        let b = Self::reduced(other.over, self.under)?;
        Self::reduced(a.over.checked_mul(b.over)?, a.under.checked_mul(b.under)?)
    }

    /// The quotient; `None` by nothing.
    pub fn shared(self, by: Self) -> Option<Self> {
        self.times(Self::reduced(by.under, by.over)?)
    }

    /// The nearest whole number, halves away from nothing: the one rounding of a printed figure.
    pub fn nearest(self) -> Option<i64> {
        let (whole, rest) = (self.over / self.under, self.over % self.under);
        let up = rest.unsigned_abs() >= self.under.unsigned_abs() - rest.unsigned_abs();
        let whole = if rest != 0 && up {
            whole.checked_add(self.over.signum())?
        } else {
            whole
        };
        i64::try_from(whole).ok()
    }

    /// The smallest whole number that is not less.
    pub fn ceiling(self) -> Option<i64> {
        let up = i128::from(self.over % self.under > 0);
        i64::try_from((self.over / self.under).checked_add(up)?).ok()
    }

    /// Whether it is below nothing.
    pub const fn is_negative(self) -> bool {
        self.over < 0
    }

    /// Near enough for a drawing, never for money.
    #[allow(
        clippy::cast_precision_loss,
        reason = "only for what is drawn or compared with a measured length"
    )]
    pub fn roughly(self) -> f64 {
        self.over as f64 / self.under as f64
    }

    /// As a drafter writes it: `2 5/8`, `3/4`, `14`.
    pub fn fraction(self) -> String {
        let sign = if self.over < 0 { "-" } else { "" };
        let (over, under) = (self.over.unsigned_abs(), self.under.unsigned_abs());
        match (over / under, over % under) {
            (whole, 0) => format!("{sign}{whole}"),
            (0, rest) => format!("{sign}{rest}/{under}"),
            (whole, rest) => format!("{sign}{whole} {rest}/{under}"),
        }
    }
}

/// The largest number that goes into both.
fn common(a: u128, b: u128) -> u128 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    /// Whole parts first, then the rests turned over, as in Euclid's algorithm: nothing is multiplied.
    fn cmp(&self, other: &Self) -> Ordering {
        let (mut a, mut b) = ((self.over, self.under), (other.over, other.under));
        loop {
            let (qa, qb) = (a.0.div_euclid(a.1), b.0.div_euclid(b.1));
            if qa != qb {
                return qa.cmp(&qb);
            }
            let (ra, rb) = (a.0.rem_euclid(a.1), b.0.rem_euclid(b.1));
            match (ra, rb) {
                (0, 0) => return Ordering::Equal,
                (0, _) => return Ordering::Less,
                (_, 0) => return Ordering::Greater,
                // a.1/ra against b.1/rb, the other way round.
                _ => (a, b) = ((b.1, rb), (a.1, ra)),
            }
        }
    }
}

/// The shortest decimal where there is one of six places or fewer (`4.25`), else the fraction.
impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for places in 0..=6_u32 {
            let tens = 10_i128.pow(places);
            let Some(all) = self.over.checked_mul(tens) else {
                break;
            };
            if all % self.under == 0 {
                let all = all / self.under;
                let sign = if all < 0 { "-" } else { "" };
                let (all, tens) = (all.unsigned_abs(), tens.unsigned_abs());
                return match places {
                    0 => write!(f, "{sign}{all}"),
                    _ => write!(
                        f,
                        "{sign}{}.{:0width$}",
                        all / tens,
                        all % tens,
                        width = places as usize
                    ),
                };
            }
        }
        f.write_str(&self.fraction())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Would catch a text that is read as another number.
    #[test]
    fn numbers_as_written() {
        for (text, over, under) in [
            ("5", 5, 1),
            ("4.25", 17, 4),
            ("4,25", 17, 4),
            (" 2 5/8 ", 21, 8),
            ("2-5/8", 21, 8),
            ("5/8", 5, 8),
            ("1\u{2044}3", 1, 3),
            ("0.000001", 1, 1_000_000),
            ("0", 0, 1),
        ] {
            assert_eq!(
                Exact::read(text).unwrap(),
                Exact::over(over, under).unwrap(),
                "{text}"
            );
        }
    }

    /// Would catch a text that is guessed at.
    #[test]
    fn what_is_no_number_is_refused() {
        for text in [
            "",
            " ",
            "-1",
            "1/0",
            "1/2000",
            "1.2.3",
            "1e3",
            "NaN",
            "inf",
            "five",
            "1/",
            "/2",
            "1 2",
            ".",
            "1.",
            "2 5/8 yd",
            "1.0000001",
            "9999999999",
            "1/-2",
            "٣",
        ] {
            assert!(Exact::read(text).is_err(), "{text}");
        }
    }

    /// Would catch a half that goes to the even neighbour, or towards nothing.
    #[test]
    fn halves_go_away_from_nothing() {
        for (over, under, whole) in [
            (5, 2, 3),
            (-5, 2, -3),
            (7, 3, 2),
            (8, 3, 3),
            (-8, 3, -3),
            (1, 2, 1),
        ] {
            assert_eq!(Exact::over(over, under).unwrap().nearest(), Some(whole));
        }
        assert_eq!(Exact::over(-5, 2).unwrap().ceiling(), Some(-2));
        assert_eq!(Exact::over(5, 2).unwrap().ceiling(), Some(3));
        assert_eq!(Exact::whole(3).ceiling(), Some(3));
    }

    /// Would catch a result that wraps round.
    #[test]
    fn too_large_is_refused() {
        let large = Exact::whole(i64::MAX);
        let larger = large.times(large).unwrap();
        assert_eq!(larger.times(large), None);
        assert_eq!(larger.nearest(), None);
        assert_eq!(Exact::ONE.shared(Exact::ZERO), None);
        assert_eq!(Exact::over(1, 0), None);
    }

    /// Would catch a figure shown with lost places.
    #[test]
    fn shown() {
        for (text, said) in [
            ("4.25", "4.25"),
            ("1/3", "1/3"),
            ("4/3", "1 1/3"),
            ("2 5/8", "2.625"),
            ("0.05", "0.05"),
            ("10.0", "10"),
        ] {
            assert_eq!(Exact::read(text).unwrap().to_string(), said);
        }
        assert_eq!(Exact::over(-1, 4).unwrap().to_string(), "-0.25");
        assert_eq!(Exact::over(21, 8).unwrap().fraction(), "2 5/8");
    }

    fn any() -> impl Strategy<Value = Exact> {
        (-1_000_000_i64..1_000_000, 1_i64..1000).prop_map(|(o, u)| Exact::over(o, u).unwrap())
    }

    proptest! {
        /// The laws of numbers, and the order beside the difference's sign.
        #[test]
        fn sums_and_products(a in any(), b in any(), c in any()) {
            prop_assert_eq!(a.plus(b), b.plus(a));
            prop_assert_eq!(a.plus(b).unwrap().less(b), Some(a));
            prop_assert_eq!(
                a.times(b.plus(c).unwrap()),
                a.times(b).unwrap().plus(a.times(c).unwrap())
            );
            if b != Exact::ZERO {
                prop_assert_eq!(a.times(b).unwrap().shared(b), Some(a));
            }
            prop_assert_eq!(a < b, a.less(b).unwrap().is_negative());
            let off = a.less(Exact::whole(a.nearest().unwrap())).unwrap().roughly().abs();
            prop_assert!(off <= 0.5);
        }

        /// No text brings it down.
        #[test]
        fn any_text_is_answered(text in "\\PC{0,24}") {
            let _ = Exact::read(&text);
        }
    }
}
