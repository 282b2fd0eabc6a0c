//! What must hold for any journal: a few thousand made by dice, the same ones in every run.
//!
//! `LENTIC_JOURNALS=100000 cargo test --test advice any_journal` asks so many.

use std::collections::{BTreeMap, BTreeSet};

use lentic::advice::{self, Advice};
use lentic::engine::{GateVerdict, Urgency};
use lentic::journal::Journal;
use serde_json::{Map, Value, json};

use crate::support::{book, day, name, page};

/// Numbers that look like chance: splitmix64, published by Steele, Lea and Flood (2014).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, sides: u64) -> u64 {
        self.roll() % sides
    }

    fn percent(&mut self, chance: u64) -> bool {
        self.below(100) < chance
    }

    fn one<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.below(choices.len() as u64) as usize]
    }
}

/// The name of a fact, and what may be typed for it in one unit and, exactly the same, in another.
type Typed = (&'static str, &'static [(&'static str, &'static str)]);

/// 1 mg/L NH4 is 0.776484 mg/L N, 1 mg/L NO2 is 0.304467 mg/L N, 1 mg/L NO3 is 0.225905 mg/L N: IUPAC's atomic weights.
const TESTS: &[Typed] = &[
    (
        "total-ammonia",
        &[
            ("0 mg/L NH4", "0 mg/L N"),
            ("0 mg/L NH4", "0 mg/L N"),
            ("0.1 mg/L NH4", "0.0776484 mg/L N"),
            ("0.5 mg/L NH4", "0.388242 mg/L N"),
            ("1 mg/L NH4", "0.776484 mg/L N"),
            ("2.5 mg/L NH4", "1.94121 mg/L N"),
            ("4 mg/L NH4", "3.105936 mg/L N"),
            ("8 mg/L NH4", "6.211872 mg/L N"),
        ],
    ),
    (
        "nitrite",
        &[
            ("0 mg/L NO2", "0 mg/L N"),
            ("0 mg/L NO2", "0 mg/L N"),
            ("0.1 mg/L NO2", "0.0304467 mg/L N"),
            ("0.5 mg/L NO2", "0.1522335 mg/L N"),
            ("1 mg/L NO2", "0.304467 mg/L N"),
            ("4 mg/L NO2", "1.217868 mg/L N"),
            ("10 mg/L NO2", "3.04467 mg/L N"),
        ],
    ),
    (
        "nitrate",
        &[
            ("0 mg/L NO3", "0 mg/L N"),
            ("5 mg/L NO3", "1.129525 mg/L N"),
            ("20 mg/L NO3", "4.5181 mg/L N"),
            ("80 mg/L NO3", "18.0724 mg/L N"),
        ],
    ),
    (
        "ph",
        &[
            ("6.2", "6.2 pH"),
            ("6.8", "6.8 pH"),
            ("7.4", "7.4 pH"),
            ("8.2", "8.2 pH"),
        ],
    ),
    (
        "temperature",
        &[
            ("15 °C", "59 °F"),
            ("25 °C", "77 °F"),
            ("30 °C", "86 °F"),
            ("35 °C", "95 °F"),
        ],
    ),
    (
        "kh",
        &[
            ("0 °dH", "0 mg/L CaCO3"),
            ("2 °dH", "35.696 mg/L CaCO3"),
            ("5 °dH", "89.24 mg/L CaCO3"),
        ],
    ),
];

