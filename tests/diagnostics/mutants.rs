//! Slips of the hand, thousands of kinds of them: a damaged book is refused in words or runs, and never breaks.

use lentic::advice::{BUILT_IN, FUNCTIONS};
use lentic::engine::{Book, Facts, File};

/// Small, and the same everywhere: Marsaglia's xorshift with 64 bits, Journal of Statistical Software 8(14), 2003.
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % count.max(1) as u64) as usize
    }
}

/// Pieces that books are made of, to be put where they do not belong.
const PIECES: [&str; 16] = [
    "\n",
    "  ",
    "\t",
    "(",
    ")",
    "{",
    "}",
    "-",
    " and ",
    " to ",
    "9999999999",
    "\u{feff}",
    "°",
    " because ",
    ",",
    "#",
];

/// A text with one to four slips in it.
fn damaged(chance: &mut Chance, text: &str) -> String {
    let mut text = text.to_owned();
    for _ in 0..1 + chance.below(4) {
        text = match chance.below(6) {
            0 => with_lines(&text, |lines| {
                let (a, b) = (chance.below(lines.len()), chance.below(lines.len()));
                lines.swap(a, b);
            }),
            1 => with_lines(&text, |lines| {
                lines.remove(chance.below(lines.len()));
            }),
            2 => with_lines(&text, |lines| {
                let at = chance.below(lines.len());
                lines.insert(at, lines[at]);
            }),
            kind => with_bytes(&text, chance, kind),
        };
    }
    text
}

fn with_lines(text: &str, change: impl FnOnce(&mut Vec<&str>)) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    change(&mut lines);
    lines.join("\n")
}

fn with_bytes(text: &str, chance: &mut Chance, kind: usize) -> String {
    let mut bytes = text.as_bytes().to_vec();
    let at = chance.below(bytes.len());
    match kind {
        3 => bytes[at] ^= 1 << chance.below(8),
        4 => drop(bytes.drain(at..(at + 1 + chance.below(12)).min(text.len()))),
        _ => {
            let piece = PIECES[chance.below(PIECES.len())].bytes();
            bytes.splice(at..at, piece);
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Loads a damaged book; where it is still good, runs it on nothing.
fn check(files: Vec<File>) -> bool {
    match Book::load(files, FUNCTIONS) {
        Ok(book) => {
            let facts = Facts::default();
            let answer = book.evaluate(&facts).answer();
            assert!(!serde_json::to_string(&answer).unwrap().is_empty());
            true
        }
        Err(mistakes) => {
            assert!(!mistakes.0.is_empty() && !mistakes.to_string().is_empty());
            for mistake in &mistakes.0 {
                let line = mistake.text.chars().count() as u32;
                assert!(mistake.column <= line + 1, "{mistake}");
                assert!(mistake.column + mistake.length <= line + 2, "{mistake}");
            }
            false
        }
    }
}

/// A book with slips in one of its files.
fn mutant(chance: &mut Chance, files: &[File]) -> Vec<File> {
    let mut files = files.to_vec();
    let file = chance.below(files.len());
    files[file].text = damaged(chance, &files[file].text);
    files
}

/// How many of so many damaged books are still books.
fn still_good(seed: u64, count: usize, files: &[File]) -> usize {
    let chance = &mut Chance(seed);
    (0..count).filter(|_| check(mutant(chance, files))).count()
}

#[test]
fn damage_to_the_built_in_book_never_breaks_the_loader() {
    let files: Vec<File> = BUILT_IN
        .iter()
        .map(|(name, text)| File::new(*name, *text))
        .collect();
    // Hardly a slip in a list is harmless: what is no text must be a number, a span or an option.
    let good = still_good(0x0DD5_11B5, 120, &files);
    assert!(
        (6..114).contains(&good),
        "{good} of 120: the slips are too mild or too harsh"
    );
}

#[test]
fn damage_to_a_small_book_never_breaks_the_loader() {
    let good = still_good(0x0DD5_11B6, 600, &[super::frame()]);
    assert!(
        (50..550).contains(&good),
        "{good} of 600: the slips are too mild or too harsh"
    );
}
