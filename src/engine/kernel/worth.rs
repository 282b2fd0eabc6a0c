//! How many open rules one fact would settle if it became known.

use super::super::rank::arrange;
use super::super::set::{Set, Verdict};
use super::rows::has;
use super::table::Span;
use super::{Cell, Kernel, Kind, Scratch, Track, each};

/// Options of one rule that are looked at together; a rule that needs more is not counted.
const OPTIONS_AT_ONCE: u32 = 10;

/// What knowing each fact is worth to open rules with one row, by track.
#[derive(Debug, Default)]
pub(crate) struct Chances {
    tracks: Vec<Chance>,
    worths: Vec<f64>,
}

/// Where a fact lies, ready for its tests.
#[derive(Debug, Clone, Copy, Default)]
struct Chance {
    span: Span,
    /// How many buckets or options it may be.
    among: f64,
    is_counted: bool,
    /// Whether it moves with another fact.
    moves: bool,
}

impl Chance {
    /// The chance that knowing the fact decides a row, of which this test is open, and perhaps alone.
    #[inline(always)]
    fn of(&self, cell: &Cell, alone: bool) -> f64 {
        let Span { low, high } = self.span;
        let within = (cell.to.min(high).saturating_add(1)).saturating_sub(cell.from.max(low));
        let options = (cell.from & low).count_ones();
        let is_bits = cell.kind == Kind::Bits;
        let inside = f64::from(if is_bits { options } else { within }) / self.among;
        let chance = if alone { 1.0 } else { 1.0 - inside };
        if self.is_counted { chance } else { 0.0 }
    }
}

impl Chances {
    /// By track: what knowing it settles among the rules so far.
    pub fn worths(&self) -> impl Iterator<Item = f64> + '_ {
        self.worths.iter().copied()
    }
}

/// The run that is looked at.
struct Look<'a> {
    kernel: &'a Kernel,
    sets: &'a [Set],
    run: &'a Scratch,
}

