//! Speed and calibration of the nitrification forecast. Tests never time; this does.
//!
//! `cargo bench --bench nitrification` prints the speed and a short calibration;
//! `cargo bench --bench nitrification -- calibration 2000` calibrates on so many tanks;
//! `cargo bench --bench nitrification -- journal` prints what a whole forecast of a journal takes, in milliseconds,
//! which `node tests/bench/forecast_wasm.mjs` compares with the same in WebAssembly.
//!
//! Share of truths in the 50 % and the 90 % band, 1200 tanks each (`calibration 1200`):
//!
//! | | today | in 3 days | in 7 | in 21 |
//! |---|---|---|---|---|
//! | *tanks drawn from the ranges* | | | | |
//! | ammonia | 0.55, 0.91 | 0.52, 0.91 | 0.54, 0.91 | 0.49, 0.88 |
//! | nitrite | 0.53, 0.93 | 0.48, 0.88 | 0.50, 0.89 | 0.49, 0.88 |
//! | nitrate | 0.45, 0.87 | 0.45, 0.87 | 0.46, 0.87 | 0.44, 0.87 |
//! | pH | 0.49, 0.90 | 0.49, 0.89 | 0.49, 0.88 | 0.51, 0.88 |
//! | alkalinity | 0.50, 0.89 | 0.49, 0.90 | 0.49, 0.88 | 0.49, 0.88 |
//! | *tanks of Metcalf and Eddy's two steps* | | | | |
//! | ammonia | 0.24, 0.68 | 0.25, 0.66 | 0.24, 0.66 | 0.26, 0.76 |
//! | nitrite | 0.39, 0.85 | 0.36, 0.86 | 0.54, 0.88 | 0.48, 0.81 |
//! | nitrate | 0.39, 0.78 | 0.39, 0.78 | 0.42, 0.82 | 0.47, 0.83 |
//! | pH | 0.49, 0.90 | 0.49, 0.90 | 0.49, 0.90 | 0.46, 0.91 |
//! | alkalinity | 0.54, 0.92 | 0.54, 0.92 | 0.51, 0.91 | 0.48, 0.92 |
//! | *the same, growth 0.54 and 0.60 a day* | | | | |
//! | ammonia | 0.37, 0.74 | 0.33, 0.68 | 0.29, 0.65 | 0.28, 0.68 |
//! | nitrite | 0.50, 0.92 | 0.58, 0.94 | 0.68, 0.95 | 0.48, 0.88 |
//! | nitrate | 0.36, 0.81 | 0.45, 0.83 | 0.50, 0.83 | 0.38, 0.79 |
//! | pH | 0.46, 0.88 | 0.46, 0.87 | 0.45, 0.87 | 0.46, 0.87 |
//! | alkalinity | 0.50, 0.89 | 0.49, 0.89 | 0.45, 0.88 | 0.47, 0.88 |
//!
//! Said to have nothing left with a chance of 0.0 to 0.1, 3, 7 and 2 % had nothing; with 0.9 to 1.0,
//! 98, 98 and 70 %. The forecast is thus too sure of tanks that are slow in another way than its
//! own: they keep some ammonia for ever that its members use up.

#[path = "../nitrification/runge_kutta.rs"]
mod runge_kutta;
#[path = "../nitrification/tanks.rs"]
mod tanks;

use std::hint::black_box;
use std::time::Instant;

use lentic::water::nitrification::*;
use tanks::{Coverage, Made, kit, made, read, told};

const DAYS: usize = 60;

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if arguments.iter().any(|argument| argument == "journal") {
        println!("{:.2}", whole_forecast() / 1e3);
        return;
    }
    let number = |text: &String| text.parse::<u64>().ok();
    let tanks = arguments.iter().find_map(number).unwrap_or(200);
    if !arguments.iter().any(|argument| argument == "calibration") {
        speed();
    }
    calibrate("tanks drawn from the ranges", tanks, |number| {
        made(number, &Ranges::published())
    });
    calibrate("tanks of Metcalf and Eddy's two steps", tanks, |number| {
        of_another_model(number, 1.0)
    });
    calibrate(
        "the same, growth 0.54 and 0.60 a day (low in Sin et al.)",
        tanks,
        |number| of_another_model(number, 0.6),
    );
}

/// The shortest of some runs, in microseconds: what the machine can do when left alone.
fn microseconds(runs: usize, mut work: impl FnMut()) -> f64 {
    let time = |_| {
        let start = Instant::now();
        work();
        start.elapsed().as_secs_f64() * 1e6
    };
    (0..runs).map(time).fold(f64::INFINITY, f64::min)
}

/// A forecast of a journal from its text to the answer, in microseconds.
fn whole_forecast() -> f64 {
    let text = include_str!("../journals/course-dark.json");
    let journal = lentic::journal::Journal::from_json(text).expect("a journal");
    let on = lentic::journal::Date::parse("2026-03-05").expect("a day");
    let book = lentic::advice::built_in().expect("a book");
    microseconds(10, || {
        black_box(lentic::advice::forecast(&book, &journal, on)).expect("readable");
    })
}

