//! CO2 from pH and carbonate hardness, from a drop of pH, and in balance with air.

use crate::engine::{Argument, Function, figure};
use crate::water::{self, constants::*};

use super::{Falling, KH_NAME, Rising, air, altitude, amount, ph, temperature};

const GROUP: &str = "Carbon dioxide";

const TEMPERATURE_RANGE: (f64, f64) = (5.0, 35.0);

const fn kh(trend: super::Trend, valid: (f64, f64)) -> Argument {
    amount(KH_NAME, "mg/L CaCO3", trend, valid)
}

/// The lines that lead from carbonate hardness and temperature to what the balance takes.
fn constants_at(kh: f64, temperature: f64) -> Vec<String> {
    let alkalinity = 2.0 * kh / CACO3_G_MOL;
    let ionic_strength = 1.5 * alkalinity / 1000.0;
    vec![
        format!(
            "alkalinity = 2 × {} mg/L ÷ {:.2} = {} mmol/L",
            figure(kh),
            CACO3_G_MOL,
            figure(alkalinity)
        ),
        format!(
            "ionic strength = 1.5 × {} ÷ 1000 = {} mol/L, so activity coefficient γ = {:.3}",
            figure(alkalinity),
            figure(ionic_strength),
            water::ion_activity_coefficient(1.0, ionic_strength, temperature)
        ),
        format!(
            "pK1 at {} °C = {:.3}",
            figure(temperature),
            water::carbonic_acid_pk1(temperature)
        ),
    ]
}

pub(super) const FROM_PH_KH: Function = Function {
    name: "co2-from-ph-kh",
    label: "dissolved CO2",
    group: GROUP,
    arguments: &[
        ph(Falling, (5.5, 9.0)),
        kh(Rising, (15.0, 300.0)),
        temperature(Falling, TEMPERATURE_RANGE),
    ],
    unit: "mg/L CO2",
    compute: |x| water::carbon_dioxide_mg_l(x[0], x[1], x[2]),
    formula: "{H}{HCO3} ÷ K1, with activities after Davies",
    working: |x, y| {
        let mut lines = constants_at(x[1], x[2]);
        let ratio = libm::exp10(water::carbonic_acid_pk1(x[2]) - x[0]);
        let bicarbonate = y / ratio / CO2_G_MOL;
        lines.push(format!(
            "γ × bicarbonate, less what is carbonate = {} mmol/L",
            figure(bicarbonate)
        ));
        lines.push(format!(
            "{} × 10^({:.3} − {}) × {:.3} = {} mg/L CO2",
            figure(bicarbonate),
            water::carbonic_acid_pk1(x[2]),
            figure(x[0]),
            CO2_G_MOL,
            figure(y)
        ));
        lines
    },
    also: |x, y| {
        let short = water::carbon_dioxide_short_form_mg_l(x[0], x[1]);
        let off = 100.0 * (short / y - 1.0);
        let side = if off < 0.0 { "less" } else { "more" };
        vec![
            format!(
                "the trade's short form, 3 × KH × 10^(7 − pH), gives {} mg/L: {} % {side}",
                figure(short),
                figure(off.abs())
            ),
            format!(
                "were the pH 0.1 higher or lower: {} or {} mg/L",
                figure(water::carbon_dioxide_mg_l(x[0] + 0.1, x[1], x[2])),
                figure(water::carbon_dioxide_mg_l(x[0] - 0.1, x[1], x[2]))
            ),
        ]
    },
    source: "plummer-1982",
    cautions: &["co2"],
    ..Function::PLAIN
};

pub(super) const PH_FOR_CO2: Function = Function {
    name: "ph-for-co2",
    label: "pH at which water holds so much CO2",
    group: GROUP,
    arguments: &[
        amount("wanted CO2", "mg/L CO2", Falling, (0.1, 200.0)),
        kh(Rising, (15.0, 300.0)),
        temperature(Falling, TEMPERATURE_RANGE),
    ],
    unit: "pH",
    compute: |x| water::ph_from_carbon_dioxide(x[0], x[1], x[2]),
    formula: "the {H} that solves {H}{HCO3} ÷ K1 = CO2, with activities after Davies",
    working: |x, y| {
        let mut lines = constants_at(x[1], x[2]);
        lines.push(format!(
            "CO2 = {} mg/L ÷ {:.3} = {} mmol/L",
            figure(x[0]),
            CO2_G_MOL,
            figure(x[0] / CO2_G_MOL)
        ));
        lines.push(format!("pH = −log {{H}} = {}", figure(y)));
        lines
    },
    source: "plummer-1982",
    cautions: &["co2"],
    ..Function::PLAIN
};

fn degassed(air: f64, temperature: f64) -> f64 {
    water::carbon_dioxide_at_air_equilibrium_mg_l(air, temperature, STANDARD_ATMOSPHERE_HPA)
}

fn degassed_line(air: f64, temperature: f64) -> String {
    format!(
        "aired under {} parts in a million at {} °C, water holds {} mg/L",
        figure(air),
        figure(temperature),
        figure(degassed(air, temperature))
    )
}

