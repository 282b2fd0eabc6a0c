//! The water at a moment, and the books of its nitrogen.

use super::parameters::Parameters;
use super::tank::{Change, Source};

/// Not even disinfection leaves a logarithm of nothing.
const FEWEST_SURVIVORS: f64 = 1e-9;

/// Everything that the model follows, for each litre of water.
///
/// A form of nitrogen that has run out can stand below zero by a few times the
/// tolerance of the course.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct State {
    /// Nitrogen that the bed can still release, in mg/L.
    pub pool_mg_l_n: f64,
    /// Total ammonia, in mg/L as N.
    pub ammonia_mg_l_n: f64,
    /// Nitrite, in mg/L as N.
    pub nitrite_mg_l_n: f64,
    /// Nitrate, in mg/L as N.
    pub nitrate_mg_l_n: f64,
    /// Natural logarithm of the ammonia oxidisers, in mg COD/L.
    pub ln_ammonia_oxidisers: f64,
    /// Natural logarithm of the nitrite oxidisers, in mg COD/L.
    pub ln_nitrite_oxidisers: f64,
    /// Alkalinity, in mg/L as CaCO₃; below zero in water that holds free acid.
    pub alkalinity_mg_l_caco3: f64,
    /// Oxygen, in mg/L.
    pub oxygen_mg_l: f64,
    /// Nitrogen taken into cells so far, living and dead, in mg/L.
    pub cells_mg_l_n: f64,
    /// Nitrogen taken up by plants so far, in mg/L.
    pub plants_mg_l_n: f64,
    /// Nitrogen that came in after filling: changes, doses, food, in mg/L.
    pub added_mg_l_n: f64,
    /// Nitrogen that left with water, in mg/L.
    pub removed_mg_l_n: f64,
}

/// What tests can read of the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// Total ammonia, in mg/L as N.
    pub ammonia_mg_l_n: f64,
    /// Nitrite, in mg/L as N.
    pub nitrite_mg_l_n: f64,
    /// Nitrate, in mg/L as N.
    pub nitrate_mg_l_n: f64,
    /// pH.
    pub ph: f64,
    /// Alkalinity, in mg/L as CaCO₃.
    pub alkalinity_mg_l_caco3: f64,
}

impl State {
    /// All nitrogen there is and was, less what came, in mg/L: the same at every moment of a
    /// course, to rounding.
    pub fn nitrogen_balance_mg_l(&self) -> f64 {
        let held = self.pool_mg_l_n + self.cells_mg_l_n + self.plants_mg_l_n;
        let dissolved = self.ammonia_mg_l_n + self.nitrite_mg_l_n + self.nitrate_mg_l_n;
        held + dissolved + self.removed_mg_l_n - self.added_mg_l_n
    }

    /// Applies what changes the water at once; what changes its rates is [`Rates::follow`].
    pub(super) fn apply(&mut self, change: &Change, parameters: &Parameters) {
        match *change {
            Change::Water { share, source } => {
                self.remove(share);
                self.add(&parameters.poured(&source), share);
                let disinfected = parameters.disinfected_share;
                if disinfected > 0.0 {
                    let survivors = libm::log((1.0 - share * disinfected).max(FEWEST_SURVIVORS));
                    self.ln_ammonia_oxidisers += survivors;
                    self.ln_nitrite_oxidisers += survivors;
                }
            }
            Change::TopUp { share, source } => self.add(&parameters.poured(&source), share),
            Change::Dose(source) => self.add(&source, 1.0),
            _ => {}
        }
    }

    fn remove(&mut self, share: f64) {
        let forms = [
            &mut self.ammonia_mg_l_n,
            &mut self.nitrite_mg_l_n,
            &mut self.nitrate_mg_l_n,
        ];
        for form in forms {
            let gone = share * *form;
            *form -= gone;
            self.removed_mg_l_n += gone;
        }
        self.alkalinity_mg_l_caco3 -= share * self.alkalinity_mg_l_caco3;
    }

    fn add(&mut self, source: &Source, share: f64) {
        let pairs = [
            (&mut self.ammonia_mg_l_n, source.ammonia_mg_l_n),
            (&mut self.nitrite_mg_l_n, source.nitrite_mg_l_n),
            (&mut self.nitrate_mg_l_n, source.nitrate_mg_l_n),
        ];
        for (form, incoming) in pairs {
            *form += share * incoming;
            self.added_mg_l_n += share * incoming;
        }
        self.alkalinity_mg_l_caco3 += share * source.alkalinity_mg_l_caco3;
    }
}
