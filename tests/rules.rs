//! Every rule of the built-in book, asked the same questions; and the verdicts of a table that was drawn up before it.
#![cfg(not(target_arch = "wasm32"))]

#[path = "rules/conflicts.rs"]
mod conflicts;
mod support;
#[path = "rules/table.rs"]
mod table;
#[path = "rules/told.rs"]
mod told;
#[path = "rules/told_running.rs"]
mod told_running;

use std::collections::BTreeMap;

use lentic::advice::{self, BUILT_IN};
use lentic::engine::{Book, File};
use support::book;

/// A block of a chapter: its keyword, its name, and its fields in order; a field that runs on is one text.
struct Block {
    keyword: &'static str,
    name: &'static str,
    fields: Vec<(&'static str, String)>,
}

impl Block {
    fn all(&self, field: &str) -> Vec<&str> {
        let named = self.fields.iter().filter(|(name, _)| *name == field);
        named.map(|(_, text)| text.as_str()).collect()
    }

    fn told(&self) -> String {
        format!("{} {}", self.keyword, self.name)
    }
}

/// The blocks of the whole book, read here once more without the loader.
fn blocks() -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    for (_, text) in BUILT_IN {
        for line in text
            .lines()
            .filter(|line| !line.trim().is_empty() && !line.starts_with('#'))
        {
            let (keyword, rest) = line.trim().split_once(' ').unwrap_or((line.trim(), ""));
            let depth = line.len() - line.trim_start().len();
            if depth == 0 {
                blocks.push(Block {
                    keyword,
                    name: rest.trim(),
                    fields: Vec::new(),
                });
                continue;
            }
            let fields = &mut blocks.last_mut().expect("a field stands in a block").fields;
            if depth == 2 {
                fields.push((keyword, rest.trim().to_owned()));
            } else {
                let (_, text) = fields
                    .last_mut()
                    .expect("a line that runs on follows a field");
                text.push(' ');
                text.push_str(line.trim());
            }
        }
    }
    blocks
}

fn of(keyword: &str) -> Vec<Block> {
    let mut blocks = blocks();
    blocks.retain(|block| block.keyword == keyword);
    assert!(!blocks.is_empty(), "no {keyword}");
    blocks
}

/// The built-in book as a reader's own would be read: `built_in` passes over its cases.
fn read_whole() -> Book {
    let files = BUILT_IN.iter().map(|(name, text)| File::new(*name, *text));
    advice::load(files.collect()).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

#[test]
fn the_built_in_book_is_the_same_whether_its_cases_are_looked_at_or_not() {
    let (known, whole) = (book(), read_whole());
    assert_eq!(known.digest(), whole.digest());
    let told = |book: &Book| serde_json::to_string(&book.rules()).expect("rules as JSON");
    assert_eq!(told(known), told(&whole));
    assert_eq!(known.run_cases().run, whole.run_cases().run);
}

#[test]
fn the_book_loads_and_every_case_comes_out() {
    // The loader refuses every name of a fact, option, action, unit or source that is not declared.
    let book = read_whole();
    let report = book.run_cases();
    let failed: Vec<String> = report.failed.iter().map(ToString::to_string).collect();
    assert!(failed.is_empty(), "{}", failed.join("\n"));
    assert!(report.run > 1000, "only {} cases", report.run);
    assert!(
        advice::missing_names(&book).is_empty(),
        "{:?}",
        advice::missing_names(&book)
    );
}

#[test]
fn the_reader_of_this_test_sees_the_rules_that_the_loader_sees() {
    let loaded: Vec<String> = book().rules().into_iter().map(|rule| rule.rule).collect();
    let read: Vec<&str> = of("rule").iter().map(|rule| rule.name).collect();
    assert_eq!(loaded, read);
}

#[test]
fn every_rule_says_what_it_found_what_to_do_why_and_by_whom_and_shows_both_sides() {
    for rule in of("rule") {
        for field in ["advise", "urgency", "if", "finding", "advice", "because"] {
            assert_eq!(rule.all(field).len(), 1, "{}: {field}", rule.told());
        }
        for field in ["when", "source", "holds", "fails", "asks"] {
            assert!(!rule.all(field).is_empty(), "{}: no {field}", rule.told());
        }
    }
    for gate in of("gate") {
        for field in ["ask", "needs", "source", "opens", "waits", "asks"] {
            assert!(!gate.all(field).is_empty(), "{}: no {field}", gate.told());
        }
    }
}

/// Texts for people, with the block that says them.
fn sentences() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for block in blocks() {
        for field in [
            "finding", "advice", "because", "text", "ask", "how", "about", "means",
        ] {
            // What a vague unit may mean is a list of units, no sentence.
            if field == "means" && block.keyword == "vague" {
                continue;
            }
            let texts = block.all(field).into_iter();
            found.extend(texts.map(|text| (format!("{}: {field}", block.told()), text.to_owned())));
        }
        for field in ["needs", "bars", "overrules"] {
            let reasons = block
                .all(field)
                .into_iter()
                .filter_map(|text| text.split_once("because"));
            found.extend(
                reasons.map(|(_, text)| {
                    (format!("{}: {field}", block.told()), text.trim().to_owned())
                }),
            );
        }
    }
    assert!(found.len() > 700, "only {}", found.len());
    found
}

#[test]
fn every_sentence_is_short() {
    for (place, text) in sentences() {
        // A stop before a figure, as in 0.5, ends no sentence.
        for sentence in text
            .split_inclusive(". ")
            .flat_map(|part| part.split_inclusive("? "))
        {
            let words = sentence.split_whitespace().count();
            assert!(words <= 25, "{place}: {words} words: {sentence}");
        }
    }
}

