//! What was asked on the command line.

use std::io::Read;
use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

use lentic::engine::{Book, File};
use lentic::journal::{Date, Journal};

use super::{tongue, words};

pub(crate) const HELP: &str = "\
lentic: explained advice for starting and keeping planted freshwater tanks

  lentic advise JOURNAL              what to do now, and why
  lentic why JOURNAL NAME            why a rule, gate or fact is what it is
  lentic may JOURNAL [ACTION]        may I plant, add fish, ...?
  lentic fit JOURNAL                 which plants and animals fit together
  lentic next JOURNAL                what to find out next
  lentic whatif JOURNAL name=value...  how the answer would differ
  lentic change JOURNAL [NAME]       which single entry would change the answer
  lentic whynot JOURNAL RULE         what keeps a rule from speaking
  lentic forecast JOURNAL            what the water will do, and the cycle
  lentic plan JOURNAL                what to do on the coming days
  lentic compare JOURNAL [price=n...]  the ways to start, side by side
  lentic record JOURNAL              journal, book and answer in one file
  lentic verify RECORD               run a record again and compare
  lentic batch                       many journals, answered line by line
  lentic check [BOOK...]             prove a rule book and run its cases
  lentic book [BOOK...]              the rule book as a page to read
  lentic reckon NAME [name=value...] work out an amount, with its working
  lentic reckon                      list what can be worked out

  JOURNAL is a file of the format lentic-journal/1; `-` reads standard input.
  BOOK is a folder of .rules files, or such files. Left out: the built-in book.

  --on DATE      the day to ask about, as in 2026-09-25 (today if left out)
  --book FOLDER  use this rule book
  --overlay FILE add these changes of your own to the book
  --language TAG answer in this language, as in de; or a folder of words
  --json         print the answer as JSON
  --svg          with forecast: print it as a picture
  --ics          with plan: print it as a calendar file
  --fix-cases    check: write missing cases into the book, as notes
  --boxes NUMBER check: effort for one question before it is left undecided
  --with LIST    with fit: what is wanted, as in \"neon-tetra x 10, java-fern\"
  --markdown     book: as Markdown instead of HTML
  --fields LIST  batch: only these fields, as in stage,advice.rule
  --from LINE    batch: start at this line of the input
  --cores NUMBER batch: how many answer at once (all, if left out)
  --all          with why: every smallest set of facts that decides it
  --help, --version

Ends with 0 if all is well, 1 if there is danger or a check found something,
2 if something could not be read.
";

pub(crate) enum Verb {
    Advise,
    Why,
    May,
    Fit,
    Next,
    WhatIf,
    Change,
    WhyNot,
    Record,
    Verify,
    Check,
    Book,
    Batch,
    Reckon,
    Forecast,
    Plan,
    Compare,
    Help,
    Version,
}

pub(crate) struct Arguments {
    pub verb: Verb,
    pub words: Vec<String>,
    pub on: Option<Date>,
    pub json: bool,
    pub all: bool,
    pub book: Option<String>,
    pub fix_cases: bool,
    pub markdown: bool,
    pub fields: Vec<String>,
    pub from: Option<u64>,
    pub cores: Option<usize>,
    pub boxes: Option<u32>,
    pub overlays: Vec<String>,
    pub language: Option<String>,
    pub svg: bool,
    pub ics: bool,
    pub with: Option<String>,
}

