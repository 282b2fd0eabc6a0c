//! One fact moved over its range while everything else stays: the pieces on which nothing changes.
//!
//! A piece ends where a threshold of the fact itself is met, or where a fact worked out from it meets one. Thresholds
//! of the fact itself are exact. Those of derived facts are found by halving between points of a grid, to the last
//! digit; a derived fact that crosses a threshold and comes back between two points of the grid is not seen.

use std::cell::RefCell;
use std::collections::BTreeSet;

use super::book::Book;
use super::book::order::rests_on;
use super::book::vocabulary::{Cell, Column, Derivation, Kind, Origin};
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::facts::{Facts, Given, Reading};
use super::normal::{Allowed, Normal};
use super::set::{Interval, Set};

/// Values of one fact on which every test comes out the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Piece {
    /// From the first to the last number, both within.
    Numbers { first: f64, last: f64 },
    /// One option of a choice or truth.
    Option(u32),
    /// An option of `Several` present or absent.
    Presence { option: u32, present: bool },
}

impl Book {
    /// Thresholds that rules, needs, truths and tables test a column against, in rising order.
    pub(crate) fn cuts(&self) -> Vec<Vec<f64>> {
        let mut cuts: Vec<BTreeSet<Ordered>> = vec![BTreeSet::new(); self.words.columns.len()];
        let mut normal = |normal: &Normal| {
            for (id, allowed) in normal.rows.iter().flatten() {
                if let Allowed::Numbers { low, high, .. } = allowed {
                    let finite = [low, high].into_iter().filter(|x| x.is_finite());
                    cuts[id.0 as usize].extend(finite.map(|x| Ordered(*x)));
                }
            }
        };
        for column in &self.words.columns {
            if let Origin::Derived(Derivation::Truth { normal: own, .. }) = &column.origin {
                normal(own);
            }
        }
        for column in &self.words.columns {
            let Origin::Table(table) = &column.origin else {
                continue;
            };
            for (id, cell) in table
                .rows
                .iter()
                .flat_map(|row| table.by.iter().zip(&row.cells))
            {
                if let Cell::Between { low, high, .. } = cell {
                    let finite = [low, high].into_iter().filter(|x| x.is_finite());
                    cuts[id.0 as usize].extend(finite.map(|x| Ordered(*x)));
                }
            }
        }
        for (index, cuts) in cuts.iter_mut().enumerate() {
            let own = self.kernel.cuts(ColumnId(index as u32)).iter();
            cuts.extend(own.filter(|x| x.is_finite()).map(|x| Ordered(*x)));
        }
        cuts.into_iter()
            .map(|set| set.into_iter().map(|x| x.0).collect())
            .collect()
    }

    /// The columns whose values rest on `id`, in the order of evaluation, itself left out.
    pub(crate) fn dependents(&self, id: ColumnId) -> Vec<ColumnId> {
        let mut rests = vec![false; self.words.columns.len()];
        rests[id.0 as usize] = true;
        let mut found = Vec::new();
        for column in &self.order {
            if *column != id
                && rests_on(&self.words, *column)
                    .iter()
                    .any(|on| rests[on.0 as usize])
            {
                rests[column.0 as usize] = true;
                found.push(*column);
            }
        }
        found
    }
}

/// A finite number that can be sorted.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ordered(f64);

impl Eq for Ordered {}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ordered {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

/// One fact being moved.
pub(crate) struct Sweep<'a> {
    base: &'a Evaluation<'a>,
    pub id: ColumnId,
    dependents: Vec<ColumnId>,
    cuts: &'a [Vec<f64>],
    /// The facts with this one where it was last moved to.
    moved: RefCell<Facts>,
}

