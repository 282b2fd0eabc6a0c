//! Comparisons that are settled by the plausible range of their facts alone.

use super::super::expr::compile::Test;
use super::super::facts::Facts;
use super::super::set::Verdict;
use super::decision::stripped;
use super::{Check, Severity};

impl Check<'_> {
    /// Thresholds that no plausible value reaches, or that every one does.
    pub(super) fn ranges(&mut self) {
        let nothing = Facts::default();
        let run = self.book.evaluate(&nothing);
        let mut found = Vec::new();
        for (index, decision) in self.decisions.iter().enumerate() {
            if self.silent.contains(&index) {
                continue;
            }
            for part in decision.parts().iter().filter(|part| part.leaf) {
                let test = &stripped(part.condition).test;
                if !matches!(test, Test::Compare { .. } | Test::Within { .. }) {
                    continue;
                }
                let always = match run.verdict(part.condition) {
                    Verdict::Open => continue,
                    verdict => verdict == Verdict::Holds,
                };
                let word = if always { "always" } else { "never" };
                let at = decision.place(&self.places, part.condition);
                let message = format!(
                    "`{}` {word} holds: its threshold lies outside the plausible range",
                    part.condition.text
                );
                found.push((index, at, message));
            }
        }
        for (index, at, message) in found {
            self.silent.insert(index);
            self.add("outside-range", Severity::Mistake, at, message, None);
        }
    }
}
