//! From a tree of plain data to a journal, with every mistake on the way.
//!
//! A reading function that meets a mistake notes it and goes on with a stand-in, so that all are found in one go.

use super::field::{Object, Reader};
use super::mistake::{Found, Mistakes, quoted, suggestion};
use super::{
    ANIMAL_FIELDS, Animals, COMMON_FIELDS, EVENT_KINDS, Entry, Event, EventKind, HowMuch,
    JOURNAL_FIELDS, Journal, Node, PLANT_FIELDS, Plants, Values, What,
};

/// The name and version of the format, as every journal states it.
pub const FORMAT: &str = "lentic-journal/1";
/// A journal may hold this many events.
pub const MAX_EVENTS: usize = 20_000;
/// A text may have this many characters.
pub const MAX_TEXT: usize = 2_000;
/// So many plants or animals may be counted in one entry.
pub const MAX_COUNT: u32 = 100_000;

impl Journal {
    /// Reads a journal from plain data, with the same care as [`Journal::from_json`].
    ///
    /// # Errors
    ///
    /// All mistakes together, at least one.
    pub fn from_node(node: &Node) -> Result<Journal, Mistakes> {
        // INVARIANT: no stand-in leaves this room, because a journal is handed out only if no mistake was noted.
        let mut reader = Reader {
            mistakes: Found::default(),
        };
        let mut journal = reader.journal(node);
        if !reader.mistakes.is_empty() {
            return Err(reader.mistakes.into_all());
        }
        journal.put_in_order();
        Ok(journal)
    }
}

impl Reader {
    fn journal(&mut self, node: &Node) -> Journal {
        let Node::Object(entries) = node else {
            self.add(
                "",
                format!(
                    "a journal is a group in curly brackets, but this is {}",
                    node.in_words()
                ),
                "is it the right file?",
            );
            return Journal::default();
        };
        let object = Object {
            entries,
            place: String::new(),
        };
        if !self.format_is_known(&object) {
            return Journal::default();
        }
        self.check_names(&object, "a journal", JOURNAL_FIELDS);
        self.check_duplicates(&object);
        Journal {
            name: self.optional(&object, "name", Reader::text),
            tank: self.needed(&object, "tank", Reader::values),
            events: self.needed(&object, "events", Reader::events),
        }
    }

    /// Whether it makes sense to read on: a file of another format would only give a hundred false mistakes.
    fn format_is_known(&mut self, object: &Object) -> bool {
        let Some(node) = object.get("format") else {
            return true;
        };
        let Node::Text(format) = node else {
            self.wrong(
                node,
                "format",
                "the name of the format",
                "\"lentic-journal/1\"",
            );
            return false;
        };
        let version = format
            .strip_prefix("lentic-journal/")
            .and_then(|version| version.parse::<u32>().ok());
        if format == FORMAT {
            return true;
        }
        match version {
            Some(2..) => self.add(
                "format",
                format!(
                    "{} is newer than {}, the newest that is known here; nothing was changed",
                    quoted(format),
                    quoted(FORMAT)
                ),
                "bring Lentic up to date to open this journal",
            ),
            _ => self.add(
                "format",
                format!("{} is not the format of a journal", quoted(format)),
                "if it is a journal, write \"format\": \"lentic-journal/1\"",
            ),
        }
        false
    }

    fn events(&mut self, node: &Node, place: &str) -> Vec<Event> {
        let items = self.list(node, place);
        if items.len() > MAX_EVENTS {
            self.add(
                place,
                format!(
                    "a journal holds at most {MAX_EVENTS} events, but these are {}",
                    items.len()
                ),
                "begin a new journal",
            );
            return Vec::new();
        }
        items
            .iter()
            .zip(0..)
            .filter_map(|(item, index)| self.event(item, format!("{place}[{index}]")))
            .collect()
    }

    fn event(&mut self, node: &Node, place: String) -> Option<Event> {
        let object = self.object(
            node,
            place,
            "{ \"on\": \"2026-09-01\", \"event\": \"filled\" }",
        )?;
        let kind = self.kind(&object);
        match kind {
            Some(kind) => self.check_names(
                &object,
                &format!("a `{}` event", kind.name),
                &kind.all_fields(),
            ),
            None => self.check_missing(&object, COMMON_FIELDS),
        }
        self.check_duplicates(&object);
        let on = self.optional(&object, "on", Reader::date);
        let at = self.optional(&object, "at", Reader::time);
        let note = self.optional(&object, "note", Reader::note);
        let what = self.what(kind?, &object);
        Some(Event {
            on: on?,
            at: at.flatten(),
            what,
            note,
            place: object.place,
        })
    }

