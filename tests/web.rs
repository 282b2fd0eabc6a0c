//! The face for JavaScript, in Node and in a browser: what goes in, what comes out, and what is refused.
#![cfg(target_arch = "wasm32")]

use js_sys::{Array, JSON, Object, Reflect};
use lentic::web::{Advisor, built_in_files, check_book, check_overlays};
use wasm_bindgen::{JsCast, JsError, JsValue};
use wasm_bindgen_test::wasm_bindgen_test;

const JOURNAL: &str = r#"{
    "format": "lentic-journal/1",
    "tank": { "start": "dark", "bed": "releasing" },
    "events": [
        { "on": "2026-09-01", "event": "filled" },
        { "on": "2026-09-14", "event": "read", "values": { "total-ammonia": "2.4 mg/L NH4", "nitrite": "1 mg/L NO2" } }
    ]
}"#;

fn advisor() -> Advisor {
    Advisor::new(None).unwrap_or_else(|_| panic!("the built-in book loads"))
}

fn js(source: &str) -> JsValue {
    js_sys::eval(source).expect("the source of the test runs")
}

#[track_caller]
fn get(value: &JsValue, path: &str) -> JsValue {
    path.split('.').fold(value.clone(), |value, key| {
        Reflect::get(&value, &key.into()).unwrap_or_else(|_| panic!("no {key} in {path}"))
    })
}

#[track_caller]
fn text(value: &JsValue, path: &str) -> String {
    get(value, path)
        .as_string()
        .unwrap_or_else(|| panic!("{path} is no text in {}", json(value)))
}

fn length(value: &JsValue, path: &str) -> f64 {
    get(value, &format!("{path}.length"))
        .as_f64()
        .unwrap_or(f64::NAN)
}

fn json(value: &JsValue) -> String {
    JSON::stringify(value).map(String::from).unwrap_or_default()
}

fn advise(journal: JsValue) -> JsValue {
    let advice = advisor().advise(journal.unchecked_into(), "2026-09-15", None);
    advice
        .unwrap_or_else(|error| panic!("{:?}", JsValue::from(error)))
        .into()
}

/// The only mistake of a journal that is refused.
#[track_caller]
fn refused(source: &str) -> String {
    let result = advise(js(source));
    assert!(get(&result, "advice").is_null() || get(&result, "advice").is_undefined());
    assert_eq!(
        length(&result, "mistakes"),
        1.0,
        "{source}: {}",
        json(&result)
    );
    text(&result, "mistakes.0.message")
}

/// What JavaScript would catch.
#[track_caller]
fn thrown<T>(result: Result<T, JsError>) -> JsValue {
    match result {
        Ok(_) => panic!("nothing was thrown"),
        Err(error) => error.into(),
    }
}

fn keys(value: &JsValue) -> Vec<String> {
    let keys = Object::keys(value.unchecked_ref::<Object>());
    let mut keys: Vec<String> = keys.iter().filter_map(|key| key.as_string()).collect();
    keys.sort();
    keys
}

fn book(text: &str) -> Array {
    let file = Object::new();
    for (key, value) in [("name", "book.rules"), ("text", text)] {
        Reflect::set(&file, &key.into(), &value.into()).expect("a plain object takes a value");
    }
    Array::of1(&file)
}

#[wasm_bindgen_test]
fn an_object_and_its_text_get_the_same_advice() {
    let from_text = advise(JOURNAL.into());
    let from_object = advise(JSON::parse(JOURNAL).unwrap());
    assert!(length(&from_text, "advice.advice") > 0.0);
    assert_eq!(json(&from_text), json(&from_object));
}

fn asked<T: Into<JsValue>>(answer: Result<T, JsError>) -> JsValue {
    answer.unwrap_or_else(|_| panic!("a good journal")).into()
}

#[wasm_bindgen_test]
fn gates_and_changes_asked_by_themselves_are_those_of_the_whole() {
    let advisor = advisor();
    let journal = || JsValue::from(JOURNAL).unchecked_into();
    let whole = asked(advisor.advise(journal(), "2026-09-15", Some(false)));
    let brief = asked(advisor.advise(journal(), "2026-09-15", Some(true)));
    let gates = asked(advisor.may(journal(), "2026-09-15"));
    assert!(length(&gates, "gates") > 0.0);
    assert_eq!(
        json(&get(&gates, "gates")),
        json(&get(&whole, "advice.gates"))
    );
    assert_eq!(length(&brief, "advice.gates"), 0.0);
    Reflect::set(
        &get(&brief, "advice"),
        &"gates".into(),
        &get(&gates, "gates"),
    )
    .expect("an object takes a field");
    assert_eq!(json(&brief), json(&whole));

    let of_all = Array::from(&get(
        &asked(advisor.changes(journal(), "2026-09-15", None)),
        "changes",
    ));
    let rule = text(&of_all.get(0), "of");
    let of_it = asked(advisor.changes(journal(), "2026-09-15", Some(rule.clone())));
    let own = of_all.filter(&mut |change, _, _| text(&change, "of") == rule);
    assert_eq!(json(&get(&of_it, "changes")), json(&own));
}

