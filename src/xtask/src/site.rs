//! The static site: the library as wasm, its glue, and the page around it.

use crate::bundle::bundle;
use crate::command::{command, run, together, top};
use crate::language::{self, Page};
use crate::setup::{WASM, wasm_target};
use crate::{single, words};
use anyhow::{Context, Result, ensure};
use sha2::{Digest, Sha256};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::{env, fs};
use wasm_bindgen_cli_support::Bindgen;

// What the service worker's source holds in place of its version and its files.
const VERSION_MARK: &str = "\"<version>\"";
const FILES_MARK: &str = "\"<files>\"";
const LANGUAGES_MARK: &str = "\"<languages>\"";

/// What no first visit needs: the advisor within other pages, the sample of such a page, and other
/// languages.
const LATER: [&str; 8] = [
    "words/",
    "pkg/lentic.js",
    "club/",
    "lentic-advisor.js",
    "style/",
    "advice.schema.json",
    "journal.schema.json",
    "record.schema.json",
];

/// A build of the library for JavaScript.
struct Build {
    /// The feature that says what it can be asked.
    feature: &'static str,
    /// The compiler's level of optimisation.
    level: &'static str,
}

/// What the page itself asks. A visitor waits for it, so it is to be small.
const PAGE: Build = Build {
    feature: "page",
    level: "s",
};
/// For the workers that look ahead and prove, which are to be fast, and for programs.
const WHOLE: Build = Build {
    feature: "wasm",
    level: "3",
};

/// Scripts that are served joined with all that they import.
const JOINED: [&str; 4] = [
    "main.js",
    "lentic-advisor.js",
    "forecast-worker.js",
    "proof-worker.js",
];

/// Builds the library and assembles `target/site`, and the page as one file beside it, both in every language;
/// returns the folder.
pub fn build() -> Result<PathBuf> {
    let source = top().join("www");
    let site = top().join("target/site");
    let package = source.join("pkg");
    // Words that are missing come to light before the long part.
    let pages = language::pages(&source)?;
    remove(&package)?;
    wasm_target()?;
    // Each is compiled on one processor only.
    let (page, whole) = together(|| wasm(&PAGE), || wasm(&WHOLE))?;
    bind(&page, &package, "page")?;
    bind(&whole, &package, "lentic")?;
    copy(&source, &site)?;
    words::write(&site.join("words"))?;
    write_languages(&pages, &site)?;
    let version = fill_worker(&site)?;
    eprintln!("site {version} is in {}", site.display());
    let index = fs::read_to_string(source.join("index.html"))?;
    write_single("lentic.html", single::page(&source, &index, None)?)?;
    for page in &pages {
        let name = format!("lentic-{}.html", page.language);
        write_single(&name, single::page(&source, &page.markup, Some(page))?)?;
    }
    Ok(site)
}

fn write_single(name: &str, text: String) -> Result<()> {
    let page = top().join("target").join(name);
    fs::write(&page, text)?;
    eprintln!("the page as one file is {}", page.display());
    Ok(())
}

/// Puts the page of each language beside the first one.
fn write_languages(pages: &[Page], site: &Path) -> Result<()> {
    for page in pages {
        let write = |name: String, text: &str| fs::write(site.join(name), text);
        write(
            language::page_name(page.language),
            &with_one_sheet(&page.markup),
        )?;
        write(language::manifest_name(page.language), &page.manifest)?;
    }
    Ok(())
}

fn wasm(build: &Build) -> Result<PathBuf> {
    // In one folder each build would undo the other, and none would ever be fresh.
    wasm_in(build, &top().join("target").join(build.feature))
}

/// Builds the engine from nothing and elsewhere; what comes out must be its bytes wherever it is built.
pub fn elsewhere() -> Result<Vec<u8>> {
    wasm_target()?;
    let elsewhere = env::temp_dir().join(format!("lentic-again-{}", std::process::id()));
    let built = wasm_in(&WHOLE, &elsewhere).and_then(|path| Ok(fs::read(path)?));
    remove(&elsewhere)?;
    built
}

/// Whether the engine, built here, has these bytes.
pub fn assert_same(elsewhere: &[u8]) -> Result<()> {
    let here = fs::read(wasm(&WHOLE)?)?;
    ensure!(here == elsewhere, "two builds of the wasm differ");
    Ok(())
}

