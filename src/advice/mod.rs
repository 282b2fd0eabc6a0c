//! The advisor: a journal and a date become facts, the book is run on them, and the answer is shaped.
//!
//! The only room that sees `engine`, `water` and `journal`.

mod amounts;
mod ask;
mod book;
mod calendar;
mod capacity;
mod compare;
mod desk;
mod document;
mod facts;
mod fit;
mod forecast;
mod forms;
mod functions;
mod keeper;
mod life;
mod names;
mod phrases;
mod picture;
mod plan;
mod record;
mod scale;
mod setting;
mod when;

use std::collections::BTreeMap;

pub use ask::{changes, changes_of, difference, next_tests, reasons, standings, what_if, why_not};
pub use book::{
    BUILT_IN, Language, built_in, in_words, load, missing_names, names_read, translation,
    translation_of, with_overlays,
};
#[cfg(any(feature = "cli", not(target_arch = "wasm32")))]
pub use book::{LANGUAGES, words_of};
pub use calendar::calendar;
pub use capacity::{Capacity, ClearedDose, FoodStep, capacity};
pub use compare::{Comparison, PlantsMeet, Prices, Span, StartCompared, compare};
pub use document::{Advice, BookRef, Question, Wanted};
pub use fit::{AddingStep, Fit, PairFit, SpeciesFit, Unsure, Wants, Wish, fit};
pub use forecast::{
    Agreement, Curve, CycleStanding, DAYS_AHEAD, Done, Forecast, Happening, Mark, Tell, TriedCause,
    forecast,
};
pub use forms::{EventField, EventForm, event_forms};
pub use functions::FUNCTIONS;
pub use picture::picture;
pub use plan::{Milestone, Plan, PlanItem, earliest, plan};
pub use record::{RECORD_FORMAT, Verified, record, verify};
pub use setting::Assumed;

use crate::engine::{
    AdvicePoint, Beaten, Book, Evaluation, Facts, GateAnswer, OpenPoint, Urgency, Verdict, Worked,
    sorted,
};
use crate::journal::{Date, Journal, Mistakes};

/// What `book` says on the day `on` about what `journal` holds.
///
/// # Errors
/// Every entry of the journal that the book cannot read, each with its place. Nothing is left out in silence.
pub fn advise(book: &Book, journal: &Journal, on: Date) -> Result<Advice, Mistakes> {
    answered(book, journal, on, |run| run.gates())
}

/// The same with `gates` left empty, for who asks [`may`] when it matters: they are most of an answer.
///
/// # Errors
/// As for [`advise`].
pub fn advise_without_gates(book: &Book, journal: &Journal, on: Date) -> Result<Advice, Mistakes> {
    answered(book, journal, on, |_| Vec::new())
}

