//! `lentic may`: may I plant, add fish, ...?

use lentic::advice;
use lentic::engine::{Book, GateAnswer, GateVerdict, Verdict};
use lentic::journal::Journal;

use super::Outcome;
use super::arguments::{Arguments, listed};
use super::evidence::{Depth, cited, condition};
use super::page::{Page, json};
use super::tongue::{said, told as filled};

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let mut gates = advice::may(&book, &journal, arguments.day()?)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if let Some(wanted) = arguments.words.get(1) {
        if !gates.iter().any(|gate| gate.gate == *wanted) {
            return Err(format!(
                "there is no gate `{wanted}`; there are: {}",
                book.gate_names().join(", ")
            ));
        }
        gates.retain(|gate| gate.gate == *wanted);
    }
    if arguments.json {
        return json(&gates);
    }
    let mut page = Page::new();
    let one = arguments.words.get(1).is_some();
    for gate in &gates {
        if one {
            self::gate(&mut page, gate);
            forecast(&mut page, &book, &journal, arguments, gate)?;
        } else {
            short(&mut page, gate)
        }
    }
    page.print();
    Ok(Outcome::Fine)
}

/// The first day on which a gate that is shut would open, by the forecast.
fn forecast(
    page: &mut Page,
    book: &Book,
    journal: &Journal,
    arguments: &Arguments,
    gate: &GateAnswer,
) -> Result<(), String> {
    if gate.verdict == GateVerdict::Yes {
        return Ok(());
    }
    let earliest = advice::earliest(book, journal, arguments.day()?)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    let found = earliest
        .iter()
        .find(|milestone| milestone.gate == gate.gate);
    if let Some(milestone) = found {
        page.paragraph(said("  By the forecast: "), &format!("{}.", milestone.say));
        page.gap();
    }
    Ok(())
}

pub(crate) fn told(verdict: GateVerdict) -> &'static str {
    match verdict {
        GateVerdict::Yes => said("Yes."),
        GateVerdict::NotYet => said("Not yet."),
        GateVerdict::No => said("No."),
        GateVerdict::CannotTell => said("Cannot tell."),
    }
}

fn short(page: &mut Page, gate: &GateAnswer) {
    page.strong(
        "",
        &format!("{} {}  [{}]", gate.ask, told(gate.verdict), gate.gate),
    );
    for need in gate.needs.iter().filter(|need| need.met != Verdict::Holds) {
        let wants = if need.evidence.wants.is_empty() {
            String::new()
        } else {
            filled!("; find out: {}", need.evidence.wants.join(", "))
        };
        let date = need
            .met_on
            .as_ref()
            .map(|on| filled!("; by time alone on {}", on))
            .unwrap_or_default();
        page.paragraph(
            "  - ",
            &format!("{}: {}{wants}{date}", need.evidence.text, need.because),
        );
    }
    page.gap();
}

/// A gate with every need and its evidence.
pub(crate) fn gate(page: &mut Page, gate: &GateAnswer) {
    page.heading(&format!("{} {}", gate.ask, told(gate.verdict)));
    for need in &gate.needs {
        let mark = match (need.bars, need.met) {
            (_, Verdict::Holds) => said("met: "),
            (true, Verdict::Fails) => said("barred: "),
            (false, Verdict::Fails) => said("not met: "),
            (_, Verdict::Open) => said("open: "),
        };
        page.paragraph("  ", &format!("{mark}{}", need.because));
        condition(page, 2, Depth::Full, &need.evidence);
        if let Some(on) = &need.met_on {
            page.paragraph("    ", &filled!("By time alone it would be met on {}.", on));
        }
    }
    for source in &gate.sources {
        page.paragraph(said("  Source: "), &cited(source));
    }
    for caution in &gate.cautions {
        page.paragraph(said("  Caution: "), &caution.text);
    }
    page.gap();
}
