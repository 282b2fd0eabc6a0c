//! Values of a made-up book as sets, for what runs it here.

use lentic::engine::{Interval, Set};

use crate::synthetic::{Kind, Random};

/// One value of a fact.
pub fn exactly(kind: Kind, value: f64) -> Set {
    match kind {
        Kind::Number => Set::Number(Interval::point(value)),
        Kind::Truth | Kind::Choice(_) => Set::Choice(1 << value as u32),
        Kind::Several(_) => Set::Several {
            surely: value as u128,
            maybe: value as u128,
        },
    }
}

/// A value that is possible.
pub fn inside(set: Set, random: &mut Random) -> f64 {
    match set {
        Set::Number(values) => {
            let share = random.below(9) as f64 / 8.0;
            values.lo + (values.hi - values.lo) * share
        }
        Set::Choice(options) => loop {
            let option = random.below(8);
            if options >> option & 1 == 1 {
                return option as f64;
            }
        },
        Set::Several { surely, maybe } => (surely | maybe & random.next() as u128) as f64,
    }
}
