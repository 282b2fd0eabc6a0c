//! The words of the rule book in other languages, as a page fetches them: one file of JSON for each language.

use crate::command::top;
use crate::site::files;
use anyhow::Result;
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
        parts.push(format!(
            "{{\"name\":{},\"text\":{}}}",
            quoted(&name),
            quoted(&text)
        ));
    }
    Ok(format!("[{}]\n", parts.join(",\n")))
}

/// A text as JSON has it.
fn quoted(text: &str) -> String {
    let escaped = |character: char| match character {
        '"' => "\\\"".to_owned(),
        '\\' => "\\\\".to_owned(),
        '\n' => "\\n".to_owned(),
        control if control < ' ' => format!("\\u{:04x}", u32::from(control)),
        plain => plain.to_string(),
    };
    let text: String = text.chars().map(escaped).collect();
    format!("\"{text}\"")
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn a_text_is_quoted_as_json_wants_it() {
        assert_eq!(quoted("a \"b\"\n\\ü\t"), "\"a \\\"b\\\"\\n\\\\ü\\u0009\"");
    }
}
