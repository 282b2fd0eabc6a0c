//! One value out of a set, written as a person would type it.

use super::super::book::vocabulary::{Column, Kind};
use super::super::expr::token::date_of;
use super::super::set::{Interval, NO, Set, YES};
use super::super::unit::{Unit, Units};

/// Which end of a set a value is taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lean {
    Middle,
    Low,
    High,
}

pub(super) const LEANS: [Lean; 3] = [Lean::Middle, Lean::Low, Lean::High];

/// Most digits after the point that are tried.
const DIGITS: usize = 15;

/// A value of `set` and the text it is typed as; nothing where no short number lies in it.
pub(super) fn picked(
    column: &Column,
    units: &Units,
    set: Set,
    lean: Lean,
    today: f64,
) -> Option<(Set, String)> {
    match set {
        Set::Number(values) if column.date => {
            let day = today.clamp(values.lo, values.hi).round();
            let point = Set::Number(Interval::point(day));
            date_of(day).map(|text| (point, text))
        }
        Set::Number(values) => number(column, units, values, lean)
            .map(|(x, text)| (Set::Number(Interval::point(x)), text)),
        Set::Choice(mask) => {
            let index = match lean {
                Lean::High => 127 - mask.leading_zeros(),
                _ => mask.trailing_zeros(),
            };
            let one = Set::Choice(1 << index);
            Some((one, typed(column, units, one, today)))
        }
        Set::Several { surely, maybe } => {
            let mask = if lean == Lean::High { maybe } else { surely };
            let one = Set::Several {
                surely: mask,
                maybe: mask,
            };
            Some((one, typed(column, units, one, today)))
        }
    }
}

/// A set in the words of a case.
pub(super) fn typed(column: &Column, units: &Units, set: Set, today: f64) -> String {
    if set == column.range && !set.is_known() {
        return "unknown".into();
    }
    match set {
        Set::Number(values) => {
            let end = |x: f64| {
                let point = Set::Number(Interval::point(x));
                picked(column, units, point, Lean::Middle, today)
                    .map_or_else(String::new, |(_, text)| text)
            };
            if values.is_point() {
                return end(values.lo);
            }
            let (low, high) = (end(values.lo), end(values.hi));
            let first = low.split(' ').next().unwrap_or("");
            format!("{first} to {high}")
        }
        Set::Choice(mask) if column.kind == Kind::Truth => match mask {
            YES => "yes".into(),
            NO => "no".into(),
            _ => "unknown".into(),
        },
        Set::Choice(mask) => options(column, mask, " or "),
        Set::Several { surely: 0, .. } => "none".into(),
        Set::Several { surely, .. } => options(column, surely, " and "),
    }
}

fn options(column: &Column, mask: u128, joint: &str) -> String {
    let chosen = column.options.iter().enumerate();
    let names: Vec<&str> = chosen
        .filter(|(index, _)| mask >> index & 1 == 1)
        .map(|(_, option)| option.name.as_str())
        .collect();
    names.join(joint)
}

/// The shortest number within an interval, in the first unit that has one.
pub(super) fn number(
    column: &Column,
    units: &Units,
    values: Interval,
    lean: Lean,
) -> Option<(f64, String)> {
    if column.units.is_empty() {
        return shortest(None, values, lean, units);
    }
    column
        .units
        .iter()
        .find_map(|id| shortest(Some(units.get(*id)), values, lean, units))
}

fn shortest(
    unit: Option<&Unit>,
    values: Interval,
    lean: Lean,
    units: &Units,
) -> Option<(f64, String)> {
    let shown = |x: f64| unit.map_or(x, |unit| unit.from_main(x));
    let (low, high) = finite(shown(values.lo), shown(values.hi));
    let target = match lean {
        Lean::Middle => usual(low, high),
        Lean::Low => low,
        Lean::High => high,
    };
    for digits in 0..=DIGITS {
        let scale = libm::pow(10.0, digits as f64);
        let near = [
            libm::round(target * scale),
            libm::ceil(low * scale),
            libm::floor(high * scale),
        ];
        for candidate in near {
            let candidate = if candidate == 0.0 { 0.0 } else { candidate };
            let text = format!("{:.*}", digits, candidate / scale);
            let Ok(parsed) = text.parse::<f64>() else {
                continue;
            };
            let main = unit.map_or(parsed, |unit| unit.to_main(parsed));
            if main >= values.lo && main <= values.hi && main.abs() <= 1e12 {
                let name = unit.map_or_else(String::new, |unit| named(unit, parsed, units));
                return Some((main, text + &name));
            }
        }
    }
    None
}

/// A value that does not look odd: the one next to zero in a very wide interval, one of a middling size in an interval
/// of positive numbers, else the middle.
fn usual(low: f64, high: f64) -> f64 {
    const WIDE: f64 = 1_000.0;
    if high - low > WIDE {
        return 0.0_f64.clamp(low, high);
    }
    if low >= 0.0 && high > 50.0 * low.max(0.02) {
        return libm::sqrt(low.max(high / 2_000.0) * high);
    }
    low + (high - low) / 2.0
}

/// The name of a unit behind a number, in the plural where the book spells one.
fn named(unit: &Unit, number: f64, units: &Units) -> String {
    let plural = format!("{}s", unit.name);
    let one = number == 1.0 || units.find(&plural).is_none();
    format!(" {}", if one { &unit.name } else { &plural })
}

/// Both ends as numbers that can be written.
fn finite(low: f64, high: f64) -> (f64, f64) {
    const FAR: f64 = 100.0;
    match (low.is_finite(), high.is_finite()) {
        (true, true) => (low, high),
        (true, false) => (low, 2.0 * low.max(0.0) + FAR),
        (false, true) => (2.0 * high.min(0.0) - FAR, high),
        (false, false) => (-FAR, FAR),
    }
}
