//! The order in which facts are worked out: each after those it rests on, in no circle and no endless chain.

use super::super::expr::compile::{ColumnId, Value};
use super::super::limit;
use super::read::Reader;
use super::vocabulary::{Column, Derivation, Origin, Vocabulary};

impl Reader {
    /// Columns so that each stands after those it rests on; circles are mistakes, and so are chains without end.
    pub fn order(&mut self) -> Vec<ColumnId> {
        let count = self.words.columns.len();
        let mut state = vec![Mark::New; count];
        let mut order = Vec::with_capacity(count);
        let before = self.log.count();
        for index in 0..count {
            self.visit(ColumnId(index as u32), &mut state, &mut order);
        }
        // A circle is a chain without end: one message is enough.
        if self.log.count() == before {
            self.chains(&order);
        }
        order
    }

    /// Depth first with a stack of our own: a long chain of facts must not exhaust the machine's.
    fn visit(&mut self, root: ColumnId, state: &mut [Mark], order: &mut Vec<ColumnId>) {
        let mut stack = vec![(root, false)];
        while let Some((id, done)) = stack.pop() {
            let mark = &mut state[id.0 as usize];
            if done {
                *mark = Mark::Placed;
                order.push(id);
                continue;
            }
            if *mark != Mark::New {
                continue;
            }
            *mark = Mark::Open;
            stack.push((id, true));
            for next in rests_on(&self.words, id) {
                match state[next.0 as usize] {
                    Mark::Open => self.circle(next, &stack),
                    Mark::New => stack.push((next, false)),
                    Mark::Placed => {}
                }
            }
        }
    }

    /// Reports the circle that leads from a column down the stack and back to it.
    fn circle(&mut self, id: ColumnId, stack: &[(ColumnId, bool)]) {
        let open = stack
            .iter()
            .filter(|(_, done)| *done)
            .map(|(open, _)| *open);
        let circle: Vec<&Column> = open
            .skip_while(|open| *open != id)
            .map(|open| self.words.get(open))
            .filter(|column| !matches!(column.origin, Origin::Test(_) | Origin::Order { .. }))
            .collect();
        let names: Vec<&str> = circle.iter().map(|column| column.name.as_str()).collect();
        let message = match names.as_slice() {
            [only] => format!("`{only}` rests on itself"),
            _ => format!("this rests on itself: {}", round(&names, "rests on")),
        };
        if let Some(first) = circle.first() {
            self.log.marked(first.place, message);
        }
    }

    /// Evidence goes down from a fact to what it rests on, so the way down must have an end that can be reached.
    fn chains(&mut self, order: &[ColumnId]) {
        let mut lengths = vec![0; self.words.columns.len()];
        for id in order {
            let own = match &self.words.get(*id).origin {
                Origin::Derived(Derivation::Truth { condition, .. }) => condition.depth(),
                // Evidence goes by the condition itself, not by its tests made facts of their own.
                Origin::Test(_) | Origin::Order { .. } => continue,
                _ => 1,
            };
            let below = rests_on(&self.words, *id);
            let longest = below.iter().map(|below| lengths[below.0 as usize]).max();
            let before = longest.unwrap_or(0);
            lengths[id.0 as usize] = before + own;
            // Only the first link that is too many is reported, not all those that rest on it.
            if before <= limit::CHAIN && before + own > limit::CHAIN {
                let column = self.words.get(*id);
                let message = format!(
                    "`{}` rests on a chain of more than {} facts and conditions",
                    column.name,
                    limit::CHAIN
                );
                self.log.marked(column.place, message);
            }
        }
    }
}

/// Names that lead round a circle, in words.
pub(crate) fn round(names: &[&str], verb: &str) -> String {
    let shown: Vec<String> = names
        .iter()
        .take(8)
        .map(|name| format!("`{name}`"))
        .collect();
    let rest = match names.len() {
        0..=8 => String::new(),
        more => format!(" and {} others, the last of which", more - 8),
    };
    let first = names.first().copied().unwrap_or_default();
    format!(
        "{}{rest} {verb} `{first}`",
        shown.join(&format!(" {verb} "))
    )
}

#[derive(Clone, Copy, PartialEq)]
enum Mark {
    New,
    Open,
    Placed,
}

/// The columns that a column's value is worked out from.
pub(crate) fn rests_on(words: &Vocabulary, id: ColumnId) -> Vec<ColumnId> {
    let mut found = Vec::new();
    match &words.get(id).origin {
        Origin::Given {
            otherwise: Some(value),
        } => value.columns(&mut |column| found.push(column)),
        Origin::Derived(Derivation::Number(value)) => {
            Value::columns(value, &mut |column| found.push(column))
        }
        Origin::Derived(Derivation::Truth { condition, normal }) => {
            condition.columns(&mut |column| found.push(column));
            normal.columns(&mut |column| found.push(column));
        }
        Origin::Test(condition) => condition.columns(&mut |column| found.push(column)),
        Origin::Order { left, right } => found.extend([*left, *right]),
        Origin::Table(table) => found.extend(&table.by),
        Origin::Feature { series, .. } => found.push(*series),
        Origin::Given { otherwise: None } | Origin::Derived(Derivation::Unread) => {}
    }
    found
}
