//! The ways to start, side by side: the same ensemble under what the book says for each.

use serde::Serialize;

use crate::engine::{Book, FactInfo, Set};
use crate::journal::{Date, Entry, Event, Journal, Mistake, Mistakes, What};
use crate::water::nitrification::{self as model, Change, Quantity};

use super::amounts::exactly;
use super::document::BookRef;
use super::facts::number;
use super::forecast::{day_by, fitted, given, rounded};
use super::keeper::{Ahead, Outlook, Story, outlook};
use super::names::*;
use super::phrases::COMPARED;
use super::scale::Scale;
use super::setting::{Assumed, Setting, setting};

const MEMBERS: usize = 200;
/// How far the starts are followed.
const DAYS: usize = 90;
const MINUTES_AN_HOUR: f64 = 60.0;

/// The keeper's own prices, in the keeper's own money; what has no price costs nothing here.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Prices {
    /// A litre of new water, treated and warmed.
    pub water_litre: Option<f64>,
    /// A gram of ammonium chloride.
    pub salt_gram: Option<f64>,
    /// All the plants.
    pub plants: Option<f64>,
    /// An hour of the keeper's time.
    pub hour: Option<f64>,
    /// Minutes that one water change takes.
    pub change_minutes: Option<f64>,
}

impl Prices {
    /// The names by which prices are given.
    pub const NAMES: [&'static str; 5] = [
        "water-litre",
        "salt-gram",
        "plants",
        "hour",
        "change-minutes",
    ];

    /// Prices from names and numbers as typed.
    ///
    /// # Errors
    /// A sentence for each that is no price.
    pub fn read(typed: &[(String, String)]) -> Result<Prices, Mistakes> {
        let mut prices = Prices::default();
        let mut mistakes = Vec::new();
        for (name, text) in typed {
            let mut wrong = |message: String, hint: Option<String>| {
                mistakes.push(Mistake {
                    place: name.clone(),
                    message,
                    hint,
                });
            };
            let value = text
                .parse::<f64>()
                .ok()
                .filter(|value| *value >= 0.0 && value.is_finite());
            let Some(value) = value else {
                wrong(
                    format!("`{text}` is no price"),
                    Some("write a plain number, as in 0.35".into()),
                );
                continue;
            };
            let slot = match name.as_str() {
                "water-litre" => &mut prices.water_litre,
                "salt-gram" => &mut prices.salt_gram,
                "plants" => &mut prices.plants,
                "hour" => &mut prices.hour,
                "change-minutes" => &mut prices.change_minutes,
                _ => {
                    let known = Self::NAMES.join(", ");
                    wrong(
                        format!("no price is called `{name}`; there are: {known}"),
                        None,
                    );
                    continue;
                }
            };
            *slot = Some(value);
        }
        if mistakes.is_empty() {
            Ok(prices)
        } else {
            Err(mistakes.into())
        }
    }
}

/// A figure over the ensemble; none where it lies beyond the days that were followed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Span {
    /// So much or less in 5 % of the tanks.
    pub low: Option<f64>,
    /// So much or less in half of them.
    pub middle: Option<f64>,
    /// So much or less in 95 %.
    pub high: Option<f64>,
}

/// What plants of one class would meet.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct PlantsMeet {
    /// The class.
    pub class: String,
    /// In words.
    pub label: String,
    /// Days with more ammonia than such plants bear for long.
    pub days_above: Span,
    /// The chance of ammonia at which such plants are being lost.
    pub loss: f64,
}

/// One way to start.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct StartCompared {
    /// The option of the book.
    pub start: String,
    /// In words.
    pub label: String,
    /// What this start was followed on, where that is not the keeper's own bed.
    pub on_another_bed: Option<String>,
    /// Litres of water, the first filling included.
    pub litres: Span,
    /// Water changes.
    pub changes: Span,
    /// Hours for them, at the keeper's own minutes.
    pub hours: Option<Span>,
    /// Ammonium chloride, in g.
    pub salt_g: Span,
    /// Days from filling until the plants are in, the clean-up crew may come, and fish may.
    pub days_to_plants: Span,
    /// Days until the clean-up crew.
    pub days_to_crew: Span,
    /// Days until fish.
    pub days_to_fish: Span,
    /// What plants would meet, by class.
    pub plants: Vec<PlantsMeet>,
    /// What it costs at the keeper's own prices; none without any.
    pub cost: Option<Span>,
}

