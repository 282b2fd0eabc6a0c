//! `lentic check`: prove a rule book, run its cases, and say what they do not show.

use std::collections::BTreeMap;

use lentic::advice::{LANGUAGES, Language};
use lentic::engine::{
    Book, CaseReport, Coverage, Diagnostic, Finding, Mutation, Proposal, Report, Scope, Severity,
    Support,
};
use serde::Serialize;

use super::Outcome;
use super::arguments::Arguments;
use super::page::Page;
use super::words::{Spoken, languages_in, words_of};

/// What `--json` prints.
#[derive(Serialize)]
struct Document<'a> {
    failed: &'a [Diagnostic],
    report: &'a Report,
    languages: &'a [Spoken],
}

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book_of_words()?;
    let cases = book.run_cases();
    let usual = Scope::default();
    let report = book.check(&Scope {
        boxes: arguments.boxes.unwrap_or(usual.boxes),
        read_by_host: &lentic::advice::names_read(),
    });
    let languages = languages(arguments)?;
    if arguments.fix_cases {
        let on_disk = !arguments.words.is_empty() || arguments.book.is_some();
        write_proposals(&report, on_disk)?;
    }
    if arguments.json {
        let document = Document {
            failed: &cases.failed,
            report: &report,
            languages: &languages,
        };
        let text = serde_json::to_string_pretty(&document).map_err(|error| error.to_string())?;
        super::page::print(&format!("{text}\n"));
    } else {
        let mut page = Page::new();
        findings(&mut page, &cases, &report);
        unsaid(&mut page, &languages);
        summary(&mut page, &book, &cases, &report);
        languages
            .iter()
            .for_each(|spoken| spoken_in(&mut page, spoken));
        page.print();
    }
    let good = cases.failed.is_empty()
        && report.count(Severity::Mistake) == 0
        && languages.iter().all(Spoken::is_whole);
    Ok(if good {
        Outcome::Fine
    } else {
        Outcome::Attention
    })
}

/// The language that was asked for; or all that come with the built-in book, or that lie in the folders of a book.
fn languages(arguments: &Arguments) -> Result<Vec<Spoken>, String> {
    let files = arguments.rule_files()?;
    if let Some(language) = &arguments.language {
        let words = words_of(language)?;
        let spoken = words.map(|words| Spoken::of(&files, language, &words));
        return Ok(spoken.into_iter().collect());
    }
    let folders = arguments.folders();
    if folders.is_empty() {
        let spoken = |language: &Language| {
            let words = lentic::words_of(language.tag).unwrap_or_default();
            Spoken::of(&files, language.tag, &words)
        };
        return Ok(LANGUAGES.iter().map(spoken).collect());
    }
    let mut spoken = Vec::new();
    for folder in folders {
        for (language, words) in languages_in(folder)? {
            spoken.push(Spoken::of(&files, &language, &words));
        }
    }
    Ok(spoken)
}

fn unsaid(page: &mut Page, languages: &[Spoken]) {
    for spoken in languages.iter().filter(|spoken| !spoken.is_whole()) {
        page.heading(&format!("Words in {}", spoken.language));
        let places = spoken.mistakes.iter().chain(&spoken.missing);
        places.for_each(|place| told(page, place));
        page.gap();
    }
}

fn spoken_in(page: &mut Page, spoken: &Spoken) {
    let Spoken { language, said, .. } = spoken;
    let line = match spoken.mistakes.len() {
        0 => format!(
            "In {language}: {said} pieces are said, {} are not.",
            spoken.missing.len()
        ),
        wrong => format!("In {language}: {wrong} mistakes in the words."),
    };
    page.paragraph("", &line);
}

fn findings(page: &mut Page, cases: &CaseReport, report: &Report) {
    cases.failed.iter().for_each(|place| told(page, place));
    for (severity, heading) in [
        (Severity::Mistake, "Mistakes"),
        (Severity::Undecided, "Undecided"),
        (Severity::Warning, "Worth a look"),
    ] {
        let of = report
            .findings
            .iter()
            .filter(|finding| finding.severity == severity);
        let of: Vec<&Finding> = of.collect();
        if !of.is_empty() {
            page.heading(heading);
            of.iter().for_each(|finding| found(page, finding));
            page.gap();
        }
    }
    if !report.coverage.gaps.is_empty() {
        page.heading("Not shown by the cases");
        for gap in &report.coverage.gaps {
            told(page, &gap.place);
            proposed(page, gap.proposal.as_ref());
        }
        page.gap();
    }
    if !report.mutation.survivors.is_empty() {
        page.heading("Changes that no case notices");
        for survivor in &report.mutation.survivors {
            told(page, &survivor.place);
            if survivor.equivalent {
                page.line("  = no facts tell this change from the rule");
            }
            proposed(page, survivor.proposal.as_ref());
        }
        page.gap();
    }
}