#[wasm_bindgen_test]
fn a_rule_tells_what_it_finds() {
    let advisor = advisor();
    let rules: JsValue = advisor.rules().unwrap_or_else(|_| panic!());
    let rule = Array::from(&rules).get(0);
    assert_eq!(
        advisor.finding(&text(&rule, "rule")),
        Some(text(&rule, "finding"))
    );
    assert_eq!(advisor.finding("no-such-rule"), None);
}

fn files(source: &str) -> lentic::web::BookFiles {
    js(source).unchecked_into()
}

#[wasm_bindgen_test]
fn a_book_in_other_words_answers_in_them() {
    let words = r#"[{ name: "few.words", text: "language de\n  title Deutsch\n\ntable stage\n  option cycling Einfahren\n" }]"#;
    let advisor = Advisor::in_words(files(words), None);
    let advisor = advisor.unwrap_or_else(|error| panic!("{:?}", JsValue::from(error)));
    let advice = advisor.advise(JsValue::from(JOURNAL).unchecked_into(), "2026-09-15", None);
    let advice: JsValue = advice.unwrap_or_else(|_| panic!("a good journal")).into();
    assert_eq!(text(&advice, "advice.stage"), "Einfahren");
    assert_eq!(text(&advice, "advice.book.language"), "de");
    let wrong = r#"[{ name: "few.words", text: "language de\n\nrule none\n  finding Nichts.\n" }]"#;
    let error = thrown(Advisor::in_words(files(wrong), None));
    assert!(
        text(&error, "message").contains("few.words:3:6: unknown rule `none`"),
        "{}",
        text(&error, "message")
    );
}

#[wasm_bindgen_test]
fn an_answer_has_the_keys_that_its_type_promises() {
    let result = advise(JOURNAL.into());
    assert_eq!(keys(&result), ["advice", "mistakes"]);
    let promised = [
        "advice",
        "book",
        "clashes",
        "date",
        "format",
        "gates",
        "later_entries",
        "open",
        "questions",
        "set_aside",
        "stage",
        "tank",
        "wanted",
        "withdrawn",
    ];
    assert_eq!(keys(&get(&result, "advice")), promised);
    let promised = [
        "action",
        "action_label",
        "amount",
        "because",
        "by",
        "cautions",
        "certain",
        "chapter",
        "evidence",
        "finding",
        "overruled",
        "replaces",
        "rule",
        "say",
        "sources",
        "unless",
        "urgency",
        "wants",
    ];
    assert_eq!(keys(&get(&result, "advice.advice.0")), promised);
}

#[wasm_bindgen_test]
fn the_vocabulary_has_what_a_form_needs() {
    let description: JsValue = advisor().describe().unwrap_or_else(|_| panic!()).into();
    let promised = [
        "chapters",
        "derived",
        "digest",
        "edition",
        "events",
        "facts",
        "functions",
        "groups",
        "keeps_capitals",
        "language",
        "overlays",
        "title",
    ];
    assert_eq!(keys(&description), promised);
    let promised = [
        "ask",
        "bare",
        "group",
        "high",
        "how",
        "kind",
        "label",
        "low",
        "name",
        "options",
        "scales",
        "smallest",
        "stale_days",
        "units",
        "units_said",
    ];
    assert_eq!(keys(&get(&description, "facts.0")), promised);
    assert_eq!(
        keys(&get(&description, "events.0")),
        ["fields", "meaning", "name"]
    );
}

#[wasm_bindgen_test]
fn an_unknown_field_is_a_mistake_and_no_exception() {
    let message = refused("({ format: 'lentic-journal/1', tank: {}, events: [], evnets: [] })");
    assert!(message.contains("`evnets`"), "{message}");
    let message = refused("({ format: 'lentic-journal/1', tank: { bad: 'soil' }, events: [] })");
    assert!(message.contains("`bad`"), "{message}");
}

#[wasm_bindgen_test]
fn what_no_journal_can_hold_is_refused_in_a_sentence() {
    for value in [
        "NaN",
        "Infinity",
        "-Infinity",
        "1e300",
        "Symbol('x')",
        "() => 1",
        "new Map()",
        "[1, 2]",
        "null",
        "{}",
    ] {
        let source = format!(
            "({{ format: 'lentic-journal/1', tank: {{ 'bed-depth': {value} }}, events: [] }})"
        );
        let message = refused(&source);
        assert!(message.contains(' '), "{value}: {message}");
        assert!(!message.contains("serde"), "{value}: {message}");
    }
}

