//! What the water will do, and when the cycle will be done.

use serde::Serialize;

use crate::engine::{Book, FactInfo, Given, Set, YES};
use crate::journal::{Date, Event, Journal, Mistakes, What};
use crate::water::nitrification::{
    self as model, Cause, Explanation, Fit, Quantity, Ranges, Settings, explanations, most_telling,
};

use super::capacity::{Capacity, carried};
use super::document::{BookRef, Question};
use super::keeper::{Ahead, Outlook, Story, TOLERANCE, outlook};
use super::names::*;
use super::phrases::{
    CANNOT_BE_TOLD, CREW_ALL_THE_SAME, EARLY_OR_LATE, EARLY_OR_LATER, FITS_NO_TANK, LIKELY_DONE,
    NO_READING, NO_TEST_YET, NOT_DONE_HERE, SHOWN_DONE, TOO_OLD_TO_FORECAST,
};
use super::scale::Scale;
use super::setting::{Assumed, Setting, setting};
use super::when::{around, spoken};

/// How many members an ensemble has.
pub(super) const MEMBERS: usize = 400;
/// How far the future is told.
pub const DAYS_AHEAD: usize = 60;
/// The model is one of a starting tank; its bed has given off nearly all that it holds by then.
const OLDEST_DAYS: i32 = 150;
/// Readings less likely than this are said to fit no member.
const MISFIT: f64 = 0.01;
/// A cause is named if it makes the readings this many times more likely, as a natural logarithm.
const LEAST_GAIN: f64 = 2.0;
const DAYS_FOR_TESTS: usize = 14;

/// Where the tank stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum CycleStanding {
    /// It will be filled on a day to come.
    ToCome,
    /// The cycle is running.
    UnderWay,
    /// The tests of the journal show the cycle done.
    Done,
    /// The tank is older than the model speaks of.
    Old,
}

/// A reading as it stands in a picture.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Mark {
    /// Days since filling.
    pub day: f64,
    /// The least that it may stand for, in the unit of the curve.
    pub low: f64,
    /// The most that it may stand for.
    pub high: f64,
    /// As it was typed.
    pub typed: String,
}

/// One reading over the days.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Curve {
    /// The fact.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// The unit of all figures.
    pub unit: String,
    /// For each day the values below which 5, 25, 50, 75 and 95 % of the ensemble lie.
    pub bands: Vec<[f64; 5]>,
    /// What was read.
    pub readings: Vec<Mark>,
}

/// Something that was done, or will be by the book.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Happening {
    /// Days since filling.
    pub day: usize,
    /// The date.
    pub date: String,
    /// Kind of entry in a journal.
    pub kind: String,
    /// Whether it lies ahead.
    pub planned: bool,
}

/// When the cycle will be done, by the book's own definition, if it is tested each day.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Done {
    /// The book's name for it.
    pub label: String,
    /// For each day the chance that it is done by then, 0 to 1.
    pub chance: Vec<f64>,
    /// The share of the ensemble for which the book cannot tell, for want of other facts.
    pub open: f64,
    /// The days by which 5, 50 and 95 % of the ensemble are done; none beyond the last day told.
    pub early: Option<String>,
    /// The middle one.
    pub likely: Option<String>,
    /// The late one.
    pub late: Option<String>,
    /// In words.
    pub say: String,
}

/// A test worth making.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Tell {
    /// What to read.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// When.
    pub date: String,
    /// What it is expected to tell about the day on which the cycle is done, in bits.
    pub bits: f64,
}

/// A reason why readings may not fit, tried by a fit of its own.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct TriedCause {
    /// Its name in the book.
    pub cause: String,
    /// The book's words for it.
    pub label: String,
    /// How many times more likely it makes the readings, as a natural logarithm.
    pub gain: f64,
    /// Whether the readings fit if it is so.
    pub fits: bool,
}

/// How the model and the readings sit together.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Agreement {
    /// How many readings were weighed.
    pub readings: usize,
    /// How many members the ensemble has.
    pub members: usize,
    /// Chance that readings of a tank like these are as ill explained.
    pub tail: f64,
    /// Whether the readings fit.
    pub fits: bool,
    /// Where they do not: causes that explain them better, the best first.
    pub causes: Vec<TriedCause>,
}

