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
//! 2. Facts that few rows look at have no masks. Their tests are made one by one.
//! 3. All masks are applied at once ([`rows::keep_all`]).
//! 4. The rows beyond the first of a target are joined to it.
//!
//! What else is asked of a run looks at single tests: every row has its cells, each a fact with its first and last
//! allowed bucket, or its allowed options.

mod build;
mod flip;
mod ground;
mod rows;
mod table;
mod tally;
mod turns;
mod verdicts;
mod worth;

pub(crate) use build::Builder;
pub(crate) use flip::FlipScratch;
pub(crate) use ground::Basis;
pub(crate) use turns::RawFlip;
pub use turns::Turn;
pub use verdicts::Verdicts;
pub(crate) use worth::{Chances, Room, TRIED, Tries};

use std::collections::BTreeSet;

use super::expr::compile::ColumnId;
use super::normal::{Allowed, order, order_bits};
use super::rank::distinct;
use super::set::{Set, Verdict};
use rows::{add, has, keep, keep_all, ones, strike, strike_if};
use table::{Ladders, Numbers, Options, Scales, Span, Table};

/// With masks at every four rungs or fewer, as many rungs are looked at each time: the binary logarithm.
const FEW_RUNGS: u32 = 2;

/// The tables of a book.
#[derive(Debug, Default)]
pub(crate) struct Kernel {
    /// Rules; the needs of gates are targets behind them.
    rules: usize,
    /// Words that hold the first row of every target; the rows beyond stand behind these.
    heads: usize,
    /// Words that hold all rows, in whole blocks.
    words: usize,
    /// Rows that there are; a condition that can never hold has none.
    alive: Box<[u64]>,
    /// Targets with more than one row.
    several: Box<[u64]>,
    /// How many such targets stand before each word.
    ranks: Box<[u32]>,
    /// Where the rows beyond the first start of each such target.
    more: Box<[u32]>,
    /// The target of each row beyond a first, ascending.
    extra: Box<[u32]>,
    /// First all numbers, then others with masks, and the rest.
    tracks: Box<[Track]>,
    /// Where the rest starts.
    passed: usize,
    scales: Scales,
    /// The column of each track.
    columns: Box<[ColumnId]>,
    /// The track of each column, if any row looks at it.
    by_column: Box<[Option<u32>]>,
    /// Tests of tracks without masks, each with its row: those of bits, and the rest.
    few: [Box<[(u32, Cell)]>; 2],
    /// All masks, one after the other.
    masks: Box<[u64]>,
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
    /// What the vocabulary allows.
    range: Set,
    table: Table,
    /// While nothing is known of the fact: the mask of the rows that surely fit, and of those that possibly do, if any
    /// does not.
    whole: (u32, Option<u32>),
}

/// What a row allows of one fact: first and last bucket of a number, bits of options, or the places of sets of options.
#[derive(Debug, Clone, Copy)]
struct Cell {
    track: u32,
    from: u32,
    to: u32,
    kind: Kind,
    /// Whether the masks of the fact say what this test comes to.
    is_masked: bool,
}

/// What is tested in a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Number,
    /// A choice of few options, or how two numbers lie to one another.
    Bits,
    Choice,
    Several,
}

/// What one pass leaves behind.
#[derive(Debug, Default)]
pub(crate) struct Scratch {
    pub verdicts: Verdicts,
    /// Where each number's values lie, and the bits of each choice of few options.
    spans: Vec<Span>,
    pass: Pass,
}

/// Rows that possibly fit some facts, and rows that surely do.
#[derive(Debug, Default)]
struct Pass {
    possibly: Fit,
    surely: Fit,
    /// Whether the two may differ.
    is_open: bool,
}

/// Rows that fit, some already struck and the rest by the masks at some places.
#[derive(Debug, Default)]
struct Fit {
    rows: Vec<u64>,
    masks: Vec<u32>,
    /// Masks of which a row must be in one: those of some options of a choice.
    any: Vec<(Options, u128)>,
}

impl Fit {
    fn begin(&mut self, rows: &[u64]) {
        self.rows.clear();
        self.rows.extend_from_slice(rows);
        self.masks.clear();
        self.any.clear();
    }

    /// Applies the masks.
    fn close(&mut self, masks: &[u64]) {
        keep_all(&mut self.rows, masks, &self.masks);
        let words = self.rows.len();
        for (of, options) in &self.any {
            for (at, row) in self.rows.iter_mut().enumerate() {
                let nth = |option: usize| option.min(of.count as usize);
                let place = |option: usize| of.first as usize + nth(option) * words;
                *row &= each(*options).fold(0, |any, option| any | masks[place(option) + at]);
            }
        }
    }
}

