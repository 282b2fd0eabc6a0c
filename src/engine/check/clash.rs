//! Rules that advise actions which exclude each other, at the same time and with no ranking.

use super::super::book::Book;
use super::super::normal::met;
use super::beaten::{is_standing, is_unbeaten, standing, stands};
use super::gate::holds;
use super::{Answer, Check, Severity};

/// Whether the normal forms of two rules leave a row that both could meet.
fn may_meet(book: &Book, a: usize, b: usize) -> bool {
    let rows = |rule: usize| book.rules[rule].body(book).normal.rows.iter();
    rows(a).any(|row| rows(b).any(|other| met(row, other).is_some()))
}

impl Check<'_> {
    /// Pairs of rules that can both stand, though their actions exclude each other.
    pub(super) fn clashes(&mut self) {
        let book = self.book;
        let standing = standing(book);
        for a in 0..book.rules.len() {
            for b in a + 1..book.rules.len() {
                let excludes = &book.actions[book.rules[a].action as usize].excludes;
                let beats = |x: usize, y: usize| {
                    book.rules[x].overrules.iter().any(|o| o.rule as usize == y)
                };
                if beats(a, b) || beats(b, a) {
                    continue;
                }
                let apart = !excludes.contains(&book.rules[b].action) || !may_meet(book, a, b);
                if apart || self.silent.contains(&a) || self.silent.contains(&b) {
                    continue;
                }
                // With nothing known but their own facts, what would overrule one of them may be open.
                let mut both = holds(book, a);
                both.extend(holds(book, b));
                let meet = self.ask(&both, &|run| is_unbeaten(run, a) && is_unbeaten(run, b));
                if matches!(meet, Answer::Never) {
                    continue;
                }
                let mut goals = stands(book, a, &standing);
                goals.extend(stands(book, b, &standing));
                let (first, second) = (&book.rules[a], &book.rules[b]);
                let clash = match meet {
                    Answer::Shown(facts) => Answer::Shown(facts),
                    _ => self.ask(&goals, &|run| is_standing(run, a) && is_standing(run, b)),
                };
                match clash {
                    Answer::Never => {}
                    Answer::Undecided => {
                        let question =
                            format!("whether `{}` and `{}` can clash", first.name, second.name);
                        self.undecided("clash", first.place, &question);
                    }
                    Answer::Shown(facts) => {
                        let action = |rule: &super::super::book::rule::Rule| {
                            &book.actions[rule.action as usize].name
                        };
                        let message = format!(
                            "`{}` advises {} while `{}` advises {}, which exclude each other; one must overrule the other",
                            first.name,
                            action(first),
                            second.name,
                            action(second)
                        );
                        let witness = self.rules_witness(&facts, &[a, b]);
                        self.add(
                            "clash",
                            Severity::Mistake,
                            first.place,
                            message,
                            Some(witness),
                        );
                    }
                }
            }
        }
    }
}
