//! What a search looks for: conditions that hold or fail, taken apart until they speak of facts alone.

use super::super::book::Book;
use super::super::book::vocabulary::{Cell, Derivation, Origin};
use super::super::eval::Evaluation;
use super::super::expr::ast::SeriesWord;
use super::super::expr::compile::{ColumnId, Condition, Feature, Test, Value};
use super::super::facts::{Reading, of_last_days, within_days};
use super::super::normal::{Allowed, mirrored, plain, side};
use super::super::set::{NO, Set, Verdict, YES};

/// Something that must be so.
#[derive(Debug, Clone)]
pub(super) enum Goal<'q> {
    /// A condition holds, or fails.
    Is(&'q Condition, bool),
    /// A fact lies in these values, or outside them.
    In(ColumnId, Allowed, bool),
    /// A row of a table fits, or does not.
    Row(ColumnId, usize, bool),
    /// One reading of a series lies in these numbers, which have an end on one side only.
    Reading(ColumnId, usize, Allowed),
    /// At least one of these.
    OneOf(Vec<Goal<'q>>),
}

/// What becomes of a goal that is open.
pub(super) enum Step<'q> {
    /// It can never be.
    Never,
    /// All of these instead.
    All(Vec<Goal<'q>>),
    /// One of these instead.
    Either(Vec<Goal<'q>>),
    /// The given fact must lie in these values.
    Narrow(ColumnId, Allowed),
    /// The reading of a series must lie in these values.
    NarrowReading(ColumnId, usize, Allowed),
    /// Only smaller boxes can tell.
    Open,
}

/// A cell of a table as values of its column; nothing where any value fits.
pub(super) fn allowed(cell: Cell) -> Option<Allowed> {
    match cell {
        Cell::Any => None,
        Cell::OneOf(mask) => Some(Allowed::Options(mask)),
        Cell::Between {
            low,
            low_open,
            high,
            high_open,
        } => Some(Allowed::Numbers {
            low,
            low_open: low_open && low.is_finite(),
            high,
            high_open: high_open && high.is_finite(),
        }),
    }
}

impl<'q> Goal<'q> {
    /// Whether it is so on a box.
    pub fn verdict(&self, run: &Evaluation<'_>) -> Verdict {
        let (verdict, wanted) = match self {
            Goal::Is(condition, wanted) => (run.verdict(condition), *wanted),
            Goal::In(id, allowed, wanted) => (allowed.verdict(run.set(*id)), *wanted),
            Goal::Row(id, row, wanted) => match &run.book.words.get(*id).origin {
                Origin::Table(table) => (run.row(table, &table.rows[*row]), *wanted),
                _ => (Verdict::Fails, *wanted),
            },
            Goal::Reading(series, place, allowed) => {
                let readings = run.facts.get(*series).map(|given| &given.readings);
                let reading = readings.and_then(|readings| readings.get(*place));
                let verdict = |reading: &Reading| allowed.verdict(Set::Number(reading.values));
                (reading.map_or(Verdict::Open, verdict), true)
            }
            Goal::OneOf(goals) => {
                let each = goals.iter().map(|goal| goal.verdict(run));
                (each.fold(Verdict::Fails, Verdict::or), true)
            }
        };
        if wanted { verdict } else { verdict.not() }
    }

    /// The opposite, as goals that must all be met.
    pub fn negated(&self) -> Vec<Goal<'q>> {
        match self {
            Goal::Is(condition, wanted) => vec![Goal::Is(condition, !wanted)],
            Goal::In(id, allowed, wanted) => vec![Goal::In(*id, *allowed, !wanted)],
            Goal::Row(id, row, wanted) => vec![Goal::Row(*id, *row, !wanted)],
            Goal::Reading(series, place, allowed) => {
                let other = |allowed| Goal::Reading(*series, *place, allowed);
                other_side(*allowed).map(other).into_iter().collect()
            }
            Goal::OneOf(goals) => goals.iter().flat_map(Goal::negated).collect(),
        }
    }

    /// Calls `visit` for every column it speaks of directly.
    pub fn columns(&self, book: &Book, visit: &mut impl FnMut(ColumnId)) {
        match self {
            Goal::Is(condition, _) => condition.columns(visit),
            Goal::In(id, ..) | Goal::Reading(id, ..) => visit(*id),
            Goal::Row(id, ..) => {
                if let Origin::Table(table) = &book.words.get(*id).origin {
                    table.by.iter().for_each(|by| visit(*by));
                }
            }
            Goal::OneOf(goals) => goals.iter().for_each(|goal| goal.columns(book, visit)),
        }
    }

    /// Takes it one step apart on a box where it is open.
    pub fn step(&self, book: &'q Book, run: &Evaluation<'_>) -> Step<'q> {
        match self {
            Goal::Is(condition, wanted) => of_condition(condition, *wanted, run),
            Goal::In(id, allowed, true) => of_column(*id, *allowed, book, run),
            Goal::In(id, allowed, false) => Step::Either(outside(
                *id,
                *allowed,
                run.book.words.get(*id).all_options(),
            )),
            Goal::Row(id, row, wanted) => {
                let cells = cells(*id, *row, *wanted, run);
                if *wanted {
                    Step::All(cells)
                } else {
                    Step::Either(cells)
                }
            }
            Goal::Reading(series, place, allowed) => Step::NarrowReading(*series, *place, *allowed),
            Goal::OneOf(goals) => Step::Either(goals.clone()),
        }
    }
}

