//! What a check finds in books that are each wrong in one way, in a sound one and in the built-in one; each witness is
//! put into the book as a case and run.
#![cfg(not(target_arch = "wasm32"))]

mod support;

use std::fmt::Write;
use std::fs;
use std::path::PathBuf;

use lentic::engine::{
    Book, Facts, File, Finding, Given, Interval, Reading, Report, Scope, Set, Severity, Verdict,
    Witness,
};

fn folder() -> PathBuf {
    support::project("tests/books")
}

/// The sound book with more blocks behind it.
fn files(more: &str) -> Vec<File> {
    let sound = fs::read_to_string(folder().join("sound.rules")).unwrap();
    let mut files = vec![File::new("sound.rules", sound)];
    if !more.is_empty() {
        files.push(File::new("flaw.rules", more));
    }
    files
}

#[track_caller]
fn load(files: Vec<File>) -> Book {
    Book::load(files, &[]).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

#[track_caller]
fn checked(more: &str) -> Report {
    load(files(more)).check(&Scope::default())
}

/// Every file of `tests/books` whose name starts so, with its text.
fn flaws(start: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter_map(|path| {
            let name = path.file_stem()?.to_str()?.to_owned();
            if !path.is_file() || !name.starts_with(start) {
                return None;
            }
            let text = fs::read_to_string(&path).unwrap();
            Some((name, text))
        })
        .collect();
    found.sort();
    found
}

fn told(finding: &Finding) -> String {
    let mut text = format!("{} ({})\n", finding.kind, support::name(&finding.severity));
    let _ = writeln!(text, "{}", finding.place);
    for case in finding.witness.iter().flat_map(|witness| &witness.cases) {
        let _ = writeln!(text, "in {}: {}", case.block, case.line);
    }
    text
}

/// Puts the cases of a witness into their blocks and runs them. `given` lines would be taken as well, as in a book.
#[track_caller]
fn witness_comes_out(
    mut files: Vec<File>,
    witness: &Witness,
    functions: &[lentic::engine::Function],
) {
    for case in &witness.cases {
        let heading = |line: &str| line.split_whitespace().eq(case.block.split_whitespace());
        let line = if case.line.starts_with("asks ") {
            continue;
        } else {
            format!("  {}", case.line)
        };
        let file = files.iter_mut().find(|file| file.text.lines().any(heading));
        let file = file.unwrap_or_else(|| panic!("no block {}", case.block));
        let mut lines: Vec<&str> = file.text.lines().collect();
        let at = lines.iter().position(|text| heading(text)).unwrap();
        lines.insert(at + 1, &line);
        file.text = lines.join("\n");
    }
    let before = Book::load(files.clone(), functions);
    let book = before.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let lines: Vec<&str> = witness
        .cases
        .iter()
        .map(|case| case.line.as_str())
        .collect();
    for failed in book.run_cases().failed {
        assert!(
            !lines.iter().any(|line| failed.text.trim() == *line),
            "{failed}"
        );
    }
}

#[test]
fn a_sound_book_has_no_finding() {
    let book = load(files(""));
    let cases = book.run_cases();
    assert!(cases.failed.is_empty(), "{:#?}", cases.failed);
    let report = book.check(&Scope::default());
    assert!(report.findings.is_empty(), "{:#?}", report.findings);
    assert!(
        report.coverage.gaps.is_empty(),
        "{:#?}",
        report.coverage.gaps
    );
    assert!(
        report.mutation.survivors.is_empty(),
        "{:#?}",
        report.mutation.survivors
    );
    assert!(report.coverage.conditions > 10 && report.mutation.tried > 30);
}

#[test]
fn a_book_that_is_wrong_in_one_way_gets_that_one_finding() {
    let flaws: Vec<_> = flaws("flaw-")
        .into_iter()
        .filter(|(name, _)| !name.starts_with("flaw-cases-"))
        .collect();
    assert!(flaws.len() > 25);
    for (name, text) in flaws {
        let report = checked(&text);
        let kind = name.trim_start_matches("flaw-");
        let told: Vec<String> = report.findings.iter().map(told).collect();
        assert_eq!(report.findings.len(), 1, "{name}:\n{}", told.join("\n"));
        assert!(
            kind.starts_with(report.findings[0].kind),
            "{name}: {}",
            told[0]
        );
        if let Some(witness) = &report.findings[0].witness {
            assert!(!witness.cases.is_empty(), "{name}");
            witness_comes_out(files(&text), witness, &[]);
        }
        insta::with_settings!({ omit_expression => true }, {
            insta::assert_snapshot!(name, told[0]);
        });
    }
}

#[test]
fn what_cases_do_not_show_is_named_with_a_case_that_would() {
    for (name, text) in flaws("flaw-cases-") {
        let report = checked(&text);
        assert!(report.findings.is_empty(), "{name}: {:#?}", report.findings);
        let mut told = String::new();
        for gap in &report.coverage.gaps {
            let _ = writeln!(told, "{}", gap.place);
            let proposed = gap
                .proposal
                .as_ref()
                .map(|proposal| proposal.facts.as_str());
            let _ = writeln!(told, "proposed: {}", proposed.unwrap_or("nothing"));
        }
        for survivor in &report.mutation.survivors {
            let _ = writeln!(told, "{}", survivor.place);
            let proposed = survivor
                .proposal
                .as_ref()
                .map(|proposal| proposal.facts.as_str());
            let _ = writeln!(told, "proposed: {}", proposed.unwrap_or("nothing"));
        }
        insta::with_settings!({ omit_expression => true }, {
            insta::assert_snapshot!(name, told);
        });
    }
}

#[test]
fn a_proposed_case_closes_the_gap() {
    for (name, mut text) in flaws("flaw-cases-") {
        let before = checked(&text);
        let proposals: Vec<_> = before.proposals().cloned().collect();
        assert!(!proposals.is_empty(), "{name}");
        for proposal in proposals {
            for expect in ["holds", "fails"] {
                let more = format!("{text}  {expect} {}\n", proposal.facts);
                if load(files(&more)).run_cases().failed.is_empty() {
                    text = more;
                    break;
                }
            }
        }
        let after = checked(&text);
        assert!(
            after.coverage.gaps.is_empty(),
            "{name}: {:#?}",
            after.coverage.gaps
        );
        assert!(
            after.mutation.survivors.is_empty(),
            "{name}: {:#?}",
            after.mutation.survivors
        );
    }
}

#[test]
fn what_the_budget_does_not_reach_is_undecided() {
    let text = fs::read_to_string(folder().join("flaw-never-holds-in-sums.rules")).unwrap();
    let report = load(files(&text)).check(&Scope {
        boxes: 1,
        ..Scope::default()
    });
    let undecided = report.count(Severity::Undecided);
    assert!(undecided > 0, "{:#?}", report.findings);
    assert_eq!(
        undecided,
        report.findings.len(),
        "nothing is called fine or wrong"
    );
    let told = &report
        .findings
        .iter()
        .find(|finding| finding.kind == "never-holds");
    let told = told
        .expect("the rule that never holds")
        .place
        .message
        .as_str();
    assert!(told.contains("undecided within the budget"), "{told}");
}

#[test]
fn what_the_host_reads_is_used() {
    let text = fs::read_to_string(folder().join("flaw-unused-fact.rules")).unwrap();
    let scope = Scope {
        read_by_host: &["light"],
        ..Scope::default()
    };
    assert!(load(files(&text)).check(&scope).findings.is_empty());
}

#[test]
fn a_circle_a_placeholder_and_a_missing_source_are_found_when_a_book_is_loaded() {
    for (book, word) in [
        (
            "derive a\n  unit °C\n  is b\nderive b\n  unit °C\n  is a\n",
            "rests on itself",
        ),
        (
            "rule r\n  when wind is calm\n  advise note\n  urgency note\n  if open silent\n  finding {wind-speed}.\n  \
             advice a\n  because b\n  source trade\n  holds wind calm\n  fails wind storm\n",
            "unknown fact `wind-speed`",
        ),
        (
            "rule r\n  when wind is calm\n  advise note\n  urgency note\n  if open silent\n  finding a\n  advice a\n  \
             because b\n  holds wind calm\n  fails wind storm\n",
            "no source",
        ),
    ] {
        let mistakes = Book::load(files(book), &[]).expect_err(word).to_string();
        assert!(mistakes.contains(word), "{mistakes}");
    }
}

#[test]
fn a_report_is_data() {
    let text = fs::read_to_string(folder().join("flaw-clash.rules")).unwrap();
    let report = serde_json::to_value(checked(&text)).unwrap();
    assert_eq!(report["findings"][0]["kind"], "clash");
    assert_eq!(report["findings"][0]["severity"], "mistake");
    assert!(report["findings"][0]["witness"]["cases"][0]["line"].is_string());
}

#[test]
fn the_built_in_book_is_proved_and_its_cases_show_all_of_it() {
    let report = support::book().check(&Scope {
        read_by_host: &lentic::advice::names_read(),
        ..Scope::default()
    });
    let serious = |finding: &&Finding| finding.severity != Severity::Warning;
    let serious: Vec<String> = report.findings.iter().filter(serious).map(told).collect();
    assert!(serious.is_empty(), "{}", serious.join("\n"));
    let coverage = &report.coverage;
    assert!(coverage.gaps.is_empty(), "{:#?}", coverage.gaps);
    assert_eq!(coverage.conditions_shown, coverage.conditions);
    assert_eq!(coverage.thresholds_shown, coverage.thresholds);
    assert!(
        report.mutation.score() >= 0.95,
        "{:#?}",
        report.mutation.survivors
    );
    let files = lentic::advice::BUILT_IN
        .iter()
        .map(|(name, text)| File::new(*name, *text));
    let files: Vec<File> = files.collect();
    for witness in report
        .findings
        .iter()
        .filter_map(|finding| finding.witness.as_ref())
    {
        witness_comes_out(files.clone(), witness, lentic::advice::FUNCTIONS);
    }
}

#[test]
fn every_snapshot_has_its_book() {
    let names: Vec<String> = flaws("flaw-").into_iter().map(|(name, _)| name).collect();
    for entry in fs::read_dir(support::project("tests/snapshots")).unwrap() {
        let file = entry.unwrap().file_name().into_string().unwrap();
        let name = file.strip_suffix(".snap");
        if let Some(name) = name.and_then(|name| name.strip_prefix("check__")) {
            assert!(
                names.iter().any(|known| known == name),
                "{name} has no book"
            );
        }
    }
}

/// Numbers that are the same on every run (xorshift64).
struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 32) as usize % count
    }
}

