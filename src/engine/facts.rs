//! What is known on a day: the facts that a book is run on.

use super::expr::ast::SeriesWord;
use super::expr::compile::{ColumnId, Feature};
use super::set::{Interval, Set, Verdict};

/// One reading of a series.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The day it was taken: days since 1970-01-01.
    pub day: f64,
    /// What the true value may be, in the main unit.
    pub values: Interval,
    /// What the test showed, in the main unit.
    pub nominal: f64,
    /// The smallest mark of the test that was used, in the main unit, for facts that have one.
    pub mark: Option<f64>,
    /// The reading as it was typed.
    pub typed: String,
}

impl Reading {
    fn reads_zero(&self) -> Verdict {
        match self.mark {
            Some(mark) => self.values.less_than(Interval::point(mark)),
            None => Verdict::Open,
        }
    }
}

/// What is known of one fact.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// The values it may have today. For a series this is what its latest reading says, if that is recent enough.
    pub set: Set,
    /// The readings of a series, oldest first.
    pub readings: Vec<Reading>,
    /// The value as it was typed, where it was.
    pub typed: String,
}

impl Given {
    /// A fact that is known to lie in `set`.
    #[must_use]
    pub fn new(set: Set) -> Given {
        Given {
            set,
            readings: Vec::new(),
            typed: String::new(),
        }
    }

    /// The same, with what was typed.
    #[must_use]
    pub fn typed(set: Set, typed: impl Into<String>) -> Given {
        Given {
            set,
            readings: Vec::new(),
            typed: typed.into(),
        }
    }
}

/// The facts a book is run on. A fact that is not here may be anything in its range.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Facts {
    /// By column, ascending.
    given: Vec<(ColumnId, Given)>,
    /// The same without words and readings, place by place: few bytes for a run to go through.
    brief: Briefs,
}

/// What a run needs of facts, in columns, as most are told by their first number.
#[derive(Debug, Clone, Default, PartialEq)]
struct Briefs {
    /// Column and kind.
    heads: Vec<u32>,
    firsts: Vec<u64>,
    seconds: Vec<u64>,
}

/// What a run needs of a fact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Brief {
    /// A number without readings.
    Number(Interval),
    /// Some of the first 64 options of a choice.
    Options(u64),
    /// The same where several are possible at once: those surely present, and those that may be.
    Several(u64, u64),
    /// All else: see what is given.
    Full,
}

const POINT: u32 = 0;
const NUMBER: u32 = 1;
const OPTIONS: u32 = 2;
const SEVERAL: u32 = 3;
const FULL: u32 = 4;
/// Bits of a kind.
const KIND: u32 = 3;

impl Briefs {
    fn of(id: ColumnId, given: &Given) -> (u32, u64, u64) {
        let small = |options: u128| u64::try_from(options).ok();
        let (kind, first, second) = match given.set {
            _ if !given.readings.is_empty() => (FULL, 0, 0),
            Set::Number(values) if values.is_point() => (POINT, values.lo.to_bits(), 0),
            Set::Number(values) => (NUMBER, values.lo.to_bits(), values.hi.to_bits()),
            Set::Choice(options) => small(options).map_or((FULL, 0, 0), |all| (OPTIONS, all, 0)),
            Set::Several { surely, maybe } => match (small(surely), small(maybe)) {
                (Some(surely), Some(maybe)) => (SEVERAL, surely, maybe),
                _ => (FULL, 0, 0),
            },
        };
        (id.0 << KIND | kind, first, second)
    }

    fn set(&mut self, at: usize, id: ColumnId, given: &Given) {
        let (head, first, second) = Briefs::of(id, given);
        (self.heads[at], self.firsts[at], self.seconds[at]) = (head, first, second);
    }

    fn insert(&mut self, at: usize, id: ColumnId, given: &Given) {
        let (head, first, second) = Briefs::of(id, given);
        self.heads.insert(at, head);
        self.firsts.insert(at, first);
        self.seconds.insert(at, second);
    }

    fn remove(&mut self, at: usize) {
        self.heads.remove(at);
        self.firsts.remove(at);
        self.seconds.remove(at);
    }
}

impl Facts {
    pub(crate) fn get(&self, column: ColumnId) -> Option<&Given> {
        let found = self.find(column).ok()?;
        Some(&self.given[found].1)
    }

    pub(crate) fn set(&mut self, column: ColumnId, given: Given) {
        match self.find(column) {
            Ok(at) => {
                self.brief.set(at, column, &given);
                self.given[at].1 = given;
            }
            Err(at) => {
                self.brief.insert(at, column, &given);
                self.given.insert(at, (column, given));
            }
        }
    }

    /// Changes what is known of a fact; false if nothing is.
    pub(crate) fn change(&mut self, column: ColumnId, change: impl FnOnce(&mut Given)) -> bool {
        let found = self.find(column);
        if let Ok(at) = found {
            let given = &mut self.given[at].1;
            change(given);
            self.brief.set(at, column, given);
        }
        found.is_ok()
    }

