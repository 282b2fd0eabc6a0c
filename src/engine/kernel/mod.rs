//! All conditions of a book as tables over its facts, so that one pass over the facts judges every rule.
//!
//! The normal form ([`super::normal`]) is the definition: a condition is a list of rows, a row one set of allowed
//! values a fact. Here every row is a bit, and a target (a rule, or a need of a gate) comes out as its rows do.
//!
//! Between two neighbouring thresholds of a number, and on each of them, every comparison has one answer, so a fact
//! strikes the same rows wherever it lies within such a bucket. For each fact ([`Track`]) a [`Table`] knows the rows
//! that are left at every bucket or option. Two sets of rows are kept: those that possibly fit, and those that surely
//! do. A pass goes like this:
//!
//! 1. Each fact names masks of rows to keep; the rows between two masks of a [`Ladder`] are struck one by one. A fact
//!    that is known names the same for both sets; one that is not, different ones; one of which nothing is known has
//!    its masks ready.
//! 2. All masks are applied at once ([`rows::keep_all`]).
//! 3. Facts that few rows look at have no masks. Their tests are made one by one, on rows that nothing else has struck;
//!    how two numbers lie to one another is worked out only then.
//! 4. The rows beyond the first of a target are joined to it.
//!
//! What else is asked of a run looks at single tests: every row has its cells, each a fact with its first and last
//! allowed bucket, or its allowed options.

mod build;
mod flip;
mod ground;
mod rows;
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
use super::normal::{Allowed, order};
use super::set::{Set, Verdict};
use rows::{ALL, BLOCK, Block, has, keep, keep_all, ones, strike};
use table::{Ladder, Span, Table};

/// The tables of a book.
#[derive(Debug, Default)]
pub(crate) struct Kernel {
    /// Rules; the needs of gates are targets behind them.
    rules: usize,
    /// Words that hold the first row of every target; the rows beyond stand behind these.
    heads: usize,
    /// Blocks that hold all rows.
    blocks: usize,
    /// Rows that there are; a condition that can never hold has none.
    alive: Box<[Block]>,
    /// Targets with more than one row.
    several: Box<[u64]>,
    /// The target of each row beyond a first, ascending.
    extra: Box<[u32]>,
    tracks: Box<[Track]>,
    /// Tracks that a pass goes through: all with masks, and all numbers.
    passed: Box<[u32]>,
    /// Rows with a test of a track without masks.
    tested: Box<[Block]>,
    /// All masks, one after the other.
    masks: Box<[Block]>,
    /// The rows of all ladders, one ladder after the other.
    rungs: Box<[u32]>,
    /// The binary logarithm of the number of rungs between two masks of a ladder.
    spacing: u32,
    /// Where the cells of each row start.
    first_cell: Box<[u32]>,
    cells: Box<[Cell]>,
    /// Sets of options that cells speak of.
    options: Box<[u128]>,
}

/// One fact that rows look at.
#[derive(Debug)]
struct Track {
    id: ColumnId,
    /// The two numbers whose order this is.
    order: Option<(ColumnId, ColumnId)>,
    table: Table,
    whole: Whole,
}

/// What is so while nothing is known of a fact.
#[derive(Debug)]
struct Whole {
    range: Set,
    /// The mask of the rows that surely fit, and of those that possibly do, if any does not.
    surely: u32,
    possibly: Option<u32>,
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
    surely: Fit,
    possibly: Fit,
    /// Whether the two differ.
    is_open: bool,
}

/// Rows that fit, some already struck and the rest by the masks at some places.
#[derive(Debug, Default)]
struct Fit {
    rows: Vec<Block>,
    masks: Vec<u32>,
    /// Masks of which a row must be in one: where those of a choice start, how many, and which.
    any: Vec<(u32, u32, u128)>,
}

impl Fit {
    fn begin(&mut self, rows: impl Iterator<Item = Block>) {
        self.rows.clear();
        self.rows.extend(rows);
        self.masks.clear();
        self.any.clear();
    }

    /// Applies the masks.
    fn close(&mut self, masks: &[Block]) {
        keep_all(&mut self.rows, masks, &self.masks);
        let blocks = self.rows.len();
        for (first, count, options) in &self.any {
            for (at, rows) in self.rows.iter_mut().enumerate() {
                let mut any = [0; 8];
                for option in each(*options) {
                    let mask = masks[*first as usize + option.min(*count as usize) * blocks + at];
                    any.iter_mut()
                        .zip(mask)
                        .for_each(|(any, mask)| *any |= mask);
                }
                rows.iter_mut().zip(any).for_each(|(row, any)| *row &= any);
            }
        }
    }
}

