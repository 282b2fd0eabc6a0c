//! A plan as a calendar file (RFC 5545).

use std::fmt::Write;

use sha2::{Digest, Sha256};

use crate::engine::Book;
use crate::journal::Date;

use super::phrases::IF_TESTS_SAY_SO;
use super::plan::{Plan, PlanItem};

/// A line is folded after so many octets (RFC 5545, section 3.1).
const LINE_OCTETS: usize = 75;

/// A plan by a book as a calendar of all-day events. The same plan gives the same bytes.
#[must_use]
pub fn calendar(book: &Book, plan: &Plan) -> String {
    let mut text = String::new();
    let mut line = |content: &str| fold(content, &mut text);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//Lentic//Plan//EN");
    line("CALSCALE:GREGORIAN");
    line("METHOD:PUBLISH");
    for item in &plan.items {
        event(book, plan, item)
            .iter()
            .for_each(|content| line(content));
    }
    line("END:VCALENDAR");
    text
}

fn event(book: &Book, plan: &Plan, item: &PlanItem) -> Vec<String> {
    let amount = item.amount.as_ref().map(|amount| format!(", {amount}"));
    let action = format!("{}{}", item.action_label, amount.unwrap_or_default());
    let summary = match item.sure {
        true => action,
        false => book.say(&IF_TESTS_SAY_SO, [&action]),
    };
    let mut description = format!("{} {}\n{}", item.finding, item.say, item.because);
    for caution in &item.cautions {
        let _ = write!(description, "\n{}", caution.text);
    }
    if !plan.tank.is_empty() {
        let _ = write!(description, "\n({})", plan.tank);
    }
    vec![
        "BEGIN:VEVENT".into(),
        format!("UID:{}", uid(plan, item)),
        format!("DTSTAMP:{}T000000Z", basic(&plan.date)),
        format!("DTSTART;VALUE=DATE:{}", basic(&item.date)),
        format!("DTEND;VALUE=DATE:{}", basic(&next_day(&item.date))),
        format!("SUMMARY:{}", escaped(&summary)),
        format!("DESCRIPTION:{}", escaped(&description)),
        "TRANSP:TRANSPARENT".into(),
        "END:VEVENT".into(),
    ]
}

/// The same event of the same tank keeps its name, so that a newer plan takes its place.
fn uid(plan: &Plan, item: &PlanItem) -> String {
    let tank = Sha256::digest(plan.tank.as_bytes());
    let short: String = tank
        .iter()
        .take(6)
        .map(|byte| format!("{byte:02x}"))
        .collect();
    format!("{}-{}-{short}@lentic.invalid", item.date, item.rule)
}

fn next_day(date: &str) -> String {
    Date::parse(date).map_or_else(|_| date.to_owned(), |date| date.plus_days(1).to_string())
}

/// A date in the basic form, as in `20260901`.
fn basic(date: &str) -> String {
    date.replace('-', "")
}

/// TEXT as RFC 5545, section 3.3.11 has it.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\\' | ';' | ',' => {
                safe.push('\\');
                safe.push(character);
            }
            '\n' => safe.push_str("\\n"),
            other if other.is_control() => safe.push(' '),
            other => safe.push(other),
        }
    }
    safe
}

/// A content line, folded, with its line break. It is not folded beside a space, which some readers lose there.
fn fold(content: &str, into: &mut String) {
    let mut rest = content;
    let mut room = LINE_OCTETS;
    while rest.len() > room {
        let at = fold_at(rest, room);
        into.push_str(&rest[..at]);
        into.push_str("\r\n ");
        rest = &rest[at..];
        room = LINE_OCTETS - 1;
    }
    into.push_str(rest);
    into.push_str("\r\n");
}

/// The last place within so many octets where a text may be folded.
fn fold_at(text: &str, room: usize) -> usize {
    let mut places = (1..=room).rev().filter(|at| text.is_char_boundary(*at));
    let beside_space = |at: &usize| text[..*at].ends_with(' ') || text[*at..].starts_with(' ');
    let last = places.clone().next();
    places.find(|at| !beside_space(at)).or(last).unwrap_or(room)
}
