//! Reads a value as a person types it: "2.4 mg/L NH4", "78 °F", "< 0.25", "dark", "yes".

use super::book::vocabulary::{Column, Kind, Spread};
use super::diagnostic::did_you_mean;
use super::expr::token::{DATE_HELP, days_of, no_date};
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
pub(crate) fn entered(column: &Column, units: &Units, text: &str) -> Result<Entered, String> {
    entered_within(column, units, text, column.spread)
}

/// The same, where a number may be off by `off` rather than by what the vocabulary says.
pub(crate) fn entered_within(
    column: &Column,
    units: &Units,
    text: &str,
    off: Spread,
) -> Result<Entered, String> {
    let text = text.trim();
    if text.is_empty() {
        return Err("nothing is written here".into());
    }
    if text == "unknown" || text == "?" {
        return Ok(Entered::known(column.range));
    }
    if column.date {
        return date(text);
    }
    match column.kind {
        Kind::Truth => truth(text),
        Kind::Choice => choice(column, text),
        Kind::Several => several(column, text),
        Kind::Number => number(column, units, text, off),
    }
}

fn date(text: &str) -> Result<Entered, String> {
    match days_of(text) {
        Some(days) => Ok(Entered::known(Set::Number(Interval::point(days)))),
        None => Err(format!("{}; {DATE_HELP}", no_date(text))),
    }
}

fn truth(text: &str) -> Result<Entered, String> {
    match text {
        "yes" | "true" | "on" => Ok(Entered::known(Set::truth(true))),
        "no" | "false" | "off" => Ok(Entered::known(Set::truth(false))),
        _ => Err(format!("`{text}` is neither `yes` nor `no`")),
    }
}

fn choice(column: &Column, text: &str) -> Result<Entered, String> {
    let mut mask = 0;
    for name in text.split(" or ") {
        mask |= option(column, name.trim())?;
    }
    Ok(Entered::known(Set::Choice(mask)))
}

fn several(column: &Column, text: &str) -> Result<Entered, String> {
    let mut mask = 0;
    if text != "none" {
        for name in text.split(" and ") {
            mask |= option(column, name.trim())?;
        }
    }
    Ok(Entered::known(Set::Several {
        surely: mask,
        maybe: mask,
    }))
}

fn option(column: &Column, name: &str) -> Result<u128, String> {
    if let Some(index) = column.option(name) {
        return Ok(1 << index);
    }
    let names = || column.options.iter().map(|option| option.name.as_str());
    let help = did_you_mean(name, names()).unwrap_or_else(|| {
        let listed: Vec<&str> = names().collect();
        if listed.len() > 12 {
            "see the list of options".into()
        } else {
            format!("it is one of: {}", listed.join(", "))
        }
    });
    Err(format!("`{name}` is no option of {}; {help}", column.name))
}

#[derive(Clone, Copy, PartialEq)]
enum Bound {
    Value,
    Below,
    Above,
}

fn number(column: &Column, units: &Units, text: &str, off: Spread) -> Result<Entered, String> {
    let (bound, rest) = match text.strip_prefix('<') {
        Some(rest) => (Bound::Below, rest.trim_start()),
        None => text.strip_prefix('>').map_or((Bound::Value, text), |rest| {
            (Bound::Above, rest.trim_start())
        }),
    };
    let (first, rest) = leading_number(rest, text)?;
    if bound == Bound::Value
        && let Some(rest) = rest.trim_start().strip_prefix("to ")
    {
        let (second, rest) = leading_number(rest.trim_start(), text)?;
        return range(
            column,
            units,
            first.min(second),
            first.max(second),
            rest.trim(),
        );
    }
    let candidates: Vec<Candidate> = units_of(column, units, rest.trim(), text)?
        .into_iter()
        .map(|unit| candidate(column, units, unit, first, (bound, off)))
        .collect();
    Ok(settled(column, units, text, &candidates))
}

