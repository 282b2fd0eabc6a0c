//! The verdicts of `tests/reference/rules-facts.csv`: a table of conditions and what they come to, drawn up from the
//! sources it names (UF/IFAS FA16 and FA27, US EPA 2013, British Columbia, SRAC 462, Emerson 1975, atomic masses; the
//! rest is marked there as practice) before the book was written. Rows are taken as they stand.

use std::collections::BTreeMap;

use lentic::advice;
use lentic::engine::{Facts, Given, Interval, Reading, Set, Urgency, Verdict};
use lentic::journal::Date;

use crate::support::{book, day, journal, project};
use crate::told::{self, told};

/// Rows by the first word of their id that no test here covers yet, how many, and why.
const LEFT: &[(&str, usize, &str)] = &[
    (
        "calc",
        1,
        "what a cylinder's gas comes to in a room is told by cautions, not worked out",
    ),
    (
        "example",
        11,
        "a span of days, a unit held at its worst and the hour of a test cannot be said in facts; a mist while planting \
         is told before the day; a siphon started by mouth is a caution; contaminants on stems are told before they are \
         bought; how much food a bed bears is the forecast's; 31 °C is `act today` in another row, which the book \
         follows; the lists of a region are the reader's own",
    ),
    ("gate", 1, "cycling with fish is told by other rules"),
    (
        "hazard",
        2,
        "a siphon started by mouth and a look into a UV lamp are told before they happen, as a caution and a note",
    ),
    (
        "legal",
        7,
        "the lists of a region are the reader's own; the book asks for them and names none as the law",
    ),
];

/// A row of the table.
pub struct Row {
    pub id: String,
    pub condition: String,
    pub verdict: String,
    /// Seen, reckoned, from memory, or practice.
    pub provenance: String,
}

/// The fields of a line of CSV, after RFC 4180; no field of this file holds a line break.
fn fields(line: &str) -> Vec<String> {
    let mut fields = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            c => fields.last_mut().expect("there is one").push(c),
        }
    }
    fields
}

fn rows() -> Vec<Row> {
    let text =
        std::fs::read_to_string(project("tests/reference/rules-facts.csv")).expect("the table");
    let row = |line: &str| {
        let fields = fields(line);
        assert_eq!(fields.len(), 6, "{line}");
        Row {
            id: fields[0].clone(),
            condition: fields[2].clone(),
            verdict: fields[3].clone(),
            provenance: fields[5].clone(),
        }
    };
    text.lines().skip(1).map(row).collect()
}

/// `key=value; key=value` as pairs.
fn pairs(text: &str) -> BTreeMap<&str, &str> {
    text.split(';')
        .filter_map(|pair| pair.split_once('='))
        .map(|(key, value)| (key.trim(), value.trim()))
        .collect()
}

/// The first number in a text, and half a step of its last printed figure.
fn number(text: &str) -> (f64, f64) {
    let start = text
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or_else(|| panic!("no number in {text}"));
    let digits: String = text[start..]
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    let digits = digits.trim_end_matches('.');
    let decimals = digits.split_once('.').map_or(0, |(_, after)| after.len());
    (
        digits.parse().expect("a number"),
        0.5 * 10_f64.powi(-(decimals as i32)),
    )
}

#[track_caller]
fn close(id: &str, found: f64, expected: f64, off: f64) {
    assert!(
        (found - expected).abs() <= off * (1.0 + 1e-9),
        "{id}: {found}, not {expected} ± {off}"
    );
}

