//! A journal and a date become the facts that the book is run on.

use crate::engine::{Book, Entered, Facts, Given, Interval, Reading, Set, sorted};
use crate::journal::{Date, Entry, Event, Journal, Mistake, Values, What};

use super::amounts::{Amount, is_ammonia_dose, share, typed};
use super::document::Question;
use super::life;
use super::names::*;
use super::phrases::{
    MEANT, NEEDS_A_DATE, NO_SUCH_FACT, WORKED_OUT_BY_BOOK, WORKED_OUT_BY_DATE, WRITE_AS_READ,
};

/// The facts of a day, what must be asked about them, and what could not be read.
pub(super) struct Known {
    pub facts: Facts,
    pub questions: Vec<Question>,
    pub mistakes: Vec<Mistake>,
    /// Entries dated after the day, which say nothing about it.
    pub later: usize,
    /// For each entry up to the day, in order, how much water or ammonia it moved.
    pub amounts: Vec<Option<Amount>>,
}

/// The facts of `journal` on the day `today`.
pub(super) fn known(book: &Book, journal: &Journal, today: Date) -> Known {
    let events: Vec<&Event> = journal
        .events
        .iter()
        .filter(|event| event.on <= today)
        .collect();
    let mut known = facts_of(book, &journal.tank, &events, today);
    known.later = journal.events.len() - events.len();
    known
}

fn facts_of(book: &Book, tank: &Values, events: &[&Event], today: Date) -> Known {
    let mut reader = Reader {
        book,
        today,
        facts: Facts::default(),
        questions: Vec::new(),
        mistakes: Vec::new(),
    };
    reader.give(TODAY, point(today));
    reader.give_option(FIT_OF, FIT_OF_NOTHING);
    reader.values(tank, None);
    events.iter().for_each(|event| reader.event(event));
    reader.signs(events);
    reader.days(events);
    let amounts = reader.amounts(events);
    reader.changes(events, &amounts);
    life::plants(&mut reader, events);
    life::animals(&mut reader, events);
    reader.proof(tank, events);
    let event = |mistake: &Mistake| event_number(&mistake.place);
    let mistakes = sorted(reader.mistakes, |a, b| event(a).cmp(&event(b)));
    Known {
        facts: reader.facts,
        questions: reader.questions,
        mistakes,
        later: 0,
        amounts,
    }
}

pub(super) struct Reader<'a> {
    pub book: &'a Book,
    pub today: Date,
    pub facts: Facts,
    pub questions: Vec<Question>,
    pub mistakes: Vec<Mistake>,
}

pub(super) fn point(date: Date) -> Given {
    Given::new(Set::Number(Interval::point(f64::from(date.days()))))
}

