//! A fact is a set of possible values.

use serde::{Deserialize, Serialize};

/// What a condition comes to over all values that are possible.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// False at every possible value.
    Fails,
    /// True at some, false at others.
    Open,
    /// True at every possible value.
    Holds,
}

impl Verdict {
    /// Strong Kleene `not`.
    #[must_use]
    #[expect(
        clippy::should_implement_trait,
        reason = "it stands beside `and` and `or`"
    )]
    pub fn not(self) -> Verdict {
        match self {
            Verdict::Holds => Verdict::Fails,
            Verdict::Open => Verdict::Open,
            Verdict::Fails => Verdict::Holds,
        }
    }

    /// Strong Kleene `and`.
    #[must_use]
    pub fn and(self, other: Verdict) -> Verdict {
        self.min(other)
    }

    /// Strong Kleene `or`.
    #[must_use]
    pub fn or(self, other: Verdict) -> Verdict {
        self.max(other)
    }
}

/// A closed interval of numbers in the main unit of its dimension. The ends may be infinite, never NaN.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The smallest possible value.
    pub lo: f64,
    /// The largest possible value.
    pub hi: f64,
}

impl Interval {
    /// Every number.
    pub const EVERYTHING: Interval = Interval {
        lo: f64::NEG_INFINITY,
        hi: f64::INFINITY,
    };

    /// The one value `x`.
    #[must_use]
    pub fn point(x: f64) -> Interval {
        Interval { lo: x, hi: x }
    }

    /// From the smaller to the larger of two values.
    #[must_use]
    pub fn between(a: f64, b: f64) -> Interval {
        Interval {
            lo: a.min(b),
            hi: a.max(b),
        }
    }

    /// Whether only one value is possible.
    #[must_use]
    pub fn is_point(self) -> bool {
        self.lo == self.hi
    }

    /// The smallest interval that holds both.
    #[must_use]
    pub fn hull(self, other: Interval) -> Interval {
        Interval {
            lo: self.lo.min(other.lo),
            hi: self.hi.max(other.hi),
        }
    }

    /// The part that both share, if there is one.
    #[must_use]
    pub fn meet(self, other: Interval) -> Option<Interval> {
        let (lo, hi) = (self.lo.max(other.lo), self.hi.min(other.hi));
        (lo <= hi).then_some(Interval { lo, hi })
    }

    /// Both ends to one part of so many. Rounding keeps order, so what lay inside still does.
    pub(crate) fn rounded(self, parts: f64) -> Interval {
        Interval {
            lo: to_a_part(self.lo, parts),
            hi: to_a_part(self.hi, parts),
        }
    }

    // Rounding to nearest is monotone, so the rounded ends enclose the rounded
    // result at every point between them: no widening is needed below.

    pub(crate) fn add(self, other: Interval) -> Interval {
        enclosing([self.lo + other.lo, self.hi + other.hi])
    }

    pub(crate) fn negate(self) -> Interval {
        Interval {
            lo: -self.hi,
            hi: -self.lo,
        }
    }

    pub(crate) fn multiply(self, other: Interval) -> Interval {
        let product = |a: f64, b: f64| if a == 0.0 || b == 0.0 { 0.0 } else { a * b };
        enclosing([
            product(self.lo, other.lo),
            product(self.lo, other.hi),
            product(self.hi, other.lo),
            product(self.hi, other.hi),
        ])
    }

    pub(crate) fn divide(self, other: Interval) -> Interval {
        if other.lo <= 0.0 && other.hi >= 0.0 {
            return Interval::EVERYTHING;
        }
        enclosing([
            self.lo / other.lo,
            self.lo / other.hi,
            self.hi / other.lo,
            self.hi / other.hi,
        ])
    }

    pub(crate) fn less_than(self, other: Interval) -> Verdict {
        decided(self.hi < other.lo, self.lo >= other.hi)
    }

    pub(crate) fn at_most(self, other: Interval) -> Verdict {
        decided(self.hi <= other.lo, self.lo > other.hi)
    }
}

/// A number to one part of so many, where a double is finer than that.
fn to_a_part(x: f64, parts: f64) -> f64 {
    const FINEST: f64 = (1_u64 << 52) as f64;
    let counted = x * parts;
    if libm::fabs(counted) < FINEST {
        libm::round(counted) / parts
    } else {
        x
    }
}

/// The least interval around some values; what is not a number may be anything.
pub(crate) fn enclosing<const N: usize>(values: [f64; N]) -> Interval {
    if values.iter().any(|x| x.is_nan()) {
        return Interval::EVERYTHING;
    }
    let lo = values.iter().copied().fold(f64::INFINITY, f64::min);
    let hi = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Interval { lo, hi }
}

fn decided(always: bool, never: bool) -> Verdict {
    match (always, never) {
        (true, _) => Verdict::Holds,
        (_, true) => Verdict::Fails,
        _ => Verdict::Open,
    }
}

/// The possible values of one fact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Set {
    /// A number in the main unit of its dimension; a date is a count of days since 1970-01-01.
    Number(Interval),
    /// One of the options whose bits are set. A truth is a choice of [`NO`] and [`YES`].
    Choice(u128),
    /// Any number of options: those surely among them, and those that may be.
    Several {
        /// Options that are certainly present.
        surely: u128,
        /// Options that are possibly present; holds all of `surely`.
        maybe: u128,
    },
}

/// The bit of a truth that is false.
pub const NO: u128 = 1;
/// The bit of a truth that is true.
pub const YES: u128 = 2;

impl Set {
    /// The set of a truth that is known.
    #[must_use]
    pub fn truth(holds: bool) -> Set {
        Set::Choice(if holds { YES } else { NO })
    }

    /// The set of a truth as a verdict leaves it.
    #[must_use]
    pub fn from_verdict(verdict: Verdict) -> Set {
        Set::Choice(match verdict {
            Verdict::Holds => YES,
            Verdict::Fails => NO,
            Verdict::Open => YES | NO,
        })
    }

    /// Whether only one value is possible.
    #[must_use]
    pub fn is_known(&self) -> bool {
        match self {
            Set::Number(interval) => interval.is_point(),
            Set::Choice(options) => options.count_ones() == 1,
            Set::Several { surely, maybe } => surely == maybe,
        }
    }

    pub(crate) fn interval(&self) -> Interval {
        match self {
            Set::Number(interval) => *interval,
            _ => Interval::EVERYTHING,
        }
    }

    /// Whether the value is one of the options in `mask`.
    pub(crate) fn is_one_of(&self, mask: u128) -> Verdict {
        match self {
            Set::Choice(options) => decided(options & !mask == 0, options & mask == 0),
            _ => Verdict::Open,
        }
    }

    /// Whether the options in `mask` are all present.
    pub(crate) fn includes(&self, mask: u128) -> Verdict {
        match self {
            Set::Several { surely, maybe } => decided(surely & mask == mask, maybe & mask != mask),
            _ => Verdict::Open,
        }
    }

    /// The smallest set that holds both.
    pub(crate) fn hull(self, other: Set) -> Set {
        match (self, other) {
            (Set::Number(a), Set::Number(b)) => Set::Number(a.hull(b)),
            (Set::Choice(a), Set::Choice(b)) => Set::Choice(a | b),
            (
                Set::Several { surely, maybe },
                Set::Several {
                    surely: s,
                    maybe: m,
                },
            ) => Set::Several {
                surely: surely & s,
                maybe: maybe | m,
            },
            (first, _) => first,
        }
    }
}
