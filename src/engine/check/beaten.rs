//! Rules that never stand, for another always overrules them.

use super::super::book::Book;
use super::super::eval::Evaluation;
use super::super::expr::compile::{Condition, Test};
use super::super::set::Verdict;
use super::gate::{holds, open};
use super::goal::Goal;
use super::{Answer, Check, Severity};

/// For each rule that overrules others: the condition that it holds, its gate is open, and nothing overrules it.
pub(super) fn standing(book: &Book) -> Vec<Option<Condition>> {
    let mut made: Vec<Option<Condition>> = vec![None; book.rules.len()];
    for index in 0..book.rules.len() {
        if !book.rules[index].overrules.is_empty() {
            make(book, index, &mut made);
        }
    }
    made
}

fn make(book: &Book, index: usize, made: &mut Vec<Option<Condition>>) -> Condition {
    if let Some(known) = &made[index] {
        return known.clone();
    }
    let rule = &book.rules[index];
    let mut parts = rule.body(book).conditions.clone();
    if let Some(gate) = book.actions[rule.action as usize].gate {
        let needs = book.gates[gate as usize].needs.iter();
        parts.extend(needs.map(|need| match need.bars {
            true => not(need.condition.clone()),
            false => need.condition.clone(),
        }));
    }
    for beater in overrulers(book, index) {
        parts.push(not(make(book, beater, made)));
    }
    let condition = Condition {
        test: Test::All(parts),
        text: format!("{} stands", rule.name),
    };
    made[index] = Some(condition.clone());
    condition
}

fn not(condition: Condition) -> Condition {
    let text = format!("not ({})", condition.text);
    Condition {
        test: Test::Not(Box::new(condition)),
        text,
    }
}

/// The rules that overrule a rule.
pub(super) fn overrulers(book: &Book, index: usize) -> impl Iterator<Item = usize> {
    let rules = book.rules.iter().enumerate();
    rules
        .filter(move |(_, rule)| {
            !rule.is_withdrawn() && rule.overrules.iter().any(|o| o.rule as usize == index)
        })
        .map(|(beater, _)| beater)
}

/// That a rule holds, its gate is open and nothing overrules it.
pub(super) fn stands<'g>(
    book: &'g Book,
    index: usize,
    standing: &'g [Option<Condition>],
) -> Vec<Goal<'g>> {
    let mut goals = holds(book, index);
    if let Some(gate) = book.actions[book.rules[index].action as usize].gate {
        goals.extend(open(book, gate as usize));
    }
    let beaters = overrulers(book, index).filter_map(|beater| standing[beater].as_ref());
    goals.extend(beaters.map(|condition| Goal::Is(condition, false)));
    goals
}

/// Whether a run says that a rule stands, whatever else may turn out.
pub(super) fn is_standing(run: &Evaluation<'_>, index: usize) -> bool {
    let conclusions = run.conclusions();
    let mut own = conclusions.iter().filter(|c| c.rule == index);
    own.any(|c| c.certain && c.beaten_by.is_empty() && c.unless.is_empty())
}

/// Whether a run says that a rule stands, as long as nothing more is known.
pub(super) fn is_unbeaten(run: &Evaluation<'_>, index: usize) -> bool {
    let conclusions = run.conclusions();
    let mut own = conclusions.iter().filter(|c| c.rule == index);
    own.any(|c| c.certain && c.beaten_by.is_empty())
}

impl Check<'_> {
    /// Rules that can hold but are overruled whenever they do.
    pub(super) fn beaten(&mut self) {
        let book = self.book;
        let standing = standing(book);
        for (index, rule) in book.rules.iter().enumerate() {
            if self.silent.contains(&index) || overrulers(book, index).next().is_none() {
                continue;
            }
            // With nothing known but its own facts, others may be open and so not beat it.
            if let Answer::Shown(_) = self.ask(&holds(book, index), &|run| is_unbeaten(run, index))
            {
                continue;
            }
            match self.ask(&stands(book, index, &standing), &|run| {
                is_standing(run, index)
            }) {
                Answer::Shown(_) => {}
                Answer::Undecided => {
                    self.undecided(
                        "always-beaten",
                        rule.place,
                        &format!("whether `{}` can stand", rule.name),
                    );
                }
                Answer::Never => {
                    let beaters: Vec<String> = overrulers(book, index)
                        .map(|beater| format!("`{}`", book.rules[beater].name))
                        .collect();
                    let message = format!(
                        "`{}` never stands: whenever it holds, {} overrules it",
                        rule.name,
                        beaters.join(" or ")
                    );
                    let held = |run: &Evaluation<'_>| {
                        run.rules[index] == Verdict::Holds
                            && run
                                .conclusions()
                                .iter()
                                .any(|c| c.rule == index && !c.beaten_by.is_empty())
                    };
                    let mut shown = vec![index];
                    let witness = match self.ask(&holds(book, index), &held) {
                        Answer::Shown(facts) => {
                            let run = book.evaluate(&facts);
                            shown.extend(
                                overrulers(book, index).filter(|b| run.rules[*b] == Verdict::Holds),
                            );
                            Some(self.rules_witness(&facts, &shown))
                        }
                        _ => None,
                    };
                    self.silent.insert(index);
                    self.add(
                        "always-beaten",
                        Severity::Mistake,
                        rule.place,
                        message,
                        witness,
                    );
                }
            }
        }
    }
}
