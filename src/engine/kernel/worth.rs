//! How many open rules one fact would settle if it became known.

use super::super::rank::arrange;
use super::super::set::{Set, Verdict};
use super::rows::has;
use super::table::Span;
use super::{Cell, Kernel, Kind, Scratch, each};

/// Options of one rule that are looked at together; a rule that needs more is not counted.
const OPTIONS_AT_ONCE: u32 = 10;

/// The run that is looked at.
struct Look<'a> {
    kernel: &'a Kernel,
    sets: &'a [Set],
    run: &'a Scratch,
}

impl Kernel {
    /// Visits each fact that may settle an open rule by becoming known alone, with the chance that it does, any of its
    /// buckets being as likely as another.
    pub fn worths(
        &self,
        rule: usize,
        sets: &[Set],
        run: &Scratch,
        mut visit: impl FnMut(u32, f64),
    ) {
        let look = Look {
            kernel: self,
            sets,
            run,
        };
        if !self.is_several(rule) {
            look.only(self.cells_of(rule), visit);
            return;
        }
        let (mut found, mut room) = (Vec::new(), Vec::new());
        let rows = look.unsure(rule, &mut found);
        look.target(&found, rows, &mut room, &mut visit);
    }

    /// How many tracks there are.
    pub fn track_count(&self) -> usize {
        self.tracks.len()
    }

    /// The rows of some open rules, ready to be judged while only some tracks move.
    pub fn moving(
        &self,
        rules: &[usize],
        tracks: &[u32],
        weight: impl Fn(usize) -> f64,
        sets: &[Set],
        run: &Scratch,
    ) -> Moving {
        let mut moves = vec![false; self.tracks.len()];
        tracks
            .iter()
            .for_each(|track| moves[*track as usize] = true);
        let mut moving = Moving::default();
        for rule in rules {
            let (weight, before) = (weight(*rule), moving.rows.len());
            self.each_row(*rule, |row| {
                let (mut rest, start) = (Verdict::Holds, moving.cells.len());
                for cell in self.cells_of(row) {
                    if moves[cell.track as usize] {
                        moving.cells.push(*cell);
                    } else {
                        rest = rest.and(self.test(cell, sets, &run.spans));
                    }
                }
                if rest == Verdict::Fails {
                    moving.cells.truncate(start);
                    return;
                }
                moving.rows.push(MovingRow {
                    holds: rest == Verdict::Holds,
                    end: moving.cells.len(),
                    weight: 0.0,
                });
            });
            if let Some(last) = moving.rows[before..].last_mut() {
                last.weight = weight;
            }
        }
        moving
    }

    /// What the rules among these weigh that are not open where the values now lie.
    pub fn settled(&self, moving: &Moving, sets: &[Set], run: &Scratch) -> f64 {
        let (mut sum, mut start) = (0.0, 0);
        let (mut holds, mut fails) = (false, true);
        for row in &moving.rows {
            let (mut row_holds, mut row_fails) = (row.holds, false);
            for cell in &moving.cells[start..row.end] {
                let (cell_holds, cell_fails) = match cell.kind {
                    Kind::Number | Kind::Bits => cell.sides(run.spans[cell.track as usize]),
                    _ => {
                        let verdict = self.test(cell, sets, &run.spans);
                        (verdict == Verdict::Holds, verdict == Verdict::Fails)
                    }
                };
                row_holds &= cell_holds;
                row_fails |= cell_fails;
            }
            start = row.end;
            (holds, fails) = (holds | row_holds, fails & row_fails);
            // The last row of a rule has its weight.
            if row.weight > 0.0 {
                sum += row.weight * f64::from(u8::from(holds | fails));
                (holds, fails) = (false, true);
            }
        }
        sum
    }

    /// Visits the rows of a target.
    #[inline(always)]
    fn each_row(&self, target: usize, mut visit: impl FnMut(usize)) {
        if self.is_several(target) {
            self.rows_of(target).for_each(visit);
        } else if has(&self.alive, target) {
            visit(target);
        }
    }

    /// Visits the facts that the rows of a target look at.
    #[inline(always)]
    pub fn each_track(&self, target: usize, mut visit: impl FnMut(u32)) {
        self.each_row(target, |row| {
            self.cells_of(row).iter().for_each(|cell| visit(cell.track));
        });
    }
}

/// Rows that do not fail whatever moves, and their tests that move.
#[derive(Default)]
pub(crate) struct Moving {
    rows: Vec<MovingRow>,
    cells: Vec<Cell>,
}

struct MovingRow {
    /// Whether its other tests hold; otherwise they are open.
    holds: bool,
    /// Where its tests end.
    end: usize,
    /// What its rule weighs, if this is the last row of it.
    weight: f64,
}

impl Moving {
    /// The facts that move.
    pub fn tracks(&self) -> Vec<u32> {
        let mut tracks: Vec<u32> = self.cells.iter().map(|cell| cell.track).collect();
        arrange(&mut tracks, Ord::cmp);
        tracks.dedup();
        tracks
    }
}

/// A test that leaves its row unsure, and whether it alone does.
type Unsure<'a> = (&'a Cell, bool);

impl<'a> Look<'a> {
    /// Visits the facts that may settle a rule with one row.
    fn only(&self, cells: &'a [Cell], mut visit: impl FnMut(u32, f64)) {
        let unsure =
            |cell: &&Cell| self.kernel.test(cell, self.sets, &self.run.spans) != Verdict::Holds;
        let mut cells = cells.iter().filter(unsure);
        let (Some(first), second) = (cells.next(), cells.next()) else {
            return;
        };
        let Some(second) = second else {
            visit(first.track, self.chance(&[(first, true)]));
            return;
        };
        for cell in [first, second].into_iter().chain(cells) {
            visit(cell.track, self.chance(&[(cell, false)]));
        }
    }

