//! A box: the facts a book is run on, with a set of possible values for each. Narrowed, split, and sampled.
//!
//! A series is a short history of readings on days of its own, so that what the series words say of it is worked out
//! by the evaluator and never contradicts itself.

use std::collections::BTreeSet;

use super::super::book::Book;
use super::super::book::case::CASE_TODAY;
use super::super::book::vocabulary::{Column, Origin};
use super::super::expr::ast::SeriesWord;
use super::super::expr::compile::{ColumnId, Feature};
use super::super::facts::{Facts, Given, Reading};
use super::super::normal::Allowed;
use super::super::set::{Interval, Set};
use super::pick::{self, Lean};

/// Whole numbers only, for dates.
fn whole(values: Interval) -> Option<Interval> {
    let (lo, hi) = (libm::ceil(values.lo), libm::floor(values.hi));
    (lo <= hi).then_some(Interval { lo, hi })
}

/// The closed interval of the numbers that are allowed: an open end moves to the next number there is.
pub(super) fn closed(allowed: Allowed) -> Option<Interval> {
    let Allowed::Numbers {
        low,
        low_open,
        high,
        high_open,
    } = allowed
    else {
        return None;
    };
    let lo = if low_open { low.next_up() } else { low };
    let hi = if high_open { high.next_down() } else { high };
    Some(Interval { lo, hi })
}

/// What is left of a set when only allowed values remain.
pub(super) fn narrowed(column: &Column, set: Set, allowed: Allowed) -> Option<Set> {
    match (set, allowed) {
        (Set::Number(values), Allowed::Numbers { .. }) => {
            let met = values.meet(closed(allowed)?)?;
            let met = if column.date { whole(met)? } else { met };
            Some(Set::Number(met))
        }
        (Set::Choice(mask), Allowed::Options(options)) => {
            (mask & options != 0).then_some(Set::Choice(mask & options))
        }
        (Set::Several { surely, maybe }, Allowed::Several { with, without }) => {
            let (surely, maybe) = (surely | with, maybe & !without);
            (surely & !maybe == 0).then_some(Set::Several { surely, maybe })
        }
        _ => Some(set),
    }
}

/// Gives a fact these values; for a series, its latest reading.
pub(super) fn give(facts: &mut Facts, id: ColumnId, set: Set) {
    let known = facts.change(id, |given| {
        given.set = set;
        given.typed.clear();
        if let (Some(latest), Set::Number(values)) = (given.readings.last_mut(), set) {
            latest.values = values;
        }
    });
    if !known {
        facts.set(id, Given::new(set));
    }
}

/// Gives one reading of a series these values.
pub(super) fn give_reading(facts: &mut Facts, id: ColumnId, index: usize, values: Interval) {
    facts.change(id, |given| {
        given.typed.clear();
        if index + 1 == given.readings.len() {
            given.set = Set::Number(values);
        }
        if let Some(reading) = given.readings.get_mut(index) {
            reading.values = values;
        }
    });
}

/// A history of a series: readings of these ages in days, oldest first, of any plausible value.
pub(super) fn history(column: &Column, ages: &[f64]) -> Given {
    let reading = |age: &f64| Reading {
        day: CASE_TODAY - age,
        values: column.range.interval(),
        nominal: 0.0,
        mark: column.smallest,
        typed: String::new(),
    };
    Given {
        set: column.range,
        readings: ages.iter().map(reading).collect(),
        typed: String::new(),
    }
}

impl Book {
    /// The histories that between them show everything the needed series words can say of a series, each as ages in
    /// days, oldest first; the plainest first.
    pub(super) fn histories(
        &self,
        series: ColumnId,
        needed: &[ColumnId],
        limits: &BTreeSet<u64>,
    ) -> Vec<Vec<f64>> {
        let column = self.words.get(series);
        let mut words = Vec::new();
        for id in needed {
            if let Origin::Feature {
                series: of,
                feature,
            } = self.words.get(*id).origin
                && of == series
            {
                words.push(feature);
            }
        }
        let mut latest: Vec<f64> = vec![0.0];
        if self.today.is_some() {
            latest.extend(column.stale.map(|days| libm::floor(days) + 1.0));
            let aged = |f: &Feature| matches!(f, Feature::Number { word, .. } if *word != SeriesWord::Change);
            if words.iter().any(aged) {
                for days in limits.iter().map(|bits| f64::from_bits(*bits)) {
                    latest.extend([libm::floor(days), libm::floor(days) + 1.0]);
                }
            }
            for feature in &words {
                if let Feature::Number {
                    word: SeriesWord::Highest | SeriesWord::Lowest,
                    days,
                } = feature
                {
                    latest.push(libm::floor(*days) + 1.0);
                }
            }
        }
        latest.sort_by(f64::total_cmp);
        latest.dedup();
        let mut shapes: Vec<Vec<f64>> = Vec::new();
        for age in latest {
            for late in [0.0, 1.0] {
                let shape = shape(age, late, &words);
                if !shapes.contains(&shape) {
                    shapes.push(shape);
                }
            }
        }
        // Where a window holds no reading, what looks through it stays open: such histories come last.
        let blind = |shape: &Vec<f64>| {
            words.iter().any(|feature| match feature {
                Feature::Number {
                    word: SeriesWord::Highest | SeriesWord::Lowest,
                    days,
                } => shape.iter().all(|age| age > days),
                _ => false,
            })
        };
        shapes.sort_by_key(|shape| (blind(shape), shape.len()));
        shapes
    }
}

