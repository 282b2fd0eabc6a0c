//! Words and signs of a condition.

use super::super::book::text::{Log, Text};
use super::super::limit;
use super::super::unit::{UnitId, Units};
use super::parse::RESERVED;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Token<'a> {
    Number {
        value: f64,
        unit: Option<UnitId>,
    },
    /// Days since 1970-01-01.
    Date(f64),
    Word(&'a str),
    Sign(&'static str),
    End,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Spot<'a> {
    pub token: Token<'a>,
    pub from: usize,
    pub to: usize,
}

const SIGNS: [&str; 11] = ["<=", ">=", "<", ">", "(", ")", ",", "+", "-", "*", "/"];

/// Tokens of a text, ending with [`Token::End`]. What cannot be read is reported, and `None` returned.
pub(crate) fn tokens<'a>(
    text: &'a Text<'_>,
    units: &Units,
    log: &mut Log,
) -> Option<Vec<Spot<'a>>> {
    let mut spots = Vec::new();
    let mut at = 0;
    let source = &*text.value;
    while let Some(c) = source[at..].chars().next() {
        if c.is_whitespace() {
            at += c.len_utf8();
            continue;
        }
        let spot = token(text, at, units, log)?;
        at = spot.to;
        spots.push(spot);
        if spots.len() > limit::TOKENS {
            log.at(
                text,
                format!("more than {} words and signs in one line", limit::TOKENS),
            );
            return None;
        }
    }
    spots.push(Spot {
        token: Token::End,
        from: source.len(),
        to: source.len(),
    });
    Some(spots)
}

fn token<'a>(text: &'a Text<'_>, at: usize, units: &Units, log: &mut Log) -> Option<Spot<'a>> {
    let rest = &text.value[at..];
    let first = rest.chars().next()?;
    if first.is_ascii_digit() {
        return match date_length(rest) {
            Some(length) => date(text, at, length, log),
            None => number(text, at, units, log),
        };
    }
    if first.is_ascii_lowercase() {
        let length = word_length(rest);
        let word = &rest[..length];
        return Some(Spot {
            token: Token::Word(word),
            from: at,
            to: at + length,
        });
    }
    if let Some(sign) = SIGNS.iter().find(|sign| rest.starts_with(**sign)) {
        return Some(Spot {
            token: Token::Sign(sign),
            from: at,
            to: at + sign.len(),
        });
    }
    let strange = text.part(at, at + first.len_utf8());
    log.at(&strange, format!("`{first}` means nothing here"));
    None
}

/// Length of a name: lower-case letters and digits, joined by single hyphens.
fn word_length(rest: &str) -> usize {
    let bytes = rest.as_bytes();
    let is_part = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit();
    let mut length = 0;
    while length < bytes.len() {
        let joins = bytes[length] == b'-' && bytes.get(length + 1).is_some_and(|b| is_part(*b));
        if !is_part(bytes[length]) && !joins {
            break;
        }
        length += 1;
    }
    length
}

/// Length of what is written like a date, whether there is such a day or not.
fn date_length(rest: &str) -> Option<usize> {
    let length = rest
        .find(|c: char| !c.is_ascii_digit() && c != '-')
        .unwrap_or(rest.len());
    let parts: Vec<&str> = rest[..length].split('-').collect();
    (parts.len() == 3 && parts[0].len() == 4).then_some(length)
}

fn date(text: &Text<'_>, at: usize, length: usize, log: &mut Log) -> Option<Spot<'static>> {
    let to = at + length;
    let written = text.part(at, to);
    match days_of(&written.value) {
        Some(days) => Some(Spot {
            token: Token::Date(days),
            from: at,
            to,
        }),
        None => {
            log.hint(&written, no_date(&written.value), DATE_HELP);
            None
        }
    }
}

/// Whether a text is written as a date, be there such a day or not.
pub(crate) fn is_shaped_as_date(text: &str) -> bool {
    date_length(text) == Some(text.len()) && text.len() == 10
}

/// What is said of a text that is no date.
pub(crate) fn no_date(text: &str) -> String {
    if is_shaped_as_date(text) {
        format!("the calendar has no day `{text}`")
    } else {
        format!("`{text}` is not a date")
    }
}

/// How a date is written.
pub(crate) const DATE_HELP: &str = "write it as year-month-day, as in 2026-09-01";

/// Days since 1970-01-01 of a date written `YYYY-MM-DD`.
pub(crate) fn days_of(text: &str) -> Option<f64> {
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() || year.len() != 4 || month.len() != 2 || day.len() != 2 {
        return None;
    }
    // A sign would be read as part of a number.
    if [year, month, day].concat().contains('+') {
        return None;
    }
    let month = time::Month::try_from(month.parse::<u8>().ok()?).ok()?;
    let date = time::Date::from_calendar_date(year.parse().ok()?, month, day.parse().ok()?).ok()?;
    Some(f64::from(date.to_julian_day() - UNIX_EPOCH_JULIAN_DAY))
}

/// The date a count of days since 1970-01-01 stands for, written `YYYY-MM-DD`.
pub(crate) fn date_of(days: f64) -> Option<String> {
    let whole = days.floor();
    if !(-1_000_000.0..=1_000_000.0).contains(&whole) {
        return None;
    }
    let date = time::Date::from_julian_day(whole as i32 + UNIX_EPOCH_JULIAN_DAY).ok()?;
    Some(format!(
        "{:04}-{:02}-{:02}",
        date.year(),
        u8::from(date.month()),
        date.day()
    ))
}

const UNIX_EPOCH_JULIAN_DAY: i32 = 2_440_588;

fn number(text: &Text<'_>, at: usize, units: &Units, log: &mut Log) -> Option<Spot<'static>> {
    let rest = &text.value[at..];
    let length = rest
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(rest.len());
    let digits = rest[..length].trim_end_matches('.');
    let mut to = at + digits.len();
    let value = match digits.parse::<f64>() {
        Ok(value) if value.is_finite() && value <= 1e15 => value,
        _ => {
            log.hint(
                &text.part(at, to),
                format!("`{digits}` is not a number"),
                "write it as in 0.25, at most 1e15",
            );
            return None;
        }
    };
    let gap = text.value[to..].len() - text.value[to..].trim_start().len();
    let after = &text.value[to + gap..];
    let mut unit = None;
    if let Some((id, length)) = units.longest_prefix(after) {
        unit = Some(id);
        to += gap + length;
    } else if let Some(length) = strange_unit(after) {
        units.unknown(&text.part(to + gap, to + gap + length), log);
        return None;
    }
    Some(Spot {
        token: Token::Number { value, unit },
        from: at,
        to,
    })
}

/// Length of a word after a number that is neither a unit nor a word that conditions go on with.
fn strange_unit(after: &str) -> Option<usize> {
    let length = after
        .find(|c: char| c.is_whitespace() || "(),<>=".contains(c))
        .unwrap_or(after.len());
    let word = &after[..length];
    let starts = word.starts_with(|c: char| c.is_alphabetic() || "°%µ".contains(c));
    (starts && !RESERVED.contains(&word)).then_some(length)
}
