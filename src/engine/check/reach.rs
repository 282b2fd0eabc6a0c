//! What can never hold, what always holds, and conditions that never matter.

use std::collections::BTreeSet;

use super::super::diagnostic::Mark;
use super::super::expr::compile::ColumnId;
use super::super::set::Verdict;
use super::decision::{Decision, Joint, Owner, Part};
use super::goal::Goal;
use super::{Answer, Check, Severity};

/// What is wrong with a decision or a part of it: kind, severity, message; the condition it is about.
struct Fault<'q> {
    kind: &'static str,
    severity: Severity,
    condition: Option<&'q super::super::expr::compile::Condition>,
    message: String,
    shown: Option<super::Facts>,
}

impl<'q> Check<'q> {
    /// Decisions that are settled whatever the facts, and conditions in them that change nothing.
    pub(super) fn reach(&mut self) {
        let mut settled: BTreeSet<ColumnId> = BTreeSet::new();
        let truths_first = {
            let mut numbers: Vec<usize> = (0..self.decisions.len()).collect();
            numbers.sort_by_key(|n| !matches!(self.decisions[*n].owner, Owner::Truth(_)));
            numbers
        };
        for number in truths_first {
            let decision = &self.decisions[number];
            let moot = decision
                .named(self.book)
                .iter()
                .any(|id| settled.contains(id));
            if self.silent.contains(&number) || moot {
                self.silent.insert(number);
                continue;
            }
            let faults = match self.settled(decision) {
                Some(fault) => {
                    if let Owner::Truth(id) = decision.owner {
                        settled.insert(id);
                    }
                    vec![fault]
                }
                None => self.idle(decision),
            };
            let whole = faults
                .iter()
                .any(|fault| fault.condition.is_none() && fault.severity == Severity::Mistake);
            let found: Vec<_> = faults
                .into_iter()
                .map(|fault| {
                    let text = match fault.condition {
                        Some(condition) => decision.place(&self.places, condition),
                        None => self.own_place(decision),
                    };
                    let witness = fault
                        .shown
                        .map(|facts| self.decision_witness(&facts, decision));
                    (fault.kind, fault.severity, text, fault.message, witness)
                })
                .collect();
            if whole {
                self.silent.insert(number);
            }
            for (kind, severity, text, message, witness) in found {
                self.add(kind, severity, text, message, witness);
            }
        }
        self.gates_open();
    }

    fn own_place(&self, decision: &Decision<'q>) -> Mark {
        match decision.owner {
            Owner::Need(..) => decision.place(&self.places, decision.conditions[0]),
            _ => decision.at,
        }
    }