impl Kernel {
    /// Judges every target on these sets.
    pub fn run(&self, sets: &[Set], run: &mut Scratch) {
        let Scratch {
            verdicts,
            spans,
            surely,
            possibly,
            is_open,
        } = run;
        possibly.begin(self.alive.iter().copied());
        surely.begin(std::iter::repeat_n(ALL, self.blocks));
        spans.resize(self.tracks.len(), Span::default());
        *is_open = false;
        for index in &self.passed {
            let index = *index as usize;
            let track = &self.tracks[index];
            let set = self.set(track, sets);
            let known = track.place(set, &mut spans[index]);
            self.fit(index, set, spans[index], false, possibly);
            if !known {
                *is_open = true;
                self.fit(index, set, spans[index], true, surely);
            }
        }
        possibly.close(&self.masks);
        if *is_open {
            surely.close(&self.masks);
            keep(&mut surely.rows, &possibly.rows);
        } else {
            surely.rows.copy_from_slice(&possibly.rows);
        }
        *is_open |= self.test_few(sets, spans, &mut surely.rows, &mut possibly.rows);
        verdicts.count = self.rules;
        self.gather(&possibly.rows, &mut verdicts.possibly);
        if *is_open {
            self.gather(&surely.rows, &mut verdicts.surely);
        } else {
            verdicts.surely.clone_from(&verdicts.possibly);
        }
    }

    /// The possible values of a track.
    fn set(&self, track: &Track, sets: &[Set]) -> Set {
        let set = |id: ColumnId| sets[id.0 as usize];
        match track.order {
            None => set(track.id),
            Some((left, right)) => order(set(left).interval(), set(right).interval()),
        }
    }

    /// Keeps the rows that the values of one track possibly fit, or, being strict, surely do. Tracks without masks keep
    /// all.
    fn fit(&self, index: usize, set: Set, span: Span, strict: bool, fit: &mut Fit) {
        let Track { table, whole, .. } = &self.tracks[index];
        match (table, set) {
            (Table::Few, _) | (Table::Numbers(table::Numbers { ladders: None, .. }), _) => {}
            _ if set == whole.range => {
                let masks = if strict {
                    Some(whole.surely)
                } else {
                    whole.possibly
                };
                fit.masks.extend(masks);
            }
            (Table::Numbers(numbers), Set::Number(_)) => {
                let (reach, begin) = match strict {
                    true => (span.high, span.low),
                    false => (span.low, span.high),
                };
                if let Some([ended, ahead]) = &numbers.ladders {
                    self.climb(ended, reach, fit);
                    self.climb(ahead, numbers.last() - begin, fit);
                }
            }
            (Table::Options { first, count }, Set::Choice(options)) => {
                let place =
                    |option: usize| first + (option as u32).min(*count) * self.blocks as u32;
                if strict || options.count_ones() == 1 {
                    fit.masks.extend(each(options).map(place));
                } else if options != 0 {
                    fit.any.push((*first, *count, options));
                }
            }
            (Table::Several(all), Set::Several { surely, maybe }) => {
                for asked in all {
                    let (surely, maybe) = (surely >> asked.option & 1, maybe >> asked.option & 1);
                    if surely == 1 || strict && maybe == 1 {
                        fit.masks.push(asked.present);
                    }
                    if maybe == 0 || strict && surely == 0 {
                        fit.masks.push(asked.absent);
                    }
                }
            }
            // A set of another kind than the fact's leaves every test open.
            _ if strict => {
                let looks = |row: &usize| {
                    self.cells_of(*row)
                        .iter()
                        .any(|cell| cell.track as usize == index)
                };
                let rows = 0..self.blocks * BLOCK;
                rows.filter(looks)
                    .for_each(|row| strike(&mut fit.rows, row));
            }
            _ => {}
        }
    }

    /// Strikes the rows of a ladder that are gone at a bucket, or names the mask that does.
    fn climb(&self, ladder: &Ladder, bucket: u32, fit: &mut Fit) {
        let gone = ladder.gone[bucket as usize];
        let steps = gone >> self.spacing;
        if steps > 0 {
            fit.masks
                .push(ladder.masks + (steps - 1) * self.blocks as u32);
        }
        let rungs = &self.rungs[ladder.rows as usize..];
        for row in &rungs[(steps << self.spacing) as usize..gone as usize] {
            strike(&mut fit.rows, *row as usize);
        }
    }

    /// Makes the tests of tracks without masks. Tells whether one of them leaves its row open.
    fn test_few(
        &self,
        sets: &[Set],
        spans: &[Span],
        surely: &mut [Block],
        possibly: &mut [Block],
    ) -> bool {
        let mut open = false;
        for block in 0..self.blocks {
            for word in 0..8 {
                for bit in rows::bits(possibly[block][word] & self.tested[block][word]) {
                    let row = block * BLOCK + word * 64 + bit;
                    let few = self
                        .cells_of(row)
                        .iter()
                        .filter(|cell| !self.has_masks(cell.track));
                    let verdict = few.fold(Verdict::Holds, |sum, cell| {
                        sum.and(self.test(cell, sets, spans))
                    });
                    match verdict {
                        Verdict::Holds => {}
                        Verdict::Open => {
                            surely[block][word] &= !(1 << bit);
                            open = true;
                        }
                        Verdict::Fails => {
                            surely[block][word] &= !(1 << bit);
                            possibly[block][word] &= !(1 << bit);
                        }
                    }
                }
            }
        }
        open
    }

