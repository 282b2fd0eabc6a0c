//! What general hardness is made of, and how much of it carbonate covers.

use super::constants::{CA_G_MOL, CACO3_G_MOL, CAO_G_MOL, MG_G_MOL};

/// One German degree (°dH) in mg/L as CaCO₃: by definition 10 mg/L of CaO.
pub const DEGREE_DH_MG_L_CACO3: f64 = 10.0 * CACO3_G_MOL / CAO_G_MOL;

/// General hardness from calcium and magnesium, in mg/L as CaCO₃.
///
/// - `calcium_mg_l`, `magnesium_mg_l`: 0 or more, of the ions
///
/// Formula: (Ca / M(Ca) + Mg / M(Mg)) × M(CaCO₃).
/// Error: 0.01 % from molar masses; strontium and barium are left out.
/// Monotone: rising in both.
/// Source: `iupac-2021`.
///
/// ```
/// let hardness = lentic::water::general_hardness_mg_l_caco3(30.0, 6.0);
/// assert!((hardness - 99.63).abs() < 0.01);
/// ```
pub fn general_hardness_mg_l_caco3(calcium_mg_l: f64, magnesium_mg_l: f64) -> f64 {
    (calcium_mg_l / CA_G_MOL + magnesium_mg_l / MG_G_MOL) * CACO3_G_MOL
}

/// Magnesium that is left of general hardness beside calcium, in mg/L; never below 0.
///
/// - `general_hardness_mg_l_caco3`: 0 or more
/// - `calcium_mg_l`: 0 or more, of the ion
///
/// Formula: max(0, hardness / M(CaCO₃) − Ca / M(Ca)) × M(Mg).
/// Error: that of two tests subtracted, so often as large as the answer.
/// Monotone: rising in hardness, falling in calcium.
/// Source: `iupac-2021`.
///
/// ```
/// let magnesium = lentic::water::magnesium_from_hardness_mg_l(99.63, 30.0);
/// assert!((magnesium - 6.0).abs() < 0.01);
/// ```
pub fn magnesium_from_hardness_mg_l(general_hardness_mg_l_caco3: f64, calcium_mg_l: f64) -> f64 {
    let mmol_l = general_hardness_mg_l_caco3 / CACO3_G_MOL - calcium_mg_l / CA_G_MOL;
    f64::max(mmol_l, 0.0) * MG_G_MOL
}

/// Alkalinity beyond what calcium and magnesium carry, in mg/L as CaCO₃; never below 0.
///
/// Above 0 the water holds sodium or potassium bicarbonate, as after a softener.
///
/// - `alkalinity_mg_l_caco3`: 0 or more
/// - `general_hardness_mg_l_caco3`: 0 or more
///
/// Formula: max(0, alkalinity − general hardness).
/// Error: that of two tests subtracted.
/// Monotone: rising in alkalinity, falling in hardness.
/// Source: charge balance.
///
/// ```
/// assert_eq!(lentic::water::alkalinity_beyond_hardness_mg_l_caco3(120.0, 70.0), 50.0);
/// ```
pub fn alkalinity_beyond_hardness_mg_l_caco3(
    alkalinity_mg_l_caco3: f64,
    general_hardness_mg_l_caco3: f64,
) -> f64 {
    f64::max(alkalinity_mg_l_caco3 - general_hardness_mg_l_caco3, 0.0)
}
