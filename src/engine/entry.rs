//! Reads a value as a person types it: "2.4 mg/L NH4", "78 °F", "< 0.25", "dark", "yes".

use super::book::vocabulary::{Column, Kind, Spread, Vocabulary};
use super::diagnostic::nearest;
use super::expr::token::{days_of, is_shaped_as_date};
use super::phrase::{self, Phrases};
use super::set::{Interval, Set};
use super::unit::{Unit, UnitId, Units};

/// A typed value, as far as it can be understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Entered {
    /// What the value may be.
    pub set: Set,
    /// What was shown, in the main unit; for numbers only.
    pub nominal: Option<f64>,
    /// The smallest mark of the test used; for series that have one.
    pub mark: Option<f64>,
    /// What must be asked before this can be taken as it stands.
    pub question: Option<String>,
}

impl Entered {
    fn known(set: Set) -> Entered {
        Entered {
            set,
            nominal: None,
            mark: None,
            question: None,
        }
    }
}

/// The value of `column` that `text` stands for, or a sentence that says why it stands for none.
pub(crate) fn entered(column: &Column, words: &Vocabulary, text: &str) -> Result<Entered, String> {
    entered_within(column, words, text, column.spread)
}

/// The same, where a number may be off by `off` rather than by what the vocabulary says.
pub(crate) fn entered_within(
    column: &Column,
    words: &Vocabulary,
    text: &str,
    off: Spread,
) -> Result<Entered, String> {
    let phrases = &words.phrases;
    let text = text.trim();
    if text.is_empty() {
        return Err(phrases.say(&phrase::NOTHING_WRITTEN, []));
    }
    if text == "unknown" || text == "?" {
        return Ok(Entered::known(column.range));
    }
    if column.date {
        return date(phrases, text);
    }
    match column.kind {
        Kind::Truth => truth(phrases, text),
        Kind::Choice => choice(column, phrases, text),
        Kind::Several => several(column, phrases, text),
        Kind::Number => number(column, words, text, off),
    }
}

fn date(phrases: &Phrases, text: &str) -> Result<Entered, String> {
    match days_of(text) {
        Some(days) => Ok(Entered::known(Set::Number(Interval::point(days)))),
        None if is_shaped_as_date(text) => Err(phrases.say(&phrase::NO_SUCH_DAY, [text])),
        None => Err(phrases.say(&phrase::NO_DATE, [text])),
    }
}

fn truth(phrases: &Phrases, text: &str) -> Result<Entered, String> {
    match text {
        "yes" | "true" | "on" => Ok(Entered::known(Set::truth(true))),
        "no" | "false" | "off" => Ok(Entered::known(Set::truth(false))),
        _ => Err(phrases.say(&phrase::NO_TRUTH, [text])),
    }
}

fn choice(column: &Column, phrases: &Phrases, text: &str) -> Result<Entered, String> {
    let mut mask = 0;
    for name in text.split(" or ") {
        mask |= option(column, phrases, name.trim())?;
    }
    Ok(Entered::known(Set::Choice(mask)))
}

fn several(column: &Column, phrases: &Phrases, text: &str) -> Result<Entered, String> {
    let mut mask = 0;
    if text != "none" {
        for name in text.split(" and ") {
            mask |= option(column, phrases, name.trim())?;
        }
    }
    Ok(Entered::known(Set::Several {
        surely: mask,
        maybe: mask,
    }))
}

fn option(column: &Column, phrases: &Phrases, name: &str) -> Result<u128, String> {
    if let Some(index) = column.option(name) {
        return Ok(1 << index);
    }
    let names = || column.options.iter().map(|option| option.name.as_str());
    let listed: Vec<&str> = names().collect();
    let help = match nearest(name, names()) {
        Some(near) => phrases.say(&phrase::DID_YOU_MEAN, [near]),
        None if listed.len() > 12 => phrases.say(&phrase::SEE_OPTIONS, []),
        None => phrases.say(&phrase::ONE_OF, [&listed.join(", ")]),
    };
    Err(phrases.say(&phrase::NO_OPTION, [name, &column.name, &help]))
}

#[derive(Clone, Copy, PartialEq)]
enum Bound {
    Value,
    Below,
    Above,
}

fn number(column: &Column, words: &Vocabulary, text: &str, off: Spread) -> Result<Entered, String> {
    let (bound, rest) = match text.strip_prefix('<') {
        Some(rest) => (Bound::Below, rest.trim_start()),
        None => text.strip_prefix('>').map_or((Bound::Value, text), |rest| {
            (Bound::Above, rest.trim_start())
        }),
    };
    // Where there is nothing to choose, the unit goes without saying.
    let unclear = match column.units.len() {
        0 | 1 => &phrase::NO_PLAIN_NUMBER,
        _ => &phrase::NO_NUMBER,
    };
    let leading =
        |part| leading_number(&words.phrases, part, || words.phrases.say(unclear, [text]));
    let (first, rest) = leading(rest)?;
    if bound == Bound::Value
        && let Some(rest) = rest.trim_start().strip_prefix("to ")
    {
        let (second, rest) = leading(rest.trim_start())?;
        return range(
            column,
            words,
            first.min(second),
            first.max(second),
            rest.trim(),
        );
    }
    let candidates: Vec<Candidate> = units_of(column, words, rest.trim(), text)?
        .into_iter()
        .map(|unit| candidate(column, &words.units, unit, first, (bound, off)))
        .collect();
    Ok(settled(column, words, text, &candidates))
}

