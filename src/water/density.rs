//! How heavy water is.

/// Density of pure, air-free water at one atmosphere, in kg/m³.
///
/// - `temperature_c`: 0 to 100 °C
///
/// Formula: (999.83952 + 16.945176 t − 7.9870401·10⁻³ t² − 46.170461·10⁻⁶ t³ +
/// 105.56302·10⁻⁹ t⁴ − 280.54253·10⁻¹² t⁵) / (1 + 16.879850·10⁻³ t) (equation 16).
/// Error: 0.003 kg/m³ below today's tables, whose temperature scale is newer; 1 g/L of salts adds
/// 0.8 kg/m³.
/// Monotone: rising to 4 °C, then falling.
/// Source: `kell-1975`.
///
/// ```
/// assert!((lentic::water::water_density_kg_m3(25.0) - 997.045).abs() < 0.001);
/// ```
pub fn water_density_kg_m3(temperature_c: f64) -> f64 {
    const COEFFICIENTS: [f64; 6] = [
        999.83952,
        16.945176,
        -7.9870401e-3,
        -46.170461e-6,
        105.56302e-9,
        -280.54253e-12,
    ];
    let numerator = COEFFICIENTS
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * temperature_c + coefficient);
    numerator / (1.0 + 16.879850e-3 * temperature_c)
}
