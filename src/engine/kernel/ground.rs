//! What a verdict rests on, as numbers: the cheapest form of evidence.

use std::hint::select_unpredictable;

use super::super::expr::compile::ColumnId;
use super::super::set::{Interval, Set, Verdict};
use super::rows::has;
use super::table::Numbers;
use super::{Cell, Kernel, Kind, Scratch};

/// One test behind a verdict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RawGround {
    pub column: ColumnId,
    pub verdict: Verdict,
    pub threshold: Option<f64>,
    pub margin: f64,
}

impl Kernel {
    /// Finds what the verdicts of all rules rest on: a row that holds of every rule that does, and each row that may of
    /// every open one. Rows stand behind their rules.
    pub fn basis(&self, run: &Scratch, found: &mut Vec<[u32; 2]>) {
        found.clear();
        for target in run.verdicts.possible() {
            let mut note = |row: usize| found.push([target as u32, row as u32]);
            if !self.is_several(target) {
                note(target);
                continue;
            }
            let mut rows = self.rows_of(target);
            if run.verdicts.at(target) == Verdict::Holds {
                let row = rows.find(|row| has(&run.pass.surely.rows, *row));
                row.into_iter().for_each(note);
            } else {
                let rows = rows.filter(|row| has(&run.pass.possibly.rows, *row));
                rows.for_each(note);
            }
        }
    }

    /// The tests of a row that holds or may hold.
    #[inline]
    pub fn grounds<'a>(
        &'a self,
        row: u32,
        sets: &'a [Set],
        run: &'a Scratch,
    ) -> impl Iterator<Item = RawGround> + 'a {
        let cells = self.cells_of(row as usize).iter();
        cells.map(|cell| self.ground(cell, sets, run))
    }

    #[inline(always)]
    fn ground(&self, cell: &Cell, sets: &[Set], run: &Scratch) -> RawGround {
        let column = self.columns[cell.track as usize];
        let (mut threshold, mut margin) = (None, 0.0);
        let verdict = match (cell.kind, &sets[column.0 as usize]) {
            (Kind::Number, Set::Number(values)) => {
                let numbers = &self.scales.numbers[cell.track as usize];
                (threshold, margin) = self.edge(numbers, cell, *values);
                let span = run.spans[cell.track as usize];
                let holds = (cell.from <= span.low) & (span.high <= cell.to);
                [Verdict::Open, Verdict::Holds][usize::from(holds)]
            }
            (Kind::Bits, _) => {
                let holds = run.spans[cell.track as usize].low & !cell.from == 0;
                [Verdict::Open, Verdict::Holds][usize::from(holds)]
            }
            _ => self.test(cell, sets, &run.spans),
        };
        RawGround {
            column,
            verdict,
            threshold,
            margin,
        }
    }

    /// The nearest threshold, and how far the possible values lie within it; negative where they reach beyond.
    #[inline(always)]
    fn edge(&self, numbers: &Numbers, cell: &Cell, values: Interval) -> (Option<f64>, f64) {
        let [low, high] = self.scales.edges(numbers, cell.from, cell.to);
        let (below, above) = (values.lo - low, high - values.hi);
        // What compares with nothing stands for no threshold.
        let is_high = (above < below) | below.is_nan();
        let threshold = select_unpredictable(is_high, high, low);
        let margin = select_unpredictable(is_high, above, below);
        if margin.is_nan() {
            return (None, f64::INFINITY);
        }
        (Some(threshold), margin)
    }
}
