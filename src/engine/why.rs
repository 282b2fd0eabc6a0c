//! Evidence: each condition with its verdict, the values behind it, and what could decide it.

use std::collections::BTreeSet;

use serde::Serialize;

use super::book::list::ListRow;
use super::book::rule::{Citation, Support};
use super::book::vocabulary::{Column, Derivation, Listed, Origin, Spread, Table};
use super::eval::Evaluation;
use super::expr::ast::Relation;
use super::expr::compile::{ColumnId, Condition, Feature, Test, Value};
use super::expr::token::date_of;
use super::phrase;
use super::set::{Set, Verdict};

/// A source, with the place in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct SourceRef {
    /// Its id in the book.
    pub id: String,
    /// Authors, year and title.
    pub words: String,
    /// The place in it, or empty.
    pub place: String,
    /// What stands behind it.
    pub support: Support,
    /// The day on which it was last read, or empty.
    pub read: String,
}

/// How a condition is made up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Form {
    /// Values are compared, or an option is looked at.
    Test,
    /// All parts must hold.
    All,
    /// One part must hold.
    Any,
    /// The part must fail.
    Not,
}

/// How far a value lies from where the verdict would turn.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Margin {
    /// The distance, in `unit`.
    pub amount: f64,
    /// Its unit, or empty.
    pub unit: String,
    /// The distance in words and figures.
    pub shown: String,
    /// The distance in multiples of the reading's spread, where it has one.
    pub spreads: Option<f64>,
}

/// One condition as it was evaluated.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Evidence {
    /// The condition in the book's words.
    pub text: String,
    /// What it came to.
    pub verdict: Verdict,
    /// How it is made up.
    pub form: Form,
    /// The values it looked at.
    pub values: Vec<Worked>,
    /// The threshold it compared with, in the unit of the value beside it.
    pub threshold: Option<String>,
    /// How far the value is from the threshold, for a comparison with a fixed one.
    pub margin: Option<Margin>,
    /// Its parts.
    pub parts: Vec<Evidence>,
    /// While it is open: the facts that could decide it.
    pub wants: Vec<String>,
}

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Basis {
    /// It was entered, or read on a test.
    Entered,
    /// Nobody entered it: it may be anything in its range.
    Unknown,
    /// The latest reading is too old to speak of today.
    Stale,
    /// It was worked out from others.
    Worked,
    /// It was looked up in a table.
    Table,
}

/// A value with how it came about, down to the readings.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Worked {
    /// The fact's name in the book.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// The value in words and figures.
    pub shown: String,
    /// The lowest possible value in `unit`, for numbers that have one.
    pub low: Option<f64>,
    /// The highest.
    pub high: Option<f64>,
    /// The unit of `low` and `high`, or empty.
    pub unit: String,
    /// Where it comes from.
    pub from: Basis,
    /// As it was typed.
    pub typed: Option<String>,
    /// The date of the latest reading.
    pub on: Option<String>,
    /// Its age in days.
    pub age_days: Option<f64>,
    /// The formula, in the book's words.
    pub formula: Option<String>,
    /// The formula worked in numbers, line by line.
    pub working: Vec<String>,
    /// For a truth that was worked out: its conditions, all of which must hold for yes.
    pub conditions: Vec<Evidence>,
    /// Why it is worked out so.
    pub because: Option<String>,
    /// Where that comes from.
    pub sources: Vec<SourceRef>,
    /// The values it was worked out from. A value that stands elsewhere in the same evidence is not worked again.
    pub inputs: Vec<Worked>,
}