/// The number a text starts with; a single comma is a decimal comma.
fn leading_number<'a>(text: &'a str, all: &str) -> Result<(f64, &'a str), String> {
    let sign = usize::from(text.starts_with('-'));
    let length = text[sign..]
        .find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',')
        .map_or(text.len(), |found| found + sign);
    let digits = text[..length].trim_end_matches([',', '.']);
    let unclear = || {
        format!(
            "`{all}` is not a number with its unit; write it as in `0.5` and the unit of your test"
        )
    };
    if digits.matches(',').count() == 1 && !digits.contains('.') {
        let after = digits.len() - digits.find(',').unwrap_or(0) - 1;
        if after == 3 && !digits.trim_start_matches('-').starts_with("0,") {
            return Err(format!(
                "`{digits}` may mean a thousand or a decimal comma; write it with a point or without"
            ));
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
    units: &Units,
    text: &str,
    all: &str,
) -> Result<Vec<Option<UnitId>>, String> {
    let accepted = &column.units;
    if accepted.is_empty() {
        return if text.is_empty() {
            Ok(vec![None])
        } else {
            Err(format!(
                "`{all}`: a plain number is wanted here, without a unit"
            ))
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
        return Err(format!(
            "{} is not counted in {}; use {}",
            column.label,
            units.get(id).name,
            names()
        ));
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
    let help = did_you_mean(text, units.names().filter(fits))
        .map(|help| format!("; {help}"))
        .unwrap_or_default();
    Err(format!(
        "`{text}` is no unit of {}; use {}{help}",
        column.label,
        names()
    ))
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

fn settled(column: &Column, units: &Units, text: &str, candidates: &[Candidate]) -> Entered {
    let range = column.range.interval();
    let plausible: Vec<&Candidate> = candidates
        .iter()
        .filter(|c| c.nominal >= range.lo && c.nominal <= range.hi)
        .collect();
    let Some(first) = plausible.first() else {
        return questioned(column.range, implausible(column, units, text));
    };
    let values = plausible
        .iter()
        .fold(first.values, |sum, c| sum.hull(c.values));
    let mark = plausible.iter().filter_map(|c| c.mark).reduce(f64::min);
    // Zero is zero in every unit.
    let same = plausible.iter().all(|c| c.nominal == 0.0) && plausible.len() == candidates.len();
    let question =
        (candidates.len() > 1 && !same).then(|| which_unit(column, units, text, &plausible));
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

fn which_unit(column: &Column, units: &Units, text: &str, plausible: &[&Candidate]) -> String {
    let names: Vec<&str> = plausible
        .iter()
        .filter_map(|c| c.unit)
        .map(|id| units.get(id).name.as_str())
        .collect();
    let label = &column.label;
    match names.as_slice() {
        [only] => format!("is `{text}` meant in {only}? Nothing else is plausible for {label}"),
        _ => format!(
            "what does `{text}` count: {}? Until you say, it may be any of these",
            names.join(" or ")
        ),
    }
}

fn implausible(column: &Column, units: &Units, text: &str) -> String {
    let shown = |x: f64| column.unit.map_or(x, |id| units.get(id).from_main(x));
    let range = column.range.interval();
    let unit = column
        .unit
        .map(|id| format!(" {}", units.get(id).name))
        .unwrap_or_default();
    format!(
        "`{text}` is outside {} to {}{unit}, so it is left out; is the unit right, or a digit too many? Test again if it is as typed",
        tidy(shown(range.lo)),
        tidy(shown(range.hi))
    )
}

/// A number without digits that conversion alone has made.
pub(crate) fn tidy(value: f64) -> String {
    let rounded = libm::round(value * 1e6) / 1e6;
    format!("{}", if rounded == 0.0 { 0.0 } else { rounded })
}

fn range(
    column: &Column,
    units: &Units,
    low: f64,
    high: f64,
    unit: &str,
) -> Result<Entered, String> {
    let text = format!("{low} to {high} {unit}");
    let candidates = units_of(column, units, unit, &text)?;
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
        return Ok(questioned(column.range, implausible(column, units, &text)));
    };
    let question = (candidates.len() > 1).then(|| {
        format!(
            "in which unit is `{text}`: {}?",
            column.unit_names(units).join(", ")
        )
    });
    Ok(Entered {
        set: Set::Number(values),
        nominal: Some(values.lo),
        mark: column.smallest,
        question,
    })
}
