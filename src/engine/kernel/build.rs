//! From normal forms to tables.

use std::collections::BTreeMap;

use super::super::book::vocabulary::{Column, Origin};
use super::super::expr::compile::ColumnId;
use super::super::normal::{Allowed, Normal};
use super::super::rank::{arrange, distinct, ranked};
use super::super::set::{Set, Verdict};
use super::rows::{BLOCK, add, strike};
use super::table::{Ladders, Options, Presence, ScalesBuilder, Table};
use super::{BITS, Cell, FEW_RUNGS, Kernel, Kind, Track, each};

/// Collects the normal forms of a book.
#[derive(Default)]
pub(crate) struct Builder {
    targets: u32,
    /// Target and row of every row, the first row of a target before its others.
    rows: Vec<(u32, u32)>,
    /// Every test of every row, by the place of the row in `rows`.
    tests: Vec<Test>,
}

/// Row, fact, and what the row allows of it.
type Test = (u32, ColumnId, Allowed);

impl Builder {
    /// Adds a condition; its verdict stands at the place that follows those added before.
    pub fn add(&mut self, normal: &Normal) {
        for (nth, row) in normal.rows.iter().enumerate() {
            let place = self.rows.len() as u32;
            self.rows.push((self.targets, nth as u32));
            self.tests
                .extend(row.iter().map(|(id, allowed)| (place, *id, *allowed)));
        }
        self.targets += 1;
    }

    /// The tables. The first `rules` targets are rules.
    pub fn build<'a>(self, rules: usize, column: impl Fn(ColumnId) -> &'a Column) -> Kernel {
        let targets = self.targets as usize;
        let heads = targets.div_ceil(64);
        let mut extra = Vec::new();
        // The first row of a target has the target's own place, so that most verdicts need no second step.
        let place = |(target, nth): &(u32, u32)| match nth {
            0 => *target,
            _ => {
                extra.push(*target);
                (heads * 64 + extra.len() - 1) as u32
            }
        };
        let places: Vec<u32> = self.rows.iter().map(place).collect();
        let words = (heads + extra.len().div_ceil(64)).next_multiple_of(BLOCK);
        let mut alive = vec![0_u64; words];
        places.iter().for_each(|row| add(&mut alive, *row as usize));
        let mut several = vec![0_u64; heads];
        extra
            .iter()
            .for_each(|target| several[*target as usize / 64] |= 1 << (target % 64));
        let ranks = several.iter().scan(0, |sum, word| {
            *sum += word.count_ones();
            Some(*sum - word.count_ones())
        });
        let starts = extra.chunk_by(|a, b| a == b).scan(heads * 64, |sum, rows| {
            *sum += rows.len();
            Some((*sum - rows.len()) as u32)
        });
        let end = (heads * 64 + extra.len()) as u32;
        let more: Vec<u32> = starts.chain([end]).collect();
        let tests: Vec<Test> = self
            .tests
            .into_iter()
            .map(|(row, id, allowed)| (places[row as usize], id, allowed))
            .collect();
        let kernel = Kernel {
            rules,
            heads,
            words,
            alive: alive.into(),
            ranks: ranks.collect(),
            more: more.into(),
            several: several.into(),
            extra: extra.into(),
            ..Kernel::default()
        };
        let mut tables = Tables {
            words,
            few: words / 4 + 2,
            spacing: (words / 4).max(1).ilog2(),
            // One in which every row is comes first.
            masks: vec![u64::MAX; words],
            ..Tables::default()
        };
        tables.fill(tests, &column);
        tables.into_kernel(kernel, |id| column(id).range)
    }
}

/// The tables so far.
#[derive(Default)]
struct Tables {
    words: usize,
    /// With no more rows than these a fact gets no masks.
    few: usize,
    /// The binary logarithm of the number of rungs between two masks: a quarter of what a mask is long in words, so
    /// that all of them take no more room than a few words a row.
    spacing: u32,
    tracks: Vec<Track>,
    scales: ScalesBuilder,
    masks: Vec<u64>,
    rungs: Vec<u32>,
    cells: Vec<(u32, Cell)>,
    options: Vec<u128>,
    /// Where each set of options stands.
    places: BTreeMap<u128, u32>,
}

