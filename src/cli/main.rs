//! The program `lentic`.
fn main() {}