    pub(crate) fn remove(&mut self, column: ColumnId) {
        if let Ok(at) = self.find(column) {
            self.given.remove(at);
            self.brief.remove(at);
        }
    }

    /// The columns of which something is known, ascending, with what is.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (ColumnId, &Given)> {
        self.given.iter().map(|(id, given)| (*id, given))
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.given.is_empty()
    }

    /// Every fact in brief, with its place.
    #[inline(always)]
    pub(crate) fn briefly(&self) -> impl Iterator<Item = (usize, ColumnId, Brief)> {
        let Briefs {
            heads,
            firsts,
            seconds,
        } = &self.brief;
        let heads = heads.iter().zip(firsts).enumerate();
        heads.map(|(place, (head, first))| {
            let second = || seconds[place];
            let number = |hi: u64| {
                let (lo, hi) = (f64::from_bits(*first), f64::from_bits(hi));
                Brief::Number(Interval { lo, hi })
            };
            let brief = match head & ((1 << KIND) - 1) {
                POINT => number(*first),
                NUMBER => number(second()),
                OPTIONS => Brief::Options(*first),
                SEVERAL => Brief::Several(*first, second()),
                _ => Brief::Full,
            };
            (place, ColumnId(head >> KIND), brief)
        })
    }

    /// The last column of which something is known.
    pub(crate) fn last(&self) -> Option<ColumnId> {
        self.given.last().map(|(id, _)| *id)
    }

    /// The fact at a place.
    pub(crate) fn at(&self, place: usize) -> (ColumnId, &Given) {
        let (id, given) = &self.given[place];
        (*id, given)
    }

    fn find(&self, column: ColumnId) -> Result<usize, usize> {
        // Facts mostly come in the order of their columns.
        match self.given.last() {
            Some((last, _)) if *last < column => Err(self.given.len()),
            _ => self.given.binary_search_by_key(&column, |(id, _)| *id),
        }
    }
}

/// What a series word says of some readings. `whole` is what it may be when they do not tell.
pub(crate) fn feature(
    readings: &[Reading],
    today: Option<f64>,
    feature: Feature,
    whole: Set,
) -> Set {
    match feature {
        Feature::ReadsZero { last } => {
            Set::from_verdict(on_the_last(readings, last, Reading::reads_zero))
        }
        Feature::ReadsPresent { last } => {
            Set::from_verdict(on_the_last(readings, last, |r| r.reads_zero().not()))
        }
        Feature::Number { word, days } => {
            number(readings, today, word, days).map_or(whole, Set::Number)
        }
    }
}

/// The places of the newest reading of each of the last test days, newest first.
pub(crate) fn of_last_days(readings: &[Reading], last: u32) -> impl Iterator<Item = usize> {
    let mut before = f64::INFINITY;
    let newest = readings
        .iter()
        .enumerate()
        .rev()
        .filter(move |(_, reading)| {
            let day = libm::floor(reading.day);
            let newest = day < before;
            before = before.min(day);
            newest
        });
    newest.map(|(place, _)| place).take(last as usize)
}

/// The places of the readings of the last days, today included, oldest first.
pub(crate) fn within_days(
    readings: &[Reading],
    today: Option<f64>,
    days: f64,
) -> impl Iterator<Item = usize> {
    let from = today.map(|today| libm::floor(today) - days);
    let within = move |reading: &Reading| from.is_some_and(|from| libm::floor(reading.day) >= from);
    (0..readings.len()).filter(move |place| within(&readings[*place]))
}

/// Whether something is so on the newest reading of each of the last test days. Fewer readings than that leave it
/// open, unless one of them denies it.
fn on_the_last(readings: &[Reading], last: u32, test: impl Fn(&Reading) -> Verdict) -> Verdict {
    let mut days = 0;
    let each = of_last_days(readings, last).inspect(|_| days += 1);
    let verdict = each
        .map(|place| test(&readings[place]))
        .fold(Verdict::Holds, Verdict::and);
    if days == last {
        verdict
    } else {
        verdict.and(Verdict::Open)
    }
}

fn number(
    readings: &[Reading],
    today: Option<f64>,
    word: SeriesWord,
    days: f64,
) -> Option<Interval> {
    let latest = readings.last()?;
    let extreme = |pick: fn(f64, f64) -> f64| {
        let values = within_days(readings, today, days).map(|place| readings[place].values);
        values.reduce(|a, b| Interval {
            lo: pick(a.lo, b.lo),
            hi: pick(a.hi, b.hi),
        })
    };
    match word {
        SeriesWord::Age => {
            let age = |today: f64| libm::floor(today) - libm::floor(latest.day);
            today.map(|today| Interval::point(age(today).max(0.0)))
        }
        SeriesWord::Highest => extreme(f64::max),
        SeriesWord::Lowest => extreme(f64::min),
        SeriesWord::Change => {
            let earlier = readings
                .iter()
                .rev()
                .find(|reading| libm::floor(reading.day) <= libm::floor(latest.day) - days)?;
            Some(latest.values.add(earlier.values.negate()))
        }
    }
}
