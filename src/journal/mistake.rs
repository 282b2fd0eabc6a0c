//! What is wrong in a journal, where, and what to do about it.

use std::fmt;

use serde::Serialize;

/// More mistakes than this are counted, not listed.
const MAX_LISTED: usize = 200;
/// A piece of a keeper's text is quoted up to this many characters.
pub(super) const MAX_QUOTED: usize = 60;

/// One mistake in a journal, in words for its keeper.
///
/// Shown as place, message and hint:
/// ``events[3].on: `2026-13-01` is not a date; write it as year-month-day, as in 2026-09-01``.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
pub struct Mistake {
    /// Where it is, such as `events[3].values.nitrite` or `line 4, column 7`; empty for the file as a whole.
    /// Events are counted from 0, in the order of the file.
    pub place: String,
    /// What is wrong.
    pub message: String,
    /// What to do about it, where that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hint: Option<String>,
}

impl Mistake {
    pub(super) fn new(place: &str, message: impl Into<String>, hint: &str) -> Mistake {
        Mistake {
            place: place.to_owned(),
            message: message.into(),
            hint: (!hint.is_empty()).then(|| hint.to_owned()),
        }
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        f.write_str(&self.message)?;
        match &self.hint {
            Some(hint) => write!(f, "; {hint}"),
            None => Ok(()),
        }
    }
}

/// All mistakes of a journal, in the order of the file; at least one.
///
/// It shows itself with one mistake a line, and can be gone through like a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[serde(transparent)]
#[error("{}", listed(.0))]
pub struct Mistakes(pub Vec<Mistake>);

fn listed(mistakes: &[Mistake]) -> String {
    let lines: Vec<String> = mistakes.iter().map(Mistake::to_string).collect();
    lines.join("\n")
}

impl std::ops::Deref for Mistakes {
    type Target = [Mistake];

    fn deref(&self) -> &[Mistake] {
        &self.0
    }
}

impl IntoIterator for Mistakes {
    type Item = Mistake;
    type IntoIter = std::vec::IntoIter<Mistake>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl From<Vec<Mistake>> for Mistakes {
    fn from(mistakes: Vec<Mistake>) -> Mistakes {
        Mistakes(mistakes)
    }
}

/// The mistakes found so far.
#[derive(Default)]
pub(super) struct Found {
    listed: Vec<Mistake>,
    unlisted: usize,
}

impl Found {
    /// Adds a mistake; its words are only made if it will be listed.
    pub(super) fn add<M: Into<String>>(
        &mut self,
        place: &str,
        words: impl FnOnce() -> (M, String),
    ) {
        if self.listed.len() < MAX_LISTED {
            let (message, hint) = words();
            self.listed.push(Mistake::new(place, message, &hint));
        } else {
            self.unlisted += 1;
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.listed.is_empty()
    }

    /// All mistakes, the last one saying how many more there are if they were too many to list.
    pub(super) fn into_all(mut self) -> Mistakes {
        if self.unlisted > 0 {
            let message = format!("mistakes not listed here: {}", self.unlisted);
            self.listed
                .push(Mistake::new("", message, "mend the listed ones first"));
        }
        Mistakes(self.listed)
    }
}

/// A keeper's text as a message may quote it: in backticks, on one line, and not too long.
pub(super) fn quoted(text: &str) -> String {
    format!("`{}`", shortened(text))
}

/// A text on one line with nothing invisible in it, cut where it grows too long for a message.
pub(super) fn shortened(text: &str) -> String {
    let visible = |letter: char| {
        if letter.is_control() {
            char::REPLACEMENT_CHARACTER
        } else {
            letter
        }
    };
    let mut short: String = text.chars().take(MAX_QUOTED).map(visible).collect();
    if text.chars().nth(MAX_QUOTED).is_some() {
        short.push('…');
    }
    short
}

/// A question that offers the known name nearest to a misspelt one, or else the list of all.
pub(super) fn suggestion(misspelt: &str, known: &[&str]) -> String {
    match nearest(misspelt, known) {
        Some(name) => format!("did you mean `{name}`?"),
        None => format!("what can stand here: {}", known.join(", ")),
    }
}

/// The known name that takes the fewest changed letters, if they are few for its length.
fn nearest<'a>(misspelt: &str, known: &[&'a str]) -> Option<&'a str> {
    let typed: Vec<char> = misspelt
        .chars()
        .take(MAX_QUOTED)
        .flat_map(char::to_lowercase)
        .collect();
    let near = |name: &&str| changed_letters(&typed, name) <= (name.len() / 3).max(1);
    known
        .iter()
        .copied()
        .filter(near)
        .min_by_key(|name| changed_letters(&typed, name))
}

/// How many letters must be put in, left out or replaced to turn what was typed into `name`.
fn changed_letters(typed: &[char], name: &str) -> usize {
    let mut row: Vec<usize> = (0..=typed.len()).collect();
    for (done, letter) in name.chars().enumerate() {
        let mut diagonal = std::mem::replace(&mut row[0], done + 1);
        for (column, &other) in typed.iter().enumerate() {
            let replaced = diagonal + usize::from(letter != other);
            diagonal = row[column + 1];
            row[column + 1] = replaced.min(diagonal + 1).min(row[column] + 1);
        }
    }
    row[typed.len()]
}
