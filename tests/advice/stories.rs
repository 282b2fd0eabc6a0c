//! The stories: what each journal must come to, whatever the words.
//!
//! Figures follow Emerson and others (1975) for un-ionised ammonia, US EPA (2013) for the limits of total ammonia, SRAC 462
//! and Gomes and others (2016) for nitrite, IUPAC for atomic weights; all else is common practice in the trade.

/// What one journal must come to on one day.
pub struct Story {
    /// The file, without `story-`.
    pub file: &'static str,
    /// The day.
    pub on: &'static str,
    /// Rules that must stand, with their urgency and whether they are certain.
    pub advised: &'static [(&'static str, &'static str, bool)],
    /// Rules and actions that must not stand.
    pub never: &'static [&'static str],
    /// Verdicts of gates.
    pub gates: &'static [(&'static str, &'static str)],
    /// Facts that must be asked for.
    pub wanted: &'static [&'static str],
    /// Facts whose entries must be asked about: all of them.
    pub questions: &'static [&'static str],
    /// Words that the advice of a rule must hold.
    pub says: &'static [(&'static str, &'static str)],
}

pub const NOTHING: Story = Story {
    file: "",
    on: "",
    advised: &[],
    never: &[],
    gates: &[],
    wanted: &[],
    questions: &[],
    says: &[],
};

