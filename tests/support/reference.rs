//! The tables of `reference/`, each value with its source beside it, and how a function is held against them.

use std::collections::HashMap;

pub struct Row(HashMap<String, String>);

impl Row {
    pub fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{}: {column} is not a number: {text:?}", self.text("id")))
    }

    pub fn accepts(&self, value: f64) -> bool {
        let (expected, tolerance) = (self.number("expected"), self.number("tolerance"));
        match self.text("tol_type") {
            "abs" => (value - expected).abs() <= tolerance,
            "rel" => (value - expected).abs() <= tolerance * expected.abs(),
            other => panic!("{}: unknown kind of tolerance {other:?}", self.text("id")),
        }
    }
}

fn fields(line: &str) -> Vec<String> {
    let (mut fields, mut quoted) = (vec![String::new()], false);
    for character in line.chars() {
        match character {
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            _ => fields.last_mut().unwrap().push(character),
        }
    }
    fields
}

pub fn rows(file: &str) -> Vec<Row> {
    let path = format!("{}/tests/reference/{file}.csv", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    let mut lines = text.lines();
    let columns = fields(lines.next().expect("a line of column names"));
    lines
        .map(|line| {
            let values = fields(line);
            assert_eq!(values.len(), columns.len(), "{file}: {line}");
            Row(columns.iter().cloned().zip(values).collect())
        })
        .collect()
}

/// Checks `checked` rows against `value`, and that just `passed_over` rows are not checked: those
/// without a tolerance, and those for which `value` has none.
#[track_caller]
pub fn check(
    file: &str,
    checked: usize,
    passed_over: usize,
    mut value: impl FnMut(&Row) -> Option<f64>,
) {
    let (mut seen, mut unseen, mut wrong) = (0, 0, Vec::new());
    for row in rows(file) {
        let found = match row.text("tolerance") {
            "" => None,
            _ => value(&row),
        };
        let Some(found) = found else {
            unseen += 1;
            continue;
        };
        seen += 1;
        if !row.accepts(found) {
            wrong.push(format!(
                "{}: {found} instead of {} ± {} {}",
                row.text("id"),
                row.text("expected"),
                row.text("tolerance"),
                row.text("tol_type"),
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!((seen, unseen), (checked, passed_over), "rows of {file}");
}
