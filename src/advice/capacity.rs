//! How much food a day bed and filter can carry, from tests and by the forecast.

use serde::Serialize;

use crate::engine::{Book, Facts, Set};
use crate::journal::{Date, Journal, Mistakes};
use crate::water::nitrification::{Change, Fit, Parameters, Source, Walk};

use super::amounts::exactly;
use super::facts::number;
use super::forecast::{CycleStanding, MEMBERS, fitted, given, rounded, standing};
use super::keeper::TOLERANCE;
use super::names::*;
use super::scale::Scale;
use super::setting::{Setting, setting};

/// A dose that was gone by a later test.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct ClearedDose {
    /// The day of the dose.
    pub dosed: String,
    /// The day of the test that read zero, ammonia and nitrite both.
    pub gone: String,
    /// The rise by the dose, in mg/L of nitrogen.
    pub rise_mg_l_n: f64,
    /// Nitrogen cleared a day, in mg; it may have been more.
    pub cleared_mg_n: f64,
    /// Dry food a day that this carries, in g.
    pub food_g: f64,
}

/// One step of filling the tank with life.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct FoodStep {
    /// Days after the first animals.
    pub from_day: usize,
    /// Dry food a day up to then, in g.
    pub food_g: f64,
}

/// How much food a day bed and filter can carry.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Capacity {
    /// The book's name for it.
    pub label: String,
    /// The latest dose that was cleared, if there is one.
    pub shown: Option<ClearedDose>,
    /// By the forecast, on the day asked about: dry food a day, in g, at 5, 25, 50, 75 and 95 % of the ensemble.
    pub food_g: [f64; 5],
    /// Steps, by what a test has shown; by the cautious end of the forecast while none has.
    pub steps: Vec<FoodStep>,
}

/// How much food a day bed and filter of a tank can carry; none for a tank older than the model speaks of, and none
/// in a book that does not say how that is worked out.
///
/// # Errors
/// As for [`advise`](super::advise).
pub fn capacity(book: &Book, journal: &Journal, on: Date) -> Result<Option<Capacity>, Mistakes> {
    let setting = setting(book, journal, on)?;
    if standing(book, &setting) == CycleStanding::Old {
        return Ok(None);
    }
    let fit = fitted(&setting, MEMBERS);
    Ok(carried(book, &setting, &fit))
}

/// What bed and filter can carry; none in a book that does not say how that is worked out.
pub(super) fn carried(book: &Book, setting: &Setting, fit: &Fit) -> Option<Capacity> {
    if !book.knows(FOOD_CARRIED) {
        return None;
    }
    let shown = shown(book, setting);
    let mut cleared = cleared(book, setting, fit);
    cleared.sort_by(f64::total_cmp);
    let line =
        |share: f64| cleared.get(((share * cleared.len() as f64) as usize).min(cleared.len() - 1));
    let mut food_g = [0.0; 5];
    for (food, share) in food_g.iter_mut().zip(crate::water::nitrification::LINES) {
        *food = rounded(food_carried(book, &setting.facts, *line(share)?)?);
    }
    let most = shown.as_ref().map_or(food_g[0], |shown| shown.food_g);
    Some(Capacity {
        label: book.label(FOOD_CARRIED).to_owned(),
        shown,
        food_g,
        steps: steps(book, most),
    })
}

/// Dry food a day for nitrogen cleared a day, both in the units of their names.
fn food_carried(book: &Book, facts: &Facts, cleared_mg_n: f64) -> Option<f64> {
    let mut facts = facts.clone();
    let cleared = Scale::of(book, NITROGEN_CLEARED, "mg N")?.to_main(cleared_mg_n.max(0.0));
    facts.give(book, NITROGEN_CLEARED, given(exactly(cleared)));
    let main = number(book.look_up(FOOD_CARRIED, &facts)?)?;
    Some(Scale::of(book, FOOD_PER_DAY, "g")?.of_main(main.lo))
}

