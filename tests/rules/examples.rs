//! The examples and gates of the table that were drawn up in words: the facts each comes to, and what must be said.
//! Where a row states a level, the rule must have it.

use crate::known::{Known, level_of};
use crate::support::{book, name};
use crate::table::Row;

/// A row, the animals in the tank, what is known, the rule that must speak, and words it must use.
type Example = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static str,
    &'static str,
);

const EXAMPLES: &[Example] = &[
    // ---- Planting day
    (
        "example-plant-ammonia-gate",
        "none",
        &[
            ("planted", "no"),
            ("start", "planted"),
            ("plants-on-hand", "very-sensitive"),
            ("total-ammonia", "1.5 mg/L N"),
        ],
        "plants-must-wait",
        "Hold the sensitive ones back",
    ),
    (
        "example-plant-order-of-work",
        "none",
        &[("planted", "no"), ("start", "planted")],
        "order-of-planting",
        "then the background, the middle and the front",
    ),
    (
        "example-plant-refill-gently",
        "none",
        &[("planted", "no"), ("start", "planted")],
        "order-of-planting",
        "Fill over a plate or a bag",
    ),
    (
        "example-plant-invitro-rinse",
        "none",
        &[("signs", "gel-slime")],
        "slime-on-plants-from-a-cup",
        "rinse it in treated water",
    ),
    (
        "example-plant-invitro-class",
        "none",
        &[
            ("planted-on", "5 days ago"),
            ("plant-class", "very-sensitive"),
            ("total-ammonia", "0.8 mg/L N"),
        ],
        "ammonia-costs-plants",
        "Change half the water today",
    ),
    (
        "example-plant-rhizome-not-buried",
        "none",
        &[("signs", "buried-rhizome")],
        "rhizome-under-the-bed",
        "Lift it",
    ),
    (
        "plant-11",
        "none",
        &[("signs", "buried-rhizome")],
        "rhizome-under-the-bed",
        "Lift it",
    ),
    (
        "example-plant-crown-level",
        "none",
        &[("signs", "buried-rhizome")],
        "rhizome-under-the-bed",
        "crowns a little above the surface",
    ),
    (
        "example-plant-emersed-form",
        "none",
        &[
            ("planted-on", "12 days ago"),
            ("signs", "melting-leaves and new-tips-sound"),
        ],
        "old-leaves-melt",
        "usual change of leaf",
    ),
    (
        "example-plant-density",
        "none",
        &[
            ("planted-on", "2 days ago"),
            ("plant-cover", "10 %"),
            ("light-strength", "high"),
        ],
        "floor-too-bare",
        "dim the light",
    ),
    (
        "example-plant-requirements-fit",
        "none",
        &[
            ("plants-on-hand", "very-sensitive"),
            ("gh", "14 °dH"),
            ("co2-on", "no"),
        ],
        "plants-unlike-the-tank",
        "Tonina will not last",
    ),
    (
        "example-plant-co2-only",
        "none",
        &[
            ("planted-on", "40 days ago"),
            ("light-strength", "high"),
            ("co2-on", "no"),
        ],
        "fair-light-without-co2",
        "Prefer tape grass",
    ),
    (
        "example-plant-moss-ball-check",
        "none",
        &[("signs", "striped-shells")],
        "striped-shells-are-destroyed",
        "down a drain",
    ),
    (
        "legal-09",
        "none",
        &[("signs", "striped-shells")],
        "striped-shells-are-destroyed",
        "freeze it for 24 hours, or boil it for a minute",
    ),
    (
        "example-plant-floaters-wet-top",
        "none",
        &[("signs", "wet-floaters")],
        "wet-floating-leaves",
        "gap of air",
    ),
    // ---- First weeks
    (
        "example-change-due",
        "none",
        &[
            ("start", "planted"),
            ("bed", "releasing"),
            ("planted-on", "10 days ago"),
            ("changed-on", "2 days ago"),
        ],
        "change-due-early",
        "change half the water today",
    ),
    // Day 19 is two days off.
    (
        "example-change-not-due",
        "none",
        &[
            ("start", "planted"),
            ("bed", "releasing"),
            ("planted-on", "17 days ago"),
            ("changed-on", "1 days ago"),
        ],
        "change-not-due",
        "2026-09-27",
    ),
    (
        "example-change-missed",
        "none",
        &[
            ("start", "planted"),
            ("bed", "releasing"),
            ("planted-on", "5 days ago"),
            ("changed-on", "3 days ago"),
            ("plant-class", "very-sensitive"),
            ("total-ammonia", "2 mg/L N"),
        ],
        "ammonia-costs-plants",
        "change half again",
    ),
    (
        "example-change-taper-guard",
        "none",
        &[
            ("start", "planted"),
            ("bed", "releasing"),
            ("planted-on", "8 days ago"),
            ("changed-on", "1 days ago"),
            ("plant-class", "sensitive"),
            ("total-ammonia", "1 mg/L N"),
        ],
        "ammonia-keeps-the-rhythm",
        "shorter interval of 1 day",
    ),
    (
        "example-change-skip-early-refused",
        "none",
        &[
            ("start", "planted"),
            ("bed", "releasing"),
            ("planted-on", "4 days ago"),
            ("total-ammonia", "0 mg/L N"),
        ],
        "zero-after-daily-changes",
        "Do not skip a change",
    ),
    (
        "example-change-after-dark-start",
        "none",
        &[("start", "dark"), ("planted-on", "2 days ago")],
        "fresh-planting-tests",
        "first four days",
    ),
    (
        "example-change-inert-planted",
        "none",
        &[
            ("start", "planted"),
            ("bed", "inert"),
            ("planted-on", "4 days ago"),
        ],
        "inert-bed-weekly",
        "each week is enough",
    ),
    (
        "example-change-size-safety",
        "fish",
        &[
            ("total-ammonia", "1 mg/L N"),
            ("ph", "6.3"),
            ("tap-ph", "8.0"),
        ],
        "new-water-would-raise-ph",
        "a fifth to a quarter at a time",
    ),
    (
        "example-light-start-hours",
        "none",
        &[("planted-on", "5 days ago"), ("light-hours", "10 h")],
        "light-too-long-at-first",
        "Give 6 hours",
    ),
    (
        "example-light-intensity-class",
        "none",
        &[
            ("planted-on", "5 days ago"),
            ("light-strength", "high"),
            ("co2-on", "no"),
        ],
        "strong-light-without-co2",
        "Dim or raise the lamp",
    ),
    (
        "example-light-too-low",
        "none",
        &[("planted-on", "60 days ago"), ("signs", "stretched-stems")],
        "lower-leaves-starve",
        "Raise the strength of the light",
    ),
    (
        "example-co2-target",
        "fish",
        &[
            ("co2-on", "yes"),
            ("kh", "4 °dH"),
            ("ph", "6.4"),
            ("temperature", "25 °C"),
        ],
        "co2-far-too-high",
        "Turn CO2 off now",
    ),
    (
        "example-co2-one-point-drop",
        "none",
        &[("co2-on", "yes"), ("ph-drop", "1.0")],
        "ph-drop-is-no-proof",
        "6 to 15 mg/L",
    ),
    (
        "example-co2-livestock-signs",
        "fish",
        &[("co2-on", "yes"), ("signs", "gasping")],
        "co2-with-signs",
        "Turn CO2 off now",
    ),
    (
        "example-co2-night",
        "fish",
        &[("co2-at-night", "yes")],
        "co2-flows-at-night",
        "on a timer",
    ),
    (
        "example-co2-before-fish",
        "none",
        &[("co2-on", "yes"), ("signs", "bag-short")],
        "bag-and-co2",
        "once it has been off for some hours",
    ),
    (
        "example-sign-melt",
        "none",
        &[
            ("planted-on", "12 days ago"),
            ("total-ammonia", "0.1 mg/L N"),
            ("plant-class", "sensitive"),
            ("signs", "melting-leaves and new-tips-sound"),
        ],
        "old-leaves-melt",
        "Leave a bald Cryptocoryne alone",
    ),
    (
        "example-sign-not-deficiency",
        "none",
        &[("planted-on", "12 days ago"), ("signs", "old-leaves-pale")],
        "leaf-signs-of-the-first-weeks",
        "Do not add fertiliser",
    ),
    (
        "example-fert-hold-rich",
        "none",
        &[
            ("planted-on", "2 days ago"),
            ("bed", "releasing"),
            ("fertilised", "yes"),
        ],
        "rich-bed-feeds-plants",
        "Add no nitrogen now",
    ),
    // ---- Algae
    (
        "example-alga-diatoms",
        "none",
        &[
            ("planted-on", "12 days ago"),
            ("signs", "brown-dust"),
            ("nitrite", "1 mg/L N"),
        ],
        "brown-dust-on-glass",
        "Grazers come only when the tank may hold animals",
    ),
    (
        "example-alga-green-dust",
        "none",
        &[
            ("planted-on", "35 days ago"),
            ("signs", "green-dust"),
            ("light-hours", "9 h"),
            ("light-strength", "high"),
        ],
        "green-dust-on-glass",
        "Take two hours off the light",
    ),
    (
        "example-alga-green-spot",
        "none",
        &[
            ("planted-on", "90 days ago"),
            ("signs", "green-spots"),
            ("phosphate", "0 mg/L PO4"),
        ],
        "green-dots-and-no-phosphate",
        "bring phosphate to 0.5 to 2 mg/L",
    ),
    (
        "example-cloud-white",
        "none",
        &[("planted", "no"), ("signs", "milky-water")],
        "milky-water-in-a-new-tank",
        "add no clearing agent",
    ),
    (
        "example-biofilm-wood",
        "none",
        &[
            ("start", "planted"),
            ("planted-on", "5 days ago"),
            ("signs", "white-film and bag-short"),
            ("total-ammonia", "1 mg/L N"),
            ("nitrite", "0 mg/L N"),
        ],
        "bag-beside-poison",
        "Do not put them in",
    ),
    (
        "example-algicide-refuse",
        "shrimp",
        &[("additives", "algae-remover")],
        "algae-remover-and-shrimp-or-snails",
        "Add no more of it",
    ),
    (
        "hazard-09",
        "shrimp",
        &[("additives", "algae-remover")],
        "algae-remover-and-shrimp-or-snails",
        "copper",
    ),
    (
        "example-liquid-carbon-caution",
        "none",
        &[("additives", "liquid-carbon"), ("plant-class", "sensitive")],
        "liquid-carbon-and-tender-plants",
        "change half the water the same day",
    ),
    // ---- Animals
    (
        "example-stock-cleanup-first",
        "none",
        &[
            ("start", "planted"),
            ("planted-on", "30 days ago"),
            ("total-ammonia", "0 mg/L N twice"),
            ("nitrite", "0 mg/L N twice"),
            ("nitrate", "15 mg/L NO3"),
            ("tap-nitrate", "5 mg/L NO3"),
            ("change-before-tests", "0 %"),
            ("temperature", "24 °C"),
            ("water-treated", "yes"),
            ("co2-on", "no"),
            ("signs", "green-dust"),
        ],
        "crew-may-come",
        "a snail for 20 L, a shrimp for 10 L",
    ),
    (
        "example-stock-grazer-starve",
        "fish",
        &[("signs", "sunken-belly")],
        "sunken-belly",
        "call a veterinarian",
    ),
    (
        "example-acclimate-long-bag",
        "none",
        PROVEN_AND_LONG,
        "bag-of-a-long-way",
        "Do not drip into the bag",
    ),
    (
        "example-acclimate-float",
        "none",
        PROVEN_AND_SHORT,
        "bag-of-a-short-way",
        "15 to 30 minutes",
    ),
    (
        "example-quarantine-fish",
        "fish",
        &[("signs", "bag-short")],
        "newcomers-stay-apart",
        "three to four weeks",
    ),
    (
        "example-quarantine-copper",
        "shrimp",
        &[("signs", "bag-short")],
        "bag-water-beside-shrimp",
        "Ask whether copper or formalin was used",
    ),
    (
        "example-invert-hardness",
        "snail",
        &[("ph", "6.2"), ("gh", "7 °dH")],
        "snails-in-soft-water",
        "keep shrimp for soft water",
    ),
    (
        "example-invert-heat",
        "shrimp",
        &[("temperature", "31 °C")],
        "water-too-warm",
        "a fan over the surface",
    ),
    (
        "example-vet-refer",
        "fish",
        &[
            ("signs", "sores"),
            ("total-ammonia", "0 mg/L N"),
            ("nitrite", "0 mg/L N"),
            ("nitrate", "10 mg/L NO3"),
        ],
        "spots-or-sores",
        "call a veterinarian who treats fish, before any salt or medicine",
    ),
    (
        "hazard-07",
        "fish",
        &[("water-treated", "no"), ("disinfectant", "chlorine")],
        "untreated-water-and-animals",
        "add dechlorinator",
    ),
    (
        "hazard-08",
        "fish",
        &[("water-treated", "no"), ("disinfectant", "chloramine")],
        "untreated-water-and-animals",
        "Standing overnight does not remove chloramine",
    ),
    // ---- Running
    (
        "example-run-weekly",
        "none",
        &[
            ("start", "planted"),
            ("bed", "releasing"),
            ("planted-on", "40 days ago"),
            ("changed-on", "8 days ago"),
        ],
        "change-due",
        "Change half the water",
    ),
    (
        "example-run-change-size",
        "fish",
        &[
            ("nitrate", "60 mg/L NO3"),
            ("nitrite", "0 mg/L N"),
            ("tap-nitrate", "10 mg/L NO3"),
        ],
        "nitrate-gathers",
        "70 %",
    ),
    (
        "example-run-change-impossible",
        "fish",
        &[("nitrate", "60 mg/L NO3"), ("tap-nitrate", "40 mg/L NO3")],
        "nitrate-beyond-the-tap",
        "Blend it with pure water",
    ),
    (
        "example-run-filter-clean",
        "fish",
        &[
            ("filter-washed", "tap"),
            ("filter-cleaned-on", "1 days ago"),
        ],
        "film-was-washed-away",
        "as not cycled",
    ),
    (
        "example-run-old-tank",
        "fish",
        &[
            ("filled-on", "700 days ago"),
            ("bed", "inert"),
            ("co2-on", "no"),
            ("kh", "0.5 °dH"),
            ("ph", "5.6"),
            ("tap-ph", "8.0"),
            ("temperature", "25 °C"),
            ("total-ammonia", "3 mg/L N"),
        ],
        "old-tank-holds-ammonia",
        "change a tenth",
    ),
    (
        "example-run-fert-targets",
        "none",
        &[
            ("planted-on", "90 days ago"),
            ("plant-class", "tolerant"),
            ("nitrate", "0 mg/L NO3"),
            ("phosphate", "2 mg/L PO4"),
        ],
        "nitrate-used-up",
        "Aim at nitrate 10 to 25",
    ),
    (
        "example-run-deficiency",
        "none",
        &[("planted-on", "90 days ago"), ("signs", "new-leaves-pale")],
        "new-leaves-turn-pale",
        "iron",
    ),
    (
        "example-run-holiday",
        "fish",
        &[("leaving-on", "-1 days ago")],
        "before-you-leave",
        "Add no animals now",
    ),
    (
        "example-run-replant-deep",
        "fish",
        &[("bed", "releasing"), ("signs", "bed-dug")],
        "bed-dug-beside-animals",
        "Test ammonia tonight",
    ),
    (
        "example-run-medicine",
        "shrimp",
        &[("additives", "medicine")],
        "medicine-beside-shrimp-or-snails",
        "contains copper",
    ),
];

