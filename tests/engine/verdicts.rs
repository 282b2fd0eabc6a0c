//! What rules, facts and gates come to.

use lentic::engine::{GateVerdict, Set, Verdict::*};

use super::{Known, oven, oven_with};

#[test]
fn points_decide() {
    let known = Known::new(oven())
        .give("flour-kind", "rye")
        .give("loaf-mass", "1 kg");
    let at = |heat: f64| {
        let exact = Set::Number(lentic::engine::Interval::point(heat));
        Known {
            book: oven(),
            facts: known.facts.clone(),
        }
        .set("oven-heat", exact)
    };
    assert_eq!(at(230.1).rule("oven-too-hot"), Holds);
    assert_eq!(at(230.0).rule("oven-too-hot"), Fails);
    assert_eq!(at(320.1).rule("oven-far-too-hot"), Holds);
}

#[test]
fn a_threshold_inside_the_spread_stays_open_and_names_what_could_settle_it() {
    let book = oven();
    let near = Known::new(book)
        .give("flour-kind", "rye")
        .read("oven-heat", 0.0, "232 °C");
    assert_eq!(
        near.rule("oven-too-hot"),
        Open,
        "227 to 237 °C lies on both sides of 230 °C"
    );
    let answer = near.run().answer();
    let open = answer
        .open
        .iter()
        .find(|open| open.rule == "oven-too-hot")
        .unwrap();
    assert_eq!(open.wants, ["oven-heat"]);
    let far = Known::new(book)
        .give("flour-kind", "rye")
        .read("oven-heat", 0.0, "236 °C");
    assert_eq!(far.rule("oven-too-hot"), Holds, "231 °C at the least");
}

#[test]
fn what_nobody_gave_is_the_whole_range() {
    let known = Known::new(oven());
    assert_eq!(known.rule("oven-far-too-hot"), Open);
    assert_eq!(known.shown("oven-heat"), "not known");
    let run = known.run();
    let worked = run.fact("flour").unwrap();
    assert_eq!((worked.low, worked.high), (Some(0.1), Some(500.0)));
}

#[test]
fn no_reading_beyond_the_range_can_be_asked_for() {
    let book = oven_with(
        "rule never\n  when oven-heat > 450 °C\n  advise turn-down\n  urgency note\n  if open ask\n  finding F.\n  advice A.
  because B.\n  source trade\n  holds oven-heat 450 °C\n  fails oven-heat 1 °C\n",
    );
    assert_eq!(Known::new(&book).rule("never"), Fails);
}

#[test]
fn a_stale_reading_says_nothing() {
    let fresh = Known::new(oven()).read("oven-heat", 1.0, "330 °C");
    assert_eq!(fresh.rule("oven-far-too-hot"), Holds);
    let stale = Known::new(oven()).read("oven-heat", 2.0, "330 °C");
    assert_eq!(stale.rule("oven-far-too-hot"), Open);
    assert!(
        stale.shown("oven-heat").contains("last read 2026-05-01"),
        "{}",
        stale.shown("oven-heat")
    );
    let zeros = |days_ago: f64| {
        Known::new(oven())
            .read("salt", days_ago + 1.0, "0 g/kg Na")
            .read("salt", days_ago, "0 g/kg Na")
    };
    assert_eq!(zeros(3.0).rule("no-salt"), Holds);
    assert_eq!(
        zeros(4.0).rule("no-salt"),
        Open,
        "two old zeros do not speak of today"
    );
    let fell = |days_ago: f64| {
        Known::new(oven())
            .read("dough-ph", days_ago + 1.0, "5")
            .read("dough-ph", days_ago, "4.2")
    };
    assert_eq!(fell(1.0).rule("souring-fast"), Holds);
    assert_eq!(
        fell(3.0).rule("souring-fast"),
        Fails,
        "its age is known, and too great"
    );
}

