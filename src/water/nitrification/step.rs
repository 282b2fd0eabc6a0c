//! One implicit step, and the march of steps between two events.
//!
//! The scheme is RODAS3 (Sandu et al. 1997, Atmos. Environ. 31:3459): a Rosenbrock method of third
//! order with an embedded second-order result, L-stable and stiffly accurate, so that a full-grown
//! filter that clears nitrite within minutes costs no small steps. All coupling runs through the
//! two growth rates, so each linear system of ten unknowns shrinks to two. Such methods keep linear
//! invariants: nitrogen is conserved to rounding, whatever the tolerance.

use super::rates::{
    ALKALINITY, AMMONIA, Bend, LN_AMMONIA_OXIDISERS, LN_NITRITE_OXIDISERS, Local, Moves, NITRATE,
    NITRITE, OXYGEN, POOL, Rates, Values,
};

const FIRST_STEP_DAYS: f64 = 0.1;
/// Nine seconds. Taken whatever the error, so that work is bounded.
const SHORTEST_STEP_DAYS: f64 = 1e-4;
const LONGEST_STEP_DAYS: f64 = 2.0;

/// The linear system of one step.
///
/// Both growth rates answer to what is fed in: a right side, and the nitrogen that either
/// population oxidises. Their answers are worked out once, backwards along the equations; each
/// solution then takes one balance.
struct Implicit<'a> {
    rates: &'a Rates,
    bend: &'a Bend,
    inverses: Inverses,
    answers: [Answer; 2],
    /// Oxidised more for a change of the growth rates, and for a right side of the cells.
    per_growth: [f64; 2],
    per_cells: [f64; 2],
    matrix: [[f64; 2]; 2],
}

/// 1 / (γ h + own decline), `plain` where nothing declines by itself.
#[derive(Clone, Copy)]
struct Inverses {
    plain: f64,
    pool: f64,
    ammonia: f64,
    nitrate: f64,
    alkalinity: f64,
    oxygen: f64,
}

/// How much a growth rate changes for each unit fed in.
#[derive(Clone, Copy)]
struct Answer {
    to_ammonia: f64,
    to_nitrite: f64,
    to_nitrate: f64,
    to_alkalinity: f64,
    to_oxygen: f64,
    to_oxidised: [f64; 2],
}

impl Inverses {
    #[inline(always)]
    fn new(rates: &Rates, bend: &Bend, diagonal: f64) -> Self {
        let plain = 1.0 / diagonal;
        let of = |decline: f64| {
            if decline == 0.0 {
                plain
            } else {
                1.0 / (diagonal + decline)
            }
        };
        Self {
            plain,
            pool: of(rates.release),
            ammonia: of(bend.ammonia_uptake),
            nitrate: of(bend.nitrate_uptake),
            alkalinity: of(rates.alkalinity_uptake),
            oxygen: of(rates.aeration),
        }
    }
}

impl Answer {
    #[inline(always)]
    fn new(growth: [f64; 4], rates: &Rates, bend: &Bend, inverses: &Inverses) -> Self {
        let [ammonia, nitrite, alkalinity, oxygen] = growth;
        let to_nitrite = nitrite * inverses.plain;
        let to_alkalinity = alkalinity * inverses.alkalinity;
        let to_oxygen = oxygen * inverses.oxygen;
        let to_uptake = to_alkalinity * rates.alkalinity_ammonia;
        let to_nitrate = to_uptake * bend.nitrate_uptake * inverses.nitrate;
        let shift = bend.nitrate_uptake_in_ammonia;
        let through_plants = to_uptake * (shift - bend.ammonia_uptake) - to_nitrate * shift;
        let to_ammonia = (ammonia + through_plants) * inverses.ammonia;
        let first = to_nitrite
            - to_ammonia * (1.0 + rates.ammonia.cell_nitrogen)
            - to_alkalinity * rates.alkalinity_oxidised
            - to_oxygen * rates.ammonia.oxygen;
        let second = to_nitrate
            - to_nitrite * (1.0 + rates.nitrite.cell_nitrogen)
            - to_oxygen * rates.nitrite.oxygen;
        Self {
            to_ammonia,
            to_nitrite,
            to_nitrate,
            to_alkalinity,
            to_oxygen,
            to_oxidised: [first, second],
        }
    }
}