/// What the water will do, and when the cycle will be done.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Forecast {
    /// `lentic-forecast/1`.
    pub format: String,
    /// The day that was asked about.
    pub date: String,
    /// What the keeper calls the tank, or empty.
    pub tank: String,
    /// The book.
    pub book: BookRef,
    /// Where the tank stands.
    pub standing: CycleStanding,
    /// In words.
    pub say: String,
    /// Day 0.
    pub filled: String,
    /// The day asked about, in days since filling; the past lies before it.
    pub today: i32,
    /// The date of each day, from day 0 on.
    pub days: Vec<String>,
    /// Readings over the days.
    pub curves: Vec<Curve>,
    /// What was done, and what will be by the book.
    pub happenings: Vec<Happening>,
    /// When the cycle will be done; none where it is, or where the book does not define it.
    pub done: Option<Done>,
    /// The most telling tests to come.
    pub next: Vec<Tell>,
    /// How model and readings agree.
    pub agreement: Agreement,
    /// What had to be assumed.
    pub assumed: Vec<Assumed>,
    /// What bed and filter can carry.
    pub capacity: Option<Capacity>,
    /// Entries to be asked about.
    pub questions: Vec<Question>,
}

/// A forecast of the tank of a journal, told on the day `on`.
///
/// It goes on as the book says: water is changed and ammonia dosed when it asks for that.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn forecast(book: &Book, journal: &Journal, on: Date) -> Result<Forecast, Mistakes> {
    let setting = setting(book, journal, on)?;
    let standing = standing(book, &setting);
    let mut told = Forecast {
        format: "lentic-forecast/1".into(),
        date: on.to_string(),
        tank: journal.name.clone().unwrap_or_default(),
        book: super::book_ref(book),
        standing,
        say: String::new(),
        filled: setting.filled.to_string(),
        today: setting.day_of(on),
        days: Vec::new(),
        curves: Vec::new(),
        happenings: Vec::new(),
        done: None,
        next: Vec::new(),
        agreement: Agreement {
            readings: setting.readings.len(),
            members: MEMBERS,
            tail: 1.0,
            fits: true,
            causes: Vec::new(),
        },
        assumed: setting.assumed.clone(),
        capacity: None,
        questions: setting.questions.clone(),
    };
    if standing == CycleStanding::Old {
        told.say = book.say(&TOO_OLD_TO_FORECAST, []);
        return Ok(told);
    }
    let fit = fitted(&setting, MEMBERS);
    let ahead = Ahead {
        days: DAYS_AHEAD,
        planting: false,
    };
    let outlook = outlook(book, &setting, &fit, ahead);
    told.days = dates(&setting, outlook.courses.days());
    told.curves = curves(book, &setting, &outlook);
    told.happenings = happenings(journal, &setting, &outlook);
    told.agreement = agreement(book, &setting, &fit);
    told.capacity = carried(book, &setting, &fit);
    if book.knows(CYCLE_DONE) && standing != CycleStanding::Done {
        told.done = Some(done(book, &setting, &outlook));
        told.next = next(book, &setting, &outlook);
    }
    told.say = told.in_words(book);
    Ok(told)
}

/// The ensemble for a setting.
pub(super) fn fitted(setting: &Setting, members: usize) -> Fit {
    model::fit(
        &setting.tank,
        &setting.readings,
        &setting.ranges,
        settings(members),
    )
}

fn settings(members: usize) -> Settings {
    Settings {
        members,
        seed: 1,
        tolerance: TOLERANCE,
    }
}

pub(super) fn standing(book: &Book, setting: &Setting) -> CycleStanding {
    let is = |name: &str| book.look_up(name, &setting.facts) == Some(Set::Choice(YES));
    if setting.day_of(setting.on) < 0 {
        CycleStanding::ToCome
    } else if is(CYCLE_DONE) || is(PROVEN_BEFORE_PLANTING) {
        let old = setting.day_of(setting.on) > OLDEST_DAYS;
        if old {
            CycleStanding::Old
        } else {
            CycleStanding::Done
        }
    } else if setting.day_of(setting.on) > OLDEST_DAYS {
        CycleStanding::Old
    } else {
        CycleStanding::UnderWay
    }
}