    /// Whether a decision never or always holds.
    fn settled(&self, decision: &Decision<'q>) -> Option<Fault<'q>> {
        let what = match decision.owner {
            Owner::Need(..) => format!("`{}`", decision.conditions[0].text),
            _ => format!("`{}`", decision.name),
        };
        let fault = |kind, severity, message: String, shown: Option<super::Facts>| {
            Some(Fault {
                kind,
                severity,
                condition: None,
                message,
                shown,
            })
        };
        let holds = decision.holds();
        let shown = match self.ask(&holds, &|run| decision.came_to(run) == Verdict::Holds) {
            Answer::Never => {
                let why = self.core(decision);
                return fault(
                    "never-holds",
                    Severity::Mistake,
                    format!("{what} can never hold{why}"),
                    None,
                );
            }
            Answer::Undecided => {
                let message = format!("whether {what} can hold: undecided within the budget");
                return fault("never-holds", Severity::Undecided, message, None);
            }
            Answer::Shown(facts) => facts,
        };
        let fails = [Goal::OneOf(holds.iter().flat_map(Goal::negated).collect())];
        match self.ask(&fails, &|run| decision.came_to(run) == Verdict::Fails) {
            Answer::Never => {
                let message = format!("{what} holds whatever the facts");
                fault("always-holds", Severity::Mistake, message, Some(shown))
            }
            Answer::Undecided => {
                let message = format!("whether {what} can fail: undecided within the budget");
                fault("always-holds", Severity::Undecided, message, None)
            }
            Answer::Shown(_) => None,
        }
    }

    /// The fewest of its conditions that contradict one another, in words.
    fn core(&self, decision: &Decision<'q>) -> String {
        let mut core = decision.holds();
        let mut at = 0;
        while at < core.len() && core.len() > 1 {
            let mut fewer = core.clone();
            fewer.remove(at);
            match self.ask(&fewer, &|_| true) {
                Answer::Never => core = fewer,
                _ => at += 1,
            }
        }
        let words: Vec<String> = core
            .iter()
            .filter_map(|goal| match goal {
                Goal::Is(condition, _) => Some(format!("`{}`", condition.text)),
                _ => None,
            })
            .collect();
        match words.len() {
            0 | 1 if decision.conditions.len() < 2 => String::new(),
            1 => format!(": {} never does", words[0]),
            _ => format!(": {} never hold together", words.join(" and ")),
        }
    }

    /// Conditions of a decision that change nothing when they are taken away, and branches that never hold.
    fn idle(&self, decision: &Decision<'q>) -> Vec<Fault<'q>> {
        let parts = decision.parts();
        let mut skip = vec![false; parts.len()];
        let mut faults = Vec::new();
        for (index, part) in parts.iter().enumerate() {
            skip[index] = part.within.is_some_and(|within| skip[within]);
            if skip[index] || part.joint == Joint::Alone {
                continue;
            }
            if let Some(fault) = self.idle_part(decision, part) {
                skip[index] = true;
                faults.push(fault);
            }
        }
        faults
    }

    fn idle_part(&self, decision: &Decision<'q>, part: &Part<'q>) -> Option<Fault<'q>> {
        let wanted = part.joint == Joint::Any;
        let mut goals = part.rest.clone();
        goals.push(Goal::Is(part.condition, wanted));
        let words = &part.condition.text;
        let fault = |kind, severity, message| {
            Some(Fault {
                kind,
                severity,
                condition: Some(part.condition),
                message,
                shown: None,
            })
        };
        match self.ask(&goals, &|run| decision.came_to(run) != Verdict::Open) {
            Answer::Shown(_) => None,
            Answer::Undecided => {
                let message = format!("whether `{words}` matters: undecided within the budget");
                fault("never-matters", Severity::Undecided, message)
            }
            Answer::Never if wanted && self.branch_is_dead(decision, part) => {
                let message = format!("the branch `{words}` of `{}` can never hold", decision.name);
                fault("never-holds", Severity::Mistake, message)
            }
            Answer::Never => {
                let message = format!(
                    "`{words}` never matters: `{}` is the same without it",
                    decision.name
                );
                fault("never-matters", Severity::Warning, message)
            }
        }
    }

    fn branch_is_dead(&self, decision: &Decision<'q>, part: &Part<'q>) -> bool {
        let mut goals = decision.holds();
        goals.push(Goal::Is(part.condition, true));
        matches!(self.ask(&goals, &|_| true), Answer::Never)
    }

    /// Gates whose needs can never all be met.
    fn gates_open(&mut self) {
        for number in 0..self.book.gates.len() {
            let of_gate = |decision: &Decision<'_>| matches!(decision.owner, Owner::Need(gate, _) if gate == number);
            let known = (0..self.decisions.len())
                .any(|at| of_gate(&self.decisions[at]) && self.silent.contains(&at));
            if known {
                self.shut.insert(number);
                continue;
            }
            let gate = &self.book.gates[number];
            let goals = super::gate::open(self.book, number);
            let confirm = |run: &super::Evaluation<'_>| {
                run.gates[number] == super::super::eval::GateVerdict::Yes
            };
            match self.ask(&goals, &confirm) {
                Answer::Shown(_) => {}
                Answer::Never => {
                    self.shut.insert(number);
                    let message = format!(
                        "the gate `{}` can never open: its needs contradict one another",
                        gate.name
                    );
                    self.add("never-holds", Severity::Mistake, gate.place, message, None);
                }
                Answer::Undecided => {
                    self.undecided(
                        "never-holds",
                        gate.place,
                        &format!("whether the gate `{}` can open", gate.name),
                    );
                }
            }
        }
    }
}