impl<'a> Sweep<'a> {
    /// One fact of a run; looked at is what rests on it, or only those of that which are `deciding`.
    pub fn new(
        base: &'a Evaluation<'a>,
        id: ColumnId,
        cuts: &'a [Vec<f64>],
        deciding: Option<&[bool]>,
    ) -> Sweep<'a> {
        let mut dependents = base.book.dependents(id);
        dependents.retain(|id| deciding.is_none_or(|deciding| deciding[id.0 as usize]));
        Sweep {
            base,
            id,
            dependents,
            cuts,
            moved: RefCell::new(base.facts.clone()),
        }
    }

    fn column(&self) -> &'a Column {
        self.base.book.words.get(self.id)
    }

    /// Whether anything is tested against this fact or what is worked out from it.
    pub fn matters(&self) -> bool {
        let tested = |id: &ColumnId| match self.base.book.words.get(*id).kind {
            Kind::Number => !self.cuts[id.0 as usize].is_empty(),
            _ => true,
        };
        tested(&self.id) || self.dependents.iter().any(tested)
    }

    /// The facts with this one at a value.
    pub fn facts(&self, piece: Piece, value: f64) -> Facts {
        self.base.moved(self.id, piece, value)
    }

    /// The pieces of the fact's range, in rising order for numbers.
    pub fn pieces(&self) -> Vec<Piece> {
        let column = self.column();
        let options = match column.kind {
            Kind::Truth => 2,
            _ => column.options.len() as u32,
        };
        match column.kind {
            Kind::Number => self.number_pieces(column),
            Kind::Choice | Kind::Truth => (0..options).map(Piece::Option).collect(),
            Kind::Several => (0..options)
                .flat_map(|option| [false, true].map(|present| Piece::Presence { option, present }))
                .collect(),
        }
    }

    fn number_pieces(&self, column: &Column) -> Vec<Piece> {
        let grid = self.grid(column);
        let mut pieces: Vec<Piece> = Vec::new();
        let mut signature = Vec::new();
        for (at, x) in grid.iter().enumerate() {
            let here = self.signature(*x);
            if at > 0 && here != signature {
                self.split(grid[at - 1], &signature, *x, &here, 0, &mut pieces);
            } else if at == 0 {
                pieces.push(Piece::Numbers {
                    first: *x,
                    last: *x,
                });
            } else {
                extend(&mut pieces, *x);
            }
            signature = here;
        }
        pieces
    }

    /// Finds every change of the signature between two points, from the left.
    fn split(
        &self,
        a: f64,
        at_a: &[u64],
        b: f64,
        at_b: &[u64],
        depth: u32,
        pieces: &mut Vec<Piece>,
    ) {
        const HALVINGS: u32 = 60;
        if at_a == at_b {
            extend(pieces, b);
            return;
        }
        let middle = a + (b - a) / 2.0;
        if depth == HALVINGS || middle <= a || middle >= b {
            extend(pieces, a);
            pieces.push(Piece::Numbers { first: b, last: b });
            return;
        }
        let here = self.signature(middle);
        self.split(a, at_a, middle, &here, depth + 1, pieces);
        self.split(middle, &here, b, at_b, depth + 1, pieces);
    }

    /// Points to look at: the ends, the fact's own thresholds and their neighbours, and a spread of points between,
    /// evenly and by powers.
    fn grid(&self, column: &Column) -> Vec<f64> {
        const STEPS: u32 = 24;
        let range = column.range.interval();
        let (lo, hi) = (range.lo.max(-1e12), range.hi.min(1e12));
        let mut points: BTreeSet<Ordered> = BTreeSet::from([Ordered(lo), Ordered(hi)]);
        for step in 1..STEPS {
            let share = f64::from(step) / f64::from(STEPS);
            points.insert(Ordered(lo + (hi - lo) * share));
            points.insert(Ordered(lo + (hi - lo) * libm::pow(10.0, -6.0 * share)));
        }
        let own = self.cuts[self.id.0 as usize]
            .iter()
            .copied()
            .chain(column.smallest);
        for cut in own {
            points.extend([cut.next_down(), cut, cut.next_up()].map(Ordered));
        }
        points
            .into_iter()
            .map(|x| x.0)
            .filter(|x| *x >= lo && *x <= hi)
            .collect()
    }

    /// Between which thresholds the fact and everything worked out from it lie.
    fn signature(&self, value: f64) -> Vec<u64> {
        let (first, last) = (value, value);
        let mut facts = self.moved.borrow_mut();
        let given = self
            .base
            .given_at(self.id, Piece::Numbers { first, last }, value);
        facts.set(self.id, given);
        let mut run = self.base.begun(&facts);
        run.settle(self.id);
        self.dependents.iter().for_each(|id| run.settle(*id));
        let columns = std::iter::once(&self.id).chain(&self.dependents);
        columns
            .flat_map(|id| place(run.set(*id), &self.cuts[id.0 as usize]))
            .collect()
    }
}

impl Evaluation<'_> {
    /// The facts with one of them at a value.
    pub(crate) fn moved(&self, id: ColumnId, piece: Piece, value: f64) -> Facts {
        let mut facts = self.facts.clone();
        facts.set(id, self.given_at(id, piece, value));
        facts
    }

    fn given_at(&self, id: ColumnId, piece: Piece, value: f64) -> Given {
        let column = self.book.words.get(id);
        if column.series {
            return self.with_reading(id, column, value);
        }
        Given::new(match piece {
            Piece::Numbers { .. } => Set::Number(Interval::point(value)),
            Piece::Option(option) => Set::Choice(1 << option),
            Piece::Presence { option, present } => self.with_presence(id, option, present),
        })
    }

    fn with_presence(&self, id: ColumnId, option: u32, present: bool) -> Set {
        let bit = 1 << option;
        match self.set(id) {
            Set::Several { surely, maybe } if present => Set::Several {
                surely: surely | bit,
                maybe: maybe | bit,
            },
            Set::Several { surely, maybe } => Set::Several {
                surely: surely & !bit,
                maybe: maybe & !bit,
            },
            other => other,
        }
    }

    /// The latest reading with another value; where there is none that speaks of today, one of today.
    fn with_reading(&self, id: ColumnId, column: &Column, value: f64) -> Given {
        let known = self.facts.get(id).cloned();
        let mut given = known.unwrap_or_else(|| Given::new(column.range));
        let is_stale = self.is_stale(column, &given);
        let reading = Reading {
            day: self.today.unwrap_or(0.0),
            values: Interval::point(value),
            nominal: value,
            mark: column.smallest,
            typed: String::new(),
        };
        match given.readings.last_mut() {
            Some(latest) if !is_stale => {
                latest.values = reading.values;
                latest.nominal = value;
                latest.mark = column.smallest;
            }
            _ => given.readings.push(reading),
        }
        given.set = Set::Number(Interval::point(value));
        given
    }
}

fn extend(pieces: &mut [Piece], to: f64) {
    if let Some(Piece::Numbers { last, .. }) = pieces.last_mut() {
        *last = to;
    }
}

fn place(set: Set, cuts: &[f64]) -> [u64; 2] {
    let rank =
        |x: f64| 2 * cuts.partition_point(|cut| *cut < x) as u64 + u64::from(cuts.contains(&x));
    match set {
        Set::Number(values) => [rank(values.lo), rank(values.hi)],
        Set::Choice(mask) => [mask as u64, (mask >> 64) as u64],
        Set::Several { surely, maybe } => [fold(surely), fold(maybe)],
    }
}

fn fold(mask: u128) -> u64 {
    (mask as u64) ^ ((mask >> 64) as u64).rotate_left(32)
}
