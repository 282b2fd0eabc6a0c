//! Tap water: chlorine, chloramine; and nitrite against chloride.

use crate::engine::{Function, figure};
use crate::water::{self, ThiosulfateReaction, constants::*};

use super::{Falling, Rising, WATER, amount, choice, share, told};

const TAP: &str = "Chlorine in tap water";
const NITRITE: &str = "Nitrite and salt";

/// From the largest need to the smallest.
const REACTIONS: [ThiosulfateReaction; 3] = [
    ThiosulfateReaction::ToTetrathionate,
    ThiosulfateReaction::ToSulfur,
    ThiosulfateReaction::ToSulfate,
];

fn reaction(place: f64) -> ThiosulfateReaction {
    REACTIONS[(place as usize).min(REACTIONS.len() - 1)]
}

fn thiosulfate_mg(chlorine: f64, water: f64, form: f64, reaction: ThiosulfateReaction) -> f64 {
    let grams = match form {
        0.0 => water::thiosulfate_crystals_g(chlorine, water, reaction),
        _ => water::thiosulfate_g(chlorine, water, reaction),
    };
    grams * 1000.0
}

pub(super) const THIOSULFATE_FOR: Function = Function {
    name: "thiosulfate-for",
    label: "sodium thiosulfate against chlorine",
    group: TAP,
    arguments: &[
        told(
            amount("chlorine", "mg/L Cl2", Rising, (0.0, 10.0)),
            "Total chlorine, chloramine with it.",
        ),
        WATER,
        choice(
            "form",
            &[
                ("crystals", "crystals, Na2S2O3.5H2O"),
                ("anhydrous", "anhydrous powder, Na2S2O3"),
            ],
        ),
        choice(
            "reaction",
            &[
                (
                    "to-tetrathionate",
                    "to tetrathionate: the largest need, so the careful dose",
                ),
                ("to-sulfur", "to sulfur and sulfate: near neutral pH"),
                ("to-sulfate", "to sulfate alone: chlorine in excess"),
            ],
        ),
    ],
    unit: "mg",
    compute: |x| thiosulfate_mg(x[0], x[1], x[2], reaction(x[3])),
    formula: "chlorine × litres × moles × M(thiosulfate) ÷ M(Cl2): 2 moles for each Cl2 to tetrathionate, 1 to sulfur, 0.25 to sulfate",
    working: |x, y| {
        vec![format!(
            "{} mg/L × {} L × {:.3} = {} mg",
            figure(x[0]),
            figure(x[1]),
            thiosulfate_mg(1.0, 1.0, x[2], reaction(x[3])),
            figure(y)
        )]
    },
    also: |x, _| {
        vec![format!(
            "which reaction wins depends on pH and excess: from {} to {} mg",
            figure(thiosulfate_mg(
                x[0],
                x[1],
                x[2],
                ThiosulfateReaction::ToSulfate
            )),
            figure(thiosulfate_mg(
                x[0],
                x[1],
                x[2],
                ThiosulfateReaction::ToTetrathionate
            ))
        )]
    },
    source: "standard-methods-4500-cl",
    cautions: &["bleach"],
    ..Function::PLAIN
};

pub(super) const AMMONIA_FROM_CHLORAMINE: Function = Function {
    name: "ammonia-from-chloramine",
    label: "total ammonia left by chloramine",
    group: TAP,
    arguments: &[
        told(
            amount("chloramine", "mg/L Cl2", Rising, (0.0, 10.0)),
            "Counted as Cl2, as tests and waterworks do.",
        ),
        told(
            share("share of new water", Rising, (0.0, 100.0)),
            "100 % for the new water alone; for the tank, the share that is changed.",
        ),
    ],
    unit: "mg/L N",
    compute: |x| water::ammonia_from_chloramine_mg_l_n(x[0]) * x[1] / 100.0,
    formula: "chloramine × M(N) ÷ M(Cl2) × share, M(N) = 14.007, M(Cl2) = 70.90",
    working: |x, y| {
        vec![format!(
            "{} mg/L Cl2 × {:.4} × {} = {} mg/L N",
            figure(x[0]),
            water::ammonia_from_chloramine_mg_l_n(1.0),
            figure(x[1] / 100.0),
            figure(y)
        )]
    },
    source: "iupac-2021",
    cautions: &["vet"],
    ..Function::PLAIN
};

