//! Small changes of a condition, each of which some case should notice.

use super::super::book::Book;
use super::super::book::vocabulary::Kind;
use super::super::eval::Evaluation;
use super::super::expr::ast::{Operator, Relation};
use super::super::expr::compile::{ColumnId, Condition, Test, Value};
use super::decision::Decision;
use super::resolution::step;

/// A changed condition, and the change in words.
pub(super) struct Mutant {
    pub condition: Condition,
    pub change: String,
}

/// Makes the changes.
pub(super) struct Maker<'a> {
    pub book: &'a Book,
    /// The cases of the decision.
    pub runs: &'a [Evaluation<'a>],
}

impl Maker<'_> {
    /// Every change of one of a decision's conditions.
    pub fn mutants(&self, decision: &Decision<'_>, top: usize) -> Vec<Mutant> {
        let condition = decision.conditions[top];
        let mut mutants = self.of_condition(condition);
        if decision.conditions.len() > 1 || !decision.beside.is_empty() {
            mutants.push(Mutant {
                condition: Condition {
                    test: Test::All(Vec::new()),
                    text: format!("without {}", condition.text),
                },
                change: format!("`{}` dropped", condition.text),
            });
        }
        mutants
    }

    fn of_condition(&self, condition: &Condition) -> Vec<Mutant> {
        let whole = |test: Test, change: &str| Mutant {
            condition: Condition {
                test,
                text: format!("{} [{change}]", condition.text),
            },
            change: change.to_owned(),
        };
        match &condition.test {
            Test::Not(inner) => {
                let inner = self.of_condition(inner).into_iter();
                inner
                    .map(|m| whole(Test::Not(Box::new(m.condition)), &m.change))
                    .collect()
            }
            Test::All(parts) => {
                self.of_parts(parts, &|parts, change| whole(Test::All(parts), change))
            }
            Test::Any(parts) => {
                self.of_parts(parts, &|parts, change| whole(Test::Any(parts), change))
            }
            test => self
                .of_test(test, &condition.text)
                .into_iter()
                .map(|(test, change)| whole(test, &change))
                .collect(),
        }
    }

    fn of_parts(
        &self,
        parts: &[Condition],
        join: &dyn Fn(Vec<Condition>, &str) -> Mutant,
    ) -> Vec<Mutant> {
        let mut mutants = Vec::new();
        for (index, part) in parts.iter().enumerate() {
            for mutant in self.of_condition(part) {
                let mut parts = parts.to_vec();
                parts[index] = mutant.condition;
                mutants.push(join(parts, &mutant.change));
            }
            let mut fewer = parts.to_vec();
            fewer.remove(index);
            mutants.push(join(fewer, &format!("`{}` dropped", part.text)));
        }
        mutants
    }

    /// Every change of one test, with the change in words.
    fn of_test(&self, test: &Test, words: &str) -> Vec<(Test, String)> {
        let negated = || {
            let inner = Condition {
                test: test.clone(),
                text: words.to_owned(),
            };
            (Test::Not(Box::new(inner)), format!("`{words}` negated"))
        };
        let mut changes = match test {
            Test::Compare {
                relation,
                left,
                right,
            } => self.of_compare(*relation, left, right, words),
            Test::Within { value, low, high } => self.of_within(value, low, high, words),
            Test::OneOf { column, mask } => self.of_options(*column, *mask, words),
            Test::Includes { column, mask } => {
                let swapped = |mask| Test::Includes {
                    column: *column,
                    mask,
                };
                let next = next_option(*mask, self.book.words.get(*column).all_options());
                let change = format!("another option in `{words}`");
                next.map(|mask| (swapped(mask), change))
                    .into_iter()
                    .collect()
            }
            Test::All(_) | Test::Any(_) | Test::Not(_) => Vec::new(),
        };
        changes.push(negated());
        changes
    }

    fn of_compare(
        &self,
        relation: Relation,
        left: &Value,
        right: &Value,
        words: &str,
    ) -> Vec<(Test, String)> {
        let with = |relation, right: Value| Test::Compare {
            relation,
            left: left.clone(),
            right,
        };
        let edge = match relation {
            Relation::Less => Relation::AtMost,
            Relation::AtMost => Relation::Less,
            Relation::More => Relation::AtLeast,
            Relation::AtLeast => Relation::More,
        };
        let turned = match relation {
            Relation::Less => Relation::More,
            Relation::AtMost => Relation::AtLeast,
            Relation::More => Relation::Less,
            Relation::AtLeast => Relation::AtMost,
        };
        let step = self.step_of(left, right);
        vec![
            (
                with(edge, right.clone()),
                format!("`{words}` with its threshold on the other side"),
            ),
            (
                with(turned, right.clone()),
                format!("`{words}` turned round"),
            ),
            (
                with(relation, shifted(right, step)),
                format!("`{words}` with its threshold a step higher"),
            ),
            (
                with(relation, shifted(right, -step)),
                format!("`{words}` with its threshold a step lower"),
            ),
        ]
    }

    fn of_within(
        &self,
        value: &Value,
        low: &Value,
        high: &Value,
        words: &str,
    ) -> Vec<(Test, String)> {
        let with = |low: Value, high: Value| Test::Within {
            value: value.clone(),
            low,
            high,
        };
        let (first, last) = (self.step_of(value, low), self.step_of(value, high));
        vec![
            (
                with(shifted(low, first), high.clone()),
                format!("`{words}` starting a step higher"),
            ),
            (
                with(shifted(low, -first), high.clone()),
                format!("`{words}` starting a step lower"),
            ),
            (
                with(low.clone(), shifted(high, last)),
                format!("`{words}` ending a step higher"),
            ),
            (
                with(low.clone(), shifted(high, -last)),
                format!("`{words}` ending a step lower"),
            ),
        ]
    }

    /// A step at the limit, where a case shows what that is.
    fn step_of(&self, value: &Value, limit: &Value) -> f64 {
        let mut known = self.runs.iter().map(|run| run.value(limit));
        let at = known.find(|at| at.is_point()).map_or(0.0, |at| at.lo);
        step(self.book, value, at).max(step(self.book, limit, at))
    }

    fn of_options(&self, column: ColumnId, mask: u128, words: &str) -> Vec<(Test, String)> {
        let known = self.book.words.get(column);
        if known.kind == Kind::Truth {
            return Vec::new();
        }
        let with = |mask| Test::OneOf { column, mask };
        let option = |bit: u128| &known.options[bit.trailing_zeros() as usize].name;
        let mut changes = Vec::new();
        for bit in (0..128).map(|n| 1u128 << n).filter(|bit| mask & bit != 0) {
            if mask != bit {
                changes.push((
                    with(mask & !bit),
                    format!("`{words}` without `{}`", option(bit)),
                ));
            }
        }
        if let Some(next) = next_option(mask, known.all_options()) {
            let name = option(next);
            let change = if mask.count_ones() == 1 {
                next
            } else {
                mask | next
            };
            changes.push((with(change), format!("`{words}` with `{name}`")));
        }
        changes
    }
}

/// The first option that is not in the mask.
fn next_option(mask: u128, all: u128) -> Option<u128> {
    let rest = all & !mask;
    (rest != 0).then(|| 1 << rest.trailing_zeros())
}

fn shifted(value: &Value, by: f64) -> Value {
    match value {
        Value::Constant(x) => Value::Constant(x + by),
        other => Value::Arithmetic {
            operator: Operator::Add,
            left: Box::new(other.clone()),
            right: Box::new(Value::Constant(by)),
        },
    }
}