fn wasm_in(build: &Build, target: &Path) -> Result<PathBuf> {
    // Only here is the library a module of its own; to other programs in Rust it is a plain crate. Optimised across
    // crates it would weigh a sixteenth more.
    run(
        command("cargo rustc --quiet --locked --release --lib --crate-type cdylib")
            .args(["--package", "lentic", "--no-default-features", "--features"])
            .args([build.feature, "--target", WASM, "--target-dir"])
            .arg(target)
            .env("CARGO_PROFILE_RELEASE_LTO", "off")
            .env("CARGO_PROFILE_RELEASE_OPT_LEVEL", build.level)
            .env("RUSTFLAGS", flags()),
    )?;
    Ok(target.join(WASM).join("release/lentic.wasm"))
}

/// The flags that are set, and one that keeps this machine's folders out of the bytes.
fn flags() -> OsString {
    let home = env::var_os("HOME").or_else(|| env::var_os("USERPROFILE"));
    let own = home.map(|home| PathBuf::from(home).join(".cargo"));
    let mut flags = env::var_os("RUSTFLAGS").unwrap_or_default();
    if let Some(cargo) = env::var_os("CARGO_HOME").map(PathBuf::from).or(own) {
        flags.push(" --remap-path-prefix=");
        flags.push(cargo.join("registry/src"));
        flags.push("=registry");
    }
    flags
}

/// Writes the glue and its types beside the page's sources, where the type
/// checker and editors look for them.
fn bind(wasm: &Path, package: &Path, name: &str) -> Result<()> {
    Bindgen::new()
        .input_path(wasm)
        .web(true)?
        .out_name(name)
        .typescript(true)
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate(package)
}

fn copy(source: &Path, site: &Path) -> Result<()> {
    remove(site)?;
    for name in files(source)?.iter().filter(|name| is_served(name)) {
        let to = site.join(name);
        fs::create_dir_all(to.parent().expect("a file of the site lies in a folder"))?;
        fs::copy(source.join(name), to).with_context(|| format!("cannot copy {name}"))?;
    }
    for name in JOINED {
        fs::write(site.join(name), bundle(source, name, &[])?)?;
    }
    let index = fs::read_to_string(source.join("index.html"))?;
    let (head, _) = index
        .split_once("</head>")
        .context("index.html has no head")?;
    fs::write(site.join("style.css"), single::style(source, head)?)?;
    fs::write(site.join("index.html"), with_one_sheet(&index))?;
    Ok(())
}

/// What is served as it is. The page's own scripts are joined, all but the service worker, which imports nothing.
fn is_served(name: &str) -> bool {
    let is_script = name.ends_with(".js") && name != "sw.js" && name != "pkg/lentic.js";
    let is_words = language::LANGUAGES
        .iter()
        .any(|language| name == format!("{language}.json"));
    !is_script && !is_words && !name.ends_with(".md") && !name.ends_with(".d.ts")
}

/// The page with its sheets joined, and nothing fetched ahead that is joined.
fn with_one_sheet(index: &str) -> String {
    let mut written = String::new();
    let mut has_sheet = false;
    for line in index.split_inclusive('\n') {
        if line.starts_with(single::SHEET) {
            if !has_sheet {
                written.push_str("<link rel=\"stylesheet\" href=\"style.css\">\n");
            }
            has_sheet = true;
        } else if !line.starts_with("<link rel=\"modulepreload\"") {
            written.push_str(line);
        }
    }
    written
}

/// Tells the service worker its version and its files; returns the version.
fn fill_worker(site: &Path) -> Result<String> {
    let names = files(site)?;
    let version = digest(site, &names)?;
    let path = site.join("sw.js");
    let worker = filled(&fs::read_to_string(&path)?, &version, &names)?;
    fs::write(path, worker)?;
    Ok(version)
}

fn filled(worker: &str, version: &str, names: &[String]) -> Result<String> {
    for mark in [VERSION_MARK, FILES_MARK, LANGUAGES_MARK] {
        ensure!(
            worker.matches(mark).count() == 1,
            "sw.js must hold {mark} once"
        );
    }
    // The folder itself is what a visitor asks for; the worker is never its own cached file.
    let languages: Vec<[String; 3]> = language::LANGUAGES.map(language_files).into();
    let is_later = |name: &String| {
        LATER.iter().any(|later| name.starts_with(later))
            || languages.iter().flatten().any(|own| own == name)
    };
    let kept = names
        .iter()
        .filter(|name| *name != "sw.js" && !is_later(name));
    let listed = |names: &mut dyn Iterator<Item = &str>| {
        let names: Vec<String> = names.map(|name| format!("{name:?}")).collect();
        names.join(", ")
    };
    let first = listed(&mut std::iter::once("./").chain(kept.map(String::as_str)));
    let languages: Vec<String> = languages
        .iter()
        .map(|own| format!("[{}]", listed(&mut own.iter().map(String::as_str))))
        .collect();
    Ok(worker
        .replace(VERSION_MARK, &format!("{version:?}"))
        .replace(FILES_MARK, &first)
        .replace(LANGUAGES_MARK, &languages.join(", ")))
}

