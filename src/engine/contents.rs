//! The book as a reader turns its pages: every block as it is written, with where it stands among the others.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::book::Book;
use super::book::order::rests_on;
use super::book::read::stem;
use super::book::text::{Block, Log, blocks};
use super::diagnostic::Place;
use super::expr::compile::ColumnId;
use super::normal::Normal;
use super::why::SourceRef;

/// A word of the subject, explained.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct TermInfo {
    /// Its name.
    pub name: String,
    /// The word as it is written in sentences.
    pub label: String,
    /// Other forms of it.
    pub also: Vec<String>,
    /// What it means.
    pub means: String,
}

/// One line of a block.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct FieldText {
    /// Its keyword.
    pub keyword: String,
    /// The rest, as it is written, on one line.
    pub text: String,
}

/// One block of the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Entry {
    /// What it is: `rule`, `gate`, `fact`, ...
    pub keyword: String,
    /// Its name; not always its own: a gate is named like the action it guards.
    pub name: String,
    /// The place of its chapter in [`Book::chapters`].
    pub chapter: usize,
    /// Its lines, in order.
    pub fields: Vec<FieldText>,
    /// For what is decided or worked out: the facts it looks at itself.
    pub looks_at: Vec<String>,
    /// The facts that are entered, at the bottom of those.
    pub rests_on: Vec<String>,
    /// For a fact: the derived facts, tables, rules and gates that look at it.
    pub used_by: Vec<String>,
    /// For a rule: the rules that overrule it.
    pub overruled_by: Vec<String>,
    /// For a rule: the gate that must be open for its action.
    pub gate: Option<String>,
}

impl Book {
    /// The words of the subject that the book explains, in the order of the book.
    #[must_use]
    pub fn terms(&self) -> Vec<TermInfo> {
        let info = |term: &super::book::Term| TermInfo {
            name: term.name.clone(),
            label: term.label.clone(),
            also: term.also.clone(),
            means: term.means.clone(),
        };
        self.terms.iter().map(info).collect()
    }

    /// The sources, in the order of the book.
    #[must_use]
    pub fn sources(&self) -> Vec<SourceRef> {
        let info = |source: &super::book::rule::Source| SourceRef {
            id: source.id.clone(),
            words: source.words.clone(),
            place: String::new(),
            support: source.support,
            read: source.read.clone(),
        };
        self.sources.iter().map(info).collect()
    }

    /// The files as places in [`Book::files`], in the order in which the head of the book lists its chapters.
    #[must_use]
    pub fn reading_order(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.files.len()).collect();
        let listed = |file: &usize| {
            let stem = stem(&self.files[*file].name);
            self.listed.iter().position(|name| name == stem)
        };
        order.sort_by_key(|file| listed(file).map_or((1, 0), |place| (0, place)));
        order
    }

    /// Every block of the book, in reading order.
    #[must_use]
    pub fn entries(&self) -> Vec<Entry> {
        let graph = Graph::of(self);
        let mut entries = Vec::new();
        for chapter in self.reading_order() {
            let file = &self.files[chapter];
            for block in blocks(Place::default(), &file.text, &mut Log::default()) {
                entries.push(graph.entry(chapter, &block));
            }
        }
        entries
    }
}

/// What looks at what.
struct Graph<'a> {
    book: &'a Book,
    /// Facts that each named thing looks at.
    looks_at: BTreeMap<&'a str, BTreeSet<ColumnId>>,
    used_by: BTreeMap<ColumnId, BTreeSet<&'a str>>,
}

