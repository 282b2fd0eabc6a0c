//! Joins names in the book to functions of `water`, with units and trends.

use crate::engine::{Argument, Function, Trend, figure};
use crate::water;

use Trend::{Falling, Rising};

const fn argument(
    name: &'static str,
    unit: &'static str,
    trend: Trend,
    valid: (f64, f64),
) -> Argument {
    Argument {
        name,
        unit,
        trend,
        valid,
    }
}

const AMMONIA: Argument = argument("total ammonia", "mg/L N", Rising, (0.0, 100.0));
const TEMPERATURE: (f64, f64) = (0.0, 40.0);

/// Every function that the book may call.
pub const FUNCTIONS: &[Function] = &[
    Function {
        name: "unionised-ammonia",
        label: "un-ionised ammonia",
        arguments: &[
            AMMONIA,
            argument("pH", "pH", Rising, (6.0, 10.0)),
            argument("temperature", "°C", Rising, (0.0, 50.0)),
        ],
        unit: "mg/L N",
        compute: |x| water::free_ammonia_mg_l_n(x[0], x[1], x[2]),
        extension: None,
        formula: "total ÷ (1 + 10^(pKa − pH)), pKa = 0.09018 + 2729.92 ÷ (273.15 + °C)",
        working: |x, y| {
            vec![
                format!(
                    "pKa = 0.09018 + 2729.92 ÷ (273.15 + {}) = {:.3}",
                    figure(x[2]),
                    water::ammonia_pka(x[2])
                ),
                format!(
                    "share = 1 ÷ (1 + 10^({:.3} − {})) = {}",
                    water::ammonia_pka(x[2]),
                    figure(x[1]),
                    figure(water::free_ammonia_fraction(x[1], x[2]))
                ),
                format!(
                    "{} mg/L N × {} = {} mg/L N",
                    figure(x[0]),
                    figure(water::free_ammonia_fraction(x[1], x[2])),
                    figure(y)
                ),
            ]
        },
        source: "emerson-1975",
    },
    Function {
        name: "ammonia-chronic-limit",
        label: "chronic criterion for total ammonia",
        arguments: &[
            argument("pH", "pH", Falling, (6.5, 9.0)),
            argument("temperature", "°C", Falling, (0.0, 30.0)),
        ],
        unit: "mg/L N",
        compute: |x| water::ammonia_chronic_criterion_mg_l_n(x[0], x[1]),
        extension: None,
        formula: "0.8876 × (0.0278 ÷ (1 + 10^(7.688 − pH)) + 1.1994 ÷ (1 + 10^(pH − 7.688))) × 2.126 × 10^(0.028 × (20 − greater of °C and 7))",
        working: |x, y| {
            vec![format!(
                "at pH {} and {} °C: {} mg/L N, as a 30-day mean",
                figure(x[0]),
                figure(x[1]),
                figure(y)
            )]
        },
        source: "epa-2013",
    },
    Function {
        name: "ammonia-acute-limit",
        label: "acute criterion for total ammonia",
        arguments: &[
            argument("pH", "pH", Falling, (6.5, 9.0)),
            argument("temperature", "°C", Falling, (0.0, 30.0)),
        ],
        unit: "mg/L N",
        compute: |x| water::ammonia_acute_criterion_mg_l_n(x[0], x[1]),
        extension: None,
        formula: "0.7249 × (0.0114 ÷ (1 + 10^(7.204 − pH)) + 1.6181 ÷ (1 + 10^(pH − 7.204))) × least of 51.93 and 23.12 × 10^(0.036 × (20 − °C))",
        working: |x, y| {
            vec![format!(
                "at pH {} and {} °C: {} mg/L N, as a one-hour mean",
                figure(x[0]),
                figure(x[1]),
                figure(y)
            )]
        },
        source: "epa-2013",
    },
    Function {
        name: "co2-from-ph-kh",
        label: "dissolved CO2",
        arguments: &[
            argument("pH", "pH", Falling, (5.5, 9.0)),
            argument("carbonate hardness", "mg/L CaCO3", Rising, (15.0, 300.0)),
            argument("temperature", "°C", Falling, (5.0, 35.0)),
        ],
        unit: "mg/L CO2",
        compute: |x| water::carbon_dioxide_mg_l(x[0], x[1], x[2]),
        extension: None,
        formula: "{H}{HCO3} ÷ K1, with activities after Davies",
        working: |x, y| {
            vec![
                format!(
                    "at pH {}, {} mg/L CaCO3 and {} °C: {} mg/L CO2",
                    figure(x[0]),
                    figure(x[1]),
                    figure(x[2]),
                    figure(y)
                ),
                format!(
                    "the trade's short form, 3 × KH × 10^(7 − pH), gives {} mg/L",
                    figure(water::carbon_dioxide_short_form_mg_l(x[0], x[1]))
                ),
            ]
        },
        source: "plummer-1982",
    },
    Function {
        name: "oxygen-saturation",
        label: "oxygen in balance with air",
        arguments: &[argument("temperature", "°C", Falling, TEMPERATURE)],
        unit: "mg/L O2",
        compute: |x| water::oxygen_saturation_mg_l(x[0], water::constants::STANDARD_ATMOSPHERE_HPA),
        extension: None,
        formula: "Benson and Krause's equation for fresh water, at sea level",
        working: |x, y| vec![format!("at {} °C: {} mg/L O2", figure(x[0]), figure(y))],
        source: "benson-krause-1984",
    },
    Function {
        name: "kh-used-by",
        label: "carbonate hardness used up by oxidising ammonia",
        arguments: &[AMMONIA],
        unit: "mg/L CaCO3",
        compute: |x| water::alkalinity_used_mg_l_caco3(x[0]),
        extension: None,
        formula: "two H⁺ for each nitrogen: 7.145 mg CaCO3 for each mg of nitrogen",
        working: |x, y| {
            vec![format!(
                "{} mg/L N × {:.3} = {} mg/L CaCO3",
                figure(x[0]),
                water::alkalinity_used_mg_l_caco3(1.0),
                figure(y)
            )]
        },
        source: "iupac-2021",
    },
    Function {
        name: "ammonium-chloride-for",
        label: "ammonium chloride",
        arguments: &[
            argument("wanted rise", "mg/L N", Rising, (0.0, 100.0)),
            argument("water", "L", Rising, (0.0, 100_000.0)),
        ],
        unit: "g",
        compute: |x| water::ammonium_chloride_g(x[0], x[1]),
        extension: None,
        formula: "rise × litres × M(NH4Cl) ÷ M(N) ÷ 1000, M(NH4Cl) = 53.49, M(N) = 14.007",
        working: |x, y| {
            vec![format!(
                "{} mg/L N × {} L × {:.3} ÷ 1000 = {} g",
                figure(x[0]),
                figure(x[1]),
                water::ammonium_chloride_g(1.0, 1000.0),
                figure(y)
            )]
        },
        source: "iupac-2021",
    },
    Function {
        name: "share-to-reach",
        label: "share of water to change",
        arguments: &[
            argument("now", "mg/L N", Rising, (0.0, 1000.0)),
            argument("wanted", "mg/L N", Falling, (0.0, 1000.0)),
            argument("new water", "mg/L N", Rising, (0.0, 1000.0)),
        ],
        unit: "%",
        compute: |x| {
            water::change_fraction_to_reach(x[0], x[1], x[2])
                .map_or(f64::NAN, |share| share * 100.0)
        },
        extension: None,
        formula: "(now − wanted) ÷ (now − new water)",
        working: |x, y| {
            vec![format!(
                "({} − {}) ÷ ({} − {}) = {} %",
                figure(x[0]),
                figure(x[1]),
                figure(x[0]),
                figure(x[2]),
                figure(y)
            )]
        },
        source: "dilution",
    },
    Function {
        name: "nitrite-limit",
        label: "short-term guideline for nitrite",
        arguments: &[argument("chloride", "mg/L Cl", Rising, (0.0, 2000.0))],
        unit: "mg/L N",
        compute: |x| water::nitrite_guideline_short_term_mg_l_n(x[0]),
        extension: None,
        formula: "by chloride: 0.06 below 2 mg/L, then 0.12, 0.18, 0.24 and 0.30 by steps of 2 mg/L, 0.60 above 10",
        working: |x, y| {
            vec![format!(
                "at {} mg/L chloride: {} mg/L N",
                figure(x[0]),
                figure(y)
            )]
        },
        source: "bc-nitrite",
    },
    Function {
        name: "salt-against-nitrite",
        label: "plain salt for a ratio of chloride to nitrite",
        arguments: &[
            argument("nitrite", "mg/L NO2", Rising, (0.0, 100.0)),
            argument("chloride", "mg/L Cl", Falling, (0.0, 2000.0)),
            argument("wanted ratio", "", Rising, (0.0, 100.0)),
            argument("water", "L", Rising, (0.0, 100_000.0)),
        ],
        unit: "g",
        compute: |x| water::sodium_chloride_to_add_mg_l(x[0], x[1], x[2]) * x[3] / 1000.0,
        extension: None,
        formula: "greater of 0 and (ratio × nitrite − chloride), × 1.6485 × litres ÷ 1000",
        working: |x, y| {
            vec![format!(
                "({} × {} − {}) mg/L × {:.4} × {} L ÷ 1000 = {} g",
                figure(x[2]),
                figure(x[0]),
                figure(x[1]),
                water::sodium_chloride_to_add_mg_l(1.0, 0.0, 1.0),
                figure(x[3]),
                figure(y)
            )]
        },
        source: "srac-462",
    },
    Function {
        name: "water-volume",
        label: "water in the tank",
        arguments: &[
            argument("inner length", "cm", Rising, (0.0, 1000.0)),
            argument("inner width", "cm", Rising, (0.0, 1000.0)),
            argument("height of the water", "cm", Rising, (0.0, 1000.0)),
            argument("depth of the bed", "cm", Falling, (0.0, 1000.0)),
            argument("pores of the bed", "%", Rising, (0.0, 100.0)),
            argument("wood and stone", "L", Falling, (0.0, 100_000.0)),
        ],
        unit: "L",
        compute: |x| water::net_volume_l(x[0], x[1], x[2], x[3], x[4] / 100.0, x[5]),
        extension: None,
        formula: "length × width × (height − bed × (1 − pores)) ÷ 1000 − wood and stone",
        working: |x, y| {
            vec![format!(
                "{} × {} × ({} − {} × (1 − {})) ÷ 1000 − {} = {} L",
                figure(x[0]),
                figure(x[1]),
                figure(x[2]),
                figure(x[3]),
                figure(x[4] / 100.0),
                figure(x[5]),
                figure(y)
            )]
        },
        source: "geometry",
    },
];