impl Pass {
    fn begin(&mut self, rows: &[u64]) {
        self.possibly.begin(rows);
        self.surely.begin(rows);
        self.is_open = false;
    }

    /// Takes a test into account that is made by itself.
    #[inline(always)]
    fn note(&mut self, row: usize, verdict: Verdict) {
        strike_if(&mut self.possibly.rows, row, verdict == Verdict::Fails);
        strike_if(&mut self.surely.rows, row, verdict == Verdict::Open);
        self.is_open |= verdict == Verdict::Open;
    }

    fn close(&mut self, masks: &[u64]) {
        self.possibly.close(masks);
        if self.is_open {
            self.surely.close(masks);
            keep(&mut self.surely.rows, &self.possibly.rows);
        } else {
            self.surely.rows.copy_from_slice(&self.possibly.rows);
        }
    }
}

impl Kernel {
    /// Judges every target on these sets.
    pub fn run(&self, sets: &[Set], run: &mut Scratch) {
        let Scratch {
            verdicts,
            spans,
            pass,
        } = run;
        pass.begin(&self.alive);
        spans.resize(self.tracks.len(), Span::default());
        let numbers = self.scales.numbers.iter().zip(spans.iter_mut());
        for (nth, (numbers, span)) in numbers.enumerate() {
            self.pass_number(nth, numbers, sets, span, pass);
        }
        let others = self.scales.numbers.len()..self.passed;
        for (track, span) in self.tracks[others.clone()].iter().zip(&mut spans[others]) {
            self.pass_other(track, sets, span, pass);
        }
        let rest = self.tracks[self.passed..].iter();
        for (track, span) in rest.zip(&mut spans[self.passed..]) {
            *span = self.bits(track, sets);
        }
        self.test_few(sets, spans, pass);
        pass.close(&self.masks);
        verdicts.count = self.rules;
        self.gather(&pass.possibly.rows, &mut verdicts.possibly);
        if pass.is_open {
            self.gather(&pass.surely.rows, &mut verdicts.surely);
        } else {
            verdicts.surely.clone_from(&verdicts.possibly);
        }
    }

    /// Keeps the rows that the values of one track possibly fit, and those that they surely do; and finds where they
    /// lie.
    #[inline(always)]
    fn pass_number(
        &self,
        track: usize,
        numbers: &Numbers,
        sets: &[Set],
        span: &mut Span,
        pass: &mut Pass,
    ) {
        let Set::Number(values) = sets[numbers.column.0 as usize] else {
            *span = Span::ANY;
            self.pass_odd(&self.tracks[track], pass);
            return;
        };
        let has_ladders = track < self.scales.with_ladders;
        if values.is_point() {
            let bucket = self.scales.bucket(numbers, values.lo);
            *span = Span::of(bucket);
            if has_ladders {
                self.climb(&numbers.ladders, bucket, bucket, &mut pass.possibly);
            }
            return;
        }
        let track = &self.tracks[track];
        let is_whole = Set::Number(values) == track.range;
        *span = if is_whole {
            numbers.whole
        } else {
            self.scales.span(numbers, values)
        };
        if has_ladders && is_whole {
            track.whole(pass);
        } else if has_ladders {
            self.climb(&numbers.ladders, span.low, span.high, &mut pass.possibly);
            self.climb(&numbers.ladders, span.high, span.low, &mut pass.surely);
            pass.is_open = true;
        }
    }

    #[inline(always)]
    fn pass_other(&self, track: &Track, sets: &[Set], span: &mut Span, pass: &mut Pass) {
        match (&track.table, &sets[track.id.0 as usize]) {
            (Table::Options(masks), Set::Choice(_)) if track.order.is_some() => {
                *span = self.bits(track, sets);
                self.pass_choice(track, *masks, span.low.into(), pass);
            }
            (Table::Options(masks), Set::Choice(options)) => {
                *span = Span::of(bits_of(*options));
                self.pass_choice(track, *masks, *options, pass);
            }
            (Table::Several(_), set) if *set == track.range => track.whole(pass),
            (Table::Several(all), Set::Several { surely, maybe }) => {
                for asked in all {
                    let is_sure = surely & asked.option != 0;
                    if maybe & asked.option != 0 && !is_sure {
                        pass.surely.masks.extend([asked.present, asked.absent]);
                        pass.is_open = true;
                    } else {
                        let mask = if is_sure { asked.present } else { asked.absent };
                        pass.possibly.masks.push(mask);
                    }
                }
            }
            _ => {
                *span = Span::of(u32::MAX);
                self.pass_odd(track, pass);
            }
        }
    }

