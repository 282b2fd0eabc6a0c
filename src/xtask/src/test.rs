//! Every test of the project, step by step, each with the time it took.

use crate::command::{command, run, together, top};
use crate::package;
use crate::setup::{self, WASM};
use crate::site;
use anyhow::{Context, Result};
use std::fs;
use std::process::Command;
use std::time::Instant;

type Part = fn(&mut Steps) -> Result<()>;

const PARTS: [(&str, Part); 5] = [
    ("native", native),
    ("web", web),
    ("package", package),
    ("browser", browser),
    ("many", many),
];

/// The part that runs only when it is asked for: a fresh PySpark takes minutes to fetch.
const ASKED_FOR: &str = "many";

/// Runs one part of the tests, or all of them, up to the first failure.
pub fn test(wanted: Option<&str>) -> Result<()> {
    let is_wanted = |name: &str| match wanted {
        Some(wanted) => wanted == name,
        None => name != ASKED_FOR,
    };
    let parts = PARTS.iter().filter(|(name, _)| is_wanted(name));
    let mut steps = Steps::default();
    // What the machine lacks comes to light at once, not after minutes.
    if !matches!(wanted, Some("native" | "many")) {
        steps.step("set up", setup::all)?;
    }
    for (_, part) in parts {
        part(&mut steps)?;
    }
    steps.report();
    Ok(())
}

/// The compiler and nothing else.
fn native(steps: &mut Steps) -> Result<()> {
    steps.run("check the layout of the code", "cargo fmt --all --check")?;
    steps.run("lint", "cargo clippy --locked --all-targets -- -D warnings")?;
    steps.run("test", "cargo test --locked")?;
    steps.step("check the documentation", || {
        run(command("cargo doc --locked --no-deps --lib").env("RUSTDOCFLAGS", "-D warnings"))
    })?;
    steps.run(
        "check the library without its features",
        "cargo check --locked --no-default-features --lib",
    )?;
    steps.step("check with the oldest compiler", oldest)?;
    let xtask = "--locked --profile tool --package xtask";
    steps.run(
        "lint the tools",
        &format!("cargo clippy {xtask} --all-targets -- -D warnings"),
    )?;
    steps.run("test the tools", &format!("cargo test {xtask}"))
}

/// The compiler that the manifest names as the oldest, where rustup can fetch it.
fn oldest() -> Result<()> {
    let manifest = fs::read_to_string(top().join("Cargo.toml"))?;
    let version = manifest
        .lines()
        .find_map(|line| line.strip_prefix("rust-version = "))
        .context("Cargo.toml names no rust-version")?
        .trim_matches('"');
    let install = format!("rustup toolchain install {version} --profile minimal --no-self-update");
    if let Err(error) = run(&mut command(&install)) {
        eprintln!("skipped: Rust {version} cannot be fetched here ({error})");
        return Ok(());
    }
    let check = format!("rustup run {version} cargo check --locked --target-dir target/oldest");
    run(&mut command(&check))
}

/// The library compiled to wasm, in Node and in a browser.
fn web(steps: &mut Steps) -> Result<()> {
    steps.run(
        "lint for wasm",
        &format!(
            "cargo clippy --locked --target {WASM} --features wasm --lib --test web -- -D warnings"
        ),
    )?;
    steps.run(
        "lint for the page",
        &format!(
            "cargo clippy --locked --target {WASM} --no-default-features --features page --lib -- -D warnings"
        ),
    )?;
    steps.run(
        "build the wasm test runner",
        "cargo build --locked --profile tool --package xtask --features wasm-tests --bin wasm-test-runner",
    )?;
    // The runner refuses the `--quiet` that a quiet cargo passes on. What is to be tested is quick to run as it is.
    let test =
        format!("cargo test --locked --profile tool --target {WASM} --features wasm --test web");
    steps.run("test wasm in Node", &test)?;
    steps.step("test wasm in Chromium", || {
        run(command(&test)
            .env("WASM_BINDGEN_USE_BROWSER", "1")
            .env("WASM_BINDGEN_TEST_TIMEOUT", "120")
            .env("CHROMEDRIVER", setup::chromedriver()?))
    })
}

/// The npm package as another program would use it.
fn package(steps: &mut Steps) -> Result<()> {
    steps.step(
        "make the npm package, and its wasm once more elsewhere",
        || {
            let (_, elsewhere) = together(package::package, site::elsewhere)?;
            site::assert_same(&elsewhere)
        },
    )?;
    steps.packages()?;
    steps.step("test the npm package", || {
        run(
            command("node --test --test-reporter=spec tests/package/package.test.mjs")
                .env("CHROMIUM", setup::chromium()?),
        )
    })
}

/// The site and its page.
fn browser(steps: &mut Steps) -> Result<()> {
    steps.step("build the site", || site::build().map(drop))?;
    // The page and the program are compared.
    steps.run("build the program", "cargo build --locked --bin lentic")?;
    steps.packages()?;
    for (name, script) in [
        ("check the page's types", "types"),
        ("check the page's markup", "markup"),
        ("check the page's style", "lint"),
    ] {
        steps.run(
            name,
            &format!("npm run --silent --prefix tests/browser {script}"),
        )?;
    }
    steps.step("test the page in Chromium and Firefox", || {
        let mut test = command("npm test --silent --prefix tests/browser");
        match setup::firefox() {
            Ok(firefox) => test.env("FIREFOX", firefox),
            Err(error) => {
                eprintln!("skipped: {error:#}");
                &mut test
            }
        };
        run(test.env("CHROMIUM", setup::chromium()?))
    })
}

/// Many journals through a distributed engine, where there is one.
fn many(steps: &mut Steps) -> Result<()> {
    steps.run("build the program", "cargo build --locked --bin lentic")?;
    match steps.step("set up Java and PySpark", setup::pyspark) {
        Ok(python) => steps.step("test many journals through PySpark", || {
            let mut check = Command::new(python);
            let words = [
                "tests/many/check.py",
                "target/debug/lentic",
                "tests/journals",
            ];
            run(check.args(words).current_dir(top()))
        }),
        Err(error) => {
            eprintln!("skipped: many journals through PySpark ({error:#})");
            Ok(())
        }
    }
}

/// The steps done so far and the seconds each took.
#[derive(Default)]
struct Steps {
    done: Vec<(String, f64)>,
}

impl Steps {
    fn run(&mut self, name: &str, line: &str) -> Result<()> {
        self.step(name, || run(&mut command(line)))
    }

    /// The browser's driver and the type checker, once.
    fn packages(&mut self) -> Result<()> {
        let name = "fetch the test packages";
        if self.done.iter().any(|(done, _)| done == name) {
            return Ok(());
        }
        self.run(name, "npm ci --prefix tests/browser")
    }

    fn step<T>(&mut self, name: &str, work: impl FnOnce() -> Result<T>) -> Result<T> {
        eprintln!("\n== {name}");
        let start = Instant::now();
        let result = work();
        let seconds = start.elapsed().as_secs_f64();
        eprintln!("== {name}: {seconds:.1} s");
        self.done.push((name.to_owned(), seconds));
        result.with_context(|| format!("stopped at \"{name}\""))
    }

    fn report(&self) {
        eprintln!("\nAll passed.");
        for (name, seconds) in &self.done {
            eprintln!("{seconds:7.1} s  {name}");
        }
        let total: f64 = self.done.iter().map(|(_, seconds)| seconds).sum();
        eprintln!("{total:7.1} s  in all");
    }
}
