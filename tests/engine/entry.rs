//! Values as a person types them.

use lentic::engine::{Interval, Set, Verdict::*};

use super::{Known, oven};

fn values(name: &str, text: &str) -> Interval {
    let entered = oven()
        .enter(name, text)
        .unwrap_or_else(|message| panic!("{message}"));
    assert_eq!(entered.question, None, "{name} {text}");
    match entered.set {
        Set::Number(values) => values,
        set => panic!("{set:?} is no number"),
    }
}

#[track_caller]
fn is(name: &str, text: &str, low: f64, high: f64) {
    let found = values(name, text);
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs().max(1.0);
    assert!(
        near(found.lo, low) && near(found.hi, high),
        "{name} {text}: {found:?}"
    );
}

#[track_caller]
fn refused(name: &str, text: &str) -> String {
    oven().enter(name, text).expect_err(text)
}

#[track_caller]
fn question(name: &str, text: &str) -> (Set, String) {
    let entered = oven().enter(name, text).unwrap();
    (
        entered.set,
        entered
            .question
            .unwrap_or_else(|| panic!("`{text}` is not questioned")),
    )
}

#[test]
fn numbers_are_read_with_their_unit() {
    is("flour", "2 kg", 2.0, 2.0);
    is("flour", "2500 g", 2.5, 2.5);
    is("flour", "2sack", 50.0, 50.0);
    is("flour", "2,5 kg", 2.5, 2.5);
    is("flour", "0,125 kg", 0.125, 0.125);
    is("flour", "2.000 kg", 2.0, 2.0);
    is("dough-heat", "78.8 °F", 26.0, 26.0);
    is("oven-heat", "-0,125 °C", -5.125, 4.875);
    is("loaves", "12", 12.0, 12.0);
    is("dough-ph", "4.5", 4.4, 4.6);
    is("dough-ph", "4.5 pH", 4.4, 4.6);
}

#[test]
fn spans_and_bounds_are_read() {
    is("flour", "1 to 2 kg", 1.0, 2.0);
    is("flour", "2 to 1 kg", 1.0, 2.0);
    is("dough-heat", "0 to 100 °C", 0.0, 50.0);
    is("flour", "< 3 kg", 0.1, 3.0);
    is("flour", "> 3 kg", 3.0, 500.0);
    assert!(
        values("flour", "< 3 kg").hi < 3.0,
        "the end does not belong to it"
    );
    assert!(values("flour", "> 3 kg").lo > 3.0);
    let below = Known::new(oven())
        .give("hours-risen", "< 4 h")
        .give("proof-time", "4 h");
    assert_eq!(below.rule("bake-now"), Fails);
    let above = Known::new(oven()).read("oven-heat", 0.0, "> 320 °C");
    assert_eq!(above.rule("oven-far-too-hot"), Holds);
}

#[test]
fn a_test_that_reads_zero_means_below_its_first_mark() {
    let zero = values("salt", "0 g/kg Na");
    assert!(
        zero.lo == 0.0 && zero.hi < 0.1 && zero.hi > 0.099,
        "{zero:?}"
    );
    is("salt", "1 g/kg Na", 0.9, 1.1);
    is("salt", "0.05 g/kg Na", 0.05, 0.055);
    assert_eq!(
        oven().enter("salt", "0").unwrap().question,
        None,
        "zero is zero in every unit"
    );
}

#[test]
fn a_reading_in_another_unit_equals_the_threshold_in_that_unit() {
    let exact = |text: &str| {
        let nominal = oven().enter("salt", text).unwrap().nominal.unwrap();
        Known::new(oven()).set("salt", Set::Number(Interval::point(nominal)))
    };
    assert_eq!(
        exact("10 g/kg NaCl").rule("too-salty"),
        Fails,
        "equal is not above"
    );
    assert_eq!(exact("10.000001 g/kg NaCl").rule("too-salty"), Holds);
    let heat = oven()
        .enter("oven-heat", "608 °F")
        .unwrap()
        .nominal
        .unwrap();
    let heat = Known::new(oven()).set("oven-heat", Set::Number(Interval::point(heat)));
    assert_eq!(heat.rule("oven-far-too-hot"), Fails);
}

