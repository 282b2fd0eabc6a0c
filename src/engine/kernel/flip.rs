//! What would turn a verdict: for every rule at once, each fact that alone could, and the nearest value that does.

use super::super::normal::Allowed;
use super::super::set::{Set, Verdict};
use super::rows::{add, bits, has, keep};
use super::table::{Numbers, Span, Table};
use super::{Cell, Kernel, Kind, Pass, Scratch, Verdicts};

/// A change of one fact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Turn {
    /// A lower number: `value` itself where it is `reached`, otherwise the ones just below it.
    Down {
        /// In the main unit.
        value: f64,
        /// Whether `value` itself turns the verdict.
        reached: bool,
    },
    /// A higher number: `value` itself where it is `reached`, otherwise the ones just above it.
    Up {
        /// In the main unit.
        value: f64,
        /// Whether `value` itself turns the verdict.
        reached: bool,
    },
    /// This option of a choice, by its place; of a truth, 0 is no and 1 is yes.
    Option(u8),
    /// This option is present among several, the others as they are.
    With(u8),
    /// This option is absent.
    Without(u8),
}

/// A turn of one target by one track; numbers still as buckets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RawFlip {
    pub target: u32,
    pub track: u32,
    pub turn: Turn,
}

/// Buffers of the search.
#[derive(Debug, Default)]
pub(crate) struct FlipScratch {
    /// Rows that fit one track, of all.
    pass: Pass,
    all: Vec<u64>,
    /// Rows that do not surely fit, and rows that fail.
    unsure: Counter,
    failed: Counter,
    /// Rows that one fact alone keeps from holding surely.
    lone: Vec<u64>,
    targets: Vec<u64>,
    pub found: Vec<RawFlip>,
}

/// Rows that were met at least once, and at least twice.
#[derive(Debug, Default)]
struct Counter {
    one: Vec<u64>,
    two: Vec<u64>,
}

impl Counter {
    fn clear(&mut self, words: usize) {
        for rows in [&mut self.one, &mut self.two] {
            rows.clear();
            rows.resize(words, 0);
        }
    }

    /// Counts the rows that are missing in `fit`.
    fn count(&mut self, fit: &[u64]) {
        for ((one, two), fit) in self.one.iter_mut().zip(&mut self.two).zip(fit) {
            *two |= *one & !fit;
            *one |= !fit;
        }
    }

    fn count_row(&mut self, row: usize) {
        if has(&self.one, row) {
            add(&mut self.two, row);
        }
        add(&mut self.one, row);
    }

    fn copy(&mut self, other: &Counter) {
        self.one.clone_from(&other.one);
        self.two.clone_from(&other.two);
    }
}

/// What is known while looking for flips.
struct Search<'a> {
    kernel: &'a Kernel,
    sets: &'a [Set],
    run: &'a Scratch,
    failed: &'a Counter,
}

impl Kernel {
    /// Every turn of every rule that holds or fails in the run before.
    pub fn flips(&self, sets: &[Set], run: &Scratch, flips: &mut FlipScratch) {
        self.count(sets, run, flips);
        let FlipScratch {
            unsure,
            failed,
            lone,
            targets,
            found,
            ..
        } = flips;
        lone.clone_from(&unsure.one);
        keep(lone, &self.alive);
        let twice = lone.iter_mut().zip(&unsure.two);
        twice.for_each(|(lone, two)| *lone &= !two);
        self.gather(lone, targets);
        let search = Search {
            kernel: self,
            sets,
            run,
            failed,
        };
        found.clear();
        let mut room = Vec::new();
        let Verdicts {
            possibly, surely, ..
        } = &run.verdicts;
        for (at, lone_targets) in targets.iter().enumerate() {
            let places = |word: u64| {
                let places = bits(word).map(move |bit| at * 64 + bit);
                places.take_while(|target| *target < self.rules)
            };
            let several = self.several[at];
            for target in places(surely[at] & !several) {
                for cell in self.cells_of(target) {
                    search.leave(target, cell, found);
                }
            }
            for target in places(surely[at] & several) {
                search.break_all(target, &mut room, found);
            }
            // What fails is mended where one fact alone keeps a row from holding.
            for target in places(lone_targets & !possibly[at] & !several) {
                search.mend(target, target, found);
            }
            for target in places(lone_targets & !possibly[at] & several) {
                let start = found.len();
                let rows = self.rows_of(target);
                rows.filter(|row| has(lone, *row))
                    .for_each(|row| search.mend(target, row, found));
                nearest(found, start);
            }
        }
    }

