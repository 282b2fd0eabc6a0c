//! Lentic reasons with people who start and keep planted freshwater tanks.

pub mod advice;
pub mod engine;
pub mod journal;
pub mod water;
