//! `--language`: the words of a book in another language, and what a check says of them.

use std::path::Path;

use lentic::advice::LANGUAGES;
use lentic::engine::{Diagnostic, File, translated};
use serde::Serialize;

use super::arguments::files_ending;

/// The files of a book in a language: one that comes with the program, or a folder of `.words` files. `None` where
/// there is neither, as for the language that the book is written in.
pub(crate) fn in_language(files: &[File], language: &str) -> Result<Option<Vec<File>>, String> {
    let Some(words) = words_of(language)? else {
        return Ok(None);
    };
    let translation = translated(files, &words).map_err(|mistakes| mistakes.to_string())?;
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
        let (said, missing, mistakes) = match translated(files, words) {
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