/// Enough readings before the latest for each series word to have some of its own. `late` moves those that a change is
/// measured from out of the windows of the other words.
fn shape(latest: f64, late: f64, words: &[Feature]) -> Vec<f64> {
    let mut ages = vec![latest];
    // The windows of `highest` and `lowest`, and which of the two look through each.
    let mut windows: Vec<(f64, SeriesWord)> = Vec::new();
    for feature in words {
        match *feature {
            Feature::ReadsZero { last } | Feature::ReadsPresent { last } => {
                (1..last).for_each(|n| ages.push(latest + f64::from(n)));
            }
            Feature::Number {
                word: SeriesWord::Change,
                days,
            } => ages.push(latest + libm::ceil(days) + late),
            Feature::Number { word, days } if word != SeriesWord::Age => windows.push((days, word)),
            Feature::Number { .. } => {}
        }
    }
    ages.sort_by(f64::total_cmp);
    ages.dedup();
    // Each window reaches further back than the next shorter one: what only it sees may be higher and lower than all
    // that the other words speak of.
    windows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut newer = latest;
    for at in 0..windows.len() {
        let days = windows[at].0;
        let looks = |wanted: SeriesWord| windows[at..].iter().any(|(_, word)| *word == wanted);
        let mut wanted =
            usize::from(looks(SeriesWord::Highest)) + usize::from(looks(SeriesWord::Lowest));
        let mut age = libm::floor(days);
        while wanted > 0 && age > newer {
            if !ages.contains(&age) {
                ages.push(age);
                wanted -= 1;
            }
            age -= 1.0;
        }
        newer = newer.max(libm::floor(days));
    }
    ages.sort_by(|a, b| b.total_cmp(a));
    ages
}

/// Points for every fact of a box, each with the text it is typed as.
pub(super) fn sample(book: &Book, facts: &Facts, lean: Lean) -> Option<Facts> {
    let mut points = Facts::default();
    for (id, given) in facts.iter() {
        let column = book.words.get(id);
        points.set(id, point(book, column, given, lean)?);
    }
    Some(points)
}

fn point(book: &Book, column: &Column, given: &Given, lean: Lean) -> Option<Given> {
    let units = &book.words.units;
    if !given.typed.is_empty() {
        return Some(given.clone());
    }
    if given.readings.is_empty() {
        let (set, text) = pick::picked(column, units, given.set, lean, CASE_TODAY)?;
        return Some(Given::typed(set, text));
    }
    let mut readings = Vec::new();
    for reading in &given.readings {
        let (value, typed) = pick::number(column, units, reading.values, lean)?;
        readings.push(Reading {
            values: Interval::point(value),
            nominal: value,
            typed,
            ..reading.clone()
        });
    }
    let set = Set::Number(readings.last()?.values);
    Some(Given {
        set,
        typed: typed(book, &readings),
        readings,
    })
}

/// A history without its oldest reading, if it has others.
pub(super) fn shortened(book: &Book, given: &Given) -> Option<Given> {
    let readings = given
        .readings
        .get(1..)
        .filter(|rest| !rest.is_empty())?
        .to_vec();
    Some(Given {
        set: given.set,
        typed: typed(book, &readings),
        readings,
    })
}

fn typed(book: &Book, readings: &[Reading]) -> String {
    let parts: Vec<String> = readings.iter().map(|r| told(book, r)).collect();
    parts.join(" then ")
}

/// A reading in the words of a case: its value, and how long ago.
fn told(book: &Book, reading: &Reading) -> String {
    let age = CASE_TODAY - reading.day;
    if age == 0.0 {
        return reading.typed.clone();
    }
    let plural = age != 1.0 && book.words.units.find("days").is_some();
    let unit = if plural { "days" } else { "day" };
    format!("{} {age} {unit} ago", reading.typed)
}

