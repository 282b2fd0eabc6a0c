//! Lentic reasons with people who start and keep planted freshwater tanks: a rule book in plain text, evaluated over
//! sets of possible values, answers what to do today, why, and what to find out next.
//!
//! # A keeper's case
//!
//! ```
//! use lentic::{Date, Journal, Why};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let journal = Journal::from_json(r#"{
//!     "format": "lentic-journal/1",
//!     "tank": { "start": "dark", "bed": "releasing", "tap-nitrate": "5 mg/L NO3" },
//!     "events": [
//!         { "on": "2026-09-01", "event": "filled" },
//!         { "on": "2026-09-14", "event": "read",
//!           "values": { "total-ammonia": "2.4 mg/L NH4", "nitrite": "1 mg/L NO2", "nitrate": "10 mg/L NO3" } }
//!     ]
//! }"#)?;
//! let today = Date::parse("2026-09-15")?;
//!
//! let book = lentic::built_in()?;
//! let answer = lentic::advise(&book, &journal, today)?;
//! for point in &answer.advice {
//!     println!("{:?}: {} {}", point.urgency, point.finding, point.say);
//! }
//! assert!(answer.clashes.is_empty());
//!
//! // Why, down to the reading as it was typed.
//! let Some(Why::Fact(ammonia)) = lentic::why(&book, &journal, today, "total-ammonia")? else {
//!     panic!("the book has this fact");
//! };
//! assert_eq!(ammonia.typed.as_deref(), Some("2.4 mg/L NH4"));
//!
//! // What is wrong in a journal is told with its place.
//! let wrong = r#"{ "format": "lentic-journal/1", "tank": {}, "events": [{ "on": "2026-09-31", "event": "filled" }] }"#;
//! assert_eq!(Journal::from_json(wrong).unwrap_err()[0].place, "events[0].on");
//! # Ok(())
//! # }
//! ```
//!
//! Its neighbours: [`may`] asks the gates alone, [`advice::next_tests`] what to find out next, [`advice::what_if`] what
//! would differ, [`advice::forecast`] what the water will do, [`advice::record`] keeps an answer to be checked later.
//!
//! # Rules of one's own
//!
//! An overlay changes the built-in book without touching it; answers say whose rule it is.
//!
//! ```
//! use lentic::{Date, File, Journal};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let overlay = File::new("club.rules", r#"
//! overlay reed-club
//!   title  Reed Club's own rules
//!   about  What we ask of each other.
//!
//! rule club-evening
//!   during   cycling
//!   when     start is dark
//!   advise   know
//!   urgency  note
//!   if open  silent
//!   finding  Your dark start is on day {day}.
//!   advice   Bring a water sample to the club evening.
//!   because  We test it with you.
//!   source   trade
//!   holds    stage cycling, start dark
//!   fails    stage cycling, start fed
//! "#);
//! let book = lentic::with_overlays(vec![overlay])?;
//! assert!(book.run_cases().failed.is_empty());
//!
//! let journal = Journal::from_json(r#"{ "format": "lentic-journal/1", "tank": { "start": "dark" },
//!     "events": [{ "on": "2026-09-01", "event": "filled" }] }"#)?;
//! let answer = lentic::advise(&book, &journal, Date::parse("2026-09-10")?)?;
//! let point = answer.advice.iter().find(|point| point.rule == "club-evening").expect("it speaks");
//! assert_eq!(point.by, "Reed Club's own rules");
//! # Ok(())
//! # }
//! ```
//!
//! # Another language
//!
//! The book comes in German too; words of any other language are put into it in the same way. Names, conditions and
//! figures stay those of the one book.
//!
//! ```
//! use lentic::{Date, Journal};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let words = lentic::words_of("de").expect("German comes with the library");
//! let book = lentic::in_words(&words, Vec::new())?;
//! let journal = Journal::from_json(r#"{ "format": "lentic-journal/1", "tank": { "start": "dark" },
//!     "events": [{ "on": "2026-09-01", "event": "filled" }] }"#)?;
//! let answer = lentic::advise(&book, &journal, Date::parse("2026-09-10")?)?;
//! assert_eq!((answer.book.language.as_str(), answer.stage.as_str()), ("de", "Einfahren"));
//! # Ok(())
//! # }
//! ```
//!
//! # Another subject
//!
//! The engine knows no word of any subject: here it waters a bed.
//!
//! ```
//! use lentic::engine::{Book, Facts, File, Given, Verdict};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let text = r#"
//! book bed
//!   title     The bed behind the shed
//!   edition   1
//!   language  en
//!   today     today
//!
//! unit day
//!   is    base time
//!   also  days
//!
//! unit %
//!   is  0.01
//!
//! source habit
//!   title  What gardeners do
//!   kind   common practice
//!
//! action water
//!   label  Water
//!
//! fact today
//!   kind  date
//!
//! fact moisture
//!   kind   number
//!   unit   %
//!   range  0 to 100 %
//!
//! rule bed-dry
//!   when     moisture < 30 %
//!   advise   water
//!   urgency  today
//!   if open  ask
//!   finding  The bed holds {moisture}.
//!   advice   Water it.
//!   because  Roots take up nothing from dry soil.
//!   source   habit
//!   holds    moisture 20 %
//!   fails    moisture 40 %
//! "#;
//! let book = Book::load(vec![File::new("bed.rules", text)], &[])?;
//!
//! let mut facts = Facts::default();
//! assert_eq!(book.evaluate(&facts).rule("bed-dry"), Some(Verdict::Open));
//!
//! let entered = book.enter("moisture", "20 %")?;
//! facts.give(&book, "moisture", Given::typed(entered.set, "20 %"));
//! let answer = book.evaluate(&facts).answer();
//! assert_eq!(answer.advice[0].finding, "The bed holds 20 %.");
//! # Ok(())
//! # }
//! ```
//!
//! # Features
//!
//! - `cli` (default): the program `lentic`. A library needs none: `default-features = false`.
//! - `wasm`: the face for JavaScript, and TypeScript types of all answers; `proof` adds the checker of books to it.
//!
//! # Rooms
//!
//! - [`engine`]: rule books over sets of values, for any subject.
//! - [`water`]: chemistry, volumes and doses on plain numbers.
//! - [`journal`]: what a keeper recorded.
//! - [`advice`]: the three joined; what most programs want.

pub mod advice;
pub mod engine;
pub mod journal;
pub mod water;
#[cfg(feature = "page")]
pub mod web;

#[cfg(any(feature = "cli", not(target_arch = "wasm32")))]
pub use advice::words_of;
pub use advice::{Advice, Why, advise, built_in, in_words, may, why, with_overlays};
pub use engine::{Book, File};
pub use journal::{Date, Journal};
