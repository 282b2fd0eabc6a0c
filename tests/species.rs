//! The species of the book against the tables they were taken from, and what fits and what does not.
//!
//! `reference/plants.csv` and `reference/livestock.csv` say themselves where each row comes from: ranges at the level of
//! handbooks, from memory; all else common practice in the trade, but for what is marked as seen. `reference/names.csv` gives
//! the records of the NCBI Taxonomy that were seen for names without one of the GBIF backbone. What must come out for
//! a tank is worked out here once more from those tables. Journals, people and tanks are invented.
#![cfg(not(target_arch = "wasm32"))]

#[allow(dead_code)] // Only rows and their cells are used here.
#[path = "support/reference.rs"]
mod reference;
mod support;

use std::collections::{BTreeMap, BTreeSet};

use lentic::advice::{self, BUILT_IN, Fit, Wish};
use lentic::engine::{Facts, Given, Listing, Set, Support};
use reference::Row;
use support::{book, day, journal};

/// How well each plant bore ammonia in the editions before there were lists of species.
const PLANTS_BEFORE: [(&str, &str); 3] = [
    (
        "tolerant",
        "egeria elodea guppy-grass frogbit hornwort milfoil cabomba ambulia hygrophila ludwigia \
         round-leaf-rotala bacopa alternanthera cardinal-flower star-grass pearlweed pennywort \
         tiger-lotus aponogeton water-sprite floating-fern water-lettuce duckweed red-root-floater",
    ),
    (
        "sensitive",
        "anubias java-fern water-fern crystalwort moss-ball cryptocoryne lagenandra amazon-sword \
         chain-sword sagittaria vallisneria blyxa staurogyne red-rotala ammannia water-hedge \
         pogostemon dwarf-baby-tears carpet-micranthemum glossostigma spikerush micro-sword \
         water-clover onion-plant other",
    ),
    (
        "very-sensitive",
        "bucephalandra moss liverwort bladderwort pipewort tonina",
    ),
];

/// What each animal was in them.
const ANIMALS_BEFORE: [(&str, &str); 3] = [
    (
        "shrimp",
        "neocaridina amano-shrimp bee-shrimp bamboo-shrimp other-shrimp",
    ),
    (
        "snail",
        "nerite ramshorn bladder-snail trumpet-snail mystery-snail other-snail",
    ),
    (
        "fish",
        "otocinclus bristlenose algae-eater hillstream-loach neon-tetra cardinal-tetra ember-tetra \
         rummy-nose-tetra hatchetfish harlequin-rasbora dwarf-rasbora danio white-cloud-minnow \
         cherry-barb corydoras kuhli-loach fighting-fish gourami guppy platy dwarf-cichlid \
         angelfish rainbowfish goldfish other-fish",
    ),
];

/// What the book tells of a species, by the columns of its list.
struct Told {
    option: String,
    listing: Listing,
}

impl Told {
    fn cell(&self, column: &str) -> &str {
        let cell = self.listing.cells.iter().find(|cell| cell.name == column);
        cell.map_or("", |cell| &cell.shown)
    }
}

/// Every option of a fact that has a scientific name of its own.
fn species(fact: &str) -> BTreeMap<String, Told> {
    let info = book()
        .facts()
        .into_iter()
        .find(|info| info.name == fact)
        .expect("a fact");
    let told = info.options.into_iter().map(|option| Told {
        listing: book().listing(fact, &option.name).expect("a row"),
        option: option.name,
    });
    let named = told.filter(|told| !told.cell("name").is_empty());
    named
        .map(|told| (told.cell("name").to_owned(), told))
        .collect()
}

/// A fact that is looked up by a species, for one of them.
#[track_caller]
fn looked_up(fact: &str, by: &str, option: &str) -> Set {
    let mut facts = Facts::default();
    let entered = book().enter(by, option).expect("an option");
    facts.give(book(), by, Given::new(entered.set));
    book().look_up(fact, &facts).expect("a fact")
}

#[track_caller]
fn is_option(fact: &str, by: &str, option: &str, wanted: &str) {
    let wanted_set = book()
        .enter(fact, wanted)
        .unwrap_or_else(|error| panic!("{error}"))
        .set;
    assert_eq!(
        looked_up(fact, by, option),
        wanted_set,
        "{option}: {fact} is not {wanted}"
    );
}

