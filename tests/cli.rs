//! The program `lentic` as it is called.
#![cfg(not(target_arch = "wasm32"))]

mod support;

use std::io::Write;
use std::process::{Command, Stdio};

use lentic::advice;
use serde::Serialize;
use serde_json::Value;
use support::{book, day, journal, journal_text, project};

/// What one call came to.
struct Called {
    out: String,
    err: String,
    code: i32,
}

/// Calls the program in the folder of the story journals, with `input` on standard input.
#[track_caller]
fn call_with(arguments: &[&str], input: &str) -> Called {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lentic"))
        .args(arguments)
        .current_dir(project("tests/journals"))
        .env("CLICOLOR_FORCE", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // A program that fails early does not read its input to the end.
    let _ = child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(input.as_bytes());
    let output = child.wait_with_output().expect("the program ends");
    let text = |bytes| String::from_utf8(bytes).expect("readable text");
    Called {
        out: text(output.stdout),
        err: text(output.stderr),
        code: output.status.code().expect("no signal"),
    }
}

#[track_caller]
fn call(arguments: &[&str]) -> Called {
    call_with(arguments, "")
}

const DARK: &str = "story-dark-start.json";

/// Output that is good to read: not coloured, no wider than a terminal, nothing on the side.
#[track_caller]
fn good(arguments: &[&str], code: i32) -> String {
    let called = call(arguments);
    assert_eq!(
        (called.code, called.err.as_str()),
        (code, ""),
        "{arguments:?}"
    );
    assert!(
        !called.out.contains('\u{1b}'),
        "{arguments:?}: coloured, though nobody looks on"
    );
    for line in called.out.lines() {
        let width = line.chars().count();
        // What is quoted from a book, and what can be pasted into one, stays on its line.
        let quoted = line.starts_with("  | ") || line.starts_with("  = ");
        assert!(
            width <= 80 || quoted,
            "{arguments:?}: {width} columns: {line}"
        );
        assert_eq!(line, line.trim_end(), "{arguments:?}: spaces at the end");
    }
    assert!(
        called.out.ends_with('\n') && !called.out.is_empty(),
        "{arguments:?}"
    );
    called.out
}

/// A call that cannot be answered: one helpful sentence on the side, and nothing else.
#[track_caller]
fn wrong(arguments: &[&str], help: &[&str]) {
    let called = call(arguments);
    assert_eq!(
        (called.code, called.out.as_str()),
        (2, ""),
        "{arguments:?}: {}",
        called.err
    );
    for words in help {
        assert!(
            called.err.contains(words),
            "{arguments:?} does not say `{words}`: {}",
            called.err
        );
    }
    for word in ["Error", "Err(", "panicked", "unwrap", "Utf8", "src/"] {
        assert!(!called.err.contains(word), "{arguments:?}: {}", called.err);
    }
}

fn snapshot(name: &str, text: &str) {
    // The digest of the book changes with every word of it.
    let (book, tank) = (book(), journal(&journal_text("story-empty")));
    let digest = advice::advise(book, &tank, day("2026-10-01"))
        .expect("readable")
        .book
        .digest;
    let text = text.replace(&digest[..12], "DIGEST");
    insta::with_settings!({ omit_expression => true }, { insta::assert_snapshot!(name, text) });
}

#[test]
fn what_fits_can_be_read_in_a_terminal() {
    let shrimp = "story-nitrite-and-shrimp.json";
    let wanted = "fighting-fish, ember-tetra x 5, java-fern";
    let asked = ["fit", shrimp, "--on", "2026-07-03", "--with", wanted];
    snapshot("fit", &good(&asked, 1));
    // What is not in the tank clashes with nothing.
    good(&["fit", "story-empty.json", "--on", "2026-10-01"], 0);
    let with = |wish| ["fit", shrimp, "--on", "2026-07-03", "--with", wish];
    wrong(
        &with("ember-tetr x 5"),
        &["with[0]", "ember-tetr", "did you mean `ember-tetra`?"],
    );
    wrong(&with("ember-tetra x many"), &["many", "neon-tetra x 10"]);
}

#[test]
fn advice_can_be_read_in_a_terminal() {
    let text = good(&["advise", DARK, "--on", "2026-09-25"], 0);
    snapshot("advise", &text);
    snapshot(
        "advise-danger",
        &good(
            &[
                "advise",
                "story-ammonia-hard-water.json",
                "--on",
                "2026-09-14",
            ],
            1,
        ),
    );
}

#[test]
fn a_gate_can_be_read_in_a_terminal() {
    snapshot("may", &good(&["may", DARK, "--on", "2026-09-15"], 0));
    snapshot(
        "may-plant",
        &good(&["may", DARK, "plant", "--on", "2026-09-15"], 0),
    );
}

#[test]
fn a_reason_can_be_read_in_a_terminal() {
    snapshot(
        "why-rule",
        &good(
            &[
                "why",
                "story-ammonia-hard-water.json",
                "free-ammonia-burns",
                "--on",
                "2026-09-14",
            ],
            0,
        ),
    );
    snapshot(
        "why-fact",
        &good(
            &[
                "why",
                "story-ammonia-hard-water.json",
                "free-ammonia",
                "--on",
                "2026-09-14",
            ],
            0,
        ),
    );
}

#[test]
fn an_amount_can_be_read_in_a_terminal() {
    let dose = [
        "reckon",
        "ammonium-chloride-for",
        "wanted-rise=2 mg/L N",
        "water=50 L",
    ];
    let text = good(&dose, 0);
    // Atomic weights of IUPAC: 53.49 g of ammonium chloride hold 14.007 g of nitrogen.
    let grams = 2.0 * 50.0 * 53.49 / 14.007 / 1000.0;
    assert!(text.contains(&format!("{grams:.3} g")), "{text}");
    snapshot("reckon", &text);
    let list = good(&["reckon"], 0);
    for name in book().reckonable() {
        assert!(list.contains(name), "{name} is not listed");
    }
}

#[test]
fn an_amount_takes_choices_and_ranges_and_tells_what_comes_with_it() {
    let text = good(
        &[
            "reckon",
            "raise-nitrate",
            "wanted-rise=10 mg/L NO3",
            "water=60 L",
            "salt=calcium-nitrate",
        ],
        0,
    );
    snapshot("reckon-salt", &text);
    let text = good(
        &[
            "reckon",
            "co2-from-ph-drop",
            "drop-of-ph=1",
            "air=room",
            "temperature=25 °C",
        ],
        0,
    );
    snapshot("reckon-co2", &text);
    let list = good(&["reckon"], 0);
    for words in [
        "Salts and fertiliser",
        "form=(crystals | anhydrous)",
        "air=(number | outdoors | room | closed)",
    ] {
        let unwrapped = list.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(unwrapped.contains(words), "{words}");
    }
    let outside = good(&["reckon", "oxygen-saturation", "temperature=45 °C"], 0);
    assert!(
        outside.contains("Note: temperature is outside 0 to 40 °C"),
        "{outside}"
    );
}

#[test]
fn an_amount_of_nonsense_names_what_and_what_to_do() {
    wrong(
        &[
            "reckon",
            "raise-kh",
            "wanted-rise=-1 °dH",
            "water=60 ml of water",
            "salt=chalk",
        ],
        &[
            "wanted-rise: `-1 °dH` is not possible here",
            "water: `ml of water` is no unit of water; use L, mL, US gal, UK gal",
            "salt: `chalk` is no option here; choose one of sodium-bicarbonate, potassium-bicarbonate",
        ],
    );
    wrong(
        &["reckon", "oxygen-saturation", "temperature=78 °C"],
        &["it must be -2 to 50 °C", "is the unit right"],
    );
}

#[test]
fn a_check_of_the_book_can_be_read_in_a_terminal() {
    let text = good(&["check"], 0);
    assert!(text.replace('\n', " ").contains("0 failed"), "{text}");
    let folder = project("rules");
    let same = good(&["check", folder.to_str().expect("a plain path")], 0);
    // Places name the file as it was given, so only what is counted is the same.
    let summary = |text: &str| text.rsplit("\n\n").next().map(str::to_owned);
    assert_eq!(
        summary(&text),
        summary(&same),
        "the built-in book and the folder it was built from"
    );
}

#[test]
fn every_story_fits_a_terminal_and_its_danger_is_told_by_the_exit_code() {
    for entry in std::fs::read_dir(project("tests/journals")).expect("a folder") {
        let file = entry
            .expect("an entry")
            .file_name()
            .into_string()
            .expect("a plain name");
        if !file.starts_with("story-") {
            continue;
        }
        let tank = journal(&journal_text(file.trim_end_matches(".json")));
        let on = tank
            .events
            .last()
            .map_or("2026-10-01".into(), |event| event.on.to_string());
        let answer = advice::advise(book(), &tank, day(&on)).expect("readable");
        let danger = answer
            .advice
            .iter()
            .any(|point| support::name(&point.urgency) == "danger");
        let text = good(&["advise", &file, "--on", &on], i32::from(danger));
        for point in &answer.advice {
            assert!(
                text.contains(&format!("[{}]", point.rule)),
                "{file}: {} is not shown",
                point.rule
            );
        }
        good(&["may", &file, "--on", &on], 0);
    }
}

/// What the library says, as the program prints it.
fn printed<T: Serialize>(document: &T) -> Value {
    serde_json::to_value(document).expect("plain data")
}

#[test]
fn json_is_the_document_of_the_library() {
    let tank = journal(&journal_text("story-dark-start"));
    let on = day("2026-09-15");
    let out = |arguments: &[&str]| -> Value {
        let called = call(&[arguments, &["--json", "--on", "2026-09-15"]].concat());
        assert_eq!((called.code, called.err.as_str()), (0, ""), "{arguments:?}");
        serde_json::from_str(&called.out).unwrap_or_else(|error| panic!("{arguments:?}: {error}"))
    };
    let advised = advice::advise(book(), &tank, on).expect("readable");
    assert_eq!(out(&["advise", DARK]), printed(&advised));
    assert_eq!(out(&["may", DARK]), printed(&advised.gates));
    let gate: Vec<_> = advised
        .gates
        .iter()
        .filter(|gate| gate.gate == "plant")
        .collect();
    assert_eq!(out(&["may", DARK, "plant"]), printed(&gate));
    for name in ["early-zeros", "plant", "nitrate-rise"] {
        let why = advice::why(book(), &tank, on, name)
            .expect("readable")
            .expect("known");
        assert_eq!(out(&["why", DARK, name]), printed(&why), "{name}");
    }
    let values = [("total-ammonia".to_owned(), "4 mg/L N".to_owned())];
    let reckoned = book().reckon("kh-used-by", &values).expect("reckoned");
    assert_eq!(
        out(&["reckon", "kh-used-by", "total-ammonia=4 mg/L N"]),
        printed(&reckoned)
    );
}

#[test]
fn a_journal_can_come_from_standard_input() {
    let piped = call_with(
        &["advise", "-", "--on", "2026-09-25"],
        &journal_text("story-dark-start"),
    );
    let named = call(&["advise", DARK, "--on", "2026-09-25"]);
    assert_eq!((piped.code, piped.err.as_str()), (0, ""));
    let but_for_the_name = |text: &str| {
        text.replace(DARK, "-")
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert_eq!(but_for_the_name(&piped.out), but_for_the_name(&named.out));
}

#[test]
fn the_program_tells_what_it_can_do() {
    let help = good(&["--help"], 0);
    for verb in ["advise", "why", "may", "check", "reckon"] {
        assert!(help.contains(&format!("lentic {verb}")), "{verb}");
    }
    assert_eq!(good(&[], 0), help);
    assert_eq!(good(&["help"], 0), help);
    assert_eq!(
        good(&["--version"], 0),
        concat!("lentic ", env!("CARGO_PKG_VERSION"), "\n")
    );
}

#[test]
fn what_cannot_be_found_is_named() {
    wrong(
        &["advise", "nowhere.json"],
        &["nowhere.json", "No such file"],
    );
    wrong(&["advise"], &["name a journal file", "standard input"]);
    wrong(&["advise", DARK, "--book", "nowhere"], &["nowhere"]);
    wrong(&["check", "../snapshots"], &["no .rules file"]);
}

#[test]
fn a_wrong_date_is_explained() {
    wrong(
        &["advise", DARK, "--on", "25.9.2026"],
        &["--on", "year-month-day"],
    );
    wrong(&["advise", DARK, "--on", "2026-02-30"], &["--on"]);
    wrong(&["advise", DARK, "--on"], &["--on", "lentic --help"]);
}

#[test]
fn a_misspelt_name_brings_the_nearest_one_or_a_list() {
    wrong(&["advice", DARK], &["lentic knows no `advice`", "--help"]);
    wrong(&["advise", DARK, "--jason"], &["--jason", "lentic --help"]);
    wrong(
        &["why", DARK, "dark-start-don"],
        &[
            "the book has no `dark-start-don`",
            "did you mean `dark-start-done`?",
        ],
    );
    wrong(&["why", DARK], &["name a rule"]);
    wrong(
        &["may", DARK, "add-fishes"],
        &["there is no gate `add-fishes`", "add-fish"],
    );
    wrong(&["reckon", "kh-used"], &["nothing called `kh-used`"]);
    wrong(
        &["reckon", "kh-used-by", "total-amonia=4 mg/L N"],
        &[
            "total-amonia",
            "did you mean `total-ammonia`?",
            "`total-ammonia` is missing",
        ],
    );
    wrong(&["reckon", "kh-used-by", "4 mg/L N"], &["name=value"]);
    wrong(&["reckon", "kh-used-by", "total-ammonia=4 kg"], &["kg"]);
}

#[test]
fn every_mistake_of_a_journal_is_told_at_once() {
    let called = call(&["advise", "wrong-entries-facts.json", "--on", "2026-11-01"]);
    assert_eq!((called.code, called.out.as_str()), (2, ""));
    assert!(
        called
            .err
            .starts_with("wrong-entries-facts.json: 19 mistakes"),
        "{}",
        called.err
    );
    assert_eq!(called.err.lines().count(), 20, "{}", called.err);
    wrong(
        &["advise", "wrong-comma.json"],
        &["wrong-comma.json: one mistake"],
    );
    let piped = call_with(&["advise", "-"], "this is no journal");
    assert_eq!((piped.code, piped.out.as_str()), (2, ""), "{}", piped.err);
}

/// What stands between two marks, wherever both stand on one line.
fn between<'a>(text: &'a str, open: &'a str, close: char) -> impl Iterator<Item = &'a str> {
    text.split(open)
        .skip(1)
        .map(move |rest| rest.split(close).next().unwrap_or(rest))
}

#[test]
fn the_book_is_printed_as_a_page_in_which_every_link_leads_somewhere() {
    let book = book();
    for (arguments, link, close) in [
        (vec!["book"], "href=\"", '"'),
        (vec!["book", "--markdown"], "](", ')'),
    ] {
        let page = good_whatever_its_width(&arguments);
        let ids: std::collections::BTreeSet<&str> = between(&page, "id=\"", '"').collect();
        let links: Vec<&str> = between(&page, link, close).collect();
        assert!(links.len() > 1000, "{arguments:?}: {}", links.len());
        for to in links {
            let id = to.strip_prefix('#');
            assert!(id.is_some_and(|id| ids.contains(id)), "{arguments:?}: {to}");
        }
        for rule in book.rules() {
            assert!(
                ids.contains(format!("rule-{}", rule.rule).as_str()),
                "{}",
                rule.rule
            );
        }
        for term in book.terms() {
            assert!(page.contains(&term.means), "{}", term.name);
        }
    }
}

#[test]
fn a_book_with_words_that_look_like_markup_is_printed_as_it_is_written() {
    let folder = project("tests/books/greenhouse.rules");
    let text = std::fs::read_to_string(folder).expect("a book");
    let hostile = text.replacen(
        "  title  ",
        "  title  <script>alert(1)</script> & *more* ",
        1,
    );
    assert_ne!(text, hostile);
    let file = std::env::temp_dir().join(format!("lentic-book-{}.rules", std::process::id()));
    std::fs::write(&file, hostile).expect("a folder to write to");
    let path = file.to_string_lossy().into_owned();
    let (html, markdown) = (call(&["book", &path]), call(&["book", "--markdown", &path]));
    std::fs::remove_file(&file).expect("the file is still there");
    assert_eq!((html.code, markdown.code), (0, 0), "{}", html.err);
    assert!(!html.out.contains("<script") && html.out.contains("&lt;script&gt;alert(1)"));
    assert!(
        markdown
            .out
            .contains("\\<script\\>alert(1)\\</script\\> & \\*more\\*")
    );
}

/// Output of a call that goes well, of lines of any length.
#[track_caller]
fn good_whatever_its_width(arguments: &[&str]) -> String {
    let called = call(arguments);
    assert_eq!((called.code, called.err.as_str()), (0, ""), "{arguments:?}");
    called.out
}

#[test]
fn it_answers_in_german() {
    let on = ["--on", "2026-09-25", "--language", "de"];
    let called = |verb: &[&str]| good(&[verb, &on[..]].concat(), 0);
    let advice = called(&["advise", DARK]);
    for words in [
        "Einfahren",
        "   Warum: ",
        "Beruht auf:",
        "Zurückgestellt",
        "Mehr zu einem Punkt",
    ] {
        assert!(advice.contains(words), "{words}\n{advice}");
    }
    assert!(called(&["may", DARK, "plant"]).contains("Darf ich bepflanzen? Ja."));
    assert!(called(&["why", DARK, "dark-start-done"]).contains("sie gilt"));
    assert!(called(&["next", DARK]).contains("Gewicht"));
    let compared = called(&["compare", DARK, "water-litre=0.01"]);
    let numbers =
        |line: &&str| line.contains("Kosten") && line.contains(" bis ") && line.contains(',');
    assert!(compared.lines().any(|line| numbers(&line)), "{compared}");
    let called = call(&[
        "advise",
        DARK,
        "--json",
        "--on",
        "2026-09-25",
        "--language",
        "de",
    ]);
    let answer: Value = serde_json::from_str(&called.out).expect("JSON");
    assert_eq!(answer["book"]["language"], "de");
}

#[test]
fn a_language_may_lie_in_a_folder_and_one_that_is_nowhere_is_refused() {
    let folder = project("rules/de");
    let folder = folder.to_str().expect("a plain path");
    let may = |language| {
        let asked = ["may", DARK, "plant", "--on", "2026-09-25", "--language"];
        good(&[&asked[..], &[language]].concat(), 0)
    };
    assert_eq!(may(folder), may("de"));
    let english = may("en");
    assert!(english.contains("May I plant? Yes."), "{english}");
    let wrong = call(&["may", DARK, "plant", "--language", "volapük"]);
    assert_eq!(wrong.code, 2);
    assert!(
        wrong.err.contains("the book is not in `volapük`"),
        "{}",
        wrong.err
    );
}

#[test]
fn the_german_book_is_printed_and_checked() {
    let page = good_whatever_its_width(&["book", "--markdown", "--language", "de"]);
    assert!(page.contains("Bepflanzen"), "the titles of chapters");
    let words = project("tests/books/words");
    let greenhouse = project("tests/books/greenhouse.rules");
    let (words, greenhouse) = (words.to_str().unwrap(), greenhouse.to_str().unwrap());
    // The folder holds words of other books, so that there is something to tell.
    let wrong = call(&["check", greenhouse, "--language", words]);
    assert_eq!(wrong.code, 2);
    assert!(
        wrong
            .err
            .contains("wrong-names.words:4:6: unknown rule `bed-drye`"),
        "{}",
        wrong.err
    );
}
