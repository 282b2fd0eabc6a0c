//! All conditions of a book as tables over its facts, so that one pass over the facts judges every rule.
//!
//! The normal form ([`super::normal`]) is the definition: a condition is a list of rows, a row one set of allowed
//! values a fact. Here every row is a bit. Between two neighbouring thresholds of a number, and on each of them, every
//! comparison has one answer, so a fact strikes the same rows wherever it lies within such a bucket. A known fact is
//! one look-up and one `and` for all rows; an interval is a look-up at each end, which gives the rows that surely fit
//! and those that possibly do.

mod build;
mod flip;
mod ground;
mod table;
mod verdicts;
mod worth;

pub(crate) use build::Builder;
pub(crate) use flip::FlipScratch;
pub use flip::Turn;
pub(crate) use ground::RawGround;
pub use verdicts::Verdicts;

use std::collections::BTreeSet;

use super::expr::compile::ColumnId;
use super::normal::Allowed;
use super::set::{Set, Verdict};
use table::{Span, Table};
use verdicts::bits;

/// The tables of a book.
#[derive(Debug, Default)]
pub(crate) struct Kernel {
    /// Rules; the needs of gates are targets behind them.
    rules: usize,
    /// Words that hold the first row of every target.
    heads: usize,
    /// Words that hold all rows.
    words: usize,
    /// Rows that there are; a condition that can never hold has none.
    alive: Box<[u64]>,
    /// Targets with more than one row.
    several: Box<[u64]>,
    /// The target of each row beyond a first, ascending.
    extra: Box<[u32]>,
    tracks: Box<[Track]>,
    /// Where the cells of each row start.
    first_cell: Box<[u32]>,
    cells: Box<[Cell]>,
    /// Sets of options that cells speak of.
    masks: Box<[u128]>,
}

/// One fact that rows look at.
#[derive(Debug)]
struct Track {
    id: ColumnId,
    table: Table,
    /// Where the values lie that the vocabulary allows.
    whole: Span,
}

/// What a row allows of one fact: first and last bucket of a number, or the places of sets of options.
#[derive(Debug, Clone, Copy)]
struct Cell {
    track: u32,
    from: u32,
    to: u32,
}

/// What one pass leaves behind.
#[derive(Debug, Default)]
pub(crate) struct Scratch {
    pub verdicts: Verdicts,
    /// Where each track's values lie.
    spans: Vec<Span>,
    /// Rows that surely fit all facts, and those that possibly do.
    surely: Vec<u64>,
    possibly: Vec<u64>,
    /// Tracks that are not known well enough to decide all rows.
    pending: Vec<u32>,
}

impl Kernel {
    /// Judges every target on these sets.
    pub fn run(&self, sets: &[Set], scratch: &mut Scratch) {
        let Scratch {
            verdicts,
            spans,
            surely,
            possibly,
            pending,
        } = scratch;
        possibly.clear();
        possibly.extend_from_slice(&self.alive);
        spans.resize(self.tracks.len(), Span::default());
        pending.clear();
        for (index, (track, span)) in self.tracks.iter().zip(spans.iter_mut()).enumerate() {
            if !track
                .table
                .settle(sets[track.id.0 as usize], span, possibly)
            {
                pending.push(index as u32);
            }
        }
        surely.clear();
        surely.extend_from_slice(possibly);
        for index in pending.iter() {
            let track = &self.tracks[*index as usize];
            let (set, span) = (sets[track.id.0 as usize], spans[*index as usize]);
            track.table.strike(set, span, surely, true);
            track.table.strike(set, span, possibly, false);
        }
        verdicts.count = self.rules;
        self.gather(surely, &mut verdicts.surely);
        self.gather(possibly, &mut verdicts.possibly);
    }

    /// The track of a column, if any row looks at it.
    pub fn track(&self, id: ColumnId) -> Option<u32> {
        let found = self.tracks.binary_search_by_key(&id, |track| track.id);
        found.ok().map(|at| at as u32)
    }

