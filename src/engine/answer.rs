//! The answer to *What now?* and *May I ...?*, as plain data.

use serde::Serialize;

use super::book::message::Part;
use super::book::rule::{IfOpen, Need, Rule, Urgency};
use super::conclude::{Beaten, Clash, Conclusion};
use super::eval::{Evaluation, GateVerdict};
use super::expr::compile::{ColumnId, Value};
use super::rank::{arrange, ranked};
use super::set::Verdict;
use super::why::{Evidence, SourceRef};

/// An amount that an action takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Amount {
    /// The amount in words and figures.
    pub shown: String,
    /// The lowest possible value, in `unit`.
    pub low: Option<f64>,
    /// The highest.
    pub high: Option<f64>,
    /// The action's unit.
    pub unit: String,
    /// The formula, in the book's words.
    pub formula: String,
    /// The formula worked in numbers.
    pub working: Vec<String>,
}

/// Words shown wherever work can hurt someone.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct CautionInfo {
    /// Its id in the book.
    pub id: String,
    /// The words.
    pub text: String,
    /// Where that comes from.
    pub sources: Vec<SourceRef>,
}

/// One piece of advice.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct AdvicePoint {
    /// The rule that gives it.
    pub rule: String,
    /// The chapter the rule stands in.
    pub chapter: String,
    /// The overlay the rule comes from, or empty for the book's own.
    pub by: String,
    /// Why the overlay replaced the book's rule of this name, where it did.
    pub replaces: Option<String>,
    /// The action it advises.
    pub action: String,
    /// The action in words.
    pub action_label: String,
    /// How soon.
    pub urgency: Urgency,
    /// Whether the rule holds for certain; otherwise it speaks because it cannot be ruled out.
    pub certain: bool,
    /// How much, where the action takes an amount and all that it rests on was entered.
    pub amount: Option<Amount>,
    /// What was found.
    pub finding: String,
    /// What to do.
    pub say: String,
    /// Why.
    pub because: String,
    /// Where that comes from.
    pub sources: Vec<SourceRef>,
    /// Cautions to be shown with it.
    pub cautions: Vec<CautionInfo>,
    /// The conditions of the rule, as they were evaluated.
    pub evidence: Vec<Evidence>,
    /// Rules it overruled, with the reason.
    pub overruled: Vec<Beaten>,
    /// Rules that would overrule it if they held, and may.
    pub unless: Vec<Beaten>,
    /// While it is not certain: the facts that could decide it. Else the facts that its figures wait for.
    pub wants: Vec<String>,
}

/// A rule that holds, or may, and was beaten.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct SetAside {
    /// The advice as it would have been given.
    pub advice: AdvicePoint,
    /// Rules or gates that beat it, with their reasons.
    pub beaten_by: Vec<Beaten>,
}

/// A rule that could not be decided.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct OpenPoint {
    /// The rule.
    pub rule: String,
    /// The chapter it stands in.
    pub chapter: String,
    /// The action it would advise.
    pub action: String,
    /// The action in words.
    pub action_label: String,
    /// How soon it would be.
    pub urgency: Urgency,
    /// What it would say to do.
    pub say: String,
    /// The facts that could decide it.
    pub wants: Vec<String>,
    /// Its conditions, as far as they were decided.
    pub evidence: Vec<Evidence>,
}

/// One need, or bar, of a gate.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct NeedAnswer {
    /// Why it is needed, or bars.
    pub because: String,
    /// Whether it bars the action when it holds.
    pub bars: bool,
    /// Whether it is met: for a bar, whether it is absent.
    pub met: Verdict,
    /// The condition as it was evaluated.
    pub evidence: Evidence,
    /// The first day on which it would be met by time alone, if nothing else changes.
    pub met_on: Option<String>,
}

/// The answer of one gate.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct GateAnswer {
    /// The gate, named like the action it guards.
    pub gate: String,
    /// The chapter it stands in.
    pub chapter: String,
    /// The action in words.
    pub action_label: String,
    /// The question.
    pub ask: String,
    /// The answer.
    pub verdict: GateVerdict,
    /// Each need and bar.
    pub needs: Vec<NeedAnswer>,
    /// Cautions of the action.
    pub cautions: Vec<CautionInfo>,
    /// Where the needs come from.
    pub sources: Vec<SourceRef>,
}

/// Everything a book says about some facts.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Answer {
    /// Advice that stands, most urgent first.
    pub advice: Vec<AdvicePoint>,
    /// Advice that was beaten.
    pub set_aside: Vec<SetAside>,
    /// What could not be decided, and what would decide it.
    pub open: Vec<OpenPoint>,
    /// Rules that contradict each other: a mistake of the book.
    pub clashes: Vec<Clash>,
}

/// The facts that a value rests on directly.
fn columns(value: &Value) -> Vec<ColumnId> {
    let mut found = Vec::new();
    value.columns(&mut |id| found.push(id));
    found
}

