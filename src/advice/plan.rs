//! The coming days: the book run on each of them with forecast water.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::engine::{AdvicePoint, Book, CautionInfo, Urgency, Verdict};
use crate::journal::{Date, Journal, Mistakes};

use super::desk::Seen;
use super::document::{BookRef, Question};
use super::forecast::{CycleStanding, agreement, day_by, fitted, middle_story, rounded, standing};
use super::forecast::{DAYS_AHEAD, MEMBERS};
use super::keeper::{Ahead, Outlook, Story, outlook};
use super::names::*;
use super::phrases::{
    AT_THE_EARLIEST, BETWEEN_DAYS, FROM_DAY_ON, FROM_OR_LATER, LATER_THAN_TOLD, PLANNED,
    TOO_OLD_TO_PLAN,
};
use super::setting::{Assumed, Setting, setting};
use super::when::{around, spoken};

/// Plants go in as soon as the book lets them.
const AHEAD: Ahead = Ahead {
    days: DAYS_AHEAD,
    planting: true,
};

/// Something to do on a coming day.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct PlanItem {
    /// The day.
    pub date: String,
    /// The rule that asks for it.
    pub rule: String,
    /// The action.
    pub action: String,
    /// The action in words.
    pub action_label: String,
    /// How soon, seen from its day.
    pub urgency: Urgency,
    /// How much, in words, where it takes an amount.
    pub amount: Option<String>,
    /// What was found, in the middle of the forecast.
    pub finding: String,
    /// What to do.
    pub say: String,
    /// Why.
    pub because: String,
    /// Whether the book asks for it whatever the water does between the 5 and 95 % lines; otherwise the tests of
    /// the day decide.
    pub sure: bool,
    /// Cautions to be shown with it.
    pub cautions: Vec<CautionInfo>,
}

/// The first day on which the book would let something in.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Milestone {
    /// The gate.
    pub gate: String,
    /// Its action in words.
    pub action_label: String,
    /// The days by which 5, 50 and 95 % of the ensemble have come so far; none beyond the last day told.
    pub early: Option<String>,
    /// The middle one.
    pub likely: Option<String>,
    /// The late one.
    pub late: Option<String>,
    /// The chance that it comes within the days told.
    pub chance: f64,
    /// In words.
    pub say: String,
}

/// The coming days.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Plan {
    /// `lentic-plan/1`.
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
    /// When plants, clean-up crew and fish may come.
    pub milestones: Vec<Milestone>,
    /// What to do, day by day.
    pub items: Vec<PlanItem>,
    /// Whether the readings fit the forecast that this rests on.
    pub fits: bool,
    /// What had to be assumed.
    pub assumed: Vec<Assumed>,
    /// Entries to be asked about.
    pub questions: Vec<Question>,
}

/// What the book will ask for on each coming day, seen from the day `on`.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn plan(book: &Book, journal: &Journal, on: Date) -> Result<Plan, Mistakes> {
    let setting = setting(book, journal, on)?;
    let standing = standing(book, &setting);
    let mut told = Plan {
        format: "lentic-plan/1".into(),
        date: on.to_string(),
        tank: journal.name.clone().unwrap_or_default(),
        book: super::book_ref(book),
        standing,
        say: String::new(),
        milestones: Vec::new(),
        items: Vec::new(),
        fits: true,
        assumed: setting.assumed.clone(),
        questions: setting.questions.clone(),
    };
    if standing == CycleStanding::Old {
        told.say = book.say(&TOO_OLD_TO_PLAN, []);
        return Ok(told);
    }
    let fit = fitted(&setting, MEMBERS);
    let outlook = outlook(book, &setting, &fit, AHEAD);
    told.fits = agreement(book, &setting, &fit).fits;
    told.milestones = milestones(book, &setting, &outlook);
    told.items = items(book, &setting, &outlook);
    told.say = book.say(&PLANNED, []);
    Ok(told)
}

/// The day on which a member has come so far.
type Reached = fn(&Story) -> Option<usize>;

/// When plants, clean-up crew and fish may come, by the forecast; none for a tank older than it speaks of.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn earliest(book: &Book, journal: &Journal, on: Date) -> Result<Vec<Milestone>, Mistakes> {
    let setting = setting(book, journal, on)?;
    if standing(book, &setting) == CycleStanding::Old {
        return Ok(Vec::new());
    }
    let fit = fitted(&setting, MEMBERS);
    Ok(milestones(
        book,
        &setting,
        &outlook(book, &setting, &fit, AHEAD),
    ))
}

