//! Books that nobody would write: each ends in a message or in an answer.

use lentic::engine::{Book, Facts, File, Given, Interval, Set, limit};

use super::RISE;

/// A small book that the hostile part is added to.
const HEAD: &str = "book hostile
  title Hostile

unit day
  is base time

source trade
  title Common practice
  kind  common practice

action act

fact heat
  range 0 to 100

";

fn load(part: &str) -> Result<Book, Vec<String>> {
    let files = vec![File::new("hostile.rules", format!("{HEAD}{part}"))];
    Book::load(files, &[RISE]).map_err(|mistakes| {
        assert!(mistakes.0.len() <= limit::MISTAKES);
        mistakes
            .0
            .iter()
            .map(|mistake| mistake.message.clone())
            .collect()
    })
}

/// The first message about a hostile part; the messages as a whole must stay short.
#[track_caller]
fn refused(part: &str) -> String {
    let messages = load(part).expect_err("this is refused");
    let length: usize = messages.iter().map(String::len).sum();
    assert!(length < 200_000, "{length} characters of messages");
    messages[0].clone()
}

fn rule(name: &str, condition: &str) -> String {
    format!(
        "rule {name}\n  when {condition}\n  advise act\n  urgency note\n  if open ask\n  finding F.\n  advice A.\n  \
         because B.\n  source trade\n  holds heat 5\n  fails heat 0\n\n"
    )
}

fn derive(name: &str, formula: &str) -> String {
    format!("derive {name}\n  is {formula}\n  source trade\n\n")
}

fn with_heat(book: &Book, low: f64, high: f64) -> Facts {
    let mut facts = Facts::default();
    let interval = Interval { lo: low, hi: high };
    assert!(facts.give(book, "heat", Given::new(Set::Number(interval))));
    facts
}

#[test]
fn parentheses_without_end_are_refused() {
    let deep = format!("{}heat > 1{}", "(".repeat(10_000), ")".repeat(10_000));
    assert!(refused(&rule("deep", &deep)).contains("longer than 4000 characters"));
    let lines: String = (0..100)
        .map(|_| format!("\n    {}", "( ".repeat(100)))
        .collect();
    assert!(refused(&rule("deep", &lines)).contains("more than 500 words and signs"));
    let nested = format!("{}heat > 1{}", "(".repeat(65), ")".repeat(65));
    assert!(refused(&rule("deep", &nested)).contains("more than 64 parts"));
    let negated = format!("{}heat > 1", "not ".repeat(300));
    assert!(refused(&rule("deep", &negated)).contains("more than 64 parts"));
    let minus = format!("heat > {}1", "- ".repeat(300));
    assert!(refused(&rule("deep", &minus)).contains("more than 64 parts"));
}

#[test]
fn what_is_allowed_to_nest_can_be_run() {
    let nested = format!("{}heat > 1{}", "not (".repeat(31), ")".repeat(31));
    let sum = vec!["heat"; 240].join(" + ");
    let least = format!("{}heat{}", "least(heat, ".repeat(60), ")".repeat(60));
    let text = [
        rule("nested", &nested),
        rule("long", &format!("{sum} > 1")),
        rule("calls", &format!("{least} > 1")),
    ];
    let book = load(&text.concat()).unwrap();
    let facts = with_heat(&book, 5.0, 5.0);
    let run = book.evaluate(&facts);
    assert_eq!(run.answer().advice.len(), 2, "an odd number of `not` fails");
    assert!(run.rule_point("calls").is_some());
}

#[test]
fn a_book_of_a_hundred_thousand_blocks_is_refused() {
    let rules: String = (0..100_000)
        .map(|n| format!("rule r-{n}\n  when heat > {n}\n"))
        .collect();
    assert_eq!(refused(&rules), "more than 10000 blocks in one book");
    let nonsense: String = (0..9_000)
        .map(|n| format!("nonsense-{n} x\n  y z\n"))
        .collect();
    assert!(refused(&nonsense).starts_with("unknown block"));
}

#[test]
fn a_book_of_nine_megabytes_is_refused() {
    let note = "# nothing but notes, line after line after line\n".repeat(190_000);
    assert!(note.len() > 9_000_000);
    assert!(refused(&note).starts_with("this book is larger than"));
}

#[test]
fn thousands_of_mistakes_end_at_the_limit() {
    let facts: String = (0..1_500)
        .map(|n| format!("fact f-{n}\n  range 0 to 1\n"))
        .collect();
    let rules: String = (0..1_500)
        .map(|n| rule(&format!("r-{n}"), &format!("g-{n} > 1")))
        .collect();
    let found = load(&(facts + &rules)).unwrap_err();
    assert_eq!(found.len(), limit::MISTAKES);
}

#[test]
fn a_chain_of_twenty_thousand_facts_is_refused() {
    let chain = |links: usize| -> String {
        let link = |n: usize| match n {
            0 => derive("f-0", "heat + 1"),
            n => derive(&format!("f-{n}"), &format!("f-{} + 1", n - 1)),
        };
        (0..links).map(link).collect()
    };
    assert_eq!(
        refused(&chain(20_000)),
        "more than 10000 blocks in one book"
    );
    let found = load(&chain(5_000)).unwrap_err();
    assert_eq!(
        found,
        ["`f-99` rests on a chain of more than 100 facts and conditions"]
    );
    let book = load(&chain(99)).unwrap();
    let facts = with_heat(&book, 1.0, 1.0);
    let worked = book.evaluate(&facts).fact("f-98").unwrap();
    assert_eq!(worked.low, Some(100.0));
}

