//! Rules that add nothing to another with the same action.

use super::super::eval::Evaluation;
use super::super::set::Verdict;
use super::gate::holds;
use super::goal::Goal;
use super::{Answer, Check, Severity};

impl Check<'_> {
    /// Rules that hold only while another with the same action holds, which is at least as urgent.
    pub(super) fn shadows(&mut self) {
        let book = self.book;
        let count = book.rules.len();
        for a in 0..count {
            for b in 0..count {
                let (outer, inner) = (&book.rules[a], &book.rules[b]);
                let ranked = outer.overrules.iter().any(|o| o.rule as usize == b)
                    || inner.overrules.iter().any(|o| o.rule as usize == a);
                let related = a != b
                    && !ranked
                    && outer.action == inner.action
                    && outer.urgency <= inner.urgency
                    && !self.silent.contains(&a)
                    && !self.silent.contains(&b);
                if !related {
                    continue;
                }
                match self.escapes(a, b) {
                    Answer::Never => {}
                    Answer::Shown(_) => continue,
                    Answer::Undecided => {
                        let question = format!(
                            "whether `{}` ever holds without `{}`, which advises the same",
                            inner.name, outer.name
                        );
                        self.undecided("shadowed", inner.place, &question);
                        continue;
                    }
                }
                let twins =
                    outer.urgency == inner.urgency && matches!(self.escapes(b, a), Answer::Never);
                if twins && a > b {
                    continue;
                }
                let at = if twins { outer.place } else { inner.place };
                let (kind, message) = match twins {
                    true => (
                        "duplicate",
                        format!(
                            "`{}` and `{}` hold at the same times and advise the same",
                            outer.name, inner.name
                        ),
                    ),
                    false => (
                        "shadowed",
                        format!(
                            "`{}` holds only while `{}` does, which advises the same",
                            inner.name, outer.name
                        ),
                    ),
                };
                let both = |run: &Evaluation<'_>| {
                    run.rules[a] == Verdict::Holds && run.rules[b] == Verdict::Holds
                };
                let mut goals = holds(book, a);
                goals.extend(holds(book, b));
                let witness = match self.ask(&goals, &both) {
                    Answer::Shown(facts) => Some(self.rules_witness(&facts, &[a, b])),
                    _ => None,
                };
                self.add(kind, Severity::Warning, at, message, witness);
            }
        }
    }

    /// Facts on which a rule holds and another that might cover it does not.
    fn escapes(&self, outer: usize, inner: usize) -> Answer {
        let mut goals = holds(self.book, inner);
        goals.push(Goal::OneOf(
            holds(self.book, outer)
                .iter()
                .flat_map(Goal::negated)
                .collect(),
        ));
        let confirm = |run: &Evaluation<'_>| {
            run.rules[inner] == Verdict::Holds && run.rules[outer] != Verdict::Holds
        };
        self.ask(&goals, &confirm)
    }
}
