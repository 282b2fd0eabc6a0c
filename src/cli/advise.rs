//! `lentic advise`: what to do now, and why.

use lentic::advice::{self, Advice};
use lentic::engine::{AdvicePoint, SetAside, Urgency, Withdrawn};

use super::Outcome;
use super::arguments::{Arguments, listed};
use super::evidence::{Depth, cited, condition};
use super::page::{Page, json};
use super::tongue::{said, told};

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let advice = advice::advise(&book, &journal, arguments.day()?)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.json {
        json(&advice)?;
    } else {
        shown(&advice, &arguments.words[0]);
    }
    let danger = advice
        .advice
        .iter()
        .any(|point| point.urgency == Urgency::Danger);
    Ok(if danger {
        Outcome::Attention
    } else {
        Outcome::Fine
    })
}

fn shown(advice: &Advice, journal: &str) {
    let mut page = Page::new();
    let tank = if advice.tank.is_empty() {
        said("This tank")
    } else {
        &advice.tank
    };
    page.heading(&format!(
        "{tank}, {}: {}",
        advice.date,
        advice.stage.to_lowercase()
    ));
    page.gap();
    withdrawn(&mut page, advice, true);
    questions(&mut page, advice);
    if advice.advice.is_empty() {
        page.paragraph("", said("Nothing needs doing by what is known."));
        page.gap();
    }
    for (index, point) in advice.advice.iter().enumerate() {
        self::point(&mut page, index + 1, point);
    }
    open(&mut page, advice);
    aside(&mut page, &advice.set_aside);
    withdrawn(&mut page, advice, false);
    for clash in &advice.clashes {
        page.paragraph(
            "! ",
            &told!(
                "The book contradicts itself: {} and {}.",
                clash.rule,
                clash.with
            ),
        );
    }
    if advice.later_entries > 0 {
        page.paragraph(
            "",
            &told!(
                "Entries dated after this day and left out: {}.",
                advice.later_entries
            ),
        );
    }
    page.paragraph(
        "",
        &told!(
            "{}, edition {}, {}.",
            advice.book.title,
            advice.book.edition,
            &advice.book.digest[..12]
        ),
    );
    page.paragraph(
        "",
        &told!(
            "More on one point: lentic why {} NAME --on {}",
            journal,
            advice.date
        ),
    );
    page.print();
}

fn questions(page: &mut Page, advice: &Advice) {
    for question in &advice.questions {
        page.strong(
            "? ",
            &format!(
                "{} ({}): {}.",
                question.label, question.place, question.text
            ),
        );
    }
    if !advice.questions.is_empty() {
        page.gap();
    }
}

/// Rules that an overlay withdrew: dangers before the advice, the others after it.
fn withdrawn(page: &mut Page, advice: &Advice, dangers: bool) {
    let fits = |rule: &&Withdrawn| (rule.urgency == Urgency::Danger) == dangers;
    for rule in advice.withdrawn.iter().filter(fits) {
        let text = told!("withdrawn by {} [{}]: {}", rule.by, rule.rule, rule.reason);
        page.strong(&format!("{} ", urgency(rule.urgency)), &text);
        page.paragraph(said("   It would have said: "), &rule.say);
        page.gap();
    }
}

pub(crate) fn urgency(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Danger => said("DANGER"),
        Urgency::Today => said("TODAY"),
        Urgency::Soon => said("SOON"),
        Urgency::Note => said("NOTE"),
    }
}

fn point(page: &mut Page, number: usize, point: &AdvicePoint) {
    let amount = point
        .amount
        .as_ref()
        .map(|amount| format!(", {}", amount.shown))
        .unwrap_or_default();
    let sure = if point.certain {
        ""
    } else {
        said(" (cannot be ruled out)")
    };
    let title = format!(
        "{}: {}{amount}{sure}  [{}]",
        urgency(point.urgency),
        point.action_label,
        point.rule
    );
    page.strong(&format!("{number}. "), &title);
    body(page, point, Depth::Brief);
    page.gap();
}

pub(crate) fn body(page: &mut Page, point: &AdvicePoint, depth: Depth) {
    if !point.by.is_empty() {
        let replaces = point
            .replaces
            .as_ref()
            .map(|reason| told!(", in place of the book's own: {}", reason));
        page.paragraph(
            "   ",
            &told!("A rule of {}{}.", point.by, replaces.unwrap_or_default()),
        );
    }
    for text in [&point.finding, &point.say] {
        page.paragraph("   ", text);
    }
    page.paragraph(said("   Why: "), &point.because);
    if let Some(amount) = &point.amount {
        page.paragraph(
            said("   Amount: "),
            &format!("{} = {}", amount.formula, amount.shown),
        );
    }
    page.paragraph("   ", said("Rests on:"));
    point
        .evidence
        .iter()
        .for_each(|evidence| condition(page, 2, depth, evidence));
    for beaten in &point.overruled {
        page.paragraph(
            said("   Set aside for this: "),
            &told!("{}, because {}", beaten.rule, beaten.because),
        );
    }
    for unless in &point.unless {
        page.paragraph(
            said("   Unless: "),
            &told!("{}, because {}", unless.rule, unless.because),
        );
    }
    for source in &point.sources {
        page.paragraph(said("   Source: "), &cited(source));
    }
    for caution in &point.cautions {
        page.paragraph(said("   Caution: "), &caution.text);
    }
}

fn open(page: &mut Page, advice: &Advice) {
    if advice.wanted.is_empty() {
        return;
    }
    page.heading(said("To find out next"));
    for wanted in &advice.wanted {
        page.paragraph(
            "- ",
            &told!(
                "{} [{}] It would help to settle: {}.",
                wanted.ask,
                wanted.fact,
                wanted.settles.join(", ")
            ),
        );
    }
    page.gap();
}

fn aside(page: &mut Page, set_aside: &[SetAside]) {
    if set_aside.is_empty() {
        return;
    }
    page.heading(said("Set aside"));
    for point in set_aside {
        page.paragraph(
            "- ",
            &format!("{} [{}]", point.advice.action_label, point.advice.rule),
        );
        for beaten in &point.beaten_by {
            page.paragraph("    ", &told!("by {}: {}", beaten.rule, beaten.because));
        }
    }
    page.gap();
}
