//! Doses of salts, and what each of them adds beside what is wanted.

use crate::engine::{Argument, Function, figure};
use crate::water::{self, DEGREE_DH_MG_L_CACO3, Ion, Salt, constants::*};

use super::{ANY, INTO_WATER, Rising, WATER, amount, choice, told};

const GROUP: &str = "Salts and fertiliser";

const RISE: (f64, f64) = (0.0, 500.0);

/// Name and label of a salt as an option.
const fn option(salt: Salt) -> (&'static str, &'static str) {
    match salt {
        Salt::AmmoniumChloride => ("ammonium-chloride", "ammonium chloride, NH4Cl"),
        Salt::PotassiumNitrate => ("potassium-nitrate", "potassium nitrate, KNO3"),
        Salt::PotassiumDihydrogenPhosphate => (
            "potassium-phosphate",
            "potassium dihydrogen phosphate, KH2PO4",
        ),
        Salt::PotassiumSulfate => ("potassium-sulfate", "potassium sulfate, K2SO4"),
        Salt::PotassiumBicarbonate => ("potassium-bicarbonate", "potassium bicarbonate, KHCO3"),
        Salt::SodiumBicarbonate => ("sodium-bicarbonate", "baking soda, NaHCO3"),
        Salt::SodiumChloride => ("sodium-chloride", "plain salt, NaCl"),
        Salt::MagnesiumSulfateHeptahydrate => ("magnesium-sulfate", "Epsom salt, MgSO4.7H2O"),
        Salt::MagnesiumChlorideHexahydrate => {
            ("magnesium-chloride", "magnesium chloride, MgCl2.6H2O")
        }
        Salt::CalciumSulfateDihydrate => ("calcium-sulfate", "gypsum, CaSO4.2H2O"),
        Salt::CalciumChlorideDihydrate => ("calcium-chloride", "calcium chloride, CaCl2.2H2O"),
        Salt::CalciumNitrateTetrahydrate => ("calcium-nitrate", "calcium nitrate, Ca(NO3)2.4H2O"),
    }
}

/// A list of salts to choose from: the salts, and the argument that asks which.
macro_rules! salts {
    ($salts:ident, $asked:ident: $($salt:ident),+) => {
        const $salts: &[Salt] = &[$(Salt::$salt),+];
        const $asked: Argument = choice("salt", &[$(option(Salt::$salt)),+]);
    };
}

salts!(HARDENING, HARDENING_SALT: CalciumSulfateDihydrate, CalciumChlorideDihydrate, CalciumNitrateTetrahydrate,
    MagnesiumSulfateHeptahydrate, MagnesiumChlorideHexahydrate);
salts!(BUFFERING, BUFFERING_SALT: SodiumBicarbonate, PotassiumBicarbonate);
salts!(CALCIUM, CALCIUM_SALT: CalciumSulfateDihydrate, CalciumChlorideDihydrate, CalciumNitrateTetrahydrate);
salts!(MAGNESIUM, MAGNESIUM_SALT: MagnesiumSulfateHeptahydrate, MagnesiumChlorideHexahydrate);
salts!(NITRATE, NITRATE_SALT: PotassiumNitrate, CalciumNitrateTetrahydrate);
salts!(PHOSPHATE, PHOSPHATE_SALT: PotassiumDihydrogenPhosphate);
salts!(POTASSIUM, POTASSIUM_SALT: PotassiumSulfate, PotassiumNitrate, PotassiumBicarbonate, PotassiumDihydrogenPhosphate);
salts!(EVERY, EVERY_SALT: AmmoniumChloride, PotassiumNitrate, PotassiumDihydrogenPhosphate, PotassiumSulfate,
    PotassiumBicarbonate, SodiumBicarbonate, SodiumChloride, MagnesiumSulfateHeptahydrate, MagnesiumChlorideHexahydrate,
    CalciumSulfateDihydrate, CalciumChlorideDihydrate, CalciumNitrateTetrahydrate);

fn at(salts: &[Salt], place: f64) -> Salt {
    salts[(place as usize).min(salts.len() - 1)]
}