    /// A set of another kind than the fact's leaves every test open.
    #[cold]
    fn pass_odd(&self, track: &Track, pass: &mut Pass) {
        let own = |cell: &Cell| self.tracks[cell.track as usize].id == track.id;
        let looks = |row: &usize| self.cells_of(*row).iter().any(own);
        let rows = (0..self.words * 64).filter(looks);
        rows.for_each(|row| strike(&mut pass.surely.rows, row));
        pass.is_open = true;
    }

    /// The possible options of a choice, or how two numbers may lie to one another.
    #[inline(always)]
    fn bits(&self, track: &Track, sets: &[Set]) -> Span {
        let set = |id: ColumnId| &sets[id.0 as usize];
        Span::of(match (track.order, set(track.id)) {
            (Some((left, right)), _) => order_bits(set(left).interval(), set(right).interval()),
            (None, Set::Choice(options)) => bits_of(*options),
            _ => u32::MAX,
        })
    }

    fn pass_choice(&self, track: &Track, masks: Options, options: u128, pass: &mut Pass) {
        let place = |option: u32| self.option_mask(masks, option);
        if options != 0 && options & (options - 1) == 0 {
            pass.possibly.masks.push(place(options.trailing_zeros()));
        } else if Set::Choice(options) == track.range {
            track.whole(pass);
        } else if options != 0 {
            let places = each(options).map(|option| place(option as u32));
            pass.surely.masks.extend(places);
            pass.possibly.any.push((masks, options));
            pass.is_open = true;
        }
    }

    /// Strikes the rows whose allowed buckets lie all below one bucket or all above another, or names the masks that
    /// do.
    #[inline(always)]
    fn climb(&self, ladders: &Ladders, below: u32, above: u32, fit: &mut Fit) {
        let [below, _] = self.scales.gone(ladders, below);
        let [_, above] = self.scales.gone(ladders, above);
        let mask = |start: u32, gone: u32| start + (gone >> self.spacing) * self.words as u32;
        fit.masks
            .extend_from_slice(&[mask(ladders.masks[0], below), mask(ladders.masks[1], above)]);
        if self.spacing > 0 {
            self.strike_rungs(ladders.rungs[0], below, &mut fit.rows);
            self.strike_rungs(ladders.rungs[1], above, &mut fit.rows);
        }
    }

    /// Strikes the rows that are gone beyond the last mask.
    #[inline]
    fn strike_rungs(&self, first: u32, gone: u32, rows: &mut [u64]) {
        let from = gone >> self.spacing << self.spacing;
        let rungs = &self.rungs[(first + from) as usize..];
        let left = (gone - from) as usize;
        if self.spacing > FEW_RUNGS {
            let rungs = rungs[..left].iter();
            rungs.for_each(|row| strike(rows, *row as usize));
            return;
        }
        // The same number each time can be foretold, where the one that is needed cannot.
        if let (FEW_RUNGS, Some([a, b, c])) = (self.spacing, rungs.first_chunk()) {
            strike_if(rows, *a as usize, left > 0);
            strike_if(rows, *b as usize, left > 1);
            strike_if(rows, *c as usize, left > 2);
        } else {
            strike_if(rows, rungs[0] as usize, left > 0);
        }
    }

    /// The mask of the rows that surely fit a number, once for those that lie below it and once for those above, and
    /// the rows that are gone beyond the mask.
    fn rungs_beyond(&self, ladders: &Ladders, span: Span) -> [(u32, &[u32]); 2] {
        let [below, _] = self.scales.gone(ladders, span.high);
        let [_, above] = self.scales.gone(ladders, span.low);
        let beyond = |side: usize, gone: u32| {
            let from = gone >> self.spacing << self.spacing;
            let mask = ladders.masks[side] + (gone >> self.spacing) * self.words as u32;
            let first = ladders.rungs[side];
            (
                mask,
                &self.rungs[(first + from) as usize..(first + gone) as usize],
            )
        };
        [beyond(0, below), beyond(1, above)]
    }