pub(crate) fn read() -> Result<Arguments, String> {
    let mut parser = lexopt::Parser::from_env();
    let mut arguments = Arguments {
        verb: Verb::Help,
        words: Vec::new(),
        on: None,
        json: false,
        all: false,
        book: None,
        fix_cases: false,
        markdown: false,
        fields: Vec::new(),
        from: None,
        cores: None,
        boxes: None,
        overlays: Vec::new(),
        language: None,
        svg: false,
        ics: false,
        with: None,
    };
    let mut verb = None;
    while let Some(argument) = parser.next().map_err(told)? {
        match argument {
            lexopt::Arg::Long("on") => arguments.on = Some(date(&text(&mut parser)?)?),
            lexopt::Arg::Long("book") => arguments.book = Some(text(&mut parser)?),
            lexopt::Arg::Long("fix-cases") => arguments.fix_cases = true,
            lexopt::Arg::Long("fields") => arguments.fields.extend(listing(&text(&mut parser)?)),
            lexopt::Arg::Long("from") => {
                arguments.from = Some(number("--from", &text(&mut parser)?, 1..=u64::MAX)?);
            }
            lexopt::Arg::Long("cores") => {
                let cores = number("--cores", &text(&mut parser)?, 1..=MOST_CORES)?;
                arguments.cores = Some(cores as usize);
            }
            lexopt::Arg::Long("markdown") => arguments.markdown = true,
            lexopt::Arg::Long("boxes") => arguments.boxes = Some(count(&text(&mut parser)?)?),
            lexopt::Arg::Long("overlay") => arguments.overlays.push(text(&mut parser)?),
            lexopt::Arg::Long("language") => arguments.language = Some(text(&mut parser)?),
            lexopt::Arg::Long("json") => arguments.json = true,
            lexopt::Arg::Long("svg") => arguments.svg = true,
            lexopt::Arg::Long("ics") => arguments.ics = true,
            lexopt::Arg::Long("with") => arguments.with = Some(text(&mut parser)?),
            lexopt::Arg::Long("all") => arguments.all = true,
            lexopt::Arg::Long("help") | lexopt::Arg::Short('h') => verb = Some(Verb::Help),
            lexopt::Arg::Long("version") => verb = Some(Verb::Version),
            lexopt::Arg::Value(value) => {
                let word = value
                    .into_string()
                    .map_err(|_| "this word is not readable text".to_owned())?;
                if verb.is_none() {
                    verb = Some(named(&word)?)
                } else {
                    arguments.words.push(word)
                }
            }
            other => return Err(told(other.unexpected())),
        }
    }
    arguments.verb = verb.unwrap_or(Verb::Help);
    Ok(arguments)
}

fn told(error: lexopt::Error) -> String {
    format!("{error}; `lentic --help` shows what there is")
}

fn text(parser: &mut lexopt::Parser) -> Result<String, String> {
    parser
        .value()
        .map_err(told)?
        .into_string()
        .map_err(|_| "this word is not readable text".into())
}

fn named(word: &str) -> Result<Verb, String> {
    match word {
        "advise" => Ok(Verb::Advise),
        "why" => Ok(Verb::Why),
        "may" => Ok(Verb::May),
        "fit" => Ok(Verb::Fit),
        "next" => Ok(Verb::Next),
        "whatif" => Ok(Verb::WhatIf),
        "change" => Ok(Verb::Change),
        "whynot" => Ok(Verb::WhyNot),
        "record" => Ok(Verb::Record),
        "verify" => Ok(Verb::Verify),
        "check" => Ok(Verb::Check),
        "book" => Ok(Verb::Book),
        "batch" => Ok(Verb::Batch),
        "reckon" => Ok(Verb::Reckon),
        "forecast" => Ok(Verb::Forecast),
        "plan" => Ok(Verb::Plan),
        "compare" => Ok(Verb::Compare),
        "help" => Ok(Verb::Help),
        _ => Err(format!(
            "lentic knows no `{word}`; `lentic --help` shows what there is"
        )),
    }
}

fn count(text: &str) -> Result<u32, String> {
    text.parse()
        .map_err(|_| format!("--boxes: `{text}` is no whole number"))
}

/// As many as `--cores` takes.
const MOST_CORES: u64 = 1024;

fn number(option: &str, text: &str, range: std::ops::RangeInclusive<u64>) -> Result<u64, String> {
    text.parse()
        .ok()
        .filter(|number| range.contains(number))
        .ok_or_else(|| {
            let (low, high) = (range.start(), range.end());
            format!("{option}: `{text}` is no whole number from {low} to {high}")
        })
}

/// Names with commas between them.
fn listing(text: &str) -> impl Iterator<Item = String> {
    text.split(',')
        .map(|name| name.trim().to_owned())
        .filter(|name| !name.is_empty())
}

fn date(text: &str) -> Result<Date, String> {
    Date::parse(text).map_err(|error| format!("--on: {error}"))
}

impl Arguments {
    /// The day that is asked about.
    pub fn day(&self) -> Result<Date, String> {
        const SECONDS_A_DAY: u64 = 86_400;
        if let Some(on) = self.on {
            return Ok(on);
        }
        let since = SystemTime::now()
            .duration_since(UNIX_EPOCH)
            .map_err(|_| "this clock is before 1970".to_owned())?;
        let days = i32::try_from(since.as_secs() / SECONDS_A_DAY).ok();
        days.and_then(Date::from_days)
            .ok_or_else(|| "this clock shows no date we know; give one with --on".into())
    }

    /// The journal that is the first word.
    pub fn journal(&self) -> Result<Journal, String> {
        let Some(path) = self.words.first() else {
            return Err("name a journal file, or `-` for standard input".into());
        };
        Journal::from_json(&read_text(path)?).map_err(|mistakes| listed(path, &mistakes))
    }