/// The number a text starts with; a single comma is a decimal comma.
fn leading_number<'a>(
    phrases: &Phrases,
    text: &'a str,
    unclear: impl Fn() -> String,
) -> Result<(f64, &'a str), String> {
    let sign = usize::from(text.starts_with('-'));
    let length = text[sign..]
        .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .map_or(text.len(), |found| found + sign);
    let digits = text[..length].trim_end_matches([',', '.']);
    if digits.matches(',').count() == 1 && !digits.contains('.') {
        let after = digits.len() - digits.find(',').unwrap_or(0) - 1;
        if after == 3 && !digits.trim_start_matches('-').starts_with("0,") {
            return Err(phrases.say(&phrase::THOUSAND, [digits]));
        }
    }
    let value: f64 = match digits.contains(',') {
        true => digits.replacen(',', ".", 1).parse(),
        false => digits.parse(),
    }
    .map_err(|_| unclear())?;
    if !value.is_finite() || value.abs() > 1e12 {
        return Err(unclear());
    }
    Ok((value, &text[digits.len()..]))
}

/// The units that `text` may stand for: one, or those a vague unit leaves open.
fn units_of(
    column: &Column,
    words: &Vocabulary,
    text: &str,
    all: &str,
) -> Result<Vec<Option<UnitId>>, String> {
    let (units, phrases) = (&words.units, &words.phrases);
    let accepted = &column.units;
    if accepted.is_empty() {
        return match text.is_empty() {
            true => Ok(vec![None]),
            false => Err(phrases.say(&phrase::PLAIN_NUMBER, [all])),
        };
    }
    let names = || column.unit_names(units).join(", ");
    if text.is_empty() {
        let bare = accepted.iter().any(|id| units.get(*id).bare);
        return Ok(if bare {
            vec![Some(accepted[0])]
        } else {
            accepted.iter().map(|id| Some(*id)).collect()
        });
    }
    if let Some(id) = units.find(text) {
        if accepted.contains(&id) {
            return Ok(vec![Some(id)]);
        }
        let told = [&*column.label, &units.get(id).name, &names()];
        return Err(phrases.say(&phrase::NOT_COUNTED_IN, told));
    }
    if let Some(means) = units.meanings(text) {
        let fits: Vec<Option<UnitId>> = accepted
            .iter()
            .filter(|id| means.contains(id))
            .map(|id| Some(*id))
            .collect();
        if !fits.is_empty() {
            return Ok(fits);
        }
    }
    let fits = |name: &&str| units.find(name).is_some_and(|id| accepted.contains(&id));
    let message = phrases.say(&phrase::NO_UNIT, [text, &column.label, &names()]);
    Err(match nearest(text, units.names().filter(fits)) {
        Some(near) => format!("{message}; {}", phrases.say(&phrase::DID_YOU_MEAN, [near])),
        None => message,
    })
}

/// What a number means if it was typed in this unit.
struct Candidate {
    unit: Option<UnitId>,
    values: Interval,
    nominal: f64,
    mark: Option<f64>,
}

fn to_main(units: Option<&Unit>, value: f64) -> f64 {
    units.map_or(value, |unit| unit.to_main(value))
}

fn candidate(
    column: &Column,
    units: &Units,
    unit: Option<UnitId>,
    value: f64,
    (bound, off): (Bound, Spread),
) -> Candidate {
    let main = to_main(unit.map(|id| units.get(id)), value);
    let range = column.range.interval();
    let (values, nominal, mark) = match bound {
        Bound::Below => {
            let below = Interval {
                lo: range.lo,
                hi: main.next_down().max(range.lo),
            };
            // Less than the least that is plausible is no value at all.
            let nominal = if main > range.lo {
                range.lo
            } else {
                main.next_down()
            };
            (below, nominal, column.smallest.map(|_| main))
        }
        Bound::Above => {
            let least = main.next_up();
            let above = Interval {
                lo: least,
                hi: range.hi.max(least),
            };
            // More than the most that is plausible is no value either.
            let nominal = if main < range.hi { main } else { least };
            (above, nominal, column.smallest)
        }
        Bound::Value => exact(column, main, off),
    };
    Candidate {
        unit,
        values,
        nominal,
        mark,
    }
}

