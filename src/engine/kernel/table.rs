//! What one fact says about all rows at once.

use super::super::normal::Allowed;
use super::super::set::{Interval, Set, Verdict};

/// Rows that fit: those of `mask`, or all where it is empty, but for `rest`.
#[derive(Clone, Copy)]
pub(super) struct Fit<'a> {
    mask: &'a [u64],
    rest: &'a [u32],
}

impl Fit<'_> {
    /// Strikes the rows that do not fit.
    fn keep(self, rows: &mut [u64]) {
        for (row, mask) in rows.iter_mut().zip(self.mask) {
            *row &= mask;
        }
        strike(rows, self.rest);
    }
}

/// Strikes the rows that do not fit both.
fn keep_both(rows: &mut [u64], a: Fit<'_>, b: Fit<'_>) {
    if a.mask.is_empty() || b.mask.is_empty() {
        a.keep(rows);
        b.keep(rows);
        return;
    }
    for ((row, a), b) in rows.iter_mut().zip(a.mask).zip(b.mask) {
        *row &= a & b;
    }
    strike(rows, a.rest);
    strike(rows, b.rest);
}

fn strike(rows: &mut [u64], gone: &[u32]) {
    for row in gone {
        rows[*row as usize / 64] &= !(1 << (row % 64));
    }
}

/// Rows in the order in which they cease to fit as the bucket moves, with the mask of what is left at every so many.
///
/// The masks stand as far apart as they are long, so all of them take no more room than a few words a row, and the
/// rows in between cost no more than the mask.
#[derive(Debug)]
struct Ladder {
    /// By bucket: how many of `rows` do not fit.
    gone: Box<[u32]>,
    rows: Box<[u32]>,
    masks: Box<[u64]>,
    /// The binary logarithm of the distance between two masks.
    spacing: u32,
    words: usize,
}

impl Ladder {
    /// `ends` are pairs of the bucket from which on a row is gone, and the row.
    fn new(mut ends: Vec<(u32, u32)>, buckets: usize, words: usize) -> Ladder {
        ends.sort_unstable();
        let spacing = words.next_power_of_two().clamp(4, 1 << 20).trailing_zeros();
        let mut gone = vec![0_u32; buckets];
        ends.iter()
            .for_each(|(bucket, _)| gone[*bucket as usize] += 1);
        let mut sum = 0;
        for count in &mut gone {
            sum += *count;
            *count = sum;
        }
        let rows: Box<[u32]> = ends.into_iter().map(|(_, row)| row).collect();
        let mut masks = Vec::with_capacity((rows.len() >> spacing) * words);
        let mut left = vec![u64::MAX; words];
        for step in rows.chunks_exact(1 << spacing) {
            strike(&mut left, step);
            masks.extend_from_slice(&left);
        }
        Ladder {
            gone: gone.into(),
            rows,
            masks: masks.into(),
            spacing,
            words,
        }
    }

    fn fit(&self, bucket: usize) -> Fit<'_> {
        let gone = self.gone[bucket] as usize;
        let steps = gone >> self.spacing;
        let mask = match steps {
            0 => &[][..],
            _ => &self.masks[(steps - 1) * self.words..][..self.words],
        };
        Fit {
            mask,
            rest: &self.rows[steps << self.spacing..gone],
        }
    }
}

/// A number: bucket `2 i` lies below cut `i` (and above the one before), bucket `2 i + 1` is the cut itself. Every
/// comparison has one answer within a bucket.
#[derive(Debug)]
pub(super) struct Numbers {
    pub cuts: Box<[f64]>,
    /// Rows whose allowed buckets end before a bucket.
    ended: Ladder,
    /// Rows whose allowed buckets begin after a bucket; its buckets are counted from the top.
    ahead: Ladder,
}

