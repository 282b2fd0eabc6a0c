//! How far tanks can differ: the ranges that an ensemble is drawn from.

use super::parameters::Parameters;
use super::tank::Tank;

/// What the way into the attached film adds to a half-saturation. An assumption, after P082: below
/// the range of tests the rate of a film is first order, whatever its cells could do.
const FILM_MG_L_N: f64 = 0.02;

/// How a value is spread between the ends of its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// Evenly.
    Even,
    /// Its logarithm evenly.
    Logarithm,
}

/// One range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Lower end, above 0 if the logarithm is spread.
    pub low: f64,
    /// Upper end; equal to the lower for what is known.
    pub high: f64,
    /// How values lie between.
    pub spread: Spread,
}

impl Range {
    /// Values spread evenly.
    pub const fn even(low: f64, high: f64) -> Self {
        let spread = Spread::Even;
        Self { low, high, spread }
    }

    /// Values whose logarithm is spread evenly.
    pub const fn logarithm(low: f64, high: f64) -> Self {
        let spread = Spread::Logarithm;
        Self { low, high, spread }
    }

    /// One value.
    pub const fn known(value: f64) -> Self {
        Self::even(value, value)
    }

    /// Value at a share of the way, 0 to 1.
    pub fn at(&self, share: f64) -> f64 {
        match self.spread {
            Spread::Even => self.low + share * (self.high - self.low),
            Spread::Logarithm => self.low * libm::exp(share * libm::log(self.high / self.low)),
        }
    }

    fn is_known(&self) -> bool {
        self.low == self.high
    }
}

/// What is drawn for a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trait {
    /// Growth of ammonia oxidisers at 20 °C, per day.
    AmmoniaGrowth,
    /// Growth of nitrite oxidisers at 20 °C, per day.
    NitriteGrowth,
    /// Decay of ammonia oxidisers at 20 °C, per day.
    AmmoniaDecay,
    /// Decay of nitrite oxidisers at 20 °C, per day.
    NitriteDecay,
    /// Half-saturation in free ammonia, in mg/L as N.
    AmmoniaHalfSaturation,
    /// Half-saturation in ammonium, in mg/L as N.
    AmmoniumHalfSaturation,
    /// Half-saturation in free nitrous acid, in mg/L as N.
    NitrousAcidHalfSaturation,
    /// Half-saturation in nitrite, in mg/L as N.
    NitriteHalfSaturation,
    /// Yield of ammonia oxidisers, in g COD/g N.
    AmmoniaYield,
    /// Yield of nitrite oxidisers, in g COD/g N.
    NitriteYield,
    /// Free ammonia that inhibits ammonia oxidisers, in mg/L as N.
    AmmoniaInhibition,
    /// Free ammonia that inhibits nitrite oxidisers, in mg/L as N.
    NitriteInhibition,
    /// Ammonia oxidisers at filling, in mg COD/L.
    AmmoniaStart,
    /// Nitrite oxidisers at filling, in mg COD/L.
    NitriteStart,
    /// Nitrogen that a releasing bed holds, in mg for each kg.
    Pool,
    /// Share of the pool that dissolves at once.
    Prompt,
    /// Release at 35 °C, share of the pool per day.
    Release,
    /// Alkalinity released with ammonia, in eq/mol.
    ReleasedAlkalinity,
    /// Share by which a releasing bed brings alkalinity nearer to its own, per day.
    AlkalinityUptake,
    /// Alkalinity that a releasing bed holds the water to, in mg/L as CaCO₃.
    OwnAlkalinity,
    /// Factor on the told alkalinity.
    Alkalinity,
    /// Factor on the told carbon dioxide.
    CarbonDioxide,
    /// Factor on the told uptake of plants.
    PlantUptake,
    /// True less told temperature, in °C.
    Temperature,
    /// Ammonia from a source not told of, in mg/L as N per day.
    Hidden,
    /// Share of cells killed by a change of all the water.
    Disinfection,
    /// Nitrate of new water beyond the told, in mg/L as N.
    SourceNitrate,
}

/// How many traits there are.
pub const TRAITS: usize = Trait::SourceNitrate as usize + 1;

/// A tank's traits as shares of the way through each range.
pub type Shares = [f64; TRAITS];

/// A range for each trait.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranges([Range; TRAITS]);

