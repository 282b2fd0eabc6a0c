//! Lentic reasons with people who start and keep planted freshwater tanks: a rule book in plain text, evaluated over
//! sets of possible values, answers what to do today, why, and what to find out next.
//!
//! ```
//! use lentic::{advice, journal::{Date, Journal}};
//!
//! let journal = Journal::from_json(r#"{
//!     "format": "lentic-journal/1",
//!     "tank": { "start": "dark", "bed": "releasing", "tap-nitrate": "5 mg/L NO3" },
//!     "events": [
//!         { "on": "2026-09-01", "event": "filled" },
//!         { "on": "2026-09-14", "event": "read",
//!           "values": { "total-ammonia": "2.4 mg/L NH4", "nitrite": "1 mg/L NO2", "nitrate": "10 mg/L NO3" } }
//!     ]
//! }"#).expect("a good journal");
//!
//! let book = advice::built_in().expect("a good book");
//! let answer = advice::advise(&book, &journal, Date::parse("2026-09-15").unwrap()).expect("readable entries");
//! for point in &answer.advice {
//!     println!("{:?}: {} {}", point.urgency, point.finding, point.say);
//! }
//! assert!(answer.clashes.is_empty());
//! ```
//!
//! - [`engine`]: rule books over sets of values, for any subject.
//! - [`water`]: chemistry, volumes and doses on plain numbers.
//! - [`journal`]: what a keeper recorded.
//! - [`advice`]: the three joined; what most programs want.

pub mod advice;
pub mod engine;
pub mod journal;
pub mod water;
#[cfg(target_arch = "wasm32")]
pub mod web;
