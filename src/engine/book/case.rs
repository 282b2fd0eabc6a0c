//! Cases: facts, and what must come out.

use super::super::entry::{Entered, entered_within};
use super::super::expr::compile::ColumnId;
use super::super::facts::{Given, Reading};
use super::super::set::{Interval, Set};
use super::read::Reader;
use super::rule::{Case, Expect};
use super::text::{Field, Text};
use super::vocabulary::{Column, Kind, Spread};

/// The facts a line gives: `FACT VALUE, FACT VALUE`.
pub(crate) fn facts(reader: &mut Reader, text: &Text) -> Option<Vec<(ColumnId, Given)>> {
    let mut facts = Vec::new();
    if text.is_empty() || text.value == "nothing" {
        return Some(facts);
    }
    let mut good = true;
    // Every part is looked at, so that all mistakes of a line are found at once.
    for part in text.split(",") {
        match fact(reader, &part) {
            Some(fact) => facts.push(fact),
            None => good = false,
        }
    }
    good.then_some(facts)
}

fn fact(reader: &mut Reader, part: &Text) -> Option<(ColumnId, Given)> {
    let (name, value) = part.first_word();
    if name.value.starts_with(|c: char| c.is_ascii_digit()) {
        let message = format!("`{}` names no fact; a comma parts facts here", part.value);
        reader
            .log
            .hint(part, message, "write decimals with a point");
        return None;
    }
    let Some(column) = reader.words.find(&name.value) else {
        let Reader { words, log, .. } = reader;
        log.unknown(&name, "fact", words.names());
        return None;
    };
    if value.is_empty() {
        let message = format!("`{}` has no value here", name.value);
        reader.log.at(&name, message);
        return None;
    }
    Some((column, given(reader, column, &value)?))
}

/// The value of one fact in a case: an exact one, for cases test thresholds.
fn given(reader: &mut Reader, id: ColumnId, text: &Text) -> Option<Given> {
    let column = reader.words.get(id);
    if column.unit_unknown {
        return None;
    }
    if column.series {
        return series(reader, id, text);
    }
    match exact(column, reader, &text.value) {
        Ok(entered) => Some(Given::typed(entered.set, text.value.clone())),
        Err(message) => {
            reader.log.at(text, message);
            None
        }
    }
}

fn exact(column: &Column, reader: &Reader, text: &str) -> Result<Entered, String> {
    let entered = entered_within(column, &reader.words.units, text, Spread::Exact)?;
    match entered.question {
        Some(question) => Err(question),
        None => Ok(entered),
    }
}

/// `VALUE 2 days ago then VALUE`: readings by their age, the last one of today.
fn series(reader: &mut Reader, id: ColumnId, text: &Text) -> Option<Given> {
    let mut readings = Vec::new();
    for part in text.split(" then ") {
        let (value, age) = match part.value.strip_suffix(" ago") {
            Some(_) => aged(reader, &part)?,
            None => (part.clone(), 0.0),
        };
        let entered = match exact(reader.words.get(id), reader, &value.value) {
            Ok(entered) => entered,
            Err(message) => {
                reader.log.at(&value, message);
                return None;
            }
        };
        let Set::Number(values) = entered.set else {
            return None;
        };
        let Some(nominal) = entered.nominal else {
            continue;
        };
        // A typed zero stays the point zero here: cases give exact values.
        let values = if nominal == 0.0 && values.lo == 0.0 && !value.value.contains(['<', 't']) {
            Interval::point(0.0)
        } else {
            values
        };
        // Cases take the usual test, whose first mark is the vocabulary's, unless they say `<`.
        let mark = if value.value.starts_with('<') {
            entered.mark
        } else {
            reader.words.get(id).smallest
        };
        readings.push(Reading {
            day: CASE_TODAY - age,
            values,
            nominal,
            mark,
            typed: value.value.clone(),
        });
    }
    if !readings.is_sorted_by(|a, b| a.day <= b.day) {
        let message = "these readings are not in order of time";
        reader.log.hint(text, message, "write the oldest first");
        return None;
    }
    let set = readings
        .last()
        .map_or(reader.words.get(id).range, |reading| {
            Set::Number(reading.values)
        });
    Some(Given {
        set,
        readings,
        typed: text.value.clone(),
    })
}

/// The day cases are set on, unless they give the date fact: 2026-01-01.
pub(crate) const CASE_TODAY: f64 = 20_454.0;

