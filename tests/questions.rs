//! Why, why not, what would change it, what to find out next: asked of a greenhouse's book, whose answers can be worked
//! out by going through all values.
#![cfg(not(target_arch = "wasm32"))]

use lentic::engine::{
    Book, Change, Direction, Facts, File, GateVerdict, Given, Interval, Reading, Set, Standing,
};

const TODAY: f64 = 20_000.0;

fn book() -> Book {
    let text = include_str!("books/greenhouse.rules");
    let book = Book::load(vec![File::new("greenhouse.rules", text)], &[]);
    let book = book.unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let report = book.run_cases();
    assert!(report.failed.is_empty(), "{:#?}", report.failed);
    book
}

/// Facts by name and value, each taken as exact; a series as one reading of today.
fn facts(book: &Book, values: &[(&str, &str)]) -> Facts {
    let mut facts = Facts::default();
    facts.give(
        book,
        "today",
        Given::new(Set::Number(Interval::point(TODAY))),
    );
    for (name, text) in values {
        let entered = book.enter(name, text).expect("a value of the book");
        let set = entered
            .nominal
            .map_or(entered.set, |main| Set::Number(Interval::point(main)));
        let mut given = Given::typed(set, *text);
        if let (true, Some(nominal)) = (book.is_series(name), entered.nominal) {
            given.readings.push(Reading {
                day: TODAY,
                values: Interval::point(nominal),
                nominal,
                mark: None,
                typed: (*text).to_owned(),
            });
        }
        assert!(facts.give(book, name, given), "{name}");
    }
    facts
}

fn any(_: &str) -> bool {
    true
}

const A_DAY: &[(&str, &str)] = &[
    ("season", "summer"),
    ("moisture", "50 %"),
    ("warmth", "20 °C"),
    ("frost-outside", "no"),
    ("pests", "none"),
    ("bed-volume", "100 L"),
];

fn with(name: &str, value: &'static str) -> Vec<(&'static str, &'static str)> {
    let mut values = A_DAY.to_vec();
    let found = values
        .iter_mut()
        .find(|(known, _)| *known == name)
        .expect("a fact of the day");
    found.1 = value;
    values
}

#[track_caller]
fn find<'a>(changes: &'a [Change], of: &str, fact: &str, direction: Direction) -> &'a Change {
    changes
        .iter()
        .find(|c| c.of == of && c.fact == fact && c.direction == direction)
        .unwrap_or_else(|| panic!("no {direction:?} change of {of} by {fact}: {changes:#?}"))
}

#[test]
fn the_nearest_value_that_flips_a_rule_is_found_on_both_sides() {
    let book = book();
    let facts = facts(&book, A_DAY);
    let changes = book.evaluate(&facts).changes(&any);
    let dry = find(&changes, "bed-dry", "moisture", Direction::Lower);
    assert_eq!(
        (dry.to.as_str(), dry.after),
        ("30 %", Some(Standing::Stands)),
        "through a derived fact"
    );
    let wet = find(&changes, "bed-wet", "moisture", Direction::Higher);
    assert_eq!(wet.to, "81 %", "the threshold itself does not belong to it");
    let hot = find(&changes, "heat", "warmth", Direction::Higher);
    assert_eq!(hot.to, "30.1 °C");
    let cold = find(&changes, "sowing-time", "warmth", Direction::Lower);
    assert_eq!(
        (cold.to.as_str(), cold.after),
        ("14.9 °C", Some(Standing::Silent))
    );
    let slugs = find(&changes, "sowing-time", "pests", Direction::Other);
    assert_eq!(slugs.to, "slugs");
    let gate = find(&changes, "sow", "season", Direction::Other);
    assert_eq!(
        (gate.gate_before, gate.gate_after),
        (Some(GateVerdict::Yes), Some(GateVerdict::NotYet))
    );
    let shut = find(&changes, "sowing-time", "season", Direction::Other);
    assert_eq!(
        shut.after,
        Some(Standing::SetAside),
        "a shut gate sets the rule aside"
    );
}