pub(super) const NITRITE_LIMIT: Function = Function {
    name: "nitrite-limit",
    label: "short-term guideline for nitrite",
    group: NITRITE,
    arguments: &[amount("chloride", "mg/L Cl", Rising, (0.0, 2000.0))],
    unit: "mg/L N",
    compute: |x| water::nitrite_guideline_short_term_mg_l_n(x[0]),
    formula: "by chloride: 0.06 below 2 mg/L, then 0.12, 0.18, 0.24 and 0.30 by steps of 2 mg/L, 0.60 above 10",
    working: |x, y| {
        vec![format!(
            "at {} mg/L chloride: {} mg/L N, {} mg/L NO2",
            figure(x[0]),
            figure(y),
            figure(y * NO2_G_MOL / N_G_MOL)
        )]
    },
    also: |x, _| {
        let long_term = water::nitrite_guideline_long_term_mg_l_n(x[0]);
        vec![format!(
            "long-term guideline, a 30-day mean: {} mg/L N, {} mg/L NO2",
            figure(long_term),
            figure(long_term * NO2_G_MOL / N_G_MOL)
        )]
    },
    source: "bc-nitrite",
    cautions: &["vet"],
    ..Function::PLAIN
};

const NITRITE_RANGE: (f64, f64) = (0.0, 100.0);
const CHLORIDE_RANGE: (f64, f64) = (0.0, 2000.0);

pub(super) const CHLORIDE_TO_NITRITE: Function = Function {
    name: "chloride-to-nitrite",
    label: "chloride for each part of nitrite",
    group: NITRITE,
    arguments: &[
        amount("chloride", "mg/L Cl", Rising, CHLORIDE_RANGE),
        amount("nitrite", "mg/L NO2", Falling, NITRITE_RANGE),
    ],
    unit: "",
    compute: |x| water::chloride_to_nitrite_ratio(x[0], x[1]).unwrap_or(f64::INFINITY),
    formula: "chloride ÷ nitrite, by weight, nitrite counted as NO2",
    working: |x, y| {
        vec![format!(
            "{} mg/L Cl ÷ {} mg/L NO2 = {}",
            figure(x[0]),
            figure(x[1]),
            figure(y)
        )]
    },
    source: "srac-462",
    cautions: &["vet"],
    ..Function::PLAIN
};

pub(super) const SALT_AGAINST_NITRITE: Function = Function {
    name: "salt-against-nitrite",
    label: "plain salt for a ratio of chloride to nitrite",
    group: NITRITE,
    arguments: &[
        amount("nitrite", "mg/L NO2", Rising, NITRITE_RANGE),
        amount("chloride", "mg/L Cl", Falling, CHLORIDE_RANGE),
        told(
            amount("wanted ratio", "", Rising, (0.0, 100.0)),
            "Parts of chloride to one of nitrite, by weight.",
        ),
        WATER,
    ],
    unit: "g",
    compute: |x| water::sodium_chloride_to_add_mg_l(x[0], x[1], x[2]) * x[3] / 1000.0,
    formula: "greater of 0 and (ratio × nitrite − chloride), × 1.6485 × litres ÷ 1000",
    working: |x, y| {
        let chloride = water::chloride_to_add_mg_l(x[0], x[1], x[2]);
        vec![
            format!(
                "chloride to add: {} × {} − {} = {} mg/L, not less than 0",
                figure(x[2]),
                figure(x[0]),
                figure(x[1]),
                figure(chloride)
            ),
            format!(
                "{} mg/L × {:.4} × {} L ÷ 1000 = {} g",
                figure(chloride),
                water::sodium_chloride_to_add_mg_l(1.0, 0.0, 1.0),
                figure(x[3]),
                figure(y)
            ),
        ]
    },
    also: |x, _| {
        let chloride = water::chloride_to_add_mg_l(x[0], x[1], x[2]);
        vec![format!(
            "it adds {} mg/L of sodium",
            figure(chloride * NA_G_MOL / CL_G_MOL)
        )]
    },
    source: "srac-462",
    cautions: &["salt-beside-animals", "vet"],
    ..Function::PLAIN
};
