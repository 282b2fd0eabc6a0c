//! Normal form: a condition as rows of allowed sets, at most one set a fact.
//!
//! A condition holds if one of its rows surely holds, may hold if one may, and fails otherwise. All conditions on one
//! fact within a row act together as one set of allowed values, so contradictions and ranges are seen exactly. Beyond
//! that this is strong Kleene logic: `not` is pushed down to the tests, `and` is spread over `or`.

use super::expr::ast::Relation;
use super::expr::compile::{ColumnId, Condition, Test, Value};
use super::limit;
use super::set::{Interval, Set, Verdict};

/// Values of one fact that a row allows; never empty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Allowed {
    /// From `low` to `high`; an open end does not belong to it.
    Numbers {
        low: f64,
        low_open: bool,
        high: f64,
        high_open: bool,
    },
    /// One of these options.
    Options(u128),
    /// All of `with` present, none of `without`.
    Several { with: u128, without: u128 },
}

impl Allowed {
    /// The values that both allow, or nothing where they contradict each other.
    pub fn meet(self, other: Allowed) -> Option<Allowed> {
        match (self, other) {
            (
                Allowed::Numbers {
                    low: a,
                    low_open: ao,
                    high: b,
                    high_open: bo,
                },
                Allowed::Numbers {
                    low: c,
                    low_open: co,
                    high: d,
                    high_open: d_open,
                },
            ) => {
                let (low, low_open) = if (c, co) > (a, ao) { (c, co) } else { (a, ao) };
                let (high, high_open) = if d < b || (d == b && d_open) {
                    (d, d_open)
                } else {
                    (b, bo)
                };
                let empty = low > high || (low == high && (low_open || high_open));
                (!empty).then_some(Allowed::Numbers {
                    low,
                    low_open,
                    high,
                    high_open,
                })
            }
            (Allowed::Options(a), Allowed::Options(b)) => {
                (a & b != 0).then_some(Allowed::Options(a & b))
            }
            (
                Allowed::Several {
                    with: a,
                    without: b,
                },
                Allowed::Several {
                    with: c,
                    without: d,
                },
            ) => {
                let (with, without) = (a | c, b | d);
                (with & without == 0).then_some(Allowed::Several { with, without })
            }
            _ => None,
        }
    }

    /// Whether a fact with these possible values is allowed.
    pub fn verdict(self, set: Set) -> Verdict {
        match (self, set) {
            (
                Allowed::Numbers {
                    low,
                    low_open,
                    high,
                    high_open,
                },
                Set::Number(values),
            ) => {
                let (low, high) = (Interval::point(low), Interval::point(high));
                let above = if low_open {
                    low.less_than(values)
                } else {
                    low.at_most(values)
                };
                let below = if high_open {
                    values.less_than(high)
                } else {
                    values.at_most(high)
                };
                above.and(below)
            }
            (Allowed::Options(mask), set @ Set::Choice(_)) => set.is_one_of(mask),
            (Allowed::Several { with, without }, Set::Several { surely, maybe }) => {
                if surely & with == with && maybe & without == 0 {
                    Verdict::Holds
                } else if maybe & with != with || surely & without != 0 {
                    Verdict::Fails
                } else {
                    Verdict::Open
                }
            }
            _ => Verdict::Open,
        }
    }
}

/// One way for a condition to hold: every named fact within its allowed values, in the order of the facts.
pub(crate) type Row = Vec<(ColumnId, Allowed)>;

/// What a row allows of one fact, if it looks at it.
pub(crate) fn allowed_of(row: &[(ColumnId, Allowed)], id: ColumnId) -> Option<&Allowed> {
    let found = row.iter().find(|(own, _)| *own == id);
    found.map(|(_, allowed)| allowed)
}

/// A condition as the rows of which one must hold. Without rows it never does.
#[derive(Debug, Clone, Default)]
pub(crate) struct Normal {
    pub rows: Vec<Row>,
}

/// The bit of an order whose first number is the smaller one.
pub(crate) const LESS: u128 = 1;
/// The bit of an order whose numbers are equal.
pub(crate) const EQUAL: u128 = 2;
/// The bit of an order whose first number is the larger one.
pub(crate) const MORE: u128 = 4;

