//! The model's equations: how fast everything changes at a moment, and what that depends on.

use super::super::constants::{CACO3_G_MOL, CO2_G_MOL, ZERO_CELSIUS_K};
use super::super::{
    alkalinity_used_mg_l_caco3, carbonic_acid_pk1, carbonic_acid_pk2, ion_activity_coefficient,
    oxygen_saturation_mg_l, oxygen_used_mg_l,
};
use super::kinetics::{REFERENCE_TEMPERATURE_C, ammonium_equilibrium, nitrous_acid_equilibrium};
use super::parameters::{Parameters, Population, Substrate};
use super::tank::{Change, Tank};

/// What is integrated, in this order.
pub(super) type Values = [f64; 10];
pub(super) const POOL: usize = 0;
pub(super) const AMMONIA: usize = 1;
pub(super) const NITRITE: usize = 2;
pub(super) const NITRATE: usize = 3;
pub(super) const LN_AMMONIA_OXIDISERS: usize = 4;
pub(super) const LN_NITRITE_OXIDISERS: usize = 5;
pub(super) const ALKALINITY: usize = 6;
pub(super) const OXYGEN: usize = 7;
pub(super) const CELLS: usize = 8;
pub(super) const PLANTS: usize = 9;

/// Half-saturation of plants in ammonia and nitrate, in mg/L as N. An assumption: it only rounds
/// the corner where a form runs out.
const PLANT_HALF_SATURATION_MG_L_N: f64 = 0.05;

const EQUIVALENTS_L_PER_MG_L_CACO3: f64 = 2.0 / CACO3_G_MOL / 1000.0;

/// A population's law with all that stays the same between two events worked out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Law {
    growth: f64,
    decay: f64,
    nitrogen_per_cell: f64,
    half_saturation: f64,
    /// How well the ion feeds, as a share of how well the free form does.
    ion: f64,
    film: f64,
    half_oxygen: f64,
    inverse_food_inhibition: f64,
    inverse_cross_inhibition: f64,
    pub(super) cell_nitrogen: f64,
    pub(super) oxygen: f64,
}

/// The equations between two events.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rates {
    pub(super) ammonia: Law,
    pub(super) nitrite: Law,
    ammonium: f64,
    nitrous_acid: f64,
    held_hydrogen: Option<f64>,
    inverse_activity: f64,
    bicarbonate: f64,
    carbonate: f64,
    /// Alkalinity, in eq/L, where leaving out H⁺ and leaving out carbonate are equally wrong.
    buffered_above: f64,
    pub(super) alkalinity_oxidised: f64,
    pub(super) alkalinity_ammonia: f64,
    pub(super) release: f64,
    pub(super) released_alkalinity: f64,
    pub(super) alkalinity_uptake: f64,
    own_alkalinity: f64,
    pub(super) aeration: f64,
    pub(super) oxygen_saturation: f64,
    pub(super) food: f64,
    plants: f64,
}

/// How fast nitrogen moves at a moment, and how growth there bends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Local {
    pub(super) values: Values,
    pub(super) bend: Bend,
}

/// First derivatives that an implicit step needs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bend {
    pub(super) oxidised: [f64; 2],
    pub(super) scale: [f64; 2],
    /// Of both growth rates in ammonia, nitrite, alkalinity and oxygen.
    pub(super) growth: [[f64; 4]; 2],
    pub(super) ammonia_uptake: f64,
    pub(super) nitrate_uptake: f64,
    pub(super) nitrate_uptake_in_ammonia: f64,
}

/// One population's growth and its derivatives in its food's total and free share, in the other's
/// free food, and in oxygen.
struct Growth {
    rate: f64,
    in_total: f64,
    in_share: f64,
    in_cross: f64,
    in_oxygen: f64,
}

impl Law {
    fn new(population: &Population, oxygen_per_n: f64, cells: f64, temperature_c: f64) -> Self {
        let reference = REFERENCE_TEMPERATURE_C;
        let growth = population.growth_warmth.factor(temperature_c, reference);
        let decay = population.decay_warmth.factor(temperature_c, reference);
        Self {
            growth: population.growth_per_day * growth,
            decay: population.decay_per_day * decay,
            nitrogen_per_cell: 1.0 / population.yield_g_g,
            half_saturation: population.half_saturation_mg_l_n,
            ion: population.half_saturation_mg_l_n / population.half_saturation_ion_mg_l_n,
            film: population.film_mg_l_n,
            half_oxygen: population.half_saturation_oxygen_mg_l,
            inverse_food_inhibition: 1.0 / population.food_inhibition_mg_l_n,
            inverse_cross_inhibition: 1.0 / population.cross_inhibition_mg_l_n,
            cell_nitrogen: cells * population.yield_g_g,
            oxygen: oxygen_per_n - population.yield_g_g,
        }
    }

