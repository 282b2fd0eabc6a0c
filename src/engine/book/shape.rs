//! The shape of a book: which blocks and fields there are, and that each name is given once.

use super::super::diagnostic::nearest;
use super::super::limit;
use super::super::unit::Index;
use super::column;
use super::text::{Block, File, Log, Walk};

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
static FIELDS: [(&str, &[&str]); 20] = [
    (
        "book",
        &[
            "format", "title", "edition", "language", "stage", "today", "chapters",
        ],
    ),
    ("chapter", &["about"]),
    ("group", &["label", "about"]),
    ("unit", &["is", "zero", "bare", "also", "says", "source"]),
    ("vague", &["means", "also"]),
    ("term", &["label", "also", "means"]),
    (
        "source",
        &["authors", "year", "title", "kind", "where", "read"],
    ),
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
            "list",
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
    ("list", &["column", "option", "row", "either"]),
    ("rule", &RULE_FIELDS),
    ("replace", &RULE_FIELDS),
    ("withdraw", &["reason"]),
    ("overlay", &["format", "title", "about"]),
    ("rows", &["row", "replace", "reason"]),
    ("phrase", &["says"]),
    (
        "gate",
        &[
            "ask", "given", "needs", "bars", "source", "opens", "waits", "refuses", "asks",
        ],
    ),
];

/// Fields each block of words may have, which puts a book into another language.
static WORDS: [(&str, &[&str]); 16] = [
    ("language", &["title"]),
    ("book", &["title"]),
    ("chapter", &["about"]),
    ("group", &["label", "about"]),
    ("term", &["label", "also", "means"]),
    ("unit", &["says"]),
    ("source", &["title", "where", "place"]),
    ("caution", &["text"]),
    ("action", &["label"]),
    ("fact", &["label", "ask", "how", "because", "option"]),
    ("derive", &["label", "because"]),
    ("table", &["label", "because", "option"]),
    ("list", &["column", "option", "row", "either"]),
    ("rule", &["finding", "advice", "because", "overrules"]),
    ("gate", &["ask", "needs", "bars"]),
    ("phrase", &["says"]),
];

/// Fields that may stand more than once in a block.
const REPEATED: [&str; 21] = [
    "place",
    "option",
    "column",
    "either",
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
    "replace",
    "needs",
    "bars",
    "opens",
    "waits",
    "refuses",
    "given",
];

/// The version of the rule text that this program reads, and the one of a text that names none.
const FORMAT: &str = "lentic-rules/1";

/// Reports books and overlays in another version of the rule text. Nothing else in them can be judged.
pub(crate) fn is_read(blocks: &[(u32, Block<'_>)], log: &mut Log) -> bool {
    let heads = blocks
        .iter()
        .map(|(_, block)| block)
        .filter(|block| matches!(&*block.keyword.value, "book" | "overlay"));
    let formats = heads.filter_map(|block| block.field("format"));
    let others: Vec<_> = formats.filter(|field| field.text.value != FORMAT).collect();
    for field in &others {
        let message = format!("this program does not read `{}`", field.text.value);
        log.hint(&field.text, message, format!("it reads `{FORMAT}`"));
    }
    others.is_empty()
}

/// Reports blocks and fields that there are none of. A misspelt one is read as what it is nearest to, so that the
/// slip is the only thing that is reported.
pub(crate) fn known_fields(blocks: &mut [(u32, Block<'_>)], log: &mut Log) {
    known_in(&FIELDS, blocks, log);
}

/// The same for blocks of words.
pub(crate) fn known_words(blocks: &mut [(u32, Block<'_>)], log: &mut Log) {
    known_in(&WORDS, blocks, log);
}

fn known_in(table: &'static [(&str, &[&str])], blocks: &mut [(u32, Block<'_>)], log: &mut Log) {
    for (_, block) in blocks {
        let keywords = table.iter().map(|(keyword, _)| *keyword);
        let known = |found: &str| table.iter().find(|(keyword, _)| *keyword == found);
        let (keyword, fields) = match known(&block.keyword.value) {
            Some(known) => known,
            None => {
                log.unknown(&block.keyword, "block", keywords.clone());
                let near = nearest(&block.keyword.value, keywords);
                let Some(near) = near.and_then(known) else {
                    continue;
                };
                block.keyword.value = near.0.into();
                near
            }
        };
        if block.name.is_empty() {
            log.at(&block.keyword, format!("this {keyword} has no name"));
        }
        if let Some(field) = block.fields.get(limit::FIELDS) {
            let message = format!("more than {} fields in one block", limit::FIELDS);
            log.at(&field.keyword, message);
            block.fields.truncate(limit::FIELDS);
        }
        fields_of(block, keyword, fields, log);
    }
}

fn fields_of(block: &mut Block<'_>, keyword: &str, known: &[&'static str], log: &mut Log) {
    // The fields that have been met, as bits.
    let mut seen = 0_u32;
    for field in &mut block.fields {
        let place = |name: &str| known.iter().position(|known| *known == name);
        let name = &*field.keyword.value;
        if let Some(at) = place(name) {
            let twice = seen >> at & 1 == 1 && !REPEATED.contains(&name);
            seen |= 1 << at;
            if twice {
                let message = format!("`{name}` stands twice in this {keyword}");
                log.at(&field.keyword, message);
            }
            continue;
        }
        let near = nearest(name, known.iter().copied());
        let help = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("it has {}", known.join(", ")),
        };
        let message = format!("`{name}` is no field of {}", with_article(keyword));
        log.hint(&field.keyword, message, help);
        if let Some(near) = near {
            seen |= place(near).map_or(0, |at| 1 << at);
            field.keyword.value = near.into();
        }
    }
}

/// Names that are used in conditions, in answers and in journals.
const NAMED: [&str; 13] = [
    "book", "overlay", "group", "term", "source", "caution", "action", "fact", "derive", "table",
    "list", "rule", "gate",
];

/// Names must be names, and each is given once; a block that takes another's is left out. Facts, actions and rules
/// are all asked for by name, so they share one set of names; a gate has that of its action.
pub(crate) fn names(blocks: &mut Vec<(u32, Block<'_>)>, files: &[File], log: &mut Log) {
    let mut first = Index::new();
    let mut kept = Vec::with_capacity(blocks.len());
    for (place, (_, block)) in (0..).zip(blocks.iter()) {
        let (keyword, name) = (&*block.keyword.value, &*block.name.value);
        if !NAMED.contains(&keyword) || name.is_empty() {
            kept.push(true);
            continue;
        }
        column::check_name(log, &block.name);
        let kind = match keyword {
            "fact" | "derive" | "table" | "rule" => "action",
            kind => kind,
        };
        let earlier = *first.entry(format!("{kind} {name}")).or_insert(place);
        kept.push(earlier == place);
        if earlier != place {
            let (_, earlier) = &blocks[earlier as usize];
            let line = Walk::from_start(files).to(earlier.name.place());
            let help = format!("see line {} of {}", line.number, line.file);
            let message = format!(
                "`{name}` is {} already",
                with_article(&earlier.keyword.value)
            );
            log.hint(&block.name, message, help);
        }
    }
    let mut kept = kept.into_iter();
    blocks.retain(|_| kept.next() == Some(true));
}

fn with_article(word: &str) -> String {
    let article = if word.starts_with('a') { "an" } else { "a" };
    format!("{article} {word}")
}
