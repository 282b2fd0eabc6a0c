//! What is declared and nothing uses.

use std::collections::BTreeSet;

use super::super::book::message::{Message, Part};
use super::super::book::order::rests_on;
use super::super::diagnostic::Mark;
use super::super::expr::compile::ColumnId;
use super::place::Places;
use super::{Check, Severity};

impl Check<'_> {
    /// Facts, derived facts and tables that no rule or gate rests on, sources that nothing cites, cautions that are
    /// never shown, actions that nothing advises.
    pub(super) fn unused(&mut self, read_by_host: &[&str]) {
        let used = self.used_columns(read_by_host);
        let columns = self.book.words.columns.iter().enumerate();
        let idle: Vec<(Mark, String)> = columns
            .filter(|(index, column)| {
                !used.contains(&ColumnId(*index as u32))
                    && self.book.words.find(&column.name).is_some()
            })
            .map(|(_, column)| (column.place, format!("nothing uses `{}`", column.name)))
            .collect();
        let named = self.idle_names(read_by_host);
        for (at, message) in idle.into_iter().chain(named) {
            self.add("unused", Severity::Warning, at, message, None);
        }
    }

    fn used_columns(&self, read_by_host: &[&str]) -> BTreeSet<ColumnId> {
        let book = self.book;
        let mut open: Vec<ColumnId> = read_by_host
            .iter()
            .filter_map(|name| book.words.find(name))
            .collect();
        open.extend(book.today);
        let arguments = book.words.functions.iter().flat_map(|f| f.arguments);
        open.extend(arguments.filter_map(|argument| book.words.find(argument.table)));
        for rule in &book.rules {
            let rule = rule.body(book);
            rule.conditions
                .iter()
                .for_each(|c| c.columns(&mut |id| open.push(id)));
            rule.amount
                .iter()
                .for_each(|value| value.columns(&mut |id| open.push(id)));
            for message in [&rule.finding, &rule.advice, &rule.because] {
                open.extend(shown(message));
            }
        }
        for need in book.gates.iter().flat_map(|gate| &gate.needs) {
            need.condition.columns(&mut |id| open.push(id));
        }
        let mut used = BTreeSet::new();
        while let Some(id) = open.pop() {
            if used.insert(id) {
                open.extend(rests_on(&book.words, id));
                open.extend(shown(&book.words.get(id).because));
            }
        }
        used
    }

    /// Sources, cautions and actions that nothing names.
    fn idle_names(&self, read_by_host: &[&str]) -> Vec<(Mark, String)> {
        let book = self.book;
        let mut sources = named(&self.places, "source");
        sources.extend(
            book.words
                .functions
                .iter()
                .map(|function| function.source.to_owned()),
        );
        let mut cautions = named(&self.places, "caution");
        let shown_beside = book.words.functions.iter().flat_map(|f| f.cautions);
        cautions.extend(shown_beside.map(|id| (*id).to_owned()));
        let advised: BTreeSet<u32> = book.rules.iter().map(|rule| rule.action).collect();
        let mut idle = Vec::new();
        for block in self.places.blocks() {
            let name = &*block.name.value;
            let idles = match &*block.keyword.value {
                "source" => !sources.contains(name),
                "caution" => !cautions.contains(name),
                "action" => book.actions.iter().enumerate().any(|(index, action)| {
                    action.name == name
                        && action.gate.is_none()
                        && !advised.contains(&(index as u32))
                }),
                _ => false,
            };
            if idles && !read_by_host.contains(&name) {
                idle.push((
                    block.name.mark(),
                    format!("nothing uses the {} `{name}`", block.keyword.value),
                ));
            }
        }
        idle
    }
}

/// The names that fields of this keyword give, each up to a comma.
fn named(places: &Places<'_>, keyword: &str) -> BTreeSet<String> {
    let fields = places.blocks().flat_map(|block| block.fields(keyword));
    fields
        .flat_map(|field| field.text.split(","))
        .map(|name| name.value.into_owned())
        .collect()
}

fn shown(message: &Message) -> impl Iterator<Item = ColumnId> {
    message.parts.iter().filter_map(|part| match part {
        Part::Fact(id) => Some(*id),
        _ => None,
    })
}
