//! What makes one tank's nitrification differ from another's.

use super::kinetics::Warmth;
use super::tank::Source;

/// What a half-saturation counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Substrate {
    /// Free ammonia and free nitrous acid, so that pH and temperature act through speciation.
    Free,
    /// Total ammonia and nitrite; pH then has no effect.
    Total,
}

/// One of the two populations, attached to glass, bed and filter: a water change leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Population {
    /// Highest growth rate at 20 °C, per day; 0.3 to 2.
    pub growth_per_day: f64,
    /// How growth follows temperature.
    pub growth_warmth: Warmth,
    /// Decay at 20 °C, per day; 0.04 to 0.3.
    pub decay_per_day: f64,
    /// How decay follows temperature.
    pub decay_warmth: Warmth,
    /// Cells grown from nitrogen oxidised, in g COD/g N; 0.03 to 0.3.
    pub yield_g_g: f64,
    /// Half-saturation of its food, in mg/L as N, counted as [`Parameters::substrate`] says.
    pub half_saturation_mg_l_n: f64,
    /// Half-saturation of the same food in its ion, in mg/L as N; infinite for cells that only its
    /// free form feeds.
    pub half_saturation_ion_mg_l_n: f64,
    /// What the way through the attached film adds to either, in mg/L of total ammonia or nitrite as N;
    /// 0 for cells afloat.
    pub film_mg_l_n: f64,
    /// Half-saturation of oxygen, in mg/L; 0.1 to 2.
    pub half_saturation_oxygen_mg_l: f64,
    /// Inhibition by its own food, in mg/L as N; infinite for none.
    pub food_inhibition_mg_l_n: f64,
    /// Inhibition by the other's food, in mg/L as N; infinite for none.
    pub cross_inhibition_mg_l_n: f64,
    /// Cells at filling, in mg COD for each litre of water; above 0.
    pub start_mg_l: f64,
}

/// A bed that gives off ammonia, first order from a pool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// Nitrogen that the bed can still release at filling, in mg for each litre of water.
    pub pool_mg_l_n: f64,
    /// Share of the pool that dissolves at once, 0 to 1.
    pub prompt_share: f64,
    /// Release at 35 °C, share of the pool per day. Elsewhere × 10^(2285 (1/308.15 − 1/T)).
    pub release_per_day: f64,
    /// Alkalinity that comes with the ammonia, in equivalents per mol of N: 1 from organic matter,
    /// 0 from salts.
    pub released_alkalinity_eq_mol: f64,
    /// Share by which the bed brings the water's alkalinity nearer to its own in a day, 0 for an
    /// inert bed.
    pub alkalinity_uptake_per_day: f64,
    /// Alkalinity at which the bed neither takes nor gives any, in mg/L as CaCO₃.
    pub own_alkalinity_mg_l_caco3: f64,
}

/// Everything that is not known of a tank from its record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parameters {
    /// The ammonia oxidisers.
    pub ammonia_oxidisers: Population,
    /// The nitrite oxidisers.
    pub nitrite_oxidisers: Population,
    /// What the half-saturations and inhibitions count.
    pub substrate: Substrate,
    /// Nitrogen in cells, in g N/g COD; 0 to 0.12.
    pub cell_nitrogen_g_g: f64,
    /// The bed.
    pub bed: Bed,
    /// Factor from the told carbon dioxide to the true one.
    pub carbon_dioxide_factor: f64,
    /// Factor from the told alkalinity of the waters to the true one.
    pub alkalinity_factor: f64,
    /// Factor from the told uptake of the plants to the true one.
    pub plant_factor: f64,
    /// True less told temperature, in °C.
    pub temperature_offset_c: f64,
    /// Ammonia from a source that nobody told of, in mg/L as N per day.
    pub hidden_ammonia_mg_l_n_day: f64,
    /// Share of the cells killed when all the water is changed, 0 to 1.
    pub disinfected_share: f64,
    /// Nitrate that new water holds beyond what was told, in mg/L as N.
    pub source_nitrate_mg_l_n: f64,
}

const ACTIVATION_AMMONIA: Warmth = Warmth::Activation { kj_mol: 68.0 };
const ACTIVATION_NITRITE: Warmth = Warmth::Activation { kj_mol: 44.0 };
const STEADY: Warmth = Warmth::Base { per_degree: 1.0 };
const DECAY: Warmth = Warmth::Base { per_degree: 1.029 };

impl Bed {
    /// A bed that releases nothing.
    pub const INERT: Self = Self {
        pool_mg_l_n: 0.0,
        prompt_share: 0.0,
        release_per_day: 0.0,
        released_alkalinity_eq_mol: 0.0,
        alkalinity_uptake_per_day: 0.0,
        own_alkalinity_mg_l_caco3: 0.0,
    };
}

