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

/// The linear system of one step: what moves when growth bends.
struct Implicit<'a> {
    rates: &'a Rates,
    bend: &'a Bend,
    /// 1 / (γ h + own decline) for every value.
    inverse: Values,
    per_growth: [f64; 2],
    columns: [Values; 2],
    matrix: [[f64; 2]; 2],
}

impl<'a> Implicit<'a> {
    fn new(rates: &'a Rates, bend: &'a Bend, diagonal: f64) -> Self {
        let mut inverse = [1.0 / diagonal; 10];
        inverse[POOL] = 1.0 / (diagonal + rates.release);
        inverse[AMMONIA] = 1.0 / (diagonal + bend.ammonia_uptake);
        inverse[NITRATE] = 1.0 / (diagonal + bend.nitrate_uptake);
        inverse[ALKALINITY] = 1.0 / (diagonal + rates.alkalinity_uptake);
        inverse[OXYGEN] = 1.0 / (diagonal + rates.aeration);
        let mut system = Self {
            rates,
            bend,
            inverse,
            per_growth: [bend.scale[0], bend.scale[1]],
            columns: [[0.0; 10]; 2],
            matrix: [[0.0; 2]; 2],
        };
        let first = system.respond(&[0.0; 10], [1.0, 0.0]);
        let second = system.respond(&[0.0; 10], [0.0, 1.0]);
        let (a, b) = (system.growths(&first), system.growths(&second));
        let (m00, m01, m10, m11) = (1.0 - a[0], -b[0], -a[1], 1.0 - b[1]);
        let scale = 1.0 / (m00 * m11 - m01 * m10);
        system.columns = [first, second];
        system.matrix = [[m11 * scale, -m01 * scale], [-m10 * scale, m00 * scale]];
        system
    }

    /// Changes of both growth rates that changed values bring.
    fn growths(&self, k: &Values) -> [f64; 2] {
        self.bend
            .growth
            .map(|[ammonia, nitrite, alkalinity, oxygen]| {
                ammonia * k[AMMONIA]
                    + nitrite * k[NITRITE]
                    + alkalinity * k[ALKALINITY]
                    + oxygen * k[OXYGEN]
            })
    }

    /// All unknowns for a right side and given changes of the growth rates.
    #[inline]
    fn respond(&self, right: &Values, growth: [f64; 2]) -> Values {
        let (bend, inverse) = (self.bend, &self.inverse);
        let pool = right[POOL] * inverse[POOL];
        let cells_one = (right[LN_AMMONIA_OXIDISERS] + growth[0]) * inverse[LN_AMMONIA_OXIDISERS];
        let cells_two = (right[LN_NITRITE_OXIDISERS] + growth[1]) * inverse[LN_NITRITE_OXIDISERS];
        let mut moves = Moves {
            release: self.rates.release * pool,
            food: 0.0,
            oxidised: [
                self.per_growth[0] * growth[0] + bend.oxidised[0] * cells_one,
                self.per_growth[1] * growth[1] + bend.oxidised[1] * cells_two,
            ],
            uptake: [0.0, 0.0],
        };
        if bend.ammonia_uptake != 0.0 {
            let partly = self.rates.balance(&moves);
            let ammonia = (right[AMMONIA] + partly[AMMONIA]) * inverse[AMMONIA];
            let shift = bend.nitrate_uptake_in_ammonia * ammonia;
            let nitrate = (right[NITRATE] + partly[NITRATE] - shift) * inverse[NITRATE];
            moves.uptake = [
                bend.ammonia_uptake * ammonia,
                shift + bend.nitrate_uptake * nitrate,
            ];
        }
        let balance = self.rates.balance(&moves);
        self.finish(right, &balance, [pool, cells_one, cells_two])
    }

    /// What declines by itself has its decline in `inverse` or already in its moves.
    #[inline]
    fn finish(&self, right: &Values, balance: &Values, known: [f64; 3]) -> Values {
        let plain = self.inverse[NITRITE];
        let mut k = [0.0; 10];
        for (index, value) in k.iter_mut().enumerate() {
            *value = (right[index] + balance[index]) * plain;
        }
        [k[POOL], k[LN_AMMONIA_OXIDISERS], k[LN_NITRITE_OXIDISERS]] = known;
        k[ALKALINITY] *= self.inverse[ALKALINITY] / plain;
        k[OXYGEN] *= self.inverse[OXYGEN] / plain;
        k
    }

    #[inline]
    fn solve(&self, right: &Values) -> Values {
        let mut k = self.respond(right, [0.0, 0.0]);
        let [p, q] = self.growths(&k);
        let first = self.matrix[0][0] * p + self.matrix[0][1] * q;
        let second = self.matrix[1][0] * p + self.matrix[1][1] * q;
        for (index, value) in k.iter_mut().enumerate() {
            *value += first * self.columns[0][index] + second * self.columns[1][index];
        }
        k
    }
}

/// One step of `days`; returns the new values and the estimated error of each.
#[inline]
fn step(rates: &Rates, y: &Values, local: &Local, days: f64) -> (Values, Values) {
    let slopes = &local.values;
    let inverse_days = 1.0 / days;
    let system = Implicit::new(rates, &local.bend, 2.0 * inverse_days);
    let k1 = system.solve(slopes);
    let k2 = system.solve(&combine(slopes, [(4.0 * inverse_days, &k1)]));
    let y3 = combine(y, [(2.0, &k1)]);
    let shift = [(inverse_days, &k1), (-inverse_days, &k2)];
    let k3 = system.solve(&combine(&rates.slopes(&y3), shift));
    let y4 = combine(&y3, [(1.0, &k3)]);
    let right = combine(&rates.slopes(&y4), shift);
    let k4 = system.solve(&combine(&right, [(-8.0 / 3.0 * inverse_days, &k3)]));
    (combine(&y4, [(1.0, &k4)]), k4)
}

#[inline]
fn combine<const N: usize>(start: &Values, terms: [(f64, &Values); N]) -> Values {
    let mut sum = *start;
    for (factor, values) in terms {
        for (index, value) in sum.iter_mut().enumerate() {
            *value += factor * values[index];
        }
    }
    sum
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
    local: Local,
    guess: f64,
}

impl March {
    pub(super) fn start(day: f64, values: Values, rates: &Rates) -> Self {
        let local = rates.local(&values);
        Self {
            day,
            values,
            local,
            guess: FIRST_STEP_DAYS,
        }
    }

    /// Goes on from other values at the same moment.
    pub(super) fn restart(&mut self, values: Values, rates: &Rates) {
        let guess = self.guess;
        *self = Self::start(self.day, values, rates);
        self.guess = guess;
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
        let mut wanted = self.guess;
        loop {
            let length = shared_out(wanted.clamp(SHORTEST_STEP_DAYS, LONGEST_STEP_DAYS), left);
            let (next, error) = step(rates, &self.values, &self.local, length);
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
                self.accept(day, next, rates);
                return;
            }
            self.guess = wanted;
        }
    }

    fn accept(&mut self, day: f64, values: Values, rates: &Rates) {
        self.day = day;
        if values.iter().all(|value| value.is_finite()) {
            self.values = values;
            self.local = rates.local(&values);
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
        (0.85 / libm::cbrt(excess)).clamp(0.1, 4.0)
    } else {
        0.1
    }
}