    /// Makes the tests of tracks without masks.
    fn test_few(&self, sets: &[Set], spans: &[Span], pass: &mut Pass) {
        let [bits, others] = &self.few;
        for (row, cell) in bits {
            let verdict = cell.bits(spans[cell.track as usize]);
            pass.note(*row as usize, verdict);
        }
        for (row, cell) in others {
            pass.note(*row as usize, self.test(cell, sets, spans));
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

    /// The track of a column, if any row looks at it.
    pub fn track(&self, id: ColumnId) -> Option<u32> {
        self.by_column.get(id.0 as usize).copied().flatten()
    }

    /// What one test of a row comes to.
    #[inline(always)]
    fn test(&self, cell: &Cell, sets: &[Set], spans: &[Span]) -> Verdict {
        match cell.kind {
            Kind::Number | Kind::Bits => {
                let (holds, fails) = cell.sides(spans[cell.track as usize]);
                verdict(holds, fails)
            }
            _ => self.test_set(cell, &sets[self.column(cell.track).0 as usize]),
        }
    }

    #[inline(never)]
    fn test_set(&self, cell: &Cell, set: &Set) -> Verdict {
        if cell.kind == Kind::Choice {
            return set.is_one_of(self.allowed(cell));
        }
        let (with, without) = self.wanted(cell);
        Allowed::Several { with, without }.verdict(*set)
    }

    /// Facts that leave a target open in the last run.
    pub fn reasons(&self, target: usize, sets: &[Set], run: &Scratch) -> BTreeSet<ColumnId> {
        if run.verdicts.at(target) != Verdict::Open {
            return BTreeSet::new();
        }
        let rows = self.rows_of(target);
        let cells = rows
            .filter(|row| has(&run.pass.possibly.rows, *row))
            .flat_map(|row| self.cells_of(row));
        let open = cells.filter(|cell| self.test(cell, sets, &run.spans) == Verdict::Open);
        distinct(open.map(|cell| self.column(cell.track)))
    }

    /// The columns that a target looks at.
    pub fn looked_at(&self, target: usize) -> impl Iterator<Item = ColumnId> + '_ {
        let cells = self.rows_of(target).flat_map(|row| self.cells_of(row));
        cells.map(|cell| self.column(cell.track))
    }

    /// The column of a track.
    pub fn column(&self, track: u32) -> ColumnId {
        self.columns[track as usize]
    }

    /// The thresholds that any rule compares a number with, ascending.
    pub fn cuts(&self, id: ColumnId) -> &[f64] {
        let numbers = self.track(id).and_then(|track| self.scales.of(track));
        numbers.map_or(&[], |numbers| self.scales.cuts(numbers))
    }

    /// The options that a row allows.
    fn allowed(&self, cell: &Cell) -> u128 {
        match cell.kind {
            Kind::Bits => cell.from.into(),
            _ => self.options[cell.from as usize],
        }
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
        let more = if self.is_several(target) {
            let (word, before) = (target / 64, (1 << (target % 64)) - 1);
            let nth = self.ranks[word] + (self.several[word] & before).count_ones();
            self.more[nth as usize]..self.more[nth as usize + 1]
        } else {
            0..0
        };
        let first = has(&self.alive, target).then_some(target);
        first.into_iter().chain(more.map(|row| row as usize))
    }

    fn cells_of(&self, row: usize) -> &[Cell] {
        &self.cells[self.first_cell[row] as usize..self.first_cell[row + 1] as usize]
    }

    /// Whether a target has more than one row.
    pub fn is_several(&self, target: usize) -> bool {
        self.several[target / 64] >> (target % 64) & 1 == 1
    }

    /// From rows to targets: one of its rows is enough.
    fn gather(&self, rows: &[u64], targets: &mut Vec<u64>) {
        targets.clear();
        targets.extend_from_slice(&rows[..self.heads]);
        for nth in ones(&rows[self.heads..]) {
            add(targets, self.extra[nth] as usize);
        }
    }
}

impl Cell {
    /// What a test of bits comes to.
    #[inline(always)]
    fn bits(&self, span: Span) -> Verdict {
        let (inside, outside) = (span.low & self.from != 0, span.low & !self.from != 0);
        verdict(!outside, outside & !inside)
    }

    /// Whether a test of a number or of bits holds, and whether it fails; without a branch, as one cannot be foretold.
    #[inline(always)]
    fn sides(&self, Span { low, high }: Span) -> (bool, bool) {
        let is_bits = self.kind == Kind::Bits;
        let (inside, outside) = (low & self.from != 0, low & !self.from != 0);
        let within = (self.from <= low) & (high <= self.to);
        let beyond = (high < self.from) | (self.to < low);
        (
            (is_bits & !outside) | (!is_bits & within),
            (is_bits & outside & !inside) | (!is_bits & beyond),
        )
    }
}

/// The verdict of a test that holds, fails or does neither.
#[inline(always)]
fn verdict(holds: bool, fails: bool) -> Verdict {
    let verdicts = [
        Verdict::Open,
        Verdict::Fails,
        Verdict::Holds,
        Verdict::Holds,
    ];
    verdicts[usize::from(fails) + 2 * usize::from(holds)]
}

/// A set of options in one word; its last bit stands for all that a choice of few options does not have.
const BITS: u32 = 31;

fn bits_of(options: u128) -> u32 {
    options as u32 & !(1 << BITS) | u32::from(options >> BITS != 0) << BITS
}

impl Track {
    /// Keeps what is left while nothing is known of the fact.
    fn whole(&self, pass: &mut Pass) {
        let (surely, possibly) = self.whole;
        pass.possibly.masks.extend(possibly);
        pass.surely.masks.push(surely);
        pass.is_open = true;
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
