//! Taking chlorine out of tap water with thiosulfate, and the ammonia that chloramine leaves.
//!
//! Chlorine counts as total chlorine in mg/L of Cl₂, the way tests read it, chloramine included.

use super::constants::{CL2_G_MOL, N_G_MOL, NA2S2O3_5H2O_G_MOL, NA2S2O3_G_MOL};

/// How far thiosulfate reacts, which sets how much of it one part of chlorine takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ThiosulfateReaction {
    /// To sulfate, four Cl₂ by one thiosulfate: chlorine in excess.
    ToSulfate,
    /// To sulfur and sulfate, one Cl₂ by one: near neutral pH.
    ToSulfur,
    /// To tetrathionate, one Cl₂ by two: the largest need, so the careful dose.
    ToTetrathionate,
}

impl ThiosulfateReaction {
    fn thiosulfate_per_chlorine(self) -> f64 {
        match self {
            ThiosulfateReaction::ToSulfate => 0.25,
            ThiosulfateReaction::ToSulfur => 1.0,
            ThiosulfateReaction::ToTetrathionate => 2.0,
        }
    }
}

/// Mass of anhydrous sodium thiosulfate that neutralises chlorine, in grams.
///
/// - `chlorine_mg_l_cl2`: 0 or more, total chlorine
/// - `volume_l`: 0 or more, of the water to treat
///
/// Formula: chlorine × volume × moles × M(Na₂S₂O₃) / M(Cl₂) / 1000, with 0.25, 1 or 2 moles.
/// Error: 0.01 % from molar masses; which reaction wins depends on pH and excess, by a factor of 8.
/// Monotone: rising in both.
/// Source: `iupac-2021`, `standard-methods-4500-cl`.
///
/// ```
/// use lentic::water::{thiosulfate_g, ThiosulfateReaction::ToTetrathionate};
/// assert!((thiosulfate_g(1.0, 100.0, ToTetrathionate) - 0.446).abs() < 0.001);
/// ```
pub fn thiosulfate_g(chlorine_mg_l_cl2: f64, volume_l: f64, reaction: ThiosulfateReaction) -> f64 {
    let mass_ratio = reaction.thiosulfate_per_chlorine() * NA2S2O3_G_MOL / CL2_G_MOL;
    chlorine_mg_l_cl2 * volume_l * mass_ratio / 1000.0
}

/// Mass of sodium thiosulfate crystals (Na₂S₂O₃·5H₂O) that neutralises chlorine, in grams.
///
/// - `chlorine_mg_l_cl2`: 0 or more, total chlorine
/// - `volume_l`: 0 or more, of the water to treat
///
/// Formula: [`thiosulfate_g`] × M(Na₂S₂O₃·5H₂O) / M(Na₂S₂O₃).
/// Error: 0.01 % from molar masses; which reaction wins depends on pH and excess, by a factor of 8.
/// Monotone: rising in both.
/// Source: `iupac-2021`, `standard-methods-4500-cl`.
///
/// ```
/// use lentic::water::{thiosulfate_crystals_g, ThiosulfateReaction::ToTetrathionate};
/// assert!((thiosulfate_crystals_g(1.0, 100.0, ToTetrathionate) - 0.700).abs() < 0.001);
/// ```
pub fn thiosulfate_crystals_g(
    chlorine_mg_l_cl2: f64,
    volume_l: f64,
    reaction: ThiosulfateReaction,
) -> f64 {
    thiosulfate_g(chlorine_mg_l_cl2, volume_l, reaction) * NA2S2O3_5H2O_G_MOL / NA2S2O3_G_MOL
}

/// Total ammonia that is left when the chlorine of monochloramine is neutralised, in mg/L as
/// nitrogen.
///
/// - `chloramine_mg_l_cl2`: 0 or more, as Cl₂
///
/// Formula: chloramine × M(N) / M(Cl₂).
/// Error: 0.01 % from molar masses; free ammonia that a waterworks adds in excess comes on top.
/// Monotone: rising.
/// Source: `iupac-2021`.
///
/// ```
/// let ammonia = lentic::water::ammonia_from_chloramine_mg_l_n(3.0);
/// assert!((ammonia - 0.593).abs() < 0.001);
/// ```
pub fn ammonia_from_chloramine_mg_l_n(chloramine_mg_l_cl2: f64) -> f64 {
    chloramine_mg_l_cl2 * N_G_MOL / CL2_G_MOL
}
