//! The document as Markdown (CommonMark with tables).

use super::{Piece, Span};

pub(super) fn print(pieces: &[Piece]) -> String {
    let mut text = String::new();
    for piece in pieces {
        text.push_str(&block(piece));
        text.push('\n');
    }
    text
}

fn block(piece: &Piece) -> String {
    match piece {
        Piece::Heading {
            level,
            id,
            words,
            name,
        } => {
            let name = if name.is_empty() {
                String::new()
            } else {
                format!(" `{name}`")
            };
            let anchor = format!("<a id=\"{id}\"></a>");
            format!("{} {anchor}{}{name}\n", "#".repeat(*level), escaped(words))
        }
        Piece::Line { label, spans } => format!("{}{}\n", labelled(label), joined(spans)),
        Piece::List { label, items } => {
            let head = if label.is_empty() {
                String::new()
            } else {
                format!("{}\n\n", labelled(label).trim_end())
            };
            let items = items.iter().map(|item| format!("- {}\n", joined(item)));
            head + &items.collect::<String>()
        }
        Piece::Table { head, rows } => {
            let row = |cells: &[String]| {
                let cells: Vec<String> = cells.iter().map(|cell| escaped(cell)).collect();
                format!("| {} |\n", cells.join(" | "))
            };
            let rule = format!("|{}\n", " --- |".repeat(head.len()));
            let rows: String = rows.iter().map(|cells| row(cells)).collect();
            row(head) + &rule + &rows
        }
        Piece::Cases(lines) => lines.iter().map(|line| format!("    {line}\n")).collect(),
    }
}

fn labelled(label: &str) -> String {
    match label {
        "" => String::new(),
        label => format!("**{label}:** "),
    }
}

fn joined(spans: &[Span]) -> String {
    spans.iter().map(span).collect()
}

fn span(span: &Span) -> String {
    match span {
        Span::Words(words) => escaped(words),
        Span::Code(words) => format!("`{words}`"),
        Span::Link { to, words, code } => {
            let words = if *code {
                format!("`{words}`")
            } else {
                escaped(words)
            };
            format!("[{words}](#{to})")
        }
    }
}

/// Words with a backslash before whatever Markdown would read as more than words.
fn escaped(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    for character in words.chars() {
        if "\\`*_[]<>#|~".contains(character) {
            text.push('\\');
        }
        text.push(character);
    }
    text
}