pub(super) fn dates(setting: &Setting, days: usize) -> Vec<String> {
    let date = |day: usize| setting.filled.plus_days(day as i32).to_string();
    (0..days).map(date).collect()
}

/// A number without digits that nobody reads.
pub(super) fn rounded(value: f64) -> f64 {
    let rounded = libm::round(value * 1e3) / 1e3;
    if rounded == 0.0 { 0.0 } else { rounded }
}

fn curves(book: &Book, setting: &Setting, outlook: &Outlook) -> Vec<Curve> {
    let kinds = [
        (AMMONIA, "mg/L N", Quantity::Ammonia),
        (NITRITE, "mg/L N", Quantity::Nitrite),
        (NITRATE, "mg/L N", Quantity::Nitrate),
        (PH, "pH", Quantity::Ph),
        (KH, "mg/L CaCO3", Quantity::Alkalinity),
    ];
    let infos = book.facts();
    let curve = |(fact, unit, quantity): (&str, &str, Quantity)| {
        let info: &FactInfo = infos.iter().find(|info| info.name == fact)?;
        let shown = info.units.first()?.clone();
        let (own, other) = (Scale::of(book, fact, unit)?, Scale::of(book, fact, &shown)?);
        let told = |value: f64| rounded(other.of_main(own.to_main(value.max(0.0))));
        let given = setting.facts.given(book, fact);
        let readings = given.map(|given| given.readings.as_slice());
        let first = f64::from(setting.filled.days());
        let mark = |reading: &crate::engine::Reading| Mark {
            day: rounded(reading.day - first),
            low: rounded(other.of_main(reading.values.lo)),
            high: rounded(other.of_main(reading.values.hi)),
            typed: reading.typed.clone(),
        };
        let bands = outlook.courses.bands(quantity);
        let marks = readings.unwrap_or_default().iter().map(mark);
        Some(Curve {
            fact: fact.to_owned(),
            label: info.label.clone(),
            unit: shown,
            bands: bands.into_iter().map(|band| band.map(told)).collect(),
            readings: marks.filter(|mark| mark.day >= 0.0).collect(),
        })
    };
    kinds.into_iter().filter_map(curve).collect()
}

/// The member in the middle of the ensemble by the day it is done, then planted, stocked.
pub(super) fn middle_story(stories: &[Story]) -> Option<(usize, &Story)> {
    let late = |day: Option<usize>| day.unwrap_or(usize::MAX);
    let mut order: Vec<usize> = (0..stories.len()).collect();
    order.sort_by_key(|member| {
        let story = &stories[*member];
        (
            late(story.done),
            late(story.plant),
            late(story.crew),
            late(story.fish),
            *member,
        )
    });
    let member = *order.get(order.len() / 2)?;
    Some((member, &stories[member]))
}

fn happenings(journal: &Journal, setting: &Setting, outlook: &Outlook) -> Vec<Happening> {
    let acts = |event: &&Event| {
        event.on <= setting.on.max(setting.filled)
            && event.on >= setting.filled
            && matches!(
                event.what,
                What::Filled
                    | What::ChangedWater { .. }
                    | What::Dosed { .. }
                    | What::Planted { .. }
                    | What::Added { .. }
                    | What::Drained
            )
    };
    let told = |event: &Event| Happening {
        day: setting.day_of(event.on).max(0) as usize,
        date: event.on.to_string(),
        kind: event.what.kind().to_owned(),
        planned: event.on > setting.on,
    };
    let mut found: Vec<Happening> = journal.events.iter().filter(acts).map(told).collect();
    let planned = |day: usize, kind: &str| Happening {
        day,
        date: setting.filled.plus_days(day as i32).to_string(),
        kind: kind.to_owned(),
        planned: true,
    };
    if let Some((_, story)) = middle_story(&outlook.stories) {
        found.extend(
            story
                .changes
                .iter()
                .map(|(day, _)| planned(*day, "changed-water")),
        );
        found.extend(story.doses.iter().map(|(day, _)| planned(*day, "dosed")));
    }
    found.sort_by_key(|happening| happening.day);
    found.dedup_by(|a, b| (a.day, &a.kind) == (b.day, &b.kind));
    found
}

