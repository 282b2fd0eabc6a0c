//! A club's own rules over the built-in book.
#![cfg(not(target_arch = "wasm32"))]

mod support;

use lentic::advice;
use lentic::engine::{File, Urgency};
use support::{day, journal, journal_text, project};

fn club() -> File {
    let path = project("tests/books/overlay-club.rules");
    File::new(
        "overlay-club.rules",
        std::fs::read_to_string(path).expect("the club's rules"),
    )
}

#[test]
fn a_club_adds_replaces_and_withdraws_rules_and_the_answer_says_so() {
    let book = advice::with_overlays(vec![club()]).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let report = book.run_cases();
    assert!(report.failed.is_empty(), "{:#?}", report.failed);
    let story = journal(&journal_text("story-dark-start"));
    let answer = advice::advise(&book, &story, day("2026-09-25")).expect("a readable story");
    let stands = |rule: &str| answer.advice.iter().find(|point| point.rule == rule);
    let added = stands("club-evening").expect("the added rule stands");
    assert_eq!(
        (added.by.as_str(), &added.replaces),
        ("Millpond Circle's own rules", &None)
    );
    assert!(
        stands("dark-start-done").is_some_and(|point| point.by.is_empty()),
        "the book's own"
    );
    assert!(stands("dark-start-rests").is_none(), "withdrawn");
    assert_eq!(answer.book.overlays, ["Millpond Circle's own rules"]);
    let withdrawn: Vec<(&str, Urgency)> = answer
        .withdrawn
        .iter()
        .map(|rule| (rule.rule.as_str(), rule.urgency))
        .collect();
    assert_eq!(
        withdrawn,
        [
            ("free-ammonia-burns", Urgency::Danger),
            ("dark-start-rests", Urgency::Note)
        ],
        "a withdrawn danger is told first"
    );
}

#[test]
fn a_replaced_rule_goes_by_its_new_conditions() {
    let book = advice::with_overlays(vec![club()]).expect("a good overlay");
    let own = advice::built_in().expect("the built-in book");
    let two_days_of_zeros = r#"{ "format": "lentic-journal/1",
        "tank": { "start": "dark", "bed": "releasing", "tap-nitrate": "5 mg/L NO3" },
        "events": [ { "on": "2026-09-01", "event": "filled" },
            { "on": "2026-09-24", "event": "read", "values":
                { "total-ammonia": "0 mg/L N", "nitrite": "0 mg/L N", "nitrate": "80 mg/L NO3" } },
            { "on": "2026-09-25", "event": "read", "values":
                { "total-ammonia": "0 mg/L N", "nitrite": "0 mg/L N", "nitrate": "80 mg/L NO3" } } ] }"#;
    let story = journal(two_days_of_zeros);
    let says = |book, rule: &str| {
        let answer = advice::advise(book, &story, day("2026-09-25")).expect("a readable story");
        answer.advice.iter().any(|point| point.rule == rule)
    };
    assert!(
        says(&own, "cycle-complete"),
        "two days of zeros are enough for the book"
    );
    assert!(!says(&book, "cycle-complete"), "the club wants three");
    assert_ne!(book.digest(), own.digest());
}

#[test]
fn a_club_adds_and_replaces_animals_and_what_fits_goes_by_its_rows() {
    let row = |name: &str, label: &str, temperature: &str| {
        format!(
            "{name}  {label}  Pondus exemplaris  fish  4  {temperature}  6 to 8  1 to 20  5  40  60  1  medium  medium  safe  yes  no  \
             any-time  no  no  no  no  -  -  -  -  -  trade"
        )
    };
    let text = format!(
        "overlay pond\n  format  lentic-rules/1\n  title   Pond house\n\nrows animals\n  reason   We keep them so.\n  row      {}\n  \
         replace  {}\n",
        row("pond-dart", "Pond dart", "4 to 12"),
        row("neon-tetra", "Neon tetra of the pond house", "4 to 12"),
    );
    let book = advice::with_overlays(vec![File::new("pond.rules", text)])
        .unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let story = journal(&journal_text("story-running"));
    let wish = |name: &str| advice::Wish {
        species: name.into(),
        count: 10,
    };
    let fit = |book| {
        let wishes = [wish("neon-tetra"), wish("ember-tetra")];
        advice::fit(book, &story, day("2026-06-05"), &wishes).expect("a readable story")
    };
    let told = |book, name: &str| {
        let fit = fit(book);
        let one = fit.species.iter().find(|one| one.species == name);
        let one = one.expect("it was asked for");
        let clashes: Vec<String> = one.clashes.iter().map(|point| point.rule.clone()).collect();
        (one.by.clone(), one.label.clone(), clashes)
    };
    let own = advice::built_in().expect("the built-in book");
    let (by, _, clashes) = told(&own, "neon-tetra");
    assert_eq!((by.as_str(), clashes.len()), ("", 0));
    let (by, label, clashes) = told(&book, "neon-tetra");
    assert_eq!(
        (by.as_str(), label.as_str()),
        ("Pond house", "Neon tetra of the pond house")
    );
    assert!(!clashes.is_empty(), "the water is too warm for it now");
    assert_eq!(told(&book, "ember-tetra"), told(&own, "ember-tetra"));
    assert_eq!(
        book.listing("animal-species", "pond-dart")
            .map(|row| (row.by, row.reason)),
        Some(("Pond house".into(), "We keep them so.".into()))
    );
}

