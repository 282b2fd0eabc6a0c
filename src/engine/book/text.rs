//! The text of a book as blocks and fields, each character with its place.

use std::borrow::Cow;

use super::super::diagnostic::{Diagnostic, Mark, Place, instead};
use super::super::limit;
use super::super::rank::sorted;

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
pub(crate) struct Text<'a> {
    pub value: Cow<'a, str>,
    /// Where it starts in the book.
    start: Place,
    /// Byte offset in `value` at which a further line starts, and where that is in the book.
    further: Vec<(usize, Place)>,
}

impl<'a> Text<'a> {
    fn new(value: &'a str, start: Place) -> Text<'a> {
        Text {
            value: Cow::Borrowed(value),
            start,
            further: Vec::new(),
        }
    }

    fn join(&mut self, more: Text<'a>) {
        if self.value.is_empty() {
            *self = more;
            return;
        }
        let value = self.value.to_mut();
        value.push(' ');
        self.further.push((value.len(), more.start));
        value.push_str(&more.value);
    }

    pub fn place(&self) -> Place {
        self.start
    }

    pub fn place_at(&self, offset: usize) -> Place {
        let mut further = self.further.iter().rev();
        let line = further.find(|(start, _)| *start <= offset);
        let (start, place) = line.copied().unwrap_or((0, self.start));
        place.plus(offset.min(self.value.len()) - start)
    }

    pub fn mark(&self) -> Mark {
        Mark {
            place: self.start,
            characters: self.characters(),
        }
    }

    /// The part between two byte offsets, without white space at its ends.
    #[inline(never)]
    pub fn part(&self, from: usize, to: usize) -> Text<'a> {
        let raw = &self.value[from..to];
        let start = from + (raw.len() - raw.trim_start().len());
        let end = start + raw.trim().len();
        let value = match &self.value {
            Cow::Borrowed(line) => Cow::Borrowed(&line[start..end]),
            Cow::Owned(lines) => Cow::Owned(lines[start..end].to_owned()),
        };
        let within = |(offset, _): &&(usize, Place)| *offset > start && *offset < end;
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
    pub fn split(&self, separator: &str) -> impl Iterator<Item = Text<'a>> {
        let mut from = Some(0);
        std::iter::from_fn(move || {
            let start = from?;
            let found = self.value[start..].find(separator).map(|at| start + at);
            from = found.map(|at| at + separator.len());
            Some(self.part(start, found.unwrap_or(self.value.len())))
        })
    }

    /// The text before and after the first separator.
    #[inline(never)]
    pub fn split_once(&self, separator: &str) -> Option<(Text<'a>, Text<'a>)> {
        let at = self.value.find(separator)?;
        Some((
            self.part(0, at),
            self.part(at + separator.len(), self.value.len()),
        ))
    }

    /// The first word and the rest.
    #[inline(never)]
    pub fn first_word(&self) -> (Text<'a>, Text<'a>) {
        let at = self
            .value
            .find(char::is_whitespace)
            .unwrap_or(self.value.len());
        (self.part(0, at), self.part(at, self.value.len()))
    }

    /// The last word, after what stands before it.
    pub fn last_word(&self) -> (Text<'a>, Text<'a>) {
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
pub(crate) struct Field<'a> {
    pub keyword: Text<'a>,
    pub text: Text<'a>,
}

#[derive(Debug, Clone)]
pub(crate) struct Block<'a> {
    pub keyword: Text<'a>,
    pub name: Text<'a>,
    pub fields: Vec<Field<'a>>,
}

impl<'t> Block<'t> {
    #[inline(never)]
    pub fn field(&self, keyword: &str) -> Option<&Field<'t>> {
        self.fields
            .iter()
            .find(|field| field.keyword.value == keyword)
    }

    pub fn fields<'a>(&'a self, keyword: &'a str) -> impl Iterator<Item = &'a Field<'t>> {
        self.fields
            .iter()
            .filter(move |field| field.keyword.value == keyword)
    }

    #[inline(never)]
    pub fn value(&self, keyword: &str) -> Option<String> {
        self.field(keyword)
            .map(|field| field.text.value.to_string())
    }
}

/// Words about a mistake: whole sentences of ours, or made of what was found.
type Said = Cow<'static, str>;

/// Collects mistakes with their places while a book is read.
#[derive(Debug, Default)]
pub(crate) struct Log {
    found: Vec<(Place, u32, Said, Option<Said>)>,
}

impl Log {
    /// Notes a mistake, as long as not so much is wrong that nobody would read more of it.
    #[inline(never)]
    pub fn note(&mut self, at: Mark, message: Said, help: Option<Said>) {
        if !self.is_full() {
            let length = at.characters.max(1);
            self.found.push((at.place, length, message, help));
        }
    }

    /// Notes a finding, however many there are.
    pub fn keep(&mut self, at: Mark, message: Said) {
        let length = at.characters.max(1);
        self.found.push((at.place, length, message, None));
    }

    pub fn at(&mut self, text: &Text<'_>, message: impl Into<Said>) {
        self.note(text.mark(), message.into(), None);
    }

    pub fn marked(&mut self, at: Mark, message: impl Into<Said>) {
        self.note(at, message.into(), None);
    }

    pub fn hint(&mut self, text: &Text<'_>, message: impl Into<Said>, help: impl Into<Said>) {
        self.note(text.mark(), message.into(), Some(help.into()));
    }

