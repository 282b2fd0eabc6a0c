//! From normal forms to tables.

use std::collections::BTreeMap;

use super::super::expr::compile::ColumnId;
use super::super::normal::{Allowed, Normal};
use super::super::set::Set;
use super::table::{Numbers, Span, Table};
use super::{Cell, Kernel, Track};

/// Collects the normal forms of a book.
#[derive(Default)]
pub(crate) struct Builder {
    targets: u32,
    /// Target and row of every row, the first row of a target before its others.
    rows: Vec<(u32, u32)>,
    /// Every test of every row, by the place of the row in `rows`.
    tests: Vec<(u32, ColumnId, Allowed)>,
}

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

    /// The tables. The first `rules` targets are rules; `options` counts the options of a choice.
    pub fn build(self, rules: usize, options: impl Fn(ColumnId) -> (usize, Set)) -> Kernel {
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
        let words = heads + extra.len().div_ceil(64);
        let mut alive = vec![0_u64; words];
        places
            .iter()
            .for_each(|row| alive[*row as usize / 64] |= 1 << (row % 64));
        let mut several = vec![0_u64; heads];
        extra
            .iter()
            .for_each(|target| several[*target as usize / 64] |= 1 << (target % 64));
        let tests: Vec<(u32, ColumnId, Allowed)> = self
            .tests
            .into_iter()
            .map(|(row, id, allowed)| (places[row as usize], id, allowed))
            .collect();
        let mut kernel = Kernel {
            rules,
            heads,
            words,
            alive: alive.into(),
            several: several.into(),
            extra: extra.into(),
            tracks: Box::default(),
            first_cell: Box::default(),
            cells: Box::default(),
            masks: Box::default(),
        };
        kernel.fill(tests, &options);
        kernel
    }
}

impl Kernel {
    fn fill(
        &mut self,
        mut tests: Vec<(u32, ColumnId, Allowed)>,
        options: &dyn Fn(ColumnId) -> (usize, Set),
    ) {
        tests.sort_by_key(|(row, id, _)| (*id, *row));
        let mut tracks = Vec::new();
        let mut masks = Masks::default();
        let mut cells: Vec<(u32, Cell)> = Vec::with_capacity(tests.len());
        for group in tests.chunk_by(|a, b| a.1 == b.1) {
            let index = tracks.len() as u32;
            let id = group[0].1;
            let (count, range) = options(id);
            let (table, new) = track(index, group, self.words, count, &mut masks);
            let whole = match (&table, range) {
                (Table::Numbers(numbers), Set::Number(range)) => numbers.span(range),
                _ => Span::default(),
            };
            tracks.push(Track { id, table, whole });
            cells.extend(new);
        }
        cells.sort_by_key(|(row, cell)| (*row, cell.track));
        let mut first = vec![0_u32; self.words * 64 + 1];
        cells
            .iter()
            .for_each(|(row, _)| first[*row as usize + 1] += 1);
        (1..first.len()).for_each(|at| first[at] += first[at - 1]);
        self.tracks = tracks.into();
        self.first_cell = first.into();
        self.cells = cells.into_iter().map(|(_, cell)| cell).collect();
        self.masks = masks.all.into();
    }
}

/// Sets of options, each kept once.
#[derive(Default)]
struct Masks {
    all: Vec<u128>,
    places: BTreeMap<u128, u32>,
}

impl Masks {
    fn place(&mut self, mask: u128) -> u32 {
        *self.places.entry(mask).or_insert_with(|| {
            self.all.push(mask);
            self.all.len() as u32 - 1
        })
    }
}

/// The table of one fact, and its part of every row.
fn track(
    index: u32,
    tests: &[(u32, ColumnId, Allowed)],
    words: usize,
    options: usize,
    masks: &mut Masks,
) -> (Table, Vec<(u32, Cell)>) {
    if matches!(tests[0].2, Allowed::Numbers { .. }) {
        return numbers(index, tests, words);
    }
    let cell = |(row, _, allowed): &(u32, ColumnId, Allowed)| {
        let (from, to) = match *allowed {
            Allowed::Options(mask) => (masks.place(mask), 0),
            Allowed::Several { with, without } => (masks.place(with), masks.place(without)),
            Allowed::Numbers { .. } => (0, 0),
        };
        let track = index;
        (*row, Cell { track, from, to })
    };
    let cells = tests.iter().map(cell).collect();
    let is_choice = matches!(tests[0].2, Allowed::Options(_));
    let table = if is_choice && tests.len() > words {
        choice(tests, words, options)
    } else {
        tables_of(tests)
    };
    (table, cells)
}

/// Rows that are tested one by one.
fn tables_of(tests: &[(u32, ColumnId, Allowed)]) -> Table {
    let mask = |(row, _, allowed): &(u32, ColumnId, Allowed)| match *allowed {
        Allowed::Options(mask) => Some((*row, mask)),
        _ => None,
    };
    match tests
        .iter()
        .map(mask)
        .collect::<Option<Box<[(u32, u128)]>>>()
    {
        Some(cells) => Table::Few(cells),
        None => Table::List(
            tests
                .iter()
                .map(|(row, _, allowed)| (*row, *allowed))
                .collect(),
        ),
    }
}

fn choice(tests: &[(u32, ColumnId, Allowed)], words: usize, options: usize) -> Table {
    let mut masks = vec![u64::MAX; words * (options + 1)];
    for (row, _, allowed) in tests {
        let Allowed::Options(mask) = *allowed else {
            continue;
        };
        for option in (0..=options).filter(|option| *option == options || mask >> option & 1 == 0) {
            masks[option * words + *row as usize / 64] &= !(1 << (row % 64));
        }
    }
    Table::Options(masks.into())
}

fn numbers(
    index: u32,
    tests: &[(u32, ColumnId, Allowed)],
    words: usize,
) -> (Table, Vec<(u32, Cell)>) {
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
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    let last = 2 * cuts.len() as u32;
    let on = |cut: f64| 2 * cuts.partition_point(|other| *other < cut) as u32 + 1;
    let span = |allowed: &Allowed| match *allowed {
        Allowed::Numbers {
            low,
            low_open,
            high,
            high_open,
        } => {
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
        _ => (0, last),
    };
    let spans: Vec<(u32, u32, u32)> = tests
        .iter()
        .map(|(row, _, allowed)| {
            let (from, to) = span(allowed);
            (*row, from, to)
        })
        .collect();
    let cell = |(row, from, to): &(u32, u32, u32)| {
        let (track, from, to) = (index, *from, *to);
        (*row, Cell { track, from, to })
    };
    let cells = spans.iter().map(cell).collect();
    (Table::Numbers(Numbers::new(cuts, spans, words)), cells)
}
