//! `lentic reckon`: work out an amount, with its working.

use lentic::engine::{ArgumentInfo, Book, Reckoned};

use super::Outcome;
use super::arguments::{Arguments, pair};
use super::evidence::{cited, worked};
use super::page::{Page, json};
use super::tongue::said;

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let Some((name, rest)) = arguments.words.split_first() else {
        list(&book);
        return Ok(Outcome::Fine);
    };
    let values = rest
        .iter()
        .map(|word| pair(word))
        .collect::<Result<Vec<_>, String>>()?;
    let found = book
        .reckon(name, &values)
        .map_err(|wrong| wrong.join("\n"))?;
    if arguments.json {
        json(&found)?;
    } else {
        shown(&found);
    }
    Ok(Outcome::Fine)
}

fn list(book: &Book) {
    let mut page = Page::new();
    let mut group = String::new();
    for function in book.functions() {
        if function.group != group {
            if !group.is_empty() {
                page.gap();
            }
            page.heading(&function.group);
            group = function.group;
        }
        let arguments: Vec<String> = function.arguments.iter().map(asked).collect();
        page.strong("", &format!("{}: {}", function.name, function.label));
        page.paragraph("    ", &arguments.join(" "));
    }
    page.gap();
    page.heading(said("Worked out from facts of the book"));
    let functions: Vec<String> = book
        .functions()
        .into_iter()
        .map(|function| function.name)
        .collect();
    let facts: Vec<&str> = book
        .reckonable()
        .into_iter()
        .filter(|name| !functions.iter().any(|f| f == name))
        .collect();
    page.paragraph("", &facts.join(", "));
    page.print();
}

/// An argument as it is written, with what may stand for its value.
fn asked(argument: &ArgumentInfo) -> String {
    let names: Vec<&str> = argument.options.iter().map(|o| o.name.as_str()).collect();
    let number = match argument.units.first() {
        _ if argument.is_choice => None,
        Some(unit) => Some(unit.as_str()),
        None => Some(said("number")),
    };
    let values: Vec<&str> = number.into_iter().chain(names).collect();
    format!("{}=({})", argument.name, values.join(" | "))
}

fn shown(found: &Reckoned) {
    let mut page = Page::new();
    page.strong("", &format!("{}: {}", found.label, found.shown));
    match &found.worked {
        Some(value) => worked(&mut page, 1, value),
        None => {
            page.paragraph("  = ", &found.formula);
            found
                .working
                .iter()
                .for_each(|line| page.paragraph("    ", line));
            found
                .also
                .iter()
                .for_each(|line| page.paragraph(said("  Also: "), line));
            found
                .sources
                .iter()
                .for_each(|source| page.paragraph(said("  source: "), &cited(source)));
        }
    }
    found
        .outside
        .iter()
        .for_each(|text| page.paragraph(said("  Note: "), text));
    found
        .cautions
        .iter()
        .for_each(|caution| page.paragraph(said("  Take care: "), &caution.text));
    page.print();
}