    /// A name that is not among the known ones.
    pub fn unknown<'a>(
        &mut self,
        text: &Text<'_>,
        what: &str,
        known: impl IntoIterator<Item = &'a str>,
    ) {
        // Looking for the nearest name is the dear part.
        if !self.is_full() {
            let message = format!("unknown {what} `{}`", text.value);
            let help = instead(&text.value, known);
            self.note(text.mark(), message.into(), help.map(Cow::Owned));
        }
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

    pub fn into_diagnostics(self, files: &[File]) -> Vec<Diagnostic> {
        let mut found = sorted(self.found, Ord::cmp);
        found.dedup();
        let mut walk = Walk::from_start(files);
        let found = found.into_iter();
        found
            .map(|(place, length, message, help)| {
                let Line {
                    file,
                    number,
                    text,
                    column,
                } = walk.to(place);
                let text = shown(text);
                let room = (text.chars().count() as u32 + 1)
                    .saturating_sub(column - 1)
                    .max(1);
                Diagnostic {
                    file: file.to_owned(),
                    line: number,
                    column,
                    length: length.min(room),
                    text,
                    message: message.into_owned(),
                    help: help.map(Cow::into_owned),
                }
            })
            .collect()
    }
}

/// A line of a book, and a column in it. Both count from 1, columns in characters.
pub(crate) struct Line<'a> {
    pub file: &'a str,
    pub number: u32,
    text: &'a str,
    column: u32,
}

/// Goes through the files of a book, from one place to a later one.
pub(crate) struct Walk<'a> {
    files: &'a [File],
    /// Where the first of these files starts in the book.
    start: usize,
    /// The number of a line of it, and where that line starts in the file.
    line: (u32, usize),
}

impl<'a> Walk<'a> {
    pub fn from_start(files: &'a [File]) -> Walk<'a> {
        let (start, line) = (0, (1, 0));
        Walk { files, start, line }
    }

    /// The line of a place that does not lie before one asked for earlier.
    pub fn to(&mut self, place: Place) -> Line<'a> {
        let place = place.0 as usize;
        while let [file, _, ..] = self.files
            && place > self.start + file.text.len()
        {
            self.start += file.text.len() + 1;
            self.files = &self.files[1..];
            self.line = (1, 0);
        }
        let (name, text) = match self.files {
            [file, ..] => (file.name.as_str(), file.text.as_str()),
            [] => ("", ""),
        };
        let within = (place - self.start).min(text.len());
        let (mut number, mut from) = self.line;
        while let Some(length) = text[from..within].find('\n') {
            from += length + 1;
            number += 1;
        }
        self.line = (number, from);
        let line = text[from..].lines().next().unwrap_or("");
        let marked = line.len() - line.trim_start_matches(BYTE_ORDER_MARK).len();
        let before = text.get(from + marked..within).unwrap_or("");
        Line {
            file: name,
            number,
            text: &line[marked..],
            column: before.chars().count() as u32 + 1,
        }
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

/// Where each file starts in the book.
pub(crate) fn starts(files: &[File]) -> impl Iterator<Item = Place> {
    let starts = files.iter().scan(0, |next, file| {
        let start = *next;
        *next += file.text.len() + 1;
        Some(start)
    });
    starts.map(|start| Place(start as u32))
}

/// Blocks of one file, which starts at `start`.
pub(crate) fn blocks<'a>(start: Place, text: &'a str, log: &mut Log) -> Vec<Block<'a>> {
    let mut blocks = Vec::new();
    let bare = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
    let mut place = start.plus(text.len() - bare.len());
    for line in bare.split_inclusive('\n') {
        read_line(place, line, &mut blocks, log);
        place = place.plus(line.len());
    }
    blocks
}

/// The block whose name stands at a place of a book that was read before.
pub(crate) fn block_at(files: &[File], name: Place) -> Option<Block<'_>> {
    let (file, start) = files
        .iter()
        .zip(starts(files))
        .take_while(|(_, start)| *start <= name)
        .last()?;
    let before = file.text.get(..(name.0 - start.0) as usize)?;
    let from = before.rfind('\n').map_or(0, |end| end + 1);
    let text = &file.text[from..];
    let mut ends = text.match_indices('\n').map(|(at, _)| at + 1);
    let goes_on = |end: &usize| text[*end..].starts_with([' ', '\t', '#', '\r', '\n']);
    let end = ends.find(|end| !goes_on(end)).unwrap_or(text.len());
    blocks(start.plus(from), &text[..end], &mut Log::default()).pop()
}

fn read_line<'a>(place: Place, line: &'a str, blocks: &mut Vec<Block<'a>>, log: &mut Log) {
    let mut line = line.trim_end_matches(['\r', '\n']);
    if line.len() > limit::LINE_CHARACTERS
        && let Some((end, _)) = line.char_indices().nth(limit::LINE_CHARACTERS)
    {
        let most = limit::LINE_CHARACTERS;
        let message = format!("this line is longer than {most} characters");
        log.note(Mark::of_one(place), message.into(), None);
        line = &line[..end];
    }
    let content = without_note(line);
    let words = content.trim_start();
    if words.is_empty() {
        return;
    }
    let margin = content.len() - content.trim_start_matches([' ', '\t']).len();
    let tab = content[..margin].find('\t');
    if let Some(at) = tab {
        let help = Some("indent a field with two spaces".into());
        log.note(
            Mark::of_one(place.plus(at)),
            "a tab stands here".into(),
            help,
        );
    }
    let indent = if tab.is_some() { FIELD_INDENT } else { margin };
    let text = Text::new(words, place.plus(content.len() - words.len()));
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
            Some(field) => field.text.join(text),
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
    let mut signs = line.match_indices('#').map(|(at, _)| at);
    let note = signs.find(|at| {
        line[..*at]
            .chars()
            .next_back()
            .is_none_or(char::is_whitespace)
    });
    line[..note.unwrap_or(line.len())].trim_end()
}
