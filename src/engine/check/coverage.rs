//! What the cases show: that each condition matters on its own, and that each threshold is met from both sides.
//!
//! A case shows a condition if the decision turns on it there: every condition beside it in an `and` holds, every
//! one beside it in an `or` fails. One such case with it true and one with it false are wanted (modified
//! condition/decision coverage, masking form); for a gate, all other needs must be met as well. A threshold is met
//! from a side by such a case within one step of its fact.

use serde::Serialize;

use super::super::diagnostic::Diagnostic;
use super::super::eval::{Evaluation, compare};
use super::super::expr::ast::{Operator, Relation};
use super::super::expr::compile::{Condition, Test, Value};
use super::super::facts::Facts;
use super::super::set::Verdict;
use super::decision::{Decision, Owner, Part, stripped};
use super::goal::Goal;
use super::resolution::step;
use super::witness::{facts as named_facts, listed};
use super::{Answer, Check, Proposal};

/// What the cases of a book show of its conditions.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Coverage {
    /// Two for each condition: that it matters when it holds, and when it fails.
    pub conditions: usize,
    /// How many of these the cases show.
    pub conditions_shown: usize,
    /// Two for each threshold: just within it, and just outside.
    pub thresholds: usize,
    /// How many of these the cases show.
    pub thresholds_shown: usize,
    /// What no facts at all could show, and so is not counted.
    pub impossible: usize,
    /// What is missing.
    pub gaps: Vec<Gap>,
}

/// Something that no case shows.
#[derive(Debug, Clone, Serialize)]
pub struct Gap {
    /// The condition, and what is not shown of it.
    pub place: Diagnostic,
    /// A case that would show it.
    pub proposal: Option<Proposal>,
}

/// A comparison within a condition: the value, the limit and how they must stand.
struct Threshold<'q> {
    relation: Relation,
    value: &'q Value,
    limit: &'q Value,
}

/// What a proposal is asked for.
struct Wanted<'q, 'p> {
    part: &'p Part<'q>,
    holds: bool,
    threshold: Option<&'p Threshold<'q>>,
}

fn thresholds(condition: &Condition) -> Vec<Threshold<'_>> {
    match &stripped(condition).test {
        Test::Compare {
            relation,
            left,
            right,
        } => vec![Threshold {
            relation: *relation,
            value: left,
            limit: right,
        }],
        Test::Within { value, low, high } => vec![
            Threshold {
                relation: Relation::AtLeast,
                value,
                limit: low,
            },
            Threshold {
                relation: Relation::AtMost,
                value,
                limit: high,
            },
        ],
        _ => Vec::new(),
    }
}

impl Threshold<'_> {
    /// On which side a run lies, if it lies within a step of the threshold.
    fn side(&self, run: &Evaluation<'_>) -> Option<bool> {
        let (value, limit) = (run.value(self.value), run.value(self.limit));
        if !value.is_point() || !limit.is_point() {
            return None;
        }
        let step = self.step(run, limit.lo);
        let near = (value.lo - limit.lo).abs() <= step * (1.0 + 1e-9);
        near.then(|| compare(self.relation, value, limit) == Verdict::Holds)
    }

    fn step(&self, run: &Evaluation<'_>, at: f64) -> f64 {
        step(run.book, self.value, at).max(step(run.book, self.limit, at))
    }
}

impl<'q> Check<'q> {
    /// Runs the cases of every decision and asks what each of them shows.
    pub(super) fn coverage(&self) -> Coverage {
        let mut coverage = Coverage::default();
        for decision in self.kept() {
            let facts = decision.case_facts(self.book);
            let runs: Vec<Evaluation<'_>> = facts
                .iter()
                .map(|facts| self.book.evaluate(facts))
                .collect();
            for part in decision.parts().iter().filter(|part| part.leaf) {
                self.cover(decision, part, &runs, &mut coverage);
            }
        }
        coverage
    }

    fn cover(
        &self,
        decision: &Decision<'q>,
        part: &Part<'q>,
        runs: &[Evaluation<'_>],
        coverage: &mut Coverage,
    ) {
        let turns = |run: &&Evaluation<'_>| {
            let mut beside = part.rest.iter().chain(&decision.beside);
            beside.all(|goal| goal.verdict(run) == Verdict::Holds)
        };
        let telling: Vec<&Evaluation<'_>> = runs.iter().filter(turns).collect();
        let thresholds = thresholds(part.condition);
        for holds in [true, false] {
            let verdict = if holds {
                Verdict::Holds
            } else {
                Verdict::Fails
            };
            let shown = telling
                .iter()
                .any(|run| run.verdict(part.condition) == verdict);
            let mut near_missing = false;
            for threshold in &thresholds {
                let met = telling.iter().any(|run| threshold.side(run) == Some(holds));
                let wanted = Wanted {
                    part,
                    holds,
                    threshold: Some(threshold),
                };
                if !self.count(decision, &wanted, met, coverage, true) {
                    near_missing = true;
                }
            }
            let wanted = Wanted {
                part,
                holds,
                threshold: None,
            };
            self.count(decision, &wanted, shown, coverage, !near_missing);
        }
    }

