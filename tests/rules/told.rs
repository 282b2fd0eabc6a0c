//! Rows of the table of verdicts whose conditions are told in words, said here once more in the words of the book.
//!
//! Where a row names how urgent it is, the rule's own urgency must be the same. Each row keeps its source and provenance
//! in the table.

use lentic::engine::{Facts, GateVerdict, Given, Interval, Reading, Set, Urgency, Verdict};

use crate::support::{book, day};
use crate::table::Row;
use crate::told_running;

/// What a row must come to.
pub enum Comes {
    /// This rule holds.
    To(&'static str),
    /// This rule holds, and its finding or its advice says these words.
    Says(&'static str, &'static str),
    /// This rule may hold: a reading is missing, and it speaks all the same.
    Perhaps(&'static str),
    /// This rule or action is advised by nobody.
    Never(&'static str),
    /// The gate says so.
    Gate(&'static str, GateVerdict),
    /// The fact comes to this number, give or take, in the main units: cm³, mg, W, mg in a cm³.
    Figure(&'static str, f64, f64),
    /// The entry is asked about.
    Question(&'static str, &'static str),
}

use Comes::{Figure, Gate, Never, Perhaps, Question, Says, To};
use GateVerdict::{CannotTell, No, NotYet, Yes};

const ZEROS: &str =
    "total-ammonia 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 1 day ago then 0 mg/L N, ";

/// The row, what is known, and what it comes to.
const ROWS: &[(&str, &str, &[Comes])] = &[
    // ---- Setting up
    (
        "example-plan-net-volume",
        "glass-length 60 cm, glass-width 30 cm, water-depth 33 cm, bed-depth 6 cm, hardscape-volume 3 L",
        &[Figure("net-volume", 49_900.0, 100.0)],
    ),
    (
        "example-plan-floor-load",
        "filled no, net-volume 250 L, floor-kind suspended",
        &[Figure("loaded-weight", 375e6, 1e6), To("heavy-tank")],
    ),
    (
        "example-plan-mass-estimate",
        "filled no, net-volume 45 L",
        &[Figure("loaded-weight", 68e6, 1e6), Never("heavy-tank")],
    ),
    (
        "example-plan-never-move-filled",
        "net-volume 60 L, about-to-do move-filled",
        &[To("never-move-it-filled")],
    ),
    (
        "example-plan-level-and-mat",
        "filled no, around-the-tank uneven-stand",
        &[To("stand-out-of-level")],
    ),
    (
        "example-plan-method-choice",
        "filled no, bed releasing, plants-on-hand very-sensitive, daily-changes-possible no",
        &[To("releasing-bed-and-tender-plants")],
    ),
    (
        "example-plan-daily-change-feasible",
        "filled no, net-volume 300 L, bed releasing, plants-on-hand tolerant, daily-changes-possible no",
        &[To("no-time-for-daily-changes"), Never("tolerant-plants-and-time")],
    ),
    (
        "example-plan-fish-in-refused",
        "filled 3 days ago, start fed, about-to-do fish-to-cycle, total-ammonia 2 mg/L N",
        &[To("fish-do-not-start-a-cycle"), Gate("add-fish", NotYet), Never("add-fish")],
    ),
    ("example-water-source-report", "filled no", &[To("test-the-new-water")]),
    (
        "example-water-dechlorinate",
        "shrimp 5, water-treated no",
        &[To("untreated-water-and-animals")],
    ),
    (
        "example-water-chloramine",
        "fish 5, disinfectant chloramine, water-treated no",
        &[To("untreated-water-and-animals"), To("chloramine-in-the-tap")],
    ),
    (
        "example-water-tap-ammonia-baseline",
        "filled 9 days ago, total-ammonia 0 mg/L N, nitrite 0 mg/L N, nitrate 30 mg/L NO3, tap-nitrate 30 mg/L NO3",
        &[To("nitrate-only-from-the-tap"), Never("declare-cycled")],
    ),
    (
        "example-water-soft-or-ro",
        "filled 1 days ago, start fed, bed inert, tap-kh 0 °dH, total-ammonia 4 mg/L N",
        // 1.6 degrees are 28.6 mg/L CaCO3.
        &[Figure("kh-needed", 28.6e-3, 0.1e-3), To("pure-water-needs-minerals")],
    ),
    (
        "example-water-temperature-match",
        "fish 6, temperature 25 °C, tap-temperature 11 °C",
        &[To("new-water-far-too-cold"), Never("new-water-off-for-animals")],
    ),
    (
        "example-water-hot-tap",
        "shrimp 10, about-to-do hot-tap",
        &[To("hot-tap-water-and-shrimp")],
    ),
    (
        "example-water-supplier-notice",
        "planted 10 days ago, filled 10 days ago, changed 2 days ago, start planted, bed releasing, supplier-notice yes, disinfectant chlorine",
        &[To("supplier-announces-works"), Never("change-due-early")],
    ),
    (
        "example-gear-filter-turnover",
        "filled no, net-volume 100 L, filter-flow 300 L/h",
        &[Figure("flow-share", 3.0, 0.01), To("filter-moves-little")],
    ),
    (
        "example-gear-heater-size",
        "filled no, net-volume 60 L, room-coldest 16 °C",
        &[Figure("heater-needed", 60.0, 0.1)],
    ),
    ("example-gear-heater-dry", "about-to-do hands-in", &[To("hands-in-the-water")]),
    ("example-elec-residual-current", "mains-protected no", &[To("mains-not-protected")]),
    ("example-elec-drip-loop", "around-the-tank low-sockets", &[To("sockets-below-the-water")]),
    ("example-elec-hands-out", "about-to-do hands-in", &[To("hands-in-the-water")]),
    ("example-elec-wet-socket", "signs wet-socket", &[To("water-at-a-socket")]),
    ("example-gas-cylinder-safety", "signs gas-leak", &[To("gas-leak-at-the-cylinder")]),
    ("example-gas-home-fermentation", "around-the-tank home-co2", &[To("co2-from-a-bottle-at-home")]),
    ("example-gas-check-valve", "around-the-tank no-check-valve", &[To("line-without-a-check-valve")]),
    (
        "example-chem-bleach-ammonia",
        "start fed, about-to-do bleach-hard",
        &[To("bleach-beside-ammonia")],
    ),
    (
        "example-chem-ammonia-handling",
        "filled 1 days ago, start fed, bed inert, about-to-do unknown-ammonia, total-ammonia 0 mg/L N, nitrite 0 mg/L N",
        &[To("ammonia-of-unknown-make"), Never("dose-ammonia")],
    ),
    ("example-chem-bleach-dip", "about-to-do bleach-soft", &[To("bleach-on-soft-things")]),
    ("example-hard-rock-test", "stones fizzing, bed releasing", &[To("stone-makes-water-hard")]),
    ("example-hard-wood-prep", "filled no, driftwood yes", &[To("new-wood-will-grow-film")]),
    ("example-hard-rock-no-boil", "about-to-do boil-stones", &[To("stones-are-not-heated")]),
    ("example-read-plausible", "", &[Question("temperature", "78 °C")]),
    (
        "example-read-fresh",
        "start dark, bed releasing, filled 60 days ago, planted 30 days ago, proven-before-planting yes,
         total-ammonia 0 mg/L N 6 days ago, nitrite 0 mg/L N 6 days ago, nitrate 20 mg/L NO3 6 days ago, tap-nitrate 5 mg/L NO3,
         temperature 24 °C, water-treated yes, co2-on no",
        &[Gate("add-fish", NotYet), Never("add-fish")],
    ),
    (
        "example-set-substrate-depth",
        "filled no, bed releasing, bed-depth 12 cm",
        &[To("deep-rich-bed")],
    ),
    (
        "example-set-substrate-rinse",
        "filled no, bed releasing",
        &[To("rich-bed-goes-in-unrinsed"), Never("inert-bed-is-rinsed")],
    ),
    ("example-set-lid-and-pets", "fish 8, around-the-tank open-top", &[To("open-top-and-fish")]),
    ("example-set-window-sun", "filled no, net-volume 60 L, room-light sun", &[To("sun-on-the-tank")]),
    // ---- The cycle
    (
        "example-cyc-phase-not-started",
        "filled 14 days ago, bed inert, total-ammonia 0 mg/L N, nitrite 0 mg/L N, nitrate 0 mg/L NO3",
        &[To("nothing-has-begun"), Never("declare-cycled")],
    ),
    (
        "cycle-01",
        "filled 14 days ago, bed inert, total-ammonia 0 mg/L N, nitrite 0 mg/L N, nitrate 0 mg/L NO3",
        &[To("nothing-has-begun")],
    ),
    (
        "cycle-02",
        "filled 20 days ago, start fed, bed inert, total-ammonia 0 mg/L N, nitrite 0 mg/L N, nitrate 30 mg/L NO3, tap-nitrate 30 mg/L NO3",
        &[To("nitrate-only-from-the-tap"), Never("declare-cycled"), Never("plant")],
    ),
    (
        "example-cyc-phase-ammonia",
        "filled 6 days ago, start dark, bed releasing, total-ammonia 3 mg/L N, nitrite 0 mg/L N, nitrate 0 mg/L NO3",
        &[To("ammonia-phase"), Never("change-water")],
    ),
    (
        "example-cyc-phase-nitrite",
        "filled 16 days ago, start dark, total-ammonia 0.3 mg/L N, nitrite 2 mg/L N, nitrate 20 mg/L NO3",
        &[To("nitrite-phase"), To("nitrate-beside-nitrite")],
    ),
    (
        "example-cyc-complete",
        "filled 24 days ago, start dark, bed releasing, ZEROS nitrate 40 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("cycle-complete"), To("dark-start-done")],
    ),
    (
        "cycle-03",
        "filled 20 days ago, start fed, bed inert, dosed 1 days ago, ZEROS nitrate 60 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("cycle-complete"), To("fed-start-done")],
    ),
    (
        "cycle-04",
        "filled 20 days ago, start fed, bed inert, dosed 1 days ago, total-ammonia 0 mg/L N, nitrite 0.2 mg/L N",
        &[To("dose-not-cleared"), Never("declare-cycled")],
    ),
    (
        "example-cyc-challenge",
        "filled 20 days ago, start fed, bed inert, dosed 1 days ago, total-ammonia 0 mg/L N, nitrite 0.2 mg/L N",
        &[To("dose-not-cleared"), Never("declare-cycled")],
    ),
    (
        "cycle-05",
        "filled 20 days ago, start fed, bed inert, dosed 1 days ago, total-ammonia 0.3 mg/L N, nitrite 0 mg/L N",
        &[To("dose-not-cleared"), Never("declare-cycled")],
    ),
    (
        "example-cyc-dose-target",
        "filled 10 days ago, start fed, bed inert, net-volume 60 L, total-ammonia 8 mg/L N, ph 8.1",
        &[To("fed-start-overfed")],
    ),
    (
        "cycle-06",
        "filled 20 days ago, start fed, bed inert, snails 3, total-ammonia 0 mg/L N, nitrite 0 mg/L N",
        &[To("no-ammonia-with-animals"), Gate("dose-ammonia", No), Never("dose-ammonia")],
    ),
    (
        "example-cyc-dose-with-animals",
        "filled 20 days ago, start fed, bed inert, snails 3, total-ammonia 0 mg/L N, nitrite 0 mg/L N",
        &[To("no-ammonia-with-animals"), Gate("dose-ammonia", No), Never("dose-ammonia")],
    ),
    (
        "example-cyc-dose-on-releasing-substrate",
        "filled 5 days ago, start dark, bed releasing, total-ammonia 4 mg/L N, nitrite 0 mg/L N",
        &[Gate("dose-ammonia", NotYet), Never("dose-ammonia")],
    ),
    (
        "example-cyc-test-cadence",
        "filled 5 days ago, planted 5 days ago, changed 1 days ago, start planted, bed releasing",
        &[Perhaps("ammonia-not-tested-beside-new-plants")],
    ),
    (
        "cycle-08",
        "filled 25 days ago, start dark, bed releasing, change-before-tests 50 %, ZEROS nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("tests-diluted"), Never("declare-cycled"), Never("plant")],
    ),
    (
        "example-cyc-zero-means-below-limit",
        "shrimp 10, total-ammonia 0 mg/L N, ph 8.6, temperature 28 °C",
        &[To("zero-at-high-ph")],
    ),
    (
        "cycle-11",
        "filled 30 days ago, planted 30 days ago, changed 2 days ago, start planted, bed releasing, tap-nitrate 0 mg/L NO3,
         total-ammonia 0 mg/L N 10 days ago then 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 10 days ago then 0 mg/L N 1 day ago then 0 mg/L N,
         nitrate 0 mg/L NO3, temperature 24 °C, water-treated yes, co2-on no",
        &[
            To("nothing-left-among-plants"),
            Gate("add-crew", Yes),
            Never("declare-cycled"),
        ],
    ),
    (
        "example-cyc-plants-hide",
        "filled 30 days ago, planted 30 days ago, changed 2 days ago, start planted, bed releasing, tap-nitrate 0 mg/L NO3,
         total-ammonia 0 mg/L N 10 days ago then 0 mg/L N 1 day ago then 0 mg/L N, nitrite 0 mg/L N 10 days ago then 0 mg/L N 1 day ago then 0 mg/L N,
         nitrate 0 mg/L NO3, temperature 24 °C, water-treated yes, co2-on no",
        &[To("nothing-left-among-plants"), Never("declare-cycled")],
    ),
    (
        "cycle-12",
        "filled 9 days ago, planted 9 days ago, start planted, bed releasing, ZEROS nitrate 0 mg/L NO3, tap-nitrate 0 mg/L NO3",
        &[
            To("nothing-left-among-plants"),
            Never("declare-cycled"),
            Gate("add-crew", NotYet),
        ],
    ),
    (
        "cycle-07",
        "filled 12 days ago, start dark, total-ammonia 0 mg/L N, nitrite 3 mg/L N, nitrate 100 mg/L NO3",
        &[To("nitrate-beside-nitrite"), Never("declare-cycled")],
    ),
    (
        "example-cyc-nitrate-interference",
        "filled 12 days ago, start dark, total-ammonia 0 mg/L N, nitrite 3 mg/L N, nitrate 100 mg/L NO3",
        &[To("nitrate-beside-nitrite"), Never("declare-cycled")],
    ),
    (
        "example-cyc-test-expired",
        "filled 30 days ago, start dark, tests-doubtful yes, nitrate 0 mg/L NO3",
        &[To("tests-are-in-doubt")],
    ),
    (
        "example-cyc-nessler-false-high",
        "fish 5, ammonia-test-amber yes, ammonia-binder yes, total-ammonia 3 mg/L N, signs none",
        &[To("amber-test-over-animals")],
    ),
    (
        "cycle-15",
        "filled 10 days ago, ammonia-test-amber yes, ammonia-binder yes, total-ammonia 3 mg/L N",
        &[To("amber-test-and-binder"), Never("amber-test-over-animals")],
    ),
    (
        "cycle-13",
        "filled 25 days ago, start fed, bed inert, total-ammonia 0 mg/L N, nitrite 2 mg/L N 8 days ago then 2 mg/L N, ph 5.9, kh 0 °dH",
        &[To("sour-water-on-inert-bed"), To("nothing-moves")],
    ),
    (
        "example-cyc-stall-detect",
        "filled 25 days ago, start fed, bed inert, total-ammonia 0 mg/L N, nitrite 2 mg/L N 8 days ago then 2 mg/L N, ph 5.9, kh 0 °dH",
        &[To("sour-water-on-inert-bed"), To("nothing-moves")],
    ),
    (
        "example-cyc-stall-ph",
        "filled 12 days ago, start fed, bed inert, tap-kh 0 °dH, ph 5.8, kh 0 °dH",
        &[To("sour-water-on-inert-bed")],
    ),
    (
        "example-cyc-buffer-budget",
        "filled 10 days ago, start dark, bed releasing, total-ammonia 8 mg/L N, kh 2 °dH",
        // 3.2 degrees are 57.1 mg/L CaCO3.
        &[Figure("kh-needed", 57.1e-3, 0.1e-3), To("buffer-will-run-out")],
    ),
    (
        "cycle-14",
        "filled 21 days ago, start dark, bed releasing, temperature 15 °C, total-ammonia 3 mg/L N, nitrite 0 mg/L N, nitrate 0 mg/L NO3",
        &[To("cold-water-slows"), Never("plant")],
    ),
    (
        "example-cyc-stall-cold",
        "filled 21 days ago, start dark, bed releasing, temperature 15 °C, total-ammonia 3 mg/L N, nitrite 0 mg/L N",
        &[To("cold-water-slows"), Never("plant")],
    ),
    (
        "example-cyc-stall-too-much",
        "filled 28 days ago, start fed, bed inert, net-volume 60 L, total-ammonia 0 mg/L N, nitrite 16 mg/L N 14 days ago then 16 mg/L N",
        &[To("fed-start-overfed"), Never("leave-water")],
    ),
    (
        "example-cyc-stall-phosphate",
        "filled 25 days ago, start fed, bed inert, tap-kh 0 °dH, total-ammonia 2 mg/L N 8 days ago then 2 mg/L N, nitrite 0 mg/L N, nitrate 0 mg/L NO3",
        &[To("no-phosphate-in-pure-water")],
    ),
    ("example-cyc-oxygen-flow", "filled 10 days ago, filter-running no", &[To("filter-not-always-on")]),
    (
        "cycle-09",
        "filled 2 days ago, start fed, bed inert, bottled-bacteria yes",
        &[To("bottle-proves-nothing"), Gate("add-fish", NotYet)],
    ),
    (
        "example-cyc-bottled-bacteria",
        "filled 2 days ago, start fed, bed inert, bottled-bacteria yes, about-to-do fish-to-cycle",
        &[To("bottle-proves-nothing"), Gate("add-fish", NotYet)],
    ),
    (
        "cycle-10",
        "filled 3 days ago, start fed, bed inert, seeded-media yes, dosed 1 days ago, ZEROS nitrate 40 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("cycle-complete"), To("mature-media-helps")],
    ),
    (
        "example-cyc-seeded-media",
        "filled 3 days ago, start fed, bed inert, seeded-media yes, dosed 1 days ago, ZEROS nitrate 40 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("cycle-complete")],
    ),
    (
        "example-cyc-keep-alive",
        "filled 40 days ago, start fed, bed inert, net-volume 60 L, dosed 7 days ago, ZEROS nitrate 40 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("ammonia-dose-due"), Never("declare-cycled"), Gate("add-fish", NotYet)],
    ),
    (
        "example-cyc-end-large-change",
        "filled 30 days ago, start fed, bed inert, net-volume 100 L, dosed 1 days ago, ZEROS nitrate 120 mg/L NO3, tap-nitrate 10 mg/L NO3",
        &[To("nitrate-at-the-end"), Never("leave-water")],
    ),
    (
        "cycle-16",
        "filled 40 days ago, start dark, total-ammonia 0 mg/L N 10 days ago then 0 mg/L N 9 days ago, nitrite 0 mg/L N 10 days ago then 0 mg/L N 9 days ago,
         nitrate 40 mg/L NO3 9 days ago, tap-nitrate 5 mg/L NO3",
        &[To("ammonia-not-tested"), Never("declare-cycled")],
    ),
    (
        "cycle-17",
        "start dark, bed releasing, filled 60 days ago, planted 30 days ago, proven-before-planting yes,
         total-ammonia 0 mg/L N 3 days ago, nitrite 0 mg/L N 3 days ago, nitrate 20 mg/L NO3 3 days ago, tap-nitrate 5 mg/L NO3,
         temperature 24 °C, water-treated yes, co2-on no",
        &[Gate("add-fish", NotYet), Never("add-fish")],
    ),
    (
        "example-cyc-disturbed-substrate",
        "filled 90 days ago, planted 60 days ago, bed releasing, fish 8, signs bed-dug",
        &[To("bed-dug-over-with-animals")],
    ),
    (
        "example-cyc-substrate-dried",
        "filled no, about-to-do used-bed",
        &[To("dried-bed-counts-as-new")],
    ),
    // ---- Dark start
    (
        "dark-01",
        "filled 8 days ago, start dark, bed releasing, total-ammonia 4 mg/L N, nitrite 0 mg/L N",
        &[To("dark-start-rests"), Never("change-water")],
    ),
    (
        "example-dark-no-change",
        "filled 8 days ago, start dark, bed releasing, total-ammonia 4 mg/L N, nitrite 0 mg/L N",
        &[To("dark-start-rests"), Never("change-water")],
    ),
    (
        "dark-02",
        "filled 20 days ago, start dark, bed releasing, ZEROS nitrate 30 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("early-zeros"), Never("plant"), Gate("plant", NotYet)],
    ),
    (
        "example-dark-min-21",
        "filled 15 days ago, start dark, bed releasing, total-ammonia 0 mg/L N, nitrite 0 mg/L N, nitrate 20 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("dark-start-too-early"), Never("plant")],
    ),
    (
        "dark-03",
        "filled 21 days ago, start dark, bed releasing, plants-on-hand sensitive, ZEROS nitrate 30 mg/L NO3, tap-nitrate 5 mg/L NO3",
        &[To("dark-start-done"), To("cycle-complete"), Gate("plant", Yes)],
    ),
    (
        "dark-04",
        "filled 23 days ago, start dark, total-ammonia 0 mg/L N, nitrite 0.2 mg/L N",
        &[To("dark-start-unfinished"), Never("plant")],
    ),
    (
        "example-dark-not-by-date",
        "filled 23 days ago, start dark, total-ammonia 0 mg/L N, nitrite 0.5 mg/L N",
        &[To("dark-start-unfinished"), Never("plant")],
    ),
    (
        "dark-05",
        "filled 30 days ago, start dark, bed releasing, ZEROS tap-nitrate 5 mg/L NO3, plants-on-hand tolerant",
        &[Never("declare-cycled"), Never("plant"), Gate("plant", CannotTell)],
    ),
    (
        "dark-06",
        "filled 8 days ago, start dark, light-hours 8 h",
        &[To("light-in-a-dark-start")],
    ),
    (
        "example-dark-no-light-no-co2",
        "filled 8 days ago, start dark, light-hours 8 h",
        &[To("light-in-a-dark-start"), Gate("light-on", NotYet)],
    ),
    ("dark-07", "filled 8 days ago, start dark, co2-on yes", &[To("co2-in-a-dark-start")]),
    (
        "dark-08",
        "filled 8 days ago, start dark, plant-class very-sensitive",
        &[To("plants-in-a-dark-start")],
    ),
    (
        "example-dark-plants-in",
        "filled 8 days ago, start dark, plant-class very-sensitive",
        &[To("plants-in-a-dark-start")],
    ),
    (
        "dark-09",
        "filled 12 days ago, start dark, driftwood yes, signs white-film",
        &[To("film-on-wood-in-the-dark"), Never("change-water")],
    ),
    (
        "example-dark-biofilm",
        "filled 12 days ago, start dark, driftwood yes, signs white-film",
        &[To("film-on-wood-in-the-dark"), Never("change-water")],
    ),
    ("dark-10", "filled 12 days ago, start dark", &[To("dark-start-rests")]),
    ("example-dark-evaporation", "filled 12 days ago, start dark", &[To("dark-start-rests")]),
    (
        "dark-11",
        "filled 15 days ago, start dark, bed releasing, net-volume 60 L, total-ammonia 9 mg/L N 7 days ago then 9 mg/L N, nitrite 0 mg/L N",
        &[To("dark-start-overloaded"), Never("leave-water")],
    ),
    (
        "example-dark-drain",
        "filled 24 days ago, planted 0 days ago, start dark, signs filter-stopped",
        &[To("filter-stood-still")],
    ),
    (
        "example-dark-after-plant-recheck",
        "filled 26 days ago, planted 2 days ago, changed 2 days ago, start dark, bed releasing, total-ammonia 0.5 mg/L N, nitrite 0 mg/L N",
        &[To("ammonia-after-a-cycled-start"), Never("leave-water")],
    ),
    // ---- Planted start
    (
        "example-change-due",
        "filled 10 days ago, planted 10 days ago, changed 2 days ago, start planted, bed releasing",
        &[To("change-due-early")],
    ),
    (
        "example-change-not-due",
        "filled 17 days ago, planted 17 days ago, changed 1 days ago, start planted, bed releasing",
        &[To("change-not-due"), Never("change-water")],
    ),
    (
        "example-change-missed",
        "filled 6 days ago, planted 6 days ago, changed 4 days ago, start planted, bed releasing, plant-class very-sensitive, total-ammonia 2 mg/L N",
        &[To("ammonia-costs-plants"), Never("changes-missed")],
    ),
    (
        "example-change-taper-guard",
        "filled 8 days ago, planted 8 days ago, changed 1 days ago, start planted, bed releasing, plant-class sensitive, total-ammonia 1 mg/L N",
        &[To("ammonia-keeps-the-rhythm"), Never("leave-water")],
    ),
    (
        "example-change-skip-early-refused",
        "filled 4 days ago, planted 4 days ago, changed 1 days ago, start planted, bed releasing, total-ammonia 0 mg/L N",
        &[To("zero-after-daily-changes"), To("change-due-early"), Gate("skip-change", No)],
    ),
    (
        "example-change-after-dark-start",
        "filled 26 days ago, planted 2 days ago, changed 2 days ago, start dark, bed releasing, total-ammonia 0 mg/L N, nitrite 0 mg/L N",
        &[To("fresh-planting-tests"), To("change-not-due"), Never("change-water")],
    ),
    (
        "example-change-inert-planted",
        "filled 4 days ago, planted 4 days ago, changed 4 days ago, start planted, bed inert",
        &[To("inert-bed-weekly"), Never("change-water")],
    ),
    (
        "example-change-size-safety",
        "planted 60 days ago, fish 6, tap-ph 8.0, ph 6.3, total-ammonia 1 mg/L N, temperature 24 °C",
        &[To("new-water-would-raise-ph")],
    ),
    // ---- Emergencies
    (
        "example-em-ammonia",
        "planted 60 days ago, fish 6, total-ammonia 2 mg/L N, ph 8.0, temperature 26 °C",
        // In the main unit, mg/L N.
        &[Figure("free-ammonia", 0.115e-3, 0.0005e-3), To("free-ammonia-burns")],
    ),
    (
        "example-em-nitrite",
        "planted 60 days ago, fish 6, nitrite 2 mg/L NO2",
        &[To("nitrite-takes-breath")],
    ),
    (
        "example-em-chlorine",
        "planted 60 days ago, fish 6, disinfectant chlorine, signs untreated-water and darting",
        &[To("untreated-water-went-in")],
    ),
    (
        "example-em-heater-stuck",
        "planted 60 days ago, fish 6, temperature 29 °C 1 day ago then 32 °C, signs heater-stuck",
        &[To("heater-stays-on")],
    ),
    (
        "example-em-power-cut",
        "planted 60 days ago, fish 6, signs power-off and power-off-long",
        &[To("power-is-off-for-hours"), Never("power-is-off")],
    ),
    (
        "example-run-replant-deep",
        "planted 60 days ago, bed releasing, fish 8, signs bed-dug",
        &[To("bed-dug-over-with-animals")],
    ),
    (
        "example-run-fert-overdose",
        "planted 60 days ago, shrimp 20, signs overdose-fertiliser",
        &[To("overdose-of-fertiliser-and-invertebrates"), Never("overdose-of-fertiliser")],
    ),
    (
        "example-co2-estimate-caveat",
        "planted 60 days ago, bed releasing, kh 1 °dH, ph 5.8, temperature 25 °C, co2-on no",
        &[To("co2-figure-without-gas"), Never("co2-far-too-high")],
    ),
    // ---- Hazards
    ("hazard-01", "start fed, about-to-do bleach-hard", &[To("bleach-beside-ammonia")]),
    ("hazard-02", "signs gas-leak, around-the-tank closed-room", &[To("gas-leak-at-the-cylinder")]),
    ("hazard-03", "mains-protected no", &[To("mains-not-protected")]),
    ("hazard-04", "about-to-do hands-in", &[To("hands-in-the-water")]),
    ("hazard-05", "about-to-do boil-stones", &[To("stones-are-not-heated")]),
    (
        "hazard-07",
        "planted 60 days ago, fish 6, disinfectant chlorine, signs untreated-water",
        &[To("untreated-water-went-in")],
    ),
    (
        "hazard-08",
        "planted 60 days ago, fish 6, disinfectant chloramine, water-treated no",
        &[To("untreated-water-and-animals")],
    ),
    // ---- The law and the wild
    (
        "example-plant-moss-ball-check",
        "signs striped-shells",
        &[To("striped-shells-on-a-moss-ball")],
    ),
    ("legal-08", "about-to-do buy-living", &[To("check-your-own-lists")]),
    ("legal-09", "signs striped-shells", &[To("striped-shells-on-a-moss-ball")]),
    ("legal-10", "about-to-do part-with", &[To("nothing-living-goes-outdoors")]),
    ("example-env-never-release", "about-to-do part-with", &[To("nothing-living-goes-outdoors")]),
    ("example-env-water-out", "about-to-do pour-outdoors", &[To("tank-water-goes-to-the-foul-drain")]),
    ("example-env-wild-collect", "about-to-do wild-finds", &[To("finds-from-outdoors")]),
    ("example-refer-list", "signs tingle", &[To("tingle-at-the-water")]),
];

const TODAY: &str = "2026-09-25";

fn today() -> f64 {
    f64::from(day(TODAY).days())
}

/// What a journal always tells, unless the row says otherwise.
const USUAL: &[(&str, &str)] = &[
    ("filled", "yes"),
    ("planted", "no"),
    ("fish", "0"),
    ("shrimp", "0"),
    ("snails", "0"),
    ("plant-class", "none"),
    ("ammonia-dosed", "no"),
    ("change-before-tests", "0 %"),
    ("proven-before-planting", "no"),
];

fn point(value: f64) -> Given {
    Given::new(Set::Number(Interval::point(value)))
}

fn give(facts: &mut Facts, name: &str, given: Given) {
    assert!(facts.give(book(), name, given), "no fact {name}");
}

#[track_caller]
fn entered(name: &str, text: &str) -> lentic::engine::Entered {
    let entered = book().enter(name, text);
    entered.unwrap_or_else(|message| panic!("{name} {text}: {message}"))
}

/// A value without the days that have gone by since, and those days.
fn dated(text: &str) -> (&str, f64) {
    let Some(before) = text.strip_suffix(" ago") else {
        return (text, 0.0);
    };
    let words: Vec<&str> = before.rsplitn(3, ' ').collect();
    (
        words.get(2).copied().unwrap_or(""),
        words[1].parse().expect("days"),
    )
}

/// `name value`, with dates as `filled 3 days ago`, and readings as in the cases of the book.
pub fn known(text: &str) -> Facts {
    let text = text.replace("ZEROS ", ZEROS);
    let mut facts = Facts::default();
    give(&mut facts, "today", point(today()));
    let told: Vec<(&str, &str)> = text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(|part| part.split_once(' ').expect("a name and a value"))
        .collect();
    for (name, value) in USUAL.iter().chain(&told) {
        match (*name, dated(value)) {
            ("filled" | "planted" | "changed" | "dosed", ("", days)) => {
                let (is, on) = match *name {
                    "filled" => (Some("filled"), "filled-on"),
                    "planted" => (Some("planted"), "planted-on"),
                    "dosed" => (Some("ammonia-dosed"), "ammonia-dosed-on"),
                    _ => (None, "changed-on"),
                };
                give(&mut facts, on, point(today() - days));
                if let Some(is) = is {
                    give(&mut facts, is, Given::new(entered(is, "yes").set));
                }
            }
            (name, _) if book().is_series(name) => {
                let mut given = None;
                for reading in value.split(" then ") {
                    let (value, days) = dated(reading);
                    let entered = entered(name, value);
                    let nominal = entered.nominal.expect("a number");
                    let values = Interval::point(nominal);
                    let given = given.get_or_insert_with(|| point(nominal));
                    given.set = Set::Number(values);
                    given.readings.push(Reading {
                        day: today() - days,
                        values,
                        nominal,
                        mark: entered.mark,
                        typed: value.to_owned(),
                    });
                }
                give(&mut facts, name, given.expect("a reading"));
            }
            (name, _) => give(&mut facts, name, Given::new(entered(name, value).set)),
        }
    }
    facts
}

fn urgency_of(verdict: &str) -> Option<Urgency> {
    [
        ("danger", Urgency::Danger),
        ("act today", Urgency::Today),
        ("plan", Urgency::Soon),
        ("good to know", Urgency::Note),
    ]
    .into_iter()
    .find_map(|(word, urgency)| verdict.starts_with(word).then_some(urgency))
}

/// Whether the row is told here; if so, it has come out.
pub fn told(row: &Row) -> bool {
    let Some((id, text, comes)) = all().find(|(id, ..)| *id == row.id) else {
        return false;
    };
    assert!(!row.provenance.is_empty(), "{id}: of no provenance");
    let facts = known(text);
    let evaluation = book().evaluate(&facts);
    let answer = evaluation.answer();
    assert!(answer.clashes.is_empty(), "{id}: {:?}", answer.clashes);
    let mut urgency = urgency_of(&row.verdict);
    for come in *comes {
        match come {
            To(rule) | Perhaps(rule) | Says(rule, _) => {
                let certain = !matches!(come, Perhaps(_));
                let point = answer.advice.iter().find(|point| point.rule == *rule);
                let point = point.unwrap_or_else(|| {
                    panic!(
                        "{id}: {rule} does not stand, it is {:?}",
                        evaluation.rule(rule)
                    )
                });
                assert_eq!(point.certain, certain, "{id}: {rule}");
                if certain {
                    assert_eq!(evaluation.rule(rule), Some(Verdict::Holds), "{id}: {rule}");
                }
                if let Says(_, words) = come {
                    let said = format!("{} {}", point.finding, point.say);
                    assert!(said.contains(words), "{id}: `{words}` is not in: {said}");
                }
                // The first rule of a row is the one that its verdict speaks of.
                if let Some(urgency) = urgency.take() {
                    assert_eq!(point.urgency, urgency, "{id} ({}): {rule}", row.verdict);
                }
            }
            Never(name) => {
                let stands = answer
                    .advice
                    .iter()
                    .any(|point| point.certain && (point.rule == *name || point.action == *name));
                assert!(!stands, "{id}: {name} stands");
            }
            Gate(gate, verdict) => {
                assert_eq!(
                    evaluation.gate_verdict(gate),
                    Some(*verdict),
                    "{id}: {gate}"
                );
            }
            Figure(fact, expected, off) => {
                let Some(Set::Number(values)) = book().look_up(fact, &facts) else {
                    panic!("{id}: no {fact}");
                };
                assert!(
                    values.lo == values.hi && (values.lo - expected).abs() <= *off,
                    "{id}: {fact} is {values:?}, not {expected}"
                );
            }
            Question(fact, text) => {
                assert!(
                    entered(fact, text).question.is_some(),
                    "{id}: {fact} {text}"
                );
            }
        }
    }
    true
}

fn all() -> impl Iterator<Item = &'static (&'static str, &'static str, &'static [Comes])> {
    ROWS.iter().chain(told_running::ROWS)
}

/// Every row told here is in the table.
pub fn ids() -> impl Iterator<Item = &'static str> {
    all().map(|(id, ..)| *id)
}