    fn kind(&mut self, object: &Object) -> Option<&'static EventKind> {
        let node = object.get("event")?;
        let name = self.text(node, &object.place_of("event"));
        let kind = EventKind::named(&name);
        if kind.is_none() && !name.is_empty() {
            let known: Vec<&str> = EVENT_KINDS.iter().map(|kind| kind.name).collect();
            let message = format!("{} is not a kind of event", quoted(&name));
            self.mistakes.add(&object.place_of("event"), || {
                (message, suggestion(&name, &known))
            });
        }
        kind
    }

    /// INVARIANT: there is an arm for each of [`EVENT_KINDS`]; the last one serves `note`.
    fn what(&mut self, kind: &EventKind, object: &Object) -> What {
        match kind.name {
            "filled" => What::Filled,
            "read" => What::Read {
                values: self.needed(object, "values", Reader::some_values),
            },
            "changed-water" => What::ChangedWater {
                how_much: self.how_much(object),
                values: self.needed(object, "values", Reader::some_values),
            },
            "topped-up" => What::ToppedUp {
                amount: self.needed(object, "amount", Reader::quantity),
            },
            "dosed" => What::Dosed {
                what: self.needed(object, "what", Reader::words),
                amount: self.needed(object, "amount", Reader::quantity),
            },
            "planted" => What::Planted {
                plants: self.needed(object, "plants", Reader::plants),
            },
            "removed" => What::Removed {
                plants: self.needed(object, "plants", Reader::plants),
            },
            "added" => What::Added {
                animals: self.needed(object, "animals", Reader::animals),
            },
            "lost" => What::Lost {
                animals: self.needed(object, "animals", Reader::animals),
            },
            "saw" => What::Saw {
                signs: self.needed(object, "signs", Reader::signs),
            },
            "set" => What::Set {
                values: self.needed(object, "values", Reader::some_values),
            },
            "drained" => What::Drained,
            _ => What::Note,
        }
    }

    fn how_much(&mut self, object: &Object) -> HowMuch {
        let amount = self.needed(object, "amount", Reader::quantity);
        let share = self.optional(object, "share", Reader::quantity);
        share.map_or(HowMuch::Amount(amount), HowMuch::Share)
    }

    fn plants(&mut self, node: &Node, place: &str) -> Vec<Plants> {
        let items = self.full_list(node, place, "{ \"species\": \"java-fern\" }", PLANT_FIELDS);
        let plants = |object: &Object| Plants {
            species: self.needed(object, "species", Reader::name),
            origin: self.optional(object, "origin", Reader::origin).flatten(),
            count: self.optional(object, "count", Reader::count),
        };
        items.iter().map(plants).collect()
    }

    fn animals(&mut self, node: &Node, place: &str) -> Vec<Animals> {
        let items = self.full_list(
            node,
            place,
            "{ \"species\": \"cherry-shrimp\", \"count\": 10 }",
            ANIMAL_FIELDS,
        );
        let animals = |object: &Object| Animals {
            species: self.needed(object, "species", Reader::name),
            count: self.needed(object, "count", Reader::count),
        };
        items.iter().map(animals).collect()
    }

    fn signs(&mut self, node: &Node, place: &str) -> Vec<Entry> {
        let items = self.list(node, place);
        items
            .iter()
            .zip(0..)
            .map(|(item, index)| self.name(item, &format!("{place}[{index}]")))
            .collect()
    }

    fn some_values(&mut self, node: &Node, place: &str) -> Values {
        if matches!(node, Node::Object(entries) if entries.is_empty()) {
            self.add(
                place,
                "nothing is written here".to_owned(),
                "write at least one value, or leave this out",
            );
        }
        self.values(node, place)
    }

    fn values(&mut self, node: &Node, place: &str) -> Values {
        let Some(object) = self.object(node, place.to_owned(), "{ \"temperature\": \"24 °C\" }")
        else {
            return Values::new();
        };
        self.check_duplicates(&object);
        let entry = |(name, node): &(String, Node)| {
            let place = object.place_of(name);
            self.check_name(name, &place);
            (name.clone(), self.quantity(node, &place))
        };
        object.entries.iter().map(entry).collect()
    }
}
