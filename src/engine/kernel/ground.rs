//! What a verdict rests on, as numbers: the cheapest form of evidence.

use super::super::set::{Interval, Set, Verdict};
use super::rows::has;
use super::table::Numbers;
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
        for target in run.verdicts.possible() {
            let many = self.is_several(target);
            if run.verdicts.at(target) == Verdict::Holds {
                let mut rows = self.rows_of(target);
                let row = if many {
                    rows.find(|row| has(&run.pass.surely.rows, *row))
                } else {
                    Some(target)
                };
                row.into_iter()
                    .for_each(|row| self.ground(target, row, sets, run, found));
            } else if many {
                self.rows_of(target)
                    .filter(|row| has(&run.pass.possibly.rows, *row))
                    .for_each(|row| self.ground(target, row, sets, run, found));
            } else {
                self.ground(target, target, sets, run, found);
            }
        }
    }

    fn ground(
        &self,
        target: usize,
        row: usize,
        sets: &[Set],
        run: &Scratch,
        found: &mut Vec<RawGround>,
    ) {
        for cell in self.cells_of(row) {
            let track = &self.tracks[cell.track as usize];
            let (threshold, margin) = match (self.scales.of(cell.track), sets[track.id.0 as usize])
            {
                (Some(numbers), Set::Number(values)) => self.edge(numbers, cell, values),
                _ => (None, 0.0),
            };
            found.push(RawGround {
                target: target as u32,
                track: cell.track,
                verdict: self.test(cell, sets, &run.spans),
                threshold,
                margin,
            });
        }
    }

    /// The nearest threshold, and how far the possible values lie within it; negative where they reach beyond.
    fn edge(&self, numbers: &Numbers, cell: &Cell, values: Interval) -> (Option<f64>, f64) {
        let cut = |bucket: u32| self.scales.cut(numbers, bucket);
        let low = (cell.from > 0).then(|| cut(cell.from - 1));
        let high = (cell.to < numbers.last()).then(|| cut(cell.to));
        let below = low.map_or(f64::INFINITY, |low| values.lo - low);
        let above = high.map_or(f64::INFINITY, |high| high - values.hi);
        if below <= above {
            (low, below)
        } else {
            (high, above)
        }
    }
}
