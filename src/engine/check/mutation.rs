//! Whether the cases notice when a condition is changed by a little.

use serde::Serialize;

use super::super::book::rule::{Case, Expect};
use super::super::book::vocabulary::Vocabulary;
use super::super::diagnostic::Diagnostic;
use super::super::eval::{Evaluation, GateVerdict};
use super::super::expr::compile::{ColumnId, Condition};
use super::super::facts::Facts;
use super::super::normal::{Normal, Opaque};
use super::super::set::{Set, Verdict};
use super::decision::{Decision, Owner};
use super::goal::Goal;
use super::mutant::{Maker, Mutant};
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
        for decision in self.kept() {
            let facts = decision.case_facts(self.book);
            let runs: Vec<Evaluation<'_>> = facts
                .iter()
                .map(|facts| self.book.evaluate(facts))
                .collect();
            let maker = Maker {
                book: self.book,
                runs: &runs,
            };
            for top in 0..decision.conditions.len() {
                for mutant in maker.mutants(decision, top) {
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
        let at = decision.place(&self.places, decision.conditions[top]);
        let message = format!("no case of `{}` notices: {}", decision.name, mutant.change);
        let proposal = facts.map(|facts| self.proposal(decision, &facts, message.clone()));
        mutation.survivors.push(Survivor {
            place: self.book.finding(at, message, None),
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
