//! Published rate laws of nitrification, each on its own.
//!
//! The model grows its two populations by [`free_ammonia_growth`] and [`free_nitrous_acid_growth`];
//! the others stand here because their parameter sets are compared with it.

use super::super::constants::ZERO_CELSIUS_K;

/// Molar gas constant, in J/(mol K), as the temperature law was published with it.
pub const GAS_CONSTANT_J_MOL_K: f64 = 8.314;

/// Temperature that growth rates refer to, in °C.
pub const REFERENCE_TEMPERATURE_C: f64 = 20.0;

/// How a rate follows temperature, as a factor that is 1 at its reference temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warmth {
    /// exp(Eₐ (T − Tᵣ) / (R T Tᵣ)), T in kelvin. Source: Vannecke and Volcke 2015.
    Activation {
        /// Energy of activation, in kJ/mol.
        kj_mol: f64,
    },
    /// base^(t − tᵣ), the engineers' form; base 1 stands for a rate that temperature leaves alone.
    Base {
        /// Factor for each degree.
        per_degree: f64,
    },
}

impl Warmth {
    /// Factor on a rate at `temperature_c` that is known at `reference_c`.
    ///
    /// - `temperature_c`, `reference_c`: 5 to 35 °C
    ///
    /// Monotone: rising in temperature.
    ///
    /// ```
    /// use lentic::water::nitrification::Warmth;
    /// let factor = Warmth::Activation { kj_mol: 68.0 }.factor(15.0, 30.0);
    /// assert!((factor - 0.2455).abs() < 0.0001);
    /// ```
    pub fn factor(&self, temperature_c: f64, reference_c: f64) -> f64 {
        let difference = temperature_c - reference_c;
        match *self {
            Self::Activation { kj_mol } => {
                let kelvin = temperature_c + ZERO_CELSIUS_K;
                let reference = reference_c + ZERO_CELSIUS_K;
                let energy = 1000.0 * kj_mol;
                libm::exp(energy * difference / (GAS_CONSTANT_J_MOL_K * kelvin * reference))
            }
            Self::Base { per_degree } => libm::pow(per_degree, difference),
        }
    }
}

/// Equilibrium of ammonium in the form of Anthonisen: free share = 1 / (1 + this × {H⁺}).
///
/// - `temperature_c`: 0 to 40 °C
///
/// Formula: exp(6344 / T), T in kelvin.
/// Monotone: falling.
/// Source: Anthonisen et al. 1976, as used by Hiatt and Grady 2008.
pub fn ammonium_equilibrium(temperature_c: f64) -> f64 {
    libm::exp(6344.0 / (temperature_c + ZERO_CELSIUS_K))
}

/// Equilibrium of nitrous acid in the form of Anthonisen: free share = {H⁺} / ({H⁺} + this).
///
/// - `temperature_c`: 0 to 40 °C
///
/// Formula: exp(−2300 / T), T in kelvin.
/// Monotone: rising.
/// Source: Anthonisen et al. 1976, as used by Hiatt and Grady 2008.
pub fn nitrous_acid_equilibrium(temperature_c: f64) -> f64 {
    libm::exp(-2300.0 / (temperature_c + ZERO_CELSIUS_K))
}

/// Free ammonia, in mg/L as N, on the scale of the rate laws here.
///
/// - `ammonia_mg_l_n`: total ammonia, 0 or more
/// - `ph`: 5 to 9
/// - `temperature_c`: 0 to 40 °C
///
/// Formula: N / (1 + exp(6344 / T) 10^−pH).
/// Monotone: rising in all three.
/// Source: Hiatt and Grady 2008.
pub fn rate_free_ammonia_mg_l_n(ammonia_mg_l_n: f64, ph: f64, temperature_c: f64) -> f64 {
    ammonia_mg_l_n / (1.0 + ammonium_equilibrium(temperature_c) * libm::exp10(-ph))
}

/// Free nitrous acid, in mg/L as N, on the scale of the rate laws here.
///
/// - `nitrite_mg_l_n`: 0 or more
/// - `ph`: 5 to 9
/// - `temperature_c`: 0 to 40 °C
///
/// Formula: N / (1 + exp(−2300 / T) 10^pH).
/// Monotone: rising in nitrite, falling in pH and temperature.
/// Source: Hiatt and Grady 2008.
pub fn rate_free_nitrous_acid_mg_l_n(nitrite_mg_l_n: f64, ph: f64, temperature_c: f64) -> f64 {
    nitrite_mg_l_n / (1.0 + nitrous_acid_equilibrium(temperature_c) * libm::exp10(ph))
}

