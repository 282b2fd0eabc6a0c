//! Cases: facts, and what must come out.

use super::super::entry::{Entered, entered_within};
use super::super::expr::compile::ColumnId;
use super::super::facts::{Given, Reading};
use super::super::set::{Interval, Set};
use super::super::unit::Units;
use super::read::Known;
use super::rule::{Case, Expect};
use super::text::{Field, Text};
use super::vocabulary::{Column, Kind, Spread, Vocabulary};

/// The facts a line gives: `FACT VALUE, FACT VALUE`.
pub(crate) fn facts(known: &mut Known<'_>, text: &Text<'_>) -> Option<Vec<(ColumnId, Given)>> {
    let mut facts = Vec::new();
    if text.is_empty() || text.value == "nothing" {
        return Some(facts);
    }
    let mut good = true;
    // Every part is looked at, so that all mistakes of a line are found at once.
    for part in text.split(",") {
        match fact(known, &part) {
            Some(fact) => facts.push(fact),
            None => good = false,
        }
    }
    good.then_some(facts)
}

fn fact(known: &mut Known<'_>, part: &Text<'_>) -> Option<(ColumnId, Given)> {
    let (name, value) = part.first_word();
    if name.value.starts_with(|c: char| c.is_ascii_digit()) {
        let message = format!("`{}` names no fact; a comma parts facts here", part.value);
        known.log.hint(part, message, "write decimals with a point");
        return None;
    }
    let Some(column) = known.words.find(&name.value) else {
        let Known { words, log, .. } = known;
        log.unknown(&name, "fact", words.names());
        return None;
    };
    if value.is_empty() {
        let message = format!("`{}` has no value here", name.value);
        known.log.at(&name, message);
        return None;
    }
    Some((column, given(known, column, &value)?))
}

/// The value of one fact in a case: an exact one, for cases test thresholds.
fn given(known: &mut Known<'_>, id: ColumnId, text: &Text<'_>) -> Option<Given> {
    let column = known.words.get(id);
    if column.unit_unknown {
        return None;
    }
    if column.series {
        return series(known, id, text);
    }
    match exact(column, &known.words, &text.value) {
        Ok(entered) => Some(Given::typed(entered.set, text.value.to_string())),
        Err(message) => {
            known.log.at(text, message);
            None
        }
    }
}

fn exact(column: &Column, words: &Vocabulary, text: &str) -> Result<Entered, String> {
    let entered = entered_within(column, words, text, Spread::Exact)?;
    match entered.question {
        Some(question) => Err(question),
        None => Ok(entered),
    }
}

/// `VALUE 2 days ago then VALUE`: readings by their age, the last one of today.
fn series(known: &mut Known<'_>, id: ColumnId, text: &Text<'_>) -> Option<Given> {
    let mut readings = Vec::new();
    for part in text.split(" then ") {
        let (value, age) = match part.value.strip_suffix(" ago") {
            Some(_) => aged(known, &part)?,
            None => (part.clone(), 0.0),
        };
        let entered = match exact(known.words.get(id), &known.words, &value.value) {
            Ok(entered) => entered,
            Err(message) => {
                known.log.at(&value, message);
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
            known.words.get(id).smallest
        };
        readings.push(Reading {
            day: CASE_TODAY - age,
            values,
            nominal,
            mark,
            typed: value.value.to_string(),
        });
    }
    if !readings.is_sorted_by(|a, b| a.day <= b.day) {
        let message = "these readings are not in order of time";
        known.log.hint(text, message, "write the oldest first");
        return None;
    }
    let set = readings
        .last()
        .map_or(known.words.get(id).range, |reading| {
            Set::Number(reading.values)
        });
    Some(Given {
        set,
        readings,
        typed: text.value.to_string(),
    })
}

/// The day cases are set on, unless they give the date fact: 2026-01-01.
pub(crate) const CASE_TODAY: f64 = 20_454.0;

fn aged<'a>(known: &mut Known<'_>, part: &Text<'a>) -> Option<(Text<'a>, f64)> {
    let (rest, _) = part.last_word();
    let (rest, unit) = rest.last_word();
    let (value, number) = rest.last_word();
    if let Some(days) = age_days(&known.words.units, &number, &unit).filter(|_| !value.is_empty()) {
        return Some((value, days));
    }
    known.log.hint(
        part,
        format!("`{}` does not end with an age", part.value),
        "write it as in `VALUE 2 days ago`",
    );
    None
}