impl Parameters {
    /// What new water truly holds.
    pub(super) fn poured(&self, told: &Source) -> Source {
        Source {
            nitrate_mg_l_n: told.nitrate_mg_l_n + self.source_nitrate_mg_l_n,
            alkalinity_mg_l_caco3: told.alkalinity_mg_l_caco3 * self.alkalinity_factor,
            ..*told
        }
    }

    /// The two-step model of Hiatt and Grady 2008 (Water Environ. Res. 80:2145, Table 2), growth
    /// following temperature after Vannecke and Volcke 2015, decay not; an inert bed, and nothing
    /// that the record does not tell.
    ///
    /// - `ammonia_oxidisers_mg_l`, `nitrite_oxidisers_mg_l`: cells at filling, above 0
    pub const fn hiatt_grady(ammonia_oxidisers_mg_l: f64, nitrite_oxidisers_mg_l: f64) -> Self {
        Self::told(
            Population {
                growth_per_day: 0.78,
                growth_warmth: ACTIVATION_AMMONIA,
                decay_per_day: 0.096,
                decay_warmth: STEADY,
                yield_g_g: 0.18,
                half_saturation_mg_l_n: 0.0075,
                half_saturation_ion_mg_l_n: f64::INFINITY,
                film_mg_l_n: 0.0,
                half_saturation_oxygen_mg_l: 0.6,
                food_inhibition_mg_l_n: 1.0,
                cross_inhibition_mg_l_n: 0.1,
                start_mg_l: ammonia_oxidisers_mg_l,
            },
            Population {
                growth_per_day: 0.78,
                growth_warmth: ACTIVATION_NITRITE,
                decay_per_day: 0.096,
                decay_warmth: STEADY,
                yield_g_g: 0.06,
                half_saturation_mg_l_n: 0.0001,
                half_saturation_ion_mg_l_n: f64::INFINITY,
                film_mg_l_n: 0.0,
                half_saturation_oxygen_mg_l: 1.2,
                food_inhibition_mg_l_n: 0.04,
                cross_inhibition_mg_l_n: 0.2,
                start_mg_l: nitrite_oxidisers_mg_l,
            },
            Substrate::Free,
        )
    }

    /// Two steps on total ammonia and nitrite with the defaults of Metcalf and Eddy 2014 (from
    /// memory); an inert bed, and nothing that the record does not tell.
    ///
    /// - `ammonia_oxidisers_mg_l`, `nitrite_oxidisers_mg_l`: cells at filling, above 0
    pub const fn metcalf_eddy(ammonia_oxidisers_mg_l: f64, nitrite_oxidisers_mg_l: f64) -> Self {
        Self::told(
            Population {
                growth_per_day: 0.9,
                growth_warmth: Warmth::Base { per_degree: 1.072 },
                decay_per_day: 0.17,
                decay_warmth: DECAY,
                yield_g_g: 0.15,
                half_saturation_mg_l_n: 0.5,
                half_saturation_ion_mg_l_n: f64::INFINITY,
                film_mg_l_n: 0.0,
                half_saturation_oxygen_mg_l: 0.5,
                food_inhibition_mg_l_n: f64::INFINITY,
                cross_inhibition_mg_l_n: f64::INFINITY,
                start_mg_l: ammonia_oxidisers_mg_l,
            },
            Population {
                growth_per_day: 1.0,
                growth_warmth: Warmth::Base { per_degree: 1.063 },
                decay_per_day: 0.17,
                decay_warmth: DECAY,
                yield_g_g: 0.05,
                half_saturation_mg_l_n: 0.2,
                half_saturation_ion_mg_l_n: f64::INFINITY,
                film_mg_l_n: 0.0,
                half_saturation_oxygen_mg_l: 0.9,
                food_inhibition_mg_l_n: f64::INFINITY,
                cross_inhibition_mg_l_n: f64::INFINITY,
                start_mg_l: nitrite_oxidisers_mg_l,
            },
            Substrate::Total,
        )
    }

    const fn told(
        ammonia_oxidisers: Population,
        nitrite_oxidisers: Population,
        substrate: Substrate,
    ) -> Self {
        Self {
            ammonia_oxidisers,
            nitrite_oxidisers,
            substrate,
            cell_nitrogen_g_g: 0.086,
            bed: Bed::INERT,
            carbon_dioxide_factor: 1.0,
            alkalinity_factor: 1.0,
            plant_factor: 1.0,
            temperature_offset_c: 0.0,
            hidden_ammonia_mg_l_n_day: 0.0,
            disinfected_share: 0.0,
            source_nitrate_mg_l_n: 0.0,
        }
    }
}
