//! More rows told once more in the words of the book: planting day, first weeks, algae, animals, running, and the gates.

use lentic::engine::GateVerdict::{CannotTell, NotYet, Yes};

use crate::told::Comes::{self, Gate, Says};

/// The row, what is known, and what it comes to.
pub const ROWS: &[(&str, &str, &[Comes])] = &[
    // ---- Planting day
    (
        "example-plant-ammonia-gate",
        "planted no, start planted, plants-on-hand very-sensitive, total-ammonia 1.5 mg/L N",
        &[Says("plants-must-wait", "Hold the sensitive ones back")],
    ),
    (
        "example-plant-order-of-work",
        "planted no, start planted",
        &[Says(
            "order-of-planting",
            "then the background, the middle and the front",
        )],
    ),
    (
        "example-plant-refill-gently",
        "planted no, start planted",
        &[Says("order-of-planting", "Fill over a plate or a bag")],
    ),
    (
        "example-plant-invitro-rinse",
        "planted yes, signs gel-slime",
        &[Says(
            "slime-on-plants-from-a-cup",
            "rinse it in treated water",
        )],
    ),
    (
        "example-plant-invitro-class",
        "planted 5 days ago, plant-class very-sensitive, total-ammonia 0.8 mg/L N",
        &[Says("ammonia-costs-plants", "Change half the water today")],
    ),
    (
        "example-plant-rhizome-not-buried",
        "planted yes, signs buried-rhizome",
        &[Says("rhizome-under-the-bed", "Lift it")],
    ),
    (
        "plant-11",
        "planted yes, signs buried-rhizome",
        &[Says("rhizome-under-the-bed", "Lift it")],
    ),
    (
        "example-plant-crown-level",
        "planted yes, signs buried-rhizome",
        &[Says(
            "rhizome-under-the-bed",
            "crowns a little above the surface",
        )],
    ),
    (
        "example-plant-emersed-form",
        "planted 12 days ago, signs melting-leaves and new-tips-sound",
        &[Says("old-leaves-melt", "usual change of leaf")],
    ),
    (
        "example-plant-density",
        "planted 2 days ago, plant-cover 10 %, light-strength high",
        &[Says("floor-too-bare", "dim the light")],
    ),
    (
        "example-plant-requirements-fit",
        "planted yes, plants-on-hand very-sensitive, gh 14 °dH, co2-on no",
        &[Says("plants-unlike-the-tank", "Tonina will not last")],
    ),
    (
        "example-plant-co2-only",
        "planted 40 days ago, light-strength high, co2-on no",
        &[Says("fair-light-without-co2", "Prefer tape grass")],
    ),
    (
        "example-plant-floaters-wet-top",
        "planted yes, signs wet-floaters",
        &[Says("wet-floating-leaves", "gap of air")],
    ),
    // ---- First weeks
    (
        "example-light-start-hours",
        "planted 5 days ago, light-hours 10 h",
        &[Says("light-too-long-at-first", "Give 6 hours")],
    ),
    (
        "example-light-intensity-class",
        "planted 5 days ago, light-strength high, co2-on no",
        &[Says("strong-light-without-co2", "Dim or raise the lamp")],
    ),
    (
        "example-light-too-low",
        "planted 60 days ago, signs stretched-stems",
        &[Says(
            "lower-leaves-starve",
            "Raise the strength of the light",
        )],
    ),
    (
        "example-co2-target",
        "planted yes, co2-on yes, kh 4 °dH, ph 6.4, temperature 25 °C, fish 1",
        &[Says("co2-far-too-high", "Turn CO2 off now")],
    ),
    (
        "example-co2-one-point-drop",
        "planted yes, co2-on yes, ph-drop 1.0",
        &[Says("ph-drop-is-no-proof", "6 to 15 mg/L")],
    ),
    (
        "example-co2-livestock-signs",
        "planted yes, co2-on yes, signs gasping, fish 1",
        &[Says("co2-with-signs", "Turn CO2 off now")],
    ),
    (
        "example-co2-night",
        "planted yes, co2-at-night yes, fish 1",
        &[Says("co2-flows-at-night", "on a timer")],
    ),
    (
        "example-co2-before-fish",
        "planted yes, co2-on yes, signs bag-short",
        &[Says("bag-and-co2", "once it has been off for some hours")],
    ),
    (
        "example-sign-melt",
        "planted 12 days ago, total-ammonia 0.1 mg/L N, plant-class sensitive, \
         signs melting-leaves and new-tips-sound",
        &[Says("old-leaves-melt", "Leave a bald Cryptocoryne alone")],
    ),
    (
        "example-sign-not-deficiency",
        "planted 12 days ago, signs old-leaves-pale",
        &[Says(
            "leaf-signs-of-the-first-weeks",
            "Do not add fertiliser",
        )],
    ),
    (
        "example-fert-hold-rich",
        "planted 2 days ago, bed releasing, fertilised yes",
        &[Says("rich-bed-feeds-plants", "Add no nitrogen now")],
    ),
    // ---- Algae
    (
        "example-alga-diatoms",
        "planted 12 days ago, signs brown-dust, nitrite 1 mg/L N",
        &[Says(
            "brown-dust-on-glass",
            "Grazers come only when the tank may hold animals",
        )],
    ),
    (
        "example-alga-green-dust",
        "planted 35 days ago, signs green-dust, light-hours 9 h, light-strength high",
        &[Says("green-dust-on-glass", "Take two hours off the light")],
    ),
    (
        "example-alga-green-spot",
        "planted 90 days ago, signs green-spots, phosphate 0 mg/L PO4",
        &[Says(
            "green-dots-and-no-phosphate",
            "bring phosphate to 0.5 to 2 mg/L",
        )],
    ),
    (
        "example-cloud-white",
        "planted no, signs milky-water",
        &[Says("milky-water-in-a-new-tank", "add no clearing agent")],
    ),
    (
        "example-biofilm-wood",
        "start planted, planted 5 days ago, signs white-film and bag-short, \
         total-ammonia 1 mg/L N, nitrite 0 mg/L N",
        &[Says("bag-beside-poison", "Do not put them in")],
    ),
    (
        "example-algicide-refuse",
        "planted yes, additives algae-remover, shrimp 1",
        &[Says(
            "algae-remover-and-shrimp-or-snails",
            "Add no more of it",
        )],
    ),
    (
        "hazard-09",
        "planted yes, additives algae-remover, shrimp 1",
        &[Says("algae-remover-and-shrimp-or-snails", "copper")],
    ),
    (
        "example-liquid-carbon-caution",
        "planted yes, additives liquid-carbon, plant-class sensitive",
        &[Says(
            "liquid-carbon-and-tender-plants",
            "change half the water the same day",
        )],
    ),
    // ---- Animals
    (
        "example-stock-cleanup-first",
        "start planted, planted 30 days ago, total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrite 0 mg/L N 1 day ago then 0 mg/L N, nitrate 15 mg/L NO3, tap-nitrate 5 mg/L NO3, \
         change-before-tests 0 %, temperature 24 °C, water-treated yes, co2-on no, signs green-dust",
        &[Says("crew-may-come", "a snail for 20 L, a shrimp for 10 L")],
    ),
    (
        "example-stock-grazer-starve",
        "planted yes, signs sunken-belly, fish 1",
        &[Says("sunken-belly", "call a veterinarian")],
    ),
    (
        "example-acclimate-long-bag",
        "start dark, proven-before-planting yes, planted 10 days ago, total-ammonia 0 mg/L N, \
         nitrite 0 mg/L N, nitrate 10 mg/L NO3, temperature 25 °C, water-treated yes, co2-on no, \
         signs bag-long",
        &[Says("bag-of-a-long-way", "Do not drip into the bag")],
    ),
    (
        "example-acclimate-float",
        "start dark, proven-before-planting yes, planted 10 days ago, total-ammonia 0 mg/L N, \
         nitrite 0 mg/L N, nitrate 10 mg/L NO3, temperature 25 °C, water-treated yes, co2-on no, \
         signs bag-short",
        &[Says("bag-of-a-short-way", "15 to 30 minutes")],
    ),
    (
        "example-quarantine-fish",
        "planted yes, signs bag-short, fish 1",
        &[Says("newcomers-stay-apart", "three to four weeks")],
    ),
    (
        "example-quarantine-copper",
        "planted yes, signs bag-short, shrimp 1",
        &[Says(
            "bag-water-beside-shrimp",
            "Ask whether copper or formalin was used",
        )],
    ),
    (
        "example-invert-hardness",
        "planted yes, ph 6.2, gh 7 °dH, snails 1",
        &[Says("snails-in-soft-water", "keep shrimp for soft water")],
    ),
    (
        "example-invert-heat",
        "planted yes, temperature 31 °C, shrimp 1",
        &[Says("water-too-warm", "a fan over the surface")],
    ),
    (
        "example-vet-refer",
        "planted yes, signs sores, total-ammonia 0 mg/L N, nitrite 0 mg/L N, nitrate 10 mg/L NO3, \
         fish 1",
        &[Says(
            "spots-or-sores",
            "call a veterinarian who treats fish, before any salt or medicine",
        )],
    ),
    // ---- Running
    (
        "example-run-weekly",
        "start planted, bed releasing, planted 40 days ago, changed 8 days ago",
        &[Says("change-due", "Change half the water")],
    ),
    (
        "example-run-change-size",
        "planted yes, nitrate 60 mg/L NO3, nitrite 0 mg/L N, tap-nitrate 10 mg/L NO3, fish 1",
        &[Says("nitrate-gathers", "70 %")],
    ),
    (
        "example-run-change-impossible",
        "planted yes, nitrate 60 mg/L NO3, tap-nitrate 40 mg/L NO3, fish 1",
        &[Says("nitrate-beyond-the-tap", "Blend it with pure water")],
    ),
    (
        "example-run-filter-clean",
        "planted yes, filter-washed tap, filter-cleaned-on 2026-09-24, fish 1",
        &[Says("film-was-washed-away", "as not cycled")],
    ),
    (
        "example-run-old-tank",
        "planted yes, filled 700 days ago, bed inert, co2-on no, kh 0.5 °dH, ph 5.6, tap-ph 8.0, \
         temperature 25 °C, total-ammonia 3 mg/L N, fish 1",
        &[Says("old-tank-holds-ammonia", "change a tenth")],
    ),
    (
        "example-run-fert-targets",
        "planted 90 days ago, plant-class tolerant, nitrate 0 mg/L NO3, phosphate 2 mg/L PO4",
        &[Says("nitrate-used-up", "Aim at nitrate 10 to 25")],
    ),
    (
        "example-run-deficiency",
        "planted 90 days ago, signs new-leaves-pale",
        &[Says("new-leaves-turn-pale", "iron")],
    ),
    (
        "example-run-holiday",
        "planted yes, leaving-on 2026-09-26, fish 1",
        &[Says("before-you-leave", "Add no animals now")],
    ),
    (
        "example-run-medicine",
        "planted yes, additives medicine, shrimp 1",
        &[Says("medicine-beside-shrimp-or-snails", "contains copper")],
    ),
    (
        "example-run-topup",
        "planted yes, gh 8 °dH 28 days ago then 12 °dH",
        &[Says("salts-gather", "with pure or soft water")],
    ),
    (
        "example-stock-stages",
        "start fed, proven-before-planting yes, planted 30 days ago, total-ammonia 0 mg/L N, nitrite 0 mg/L N, \
         nitrate 20 mg/L NO3, temperature 24 °C, water-treated yes, co2-on no, snails 3, \
         animals-added-on 2026-09-10",
        &[Says("fish-may-come", "a third of the fish")],
    ),
    // ---- Gates, from one tank that is ready: two days of zeros, planted 30 days ago. What is not measured, or once only,
    // is not refused but asked for.
    (
        "gate-01",
        "start planted, planted 30 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, \
         water-treated yes, co2-on no",
        &[Gate("add-crew", Yes)],
    ),
    (
        "gate-02",
        "start planted, planted 26 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, \
         water-treated yes, co2-on no",
        &[Gate("add-fish", NotYet)],
    ),
    (
        "gate-03",
        "start planted, planted 23 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, \
         water-treated yes, co2-on no",
        &[Gate("add-crew", Yes)],
    ),
    (
        "gate-04",
        "start dark, planted 3 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, \
         water-treated yes, co2-on no, proven-before-planting yes",
        &[Gate("add-crew", Yes)],
    ),
    (
        "gate-05",
        "start fed, planted 30 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, \
         water-treated yes, co2-on no, proven-before-planting yes",
        &[Gate("add-fish", Yes)],
    ),
    (
        "gate-06",
        "start planted, planted 30 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrate 20 mg/L NO3, \
         tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, water-treated yes, \
         co2-on no",
        &[Gate("add-crew", CannotTell)],
    ),
    (
        "gate-07",
        "start planted, planted 30 days ago, filled 30 days ago, total-ammonia 0 mg/L N, \
         nitrite 0 mg/L N, nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, \
         temperature 24 °C, water-treated yes, co2-on no",
        &[Gate("add-crew", CannotTell)],
    ),
    (
        "gate-08",
        "start planted, planted 30 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrate 60 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, \
         water-treated yes, co2-on no",
        &[Gate("add-crew", NotYet)],
    ),
    (
        "gate-10",
        "start planted, planted 30 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, \
         water-treated yes, co2-on yes, kh 4 °dH, ph 6.6",
        &[Gate("add-crew", NotYet)],
    ),
    (
        "example-stock-gate",
        "start planted, planted 30 days ago, filled 30 days ago, \
         total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrate 20 mg/L NO3, \
         tap-nitrate 5 mg/L NO3, change-before-tests 0 %, temperature 24 °C, water-treated yes, \
         co2-on no",
        &[Gate("add-crew", CannotTell)],
    ),
];