impl<'a> Implicit<'a> {
    #[inline(always)]
    fn new(rates: &'a Rates, bend: &'a Bend, diagonal: f64) -> Self {
        let inverses = Inverses::new(rates, bend, diagonal);
        let answers = bend
            .growth
            .map(|growth| Answer::new(growth, rates, bend, &inverses));
        let per_cells = bend.oxidised.map(|oxidised| oxidised * inverses.plain);
        let per_growth = [bend.scale[0] + per_cells[0], bend.scale[1] + per_cells[1]];
        let [one, two] = answers.map(|answer| answer.to_oxidised);
        let (m00, m01) = (1.0 - one[0] * per_growth[0], -one[1] * per_growth[1]);
        let (m10, m11) = (-two[0] * per_growth[0], 1.0 - two[1] * per_growth[1]);
        let scale = 1.0 / (m00 * m11 - m01 * m10);
        Self {
            rates,
            bend,
            inverses,
            answers,
            per_growth,
            per_cells,
            matrix: [[m11 * scale, -m01 * scale], [-m10 * scale, m00 * scale]],
        }
    }

    #[inline(always)]
    fn solve(&self, right: &Values) -> Values {
        let (rates, bend, inverses) = (self.rates, self.bend, &self.inverses);
        let pool = right[POOL] * inverses.pool;
        let release = rates.release * pool;
        let cells = [right[LN_AMMONIA_OXIDISERS], right[LN_NITRITE_OXIDISERS]];
        let at_once = [self.per_cells[0] * cells[0], self.per_cells[1] * cells[1]];
        let [p, q] = self.answers.map(|answer| {
            answer.to_ammonia * (right[AMMONIA] + release)
                + answer.to_nitrite * right[NITRITE]
                + answer.to_nitrate * right[NITRATE]
                + answer.to_alkalinity * (right[ALKALINITY] + rates.released_alkalinity * release)
                + answer.to_oxygen * right[OXYGEN]
                + answer.to_oxidised[0] * at_once[0]
                + answer.to_oxidised[1] * at_once[1]
        });
        let growth = self.matrix.map(|[first, second]| first * p + second * q);
        let mut moves = Moves {
            release,
            food: 0.0,
            oxidised: [
                at_once[0] + self.per_growth[0] * growth[0],
                at_once[1] + self.per_growth[1] * growth[1],
            ],
            uptake: [0.0, 0.0],
        };
        if bend.ammonia_uptake != 0.0 {
            let partly = rates.balance(&moves);
            let ammonia = (right[AMMONIA] + partly[AMMONIA]) * inverses.ammonia;
            let shift = bend.nitrate_uptake_in_ammonia * ammonia;
            let nitrate = (right[NITRATE] + partly[NITRATE] - shift) * inverses.nitrate;
            moves.uptake = [
                bend.ammonia_uptake * ammonia,
                shift + bend.nitrate_uptake * nitrate,
            ];
        }
        // What declines by itself has its decline in its divisor or already in its moves.
        let balance = rates.balance(&moves);
        let mut k = [0.0; 10];
        for (index, value) in k.iter_mut().enumerate() {
            *value = (right[index] + balance[index]) * inverses.plain;
        }
        k[POOL] = pool;
        k[LN_AMMONIA_OXIDISERS] = (cells[0] + growth[0]) * inverses.plain;
        k[LN_NITRITE_OXIDISERS] = (cells[1] + growth[1]) * inverses.plain;
        k[ALKALINITY] = (right[ALKALINITY] + balance[ALKALINITY]) * inverses.alkalinity;
        k[OXYGEN] = (right[OXYGEN] + balance[OXYGEN]) * inverses.oxygen;
        k
    }
}