    /// Haldane in food, Monod in oxygen, and the other's food holding it back. The ion feeds as its
    /// own half-saturation says; only the free form inhibits.
    ///
    /// Below zero, where a step may stray within its tolerance, the laws go on mirrored: without a
    /// pole, and driving back.
    #[inline]
    fn growth(&self, total: f64, share: f64, cross: f64, oxygen: f64) -> Growth {
        let ion = self.ion;
        let feeding = ion + (1.0 - ion) * share;
        let (food, free) = (total * feeding, total * share);
        let curb = free * free * self.inverse_food_inhibition;
        let way = feeding * self.film;
        let below = self.half_saturation + way + food.abs() + curb;
        let air = self.half_oxygen + oxygen.abs();
        let held = 1.0 + cross.max(0.0) * self.inverse_cross_inhibition;
        let scale = self.growth / (below * air * held);
        let rate = scale * food * oxygen;
        let slope = scale * oxygen / below;
        let uncurbed = (1.0 - ion) * (self.half_saturation + curb);
        let curbing = 2.0 * food * free * self.inverse_food_inhibition;
        let in_cross = if cross > 0.0 {
            -rate * self.inverse_cross_inhibition / held
        } else {
            0.0
        };
        Growth {
            rate,
            in_total: slope * feeding * (self.half_saturation + way - curb),
            in_share: slope * total * (uncurbed - curbing),
            in_cross,
            in_oxygen: scale * food * self.half_oxygen / air,
        }
    }
}

impl Rates {
    pub(super) fn new(tank: &Tank, parameters: &Parameters, weather: &Weather) -> Self {
        let temperature_c = weather.temperature_c + parameters.temperature_offset_c;
        let free = parameters.substrate == Substrate::Free;
        let cells = parameters.cell_nitrogen_g_g;
        let all_oxygen = oxygen_used_mg_l(1.0);
        let per_nitrogen = alkalinity_used_mg_l_caco3(1.0);
        let alkalinity = tank.filled_with.alkalinity_mg_l_caco3 * parameters.alkalinity_factor;
        let ionic_strength = 1.5 * EQUIVALENTS_L_PER_MG_L_CACO3 * alkalinity.max(0.0);
        let activity = |charge| ion_activity_coefficient(charge, ionic_strength, temperature_c);
        let carbon_dioxide = weather.carbon_dioxide_mg_l * parameters.carbon_dioxide_factor;
        let acid =
            carbon_dioxide / CO2_G_MOL / 1000.0 * libm::exp10(-carbonic_acid_pk1(temperature_c));
        let k2 = libm::exp10(-carbonic_acid_pk2(temperature_c));
        let (bicarbonate, carbonate) = (acid / activity(1.0), acid * k2 / activity(2.0));
        let when_free = |constant: f64| if free { constant } else { 0.0 };
        let saturation = oxygen_saturation_mg_l(temperature_c, 1013.25);
        let mut rates = Self {
            ammonia: Law::new(
                &parameters.ammonia_oxidisers,
                0.75 * all_oxygen,
                cells,
                temperature_c,
            ),
            nitrite: Law::new(
                &parameters.nitrite_oxidisers,
                0.25 * all_oxygen,
                cells,
                temperature_c,
            ),
            ammonium: when_free(ammonium_equilibrium(temperature_c)),
            nitrous_acid: when_free(nitrous_acid_equilibrium(temperature_c)),
            held_hydrogen: tank.held.ph.map(|ph| libm::exp10(-ph)),
            inverse_activity: 1.0 / activity(1.0),
            bicarbonate,
            carbonate,
            buffered_above: libm::cbrt(
                bicarbonate * bicarbonate * bicarbonate / (2.0 * carbonate * activity(1.0)),
            ),
            alkalinity_oxidised: per_nitrogen,
            alkalinity_ammonia: 0.5 * per_nitrogen,
            release: parameters.bed.release_per_day * release_warmth(temperature_c),
            released_alkalinity: 0.5 * per_nitrogen * parameters.bed.released_alkalinity_eq_mol,
            alkalinity_uptake: parameters.bed.alkalinity_uptake_per_day,
            own_alkalinity: parameters.bed.own_alkalinity_mg_l_caco3,
            aeration: tank.aeration_per_day,
            oxygen_saturation: tank.held.oxygen_mg_l.unwrap_or(saturation),
            food: weather.food_mg_l_n_day + parameters.hidden_ammonia_mg_l_n_day,
            plants: weather.plants_mg_l_n_day * parameters.plant_factor,
        };
        if tank.held.oxygen_mg_l.is_some() {
            (rates.ammonia.oxygen, rates.nitrite.oxygen) = (0.0, 0.0);
        }
        rates
    }

