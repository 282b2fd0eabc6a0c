//! The advisor's own words in forecasts, plans and questions, and the events of a journal. Their English stands here; a
//! book in another language says them in its own, with blocks `phrase ID`.

use crate::engine::{Saying, phrases};
use crate::journal::EVENT_KINDS;

phrases! {
    JANUARY "month-1" [] "January"
    FEBRUARY "month-2" [] "February"
    MARCH "month-3" [] "March"
    APRIL "month-4" [] "April"
    MAY "month-5" [] "May"
    JUNE "month-6" [] "June"
    JULY "month-7" [] "July"
    AUGUST "month-8" [] "August"
    SEPTEMBER "month-9" [] "September"
    OCTOBER "month-10" [] "October"
    NOVEMBER "month-11" [] "November"
    DECEMBER "month-12" [] "December"
    DAY_AND_MONTH "day-and-month" [day month] "{day} {month}"
    FIRST_WEEK "first-week" [month] "about the 1st week of {month}"
    SECOND_WEEK "second-week" [month] "about the 2nd week of {month}"
    THIRD_WEEK "third-week" [month] "about the 3rd week of {month}"
    FOURTH_WEEK "fourth-week" [month] "about the 4th week of {month}"
    END_OF_MONTH "end-of-month" [month] "about the end of {month}"

    TOO_OLD_TO_FORECAST "too-old-to-forecast" [] "The forecast is one of a starting tank. This one is older than it speaks of."
    FITS_NO_TANK "fits-no-tank" [] "The readings fit no tank that the forecast knows, so take what follows as a guess."
    SHOWN_DONE "shown-done" [] "The tests of the journal show the cycle done."
    NO_TEST_YET "no-test-yet" [] "No test is in the journal yet, so this is what tanks like it do at large."
    NO_READING "no-reading" [] "A forecast is no reading: your tests decide."
    LIKELY_DONE "likely-done" [when] "The cycle is likely to be done {when}."
    CANNOT_BE_TOLD "cannot-be-told" [] "Whether the cycle will be done cannot be told before more is known."
    NOT_DONE_HERE "not-done-here" [] "In most tanks like this one the cycle is not done within the days told here."
    EARLY_OR_LATE "early-or-late" [early late] "It may be as early as {early} or as late as {late}."
    EARLY_OR_LATER "early-or-later" [early] "It may be as early as {early}; in some tanks like this one it takes longer than is told here."
    CREW_ALL_THE_SAME "crew-all-the-same" [when] "Plants and water changes take the nitrate that would prove the cycle, so the proof may never come. After a week of zeros the clean-up crew is likely to be let in {when} all the same."

    TOO_OLD_TO_PLAN "too-old-to-plan" [] "The plan is one for a starting tank. This one is older than it speaks of; ask for advice day by day."
    PLANNED "planned" [] "This is what the book will ask for if the water goes as forecast. Test before each step: what your tests read decides."
    FROM_DAY_ON "from-day-on" [early] "from {early} on"
    BETWEEN_DAYS "between-days" [likely early late] "{likely}, between {early} and {late}"
    FROM_OR_LATER "from-or-later" [likely early] "{likely}, from {early} on; in some tanks like this one later than is told here"
    AT_THE_EARLIEST "at-the-earliest" [early] "{early} at the earliest; in most tanks like this one later than is told here"
    LATER_THAN_TOLD "later-than-told" [] "later than is told here"
    IF_TESTS_SAY_SO "if-tests-say-so" [action] "{action}, if your tests say so"
    COMPARED "compared" [] "The same tanks under what the book says for each start, with a test every day. A forecast is no reading."
    BED_NOT_TOLD "bed-not-told" [] "inert, or releasing anything up to what is published"

    FORECAST "forecast" [] "Forecast of the water"
    FORECAST_OF "forecast-of" [tank] "Forecast of the water: {tank}"
    TOLD_ON "told-on" [date book] "Told on {date}, by {book}"
    CHANCE_BY_DAY "chance-by-day" [label] "{label}: chance by day"
    TODAY_MARK "today" [] "today"
    TINTS "tints" [] "Tints: half and nine tenths of tanks like this one. Bars: readings. Dotted: the likely day."
    MARKS "marks" [] "▽ water change  △ dose  □ other; hollow: planned."
    BAND "band" [label low high middle unit] "{label} {low} to {high}, middle {middle} {unit}"
    BY_THEN "by-then" [label share] "{label} by then {share} %"

    WHAT_A_DOSE_IS "what-a-dose-is" [text] "what does `{text}` come to in g of salt, mL of solution, or mg/L N?"
    NEEDS_A_DATE "needs-a-date" [name] "`{name}` is a reading and needs a date"
    WRITE_AS_READ "write-as-read" [] "write it in an event `read`, with the date it was taken"
    WORKED_OUT_BY_BOOK "worked-out-by-book" [name] "`{name}` is worked out by the book and cannot be written here"
    WORKED_OUT_BY_DATE "worked-out-by-date" [name] "`{name}` is worked out from the dated entries and cannot be written here"
    NO_SUCH_FACT "no-such-fact" [name] "the book knows no `{name}`"
    NO_SUCH_KIND "no-such-kind" [name] "the book knows no plant or animal `{name}`"
    MEANT "meant" [name] "did you mean `{name}`?"
    MORE_LOST "more-lost" [species] "more `{species}` were lost than are in the tank"
    WHEN_ADDED "when-added" [] "write down when they were added"
}

