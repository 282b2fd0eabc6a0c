//! Evidence as indented lines.

use lentic::engine::{Basis, Evidence, Form, SourceRef, Support, Verdict, Worked};

use super::page::Page;
use super::tongue::{said, told};

/// How much of the evidence is shown.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Depth {
    /// Conditions and the values they looked at.
    Brief,
    /// All of it, down to the readings.
    Full,
}

/// A condition with its verdict, the values it looked at, and its parts.
pub(crate) fn condition(page: &mut Page, level: usize, depth: Depth, evidence: &Evidence) {
    let indent = "  ".repeat(level);
    page.paragraph(
        &format!("{indent}{} ", mark(evidence.verdict)),
        &evidence.text,
    );
    let inner = level + 4;
    for value in &evidence.values {
        match depth {
            Depth::Brief => {
                page.paragraph(&"  ".repeat(inner), &named(value));
                for part in &value.conditions {
                    page.paragraph(
                        &format!("{}{} ", "  ".repeat(inner), mark(part.verdict)),
                        &part.text,
                    );
                }
            }
            Depth::Full => worked(page, inner, value),
        }
    }
    if let (Depth::Full, Some(margin)) = (depth, &evidence.margin) {
        let spreads = margin.spreads.filter(|n| n.is_finite());
        let spreads =
            spreads.map(|n| told!(", {} times what the test may be off", format!("{n:.1}")));
        let margin = told!("margin: {}{}", margin.shown, spreads.unwrap_or_default());
        page.paragraph(&"  ".repeat(inner), &margin);
    }
    if evidence.form != Form::Test {
        evidence
            .parts
            .iter()
            .for_each(|part| condition(page, level + 1, depth, part));
    }
    if depth == Depth::Full && !evidence.wants.is_empty() {
        let wants = told!("could be settled by: {}", evidence.wants.join(", "));
        page.paragraph(&"  ".repeat(inner), &wants);
    }
}

fn named(value: &Worked) -> String {
    format!("{}: {}{}", value.label, value.shown, origin(value))
}

pub(crate) fn mark(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => said("[yes] "),
        Verdict::Fails => said("[no]  "),
        Verdict::Open => said("[open]"),
    }
}

/// A value with how it came about.
pub(crate) fn worked(page: &mut Page, level: usize, value: &Worked) {
    let indent = "  ".repeat(level);
    page.paragraph(&indent, &named(value));
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
        page.paragraph(&format!("{indent}{}", said("  source: ")), &cited(source));
    }
    for part in &value.conditions {
        condition(page, level + 1, Depth::Full, part);
    }
    for input in &value.inputs {
        worked(page, level + 1, input);
    }
}

fn origin(value: &Worked) -> String {
    let typed = value
        .typed
        .as_deref()
        .filter(|typed| value.low.is_some() && *typed != value.shown);
    let typed = typed
        .map(|typed| told!(", typed as {}", typed))
        .unwrap_or_default();
    let on = value
        .on
        .as_deref()
        .map(|on| told!(", read {}", on))
        .unwrap_or_default();
    match value.from {
        Basis::Entered => format!("{typed}{on}"),
        _ => String::new(),
    }
}

pub(crate) fn cited(source: &SourceRef) -> String {
    let place = if source.place.is_empty() {
        String::new()
    } else {
        format!(", {}", source.place)
    };
    let support = match source.support {
        Support::Published => said("published"),
        Support::CommonPractice => said("common practice"),
        Support::FromMemory => said("from memory, not read again"),
    };
    format!("{}{place} ({support})", source.words)
}
