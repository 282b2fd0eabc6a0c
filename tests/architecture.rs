//! What the house promises about itself, read from its sources.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use lentic::advice;
use lentic::engine::Book;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn book() -> Book {
    advice::built_in().unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

/// Files below a folder whose names end so, with their paths from the top; what is built or fetched is left out.
fn files(folder: &str, endings: &[&str]) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut open = vec![root().join(folder)];
    while let Some(path) = open.pop() {
        let name = path.file_name().unwrap().to_str().unwrap();
        if path.is_dir() && !["pkg", "node_modules", "target"].contains(&name) {
            open.extend(
                fs::read_dir(&path)
                    .unwrap()
                    .map(|entry| entry.unwrap().path()),
            );
        } else if endings.iter().any(|ending| name.ends_with(ending)) && path.is_file() {
            let place = path
                .strip_prefix(root())
                .unwrap()
                .to_str()
                .unwrap()
                .replace('\\', "/");
            found.push((place, fs::read_to_string(&path).unwrap()));
        }
    }
    found.sort();
    assert!(!found.is_empty(), "nothing in {folder}");
    found
}

/// The library: everything that also runs in a page.
fn library() -> Vec<(String, String)> {
    let native = |place: &str| place.starts_with("src/cli/") || place.starts_with("src/xtask/");
    let mut files = files("src", &[".rs"]);
    files.retain(|(place, _)| !native(place));
    files
}

/// Lines of some files that hold one of some texts.
fn lines_with(files: &[(String, String)], texts: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for (place, text) in files {
        for (line, number) in text.lines().zip(1..) {
            if texts.iter().any(|text| line.contains(text)) {
                found.push(format!("{place}:{number}: {}", line.trim()));
            }
        }
    }
    found
}

#[track_caller]
fn none(found: Vec<String>, why: &str) {
    assert!(found.is_empty(), "{why}\n{}", found.join("\n"));
}

/// Rooms and what they must not use.
const ARROWS: [(&str, &[&str]); 6] = [
    ("src/engine", &["advice", "journal", "water", "web"]),
    ("src/water", &["advice", "engine", "journal", "web"]),
    ("src/journal", &["advice", "engine", "water", "web"]),
    ("src/advice", &["web"]),
    ("src/web.rs", &["water"]),
    ("src/cli", &["water", "web"]),
];

#[test]
fn the_arrows_between_rooms_point_one_way() {
    let all = files("src", &[".rs"]);
    for (room, others) in ARROWS {
        let own: Vec<_> = all
            .iter()
            .filter(|(place, _)| place.starts_with(room))
            .cloned()
            .collect();
        assert!(!own.is_empty(), "no room {room}");
        for other in others {
            let path = |start: &str| format!("{start}::{other}");
            let paths = [path("crate"), path("lentic"), format!("use {other}::")];
            let used = lines_with(&own, &paths.each_ref().map(String::as_str));
            none(used, &format!("{room} must not use {other}"));
            let grouped = own
                .iter()
                .filter(|(_, text)| imports_in_a_group(text, other));
            none(
                grouped.map(|(place, _)| place.clone()).collect(),
                &format!("{room} must not use {other}"),
            );
        }
    }
}

/// Whether a room is named in a `use crate::{...}`.
fn imports_in_a_group(text: &str, room: &str) -> bool {
    let groups = ["crate::{", "lentic::{"]
        .into_iter()
        .flat_map(|start| text.split(start).skip(1));
    groups
        .map(|rest| rest.split(';').next().unwrap_or(""))
        .any(|group| words(group).contains(room))
}

/// Words of a text; those of a name joined by hyphens or underscores count as one.
fn words(text: &str) -> BTreeSet<&str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '_')
        .map(|word| word.trim_matches(['-', '_']))
        .collect()
}