fn steps(book: &Book, most: f64) -> Vec<FoodStep> {
    const HORIZON_DAYS: u16 = 60;
    let percent = Scale::of(book, SHARE_CHANGED, "%");
    let mut found: Vec<FoodStep> = Vec::new();
    for day in (0..HORIZON_DAYS).filter(|_| most > 0.0) {
        let mut facts = Facts::default();
        facts.give(book, DAYS_SINCE_ANIMALS, given(exactly(f64::from(day))));
        let share = book.look_up(STOCKING_SHARE, &facts).and_then(number);
        let (Some(share), Some(percent)) = (share, percent) else {
            return found;
        };
        let food_g = rounded(most * percent.of_main(share.lo) / 100.0);
        if found.last().is_none_or(|step| step.food_g != food_g) {
            found.push(FoodStep {
                from_day: usize::from(day),
                food_g,
            });
        }
    }
    found
}

/// The latest dose after which ammonia and nitrite both read zero.
fn shown(book: &Book, setting: &Setting) -> Option<ClearedDose> {
    let doses = setting
        .tank
        .events
        .iter()
        .rev()
        .filter_map(|event| match event.change {
            Change::Dose(source) if source.ammonia_mg_l_n > 0.0 => {
                // Noon of a day is a whole number of the model.
                Some((libm::round(event.day), source.ammonia_mg_l_n))
            }
            _ => None,
        });
    let first = f64::from(setting.filled.days());
    let zero_after = |fact: &str, day: f64| {
        let given = setting.facts.given(book, fact)?;
        let zero = |reading: &&crate::engine::Reading| {
            reading.mark.is_some_and(|mark| reading.values.hi < mark)
                && reading.day.floor() - first > day
        };
        given
            .readings
            .iter()
            .find(zero)
            .map(|reading| reading.day.floor() - first)
    };
    let mut later = f64::INFINITY;
    for (day, rise) in doses {
        let gone = zero_after(AMMONIA, day).zip(zero_after(NITRITE, day));
        if let Some((ammonia, nitrite)) = gone {
            let gone = ammonia.max(nitrite);
            // Where another dose came before the test, this one says nothing by itself.
            if gone <= later {
                let cleared = rise * setting.volume_l / (gone - day);
                let date = |day: f64| setting.filled.plus_days(day as i32).to_string();
                return Some(ClearedDose {
                    dosed: date(day),
                    gone: date(gone),
                    rise_mg_l_n: rounded(rise),
                    cleared_mg_n: rounded(cleared),
                    food_g: rounded(food_carried(book, &setting.facts, cleared)?),
                });
            }
        }
        later = day;
    }
    None
}

/// Nitrogen that each member would clear in a day from a full dose, in mg.
fn cleared(book: &Book, setting: &Setting, fit: &Fit) -> Vec<f64> {
    let members: Vec<Parameters> = fit.parameters(setting.tank.bed_kg_l).collect();
    let dose = full_dose(book, setting).unwrap_or(1.0);
    let mut walk = Walk::start(&setting.tank, &members, TOLERANCE);
    let day = setting.from() as f64;
    let before = walk.reach(day);
    let change = Change::Dose(Source {
        ammonia_mg_l_n: dose,
        ..Source::default()
    });
    (0..members.len()).for_each(|member| walk.happen(member, &change));
    let after = walk.reach(day + 1.0);
    let left =
        |water: &crate::water::nitrification::Water| water.ammonia_mg_l_n + water.nitrite_mg_l_n;
    let gone = |(before, after)| (left(before) + dose - left(after)).clamp(0.0, dose);
    let pairs = before.iter().zip(&after);
    pairs
        .map(gone)
        .map(|gone| gone * setting.volume_l)
        .collect()
}

/// The rise by the dose that the book proves a cycle with, in mg/L of nitrogen.
fn full_dose(book: &Book, setting: &Setting) -> Option<f64> {
    let mut facts = setting.facts.clone();
    facts.give(
        book,
        AMMONIA,
        given(Set::Number(crate::engine::Interval::point(0.0))),
    );
    let main = number(book.look_up(DOSE_TO_TARGET, &facts)?)?;
    let grams = Scale::of(book, DOSED_MASS, "g")?.of_main(main.lo);
    let rise = crate::water::ammonium_chloride_rise_mg_l_n(grams, setting.volume_l);
    Some(rise).filter(|rise| *rise > 0.0)
}
