//! The answer as data: who speaks, who is beaten, what is asked, how much, and why.

use lentic::engine::{Answer, Basis, GateVerdict, Support, Urgency, Verdict::*};

use super::{Known, oven, oven_with};

fn spoken(answer: &Answer) -> Vec<&str> {
    answer
        .advice
        .iter()
        .map(|point| point.rule.as_str())
        .collect()
}

/// The rules that were set aside, each with those that beat it.
fn beaten(answer: &Answer) -> Vec<(&str, Vec<&str>)> {
    answer
        .set_aside
        .iter()
        .map(|aside| {
            (
                aside.advice.rule.as_str(),
                aside.beaten_by.iter().map(|by| by.rule.as_str()).collect(),
            )
        })
        .collect()
}

fn rye_in_a_cool_oven() -> Known<'static> {
    Known::new(oven())
        .give("flour-kind", "rye")
        .give("stage", "baking")
        .read("oven-heat", 0.0, "180 °C")
}

#[test]
fn a_rule_that_holds_beats_the_one_it_overrules() {
    let known = rye_in_a_cool_oven().give("door-open", "no");
    let answer = known.run().answer();
    assert_eq!(spoken(&answer), ["rye-likes-it-falling"]);
    assert_eq!(
        beaten(&answer),
        [("oven-too-cool", vec!["rye-likes-it-falling"])]
    );
    assert_eq!(
        answer.set_aside[0].beaten_by[0].because,
        "rye likes a falling heat"
    );
    assert_eq!(answer.advice[0].overruled[0].rule, "oven-too-cool");
    assert!(answer.clashes.is_empty());
}

#[test]
fn a_beaten_rule_beats_nobody() {
    let known = rye_in_a_cool_oven().give("door-open", "yes");
    let answer = known.run().answer();
    assert_eq!(spoken(&answer), ["oven-too-cool", "door-stands-open"]);
    assert_eq!(
        beaten(&answer),
        [("rye-likes-it-falling", vec!["door-stands-open"])]
    );
    assert!(answer.set_aside[0].advice.overruled.is_empty());
}

#[test]
fn a_rule_that_may_hold_is_an_unless() {
    let known = rye_in_a_cool_oven();
    let answer = known.run().answer();
    assert_eq!(spoken(&answer), ["rye-likes-it-falling"]);
    assert!(answer.advice[0].certain);
    assert_eq!(answer.advice[0].unless[0].rule, "door-stands-open");
    let kind_unknown = Known::new(oven())
        .give("flour-kind", "rye or wheat")
        .give("loaf-mass", "1 kg")
        .give("stage", "baking")
        .give("door-open", "no")
        .read("oven-heat", 0.0, "160 °C");
    let answer = kind_unknown.run().answer();
    assert_eq!(spoken(&answer), ["oven-too-cool"]);
    assert_eq!(answer.advice[0].unless[0].rule, "rye-likes-it-falling");
    assert!(answer.set_aside.is_empty());
}

#[test]
fn a_rule_asks_though_the_one_that_overrules_it_is_beaten_itself() {
    let open = |door: &str| {
        let known = Known::new(oven())
            .give("flour-kind", "rye")
            .give("stage", "baking")
            .give("door-open", door)
            .read("oven-heat", 0.0, "188 °C");
        assert_eq!(known.rule("oven-too-cool"), Open);
        let answer = known.run().answer();
        answer
            .open
            .iter()
            .any(|point| point.rule == "oven-too-cool")
    };
    assert!(
        !open("no"),
        "whatever it comes to, the falling oven beats it"
    );
    assert!(open("yes"), "the falling oven is beaten by the door");
}

#[test]
fn a_precaution_speaks_while_it_cannot_be_ruled_out() {
    let known = Known::new(oven());
    let answer = known.run().answer();
    assert_eq!(spoken(&answer), ["oven-far-too-hot"]);
    let point = &answer.advice[0];
    assert!(!point.certain);
    assert_eq!(point.urgency, Urgency::Danger);
    assert_eq!(point.wants, ["oven-heat"]);
    assert!(
        point.overruled.is_empty(),
        "what only may hold has beaten nobody"
    );
    assert!(
        !answer
            .open
            .iter()
            .any(|open| open.rule == "door-stands-open"),
        "it keeps silent while open"
    );
    let urgencies: Vec<Urgency> = answer.open.iter().map(|open| open.urgency).collect();
    assert!(urgencies.is_sorted());
}

