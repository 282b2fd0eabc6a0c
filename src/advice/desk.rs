//! The facts of a coming day: what the journal leaves known, and what tests of forecast water would read.

use crate::engine::{Book, Facts, Given, Interval, Reading, Set};
use crate::water::nitrification::{Forecast, Parameters, Quantity, Trait, Water};

use super::amounts::exactly;
use super::keeper::Story;
use super::names::*;
use super::scale::Scale;
use super::setting::Setting;

/// Days of simulated tests that the book may look back on.
const LOOK_BACK: usize = 8;

/// The waters of all members, day by day from filling on.
#[derive(Debug, Default)]
pub(super) struct Waters {
    pub days: Vec<Vec<Water>>,
    /// Nitrate of each member's new water beyond the told, in mg/L of nitrogen.
    pub source_nitrate: Vec<f64>,
}

impl Waters {
    pub fn new(members: &[Parameters]) -> Self {
        let nitrate = |member: &Parameters| member.source_nitrate_mg_l_n;
        Self {
            days: Vec::new(),
            source_nitrate: members.iter().map(nitrate).collect(),
        }
    }

    pub fn value(&self, quantity: Quantity, day: usize, member: usize) -> f64 {
        quantity.of(&self.days[day][member]).max(0.0)
    }

    /// The least and the most that some members hold.
    pub fn hull(&self, quantity: Quantity, day: usize, members: &[usize]) -> Interval {
        hull(
            members
                .iter()
                .map(|member| self.value(quantity, day, *member)),
        )
    }
}

fn hull(values: impl Iterator<Item = f64>) -> Interval {
    let whole = (f64::INFINITY, 0.0_f64);
    let (lo, hi) = values.fold(whole, |(lo, hi), value| (lo.min(value), hi.max(value)));
    Interval { lo: lo.min(hi), hi }
}

/// What the facts of a day differ in between members, besides their water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Dates {
    pub planted: Option<i32>,
    pub changed: i32,
    pub dosed: Option<i32>,
    /// Whether the cycle was proven when this keeper planted.
    pub proven: bool,
}

impl Dates {
    pub fn of(setting: &Setting) -> Self {
        Self {
            planted: setting.planted,
            changed: setting.changed,
            dosed: setting.dosed,
            proven: false,
        }
    }

    /// As they stand on the morning of a day of a member's story.
    fn at(setting: &Setting, story: &Story, day: usize) -> Self {
        let last = |days: &[(usize, f64)]| {
            let before = days.iter().filter(|(on, _)| *on < day);
            before.map(|(on, _)| *on as i32).max()
        };
        let planted = story.planted_by_plan.filter(|on| *on < day);
        let own = Self::of(setting);
        let changed = last(&story.changes).max(planted.map(|on| on as i32));
        Self {
            planted: own.planted.or(planted.map(|on| on as i32)),
            changed: changed.unwrap_or(own.changed),
            dosed: last(&story.doses).or(own.dosed),
            proven: story
                .done
                .is_some_and(|done| planted.is_some_and(|on| done <= on)),
        }
    }
}

/// A series that the model fills.
pub(super) struct Series {
    fact: &'static str,
    pub quantity: Quantity,
    scale: Scale,
    /// Smallest mark of a usual test: in the main unit, and in mg/L.
    mark: Option<f64>,
    pub mark_mg_l: f64,
    /// The readings of the journal.
    read: Vec<Reading>,
}

/// The facts of a day, with the tests that a group of members would give.
pub(super) struct Desk<'a> {
    book: &'a Book,
    pub series: Vec<Series>,
    base: Facts,
    tap_nitrate: Option<Scale>,
    filled: i32,
    from: usize,
}