    fn has_masks(&self, track: u32) -> bool {
        match &self.tracks[track as usize].table {
            Table::Numbers(numbers) => numbers.ladders.is_some(),
            Table::Options { .. } | Table::Several(_) => true,
            Table::Few => false,
        }
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
        for index in tracks {
            let track = &self.tracks[*index as usize];
            track.place(self.set(track, sets), &mut run.spans[*index as usize]);
        }
    }

    /// The verdict of one target where the values now lie, test by test.
    pub fn verdict(&self, target: usize, sets: &[Set], run: &Scratch) -> Verdict {
        let row = |row: usize| {
            let tests = self.cells_of(row).iter();
            tests.fold(Verdict::Holds, |sum, cell| {
                sum.and(self.test(cell, sets, &run.spans))
            })
        };
        self.rows_of(target)
            .map(row)
            .fold(Verdict::Fails, Verdict::or)
    }

    /// What one test of a row comes to.
    fn test(&self, cell: &Cell, sets: &[Set], spans: &[Span]) -> Verdict {
        let track = &self.tracks[cell.track as usize];
        match (&track.table, self.set(track, sets)) {
            (Table::Numbers(_), Set::Number(_)) => {
                spans[cell.track as usize].within(cell.from, cell.to)
            }
            (Table::Numbers(_), _) => Verdict::Open,
            (_, set @ Set::Several { .. }) => {
                let (with, without) = self.wanted(cell);
                Allowed::Several { with, without }.verdict(set)
            }
            (_, set) => set.is_one_of(self.allowed(cell)),
        }
    }

    /// Facts that leave a target open in the last run.
    pub fn reasons(&self, target: usize, sets: &[Set], run: &Scratch) -> BTreeSet<ColumnId> {
        if run.verdicts.at(target) != Verdict::Open {
            return BTreeSet::new();
        }
        self.rows_of(target)
            .filter(|row| has(&run.possibly.rows, *row))
            .flat_map(|row| self.cells_of(row))
            .filter(|cell| self.test(cell, sets, &run.spans) == Verdict::Open)
            .map(|cell| self.column(cell.track))
            .collect()
    }

    /// The column of a track.
    pub fn column(&self, track: u32) -> ColumnId {
        self.tracks[track as usize].id
    }

    /// The thresholds that any rule compares a number with, ascending.
    pub fn cuts(&self, id: ColumnId) -> &[f64] {
        match self.track(id).map(|at| &self.tracks[at as usize].table) {
            Some(Table::Numbers(numbers)) => numbers.cuts(),
            _ => &[],
        }
    }

    /// The options that a row allows.
    fn allowed(&self, cell: &Cell) -> u128 {
        self.options[cell.from as usize]
    }

    /// The options a row wants among several, and those it does not.
    fn wanted(&self, cell: &Cell) -> (u128, u128) {
        (
            self.options[cell.from as usize],
            self.options[cell.to as usize],
        )
    }

    /// The rows of a target.
    fn rows_of(&self, target: usize) -> impl Iterator<Item = usize> + '_ {
        let is_many = self.several[target / 64] >> (target % 64) & 1 == 1;
        let extra = if is_many { &*self.extra } else { &[] };
        let first = extra.partition_point(|other| (*other as usize) < target);
        let more = extra[first..]
            .iter()
            .take_while(move |other| **other as usize == target);
        let heads = self.heads * 64;
        std::iter::once(target)
            .filter(|row| has(&self.alive, *row))
            .chain(more.enumerate().map(move |(nth, _)| heads + first + nth))
    }

    fn cells_of(&self, row: usize) -> &[Cell] {
        &self.cells[self.first_cell[row] as usize..self.first_cell[row + 1] as usize]
    }

    /// Whether a target has more than one row.
    fn is_several(&self, target: usize) -> bool {
        self.several[target / 64] >> (target % 64) & 1 == 1
    }

    /// From rows to targets: one of its rows is enough.
    fn gather(&self, rows: &[Block], targets: &mut Vec<u64>) {
        let words = rows.as_flattened();
        targets.clear();
        targets.extend_from_slice(&words[..self.heads]);
        for nth in ones(&words[self.heads..]) {
            let target = self.extra[nth] as usize;
            targets[target / 64] |= 1 << (target % 64);
        }
    }
}

impl Track {
    /// Finds where the values lie. Whether they decide all rows with masks.
    fn place(&self, set: Set, span: &mut Span) -> bool {
        match (&self.table, set) {
            (Table::Numbers(numbers), Set::Number(values)) => {
                *span = if set == self.whole.range {
                    numbers.whole
                } else {
                    numbers.span(values)
                };
                span.is_known() || numbers.ladders.is_none()
            }
            (Table::Options { .. }, Set::Choice(options)) => options.count_ones() == 1,
            (Table::Several(_), Set::Several { surely, maybe }) => surely == maybe,
            (Table::Few, _) => true,
            _ => false,
        }
    }
}

/// The options of a set.
fn each(mut options: u128) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let option = options.trailing_zeros() as usize;
        options &= options.wrapping_sub(1);
        (option < 128).then_some(option)
    })
}