#[wasm_bindgen_test]
fn what_is_no_journal_is_refused_in_a_sentence() {
    for source in [
        "undefined",
        "null",
        "7",
        "NaN",
        "''",
        "'[1'",
        "[]",
        "new Date(0)",
        "(() => 1)",
        "Symbol('x')",
        "(() => { const knot = {}; knot.tank = knot; return knot; })()",
    ] {
        let result = advise(js(source));
        assert!(length(&result, "mistakes") >= 1.0, "{source}");
        assert!(
            text(&result, "mistakes.0.message").contains(' '),
            "{source}"
        );
    }
}

#[wasm_bindgen_test]
fn a_day_that_is_none_is_an_error_in_words() {
    for day in ["", "2026-02-30", "tomorrow"] {
        let error = advisor().advise(JsValue::from(JOURNAL).unchecked_into(), day, None);
        let error = thrown(error);
        assert!(text(&error, "message").contains("year-month-day"), "{day}");
    }
}

#[wasm_bindgen_test]
fn an_entry_is_read_asked_about_or_refused() {
    let enter = |text: &str| -> JsValue {
        let entered = advisor().enter("total-ammonia", text);
        entered.unwrap_or_else(|_| panic!()).into()
    };
    let asked = enter("2.4 ppm");
    assert!(text(&asked, "question").contains("mg/L NH4"));
    let refused = enter("lots");
    assert!(text(&refused, "mistake").contains("`lots`"));
    let read = enter("2.4 mg/L NH4");
    assert!(get(&read, "question").is_null() || get(&read, "question").is_undefined());
    assert!(get(&read, "mistake").is_null() || get(&read, "mistake").is_undefined());
}

#[wasm_bindgen_test]
fn an_amount_comes_with_its_working_and_lacking_values_are_named() {
    let reckon = |values: &str| -> JsValue {
        let values = JSON::parse(values).unwrap().unchecked_into();
        let reckoned = advisor().reckon("oxygen-saturation", values);
        reckoned.unwrap_or_else(|_| panic!()).into()
    };
    let good = reckon(r#"{ "temperature": "77 °F" }"#);
    assert!(text(&good, "reckoned.shown").ends_with("mg/L O2"));
    assert!(length(&good, "reckoned.working") > 0.0);
    let lacking = reckon("{}");
    assert!(text(&lacking, "mistakes.0").contains("`temperature` is missing"));
}

#[wasm_bindgen_test]
fn a_book_with_a_mistake_gives_its_place() {
    let result = check_book(book("book bread\n  titel  Bread\n").unchecked_into());
    let result: JsValue = result.unwrap_or_else(|_| panic!()).into();
    assert!(length(&result, "mistakes") >= 1.0);
    assert_eq!(text(&result, "mistakes.0.file"), "book.rules");
    assert_eq!(get(&result, "mistakes.0.line").as_f64(), Some(2.0));
    assert!(text(&result, "mistakes.0.message").contains("titel"));

    let error = Advisor::new(Some(book("book bread\n  titel  Bread\n").unchecked_into()));
    let error = thrown(error);
    assert!(text(&error, "message").contains("book.rules:2:"));
}

#[wasm_bindgen_test]
fn the_built_in_book_is_handed_over_and_reads_as_itself() {
    let files = built_in_files().unwrap_or_else(|_| panic!("the files are plain text"));
    assert!(Array::from(&files).length() > 10);
    let own: JsValue = check_book(files.unchecked_into())
        .unwrap_or_else(|_| panic!("files of a book"))
        .into();
    assert_eq!(length(&own, "mistakes"), 0.0, "{}", json(&own));
    let overlay = js("[{ name: 'a.rules', text: 'overlay reed\\n  titel Reed' }]");
    let wrong: JsValue = check_overlays(overlay.unchecked_into())
        .unwrap_or_else(|_| panic!("files of an overlay"))
        .into();
    assert_eq!(text(&wrong, "mistakes.0.file"), "a.rules");
}

#[wasm_bindgen_test]
fn an_answer_is_compared_with_that_of_another_day() {
    let advisor = advisor();
    let other = self::advisor();
    let journal = || js(&format!("({JOURNAL})")).unchecked_into();
    let result: JsValue = advisor
        .difference(journal(), "2026-09-15", &other, journal(), "2026-09-15")
        .unwrap_or_else(|_| panic!("two days"))
        .into();
    assert_eq!(
        length(&result, "difference.appeared"),
        0.0,
        "{}",
        json(&result)
    );
    let standings: JsValue = advisor
        .standings(journal(), "2026-09-15")
        .unwrap_or_else(|_| panic!("a day"))
        .into();
    assert!(length(&standings, "standings") > 100.0);
}
