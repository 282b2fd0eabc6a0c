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

/// Whether the cycle is proven.
pub(super) const CYCLE_PROVEN: &str = "cycle-proven";

/// Every name above that must be in the book.
pub(super) const ALL: [&str; 25] = [
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
];
