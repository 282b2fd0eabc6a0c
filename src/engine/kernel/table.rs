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
/// The masks stand a third as far apart as they are long, so all of them take no more room than a few words a row, and
/// the rows in between cost no more than the mask.
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
        let spacing = (words / 3)
            .next_power_of_two()
            .clamp(4, 1 << 20)
            .trailing_zeros();
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
    grid: Grid,
    rows: Rows,
}

/// Finds the place of a number among cuts: even cells over their span, each with the count of cuts in those before.
#[derive(Debug)]
struct Grid {
    least: f64,
    cells_per_unit: f64,
    before: Box<[u32]>,
}

impl Grid {
    fn new(cuts: &[f64]) -> Grid {
        let (least, most) = match cuts {
            [least, .., most] if (most - least).is_finite() => (*least, *most),
            _ => (0.0, 0.0),
        };
        let cells = cuts.len().max(1);
        let per_unit = cells as f64 / (most - least);
        let mut grid = Grid {
            least,
            cells_per_unit: if per_unit.is_finite() { per_unit } else { 0.0 },
            before: vec![0; cells + 2].into(),
        };
        cuts.iter().for_each(|cut| {
            let cell = grid.cell(*cut);
            grid.before[cell + 1] += 1;
        });
        (1..grid.before.len()).for_each(|at| grid.before[at] += grid.before[at - 1]);
        grid
    }

    /// The cell of a number: it never falls as the number grows, so cuts of earlier cells are smaller.
    fn cell(&self, x: f64) -> usize {
        let cell = ((x - self.least) * self.cells_per_unit) as usize;
        cell.min(self.before.len() - 2)
    }

    /// How many cuts are smaller.
    fn below(&self, cuts: &[f64], x: f64) -> usize {
        let cell = self.cell(x);
        let (first, last) = (self.before[cell] as usize, self.before[cell + 1] as usize);
        match &cuts[first..last] {
            few if few.len() <= 8 => {
                first + few.iter().map(|cut| usize::from(*cut < x)).sum::<usize>()
            }
            many => first + many.partition_point(|cut| *cut < x),
        }
    }
}

/// Rows that look at a number.
#[derive(Debug)]
enum Rows {
    /// Each row with its first and last allowed bucket.
    Few(Box<[(u32, u32, u32)]>),
    Many {
        /// Rows whose allowed buckets end before a bucket.
        ended: Ladder,
        /// Rows whose allowed buckets begin after a bucket; its buckets are counted from the top.
        ahead: Ladder,
    },
}

/// First and last bucket of the possible values of a number.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Span {
    pub low: u32,
    pub high: u32,
}

impl Span {
    /// Whether values within this span lie within the buckets from the first to the last.
    pub fn within(self, from: u32, to: u32) -> Verdict {
        if from <= self.low && self.high <= to {
            Verdict::Holds
        } else if self.high < from || to < self.low {
            Verdict::Fails
        } else {
            Verdict::Open
        }
    }
}

impl Numbers {
    /// `cells` are rows with their first and last allowed bucket.
    pub fn new(cuts: Vec<f64>, cells: Vec<(u32, u32, u32)>, words: usize) -> Numbers {
        let last = 2 * cuts.len() as u32;
        let buckets = last as usize + 1;
        let grid = Grid::new(&cuts);
        let cuts = cuts.into();
        if cells.len() <= words {
            let rows = Rows::Few(cells.into());
            return Numbers { cuts, grid, rows };
        }
        let ended = cells.iter().filter(|(_, _, to)| *to < last);
        let ended = ended.map(|(row, _, to)| (to + 1, *row)).collect();
        let ahead = cells.iter().filter(|(_, from, _)| *from > 0);
        let ahead = ahead
            .map(|(row, from, _)| (last - (from - 1), *row))
            .collect();
        let rows = Rows::Many {
            ended: Ladder::new(ended, buckets, words),
            ahead: Ladder::new(ahead, buckets, words),
        };
        Numbers { cuts, grid, rows }
    }

    fn bucket(&self, x: f64) -> usize {
        let below = self.grid.below(&self.cuts, x);
        2 * below + usize::from(self.cuts.get(below) == Some(&x))
    }

    /// The buckets that an interval touches.
    pub fn span(&self, values: Interval) -> Span {
        let low = self.bucket(values.lo) as u32;
        let high = if values.lo == values.hi {
            low
        } else {
            self.bucket(values.hi) as u32
        };
        Span { low, high }
    }

    /// The last bucket: above every cut.
    pub fn last(&self) -> u32 {
        2 * self.cuts.len() as u32
    }

    /// Strikes the rows that some value in a span fails: with the span's ends crossed, those that every value fails.
    fn strike(&self, span: Span, rows: &mut [u64], strict: bool) {
        match &self.rows {
            Rows::Few(cells) => {
                for (row, from, to) in cells {
                    let verdict = span.within(*from, *to);
                    if verdict == Verdict::Fails || strict && verdict == Verdict::Open {
                        strike(rows, &[*row]);
                    }
                }
            }
            Rows::Many { ended, ahead } => {
                let (reach, begin) = match strict {
                    true => (span.high, span.low),
                    false => (span.low, span.high),
                };
                keep_both(
                    rows,
                    ended.fit(reach as usize),
                    ahead.fit((self.last() - begin) as usize),
                );
            }
        }
    }
}

