//! The same facts on a later day: what time alone would bring.

use super::book::rule::Need;
use super::book::vocabulary::Origin;
use super::eval::Evaluation;
use super::expr::compile::{ColumnId, Feature};
use super::expr::token::date_of;
use super::facts::{Facts, Given};
use super::set::{Interval, Set, Verdict};

/// How many days ahead is looked.
const HORIZON_DAYS: u32 = 120;

impl Evaluation<'_> {
    /// The first coming day on which a need would be met if nothing but the date changed.
    pub(crate) fn met_on(&self, need: &Need) -> Option<String> {
        let mut columns = Vec::new();
        need.normal.columns(&mut |column| columns.push(column));
        let needed = self.book.needed(columns, self.facts);
        if !needed.iter().any(|column| self.moves_with_time(*column)) {
            return None;
        }
        self.first_day(|facts| {
            let mut run = self.begun(facts);
            needed.iter().for_each(|id| run.settle(*id));
            let verdict = run.normal(&need.normal);
            let met = if need.bars { verdict.not() } else { verdict };
            met == Verdict::Holds
        })
    }

    /// The first coming day on which something would be so if nothing but the date changed.
    pub(crate) fn first_day(&self, is_so: impl Fn(&Facts) -> bool) -> Option<String> {
        let (id, today) = (self.book.today?, self.today?);
        let mut facts = self.facts.clone();
        for ahead in 1..=HORIZON_DAYS {
            let day = today + f64::from(ahead);
            facts.set(id, Given::new(Set::Number(Interval::point(day))));
            if is_so(&facts) {
                return date_of(day);
            }
        }
        None
    }

    /// Whether a column may change although nothing is entered: the date does, and what looks back from it.
    fn moves_with_time(&self, id: ColumnId) -> bool {
        let looks_back = matches!(
            self.book.words.get(id).origin,
            Origin::Feature {
                feature: Feature::Number { .. },
                ..
            }
        );
        looks_back || self.book.today == Some(id)
    }
}
