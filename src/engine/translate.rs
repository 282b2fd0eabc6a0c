//! A book in another language: words are put in the place of the book's own, in its text, and the result is read as
//! any other book.

use std::collections::BTreeMap;

use super::book::list::cells;
use super::book::read::stem;
use super::book::shape;
use super::book::text::{Block, Field, File, Log, Text, blocks, starts};
use super::diagnostic::{Diagnostic, Mark, Mistakes, Place};
use super::phrase::{self, Lent, Saying};
use super::rank::{arrange, distinct};

/// A book in another language.
#[derive(Debug, Clone)]
pub struct Translation {
    /// The language (BCP 47).
    pub language: String,
    /// What the language calls itself.
    pub title: String,
    /// The files of the book, in that language.
    pub files: Vec<File>,
    /// How many pieces of the book are said in it.
    pub said: usize,
    /// The pieces that are not, and stay as they are, each with its place in the book.
    pub missing: Vec<Diagnostic>,
}

/// Puts words into a book.
///
/// # Errors
/// All mistakes of the words, each with its place: whatever the book lacks, and sentences that tell other values than
/// those of the book.
pub fn translated(files: &[File], words: &[File], lent: Lent<'_>) -> Result<Translation, Mistakes> {
    let mut log = Log::default();
    let mut said = read(words, &mut log);
    let Some((language, title)) = language(&said, &mut log) else {
        return Err(Mistakes(log.into_diagnostics(words)));
    };
    let mut book = Book::of(files);
    book.pieces(&lent.all());
    let mut words_of: BTreeMap<(String, String), Vec<Block<'_>>> = BTreeMap::new();
    said.retain(|(_, block)| block.keyword.value != "language");
    for (file, block) in said {
        let name = match &*block.keyword.value {
            "chapter" => stem(&words[file as usize].name).to_owned(),
            _ => block.name.value.to_string(),
        };
        let key = (block.keyword.value.to_string(), name);
        words_of.entry(key).or_default().push(block);
    }
    for ((keyword, name), blocks) in &words_of {
        for block in blocks {
            book.take(keyword, name, block, &mut log);
        }
    }
    if !log.is_empty() {
        return Err(Mistakes(log.into_diagnostics(words)));
    }
    book.own_forms(&words_of);
    Ok(book.finished(language, title))
}

/// The blocks of the words, with misspelt keywords reported.
fn read<'a>(words: &'a [File], log: &mut Log) -> Vec<(u32, Block<'a>)> {
    let mut said = Vec::new();
    for (number, (file, start)) in (0..).zip(words.iter().zip(starts(words))) {
        let own = blocks(start, &file.text, log);
        said.extend(own.into_iter().map(|block| (number, block)));
    }
    shape::known_words(&mut said, log);
    said
}

