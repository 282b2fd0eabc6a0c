//! Readings of tests, and how likely they are in a given water.

use super::random::Stream;
use super::state::Water;

/// What a test reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Total ammonia, in mg/L as N.
    Ammonia,
    /// Nitrite, in mg/L as N.
    Nitrite,
    /// Nitrate alone, in mg/L as N.
    Nitrate,
    /// Nitrite and nitrate together, in mg/L as N: what the common nitrate test reads.
    Oxidised,
    /// pH.
    Ph,
    /// Alkalinity, in mg/L as CaCO₃.
    Alkalinity,
}

impl Quantity {
    /// Its value in a water.
    pub fn of(self, water: &Water) -> f64 {
        match self {
            Self::Ammonia => water.ammonia_mg_l_n,
            Self::Nitrite => water.nitrite_mg_l_n,
            Self::Nitrate => water.nitrate_mg_l_n,
            Self::Oxidised => water.nitrite_mg_l_n + water.nitrate_mg_l_n,
            Self::Ph => water.ph,
            Self::Alkalinity => water.alkalinity_mg_l_caco3,
        }
    }

    /// Span over which a slip may fall anywhere; only its order of magnitude matters.
    fn span(self) -> f64 {
        match self {
            Self::Ammonia | Self::Nitrite => 20.0,
            Self::Nitrate | Self::Oxidised => 100.0,
            Self::Ph => 5.0,
            Self::Alkalinity => 400.0,
        }
    }
}

/// Share of readings that are slips: wrong tube, wrong line of the log. An assumption.
pub const SLIP_SHARE: f64 = 0.005;

/// A reading: the value lay between two bounds, as far as the test can tell.
///
/// A colour step stands for all values nearer to it than to the next; a reading below the first
/// mark has the bound −∞ below, one off the scale +∞ above. A digital reading is as wide as its
/// last figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Days since filling.
    pub day: f64,
    /// What was read.
    pub quantity: Quantity,
    /// Lower bound.
    pub low: f64,
    /// Upper bound, above the lower.
    pub high: f64,
    /// Standard deviation of the test's error at zero, above 0.
    pub deviation: f64,
    /// Standard deviation of the error that grows with the value, as a share of it.
    pub relative_deviation: f64,
}

impl Reading {
    /// Chance of this reading if the water truly holds `value`, above 0 and at most 1.
    ///
    /// Formula: (1 − s) (Φ((high − value)/σ) − Φ((low − value)/σ)) + s × width / span, with
    /// σ² = deviation² + (relative deviation × value)² and s = [`SLIP_SHARE`].
    pub fn likelihood(&self, value: f64) -> f64 {
        (1.0 - SLIP_SHARE) * self.mass(value) + SLIP_SHARE * self.slip()
    }

    /// Chance of this reading in the water that explains it best.
    pub fn best_likelihood(&self) -> f64 {
        let centre = if self.low == f64::NEG_INFINITY {
            self.high
                - 4.0
                    * self
                        .deviation
                        .max(self.relative_deviation * self.high.abs())
        } else if self.high == f64::INFINITY {
            self.low * (1.0 + 4.0 * self.relative_deviation) + 4.0 * self.deviation
        } else {
            0.5 * (self.low + self.high)
        };
        self.likelihood(centre)
    }

    /// The same reading with its bounds multiplied, as if it had been taken in another unit.
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            low: self.low * factor,
            high: self.high * factor,
            deviation: self.deviation * factor,
            ..*self
        }
    }

    fn mass(&self, value: f64) -> f64 {
        let share = self.relative_deviation * value;
        let scale = 1.0 / (2.0 * (self.deviation * self.deviation + share * share)).sqrt();
        0.5 * (edge((self.high - value) * scale) - edge((self.low - value) * scale))
    }

    fn slip(&self) -> f64 {
        let span = self.quantity.span();
        ((self.high.min(span) - self.low.max(0.0)) / span).clamp(1e-3, 1.0)
    }
}

/// The error function; the fifth decimal of a chance needs no arguments beyond four.
fn edge(x: f64) -> f64 {
    if x >= 4.0 {
        1.0
    } else if x <= -4.0 {
        -1.0
    } else {
        libm::erf(x)
    }
}

/// A test: what it reads and in which steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Test {
    /// What it reads.
    pub quantity: Quantity,
    /// Bounds between neighbouring steps, rising: below the first is its lowest step.
    pub bounds: Vec<f64>,
    /// Standard deviation of its error at zero, above 0.
    pub deviation: f64,
    /// Standard deviation of the error that grows with the value, as a share of it.
    pub relative_deviation: f64,
}

impl Test {
    /// Number of the step that a value falls in, from 0.
    pub fn step(&self, value: f64) -> usize {
        self.bounds.partition_point(|&bound| bound <= value)
    }

    /// The reading that a step stands for.
    pub fn reading(&self, day: f64, step: usize) -> Reading {
        let low = step.checked_sub(1).and_then(|below| self.bounds.get(below));
        Reading {
            day,
            quantity: self.quantity,
            low: low.copied().unwrap_or(f64::NEG_INFINITY),
            high: self.bounds.get(step).copied().unwrap_or(f64::INFINITY),
            deviation: self.deviation,
            relative_deviation: self.relative_deviation,
        }
    }

    /// The step that the test shows in a water, its error drawn from `stream`.
    pub fn shown(&self, water: &Water, stream: &mut Stream) -> usize {
        let value = self.quantity.of(water);
        let share = self.relative_deviation * value;
        let deviation = (self.deviation * self.deviation + share * share).sqrt();
        self.step(value + deviation * stream.normal())
    }
}
