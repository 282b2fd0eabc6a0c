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

use super::expr::compile::ColumnId;
use super::set::Set;
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
    /// For each of them the rows that it leaves unsure.
    unsure: Vec<u64>,
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
            unsure,
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
        unsure.resize(pending.len() * self.words, 0);
        for (index, unsure) in pending
            .iter()
            .zip(unsure.chunks_exact_mut(self.words.max(1)))
        {
            let track = &self.tracks[*index as usize];
            let set = sets[track.id.0 as usize];
            track
                .table
                .spread(set, spans[*index as usize], unsure, possibly);
            for (row, unsure) in surely.iter_mut().zip(unsure) {
                *row &= !*unsure;
            }
        }
        verdicts.count = self.rules;
        self.gather(surely, &mut verdicts.surely);
        self.gather(possibly, &mut verdicts.possibly);
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

    /// Tracks that left some row unsure for this target in the last run.
    pub fn reasons<'s>(
        &'s self,
        target: usize,
        run: &'s Scratch,
    ) -> impl Iterator<Item = ColumnId> + 's {
        let words = self.words.max(1);
        let bit = |rows: &[u64], row: usize| rows[row / 64] >> (row % 64) & 1 == 1;
        let open = run.verdicts.at(target) == super::set::Verdict::Open;
        let unsure = run.unsure.chunks_exact(words).zip(&run.pending);
        let leaves = move |unsure: &[u64]| {
            self.rows_of(target)
                .any(|row| bit(&run.possibly, row) && bit(unsure, row))
        };
        unsure
            .filter(move |(unsure, _)| open && leaves(unsure))
            .map(|(_, track)| self.column(*track))
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
