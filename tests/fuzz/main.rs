//! Random books, conditions, entries, journals and records: each ends in an answer or a message, never in a panic.
//!
//! A short run from fixed seeds stands in every test. `LENTIC_FUZZ=100000 cargo test --release --test fuzz` runs longer,
//! and `LENTIC_FUZZ_SEED` begins elsewhere. What breaks something is kept in `corpus/` and tried first from then on.
#![cfg(not(target_arch = "wasm32"))]

use lentic::advice;
use lentic::engine::{Book, Facts, File};
use lentic::journal::{Date, Journal};

/// A small generator (SplitMix64): the same numbers for the same seed on every machine.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit.max(1) as u64) as usize
    }

    fn pick<'a>(&mut self, from: &[&'a str]) -> &'a str {
        from[self.below(from.len())]
    }

    /// Pieces one after the other, with or without a space between.
    fn soup(&mut self, from: &[&str], most: usize) -> String {
        let mut text = String::new();
        for _ in 0..=self.below(most) {
            text.push_str(self.pick(from));
            if self.below(8) != 0 {
                text.push(' ');
            }
        }
        text
    }

    /// A text with some bytes changed, doubled or left out; what is no text any more is mended.
    fn damaged(&mut self, text: &str) -> String {
        let mut bytes = text.as_bytes().to_vec();
        for _ in 0..=self.below(6) {
            let at = self.below(bytes.len());
            let length = (1 + self.below(12)).min(bytes.len() - at);
            match self.below(4) {
                0 if !bytes.is_empty() => bytes[at] = self.next() as u8,
                1 => drop(bytes.drain(at..at + length)),
                2 => {
                    let copy = bytes[at..at + length].to_vec();
                    let to = self.below(bytes.len());
                    bytes.splice(to..to, copy);
                }
                _ => drop(bytes.splice(at..at, *b"-1e308")),
            }
        }
        String::from_utf8_lossy(&bytes).into_owned()
    }
}

fn runs() -> usize {
    number("LENTIC_FUZZ").unwrap_or(400) as usize
}

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

fn random(target: u64) -> Random {
    Random(
        number("LENTIC_FUZZ_SEED")
            .unwrap_or(1)
            .wrapping_mul(0x5851_f42d)
            ^ target,
    )
}

/// The inputs that were kept for a target, then `runs()` made-up ones.
fn inputs(target: &str, mut make: impl FnMut() -> String) -> Vec<String> {
    let folder = format!("{}/tests/fuzz/corpus/{target}", env!("CARGO_MANIFEST_DIR"));
    let kept = std::fs::read_dir(folder).into_iter().flatten();
    let kept = kept.map(|entry| std::fs::read_to_string(entry.unwrap().path()).expect("a text"));
    let mut inputs: Vec<String> = kept.collect();
    assert!(!inputs.is_empty(), "{target} has no kept input");
    inputs.extend((0..runs()).map(|_| make()));
    inputs
}

const FRAME: &str = "book frame\n  title Frame\n  edition 1\n  stage season\n  today today\n\nunit day\n  is base time\n  also days\n\nunit g\n  is base mass\n\nunit °C\n  is base temperature\n  zero 0\n\nunit °F\n  is 0.5555555555555556 °C\n  zero 32\n\nsource s\n  title S\n  kind common practice\n\naction act\n  unit g\n  excludes other\n\naction other\n\nfact today\n  kind date\n\nfact season\n  option wet\n  option dry\n\nfact flour\n  unit g\n  range 0 to 10 g\n\nfact heat\n  kind series\n  unit °C\n  also °F\n  range -20 to 90 °C\n  smallest 0.5 °C\n  spread 10 %\n  stale 3 days\n\nfact shut\n  kind truth\n\nfact seen\n  kind several\n  option ash\n  option mould\n\nderive twice\n  unit g\n  is flour + flour\n  source s\n\n";

const WORDS: [&str; 52] = [
    "flour",
    "heat",
    "shut",
    "seen",
    "season",
    "twice",
    "today",
    "wet",
    "dry",
    "ash",
    "mould",
    "and",
    "or",
    "not",
    "is",
    "one of",
    "within",
    "to",
    "reads zero",
    "reads present",
    "on the last 2 readings",
    "includes",
    "highest",
    "lowest",
    "change of",
    "age of",
    "over",
    "least",
    "greatest",
    "(",
    ")",
    ",",
    "+",
    "-",
    "*",
    "/",
    "<",
    "<=",
    ">",
    ">=",
    "0",
    "1 g",
    "2.5 g",
    "7 days",
    "50 °F",
    "1e999",
    "-1 g",
    "2026-01-01",
    "{",
    "nothing",
    "0.5",
    "°C",
];

