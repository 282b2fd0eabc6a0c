//! Sets and sentences as text: numbers in the unit a fact is shown in.

use std::collections::BTreeSet;

use super::book::message::{Message, Part};
use super::book::order::rests_on;
use super::book::vocabulary::{Column, Kind};
use super::entry::exact;
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::expr::token::date_of;
use super::facts::Reading;
use super::set::{Interval, NO, Set, YES};
use super::unit::UnitId;

/// What is shown of a value that may be anything.
pub(crate) const NOT_KNOWN: &str = "not known";

/// A span of time wider than a century comes from a date that nobody gave.
const CENTURY_DAYS: f64 = 36_525.0;

impl Evaluation<'_> {
    /// A sentence with the values of its facts in it. A value set off by commas is left out while it is not known.
    pub(crate) fn say(&self, message: &Message, amount: Option<&str>) -> String {
        let mut text = String::new();
        for (index, part) in message.parts.iter().enumerate() {
            let value = match part {
                Part::Words(words) => {
                    text.push_str(words);
                    continue;
                }
                Part::Fact(id) => self.told(*id),
                Part::Amount => amount.map(str::to_owned),
            };
            match value {
                Some(value) => text.push_str(&value),
                None if set_off(&text, message.parts.get(index + 1)) => {
                    text.truncate(text.len() - 2)
                }
                None => text.push_str(NOT_KNOWN),
            }
        }
        text
    }

    /// The value of a fact for a sentence; none while something it rests on was never entered.
    fn told(&self, id: ColumnId) -> Option<String> {
        let waits = matches!(self.set(id), Set::Number(_)) && !self.waits_for(&[id]).is_empty();
        (!waits)
            .then(|| self.shown(id))
            .filter(|shown| shown != NOT_KNOWN)
    }

    /// The facts that nobody entered, or that have gone stale, below values that are not settled without them.
    pub(crate) fn waits_for(&self, columns: &[ColumnId]) -> Vec<ColumnId> {
        let (mut open, mut seen) = (columns.to_vec(), BTreeSet::new());
        let mut found = Vec::new();
        while let Some(id) = open.pop() {
            if self.set(id).is_known() || !seen.insert(id) {
                continue;
            }
            let column = self.book.words.get(id);
            match self.facts.get(id) {
                Some(given) if !self.is_stale(column, given) => {}
                _ if column.is_given() => found.push(id),
                _ => open.extend(rests_on(&self.book.words, id)),
            }
        }
        found
    }

    /// The value of a fact as a person reads it: what a test showed, or what is possible.
    pub(crate) fn shown(&self, id: ColumnId) -> String {
        let column = self.book.words.get(id);
        if let Some(given) = self.facts.get(id)
            && let Some(latest) = given.readings.last()
            && !self.is_stale(column, given)
            && latest.values == given.set.interval()
            && stands_for(column, latest)
        {
            return self.quantity(column, Interval::point(latest.nominal));
        }
        self.shown_set(column, self.set(id))
    }

    pub(crate) fn shown_set(&self, column: &Column, set: Set) -> String {
        match set {
            Set::Number(_) if set == column.range && !set.is_known() => NOT_KNOWN.into(),
            Set::Number(values) if self.says_nothing(column, values) => NOT_KNOWN.into(),
            Set::Number(values) => self.quantity(column, values),
            Set::Choice(mask) if column.kind == Kind::Truth => match mask {
                YES => "yes".into(),
                NO => "no".into(),
                _ => NOT_KNOWN.into(),
            },
            Set::Choice(mask) if mask == column.all_options() => NOT_KNOWN.into(),
            Set::Choice(mask) => listed(column, mask, " or "),
            Set::Several { surely, maybe } if surely == maybe => {
                if surely == 0 {
                    "none".into()
                } else {
                    listed(column, surely, ", ")
                }
            }
            Set::Several { surely, .. } if surely != 0 => {
                format!("{}, perhaps more", listed(column, surely, ", "))
            }
            Set::Several { .. } => NOT_KNOWN.into(),
        }
    }

    fn says_nothing(&self, column: &Column, values: Interval) -> bool {
        let time = self.book.words.units.time();
        time.as_ref() == Some(&column.measure.dimension) && values.hi - values.lo > CENTURY_DAYS
    }

    fn quantity(&self, column: &Column, values: Interval) -> String {
        if column.measure.point && column.unit.is_none() {
            let date = |days: f64| date_of(days).unwrap_or_else(|| "an unknown date".into());
            return if values.is_point() {
                date(values.lo)
            } else {
                format!("{} to {}", date(values.lo), date(values.hi))
            };
        }
        self.in_unit(column.unit, column.decimals, values)
    }

    /// An interval in a unit: one number, two, or a bound.
    pub(crate) fn in_unit(
        &self,
        unit: Option<UnitId>,
        decimals: Option<u8>,
        values: Interval,
    ) -> String {
        let unit = unit.map(|id| self.book.words.units.get(id));
        let number = |main: f64| printed(unit.map_or(main, |unit| unit.from_main(main)), decimals);
        let name = match unit {
            Some(unit) if unit.bare => String::new(),
            Some(unit) => format!(" {}", plural(&unit.name, &number(values.hi))),
            None => String::new(),
        };
        let (low, high) = (number(values.lo), number(values.hi));
        match (values.lo.is_finite(), values.hi.is_finite()) {
            (true, true) if low == high => format!("{low}{name}"),
            (true, true) => format!("{low} to {high}{name}"),
            (true, false) => format!("{low}{name} or more"),
            (false, true) => format!("{high}{name} or less"),
            (false, false) => NOT_KNOWN.into(),
        }
    }
}

