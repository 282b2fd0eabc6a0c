//! One field at a time: texts, names, quantities, days, counts, lists and groups, each checked as it is read.

use std::collections::BTreeSet;

use super::mistake::{Found, MAX_QUOTED, quoted, shortened, suggestion};
use super::node::{MAX_EXACT_WHOLE, is_exact_whole};
use super::{Date, Entry, Field, MAX_COUNT, MAX_TEXT, Needed, Node, Origin, TimeOfDay};

pub(super) struct Reader {
    pub(super) mistakes: Found,
}

/// A group of entries and where it stands.
pub(super) struct Object<'a> {
    pub(super) entries: &'a [(String, Node)],
    pub(super) place: String,
}

impl<'a> Object<'a> {
    pub(super) fn get(&self, name: &str) -> Option<&'a Node> {
        self.entries
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, node)| node)
    }

    pub(super) fn place_of(&self, name: &str) -> String {
        match (self.place.as_str(), shortened(name)) {
            ("", name) => name,
            (place, name) if name.is_empty() => place.to_owned(),
            (place, name) => format!("{place}.{name}"),
        }
    }
}

impl Reader {
    pub(super) fn quantity(&mut self, node: &Node, place: &str) -> Entry {
        let text = match node {
            Node::Truth(true) => "yes".to_owned(),
            Node::Truth(false) => "no".to_owned(),
            // Adding zero takes the sign from a negative zero.
            Node::Number(number) if number.abs() <= MAX_EXACT_WHOLE => (number + 0.0).to_string(),
            Node::Number(_) => {
                self.add(
                    place,
                    "this number is too large to be kept exactly".to_owned(),
                    "look at it again, and write it with its unit in quotes, as in \"54 L\"",
                );
                String::new()
            }
            Node::Text(_) => self.text(node, place),
            _ => {
                self.wrong(node, place, "a value with its unit", "\"54 L\"");
                String::new()
            }
        };
        Entry {
            text,
            bare: matches!(node, Node::Number(_)),
            place: place.to_owned(),
        }
    }

    pub(super) fn words(&mut self, node: &Node, place: &str) -> Entry {
        Entry {
            text: self.text(node, place),
            bare: false,
            place: place.to_owned(),
        }
    }

    pub(super) fn name(&mut self, node: &Node, place: &str) -> Entry {
        let entry = self.words(node, place);
        if !entry.text.is_empty() {
            self.check_name(&entry.text, place);
        }
        entry
    }

    pub(super) fn date(&mut self, node: &Node, place: &str) -> Date {
        let Node::Text(text) = node else {
            self.wrong(node, place, "a date", "\"2026-09-01\"");
            return Date::FIRST;
        };
        Date::parse(text).unwrap_or_else(|error| {
            let said = error.to_string();
            let (message, hint) = said.split_once("; ").unwrap_or((&said, ""));
            self.add(place, format!("{} is {message}", quoted(text)), hint);
            Date::FIRST
        })
    }

    pub(super) fn time(&mut self, node: &Node, place: &str) -> Option<TimeOfDay> {
        let Node::Text(text) = node else {
            self.wrong(node, place, "a time of the day", "\"19:30\"");
            return None;
        };
        let time = TimeOfDay::parse(text);
        if time.is_none() {
            self.add(
                place,
                format!("{} is not a time of the day", quoted(text)),
                "write hours and minutes with two digits each, as in 07:30 or 19:30",
            );
        }
        time
    }

    pub(super) fn count(&mut self, node: &Node, place: &str) -> u32 {
        let Node::Number(number) = *node else {
            self.wrong(node, place, "a whole number", "10, without quotes");
            return 1;
        };
        if is_exact_whole(number) && (1.0..=f64::from(MAX_COUNT)).contains(&number) {
            return number as u32;
        }
        self.add(
            place,
            format!("{number} is not a count"),
            &format!("write a whole number from 1 to {MAX_COUNT}"),
        );
        1
    }

