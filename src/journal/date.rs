//! Days of the calendar and times of the day, as a keeper writes them.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use thiserror::Error;

const JULIAN_DAY_OF_1970: i32 = 2_440_588;
const FIRST_YEAR: i32 = 1900;
const LAST_YEAR: i32 = 2200;

/// A day of the Gregorian calendar, kept as the number of days since 1970-01-01.
///
/// Every `Date` lies from 1900-01-01 to 2200-12-31. It is written and read as `2026-09-01`.
///
/// ```
/// use lentic::journal::Date;
///
/// let filled = Date::parse("2026-09-01").unwrap();
/// let today = filled.plus_days(30);
/// assert_eq!(today.to_string(), "2026-10-01");
/// assert_eq!(today.days_from(filled), 30);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(i32);

/// Why a text is not a [`Date`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum DateError {
    /// It is not written as year-month-day, or the calendar has no such day.
    #[error("not a date; write it as year-month-day, as in 2026-09-01")]
    NotADate,
    /// It is a date of a year before 1900 or after 2200.
    #[error("not a date from {FIRST_YEAR} to {LAST_YEAR}; look at the year again")]
    YearOutOfRange,
}

impl Date {
    /// The earliest date there is, 1900-01-01.
    pub const FIRST: Date = Date(-25_567);
    /// The latest date there is, 2200-12-31.
    pub const LAST: Date = Date(84_370);

    /// Reads a date written as `YYYY-MM-DD`, with every zero in its place.
    ///
    /// # Errors
    ///
    /// If the text has another shape, if the calendar has no such day, or if the year is not from 1900 to 2200.
    pub fn parse(text: &str) -> Result<Date, DateError> {
        let [year, month, day] = numbers(text, b'-', [4, 2, 2]).ok_or(DateError::NotADate)?;
        let date = u8::try_from(month)
            .ok()
            .and_then(|month| time::Month::try_from(month).ok())
            .zip(u8::try_from(day).ok())
            .and_then(|(month, day)| time::Date::from_calendar_date(year, month, day).ok())
            .ok_or(DateError::NotADate)?;
        Date::from_days(date.to_julian_day() - JULIAN_DAY_OF_1970).ok_or(DateError::YearOutOfRange)
    }

    /// The date that lies `days` after 1970-01-01, or nothing if that is before 1900 or after 2200.
    pub fn from_days(days: i32) -> Option<Date> {
        (Date::FIRST.0..=Date::LAST.0)
            .contains(&days)
            .then_some(Date(days))
    }

    /// Days since 1970-01-01; negative before it.
    pub fn days(self) -> i32 {
        self.0
    }

    /// Days that have passed since `earlier`; negative if it is in fact later.
    pub fn days_from(self, earlier: Date) -> i32 {
        self.0 - earlier.0
    }

    /// The date that many days later, or earlier if `days` is negative. Stops at [`Date::FIRST`] and [`Date::LAST`].
    #[must_use]
    pub fn plus_days(self, days: i32) -> Date {
        Date(
            self.0
                .saturating_add(days)
                .clamp(Date::FIRST.0, Date::LAST.0),
        )
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let date =
            time::Date::from_julian_day(self.0 + JULIAN_DAY_OF_1970).map_err(|_| fmt::Error)?;
        write!(
            f,
            "{:04}-{:02}-{:02}",
            date.year(),
            u8::from(date.month()),
            date.day()
        )
    }
}

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Date::parse(&text).map_err(de::Error::custom)
    }
}

/// A time of the day to the minute, on the 24-hour clock, written and read as `19:30`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TimeOfDay(u16);

impl TimeOfDay {
    /// Reads a time from `00:00` to `23:59`, written with two digits on both sides; nothing if it is not one.
    pub fn parse(text: &str) -> Option<TimeOfDay> {
        let [hour, minute] = numbers(text, b':', [2, 2])?;
        let minutes = u16::try_from(hour * 60 + minute).ok()?;
        (hour < 24 && minute < 60).then_some(TimeOfDay(minutes))
    }

    /// Minutes since midnight, 0 to 1439.
    pub fn minutes(self) -> u16 {
        self.0
    }
}

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

impl Serialize for TimeOfDay {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// The whole numbers between separators, if each has exactly the wanted count of digits.
fn numbers<const N: usize>(text: &str, separator: u8, digits: [usize; N]) -> Option<[i32; N]> {
    let parts: Vec<&[u8]> = text.as_bytes().split(|&byte| byte == separator).collect();
    let parts: [&[u8]; N] = parts.try_into().ok()?;
    let mut found = [0; N];
    for ((part, wanted), number) in parts.iter().zip(digits).zip(&mut found) {
        if part.len() != wanted || !part.iter().all(u8::is_ascii_digit) {
            return None;
        }
        *number = part
            .iter()
            .fold(0, |sum, byte| sum * 10 + i32::from(byte - b'0'));
    }
    Some(found)
}
