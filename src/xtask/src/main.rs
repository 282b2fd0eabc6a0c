//! Builds, serves and tests Lentic. Run it as `cargo xtask`.

mod bundle;
mod command;
mod language;
mod package;
mod serve;
mod setup;
mod single;
mod site;
mod test;
mod words;

use anyhow::{Result, bail};
use std::process::ExitCode;

const USAGE: &str = "\
cargo xtask build             makes the static site in target/site, and the page as one file, target/lentic.html,
                              each also in German
cargo xtask serve [ADDRESS]   makes the site and serves it, on 127.0.0.1:8080 unless told otherwise
cargo xtask package           makes the npm package, target/npm/lentic-VERSION.tgz
cargo xtask test [PART]       runs every test, or one part: native, web, package or browser
cargo xtask test many         runs many journals through PySpark, where there is Java and Python";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match dispatch(&words) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn dispatch(words: &[&str]) -> Result<()> {
    match words {
        ["build"] => site::build().map(drop),
        ["package"] => package::package().map(drop),
        ["serve"] => serve::serve("127.0.0.1:8080"),
        ["serve", address] => serve::serve(address),
        ["test"] => test::test(None),
        [
            "test",
            part @ ("native" | "web" | "package" | "browser" | "many"),
        ] => test::test(Some(part)),
        _ => bail!("no such task; there are\n{USAGE}"),
    }
}
