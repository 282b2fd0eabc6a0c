//! A condition or an amount as it was written.

use super::super::unit::UnitId;

#[derive(Debug, Clone)]
pub(crate) struct Expr<'a> {
    pub node: Node<'a>,
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

#[derive(Debug, Clone, Copy)]
pub(crate) struct Name<'a> {
    pub value: &'a str,
    pub from: usize,
    pub to: usize,
}

#[derive(Debug, Clone)]
pub(crate) enum Node<'a> {
    Number {
        value: f64,
        unit: Option<UnitId>,
    },
    Date(f64),
    Name(&'a str),
    Call {
        name: Name<'a>,
        arguments: Vec<Expr<'a>>,
    },
    Negate(Box<Expr<'a>>),
    Arithmetic {
        operator: Operator,
        left: Box<Expr<'a>>,
        right: Box<Expr<'a>>,
    },
    Compare {
        relation: Relation,
        left: Box<Expr<'a>>,
        right: Box<Expr<'a>>,
    },
    Within {
        value: Box<Expr<'a>>,
        low: Box<Expr<'a>>,
        high: Box<Expr<'a>>,
    },
    IsOneOf {
        fact: Name<'a>,
        options: Vec<Name<'a>>,
        negated: bool,
    },
    Includes {
        fact: Name<'a>,
        option: Name<'a>,
    },
    Reads {
        fact: Name<'a>,
        zero: bool,
        last: u32,
    },
    Series {
        word: SeriesWord,
        fact: Name<'a>,
        window: Option<Box<Expr<'a>>>,
    },
    And(Vec<Expr<'a>>),
    Or(Vec<Expr<'a>>),
    Not(Box<Expr<'a>>),
}