/// Words that the book writes with hyphens or spaces.
fn worded(text: &str, by: &str) -> String {
    text.replace('_', by)
}

#[track_caller]
fn bands(told: &Told, row: &Row) {
    for (column, low, high, unit) in [
        ("temperature", "temp_min_c", "temp_max_c", " °C"),
        ("ph", "ph_min", "ph_max", " pH"),
        ("gh", "gh_min_deg", "gh_max_deg", " °dH"),
    ] {
        let wanted = format!("{} to {}{unit}", row.text(low), row.text(high));
        assert_eq!(told.cell(column), wanted, "{}: {column}", told.option);
    }
}

/// Notes and hints on the law are shortened here and there; what is left of a text must be in the table.
fn words(text: &str) -> BTreeSet<String> {
    let plain = |c: char| !c.is_alphanumeric();
    text.split(plain)
        .filter(|word| word.len() > 2)
        .map(str::to_lowercase)
        .collect()
}

/// Rows of the book whose notes say more than those of the table: "as above" and "trade names rarely match species" of
/// the table are followed by what stands above them.
const NOTES_IN_FULL: [&str; 2] = ["Bucephalandra pygmaea", "Bucephalandra catherineae"];

/// Rows of whose notes the book makes a sentence, each with the words that it adds; the figures are those of the table.
const SENTENCES: [(&str, &str); 2] = [
    ("Sewellia lineolata", "at least mg/L of"),
    ("Carassius auratus", "listed only say that does not suit"),
];

/// The figures in a text, in order.
fn figures(text: &str) -> Vec<&str> {
    let figures = text.split(|c: char| !c.is_ascii_digit() && c != '.');
    figures
        .filter(|figure| figure.len() > 1 || figure.chars().any(char::is_numeric))
        .collect()
}

#[track_caller]
fn texts(told: &Told, row: &Row) {
    let name = told.cell("name");
    if !NOTES_IN_FULL.contains(&name) {
        let added = SENTENCES.iter().find(|(own, _)| *own == name);
        let added = words(added.map_or("", |(_, added)| added));
        let extra: BTreeSet<String> = words(told.cell("notes"))
            .difference(&words(row.text("notes")))
            .cloned()
            .collect();
        assert_eq!(extra, added, "{name}: words that the table has not");
        if !added.is_empty() {
            assert_eq!(
                figures(told.cell("notes")),
                figures(row.text("notes")),
                "{name}: figures"
            );
        }
        assert_eq!(
            told.cell("notes").is_empty(),
            row.text("notes").is_empty(),
            "{name}: notes"
        );
    }
    assert_eq!(
        told.cell("law").is_empty(),
        row.text("legal_flag").is_empty(),
        "{name}: law"
    );
    // "as above" stands below a line on permits for snails.
    let flag = row
        .text("legal_flag")
        .replace("as above", "import and transport permits for snails (US)");
    let extra: Vec<String> = words(told.cell("law"))
        .difference(&words(&flag))
        .cloned()
        .collect();
    assert!(
        extra.is_empty() || extra == ["and"],
        "{name}: law has {extra:?}"
    );
    let flagged = if row.text("legal_flag").is_empty() {
        "no"
    } else {
        "yes"
    };
    assert_eq!(told.cell("flag"), flagged, "{name}");
}

/// Names of which a record of the GBIF backbone was seen for this book, and not when the table was drawn up.
const SEEN_SINCE: [&str; 5] = [
    "Paracheirodon axelrodi",
    "Boraras brigittae",
    "Puntigrus tetrazona",
    "Hygrophila corymbosa",
    "Ceratopteris thalictroides",
];

#[track_caller]
fn checked(told: &Told, row: &Row) {
    let name = told.cell("name");
    let seen =
        row.text("name_status") == "GBIF record seen: accepted" || SEEN_SINCE.contains(&name);
    match told.cell("checked").strip_prefix("GBIF ") {
        Some(key) => {
            assert!(seen, "{name}: no record of it was seen");
            let key = key.split(',').next().unwrap_or_default();
            assert!(
                key.len() >= 7 && key.chars().all(|c| c.is_ascii_digit()),
                "{name}: {key}"
            );
        }
        None => {
            assert!(!seen, "{name}: {}", told.cell("checked"));
            assert_eq!(told.cell("checked"), second_record(name), "{name}");
        }
    }
}

