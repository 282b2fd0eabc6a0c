//! For every row, whether one test alone keeps it from surely holding, and which.

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

/// Which rows some masks lack: none of them, or one at most, and the place of that mask among them in binary.
///
/// Rows that lack more than one have no use for a place. The masks come in groups of eight, the last digits of whose
/// places are worked out at once.
#[derive(Debug, Default)]
pub(super) struct Tally {
    /// The masks of numbers, two each, and then all others.
    places: Vec<u32>,
    numbers: usize,
    /// What the masks of others test.
    others: Vec<Lack>,
    /// Block after block: the rows that lack none, those that lack one at most, and the digits of its place.
    lanes: Vec<Lane>,
    /// How many lanes a block has.
    stride: usize,
    /// The rows that lack no mask of a number.
    pub numbers_fit: Vec<u64>,
}

/// What a row lacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Lack {
    /// The value of a number, which lies above all that the row allows, or below.
    Number {
        track: u32,
        is_up: bool,
    },
    /// The option of a choice.
    Option {
        track: u32,
    },
    /// One of several options is absent, or present.
    With {
        track: u32,
        option: u8,
    },
    Without {
        track: u32,
        option: u8,
    },
    /// Something that is found out test by test.
    Other,
}

fn and(a: Lane, b: Lane) -> Lane {
    std::array::from_fn(|at| a[at] & b[at])
}

fn or(a: Lane, b: Lane) -> Lane {
    std::array::from_fn(|at| a[at] | b[at])
}

fn without(a: Lane, b: Lane) -> Lane {
    std::array::from_fn(|at| a[at] | !b[at])
}

impl Tally {
    /// The rows of a word that lack one mask.
    pub fn lone(&self, word: usize) -> u64 {
        let block = word / BLOCK * self.stride;
        self.lanes[block + 1][word % BLOCK] & !self.lanes[block][word % BLOCK]
    }

    /// The place of the mask that a row lacks.
    #[inline(always)]
    pub fn place(&self, word: usize, bit: usize) -> usize {
        let block = word / BLOCK * self.stride;
        let digits = self.lanes[block + 2..block + self.stride].iter();
        digits.rev().fold(0, |place, digit| {
            place << 1 | (digit[word % BLOCK] >> bit & 1) as usize
        })
    }

    pub fn lack(&self, place: usize) -> Lack {
        if place < self.numbers {
            return Lack::Number {
                track: place as u32 / 2,
                is_up: place % 2 == 1,
            };
        }
        let other = self.others.get(place - self.numbers);
        other.copied().unwrap_or(Lack::Other)
    }

