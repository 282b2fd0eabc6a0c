//! What a book tells of itself: what can be reckoned, its vocabulary for forms, its rules for readers, its digest.

use lentic::engine::{Book, Reckoned};

use super::{files, load, oven, oven_with};

fn crust(book: &Book, form: &str, heat: &str, covered: &str) -> Result<Reckoned, Vec<String>> {
    let values = [
        ("form", form),
        ("heat-of-the-oven", heat),
        ("share-of-time-covered", covered),
    ];
    let typed = values.map(|(name, text)| (name.to_owned(), text.to_owned()));
    book.reckon("crust-minutes", &typed)
}

#[test]
fn a_choice_is_made_by_name_or_by_label_and_must_be_made() {
    let tin = crust(oven(), "tin", "250 °C", "0").unwrap();
    assert_eq!((tin.shown.as_str(), tin.low), ("35", Some(35.0)));
    assert_eq!(tin.also, ["then 17.5 more to cool"]);
    let cautions: Vec<&str> = tin.cautions.iter().map(|c| c.id.as_str()).collect();
    assert_eq!(cautions, ["burns"]);
    let free = crust(oven(), "free on the stone", "250 °C", "0").unwrap();
    assert_eq!(free.shown, "70");
    let wrong = crust(oven(), "basket", "250 °C", "0").unwrap_err();
    assert_eq!(
        wrong,
        ["form: `basket` is no option here; choose one of tin, free"]
    );
    let wrong = oven().reckon("crust-minutes", &[]).unwrap_err();
    assert_eq!(wrong[0], "`form` is missing; choose one of tin, free");
    let info = oven().functions();
    let info = info.iter().find(|f| f.name == "crust-minutes").unwrap();
    assert!(info.arguments[0].is_choice && !info.arguments[1].is_choice);
    assert_eq!(
        (
            info.group.as_str(),
            info.arguments[0].options[1].label.as_str()
        ),
        ("Baking", "free on the stone")
    );
}

