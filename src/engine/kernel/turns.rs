//! Turns, and those of them that are the same in every run.

use super::super::set::Set;
use super::rows::bits;
use super::{Cell, Kernel, Kind, each};

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

/// A turn of one target by one track.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RawFlip {
    pub target: u32,
    pub track: u32,
    pub turn: Turn,
}

/// What a search of all rules looks up.
#[derive(Debug)]
pub(super) struct Turns {
    /// Where the turns start by which each target with one row ceases to hold.
    first: Box<[u32]>,
    /// Behind them stand some more, so that as many can always be copied.
    leaving: Box<[RawFlip]>,
    /// By track with masks and row: which test of the row looks at the track, if any does.
    nth: Box<[u8]>,
    rows: usize,
}

/// As many turns are copied at once; few rules have more.
const COPIED: usize = 6;

const NONE: RawFlip = RawFlip {
    target: 0,
    track: 0,
    turn: Turn::Option(0),
};

impl Turns {
    pub fn of(kernel: &Kernel) -> Turns {
        let (mut first, mut leaving) = (vec![0], Vec::new());
        let rows = kernel.words * 64;
        let mut nth = vec![0; kernel.passed * rows];
        for row in 0..rows {
            for (at, cell) in (0..u8::MAX).zip(kernel.cells_of(row)) {
                if cell.is_masked {
                    nth[cell.track as usize * rows + row] = at;
                }
            }
        }
        for target in 0..kernel.rules {
            if !kernel.is_several(target) {
                let cells = kernel.cells_of(target).iter();
                cells.for_each(|cell| kernel.leave(&mut leaving, target, cell));
            }
            first.push(leaving.len() as u32);
        }
        leaving.extend([NONE; COPIED]);
        Turns {
            first: first.into(),
            leaving: leaving.into(),
            nth: nth.into(),
            rows,
        }
    }

    /// Copies the turns by which a target ceases to hold behind those found so far.
    #[inline(always)]
    pub fn leave(&self, target: usize, found: &mut Vec<RawFlip>, count: &mut usize) {
        let (from, to) = (self.first[target] as usize, self.first[target + 1] as usize);
        if found.len() < *count + COPIED + to - from {
            found.resize(self.leaving.len(), NONE);
        }
        found[*count..*count + COPIED].copy_from_slice(&self.leaving[from..from + COPIED]);
        if to - from > COPIED {
            found[*count..*count + to - from].copy_from_slice(&self.leaving[from..to]);
        }
        *count += to - from;
    }

    /// The test by which a row looks at a track with masks.
    #[inline(always)]
    pub fn cell<'a>(&self, kernel: &'a Kernel, row: usize, track: u32) -> &'a Cell {
        let nth = self.nth[track as usize * self.rows + row];
        let cell = &kernel.cells[kernel.first_cell[row] as usize + usize::from(nth)];
        if cell.track == track {
            return cell;
        }
        // Only a row of very many tests gets here.
        let mut cells = kernel.cells_of(row).iter();
        cells.find(|cell| cell.track == track).unwrap_or(cell)
    }
}

pub(super) fn push(found: &mut Vec<RawFlip>, target: usize, track: u32, turn: Turn) {
    let target = target as u32;
    found.push(RawFlip {
        target,
        track,
        turn,
    });
}

impl Kernel {
    /// A turn to a higher or lower bucket, if the vocabulary allows it.
    #[inline]
    pub(super) fn number(
        &self,
        found: &mut Vec<RawFlip>,
        target: usize,
        track: u32,
        bucket: u32,
        is_up: bool,
    ) {
        let Some(numbers) = self.scales.of(track) else {
            return;
        };
        let (value, reached) = (
            self.scales.cut(numbers, bucket - u32::from(is_up)),
            bucket % 2 == 1,
        );
        let (turn, is_within) = if is_up {
            (Turn::Up { value, reached }, bucket <= numbers.whole.high)
        } else {
            (Turn::Down { value, reached }, bucket >= numbers.whole.low)
        };
        if is_within {
            push(found, target, track, turn);
        }
    }

    /// The turns to some options, as far as the vocabulary allows them.
    pub(super) fn options(
        &self,
        found: &mut Vec<RawFlip>,
        target: usize,
        track: u32,
        wanted: u128,
    ) {
        if let Set::Choice(range) = self.tracks[track as usize].range {
            let wanted = wanted & range;
            let first = bits(wanted as u64).map(|option| option as u8);
            first.for_each(|option| push(found, target, track, Turn::Option(option)));
            if wanted >> 64 != 0 {
                let more = bits((wanted >> 64) as u64).map(|option| option as u8 + 64);
                more.for_each(|option| push(found, target, track, Turn::Option(option)));
            }
        }
    }

    /// The turns by which a fact leaves what the only row of a target that holds allows.
    pub(super) fn leave(&self, found: &mut Vec<RawFlip>, target: usize, cell: &Cell) {
        let track = cell.track;
        match cell.kind {
            Kind::Number => {
                if cell.from > 0 {
                    self.number(found, target, track, cell.from - 1, false);
                }
                self.number(found, target, track, cell.to + 1, true);
            }
            Kind::Choice | Kind::Bits => {
                self.options(found, target, track, !self.allowed(cell));
            }
            Kind::Several => {
                let (with, without) = self.wanted(cell);
                let turns = each(with).map(|option| Turn::Without(option as u8));
                let turns = turns.chain(each(without).map(|option| Turn::With(option as u8)));
                turns.for_each(|turn| push(found, target, track, turn));
            }
        }
    }
}
