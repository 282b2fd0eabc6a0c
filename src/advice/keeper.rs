//! A keeper who goes on by the book: every member of the ensemble is tested each day, the book is run on what its
//! tests would read, and what the book says is done to it.
//!
//! The book is not run a thousand times a day. It is run on sets: on all values that a group of members holds. What
//! is decided there is decided for each of them, and a group on which it stays open is parted.

use std::collections::BTreeMap;

use crate::engine::{
    Asking, Book, Evaluation, Facts, GateVerdict, Interval, NO, Set, Verdict, YES,
};
use crate::water::nitrification::{Change, Fit, Forecast, Parameters, Quantity, Source, Walk};

use super::desk::{Dates, Desk, Waters};
use super::facts::number;
use super::names::*;
use super::scale::Scale;
use super::setting::Setting;

/// Error allowed in a step of the model.
pub(super) const TOLERANCE: f64 = 0.02;
/// What no parting of members can settle is left open for so many parts of them.
const OPEN_PARTS: usize = 16;

/// What the book is asked of a member each day.
const QUESTIONS: usize = 7;
const DONE: usize = 0;
const PLANTING: usize = 1;
const CREW: usize = 2;
const FISH: usize = 3;
const DOSE: usize = 4;
const WATER: usize = 5;
const BUFFER: usize = 6;

/// What a question asks the book about.
#[derive(Clone, Copy)]
enum About {
    Truth(&'static str),
    Gate(&'static str),
    /// The rules for a change of water.
    Change,
}

const ASKED: [About; QUESTIONS] = [
    About::Truth(CYCLE_DONE),
    About::Gate(PLANT),
    About::Gate(ADD_CREW),
    About::Gate(ADD_FISH),
    About::Gate(DOSE_AMMONIA),
    About::Change,
    About::Truth(BUFFER_DUE),
];

type Said = [Verdict; QUESTIONS];

/// How far and how the future is told.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ahead {
    /// Days from the day asked about.
    pub days: usize,
    /// Whether plants go in as soon as the book allows it.
    pub planting: bool,
}

/// What happens to one member.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Story {
    /// First day on which the tests show the cycle done.
    pub done: Option<usize>,
    /// First day on which the book lets plants, clean-up crew and fish in.
    pub plant: Option<usize>,
    pub crew: Option<usize>,
    pub fish: Option<usize>,
    /// Whether the book could not tell, on some day, whether the cycle was done.
    pub open: bool,
    /// Water changes: the day and the share.
    pub changes: Vec<(usize, f64)>,
    /// Doses: the day and the rise, in mg/L of nitrogen.
    pub doses: Vec<(usize, f64)>,
    /// The day on which this keeper planted.
    pub planted_by_plan: Option<usize>,
}

/// The courses of all members under what the book says, from filling on.
pub(super) struct Outlook {
    pub courses: Forecast,
    pub waters: Waters,
    pub stories: Vec<Story>,
    /// First simulated day.
    pub from: usize,
}

/// Members for which a day differs in nothing but their water, and what is still asked of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Cohort {
    dates: Dates,
    asked: [bool; QUESTIONS],
}

/// Leads an ensemble from filling to the last day.
pub(super) fn outlook(book: &Book, setting: &Setting, fit: &Fit, ahead: Ahead) -> Outlook {
    let members: Vec<Parameters> = fit.parameters(setting.tank.bed_kg_l).collect();
    let mut walk = Walk::start(&setting.tank, &members, TOLERANCE);
    let from = setting.from();
    let mut keeper = Keeper::new(book, setting, &members, ahead);
    for day in 0..=from + ahead.days {
        keeper.waters.days.push(walk.reach(day as f64));
        if day >= from {
            keeper.live(day, &mut walk);
        }
    }
    Outlook {
        courses: Forecast::of_days(&keeper.waters.days),
        waters: keeper.waters,
        stories: keeper.stories,
        from,
    }
}

