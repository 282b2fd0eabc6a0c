//! Lists: the rows of a list as options, and its columns as facts of the choice among them.

use lentic::engine::{File, Interval, Set, Verdict};

use super::{Known, files, load, oven, oven_with};

#[test]
fn a_column_becomes_a_fact_of_the_choice() {
    let known = Known::new(oven()).give("wood-kind", "oak");
    assert_eq!(known.shown("wood-smoke"), "little");
    assert_eq!(known.truth("wood-splits"), Some(false));
    assert_eq!(known.shown("wood-charge"), "9000 g");
    assert_eq!(known.shown("wood-glow-from"), "374 °F");
    assert_eq!(known.shown("wood-glow-to"), "500 °F");
}

#[test]
fn numbers_stand_in_the_unit_of_their_column_and_are_kept_in_the_main_one() {
    let run = Known::new(oven()).give("wood-kind", "beech");
    let run = run.run();
    assert_eq!(
        run.values("wood-charge"),
        Some(Set::Number(Interval::point(8.0)))
    );
    let Some(Set::Number(glow)) = run.values("wood-glow-from") else {
        panic!("no number")
    };
    assert!(
        (glow.lo - 180.0).abs() < 1e-9 && glow.is_point(),
        "{glow:?}"
    );
}

#[test]
fn a_name_for_several_rows_may_be_any_of_them() {
    let known = Known::new(oven()).give("wood-kind", "hardwood");
    assert_eq!(known.shown("wood-smoke"), "little", "both agree");
    assert_eq!(known.truth("wood-splits"), None, "one does, one does not");
    let Some(Set::Number(charge)) = known.run().values("wood-charge") else {
        panic!("no number")
    };
    assert_eq!((charge.lo, charge.hi), (8.0, 9.0));
    let both = Known::new(oven()).give("wood-kind", "beech or oak");
    for fact in [
        "wood-smoke",
        "wood-splits",
        "wood-charge",
        "wood-glow-from",
        "wood-glow-to",
    ] {
        assert_eq!(known.run().values(fact), both.run().values(fact), "{fact}");
    }
}

#[test]
fn what_a_list_does_not_know_stays_open_and_is_named() {
    let known = Known::new(oven()).give("wood-kind", "windfall");
    assert_eq!(
        known.run().values("wood-charge"),
        Some(Set::Number(Interval::EVERYTHING))
    );
    assert_eq!(known.truth("wood-splits"), None);
    let book = oven_with(
        "chapter More\n\nrule light-charge\n  when      wood-charge < 10 kg\n  advise    turn-up\n  urgency   note\n  if open   ask
  finding   A charge of {wood-charge} will do.\n  advice    A.\n  because   B.\n  source    trade\n  holds     wood-kind oak
  fails     wood-kind pine\n  asks      wood-kind windfall  wants wood-charge\n  asks      smoke yes  wants wood-kind\n",
    );
    let report = book.run_cases();
    assert!(report.failed.is_empty(), "{:?}", report.failed);
    let known = Known::new(&book).give("wood-kind", "oak");
    assert_eq!(known.rule("light-charge"), Verdict::Holds);
    let (_, point, _) = known.run().rule_point("light-charge").expect("a rule");
    assert_eq!(point.finding, "A charge of 9000 g will do.");
}

#[test]
fn only_the_columns_that_are_asked_for_become_facts() {
    assert!(oven().knows("kindling-splits") && oven().knows("kindling-glow-from"));
    assert!(!oven().knows("kindling-glow-to") && !oven().knows("kindling-charge"));
    assert!(!oven().knows("wood-notes"), "a text is no fact");
}

#[test]
fn a_row_can_be_read_with_its_sources() {
    let beech = oven().listing("wood-kind", "beech").expect("a row");
    let cells: Vec<(&str, &str)> = beech
        .cells
        .iter()
        .map(|cell| (cell.name.as_str(), cell.shown.as_str()))
        .collect();
    let told = [
        ("smoke", "little"),
        ("splits", "yes"),
        ("charge", "8000 g"),
        ("glow", "356 to 482 °F"),
        ("notes", "seasoned 2 years"),
    ];
    assert_eq!((beech.label.as_str(), cells), ("Beech", told.to_vec()));
    assert_eq!(beech.sources[0].place, "usual habit");
    let pine = oven().listing("wood-kind", "pine").expect("a row");
    assert_eq!(pine.sources.len(), 2);
    // Where rows differ, or nothing is known, nothing is told.
    let either = oven().listing("wood-kind", "hardwood").expect("a row");
    let names: Vec<&str> = either.cells.iter().map(|cell| cell.name.as_str()).collect();
    assert_eq!(names, ["smoke"]);
    assert_eq!(oven().listing("flour-kind", "rye"), None);
    assert_eq!(oven().listing("wood-kind", "larch"), None);
}

#[test]
fn the_sources_of_a_listed_fact_are_those_of_its_row() {
    let known = Known::new(oven()).give("wood-kind", "pine");
    let worked = known.run().fact("wood-charge").expect("a fact");
    let cited: Vec<&str> = worked
        .sources
        .iter()
        .map(|source| source.id.as_str())
        .collect();
    assert_eq!(cited, ["trade", "nist-811"]);
    assert_eq!(worked.inputs[0].shown, "Pine");
}

#[test]
fn an_overlay_adds_rows_and_puts_others_in_their_place() {
    let overlay =
        "overlay guild\n  format  lentic-rules/1\n  title   The guild's woods\n\nrows woods
  reason   We measured them.
  replace  oak    Oak of the hill  much    yes  7000  374 to 500  dry  trade
  row      larch  Larch            little  yes  6000  300 to 400  -    trade\n";
    let mut files = files();
    files.push(File::new("guild.rules", overlay));
    let book = load(files);
    let known = |wood| Known::new(&book).give("wood-kind", wood);
    assert_eq!(known("oak").shown("wood-charge"), "7000 g");
    assert_eq!(known("larch").shown("wood-charge"), "6000 g");
    assert_eq!(known("beech").shown("wood-charge"), "8000 g");
    let Some(Set::Number(charge)) = known("hardwood").run().values("wood-charge") else {
        panic!("no number")
    };
    assert_eq!((charge.lo, charge.hi), (7.0, 8.0), "it goes by the new row");
    let told = |option| book.listing("wood-kind", option).expect("a row");
    for option in ["oak", "larch"] {
        let row = told(option);
        assert_eq!(
            (row.by.as_str(), row.reason.as_str()),
            ("The guild's woods", "We measured them.")
        );
    }
    assert_eq!(told("oak").label, "Oak of the hill");
    assert_eq!(told("beech").by, "");
}
