//! What a build or a test needs from the machine, fetched where that is possible.

use crate::command::{command, on_path, run};
use anyhow::{Context, Result, bail, ensure};
use std::path::{Path, PathBuf};
use std::{env, fs};

/// The compiler's name for wasm that runs in any browser.
pub const WASM: &str = "wasm32-unknown-unknown";

/// Makes sure of all that the tests need beyond the compiler.
pub fn all() -> Result<()> {
    node()?;
    wasm_target()?;
    chromium()?;
    chromedriver()?;
    Ok(())
}

/// Makes sure that the compiler can build for wasm.
///
/// A `rust-toolchain.toml` would do so too, but does nothing where rustup is
/// told not to install by itself.
pub fn wasm_target() -> Result<()> {
    let output = command(&format!("rustc --print target-libdir --target {WASM}")).output()?;
    let folder = String::from_utf8(output.stdout)?;
    if Path::new(folder.trim()).is_dir() {
        return Ok(());
    }
    run(&mut command(&format!("rustup target add {WASM}")))
        .context("building for the web needs the standard library for wasm")
}

/// Makes sure that there are Node and npm.
pub fn node() -> Result<()> {
    for program in ["node", "npm"] {
        ensure!(
            on_path(program).is_some(),
            "`{program}` is needed for these tests: install Node 20.19 or newer"
        );
    }
    Ok(())
}

/// The Chromium to test with.
pub fn chromium() -> Result<PathBuf> {
    let names = ["chromium", "chromium-browser", "google-chrome"];
    found_or_installed("CHROMIUM", &names, "chromium")
}

/// The Firefox to test with, where one can be had.
pub fn firefox() -> Result<PathBuf> {
    found_or_installed("FIREFOX", &["firefox", "firefox-esr"], "firefox-esr")
}

/// The program that drives Chromium for the wasm tests.
pub fn chromedriver() -> Result<PathBuf> {
    found_or_installed("CHROMEDRIVER", &["chromedriver"], "chromium-driver")
}

fn found_or_installed(variable: &str, names: &[&str], package: &str) -> Result<PathBuf> {
    if let Some(path) = env::var_os(variable).map(PathBuf::from) {
        ensure!(
            path.is_file(),
            "{variable} names no file: {}",
            path.display()
        );
        return Ok(path);
    }
    let find = || names.iter().find_map(|name| on_path(name));
    if let Some(path) = find() {
        return Ok(path);
    }
    if !is_root_on_debian() {
        bail!(
            "`{}` is needed for these tests: install it (Debian's package is {package}), \
             or set {variable} to the program's path",
            names[0]
        );
    }
    install(package)?;
    find().with_context(|| {
        format!(
            "{package} was installed but `{}` is not on the PATH",
            names[0]
        )
    })
}

fn is_root_on_debian() -> bool {
    let user = command("id -u").output();
    let is_root = user.is_ok_and(|output| output.stdout.trim_ascii() == b"0");
    let system = fs::read_to_string("/etc/os-release").unwrap_or_default();
    is_root && system.lines().any(|line| line == "ID=debian")
}

fn install(package: &str) -> Result<()> {
    run(&mut command("apt-get update -qq"))?;
    let line = "apt-get install -qq -y --no-install-recommends -o DPkg::Lock::Timeout=600";
    run(command(line)
        .arg(package)
        .env("DEBIAN_FRONTEND", "noninteractive"))
}