#[test]
fn series_words_read_the_readings() {
    let book = oven_with(
        "derive top\n  unit °C\n  is highest oven-heat over 2 days\n  source trade\n
derive bottom\n  unit °C\n  is lowest oven-heat over 2 days\n  source trade\n
derive moved\n  unit K\n  is change of oven-heat over 2 days\n  source trade\n
derive old\n  unit day\n  is age of oven-heat\n  source trade\n
derive empty\n  kind truth\n  is salt reads zero\n  source trade\n
derive empty-thrice\n  kind truth\n  is salt reads zero on the last 3 readings\n  source trade\n
derive salted-twice\n  kind truth\n  is salt reads present on the last 2 readings\n  source trade\n",
    );
    let heat = Known::new(&book)
        .read("oven-heat", 5.0, "300 °C")
        .read("oven-heat", 3.0, "280 °C")
        .read("oven-heat", 2.0, "250 °C")
        .read("oven-heat", 1.0, "200 °C")
        .read("oven-heat", 0.5, "210 °C");
    assert_eq!(
        heat.shown("top"),
        "245 to 255 °C",
        "three days ago is too long ago"
    );
    assert_eq!(heat.shown("bottom"), "195 to 205 °C");
    assert_eq!(
        heat.shown("moved"),
        "-80 to -60 K",
        "from 280 °C, 2.5 days before the latest, to 210 °C"
    );
    assert_eq!(
        heat.shown("old"),
        "1 day",
        "half a day before the start of today was yesterday"
    );
    let nothing = Known::new(&book);
    assert_eq!(
        (nothing.shown("top"), nothing.truth("empty")),
        ("-20 to 450 °C".into(), None)
    );

    let salt = Known::new(&book)
        .read("salt", 2.0, "0 g/kg Na")
        .read("salt", 1.0, "< 0.2 g/kg Na");
    assert_eq!(
        salt.truth("empty"),
        Some(true),
        "`< 0.2` is zero on a test whose first mark is 0.2"
    );
    assert_eq!(salt.truth("empty-thrice"), None, "only two readings so far");
    let salt = salt
        .read("salt", -0.3, "0.3 g/kg Na")
        .read("salt", -0.6, "0 g/kg Na");
    assert_eq!(
        salt.truth("empty-thrice"),
        Some(true),
        "of one day, the newest counts"
    );
    assert_eq!(salt.truth("salted-twice"), Some(false));
    let salted = Known::new(&book)
        .read("salt", 1.0, "0 g/kg Na")
        .read("salt", 0.0, "1 g/kg Na");
    assert_eq!(
        salted.truth("empty-thrice"),
        Some(false),
        "one denial is enough"
    );
}

#[test]
fn what_is_entered_goes_before_what_is_worked_out() {
    let dough = Known::new(oven())
        .give("flour", "1 kg")
        .give("water", "0.6 L")
        .give("loaves", "2");
    assert_eq!(dough.shown("loaf-mass"), "0.8 kg");
    assert_eq!(
        dough.give("loaf-mass", "750 g").shown("loaf-mass"),
        "0.75 kg"
    );
    let unknown = Known::new(oven()).give("flour", "1 kg").give("loaves", "2");
    let open = unknown.run();
    let worked = open.fact("loaf-mass").unwrap();
    assert_eq!(
        (worked.low, worked.high),
        (Some(0.5), Some(5.0)),
        "held within its range"
    );
}

#[test]
fn a_table_over_open_facts_gives_all_that_is_possible() {
    let wheat = Known::new(oven()).give("flour-kind", "wheat");
    assert_eq!(wheat.shown("wanted-heat"), "220 to 250 °C");
    assert_eq!(Known::new(oven()).shown("wanted-heat"), "not known");
    let small = wheat.set(
        "loaf-mass",
        Set::Number(lentic::engine::Interval { lo: 0.3, hi: 1.0 }),
    );
    assert_eq!(small.shown("wanted-heat"), "230 to 250 °C");
    let either = Known::new(oven())
        .give("flour-kind", "rye or spelt")
        .give("loaf-mass", "2 kg");
    assert_eq!(either.shown("wanted-heat"), "210 to 220 °C");
    let wetter = Known::new(oven())
        .give("flour", "1 kg")
        .give("water", "0.7 to 0.9 L");
    assert_eq!(wetter.shown("crumb"), "open or wet");
    assert_eq!(wetter.truth("well-made"), None);
}

#[test]
fn a_function_is_taken_at_its_ends_or_by_its_own_extension() {
    let dough = Known::new(oven())
        .give("leaven", "0.2 kg")
        .give("flour", "1 kg");
    assert_eq!(
        dough.give("dough-heat", "18 to 26 °C").shown("proof-time"),
        "4 to 8 h"
    );
    let run = Known::new(oven()).give("dough-heat", "16 to 40 °C");
    assert_eq!(run.shown("speed"), "0.75 to 1", "the best lies inside");
}

#[test]
fn all_tests_of_one_fact_act_as_one_set() {
    let book = oven_with(
        "derive always\n  kind truth\n  is not (flour > 2 kg and flour < 2 kg)\n  source trade\n
derive never\n  kind truth\n  is flour-kind is rye and flour-kind is not rye\n  source trade\n",
    );
    let known = Known::new(&book);
    assert_eq!(known.truth("never"), Some(false));
    assert_eq!(known.rule("oven-too-hot"), Open);
}

