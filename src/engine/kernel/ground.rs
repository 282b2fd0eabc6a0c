//! What a verdict rests on, as numbers: the cheapest form of evidence.

use std::hint::select_unpredictable;

use super::super::set::{Interval, Set, Verdict};
use super::rows::has;
use super::table::Span;
use super::{Cell, Kernel, Kind, Scratch, verdict};

/// One test behind a verdict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RawGround {
    pub track: u32,
    pub verdict: Verdict,
    pub threshold: Option<f64>,
    pub margin: f64,
}

/// Where a fact lies in a run.
#[derive(Debug)]
pub(crate) struct Gauge {
    values: Interval,
    span: Span,
    /// The first threshold of a number.
    first_cut: Option<u32>,
}

impl Kernel {
    /// Finds what the verdicts of all rules rest on: a row that holds of every rule that does, and each row that may of
    /// every open one. Rows stand behind their rules. And finds where every fact lies.
    pub fn basis(&self, sets: &[Set], run: &Scratch, basis: &mut Basis) {
        let Basis { rows, gauges } = basis;
        rows.clear();
        let words = run.verdicts.possibly.iter().zip(&self.several);
        for (word, (possibly, several)) in words.enumerate() {
            let plain = self.rules_of(word, possibly & !several);
            rows.extend(plain.map(|target| [target as u32; 2]));
            for target in self.rules_of(word, possibly & several) {
                self.rows_behind(target, run, rows);
            }
        }
        gauges.clear();
        gauges.extend((0..self.tracks.len()).map(|track| self.gauge(track, sets, run)));
    }

    fn rows_behind(&self, target: usize, run: &Scratch, found: &mut Vec<[u32; 2]>) {
        let mut note = |row: usize| found.push([target as u32, row as u32]);
        let mut rows = self.rows_of(target);
        if run.verdicts.at(target) == Verdict::Holds {
            let row = rows.find(|row| has(&run.pass.surely.rows, *row));
            row.into_iter().for_each(note);
        } else {
            let rows = rows.filter(|row| has(&run.pass.possibly.rows, *row));
            rows.for_each(&mut note);
        }
    }

    fn gauge(&self, track: usize, sets: &[Set], run: &Scratch) -> Gauge {
        let set = &sets[self.columns[track].0 as usize];
        let numbers = self.scales.of(track as u32);
        Gauge {
            values: set.interval(),
            span: run.spans[track],
            first_cut: numbers
                .filter(|_| matches!(set, Set::Number(_)))
                .map(|numbers| numbers.first_cut),
        }
    }

    /// The tests of a row that holds or may hold.
    #[inline]
    pub fn grounds<'a>(
        &'a self,
        row: u32,
        sets: &'a [Set],
        basis: &'a Basis,
    ) -> impl Iterator<Item = RawGround> + 'a {
        let cells = self.cells_of(row as usize).iter();
        cells.map(|cell| self.ground(cell, sets, &basis.gauges[cell.track as usize]))
    }

    #[inline(always)]
    fn ground(&self, cell: &Cell, sets: &[Set], gauge: &Gauge) -> RawGround {
        let track = cell.track;
        let (mut threshold, mut margin) = (None, 0.0);
        let verdict = match (cell.kind, gauge.first_cut) {
            (Kind::Number, Some(first)) => {
                (threshold, margin) = self.edge(first, cell, gauge.values);
                let Span { low, high } = gauge.span;
                verdict((cell.from <= low) & (high <= cell.to), false)
            }
            (Kind::Number, None) => Verdict::Open,
            (Kind::Bits, _) => verdict(gauge.span.low & !cell.from == 0, false),
            _ => self.test_set(cell, &sets[self.column(track).0 as usize]),
        };
        RawGround {
            track,
            verdict,
            threshold,
            margin,
        }
    }

    /// The nearest threshold, and how far the possible values lie within it; negative where they reach beyond.
    #[inline(always)]
    fn edge(&self, first_cut: u32, cell: &Cell, values: Interval) -> (Option<f64>, f64) {
        let [low, high] = self.scales.edges(first_cut, cell.from, cell.to);
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

/// What verdicts rest on.
#[derive(Debug, Default)]
pub(crate) struct Basis {
    /// Rules, each with a row that it rests on.
    pub rows: Vec<[u32; 2]>,
    /// By track.
    gauges: Vec<Gauge>,
}
