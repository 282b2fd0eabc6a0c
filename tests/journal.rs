//! Journals through the public face: what is read, what is refused and in which words.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeSet;
use std::{fs, path::Path};

use lentic::journal::{
    ANIMAL_FIELDS, COMMON_FIELDS, Date, DateError, EVENT_KINDS, EventKind, Field, JOURNAL_FIELDS,
    Journal, MAX_BYTES, MAX_COUNT, MAX_EVENTS, MAX_TEXT, Needed, Node, Origin, PLANT_FIELDS,
    TimeOfDay, What,
};
use serde::Deserialize;
use serde_json::Value;

/// Every kind of event and every field once, in the order in which a journal is written.
const EXAMPLE: &str = r#"{ "format": "lentic-journal/1",
  "name": "Kitchen window",
  "tank": { "start": "dark", "bed": "releasing", "length": "60 cm", "tap-nitrate": "5 mg/L NO3" },
  "events": [
    { "on": "2026-09-01", "event": "filled" },
    { "on": "2026-09-02", "event": "dosed", "what": "ammonium chloride", "amount": "0.6 g" },
    { "on": "2026-09-20", "at": "19:30", "event": "read",
      "values": { "total-ammonia": "0 mg/L N", "nitrite": "0.05 mg/L NO2", "ph": 6.8 }, "note": "after work" },
    { "on": "2026-09-21", "event": "changed-water", "share": "50 %", "values": { "temperature": "78 °F" } },
    { "on": "2026-09-21", "event": "changed-water", "amount": "27 L" },
    { "on": "2026-09-22", "event": "planted", "plants": [
      { "species": "bucephalandra", "origin": "in-vitro" }, { "species": "java-fern", "origin": "potted", "count": 2 } ] },
    { "on": "2026-09-23", "event": "added", "animals": [ { "species": "cherry-shrimp", "count": 10 } ] },
    { "on": "2026-09-23", "event": "saw", "signs": [ "gasping", "melting-leaves" ] },
    { "on": "2026-09-23", "event": "saw", "signs": [] },
    { "on": "2026-09-23", "event": "set", "values": { "co2": "yes", "light-hours": "6 h" } },
    { "on": "2026-09-24", "event": "topped-up", "amount": "2 L" },
    { "on": "2026-09-25", "event": "lost", "animals": [ { "species": "cherry-shrimp", "count": 1 } ] },
    { "on": "2026-09-25", "event": "removed", "plants": [ { "species": "java-fern" } ] },
    { "on": "2026-09-26", "event": "drained" },
    { "on": "2026-09-26", "event": "note", "note": "Leak at the back.\nGlass is at the glazier's." } ] }"#;

fn mistakes(text: &str) -> Vec<String> {
    let mistakes = Journal::from_json(text).expect_err("these are mistakes");
    mistakes.iter().map(ToString::to_string).collect()
}

