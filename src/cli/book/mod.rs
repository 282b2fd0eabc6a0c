//! `lentic book`: the rule book as a document, with contents, glossary and sources.

mod html;
mod markdown;
mod pages;

use super::Outcome;
use super::arguments::Arguments;

/// A run of words.
enum Span {
    Words(String),
    /// As it is written in the book.
    Code(String),
    /// Words that lead to a block.
    Link {
        to: String,
        words: String,
        code: bool,
    },
}

/// What a document is made of.
enum Piece {
    Heading {
        level: usize,
        id: String,
        words: String,
        /// The name in the book, for blocks that have one.
        name: String,
    },
    /// A paragraph with a word of its own before it, or none.
    Line {
        label: &'static str,
        spans: Vec<Span>,
    },
    List {
        label: &'static str,
        items: Vec<Vec<Span>>,
    },
    Table {
        head: Vec<String>,
        rows: Vec<Vec<String>>,
    },
    /// Lines as they are written, shown on request where that can be.
    Cases(Vec<String>),
}

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book_of_words()?;
    let pieces = pages::of(&book);
    let text = if arguments.markdown {
        markdown::print(&pieces)
    } else {
        html::print(book.title(), book.language(), &pieces)
    };
    super::page::print(&text);
    Ok(Outcome::Fine)
}
