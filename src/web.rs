//! The face for JavaScript: convert, call, convert back.

use serde::{Deserialize, Serialize};
use tsify::{Ts, Tsify};
use wasm_bindgen::prelude::*;

use crate::advice::{self, Advice, EventForm, Fit, Verified, Why, Wish};
use crate::engine::{
    Book, Change, ChapterInfo, DerivedInfo, Difference, FactInfo, File, FunctionInfo, GateAnswer,
    GroupInfo, Reason, Reckoned, RuleStanding, WhyNot,
};
use crate::journal::{self, Date, Journal, Node};

#[cfg(feature = "wasm")]
mod further;
#[cfg(feature = "wasm")]
pub use further::*;

/// One file of a rule book.
#[derive(Serialize, Deserialize, Tsify)]
pub struct BookFile {
    /// Its name, as messages show it.
    pub name: String,
    /// Its text.
    pub text: String,
}

/// Something wrong in a journal, and where.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct JournalMistake {
    /// Where it stands, as in `events[3].values.nitrite`.
    pub place: String,
    /// What is wrong.
    pub message: String,
    /// What to do instead, where that is known.
    pub hint: Option<String>,
}

/// Advice, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct AdviceResult {
    /// The advice, if the journal could be read.
    pub advice: Option<Advice>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// What the gates say, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct MayResult {
    /// One answer for each gate, in the order of the book.
    pub gates: Vec<GateAnswer>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// Why a name is what it is, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct WhyResult {
    /// The answer, if the journal could be read and the book has the name.
    pub why: Option<Why>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// What would change the answer, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct ChangesResult {
    /// Single entries that would change what a rule or gate comes to.
    pub changes: Vec<Change>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// Why a rule does not speak, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct WhyNotResult {
    /// The answer, if the journal could be read and the book has the rule.
    pub why_not: Option<WhyNot>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// What alone decides a rule, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct ReasonsResult {
    /// The smallest sets of facts.
    pub sets: Vec<Vec<Reason>>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// How the answer would differ, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct DifferenceResult {
    /// The difference, if everything could be read.
    pub difference: Option<Difference>,
    /// All mistakes of the journal, or of the edits.
    pub mistakes: Vec<JournalMistake>,
}

/// What fits a tank, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct FitResult {
    /// What fits, if everything could be read.
    pub fit: Option<Fit>,
    /// All mistakes of the journal, or of the wishes.
    pub mistakes: Vec<JournalMistake>,
}

/// What every rule comes to, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct StandingsResult {
    /// One for each rule, in the order of the book.
    pub standings: Vec<RuleStanding>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// A record, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct RecordResult {
    /// The record as JSON text, if the journal could be read.
    pub record: Option<String>,
    /// All mistakes of the journal.
    pub mistakes: Vec<JournalMistake>,
}

/// How a record compares with a fresh answer, or the mistakes that stand in its way.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct VerifyResult {
    /// The comparison, if the record could be read.
    pub verified: Option<Verified>,
    /// All mistakes of the record.
    pub mistakes: Vec<JournalMistake>,
}

/// An amount, or what is missing for it.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct ReckonResult {
    /// The amount.
    pub reckoned: Option<Reckoned>,
    /// Sentences that say what cannot be used or is missing.
    pub mistakes: Vec<String>,
}

/// What a typed value is taken for.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct EntryResult {
    /// Why it cannot be read.
    pub mistake: Option<String>,
    /// What must be asked before it can be taken as it stands.
    pub question: Option<String>,
}

/// Everything a page needs to build its forms and show the book.
#[derive(Serialize, Tsify)]
#[tsify(missing_as_null)]
pub struct Description {
    /// The book's title.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// SHA-256 over its files.
    pub digest: String,
    /// The language it is written in.
    pub language: String,
    /// Whether labels keep their capitals within a sentence.
    pub keeps_capitals: bool,
    /// Headings for forms.
    pub groups: Vec<GroupInfo>,
    /// Facts that can be entered.
    pub facts: Vec<FactInfo>,
    /// Names that conditions speak of and nobody enters.
    pub derived: Vec<DerivedInfo>,
    /// Chapters.
    pub chapters: Vec<ChapterInfo>,
    /// Titles of the overlays that change it.
    pub overlays: Vec<String>,
    /// Amounts that can be reckoned.
    pub functions: Vec<FunctionInfo>,
    /// Kinds of events.
    pub events: Vec<EventForm>,
}