/// How two numbers may lie to one another.
pub(crate) fn order(left: Interval, right: Interval) -> Set {
    Set::Choice(order_bits(left, right).into())
}

/// The same as bits.
pub(crate) fn order_bits(left: Interval, right: Interval) -> u32 {
    let less = left.lo < right.hi;
    let equal = (left.lo <= right.hi) & (right.lo <= left.hi);
    let more = right.lo < left.hi;
    let bit = |may: bool, option: u128| u32::from(may) * option as u32;
    bit(less, LESS) | bit(equal, EQUAL) | bit(more, MORE)
}

/// What the normal form needs from the book: a truth column for a test that is no plain test of one fact.
pub(crate) trait Opaque {
    /// The column that holds the verdict of `condition`.
    fn column_of(&mut self, condition: &Condition) -> ColumnId;
    /// The column that holds how two numbers lie to one another: a choice of [`LESS`], [`EQUAL`] and [`MORE`].
    fn order_of(&mut self, left: ColumnId, right: ColumnId) -> ColumnId;
    /// Every option of a choice.
    fn all_options(&self, column: ColumnId) -> u128;
}

impl Normal {
    /// The normal form of conditions that must all hold.
    pub fn of(conditions: &[Condition], book: &mut dyn Opaque) -> Normal {
        let mut rows = vec![Row::new()];
        for condition in conditions {
            let more = parts(condition, true, book);
            rows = match joined(&rows, &more) {
                Some(rows) => rows,
                // Too many ways: this condition becomes a fact of its own.
                None => joined(
                    &rows,
                    &one(book.column_of(condition), Allowed::Options(super::set::YES)),
                )
                .unwrap_or_default(),
            };
        }
        Normal { rows }
    }

    /// Whether one of the rows holds.
    pub fn verdict(&self, set: impl Fn(ColumnId) -> Set) -> Verdict {
        let row = |row: &Row| {
            row.iter()
                .map(|(id, allowed)| allowed.verdict(set(*id)))
                .fold(Verdict::Holds, Verdict::and)
        };
        self.rows.iter().map(row).fold(Verdict::Fails, Verdict::or)
    }

    /// The facts the rows look at.
    pub fn columns(&self, visit: &mut impl FnMut(ColumnId)) {
        self.rows.iter().flatten().for_each(|(id, _)| visit(*id));
    }
}

fn one(column: ColumnId, allowed: Allowed) -> Vec<Row> {
    vec![vec![(column, allowed)]]
}

/// Every pairing of two lists of rows, or nothing where there would be too many.
fn joined(left: &[Row], right: &[Row]) -> Option<Vec<Row>> {
    if left.len() * right.len() > limit::ROWS {
        return None;
    }
    let mut rows: Vec<Row> = Vec::new();
    for a in left {
        for b in right {
            if let Some(row) = met(a, b).filter(|row| !rows.contains(row)) {
                rows.push(row);
            }
        }
    }
    Some(rows)
}

/// What two rows allow together, or nothing where they contradict each other.
pub(crate) fn met(a: &Row, b: &Row) -> Option<Row> {
    let mut row = a.clone();
    for (id, allowed) in b {
        match row.binary_search_by_key(id, |(own, _)| *own) {
            Ok(at) => row[at].1 = row[at].1.meet(*allowed)?,
            Err(at) => row.insert(at, (*id, *allowed)),
        }
    }
    Some(row)
}

/// The rows of a condition, or of its opposite.
fn parts(condition: &Condition, holds: bool, book: &mut dyn Opaque) -> Vec<Row> {
    match (&condition.test, holds) {
        (Test::Not(inner), _) => parts(inner, !holds, book),
        (Test::All(inner), true) | (Test::Any(inner), false) => {
            let mut rows = vec![Row::new()];
            for part in inner {
                match joined(&rows, &parts(part, holds, book)) {
                    Some(more) => rows = more,
                    None => return opaque(condition, holds, book),
                }
            }
            rows
        }
        (Test::All(inner), false) | (Test::Any(inner), true) => {
            let rows: Vec<Row> = inner
                .iter()
                .flat_map(|part| parts(part, holds, book))
                .collect();
            if rows.len() > limit::ROWS {
                opaque(condition, holds, book)
            } else {
                rows
            }
        }
        (test, _) => plain(test, holds, book)
            .or_else(|| ordered(test, holds, book))
            .unwrap_or_else(|| opaque(condition, holds, book)),
    }
}

