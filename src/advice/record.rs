//! A record: what was known, by which book, and what it said; so that it can be checked later.

use serde::Serialize;
use serde_json::{Map, Value};

use crate::engine::{Book, FieldDiffers, fields_that_differ};
use crate::journal::{Date, Journal, Mistake, Mistakes};

use super::advise;

/// The format of a record.
pub const RECORD_FORMAT: &str = "lentic-record/1";

/// How a record and a fresh answer compare.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Verified {
    /// Whether the fresh answer is the same, to the last field.
    pub same: bool,
    /// Whether the book is the same, to the last character.
    pub same_book: bool,
    /// What differs, field by field.
    pub differs: Vec<FieldDiffers>,
}

/// Journal, date, book and answer in one piece of JSON.
///
/// # Errors
/// As for [`advise`].
pub fn record(book: &Book, journal: &Journal, on: Date) -> Result<Value, Mistakes> {
    let advice = advise(book, journal, on)?;
    let mut record = Map::new();
    record.insert("format".into(), RECORD_FORMAT.into());
    record.insert("date".into(), on.to_string().into());
    record.insert("journal".into(), plain(journal));
    record.insert("answer".into(), plain(&advice));
    Ok(Value::Object(record))
}

/// Anything as it reads after a round through JSON text: a second way to data would be more code for every answer.
fn plain<T: Serialize>(value: &T) -> Value {
    let text = serde_json::to_string(value).unwrap_or_default();
    serde_json::from_str(&text).unwrap_or_default()
}

/// Runs a record again by `book`, and says whether the answer is the same, or what differs.
///
/// # Errors
/// What is wrong with the record, each with its place.
pub fn verify(book: &Book, text: &str) -> Result<Verified, Mistakes> {
    let wrong = |place: &str, message: &str| {
        Mistakes(vec![Mistake {
            place: place.into(),
            message: message.into(),
            hint: None,
        }])
    };
    let recorded: Value = serde_json::from_str(text)
        .map_err(|error| wrong("", &format!("this is no record: {error}")))?;
    let field = |name: &str| {
        recorded
            .get(name)
            .ok_or_else(|| wrong(name, "the record lacks this"))
    };
    if field("format")? != RECORD_FORMAT {
        return Err(wrong(
            "format",
            "this is not a record of the format lentic-record/1, or a newer one",
        ));
    }
    let date = field("date")?.as_str().unwrap_or_default().to_owned();
    let on = Date::parse(&date).map_err(|error| wrong("date", &error.to_string()))?;
    let journal = Journal::from_json(&field("journal")?.to_string())?;
    let answer = field("answer")?;
    let now = plain(&advise(book, &journal, on)?);
    let differs = fields_that_differ("answer", answer, &now);
    let digest = answer.pointer("/book/digest").and_then(Value::as_str);
    Ok(Verified {
        same: differs.is_empty(),
        same_book: digest == Some(book.digest()),
        differs,
    })
}
