//! What a check finds in books that are each wrong in one way, in a sound one and in the built-in one; each witness is
//! put into the book as a case and run.
#![cfg(not(target_arch = "wasm32"))]

mod support;

use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

use lentic::engine::{Book, File, Finding, Report, Scope, Severity, Witness};

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
fn every_snapshot_has_its_book() {
    let names: Vec<String> = flaws("flaw-").into_iter().map(|(name, _)| name).collect();
    for entry in fs::read_dir(support::project("tests/snapshots")).unwrap() {
        let path = entry.unwrap().path();
        let stem = Path::new(&path)
            .file_stem()
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        if let Some(name) = stem.strip_prefix("check__") {
            assert!(
                names.iter().any(|known| known == name),
                "{name} has no book"
            );
        }
    }
}