struct Keeper<'a> {
    book: &'a Book,
    setting: &'a Setting,
    ahead: Ahead,
    desk: Desk<'a>,
    waters: Waters,
    stories: Vec<Story>,
    cohorts: Vec<Cohort>,
    asking: Asking<'a>,
    /// The places of the rules that ask for a change of water.
    change_rules: Vec<usize>,
    /// The share of a change by the rule that asks for it.
    shares: BTreeMap<usize, f64>,
    drains: bool,
}

impl<'a> Keeper<'a> {
    fn new(book: &'a Book, setting: &'a Setting, members: &'a [Parameters], ahead: Ahead) -> Self {
        let cohort = Cohort {
            dates: Dates::of(setting),
            asked: [true; QUESTIONS],
        };
        let planted_start = book
            .enter(START, PLANTED_START)
            .map(|entered| entered.set)
            .ok();
        let drains = book.look_up(START, &setting.facts) != planted_start;
        let change_rules = book.rules_advising(CHANGE_WATER);
        let change_names = change_rules.iter().map(|at| &*book.rules[*at].name);
        let own_names = ASKED.into_iter().filter_map(|about| match about {
            About::Truth(name) | About::Gate(name) => Some(name),
            About::Change => None,
        });
        let names = own_names.chain(change_names);
        Self {
            book,
            setting,
            ahead,
            desk: Desk::new(book, setting, false),
            waters: Waters::new(members),
            stories: vec![Story::default(); members.len()],
            cohorts: vec![cohort; members.len()],
            asking: book.asking(names),
            change_rules,
            shares: BTreeMap::new(),
            drains,
        }
    }

    /// One day: the tests, what the book says of them, and what is done.
    fn live(&mut self, day: usize, walk: &mut Walk<'_>) {
        let mut groups: BTreeMap<Cohort, Vec<usize>> = BTreeMap::new();
        for (member, cohort) in self.cohorts.iter().enumerate() {
            groups.entry(*cohort).or_default().push(member);
        }
        for (cohort, mut members) in groups {
            let mut facts = self.desk.facts(self.setting, &cohort.dates, day);
            let least = (members.len() / OPEN_PARTS).max(1);
            self.ask(&mut facts, &cohort, day, &mut members, least, walk);
        }
    }

    /// Asks the book about a group, and about its halves where that may settle more.
    fn ask(
        &mut self,
        facts: &mut Facts,
        cohort: &Cohort,
        day: usize,
        members: &mut [usize],
        least: usize,
        walk: &mut Walk<'_>,
    ) {
        self.read(facts, day, members);
        let book = self.book;
        let run = self.asking.evaluate(facts);
        let said = self.said(&run, cohort);
        let is_open = |said: &Said, question: usize| {
            cohort.asked[question] && said[question] == Verdict::Open
        };
        let open: Vec<usize> = (0..QUESTIONS).filter(|at| is_open(&said, *at)).collect();
        if open.is_empty() || members.len() == 1 || !self.may_part(day, members) {
            let deed = Deed {
                share: self.share(&run, &said, facts),
                dose: dose(book, facts, &said),
                buffer: buffer(book, facts, &said),
            };
            for member in members {
                self.act(*member, day, &said, &deed, walk);
            }
            return;
        }
        self.read(facts, day, &members[..1]);
        let one = self.said(&self.asking.evaluate(facts), cohort);
        let settled = open.iter().any(|question| one[*question] != Verdict::Open);
        if !settled && members.len() <= least {
            for member in members {
                self.act(*member, day, &one, &Deed::default(), walk);
            }
            return;
        }
        let (low, high) = self.part(day, members);
        self.ask(facts, cohort, day, low, least, walk);
        self.ask(facts, cohort, day, high, least, walk);
    }

