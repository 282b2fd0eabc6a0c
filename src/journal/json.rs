//! A journal as JSON text: the way in, with syntax errors in plain words, and the way out.

use serde::{Serialize, Serializer};
use serde_json::error::Category;

use super::mistake::{Mistake, Mistakes};
use super::read::FORMAT;
use super::{Animals, Entry, Event, HowMuch, Journal, Node, Plants, Values, What};

/// A journal's text may be this long, in bytes.
pub const MAX_BYTES: usize = 8_000_000;

impl Journal {
    /// Reads a journal from JSON text.
    ///
    /// A number without quotes is taken for a quantity without a unit, and `true` and `false` for `yes` and `no`;
    /// nothing else is guessed, and nothing is dropped.
    ///
    /// # Errors
    ///
    /// All mistakes together, at least one; only the first if the text is not JSON at all.
    pub fn from_json(text: &str) -> Result<Journal, Mistakes> {
        if text.len() > MAX_BYTES {
            let message = format!(
                "the file is larger than {} MB, so it was not read",
                MAX_BYTES / 1_000_000
            );
            return Err(Mistakes(vec![Mistake::new(
                "",
                message,
                "a journal is much smaller; is it the right file?",
            )]));
        }
        // Some editors put a byte order mark in front, which is no part of the text.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let node = serde_json::from_str(text)
            .map_err(|error| Mistakes(vec![syntax_mistake(text, &error)]))?;
        Journal::from_node(&node)
    }
}

fn syntax_mistake(text: &str, error: &serde_json::Error) -> Mistake {
    let line = text
        .split('\n')
        .nth(error.line().saturating_sub(1))
        .unwrap_or_default();
    let before = line
        .char_indices()
        .take_while(|(at, _)| *at < error.column());
    let place = format!(
        "line {}, column {}",
        error.line(),
        before.clone().count().max(1)
    );
    let said = error.to_string();
    let said = said.split(" at line ").next().unwrap_or_default();
    if before
        .last()
        .is_some_and(|(_, letter)| "“”„«»‘’'`".contains(letter))
        && !said.contains("string")
    {
        return Mistake::new(
            &place,
            "this is not a straight quotation mark",
            "names and texts stand in \"...\"",
        );
    }
    let (message, hint) = match error.classify() {
        Category::Eof if text.trim().is_empty() => ("the file is empty", "is it the right file?"),
        Category::Eof => (
            "the file ends too early",
            "was it cut off, or is a quote or a bracket missing at the end?",
        ),
        _ => in_plain_words(said),
    };
    Mistake::new(&place, message, hint)
}

/// The parser's short message and a hint, in words for someone who has never heard of JSON.
fn in_plain_words(said: &str) -> (&str, &str) {
    match said {
        "expected `:`" => (
            "a colon is missing after the name",
            "write it as in \"name\": \"value\"",
        ),
        "expected `,` or `]`" | "expected `,` or `}`" => (
            "a comma or a closing bracket is missing before this",
            "commas stand between entries",
        ),
        "trailing comma" => (
            "there is a comma too many",
            "no comma stands after the last entry",
        ),
        "trailing characters" => (
            "the journal has ended, but more follows",
            "is there a bracket too many?",
        ),
        "key must be a string" => (
            "a name in quotes is wanted here",
            "write it as in \"name\": \"value\"",
        ),
        "expected value" | "expected ident" => (
            "a value is wanted here",
            "a text stands in quotes, as in \"60 cm\"",
        ),
        "invalid number" | "number out of range" => (
            "this number cannot be read",
            "put it in quotes, with its unit",
        ),
        "invalid escape" => (
            "a backslash may not stand before this letter",
            "write \\\\ for a backslash",
        ),
        _ if said.starts_with("control character") => (
            "a line break or tab stands inside a text",
            "is a quote missing at its end? write a line break as \\n",
        ),
        _ if said.contains("surrogate")
            || said.contains("hex escape")
            || said.contains("code point") =>
        {
            (
                "a \\u code in a text is not a letter",
                "type the letter itself",
            )
        }
        _ => (said, ""),
    }
}

impl Serialize for Journal {
    /// Writes the journal in the form that [`Journal::from_json`] reads, its events in their present order.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut entries = vec![named("format", text(FORMAT))];
        entries.extend(self.name.as_deref().map(|name| named("name", text(name))));
        entries.push(named("tank", values_node(&self.tank)));
        entries.push(named(
            "events",
            Node::List(self.events.iter().map(event_node).collect()),
        ));
        Node::Object(entries).serialize(serializer)
    }
}

fn event_node(event: &Event) -> Node {
    let mut entries = vec![named("on", text(&event.on.to_string()))];
    entries.extend(event.at.map(|at| named("at", text(&at.to_string()))));
    entries.push(named("event", text(event.what.kind())));
    entries.extend(what_entries(&event.what));
    entries.extend(event.note.as_deref().map(|note| named("note", text(note))));
    Node::Object(entries)
}

fn what_entries(what: &What) -> Vec<(String, Node)> {
    match what {
        What::Filled | What::Drained | What::Note => Vec::new(),
        What::Read { values } | What::Set { values } => vec![named("values", values_node(values))],
        What::ChangedWater { how_much, values } => change_entries(how_much, values),
        What::ToppedUp { amount } => vec![named("amount", entry_node(amount))],
        What::Dosed { what, amount } => vec![
            named("what", entry_node(what)),
            named("amount", entry_node(amount)),
        ],
        What::Planted { plants } | What::Removed { plants } => {
            vec![named("plants", list(plants, plants_node))]
        }
        What::Added { animals } | What::Lost { animals } => {
            vec![named("animals", list(animals, animals_node))]
        }
        What::Saw { signs } => vec![named("signs", list(signs, entry_node))],
    }
}

fn change_entries(how_much: &HowMuch, values: &Values) -> Vec<(String, Node)> {
    let mut entries = vec![match how_much {
        HowMuch::Share(share) => named("share", entry_node(share)),
        HowMuch::Amount(amount) => named("amount", entry_node(amount)),
    }];
    if !values.is_empty() {
        entries.push(named("values", values_node(values)));
    }
    entries
}

fn plants_node(plants: &Plants) -> Node {
    let mut entries = vec![named("species", entry_node(&plants.species))];
    entries.extend(
        plants
            .origin
            .map(|origin| named("origin", text(origin.name()))),
    );
    entries.extend(
        plants
            .count
            .map(|count| named("count", Node::Number(count.into()))),
    );
    Node::Object(entries)
}

fn animals_node(animals: &Animals) -> Node {
    let count = Node::Number(animals.count.into());
    Node::Object(vec![
        named("species", entry_node(&animals.species)),
        named("count", count),
    ])
}

fn values_node(values: &Values) -> Node {
    Node::Object(
        values
            .iter()
            .map(|(name, entry)| named(name, entry_node(entry)))
            .collect(),
    )
}

fn entry_node(entry: &Entry) -> Node {
    match entry.text.parse() {
        Ok(number) if entry.bare => Node::Number(number),
        _ => text(&entry.text),
    }
}

fn list<T>(items: &[T], node: fn(&T) -> Node) -> Node {
    Node::List(items.iter().map(node).collect())
}

fn named(name: &str, node: Node) -> (String, Node) {
    (name.to_owned(), node)
}

fn text(text: &str) -> Node {
    Node::Text(text.to_owned())
}
