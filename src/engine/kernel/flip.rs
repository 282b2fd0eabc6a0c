//! What would turn a verdict: for every rule at once, each fact that alone could, and the nearest value that does.

use super::super::normal::Allowed;
use super::super::set::{Set, Verdict};
use super::rows::{add, bits, has, ones};
use super::tally::Tally;
use super::turns::{RawFlip, Turn, Turns};
use super::{Cell, Kernel, Kind, Scratch, each};

/// Which rows one fact alone keeps from holding, and what is the same in every run.
///
/// With the verdicts this tells every rule that one fact turns: one that holds by leaving its row, one that fails by
/// entering a row that only this fact fails. Turns are put together as they are read.
#[derive(Debug, Default)]
pub(crate) struct FlipScratch {
    /// Found when flips are first asked for.
    turns: Turns,
    tally: Tally,
}

/// Room for the rows of one target that could hold, each with whether it does so now, and for their tests of one fact.
#[derive(Default)]
struct Room<'a> {
    rows: Vec<(&'a [Cell], bool)>,
    cells: Vec<&'a Cell>,
}

/// What is known while looking for flips.
#[derive(Clone, Copy)]
struct Search<'a> {
    kernel: &'a Kernel,
    sets: &'a [Set],
    run: &'a Scratch,
    turns: &'a Turns,
    tally: &'a Tally,
}

/// What one fact can do for a row: one turn, or one to any of some options.
#[derive(Clone, Copy)]
struct Ways {
    track: u32,
    turn: Option<Turn>,
    options: u128,
}

impl Ways {
    fn one(track: u32, turn: Option<Turn>) -> Ways {
        let options = 0;
        Ways {
            track,
            turn,
            options,
        }
    }

    fn flips(self, target: usize) -> impl Iterator<Item = RawFlip> {
        let options = each(self.options).map(|option| Turn::Option(option as u8));
        let turns = self.turn.into_iter().chain(options);
        turns.map(move |turn| RawFlip::of(target, self.track, turn))
    }
}

impl Kernel {
    /// Finds the rows of the run before that one fact alone keeps from holding.
    pub fn flips(&self, sets: &[Set], run: &Scratch, flips: &mut FlipScratch) {
        self.tally(sets, run, &mut flips.tally);
        flips.turns.fill(self);
    }

    /// The turns by which rules cease to hold.
    pub fn breaking<'a>(
        &'a self,
        sets: &'a [Set],
        run: &'a Scratch,
        flips: &'a FlipScratch,
    ) -> impl Iterator<Item = RawFlip> + 'a {
        let search = Search::of(self, sets, run, flips);
        let surely = || run.verdicts.surely.iter().zip(&self.several).enumerate();
        let (mut several, mut room) = (Vec::new(), Room::default());
        for (word, (surely, is_several)) in surely() {
            for target in self.rules_of(word, surely & is_several) {
                search.break_all(target, &mut room, &mut several);
            }
        }
        let plain = surely().flat_map(|(word, (surely, several))| {
            let targets = self.rules_of(word, surely & !several);
            targets.flat_map(|target| flips.turns.leave(target))
        });
        plain.copied().chain(several)
    }

    /// The turns by which rules that fail come to hold.
    pub fn mending<'a>(
        &'a self,
        sets: &'a [Set],
        run: &'a Scratch,
        flips: &'a FlipScratch,
    ) -> impl Iterator<Item = RawFlip> + 'a {
        let search = Search::of(self, sets, run, flips);
        let mut several = Vec::new();
        let mendable = search.mendable();
        let rules = ones(&mendable).take_while(|target| *target < self.rules);
        rules.for_each(|target| search.mend_all(target, &mut several));
        search.mend_plain().chain(several)
    }

    /// The rules among the targets of a word.
    pub(super) fn rules_of(&self, word: usize, targets: u64) -> impl Iterator<Item = usize> {
        let rules = self.rules;
        let places = bits(targets).map(move |bit| word * 64 + bit);
        places.take_while(move |target| *target < rules)
    }
}