/// The day by which a share of all members has come to something.
pub(super) fn day_by(days: &[Option<usize>], share: f64) -> Option<usize> {
    let mut order: Vec<usize> = days.iter().map(|day| day.unwrap_or(usize::MAX)).collect();
    order.sort_unstable();
    let place = ((share * order.len() as f64).ceil() as usize).max(1) - 1;
    order.get(place).copied().filter(|day| *day != usize::MAX)
}

fn done(book: &Book, setting: &Setting, outlook: &Outlook) -> Done {
    let days: Vec<Option<usize>> = outlook.stories.iter().map(|story| story.done).collect();
    let count = days.len() as f64;
    let by =
        |day: usize| days.iter().flatten().filter(|first| **first <= day).count() as f64 / count;
    let never_told = |story: &&Story| story.done.is_none() && story.open;
    let open = outlook.stories.iter().filter(never_told).count() as f64 / count;
    let date = |share: f64| day_by(&days, share).map(|day| setting.filled.plus_days(day as i32));
    let (early, likely, late) = (date(0.05), date(0.5), date(0.95));
    let say = match likely {
        None => crew_words(book, setting, outlook),
        Some(_) => None,
    };
    let text = |date: Option<Date>| date.map(|date| date.to_string());
    Done {
        label: book.label(CYCLE_DONE).to_owned(),
        chance: (0..outlook.courses.days())
            .map(|day| rounded(by(day)))
            .collect(),
        open: rounded(open),
        say: say.unwrap_or_else(|| likely_words(book, early, likely, late, open)),
        early: text(early),
        likely: text(likely),
        late: text(late),
    }
}

/// In a planted tank that proves no cycle: when the clean-up crew may come all the same.
fn crew_words(book: &Book, setting: &Setting, outlook: &Outlook) -> Option<String> {
    setting.planted?;
    let crew: Vec<Option<usize>> = outlook.stories.iter().map(|story| story.crew).collect();
    let date = setting.filled.plus_days(day_by(&crew, 0.5)? as i32);
    Some(book.say(&CREW_ALL_THE_SAME, [&around(book, date)]))
}

fn likely_words(
    book: &Book,
    early: Option<Date>,
    likely: Option<Date>,
    late: Option<Date>,
    open: f64,
) -> String {
    let range = match (early, late) {
        (Some(early), Some(late)) => {
            let days = [spoken(book, early), spoken(book, late)];
            book.say(&EARLY_OR_LATE, [&days[0], &days[1]])
        }
        (Some(early), None) => book.say(&EARLY_OR_LATER, [&spoken(book, early)]),
        _ => String::new(),
    };
    let middle = match likely {
        Some(date) => book.say(&LIKELY_DONE, [&around(book, date)]),
        None if open > 0.5 => book.say(&CANNOT_BE_TOLD, []),
        None => book.say(&NOT_DONE_HERE, []),
    };
    joined([middle, range])
}

fn next(book: &Book, setting: &Setting, outlook: &Outlook) -> Vec<Tell> {
    let kinds = [
        (AMMONIA, Quantity::Ammonia),
        (NITRITE, Quantity::Nitrite),
        (NITRATE, Quantity::Oxidised),
    ];
    let tests: Vec<(&str, model::Test)> = kinds
        .into_iter()
        .filter_map(|(fact, quantity)| {
            let scale = Scale::of(book, fact, "mg/L N")?;
            let mark = scale.of_main(book.enter(fact, "0 mg/L N").ok()?.mark?);
            // Steps of a colour scale, each twice the one below.
            let bounds = (0..7).map(|step| mark * f64::from(1 << step)).collect();
            let test = model::Test {
                quantity,
                bounds,
                deviation: 0.5 * mark,
                relative_deviation: 0.15,
            };
            Some((fact, test))
        })
        .collect();
    let first: Vec<Option<usize>> = outlook.stories.iter().map(|story| story.done).collect();
    let only: Vec<model::Test> = tests.iter().map(|(_, test)| test.clone()).collect();
    let last = outlook.courses.days();
    let days = (outlook.from + 1).min(last)..(outlook.from + 1 + DAYS_FOR_TESTS).min(last);
    let mut found = Vec::new();
    for told in most_telling(&outlook.courses, &only, days, &first, 1) {
        let fact = tests
            .iter()
            .find(|(_, test)| test.quantity == told.quantity);
        let Some((fact, _)) = fact else { continue };
        let known = found.iter().any(|tell: &Tell| tell.fact == *fact);
        if told.bits > 0.05 && !known {
            found.push(Tell {
                fact: (*fact).to_owned(),
                label: book.label(fact).to_owned(),
                date: setting.filled.plus_days(told.day as i32).to_string(),
                bits: rounded(told.bits),
            });
        }
    }
    found
}

