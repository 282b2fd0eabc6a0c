//! Many journals through the program, one a line.
#![cfg(not(target_arch = "wasm32"))]

mod support;

use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Child, Command, Stdio};
use std::thread;

use lentic::advice;
use lentic::journal::Journal;
use serde_json::Value;
use support::{book, day, journal_text, project};

const ON: &str = "2026-09-25";

fn start(arguments: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_lentic"))
        .args(["batch", "--on", ON])
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts")
}

/// Answers and summary.
#[track_caller]
fn batch(arguments: &[&str], input: &[u8]) -> (Vec<String>, String) {
    let mut child = start(arguments);
    let mut pipe = child.stdin.take().expect("a pipe");
    let input = input.to_vec();
    let writer = thread::spawn(move || pipe.write_all(&input));
    let output = child.wait_with_output().expect("the program ends");
    // A program that refuses its arguments reads no input.
    let _ = writer.join().expect("the writer ends");
    let text = |bytes| String::from_utf8(bytes).expect("readable text");
    let (out, err) = (text(output.stdout), text(output.stderr));
    assert_eq!(output.status.code(), Some(0), "{err}");
    (out.lines().map(str::to_owned).collect(), err)
}

/// Every story journal on one line.
fn stories() -> Vec<String> {
    let folder = project("tests/journals");
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .expect("the folder of stories")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| name.starts_with("story-"))
        .collect();
    names.sort();
    let flat = |name: &String| {
        let whole: Value =
            serde_json::from_str(&journal_text(name.trim_end_matches(".json"))).expect("a journal");
        whole.to_string()
    };
    names.iter().map(flat).collect()
}

#[test]
fn each_line_is_answered_in_order_with_what_the_library_says() {
    let stories = stories();
    let (book, on) = (book(), day(ON));
    let expected: Vec<Value> = stories
        .iter()
        .map(|text| {
            let journal = Journal::from_json(text).expect("a good journal");
            match advice::advise(book, &journal, on) {
                Ok(advice) => serde_json::to_value(advice).expect("an answer is data"),
                Err(mistakes) => serde_json::to_value(mistakes).expect("so are mistakes"),
            }
        })
        .collect();
    for cores in ["1", "2", "7"] {
        let (lines, summary) = batch(&["--cores", cores], stories.join("\n").as_bytes());
        assert_eq!(lines.len(), stories.len());
        for ((line, expected), story) in lines.iter().zip(&expected).zip(&stories) {
            let mut found: Value = serde_json::from_str(line).expect("a line of JSON");
            if found["format"] == "lentic-mistakes/1" {
                found = found["mistakes"].take();
            }
            assert!(same(&found, expected), "{cores}: {story}");
        }
        assert!(
            summary.contains(&format!("{} lines", stories.len())),
            "{summary}"
        );
    }
}

/// Equal, with 2 and 2.0 the same number.
fn same(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => a.as_f64() == b.as_f64(),
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|((k, a), (l, b))| k == l && same(a, b))
        }
        (a, b) => a == b,
    }
}

#[test]
fn a_bad_line_is_answered_by_its_mistakes_and_the_others_as_ever() {
    let good = &stories()[0];
    let long = format!("{{\"format\": \"{}\"}}", "x".repeat(8_000_001));
    let mut input: Vec<u8> = Vec::new();
    let bad: [&[u8]; 10] = [
        b"",
        b"   ",
        b"{",
        b"[]",
        b"nothing",
        b"\xff\xfe",
        b"{\"format\": \"lentic-journal/9\"}",
        b"{\"format\": \"lentic-journal/1\", \"events\": [{\"on\": \"2026-02-30\", \"kind\": \"test\"}]}",
        long.as_bytes(),
        &[b'['; 100_000],
    ];
    for line in bad {
        input.extend(line);
        input.extend(b"\r\n");
        input.extend(good.as_bytes());
        input.push(b'\n');
    }
    let (lines, summary) = batch(&["--cores", "3"], &input);
    assert_eq!(lines.len(), 2 * bad.len());
    for (index, pair) in lines.chunks(2).enumerate() {
        let answer: Value = serde_json::from_str(&pair[0]).expect("a line of JSON");
        assert_eq!(answer["format"], "lentic-mistakes/1", "{}", pair[0]);
        assert_eq!(answer["line"], 2 * index + 1);
        let mistakes = answer["mistakes"].as_array().expect("a list");
        assert!(
            !mistakes.is_empty() && mistakes[0]["message"] != "",
            "{}",
            pair[0]
        );
        assert_eq!(pair[1], lines[1], "the same journal, the same answer");
    }
    assert!(
        summary.starts_with("20 lines: 10 answered, 10 not."),
        "{summary}"
    );
}