#[test]
fn gates_say_no_before_not_yet_before_cannot_tell_before_yes() {
    let ready = || {
        Known::new(oven())
            .read("oven-heat", 0.0, "230 °C")
            .give("hours-risen", "5 h")
            .give("proof-time", "4 h")
            .give("lit-on", "2026-05-01")
            .give("smoke", "no")
            .give("door-open", "no")
    };
    let verdict = |known: &Known<'_>| known.run().gate_verdict("load-oven").unwrap();
    assert_eq!(verdict(&ready()), GateVerdict::Yes);
    let open = ready().give("door-open", "unknown");
    assert_eq!(
        verdict(&open),
        GateVerdict::CannotTell,
        "rye would take no draught"
    );
    assert_eq!(verdict(&open.give("flour-kind", "wheat")), GateVerdict::Yes);
    let waits = ready().give("smoke", "unknown").give("hours-risen", "3 h");
    assert_eq!(
        verdict(&waits),
        GateVerdict::NotYet,
        "what fails is told before what is open"
    );
    assert_eq!(verdict(&waits.give("smoke", "yes")), GateVerdict::No);
}

#[test]
fn a_difference_of_one_degree_is_not_one_degree() {
    let book = oven_with(
        "derive rise\n  unit K\n  is change of oven-heat over 1 day\n  source trade\n
derive fast\n  kind truth\n  is change of oven-heat over 1 day > 18 °F\n  source trade\n
derive warm\n  kind truth\n  is oven-heat > 18 °F\n  source trade\n
derive gap\n  kind truth\n  is oven-heat - dough-heat >= 36 °F\n  source trade\n",
    );
    let exact = |heat: f64| Set::Number(lentic::engine::Interval::point(heat));
    let warm = Known::new(&book).set("oven-heat", exact(-7.7));
    assert_eq!(
        warm.truth("warm"),
        Some(true),
        "18 °F on the scale are -7.78 °C"
    );
    let rises = |text: &str| {
        Known::new(&book)
            .read("oven-heat", 1.0, "200 °C")
            .read("oven-heat", 0.0, text)
    };
    assert_eq!(
        rises("221 °C").truth("fast"),
        Some(true),
        "a rise of 18 °F is one of 10 °C; 11 at the least"
    );
    assert_eq!(
        rises("199 °C").truth("fast"),
        Some(false),
        "9 °C at the most"
    );
    assert_eq!(rises("210 °C").shown("rise"), "0 to 20 K");
    let gap = Known::new(&book)
        .set("oven-heat", exact(40.0))
        .set("dough-heat", exact(20.0));
    assert_eq!(gap.truth("gap"), Some(true), "20 °C apart are 36 °F apart");
}

#[test]
fn what_is_worked_out_meets_its_threshold_whatever_it_was_converted_from() {
    let book = oven_with(
        "derive salt-added\n  unit g/kg NaCl\n  is salt-at-most - salt-at-least\n  because B.\n  source trade\n
fact salt-at-most\n  unit g/kg NaCl\n  range 0 to 50 g/kg NaCl\n\nfact salt-at-least\n  unit g/kg NaCl\n  range 0 to 50 g/kg NaCl\n
rule well-salted\n  when salt-added >= 10 g/kg NaCl\n  advise turn-down\n  urgency note\n  if open ask\n  finding F.\n  advice A.
  because B.\n  source trade\n  holds salt-added 10 g/kg NaCl\n  fails salt-added 9 g/kg NaCl\n
rule salted-above\n  when salt-at-most - salt-at-least > 10 g/kg NaCl\n  advise turn-down\n  urgency note\n  if open ask
  finding F.\n  advice A.\n  because B.\n  source trade\n  holds salt-at-most 30 g/kg NaCl, salt-at-least 19.9 g/kg NaCl
  fails salt-at-most 30 g/kg NaCl, salt-at-least 20 g/kg NaCl\n",
    );
    for most in 10..=50 {
        let grams = |amount: i32| format!("{amount} g/kg NaCl");
        let known = |least: i32| {
            Known::new(&book)
                .give("salt-at-most", &grams(most))
                .give("salt-at-least", &grams(least))
        };
        let ten = known(most - 10);
        assert_eq!(ten.rule("well-salted"), Holds, "{most}");
        assert_eq!(ten.rule("salted-above"), Fails, "{most}");
        if most > 10 {
            let more = known(most - 11);
            assert_eq!(more.rule("salted-above"), Holds, "{most}");
        }
        let nine = known(most - 9);
        assert_eq!(nine.rule("well-salted"), Fails, "{most}");
    }
}
