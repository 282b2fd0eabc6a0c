//! Which test on which day would tell most.

use super::forecast::Forecast;
use super::random::Stream;
use super::reading::{Quantity, Test};
use super::state::Water;

/// What a test on a day would tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Telling {
    /// What to read.
    pub quantity: Quantity,
    /// When, in days since filling.
    pub day: usize,
    /// Information that the reading is expected to give about the day on which the condition first
    /// holds, in bits; 0 or more.
    pub bits: f64,
}

/// The days on which a condition first holds are told apart in so many classes of equal size.
const CLASSES: usize = 4;

/// What each test would tell on each day about when a condition first holds, the most first.
///
/// The mutual information between the step that the test shows and the class of the day, from the
/// ensemble, less its bias (Miller 1955).
///
/// - `tests`: those at hand
/// - `days`: the days in question, within the forecast
/// - `first_days`: for each member the day on which the condition first holds, such as
///   [`Forecast::first_days`]
/// - `seed`: for the errors of the tests
pub fn most_telling(
    forecast: &Forecast,
    tests: &[Test],
    days: std::ops::Range<usize>,
    first_days: &[Option<usize>],
    seed: u64,
) -> Vec<Telling> {
    let classes = classes(first_days);
    let mut found = Vec::new();
    for (index, test) in tests.iter().enumerate() {
        for day in days.clone() {
            let mut stream = Stream::new([seed, index as u64, day as u64]);
            let shown = |course: &[Water]| test.shown(&course[day], &mut stream);
            let steps: Vec<usize> = forecast.courses().map(shown).collect();
            found.push(Telling {
                quantity: test.quantity,
                day,
                bits: information(&steps, test.bounds.len() + 1, &classes),
            });
        }
    }
    found.sort_by(|a, b| b.bits.total_cmp(&a.bits));
    found
}

/// Each member's class: quarters of the ensemble by the day, ties together, never as the last.
fn classes(first_days: &[Option<usize>]) -> Vec<usize> {
    let mut order: Vec<usize> = first_days.iter().flatten().copied().collect();
    order.sort_unstable();
    let class = |day: usize| {
        let before = order.partition_point(|&other| other < day);
        before * (CLASSES - 1) / order.len()
    };
    first_days
        .iter()
        .map(|first| first.map_or(CLASSES - 1, class))
        .collect()
}

fn information(steps: &[usize], step_count: usize, classes: &[usize]) -> f64 {
    let mut both = vec![0.0; step_count * CLASSES];
    let (mut by_step, mut by_class) = (vec![0.0; step_count], [0.0; CLASSES]);
    for (&step, &class) in steps.iter().zip(classes) {
        both[step * CLASSES + class] += 1.0;
        by_step[step] += 1.0;
        by_class[class] += 1.0;
    }
    let total = steps.len() as f64;
    let entropy = |counts: &[f64]| {
        let seen = counts.iter().filter(|&&count| count > 0.0);
        let sum: f64 = seen.clone().map(|&n| n * libm::log2(n)).sum();
        let bias = (seen.count() as f64 - 1.0) / (2.0 * total * std::f64::consts::LN_2);
        libm::log2(total) - sum / total + bias
    };
    (entropy(&by_step) + entropy(&by_class) - entropy(&both)).max(0.0)
}