    pub(super) fn origin(&mut self, node: &Node, place: &str) -> Option<Origin> {
        let name = self.text(node, place);
        let origin = Origin::ALL.into_iter().find(|origin| origin.name() == name);
        if origin.is_none() && !name.is_empty() {
            let hint = suggestion(&name, &Origin::ALL.map(Origin::name));
            self.add(
                place,
                format!("{} is not a way in which plants are raised", quoted(&name)),
                &hint,
            );
        }
        origin
    }

    pub(super) fn text(&mut self, node: &Node, place: &str) -> String {
        self.letters(node, place, |letter| letter.is_control())
    }

    pub(super) fn note(&mut self, node: &Node, place: &str) -> String {
        self.letters(node, place, |letter| {
            letter.is_control() && letter != '\n' && letter != '\t'
        })
    }

    /// A text without forbidden characters; empty exactly if a mistake was noted.
    fn letters(&mut self, node: &Node, place: &str, forbidden: fn(char) -> bool) -> String {
        let Node::Text(text) = node else {
            self.wrong(node, place, "a text", "\"...\", with the quotes");
            return String::new();
        };
        let length = text.chars().count();
        if text.trim().is_empty() {
            self.add(
                place,
                "nothing is written here".to_owned(),
                "write something, or leave the entry out",
            );
        } else if length > MAX_TEXT {
            self.add(
                place,
                format!("a text has at most {MAX_TEXT} characters, but this one has {length}"),
                "shorten it, or spread it over several notes",
            );
        } else if let Some(letter) = text.chars().find(|letter| forbidden(*letter)) {
            self.add(
                place,
                format!(
                    "the invisible character U+{:04X} stands in {}",
                    u32::from(letter),
                    quoted(text)
                ),
                "type the text again",
            );
        } else {
            return text.clone();
        }
        String::new()
    }

    pub(super) fn optional<T>(
        &mut self,
        object: &Object,
        name: &str,
        read: fn(&mut Reader, &Node, &str) -> T,
    ) -> Option<T> {
        object
            .get(name)
            .map(|node| read(self, node, &object.place_of(name)))
    }

    /// What a field holds. If it is missing, that has been noted by [`Reader::check_names`] unless it may be.
    pub(super) fn needed<T: Default>(
        &mut self,
        object: &Object,
        name: &str,
        read: fn(&mut Reader, &Node, &str) -> T,
    ) -> T {
        self.optional(object, name, read).unwrap_or_default()
    }