/// Names of facts, actions, rules and gates of the built-in book.
fn names_of_the_book() -> BTreeSet<String> {
    let named = ["fact", "derive", "table", "action", "rule", "gate"];
    let lines = advice::BUILT_IN.iter().flat_map(|(_, text)| text.lines());
    let names: BTreeSet<String> = lines
        .filter_map(|line| line.split_once(' '))
        .filter(|(keyword, _)| named.contains(keyword))
        .map(|(_, name)| name.trim().to_owned())
        .collect();
    assert!(names.len() > 250, "only {} names", names.len());
    names
}

/// Names of the book that stand elsewhere as what they are in English or in another document.
const PLAIN_WORDS: [(&str, &str); 10] = [
    (
        "animals",
        "a kind of entry in a journal, which the page's forms are built from; harm to animals, in the urgencies",
    ),
    ("day", "a span of time; the built-in unit of it"),
    ("know", "a verb"),
    ("signs", "the characters that a condition is made of"),
    (
        "stage",
        "the field of a book's head that names its choice of stages, and of an answer that shows it",
    ),
    ("start", "where a text begins"),
    ("temperature", "the example for a point on a scale"),
    ("test", "what a condition does"),
    (
        "today",
        "the field of a book's head that names its date, and the urgency",
    ),
    ("wait", "a verb"),
];
#[test]
fn neither_the_engine_nor_the_page_knows_a_name_of_the_book() {
    let names = names_of_the_book();
    let plain: Vec<&str> = PLAIN_WORDS.iter().map(|(word, _)| *word).collect();
    let mut used = Vec::new();
    let mut needed = BTreeSet::new();
    for (place, text) in [
        files("src/engine", &[".rs"]),
        files("www", &[".js", ".mjs"]),
    ]
    .concat()
    {
        let words = words(&text);
        for name in &names {
            let snake = name.replace('-', "_");
            if !words.contains(name.as_str()) && !words.contains(snake.as_str()) {
                continue;
            }
            if plain.contains(&name.as_str()) {
                needed.insert(name.clone());
            } else {
                used.push(format!("{place}: {name}"));
            }
        }
    }
    none(used, "a name of the book stands outside it");
    let idle = plain.iter().filter(|word| !needed.contains(**word));
    none(
        idle.map(|word| (*word).to_owned()).collect(),
        "these exceptions are needed no more",
    );
}

#[test]
fn the_built_in_book_is_what_lies_in_the_folder_in_the_order_of_its_chapters() {
    let built_in: Vec<&str> = advice::BUILT_IN.iter().map(|(name, _)| *name).collect();
    let folder: BTreeSet<String> = files("rules", &[".rules"])
        .into_iter()
        .map(|(place, _)| place)
        .collect();
    assert_eq!(
        built_in
            .iter()
            .map(|name| (*name).to_owned())
            .collect::<BTreeSet<_>>(),
        folder
    );
    let head = advice::BUILT_IN[0].1;
    let (_, list) = head.split_once("  chapters").expect("a list of chapters");
    let list = list.split("\n\n").next().unwrap();
    let chapters: Vec<String> = list
        .split(',')
        .map(|name| format!("rules/{}.rules", name.trim()))
        .collect();
    assert_eq!(built_in[0], "rules/book.rules");
    assert_eq!(&built_in[1..], chapters);
}

#[test]
fn the_built_in_book_has_every_name_that_the_advisor_fills() {
    assert_eq!(advice::missing_names(&book()), Vec::<&str>::new());
}

#[test]
fn every_path_in_the_documents_exists() {
    let mut seen = 0;
    for document in ["README.md", "DEVELOPERS.md", "rules/README.md"] {
        let Ok(text) = fs::read_to_string(root().join(document)) else {
            continue;
        };
        for path in paths(&text) {
            assert!(root().join(&path).exists(), "{document} names {path}");
            seen += 1;
        }
    }
    assert!(seen > 20, "only {seen} paths were found");
}