fn of_condition<'q>(condition: &'q Condition, wanted: bool, run: &Evaluation<'_>) -> Step<'q> {
    let each = |parts: &'q [Condition]| parts.iter().map(|part| Goal::Is(part, wanted)).collect();
    match (&condition.test, wanted) {
        (Test::Not(inner), _) => Step::All(vec![Goal::Is(inner, !wanted)]),
        (Test::All(parts), true) | (Test::Any(parts), false) => Step::All(each(parts)),
        (Test::All(parts), false) | (Test::Any(parts), true) => Step::Either(each(parts)),
        (test, _) => of_test(test, wanted, run),
    }
}

fn of_test<'q>(test: &Test, wanted: bool, run: &Evaluation<'_>) -> Step<'q> {
    let inside = |(id, allowed): &(ColumnId, Allowed)| Goal::In(*id, *allowed, true);
    if let Some(rows) = plain(test, wanted, &run.book.words) {
        let goals: Vec<Goal> = rows.iter().flatten().map(inside).collect();
        return match goals.len() {
            0 => Step::Never,
            1 => Step::All(goals),
            _ => Step::Either(goals),
        };
    }
    let Test::Compare {
        relation,
        left,
        right,
    } = test
    else {
        return Step::Open;
    };
    // Where one side is settled on this box, the comparison is a plain one.
    let (a, b) = (run.value(left), run.value(right));
    match (left, right) {
        (Value::Column(id), _) if b.is_point() => {
            Step::All(vec![Goal::In(*id, side(*relation, b.lo, wanted), true)])
        }
        (_, Value::Column(id)) if a.is_point() => {
            let allowed = side(mirrored(*relation), a.lo, wanted);
            Step::All(vec![Goal::In(*id, allowed, true)])
        }
        _ => Step::Open,
    }
}

/// A column must lie in these values: settled at once for a given fact, taken apart for what is worked out.
fn of_column<'q>(id: ColumnId, allowed: Allowed, book: &'q Book, run: &Evaluation<'_>) -> Step<'q> {
    let column = book.words.get(id);
    if let Some(given) = run.facts.get(id) {
        return if run.is_stale(column, given) {
            Step::Open
        } else {
            Step::Narrow(id, allowed)
        };
    }
    match &column.origin {
        Origin::Derived(Derivation::Truth { condition, .. }) | Origin::Test(condition) => {
            match allowed {
                Allowed::Options(YES) => Step::All(vec![Goal::Is(condition, true)]),
                Allowed::Options(NO) => Step::All(vec![Goal::Is(condition, false)]),
                _ => Step::Open,
            }
        }
        Origin::Table(table) if allowed.verdict(column.range) != Verdict::Holds => {
            let fits = |row: &usize| allowed.verdict(table.rows[*row].result) != Verdict::Fails;
            let rows = (0..table.rows.len()).filter(fits);
            Step::Either(rows.map(|row| Goal::Row(id, row, true)).collect())
        }
        Origin::Feature { series, feature } => of_feature(*series, *feature, allowed, run),
        _ => Step::Open,
    }
}