fn age_days(units: &Units, number: &Text<'_>, unit: &Text<'_>) -> Option<f64> {
    let unit = units.get(units.find(&unit.value)?);
    let number: f64 = number.value.parse().ok()?;
    let is_time = units.time().as_ref() == Some(&unit.dimension);
    (is_time && (0.0..=LONG_AGO).contains(&number)).then_some(unit.difference_to_main(number))
}

/// No case speaks of a reading that is older than so many of any unit.
const LONG_AGO: f64 = 1e5;

/// A case as it is written.
pub(crate) fn words(field: &Field<'_>) -> String {
    format!("{} {}", field.keyword.value, field.text.value)
}

/// A case of a rule or gate, by its keyword.
pub(crate) fn case(
    known: &mut Known<'_>,
    field: &Field<'_>,
    given: &[(ColumnId, Given)],
) -> Option<Case> {
    let keyword = &*field.keyword.value;
    let (listed, wants) = match keyword {
        "asks" => match field.text.split_once("wants ") {
            Some((listed, wants)) => (listed, wanted(known, &wants)?),
            None => {
                known.log.hint(
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
    for (column, value) in facts(known, &listed)? {
        all.retain(|(other, _)| *other != column);
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
        place: field.keyword.mark(),
        words: words(field),
    })
}

fn wanted(known: &mut Known<'_>, text: &Text<'_>) -> Option<Vec<ColumnId>> {
    let mut wants = Vec::new();
    for name in text.split(",") {
        let Some(column) = known.words.find(&name.value) else {
            let Known { words, log, .. } = known;
            log.unknown(&name, "fact", words.names());
            return None;
        };
        wants.push(column);
    }
    Some(wants)
}

/// `VALUE from FACTS`: what a derived fact must come to.
pub(crate) fn gives(known: &mut Known<'_>, id: ColumnId, field: &Field<'_>) -> Option<Case> {
    let Some((value, listed)) = field.text.split_once(" from ") else {
        known.log.hint(
            &field.text,
            "this case does not say from what",
            "write it as `VALUE from FACT VALUE, ...`",
        );
        return None;
    };
    let column = known.words.get(id);
    let expected = match exact(column, &known.words, &value.value) {
        Ok(entered) => Given::typed(
            printed(column, &known.words.units, entered.set, &value.value),
            value.value.to_string(),
        ),
        Err(message) => {
            known.log.at(&value, message);
            return None;
        }
    };
    let facts = facts(known, &listed)?;
    Some(Case {
        expect: Expect::Gives(expected),
        facts,
        place: field.keyword.mark(),
        words: words(field),
    })
}

/// A printed number stands for all that round to it.
fn printed(column: &Column, units: &Units, set: Set, text: &str) -> Set {
    let (Set::Number(values), Kind::Number, false) = (set, column.kind, column.date) else {
        return set;
    };
    let number = text.split_whitespace().next().unwrap_or("");
    let digits = number.split_once('.').map_or(0, |(_, after)| after.len()) as i32;
    let half = 0.5 * libm::pow(10.0, f64::from(-digits));
    let unit = text.find(' ').and_then(|at| units.find(text[at..].trim()));
    let half = unit
        .map_or(half, |id| units.get(id).difference_to_main(half))
        .abs();
    Set::Number(Interval {
        lo: values.lo - half,
        hi: values.hi + half,
    })
}
