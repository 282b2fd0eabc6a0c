//! A condition or an amount as it was written.

use super::super::unit::UnitId;

#[derive(Debug, Clone)]
pub(crate) struct Expr {
    pub node: Node,
    pub from: usize,
    pub to: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Operator {
    Add,
    Subtract,
    Multiply,
    Divide,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Relation {
    Less,
    AtMost,
    More,
    AtLeast,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SeriesWord {
    Highest,
    Lowest,
    Change,
    Age,
}

#[derive(Debug, Clone)]
pub(crate) struct Name {
    pub value: String,
    pub from: usize,
    pub to: usize,
}

#[derive(Debug, Clone)]
pub(crate) enum Node {
    Number {
        value: f64,
        unit: Option<UnitId>,
    },
    Date(f64),
    Name(String),
    Call {
        name: Name,
        arguments: Vec<Expr>,
    },
    Negate(Box<Expr>),
    Arithmetic {
        operator: Operator,
        left: Box<Expr>,
        right: Box<Expr>,
    },
    Compare {
        relation: Relation,
        left: Box<Expr>,
        right: Box<Expr>,
    },
    Within {
        value: Box<Expr>,
        low: Box<Expr>,
        high: Box<Expr>,
    },
    IsOneOf {
        fact: Name,
        options: Vec<Name>,
        negated: bool,
    },
    Includes {
        fact: Name,
        option: Name,
    },
    Reads {
        fact: Name,
        zero: bool,
        last: u32,
    },
    Series {
        word: SeriesWord,
        fact: Name,
        window: Option<Box<Expr>>,
    },
    And(Vec<Expr>),
    Or(Vec<Expr>),
    Not(Box<Expr>),
}