fn told(page: &mut Page, place: &Diagnostic) {
    let text = place.to_string();
    let (sentence, quoted) = text.split_once('\n').unwrap_or((&text, ""));
    page.paragraph("", sentence);
    quoted.lines().for_each(|line| page.line(line.trim_end()));
}

fn found(page: &mut Page, finding: &Finding) {
    told(page, &finding.place);
    page.line(&format!("  = {}", finding.kind));
    for case in finding.witness.iter().flat_map(|witness| &witness.cases) {
        page.line(&format!("  = in {}: {}", case.block, case.line));
    }
}

fn proposed(page: &mut Page, proposal: Option<&Proposal>) {
    if let Some(proposal) = proposal {
        page.line(&format!("  = proposed: {}", proposal.facts));
    }
}

fn summary(page: &mut Page, book: &Book, cases: &CaseReport, report: &Report) {
    let rules = book.rules();
    page.paragraph(
        "",
        &format!(
            "{} edition {}: {} rules, {} gates, {} facts; {} cases run, {} failed.",
            book.title(),
            book.edition(),
            rules.len(),
            book.gate_names().len(),
            book.facts().len(),
            cases.run,
            cases.failed.len()
        ),
    );
    page.paragraph(
        "",
        &format!(
            "Proofs: {} mistakes, {} undecided, {} worth a look; {} questions, {} boxes.",
            report.count(Severity::Mistake),
            report.count(Severity::Undecided),
            report.count(Severity::Warning),
            report.questions,
            report.boxes
        ),
    );
    page.paragraph("", &shown(&report.coverage));
    page.paragraph("", &noticed(&report.mutation));
    let by = |support: Support| {
        let of = |rule: &&lentic::engine::RuleInfo| {
            rule.sources.iter().any(|source| source.support == support)
        };
        rules.iter().filter(of).count()
    };
    page.paragraph(
        "",
        &format!(
            "Rules that rest on published works: {}; on common practice: {}; on memory: {}.",
            by(Support::Published),
            by(Support::CommonPractice),
            by(Support::FromMemory)
        ),
    );
    let missing = lentic::advice::missing_names(book);
    if !missing.is_empty() {
        page.paragraph(
            "",
            &format!(
                "The advisor fills these facts, and this book lacks them: {}.",
                missing.join(", ")
            ),
        );
    }
}

fn shown(coverage: &Coverage) -> String {
    format!(
        "Cases: {} of {} condition outcomes shown to matter ({}), {} of {} threshold sides met ({}); {} are impossible.",
        coverage.conditions_shown,
        coverage.conditions,
        share(coverage.conditions_shown, coverage.conditions),
        coverage.thresholds_shown,
        coverage.thresholds,
        share(coverage.thresholds_shown, coverage.thresholds),
        coverage.impossible
    )
}

fn noticed(mutation: &Mutation) -> String {
    let possible = mutation.tried - mutation.equivalent;
    format!(
        "Changes: {} of {} noticed ({}); {} more change nothing.",
        mutation.noticed,
        possible,
        share(mutation.noticed, possible),
        mutation.equivalent
    )
}

/// A share in per cent, rounded down so that 100 % means all.
fn share(part: usize, whole: usize) -> String {
    let tenths = (part * 1000).checked_div(whole).unwrap_or(1000);
    format!("{}.{} %", tenths / 10, tenths % 10)
}

/// Writes every proposal as a note at the end of its block.
fn write_proposals(report: &Report, on_disk: bool) -> Result<(), String> {
    if !on_disk {
        return Err(
            "--fix-cases: name the folder of the book; the built-in one cannot be written".into(),
        );
    }
    let mut by_file: BTreeMap<&str, Vec<&Proposal>> = BTreeMap::new();
    for proposal in report.proposals() {
        by_file.entry(&proposal.file).or_default().push(proposal);
    }
    for (name, proposals) in by_file {
        let told = |error: std::io::Error| format!("{name}: {error}");
        let mut text = std::fs::read_to_string(name).map_err(told)?;
        for proposal in proposals {
            text = with_note(&text, proposal);
        }
        std::fs::write(name, text).map_err(told)?;
    }
    Ok(())
}

/// The text with a proposal after the last line of its block, unless it stands there already.
fn with_note(text: &str, proposal: &Proposal) -> String {
    let note = format!("  # proposed: {}", proposal.facts);
    let mut lines: Vec<&str> = text.lines().collect();
    let heading = |line: &&str| {
        line.split_whitespace()
            .eq(proposal.block.split_whitespace())
    };
    let Some(start) = lines.iter().position(heading) else {
        return text.to_owned();
    };
    let inside = lines[start + 1..]
        .iter()
        .take_while(|line| line.starts_with(' '));
    let end = start + 1 + inside.count();
    if lines[start..end].contains(&note.as_str()) {
        return text.to_owned();
    }
    lines.insert(end, &note);
    lines.join("\n") + "\n"
}
