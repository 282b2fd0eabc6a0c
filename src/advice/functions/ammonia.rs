//! Ammonia: what is free, how much is too much, doses, and what turning it into nitrate takes.

use crate::engine::{Function, figure};
use crate::water::{self, constants::*};

use super::{
    AMMONIA, ANY, Falling, INTO_WATER, Rising, WATER, amount, ph, share, temperature, told,
};

const GROUP: &str = "Ammonia and food";

const FREE_RANGE: (f64, f64) = (0.0, 50.0);
const RISE: (f64, f64) = (0.0, 100.0);

fn share_lines(ph: f64, temperature: f64) -> Vec<String> {
    let pka = water::ammonia_pka(temperature);
    vec![
        format!(
            "pKa = 0.09018 + 2729.92 ÷ (273.15 + {}) = {pka:.3}",
            figure(temperature)
        ),
        format!(
            "share = 1 ÷ (1 + 10^({pka:.3} − {})) = {}",
            figure(ph),
            figure(water::free_ammonia_fraction(ph, temperature))
        ),
    ]
}

pub(super) const UNIONISED_AMMONIA: Function = Function {
    name: "unionised-ammonia",
    label: "un-ionised ammonia",
    group: GROUP,
    arguments: &[
        AMMONIA,
        ph(Rising, (6.0, 10.0)),
        temperature(Rising, FREE_RANGE),
    ],
    unit: "mg/L N",
    compute: |x| water::free_ammonia_mg_l_n(x[0], x[1], x[2]),
    formula: "total ÷ (1 + 10^(pKa − pH)), pKa = 0.09018 + 2729.92 ÷ (273.15 + °C)",
    working: |x, y| {
        let mut lines = share_lines(x[1], x[2]);
        lines.push(format!(
            "{} mg/L N × {} = {} mg/L N",
            figure(x[0]),
            figure(water::free_ammonia_fraction(x[1], x[2])),
            figure(y)
        ));
        lines
    },
    also: |_, y| {
        vec![format!(
            "counted as NH3: {} mg/L",
            figure(y * NH3_G_MOL / N_G_MOL)
        )]
    },
    source: "emerson-1975",
    cautions: &["vet"],
    ..Function::PLAIN
};

pub(super) const TOTAL_AMMONIA_FOR: Function = Function {
    name: "total-ammonia-for",
    label: "total ammonia that holds so much un-ionised ammonia",
    group: GROUP,
    arguments: &[
        amount("un-ionised ammonia", "mg/L N", Rising, (0.0, 10.0)),
        ph(Falling, (6.0, 10.0)),
        temperature(Falling, FREE_RANGE),
    ],
    unit: "mg/L N",
    compute: |x| water::total_ammonia_mg_l_n(x[0], x[1], x[2]),
    formula: "un-ionised × (1 + 10^(pKa − pH)), pKa = 0.09018 + 2729.92 ÷ (273.15 + °C)",
    working: |x, y| {
        let mut lines = share_lines(x[1], x[2]);
        lines.push(format!(
            "{} mg/L N ÷ {} = {} mg/L N",
            figure(x[0]),
            figure(water::free_ammonia_fraction(x[1], x[2])),
            figure(y)
        ));
        lines
    },
    source: "emerson-1975",
    cautions: &["vet"],
    ..Function::PLAIN
};

pub(super) const CHRONIC_LIMIT: Function = Function {
    name: "ammonia-chronic-limit",
    label: "chronic criterion for total ammonia",
    group: GROUP,
    arguments: &[ph(Falling, (6.5, 9.0)), temperature(Falling, (0.0, 30.0))],
    unit: "mg/L N",
    compute: |x| water::ammonia_chronic_criterion_mg_l_n(x[0], x[1]),
    formula: "0.8876 × (0.0278 ÷ (1 + 10^(7.688 − pH)) + 1.1994 ÷ (1 + 10^(pH − 7.688))) × 2.126 × 10^(0.028 × (20 − greater of °C and 7))",
    working: |x, y| {
        vec![format!(
            "at pH {} and {} °C: {} mg/L N, as a 30-day mean",
            figure(x[0]),
            figure(x[1]),
            figure(y)
        )]
    },
    also: |x, _| {
        vec![format!(
            "highest four-day mean within it: {} × {} = {} mg/L N",
            water::CHRONIC_MAXIMUM_RATIO,
            figure(water::ammonia_chronic_criterion_mg_l_n(x[0], x[1])),
            figure(water::ammonia_chronic_maximum_mg_l_n(x[0], x[1]))
        )]
    },
    source: "epa-2013",
    cautions: &["vet"],
    ..Function::PLAIN
};