/// What is found of one rule or gate alone is what is found among all.
#[test]
fn changes_of_one_name_are_those_among_all() {
    let book = book();
    for values in [A_DAY, &[]] {
        let base = facts(&book, values);
        let run = book.evaluate(&base);
        let all = run.changes(&any);
        let names = book.rules().into_iter().map(|rule| rule.rule);
        let names: Vec<String> = names
            .chain(run.gates().into_iter().map(|g| g.gate))
            .collect();
        assert_eq!(names.len(), 6, "five rules and a gate");
        for name in names {
            let among: Vec<&Change> = all.iter().filter(|change| change.of == name).collect();
            let own = run.changes_of(&name, &any);
            assert_eq!(own.iter().collect::<Vec<_>>(), among, "{name}");
        }
    }
    let facts = facts(&book, A_DAY);
    assert!(book.evaluate(&facts).changes_of("nothing", &any).is_empty());
}

/// A book that is run for one name says of it what the whole book says.
#[test]
fn a_run_for_one_name_says_of_it_what_the_whole_run_says() {
    let book = book();
    for values in [A_DAY, &[]] {
        let facts = facts(&book, values);
        let whole = book.evaluate(&facts);
        let only = |name: &str| book.asking([name, "nothing"].into_iter()).evaluate(&facts);
        for info in book.rules() {
            let name = info.rule.as_str();
            assert_eq!(only(name).rule(name), whole.rule(name), "{name}");
        }
        for gate in whole.gates() {
            let verdict = only(&gate.gate).gate_verdict(&gate.gate);
            assert_eq!(verdict, Some(gate.verdict), "{}", gate.gate);
        }
        for derived in book.derived_names() {
            let name = derived.name.as_str();
            assert_eq!(only(name).values(name), whole.values(name), "{name}");
        }
    }
}

#[test]
fn no_change_is_missed_and_each_is_confirmed_by_running_again() {
    let book = book();
    let base = facts(&book, A_DAY);
    let changes = book.evaluate(&base).changes(&any);
    for (fact, unit, range) in [("moisture", "%", 0..=100), ("warmth", "°C", -20..=60)] {
        let here = if fact == "moisture" { 50 } else { 20 };
        for rule in ["bed-dry", "bed-wet", "heat", "winter-shut", "sowing-time"] {
            let stands = |value: i32| {
                let text = format!("{value} {unit}");
                let moved = with_owned(fact, &text);
                let pairs: Vec<(&str, &str)> = moved
                    .iter()
                    .map(|(n, v)| (n.as_str(), v.as_str()))
                    .collect();
                let facts = facts(&book, &pairs);
                let answer = book.evaluate(&facts).answer();
                answer.advice.iter().any(|point| point.rule == rule)
            };
            let now = stands(here);
            let below = range
                .clone()
                .rev()
                .filter(|v| *v < here)
                .find(|v| stands(*v) != now);
            let above = range
                .clone()
                .filter(|v| *v > here)
                .find(|v| stands(*v) != now);
            for (direction, nearest) in [(Direction::Lower, below), (Direction::Higher, above)] {
                let told = changes
                    .iter()
                    .find(|c| c.of == rule && c.fact == fact && c.direction == direction);
                match (nearest, told) {
                    (Some(nearest), Some(change)) => {
                        let value = change.value.expect("a number");
                        assert!(
                            (value - f64::from(nearest)).abs() < 1.0,
                            "{rule} {fact}: {value}, {nearest}"
                        );
                    }
                    (nearest, told) => assert_eq!(
                        nearest.is_some(),
                        told.is_some(),
                        "{rule} {fact} {direction:?}"
                    ),
                }
            }
        }
    }
}

fn with_owned(fact: &str, text: &str) -> Vec<(String, String)> {
    let value = |(name, value): &(&str, &str)| {
        (
            (*name).to_owned(),
            if *name == fact {
                text.to_owned()
            } else {
                (*value).to_owned()
            },
        )
    };
    A_DAY.iter().map(value).collect()
}

