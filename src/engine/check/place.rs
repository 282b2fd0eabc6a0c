//! Where in the files something stands, and what its cases take as known.

use std::collections::BTreeMap;

use super::super::book::Book;
use super::super::book::text::{Block, Field, Log, Text, blocks, starts};
use super::super::diagnostic::Mark;
use super::super::expr::compile::Condition;

/// The blocks of a book, read again for the places of their fields.
pub(super) struct Places<'q> {
    blocks: BTreeMap<(String, String), Block<'q>>,
}

/// Fields that hold conditions.
const CONDITIONS: [&str; 7] = ["during", "when", "and", "unless", "needs", "bars", "is"];

impl<'q> Places<'q> {
    pub fn of(book: &'q Book) -> Places<'q> {
        let mut found = BTreeMap::new();
        for (file, start) in book.files.iter().zip(starts(&book.files)) {
            for block in blocks(start, &file.text, &mut Log::default()) {
                // Where an overlay replaces a rule, its words count.
                let keyword = match &*block.keyword.value {
                    "replace" => "rule",
                    keyword => keyword,
                };
                found.insert((keyword.to_owned(), block.name.value.to_string()), block);
            }
        }
        Places { blocks: found }
    }

    pub fn blocks(&self) -> impl Iterator<Item = &Block<'q>> {
        self.blocks.values()
    }

    pub fn block(&self, keyword: &str, name: &str) -> Option<&Block<'q>> {
        self.blocks.get(&(keyword.to_owned(), name.to_owned()))
    }

    /// The place of a condition within a block, or of the block's name.
    pub fn condition(&self, keyword: &str, name: &str, condition: &Condition, whole: Mark) -> Mark {
        let block = self.block(keyword, name);
        let fields = block.into_iter().flat_map(|block| &block.fields);
        let holds = |field: &&Field<'_>| CONDITIONS.contains(&&*field.keyword.value);
        for field in fields.filter(holds) {
            if let Some(part) = part(field, &condition.text) {
                return part.mark();
            }
        }
        whole
    }

    /// The facts that a block's cases take as known, as they are written: name and value.
    pub fn given(&self, keyword: &str, name: &str) -> Vec<(String, String)> {
        let Some(block) = self.block(keyword, name) else {
            return Vec::new();
        };
        let facts = block
            .fields("given")
            .flat_map(|field| field.text.split(","));
        facts
            .map(|fact| {
                let (name, value) = fact.first_word();
                (name.value.into_owned(), value.value.into_owned())
            })
            .collect()
    }
}

fn part<'a>(field: &Field<'a>, words: &str) -> Option<Text<'a>> {
    let text = &field.text;
    let written = match &*field.keyword.value {
        "during" => words.ends_with(&*text.value).then_some(&*text.value),
        "unless" => words
            .strip_prefix("not (")
            .and_then(|inner| inner.strip_suffix(')')),
        _ => None,
    };
    let written = written.unwrap_or(words);
    let at = text.value.find(written)?;
    Some(text.part(at, at + written.len()))
}
