//! The questions about one journal and day: why not, what would change it, what if, what to find out next.

use crate::engine::{
    Book, Change, Difference, Facts, Given, NextTest, Reading, Reason, RuleStanding, Set, WhyNot,
};
use crate::journal::{Date, Journal, Mistake, Mistakes};

use super::known;
use super::names::JOURNAL_GROUP;
use super::phrases::{MEANT, NO_SUCH_FACT};

/// Every single entry that would change what a rule or gate comes to, with the nearest value both ways.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn changes(book: &Book, journal: &Journal, on: Date) -> Result<Vec<Change>, Mistakes> {
    let known = known(book, journal, on)?;
    Ok(book
        .evaluate(&known.facts)
        .changes(&|fact| is_entered(book, fact)))
}

/// The same for one rule or gate alone, in less time.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn changes_of(
    book: &Book,
    journal: &Journal,
    on: Date,
    name: &str,
) -> Result<Vec<Change>, Mistakes> {
    let known = known(book, journal, on)?;
    Ok(book
        .evaluate(&known.facts)
        .changes_of(name, &|fact| is_entered(book, fact)))
}

/// What every rule comes to, in the order of the book.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn standings(book: &Book, journal: &Journal, on: Date) -> Result<Vec<RuleStanding>, Mistakes> {
    let known = known(book, journal, on)?;
    Ok(book.evaluate(&known.facts).standings())
}

/// Why a rule does not speak, and what would make it; `None` if the book has no such rule.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn why_not(
    book: &Book,
    journal: &Journal,
    on: Date,
    rule: &str,
) -> Result<Option<WhyNot>, Mistakes> {
    let known = known(book, journal, on)?;
    Ok(book
        .evaluate(&known.facts)
        .why_not(rule, &|fact| is_entered(book, fact)))
}

/// The smallest sets of facts that alone force what a rule comes to; `None` if the book has no such rule.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn reasons(
    book: &Book,
    journal: &Journal,
    on: Date,
    rule: &str,
    all: bool,
) -> Result<Option<Vec<Vec<Reason>>>, Mistakes> {
    let known = known(book, journal, on)?;
    Ok(book.evaluate(&known.facts).sufficient(rule, all))
}

/// What to find out next, the most telling first.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn next_tests(book: &Book, journal: &Journal, on: Date) -> Result<Vec<NextTest>, Mistakes> {
    let known = known(book, journal, on)?;
    Ok(book
        .evaluate(&known.facts)
        .next_tests(&|fact| is_entered(book, fact)))
}

/// How the answer would differ if some facts were as given. A reading counts as one of the day `on`.
///
/// # Errors
/// As for [`advise`](super::advise); the place of a wrong edit is the name of its fact.
pub fn what_if(
    book: &Book,
    journal: &Journal,
    on: Date,
    edits: &[(String, String)],
) -> Result<Difference, Mistakes> {
    let known = known(book, journal, on)?;
    let mut facts = known.facts.clone();
    let mut mistakes = Vec::new();
    for (fact, text) in edits {
        if let Err(mistake) = edit(book, &mut facts, on, fact, text) {
            mistakes.push(mistake);
        }
    }
    if !mistakes.is_empty() {
        return Err(mistakes.into());
    }
    Ok(book
        .evaluate(&known.facts)
        .difference(&book.evaluate(&facts)))
}

/// How the answer differs from one case to another: by another day, another journal or another book.
///
/// # Errors
/// As for [`advise`](super::advise), of the first journal that cannot be read.
pub fn difference(
    before: (&Book, &Journal, Date),
    after: (&Book, &Journal, Date),
) -> Result<Difference, Mistakes> {
    let facts = |(book, journal, on)| known(book, journal, on).map(|known| known.facts);
    let (old, new) = (facts(before)?, facts(after)?);
    Ok(before.0.evaluate(&old).difference(&after.0.evaluate(&new)))
}

fn edit(book: &Book, facts: &mut Facts, on: Date, fact: &str, text: &str) -> Result<(), Mistake> {
    let wrong = |message: String, hint: Option<String>| Mistake {
        place: fact.to_owned(),
        message,
        hint,
    };
    if !book.is_given(fact) {
        let hint = book.nearest_fact(fact).map(|near| book.say(&MEANT, [near]));
        return Err(wrong(book.say(&NO_SUCH_FACT, [fact]), hint));
    }
    let entered = book
        .enter(fact, text)
        .map_err(|message| wrong(message, None))?;
    if let Some(question) = entered.question {
        return Err(wrong(question, None));
    }
    let mut given = Given::typed(entered.set, text);
    if let (true, Set::Number(values)) = (book.is_series(fact), entered.set) {
        given.readings = facts
            .given(book, fact)
            .map(|given| given.readings.clone())
            .unwrap_or_default();
        given.readings.push(Reading {
            day: f64::from(on.days()),
            values,
            nominal: entered.nominal.unwrap_or(values.lo),
            mark: entered.mark,
            typed: text.to_owned(),
        });
    }
    facts.give(book, fact, given);
    Ok(())
}

/// Whether a fact is one that a keeper enters, rather than one worked out from the dated entries.
fn is_entered(book: &Book, fact: &str) -> bool {
    book.group_of(fact) != JOURNAL_GROUP
}