impl Ranges {
    /// Ranges from the literature, each with its row in the tables of `tests/reference/`:
    /// P for `nitrification_parameters`, S for `soil_ammonia_release_data`, T for
    /// `nitrification_stoichiometry`. Figures from elsewhere have their source beside them; of most
    /// the abstract alone was read. An assumption is called one: for it no range was found.
    ///
    /// A half-saturation published in free ammonia or nitrous acid stands in the range of the free
    /// form, one published in total ammonia or nitrite in that of the ion. Cells fed by the free form
    /// alone would all but stop in sour water, and those of attached films do not: at pH 4.3 and 9
    /// mg/L of ammonium a fixed bed nitrified as fast, for its cells, as others at the best pH (Tarre
    /// and Green 2004, Appl. Environ. Microbiol. 70:6481), and at pH 5 its kinetics were as above 7
    /// (Water Sci. Technol. 49(11-12):99). Against it stand a river in which pH 5 stopped the first
    /// step (Ecohydrol. Hydrobiol. 2019, 19:54), and a change of species that took four weeks (Water
    /// Sci. Technol. 55(8-9):363).
    pub fn published() -> Self {
        let mut ranges = [Range::known(0.0); TRAITS];
        let mut set = |of: Trait, range: Range| ranges[of as usize] = range;
        // P045 (range 0.33 to 1.0); P030, P058 and P078 lie in it.
        set(Trait::AmmoniaGrowth, Range::logarithm(0.33, 1.0));
        // P046 (0.7 to 1.8) and below it P059 (0.64 to 0.70); P031 and P079 lie in it.
        set(Trait::NitriteGrowth, Range::logarithm(0.64, 1.8));
        // From acclimatised sludge (0.02 even at 36 °C, Water Sci. Technol. 81(1):62) over P027
        // (0.04) and P032 (0.096) to P051 and P052 (0.17).
        set(Trait::AmmoniaDecay, Range::logarithm(0.02, 0.17));
        set(Trait::NitriteDecay, Range::logarithm(0.02, 0.17));
        // Up to P074 (0.028); P036 lies in it. The lower end is from memory: comammox of Kits et al.
        // 2017 (0.05 µmol/L). Archaea outnumbered bacteria in 23 of 27 filters of freshwater aquaria
        // (Sauder et al. 2011, PLoS ONE 6:e23281), comammox lived beside them in one of a fish farm
        // (Bartelme et al. 2017, Front. Microbiol. 8:101).
        set(
            Trait::AmmoniaHalfSaturation,
            Range::logarithm(0.0007, 0.028),
        );
        // From P007 and P047 (0.14), as the acid bed's kinetics were no others; they end at 5.0. The
        // upper end is an assumption: there the ion no longer feeds what decays, as in the river.
        set(Trait::AmmoniumHalfSaturation, Range::logarithm(0.14, 30.0));
        // P075 and P037.
        set(
            Trait::NitrousAcidHalfSaturation,
            Range::logarithm(3.2e-5, 1e-4),
        );
        // From P048 (0.05) to P012 (3.0). Nitrospira, which filters of fresh water hold, lie low: 6
        // and 10 µmol/L (Ushiki et al. 2017, J. Biosci. Bioeng.), and 4 for one
        // from a pond that grows best at pH 6 (Kim, Kamagata and Park, PMC12542776).
        set(Trait::NitriteHalfSaturation, Range::logarithm(0.05, 3.0));
        // P010 and P014.
        set(Trait::AmmoniaYield, Range::even(0.11, 0.21));
        set(Trait::NitriteYield, Range::even(0.03, 0.09));
        // From P040 (1.0) to P071 (27 mg/L as NH3).
        set(Trait::AmmoniaInhibition, Range::logarithm(1.0, 22.0));
        // From P065 (0.1 mg/L as NH3) to P068 (10); P042 and P070 lie in it.
        set(Trait::NitriteInhibition, Range::logarithm(0.082, 10.0));
        // At 0.4 pg COD a cell, an assumption: from 2 cells/mL, amid the less than 0.2 to more than 300
        // of chloraminated water (Wolfe et al. 1990, Appl. Environ. Microbiol. 56:451), to what 0.1
        // kg/L of field soil holds (up to 190 000 a gram of the first, more of the second, counted in
        // an arable soil over three years; scilit.com/publications/5193bd98a1b1b530c0f9c296621c2ed0).
        // A handful of mature media is more; a caller can tell of it.
        // With it the ensemble spans the start-up times of P080 and P081; a test holds it to them.
        set(Trait::AmmoniaStart, Range::logarithm(1e-6, 0.01));
        set(Trait::NitriteStart, Range::logarithm(1e-6, 0.01));
        // From S001 (20 mg/kg) to S012 (340); S006 lies in it.
        set(Trait::Pool, Range::logarithm(20.0, 340.0));
        // An assumption, after S011 (drying and flooding frees much at once).
        set(Trait::Prompt, Range::even(0.0, 0.3));
        // S007.
        set(Trait::Release, Range::logarithm(0.027, 0.155));
        // From T008: none from ammonium salts, one from organic matter.
        set(Trait::ReleasedAlkalinity, Range::even(0.0, 1.0));
        // An assumption: at most half of the alkalinity in a week.
        set(Trait::AlkalinityUptake, Range::even(0.0, 0.1));
        // An assumption: the exchange sites of a rich bed hold the water between a tenth of a
        // degree and two, and give as well as take.
        set(Trait::OwnAlkalinity, Range::even(2.0, 40.0));
        // Assumptions: a test of hardness is a fifth off, and carbon dioxide without added gas
        // lies between rest in fresh air and three times the told.
        set(Trait::Alkalinity, Range::logarithm(0.8, 1.25));
        set(Trait::CarbonDioxide, Range::logarithm(0.4, 3.0));
        // An assumption: what plants take up is hard to tell.
        set(Trait::PlantUptake, Range::logarithm(0.3, 3.0));
        // An assumption: a thermometer's error.
        set(Trait::Temperature, Range::even(-1.0, 1.0));
        Self(ranges)
    }

