//! What nitrification takes from the water.

use super::constants::{CACO3_G_MOL, N_G_MOL, O2_G_MOL};

/// Alkalinity that the oxidation of ammonia to nitrate uses up, in mg/L as CaCO₃.
///
/// - `ammonia_mg_l_n`: 0 or more, as nitrogen, oxidised from ammonium
///
/// Formula: N × M(CaCO₃) / M(N), two H⁺ for each nitrogen and two for each CaCO₃.
/// Error: none of its own; growing cells lower it by about 1 %.
/// Monotone: rising.
/// Source: `iupac-2021`.
///
/// ```
/// let used = lentic::water::alkalinity_used_mg_l_caco3(1.0);
/// assert!((used - 7.145).abs() < 0.001);
/// ```
pub fn alkalinity_used_mg_l_caco3(ammonia_mg_l_n: f64) -> f64 {
    ammonia_mg_l_n * CACO3_G_MOL / N_G_MOL
}

/// Oxygen that the oxidation of ammonia to nitrate uses up, in mg/L.
///
/// - `ammonia_mg_l_n`: 0 or more, as nitrogen
///
/// Formula: N × 2 M(O₂) / M(N).
/// Error: none of its own; growing cells lower it by about 5 %.
/// Monotone: rising.
/// Source: `iupac-2021`.
///
/// ```
/// let used = lentic::water::oxygen_used_mg_l(1.0);
/// assert!((used - 4.57).abs() < 0.01);
/// ```
pub fn oxygen_used_mg_l(ammonia_mg_l_n: f64) -> f64 {
    ammonia_mg_l_n * 2.0 * O2_G_MOL / N_G_MOL
}
