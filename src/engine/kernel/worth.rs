//! How many open rules one fact would settle if it became known.

use super::super::set::{Set, Verdict};
use super::rows::has;
use super::{Cell, Kernel, Kind, Scratch};

/// Options of one rule that are looked at together; a rule that needs more is not counted.
const OPTIONS_AT_ONCE: u32 = 10;

/// The run that is looked at.
struct Look<'a> {
    kernel: &'a Kernel,
    sets: &'a [Set],
    run: &'a Scratch,
}

impl Kernel {
    /// For every open rule, each fact that may settle it by becoming known alone, with the chance that it does, any of
    /// its buckets being as likely as another. `begin` is told of a rule before its facts are.
    pub fn worths(
        &self,
        sets: &[Set],
        run: &Scratch,
        mut begin: impl FnMut(usize),
        mut visit: impl FnMut(usize, u32, f64),
    ) {
        let look = Look {
            kernel: self,
            sets,
            run,
        };
        let mut found = Vec::new();
        for target in run.verdicts.open() {
            begin(target);
            look.target(target, &mut found, |track, chance| {
                visit(target, track, chance)
            });
        }
    }

    /// The rows of some open rules, ready to be judged while only some tracks move.
    pub fn moving(
        &self,
        rules: &[usize],
        tracks: &[u32],
        sets: &[Set],
        run: &Scratch,
    ) -> Moving<'_> {
        let mut moves = vec![false; self.tracks.len()];
        tracks
            .iter()
            .for_each(|track| moves[*track as usize] = true);
        let mut moving = Moving::default();
        for rule in rules {
            for row in self.rows_of(*rule) {
                let cells = self.cells_of(row).iter();
                let (mut rest, start) = (Verdict::Holds, moving.cells.len());
                for cell in cells {
                    if moves[cell.track as usize] {
                        moving.cells.push(cell);
                    } else {
                        rest = rest.and(self.test(cell, sets, &run.spans));
                    }
                }
                if rest == Verdict::Fails {
                    moving.cells.truncate(start);
                } else {
                    moving.rows.push((*rule, rest, moving.cells.len()));
                }
            }
        }
        moving
    }

    /// Visits the rules among these that are not open where the values now lie.
    pub fn settled(
        &self,
        moving: &Moving<'_>,
        sets: &[Set],
        run: &Scratch,
        mut visit: impl FnMut(usize),
    ) {
        let mut start = 0;
        for rows in moving.rows.chunk_by(|a, b| a.0 == b.0) {
            let mut verdict = Verdict::Fails;
            for (_, rest, end) in rows {
                let tests = moving.cells[start..*end].iter();
                start = *end;
                let tests = tests.map(|cell| self.test(cell, sets, &run.spans));
                verdict = verdict.or(tests.fold(*rest, Verdict::and));
            }
            if verdict != Verdict::Open {
                visit(rows[0].0);
            }
        }
    }

    /// The facts that the rows of a target look at.
    pub fn tracks_of(&self, target: usize) -> impl Iterator<Item = u32> + '_ {
        let cells = self.rows_of(target).flat_map(|row| self.cells_of(row));
        cells.map(|cell| cell.track)
    }
}

/// Rows that do not fail whatever moves, each with its rule, what its other tests come to, and where its tests that
/// move end.
#[derive(Default)]
pub(crate) struct Moving<'a> {
    rows: Vec<(usize, Verdict, usize)>,
    cells: Vec<&'a Cell>,
}

/// A test that leaves its row unsure, and whether it alone does.
type Unsure<'a> = (&'a Cell, bool);

impl<'a> Look<'a> {
    fn is_unsure(&self, cell: &Cell) -> bool {
        self.kernel.test(cell, self.sets, &self.run.spans) != Verdict::Holds
    }

