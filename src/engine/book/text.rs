//! The text of a book as blocks and fields, each character with its place.

use std::collections::BTreeMap;

use super::super::diagnostic::{Diagnostic, Place, instead};
use super::super::limit;

/// One file of a book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// The name shown in messages.
    pub name: String,
    /// The text itself.
    pub text: String,
}

impl File {
    /// A file with this name and text.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> File {
        File {
            name: name.into(),
            text: text.into(),
        }
    }
}

/// A stretch of text joined from one or more lines; every offset leads back to its place.
#[derive(Debug, Clone, Default)]
pub(crate) struct Text {
    pub value: String,
    /// Where it starts in the file.
    start: Place,
    /// Byte offset in `value` at which a further piece starts, and where that is in the file.
    further: Vec<(usize, Place)>,
}

impl Text {
    fn new(value: &str, place: Place) -> Text {
        Text {
            value: value.to_owned(),
            start: place,
            further: Vec::new(),
        }
    }

    fn join(&mut self, more: &str, place: Place) {
        if self.value.is_empty() {
            self.start = place;
        } else {
            self.value.push(' ');
            self.further.push((self.value.len(), place));
        }
        self.value.push_str(more);
    }

    pub fn place(&self) -> Place {
        self.place_at(0)
    }

    pub fn place_at(&self, offset: usize) -> Place {
        let (start, place) = self
            .further
            .iter()
            .rev()
            .find(|(start, _)| *start <= offset)
            .copied()
            .unwrap_or((0, self.start));
        let until = offset.min(self.value.len());
        let characters = self
            .value
            .get(start..until)
            .map_or(0, |part| part.chars().count());
        Place {
            column: place.column + characters as u32,
            ..place
        }
    }

    /// The part between two byte offsets, without white space at its ends.
    pub fn part(&self, from: usize, to: usize) -> Text {
        let raw = &self.value[from..to];
        let start = from + (raw.len() - raw.trim_start().len());
        let value = raw.trim().to_owned();
        let within =
            |(offset, _): &&(usize, Place)| *offset > start && *offset < start + value.len();
        let further = self.further.iter().filter(within);
        Text {
            start: self.place_at(start),
            further: further
                .map(|(offset, place)| (offset - start, *place))
                .collect(),
            value,
        }
    }

    /// The parts between separators, trimmed.
    pub fn split(&self, separator: &str) -> Vec<Text> {
        let mut parts = Vec::new();
        let mut from = 0;
        for (at, found) in self.value.match_indices(separator) {
            parts.push(self.part(from, at));
            from = at + found.len();
        }
        parts.push(self.part(from, self.value.len()));
        parts
    }

    /// The text before and after the first separator.
    pub fn split_once(&self, separator: &str) -> Option<(Text, Text)> {
        let at = self.value.find(separator)?;
        Some((
            self.part(0, at),
            self.part(at + separator.len(), self.value.len()),
        ))
    }

    /// The first word and the rest.
    pub fn first_word(&self) -> (Text, Text) {
        let at = self
            .value
            .find(char::is_whitespace)
            .unwrap_or(self.value.len());
        (self.part(0, at), self.part(at, self.value.len()))
    }

    /// The last word, after what stands before it.
    pub fn last_word(&self) -> (Text, Text) {
        let at = self.value.rfind(char::is_whitespace).unwrap_or(0);
        (self.part(0, at), self.part(at, self.value.len()))
    }

    pub fn is_empty(&self) -> bool {
        self.value.is_empty()
    }

    pub fn characters(&self) -> u32 {
        self.value.chars().count() as u32
    }
}

#[derive(Debug, Clone)]
pub(crate) struct Field {
    pub keyword: Text,
    pub text: Text,
}

#[derive(Debug, Clone)]
pub(crate) struct Block {
    pub keyword: Text,
    pub name: Text,
    pub fields: Vec<Field>,
}

impl Block {
    pub fn field(&self, keyword: &str) -> Option<&Field> {
        self.fields
            .iter()
            .find(|field| field.keyword.value == keyword)
    }

    pub fn fields<'a>(&'a self, keyword: &'a str) -> impl Iterator<Item = &'a Field> {
        self.fields
            .iter()
            .filter(move |field| field.keyword.value == keyword)
    }

    pub fn value(&self, keyword: &str) -> Option<String> {
        self.field(keyword).map(|field| field.text.value.clone())
    }
}

/// Collects mistakes with their places while a book is read.
#[derive(Debug, Default)]
pub(crate) struct Log {
    found: Vec<(Place, u32, String, Option<String>)>,
}

impl Log {
    pub fn add(
        &mut self,
        place: Place,
        length: u32,
        message: impl Into<String>,
        help: Option<String>,
    ) {
        if self.found.len() < limit::MISTAKES {
            self.found
                .push((place, length.max(1), message.into(), help));
        }
    }

    pub fn at(&mut self, text: &Text, message: impl Into<String>) {
        self.add(text.place(), text.characters(), message, None);
    }

    pub fn hint(&mut self, text: &Text, message: impl Into<String>, help: impl Into<String>) {
        self.add(text.place(), text.characters(), message, Some(help.into()));
    }