    fn begin(&mut self, words: usize, masks: usize) {
        let digits = (masks + TOGETHER).ilog2() as usize + 1;
        self.stride = 2 + digits;
        self.lanes.clear();
        self.lanes.resize(words / BLOCK * self.stride, [0; BLOCK]);
        for lanes in self.lanes.chunks_exact_mut(self.stride) {
            (lanes[0], lanes[1]) = ([u64::MAX; BLOCK], [u64::MAX; BLOCK]);
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
        let blocks = self.lanes.len() / self.stride;
        let masks = places.map(|place| {
            let (lanes, _) = masks[place as usize..].as_chunks::<BLOCK>();
            &lanes[..blocks]
        });
        for (at, lanes) in self.lanes.chunks_exact_mut(self.stride).enumerate() {
            let [a, b, c, d, e, f, g, h] = masks.map(|mask| mask[at]);
            let pairs = [and(a, b), and(c, d), and(e, f), and(g, h)];
            let either = [or(a, b), or(c, d), or(e, f), or(g, h)];
            let one = |all: [Lane; 2], one: [Lane; 2]| or(and(one[0], all[1]), and(all[0], one[1]));
            let fours = [and(pairs[0], pairs[1]), and(pairs[2], pairs[3])];
            let first = one([pairs[0], pairs[1]], [either[0], either[1]]);
            let second = one([pairs[2], pairs[3]], [either[2], either[3]]);
            let (all, most) = (and(fours[0], fours[1]), one(fours, [first, second]));
            lanes[1] = one([lanes[0], all], [lanes[1], most]);
            lanes[0] = and(lanes[0], all);
            lanes[2] = without(lanes[2], and(and(b, d), and(f, h)));
            lanes[3] = without(lanes[3], and(pairs[1], pairs[3]));
            lanes[4] = without(lanes[4], fours[1]);
            for digit in bits(group as u64) {
                lanes[5 + digit] = without(lanes[5 + digit], all);
            }
        }
    }

    /// Counts one row that lacks the mask at a place.
    fn count_row(&mut self, row: usize, place: usize) {
        let (word, row) = (row / 64, 1 << (row % 64));
        let lanes = &mut self.lanes[word / BLOCK * self.stride..][..self.stride];
        let at = word % BLOCK;
        let before = lanes[0][at];
        lanes[1][at] &= before | !row;
        lanes[0][at] &= !row;
        for digit in bits(place as u64) {
            lanes[2 + digit][at] |= row;
        }
    }
}

impl Kernel {
    /// Finds the rows of which one test alone does not surely hold.
    pub(super) fn tally(&self, sets: &[Set], run: &Scratch, tally: &mut Tally) {
        self.name_masks(sets, run, tally);
        let (all, numbers) = (tally.places.len(), tally.numbers);
        tally.begin(self.words, all);
        let groups = numbers.div_ceil(TOGETHER);
        (0..groups).for_each(|group| tally.count(group, &self.masks));
        self.count_rungs(run, tally);
        tally.numbers_fit.clear();
        let fit = tally.lanes.chunks_exact(tally.stride);
        tally.numbers_fit.extend(fit.flat_map(|lanes| lanes[0]));
        (groups..all.div_ceil(TOGETHER)).for_each(|group| tally.count(group, &self.masks));
        self.count_others(sets, run, tally);
    }

    /// Names the masks of the rows that surely fit each fact.
    fn name_masks(&self, sets: &[Set], run: &Scratch, tally: &mut Tally) {
        let Tally {
            places,
            numbers,
            others,
            ..
        } = tally;
        places.clear();
        others.clear();
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
            let (at, track) = (index as u32, &self.tracks[index]);
            let mut name = |place: u32, lack: Lack| {
                places.push(place);
                others.push(lack);
            };
            match (&track.table, self.set(track, sets)) {
                (Table::Options(masks), Set::Choice(options)) if options.count_ones() == 1 => {
                    let place = self.option_mask(*masks, options.trailing_zeros());
                    name(place, Lack::Option { track: at });
                }
                (Table::Several(all), Set::Several { surely, maybe }) => {
                    for asked in all {
                        let option = asked.option.trailing_zeros() as u8;
                        match (surely & asked.option != 0, maybe & asked.option != 0) {
                            (true, _) => name(asked.present, Lack::Without { track: at, option }),
                            (_, false) => name(asked.absent, Lack::With { track: at, option }),
                            _ => {
                                name(asked.present, Lack::Other);
                                name(asked.absent, Lack::Other);
                            }
                        }
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
        for (nth, (of, span)) in numbers.iter().zip(&run.spans).enumerate() {
            if *span == Span::ANY {
                continue;
            }
            for (side, (_, rungs)) in self
                .rungs_beyond(&of.ladders, *span)
                .into_iter()
                .enumerate()
            {
                for row in rungs {
                    tally.count_row(*row as usize, 2 * nth + side);
                }
            }
        }
    }

    /// Counts what no mask tells.
    fn count_others(&self, sets: &[Set], run: &Scratch, tally: &mut Tally) {
        let other = tally.places.len();
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
                        bits(!fits).for_each(|bit| tally.count_row(word * 64 + bit, other));
                    }
                }
                // A set of another kind than the fact's leaves every test open.
                _ => self.count_looking(track.id, other, tally),
            }
        }
        for (row, cell) in self.few.iter().flatten() {
            if self.test(cell, sets, &run.spans) != Verdict::Holds {
                tally.count_row(*row as usize, other);
            }
        }
    }

    #[cold]
    fn count_looking(&self, id: ColumnId, place: usize, tally: &mut Tally) {
        for row in 0..self.words * 64 {
            let mut cells = self.cells_of(row).iter();
            if cells.any(|cell| cell.is_masked && self.column(cell.track) == id) {
                tally.count_row(row, place);
            }
        }
    }
}