/// What a series word says must lie in these values: taken apart into its readings, once their days are settled.
fn of_feature<'q>(
    series: ColumnId,
    feature: Feature,
    allowed: Allowed,
    run: &Evaluation<'_>,
) -> Step<'q> {
    let Some(given) = run.facts.get(series) else {
        return Step::Open;
    };
    // Readings on these days leave it open, whatever they are.
    if feature.speaks_of_today() && run.is_stale(run.book.words.get(series), given) {
        return Step::Never;
    }
    let each = |places: &[usize], allowed: Allowed| -> Vec<Goal<'q>> {
        let goal = |place: &usize| Goal::Reading(series, *place, allowed);
        places.iter().map(goal).collect()
    };
    match (feature, allowed) {
        (
            Feature::ReadsZero { last } | Feature::ReadsPresent { last },
            Allowed::Options(wanted @ (YES | NO)),
        ) => {
            let places: Vec<usize> = of_last_days(&given.readings, last).collect();
            let Some(mark) = given.readings.last().and_then(|reading| reading.mark) else {
                return Step::Never;
            };
            let zero = matches!(feature, Feature::ReadsZero { .. }) == (wanted == YES);
            let allowed = if zero {
                below(mark, true)
            } else {
                above(mark, false)
            };
            match wanted {
                YES if places.len() < last as usize => Step::Never,
                YES => Step::All(each(&places, allowed)),
                _ => Step::Either(each(&places, allowed)),
            }
        }
        (
            Feature::Number {
                word: word @ (SeriesWord::Highest | SeriesWord::Lowest),
                days,
            },
            Allowed::Numbers {
                low,
                low_open,
                high,
                high_open,
            },
        ) => {
            let places: Vec<usize> = within_days(&given.readings, run.today, days).collect();
            if places.is_empty() {
                return Step::Never;
            }
            let up_to = high.is_finite().then(|| below(high, high_open));
            let from = low.is_finite().then(|| above(low, low_open));
            let (all, some) = match word {
                SeriesWord::Highest => (up_to, from),
                _ => (from, up_to),
            };
            let mut goals: Vec<Goal<'q>> =
                all.into_iter().flat_map(|all| each(&places, all)).collect();
            goals.extend(some.map(|some| Goal::OneOf(each(&places, some))));
            Step::All(goals)
        }
        _ => Step::Open,
    }
}

/// The numbers up to an end.
fn below(high: f64, high_open: bool) -> Allowed {
    Allowed::Numbers {
        low: f64::NEG_INFINITY,
        low_open: false,
        high,
        high_open,
    }
}

/// The numbers from an end on.
fn above(low: f64, low_open: bool) -> Allowed {
    Allowed::Numbers {
        low,
        low_open,
        high: f64::INFINITY,
        high_open: false,
    }
}

/// The numbers beyond the one end of these.
fn other_side(allowed: Allowed) -> Option<Allowed> {
    match allowed {
        Allowed::Numbers {
            high, high_open, ..
        } if high.is_finite() => Some(above(high, !high_open)),
        Allowed::Numbers { low, low_open, .. } if low.is_finite() => Some(below(low, !low_open)),
        _ => None,
    }
}

fn cells<'q>(id: ColumnId, row: usize, wanted: bool, run: &Evaluation<'_>) -> Vec<Goal<'q>> {
    let Origin::Table(table) = &run.book.words.get(id).origin else {
        return Vec::new();
    };
    let cells = table.by.iter().zip(&table.rows[row].cells);
    cells
        .filter_map(|(by, cell)| Some(Goal::In(*by, allowed(*cell)?, wanted)))
        .collect()
}

/// The values outside, as goals of which one must be met.
fn outside<'q>(id: ColumnId, allowed: Allowed, options: u128) -> Vec<Goal<'q>> {
    match allowed {
        Allowed::Numbers {
            low,
            low_open,
            high,
            high_open,
        } => {
            let under = low.is_finite().then(|| below(low, !low_open));
            let over = high.is_finite().then(|| above(high, !high_open));
            let goal = |allowed| Goal::In(id, allowed, true);
            under.into_iter().chain(over).map(goal).collect()
        }
        Allowed::Options(mask) => {
            let rest = options & !mask;
            let goal = Goal::In(id, Allowed::Options(rest), true);
            if rest == 0 { Vec::new() } else { vec![goal] }
        }
        Allowed::Several { with, without } => {
            let bits = |mask: u128| {
                (0..128)
                    .map(|bit| 1u128 << bit)
                    .filter(move |bit| mask & bit != 0)
            };
            let lacking = bits(with).map(|bit| (0, bit));
            let having = bits(without).map(|bit| (bit, 0));
            lacking
                .chain(having)
                .map(|(with, without)| Goal::In(id, Allowed::Several { with, without }, true))
                .collect()
        }
    }
}
