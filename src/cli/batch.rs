//! `lentic batch`: many journals, one a line, answered one a line in the same order.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, BufRead, BufReader, IsTerminal, Read, Write};
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

/// Lines that wait before each worker, and answers behind it.
///
/// A line takes a worker a thousand times as long as handing it over, so lines go singly; and an answer is a hundred
/// times as long as its line, so it is answers that have to be few.
const WAITING: usize = 4;
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

/// A line of the input.
struct Line {
    /// From 1.
    number: u64,
    /// Without its end; `None` for one that is too long to be kept.
    text: Option<Box<[u8]>>,
}

/// What is printed for a line.
struct Answer {
    text: Box<[u8]>,
    answered: bool,
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
    let input = || BufReader::with_capacity(1 << 16, io::stdin().lock());
    let from = arguments.from.unwrap_or(1);
    let tally = answered(&job, cores, from, input, io::stdout().lock())?;
    summary(&job, &tally);
    Ok(Outcome::Fine)
}

/// Reads, answers and prints all lines. Each worker gets every so-manieth line, so that taking the answers from the
/// workers in turn keeps their order.
fn answered<Input: BufRead>(
    job: &Job<'_>,
    cores: usize,
    from: u64,
    input: impl FnOnce() -> Input + Send,
    out: impl Write,
) -> Result<Tally, String> {
    thread::scope(|scope| {
        let mut to_workers: Vec<SyncSender<Line>> = Vec::new();
        let mut from_workers: Vec<Receiver<Answer>> = Vec::new();
        let mut workers = Vec::new();
        for _ in 0..cores {
            let (send_line, lines) = sync_channel::<Line>(WAITING);
            let (send_answer, answers) = sync_channel::<Answer>(WAITING);
            to_workers.push(send_line);
            from_workers.push(answers);
            workers.push(scope.spawn(move || job.answers(&lines, &send_answer)));
        }
        let reader = scope.spawn(move || read(from, &mut input(), &to_workers));
        print(&from_workers, out)?;
        match reader.join() {
            Ok(read) => read.map_err(|error| format!("standard input: {error}"))?,
            Err(_) => return Err("standard input could not be read".into()),
        }
        let mut tally = Tally::default();
        for worker in workers {
            let worked = worker.join();
            tally.add(worked.map_err(|_| "a line could not be answered".to_owned())?);
        }
        Ok(tally)
    })
}

/// Hands the lines to the workers in turn, those before line `from` left out.
fn read(from: u64, input: &mut impl BufRead, workers: &[SyncSender<Line>]) -> io::Result<()> {
    let mut workers = workers.iter().cycle();
    // One text serves all lines, so that what is handed on is as long as its line and no longer.
    let mut text = Vec::new();
    for number in 1.. {
        let Some(text) = line(input, &mut text)? else {
            break;
        };
        if number < from {
            continue;
        }
        let text = text.map(Box::from);
        let worker = workers.next();
        if worker.is_none_or(|worker| worker.send(Line { number, text }).is_err()) {
            break;
        }
    }
    Ok(())
}

/// The next line without its end: nothing at the end of the input, and `Some(None)` for one that is too long.
fn line<'t>(
    input: &mut impl BufRead,
    text: &'t mut Vec<u8>,
) -> io::Result<Option<Option<&'t [u8]>>> {
    text.clear();
    let most = MAX_BYTES as u64 + 1;
    if input.by_ref().take(most).read_until(b'\n', text)? == 0 {
        return Ok(None);
    }
    if text.last() != Some(&b'\n') && text.len() > MAX_BYTES {
        input.skip_until(b'\n')?;
        return Ok(Some(None));
    }
    let end = text.iter().rposition(|byte| !matches!(byte, b'\n' | b'\r'));
    Ok(Some(Some(&text[..end.map_or(0, |last| last + 1)])))
}

/// Prints the answers of the workers in turn, until all have ended.
fn print(workers: &[Receiver<Answer>], mut out: impl Write) -> Result<(), String> {
    let watched = io::stderr().is_terminal();
    let (mut lines, mut unanswered) = (0, 0);
    for worker in workers.iter().cycle() {
        let Ok(answer) = worker.recv() else {
            break;
        };
        if let Err(error) = out.write_all(&answer.text).and_then(|()| out.flush()) {
            if error.kind() == io::ErrorKind::BrokenPipe {
                // Whoever read the answers has gone. The reader may be waiting for input that never comes.
                std::process::exit(0);
            }
            return Err(format!("standard output: {error}"));
        }
        lines += 1;
        unanswered += u64::from(!answer.answered);
        if watched && lines % PROGRESS == 0 {
            eprint!("\r{lines} lines, {unanswered} not answered");
        }
    }
    if watched && lines >= PROGRESS {
        eprintln!();
    }
    Ok(())
}