const STATE: &[Typed] = &[
    ("bed", &[("releasing", "releasing"), ("inert", "inert")]),
    (
        "net-volume",
        &[
            ("10 US gal", "37.85411784 L"),
            ("40 US gal", "151.41647136 L"),
        ],
    ),
    (
        "tap-nitrate",
        &[
            ("0 mg/L NO3", "0 mg/L N"),
            ("10 mg/L NO3", "2.25905 mg/L N"),
            ("40 mg/L NO3", "9.0362 mg/L N"),
        ],
    ),
    ("tap-ph", &[("6.5", "6.5 pH"), ("8", "8 pH")]),
    ("water-treated", &[("yes", "true"), ("no", "false")]),
    ("supplier-notice", &[("yes", "true"), ("no", "false")]),
    ("tests-doubtful", &[("yes", "true"), ("no", "false")]),
    ("blank-reads", &[("yes", "true"), ("no", "false")]),
    ("fertilised", &[("yes", "true"), ("no", "false")]),
    ("ammonia-test-amber", &[("yes", "true"), ("no", "false")]),
    ("ammonia-binder", &[("yes", "true"), ("no", "false")]),
    (
        "tap-temperature",
        &[("10 °C", "50 °F"), ("20 °C", "68 °F"), ("25 °C", "77 °F")],
    ),
    (
        "tap-ammonia",
        &[
            ("0 mg/L NH4", "0 mg/L N"),
            ("0.5 mg/L NH4", "0.388242 mg/L N"),
        ],
    ),
    (
        "tap-kh",
        &[("0 °dH", "0 mg/L CaCO3"), ("5 °dH", "89.24 mg/L CaCO3")],
    ),
    (
        "about-to-do",
        &[
            ("fish-to-cycle", "fish-to-cycle"),
            (
                "bleach-hard and unknown-ammonia",
                "bleach-hard and unknown-ammonia",
            ),
            ("none", "none"),
        ],
    ),
    (
        "disinfectant",
        &[
            ("none", "none"),
            ("chlorine", "chlorine"),
            ("chloramine", "chloramine"),
        ],
    ),
    (
        "plants-on-hand",
        &[
            ("none", "none"),
            ("tolerant", "tolerant"),
            ("very-sensitive", "very-sensitive"),
        ],
    ),
    (
        "daily-changes-possible",
        &[("yes", "true"), ("no", "false")],
    ),
    (
        "light-hours",
        &[("0 h", "0 hours"), ("6 h", "6 hours"), ("9 h", "9 h")],
    ),
    ("co2-on", &[("yes", "on"), ("no", "off")]),
    ("filter-running", &[("yes", "true"), ("no", "false")]),
    ("mains-protected", &[("yes", "true"), ("no", "false")]),
    ("bottled-bacteria", &[("yes", "true"), ("no", "false")]),
    (
        "additives",
        &[
            ("none", "none"),
            ("algae-remover", "algae-remover"),
            ("medicine and salt", "salt and medicine"),
        ],
    ),
    (
        "light-strength",
        &[("high", "high"), ("low", "low"), ("medium", "medium")],
    ),
];

const PLANTS: &[&str] = &[
    "hygrophila",
    "cryptocoryne",
    "moss",
    "vallisneria",
    "frogbit",
];
const ANIMALS: &[&str] = &["neocaridina", "nerite", "ember-tetra", "corydoras"];
const SIGNS: &[&str] = &[
    "gasping",
    "lying",
    "melting-leaves",
    "new-tips-sound",
    "brown-dust",
    "egg-smell",
    "leak",
    "deaths",
    "wet-socket",
    "untreated-water",
    "power-off",
    "power-off-long",
    "filter-stopped",
    "poison",
    "overdose-fertiliser",
    "overdose-medicine",
    "bed-dug",
    "sagging",
    "heater-stuck",
    "tingle",
    "dead-animal",
    "bag-short",
    "bag-long",
    "big-trim",
    "green-threads",
    "green-water",
    "shrimp-still",
    "stretched-stems",
    "weak-flow",
];

/// A journal in two spellings that mean the same, and the day on which it is asked about.
struct Case {
    one: Value,
    other: Value,
    on: String,
}

const FIRST: i64 = 20_600; // 2026-05-27, in days from 1970-01-01.

fn date(after: u64) -> String {
    let days = i32::try_from(FIRST + after as i64).expect("a few weeks");
    lentic::journal::Date::from_days(days)
        .expect("a date")
        .to_string()
}

fn some(dice: &mut Dice, all: &[Typed], chance: u64) -> (Map<String, Value>, Map<String, Value>) {
    let (mut one, mut other) = (Map::new(), Map::new());
    for (fact, choices) in all {
        if dice.percent(chance) {
            let (left, right) = dice.one(choices);
            one.insert((*fact).to_owned(), json!(left));
            other.insert((*fact).to_owned(), json!(right));
        }
    }
    (one, other)
}