pub(super) fn agreement(book: &Book, setting: &Setting, fit: &Fit) -> Agreement {
    let fits = fit.misfit.tail >= MISFIT;
    let causes = if fits {
        Vec::new()
    } else {
        causes(book, setting, fit)
    };
    Agreement {
        readings: fit.misfit.readings,
        members: MEMBERS,
        tail: rounded(fit.misfit.tail),
        fits,
        causes,
    }
}

fn causes(book: &Book, setting: &Setting, plain: &Fit) -> Vec<TriedCause> {
    let infos = book.facts();
    let options = infos.iter().find(|info| info.name == MISFIT_CAUSE);
    let told = |explanation: &Explanation| {
        let name = name_of(explanation.cause);
        let option = options?.options.iter().find(|option| option.name == name)?;
        Some(TriedCause {
            cause: name.to_owned(),
            label: option.label.clone(),
            gain: rounded(explanation.fit.log_evidence - plain.log_evidence),
            fits: explanation.fit.misfit.tail >= MISFIT,
        })
    };
    let ranges: &Ranges = &setting.ranges;
    let tried = explanations(
        &setting.tank,
        &setting.readings,
        ranges,
        settings(MEMBERS / 2),
    );
    let found = tried.iter().filter_map(told);
    found
        .filter(|cause| cause.gain >= LEAST_GAIN)
        .take(3)
        .collect()
}

/// The option of the book that a cause is.
fn name_of(cause: Cause) -> &'static str {
    match cause {
        Cause::ReadAsIon(Quantity::Ammonia) => "ammonia-as-ion",
        Cause::ReadAsIon(Quantity::Nitrite) => "nitrite-as-ion",
        Cause::ReadAsIon(_) => "nitrate-as-ion",
        Cause::ReadAsNitrogen(Quantity::Ammonia) => "ammonia-as-nitrogen",
        Cause::ReadAsNitrogen(Quantity::Nitrite) => "nitrite-as-nitrogen",
        Cause::ReadAsNitrogen(_) => "nitrate-as-nitrogen",
        Cause::HiddenSource => "hidden-source",
        Cause::LackOfAlkalinity => "lack-of-alkalinity",
        Cause::Cold => "cold",
        Cause::Chlorine => "chlorine",
    }
}

impl Forecast {
    fn in_words(&self, book: &Book) -> String {
        let say_if = |told: bool, phrase| match told {
            true => book.say(phrase, []),
            false => String::new(),
        };
        let middle = match (&self.done, self.standing) {
            (Some(done), _) => done.say.clone(),
            (None, standing) => say_if(standing == CycleStanding::Done, &SHOWN_DONE),
        };
        joined([
            say_if(!self.agreement.fits, &FITS_NO_TANK),
            middle,
            say_if(self.agreement.readings == 0, &NO_TEST_YET),
            book.say(&NO_READING, []),
        ])
    }
}

/// Sentences one after the other; there may be none in some places.
fn joined<const N: usize>(sentences: [String; N]) -> String {
    let mut said = sentences.to_vec();
    said.retain(|sentence| !sentence.is_empty());
    said.join(" ")
}

/// A fact with one value, for looking something up.
pub(super) fn given(set: Set) -> Given {
    Given::new(set)
}
