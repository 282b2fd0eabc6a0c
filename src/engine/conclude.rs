//! From verdicts to conclusions: which advice stands, which was set aside, by whom and why.

use serde::Serialize;

use super::book::rule::IfOpen;
use super::eval::{Evaluation, GateVerdict};
use super::rank::ranked;
use super::set::Verdict;

/// A rule that speaks about another, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Beaten {
    /// The other rule, or the gate.
    pub rule: String,
    /// The reason, as the book gives it.
    pub because: String,
}

/// What becomes of one rule that speaks.
#[derive(Debug, Clone)]
pub(crate) struct Conclusion {
    pub rule: usize,
    /// Whether it holds; otherwise it only may, and speaks as a precaution.
    pub certain: bool,
    /// Rules and gates that beat it, with their reasons. Empty: it stands.
    pub beaten_by: Vec<Beaten>,
    /// Rules that would beat it if they held, and may.
    pub unless: Vec<Beaten>,
}

/// What stands against each rule, by its index.
#[derive(Debug)]
pub(crate) struct Rivals {
    /// Rules that hold and are not beaten themselves, and gates that are not open.
    pub beaten: Vec<Vec<Beaten>>,
    /// Rules that would beat it if they held, and may.
    pub unless: Vec<Vec<Beaten>>,
}

/// Two rules that stand, though their actions exclude each other: a mistake of the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Clash {
    /// One rule.
    pub rule: String,
    /// The other.
    pub with: String,
}

impl Evaluation<'_> {
    /// For each rule, those that beat it and those that may.
    pub(crate) fn rivals(&self) -> Rivals {
        let mut beaten: Vec<Vec<Beaten>> = vec![Vec::new(); self.book.rules.len()];
        let mut unless: Vec<Vec<Beaten>> = vec![Vec::new(); self.book.rules.len()];
        for index in self.beaters_first() {
            self.shut_gate(index, &mut beaten[index]);
            if self.rules[index] == Verdict::Fails || !beaten[index].is_empty() {
                continue;
            }
            let rule = &self.book.rules[index];
            for overrule in &rule.overrules {
                let victim = overrule.rule as usize;
                let word = Beaten {
                    rule: rule.name.clone(),
                    because: overrule.because.clone(),
                };
                if self.rules[index] == Verdict::Holds {
                    beaten[victim].push(word)
                } else {
                    unless[victim].push(word)
                }
            }
        }
        Rivals { beaten, unless }
    }

    /// Every rule that holds, or may hold and acts as if it did, most urgent first.
    pub(crate) fn conclusions(&self) -> Vec<Conclusion> {
        let Rivals {
            mut beaten,
            mut unless,
        } = self.rivals();
        let certain = |rule: usize| self.rules[rule] == Verdict::Holds;
        let speaking = (0..self.book.rules.len()).filter(|index| self.speaks(*index));
        let order = ranked(speaking, &|rule| {
            2 * self.book.rules[rule].urgency as u32 + u32::from(!certain(rule))
        });
        order
            .into_iter()
            .map(|rule| Conclusion {
                rule,
                certain: certain(rule),
                beaten_by: std::mem::take(&mut beaten[rule]),
                unless: std::mem::take(&mut unless[rule]),
            })
            .collect()
    }

    fn speaks(&self, index: usize) -> bool {
        match self.rules[index] {
            Verdict::Holds => true,
            Verdict::Open => self.book.rules[index].if_open == IfOpen::Warn,
            Verdict::Fails => false,
        }
    }

    /// Rules in an order in which each comes after those that overrule it.
    fn beaters_first(&self) -> Vec<usize> {
        let rules = &self.book.rules;
        let mut waiting = vec![0; rules.len()];
        rules
            .iter()
            .flat_map(|rule| &rule.overrules)
            .for_each(|o| waiting[o.rule as usize] += 1);
        let mut order: Vec<usize> = (0..rules.len())
            .filter(|index| waiting[*index] == 0)
            .collect();
        let mut next = 0;
        while next < order.len() {
            for overrule in &rules[order[next]].overrules {
                let victim = overrule.rule as usize;
                waiting[victim] -= 1;
                if waiting[victim] == 0 {
                    order.push(victim);
                }
            }
            next += 1;
        }
        order
    }

    /// A rule whose action is guarded by a gate that is not open is beaten by the needs that keep it shut.
    fn shut_gate(&self, index: usize, beaten: &mut Vec<Beaten>) {
        let action = &self.book.actions[self.book.rules[index].action as usize];
        let Some(gate) = action
            .gate
            .filter(|gate| self.gates[*gate as usize] != GateVerdict::Yes)
        else {
            return;
        };
        let gate = &self.book.gates[gate as usize];
        for need in &gate.needs {
            let met = if need.bars {
                Verdict::Fails
            } else {
                Verdict::Holds
            };
            if self.normal(&need.normal) != met {
                beaten.push(Beaten {
                    rule: gate.name.clone(),
                    because: need.because.clone(),
                });
            }
        }
    }

    /// Pairs of rules that stand for certain and advise actions that exclude each other.
    pub(crate) fn clashes(&self, conclusions: &[Conclusion]) -> Vec<Clash> {
        let standing: Vec<usize> = conclusions
            .iter()
            .filter(|c| c.certain && c.beaten_by.is_empty())
            .map(|c| c.rule)
            .collect();
        let rules = &self.book.rules;
        let mut clashes = Vec::new();
        for (at, a) in standing.iter().enumerate() {
            for b in &standing[at + 1..] {
                if self.book.actions[rules[*a].action as usize]
                    .excludes
                    .contains(&rules[*b].action)
                {
                    clashes.push(Clash {
                        rule: rules[*a].name.clone(),
                        with: rules[*b].name.clone(),
                    });
                }
            }
        }
        clashes
    }
}