/// What a typed value comes to in the main unit.
#[track_caller]
fn entered(fact: &str, text: &str) -> f64 {
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

/// What is reckoned for values taken as exact, in the unit it is shown in.
#[track_caller]
fn reckoned(what: &str, values: &[(&str, &str)]) -> f64 {
    let values: Vec<(String, String)> = values
        .iter()
        .map(|(key, value)| ((*key).to_owned(), (*value).to_owned()))
        .collect();
    let found = book()
        .reckon(what, &values)
        .unwrap_or_else(|wrong| panic!("{what}: {wrong:?}"));
    match found.worked {
        Some(worked) => worked.low.expect("a number"),
        None => number(&found.shown).0,
    }
}

// ---- Units

/// The fact that a row converts, the unit it is given in, the unit asked for.
const UNITS: &[(&str, &str, &str, &str)] = &[
    ("unit-tan-nh3", "total-ammonia", "1 mg/L N", "mg/L NH3"),
    ("unit-tan-nh4", "total-ammonia", "1 mg/L N", "mg/L NH4"),
    ("unit-nitrite-no2", "nitrite", "1 mg/L N", "mg/L NO2"),
    ("unit-nitrate-no3", "nitrate", "1 mg/L N", "mg/L NO3"),
    ("unit-degree-gh", "gh", "1 °dH", "mg/L CaCO3"),
    ("unit-degree-meq", "kh", "1 °dH", "meq/L"),
    ("unit-us-gallon", "net-volume", "1 US gal", "L"),
    ("unit-uk-gallon", "net-volume", "1 UK gal", "L"),
    ("unit-fahrenheit-78", "temperature", "78 °F", "°C"),
    ("unit-nitrite-ion-half", "nitrite", "0.5 mg/L NO2", "mg/L N"),
    ("unit-nitrate-n-10", "nitrate", "10 mg/L N", "mg/L NO3"),
    ("unit-tan-nh4-1", "total-ammonia", "1 mg/L NH4", "mg/L N"),
    ("unit-phosphate-po4", "phosphate", "1 mg/L P", "mg/L PO4"),
];

fn unit(row: &Row) -> bool {
    let Some((id, fact, from, to)) = UNITS.iter().find(|(id, ..)| *id == row.id) else {
        return false;
    };
    // Exact to the figures it is printed with, or to what it says.
    let (expected, half_a_step) = number(&row.verdict);
    let off = row
        .verdict
        .split_once('±')
        .map_or(half_a_step, |(_, off)| number(off).0);
    close(
        id,
        entered(fact, from) / entered(fact, &format!("1 {to}")),
        expected,
        off,
    );
    true
}

// ---- Un-ionised ammonia

fn free_ammonia(total: &str, ph: &str, temperature: &str) -> f64 {
    let (total, temperature) = (format!("{total} mg/L N"), format!("{temperature} °C"));
    reckoned(
        "free-ammonia",
        &[
            ("total-ammonia", &total),
            ("ph", ph),
            ("temperature", &temperature),
        ],
    )
}

fn fraction(row: &Row) -> bool {
    if !row.id.starts_with("nh3-fraction-") {
        return false;
    }
    let given = pairs(&row.condition);
    let (expected, half_a_step) = number(row.verdict.trim_start_matches("f="));
    close(
        &row.id,
        free_ammonia("1", given["pH"], given["T"]),
        expected,
        (0.01 * expected).max(half_a_step),
    );
    true
}

/// The share alone is judged here: danger is one rule, and high pH with a trace of ammonia another.
fn level(row: &Row) -> bool {
    if !row.id.starts_with("nh3-level-") {
        return false;
    }
    let given = pairs(&row.condition);
    let total = given["TAN"].trim_end_matches(" as N");
    let (share, judged) = row.verdict.split_once(';').expect("a share and a level");
    let (expected, half_a_step) = number(share.trim_start_matches("NH3-N="));
    close(
        &row.id,
        free_ammonia(total, given["pH"], given["T"]),
        expected,
        half_a_step,
    );
    let mut known = Known::new(&row.condition);
    known.animals("fish");
    known.water(&given);
    let holds = |rule| known.holds(rule);
    assert_eq!(
        holds("free-ammonia-burns"),
        judged.trim() == "danger",
        "{}",
        row.id
    );
    let trace = total.parse::<f64>().expect("a number") < 0.25;
    assert_eq!(
        holds("free-ammonia-should-not-last"),
        trace && judged.trim() == "act today",
        "{}",
        row.id
    );
    true
}

// ---- Rules on exact values

const TODAY: &str = "2026-09-25";

/// Facts as exact points on one day.
struct Known {
    of: String,
    facts: Facts,
}

impl Known {
    fn new(of: &str) -> Known {
        let mut known = Known {
            of: of.to_owned(),
            facts: Facts::default(),
        };
        known.number("today", f64::from(day(TODAY).days()));
        known.choice("filled", "yes");
        known.choice("planted", "yes");
        known
    }

    fn number(&mut self, fact: &str, value: f64) {
        let given = Given::new(Set::Number(Interval::point(value)));
        assert!(self.facts.give(book(), fact, given), "{fact}");
    }

    fn choice(&mut self, fact: &str, text: &str) {
        let entered = book()
            .enter(fact, text)
            .unwrap_or_else(|message| panic!("{fact}: {message}"));
        assert!(
            self.facts.give(book(), fact, Given::new(entered.set)),
            "{fact}"
        );
    }

    /// A reading of today, without any spread.
    fn read(&mut self, fact: &str, text: &str) {
        let entered = book()
            .enter(fact, text)
            .unwrap_or_else(|message| panic!("{fact}: {message}"));
        let nominal = entered.nominal.expect("a number");
        let values = Interval::point(nominal);
        let mut given = Given::new(Set::Number(values));
        given.readings.push(Reading {
            day: f64::from(day(TODAY).days()),
            values,
            nominal,
            mark: entered.mark,
            typed: text.to_owned(),
        });
        assert!(self.facts.give(book(), fact, given), "{fact}");
    }

    /// A reading of yesterday and one of today.
    fn read_since_yesterday(&mut self, fact: &str, yesterday: &str, text: &str) {
        self.read(fact, text);
        let mut given = self.facts.given(book(), fact).expect("a reading").clone();
        let nominal = entered(fact, yesterday);
        let earlier = Reading {
            day: given.readings[0].day - 1.0,
            values: Interval::point(nominal),
            nominal,
            mark: None,
            typed: yesterday.to_owned(),
        };
        given.readings.insert(0, earlier);
        assert!(self.facts.give(book(), fact, given), "{fact}");
    }

    fn animals(&mut self, sort: &str) {
        let count = |sorts: &[&str]| f64::from(u8::from(sorts.contains(&sort)));
        self.number("fish", count(&["fish", "any"]));
        self.number("shrimp", count(&["shrimp", "Neocaridina davidi"]));
        self.number("snails", count(&["snail"]));
    }

    fn water(&mut self, given: &BTreeMap<&str, &str>) {
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
                "pH change in 24 h" => {
                    self.choice("co2-on", "no");
                    let fallen = 7.0 - plain.parse::<f64>().expect("a number");
                    self.read_since_yesterday("ph", "7.0", &format!("{fallen:.1}"));
                }
                "copper" => {
                    let micrograms = plain.trim_end_matches(" ug/L");
                    self.read("copper", &format!("{micrograms} µg/L Cu"));
                }
                "signs" => self.choice("signs", "gasping"),
                _ => {}
            }
        }
    }

    fn holds(&self, rule: &str) -> bool {
        let verdict = book().evaluate(&self.facts).rule(rule);
        verdict.unwrap_or_else(|| panic!("no rule {rule}")) == Verdict::Holds
    }

    /// The most urgent advice that is certain, among chapters.
    fn most_urgent(&self, chapters: &[&str]) -> Option<Urgency> {
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

fn level_of(urgency: Option<Urgency>) -> &'static str {
    match urgency {
        Some(Urgency::Danger) => "danger",
        Some(Urgency::Today) => "act today",
        Some(Urgency::Soon) => "plan",
        Some(Urgency::Note) | None => "fine",
    }
}