/// A rule book that is ready to advise.
#[wasm_bindgen]
pub struct Advisor {
    book: Book,
}

#[wasm_bindgen]
extern "C" {
    /// A journal: an object of the format `lentic-journal/1`, or its JSON text.
    #[wasm_bindgen(typescript_type = "JournalInput")]
    pub type JournalInput;
    /// The files of a rule book.
    #[wasm_bindgen(typescript_type = "BookFile[]")]
    pub type BookFiles;
    /// Names and the values typed for them.
    #[wasm_bindgen(typescript_type = "Record<string, string>")]
    pub type TypedValues;
    /// Plants and animals that are wanted, with their numbers.
    #[wasm_bindgen(typescript_type = "Record<string, number>")]
    pub type Wishes;
}

#[wasm_bindgen(typescript_custom_section)]
const JOURNAL: &str = include_str!("journal/journal.d.ts");

#[wasm_bindgen]
impl Advisor {
    /// The built-in book, or one of your own files. Throws its mistakes, each with its place.
    #[wasm_bindgen(constructor)]
    pub fn new(files: Option<BookFiles>) -> Result<Advisor, JsError> {
        let book = match files {
            None => advice::built_in(),
            Some(files) => advice::load(book_files(files)?),
        };
        Ok(Advisor { book: book? })
    }

    /// The built-in book with overlays of your own. Throws its mistakes, each with its place.
    #[wasm_bindgen(js_name = withOverlays)]
    pub fn with_overlays(overlays: BookFiles) -> Result<Advisor, JsError> {
        Ok(Advisor {
            book: advice::with_overlays(book_files(overlays)?)?,
        })
    }

    /// The built-in book in other words, those of the files that come with each language, with overlays of your own.
    /// Throws the mistakes of the words, or else of the book, each with its place.
    #[wasm_bindgen(js_name = inWords)]
    pub fn in_words(words: BookFiles, overlays: Option<BookFiles>) -> Result<Advisor, JsError> {
        let overlays = overlays.map(book_files).transpose()?.unwrap_or_default();
        Ok(Advisor {
            book: advice::in_words(&book_files(words)?, overlays)?,
        })
    }

    /// What the book holds, but for its rules.
    pub fn describe(&self) -> Result<Ts<Description>, JsError> {
        let book = &self.book;
        let description = Description {
            title: book.title().to_owned(),
            edition: book.edition().to_owned(),
            digest: book.digest().to_owned(),
            language: book.language().to_owned(),
            keeps_capitals: book.keeps_capitals(),
            groups: book.groups(),
            facts: book.facts(),
            derived: book.derived_names(),
            chapters: book.chapters(),
            overlays: book.overlay_titles(),
            functions: book.functions(),
            events: advice::event_forms(book),
        };
        handed(&description)
    }

    /// The rules, in the order of the book.
    #[wasm_bindgen(unchecked_return_type = "RuleInfo[]")]
    pub fn rules(&self) -> Result<JsValue, JsError> {
        data(&self.book.rules())
    }

    /// What a rule finds, with a gap where a value belongs; nothing if the book has no such rule.
    pub fn finding(&self, rule: &str) -> Option<String> {
        self.book.finding_of(rule)
    }

    /// What to do on `date` (as in 2026-09-25) by this journal. Without the gates, if asked, `gates` is empty; `may`
    /// tells them.
    pub fn advise(
        &self,
        journal: JournalInput,
        date: &str,
        without_gates: Option<bool>,
    ) -> Result<Ts<AdviceResult>, JsError> {
        let date = Date::parse(date)?;
        let advise = match without_gates {
            Some(true) => advice::advise_without_gates,
            _ => advice::advise,
        };
        let result = read(journal.into()).and_then(|journal| advise(&self.book, &journal, date));
        let (advice, mistakes) = parted(result);
        handed(&AdviceResult { advice, mistakes })
    }