/// Sixty days, twenty water changes, twelve readings by the twentieth day.
fn scene() -> (Tank, Vec<Reading>) {
    let source = Source {
        nitrate_mg_l_n: 1.0,
        alkalinity_mg_l_caco3: 90.0,
        ..Source::default()
    };
    let mut tank = Tank::filled_with(source);
    tank.bed_kg_l = 0.08;
    for number in 1..=20 {
        let change = Change::Water { share: 0.3, source };
        let day = 2.9 * f64::from(number) + 0.3;
        tank.events.push(Event { day, change });
    }
    let truth = Ranges::published().parameters(&[0.5; TRAITS], tank.bed_kg_l);
    let mut stream = Stream::new([12, 12, 12]);
    let mut readings = Vec::new();
    for (day, tests) in [
        (4.0, 0..3),
        (8.0, 0..2),
        (12.0, 0..3),
        (16.0, 0..2),
        (20.0, 0..2),
    ] {
        let water = waters(&tank, &truth, &[day], 1e-4)[0];
        for test in &kit()[tests] {
            readings.push(test.reading(day, test.shown(&water, &mut stream)));
        }
    }
    (tank, readings)
}

fn speed() {
    let (tank, readings) = scene();
    let ranges = Ranges::published();
    let settings = Settings::default();
    let before = peak_kib();
    let fitted = fit(&tank, &readings, &ranges, settings);
    let forecast = fitted.forecast(&tank, DAYS);
    let bands = black_box(forecast.bands(Quantity::Nitrite));
    let after = peak_kib();
    println!(
        "{} members, {DAYS} days, {} events, {} readings: {} stages, {:.0} effective members",
        settings.members,
        tank.events.len(),
        readings.len(),
        fitted.stages,
        fitted.effective_members
    );
    println!("nitrite on the last day: {:.3?}", bands[DAYS]);
    println!("memory: peak grew by {} KiB", after - before);
    let fit_time = microseconds(10, || {
        black_box(fit(&tank, &readings, &ranges, settings));
    });
    let run_time = microseconds(10, || {
        black_box(fitted.forecast(&tank, DAYS));
    });
    let band_time = microseconds(10, || {
        for quantity in [Quantity::Ammonia, Quantity::Nitrite, Quantity::Nitrate] {
            black_box(forecast.bands(quantity));
        }
    });
    let whole = fit_time + run_time + band_time;
    println!(
        "fit {:.1} ms + courses {:.1} ms + bands {:.1} ms = {:.1} ms",
        fit_time / 1e3,
        run_time / 1e3,
        band_time / 1e3,
        whole / 1e3
    );
    against_runge_kutta(&tank, &fitted);
}

/// Root mean square error of ammonia and nitrite over members and days.
fn error(exact: &[Vec<[f64; 2]>], found: &[Vec<[f64; 2]>]) -> f64 {
    let pairs = exact.iter().flatten().zip(found.iter().flatten());
    let (mut sum, mut count) = (0.0, 0.0);
    for (exact, found) in pairs {
        sum += (exact[0] - found[0]).powi(2) + (exact[1] - found[1]).powi(2);
        count += 2.0;
    }
    f64::sqrt(sum / count)
}

fn against_runge_kutta(tank: &Tank, fitted: &Fit) {
    let days: Vec<f64> = (0..=DAYS).map(|day| day as f64).collect();
    let members: Vec<Parameters> = fitted.parameters(tank.bed_kg_l).take(100).collect();
    let own = |tolerance: f64| -> Vec<Vec<[f64; 2]>> {
        let course = |member| waters(tank, member, &days, tolerance);
        let pick = |water: &Water| [water.ammonia_mg_l_n, water.nitrite_mg_l_n];
        members
            .iter()
            .map(|member| course(member).iter().map(pick).collect())
            .collect()
    };
    let plain = |tolerance: f64| -> Vec<Vec<[f64; 2]>> {
        let course = |member| runge_kutta::values_by_day(tank, member, DAYS, tolerance);
        let pick = |values: &[f64; 10]| [values[1], values[2]];
        members
            .iter()
            .map(|member| course(member).iter().map(pick).collect())
            .collect()
    };
    let exact = own(1e-7);
    let own_error = error(&exact, &own(0.02));
    let own_time = microseconds(10, || {
        black_box(own(0.02));
    });
    println!(
        "own: {:.1} µs a member, error {own_error:.1e} mg/L",
        own_time / 100.0
    );
    for tolerance in [1e-1, 1e-2, 1e-3, 1e-4] {
        let plain_error = error(&exact, &plain(tolerance));
        let plain_time = microseconds(3, || {
            black_box(plain(tolerance));
        });
        println!(
            "Runge-Kutta 4(5), tolerance {tolerance:e}: {:.1} µs, error {plain_error:.1e} mg/L; own takes {:.3} of its time",
            plain_time / 100.0,
            own_time / plain_time
        );
    }
}