pub const STORIES: &[Story] = &[
    // Day 24 of a dark start, 0/0/80 twice, 5 mg/L in the tap.
    Story {
        file: "dark-start",
        on: "2026-09-25",
        advised: &[
            ("dark-start-done", "soon", true),
            ("cycle-complete", "note", true),
        ],
        never: &["leave-water", "hold-planting", "hold-animals", "test"],
        gates: &[
            ("plant", "yes"),
            ("add-crew", "not-yet"),
            ("add-fish", "not-yet"),
            ("light-on", "not-yet"),
        ],
        says: &[
            ("dark-start-done", "Siphon out all the water"),
            ("dark-start-done", "Plant in the damp bed"),
            ("dark-start-done", "within 2 °C"),
        ],
        ..NOTHING
    },
    // The same tank on day 14: the same zeros come too early.
    Story {
        file: "dark-start",
        on: "2026-09-15",
        advised: &[
            ("early-zeros", "soon", true),
            ("dark-start-too-early", "note", true),
            ("dark-start-rests", "note", true),
            ("no-animals-before-proof", "note", true),
        ],
        never: &["plant", "declare-cycled", "change-water"],
        gates: &[("plant", "not-yet")],
        says: &[
            ("early-zeros", "2026-09-22"),
            ("dark-start-too-early", "Plant on 2026-09-22, day 21"),
        ],
        ..NOTHING
    },
    // Ammonia, and nothing turned over yet.
    Story {
        file: "dark-start",
        on: "2026-09-08",
        advised: &[
            ("ammonia-phase", "note", true),
            ("dark-start-rests", "note", true),
        ],
        never: &[
            "plant",
            "change-water",
            "dose-ammonia",
            "declare-cycled",
            "declare-not-cycled",
        ],
        gates: &[("plant", "not-yet"), ("dose-ammonia", "not-yet")],
        ..NOTHING
    },
    // Zeros of three weeks ago prove nothing today.
    Story {
        file: "dark-start",
        on: "2026-10-16",
        advised: &[
            ("ammonia-not-tested", "soon", true),
            ("nitrite-not-tested", "soon", true),
        ],
        never: &["plant", "declare-cycled"],
        gates: &[("plant", "not-yet")],
        ..NOTHING
    },
    Story {
        file: "no-nitrite-test",
        on: "2026-09-25",
        advised: &[
            ("nitrite-not-tested", "soon", false),
            ("no-animals-before-proof", "note", false),
        ],
        never: &["plant", "declare-cycled", "ammonia-not-tested"],
        gates: &[("plant", "cannot-tell"), ("add-fish", "not-yet")],
        wanted: &["nitrite"],
        says: &[("nitrite-not-tested", "Test nitrite today")],
        ..NOTHING
    },
    // 1.0 mg/L before each daily change: every second day would let it reach 2.0.
    Story {
        file: "planted-day-8",
        on: "2026-10-09",
        advised: &[("ammonia-keeps-the-rhythm", "today", true)],
        never: &["leave-water", "change-due-early", "add-crew"],
        gates: &[("skip-change", "not-yet"), ("add-crew", "not-yet")],
        says: &[
            ("ammonia-keeps-the-rhythm", "shorter interval of 1 day"),
            ("ammonia-keeps-the-rhythm", "14 L"),
        ],
        ..NOTHING
    },
    // Day 24, changed three days ago: every third day.
    Story {
        file: "planted-day-24",
        on: "2026-10-25",
        advised: &[("change-due", "soon", true)],
        never: &["leave-water", "ammonia-keeps-the-rhythm"],
        gates: &[("add-crew", "not-yet"), ("light-on", "yes")],
        says: &[("change-due", "60 L")],
        ..NOTHING
    },
    // A day earlier nothing is due.
    Story {
        file: "planted-day-24",
        on: "2026-10-24",
        advised: &[("change-not-due", "note", true)],
        never: &["change-water"],
        says: &[("change-not-due", "2026-10-25")],
        ..NOTHING
    },
    Story {
        file: "counted-as-nh4",
        on: "2026-08-26",
        advised: &[
            ("ammonia-phase", "note", true),
            ("dark-start-too-early", "note", true),
        ],
        never: &["change-water", "plant"],
        gates: &[("plant", "not-yet")],
        // 2.4 × 0.7765: the mass of N in NH4, by IUPAC's atomic weights.
        says: &[("ammonia-phase", "Ammonia is at 1.86 mg/L N")],
        ..NOTHING
    },
    // 2.4 ppm may be 1.86 to 2.4 mg/L N, each a tenth off.
    Story {
        file: "counted-as-ppm",
        on: "2026-10-05",
        advised: &[("ammonia-costs-plants", "today", true)],
        never: &["add-crew", "leave-water", "change-due-early"],
        gates: &[("add-crew", "not-yet")],
        questions: &["total-ammonia"],
        says: &[("ammonia-costs-plants", "1.68 to 2.64 mg/L N")],
        ..NOTHING
    },
    // Emerson: 2 mg/L N at pH 8.0 and 26 °C is 0.115 mg/L un-ionised.
    Story {
        file: "ammonia-hard-water",
        on: "2026-09-14",
        advised: &[("free-ammonia-burns", "danger", true)],
        never: &[
            "leave-water",
            "total-ammonia-too-high",
            "ammonia-not-shown-harmless",
            "ammonia-in-mild-water",
            "no-ammonia-with-animals",
        ],
        gates: &[("add-fish", "not-yet"), ("leave-home", "not-yet")],
        says: &[
            ("free-ammonia-burns", "90 L"),
            ("free-ammonia-burns", "Never raise the pH"),
        ],
        ..NOTHING
    },
    // EPA: 2.5 times the chronic limit is 4.2 mg/L N here, within the spread of this test.
    Story {
        file: "ammonia-sour-water",
        on: "2026-06-09",
        advised: &[("ammonia-not-shown-harmless", "danger", true)],
        never: &["leave-water", "free-ammonia-burns", "ammonia-in-mild-water"],
        wanted: &["total-ammonia", "ph"],
        ..NOTHING
    },
    // A day later it lies above that limit for certain, though hardly any is un-ionised.
    Story {
        file: "ammonia-sour-water",
        on: "2026-06-10",
        advised: &[("total-ammonia-too-high", "danger", true)],
        never: &[
            "leave-water",
            "free-ammonia-burns",
            "ammonia-not-shown-harmless",
            "ammonia-in-mild-water",
        ],
        says: &[("total-ammonia-too-high", "pH no higher than the tank's")],
        ..NOTHING
    },
    Story {
        file: "nitrite-and-shrimp",
        on: "2026-07-03",
        advised: &[
            ("nitrite-and-shrimp", "danger", true),
            ("nitrate-beside-nitrite", "note", true),
        ],
        never: &["nitrite-calls-for-a-change", "leave-water"],
        wanted: &["nitrite"],
        says: &[("nitrite-and-shrimp", "10 L")],
        ..NOTHING
    },
    Story {
        file: "gasping-at-co2",
        on: "2026-06-20",
        advised: &[("co2-with-signs", "danger", true)],
        never: &["animals-gasp", "leave-water", "co2-start"],
        gates: &[("co2-start", "not-yet"), ("add-fish", "not-yet")],
        says: &[("co2-with-signs", "Turn CO2 off now")],
        ..NOTHING
    },
    Story {
        file: "cold-dark-start",
        on: "2026-11-22",
        advised: &[
            ("cold-water-slows", "soon", true),
            ("nothing-moves", "soon", true),
            ("dark-start-unfinished", "soon", true),
        ],
        never: &["plant", "declare-cycled", "change-water"],
        gates: &[("plant", "not-yet")],
        says: &[("cold-water-slows", "Warm it to 24 to 28 °C")],
        ..NOTHING
    },
    // 0.38 g of ammonium chloride bring 50 L to 2 mg/L N: 3.82 mg for each litre and mg/L.
    Story {
        file: "fed-start",
        on: "2026-03-02",
        advised: &[
            ("ammonia-dose-due", "soon", true),
            ("fed-start-rests", "note", true),
        ],
        never: &["plant", "declare-cycled", "stop-ammonia"],
        gates: &[("dose-ammonia", "yes"), ("plant", "not-yet")],
        says: &[("ammonia-dose-due", "0.37 to 0.38 g")],
        ..NOTHING
    },
    Story {
        file: "fed-start",
        on: "2026-03-04",
        advised: &[
            ("enough-ammonia", "note", true),
            ("ammonia-phase", "note", true),
        ],
        never: &["dose-ammonia", "plant", "change-water"],
        gates: &[("dose-ammonia", "not-yet")],
        ..NOTHING
    },
    Story {
        file: "fed-start",
        on: "2026-03-16",
        advised: &[
            ("nitrite-before-more-ammonia", "soon", true),
            ("nitrite-phase", "note", true),
            ("nitrate-beside-nitrite", "note", true),
        ],
        never: &["dose-ammonia", "plant", "declare-cycled", "fix-stall"],
        gates: &[("dose-ammonia", "not-yet"), ("plant", "not-yet")],
        ..NOTHING
    },
    // Zeros, but the dose that will prove them went in an hour ago. No second one before its test.
    Story {
        file: "fed-start",
        on: "2026-03-28",
        advised: &[
            ("dose-waits-for-its-test", "soon", true),
            ("no-animals-before-proof", "note", true),
        ],
        never: &["plant", "declare-cycled", "dose-ammonia"],
        gates: &[("plant", "not-yet"), ("dose-ammonia", "not-yet")],
        ..NOTHING
    },
    Story {
        file: "fed-start",
        on: "2026-03-29",
        advised: &[
            ("fed-start-done", "soon", true),
            ("nitrate-at-the-end", "soon", true),
            ("cycle-complete", "note", true),
        ],
        never: &["leave-water", "dose-ammonia", "hold-animals"],
        gates: &[("plant", "yes"), ("add-fish", "not-yet")],
        says: &[("nitrate-at-the-end", "35 L")],
        ..NOTHING
    },
    Story {
        file: "three-zeros",
        on: "2026-05-15",
        advised: &[
            ("nothing-has-begun", "soon", true),
            ("ammonia-dose-due", "soon", true),
            ("bottle-proves-nothing", "note", true),
        ],
        never: &["declare-cycled", "plant"],
        gates: &[("plant", "not-yet"), ("dose-ammonia", "yes")],
        ..NOTHING
    },
    Story {
        file: "nitrate-from-the-tap",
        on: "2026-06-23",
        advised: &[
            ("nitrate-only-from-the-tap", "soon", true),
            ("tap-brings-nitrogen", "note", true),
        ],
        never: &["declare-cycled", "plant", "treat-water"],
        gates: &[("plant", "not-yet")],
        ..NOTHING
    },
    // Two days after planting into a proven tank, the refilled water tests zero: the clean-up crew may come at once.
    Story {
        file: "planted-after-dark-start",
        on: "2026-09-27",
        advised: &[
            ("fresh-planting-tests", "today", true),
            ("crew-may-come", "note", true),
        ],
        never: &["hold-animals", "change-water", "add-fish"],
        gates: &[("add-crew", "yes"), ("add-fish", "yes")],
        ..NOTHING
    },
    // Before that test the zeros are those of water that is gone.
    Story {
        file: "planted-after-dark-start",
        on: "2026-09-26",
        advised: &[("fresh-planting-tests", "today", true)],
        never: &["add-fish", "add-crew", "hold-animals"],
        gates: &[("add-crew", "not-yet"), ("add-fish", "not-yet")],
        ..NOTHING
    },
    Story {
        file: "planted-after-dark-start",
        on: "2026-09-28",
        advised: &[("new-animals-tests", "today", true)],
        never: &["add-fish", "add-crew", "rescue-animals"],
        gates: &[("add-fish", "not-yet")],
        ..NOTHING
    },
    // A plant from a cup counts as very sensitive for four weeks, whatever its kind.
    Story {
        file: "plants-from-a-cup",
        on: "2026-07-06",
        advised: &[
            ("leaves-melt-in-ammonia", "today", true),
            ("light-too-long-at-first", "soon", true),
            ("very-sensitive-at-first", "note", true),
        ],
        never: &["leave-water", "melt-calls-for-a-test"],
        says: &[(
            "leaves-melt-in-ammonia",
            "0.2 mg/L N that these plants bear",
        )],
        ..NOTHING
    },
    Story {
        file: "amber-test",
        on: "2026-02-20",
        advised: &[
            ("amber-test-and-binder", "soon", true),
            ("enough-ammonia", "note", true),
        ],
        never: &["dose-ammonia", "change-water"],
        says: &[("amber-test-and-binder", "test that turns green")],
        ..NOTHING
    },
    Story {
        file: "empty",
        on: "2026-10-01",
        advised: &[
            ("test-the-new-water", "soon", true),
            ("animals-come-last", "note", true),
        ],
        never: &[
            "plant",
            "change-water",
            "leave-water",
            "mains-not-protected",
        ],
        gates: &[("add-fish", "not-yet"), ("plant", "cannot-tell")],
        wanted: &["mains-protected", "water-treated", "bed"],
        ..NOTHING
    },
    // 24 × 12 × 15 inches with 2 inches of bed and a gallon of stone hold 61.3 L; half of it is 31 L.
    Story {
        file: "gallons",
        on: "2026-03-06",
        advised: &[
            ("ammonia-calls-for-a-change", "today", true),
            ("nitrite-calls-for-a-change", "today", true),
        ],
        never: &["leave-water", "rescue-animals"],
        says: &[
            ("ammonia-calls-for-a-change", "31 L"),
            ("ammonia-calls-for-a-change", "Ammonia is at 0.41 mg/L N"),
        ],
        ..NOTHING
    },
    Story {
        file: "fill-date-missing",
        on: "2026-09-25",
        advised: &[
            ("dark-start-rests", "note", true),
            ("no-animals-before-proof", "note", false),
        ],
        never: &["plant", "declare-cycled"],
        gates: &[("plant", "cannot-tell")],
        wanted: &["filled-on"],
        ..NOTHING
    },
    Story {
        file: "wet-socket",
        on: "2026-08-01",
        advised: &[("water-at-a-socket", "danger", true)],
        never: &[
            "change-water",
            "weekly-round",
            "mains-not-protected",
            "leave-home",
        ],
        gates: &[("leave-home", "not-yet")],
        says: &[("water-at-a-socket", "Touch nothing")],
        ..NOTHING
    },
    Story {
        file: "running",
        on: "2026-06-05",
        advised: &[("change-not-due", "note", true)],
        never: &[
            "change-water",
            "rescue-animals",
            "test",
            "treat-water",
            "co2-down",
        ],
        gates: &[("leave-home", "yes"), ("add-fish", "yes")],
        ..NOTHING
    },
    // Four days away in week 1: one change now, and another if ammonia asks for it.
    Story {
        file: "away-from-home",
        on: "2026-08-06",
        advised: &[
            ("ammonia-costs-plants", "today", true),
            ("brown-dust-on-glass", "note", true),
        ],
        never: &["change-due-early", "changes-missed", "add-crew"],
        gates: &[("skip-change", "no")],
        says: &[("ammonia-costs-plants", "change half again")],
        ..NOTHING
    },
    Story {
        file: "nothing-measured",
        on: "2026-10-04",
        advised: &[
            ("changes-missed", "today", true),
            ("ammonia-not-tested-beside-new-plants", "soon", false),
            ("nitrite-not-tested-beside-new-plants", "soon", false),
        ],
        never: &["leave-water", "add-fish", "add-crew"],
        wanted: &[
            "total-ammonia",
            "nitrite",
            "net-volume",
            "water-treated",
            "mains-protected",
        ],
        says: &[("changes-missed", "Change half once now, and go on")],
        ..NOTHING
    },
    // Old leaves go and new ones are sound: nothing is wrong.
    Story {
        file: "change-of-leaf",
        on: "2026-02-26",
        advised: &[
            ("old-leaves-melt", "note", true),
            ("nitrogen-keeps-animals-out", "soon", true),
        ],
        never: &[
            "leaves-melt-in-ammonia",
            "melt-calls-for-a-test",
            "stop-ammonia",
        ],
        gates: &[("add-crew", "not-yet")],
        ..NOTHING
    },
    // Dry glass on old boards: 330 L come to about 495 kg, and a rich bed of 12 cm goes with no time for daily changes.
    Story {
        file: "loft-before-water",
        on: "2026-04-02",
        advised: &[
            ("very-heavy-tank", "today", true),
            ("sockets-below-the-water", "today", true),
            ("releasing-bed-and-tender-plants", "soon", true),
            ("no-time-for-daily-changes", "soon", true),
            ("deep-rich-bed", "soon", true),
            ("stand-out-of-level", "soon", true),
            ("filter-moves-little", "soon", true),
            ("heater-too-weak", "soon", true),
            ("sun-on-the-tank", "soon", true),
            ("stone-not-tested", "note", true),
        ],
        never: &[
            "heavy-tank",
            "tolerant-plants-and-time",
            "plant",
            "inert-bed-is-rinsed",
        ],
        gates: &[("add-fish", "not-yet")],
        says: &[
            ("very-heavy-tank", "about 495 kg"),
            ("very-heavy-tank", "structural engineer"),
            ("heater-too-weak", "about 495 W"),
        ],
        ..NOTHING
    },
    // People first: each of the three plans can hurt someone.
    Story {
        file: "stones-in-the-oven",
        on: "2026-02-03",
        advised: &[
            ("stones-are-not-heated", "danger", true),
            ("bleach-beside-ammonia", "danger", true),
            ("ammonia-of-unknown-make", "today", true),
            ("bleach-on-hard-things", "soon", true),
        ],
        never: &["dose-ammonia", "plant", "bleach-near-ammonia"],
        says: &[
            ("bleach-beside-ammonia", "call poison control"),
            ("stones-are-not-heated", "Do not"),
        ],
        ..NOTHING
    },
    // Rain and bare gravel: the buffer is spent, and there is no phosphorus either.
    Story {
        file: "rain-barrel",
        on: "2026-05-26",
        advised: &[
            ("nothing-moves", "soon", true),
            ("sour-water-on-inert-bed", "soon", true),
            ("pure-water-needs-minerals", "soon", true),
            ("no-phosphate-in-pure-water", "note", true),
        ],
        never: &[
            "nitrite-is-late",
            "soft-tap-on-inert-bed",
            "new-water-not-treated",
            "dose-ammonia",
            "plant",
        ],
        gates: &[("dose-ammonia", "not-yet")],
        ..NOTHING
    },
    Story {
        file: "hose-without-conditioner",
        on: "2026-08-20",
        advised: &[
            ("untreated-water-went-in", "danger", true),
            ("animals-dart", "today", true),
        ],
        never: &["leave-water", "add-fish", "untreated-water-and-animals"],
        says: &[
            ("untreated-water-went-in", "for the whole tank now"),
            ("untreated-water-went-in", "Two to three times the dose"),
        ],
        ..NOTHING
    },
    // Seven hours in the dark: air by hand, and the canister is opened before it runs again.
    Story {
        file: "night-without-power",
        on: "2026-01-17",
        advised: &[("power-is-off-for-hours", "danger", true)],
        never: &[
            "power-is-off",
            "filter-stood-still",
            "leave-water",
            "add-fish",
        ],
        says: &[
            ("power-is-off-for-hours", "Shut the valve of the CO2"),
            ("power-is-off-for-hours", "open it and rinse its sludge"),
        ],
        ..NOTHING
    },
    // The change is due today, but the mains are being flushed.
    Story {
        file: "letter-from-the-waterworks",
        on: "2026-03-20",
        advised: &[("supplier-announces-works", "today", true)],
        never: &["change-due-early", "leave-water", "add-crew"],
        says: &[("supplier-announces-works", "two or three days")],
        ..NOTHING
    },
    // Nitrite came and went; nitrate that reads zero is the test's doing.
    Story {
        file: "bottle-not-shaken",
        on: "2026-10-31",
        advised: &[
            ("nitrite-went-and-no-nitrate-came", "soon", true),
            ("dark-start-rests", "note", true),
        ],
        never: &[
            "nothing-has-begun",
            "declare-cycled",
            "plant",
            "change-water",
        ],
        gates: &[("plant", "not-yet")],
        says: &[("nitrite-went-and-no-nitrate-came", "shake its bottles")],
        ..NOTHING
    },
    // 12 degrees of carbonate with 1 degree of hardness: sodium took the place of calcium.
    Story {
        file: "softened-water",
        on: "2026-03-22",
        advised: &[
            ("less-hardness-than-carbonate", "soon", true),
            ("change-not-due", "note", true),
        ],
        never: &["change-water", "ph-and-hardness-disagree"],
        says: &[("less-hardness-than-carbonate", "unsoftened tap")],
        ..NOTHING
    },
    Story {
        file: "giving-it-up",
        on: "2026-06-12",
        advised: &[
            ("never-move-it-filled", "danger", true),
            ("nothing-living-goes-outdoors", "today", true),
            ("tank-water-goes-to-the-foul-drain", "today", true),
            ("striped-shells-on-a-moss-ball", "today", true),
        ],
        never: &["change-water", "listed-species-stays-put", "add-fish"],
        says: &[
            ("nothing-living-goes-outdoors", "Never put them in a pond"),
            ("striped-shells-on-a-moss-ball", "never in a drain"),
        ],
        ..NOTHING
    },
    Story {
        file: "heater-that-sticks",
        on: "2026-06-22",
        advised: &[
            ("heater-stays-on", "danger", true),
            ("water-too-warm", "today", true),
        ],
        never: &["add-fish", "add-crew", "water-far-too-warm"],
        gates: &[("add-fish", "not-yet")],
        says: &[("heater-stays-on", "no more than 1 °C an hour")],
        ..NOTHING
    },
    // 0.6 mg/L N from the tap, 0.3 in the tank since half was changed: another change would double it.
    Story {
        file: "tap-full-of-ammonia",
        on: "2026-07-02",
        advised: &[
            ("tap-holds-more-ammonia", "today", true),
            ("ammonia-comes-with-new-water", "soon", true),
        ],
        never: &["change-water", "ammonia-calls-for-a-change", "add-fish"],
        gates: &[("add-fish", "not-yet")],
        says: &[("tap-holds-more-ammonia", "Do not thin it with this water")],
        ..NOTHING
    },
    // Two days of zeros and 18 mg/L above the tap, but fertiliser may have brought them.
    Story {
        file: "nitrate-from-a-bottle",
        on: "2026-04-20",
        advised: &[("nitrate-may-be-fertiliser", "soon", true)],
        never: &["declare-cycled", "add-crew", "add-fish", "change-water"],
        says: &[("nitrate-may-be-fertiliser", "Hold fertiliser back")],
        ..NOTHING
    },
];
