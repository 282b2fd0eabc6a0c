//! For every row, whether one test alone keeps it from surely holding.

use super::super::expr::compile::ColumnId;
use super::super::set::{Set, Verdict};
use super::rows::{BLOCK, bits};
use super::table::{Options, Span, Table};
use super::{Kernel, Scratch, each};

/// One block of rows.
type Lane = [u64; BLOCK];

/// Masks that are counted together.
const TOGETHER: usize = 8;

/// The mask in which every row is.
pub(super) const ALL: u32 = 0;

/// Which rows some masks lack: none of them, or one at most.
#[derive(Debug, Default)]
pub(super) struct Tally {
    /// The masks of numbers, and then all others.
    places: Vec<u32>,
    numbers: usize,
    /// Rows that lack none of them, and those that lack one at most.
    none: Vec<Lane>,
    one: Vec<Lane>,
    /// The rows that lack no mask of a number.
    pub numbers_fit: Vec<u64>,
}

fn and(a: Lane, b: Lane) -> Lane {
    std::array::from_fn(|at| a[at] & b[at])
}

fn or(a: Lane, b: Lane) -> Lane {
    std::array::from_fn(|at| a[at] | b[at])
}

impl Tally {
    /// The rows of a word that lack one mask.
    pub fn lone(&self, word: usize) -> u64 {
        let (block, at) = (word / BLOCK, word % BLOCK);
        self.one[block][at] & !self.none[block][at]
    }

    fn begin(&mut self, words: usize) {
        for lanes in [&mut self.none, &mut self.one] {
            lanes.clear();
            lanes.resize(words / BLOCK, [u64::MAX; BLOCK]);
        }
    }

    /// Counts a group of masks.
    fn count(&mut self, group: usize, masks: &[u64]) {
        let mut places = [ALL; TOGETHER];
        let own = self.places[group * TOGETHER..].iter();
        places
            .iter_mut()
            .zip(own)
            .for_each(|(to, from)| *to = *from);
        let blocks = self.none.len();
        let masks = places.map(|place| {
            let (lanes, _) = masks[place as usize..].as_chunks::<BLOCK>();
            &lanes[..blocks]
        });
        // Of two sets of masks, the rows that lack none of one and at most one of the other.
        let most = |none: [Lane; 2], one: [Lane; 2]| or(and(one[0], none[1]), and(none[0], one[1]));
        let lanes = self.none.iter_mut().zip(&mut self.one);
        for (at, (none, one)) in lanes.enumerate() {
            let [a, b, c, d, e, f, g, h] = masks.map(|mask| mask[at]);
            let pairs = [and(a, b), and(c, d), and(e, f), and(g, h)];
            let either = [or(a, b), or(c, d), or(e, f), or(g, h)];
            let fours = [and(pairs[0], pairs[1]), and(pairs[2], pairs[3])];
            let first = most([pairs[0], pairs[1]], [either[0], either[1]]);
            let second = most([pairs[2], pairs[3]], [either[2], either[3]]);
            let eight = and(fours[0], fours[1]);
            *one = most([*none, eight], [*one, most(fours, [first, second])]);
            *none = and(*none, eight);
        }
    }

    /// Counts one row, if it lacks something.
    #[inline(always)]
    fn count_row(&mut self, row: usize, lacks: bool) {
        let (block, at) = (row / 64 / BLOCK, row / 64 % BLOCK);
        let left = !(u64::from(lacks) << (row % 64));
        self.one[block][at] &= self.none[block][at] | left;
        self.none[block][at] &= left;
    }
}

impl Kernel {
    /// Finds the rows of which one test alone does not surely hold.
    pub(super) fn tally(&self, sets: &[Set], run: &Scratch, tally: &mut Tally) {
        self.name_masks(sets, run, tally);
        tally.begin(self.words);
        let groups = tally.numbers / TOGETHER;
        (0..groups).for_each(|group| tally.count(group, &self.masks));
        self.count_rungs(run, tally);
        tally.numbers_fit.clear();
        tally.numbers_fit.extend(tally.none.as_flattened());
        let all = tally.places.len().div_ceil(TOGETHER);
        (groups..all).for_each(|group| tally.count(group, &self.masks));
        self.count_others(sets, run, tally);
    }

