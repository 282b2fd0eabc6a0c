//! Functions that a host lends to a book: plain numbers in, a plain number out.

use super::set::{Interval, enclosing};

/// How a function's value moves when one argument grows and the others stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trend {
    /// It never falls.
    Rising,
    /// It never rises.
    Falling,
}

/// One argument of a [`Function`].
#[derive(Debug, Clone, Copy)]
pub struct Argument {
    /// Its name, as `lentic reckon` and messages show it.
    pub name: &'static str,
    /// The unit the number is handed over in, as the book spells it; empty for a plain number.
    pub unit: &'static str,
    /// How the value moves with it.
    pub trend: Trend,
    /// The interval in which the formula is valid, in `unit`.
    pub valid: (f64, f64),
}

/// A function of plain numbers that rules may call by name.
///
/// Its value over intervals is taken at their ends, so it must be monotone in each argument over the whole
/// range that the book allows; a function that is not brings its own `extension`.
#[derive(Debug, Clone, Copy)]
pub struct Function {
    /// The name in the book.
    pub name: &'static str,
    /// What it gives, in a few words.
    pub label: &'static str,
    /// Its arguments, in order.
    pub arguments: &'static [Argument],
    /// The unit of the value, as the book spells it; empty for a plain number.
    pub unit: &'static str,
    /// The function itself.
    pub compute: fn(&[f64]) -> f64,
    /// Its value over intervals, where the ends do not tell it.
    pub extension: Option<fn(&[Interval]) -> Interval>,
    /// The formula, in signs that a reader can follow.
    pub formula: &'static str,
    /// The working, line by line, for arguments and value.
    pub working: fn(&[f64], f64) -> Vec<String>,
    /// Where the formula comes from: an id of the book's sources.
    pub source: &'static str,
}

impl Function {
    /// The values that are possible when each argument may be anything in its interval.
    pub(crate) fn over(&self, arguments: &[Interval]) -> Interval {
        if let Some(extension) = self.extension {
            return extension(arguments);
        }
        let corner = |low: bool| -> f64 {
            let ends: Vec<f64> = arguments
                .iter()
                .zip(self.arguments)
                .map(|(interval, argument)| match (argument.trend, low) {
                    (Trend::Rising, true) | (Trend::Falling, false) => interval.lo,
                    _ => interval.hi,
                })
                .collect();
            (self.compute)(&ends)
        };
        if arguments.iter().all(|interval| interval.is_point()) {
            let value = corner(true);
            return enclosing([value, value]);
        }
        // Library functions are monotone only up to their last digits. An infinite end needs no room.
        let slack = |x: f64| if x.is_finite() { x.abs() * 1e-12 } else { 0.0 };
        let (low, high) = (corner(true), corner(false));
        enclosing([low - slack(low), high + slack(high)])
    }
}
