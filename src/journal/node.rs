//! A tree of plain data that forgets nothing: entries keep their order, and one written twice is there twice.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde::ser::{SerializeMap, Serializer};
use serde::{Deserialize, Serialize};

/// Lists and groups may stand inside each other this deep; a journal needs five.
const MAX_DEPTH: usize = 16;

/// One piece of plain data, as JSON text or a JavaScript value holds it.
///
/// It deserialises from any self-describing format, and refuses data nested more than 16 deep.
#[derive(Clone, Debug, PartialEq)]
pub enum Node {
    /// `null`, or a value that JavaScript calls undefined.
    Null,
    /// `true` or `false`.
    Truth(bool),
    /// A number; it may be infinite or no number at all if it came from JavaScript.
    Number(f64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// A group of named entries, in the order they were written, duplicates included.
    Object(Vec<(String, Node)>),
}

impl Node {
    /// What it is, in words for a sentence such as "but this is *a list*".
    pub(super) fn in_words(&self) -> &'static str {
        match self {
            Node::Null => "empty",
            Node::Truth(_) => "true or false",
            Node::Number(_) => "a number",
            Node::Text(_) => "a text",
            Node::List(_) => "a list",
            Node::Object(_) => "a group in curly brackets",
        }
    }
}

impl<'de> Deserialize<'de> for Node {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Levels(MAX_DEPTH).deserialize(deserializer)
    }
}

/// How many more levels of lists and groups may be entered.
#[derive(Clone, Copy)]
struct Levels(usize);

impl Levels {
    fn enter<E: Error>(self) -> Result<Levels, E> {
        let deeper = self.0.checked_sub(1).map(Levels);
        deeper.ok_or_else(|| {
            E::custom(format_args!(
                "lists and groups are nested more than {MAX_DEPTH} deep"
            ))
        })
    }
}

impl<'de> DeserializeSeed<'de> for Levels {
    type Value = Node;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Levels {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a text, a number, true or false, a list or a group of entries")
    }

    fn visit_unit<E>(self) -> Result<Node, E> {
        Ok(Node::Null)
    }

    fn visit_none<E>(self) -> Result<Node, E> {
        Ok(Node::Null)
    }

    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node, D::Error> {
        self.deserialize(deserializer)
    }

    fn visit_bool<E>(self, truth: bool) -> Result<Node, E> {
        Ok(Node::Truth(truth))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Node, E> {
        Ok(Node::Number(number as f64))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Node, E> {
        Ok(Node::Number(number as f64))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Node, E> {
        Ok(Node::Number(number))
    }

    fn visit_str<E>(self, text: &str) -> Result<Node, E> {
        Ok(Node::Text(text.to_owned()))
    }

    fn visit_string<E>(self, text: String) -> Result<Node, E> {
        Ok(Node::Text(text))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Node, A::Error> {
        let levels = self.enter()?;
        let mut items = Vec::new();
        while let Some(item) = list.next_element_seed(levels)? {
            items.push(item);
        }
        Ok(Node::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Node, A::Error> {
        let levels = self.enter()?;
        let mut entries = Vec::new();
        while let Some(name) = map.next_key()? {
            entries.push((name, map.next_value_seed(levels)?));
        }
        Ok(Node::Object(entries))
    }
}

impl Serialize for Node {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Node::Null => serializer.serialize_unit(),
            Node::Truth(truth) => serializer.serialize_bool(*truth),
            Node::Number(number) if is_exact_whole(*number) => {
                serializer.serialize_i64(*number as i64)
            }
            Node::Number(number) => serializer.serialize_f64(*number),
            Node::Text(text) => serializer.serialize_str(text),
            Node::List(items) => serializer.collect_seq(items),
            Node::Object(entries) => {
                let mut map = serializer.serialize_map(Some(entries.len()))?;
                for (name, node) in entries {
                    map.serialize_entry(name, node)?;
                }
                map.end()
            }
        }
    }
}

/// Whether a number is whole and small enough that every whole number of its size is kept exactly.
pub(super) fn is_exact_whole(number: f64) -> bool {
    number == number.trunc() && number.abs() <= MAX_EXACT_WHOLE
}

/// 2^53 - 1, the largest whole number below which none is rounded.
pub(super) const MAX_EXACT_WHOLE: f64 = 9_007_199_254_740_991.0;
