//! Names of the book that this room fills from a journal. A test holds that the built-in book has each of them.

pub(super) const TODAY: &str = "today";
pub(super) const FILLED: &str = "filled";
pub(super) const FILLED_ON: &str = "filled-on";
pub(super) const PLANTED: &str = "planted";
pub(super) const PLANTED_ON: &str = "planted-on";
pub(super) const CHANGED_ON: &str = "changed-on";
pub(super) const SHARE_CHANGED: &str = "share-changed";
pub(super) const CHANGE_BEFORE_TESTS: &str = "change-before-tests";
pub(super) const PLANT_CLASS: &str = "plant-class";
pub(super) const ANIMALS_ADDED_ON: &str = "animals-added-on";
pub(super) const AMMONIA_DOSED: &str = "ammonia-dosed";
pub(super) const AMMONIA_DOSED_ON: &str = "ammonia-dosed-on";
pub(super) const PROVEN_BEFORE_PLANTING: &str = "proven-before-planting";
pub(super) const SIGNS: &str = "signs";
pub(super) const NET_VOLUME: &str = "net-volume";

/// Group of the facts that are worked out from the journal and cannot be typed in.
pub(super) const JOURNAL_GROUP: &str = "journal";
/// Group of the tests that are read in the tank.
pub(super) const TEST_GROUP: &str = "test";

/// One plant: what it is, how it was raised, how long it has been in; and the table that tells its class.
pub(super) const PLANT_SPECIES: &str = "plant-species";
pub(super) const PLANT_ORIGIN: &str = "plant-origin";
pub(super) const PLANT_DAYS: &str = "plant-days";
pub(super) const CLASS_OF_PLANT: &str = "class-of-plant";

/// One animal, and the table that tells its kind.
pub(super) const ANIMAL_SPECIES: &str = "animal-species";
pub(super) const ANIMAL_KIND: &str = "animal-kind";
/// The facts that count animals, in the order of the options of [`ANIMAL_KIND`].
pub(super) const COUNTS: [&str; 3] = ["fish", "shrimp", "snails"];

/// What is matched, and its options: nothing in daily advice.
pub(super) const FIT_OF: &str = "fit-of";
pub(super) const FIT_OF_NOTHING: &str = "nothing";
pub(super) const FIT_OF_ANIMAL: &str = "animal";
pub(super) const FIT_OF_PLANT: &str = "plant";
pub(super) const FIT_OF_TWO_ANIMALS: &str = "two-animals";
pub(super) const FIT_OF_ANIMAL_AND_PLANT: &str = "animal-and-plant";
pub(super) const FIT_OF_TWO_PLANTS: &str = "two-plants";
/// A second animal and a second plant to match with the first, and how many of the first there are to be.
pub(super) const OTHER_ANIMAL: &str = "other-animal";
pub(super) const OTHER_PLANT: &str = "other-plant";
pub(super) const ANIMAL_COUNT: &str = "animal-count";
/// When an animal's turn is, the gate that guards it (its options are named like gates), and its waste.
pub(super) const ANIMAL_TURN: &str = "animal-turn";
pub(super) const TURN_NEVER: &str = "never";
pub(super) const TURN_CREW: &str = "crew";
pub(super) const ANIMAL_GATE: &str = "animal-gate";
pub(super) const ANIMAL_WASTE: &str = "animal-waste";
/// The waste of all that is planned, what of it may come at once, and the days between.
pub(super) const PLANNED_WASTE: &str = "planned-waste";
pub(super) const LARGEST_BATCH: &str = "largest-batch";
pub(super) const BATCH_PAUSE: &str = "batch-pause";

/// Whether the cycle is proven.
pub(super) const CYCLE_PROVEN: &str = "cycle-proven";

/// The tests that the forecast is fitted to, and that its water is judged by.
pub(super) const AMMONIA: &str = "total-ammonia";
pub(super) const NITRITE: &str = "nitrite";
pub(super) const NITRATE: &str = "nitrate";
pub(super) const PH: &str = "ph";
pub(super) const KH: &str = "kh";
pub(super) const TEMPERATURE: &str = "temperature";

/// What else the forecast is told of a tank and its new water.
pub(super) const START: &str = "start";
/// The ways to start that are told apart here; any other is followed as the book says.
pub(super) const PLANTED_START: &str = "planted";
pub(super) const FED: &str = "fed";
pub(super) const BED: &str = "bed";
pub(super) const BED_MASS: &str = "bed-mass";
pub(super) const TAP_AMMONIA: &str = "tap-ammonia";
pub(super) const TAP_NITRATE: &str = "tap-nitrate";
pub(super) const TAP_KH: &str = "tap-kh";
pub(super) const WATER_TREATED: &str = "water-treated";
pub(super) const DISINFECTANT: &str = "disinfectant";
pub(super) const SEEDED_MEDIA: &str = "seeded-media";
pub(super) const LIGHT_HOURS: &str = "light-hours";
pub(super) const CO2_ON: &str = "co2-on";
pub(super) const PLANTS_ON_HAND: &str = "plants-on-hand";
pub(super) const FOOD_PER_DAY: &str = "food-per-day";
pub(super) const FOOD_PROTEIN: &str = "food-protein";

