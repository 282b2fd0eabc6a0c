//! The page as one file that opens from a disk, where a browser fetches nothing.

use crate::bundle::bundle;
use crate::language::{self, Page};
use crate::words;
use anyhow::{Context, Result, ensure};
use base64::prelude::{BASE64_STANDARD, Engine};
use sha2::{Digest, Sha256};
use std::fs;
use std::path::Path;

/// The whole build of the library stands in for that of the page, so that it is there once.
const ENGINE: [(&str, &str); 1] = [("pkg/page.js", "pkg/lentic.js")];

/// How a line of the head begins that names a style sheet.
pub const SHEET: &str = "<link rel=\"stylesheet\"";

/// The whole page, from its markup, its sources and the glue beside them; in another language it holds the words of
/// the rule book as well.
pub fn page(source: &Path, index: &str, language: Option<&Page>) -> Result<String> {
    let read = |name: &str| {
        fs::read_to_string(source.join(name)).with_context(|| format!("cannot read {name}"))
    };
    let (start, body) = index
        .split_once("</head>")
        .context("index.html has no head")?;
    let style = style(source, start)?;
    let head: Vec<&str> = start.lines().filter(|line| !is_outside(line)).collect();
    let script = bundle(source, "main.js", &ENGINE)?;
    // A page from a disk may start a plain worker, but none that is a module.
    let worker = |name: &str| -> Result<String> {
        let script = bundle(source, name, &ENGINE)?;
        Ok(held(name, &format!("(async () => {{\n{script}}})();\n")))
    };
    let wasm = BASE64_STANDARD.encode(fs::read(source.join("pkg/lentic_bg.wasm"))?);
    let words = language.map_or(Ok(String::new()), |page| book(page.language))?;
    let held = [
        held("pkg/page_bg.wasm pkg/lentic_bg.wasm", &wasm),
        worker("forecast-worker.js")?,
        worker("proof-worker.js")?,
        held("demo.json", &read("demo.json")?),
        words,
    ]
    .concat();
    ensure!(!style.contains("</style"), "a style sheet would end itself");
    let body = body.trim_end().trim_end_matches("</html>").trim_end();
    let body = body
        .strip_suffix("</body>")
        .context("index.html has no end of its body")?;
    let body = among_files(body);
    Ok(format!(
        "{head}\n{policy}\n<link rel=\"icon\" href=\"data:image/svg+xml;base64,{icon}\">\n<style>{style}</style>\n</head>\
         {body}{held}<script type=\"module\">{script}</script>\n</body>\n</html>\n",
        head = head.join("\n"),
        policy = policy(&script, &style),
        icon = BASE64_STANDARD.encode(read("icon.svg")?),
    ))
}

/// The body with its links to the page in other languages led to the files of these.
fn among_files(body: &str) -> String {
    let mut body = body.replace("href=\"index.html\"", "href=\"lentic.html\"");
    for language in language::LANGUAGES {
        let [from, to] = ["", "lentic-"]
            .map(|start| format!("href=\"{start}{}\"", language::page_name(language)));
        body = body.replace(&from, &to);
    }
    body
}

/// All sheets that a head names, as one.
pub fn style(source: &Path, head: &str) -> Result<String> {
    let mut style = String::new();
    for line in head.lines() {
        let Some(name) = attribute(line, SHEET, "href") else {
            continue;
        };
        let sheet = fs::read_to_string(source.join(&name))
            .with_context(|| format!("cannot read {name}"))?;
        match attribute(line, SHEET, "media") {
            Some(media) => style.push_str(&format!("@media {media} {{\n{sheet}}}\n")),
            None => style.push_str(&sheet),
        }
    }
    Ok(style)
}

/// Lines of the head that name other files, or say what may be fetched.
fn is_outside(line: &str) -> bool {
    line.starts_with("<link ")
        || line.starts_with("<script ")
        || line.starts_with("<meta http-equiv=\"Content-Security-Policy\"")
}

fn attribute(line: &str, start: &str, name: &str) -> Option<String> {
    let rest = line.strip_prefix(start)?;
    let (_, rest) = rest.split_once(&format!("{name}=\""))?;
    let (value, _) = rest.split_once('"')?;
    Some(value.to_owned())
}

fn policy(script: &str, style: &str) -> String {
    let digest = |text: &str| BASE64_STANDARD.encode(Sha256::digest(text));
    format!(
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
         script-src 'sha256-{}' 'wasm-unsafe-eval'; style-src 'sha256-{}'; img-src data:; worker-src blob:; \
         base-uri 'none'; form-action 'none'; require-trusted-types-for 'script'; trusted-types lentic-worker\">",
        digest(script),
        digest(style)
    )
}

/// The words of the rule book in a language.
fn book(language: &str) -> Result<String> {
    let words = words::joined(language)?;
    ensure!(
        !words.contains("</script"),
        "the words of the rule book would end themselves"
    );
    Ok(held(&language::book_name(language), &words))
}

/// A file within the page under its names, where `files.js` looks for it.
fn held(names: &str, text: &str) -> String {
    format!("<script type=\"text/plain\" data-held=\"{names}\">{text}</script>\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attributes_of_a_link_are_read() {
        let line = "<link rel=\"stylesheet\" href=\"style/print.css\" media=\"print\">";
        assert_eq!(
            attribute(line, SHEET, "href").as_deref(),
            Some("style/print.css")
        );
        assert_eq!(attribute(line, SHEET, "media").as_deref(), Some("print"));
        assert_eq!(
            attribute("<link rel=\"icon\" href=\"a\">", SHEET, "href"),
            None
        );
    }
}
