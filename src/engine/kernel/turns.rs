//! Turns, and those of them that are the same in every run.

use super::super::set::Set;
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

impl RawFlip {
    pub fn of(target: usize, track: u32, turn: Turn) -> RawFlip {
        let target = target as u32;
        RawFlip {
            target,
            track,
            turn,
        }
    }
}

/// The turns by which each row that holds ceases to: they are the same wherever the facts lie.
#[derive(Debug, Default)]
pub(super) struct Turns {
    /// Where those of each row start.
    first: Box<[u32]>,
    leaving: Box<[RawFlip]>,
}

impl Turns {
    /// Finds them, if that was not done before.
    pub fn fill(&mut self, kernel: &Kernel) {
        if !self.first.is_empty() {
            return;
        }
        let (mut first, mut leaving) = (vec![0], Vec::new());
        for row in 0..kernel.words * 64 {
            for cell in kernel.cells_of(row) {
                kernel.leave(&mut leaving, kernel.target(row), cell);
            }
            first.push(leaving.len() as u32);
        }
        (self.first, self.leaving) = (first.into(), leaving.into());
    }

    /// The turns by which a row ceases to hold.
    #[inline(always)]
    pub fn leave(&self, row: usize) -> &[RawFlip] {
        &self.leaving[self.first[row] as usize..self.first[row + 1] as usize]
    }
}

impl Kernel {
    /// The target of a row.
    fn target(&self, row: usize) -> usize {
        let extra = row.checked_sub(self.heads * 64);
        let target = extra.and_then(|nth| self.extra.get(nth));
        target.map_or(row, |target| *target as usize)
    }

    /// A turn to a higher or lower bucket, if the vocabulary allows it.
    #[inline]
    pub(super) fn number(&self, track: u32, bucket: u32, is_up: bool) -> Option<Turn> {
        let numbers = self.scales.of(track)?;
        let (value, reached) = (
            self.scales.cut(numbers, bucket - u32::from(is_up)),
            bucket % 2 == 1,
        );
        if is_up {
            (bucket <= numbers.whole.high).then_some(Turn::Up { value, reached })
        } else {
            (bucket >= numbers.whole.low).then_some(Turn::Down { value, reached })
        }
    }

    /// Options of a choice, as far as the vocabulary allows them.
    pub(super) fn within(&self, track: u32, options: u128) -> u128 {
        match self.tracks[track as usize].range {
            Set::Choice(range) => options & range,
            _ => 0,
        }
    }

    /// Adds the turns by which a fact leaves what a row allows.
    fn leave(&self, found: &mut Vec<RawFlip>, target: usize, cell: &Cell) {
        let track = cell.track;
        let mut note = |turn: Turn| found.push(RawFlip::of(target, track, turn));
        match cell.kind {
            Kind::Number => {
                let down = cell.from.checked_sub(1);
                let down = down.and_then(|bucket| self.number(track, bucket, false));
                let up = self.number(track, cell.to + 1, true);
                down.into_iter().chain(up).for_each(note);
            }
            Kind::Choice | Kind::Bits => {
                let options = each(self.within(track, !self.allowed(cell)));
                options.for_each(|option| note(Turn::Option(option as u8)));
            }
            Kind::Several => {
                let (with, without) = self.wanted(cell);
                each(with).for_each(|option| note(Turn::Without(option as u8)));
                each(without).for_each(|option| note(Turn::With(option as u8)));
            }
        }
    }
}
