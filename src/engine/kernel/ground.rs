//! What a verdict rests on, as numbers: the cheapest form of evidence.

use super::super::set::{Set, Verdict};
use super::table::Table;
use super::verdicts::ones;
use super::{Cell, Kernel, Scratch};

/// One test behind a verdict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RawGround {
    pub target: u32,
    pub track: u32,
    pub verdict: Verdict,
    pub threshold: Option<f64>,
    pub margin: f64,
}

impl Kernel {
    /// For every rule that holds the tests of a row that does; for every open one the tests of each row that may.
    pub fn grounds(&self, sets: &[Set], run: &Scratch, found: &mut Vec<RawGround>) {
        found.clear();
        for target in ones(&run.verdicts.possibly, self.rules) {
            let bit = |rows: &[u64], row: usize| rows[row / 64] >> (row % 64) & 1 == 1;
            let many = bit(&self.several, target);
            if run.verdicts.at(target) == Verdict::Holds {
                let mut rows = self.rows_of(target);
                let row = if many {
                    rows.find(|row| bit(&run.surely, *row))
                } else {
                    Some(target)
                };
                row.into_iter()
                    .for_each(|row| self.ground(target, row, sets, found));
            } else if many {
                self.rows_of(target)
                    .filter(|row| bit(&run.possibly, *row))
                    .for_each(|row| self.ground(target, row, sets, found));
            } else {
                self.ground(target, target, sets, found);
            }
        }
    }

    fn ground(&self, target: usize, row: usize, sets: &[Set], found: &mut Vec<RawGround>) {
        for cell in self.cells_of(row) {
            let track = &self.tracks[cell.track as usize];
            let set = sets[track.id.0 as usize];
            let (verdict, threshold, margin) = self.test(&track.table, cell, set);
            found.push(RawGround {
                target: target as u32,
                track: cell.track,
                verdict,
                threshold,
                margin,
            });
        }
    }

    /// Verdict, nearest threshold, and how far the possible values lie within it; negative where they reach beyond.
    fn test(&self, table: &Table, cell: &Cell, set: Set) -> (Verdict, Option<f64>, f64) {
        match (table, set) {
            (Table::Numbers(numbers), Set::Number(values)) => {
                let span = numbers.span(values);
                let verdict = if span.low >= cell.from && span.high <= cell.to {
                    Verdict::Holds
                } else if span.high < cell.from || span.low > cell.to {
                    Verdict::Fails
                } else {
                    Verdict::Open
                };
                let cut = |bucket: u32| numbers.cuts[bucket as usize / 2];
                let low = (cell.from > 0).then(|| cut(cell.from - 1));
                let high = (cell.to < numbers.last()).then(|| cut(cell.to));
                let below = low.map_or(f64::INFINITY, |low| values.lo - low);
                let above = high.map_or(f64::INFINITY, |high| high - values.hi);
                if below <= above {
                    (verdict, low, below)
                } else {
                    (verdict, high, above)
                }
            }
            (_, Set::Several { .. }) => {
                let (with, without) = self.several(cell);
                let allowed = super::super::normal::Allowed::Several { with, without };
                (allowed.verdict(set), None, 0.0)
            }
            (Table::Numbers(_), _) => (Verdict::Open, None, 0.0),
            _ => (set.is_one_of(self.mask(cell.from)), None, 0.0),
        }
    }
}
