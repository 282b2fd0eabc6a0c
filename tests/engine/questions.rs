//! Every question that a book can be asked, asked of the oven's.

use lentic::engine::{
    AdvicePoint, Answer, Direction, GateVerdict, NO, Set, Standing, Urgency, YES,
    fields_that_differ,
};

use super::{Known, files, load, oven};

/// A rye baker with a warm dough, an oven that may have lost heat since yesterday and no salt in the dough.
fn morning() -> Known<'static> {
    Known::new(oven())
        .give("stage", "baking")
        .give("flour-kind", "rye")
        .give("lit-on", "2026-05-01")
        .give("door-open", "no")
        .give("smoke", "no")
        .give("flour", "2 kg")
        .give("leaven", "400 g")
        .give("dough-heat", "26 °C")
        .give("hours-risen", "3 h")
        .read("oven-heat", 1.0, "250 °C")
        .read("oven-heat", 0.0, "215 °C")
        .read("salt", 1.0, "0 g/kg Na")
        .read("salt", 0.0, "0 g/kg Na")
}

/// A truth that nobody looked up.
fn unknown() -> Set {
    Set::Choice(NO | YES)
}

fn any(_: &str) -> bool {
    true
}

fn rules(points: &[AdvicePoint]) -> Vec<(&str, bool)> {
    points
        .iter()
        .map(|point| (point.rule.as_str(), point.certain))
        .collect()
}

fn json(answer: &Answer) -> serde_json::Value {
    serde_json::to_value(answer).expect("an answer is data")
}

#[test]
fn what_now() {
    let known = morning();
    let answer = known.run().answer();
    assert_eq!(
        rules(&answer.advice),
        [("rye-likes-it-falling", true), ("no-salt", true)],
        "{answer:#?}"
    );
    assert_eq!(answer.advice[1].urgency, Urgency::Soon);
    let amount = answer.advice[1].amount.as_ref().expect("an amount");
    assert_eq!(amount.shown, "40 g", "2 % of 2 kg");
    let open: Vec<&str> = answer.open.iter().map(|open| open.rule.as_str()).collect();
    // The heat fell by 25 to 45 K, as the thermometer reads to 5 °C; of the dough's pH nothing is known.
    assert_eq!(open, ["souring-fast", "fire-goes-out"]);
}

#[test]
fn why() {
    let known = morning();
    let reasons = known.run().sufficient("rye-likes-it-falling", true);
    let sets = reasons.expect("a rule of the book");
    let [set] = sets.as_slice() else {
        panic!("one set only forces it: {sets:#?}")
    };
    let facts: Vec<(&str, &str)> = set
        .iter()
        .map(|reason| (reason.fact.as_str(), reason.shown.as_str()))
        .collect();
    assert_eq!(
        facts,
        [
            ("stage", "Baking"),
            ("oven-heat", "215 °C"),
            ("flour-kind", "rye")
        ]
    );
    let margin = set[1].margin.as_ref().expect("a margin");
    assert_eq!(
        (margin.shown.as_str(), margin.spreads),
        ("60 °C", Some(12.0)),
        "210 °C at least, against 150 °C; the thermometer reads to 5 °C"
    );
    // A rule that fails: one broken condition is enough.
    let silent = known.run().sufficient("door-stands-open", false);
    let silent = silent.expect("a rule of the book").remove(0);
    assert_eq!(silent.len(), 1);
    assert_eq!(silent[0].fact, "door-open");
}

#[test]
fn may_i() {
    let gate = |known: &Known<'_>| {
        let gates = known.run().gates();
        let found = gates.into_iter().find(|gate| gate.gate == "load-oven");
        found.map(|gate| gate.verdict)
    };
    assert_eq!(gate(&morning()), Some(GateVerdict::NotYet));
    assert_eq!(
        gate(&morning().give("hours-risen", "4 h")),
        Some(GateVerdict::Yes)
    );
    assert_eq!(gate(&morning().give("smoke", "yes")), Some(GateVerdict::No));
    let unsure = morning().give("hours-risen", "5 h").set("smoke", unknown());
    assert_eq!(gate(&unsure), Some(GateVerdict::CannotTell));
}