    fn count(&self, sets: &[Set], run: &Scratch, flips: &mut FlipScratch) {
        let FlipScratch {
            pass,
            all,
            unsure,
            failed,
            ..
        } = flips;
        failed.clear(self.words);
        all.clear();
        all.resize(self.words, u64::MAX);
        let mut differ = false;
        for track in &self.tracks[..self.passed] {
            pass.begin(all);
            self.pass(track, sets, &mut Span::default(), pass);
            pass.close(&self.masks);
            // As long as all facts are known, what does not surely fit fails.
            if pass.is_open && !std::mem::replace(&mut differ, true) {
                unsure.copy(failed);
            }
            failed.count(&pass.possibly.rows);
            if differ {
                unsure.count(&pass.surely.rows);
            }
        }
        if !differ {
            unsure.copy(failed);
        }
        for (at, tested) in self.tested.iter().enumerate() {
            for bit in bits(tested & !failed.two[at]) {
                let row = at * 64 + bit;
                for cell in self.cells_of(row).iter().filter(|cell| !cell.is_masked) {
                    let verdict = self.test(cell, sets, &run.spans);
                    if verdict != Verdict::Holds {
                        unsure.count_row(row);
                    }
                    if verdict == Verdict::Fails {
                        failed.count_row(row);
                    }
                }
            }
        }
    }
}

impl Search<'_> {
    fn fails(&self, cell: &Cell) -> bool {
        match cell.kind {
            Kind::Number => {
                let span = self.run.spans[cell.track as usize];
                span.high < cell.from || cell.to < span.low
            }
            _ => self.kernel.test(cell, self.sets, &self.run.spans) == Verdict::Fails,
        }
    }

    fn set(&self, track: u32) -> Set {
        self.kernel
            .set(&self.kernel.tracks[track as usize], self.sets)
    }

    fn push(&self, found: &mut Vec<RawFlip>, target: usize, track: u32, turn: Turn) {
        let target = target as u32;
        found.push(RawFlip {
            target,
            track,
            turn,
        });
    }

    fn numbers(&self, track: u32) -> Option<&Numbers> {
        match &self.kernel.tracks[track as usize].table {
            Table::Numbers(numbers) => Some(numbers),
            _ => None,
        }
    }

    /// A turn to a lower bucket, if the vocabulary allows it.
    fn down(&self, found: &mut Vec<RawFlip>, target: usize, track: u32, bucket: u32) {
        let within = |numbers: &&Numbers| bucket >= numbers.whole.low;
        if let Some(numbers) = self.numbers(track).filter(within) {
            let (value, reached) = (numbers.cut(bucket), bucket % 2 == 1);
            self.push(found, target, track, Turn::Down { value, reached });
        }
    }

    fn up(&self, found: &mut Vec<RawFlip>, target: usize, track: u32, bucket: u32) {
        let within = |numbers: &&Numbers| bucket <= numbers.whole.high;
        if let Some(numbers) = self.numbers(track).filter(within) {
            let (value, reached) = (numbers.cut(bucket - 1), bucket % 2 == 1);
            self.push(found, target, track, Turn::Up { value, reached });
        }
    }

    fn options(&self, found: &mut Vec<RawFlip>, target: usize, track: u32, wanted: u128) {
        if let Set::Choice(range) = self.kernel.tracks[track as usize].range {
            each(wanted & range, |option| {
                self.push(found, target, track, Turn::Option(option));
            });
        }
    }

    fn is_number(&self, track: u32) -> bool {
        matches!(self.kernel.tracks[track as usize].table, Table::Numbers(_))
    }

    /// The turns by which the one fact that fails a row comes to fit it.
    fn mend(&self, target: usize, row: usize, found: &mut Vec<RawFlip>) {
        let cells = self.kernel.cells_of(row);
        let Some(cell) = cells.iter().find(|cell| self.fails(cell)) else {
            return;
        };
        let track = cell.track;
        match cell.kind {
            Kind::Number if cell.from > self.run.spans[track as usize].high => {
                self.up(found, target, track, cell.from);
            }
            Kind::Number => self.down(found, target, track, cell.to),
            Kind::Choice | Kind::Order => {
                self.options(found, target, track, self.kernel.allowed(cell));
            }
            Kind::Several => {
                let Set::Several { surely, maybe } = self.set(track) else {
                    return;
                };
                let (with, without) = self.kernel.wanted(cell);
                let (missing, surplus) = (with & !surely, without & maybe);
                if missing.count_ones() + surplus.count_ones() == 1 {
                    each(missing, |o| self.push(found, target, track, Turn::With(o)));
                    each(surplus, |o| {
                        self.push(found, target, track, Turn::Without(o))
                    });
                }
            }
        }
    }

    /// The turns by which a fact leaves what the only row of a target that holds allows.
    fn leave(&self, target: usize, cell: &Cell, found: &mut Vec<RawFlip>) {
        let track = cell.track;
        match cell.kind {
            Kind::Number => {
                if cell.from > 0 {
                    self.down(found, target, track, cell.from - 1);
                }
                self.up(found, target, track, cell.to + 1);
            }
            Kind::Choice | Kind::Order => {
                self.options(found, target, track, !self.kernel.allowed(cell));
            }
            Kind::Several => {
                let (with, without) = self.kernel.wanted(cell);
                each(with, |o| {
                    self.push(found, target, track, Turn::Without(o));
                });
                each(without, |o| {
                    self.push(found, target, track, Turn::With(o));
                });
            }
        }
    }

    /// The turns by which one fact leaves every row that could still hold. `room` is for the tests of that fact.
    fn break_all<'b>(&'b self, target: usize, room: &mut Vec<&'b Cell>, found: &mut Vec<RawFlip>) {
        let kernel = self.kernel;
        let rows = || kernel.rows_of(target);
        let is_free = |row: &usize| !has(&self.failed.one, *row);
        let Some(first) = rows().find(is_free) else {
            return;
        };
        for Cell { track, .. } in kernel.cells_of(first) {
            let own = |row: usize| {
                let mut cells = kernel.cells_of(row).iter();
                cells.find(|own| own.track == *track)
            };
            room.clear();
            let all = rows().all(|row| {
                let own = own(row);
                // Rows that another fact fails stay failed. A free row that does not look at this fact would go on
                // holding.
                let is_held =
                    || !has(&self.failed.two, row) && own.is_some_and(|own| self.fails(own));
                let is_free = is_free(&row);
                if is_free || is_held() {
                    room.extend(own);
                }
                !is_free || own.is_some()
            });
            if all {
                self.leave_all(target, *track, room, found);
            }
        }
    }

    fn leave_all(&self, target: usize, track: u32, cells: &[&Cell], found: &mut Vec<RawFlip>) {
        match self.set(track) {
            Set::Number(_) if self.is_number(track) => {
                let span = self.run.spans[track as usize];
                let around = |bucket: u32| {
                    cells
                        .iter()
                        .find(move |c| c.from <= bucket && bucket <= c.to)
                };
                let mut low = Some(span.low);
                while let Some(cell) = low.and_then(around) {
                    low = cell.from.checked_sub(1);
                }
                if let Some(bucket) = low {
                    self.down(found, target, track, bucket);
                }
                let mut high = span.high;
                while let Some(cell) = around(high) {
                    high = cell.to + 1;
                }
                self.up(found, target, track, high);
            }
            Set::Choice(_) => {
                let held = cells.iter().fold(0, |sum, c| sum | self.kernel.allowed(c));
                self.options(found, target, track, !held);
            }
            Set::Several { surely, maybe } => {
                let rows = cells.iter().map(|cell| self.kernel.wanted(cell));
                let rows: Vec<(u128, u128)> = rows.collect();
                let fails = |surely: u128, maybe: u128| {
                    let set = Set::Several { surely, maybe };
                    let fails = |(with, without): &(u128, u128)| {
                        let (with, without) = (*with, *without);
                        Allowed::Several { with, without }.verdict(set) == Verdict::Fails
                    };
                    rows.iter().all(fails)
                };
                each(rows.iter().fold(0, |sum, (a, b)| sum | a | b), |o| {
                    let option = 1 << o;
                    if fails(surely | option, maybe | option) {
                        self.push(found, target, track, Turn::With(o));
                    }
                    if fails(surely & !option, maybe & !option) {
                        self.push(found, target, track, Turn::Without(o));
                    }
                });
            }
            Set::Number(_) => {}
        }
    }
}