pub(super) const ACUTE_LIMIT: Function = Function {
    name: "ammonia-acute-limit",
    label: "acute criterion for total ammonia",
    group: GROUP,
    arguments: &[ph(Falling, (6.5, 9.0)), temperature(Falling, (0.0, 30.0))],
    unit: "mg/L N",
    compute: |x| water::ammonia_acute_criterion_mg_l_n(x[0], x[1]),
    formula: "0.7249 × (0.0114 ÷ (1 + 10^(7.204 − pH)) + 1.6181 ÷ (1 + 10^(pH − 7.204))) × least of 51.93 and 23.12 × 10^(0.036 × (20 − °C))",
    working: |x, y| {
        vec![format!(
            "at pH {} and {} °C: {} mg/L N, as a one-hour mean",
            figure(x[0]),
            figure(x[1]),
            figure(y)
        )]
    },
    also: |x, _| {
        vec![format!(
            "where salmon and trout live: {} mg/L N",
            figure(water::ammonia_acute_criterion_salmonids_mg_l_n(x[0], x[1]))
        )]
    },
    source: "epa-2013",
    cautions: &["vet"],
    ..Function::PLAIN
};

pub(super) const AMMONIUM_CHLORIDE_FOR: Function = Function {
    name: "ammonium-chloride-for",
    label: "ammonium chloride",
    group: GROUP,
    arguments: &[amount("wanted rise", "mg/L N", Rising, RISE), WATER],
    unit: "g",
    compute: |x| water::ammonium_chloride_g(x[0], x[1]),
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
    also: |x, _| {
        vec![format!(
            "it adds {} mg/L of chloride",
            figure(x[0] * CL_G_MOL / N_G_MOL)
        )]
    },
    source: "iupac-2021",
    cautions: &["ammonia"],
    ..Function::PLAIN
};

pub(super) const AMMONIA_SOLUTION_FOR: Function = Function {
    name: "ammonia-solution-for",
    label: "ammonia solution",
    group: GROUP,
    arguments: &[
        amount("wanted rise", "mg/L N", Rising, RISE),
        WATER,
        told(
            share("strength", Falling, (1.0, 35.0)),
            "Grams of NH3 in 100 g of the solution, from its label. Pure solution only, without soap or scent.",
        ),
    ],
    unit: "mL",
    compute: |x| {
        let density = water::ammonia_solution_density_g_ml(x[2]);
        water::ammonia_solution_ml(x[0], x[1], x[2], density)
    },
    formula: "rise × litres ÷ (density × strength × 1000 × M(N) ÷ M(NH3)), density = 0.9982 − 0.0043 w + 0.000026 w² g/mL for w %",
    working: |x, y| {
        let density = water::ammonia_solution_density_g_ml(x[2]);
        let in_one_ml = water::ammonia_solution_rise_mg_l_n(1.0, 1.0, x[2], density);
        vec![
            format!("density at {} % = {density:.3} g/mL", figure(x[2])),
            format!(
                "1 mL holds {density:.3} g × {} × 1000 × {:.4} = {} mg N",
                figure(x[2] / 100.0),
                N_G_MOL / NH3_G_MOL,
                figure(in_one_ml)
            ),
            format!(
                "{} mg/L N × {} L ÷ {} mg = {} mL",
                figure(x[0]),
                figure(x[1]),
                figure(in_one_ml),
                figure(y)
            ),
        ]
    },
    source: "perry-1997",
    cautions: &["ammonia", "bleach"],
    ..Function::PLAIN
};

pub(super) const AMMONIA_SOLUTION_ADDS: Function = Function {
    name: "ammonia-solution-adds",
    label: "rise of total ammonia from ammonia solution",
    group: GROUP,
    arguments: &[
        amount("solution", "mL", Rising, ANY),
        INTO_WATER,
        told(
            share("strength", Rising, (1.0, 35.0)),
            "Grams of NH3 in 100 g of the solution, from its label.",
        ),
    ],
    unit: "mg/L N",
    compute: |x| {
        let density = water::ammonia_solution_density_g_ml(x[2]);
        water::ammonia_solution_rise_mg_l_n(x[0], x[1], x[2], density)
    },
    formula: "millilitres × density × strength × 1000 × M(N) ÷ M(NH3) ÷ litres, density = 0.9982 − 0.0043 w + 0.000026 w² g/mL for w %",
    working: |x, y| {
        let density = water::ammonia_solution_density_g_ml(x[2]);
        vec![
            format!("density at {} % = {density:.3} g/mL", figure(x[2])),
            format!(
                "{} mL × {density:.3} g/mL × {} × 1000 × {:.4} ÷ {} L = {} mg/L N",
                figure(x[0]),
                figure(x[2] / 100.0),
                N_G_MOL / NH3_G_MOL,
                figure(x[1]),
                figure(y)
            ),
        ]
    },
    source: "perry-1997",
    cautions: &["ammonia", "bleach"],
    ..Function::PLAIN
};

/// What nitrification of so much ammonia takes out of the water.
fn taken(nitrogen_mg_l: f64) -> Vec<String> {
    vec![
        format!(
            "turning it into nitrate uses {} mg/L CaCO3 of carbonate hardness ({} °dH) and {} mg/L of oxygen",
            figure(water::alkalinity_used_mg_l_caco3(nitrogen_mg_l)),
            figure(water::alkalinity_used_mg_l_caco3(nitrogen_mg_l) / water::DEGREE_DH_MG_L_CACO3),
            figure(water::oxygen_used_mg_l(nitrogen_mg_l))
        ),
        format!(
            "and leaves {} mg/L NO3 of nitrate",
            figure(nitrogen_mg_l * NO3_G_MOL / N_G_MOL)
        ),
    ]
}