/// What a row says of its name where no record of the GBIF backbone was seen: that of `reference/names.csv`, if it has one.
fn second_record(name: &str) -> String {
    let rows = reference::rows("names");
    let found = rows.iter().find(|row| row.text("scientific_name") == name);
    let Some(row) = found else {
        return "unchecked".to_owned();
    };
    let (record, key) = (row.text("name_of_record"), row.text("tax_id"));
    match record == name {
        true => format!("NCBI {key}, current name"),
        false => format!("NCBI {key}, as {record}"),
    }
}

/// Kinds of support that the table names are those of the row's sources.
#[track_caller]
fn supported(told: &Told, row: &Row) {
    let provenance = row.text("provenance");
    let has = |support: Support| {
        told.listing
            .sources
            .iter()
            .any(|source| source.support == support)
    };
    assert_eq!(
        has(Support::Published),
        provenance.contains("SEEN"),
        "{}: {provenance}",
        told.option
    );
    assert_eq!(
        has(Support::FromMemory),
        provenance.contains("MEM"),
        "{}: {provenance}",
        told.option
    );
    assert!(
        has(Support::CommonPractice),
        "{}: {provenance}",
        told.option
    );
}

#[test]
fn every_plant_of_the_table_is_in_the_book_with_its_values() {
    let (book, rows) = (species("plant-species"), reference::rows("plants"));
    assert_eq!((book.len(), rows.len()), (81, 81));
    for row in &rows {
        let told = book
            .get(row.text("scientific_name"))
            .unwrap_or_else(|| panic!("no {}", row.text("scientific_name")));
        bands(told, row);
        texts(told, row);
        checked(told, row);
        supported(told, row);
        for (column, cell, by) in [
            ("family", "family", " "),
            ("placement", "place", " "),
            ("difficulty", "difficulty", " "),
            ("light", "light", " "),
            ("co2", "co2", " "),
            ("growth", "growth", " "),
            ("ammonia_class", "ammonia", " "),
            ("melt_risk", "melt", " "),
            ("anchoring", "anchor", " "),
        ] {
            assert_eq!(
                told.cell(cell),
                worded(row.text(column), by),
                "{}: {cell}",
                told.option
            );
        }
        // A doubt of the table is a value left open.
        let carbon = match row.text("carbon_source") {
            "co2_only" => "co2",
            "co2_only?" | "bicarbonate?" => "co2 or bicarbonate",
            "bicarbonate" => "bicarbonate",
            "air" | "air_and_co2" => "air",
            other => panic!("{other}"),
        };
        is_option("plant-carbon", "plant-species", &told.option, carbon);
        let liquid = match row.text("liquid_carbon_sensitive") {
            "yes?" => "",
            told => told,
        };
        assert_eq!(told.cell("liquid-carbon"), liquid, "{}", told.option);
        is_option(
            "plant-ammonia",
            "plant-species",
            &told.option,
            &worded(row.text("ammonia_class"), "-"),
        );
    }
}

#[test]
fn every_animal_of_the_table_is_in_the_book_with_its_values() {
    let (book, rows) = (species("animal-species"), reference::rows("livestock"));
    assert_eq!((book.len(), rows.len()), (56, 56));
    for row in &rows {
        let told = book
            .get(row.text("scientific_name"))
            .unwrap_or_else(|| panic!("no {}", row.text("scientific_name")));
        bands(told, row);
        texts(told, row);
        checked(told, row);
        supported(told, row);
        for (column, cell, unit) in [
            ("group", "kind", ""),
            ("role", "role", ""),
            ("adult_size_cm", "size", " cm"),
            ("min_group", "group", ""),
            ("min_net_volume_l", "volume", " L"),
            ("min_tank_length_cm", "length", " cm"),
            ("bioload_class", "waste", ""),
            ("copper_sensitivity", "copper", ""),
            ("co2_sensitivity", "co2", ""),
            ("plant_safety", "plants", ""),
            ("shrimp_safe", "shrimp", ""),
            ("jumps", "jumps", ""),
            ("earliest_stage", "stage", ""),
        ] {
            // `any` means in the book that it is not known.
            let cell_text = worded(row.text(column), "-").replace("any", "any-time");
            // An option is shown by its label, its name with spaces; the role alone is a text.
            let cell_text = match cell {
                "role" => cell_text,
                _ => cell_text.replace('-', " "),
            };
            let wanted = format!("{cell_text}{unit}");
            assert_eq!(told.cell(cell), wanted, "{}: {cell}", told.option);
        }
        assert_eq!(
            told.cell("nitrite"),
            worded(row.text("nitrite_sensitivity"), " "),
            "{}",
            told.option
        );
    }
}