/// One step of `days`; returns the new values and the estimated error of each.
///
/// The second stage stands on the same point as the first and is only wanted as its difference from
/// that, which by linearity is a solution of its own.
#[inline]
fn step(rates: &Rates, y: &Values, local: &Local, days: f64) -> (Values, Values) {
    let inverse_days = 1.0 / days;
    let system = Implicit::new(rates, &local.bend, 2.0 * inverse_days);
    let k1 = system.solve(&local.values);
    let less_k2 = system
        .solve(&k1)
        .map(|value| -4.0 * inverse_days * inverse_days * value);
    let y3 = add(y, 2.0, &k1);
    let k3 = system.solve(&add(&rates.slopes(&y3), 1.0, &less_k2));
    let y4 = add(&y3, 1.0, &k3);
    let right = add(&rates.slopes(&y4), 1.0, &less_k2);
    let k4 = system.solve(&add(&right, -8.0 / 3.0 * inverse_days, &k3));
    (add(&y4, 1.0, &k4), k4)
}

#[inline(always)]
fn add(start: &Values, factor: f64, values: &Values) -> Values {
    std::array::from_fn(|index| start[index] + factor * values[index])
}

/// Greatest error of a step in units of what is allowed: `tolerance` mg/L and that share of the
/// value for nitrogen, ten times as much for alkalinity, and that share of the populations. What
/// falls below nothing is an error too.
fn excess(y: &Values, error: &Values, tolerance: f64) -> f64 {
    let nitrogen = |index: usize| (error[index].abs() / (1.0 + y[index].abs())).max(-y[index]);
    let dissolved = nitrogen(AMMONIA)
        .max(nitrogen(NITRITE))
        .max(nitrogen(NITRATE));
    let cells = error[LN_AMMONIA_OXIDISERS]
        .abs()
        .max(error[LN_NITRITE_OXIDISERS].abs());
    let alkalinity = error[ALKALINITY].abs() / (10.0 + y[ALKALINITY].abs());
    dissolved.max(cells).max(alkalinity) / tolerance
}

/// A march of steps from one event to the next.
#[derive(Debug, Clone)]
pub(super) struct March {
    day: f64,
    values: Values,
    guess: f64,
}

impl March {
    pub(super) fn start(day: f64, values: Values) -> Self {
        Self {
            day,
            values,
            guess: FIRST_STEP_DAYS,
        }
    }

    /// Goes on from other values at the same moment.
    pub(super) fn restart(&mut self, values: Values) {
        self.values = values;
    }

    pub(super) fn day(&self) -> f64 {
        self.day
    }

    pub(super) fn values(&self) -> &Values {
        &self.values
    }

    /// Takes one step, not beyond `until`.
    ///
    /// A step whose estimated error is too great is tried again shorter; one that comes to no
    /// number counts as too great.
    pub(super) fn step(&mut self, rates: &Rates, until: f64, tolerance: f64) {
        let left = until - self.day;
        let local = rates.local(&self.values);
        let mut wanted = self.guess;
        loop {
            let length = shared_out(wanted.clamp(SHORTEST_STEP_DAYS, LONGEST_STEP_DAYS), left);
            let (next, error) = step(rates, &self.values, &local, length);
            let excess = excess(&next, &error, tolerance);
            wanted = length * growth(excess);
            if excess <= 1.0 || length <= SHORTEST_STEP_DAYS {
                // A step cut short by an event says nothing against the longer one before it.
                let cut = length < self.guess;
                self.guess = if cut { wanted.max(self.guess) } else { wanted };
                let day = if length == left {
                    until
                } else {
                    self.day + length
                };
                self.accept(day, next);
                return;
            }
            self.guess = wanted;
        }
    }

    fn accept(&mut self, day: f64, values: Values) {
        self.day = day;
        // A value that is no number leaves none as the sum.
        if values.iter().sum::<f64>().is_finite() {
            self.values = values;
        }
    }
}

/// All that is left, or half of it, or the wanted length: two equal steps beat a long one and a
/// sliver.
fn shared_out(wanted: f64, left: f64) -> f64 {
    if wanted >= left {
        left
    } else if 2.0 * wanted > left {
        0.5 * left
    } else {
        wanted
    }
}

/// How much longer the next step may be than one of such an error.
fn growth(excess: f64) -> f64 {
    if excess < 1e-3 {
        4.0
    } else if excess < f64::INFINITY {
        // Seven figures are enough for a length that is itself an estimate.
        (0.85 / f64::from(libm::cbrtf(excess as f32))).clamp(0.1, 4.0)
    } else {
        0.1
    }
}
