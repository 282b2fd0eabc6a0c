//! A journal as the nitrification model needs it, and what had to be assumed for that.

use crate::engine::{Book, Facts, Given, Interval, NO, Reading, Set, YES, figure};
use crate::journal::{Date, Event, Journal, Mistakes, What};
use crate::water::nitrification as model;
use crate::water::nitrification::{Change, Quantity, Range, Ranges, Source, Tank, Trait};

use super::amounts::{Amount, exactly, middle};
use super::facts::{Known, number};
use super::known;
use super::names::*;
use super::phrases::BED_NOT_TOLD;
use super::scale::Scale;

const G_A_KG: f64 = 1000.0;
/// Error of ordinary kits as a share of the value; common practice, as the calibration of the model has it.
const KIT_ERROR: f64 = 0.15;
/// How far a real tank strays from a model with one well-mixed water and one film, as a share of the value and in
/// steps of pH. Assumptions: no published series of an aquarium gives them; without them ordinary courses fit nothing.
const MODEL_ERROR: f64 = 0.3;
const MODEL_ERROR_PH: f64 = 0.2;

/// On the carbon dioxide of a bare tank: soil, wood and film breathe out more. An assumption.
const CARBON_DIOXIDE_FACTOR: (f64, f64) = (0.4, 8.0);

/// Something that the forecast had to assume, and the fact that would replace it.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Assumed {
    /// The fact.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// What was taken for it.
    pub taken: String,
}

/// What the model is given of a journal.
pub(super) struct Setting {
    pub tank: Tank,
    pub ranges: Ranges,
    pub readings: Vec<model::Reading>,
    /// The day of filling, day 0 of the model.
    pub filled: Date,
    /// The day that is asked about.
    pub on: Date,
    /// What is known on the day from which the future is told.
    pub facts: Facts,
    pub questions: Vec<super::Question>,
    pub source: Source,
    pub volume_l: f64,
    /// What the keeper's plants take up once they are in, in mg/L of nitrogen a day.
    pub plants_mg_l_n_day: f64,
    pub planted: Option<i32>,
    pub changed: i32,
    pub dosed: Option<i32>,
    pub assumed: Vec<Assumed>,
}

impl Setting {
    /// Day of the model that a date is.
    pub fn day_of(&self, date: Date) -> i32 {
        date.days_from(self.filled)
    }

    /// The day from which the future is told: the one asked about, or the day of filling if that is to come.
    pub fn from(&self) -> usize {
        usize::try_from(self.day_of(self.on)).unwrap_or(0)
    }
}

/// What the model is told of a journal on a day.
pub(super) fn setting(book: &Book, journal: &Journal, on: Date) -> Result<Setting, Mistakes> {
    let known = known(book, journal, on)?;
    let events: Vec<&Event> = journal
        .events
        .iter()
        .filter(|event| event.on <= on)
        .collect();
    let mut teller = Teller {
        book,
        known,
        events,
        assumed: Vec::new(),
        ranges: Ranges::published(),
    };
    Ok(teller.setting(journal, on))
}

/// The range of an assumption.
struct Usual {
    low: f64,
    high: f64,
    unit: String,
}

impl Usual {
    /// The middle of a quantity that is as likely halved as doubled.
    fn middle(&self) -> f64 {
        libm::sqrt(self.low * self.high)
    }

    /// The range as shares of its middle.
    fn around(&self) -> Range {
        Range::logarithm(self.low / self.middle(), self.high / self.middle())
    }

    fn told(&self, book: &Book) -> String {
        book.between(figure(self.low), figure(self.high), &self.unit)
    }
}

struct Teller<'a> {
    book: &'a Book,
    known: Known,
    events: Vec<&'a Event>,
    assumed: Vec<Assumed>,
    ranges: Ranges,
}

