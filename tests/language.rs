//! A book in another language: the German one whole and telling the same, and words that are wrong.
#![cfg(not(target_arch = "wasm32"))]

#[allow(dead_code)] // Only the names and days of the stories are used here.
#[path = "advice/later_stories.rs"]
mod later_stories;
#[allow(dead_code)]
#[path = "advice/stories.rs"]
mod stories;
mod support;

use std::collections::BTreeSet;
use std::fs;
use std::sync::OnceLock;

use later_stories::LATER;
use lentic::advice::{self, Advice, BUILT_IN, LANGUAGES};
use lentic::engine::{Book, Facts, File, Given, Lent, Mistakes, Translation};
use serde_json::Value;
use stories::STORIES;
use support::{advise, day, journal, journal_text, page, project};

fn words() -> Vec<File> {
    lentic::words_of("de").expect("German comes with the library")
}

/// The built-in book in German, read once.
fn german() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| {
        advice::in_words(&words(), Vec::new()).unwrap_or_else(|mistakes| panic!("{mistakes}"))
    })
}

/// What the German book says of a story.
#[track_caller]
fn in_german(file: &str, on: &str) -> Advice {
    let journal = journal(&journal_text(&format!("story-{file}")));
    let advice = advice::advise(german(), &journal, day(on));
    advice.unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

#[test]
fn german_says_the_whole_book() {
    let translation = advice::translation(&words()).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let missing: Vec<String> = translation
        .missing
        .iter()
        .map(ToString::to_string)
        .collect();
    assert!(missing.is_empty(), "{}", missing.join("\n"));
    assert!(translation.said > 2_000, "only {}", translation.said);
    assert_eq!(
        (&*translation.language, &*translation.title),
        ("de", "Deutsch")
    );
}

#[test]
fn what_a_source_says_of_itself_beside_its_name_is_said_in_german() {
    let facts = Facts::default();
    let source = |book: &Book| {
        let run = book.evaluate(&facts);
        let (_, point, _) = run.rule_point("fed-start-overfed").expect("a rule");
        point.sources[0].words.clone()
    };
    assert!(source(support::book()).ends_with("which others contest"));
    assert!(source(german()).ends_with(
        "Water Pollution Control Federation 48, 835; wie andernorts zitiert: 0,1 bis 1 mg/L freies Ammoniak, was andere bestreiten"
    ));
}

#[test]
fn labels_keep_their_capitals_where_the_book_says_so() {
    assert!(german().keeps_capitals() && !support::book().keeps_capitals());
}

#[test]
fn the_words_are_what_lies_in_the_folder_a_file_for_each_chapter() {
    for language in LANGUAGES {
        let folder = fs::read_dir(project("rules").join(language.tag)).expect("a folder");
        let names = folder.map(|entry| entry.expect("an entry").file_name());
        let lying: BTreeSet<String> = names.map(|name| name.into_string().unwrap()).collect();
        let base = |name: &str| name.rsplit('/').next().unwrap().to_owned();
        let built_in: BTreeSet<String> =
            language.words.iter().map(|(name, _)| base(name)).collect();
        assert_eq!(built_in, lying);
        let chapters = BUILT_IN
            .iter()
            .map(|(name, _)| base(name).replace(".rules", ".words"));
        let expected: BTreeSet<String> = chapters
            .chain(["phrases", "formulas", "telling"].map(|stem| format!("{stem}.words")))
            .collect();
        assert_eq!(lying, expected);
    }
}

#[test]
fn the_german_book_passes_all_its_cases() {
    let report = german().run_cases();
    let failed: Vec<String> = report.failed.iter().map(ToString::to_string).collect();
    assert!(failed.is_empty(), "{}", failed.join("\n"));
    assert_eq!(report.run, support::book().run_cases().run);
}

/// Fields of an answer that hold words; all others tell the same in every language.
const WORDS: [&str; 16] = [
    "finding",
    "say",
    "because",
    "label",
    "action_label",
    "ask",
    "chapter",
    "title",
    "text",
    "words",
    "place",
    "formula",
    "stage",
    "digest",
    "language",
    "working",
];

/// The figures of a text, however its language marks decimals.
fn figures(text: &str) -> Vec<String> {
    let digits = |character: char| !character.is_ascii_digit() && character != '.';
    let plain = text.replace(',', ".");
    let figures = plain.split(digits).map(|figure| figure.trim_matches('.'));
    figures
        .filter(|figure| !figure.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Holds a German answer against the English one, field by field.
fn same(at: &str, english: &Value, german: &Value) {
    match (english, german) {
        (Value::Object(ours), Value::Object(theirs)) => {
            assert!(ours.keys().eq(theirs.keys()), "{at}: other fields");
            for (key, value) in ours {
                let at = format!("{at}.{key}");
                match (&**key, value, &theirs[key]) {
                    ("shown" | "threshold", Value::String(ours), Value::String(theirs)) => {
                        assert_eq!(figures(ours), figures(theirs), "{at}: {ours} / {theirs}");
                    }
                    (key, Value::String(ours), Value::String(theirs)) if WORDS.contains(&key) => {
                        assert_eq!(
                            ours.is_empty(),
                            theirs.is_empty(),
                            "{at}: {ours} / {theirs}"
                        );
                    }
                    ("working", Value::Array(ours), Value::Array(theirs)) => {
                        assert_eq!(ours.len(), theirs.len(), "{at}");
                    }
                    (_, ours, theirs) => same(&at, ours, theirs),
                }
            }
        }
        (Value::Array(ours), Value::Array(theirs)) => {
            assert_eq!(ours.len(), theirs.len(), "{at}: as many");
            let pairs = ours.iter().zip(theirs).enumerate();
            pairs.for_each(|(index, (ours, theirs))| same(&format!("{at}[{index}]"), ours, theirs));
        }
        _ => assert_eq!(english, german, "{at}"),
    }
}

#[test]
fn german_answers_tell_what_the_english_ones_do() {
    for story in STORIES.iter().chain(LATER) {
        let journal = journal(&journal_text(&format!("story-{}", story.file)));
        let english = serde_json::to_value(advise(&journal, story.on)).unwrap();
        let german = serde_json::to_value(in_german(story.file, story.on)).unwrap();
        same(story.file, &english, &german);
    }
}

#[test]
fn a_german_answer_says_so_and_by_which_book() {
    let answer = in_german("dark-start", "2026-09-25");
    assert_eq!(answer.book.language, "de");
    assert_eq!(answer.book.digest, german().digest());
    let english = advise(&journal(&journal_text("story-dark-start")), "2026-09-25");
    assert_eq!(english.book.language, "en-GB");
    assert_ne!(english.book.digest, answer.book.digest);
    assert_eq!(english.book.name, answer.book.name);
    assert_eq!(english.book.edition, answer.book.edition);
}

#[test]
fn german_answers_read_as_their_snapshots() {
    for (file, on) in [
        ("dark-start", "2026-09-25"),
        ("nitrite-and-shrimp", "2026-07-03"),
    ] {
        insta::with_settings!({ omit_expression => true }, {
            insta::assert_snapshot!(file, page(&in_german(file, on)));
        });
    }
}

/// Words that stand in nearly every English sentence and in no German one.
const ENGLISH: [&str; 12] = [
    " the ", " and ", " of ", " is ", " are ", " with ", " from ", " for ", " your ", " than ",
    " known", " days",
];

/// The texts of an answer that are sentences or labels; conditions and names are the book's in every language.
fn told(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Array(parts) => parts.iter().for_each(|part| told(part, found)),
        Value::Object(fields) => {
            for (key, value) in fields {
                let is_condition = key == "text" && fields.contains_key("verdict");
                let is_told = WORDS.contains(&&**key) || ["shown", "threshold"].contains(&&**key);
                let is_name = ["words", "digest"].contains(&&**key);
                match value {
                    Value::String(text) if is_told && !is_condition && !is_name => {
                        found.push(format!(" {text} "));
                    }
                    value => told(value, found),
                }
            }
        }
        _ => {}
    }
}

#[test]
fn no_english_is_left_in_a_german_answer() {
    let (mut texts, mut seen) = (BTreeSet::new(), Vec::new());
    for story in STORIES.iter().chain(LATER) {
        let answer = in_german(story.file, story.on);
        told(&serde_json::to_value(answer).unwrap(), &mut seen);
        texts.extend(std::mem::take(&mut seen));
    }
    let english = |text: &&String| ENGLISH.iter().any(|word| text.contains(word));
    let left: Vec<&String> = texts.iter().filter(english).collect();
    assert!(left.is_empty(), "{left:#?}");
    assert!(texts.len() > 500, "only {}", texts.len());
}

#[test]
fn forecast_plan_and_comparison_are_told_in_german() {
    let journal = journal(&journal_text("course-dark"));
    let (book, on) = (german(), day("2026-03-05"));
    let forecast = advice::forecast(book, &journal, on).unwrap_or_else(|m| panic!("{m:#?}"));
    let plan = advice::plan(book, &journal, on).unwrap_or_else(|m| panic!("{m:#?}"));
    let prices = advice::Prices::default();
    let compared =
        advice::compare(book, &journal, on, &prices).unwrap_or_else(|m| panic!("{m:#?}"));
    let mut texts = vec![
        advice::picture(book, &forecast),
        advice::calendar(book, &plan),
    ];
    told(&serde_json::to_value(&forecast).unwrap(), &mut texts);
    told(&serde_json::to_value(&plan).unwrap(), &mut texts);
    told(&serde_json::to_value(&compared).unwrap(), &mut texts);
    let english = |text: &&String| ENGLISH.iter().any(|word| text.contains(word));
    let left: Vec<&String> = texts.iter().filter(english).collect();
    assert!(left.is_empty(), "{left:#?}");
    assert!(forecast.say.contains("wahrscheinlich"), "{}", forecast.say);
}

#[test]
fn every_event_and_every_amount_is_named_in_german() {
    for form in advice::event_forms(german()) {
        let english = advice::event_forms(support::book());
        let own = english.iter().find(|own| own.name == form.name).unwrap();
        assert_ne!(own.meaning, form.meaning, "{}", form.name);
    }
    for (own, told) in support::book().functions().iter().zip(german().functions()) {
        assert_eq!(own.name, told.name);
        assert_ne!(own.group, told.group, "{}", own.name);
        for (own, told) in own.arguments.iter().zip(&told.arguments) {
            assert_eq!((&own.name, &own.units), (&told.name, &told.units));
            assert_eq!(own.how.is_empty(), told.how.is_empty(), "{}", own.name);
        }
    }
}

#[test]
fn every_german_sentence_is_short() {
    let translation = advice::translation(&words()).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let book = advice::load(translation.files).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let mut seen = 0;
    for entry in book.entries() {
        for field in &entry.fields {
            let text = match &*field.keyword {
                "finding" | "advice" | "because" | "text" | "ask" | "how" | "about" => &*field.text,
                "means" if entry.keyword == "term" => &*field.text,
                "needs" | "bars" | "overrules" => field.text.split_once("because").unwrap().1,
                _ => continue,
            };
            for sentence in text.split_inclusive(['.', '?', '!', ';', ':']) {
                let words = sentence.split_whitespace().count();
                let place = format!("{} {}: {}", entry.keyword, entry.name, field.keyword);
                assert!(words <= 25, "{place}: {words} words: {sentence}");
                seen += 1;
            }
        }
    }
    assert!(seen > 2_000, "only {seen} sentences");
}

/// A book in other words, with nothing lent to it.
fn translated_alone(files: &[File], words: &[File]) -> Result<Translation, Mistakes> {
    lentic::engine::translated(files, words, Lent::default())
}

fn file(name: &str) -> File {
    let text = fs::read_to_string(project("tests/books").join(name)).expect("a file of the folder");
    File::new(name.rsplit('/').next().unwrap(), text)
}

#[test]
fn what_is_unsaid_stays_as_it_is_and_is_listed() {
    let files = [file("greenhouse.rules")];
    let translation = translated_alone(&files, &[file("words/greenhouse.words")]);
    let translation = translation.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let missing: Vec<&str> = translation
        .missing
        .iter()
        .map(|m| m.message.as_str())
        .collect();
    assert!(
        missing.contains(&"`rule bed-dry because` is not said in Deutsch"),
        "{missing:#?}"
    );
    assert!(missing.contains(&"`phrase no says` is not said in Deutsch"));
    assert!(
        !missing
            .iter()
            .any(|message| message.contains("bed-dry finding"))
    );
    let book = Book::load(translation.files, &[]).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    assert_eq!((book.language(), book.title()), ("de", "Das Gewächshaus"));
    assert!(book.run_cases().failed.is_empty());

    let mut facts = Facts::default();
    for (name, typed) in [("moisture", "20,5 to 24 %"), ("bed-volume", "7 L")] {
        let entered = book.enter(name, typed).expect("a value");
        facts.give(&book, name, Given::typed(entered.set, typed));
    }
    let run = book.evaluate(&facts);
    let answer = run.answer();
    let point = answer.advice.iter().find(|point| point.rule == "bed-dry");
    let point = point.expect("the bed is dry");
    assert_eq!(point.action_label, "Gießen");
    assert_eq!(point.finding, "Die Erde im Beet hat nur noch 21 bis 24 %.");
    assert_eq!(point.say, "Gieße 0,5 bis 0,6 L an die Wurzeln.");
    assert_eq!(point.because, "Roots dry out.");
    let amount = run.fact("can-to-pour").expect("a fact of the book");
    assert_eq!(
        amount.formula.as_deref(),
        Some("(Trockenheit × bed volume) ÷ 10")
    );
    assert_eq!(
        run.gates()[0].needs[0].because,
        "im Winter das Licht zu kurz ist"
    );
}

#[test]
fn what_took_several_lines_keeps_all_else_in_its_place() {
    let files = [file("greenhouse.rules")];
    let text =
        "language de\n  title Deutsch\n\nrule bed-dry\n  finding Das Beet\n    hat {moisture}.\n";
    let translation = translated_alone(&files, &[File::new("some.words", text)]);
    let translation = translation.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let (ours, theirs) = (&files[0].text, &translation.files[0].text);
    let line = |text: &str, wanted: &str| text.lines().position(|line| line == wanted);
    assert!(line(ours, "rule bed-wet").is_some());
    assert_eq!(line(ours, "rule bed-wet"), line(theirs, "rule bed-wet"));
}

#[test]
fn wrong_words_are_told_with_their_place() {
    for (name, book) in [
        ("names", "greenhouse.rules"),
        ("values", "greenhouse.rules"),
        ("twice", "greenhouse.rules"),
        ("language", "greenhouse.rules"),
        ("list", "words/list.rules"),
    ] {
        let words = file(&format!("words/wrong-{name}.words"));
        let mistakes =
            translated_alone(&[file(book)], &[words]).expect_err("these words are wrong");
        insta::with_settings!({ omit_expression => true }, {
            insta::assert_snapshot!(format!("wrong-{name}"), mistakes.to_string());
        });
    }
}

#[test]
fn the_texts_of_a_list_are_said_and_its_names_are_kept() {
    let files = [file("words/list.rules")];
    let translation = translated_alone(&files, &[file("words/list.words")]);
    let translation = translation.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let book = Book::load(translation.files, &[]).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    assert!(book.run_cases().failed.is_empty());
    let told = |option: &str| {
        let listing = book.listing("sort", option).expect("a row of the list");
        let cells = listing.cells.iter();
        let cells: Vec<String> = cells
            .map(|cell| format!("{}: {}", cell.label, cell.shown))
            .collect();
        (listing.label, cells)
    };
    let (label, cells) = told("bean");
    assert_eq!(label, "Bohne");
    assert_eq!(
        cells,
        [
            "Wissenschaftlicher Name: Phaseolus vulgaris",
            "Zeit der Saat: früh oder zu spät",
            "Days until it comes up: 9,5 Tage",
            "Wants a warm bed: ja",
            "Bemerkungen: rankt",
        ]
    );
    assert_eq!(
        book.listing("sort", "bean").unwrap().sources[0].place,
        "auf der Tüte"
    );
    assert_eq!(book.label("sort-when"), "Zeit der Saat (Was gesät wird)");
}

/// Arguments of a function in the middle of the interval in which it is valid, and each option of its choices.
fn arguments(function: &lentic::engine::FunctionInfo) -> Vec<Vec<(String, String)>> {
    let most = function
        .arguments
        .iter()
        .map(|argument| argument.options.len());
    let rounds = most.max().unwrap_or(0).max(3);
    let typed = |round: usize| {
        let values = function.arguments.iter().enumerate().map(|(at, argument)| {
            let value = match argument.options.get(round % argument.options.len().max(1)) {
                Some(option) if argument.is_choice => option.name.clone(),
                _ => {
                    let (low, high) = (argument.low.max(0.0), argument.high.min(400.0));
                    // The first arguments are the larger or the smaller ones in turn.
                    let share = if (round + at).is_multiple_of(2) {
                        0.7
                    } else {
                        0.3
                    };
                    let unit = argument.units.first().map_or("", String::as_str);
                    format!("{:.2} {unit}", low + share * (high - low))
                }
            };
            (argument.name.clone(), value.trim().to_owned())
        });
        values.collect()
    };
    (0..rounds).map(typed).collect()
}

#[test]
fn formulas_are_worked_in_german() {
    let (mut left, mut lines, mut done) = (BTreeSet::new(), 0, 0);
    for function in german().functions() {
        for values in arguments(&function) {
            let Ok(reckoned) = german().reckon(&function.name, &values) else {
                continue;
            };
            done += 1;
            let told = reckoned.working.iter().chain(&reckoned.also);
            for line in told.chain([&reckoned.formula, &reckoned.label]) {
                lines += 1;
                let padded = format!(" {line} ");
                let words = [
                    "adds", "counted", "less", "holds", "rounded", "degrees", "what", "not", "at",
                    "were",
                ];
                let mut words = words.iter().map(|word| format!(" {word} "));
                if ENGLISH.iter().any(|word| padded.contains(word))
                    || words.any(|word| padded.contains(&word))
                {
                    left.insert(format!("{}: {line}", function.name));
                }
            }
        }
    }
    assert!(left.is_empty(), "{left:#?}");
    assert!(lines > 300 && done > 120, "{lines} lines of {done} amounts");
}