    /// Puts in what the tests of some members would read.
    fn read(&self, facts: &mut Facts, day: usize, members: &[usize]) {
        let nitrate = members
            .iter()
            .map(|member| self.waters.source_nitrate[*member]);
        let whole = (f64::INFINITY, 0.0_f64);
        let (lo, hi) = nitrate.fold(whole, |(lo, hi), value| (lo.min(value), hi.max(value)));
        let of = |quantity, day| self.waters.hull(quantity, day, members);
        self.desk.read(facts, day, of, Interval { lo, hi });
    }

    fn said(&self, run: &Evaluation<'_>, cohort: &Cohort) -> Said {
        let gate = |name: &str| match run.gate_verdict(name) {
            Some(GateVerdict::Yes) => Verdict::Holds,
            Some(GateVerdict::CannotTell) => Verdict::Open,
            Some(GateVerdict::NotYet | GateVerdict::No) => Verdict::Fails,
            None => Verdict::Fails,
        };
        let truth = |name: &str| match run.values(name) {
            Some(Set::Choice(YES)) => Verdict::Holds,
            Some(Set::Choice(NO)) | None => Verdict::Fails,
            Some(_) => Verdict::Open,
        };
        let change = || self.change_rules.iter().map(|at| run.rules[*at]).max();
        let mut asked = ASKED.map(|about| match about {
            About::Truth(name) => truth(name),
            About::Gate(name) => gate(name),
            About::Change => change().unwrap_or(Verdict::Fails),
        });
        for (verdict, asked) in asked.iter_mut().zip(cohort.asked) {
            if !asked {
                *verdict = Verdict::Fails;
            }
        }
        asked
    }

    /// The share of the change that the first rule which holds asks for.
    fn share(&mut self, run: &Evaluation<'_>, said: &Said, facts: &Facts) -> Option<f64> {
        if said[WATER] != Verdict::Holds {
            return None;
        }
        let holds = |at: &&usize| run.rules[**at] == Verdict::Holds;
        let rule = *self.change_rules.iter().find(holds)?;
        if let Some(share) = self.shares.get(&rule) {
            return Some(*share);
        }
        let name = &self.book.rules[rule].name;
        let (_, point, _) = self.book.evaluate(facts).rule_point(name)?;
        let amount = point.amount?;
        let litres = 0.5 * (amount.low? + amount.high?);
        let share = (litres / self.setting.volume_l).clamp(0.0, 1.0);
        self.shares.insert(rule, share);
        Some(share)
    }

    fn act(&mut self, member: usize, day: usize, said: &Said, deed: &Deed, walk: &mut Walk<'_>) {
        let source = self.setting.source;
        let today = day as i32;
        let story = &mut self.stories[member];
        let cohort = &mut self.cohorts[member];
        let first = |seen: &mut Option<usize>, question: usize| {
            if said[question] == Verdict::Holds && seen.is_none() {
                *seen = Some(day);
            }
        };
        first(&mut story.done, DONE);
        first(&mut story.plant, PLANTING);
        first(&mut story.crew, CREW);
        first(&mut story.fish, FISH);
        story.open |= said[DONE] == Verdict::Open;
        let seen = [&story.done, &story.plant, &story.crew, &story.fish];
        for (question, seen) in seen.into_iter().enumerate() {
            cohort.asked[question] = seen.is_none();
        }
        let plants =
            self.ahead.planting && cohort.dates.planted.is_none() && story.plant == Some(day);
        if plants {
            let share = if self.drains { 1.0 } else { 0.0 };
            if self.drains {
                walk.happen(member, &Change::Water { share, source });
                story.changes.push((day, share));
            }
            let uptake = self.setting.plants_mg_l_n_day;
            walk.happen(member, &Change::Plants(uptake));
            cohort.dates.planted = Some(today);
            cohort.dates.changed = today;
            cohort.dates.proven = story.done.is_some();
            cohort.asked[DOSE] = false;
            story.planted_by_plan = Some(day);
        } else if let Some(share) = deed.share {
            walk.happen(member, &Change::Water { share, source });
            cohort.dates.changed = today;
            story.changes.push((day, share));
        } else if let Some(rise) = deed.dose.filter(|_| story.done.is_none()) {
            let ammonia_mg_l_n = rise;
            let dose = Source {
                ammonia_mg_l_n,
                ..Source::default()
            };
            walk.happen(member, &Change::Dose(dose));
            cohort.dates.dosed = Some(today);
            story.doses.push((day, rise));
        }
        if let Some(alkalinity_mg_l_caco3) = deed.buffer {
            let salt = Source {
                alkalinity_mg_l_caco3,
                ..Source::default()
            };
            walk.happen(member, &Change::Dose(salt));
        }
    }

