//! Forecast, plan and comparison for journals, as a keeper reads them, and what must hold for any.
//!
//! People, places and tanks are invented. That the forecast holds the truth as often as it says is shown in
//! `nitrification.rs`, on tanks drawn from published ranges; no series from a real tank is known to be published.
#![cfg(not(target_arch = "wasm32"))]

mod support;

use std::collections::BTreeSet;
use std::io::Cursor;
use std::process::Command;

use lentic::advice::{self, Comparison, CycleStanding, Forecast, Plan, Prices};
use lentic::journal::Journal;
use support::{book, day, journal, journal_text, project};

#[track_caller]
fn forecast(name: &str, on: &str) -> Forecast {
    let journal = journal(&journal_text(name));
    advice::forecast(book(), &journal, day(on)).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

#[track_caller]
fn plan(name: &str, on: &str) -> Plan {
    let journal = journal(&journal_text(name));
    advice::plan(book(), &journal, day(on)).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

#[track_caller]
fn compare(name: &str, on: &str, prices: &Prices) -> Comparison {
    let journal = journal(&journal_text(name));
    advice::compare(book(), &journal, day(on), prices)
        .unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// What the program prints, which is never wider than a terminal.
#[track_caller]
fn printed(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_lentic"))
        .args(arguments)
        .current_dir(project("tests/journals"))
        .output()
        .expect("the program runs");
    assert!(output.status.success(), "{arguments:?}");
    String::from_utf8(output.stdout).expect("readable text")
}

#[track_caller]
fn shown(name: &str, arguments: &[&str]) {
    let text = printed(arguments);
    let wide = text.lines().find(|line| line.chars().count() > 80);
    assert_eq!(wide, None, "{arguments:?}");
    insta::with_settings!({ omit_expression => true }, {
        insta::assert_snapshot!(name, text);
    });
}

#[test]
fn a_forecast_can_be_read_in_a_terminal() {
    shown(
        "dark-03-05",
        &["forecast", "course-dark.json", "--on", "2026-03-05"],
    );
}

#[test]
fn a_plan_can_be_read_in_a_terminal() {
    shown(
        "plan-dark-03-05",
        &["plan", "course-dark.json", "--on", "2026-03-05"],
    );
}

#[test]
fn starts_can_be_compared_in_a_terminal() {
    let prices = [
        "water-litre=0.01",
        "plants=45",
        "hour=12",
        "change-minutes=30",
    ];
    let words = ["compare", "course-dark.json", "--on", "2026-02-20"];
    shown("compare-dark", &[&words[..], &prices].concat());
}

/// What holds for every forecast that is told at all.
#[track_caller]
fn sound(forecast: &Forecast) {
    let days = forecast.days.len();
    assert!(days > 60, "{days} days");
    for curve in &forecast.curves {
        assert_eq!(curve.bands.len(), days, "{}", curve.fact);
        for band in &curve.bands {
            assert!(band.is_sorted(), "{}: {band:?}", curve.fact);
            assert!(band.iter().all(|value| value.is_finite()), "{band:?}");
        }
        for reading in &curve.readings {
            assert!(reading.low <= reading.high && reading.day >= 0.0);
        }
    }
    if let Some(done) = &forecast.done {
        assert_eq!(done.chance.len(), days);
        assert!(done.chance.is_sorted(), "a chance by a day never falls");
        assert!(
            done.chance
                .iter()
                .all(|chance| (0.0..=1.0).contains(chance))
        );
        assert!(!done.say.is_empty());
    }
    let words = forecast.say.as_str();
    assert!(
        words.ends_with("A forecast is no reading: your tests decide."),
        "{words}"
    );
}

#[test]
fn a_running_dark_start_is_told_its_likely_day() {
    let told = forecast("course-dark", "2026-03-05");
    sound(&told);
    assert_eq!((told.standing, told.today), (CycleStanding::UnderWay, 13));
    assert!(
        told.agreement.fits && told.agreement.readings == 7,
        "{:?}",
        told.agreement
    );
    let done = told.done.expect("a day is told");
    // The book holds a dark start to its three weeks, whatever the water does.
    let three_weeks = told
        .days
        .iter()
        .position(|date| date == "2026-03-13")
        .expect("told");
    assert_eq!(done.chance[three_weeks - 1], 0.0);
    assert!(
        done.likely.is_some() && done.chance[59] > 0.5,
        "{:?}",
        done.chance[59]
    );
    assert!(!told.next.is_empty());
    let kinds: BTreeSet<&str> = told
        .happenings
        .iter()
        .map(|one| one.kind.as_str())
        .collect();
    assert_eq!(kinds, BTreeSet::from(["filled"]));
    // All that this keeper could be asked for is in the journal.
    assert!(told.assumed.is_empty(), "{:?}", told.assumed);
}

#[test]
fn the_book_decides_what_done_means() {
    let done = "  is       cycle-proven and (start is planted or start is dark and day >= 21 days";
    let files = advice::BUILT_IN.iter().map(|(name, text)| {
        let text = text.replace(done, &done.replace("21", "35"));
        lentic::engine::File::new(*name, text)
    });
    let slow = advice::load(files.collect()).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let journal = journal(&journal_text("course-dark"));
    let told = advice::forecast(&slow, &journal, day("2026-03-05")).expect("readable");
    let chance = told.done.expect("a day is told").chance;
    assert_eq!(chance[34], 0.0);
    assert!(chance[36] > 0.2, "{}", chance[36]);
}

#[test]
fn a_finished_cycle_needs_no_day() {
    let told = forecast("story-dark-start", "2026-09-25");
    sound(&told);
    assert_eq!((told.standing, told.done), (CycleStanding::Done, None));
}

#[test]
fn without_readings_the_forecast_is_that_of_tanks_at_large_and_says_so() {
    for (name, on) in [
        ("story-nothing-measured", "2026-10-04"),
        ("story-empty", "2026-10-01"),
    ] {
        let told = forecast(name, on);
        sound(&told);
        assert!(
            told.say.contains("No test is in the journal yet"),
            "{}",
            told.say
        );
        assert!(!told.assumed.is_empty());
    }
}

/// A journal without readings but of the thermometer, told on the day of filling.
fn unread(start: &str, celsius: u8, more: &str) -> Journal {
    let (bed, light) = match start {
        "fed" => (r#""bed": "inert""#, 0),
        "planted" => (r#""bed": "releasing", "bed-mass": "4 kg""#, 6),
        _ => (r#""bed": "releasing", "bed-mass": "4 kg""#, 0),
    };
    let planted = match start {
        "planted" => {
            r#", { "on": "2026-02-20", "event": "planted", "plants": [ { "species": "cryptocoryne", "origin": "potted", "count": 5 } ] }"#
        }
        _ => "",
    };
    journal(&format!(
        r#"{{ "format": "lentic-journal/1",
            "tank": {{ "start": "{start}", {bed}, "net-volume": "40 L", "tap-nitrate": "8 mg/L NO3", "tap-ammonia": "0 mg/L N",
                "tap-kh": "6 °dH", "mains-protected": "yes", "filter-running": "yes", "co2-on": "no", "light-hours": "{light} h",
                {more} }},
            "events": [ {{ "on": "2026-02-20", "event": "filled" }},
                {{ "on": "2026-02-20", "event": "read", "values": {{ "temperature": "{celsius} °C" }} }}{planted} ] }}"#
    ))
}

const TREATED: &str = r#""water-treated": "yes""#;

/// The day by which half of the tanks are done by the book; the first beyond those told if it is later.
fn done_on(start: &str, celsius: u8, more: &str) -> usize {
    let journal = unread(start, celsius, more);
    let told = advice::forecast(book(), &journal, day("2026-02-20")).expect("readable");
    let chance = told.done.expect("a day is told").chance;
    let first = chance.iter().position(|chance| *chance >= 0.5);
    first.unwrap_or(chance.len())
}

/// Common practice: a dark start takes three to six weeks, a fed one on an inert bed two to six.
#[test]
fn without_readings_starts_take_as_long_as_the_trade_sees() {
    for celsius in [24, 26] {
        let (dark, fed) = (
            done_on("dark", celsius, TREATED),
            done_on("fed", celsius, TREATED),
        );
        assert!((21..=42).contains(&dark), "dark, {celsius} °C: {dark}");
        assert!((14..=42).contains(&fed), "fed, {celsius} °C: {fed}");
    }
}

/// Common practice: three to six weeks to the first animals. Plants leave too little nitrate for
/// the proof that a tank without them gives, so that the book lets animals in on a week of zeros.
#[test]
fn without_readings_a_planted_start_takes_as_long_as_the_trade_sees() {
    for celsius in [24, 26] {
        let journal = unread("planted", celsius, TREATED);
        let plan = advice::plan(book(), &journal, day("2026-02-20")).expect("readable");
        let crew = plan.milestones.iter().find(|one| one.gate == "add-crew");
        let likely = crew.and_then(|one| one.likely.clone());
        let weeks = Some("2026-03-13".to_owned())..=Some("2026-04-03".to_owned());
        assert!(weeks.contains(&likely), "{celsius} °C: {likely:?}");
        let told = advice::forecast(book(), &journal, day("2026-02-20")).expect("readable");
        assert!(
            told.say
                .contains("the clean-up crew is likely to be let in about"),
            "{}",
            told.say
        );
    }
}

#[test]
fn cold_and_chlorine_make_a_start_later() {
    for start in ["dark", "fed"] {
        let (warm, cold) = (done_on(start, 25, TREATED), done_on(start, 18, TREATED));
        assert!(cold > warm + 7, "{start}: {cold} for {warm}");
    }
    let late_ammonia = |more: &str| {
        let journal = unread("planted", 25, more);
        let told = advice::forecast(book(), &journal, day("2026-02-20")).expect("readable");
        let curve = |fact: &str| told.curves.iter().position(|curve| curve.fact == fact);
        let at = curve("total-ammonia").expect("told");
        told.curves[at].bands[28][4]
    };
    let chlorine = r#""water-treated": "no", "disinfectant": "chlorine""#;
    assert!(late_ammonia(chlorine) > 1.5 * late_ammonia(TREATED));
}

#[test]
fn a_tank_to_be_filled_is_told_from_that_day() {
    let text = journal_text("course-dark").replace("2026-02-2", "2026-04-2");
    let told = advice::forecast(book(), &journal(&text), day("2026-04-01")).expect("readable");
    sound(&told);
    assert_eq!((told.standing, told.today), (CycleStanding::ToCome, -19));
    assert_eq!(told.filled, "2026-04-20");
}

#[test]
fn a_tank_of_a_year_is_beyond_the_forecast_and_told_so() {
    let told = forecast("course-dark", "2027-03-05");
    assert_eq!((told.standing, told.curves.len()), (CycleStanding::Old, 0));
    assert!(!told.say.is_empty());
    assert!(plan("course-dark", "2027-03-05").items.is_empty());
}

#[test]
fn animals_are_no_reason_to_stay_silent() {
    sound(&forecast("story-nitrite-and-shrimp", "2026-07-03"));
}

#[test]
fn readings_that_fit_no_tank_are_called_so_with_a_cause_that_was_tried() {
    let told = forecast("course-misread", "2026-05-18");
    sound(&told);
    assert!(!told.agreement.fits, "{:?}", told.agreement);
    assert!(
        told.say.starts_with("The readings fit no tank"),
        "{}",
        told.say
    );
    // Nitrite of 6 mg/L N from 2 mg/L N of ammonia cannot be; 6 mg/L NO2 are 1.83 mg/L N.
    let first = told.agreement.causes.first().expect("a cause");
    assert_eq!(
        (first.cause.as_str(), first.fits),
        ("nitrite-as-ion", true),
        "{:?}",
        told.agreement.causes
    );
}

#[test]
fn what_is_not_known_is_named_with_what_was_taken_for_it() {
    let told = forecast("story-planted-day-8", "2026-10-09");
    let facts: Vec<&str> = told.assumed.iter().map(|one| one.fact.as_str()).collect();
    assert_eq!(facts, ["tap-ammonia", "tap-kh", "bed-mass", "temperature"]);
}

#[test]
fn a_known_tap_narrows_the_forecast() {
    let width = |text: &str| {
        let told = advice::forecast(book(), &journal(text), day("2026-02-22")).expect("readable");
        let curve = told
            .curves
            .iter()
            .find(|curve| curve.fact == "kh")
            .expect("told");
        curve.bands[2][4] - curve.bands[2][0]
    };
    let text = journal_text("course-dark");
    let unknown = text.replace("\"tap-kh\": \"7 °dH\", ", "");
    assert!(width(&text) < 0.5 * width(&unknown));
}

#[test]
fn the_water_is_fitted_in_the_unit_that_was_typed() {
    let text = journal_text("course-dark");
    let other = text
        .replace("\"2 mg/L N\"", "\"2.575728 mg/L NH4\"")
        .replace("\"3 mg/L N\"", "\"3.863592 mg/L NH4\"");
    let told =
        |text: &str| advice::forecast(book(), &journal(text), day("2026-03-05")).expect("readable");
    let (one, two) = (told(&text), told(&other));
    let middle = |told: &Forecast| told.curves[0].bands[20][2];
    assert!(
        (middle(&one) - middle(&two)).abs() < 0.05,
        "{} {}",
        middle(&one),
        middle(&two)
    );
}

#[test]
fn a_dose_is_read_as_salt_as_a_rise_or_asked_about() {
    let text = journal_text("course-misread");
    let rise = |amount: &str| {
        let journal = journal(&text.replace("0.61 g", amount));
        let told = advice::forecast(book(), &journal, day("2026-05-02")).expect("readable");
        (told.curves[0].bands[1][2], told.questions.len())
    };
    let (salt, none) = rise("0.61 g");
    // 2 mg/L in 80 L take 160 mg of nitrogen, 611 mg of the salt (14.007 of 53.49 g/mol).
    assert!((salt - 2.0).abs() < 0.1 && none == 0, "{salt}");
    assert_eq!(rise("2 mg/L N").1, 0);
    assert!((rise("2 mg/L N").0 - salt).abs() < 0.1);
    let (nothing, asked) = rise("20 drops");
    assert!(nothing < 0.1 && asked == 1, "{nothing} {asked}");
}

#[test]
fn the_picture_tells_in_words_what_it_draws() {
    let told = forecast("course-dark", "2026-03-05");
    let svg = advice::picture(book(), &told);
    assert!(
        svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\"") && svg.ends_with("</svg>\n")
    );
    assert!(
        svg.contains(
            "<title id=\"forecast-title\">Forecast of the water: Solveig&#39;s hallway</title>"
        ) || svg.contains(
            "<title id=\"forecast-title\">Forecast of the water: Solveig's hallway</title>"
        )
    );
    assert!(
        svg.contains("<desc id=\"forecast-desc\">") && svg.contains("2026-03-13: Total ammonia")
    );
    assert!(svg.contains("prefers-color-scheme:dark"));
    for curve in &told.curves {
        assert!(svg.contains(&curve.label), "{}", curve.label);
    }
    let bars = svg.matches("class=\"reading\"").count();
    assert_eq!(
        bars,
        told.curves
            .iter()
            .map(|curve| curve.readings.len())
            .sum::<usize>()
    );
    let mut hostile = told;
    hostile.tank = "<script>\"&\u{1}</title>".into();
    let svg = advice::picture(book(), &hostile);
    assert!(!svg.contains("<script") && svg.contains("&lt;script&gt;&quot;&amp;&lt;/title&gt;"));
}

/// Read by a parser of another hand (crate `ical`), and against the letter of RFC 5545.
#[test]
fn a_plan_is_a_calendar() {
    let plan = plan("course-dark", "2026-03-05");
    let text = advice::calendar(book(), &plan);
    assert_eq!(text, advice::calendar(book(), &plan));
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "{line:?}");
    }
    let calendars: Result<Vec<_>, _> =
        ical::IcalParser::new(Cursor::new(text.as_bytes())).collect();
    let calendars = calendars.expect("a calendar");
    assert_eq!(
        (calendars.len(), calendars[0].events.len()),
        (1, plan.items.len())
    );
    let mut names = BTreeSet::new();
    for (event, item) in calendars[0].events.iter().zip(&plan.items) {
        let value = |name: &str| {
            let found = event
                .properties
                .iter()
                .find(|property| property.name == name);
            found
                .and_then(|property| property.value.clone())
                .unwrap_or_else(|| panic!("no {name}"))
        };
        assert!(names.insert(value("UID")));
        assert_eq!(value("DTSTAMP"), "20260305T000000Z");
        assert_eq!(value("DTSTART"), item.date.replace('-', ""));
        assert!(value("DTEND") > value("DTSTART"));
        assert!(value("SUMMARY").starts_with(&item.action_label));
        let plain = value("DESCRIPTION")
            .replace("\\n", "\n")
            .replace("\\,", ",")
            .replace("\\;", ";");
        assert!(plain.contains(&item.say), "{plain}");
    }
}

#[test]
fn a_plan_goes_from_tests_to_planting_to_animals() {
    let plan = plan("course-dark", "2026-03-05");
    let gates: Vec<&str> = plan
        .milestones
        .iter()
        .map(|one| one.gate.as_str())
        .collect();
    assert_eq!(gates, ["plant", "add-crew", "add-fish"]);
    let days: Vec<_> = plan
        .milestones
        .iter()
        .map(|one| one.early.clone())
        .collect();
    assert!(
        days[0] >= Some("2026-03-13".into()) && days[0] < days[1] && days[1] <= days[2],
        "{days:?}"
    );
    let on = |action: &str| {
        let item = plan.items.iter().find(|item| item.action == action);
        item.unwrap_or_else(|| panic!("no {action}")).date.clone()
    };
    assert!(on("test") < on("plant"), "{} {}", on("test"), on("plant"));
    assert!(on("plant") < on("change-water"));
    assert!(plan.items.is_sorted_by(|a, b| a.date <= b.date));
    assert!(
        plan.items
            .iter()
            .all(|item| item.date.as_str() >= "2026-03-05")
    );
}

#[test]
fn a_planted_start_is_given_its_changes() {
    let plan = plan("story-planted-day-8", "2026-10-09");
    let changes = plan
        .items
        .iter()
        .filter(|item| item.action == "change-water")
        .count();
    assert!(changes >= 8, "{changes}");
}

#[test]
fn a_gate_that_is_shut_says_when_it_may_open() {
    let text = printed(&["may", "course-dark.json", "plant", "--on", "2026-03-05"]);
    assert!(text.contains("By the forecast: "), "{text}");
}

#[test]
fn each_start_costs_what_its_keeper_says() {
    let free = compare("course-dark", "2026-02-20", &Prices::default());
    let names: Vec<&str> = free
        .starts
        .iter()
        .map(|start| start.start.as_str())
        .collect();
    assert_eq!(names, ["dark", "planted", "fed"]);
    let [dark, planted, fed] = &free.starts[..] else {
        panic!("three starts")
    };
    assert!(
        free.starts
            .iter()
            .all(|start| start.cost.is_none() && start.hours.is_none())
    );
    assert!(
        planted.litres.middle > dark.litres.middle,
        "daily changes take water"
    );
    assert_eq!(planted.days_to_plants.high, Some(0.0));
    assert!(
        dark.days_to_plants.low >= Some(21.0),
        "the book's three weeks"
    );
    assert!(fed.salt_g.middle > Some(0.3) && dark.salt_g.high == Some(0.0));
    assert!(fed.on_another_bed.is_some() && dark.on_another_bed.is_none());
    let tender = |index: usize| {
        &free.starts[index]
            .plants
            .last()
            .expect("classes")
            .days_above
    };
    assert!(
        tender(1).middle > tender(0).middle,
        "plants in fresh soil meet its ammonia"
    );
    let priced = Prices::read(&[("water-litre".into(), "2".into())]).expect("a price");
    let cost = compare("course-dark", "2026-02-20", &priced).starts[1]
        .cost
        .expect("a cost");
    let litres = planted.litres;
    assert!((cost.middle.unwrap() - 2.0 * litres.middle.unwrap()).abs() < 0.2);
    let wrong = Prices::read(&[("water".into(), "1".into()), ("hour".into(), "-1".into())]);
    assert_eq!(wrong.expect_err("no prices").len(), 2);
}

/// Timmons and Ebeling: 92 mg of nitrogen from a gram of protein; half is held in reserve.
#[test]
fn a_cleared_dose_shows_what_can_be_fed() {
    let tank = journal(&journal_text("story-fed-start"));
    let capacity = advice::capacity(book(), &tank, day("2026-03-29"))
        .expect("readable")
        .expect("told");
    let shown = capacity.shown.expect("a dose was cleared");
    assert_eq!(
        (shown.dosed.as_str(), shown.gone.as_str()),
        ("2026-03-28", "2026-03-29")
    );
    // 0.38 g of the salt hold 99.5 mg of nitrogen.
    assert!(
        (shown.cleared_mg_n - 99.5).abs() < 0.2,
        "{}",
        shown.cleared_mg_n
    );
    assert!(
        (shown.food_g - 99.5 / (0.4 * 92.0) / 2.0).abs() < 0.01,
        "{}",
        shown.food_g
    );
    assert!(capacity.food_g.is_sorted());
    let steps: Vec<f64> = capacity.steps.iter().map(|step| step.food_g).collect();
    assert!(
        steps.len() == 3 && steps.is_sorted() && steps[2] == shown.food_g,
        "{steps:?}"
    );
}

#[test]
fn the_same_journal_gives_the_same_bytes() {
    let json = |told: &Forecast| serde_json::to_string(told).expect("data");
    let told = || json(&forecast("course-dark", "2026-03-05"));
    assert_eq!(told(), told());
}
