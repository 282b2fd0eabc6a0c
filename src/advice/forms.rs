//! What a form for each kind of event must ask, from the vocabulary.

use serde::Serialize;

use crate::engine::Book;
use crate::journal::{EVENT_KINDS, EventKind, Field, Holds, Needed};

use super::names::*;

/// One field of an event.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct EventField {
    /// Its name in journals.
    pub name: String,
    /// `quantity`, `values`, `plants`, `animals`, `signs` or `text`.
    pub holds: String,
    /// `always`, `sometimes`, or `one-of`: exactly one of the fields so marked.
    pub needed: String,
    /// An example, as JSON text.
    pub example: String,
    /// The facts it is filled from. For plants: the species, then how they were raised.
    pub facts: Vec<String>,
}

/// One kind of event.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct EventForm {
    /// Its name in journals.
    pub name: String,
    /// What it means, as a sentence.
    pub meaning: String,
    /// Its fields, besides the date, the time and a note.
    pub fields: Vec<EventField>,
}

/// A form for every kind of event.
#[must_use]
pub fn event_forms(book: &Book) -> Vec<EventForm> {
    let form = |kind: &EventKind| EventForm {
        name: kind.name.to_owned(),
        meaning: book.word(&super::phrases::event(kind.name), kind.meaning),
        fields: kind
            .fields
            .iter()
            .map(|field| event_field(book, kind, field))
            .collect(),
    };
    EVENT_KINDS.iter().map(form).collect()
}

fn event_field(book: &Book, kind: &EventKind, field: &Field) -> EventField {
    let facts: Vec<String> = match (field.holds, kind.name, field.name) {
        (Holds::Quantity, _, "share") => vec![SHARE_CHANGED.into()],
        (Holds::Quantity, "changed-water" | "topped-up", _) => vec![NET_VOLUME.into()],
        (Holds::Values, "read", _) => of_groups(book, &[TEST_GROUP]),
        (Holds::Values, "changed-water", _) => of_groups(book, &["tap"]),
        (Holds::Values, ..) => of_groups(book, &["state", "tap", "tank"]),
        (Holds::Plants, ..) => vec![PLANT_SPECIES.into(), PLANT_ORIGIN.into()],
        (Holds::Animals, ..) => vec![ANIMAL_SPECIES.into()],
        (Holds::Signs, ..) => vec![SIGNS.into()],
        _ => Vec::new(),
    };
    EventField {
        name: field.name.to_owned(),
        holds: holds(field.holds).to_owned(),
        needed: needed(field.needed).to_owned(),
        example: field.example.to_owned(),
        facts: facts.into_iter().filter(|name| book.knows(name)).collect(),
    }
}

fn of_groups(book: &Book, groups: &[&str]) -> Vec<String> {
    let facts = book.facts().into_iter();
    let fits = |group: &str| groups.contains(&group);
    facts
        .filter(|fact| fits(&fact.group))
        .map(|fact| fact.name)
        .collect()
}

fn holds(holds: Holds) -> &'static str {
    match holds {
        Holds::Quantity => "quantity",
        Holds::Values => "values",
        Holds::Plants => "plants",
        Holds::Animals => "animals",
        Holds::Signs => "signs",
        _ => "text",
    }
}

fn needed(needed: Needed) -> &'static str {
    match needed {
        Needed::Always => "always",
        Needed::Sometimes => "sometimes",
        Needed::OneOf => "one-of",
    }
}
