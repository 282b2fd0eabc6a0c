//! What water changes and blends do to anything dissolved.
//!
//! The tank counts as stirred: every litre taken out holds the mean concentration. Concentrations
//! may be in any unit, as long as it is one.

/// Concentration just after one water change.
///
/// Also the concentration of a blend: `fraction` of the second water in the first.
///
/// - `before`, `source`: 0 or more, in one unit
/// - `fraction`: 0 to 1, the share of the water that is replaced
///
/// Formula: before × (1 − fraction) + source × fraction.
/// Error: none of its own; a bed that holds water back makes the change weaker than this.
/// Monotone: rising in `before` and `source`; in `fraction` from `before` towards `source`.
/// Source: mass balance.
///
/// ```
/// assert_eq!(lentic::water::concentration_after_change(20.0, 0.5, 4.0), 12.0);
/// ```
pub fn concentration_after_change(before: f64, fraction: f64, source: f64) -> f64 {
    before * (1.0 - fraction) + source * fraction
}

/// Concentration just after the last of several changes, with a steady release between them.
///
/// Each interval first adds the release, then ends with a change.
///
/// - `start`, `source`: 0 or more, in one unit
/// - `released_per_interval`: 0 or more (less for steady uptake), in the same unit
/// - `fraction`: 0 to 1
/// - `changes`: 0 or more, whole
///
/// Formula: source + kⁿ (start − source) + release × k (1 − kⁿ) / (1 − k), with k = 1 − fraction.
/// Error: none of its own.
/// Monotone: rising in `start`, `source` and `released_per_interval`; in `changes` towards the
/// steady level; falling in `fraction` where `source` is not above `start`, elsewhere it may turn.
/// Source: mass balance.
///
/// ```
/// let level = lentic::water::concentration_after_changes(40.0, 0.0, 0.3, 10.0, 4.0);
/// assert!((level - 17.203).abs() < 1e-9);
/// ```
pub fn concentration_after_changes(
    start: f64,
    released_per_interval: f64,
    fraction: f64,
    source: f64,
    changes: f64,
) -> f64 {
    let kept = libm::pow(1.0 - fraction, changes);
    let releases_left = if fraction == 0.0 {
        changes
    } else {
        (1.0 - fraction) * (1.0 - kept) / fraction
    };
    source + kept * (start - source) + released_per_interval * releases_left
}

/// Level just before a change, once a steady release and a rhythm of changes balance.
///
/// None when no water is ever changed: the level then has no bound.
///
/// - `released_per_day`: 0 or more, in the unit of `source`
/// - `days_between_changes`: above 0
/// - `fraction`: above 0, to 1
/// - `source`: 0 or more
///
/// Formula: source + release × days / fraction.
/// Error: none of its own; after n changes the level is within (1 − fraction)ⁿ of it.
/// Monotone: rising in release, days and source; falling in `fraction`.
/// Source: mass balance.
///
/// ```
/// assert_eq!(lentic::water::steady_level_before_change(0.5, 7.0, 0.5, 1.0), Some(8.0));
/// ```
pub fn steady_level_before_change(
    released_per_day: f64,
    days_between_changes: f64,
    fraction: f64,
    source: f64,
) -> Option<f64> {
    (fraction > 0.0).then(|| source + released_per_day * days_between_changes / fraction)
}

/// Level just after a change, once a steady release and a rhythm of changes balance.
///
/// None when no water is ever changed: the level then has no bound.
///
/// - `released_per_day`: 0 or more, in the unit of `source`
/// - `days_between_changes`: above 0
/// - `fraction`: above 0, to 1
/// - `source`: 0 or more
///
/// Formula: source + release × days × (1 − fraction) / fraction.
/// Error: none of its own; after n changes the level is within (1 − fraction)ⁿ of it.
/// Monotone: rising in release, days and source; falling in `fraction`.
/// Source: mass balance.
///
/// ```
/// assert_eq!(lentic::water::steady_level_after_change(0.5, 7.0, 0.5, 1.0), Some(4.5));
/// ```
pub fn steady_level_after_change(
    released_per_day: f64,
    days_between_changes: f64,
    fraction: f64,
    source: f64,
) -> Option<f64> {
    steady_level_before_change(released_per_day, days_between_changes, fraction, source)
        .map(|before| concentration_after_change(before, fraction, source))
}

