//! The same facts on a later day: what time alone would bring.

use super::book::order::rests_on;
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
        let moved = self.moved_with_time(&needed);
        self.first_day(|facts| {
            let mut run = self.begun(facts);
            moved.iter().for_each(|id| run.settle(*id));
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

    /// Those of some columns, in the order in which they are worked out, that may come to something else on another
    /// day: what moves with time, readings that grow old, and whatever rests on them.
    fn moved_with_time(&self, needed: &[ColumnId]) -> Vec<ColumnId> {
        let mut moved: Vec<ColumnId> = Vec::new();
        for id in needed {
            let may_move = match self.facts.get(*id) {
                Some(given) => self.book.today == Some(*id) || !given.readings.is_empty(),
                None => {
                    let below = rests_on(&self.book.words, *id);
                    self.moves_with_time(*id) || below.iter().any(|id| moved.contains(id))
                }
            };
            if may_move {
                moved.push(*id);
            }
        }
        moved
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
