//! `lentic plan`: what the book will ask for on the coming days.

use lentic::advice::{self, Plan, calendar};

use super::Outcome;
use super::advise::urgency;
use super::arguments::{Arguments, listed};
use super::forecast::assumed;
use super::page::{Page, json, print};
use super::tongue::{said, told};

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let plan = advice::plan(&book, &journal, arguments.day()?)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.json {
        return json(&plan);
    }
    if arguments.ics {
        print(&calendar(&book, &plan));
        return Ok(Outcome::Fine);
    }
    shown(&plan);
    Ok(Outcome::Fine)
}

fn shown(plan: &Plan) {
    let mut page = Page::new();
    let tank = if plan.tank.is_empty() {
        said("This tank")
    } else {
        &plan.tank
    };
    page.heading(&told!("{}: plan on {}", tank, plan.date));
    page.gap();
    page.paragraph("", &plan.say);
    if !plan.fits {
        page.paragraph(
            "! ",
            said("The readings fit no tank that the forecast knows; `lentic forecast` says why that may be."),
        );
    }
    page.gap();
    for milestone in &plan.milestones {
        page.paragraph(
            "  - ",
            &format!("{}: {}.", milestone.action_label, milestone.say),
        );
    }
    if !plan.milestones.is_empty() {
        page.gap();
    }
    let mut date = "";
    for item in &plan.items {
        if item.date != date {
            date = &item.date;
            page.line(date);
        }
        let amount = match &item.amount {
            Some(amount) => format!(", {amount}"),
            None => String::new(),
        };
        let sure = if item.sure {
            ""
        } else {
            said(", if the tests of the day say so")
        };
        page.paragraph(
            "  - ",
            &format!(
                "{}: {}{amount}{sure}  [{}]",
                urgency(item.urgency),
                item.action_label,
                item.rule
            ),
        );
    }
    if !plan.items.is_empty() {
        page.gap();
    }
    assumed(&mut page, &plan.assumed);
    page.print();
}