    /// Finds the tests that leave the rows of a target unsure, and tells how many rows there are.
    fn unsure(&self, target: usize, found: &mut Vec<Unsure<'a>>) -> usize {
        found.clear();
        let mut rows = 0;
        let possible = |row: &usize| has(&self.run.pass.possibly.rows, *row);
        for row in self.kernel.rows_of(target).filter(possible) {
            rows += 1;
            let start = found.len();
            for cell in self.kernel.cells_of(row) {
                if self.kernel.test(cell, self.sets, &self.run.spans) != Verdict::Holds {
                    found.push((cell, false));
                }
            }
            if let [(_, alone)] = &mut found[start..] {
                *alone = true;
            }
        }
        rows
    }

    /// Visits every track that may settle a target, with its chance. `room` is for the tests of one track.
    fn target(
        &self,
        found: &[Unsure<'a>],
        rows: usize,
        room: &mut Vec<Unsure<'a>>,
        mut visit: impl FnMut(u32, f64),
    ) {
        if rows == 1 {
            found
                .iter()
                .for_each(|one| visit(one.0.track, self.chance(&[*one])));
            return;
        }
        for (at, (first, _)) in found.iter().enumerate() {
            if found[..at]
                .iter()
                .any(|(cell, _)| cell.track == first.track)
            {
                continue;
            }
            let same = found[at..]
                .iter()
                .filter(|(cell, _)| cell.track == first.track);
            room.clear();
            room.extend(same);
            let chance = if room.len() == rows {
                self.chance(room)
            } else {
                // Another row stays open whatever this fact turns out to be; only a row that holds settles the rule.
                room.retain(|(_, alone)| *alone);
                self.inside(room).unwrap_or(0.0)
            };
            if chance > 0.0 {
                visit(first.track, chance);
            }
        }
    }

    /// The chance that a value of one fact makes a row hold or all rows fail, where all open rows look at it.
    fn chance(&self, cells: &[Unsure<'_>]) -> f64 {
        if let [(cell, true)] = cells
            && cell.kind == Kind::Number
            && self.run.spans[cell.track as usize] != Span::ANY
        {
            return 1.0;
        }
        let Some(inside) = self.inside(cells) else {
            return 0.0;
        };
        if let [(_, alone)] = cells {
            return if *alone { 1.0 } else { 1.0 - inside };
        }
        if cells.iter().all(|(_, alone)| *alone) {
            return 1.0;
        }
        if !cells.iter().any(|(_, alone)| *alone) {
            return 1.0 - inside;
        }
        let alone: Vec<Unsure<'_>> = cells.iter().copied().filter(|(_, alone)| *alone).collect();
        self.inside(&alone)
            .map_or(0.0, |alone| alone + 1.0 - inside)
    }

    /// The share of a fact's possible values that lies within at least one of some cells; nothing where it is not
    /// counted.
    fn inside(&self, cells: &[Unsure<'_>]) -> Option<f64> {
        let Some((first, _)) = cells.first() else {
            return Some(0.0);
        };
        if first.kind == Kind::Number {
            let span = self.run.spans[first.track as usize];
            return (span != Span::ANY).then(|| inside_numbers(span, cells));
        }
        let track = &self.kernel.tracks[first.track as usize];
        match (first.kind, self.kernel.set(track, self.sets)) {
            (Kind::Bits, Set::Choice(_)) => {
                let options = self.run.spans[first.track as usize].low;
                let allowed = cells.iter().fold(0, |sum, (cell, _)| sum | cell.from);
                let all = options.count_ones().max(1);
                Some(f64::from((allowed & options).count_ones()) / f64::from(all))
            }
            (Kind::Choice, Set::Choice(options)) => {
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

    fn inside_several(&self, cells: &[Unsure<'_>], surely: u128, maybe: u128) -> Option<f64> {
        let wants: Vec<(u128, u128)> = cells.iter().map(|(c, _)| self.kernel.wanted(c)).collect();
        let looked = wants.iter().fold(0, |sum, (a, b)| sum | a | b);
        let open: Vec<usize> = each(looked & maybe & !surely).collect();
        let count = open.len() as u32;
        if count > OPTIONS_AT_ONCE {
            return None;
        }
        let fits = |present: &u32| {
            let bit = |(nth, option): (usize, &usize)| u128::from(present >> nth & 1) << option;
            let set = surely | open.iter().enumerate().map(bit).fold(0, |a, b| a | b);
            wants
                .iter()
                .any(|(with, without)| with & !set == 0 && without & set == 0)
        };
        let fitting = (0..1_u32 << count).filter(fits).count() as u32;
        Some(f64::from(fitting) / f64::from(1_u32 << count))
    }
}

fn inside_numbers(span: Span, cells: &[Unsure<'_>]) -> f64 {
    let part = |cell: &Cell| (cell.from.max(span.low), cell.to.min(span.high));
    let share = |buckets: u32| f64::from(buckets) / f64::from(span.high - span.low + 1);
    if let [(cell, _)] = cells {
        let (from, to) = part(cell);
        return share((to + 1).saturating_sub(from));
    }
    let mut parts: Vec<(u32, u32)> = cells.iter().map(|(cell, _)| part(cell)).collect();
    arrange(&mut parts, Ord::cmp);
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
