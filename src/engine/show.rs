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
use super::phrase::{self, Phrases};
use super::set::{Interval, NO, Set, YES};
use super::unit::UnitId;

/// A span of time wider than a century comes from a date that nobody gave.
const CENTURY_DAYS: f64 = 36_525.0;

impl Evaluation<'_> {
    pub(crate) fn phrases(&self) -> &Phrases {
        &self.book.words.phrases
    }

    /// What is shown of a value that may be anything.
    pub(crate) fn not_known(&self) -> String {
        self.phrases().say(&phrase::NOT_KNOWN, [])
    }

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
                None => text.push_str(&self.not_known()),
            }
        }
        text
    }

    /// The value of a fact for a sentence; none while something it rests on was never entered.
    fn told(&self, id: ColumnId) -> Option<String> {
        let waits = matches!(self.set(id), Set::Number(_)) && !self.waits_for(&[id]).is_empty();
        (!waits)
            .then(|| self.shown(id))
            .filter(|shown| *shown != self.not_known())
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
            return self.quantity(column, column.decimals, Interval::point(latest.nominal));
        }
        self.shown_set(column, self.set(id))
    }

    pub(crate) fn shown_set(&self, column: &Column, set: Set) -> String {
        let phrases = self.phrases();
        match set {
            Set::Number(_) if set == column.range && !set.is_known() => self.not_known(),
            Set::Number(values) if self.says_nothing(column, values) => self.not_known(),
            Set::Number(values) => self.quantity(column, column.decimals, values),
            Set::Choice(mask) if column.kind == Kind::Truth => match mask {
                YES => phrases.say(&phrase::YES, []),
                NO => phrases.say(&phrase::NO, []),
                _ => self.not_known(),
            },
            Set::Choice(mask) if mask == column.all_options() => self.not_known(),
            Set::Choice(mask) => phrases.either(&listed(column, mask)),
            Set::Several { surely, maybe } if surely == maybe => match surely {
                0 => phrases.say(&phrase::NONE, []),
                _ => listed(column, surely).join(", "),
            },
            Set::Several { surely, .. } if surely != 0 => {
                phrases.say(&phrase::PERHAPS_MORE, [&listed(column, surely).join(", ")])
            }
            Set::Several { .. } => self.not_known(),
        }
    }

    fn says_nothing(&self, column: &Column, values: Interval) -> bool {
        let time = self.book.words.units.time();
        time.as_ref() == Some(&column.measure.dimension) && values.hi - values.lo > CENTURY_DAYS
    }

    /// A threshold of a fact, with about three figures however few the fact is shown with.
    pub(crate) fn threshold_shown(&self, column: &Column, at: f64) -> String {
        self.quantity(column, None, Interval::point(at))
    }

    fn quantity(&self, column: &Column, decimals: Option<u8>, values: Interval) -> String {
        if column.measure.point && column.unit.is_none() {
            let phrases = self.phrases();
            let unknown = || phrases.say(&phrase::UNKNOWN_DATE, []);
            let date = |days: f64| date_of(days).unwrap_or_else(unknown);
            return match values.is_point() {
                true => date(values.lo),
                false => phrases.say(&phrase::SPAN, [&date(values.lo), &date(values.hi)]),
            };
        }
        self.in_unit(column.unit, decimals, values)
    }

    /// An interval in a unit: one number, two, or a bound.
    pub(crate) fn in_unit(
        &self,
        unit: Option<UnitId>,
        decimals: Option<u8>,
        values: Interval,
    ) -> String {
        let unit = unit.map(|id| self.book.words.units.get(id));
        let main = |main: f64| unit.map_or(main, |unit| unit.from_main(main));
        let number = |value: f64| self.phrases().number(main(value), decimals);
        let (low, high) = (number(values.lo), number(values.hi));
        let name = match unit {
            Some(unit) if unit.bare => "",
            Some(unit) => unit.said(&high),
            None => "",
        };
        let bounds = (values.lo.is_finite(), values.hi.is_finite());
        let between = self.phrases().between(bounds, [&low, &high], name);
        between.unwrap_or_else(|| self.not_known())
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

fn listed(column: &Column, mask: u128) -> Vec<String> {
    let chosen = column
        .options
        .iter()
        .enumerate()
        .filter(|(index, _)| mask >> index & 1 == 1);
    chosen.map(|(_, option)| option.label.clone()).collect()
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
