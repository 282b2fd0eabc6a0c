//! Rules that advise an action while its gate is shut.

use super::super::book::Book;
use super::super::eval::{Evaluation, GateVerdict};
use super::super::set::Verdict;
use super::goal::Goal;
use super::{Answer, Check, Severity};

/// That a gate is open.
pub(super) fn open(book: &Book, gate: usize) -> Vec<Goal<'_>> {
    let needs = book.gates[gate].needs.iter();
    needs
        .map(|need| Goal::Is(&need.condition, !need.bars))
        .collect()
}

/// That a rule holds.
pub(super) fn holds(book: &Book, rule: usize) -> Vec<Goal<'_>> {
    let conditions = book.rules[rule].body(book).conditions.iter();
    conditions
        .map(|condition| Goal::Is(condition, true))
        .collect()
}

impl<'q> Check<'q> {
    /// Rules whose action has a gate: set aside always is a mistake, set aside at times is worth a look.
    pub(super) fn gates(&mut self) {
        let book = self.book;
        for (index, rule) in book.rules.iter().enumerate() {
            let Some(gate) = book.actions[rule.action as usize]
                .gate
                .map(|gate| gate as usize)
            else {
                continue;
            };
            if self.silent.contains(&index) || self.shut.contains(&gate) {
                continue;
            }
            let name = &book.gates[gate].name;
            let held = |run: &Evaluation<'_>| run.rules[index] == Verdict::Holds;
            let mut goals = holds(book, index);
            goals.extend(open(book, gate));
            let stands = |run: &Evaluation<'_>| held(run) && run.gates[gate] == GateVerdict::Yes;
            match self.ask(&goals, &stands) {
                Answer::Never => {
                    let message =
                        format!("whenever `{}` holds, the gate `{name}` is shut", rule.name);
                    let witness = self.shut(index, gate);
                    self.silent.insert(index);
                    self.add(
                        "gate-always-shut",
                        Severity::Mistake,
                        rule.place,
                        message,
                        witness,
                    );
                    continue;
                }
                Answer::Undecided => {
                    let question = format!(
                        "whether `{}` can hold while the gate `{name}` is open",
                        rule.name
                    );
                    self.undecided("gate-always-shut", rule.place, &question);
                    continue;
                }
                Answer::Shown(_) => {}
            }
            if let Some(witness) = self.shut(index, gate) {
                let message = format!(
                    "`{}` can hold while the gate `{name}` is shut, and is then set aside",
                    rule.name
                );
                self.add(
                    "gate-can-be-shut",
                    Severity::Warning,
                    rule.place,
                    message,
                    Some(witness),
                );
            }
        }
    }

    /// Facts on which a rule holds and the gate is shut.
    fn shut(&self, rule: usize, gate: usize) -> Option<super::Witness> {
        let mut goals = holds(self.book, rule);
        goals.push(Goal::OneOf(
            open(self.book, gate)
                .iter()
                .flat_map(Goal::negated)
                .collect(),
        ));
        let shut = |run: &Evaluation<'_>| {
            run.rules[rule] == Verdict::Holds
                && matches!(run.gates[gate], GateVerdict::NotYet | GateVerdict::No)
        };
        match self.ask(&goals, &shut) {
            Answer::Shown(facts) => {
                let run = self.book.evaluate(&facts);
                let witness = self.rules_witness(&facts, &[rule]);
                let name = &self.book.gates[gate].name;
                Some(witness.with(
                    "gate",
                    name,
                    super::gate_keyword(&run, gate),
                    &self.places,
                    &run,
                ))
            }
            _ => None,
        }
    }
}