impl<'a> Desk<'a> {
    /// The desk of a tank; `all` tests or only those that decide what is done to it.
    pub fn new(book: &'a Book, setting: &Setting, all: bool) -> Self {
        let kinds = [
            (AMMONIA, "mg/L N", Quantity::Ammonia),
            (NITRITE, "mg/L N", Quantity::Nitrite),
            (NITRATE, "mg/L N", Quantity::Oxidised),
            (KH, "mg/L CaCO3", Quantity::Alkalinity),
            (PH, "pH", Quantity::Ph),
        ];
        // On a bed of its own chemistry nobody chases the hardness.
        let count = match (all, setting.tank.bed_kg_l > 0.0) {
            (true, _) => 5,
            (false, true) => 3,
            (false, false) => 4,
        };
        let series = |(fact, unit, quantity): (&'static str, &str, Quantity)| {
            let scale = Scale::of(book, fact, unit)?;
            let mark = book
                .enter(fact, &format!("0 {unit}"))
                .ok()
                .and_then(|zero| zero.mark);
            let given = setting.facts.given(book, fact);
            Some(Series {
                fact,
                quantity,
                scale,
                mark,
                mark_mg_l: mark.map_or(0.0, |mark| scale.of_main(mark)),
                read: given
                    .map(|given| given.readings.clone())
                    .unwrap_or_default(),
            })
        };
        let range = setting.ranges.of(Trait::SourceNitrate);
        let tap_nitrate = (range.low < range.high)
            .then(|| Scale::of(book, TAP_NITRATE, "mg/L N"))
            .flatten();
        let mut base = setting.facts.clone();
        if let Ok(none) = book.enter(SIGNS, "none") {
            base.give(book, SIGNS, Given::new(none.set));
        }
        Self {
            book,
            series: kinds.into_iter().take(count).filter_map(series).collect(),
            base,
            tap_nitrate,
            filled: setting.filled.days(),
            from: setting.from(),
        }
    }

    /// The first day that is simulated: later than the last ammonia test of the journal.
    pub fn first_day(&self) -> usize {
        let tested = |series: &Series| {
            let last = series.read.last()?;
            Some((last.day.floor() as i32 - self.filled).max(0) as usize + 1)
        };
        let after = self.series.iter().filter_map(tested).max().unwrap_or(0);
        after.max(self.from)
    }

    /// The facts that members of the same dates share on a day.
    pub fn facts(&self, setting: &Setting, dates: &Dates, day: usize) -> Facts {
        let book = self.book;
        let mut facts = self.base.clone();
        let date = |day: i32| exactly(f64::from(self.filled + day));
        let today = day as i32;
        let mut give = |name: &str, set: Set| facts.give(book, name, Given::new(set));
        give(TODAY, date(today));
        if dates.changed > setting.changed || setting.changed > 0 {
            give(CHANGED_ON, date(dates.changed));
        }
        if let (Some(planted), None) = (dates.planted, setting.planted) {
            give(PLANTED, Set::truth(true));
            give(PLANTED_ON, date(planted));
            give(PROVEN_BEFORE_PLANTING, Set::truth(dates.proven));
            if let Some(wanted) = book.look_up(PLANTS_ON_HAND, &self.base) {
                give(PLANT_CLASS, wanted);
            }
        }
        if let Some(dosed) = dates.dosed {
            give(AMMONIA_DOSED, Set::truth(true));
            give(AMMONIA_DOSED_ON, date(dosed));
        }
        if day > self.first_day() {
            give(CHANGE_BEFORE_TESTS, exactly(0.0));
        }
        self.keep_warm(&mut facts, setting, today);
        facts
    }

    /// The last temperature goes on; without any, the one assumed.
    fn keep_warm(&self, facts: &mut Facts, setting: &Setting, today: i32) {
        let Some(scale) = Scale::of(self.book, TEMPERATURE, "°C") else {
            return;
        };
        let last = facts
            .given(self.book, TEMPERATURE)
            .and_then(|given| given.readings.last().map(|reading| reading.values));
        let assumed = Interval::point(scale.to_main(setting.tank.temperature_c));
        let values = last.unwrap_or(assumed);
        let mut given = Given::new(Set::Number(values));
        given.readings.push(Reading {
            day: f64::from(self.filled + today),
            values,
            nominal: values.lo,
            mark: None,
            typed: String::new(),
        });
        facts.give(self.book, TEMPERATURE, given);
    }