/// Share of the water to replace so that a concentration comes down to a target, from 0 to 1.
///
/// 0 when it is there already; none when the source water lies above the target.
///
/// - `before`, `target`, `source`: 0 or more, in one unit
///
/// Formula: (before − target) / (before − source).
/// Error: none of its own.
/// Monotone: rising in `before` and `source`, falling in `target`.
/// Source: mass balance.
///
/// ```
/// use lentic::water::change_fraction_to_reach;
/// assert_eq!(change_fraction_to_reach(40.0, 10.0, 0.0), Some(0.75));
/// assert_eq!(change_fraction_to_reach(8.0, 10.0, 0.0), Some(0.0));
/// assert_eq!(change_fraction_to_reach(40.0, 10.0, 15.0), None);
/// ```
pub fn change_fraction_to_reach(before: f64, target: f64, source: f64) -> Option<f64> {
    if before <= target {
        return Some(0.0);
    }
    blend_fraction(before, source, target)
}

/// Share of a second water in a blend that has a given concentration, from 0 to 1.
///
/// For softening with pure water as well as for raising with harder water. None when the target
/// lies outside the two waters; 0 when they are alike and the target with them.
///
/// - `first`, `second`, `target`: 0 or more, in one unit
///
/// Formula: (first − target) / (first − second).
/// Error: none of its own for ions, hardness and alkalinity; pH does not blend so.
/// Monotone: where `second` is the lower: rising in `first` and `second`, falling in `target`;
/// where it is the higher, the other way about.
/// Source: mass balance.
///
/// ```
/// use lentic::water::blend_fraction;
/// assert_eq!(blend_fraction(240.0, 0.0, 60.0), Some(0.75));
/// assert_eq!(blend_fraction(240.0, 80.0, 60.0), None);
/// ```
pub fn blend_fraction(first: f64, second: f64, target: f64) -> Option<f64> {
    if first == target {
        return Some(0.0);
    }
    let fraction = (first - target) / (first - second);
    (0.0..=1.0).contains(&fraction).then_some(fraction)
}

/// Number of changes of one size that bring a concentration down to a target.
///
/// 0 when it is there already; none when changes of this size with this water never reach it. A
/// billionth of a change beyond a whole number counts as that number.
///
/// - `before`, `target`, `source`: 0 or more, in one unit, nothing released in between
/// - `fraction`: 0 to 1
///
/// Formula: ⌈ln((target − source) / (before − source)) / ln(1 − fraction)⌉.
/// Error: none of its own.
/// Monotone: rising in `before` and `source`, falling in `target` and `fraction`.
/// Source: mass balance.
///
/// ```
/// use lentic::water::changes_to_reach;
/// assert_eq!(changes_to_reach(40.0, 10.0, 0.5, 0.0), Some(2.0));
/// assert_eq!(changes_to_reach(40.0, 10.0, 0.5, 10.0), None);
/// ```
pub fn changes_to_reach(before: f64, target: f64, fraction: f64, source: f64) -> Option<f64> {
    if before <= target {
        return Some(0.0);
    }
    if fraction >= 1.0 && target >= source {
        return Some(1.0);
    }
    if fraction <= 0.0 || target <= source {
        return None;
    }
    let distance_left = (target - source) / (before - source);
    let changes = libm::log(distance_left) / libm::log1p(-fraction);
    Some(libm::ceil(changes - 1e-9))
}

/// Rise of a concentration from topping up what evaporates.
///
/// Only water leaves as vapour: what the new water holds stays behind and adds up.
///
/// - `source`: 0 or more, what the new water holds
/// - `topped_up_l`: 0 or more, all of it together
/// - `volume_l`: above 0, the tank at its mark
///
/// Formula: source × topped up / volume.
/// Error: none of its own; what plants take up or what precipitates is not counted.
/// Monotone: rising in `source` and `topped_up_l`, falling in `volume_l`.
/// Source: mass balance.
///
/// ```
/// assert_eq!(lentic::water::rise_from_top_ups(180.0, 10.0, 100.0), 18.0);
/// ```
pub fn rise_from_top_ups(source: f64, topped_up_l: f64, volume_l: f64) -> f64 {
    source * topped_up_l / volume_l
}