/// Whether a value between these texts stands between commas, or between a comma and the end of the sentence.
fn set_off(before: &str, after: Option<&Part>) -> bool {
    let closed = matches!(after, Some(Part::Words(words)) if words.starts_with([',', '.']));
    closed && before.ends_with(", ")
}

/// Whether a reading is one mark of a test, so that the mark tells all of it: no bound, no span, no open unit.
fn stands_for(column: &Column, reading: &Reading) -> bool {
    let (values, _, _) = exact(column, reading.nominal, column.spread);
    values == reading.values || reading.values.is_point()
}

fn listed(column: &Column, mask: u128, joint: &str) -> String {
    let chosen = column
        .options
        .iter()
        .enumerate()
        .filter(|(index, _)| mask >> index & 1 == 1);
    let labels: Vec<&str> = chosen.map(|(_, option)| option.label.as_str()).collect();
    labels.join(joint)
}

/// A label as it stands within a sentence: small at its start, unless that is a name such as `pH` or `CO2`.
pub(crate) fn in_sentence(label: &str) -> String {
    let first = label.split(' ').next().unwrap_or_default();
    let is_name = first.chars().skip(1).any(|c| !c.is_lowercase() && c != '-');
    let mut characters = label.chars();
    match characters.next() {
        Some(start) if !is_name => start.to_lowercase().chain(characters).collect(),
        _ => label.to_owned(),
    }
}

/// An amount with the name of its unit.
pub(crate) fn counted(amount: f64, decimals: Option<u8>, unit: &str) -> String {
    let number = printed(amount, decimals);
    let unit = plural(unit, &number);
    format!("{number} {unit}").trim_end().to_owned()
}

/// Days, weeks and hours take an s; signs do not.
fn plural(unit: &str, number: &str) -> String {
    match unit {
        "day" | "week" if number != "1" => format!("{unit}s"),
        _ => unit.to_owned(),
    }
}

/// A number with about three figures, as workings show it.
#[must_use]
pub fn figure(value: f64) -> String {
    printed(value, if value.abs() >= 100.0 { Some(1) } else { None })
}

/// A number with so many decimals; without a word on them, with about three figures.
pub(crate) fn printed(value: f64, decimals: Option<u8>) -> String {
    let decimals = decimals.map_or_else(|| usual_decimals(value), usize::from);
    let scale = libm::pow(10.0, decimals as f64);
    let rounded = libm::round(value * scale) / scale;
    // A small amount must not look like none.
    if rounded == 0.0 && value != 0.0 {
        return format!("{:.*}", usual_decimals(value), value);
    }
    let text = format!("{:.decimals$}", if rounded == 0.0 { 0.0 } else { rounded });
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

fn usual_decimals(value: f64) -> usize {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    let magnitude = libm::floor(libm::log10(value.abs())) as i32;
    (2 - magnitude).clamp(0, 9) as usize
}