#[test]
fn only_an_overlay_may_change_rules_and_only_rules_that_are_there() {
    let wrong = [
        (
            "withdraw dark-start-rests\n  reason  No.\n",
            "only an overlay changes rules of a book",
        ),
        (
            "overlay o\n\nwithdraw dark-start-rest\n  reason  No.\n",
            "did you mean `dark-start-rests`?",
        ),
        ("overlay o\n\nwithdraw dark-start-rests\n", "has no reason"),
        (
            "overlay o\n\nwithdraw plant\n  reason  No.\n",
            "unknown rule `plant`",
        ),
        (
            "rows animals\n  reason  No.\n  row  carp\n",
            "only an overlay changes lists of a book",
        ),
        (
            "overlay o\n\nrows animal\n  reason  No.\n",
            "did you mean `animals`?",
        ),
        (
            "overlay o\n  format  lentic-rules/9\n",
            "it reads `lentic-rules/1`",
        ),
    ];
    for (text, told) in wrong {
        let mistakes = advice::with_overlays(vec![File::new("own.rules", text)]).expect_err(text);
        assert!(mistakes.to_string().contains(told), "{text}\n{mistakes}");
    }
}

#[test]
fn what_a_club_changes_for_a_tank_is_told_as_a_difference() {
    let club = advice::with_overlays(vec![club()]).expect("a good overlay");
    let own = advice::built_in().expect("the built-in book");
    let story = journal(&journal_text("story-dark-start"));
    let on = day("2026-09-12");
    let difference = advice::difference((&own, &story, on), (&club, &story, on)).expect("readable");
    let rules = |points: &[lentic::engine::AdvicePoint]| -> Vec<String> {
        points.iter().map(|point| point.rule.clone()).collect()
    };
    assert!(rules(&difference.appeared).contains(&"club-evening".to_owned()));
    assert!(rules(&difference.vanished).contains(&"dark-start-rests".to_owned()));
    let none = advice::difference((&own, &story, on), (&own, &story, on)).expect("readable");
    assert_eq!(none, lentic::engine::Difference::default());
    let later = day("2026-09-25");
    let grown = advice::difference((&own, &story, on), (&own, &story, later)).expect("readable");
    assert!(
        grown.gates.iter().all(|gate| gate.before != gate.after),
        "only gates that move are told"
    );
}

#[test]
fn each_rule_comes_to_what_the_answer_says_of_it() {
    use lentic::engine::Standing;
    let book = advice::built_in().expect("the built-in book");
    let story = journal(&journal_text("story-dark-start"));
    let on = day("2026-09-12");
    let answer = advice::advise(&book, &story, on).expect("a readable story");
    let standings = advice::standings(&book, &story, on).expect("a readable story");
    assert_eq!(standings.len(), book.rules().len());
    let speaks = standings
        .iter()
        .filter(|one| matches!(one.standing, Standing::Stands | Standing::Possible));
    let mut speaks: Vec<&str> = speaks.map(|one| one.rule.as_str()).collect();
    let mut advised: Vec<&str> = answer.advice.iter().map(|p| p.rule.as_str()).collect();
    speaks.sort_unstable();
    advised.sort_unstable();
    assert_eq!(speaks, advised);
}
