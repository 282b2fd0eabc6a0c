//! How much water was changed or topped up, and how much ammonia was dosed.

use crate::engine::{Interval, Set};
use crate::journal::{Entry, Event, HowMuch, What};
use crate::water;

use super::document::Question;
use super::facts::{Reader, number};
use super::names::*;
use super::phrases::WHAT_A_DOSE_IS;
use super::scale::Scale;

/// What an event did to the water, as far as its amount tells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Amount {
    /// A share of the water was replaced.
    Changed(Interval),
    /// A share of the water had evaporated and was replaced.
    ToppedUp(Interval),
    /// Ammonia was dosed: what that raised, in mg/L as N.
    Dosed(Interval),
}

impl Reader<'_> {
    /// The amount of each event that has one.
    pub fn amounts(&mut self, events: &[&Event]) -> Vec<Option<Amount>> {
        events.iter().map(|event| self.amount(event)).collect()
    }

    fn amount(&mut self, event: &Event) -> Option<Amount> {
        match &event.what {
            What::ChangedWater { how_much, .. } => match how_much {
                HowMuch::Share(entry) => number(self.enter(SHARE_CHANGED, entry)?.set),
                HowMuch::Amount(entry) => self.share_of_water(entry),
            }
            .map(Amount::Changed),
            What::ToppedUp { amount } => self.share_of_water(amount).map(Amount::ToppedUp),
            What::Dosed { amount, .. } if is_ammonia_dose(&event.what) => {
                self.dose(amount).map(Amount::Dosed)
            }
            _ => None,
        }
    }

    /// The share that a volume is of what may be in the tank.
    fn share_of_water(&mut self, entry: &Entry) -> Option<Interval> {
        let amount = number(self.enter(NET_VOLUME, entry)?.set)?;
        let net = number(self.book.look_up(NET_VOLUME, &self.facts)?)?;
        let part = |litres: f64, of: f64| {
            if of > 0.0 {
                (litres / of).min(1.0)
            } else {
                1.0
            }
        };
        Some(Interval::between(
            part(amount.lo, net.hi),
            part(amount.hi, net.lo),
        ))
    }

    /// What a dose raises ammonia by, written as a mass of salt, a volume of solution, or the rise itself.
    fn dose(&mut self, entry: &Entry) -> Option<Interval> {
        let book = self.book;
        let read = |fact: &str, unit: &str| {
            let main = number(book.enter(fact, &entry.text).ok()?.set)?;
            Some(Scale::of(book, fact, unit)?.interval(main))
        };
        if !self.book.knows(DOSED_MASS) {
            return None;
        }
        if let Some(rise) = read(DOSED_RISE, "mg/L N") {
            return Some(rise);
        }
        let litres = self.possible(NET_VOLUME, "L").filter(|net| net.lo > 0.0)?;
        if let Some(grams) = read(DOSED_MASS, "g") {
            return Some(Interval {
                lo: water::ammonium_chloride_rise_mg_l_n(grams.lo, litres.hi),
                hi: water::ammonium_chloride_rise_mg_l_n(grams.hi, litres.lo),
            });
        }
        let strength = self.possible(AMMONIA_STRENGTH, "%")?;
        let rise = |millilitres: f64, percent: f64, litres: f64| {
            let density = water::ammonia_solution_density_g_ml(percent);
            water::ammonia_solution_rise_mg_l_n(millilitres, litres, percent, density)
        };
        match read(DOSED_VOLUME, "mL") {
            Some(volume) => Some(Interval {
                lo: rise(volume.lo, strength.lo, litres.hi),
                hi: rise(volume.hi, strength.hi, litres.lo),
            }),
            None => {
                self.questions.push(Question {
                    place: entry.place.clone(),
                    fact: DOSED_MASS.to_owned(),
                    label: book.label(DOSED_MASS).to_owned(),
                    typed: entry.text.clone(),
                    text: book.say(&WHAT_A_DOSE_IS, [&entry.text]),
                });
                None
            }
        }
    }

    /// What a fact may be, in a unit.
    fn possible(&self, fact: &str, unit: &str) -> Option<Interval> {
        let main = number(self.book.look_up(fact, &self.facts)?)?;
        Some(Scale::of(self.book, fact, unit)?.interval(main))
    }
}

pub(super) fn is_ammonia_dose(what: &What) -> bool {
    matches!(what, What::Dosed { what, .. } if what.text.to_lowercase().contains("ammoni"))
}

/// The share that a change replaced.
pub(super) fn share(amount: &Option<Amount>) -> Option<Interval> {
    match amount {
        Some(Amount::Changed(share)) => Some(*share),
        _ => None,
    }
}

/// The typed amount of a water change.
pub(super) fn typed(event: &Event) -> Option<&str> {
    match &event.what {
        What::ChangedWater {
            how_much: HowMuch::Share(entry) | HowMuch::Amount(entry),
            ..
        } => Some(&entry.text),
        _ => None,
    }
}

/// The middle of an interval.
pub(super) fn middle(values: Interval) -> f64 {
    0.5 * (values.lo + values.hi)
}

/// A number that is known.
pub(super) fn exactly(value: f64) -> Set {
    Set::Number(Interval::point(value))
}