fn opaque(condition: &Condition, holds: bool, book: &mut dyn Opaque) -> Vec<Row> {
    let wanted = if holds {
        super::set::YES
    } else {
        super::set::NO
    };
    one(book.column_of(condition), Allowed::Options(wanted))
}

/// A test of one fact against constants.
pub(crate) fn plain(test: &Test, holds: bool, book: &dyn Opaque) -> Option<Vec<Row>> {
    match test {
        Test::OneOf { column, mask } => {
            let mask = if holds {
                *mask
            } else {
                book.all_options(*column) & !mask
            };
            Some(if mask == 0 {
                Vec::new()
            } else {
                one(*column, Allowed::Options(mask))
            })
        }
        Test::Includes { column, mask } => Some(one(
            *column,
            if holds {
                Allowed::Several {
                    with: *mask,
                    without: 0,
                }
            } else {
                Allowed::Several {
                    with: 0,
                    without: *mask,
                }
            },
        )),
        Test::Compare {
            relation,
            left: Value::Column(column),
            right: Value::Constant(limit),
        } => Some(one(*column, side(*relation, *limit, holds))),
        Test::Compare {
            relation,
            left: Value::Constant(limit),
            right: Value::Column(column),
        } => Some(one(*column, side(mirrored(*relation), *limit, holds))),
        Test::Within {
            value: Value::Column(column),
            low: Value::Constant(low),
            high: Value::Constant(high),
        } => {
            if holds {
                let both =
                    side(Relation::AtLeast, *low, true).meet(side(Relation::AtMost, *high, true));
                return Some(both.map_or_else(Vec::new, |both| one(*column, both)));
            }
            let below = one(*column, side(Relation::Less, *low, true));
            Some([below, one(*column, side(Relation::More, *high, true))].concat())
        }
        _ => None,
    }
}

/// Two facts compared with one another. Each pair has one column, so that tests of both ways round act together.
fn ordered(test: &Test, holds: bool, book: &mut dyn Opaque) -> Option<Vec<Row>> {
    let Test::Compare {
        relation,
        left: Value::Column(left),
        right: Value::Column(right),
    } = test
    else {
        return None;
    };
    let relation = if left <= right {
        *relation
    } else {
        mirrored(*relation)
    };
    let mask = match relation {
        Relation::Less => LESS,
        Relation::AtMost => LESS | EQUAL,
        Relation::More => MORE,
        Relation::AtLeast => MORE | EQUAL,
    };
    let mask = if holds {
        mask
    } else {
        (LESS | EQUAL | MORE) & !mask
    };
    if left == right {
        // A number is equal to itself, whatever it is.
        let always = mask & EQUAL == EQUAL;
        return Some(vec![Row::new(); usize::from(always)]);
    }
    let column = book.order_of(*left.min(right), *left.max(right));
    Some(one(column, Allowed::Options(mask)))
}

pub(crate) fn mirrored(relation: Relation) -> Relation {
    match relation {
        Relation::Less => Relation::More,
        Relation::AtMost => Relation::AtLeast,
        Relation::More => Relation::Less,
        Relation::AtLeast => Relation::AtMost,
    }
}

/// The values of a fact that stand in this relation to a limit, or those that do not.
pub(crate) fn side(relation: Relation, limit: f64, holds: bool) -> Allowed {
    const LEAST: f64 = f64::NEG_INFINITY;
    const MOST: f64 = f64::INFINITY;
    let below = |open| Allowed::Numbers {
        low: LEAST,
        low_open: false,
        high: limit,
        high_open: open,
    };
    let above = |open| Allowed::Numbers {
        low: limit,
        low_open: open,
        high: MOST,
        high_open: false,
    };
    match (relation, holds) {
        (Relation::Less, true) | (Relation::AtLeast, false) => below(true),
        (Relation::AtMost, true) | (Relation::More, false) => below(false),
        (Relation::More, true) | (Relation::AtMost, false) => above(true),
        (Relation::AtLeast, true) | (Relation::Less, false) => above(false),
    }
}
