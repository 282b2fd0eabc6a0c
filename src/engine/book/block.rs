//! Reads the blocks `group`, `term`, `source`, `caution`, `action` and `gate`, and settles which rules overrule which.

use super::super::expr::token::{DATE_HELP, days_of, no_date};
use super::super::normal::Normal;
use super::order::round;
use super::read::Reader;
use super::rule::{Action, Caution, Gate, Late, Need, Overrule, Source, Support};
use super::text::{Block, Field, Text};
use super::{Group, Term, body, column};

pub(crate) fn group(reader: &mut Reader, block: &Block<'_>) {
    let label = block
        .value("label")
        .unwrap_or_else(|| block.name.value.to_string());
    let about = block.value("about").unwrap_or_default();
    reader.groups.push(Group {
        name: block.name.value.to_string(),
        label,
        about,
    });
}

pub(crate) fn term(reader: &mut Reader, block: &Block<'_>) {
    let means = block.value("means").unwrap_or_default();
    if means.is_empty() {
        let help = "add a line `means` that says it in plain words";
        reader
            .log
            .hint(&block.name, "this term has no `means`", help);
    }
    let also = block.field("also").map(|field| field.text.split(","));
    let label = block
        .value("label")
        .unwrap_or_else(|| block.name.value.replace('-', " "));
    reader.terms.push(Term {
        name: block.name.value.to_string(),
        label,
        also: also
            .into_iter()
            .flatten()
            .map(|text| text.value.into_owned())
            .collect(),
        means,
    });
}

pub(crate) fn source(reader: &mut Reader, block: &Block<'_>) {
    let support = match block
        .field("kind")
        .map(|field| (field, field.text.value.as_ref()))
    {
        Some((_, "published")) => Support::Published,
        Some((_, "common practice")) => Support::CommonPractice,
        Some((_, "from memory")) => Support::FromMemory,
        Some((field, _)) => {
            reader.log.unknown(
                &field.text,
                "kind of source",
                ["published", "common practice", "from memory"],
            );
            Support::FromMemory
        }
        None => {
            let help = "say `published`, `common practice` or `from memory`";
            reader
                .log
                .hint(&block.name, "this source has no `kind`", help);
            Support::FromMemory
        }
    };
    let parts = ["authors", "year", "title", "where"].map(|keyword| block.value(keyword));
    let words: Vec<String> = parts.into_iter().flatten().collect();
    if words.is_empty() {
        reader
            .log
            .at(&block.name, "this source has neither title nor authors");
    }
    let source = Source {
        id: block.name.value.to_string(),
        words: words.join(". "),
        read: read_on(reader, block, support),
        support,
    };
    reader.sources.push(source);
}

/// The day on which a source was last read, or nothing.
fn read_on(reader: &mut Reader, block: &Block<'_>, support: Support) -> String {
    let Some(field) = block.field("read") else {
        return String::new();
    };
    if days_of(&field.text.value).is_none() {
        let message = no_date(&field.text.value);
        reader.log.hint(&field.text, message, DATE_HELP);
    } else if support != Support::Published {
        let help = "only a source of the kind `published` is read";
        let message = "this source has not been read, by its `kind`";
        reader.log.hint(&field.text, message, help);
    }
    field.text.value.to_string()
}

pub(crate) fn caution(reader: &mut Reader, block: &Block<'_>) {
    let text = block.value("text").unwrap_or_default();
    if text.is_empty() {
        reader.log.at(&block.name, "this caution has no `text`");
    }
    let sources = body::citations(&mut reader.known(), block);
    reader.cautions.push(Caution {
        id: block.name.value.to_string(),
        text,
        sources,
    });
}

pub(crate) fn action(reader: &mut Reader, block: &Block<'_>) {
    let unit = block
        .field("unit")
        .and_then(|field| column::find_unit(reader, &field.text));
    let action = Action {
        name: block.name.value.to_string(),
        label: block
            .value("label")
            .unwrap_or_else(|| block.name.value.replace('-', " ")),
        excludes: Vec::new(),
        unit,
        cautions: body::cautions(&mut reader.known(), block),
        gate: None,
    };
    reader.actions.push(action);
}

/// Settles what an action excludes; exclusion goes both ways.
pub(crate) fn exclusions(reader: &mut Reader, block: &Block<'_>) {
    let Some(own) = reader
        .actions
        .iter()
        .position(|action| action.name == block.name.value)
    else {
        return;
    };
    let Some(field) = block.field("excludes") else {
        return;
    };
    for name in field.text.split(",") {
        let Some(other) = find_action(reader, &name) else {
            continue;
        };
        if other == own as u32 {
            reader.log.at(&name, "an action cannot exclude itself");
            continue;
        }
        for (a, b) in [(own as u32, other), (other, own as u32)] {
            let excludes = &mut reader.actions[a as usize].excludes;
            if !excludes.contains(&b) {
                excludes.push(b);
            }
        }
    }
}