#[test]
fn a_unit_that_leaves_open_what_is_counted_is_questioned() {
    let (set, text) = question("salt", "5 g/kg");
    assert!(text.contains("g/kg Na or g/kg NaCl"), "{text}");
    let Set::Number(all) = set else { panic!() };
    assert!(
        all.lo < 5.0 * 0.393371 && all.hi > 5.0,
        "either reading is within: {all:?}"
    );
    let (_, text) = question("water", "2 cups");
    assert!(text.contains("US cup or metric cup"), "{text}");
    let (_, text) = question("flour", "3");
    assert!(
        text.contains("kg or sack?"),
        "three grams are not plausible: {text}"
    );
    let (set, text) = question("salt", "100 g/kg");
    assert!(text.contains("meant in g/kg NaCl"), "{text}");
    let Set::Number(values) = set else { panic!() };
    assert!(
        (values.hi - 43.27081).abs() < 1e-6,
        "39.3371 and a tenth more"
    );
}

#[test]
fn what_lies_outside_the_range_is_questioned_and_left_out() {
    for (name, text) in [
        ("dough-heat", "300 °C"),
        ("flour", "600 kg"),
        ("dough-ph", "75"),
        ("flour", "< 0.1 kg"),
        ("flour", "> 500 kg"),
        ("flour", "600 to 700 kg"),
        ("loaves", "-3"),
    ] {
        let (set, message) = question(name, text);
        assert!(message.contains("is outside"), "{name} {text}: {message}");
        let whole = Known::new(oven()).run().values(name).unwrap();
        assert_eq!(set, whole, "nothing is concluded from it");
    }
}

#[test]
fn what_cannot_be_read_is_refused_in_words() {
    let says = |name: &str, text: &str, words: &str| {
        let message = refused(name, text);
        assert!(message.contains(words), "{name} `{text}`: {message}");
    };
    says("flour", "1,500 g", "may mean a thousand or a decimal comma");
    says("flour", "12,345.6 g", "is not a number");
    says("flour", "a lot", "is not a number with its unit");
    says("loaves", "some", "is not a number; write it in digits");
    says("flour", "", "nothing is written");
    says("flour", "3 kgg", "did you mean `kg`?");
    says("flour", "3 °C", "is not counted in °C; use kg, g, sack");
    says("flour", "1e5 kg", "is no unit");
    says("flour", "nan kg", "is not a number");
    says("flour", "9999999999999 kg", "is not a number");
    says("loaves", "3 kg", "a plain number is wanted");
    says("flour-kind", "barley", "one of: wheat, rye, spelt");
    says("flour-kind", "speld", "did you mean `spelt`?");
    says("tools", "peel and shovel", "`shovel` is no option of tools");
    says("smoke", "maybe", "neither `yes` nor `no`");
    says("lit-on", "2026-02-30", "no day `2026-02-30`");
    says("lit-on", "3 May", "is not a date");
    says("bread", "3", "unknown fact `bread`");
}

#[test]
fn options_and_truths_are_read() {
    let set = |name: &str, text: &str| oven().enter(name, text).unwrap().set;
    assert_eq!(set("flour-kind", "rye"), Set::Choice(0b010));
    assert_eq!(set("flour-kind", "rye or spelt"), Set::Choice(0b110));
    assert_eq!(set("flour-kind", "unknown"), Set::Choice(0b111));
    assert_eq!(
        set("tools", "stone and steam"),
        Set::Several {
            surely: 0b101,
            maybe: 0b101
        }
    );
    assert_eq!(
        set("tools", "none"),
        Set::Several {
            surely: 0,
            maybe: 0
        }
    );
    assert_eq!(set("smoke", "yes"), Set::truth(true));
    assert_eq!(set("smoke", "off"), Set::truth(false));
}
