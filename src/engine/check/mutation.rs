//! Whether the cases notice when a condition is changed by a little.

use serde::Serialize;

use super::super::book::rule::{Case, Expect};
use super::super::book::vocabulary::{Kind, Vocabulary};
use super::super::diagnostic::Diagnostic;
use super::super::eval::{Evaluation, GateVerdict};
use super::super::expr::ast::{Operator, Relation};
use super::super::expr::compile::{ColumnId, Condition, Test, Value};
use super::super::facts::Facts;
use super::super::normal::{Normal, Opaque};
use super::super::set::{Set, Verdict};
use super::decision::{Decision, Owner};
use super::goal::Goal;
use super::resolution::step;
use super::{Answer, Check, Proposal};

/// What became of the changes that were tried.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Mutation {
    /// Changes that were tried, each on its own.
    pub tried: usize,
    /// Changes that made some case fail.
    pub noticed: usize,
    /// Changes that no facts at all could tell from the original.
    pub equivalent: usize,
    /// Changes that no case noticed.
    pub survivors: Vec<Survivor>,
}

/// A change that no case noticed.
#[derive(Debug, Clone, Serialize)]
pub struct Survivor {
    /// The condition, and what was changed in it.
    pub place: Diagnostic,
    /// Whether it is proved that no facts tell the change from the original.
    pub equivalent: bool,
    /// A case that would notice it.
    pub proposal: Option<Proposal>,
}

impl Mutation {
    /// The share of changes that can be noticed which are, from 0 to 1.
    #[must_use]
    pub fn score(&self) -> f64 {
        let possible = self.tried - self.equivalent;
        if possible == 0 {
            1.0
        } else {
            self.noticed as f64 / possible as f64
        }
    }
}

/// A changed condition, and the change in words.
struct Mutant {
    condition: Condition,
    change: String,
}

/// Columns for tests that the book has not met, beside those it has.
struct Scratch<'q> {
    words: &'q Vocabulary,
    tests: Vec<Fresh>,
}

/// A column that the book does not have.
enum Fresh {
    Test(Condition),
    Order(ColumnId, ColumnId),
}

impl Scratch<'_> {
    fn add(&mut self, fresh: Fresh) -> ColumnId {
        self.tests.push(fresh);
        ColumnId((self.words.columns.len() + self.tests.len() - 1) as u32)
    }
}

impl Opaque for Scratch<'_> {
    fn column_of(&mut self, condition: &Condition) -> ColumnId {
        if let Some(id) = self.words.test_column(&condition.text) {
            return id;
        }
        self.add(Fresh::Test(condition.clone()))
    }

    fn order_of(&mut self, left: ColumnId, right: ColumnId) -> ColumnId {
        let known = self.words.order_column(left, right);
        known.unwrap_or_else(|| self.add(Fresh::Order(left, right)))
    }

    fn all_options(&self, column: ColumnId) -> u128 {
        self.words.get(column).all_options()
    }
}

/// Conditions in normal form with the tests they brought along: judged just as the book's own are.
struct Changed<'q> {
    normal: Normal,
    scratch: Scratch<'q>,
}

impl<'q> Changed<'q> {
    fn of(conditions: &[Condition], words: &'q Vocabulary) -> Changed<'q> {
        let mut scratch = Scratch {
            words,
            tests: Vec::new(),
        };
        Changed {
            normal: Normal::of(conditions, &mut scratch),
            scratch,
        }
    }

    fn verdict(&self, run: &Evaluation<'_>) -> Verdict {
        let own = self.scratch.words.columns.len();
        self.normal
            .verdict(|id| match (id.0 as usize).checked_sub(own) {
                None => run.set(id),
                Some(index) => match &self.scratch.tests[index] {
                    Fresh::Test(condition) => Set::from_verdict(run.verdict(condition)),
                    Fresh::Order(left, right) => run.order(*left, *right),
                },
            })
    }
}

impl<'q> Check<'q> {
    /// Changes each condition in every way that is tried, and runs the cases.
    pub(super) fn mutation(&self) -> Mutation {
        let mut mutation = Mutation::default();
        for decision in self
            .decisions
            .iter()
            .filter(|decision| !decision.is_withdrawn(self.book))
        {
            let facts: Vec<Facts> = decision
                .cases
                .iter()
                .map(|case| self.book.case_facts(case))
                .collect();
            let runs: Vec<Evaluation<'_>> = facts
                .iter()
                .map(|facts| self.book.evaluate(facts))
                .collect();
            for top in 0..decision.conditions.len() {
                for mutant in self.mutants(decision, top) {
                    self.try_out(decision, top, &mutant, &runs, &mut mutation);
                }
            }
        }
        mutation
    }