    /// Counts one item; false if it is missing and was proposed.
    fn count(
        &self,
        decision: &Decision<'q>,
        wanted: &Wanted<'q, '_>,
        shown: bool,
        coverage: &mut Coverage,
        propose: bool,
    ) -> bool {
        let (all, have) = match wanted.threshold {
            Some(_) => (&mut coverage.thresholds, &mut coverage.thresholds_shown),
            None => (&mut coverage.conditions, &mut coverage.conditions_shown),
        };
        if shown {
            *all += 1;
            *have += 1;
            return true;
        }
        let answer = self.missing(decision, wanted);
        if matches!(answer, Answer::Never) {
            coverage.impossible += 1;
            return true;
        }
        *all += 1;
        let message = wanted.message(decision);
        let proposal = match answer {
            Answer::Shown(facts) if propose => {
                Some(self.proposal(decision, &facts, message.clone()))
            }
            _ => None,
        };
        let text = decision.place(&self.places, wanted.part.condition);
        coverage.gaps.push(Gap {
            place: self.book.finding(text, message, None),
            proposal,
        });
        false
    }

    /// Facts that would show what is wanted; worked-out facts may be given, as cases do.
    fn missing(&self, decision: &Decision<'q>, wanted: &Wanted<'q, '_>) -> Answer {
        let part = wanted.part;
        let mut goals: Vec<Goal<'_>> = part.rest.iter().chain(&decision.beside).cloned().collect();
        goals.push(Goal::Is(part.condition, wanted.holds));
        let Some(threshold) = wanted.threshold else {
            return self.settled_case(decision, part.condition, &goals);
        };
        let nothing = Facts::default();
        let run = self.book.evaluate(&nothing);
        let limit = run.value(threshold.limit);
        let at = if limit.is_point() { limit.lo } else { 0.0 };
        let step = threshold.step(&run, at);
        let near = near(threshold, step);
        goals.extend(near.iter().map(|condition| Goal::Is(condition, true)));
        // A range has two ends; the case must lie beside the right one.
        let side = beside(threshold);
        goals.push(Goal::Is(&side, wanted.holds));
        self.settled_case(decision, part.condition, &goals)
    }

    fn settled_case<'g>(
        &self,
        decision: &Decision<'g>,
        condition: &Condition,
        goals: &[Goal<'g>],
    ) -> Answer
    where
        'q: 'g,
    {
        let met =
            |run: &Evaluation<'_>| goals.iter().all(|goal| goal.verdict(run) == Verdict::Holds);
        let told = |run: &Evaluation<'_>| decision.came_to(run) != Verdict::Open;
        self.ask_for_case(decision, condition, goals, &|run| met(run) && told(run))
    }

    /// Facts as a case of a decision's block, without what its cases take as known anyway.
    pub(super) fn proposal(
        &self,
        decision: &Decision<'_>,
        facts: &Facts,
        shows: String,
    ) -> Proposal {
        let given = self.places.given(decision.keyword, decision.name);
        let mut facts = named_facts(self.book, facts);
        facts.retain(|fact| !given.contains(fact));
        let listed_at = |name: &str| {
            let id = self.book.words.find(name);
            let mut listed = decision.cases.iter().flat_map(|case| &case.facts);
            listed
                .position(|(known, _)| Some(*known) == id)
                .unwrap_or(usize::MAX)
        };
        facts.sort_by_key(|(name, _)| listed_at(name));
        Proposal {
            block: format!("{} {}", decision.keyword, decision.name),
            file: self.book.finding(decision.at, String::new(), None).file,
            facts: listed(&facts),
            shows,
        }
    }
}

/// That value and limit lie no further apart than a step.
fn near(threshold: &Threshold<'_>, step: f64) -> [Condition; 2] {
    let step = step * (1.0 + 1e-9);
    let side = |relation, by: f64| Condition {
        test: Test::Compare {
            relation,
            left: threshold.value.clone(),
            right: Value::Arithmetic {
                operator: Operator::Add,
                left: Box::new(threshold.limit.clone()),
                right: Box::new(Value::Constant(by)),
            },
        },
        text: format!("within a step, {relation:?}"),
    };
    [side(Relation::AtMost, step), side(Relation::AtLeast, -step)]
}

fn beside(threshold: &Threshold<'_>) -> Condition {
    Condition {
        test: Test::Compare {
            relation: threshold.relation,
            left: threshold.value.clone(),
            right: threshold.limit.clone(),
        },
        text: String::from("on this side"),
    }
}

impl Wanted<'_, '_> {
    fn message(&self, decision: &Decision<'_>) -> String {
        let words = &self.part.condition.text;
        let so = if self.holds { "holds" } else { "fails" };
        let of = match decision.owner {
            Owner::Need(..) => format!("the gate `{}`", decision.name),
            _ => format!("`{}`", decision.name),
        };
        match self.threshold {
            Some(threshold) => {
                let side = match (threshold.relation, self.holds) {
                    (Relation::Less | Relation::AtMost, true)
                    | (Relation::More | Relation::AtLeast, false) => "below",
                    _ => "above",
                };
                format!(
                    "no case of {of} comes within a step of the threshold of `{words}` from {side}"
                )
            }
            None => format!("no case of {of} turns on `{words}` where it {so}"),
        }
    }
}
