//! How ammonia becomes nitrate in a new tank, and when it will have done so.
//!
//! A [`Tank`] is what the keeper knows: water, bed, and dated [`Event`]s. [`Parameters`] are what
//! nobody knows. [`states`] follows one through the other: a bed releases ammonia, first order from
//! a pool; two attached populations (Hiatt and Grady 2008), fed by free forms and ions, make it
//! nitrite and nitrate, held back by free ammonia, nitrous acid, lack of oxygen and cold; alkalinity
//! is used and pH follows it.
//!
//! [`fit`] draws an ensemble from published [`Ranges`] and bends it to the keeper's [`Reading`]s;
//! [`Fit::forecast`] runs it on under these or other events; [`Forecast::bands`],
//! [`Forecast::chance_by`] and [`most_telling`] ask it; [`explanations`] tries reasons for a
//! [`Misfit`]. What counts as done or as too much is the caller's to say.
//!
//! Limits: no published series of readings from a real tank is known to us, so the bands are
//! calibrated on tanks drawn from the same ranges, and are too narrow for tanks of another kind.
//! One-step nitrifiers and archaea are stood for by a low half-saturation. Left out: denitrification,
//! return of dead cells to the bed, phosphate, light, acids other than carbonic, and lack of carbon:
//! a film was slower below 45 mg/L of carbonate alkalinity at whatever pH (Water Environ. Res. 2003,
//! 75(3)).
//!
//! ```
//! use lentic::water::nitrification::*;
//! let mut tank = Tank::filled_with(Source { alkalinity_mg_l_caco3: 90.0, ..Source::default() });
//! tank.bed_kg_l = 0.05;
//! let reading = Reading {
//!     day: 6.0,
//!     quantity: Quantity::Ammonia,
//!     low: 1.2,
//!     high: 2.4,
//!     deviation: 0.05,
//!     relative_deviation: 0.15,
//! };
//! let settings = Settings { members: 50, ..Settings::default() };
//! let fit = fit(&tank, &[reading], &Ranges::published(), settings);
//! let forecast = fit.forecast(&tank, 20);
//! let [low, .., high] = forecast.bands(Quantity::Ammonia)[6];
//! assert!(low < 2.4 && high > 1.2);
//! ```

mod cause;
mod course;
mod ensemble;
mod fit;
mod forecast;
mod kinetics;
mod parameters;
mod random;
mod ranges;
mod rates;
mod reading;
mod state;
mod step;
mod tank;
mod telling;

pub use cause::{Cause, Explanation, explanations};
pub use course::{Equations, states, waters};
pub use fit::{Fit, Misfit, Settings, fit};
pub use forecast::{Forecast, LINES, Walk};
pub use kinetics::*;
pub use parameters::{Bed, Parameters, Population, Substrate};
pub use random::Stream;
pub use ranges::{Range, Ranges, Shares, Spread, TRAITS, Trait};
pub use reading::{Quantity, Reading, SLIP_SHARE, Test};
pub use state::{State, Water};
pub use tank::{Change, Event, Held, Source, Tank};
pub use telling::{Telling, most_telling};
