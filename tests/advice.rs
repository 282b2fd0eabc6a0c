//! Advice for story journals, as a keeper would read it, and what must hold for any journal.
//!
//! People, places and tanks are invented. What each story must come to follows the worked figures named beside it:
//! Emerson and others (1975) for un-ionised ammonia, US EPA (2013) for the limits of total ammonia, SRAC 462 and Gomes
//! and others (2016) for nitrite; all else is common practice in the trade.
#![cfg(not(target_arch = "wasm32"))]

#[path = "advice/any_journal.rs"]
mod any_journal;
#[path = "advice/later_stories.rs"]
mod later_stories;
#[path = "advice/stories.rs"]
mod stories;
mod support;

use later_stories::LATER;
use lentic::advice::{self, Advice, Why};
use lentic::engine::{Basis, Urgency};
use stories::{STORIES, Story};
use support::{advise, book, day, journal, journal_text, name, page};

/// One story against its table and its snapshot.
fn check(story: &Story) {
    let at = format!("{} on {}", story.file, story.on);
    let answer = advise(
        &journal(&journal_text(&format!("story-{}", story.file))),
        story.on,
    );
    for (rule, urgency, certain) in story.advised {
        let point = answer.advice.iter().find(|point| point.rule == *rule);
        let point =
            point.unwrap_or_else(|| panic!("{at}: `{rule}` does not stand\n{}", page(&answer)));
        assert_eq!(
            (name(&point.urgency).as_str(), point.certain),
            (*urgency, *certain),
            "{at}: {rule}"
        );
    }
    for word in story.never {
        let stands = answer
            .advice
            .iter()
            .find(|point| point.rule == *word || point.action == *word);
        assert!(stands.is_none(), "{at}: `{word}` stands\n{}", page(&answer));
    }
    for (gate, verdict) in story.gates {
        let found = answer
            .gates
            .iter()
            .find(|answer| answer.gate == *gate)
            .expect("a gate of the book");
        assert_eq!(name(&found.verdict), *verdict, "{at}: {gate}");
    }
    for fact in story.wanted {
        assert!(
            answer.wanted.iter().any(|wanted| wanted.fact == *fact),
            "{at}: `{fact}` is not asked for"
        );
    }
    let asked: Vec<&str> = answer
        .questions
        .iter()
        .map(|question| question.fact.as_str())
        .collect();
    assert_eq!(asked, story.questions, "{at}: entries that are asked about");
    for (rule, words) in story.says {
        let point = answer
            .advice
            .iter()
            .find(|point| point.rule == *rule)
            .expect("checked above");
        let said = format!("{} {}", point.finding, point.say);
        assert!(
            said.contains(words),
            "{at}: {rule} does not say `{words}`: {said}"
        );
    }
    assert!(answer.clashes.is_empty(), "{at}: {:?}", answer.clashes);
    insta::with_settings!({ omit_expression => true }, {
        insta::assert_snapshot!(format!("{}-{}", story.file, &story.on[5..]), page(&answer));
    });
}

#[test]
fn every_story_comes_to_what_its_keeper_needs() {
    STORIES.iter().chain(LATER).for_each(check);
}

#[test]
fn every_story_is_told() {
    let folder = std::fs::read_dir(support::project("tests/journals")).expect("a folder");
    let names = folder.map(|entry| {
        entry
            .expect("an entry")
            .file_name()
            .into_string()
            .expect("a plain name")
    });
    let mut stories: Vec<String> = names.filter(|name| name.starts_with("story-")).collect();
    stories.retain(|name| {
        !STORIES
            .iter()
            .chain(LATER)
            .any(|story| *name == format!("story-{}.json", story.file))
    });
    assert!(stories.is_empty(), "{stories:?}");
}

#[test]
fn a_reading_counted_as_ammonium_is_shown_as_nitrogen_with_what_was_typed() {
    let tank = journal(&journal_text("story-counted-as-nh4"));
    let why = advice::why(book(), &tank, day("2026-08-26"), "total-ammonia")
        .expect("readable")
        .expect("known");
    let Why::Fact(fact) = why else {
        panic!("a fact")
    };
    assert_eq!(
        (fact.shown.as_str(), fact.from),
        ("1.86 mg/L N", Basis::Entered)
    );
    assert_eq!(fact.typed.as_deref(), Some("2.4 mg/L NH4"));
    // Atomic weights of IUPAC: 14.007 for N, 1.008 for H. The spread of the test is a tenth.
    let nitrogen = 2.4 * 14.007 / (14.007 + 4.0 * 1.008);
    assert!((fact.low.expect("a number") - 0.9 * nitrogen).abs() < 1e-4);
    assert!((fact.high.expect("a number") - 1.1 * nitrogen).abs() < 1e-4);
}

#[test]
fn the_plant_gate_names_the_day_from_which_time_is_no_hindrance() {
    let answer = advise(&journal(&journal_text("story-dark-start")), "2026-09-15");
    let gate = answer
        .gates
        .iter()
        .find(|gate| gate.gate == "plant")
        .expect("a gate");
    let unmet: Vec<Option<&str>> = gate
        .needs
        .iter()
        .filter_map(|need| need.met_on.as_deref().map(Some))
        .collect();
    assert_eq!(unmet, [Some("2026-09-22"), Some("2026-09-22")]);
}

#[test]
fn an_empty_journal_gets_a_handful_of_lines_and_no_alarm() {
    let answer = advise(&journal(&journal_text("story-empty")), "2026-10-01");
    assert!((2..=6).contains(&answer.advice.len()), "{}", page(&answer));
    assert!(
        answer
            .advice
            .iter()
            .all(|point| point.urgency >= Urgency::Soon),
        "{}",
        page(&answer)
    );
    assert!((3..=8).contains(&answer.wanted.len()), "{}", page(&answer));
}

#[test]
fn every_entry_that_the_book_cannot_read_is_named_with_its_place() {
    for file in ["wrong-entries-facts", "wrong-entries-life"] {
        let tank = journal(&journal_text(file));
        let mistakes = advice::advise(book(), &tank, day("2026-11-01")).expect_err("mistakes");
        let lines: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        insta::with_settings!({ omit_expression => true }, {
            insta::assert_snapshot!(file, lines.join("\n"));
        });
    }
}

#[test]
fn entries_of_later_days_say_nothing_about_today() {
    let tank = journal(&journal_text("story-dark-start"));
    let whole: Advice = advise(&tank, "2026-09-15");
    assert_eq!(whole.later_entries, 2);
    let mut cut = tank.clone();
    cut.events.truncate(tank.events.len() - 2);
    let cut = advise(&cut, "2026-09-15");
    assert_eq!((cut.advice, cut.gates), (whole.advice, whole.gates));
}

/// Of one rule or gate alone less is looked at, and the same is found.
#[test]
fn changes_of_one_name_are_those_among_all() {
    let (book, journal) = (book(), journal(&journal_text("story-dark-start")));
    let on = day("2026-09-25");
    let all = advice::changes(book, &journal, on).expect("a good journal");
    let mut names: Vec<&str> = all.iter().map(|change| change.of.as_str()).collect();
    names.dedup();
    assert!(names.len() > 50, "{}", names.len());
    for name in names.into_iter().step_by(4) {
        let among: Vec<_> = all.iter().filter(|change| change.of == name).collect();
        let own = advice::changes_of(book, &journal, on, name).expect("a good journal");
        assert_eq!(own.iter().collect::<Vec<_>>(), among, "{name}");
    }
}
