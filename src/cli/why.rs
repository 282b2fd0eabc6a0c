//! `lentic why`: why a rule, a gate or a fact is what it is.

use lentic::advice::{self, Why};
use lentic::engine::Verdict;

use super::Outcome;
use super::advise::{body, urgency};
use super::arguments::{Arguments, listed};
use super::ask;
use super::evidence;
use super::may;
use super::page::{Page, json};
use super::tongue::said;

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let Some(name) = arguments.words.get(1) else {
        return Err("name a rule, a gate or a fact after the journal".into());
    };
    let found = advice::why(&book, &journal, arguments.day()?, name)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    let why = found.ok_or_else(|| book.no_such_name(name))?;
    if arguments.json {
        return json(&why);
    }
    let mut page = Page::new();
    match &why {
        Why::Rule {
            verdict,
            point,
            beaten_by,
        } => {
            page.heading(&format!(
                "{}: {}",
                point.rule,
                told(*verdict, beaten_by.is_empty())
            ));
            page.strong(
                "   ",
                &format!("{}: {}", urgency(point.urgency), point.action_label),
            );
            let sets = advice::reasons(&book, &journal, arguments.day()?, name, arguments.all);
            let sets = sets.map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
            ask::reasons(&mut page, &sets.unwrap_or_default());
            body(&mut page, point, evidence::Depth::Full);
            for beaten in beaten_by {
                page.paragraph(
                    said("   Set aside by: "),
                    &format!("{}, because {}", beaten.rule, beaten.because),
                );
            }
        }
        Why::Gate(gate) => may::gate(&mut page, gate),
        Why::Fact(fact) => evidence::worked(&mut page, 0, fact),
        _ => {}
    }
    page.print();
    Ok(Outcome::Fine)
}

fn told(verdict: Verdict, stands: bool) -> &'static str {
    match (verdict, stands) {
        (Verdict::Holds, true) => said("it holds"),
        (Verdict::Holds, false) => said("it holds, and was set aside"),
        (Verdict::Fails, _) => said("it does not hold"),
        (Verdict::Open, _) => said("it cannot be decided yet"),
    }
}
