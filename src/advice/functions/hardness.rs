//! Hardness and alkalinity: what they are made of, in which units, and softening with pure water.

use crate::engine::{Function, figure};
use crate::water::{self, DEGREE_DH_MG_L_CACO3, constants::*};

use super::{Either, Falling, KH_NAME, Rising, WATER, amount, told};

const GROUP: &str = "Hardness";

const HARDNESS_RANGE: (f64, f64) = (0.0, 1000.0);
const CALCIUM_RANGE: (f64, f64) = (0.0, 400.0);

/// A hardness in the other units that are in use.
fn in_other_units(hardness: f64) -> Vec<String> {
    let line = |name: &str, factor: f64| format!("{} {name}", figure(hardness * factor));
    vec![
        line("°dH, German degrees", 1.0 / DEGREE_DH_MG_L_CACO3),
        line("°fH, French degrees", 0.1),
        line("mmol/L of calcium and magnesium", 1.0 / CACO3_G_MOL),
        line("meq/L", 2.0 / CACO3_G_MOL),
        line(
            "mg/L of calcium, were it all calcium",
            CA_G_MOL / CACO3_G_MOL,
        ),
        line(
            "mg/L of bicarbonate, were it carbonate hardness",
            2.0 * HCO3_G_MOL / CACO3_G_MOL,
        ),
    ]
}

pub(super) const HARDNESS_CONVERSION: Function = Function {
    name: "hardness-conversion",
    label: "hardness or alkalinity as calcium carbonate",
    group: GROUP,
    arguments: &[told(
        amount("hardness", "mg/L CaCO3", Rising, HARDNESS_RANGE),
        "General or carbonate hardness, in the unit of the test.",
    )],
    unit: "mg/L CaCO3",
    compute: |x| x[0],
    formula: "1 °dH = 10 mg/L of CaO = 17.848 mg/L of CaCO3; 1 mmol/L = 2 meq/L = 100.09 mg/L of CaCO3",
    working: |x, y| {
        vec![format!(
            "{} °dH × {:.3} = {} mg/L CaCO3",
            figure(x[0] / DEGREE_DH_MG_L_CACO3),
            DEGREE_DH_MG_L_CACO3,
            figure(y)
        )]
    },
    also: |_, y| in_other_units(y),
    source: "iupac-2021",
    ..Function::PLAIN
};

pub(super) const GH_FROM_IONS: Function = Function {
    name: "gh-from-ions",
    label: "general hardness from calcium and magnesium",
    group: GROUP,
    arguments: &[
        amount("calcium", "mg/L Ca", Rising, CALCIUM_RANGE),
        amount("magnesium", "mg/L Mg", Rising, (0.0, 200.0)),
    ],
    unit: "mg/L CaCO3",
    compute: |x| water::general_hardness_mg_l_caco3(x[0], x[1]),
    formula: "(Ca ÷ M(Ca) + Mg ÷ M(Mg)) × M(CaCO3), M(Ca) = 40.078, M(Mg) = 24.305, M(CaCO3) = 100.086",
    working: |x, y| {
        vec![format!(
            "({} ÷ {} + {} ÷ {}) × {:.3} = {} mg/L CaCO3",
            figure(x[0]),
            CA_G_MOL,
            figure(x[1]),
            MG_G_MOL,
            CACO3_G_MOL,
            figure(y)
        )]
    },
    also: |_, y| vec![format!("{} °dH", figure(y / DEGREE_DH_MG_L_CACO3))],
    source: "iupac-2021",
    ..Function::PLAIN
};

pub(super) const MAGNESIUM_FROM_GH: Function = Function {
    name: "magnesium-from-gh",
    label: "magnesium from general hardness and calcium",
    group: GROUP,
    arguments: &[
        amount("general hardness", "mg/L CaCO3", Rising, HARDNESS_RANGE),
        amount("calcium", "mg/L Ca", Falling, CALCIUM_RANGE),
    ],
    unit: "mg/L Mg",
    compute: |x| water::magnesium_from_hardness_mg_l(x[0], x[1]),
    formula: "greater of 0 and (hardness ÷ M(CaCO3) − Ca ÷ M(Ca)), × M(Mg)",
    working: |x, y| {
        vec![format!(
            "({} ÷ {:.3} − {} ÷ {}) × {} = {} mg/L Mg, not less than 0",
            figure(x[0]),
            CACO3_G_MOL,
            figure(x[1]),
            CA_G_MOL,
            MG_G_MOL,
            figure(y)
        )]
    },
    also: |_, _| {
        vec!["it is the difference of two tests, so it may be off by as much as it is".to_owned()]
    },
    source: "iupac-2021",
    ..Function::PLAIN
};

pub(super) const KH_BEYOND_GH: Function = Function {
    name: "kh-beyond-gh",
    label: "carbonate hardness beyond general hardness",
    group: GROUP,
    arguments: &[
        amount(KH_NAME, "mg/L CaCO3", Rising, HARDNESS_RANGE),
        amount("general hardness", "mg/L CaCO3", Falling, HARDNESS_RANGE),
    ],
    unit: "mg/L CaCO3",
    compute: |x| water::alkalinity_beyond_hardness_mg_l_caco3(x[0], x[1]),
    formula: "greater of 0 and (carbonate hardness − general hardness): carried by sodium or potassium, as after a softener",
    working: |x, y| {
        vec![format!(
            "{} − {} = {} mg/L CaCO3, not less than 0",
            figure(x[0]),
            figure(x[1]),
            figure(y)
        )]
    },
    source: "iupac-2021",
    ..Function::PLAIN
};

pub(super) const PURE_WATER_FOR: Function = Function {
    name: "pure-water-for",
    label: "pure water in a blend",
    group: GROUP,
    arguments: &[
        told(
            amount("hardness of the tap", "mg/L CaCO3", Either, HARDNESS_RANGE),
            "General or carbonate hardness; both come down by the same share.",
        ),
        amount("wanted hardness", "mg/L CaCO3", Either, HARDNESS_RANGE),
        told(
            amount(
                "hardness of the pure water",
                "mg/L CaCO3",
                Either,
                (0.0, 100.0),
            ),
            "0 for distilled water, or what your filter lets through.",
        ),
        told(WATER, "Of the whole blend."),
    ],
    unit: "L",
    compute: |x| {
        let share = water::blend_fraction(x[0], x[2], x[1]);
        share.map_or(f64::NAN, |share| share * x[3])
    },
    formula: "litres × (tap − wanted) ÷ (tap − pure)",
    working: |x, y| {
        vec![format!(
            "{} L × ({} − {}) ÷ ({} − {}) = {} L",
            figure(x[3]),
            figure(x[0]),
            figure(x[1]),
            figure(x[0]),
            figure(x[2]),
            figure(y)
        )]
    },
    also: |x, y| {
        vec![
            format!("and {} L from the tap", figure(x[3] - y)),
            "pH does not blend so: carbonate hardness and air decide it".to_owned(),
        ]
    },
    source: "dilution",
    ..Function::PLAIN
};