/// How one fact strikes rows.
#[derive(Debug)]
pub(super) enum Table {
    Numbers(Numbers),
    /// Many rows on a choice: for each option the rows that allow it, then those that do not look at the choice.
    Options(Box<[u64]>),
    /// Few rows on a choice, each with the options that it allows.
    Few(Box<[(u32, u128)]>),
    /// Rows on several options: each is tested by itself.
    List(Box<[(u32, Allowed)]>),
}

impl Table {
    /// Strikes the rows that a known value fails. False, and nothing struck, where the value is not known well enough.
    pub fn settle(&self, set: Set, span: &mut Span, rows: &mut [u64]) -> bool {
        match (self, set) {
            (Table::Numbers(numbers), Set::Number(values)) => {
                *span = numbers.span(values);
                if span.low == span.high {
                    numbers.strike(*span, rows, true);
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
            (Table::Few(cells), Set::Choice(options)) if options.count_ones() == 1 => {
                for (row, mask) in cells {
                    let gone = u64::from(mask & options == 0);
                    rows[*row as usize / 64] &= !(gone << (row % 64));
                }
                true
            }
            (Table::List(cells), set) if set.is_known() => {
                // A set of another kind than the fact's leaves every test open.
                let known = cells
                    .iter()
                    .all(|(_, allowed)| allowed.verdict(set) != Verdict::Open);
                if known {
                    self.strike(set, *span, rows, true);
                }
                known
            }
            _ => false,
        }
    }

    /// Strikes the rows that the possible values fail: those that all do, or, being strict, those that any does.
    pub fn strike(&self, set: Set, span: Span, rows: &mut [u64], strict: bool) {
        match (self, set) {
            (Table::Numbers(numbers), Set::Number(_)) => numbers.strike(span, rows, strict),
            (Table::Options(masks), Set::Choice(options)) => {
                strike_options(masks, options, rows, strict)
            }
            (Table::List(cells), set) => {
                for (row, allowed) in cells {
                    let verdict = allowed.verdict(set);
                    if verdict == Verdict::Fails || strict && verdict == Verdict::Open {
                        strike(rows, &[*row]);
                    }
                }
            }
            (Table::Few(cells), set) => {
                for (row, mask) in cells {
                    let verdict = set.is_one_of(*mask);
                    if verdict == Verdict::Fails || strict && verdict == Verdict::Open {
                        strike(rows, &[*row]);
                    }
                }
            }
            // A set of another kind than the fact's leaves every test open.
            (Table::Numbers(numbers), _) if strict => match &numbers.rows {
                Rows::Few(cells) => cells.iter().for_each(|(row, _, _)| strike(rows, &[*row])),
                Rows::Many { ended, ahead } => {
                    strike(rows, &ended.rows);
                    strike(rows, &ahead.rows);
                }
            },
            (Table::Options(masks), _) if strict => {
                let others = option(masks, usize::MAX, rows.len());
                rows.iter_mut()
                    .zip(others)
                    .for_each(|(row, other)| *row &= other);
            }
            _ => {}
        }
    }

    /// The same one by one, where few rows look at the fact: each row that does not surely fit, with its verdict.
    pub fn few(&self, set: Set, span: Span, mut visit: impl FnMut(u32, Verdict)) -> bool {
        let mut told = |row: u32, verdict: Verdict| {
            if verdict != Verdict::Holds {
                visit(row, verdict);
            }
        };
        match (self, set) {
            (Table::Few(cells), set) => {
                cells
                    .iter()
                    .for_each(|(row, mask)| told(*row, set.is_one_of(*mask)));
                true
            }
            (Table::List(cells), set) => {
                cells
                    .iter()
                    .for_each(|(row, allowed)| told(*row, allowed.verdict(set)));
                true
            }
            (
                Table::Numbers(Numbers {
                    rows: Rows::Few(cells),
                    ..
                }),
                set,
            ) => {
                let verdict = |from, to| match set {
                    Set::Number(_) => span.within(from, to),
                    _ => Verdict::Open,
                };
                cells
                    .iter()
                    .for_each(|(row, from, to)| told(*row, verdict(*from, *to)));
                true
            }
            _ => false,
        }
    }
}

/// The rows that allow an option; one that the fact does not have is allowed where nothing is asked of it.
fn option(masks: &[u64], index: usize, words: usize) -> &[u64] {
    let last = masks.len() / words - 1;
    &masks[index.min(last) * words..][..words]
}

fn strike_options(masks: &[u64], mut options: u128, rows: &mut [u64], strict: bool) {
    let words = rows.len();
    if strict {
        while options != 0 {
            let mask = option(masks, options.trailing_zeros() as usize, words);
            rows.iter_mut()
                .zip(mask)
                .for_each(|(row, mask)| *row &= mask);
            options &= options - 1;
        }
        return;
    }
    for (word, row) in rows.iter_mut().enumerate() {
        let (mut any, mut left) = (if options == 0 { u64::MAX } else { 0 }, options);
        while left != 0 {
            any |= option(masks, left.trailing_zeros() as usize, words)[word];
            left &= left - 1;
        }
        *row &= any;
    }
}
