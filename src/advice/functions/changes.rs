//! Water changes, a steady release between them, and topping up.

use crate::engine::{Argument, Function, Interval, figure};
use crate::water;

use super::{ANY, Either, Falling, INTO_WATER, Rising, WATER, amount, litres, share, told};

const GROUP: &str = "Water changes";

/// A concentration in whatever unit the keeper counts in.
const fn level(name: &'static str, trend: super::Trend) -> Argument {
    told(
        amount(name, "", trend, ANY),
        "In any unit, the same for all.",
    )
}

fn share_line(x: &[f64], share: f64) -> String {
    format!(
        "({} − {}) ÷ ({} − {}) = {} %",
        figure(x[0]),
        figure(x[1]),
        figure(x[0]),
        figure(x[2]),
        figure(share)
    )
}

fn share_to_reach(now: f64, wanted: f64, new: f64) -> f64 {
    water::change_fraction_to_reach(now, wanted, new).map_or(f64::NAN, |share| share * 100.0)
}

pub(super) const SHARE_TO_REACH: Function = Function {
    name: "share-to-reach",
    label: "share of water to change",
    group: GROUP,
    arguments: &[
        amount("now", "mg/L N", Rising, ANY),
        amount("wanted", "mg/L N", Falling, ANY),
        amount("new water", "mg/L N", Rising, ANY),
    ],
    unit: "%",
    compute: |x| share_to_reach(x[0], x[1], x[2]),
    formula: "(now − wanted) ÷ (now − new water)",
    working: |x, y| vec![share_line(x, y)],
    source: "dilution",
    cautions: &["lifting"],
    ..Function::PLAIN
};

pub(super) const WATER_TO_CHANGE: Function = Function {
    name: "water-to-change",
    label: "water to change",
    group: GROUP,
    arguments: &[
        level("now", Rising),
        level("wanted", Falling),
        level("new water", Rising),
        WATER,
    ],
    unit: "L",
    compute: |x| share_to_reach(x[0], x[1], x[2]) / 100.0 * x[3],
    formula: "litres × (now − wanted) ÷ (now − new water)",
    working: |x, y| {
        let share = share_to_reach(x[0], x[1], x[2]);
        vec![
            share_line(x, share),
            format!(
                "{} % of {} L = {} L",
                figure(share),
                figure(x[3]),
                figure(y)
            ),
        ]
    },
    also: |x, _| {
        let half = water::changes_to_reach(x[0], x[1], 0.5, x[2]);
        let thirds = water::changes_to_reach(x[0], x[1], 1.0 / 3.0, x[2]);
        match (half, thirds) {
            (Some(half), Some(thirds)) => vec![format!(
                "in smaller steps: {half} changes of half the water, or {thirds} of a third"
            )],
            _ => vec![
                "no number of smaller changes gets there, for the new water holds as much".into(),
            ],
        }
    },
    source: "dilution",
    cautions: &["lifting"],
    ..Function::PLAIN
};

pub(super) const CHANGES_NEEDED: Function = Function {
    name: "changes-needed",
    label: "number of changes",
    group: GROUP,
    arguments: &[
        level("now", Rising),
        level("wanted", Falling),
        level("new water", Rising),
        share("share of each change", Falling, (5.0, 100.0)),
    ],
    unit: "",
    compute: |x| water::changes_to_reach(x[0], x[1], x[3] / 100.0, x[2]).unwrap_or(f64::NAN),
    formula: "ln ((wanted − new water) ÷ (now − new water)) ÷ ln (1 − share), rounded up; nothing released in between",
    working: |x, y| {
        vec![format!(
            "ln (({} − {}) ÷ ({} − {})) ÷ ln (1 − {}), rounded up: {}",
            figure(x[1]),
            figure(x[2]),
            figure(x[0]),
            figure(x[2]),
            figure(x[3] / 100.0),
            figure(y)
        )]
    },
    also: |x, y| {
        let left = water::concentration_after_changes(x[0], 0.0, x[3] / 100.0, x[2], y);
        vec![format!("after them it is {}", figure(left))]
    },
    source: "dilution",
    cautions: &["lifting"],
    ..Function::PLAIN
};

/// What is left of what was there, and of what was released, each moves one way with every argument.
fn after_changes(x: &[Interval]) -> Interval {
    let corners = |part: &dyn Fn(f64, f64, f64, f64) -> f64| {
        let mut found: Option<Interval> = None;
        for which in 0..16_u8 {
            let end = |place: usize| match which >> place & 1 {
                0 => x[place].lo,
                _ => x[place].hi,
            };
            let value = part(end(0), end(1), end(2), end(3));
            if value.is_nan() {
                return Interval::EVERYTHING;
            }
            let value = Interval::point(value);
            found = Some(found.map_or(value, |all| all.hull(value)));
        }
        found.unwrap_or(Interval::EVERYTHING)
    };
    let left = corners(&|start, share, source, changes| {
        water::concentration_after_changes(start, 0.0, share / 100.0, source, changes)
    });
    let released = |release: f64| {
        corners(&|_, share, _, changes| {
            water::concentration_after_changes(0.0, release, share / 100.0, 0.0, changes)
        })
    };
    let released = released(x[4].lo).hull(released(x[4].hi));
    // The sums of both ends may be off in their last digit.
    let slack = |end: f64| 1e-12 * end.abs();
    let (low, high) = (left.lo + released.lo, left.hi + released.hi);
    Interval {
        lo: low - slack(low),
        hi: high + slack(high),
    }
}