impl<'a> Search<'a> {
    fn of(
        kernel: &'a Kernel,
        sets: &'a [Set],
        run: &'a Scratch,
        flips: &'a FlipScratch,
    ) -> Search<'a> {
        Search {
            kernel,
            sets,
            run,
            turns: &flips.turns,
            tally: &flips.tally,
        }
    }

    fn fails(&self, cell: &Cell) -> bool {
        self.kernel.test(cell, self.sets, &self.run.spans) == Verdict::Fails
    }

    /// Rows that one fact alone keeps from holding.
    fn lone(&self, word: usize) -> u64 {
        self.tally.lone(word) & self.kernel.alive[word]
    }

    fn is_lone(&self, row: usize) -> bool {
        self.lone(row / 64) >> (row % 64) & 1 == 1
    }

    /// What fails is mended where one fact alone keeps a row from holding. Here are the rules with one row.
    fn mend_plain(self) -> impl Iterator<Item = RawFlip> + 'a {
        let possibly = self.run.verdicts.possibly.iter().enumerate();
        possibly.flat_map(move |(word, possibly)| {
            let lone = self.lone(word) & !self.kernel.several[word] & !possibly;
            let fit = self.tally.numbers_fit[word];
            let numbers = self.kernel.rules_of(word, lone & !fit);
            let others = self.kernel.rules_of(word, lone & fit);
            let rows = numbers.chain(others);
            rows.flat_map(move |row| self.mend_row(row).flips(row))
        })
    }

    /// The targets with several rows that fail, one of which one fact alone keeps from holding.
    fn mendable(&self) -> Vec<u64> {
        let kernel = self.kernel;
        let lone = |word: usize| self.lone(word) & kernel.several[word];
        let mut targets: Vec<u64> = (0..kernel.heads).map(lone).collect();
        for word in kernel.heads..kernel.words {
            for bit in bits(self.lone(word)) {
                let nth = (word - kernel.heads) * 64 + bit;
                add(&mut targets, kernel.extra[nth] as usize);
            }
        }
        let possibly = self.run.verdicts.possibly.iter();
        let failing = targets.iter_mut().zip(possibly);
        failing.for_each(|(targets, possibly)| *targets &= !possibly);
        targets
    }

    /// The turns that mend a rule with several rows, the nearest where several rows give one.
    fn mend_all(&self, target: usize, found: &mut Vec<RawFlip>) {
        let start = found.len();
        let rows = self.kernel.rows_of(target);
        for row in rows.filter(|row| self.is_lone(*row)) {
            found.extend(self.mend_row(row).flips(target));
        }
        nearest(found, start);
    }

    /// The turns by which a row that one fact alone fails comes to hold.
    fn mend_row(&self, row: usize) -> Ways {
        let mut cells = self.kernel.cells_of(row).iter();
        let cell = cells.find(|cell| self.fails(cell));
        cell.map_or(Ways::one(0, None), |cell| self.mend(cell))
    }

    fn set(&self, track: u32) -> Set {
        self.kernel
            .set(&self.kernel.tracks[track as usize], self.sets)
    }

    /// The turns by which a test that fails comes to hold.
    fn mend(&self, cell: &Cell) -> Ways {
        let track = cell.track;
        match cell.kind {
            Kind::Number => {
                let is_up = cell.from > self.run.spans[track as usize].high;
                let bucket = if is_up { cell.from } else { cell.to };
                Ways::one(track, self.kernel.number(track, bucket, is_up))
            }
            Kind::Choice | Kind::Bits => Ways {
                track,
                turn: None,
                options: self.kernel.within(track, self.kernel.allowed(cell)),
            },
            Kind::Several => {
                let Set::Several { surely, maybe } = self.set(track) else {
                    return Ways::one(track, None);
                };
                let (with, without) = self.kernel.wanted(cell);
                let (missing, surplus) = (with & !surely, without & maybe);
                let with = each(missing).map(|option| Turn::With(option as u8));
                let without = each(surplus).map(|option| Turn::Without(option as u8));
                let mut turns = with.chain(without);
                let first = turns.next();
                Ways::one(track, first.filter(|_| turns.next().is_none()))
            }
        }
    }

    /// The turns by which one fact leaves every row that could still hold.
    fn break_all(&self, target: usize, room: &mut Room<'a>, found: &mut Vec<RawFlip>) {
        let kernel = self.kernel;
        let Room { rows, cells } = room;
        rows.clear();
        let mut alone = 0;
        for row in kernel.rows_of(target) {
            let is_free = has(&self.run.pass.possibly.rows, row);
            // Rows that several facts fail stay failed.
            if is_free || self.fails_once(row) {
                rows.push((kernel.cells_of(row), is_free));
                alone = row;
            }
        }
        if rows.len() == 1 {
            found.extend(self.turns.leave(alone));
            return;
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

    /// Whether one test of a row fails and no other.
    fn fails_once(&self, row: usize) -> bool {
        // A test that is open is counted among those that do not hold.
        let failing = || {
            self.kernel
                .cells_of(row)
                .iter()
                .filter(|cell| self.fails(cell))
        };
        self.is_lone(row) || self.run.pass.is_open && failing().take(2).count() == 1
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
                let mut note = |bucket: u32, is_up: bool| {
                    let turn = self.kernel.number(track, bucket, is_up);
                    found.extend(turn.map(|turn| RawFlip::of(target, track, turn)));
                };
                if let Some(bucket) = low {
                    note(bucket, false);
                }
                let mut high = span.high;
                while let Some(cell) = around(high) {
                    high = cell.to + 1;
                }
                note(high, true);
            }
            Set::Choice(_) => {
                let held = cells.iter().fold(0, |sum, c| sum | self.kernel.allowed(c));
                let turn = None;
                let options = self.kernel.within(track, !held);
                let ways = Ways {
                    track,
                    turn,
                    options,
                };
                found.extend(ways.flips(target));
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
                        found.push(RawFlip::of(target, track, Turn::With(place as u8)));
                    }
                    if fails(surely & !option, maybe & !option) {
                        found.push(RawFlip::of(target, track, Turn::Without(place as u8)));
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