#[test]
fn rules_that_exclude_each_other_with_no_ranking_are_a_clash() {
    let known = Known::new(oven())
        .give("flour-kind", "rye")
        .give("stage", "baking")
        .give("door-open", "no")
        .read("oven-heat", 0.0, "300 °C")
        .read("salt", 0.0, "1 g/kg Na");
    let answer = known.run().answer();
    assert_eq!(spoken(&answer), ["oven-too-hot", "rye-likes-it-falling"]);
    assert_eq!(answer.clashes.len(), 1);
    assert_eq!(answer.clashes[0].rule, "oven-too-hot");
    assert_eq!(answer.clashes[0].with, "rye-likes-it-falling");
    let ranked = "rule ranked\n  when oven-heat > 290 °C\n  advise turn-down\n  urgency note\n  if open silent\n  finding F.
  advice A.\n  because B.\n  source trade\n  overrules rye-likes-it-falling because too hot is too hot
  holds oven-heat 300 °C\n  fails oven-heat 1 °C\n";
    let book = oven_with(ranked);
    let known = Known {
        book: &book,
        facts: known.facts,
    };
    assert!(
        known.run().answer().clashes.is_empty(),
        "one word settles it"
    );
}

#[test]
fn a_gate_that_is_not_open_sets_advice_aside_with_its_reasons() {
    let known = Known::new(oven())
        .give("hours-risen", "5 h")
        .give("proof-time", "4 h")
        .give("smoke", "yes")
        .give("door-open", "no")
        .give("lit-on", "2026-05-03")
        .read("oven-heat", 0.0, "240 °C");
    let run = known.run();
    let answer = run.answer();
    let aside = answer
        .set_aside
        .iter()
        .find(|aside| aside.advice.rule == "bake-now")
        .unwrap();
    let reasons: Vec<&str> = aside
        .beaten_by
        .iter()
        .map(|by| by.because.as_str())
        .collect();
    assert_eq!(
        reasons,
        [
            "the stones take a day to warm through",
            "smoke spoils the loaves"
        ]
    );
    let gates = run.gates();
    assert_eq!(gates[0].verdict, GateVerdict::No);
    let met: Vec<_> = gates[0]
        .needs
        .iter()
        .map(|need| (need.bars, need.met))
        .collect();
    assert_eq!(
        met,
        [
            (false, Holds),
            (false, Holds),
            (false, Fails),
            (true, Fails),
            (true, Holds)
        ]
    );
    assert_eq!(
        gates[0].needs[2].met_on.as_deref(),
        Some("2026-05-04"),
        "time alone meets it"
    );
    assert_eq!(
        gates[0].needs[3].met_on, None,
        "time alone drives no smoke out"
    );
    assert_eq!(gates[0].cautions[0].id, "burns");
}

#[test]
fn a_rule_kept_back_by_a_gate_beats_nobody() {
    let known = Known::new(oven())
        .give("hours-risen", "5 h")
        .give("proof-time", "4 h")
        .give("smoke", "yes")
        .read("dough-ph", 1.0, "5")
        .read("dough-ph", 0.0, "4.2");
    assert!(
        spoken(&known.run().answer()).contains(&"souring-fast"),
        "nothing is baked that could sour no more"
    );
    let open = known
        .give("smoke", "no")
        .give("door-open", "no")
        .give("lit-on", "2026-05-01")
        .read("oven-heat", 0.0, "240 °C");
    let answer = open.run().answer();
    assert!(spoken(&answer).contains(&"bake-now"));
    assert_eq!(beaten(&answer), [("souring-fast", vec!["bake-now"])]);
}

#[test]
fn an_amount_is_worked_in_the_unit_of_its_action() {
    let known = Known::new(oven())
        .give("flour", "2500 g")
        .read("salt", 1.0, "0 g/kg Na")
        .read("salt", 0.0, "0 g/kg Na");
    let answer = known.run().answer();
    let point = answer
        .advice
        .iter()
        .find(|point| point.rule == "no-salt")
        .unwrap();
    let amount = point.amount.as_ref().unwrap();
    assert_eq!((amount.shown.as_str(), amount.unit.as_str()), ("50 g", "g"));
    assert_eq!(amount.low, Some(50.0));
    assert_eq!(amount.formula, "flour × 0.02");
    assert_eq!(amount.working, ["2.5 kg × 0.02 = 50 g"]);
    assert_eq!(point.say, "Add 50 g to the 2.5 kg of flour.");
}