fn answered(
    book: &Book,
    journal: &Journal,
    on: Date,
    gates: fn(&Evaluation<'_>) -> Vec<GateAnswer>,
) -> Result<Advice, Mistakes> {
    let known = known(book, journal, on)?;
    let run = book.evaluate(&known.facts);
    let answer = run.answer();
    Ok(Advice {
        format: "lentic-advice/1".into(),
        date: on.to_string(),
        tank: journal.name.clone().unwrap_or_default(),
        book: book_ref(book),
        stage: run
            .fact("stage")
            .map(|stage| stage.shown)
            .unwrap_or_default(),
        wanted: wanted(book, &answer.advice, &answer.open),
        advice: answer.advice,
        set_aside: answer.set_aside,
        open: answer.open,
        gates: gates(&run),
        questions: known.questions,
        later_entries: known.later,
        withdrawn: book.withdrawn(),
        clashes: answer.clashes,
    })
}

/// The facts that `journal` gives `book` on the day `on`, for a host that runs the book itself.
///
/// # Errors
/// As for [`advise`].
pub fn facts(book: &Book, journal: &Journal, on: Date) -> Result<Facts, Mistakes> {
    Ok(known(book, journal, on)?.facts)
}

/// Why a rule holds, fails or is open; the answer of a gate; or how a fact came about.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "lowercase")]
#[non_exhaustive]
pub enum Why {
    /// A rule.
    Rule {
        /// Whether it holds.
        verdict: Verdict,
        /// The rule as advice, with its evidence.
        point: Box<AdvicePoint>,
        /// Who beat it, and why.
        beaten_by: Vec<Beaten>,
    },
    /// A gate.
    Gate(Box<GateAnswer>),
    /// A fact, derived fact or table.
    Fact(Box<Worked>),
}

/// Why `name` (a rule, a gate or a fact) is what it is on the day `on`; `None` if the book has no such name.
///
/// # Errors
/// As for [`advise`].
pub fn why(book: &Book, journal: &Journal, on: Date, name: &str) -> Result<Option<Why>, Mistakes> {
    let known = known(book, journal, on)?;
    let run = book.evaluate(&known.facts);
    Ok(rule_why(&run, name)
        .or_else(|| {
            run.gates()
                .into_iter()
                .find(|gate| gate.gate == name)
                .map(|gate| Why::Gate(Box::new(gate)))
        })
        .or_else(|| run.fact(name).map(|fact| Why::Fact(Box::new(fact)))))
}

fn rule_why(run: &Evaluation<'_>, name: &str) -> Option<Why> {
    let (verdict, point, beaten_by) = run.rule_point(name)?;
    Some(Why::Rule {
        verdict,
        point: Box::new(point),
        beaten_by,
    })
}

/// The answer of every gate on the day `on`.
///
/// # Errors
/// As for [`advise`].
pub fn may(book: &Book, journal: &Journal, on: Date) -> Result<Vec<GateAnswer>, Mistakes> {
    let known = known(book, journal, on)?;
    Ok(book.evaluate(&known.facts).gates())
}

fn known(book: &Book, journal: &Journal, on: Date) -> Result<facts::Known, Mistakes> {
    let known = facts::known(book, journal, on);
    if known.mistakes.is_empty() {
        Ok(known)
    } else {
        Err(known.mistakes.into())
    }
}

fn book_ref(book: &Book) -> BookRef {
    BookRef {
        name: book.name().to_owned(),
        title: book.title().to_owned(),
        edition: book.edition().to_owned(),
        language: book.language().to_owned(),
        digest: book.digest().to_owned(),
        overlays: book.overlay_titles(),
    }
}

/// Facts that could decide something and that a keeper can be asked for, by how urgent and how much it is.
fn wanted(book: &Book, advice: &[AdvicePoint], open: &[OpenPoint]) -> Vec<Wanted> {
    // What certain advice still wants is a figure, and that is less pressing than the advice itself.
    let unsure = advice.iter().map(|point| {
        let urgency = if point.certain {
            Urgency::Note
        } else {
            point.urgency
        };
        (urgency, &point.rule, &point.wants)
    });
    let asking = open
        .iter()
        .map(|point| (point.urgency, &point.rule, &point.wants));
    let mut found: BTreeMap<&str, Vec<(Urgency, &str)>> = BTreeMap::new();
    for (urgency, rule, wants) in unsure.chain(asking) {
        for fact in wants {
            found.entry(fact).or_default().push((urgency, rule));
        }
    }
    let mut ranked: Vec<(&str, Vec<(Urgency, &str)>)> = found.into_iter().collect();
    for (_, settles) in &mut ranked {
        *settles = sorted(std::mem::take(settles), Ord::cmp);
    }
    let rank = |settles: &[(Urgency, &str)]| (settles[0].0, std::cmp::Reverse(settles.len()));
    let ranked = sorted(ranked, |(_, a), (_, b)| rank(a).cmp(&rank(b)));
    let entry = |(fact, settles): (&str, Vec<(Urgency, &str)>)| {
        let ask = book.question(fact);
        (book.is_given(fact) && !ask.is_empty()).then(|| Wanted {
            fact: fact.to_owned(),
            label: book.label(fact).to_owned(),
            ask: ask.to_owned(),
            group: book.group_of(fact).to_owned(),
            settles: settles.iter().map(|(_, rule)| (*rule).to_owned()).collect(),
        })
    };
    ranked.into_iter().filter_map(entry).collect()
}
