//! Wrong rule books and hostile ones: what is said about them, and that they always end.
#![cfg(not(target_arch = "wasm32"))]

#[path = "diagnostics/hostile.rs"]
mod hostile;
#[path = "diagnostics/mutants.rs"]
mod mutants;

use std::{fs, path::Path};

use lentic::engine::{Argument, Book, File, Function, Trend};

/// A function that the wrong books may call: how long dough rises.
const RISE: Function = Function {
    name: "rise",
    label: "rise of the dough",
    arguments: &[
        Argument {
            name: "heat",
            unit: "°C",
            trend: Trend::Rising,
            valid: (0.0, 40.0),
            ..Argument::PLAIN
        },
        Argument {
            name: "time",
            unit: "day",
            trend: Trend::Rising,
            valid: (0.0, 3.0),
            ..Argument::PLAIN
        },
    ],
    unit: "",
    compute: |x| x[0] * x[1],
    extension: None,
    formula: "heat × time",
    working: |_, _| Vec::new(),
    source: "trade",
    ..Function::PLAIN
};

/// A function in a unit that the books lack.
const CRUST: Function = Function {
    name: "crust",
    arguments: &[Argument {
        name: "heat",
        unit: "°Ré",
        trend: Trend::Rising,
        valid: (0.0, 40.0),
        ..Argument::PLAIN
    }],
    ..RISE
};

fn folder() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/books"))
}

/// A small book without a mistake.
fn frame() -> File {
    let text = fs::read_to_string(folder().join("frame.rules")).unwrap();
    File::new("frame.rules", text)
}

/// A wrong book stands alone if it says which book it is, and else beside the frame, which has no mistake.
fn files(path: &Path) -> Vec<File> {
    let name = path.file_name().unwrap().to_str().unwrap();
    let own = File::new(name, fs::read_to_string(path).unwrap());
    if own.text.starts_with("book ") {
        return vec![own];
    }
    vec![frame(), own]
}

/// One wrong book against its snapshot.
fn check(path: &Path) {
    let mistakes = Book::load(files(path), &[RISE, CRUST]).expect_err("this book is wrong");
    for found in &mistakes.0 {
        let marked: String = found.text.chars().skip(found.column as usize - 1).collect();
        assert!(
            !marked.is_empty() || found.message.contains("ends here"),
            "{found}"
        );
    }
    let name = path.file_stem().unwrap().to_str().unwrap();
    insta::with_settings!({ omit_expression => true }, {
        insta::assert_snapshot!(name, mistakes.to_string());
    });
}

#[test]
fn every_wrong_book_is_told_what_is_wrong() {
    let mut paths: Vec<_> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.retain(|path| {
        path.file_name()
            .unwrap()
            .to_str()
            .unwrap()
            .starts_with("wrong-")
    });
    paths.sort();
    assert!(
        paths.len() >= 24,
        "only {} wrong books were found",
        paths.len()
    );
    paths.iter().for_each(|path| check(path));
}

#[test]
fn the_frame_has_no_mistake() {
    let book =
        Book::load(vec![frame()], &[RISE, CRUST]).unwrap_or_else(|mistakes| panic!("{mistakes}"));
    let report = book.run_cases();
    assert!(
        report.failed.is_empty() && report.run == 2,
        "{:?}",
        report.failed
    );
}