    pub(super) fn ph(&self, alkalinity_mg_l_caco3: f64) -> f64 {
        -libm::log10(self.hydrogen(alkalinity_mg_l_caco3).0)
    }

    /// Activity of hydrogen ions, and its derivative in alkalinity.
    ///
    /// The root of alkalinity = HCO₃⁻ + 2 CO₃²⁻ − H⁺ for the carbon dioxide there is, by one step
    /// of Newton from the root without H⁺, or where alkalinity has nearly run out from the root
    /// without carbonate: within 10⁻⁶ of the root.
    fn hydrogen(&self, alkalinity_mg_l_caco3: f64) -> (f64, f64) {
        if let Some(held) = self.held_hydrogen {
            return (held, 0.0);
        }
        let (g, q1, q2) = (self.inverse_activity, self.bicarbonate, self.carbonate);
        let alkalinity = alkalinity_mg_l_caco3 * EQUIVALENTS_L_PER_MG_L_CACO3;
        let (above, below) = if alkalinity > self.buffered_above {
            let root = (q1 * q1 + 8.0 * alkalinity * q2).sqrt();
            (q1 + root, 2.0 * alkalinity)
        } else {
            let root = (alkalinity * alkalinity + 4.0 * q1 * g).sqrt();
            if alkalinity > 0.0 {
                (2.0 * q1, alkalinity + root)
            } else {
                (root - alkalinity, 2.0 * g)
            }
        };
        let (guess, inverse) = (above / below, below / above);
        let excess = g * guess + alkalinity - inverse * (q1 + 2.0 * q2 * inverse);
        let slope = 1.0 / (g + inverse * inverse * (q1 + 4.0 * q2 * inverse));
        let hydrogen = guess - excess * slope;
        (hydrogen, -EQUIVALENTS_L_PER_MG_L_CACO3 * slope)
    }

    /// Change per day of every value.
    #[inline(never)]
    pub(super) fn slopes(&self, y: &Values) -> Values {
        self.local(y).values
    }

    /// Put in line where it is called, so that [`slopes`](Self::slopes) leaves out what bends.
    #[inline(always)]
    pub(super) fn local(&self, y: &Values) -> Local {
        let (hydrogen, in_alkalinity) = self.hydrogen(y[ALKALINITY]);
        let free = 1.0 / (1.0 + self.ammonium * hydrogen);
        let dissociated = 1.0 / (hydrogen + self.nitrous_acid);
        let acid = hydrogen * dissociated;
        let free_moves = -free * free * self.ammonium * in_alkalinity;
        let acid_moves = self.nitrous_acid * dissociated * dissociated * in_alkalinity;
        let (ammonia, nitrite, oxygen) = (y[AMMONIA], y[NITRITE], y[OXYGEN]);
        let one = self.ammonia.growth(ammonia, free, nitrite * acid, oxygen);
        let two = self.nitrite.growth(nitrite, acid, ammonia * free, oxygen);
        let scale = [
            self.ammonia.nitrogen_per_cell * libm::exp(y[LN_AMMONIA_OXIDISERS]),
            self.nitrite.nitrogen_per_cell * libm::exp(y[LN_NITRITE_OXIDISERS]),
        ];
        let mut bend = Bend {
            oxidised: [scale[0] * one.rate, scale[1] * two.rate],
            scale,
            growth: [
                [
                    one.in_total,
                    one.in_cross * acid,
                    one.in_share * free_moves + one.in_cross * nitrite * acid_moves,
                    one.in_oxygen,
                ],
                [
                    two.in_cross * free,
                    two.in_total,
                    two.in_share * acid_moves + two.in_cross * ammonia * free_moves,
                    two.in_oxygen,
                ],
            ],
            ammonia_uptake: 0.0,
            nitrate_uptake: 0.0,
            nitrate_uptake_in_ammonia: 0.0,
        };
        let uptake = self.plant_uptake(y, &mut bend);
        let moves = Moves {
            release: self.release * y[POOL],
            food: self.food,
            oxidised: bend.oxidised,
            uptake,
        };
        let mut values = self.balance(&moves);
        values[LN_AMMONIA_OXIDISERS] = one.rate - self.ammonia.decay;
        values[LN_NITRITE_OXIDISERS] = two.rate - self.nitrite.decay;
        values[ALKALINITY] -= self.alkalinity_uptake * (y[ALKALINITY] - self.own_alkalinity);
        values[OXYGEN] += self.aeration * (self.oxygen_saturation - y[OXYGEN]);
        Local { values, bend }
    }

