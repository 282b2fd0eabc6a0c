//! Every amount that can be asked for by name, asked for by name and held against a value from outside the project; and
//! that amounts over intervals hold what amounts of points give.

use std::sync::OnceLock;

use lentic::advice::{self, FUNCTIONS};
use lentic::engine::{Argument, Book, Function, Reckoned, Trend};
use lentic::water::Salt;

use super::reference::{Row, rows};
use super::{lent_chemistry, lent_doses};

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| advice::built_in().unwrap_or_else(|mistakes| panic!("{mistakes}")))
}

#[track_caller]
pub(crate) fn reckoned(name: &str, values: &[(&str, String)]) -> Reckoned {
    let values: Vec<(String, String)> = values
        .iter()
        .map(|(key, text)| ((*key).to_owned(), text.clone()))
        .collect();
    book()
        .reckon(name, &values)
        .unwrap_or_else(|wrong| panic!("{name}: {wrong:?}"))
}

/// The value, which must be one number.
#[track_caller]
pub(crate) fn value(name: &str, values: &[(&str, String)]) -> f64 {
    let found = reckoned(name, values);
    assert_eq!(found.low, found.high, "{name}: {}", found.shown);
    assert!(!found.working.is_empty(), "{name} shows no working");
    assert!(!found.sources.is_empty(), "{name} names no source");
    found
        .low
        .unwrap_or_else(|| panic!("{name}: {}", found.shown))
}

pub(crate) fn with(number: f64, unit: &str) -> String {
    format!("{number} {unit}").trim_end().to_owned()
}

/// What a row says in a column, with a unit.
pub(crate) fn of(row: &Row, column: &str, unit: &str) -> String {
    with(row.number(column), unit)
}

/// The first number of the first line that has these words.
#[track_caller]
pub(crate) fn told(lines: &[String], words: &str) -> f64 {
    let line = lines.iter().find(|line| line.contains(words));
    let line = line.unwrap_or_else(|| panic!("no line has {words}: {lines:?}"));
    let mut numbers = line.split(' ').filter_map(|word| word.parse().ok());
    numbers
        .next()
        .unwrap_or_else(|| panic!("no number in {line}"))
}

/// The number that follows these words, in the first line that has them.
#[track_caller]
pub(crate) fn after(lines: &[String], words: &str) -> f64 {
    let rest = lines
        .iter()
        .find_map(|line| Some(line.split_once(words)?.1));
    let number = rest.and_then(|rest| rest.split(' ').next()?.parse().ok());
    number.unwrap_or_else(|| panic!("no number after {words}: {lines:?}"))
}

#[track_caller]
pub(crate) fn close(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() <= 5e-4 * expected.abs(),
        "{found} instead of {expected}"
    );
}