fn threshold(row: &Row) -> bool {
    if !row.id.starts_with("threshold-") {
        return false;
    }
    let given = pairs(&row.condition);
    let mut known = Known::new(&row.condition);
    known.animals(given.get("animals").copied().unwrap_or("fish"));
    known.water(&given);
    let found = level_of(known.most_urgent(&[
        "Danger in the water",
        "Breath, warmth and deaths",
        "Animals",
        "The running tank",
    ]));
    // What is good to know needs nothing done.
    let verdict = row.verdict.replace("good to know", "fine");
    assert!(
        verdict.starts_with(found),
        "{} ({}): {found}, not {}",
        row.id,
        row.condition,
        row.verdict
    );
    true
}

// ---- Plants

/// The option of the book for the first word of a botanical name.
fn plant_option(plant: &str) -> &'static str {
    match plant.split(' ').next() {
        Some("Bucephalandra") => "bucephalandra",
        Some("Vallisneria") => "vallisneria",
        Some("Myriophyllum") => "milfoil",
        Some("Hygrophila") => "hygrophila",
        other => panic!("{other:?}"),
    }
}

fn plant(row: &Row) -> bool {
    let given = pairs(&row.condition);
    let (true, Some(ammonia)) = (row.id.starts_with("plant-"), given.get("TAN")) else {
        return false;
    };
    let mut one = Known::new(&row.condition);
    one.choice("plant-species", plant_option(given["plant"]));
    one.choice(
        "plant-origin",
        if given["plant"].contains("in-vitro") {
            "in-vitro"
        } else {
            "potted"
        },
    );
    one.number("plant-days", 5.0);
    let class = book()
        .look_up("class-of-plant", &one.facts)
        .expect("a table");
    let mut known = Known::new(&row.condition);
    known.facts.give(book(), "plant-class", Given::new(class));
    known.choice("start", "planted");
    known.animals("none");
    known.number("planted-on", f64::from(day(TODAY).days() - 10));
    known.read(
        "total-ammonia",
        &format!("{} mg/L N", ammonia.trim_end_matches(" as N")),
    );
    let found = match (
        known.holds("ammonia-costs-plants"),
        known.holds("ammonia-presses-plants"),
    ) {
        (true, false) => "act today",
        (false, true) => "plan",
        (false, false) => "fine",
        (true, true) => panic!("{}: both", row.id),
    };
    assert!(
        row.verdict.starts_with(found),
        "{} ({}): {found}, not {}",
        row.id,
        row.condition,
        row.verdict
    );
    true
}

