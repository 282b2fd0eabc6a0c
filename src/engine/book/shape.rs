//! The shape of a book: which blocks and fields there are, and that each name is given once.

use std::collections::{BTreeMap, BTreeSet};

use super::super::diagnostic::nearest;
use super::super::limit;
use super::column;
use super::text::{Block, File, Log, Text};

/// Fields of a rule; `reason` stands where a rule replaces another.
const RULE_FIELDS: [&str; 19] = [
    "during",
    "given",
    "when",
    "and",
    "unless",
    "advise",
    "amount",
    "urgency",
    "if",
    "finding",
    "advice",
    "because",
    "source",
    "caution",
    "overrules",
    "holds",
    "fails",
    "asks",
    "reason",
];

/// Fields each block may have.
const FIELDS: [(&str, &[&str]); 17] = [
    (
        "book",
        &["title", "edition", "language", "stage", "today", "chapters"],
    ),
    ("chapter", &["about"]),
    ("group", &["label", "about"]),
    ("unit", &["is", "zero", "bare", "also", "source"]),
    ("vague", &["means", "also"]),
    ("term", &["label", "also", "means"]),
    ("source", &["authors", "year", "title", "kind", "where"]),
    ("caution", &["text", "source"]),
    ("action", &["label", "excludes", "unit", "caution"]),
    (
        "fact",
        &[
            "label",
            "ask",
            "group",
            "kind",
            "unit",
            "also",
            "range",
            "smallest",
            "spread",
            "stale",
            "option",
            "how",
            "decimals",
            "effort",
            "otherwise",
            "source",
            "because",
        ],
    ),
    (
        "derive",
        &[
            "label", "unit", "kind", "range", "decimals", "is", "because", "source", "gives",
        ],
    ),
    (
        "table",
        &[
            "label", "unit", "option", "decimals", "by", "row", "because", "source", "gives",
        ],
    ),
    ("rule", &RULE_FIELDS),
    ("replace", &RULE_FIELDS),
    ("withdraw", &["reason"]),
    ("overlay", &["title", "about"]),
    (
        "gate",
        &[
            "ask", "given", "needs", "bars", "source", "opens", "waits", "refuses", "asks",
        ],
    ),
];

/// Fields that may stand more than once in a block.
const REPEATED: [&str; 17] = [
    "option",
    "source",
    "caution",
    "and",
    "unless",
    "overrules",
    "holds",
    "fails",
    "asks",
    "gives",
    "row",
    "needs",
    "bars",
    "opens",
    "waits",
    "refuses",
    "given",
];

/// Reports blocks and fields that there are none of. A misspelt one is read as what it is nearest to, so that the
/// slip is the only thing that is reported.
pub(crate) fn known_fields(blocks: &mut [(u32, Block)], log: &mut Log) {
    for (_, block) in blocks {
        let keywords = FIELDS.iter().map(|(keyword, _)| *keyword);
        let found = block.keyword.clone();
        let keyword = match keywords.clone().find(|known| *known == found.value) {
            Some(known) => known,
            None => {
                log.unknown(&found, "block", keywords.clone());
                let Some(near) = nearest(&found.value, keywords) else {
                    continue;
                };
                block.keyword.value = near.to_owned();
                near
            }
        };
        let fields = FIELDS.iter().find(|(known, _)| *known == keyword);
        if block.name.is_empty() {
            log.at(&block.keyword, format!("this {keyword} has no name"));
        }
        if let Some(field) = block.fields.get(limit::FIELDS) {
            let message = format!("more than {} fields in one block", limit::FIELDS);
            log.at(&field.keyword, message);
            block.fields.truncate(limit::FIELDS);
        }
        if let Some((_, fields)) = fields {
            fields_of(block, keyword, fields, log);
        }
    }
}

fn fields_of(block: &mut Block, keyword: &str, known: &[&str], log: &mut Log) {
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for field in &mut block.fields {
        let name = field.keyword.value.clone();
        if !known.contains(&name.as_str()) {
            let near = nearest(&name, known.iter().copied());
            let help = match near {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("it has {}", known.join(", ")),
            };
            let message = format!("`{name}` is no field of {}", with_article(keyword));
            log.hint(&field.keyword, message, help);
            field.keyword.value = near.unwrap_or(&name).to_owned();
        }
        let once = !REPEATED.contains(&field.keyword.value.as_str());
        if !seen.insert(field.keyword.value.clone()) && once && known.contains(&name.as_str()) {
            let message = format!("`{name}` stands twice in this {keyword}");
            log.at(&field.keyword, message);
        }
    }
}

/// Names that are used in conditions, in answers and in journals.
const NAMED: [&str; 12] = [
    "book", "overlay", "group", "term", "source", "caution", "action", "fact", "derive", "table",
    "rule", "gate",
];

/// Names must be names, and each is given once; a block that takes another's is left out. Facts, actions and rules
/// are all asked for by name, so they share one set of names; a gate has that of its action.
pub(crate) fn names(blocks: &mut Vec<(u32, Block)>, files: &[File], log: &mut Log) {
    let mut first: BTreeMap<(String, String), (Text, String)> = BTreeMap::new();
    blocks.retain(|(_, block)| {
        let keyword = block.keyword.value.as_str();
        if !NAMED.contains(&keyword) || block.name.is_empty() {
            return true;
        }
        column::check_name(log, &block.name);
        let kind = match keyword {
            "fact" | "derive" | "table" | "rule" => "action",
            kind => kind,
        };
        let key = (kind.to_owned(), block.name.value.clone());
        let Some((name, earlier)) = first.get(&key) else {
            first.insert(key, (block.name.clone(), keyword.to_owned()));
            return true;
        };
        let file = &files[name.place().file as usize].name;
        let help = format!("see line {} of {file}", name.place().line);
        let message = format!("`{}` is {} already", name.value, with_article(earlier));
        log.hint(&block.name, message, help);
        false
    });
}

fn with_article(word: &str) -> String {
    let article = if word.starts_with('a') { "an" } else { "a" };
    format!("{article} {word}")
}