    /// Puts in what tests would read up to a day.
    ///
    /// - `of`: what a quantity may be on a day
    /// - `source_nitrate`: what new water may hold, in mg/L of nitrogen
    pub fn read(
        &self,
        facts: &mut Facts,
        day: usize,
        of: impl Fn(Quantity, usize) -> Interval,
        source_nitrate: Interval,
    ) {
        let first = self.first_day();
        for series in &self.series {
            let mut readings = series.read.clone();
            let kept = readings.len().saturating_sub(LOOK_BACK);
            readings.drain(..kept);
            let days = (day + 1).saturating_sub(LOOK_BACK).max(first)..=day;
            readings.extend(days.map(|day| self.reading(series, day, of(series.quantity, day))));
            give(self.book, facts, series.fact, readings);
        }
        if let Some(scale) = self.tap_nitrate {
            let Interval { lo, hi } = source_nitrate;
            let values = Interval::between(scale.to_main(lo), scale.to_main(hi));
            let set = Set::Number(values);
            facts.give(self.book, TAP_NITRATE, Given::new(set));
        }
    }

    /// What a test of a day would read.
    fn reading(&self, series: &Series, day: usize, of: Interval) -> Reading {
        let values = Interval::between(series.scale.to_main(of.lo), series.scale.to_main(of.hi));
        Reading {
            day: f64::from(self.filled) + day as f64,
            values,
            nominal: values.lo,
            mark: series.mark,
            typed: String::new(),
        }
    }
}

fn give(book: &Book, facts: &mut Facts, fact: &str, readings: Vec<Reading>) {
    if let Some(latest) = readings.last() {
        let mut given = Given::new(Set::Number(latest.values));
        given.readings = readings;
        facts.give(book, fact, given);
    }
}

/// Coming days as the tests of one member, or of the whole ensemble, would show them.
pub(super) struct Seen<'a> {
    desk: Desk<'a>,
    setting: &'a Setting,
    waters: &'a Waters,
    courses: &'a Forecast,
    bands: Vec<(Quantity, Vec<[f64; 5]>)>,
}

impl<'a> Seen<'a> {
    pub fn new(
        book: &'a Book,
        setting: &'a Setting,
        waters: &'a Waters,
        courses: &'a Forecast,
    ) -> Self {
        let desk = Desk::new(book, setting, true);
        let bands = |series: &Series| (series.quantity, courses.bands(series.quantity));
        Self {
            bands: desk.series.iter().map(bands).collect(),
            desk,
            setting,
            waters,
            courses,
        }
    }

    /// How many days are told.
    pub fn days(&self) -> usize {
        self.courses.days()
    }

    /// A day without tests but those of the journal.
    pub fn untested(&self, story: &Story, day: usize) -> Facts {
        let dates = Dates::at(self.setting, story, day);
        self.desk.facts(self.setting, &dates, day)
    }

    /// A day as a member's tests show it.
    pub fn facts(&self, member: usize, story: &Story, day: usize) -> Facts {
        let mut facts = self.untested(story, day);
        let one = [member];
        let nitrate = Interval::point(self.waters.source_nitrate[member]);
        let of = |quantity, day| self.waters.hull(quantity, day, &one);
        self.desk.read(&mut facts, day, of, nitrate);
        facts
    }

    /// The same day with whatever the water may be between the 5 and 95 % lines.
    pub fn wide_facts(&self, story: &Story, day: usize) -> Facts {
        let mut facts = self.untested(story, day);
        let nitrate = hull(self.waters.source_nitrate.iter().copied());
        let of = |quantity, day: usize| {
            let bands = self.bands.iter().find(|(of, _)| *of == quantity);
            bands.map_or(Interval::EVERYTHING, |(_, bands)| {
                Interval::between(bands[day][0].max(0.0), bands[day][4].max(0.0))
            })
        };
        self.desk.read(&mut facts, day, of, nitrate);
        facts
    }

    /// Puts the tests that were made on some days into the facts of a later one.
    pub fn tested(&self, facts: &mut Facts, member: usize, days: &[usize]) {
        for series in &self.desk.series {
            let mut readings = series.read.clone();
            readings.extend(days.iter().map(|&day| {
                let value = self.waters.hull(series.quantity, day, &[member]);
                self.desk.reading(series, day, value)
            }));
            give(self.desk.book, facts, series.fact, readings);
        }
    }
}