#[test]
fn a_journal_of_an_earlier_edition_means_what_it_meant() {
    for (class, plants) in PLANTS_BEFORE {
        for plant in plants.split_whitespace() {
            is_option("plant-ammonia", "plant-species", plant, class);
        }
    }
    for (kind, animals) in ANIMALS_BEFORE {
        for animal in animals.split_whitespace() {
            is_option("animal-kind", "animal-species", animal, kind);
        }
    }
}

// ---- What fits

/// A tank of 54 L that has held water for `days`, at these readings.
fn tank(days: u32, temperature: &str, ph: &str, gh: &str, more: &str) -> String {
    let filled = day("2026-06-30").days() - i32::try_from(days).expect("few days");
    let filled = lentic::journal::Date::from_days(filled).expect("a day");
    format!(
        r#"{{ "format": "lentic-journal/1", "name": "Stair landing, Okonkwo",
  "tank": {{ "start": "dark", "bed": "inert", "net-volume": "54 L", "glass-length": "60 cm", "lid": "no" }},
  "events": [ {{ "on": "{filled}", "event": "filled" }},
    {{ "on": "2026-06-30", "event": "read", "values": {{ "temperature": "{temperature}", "ph": "{ph}", "gh": "{gh}" }} }}{more} ] }}"#
    )
}

#[track_caller]
fn fit(text: &str, with: &[(&str, u32)]) -> Fit {
    let with: Vec<Wish> = with
        .iter()
        .map(|(species, count)| Wish {
            species: (*species).to_owned(),
            count: *count,
        })
        .collect();
    advice::fit(book(), &journal(text), day("2026-06-30"), &with)
        .unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// The rules that clash for a species and the tank.
#[track_caller]
fn alone<'a>(fit: &'a Fit, species: &str) -> BTreeSet<&'a str> {
    let one = fit.species.iter().find(|one| one.species == species);
    let one = one.unwrap_or_else(|| panic!("no {species}"));
    one.clashes
        .iter()
        .map(|point| point.rule.as_str())
        .collect()
}

/// The rules that clash for two species, in either order.
fn together<'a>(fit: &'a Fit, a: &str, b: &str) -> BTreeSet<&'a str> {
    let of = |pair: &&advice::PairFit| {
        [(a, b), (b, a)].contains(&(pair.first.as_str(), pair.second.as_str()))
    };
    let pair = fit.pairs.iter().find(of).into_iter();
    pair.flat_map(|pair| &pair.clashes)
        .map(|point| point.rule.as_str())
        .collect()
}

fn set<const N: usize>(rules: [&str; N]) -> BTreeSet<&str> {
    rules.into()
}

#[test]
fn a_fighting_fish_is_not_put_with_shrimp() {
    let with_shrimp = r#", { "on": "2026-06-20", "event": "added", "animals": [ { "species": "neocaridina", "count": 10 } ] }"#;
    let fit = fit(
        &tank(60, "25 °C", "7.2", "8 °dH", with_shrimp),
        &[("fighting-fish", 1)],
    );
    assert_eq!(alone(&fit, "fighting-fish"), set(["leaves-an-open-tank"]));
    assert_eq!(
        together(&fit, "fighting-fish", "neocaridina"),
        set(["eats-shrimp"])
    );
    assert_eq!(fit.steps.len(), 1);
    assert!(fit.steps[0].clashes, "{:?}", fit.steps);
    let shrimp = &fit.species[0];
    assert_eq!(
        (shrimp.in_tank, shrimp.count, shrimp.species.as_str()),
        (10, 10, "neocaridina")
    );
}