impl Numbers {
    /// `cells` are rows with their first and last allowed bucket.
    pub fn new(cuts: Vec<f64>, cells: &[(u32, u32, u32)], words: usize) -> Numbers {
        let last = 2 * cuts.len() as u32;
        let buckets = last as usize + 1;
        let ended = cells.iter().filter(|(_, _, to)| *to < last);
        let ended = ended.map(|(row, _, to)| (to + 1, *row)).collect();
        let ahead = cells.iter().filter(|(_, from, _)| *from > 0);
        let ahead = ahead
            .map(|(row, from, _)| (last - (from - 1), *row))
            .collect();
        Numbers {
            cuts: cuts.into(),
            ended: Ladder::new(ended, buckets, words),
            ahead: Ladder::new(ahead, buckets, words),
        }
    }

    pub fn bucket(&self, x: f64) -> usize {
        let below = if self.cuts.len() <= 24 {
            self.cuts.iter().map(|cut| usize::from(*cut < x)).sum()
        } else {
            self.cuts.partition_point(|cut| *cut < x)
        };
        2 * below + usize::from(self.cuts.get(below) == Some(&x))
    }

    pub fn buckets(&self, values: Interval) -> (usize, usize) {
        let low = self.bucket(values.lo);
        if values.lo == values.hi {
            (low, low)
        } else {
            (low, self.bucket(values.hi))
        }
    }

    /// The last bucket: above every cut.
    pub fn last(&self) -> u32 {
        2 * self.cuts.len() as u32
    }

    /// The values of some neighbouring buckets.
    pub fn allowed(&self, from: u32, to: u32) -> Allowed {
        let cut = |bucket: u32| self.cuts[bucket as usize / 2];
        let (low, low_open) = match from {
            0 => (f64::NEG_INFINITY, false),
            _ => (cut(from - 1), from.is_multiple_of(2)),
        };
        let (high, high_open) = match to {
            to if to == self.last() => (f64::INFINITY, false),
            _ => (cut(to), to.is_multiple_of(2)),
        };
        Allowed::Numbers {
            low,
            low_open,
            high,
            high_open,
        }
    }

    pub fn span(&self, values: Interval) -> Span {
        let (low, high) = self.buckets(values);
        Span {
            low: low as u32,
            high: high as u32,
        }
    }

    fn reach(&self, bucket: usize) -> Fit<'_> {
        self.ended.fit(bucket)
    }

    fn begun(&self, bucket: usize) -> Fit<'_> {
        self.ahead.fit(2 * self.cuts.len() - bucket)
    }

    fn settle(&self, bucket: usize, rows: &mut [u64]) {
        keep_both(rows, self.reach(bucket), self.begun(bucket));
    }

    fn spread(&self, low: usize, high: usize, unsure: &mut [u64], possibly: &mut [u64]) {
        unsure.fill(u64::MAX);
        keep_both(unsure, self.reach(high), self.begun(low));
        unsure.iter_mut().for_each(|word| *word = !*word);
        keep_both(possibly, self.reach(low), self.begun(high));
    }
}

/// How one fact strikes rows.
#[derive(Debug)]
pub(super) enum Table {
    Numbers(Numbers),
    /// Many rows on a choice: for each option the rows that allow it, then those that do not look at the choice.
    Options(Box<[u64]>),
    /// Few rows, or sets of options: each is tested by itself.
    List(Box<[(u32, Allowed)]>),
}

/// Where the possible values of a fact lie: first and last bucket of a number.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Span {
    pub low: u32,
    pub high: u32,
}

