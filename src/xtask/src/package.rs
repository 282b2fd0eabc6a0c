//! The npm package: the engine, its types, the element and the schemas, packed but not published.

use crate::bundle::modules;
use crate::command::{command, run, top};
use crate::{language, setup, site, words};
use anyhow::{Context, Result};
use base64::prelude::{BASE64_STANDARD, Engine};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

const ELEMENT: &str = "lentic-advisor.js";
/// Where the element's modules find the files beside them, and the engine.
const FILES: &str = "files.js";
const GLUE: &str = "pkg/page.js";

/// Prints the names of files with their sizes, raw and brotli.
const SIZES: &str = r#"
import { readFileSync } from "node:fs";
import { brotliCompressSync } from "node:zlib";
for (const file of process.argv.slice(1)) {
  const bytes = readFileSync(file);
  console.log(`${file}: ${bytes.length} bytes, brotli ${brotliCompressSync(bytes).length}`);
}"#;

/// Makes `target/npm/lentic` and packs it; returns the packed file.
pub fn package() -> Result<PathBuf> {
    setup::node()?;
    site::build()?;
    let npm = top().join("target/npm");
    let folder = npm.join("lentic");
    site::remove(&npm)?;
    fs::create_dir_all(&folder)?;
    let version = version()?;
    write(&top().join("src/xtask/npm"), &folder, &version)?;
    let pack = format!("npm pack --silent --pack-destination {}", npm.display());
    run(command(&pack).current_dir(&folder))?;
    run(command("node --input-type=module -e")
        .arg(SIZES)
        .arg("--")
        .args(["lentic.wasm", "lentic.js", "inline.js"])
        .current_dir(&folder))?;
    let packed = npm.join(format!("lentic-{version}.tgz"));
    eprintln!("the npm package is {}", packed.display());
    Ok(packed)
}

fn version() -> Result<String> {
    let manifest = fs::read_to_string(top().join("Cargo.toml"))?;
    let version = manifest
        .lines()
        .find_map(|line| line.strip_prefix("version = "));
    let version = version.context("Cargo.toml names no version")?;
    Ok(version.trim_matches('"').to_owned())
}

fn write(source: &Path, folder: &Path, version: &str) -> Result<()> {
    let www = top().join("www");
    for name in site::files(source)? {
        copy(&source.join(&name), &folder.join(&name))?;
    }
    let manifest = fs::read_to_string(source.join("package.json"))?;
    fs::write(
        folder.join("package.json"),
        manifest.replace("\"0.0.0\"", &format!("{version:?}")),
    )?;
    copy(&top().join("LICENSE"), &folder.join("LICENSE"))?;
    for (from, to) in [
        ("pkg/lentic.js", "lentic.js"),
        ("pkg/lentic_bg.wasm", "lentic.wasm"),
    ] {
        copy(&www.join(from), &folder.join(to))?;
    }
    // The types name `Symbol.dispose`, which not every project's own settings bring along.
    let types = fs::read_to_string(www.join("pkg/lentic.d.ts"))?;
    let types = format!("/// <reference lib=\"esnext.disposable\" />\n{types}");
    fs::write(folder.join("lentic.d.ts"), types)?;
    for name in site::files(&www)? {
        if name.ends_with(".schema.json") {
            copy(&www.join(&name), &folder.join("schema").join(&name))?;
        }
    }
    words::write(&folder.join("words"))?;
    let wasm = BASE64_STANDARD.encode(fs::read(folder.join("lentic.wasm"))?);
    let inline = format!(
        "export const bytes = Uint8Array.from(atob(\"{wasm}\"), (letter) => letter.charCodeAt(0));\n"
    );
    fs::write(folder.join("inline.js"), inline)?;
    element(&www, &folder.join("element"))
}

/// The element's modules as they are, since every bundler can join them; but with the package's engine, and with
/// addresses that bundlers know to be files.
fn element(www: &Path, folder: &Path) -> Result<()> {
    for name in modules(www, ELEMENT)? {
        copy(&www.join(&name), &folder.join(&name))?;
    }
    let mut files = String::from("const files = {\n");
    let sheets = site::files(&www.join("style"))?;
    let sheets = sheets.iter().map(|name| format!("style/{name}"));
    let mut add =
        |name: &str| writeln!(files, "  {name:?}: new URL(\"./{name}\", import.meta.url),");
    for name in std::iter::once("index.html".to_owned()).chain(sheets) {
        copy(&www.join(&name), &folder.join(&name))?;
        add(&name)?;
    }
    for page in language::pages(www)? {
        let name = language::page_name(page.language);
        fs::write(folder.join(&name), page.markup)?;
        add(&name)?;
    }
    for language in language::LANGUAGES {
        let name = language::book_name(language);
        writeln!(
            files,
            "  {name:?}: new URL(\"../{name}\", import.meta.url),"
        )?;
    }
    files.push_str(
        "  \"pkg/page_bg.wasm\": new URL(\"../lentic.wasm\", import.meta.url),\n};\n\
         export const addressOf = (name) => files[name];\nexport const wasmOf = addressOf;\n\
         export const textOf = async (name) => {\n  const answer = await fetch(files[name]);\n  \
         if (!answer.ok) throw new Error(`${name}: ${answer.status}`);\n  return answer.text();\n};\n",
    );
    fs::write(folder.join(FILES), files)?;
    fs::write(
        folder.join(GLUE),
        "export { default } from \"../../lentic.js\";\nexport * from \"../../lentic.js\";\n",
    )?;
    Ok(())
}

fn copy(from: &Path, to: &Path) -> Result<()> {
    let folder = to.parent().context("a file lies in a folder")?;
    fs::create_dir_all(folder)?;
    fs::copy(from, to).with_context(|| format!("cannot copy {}", from.display()))?;
    Ok(())
}