impl<'a> Graph<'a> {
    fn of(book: &'a Book) -> Graph<'a> {
        let mut graph = Graph {
            book,
            looks_at: BTreeMap::new(),
            used_by: BTreeMap::new(),
        };
        for rule in &book.rules {
            let mut seen = BTreeSet::new();
            let body = rule.body(book);
            graph.columns(&body.normal, &mut seen);
            body.amount
                .iter()
                .for_each(|amount| amount.columns(&mut |id| graph.named(id, &mut seen)));
            graph.add(&rule.name, seen);
        }
        for gate in &book.gates {
            let mut seen = BTreeSet::new();
            gate.needs
                .iter()
                .for_each(|need| graph.columns(&need.normal, &mut seen));
            graph.add(&gate.name, seen);
        }
        for column in book.words.columns.iter() {
            let Some(id) = book.words.find(&column.name) else {
                continue;
            };
            let mut seen = BTreeSet::new();
            for below in rests_on(&book.words, id) {
                graph.named(below, &mut seen);
            }
            if !column.is_given() {
                graph.add(&column.name, seen);
            }
        }
        graph
    }

    fn add(&mut self, name: &'a str, seen: BTreeSet<ColumnId>) {
        for id in &seen {
            self.used_by.entry(*id).or_default().insert(name);
        }
        self.looks_at.entry(name).or_default().extend(seen);
    }

    fn columns(&self, normal: &Normal, seen: &mut BTreeSet<ColumnId>) {
        normal.columns(&mut |id| self.named(id, seen));
    }

    /// A fact that has a name in the book; of a series word or a test, those that it speaks of.
    fn named(&self, id: ColumnId, seen: &mut BTreeSet<ColumnId>) {
        let words = &self.book.words;
        if words.find(&words.get(id).name) == Some(id) {
            seen.insert(id);
            return;
        }
        for below in rests_on(words, id) {
            self.named(below, seen);
        }
    }

    fn names(&self, ids: impl IntoIterator<Item = ColumnId>) -> Vec<String> {
        let name = |id| self.book.words.get(id).name.clone();
        ids.into_iter().map(name).collect()
    }

    fn entry(&self, chapter: usize, block: &Block<'_>) -> Entry {
        let name = &*block.name.value;
        let keyword = match &*block.keyword.value {
            "replace" => "rule",
            keyword => keyword,
        };
        let decides = ["rule", "gate", "derive", "table"].contains(&keyword);
        let looks_at = self.looks_at.get(name).filter(|_| decides);
        let own = looks_at.cloned().unwrap_or_default();
        let column = ["fact", "derive", "table"]
            .contains(&keyword)
            .then(|| self.book.words.find(name))
            .flatten();
        let used_by = column.and_then(|id| self.used_by.get(&id));
        let rules = &self.book.rules;
        let rule = (keyword == "rule")
            .then(|| self.book.rule_at(name))
            .flatten();
        let overrulers = rules.iter().filter(|other| {
            let mut beaten = other.overrules.iter().map(|o| Some(o.rule as usize));
            rule.is_some() && beaten.any(|beaten| beaten == rule)
        });
        let gate = rule.and_then(|rule| {
            let gate = self.book.actions[rules[rule].action as usize].gate?;
            Some(self.book.gates[gate as usize].name.clone())
        });
        Entry {
            keyword: keyword.to_owned(),
            name: name.to_owned(),
            chapter,
            fields: block.fields.iter().map(field).collect(),
            rests_on: self.names(self.entered_below(&own)),
            looks_at: self.names(own),
            used_by: used_by
                .into_iter()
                .flatten()
                .map(|name| (*name).to_owned())
                .collect(),
            overruled_by: overrulers.map(|other| other.name.clone()).collect(),
            gate,
        }
    }

    fn entered_below(&self, from: &BTreeSet<ColumnId>) -> BTreeSet<ColumnId> {
        let words = &self.book.words;
        let mut open: Vec<ColumnId> = from.iter().copied().collect();
        let mut seen = BTreeSet::new();
        while let Some(id) = open.pop() {
            if seen.insert(id) {
                open.extend(rests_on(words, id));
            }
        }
        seen.retain(|id| words.get(*id).is_given());
        seen
    }
}

fn field(field: &super::book::text::Field<'_>) -> FieldText {
    FieldText {
        keyword: field.keyword.value.to_string(),
        text: field.text.value.to_string(),
    }
}
