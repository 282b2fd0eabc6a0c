//! Facts by name: what a host needs to hand a book its facts.

use super::book::Book;
use super::book::order::rests_on;
use super::entry::{self, Entered};
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::facts::{Facts, Given};
use super::set::Set;

impl Book {
    /// Whether the book knows a fact, derived fact or table of this name.
    #[must_use]
    pub fn knows(&self, name: &str) -> bool {
        self.words.find(name).is_some()
    }

    /// Whether facts of this name are dated readings.
    #[must_use]
    pub fn is_series(&self, name: &str) -> bool {
        self.words
            .find(name)
            .is_some_and(|id| self.words.get(id).series)
    }

    /// Whether this is a fact that is given from outside, rather than worked out.
    #[must_use]
    pub fn is_given(&self, name: &str) -> bool {
        self.words
            .find(name)
            .is_some_and(|id| self.words.get(id).is_given())
    }

    /// The group a fact is asked for under.
    #[must_use]
    pub fn group_of(&self, name: &str) -> &str {
        self.words
            .find(name)
            .map_or("", |id| &self.words.get(id).group)
    }

    /// The label of a fact, or the name where there is none.
    #[must_use]
    pub fn label<'a>(&'a self, name: &'a str) -> &'a str {
        self.words
            .find(name)
            .map_or(name, |id| &self.words.get(id).label)
    }

    /// The question that asks for a fact, or empty where there is none.
    #[must_use]
    pub fn question(&self, name: &str) -> &str {
        self.words
            .find(name)
            .map_or("", |id| &self.words.get(id).ask)
    }

    /// The option of a choice that is nearest to a misspelt one.
    #[must_use]
    pub fn nearest_option(&self, fact: &str, name: &str) -> Option<&str> {
        let column = self.words.get(self.words.find(fact)?);
        let options = column.options.iter().map(|option| option.name.as_str());
        super::diagnostic::nearest(name, options)
    }

    /// Days after which a fact of this name says nothing about today.
    #[must_use]
    pub fn stale_after(&self, name: &str) -> Option<f64> {
        self.words
            .find(name)
            .and_then(|id| self.words.get(id).stale)
    }

    /// The known name nearest to a misspelt one, among facts that are given from outside.
    #[must_use]
    pub fn nearest_fact(&self, name: &str) -> Option<&str> {
        let given = self.words.columns.iter().filter(|column| column.is_given());
        super::diagnostic::nearest(name, given.map(|column| column.name.as_str()))
    }

    /// Whether a rule or a gate has this name.
    #[must_use]
    pub fn has_rule_or_gate(&self, name: &str) -> bool {
        self.rule_at(name).is_some() || self.gate_at(name).is_some()
    }

    /// Where a rule stands among the rules.
    pub(crate) fn rule_at(&self, name: &str) -> Option<usize> {
        let places = &self.rules_by_name;
        let at = places.binary_search_by(|at| self.rules[*at].name.as_str().cmp(name));
        at.ok().map(|at| places[at])
    }

    /// Where a gate stands among the gates.
    pub(crate) fn gate_at(&self, name: &str) -> Option<usize> {
        self.gates.iter().position(|gate| gate.name == name)
    }

    /// The places of the rules that advise an action.
    pub(crate) fn rules_advising(&self, action: &str) -> Vec<usize> {
        let action_of = |at: &usize| &self.actions[self.rules[*at].action as usize];
        let places = 0..self.rules.len();
        places.filter(|at| action_of(at).name == action).collect()
    }

    /// A sentence for a name that is neither rule, gate nor fact, with the nearest one that is.
    #[must_use]
    pub fn no_such_name(&self, name: &str) -> String {
        let rules = self.rules.iter().map(|rule| rule.name.as_str());
        let known = rules.chain(self.gate_names()).chain(self.words.names());
        match super::diagnostic::did_you_mean(name, known) {
            Some(help) => format!("the book has no `{name}`, {help}"),
            None => format!("the book has no `{name}`"),
        }
    }

    /// Reads a value as a person types it.
    ///
    /// # Errors
    /// A sentence that says why the text stands for no value of this fact.
    pub fn enter(&self, name: &str, text: &str) -> Result<Entered, String> {
        let id = self
            .words
            .find(name)
            .ok_or_else(|| format!("unknown fact `{name}`"))?;
        entry::entered(self.words.get(id), &self.words, text)
    }

    /// The value of a derived fact or table for a few given facts, nothing else being known.
    #[must_use]
    pub fn look_up(&self, name: &str, facts: &Facts) -> Option<Set> {
        let wanted = self.words.find(name)?;
        let needed = self.needed(vec![wanted], facts);
        Some(self.partly(&needed, facts).set(wanted))
    }

    /// Whatever some columns rest on, themselves included, in the order in which it is worked out.
    pub(crate) fn needed(&self, mut open: Vec<ColumnId>, facts: &Facts) -> Vec<ColumnId> {
        let mut needed = vec![false; self.words.columns.len()];
        while let Some(id) = open.pop() {
            if !std::mem::replace(&mut needed[id.0 as usize], true) && facts.get(id).is_none() {
                open.extend(rests_on(&self.words, id));
            }
        }
        let order = self.order.iter().copied();
        order.filter(|id| needed[id.0 as usize]).collect()
    }

    /// The book run on some facts, as far as these columns.
    pub(crate) fn partly<'a>(&'a self, needed: &[ColumnId], facts: &'a Facts) -> Evaluation<'a> {
        let mut run = Evaluation::blank(self, facts);
        needed.iter().for_each(|id| run.settle(*id));
        run
    }
}

impl Facts {
    /// Says what is known of a fact; false if the book has none of this name.
    pub fn give(&mut self, book: &Book, name: &str, given: Given) -> bool {
        let found: Option<ColumnId> = book.words.find(name);
        if let Some(id) = found {
            self.set(id, given);
        }
        found.is_some()
    }

    /// What is known of a fact so far.
    #[must_use]
    pub fn given(&self, book: &Book, name: &str) -> Option<&Given> {
        book.words.find(name).and_then(|id| self.get(id))
    }
}
