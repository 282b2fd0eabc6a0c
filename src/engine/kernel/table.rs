//! What one fact says about all rows at once.

use super::super::expr::compile::ColumnId;
use super::super::rank::arrange;
use super::super::set::{Interval, Set};

/// How a fact strikes rows. Masks are named by the place of their first word.
#[derive(Debug)]
pub(super) enum Table {
    /// See [`Scales`].
    Numbers,
    Options(Options),
    /// What rows ask of several options, one by one.
    Several(Box<[Presence]>),
    /// Few rows look at the options of the fact: they are tested one by one.
    Few,
}

/// For every option of a choice the rows that allow it. Behind these masks is one of the rows that do not look at the
/// choice, for options that it does not have.
#[derive(Debug, Clone, Copy)]
pub(super) struct Options {
    pub first: u32,
    pub count: u32,
}

/// The rows that allow an option to be present, and those that allow it to be absent.
#[derive(Debug)]
pub(super) struct Presence {
    pub option: u128,
    pub present: u32,
    pub absent: u32,
}

/// All numbers that rows look at, with the thresholds they are compared with.
#[derive(Debug, Default)]
pub(super) struct Scales {
    /// The first tracks.
    pub numbers: Box<[Numbers]>,
    /// How many of them have ladders. Few rows look at the others: they are tested one by one.
    pub with_ladders: usize,
    /// The thresholds of each number, ascending; before and behind them what compares with nothing.
    pub cuts: Box<[f64]>,
    /// The cells of each grid: how many thresholds lie in those before.
    pub cells: Box<[u32]>,
    /// By bucket of each number with ladders: how many rows have their allowed buckets below it, and how many above.
    pub gone: Box<[[u32; 2]]>,
}

/// A number: bucket `2 i` lies below cut `i` (and above the one before), bucket `2 i + 1` is the cut itself. Every
/// comparison has one answer within a bucket.
///
/// The place of a value among the cuts is found by even cells over their span.
#[derive(Debug)]
pub(super) struct Numbers {
    least: f64,
    cells_per_unit: f64,
    last_cell: f64,
    pub column: ColumnId,
    first_cell: u32,
    pub first_cut: u32,
    pub cuts: u32,
    /// The buckets of the values that the vocabulary allows.
    pub whole: Span,
    pub ladders: Ladders,
    /// How many cuts beyond one a cell holds at most.
    more: u32,
}

/// Rows in the order in which they cease to fit as the bucket rises, and as it falls. At every so many rows stands a
/// mask of those that are left.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Ladders {
    /// Where the counts of rows that are gone start.
    pub gone: u32,
    /// Where the rows of both orders start among all rungs.
    pub rungs: [u32; 2],
    pub masks: [u32; 2],
}

impl Scales {
    /// The number of a track, if it is one.
    pub fn of(&self, track: u32) -> Option<&Numbers> {
        self.numbers.get(track as usize)
    }

    /// The thresholds of a number.
    pub fn cuts(&self, numbers: &Numbers) -> &[f64] {
        &self.cuts[numbers.first_cut as usize..][..numbers.cuts as usize]
    }

    /// The threshold on, or right above, a bucket.
    pub fn cut(&self, numbers: &Numbers, bucket: u32) -> f64 {
        self.cuts[(numbers.first_cut + bucket / 2) as usize]
    }

    /// The thresholds at the ends of some buckets, or what compares with nothing. `first` is the first threshold.
    #[inline(always)]
    pub fn edges(&self, first: u32, from: u32, to: u32) -> [f64; 2] {
        [first - 1 + from.div_ceil(2), first + to / 2].map(|at| self.cuts[at as usize])
    }

    #[inline(always)]
    pub fn bucket(&self, numbers: &Numbers, x: f64) -> u32 {
        let cell = numbers.first_cell + numbers.cell(x);
        let mut place = numbers.first_cut + self.cells[cell as usize];
        // As many steps each time: they can be foretold, where those that are needed cannot.
        for _ in 0..numbers.more {
            place += u32::from(self.cuts[place as usize] < x);
        }
        // Cuts of later cells lie above.
        let cut = self.cuts[place as usize];
        2 * (place - numbers.first_cut) + u32::from(cut <= x) + u32::from(cut < x)
    }

    /// The buckets that an interval touches.
    pub fn span(&self, numbers: &Numbers, values: Interval) -> Span {
        let (low, high) = (values.lo, values.hi);
        let (low, high) = (self.bucket(numbers, low), self.bucket(numbers, high));
        Span { low, high }
    }

