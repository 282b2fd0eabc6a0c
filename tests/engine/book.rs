//! What a book tells of itself: what can be reckoned, its vocabulary for forms, its rules for readers, its digest.

use super::{files, load, oven};

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
