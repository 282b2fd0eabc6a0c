//! Days in words.

use crate::journal::Date;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Day and month, as in `4 March`.
pub(super) fn spoken(date: Date) -> String {
    let (day, month) = parts(date);
    format!("{day} {month}")
}

/// The week of its month, as in `about the 3rd week of March`.
pub(super) fn around(date: Date) -> String {
    let (day, month) = parts(date);
    let week = match day {
        1..=7 => "1st week",
        8..=14 => "2nd week",
        15..=21 => "3rd week",
        22..=28 => "4th week",
        _ => "end",
    };
    format!("about the {week} of {month}")
}

fn parts(date: Date) -> (u8, &'static str) {
    let text = date.to_string();
    let number = |range: std::ops::Range<usize>| text.get(range).and_then(|part| part.parse().ok());
    let month: u8 = number(5..7).unwrap_or(1);
    let day = number(8..10).unwrap_or(1);
    (day, MONTHS[usize::from(month.clamp(1, 12)) - 1])
}
