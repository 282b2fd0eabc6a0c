//! `lentic batch`: many journals, one a line, answered one a line in the same order.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, BufRead, BufReader, BufWriter, IsTerminal, Read, Write};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;

use lentic::advice::{Advice, advise};
use lentic::engine::{Book, Urgency};
use lentic::journal::{Date, Journal, MAX_BYTES, Mistake, Mistakes};
use serde::Serialize;

use super::Outcome;
use super::arguments::Arguments;
use super::numbers::one_line;
use super::page::Page;
use super::part::{Fields, Found, Part};

/// Lines that are handed to a worker at once.
const LINES: usize = 16;
/// Bytes after which no more lines are added to them.
const BYTES: usize = 1 << 20;
/// Handfuls that wait before or behind each worker.
const WAITING: usize = 2;
/// Answers between two progress lines.
const PROGRESS: u64 = 1_000;

/// What a line that could not be answered gets.
#[derive(Serialize)]
struct Unanswered<'a> {
    format: &'static str,
    /// Its number in the input, from 1.
    line: u64,
    mistakes: &'a [Mistake],
}

/// Some lines of the input.
struct Lines {
    first: u64,
    /// Each without its end; `None` for one that is too long to be kept.
    texts: Vec<Option<Vec<u8>>>,
}

/// Their answers.
#[derive(Default)]
struct Answers {
    text: Vec<u8>,
    tally: Tally,
}

/// What a run comes to.
#[derive(Default)]
struct Tally {
    lines: u64,
    unanswered: u64,
    in_danger: u64,
    advised: BTreeMap<String, u64>,
    wanted: BTreeMap<String, u64>,
    fields: BTreeSet<usize>,
}

/// What every worker knows.
struct Job<'a> {
    book: &'a Book,
    on: Date,
    /// Fields that were asked for: none means all.
    paths: Vec<Vec<&'a str>>,
    fields: Fields,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    if let Some(word) = arguments.words.first() {
        return Err(format!(
            "batch reads journals from standard input, one a line; it takes no `{word}`"
        ));
    }
    let book = arguments.book()?;
    let paths = arguments.fields.iter();
    let paths: Vec<Vec<&str>> = paths.map(|path| path.split('.').collect()).collect();
    let job = Job {
        book: &book,
        on: arguments.day()?,
        fields: Fields::of(&paths),
        paths,
    };
    let cores = match arguments.cores {
        Some(cores) => cores,
        None => thread::available_parallelism().map_or(1, usize::from),
    };
    let tally = answered(&job, cores, arguments.from.unwrap_or(1))?;
    summary(&job, &tally);
    Ok(Outcome::Fine)
}

/// Reads, answers and prints all lines. Each worker gets every so-manieth handful, so that taking the answers from
/// the workers in turn keeps their order.
fn answered(job: &Job<'_>, cores: usize, from: u64) -> Result<Tally, String> {
    thread::scope(|scope| {
        let mut to_workers: Vec<SyncSender<Lines>> = Vec::new();
        let mut from_workers: Vec<Receiver<Answers>> = Vec::new();
        for _ in 0..cores {
            let (send_lines, lines) = sync_channel::<Lines>(WAITING);
            let (send_answers, answers) = sync_channel::<Answers>(WAITING);
            to_workers.push(send_lines);
            from_workers.push(answers);
            scope.spawn(move || {
                for lines in lines {
                    if send_answers.send(job.answers(&lines)).is_err() {
                        return;
                    }
                }
            });
        }
        let reader = scope.spawn(move || read(from, &to_workers));
        let tally = print(&from_workers)?;
        match reader.join() {
            Ok(read) => read.map_err(|error| format!("standard input: {error}"))?,
            Err(_) => return Err("standard input could not be read".into()),
        }
        Ok(tally)
    })
}

/// Hands the lines of standard input to the workers in turn, those before line `from` left out.
fn read(from: u64, workers: &[SyncSender<Lines>]) -> io::Result<()> {
    let mut input = BufReader::with_capacity(1 << 16, io::stdin().lock());
    let mut number = 1;
    for worker in workers.iter().cycle() {
        let mut lines = Lines {
            first: number.max(from),
            texts: Vec::new(),
        };
        let mut bytes = 0;
        // What has been read is not kept waiting for what has not come yet.
        while lines.texts.is_empty()
            || (lines.texts.len() < LINES && bytes < BYTES && !input.buffer().is_empty())
        {
            let Some(text) = line(&mut input)? else {
                break;
            };
            if number >= from {
                bytes += text.as_ref().map_or(0, Vec::len);
                lines.texts.push(text);
            }
            number += 1;
        }
        if lines.texts.is_empty() || worker.send(lines).is_err() {
            return Ok(());
        }
    }
    Ok(())
}

/// The next line without its end: nothing at the end of the input, and `Some(None)` for one that is too long.
fn line(input: &mut impl BufRead) -> io::Result<Option<Option<Vec<u8>>>> {
    let mut text = Vec::new();
    let most = MAX_BYTES as u64 + 1;
    if input.by_ref().take(most).read_until(b'\n', &mut text)? == 0 {
        return Ok(None);
    }
    if text.last() != Some(&b'\n') && text.len() > MAX_BYTES {
        input.skip_until(b'\n')?;
        return Ok(Some(None));
    }
    while matches!(text.last(), Some(b'\n' | b'\r')) {
        text.pop();
    }
    Ok(Some(Some(text)))
}