/// A book with one made-up rule. If it can be read, it can be run, on nothing and on its own cases.
fn book_with(condition: &str) {
    let rule = format!(
        "rule r\n  when {condition}\n  advise act\n  urgency note\n  if open warn\n  finding F {{flour}}.\n  advice A.\n  because B.\n  source s\n  holds flour 1 g\n  fails flour 2 g\n"
    );
    match Book::load(
        vec![File::new("frame.rules", format!("{FRAME}{rule}"))],
        &[],
    ) {
        Ok(book) => {
            let facts = Facts::default();
            let run = book.evaluate(&facts);
            let answer = run.answer();
            assert!(answer.advice.len() + answer.open.len() + answer.set_aside.len() <= 1);
            let _ = run.changes(&|_| true);
            let _ = run.why_not("r", &|_| true);
            let _ = run.sufficient("r", true);
            let _ = book.run_cases();
        }
        Err(mistakes) => assert!(
            mistakes
                .0
                .iter()
                .all(|m| m.line > 0 && !m.message.is_empty())
        ),
    }
}

#[test]
fn the_frame_itself_is_sound() {
    let rule = "rule r\n  when flour > 1 g\n  advise act\n  urgency note\n  if open ask\n  finding F.\n  advice A.\n  because B.\n  source s\n  holds flour 2 g\n  fails flour 1 g\n";
    let book = Book::load(
        vec![File::new("frame.rules", format!("{FRAME}{rule}"))],
        &[],
    );
    let book = book.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    assert!(book.run_cases().failed.is_empty());
}

#[test]
fn any_condition_is_read_or_refused() {
    let mut random = random(1);
    for condition in inputs("conditions", || random.soup(&WORDS, 12)) {
        book_with(&condition.replace('\n', " "));
    }
}

#[test]
fn any_entry_is_read_or_refused() {
    const PIECES: [&str; 34] = [
        "0",
        "1",
        "2.4",
        "78",
        "0,25",
        "1,000",
        "-3",
        "1e400",
        ".",
        ",",
        "<",
        ">",
        "to",
        "about",
        "mg/L",
        "mg/L N",
        "mg/L NH4",
        "ppm",
        "°C",
        "°F",
        "F",
        "L",
        "US gal",
        "°dH",
        "degrees",
        "yes",
        "no",
        "dark",
        "or",
        "and",
        "none",
        "unknown",
        "2026-09-25",
        "\u{202e}",
    ];
    let book = advice::built_in().expect("the built-in book");
    let facts = book.facts();
    let mut random = random(2);
    for text in inputs("entries", || random.soup(&PIECES, 5)) {
        for fact in &facts {
            match book.enter(&fact.name, &text) {
                Ok(entered) => assert!(
                    entered.nominal.is_none_or(f64::is_finite),
                    "{}: {text}",
                    fact.name
                ),
                Err(message) => assert!(!message.is_empty()),
            }
        }
    }
}

const STORY: &str = include_str!("../journals/story-planted-day-8.json");

#[test]
fn any_journal_is_answered_or_refused() {
    let book = advice::built_in().expect("the built-in book");
    let on = Date::parse("2026-10-09").expect("a date");
    let mut random = random(3);
    for text in inputs("journals", || random.damaged(STORY)) {
        if let Ok(journal) = Journal::from_json(&text)
            && let Err(mistakes) = advice::advise(&book, &journal, on)
        {
            assert!(mistakes.iter().all(|mistake| !mistake.message.is_empty()));
        }
    }
}

#[test]
fn any_record_is_verified_or_refused() {
    let book = advice::built_in().expect("the built-in book");
    let journal = Journal::from_json(STORY).expect("a story");
    let on = Date::parse("2026-10-09").expect("a date");
    let record = advice::record(&book, &journal, on)
        .expect("a record")
        .to_string();
    assert!(advice::verify(&book, &record).is_ok_and(|verified| verified.same));
    let mut random = random(4);
    for (index, text) in inputs("records", || random.damaged(&record))
        .into_iter()
        .enumerate()
    {
        if index > 60 && runs() <= 400 {
            break;
        }
        let _ = advice::verify(&book, &text);
    }
}
