//! The kinds of event, and what may stand in each: one table for the parser, the page and the published schema.

use serde::Serialize;

/// One kind of event.
#[derive(Debug, Serialize)]
pub struct EventKind {
    /// Its name in a journal, such as `changed-water`.
    pub name: &'static str,
    /// What it records, as one sentence.
    pub meaning: &'static str,
    /// What may stand in it besides [`COMMON_FIELDS`].
    pub fields: &'static [Field],
}

/// One named entry of a journal, an event, a plant or an animal.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Field {
    /// Its name in a journal.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Whether it must be there.
    pub needed: Needed,
    /// What may be written in it, as JSON text.
    pub example: &'static str,
}

/// What a field holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Holds {
    /// A day, as in `2026-09-01`.
    Date,
    /// A time of the day, as in `19:30`.
    Time,
    /// The name of an event kind.
    Event,
    /// Free text.
    Text,
    /// A name from a vocabulary: small letters, digits and hyphens.
    Name,
    /// How plants were raised: `in-vitro`, `potted` or `submerged`.
    Origin,
    /// A whole number from 1 up.
    Count,
    /// A quantity as it was typed, with its unit.
    Quantity,
    /// Fact names with what was found or set for each.
    Values,
    /// A list of plants, each with [`PLANT_FIELDS`].
    Plants,
    /// A list of animals, each with [`ANIMAL_FIELDS`].
    Animals,
    /// A list of the names of signs; it may be empty.
    Signs,
    /// A list of events, each with [`COMMON_FIELDS`] and those of its kind.
    Events,
}

/// Whether a field must be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Needed {
    /// It must be there.
    Always,
    /// It may be left out.
    Sometimes,
    /// Exactly one of the fields so marked in an event must be there.
    OneOf,
}

const fn always(name: &'static str, holds: Holds, example: &'static str) -> Field {
    Field {
        name,
        holds,
        needed: Needed::Always,
        example,
    }
}

const fn sometimes(name: &'static str, holds: Holds, example: &'static str) -> Field {
    Field {
        name,
        holds,
        needed: Needed::Sometimes,
        example,
    }
}

const fn one_of(name: &'static str, holds: Holds, example: &'static str) -> Field {
    Field {
        name,
        holds,
        needed: Needed::OneOf,
        example,
    }
}

const PLANTS: Field = always("plants", Holds::Plants, r#"[{ "species": "java-fern" }]"#);
const ANIMALS: Field = always(
    "animals",
    Holds::Animals,
    r#"[{ "species": "cherry-shrimp", "count": 10 }]"#,
);

/// What may stand in a journal.
pub const JOURNAL_FIELDS: &[Field] = &[
    always("format", Holds::Text, r#""lentic-journal/1""#),
    sometimes("name", Holds::Text, r#""Kitchen window""#),
    always("tank", Holds::Values, r#"{ "length": "60 cm" }"#),
    always(
        "events",
        Holds::Events,
        r#"[{ "on": "2026-09-01", "event": "filled" }]"#,
    ),
];

/// What may stand in every event.
pub const COMMON_FIELDS: &[Field] = &[
    always("on", Holds::Date, r#""2026-09-01""#),
    sometimes("at", Holds::Time, r#""19:30""#),
    always("event", Holds::Event, r#""read""#),
    sometimes("note", Holds::Text, r#""a few words""#),
];

/// What may stand in one entry of a list of plants.
pub const PLANT_FIELDS: &[Field] = &[
    always("species", Holds::Name, r#""java-fern""#),
    sometimes("origin", Holds::Origin, r#""potted""#),
    sometimes("count", Holds::Count, "3"),
];

/// What may stand in one entry of a list of animals.
pub const ANIMAL_FIELDS: &[Field] = &[
    always("species", Holds::Name, r#""cherry-shrimp""#),
    always("count", Holds::Count, "10"),
];

/// Every kind of event that a journal may record.
pub const EVENT_KINDS: &[EventKind] = &[
    EventKind {
        name: "filled",
        meaning: "The tank was filled with water.",
        fields: &[],
    },
    EventKind {
        name: "read",
        meaning: "The water was tested or measured.",
        fields: &[always(
            "values",
            Holds::Values,
            r#"{ "temperature": "24 °C" }"#,
        )],
    },
    EventKind {
        name: "changed-water",
        meaning: "Part of the water was replaced by new water.",
        fields: &[
            one_of("share", Holds::Quantity, r#""50 %""#),
            one_of("amount", Holds::Quantity, r#""27 L""#),
            sometimes("values", Holds::Values, r#"{ "temperature": "24 °C" }"#),
        ],
    },
    EventKind {
        name: "topped-up",
        meaning: "Water that had evaporated was replaced.",
        fields: &[always("amount", Holds::Quantity, r#""2 L""#)],
    },
    EventKind {
        name: "dosed",
        meaning: "Something was dosed into the water.",
        fields: &[
            always("what", Holds::Text, r#""ammonium chloride""#),
            always("amount", Holds::Quantity, r#""0.6 g""#),
        ],
    },
    EventKind {
        name: "planted",
        meaning: "Plants were put in.",
        fields: &[PLANTS],
    },
    EventKind {
        name: "removed",
        meaning: "Plants were taken out.",
        fields: &[PLANTS],
    },
    EventKind {
        name: "added",
        meaning: "Animals were put in.",
        fields: &[ANIMALS],
    },
    EventKind {
        name: "lost",
        meaning: "Animals died or moved away.",
        fields: &[ANIMALS],
    },
    EventKind {
        name: "saw",
        meaning: "The keeper looked for signs; an empty list means that there were none.",
        fields: &[always("signs", Holds::Signs, r#"["melting-leaves"]"#)],
    },
    EventKind {
        name: "set",
        meaning: "Something about the tank is so from this day on.",
        fields: &[always(
            "values",
            Holds::Values,
            r#"{ "light-hours": "6 h" }"#,
        )],
    },
    EventKind {
        name: "drained",
        meaning: "The water was let out.",
        fields: &[],
    },
    EventKind {
        name: "note",
        meaning: "Something worth remembering was written down.",
        fields: &[always(
            "note",
            Holds::Text,
            r#""the light hangs lower now""#,
        )],
    },
];

impl EventKind {
    /// The kind of that name.
    pub fn named(name: &str) -> Option<&'static EventKind> {
        EVENT_KINDS.iter().find(|kind| kind.name == name)
    }

    /// Its own fields, then those of [`COMMON_FIELDS`] that it does not make stricter.
    pub fn all_fields(&self) -> Vec<Field> {
        let own = |common: &&Field| self.fields.iter().any(|field| field.name == common.name);
        let common = COMMON_FIELDS.iter().filter(|common| !own(common));
        self.fields.iter().chain(common).copied().collect()
    }
}