/// What only a reader of a language needs; the page itself comes first.
fn language_files(language: &str) -> [String; 3] {
    [
        language::page_name(language),
        language::manifest_name(language),
        language::book_name(language),
    ]
}

/// Sixteen hexadecimal digits that change with any name or byte of the files.
fn digest(folder: &Path, names: &[String]) -> Result<String> {
    let mut hash = Sha256::new();
    for name in names {
        let bytes = fs::read(folder.join(name))?;
        // With its length before it, no byte can pass from one part to the next unseen.
        for part in [name.as_bytes(), &bytes] {
            hash.update((part.len() as u64).to_le_bytes());
            hash.update(part);
        }
    }
    let bytes = hash.finalize();
    Ok(bytes
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect())
}

/// The files below a folder, in order, with `/` between the parts of a name.
pub fn files(folder: &Path) -> Result<Vec<String>> {
    let mut names = Vec::new();
    gather(folder, "", &mut names).with_context(|| format!("cannot list {}", folder.display()))?;
    names.sort();
    Ok(names)
}

fn gather(folder: &Path, prefix: &str, names: &mut Vec<String>) -> Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            gather(&entry.path(), &format!("{name}/"), names)?;
        } else {
            names.push(name);
        }
    }
    Ok(())
}

pub fn remove(folder: &Path) -> Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder)
            .with_context(|| format!("cannot remove {}", folder.display()))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn version_of(name: &str, contents: &[(&str, &str)]) -> String {
        let folder = std::env::temp_dir().join(format!("lentic-{name}-{}", std::process::id()));
        remove(&folder).unwrap();
        fs::create_dir_all(folder.join("parts")).unwrap();
        for (file, text) in contents {
            fs::write(folder.join(file), text).unwrap();
        }
        let version = digest(&folder, &files(&folder).unwrap()).unwrap();
        remove(&folder).unwrap();
        version
    }

    #[test]
    fn the_version_follows_names_and_bytes() {
        let plain = version_of("plain", &[("a", "pond"), ("parts/b", "reed")]);
        assert_eq!(plain.len(), 16);
        assert_eq!(
            plain,
            version_of("again", &[("parts/b", "reed"), ("a", "pond")])
        );
        assert_ne!(
            plain,
            version_of("name", &[("a", "pond"), ("parts/c", "reed")])
        );
        assert_ne!(
            plain,
            version_of("byte", &[("a", "pone"), ("parts/b", "reed")])
        );
        assert_ne!(
            plain,
            version_of("shift", &[("a", "pondr"), ("parts/b", "eed")])
        );
    }

    #[test]
    fn the_worker_is_told_every_file_of_the_first_visit_but_itself() {
        let names = [
            "de.html",
            "index.html",
            "main.js",
            "style/page.css",
            "sw.js",
        ];
        let worker = filled(
            "V = \"<version>\"; F = [\"<files>\"]; L = [\"<languages>\"];",
            "0a",
            &names.map(String::from),
        )
        .unwrap();
        assert_eq!(
            worker,
            "V = \"0a\"; F = [\"./\", \"index.html\", \"main.js\"]; \
             L = [[\"de.html\", \"manifest-de.webmanifest\", \"words/de.json\"]];"
        );
    }

    #[test]
    fn the_served_page_names_one_sheet() {
        let index = "<link rel=\"stylesheet\" href=\"a.css\">\n<link rel=\"stylesheet\" href=\"b.css\" media=\"print\">\n\
                     <link rel=\"modulepreload\" href=\"a.js\">\n<p>\n";
        assert_eq!(
            with_one_sheet(index),
            "<link rel=\"stylesheet\" href=\"style.css\">\n<p>\n"
        );
    }

    #[test]
    fn a_worker_without_its_marks_is_refused() {
        assert!(filled("const V = \"<version>\";", "0a", &[]).is_err());
    }
}
