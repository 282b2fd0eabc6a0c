//! Dissolved CO₂ from pH and alkalinity, from a drop of pH, and from the air above.
//!
//! All ways through pH take the whole alkalinity as carbonate. Phosphate, borate or humic acids in
//! the water break that, and the answer is then too high, by nobody knows how much.

use super::air::water_vapour_pressure_hpa;
use super::carbonate::{
    carbon_dioxide_henry_pk, carbonic_acid_pk1, carbonic_acid_pk2, ion_activity_coefficient,
};
use super::constants::{CACO3_G_MOL, CO2_G_MOL, STANDARD_ATMOSPHERE_HPA};
use super::hardness::DEGREE_DH_MG_L_CACO3;

const MG_PER_G: f64 = 1000.0;

/// Dissolved CO₂ from pH and alkalinity, in mg/L.
///
/// - `ph`: 5.5 to 9
/// - `alkalinity_mg_l_caco3`: 15 to 300 (carbonate hardness 1 to 17 °dH)
/// - `temperature_c`: 5 to 35 °C
///
/// Formula: {H}{HCO₃} / K₁, with HCO₃ = alkalinity / (1 + 2 K₂ γ₁ / ({H} γ₂)), γ after Davies at
/// the ionic strength of calcium bicarbonate, 1.5 × alkalinity.
/// Error: up to 3.1 % above and 1 % below full speciation at 20 to 28 °C and 1 to 12 °dH; a pH
/// reading 0.1 off shifts it by a quarter.
/// Monotone: falling in pH, rising in alkalinity, falling in temperature.
/// Source: `plummer-1982`, `davies-1962`.
///
/// ```
/// let co2 = lentic::water::carbon_dioxide_mg_l(6.8, 71.4, 25.0);
/// assert!((co2 - 21.2).abs() < 0.1);
/// ```
pub fn carbon_dioxide_mg_l(ph: f64, alkalinity_mg_l_caco3: f64, temperature_c: f64) -> f64 {
    let alkalinity = equivalents_l(alkalinity_mg_l_caco3);
    let (gamma_1, gamma_2) = activity_coefficients(alkalinity, temperature_c);
    let hydrogen = libm::exp10(-ph);
    let k2 = libm::exp10(-carbonic_acid_pk2(temperature_c));
    let bicarbonate = alkalinity / (1.0 + 2.0 * k2 * gamma_1 / (hydrogen * gamma_2));
    bicarbonate
        * gamma_1
        * libm::exp10(carbonic_acid_pk1(temperature_c) - ph)
        * CO2_G_MOL
        * MG_PER_G
}

/// Dissolved CO₂ from pH and alkalinity as if ions did not feel each other, in mg/L.
///
/// - `ph`: 5.5 to 8
/// - `alkalinity_mg_l_caco3`: 0 or more
/// - `temperature_c`: 0 to 50 °C
///
/// Formula: alkalinity × 10^(pK₁ − pH) × M(CO₂), alkalinity in mol/L.
/// Error: 3 to 13 % above full speciation at 20 to 28 °C and 1 to 12 °dH.
/// Monotone: falling in pH, rising in alkalinity, falling in temperature.
/// Source: `plummer-1982` for pK₁.
///
/// ```
/// let co2 = lentic::water::carbon_dioxide_ideal_mg_l(6.8, 71.4, 25.0);
/// assert!((co2 - 22.4).abs() < 0.1);
/// ```
pub fn carbon_dioxide_ideal_mg_l(ph: f64, alkalinity_mg_l_caco3: f64, temperature_c: f64) -> f64 {
    let ratio = libm::exp10(carbonic_acid_pk1(temperature_c) - ph);
    equivalents_l(alkalinity_mg_l_caco3) * ratio * CO2_G_MOL * MG_PER_G
}