const PROVEN_AND_LONG: &[(&str, &str)] = &[
    ("start", "dark"),
    ("proven-before-planting", "yes"),
    ("planted-on", "10 days ago"),
    ("total-ammonia", "0 mg/L N"),
    ("nitrite", "0 mg/L N"),
    ("nitrate", "10 mg/L NO3"),
    ("temperature", "25 °C"),
    ("water-treated", "yes"),
    ("co2-on", "no"),
    ("signs", "bag-long"),
];

const PROVEN_AND_SHORT: &[(&str, &str)] = &[
    ("start", "dark"),
    ("proven-before-planting", "yes"),
    ("planted-on", "10 days ago"),
    ("total-ammonia", "0 mg/L N"),
    ("nitrite", "0 mg/L N"),
    ("nitrate", "10 mg/L NO3"),
    ("temperature", "25 °C"),
    ("water-treated", "yes"),
    ("co2-on", "no"),
    ("signs", "bag-short"),
];

/// Whether the row is one of the examples; if so, it must come out.
pub fn example(row: &Row) -> bool {
    let Some((id, animals, facts, rule, words)) =
        EXAMPLES.iter().find(|example| example.0 == row.id)
    else {
        return false;
    };
    let mut known = Known::new(id);
    known.animals(animals);
    for (fact, value) in *facts {
        known.tell(fact, value);
    }
    let answer = book().evaluate(&known.facts).answer();
    assert!(answer.clashes.is_empty(), "{id}: {:?}", answer.clashes);
    let point = answer
        .advice
        .iter()
        .find(|point| point.rule == *rule && point.certain);
    let stands: Vec<&str> = answer
        .advice
        .iter()
        .map(|point| point.rule.as_str())
        .collect();
    let point = point.unwrap_or_else(|| panic!("{id}: {rule} is not among {stands:?}"));
    let said = format!("{} {}", point.finding, point.say);
    assert!(said.contains(words), "{id}: `{words}` is not in: {said}");
    for level in ["danger", "act today", "plan"] {
        if row.verdict.starts_with(level) {
            assert_eq!(level_of(Some(point.urgency)), level, "{id}");
        }
    }
    true
}