impl Reader<'_> {
    pub fn give(&mut self, name: &str, given: Given) {
        self.facts.give(self.book, name, given);
    }

    /// Says that a choice is this option, where the book has both.
    pub fn give_option(&mut self, name: &str, option: &str) {
        if let Ok(entered) = self.book.enter(name, option) {
            self.give(name, Given::new(entered.set));
        }
    }

    pub fn mistake(&mut self, place: &str, message: String, hint: Option<String>) {
        self.mistakes.push(Mistake {
            place: place.to_owned(),
            message,
            hint,
        });
    }

    /// The value of an entry, or nothing once its mistake or its question has been noted.
    pub fn enter(&mut self, name: &str, entry: &Entry) -> Option<Entered> {
        match self.book.enter(name, &entry.text) {
            Ok(entered) => {
                if let Some(text) = &entered.question {
                    let question = Question {
                        place: entry.place.clone(),
                        fact: name.to_owned(),
                        label: self.book.label(name).to_owned(),
                        typed: entry.text.clone(),
                        text: text.clone(),
                    };
                    self.questions.push(question);
                }
                Some(entered)
            }
            Err(message) => {
                self.mistake(&entry.place, message, None);
                None
            }
        }
    }

    fn event(&mut self, event: &Event) {
        match &event.what {
            What::Read { values } | What::Set { values } | What::ChangedWater { values, .. } => {
                self.values(values, Some(event));
            }
            _ => {}
        }
    }

    fn values(&mut self, values: &Values, event: Option<&Event>) {
        for (name, entry) in values {
            if !self.may_be_given(name, entry) {
                continue;
            }
            match (self.book.is_series(name), event) {
                (true, Some(event)) => self.reading(name, entry, event),
                (true, None) => {
                    let hint = self.book.say(&WRITE_AS_READ, []);
                    let message = self.book.say(&NEEDS_A_DATE, [name]);
                    self.mistake(&entry.place, message, Some(hint));
                }
                (false, _) => {
                    if let Some(entered) = self.enter(name, entry) {
                        self.give(name, Given::typed(entered.set, entry.text.clone()));
                    }
                }
            }
        }
    }

    fn may_be_given(&mut self, name: &str, entry: &Entry) -> bool {
        if self.book.knows(name) && !self.book.is_given(name) {
            let message = self.book.say(&WORKED_OUT_BY_BOOK, [name]);
            self.mistake(&entry.place, message, None);
            return false;
        }
        if !self.book.is_given(name) {
            let hint = self
                .book
                .nearest_fact(name)
                .map(|near| self.book.say(&MEANT, [near]));
            let message = self.book.say(&NO_SUCH_FACT, [name]);
            self.mistake(&entry.place, message, hint);
            return false;
        }
        if self.book.group_of(name) == JOURNAL_GROUP {
            let message = self.book.say(&WORKED_OUT_BY_DATE, [name]);
            self.mistake(&entry.place, message, None);
            return false;
        }
        true
    }

    fn reading(&mut self, name: &str, entry: &Entry, event: &Event) {
        let Some(entered) = self.enter(name, entry) else {
            return;
        };
        let (Set::Number(values), Some(nominal)) = (entered.set, entered.nominal) else {
            return;
        };
        let reading = Reading {
            day: moment(event),
            values,
            nominal,
            mark: entered.mark,
            typed: entry.text.clone(),
        };
        self.add_reading(name, reading);
    }

    fn add_reading(&mut self, name: &str, reading: Reading) {
        let mut given = self
            .facts
            .given(self.book, name)
            .cloned()
            .unwrap_or_else(|| Given::new(Set::Number(reading.values)));
        given.set = Set::Number(reading.values);
        given.typed = reading.typed.clone();
        given.readings.push(reading);
        let excess = given
            .readings
            .len()
            .saturating_sub(crate::engine::limit::READINGS);
        given.readings.drain(..excess);
        self.give(name, given);
    }

    /// Signs are those of the last day on which the keeper looked, as long as that is recent enough.
    fn signs(&mut self, events: &[&Event]) {
        let stale = self.book.stale_after(SIGNS).unwrap_or(0.0);
        let looked = |event: &&&Event| matches!(event.what, What::Saw { .. });
        let Some(last) = events.iter().rev().find(looked) else {
            return;
        };
        let recent = f64::from(self.today.days_from(last.on)) <= stale;
        let mut seen = Vec::new();
        for event in events.iter().filter(looked) {
            let What::Saw { signs } = &event.what else {
                continue;
            };
            for sign in signs {
                if self.enter(SIGNS, sign).is_some() && event.on == last.on {
                    seen.push(sign.text.clone());
                }
            }
        }
        if recent {
            let text = if seen.is_empty() {
                "none".to_owned()
            } else {
                seen.join(" and ")
            };
            if let Ok(entered) = self.book.enter(SIGNS, &text) {
                self.give(SIGNS, Given::typed(entered.set, text));
            }
        }
    }

    /// When the tank was filled, planted, stocked, dosed.
    fn days(&mut self, events: &[&Event]) {
        let first = |test: fn(&What) -> bool| {
            events
                .iter()
                .find(|event| test(&event.what))
                .map(|event| event.on)
        };
        let last = |test: fn(&What) -> bool| {
            events
                .iter()
                .rev()
                .find(|event| test(&event.what))
                .map(|event| event.on)
        };
        let filled = first(|what| matches!(what, What::Filled));
        let wet = first(|what| {
            matches!(
                what,
                What::Read { .. }
                    | What::Planted { .. }
                    | What::ChangedWater { .. }
                    | What::Added { .. }
            )
        });
        self.give(FILLED, Given::new(Set::truth(filled.or(wet).is_some())));
        if let Some(on) = filled {
            self.give(FILLED_ON, point(on));
        } else if let Some(by) = wet {
            // Nobody wrote down the filling: it was at the latest when the first entry was made.
            let since = Interval {
                lo: f64::from(Date::FIRST.days()),
                hi: f64::from(by.days()),
            };
            self.give(FILLED_ON, Given::new(Set::Number(since)));
        }
        let planted = first(|what| matches!(what, What::Planted { .. }));
        self.give(PLANTED, Given::new(Set::truth(planted.is_some())));
        if let Some(on) = planted {
            self.give(PLANTED_ON, point(on));
        }
        if let Some(on) = last(|what| matches!(what, What::Added { .. })) {
            self.give(ANIMALS_ADDED_ON, point(on));
        }
        let dosed = last(is_ammonia_dose);
        self.give(AMMONIA_DOSED, Given::new(Set::truth(dosed.is_some())));
        if let Some(on) = dosed {
            self.give(AMMONIA_DOSED_ON, point(on));
        }
        let new_water = last(|what| matches!(what, What::ChangedWater { .. } | What::Filled));
        if let Some(on) = new_water {
            self.give(CHANGED_ON, point(on));
        }
    }

    fn changes(&mut self, events: &[&Event], amounts: &[Option<Amount>]) {
        let shares: Vec<Option<Interval>> = amounts.iter().map(share).collect();
        for (event, share) in events.iter().zip(&shares) {
            if let (Some(values), Some(typed)) = (share, typed(event)) {
                let reading = Reading {
                    day: moment(event),
                    values: *values,
                    nominal: values.lo,
                    mark: None,
                    typed: typed.to_owned(),
                };
                self.add_reading(SHARE_CHANGED, reading);
            }
        }
        if let Some(largest) = self.before_tests(events, &shares) {
            self.give(CHANGE_BEFORE_TESTS, Given::new(Set::Number(largest)));
        }
    }

    /// The largest change within 24 hours before one of the last two test days.
    fn before_tests(&self, events: &[&Event], shares: &[Option<Interval>]) -> Option<Interval> {
        let mut days: Vec<Date> = Vec::new();
        let mut largest = None;
        for (index, event) in events.iter().enumerate().rev() {
            let What::Read { values } = &event.what else {
                continue;
            };
            if !values.iter().any(|(name, _)| {
                self.book.group_of(name) == TEST_GROUP && self.book.is_series(name)
            }) {
                continue;
            }
            if !days.contains(&event.on) {
                if days.len() == 2 {
                    break;
                }
                days.push(event.on);
            }
            let before = events[..index]
                .iter()
                .zip(shares)
                .filter(|(change, _)| is_within_a_day(change, event));
            let most = before
                .filter_map(|(_, share)| *share)
                .reduce(Interval::hull)
                .unwrap_or(Interval::point(0.0));
            largest = Some(largest.map_or(most, |so_far: Interval| Interval {
                lo: so_far.lo.max(most.lo),
                hi: so_far.hi.max(most.hi),
            }));
        }
        largest
    }

    /// Whether the cycle was proven on the day of planting, by what was known before the first plant went in.
    fn proof(&mut self, tank: &Values, events: &[&Event]) {
        let first = events
            .iter()
            .position(|event| matches!(event.what, What::Planted { .. }));
        let proven = first.is_some_and(|index| {
            let then = facts_of(self.book, tank, &events[..index], events[index].on);
            self.book.look_up(CYCLE_PROVEN, &then.facts) == Some(Set::truth(true))
        });
        self.give(PROVEN_BEFORE_PLANTING, Given::new(Set::truth(proven)));
    }
}

/// The number of the event that a place such as `events[3].values.nitrite` lies in; none for the tank.
fn event_number(place: &str) -> Option<usize> {
    let (number, _) = place.strip_prefix("events[")?.split_once(']')?;
    number.parse().ok()
}

pub(super) fn number(set: Set) -> Option<Interval> {
    match set {
        Set::Number(values) => Some(values),
        _ => None,
    }
}

/// A day with the time of day, where that was written down, as a part of it.
pub(super) fn moment(event: &Event) -> f64 {
    const MINUTES_A_DAY: f64 = 1440.0;
    f64::from(event.on.days())
        + event
            .at
            .map_or(0.0, |at| f64::from(at.minutes()) / MINUTES_A_DAY)
}

/// Whether a change lies within 24 hours before a test. Without times, one of the day before does not.
fn is_within_a_day(change: &Event, test: &Event) -> bool {
    match (change.at, test.at) {
        (Some(_), Some(_)) => moment(test) - moment(change) < 1.0,
        _ => change.on == test.on,
    }
}
