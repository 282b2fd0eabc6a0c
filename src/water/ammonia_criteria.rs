//! National criteria for total ammonia in fresh water, as functions of pH and temperature.
//!
//! Written by the US EPA in 2013 for wild fresh waters with their mussels, snails and fish. Each
//! criterion is an average over a stated time that should be passed at most once in three years.

/// Averaging time of the acute criteria, in hours. Source: `epa-2013`.
pub const ACUTE_AVERAGING_HOURS: f64 = 1.0;
/// Averaging time of the chronic criterion, in days. Source: `epa-2013`.
pub const CHRONIC_AVERAGING_DAYS: f64 = 30.0;
/// Averaging time of the highest short stretch within the chronic thirty days, in days.
/// Source: `epa-2013`.
pub const CHRONIC_MAXIMUM_AVERAGING_DAYS: f64 = 4.0;
/// How far the four-day average may lie above the chronic criterion. Source: `epa-2013`.
pub const CHRONIC_MAXIMUM_RATIO: f64 = 2.5;

/// Acute criterion where salmon and trout (*Oncorhynchus*) do not live, in mg/L total ammonia as
/// nitrogen.
///
/// An average over [`ACUTE_AVERAGING_HOURS`].
///
/// - `ph`: 6.5 to 9
/// - `temperature_c`: 0 to 30 °C
///
/// Formula: 0.7249 × (0.0114 / (1 + 10^(7.204 − pH)) + 1.6181 / (1 + 10^(pH − 7.204)))
/// × min(51.93, 23.12 × 10^(0.036 (20 − t))) (CMC, salmonids absent).
/// Error: exact as an equation; the printed tables round it to two figures.
/// Monotone: falling in both, level in temperature below 10.2 °C.
/// Source: `epa-2013`.
///
/// ```
/// let limit = lentic::water::ammonia_acute_criterion_mg_l_n(7.0, 20.0);
/// assert!((limit - 16.8).abs() < 0.1);
/// ```
pub fn ammonia_acute_criterion_mg_l_n(ph: f64, temperature_c: f64) -> f64 {
    acute_at_ph(ph) * f64::min(51.93, invertebrate_acute_value(temperature_c))
}

/// Acute criterion where salmon and trout (*Oncorhynchus*) live, in mg/L total ammonia as nitrogen.
///
/// An average over [`ACUTE_AVERAGING_HOURS`].
///
/// - `ph`: 6.5 to 9
/// - `temperature_c`: 0 to 30 °C
///
/// Formula: the lesser of 0.275 / (1 + 10^(7.204 − pH)) + 39.0 / (1 + 10^(pH − 7.204)) and
/// 0.7249 × (0.0114 / (1 + 10^(7.204 − pH)) + 1.6181 / (1 + 10^(pH − 7.204)))
/// × 23.12 × 10^(0.036 (20 − t)) (CMC, salmonids present).
/// Error: exact as an equation; the printed tables round it to two figures.
/// Monotone: falling in both, level in temperature below 15.6 °C.
/// Source: `epa-2013`.
///
/// ```
/// let limit = lentic::water::ammonia_acute_criterion_salmonids_mg_l_n(8.0, 10.0);
/// assert!((limit - 5.6).abs() < 0.05);
/// ```
pub fn ammonia_acute_criterion_salmonids_mg_l_n(ph: f64, temperature_c: f64) -> f64 {
    let salmonids = logistic_in_ph(ph, 7.204, 0.275, 39.0);
    f64::min(
        salmonids,
        acute_at_ph(ph) * invertebrate_acute_value(temperature_c),
    )
}

/// Chronic criterion, in mg/L total ammonia as nitrogen.
///
/// An average over [`CHRONIC_AVERAGING_DAYS`].
///
/// - `ph`: 6.5 to 9
/// - `temperature_c`: 0 to 30 °C
///
/// Formula: 0.8876 × (0.0278 / (1 + 10^(7.688 − pH)) + 1.1994 / (1 + 10^(pH − 7.688)))
/// × 2.126 × 10^(0.028 (20 − max(t, 7))) (CCC).
/// Error: exact as an equation; the printed tables round it to two figures.
/// Monotone: falling in both, level in temperature below 7 °C.
/// Source: `epa-2013`.
///
/// ```
/// let limit = lentic::water::ammonia_chronic_criterion_mg_l_n(7.0, 20.0);
/// assert!((limit - 1.89).abs() < 0.01);
/// ```
pub fn ammonia_chronic_criterion_mg_l_n(ph: f64, temperature_c: f64) -> f64 {
    let warmth = 2.126 * libm::exp10(0.028 * (20.0 - f64::max(temperature_c, 7.0)));
    0.8876 * logistic_in_ph(ph, 7.688, 0.0278, 1.1994) * warmth
}

/// Highest four-day average within the thirty chronic days, in mg/L total ammonia as nitrogen.
///
/// An average over [`CHRONIC_MAXIMUM_AVERAGING_DAYS`].
///
/// - `ph`: 6.5 to 9
/// - `temperature_c`: 0 to 30 °C
///
/// Formula: 2.5 × [`ammonia_chronic_criterion_mg_l_n`].
/// Error: exact as an equation; printed figures start from the rounded criterion (4.8 for 4.72).
/// Monotone: falling in both, level in temperature below 7 °C.
/// Source: `epa-2013`.
///
/// ```
/// let limit = lentic::water::ammonia_chronic_maximum_mg_l_n(7.0, 20.0);
/// assert!((limit - 4.72).abs() < 0.01);
/// ```
pub fn ammonia_chronic_maximum_mg_l_n(ph: f64, temperature_c: f64) -> f64 {
    CHRONIC_MAXIMUM_RATIO * ammonia_chronic_criterion_mg_l_n(ph, temperature_c)
}

fn acute_at_ph(ph: f64) -> f64 {
    0.7249 * logistic_in_ph(ph, 7.204, 0.0114, 1.6181)
}

fn invertebrate_acute_value(temperature_c: f64) -> f64 {
    23.12 * libm::exp10(0.036 * (20.0 - temperature_c))
}

fn logistic_in_ph(ph: f64, middle: f64, basic: f64, acid: f64) -> f64 {
    basic / (1.0 + libm::exp10(middle - ph)) + acid / (1.0 + libm::exp10(ph - middle))
}