#[test]
fn fish_of_soft_water_are_told_about_hard_water() {
    let fit = fit(
        &tank(60, "25 °C", "7.9", "18 °dH", ""),
        &[("cardinal-tetra", 10), ("poecilia-reticulata", 3)],
    );
    let rules = alone(&fit, "cardinal-tetra");
    assert_eq!(
        rules,
        set([
            "animal-and-gh-of-the-tank",
            "animal-and-ph-of-the-tank",
            "too-little-water"
        ])
    );
    assert_eq!(
        alone(&fit, "poecilia-reticulata"),
        set(["leaves-an-open-tank"])
    );
    // Guppies need GH 8 and pH 7.0 at least; cardinals live at up to 10 and 7.0.
    assert_eq!(
        together(&fit, "cardinal-tetra", "poecilia-reticulata"),
        set(["no-ph-for-two-animals"])
    );
}

/// The material's own example: bee shrimp, to GH 7, and guppies, from GH 8.
#[test]
fn bee_shrimp_and_guppies_share_no_water() {
    let fit = fit(
        &tank(90, "23 °C", "6.8", "6 °dH", ""),
        &[("bee-shrimp", 10), ("poecilia-reticulata", 3)],
    );
    let rules = together(&fit, "bee-shrimp", "poecilia-reticulata");
    assert_eq!(
        rules,
        set([
            "eats-young-shrimp",
            "no-gh-for-two-animals",
            "no-ph-for-two-animals"
        ])
    );
}

#[test]
fn half_a_group_is_no_group() {
    let five = fit(&tank(60, "24 °C", "7", "8 °dH", ""), &[("neon-tetra", 5)]);
    assert_eq!(alone(&five, "neon-tetra"), set(["group-too-small"]));
    let five_more = r#", { "on": "2026-06-01", "event": "added", "animals": [ { "species": "neon-tetra", "count": 5 } ] }"#;
    let ten = fit(
        &tank(60, "24 °C", "7", "8 °dH", five_more),
        &[("neon-tetra", 5)],
    );
    assert_eq!(alone(&ten, "neon-tetra"), set([]));
    assert_eq!(
        ten.steps.iter().map(|step| step.count).sum::<u32>(),
        5,
        "those in the tank do not come again"
    );
}

#[test]
fn a_goldfish_is_not_for_this_tank() {
    let fit = fit(
        &tank(60, "24 °C", "7", "8 °dH", ""),
        &[("goldfish", 2), ("alternanthera", 1), ("java-fern", 1)],
    );
    assert_eq!(fit.never, ["Goldfish"]);
    assert!(fit.steps.is_empty());
    assert!(alone(&fit, "goldfish").contains("not-for-this-kind-of-tank"));
    assert_eq!(
        together(&fit, "goldfish", "alternanthera"),
        set(["eats-plant"])
    );
    assert_eq!(together(&fit, "goldfish", "java-fern"), set([]));
}

#[test]
fn angelfish_swallow_neon_tetras_and_a_catfish_of_their_size_does_not() {
    let fit = fit(
        &tank(60, "26 °C", "7", "8 °dH", ""),
        &[
            ("angelfish", 4),
            ("neon-tetra", 10),
            ("ember-tetra", 10),
            ("bristlenose", 1),
        ],
    );
    assert_eq!(
        together(&fit, "angelfish", "neon-tetra"),
        set(["swallows-small-fish"])
    );
    assert_eq!(
        together(&fit, "angelfish", "ember-tetra"),
        set(["swallows-small-fish"])
    );
    assert_eq!(together(&fit, "bristlenose", "ember-tetra"), set([]));
}

#[test]
fn what_is_not_measured_is_asked_for_and_nothing_is_guessed() {
    let text = r#"{ "format": "lentic-journal/1", "tank": {}, "events": [] }"#;
    let fit = fit(text, &[("neon-tetra", 10), ("rotala-macrandra", 1)]);
    assert!(
        fit.species.iter().all(|one| one.clashes.is_empty()),
        "{fit:#?}"
    );
    let wanted = |species: &str| -> BTreeSet<&str> {
        let one = fit
            .species
            .iter()
            .find(|one| one.species == species)
            .expect("a species");
        one.unsure
            .iter()
            .flat_map(|unsure| &unsure.wants)
            .map(|wants| wants.fact.as_str())
            .collect()
    };
    for fact in [
        "temperature",
        "ph",
        "gh",
        "net-volume",
        "glass-length",
        "filled-on",
        "additives",
    ] {
        assert!(
            wanted("neon-tetra").contains(fact),
            "{fact}: {:?}",
            wanted("neon-tetra")
        );
    }
    for fact in ["temperature", "ph", "gh", "co2-on", "light-strength"] {
        assert!(wanted("rotala-macrandra").contains(fact), "{fact}");
    }
}