// ---- Rhythm of changes

fn rhythm(row: &Row) -> bool {
    if !row.id.starts_with("change-planted-") {
        return false;
    }
    let given = pairs(&row.condition);
    let at = |key: &str| given[key].parse::<i32>().expect("a day");
    let date = |after: i32| {
        Date::from_days(day("2026-03-01").days() + after)
            .expect("a date")
            .to_string()
    };
    let tank = journal(&format!(
        r#"{{ "format": "lentic-journal/1", "tank": {{ "start": "planted", "bed": "releasing" }}, "events": [
            {{ "on": "{0}", "event": "filled" }},
            {{ "on": "{0}", "event": "planted", "plants": [ {{ "species": "cryptocoryne" }} ] }},
            {{ "on": "{1}", "event": "changed-water", "share": "50 %" }} ] }}"#,
        date(0),
        date(at("last_change_day"))
    ));
    let answer = advice::advise(book(), &tank, day(&date(at("day")))).expect("readable");
    let stands = |action: &str| {
        answer
            .advice
            .iter()
            .any(|point| point.certain && point.action == action)
    };
    assert_eq!(stands("change-water"), row.verdict == "due", "{}", row.id);
    assert_eq!(
        stands("leave-water"),
        row.verdict == "not due",
        "{}",
        row.id
    );
    true
}

// ---- Amounts

/// The row, what is reckoned, with which values, and what one of the book's units is in those of the row.
type Formula = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
    f64,
);

/// Half of the water every so many days, one milligram to the litre released a day.
const STEADY: [&[(&str, &str)]; 4] = [
    &steady("1 day"),
    &steady("2 days"),
    &steady("3 days"),
    &steady("7 days"),
];

const fn steady(rhythm: &'static str) -> [(&'static str, &'static str); 4] {
    [
        ("released-a-day", "1"),
        ("days-between-changes", rhythm),
        ("share-of-each-change", "50 %"),
        ("new-water", "0"),
    ]
}

