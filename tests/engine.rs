//! The engine on a rule book about a bread oven: it must be as good at bread as at anything else.
#![cfg(not(target_arch = "wasm32"))]

#[path = "engine/answers.rs"]
mod answers;
#[path = "engine/book.rs"]
mod book;
#[path = "engine/entry.rs"]
mod entry;
#[path = "engine/questions.rs"]
mod questions;
#[path = "engine/soundness.rs"]
mod soundness;
#[path = "engine/verdicts.rs"]
mod verdicts;

use std::{fs, path::Path, sync::OnceLock};

use lentic::engine::{
    Argument, Book, Evaluation, Facts, File, Function, Given, Interval, Reading, Set, Trend,
    Verdict,
};

/// Functions that the book calls: one that moves one way with each argument, one with a best in the middle, and one that
/// asks for a choice and moves either way.
const FUNCTIONS: [Function; 3] = [
    Function {
        name: "proof-hours",
        label: "time to rise",
        arguments: &[
            Argument {
                name: "heat of the dough",
                unit: "°C",
                trend: Trend::Falling,
                valid: (5.0, 40.0),
                ..Argument::PLAIN
            },
            Argument {
                name: "leaven",
                unit: "%",
                trend: Trend::Falling,
                valid: (1.0, 50.0),
                ..Argument::PLAIN
            },
        ],
        unit: "h",
        compute: |x| 4.0 * ((26.0 - x[0]) / 8.0).exp2() * 20.0 / x[1],
        extension: None,
        formula: "4 × 2^((26 − °C) ÷ 8) × 20 ÷ %",
        working: |x, y| vec![format!("at {} °C and {} %: {} h", x[0], x[1], y)],
        source: "trade",
        ..Function::PLAIN
    },
    Function {
        name: "rise-speed",
        label: "speed of the yeast",
        arguments: &[Argument {
            name: "heat of the dough",
            unit: "°C",
            trend: Trend::Rising,
            valid: (0.0, 45.0),
            ..Argument::PLAIN
        }],
        unit: "",
        compute: |x| speed(x[0]),
        extension: Some(|x| {
            let (at_low, at_high) = (speed(x[0].lo), speed(x[0].hi));
            let best = if x[0].lo <= 32.0 && x[0].hi >= 32.0 {
                1.0
            } else {
                at_low.max(at_high)
            };
            Interval {
                lo: at_low.min(at_high),
                hi: best,
            }
        }),
        formula: "1 − ((°C − 32) ÷ 32)²",
        working: |x, y| vec![format!("at {} °C: {}", x[0], y)],
        source: "trade",
        ..Function::PLAIN
    },
    Function {
        name: "crust-minutes",
        label: "time to a crust",
        group: "Baking",
        arguments: &[
            Argument {
                name: "form",
                options: &[("tin", "in a tin"), ("free", "free on the stone")],
                ..Argument::PLAIN
            },
            Argument {
                name: "heat of the oven",
                unit: "°C",
                trend: Trend::Falling,
                valid: (150.0, 300.0),
                possible: (50.0, 500.0),
                table: "flour-heat",
                ..Argument::PLAIN
            },
            Argument {
                name: "share of time covered",
                how: "By a lid, out of 1.",
                trend: Trend::Either,
                valid: (0.0, 1.0),
                possible: (0.0, 1.0),
                ..Argument::PLAIN
            },
        ],
        // A lid helps below 200 °C and hinders above.
        compute: |x| (x[0] + 1.0) * (40.0 - (x[1] - 200.0) * (1.0 - x[2]) / 10.0),
        formula: "40 − (°C − 200) × (1 − covered) ÷ 10, twice free on the stone",
        working: |x, y| vec![format!("at {} °C: {y}", x[1])],
        also: |_, y| vec![format!("then {} more to cool", y / 2.0)],
        source: "trade",
        cautions: &["burns", "not-in-this-book"],
        ..Function::PLAIN
    },
];

fn speed(heat_c: f64) -> f64 {
    (1.0 - ((heat_c - 32.0) / 32.0).powi(2)).max(0.0)
}

fn files() -> Vec<File> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/books/oven");
    let read = |name: &str| {
        let file = format!("{name}.rules");
        let text = fs::read_to_string(folder.join(&file)).unwrap();
        File::new(file, text)
    };
    ["book", "units", "vocabulary", "heat", "dough", "loading"]
        .map(read)
        .to_vec()
}