impl Teller<'_> {
    fn setting(&mut self, journal: &Journal, on: Date) -> Setting {
        let filled = self.filled(journal, on);
        let source = self.source();
        let volume_l = self.volume();
        let mut tank = Tank::filled_with(source);
        tank.bed_kg_l = self.bed(volume_l);
        self.bacteria();
        let plants_mg_l_n_day = self.light() * self.usual(ASSUMED_UPTAKE).middle();
        self.temperature(&mut tank, filled);
        self.events_of(&mut tank, filled, source, plants_mg_l_n_day, volume_l);
        let first = |test: fn(&What) -> bool| self.events.iter().find(|event| test(&event.what));
        let last = |test: fn(&What) -> bool| self.events.iter().rfind(|event| test(&event.what));
        let since = |event: &&Event| event.on.days_from(filled);
        let planted = first(|what| matches!(what, What::Planted { .. })).map(since);
        let changed = last(|what| matches!(what, What::ChangedWater { .. })).map(since);
        let dosed = last(super::amounts::is_ammonia_dose).map(since);
        let readings = self.readings(filled);
        let facts = self.facts(filled, on, volume_l);
        Setting {
            tank,
            ranges: self.ranges.clone(),
            readings,
            filled,
            on,
            facts,
            questions: std::mem::take(&mut self.known.questions),
            source,
            volume_l,
            plants_mg_l_n_day,
            planted,
            changed: changed.unwrap_or(0).max(0),
            dosed,
            assumed: std::mem::take(&mut self.assumed),
        }
    }

    fn assume(&mut self, fact: &str, taken: String) {
        self.assumed.push(Assumed {
            fact: fact.to_owned(),
            label: self.book.label(fact).to_owned(),
            taken,
        });
    }

    /// What a fact may be, in a unit; a plain count has none.
    fn interval(&self, fact: &str, unit: &str) -> Option<Interval> {
        let main = number(self.book.look_up(fact, &self.known.facts)?)?;
        if unit.is_empty() {
            return Some(main);
        }
        Some(Scale::of(self.book, fact, unit)?.interval(main))
    }

    /// The value of a fact that is known closely enough to be told as one number.
    fn number(&self, fact: &str, unit: &str) -> Option<f64> {
        let values = self.interval(fact, unit)?;
        (values.hi - values.lo <= 0.5 * values.hi.abs()).then(|| middle(values))
    }

    /// What the book takes for a fact that nobody entered, in the unit in which it says so.
    fn usual(&self, assumption: &str) -> Usual {
        let infos = self.book.facts();
        let info = infos.into_iter().find(|info| info.name == assumption);
        let told =
            info.and_then(|info| Some((info.low?, info.high?, info.units.into_iter().next()?)));
        let (low, high, unit) = told.unwrap_or((1.0, 1.0, String::new()));
        Usual { low, high, unit }
    }

    /// The same, counted in a unit of the fact that it stands for.
    fn usual_in(&self, assumption: &str, fact: &str, unit: &str) -> Option<Interval> {
        let main = number(self.book.look_up(assumption, &self.known.facts)?)?;
        Some(Scale::of(self.book, fact, unit)?.interval(main))
    }

    fn is(&self, fact: &str, mask: u128) -> bool {
        self.book.look_up(fact, &self.known.facts) == Some(Set::Choice(mask))
    }

    fn option(&self, fact: &str, name: &str) -> u128 {
        match self.book.enter(fact, name) {
            Ok(entered) => match entered.set {
                Set::Choice(mask) => mask,
                _ => 0,
            },
            Err(_) => 0,
        }
    }

    fn filled(&mut self, journal: &Journal, on: Date) -> Date {
        let filling = |event: &&Event| matches!(event.what, What::Filled);
        if let Some(event) = journal.events.iter().find(filling) {
            return event.on;
        }
        let wet = self.events.iter().find(|event| {
            matches!(
                event.what,
                What::Read { .. }
                    | What::Planted { .. }
                    | What::ChangedWater { .. }
                    | What::Added { .. }
            )
        });
        let day = wet.map_or(on, |event| event.on);
        self.assume(FILLED_ON, day.to_string());
        day
    }

    fn source(&mut self) -> Source {
        let ammonia = self.number(TAP_AMMONIA, "mg/L N");
        if ammonia.is_none() {
            self.assume(TAP_AMMONIA, "0 mg/L N".into());
        }
        let nitrate = self.number(TAP_NITRATE, "mg/L N");
        if nitrate.is_none() {
            self.assume(TAP_NITRATE, self.usual(ASSUMED_TAP_NITRATE).told(self.book));
            if let Some(usual) = self.usual_in(ASSUMED_TAP_NITRATE, TAP_NITRATE, "mg/L N") {
                let ranges = self.ranges.clone();
                self.ranges = ranges.with(Trait::SourceNitrate, Range::even(usual.lo, usual.hi));
            }
        }
        let alkalinity = self.number(TAP_KH, "mg/L CaCO3").or_else(|| {
            let usual = self.usual(ASSUMED_TAP_KH);
            self.assume(TAP_KH, usual.told(self.book));
            let ranges = self.ranges.clone();
            self.ranges = ranges.with(Trait::Alkalinity, usual.around());
            let usual = self.usual_in(ASSUMED_TAP_KH, TAP_KH, "mg/L CaCO3")?;
            Some(libm::sqrt(usual.lo * usual.hi))
        });
        Source {
            ammonia_mg_l_n: ammonia.unwrap_or(0.0),
            nitrite_mg_l_n: 0.0,
            nitrate_mg_l_n: nitrate.unwrap_or(0.0),
            alkalinity_mg_l_caco3: alkalinity.unwrap_or(0.0),
        }
    }

    fn volume(&mut self) -> f64 {
        match self.number(NET_VOLUME, "L").filter(|volume| *volume > 0.0) {
            Some(volume) => volume,
            None => {
                let usual = self.usual(ASSUMED_VOLUME);
                self.assume(NET_VOLUME, usual.told(self.book));
                usual.middle()
            }
        }
    }

    /// Releasing bed for each litre of water, in kg.
    fn bed(&mut self, volume_l: f64) -> f64 {
        if self.is(BED, self.option(BED, "inert")) {
            return 0.0;
        }
        let published = *self.ranges.of(Trait::Pool);
        let mut low = published.low;
        if !self.is(BED, self.option(BED, "releasing")) {
            self.assume(BED, self.book.say(&BED_NOT_TOLD, []));
            low = 0.5;
        }
        let (mass, high) = match self.number(BED_MASS, "kg") {
            Some(mass) => (mass / volume_l, published.high),
            None => {
                let usual = self.usual(ASSUMED_BED);
                self.assume(BED_MASS, usual.told(self.book));
                low *= usual.low / usual.middle();
                let high = published.high * usual.high / usual.middle();
                (usual.middle() / G_A_KG, high)
            }
        };
        let ranges = self.ranges.clone();
        self.ranges = ranges.with(Trait::Pool, Range::logarithm(low, high));
        mass
    }

    /// What helps or kills the bacteria from outside, and how sour the water may stand.
    fn bacteria(&mut self) {
        let (low, high) = CARBON_DIOXIDE_FACTOR;
        let ranges = self.ranges.clone();
        self.ranges = ranges.with(Trait::CarbonDioxide, Range::logarithm(low, high));
        if self.is(SEEDED_MEDIA, YES) {
            // An assumption: up to forty times what tanks without it begin with.
            for start in [Trait::AmmoniaStart, Trait::NitriteStart] {
                let ranges = self.ranges.clone();
                self.ranges = ranges.with(start, Range::logarithm(1e-3, 2.0));
            }
        }
        let clean = self.is(DISINFECTANT, self.option(DISINFECTANT, "none"));
        if self.is(WATER_TREATED, NO) && !clean {
            let ranges = self.ranges.clone();
            self.ranges = ranges.with(Trait::Disinfection, Range::even(0.0, 1.0));
        } else if !self.is(WATER_TREATED, YES) && !clean {
            self.assume(WATER_TREATED, "yes".into());
        }
    }

    fn light(&self) -> f64 {
        match self.number(LIGHT_HOURS, "h") {
            Some(hours) if hours > 0.0 => hours,
            // A dark tank gets its light with its plants.
            _ => self.usual(ASSUMED_LIGHT).middle(),
        }
    }

    fn temperature(&mut self, tank: &mut Tank, filled: Date) {
        let scale = Scale::of(self.book, TEMPERATURE, "°C");
        let given = self.known.facts.given(self.book, TEMPERATURE);
        let readings = given
            .map(|given| given.readings.clone())
            .unwrap_or_default();
        let told = scale.map(|scale| {
            let read =
                |reading: &Reading| (day(reading.day, filled), scale.of_main(reading.nominal));
            readings.iter().map(read).collect::<Vec<_>>()
        });
        let told = told.unwrap_or_default();
        let Some((_, first)) = told.first() else {
            let usual = self.usual(ASSUMED_TEMPERATURE);
            self.assume(TEMPERATURE, usual.told(self.book));
            let half = 0.5 * (usual.high - usual.low);
            let ranges = self.ranges.clone();
            self.ranges = ranges.with(Trait::Temperature, Range::even(-half, half));
            tank.temperature_c = usual.low + half;
            return;
        };
        tank.temperature_c = *first;
        let mut now = *first;
        for (day, value) in told {
            // A thermometer's last step is no change.
            if (value - now).abs() >= 0.5 {
                now = value;
                let change = Change::Temperature(value);
                tank.events.push(model::Event { day, change });
            }
        }
    }

    fn events_of(
        &mut self,
        tank: &mut Tank,
        filled: Date,
        source: Source,
        plants_mg_l_n_day: f64,
        volume_l: f64,
    ) {
        let mut add = |day: f64, change: Change| tank.events.push(model::Event { day, change });
        if self.is(CO2_ON, YES) {
            let usual = self.usual(ASSUMED_GAS);
            add(0.0, Change::CarbonDioxide(usual.middle()));
            self.assume(CO2_ON, usual.told(self.book));
        }
        let food = self.food_mg_l_n_day(volume_l);
        let mut fed = false;
        for (event, amount) in self.events.iter().zip(&self.known.amounts) {
            let day = day(super::facts::moment(event), filled);
            match (&event.what, amount) {
                (_, Some(Amount::Changed(share))) => add(
                    day,
                    Change::Water {
                        share: middle(*share).clamp(0.0, 1.0),
                        source,
                    },
                ),
                (_, Some(Amount::ToppedUp(share))) => add(
                    day,
                    Change::TopUp {
                        share: middle(*share).clamp(0.0, 1.0),
                        source,
                    },
                ),
                (_, Some(Amount::Dosed(rise))) => add(
                    day,
                    Change::Dose(Source {
                        ammonia_mg_l_n: middle(*rise).max(0.0),
                        ..Source::default()
                    }),
                ),
                (What::Drained, _) => add(day, Change::Water { share: 1.0, source }),
                (What::Planted { .. }, _) => add(day, Change::Plants(plants_mg_l_n_day)),
                (What::Added { .. }, _) if !fed => {
                    fed = true;
                    add(day, Change::Food(food));
                }
                _ => {}
            }
        }
        tank.events.sort_by(|a, b| a.day.total_cmp(&b.day));
    }

    /// Ammonia from what the animals of today eat.
    fn food_mg_l_n_day(&self, volume_l: f64) -> f64 {
        let food = self.interval(FOOD_PER_DAY, "g").map_or(0.0, middle);
        let protein = self.interval(FOOD_PROTEIN, "%").map_or(0.0, middle);
        crate::water::ammonia_from_food_mg_n(food, protein / 100.0) / volume_l
    }

    fn readings(&self, filled: Date) -> Vec<model::Reading> {
        let kinds = [
            (AMMONIA, "mg/L N", Quantity::Ammonia),
            (NITRITE, "mg/L N", Quantity::Nitrite),
            (NITRATE, "mg/L N", Quantity::Oxidised),
            (PH, "pH", Quantity::Ph),
            (KH, "mg/L CaCO3", Quantity::Alkalinity),
        ];
        let of = |(fact, unit, quantity): (&str, &str, Quantity)| {
            let scale = Scale::of(self.book, fact, unit)?;
            let given = self.known.facts.given(self.book, fact)?;
            let read = |reading: &Reading| told(reading, scale, quantity, filled);
            Some(given.readings.iter().filter_map(read).collect::<Vec<_>>())
        };
        kinds.into_iter().filter_map(of).flatten().collect()
    }

    /// What is known on the day from which the future is told, with what is assumed for it.
    fn facts(&mut self, filled: Date, on: Date, volume_l: f64) -> Facts {
        let book = self.book;
        let mut facts = self.known.facts.clone();
        let from = filled.max(on);
        let mut give = |name: &str, set: Set| facts.give(book, name, Given::new(set));
        give(TODAY, exactly(f64::from(from.days())));
        give(FILLED, Set::truth(true));
        give(FILLED_ON, exactly(f64::from(filled.days())));
        if let Some(scale) = Scale::of(book, NET_VOLUME, "L") {
            give(NET_VOLUME, exactly(scale.to_main(volume_l)));
        }
        if self
            .assumed
            .iter()
            .any(|assumed| assumed.fact == WATER_TREATED)
        {
            give(WATER_TREATED, Set::truth(true));
        }
        if self
            .assumed
            .iter()
            .any(|assumed| assumed.fact == TAP_AMMONIA)
        {
            give(TAP_AMMONIA, exactly(0.0));
        }
        facts
    }
}