/// The language that the words are in, and what it calls itself.
fn language(said: &[(u32, Block<'_>)], log: &mut Log) -> Option<(String, String)> {
    let blocks = said.iter().map(|(_, block)| block);
    let mut blocks = blocks.filter(|block| block.keyword.value == "language");
    let first = blocks.next();
    if first.is_none() {
        let help = Some("start one file with `language TAG`".into());
        let message = "no file says which language this is".into();
        log.note(Mark::START, message, help);
    }
    for block in blocks {
        let message = "a second `language`; there is one in a translation";
        log.at(&block.name, message);
    }
    let tag = first?.name.value.to_string();
    let title = first?.value("title").unwrap_or_else(|| tag.clone());
    Some((tag, title))
}

/// Where a stretch of text starts and ends in the files of the book.
type Spot = (Place, Place);

/// What is said in one place, or in several with the same words.
struct Piece {
    /// What stands there, part by part.
    english: Vec<String>,
    /// Where each part stands.
    spots: Vec<Vec<Spot>>,
    /// Whether a translation that leaves it out is not whole.
    is_needed: bool,
    /// What comes before the words where they are put in anew.
    before: String,
    is_said: bool,
}

/// A piece by its field and, where a block has several such fields, by what tells them apart.
type Key = (&'static str, String);

struct Book<'a> {
    files: &'a [File],
    blocks: Vec<(u32, Block<'a>)>,
    /// The pieces of every block, by its keyword and name.
    pieces: BTreeMap<(String, String), BTreeMap<Key, Piece>>,
    edits: Vec<(Spot, String)>,
}

/// Fields that are words as they stand, by their block.
const PLAIN: [(&str, &[&str]); 11] = [
    ("book", &["title"]),
    ("chapter", &["about"]),
    ("group", &["label", "about"]),
    ("term", &["label", "means"]),
    ("caution", &["text"]),
    ("action", &["label"]),
    ("unit", &["says"]),
    ("fact", &["label", "ask", "how", "because"]),
    ("derive", &["label", "because"]),
    ("table", &["label", "because"]),
    ("rule", &["finding", "advice", "because"]),
];

impl<'a> Book<'a> {
    fn of(files: &'a [File]) -> Book<'a> {
        let mut all = Vec::new();
        for (number, (file, start)) in (0..).zip(files.iter().zip(starts(files))) {
            let own = blocks(start, &file.text, &mut Log::default());
            all.extend(own.into_iter().map(|block| (number, block)));
        }
        Book {
            files,
            blocks: all,
            pieces: BTreeMap::new(),
            edits: Vec::new(),
        }
    }

    /// Finds all that can be said in other words.
    fn pieces(&mut self, sayings: &[Saying]) {
        for (file, block) in std::mem::take(&mut self.blocks) {
            self.block(file, &block);
            self.blocks.push((file, block));
        }
        self.places();
        self.phrases(sayings);
    }

    fn block(&mut self, file: u32, block: &Block<'a>) {
        let keyword = &*block.keyword.value;
        let name = match keyword {
            "chapter" => stem(&self.files[file as usize].name).to_owned(),
            _ => block.name.value.to_string(),
        };
        let of = self.pieces.entry((keyword.to_owned(), name)).or_default();
        let plain = PLAIN.iter().find(|(known, _)| *known == keyword);
        for known in plain.iter().flat_map(|(_, fields)| *fields) {
            let piece = match block.field(known) {
                Some(field) => Piece::of(&field.text),
                // What has no label is called by its name.
                None if *known == "label" => Piece::new_line(known, &block.name),
                None => continue,
            };
            of.insert((known, String::new()), piece);
        }
        match keyword {
            "chapter" => {
                of.insert(("chapter", String::new()), Piece::of(&block.name));
            }
            "source" => {
                for known in ["title", "where"] {
                    let Some(field) = block.field(known) else {
                        continue;
                    };
                    let mut piece = Piece::of(&field.text);
                    // The title of a published work is its name, and so is that of what it stands in.
                    piece.is_needed = known == "title" && block.field("authors").is_none();
                    of.insert((known, String::new()), piece);
                }
            }
            "gate" => {
                if let Some(field) = block.field("ask") {
                    of.insert(("ask", String::new()), Piece::of(&field.text));
                }
            }
            "list" => list(of, block),
            _ => {}
        }
        for field in &block.fields {
            match (keyword, &*field.keyword.value) {
                ("fact" | "table" | "list", "option") => {
                    let (name, label) = field.text.first_word();
                    let mut piece = Piece::of(&label);
                    piece.before = "  ".into();
                    of.insert(("option", name.value.to_string()), piece);
                }
                ("rule", "overrules") => because(of, "overrules", field),
                ("gate", "needs") => because(of, "needs", field),
                ("gate", "bars") => because(of, "bars", field),
                _ => {}
            }
        }
    }

    /// The places in sources, wherever they are cited.
    fn places(&mut self) {
        let mut found: BTreeMap<(String, String), Vec<Spot>> = BTreeMap::new();
        let mut note = |citation: &Text<'_>| {
            if let Some((id, place)) = citation.split_once(",") {
                let key = (id.value.to_string(), place.value.to_string());
                found.entry(key).or_default().push(spot(&place));
            }
        };
        for (_, block) in &self.blocks {
            block.fields("source").for_each(|field| note(&field.text));
            if block.keyword.value == "list" {
                for field in block.fields("row") {
                    if let Some(last) = cells(&field.text).last() {
                        last.split(";").for_each(|citation| note(&citation));
                    }
                }
            }
        }
        for ((id, place), spots) in found {
            let of = self.pieces.entry(("source".to_owned(), id)).or_default();
            let piece = Piece {
                english: vec![place.clone()],
                spots: vec![spots],
                is_needed: true,
                before: String::new(),
                is_said: false,
            };
            of.insert(("place", place), piece);
        }
    }

    /// The engine's own words: where the book says them, or at the end of its head.
    fn phrases(&mut self, sayings: &[Saying]) {
        let head = self.blocks.iter().find(|(_, b)| b.keyword.value == "book");
        let head = head.map_or(0, |(file, _)| *file as usize);
        let start = starts(self.files).nth(head).unwrap_or_default();
        let end = start.plus(self.files.get(head).map_or(0, |file| file.text.len()));
        for saying in sayings {
            let own = self.blocks.iter().find(|(_, block)| {
                block.keyword.value == "phrase" && block.name.value == saying.id
            });
            let piece = match own.and_then(|(_, block)| block.field("says")) {
                Some(field) => Piece::of(&field.text),
                None => Piece {
                    english: vec![saying.english.to_string()],
                    spots: vec![vec![(end, end)]],
                    is_needed: true,
                    before: format!("\n\nphrase {}\n  says  ", saying.id),
                    is_said: false,
                },
            };
            let of = ("phrase".to_owned(), saying.id.to_string());
            let of = self.pieces.entry(of).or_default();
            of.insert(("says", String::new()), piece);
        }
    }

    /// Takes the words of one block.
    fn take(&mut self, keyword: &str, name: &str, words: &Block<'_>, log: &mut Log) {
        let key = (keyword.to_owned(), name.to_owned());
        let Some(pieces) = self.pieces.get_mut(&key) else {
            let of = self.pieces.keys().filter(|(known, _)| known == keyword);
            let names: Vec<&str> = of.map(|(_, name)| name.as_str()).collect();
            match keyword {
                "chapter" => log.at(&words.name, format!("the book has no chapter `{name}`")),
                _ => log.unknown(&words.name, keyword, names),
            }
            return;
        };
        if keyword == "chapter" {
            let edits = &mut self.edits;
            say(
                pieces,
                ("chapter", ""),
                &words.name,
                std::slice::from_ref(&words.name),
                log,
                edits,
            );
        }
        for field in &words.fields {
            let Some((name, own)) = parted(field, log) else {
                continue;
            };
            // Another form of a word is no piece of the book.
            if field.keyword.value != "also" {
                let key = (&*field.keyword.value, &*name.value);
                let at = if name.is_empty() {
                    &field.keyword
                } else {
                    &name
                };
                say(pieces, key, at, &own, log, &mut self.edits);
            }
        }
        if let ("phrase", Some(field)) = (keyword, words.field("says")) {
            phrase::is_a_choice(name, &field.text, log);
        }
    }

    /// The other forms of a word, which each language has of its own.
    fn own_forms(&mut self, words_of: &BTreeMap<(String, String), Vec<Block<'_>>>) {
        let terms = self.blocks.iter().map(|(_, block)| block);
        for term in terms.filter(|block| block.keyword.value == "term") {
            let key = ("term".to_owned(), term.name.value.to_string());
            let Some(words) = words_of.get(&key) else {
                continue;
            };
            let own = words.iter().find_map(|block| block.field("also"));
            let own = own.map(|field| &*field.text.value);
            match (term.field("also"), own) {
                (Some(field), Some(own)) => self.edits.push((spot(&field.text), own.to_owned())),
                (Some(field), None) => {
                    let line = (field.keyword.place(), spot(&field.text).1);
                    self.edits.push((line, String::new()));
                }
                (None, Some(own)) => {
                    let (_, end) = spot(term.fields.last().map_or(&term.name, |f| &f.text));
                    self.edits.push(((end, end), format!("\n  also  {own}")));
                }
                (None, None) => {}
            }
        }
    }

    fn finished(mut self, language: String, title: String) -> Translation {
        for (_, block) in self
            .blocks
            .iter()
            .filter(|(_, b)| b.keyword.value == "book")
        {
            if let Some(field) = block.field("language") {
                self.edits.push((spot(&field.text), language.clone()));
            }
        }
        let mut lacking: Vec<(Mark, String)> = Vec::new();
        let mut said = 0;
        for ((keyword, name), pieces) in &self.pieces {
            for ((field, which), piece) in pieces {
                said += usize::from(piece.is_said);
                if piece.is_needed && !piece.is_said {
                    let words = [keyword, name, *field, which.as_str()];
                    let words: Vec<&str> = words.into_iter().filter(|w| !w.is_empty()).collect();
                    let message = format!("`{}` is not said in {title}", words.join(" "));
                    lacking.push((piece.mark(), message));
                }
            }
        }
        let mut log = Log::default();
        for (mark, message) in lacking {
            log.keep(mark, message.into());
        }
        Translation {
            missing: log.into_diagnostics(self.files),
            files: self.edited(),
            language,
            title,
            said,
        }
    }

    /// The files with all edits made. What took several lines takes as many, so that all else keeps its place.
    fn edited(mut self) -> Vec<File> {
        arrange(&mut self.edits, |(a, _), (b, _)| a.cmp(b));
        let mut edits = self.edits.into_iter().peekable();
        let mut files = Vec::with_capacity(self.files.len());
        for (file, start) in self.files.iter().zip(starts(self.files)) {
            let (mut text, mut at, mut lines) = (String::new(), 0, 0);
            let copy = |text: &mut String, from: usize, to: usize, lines: &mut usize| {
                let (now, rest) = match file.text[from..to].find('\n') {
                    Some(end) => file.text[from..to].split_at(end),
                    None => (&file.text[from..to], ""),
                };
                text.push_str(now);
                if !rest.is_empty() {
                    text.push_str(&"\n".repeat(std::mem::take(lines)));
                    text.push_str(rest);
                }
            };
            let end = start.plus(file.text.len());
            while let Some(((from, to), words)) = edits.next_if(|((from, _), _)| *from <= end) {
                let (from, to) = ((from.0 - start.0) as usize, (to.0 - start.0) as usize);
                copy(&mut text, at, from, &mut lines);
                text.push_str(&words);
                lines += file.text[from..to].matches('\n').count();
                at = to;
            }
            copy(&mut text, at, file.text.len(), &mut lines);
            files.push(File::new(file.name.clone(), text));
        }
        files
    }
}

impl Piece {
    fn of(text: &Text<'_>) -> Piece {
        Piece {
            english: vec![text.value.to_string()],
            spots: vec![vec![spot(text)]],
            is_needed: true,
            before: String::new(),
            is_said: false,
        }
    }

    /// What is to be said in a line of its own below the head of a block, which the book leaves to its name.
    fn new_line(keyword: &str, name: &Text<'_>) -> Piece {
        let (_, end) = spot(name);
        Piece {
            english: vec![name.value.replace('-', " ")],
            spots: vec![vec![(end, end)]],
            before: format!("\n  {keyword}  "),
            ..Piece::of(name)
        }
    }

    /// Where it stands first.
    fn mark(&self) -> Mark {
        let (from, _) = self.spots[0][0];
        let characters = self.english[0].chars().count() as u32;
        Mark {
            place: from,
            characters,
        }
    }
}

fn spot(text: &Text<'_>) -> Spot {
    (text.place(), text.place_at(text.value.len()))
}

/// The pieces of a list: columns, options of its columns, rows and what may be any of them.
fn list(of: &mut BTreeMap<Key, Piece>, block: &Block<'_>) {
    let columns: Vec<Vec<Text<'_>>> = block.fields("column").map(|f| cells(&f.text)).collect();
    let columns: Vec<&[Text<'_>; 3]> = columns
        .iter()
        .filter_map(|c| c.as_slice().try_into().ok())
        .collect();
    let last = block.fields("column").last();
    for [name, kind, label] in &columns {
        of.insert(("column", name.value.to_string()), Piece::of(label));
        let options = kind.value.strip_prefix("choice ").unwrap_or_default();
        for option in options.split(',').map(str::trim).filter(|o| !o.is_empty()) {
            let mut piece = Piece::of(label);
            let (_, end) = last.map_or_else(|| spot(label), |field| spot(&field.text));
            piece.english = vec![option.replace('-', " ")];
            piece.spots = vec![vec![(end, end)]];
            piece.before = format!("\n  option  {option}  ");
            of.insert(("option", option.to_owned()), piece);
        }
    }
    for field in block.fields("row") {
        let parts = cells(&field.text);
        let Some((name, told)) = parts
            .split_first()
            .filter(|_| parts.len() == columns.len() + 3)
        else {
            continue;
        };
        let texts = columns.iter().zip(&told[1..]);
        let texts = texts.filter(|([_, kind, _], _)| kind.value == "text");
        let texts: Vec<&Text<'_>> = std::iter::once(&told[0])
            .chain(texts.map(|(_, cell)| cell))
            .collect();
        let mut piece = Piece::of(texts[0]);
        piece.english = texts.iter().map(|text| text.value.to_string()).collect();
        piece.spots = texts.iter().map(|text| vec![spot(text)]).collect();
        of.insert(("row", name.value.to_string()), piece);
    }
    for field in block.fields("either") {
        if let [name, label, _] = &cells(&field.text)[..] {
            of.insert(("either", name.value.to_string()), Piece::of(label));
        }
    }
}

/// A field `... because TEXT`.
fn because(of: &mut BTreeMap<Key, Piece>, keyword: &'static str, field: &Field<'_>) {
    if let Some((of_what, text)) = field.text.split_once(" because ") {
        of.insert((keyword, on_one_line(&of_what)), Piece::of(&text));
    }
}

fn on_one_line(text: &Text<'_>) -> String {
    let words: Vec<&str> = text.value.split_whitespace().collect();
    words.join(" ")
}

/// What tells a field of words apart from others of its keyword, and the words themselves.
fn parted<'a>(field: &Field<'a>, log: &mut Log) -> Option<(Text<'a>, Vec<Text<'a>>)> {
    let keyword = &*field.keyword.value;
    let lacking = |log: &mut Log, help: &'static str| {
        log.hint(&field.text, "this does not say both", help);
    };
    match keyword {
        "option" | "column" | "either" => {
            let (name, label) = field.text.first_word();
            Some((name, vec![label]))
        }
        "row" => {
            let mut parts = cells(&field.text).into_iter();
            let name = parts.next().unwrap_or_else(|| field.text.clone());
            Some((name, parts.collect()))
        }
        "overrules" | "needs" | "bars" => match field.text.split_once(" because ") {
            Some((of_what, text)) => Some((of_what, vec![text])),
            None => {
                lacking(log, "write what the book writes there, and `because TEXT`");
                None
            }
        },
        "place" => match field.text.split_once("=>") {
            Some((place, text)) => Some((place, vec![text])),
            None => {
                lacking(log, "write it as `place PLACE => WORDS`");
                None
            }
        },
        _ => Some((field.text.part(0, 0), vec![field.text.clone()])),
    }
}

/// Puts words in the place of a piece, if there is such a piece and they tell the same.
fn say(
    pieces: &mut BTreeMap<Key, Piece>,
    (keyword, name): (&str, &str),
    at: &Text<'_>,
    own: &[Text<'_>],
    log: &mut Log,
    edits: &mut Vec<(Spot, String)>,
) {
    let name: Vec<&str> = name.split_whitespace().collect();
    let name = name.join(" ");
    let mut found = pieces.iter_mut();
    let found = found.find(|((known, which), _)| *known == keyword && *which == name);
    let Some((_, piece)) = found else {
        let known = distinct(pieces.keys().map(|(known, _)| *known));
        match known.contains(keyword) && !name.is_empty() {
            true => {
                let of = pieces.keys().filter(|(known, _)| *known == keyword);
                log.unknown(at, called(keyword), of.map(|(_, which)| which.as_str()));
            }
            false => log.at(at, format!("the book has no `{keyword}` here")),
        }
        return;
    };
    if std::mem::replace(&mut piece.is_said, true) {
        log.at(at, "this is said already");
        return;
    }
    if own.len() != piece.english.len() {
        let message = format!(
            "{} parts of words are wanted here, not {}",
            piece.english.len(),
            own.len()
        );
        let help =
            "write the label and the texts of the row, two spaces between them, and `-` for none";
        log.hint(at, message, help);
        return;
    }
    let parts = piece.english.iter().zip(&piece.spots).zip(own);
    for ((english, spots), own) in parts {
        let before = log.count();
        fits(keyword, english, own, at, log);
        if log.count() == before {
            let words = on_one_line(own);
            edits.extend(
                spots
                    .iter()
                    .map(|spot| (*spot, format!("{}{words}", piece.before))),
            );
        }
    }
}

/// What a field of its keyword names.
fn called(keyword: &str) -> &str {
    match keyword {
        "overrules" => "rule that is overruled",
        "needs" => "need",
        "bars" => "bar",
        "place" => "place in this source",
        "either" => "name for several rows",
        keyword => keyword,
    }
}

/// Whether words may stand where those of the book do.
fn fits(keyword: &str, english: &str, own: &Text<'_>, at: &Text<'_>, log: &mut Log) {
    if own.is_empty() {
        log.at(at, "no words stand here");
    } else if keyword == "row" && (english == "-") != (own.value == "-") {
        log.hint(
            own,
            "the book tells something else here",
            "`-` stands where the book has no text",
        );
    } else if keyword == "place" && own.value.contains(';') {
        log.at(own, "a place in a source holds no `;`");
    }
    phrase::same_places(english, own, log);
}