#[track_caller]
fn load(files: Vec<File>) -> Book {
    Book::load(files, &FUNCTIONS).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn oven() -> &'static Book {
    static OVEN: OnceLock<Book> = OnceLock::new();
    OVEN.get_or_init(|| load(files()))
}

/// The oven book with one more chapter.
#[track_caller]
fn oven_with(chapter: &str) -> Book {
    let mut files = files();
    files[0].text = files[0].text.replace("loading\n", "loading, more\n");
    files.push(File::new("more.rules", chapter));
    load(files)
}

/// What is known on 2026-05-03.
struct Known<'a> {
    book: &'a Book,
    facts: Facts,
}

/// 2026-05-03 in days since 1970-01-01.
const TODAY: f64 = 20_576.0;

impl<'a> Known<'a> {
    fn new(book: &'a Book) -> Known<'a> {
        let facts = Facts::default();
        Known { book, facts }.set("today", Set::Number(Interval::point(TODAY)))
    }

    #[track_caller]
    fn set(mut self, name: &str, set: Set) -> Known<'a> {
        assert!(
            self.facts.give(self.book, name, Given::new(set)),
            "no fact {name}"
        );
        self
    }

    /// A value as a person types it.
    #[track_caller]
    fn give(mut self, name: &str, text: &str) -> Known<'a> {
        let entered = self.book.enter(name, text).unwrap();
        assert_eq!(entered.question, None, "{name} {text}");
        self.facts
            .give(self.book, name, Given::typed(entered.set, text));
        self
    }

    /// A reading some days ago; the oldest is read first.
    #[track_caller]
    fn read(mut self, name: &str, days_ago: f64, text: &str) -> Known<'a> {
        let entered = self.book.enter(name, text).unwrap();
        let (Set::Number(values), Some(nominal)) = (entered.set, entered.nominal) else {
            panic!("`{text}` is no reading: {:?}", entered.question);
        };
        let mut given = match self.facts.given(self.book, name) {
            Some(given) => given.clone(),
            None => Given::new(entered.set),
        };
        given.set = entered.set;
        given.readings.push(Reading {
            day: TODAY - days_ago,
            values,
            nominal,
            mark: entered.mark,
            typed: text.to_owned(),
        });
        self.facts.give(self.book, name, given);
        self
    }

    fn run(&self) -> Evaluation<'_> {
        self.book.evaluate(&self.facts)
    }

    #[track_caller]
    fn rule(&self, name: &str) -> Verdict {
        self.run()
            .rule(name)
            .unwrap_or_else(|| panic!("no rule {name}"))
    }

    #[track_caller]
    fn shown(&self, name: &str) -> String {
        self.run()
            .fact(name)
            .unwrap_or_else(|| panic!("no fact {name}"))
            .shown
    }

    #[track_caller]
    fn truth(&self, name: &str) -> Option<bool> {
        match self.run().values(name) {
            Some(Set::Choice(lentic::engine::YES)) => Some(true),
            Some(Set::Choice(lentic::engine::NO)) => Some(false),
            Some(Set::Choice(_)) => None,
            found => panic!("{name} is no truth: {found:?}"),
        }
    }
}

#[test]
fn every_case_of_the_oven_book_comes_out() {
    let report = oven().run_cases();
    let failed: Vec<String> = report.failed.iter().map(ToString::to_string).collect();
    assert!(failed.is_empty(), "{}", failed.join("\n"));
    assert_eq!(report.run, 51);
}

#[test]
fn a_case_that_does_not_come_out_is_shown_with_its_place_and_its_blame() {
    let book = oven_with(
        "rule wrong-case\n  when      oven-heat > 100 °C and not smoke\n  advise    turn-down\n  urgency   note\n  if open   ask
  finding   F.\n  advice    A.\n  because   B.\n  source    trade\n  holds     oven-heat 90 °C, smoke no
  fails     oven-heat 110 °C, smoke no\n  asks      smoke yes  wants flour\n  asks      smoke no  wants flour
\nderive wrong-sum\n  is        loaves * 2\n  source    trade\n  gives     5 from loaves 2\n",
    );
    let failed: Vec<String> = book
        .run_cases()
        .failed
        .iter()
        .map(ToString::to_string)
        .collect();
    insta::with_settings!({ omit_expression => true }, {
        insta::assert_snapshot!("failing-cases", failed.join("\n"));
    });
}