impl Tables {
    fn fill<'a>(&mut self, mut tests: Vec<Test>, column: &impl Fn(ColumnId) -> &'a Column) {
        arrange(&mut tests, |a, b| (a.1, a.0).cmp(&(b.1, b.0)));
        for tests in tests.chunk_by(|a, b| a.1 == b.1) {
            let id = tests[0].1;
            let column = column(id);
            let few = tests.len() <= self.few;
            let table = match (column.range, tests[0].2) {
                (Set::Number(_), Allowed::Numbers { .. }) => self.numbers(id, tests, few),
                _ => self.by_options(tests, column, few),
            };
            let whole = self.whole(tests, column.range, few);
            self.tracks.push(Track {
                id,
                order: match column.origin {
                    Origin::Order { left, right } => Some((left, right)),
                    _ => None,
                },
                range: column.range,
                table,
                whole,
            });
        }
    }

    fn into_kernel(mut self, kernel: Kernel, range: impl Fn(ColumnId) -> Set) -> Kernel {
        // So many rungs are looked at beyond any.
        self.rungs.extend(vec![0; 1 << FEW_RUNGS]);
        let with_ladders = |at: &usize| self.scales.numbers[*at].1.ladders.masks != [0; 2];
        let ladders = (0..self.scales.numbers.len())
            .filter(with_ladders)
            .map(|at| self.scales.numbers[at].0);
        let ladders = distinct(ladders);
        let rank = |(at, track): (usize, &Track)| match track.table {
            Table::Numbers if ladders.contains(&(at as u32)) => 0,
            Table::Numbers => 1,
            Table::Few => 3,
            _ => 2,
        };
        let ranks: Vec<u32> = self.tracks.iter().enumerate().map(rank).collect();
        let below = |limit: u32| ranks.iter().filter(|rank| **rank < limit).count();
        let passed = below(3);
        let order = ranked(0..self.tracks.len(), &|at| ranks[at]);
        let mut place = vec![0; order.len()];
        order
            .iter()
            .enumerate()
            .for_each(|(new, old)| place[*old] = new as u32);
        self.cells
            .iter_mut()
            .for_each(|(_, cell)| cell.track = place[cell.track as usize]);
        let numbers = self.scales.numbers.iter_mut();
        numbers.for_each(|(track, _)| *track = place[*track as usize]);
        let mut tracks: Vec<(u32, Track)> = place.into_iter().zip(self.tracks).collect();
        arrange(&mut tracks, |(a, _), (b, _)| a.cmp(b));
        let tracks: Box<[Track]> = tracks.into_iter().map(|(_, track)| track).collect();
        let columns = tracks.iter().map(|track| track.id.0 as usize + 1).max();
        let mut by_column = vec![None; columns.unwrap_or(0)];
        (0..)
            .zip(&tracks)
            .for_each(|(at, track)| by_column[track.id.0 as usize] = Some(at));
        arrange(&mut self.cells, |a, b| {
            (a.0, a.1.track).cmp(&(b.0, b.1.track))
        });
        let mut first = vec![0_u32; self.words * 64 + 1];
        self.cells
            .iter()
            .for_each(|(row, _)| first[*row as usize + 1] += 1);
        (1..first.len()).for_each(|at| first[at] += first[at - 1]);
        let few = |bits: bool| {
            let cells = self.cells.iter();
            let few = cells.filter(|(_, c)| !c.is_masked && bits == (c.kind == Kind::Bits));
            few.copied().collect()
        };
        Kernel {
            few: [few(true), few(false)],
            scales: self.scales.build(below(1), range),
            columns: tracks.iter().map(|track| track.id).collect(),
            tracks,
            passed,
            by_column: by_column.into(),
            masks: self.masks.into(),
            rungs: self.rungs.into(),
            spacing: self.spacing,
            first_cell: first.into(),
            cells: self.cells.into_iter().map(|(_, cell)| cell).collect(),
            options: self.options.into(),
            ..kernel
        }
    }

    /// The place of a new mask of the rows that fit, or do not look at the fact.
    fn mask(&mut self, tests: &[Test], fits: impl Fn(Allowed) -> bool) -> u32 {
        let place = self.masks.len();
        self.masks.resize(place + self.words, u64::MAX);
        let gone = tests.iter().filter(|(_, _, allowed)| !fits(*allowed));
        gone.for_each(|(row, _, _)| strike(&mut self.masks[place..], *row as usize));
        place as u32
    }

    fn whole(&mut self, tests: &[Test], range: Set, few: bool) -> (u32, Option<u32>) {
        if few {
            return (0, None);
        }
        let surely = self.mask(tests, |allowed| allowed.verdict(range) == Verdict::Holds);
        let fails = |allowed: Allowed| allowed.verdict(range) == Verdict::Fails;
        let some = tests.iter().any(|(_, _, allowed)| fails(*allowed));
        let possibly = some.then(|| self.mask(tests, |allowed| !fails(allowed)));
        (surely, possibly)
    }

    fn cell(&mut self, row: u32, kind: Kind, is_masked: bool, [from, to]: [u32; 2]) {
        let track = self.tracks.len() as u32;
        let cell = Cell {
            track,
            from,
            to,
            kind,
            is_masked,
        };
        self.cells.push((row, cell));
    }

    fn place(&mut self, options: u128) -> u32 {
        *self.places.entry(options).or_insert_with(|| {
            self.options.push(options);
            self.options.len() as u32 - 1
        })
    }

    fn by_options(&mut self, tests: &[Test], column: &Column, few: bool) -> Table {
        let count = column.option_count();
        let is_order = matches!(column.origin, Origin::Order { .. });
        let mut asked = 0;
        for (row, _, allowed) in tests {
            let (kind, places) = match *allowed {
                Allowed::Options(mask) => {
                    if is_order || count <= BITS as usize {
                        (Kind::Bits, [mask as u32, 0])
                    } else {
                        (Kind::Choice, [self.place(mask), 0])
                    }
                }
                Allowed::Several { with, without } => {
                    asked |= with | without;
                    (Kind::Several, [self.place(with), self.place(without)])
                }
                Allowed::Numbers { .. } => continue,
            };
            self.cell(*row, kind, !few, places);
        }
        let wants = |option: usize, present: bool| {
            move |allowed: Allowed| match allowed {
                Allowed::Several { with, .. } if !present => with >> option & 1 == 0,
                Allowed::Several { without, .. } => without >> option & 1 == 0,
                _ => true,
            }
        };
        if few {
            return Table::Few;
        }
        if matches!(tests[0].2, Allowed::Several { .. }) {
            let presence = |option: usize| Presence {
                option: 1 << option,
                present: self.mask(tests, wants(option, true)),
                absent: self.mask(tests, wants(option, false)),
            };
            return Table::Several(each(asked).map(presence).collect());
        }
        let allows = |option: usize| {
            move |allowed: Allowed| match allowed {
                Allowed::Options(mask) => option < count && mask >> option & 1 == 1,
                _ => true,
            }
        };
        let masks: Vec<u32> = (0..=count)
            .map(|option| self.mask(tests, allows(option)))
            .collect();
        Table::Options(Options {
            first: masks[0],
            count: count as u32,
        })
    }

    fn numbers(&mut self, id: ColumnId, tests: &[Test], few: bool) -> Table {
        let ends = tests.iter().flat_map(|(_, _, allowed)| match *allowed {
            Allowed::Numbers {
                low,
                low_open,
                high,
                high_open,
            } => [
                (low, low_open || low > f64::NEG_INFINITY),
                (high, high_open || high < f64::INFINITY),
            ],
            _ => [(0.0, false); 2],
        });
        let mut cuts: Vec<f64> = ends.filter(|(_, cuts)| *cuts).map(|(cut, _)| cut).collect();
        arrange(&mut cuts, f64::total_cmp);
        cuts.dedup();
        let mut numbers = self.scales.number(id, &cuts);
        let last = numbers.last();
        let spans: Vec<(u32, u32, u32)> = tests
            .iter()
            .map(|(row, _, allowed)| {
                let (from, to) = buckets(*allowed, &cuts);
                (*row, from, to)
            })
            .collect();
        spans
            .iter()
            .for_each(|(row, from, to)| self.cell(*row, Kind::Number, !few, [*from, *to]));
        if !few {
            let buckets = last as usize + 1;
            let below = spans.iter().filter(|(_, _, to)| *to < last);
            let below = below.map(|(row, _, to)| (to + 1, *row)).collect();
            let above = spans.iter().filter(|(_, from, _)| *from > 0);
            // Counted from the top.
            let above = above
                .map(|(row, from, _)| (last + 1 - from, *row))
                .collect();
            let (below, above) = (self.ladder(below, buckets), self.ladder(above, buckets));
            numbers.ladders = Ladders {
                gone: self.scales.gone.len() as u32,
                rungs: [below.rungs, above.rungs],
                masks: [below.masks, above.masks],
            };
            let gone = below.gone.into_iter().zip(above.gone.into_iter().rev());
            let gone = gone.map(|(below, above)| [below, above]);
            self.scales.gone.extend(gone);
        }
        let track = self.tracks.len() as u32;
        self.scales.numbers.push((track, numbers));
        Table::Numbers
    }

    /// `ends` are pairs of the bucket from which on a row is gone, and the row.
    fn ladder(&mut self, mut ends: Vec<(u32, u32)>, buckets: usize) -> Ladder {
        arrange(&mut ends, Ord::cmp);
        let mut gone = vec![0_u32; buckets];
        ends.iter()
            .for_each(|(bucket, _)| gone[*bucket as usize] += 1);
        (1..buckets).for_each(|at| gone[at] += gone[at - 1]);
        let (rungs, masks) = (self.rungs.len() as u32, self.masks.len() as u32);
        let mut left = vec![u64::MAX; self.words];
        self.masks.extend_from_slice(&left);
        for step in ends.chunks_exact(1 << self.spacing) {
            step.iter()
                .for_each(|(_, row)| strike(&mut left, *row as usize));
            self.masks.extend_from_slice(&left);
        }
        self.rungs.extend(ends.into_iter().map(|(_, row)| row));
        Ladder { gone, rungs, masks }
    }
}

/// Rows in the order in which they are gone.
struct Ladder {
    /// By bucket: how many.
    gone: Vec<u32>,
    rungs: u32,
    masks: u32,
}

/// First and last bucket that a row allows.
fn buckets(allowed: Allowed, cuts: &[f64]) -> (u32, u32) {
    let on = |cut: f64| 2 * cuts.partition_point(|other| *other < cut) as u32 + 1;
    let last = 2 * cuts.len() as u32;
    let Allowed::Numbers {
        low,
        low_open,
        high,
        high_open,
    } = allowed
    else {
        return (0, last);
    };
    let from = match (low, low_open) {
        (f64::NEG_INFINITY, false) => 0,
        _ => on(low) + u32::from(low_open),
    };
    let to = match (high, high_open) {
        (f64::INFINITY, false) => last,
        _ => on(high) - u32::from(high_open),
    };
    (from, to)
}
