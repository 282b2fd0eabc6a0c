//! The document as one page of HTML that needs nothing else.

use super::{Piece, Span};

const STYLE: &str = "
:root { color-scheme: light dark; --ink: light-dark(#22302c, #dfe7e2); --paper: light-dark(#fbfaf6, #16201d);
  --faint: light-dark(#66736e, #96a49e); --line: light-dark(#d9d6ca, #33413c); --accent: light-dark(#1d6b5b, #7cc9b4); }
body { font: 1.0625rem/1.55 Georgia, 'Noto Serif', serif; color: var(--ink); background: var(--paper);
  max-width: 42rem; margin: 0 auto; padding: 2rem 1.25rem 4rem; }
h1, h2, h3 { line-height: 1.25; font-weight: 600; text-wrap: balance; }
h2 { margin-top: 3.5rem; padding-top: .75rem; border-top: 1px solid var(--line); }
h3 { margin-top: 2.25rem; font-size: 1.0625rem; }
h3 code { display: block; font-weight: 400; color: var(--faint); }
code, pre { font: .8125rem/1.5 ui-monospace, 'DejaVu Sans Mono', monospace; overflow-wrap: anywhere; }
pre { white-space: pre-wrap; }
a { color: var(--accent); text-underline-offset: .15em; text-decoration-thickness: 1px; }
p, ul { margin: .4rem 0; } ul { padding-left: 1.25rem; }
.label { color: var(--faint); }
table { border-collapse: collapse; font-size: .9375rem; display: block; overflow-x: auto; }
th, td { text-align: left; padding: .2rem 1rem .2rem 0; border-bottom: 1px solid var(--line); }
summary { color: var(--faint); }
:target { outline: 2px solid var(--accent); outline-offset: .35rem; }
@media print { body { max-width: none; font-size: 10pt; } h3 { break-after: avoid; } details { display: none; } }
";

pub(super) fn print(title: &str, language: &str, pieces: &[Piece]) -> String {
    let mut text = format!(
        "<!doctype html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n",
        escaped(language),
        escaped(title)
    );
    for piece in pieces {
        text.push_str(&block(piece));
        text.push('\n');
    }
    text.push_str("</main>\n</body>\n</html>\n");
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
                format!(" <code>{}</code>", escaped(name))
            };
            format!(
                "<h{level} id=\"{}\">{}{name}</h{level}>",
                escaped(id),
                escaped(words)
            )
        }
        Piece::Line { label, spans } => format!("<p>{}{}</p>", labelled(label), joined(spans)),
        Piece::List { label, items } => {
            let head = match *label {
                "" => String::new(),
                label => format!("<p>{}</p>", labelled(label).trim_end()),
            };
            let items = items
                .iter()
                .map(|item| format!("<li>{}</li>", joined(item)));
            format!("{head}<ul>{}</ul>", items.collect::<String>())
        }
        Piece::Table { head, rows } => {
            let cells = |cells: &[String], tag: &str| -> String {
                let cell = |cell: &String| format!("<{tag}>{}</{tag}>", escaped(cell));
                cells.iter().map(cell).collect()
            };
            let rows = rows
                .iter()
                .map(|row| format!("<tr>{}</tr>", cells(row, "td")));
            format!(
                "<table><thead><tr>{}</tr></thead><tbody>{}</tbody></table>",
                cells(head, "th"),
                rows.collect::<String>()
            )
        }
        Piece::Cases(lines) => format!(
            "<details><summary>{} cases</summary><pre>{}</pre></details>",
            lines.len(),
            escaped(&lines.join("\n"))
        ),
    }
}

fn labelled(label: &str) -> String {
    match label {
        "" => String::new(),
        label => format!("<span class=\"label\">{}</span> ", escaped(label)),
    }
}

fn joined(spans: &[Span]) -> String {
    spans.iter().map(span).collect()
}

fn span(span: &Span) -> String {
    match span {
        Span::Words(words) => escaped(words),
        Span::Code(words) => format!("<code>{}</code>", escaped(words)),
        Span::Link { to, words, code } => {
            let words = escaped(words);
            let words = if *code {
                format!("<code>{words}</code>")
            } else {
                words
            };
            format!("<a href=\"#{}\">{words}</a>", escaped(to))
        }
    }
}

fn escaped(words: &str) -> String {
    words
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