    /// Ammonia first; nitrate makes up for what is missing.
    fn plant_uptake(&self, y: &Values, bend: &mut Bend) -> [f64; 2] {
        if self.plants == 0.0 {
            return [0.0, 0.0];
        }
        let half = PLANT_HALF_SATURATION_MG_L_N;
        let ammonia = 1.0 / (half + y[AMMONIA]);
        let nitrate = 1.0 / (half + y[NITRATE]);
        let first = self.plants * y[AMMONIA] * ammonia;
        let second = (self.plants - first) * y[NITRATE] * nitrate;
        bend.ammonia_uptake = self.plants * half * ammonia * ammonia;
        bend.nitrate_uptake = (self.plants - first) * half * nitrate * nitrate;
        bend.nitrate_uptake_in_ammonia = -bend.ammonia_uptake * y[NITRATE] * nitrate;
        [first, second]
    }

    /// What moves of nitrogen do to every value. It is linear, so that an implicit step can put
    /// the moves' own changes through it.
    #[inline]
    pub(super) fn balance(&self, moves: &Moves) -> Values {
        let [first, second] = moves.oxidised;
        let cells_one = self.ammonia.cell_nitrogen * first;
        let cells_two = self.nitrite.cell_nitrogen * second;
        let [ammonia_taken, nitrate_taken] = moves.uptake;
        let mut values = [0.0; 10];
        values[POOL] = -moves.release;
        values[AMMONIA] = moves.release + moves.food - first - cells_one - ammonia_taken;
        values[NITRITE] = first - second - cells_two;
        values[NITRATE] = second - nitrate_taken;
        values[ALKALINITY] = self.released_alkalinity * moves.release
            - self.alkalinity_oxidised * first
            + self.alkalinity_ammonia * (moves.food - ammonia_taken + nitrate_taken);
        values[OXYGEN] = -self.ammonia.oxygen * first - self.nitrite.oxygen * second;
        values[CELLS] = cells_one + cells_two;
        values[PLANTS] = ammonia_taken + nitrate_taken;
        values
    }
}

/// Nitrogen on the move, in mg/L per day.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Moves {
    pub(super) release: f64,
    pub(super) food: f64,
    pub(super) oxidised: [f64; 2],
    pub(super) uptake: [f64; 2],
}

/// What events set and leave set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weather {
    temperature_c: f64,
    carbon_dioxide_mg_l: f64,
    plants_mg_l_n_day: f64,
    food_mg_l_n_day: f64,
}

impl Weather {
    pub(super) fn new(tank: &Tank) -> Self {
        Self {
            temperature_c: tank.temperature_c,
            carbon_dioxide_mg_l: tank.carbon_dioxide_mg_l,
            plants_mg_l_n_day: 0.0,
            food_mg_l_n_day: 0.0,
        }
    }

    /// Takes over what a change sets; says whether it set anything.
    pub(super) fn follow(&mut self, change: &Change) -> bool {
        match *change {
            Change::Temperature(value) => self.temperature_c = value,
            Change::CarbonDioxide(value) => self.carbon_dioxide_mg_l = value,
            Change::Plants(value) => self.plants_mg_l_n_day = value,
            Change::Food(value) => self.food_mg_l_n_day = value,
            _ => return false,
        }
        true
    }
}

/// Factor on the release at 35 °C. Source: five Queensland soils, log₁₀ k = 6.14 − 2285 / T.
fn release_warmth(temperature_c: f64) -> f64 {
    let kelvin = temperature_c + ZERO_CELSIUS_K;
    libm::exp10(2285.0 * (1.0 / (35.0 + ZERO_CELSIUS_K) - 1.0 / kelvin))
}
