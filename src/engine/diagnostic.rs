//! What is wrong with a book, and where.

use std::fmt;

use serde::Serialize;

/// A place in a book: bytes from the start of its files, one after the other with one byte between two.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Place(pub u32);

impl Place {
    /// The place so many bytes further on.
    pub fn plus(self, bytes: usize) -> Place {
        Place(self.0 + bytes as u32)
    }
}

/// A stretch of a book: where it starts, and how many characters it covers.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Mark {
    pub place: Place,
    pub characters: u32,
}

impl Mark {
    /// Where a book starts.
    pub const START: Mark = Mark {
        place: Place(0),
        characters: 1,
    };

    /// One character.
    pub fn of_one(place: Place) -> Mark {
        let characters = 1;
        Mark { place, characters }
    }
}

/// One mistake in a book: where it stands, what was found, what was expected.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Diagnostic {
    /// Name of the file, as it was handed to the loader.
    pub file: String,
    /// Line, counted from 1.
    pub line: u32,
    /// Column in characters, counted from 1.
    pub column: u32,
    /// How many characters the mistake covers, at least 1.
    pub length: u32,
    /// The line itself.
    pub text: String,
    /// What is wrong, in words.
    pub message: String,
    /// What to write instead, where that is known.
    pub help: Option<String>,
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}:{}:{}: {}",
            self.file, self.line, self.column, self.message
        )?;
        if let Some(help) = &self.help {
            write!(f, ", {help}")?;
        }
        let indent = " ".repeat(self.column.saturating_sub(1) as usize);
        let marks = "^".repeat(self.length.max(1) as usize);
        write!(f, "\n  | {}\n  | {indent}{marks}", self.text)
    }
}

/// All mistakes of a book, in the order of its files and lines.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", listed(.0))]
pub struct Mistakes(pub Vec<Diagnostic>);

fn listed(diagnostics: &[Diagnostic]) -> String {
    let lines: Vec<String> = diagnostics.iter().map(ToString::to_string).collect();
    lines.join("\n")
}

/// The known name that is closest to `wanted`, if one is close enough to be meant.
pub(crate) fn nearest<'a>(
    wanted: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    nearest_of(wanted, &mut known.into_iter())
}

fn nearest_of<'a>(wanted: &str, known: &mut dyn Iterator<Item = &'a str>) -> Option<&'a str> {
    let limit = 1 + wanted.chars().count() / 4;
    known
        .filter(|name| name.len().abs_diff(wanted.len()) <= 4 * limit)
        .map(|name| (edits(wanted, name), name))
        .filter(|(distance, _)| *distance <= limit)
        .min()
        .map(|(_, name)| name)
}

/// "did you mean ..." for a name, or nothing where no known name is close.
pub(crate) fn did_you_mean<'a>(
    wanted: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<String> {
    nearest(wanted, known).map(|name| format!("did you mean `{name}`?"))
}

/// What to write instead of a name that is not known: the nearest that is, or all of them where they are few.
pub(crate) fn instead<'a>(
    wanted: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<String> {
    instead_of(wanted, &known.into_iter().collect::<Vec<&str>>())
}

fn instead_of(wanted: &str, known: &[&str]) -> Option<String> {
    let all = || match known.len() {
        1..=FEW => Some(format!("write one of {}", known.join(", "))),
        _ => None,
    };
    did_you_mean(wanted, known.iter().copied()).or_else(all)
}

/// So many names can be listed in a message.
const FEW: usize = 8;

/// Insertions, deletions, replacements and swaps of neighbours that lead from one word to the other.
fn edits(from: &str, to: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (
        from.chars().take(64).collect(),
        to.chars().take(64).collect(),
    );
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    rows[0] = (0..=b.len()).collect();
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let replaced = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
            let mut least = replaced.min(rows[i - 1][j] + 1).min(rows[i][j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = least;
        }
    }
    rows[a.len()][b.len()]
}