#[test]
fn animals_come_crew_first_then_peaceful_groups_a_third_at_a_time() {
    let wanted = [
        ("fighting-fish", 1),
        ("neon-tetra", 12),
        ("corydoras-habrosus", 8),
        ("otocinclus", 6),
        ("neocaridina", 10),
        ("nerite", 2),
    ];
    let fit = fit(&tank(60, "25 °C", "7.2", "8 °dH", ""), &wanted);
    let steps: Vec<(&str, u32, &str)> = fit
        .steps
        .iter()
        .map(|step| (step.species.as_str(), step.count, step.gate.as_str()))
        .collect();
    // Waste of the fish: 12 + 8 + 6 + 2 = 28, so 9.3 at once.
    let order = [
        ("neocaridina", 10, "add-crew"),
        ("nerite", 2, "add-crew"),
        ("neon-tetra", 6, "add-fish"),
        ("neon-tetra", 6, "add-fish"),
        ("corydoras-habrosus", 8, "add-fish"),
        ("otocinclus", 6, "add-fish"),
        ("fighting-fish", 1, "add-fish"),
    ];
    assert_eq!(steps, order);
    assert_eq!(fit.steps[0].days_after, None);
    assert!(
        fit.steps[1..]
            .iter()
            .all(|step| step.days_after == Some(7.0))
    );
    let gates: BTreeSet<&str> = fit.gates.iter().map(|gate| gate.gate.as_str()).collect();
    assert_eq!(gates, set(["add-crew", "add-fish"]));
}

#[test]
fn twenty_four_tetras_come_in_three_batches_of_eight() {
    let fit = fit(&tank(60, "25 °C", "7", "8 °dH", ""), &[("neon-tetra", 24)]);
    assert_eq!(
        fit.steps.iter().map(|step| step.count).collect::<Vec<_>>(),
        [8, 8, 8]
    );
}

#[test]
fn a_species_that_the_book_does_not_know_is_told_with_its_nearest() {
    let wish = [Wish {
        species: "neon-tetr".into(),
        count: 1,
    }];
    let mistakes = advice::fit(
        book(),
        &journal(&tank(60, "25 °C", "7", "8 °dH", "")),
        day("2026-06-30"),
        &wish,
    )
    .expect_err("no such species");
    assert_eq!(mistakes[0].place, "with[0]");
    assert_eq!(
        mistakes[0].hint.as_deref(),
        Some("did you mean `neon-tetra`?")
    );
}

/// Daily advice matches nothing.
#[test]
fn daily_advice_says_nothing_of_what_fits() {
    let animals = r#", { "on": "2026-06-20", "event": "added", "animals": [ { "species": "neocaridina", "count": 1 }, { "species": "fighting-fish", "count": 2 } ] }"#;
    let tank = tank(9, "31 °C", "9", "40 °dH", animals);
    let answer = advice::advise(book(), &journal(&tank), day("2026-06-30")).expect("readable");
    let about = |action: &str| action == "choose-species";
    assert!(answer.advice.iter().all(|point| !about(&point.action)));
    assert!(answer.open.iter().all(|point| !about(&point.action)));
    assert!(alone(&fit(&tank, &[]), "fighting-fish").contains("one-only"));
}

// ---- What must hold for all of them

/// Every animal of the table with its row and its name in the book.
fn animals() -> Vec<(Row, String)> {
    let told = species("animal-species");
    let rows = reference::rows("livestock").into_iter();
    rows.map(|row| {
        let option = told[row.text("scientific_name")].option.clone();
        (row, option)
    })
    .collect()
}