    /// Names the masks of the rows that surely fit each fact.
    fn name_masks(&self, sets: &[Set], run: &Scratch, tally: &mut Tally) {
        let Tally {
            places, numbers, ..
        } = tally;
        places.clear();
        for (of, span) in self.scales.numbers[..self.scales.with_ladders]
            .iter()
            .zip(&run.spans)
        {
            places.extend(match *span {
                Span::ANY => [ALL; 2],
                span => self.rungs_beyond(&of.ladders, span).map(|(mask, _)| mask),
            });
        }
        places.resize(places.len().next_multiple_of(TOGETHER), ALL);
        *numbers = places.len();
        for index in self.scales.numbers.len()..self.passed {
            let track = &self.tracks[index];
            match (&track.table, self.set(track, sets)) {
                (Table::Options(masks), Set::Choice(options)) if options.count_ones() == 1 => {
                    places.push(self.option_mask(*masks, options.trailing_zeros()));
                }
                (Table::Several(all), Set::Several { surely, maybe }) => {
                    for asked in all {
                        let has = |options: u128| options & asked.option != 0;
                        places.extend((!has(surely)).then_some(asked.absent));
                        places.extend(has(maybe).then_some(asked.present));
                    }
                }
                _ => {}
            }
        }
    }

    pub(super) fn option_mask(&self, masks: Options, option: u32) -> u32 {
        masks.first + option.min(masks.count) * self.words as u32
    }

    /// Counts the rows that are gone beyond the last mask of a ladder.
    fn count_rungs(&self, run: &Scratch, tally: &mut Tally) {
        let numbers = &self.scales.numbers[..self.scales.with_ladders];
        for (of, span) in numbers.iter().zip(&run.spans) {
            if *span == Span::ANY {
                continue;
            }
            for (_, rungs) in self.rungs_beyond(&of.ladders, *span) {
                let rungs = rungs.iter();
                rungs.for_each(|row| tally.count_row(*row as usize, true));
            }
        }
    }

    /// Counts what no mask tells.
    fn count_others(&self, sets: &[Set], run: &Scratch, tally: &mut Tally) {
        for index in 0..self.passed {
            let track = &self.tracks[index];
            match (&track.table, self.set(track, sets)) {
                (Table::Numbers, Set::Number(_)) | (Table::Several(_), Set::Several { .. }) => {}
                (Table::Options(_), Set::Choice(options)) if options.count_ones() == 1 => {}
                (Table::Options(masks), Set::Choice(options)) => {
                    let places: Vec<u32> = each(options)
                        .map(|option| self.option_mask(*masks, option as u32))
                        .collect();
                    for word in 0..self.words {
                        let fits = places
                            .iter()
                            .map(|place| self.masks[*place as usize + word]);
                        let fits = fits.fold(u64::MAX, |all, mask| all & mask);
                        bits(!fits).for_each(|bit| tally.count_row(word * 64 + bit, true));
                    }
                }
                // A set of another kind than the fact's leaves every test open.
                _ => self.count_looking(track.id, tally),
            }
        }
        for (row, cell) in self.few.iter().flatten() {
            let lacks = self.test(cell, sets, &run.spans) != Verdict::Holds;
            tally.count_row(*row as usize, lacks);
        }
    }

    #[cold]
    fn count_looking(&self, id: ColumnId, tally: &mut Tally) {
        for row in 0..self.words * 64 {
            let mut cells = self.cells_of(row).iter();
            if cells.any(|cell| cell.is_masked && self.column(cell.track) == id) {
                tally.count_row(row, true);
            }
        }
    }
}