#[test]
fn a_value_that_moves_either_way_is_taken_at_all_its_ends() {
    let minutes = |heat: &str, covered: &str| {
        let found = crust(oven(), "tin", heat, covered).unwrap();
        (found.low.unwrap(), found.high.unwrap())
    };
    let near = |found: (f64, f64), expected: (f64, f64)| {
        assert!(
            (found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9,
            "{found:?} instead of {expected:?}"
        );
    };
    near(minutes("250 °C", "0 to 1"), (35.0, 40.0));
    near(minutes("150 °C", "0 to 1"), (40.0, 45.0));
    near(minutes("150 to 250 °C", "0 to 1"), (35.0, 45.0));
}

#[test]
fn what_cannot_be_is_refused_and_what_was_not_tested_is_told() {
    let wrong = crust(oven(), "tin", "20 °C", "2").unwrap_err();
    assert_eq!(
        wrong,
        [
            "heat-of-the-oven: `20 °C` is not possible here: it must be 50 to 500 °C; is the unit right, or a sign or a digit too many?",
            "share-of-time-covered: `2` is not possible here: it must be 0 to 1; is the unit right, or a sign or a digit too many?",
        ]
    );
    let cool = crust(oven(), "tin", "120 °C", "0").unwrap();
    assert_eq!(
        cool.outside,
        ["heat of the oven is outside 150 to 300 °C, where the formula was tested"]
    );
    // Up to a bound: as low as can be.
    let below = crust(oven(), "tin", "< 250 °C", "0").unwrap();
    assert_eq!(below.high, Some(55.000_000_000_055));
}

#[test]
fn words_of_a_table_stand_for_its_figures() {
    let book = oven_with(
        "chapter More\n\ntable flour-heat\n  label  Heat for a flour\n  unit   °C\n  by     flour-kind\n  \
         row    rye             200 to 210 °C\n  row    wheat or spelt  230 °C\n  because  It is so.\n  source  trade\n",
    );
    assert_eq!(crust(&book, "tin", "wheat", "0").unwrap().shown, "37");
    assert_eq!(crust(&book, "tin", "rye", "0").unwrap().shown, "39 to 40");
    assert_eq!(
        crust(&book, "tin", "rye or wheat", "0").unwrap().shown,
        "37 to 40"
    );
    assert_eq!(crust(&book, "tin", "230 °C", "0").unwrap().shown, "37");
    let wrong = crust(&book, "tin", "ryee", "0").unwrap_err();
    assert!(wrong[0].contains("did you mean `rye`?"), "{wrong:?}");
    let info = book.functions();
    let info = info.iter().find(|f| f.name == "crust-minutes").unwrap();
    assert_eq!(info.arguments[1].options.len(), 3);
    // A book without the table takes figures alone.
    assert!(crust(oven(), "tin", "wheat", "0").is_err());
}

#[test]
fn anything_worked_out_can_be_reckoned_by_name() {
    let pairs = |pairs: &[(&str, &str)]| -> Vec<(String, String)> {
        pairs
            .iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect()
    };
    let book = oven();
    let hydration = book
        .reckon(
            "hydration",
            &pairs(&[("water", "0.65 L"), ("flour", "1 kg")]),
        )
        .unwrap();
    assert_eq!(hydration.shown, "65 %");
    let hours = book
        .reckon(
            "proof-hours",
            &pairs(&[("heat-of-the-dough", "64.4 °F"), ("leaven", "10 %")]),
        )
        .unwrap();
    assert_eq!((hours.shown.as_str(), hours.outside.len()), ("16 h", 0));
    let hours = book
        .reckon(
            "proof-hours",
            &pairs(&[("heat-of-the-dough", "2 °C"), ("leaven", "20 %")]),
        )
        .unwrap();
    assert_eq!(
        hours.outside,
        ["heat of the dough is outside 5 to 40 °C, where the formula was tested"]
    );
    let wrong = book
        .reckon(
            "proof-hours",
            &pairs(&[("leavn", "20 %"), ("leaven", "2 kg")]),
        )
        .unwrap_err();
    assert_eq!(wrong.len(), 3, "{wrong:?}");
    assert!(wrong[0].contains("did you mean `leaven`?"), "{wrong:?}");
    let wrong = book.reckon("hydratoin", &[]).unwrap_err();
    assert_eq!(
        wrong,
        ["nothing called `hydratoin` can be reckoned, did you mean `hydration`?"]
    );
    assert!(book.reckonable().contains(&"rise-speed"));
}

#[test]
fn forms_come_from_the_vocabulary() {
    let facts = oven().facts();
    let heat = facts.iter().find(|fact| fact.name == "oven-heat").unwrap();
    assert_eq!(
        (heat.kind.as_str(), heat.units.as_slice()),
        ("series", &["°C".to_owned(), "°F".to_owned()][..])
    );
    assert_eq!(
        (heat.low, heat.high, heat.stale_days),
        (Some(-20.0), Some(450.0), Some(1.0))
    );
    assert!(!heat.bare);
    let acid = facts.iter().find(|fact| fact.name == "dough-ph").unwrap();
    assert!(acid.bare, "a pH stands without its unit");
    let kind = facts.iter().find(|fact| fact.name == "flour-kind").unwrap();
    assert_eq!(kind.options[1].label, "rye");
    assert!(
        !facts.iter().any(|fact| fact.name == "hydration"),
        "what is worked out is not asked for"
    );
    let names = |known: Vec<&str>| known.join(" ");
    assert_eq!(names(oven().gate_names()), "load-oven");
    assert_eq!(oven().chapters()[3].title, "Heat");
    let rules = oven().rules();
    let rule = rules
        .iter()
        .find(|rule| rule.rule == "rye-likes-it-falling")
        .unwrap();
    assert_eq!(rule.conditions[0], "stage is one of baking, cooling");
    assert_eq!(rule.overrules, ["oven-too-cool"]);
    assert_eq!(
        oven().no_such_name("hydraton"),
        "the book has no `hydraton`, did you mean `hydration`?"
    );
}

#[test]
fn the_digest_stands_for_the_text() {
    let book = load(files());
    assert_eq!(book.digest(), oven().digest());
    let mut windows = files();
    windows
        .iter_mut()
        .for_each(|file| file.text = file.text.replace('\n', "\r\n"));
    windows[0].text.insert(0, '\u{feff}');
    let book = load(windows);
    assert_eq!(
        book.rules().len(),
        oven().rules().len(),
        "line ends and the mark of some editors are read over"
    );
    let mut other = files();
    other[3].text = other[3].text.replace("20 K", "21 K");
    let changed = load(other);
    assert_ne!(changed.digest(), oven().digest());
}
