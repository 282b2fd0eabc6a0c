//! What a keeper recorded about a tank: how it began, and what happened on which day.
//!
//! A journal is plain data. It knows no unit and no vocabulary: a quantity is the text that was typed, a fact is
//! a name in small letters and hyphens. Whoever gives them a meaning reports what is wrong with them by the same
//! places as this module does: every [`Entry`] keeps its own.
//!
//! ```
//! use lentic::journal::{Journal, What};
//!
//! let journal = Journal::from_json(r#"{
//!     "format": "lentic-journal/1",
//!     "tank": { "length": "60 cm" },
//!     "events": [
//!         { "on": "2026-09-01", "event": "filled" },
//!         { "on": "2026-09-20", "at": "19:30", "event": "read", "values": { "temperature": "78 °F" } }
//!     ]
//! }"#).unwrap();
//!
//! let What::Read { values } = &journal.events[1].what else { panic!() };
//! let (name, entry) = &values[0];
//! assert_eq!((name.as_str(), entry.text.as_str()), ("temperature", "78 °F"));
//! assert_eq!(entry.place, "events[1].values.temperature");
//!
//! let mistakes = Journal::from_json(r#"{ "format": "lentic-journal/1", "tank": {}, "evnts": [] }"#).unwrap_err();
//! assert_eq!(mistakes[0].to_string(), "evnts: `evnts` is not known in a journal; did you mean `events`?");
//! ```
//!
//! The format is published as a JSON Schema in `www/journal.schema.json`.

mod date;
mod field;
mod json;
mod kind;
mod mistake;
mod node;
mod read;

use std::collections::BTreeMap;

use serde::Serialize;

pub use date::{Date, DateError, TimeOfDay};
pub use json::MAX_BYTES;
pub use kind::{
    ANIMAL_FIELDS, COMMON_FIELDS, EVENT_KINDS, EventKind, Field, Holds, JOURNAL_FIELDS, Needed,
    PLANT_FIELDS,
};
pub use mistake::{Mistake, Mistakes};
pub use node::Node;
pub use read::{FORMAT, MAX_COUNT, MAX_EVENTS, MAX_TEXT};

/// What a keeper recorded about one tank.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Journal {
    /// What the keeper calls the tank.
    pub name: Option<String>,
    /// The facts about the tank as it began, in the order they were written.
    pub tank: Values,
    /// What happened, in the order of [`Journal::put_in_order`].
    pub events: Vec<Event>,
}

/// Facts and what was written for each, in the order they were written; no name comes twice.
pub type Values = Vec<(String, Entry)>;

/// A piece of text from a journal that still has to be given a meaning, and where it stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Entry {
    /// The text as typed, such as `2.4 mg/L NH4`, `yes` or `cherry-shrimp`.
    ///
    /// `true` and `false` become `yes` and `no`.
    pub text: String,
    /// Whether it was written as a number without quotes, and so without a unit.
    ///
    /// The text is then the shortest decimal number that means the same: `0.50` becomes `0.5`.
    pub bare: bool,
    /// Where it stands, such as `events[3].values.nitrite`, counted in the order of the file.
    pub place: String,
}

/// Something that happened on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// The day.
    pub on: Date,
    /// The time of the day, if it was written down.
    pub at: Option<TimeOfDay>,
    /// What happened.
    pub what: What,
    /// The keeper's own words about it.
    pub note: Option<String>,
    /// Where it stands, such as `events[3]`, counted in the order of the file.
    pub place: String,
}