fn aged(reader: &mut Reader, part: &Text) -> Option<(Text, f64)> {
    let (rest, _) = part.last_word();
    let (rest, unit) = rest.last_word();
    let (value, number) = rest.last_word();
    if let Some(days) = age_days(reader, &number, &unit).filter(|_| !value.is_empty()) {
        return Some((value, days));
    }
    reader.log.hint(
        part,
        format!("`{}` does not end with an age", part.value),
        "write it as in `VALUE 2 days ago`",
    );
    None
}

fn age_days(reader: &Reader, number: &Text, unit: &Text) -> Option<f64> {
    let units = &reader.words.units;
    let unit = units.get(units.find(&unit.value)?);
    let number: f64 = number.value.parse().ok()?;
    let is_time = units.time().as_ref() == Some(&unit.dimension);
    (is_time && (0.0..=LONG_AGO).contains(&number)).then_some(unit.difference_to_main(number))
}

/// No case speaks of a reading that is older than so many of any unit.
const LONG_AGO: f64 = 1e5;

/// A case of a rule or gate, by its keyword.
pub(crate) fn case(
    reader: &mut Reader,
    field: &Field,
    given: &[(ColumnId, Given)],
) -> Option<Case> {
    let keyword = field.keyword.value.as_str();
    let (listed, wants) = match keyword {
        "asks" => match field.text.split_once("wants ") {
            Some((listed, wants)) => (listed, wanted(reader, &wants)?),
            None => {
                reader.log.hint(
                    &field.text,
                    "this case names no fact that it wants",
                    "end it with `wants FACT`",
                );
                return None;
            }
        },
        _ => (field.text.clone(), Vec::new()),
    };
    let mut all = given.to_vec();
    for (column, value) in facts(reader, &listed)? {
        all.retain(|(known, _)| *known != column);
        all.push((column, value));
    }
    let expect = match keyword {
        "holds" => Expect::Holds,
        "fails" => Expect::Fails,
        "opens" => Expect::Opens,
        "waits" => Expect::Waits,
        "refuses" => Expect::Refuses,
        _ => Expect::Asks(wants),
    };
    Some(Case {
        expect,
        facts: all,
        text: field.keyword.clone(),
        words: format!("{keyword} {}", field.text.value),
    })
}

fn wanted(reader: &mut Reader, text: &Text) -> Option<Vec<ColumnId>> {
    let mut wants = Vec::new();
    for name in text.split(",") {
        let Some(column) = reader.words.find(&name.value) else {
            let Reader { words, log, .. } = reader;
            log.unknown(&name, "fact", words.names());
            return None;
        };
        wants.push(column);
    }
    Some(wants)
}

/// `VALUE from FACTS`: what a derived fact must come to.
pub(crate) fn gives(reader: &mut Reader, id: ColumnId, field: &Field) -> Option<Case> {
    let Some((value, listed)) = field.text.split_once(" from ") else {
        reader.log.hint(
            &field.text,
            "this case does not say from what",
            "write it as `VALUE from FACT VALUE, ...`",
        );
        return None;
    };
    let column = reader.words.get(id);
    let expected = match exact(column, reader, &value.value) {
        Ok(entered) => Given::typed(
            printed(column, reader, entered.set, &value.value),
            value.value.clone(),
        ),
        Err(message) => {
            reader.log.at(&value, message);
            return None;
        }
    };
    let facts = facts(reader, &listed)?;
    let words = format!("gives {}", field.text.value);
    Some(Case {
        expect: Expect::Gives(expected),
        facts,
        text: field.keyword.clone(),
        words,
    })
}

/// A printed number stands for all that round to it.
fn printed(column: &Column, reader: &Reader, set: Set, text: &str) -> Set {
    let (Set::Number(values), Kind::Number, false) = (set, column.kind, column.date) else {
        return set;
    };
    let number = text.split_whitespace().next().unwrap_or("");
    let digits = number.split_once('.').map_or(0, |(_, after)| after.len()) as i32;
    let half = 0.5 * libm::pow(10.0, f64::from(-digits));
    let unit = text
        .find(' ')
        .and_then(|at| reader.words.units.find(text[at..].trim()));
    let half = unit
        .map_or(half, |id| {
            reader.words.units.get(id).difference_to_main(half)
        })
        .abs();
    Set::Number(Interval {
        lo: values.lo - half,
        hi: values.hi + half,
    })
}
