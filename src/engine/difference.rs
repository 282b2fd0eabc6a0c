//! What if: how the answers on two sets of facts differ.

use serde::Serialize;

use super::answer::{AdvicePoint, Answer};
use super::eval::{Evaluation, GateVerdict};

/// Advice that is in both answers and changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Moved {
    /// As it is.
    pub before: AdvicePoint,
    /// As it would be.
    pub after: AdvicePoint,
}

/// A gate whose answer changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct GateMoved {
    /// The gate.
    pub gate: String,
    /// Its question.
    pub ask: String,
    /// What it says.
    pub before: GateVerdict,
    /// What it would say.
    pub after: GateVerdict,
}

/// How two answers differ.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Difference {
    /// Advice that appears.
    pub appeared: Vec<AdvicePoint>,
    /// Advice that vanishes.
    pub vanished: Vec<AdvicePoint>,
    /// Advice whose certainty, amount or words change.
    pub moved: Vec<Moved>,
    /// Gates whose answer changes.
    pub gates: Vec<GateMoved>,
}

impl Evaluation<'_> {
    /// From what this run answers to what another run answers, of the same book or of one that was changed.
    #[must_use]
    pub fn difference(&self, after: &Evaluation<'_>) -> Difference {
        let (old, new) = (self.answer(), after.answer());
        Difference {
            appeared: missing(&new, &old),
            vanished: missing(&old, &new),
            moved: moved(&old, &new),
            gates: self.moved_gates(after),
        }
    }

    /// The gates of both books whose answers differ.
    fn moved_gates(&self, after: &Evaluation<'_>) -> Vec<GateMoved> {
        let gates = self.book.gates.iter().zip(&self.gates);
        let moved = gates.filter_map(|(gate, before)| {
            let mut others = after.book.gates.iter().zip(&after.gates);
            let (_, after) = others.find(|(other, _)| other.name == gate.name)?;
            (before != after).then(|| GateMoved {
                gate: gate.name.clone(),
                ask: gate.ask.clone(),
                before: *before,
                after: *after,
            })
        });
        moved.collect()
    }
}

fn missing(here: &Answer, there: &Answer) -> Vec<AdvicePoint> {
    let known = |point: &&AdvicePoint| !there.advice.iter().any(|other| other.rule == point.rule);
    here.advice.iter().filter(known).cloned().collect()
}

fn moved(old: &Answer, new: &Answer) -> Vec<Moved> {
    let told = |p: &AdvicePoint| {
        (
            p.certain,
            p.amount.clone(),
            p.finding.clone(),
            p.say.clone(),
        )
    };
    let pair = |before: &AdvicePoint| {
        let after = new.advice.iter().find(|after| after.rule == before.rule)?;
        (told(before) != told(after)).then(|| Moved {
            before: before.clone(),
            after: after.clone(),
        })
    };
    old.advice.iter().filter_map(pair).collect()
}