    pub(super) fn object<'a>(
        &mut self,
        node: &'a Node,
        place: String,
        example: &str,
    ) -> Option<Object<'a>> {
        let Node::Object(entries) = node else {
            self.wrong(node, &place, "a group in curly brackets", example);
            return None;
        };
        Some(Object { entries, place })
    }

    pub(super) fn list<'a>(&mut self, node: &'a Node, place: &str) -> &'a [Node] {
        let Node::List(items) = node else {
            self.wrong(node, place, "a list in square brackets", "[ ... ]");
            return &[];
        };
        items
    }

    /// The groups in a list that must not be empty, their names checked.
    pub(super) fn full_list<'a>(
        &mut self,
        node: &'a Node,
        place: &str,
        example: &str,
        fields: &[Field],
    ) -> Vec<Object<'a>> {
        if matches!(node, Node::List(items) if items.is_empty()) {
            self.add(
                place,
                "the list is empty".to_owned(),
                "name at least one, or leave the event out",
            );
        }
        let owner = format!(
            "an entry of `{}`",
            place.rsplit('.').next().unwrap_or(place)
        );
        let mut objects = Vec::new();
        for (item, index) in self.list(node, place).iter().zip(0..) {
            if let Some(object) = self.object(item, format!("{place}[{index}]"), example) {
                self.check_names(&object, &owner, fields);
                self.check_duplicates(&object);
                objects.push(object);
            }
        }
        objects
    }

    /// Notes every name that is unknown or missing.
    pub(super) fn check_names(&mut self, object: &Object, owner: &str, fields: &[Field]) {
        let known: Vec<&str> = fields.iter().map(|field| field.name).collect();
        for (name, _) in object
            .entries
            .iter()
            .filter(|(name, _)| !known.contains(&name.as_str()))
        {
            let words = || {
                (
                    format!("{} is not known in {owner}", quoted(name)),
                    suggestion(name, &known),
                )
            };
            self.mistakes.add(&object.place_of(name), words);
        }
        self.check_missing(object, fields);
    }

    pub(super) fn check_missing(&mut self, object: &Object, fields: &[Field]) {
        let missing =
            |field: &&Field| field.needed == Needed::Always && object.get(field.name).is_none();
        for field in fields.iter().filter(missing) {
            self.add(
                &object.place,
                format!("`{}` is missing", field.name),
                &format!("write it as in \"{}\": {}", field.name, field.example),
            );
        }
        self.check_choice(object, fields);
    }

    /// Notes if none, or more than one, of the fields is there of which exactly one must be.
    fn check_choice(&mut self, object: &Object, fields: &[Field]) {
        let choice: Vec<&Field> = fields
            .iter()
            .filter(|field| field.needed == Needed::OneOf)
            .collect();
        let names = |word: &str| {
            choice
                .iter()
                .map(|field| format!("`{}`", field.name))
                .collect::<Vec<_>>()
                .join(word)
        };
        match choice
            .iter()
            .filter(|field| object.get(field.name).is_some())
            .count()
        {
            0 if choice.is_empty() => {}
            0 => self.add(
                &object.place,
                format!("{} is missing", names(" or ")),
                &format!(
                    "write it as in \"{}\": {}",
                    choice[0].name, choice[0].example
                ),
            ),
            1 => {}
            _ => self.add(
                &object.place,
                format!("{} cannot stand together", names(" and ")),
                "keep the one that was measured",
            ),
        }
    }

    pub(super) fn check_duplicates(&mut self, object: &Object) {
        let mut seen = BTreeSet::new();
        for (name, _) in object
            .entries
            .iter()
            .filter(|(name, _)| !seen.insert(name.as_str()))
        {
            self.mistakes.add(&object.place_of(name), || {
                (
                    format!("{} is written twice", quoted(name)),
                    "keep one of the two".to_owned(),
                )
            });
        }
    }

    pub(super) fn check_name(&mut self, name: &str, place: &str) {
        if is_name(name) {
            return;
        }
        self.mistakes.add(place, || {
            let written = as_name(name);
            let hint = if is_name(&written) {
                format!("did you mean `{written}`?")
            } else {
                format!("begin with a letter and use at most {MAX_NAME} small letters, digits and hyphens")
            };
            (format!("{} is not a name", quoted(name)), hint)
        });
    }

    pub(super) fn wrong(&mut self, node: &Node, place: &str, wanted: &str, example: &str) {
        let message = format!("{wanted} is wanted here, but this is {}", node.in_words());
        let hint = match node {
            Node::Null => format!("leave it out, or write it as in {example}"),
            _ => format!("write it as in {example}"),
        };
        self.add(place, message, &hint);
    }

    pub(super) fn add(&mut self, place: &str, message: String, hint: &str) {
        self.mistakes.add(place, || (message, hint.to_owned()));
    }
}

/// A place names a fact in full, so a name is never longer than what is quoted.
const MAX_NAME: usize = MAX_QUOTED;

/// Whether a text is words of small letters and digits with single hyphens between them, the first a letter.
fn is_name(text: &str) -> bool {
    let small = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit();
    text.len() <= MAX_NAME
        && text.starts_with(|letter: char| letter.is_ascii_lowercase())
        && text
            .split('-')
            .all(|word| !word.is_empty() && word.bytes().all(small))
}

/// The name that someone may have meant who wrote `Cherry shrimp`.
fn as_name(text: &str) -> String {
    let lower = text.to_lowercase();
    let words = lower.split(|letter: char| !letter.is_alphanumeric());
    words
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join("-")
}