/// Days since noon of the day of filling. What was written without a time counts as noon.
fn day(moment: f64, filled: Date) -> f64 {
    let whole = moment.floor();
    let time = moment - whole;
    let noon = if time > 0.0 { time - 0.5 } else { 0.0 };
    (whole - f64::from(filled.days()) + noon).max(0.0)
}

/// A reading as the model weighs it; none from before the filling.
fn told(
    reading: &Reading,
    scale: Scale,
    quantity: Quantity,
    filled: Date,
) -> Option<model::Reading> {
    if reading.day.floor() < f64::from(filled.days()) {
        return None;
    }
    let values = scale.interval(reading.values);
    let nominal = scale.of_main(reading.nominal);
    let mark = reading.mark.map(|mark| scale.of_main(mark));
    let half = 0.5 * (values.hi - values.lo);
    let below = nominal <= 0.0 && mark.is_some();
    let relative = match mark {
        Some(_) if nominal > 0.0 => libm::hypot(MODEL_ERROR, KIT_ERROR.max(half / nominal)),
        Some(_) => libm::hypot(MODEL_ERROR, KIT_ERROR),
        None => 0.0,
    };
    let deviation = mark.unwrap_or(half).max(1e-3);
    let deviation = match quantity {
        Quantity::Ph => libm::hypot(MODEL_ERROR_PH, deviation),
        _ => deviation,
    };
    Some(model::Reading {
        day: day(reading.day, filled),
        quantity,
        low: if below { f64::NEG_INFINITY } else { values.lo },
        high: values.hi.max(values.lo + 1e-9),
        deviation,
        relative_deviation: relative.min(1.0),
    })
}