#[test]
fn every_animal_clashes_with_a_tank_where_its_row_says_so() {
    let animals = animals();
    let wishes: Vec<(&str, u32)> = animals
        .iter()
        .map(|(_, option)| (option.as_str(), 6))
        .collect();
    let fit = fit(&tank(40, "25 °C", "7", "10 °dH", ""), &wishes);
    for (row, option) in &animals {
        let number = |column: &str| row.number(column);
        // A reading may be off: 0.5 °C, 0.1 of pH, 0.5 °dH.
        let outside = |at: f64, off: f64, low: f64, high: f64| at + off < low || at - off > high;
        let wanted = [
            (
                "animal-and-temperature-of-the-tank",
                outside(25.0, 0.5, number("temp_min_c"), number("temp_max_c")),
            ),
            (
                "animal-and-ph-of-the-tank",
                outside(7.0, 0.1, number("ph_min"), number("ph_max")),
            ),
            (
                "animal-and-gh-of-the-tank",
                outside(10.0, 0.5, number("gh_min_deg"), number("gh_max_deg")),
            ),
            ("group-too-small", 6.0 < number("min_group")),
            ("one-only", row.text("scientific_name") == "Betta splendens"),
            ("too-little-water", 54.0 < number("min_net_volume_l")),
            ("tank-too-short", 60.0 < number("min_tank_length_cm")),
            ("leaves-an-open-tank", row.text("jumps") != "no"),
            (
                "tank-younger-than-eight-weeks",
                row.text("earliest_stage") == "mature_8_weeks",
            ),
            (
                "not-for-this-kind-of-tank",
                row.text("earliest_stage") == "not_suited",
            ),
            (
                "soft-leaves-are-nibbled",
                ["nibbles_soft", "mostly_safe"].contains(&row.text("plant_safety")),
            ),
            ("animal-on-some-list", !row.text("legal_flag").is_empty()),
        ];
        let wanted: BTreeSet<&str> = wanted
            .into_iter()
            .filter(|(_, holds)| *holds)
            .map(|(rule, _)| rule)
            .collect();
        assert_eq!(alone(&fit, option), wanted, "{option}");
    }
}

#[test]
fn every_two_animals_clash_where_their_rows_say_so() {
    let animals = animals();
    let wishes: Vec<(&str, u32)> = animals
        .iter()
        .map(|(_, option)| (option.as_str(), 6))
        .collect();
    let fit = fit(&tank(40, "25 °C", "7", "10 °dH", ""), &wishes);
    assert_eq!(fit.pairs_looked_at, 56 * 55 / 2);
    let narrow = |a: &Row, b: &Row, low: &str, high: &str, least: f64| {
        let one = a.number(high) - b.number(low);
        let other = b.number(high) - a.number(low);
        one.min(other) < least - 1e-9
    };
    let mut clashes = 0;
    for (at, (a, name)) in animals.iter().enumerate() {
        for (b, other) in &animals[at + 1..] {
            let ways = [(a, b), (b, a)];
            let any = |test: &dyn Fn(&Row, &Row) -> bool| ways.iter().any(|(a, b)| test(a, b));
            let takes = |safe: &'static str| {
                move |a: &Row, b: &Row| a.text("shrimp_safe") == safe && b.text("group") == "shrimp"
            };
            let swallows = |a: &Row, b: &Row| {
                let (long, short) = (a.number("adult_size_cm"), b.number("adult_size_cm"));
                a.text("shrimp_safe") == "no"
                    && b.text("group") == "fish"
                    && long > 10.0
                    && long >= 4.0 * short - 1e-9
            };
            let wanted = [
                (
                    "no-temperature-for-two-animals",
                    narrow(a, b, "temp_min_c", "temp_max_c", 1.0),
                ),
                (
                    "no-ph-for-two-animals",
                    narrow(a, b, "ph_min", "ph_max", 0.5),
                ),
                (
                    "no-gh-for-two-animals",
                    narrow(a, b, "gh_min_deg", "gh_max_deg", 2.0),
                ),
                ("eats-shrimp", any(&takes("no"))),
                ("eats-young-shrimp", any(&takes("adults_only"))),
                ("swallows-small-fish", any(&swallows)),
            ];
            let wanted: BTreeSet<&str> = wanted
                .into_iter()
                .filter(|(_, holds)| *holds)
                .map(|(rule, _)| rule)
                .collect();
            let mut found = together(&fit, name, other);
            found.remove("nips-long-fins");
            assert_eq!(found, wanted, "{name} and {other}");
            clashes += wanted.len();
        }
    }
    assert!(clashes > 300, "only {clashes}");
}

