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

/// Every phrase of the advisor.
pub(super) fn all() -> Vec<Saying> {
    let own = ALL.iter().map(|saying| Saying::of(*saying));
    let events = EVENT_KINDS.iter().map(|kind| Saying {
        id: event(kind.name).into(),
        english: kind.meaning.into(),
    });
    own.chain(events).collect()
}

/// The id of what a kind of event means.
pub(super) fn event(name: &str) -> String {
    format!("event-{name}")
}