pub(super) const AFTER_CHANGES: Function = Function {
    name: "after-changes",
    label: "what is left after changes",
    group: GROUP,
    arguments: &[
        level("now", Rising),
        share("share of each change", Either, (0.0, 100.0)),
        level("new water", Rising),
        told(
            amount("changes", "", Either, (0.0, 100.0)),
            "How many, one after another.",
        ),
        told(
            amount("released before each change", "", Rising, ANY),
            "0 if nothing comes after; in the unit of the others.",
        ),
    ],
    unit: "",
    compute: |x| water::concentration_after_changes(x[0], x[4], x[1] / 100.0, x[2], x[3]),
    extension: Some(|x| {
        if x.iter().all(|interval| interval.is_point()) {
            let points: Vec<f64> = x.iter().map(|interval| interval.lo).collect();
            return Interval::point((AFTER_CHANGES.compute)(&points));
        }
        after_changes(x)
    }),
    formula: "new water + kⁿ × (now − new water) + released × k × (1 − kⁿ) ÷ (1 − k), k = 1 − share, n changes",
    working: |x, y| {
        let kept = 1.0 - x[1] / 100.0;
        vec![
            format!("k = 1 − {} = {}", figure(x[1] / 100.0), figure(kept)),
            format!(
                "kⁿ = {}^{} = {}",
                figure(kept),
                figure(x[3]),
                figure(libm::pow(kept, x[3]))
            ),
            format!(
                "{} + {} × ({} − {}) + what is left of {} releases of {} = {}",
                figure(x[2]),
                figure(libm::pow(kept, x[3])),
                figure(x[0]),
                figure(x[2]),
                figure(x[3]),
                figure(x[4]),
                figure(y)
            ),
        ]
    },
    source: "dilution",
    ..Function::PLAIN
};

pub(super) const STEADY_LEVEL: Function = Function {
    name: "steady-level",
    label: "level before each change, once a rhythm has settled",
    group: GROUP,
    arguments: &[
        told(
            amount("released a day", "", Rising, ANY),
            "In any unit, the same for all: what the water gains each day.",
        ),
        amount("days between changes", "day", Rising, (0.5, 60.0)),
        share("share of each change", Falling, (5.0, 100.0)),
        level("new water", Rising),
    ],
    unit: "",
    compute: |x| {
        water::steady_level_before_change(x[0], x[1], x[2] / 100.0, x[3]).unwrap_or(f64::INFINITY)
    },
    formula: "new water + released a day × days ÷ share",
    working: |x, y| {
        vec![format!(
            "{} + {} × {} ÷ {} = {}",
            figure(x[3]),
            figure(x[0]),
            figure(x[1]),
            figure(x[2] / 100.0),
            figure(y)
        )]
    },
    also: |x, _| {
        let after = water::steady_level_after_change(x[0], x[1], x[2] / 100.0, x[3]);
        after
            .map(|after| format!("and just after each change: {}", figure(after)))
            .into_iter()
            .collect()
    },
    source: "dilution",
    ..Function::PLAIN
};

pub(super) const TOP_UP: Function = Function {
    name: "top-up",
    label: "water to top up",
    group: GROUP,
    arguments: &[
        amount("inner length", "cm", Rising, ANY),
        amount("inner width", "cm", Rising, ANY),
        told(
            amount("fallen by", "cm", Rising, (0.0, 100.0)),
            "How far the water stands below its mark.",
        ),
    ],
    unit: "L",
    compute: |x| water::gross_volume_l(x[0], x[1], x[2]),
    formula: "length × width × fall ÷ 1000",
    working: |x, y| {
        vec![format!(
            "{} × {} × {} ÷ 1000 = {} L",
            figure(x[0]),
            figure(x[1]),
            figure(x[2]),
            figure(y)
        )]
    },
    source: "geometry",
    cautions: &["mains-hands"],
    ..Function::PLAIN
};

pub(super) const TOP_UP_ADDS: Function = Function {
    name: "top-up-adds",
    label: "rise from topping up",
    group: GROUP,
    arguments: &[
        told(
            amount("top-up water", "", Rising, ANY),
            "Its hardness, or what else it holds, in any unit. Pure water: 0.",
        ),
        told(
            litres("topped up", Rising),
            "In all, in the span you ask about.",
        ),
        INTO_WATER,
    ],
    unit: "",
    compute: |x| water::rise_from_top_ups(x[0], x[1], x[2]),
    formula: "what the top-up water holds × litres topped up ÷ litres in the tank: only water leaves as vapour",
    working: |x, y| {
        vec![format!(
            "{} × {} L ÷ {} L = {}, in the unit of the top-up water",
            figure(x[0]),
            figure(x[1]),
            figure(x[2]),
            figure(y)
        )]
    },
    source: "dilution",
    ..Function::PLAIN
};
