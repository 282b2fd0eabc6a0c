//! What to find out next: open facts ranked by what they would settle.

use serde::Serialize;

use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::judge::Judge;
use super::rank::arrange;
use super::set::{Interval, Set, Verdict};
use super::sweep::{Piece, Sweep};

/// A fact worth finding out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct NextTest {
    /// The fact.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// The question to ask.
    pub ask: String,
    /// How to find out, or empty.
    pub how: String,
    /// The group it is entered under.
    pub group: String,
    /// Expected number of open rules it settles, each weighted by its urgency, over the effort of the test.
    pub score: f64,
    /// Rules that it settles at some value, most urgent first.
    pub settles: Vec<String>,
}

impl Evaluation<'_> {
    /// Facts among those that `may` names that are not exactly known, by what they would settle, one step ahead.
    ///
    /// Each possible value counts alike: a piece of a number's range by its width, an option as one. A rule counts as
    /// settled where it is open now and would no longer be.
    #[must_use]
    pub fn next_tests(&self, may: &dyn Fn(&str) -> bool) -> Vec<NextTest> {
        let cuts = self.book.cuts();
        let mut judge = Judge::of(self.book);
        let mut tests: Vec<NextTest> = (0..self.book.words.columns.len())
            .map(|index| ColumnId(index as u32))
            .filter(|id| self.is_worth_asking(*id, may))
            .filter_map(|id| self.next_test(&Sweep::new(self, id, &cuts, None), &mut judge))
            .collect();
        arrange(&mut tests, |a, b| {
            b.score
                .total_cmp(&a.score)
                .then_with(|| a.fact.cmp(&b.fact))
        });
        tests
    }

    fn is_worth_asking(&self, id: ColumnId, may: &dyn Fn(&str) -> bool) -> bool {
        let column = self.book.words.get(id);
        column.is_given() && !column.date && !self.set(id).is_known() && may(&column.name)
    }

    fn next_test(&self, sweep: &Sweep<'_>, judge: &mut Judge<'_>) -> Option<NextTest> {
        if !sweep.matters() {
            return None;
        }
        let column = self.book.words.get(sweep.id);
        let mut settles: Vec<usize> = Vec::new();
        let (mut sum, mut all) = (0.0, 0.0);
        for piece in sweep.pieces() {
            let Some((share, value)) = self.share(sweep.id, piece) else {
                continue;
            };
            let facts = sweep.facts(piece, value);
            let then = judge.run(&facts);
            all += share;
            for index in self.rules.open() {
                if then[index] != Verdict::Open {
                    sum += share * self.book.rules[index].urgency.weight();
                    settles.push(index);
                }
            }
        }
        arrange(&mut settles, Ord::cmp);
        settles.dedup();
        let urgency = |index: &usize| self.book.rules[*index].urgency;
        arrange(&mut settles, |a, b| urgency(a).cmp(&urgency(b)));
        (!settles.is_empty() && all > 0.0).then(|| NextTest {
            fact: column.name.clone(),
            label: column.label.clone(),
            ask: column.ask.clone(),
            how: column.how.clone(),
            group: column.group.clone(),
            score: sum / all / column.effort,
            settles: settles
                .iter()
                .map(|index| self.book.rules[*index].name.clone())
                .collect(),
        })
    }

    /// How much of what is possible a piece holds, and a value in it.
    fn share(&self, id: ColumnId, piece: Piece) -> Option<(f64, f64)> {
        match (piece, self.set(id)) {
            (Piece::Numbers { first, last }, Set::Number(possible)) => {
                let Interval { lo, hi } = possible.meet(Interval {
                    lo: first,
                    hi: last,
                })?;
                let width = possible.hi - possible.lo;
                let share = if width.is_finite() && width > 0.0 {
                    (hi - lo) / width
                } else {
                    1.0
                };
                Some((share, lo + (hi - lo) / 2.0))
            }
            (Piece::Option(option), Set::Choice(mask)) => {
                (mask >> option & 1 == 1).then_some((1.0, 0.0))
            }
            (Piece::Presence { option, .. }, Set::Several { surely, maybe }) => {
                ((maybe & !surely) >> option & 1 == 1).then_some((1.0, 0.0))
            }
            _ => None,
        }
    }
}