fn name(ion: Ion) -> &'static str {
    match ion {
        Ion::Ammonium => "ammonium",
        Ion::Potassium => "potassium",
        Ion::Sodium => "sodium",
        Ion::Magnesium => "magnesium",
        Ion::Calcium => "calcium",
        Ion::Nitrate => "nitrate (NO3)",
        Ion::Phosphate => "phosphate (PO4)",
        Ion::Sulfate => "sulfate",
        Ion::Chloride => "chloride",
        Ion::Bicarbonate => "bicarbonate",
    }
}

/// All that a dose adds to the water.
fn added(salt: Salt, dose_g: f64, volume_l: f64) -> Vec<String> {
    if dose_g == 0.0 || volume_l == 0.0 {
        return Vec::new();
    }
    let mut lines: Vec<String> = salt
        .ions()
        .iter()
        .map(|(ion, _)| {
            let rise = water::salt_rise_mg_l(salt, *ion, dose_g, volume_l);
            format!("it adds {} mg/L of {}", figure(rise), name(*ion))
        })
        .collect();
    let hardness = water::salt_hardness_rise_mg_l_caco3(salt, dose_g, volume_l);
    let alkalinity = water::salt_alkalinity_rise_mg_l_caco3(salt, dose_g, volume_l);
    for (rise, kind) in [(hardness, "general"), (alkalinity, "carbonate")] {
        if rise > 0.0 {
            lines.push(format!(
                "it raises {kind} hardness by {} mg/L CaCO3, {} °dH",
                figure(rise),
                figure(rise / DEGREE_DH_MG_L_CACO3)
            ));
        }
    }
    lines
}

/// The line that works a dose from the rise, the water and what one gram does in one litre.
fn dose_line(rise: f64, counted: &str, water: f64, of_one_gram: f64, dose: f64) -> Vec<String> {
    vec![
        format!("1 g in 1 L adds {} mg/L {counted}", figure(of_one_gram)),
        format!(
            "{} mg/L {counted} × {} L ÷ {} mg/L = {} g",
            figure(rise),
            figure(water),
            figure(of_one_gram),
            figure(dose)
        ),
    ]
}

/// A dose that raises one ion, which the salts of the list hold.
macro_rules! raise {
    ($function:ident, $name:literal, $label:literal, $unit:literal, $counted:literal, $ion:expr, $salts:ident, $asked:ident) => {
        pub(super) const $function: Function = Function {
            name: $name,
            label: $label,
            group: GROUP,
            arguments: &[amount("wanted rise", $unit, Rising, RISE), WATER, $asked],
            unit: "g",
            compute: |x| {
                water::salt_dose_g(at($salts, x[2]), $ion, x[0], x[1]).unwrap_or(f64::NAN)
            },
            formula: "rise × litres × M(salt) ÷ (ions in a unit × M(ion)) ÷ 1000, for pure salt with its crystal water",
            working: |x, y| {
                let one = water::salt_rise_mg_l(at($salts, x[2]), $ion, 1.0, 1.0);
                dose_line(x[0], $counted, x[1], one, y)
            },
            also: |x, y| added(at($salts, x[2]), y, x[1]),
            source: "iupac-2021",
            cautions: &["salts"],
            ..Function::PLAIN
        };
    };
}

raise!(
    RAISE_NITRATE,
    "raise-nitrate",
    "salt that raises nitrate",
    "mg/L NO3",
    "NO3",
    Ion::Nitrate,
    NITRATE,
    NITRATE_SALT
);
raise!(
    RAISE_PHOSPHATE,
    "raise-phosphate",
    "salt that raises phosphate",
    "mg/L PO4",
    "PO4",
    Ion::Phosphate,
    PHOSPHATE,
    PHOSPHATE_SALT
);
raise!(
    RAISE_POTASSIUM,
    "raise-potassium",
    "salt that raises potassium",
    "mg/L K",
    "K",
    Ion::Potassium,
    POTASSIUM,
    POTASSIUM_SALT
);
raise!(
    RAISE_CALCIUM,
    "raise-calcium",
    "salt that raises calcium",
    "mg/L Ca",
    "Ca",
    Ion::Calcium,
    CALCIUM,
    CALCIUM_SALT
);
raise!(
    RAISE_MAGNESIUM,
    "raise-magnesium",
    "salt that raises magnesium",
    "mg/L Mg",
    "Mg",
    Ion::Magnesium,
    MAGNESIUM,
    MAGNESIUM_SALT
);

