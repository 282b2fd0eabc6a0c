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
    /// Of what is no number, what compares with nothing.
    values: Interval,
    span: Span,
    /// The margin of a test that no threshold bounds.
    free: f64,
}

impl Kernel {
    /// Finds what the verdicts of all rules rest on: a row that holds of every rule that does, and each row that may of
    /// every open one. Rows stand behind their rules. And finds where every fact lies.
    pub fn basis(&self, sets: &[Set], run: &Scratch, basis: &mut Basis) {
        let Basis {
            rows,
            gauges,
            edges,
        } = basis;
        if edges.is_empty() {
            *edges = self.cells.iter().map(|cell| self.edges(cell)).collect();
        }
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
        let (lo, hi) = (f64::NAN, f64::NAN);
        let (values, free) = match sets[self.columns[track].0 as usize] {
            Set::Number(values) if self.scales.of(track as u32).is_some() => {
                (values, f64::INFINITY)
            }
            _ => (Interval { lo, hi }, 0.0),
        };
        Gauge {
            values,
            span: run.spans[track],
            free,
        }
    }

    /// The thresholds that bound what a test allows, or what compares with nothing.
    fn edges(&self, cell: &Cell) -> [f64; 2] {
        match self.scales.of(cell.track) {
            Some(numbers) if cell.kind == Kind::Number => {
                self.scales.edges(numbers.first_cut, cell.from, cell.to)
            }
            _ => [f64::NAN; 2],
        }
    }

    /// The tests of a row that holds or may hold.
    #[inline(always)]
    pub fn grounds<'a>(
        &'a self,
        row: u32,
        sets: &'a [Set],
        basis: &'a Basis,
    ) -> impl Iterator<Item = RawGround> + 'a {
        let (from, to) = (
            self.first_cell[row as usize],
            self.first_cell[row as usize + 1],
        );
        let tests = from as usize..to as usize;
        let cells = self.cells[tests.clone()].iter().zip(&basis.edges[tests]);
        cells.map(|(cell, edges)| {
            self.ground(cell, *edges, sets, &basis.gauges[cell.track as usize])
        })
    }

    /// What a test that does not fail comes to, with the nearest threshold and how far the possible values lie within
    /// it; negative where they reach beyond.
    #[inline(always)]
    fn ground(&self, cell: &Cell, [low, high]: [f64; 2], sets: &[Set], gauge: &Gauge) -> RawGround {
        let (below, above) = (gauge.values.lo - low, high - gauge.values.hi);
        let is_high = (above < below) | below.is_nan();
        let threshold = select_unpredictable(is_high, high, low);
        let margin = select_unpredictable(is_high, above, below);
        let is_bounded = !margin.is_nan();
        let verdict = match cell.kind {
            Kind::Number | Kind::Bits => verdict(cell.sides(gauge.span).0, false),
            _ => self.test_set(cell, &sets[self.column(cell.track).0 as usize]),
        };
        RawGround {
            track: cell.track,
            verdict,
            threshold: is_bounded.then_some(threshold),
            margin: select_unpredictable(is_bounded, margin, gauge.free),
        }
    }
}

/// What verdicts rest on.
#[derive(Debug, Default)]
pub(crate) struct Basis {
    /// Rules, each with a row that it rests on.
    pub rows: Vec<[u32; 2]>,
    /// By track.
    gauges: Vec<Gauge>,
    /// By test, the same in every run: found when first asked for.
    edges: Box<[[f64; 2]]>,
}
