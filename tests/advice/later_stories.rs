//! Stories of planting day, algae, growing plants, new animals and running tanks: what each journal must come to.
//!
//! Copper follows the study of a river snail named in the book, un-ionised ammonia Emerson and others (1975), the limits of
//! total ammonia US EPA (2013), signs in leaves the nutrient mobility of land crops; all else is common practice.

use super::stories::{NOTHING, Story};

pub const LATER: &[Story] = &[
    // Day 9, ammonia in the tank, and the post has come: nothing goes in, film or not.
    Story {
        file: "post-before-proof",
        on: "2026-05-10",
        advised: &[
            ("bag-beside-poison", "danger", true),
            ("nitrogen-keeps-animals-out", "soon", true),
            ("film-on-wood-among-plants", "note", true),
        ],
        never: &["acclimate", "add-crew", "add-fish", "bag-waits-for-tests"],
        gates: &[("add-crew", "not-yet"), ("add-fish", "not-yet")],
        says: &[("bag-beside-poison", "Do not put them in")],
        ..NOTHING
    },
    // A proven tank, tested since planting: the shrimp go over within minutes, without a drip into the bag.
    Story {
        file: "post-after-proof",
        on: "2026-03-29",
        advised: &[
            ("bag-of-a-long-way", "today", true),
            ("crew-may-come", "note", true),
        ],
        never: &["hold-animals", "bag-of-a-short-way", "bag-waits-for-tests"],
        gates: &[("add-crew", "yes")],
        says: &[("bag-of-a-long-way", "Do not drip into the bag")],
        ..NOTHING
    },
    // Nitrate has been tested and is short; phosphate has been tested and is not.
    Story {
        file: "pale-old-leaves",
        on: "2026-06-12",
        advised: &[
            ("nitrate-runs-short", "soon", true),
            ("dark-leaves-beside-phosphate", "note", true),
        ],
        never: &[
            "stop-fertiliser",
            "old-leaves-turn-pale",
            "old-leaves-turn-dark",
            "light-down",
            "change-water",
        ],
        says: &[("nitrate-runs-short", "in nitrate form")],
        ..NOTHING
    },
    // Day 12, yellow old leaves and brown dust: neither fertiliser nor grazers.
    Story {
        file: "leaves-in-week-two",
        on: "2026-09-13",
        advised: &[
            ("leaf-signs-of-the-first-weeks", "note", true),
            ("brown-dust-on-glass", "note", true),
            ("nitrogen-keeps-animals-out", "soon", true),
        ],
        never: &["feed-plants", "add-crew", "melt-calls-for-a-test"],
        gates: &[("add-crew", "not-yet")],
        says: &[("leaf-signs-of-the-first-weeks", "read only new leaves")],
        ..NOTHING
    },
    // Three weeks after cups went in no days of dark, green water or not.
    Story {
        file: "green-water-and-cups",
        on: "2026-07-22",
        advised: &[("green-water-and-young-plants", "soon", true)],
        never: &["darken", "light-up", "water-turned-green"],
        gates: &[("darken", "not-yet")],
        says: &[("green-water-and-young-plants", "Do not darken the tank now")],
        ..NOTHING
    },
    // An old planting and zero ammonia: days of dark will do, with air for the fish.
    Story {
        file: "green-water-and-tetras",
        on: "2026-08-05",
        advised: &[
            ("green-water-beside-animals", "today", true),
            ("green-water-may-be-darkened", "soon", true),
        ],
        never: &["keep-out", "light-on", "water-turned-green"],
        gates: &[("darken", "yes")],
        says: &[
            ("green-water-may-be-darkened", "three to five days"),
            ("green-water-beside-animals", "Aerate day and night"),
        ],
        ..NOTHING
    },
    // Two days after the wash ammonia shows: the weak filter is left alone.
    Story {
        file: "filter-under-the-tap",
        on: "2026-05-04",
        advised: &[
            ("film-was-washed-away", "today", true),
            ("flow-is-weak-in-bad-water", "today", true),
            ("food-is-left", "soon", true),
        ],
        never: &["clean-filter", "add-fish", "change-water"],
        gates: &[("clean-filter", "not-yet")],
        says: &[("flow-is-weak-in-bad-water", "Leave the media alone")],
        ..NOTHING
    },
    // 18 µg/L of copper among shrimp: above what killed half of the snails of a study.
    Story {
        file: "algae-remover",
        on: "2026-09-03",
        advised: &[
            ("algae-remover-and-shrimp-or-snails", "danger", true),
            ("copper-poisons-shrimp-and-snails", "danger", true),
            ("shrimp-still-or-climbing", "today", true),
        ],
        never: &["leave-water", "algae-remover-elsewhere", "trace-of-copper"],
        says: &[("copper-poisons-shrimp-and-snails", "20 L")],
        ..NOTHING
    },
    // A tenth a day: half of this tap would lift the pH by more than a step while ammonia is in the water.
    Story {
        file: "tank-turned-sour",
        on: "2026-04-12",
        advised: &[("old-tank-holds-ammonia", "today", true)],
        never: &[
            "rescue-animals",
            "change-due",
            "nitrate-far-too-high",
            "ammonia-in-mild-water",
            "leave-water",
            "raise-ph",
        ],
        gates: &[("raise-ph", "not-yet"), ("clean-filter", "not-yet")],
        says: &[
            ("old-tank-holds-ammonia", "change a tenth, 15 L"),
            ("old-tank-holds-ammonia", "Add no soda"),
        ],
        ..NOTHING
    },
    Story {
        file: "cups-and-a-moss-ball",
        on: "2026-10-02",
        advised: &[
            ("striped-shells-on-a-moss-ball", "today", true),
            ("gel-comes-off-first", "soon", true),
            ("floor-too-bare", "soon", true),
            ("rhizomes-stay-free", "note", true),
            ("leaves-dry-within-minutes", "note", true),
        ],
        never: &["add-crew", "change-water", "crowns-above-the-bed"],
        says: &[("striped-shells-on-a-moss-ball", "freeze it for a day")],
        ..NOTHING
    },
    // Catfish bought two days ago and nothing to graze: not a tank to leave for a fortnight.
    Story {
        file: "off-to-the-coast",
        on: "2026-07-12",
        advised: &[
            ("before-you-leave", "soon", true),
            ("sunken-belly", "today", true),
            ("nothing-left-to-graze", "soon", true),
            ("new-animals-tests", "today", true),
        ],
        never: &["add-fish", "change-water", "rescue-animals"],
        gates: &[("leave-home", "not-yet")],
        says: &[("before-you-leave", "You leave in 3 days")],
        ..NOTHING
    },
    Story {
        file: "replanting-with-fish-in",
        on: "2026-03-22",
        advised: &[("bed-dug-over-with-animals", "today", true)],
        never: &["leave-water", "half-the-plants-cut", "clean-filter"],
        gates: &[("clean-filter", "not-yet")],
        wanted: &["total-ammonia", "nitrite"],
        says: &[("bed-dug-over-with-animals", "40 L")],
        ..NOTHING
    },
    // Strong light, no CO2, no nitrate: less light and more food, however the stems stretch.
    Story {
        file: "blue-green-sheet",
        on: "2026-06-03",
        advised: &[
            ("blue-green-sheet", "soon", true),
            ("blue-green-sheet-and-little-nitrate", "soon", true),
            ("strong-light-without-co2", "soon", true),
        ],
        never: &["light-up", "darken", "stop-fertiliser", "nitrate-used-up"],
        says: &[
            ("blue-green-sheet", "Use no antibiotic"),
            ("blue-green-sheet-and-little-nitrate", "10 to 20 mg/L"),
        ],
        ..NOTHING
    },
    // Plants before looks: starving stems get more light, whatever algae there are; neither less light nor days of dark.
    Story {
        file: "shade-and-threads",
        on: "2026-07-06",
        advised: &[
            ("lower-leaves-starve", "soon", true),
            ("water-turned-green", "soon", true),
        ],
        never: &["light-down", "darken"],
        gates: &[("darken", "yes")],
        says: &[(
            "lower-leaves-starve",
            "Raise the strength of the light by a tenth to a fifth a week",
        )],
        ..NOTHING
    },
];
