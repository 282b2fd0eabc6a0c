//! Bounds on what a book may ask for, so that a hostile one ends in a message.

/// Bytes of all files of a book together.
pub const BOOK_BYTES: usize = 4 << 20;
/// Characters in one line.
pub const LINE_CHARACTERS: usize = 4_000;
/// Blocks in a book.
pub const BLOCKS: usize = 10_000;
/// Lines that one field may go on over.
pub const FIELD_LINES: usize = 100;
/// Fields in one block.
pub const FIELDS: usize = 1_000;
/// Parentheses and `not`s inside one another in one condition.
pub const NESTING: usize = 64;
/// Words and signs in one condition.
pub const TOKENS: usize = 500;
/// Rows that the normal form of one condition may have; more and a part of it becomes a fact of its own.
pub const ROWS: usize = 64;
/// Facts that are worked out one from the other in a row, with the conditions inside one another that lead there.
pub const CHAIN: usize = 100;
/// Characters in one spelling of a unit.
pub const UNIT_CHARACTERS: usize = 40;
/// Options of one choice; they are kept as bits.
pub const OPTIONS: usize = 128;
/// Readings kept of one series: the newest.
pub const READINGS: usize = 2_000;
/// Mistakes reported at once; a book with more is not being read but thrown.
pub const MISTAKES: usize = 500;