impl Table {
    /// Strikes the rows that a known value fails. False, and nothing struck, where the value is not known well enough.
    pub fn settle(&self, set: Set, span: &mut Span, rows: &mut [u64]) -> bool {
        match (self, set) {
            (Table::Numbers(numbers), Set::Number(values)) => {
                *span = numbers.span(values);
                if span.low == span.high {
                    numbers.settle(span.low as usize, rows);
                }
                span.low == span.high
            }
            (Table::Options(masks), Set::Choice(options)) if options.count_ones() == 1 => {
                let mask = option(masks, options.trailing_zeros() as usize, rows.len());
                rows.iter_mut()
                    .zip(mask)
                    .for_each(|(row, mask)| *row &= mask);
                true
            }
            (Table::List(cells), set) if set.is_known() => {
                // A set of another kind than the fact's leaves every test open.
                let known = cells
                    .iter()
                    .all(|(_, allowed)| allowed.verdict(set) != Verdict::Open);
                let failed =
                    |(_, allowed): &&(u32, Allowed)| allowed.verdict(set) == Verdict::Fails;
                if known {
                    for (row, _) in cells.iter().filter(failed) {
                        rows[*row as usize / 64] &= !(1 << (row % 64));
                    }
                }
                known
            }
            _ => false,
        }
    }

    /// Strikes the rows that a known value fails, which [`Table::settle`] has found to be known.
    pub fn strike_failed(&self, set: Set, span: Span, rows: &mut [u64]) {
        match self {
            Table::Numbers(numbers) => numbers.settle(span.low as usize, rows),
            _ => {
                self.settle(set, &mut Span::default(), rows);
            }
        }
    }

    /// Strikes the rows that the values cannot fit.
    pub fn strike_impossible(&self, set: Set, span: Span, rows: &mut [u64]) {
        match (self, set) {
            (Table::Numbers(numbers), Set::Number(_)) => keep_both(
                rows,
                numbers.reach(span.low as usize),
                numbers.begun(span.high as usize),
            ),
            _ => self.spread(set, span, &mut vec![0; rows.len()], rows),
        }
    }

    /// Marks the rows that the values do not surely fit as unsure, and strikes those that they cannot fit.
    pub fn spread(&self, set: Set, span: Span, unsure: &mut [u64], possibly: &mut [u64]) {
        match (self, set) {
            (Table::Numbers(numbers), Set::Number(_)) => {
                numbers.spread(span.low as usize, span.high as usize, unsure, possibly);
            }
            (Table::Options(masks), Set::Choice(options)) => {
                spread_options(masks, options, unsure, possibly);
            }
            (Table::List(cells), set) => {
                unsure.fill(0);
                for (row, allowed) in cells {
                    let (word, bit) = (*row as usize / 64, 1 << (row % 64));
                    match allowed.verdict(set) {
                        Verdict::Holds => {}
                        Verdict::Open => unsure[word] |= bit,
                        Verdict::Fails => {
                            unsure[word] |= bit;
                            possibly[word] &= !bit;
                        }
                    }
                }
            }
            (Table::Numbers(numbers), _) => {
                unsure.fill(u64::MAX);
                strike(unsure, &numbers.ended.rows);
                strike(unsure, &numbers.ahead.rows);
                unsure.iter_mut().for_each(|word| *word = !*word);
            }
            (Table::Options(masks), _) => {
                let others = option(masks, usize::MAX, unsure.len());
                unsure
                    .iter_mut()
                    .zip(others)
                    .for_each(|(unsure, other)| *unsure = !other);
            }
        }
    }
}

/// The rows that allow an option; one that the fact does not have is allowed where nothing is asked of it.
fn option(masks: &[u64], index: usize, words: usize) -> &[u64] {
    let last = masks.len() / words - 1;
    &masks[index.min(last) * words..][..words]
}

fn spread_options(masks: &[u64], options: u128, unsure: &mut [u64], possibly: &mut [u64]) {
    let words = unsure.len();
    let each = |mut left: u128| {
        std::iter::from_fn(move || {
            let index = left.trailing_zeros() as usize;
            left &= left.wrapping_sub(1);
            (index < 128).then_some(index)
        })
    };
    for word in 0..words {
        let (mut all, mut any) = (u64::MAX, 0);
        for index in each(options) {
            let mask = option(masks, index, words)[word];
            all &= mask;
            any |= mask;
        }
        unsure[word] = !all;
        possibly[word] &= any | all;
    }
}
