//! `lentic check`: read a rule book and run its cases.

use lentic::engine::Support;

use super::Outcome;
use super::arguments::{Arguments, load};
use super::page::Page;

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = if arguments.words.is_empty() {
        arguments.book()?
    } else {
        load(&arguments.words)?
    };
    let report = book.run_cases();
    let mut page = Page::new();
    for finding in &report.failed {
        finding.to_string().lines().for_each(|line| page.line(line));
    }
    let rules = book.rules();
    let by = |support: Support| {
        rules
            .iter()
            .filter(|rule| rule.sources.iter().any(|source| source.support == support))
            .count()
    };
    page.paragraph(
        "",
        &format!(
            "{} edition {}: {} rules, {} gates, {} facts; {} cases run, {} failed.",
            book.title(),
            book.edition(),
            rules.len(),
            book.gate_names().len(),
            book.facts().len(),
            report.run,
            report.failed.len()
        ),
    );
    page.paragraph(
        "",
        &format!(
            "Rules that rest on published works: {}; on common practice: {}; on memory: {}.",
            by(Support::Published),
            by(Support::CommonPractice),
            by(Support::FromMemory)
        ),
    );
    let missing = lentic::advice::missing_names(&book);
    if !missing.is_empty() {
        page.paragraph(
            "",
            &format!(
                "The advisor fills these facts, and this book lacks them: {}.",
                missing.join(", ")
            ),
        );
    }
    page.print();
    Ok(if report.failed.is_empty() {
        Outcome::Fine
    } else {
        Outcome::Attention
    })
}
