//! Days in words.

use crate::engine::{Book, Phrase};
use crate::journal::Date;

use super::phrases::*;

const MONTHS: [Phrase<0>; 12] = [
    JANUARY, FEBRUARY, MARCH, APRIL, MAY, JUNE, JULY, AUGUST, SEPTEMBER, OCTOBER, NOVEMBER,
    DECEMBER,
];

/// Day and month, as in `4 March`.
pub(super) fn spoken(book: &Book, date: Date) -> String {
    let (day, month) = parts(date);
    book.say(&DAY_AND_MONTH, [&day.to_string(), &book.say(month, [])])
}

/// The week of its month, as in `about the 3rd week of March`.
pub(super) fn around(book: &Book, date: Date) -> String {
    let (day, month) = parts(date);
    let week = match day {
        1..=7 => &FIRST_WEEK,
        8..=14 => &SECOND_WEEK,
        15..=21 => &THIRD_WEEK,
        22..=28 => &FOURTH_WEEK,
        _ => &END_OF_MONTH,
    };
    book.say(week, [&book.say(month, [])])
}

fn parts(date: Date) -> (u8, &'static Phrase<0>) {
    let text = date.to_string();
    let number = |range: std::ops::Range<usize>| text.get(range).and_then(|part| part.parse().ok());
    let month: u8 = number(5..7).unwrap_or(1);
    let day = number(8..10).unwrap_or(1);
    (day, &MONTHS[usize::from(month.clamp(1, 12)) - 1])
}
