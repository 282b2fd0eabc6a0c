//! The built-in book in its languages, and books of a reader's own.

use crate::engine::{Book, File, Lent, Mistakes, Translation, translated};

use super::functions::FUNCTIONS;
use super::phrases;

macro_rules! files {
    ($folder:literal, $ending:literal, [$($name:literal),* $(,)?]) => {
        &[$((
            concat!($folder, $name, $ending),
            include_str!(concat!("../../", $folder, $name, $ending)),
        )),*]
    };
}

/// A file for every chapter, and perhaps some more.
macro_rules! chapters {
    ($folder:literal, $ending:literal $(, $more:literal)*) => {
        files!($folder, $ending, [
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
            "livestock",
            "plants",
            "fit",
            "pairs",
            "amounts",
            "forecast",
            $($more),*
        ])
    };
}

/// Name and text of every file of the built-in book.
pub const BUILT_IN: &[(&str, &str)] = chapters!("rules/", ".rules");

/// A language of the built-in book besides its own.
#[derive(Debug, Clone, Copy)]
pub struct Language {
    /// Its tag (BCP 47).
    pub tag: &'static str,
    /// Name and text of every file of its words.
    pub words: &'static [(&'static str, &'static str)],
}

/// The languages that come with the library. Built for a page they are left out: it fetches those that it needs.
#[cfg(any(feature = "cli", not(target_arch = "wasm32")))]
pub const LANGUAGES: &[Language] = &[Language {
    tag: "de",
    words: chapters!("rules/de/", ".words", "phrases", "formulas", "telling"),
}];

/// The words of a language that comes with the library.
#[cfg(any(feature = "cli", not(target_arch = "wasm32")))]
#[must_use]
pub fn words_of(tag: &str) -> Option<Vec<File>> {
    let language = LANGUAGES.iter().find(|language| language.tag == tag)?;
    Some(listed(language.words))
}

/// The built-in book in other words, and what of it these do not say.
///
/// # Errors
/// All mistakes of the words, each with its place.
pub fn translation(words: &[File]) -> Result<Translation, Mistakes> {
    translation_of(&listed(BUILT_IN), words)
}

/// The same for a book of one's own.
///
/// # Errors
/// All mistakes of the words, each with its place.
pub fn translation_of(files: &[File], words: &[File]) -> Result<Translation, Mistakes> {
    let (functions, sayings) = (FUNCTIONS, &phrases::all());
    translated(files, words, Lent { functions, sayings })
}

/// Reads the built-in book in other words, with a reader's own overlays, which stay as they are written.
///
/// # Errors
/// All mistakes of the words, or else of the book as the overlays make it, each with its place.
pub fn in_words(words: &[File], overlays: Vec<File>) -> Result<Book, Mistakes> {
    let own = translation(words)?.files.into_iter();
    with(own, overlays)
}

fn listed(files: &[(&str, &str)]) -> Vec<File> {
    let file = |(name, text): &(&str, &str)| File::new(*name, *text);
    files.iter().map(file).collect()
}

/// Reads the built-in book.
///
/// # Errors
/// Mistakes in the book; a test holds that there are none.
pub fn built_in() -> Result<Book, Mistakes> {
    with_overlays(Vec::new())
}

/// Reads the built-in book with a reader's own overlays.
///
/// # Errors
/// All mistakes of the book as the overlays make it, each with its place.
pub fn with_overlays(overlays: Vec<File>) -> Result<Book, Mistakes> {
    with(listed(BUILT_IN).into_iter(), overlays)
}

/// Only what an overlay does to the built-in book can make its cases wrong.
fn with(own: impl Iterator<Item = File>, overlays: Vec<File>) -> Result<Book, Mistakes> {
    if !overlays.is_empty() {
        return load(own.chain(overlays).collect());
    }
    let (functions, sayings) = (FUNCTIONS, &phrases::all());
    Book::load_known(own.collect(), Lent { functions, sayings })
}

/// Reads a book from files, with the functions of water that its rules may call.
///
/// # Errors
/// All mistakes of all files, each with its place.
pub fn load(files: Vec<File>) -> Result<Book, Mistakes> {
    let (functions, sayings) = (FUNCTIONS, &phrases::all());
    Book::load_with(files, Lent { functions, sayings })
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