/// What a mark of a test may stand for, what it shows, and the smallest mark of that test.
pub(crate) fn exact(column: &Column, main: f64, off: Spread) -> (Interval, f64, Option<f64>) {
    let within = |values: Interval| {
        values
            .meet(column.range.interval())
            .unwrap_or(Interval::point(main))
    };
    match column.smallest {
        Some(smallest) if main == 0.0 => (
            Interval {
                lo: 0.0,
                hi: smallest.next_down(),
            },
            0.0,
            Some(smallest),
        ),
        Some(smallest) => {
            // A value under the usual first mark shows that this test can tell it from zero.
            let mark = smallest.min(main.max(f64::MIN_POSITIVE));
            (within(spread(off, main, mark)), main, Some(mark))
        }
        None => (within(spread(off, main, f64::NEG_INFINITY)), main, None),
    }
}

/// The values a reading may stand for; one that is not zero stays at or above the first mark.
fn spread(off: Spread, main: f64, least: f64) -> Interval {
    let off = match off {
        Spread::Exact => 0.0,
        Spread::Absolute(off) => off,
        Spread::Relative(share) => main.abs() * share,
    };
    Interval {
        lo: (main - off).max(least),
        hi: main + off,
    }
}

fn settled(column: &Column, words: &Vocabulary, text: &str, candidates: &[Candidate]) -> Entered {
    let range = column.range.interval();
    let plausible: Vec<&Candidate> = candidates
        .iter()
        .filter(|c| c.nominal >= range.lo && c.nominal <= range.hi)
        .collect();
    let Some(first) = plausible.first() else {
        return questioned(column.range, implausible(column, words, text));
    };
    let values = plausible
        .iter()
        .fold(first.values, |sum, c| sum.hull(c.values));
    let mark = plausible.iter().filter_map(|c| c.mark).reduce(f64::min);
    // Zero is zero in every unit.
    let same = plausible.iter().all(|c| c.nominal == 0.0) && plausible.len() == candidates.len();
    let question =
        (candidates.len() > 1 && !same).then(|| which_unit(column, words, text, &plausible));
    Entered {
        set: Set::Number(values),
        nominal: Some(first.nominal),
        mark,
        question,
    }
}

fn questioned(set: Set, question: String) -> Entered {
    Entered {
        set,
        nominal: None,
        mark: None,
        question: Some(question),
    }
}

fn which_unit(column: &Column, words: &Vocabulary, text: &str, plausible: &[&Candidate]) -> String {
    let name = |id: UnitId| words.units.get(id).name.clone();
    let named = plausible.iter().filter_map(|c| c.unit);
    let names: Vec<String> = named.map(name).collect();
    match names.as_slice() {
        [only] => words
            .phrases
            .say(&phrase::MEANT_IN, [text, only, &column.label]),
        _ => {
            let any = words.phrases.either(&names);
            words.phrases.say(&phrase::WHAT_COUNTS, [text, &any])
        }
    }
}

fn implausible(column: &Column, words: &Vocabulary, text: &str) -> String {
    let unit = column.unit.map(|id| words.units.get(id));
    let end = |main: f64| {
        let shown = unit.map_or(main, |unit| unit.from_main(main));
        words.phrases.figures(tidy(shown))
    };
    let range = column.range.interval();
    let high = match unit {
        Some(unit) => format!("{} {}", end(range.hi), unit.name),
        None => end(range.hi),
    };
    let range = words.phrases.say(&phrase::SPAN, [&end(range.lo), &high]);
    words.phrases.say(&phrase::IMPLAUSIBLE, [text, &range])
}

/// A number without digits that conversion alone has made.
pub(crate) fn tidy(value: f64) -> String {
    let rounded = libm::round(value * 1e6) / 1e6;
    format!("{}", if rounded == 0.0 { 0.0 } else { rounded })
}

fn range(
    column: &Column,
    words: &Vocabulary,
    low: f64,
    high: f64,
    unit: &str,
) -> Result<Entered, String> {
    let text = format!("{low} to {high} {unit}");
    let units = &words.units;
    let candidates = units_of(column, words, unit, &text)?;
    let ends = |id: &Option<UnitId>| {
        let unit = id.map(|id| units.get(id));
        Interval::between(to_main(unit, low), to_main(unit, high))
    };
    let all = candidates
        .iter()
        .map(ends)
        .reduce(Interval::hull)
        .unwrap_or(Interval::EVERYTHING);
    let Some(values) = all.meet(column.range.interval()) else {
        return Ok(questioned(column.range, implausible(column, words, &text)));
    };
    let question = (candidates.len() > 1).then(|| {
        let names = column.unit_names(units).join(", ");
        words.phrases.say(&phrase::IN_WHICH_UNIT, [&text, &names])
    });
    Ok(Entered {
        set: Set::Number(values),
        nominal: Some(values.lo),
        mark: column.smallest,
        question,
    })
}