#[test]
fn nothing_that_some_readings_show_is_said_never_to_hold() {
    const RULES: usize = 150;
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let condition = |dice: &mut Dice| {
        let (word, days) = (
            ["highest", "lowest"][dice.below(2)],
            [2, 5, 9][dice.below(3)],
        );
        let (relation, level) = (["<", ">"][dice.below(2)], [1, 3, 6][dice.below(3)]);
        match dice.below(5) {
            0 => format!("salt {relation} {level} g/L"),
            1 => format!(
                "change of salt over {days} days {relation} {} g/L",
                level - 3
            ),
            2 => {
                ["salt reads zero", "salt reads zero on the last 2 readings"][dice.below(2)].into()
            }
            3 => ["salt reads present", "age of salt >= 3 days"][dice.below(2)].into(),
            _ => format!("{word} salt over {days} days {relation} {level} g/L"),
        }
    };
    let mut text = String::new();
    for rule in 0..RULES {
        let lines: Vec<String> = (0..2 + dice.below(2))
            .map(|_| condition(&mut dice))
            .collect();
        let _ = writeln!(
            text,
            "action a{rule}\n  label A\n\nrule r{rule}\n  when {}\n  advise a{rule}\n  urgency note\n  if open silent\n  finding f\n  advice a\n  \
             because b\n  source trade\n  holds salt 1 g/L\n  fails salt 2 g/L\n",
            lines.join("\n  and ")
        );
    }
    let book = load(files(&text));
    let report = book.check(&Scope {
        boxes: 200,
        ..Scope::default()
    });
    let never: Vec<String> = report
        .findings
        .iter()
        .filter(|finding| finding.kind == "never-holds" && finding.severity == Severity::Mistake)
        .map(|finding| finding.place.to_string())
        .collect();
    assert!(never.len() > 5, "some of these rules contradict themselves");
    let mut held = std::collections::BTreeSet::new();
    for _ in 0..4_000 {
        let facts = salted(&book, &mut dice);
        let run = book.evaluate(&facts);
        held.extend(
            (0..RULES).filter(|rule| run.rule(&format!("r{rule}")) == Some(Verdict::Holds)),
        );
    }
    assert!(held.len() > 50, "only {}", held.len());
    for rule in held {
        let name = format!("rule r{rule}\n");
        assert!(
            !never.iter().any(|told| told.contains(&name)),
            "r{rule} holds on some readings"
        );
    }
}

/// A history of exact readings of salt.
fn salted(book: &Book, dice: &mut Dice) -> Facts {
    const TODAY: f64 = 20_000.0;
    let mut facts = Facts::default();
    let day = Given::new(Set::Number(Interval::point(TODAY)));
    facts.give(book, "today", day);
    let mut age = dice.below(12) as f64;
    let mut readings: Vec<Reading> = Vec::new();
    for _ in 0..1 + dice.below(6) {
        let nominal = [0.0, 0.6, 1.0, 2.0, 3.5, 6.0, 8.0][dice.below(7)];
        readings.insert(
            0,
            Reading {
                day: TODAY - age,
                values: Interval::point(nominal),
                nominal,
                mark: Some(0.5),
                typed: String::new(),
            },
        );
        age += (1 + dice.below(4)) as f64;
    }
    let latest = readings
        .last()
        .map_or(Interval::EVERYTHING, |reading| reading.values);
    let mut salt = Given::new(Set::Number(latest));
    salt.readings = readings;
    facts.give(book, "salt", salt);
    facts
}
