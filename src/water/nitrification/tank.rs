//! What the keeper knows of a tank: how it was filled, and what was done to it.

/// Water that is poured in.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Source {
    /// Total ammonia, in mg/L as N.
    pub ammonia_mg_l_n: f64,
    /// Nitrite, in mg/L as N.
    pub nitrite_mg_l_n: f64,
    /// Nitrate, in mg/L as N.
    pub nitrate_mg_l_n: f64,
    /// Alkalinity, in mg/L as CaCO₃.
    pub alkalinity_mg_l_caco3: f64,
}

/// Something done to the tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// A share of the water, 0 to 1, replaced by source water.
    Water {
        /// Share replaced.
        share: f64,
        /// What came in.
        source: Source,
    },
    /// What had evaporated, a share of the water, replaced by source water. Between two top-ups
    /// the model leaves concentrations as if nothing had evaporated: they are low by the share.
    TopUp {
        /// Share replaced.
        share: f64,
        /// What came in.
        source: Source,
    },
    /// Substances added, by what they raise each concentration.
    Dose(Source),
    /// From now on the water has this temperature, in °C.
    Temperature(f64),
    /// From now on the water holds this carbon dioxide, in mg/L.
    CarbonDioxide(f64),
    /// From now on plants take up at most this much nitrogen, in mg/L per day, ammonia first.
    Plants(f64),
    /// From now on food gives off this much ammonia, in mg/L as N per day.
    Food(f64),
}

/// A change and when it was made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// Days since filling, 0 or more.
    pub day: f64,
    /// What was done.
    pub change: Change,
}

/// Conditions that a controller or a laboratory keeps fixed; none in an ordinary tank.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Held {
    /// pH that alkalinity and carbon dioxide cannot move.
    pub ph: Option<f64>,
    /// Oxygen that no consumption can lower, in mg/L.
    pub oxygen_mg_l: Option<f64>,
}

/// A tank as its record tells it.
#[derive(Debug, Clone, PartialEq)]
pub struct Tank {
    /// Bed that releases ammonia, in kg for each litre of water; 0 for an inert bed.
    pub bed_kg_l: f64,
    /// Water it was filled with.
    pub filled_with: Source,
    /// Temperature at filling, in °C; 5 to 35.
    pub temperature_c: f64,
    /// Carbon dioxide at filling, in mg/L; 0.3 to 100. About 0.6 at rest in fresh air.
    pub carbon_dioxide_mg_l: f64,
    /// Share of the missing oxygen that the surface takes up in a day; 5 to 200.
    pub aeration_per_day: f64,
    /// What is held fixed.
    pub held: Held,
    /// What was done, in order of the days. Readings of the same day come first.
    pub events: Vec<Event>,
}

impl Tank {
    /// A tank without a releasing bed, at 25 °C, with 1.5 mg/L of carbon dioxide and an aeration
    /// of 40 per day (an assumption: half of a deficit gone in 25 minutes), and no events.
    pub fn filled_with(source: Source) -> Self {
        Self {
            bed_kg_l: 0.0,
            filled_with: source,
            temperature_c: 25.0,
            carbon_dioxide_mg_l: 1.5,
            aeration_per_day: 40.0,
            held: Held::default(),
            events: Vec::new(),
        }
    }
}
