//! What decides a conclusion: every column that a rule or gate can turn on.

use super::book::Book;
use super::book::order::rests_on;

impl Book {
    /// For each column, whether what a rule or gate comes to may turn on it: on its own tests, on those of the rules
    /// that could beat it and of the gates before them, or on whatever these rest on. `None` if the book has no such
    /// name.
    pub(crate) fn deciding(&self, name: &str) -> Option<Vec<bool>> {
        let rule = self.rules.iter().position(|rule| rule.name == name);
        let gate = self.gates.iter().position(|gate| gate.name == name);
        let mut found = Deciding {
            book: self,
            columns: vec![false; self.words.columns.len()],
            rules: vec![false; self.rules.len()],
        };
        // A gate is named like its action, and so may a rule be.
        rule.or(gate)?;
        rule.into_iter().for_each(|rule| found.rule(rule));
        gate.into_iter().for_each(|gate| found.gate(gate));
        for id in self.order.iter().rev() {
            if found.columns[id.0 as usize] {
                for below in rests_on(&self.words, *id) {
                    found.columns[below.0 as usize] = true;
                }
            }
        }
        Some(found.columns)
    }
}

struct Deciding<'a> {
    book: &'a Book,
    columns: Vec<bool>,
    /// The rules that were looked at.
    rules: Vec<bool>,
}

impl Deciding<'_> {
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
