//! Why: the smallest sets of facts that alone force what a rule comes to.

use std::collections::BTreeSet;

use serde::Serialize;

use super::book::vocabulary::{Derivation, Origin};
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::normal::{Allowed, Normal, Row, allowed_of};
use super::phrase;
use super::set::{Set, Verdict};
use super::why::Margin;

/// One fact of a sufficient set: with it as it is, and the others of the set, nothing else can change the verdict.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Reason {
    /// The fact, derived fact or series word.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// Its value.
    pub shown: String,
    /// The values that would do as well, in words and figures.
    pub allowed: String,
    /// How far the value is from the edge of those, for numbers.
    pub margin: Option<Margin>,
}

/// How many facts a rule may look at for all its sufficient sets to be searched.
const SEARCHED_FACTS: usize = 14;
/// How many sufficient sets are told at most.
const SETS_TOLD: usize = 32;

impl Evaluation<'_> {
    /// The smallest sets of facts that alone force a rule to hold, or to fail, as it does; none while it is open.
    ///
    /// All of them when `all` is asked for, up to 32, else one. A rule that looks at more than 14 facts gets one set that
    /// cannot be made smaller by leaving out a fact, but that may not be the smallest.
    #[must_use]
    pub fn sufficient(&self, name: &str, all: bool) -> Option<Vec<Vec<Reason>>> {
        let index = self.book.rule_at(name)?;
        let normal = &self.book.rules[index].body(self.book).normal;
        let verdict = self.rules[index];
        if verdict == Verdict::Open {
            return Some(Vec::new());
        }
        let columns = facts_of(normal);
        let sets = if columns.len() <= SEARCHED_FACTS {
            self.smallest(normal, verdict, &columns, if all { SETS_TOLD } else { 1 })
        } else {
            vec![self.shrunk(normal, verdict, &columns)]
        };
        Some(
            sets.iter()
                .map(|set| self.reasons(normal, verdict, set))
                .collect(),
        )
    }

    /// The verdict when only the facts of `kept` are known.
    fn forced(&self, normal: &Normal, kept: &dyn Fn(ColumnId) -> bool) -> Verdict {
        normal.verdict(|id| {
            if kept(id) {
                self.set(id)
            } else {
                self.book.words.get(id).range
            }
        })
    }

    fn smallest(
        &self,
        normal: &Normal,
        verdict: Verdict,
        columns: &[ColumnId],
        most: usize,
    ) -> Vec<Vec<ColumnId>> {
        let mut found: Vec<u32> = Vec::new();
        let fewest_first =
            |size| (0..1u32 << columns.len()).filter(move |mask| mask.count_ones() == size);
        let masks = (0..=columns.len() as u32).flat_map(fewest_first);
        for mask in masks {
            if found.iter().any(|smaller| smaller & mask == *smaller) {
                continue;
            }
            let kept = |id| {
                columns
                    .iter()
                    .position(|c| *c == id)
                    .is_some_and(|at| mask >> at & 1 == 1)
            };
            if self.forced(normal, &kept) == verdict {
                found.push(mask);
                if found.len() == most {
                    break;
                }
            }
        }
        let set = |mask: &u32| {
            (0..columns.len())
                .filter(|at| mask >> at & 1 == 1)
                .map(|at| columns[at])
                .collect()
        };
        found.iter().map(set).collect()
    }

    /// Leaves out one fact after the other, as long as the verdict stays.
    fn shrunk(&self, normal: &Normal, verdict: Verdict, columns: &[ColumnId]) -> Vec<ColumnId> {
        let mut kept = columns.to_vec();
        for id in columns {
            let fewer: Vec<ColumnId> = kept.iter().copied().filter(|other| other != id).collect();
            if self.forced(normal, &|id| fewer.contains(&id)) == verdict {
                kept = fewer;
            }
        }
        kept
    }

    fn reasons(&self, normal: &Normal, verdict: Verdict, set: &[ColumnId]) -> Vec<Reason> {
        let row = normal.rows.iter().find(|row| {
            let held = |(id, allowed): &(ColumnId, Allowed)| {
                allowed.verdict(self.set(*id)) == Verdict::Holds
            };
            verdict == Verdict::Holds && row.iter().all(held)
        });
        set.iter()
            .map(|id| self.reason(*id, row, normal, verdict))
            .collect()
    }

    fn reason(&self, id: ColumnId, row: Option<&Row>, normal: &Normal, verdict: Verdict) -> Reason {
        let column = self.book.words.get(id);
        let allowed = match (verdict, row.and_then(|row| allowed_of(row, id))) {
            (Verdict::Holds, Some(allowed)) => self.allowed_shown(id, *allowed),
            _ => {
                let wanted: Vec<String> = normal
                    .rows
                    .iter()
                    .filter_map(|row| allowed_of(row, id))
                    .map(|a| self.allowed_shown(id, *a))
                    .collect();
                let mut once: Vec<String> = Vec::new();
                wanted.into_iter().for_each(|w| {
                    if !once.contains(&w) {
                        once.push(w)
                    }
                });
                let phrases = self.phrases();
                phrases.say(&phrase::ANYTHING_BUT, [&phrases.either(&once)])
            }
        };
        let margin = normal
            .rows
            .iter()
            .filter_map(|row| allowed_of(row, id))
            .filter_map(|allowed| self.edge_margin(id, *allowed))
            .min_by(|a, b| a.amount.total_cmp(&b.amount));
        Reason {
            fact: column.name.clone(),
            label: column.label.clone(),
            shown: self.shown(id),
            allowed,
            margin,
        }
    }

    /// The values a row allows, in words and figures.
    pub(crate) fn allowed_shown(&self, id: ColumnId, allowed: Allowed) -> String {
        let column = self.book.words.get(id);
        let number = |x: f64| self.threshold_shown(column, x);
        let phrases = self.phrases();
        match allowed {
            Allowed::Numbers {
                low,
                low_open,
                high,
                high_open,
            } => match (low.is_finite(), high.is_finite()) {
                (true, true) if low == high => number(low),
                (true, true) => {
                    let low = match low_open {
                        true => phrases.say(&phrase::MORE_THAN, [&number(low)]),
                        false => number(low),
                    };
                    let high = match high_open {
                        true => phrases.say(&phrase::LESS_THAN, [&number(high)]),
                        false => number(high),
                    };
                    phrases.say(&phrase::SPAN, [&low, &high])
                }
                (true, false) if low_open => phrases.say(&phrase::MORE_THAN, [&number(low)]),
                (true, false) => phrases.say(&phrase::AT_LEAST, [&number(low)]),
                (false, true) if high_open => phrases.say(&phrase::LESS_THAN, [&number(high)]),
                (false, true) => phrases.say(&phrase::AT_MOST, [&number(high)]),
                (false, false) => phrases.say(&phrase::ANY_VALUE, []),
            },
            Allowed::Options(mask) => match &column.origin {
                Origin::Test(_)
                | Origin::Derived(Derivation::Truth { .. })
                | Origin::Feature { .. } => match mask {
                    super::set::YES => phrases.say(&phrase::YES, []),
                    _ => phrases.say(&phrase::NO, []),
                },
                _ => self.shown_set(column, Set::Choice(mask)),
            },
            Allowed::Several { with, without } => {
                let label = |set| {
                    self.shown_set(
                        column,
                        Set::Several {
                            surely: set,
                            maybe: set,
                        },
                    )
                };
                match (with, without) {
                    (with, 0) => phrases.say(&phrase::WITH, [&label(with)]),
                    (0, without) => phrases.say(&phrase::WITHOUT, [&label(without)]),
                    (with, without) => {
                        phrases.say(&phrase::WITH_WITHOUT, [&label(with), &label(without)])
                    }
                }
            }
        }
    }

    fn edge_margin(&self, id: ColumnId, allowed: Allowed) -> Option<Margin> {
        let (Allowed::Numbers { low, high, .. }, Set::Number(values)) = (allowed, self.set(id))
        else {
            return None;
        };
        let outside = (low - values.hi).max(values.lo - high);
        let inside = (values.lo - low).min(high - values.hi);
        self.margin_of(id, if outside > 0.0 { outside } else { inside })
    }
}

fn facts_of(normal: &Normal) -> Vec<ColumnId> {
    let mut columns = BTreeSet::new();
    normal.columns(&mut |id| {
        columns.insert(id);
    });
    columns.into_iter().collect()
}