#[test]
fn why_not() {
    let known = morning();
    let run = known.run();
    let found = run.why_not("bake-now", &any).expect("a rule of the book");
    assert_eq!(found.standing, Standing::Silent);
    let to: Vec<(&str, Direction, f64)> = found
        .changes
        .iter()
        .map(|c| (c.fact.as_str(), c.direction, c.value.expect("a number")))
        .collect();
    // 4 h x 2^((26 - T) / 8) x 0.2 / (leaven / flour) is to be 3 h at most.
    let wanted = [
        (
            "dough-heat",
            Direction::Higher,
            26.0 + 8.0 * (4.0_f64 / 3.0).log2(),
        ),
        ("flour", Direction::Lower, 1.5),
        ("hours-risen", Direction::Higher, 4.0),
        ("leaven", Direction::Higher, 0.4 * 4.0 / 3.0),
    ];
    assert_eq!(to.len(), wanted.len(), "{to:?}");
    for ((fact, direction, value), (other, way, exact)) in to.iter().zip(&wanted) {
        assert_eq!((fact, direction), (other, way));
        assert!((value - exact).abs() < 2e-6, "{fact}: {value}, {exact}");
    }
}

#[test]
fn what_would_change_it() {
    let known = morning();
    let run = known.run();
    let changes = run.changes(&any);
    let change = |of: &str, fact: &str, direction: Direction| {
        changes
            .iter()
            .find(|c| c.of == of && c.fact == fact && c.direction == direction)
            .unwrap_or_else(|| panic!("no {direction:?} change of {of} by {fact}"))
    };
    let gate = change("load-oven", "hours-risen", Direction::Higher);
    assert_eq!(
        (gate.to.as_str(), gate.gate_after),
        ("4 h", Some(GateVerdict::Yes))
    );
    let told = |change: &lentic::engine::Change| (change.to.clone(), change.after);
    let cooler = change("rye-likes-it-falling", "oven-heat", Direction::Lower);
    assert_eq!(told(cooler), ("150 °C".into(), Some(Standing::Silent)));
    let hot = change("oven-far-too-hot", "oven-heat", Direction::Higher);
    assert_eq!(
        told(hot),
        ("321 °C".into(), Some(Standing::Stands)),
        "608 °F are 320 °C"
    );
    let salted = change("no-salt", "salt", Direction::Higher);
    assert_eq!(told(salted), ("0.1 g/kg Na".into(), Some(Standing::Silent)));
}

#[test]
fn what_next() {
    let known = morning();
    let run = known.run();
    let tests = run.next_tests(&any);
    let order: Vec<&str> = tests.iter().map(|test| test.fact.as_str()).collect();
    // A closer look at the thermometer settles the wood at any value; the pH the souring only where it is 3 or less.
    assert_eq!(order, ["oven-heat", "dough-ph"]);
    assert_eq!(tests[0].settles, ["fire-goes-out"]);
    assert_eq!(tests[1].settles, ["souring-fast"]);
}

#[test]
fn what_if() {
    let before = morning();
    let after = morning().give("hours-risen", "4 h").give("flour", "1 kg");
    let found = before.run().difference(&after.run());
    assert_eq!(rules(&found.appeared), [("bake-now", true)]);
    assert!(found.vanished.is_empty());
    let moved: Vec<(&str, &str)> = found
        .moved
        .iter()
        .map(|m| (m.before.rule.as_str(), m.after.say.as_str()))
        .collect();
    assert_eq!(moved, [("no-salt", "Add 20 g to the 1 kg of flour.")]);
    let gates: Vec<(&str, GateVerdict, GateVerdict)> = found
        .gates
        .iter()
        .map(|g| (g.gate.as_str(), g.before, g.after))
        .collect();
    assert_eq!(
        gates,
        [("load-oven", GateVerdict::NotYet, GateVerdict::Yes)]
    );
    let back = after.run().difference(&before.run());
    assert_eq!(rules(&back.vanished), [("bake-now", true)]);
}

#[test]
fn was_it_so() {
    let known = morning();
    let recorded = json(&known.run().answer());
    assert!(fields_that_differ("answer", &recorded, &json(&known.run().answer())).is_empty());
    let mut files = files();
    let dough = files.iter_mut().find(|file| file.name == "dough.rules");
    let dough = dough.expect("a chapter of the oven");
    dough.text = dough.text.replace("flour * 0.02", "flour * 0.018");
    let book = load(files);
    assert_ne!(book.digest(), oven().digest());
    let now = json(&book.evaluate(&known.facts).answer());
    let differs = fields_that_differ("answer", &recorded, &now);
    let say = differs
        .iter()
        .find(|field| field.place == "answer.advice[1].say");
    let say = say.unwrap_or_else(|| panic!("{differs:#?}"));
    assert_eq!(
        (say.recorded.as_str(), say.now.as_str()),
        (
            "\"Add 40 g to the 2 kg of flour.\"",
            "\"Add 36 g to the 2 kg of flour.\""
        )
    );
}