/// The lines in which functions work their formulas, as far as they hold words.
const LINES: &[&str] = &[
    "at {1} °C: {2} mg/L O2",
    "pK1 at {1} °C = {2}",
    "pH does not blend so: carbonate hardness and air decide it",
    "{1} g ÷ {2} L = {3} g/L of {4}",
    "{1} % of {2} L = {3} L",
    "share = 1 ÷ (1 + 10^({1} − {2})) = {3}",
    "counted as NH3: {1} mg/L",
    "at pH {1} and {2} °C: {3} mg/L N, as a 30-day mean",
    "highest four-day mean within it: {1} × {2} = {3} mg/L N",
    "at pH {1} and {2} °C: {3} mg/L N, as a one-hour mean",
    "where salmon and trout live: {1} mg/L N",
    "it adds {1} mg/L of chloride",
    "it adds {1} mg/L of sodium",
    "it adds {1} mg/L of ammonium",
    "it adds {1} mg/L of potassium",
    "it adds {1} mg/L of magnesium",
    "it adds {1} mg/L of calcium",
    "it adds {1} mg/L of nitrate (NO3)",
    "it adds {1} mg/L of phosphate (PO4)",
    "it adds {1} mg/L of sulfate",
    "it adds {1} mg/L of bicarbonate",
    "density at {1} % = {2} g/mL",
    "1 mL holds {1} g × {2} × 1000 × {3} = {4} mg N",
    "turning it into nitrate uses {1} mg/L CaCO3 of carbonate hardness ({2} °dH) and {3} mg/L of oxygen",
    "and leaves {1} mg/L NO3 of nitrate",
    "1 g gives 1000 × {1} × 0.092 = {2} mg N",
    "counted as {1}: {2} × {3} = {4} mg/L",
    "alkalinity = 2 × {1} mg/L ÷ {2} = {3} mmol/L",
    "ionic strength = 1.5 × {1} ÷ 1000 = {2} mol/L, so activity coefficient γ = {3}",
    "γ × bicarbonate, less what is carbonate = {1} mmol/L",
    "the trade's short form, 3 × KH × 10^(7 − pH), gives {1} mg/L: {2} % less",
    "the trade's short form, 3 × KH × 10^(7 − pH), gives {1} mg/L: {2} % more",
    "were the pH 0.1 higher or lower: {1} or {2} mg/L",
    "aired under {1} parts in a million at {2} °C, water holds {3} mg/L",
    "mean air pressure at {1} m = 1013.25 × (1 − 2.25577·10⁻⁵ × {2})^5.25588 = {3} hPa",
    "less {1} hPa of water vapour = {2} hPa of dry air",
    "in smaller steps: {1} changes of half the water, or {2} of a third",
    "no number of smaller changes gets there, for the new water holds as much",
    "ln (({1} − {2}) ÷ ({3} − {4})) ÷ ln (1 − {5}), rounded up: {6}",
    "after them it is {1}",
    "{1} + {2} × ({3} − {4}) + what is left of {5} releases of {6} = {7}",
    "and just after each change: {1}",
    "{1} × {2} L ÷ {3} L = {4}, in the unit of the top-up water",
    "{1} °dH, German degrees",
    "{1} °fH, French degrees",
    "{1} mmol/L of calcium and magnesium",
    "{1} mg/L of calcium, were it all calcium",
    "{1} mg/L of bicarbonate, were it carbonate hardness",
    "({1} ÷ {2} − {3} ÷ {4}) × {5} = {6} mg/L Mg, not less than 0",
    "it is the difference of two tests, so it may be off by as much as it is",
    "{1} − {2} = {3} mg/L CaCO3, not less than 0",
    "and {1} L from the tap",
    "mean air pressure at {1} m: {2} hPa",
    "at sea level and {1} °C: {2} mg/L O2",
    "at that pressure, less {1} hPa of water vapour: {2} mg/L O2",
    "1013.25 × (1 − 2.25577·10⁻⁵ × {1})^5.25588 = {2} hPa; weather moves it by up to 4 %",
    "it raises general hardness by {1} mg/L CaCO3, {2} °dH",
    "it raises carbonate hardness by {1} mg/L CaCO3, {2} °dH",
    "1 g in 1 L adds {1} mg/L {2}",
    "counted as PO4: {1} × {2} = {3} mg/L",
    "the empty box to that height: {1} L",
    "outer box: {1} × {2} × {3} ÷ 1000 = {4} L",
    "inner box: {1} L",
    "feet or rails press harder than this mean",
    "which reaction wins depends on pH and excess: from {1} to {2} mg",
    "at {1} mg/L chloride: {2} mg/L N, {3} mg/L NO2",
    "long-term guideline, a 30-day mean: {1} mg/L N, {2} mg/L NO2",
    "chloride to add: {1} × {2} − {3} = {4} mg/L, not less than 0",
];

/// Every phrase of the advisor.
pub(super) fn all() -> Vec<Saying> {
    let own = ALL.iter().map(|saying| Saying::of(*saying));
    let events = EVENT_KINDS.iter().map(|kind| Saying {
        id: event(kind.name).into(),
        english: kind.meaning.into(),
    });
    let lines = LINES.iter().map(|line| Saying::line(line));
    own.chain(events).chain(lines).collect()
}

/// The id of what a kind of event means.
pub(super) fn event(name: &str) -> String {
    format!("event-{name}")
}
