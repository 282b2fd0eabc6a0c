//! Litres in the tank, and what stands on the floor.

use crate::engine::{Argument, Function, figure};
use crate::water;

use super::{ANY, Falling, Rising, amount, litres, share, told};

const GROUP: &str = "Volume and weight";

const fn length(name: &'static str, trend: super::Trend) -> Argument {
    amount(name, "cm", trend, ANY)
}

pub(super) const WATER_VOLUME: Function = Function {
    name: "water-volume",
    label: "water in the tank",
    group: GROUP,
    arguments: &[
        length("inner length", Rising),
        length("inner width", Rising),
        length("height of the water", Rising),
        length("depth of the bed", Falling),
        share("pores of the bed", Rising, (0.0, 100.0)),
        litres("wood and stone", Falling),
    ],
    unit: "L",
    compute: |x| water::net_volume_l(x[0], x[1], x[2], x[3], x[4] / 100.0, x[5]),
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
    also: |x, _| {
        vec![format!(
            "the empty box to that height: {} L",
            figure(water::gross_volume_l(x[0], x[1], x[2]))
        )]
    },
    source: "geometry",
    cautions: &["lifting"],
    ..Function::PLAIN
};

pub(super) const GLASS_WEIGHT: Function = Function {
    name: "glass-weight",
    label: "weight of the empty glass box",
    group: GROUP,
    arguments: &[
        length("inner length", Rising),
        length("inner width", Rising),
        length("inner height", Rising),
        amount("glass thickness", "mm", Rising, (2.0, 30.0)),
    ],
    unit: "kg",
    compute: |x| water::glass_mass_kg(x[0], x[1], x[2], x[3]),
    formula: "(outer box − inner box) × 2.5 kg/L, open at the top, without braces and lid",
    working: |x, y| {
        let pane = x[3] / 10.0;
        let outer = water::gross_volume_l(x[0] + 2.0 * pane, x[1] + 2.0 * pane, x[2] + pane);
        let inner = water::gross_volume_l(x[0], x[1], x[2]);
        vec![
            format!(
                "outer box: {} × {} × {} ÷ 1000 = {} L",
                figure(x[0] + 2.0 * pane),
                figure(x[1] + 2.0 * pane),
                figure(x[2] + pane),
                figure(outer)
            ),
            format!("inner box: {} L", figure(inner)),
            format!(
                "({} − {}) L × 2.5 kg/L = {} kg",
                figure(outer),
                figure(inner),
                figure(y)
            ),
        ]
    },
    source: "en-572-1",
    cautions: &["lifting"],
    ..Function::PLAIN
};

const fn density(name: &'static str) -> Argument {
    told(
        amount(name, "", Rising, (0.0, 5.0)),
        "Kilograms in a litre: weigh a measured litre, pores and all for a bed.",
    )
}

pub(super) const FILLED_WEIGHT: Function = Function {
    name: "filled-weight",
    label: "weight of the filled tank",
    group: GROUP,
    arguments: &[
        litres("water", Rising),
        litres("bed", Rising),
        density("density of the bed"),
        litres("wood and stone", Rising),
        density("density of wood and stone"),
        told(
            amount("empty weight", "kg", Rising, ANY),
            "Glass, stand, lid and equipment.",
        ),
    ],
    unit: "kg",
    compute: |x| water::filled_mass_kg(x[0], x[1], x[2], x[3], x[4], x[5]),
    formula: "water × 1 kg/L + bed × its density + wood and stone × their density + empty weight",
    working: |x, y| {
        vec![format!(
            "{} + {} × {} + {} × {} + {} = {} kg",
            figure(x[0]),
            figure(x[1]),
            figure(x[2]),
            figure(x[3]),
            figure(x[4]),
            figure(x[5]),
            figure(y)
        )]
    },
    source: "geometry",
    cautions: &["lifting", "floor"],
    ..Function::PLAIN
};

pub(super) const FLOOR_LOAD: Function = Function {
    name: "floor-load",
    label: "load on the floor under the tank",
    group: GROUP,
    arguments: &[
        amount("weight", "kg", Rising, ANY),
        told(length("length", Falling), "Of what stands on the floor."),
        told(length("width", Falling), "Of what stands on the floor."),
    ],
    unit: "kN/m²",
    compute: |x| water::floor_pressure_kn_m2(x[0], x[1], x[2]),
    formula: "weight × 9.80665 ÷ (length × width), in newtons and metres, ÷ 1000",
    working: |x, y| {
        let load = water::floor_load_kg_m2(x[0], x[1], x[2]);
        vec![
            format!(
                "{} kg ÷ ({} m × {} m) = {} kg/m²",
                figure(x[0]),
                figure(x[1] / 100.0),
                figure(x[2] / 100.0),
                figure(load)
            ),
            format!("{} × 9.80665 ÷ 1000 = {} kN/m²", figure(load), figure(y)),
        ]
    },
    also: |_, _| vec!["feet or rails press harder than this mean".to_owned()],
    source: "si-brochure",
    cautions: &["lifting", "floor"],
    ..Function::PLAIN
};