/// What a document writes that begins like a path in this repository.
fn paths(text: &str) -> BTreeSet<String> {
    let part = |c: char| c.is_alphanumeric() || "./_-".contains(c);
    let starts = ["src/", "rules/", "www/", "tests/", ".ci/", ".cargo/"];
    text.split(|c: char| !part(c))
        .filter(|word| starts.iter().any(|start| word.starts_with(start)))
        .map(|word| word.trim_end_matches('.').to_owned())
        .collect()
}

#[test]
fn the_library_has_no_clock_chance_order_by_hash_file_or_network() {
    let forbidden = [
        "std::time",
        "std::fs",
        "std::env",
        "std::net",
        "std::process",
        "std::thread",
        "HashMap",
        "HashSet",
        "SystemTime",
        "Instant",
        "OffsetDateTime",
        "js_sys::Date",
        "js_sys::Math",
        "now_utc",
    ];
    none(
        lines_with(&library(), &forbidden),
        "the same inputs must give the same bytes everywhere",
    );
    let all = files("src", &[".rs"]);
    let unsafe_code: Vec<_> = all
        .into_iter()
        .filter(|(_, text)| words(text).contains("unsafe"))
        .collect();
    none(
        unsafe_code.into_iter().map(|(place, _)| place).collect(),
        "no unsafe code",
    );
}

#[test]
fn transcendental_functions_come_from_libm() {
    let own = [
        ".exp()",
        ".exp2()",
        ".exp_m1()",
        ".ln()",
        ".ln_1p()",
        ".log10()",
        ".log2()",
        ".log(",
        ".powf(",
        ".powi(",
        ".sin()",
        ".cos()",
        ".tan()",
        ".tanh()",
        ".cbrt()",
        ".hypot(",
        ".atan2(",
    ];
    none(
        lines_with(&library(), &own),
        "they differ in the last digit from one machine to the next",
    );
}

/// What the documentation cites that is no work: arithmetic and balances that nobody disputes stand in plain words there.
fn cited_in_water() -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    for (_, text) in files("src/water", &[".rs"]) {
        for (_, cited) in text.lines().filter_map(|line| line.split_once("Source: ")) {
            ids.extend(cited.split('`').skip(1).step_by(2).map(str::to_owned));
        }
    }
    assert!(ids.len() > 10, "{ids:?}");
    ids
}

#[test]
fn every_source_that_is_cited_stands_in_the_bibliography() {
    let text = fs::read_to_string(root().join("rules/sources.rules")).unwrap();
    let known: BTreeSet<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix("source "))
        .map(str::trim)
        .collect();
    let functions = advice::FUNCTIONS
        .iter()
        .map(|function| function.source.to_owned());
    let unknown = cited_in_water()
        .into_iter()
        .chain(functions)
        .filter(|id| !known.contains(id.as_str()));
    none(unknown.collect(), "not in rules/sources.rules");
}

#[test]
fn every_function_of_water_can_be_called_in_the_built_in_book() {
    let callable: Vec<String> = book()
        .functions()
        .into_iter()
        .map(|function| function.name)
        .collect();
    let lent: Vec<&str> = advice::FUNCTIONS
        .iter()
        .map(|function| function.name)
        .collect();
    assert_eq!(
        callable, lent,
        "a function counts in a unit that the book lacks"
    );
}

/// Everything that may stand at the top, apart from what git ignores.
const TOP: [&str; 13] = [
    ".cargo",
    ".ci",
    ".git",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "rules",
    "src",
    "tests",
    "www",
];

#[test]
fn the_top_level_holds_nothing_else() {
    let ignored = ["target"];
    let found = fs::read_dir(root())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let strange: Vec<String> = found
        .filter(|name| !TOP.contains(&name.as_str()) && !ignored.contains(&name.as_str()))
        .collect();
    none(
        strange,
        "the top level is Cargo.toml, README.md, DEVELOPERS.md, LICENSE, src, rules, www, tests, lock and dot files",
    );
}
