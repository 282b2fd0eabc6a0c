//! Bounds on what a book may ask for, so that a hostile one ends in a message.

/// Bytes of all files of a book together.
pub const BOOK_BYTES: usize = 8 << 20;
/// Characters in one line.
pub const LINE_CHARACTERS: usize = 4_000;
/// Blocks in a book.
pub const BLOCKS: usize = 40_000;
/// Parentheses and `not`s inside one another in one condition.
pub const NESTING: usize = 64;
/// Words and signs in one condition.
pub const TOKENS: usize = 2_000;
/// Rows that the normal form of one condition may have; more and a part of it becomes a fact of its own.
pub const ROWS: usize = 64;
/// Options of one choice; they are kept as bits.
pub const OPTIONS: usize = 128;
/// Readings kept of one series: the newest.
pub const READINGS: usize = 2_000;
/// Mistakes reported at once; a book with more is not being read but thrown.
pub const MISTAKES: usize = 500;
