//! `--language`: the words of a book in another language, and what a check says of them.

use std::path::Path;

use lentic::advice::{LANGUAGES, translation_of};
use lentic::engine::{Diagnostic, File};
use serde::Serialize;

use super::arguments::files_ending;

/// The files of a book in a language: one that comes with the program, or a folder of `.words` files. `None` where
/// there is neither, as for the language that the book is written in.
pub(crate) fn in_language(files: &[File], language: &str) -> Result<Option<Vec<File>>, String> {
    let Some(words) = words_of(language)? else {
        return Ok(None);
    };
    let translation = translation_of(files, &words).map_err(|mistakes| mistakes.to_string())?;
    Ok(Some(translation.files))
}

/// The words of a language that comes with the program, or of a folder.
pub(crate) fn words_of(language: &str) -> Result<Option<Vec<File>>, String> {
    match lentic::words_of(language) {
        None if Path::new(language).is_dir() => {
            files_ending(&[language.to_owned()], ".words").map(Some)
        }
        words => Ok(words),
    }
}

/// The languages of a book: the folders within its own that hold words, by their names.
pub(crate) fn languages_in(folder: &str) -> Result<Vec<(String, Vec<File>)>, String> {
    let mut found = Vec::new();
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Ok(found);
    };
    for entry in entries {
        let path = entry.map_err(|error| format!("{folder}: {error}"))?.path();
        if path.is_dir() {
            let words = files_ending(&[path.to_string_lossy().into_owned()], ".words")?;
            let name = path.file_name().unwrap_or_default();
            found.push((name.to_string_lossy().into_owned(), words));
        }
    }
    found.retain(|(_, words)| !words.is_empty());
    found.sort_by(|(one, _), (other, _)| one.cmp(other));
    Ok(found)
}

/// How far a book is said in a language.
#[derive(Serialize)]
pub(crate) struct Spoken {
    /// As it was asked for.
    pub language: String,
    /// How many pieces of the book are said.
    pub said: usize,
    /// Those that are not.
    pub missing: Vec<Diagnostic>,
    /// What is wrong with the words.
    pub mistakes: Vec<Diagnostic>,
}

impl Spoken {
    /// What the words of a language say of a book.
    pub fn of(files: &[File], language: &str, words: &[File]) -> Spoken {
        let (said, missing, mistakes) = match translation_of(files, words) {
            Ok(translation) => (translation.said, translation.missing, Vec::new()),
            Err(mistakes) => (0, Vec::new(), mistakes.0),
        };
        Spoken {
            language: language.to_owned(),
            said,
            missing,
            mistakes,
        }
    }

    pub fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.mistakes.is_empty()
    }
}

/// What is said of a language that there is none of.
pub(crate) fn no_language(language: &str) -> String {
    let known: Vec<&str> = LANGUAGES.iter().map(|known| known.tag).collect();
    format!(
        "--language: the book is not in `{language}`; give one of {}, or a folder of .words files",
        known.join(", ")
    )
}
