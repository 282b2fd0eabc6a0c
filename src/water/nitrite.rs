//! Nitrite against chloride, which keeps it out of the gills; and nitrous acid.

use super::constants::{CL_G_MOL, NACL_G_MOL};

/// Free nitrous acid as the literature on nitrification counts it, in mg/L as HNO₂.
///
/// - `nitrite_mg_l_n`: 0 or more, as nitrogen
/// - `ph`: 6 to 9
/// - `temperature_c`: 0 to 40 °C
///
/// Formula: 46/14 × N / (exp(−2300 / (273 + t)) × 10^pH).
/// Error: the approximation takes all nitrite as ionised, true within 0.3 % from pH 6 up.
/// Monotone: rising in nitrite, falling in pH and temperature.
/// Source: `anthonisen-1976`.
///
/// ```
/// let acid = lentic::water::free_nitrous_acid_mg_l_hno2(1.0, 7.0, 25.0);
/// assert!((acid - 0.000739).abs() < 0.000001);
/// ```
pub fn free_nitrous_acid_mg_l_hno2(nitrite_mg_l_n: f64, ph: f64, temperature_c: f64) -> f64 {
    let acid_constant = libm::exp(-2300.0 / (273.0 + temperature_c));
    46.0 / 14.0 * nitrite_mg_l_n / (acid_constant * libm::exp10(ph))
}

/// Long-term guideline for nitrite by chloride, in mg/L as nitrogen.
///
/// An average over thirty days, set by British Columbia for wild freshwater life.
///
/// - `chloride_mg_l`: 0 or more
///
/// Formula: 0.02 below 2 mg/L chloride, 0.04 from 2, 0.06 from 4, 0.08 from 6, 0.10 from 8 to 10,
/// 0.20 above 10 (tables 16 and 17).
/// Error: exact as a table.
/// Monotone: rising, in steps.
/// Source: `bc-nitrite`.
///
/// ```
/// assert_eq!(lentic::water::nitrite_guideline_long_term_mg_l_n(5.0), 0.06);
/// ```
pub fn nitrite_guideline_long_term_mg_l_n(chloride_mg_l: f64) -> f64 {
    guideline(chloride_mg_l).0
}

/// Short-term guideline for nitrite by chloride, in mg/L as nitrogen.
///
/// A maximum, set by British Columbia for wild freshwater life.
///
/// - `chloride_mg_l`: 0 or more
///
/// Formula: 0.06 below 2 mg/L chloride, 0.12 from 2, 0.18 from 4, 0.24 from 6, 0.30 from 8 to 10,
/// 0.60 above 10 (tables 16 and 17).
/// Error: exact as a table.
/// Monotone: rising, in steps.
/// Source: `bc-nitrite`.
///
/// ```
/// assert_eq!(lentic::water::nitrite_guideline_short_term_mg_l_n(5.0), 0.18);
/// ```
pub fn nitrite_guideline_short_term_mg_l_n(chloride_mg_l: f64) -> f64 {
    guideline(chloride_mg_l).1
}

fn guideline(chloride_mg_l: f64) -> (f64, f64) {
    match chloride_mg_l {
        chloride if chloride < 2.0 => (0.02, 0.06),
        chloride if chloride < 4.0 => (0.04, 0.12),
        chloride if chloride < 6.0 => (0.06, 0.18),
        chloride if chloride < 8.0 => (0.08, 0.24),
        chloride if chloride <= 10.0 => (0.10, 0.30),
        _ => (0.20, 0.60),
    }
}

/// Chloride for each part of nitrite, by weight; none without nitrite.
///
/// - `chloride_mg_l`: 0 or more
/// - `nitrite_mg_l_no2`: 0 or more, as the ion NO₂⁻ (3.284 times the figure as nitrogen)
///
/// Formula: chloride / nitrite.
/// Error: none of its own. How far the ratio protects differs by species; bass gain nothing.
/// Monotone: rising in chloride, falling in nitrite.
/// Source: `srac-462`.
///
/// ```
/// use lentic::water::chloride_to_nitrite_ratio;
/// assert_eq!(chloride_to_nitrite_ratio(30.0, 1.5), Some(20.0));
/// assert_eq!(chloride_to_nitrite_ratio(30.0, 0.0), None);
/// ```
pub fn chloride_to_nitrite_ratio(chloride_mg_l: f64, nitrite_mg_l_no2: f64) -> Option<f64> {
    (nitrite_mg_l_no2 > 0.0).then(|| chloride_mg_l / nitrite_mg_l_no2)
}

/// Chloride to add for a wanted ratio to nitrite, in mg/L; 0 when there is enough.
///
/// - `nitrite_mg_l_no2`: 0 or more, as the ion NO₂⁻
/// - `chloride_mg_l`: 0 or more, already in the water
/// - `wanted_ratio`: 0 or more, parts of chloride to one of NO₂⁻ by weight
///
/// Formula: max(0, ratio × nitrite − chloride).
/// Error: none of its own.
/// Monotone: rising in nitrite and ratio, falling in chloride.
/// Source: `srac-462`.
///
/// ```
/// assert_eq!(lentic::water::chloride_to_add_mg_l(0.5, 3.0, 10.0), 2.0);
/// ```
pub fn chloride_to_add_mg_l(nitrite_mg_l_no2: f64, chloride_mg_l: f64, wanted_ratio: f64) -> f64 {
    f64::max(0.0, wanted_ratio * nitrite_mg_l_no2 - chloride_mg_l)
}

/// Table salt to add for a wanted ratio of chloride to nitrite, in mg/L of NaCl; 0 when there is
/// enough.
///
/// - `nitrite_mg_l_no2`: 0 or more, as the ion NO₂⁻
/// - `chloride_mg_l`: 0 or more, already in the water
/// - `wanted_ratio`: 0 or more, parts of chloride to one of NO₂⁻ by weight
///
/// Formula: [`chloride_to_add_mg_l`] × M(NaCl) / M(Cl).
/// Error: 0.01 % from molar masses.
/// Monotone: rising in nitrite and ratio, falling in chloride.
/// Source: `srac-462`, `iupac-2021`.
///
/// ```
/// let salt = lentic::water::sodium_chloride_to_add_mg_l(1.0, 0.0, 10.0);
/// assert!((salt - 16.485).abs() < 0.001);
/// ```
pub fn sodium_chloride_to_add_mg_l(
    nitrite_mg_l_no2: f64,
    chloride_mg_l: f64,
    wanted_ratio: f64,
) -> f64 {
    chloride_to_add_mg_l(nitrite_mg_l_no2, chloride_mg_l, wanted_ratio) * NACL_G_MOL / CL_G_MOL
}