/// An event of a kind, in both spellings, or nothing if the dice left it empty.
fn event(
    dice: &mut Dice,
    on: &str,
    living: &mut BTreeMap<&'static str, u64>,
) -> Option<(Value, Value)> {
    let same = |event: Value| Some((event.clone(), event));
    match dice.below(14) {
        0..=6 => {
            let (one, other) = some(dice, TESTS, 70);
            let read =
                |values: Map<String, Value>| json!({ "on": on, "event": "read", "values": values });
            (!one.is_empty()).then(|| (read(one), read(other)))
        }
        7 => {
            let (one, other) = dice.one(&[
                ("5 US gal", "18.92705892 L"),
                ("20 US gal", "75.70823568 L"),
            ]);
            let changed = |amount| json!({ "on": on, "event": "changed-water", "amount": amount });
            Some((changed(one), changed(other)))
        }
        8 => same(
            json!({ "on": on, "event": "changed-water", "share": dice.one(&["20 %", "50 %", "90 %"]) }),
        ),
        9 => {
            let origin = dice.one(&["in-vitro", "potted", "submerged"]);
            same(
                json!({ "on": on, "event": "planted", "plants": [{ "species": dice.one(PLANTS), "origin": origin }] }),
            )
        }
        10 => {
            let (species, count) = (dice.one(ANIMALS), 1 + dice.below(8));
            *living.entry(species).or_default() += count;
            same(
                json!({ "on": on, "event": "added", "animals": [{ "species": species, "count": count }] }),
            )
        }
        11 => {
            let species = dice.one(ANIMALS);
            let count = living.remove(species).filter(|count| *count > 0)?;
            same(
                json!({ "on": on, "event": "lost", "animals": [{ "species": species, "count": count }] }),
            )
        }
        12 => {
            let seen = dice.one(SIGNS);
            let signs = if dice.percent(50) {
                json!([])
            } else {
                json!([seen])
            };
            same(json!({ "on": on, "event": "saw", "signs": signs }))
        }
        _ => same(
            json!({ "on": on, "event": "dosed", "what": "ammonium chloride", "amount": "0.3 g" }),
        ),
    }
}

fn case(dice: &mut Dice) -> Case {
    let (mut one, mut other) = some(dice, STATE, 60);
    if dice.percent(90) {
        let start = json!(dice.one(&["dark", "planted", "fed"]));
        one.insert("start".into(), start.clone());
        other.insert("start".into(), start);
    }
    let (mut events, mut others) = (Vec::new(), Vec::new());
    if dice.percent(85) {
        let filled = json!({ "on": date(0), "event": "filled" });
        events.push(filled.clone());
        others.push(filled);
    }
    let mut living = BTreeMap::new();
    let mut on = 0;
    for _ in 0..dice.below(12) {
        on += dice.below(6);
        if let Some((one, other)) = event(dice, &date(on), &mut living) {
            events.push(one);
            others.push(other);
        }
    }
    if dice.percent(30) {
        on += 15 + dice.below(8);
        for after in 0..2 {
            let read = |values: Value| json!({ "on": date(on + after), "event": "read", "values": values });
            events.push(read(json!({ "total-ammonia": "0", "nitrite": "0", "nitrate": "80 mg/L NO3", "temperature": "25 °C" })));
            others.push(read(json!({ "total-ammonia": "0", "nitrite": "0", "nitrate": "18.0724 mg/L N", "temperature": "77 °F" })));
        }
        on += 1;
    }
    let whole = |tank: Map<String, Value>, events: Vec<Value>| json!({ "format": "lentic-journal/1", "tank": tank, "events": events });
    Case {
        one: whole(one, events),
        other: whole(other, others),
        on: date(on + dice.below(5)),
    }
}

#[track_caller]
fn advise(journal: &Value, on: &str) -> Advice {
    let text = journal.to_string();
    let journal =
        Journal::from_json(&text).unwrap_or_else(|mistakes| panic!("{text}: {mistakes:#?}"));
    advice::advise(book(), &journal, day(on))
        .unwrap_or_else(|mistakes| panic!("{text}: {mistakes:#?}"))
}

/// Days from the last reading of a test to the day that is asked about.
fn age(case: &Case, test: &str) -> Option<i32> {
    let events = case.one["events"].as_array().expect("a list");
    let read = events
        .iter()
        .rev()
        .find(|event| event["values"].get(test).is_some() && event["event"] == "read")?;
    Some(day(&case.on).days_from(day(read["on"].as_str().expect("a date"))))
}

/// The last value of a test in mg/L N (or as it is, for pH and °C), if it is no older than `days`.
fn latest(case: &Case, test: &str, days: i32) -> Option<f64> {
    if age(case, test)? > days {
        return None;
    }
    let events = case.other["events"].as_array().expect("a list");
    let read = events
        .iter()
        .rev()
        .find(|event| event["values"].get(test).is_some() && event["event"] == "read")?;
    let text = read["values"][test].as_str().expect("a text");
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let number: f64 = number.parse().expect("a number");
    Some(if unit == "°F" {
        (number - 32.0) / 1.8
    } else {
        number
    })
}