    /// How many rows are gone on either side of a bucket.
    #[inline(always)]
    pub fn gone(&self, ladders: &Ladders, bucket: u32) -> [u32; 2] {
        self.gone[(ladders.gone + bucket) as usize]
    }
}

impl Numbers {
    /// The cell of a value: it never falls as the value grows, so cuts of earlier cells are smaller.
    #[inline(always)]
    fn cell(&self, x: f64) -> u32 {
        // Added to this, a small number leaves its whole part in the last bits.
        const WHOLE: f64 = (1_u64 << 52) as f64;
        let cell = (x - self.least) * self.cells_per_unit;
        // What is not a number goes to the first cell.
        let cell = if cell > 0.0 { cell } else { 0.0 };
        let cell = if cell < self.last_cell {
            cell
        } else {
            self.last_cell
        };
        (cell + WHOLE).to_bits() as u32
    }

    /// The last bucket: above every cut.
    pub fn last(&self) -> u32 {
        2 * self.cuts
    }
}

/// Collects numbers with their thresholds.
#[derive(Default)]
pub(super) struct ScalesBuilder {
    pub numbers: Vec<(u32, Numbers)>,
    cuts: Vec<f64>,
    cells: Vec<u32>,
    pub gone: Vec<[u32; 2]>,
}

impl ScalesBuilder {
    /// A number without ladders yet. `cuts` are ascending.
    pub fn number(&mut self, column: ColumnId, cuts: &[f64]) -> Numbers {
        let (least, most) = match cuts {
            [least, .., most] if (most - least).is_finite() => (*least, *most),
            _ => (0.0, 0.0),
        };
        let mut numbers = Numbers {
            least,
            column,
            first_cell: self.cells.len() as u32,
            first_cut: self.cuts.len() as u32 + 1,
            cuts: cuts.len() as u32,
            cells_per_unit: 0.0,
            last_cell: 0.0,
            whole: Span::default(),
            ladders: Ladders::default(),
            more: 0,
        };
        // As few cells as leave each with one cut at most, up to some times as many as there are cuts.
        let mut counts = Vec::new();
        for times in [1, 2, 4] {
            let cells = cuts.len().max(1) * times;
            let per_unit = cells as f64 / (most - least);
            numbers.cells_per_unit = if per_unit.is_finite() { per_unit } else { 0.0 };
            numbers.last_cell = (cells - 1) as f64;
            counts = vec![0_u32; cells];
            cuts.iter()
                .for_each(|cut| counts[numbers.cell(*cut) as usize] += 1);
            let most = counts.iter().max().copied().unwrap_or(0);
            numbers.more = most.saturating_sub(1);
            if most <= 1 {
                break;
            }
        }
        let before = counts.into_iter().scan(0, |sum, count| {
            *sum += count;
            Some(*sum - count)
        });
        self.cells.extend(before);
        self.cuts.push(f64::NAN);
        self.cuts.extend_from_slice(cuts);
        self.cuts.push(f64::NAN);
        numbers
    }

    /// The numbers in the order of their tracks; the first of them have ladders.
    pub fn build(self, with_ladders: usize, range: impl Fn(ColumnId) -> Set) -> Scales {
        let mut scales = Scales {
            with_ladders,
            cuts: self.cuts.into(),
            cells: self.cells.into(),
            gone: self.gone.into(),
            ..Scales::default()
        };
        let mut numbers = self.numbers;
        arrange(&mut numbers, |(a, _), (b, _)| a.cmp(b));
        scales.numbers = numbers.into_iter().map(|(_, numbers)| numbers).collect();
        let whole = |numbers: &Numbers| scales.span(numbers, range(numbers.column).interval());
        let whole: Vec<Span> = scales.numbers.iter().map(whole).collect();
        let numbers = scales.numbers.iter_mut().zip(whole);
        numbers.for_each(|(numbers, whole)| numbers.whole = whole);
        scales
    }
}

/// First and last bucket of the possible values of a number.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Span {
    pub low: u32,
    pub high: u32,
}

impl Span {
    /// Of what is no number: every test of it is open.
    pub const ANY: Span = Span {
        low: 0,
        high: u32::MAX,
    };

    pub fn of(bucket: u32) -> Span {
        let (low, high) = (bucket, bucket);
        Span { low, high }
    }
}