/// The first day on which each gate would open, by the forecast.
fn milestones(book: &Book, setting: &Setting, outlook: &Outlook) -> Vec<Milestone> {
    let gates: [(&str, Reached); 3] = [
        (PLANT, |story| story.plant),
        (ADD_CREW, |story| story.crew),
        (ADD_FISH, |story| story.fish),
    ];
    let run = book.evaluate(&setting.facts);
    let answers = run.gates();
    let milestone = |(gate, of): (&str, Reached)| {
        let answer = answers.iter().find(|answer| answer.gate == gate)?;
        let days: Vec<Option<usize>> = outlook.stories.iter().map(of).collect();
        let date = |share| day_by(&days, share).map(|day| setting.filled.plus_days(day as i32));
        let (early, likely, late) = (date(0.05), date(0.5), date(0.95));
        let chance = days.iter().flatten().count() as f64 / days.len() as f64;
        let text = |date: Option<Date>| date.map(|date| date.to_string());
        Some(Milestone {
            gate: gate.to_owned(),
            action_label: answer.action_label.clone(),
            say: in_words(book, early, likely, late),
            early: text(early),
            likely: text(likely),
            late: text(late),
            chance: rounded(chance),
        })
    };
    gates.into_iter().filter_map(milestone).collect()
}

fn in_words(book: &Book, early: Option<Date>, likely: Option<Date>, late: Option<Date>) -> String {
    let day = |date| spoken(book, date);
    match (early, likely, late) {
        (Some(early), Some(likely), Some(late)) if early == late => {
            book.say(&FROM_DAY_ON, [&day(likely)])
        }
        (Some(early), Some(likely), Some(late)) => {
            let told = [around(book, likely), day(early), day(late)];
            book.say(&BETWEEN_DAYS, told.each_ref().map(String::as_str))
        }
        (Some(early), Some(likely), None) => {
            book.say(&FROM_OR_LATER, [&around(book, likely), &day(early)])
        }
        (Some(early), None, _) => book.say(&AT_THE_EARLIEST, [&day(early)]),
        _ => book.say(&LATER_THAN_TOLD, []),
    }
}

/// What the book asks for, day by day: what it begins to ask for, and what takes an amount each time anew.
fn items(book: &Book, setting: &Setting, outlook: &Outlook) -> Vec<PlanItem> {
    let Some((middle, story)) = middle_story(&outlook.stories) else {
        return Vec::new();
    };
    let seen = Seen::new(book, setting, &outlook.waters, &outlook.courses);
    let guarded: BTreeSet<&str> = book.gate_names().into_iter().collect();
    let mut tests = Tests {
        book,
        seen: &seen,
        member: middle,
        story,
        made: Vec::new(),
    };
    let mut before: BTreeSet<String> = BTreeSet::new();
    let mut found = Vec::new();
    for day in outlook.from..seen.days() {
        let facts = seen.facts(middle, story, day);
        let run = book.evaluate(&facts);
        let advice = run.answer().advice;
        let wide = seen.wide_facts(story, day);
        let wide = book.evaluate(&wide);
        let date = setting.filled.plus_days(day as i32).to_string();
        let mut now = BTreeSet::new();
        for point in &advice {
            now.insert(point.rule.clone());
            let begins = !before.contains(&point.rule);
            let pressing =
                point.urgency != Urgency::Note || guarded.contains(point.action.as_str());
            let is_test = point.action == TEST;
            // One water change serves all rules that ask for one.
            let twice = found
                .iter()
                .any(|item: &PlanItem| item.date == date && item.action == point.action);
            let anew = begins || point.amount.is_some();
            if point.certain && pressing && anew && !is_test && !twice {
                found.push(item(
                    point,
                    &date,
                    wide.rule(&point.rule) == Some(Verdict::Holds),
                ));
            }
        }
        before = now;
        if let Some(point) = tests.due(day) {
            found.push(item(&point, &date, true));
        }
    }
    found
}

fn item(point: &AdvicePoint, date: &str, sure: bool) -> PlanItem {
    PlanItem {
        date: date.to_owned(),
        rule: point.rule.clone(),
        action: point.action.clone(),
        action_label: point.action_label.clone(),
        urgency: point.urgency,
        amount: point.amount.as_ref().map(|amount| amount.shown.clone()),
        finding: point.finding.clone(),
        say: point.say.clone(),
        because: point.because.clone(),
        sure,
        cautions: point.cautions.clone(),
    }
}

/// The days on which a test is due: when the book asks for one of a keeper who tests only then.
struct Tests<'a> {
    book: &'a Book,
    seen: &'a Seen<'a>,
    member: usize,
    story: &'a Story,
    made: Vec<usize>,
}

impl Tests<'_> {
    /// The test that is asked for on a day; it is then made.
    fn due(&mut self, day: usize) -> Option<AdvicePoint> {
        let mut facts = self.seen.untested(self.story, day);
        self.seen.tested(&mut facts, self.member, &self.made);
        let advice = self.book.evaluate(&facts).answer().advice;
        let asks = |point: &AdvicePoint| point.action == TEST && point.urgency != Urgency::Note;
        let point = advice.into_iter().find(asks)?;
        self.made.push(day);
        Some(point)
    }
}
