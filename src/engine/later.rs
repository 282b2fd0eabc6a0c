//! The same facts on a later day: what time alone would bring.

use super::book::rule::Need;
use super::eval::Evaluation;
use super::expr::token::date_of;
use super::facts::Given;
use super::set::{Interval, Set, Verdict};

/// How many days ahead is looked.
const HORIZON_DAYS: u32 = 120;

impl Evaluation<'_> {
    /// The first coming day on which a need would be met if nothing but the date changed.
    pub(crate) fn met_on(&self, need: &Need) -> Option<String> {
        self.first_day(|run| {
            let verdict = run.normal(&need.normal);
            let met = if need.bars { verdict.not() } else { verdict };
            met == Verdict::Holds
        })
    }

    /// The first coming day on which something would be so if nothing but the date changed.
    pub(crate) fn first_day(&self, is_so: impl Fn(&Evaluation<'_>) -> bool) -> Option<String> {
        let (id, today) = (self.book.today?, self.today?);
        let mut facts = self.facts.clone();
        for ahead in 1..=HORIZON_DAYS {
            let day = today + f64::from(ahead);
            facts.set(id, Given::new(Set::Number(Interval::point(day))));
            if is_so(&self.book.evaluate(&facts)) {
                return date_of(day);
            }
        }
        None
    }
}