    /// The book to use: the built-in one or that of `--book`, in the language of `--language`, with the overlays of
    /// `--overlay`.
    pub fn book(&self) -> Result<Book, String> {
        self.read(self.named_book()?)
    }

    /// The same, where the words of the command may name the folders and files of a book.
    pub fn book_of_words(&self) -> Result<Book, String> {
        self.read(self.rule_files()?)
    }

    /// The files of that book as it is written, without overlays.
    pub fn rule_files(&self) -> Result<Vec<File>, String> {
        if self.words.is_empty() {
            return self.named_book();
        }
        let files = files(&self.words)?;
        match files.is_empty() {
            true => Err(format!("{}: no .rules file here", self.words.join(", "))),
            false => Ok(files),
        }
    }

    /// The folders and files that a book was named by; none for the built-in one.
    pub fn folders(&self) -> &[String] {
        match (self.words.as_slice(), &self.book) {
            ([], Some(folder)) => std::slice::from_ref(folder),
            (words, _) => words,
        }
    }

    fn named_book(&self) -> Result<Vec<File>, String> {
        match &self.book {
            Some(folder) => files(std::slice::from_ref(folder)),
            None => Ok(built_in()),
        }
    }

    fn read(&self, files: Vec<File>) -> Result<Book, String> {
        let mut own = None;
        if let Some(language) = &self.language {
            own = words::in_language(&files, language)?;
        }
        let is_translated = own.is_some();
        let mut files = own.unwrap_or(files);
        files.extend(self::files(&self.overlays)?);
        let book = lentic::advice::load(files).map_err(|mistakes| mistakes.to_string())?;
        match &self.language {
            Some(wanted) if !is_translated && !is_in(book.language(), wanted) => {
                Err(words::no_language(wanted))
            }
            _ => {
                tongue::speak(&book);
                Ok(book)
            }
        }
    }
}

/// Whether a language is the one that is wanted, or a kind of it: `en-GB` is `en`.
fn is_in(language: &str, wanted: &str) -> bool {
    let rest = language.strip_prefix(wanted);
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
}

/// The files of the built-in book.
fn built_in() -> Vec<File> {
    let files = lentic::advice::BUILT_IN.iter();
    files.map(|(name, text)| File::new(*name, *text)).collect()
}

/// The mistakes of a journal, one a line.
pub(crate) fn listed(path: &str, mistakes: &[lentic::journal::Mistake]) -> String {
    let lines: Vec<String> = mistakes
        .iter()
        .map(|mistake| format!("  {mistake}"))
        .collect();
    let count = if mistakes.len() == 1 {
        "one mistake".into()
    } else {
        format!("{} mistakes", mistakes.len())
    };
    format!(
        "{path}: {count}; no answer until this is mended\n{}",
        lines.join("\n")
    )
}

/// The text of a file, or of standard input.
pub(crate) fn read_text(path: &str) -> Result<String, String> {
    if path == "-" {
        standard_input()
    } else {
        file(path)
    }
}

/// `name=value`.
pub(crate) fn pair(word: &str) -> Result<(String, String), String> {
    match word.split_once('=') {
        Some((name, value)) => Ok((name.trim().to_owned(), value.trim().to_owned())),
        None => Err(format!(
            "`{word}` gives no value; write it as name=value, with quotes if it has spaces"
        )),
    }
}

fn standard_input() -> Result<String, String> {
    let mut text = String::new();
    std::io::stdin()
        .read_to_string(&mut text)
        .map_err(|error| format!("standard input: {error}"))?;
    Ok(text)
}

fn file(path: &str) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|error| format!("{path}: {error}"))
}

/// Rule files from folders and files, in the order of their names.
fn files(paths: &[String]) -> Result<Vec<File>, String> {
    files_ending(paths, ".rules")
}

/// Files whose names end so, of folders those that lie in them.
pub(crate) fn files_ending(paths: &[String], ending: &str) -> Result<Vec<File>, String> {
    let mut files = Vec::new();
    for path in paths {
        for name in named_files(path, ending)? {
            files.push(File::new(name.clone(), file(&name)?));
        }
    }
    Ok(files)
}

fn named_files(path: &str, ending: &str) -> Result<Vec<String>, String> {
    if !Path::new(path).is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let entries = std::fs::read_dir(path).map_err(|error| format!("{path}: {error}"))?;
    let mut names = Vec::new();
    for entry in entries {
        let name = entry.map_err(|error| format!("{path}: {error}"))?.path();
        let name = name.to_string_lossy().into_owned();
        if name.ends_with(ending) {
            names.push(name);
        }
    }
    names.sort();
    Ok(names)
}
