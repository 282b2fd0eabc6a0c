//! How total ammonia divides into ammonium and un-ionised ammonia.

use super::constants::ZERO_CELSIUS_K;

/// Negative logarithm of ammonium's acid constant in fresh water.
///
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: pKa = 0.09018 + 2729.92 / T, T in kelvin.
/// Error: within 0.004 of an independent thermodynamic fit between 0 and 30 °C.
/// Monotone: falling.
/// Source: `emerson-1975`.
///
/// ```
/// assert!((lentic::water::ammonia_pka(25.0) - 9.246).abs() < 0.001);
/// ```
pub fn ammonia_pka(temperature_c: f64) -> f64 {
    0.09018 + 2729.92 / (temperature_c + ZERO_CELSIUS_K)
}

/// Fraction of total ammonia that is un-ionised (NH₃), from 0 to 1.
///
/// Rises close to tenfold with each whole step of pH, and rises with temperature.
///
/// - `ph`: 6 to 10
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: 1 / (1 + 10^(pKa − pH)), with [`ammonia_pka`].
/// Error: within 1 % of a full speciation of nearly pure water; 4 to 9 % high in
/// ordinary tap water (ionic strength 0.006 mol/kg), which errs on the careful side.
/// Monotone: rising in both.
/// Source: `emerson-1975`.
///
/// ```
/// let fraction = lentic::water::free_ammonia_fraction(8.0, 25.0);
/// assert!((fraction - 0.0537).abs() < 0.0001);
/// ```
pub fn free_ammonia_fraction(ph: f64, temperature_c: f64) -> f64 {
    1.0 / (1.0 + libm::exp10(ammonia_pka(temperature_c) - ph))
}

/// Un-ionised ammonia, in mg/L as nitrogen.
///
/// - `total_ammonia_mg_l_n`: 0 or more, NH₃ and NH₄⁺ together, as nitrogen
/// - `ph`: 6 to 10
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: total ammonia × [`free_ammonia_fraction`].
/// Error: that of the fraction.
/// Monotone: rising in all three.
/// Source: `emerson-1975`.
///
/// ```
/// let free = lentic::water::free_ammonia_mg_l_n(2.0, 7.5, 25.0);
/// assert!((free - 0.0353).abs() < 0.0001);
/// ```
pub fn free_ammonia_mg_l_n(total_ammonia_mg_l_n: f64, ph: f64, temperature_c: f64) -> f64 {
    total_ammonia_mg_l_n * free_ammonia_fraction(ph, temperature_c)
}

/// Total ammonia at which a given amount of it is un-ionised, in mg/L as nitrogen.
///
/// The reverse of [`free_ammonia_mg_l_n`].
///
/// - `free_ammonia_mg_l_n`: 0 or more, NH₃ as nitrogen
/// - `ph`: 6 to 10
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: un-ionised ammonia / [`free_ammonia_fraction`].
/// Error: that of the fraction; in ordinary tap water the answer is 4 to 9 % low.
/// Monotone: rising in the amount, falling in pH and temperature.
/// Source: `emerson-1975`.
///
/// ```
/// let total = lentic::water::total_ammonia_mg_l_n(0.02, 7.0, 25.0);
/// assert!((total - 3.55).abs() < 0.01);
/// ```
pub fn total_ammonia_mg_l_n(free_ammonia_mg_l_n: f64, ph: f64, temperature_c: f64) -> f64 {
    free_ammonia_mg_l_n / free_ammonia_fraction(ph, temperature_c)
}

/// Free ammonia as the literature on nitrification counts it, in mg/L as NH₃.
///
/// For limits and model constants that were published on this scale; for animals use
/// [`free_ammonia_mg_l_n`].
///
/// - `total_ammonia_mg_l_n`: 0 or more, as nitrogen
/// - `ph`: 6 to 9
/// - `temperature_c`: 0 to 40 °C
///
/// Formula: 17/14 × N × 10^pH / (exp(6344 / (273 + t)) + 10^pH).
/// Error: within 0.5 % of the Emerson route between 20 and 28 °C.
/// Monotone: rising in all three.
/// Source: `anthonisen-1976`.
///
/// ```
/// let free = lentic::water::free_ammonia_anthonisen_mg_l_nh3(4.0, 8.0, 25.0);
/// assert!((free - 0.2611).abs() < 0.0001);
/// ```
pub fn free_ammonia_anthonisen_mg_l_nh3(
    total_ammonia_mg_l_n: f64,
    ph: f64,
    temperature_c: f64,
) -> f64 {
    let hydrogen_scale = libm::exp10(ph);
    let dissociation = libm::exp(6344.0 / (273.0 + temperature_c));
    17.0 / 14.0 * total_ammonia_mg_l_n * hydrogen_scale / (dissociation + hydrogen_scale)
}