/// Dissolved CO₂ by the trade's short form, 3 × KH × 10^(7 − pH), in mg/L.
///
/// What printed charts hold; for comparing with them. [`carbon_dioxide_mg_l`] is nearer the truth.
///
/// - `ph`: 6 to 7.6
/// - `alkalinity_mg_l_caco3`: 0 or more
///
/// Formula: 3 × degrees × 10^(7 − pH), degrees = alkalinity / 17.848.
/// Error: 1 to 19 % below full speciation at 20 to 28 °C and 1 to 12 °dH: the more, the cooler and
/// the softer the water.
/// Monotone: falling in pH, rising in alkalinity.
/// Source: `trade`.
///
/// ```
/// let co2 = lentic::water::carbon_dioxide_short_form_mg_l(6.8, 71.4);
/// assert!((co2 - 19.0).abs() < 0.1);
/// ```
pub fn carbon_dioxide_short_form_mg_l(ph: f64, alkalinity_mg_l_caco3: f64) -> f64 {
    3.0 * alkalinity_mg_l_caco3 / DEGREE_DH_MG_L_CACO3 * libm::exp10(7.0 - ph)
}

/// pH at which water of an alkalinity holds a given amount of CO₂.
///
/// The reverse of [`carbon_dioxide_mg_l`].
///
/// - `carbon_dioxide_mg_l`: 0.1 to 200
/// - `alkalinity_mg_l_caco3`: 15 to 300
/// - `temperature_c`: 5 to 35 °C
///
/// Formula: the positive root {H} of
/// alkalinity {H}² − (CO₂ K₁ / γ₁) {H} − 2 CO₂ K₁ K₂ / γ₂ = 0.
/// Error: that of [`carbon_dioxide_mg_l`], 0.02 between pH 6 and 7.6.
/// Monotone: falling in CO₂, rising in alkalinity, falling in temperature.
/// Source: `plummer-1982`, `davies-1962`.
///
/// ```
/// let ph = lentic::water::ph_from_carbon_dioxide(30.0, 71.4, 25.0);
/// assert!((ph - 6.65).abs() < 0.01);
/// ```
pub fn ph_from_carbon_dioxide(
    carbon_dioxide_mg_l: f64,
    alkalinity_mg_l_caco3: f64,
    temperature_c: f64,
) -> f64 {
    let alkalinity = equivalents_l(alkalinity_mg_l_caco3);
    let (gamma_1, gamma_2) = activity_coefficients(alkalinity, temperature_c);
    let k2 = libm::exp10(-carbonic_acid_pk2(temperature_c));
    let acid =
        carbon_dioxide_mg_l / MG_PER_G / CO2_G_MOL * libm::exp10(-carbonic_acid_pk1(temperature_c));
    let (linear, constant) = (acid / gamma_1, 2.0 * acid * k2 / gamma_2);
    let root = libm::sqrt(linear * linear + 4.0 * alkalinity * constant);
    -libm::log10((linear + root) / (2.0 * alkalinity))
}

/// Dissolved CO₂ after the pH has dropped from that of a degassed sample, in mg/L.
///
/// - `degassed_mg_l`: above 0, what the sample holds at rest in air
///   ([`carbon_dioxide_at_air_equilibrium_mg_l`])
/// - `ph_drop`: 0 to 3
///
/// Formula: degassed × 10^drop.
/// Error: low by 4 % at 4 °dH and 8 % at 8 °dH, as carbonate turns to bicarbonate; above all that
/// of `degassed_mg_l`, which room air can double.
/// Monotone: rising in both.
/// Source: mass action at constant alkalinity.
///
/// ```
/// assert!((lentic::water::carbon_dioxide_after_ph_drop_mg_l(0.61, 1.0) - 6.1).abs() < 0.001);
/// ```
pub fn carbon_dioxide_after_ph_drop_mg_l(degassed_mg_l: f64, ph_drop: f64) -> f64 {
    degassed_mg_l * libm::exp10(ph_drop)
}

