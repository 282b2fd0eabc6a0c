//! Lines for a terminal: wrapped at 80 columns, coloured only where a person looks on.

use std::io::{IsTerminal, Write};

use super::Outcome;

const WIDTH: usize = 80;

/// Prints text; a reader that has gone away is no mistake.
pub(crate) fn print(text: &str) {
    let _ = std::io::stdout().write_all(text.as_bytes());
}

/// Prints an answer as JSON.
pub(crate) fn json(answer: &impl serde::Serialize) -> Result<Outcome, String> {
    let text = serde_json::to_string_pretty(answer).map_err(|error| error.to_string())?;
    print(&format!("{text}\n"));
    Ok(Outcome::Fine)
}

/// Lines that are being put together.
pub(crate) struct Page {
    text: String,
    colour: bool,
}

impl Page {
    pub fn new() -> Page {
        let colour = std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none();
        Page {
            text: String::new(),
            colour,
        }
    }

    /// One without colours, whoever looks on.
    pub fn plain() -> Page {
        Page {
            text: String::new(),
            colour: false,
        }
    }

    pub fn text(&self) -> &str {
        &self.text
    }

    pub fn print(self) {
        print(&self.text);
    }

    /// A line as it is.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    pub fn gap(&mut self) {
        self.text.push('\n');
    }

    /// A heading with a rule below it.
    pub fn heading(&mut self, text: &str) {
        let line = self.bold(text);
        self.text.push_str(&format!(
            "{line}\n{}\n",
            "-".repeat(text.chars().count().min(WIDTH))
        ));
    }

    /// A paragraph whose first line starts with `first`, the others with as many spaces.
    pub fn paragraph(&mut self, first: &str, text: &str) {
        let hanging = " ".repeat(first.chars().count());
        let room = WIDTH.saturating_sub(hanging.len()).max(20);
        let lines = wrapped(text, room);
        for (index, line) in lines.iter().enumerate() {
            self.text
                .push_str(if index == 0 { first } else { &hanging });
            self.text.push_str(line);
            self.text.push('\n');
        }
    }

    /// A paragraph that stands out.
    pub fn strong(&mut self, first: &str, text: &str) {
        let before = self.text.len();
        self.paragraph(first, text);
        if self.colour {
            let lines = self.text.split_off(before);
            self.text.push_str(&format!(
                "\u{1b}[1m{}\u{1b}[0m\n",
                lines.trim_end_matches('\n')
            ));
        }
    }

    fn bold(&self, text: &str) -> String {
        if self.colour {
            format!("\u{1b}[1m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }
}

fn wrapped(text: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().expect("there is always a line");
        let joined = line.chars().count() + word.chars().count() + usize::from(!line.is_empty());
        if joined > room && !line.is_empty() {
            lines.push(word.to_owned());
        } else {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}