const FORMULAS: &[Formula] = &[
    (
        "calc-01",
        "ammonium-chloride-for",
        &[("wanted-rise", "2 mg/L N"), ("water", "50 L")],
        1000.0,
    ),
    (
        "calc-02",
        "ammonium-chloride-for",
        &[("wanted-rise", "1 mg/L N"), ("water", "100 L")],
        1000.0,
    ),
    (
        "calc-04",
        "kh-used-by",
        &[("total-ammonia", "4 mg/L N")],
        1.0,
    ),
    (
        "calc-06",
        "salt-against-nitrite",
        &[
            ("nitrite", "2 mg/L NO2"),
            ("chloride", "0 mg/L Cl"),
            ("wanted-ratio", "10"),
            ("water", "100 L"),
        ],
        1.0,
    ),
    (
        "calc-03",
        "raise-kh",
        &[
            ("wanted-rise", "1 °dH"),
            ("water", "100 L"),
            ("salt", "sodium-bicarbonate"),
        ],
        1.0,
    ),
    (
        "calc-05",
        "oxygen-used-by",
        &[("total-ammonia", "1 mg/L N")],
        1.0,
    ),
    (
        "calc-07",
        "ammonia-from-chloramine",
        &[("chloramine", "2 mg/L Cl2"), ("share-of-new-water", "50 %")],
        1.0,
    ),
    (
        "calc-08",
        "thiosulfate-for",
        &[
            ("chlorine", "1 mg/L Cl2"),
            ("water", "50 L"),
            ("form", "crystals"),
            ("reaction", "to-tetrathionate"),
        ],
        1.0,
    ),
    (
        "calc-10",
        "after-changes",
        &[
            ("now", "120"),
            ("share-of-each-change", "70 %"),
            ("new-water", "10"),
            ("changes", "1"),
            ("released-before-each-change", "0"),
        ],
        1.0,
    ),
    // Warmth is shared out as what is dissolved is.
    (
        "calc-12",
        "after-changes",
        &[
            ("now", "25"),
            ("share-of-each-change", "50 %"),
            ("new-water", "11"),
            ("changes", "1"),
            ("released-before-each-change", "0"),
        ],
        1.0,
    ),
    (
        "calc-13",
        "after-changes",
        &[
            ("now", "2.0"),
            ("share-of-each-change", "50 %"),
            ("new-water", "0"),
            ("changes", "2"),
            ("released-before-each-change", "0"),
        ],
        1.0,
    ),
    (
        "calc-20",
        "ammonia-from-food",
        &[("food", "1 g"), ("protein", "40 %"), ("water", "1 L")],
        1.0,
    ),
    (
        "calc-21",
        "food-for-ammonia",
        &[
            ("total-ammonia", "1 mg/L N"),
            ("water", "100 L"),
            ("protein", "40 %"),
        ],
        0.5,
    ),
    ("change-steady-n1", "steady-level", STEADY[0], 1.0),
    ("change-steady-n2", "steady-level", STEADY[1], 1.0),
    ("change-steady-n3", "steady-level", STEADY[2], 1.0),
    ("change-steady-n7", "steady-level", STEADY[3], 1.0),
    (
        "calc-09",
        "share-for-nitrate",
        &[("nitrate", "60 mg/L NO3"), ("tap-nitrate", "10 mg/L NO3")],
        0.01,
    ),
    (
        "calc-14",
        "water-volume",
        &[
            ("inner-length", "60 cm"),
            ("inner-width", "30 cm"),
            ("height-of-the-water", "33 cm"),
            ("depth-of-the-bed", "6 cm"),
            ("pores-of-the-bed", "40 %"),
            ("wood-and-stone", "3 L"),
        ],
        1.0,
    ),
    (
        "calc-23",
        "oxygen-saturation",
        &[("temperature", "26 °C")],
        1.0,
    ),
    (
        "calc-24",
        "oxygen-saturation",
        &[("temperature", "32 °C")],
        1.0,
    ),
    (
        "calc-25",
        "oxygen-saturation",
        &[("temperature", "20 °C")],
        1.0,
    ),
];

fn formula(row: &Row) -> bool {
    let Some((id, what, values, scale)) = FORMULAS.iter().find(|(id, ..)| *id == row.id) else {
        return false;
    };
    let (expected, half_a_step) = number(&row.verdict);
    close(id, reckoned(what, values) * scale, expected, half_a_step);
    true
}

// ---- CO2 by the trade's short form, and by a drop of pH from a sample at rest

/// The table's `thermodynamic` leaves out activities, as the ideal formula does; with them it is 33.7 mg/L.
fn trade(row: &Row) -> bool {
    let alkalinity = 4.0 * 17.848;
    let co2 = match row.id.as_str() {
        "calc-15" => lentic::water::carbon_dioxide_short_form_mg_l(6.6, alkalinity),
        "calc-17" => lentic::water::carbon_dioxide_short_form_mg_l(6.4, alkalinity),
        "calc-16" => lentic::water::carbon_dioxide_ideal_mg_l(6.6, alkalinity, 25.0),
        _ => return false,
    };
    let (expected, half_a_step) = number(&row.verdict);
    close(&row.id, co2, expected, half_a_step);
    true
}

/// A drop of pH multiplies what the sample held, whatever that is.
fn drop(row: &Row) -> bool {
    let aired = match row.id.as_str() {
        "calc-18" => 0.6,
        "calc-19" => 3.0,
        _ => return false,
    };
    let air = ("air", "outdoors");
    let warmth = ("temperature", "25 °C");
    let dropped = reckoned("co2-from-ph-drop", &[("drop-of-ph", "1"), air, warmth]);
    let at_rest = reckoned(
        "co2-in-balance-with-air",
        &[air, warmth, ("altitude", "0 m")],
    );
    let (expected, half_a_step) = number(&row.verdict);
    close(&row.id, dropped / at_rest * aired, expected, half_a_step);
    true
}