/// Drop of pH below a degassed sample at which water holds a given amount of CO₂.
///
/// The reverse of [`carbon_dioxide_after_ph_drop_mg_l`].
///
/// - `degassed_mg_l`: above 0
/// - `target_mg_l`: above 0
///
/// Formula: log₁₀(target / degassed).
/// Error: 0.02 too large at 4 °dH, 0.04 at 8 °dH.
/// Monotone: falling in `degassed_mg_l`, rising in `target_mg_l`.
/// Source: mass action at constant alkalinity.
///
/// ```
/// assert!((lentic::water::ph_drop_to_reach(0.61, 30.0) - 1.692).abs() < 0.001);
/// ```
pub fn ph_drop_to_reach(degassed_mg_l: f64, target_mg_l: f64) -> f64 {
    libm::log10(target_mg_l / degassed_mg_l)
}

/// Dissolved CO₂ of water at rest under air, in mg/L.
///
/// - `air_co2_ppm`: 0 to 10000, of dry air
/// - `temperature_c`: 0 to 35 °C
/// - `pressure_hpa`: 500 to 1100, where the tank stands
///
/// Formula: K_H × ppm × 10⁻⁶ × (pressure − vapour pressure) × M(CO₂).
/// Error: 1 % against two other fits of Henry's constant.
/// Monotone: rising in ppm and pressure, falling in temperature.
/// Source: `plummer-1982`.
///
/// ```
/// let co2 = lentic::water::carbon_dioxide_at_air_equilibrium_mg_l(420.0, 25.0, 1013.25);
/// assert!((co2 - 0.61).abs() < 0.01);
/// ```
pub fn carbon_dioxide_at_air_equilibrium_mg_l(
    air_co2_ppm: f64,
    temperature_c: f64,
    pressure_hpa: f64,
) -> f64 {
    let dry_air_hpa = pressure_hpa - water_vapour_pressure_hpa(temperature_c);
    let partial_pressure_atm = air_co2_ppm * 1e-6 * dry_air_hpa / STANDARD_ATMOSPHERE_HPA;
    let henry = libm::exp10(-carbon_dioxide_henry_pk(temperature_c));
    henry * partial_pressure_atm * CO2_G_MOL * MG_PER_G
}

/// pH of water at rest under air.
///
/// - `alkalinity_mg_l_caco3`: 15 to 150, all of it carbonate
/// - `air_co2_ppm`: 100 to 10000, of dry air
/// - `temperature_c`: 5 to 35 °C
/// - `pressure_hpa`: 500 to 1100, where the tank stands
///
/// Formula: [`ph_from_carbon_dioxide`] of [`carbon_dioxide_at_air_equilibrium_mg_l`].
/// Error: above full speciation by 0.01 at 4 °dH, 0.03 at 8 °dH and 0.05 at 12 °dH, where calcium
/// holds part of the carbonate.
/// Monotone: rising in alkalinity and temperature, falling in ppm and pressure.
/// Source: `plummer-1982`, `davies-1962`.
///
/// ```
/// let ph = lentic::water::ph_at_air_equilibrium(71.4, 420.0, 25.0, 1013.25);
/// assert!((ph - 8.32).abs() < 0.02);
/// ```
pub fn ph_at_air_equilibrium(
    alkalinity_mg_l_caco3: f64,
    air_co2_ppm: f64,
    temperature_c: f64,
    pressure_hpa: f64,
) -> f64 {
    ph_from_carbon_dioxide(
        carbon_dioxide_at_air_equilibrium_mg_l(air_co2_ppm, temperature_c, pressure_hpa),
        alkalinity_mg_l_caco3,
        temperature_c,
    )
}

fn equivalents_l(alkalinity_mg_l_caco3: f64) -> f64 {
    2.0 * alkalinity_mg_l_caco3 / CACO3_G_MOL / MG_PER_G
}

/// Of ions with one and with two charges, in water that holds calcium bicarbonate alone.
fn activity_coefficients(alkalinity_eq_l: f64, temperature_c: f64) -> (f64, f64) {
    let ionic_strength = 1.5 * alkalinity_eq_l;
    (
        ion_activity_coefficient(1.0, ionic_strength, temperature_c),
        ion_activity_coefficient(2.0, ionic_strength, temperature_c),
    )
}
