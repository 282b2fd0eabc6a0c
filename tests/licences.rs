//! What the library and the program are built from may be used under terms that an MIT project can pass on.
#![cfg(not(target_arch = "wasm32"))]

use std::process::Command;

use serde_json::Value;

/// Terms that ask for no more than naming the author.
const ALLOWED: [&str; 9] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Zlib",
];

/// Packages that name a file in place of terms, read by a person: Apache-2.0, and used by tests alone.
const READ: [&str; 1] = ["ical"];

/// Whether an expression of SPDX can be met; where it nests, rather no than yes.
fn is_allowed(expression: &str) -> bool {
    let one_of = |choice: &str| {
        let terms = choice.split(" OR ").flat_map(|part| part.split('/'));
        terms
            .map(|term| term.trim_matches(['(', ')', ' ']))
            .any(|term| ALLOWED.contains(&term))
    };
    expression.split(" AND ").all(one_of)
}

#[test]
fn expressions_are_read() {
    for good in [
        "MIT",
        "MIT OR Apache-2.0",
        "Unlicense/MIT",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
    ] {
        assert!(is_allowed(good), "{good}");
    }
    for bad in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "LGPL-2.1 OR MPL-2.0",
    ] {
        assert!(!is_allowed(bad), "{bad}");
    }
}

#[test]
fn every_dependency_may_be_used() {
    for target in ["x86_64-unknown-linux-gnu", "wasm32-unknown-unknown"] {
        let output = Command::new(env!("CARGO"))
            .args(["metadata", "--locked", "--format-version", "1"])
            .args(["--all-features", "--filter-platform", target])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("cargo runs");
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{told}");
        let metadata: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let packages = metadata["packages"].as_array().expect("a list");
        let named = packages.iter().filter(|package| package["name"] != "xtask");
        let terms = named.map(|package| {
            let term = package["license"].as_str().unwrap_or_default();
            (package["name"].as_str().unwrap_or_default(), term)
        });
        let refused: Vec<(&str, &str)> = terms
            .filter(|(name, term)| !is_allowed(term) && !READ.contains(name))
            .collect();
        assert!(packages.len() > 20, "only {} packages", packages.len());
        assert!(refused.is_empty(), "{refused:?}");
    }
}
