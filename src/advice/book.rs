//! The built-in book, and books of a reader's own.

use crate::engine::{Book, File, Mistakes};

use super::functions::FUNCTIONS;

macro_rules! chapters {
    ($($name:literal),* $(,)?) => {
        &[$((concat!("rules/", $name, ".rules"), include_str!(concat!("../../rules/", $name, ".rules")))),*]
    };
}

/// Name and text of every file of the built-in book.
pub const BUILT_IN: &[(&str, &str)] = chapters![
    "book",
    "units",
    "words",
    "sources",
    "cautions",
    "actions",
    "readings",
    "stages",
    "setting-up",
    "starting",
    "cycle",
    "disagree",
    "dark-start",
    "planted-start",
    "inert-start",
    "planting-day",
    "planting",
    "algae",
    "growing",
    "animals",
    "danger",
    "breath",
    "emergencies",
    "running",
    "wild",
    "plants",
    "amounts",
    "forecast",
];

/// Reads the built-in book.
///
/// # Errors
/// Mistakes in the book; a test holds that there are none.
pub fn built_in() -> Result<Book, Mistakes> {
    load(
        BUILT_IN
            .iter()
            .map(|(name, text)| File::new(*name, *text))
            .collect(),
    )
}

/// Reads the built-in book with a reader's own overlays.
///
/// # Errors
/// All mistakes of the book as the overlays make it, each with its place.
pub fn with_overlays(overlays: Vec<File>) -> Result<Book, Mistakes> {
    let own = BUILT_IN.iter().map(|(name, text)| File::new(*name, *text));
    load(own.chain(overlays).collect())
}

/// Reads a book from files, with the functions of water that its rules may call.
///
/// # Errors
/// All mistakes of all files, each with its place.
pub fn load(files: Vec<File>) -> Result<Book, Mistakes> {
    Book::load(files, FUNCTIONS)
}

/// Names of facts, derived facts and tables that the advisor fills or reads, and of sources that only its formulas
/// rest on.
#[must_use]
pub fn names_read() -> Vec<&'static str> {
    let names = super::names::ALL.into_iter();
    names.chain(super::names::SOURCES).collect()
}

/// Names that the advisor fills from a journal or looks up, and that `book` lacks. What is lacking is left out.
#[must_use]
pub fn missing_names(book: &Book) -> Vec<&'static str> {
    super::names::ALL
        .into_iter()
        .filter(|name| !book.knows(name))
        .collect()
}
