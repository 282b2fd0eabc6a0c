//! How much salt or solution raises total ammonia, and by how much a dose raises it.
//!
//! Ammonia solution burns eyes and lungs and must never meet bleach; what to warn of stands in the
//! rule book.

use super::constants::{N_G_MOL, NH3_G_MOL, NH4CL_G_MOL};

const MG_PER_G: f64 = 1000.0;

/// Mass of pure ammonium chloride that raises total ammonia, in grams.
///
/// - `rise_mg_l_n`: 0 or more, as nitrogen
/// - `volume_l`: 0 or more, net
///
/// Formula: rise × volume × M(NH₄Cl) / M(N) / 1000.
/// Error: 0.01 % from molar masses; damp or impure salt falls short.
/// Monotone: rising in both.
/// Source: `iupac-2021`.
///
/// ```
/// let salt = lentic::water::ammonium_chloride_g(2.0, 50.0);
/// assert!((salt - 0.3819).abs() < 0.0001);
/// ```
pub fn ammonium_chloride_g(rise_mg_l_n: f64, volume_l: f64) -> f64 {
    rise_mg_l_n * volume_l * NH4CL_G_MOL / N_G_MOL / MG_PER_G
}

/// Rise of total ammonia from a dose of pure ammonium chloride, in mg/L as nitrogen.
///
/// - `dose_g`: 0 or more
/// - `volume_l`: above 0, net
///
/// Formula: dose × 1000 × M(N) / M(NH₄Cl) / volume.
/// Error: 0.01 % from molar masses; damp or impure salt falls short.
/// Monotone: rising in the dose, falling in the volume.
/// Source: `iupac-2021`.
///
/// ```
/// let rise = lentic::water::ammonium_chloride_rise_mg_l_n(1.0, 100.0);
/// assert!((rise - 2.6187).abs() < 0.0001);
/// ```
pub fn ammonium_chloride_rise_mg_l_n(dose_g: f64, volume_l: f64) -> f64 {
    dose_g * MG_PER_G * N_G_MOL / NH4CL_G_MOL / volume_l
}

/// Density of ammonia solution at 20 °C, in g/mL.
///
/// - `nh3_weight_percent`: 0 to 35, grams of NH₃ in 100 g of solution
///
/// Formula: 0.9982 − 0.0043 w + 0.000026 w², fitted to the handbook's column for 20 °C.
/// Error: within 0.0004 of that column; within 0.0033 of pharmacopoeia and trade tables, some of
/// them at 15.6 °C.
/// Monotone: falling.
/// Source: `perry-1997` (table 2-32).
///
/// ```
/// assert!((lentic::water::ammonia_solution_density_g_ml(25.0) - 0.907).abs() < 0.001);
/// ```
pub fn ammonia_solution_density_g_ml(nh3_weight_percent: f64) -> f64 {
    0.9982 + nh3_weight_percent * (0.000026 * nh3_weight_percent - 0.0043)
}

/// Volume of ammonia solution that raises total ammonia, in millilitres.
///
/// - `rise_mg_l_n`: 0 or more, as nitrogen
/// - `volume_l`: 0 or more, net
/// - `nh3_weight_percent`: above 0, to 35
/// - `density_g_ml`: above 0, from the label or [`ammonia_solution_density_g_ml`]
///
/// Formula: rise × volume / ([`ammonia_solution_rise_mg_l_n`] of 1 mL in 1 L).
/// Error: that of strength and density; an opened bottle loses strength.
/// Monotone: rising in rise and volume, falling in strength and density.
/// Source: `iupac-2021`.
///
/// ```
/// let dose = lentic::water::ammonia_solution_ml(2.0, 100.0, 9.5, 0.959);
/// assert!((dose - 2.669).abs() < 0.001);
/// ```
pub fn ammonia_solution_ml(
    rise_mg_l_n: f64,
    volume_l: f64,
    nh3_weight_percent: f64,
    density_g_ml: f64,
) -> f64 {
    rise_mg_l_n * volume_l
        / ammonia_solution_rise_mg_l_n(1.0, 1.0, nh3_weight_percent, density_g_ml)
}

/// Rise of total ammonia from a dose of ammonia solution, in mg/L as nitrogen.
///
/// - `dose_ml`: 0 or more
/// - `volume_l`: above 0, net
/// - `nh3_weight_percent`: 0 to 35
/// - `density_g_ml`: above 0, from the label or [`ammonia_solution_density_g_ml`]
///
/// Formula: dose × density × w / 100 × 1000 × M(N) / M(NH₃) / volume.
/// Error: that of strength and density; an opened bottle loses strength.
/// Monotone: rising in dose, strength and density, falling in the volume.
/// Source: `iupac-2021`.
///
/// ```
/// let rise = lentic::water::ammonia_solution_rise_mg_l_n(2.0, 60.0, 5.0, 0.977);
/// assert!((rise - 1.3392).abs() < 0.0001);
/// ```
pub fn ammonia_solution_rise_mg_l_n(
    dose_ml: f64,
    volume_l: f64,
    nh3_weight_percent: f64,
    density_g_ml: f64,
) -> f64 {
    let ammonia_g = dose_ml * density_g_ml * nh3_weight_percent / 100.0;
    ammonia_g * MG_PER_G * N_G_MOL / NH3_G_MOL / volume_l
}
