//! The course through events: conservation, refinement, an independent integrator, plain sense.

use lentic::water::nitrification::*;

use crate::runge_kutta;
use crate::tanks::{made, told};

const RANGES: fn() -> Ranges = Ranges::published;

fn days(last: usize) -> Vec<f64> {
    (0..=last).map(|day| day as f64).collect()
}

fn random_source(stream: &mut Stream) -> Source {
    Source {
        ammonia_mg_l_n: stream.uniform(),
        nitrite_mg_l_n: 0.2 * stream.uniform(),
        nitrate_mg_l_n: 10.0 * stream.uniform(),
        alkalinity_mg_l_caco3: 200.0 * stream.uniform(),
    }
}

fn random_change(stream: &mut Stream) -> Change {
    let source = random_source(stream);
    match stream.below(7) {
        0 => Change::Water {
            share: stream.uniform(),
            source,
        },
        1 => Change::TopUp {
            share: 0.1 * stream.uniform(),
            source,
        },
        2 => Change::Dose(source),
        3 => Change::Temperature(8.0 + 24.0 * stream.uniform()),
        4 => Change::CarbonDioxide(0.5 + 40.0 * stream.uniform()),
        5 => Change::Plants(stream.uniform()),
        _ => Change::Food(stream.uniform()),
    }
}

#[test]
fn nitrogen_is_conserved_through_any_events() {
    for number in 0..100 {
        let mut stream = Stream::new([5, number, 0]);
        let mut made = made(number, &RANGES());
        made.tank.events = (0..30)
            .map(|event| Event {
                day: 2.0 * f64::from(event) + stream.uniform(),
                change: random_change(&mut stream),
            })
            .collect();
        let states = states(&made.tank, &made.truth, &days(60), 0.01);
        let start = states[0].nitrogen_balance_mg_l();
        for (day, state) in states.iter().enumerate() {
            let moved = state.nitrogen_balance_mg_l() - start;
            assert!(moved.abs() < 1e-11, "tank {number} day {day}: {moved:e}");
            let least = state.ammonia_mg_l_n.min(state.nitrite_mg_l_n);
            assert!(least > -0.02, "tank {number} day {day}: {least}");
            assert!(state.oxygen_mg_l > 0.0 && state.pool_mg_l_n >= 0.0);
        }
    }
}

/// Root mean square and greatest difference of ammonia and nitrite over tanks and days.
fn difference(one: f64, other: f64) -> (f64, f64) {
    let (mut squares, mut count, mut greatest) = (0.0, 0.0, 0f64);
    for number in 0..60 {
        let made = made(number, &RANGES());
        let course = |tolerance| waters(&made.tank, &made.truth, &days(60), tolerance);
        for (a, b) in course(one).iter().zip(course(other)) {
            for difference in [
                a.ammonia_mg_l_n - b.ammonia_mg_l_n,
                a.nitrite_mg_l_n - b.nitrite_mg_l_n,
            ] {
                squares += difference * difference;
                count += 1.0;
                greatest = greatest.max(difference.abs());
            }
        }
    }
    (f64::sqrt(squares / count), greatest)
}

#[test]
fn a_finer_tolerance_changes_no_more_than_is_said() {
    for tolerance in [1e-2, 1e-3, 1e-4] {
        let (typical, greatest) = difference(tolerance, 0.5 * tolerance);
        assert!(typical < tolerance, "{tolerance}: {typical}");
        assert!(greatest < 100.0 * tolerance, "{tolerance}: {greatest}");
    }
}

#[test]
fn another_integrator_comes_to_the_same() {
    for number in [0, 2, 3, 5, 8, 11] {
        let made = made(number, &RANGES());
        let own = states(&made.tank, &made.truth, &days(60), 1e-6);
        let plain = runge_kutta::values_by_day(&made.tank, &made.truth, 60, 1e-9);
        for (day, (own, plain)) in own.iter().zip(plain).enumerate() {
            let pairs = [
                (own.pool_mg_l_n, plain[0]),
                (own.ammonia_mg_l_n, plain[1]),
                (own.nitrite_mg_l_n, plain[2]),
                (own.nitrate_mg_l_n, plain[3]),
                (own.ln_ammonia_oxidisers, plain[4]),
                (own.ln_nitrite_oxidisers, plain[5]),
                (own.alkalinity_mg_l_caco3, plain[6]),
                (own.cells_mg_l_n, plain[8]),
            ];
            for (own, plain) in pairs {
                let gap = (own - plain).abs();
                assert!(gap < 2e-3, "tank {number} day {day}: {own} and {plain}");
            }
        }
    }
}

fn end(tank: &Tank, parameters: &Parameters) -> usize {
    let waters = waters(tank, parameters, &days(200), 1e-3);
    let spent = |water: &Water| water.ammonia_mg_l_n < 0.1 && water.nitrite_mg_l_n < 0.1;
    1 + waters.iter().rposition(|water| !spent(water)).unwrap_or(0)
}