pub(crate) fn find_action(reader: &mut Reader, name: &Text<'_>) -> Option<u32> {
    let found = reader
        .actions
        .iter()
        .position(|action| action.name == name.value);
    if found.is_none() {
        let known: Vec<&str> = reader
            .actions
            .iter()
            .map(|action| action.name.as_str())
            .collect();
        reader.log.unknown(name, "action", known);
    }
    found.map(|index| index as u32)
}

/// Settles which rules a rule overrules.
pub(crate) fn overrules(reader: &mut Reader, block: &Block<'_>) {
    let mut overrules = Vec::new();
    for field in block.fields("overrules") {
        let Some((name, because)) = field.text.split_once(" because ") else {
            let help = "write it as `overrules RULE because TEXT`";
            reader
                .log
                .hint(&field.text, "this does not say why it overrules", help);
            continue;
        };
        match find_rule(reader, &name.value) {
            Some(rule) => overrules.push(Overrule {
                rule: rule as u32,
                because: because.value.into_owned(),
            }),
            None => {
                let known: Vec<&str> = reader.rules.iter().map(|rule| rule.name.as_str()).collect();
                reader.log.unknown(&name, "rule", known);
            }
        }
    }
    if overrules.is_empty() {
        return;
    }
    if let Some(own) = find_rule(reader, &block.name.value) {
        reader.rules[own].overrules = overrules.into();
    }
}

fn find_rule(reader: &Reader, name: &str) -> Option<usize> {
    reader.rules.iter().position(|rule| rule.name == name)
}

/// Reports rules that beat one another in a circle, each circle once.
pub(crate) fn overruling_circles(reader: &mut Reader) {
    let mut done = vec![false; reader.rules.len()];
    for root in 0..reader.rules.len() {
        // The rules on the way down from the root, each with the next of its own to follow.
        let mut way: Vec<(usize, usize)> = vec![(root, 0)];
        while let Some((rule, next)) = way.last_mut() {
            let (at, step) = (*rule, *next);
            *next += 1;
            let beaten = match reader.rules[at].overrules.get(step) {
                Some(overrule) if !done[at] => overrule.rule as usize,
                _ => {
                    done[at] = true;
                    way.pop();
                    continue;
                }
            };
            match way.iter().position(|(open, _)| *open == beaten) {
                Some(from) => overruling_circle(reader, &way[from..]),
                None if !done[beaten] => way.push((beaten, 0)),
                None => {}
            }
        }
    }
}

fn overruling_circle(reader: &mut Reader, circle: &[(usize, usize)]) {
    let names: Vec<&str> = circle
        .iter()
        .map(|(rule, _)| reader.rules[*rule].name.as_str())
        .collect();
    let message = match names.as_slice() {
        [only] => format!("`{only}` overrules itself"),
        _ => format!("overruling in a circle: {}", round(&names, "overrules")),
    };
    let place = reader.rules[circle[0].0].place;
    reader.log.marked(place, message);
}

pub(crate) fn gate(reader: &mut Reader, chapter: u32, block: &Block<'_>) {
    let Some(action) = find_action(reader, &block.name) else {
        return;
    };
    reader.actions[action as usize].gate = Some(reader.gates.len() as u32);
    let needs: Vec<Need> = block
        .fields
        .iter()
        .filter(|field| field.keyword.value == "needs" || field.keyword.value == "bars")
        .filter_map(|field| need(reader, field))
        .collect();
    let sources = body::needed_citations(&mut reader.known(), block);
    let gate = Gate {
        name: block.name.value.to_string(),
        chapter,
        action,
        ask: block.value("ask").unwrap_or_default(),
        needs,
        sources,
        place: block.name.mark(),
        late: Late::default(),
    };
    if reader.reads_cases {
        body::gate_cases(&mut reader.known(), block);
    }
    gate_is_whole(reader, block);
    reader.gates.push(gate);
}

fn gate_is_whole(reader: &mut Reader, block: &Block<'_>) {
    let mut wanted = |fields: &[&str], message: &str, help: &'static str| {
        if !fields.iter().any(|field| block.field(field).is_some()) {
            let message = format!("`{}` {message}", block.name.value);
            reader.log.hint(&block.name, message, help);
        }
    };
    wanted(&["ask"], "has no `ask`", "write the question it answers");
    wanted(
        &["needs", "bars"],
        "needs nothing",
        "add lines `needs CONDITION because TEXT`",
    );
    wanted(
        &["opens"],
        "has no case that opens it",
        "add a line `opens FACT VALUE, ...`",
    );
    wanted(
        &["waits", "refuses"],
        "has no case that keeps it shut",
        "add a line `waits ...` or `refuses ...`",
    );
}

fn need(reader: &mut Reader, field: &Field<'_>) -> Option<Need> {
    let Some((words, because)) = field.text.split_once(" because ") else {
        let help = "write it as `needs CONDITION because TEXT`";
        reader
            .log
            .hint(&field.text, "this need does not say why", help);
        return None;
    };
    let condition = body::condition(&mut reader.known(), &words)?;
    Some(Need {
        condition,
        normal: Normal::default(),
        because: because.value.into_owned(),
        bars: field.keyword.value == "bars",
    })
}