    /// The test, of today or yesterday, in which members differ most, by the ratio of what they hold.
    fn widest(&self, day: usize, members: &[usize]) -> Option<(f64, Quantity, usize)> {
        let from = self.desk.first_day().min(day);
        let days = day.saturating_sub(1).max(from)..=day;
        let ratio = |quantity: Quantity, day: usize, mark: f64| {
            let Interval { lo, hi } = self.waters.hull(quantity, day, members);
            (hi + mark) / (lo + mark)
        };
        let mut widest: Option<(f64, Quantity, usize)> = None;
        for day in days {
            for series in &self.desk.series {
                let found = ratio(series.quantity, day, series.mark_mg_l.max(1e-3));
                if widest.is_none_or(|(ratio, _, _)| found > ratio) {
                    widest = Some((found, series.quantity, day));
                }
            }
        }
        widest
    }

    fn may_part(&self, day: usize, members: &[usize]) -> bool {
        self.widest(day, members)
            .is_some_and(|(ratio, _, _)| ratio > 1.0)
    }

    fn part<'m>(&self, day: usize, members: &'m mut [usize]) -> (&'m mut [usize], &'m mut [usize]) {
        let middle = members.len() / 2;
        if let Some((_, quantity, day)) = self.widest(day, members) {
            let value = |member: &usize| self.waters.value(quantity, day, *member);
            members.select_nth_unstable_by(middle, |a, b| {
                value(a).total_cmp(&value(b)).then(a.cmp(b))
            });
        }
        members.split_at_mut(middle)
    }
}

/// What the book has done to a group on a day.
#[derive(Debug, Clone, Copy, Default)]
struct Deed {
    /// The share of the water that is changed.
    share: Option<f64>,
    /// The rise of ammonia by a dose, in mg/L of nitrogen.
    dose: Option<f64>,
    /// The rise of alkalinity by salt, in mg/L as CaCO₃.
    buffer: Option<f64>,
}

/// The alkalinity that the book adds, in mg/L as CaCO₃.
fn buffer(book: &Book, facts: &Facts, said: &Said) -> Option<f64> {
    if said[BUFFER] != Verdict::Holds {
        return None;
    }
    let main = number(book.look_up(BUFFER_TO_ADD, facts)?)?;
    Some(Scale::of(book, KH, "mg/L CaCO3")?.of_main(0.5 * (main.lo + main.hi)))
}

/// The dose that the book asks for, in mg/L of nitrogen.
fn dose(book: &Book, facts: &Facts, said: &Said) -> Option<f64> {
    if said[DOSE] != Verdict::Holds {
        return None;
    }
    let main = number(book.look_up(DOSE_TO_TARGET, facts)?)?;
    let litres = number(book.look_up(NET_VOLUME, facts)?)?;
    // Its main units are those in which both are typed.
    let grams = Scale::of(book, DOSED_MASS, "g")?.of_main(0.5 * (main.lo + main.hi));
    let volume = Scale::of(book, NET_VOLUME, "L")?.of_main(litres.lo);
    Some(crate::water::ammonium_chloride_rise_mg_l_n(grams, volume)).filter(|rise| *rise > 0.0)
}