pub(super) const RAISE_GH: Function = Function {
    name: "raise-gh",
    label: "salt that raises general hardness",
    group: GROUP,
    arguments: &[
        amount("wanted rise", "mg/L CaCO3", Rising, RISE),
        WATER,
        HARDENING_SALT,
    ],
    unit: "g",
    compute: |x| {
        water::salt_dose_for_hardness_g(at(HARDENING, x[2]), x[0], x[1]).unwrap_or(f64::NAN)
    },
    formula: "rise × litres × M(salt) ÷ M(CaCO3) ÷ 1000, for pure salt with its crystal water",
    working: |x, y| {
        let one = water::salt_hardness_rise_mg_l_caco3(at(HARDENING, x[2]), 1.0, 1.0);
        dose_line(x[0], "CaCO3", x[1], one, y)
    },
    also: |x, y| added(at(HARDENING, x[2]), y, x[1]),
    source: "iupac-2021",
    cautions: &["salts"],
    ..Function::PLAIN
};

pub(super) const RAISE_KH: Function = Function {
    name: "raise-kh",
    label: "salt that raises carbonate hardness",
    group: GROUP,
    arguments: &[
        amount("wanted rise", "mg/L CaCO3", Rising, RISE),
        WATER,
        BUFFERING_SALT,
    ],
    unit: "g",
    compute: |x| {
        water::salt_dose_for_alkalinity_g(at(BUFFERING, x[2]), x[0], x[1]).unwrap_or(f64::NAN)
    },
    formula: "rise × litres × 2 × M(salt) ÷ M(CaCO3) ÷ 1000, for pure salt",
    working: |x, y| {
        let one = water::salt_alkalinity_rise_mg_l_caco3(at(BUFFERING, x[2]), 1.0, 1.0);
        dose_line(x[0], "CaCO3", x[1], one, y)
    },
    also: |x, y| added(at(BUFFERING, x[2]), y, x[1]),
    source: "iupac-2021",
    cautions: &["salts"],
    ..Function::PLAIN
};

pub(super) const SALT_ADDS: Function = Function {
    name: "salt-adds",
    label: "what a dose of salt adds",
    group: GROUP,
    arguments: &[amount("dose", "g", Rising, ANY), INTO_WATER, EVERY_SALT],
    unit: "g/L",
    compute: |x| x[0] / x[1],
    formula: "grams ÷ litres; of each ion its share by weight",
    working: |x, y| {
        let salt = at(EVERY, x[2]);
        let mut lines = vec![format!(
            "{} g ÷ {} L = {} g/L of {}",
            figure(x[0]),
            figure(x[1]),
            figure(y),
            salt.formula()
        )];
        lines.extend(salt.ions().iter().map(|(ion, count)| {
            let mass = count * ion.molar_mass_g_mol();
            format!(
                "{} in it: {:.3} ÷ {:.3} = {} %",
                name(*ion),
                mass,
                salt.molar_mass_g_mol(),
                figure(100.0 * mass / salt.molar_mass_g_mol())
            )
        }));
        lines
    },
    also: |x, _| added(at(EVERY, x[2]), x[0], x[1]),
    source: "iupac-2021",
    cautions: &["salts"],
    ..Function::PLAIN
};

pub(super) const PHOSPHATE_CONVERSION: Function = Function {
    name: "phosphate-conversion",
    label: "phosphorus in a reading",
    group: GROUP,
    arguments: &[told(
        amount("reading", "mg/L P", Rising, ANY),
        "In the unit of the test.",
    )],
    unit: "mg/L P",
    compute: |x| x[0],
    formula: "reading × M(P) ÷ M(PO4), M(P) = 30.974, M(PO4) = 94.970",
    working: |x, _| {
        vec![format!(
            "counted as PO4: {} × {:.4} = {} mg/L",
            figure(x[0]),
            PO4_G_MOL / P_G_MOL,
            figure(x[0] * PO4_G_MOL / P_G_MOL)
        )]
    },
    source: "iupac-2021",
    ..Function::PLAIN
};
