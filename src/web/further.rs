//! What the page asks only in a worker, or not at all: looking ahead, proving a book, and its cases.

use serde::Serialize;
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

use super::{
    Advisor, BookFiles, DifferenceResult, JournalInput, JournalMistake, TypedValues, book_files,
    handed, parted, read, typed,
};
use crate::advice::{self, Capacity, Comparison, Forecast, Plan};
use crate::engine::{Book, Diagnostic, Finding, Mistakes, NextTest, Scope};
use crate::journal::Date;

/// What a proof of a book found.
#[derive(Default, Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct ProofResult {
    /// Mistakes of the text; with any of these nothing else was looked at.
    pub mistakes: Vec<Diagnostic>,
    /// Cases that do not come out as written.
    pub failed_cases: Vec<Diagnostic>,
    /// How many cases were run.
    pub cases: usize,
    /// What was found, each with facts that show it where facts can.
    pub findings: Vec<Finding>,
    /// Conditions that no case shows to matter.
    pub gaps: Vec<Diagnostic>,
}

/// What to find out next, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct NextResult {
    /// Facts worth finding out, the most telling first.
    pub tests: Vec<NextTest>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// A forecast with its picture, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct ForecastResult {
    /// The forecast, if the journal could be read.
    pub forecast: Option<Forecast>,
    /// The same as SVG.
    pub picture: Option<String>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// A plan with its calendar file, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct PlanResult {
    /// The plan, if the journal could be read.
    pub plan: Option<Plan>,
    /// The same as a calendar file (RFC 5545).
    pub calendar: Option<String>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// The ways to start side by side, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct ComparisonResult {
    /// The comparison, if journal and prices could be read.
    pub comparison: Option<Comparison>,
    /// All mistakes of the journal, or of the prices.
    pub mistakes: Vec<JournalMistake>,
}

/// What bed and filter can carry, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct CapacityResult {
    /// The capacity, if the journal could be read and the tank is one that the model speaks of.
    pub capacity: Option<Capacity>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// What went wrong with a book, or with its cases.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct BookResult {
    /// Mistakes of the text.
    pub mistakes: Vec<Diagnostic>,
    /// Cases that do not come out as written.
    pub failed_cases: Vec<Diagnostic>,
    /// How many cases were run.
    pub cases: usize,
}

#[wasm_bindgen]
impl Advisor {
    /// What to find out next on `date`.
    #[wasm_bindgen(js_name = nextTests)]
    pub fn next_tests(&self, journal: JournalInput, date: &str) -> Result<Ts<NextResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::next_tests(&self.book, &j, date));
        let (tests, mistakes) = parted(result);
        handed(&NextResult {
            tests: tests.unwrap_or_default(),
            mistakes,
        })
    }

    /// How the answer on `date` would differ if some facts were as given.
    #[wasm_bindgen(js_name = whatIf)]
    pub fn what_if(
        &self,
        journal: JournalInput,
        date: &str,
        edits: TypedValues,
    ) -> Result<Ts<DifferenceResult>, JsError> {
        let date = Date::parse(date)?;
        let edits = typed(edits)?;
        let result =
            read(journal.into()).and_then(|j| advice::what_if(&self.book, &j, date, &edits));
        let (difference, mistakes) = parted(result);
        handed(&DifferenceResult {
            difference,
            mistakes,
        })
    }

    /// What the water will do from `date` on, and when the cycle will be done. It takes up to a second.
    pub fn forecast(
        &self,
        journal: JournalInput,
        date: &str,
    ) -> Result<Ts<ForecastResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::forecast(&self.book, &j, date));
        let (forecast, mistakes) = parted(result);
        handed(&ForecastResult {
            picture: forecast
                .as_ref()
                .map(|told| advice::picture(&self.book, told)),
            forecast,
            mistakes,
        })
    }

    /// What the book will ask for on the days after `date`. It takes up to a second.
    pub fn plan(&self, journal: JournalInput, date: &str) -> Result<Ts<PlanResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::plan(&self.book, &j, date));
        let (plan, mistakes) = parted(result);
        handed(&PlanResult {
            calendar: plan.as_ref().map(|told| advice::calendar(&self.book, told)),
            plan,
            mistakes,
        })
    }

    /// The ways to start side by side, as if the tank were filled on `date`; prices by name, as typed. It takes up to
    /// a second.
    pub fn compare(
        &self,
        journal: JournalInput,
        date: &str,
        prices: TypedValues,
    ) -> Result<Ts<ComparisonResult>, JsError> {
        let date = Date::parse(date)?;
        let prices = advice::Prices::read(&typed(prices)?);
        let result =
            read(journal.into()).and_then(|j| advice::compare(&self.book, &j, date, &prices?));
        let (comparison, mistakes) = parted(result);
        handed(&ComparisonResult {
            comparison,
            mistakes,
        })
    }

    /// How much food a day bed and filter can carry on `date`.
    pub fn capacity(
        &self,
        journal: JournalInput,
        date: &str,
    ) -> Result<Ts<CapacityResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::capacity(&self.book, &j, date));
        let (capacity, mistakes) = parted(result);
        handed(&CapacityResult {
            capacity: capacity.flatten(),
            mistakes,
        })
    }
}

/// Reads a book and runs its cases.
#[wasm_bindgen(js_name = checkBook)]
pub fn check_book(files: BookFiles) -> Result<Ts<BookResult>, JsError> {
    handed(&checked(advice::load(book_files(files)?)))
}

/// Reads the built-in book with overlays and runs its cases.
#[wasm_bindgen(js_name = checkOverlays)]
pub fn check_overlays(overlays: BookFiles) -> Result<Ts<BookResult>, JsError> {
    handed(&checked(advice::with_overlays(book_files(overlays)?)))
}

fn checked(book: Result<Book, Mistakes>) -> BookResult {
    match book {
        Ok(book) => {
            let report = book.run_cases();
            BookResult {
                mistakes: Vec::new(),
                failed_cases: report.failed,
                cases: report.run,
            }
        }
        Err(mistakes) => BookResult {
            mistakes: mistakes.0,
            failed_cases: Vec::new(),
            cases: 0,
        },
    }
}

/// Proves the built-in book as overlays make it. Takes a second or more: for a worker.
#[wasm_bindgen(js_name = proveOverlays)]
pub fn prove_overlays(overlays: BookFiles) -> Result<Ts<ProofResult>, JsError> {
    let result = match advice::with_overlays(book_files(overlays)?) {
        Err(mistakes) => ProofResult {
            mistakes: mistakes.0,
            ..ProofResult::default()
        },
        Ok(book) => {
            let cases = book.run_cases();
            let report = book.check(&Scope {
                read_by_host: &advice::names_read(),
                ..Scope::default()
            });
            let gaps = report.coverage.gaps.into_iter().map(|gap| gap.place);
            ProofResult {
                mistakes: Vec::new(),
                failed_cases: cases.failed,
                cases: cases.run,
                findings: report.findings,
                gaps: gaps.collect(),
            }
        }
    };
    handed(&result)
}
