//! What one fact says about all rows at once.

use super::super::set::{Interval, Verdict};

/// How a fact strikes rows.
#[derive(Debug)]
pub(super) enum Table {
    Numbers(Numbers),
    /// The place of a mask for every option: rows that allow it. Behind them one for options that the choice does not
    /// have: rows that do not look at it.
    Options {
        first: u32,
        count: u32,
    },
    /// What rows ask of several options, one by one.
    Several(Box<[Presence]>),
    /// Few rows look at the options of the fact: they are tested one by one if nothing else has struck them.
    Few,
}

/// Where the masks stand of the rows that allow an option to be present, and of those that allow it to be absent.
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
    /// Ascending, and behind them as many that compare with nothing as a look at once takes.
    cuts: Box<[f64]>,
    grid: Grid,
    /// The buckets of the values that the vocabulary allows.
    pub whole: Span,
    /// Rows whose allowed buckets end before a bucket, and rows whose allowed buckets begin after one, counted from the
    /// top. None where few rows look at the fact: they are tested one by one.
    pub ladders: Option<[Ladder; 2]>,
}

/// Cuts that are looked at together.
const AT_ONCE: usize = 4;

impl Numbers {
    /// `cuts` are ascending.
    pub fn new(cuts: &[f64], range: Interval) -> Numbers {
        let padding = [f64::NAN; AT_ONCE];
        let mut numbers = Numbers {
            cuts: cuts.iter().copied().chain(padding).collect(),
            grid: Grid::new(cuts),
            whole: Span::default(),
            ladders: None,
        };
        numbers.whole = numbers.span(range);
        numbers
    }

    /// The thresholds.
    pub fn cuts(&self) -> &[f64] {
        &self.cuts[..self.cuts.len() - AT_ONCE]
    }

    /// The threshold on, below or above which a bucket lies.
    pub fn cut(&self, bucket: u32) -> f64 {
        self.cuts[bucket as usize / 2]
    }

    fn bucket(&self, x: f64) -> u32 {
        let first = self.grid.first(x);
        let Some(near) = self.cuts[first..]
            .first_chunk::<AT_ONCE>()
            .filter(|_| self.grid.is_fine)
        else {
            let cuts = self.cuts();
            let below = cuts.partition_point(|cut| *cut < x);
            return 2 * below as u32 + u32::from(cuts.get(below) == Some(&x));
        };
        // Cuts of later cells lie above, and count for nothing.
        let passed = near.map(|cut| u32::from(cut < x) + u32::from(cut <= x));
        2 * first as u32 + passed.iter().sum::<u32>()
    }

    /// The buckets that an interval touches.
    pub fn span(&self, values: Interval) -> Span {
        let low = self.bucket(values.lo);
        let high = if values.is_point() {
            low
        } else {
            self.bucket(values.hi)
        };
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
    /// No cell holds more cuts than are looked at together.
    is_fine: bool,
}

impl Grid {
    fn new(cuts: &[f64]) -> Grid {
        let (least, most) = match cuts {
            [least, .., most] if (most - least).is_finite() => (*least, *most),
            _ => (0.0, 0.0),
        };
        // So few cuts need no cells.
        let cells = if cuts.len() <= AT_ONCE { 1 } else { cuts.len() };
        let per_unit = cells as f64 / (most - least);
        let mut grid = Grid {
            least,
            cells_per_unit: if per_unit.is_finite() { per_unit } else { 0.0 },
            before: vec![0; cells].into(),
            is_fine: true,
        };
        let mut counts = vec![0_u32; cells];
        cuts.iter().for_each(|cut| counts[grid.cell(*cut)] += 1);
        grid.is_fine = counts.iter().all(|count| *count as usize <= AT_ONCE);
        (1..cells).for_each(|at| grid.before[at] = grid.before[at - 1] + counts[at - 1]);
        grid
    }

    /// The cell of a number: it never falls as the number grows, so cuts of earlier cells are smaller.
    fn cell(&self, x: f64) -> usize {
        let cell = ((x - self.least) * self.cells_per_unit) as usize;
        cell.min(self.before.len() - 1)
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

    pub fn is_known(self) -> bool {
        self.low == self.high
    }
}

/// Rows in the order in which they cease to fit as the bucket moves, with the mask of what is left at every so many.
///
/// The masks stand a third as far apart as they are long, so all of them take no more room than a few words a row, and
/// the rows in between cost no more than the mask.
#[derive(Debug)]
pub(super) struct Ladder {
    /// By bucket: how many rows do not fit.
    pub gone: Box<[u32]>,
    /// Where the rows start among those of all ladders.
    pub rows: u32,
    /// Where the masks start among all masks.
    pub masks: u32,
}