fn each(mut options: u128, mut visit: impl FnMut(u8)) {
    while options != 0 {
        visit(options.trailing_zeros() as u8);
        options &= options - 1;
    }
}

/// Of the turns from `start` on, which several rows of one rule gave, keeps the nearest of each kind.
fn nearest(found: &mut Vec<RawFlip>, start: usize) {
    let mut kept: Vec<RawFlip> = Vec::new();
    for new in found.drain(start..) {
        let same = |old: &&mut RawFlip| old.track == new.track && same_kind(old.turn, new.turn);
        match kept.iter_mut().find(same) {
            Some(old) if is_nearer(new.turn, old.turn) => *old = new,
            Some(_) => {}
            None => kept.push(new),
        }
    }
    found.append(&mut kept);
}

fn same_kind(a: Turn, b: Turn) -> bool {
    match (a, b) {
        (Turn::Down { .. }, Turn::Down { .. }) | (Turn::Up { .. }, Turn::Up { .. }) => true,
        _ => a == b,
    }
}

fn is_nearer(new: Turn, old: Turn) -> bool {
    match (new, old) {
        (Turn::Down { value: a, reached }, Turn::Down { value: b, .. }) => {
            a > b || a == b && reached
        }
        (Turn::Up { value: a, reached }, Turn::Up { value: b, .. }) => a < b || a == b && reached,
        _ => false,
    }
}
