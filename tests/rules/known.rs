//! Facts as exact points on one day, so that thresholds are met and not spreads of tests.

use std::collections::BTreeMap;

use lentic::engine::{Facts, Given, Interval, Reading, Set, Urgency, Verdict};

use crate::support::{book, day};

pub const TODAY: &str = "2026-09-25";

/// Facts as exact points on one day.
pub struct Known {
    of: String,
    pub facts: Facts,
}

impl Known {
    pub fn new(of: &str) -> Known {
        let mut known = Known {
            of: of.to_owned(),
            facts: Facts::default(),
        };
        known.number("today", f64::from(day(TODAY).days()));
        known.choice("filled", "yes");
        known.choice("planted", "yes");
        known
    }

    pub fn number(&mut self, fact: &str, value: f64) {
        let given = Given::new(Set::Number(Interval::point(value)));
        assert!(self.facts.give(book(), fact, given), "{fact}");
    }

    pub fn choice(&mut self, fact: &str, text: &str) {
        let entered = book()
            .enter(fact, text)
            .unwrap_or_else(|message| panic!("{fact}: {message}"));
        assert!(
            self.facts.give(book(), fact, Given::new(entered.set)),
            "{fact}"
        );
    }

    /// A reading of today, without any spread.
    pub fn read(&mut self, fact: &str, text: &str) {
        self.read_on(fact, text, &[f64::from(day(TODAY).days())]);
    }

    fn read_on(&mut self, fact: &str, text: &str, days: &[f64]) {
        let entered = book()
            .enter(fact, text)
            .unwrap_or_else(|message| panic!("{fact}: {message}"));
        let nominal = entered.nominal.expect("a number");
        let values = Interval::point(nominal);
        let mut given = Given::new(Set::Number(values));
        given.readings.extend(days.iter().map(|day| Reading {
            day: *day,
            values,
            nominal,
            mark: entered.mark,
            typed: text.to_owned(),
        }));
        assert!(self.facts.give(book(), fact, given), "{fact}");
    }

    /// A value as the examples write it: `10 days ago` for a date, `0 mg/L N twice` for readings of two days.
    #[track_caller]
    pub fn tell(&mut self, fact: &str, text: &str) {
        let today = f64::from(day(TODAY).days());
        let infos = book().facts();
        let info = infos.iter().find(|info| info.name == fact);
        let series = info.unwrap_or_else(|| panic!("no fact {fact}")).kind == "series";
        if let Some(days) = text.strip_suffix(" days ago") {
            self.number(fact, today - days.parse::<f64>().expect("days"));
        } else if !series {
            self.choice(fact, text);
        } else if let Some(text) = text.strip_suffix(" twice") {
            self.read_on(fact, text, &[today - 1.0, today]);
        } else {
            self.read(fact, text);
        }
    }

    pub fn animals(&mut self, sort: &str) {
        let count = |sorts: &[&str]| f64::from(u8::from(sorts.contains(&sort)));
        self.number("fish", count(&["fish", "any"]));
        self.number("shrimp", count(&["shrimp", "Neocaridina davidi"]));
        self.number("snails", count(&["snail"]));
    }

    pub fn water(&mut self, given: &BTreeMap<&str, &str>) {
        for (key, value) in given {
            let plain = value
                .trim_end_matches(" as N")
                .trim_end_matches(" as NO3")
                .trim_end_matches(" mg/L");
            match *key {
                "TAN" => self.read("total-ammonia", &format!("{plain} mg/L N")),
                "nitrite" => self.read("nitrite", &format!("{plain} mg/L N")),
                "nitrate" => {
                    self.read("nitrate", &format!("{plain} mg/L NO3"));
                    self.read("nitrite", "0 mg/L N");
                    self.number("tap-nitrate", entered("tap-nitrate", "5 mg/L NO3"));
                }
                "pH" => self.read("ph", plain),
                "T" => self.read("temperature", &format!("{plain} °C")),
                "chloride" => self.read("chloride", &format!("{plain} mg/L Cl")),
                "DO" => self.read("oxygen", &format!("{plain} mg/L O2")),
                "total chlorine" => self.read("chlorine", &format!("{plain} mg/L Cl2")),
                // A share needs a total: where the row gives none, a trace.
                "NH3-N" => {
                    if !given.contains_key("TAN") {
                        self.read("total-ammonia", "0.2 mg/L N");
                    }
                    let share = entered("total-ammonia", &format!("{plain} mg/L N"));
                    self.number("free-ammonia", share);
                }
                // In the main units, mg and cm³.
                "CO2" => {
                    self.choice("co2-on", "yes");
                    self.number(
                        "co2-estimate",
                        plain.parse::<f64>().expect("a number") / 1000.0,
                    );
                }
                "copper" => {
                    let micrograms = plain.trim_end_matches(" ug/L");
                    self.read("copper", &format!("{micrograms} µg/L Cu"));
                }
                // Two readings a day apart, so far from each other.
                "pH change in 24 h" => {
                    self.choice("co2-on", "no");
                    let swing = plain.parse::<f64>().expect("a number");
                    self.number("ph-swing", swing);
                }
                "signs" => self.choice("signs", "gasping"),
                _ => {}
            }
        }
    }

    pub fn holds(&self, rule: &str) -> bool {
        let verdict = book().evaluate(&self.facts).rule(rule);
        verdict.unwrap_or_else(|| panic!("no rule {rule}")) == Verdict::Holds
    }

    /// The most urgent advice that is certain, among chapters.
    pub fn most_urgent(&self, chapters: &[&str]) -> Option<Urgency> {
        let answer = book().evaluate(&self.facts).answer();
        assert!(
            answer.clashes.is_empty(),
            "{}: {:?}",
            self.of,
            answer.clashes
        );
        let points = answer
            .advice
            .iter()
            .filter(|point| point.certain && chapters.contains(&point.chapter.as_str()));
        points.map(|point| point.urgency).min()
    }
}

pub fn level_of(urgency: Option<Urgency>) -> &'static str {
    match urgency {
        Some(Urgency::Danger) => "danger",
        Some(Urgency::Today) => "act today",
        Some(Urgency::Soon) => "plan",
        Some(Urgency::Note) | None => "fine",
    }
}

/// What a typed value comes to in the main unit.
#[track_caller]
pub fn entered(fact: &str, text: &str) -> f64 {
    let entered = book()
        .enter(fact, text)
        .unwrap_or_else(|message| panic!("{fact}: {message}"));
    assert_eq!(entered.question, None, "{fact} {text}");
    match (entered.nominal, entered.set) {
        (Some(nominal), _) => nominal,
        (None, Set::Number(values)) => values.lo,
        other => panic!("{other:?}"),
    }
}