/// Most memory this process has held, in KiB; 0 where the system does not tell.
fn peak_kib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM"));
    let figure = line.and_then(|line| line.split_whitespace().nth(1));
    figure.and_then(|figure| figure.parse().ok()).unwrap_or(0)
}

fn of_another_model(number: u64, pace: f64) -> Made {
    let mut stream = Stream::new([78, number, 2]);
    let tank = told(number, &mut stream);
    let cells = |stream: &mut Stream| 1e-3 * f64::exp(3.0 * stream.uniform());
    let mut truth = Parameters::metcalf_eddy(cells(&mut stream), cells(&mut stream));
    truth.ammonia_oxidisers.growth_per_day *= pace;
    truth.nitrite_oxidisers.growth_per_day *= pace;
    if tank.bed_kg_l > 0.0 {
        truth.bed = Bed {
            pool_mg_l_n: tank.bed_kg_l * (67.0 + 189.0 * stream.uniform()),
            prompt_share: 0.1,
            release_per_day: 0.097,
            released_alkalinity_eq_mol: 1.0,
            alkalinity_uptake_per_day: 0.02,
            own_alkalinity_mg_l_caco3: 10.0,
        };
    }
    read(tank, truth, &mut stream)
}

const QUANTITIES: [(&str, Quantity); 5] = [
    ("ammonia", Quantity::Ammonia),
    ("nitrite", Quantity::Nitrite),
    ("nitrate", Quantity::Nitrate),
    ("pH", Quantity::Ph),
    ("alkalinity", Quantity::Alkalinity),
];
const AHEAD: [usize; 4] = [0, 3, 7, 21];

fn calibrate(name: &str, tanks: u64, of: impl Fn(u64) -> Made) {
    let mut coverage = [[Coverage::default(); 4]; 5];
    let (mut chances, mut ill, mut effective) = ([[0usize; 2]; 10], 0, 0.0);
    for number in 0..tanks {
        let made = of(number);
        let settings = Settings {
            seed: number,
            ..Settings::default()
        };
        let fit = fit(&made.tank, &made.readings, &Ranges::published(), settings);
        let forecast = fit.forecast(&made.tank, made.today + AHEAD[3]);
        ill += usize::from(fit.misfit.tail < 0.01);
        effective += fit.effective_members;
        let days = AHEAD.map(|ahead| (made.today + ahead) as f64);
        let truth = waters(&made.tank, &made.truth, &days, 1e-4);
        for ((_, quantity), row) in QUANTITIES.into_iter().zip(&mut coverage) {
            let bands = forecast.bands(quantity);
            for ((ahead, water), cell) in AHEAD.into_iter().zip(&truth).zip(row) {
                let band = &bands[made.today + ahead];
                if band[4] - band[0] > 0.05 {
                    cell.count(band, quantity.of(water));
                }
            }
        }
        count_chances(&forecast, made.today, &truth, &mut chances);
    }
    println!(
        "\n{name}: {tanks} tanks, {:.0} effective members",
        effective / tanks as f64
    );
    println!("readings fit no member (tail below 1 %): {ill}");
    table(&coverage, &chances);
}

fn count_chances(forecast: &Forecast, today: usize, truth: &[Water], into: &mut [[usize; 2]; 10]) {
    let spent = |course: &[Water]| {
        let water = course[course.len() - 1];
        water.ammonia_mg_l_n < 0.1 && water.nitrite_mg_l_n < 0.1
    };
    let chance = forecast.chance(spent);
    for (ahead, water) in AHEAD.into_iter().zip(truth) {
        let class = ((10.0 * chance[today + ahead]) as usize).min(9);
        into[class][0] += 1;
        into[class][1] += usize::from(spent(&[*water]));
    }
}

fn table(coverage: &[[Coverage; 4]; 5], chances: &[[usize; 2]; 10]) {
    println!("share of truths in the 50 % / 90 % band (cases), by days ahead");
    println!("{:12}{:>18}{:>18}{:>18}{:>18}", "", "0", "3", "7", "21");
    for ((name, _), row) in QUANTITIES.iter().zip(coverage) {
        print!("{name:12}");
        for cell in row {
            let share = |hits: usize| hits as f64 / cell.cases.max(1) as f64;
            let (half, most) = (share(cell.half), share(cell.nine_tenths));
            print!("{:>18}", format!("{half:.2} / {most:.2} ({})", cell.cases));
        }
        println!();
    }
    print!("said chance of nothing left, and how often it was so:");
    for (class, [cases, hits]) in chances.iter().enumerate() {
        let share = *hits as f64 / (*cases).max(1) as f64;
        print!("  {:.1}: {share:.2} ({cases})", class as f64 / 10.0);
    }
    println!();
}