    /// Whether a target has a test of one of some tracks.
    pub fn looks_at(&self, target: usize, tracks: &[u32]) -> bool {
        let mut cells = self.rows_of(target).flat_map(|row| self.cells_of(row));
        cells.any(|cell| tracks.contains(&cell.track))
    }

    /// Finds where the values of some tracks lie.
    pub fn place(&self, tracks: &[u32], sets: &[Set], run: &mut Scratch) {
        for track in tracks {
            let Track { id, table, .. } = &self.tracks[*track as usize];
            if let (Table::Numbers(numbers), Set::Number(values)) = (table, sets[id.0 as usize]) {
                run.spans[*track as usize] = numbers.span(values);
            }
        }
    }

    /// The verdict of one target where the values now lie, test by test.
    pub fn verdict(&self, target: usize, sets: &[Set], run: &Scratch) -> Verdict {
        let row = |row: usize| {
            let tests = self.cells_of(row).iter();
            tests.fold(Verdict::Holds, |sum, cell| {
                sum.and(self.test(cell, sets, run))
            })
        };
        self.rows_of(target)
            .map(row)
            .fold(Verdict::Fails, Verdict::or)
    }

    /// What one test of a row comes to.
    fn test(&self, cell: &Cell, sets: &[Set], run: &Scratch) -> Verdict {
        let track = &self.tracks[cell.track as usize];
        match (&track.table, sets[track.id.0 as usize]) {
            (Table::Numbers(_), Set::Number(_)) => {
                run.spans[cell.track as usize].within(cell.from, cell.to)
            }
            (Table::Numbers(_), _) => Verdict::Open,
            (_, set @ Set::Several { .. }) => {
                let (with, without) = self.several(cell);
                Allowed::Several { with, without }.verdict(set)
            }
            (_, set) => set.is_one_of(self.mask(cell.from)),
        }
    }

    /// Facts that leave a target open in the last run.
    pub fn reasons(&self, target: usize, sets: &[Set], run: &Scratch) -> BTreeSet<ColumnId> {
        if run.verdicts.at(target) != Verdict::Open {
            return BTreeSet::new();
        }
        self.rows_of(target)
            .filter(|row| has(&run.possibly, *row))
            .flat_map(|row| self.cells_of(row))
            .filter(|cell| self.test(cell, sets, run) == Verdict::Open)
            .map(|cell| self.column(cell.track))
            .collect()
    }

    /// The column of a track.
    pub fn column(&self, track: u32) -> ColumnId {
        self.tracks[track as usize].id
    }

    /// The thresholds that any rule compares a number with, ascending.
    pub fn cuts(&self, id: ColumnId) -> &[f64] {
        let found = self.tracks.binary_search_by_key(&id, |track| track.id);
        match found.map(|at| &self.tracks[at].table) {
            Ok(Table::Numbers(numbers)) => &numbers.cuts,
            _ => &[],
        }
    }

    fn mask(&self, place: u32) -> u128 {
        self.masks[place as usize]
    }

    /// The options a row wants among several, and those it does not.
    fn several(&self, cell: &Cell) -> (u128, u128) {
        (self.mask(cell.from), self.mask(cell.to))
    }

    /// From rows to targets: one of its rows is enough.
    fn gather(&self, rows: &[u64], targets: &mut Vec<u64>) {
        targets.clear();
        targets.extend_from_slice(&rows[..self.heads]);
        for (at, word) in rows[self.heads..].iter().enumerate() {
            for bit in bits(*word) {
                let target = self.extra[at * 64 + bit] as usize;
                targets[target / 64] |= 1 << (target % 64);
            }
        }
    }
}

/// Whether a row is among some.
fn has(rows: &[u64], row: usize) -> bool {
    rows[row / 64] >> (row % 64) & 1 == 1
}
