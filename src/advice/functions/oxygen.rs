//! Oxygen in balance with air.

use crate::engine::{Function, figure};
use crate::water::{self, constants::STANDARD_ATMOSPHERE_HPA};

use super::{Falling, Rising, altitude, amount, temperature};

const GROUP: &str = "Oxygen and air";

const RANGE: (f64, f64) = (0.0, 40.0);

pub(super) const SATURATION: Function = Function {
    name: "oxygen-saturation",
    label: "oxygen in balance with air at sea level",
    group: GROUP,
    arguments: &[temperature(Falling, RANGE)],
    unit: "mg/L O2",
    compute: |x| water::oxygen_saturation_mg_l(x[0], STANDARD_ATMOSPHERE_HPA),
    formula: "Benson and Krause's equation for fresh water, at sea level",
    working: |x, y| vec![format!("at {} °C: {} mg/L O2", figure(x[0]), figure(y))],
    source: "benson-krause-1984",
    ..Function::PLAIN
};

fn at_altitude(temperature: f64, altitude: f64) -> f64 {
    water::oxygen_saturation_mg_l(temperature, water::pressure_at_altitude_hpa(altitude))
}

/// The lines that lead to the oxygen of water at rest.
fn lines(temperature: f64, altitude: f64) -> Vec<String> {
    vec![
        format!(
            "mean air pressure at {} m: {} hPa",
            figure(altitude),
            figure(water::pressure_at_altitude_hpa(altitude))
        ),
        format!(
            "at sea level and {} °C: {} mg/L O2",
            figure(temperature),
            figure(water::oxygen_saturation_mg_l(
                temperature,
                STANDARD_ATMOSPHERE_HPA
            ))
        ),
        format!(
            "at that pressure, less {} hPa of water vapour: {} mg/L O2",
            figure(water::water_vapour_pressure_hpa(temperature)),
            figure(at_altitude(temperature, altitude))
        ),
    ]
}

pub(super) const AT_ALTITUDE: Function = Function {
    name: "oxygen-at-altitude",
    label: "oxygen in balance with air at an altitude",
    group: GROUP,
    arguments: &[temperature(Falling, RANGE), altitude(Falling)],
    unit: "mg/L O2",
    compute: |x| at_altitude(x[0], x[1]),
    formula: "C × P (1 − p ÷ P) (1 − θP) ÷ ((1 − p) (1 − θ)): C at sea level, pressure P, water vapour p, small term θ",
    working: |x, _| lines(x[0], x[1]),
    source: "benson-krause-1984",
    ..Function::PLAIN
};

pub(super) const SHARE: Function = Function {
    name: "oxygen-share",
    label: "oxygen as a share of what air gives",
    group: GROUP,
    arguments: &[
        amount("oxygen", "mg/L O2", Rising, (0.0, 20.0)),
        temperature(Rising, RANGE),
        altitude(Rising),
    ],
    unit: "%",
    compute: |x| {
        water::oxygen_saturation_percent(x[0], x[1], water::pressure_at_altitude_hpa(x[2]))
    },
    formula: "100 × oxygen ÷ oxygen in balance with air",
    working: |x, y| {
        let mut all = lines(x[1], x[2]);
        all.push(format!(
            "100 × {} ÷ {} = {} %",
            figure(x[0]),
            figure(at_altitude(x[1], x[2])),
            figure(y)
        ));
        all
    },
    source: "benson-krause-1984",
    cautions: &["vet"],
    ..Function::PLAIN
};

pub(super) const AIR_PRESSURE: Function = Function {
    name: "air-pressure",
    label: "mean air pressure at an altitude",
    group: GROUP,
    arguments: &[altitude(Falling)],
    unit: "hPa",
    compute: |x| water::pressure_at_altitude_hpa(x[0]),
    formula: "1013.25 × (1 − 2.25577·10⁻⁵ × metres)^5.25588",
    working: |x, y| {
        vec![format!(
            "1013.25 × (1 − 2.25577·10⁻⁵ × {})^5.25588 = {} hPa; weather moves it by up to 4 %",
            figure(x[0]),
            figure(y)
        )]
    },
    source: "icao-standard-atmosphere",
    ..Function::PLAIN
};
