//! How ammonia becomes nitrate in a new tank, and when it will have done so.

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
pub use forecast::{Forecast, LINES};
pub use kinetics::*;
pub use parameters::{Bed, Parameters, Population, Substrate};
pub use random::Stream;
pub use ranges::{Range, Ranges, Shares, Spread, TRAITS, Trait};
pub use reading::{Quantity, Reading, SLIP_SHARE, Test};
pub use state::{State, Water};
pub use tank::{Change, Event, Held, Source, Tank};
pub use telling::{Telling, most_telling};