    /// A name that is not among the known ones.
    pub fn unknown<'a>(
        &mut self,
        text: &Text,
        what: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) {
        // Looking for the nearest name is the dear part.
        if self.is_full() {
            return;
        }
        let message = format!("unknown {what} `{}`", text.value);
        self.add(
            text.place(),
            text.characters(),
            message,
            instead(&text.value, known),
        );
    }

    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    pub fn count(&self) -> usize {
        self.found.len()
    }

    /// Whether so much is wrong that nothing more is reported.
    pub fn is_full(&self) -> bool {
        self.found.len() >= limit::MISTAKES
    }

    pub fn into_diagnostics(mut self, files: &[File]) -> Vec<Diagnostic> {
        self.found.sort();
        self.found.dedup();
        let lines = self.lines(files);
        self.found
            .into_iter()
            .map(|found| diagnostic(files, &lines, found))
            .collect()
    }

    /// The lines that mistakes stand in, each file being gone through once.
    fn lines<'a>(&self, files: &'a [File]) -> BTreeMap<(u32, u32), &'a str> {
        let mut lines = BTreeMap::new();
        for (number, file) in files.iter().enumerate() {
            let mut wanted = self
                .found
                .iter()
                .map(|(place, ..)| place)
                .filter(|place| place.file as usize == number)
                .map(|place| place.line)
                .peekable();
            for (line, text) in (1..).zip(file.text.lines()) {
                while wanted.next_if_eq(&line).is_some() {
                    lines.insert((number as u32, line), text);
                }
                if wanted.peek().is_none() {
                    break;
                }
            }
        }
        lines
    }
}

fn diagnostic(
    files: &[File],
    lines: &BTreeMap<(u32, u32), &str>,
    (place, length, message, help): (Place, u32, String, Option<String>),
) -> Diagnostic {
    let line = lines.get(&(place.file, place.line)).copied().unwrap_or("");
    let text = shown(line.strip_prefix(BYTE_ORDER_MARK).unwrap_or(line));
    let room = (text.chars().count() as u32 + 1)
        .saturating_sub(place.column.saturating_sub(1))
        .max(1);
    Diagnostic {
        file: files
            .get(place.file as usize)
            .map(|f| f.name.clone())
            .unwrap_or_default(),
        line: place.line,
        column: place.column,
        length: length.min(room),
        text,
        message,
        help,
    }
}

/// A line as a message shows it: one that nobody wrote by hand is cut.
fn shown(line: &str) -> String {
    match line.char_indices().nth(limit::LINE_CHARACTERS) {
        None => line.to_owned(),
        Some(_) => line.chars().take(80).chain(" …".chars()).collect(),
    }
}

/// Some editors put this sign before the first character of a file.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// Blocks of one file. `number` is the file's place in the list of files.
pub(crate) fn blocks(number: u32, text: &str, log: &mut Log) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let text = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
    for (index, line) in text.lines().enumerate() {
        let line_number = index as u32 + 1;
        let end = line.char_indices().nth(limit::LINE_CHARACTERS);
        if end.is_some() {
            let place = Place {
                file: number,
                line: line_number,
                column: 1,
            };
            let message = format!(
                "this line is longer than {} characters",
                limit::LINE_CHARACTERS
            );
            log.add(place, 1, message, None);
        }
        let line = &line[..end.map_or(line.len(), |(at, _)| at)];
        read_line(number, line_number, line, &mut blocks, log);
    }
    blocks
}

fn read_line(file: u32, number: u32, line: &str, blocks: &mut Vec<Block>, log: &mut Log) {
    let content = without_note(line);
    if content.trim().is_empty() {
        return;
    }
    let margin = content.len() - content.trim_start_matches([' ', '\t']).len();
    let place = |characters: usize| Place {
        file,
        line: number,
        column: characters as u32 + 1,
    };
    let tab = content[..margin].find('\t');
    if let Some(at) = tab {
        let help = Some("indent a field with two spaces".to_owned());
        log.add(place(at), 1, "a tab stands here", help);
    }
    let indent = if tab.is_some() { FIELD_INDENT } else { margin };
    let place = place(margin);
    let text = Text::new(content.trim(), place);
    match (indent, blocks.last_mut()) {
        (0, _) => {
            let (keyword, name) = text.first_word();
            blocks.push(Block {
                keyword,
                name,
                fields: Vec::new(),
            });
        }
        (_, None) => log.at(&text, "an indented line stands before any block"),
        (FIELD_INDENT, Some(block)) => {
            let (keyword, text) = text.first_word();
            block.fields.push(Field { keyword, text });
        }
        (1, Some(_)) => log.hint(
            &text,
            "this line is indented by one space",
            "fields are indented by two",
        ),
        (_, Some(block)) => match block.fields.last_mut() {
            Some(field) if field.text.further.len() + 1 >= limit::FIELD_LINES => log.at(
                &text,
                format!("more than {} lines in one field", limit::FIELD_LINES),
            ),
            Some(field) => field.text.join(&text.value, place),
            None => log.hint(
                &text,
                "this line continues nothing",
                "fields are indented by two spaces",
            ),
        },
    }
}

/// Spaces before the keyword of a field.
const FIELD_INDENT: usize = 2;

/// The line up to a `#` that starts it or follows a space.
fn without_note(line: &str) -> &str {
    let mut before = ' ';
    for (at, c) in line.char_indices() {
        if c == '#' && before.is_whitespace() {
            return line[..at].trim_end();
        }
        before = c;
    }
    line.trim_end()
}