fn animals(case: &Case) -> bool {
    let mut living: BTreeMap<&str, i64> = BTreeMap::new();
    for event in case.one["events"].as_array().expect("a list") {
        let sign = match event["event"].as_str() {
            Some("added") => 1,
            Some("lost") => -1,
            _ => continue,
        };
        let some = &event["animals"][0];
        *living
            .entry(some["species"].as_str().expect("a name"))
            .or_default() += sign * some["count"].as_i64().expect("a count");
    }
    living.values().any(|count| *count > 0)
}

/// Emerson and others (1975): pKa = 0.09018 + 2729.92 / T.
fn unionised(total: f64, ph: f64, temperature_c: f64) -> f64 {
    total / (1.0 + 10_f64.powf(0.09018 + 2729.92 / (273.15 + temperature_c) - ph))
}

/// US EPA (2013), the chronic criterion where mussels and snails live, mg/L N.
fn chronic(ph: f64, temperature_c: f64) -> f64 {
    let by_ph = 0.0278 / (1.0 + 10_f64.powf(7.688 - ph)) + 1.1994 / (1.0 + 10_f64.powf(ph - 7.688));
    0.8876 * by_ph * 2.126 * 10_f64.powf(0.028 * (20.0 - temperature_c.max(7.0)))
}

/// Whether the readings lie over a danger line for certain: each test may be a tenth, 0.1 pH or 0.5 °C off.
fn surely_dangerous(case: &Case) -> bool {
    let total = latest(case, "total-ammonia", 7).map(|total| 0.9 * total);
    let nitrite = latest(case, "nitrite", 7).map(|nitrite| 0.9 * nitrite);
    let burns = match (
        total,
        latest(case, "ph", 14),
        latest(case, "temperature", 7),
    ) {
        (Some(total), Some(ph), Some(warmth)) => {
            unionised(total, ph - 0.1, warmth - 0.5) >= 0.05
                || total > 2.5 * chronic(ph - 0.1, warmth - 0.5)
        }
        _ => false,
    };
    burns || nitrite.is_some_and(|nitrite| nitrite >= 0.5)
}

/// Pairs of actions that exclude each other, read from the book's own text.
fn exclusions() -> BTreeSet<(String, String)> {
    let text = std::fs::read_to_string(crate::support::project("rules/actions.rules"))
        .expect("the actions");
    let mut pairs = BTreeSet::new();
    let mut action = "";
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("action ") {
            action = name.trim();
        } else if let Some(others) = line.trim_start().strip_prefix("excludes ") {
            for other in others.split(',').map(str::trim) {
                pairs.insert((action.to_owned(), other.to_owned()));
                pairs.insert((other.to_owned(), action.to_owned()));
            }
        }
    }
    assert!(pairs.len() > 10, "{pairs:?}");
    pairs
}

/// What must hold of every answer.
fn check(case: &Case, excluded: &BTreeSet<(String, String)>, seen: &mut BTreeMap<String, usize>) {
    let answer = advise(&case.one, &case.on);
    let told = || format!("{}\n{}\n{}", case.on, case.one, page(&answer));
    assert!(
        answer.clashes.is_empty(),
        "{:?}\n{}",
        answer.clashes,
        told()
    );
    let certain = || answer.advice.iter().filter(|point| point.certain);
    for one in certain() {
        for other in certain() {
            let pair = (one.action.clone(), other.action.clone());
            assert!(!excluded.contains(&pair), "{pair:?}\n{}", told());
        }
    }
    for point in &answer.advice {
        *seen.entry(point.action.clone()).or_default() += 1;
        // Letting in animals that wait in a bag is adding them, by another name.
        let action = match point.action.as_str() {
            "acclimate" => "add-crew",
            action => action,
        };
        let gate = answer.gates.iter().find(|gate| gate.gate == action);
        assert!(
            gate.is_none_or(|gate| gate.verdict == GateVerdict::Yes),
            "{}\n{}",
            point.rule,
            told()
        );
        let fresh = |needs: &[(&str, i32)]| {
            for (test, days) in needs {
                let age = age(case, test);
                assert!(
                    age.is_some_and(|age| age <= *days),
                    "{} without {test}: {age:?}\n{}",
                    point.rule,
                    told()
                );
            }
        };
        match (point.action.as_str(), case.one["tank"]["start"].as_str()) {
            ("declare-cycled", _) | ("plant", Some("dark" | "fed")) => {
                fresh(&[("total-ammonia", 7), ("nitrite", 7), ("nitrate", 7)]);
            }
            ("add-crew" | "add-fish" | "acclimate", _) => {
                fresh(&[
                    ("total-ammonia", 2),
                    ("nitrite", 2),
                    ("nitrate", 14),
                    ("temperature", 7),
                ]);
            }
            _ => {}
        }
    }
    if animals(case) && surely_dangerous(case) {
        *seen.entry("surely dangerous".into()).or_default() += 1;
        assert_eq!(answer.advice[0].urgency, Urgency::Danger, "{}", told());
    }
}

