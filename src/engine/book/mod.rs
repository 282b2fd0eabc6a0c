//! A rule book: read, checked and ready to be run.

mod block;
pub(crate) mod body;
pub(crate) mod case;
mod column;
pub(crate) mod list;
pub(crate) mod message;
pub(crate) mod order;
pub(crate) mod overlay;
pub(crate) mod read;
pub(crate) mod rule;
pub(crate) mod shape;
pub(crate) mod text;
mod units;
pub(crate) mod vocabulary;

use super::diagnostic::{Diagnostic, Mark, Mistakes};
use super::expr::compile::ColumnId;
use super::function::Function;
use super::kernel::Kernel;
use super::phrase::Lent;
use super::set::Set;
use rule::{Action, Caution, Gate, Rule, Source};
use text::{File, Log};
use vocabulary::Vocabulary;

/// A heading under which facts are asked for.
#[derive(Debug, Clone)]
pub(crate) struct Group {
    pub name: String,
    pub label: String,
    pub about: String,
}

/// A word of the subject, explained.
#[derive(Debug, Clone)]
pub(crate) struct Term {
    pub name: String,
    pub label: String,
    pub also: Vec<String>,
    pub means: String,
}

/// A file of the book with its title.
#[derive(Debug, Clone)]
pub(crate) struct Chapter {
    pub title: String,
    pub about: String,
}

/// A rule book that has been read without a mistake.
///
/// Everything that can be wrong with a book is found when it is loaded; running it cannot fail.
#[derive(Debug)]
pub struct Book {
    pub(crate) files: Vec<File>,
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) edition: String,
    pub(crate) language: String,
    pub(crate) digest: String,
    pub(crate) today: Option<ColumnId>,
    /// The choice that `during` speaks of.
    pub(crate) stage: Option<ColumnId>,
    pub(crate) words: Vocabulary,
    /// Columns in an order in which each comes after those it rests on.
    pub(crate) order: Vec<ColumnId>,
    /// What every column may be while nothing is known.
    pub(crate) ranges: Vec<Set>,
    /// Columns that are worked out from others, in that order.
    pub(crate) worked: Vec<Step>,
    /// Whether a column is among them.
    pub(crate) is_worked: Vec<bool>,
    /// The first column that is.
    pub(crate) first_worked: Option<ColumnId>,
    /// What each of these is worked out from.
    pub(crate) below: Box<[Box<[ColumnId]>]>,
    /// The conditions of all rules, then the needs of all gates.
    pub(crate) kernel: Kernel,
    /// The chapters as the head lists them.
    pub(crate) listed: Vec<String>,
    pub(crate) groups: Vec<Group>,
    pub(crate) terms: Vec<Term>,
    pub(crate) chapters: Vec<Chapter>,
    pub(crate) overlays: Vec<overlay::Overlay>,
    pub(crate) sources: Vec<Source>,
    pub(crate) cautions: Vec<Caution>,
    pub(crate) actions: Vec<Action>,
    pub(crate) rules: Vec<Rule>,
    /// Their places, by name.
    pub(crate) rules_by_name: Vec<usize>,
    pub(crate) gates: Vec<Gate>,
}

/// A column that is worked out. The order of two numbers takes no more than those two.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Step {
    Order {
        id: ColumnId,
        left: ColumnId,
        right: ColumnId,
    },
    Other(ColumnId),
}

impl Step {
    pub fn id(self) -> ColumnId {
        match self {
            Step::Order { id, .. } | Step::Other(id) => id,
        }
    }
}

impl Book {
    /// Reads a book from its files, with the functions that its rules may call.
    ///
    /// # Errors
    /// All mistakes of all files, each with its place.
    pub fn load(files: Vec<File>, functions: &[Function]) -> Result<Book, Mistakes> {
        let sayings = &[];
        Book::load_with(files, Lent { functions, sayings })
    }

    /// Reads a book from its files, with all that a host lends it.
    ///
    /// # Errors
    /// All mistakes of all files, each with its place.
    pub fn load_with(files: Vec<File>, lent: Lent<'_>) -> Result<Book, Mistakes> {
        Book::load_files(files, lent, true)
    }

    /// The same for a book that was read before, as when the program was made. Its cases are passed over until someone
    /// asks for them: they take a third of the time.
    ///
    /// # Errors
    /// All mistakes of all files but those of cases, each with its place.
    pub fn load_known(files: Vec<File>, lent: Lent<'_>) -> Result<Book, Mistakes> {
        Book::load_files(files, lent, false)
    }

    fn load_files(files: Vec<File>, lent: Lent<'_>, reads_cases: bool) -> Result<Book, Mistakes> {
        let mut log = Log::default();
        let book = read::read(&files, lent, reads_cases, &mut log);
        if log.is_empty() {
            return Ok(Book { files, ..book });
        }
        Err(Mistakes(log.into_diagnostics(&files)))
    }

    /// Name, as in `book NAME`.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Title for readers.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Edition, as the book says it.
    #[must_use]
    pub fn edition(&self) -> &str {
        &self.edition
    }

    /// Language tag (BCP 47) the book is written in.
    #[must_use]
    pub fn language(&self) -> &str {
        &self.language
    }

    /// Whether labels keep their capitals within a sentence, in the language the book is written in.
    #[must_use]
    pub fn keeps_capitals(&self) -> bool {
        self.words.phrases.keeps_capitals()
    }

    /// SHA-256 over names and texts of the files, in hexadecimal.
    #[must_use]
    pub fn digest(&self) -> &str {
        &self.digest
    }

    /// The files the book was read from.
    #[must_use]
    pub fn files(&self) -> &[File] {
        &self.files
    }

    /// A finding at a place in this book.
    pub(crate) fn finding(&self, at: Mark, message: String, help: Option<String>) -> Diagnostic {
        let mut log = Log::default();
        log.note(at, message.into(), help.map(Into::into));
        log.into_diagnostics(&self.files).remove(0)
    }
}
