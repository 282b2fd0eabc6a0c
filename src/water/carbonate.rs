//! Equilibrium constants of the carbonate system, and the activity of ions in thin salt water.

use super::constants::ZERO_CELSIUS_K;

/// Negative logarithm of the first acid constant of carbonic acid (CO₂ and H₂CO₃ together).
///
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: log K₁ = −356.3094 − 0.06091964 T + 21834.37 / T + 126.8339 log T − 1684915 / T²,
/// T in kelvin.
/// Error: within 0.002 of measurements by others between 0 and 50 °C.
/// Monotone: falling.
/// Source: `plummer-1982`.
///
/// ```
/// assert!((lentic::water::carbonic_acid_pk1(25.0) - 6.352).abs() < 0.001);
/// ```
pub fn carbonic_acid_pk1(temperature_c: f64) -> f64 {
    negative_log_k(
        temperature_c,
        [-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0],
    )
}

/// Negative logarithm of the second acid constant of carbonic acid (bicarbonate to carbonate).
///
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: log K₂ = −107.8871 − 0.03252849 T + 5151.79 / T + 38.92561 log T − 563713.9 / T²,
/// T in kelvin.
/// Error: within 0.004 of measurements by others between 0 and 50 °C.
/// Monotone: falling.
/// Source: `plummer-1982`.
///
/// ```
/// assert!((lentic::water::carbonic_acid_pk2(25.0) - 10.329).abs() < 0.001);
/// ```
pub fn carbonic_acid_pk2(temperature_c: f64) -> f64 {
    negative_log_k(
        temperature_c,
        [-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9],
    )
}

/// Negative logarithm of Henry's constant of CO₂, in mol/(kg atm).
///
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: log K_H = 108.3865 + 0.01985076 T − 6919.53 / T − 40.45154 log T + 669365 / T²,
/// T in kelvin.
/// Error: 1 % in solubility against two other fits between 0 and 35 °C.
/// Monotone: rising.
/// Source: `plummer-1982`.
///
/// ```
/// assert!((lentic::water::carbon_dioxide_henry_pk(25.0) - 1.468).abs() < 0.001);
/// ```
pub fn carbon_dioxide_henry_pk(temperature_c: f64) -> f64 {
    negative_log_k(
        temperature_c,
        [108.3865, 0.01985076, -6919.53, -40.45154, 669365.0],
    )
}

fn negative_log_k(temperature_c: f64, [a, b, c, d, e]: [f64; 5]) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    -(a + b * kelvin + c / kelvin + d * libm::log10(kelvin) + e / (kelvin * kelvin))
}

/// Activity coefficient of an ion in water, 1 in pure water.
///
/// - `charge`: 1 or 2, without its sign
/// - `ionic_strength_mol_l`: 0 to 0.1
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: log γ = −A z² (√I / (1 + √I) − 0.3 I), with A = 1.82483·10⁶ √d / (ε T)^1.5, density
/// d = 0.997 g/mL and ε = 2727.586 + 0.6224107 T − 466.9151 ln T − 52000.87 / T.
/// Error: about 1 % up to an ionic strength of 0.01 and 3 % at 0.1 mol/L, from memory.
/// Monotone: falling in all three.
/// Source: `davies-1962`, A from `plummer-1982`.
///
/// ```
/// let activity = lentic::water::ion_activity_coefficient(1.0, 0.002, 25.0);
/// assert!((activity - 0.952).abs() < 0.001);
/// ```
pub fn ion_activity_coefficient(charge: f64, ionic_strength_mol_l: f64, temperature_c: f64) -> f64 {
    let root = libm::sqrt(ionic_strength_mol_l);
    let distance = root / (1.0 + root) - 0.3 * ionic_strength_mol_l;
    libm::exp10(-debye_huckel_a(temperature_c) * charge * charge * distance)
}

fn debye_huckel_a(temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    let permittivity =
        2727.586 + 0.6224107 * kelvin - 466.9151 * libm::log(kelvin) - 52000.87 / kelvin;
    1.82483e6 * libm::sqrt(0.997) / libm::pow(permittivity * kelvin, 1.5)
}