impl Evaluation<'_> {
    /// The evidence of some conditions that must all hold.
    pub(crate) fn evidence(&self, conditions: &[Condition]) -> Vec<Evidence> {
        let mut seen = BTreeSet::new();
        conditions
            .iter()
            .map(|condition| self.explain(condition, &mut seen))
            .collect()
    }

    fn explain(&self, condition: &Condition, seen: &mut BTreeSet<ColumnId>) -> Evidence {
        let verdict = self.verdict(condition);
        let mut evidence = Evidence {
            text: condition.text.clone(),
            verdict,
            form: Form::Test,
            values: Vec::new(),
            threshold: None,
            margin: None,
            parts: Vec::new(),
            wants: if verdict == Verdict::Open {
                self.wants(condition)
            } else {
                Vec::new()
            },
        };
        match &condition.test {
            Test::All(parts) | Test::Any(parts) => {
                evidence.form = if matches!(condition.test, Test::All(_)) {
                    Form::All
                } else {
                    Form::Any
                };
                evidence.parts = parts.iter().map(|part| self.explain(part, seen)).collect();
            }
            Test::Not(inner) => {
                evidence.form = Form::Not;
                evidence.parts = vec![self.explain(inner, seen)];
            }
            test => {
                let columns = once_each(|mut visit| condition.columns(&mut visit));
                evidence.values = columns
                    .into_iter()
                    .map(|id| self.worked(id, seen))
                    .collect();
                if let Test::Compare {
                    relation,
                    left,
                    right,
                } = test
                {
                    evidence.threshold = self.threshold(left, right);
                    evidence.margin = self.margin(*relation, left, right);
                }
            }
        }
        evidence
    }

    fn threshold(&self, left: &Value, right: &Value) -> Option<String> {
        let (Value::Column(id), Value::Constant(limit)) = (left, right) else {
            return None;
        };
        Some(self.threshold_shown(self.book.words.get(*id), *limit))
    }

    fn margin(&self, relation: Relation, left: &Value, right: &Value) -> Option<Margin> {
        let Value::Column(id) = left else { return None };
        let (value, limit) = (self.value(left), self.value(right));
        let gap = match relation {
            Relation::Less | Relation::AtMost => (limit.lo - value.hi).max(value.lo - limit.hi),
            Relation::More | Relation::AtLeast => (value.lo - limit.hi).max(limit.lo - value.hi),
        };
        self.margin_of(*id, gap)
    }

    /// A distance from a threshold, in the unit of the fact and in multiples of its spread.
    pub(crate) fn margin_of(&self, id: ColumnId, gap: f64) -> Option<Margin> {
        if !gap.is_finite() || gap < 0.0 {
            return None;
        }
        let column = self.book.words.get(id);
        let unit = column.unit.map(|id| self.book.words.units.get(id));
        let spread = match column.spread {
            Spread::Absolute(off) => off,
            Spread::Relative(share) => {
                let value = self.set(id).interval().hi.abs();
                share * value.max(column.smallest.unwrap_or(0.0))
            }
            Spread::Exact => 0.0,
        };
        let amount = unit.map_or(gap, |unit| unit.difference_from_main(gap));
        let number = self.phrases().number(amount, column.decimals);
        let said = unit.map_or("", |unit| unit.said(&number));
        Some(Margin {
            amount,
            shown: format!("{number} {said}").trim_end().to_owned(),
            unit: unit.map(|unit| unit.name.clone()).unwrap_or_default(),
            spreads: (spread > 0.0).then(|| gap / spread),
        })
    }

    /// The facts whose narrowing could decide an open condition.
    pub(crate) fn wants(&self, condition: &Condition) -> Vec<String> {
        let mut found = BTreeSet::new();
        self.open_facts(condition, &mut found);
        found
            .into_iter()
            .map(|id: ColumnId| self.book.words.get(id).name.clone())
            .collect()
    }

    pub(crate) fn open_facts(&self, condition: &Condition, found: &mut BTreeSet<ColumnId>) {
        self.open_below(condition, found, &mut BTreeSet::new());
    }

    /// `seen` holds the columns that were gone into: facts may rest on one another in far more ways than there are facts.
    fn open_below(
        &self,
        condition: &Condition,
        found: &mut BTreeSet<ColumnId>,
        seen: &mut BTreeSet<ColumnId>,
    ) {
        if self.verdict(condition) != Verdict::Open {
            return;
        }
        match &condition.test {
            Test::All(parts) | Test::Any(parts) => parts
                .iter()
                .for_each(|part| self.open_below(part, found, seen)),
            Test::Not(inner) => self.open_below(inner, found, seen),
            _ => condition.columns(&mut |id| self.unknown_below(id, found, seen)),
        }
    }

    fn unknown_below(
        &self,
        id: ColumnId,
        found: &mut BTreeSet<ColumnId>,
        seen: &mut BTreeSet<ColumnId>,
    ) {
        if self.set(id).is_known() || !seen.insert(id) {
            return;
        }
        let column = self.book.words.get(id);
        if self.facts.get(id).is_some() && !column.is_given() {
            return;
        }
        match &column.origin {
            Origin::Given { otherwise } => {
                found.insert(id);
                if self.facts.get(id).is_none()
                    && let Some(value) = otherwise
                {
                    value.columns(&mut |below| self.unknown_below(below, found, seen));
                }
            }
            Origin::Feature { series, .. } => {
                found.insert(*series);
            }
            Origin::Derived(Derivation::Truth { condition, .. }) | Origin::Test(condition) => {
                self.open_below(condition, found, seen);
            }
            Origin::Derived(Derivation::Number(value)) => {
                value.columns(&mut |below| self.unknown_below(below, found, seen));
            }
            Origin::Table(table) => self.open_cells(table, found, seen),
            // What the list itself leaves open nobody but its author can tell.
            Origin::Listed(listed) if self.set(listed.by).is_known() => {
                found.insert(id);
            }
            Origin::Listed(listed) => self.unknown_below(listed.by, found, seen),
            Origin::Order { left, right } => {
                self.unknown_below(*left, found, seen);
                self.unknown_below(*right, found, seen);
            }
            Origin::Derived(Derivation::Unread) => {}
        }
    }

    fn open_cells(
        &self,
        table: &Table,
        found: &mut BTreeSet<ColumnId>,
        seen: &mut BTreeSet<ColumnId>,
    ) {
        table
            .by
            .iter()
            .for_each(|id| self.unknown_below(*id, found, seen));
    }

    /// A value and how it came about.
    pub(crate) fn worked(&self, id: ColumnId, seen: &mut BTreeSet<ColumnId>) -> Worked {
        let column = self.book.words.get(id);
        let set = self.set(id);
        let mut worked = Worked {
            fact: column.name.clone(),
            label: column.label.clone(),
            shown: self.shown(id),
            low: None,
            high: None,
            unit: String::new(),
            from: Basis::Unknown,
            typed: None,
            on: None,
            age_days: None,
            formula: None,
            working: Vec::new(),
            conditions: Vec::new(),
            because: None,
            sources: Vec::new(),
            inputs: Vec::new(),
        };
        self.numbers(column, set, &mut worked);
        let first = seen.insert(id);
        match self.facts.get(id) {
            Some(_) => self.entered(id, &mut worked),
            None if first => self.origin(column, &mut worked, seen),
            None => worked.from = plain_origin(column),
        }
        worked
    }

    fn numbers(&self, column: &Column, set: Set, worked: &mut Worked) {
        let Set::Number(values) = set else { return };
        let unit = column.unit.map(|id| self.book.words.units.get(id));
        let shown = |main: f64| unit.map_or(main, |unit| unit.from_main(main));
        worked.unit = unit.map(|unit| unit.name.clone()).unwrap_or_default();
        worked.low = values.lo.is_finite().then(|| shown(values.lo));
        worked.high = values.hi.is_finite().then(|| shown(values.hi));
    }

    fn entered(&self, id: ColumnId, worked: &mut Worked) {
        let column = self.book.words.get(id);
        let Some(given) = self.facts.get(id) else {
            return;
        };
        worked.from = if self.is_stale(column, given) {
            Basis::Stale
        } else {
            Basis::Entered
        };
        worked.typed = (!given.typed.is_empty()).then(|| given.typed.clone());
        if let Some(latest) = given.readings.last() {
            worked.typed = Some(latest.typed.clone());
            worked.on = self.today.and_then(|_| date_of(latest.day));
            worked.age_days = self
                .today
                .map(|today| (libm::floor(today) - libm::floor(latest.day)).max(0.0));
            if worked.from == Basis::Stale {
                let date = worked.on.clone().unwrap_or_default();
                worked.shown = self.phrases().say(&phrase::STALE, [&date]);
            }
        }
    }

    fn origin(&self, column: &Column, worked: &mut Worked, seen: &mut BTreeSet<ColumnId>) {
        worked.because =
            Some(self.say(&column.because, None)).filter(|because| !because.is_empty());
        worked.sources = self.book.cited(&column.sources);
        worked.from = plain_origin(column);
        match &column.origin {
            Origin::Given {
                otherwise: Some(value),
            }
            | Origin::Derived(Derivation::Number(value)) => {
                worked.formula = Some(self.book.formula(value));
                worked.inputs = self.inputs(value, seen);
                self.working(value, column.unit, &mut worked.working);
            }
            Origin::Derived(Derivation::Truth { condition, .. }) => {
                let whole = self.explain(condition, seen);
                worked.conditions = match whole.form {
                    Form::All => whole.parts,
                    _ => vec![whole],
                };
            }
            Origin::Table(table) => {
                worked.working = self.rows_in_force(column, table);
                worked.inputs = table.by.iter().map(|id| self.worked(*id, seen)).collect();
            }
            Origin::Listed(listed) => {
                if let Some(row) = self.only_row(*listed) {
                    worked.sources = self.book.cited(&row.sources);
                }
                worked.inputs = vec![self.worked(listed.by, seen)];
            }
            Origin::Feature { series, feature } => self.series(*series, *feature, worked),
            Origin::Given { otherwise: None }
            | Origin::Derived(Derivation::Unread)
            | Origin::Order { .. }
            | Origin::Test(_) => {}
        }
    }

    fn inputs(&self, value: &Value, seen: &mut BTreeSet<ColumnId>) -> Vec<Worked> {
        let columns = once_each(|mut visit| value.columns(&mut visit));
        columns
            .into_iter()
            .map(|id| self.worked(id, seen))
            .collect()
    }

    /// The row of a list, where only one is possible.
    fn only_row(&self, listed: Listed) -> Option<&ListRow> {
        match self.set(listed.by) {
            Set::Choice(rows) if rows.count_ones() == 1 => {
                self.book.words.listed_row(listed, rows.trailing_zeros())
            }
            _ => None,
        }
    }

    fn rows_in_force(&self, column: &Column, table: &Table) -> Vec<String> {
        let possible = table
            .rows
            .iter()
            .filter(|row| self.row(table, row) != Verdict::Fails);
        let names: Vec<&str> = table
            .by
            .iter()
            .map(|id| self.book.words.get(*id).name.as_str())
            .collect();
        let line = |row: &super::book::vocabulary::Row| {
            let cells: Vec<&str> = row
                .words
                .split("  ")
                .map(str::trim)
                .filter(|cell| !cell.is_empty())
                .collect();
            let tests = names.iter().zip(&cells).filter(|(_, cell)| **cell != "any");
            let tests: Vec<String> = tests.map(|(name, cell)| format!("{name} {cell}")).collect();
            format!(
                "{}: {}",
                tests.join(", "),
                self.shown_set(column, row.result)
            )
        };
        possible.map(line).collect()
    }

    fn series(&self, id: ColumnId, feature: Feature, worked: &mut Worked) {
        let Some(given) = self.facts.get(id) else {
            return;
        };
        let old = feature.speaks_of_today() && self.is_stale(self.book.words.get(id), given);
        worked.from = if old { Basis::Stale } else { Basis::Entered };
        let kept = match feature {
            Feature::ReadsZero { last } | Feature::ReadsPresent { last } => last as usize,
            Feature::Number { .. } => 3,
        };
        let line = |reading: &super::facts::Reading| {
            format!(
                "{}: {}",
                date_of(reading.day).unwrap_or_default(),
                reading.typed
            )
        };
        worked.working = given
            .readings
            .iter()
            .rev()
            .take(kept.max(1))
            .map(line)
            .collect();
        worked.on = given
            .readings
            .last()
            .and_then(|reading| date_of(reading.day));
    }
}

/// Columns in the order in which they are first met.
fn once_each(walk: impl FnOnce(&mut dyn FnMut(ColumnId))) -> Vec<ColumnId> {
    let mut columns = Vec::new();
    walk(&mut |id| {
        if !columns.contains(&id) {
            columns.push(id);
        }
    });
    columns
}

fn plain_origin(column: &Column) -> Basis {
    match &column.origin {
        Origin::Given { otherwise: Some(_) } | Origin::Derived(_) => Basis::Worked,
        Origin::Table(_) | Origin::Listed(_) => Basis::Table,
        Origin::Test(_) | Origin::Order { .. } => Basis::Worked,
        Origin::Feature { .. } | Origin::Given { otherwise: None } => Basis::Unknown,
    }
}

impl super::book::Book {
    pub(crate) fn cited(&self, citations: &[Citation]) -> Vec<SourceRef> {
        let cite = |citation: &Citation| {
            let source = &self.sources[citation.source as usize];
            SourceRef {
                id: source.id.clone(),
                words: source.words.clone(),
                place: citation.place.clone(),
                support: source.support,
                read: source.read.clone(),
            }
        };
        citations.iter().map(cite).collect()
    }
}