    fn try_out(
        &self,
        decision: &Decision<'q>,
        top: usize,
        mutant: &Mutant,
        runs: &[Evaluation<'_>],
        mutation: &mut Mutation,
    ) {
        mutation.tried += 1;
        let mut conditions: Vec<Condition> =
            decision.conditions.iter().map(|c| (*c).clone()).collect();
        conditions[top] = mutant.condition.clone();
        let changed = Changed::of(&conditions, &self.book.words);
        let mut each = decision.cases.iter().zip(runs);
        let noticed =
            each.any(|(case, run)| !comes_out(decision.owner, case, run, changed.verdict(run)));
        if noticed || self.noticed_elsewhere(decision, &changed) {
            mutation.noticed += 1;
            return;
        }
        let (equivalent, facts) = self.told_apart(decision, top, &mutant.condition);
        mutation.equivalent += usize::from(equivalent);
        let text = decision.place(&self.places, decision.conditions[top]);
        let message = format!("no case of `{}` notices: {}", decision.name, mutant.change);
        let proposal = facts.map(|facts| self.proposal(decision, &facts, message.clone()));
        mutation.survivors.push(Survivor {
            place: self.book.finding(&text, message, None),
            equivalent,
            proposal,
        });
    }

    /// Whether a changed derived truth makes a case elsewhere fail.
    fn noticed_elsewhere(&self, decision: &Decision<'q>, changed: &Changed<'_>) -> bool {
        let Owner::Truth(id) = decision.owner else {
            return false;
        };
        let mut others = self
            .decisions
            .iter()
            .filter(|other| !other.is_withdrawn(self.book));
        others.any(|other| {
            other.cases.iter().any(|case| {
                let facts = self.book.case_facts(case);
                let run = self.run_changed(&facts, id, changed);
                !comes_out(other.owner, case, &run, other.came_to(&run))
            })
        })
    }

    fn run_changed<'f>(
        &self,
        facts: &'f Facts,
        id: ColumnId,
        changed: &Changed<'_>,
    ) -> Evaluation<'f>
    where
        'q: 'f,
    {
        let mut run = Evaluation::blank(self.book, facts);
        for next in &self.book.order {
            run.settle(*next);
            if *next == id && facts.get(id).is_none() {
                run.sets[id.0 as usize] = Set::from_verdict(changed.verdict(&run));
            }
        }
        run.conclude();
        run
    }

    /// Whether it is proved that no facts tell a change from the original; and facts that do, as a case may give them.
    fn told_apart(
        &self,
        decision: &Decision<'q>,
        top: usize,
        mutant: &Condition,
    ) -> (bool, Option<Facts>) {
        let original = decision.conditions[top];
        let others = decision
            .conditions
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != top);
        let mut rest: Vec<Goal<'_>> = others.map(|(_, other)| Goal::Is(other, true)).collect();
        rest.extend(decision.beside.iter().cloned());
        let goals = |holds: bool| {
            let mut goals = rest.clone();
            goals.push(Goal::Is(original, holds));
            goals.push(Goal::Is(mutant, !holds));
            goals
        };
        let met = |goals: &[Goal<'_>], run: &Evaluation<'_>| {
            goals.iter().all(|goal| goal.verdict(run) == Verdict::Holds)
        };
        let facts = [true, false].into_iter().find_map(|holds| {
            let goals = goals(holds);
            match self.ask_for_case(decision, original, &goals, &|run| met(&goals, run)) {
                Answer::Shown(facts) => Some(facts),
                _ => None,
            }
        });
        let never = |holds| matches!(self.ask(&goals(holds), &|_| true), Answer::Never);
        (never(true) && never(false), facts)
    }

    fn mutants(&self, decision: &Decision<'q>, top: usize) -> Vec<Mutant> {
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

    fn step_of(&self, value: &Value, limit: &Value) -> f64 {
        let nothing = Facts::default();
        let at = self.book.evaluate(&nothing).value(limit);
        let at = if at.is_point() { at.lo } else { 0.0 };
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

/// Whether a case comes out when the conditions of its decision come to this verdict.
fn comes_out(owner: Owner, case: &Case, run: &Evaluation<'_>, verdict: Verdict) -> bool {
    let gate = |number: usize, own: usize| {
        let needs = run.book.gates[number].needs.iter().enumerate();
        GateVerdict::of(needs.map(|(index, need)| {
            let changed = if index == own {
                verdict
            } else {
                run.normal(&need.normal)
            };
            (need.bars, changed)
        }))
    };
    match (owner, &case.expect) {
        (Owner::Rule(_), Expect::Holds) => verdict == Verdict::Holds,
        (Owner::Rule(_), Expect::Fails) => verdict == Verdict::Fails,
        (Owner::Rule(_), Expect::Asks(_)) => verdict == Verdict::Open,
        (Owner::Need(number, own), expect) => {
            let wanted = match expect {
                Expect::Opens => GateVerdict::Yes,
                Expect::Waits => GateVerdict::NotYet,
                Expect::Refuses => GateVerdict::No,
                _ => GateVerdict::CannotTell,
            };
            gate(number, own) == wanted
        }
        (Owner::Truth(_), Expect::Gives(expected)) => Set::from_verdict(verdict) == expected.set,
        _ => true,
    }
}
