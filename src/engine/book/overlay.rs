//! Overlays: files of a reader's own that add, replace and withdraw rules of a book.

use super::read::Reader;
use super::rule::{Change, ChangeKind};
use super::text::{Block, Text};

/// A block with the number of its file.
type Sited<'a> = (u32, &'a Block<'a>);

/// A file that changes a book.
#[derive(Debug, Clone)]
pub(crate) struct Overlay {
    pub name: String,
    pub title: String,
    pub about: String,
    /// The number of its file.
    pub file: u32,
}

/// The overlays among the files, each known by its block `overlay`.
pub(crate) fn overlays(reader: &mut Reader, blocks: &[(u32, &Block<'_>)]) -> Vec<Overlay> {
    let mut overlays: Vec<Overlay> = Vec::new();
    for (file, block) in blocks {
        if overlays.iter().any(|overlay| overlay.file == *file) {
            reader.log.at(&block.name, "a second `overlay` in one file");
            continue;
        }
        overlays.push(Overlay {
            name: block.name.value.to_string(),
            title: block
                .value("title")
                .unwrap_or_else(|| block.name.value.to_string()),
            about: block.value("about").unwrap_or_default(),
            file: *file,
        });
    }
    overlays
}

/// Rows that an overlay adds to a list or puts in the place of others.
pub(crate) struct Rows<'a> {
    pub block: &'a Block<'a>,
    pub change: RowChange,
}

/// What an overlay did to a row of a list.
#[derive(Debug, Clone)]
pub(crate) struct RowChange {
    pub overlay: u32,
    pub reason: String,
}

/// The rows of overlays, each for a list that the book has.
pub(crate) fn rows<'a>(
    reader: &mut Reader,
    overlays: &[Overlay],
    lists: &[Sited<'_>],
    rows: &[Sited<'a>],
) -> Vec<Rows<'a>> {
    let mut found = Vec::new();
    for (file, block) in rows {
        let mut names = lists.iter().map(|(_, list)| &*list.name.value);
        if !names.any(|name| name == block.name.value) {
            let names: Vec<&str> = lists.iter().map(|(_, list)| &*list.name.value).collect();
            reader.log.unknown(&block.name, "list", names);
            continue;
        }
        let Some((overlay, reason)) = why(reader, overlays, *file, block) else {
            continue;
        };
        found.push(Rows {
            block,
            change: RowChange { overlay, reason },
        });
    }
    found
}

/// The blocks of all rules, a replaced one giving way to the one that replaces it; and what was changed, by name.
pub(crate) fn rules<'a>(
    reader: &mut Reader,
    overlays: &[Overlay],
    rules: Vec<Sited<'a>>,
    replaced: &[Sited<'a>],
    withdrawn: &[(u32, &Block<'_>)],
) -> (Vec<Sited<'a>>, Vec<(String, Change)>) {
    let mut rules = rules;
    let mut changes = Vec::new();
    for (file, block) in replaced {
        let found = rules
            .iter()
            .position(|(_, rule)| rule.name.value == block.name.value);
        if let Some(at) = found.or_else(|| no_rule(reader, &rules, &block.name)) {
            if let Some(change) = change(reader, overlays, *file, block, ChangeKind::Replaced) {
                once(reader, &mut changes, &block.name, change);
            }
            rules[at] = (*file, block);
        }
    }
    for (file, block) in withdrawn {
        let found = rules
            .iter()
            .position(|(_, rule)| rule.name.value == block.name.value);
        if found
            .or_else(|| no_rule(reader, &rules, &block.name))
            .is_some()
            && let Some(change) = change(reader, overlays, *file, block, ChangeKind::Withdrawn)
        {
            once(reader, &mut changes, &block.name, change);
        }
    }
    (rules, changes)
}

fn no_rule(reader: &mut Reader, rules: &[(u32, &Block<'_>)], name: &Text<'_>) -> Option<usize> {
    let known: Vec<&str> = rules.iter().map(|(_, rule)| &*rule.name.value).collect();
    reader.log.unknown(name, "rule", known);
    None
}

fn change(
    reader: &mut Reader,
    overlays: &[Overlay],
    file: u32,
    block: &Block<'_>,
    kind: ChangeKind,
) -> Option<Change> {
    let (overlay, reason) = why(reader, overlays, file, block)?;
    Some(Change {
        overlay,
        kind,
        reason,
    })
}

/// The overlay that a change stands in, and its reason.
fn why(
    reader: &mut Reader,
    overlays: &[Overlay],
    file: u32,
    block: &Block<'_>,
) -> Option<(u32, String)> {
    let what = match &*block.keyword.value {
        "rows" => "a list",
        _ => "a rule",
    };
    let Some(overlay) = overlays.iter().position(|overlay| overlay.file == file) else {
        let help = "start the file with `overlay NAME`";
        let message = match what {
            "a list" => "only an overlay changes lists of a book",
            _ => "only an overlay changes rules of a book",
        };
        reader.log.hint(&block.keyword, message, help);
        return None;
    };
    let Some(reason) = block.value("reason").filter(|reason| !reason.is_empty()) else {
        let help = "add a line `reason ...`";
        let message = format!("this change of {what} has no reason");
        reader.log.hint(&block.name, message, help);
        return None;
    };
    Some((overlay as u32, reason))
}

fn once(reader: &mut Reader, changes: &mut Vec<(String, Change)>, name: &Text<'_>, change: Change) {
    match changes.iter_mut().find(|(known, _)| *known == name.value) {
        None => changes.push((name.value.to_string(), change)),
        Some(known) => {
            known.1 = change;
            let message = format!("the rule `{}` is changed twice", name.value);
            reader.log.at(name, message);
        }
    }
}