/// What happened.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum What {
    /// The tank was filled with water.
    Filled,
    /// The water was tested or measured; at least one value.
    Read {
        /// What each test read.
        values: Values,
    },
    /// Part of the water was replaced.
    ChangedWater {
        /// How much of it.
        how_much: HowMuch,
        /// Facts about the new water; often none.
        values: Values,
    },
    /// Evaporated water was replaced.
    ToppedUp {
        /// How much, as a volume.
        amount: Entry,
    },
    /// Something was dosed.
    Dosed {
        /// The substance, in the keeper's words.
        what: Entry,
        /// How much of it.
        amount: Entry,
    },
    /// Plants were put in; at least one entry.
    Planted {
        /// Which.
        plants: Vec<Plants>,
    },
    /// Plants were taken out; at least one entry.
    Removed {
        /// Which.
        plants: Vec<Plants>,
    },
    /// Animals were put in; at least one entry.
    Added {
        /// Which.
        animals: Vec<Animals>,
    },
    /// Animals died or moved away; at least one entry.
    Lost {
        /// Which.
        animals: Vec<Animals>,
    },
    /// The keeper looked for signs.
    Saw {
        /// The names of those seen; none means that there were none.
        signs: Vec<Entry>,
    },
    /// Facts that hold from this day on; at least one.
    Set {
        /// The facts.
        values: Values,
    },
    /// The water was let out.
    Drained,
    /// Nothing but the event's note.
    Note,
}

/// How much water was changed, in the way the keeper wrote it.
#[derive(Clone, Debug, PartialEq)]
pub enum HowMuch {
    /// A share of the tank's water, such as `50 %`.
    Share(Entry),
    /// A volume, such as `27 L`.
    Amount(Entry),
}

/// Some plants of one species.
#[derive(Clone, Debug, PartialEq)]
pub struct Plants {
    /// The name of the species.
    pub species: Entry,
    /// How they were raised, if it was written down.
    pub origin: Option<Origin>,
    /// How many, if they were counted; at least 1.
    pub count: Option<u32>,
}

/// How a plant was raised before it came into the tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Origin {
    /// In a closed cup on sterile medium.
    InVitro,
    /// In a pot, mostly above water.
    Potted,
    /// Under water.
    Submerged,
}

impl Origin {
    /// Every origin there is.
    pub const ALL: [Origin; 3] = [Origin::InVitro, Origin::Potted, Origin::Submerged];

    /// Its name in a journal.
    pub fn name(self) -> &'static str {
        match self {
            Origin::InVitro => "in-vitro",
            Origin::Potted => "potted",
            Origin::Submerged => "submerged",
        }
    }
}

/// Some animals of one species.
#[derive(Clone, Debug, PartialEq)]
pub struct Animals {
    /// The name of the species.
    pub species: Entry,
    /// How many; at least 1.
    pub count: u32,
}

impl What {
    /// The name of its kind in [`EVENT_KINDS`].
    pub fn kind(&self) -> &'static str {
        match self {
            What::Filled => "filled",
            What::Read { .. } => "read",
            What::ChangedWater { .. } => "changed-water",
            What::ToppedUp { .. } => "topped-up",
            What::Dosed { .. } => "dosed",
            What::Planted { .. } => "planted",
            What::Removed { .. } => "removed",
            What::Added { .. } => "added",
            What::Lost { .. } => "lost",
            What::Saw { .. } => "saw",
            What::Set { .. } => "set",
            What::Drained => "drained",
            What::Note => "note",
        }
    }
}

impl Journal {
    /// Sorts the events by day, and within a day by time.
    ///
    /// An event without a time keeps its place in the file: it follows the timed event of its day that was written
    /// last before it, or opens the day if there is none. Otherwise the order of the file stays.
    pub fn put_in_order(&mut self) {
        let mut last: BTreeMap<Date, Option<TimeOfDay>> = BTreeMap::new();
        let mut timed: Vec<_> = Vec::with_capacity(self.events.len());
        for event in self.events.drain(..) {
            let time = last.entry(event.on).or_default();
            *time = event.at.or(*time);
            timed.push(((event.on, *time), event));
        }
        timed.sort_by_key(|(time, _)| *time);
        self.events
            .extend(timed.into_iter().map(|(_, event)| event));
    }
}
