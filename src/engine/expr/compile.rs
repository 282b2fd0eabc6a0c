//! Conditions and amounts with every name and unit settled: what the evaluator runs.

use super::super::book::vocabulary::Column;
use super::super::phrase::{self, Phrases};
use super::super::set::{Interval, NO, Set, YES};
use super::ast::{Operator, Relation, SeriesWord};

/// A fact, a derived fact, a table or a series word: one thing with a set of possible values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct ColumnId(pub u32);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct FunctionId(pub u32);

/// An amount: a number in the main unit of its dimension.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    Constant(f64),
    Column(ColumnId),
    Negate(Box<Value>),
    Arithmetic {
        operator: Operator,
        left: Box<Value>,
        right: Box<Value>,
    },
    Least(Vec<Value>),
    Greatest(Vec<Value>),
    Call {
        function: FunctionId,
        arguments: Vec<Value>,
    },
}

/// A condition, with the words it was written in.
#[derive(Debug, Clone)]
pub(crate) struct Condition {
    pub test: Test,
    pub text: String,
}

#[derive(Debug, Clone)]
pub(crate) enum Test {
    Compare {
        relation: Relation,
        left: Value,
        right: Value,
    },
    Within {
        value: Value,
        low: Value,
        high: Value,
    },
    OneOf {
        column: ColumnId,
        mask: u128,
    },
    Includes {
        column: ColumnId,
        mask: u128,
    },
    All(Vec<Condition>),
    Any(Vec<Condition>),
    Not(Box<Condition>),
}

/// What a series word asks of the readings of one fact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Feature {
    /// Whether the readings of the last `last` test days are all below the smallest mark.
    ReadsZero { last: u32 },
    /// Whether the readings of the last `last` test days are all at or above the smallest mark.
    ReadsPresent { last: u32 },
    /// Highest, lowest or change over so many days; age in days.
    Number { word: SeriesWord, days: f64 },
}

impl Feature {
    /// Whether it rests on the latest reading as the state of today.
    pub fn speaks_of_today(self) -> bool {
        match self {
            Feature::ReadsZero { .. } | Feature::ReadsPresent { .. } => true,
            Feature::Number { word, .. } => word == SeriesWord::Change,
        }
    }
}

impl Value {
    /// Calls `visit` for every column the value rests on directly.
    pub fn columns(&self, visit: &mut impl FnMut(ColumnId)) {
        match self {
            Value::Constant(_) => {}
            Value::Column(column) => visit(*column),
            Value::Negate(inner) => inner.columns(visit),
            Value::Arithmetic { left, right, .. } => {
                left.columns(visit);
                right.columns(visit);
            }
            Value::Least(parts)
            | Value::Greatest(parts)
            | Value::Call {
                arguments: parts, ..
            } => {
                parts.iter().for_each(|part| part.columns(visit));
            }
        }
    }
}

impl Condition {
    /// How many conditions stand inside one another, at most.
    pub fn depth(&self) -> usize {
        match &self.test {
            Test::All(parts) | Test::Any(parts) => {
                1 + parts.iter().map(Condition::depth).max().unwrap_or(0)
            }
            Test::Not(inner) => 1 + inner.depth(),
            _ => 1,
        }
    }

    /// Calls `visit` for every column the condition rests on directly.
    pub fn columns(&self, visit: &mut impl FnMut(ColumnId)) {
        match &self.test {
            Test::Compare { left, right, .. } => {
                left.columns(visit);
                right.columns(visit);
            }
            Test::Within { value, low, high } => {
                value.columns(visit);
                low.columns(visit);
                high.columns(visit);
            }
            Test::OneOf { column, .. } | Test::Includes { column, .. } => visit(*column),
            Test::All(parts) | Test::Any(parts) => {
                parts.iter().for_each(|part| part.columns(visit))
            }
            Test::Not(inner) => inner.columns(visit),
        }
    }
}

impl Feature {
    /// The series word as it is written in a rule, for the series called `name`.
    pub fn words(self, name: &str) -> String {
        let last = |last: u32| {
            if last > 1 {
                format!(" on the last {last} readings")
            } else {
                String::new()
            }
        };
        match self {
            Feature::ReadsZero { last: n } => format!("{name} reads zero{}", last(n)),
            Feature::ReadsPresent { last: n } => format!("{name} reads present{}", last(n)),
            Feature::Number {
                word: SeriesWord::Age,
                ..
            } => format!("age of {name}"),
            Feature::Number {
                word: SeriesWord::Change,
                days,
            } => format!("change of {name} over {days} days"),
            Feature::Number {
                word: SeriesWord::Highest,
                days,
            } => format!("highest {name} over {days} days"),
            Feature::Number {
                word: SeriesWord::Lowest,
                days,
            } => format!("lowest {name} over {days} days"),
        }
    }

    /// The same as a label: a capital at the start, and none within but those of signs such as pH.
    pub fn label(self, label: &str, phrases: &Phrases) -> String {
        let is_sign = label.chars().skip(1).any(char::is_uppercase);
        let inner = match is_sign {
            true => label.to_owned(),
            false => phrases.lowered(label),
        };
        let over = |phrase, days: f64| phrases.say(phrase, [&inner, &days.to_string()]);
        let last = |phrase, last: u32| phrases.say(phrase, [label, &last.to_string()]);
        match self {
            Feature::ReadsZero { last: n @ 2.. } => last(&phrase::LAST_READS_ZERO, n),
            Feature::ReadsPresent { last: n @ 2.. } => last(&phrase::LAST_READS_PRESENT, n),
            Feature::ReadsZero { .. } => phrases.say(&phrase::READS_ZERO, [label]),
            Feature::ReadsPresent { .. } => phrases.say(&phrase::READS_PRESENT, [label]),
            Feature::Number { word, days } => match word {
                SeriesWord::Age => phrases.say(&phrase::AGE, [&inner]),
                SeriesWord::Change => over(&phrase::CHANGE, days),
                SeriesWord::Highest => over(&phrase::HIGHEST, days),
                SeriesWord::Lowest => over(&phrase::LOWEST, days),
            },
        }
    }

    /// What it may be while nothing has been read.
    pub fn range(self, series: &Column) -> Set {
        let all = series.range.interval();
        match self {
            Feature::ReadsZero { .. } | Feature::ReadsPresent { .. } => Set::Choice(YES | NO),
            Feature::Number {
                word: SeriesWord::Age,
                ..
            } => Set::Number(Interval {
                lo: 0.0,
                hi: OLDEST_READING_DAYS,
            }),
            Feature::Number {
                word: SeriesWord::Change,
                ..
            } => Set::Number(all.add(all.negate())),
            Feature::Number { .. } => Set::Number(all),
        }
    }
}

/// No reading is taken to be older than a century.
const OLDEST_READING_DAYS: f64 = 36_525.0;
