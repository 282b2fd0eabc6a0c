//! Conditions and amounts: read, checked against the vocabulary, compiled.

pub(crate) mod ast;
pub(crate) mod compile;
pub(crate) mod parse;
pub(crate) mod resolve;
pub(crate) mod token;
