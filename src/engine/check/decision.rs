//! What a book decides by conditions: rules, needs of gates and derived truths, and each condition's place in them.

use std::collections::BTreeSet;

use super::super::book::Book;
use super::super::book::rule::Case;
use super::super::book::vocabulary::{Derivation, Origin};
use super::super::diagnostic::Mark;
use super::super::eval::Evaluation;
use super::super::expr::compile::{ColumnId, Condition, Test};
use super::super::facts::Facts;
use super::super::set::Verdict;
use super::goal::Goal;
use super::place::Places;

/// Whose conditions they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Owner {
    Rule(usize),
    Need(usize, usize),
    Truth(ColumnId),
}

/// Conditions that decide one thing together.
pub(super) struct Decision<'q> {
    pub owner: Owner,
    pub keyword: &'static str,
    pub name: &'q str,
    pub at: Mark,
    /// All of these must hold.
    pub conditions: Vec<&'q Condition>,
    /// What else must be so for the cases to show it: for a need, the other needs.
    pub beside: Vec<Goal<'q>>,
    pub cases: &'q [Case],
}

/// How a condition is joined to those beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Joint {
    /// It is the whole decision.
    Alone,
    All,
    Any,
}

/// One condition within a decision.
pub(super) struct Part<'q> {
    pub condition: &'q Condition,
    pub joint: Joint,
    /// What must be so for this condition alone to tip the decision.
    pub rest: Vec<Goal<'q>>,
    /// Whether it has no conditions within it.
    pub leaf: bool,
    /// The parts it stands within, by their number in the list.
    pub within: Option<usize>,
}

/// Every decision of a book.
pub(super) fn decisions(book: &Book) -> Vec<Decision<'_>> {
    let rules = book.rules.iter().enumerate().map(|(index, rule)| Decision {
        owner: Owner::Rule(index),
        keyword: "rule",
        name: &rule.name,
        at: rule.place,
        conditions: rule.body(book).conditions.iter().collect(),
        beside: Vec::new(),
        cases: rule.cases(book),
    });
    let gates = book.gates.iter().enumerate();
    let needs = gates.flat_map(|(number, gate)| {
        (0..gate.needs.len()).map(move |index| {
            let others = gate
                .needs
                .iter()
                .enumerate()
                .filter(move |(i, _)| *i != index);
            Decision {
                owner: Owner::Need(number, index),
                keyword: "gate",
                name: &gate.name,
                at: gate.place,
                conditions: vec![&gate.needs[index].condition],
                beside: others
                    .map(|(_, need)| Goal::Is(&need.condition, !need.bars))
                    .collect(),
                cases: gate.cases(book),
            }
        })
    });
    let columns = book.words.columns.iter().enumerate();
    let truths = columns.filter_map(|(index, column)| match &column.origin {
        Origin::Derived(Derivation::Truth { condition, .. }) => Some(Decision {
            owner: Owner::Truth(ColumnId(index as u32)),
            keyword: "derive",
            name: &column.name,
            at: column.place,
            conditions: vec![condition],
            beside: Vec::new(),
            cases: column.cases(book),
        }),
        _ => None,
    });
    rules.chain(needs).chain(truths).collect()
}

impl<'q> Decision<'q> {
    /// That it holds.
    pub fn holds(&self) -> Vec<Goal<'q>> {
        self.conditions
            .iter()
            .map(|condition| Goal::Is(condition, true))
            .collect()
    }

    /// The facts of its cases.
    pub fn case_facts(&self, book: &Book) -> Vec<Facts> {
        self.cases
            .iter()
            .map(|case| book.case_facts(case))
            .collect()
    }

    /// Whether an overlay took it out of the book.
    pub fn is_withdrawn(&self, book: &Book) -> bool {
        matches!(self.owner, Owner::Rule(index) if book.rules[index].is_withdrawn())
    }

    /// Its conditions and those within them, each after the one it stands in.
    pub fn parts(&self) -> Vec<Part<'q>> {
        let mut parts = Vec::new();
        for (top, condition) in self.conditions.iter().enumerate() {
            let others = self
                .conditions
                .iter()
                .enumerate()
                .filter(|(i, _)| *i != top);
            let rest = others.map(|(_, other)| Goal::Is(other, true)).collect();
            let joint = if self.conditions.len() == 1 {
                Joint::Alone
            } else {
                Joint::All
            };
            add(condition, joint, rest, None, &mut parts);
        }
        parts
    }

    /// Whether the whole book, run on some facts, comes to this.
    pub fn came_to(&self, run: &Evaluation<'_>) -> Verdict {
        match self.owner {
            Owner::Rule(index) => run.rules[index],
            Owner::Need(gate, need) => run.normal(&run.book.gates[gate].needs[need].normal),
            Owner::Truth(id) => match run.set(id) {
                super::super::set::Set::Choice(super::super::set::YES) => Verdict::Holds,
                super::super::set::Set::Choice(super::super::set::NO) => Verdict::Fails,
                _ => Verdict::Open,
            },
        }
    }

    /// The columns its conditions name, which its cases may give.
    pub fn named(&self, book: &Book) -> BTreeSet<ColumnId> {
        let mut named = BTreeSet::new();
        let mut add = |id: ColumnId| {
            if nameable(book, id) {
                named.insert(id);
            }
        };
        self.conditions
            .iter()
            .for_each(|condition| condition.columns(&mut add));
        self.beside
            .iter()
            .for_each(|goal| goal.columns(book, &mut add));
        named
    }

    pub fn place(&self, places: &Places<'_>, condition: &Condition) -> Mark {
        places.condition(self.keyword, self.name, condition, self.at)
    }
}

/// Whether a case can give this column by its name.
pub(super) fn nameable(book: &Book, id: ColumnId) -> bool {
    !matches!(
        book.words.get(id).origin,
        Origin::Feature { .. } | Origin::Test(_) | Origin::Order { .. }
    )
}

/// A condition without the `not` before it.
pub(super) fn stripped(condition: &Condition) -> &Condition {
    match &condition.test {
        Test::Not(inner) => stripped(inner),
        _ => condition,
    }
}

fn add<'q>(
    condition: &'q Condition,
    joint: Joint,
    rest: Vec<Goal<'q>>,
    within: Option<usize>,
    parts: &mut Vec<Part<'q>>,
) {
    let inner = stripped(condition);
    let (members, all) = match &inner.test {
        Test::All(members) => (&members[..], true),
        Test::Any(members) => (&members[..], false),
        _ => (&[][..], true),
    };
    let own = parts.len();
    parts.push(Part {
        condition,
        joint,
        rest: rest.clone(),
        leaf: members.is_empty(),
        within,
    });
    for (index, member) in members.iter().enumerate() {
        let mut rest = rest.clone();
        let others = members.iter().enumerate().filter(|(i, _)| *i != index);
        rest.extend(others.map(|(_, other)| Goal::Is(other, all)));
        let joint = if all { Joint::All } else { Joint::Any };
        add(member, joint, rest, Some(own), parts);
    }
}