    /// The same with another range for a trait.
    pub fn with(mut self, of: Trait, range: Range) -> Self {
        self.0[of as usize] = range;
        self
    }

    /// The range of a trait.
    pub fn of(&self, of: Trait) -> &Range {
        &self.0[of as usize]
    }

    /// Traits that can make a difference to a tank and are not known, by their place in [`Shares`]. Plants
    /// and new water may still come, by a plan.
    pub fn open(&self, tank: &Tank) -> Vec<usize> {
        let bed = Trait::Pool as usize..=Trait::OwnAlkalinity as usize;
        let matters = |index: usize| tank.bed_kg_l > 0.0 || !bed.contains(&index);
        (0..TRAITS)
            .filter(|&index| !self.0[index].is_known() && matters(index))
            .collect()
    }

    /// The parameters of a tank.
    ///
    /// - `shares`: 0 to 1 each
    /// - `bed_kg_l`: releasing bed for each litre of water; without it the bed is inert
    pub fn parameters(&self, shares: &Shares, bed_kg_l: f64) -> Parameters {
        let value = |of: Trait| self.0[of as usize].at(shares[of as usize]);
        let (start, second) = (value(Trait::AmmoniaStart), value(Trait::NitriteStart));
        let mut parameters = Parameters::hiatt_grady(start, second);
        let one = &mut parameters.ammonia_oxidisers;
        one.growth_per_day = value(Trait::AmmoniaGrowth);
        one.decay_per_day = value(Trait::AmmoniaDecay);
        one.half_saturation_mg_l_n = value(Trait::AmmoniaHalfSaturation);
        one.half_saturation_ion_mg_l_n = value(Trait::AmmoniumHalfSaturation);
        one.yield_g_g = value(Trait::AmmoniaYield);
        one.food_inhibition_mg_l_n = value(Trait::AmmoniaInhibition);
        let two = &mut parameters.nitrite_oxidisers;
        two.growth_per_day = value(Trait::NitriteGrowth);
        two.decay_per_day = value(Trait::NitriteDecay);
        two.half_saturation_mg_l_n = value(Trait::NitrousAcidHalfSaturation);
        two.half_saturation_ion_mg_l_n = value(Trait::NitriteHalfSaturation);
        two.yield_g_g = value(Trait::NitriteYield);
        two.cross_inhibition_mg_l_n = value(Trait::NitriteInhibition);
        one.film_mg_l_n = FILM_MG_L_N;
        two.film_mg_l_n = FILM_MG_L_N;
        if bed_kg_l > 0.0 {
            let bed = &mut parameters.bed;
            bed.pool_mg_l_n = bed_kg_l * value(Trait::Pool);
            bed.prompt_share = value(Trait::Prompt);
            bed.release_per_day = value(Trait::Release);
            bed.released_alkalinity_eq_mol = value(Trait::ReleasedAlkalinity);
            bed.alkalinity_uptake_per_day = value(Trait::AlkalinityUptake);
            bed.own_alkalinity_mg_l_caco3 = value(Trait::OwnAlkalinity);
        }
        parameters.alkalinity_factor = value(Trait::Alkalinity);
        parameters.carbon_dioxide_factor = value(Trait::CarbonDioxide);
        parameters.plant_factor = value(Trait::PlantUptake);
        parameters.temperature_offset_c = value(Trait::Temperature);
        parameters.hidden_ammonia_mg_l_n_day = value(Trait::Hidden);
        parameters.disinfected_share = value(Trait::Disinfection);
        parameters.source_nitrate_mg_l_n = value(Trait::SourceNitrate);
        parameters
    }
}
