//! `lentic fit`: which plants and animals go with the tank and with each other.

use std::collections::BTreeSet;

use lentic::advice::{self, Fit, PairFit, SpeciesFit, Unsure, Wish};
use lentic::engine::{AdvicePoint, Urgency, Verdict};

use super::Outcome;
use super::advise::urgency;
use super::arguments::{Arguments, listed};
use super::evidence::cited;
use super::may;
use super::page::{Page, json};
use super::tongue::{said, told};

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let with: Vec<Wish> = match &arguments.with {
        Some(text) => wishes(text)?,
        None => Vec::new(),
    };
    let fit = advice::fit(&book, &journal, arguments.day()?, &with)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.json {
        json(&fit)?;
    } else {
        shown(&fit, &arguments.words[0]);
    }
    Ok(if clashes(&fit) {
        Outcome::Attention
    } else {
        Outcome::Fine
    })
}

/// `neon-tetra x 10, java-fern`; without a number one is meant.
fn wishes(text: &str) -> Result<Vec<Wish>, String> {
    let parts = text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    let wish = |part: &str| {
        let (species, count) = match part.split_once(" x ") {
            Some((species, count)) => (species.trim(), count.trim()),
            None => (part, "1"),
        };
        match count.parse::<u32>() {
            Ok(count) if (1..=10_000).contains(&count) => Ok(Wish {
                species: species.to_owned(),
                count,
            }),
            _ => Err(format!(
                "--with: `{count}` is no number from 1 to 10000; write it as in `neon-tetra x 10, java-fern`"
            )),
        }
    };
    parts.map(wish).collect()
}

fn clashes(fit: &Fit) -> bool {
    let alone = fit.species.iter().flat_map(|one| &one.clashes);
    let paired = fit.pairs.iter().flat_map(|pair| &pair.clashes);
    !fit.never.is_empty()
        || alone
            .chain(paired)
            .any(|point| point.urgency != Urgency::Note)
}

fn shown(fit: &Fit, journal: &str) {
    let mut page = Page::new();
    let tank = match fit.tank.as_str() {
        "" => said("This tank"),
        tank => tank,
    };
    page.heading(&told!("{}, {}: what fits", tank, fit.date));
    page.gap();
    for question in &fit.questions {
        page.strong(
            "? ",
            &format!(
                "{} ({}): {}.",
                question.label, question.place, question.text
            ),
        );
    }
    if fit.species.is_empty() {
        page.paragraph("", said("No plant or animal is in the tank. Name some with --with, as in `neon-tetra x 10, java-fern`."));
        page.gap();
    }
    fit.species.iter().for_each(|one| species(&mut page, one));
    if fit.pairs_looked_at > 0 {
        page.heading(said("Together"));
        fit.pairs.iter().for_each(|one| pair(&mut page, one));
        let silent = fit.pairs_looked_at - fit.pairs.len();
        page.paragraph(
            "",
            &told!(
                "Pairs of which nothing is to be said: {} of {}.",
                silent,
                fit.pairs_looked_at
            ),
        );
        page.gap();
    }
    steps(&mut page, fit);
    let book = &fit.book;
    page.paragraph(
        "",
        &told!(
            "{}, edition {}, {}.",
            book.title,
            book.edition,
            &book.digest[..12]
        ),
    );
    page.paragraph(
        "",
        &told!("All that is known of each: lentic fit {} --json", journal),
    );
    page.print();
}

fn species(page: &mut Page, one: &SpeciesFit) {
    let count = match (one.is_animal, one.in_tank, one.count) {
        (false, 0, _) => said("wanted").to_owned(),
        (false, ..) => said("in the tank").to_owned(),
        (true, 0, count) => told!("{} wanted", count),
        (true, inside, count) if inside == count => told!("{} in the tank", count),
        (true, inside, count) => told!("{} in the tank, {} in all", inside, count),
    };
    page.strong("", &format!("{}: {count}  [{}]", one.label, one.species));
    told(page, &one.clashes, &one.unsure);
    if one.clashes.is_empty() && one.unsure.is_empty() {
        page.paragraph("  ", said("Nothing clashes with the tank."));
    }
    let cell = |name: &str| one.told.iter().find(|cell| cell.name == name);
    for name in ["notes", "law"] {
        if let Some(cell) = cell(name) {
            page.paragraph("  ", &format!("{}: {}.", cell.label, cell.shown));
        }
    }
    let sources: Vec<String> = one.sources.iter().map(cited).collect();
    page.paragraph(said("  From: "), &sources.join("; "));
    page.gap();
}

fn pair(page: &mut Page, one: &PairFit) {
    page.strong("", &told!("{} and {}", one.first_label, one.second_label));
    told(page, &one.clashes, &one.unsure);
    page.gap();
}

fn told(page: &mut Page, clashes: &[AdvicePoint], unsure: &[Unsure]) {
    for point in clashes {
        let how = urgency(point.urgency);
        page.paragraph(
            "  ! ",
            &format!(
                "{how}: {} {} {}  [{}]",
                point.finding, point.say, point.because, point.rule
            ),
        );
    }
    let wants = || unsure.iter().flat_map(|one| &one.wants);
    let asks: BTreeSet<&str> = wants()
        .map(|wants| wants.ask.as_str())
        .filter(|ask| !ask.is_empty())
        .collect();
    let open = wants().filter(|wants| wants.ask.is_empty());
    let open: BTreeSet<&str> = open.map(|wants| wants.label.as_str()).collect();
    let joined = |parts: BTreeSet<&str>, by: &str| parts.into_iter().collect::<Vec<_>>().join(by);
    let rules = unsure.iter().map(|one| one.rule.as_str()).collect();
    let rules = joined(rules, ", ");
    if !asks.is_empty() {
        page.paragraph(
            "  ? ",
            &told!("Cannot tell yet  [{}]: {}", rules, joined(asks, " ")),
        );
    } else if !open.is_empty() {
        page.paragraph("  ? ", &told!("Cannot tell  [{}].", rules));
    }
    if !open.is_empty() {
        page.paragraph(
            "    ",
            &told!(
                "Open in the book until the species is named: {}.",
                joined(open, "; ")
            ),
        );
    }
}

fn steps(page: &mut Page, fit: &Fit) {
    for label in &fit.never {
        page.paragraph(
            "! ",
            &told!("{}: not for this tank, so not among the steps.", label),
        );
    }
    if fit.steps.is_empty() {
        return;
    }
    page.heading(said("In this order"));
    for (at, step) in fit.steps.iter().enumerate() {
        let after = step
            .days_after
            .map(|days| told!(", at least {} days after the step before", days))
            .unwrap_or_default();
        let first = if step.clashes {
            said(" Settle first what clashes.")
        } else {
            ""
        };
        page.paragraph(
            &format!("{:>2}. ", at + 1),
            &format!(
                "{} x {}{after}: {}.{first}  [{}]",
                step.count, step.label, step.turn, step.gate
            ),
        );
    }
    page.gap();
    for gate in &fit.gates {
        let unmet = gate.needs.iter().filter(|need| need.met != Verdict::Holds);
        page.paragraph(
            "",
            &format!("{} {}  [{}]", gate.ask, may::told(gate.verdict), gate.gate),
        );
        for need in unmet {
            page.paragraph("  - ", &need.because);
        }
    }
    page.gap();
}