impl Kernel {
    /// Visits each fact that may settle an open rule with several rows by becoming known alone, with the chance that it
    /// does, any of its buckets being as likely as another.
    pub fn worths<'a>(
        &'a self,
        rule: usize,
        sets: &'a [Set],
        run: &'a Scratch,
        Room { found, same }: &mut Room<'a>,
        mut visit: impl FnMut(u32, f64),
    ) {
        let look = Look {
            kernel: self,
            sets,
            run,
        };
        let rows = look.unsure(rule, found);
        look.target(found, rows, same, &mut visit);
    }

    /// Finds where every fact lies, and whether it moves with another.
    pub fn gauge_chances(
        &self,
        sets: &[Set],
        run: &Scratch,
        moves: impl Iterator<Item = bool>,
        chances: &mut Chances,
    ) {
        let of = |(index, ((track, span), moves)): (usize, ((&Track, &Span), bool))| {
            let is_number = index < self.scales.numbers.len();
            let (among, is_counted) = match (is_number, track.order, &sets[track.id.0 as usize]) {
                (true, _, Set::Number(_)) => (
                    span.high.saturating_sub(span.low).saturating_add(1),
                    *span != Span::ANY,
                ),
                (false, Some(_), _) | (false, _, Set::Choice(_)) => (span.low.count_ones(), true),
                _ => (1, false),
            };
            Chance {
                span: *span,
                among: f64::from(among.max(1)),
                is_counted,
                moves,
            }
        };
        let tracks = self.tracks.iter().zip(&run.spans).zip(moves);
        chances.tracks.clear();
        chances.tracks.extend(tracks.enumerate().map(of));
        chances.worths.clear();
        chances.worths.resize(self.tracks.len(), 0.0);
    }

    /// Whether a rule looks at what moves with another fact.
    pub fn moves(&self, rule: usize, chances: &Chances) -> bool {
        let mut moves = false;
        self.each_track(rule, |track| moves |= chances.tracks[track as usize].moves);
        moves
    }

    /// Adds what each fact is worth to an open rule with one row, as far as it is to be counted.
    pub fn worth_of_plain(
        &self,
        rule: usize,
        weight: f64,
        sets: &[Set],
        run: &Scratch,
        chances: &mut Chances,
        counts: impl Fn(u32) -> bool,
    ) {
        let cells = self.cells_of(rule);
        let look = Look {
            kernel: self,
            sets,
            run,
        };
        let is_quick = |cell: &Cell| matches!(cell.kind, Kind::Number | Kind::Bits);
        let unsure = |cell: &Cell| {
            if is_quick(cell) {
                !cell.sides(run.spans[cell.track as usize]).0
            } else {
                self.test(cell, sets, &run.spans) != Verdict::Holds
            }
        };
        let count: u32 = cells.iter().map(|cell| u32::from(unsure(cell))).sum();
        for cell in cells {
            let chance = if is_quick(cell) {
                chances.tracks[cell.track as usize].of(cell, count == 1)
            } else {
                look.chance(&[(cell, count == 1)])
            };
            let is_worth = unsure(cell) && counts(cell.track);
            chances.worths[cell.track as usize] += if is_worth { weight * chance } else { 0.0 };
        }
    }

    /// How many tracks there are.
    pub fn track_count(&self) -> usize {
        self.tracks.len()
    }

    /// Prepares for trying values of one fact after the other: every track lies where it does.
    pub fn begin_tries(&self, run: &Scratch, tries: &mut Tries) {
        tries.lanes.clear();
        tries
            .lanes
            .extend(run.spans.iter().map(|span| Lanes::of(*span)));
        tries.moves.clear();
        tries.moves.resize(run.spans.len(), false);
        tries.sets.clear();
    }

    /// Notes where some tracks lie, and what they may be, at one of the values that are tried.
    pub fn try_value(&self, nth: usize, tracks: &[u32], sets: &[Set], tries: &mut Tries) {
        for index in tracks {
            let track = &self.tracks[*index as usize];
            let set = &sets[track.id.0 as usize];
            let span = match (self.scales.of(*index), set) {
                (Some(numbers), Set::Number(values)) => self.scales.span(numbers, *values),
                (Some(_), _) => Span::ANY,
                (None, _) => self.bits(track, sets),
            };
            tries.lanes[*index as usize].put(nth, span);
            if nth == 0 {
                tries.moves[*index as usize] = true;
            }
            // Where it lies does not say all of a choice of very many options, or of several.
            if track.order.is_none() && !matches!(set, Set::Number(_)) {
                tries.sets.push((*index, nth as u32, *set));
            }
        }
    }

    /// What an open rule weighs at all of so many values where it is no longer open, in sum.
    pub fn settled(
        &self,
        rule: usize,
        values: usize,
        sets: &[Set],
        run: &Scratch,
        tries: &Tries,
    ) -> u32 {
        let (mut holds, mut fails) = ([0; TRIED], [u32::MAX; TRIED]);
        self.each_row(rule, |row| {
            let (mut row_holds, mut row_fails) = ([u32::MAX; TRIED], [0; TRIED]);
            let mut rest = Verdict::Holds;
            for cell in self.cells_of(row) {
                if !tries.moves[cell.track as usize] {
                    rest = rest.and(self.test(cell, sets, &run.spans));
                    continue;
                }
                let (cell_holds, cell_fails) = self.at_each(cell, tries);
                for nth in 0..TRIED {
                    row_holds[nth] &= cell_holds[nth];
                    row_fails[nth] |= cell_fails[nth];
                }
            }
            let all = |is: bool| u32::from(is).wrapping_neg();
            for nth in 0..TRIED {
                holds[nth] |= row_holds[nth] & all(rest == Verdict::Holds);
                fails[nth] &= row_fails[nth] | all(rest == Verdict::Fails);
            }
        });
        let settled = (0..values).map(|nth| (holds[nth] | fails[nth]) & 1);
        settled.sum()
    }

    /// At which of the values a test of what moves holds, and at which it fails.
    #[inline(always)]
    fn at_each(&self, cell: &Cell, tries: &Tries) -> (Each, Each) {
        let Lanes { low, high } = &tries.lanes[cell.track as usize];
        let all = |is: bool| u32::from(is).wrapping_neg();
        match cell.kind {
            Kind::Number => (
                std::array::from_fn(|nth| all((cell.from <= low[nth]) & (high[nth] <= cell.to))),
                std::array::from_fn(|nth| all((high[nth] < cell.from) | (cell.to < low[nth]))),
            ),
            Kind::Bits => {
                let inside = |nth: usize| low[nth] & cell.from != 0;
                let outside = |nth: usize| low[nth] & !cell.from != 0;
                (
                    std::array::from_fn(|nth| all(!outside(nth))),
                    std::array::from_fn(|nth| all(outside(nth) & !inside(nth))),
                )
            }
            Kind::Choice | Kind::Several => {
                let mut verdicts = [Verdict::Open; TRIED];
                let own = tries.sets.iter().filter(|(track, ..)| *track == cell.track);
                own.for_each(|(_, nth, set)| verdicts[*nth as usize] = self.test_set(cell, set));
                (
                    verdicts.map(|verdict| all(verdict == Verdict::Holds)),
                    verdicts.map(|verdict| all(verdict == Verdict::Fails)),
                )
            }
        }
    }

    /// Lets some tracks lie where they do again.
    pub fn end_tries(&self, tracks: &[u32], run: &Scratch, tries: &mut Tries) {
        for index in tracks {
            tries.lanes[*index as usize] = Lanes::of(run.spans[*index as usize]);
            tries.moves[*index as usize] = false;
        }
        tries.sets.clear();
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

/// Values of one fact that are tried where others are worked out from it.
pub(crate) const TRIED: usize = 12;

/// Something of each of the values.
type Each = [u32; TRIED];

/// Where every track lies at each of the values that are tried, so that a test is made at all of them at once.
#[derive(Debug, Default)]
pub(crate) struct Tries {
    lanes: Vec<Lanes>,
    /// By track: whether it moves.
    moves: Vec<bool>,
    /// Track, value, and what the track may be there, where its place does not say.
    sets: Vec<(u32, u32, Set)>,
}

#[derive(Debug, Clone, Copy)]
struct Lanes {
    low: Each,
    high: Each,
}

impl Lanes {
    fn of(Span { low, high }: Span) -> Lanes {
        Lanes {
            low: [low; TRIED],
            high: [high; TRIED],
        }
    }

    fn put(&mut self, nth: usize, span: Span) {
        (self.low[nth], self.high[nth]) = (span.low, span.high);
    }
}

/// A test that leaves its row unsure, and whether it alone does.
type Unsure<'a> = (&'a Cell, bool);

/// Room for the tests that leave one rule open, and for those of one track.
#[derive(Default)]
pub(crate) struct Room<'a> {
    found: Vec<Unsure<'a>>,
    same: Vec<Unsure<'a>>,
}

impl<'a> Look<'a> {
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
        if let [(cell, _)] = cells {
            // Each open option must come out one way.
            let (with, without) = self.kernel.wanted(cell);
            let fits = with & !maybe == 0 && without & surely == 0;
            let open = ((with | without) & maybe & !surely).count_ones();
            let one = 1.0 / f64::from(1_u32 << open.min(OPTIONS_AT_ONCE));
            return (open <= OPTIONS_AT_ONCE).then_some(if fits { one } else { 0.0 });
        }
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