pub(super) const AMMONIA_FROM_FOOD: Function = Function {
    name: "ammonia-from-food",
    label: "total ammonia from food",
    group: GROUP,
    arguments: &[
        told(
            amount("food", "g", Rising, ANY),
            "Dry food, of one day or of any other span.",
        ),
        told(
            share("protein", Rising, (20.0, 60.0)),
            "From the label of the food.",
        ),
        INTO_WATER,
    ],
    unit: "mg/L N",
    compute: |x| water::ammonia_from_food_mg_n(x[0], x[1] / 100.0) / x[2],
    formula: "grams × 1000 × protein × 0.092 ÷ litres, 0.092 = 0.16 nitrogen in protein × 0.8 taken up × 0.8 given off × 0.9 of it as ammonia",
    working: |x, y| {
        let nitrogen = water::ammonia_from_food_mg_n(x[0], x[1] / 100.0);
        vec![
            format!(
                "{} g × 1000 × {} × 0.092 = {} mg N",
                figure(x[0]),
                figure(x[1] / 100.0),
                figure(nitrogen)
            ),
            format!(
                "{} mg N ÷ {} L = {} mg/L N",
                figure(nitrogen),
                figure(x[2]),
                figure(y)
            ),
        ]
    },
    also: |_, y| taken(y),
    source: "timmons-ebeling-2010",
    cautions: &[],
    ..Function::PLAIN
};

pub(super) const FOOD_FOR_AMMONIA: Function = Function {
    name: "food-for-ammonia",
    label: "food that gives so much ammonia",
    group: GROUP,
    arguments: &[
        told(
            AMMONIA,
            "What the food is to give, in the same span as it is fed in.",
        ),
        WATER,
        told(
            share("protein", Falling, (20.0, 60.0)),
            "From the label of the food.",
        ),
    ],
    unit: "g",
    compute: |x| x[0] * x[1] / water::ammonia_from_food_mg_n(1.0, x[2] / 100.0),
    formula: "ammonia × litres ÷ (1000 × protein × 0.092)",
    working: |x, y| {
        let per_gram = water::ammonia_from_food_mg_n(1.0, x[2] / 100.0);
        vec![
            format!(
                "1 g gives 1000 × {} × 0.092 = {} mg N",
                figure(x[2] / 100.0),
                figure(per_gram)
            ),
            format!(
                "{} mg/L N × {} L ÷ {} mg = {} g",
                figure(x[0]),
                figure(x[1]),
                figure(per_gram),
                figure(y)
            ),
        ]
    },
    source: "timmons-ebeling-2010",
    ..Function::PLAIN
};

pub(super) const KH_USED_BY: Function = Function {
    name: "kh-used-by",
    label: "carbonate hardness used up by oxidising ammonia",
    group: GROUP,
    arguments: &[AMMONIA],
    unit: "mg/L CaCO3",
    compute: |x| water::alkalinity_used_mg_l_caco3(x[0]),
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
    ..Function::PLAIN
};

pub(super) const OXYGEN_USED_BY: Function = Function {
    name: "oxygen-used-by",
    label: "oxygen used up by oxidising ammonia",
    group: GROUP,
    arguments: &[AMMONIA],
    unit: "mg/L O2",
    compute: |x| water::oxygen_used_mg_l(x[0]),
    formula: "two O2 for each nitrogen: 4.57 mg of oxygen for each mg of nitrogen",
    working: |x, y| {
        vec![format!(
            "{} mg/L N × {:.3} = {} mg/L O2",
            figure(x[0]),
            water::oxygen_used_mg_l(1.0),
            figure(y)
        )]
    },
    source: "iupac-2021",
    ..Function::PLAIN
};

pub(super) const NITROGEN_CONVERSION: Function = Function {
    name: "nitrogen-conversion",
    label: "nitrogen in a reading",
    group: GROUP,
    arguments: &[told(
        amount("reading", "mg/L N", Rising, ANY),
        "Of ammonia, nitrite or nitrate, in the unit of the test.",
    )],
    unit: "mg/L N",
    compute: |x| x[0],
    formula: "reading × M(N) ÷ M(what the test counts)",
    working: |x, _| {
        let counted = |name: &str, mass: f64| {
            format!(
                "counted as {name}: {} × {:.4} = {} mg/L",
                figure(x[0]),
                mass / N_G_MOL,
                figure(x[0] * mass / N_G_MOL)
            )
        };
        vec![
            counted("NH3", NH3_G_MOL),
            counted("NH4", NH4_G_MOL),
            counted("NO2", NO2_G_MOL),
            counted("NO3", NO3_G_MOL),
        ]
    },
    source: "iupac-2021",
    ..Function::PLAIN
};
