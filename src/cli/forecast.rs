//! `lentic forecast`: what the water will do, and when the cycle will be done.

use lentic::advice::{self, Capacity, Forecast, picture};

use super::Outcome;
use super::arguments::{Arguments, listed};
use super::page::{Page, json, print};
use super::sketch::sketch;
use super::tongue::{number, said, told};

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let forecast = advice::forecast(&book, &journal, arguments.day()?)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.json {
        return json(&forecast);
    }
    if arguments.svg {
        print(&picture(&book, &forecast));
        return Ok(Outcome::Fine);
    }
    shown(&forecast);
    Ok(Outcome::Fine)
}

fn shown(forecast: &Forecast) {
    let mut page = Page::new();
    let tank = if forecast.tank.is_empty() {
        said("This tank")
    } else {
        &forecast.tank
    };
    page.heading(&told!("{}: forecast on {}", tank, forecast.date));
    page.gap();
    page.paragraph("", &forecast.say);
    page.gap();
    for cause in &forecast.agreement.causes {
        let sure = if cause.fits {
            said("the readings would fit")
        } else {
            said("the readings would fit better, though not well")
        };
        page.paragraph("  - ", &format!("{}: {sure}.", cause.label));
    }
    if !forecast.agreement.causes.is_empty() {
        page.gap();
    }
    for curve in &forecast.curves {
        for line in sketch(curve, &forecast.days, forecast.today) {
            page.line(&line);
        }
        page.gap();
    }
    if !forecast.curves.is_empty() {
        page.paragraph(
            "",
            said(
                "A column is a day or more. : half of tanks like this one, \
                 . nine tenths, o the middle, # a reading, ^ today.",
            ),
        );
        page.gap();
    }
    chances(&mut page, forecast);
    if !forecast.next.is_empty() {
        page.line(said("Tests that would tell most:"));
        for tell in &forecast.next {
            page.paragraph("  - ", &told!("{} on {}", tell.label, tell.date));
        }
        page.gap();
    }
    if let Some(capacity) = &forecast.capacity {
        self::capacity(&mut page, capacity);
    }
    assumed(&mut page, &forecast.assumed);
    page.print();
}

pub(crate) fn assumed(page: &mut Page, assumed: &[advice::Assumed]) {
    if assumed.is_empty() {
        return;
    }
    page.line(said("Not in the journal, and so assumed:"));
    for assumed in assumed {
        page.paragraph(
            "  - ",
            &format!("{}: {}  [{}]", assumed.label, assumed.taken, assumed.fact),
        );
    }
    page.gap();
}

fn chances(page: &mut Page, forecast: &Forecast) {
    let Some(done) = &forecast.done else {
        return;
    };
    page.line(&told!("{}, chance by then:", done.label));
    let today = usize::try_from(forecast.today).unwrap_or(0);
    let weeks = (today..forecast.days.len()).step_by(7);
    for day in weeks {
        let share = done.chance[day];
        let bar = "=".repeat((share * 40.0).round() as usize);
        let share = format!("{:.0} %", share * 100.0);
        let line = format!("  {}  {share:>5}  {bar}", forecast.days[day]);
        page.line(line.trim_end());
    }
    if done.open > 0.0 {
        page.paragraph(
            "",
            &told!(
                "For {} % the book cannot tell, for want of other facts.",
                (done.open * 100.0).round()
            ),
        );
    }
    page.gap();
}

fn capacity(page: &mut Page, capacity: &Capacity) {
    page.line(&format!("{}:", capacity.label));
    if let Some(shown) = &capacity.shown {
        page.paragraph(
            "  - ",
            &told!(
                "{} g by test: {} mg/L N dosed on {} was gone on {}.",
                number(shown.food_g),
                number(shown.rise_mg_l_n),
                shown.dosed,
                shown.gone
            ),
        );
    }
    let [low, .., high] = capacity.food_g;
    page.paragraph(
        "  - ",
        &told!("{} to {} g by the forecast.", number(low), number(high)),
    );
    for step in &capacity.steps {
        page.paragraph(
            "  - ",
            &told!(
                "from day {} with animals: {} g a day",
                step.from_day,
                number(step.food_g)
            ),
        );
    }
    page.gap();
}
