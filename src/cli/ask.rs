//! `lentic whynot`, `change`, `whatif` and `next`.

use lentic::advice;
use lentic::engine::{Change, NextTest, Reason, Standing, WhyNot};

use super::Outcome;
use super::advise::urgency;
use super::arguments::{Arguments, listed, pair};
use super::may::told;
use super::page::{Page, json};
use super::tongue::{said, told as filled};

pub(crate) fn why_not(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let name = arguments
        .words
        .get(1)
        .ok_or("name a rule after the journal")?;
    let found = advice::why_not(&book, &journal, arguments.day()?, name);
    let found = found.map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    let found = found.ok_or_else(|| book.no_such_name(name))?;
    if arguments.json {
        return json(&found);
    }
    let mut page = Page::new();
    page.heading(&format!("{}: {}", found.rule, standing(found.standing)));
    obstacles(&mut page, &found);
    page.print();
    Ok(Outcome::Fine)
}

fn obstacles(page: &mut Page, found: &WhyNot) {
    for obstacle in &found.obstacles {
        let word = if obstacle.verdict == lentic::engine::Verdict::Open {
            said("open")
        } else {
            said("no")
        };
        page.paragraph(
            &format!("  [{word}] "),
            &filled!(
                "{}: {}; needed: {} [{}]",
                obstacle.label,
                obstacle.shown,
                obstacle.needed,
                obstacle.fact
            ),
        );
    }
    if let Some(on) = &found.on {
        page.paragraph("  ", &filled!("By time alone it would speak on {}.", on));
    }
    for change in &found.changes {
        page.paragraph(
            said("  It would speak with "),
            &filled!("{} at {} [{}].", change.label, change.to, change.fact),
        );
    }
    for [first, second] in &found.pairs {
        page.paragraph(
            said("  It would speak with both: "),
            &filled!(
                "{} at {}, and {} at {}.",
                first.label,
                first.to,
                second.label,
                second.to
            ),
        );
    }
    if found.standing != Standing::Stands && found.changes.is_empty() && found.pairs.is_empty() {
        page.paragraph(
            "  ",
            said(
                "No single entry would make it speak, and no pair within the bound of the search.",
            ),
        );
    }
}

fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Silent => said("it does not hold"),
        Standing::Open => said("it cannot be decided yet"),
        Standing::SetAside => said("it holds, and was set aside"),
        Standing::Possible => said("it speaks as a precaution"),
        Standing::Stands => said("it speaks"),
    }
}

pub(crate) fn change(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let day = arguments.day()?;
    let found = match arguments.words.get(1) {
        Some(name) if !book.has_rule_or_gate(name) => return Err(book.no_such_name(name)),
        Some(name) => advice::changes_of(&book, &journal, day, name),
        None => advice::changes(&book, &journal, day),
    };
    let mut changes = found.map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.words.len() < 2 {
        changes.retain(spoken);
    }
    if arguments.json {
        return json(&changes);
    }
    let mut page = Page::new();
    let mut of = "";
    for change in &changes {
        if change.of != of {
            of = &change.of;
            page.strong("", of);
        }
        page.paragraph("  ", &changed(change));
    }
    if changes.is_empty() {
        page.paragraph("", said("No single entry would change it."));
    }
    page.print();
    Ok(Outcome::Fine)
}

/// Without a name only what is said, or would be, is of interest.
fn spoken(change: &Change) -> bool {
    let speaks = |standing: Option<Standing>| {
        matches!(standing, Some(Standing::Stands | Standing::Possible))
    };
    change.gate_before.is_some() || speaks(change.before) != speaks(change.after)
}

fn changed(change: &Change) -> String {
    let after = match (change.after, change.gate_after) {
        (Some(after), _) => standing(after).to_owned(),
        (None, Some(verdict)) => filled!("the gate says: {}", told(verdict)),
        (None, None) => String::new(),
    };
    format!("{} {} -> {}: {after}", change.label, change.now, change.to)
}

pub(crate) fn what_if(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let edits = arguments.words[1..]
        .iter()
        .map(|word| pair(word))
        .collect::<Result<Vec<_>, String>>()?;
    if edits.is_empty() {
        return Err("say what would be otherwise, as in nitrite=\"0.5 mg/L NO2\"".into());
    }
    let difference = advice::what_if(&book, &journal, arguments.day()?, &edits)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.json {
        return json(&difference);
    }
    let mut page = Page::new();
    for (word, points) in [
        (said("Appears"), &difference.appeared),
        (said("Vanishes"), &difference.vanished),
    ] {
        for point in points {
            let sure = if point.certain {
                ""
            } else {
                said(" (cannot be ruled out)")
            };
            let title = format!(
                "{}: {}{sure} [{}]",
                urgency(point.urgency),
                point.action_label,
                point.rule
            );
            page.strong(&format!("{word}: "), &title);
            page.paragraph("   ", &format!("{} {}", point.finding, point.say));
        }
    }
    for moved in &difference.moved {
        page.strong(
            said("Changes: "),
            &format!("{} [{}]", moved.after.action_label, moved.after.rule),
        );
        page.paragraph(
            said("   from: "),
            &format!("{} {}", moved.before.finding, moved.before.say),
        );
        page.paragraph(
            said("   to:   "),
            &format!("{} {}", moved.after.finding, moved.after.say),
        );
    }
    for gate in &difference.gates {
        page.paragraph(
            "",
            &format!("{} {} -> {}", gate.ask, told(gate.before), told(gate.after)),
        );
    }
    if difference == Default::default() {
        page.paragraph("", said("Nothing would change."));
    }
    page.print();
    Ok(Outcome::Fine)
}

pub(crate) fn next(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let tests = advice::next_tests(&book, &journal, arguments.day()?)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.json {
        return json(&tests);
    }
    let mut page = Page::new();
    for (index, test) in tests.iter().enumerate() {
        let NextTest {
            ask,
            fact,
            score,
            settles,
            ..
        } = test;
        page.strong(&format!("{}. ", index + 1), &format!("{ask} [{fact}]"));
        page.paragraph(
            "   ",
            &filled!(
                "weight {}; it could settle {}",
                format!("{score:.1}"),
                settles.join(", ")
            ),
        );
    }
    if tests.is_empty() {
        page.paragraph("", said("Nothing is open that an entry could settle."));
    }
    page.print();
    Ok(Outcome::Fine)
}

/// The facts that alone force what a rule comes to.
pub(crate) fn reasons(page: &mut Page, sets: &[Vec<Reason>]) {
    for (index, set) in sets.iter().enumerate() {
        page.paragraph(
            "   ",
            if index == 0 {
                said("These alone decide it:")
            } else {
                said("So do these:")
            },
        );
        for reason in set {
            let margin = reason
                .margin
                .as_ref()
                .map(|margin| filled!("; margin {}", margin.shown))
                .unwrap_or_default();
            page.paragraph(
                "     - ",
                &format!(
                    "{}: {} ({}{margin})",
                    reason.label, reason.shown, reason.allowed
                ),
            );
        }
    }
}
