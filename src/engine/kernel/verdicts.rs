//! The verdicts of many conditions, as two bits each.

use super::super::set::Verdict;
use super::rows::ones;

/// The verdicts of all rules of a book, in the order of the book.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Verdicts {
    pub(super) count: usize,
    pub(super) surely: Vec<u64>,
    pub(super) possibly: Vec<u64>,
}

impl Verdicts {
    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.count
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// The verdict of one rule, by its place in the book.
    ///
    /// # Panics
    /// If the book has no rule at this place.
    #[must_use]
    pub fn get(&self, index: usize) -> Verdict {
        assert!(index < self.count, "the book has no rule at this place");
        self.at(index)
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = Verdict> + '_ {
        (0..self.count).map(|index| self.at(index))
    }

    /// The places of the rules that hold.
    pub fn holding(&self) -> impl Iterator<Item = usize> + '_ {
        ones(&self.surely).take_while(|place| *place < self.count)
    }

    /// The places of the rules that hold or are open.
    pub fn possible(&self) -> impl Iterator<Item = usize> + '_ {
        ones(&self.possibly).take_while(|place| *place < self.count)
    }

    /// The places of the rules that are open.
    pub(crate) fn open(&self) -> impl Iterator<Item = usize> + '_ {
        let is_open = |place: &usize| self.at(*place) == Verdict::Open;
        self.possible().filter(is_open)
    }

    /// The same for needs of gates too, which stand behind the rules.
    pub(crate) fn at(&self, index: usize) -> Verdict {
        let bit = |words: &[u64]| words[index / 64] >> (index % 64) & 1 == 1;
        match (bit(&self.surely), bit(&self.possibly)) {
            (true, _) => Verdict::Holds,
            (_, true) => Verdict::Open,
            _ => Verdict::Fails,
        }
    }
}

impl std::ops::Index<usize> for Verdicts {
    type Output = Verdict;

    fn index(&self, index: usize) -> &Verdict {
        match self.get(index) {
            Verdict::Holds => &Verdict::Holds,
            Verdict::Open => &Verdict::Open,
            Verdict::Fails => &Verdict::Fails,
        }
    }
}