impl Evaluation<'_> {
    /// Everything the book says.
    #[must_use]
    pub fn answer(&self) -> Answer {
        let conclusions = self.conclusions();
        let clashes = self.clashes(&conclusions);
        let mut advice = Vec::new();
        let mut set_aside = Vec::new();
        for conclusion in conclusions {
            let beaten_by = conclusion.beaten_by.clone();
            let point = self.point(&conclusion);
            if beaten_by.is_empty() {
                advice.push(point)
            } else {
                set_aside.push(SetAside {
                    advice: point,
                    beaten_by,
                })
            }
        }
        Answer {
            advice,
            set_aside,
            open: self.open_points(),
            clashes,
        }
    }

    fn point(&self, conclusion: &Conclusion) -> AdvicePoint {
        let rule = &self.book.rules[conclusion.rule];
        let body = rule.body(self.book);
        let action = &self.book.actions[rule.action as usize];
        let amount = self.amount(rule);
        let shown = amount.as_ref().map(|amount| amount.shown.clone());
        let say = |message| self.say(message, shown.as_deref());
        let stands = conclusion.certain && conclusion.beaten_by.is_empty();
        AdvicePoint {
            rule: rule.name.clone(),
            chapter: self.chapter(rule),
            by: self.book.overlay_of(rule),
            replaces: rule.change.as_ref().map(|change| change.reason.clone()),
            action: action.name.clone(),
            action_label: action.label.clone(),
            urgency: rule.urgency,
            certain: conclusion.certain,
            finding: say(&body.finding),
            say: say(&body.advice),
            because: say(&body.because),
            sources: self.book.cited(&body.sources),
            cautions: self
                .book
                .cautions_told(&[&body.cautions[..], &action.cautions[..]].concat()),
            evidence: self.evidence(&body.conditions),
            overruled: if stands {
                self.overruled(rule)
            } else {
                Vec::new()
            },
            unless: conclusion.unless.clone(),
            wants: match self.rules[conclusion.rule] {
                Verdict::Open => self.rule_wants(rule),
                Verdict::Holds => self.figure_wants(rule),
                Verdict::Fails => Vec::new(),
            },
            amount,
        }
    }

    fn chapter(&self, rule: &Rule) -> String {
        self.book.chapters[rule.chapter as usize].title.clone()
    }

    fn amount(&self, rule: &Rule) -> Option<Amount> {
        let value = rule.body(self.book).amount.as_ref()?;
        let id = self.book.actions[rule.action as usize].unit?;
        if !self.waits_for(&columns(value)).is_empty() {
            return None;
        }
        let unit = self.book.words.units.get(id);
        let interval = self.value(value);
        let mut working = Vec::new();
        self.working(value, Some(id), &mut working);
        Some(Amount {
            shown: self.in_unit(Some(id), self.decimals(value), interval),
            low: interval.lo.is_finite().then(|| unit.from_main(interval.lo)),
            high: interval.hi.is_finite().then(|| unit.from_main(interval.hi)),
            unit: unit.name.clone(),
            formula: self.book.formula(value),
            working,
        })
    }

    /// An amount that is a fact of the book is shown as that fact is.
    fn decimals(&self, value: &Value) -> Option<u8> {
        match value {
            Value::Column(id) => self.book.words.get(*id).decimals,
            _ => None,
        }
    }

    /// The rules this one beats that would otherwise have spoken.
    fn overruled(&self, rule: &Rule) -> Vec<Beaten> {
        rule.overrules
            .iter()
            .filter(|overrule| self.rules[overrule.rule as usize] != Verdict::Fails)
            .map(|overrule| Beaten {
                rule: self.book.rules[overrule.rule as usize].name.clone(),
                because: overrule.because.clone(),
            })
            .collect()
    }

    fn rule_wants(&self, rule: &Rule) -> Vec<String> {
        let mut found = std::collections::BTreeSet::new();
        let conditions = rule.body(self.book).conditions.iter();
        conditions.for_each(|condition| self.open_facts(condition, &mut found));
        found
            .into_iter()
            .map(|id| self.book.words.get(id).name.clone())
            .collect()
    }

    /// The facts that the amount of a rule, and the figures in its advice, wait for.
    fn figure_wants(&self, rule: &Rule) -> Vec<String> {
        let body = rule.body(self.book);
        let mut figures: Vec<ColumnId> = body.amount.iter().flat_map(columns).collect();
        figures.extend(body.advice.parts.iter().filter_map(|part| match part {
            Part::Fact(id) => Some(*id),
            _ => None,
        }));
        let mut waits = std::collections::BTreeSet::new();
        for id in self.waits_for(&figures) {
            waits.insert(id);
        }
        let name = |id: ColumnId| self.book.words.get(id).name.clone();
        waits.into_iter().map(name).collect()
    }

    /// Rules that ask: open, and not shut off whatever their open facts turn out to be.
    fn open_points(&self) -> Vec<OpenPoint> {
        let asks = |index: &usize| {
            self.rules[*index] == Verdict::Open && self.book.rules[*index].if_open == IfOpen::Ask
        };
        let beaten = self.rivals().beaten;
        let rules = &self.book.rules;
        let asking = (0..rules.len())
            .filter(asks)
            .filter(|index| !self.is_shut_off(*index, &beaten[*index]));
        ranked(asking, &|index| rules[index].urgency as u32)
            .into_iter()
            .map(|index| self.open_point(&rules[index]))
            .collect()
    }

    /// A gate that cannot tell may open yet; one that says no, and a rule that beats this one, leave nothing to ask.
    fn is_shut_off(&self, index: usize, beaten_by: &[Beaten]) -> bool {
        let action = &self.book.actions[self.book.rules[index].action as usize];
        let shut = action.gate.is_some_and(|gate| {
            matches!(
                self.gates[gate as usize],
                GateVerdict::No | GateVerdict::NotYet
            )
        });
        shut || beaten_by.iter().any(|by| by.rule != action.name)
    }

    fn open_point(&self, rule: &Rule) -> OpenPoint {
        let action = &self.book.actions[rule.action as usize];
        let body = rule.body(self.book);
        let amount = self.amount(rule).map(|amount| amount.shown);
        OpenPoint {
            rule: rule.name.clone(),
            chapter: self.chapter(rule),
            action: action.name.clone(),
            action_label: action.label.clone(),
            urgency: rule.urgency,
            say: self.say(&body.advice, amount.as_deref()),
            wants: self.rule_wants(rule),
            evidence: self.evidence(&body.conditions),
        }
    }

    /// The answer of every gate, in the order of the book.
    #[must_use]
    pub fn gates(&self) -> Vec<GateAnswer> {
        (0..self.book.gates.len())
            .map(|index| self.gate_answer(index))
            .collect()
    }

    fn gate_answer(&self, index: usize) -> GateAnswer {
        let gate = &self.book.gates[index];
        let action = &self.book.actions[gate.action as usize];
        GateAnswer {
            gate: gate.name.clone(),
            chapter: self.book.chapters[gate.chapter as usize].title.clone(),
            action_label: action.label.clone(),
            ask: gate.ask.clone(),
            verdict: self.gates[index],
            needs: gate.needs.iter().map(|need| self.need(need)).collect(),
            cautions: self.book.cautions_told(&action.cautions),
            sources: self.book.cited(&gate.sources),
        }
    }

    fn need(&self, need: &Need) -> NeedAnswer {
        let evidence = self
            .evidence(std::slice::from_ref(&need.condition))
            .remove(0);
        let verdict = self.normal(&need.normal);
        let met = if need.bars { verdict.not() } else { verdict };
        let met_on = (met != Verdict::Holds).then(|| self.met_on(need)).flatten();
        NeedAnswer {
            because: need.because.clone(),
            bars: need.bars,
            met,
            evidence,
            met_on,
        }
    }

    /// The evidence of one rule, whatever it came to.
    #[must_use]
    pub fn rule_evidence(&self, name: &str) -> Option<(Verdict, Vec<Evidence>)> {
        let index = self.book.rule_at(name)?;
        Some((
            self.rules[index],
            self.evidence(&self.book.rules[index].body(self.book).conditions),
        ))
    }

    /// One rule as advice, whatever it came to.
    #[must_use]
    pub fn rule_point(&self, name: &str) -> Option<(Verdict, AdvicePoint, Vec<Beaten>)> {
        let rule = self.book.rule_at(name)?;
        let spoken = self
            .conclusions()
            .into_iter()
            .find(|conclusion| conclusion.rule == rule);
        let silent = || Conclusion {
            rule,
            certain: false,
            beaten_by: Vec::new(),
            unless: Vec::new(),
        };
        let conclusion = spoken.unwrap_or_else(silent);
        let point = self.point(&conclusion);
        Some((self.rules[rule], point, conclusion.beaten_by))
    }

    /// A fact, derived fact or table with how it came about.
    #[must_use]
    pub fn fact(&self, name: &str) -> Option<super::why::Worked> {
        let id = self.book.words.find(name)?;
        Some(self.worked(id, &mut std::collections::BTreeSet::new()))
    }

    /// The possible values of a fact.
    #[must_use]
    pub fn values(&self, name: &str) -> Option<super::set::Set> {
        self.book.words.find(name).map(|id| self.set(id))
    }

    /// The verdict of a rule.
    #[must_use]
    pub fn rule(&self, name: &str) -> Option<Verdict> {
        let index = self.book.rule_at(name)?;
        Some(self.rules[index])
    }

    /// The verdict of a gate.
    #[must_use]
    pub fn gate_verdict(&self, name: &str) -> Option<GateVerdict> {
        let index = self.book.gate_at(name)?;
        Some(self.gates[index])
    }
}

impl super::book::Book {
    /// Cautions as data, each once.
    pub(crate) fn cautions_told(&self, ids: &[u32]) -> Vec<CautionInfo> {
        let mut ids = ids.to_vec();
        arrange(&mut ids, Ord::cmp);
        ids.dedup();
        let info = |id: &u32| {
            let caution = &self.cautions[*id as usize];
            CautionInfo {
                id: caution.id.clone(),
                text: caution.text.clone(),
                sources: self.cited(&caution.sources),
            }
        };
        ids.iter().map(info).collect()
    }
}