#[test]
fn an_amount_over_open_facts_is_a_span_and_can_be_bounded() {
    let known = Known::new(oven())
        .give("lit-on", "2026-05-01")
        .read("oven-heat", 1.0, "400 °C")
        .read("oven-heat", 0.0, "310 °C");
    let answer = known.run().answer();
    let point = answer
        .advice
        .iter()
        .find(|point| point.rule == "fire-goes-out")
        .unwrap();
    assert_eq!(
        point.amount.as_ref().unwrap().shown,
        "4 to 5 kg",
        "80 to 100 K, and never more than 5 kg"
    );
    let cautions: Vec<&str> = point
        .cautions
        .iter()
        .map(|caution| caution.id.as_str())
        .collect();
    assert_eq!(
        cautions,
        ["burns", "flour-dust"],
        "those of the action and of the rule"
    );
    assert_eq!(point.finding, "The oven lost 80 to 100 K within a day.");
}

#[test]
fn evidence_has_values_thresholds_margins_and_sources() {
    let known = Known::new(oven())
        .give("flour-kind", "rye")
        .read("oven-heat", 1.0, "250 °C");
    let run = known.run();
    let (verdict, point, beaten_by) = run.rule_point("oven-too-hot").unwrap();
    assert_eq!((verdict, beaten_by.len()), (Holds, 0));
    let evidence = &point.evidence[0];
    assert_eq!(evidence.text, "spare-heat > 20 K");
    assert_eq!(evidence.threshold.as_deref(), Some("20 K"));
    assert_eq!(evidence.margin.as_ref().unwrap().shown, "15 K");
    let spare = &evidence.values[0];
    assert_eq!(
        (spare.shown.as_str(), spare.from),
        ("35 to 45 K", Basis::Worked)
    );
    assert_eq!(
        spare.because.as_deref(),
        Some("At 210 °C the crust and the crumb are done together.")
    );
    let inputs: Vec<(&str, &str, Basis)> = spare
        .inputs
        .iter()
        .map(|input| (input.fact.as_str(), input.shown.as_str(), input.from))
        .collect();
    assert_eq!(
        inputs,
        [
            ("oven-heat", "250 °C", Basis::Entered),
            ("wanted-heat", "210 °C", Basis::Table)
        ]
    );
    assert_eq!(spare.inputs[0].on.as_deref(), Some("2026-05-02"));
    assert_eq!(spare.inputs[0].age_days, Some(1.0));
    assert_eq!(spare.inputs[1].working, ["flour-kind rye: 210 °C"]);
    assert_eq!(
        (point.sources[0].place.as_str(), point.sources[0].support),
        ("usual habit", Support::CommonPractice)
    );
    let hot = Known::new(oven()).read("oven-heat", 0.0, "330 °C");
    let (_, evidence) = hot.run().rule_evidence("oven-far-too-hot").unwrap();
    assert_eq!(evidence[0].threshold.as_deref(), Some("320 °C"));
    assert_eq!(
        evidence[0].margin.as_ref().unwrap().spreads,
        Some(1.0),
        "5 °C are one spread"
    );
}

#[test]
fn a_rule_that_fails_wants_nothing() {
    let known = Known::new(oven()).give("flour-kind", "wheat");
    let (verdict, point, _) = known.run().rule_point("rye-likes-it-falling").unwrap();
    assert_eq!(
        (verdict, point.wants.len()),
        (Fails, 0),
        "the heat could not change it"
    );
}

#[test]
fn a_value_is_worked_down_to_its_function() {
    let known = Known::new(oven())
        .give("dough-heat", "18 °C")
        .give("leaven", "200 g")
        .give("flour", "1 kg");
    let worked = known.run().fact("proof-time").unwrap();
    assert_eq!(worked.shown, "8 h");
    assert_eq!(
        worked.formula.as_deref(),
        Some("time to rise from heat of the dough, leaven for the flour")
    );
    assert_eq!(
        worked.working,
        ["4 × 2^((26 − °C) ÷ 8) × 20 ÷ %", "at 18 °C and 20 %: 8 h"]
    );
    assert_eq!(worked.inputs[1].working, ["0.2 kg ÷ 1 kg = 20 %"]);
}
