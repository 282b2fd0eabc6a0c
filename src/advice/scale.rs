//! Numbers of a fact between the engine's main unit and a unit by name.

use crate::engine::{Book, Interval};

/// How a unit lies to the main unit of a fact.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    zero: f64,
    one: f64,
}

impl Scale {
    /// The scale of a unit in which a fact can be entered.
    ///
    /// Two values that lie within the range of every fact it is used for are read as a keeper would type them.
    pub fn of(book: &Book, fact: &str, unit: &str) -> Option<Scale> {
        let read = |value: u8| book.enter(fact, &format!("{value} {unit}")).ok()?.nominal;
        let (five, six) = (read(5)?, read(6)?);
        Some(Scale {
            zero: five - 5.0 * (six - five),
            one: six - five,
        })
    }

    /// A number of the unit in the main unit.
    pub fn to_main(self, value: f64) -> f64 {
        self.zero + value * self.one
    }

    /// A number of the main unit in the unit.
    pub fn of_main(self, main: f64) -> f64 {
        (main - self.zero) / self.one
    }

    /// An interval of the main unit in the unit.
    pub fn interval(self, main: Interval) -> Interval {
        Interval::between(self.of_main(main.lo), self.of_main(main.hi))
    }
}