#[test]
fn a_doubling_chain_gives_little_evidence() {
    let link = |n: usize| match n {
        0 => derive("f-0", "heat + heat"),
        n => derive(&format!("f-{n}"), &format!("f-{0} + f-{0}", n - 1)),
    };
    let facts: String = (0..60).map(link).collect();
    let book = load(&(facts + &rule("doubled", "f-59 > 1 and f-59 > f-58"))).unwrap();
    let facts = with_heat(&book, 1.0, 2.0);
    let run = book.evaluate(&facts);
    let answer = serde_json::to_string(&run.answer()).unwrap();
    assert!(answer.len() < 100_000, "{} bytes", answer.len());
    assert_eq!(run.fact("f-59").unwrap().low, Some(2f64.powi(60)));
}

#[test]
fn truths_that_double_give_little_evidence() {
    let link = |n: usize| {
        let is = match n {
            0 => "heat > 1 and not heat > 3".to_owned(),
            n => format!("f-{0} and not f-{0} or f-{0}", n - 1),
        };
        format!("derive f-{n}\n  kind truth\n  is {is}\n  source trade\n\n")
    };
    let facts: String = (0..24).map(link).collect();
    let book = load(&(facts + &rule("doubled", "f-23"))).unwrap();
    let facts = with_heat(&book, 2.0, 4.0);
    let answer = serde_json::to_string(&book.evaluate(&facts).answer()).unwrap();
    assert!(answer.len() < 100_000, "{} bytes", answer.len());
}

#[test]
fn a_field_without_end_is_refused() {
    let names: String = (0..200_000).map(|n| format!("\n      n-{n},")).collect();
    let part = format!("unit long\n  is base length\n  also x{names}\n");
    assert_eq!(refused(&part), "more than 100 lines in one field");
    let fields = "  row any  1\n".repeat(200_000);
    assert_eq!(
        refused(&format!("table t\n  source trade\n  by heat\n{fields}")),
        "more than 1000 fields in one block"
    );
}

#[test]
fn many_units_and_many_numbers_are_read() {
    let units: String = (0..2_000)
        .map(|n| format!("unit u{n}\n  is {n}.5 day\n  also v{n}, w{n}\n\n"))
        .collect();
    let sum = (0..200)
        .map(|n| format!("{n} w{n}"))
        .collect::<Vec<_>>()
        .join(" + ");
    let facts: String = (0..200)
        .map(|n| format!("derive f-{n}\n  unit day\n  is {sum}\n  source trade\n\n"))
        .collect();
    load(&(units + &facts)).unwrap();
}

#[test]
fn numbers_at_the_edge_stay_numbers() {
    let huge = vec!["999999999999999"; 100].join(" * ");
    let text = [
        derive("huge", &huge),
        derive("nothing", "heat / (heat - heat)"),
        derive("odd", "huge - huge * heat"),
        rule("huge-rule", "huge > 1 or odd > 1 or nothing > 1"),
    ];
    let book = load(&text.concat()).unwrap();
    let facts = with_heat(&book, 5.0, 5.0);
    let run = book.evaluate(&facts);
    assert!(
        serde_json::to_string(&run.answer())
            .unwrap()
            .contains("huge-rule")
    );
    for name in ["huge", "odd", "nothing"] {
        assert!(run.fact(name).is_some());
    }
}

#[test]
fn circles_of_thousands_are_told_in_one_line() {
    let facts: String = (0..3_000)
        .map(|n| derive(&format!("f-{n}"), &format!("f-{} + 1", (n + 1) % 3_000)))
        .collect();
    let messages = load(&facts).unwrap_err();
    assert_eq!(messages.len(), 1);
    assert!(
        messages[0].ends_with("and 2992 others, the last of which rests on `f-0`"),
        "{messages:?}"
    );
    let rules: String = (0..3_000)
        .map(|n| {
            rule(&format!("r-{n}"), "heat > 1").trim_end().to_owned()
                + &format!("\n  overrules r-{} because B\n\n", (n + 1) % 3_000)
        })
        .collect();
    let messages = load(&rules).unwrap_err();
    assert_eq!(messages.len(), 1);
    assert!(messages[0].len() < 400, "{messages:?}");
}

#[test]
fn thousands_of_rules_that_all_speak_are_answered() {
    let rules: String = (0..1_000)
        .map(|n| {
            rule(&format!("r-{n}"), "heat > 1").trim_end().to_owned()
                + &match n {
                    0 => "\n\n".to_owned(),
                    n => format!("\n  overrules r-{} because B\n\n", n - 1),
                }
        })
        .collect();
    let book = load(&rules).unwrap();
    let facts = with_heat(&book, 5.0, 5.0);
    let answer = book.evaluate(&facts).answer();
    assert_eq!(
        (answer.advice.len(), answer.set_aside.len()),
        (500, 500),
        "every second one is beaten"
    );
}
