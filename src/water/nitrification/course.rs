//! The course of a tank: the equations marched through its events.

use super::parameters::Parameters;
use super::rates::{
    ALKALINITY, AMMONIA, CELLS, LN_AMMONIA_OXIDISERS, LN_NITRITE_OXIDISERS, NITRATE, NITRITE,
    OXYGEN, PLANTS, POOL, Rates, Values, Weather,
};
use super::state::{State, Water};
use super::step::march;
use super::tank::{Event, Tank};

const FIRST_STEP_DAYS: f64 = 0.1;

/// A tank on its way.
pub(super) struct Course<'a> {
    tank: &'a Tank,
    parameters: &'a Parameters,
    tolerance: f64,
    weather: Weather,
    rates: Rates,
    state: State,
    day: f64,
    guess: f64,
    coming: &'a [Event],
}

impl<'a> Course<'a> {
    pub(super) fn start(tank: &'a Tank, parameters: &'a Parameters, tolerance: f64) -> Self {
        let weather = Weather::new(tank);
        let rates = Rates::new(tank, parameters, &weather);
        let (bed, water) = (&parameters.bed, &tank.filled_with);
        let prompt = bed.pool_mg_l_n * bed.prompt_share;
        let state = State {
            pool_mg_l_n: bed.pool_mg_l_n - prompt,
            ammonia_mg_l_n: water.ammonia_mg_l_n + prompt,
            nitrite_mg_l_n: water.nitrite_mg_l_n,
            nitrate_mg_l_n: water.nitrate_mg_l_n,
            ln_ammonia_oxidisers: libm::log(parameters.ammonia_oxidisers.start_mg_l),
            ln_nitrite_oxidisers: libm::log(parameters.nitrite_oxidisers.start_mg_l),
            alkalinity_mg_l_caco3: water.alkalinity_mg_l_caco3 * parameters.alkalinity_factor,
            oxygen_mg_l: rates.oxygen_saturation,
            ..State::default()
        };
        Self {
            tank,
            parameters,
            tolerance,
            weather,
            rates,
            state,
            day: 0.0,
            guess: FIRST_STEP_DAYS,
            coming: &tank.events,
        }
    }

    /// Goes on to `day`, through the events before it; events of that day are still to come.
    pub(super) fn advance(&mut self, day: f64) {
        while let Some((event, rest)) = self.coming.split_first()
            && event.day < day
        {
            self.march_to(event.day);
            self.happen(event);
            self.coming = rest;
        }
        self.march_to(day);
    }

    pub(super) fn state(&self) -> &State {
        &self.state
    }

    pub(super) fn water(&self) -> Water {
        self.state.water(&self.rates)
    }

    fn happen(&mut self, event: &Event) {
        let parameters = self.parameters;
        self.state.apply(
            &event.change,
            parameters.alkalinity_factor,
            parameters.disinfected_share,
        );
        if self.weather.follow(&event.change) {
            self.rates = Rates::new(self.tank, parameters, &self.weather);
        }
    }

    fn march_to(&mut self, day: f64) {
        let days = day - self.day;
        if days <= 0.0 {
            return;
        }
        let mut values = values(&self.state);
        march(&self.rates, &mut values, days, self.tolerance, &mut self.guess);
        self.day = day;
        self.state.added_mg_l_n += days * self.rates.food;
        self.state = take(&values, &self.state);
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

/// States of a tank on given days.
///
/// - `days`: since filling, rising; events of the same day come after
/// - `tolerance`: error allowed in a step, 1e-8 to 0.1: in mg/L of nitrogen and as a share of what
///   there is. Over sixty days the sum of errors has stayed below ten times this.
///
/// ```
/// use lentic::water::nitrification::{Parameters, Source, Tank, states};
/// let tank = Tank::filled_with(Source {
///     ammonia_mg_l_n: 2.0,
///     alkalinity_mg_l_caco3: 90.0,
///     ..Source::default()
/// });
/// let parameters = Parameters::hiatt_grady(0.01, 0.003);
/// let states = states(&tank, &parameters, &[0.0, 30.0], 1e-4);
/// assert!(states[1].nitrate_mg_l_n > 1.9);
/// ```
pub fn states(tank: &Tank, parameters: &Parameters, days: &[f64], tolerance: f64) -> Vec<State> {
    let mut course = Course::start(tank, parameters, tolerance);
    days.iter()
        .map(|&day| {
            course.advance(day);
            *course.state()
        })
        .collect()
}

/// Water of a tank on given days, as [`states`].
pub fn waters(tank: &Tank, parameters: &Parameters, days: &[f64], tolerance: f64) -> Vec<Water> {
    let mut course = Course::start(tank, parameters, tolerance);
    days.iter()
        .map(|&day| {
            course.advance(day);
            course.water()
        })
        .collect()
}