// ---- Gates

/// A row, the gate, what it adds to or changes in [`READY`], and whether the gate must be open.
type Gate = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
    bool,
);

const READY: &[(&str, &str)] = &[
    ("start", "planted"),
    ("planted-on", "30 days ago"),
    ("filled-on", "30 days ago"),
    ("total-ammonia", "0 mg/L N twice"),
    ("nitrite", "0 mg/L N twice"),
    ("nitrate", "20 mg/L NO3"),
    ("tap-nitrate", "5 mg/L NO3"),
    ("change-before-tests", "0 %"),
    ("temperature", "24 °C"),
    ("water-treated", "yes"),
    ("co2-on", "no"),
];

const GATES: &[Gate] = &[
    ("gate-01", "add-crew", &[], true),
    (
        "gate-02",
        "add-fish",
        &[("planted-on", "26 days ago")],
        false,
    ),
    (
        "gate-03",
        "add-crew",
        &[("planted-on", "23 days ago")],
        true,
    ),
    (
        "gate-04",
        "add-crew",
        &[
            ("start", "dark"),
            ("planted-on", "3 days ago"),
            ("proven-before-planting", "yes"),
        ],
        true,
    ),
    (
        "gate-05",
        "add-fish",
        &[("start", "fed"), ("proven-before-planting", "yes")],
        true,
    ),
    ("gate-06", "add-crew", &[("nitrite", "")], false),
    (
        "gate-07",
        "add-crew",
        &[("total-ammonia", "0 mg/L N"), ("nitrite", "0 mg/L N")],
        false,
    ),
    ("gate-08", "add-crew", &[("nitrate", "60 mg/L NO3")], false),
    // 35 mg/L: the carbonate system at KH 4, pH 6.6 and 25 °C, before activities.
    (
        "gate-10",
        "add-crew",
        &[("co2-on", "yes"), ("kh", "4 °dH"), ("ph", "6.6")],
        false,
    ),
    ("example-stock-gate", "add-crew", &[("nitrite", "")], false),
];

/// Whether the row is about a gate; if so, it must come out.
pub fn gate(row: &Row) -> bool {
    let Some((id, gate, changes, open)) = GATES.iter().find(|gate| gate.0 == row.id) else {
        return false;
    };
    let mut known = Known::new(id);
    known.animals("none");
    let changed = |fact: &str| changes.iter().any(|(name, _)| *name == fact);
    let kept = READY.iter().filter(|(fact, _)| !changed(fact));
    for (fact, value) in kept.chain(*changes).filter(|(_, value)| !value.is_empty()) {
        known.tell(fact, value);
    }
    let verdict = book().evaluate(&known.facts).gate_verdict(gate);
    let verdict = name(&verdict.expect("a gate of the book"));
    assert_eq!(verdict == "yes", *open, "{id}: {verdict}");
    true
}