/// The book says that no rule on the warmth of two plants could speak.
#[test]
fn all_plants_of_the_table_share_a_degree_of_warmth() {
    let rows = reference::rows("plants");
    let coldest = rows
        .iter()
        .map(|row| row.number("temp_max_c"))
        .fold(f64::INFINITY, f64::min);
    let warmest = rows
        .iter()
        .map(|row| row.number("temp_min_c"))
        .fold(0.0, f64::max);
    assert!(coldest - warmest >= 1.0, "{warmest} to {coldest}");
}

#[test]
fn what_is_said_does_not_hang_on_the_order_of_the_list() {
    let wanted = [
        ("fighting-fish", 2),
        ("neon-tetra", 10),
        ("java-fern", 1),
        ("gourami", 2),
        ("bee-shrimp", 10),
        ("tonina", 1),
        ("nerite", 3),
        ("puntigrus-tetrazona", 8),
    ];
    let tank = tank(60, "25 °C", "7", "8 °dH", "");
    let first = serde_json::to_string(&fit(&tank, &wanted)).expect("plain data");
    let mut turned = wanted;
    for _ in 0..wanted.len() {
        turned.rotate_left(1);
        assert_eq!(
            serde_json::to_string(&fit(&tank, &turned)).expect("plain data"),
            first
        );
        let backwards: Vec<(&str, u32)> = turned.iter().rev().copied().collect();
        assert_eq!(
            serde_json::to_string(&fit(&tank, &backwards)).expect("plain data"),
            first
        );
    }
}

/// Less known can never be more clash: what clashes at 20 to 28 °C clashes at every temperature within.
#[test]
fn a_wider_reading_makes_no_clash() {
    let animals = animals();
    let wishes: Vec<(&str, u32)> = animals
        .iter()
        .map(|(_, option)| (option.as_str(), 6))
        .collect();
    let wide = fit(
        &tank(40, "20 to 28 °C", "6 to 8", "4 to 16 °dH", ""),
        &wishes,
    );
    for (temperature, ph, gh) in [
        ("20 °C", "6", "4 °dH"),
        ("24 °C", "7", "9 °dH"),
        ("28 °C", "8", "16 °dH"),
        ("22 to 25 °C", "6.5 to 7", "8 to 10 °dH"),
    ] {
        let narrow = fit(&tank(40, temperature, ph, gh, ""), &wishes);
        for (_, option) in &animals {
            let (less, more) = (alone(&wide, option), alone(&narrow, option));
            assert!(
                less.is_subset(&more),
                "{option} at {temperature}: {less:?} and {more:?}"
            );
        }
    }
}

/// Who names only the kind is told only what holds for every species of it.
#[test]
fn what_clashes_for_a_kind_clashes_for_each_of_its_species() {
    let mut kinds = 0;
    let tank = tank(40, "30 °C", "8.4", "24 °dH", "");
    for (_, text) in BUILT_IN {
        for line in text
            .lines()
            .filter_map(|line| line.strip_prefix("  either  "))
        {
            let parts: Vec<&str> = line.split("  ").collect();
            let [kind, _, members] = parts.as_slice() else {
                panic!("{line}")
            };
            kinds += 1;
            let whole = fit(
                &tank,
                &[
                    (kind, 2),
                    ("neocaridina", 10),
                    ("ember-tetra", 10),
                    ("tonina", 1),
                ],
            );
            for member in members.split(", ") {
                let one = fit(
                    &tank,
                    &[
                        (member, 2),
                        ("neocaridina", 10),
                        ("ember-tetra", 10),
                        ("tonina", 1),
                    ],
                );
                assert!(
                    alone(&whole, kind).is_subset(&alone(&one, member)),
                    "{kind} and {member}"
                );
                for other in ["neocaridina", "ember-tetra", "tonina"] {
                    let (less, more) =
                        (together(&whole, kind, other), together(&one, member, other));
                    assert!(less.is_subset(&more), "{kind} and {member} with {other}");
                }
            }
        }
    }
    assert_eq!(kinds, 24);
}
