//! Functions that a host lends to a book: plain numbers in, a plain number out.

use super::set::{Interval, enclosing};

/// How a function's value moves when one argument grows and the others stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trend {
    /// It never falls.
    Rising,
    /// It never rises.
    Falling,
    /// One way only, but the others decide which way.
    Either,
}

/// One argument of a [`Function`].
#[derive(Debug, Clone, Copy)]
pub struct Argument {
    /// Its name, as `lentic reckon` and messages show it.
    pub name: &'static str,
    /// What to hand over, where the name leaves that open.
    pub how: &'static str,
    /// The unit the number is handed over in, as the book spells it; empty for a plain number.
    pub unit: &'static str,
    /// How the value moves with it.
    pub trend: Trend,
    /// The interval in which the formula is valid, in `unit`.
    pub valid: (f64, f64),
    /// The interval outside of which no value makes sense, in `unit`.
    pub possible: (f64, f64),
    /// Where it is a choice: name and label of each option. The number handed over is the place in this list, and
    /// rules cannot call the function.
    pub options: &'static [(&'static str, &'static str)],
    /// The book's table, looked up by one choice, whose options may be given instead of a number.
    pub table: &'static str,
}

impl Argument {
    /// A plain number without bounds, to name only what differs.
    pub const PLAIN: Argument = Argument {
        name: "",
        how: "",
        unit: "",
        trend: Trend::Rising,
        valid: (f64::NEG_INFINITY, f64::INFINITY),
        possible: (f64::NEG_INFINITY, f64::INFINITY),
        options: &[],
        table: "",
    };

    fn is_choice(&self) -> bool {
        !self.options.is_empty()
    }
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
    /// The heading it stands under in a list.
    pub group: &'static str,
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
    /// What comes with the value, a sentence each, for arguments and value.
    pub also: fn(&[f64], f64) -> Vec<String>,
    /// Where the formula comes from: an id of the book's sources.
    pub source: &'static str,
    /// Cautions to be shown with it: ids of the book.
    pub cautions: &'static [&'static str],
}

impl Function {
    /// A function without arguments, to name only what differs.
    pub const PLAIN: Function = Function {
        name: "",
        label: "",
        group: "",
        arguments: &[],
        unit: "",
        compute: |_| 0.0,
        extension: None,
        formula: "",
        working: |_, _| Vec::new(),
        also: |_, _| Vec::new(),
        source: "",
        cautions: &[],
    };

    /// Whether an argument is a choice, which no number of a rule can stand for.
    pub(crate) fn has_choice(&self) -> bool {
        self.arguments.iter().any(Argument::is_choice)
    }

    /// The values that are possible when each argument may be anything in its interval.
    pub(crate) fn over(&self, arguments: &[Interval]) -> Interval {
        if let Some(extension) = self.extension {
            return extension(arguments);
        }
        if arguments.iter().all(|interval| interval.is_point()) {
            let points: Vec<f64> = arguments.iter().map(|interval| interval.lo).collect();
            let value = (self.compute)(&points);
            return enclosing([value, value]);
        }
        let at = |low: bool| (self.compute)(&self.corner(arguments, low));
        // Library functions are monotone only up to their last digits. An infinite end needs no room.
        let slack = |x: f64| if x.is_finite() { x.abs() * 1e-12 } else { 0.0 };
        let (low, high) = (at(true), at(false));
        enclosing([low - slack(low), high + slack(high)])
    }

    /// The arguments at which the value is lowest, or highest. Where some have no value, one of those.
    pub(crate) fn corner(&self, arguments: &[Interval], low: bool) -> Vec<f64> {
        let mut corners = vec![Vec::new()];
        for (interval, argument) in arguments.iter().zip(self.arguments) {
            let ends = match (argument.trend, low) {
                _ if argument.is_choice() => places(*interval, argument.options.len()),
                _ if interval.is_point() => vec![interval.lo],
                (Trend::Either, _) => vec![interval.lo, interval.hi],
                (Trend::Rising, true) | (Trend::Falling, false) => vec![interval.lo],
                _ => vec![interval.hi],
            };
            corners = corners
                .iter()
                .flat_map(|start: &Vec<f64>| ends.iter().map(|end| [&start[..], &[*end]].concat()))
                .collect();
        }
        let mut best = corners.pop().unwrap_or_default();
        let mut value = (self.compute)(&best);
        for corner in corners {
            let other = (self.compute)(&corner);
            let is_further = if low { other < value } else { other > value };
            if !value.is_nan() && (other.is_nan() || is_further) {
                (best, value) = (corner, other);
            }
        }
        best
    }
}

/// The places of a list that an interval holds.
fn places(interval: Interval, count: usize) -> Vec<f64> {
    let all = (0..count).map(|place| place as f64);
    all.filter(|place| (interval.lo..=interval.hi).contains(place))
        .collect()
}