fn releasing(pool_mg_l_n: f64) -> Parameters {
    let mut parameters = Parameters::hiatt_grady(0.003, 0.001);
    parameters.bed = Bed {
        pool_mg_l_n,
        prompt_share: 0.1,
        release_per_day: 0.1,
        released_alkalinity_eq_mol: 1.0,
        alkalinity_uptake_per_day: 0.0,
        own_alkalinity_mg_l_caco3: 0.0,
    };
    parameters
}

/// Hard water with enough carbon dioxide to bring it to pH 7.3.
fn buffered() -> Tank {
    let mut tank = Tank::filled_with(Source {
        alkalinity_mg_l_caco3: 120.0,
        ..Source::default()
    });
    tank.carbon_dioxide_mg_l = 10.0;
    tank
}

/// Where food does not limit growth and alkalinity lasts; a bed that gives little feeds cells too
/// slowly to grow, and can end later than a richer one.
#[test]
fn a_fuller_pool_ends_later() {
    let mut tank = buffered();
    tank.filled_with.alkalinity_mg_l_caco3 = 300.0;
    tank.carbon_dioxide_mg_l = 25.0;
    let ends = [15.0, 30.0, 60.0].map(|pool| end(&tank, &releasing(pool)));
    assert!(ends.is_sorted_by(|a, b| a < b), "{ends:?}");
}

#[test]
fn colder_water_ends_later() {
    let ends = [28.0, 24.0, 20.0, 16.0].map(|temperature_c| {
        let tank = Tank {
            temperature_c,
            ..buffered()
        };
        end(&tank, &releasing(6.0))
    });
    assert!(ends.is_sorted_by(|a, b| a < b), "{ends:?}");
}

#[test]
fn fewer_cells_at_the_start_end_later() {
    let ends = [0.1, 0.01, 0.001, 0.0001].map(|cells| {
        let mut parameters = releasing(6.0);
        parameters.ammonia_oxidisers.start_mg_l = cells;
        parameters.nitrite_oxidisers.start_mg_l = cells / 3.0;
        end(&buffered(), &parameters)
    });
    assert!(ends.is_sorted_by(|a, b| a < b), "{ends:?}");
}

#[test]
fn without_alkalinity_nitrification_stalls_in_acid_water() {
    let tank = |alkalinity_mg_l_caco3| {
        Tank::filled_with(Source {
            ammonia_mg_l_n: 5.0,
            alkalinity_mg_l_caco3,
            ..Source::default()
        })
    };
    let parameters = Parameters::hiatt_grady(0.01, 0.003);
    let soft = waters(&tank(10.0), &parameters, &[40.0], 1e-3)[0];
    let hard = waters(&tank(120.0), &parameters, &[40.0], 1e-3)[0];
    assert!(soft.ph < 5.5 && soft.ammonia_mg_l_n > 2.0, "{soft:?}");
    assert!(hard.ph > 7.0 && hard.ammonia_mg_l_n < 0.1, "{hard:?}");
}

#[test]
fn plants_take_up_what_cells_would_have_had() {
    let mut planted = buffered();
    planted.events.push(Event {
        day: 0.0,
        change: Change::Plants(0.5),
    });
    let course = |tank: &Tank| states(tank, &releasing(8.0), &[20.0], 1e-3)[0];
    let (bare, green) = (course(&buffered()), course(&planted));
    assert!(
        green.nitrite_mg_l_n + green.nitrate_mg_l_n < bare.nitrite_mg_l_n + bare.nitrate_mg_l_n
    );
    assert!(green.plants_mg_l_n > 1.0 && green.plants_mg_l_n <= 10.0);
    assert!(
        green.pool_mg_l_n == bare.pool_mg_l_n
            || (green.pool_mg_l_n - bare.pool_mg_l_n).abs() < 0.01
    );
}

#[test]
fn a_change_of_all_the_water_leaves_source_water_and_the_cells() {
    let source = random_source(&mut Stream::new([1, 2, 3]));
    let mut tank = buffered();
    tank.events.push(Event {
        day: 10.0,
        change: Change::Water { share: 1.0, source },
    });
    let state = states(
        &tank,
        &Parameters::hiatt_grady(0.01, 0.01),
        &[10.0, 10.000_000_1],
        1e-3,
    );
    assert!((state[1].nitrate_mg_l_n - source.nitrate_mg_l_n).abs() < 1e-4);
    assert!((state[1].ln_ammonia_oxidisers - state[0].ln_ammonia_oxidisers).abs() < 1e-4);
}

#[test]
fn ph_follows_alkalinity_and_carbon_dioxide() {
    let mut stream = Stream::new([9, 9, 9]);
    for number in 0..50 {
        let mut tank = told(number, &mut stream);
        tank.filled_with.alkalinity_mg_l_caco3 = 15.0 + 285.0 * stream.uniform();
        tank.carbon_dioxide_mg_l = 0.6 + 40.0 * stream.uniform();
        let water = waters(&tank, &Parameters::hiatt_grady(0.1, 0.1), &[0.0], 0.1)[0];
        let expected = lentic::water::ph_from_carbon_dioxide(
            tank.carbon_dioxide_mg_l,
            tank.filled_with.alkalinity_mg_l_caco3,
            tank.temperature_c,
        );
        assert!(
            (water.ph - expected).abs() < 0.005,
            "{} {expected}",
            water.ph
        );
    }
}