impl Job<'_> {
    /// Answers lines as long as they come and someone takes the answers; returns what they came to.
    fn answers(&self, lines: &Receiver<Line>, answers: &SyncSender<Answer>) -> Tally {
        let mut tally = Tally::default();
        let found = Found::default();
        // One text serves all answers, so that it need not grow for each.
        let mut text = Vec::new();
        for line in lines {
            text.clear();
            let answered = self.write(&line, &mut tally, &found, &mut text);
            let text = text.as_slice().into();
            if answers.send(Answer { text, answered }).is_err() {
                break;
            }
        }
        tally.fields = found.into_inner();
        tally
    }

    /// Writes the answer to a line, or its mistakes; returns whether it was answered.
    fn write(&self, line: &Line, tally: &mut Tally, found: &Found, text: &mut Vec<u8>) -> bool {
        tally.lines += 1;
        match self.answer(line.text.as_deref()) {
            Ok(advice) => {
                tally.count(&advice);
                if self.paths.is_empty() {
                    one_line(&advice, text);
                } else {
                    let (value, fields) = (&advice, &self.fields);
                    one_line(
                        &Part {
                            value,
                            fields,
                            found,
                        },
                        text,
                    );
                }
                true
            }
            Err(mistakes) => {
                tally.unanswered += 1;
                let unanswered = Unanswered {
                    format: "lentic-mistakes/1",
                    line: line.number,
                    mistakes: &mistakes,
                };
                one_line(&unanswered, text);
                false
            }
        }
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

#[cfg(test)]
mod tests {
    use std::io::{self, BufRead, Cursor, Read, Write};
    use std::sync::atomic::{AtomicUsize, Ordering};

    use lentic::advice::built_in;
    use lentic::journal::Date;

    use super::{Fields, Job, WAITING, answered};

    /// Lines that have been read and not been answered on paper yet.
    static UNDER_WAY: AtomicUsize = AtomicUsize::new(0);

    struct Lines(Cursor<Vec<u8>>);

    impl Read for Lines {
        fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
            self.0.read(into)
        }
    }

    impl BufRead for Lines {
        fn fill_buf(&mut self) -> io::Result<&[u8]> {
            self.0.fill_buf()
        }

        fn consume(&mut self, bytes: usize) {
            let rest = self.0.fill_buf().unwrap_or_default();
            let ends = rest[..bytes].iter().filter(|byte| **byte == b'\n').count();
            UNDER_WAY.fetch_add(ends, Ordering::SeqCst);
            self.0.consume(bytes);
        }
    }

    /// Notes how many lines were under way at most.
    struct Paper<'a>(&'a mut usize);

    impl Write for Paper<'_> {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            // Whatever can run ahead does so meanwhile.
            for _ in 0..20 {
                std::thread::yield_now();
            }
            *self.0 = (*self.0).max(UNDER_WAY.load(Ordering::SeqCst));
            let ends = bytes.iter().filter(|byte| **byte == b'\n').count();
            UNDER_WAY.fetch_sub(ends, Ordering::SeqCst);
            Ok(bytes.len())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn no_more_lines_are_under_way_than_can_wait_however_slowly_answers_are_taken() {
        let job = Job {
            book: &built_in().expect("the built-in book"),
            on: Date::parse("2026-09-25").expect("a day"),
            paths: Vec::new(),
            fields: Fields::default(),
        };
        let (cores, count) = (3, 5_000);
        let input = || Lines(Cursor::new(b"{\n".repeat(count)));
        let mut most = 0;
        let tally = answered(&job, cores, 1, input, Paper(&mut most)).expect("it runs");
        assert_eq!(
            (tally.lines, tally.unanswered),
            (count as u64, count as u64)
        );
        // Before each worker, with it and behind it; one with the reader and one being printed.
        let allowed = cores * (2 * WAITING + 1) + 2;
        assert!(most > cores && most <= allowed, "{most} of {allowed}");
    }
}
