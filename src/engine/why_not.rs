//! Why not: what keeps a rule from holding, and the smallest change that would make it hold.

use serde::Serialize;

use super::change::{Change, Direction, Standing};
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::facts::Facts;
use super::normal::Row;
use super::rank::sorted;
use super::set::Verdict;
use super::sweep::{Piece, Sweep};

/// One thing that keeps a rule from holding.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Obstacle {
    /// The fact, derived fact or series word.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// Its value.
    pub shown: String,
    /// The values it would have to have, in words and figures.
    pub needed: String,
    /// Whether it has not such a value (`fails`), or may have (`open`).
    pub verdict: Verdict,
}

/// A value one fact would have to take.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Step {
    /// The fact.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// What it is now.
    pub now: String,
    /// What it would have to be.
    pub to: String,
}

/// Why a rule does not speak.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct WhyNot {
    /// The rule.
    pub rule: String,
    /// What it comes to.
    pub standing: Standing,
    /// What keeps it from holding, in the way in which it is nearest to holding.
    pub obstacles: Vec<Obstacle>,
    /// The first day on which it would speak by time alone, if nothing else changes.
    pub on: Option<String>,
    /// Single facts that would make it speak, each with the nearest value.
    pub changes: Vec<Change>,
    /// Pairs of facts that would, where no single fact does; the first found within the bound of the search.
    pub pairs: Vec<[Step; 2]>,
}

/// How often the book is run in search of a pair.
const PAIR_RUNS: usize = 3_000;
/// How many pairs are told.
const PAIRS_TOLD: usize = 3;

impl Evaluation<'_> {
    /// Why a rule does not speak, and what would make it, among the facts that `may` names; `None` if the book has no
    /// such rule.
    #[must_use]
    pub fn why_not(&self, name: &str, may: &dyn Fn(&str) -> bool) -> Option<WhyNot> {
        let index = self.book.rule_at(name)?;
        let standing = self.state().rules[index];
        let mut changes = self.changes_of(name, may);
        changes.retain(|change| change.after == Some(Standing::Stands));
        let silent = standing != Standing::Stands;
        let on = if silent {
            self.first_day(|facts| {
                self.book.evaluate(facts).state().rules[index] == Standing::Stands
            })
        } else {
            None
        };
        let pairs = if silent && changes.is_empty() {
            self.pairs(index, may)
        } else {
            Vec::new()
        };
        Some(WhyNot {
            rule: name.to_owned(),
            standing,
            obstacles: self.obstacles(index),
            on,
            changes,
            pairs,
        })
    }

    fn obstacles(&self, index: usize) -> Vec<Obstacle> {
        let missing = |row: &&Row| {
            let verdicts = row
                .iter()
                .map(|(id, allowed)| allowed.verdict(self.set(*id)));
            verdicts.fold((0, 0), |(fails, open), verdict| match verdict {
                Verdict::Fails => (fails + 1, open),
                Verdict::Open => (fails, open + 1),
                Verdict::Holds => (fails, open),
            })
        };
        let Some(row) = self.book.rules[index]
            .body(self.book)
            .normal
            .rows
            .iter()
            .min_by_key(missing)
        else {
            return Vec::new();
        };
        row.iter()
            .map(|(id, allowed)| (id, allowed, allowed.verdict(self.set(*id))))
            .filter(|(_, _, verdict)| *verdict != Verdict::Holds)
            .map(|(id, allowed, verdict)| {
                let column = self.book.words.get(*id);
                Obstacle {
                    fact: column.name.clone(),
                    label: column.label.clone(),
                    shown: self.shown(*id),
                    needed: self.allowed_shown(*id, *allowed),
                    verdict,
                }
            })
            .collect()
    }

    /// Pairs of facts that make a rule speak, tried by the values at the edges of their pieces.
    fn pairs(&self, index: usize, may: &dyn Fn(&str) -> bool) -> Vec<[Step; 2]> {
        let cuts = self.book.cuts();
        let deciding = self.book.deciding(&self.book.rules[index].name);
        let deciding = deciding.as_deref().unwrap_or_default();
        let columns = self.book.words.columns.iter().zip(deciding).enumerate();
        let sweeps: Vec<Sweep<'_>> = columns
            .filter(|(_, (column, decides))| {
                **decides && column.is_given() && !column.date && may(&column.name)
            })
            .map(|(id, _)| Sweep::new(self, ColumnId(id as u32), &cuts, Some(deciding)))
            .collect();
        let tried: Vec<Vec<(Piece, f64)>> = sweeps.iter().map(|sweep| self.tried(sweep)).collect();
        let (mut runs, mut found) = (0, Vec::new());
        for (at, first) in sweeps.iter().enumerate() {
            for (piece, value) in &tried[at] {
                let facts = first.facts(*piece, *value);
                let moved = self.book.evaluate(&facts);
                for (other, second) in sweeps.iter().enumerate().skip(at + 1) {
                    for (second_piece, second_value) in &tried[other] {
                        runs += 1;
                        if runs > PAIR_RUNS || found.len() == PAIRS_TOLD {
                            return found;
                        }
                        let both = moved.moved(second.id, *second_piece, *second_value);
                        if self.speaks_with(index, &both) {
                            let step = |id, piece, value| self.step(id, piece, value);
                            found.push([
                                step(first.id, *piece, *value),
                                step(second.id, *second_piece, *second_value),
                            ]);
                            break;
                        }
                    }
                }
            }
        }
        found
    }

    fn speaks_with(&self, index: usize, facts: &Facts) -> bool {
        self.book.evaluate(facts).state().rules[index] == Standing::Stands
    }

    /// The values worth trying of one fact, the nearest to where it stands first.
    fn tried(&self, sweep: &Sweep<'_>) -> Vec<(Piece, f64)> {
        let now = self.set(sweep.id).interval();
        let centre = if now.lo.is_finite() && now.hi.is_finite() {
            now.lo + (now.hi - now.lo) / 2.0
        } else {
            0.0
        };
        let tried: Vec<(Piece, f64)> = sweep
            .pieces()
            .into_iter()
            .map(|piece| match piece {
                Piece::Numbers { first, last } => (piece, centre.clamp(first, last)),
                _ => (piece, 0.0),
            })
            .collect();
        sorted(tried, |a, b| {
            let distance = |value: f64| (value - centre).abs();
            distance(a.1).total_cmp(&distance(b.1))
        })
    }

    fn step(&self, id: ColumnId, piece: Piece, value: f64) -> Step {
        let column = self.book.words.get(id);
        Step {
            fact: column.name.clone(),
            label: column.label.clone(),
            now: self.shown(id),
            to: self.piece_shown(column, piece, value),
        }
    }
}

impl Change {
    /// Whether it moves the fact to a smaller or larger number.
    #[must_use]
    pub fn is_number(&self) -> bool {
        self.direction != Direction::Other
    }
}