/// Prints the answers of the workers in turn, until all have ended.
fn print(workers: &[Receiver<Answers>]) -> Result<Tally, String> {
    let mut out = BufWriter::new(io::stdout().lock());
    let watched = io::stderr().is_terminal();
    let mut tally = Tally::default();
    for worker in workers.iter().cycle() {
        let Ok(answers) = worker.recv() else {
            break;
        };
        let written = out.write_all(&answers.text).and_then(|()| out.flush());
        if let Err(error) = written {
            if error.kind() == io::ErrorKind::BrokenPipe {
                // Whoever read the answers has gone. The reader may be waiting for input that never comes.
                std::process::exit(0);
            }
            return Err(format!("standard output: {error}"));
        }
        let before = tally.lines / PROGRESS;
        tally.add(answers.tally);
        if watched && tally.lines / PROGRESS > before {
            eprint!("\r{} lines, {} not answered", tally.lines, tally.unanswered);
        }
    }
    if watched && tally.lines >= PROGRESS {
        eprintln!();
    }
    Ok(tally)
}

impl Job<'_> {
    fn answers(&self, lines: &Lines) -> Answers {
        let mut answers = Answers::default();
        let found = Found::default();
        for (number, text) in (lines.first..).zip(&lines.texts) {
            answers.tally.lines += 1;
            match self.answer(text.as_deref()) {
                Ok(advice) => {
                    answers.tally.count(&advice);
                    if self.paths.is_empty() {
                        one_line(&advice, &mut answers.text);
                    } else {
                        let part = Part {
                            value: &advice,
                            fields: &self.fields,
                            found: &found,
                        };
                        one_line(&part, &mut answers.text);
                    }
                }
                Err(mistakes) => {
                    answers.tally.unanswered += 1;
                    let unanswered = Unanswered {
                        format: "lentic-mistakes/1",
                        line: number,
                        mistakes: &mistakes,
                    };
                    one_line(&unanswered, &mut answers.text);
                }
            }
        }
        answers.tally.fields = found.into_inner();
        answers
    }

    fn answer(&self, text: Option<&[u8]>) -> Result<Advice, Mistakes> {
        let wrong = |message: String, hint: &str| {
            Mistakes(vec![Mistake {
                place: String::new(),
                message,
                hint: Some(hint.to_owned()),
            }])
        };
        let text = text.ok_or_else(|| {
            let message = format!("this line is longer than {MAX_BYTES} bytes");
            wrong(message, "leave out what no longer matters")
        })?;
        if text.iter().all(u8::is_ascii_whitespace) {
            return Err(wrong("this line is empty".into(), "write a journal on it"));
        }
        let text = std::str::from_utf8(text).map_err(|error| {
            let message = format!("byte {} is no UTF-8", error.valid_up_to() + 1);
            wrong(message, "write the journals as UTF-8")
        })?;
        advise(self.book, &Journal::from_json(text)?, self.on)
    }
}

impl Tally {
    fn count(&mut self, advice: &Advice) {
        let danger = |point: &lentic::engine::AdvicePoint| point.urgency == Urgency::Danger;
        self.in_danger += u64::from(advice.advice.iter().any(danger));
        for point in &advice.advice {
            one_more(&mut self.advised, &point.rule, 1);
        }
        for wanted in &advice.wanted {
            one_more(&mut self.wanted, &wanted.fact, 1);
        }
    }

    fn add(&mut self, other: Tally) {
        self.lines += other.lines;
        self.unanswered += other.unanswered;
        self.in_danger += other.in_danger;
        for (rule, count) in &other.advised {
            one_more(&mut self.advised, rule, *count);
        }
        for (fact, count) in &other.wanted {
            one_more(&mut self.wanted, fact, *count);
        }
        self.fields.extend(other.fields);
    }
}

fn one_more(counts: &mut BTreeMap<String, u64>, name: &str, by: u64) {
    match counts.get_mut(name) {
        Some(count) => *count += by,
        None => {
            counts.insert(name.to_owned(), by);
        }
    }
}

/// Says on standard error what the run came to: standard output holds the answers alone.
fn summary(job: &Job<'_>, tally: &Tally) {
    let mut page = Page::plain();
    page.paragraph(
        "",
        &format!(
            "{} lines: {} answered, {} not. {} with danger.",
            tally.lines,
            tally.lines - tally.unanswered,
            tally.unanswered,
            tally.in_danger
        ),
    );
    counted(&mut page, "Advice by rule", &tally.advised);
    counted(&mut page, "Open questions by reading", &tally.wanted);
    for (index, field) in job.paths.iter().enumerate() {
        if !tally.fields.contains(&index) && tally.lines > tally.unanswered {
            page.paragraph("", &format!("No answer has a field `{}`.", field.join(".")));
        }
    }
    eprint!("{}", page.text());
}

fn counted(page: &mut Page, heading: &str, counts: &BTreeMap<String, u64>) {
    if counts.is_empty() {
        return;
    }
    page.gap();
    page.heading(heading);
    let mut ranked: Vec<(&String, &u64)> = counts.iter().collect();
    ranked.sort_by_key(|(_, count)| std::cmp::Reverse(**count));
    for (name, count) in ranked {
        page.line(&format!("{count:>9}  {name}"));
    }
}
