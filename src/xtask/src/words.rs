//! The words of the rule book in other languages, as a page fetches them: one file of JSON for each language.

use crate::command::top;
use crate::site::files;
use anyhow::Result;
use serde_json::json;
use std::fs;
use std::path::Path;

/// Writes `TAG.json` for every folder of words below `rules`: a list of files, each with its name and text.
pub fn write(folder: &Path) -> Result<()> {
    fs::create_dir_all(folder)?;
    for entry in fs::read_dir(top().join("rules"))? {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            let tag = entry.file_name().to_string_lossy().into_owned();
            fs::write(folder.join(format!("{tag}.json")), joined(&tag)?)?;
        }
    }
    Ok(())
}

/// The words of one language as such a file.
pub fn joined(tag: &str) -> Result<String> {
    let folder = &top().join("rules").join(tag);
    let mut parts = Vec::new();
    for name in files(folder)? {
        let text = fs::read_to_string(folder.join(&name))?;
        let name = format!("rules/{tag}/{name}");
        parts.push(json!({ "name": name, "text": text }).to_string());
    }
    // A file a line, so that two versions can be compared.
    Ok(format!("[{}]\n", parts.join(",\n")))
}
