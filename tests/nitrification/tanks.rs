//! Made-up tanks: a way to start, a truth drawn from the ranges, and the readings a keeper of such
//! a tank would have. No series from a real tank is used; none is known to be published.

use lentic::water::nitrification::*;

/// A tank, what its water truly does, and what its keeper has read by `today`.
pub struct Made {
    pub tank: Tank,
    pub truth: Parameters,
    pub today: usize,
    pub readings: Vec<Reading>,
}

/// Colour steps and errors of ordinary test kits; common practice, no source.
pub fn kit() -> Vec<Test> {
    let test = |quantity, bounds: &[f64], deviation, relative_deviation| Test {
        quantity,
        bounds: bounds.to_vec(),
        deviation,
        relative_deviation,
    };
    vec![
        test(
            Quantity::Ammonia,
            &[0.1, 0.3, 0.6, 1.2, 2.4, 4.8],
            0.05,
            0.15,
        ),
        test(
            Quantity::Nitrite,
            &[0.02, 0.06, 0.15, 0.3, 0.6, 1.2],
            0.01,
            0.15,
        ),
        test(
            Quantity::Oxidised,
            &[0.6, 1.7, 3.4, 6.8, 13.0, 27.0],
            0.3,
            0.2,
        ),
        test(
            Quantity::Ph,
            &[5.9, 6.2, 6.5, 6.8, 7.1, 7.4, 7.7, 8.0, 8.3],
            0.1,
            0.0,
        ),
        test(
            Quantity::Alkalinity,
            &[
                9.0, 27.0, 45.0, 62.0, 80.0, 98.0, 116.0, 134.0, 152.0, 170.0,
            ],
            5.0,
            0.0,
        ),
    ]
}

/// The tank of a number: dark, planted or inert by turns, its truth drawn from `ranges`.
pub fn made(number: u64, ranges: &Ranges) -> Made {
    let mut stream = Stream::new([0x7a6e, number, 1]);
    let tank = told(number, &mut stream);
    let mut shares = [0.0; TRAITS];
    for share in &mut shares {
        *share = stream.uniform();
    }
    let truth = ranges.parameters(&shares, tank.bed_kg_l);
    read(tank, truth, &mut stream)
}

/// A tank's way to start, without its truth.
pub fn told(number: u64, stream: &mut Stream) -> Tank {
    let source = Source {
        ammonia_mg_l_n: 0.0,
        nitrite_mg_l_n: 0.0,
        nitrate_mg_l_n: 3.0 * stream.uniform(),
        alkalinity_mg_l_caco3: 40.0 + 120.0 * stream.uniform(),
    };
    let mut tank = Tank::filled_with(source);
    tank.temperature_c = 20.0 + 7.0 * stream.uniform();
    match number % 3 {
        0 => tank.bed_kg_l = 0.03 + 0.12 * stream.uniform(),
        1 => {
            tank.bed_kg_l = 0.03 + 0.12 * stream.uniform();
            plant(&mut tank, source, stream);
        }
        _ => dose(&mut tank, source, stream),
    }
    tank
}

fn event(day: f64, change: Change) -> Event {
    Event { day, change }
}

fn plant(tank: &mut Tank, source: Source, stream: &mut Stream) {
    tank.events
        .push(event(0.0, Change::Plants(0.1 + 0.3 * stream.uniform())));
    let mut day = 1.0;
    while day < 60.0 {
        tank.events
            .push(event(day, Change::Water { share: 0.5, source }));
        day += if day < 7.0 {
            1.0
        } else if day < 14.0 {
            2.0
        } else if day < 28.0 {
            3.0
        } else {
            7.0
        };
    }
}

fn dose(tank: &mut Tank, source: Source, stream: &mut Stream) {
    let ammonia = Source {
        ammonia_mg_l_n: 1.0 + 2.0 * stream.uniform(),
        ..Source::default()
    };
    for day in [0.0, 10.0, 17.0, 24.0, 31.0, 38.0, 45.0, 52.0] {
        tank.events.push(event(day, Change::Dose(ammonia)));
    }
    tank.events
        .push(event(28.0, Change::Water { share: 0.4, source }));
    tank.events.sort_by(|a, b| a.day.total_cmp(&b.day));
}

/// Lets a keeper read a tank until some day between the eighth and the thirtieth.
pub fn read(tank: Tank, truth: Parameters, stream: &mut Stream) -> Made {
    let today = 8 + stream.below(23);
    let mut days = vec![2.0];
    while days[days.len() - 1] <= today as f64 {
        days.push(days[days.len() - 1] + 2.0 + stream.below(4) as f64);
    }
    days.pop();
    let mut readings = Vec::new();
    for (day, water) in days.iter().zip(waters(&tank, &truth, &days, 1e-4)) {
        for (index, test) in kit().iter().enumerate() {
            let often = [0.9, 0.9, 0.4, 0.4, 0.3][index];
            if stream.uniform() < often {
                readings.push(test.reading(*day, test.shown(&water, stream)));
            }
        }
    }
    Made {
        tank,
        truth,
        today,
        readings,
    }
}

/// How often truth lay within the middle half and within the middle nine tenths of a band.
#[derive(Debug, Clone, Copy, Default)]
pub struct Coverage {
    pub cases: usize,
    pub half: usize,
    pub nine_tenths: usize,
}

impl Coverage {
    pub fn count(&mut self, band: &[f64; 5], truth: f64) {
        self.cases += 1;
        self.half += usize::from((band[1]..=band[3]).contains(&truth));
        self.nine_tenths += usize::from((band[0]..=band[4]).contains(&truth));
    }
}
