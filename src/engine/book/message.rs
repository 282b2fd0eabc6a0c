//! Sentences with facts in them.

use super::super::diagnostic::did_you_mean;
use super::super::expr::compile::ColumnId;
use super::text::{Log, Text};
use super::vocabulary::Vocabulary;

#[derive(Debug, Clone)]
pub(crate) enum Part {
    Words(String),
    Fact(ColumnId),
    Amount,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Message {
    pub parts: Vec<Part>,
}

/// Reads `{name}` in a sentence; `{amount}` is known only where `amount` says so.
pub(crate) fn message(text: &Text<'_>, amount: bool, words: &Vocabulary, log: &mut Log) -> Message {
    let mut parts = Vec::new();
    let mut at = 0;
    while let Some(start) = text.value[at..].find('{').map(|found| at + found) {
        let Some(end) = text.value[start..].find('}').map(|found| start + found) else {
            log.at(
                &text.part(start, text.value.len()),
                "this `{` is never closed",
            );
            break;
        };
        parts.push(Part::Words(text.value[at..start].to_owned()));
        parts.extend(placeholder(&text.part(start + 1, end), amount, words, log));
        at = end + 1;
    }
    parts.push(Part::Words(text.value[at..].to_owned()));
    Message { parts }
}

fn placeholder(name: &Text<'_>, amount: bool, words: &Vocabulary, log: &mut Log) -> Option<Part> {
    if name.value == "amount" {
        if !amount {
            log.at(name, "this rule has no `amount` to show");
            return None;
        }
        return Some(Part::Amount);
    }
    match words.find(&name.value) {
        Some(column) => Some(Part::Fact(column)),
        None => {
            let help = did_you_mean(&name.value, words.names());
            let message = format!("unknown fact `{}`", name.value);
            log.note(name.mark(), message.into(), help.map(Into::into));
            None
        }
    }
}