/// The ways to start, side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Comparison {
    /// `lentic-comparison/1`.
    pub format: String,
    /// The day of filling that is supposed.
    pub date: String,
    /// What the keeper calls the tank, or empty.
    pub tank: String,
    /// The book.
    pub book: BookRef,
    /// For how many days each start was followed.
    pub days: usize,
    /// The starts, in the order of the book.
    pub starts: Vec<StartCompared>,
    /// What had to be assumed.
    pub assumed: Vec<Assumed>,
    /// In words.
    pub say: String,
}

/// The ways to start for the tank of a journal, as if it were filled on the day `on`.
///
/// What its readings so far have taught of bed and bacteria goes into each.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn compare(
    book: &Book,
    journal: &Journal,
    on: Date,
    prices: &Prices,
) -> Result<Comparison, Mistakes> {
    let own = setting(book, journal, on)?;
    let fit = fitted(&own, MEMBERS);
    let infos = book.facts();
    let options = infos.iter().find(|info| info.name == START);
    let mut starts = Vec::new();
    for option in options.map_or(&[][..], |info| &info.options) {
        let inert = option.name == FED && own.tank.bed_kg_l > 0.0;
        let begun = begun(journal, on, &option.name, inert);
        let mut setting = setting(book, &begun, on)?;
        if option.name == PLANTED_START {
            plant(book, &mut setting);
        }
        let planting = Ahead {
            days: DAYS,
            planting: true,
        };
        let outlook = outlook(book, &setting, &fit, planting);
        let label = option.label.clone();
        let bed = inert.then(|| book_option(&infos, BED, "inert"));
        let seen = Seen {
            book,
            setting: &setting,
            outlook: &outlook,
            prices,
        };
        starts.push(seen.compared(option.name.clone(), label, bed, &infos));
    }
    Ok(Comparison {
        format: "lentic-comparison/1".into(),
        date: on.to_string(),
        tank: journal.name.clone().unwrap_or_default(),
        book: super::book_ref(book),
        days: DAYS,
        starts,
        assumed: own.assumed,
        say: book.say(&COMPARED, []),
    })
}

fn book_option(infos: &[FactInfo], fact: &str, name: &str) -> String {
    let info = infos.iter().find(|info| info.name == fact);
    let option = info.and_then(|info| info.options.iter().find(|option| option.name == name));
    option.map_or_else(|| name.to_owned(), |option| option.label.clone())
}

/// The journal of the same tank, filled on a day and started so, with nothing else done to it.
fn begun(journal: &Journal, on: Date, start: &str, inert: bool) -> Journal {
    let mut tank = journal.tank.clone();
    let mut put = |name: &str, entry: Entry| {
        tank.retain(|(known, _)| known != name);
        tank.push((name.to_owned(), entry));
    };
    let mut warmth = None;
    for event in journal.events.iter().filter(|event| event.on <= on) {
        match &event.what {
            What::Set { values } => values
                .iter()
                .for_each(|(name, entry)| put(name, entry.clone())),
            What::Read { values } => {
                let read = values.iter().find(|(name, _)| name == TEMPERATURE);
                warmth = read.cloned().or(warmth);
            }
            _ => {}
        }
    }
    let entry = |text: &str| Entry {
        text: text.to_owned(),
        ..Entry::default()
    };
    put(START, entry(start));
    if inert {
        put(BED, entry("inert"));
    }
    let event = |what| Event {
        on,
        at: None,
        what,
        note: None,
        place: String::new(),
    };
    let mut events = vec![event(What::Filled)];
    events.extend(warmth.map(|warmth| {
        event(What::Read {
            values: vec![warmth],
        })
    }));
    Journal {
        name: journal.name.clone(),
        tank,
        events,
    }
}

/// Puts the keeper's plants in on the day of filling.
fn plant(book: &Book, setting: &mut Setting) {
    setting.planted = Some(0);
    let change = Change::Plants(setting.plants_mg_l_n_day);
    setting
        .tank
        .events
        .insert(0, model::Event { day: 0.0, change });
    let class = book.look_up(PLANTS_ON_HAND, &setting.facts);
    let facts = &mut setting.facts;
    facts.give(book, PLANTED, given(Set::truth(true)));
    facts.give(
        book,
        PLANTED_ON,
        given(exactly(f64::from(setting.filled.days()))),
    );
    if let Some(class) = class {
        facts.give(book, PLANT_CLASS, given(class));
    }
}

struct Seen<'a> {
    book: &'a Book,
    setting: &'a Setting,
    outlook: &'a Outlook,
    prices: &'a Prices,
}

