//! The answer as plain data: one shape for Rust, JSON and wasm.

use serde::Serialize;

use crate::engine::{AdvicePoint, Clash, GateAnswer, OpenPoint, SetAside, Withdrawn};

/// Which book an answer comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct BookRef {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// The language it is in (BCP 47).
    pub language: String,
    /// SHA-256 over its files, overlays included, in hexadecimal.
    pub digest: String,
    /// Titles of the overlays that change it.
    pub overlays: Vec<String>,
}

/// Something in the journal that must be asked about before it can be taken as it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Question {
    /// Where it stands, as in `events[3].values.nitrite`.
    pub place: String,
    /// The fact it is about.
    pub fact: String,
    /// The fact's label.
    pub label: String,
    /// What was typed.
    pub typed: String,
    /// The question.
    pub text: String,
}

/// A fact worth finding out, and what it would settle.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Wanted {
    /// The fact.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// The question to ask.
    pub ask: String,
    /// The group it is entered under.
    pub group: String,
    /// The rules it could help to decide, most urgent first.
    pub settles: Vec<String>,
}

/// What the book says on a day about what the journal holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Advice {
    /// `lentic-advice/1`.
    pub format: String,
    /// The day.
    pub date: String,
    /// What the keeper calls the tank, or empty.
    pub tank: String,
    /// The book.
    pub book: BookRef,
    /// The stage of the tank, in words.
    pub stage: String,
    /// Advice that stands, most urgent first.
    pub advice: Vec<AdvicePoint>,
    /// Advice that was beaten by a rule or kept back by a gate.
    pub set_aside: Vec<SetAside>,
    /// What could not be decided.
    pub open: Vec<OpenPoint>,
    /// What to find out next, the most telling first.
    pub wanted: Vec<Wanted>,
    /// The answer of every gate.
    pub gates: Vec<GateAnswer>,
    /// Entries to be asked about.
    pub questions: Vec<Question>,
    /// How many entries are dated after the day; they are left out.
    pub later_entries: usize,
    /// Rules that an overlay withdrew. One of urgency `danger` must be shown wherever advice is.
    pub withdrawn: Vec<Withdrawn>,
    /// Rules that contradict each other: a mistake of the book.
    pub clashes: Vec<Clash>,
}