/// Where a box can be cut.
#[derive(Debug, Clone, Copy)]
pub(super) enum Cut {
    Option(ColumnId),
    Number(ColumnId),
    Reading(ColumnId, usize),
}

impl Cut {
    /// The fact that is cut.
    pub fn of(self) -> ColumnId {
        match self {
            Cut::Option(id) | Cut::Number(id) | Cut::Reading(id, _) => id,
        }
    }
}

/// The best place to cut one fact, and how wide it is there: 2 for a choice, else the share of `whole`.
pub(super) fn widest(id: ColumnId, given: &Given, whole: Interval) -> Option<(f64, Cut)> {
    let share = |values: Interval| {
        let whole = whole.hi - whole.lo;
        let width = values.hi - values.lo;
        if width <= 0.0 || values.lo.next_up() >= values.hi {
            0.0
        } else if width.is_infinite() || whole.is_infinite() {
            width.min(1e6) / 1e6
        } else {
            width / whole
        }
    };
    if !given.readings.is_empty() {
        let each = given.readings.iter().enumerate();
        let wide = each.map(|(index, r)| (share(r.values), Cut::Reading(id, index)));
        return wide
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(w, _)| *w > 0.0);
    }
    match given.set {
        Set::Choice(mask) => (mask.count_ones() > 1).then_some((2.0, Cut::Option(id))),
        Set::Several { surely, maybe } => (surely != maybe).then_some((2.0, Cut::Option(id))),
        Set::Number(values) => {
            let width = share(values);
            (width > 0.0).then_some((width, Cut::Number(id)))
        }
    }
}

/// Narrower than this share of its range, a number is not cut again.
pub(super) const NARROWEST: f64 = 1e-9;

/// The parts that a box falls into when it is cut. `hints` are numbers at which a verdict turns.
pub(super) fn parts(book: &Book, facts: &Facts, cut: Cut, hints: &[f64]) -> Vec<Facts> {
    let id = cut.of();
    let column = book.words.get(id);
    let Some(given) = facts.get(id) else {
        return Vec::new();
    };
    let with = |set: Set| {
        let mut part = facts.clone();
        give(&mut part, id, set);
        part
    };
    match (cut, given.set) {
        (Cut::Reading(_, index), _) => {
            let values = given.readings[index].values;
            let halves = halves(values, hints, false);
            let part = |half: Interval| {
                let mut part = facts.clone();
                give_reading(&mut part, id, index, half);
                part
            };
            halves.into_iter().map(part).collect()
        }
        (_, Set::Number(values)) => {
            let mut halves = halves(values, hints, column.date);
            // Days near today read best.
            if column.date && CASE_TODAY > halves[0].hi {
                halves.reverse();
            }
            halves
                .into_iter()
                .map(|half| with(Set::Number(half)))
                .collect()
        }
        (_, Set::Choice(mask)) => (0..128)
            .filter(|bit| mask >> bit & 1 == 1)
            .map(|bit| with(Set::Choice(1 << bit)))
            .collect(),
        (_, Set::Several { surely, maybe }) => {
            let free = maybe & !surely;
            let bit = 1 << free.trailing_zeros();
            let (without, having) = (maybe & !bit, surely | bit);
            vec![
                with(Set::Several {
                    surely,
                    maybe: without,
                }),
                with(Set::Several {
                    surely: having,
                    maybe,
                }),
            ]
        }
    }
}

fn halves(values: Interval, hints: &[f64], whole_days: bool) -> Vec<Interval> {
    let middle = match (values.lo.is_finite(), values.hi.is_finite()) {
        (true, true) => values.lo + (values.hi - values.lo) / 2.0,
        (true, false) => 2.0 * values.lo.max(0.0) + 1.0,
        (false, true) => 2.0 * values.hi.min(0.0) - 1.0,
        (false, false) => 0.0,
    };
    let inside = |x: &f64| *x > values.lo && *x <= values.hi;
    let at = hints.iter().copied().find(inside).unwrap_or(middle);
    let at = if whole_days {
        libm::floor(at) + 1.0
    } else {
        at
    };
    let at = if inside(&at) { at } else { values.hi };
    let below = if whole_days { at - 1.0 } else { at.next_down() };
    vec![
        Interval {
            lo: values.lo,
            hi: below,
        },
        Interval {
            lo: at,
            hi: values.hi,
        },
    ]
}