/// How many journals two tests share.
fn journals() -> usize {
    let wanted = std::env::var("LENTIC_JOURNALS").ok();
    wanted.map_or(1_400, |number| {
        number.parse().expect("a number of journals")
    })
}

fn check_many(seed: u64) {
    let mut dice = Dice(seed);
    let excluded = exclusions();
    let mut seen = BTreeMap::new();
    for _ in 0..journals() / 2 {
        check(&case(&mut dice), &excluded, &mut seen);
    }
    // The dice must have reached what is looked at, or nothing was tested.
    for action in [
        "change-water",
        "leave-water",
        "declare-cycled",
        "rescue-animals",
        "dose-ammonia",
        "surely dangerous",
    ] {
        assert!(
            seen.get(action).copied().unwrap_or(0) >= 3,
            "{action} in {seen:?}"
        );
    }
}

#[test]
fn no_journal_brings_clashes_or_advice_behind_a_shut_gate_or_without_its_readings() {
    check_many(1);
}

#[test]
fn nor_does_any_of_as_many_others() {
    check_many(2);
}

/// Everything that was decided, without the words.
fn verdicts(answer: &Advice) -> Vec<String> {
    let stands = answer
        .advice
        .iter()
        .map(|point| format!("{} {} {}", point.rule, name(&point.urgency), point.certain));
    let aside = answer
        .set_aside
        .iter()
        .map(|aside| format!("aside {} {}", aside.advice.rule, aside.advice.certain));
    let open = answer
        .open
        .iter()
        .map(|open| format!("open {} {:?}", open.rule, open.wants));
    let gates = answer
        .gates
        .iter()
        .map(|gate| format!("{} {}", gate.gate, name(&gate.verdict)));
    stands.chain(aside).chain(open).chain(gates).collect()
}

#[test]
fn the_unit_in_which_a_value_was_typed_changes_no_verdict() {
    let mut dice = Dice(3);
    for _ in 0..400 {
        let case = case(&mut dice);
        let (one, other) = (advise(&case.one, &case.on), advise(&case.other, &case.on));
        assert_eq!(
            verdicts(&one),
            verdicts(&other),
            "{}\n{}\n{}",
            case.on,
            case.one,
            case.other
        );
    }
}

/// The journal with more ammonia in its latest test of it.
fn with_more_ammonia(case: &Case, dice: &mut Dice) -> Option<Value> {
    let mut more = case.one.clone();
    let events = more["events"].as_array_mut().expect("a list");
    let reading = events
        .iter_mut()
        .rev()
        .find_map(|event| event.get_mut("values")?.get_mut("total-ammonia"))?;
    let text = reading.as_str().expect("a text");
    let number: f64 = text
        .split(' ')
        .next()
        .expect("a number")
        .parse()
        .expect("a number");
    let by = dice.one(&[0.2, 0.7, 1.5, 4.0]);
    *reading = json!(format!("{} mg/L NH4", number + by));
    Some(more)
}

#[test]
fn more_ammonia_never_lowers_the_most_urgent_advice_while_animals_are_in() {
    let mut dice = Dice(4);
    let mut compared = 0;
    while compared < 200 {
        let case = case(&mut dice);
        if !animals(&case) {
            continue;
        }
        let Some(more) = with_more_ammonia(&case, &mut dice) else {
            continue;
        };
        let urgency = |journal: &Value| {
            advise(journal, &case.on)
                .advice
                .iter()
                .map(|point| point.urgency)
                .min()
        };
        let (less_urgency, more_urgency) = (urgency(&case.one), urgency(&more));
        assert!(
            more_urgency.is_some_and(|more| less_urgency.is_none_or(|less| more <= less)),
            "{less_urgency:?} became {more_urgency:?}\n{}\n{}\n{more}",
            case.on,
            case.one
        );
        compared += 1;
    }
}
