//! Turns, and those of them that are the same in every run.

use super::super::set::Set;
use super::rows::{add, has};
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

/// What a search of all rules looks up, of targets with one row: they are most, and their rows have their places.
#[derive(Debug)]
pub(super) struct Turns {
    /// Where the turns start by which each target ceases to hold.
    first: Box<[u32]>,
    leaving: Box<[RawFlip]>,
    /// Targets with one row whose tests all have masks, and are few enough for `nth`.
    pub plain: Box<[u64]>,
    /// By track and target: which test of the row looks at the track, if any does.
    nth: Box<[u8]>,
}

impl Turns {
    pub fn of(kernel: &Kernel) -> Turns {
        let (mut first, mut leaving) = (vec![0], Vec::new());
        let mut plain = vec![0; kernel.heads];
        let mut nth = vec![0; kernel.tracks.len() * kernel.rules];
        for target in 0..kernel.rules {
            if !kernel.is_several(target) {
                let cells = kernel.cells_of(target);
                for (at, cell) in (0..=u8::MAX).zip(cells) {
                    nth[cell.track as usize * kernel.rules + target] = at;
                }
                if cells.len() <= usize::from(u8::MAX) && !has(&kernel.tested, target) {
                    add(&mut plain, target);
                }
                let cells = cells.iter();
                cells.for_each(|cell| kernel.leave(&mut leaving, target, cell));
            }
            first.push(leaving.len() as u32);
        }
        Turns {
            first: first.into(),
            leaving: leaving.into(),
            plain: plain.into(),
            nth: nth.into(),
        }
    }

    /// The turns by which a target ceases to hold.
    pub fn leaving(&self, target: usize) -> &[RawFlip] {
        &self.leaving[self.first[target] as usize..self.first[target + 1] as usize]
    }

    /// By target: which test of a plain one looks at a track, if any does.
    pub fn nth(&self, track: usize) -> &[u8] {
        let targets = self.first.len() - 1;
        &self.nth[track * targets..][..targets]
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
            for option in each(wanted & range) {
                push(found, target, track, Turn::Option(option as u8));
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
            Kind::Choice | Kind::Order => {
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