#[test]
fn one_piece_of_advice_is_read_in_twenty_seconds() {
    // 240 words a minute, as adults read plain English in silence: Brysbaert, Journal of Memory and Language 109,
    // 2019, gives 238 (from memory).
    const WORDS: usize = 80;
    for rule in of("rule") {
        let text = ["finding", "advice", "because"].map(|field| rule.all(field).join(" "));
        let words = text.join(" ").split_whitespace().count();
        assert!(words <= WORDS, "{}: {words} words", rule.told());
    }
}

/// Words of the trade that a beginner need not know, each by a form in which it is written.
const TECHNICAL: [&str; 41] = [
    "alkalinity",
    "amphibious",
    "biofilm",
    "bubble count",
    "carpet plant",
    "check valve",
    "chloramine",
    "chlorine",
    "conditioner",
    "crown",
    "cycle",
    "dark start",
    "diatoms",
    "drip loop",
    "drop checker",
    "emersed",
    "epiphyte",
    "fishless",
    "hardness",
    "hardscape",
    "inert",
    "in-vitro",
    "in vitro",
    "melt",
    "mulm",
    "net water",
    "nitrate",
    "nitrite",
    "planted start",
    "quarantine",
    "residual-current",
    "rhizome",
    "runner",
    "siphon",
    "tissue culture",
    "taper",
    "turnover",
    "un-ionised",
    "ammonia",
    "binder",
    "bacteria",
];

#[test]
fn every_technical_word_is_explained_and_every_word_that_is_explained_is_used() {
    let book = book();
    let said: String = sentences()
        .into_iter()
        .filter(|(place, _)| !place.starts_with("term "))
        .map(|(_, sentence)| sentence.to_lowercase() + "\n")
        .collect();
    let forms: Vec<Vec<String>> = book
        .terms()
        .into_iter()
        .map(|term| {
            let forms = std::iter::once(term.label).chain(term.also);
            forms.map(|form| form.to_lowercase()).collect()
        })
        .collect();
    for word in TECHNICAL {
        let is_said = said.contains(word);
        let known = forms
            .iter()
            .flatten()
            .any(|form| form.contains(word) || word.contains(form.as_str()));
        assert!(!is_said || known, "`{word}` is used and not explained");
    }
    let unsaid: Vec<&Vec<String>> = forms
        .iter()
        .filter(|forms| !forms.iter().any(|form| said.contains(form.as_str())))
        .collect();
    assert!(unsaid.is_empty(), "nothing says {unsaid:?}");
}

#[test]
fn no_sentence_shouts_or_talks_down() {
    const UNKIND: &[&str] = &[
        "obviously",
        "simply",
        "just",
        "clearly",
        "trivial",
        "of course",
        "foolish",
        "stupid",
        "lazy",
        "should have",
        "as everyone knows",
        "guarantee",
        "guaranteed",
        "100 % safe",
    ];
    for (place, text) in sentences() {
        assert!(!text.contains('!'), "{place}: {text}");
        let words: Vec<String> = text
            .split(|c: char| !c.is_alphanumeric() && c != '%')
            .map(str::to_lowercase)
            .collect();
        let padded = format!(" {} ", words.join(" "));
        for unkind in UNKIND {
            assert!(
                !padded.contains(&format!(" {unkind} ")),
                "{place}: `{unkind}` in: {text}"
            );
        }
        let shouted = text
            .split(|c: char| !c.is_alphabetic())
            .find(|word| word.len() > 4 && word.chars().all(char::is_uppercase));
        assert_eq!(shouted, None, "{place}: {text}");
    }
}

#[test]
fn every_danger_has_a_caution_or_is_about_animals() {
    let actions: BTreeMap<&str, bool> = of("action")
        .iter()
        .map(|action| (action.name, !action.all("caution").is_empty()))
        .collect();
    let about_animals = |text: &str| {
        [
            "animals",
            "shrimp",
            "fish",
            "invertebrates",
            "signs includes deaths",
        ]
        .iter()
        .any(|word| text.contains(word))
    };
    let mut dangers = 0;
    for rule in of("rule")
        .iter()
        .filter(|rule| rule.all("urgency") == ["danger"])
    {
        dangers += 1;
        let cautioned = !rule.all("caution").is_empty() || actions[rule.all("advise")[0]];
        let conditions = [rule.all("when"), rule.all("and")].concat();
        assert!(
            cautioned || conditions.iter().any(|text| about_animals(text)),
            "{}",
            rule.told()
        );
    }
    assert!(dangers >= 20, "only {dangers} dangers");
}

#[test]
fn advice_that_takes_hands_near_mains_or_gas_or_ammonia_has_its_caution() {
    let actions: BTreeMap<&str, Vec<String>> = of("action")
        .iter()
        .map(|action| {
            (
                action.name,
                action
                    .all("caution")
                    .iter()
                    .map(|id| (*id).to_owned())
                    .collect(),
            )
        })
        .collect();
    for (word, caution) in [
        ("heater", "mains"),
        ("socket", "mains"),
        ("the cylinder", "co2"),
        ("ammonium chloride", "ammonia"),
        ("electrician", "mains"),
    ] {
        for rule in of("rule")
            .iter()
            .filter(|rule| rule.all("advice")[0].contains(word))
        {
            let mut cautions: Vec<&str> = rule.all("caution");
            cautions.extend(actions[rule.all("advise")[0]].iter().map(String::as_str));
            assert!(
                cautions.iter().any(|id| id.starts_with(caution)),
                "{} names `{word}` and has {cautions:?}",
                rule.told()
            );
        }
    }
}
