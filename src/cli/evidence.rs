//! Evidence as indented lines.

use lentic::engine::{Basis, Evidence, Form, SourceRef, Support, Verdict, Worked};

use super::page::Page;

/// A condition with its verdict, the values it looked at, and its parts.
pub(crate) fn condition(page: &mut Page, depth: usize, evidence: &Evidence) {
    let indent = "  ".repeat(depth);
    page.paragraph(
        &format!("{indent}{} ", mark(evidence.verdict)),
        &evidence.text,
    );
    for value in &evidence.values {
        worked(page, depth + 2, value);
    }
    if let Some(margin) = &evidence.margin {
        let spreads = margin
            .spreads
            .filter(|n| n.is_finite())
            .map(|n| format!(", {n:.1} times what the test may be off"));
        let amount = lentic::engine::figure(margin.amount);
        let text = format!("by {amount} {}{}", margin.unit, spreads.unwrap_or_default());
        page.paragraph(&format!("{}", "  ".repeat(depth + 2)), &text);
    }
    if evidence.form != Form::Test {
        evidence
            .parts
            .iter()
            .for_each(|part| condition(page, depth + 1, part));
    }
    if !evidence.wants.is_empty() {
        page.paragraph(
            &format!("{indent}    "),
            &format!("could be settled by: {}", evidence.wants.join(", ")),
        );
    }
}

pub(crate) fn mark(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "[yes] ",
        Verdict::Fails => "[no]  ",
        Verdict::Open => "[open]",
    }
}

/// A value with how it came about.
pub(crate) fn worked(page: &mut Page, depth: usize, value: &Worked) {
    let indent = "  ".repeat(depth);
    page.paragraph(
        &format!("{indent}{}: ", value.label),
        &format!("{}{}", value.shown, origin(value)),
    );
    if let Some(formula) = &value.formula {
        page.paragraph(&format!("{indent}  = "), formula);
    }
    for line in &value.working {
        page.paragraph(&format!("{indent}    "), line);
    }
    if let Some(because) = &value.because {
        page.paragraph(&format!("{indent}  "), because);
    }
    for source in &value.sources {
        page.paragraph(&format!("{indent}  source: "), &cited(source));
    }
    value
        .inputs
        .iter()
        .for_each(|input| worked(page, depth + 1, input));
}

fn origin(value: &Worked) -> String {
    let typed = value.typed.as_deref().filter(|typed| *typed != value.shown);
    let typed = typed
        .map(|typed| format!(", typed as {typed}"))
        .unwrap_or_default();
    let on = value
        .on
        .as_deref()
        .map(|on| format!(", read {on}"))
        .unwrap_or_default();
    match value.from {
        Basis::Entered => format!("{typed}{on}"),
        Basis::Unknown | Basis::Stale | Basis::Worked | Basis::Table => String::new(),
    }
}

pub(crate) fn cited(source: &SourceRef) -> String {
    let place = if source.place.is_empty() {
        String::new()
    } else {
        format!(", {}", source.place)
    };
    let support = match source.support {
        Support::Published => "published",
        Support::CommonPractice => "common practice",
        Support::FromMemory => "from memory, not read again",
    };
    format!("{}{place} ({support})", source.words)
}