#[test]
fn an_unknown_number_is_told_by_the_stretches_that_decide() {
    let book = book();
    let facts = facts(&book, &[("frost-outside", "no"), ("season", "summer")]);
    let changes = book.evaluate(&facts).changes(&any);
    let stretches: Vec<(&str, Option<Standing>)> = changes
        .iter()
        .filter(|c| c.of == "heat" && c.fact == "warmth")
        .map(|c| (c.to.as_str(), c.after))
        .collect();
    assert_eq!(
        stretches,
        [
            ("30 °C or less", Some(Standing::Silent)),
            ("more than 30 °C", Some(Standing::Stands))
        ]
    );
}

#[test]
fn a_smallest_set_of_facts_forces_the_verdict_by_itself() {
    let book = book();
    let facts = facts(&book, &with("pests", "slugs"));
    let run = book.evaluate(&facts);
    let names = |sets: Vec<Vec<lentic::engine::Reason>>| -> Vec<Vec<String>> {
        sets.into_iter()
            .map(|set| set.into_iter().map(|reason| reason.fact).collect())
            .collect()
    };
    assert_eq!(
        names(run.sufficient("sowing-time", true).unwrap()),
        [["pests"]],
        "one fact alone keeps it from holding"
    );
    let facts = self::facts(&book, A_DAY);
    let run = book.evaluate(&facts);
    assert_eq!(
        names(run.sufficient("sowing-time", false).unwrap()),
        [["moisture", "warmth", "pests"]]
    );
    let reasons = run.sufficient("bed-dry", false).unwrap().remove(0);
    let margin = reasons[0].margin.as_ref().expect("a margin");
    assert_eq!(
        (reasons[0].shown.as_str(), margin.shown.as_str()),
        ("50 %", "20 %")
    );
    assert!(run.sufficient("no-such-rule", false).is_none());
}

#[test]
fn why_not_names_what_is_missing_and_the_smallest_change() {
    let book = book();
    let facts = facts(&book, &with("warmth", "10 °C"));
    let run = book.evaluate(&facts);
    let found = run
        .why_not("sowing-time", &any)
        .expect("a rule of the book");
    assert_eq!(found.standing, Standing::Silent);
    let obstacles: Vec<(&str, &str)> = found
        .obstacles
        .iter()
        .map(|o| (o.fact.as_str(), o.needed.as_str()))
        .collect();
    assert_eq!(obstacles, [("warmth", "15 °C to 25 °C")]);
    assert_eq!(found.changes.len(), 1);
    assert_eq!(found.changes[0].to, "15 °C");
    assert!(found.pairs.is_empty(), "a single change is enough");
}

#[test]
fn where_no_single_change_does_it_a_pair_is_told_that_does() {
    let book = book();
    let facts = facts(
        &book,
        &[
            ("season", "summer"),
            ("moisture", "90 %"),
            ("warmth", "10 °C"),
            ("pests", "none"),
        ],
    );
    let run = book.evaluate(&facts);
    let found = run
        .why_not("sowing-time", &any)
        .expect("a rule of the book");
    assert!(found.changes.is_empty());
    let pair = found.pairs.first().expect("a pair");
    assert_eq!(
        [pair[0].fact.as_str(), pair[1].fact.as_str()],
        ["moisture", "warmth"]
    );
}

#[test]
fn the_next_test_is_the_one_that_settles_most_for_its_effort() {
    let book = book();
    let facts = facts(&book, &[("frost-outside", "no"), ("season", "summer")]);
    let tests = book.evaluate(&facts).next_tests(&any);
    let order: Vec<&str> = tests.iter().map(|test| test.fact.as_str()).collect();
    // Warmth settles a danger, moisture two lesser rules; slugs settle one note at one of their two values.
    assert_eq!(order, ["warmth", "moisture", "pests"]);
    assert!(tests[0].settles.contains(&"heat".to_owned()));
    assert!(
        !order.contains(&"bed-volume"),
        "the amount alone decides no rule"
    );
}

#[test]
fn nothing_that_may_not_be_touched_is_proposed() {
    let book = book();
    let facts = facts(&book, A_DAY);
    let run = book.evaluate(&facts);
    assert!(
        run.changes(&|fact| fact == "pests")
            .iter()
            .all(|change| change.fact == "pests")
    );
    assert!(run.next_tests(&|_| false).is_empty());
}
