//! What would turn a verdict: for every rule at once, each fact that alone could, and the nearest value that does.

use super::super::normal::Allowed;
use super::super::set::{Set, Verdict};
use super::rows::{add, bits, has, keep};
use super::table::Span;
use super::turns::{RawFlip, Turn, Turns, push};
use super::{Cell, Kernel, Kind, Pass, Scratch, Verdicts, each};

/// Buffers of the search.
#[derive(Debug, Default)]
pub(crate) struct FlipScratch {
    /// Found when flips are first asked for.
    turns: Option<Turns>,
    /// Rows that fit one track, of all.
    pass: Pass,
    all: Vec<u64>,
    /// Rows that possibly fit, track after track.
    fits: Vec<u64>,
    /// Rows that do not surely fit, and rows that fail.
    unsure: Counter,
    failed: Counter,
    /// Rows that one fact alone keeps from holding surely.
    lone: Vec<u64>,
    targets: Vec<u64>,
    /// Turns by which what holds ceases to, and those by which what fails comes to hold.
    pub breaking: Vec<RawFlip>,
    pub mending: Vec<RawFlip>,
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

/// Room for the rows of one target that could hold, each with whether it does so now, and for their tests of one fact.
#[derive(Default)]
struct Room<'a> {
    rows: Vec<(&'a [Cell], bool)>,
    cells: Vec<&'a Cell>,
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
            turns,
            fits,
            unsure,
            failed,
            lone,
            targets,
            breaking,
            mending,
            ..
        } = flips;
        let turns = turns.get_or_insert_with(|| Turns::of(self));
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
        breaking.clear();
        mending.clear();
        let mut room = Room::default();
        let Verdicts {
            possibly, surely, ..
        } = &run.verdicts;
        for (at, lone_targets) in targets.iter_mut().enumerate() {
            let places = |word: u64| {
                let places = bits(word).map(move |bit| at * 64 + bit);
                places.take_while(|target| *target < self.rules)
            };
            let several = self.several[at];
            for target in places(surely[at] & !several) {
                breaking.extend_from_slice(turns.leaving(target));
            }
            for target in places(surely[at] & several) {
                search.break_all(target, &mut room, breaking);
            }
            // What fails is mended where one fact alone keeps a row from holding.
            *lone_targets &= !possibly[at];
            for target in places(*lone_targets & !turns.plain[at]) {
                let start = mending.len();
                let rows = self.rows_of(target);
                rows.filter(|row| has(lone, *row))
                    .for_each(|row| search.mend_row(target, row, mending));
                if self.is_several(target) {
                    nearest(mending, start);
                }
            }
            *lone_targets &= turns.plain[at];
        }
        // Of plain targets the masks tell the fact.
        for (track, fit) in fits.chunks_exact(self.words.max(1)).enumerate() {
            search.mend_all(fit, targets, turns.nth(track), mending);
        }
    }

    fn count(&self, sets: &[Set], run: &Scratch, flips: &mut FlipScratch) {
        let FlipScratch {
            pass,
            all,
            fits,
            unsure,
            failed,
            ..
        } = flips;
        failed.clear(self.words);
        fits.clear();
        all.clear();
        all.resize(self.words, u64::MAX);
        pass.begin(all);
        let mut differ = false;
        for track in 0..self.passed[0] {
            self.pass(track, sets, &mut Span::default(), pass);
            pass.possibly.close(&self.masks);
            let fit = &pass.possibly.rows;
            fits.extend_from_slice(fit);
            // As long as all facts are known, what does not surely fit fails.
            if pass.is_open && !std::mem::replace(&mut differ, true) {
                unsure.copy(failed);
            }
            failed.count(fit);
            if pass.is_open {
                pass.surely.close(&self.masks);
                keep(&mut pass.surely.rows, fit);
                unsure.count(&pass.surely.rows);
                pass.begin(all);
            } else {
                if differ {
                    unsure.count(fit);
                }
                pass.possibly.begin(all);
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

impl<'a> Search<'a> {
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

    /// The turns by which a row that one fact alone fails comes to hold.
    fn mend_row(&self, target: usize, row: usize, found: &mut Vec<RawFlip>) {
        let mut cells = self.kernel.cells_of(row).iter();
        if let Some(cell) = cells.find(|cell| self.fails(cell)) {
            self.mend(target, cell, found);
        }
    }

    /// The turns of one track by which targets that it alone fails come to hold. `nth` says which of their tests looks
    /// at it.
    fn mend_all(&self, fit: &[u64], wanted: &[u64], nth: &[u8], found: &mut Vec<RawFlip>) {
        let kernel = self.kernel;
        let failed = wanted.iter().zip(fit).map(|(wanted, fit)| wanted & !fit);
        for (at, failed) in failed.enumerate() {
            for target in bits(failed).map(|bit| at * 64 + bit) {
                let cell =
                    &kernel.cells[kernel.first_cell[target] as usize + usize::from(nth[target])];
                self.mend(target, cell, found);
            }
        }
    }

    /// The turns by which a test that fails comes to hold.
    #[inline(always)]
    fn mend(&self, target: usize, cell: &Cell, found: &mut Vec<RawFlip>) {
        let track = cell.track;
        match cell.kind {
            Kind::Number => {
                let is_up = cell.from > self.run.spans[track as usize].high;
                let bucket = if is_up { cell.from } else { cell.to };
                self.kernel.number(found, target, track, bucket, is_up);
            }
            Kind::Choice | Kind::Order => {
                self.kernel
                    .options(found, target, track, self.kernel.allowed(cell));
            }
            Kind::Several => {
                let Set::Several { surely, maybe } = self.set(track) else {
                    return;
                };
                let (with, without) = self.kernel.wanted(cell);
                let (missing, surplus) = (with & !surely, without & maybe);
                if missing.count_ones() + surplus.count_ones() == 1 {
                    let with = each(missing).map(|option| Turn::With(option as u8));
                    let without = each(surplus).map(|option| Turn::Without(option as u8));
                    with.chain(without)
                        .for_each(|turn| push(found, target, track, turn));
                }
            }
        }
    }

    /// The turns by which one fact leaves every row that could still hold.
    fn break_all(&self, target: usize, room: &mut Room<'a>, found: &mut Vec<RawFlip>) {
        let kernel = self.kernel;
        let Room { rows, cells } = room;
        // Rows that several facts fail stay failed.
        let places = kernel.rows_of(target);
        let places = places.filter(|row| !has(&self.failed.two, *row));
        rows.clear();
        rows.extend(places.map(|row| (kernel.cells_of(row), !has(&self.failed.one, row))));
        let Some((first, _)) = rows.iter().find(|(_, is_free)| *is_free) else {
            return;
        };
        for Cell { track, .. } in *first {
            cells.clear();
            let all = rows.iter().all(|(row, is_free)| {
                let own = row.iter().find(|own| own.track == *track);
                // Rows that another fact fails stay failed too. A free row that does not look at this fact would go on
                // holding.
                cells.extend(own.filter(|own| *is_free || self.fails(own)));
                !is_free || own.is_some()
            });
            if all {
                self.leave_all(target, *track, cells, found);
            }
        }
    }

    fn leave_all(&self, target: usize, track: u32, cells: &[&Cell], found: &mut Vec<RawFlip>) {
        match self.set(track) {
            Set::Number(_) if self.kernel.scales.of(track).is_some() => {
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
                    self.kernel.number(found, target, track, bucket, false);
                }
                let mut high = span.high;
                while let Some(cell) = around(high) {
                    high = cell.to + 1;
                }
                self.kernel.number(found, target, track, high, true);
            }
            Set::Choice(_) => {
                let held = cells.iter().fold(0, |sum, c| sum | self.kernel.allowed(c));
                self.kernel.options(found, target, track, !held);
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
                for place in each(rows.iter().fold(0, |sum, (a, b)| sum | a | b)) {
                    let option = 1 << place;
                    if fails(surely | option, maybe | option) {
                        push(found, target, track, Turn::With(place as u8));
                    }
                    if fails(surely & !option, maybe & !option) {
                        push(found, target, track, Turn::Without(place as u8));
                    }
                }
            }
            Set::Number(_) => {}
        }
    }
}

/// Of the turns from `start` on, which several rows of one rule gave, keeps the nearest of each kind.
fn nearest(found: &mut Vec<RawFlip>, start: usize) {
    let mut end = start;
    for at in start..found.len() {
        let new = found[at];
        let same = |old: &&mut RawFlip| old.track == new.track && same_kind(old.turn, new.turn);
        match found[start..end].iter_mut().find(same) {
            Some(old) if is_nearer(new.turn, old.turn) => *old = new,
            Some(_) => {}
            None => {
                found[end] = new;
                end += 1;
            }
        }
    }
    found.truncate(end);
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