    /// What each gate says on `date`, with its needs and their evidence.
    pub fn may(&self, journal: JournalInput, date: &str) -> Result<Ts<MayResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::may(&self.book, &j, date));
        let (gates, mistakes) = parted(result);
        handed(&MayResult {
            gates: gates.unwrap_or_default(),
            mistakes,
        })
    }

    /// Why a rule, a gate or a fact is what it is on `date` by this journal.
    pub fn why(
        &self,
        journal: JournalInput,
        date: &str,
        name: &str,
    ) -> Result<Ts<WhyResult>, JsError> {
        let date = Date::parse(date)?;
        let result =
            read(journal.into()).and_then(|journal| advice::why(&self.book, &journal, date, name));
        let (why, mistakes) = parted(result);
        handed(&WhyResult {
            why: why.flatten(),
            mistakes,
        })
    }

    /// Every single entry that would change what a rule or gate comes to on `date`, or only what `of` does.
    pub fn changes(
        &self,
        journal: JournalInput,
        date: &str,
        of: Option<String>,
    ) -> Result<Ts<ChangesResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| match &of {
            None => advice::changes(&self.book, &j, date),
            Some(name) => advice::changes_of(&self.book, &j, date, name),
        });
        let (changes, mistakes) = parted(result);
        handed(&ChangesResult {
            changes: changes.unwrap_or_default(),
            mistakes,
        })
    }

    /// Why a rule does not speak on `date`, and what would make it.
    #[wasm_bindgen(js_name = whyNot)]
    pub fn why_not(
        &self,
        journal: JournalInput,
        date: &str,
        rule: &str,
    ) -> Result<Ts<WhyNotResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::why_not(&self.book, &j, date, rule));
        let (why_not, mistakes) = parted(result);
        handed(&WhyNotResult {
            why_not: why_not.flatten(),
            mistakes,
        })
    }

    /// The smallest sets of facts that alone decide a rule on `date`; all of them if asked.
    pub fn reasons(
        &self,
        journal: JournalInput,
        date: &str,
        rule: &str,
        all: bool,
    ) -> Result<Ts<ReasonsResult>, JsError> {
        let date = Date::parse(date)?;
        let result =
            read(journal.into()).and_then(|j| advice::reasons(&self.book, &j, date, rule, all));
        let (sets, mistakes) = parted(result);
        handed(&ReasonsResult {
            sets: sets.flatten().unwrap_or_default(),
            mistakes,
        })
    }

    /// How what is in the tank on `date`, and what is wanted besides, goes with the tank and with each other.
    pub fn fit(
        &self,
        journal: JournalInput,
        date: &str,
        with: Option<Wishes>,
    ) -> Result<Ts<FitResult>, JsError> {
        let date = Date::parse(date)?;
        let with = with.map(wishes).transpose()?.unwrap_or_default();
        let result = read(journal.into()).and_then(|j| advice::fit(&self.book, &j, date, &with));
        let (fit, mistakes) = parted(result);
        handed(&FitResult { fit, mistakes })
    }

    /// What every rule comes to on `date`.
    pub fn standings(
        &self,
        journal: JournalInput,
        date: &str,
    ) -> Result<Ts<StandingsResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::standings(&self.book, &j, date));
        let (standings, mistakes) = parted(result);
        handed(&StandingsResult {
            standings: standings.unwrap_or_default(),
            mistakes,
        })
    }

    /// How the answer on `date` differs from what `other` says on `other_date` by another journal.
    pub fn difference(
        &self,
        journal: JournalInput,
        date: &str,
        other: &Advisor,
        other_journal: JournalInput,
        other_date: &str,
    ) -> Result<Ts<DifferenceResult>, JsError> {
        let (date, other_date) = (Date::parse(date)?, Date::parse(other_date)?);
        let result = read(journal.into()).and_then(|before| {
            let after = read(other_journal.into())?;
            advice::difference(
                (&self.book, &before, date),
                (&other.book, &after, other_date),
            )
        });
        let (difference, mistakes) = parted(result);
        handed(&DifferenceResult {
            difference,
            mistakes,
        })
    }

    /// Journal, date, book and answer as one JSON text that can be verified later.
    pub fn record(&self, journal: JournalInput, date: &str) -> Result<Ts<RecordResult>, JsError> {
        let date = Date::parse(date)?;
        let result = read(journal.into()).and_then(|j| advice::record(&self.book, &j, date));
        let (record, mistakes) = parted(result);
        handed(&RecordResult {
            record: record.map(|record| record.to_string()),
            mistakes,
        })
    }

    /// Runs a record again and compares.
    pub fn verify(&self, record: &str) -> Result<Ts<VerifyResult>, JsError> {
        let (verified, mistakes) = parted(advice::verify(&self.book, record));
        handed(&VerifyResult { verified, mistakes })
    }

    /// What a value typed for a fact is taken for.
    pub fn enter(&self, fact: &str, text: &str) -> Result<Ts<EntryResult>, JsError> {
        let result = match self.book.enter(fact, text) {
            Ok(entered) => EntryResult {
                mistake: None,
                question: entered.question,
            },
            Err(message) => EntryResult {
                mistake: Some(message),
                question: None,
            },
        };
        handed(&result)
    }

    /// Works out an amount by name.
    pub fn reckon(&self, name: &str, values: TypedValues) -> Result<Ts<ReckonResult>, JsError> {
        let values = typed(values)?;
        let result = match self.book.reckon(name, &values) {
            Ok(reckoned) => ReckonResult {
                reckoned: Some(reckoned),
                mistakes: Vec::new(),
            },
            Err(mistakes) => ReckonResult {
                reckoned: None,
                mistakes,
            },
        };
        handed(&result)
    }
}

