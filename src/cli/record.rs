//! `lentic record` and `lentic verify`.

use lentic::advice;

use super::Outcome;
use super::arguments::{Arguments, listed, read_text};
use super::page::{Page, json};
use super::tongue::{said, told};

pub(crate) fn record(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let record = advice::record(&book, &journal, arguments.day()?)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    json(&record)
}

pub(crate) fn verify(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let path = arguments
        .words
        .first()
        .ok_or("name a record, or `-` for standard input")?;
    let verified =
        advice::verify(&book, &read_text(path)?).map_err(|mistakes| listed(path, &mistakes))?;
    let outcome = if verified.same {
        Outcome::Fine
    } else {
        Outcome::Attention
    };
    if arguments.json {
        json(&verified)?;
        return Ok(outcome);
    }
    let mut page = Page::new();
    let book = if verified.same_book {
        said("the same book")
    } else {
        said("another book, or another edition of it")
    };
    let answer = match verified.same {
        true => said("Same"),
        false => said("It differs"),
    };
    page.strong("", &told!("{}, by {}.", answer, book));
    for field in &verified.differs {
        page.paragraph("  ", &field.place);
        page.paragraph(said("    recorded: "), &shortened(&field.recorded));
        page.paragraph(said("    now:      "), &shortened(&field.now));
    }
    page.print();
    Ok(outcome)
}

fn shortened(text: &str) -> String {
    const KEPT: usize = 300;
    match text {
        "" => "nothing".into(),
        _ if text.chars().count() > KEPT => text.chars().take(KEPT).chain("...".chars()).collect(),
        _ => text.to_owned(),
    }
}
