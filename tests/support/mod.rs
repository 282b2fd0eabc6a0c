//! What several test programs need: the built-in book, the journals, and an answer as a page to read.
#![allow(dead_code)] // Each test program uses only a part of this.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use lentic::advice::{self, Advice};
use lentic::engine::{AdvicePoint, Book, GateAnswer, NeedAnswer, Verdict};
use lentic::journal::{Date, Journal};
use serde::Serialize;

/// The built-in book, read once.
pub fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| advice::built_in().unwrap_or_else(|mistakes| panic!("{mistakes}")))
}

/// A day such as 2026-09-25.
#[track_caller]
pub fn day(text: &str) -> Date {
    Date::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// The folder of the project with `path` in it.
pub fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The text of a file of `tests/journals`.
#[track_caller]
pub fn journal_text(name: &str) -> String {
    let path = project("tests/journals").join(format!("{name}.json"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// A journal from its text.
#[track_caller]
pub fn journal(text: &str) -> Journal {
    Journal::from_json(text).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// What the built-in book says.
#[track_caller]
pub fn advise(journal: &Journal, on: &str) -> Advice {
    advice::advise(book(), journal, day(on)).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// The name by which a value is written in JSON, such as `not-yet`.
pub fn name<T: Serialize>(value: &T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(name)) => name,
        other => panic!("not a name: {other:?}"),
    }
}

/// An answer as a page that a person can read: all that a keeper is told, without the evidence.
pub fn page(advice: &Advice) -> String {
    let mut page = format!(
        "{}, {}: {}\n",
        if advice.tank.is_empty() {
            "This tank"
        } else {
            &advice.tank
        },
        advice.date,
        advice.stage
    );
    let mut section = |title: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            write!(page, "\n{title}\n{}\n", lines.join("\n")).expect("a text takes all");
        }
    };
    let asked = advice.questions.iter();
    section(
        "ASKED ABOUT",
        asked
            .map(|q| format!("  {}: {}", q.place, q.text))
            .collect(),
    );
    section("ADVICE", advice.advice.iter().map(point).collect());
    section(
        "SET ASIDE",
        advice
            .set_aside
            .iter()
            .map(|aside| {
                let by: Vec<String> = aside
                    .beaten_by
                    .iter()
                    .map(|b| format!("    by {}: {}", b.rule, b.because))
                    .collect();
                format!(
                    "  {} [{}]\n{}",
                    aside.advice.action_label,
                    aside.advice.rule,
                    by.join("\n")
                )
            })
            .collect(),
    );
    section(
        "OPEN",
        advice
            .open
            .iter()
            .map(|open| {
                format!(
                    "  {} {} [{}] wants {}",
                    name(&open.urgency),
                    open.action_label,
                    open.rule,
                    open.wants.join(", ")
                )
            })
            .collect(),
    );
    section(
        "FIND OUT",
        advice
            .wanted
            .iter()
            .map(|want| {
                format!(
                    "  {} [{}]: {}",
                    want.ask,
                    want.fact,
                    want.settles.join(", ")
                )
            })
            .collect(),
    );
    section("MAY I", advice.gates.iter().map(gate).collect());
    let clashes = advice
        .clashes
        .iter()
        .map(|clash| format!("  {} and {}", clash.rule, clash.with));
    section("CLASHES", clashes.collect());
    if advice.later_entries > 0 {
        write!(page, "\nLATER ENTRIES {}\n", advice.later_entries).expect("a text takes all");
    }
    page
}

fn point(point: &AdvicePoint) -> String {
    let amount = point
        .amount
        .as_ref()
        .map(|amount| format!(", {}", amount.shown))
        .unwrap_or_default();
    let sure = if point.certain {
        ""
    } else {
        ", cannot be ruled out"
    };
    let mut text = format!(
        "  {} {}{amount}{sure} [{}]\n",
        name(&point.urgency),
        point.action_label,
        point.rule
    );
    for line in [&point.finding, &point.say, &point.because] {
        writeln!(text, "      {line}").expect("a text takes all");
    }
    for unless in &point.unless {
        writeln!(text, "      unless {}: {}", unless.rule, unless.because)
            .expect("a text takes all");
    }
    let cautions: Vec<&str> = point
        .cautions
        .iter()
        .map(|caution| caution.id.as_str())
        .collect();
    if !cautions.is_empty() {
        writeln!(text, "      cautions: {}", cautions.join(", ")).expect("a text takes all");
    }
    text.trim_end().to_owned()
}

fn gate(gate: &GateAnswer) -> String {
    let unmet = gate.needs.iter().filter(|need| need.met != Verdict::Holds);
    let lines: Vec<String> = unmet.map(need).collect();
    [format!("  {}: {}", gate.gate, name(&gate.verdict))]
        .into_iter()
        .chain(lines)
        .collect::<Vec<_>>()
        .join("\n")
}

fn need(need: &NeedAnswer) -> String {
    let met = if need.met == Verdict::Open {
        "open"
    } else {
        "unmet"
    };
    let wants = if need.evidence.wants.is_empty() {
        String::new()
    } else {
        format!(", wants {}", need.evidence.wants.join(", "))
    };
    let on = need
        .met_on
        .as_ref()
        .map(|on| format!(", by time on {on}"))
        .unwrap_or_default();
    format!("    {met}: {}{wants}{on}", need.evidence.text)
}
