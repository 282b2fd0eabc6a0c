//! The course of a tank: the equations marched through its events.

use super::parameters::Parameters;
use super::rates::{
    ALKALINITY, AMMONIA, CELLS, LN_AMMONIA_OXIDISERS, LN_NITRITE_OXIDISERS, NITRATE, NITRITE,
    OXYGEN, PLANTS, POOL, Rates, Values, Weather,
};
use super::state::{State, Water};
use super::step::March;
use super::tank::{Change, Event, Tank};

/// A tank on its way.
pub(super) struct Course<'a> {
    tank: &'a Tank,
    parameters: &'a Parameters,
    tolerance: f64,
    weather: Weather,
    rates: Rates,
    /// As it was after the last event, with the day of that.
    after_event: (f64, State),
    march: March,
    coming: &'a [Event],
}

impl<'a> Course<'a> {
    pub(super) fn start(tank: &'a Tank, parameters: &'a Parameters, tolerance: f64) -> Self {
        let weather = Weather::new(tank);
        let rates = Rates::new(tank, parameters, &weather);
        let state = filled(tank, parameters, rates.oxygen_saturation);
        Self {
            tank,
            parameters,
            tolerance,
            weather,
            after_event: (0.0, state),
            march: March::start(0.0, values(&state)),
            rates,
            coming: &tank.events,
        }
    }

    /// Goes on to `day`, through the events before it; events of that day are still to come.
    pub(super) fn reach(&mut self, day: f64) {
        loop {
            let next = self.coming.first();
            let due = next.filter(|event| event.day <= self.march.day() && event.day < day);
            if let Some(event) = due {
                self.happen(&event.change);
                self.coming = &self.coming[1..];
            } else if self.march.day() < day {
                let until = next.map_or(day, |event| event.day.min(day));
                self.march.step(&self.rates, until, self.tolerance);
            } else {
                break;
            }
        }
    }

    pub(super) fn state(&self) -> State {
        let (since, before) = &self.after_event;
        let mut state = take(self.march.values(), before);
        state.added_mg_l_n += self.rates.food * (self.march.day() - since);
        state
    }

    pub(super) fn water(&self) -> Water {
        let values = self.march.values();
        Water {
            ammonia_mg_l_n: values[AMMONIA].max(0.0),
            nitrite_mg_l_n: values[NITRITE].max(0.0),
            nitrate_mg_l_n: values[NITRATE].max(0.0),
            ph: self.rates.ph(values[ALKALINITY]),
            alkalinity_mg_l_caco3: values[ALKALINITY],
        }
    }

    /// Lets a change happen at the moment that was reached.
    pub(super) fn happen(&mut self, change: &Change) {
        let mut state = self.state();
        let parameters = self.parameters;
        state.apply(change, parameters);
        if self.weather.follow(change) {
            self.rates = Rates::new(self.tank, parameters, &self.weather);
        }
        self.march.restart(values(&state));
        self.after_event = (self.march.day(), state);
    }
}

fn filled(tank: &Tank, parameters: &Parameters, oxygen_mg_l: f64) -> State {
    let (bed, water) = (&parameters.bed, parameters.poured(&tank.filled_with));
    let prompt = bed.pool_mg_l_n * bed.prompt_share;
    State {
        pool_mg_l_n: bed.pool_mg_l_n - prompt,
        ammonia_mg_l_n: water.ammonia_mg_l_n + prompt,
        nitrite_mg_l_n: water.nitrite_mg_l_n,
        nitrate_mg_l_n: water.nitrate_mg_l_n,
        ln_ammonia_oxidisers: libm::log(parameters.ammonia_oxidisers.start_mg_l),
        ln_nitrite_oxidisers: libm::log(parameters.nitrite_oxidisers.start_mg_l),
        alkalinity_mg_l_caco3: water.alkalinity_mg_l_caco3,
        oxygen_mg_l,
        ..State::default()
    }
}

fn values(state: &State) -> Values {
    let mut values = [0.0; 10];
    values[POOL] = state.pool_mg_l_n;
    values[AMMONIA] = state.ammonia_mg_l_n;
    values[NITRITE] = state.nitrite_mg_l_n;
    values[NITRATE] = state.nitrate_mg_l_n;
    values[LN_AMMONIA_OXIDISERS] = state.ln_ammonia_oxidisers;
    values[LN_NITRITE_OXIDISERS] = state.ln_nitrite_oxidisers;
    values[ALKALINITY] = state.alkalinity_mg_l_caco3;
    values[OXYGEN] = state.oxygen_mg_l;
    values[CELLS] = state.cells_mg_l_n;
    values[PLANTS] = state.plants_mg_l_n;
    values
}

fn take(values: &Values, before: &State) -> State {
    State {
        pool_mg_l_n: values[POOL],
        ammonia_mg_l_n: values[AMMONIA],
        nitrite_mg_l_n: values[NITRITE],
        nitrate_mg_l_n: values[NITRATE],
        ln_ammonia_oxidisers: values[LN_AMMONIA_OXIDISERS],
        ln_nitrite_oxidisers: values[LN_NITRITE_OXIDISERS],
        alkalinity_mg_l_caco3: values[ALKALINITY],
        oxygen_mg_l: values[OXYGEN],
        cells_mg_l_n: values[CELLS],
        plants_mg_l_n: values[PLANTS],
        ..*before
    }
}

/// The equations between two events, for those who want to integrate them in another way.
#[derive(Debug, Clone)]
pub struct Equations(Rates);

impl Equations {
    /// Those that hold from filling to the first event.
    pub fn at_filling(tank: &Tank, parameters: &Parameters) -> Self {
        Self(Rates::new(tank, parameters, &Weather::new(tank)))
    }

    /// Change per day of the pool, ammonia, nitrite, nitrate, the logarithms of both populations,
    /// alkalinity, oxygen, nitrogen in cells and in plants, in this order and in the units of
    /// [`State`].
    pub fn slopes(&self, values: &[f64; 10]) -> [f64; 10] {
        self.0.slopes(values)
    }
}

/// States of a tank on given days.
///
/// - `days`: since filling, rising; events of the same day come after
/// - `tolerance`: error allowed in a step, 1e-8 to 0.1: in mg/L of nitrogen and as a share of what
///   there is. Over sixty days the sum of errors has stayed below ten times this.
///
/// ```
/// use lentic::water::nitrification::{Parameters, Source, Tank, states};
/// let mut tank = Tank::filled_with(Source {
///     ammonia_mg_l_n: 2.0,
///     alkalinity_mg_l_caco3: 90.0,
///     ..Source::default()
/// });
/// tank.carbon_dioxide_mg_l = 10.0;
/// let parameters = Parameters::hiatt_grady(0.01, 0.003);
/// let states = states(&tank, &parameters, &[0.0, 40.0], 1e-4);
/// assert!(states[1].nitrate_mg_l_n > 1.9);
/// ```
pub fn states(tank: &Tank, parameters: &Parameters, days: &[f64], tolerance: f64) -> Vec<State> {
    let mut course = Course::start(tank, parameters, tolerance);
    days.iter()
        .map(|&day| {
            course.reach(day);
            course.state()
        })
        .collect()
}

/// Water of a tank on given days, as [`states`].
pub fn waters(tank: &Tank, parameters: &Parameters, days: &[f64], tolerance: f64) -> Vec<Water> {
    let mut course = Course::start(tank, parameters, tolerance);
    days.iter()
        .map(|&day| {
            course.reach(day);
            course.water()
        })
        .collect()
}