/// The files of the built-in book.
#[wasm_bindgen(js_name = builtInFiles, unchecked_return_type = "BookFile[]")]
pub fn built_in_files() -> Result<JsValue, JsError> {
    let files = advice::BUILT_IN.iter().map(|(name, text)| BookFile {
        name: (*name).to_owned(),
        text: (*text).to_owned(),
    });
    data(&files.collect::<Vec<_>>())
}

/// An answer as JavaScript's own data.
fn handed<T: Serialize + Tsify>(answer: &T) -> Result<Ts<T>, JsError> {
    Ok(Ts::new_unchecked(data(answer)?))
}

/// Anything as JavaScript's own data. It goes by way of JSON, which a browser reads faster than objects are built one
/// field at a time.
fn data<T: Serialize>(answer: &T) -> Result<JsValue, JsError> {
    let text = serde_json::to_string(answer)?;
    js_sys::JSON::parse(&text).map_err(|_| JsError::new("the answer is no JSON"))
}

fn book_files(files: BookFiles) -> Result<Vec<File>, JsError> {
    let files: Vec<BookFile> = serde_wasm_bindgen::from_value(files.into())?;
    Ok(files
        .into_iter()
        .map(|file| File::new(file.name, file.text))
        .collect())
}

fn wishes(with: Wishes) -> Result<Vec<Wish>, JsError> {
    let counts: std::collections::BTreeMap<String, u32> =
        serde_wasm_bindgen::from_value(with.into())?;
    let wish = |(species, count)| Wish { species, count };
    Ok(counts.into_iter().map(wish).collect())
}

fn typed(values: TypedValues) -> Result<Vec<(String, String)>, JsError> {
    let values: std::collections::BTreeMap<String, String> =
        serde_wasm_bindgen::from_value(values.into())?;
    Ok(values.into_iter().collect())
}

fn read(journal: JsValue) -> Result<Journal, journal::Mistakes> {
    if let Some(text) = journal.as_string() {
        return Journal::from_json(&text);
    }
    let unreadable = |error: serde_wasm_bindgen::Error| {
        journal::Mistakes(vec![journal::Mistake {
            place: String::new(),
            message: format!("this is no journal: {error}"),
            hint: None,
        }])
    };
    let node: Node = serde_wasm_bindgen::from_value(journal).map_err(unreadable)?;
    Journal::from_node(&node)
}

fn parted<T>(result: Result<T, journal::Mistakes>) -> (Option<T>, Vec<JournalMistake>) {
    let told = |mistake: journal::Mistake| JournalMistake {
        place: mistake.place,
        message: mistake.message,
        hint: mistake.hint,
    };
    match result {
        Ok(found) => (Some(found), Vec::new()),
        Err(mistakes) => (None, mistakes.into_iter().map(told).collect()),
    }
}