    /// Visits every track that may settle the target, with its chance. `found` is room for the tests of its open rows
    /// that leave them unsure, each with the row.
    fn target(
        &self,
        target: usize,
        found: &mut Vec<(usize, &'a Cell)>,
        mut visit: impl FnMut(u32, f64),
    ) {
        let kernel = self.kernel;
        let unsure = |row| {
            let cells = kernel.cells_of(row).iter();
            cells.filter(|cell| self.is_unsure(cell))
        };
        if !kernel.is_several(target) {
            let alone = unsure(target).nth(1).is_none();
            unsure(target).for_each(|cell| visit(cell.track, self.chance(&[(cell, alone)])));
            return;
        }
        found.clear();
        let mut rows = 0;
        let possible = |row: &usize| has(&self.run.pass.possibly.rows, *row);
        for row in kernel.rows_of(target).filter(possible) {
            rows += 1;
            found.extend(unsure(row).map(|cell| (row, cell)));
        }
        let alone = |row| found.iter().filter(|(other, _)| *other == row).count() == 1;
        for (at, (_, first)) in found.iter().enumerate() {
            let same = |(_, cell): &&(usize, &Cell)| cell.track == first.track;
            if found[..at].iter().any(|cell| same(&cell)) {
                continue;
            }
            let cells = found[at..].iter().filter(same);
            let cells: Vec<Unsure<'_>> = cells.map(|(row, cell)| (*cell, alone(*row))).collect();
            let chance = if cells.len() == rows {
                self.chance(&cells)
            } else {
                // Another row stays open whatever this fact turns out to be; only a row that holds settles the rule.
                let alone: Vec<Unsure<'_>> =
                    cells.into_iter().filter(|(_, alone)| *alone).collect();
                self.inside(&alone).unwrap_or(0.0)
            };
            if chance > 0.0 {
                visit(first.track, chance);
            }
        }
    }

    /// The chance that a value of one fact makes a row hold or all rows fail, where all open rows look at it.
    fn chance(&self, cells: &[Unsure<'_>]) -> f64 {
        let others: Vec<Unsure<'_>>;
        let alone = match cells {
            [(_, false)] => &[],
            [(_, true)] => cells,
            _ => {
                others = cells.iter().copied().filter(|(_, alone)| *alone).collect();
                &others[..]
            }
        };
        let settled = |cells| Some(self.inside(alone)? + 1.0 - self.inside(cells)?);
        settled(cells).unwrap_or(0.0)
    }

    /// The share of a fact's possible values that lies within at least one of some cells; nothing where it is not
    /// counted.
    fn inside(&self, cells: &[Unsure<'_>]) -> Option<f64> {
        let Some((first, _)) = cells.first() else {
            return Some(0.0);
        };
        let track = &self.kernel.tracks[first.track as usize];
        match (first.kind, self.kernel.set(track, self.sets)) {
            (Kind::Number, Set::Number(_)) => Some(self.inside_numbers(first.track, cells)),
            (Kind::Choice | Kind::Order, Set::Choice(options)) => {
                let mask = |sum, (cell, _): &Unsure<'_>| sum | self.kernel.allowed(cell);
                let allowed = cells.iter().fold(0, mask);
                let all = options.count_ones().max(1);
                Some(f64::from((allowed & options).count_ones()) / f64::from(all))
            }
            (Kind::Several, Set::Several { surely, maybe }) => {
                self.inside_several(cells, surely, maybe)
            }
            _ => None,
        }
    }

    fn inside_numbers(&self, track: u32, cells: &[Unsure<'_>]) -> f64 {
        let span = self.run.spans[track as usize];
        let part = |cell: &Cell| (cell.from.max(span.low), cell.to.min(span.high));
        let share = |buckets: u32| f64::from(buckets) / f64::from(span.high - span.low + 1);
        if let [(cell, _)] = cells {
            let (from, to) = part(cell);
            return share((to + 1).saturating_sub(from));
        }
        let mut parts: Vec<(u32, u32)> = cells.iter().map(|(cell, _)| part(cell)).collect();
        parts.sort_unstable();
        let (mut next, mut sum) = (span.low, 0);
        for (from, to) in parts {
            let from = from.max(next);
            if to >= from {
                sum += to + 1 - from;
                next = to + 1;
            }
        }
        share(sum)
    }

    fn inside_several(&self, cells: &[Unsure<'_>], surely: u128, maybe: u128) -> Option<f64> {
        let wants: Vec<(u128, u128)> = cells.iter().map(|(c, _)| self.kernel.wanted(c)).collect();
        let looked = wants.iter().fold(0, |sum, (a, b)| sum | a | b);
        let open: Vec<u32> = (0..128)
            .filter(|o| (looked & maybe & !surely) >> o & 1 == 1)
            .collect();
        let count = open.len() as u32;
        if count > OPTIONS_AT_ONCE {
            return None;
        }
        let fits = |present: &u32| {
            let bit = |(nth, option): (usize, &u32)| u128::from(present >> nth & 1) << option;
            let set = surely | open.iter().enumerate().map(bit).fold(0, |a, b| a | b);
            wants
                .iter()
                .any(|(with, without)| with & !set == 0 && without & set == 0)
        };
        let fitting = (0..1_u32 << count).filter(fits).count() as u32;
        Some(f64::from(fitting) / f64::from(1_u32 << count))
    }
}