/// No change reaches less than the new water holds, so the share for it is no number.
fn impossible(row: &Row) -> bool {
    if row.id != "calc-11" {
        return false;
    }
    let values = [("nitrate", "60 mg/L NO3"), ("tap-nitrate", "40 mg/L NO3")];
    let values = values.map(|(key, value)| (key.to_owned(), value.to_owned()));
    let found = book().reckon("share-for-nitrate", &values).expect("read");
    assert_eq!(found.shown, "not known", "{}", row.id);
    true
}

// ---- What fits

/// The row, who is wanted, the tank's own days, pH and GH, and rules that clash.
type Fits = (
    &'static str,
    &'static [(&'static str, u32)],
    (u32, &'static str, &'static str),
    &'static [&'static str],
);

const FITS: &[Fits] = &[
    (
        "gate-09",
        &[("otocinclus", 6)],
        (30, "7", "8 °dH"),
        &["tank-younger-than-eight-weeks"],
    ),
    (
        "example-stock-space-and-group",
        &[("corydoras-panda", 3)],
        (90, "7", "8 °dH"),
        &["group-too-small", "too-little-water"],
    ),
    (
        "example-stock-common-band",
        &[("bee-shrimp", 10), ("poecilia-reticulata", 3)],
        (90, "6.8", "6 °dH"),
        &["no-gh-for-two-animals"],
    ),
    (
        "example-stock-predation",
        &[("angelfish", 4), ("ember-tetra", 10)],
        (90, "6.8", "6 °dH"),
        &["swallows-small-fish"],
    ),
    (
        "example-stock-plant-eaters",
        &[("goldfish", 2), ("glossostigma", 1)],
        (90, "7", "8 °dH"),
        &["eats-plant"],
    ),
];

fn fits(row: &Row) -> bool {
    let Some((id, wanted, (days, ph, gh), clashing)) = FITS.iter().find(|(id, ..)| *id == row.id)
    else {
        return false;
    };
    let filled = Date::from_days(day("2026-06-30").days() - *days as i32).expect("a day");
    let text = format!(
        r#"{{ "format": "lentic-journal/1",
  "tank": {{ "start": "dark", "bed": "inert", "net-volume": "45 L", "glass-length": "60 cm", "lid": "no", "co2-on": "no" }},
  "events": [ {{ "on": "{filled}", "event": "filled" }},
    {{ "on": "2026-06-30", "event": "read", "values": {{ "temperature": "24 °C", "ph": "{ph}", "gh": "{gh}" }} }} ] }}"#
    );
    let wishes: Vec<advice::Wish> = wanted
        .iter()
        .map(|(species, count)| advice::Wish {
            species: (*species).to_owned(),
            count: *count,
        })
        .collect();
    let fit = advice::fit(book(), &journal(&text), day("2026-06-30"), &wishes)
        .unwrap_or_else(|mistakes| panic!("{id}: {mistakes:#?}"));
    let alone = fit.species.iter().flat_map(|one| &one.clashes);
    let together = fit.pairs.iter().flat_map(|pair| &pair.clashes);
    let found: Vec<&str> = alone
        .chain(together)
        .map(|point| point.rule.as_str())
        .collect();
    for rule in *clashing {
        assert!(found.contains(rule), "{id}: {rule} is not in {found:?}");
    }
    true
}

/// Every row goes to the one check that knows its kind; the rest is counted against `LEFT`.
#[test]
fn the_table_of_verdicts_comes_out() {
    let checks: &[fn(&Row) -> bool] = &[
        unit, fraction, level, threshold, plant, rhythm, formula, trade, drop, impossible, fits,
        told,
    ];
    let (mut covered, mut left) = (0, BTreeMap::new());
    for row in rows() {
        match checks.iter().filter(|check| check(&row)).count() {
            0 => {
                *left
                    .entry(row.id.split('-').next().expect("an id").to_owned())
                    .or_insert(0_usize) += 1
            }
            1 => covered += 1,
            more => panic!("{}: {more} checks", row.id),
        }
    }
    println!(
        "{covered} rows covered, {} left for later",
        left.values().sum::<usize>()
    );
    let ids: Vec<String> = rows().into_iter().map(|row| row.id).collect();
    for id in told::ids() {
        assert!(ids.iter().any(|row| row == id), "{id} is in no row");
    }
    let expected: BTreeMap<String, usize> = LEFT
        .iter()
        .map(|(prefix, count, _)| ((*prefix).to_owned(), *count))
        .collect();
    assert_eq!(left, expected);
    assert!(LEFT.iter().all(|(_, _, reason)| !reason.is_empty()));
}
