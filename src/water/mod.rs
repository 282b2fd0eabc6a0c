//! What water does: chemistry, volumes and doses as pure functions on plain numbers.
//!
//! Every name carries its unit (`temperature_c`, `volume_l`, `total_ammonia_mg_l_n`), and every
//! function says in which interval it holds, how far it can be off, how it moves with each
//! argument, and where it comes from. Nothing here is rounded, judged or put into words: a figure
//! that a keeper could dispute is an argument. Official criteria stand here as the functions that were
//! published; whether to heed them is for the rule book to say. Outside its interval a function still
//! returns the formula's value; whoever calls it keeps inputs inside.

pub mod constants;
pub mod nitrification;

mod air;
mod ammonia;
mod ammonia_criteria;
mod ammonia_dose;
mod carbon_dioxide;
mod carbonate;
mod chlorine;
mod density;
mod dilution;
mod feed;
mod hardness;
mod nitrite;
mod oxygen;
mod salts;
mod stoichiometry;
mod volume;

pub use air::*;
pub use ammonia::*;
pub use ammonia_criteria::*;
pub use ammonia_dose::*;
pub use carbon_dioxide::*;
pub use carbonate::*;
pub use chlorine::*;
pub use density::*;
pub use dilution::*;
pub use feed::*;
pub use hardness::*;
pub use nitrite::*;
pub use oxygen::*;
pub use salts::*;
pub use stoichiometry::*;
pub use volume::*;
