//! The smallest step in which a fact is told apart.

use super::super::book::Book;
use super::super::book::vocabulary::{Column, Origin, Spread};
use super::super::expr::ast::SeriesWord;
use super::super::expr::compile::{ColumnId, Feature, Value};

/// A step of a compared value near `at`, in the main unit: the largest step among the facts it rests on.
pub(super) fn step(book: &Book, value: &Value, at: f64) -> f64 {
    let mut largest: f64 = 0.0;
    value.columns(&mut |id| largest = largest.max(column_step(book, id, at)));
    largest
}

/// A step of one fact near `at`: its smallest mark, its spread or its last decimal, whichever is largest.
pub(super) fn column_step(book: &Book, id: ColumnId, at: f64) -> f64 {
    let column = book.words.get(id);
    match &column.origin {
        Origin::Feature {
            feature:
                Feature::Number {
                    word: SeriesWord::Age,
                    ..
                },
            ..
        } => 1.0,
        Origin::Feature { series, .. } => column_step(book, *series, at),
        // The values of tables and lists are as fixed as constants.
        Origin::Table(_) | Origin::Listed(_) => 0.0,
        _ if column.date => 1.0,
        _ => {
            let spread = match column.spread {
                Spread::Exact => 0.0,
                Spread::Absolute(off) => off,
                Spread::Relative(share) => at.abs() * share,
            };
            let last = last_decimal(book, column, at);
            column.smallest.unwrap_or(0.0).max(spread).max(last)
        }
    }
}

/// One of the last decimal that is shown; three figures where the book does not say.
fn last_decimal(book: &Book, column: &Column, at: f64) -> f64 {
    let unit = column.unit.map(|id| book.words.units.get(id));
    let shown = unit.map_or(at, |unit| unit.from_main(at));
    let digits = match column.decimals {
        Some(decimals) => -i32::from(decimals),
        None if shown == 0.0 => -2,
        None => libm::floor(libm::log10(shown.abs())) as i32 - 2,
    };
    let step = libm::pow(10.0, f64::from(digits));
    unit.map_or(step, |unit| unit.difference_to_main(step))
}