/// What is taken for a fact that nobody entered: the range of each of these.
pub(super) const ASSUMED_TEMPERATURE: &str = "assumed-temperature";
pub(super) const ASSUMED_TAP_NITRATE: &str = "assumed-tap-nitrate";
pub(super) const ASSUMED_TAP_KH: &str = "assumed-tap-kh";
pub(super) const ASSUMED_BED: &str = "assumed-bed";
pub(super) const ASSUMED_VOLUME: &str = "assumed-volume";
pub(super) const ASSUMED_GAS: &str = "assumed-gas";
pub(super) const ASSUMED_LIGHT: &str = "assumed-light";
pub(super) const ASSUMED_UPTAKE: &str = "assumed-uptake";

/// What a dose of ammonia is read as.
pub(super) const DOSED_MASS: &str = "dosed-mass";
pub(super) const DOSED_VOLUME: &str = "dosed-volume";
pub(super) const DOSED_RISE: &str = "dosed-rise";
pub(super) const AMMONIA_STRENGTH: &str = "ammonia-strength";

/// When the cycle counts as done, and what plants bear.
pub(super) const CYCLE_DONE: &str = "cycle-done";
pub(super) const PLANT_LIMIT: &str = "plant-limit";
pub(super) const PLANT_LOSS_LIMIT: &str = "plant-act-limit";
pub(super) const DOSE_TO_TARGET: &str = "dose-to-target";

pub(super) const BUFFER_DUE: &str = "buffer-due";
pub(super) const BUFFER_TO_ADD: &str = "buffer-to-add";

/// What bed and filter can carry.
pub(super) const NITROGEN_CLEARED: &str = "nitrogen-cleared";
pub(super) const FOOD_CARRIED: &str = "food-carried";
pub(super) const STOCKING_SHARE: &str = "stocking-share";
pub(super) const DAYS_SINCE_ANIMALS: &str = "days-since-animals";

/// Why readings may not fit the model.
pub(super) const MISFIT_CAUSE: &str = "misfit-cause";

/// Actions that the forecast carries out, and gates that it waits for.
pub(super) const CHANGE_WATER: &str = "change-water";
pub(super) const DOSE_AMMONIA: &str = "dose-ammonia";
pub(super) const TEST: &str = "test";
pub(super) const PLANT: &str = "plant";
pub(super) const ADD_CREW: &str = "add-crew";
pub(super) const ADD_FISH: &str = "add-fish";

/// Every fact, derived fact and table above that must be in the book.
pub(super) const ALL: [&str; 78] = [
    TODAY,
    FILLED,
    FILLED_ON,
    PLANTED,
    PLANTED_ON,
    CHANGED_ON,
    SHARE_CHANGED,
    CHANGE_BEFORE_TESTS,
    PLANT_CLASS,
    ANIMALS_ADDED_ON,
    AMMONIA_DOSED,
    AMMONIA_DOSED_ON,
    PROVEN_BEFORE_PLANTING,
    SIGNS,
    NET_VOLUME,
    PLANT_SPECIES,
    PLANT_ORIGIN,
    PLANT_DAYS,
    CLASS_OF_PLANT,
    ANIMAL_SPECIES,
    ANIMAL_KIND,
    COUNTS[0],
    COUNTS[1],
    COUNTS[2],
    CYCLE_PROVEN,
    AMMONIA,
    NITRITE,
    NITRATE,
    PH,
    KH,
    TEMPERATURE,
    START,
    BED,
    BED_MASS,
    TAP_AMMONIA,
    TAP_NITRATE,
    TAP_KH,
    WATER_TREATED,
    DISINFECTANT,
    SEEDED_MEDIA,
    LIGHT_HOURS,
    CO2_ON,
    PLANTS_ON_HAND,
    FOOD_PER_DAY,
    FOOD_PROTEIN,
    ASSUMED_TEMPERATURE,
    ASSUMED_TAP_NITRATE,
    ASSUMED_TAP_KH,
    ASSUMED_BED,
    ASSUMED_VOLUME,
    ASSUMED_GAS,
    ASSUMED_LIGHT,
    ASSUMED_UPTAKE,
    DOSED_MASS,
    DOSED_VOLUME,
    DOSED_RISE,
    AMMONIA_STRENGTH,
    CYCLE_DONE,
    PLANT_LIMIT,
    PLANT_LOSS_LIMIT,
    DOSE_TO_TARGET,
    BUFFER_DUE,
    BUFFER_TO_ADD,
    NITROGEN_CLEARED,
    FOOD_CARRIED,
    STOCKING_SHARE,
    DAYS_SINCE_ANIMALS,
    MISFIT_CAUSE,
    FIT_OF,
    OTHER_ANIMAL,
    OTHER_PLANT,
    ANIMAL_COUNT,
    ANIMAL_TURN,
    ANIMAL_GATE,
    ANIMAL_WASTE,
    PLANNED_WASTE,
    LARGEST_BATCH,
    BATCH_PAUSE,
];

/// Sources that only the formulas of `water` rest on.
pub(super) const SOURCES: [&str; 7] = [
    "davies-1962",
    "standard-methods-4500-cl",
    "timmons-ebeling-2010",
    "perry-1997",
    "kell-1975",
    "icao-standard-atmosphere",
    "en-572-1",
];