/// Holds the amount of that name against values from outside.
pub(crate) type Check = fn(&'static str);

#[track_caller]
pub(crate) fn row(file: &str, column: &str, is: &str) -> Row {
    let found = rows(file).into_iter().find(|row| row.text(column) == is);
    found.unwrap_or_else(|| panic!("no row of {file} with {is}"))
}

#[test]
fn every_amount_is_held_against_a_value_from_outside() {
    let lent: Vec<&str> = FUNCTIONS.iter().map(|function| function.name).collect();
    let checks = || lent_chemistry::CHECKS.iter().chain(lent_doses::CHECKS);
    let held: Vec<&str> = checks().map(|(name, _)| *name).collect();
    let missing: Vec<&&str> = lent.iter().filter(|name| !held.contains(name)).collect();
    assert!(missing.is_empty(), "held against nothing: {missing:?}");
    assert_eq!(lent.len(), held.len());
    for (name, check) in checks() {
        check(name);
    }
}

/// Every combination of the choices of a function.
fn choices(function: &Function) -> Vec<Vec<Option<usize>>> {
    let mut all = vec![Vec::new()];
    for argument in function.arguments {
        let options: Vec<Option<usize>> = match argument.options.len() {
            0 => vec![None],
            count => (0..count).map(Some).collect(),
        };
        all = all
            .iter()
            .flat_map(|start: &Vec<_>| {
                options
                    .iter()
                    .map(|option| [&start[..], &[*option]].concat())
            })
            .collect();
    }
    all
}

/// A value within an interval, whose end may be open.
fn between((low, high): (f64, f64), share: f64) -> f64 {
    low + (high.min(1000.0) - low) * share
}

/// Points of the interval in which an argument is valid, or the one that a choice is.
fn points(argument: &Argument, chosen: Option<usize>, count: usize) -> Vec<f64> {
    match chosen {
        Some(place) => vec![place as f64],
        None => (0..count)
            .map(|step| between(argument.valid, step as f64 / (count - 1) as f64))
            .collect(),
    }
}

fn steps(function: &Function, position: usize, start: &[f64]) -> Vec<f64> {
    let mut arguments = start.to_vec();
    points(&function.arguments[position], None, 40)
        .into_iter()
        .map(|point| {
            arguments[position] = point;
            (function.compute)(&arguments)
        })
        .filter(|value| value.is_finite())
        .collect()
}

/// Amounts over intervals are taken at their ends on the strength of the trends.
#[test]
fn every_amount_moves_as_its_trends_say() {
    for function in FUNCTIONS
        .iter()
        .filter(|function| function.extension.is_none())
    {
        for chosen in choices(function) {
            let mut starts = vec![Vec::new()];
            for (argument, chosen) in function.arguments.iter().zip(&chosen) {
                let points = points(argument, *chosen, 3);
                starts = starts
                    .iter()
                    .flat_map(|start: &Vec<f64>| {
                        points.iter().map(|point| [&start[..], &[*point]].concat())
                    })
                    .collect();
            }
            for (position, argument) in function.arguments.iter().enumerate() {
                if chosen[position].is_some() {
                    continue;
                }
                for start in &starts {
                    let values = steps(function, position, start);
                    let never = |against: fn(f64, f64) -> bool| {
                        // Rounding may undo what is level.
                        let level =
                            |pair: &[f64]| (pair[1] - pair[0]).abs() <= 1e-12 * pair[0].abs();
                        !values
                            .windows(2)
                            .any(|pair| against(pair[0], pair[1]) && !level(pair))
                    };
                    let (rises, falls) = (never(|a, b| b < a), never(|a, b| b > a));
                    let holds = match argument.trend {
                        Trend::Rising => rises,
                        Trend::Falling => falls,
                        Trend::Either => rises || falls,
                    };
                    assert!(holds, "{} in {} at {start:?}", function.name, argument.name);
                }
            }
        }
    }
}

/// Numbers that look like chance and are the same every time.
struct Chance(u64);

impl Chance {
    fn share(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / (1_u64 << 24) as f64
    }
}

#[test]
fn an_amount_over_intervals_holds_the_amount_of_every_point_within() {
    let mut chance = Chance(7);
    let key = |argument: &Argument| argument.name.to_lowercase().replace(' ', "-");
    let mut tried = 0;
    for function in FUNCTIONS {
        for chosen in choices(function) {
            for _ in 0..12 {
                let (mut wide, mut narrow) = (Vec::new(), Vec::new());
                for (argument, chosen) in function.arguments.iter().zip(&chosen) {
                    if let Some(place) = chosen {
                        let name = argument.options[*place].0.to_owned();
                        wide.push((key(argument), name.clone()));
                        narrow.push((key(argument), name));
                        continue;
                    }
                    let mut ends = [chance.share(), chance.share(), chance.share()].map(|share| {
                        let value = between(argument.valid, share);
                        (value * 1e4).round() / 1e4
                    });
                    ends.sort_by(f64::total_cmp);
                    let unit = argument.unit;
                    wide.push((
                        key(argument),
                        format!("{} to {} {unit}", ends[0], ends[2])
                            .trim_end()
                            .to_owned(),
                    ));
                    narrow.push((key(argument), with(ends[1], unit)));
                }
                let ask = |values: &[(String, String)]| {
                    book()
                        .reckon(function.name, values)
                        .unwrap_or_else(|wrong| panic!("{wrong:?}"))
                };
                let (over, at) = (ask(&wide), ask(&narrow));
                let (Some(low), Some(high)) = (over.low, over.high) else {
                    continue;
                };
                let value = at.low.unwrap_or_else(|| {
                    panic!("{}: {narrow:?} has no value, {wide:?} has", function.name)
                });
                tried += 1;
                assert!(
                    low <= value && value <= high,
                    "{}: {value} is not in {low} to {high}\n{wide:?}\n{narrow:?}",
                    function.name
                );
            }
        }
    }
    assert!(tried > 600, "{tried}");
}

/// Factors from outside: NIST SP 811 for gallon and inch, DIN 38409-6 for the degree (both from memory), atomic weights
/// of IUPAC for what a test counts in.
#[test]
fn a_value_may_be_given_in_any_unit_of_its_kind() {
    let dose = |water: &str| {
        value(
            "raise-kh",
            &[
                ("wanted-rise", "1 °dH".into()),
                ("water", water.into()),
                ("salt", "sodium-bicarbonate".into()),
            ],
        )
    };
    close(dose("26.4172052 US gal"), dose("100 L"));
    close(dose("21.9969248 UK gal"), dose("100 L"));
    close(dose("100000 mL"), dose("100 L"));
    let oxygen =
        |temperature: &str| value("oxygen-saturation", &[("temperature", temperature.into())]);
    close(oxygen("77 °F"), oxygen("25 °C"));
    let volume = |length: &str| {
        value(
            "top-up",
            &[
                ("inner-length", length.into()),
                ("inner-width", "20 cm".into()),
                ("fallen-by", "1 cm".into()),
            ],
        )
    };
    close(volume("23.6220472 in"), volume("60 cm"));
    let used = |ammonia: &str| value("kh-used-by", &[("total-ammonia", ammonia.into())]);
    close(used("1.28786 mg/L NH4"), used("1 mg/L N"));
    close(used("1.21589 mg/L NH3"), used("1 mg/L N"));
    let salt = |nitrite: &str| {
        value(
            "salt-against-nitrite",
            &[
                ("nitrite", nitrite.into()),
                ("chloride", "0 mg/L Cl".into()),
                ("wanted-ratio", "10".into()),
                ("water", "100 L".into()),
            ],
        )
    };
    close(salt("1 mg/L N"), salt("3.28443 mg/L NO2"));
}

/// The span of a drop of one: 420 parts outdoors hold 0.61 mg/L at 25 °C (row of `co2_air_equilibrium`), 1000 parts 1.45.
#[test]
fn a_sample_aired_indoors_gives_a_range() {
    let at = |air: &str| {
        reckoned(
            "co2-from-ph-drop",
            &[
                ("drop-of-ph", "1".into()),
                ("air", air.into()),
                ("temperature", "25 °C".into()),
            ],
        )
    };
    let (outdoors, room, typed) = (at("outdoors"), at("room"), at("450 to 1000"));
    assert!(
        outdoors.low < Some(6.075) && Some(6.075) < outdoors.high,
        "{}",
        outdoors.shown
    );
    assert!(
        room.high < Some(14.7) && room.high > Some(14.2),
        "{}",
        room.shown
    );
    assert_eq!(room.shown, typed.shown);
    // The figures that a word stands for have a source of their own.
    assert_eq!((room.sources.len(), typed.sources.len()), (2, 1));
    assert!(
        room.cautions
            .iter()
            .any(|caution| caution.id == "aired-sample")
    );
    assert_eq!(at("outdoors or room").shown, at("400 to 1000").shown);
}

#[test]
fn what_can_hurt_brings_its_caution() {
    let wanted: &[(&str, &[&str])] = &[
        (
            "ammonia",
            &[
                "ammonium-chloride-for",
                "ammonia-solution-for",
                "ammonia-solution-adds",
            ],
        ),
        (
            "bleach",
            &[
                "ammonia-solution-for",
                "ammonia-solution-adds",
                "thiosulfate-for",
            ],
        ),
        (
            "co2",
            &[
                "co2-from-ph-kh",
                "co2-from-ph-drop",
                "ph-for-co2",
                "ph-drop-needed",
            ],
        ),
        ("salt-beside-animals", &["salt-against-nitrite"]),
        (
            "lifting",
            &[
                "filled-weight",
                "floor-load",
                "glass-weight",
                "water-volume",
            ],
        ),
        ("floor", &["filled-weight", "floor-load"]),
        (
            "vet",
            &[
                "unionised-ammonia",
                "ammonia-acute-limit",
                "ammonia-chronic-limit",
                "nitrite-limit",
            ],
        ),
    ];
    for (caution, names) in wanted {
        for name in *names {
            let function = FUNCTIONS
                .iter()
                .find(|function| function.name == *name)
                .expect(name);
            assert!(
                function.cautions.contains(caution),
                "{name} lacks {caution}"
            );
        }
    }
    let text = advice::BUILT_IN
        .iter()
        .find(|(name, _)| name.ends_with("cautions.rules"))
        .expect("a file")
        .1;
    for function in FUNCTIONS {
        for id in function.cautions {
            assert!(
                text.contains(&format!("caution {id}\n")),
                "{}: {id}",
                function.name
            );
        }
    }
}

#[test]
fn every_salt_that_is_offered_is_named_by_its_formula() {
    for function in FUNCTIONS
        .iter()
        .filter(|function| function.arguments.iter().any(|a| a.name == "salt"))
    {
        for (_, label) in function.arguments[2].options {
            let formula = label.rsplit(", ").next().expect("a formula");
            assert!(
                Salt::ALL.iter().any(|salt| salt.formula() == formula),
                "{label}"
            );
        }
    }
}

#[test]
fn what_lies_outside_is_told_and_still_worked_out_and_nonsense_is_not() {
    let hot = reckoned("oxygen-saturation", &[("temperature", "45 °C".into())]);
    assert_eq!(
        hot.outside,
        ["temperature is outside 0 to 40 °C, where the formula was tested"]
    );
    assert!(hot.low.is_some());
    let wrong = |name: &str, values: &[(&str, &str)]| {
        let values: Vec<(String, String)> = values
            .iter()
            .map(|(k, v)| ((*k).to_owned(), (*v).to_owned()))
            .collect();
        book().reckon(name, &values).expect_err(name)
    };
    assert_eq!(
        wrong("oxygen-saturation", &[("temperature", "78 °C")]),
        [
            "temperature: `78 °C` is not possible here: it must be -2 to 50 °C; is the unit right, or a sign or a digit too many?"
        ]
    );
    assert_eq!(
        wrong(
            "raise-kh",
            &[
                ("wanted-rise", "-1 °dH"),
                ("water", "60 kg"),
                ("salt", "sodium-bicarbonat")
            ]
        ),
        [
            "wanted-rise: `-1 °dH` is not possible here: it must be 0 mg/L CaCO3 or more; is the unit right, or a sign or a digit too many?",
            "water: water is not counted in kg; use L, mL, US gal, UK gal",
            "salt: `sodium-bicarbonat` is no option here; did you mean `sodium-bicarbonate`?",
        ]
    );
    assert_eq!(
        wrong("raise-kh", &[("wanted-rise", "1 °dH"), ("water", "60 L")]),
        ["`salt` is missing; choose one of sodium-bicarbonate, potassium-bicarbonate"]
    );
    let far = reckoned(
        "water-to-change",
        &[
            ("now", "40".into()),
            ("wanted", "10".into()),
            ("new-water", "15".into()),
            ("water", "80 L".into()),
        ],
    );
    assert_eq!(
        (far.shown.as_str(), far.low),
        ("this cannot be reached with these values", None)
    );
    assert!(far.working.is_empty(), "{:?}", far.working);
    let bound = reckoned(
        "chloride-to-nitrite",
        &[
            ("chloride", "30 mg/L Cl".into()),
            ("nitrite", "< 1.5 mg/L NO2".into()),
        ],
    );
    assert_eq!(bound.shown, "20 or more");
}