pub(super) const FROM_PH_DROP: Function = Function {
    name: "co2-from-ph-drop",
    label: "dissolved CO2 by the drop of pH",
    group: GROUP,
    arguments: &[
        super::told(
            amount("drop of pH", "", Rising, (0.0, 2.0)),
            "How far the tank reads below a sample of its own water that stood aired for a day.",
        ),
        air(Rising),
        temperature(Falling, TEMPERATURE_RANGE),
    ],
    unit: "mg/L CO2",
    compute: |x| water::carbon_dioxide_after_ph_drop_mg_l(degassed(x[1], x[2]), x[0]),
    formula: "CO2 of the aired sample × 10^(drop of pH)",
    working: |x, y| {
        vec![
            degassed_line(x[1], x[2]),
            format!(
                "{} mg/L × 10^{} = {} mg/L CO2",
                figure(degassed(x[1], x[2])),
                figure(x[0]),
                figure(y)
            ),
        ]
    },
    source: "plummer-1982",
    cautions: &["co2", "aired-sample"],
    ..Function::PLAIN
};

pub(super) const PH_DROP_NEEDED: Function = Function {
    name: "ph-drop-needed",
    label: "drop of pH for a wanted CO2",
    group: GROUP,
    arguments: &[
        amount("wanted CO2", "mg/L CO2", Rising, (1.0, 60.0)),
        air(Falling),
        temperature(Rising, TEMPERATURE_RANGE),
    ],
    unit: "",
    compute: |x| water::ph_drop_to_reach(degassed(x[1], x[2]), x[0]),
    formula: "log (wanted CO2 ÷ CO2 of the aired sample)",
    working: |x, y| {
        vec![
            degassed_line(x[1], x[2]),
            format!(
                "log ({} ÷ {}) = {}",
                figure(x[0]),
                figure(degassed(x[1], x[2])),
                figure(y)
            ),
        ]
    },
    source: "plummer-1982",
    cautions: &["co2", "aired-sample"],
    ..Function::PLAIN
};

fn pressure_line(altitude: f64) -> String {
    format!(
        "mean air pressure at {} m = 1013.25 × (1 − 2.25577·10⁻⁵ × {})^5.25588 = {} hPa",
        figure(altitude),
        figure(altitude),
        figure(water::pressure_at_altitude_hpa(altitude))
    )
}

fn at_rest(air: f64, temperature: f64, altitude: f64) -> f64 {
    let pressure = water::pressure_at_altitude_hpa(altitude);
    water::carbon_dioxide_at_air_equilibrium_mg_l(air, temperature, pressure)
}

/// The lines that lead to the CO2 of water at rest.
fn at_rest_lines(air: f64, temperature: f64, altitude: f64) -> Vec<String> {
    let vapour = water::water_vapour_pressure_hpa(temperature);
    let dry = water::pressure_at_altitude_hpa(altitude) - vapour;
    let henry = libm::exp10(-water::carbon_dioxide_henry_pk(temperature));
    vec![
        pressure_line(altitude),
        format!(
            "less {} hPa of water vapour = {} hPa of dry air",
            figure(vapour),
            figure(dry)
        ),
        format!(
            "{} ÷ 1 000 000 × {} hPa ÷ 1013.25 × {} mol/(L atm) × {:.0} mg/mol = {} mg/L CO2",
            figure(air),
            figure(dry),
            figure(henry),
            CO2_G_MOL * 1000.0,
            figure(at_rest(air, temperature, altitude))
        ),
    ]
}

pub(super) const IN_BALANCE_WITH_AIR: Function = Function {
    name: "co2-in-balance-with-air",
    label: "CO2 of water at rest under air",
    group: GROUP,
    arguments: &[
        air(Rising),
        temperature(Falling, (0.0, 35.0)),
        altitude(Falling),
    ],
    unit: "mg/L CO2",
    compute: |x| at_rest(x[0], x[1], x[2]),
    formula: "share of CO2 in dry air × (pressure − water vapour) × Henry's constant × M(CO2)",
    working: |x, _| at_rest_lines(x[0], x[1], x[2]),
    source: "plummer-1982",
    cautions: &["aired-sample"],
    ..Function::PLAIN
};

pub(super) const PH_IN_BALANCE_WITH_AIR: Function = Function {
    name: "ph-in-balance-with-air",
    label: "pH of water at rest under air",
    group: GROUP,
    arguments: &[
        kh(Rising, (15.0, 150.0)),
        air(Falling),
        temperature(Rising, TEMPERATURE_RANGE),
        altitude(Rising),
    ],
    unit: "pH",
    compute: |x| {
        let pressure = water::pressure_at_altitude_hpa(x[3]);
        water::ph_at_air_equilibrium(x[0], x[1], x[2], pressure)
    },
    formula: "the {H} that solves {H}{HCO3} ÷ K1 = CO2 of water at rest under that air",
    working: |x, y| {
        let mut lines = at_rest_lines(x[1], x[2], x[3]);
        lines.extend(constants_at(x[0], x[2]));
        lines.push(format!("pH = −log {{H}} = {}", figure(y)));
        lines
    },
    source: "plummer-1982",
    cautions: &["aired-sample"],
    ..Function::PLAIN
};
