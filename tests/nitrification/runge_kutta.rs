//! A plain adaptive Runge-Kutta method of order 4(5) (Dormand and Prince 1980) for the equations of
//! the model, to compare its own integrator with.

use lentic::water::nitrification::*;

const STAGES: [&[f64]; 6] = [
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[
        19372.0 / 6561.0,
        -25360.0 / 2187.0,
        64448.0 / 6561.0,
        -212.0 / 729.0,
    ],
    &[
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18656.0,
    ],
    &[
        35.0 / 384.0,
        0.0,
        500.0 / 1113.0,
        125.0 / 192.0,
        -2187.0 / 6784.0,
        11.0 / 84.0,
    ],
];
const ERROR: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];

/// Values on each day up to the last, through water changes and doses; other events are not known.
pub fn values_by_day(
    tank: &Tank,
    parameters: &Parameters,
    last_day: usize,
    tolerance: f64,
) -> Vec<[f64; 10]> {
    let equations = Equations::at_filling(tank, parameters);
    let start = states(tank, parameters, &[0.0], 0.1)[0];
    let mut y = [
        start.pool_mg_l_n,
        start.ammonia_mg_l_n,
        start.nitrite_mg_l_n,
        start.nitrate_mg_l_n,
        start.ln_ammonia_oxidisers,
        start.ln_nitrite_oxidisers,
        start.alkalinity_mg_l_caco3,
        start.oxygen_mg_l,
        0.0,
        0.0,
    ];
    let (mut now, mut length) = (0.0, 0.1);
    let mut events = tank.events.iter().peekable();
    let mut days = vec![y];
    for day in 1..=last_day {
        while let Some(event) = events.next_if(|event| event.day < day as f64) {
            march(&equations, &mut y, event.day - now, tolerance, &mut length);
            now = event.day;
            happen(&mut y, &event.change, parameters.alkalinity_factor);
        }
        march(&equations, &mut y, day as f64 - now, tolerance, &mut length);
        now = day as f64;
        days.push(y);
    }
    days
}

fn happen(y: &mut [f64; 10], change: &Change, alkalinity_factor: f64) {
    let (keep, share, source, factor) = match *change {
        Change::Water { share, source } => (1.0 - share, share, source, alkalinity_factor),
        Change::Dose(source) => (1.0, 1.0, source, 1.0),
        _ => panic!("an event that this integrator does not know"),
    };
    y[1] = keep * y[1] + share * source.ammonia_mg_l_n;
    y[2] = keep * y[2] + share * source.nitrite_mg_l_n;
    y[3] = keep * y[3] + share * source.nitrate_mg_l_n;
    y[6] = keep * y[6] + share * source.alkalinity_mg_l_caco3 * factor;
}

fn march(equations: &Equations, y: &mut [f64; 10], days: f64, tolerance: f64, length: &mut f64) {
    let mut left = days;
    let mut first = equations.slopes(y);
    while left > 1e-12 {
        let step = length.min(left);
        let (next, last, error) = step_once(equations, y, &first, step);
        let excess = (0..10)
            .map(|index| error[index].abs() / tolerance / (1.0 + next[index].abs()))
            .fold(0.0, f64::max);
        let factor = (0.9 / excess.max(1e-9).powf(0.2)).clamp(0.2, 5.0);
        if excess <= 1.0 {
            (*y, first) = (next, last);
            left -= step;
            *length = if step < *length {
                length.max(step * factor)
            } else {
                step * factor
            };
        } else {
            *length = step * factor;
        }
    }
}

fn step_once(
    equations: &Equations,
    y: &[f64; 10],
    first: &[f64; 10],
    step: f64,
) -> ([f64; 10], [f64; 10], [f64; 10]) {
    let mut slopes = [[0.0; 10]; 7];
    slopes[0] = *first;
    let mut at = *y;
    for (stage, weights) in STAGES.iter().enumerate() {
        at = *y;
        for (slope, weight) in slopes.iter().zip(*weights) {
            for index in 0..10 {
                at[index] += step * weight * slope[index];
            }
        }
        slopes[stage + 1] = equations.slopes(&at);
    }
    let mut error = [0.0; 10];
    for (slope, weight) in slopes.iter().zip(ERROR) {
        for index in 0..10 {
            error[index] += step * weight * slope[index];
        }
    }
    (at, slopes[6], error)
}
