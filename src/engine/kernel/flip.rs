//! What would turn a verdict: for every rule at once, each fact that alone could, and the nearest value that does.

use super::super::normal::Allowed;
use super::super::set::{Set, Verdict};
use super::rows::{add, bits, ones};
use super::tally::{Lack, Tally};
use super::turns::{RawFlip, Turn, Turns, push};
use super::{Cell, Kernel, Kind, Scratch, Verdicts, each};

/// Buffers of the search.
#[derive(Debug, Default)]
pub(crate) struct FlipScratch {
    /// Found when flips are first asked for.
    turns: Option<Turns>,
    tally: Tally,
    /// Targets with several rows, one of which one fact alone keeps from holding.
    several: Vec<u64>,
    /// Turns by which what holds ceases to; of rules with one row, the first so many.
    leaving: Vec<RawFlip>,
    left: usize,
    breaking: Vec<RawFlip>,
    /// Those by which what fails comes to hold.
    pub mending: Vec<RawFlip>,
}

impl FlipScratch {
    /// Turns by which what holds ceases to.
    pub fn breaking(&self) -> impl Iterator<Item = &RawFlip> {
        self.leaving[..self.left].iter().chain(&self.breaking)
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
    turns: &'a Turns,
    tally: &'a Tally,
}

impl Kernel {
    /// Every turn of every rule that holds or fails in the run before.
    pub fn flips(&self, sets: &[Set], run: &Scratch, flips: &mut FlipScratch) {
        let FlipScratch {
            turns,
            tally,
            several,
            leaving,
            left,
            breaking,
            mending,
        } = flips;
        self.tally(sets, run, tally);
        let search = Search {
            kernel: self,
            sets,
            run,
            turns: turns.get_or_insert_with(|| Turns::of(self)),
            tally,
        };
        *left = 0;
        breaking.clear();
        mending.clear();
        let mut room = Room::default();
        let surely = &run.verdicts.surely;
        for (word, (surely, several)) in surely.iter().zip(&self.several).enumerate() {
            for target in self.rules_of(word, surely & !several) {
                search.turns.leave(target, leaving, left);
            }
            for target in self.rules_of(word, surely & several) {
                search.break_all(target, &mut room, breaking);
            }
        }
        search.mend_plain(mending);
        search.mend_several(several, mending);
    }

    /// The rules among the targets of a word.
    pub(super) fn rules_of(&self, word: usize, targets: u64) -> impl Iterator<Item = usize> {
        let rules = self.rules;
        let places = bits(targets).map(move |bit| word * 64 + bit);
        places.take_while(move |target| *target < rules)
    }
}

impl<'a> Search<'a> {
    fn fails(&self, cell: &Cell) -> bool {
        self.kernel.test(cell, self.sets, &self.run.spans) == Verdict::Fails
    }

    /// What fails is mended where one fact alone keeps a row from holding. First the targets with one row.
    fn mend_plain(&self, found: &mut Vec<RawFlip>) {
        let (kernel, tally) = (self.kernel, self.tally);
        let Verdicts { possibly, .. } = &self.run.verdicts;
        for (word, possibly) in possibly.iter().enumerate() {
            let alive = kernel.alive[word] & !kernel.several[word];
            let lone = tally.lone(word) & alive & !possibly;
            let fit = tally.numbers_fit[word];
            for row in kernel.rules_of(word, lone & !fit) {
                let place = tally.place(word, row % 64);
                let (track, is_up) = (place as u32 / 2, place % 2 == 1);
                let cell = self.turns.cell(kernel, row, track);
                let bucket = if is_up { cell.from } else { cell.to };
                kernel.number(found, row, track, bucket, is_up);
            }
            for row in kernel.rules_of(word, lone & fit) {
                self.mend_row(row, row, found);
            }
        }
    }

    /// Then those with several, of which the nearest turns count.
    fn mend_several(&self, several: &mut Vec<u64>, found: &mut Vec<RawFlip>) {
        let (kernel, tally) = (self.kernel, self.tally);
        several.clear();
        several.resize(kernel.heads, 0);
        let lone = |word: usize| tally.lone(word) & kernel.alive[word];
        for (word, several) in several.iter_mut().enumerate() {
            *several = lone(word) & kernel.several[word];
        }
        for word in kernel.heads..kernel.words {
            for bit in bits(lone(word)) {
                let nth = (word - kernel.heads) * 64 + bit;
                add(several, kernel.extra[nth] as usize);
            }
        }
        let possibly = self.run.verdicts.possibly.iter();
        let failing = several.iter_mut().zip(possibly);
        failing.for_each(|(several, possibly)| *several &= !possibly);
        for target in ones(several).take_while(|target| *target < kernel.rules) {
            let start = found.len();
            let is_lone = |row: &usize| lone(*row / 64) >> (row % 64) & 1 == 1;
            let rows = kernel.rows_of(target).filter(is_lone);
            rows.for_each(|row| self.mend_row(target, row, found));
            nearest(found, start);
        }
    }

    /// The turns by which a row that one fact alone fails comes to hold.
    fn mend_row(&self, target: usize, row: usize, found: &mut Vec<RawFlip>) {
        let place = self.tally.place(row / 64, row % 64);
        let cell = |track: u32| self.turns.cell(self.kernel, row, track);
        match self.tally.lack(place) {
            Lack::Number { track, .. } | Lack::Option { track } => {
                self.mend(target, cell(track), found);
            }
            Lack::With { track, option } => push(found, target, track, Turn::With(option)),
            Lack::Without { track, option } => push(found, target, track, Turn::Without(option)),
            Lack::Other => {
                let mut cells = self.kernel.cells_of(row).iter();
                if let Some(cell) = cells.find(|cell| self.fails(cell)) {
                    self.mend(target, cell, found);
                }
            }
        }
    }

    fn set(&self, track: u32) -> Set {
        self.kernel
            .set(&self.kernel.tracks[track as usize], self.sets)
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
            Kind::Choice | Kind::Bits => {
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
        rows.clear();
        for row in kernel.rows_of(target) {
            let cells = kernel.cells_of(row);
            let failed = cells.iter().filter(|cell| self.fails(cell)).take(2).count();
            // Rows that several facts fail stay failed.
            if failed < 2 {
                rows.push((cells, failed == 0));
            }
        }
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
