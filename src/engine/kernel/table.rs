//! What one fact says about all rows at once.

use super::super::set::{Interval, Verdict};

/// How a fact strikes rows. Masks are named by the place of their first word.
#[derive(Debug)]
pub(super) enum Table {
    Numbers(Numbers),
    Options(Options),
    /// What rows ask of several options, one by one.
    Several(Box<[Presence]>),
    /// Few rows look at the options of the fact: they are tested one by one if nothing else has struck them.
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
    pub option: u8,
    pub present: u32,
    pub absent: u32,
}

/// A number: bucket `2 i` lies below cut `i` (and above the one before), bucket `2 i + 1` is the cut itself. Every
/// comparison has one answer within a bucket.
#[derive(Debug)]
pub(super) struct Numbers {
    grid: Grid,
    /// Ascending, and behind them what compares with nothing.
    cuts: Box<[f64]>,
    /// The buckets of the values that the vocabulary allows.
    pub whole: Span,
    /// None where few rows look at the fact: they are tested one by one.
    pub ladders: Option<Ladders>,
}

/// Rows in the order in which they cease to fit as the bucket rises, and as it falls. At every so many rows stands a
/// mask of those that are left.
#[derive(Debug)]
pub(super) struct Ladders {
    /// By bucket: how many rows have their allowed buckets below it, and how many above.
    pub gone: Box<[[u32; 2]]>,
    /// Where the rows of both orders start among all rungs.
    pub rungs: [u32; 2],
    pub masks: [u32; 2],
}

impl Numbers {
    /// `cuts` are ascending.
    pub fn new(cuts: &[f64], range: Interval) -> Numbers {
        let mut numbers = Numbers {
            grid: Grid::new(cuts),
            cuts: cuts.iter().copied().chain([f64::NAN]).collect(),
            whole: Span::default(),
            ladders: None,
        };
        numbers.whole = numbers.span(range);
        numbers
    }

    /// The thresholds.
    pub fn cuts(&self) -> &[f64] {
        &self.cuts[..self.cuts.len() - 1]
    }

    /// The threshold on, or right above, a bucket.
    pub fn cut(&self, bucket: u32) -> f64 {
        self.cuts[bucket as usize / 2]
    }

    #[inline]
    pub fn bucket(&self, x: f64) -> u32 {
        let mut below = self.grid.first(x);
        if self.grid.is_coarse {
            while self.cuts[below] < x {
                below += 1;
            }
        }
        // Cuts of later cells lie above.
        let cut = self.cuts[below];
        2 * below as u32 + 2 * u32::from(cut < x) + u32::from(cut == x)
    }

    /// The buckets that an interval touches.
    pub fn span(&self, values: Interval) -> Span {
        let (low, high) = (self.bucket(values.lo), self.bucket(values.hi));
        Span { low, high }
    }

    /// The last bucket: above every cut.
    pub fn last(&self) -> u32 {
        2 * self.cuts().len() as u32
    }
}

/// Finds the place of a number among cuts: even cells over their span, each with the count of cuts in those before.
#[derive(Debug)]
struct Grid {
    least: f64,
    cells_per_unit: f64,
    before: Box<[u32]>,
    /// Some cell holds more than one cut.
    is_coarse: bool,
}

impl Grid {
    /// As few cells as leave each with one cut at most, where some times as many as there are cuts are enough.
    fn new(cuts: &[f64]) -> Grid {
        let tried = [1, 2, 4].map(|times| Grid::of(cuts, cuts.len().max(1) * times));
        let fine = tried.iter().position(|grid| !grid.is_coarse);
        let [first, second, third] = tried;
        match fine {
            Some(1) => second,
            Some(2) => third,
            _ => first,
        }
    }

    fn of(cuts: &[f64], cells: usize) -> Grid {
        let (least, most) = match cuts {
            [least, .., most] if (most - least).is_finite() => (*least, *most),
            _ => (0.0, 0.0),
        };
        let per_unit = cells as f64 / (most - least);
        let mut grid = Grid {
            least,
            cells_per_unit: if per_unit.is_finite() { per_unit } else { 0.0 },
            before: vec![0; cells].into(),
            is_coarse: false,
        };
        let mut counts = vec![0_u32; cells];
        cuts.iter().for_each(|cut| counts[grid.cell(*cut)] += 1);
        grid.is_coarse = counts.iter().any(|count| *count > 1);
        (1..cells).for_each(|at| grid.before[at] = grid.before[at - 1] + counts[at - 1]);
        grid
    }

    /// The cell of a number: it never falls as the number grows, so cuts of earlier cells are smaller.
    fn cell(&self, x: f64) -> usize {
        let cell = ((x - self.least) * self.cells_per_unit) as u32;
        (cell as usize).min(self.before.len() - 1)
    }

    /// How many cuts lie in earlier cells.
    fn first(&self, x: f64) -> usize {
        self.before[self.cell(x)] as usize
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