impl Seen<'_> {
    fn compared(
        &self,
        start: String,
        label: String,
        on_another_bed: Option<String>,
        infos: &[FactInfo],
    ) -> StartCompared {
        let stories = &self.outlook.stories;
        let volume = self.setting.volume_l;
        let litres = |story: &Story| {
            let shares: f64 = story.changes.iter().map(|(_, share)| share).sum();
            volume * (1.0 + shares)
        };
        let salt = |story: &Story| {
            let rise: f64 = story.doses.iter().map(|(_, rise)| rise).sum();
            crate::water::ammonium_chloride_g(rise, volume)
        };
        let changes = |story: &Story| story.changes.len() as f64;
        let minutes = self.prices.change_minutes;
        let hours = |story: &Story| minutes.unwrap_or(0.0) * changes(story) / MINUTES_AN_HOUR;
        let cost = |story: &Story| {
            let part = |price: Option<f64>, count: f64| price.unwrap_or(0.0) * count;
            part(self.prices.water_litre, litres(story))
                + part(self.prices.salt_gram, salt(story))
                + part(self.prices.plants, 1.0)
                + part(self.prices.hour, hours(story))
        };
        let priced = *self.prices != Prices::default();
        let planted = |story: &Story| self.setting.planted.map(|_| 0).or(story.plant);
        StartCompared {
            start,
            label,
            on_another_bed,
            litres: span(stories.iter().map(litres)),
            changes: span(stories.iter().map(changes)),
            hours: minutes.map(|_| span(stories.iter().map(hours))),
            salt_g: span(stories.iter().map(salt)),
            days_to_plants: days(stories.iter().map(planted)),
            days_to_crew: days(stories.iter().map(|story| story.crew)),
            days_to_fish: days(stories.iter().map(|story| story.fish)),
            plants: self.plants(infos),
            cost: priced.then(|| span(stories.iter().map(cost))),
        }
    }

    /// What plants of each class that bears a different amount of ammonia would meet.
    fn plants(&self, infos: &[FactInfo]) -> Vec<PlantsMeet> {
        let classes = infos.iter().find(|info| info.name == PLANT_CLASS);
        let mut found: Vec<PlantsMeet> = Vec::new();
        for option in classes.map_or(&[][..], |info| &info.options).iter().skip(1) {
            let limits = self
                .limit(PLANT_LIMIT, &option.name)
                .zip(self.limit(PLANT_LOSS_LIMIT, &option.name));
            let Some((bears, loses)) = limits else {
                continue;
            };
            let above = |limit: f64| {
                let members = 0..self.outlook.stories.len();
                members.map(move |member| self.days_above(member, limit))
            };
            let lost = above(loses).filter(|days| *days > 0.0).count();
            found.push(PlantsMeet {
                class: option.name.clone(),
                label: option.label.clone(),
                days_above: span(above(bears)),
                loss: rounded(lost as f64 / self.outlook.stories.len() as f64),
            });
        }
        found
    }

    /// A limit that the book has for a class of plants, in mg/L of nitrogen.
    fn limit(&self, table: &str, class: &str) -> Option<f64> {
        let mut facts = crate::engine::Facts::default();
        let entered = self.book.enter(PLANT_CLASS, class).ok()?;
        facts.give(self.book, PLANT_CLASS, given(entered.set));
        let main = number(self.book.look_up(table, &facts)?)?;
        Some(Scale::of(self.book, AMMONIA, "mg/L N")?.of_main(main.lo))
    }

    /// Days after planting on which a member holds more ammonia than a limit.
    fn days_above(&self, member: usize, limit: f64) -> f64 {
        let story = &self.outlook.stories[member];
        let planted = self.setting.planted.map(|_| 0).or(story.plant);
        let Some(planted) = planted else {
            return 0.0;
        };
        let days = planted + 1..self.outlook.courses.days();
        let above =
            |day: &usize| self.outlook.waters.value(Quantity::Ammonia, *day, member) > limit;
        days.filter(above).count() as f64
    }
}

fn span(values: impl Iterator<Item = f64>) -> Span {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    spanned(|share| {
        let place = ((share * values.len() as f64).ceil() as usize).max(1) - 1;
        values
            .get(place)
            .map(|value| libm::round(value * 10.0) / 10.0 + 0.0)
    })
}

fn days(values: impl Iterator<Item = Option<usize>>) -> Span {
    let values: Vec<Option<usize>> = values.collect();
    spanned(|share| day_by(&values, share).map(|day| day as f64))
}

fn spanned(at: impl Fn(f64) -> Option<f64>) -> Span {
    Span {
        low: at(0.05),
        middle: at(0.5),
        high: at(0.95),
    }
}