#[test]
fn fields_keep_answers_small_and_a_field_that_is_none_is_told() {
    let (lines, summary) = batch(
        &[
            "--fields",
            "stage,advice.rule, book.edition",
            "--fields",
            "nonsense.here",
        ],
        stories().join("\n").as_bytes(),
    );
    let (whole, _) = batch(&[], stories().join("\n").as_bytes());
    for (line, whole) in lines.iter().zip(&whole) {
        let (part, whole): (Value, Value) = (
            serde_json::from_str(line).expect("JSON"),
            serde_json::from_str(whole).expect("JSON"),
        );
        let rules = |value: &Value| -> Vec<Value> {
            let advice = value["advice"].as_array().expect("a list");
            advice.iter().map(|point| point["rule"].clone()).collect()
        };
        assert_eq!(rules(&part), rules(&whole));
        assert_eq!(part["stage"], whole["stage"]);
        assert_eq!(
            part["book"],
            serde_json::json!({ "edition": whole["book"]["edition"] })
        );
        assert_eq!(part.as_object().map(serde_json::Map::len), Some(3));
    }
    assert!(
        summary.contains("No answer has a field `nonsense.here`."),
        "{summary}"
    );
    assert!(!summary.contains("`book.edition`"), "{summary}");
}

#[test]
fn a_run_that_was_broken_off_is_taken_up_at_any_line() {
    let input = stories().join("\n");
    let (whole, _) = batch(&[], input.as_bytes());
    for from in [1, 2, 17, whole.len(), whole.len() + 1] {
        let (rest, _) = batch(&["--from", &from.to_string()], input.as_bytes());
        assert_eq!(rest, whole[from - 1..], "{from}");
    }
}

#[test]
fn a_line_is_answered_before_the_next_one_comes() {
    let stories = stories();
    let mut child = start(&["--cores", "2", "--fields", "tank"]);
    let mut pipe = child.stdin.take().expect("a pipe");
    let mut answers = BufReader::new(child.stdout.take().expect("a pipe")).lines();
    for story in stories.iter().take(5) {
        writeln!(pipe, "{story}").expect("the program reads");
        let answer = answers.next().expect("an answer").expect("readable text");
        let name: Value = serde_json::from_str(story).expect("a journal");
        let tank: Value = serde_json::from_str(&answer).expect("a line of JSON");
        assert_eq!(tank["tank"], name["name"]);
    }
    drop(pipe);
    assert!(child.wait().expect("the program ends").success());
}

#[test]
fn a_reader_that_goes_away_ends_the_run() {
    let mut child = start(&[]);
    let mut pipe = child.stdin.take().expect("a pipe");
    let stories = stories();
    let writer = thread::spawn(move || {
        // Until nobody reads any more.
        while stories
            .iter()
            .all(|story| writeln!(pipe, "{story}").is_ok())
        {}
    });
    let mut first = [0; 100];
    let mut out = child.stdout.take().expect("a pipe");
    out.read_exact(&mut first).expect("some answer");
    drop(out);
    assert!(child.wait().expect("the program ends").success());
    writer.join().expect("the writer ends");
}

#[test]
fn arguments_that_cannot_be_meant_are_refused() {
    for (arguments, message) in [
        (vec!["--from", "0"], "--from: `0` is no whole number from 1"),
        (
            vec!["--cores", "many"],
            "--cores: `many` is no whole number from 1",
        ),
        (vec!["journals.ndjson"], "it takes no `journals.ndjson`"),
    ] {
        let output = start(&arguments)
            .wait_with_output()
            .expect("the program ends");
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2));
        assert!(told.contains(message), "{told}");
    }
}
