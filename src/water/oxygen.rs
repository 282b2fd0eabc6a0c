//! How much oxygen fresh water takes up from air.

use super::air::water_vapour_pressure_hpa;
use super::constants::{STANDARD_ATMOSPHERE_HPA, ZERO_CELSIUS_K};

/// Dissolved oxygen of fresh water at rest under air, in mg/L.
///
/// - `temperature_c`: 0 to 40 °C
/// - `pressure_hpa`: 500 to 1100, where the tank stands
///   ([`pressure_at_altitude_hpa`](super::pressure_at_altitude_hpa))
///
/// Formula: C × P (1 − p/P) (1 − θP) / ((1 − p) (1 − θ)), P and vapour pressure p in atm,
/// θ = 0.000975 − 1.426·10⁻⁵ t + 6.436·10⁻⁸ t², and at 1 atm
/// ln C = −139.34411 + 1.575701·10⁵ / T − 6.642308·10⁷ / T² + 1.243800·10¹⁰ / T³
/// − 8.621949·10¹¹ / T⁴, T in kelvin (equation 32).
/// Error: 0.1 % in pure water; 1 g/L of salts lowers it by 0.6 %.
/// Monotone: falling in temperature, rising in pressure.
/// Source: `benson-krause-1984`.
///
/// ```
/// let oxygen = lentic::water::oxygen_saturation_mg_l(25.0, 1013.25);
/// assert!((oxygen - 8.26).abs() < 0.01);
/// ```
pub fn oxygen_saturation_mg_l(temperature_c: f64, pressure_hpa: f64) -> f64 {
    let pressure = pressure_hpa / STANDARD_ATMOSPHERE_HPA;
    let vapour = water_vapour_pressure_hpa(temperature_c) / STANDARD_ATMOSPHERE_HPA;
    let theta = 0.000975 + temperature_c * (-1.426e-5 + 6.436e-8 * temperature_c);
    let at_pressure = (pressure - vapour) * (1.0 - theta * pressure);
    saturation_at_one_atmosphere(temperature_c) * at_pressure / ((1.0 - vapour) * (1.0 - theta))
}

fn saturation_at_one_atmosphere(temperature_c: f64) -> f64 {
    let inverse = 1.0 / (temperature_c + ZERO_CELSIUS_K);
    let series =
        1.575701e5 + inverse * (-6.642308e7 + inverse * (1.243800e10 - 8.621949e11 * inverse));
    libm::exp(-139.34411 + inverse * series)
}

/// Dissolved oxygen as a share of what water takes up from air, in percent.
///
/// Above 100 where plants give off more than can escape.
///
/// - `oxygen_mg_l`: 0 or more
/// - `temperature_c`: 0 to 40 °C
/// - `pressure_hpa`: 500 to 1100, where the tank stands
///
/// Formula: 100 × oxygen / [`oxygen_saturation_mg_l`].
/// Error: that of the reading.
/// Monotone: rising in oxygen and temperature, falling in pressure.
/// Source: `benson-krause-1984`.
///
/// ```
/// let share = lentic::water::oxygen_saturation_percent(6.0, 25.0, 1013.25);
/// assert!((share - 72.6).abs() < 0.1);
/// ```
pub fn oxygen_saturation_percent(oxygen_mg_l: f64, temperature_c: f64, pressure_hpa: f64) -> f64 {
    100.0 * oxygen_mg_l / oxygen_saturation_mg_l(temperature_c, pressure_hpa)
}
