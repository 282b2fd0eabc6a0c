//! The air above the tank: its pressure and its moisture.

use super::constants::{STANDARD_ATMOSPHERE_HPA, ZERO_CELSIUS_K};

/// Mean air pressure at an altitude, in hPa.
///
/// - `altitude_m`: −400 to 5000 m above sea level
///
/// Formula: 1013.25 × (1 − 2.25577·10⁻⁵ h)^5.25588.
/// Error: weather moves the true pressure by up to 4 % about this mean.
/// Monotone: falling.
/// Source: `icao-standard-atmosphere`.
///
/// ```
/// assert!((lentic::water::pressure_at_altitude_hpa(1000.0) - 898.75).abs() < 0.1);
/// ```
pub fn pressure_at_altitude_hpa(altitude_m: f64) -> f64 {
    STANDARD_ATMOSPHERE_HPA * libm::pow(1.0 - 2.25577e-5 * altitude_m, 5.25588)
}

/// Pressure of water vapour in air that is saturated with it, in hPa.
///
/// - `temperature_c`: 0 to 40 °C
///
/// Formula: ln p = 11.8571 − 3840.70 / T − 216961 / T², p in atm and T in kelvin.
/// Error: 0.1 %.
/// Monotone: rising.
/// Source: `benson-krause-1984`.
///
/// ```
/// assert!((lentic::water::water_vapour_pressure_hpa(25.0) - 31.67).abs() < 0.05);
/// ```
pub fn water_vapour_pressure_hpa(temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    let log_atm = 11.8571 - 3840.70 / kelvin - 216_961.0 / (kelvin * kelvin);
    STANDARD_ATMOSPHERE_HPA * libm::exp(log_atm)
}