/// Growth of the ammonia oxidisers relative to its maximum, 0 to 1.
///
/// - `free_ammonia_mg_l_n`, `free_nitrous_acid_mg_l_n`, `oxygen_mg_l`: 0 or more
///
/// Formula: FA / (0.0075 + FA + FA²/1) × O₂ / (0.6 + O₂) × 0.1 / (0.1 + FNA).
/// Monotone: rising in oxygen, falling in nitrous acid; in free ammonia rising to √0.0075 mg/L.
/// Source: Hiatt and Grady 2008, process R9 with Table 2.
pub fn free_ammonia_growth(
    free_ammonia_mg_l_n: f64,
    free_nitrous_acid_mg_l_n: f64,
    oxygen_mg_l: f64,
) -> f64 {
    haldane(free_ammonia_mg_l_n, 0.0075, 1.0) * monod(oxygen_mg_l, 0.6) * 0.1
        / (0.1 + free_nitrous_acid_mg_l_n)
}

/// Growth of the nitrite oxidisers relative to its maximum, 0 to 1.
///
/// - `free_ammonia_mg_l_n`, `free_nitrous_acid_mg_l_n`, `oxygen_mg_l`: 0 or more
///
/// Formula: FNA / (0.0001 + FNA + FNA²/0.04) × O₂ / (1.2 + O₂) × 0.2 / (0.2 + FA).
/// Monotone: rising in oxygen, falling in free ammonia; in nitrous acid rising to 0.002 mg/L.
/// Source: Hiatt and Grady 2008, process R10 with Table 2.
pub fn free_nitrous_acid_growth(
    free_ammonia_mg_l_n: f64,
    free_nitrous_acid_mg_l_n: f64,
    oxygen_mg_l: f64,
) -> f64 {
    haldane(free_nitrous_acid_mg_l_n, 0.0001, 0.04) * monod(oxygen_mg_l, 1.2) * 0.2
        / (0.2 + free_ammonia_mg_l_n)
}

/// Fraction of the highest rate at a concentration, 0 to 1: c / (K + c).
pub fn monod(concentration: f64, half_saturation: f64) -> f64 {
    concentration / (half_saturation + concentration)
}

/// Fraction of the highest rate where much of the food inhibits: c / (K + c + c²/Kᵢ).
pub fn haldane(concentration: f64, half_saturation: f64, inhibition: f64) -> f64 {
    concentration / (half_saturation + concentration + concentration * concentration / inhibition)
}

/// Highest growth rate of nitrifiers, per day.
///
/// - `temperature_c`: 5 to 30 °C
///
/// Formula: 0.47 exp(0.098 (t − 15)).
/// Monotone: rising.
/// Source: US EPA nitrogen control manuals 1975 and 1993.
pub fn epa_growth_per_day(temperature_c: f64) -> f64 {
    0.47 * libm::exp(0.098 * (temperature_c - 15.0))
}

/// Half-saturation of nitrifiers in total ammonia, in mg/L as N.
///
/// - `temperature_c`: 5 to 30 °C
///
/// Formula: 10^(0.051 t − 1.158).
/// Monotone: rising.
/// Source: US EPA nitrogen control manuals 1975 and 1993.
pub fn epa_half_saturation_mg_l_n(temperature_c: f64) -> f64 {
    libm::exp10(0.051 * temperature_c - 1.158)
}

/// Factor of pH on nitrification, 0 to 1, by the straight line of the EPA.
///
/// - `ph`: 6 to 8; it falls to zero at pH 6, which acid tanks belie
///
/// Formula: 1 − 0.833 (7.2 − pH), kept within 0 and 1.
/// Monotone: rising.
/// Source: US EPA nitrogen control manuals 1975 and 1993.
pub fn epa_ph_factor(ph: f64) -> f64 {
    (1.0 - 0.833 * (7.2 - ph)).clamp(0.0, 1.0)
}

/// Factor of pH on nitrification, 1 at pH 7.2.
///
/// - `ph`: 5 to 8.5
///
/// Formula: 2.35^(pH − 7.2) × 1.13 × (9.5 − pH) / (9.8 − pH).
/// Monotone: rising below pH 8.
/// Source: Ekama in Henze et al., Biological Wastewater Treatment (IWA).
pub fn ekama_ph_factor(ph: f64) -> f64 {
    libm::pow(2.35, ph - 7.2) * 1.13 * (9.5 - ph) / (9.8 - ph)
}

/// Growth rate of nitrifiers by the product form of the EPA, per day.
///
/// - `temperature_c`: 5 to 30 °C
/// - `ammonia_mg_l_n`, `oxygen_mg_l`: 0 or more
/// - `ph`: 6 to 8
///
/// Formula: highest rate × N / (K_N + N) × O₂ / (1.3 + O₂) × factor of pH.
/// Monotone: rising in ammonia, oxygen and pH.
/// Source: US EPA nitrogen control manuals 1975 and 1993; 1.3 from memory.
pub fn epa_product_growth_per_day(
    temperature_c: f64,
    ammonia_mg_l_n: f64,
    oxygen_mg_l: f64,
    ph: f64,
) -> f64 {
    epa_growth_per_day(temperature_c)
        * monod(ammonia_mg_l_n, epa_half_saturation_mg_l_n(temperature_c))
        * monod(oxygen_mg_l, 1.3)
        * epa_ph_factor(ph)
}
