//! What decides a conclusion: every column that a rule or gate can turn on.

use super::book::order::rests_on;
use super::book::{Book, Step};
use super::eval::Evaluation;
use super::facts::Facts;

/// A book run again and again for the sake of a few names.
#[derive(Debug)]
pub struct Asking<'a> {
    book: &'a Book,
    /// What is worked out.
    steps: Vec<Step>,
}

impl<'a> Asking<'a> {
    /// Runs the book as far as the names go that are asked about. Whatever else it holds may stay open.
    #[must_use]
    pub fn evaluate<'b>(&self, facts: &'b Facts) -> Evaluation<'b>
    where
        'a: 'b,
    {
        let mut run = Evaluation::blank(self.book, facts);
        run.settle_by(&self.steps);
        run.conclude();
        run
    }
}

impl Book {
    /// For each column, whether what a rule or gate comes to may turn on it: on its own tests, on those of the rules
    /// that could beat it and of the gates before them, or on whatever these rest on. `None` if the book has no such
    /// name.
    pub(crate) fn deciding(&self, name: &str) -> Option<Vec<bool>> {
        // A gate is named like its action, and so may a rule be.
        let (rule, gate) = (self.rule_at(name), self.gate_at(name));
        rule.or(gate)?;
        let mut found = Deciding::new(self);
        rule.into_iter().for_each(|rule| found.rule(rule));
        gate.into_iter().for_each(|gate| found.gate(gate));
        Some(found.with_what_it_rests_on())
    }

    /// What runs the book for some of its rules, gates and facts only. A name that the book has not is passed over.
    #[must_use]
    pub fn asking<'n>(&self, names: impl Iterator<Item = &'n str>) -> Asking<'_> {
        let mut found = Deciding::new(self);
        for name in names {
            let [rule, gate] = [self.rule_at(name), self.gate_at(name)];
            rule.into_iter().for_each(|rule| found.rule(rule));
            gate.into_iter().for_each(|gate| found.gate(gate));
            if let Some(id) = self.words.find(name) {
                found.columns[id.0 as usize] = true;
            }
        }
        let columns = found.with_what_it_rests_on();
        let steps = self.worked.iter().copied();
        Asking {
            book: self,
            steps: steps.filter(|step| columns[step.id().0 as usize]).collect(),
        }
    }
}

struct Deciding<'a> {
    book: &'a Book,
    columns: Vec<bool>,
    /// The rules that were looked at.
    rules: Vec<bool>,
}

impl<'a> Deciding<'a> {
    fn new(book: &'a Book) -> Deciding<'a> {
        Deciding {
            book,
            columns: vec![false; book.words.columns.len()],
            rules: vec![false; book.rules.len()],
        }
    }

    fn with_what_it_rests_on(mut self) -> Vec<bool> {
        for id in self.book.order.iter().rev() {
            if self.columns[id.0 as usize] {
                for below in rests_on(&self.book.words, *id) {
                    self.columns[below.0 as usize] = true;
                }
            }
        }
        self.columns
    }

    /// A rule, and all that could beat it or those that could.
    fn rule(&mut self, rule: usize) {
        let mut waiting = vec![rule];
        while let Some(rule) = waiting.pop() {
            if std::mem::replace(&mut self.rules[rule], true) {
                continue;
            }
            for id in self.book.kernel.looked_at(rule) {
                self.columns[id.0 as usize] = true;
            }
            let action = self.book.rules[rule].action as usize;
            if let Some(gate) = self.book.actions[action].gate {
                self.gate(gate as usize);
            }
            let beats = |other: &usize| {
                let mut overrules = self.book.rules[*other].overrules.iter();
                overrules.any(|overrule| overrule.rule as usize == rule)
            };
            waiting.extend((0..self.book.rules.len()).filter(beats));
        }
    }

    fn gate(&mut self, gate: usize) {
        for need in &self.book.gates[gate].needs {
            need.normal
                .columns(&mut |id| self.columns[id.0 as usize] = true);
        }
    }
}