#[track_caller]
fn parse(text: &str) -> Journal {
    Journal::from_json(text).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

fn journal_with(tank: &str, events: &str) -> String {
    format!(r#"{{ "format": "lentic-journal/1", "tank": {tank}, "events": [{events}] }}"#)
}

/// One wrong journal against its snapshot.
fn check(path: &Path) {
    let name = path.file_stem().unwrap().to_str().unwrap();
    let text = fs::read_to_string(path).unwrap();
    insta::with_settings!({ omit_expression => true }, {
        insta::assert_snapshot!(name, mistakes(&text).join("\n"));
    });
}

#[test]
fn every_wrong_journal_is_told_what_is_wrong() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/journals");
    let mut paths: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    // Those named for their entries are good journals that the rule book cannot read.
    paths.retain(|path| {
        let name = path.file_name().unwrap().to_str().unwrap();
        name.starts_with("wrong-") && !name.starts_with("wrong-entries-")
    });
    paths.sort();
    assert!(
        paths.len() >= 14,
        "only {} wrong journals were found",
        paths.len()
    );
    paths.iter().for_each(|path| check(path));
}

#[test]
fn a_journal_is_written_as_it_was_read() {
    let journal = parse(EXAMPLE);
    let written = serde_json::to_string(&journal).unwrap();
    let node = |text| serde_json::from_str::<Node>(text).unwrap();
    assert_eq!(node(&written), node(EXAMPLE));
    assert_eq!(parse(&written), journal);
}

#[test]
fn every_kind_of_event_is_read_and_written_under_its_own_name() {
    for kind in EVENT_KINDS {
        for fields in complete_choices(kind) {
            let journal = parse(&journal_with("{}", &event_of(kind, &fields)));
            assert_eq!(journal.events[0].what.kind(), kind.name);
            let written = serde_json::to_value(&journal).unwrap();
            let names: BTreeSet<&str> = written["events"][0]
                .as_object()
                .unwrap()
                .keys()
                .map(String::as_str)
                .collect();
            assert_eq!(
                names,
                fields.iter().map(|field| field.name).collect(),
                "{}",
                kind.name
            );
        }
    }
}

#[test]
fn every_needed_field_is_missed_by_name() {
    for kind in EVENT_KINDS {
        for fields in complete_choices(kind) {
            for left_out in fields
                .iter()
                .filter(|field| field.needed != Needed::Sometimes)
            {
                let rest: Vec<Field> = fields
                    .iter()
                    .copied()
                    .filter(|field| field.name != left_out.name)
                    .collect();
                let found = mistakes(&journal_with("{}", &event_of(kind, &rest)));
                assert_eq!(found.len(), 1, "{found:?}");
                assert!(
                    found[0].contains(&format!("`{}`", left_out.name))
                        && found[0].contains("missing"),
                    "{found:?}"
                );
            }
        }
    }
}

/// All fields of a kind, once with each of those that exclude one another.
fn complete_choices(kind: &EventKind) -> Vec<Vec<Field>> {
    let (choice, rest): (Vec<Field>, Vec<Field>) = kind
        .all_fields()
        .into_iter()
        .partition(|field| field.needed == Needed::OneOf);
    if choice.is_empty() {
        return vec![rest];
    }
    choice
        .into_iter()
        .map(|one| [rest.clone(), vec![one]].concat())
        .collect()
}

fn event_of(kind: &EventKind, fields: &[Field]) -> String {
    let entry = |field: &Field| match field.name {
        "event" => format!(r#""event": "{}""#, kind.name),
        name => format!(r#""{name}": {}"#, field.example),
    };
    format!(
        "{{ {} }}",
        fields.iter().map(entry).collect::<Vec<_>>().join(", ")
    )
}

#[test]
fn events_are_sorted_by_day_then_time_then_place() {
    let notes = [
        ("2026-09-03", None, "g"),
        ("2026-09-02", None, "b: opens its day"),
        ("2026-09-02", Some("10:00"), "d"),
        ("2026-09-02", None, "e: stays behind the one before it"),
        ("2026-09-02", Some("09:00"), "c"),
        ("2026-09-01", Some("23:59"), "a"),
        (
            "2026-09-02",
            Some("10:00"),
            "f: same time, later in the file",
        ),
    ];
    let event = |(on, at, note): &(&str, Option<&str>, &str)| {
        let at = at.map_or(String::new(), |at| format!(r#""at": "{at}", "#));
        format!(r#"{{ "on": "{on}", {at}"event": "note", "note": "{note}" }}"#)
    };
    let journal = parse(&journal_with("{}", &notes.each_ref().map(event).join(",")));
    let order: String = journal
        .events
        .iter()
        .map(|event| &event.note.as_ref().unwrap()[..1])
        .collect();
    assert_eq!(order, "abcdefg");
    assert_eq!(
        journal.events[0].place, "events[5]",
        "places are those of the file"
    );

    let mut again = journal.clone();
    again.put_in_order();
    assert_eq!(again, journal, "what is in order stays");
}

#[test]
fn values_keep_their_order_text_and_place() {
    let journal = parse(&journal_with(
        r#"{ "z": " 54 L ", "a": 0.50, "co2": true, "light": false, "depth": -0.0, "mass": 1e2 }"#,
        r#"{ "on": "2026-09-01", "event": "dosed", "what": "salt", "amount": 3 }"#,
    ));
    let tank: Vec<_> = journal
        .tank
        .iter()
        .map(|(name, entry)| (name.as_str(), entry.text.as_str(), entry.bare))
        .collect();
    let expected = [
        ("z", " 54 L ", false),
        ("a", "0.5", true),
        ("co2", "yes", false),
        ("light", "no", false),
        ("depth", "0", true),
        ("mass", "100", true),
    ];
    assert_eq!(tank, expected);
    assert_eq!(journal.tank[1].1.place, "tank.a");
    let What::Dosed { what, amount } = &journal.events[0].what else {
        panic!("{journal:?}")
    };
    assert_eq!((what.place.as_str(), what.bare), ("events[0].what", false));
    assert_eq!(
        (amount.text.as_str(), amount.place.as_str(), amount.bare),
        ("3", "events[0].amount", true)
    );
}

#[test]
fn any_source_of_plain_data_gives_the_same_tree() {
    let from_text: Node = serde_json::from_str(EXAMPLE).unwrap();
    let from_value = Node::deserialize(serde_json::from_str::<Value>(EXAMPLE).unwrap()).unwrap();
    assert_eq!(from_value, from_text);
    assert_eq!(Journal::from_node(&from_value), Journal::from_json(EXAMPLE));

    let twice = [("bed", "inert"), ("bed", "releasing")];
    let map =
        serde::de::value::MapDeserializer::<_, serde::de::value::Error>::new(twice.into_iter());
    let text = |text: &str| Node::Text(text.to_owned());
    let entries = twice.map(|(name, bed)| (name.to_owned(), text(bed)));
    assert_eq!(
        Node::deserialize(map).unwrap(),
        Node::Object(entries.to_vec())
    );
}

#[test]
fn deep_data_is_refused_from_any_source() {
    let nested = |depth| (0..depth).fold(Value::Null, |inner, _| Value::Array(vec![inner]));
    assert!(Node::deserialize(nested(16)).is_ok());
    let error = Node::deserialize(nested(17)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "lists and groups are nested more than 16 deep"
    );
}

#[test]
fn numbers_that_are_none_are_refused() {
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        let entry = |name: &str, node| (name.to_owned(), node);
        let node = Node::Object(vec![
            entry("format", Node::Text("lentic-journal/1".to_owned())),
            entry(
                "tank",
                Node::Object(vec![entry("length", Node::Number(number))]),
            ),
            entry("events", Node::List(Vec::new())),
        ]);
        let mistakes = Journal::from_node(&node).unwrap_err();
        assert_eq!(mistakes[0].place, "tank.length", "{number}");
    }
}

#[test]
fn sizes_are_bounded() {
    let note = |length| {
        let text = "ä".repeat(length);
        journal_with(
            "{}",
            &format!(r#"{{ "on": "2026-09-01", "event": "note", "note": "{text}" }}"#),
        )
    };
    parse(&note(MAX_TEXT));
    insta::assert_snapshot!(mistakes(&note(MAX_TEXT + 1)).join("\n"), @"events[0].note: a text has at most 2000 characters, but this one has 2001; shorten it, or spread it over several notes");

    let events = |count| {
        journal_with(
            "{}",
            &vec![r#"{"on":"2026-09-01","event":"filled"}"#; count].join(","),
        )
    };
    assert_eq!(parse(&events(MAX_EVENTS)).events.len(), MAX_EVENTS);
    insta::assert_snapshot!(mistakes(&events(MAX_EVENTS + 1)).join("\n"), @"events: a journal holds at most 20000 events, but these are 20001; begin a new journal");

    let padded = |length: usize| {
        format!(
            "{}{}",
            journal_with("{}", ""),
            " ".repeat(length - journal_with("{}", "").len())
        )
    };
    parse(&padded(MAX_BYTES));
    insta::assert_snapshot!(mistakes(&padded(MAX_BYTES + 1)).join("\n"), @"the file is larger than 8 MB, so it was not read; a journal is much smaller; is it the right file?");

    let count = |count| {
        journal_with(
            "{}",
            &format!(
                r#"{{ "on": "2026-09-01", "event": "added", "animals": [{{ "species": "cherry-shrimp", "count": {count} }}] }}"#
            ),
        )
    };
    parse(&count(MAX_COUNT));
    assert_eq!(mistakes(&count(MAX_COUNT + 1)).len(), 1);
}

#[test]
fn too_many_mistakes_are_counted() {
    let found = mistakes(&journal_with("{}", &vec!["{}"; 1_000].join(",")));
    assert_eq!(found.len(), 201);
    assert_eq!(
        found[200],
        "mistakes not listed here: 1800; mend the listed ones first"
    );
}

#[test]
fn an_empty_file_and_a_byte_order_mark_are_known() {
    insta::assert_snapshot!(mistakes(" \n").join("\n"), @"line 2, column 1: the file is empty; is it the right file?");
    assert_eq!(parse(&format!("\u{feff}{EXAMPLE}")), parse(EXAMPLE));
}

/// Days before 1 January of each year by the formula for "seconds since the Epoch" in POSIX.1-2017,
/// base definitions, section 4.16, written from memory.
#[test]
fn days_are_counted_as_posix_counts_them() {
    for year in 1970..=2200 {
        let since_1900 = year - 1900;
        let days = (since_1900 - 70) * 365 + (since_1900 - 69) / 4 - (since_1900 - 1) / 100
            + (since_1900 + 299) / 400;
        assert_eq!(
            Date::parse(&format!("{year}-01-01")).map(Date::days),
            Ok(days)
        );
    }
}

/// The Gregorian rule of leap years, as in ISO 8601-1:2019, 4.2.1, written from memory.
#[test]
fn only_days_of_the_calendar_are_dates() {
    for year in 1900..=2200 {
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        assert_eq!(
            Date::parse(&format!("{year}-02-29")).is_ok(),
            leap,
            "{year}"
        );
    }
    for wrong in [
        "2026-04-31",
        "2026-00-10",
        "2026-10-00",
        "2026-1-1",
        "+026-01-01",
        "2026-01-01 ",
        "２０２６-01-01",
    ] {
        assert_eq!(Date::parse(wrong), Err(DateError::NotADate), "{wrong}");
    }
    assert_eq!(Date::parse("1899-12-31"), Err(DateError::YearOutOfRange));
    assert_eq!(Date::parse("2201-01-01"), Err(DateError::YearOutOfRange));
}

#[test]
fn every_date_reads_back_and_none_lies_outside() {
    let dates: Vec<Date> = (Date::FIRST.days()..=Date::LAST.days())
        .filter_map(Date::from_days)
        .collect();
    assert!(
        dates
            .iter()
            .all(|date| Date::parse(&date.to_string()) == Ok(*date))
    );
    assert!(
        dates
            .windows(2)
            .all(|pair| pair[0] < pair[1] && pair[1].days_from(pair[0]) == 1)
    );
    assert_eq!(
        (dates[0].to_string(), dates[dates.len() - 1].to_string()),
        ("1900-01-01".into(), "2200-12-31".into())
    );
    assert_eq!(Date::LAST.plus_days(i32::MAX), Date::LAST);
    assert_eq!(Date::FIRST.plus_days(-1), Date::FIRST);
    assert_eq!(Date::from_days(Date::LAST.days() + 1), None);

    let json = serde_json::to_string(&Date::LAST).unwrap();
    assert_eq!(
        (json.as_str(), serde_json::from_str(&json).ok()),
        ("\"2200-12-31\"", Some(Date::LAST))
    );
}

#[test]
fn every_minute_of_the_day_reads_back() {
    let times =
        (0..24).flat_map(|hour| (0..60).map(move |minute| format!("{hour:02}:{minute:02}")));
    for (text, minutes) in times.zip(0..) {
        let time = TimeOfDay::parse(&text).unwrap();
        assert_eq!((time.minutes(), time.to_string()), (minutes, text));
    }
    assert!(
        ["24:00", "12:60", "7:30", "07:3", "0730", "-1:30"]
            .iter()
            .all(|text| TimeOfDay::parse(text).is_none())
    );
}

#[test]
fn no_damaged_journal_panics_or_changes_when_written() {
    let mut state = 1_u64;
    let mut next = |below: usize| {
        // Knuth's multiplier for a linear congruential generator; any would do.
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below
    };
    let mut accepted = 0;
    for _ in 0..6_000 {
        let mut bytes = EXAMPLE.as_bytes().to_vec();
        for _ in 0..=next(3) {
            let (from, length, to) = (next(bytes.len()), next(24), next(bytes.len()));
            let piece = bytes[from..(from + length).min(bytes.len())].to_vec();
            match next(3) {
                0 => bytes[to] = b"{}[]\",:0-9.eE\\\x00\xffa"[next(17)],
                1 => drop(bytes.splice(to..to, piece)),
                _ => drop(bytes.drain(to..(to + length).min(bytes.len() - 1).max(to))),
            }
        }
        let Ok(journal) = Journal::from_json(&String::from_utf8_lossy(&bytes)) else {
            continue;
        };
        accepted += 1;
        let written = serde_json::to_string(&journal).unwrap();
        assert_eq!(serde_json::to_string(&parse(&written)).unwrap(), written);
    }
    assert!(
        accepted > 100,
        "only {accepted} of the damaged journals could still be read"
    );
}

fn schema() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/journal.schema.json");
    serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap()
}

/// A group in the schema against the table of its fields.
#[track_caller]
fn check_group(group: &Value, fields: &[Field]) {
    let names = |wanted: &dyn Fn(&&Field) -> bool| -> BTreeSet<&str> {
        fields
            .iter()
            .filter(wanted)
            .map(|field| field.name)
            .collect()
    };
    let texts = |list: &Value| -> BTreeSet<String> {
        list.as_array()
            .into_iter()
            .flatten()
            .map(|text| text.as_str().unwrap().to_owned())
            .collect()
    };
    let known: BTreeSet<&str> = group["properties"]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    assert_eq!(known, names(&|_| true));
    assert_eq!(
        texts(&group["required"]),
        names(&|field| field.needed == Needed::Always)
            .into_iter()
            .map(String::from)
            .collect()
    );
    let choice: BTreeSet<String> = group["oneOf"]
        .as_array()
        .into_iter()
        .flatten()
        .flat_map(|one| texts(&one["required"]))
        .collect();
    assert_eq!(
        choice,
        names(&|field| field.needed == Needed::OneOf)
            .into_iter()
            .map(String::from)
            .collect()
    );
    assert_eq!(group["additionalProperties"], Value::Bool(false));
}

#[test]
fn the_published_schema_knows_what_the_parser_knows() {
    let schema = schema();
    check_group(&schema, JOURNAL_FIELDS);
    check_group(&schema["$defs"]["plant"], PLANT_FIELDS);
    check_group(&schema["$defs"]["animal"], ANIMAL_FIELDS);
    let kinds = schema["properties"]["events"]["items"]["oneOf"]
        .as_array()
        .unwrap();
    assert_eq!(kinds.len(), EVENT_KINDS.len());
    for (reference, kind) in kinds.iter().zip(EVENT_KINDS) {
        assert_eq!(reference["$ref"], format!("#/$defs/{}", kind.name));
        let group = &schema["$defs"][kind.name];
        assert_eq!(group["properties"]["event"]["const"], kind.name);
        assert_eq!(group["description"], kind.meaning);
        check_group(group, &kind.all_fields());
    }
    assert!(COMMON_FIELDS.iter().all(|field| {
        schema["$defs"]["filled"]["properties"]
            .get(field.name)
            .is_some()
    }));
}

#[test]
fn the_published_schema_has_the_parser_s_limits() {
    let schema = schema();
    assert_eq!(schema["properties"]["events"]["maxItems"], MAX_EVENTS);
    assert_eq!(schema["$defs"]["count"]["maximum"], MAX_COUNT);
    assert_eq!(schema["$defs"]["text"]["maxLength"], MAX_TEXT);
    assert_eq!(schema["$defs"]["own-words"]["maxLength"], MAX_TEXT);
    let origins = schema["$defs"]["plant"]["properties"]["origin"]["enum"].clone();
    assert_eq!(origins, serde_json::to_value(Origin::ALL).unwrap());
    assert_eq!(
        origins,
        serde_json::to_value(Origin::ALL.map(Origin::name)).unwrap()
    );
}
