//! What a search needs to know before it starts: the columns a question rests on, and what the book compares ages and
//! dates with.

use std::collections::BTreeSet;

use super::super::book::Book;
use super::super::book::case::CASE_TODAY;
use super::super::book::order::rests_on;
use super::super::book::vocabulary::{Derivation, Origin};
use super::super::eval::Evaluation;
use super::super::expr::ast::SeriesWord;
use super::super::expr::compile::{ColumnId, Condition, Feature, Test, Value};
use super::super::facts::{Facts, Given, within_days};
use super::super::set::{Interval, Set};
use super::goal::Goal;
use super::search::Search;

/// The columns one question needs, in the order they are worked out.
pub(super) struct Plan<'q, 'g> {
    pub roots: &'g [Goal<'q>],
    pub order: Vec<ColumnId>,
    pub today: Option<f64>,
}

impl<'q> Search<'q> {
    /// Notes the ages and dates that a condition compares with fixed values.
    pub(super) fn learn(&mut self, condition: &Condition) {
        match &condition.test {
            Test::All(parts) | Test::Any(parts) => parts.iter().for_each(|part| self.learn(part)),
            Test::Not(inner) => self.learn(inner),
            Test::Compare { left, right, .. } => {
                self.learn_pair(left, right);
                self.learn_pair(right, left);
            }
            Test::Within { value, low, high } => {
                self.learn_pair(value, low);
                self.learn_pair(value, high);
            }
            Test::OneOf { .. } | Test::Includes { .. } => {}
        }
    }

    fn learn_pair(&mut self, value: &Value, limit: &Value) {
        let Value::Constant(limit) = limit else {
            return;
        };
        value.columns(&mut |id| {
            let column = self.book.words.get(id);
            if column.date {
                self.any_day = false;
            }
            if let Origin::Feature { series, feature } = column.origin
                && matches!(
                    feature,
                    Feature::Number {
                        word: SeriesWord::Age,
                        ..
                    }
                )
            {
                self.ages.entry(series).or_default().insert(limit.to_bits());
            }
        });
    }

    /// The plan of a question, and the widest box to start from.
    pub(super) fn plan<'g>(
        &self,
        roots: &'g [Goal<'q>],
        free: &BTreeSet<ColumnId>,
        known: &Facts,
    ) -> (Plan<'q, 'g>, Facts) {
        let book = self.book;
        let mut facts = known.clone();
        let mut needed = vec![false; book.words.columns.len()];
        let mut open = Vec::new();
        roots
            .iter()
            .for_each(|goal| goal.columns(book, &mut |id| open.push(id)));
        while let Some(id) = open.pop() {
            if std::mem::replace(&mut needed[id.0 as usize], true) {
                continue;
            }
            let column = book.words.get(id);
            if Some(id) == book.today {
                facts.set(id, Given::new(Set::Number(Interval::point(CASE_TODAY))));
            } else if column.series || facts.get(id).is_some() {
            } else if column.is_given() || free.contains(&id) {
                facts.set(id, Given::new(self.widest[id.0 as usize]));
            } else {
                open.extend(rests_on(&book.words, id));
            }
        }
        let dated = book.today.is_some_and(|id| needed[id.0 as usize]);
        let series = (0..needed.len()).any(|i| needed[i] && book.words.columns[i].series);
        if let Some(id) = book.today.filter(|_| dated || series) {
            facts.set(id, Given::new(Set::Number(Interval::point(CASE_TODAY))));
        }
        let order = book.order.iter().copied();
        let plan = Plan {
            roots,
            order: order.filter(|id| needed[id.0 as usize]).collect(),
            today: book.today.map(|_| CASE_TODAY),
        };
        (plan, facts)
    }

    /// The given facts, series and free columns that a column rests on.
    pub(super) fn support(
        &self,
        id: ColumnId,
        free: &BTreeSet<ColumnId>,
        run: &Evaluation<'_>,
        found: &mut BTreeSet<ColumnId>,
    ) {
        let column = self.book.words.get(id);
        if let Some(given) = run.facts.get(id) {
            // A reading that is too old says nothing, whatever it was.
            if !run.is_stale(column, given) {
                found.insert(id);
            }
        } else if let Origin::Feature { series, feature } = column.origin {
            let known = run.facts.get(series);
            let old = |given: &Given| {
                feature.speaks_of_today() && run.is_stale(self.book.words.get(series), given)
            };
            // Where no reading is recent enough, none makes a difference.
            let blind = |given: &Given| match feature {
                Feature::Number {
                    word: SeriesWord::Highest | SeriesWord::Lowest,
                    days,
                } => within_days(&given.readings, run.today, days)
                    .next()
                    .is_none(),
                _ => false,
            };
            if !known.is_some_and(|given| old(given) || blind(given)) {
                found.insert(series);
            }
        } else if column.is_given() || free.contains(&id) {
            found.insert(id);
        } else {
            for next in rests_on(&self.book.words, id) {
                self.support(next, free, run, found);
            }
        }
    }
}

/// Every condition of rules, needs and derived truths.
pub(super) fn every_condition(book: &Book) -> Vec<&Condition> {
    let rules = book.rules.iter();
    let rules = rules.flat_map(|rule| &rule.body(book).conditions);
    let needs = book.gates.iter().flat_map(|gate| &gate.needs);
    let truths = book
        .words
        .columns
        .iter()
        .filter_map(|column| match &column.origin {
            Origin::Derived(Derivation::Truth { condition, .. }) => Some(condition),
            _ => None,
        });
    rules
        .chain(needs.map(|need| &need.condition))
        .chain(truths)
        .collect()
}
