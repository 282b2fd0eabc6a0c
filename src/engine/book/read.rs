//! Reads the files of a book in phases: units, names, columns, rules and gates, then what joins them.

use std::collections::{BTreeMap, BTreeSet};

use super::super::expr::compile::{ColumnId, Value};
use super::super::function::Function;
use super::super::kernel::{Builder, Kernel};
use super::super::limit;
use super::super::normal::Normal;
use super::super::unit::Measure;
use super::overlay::{self, Overlay};
use super::rule::{Action, Caution, Citation, Gate, Rule, Source};
use super::text::{Block, File, Log, Text, blocks};
use super::vocabulary::{Derivation, Origin, Signature, Vocabulary};
use super::{Book, Chapter, Group, Step, block, column, units};

/// What has been read so far.
pub(crate) struct Reader {
    pub log: Log,
    pub words: Vocabulary,
    pub groups: Vec<Group>,
    pub sources: Vec<Source>,
    pub cautions: Vec<Caution>,
    pub actions: Vec<Action>,
    pub rules: Vec<Rule>,
    /// Names of the rules read so far.
    pub rule_names: BTreeSet<String>,
    pub gates: Vec<Gate>,
    pub stage: Option<ColumnId>,
}

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
    ("", &[]),
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

pub(crate) fn read(files: Vec<File>, functions: &[Function], log: &mut Log) -> Book {
    let blocks = all_blocks(&files, log);
    known_fields(&blocks, log);
    let mut words = Vocabulary::default();
    words.functions = functions.to_vec();
    words.units = units::read(&blocks, log);
    let mut reader = Reader {
        log: std::mem::take(log),
        words,
        groups: Vec::new(),
        sources: Vec::new(),
        cautions: Vec::new(),
        actions: Vec::new(),
        rules: Vec::new(),
        rule_names: BTreeSet::new(),
        gates: Vec::new(),
        stage: None,
    };
    reader.signatures();
    let book = reader.book(files, &blocks);
    *log = reader.log;
    book
}

fn all_blocks(files: &[File], log: &mut Log) -> Vec<(u32, Block)> {
    let size: usize = files.iter().map(|file| file.text.len()).sum();
    let mut all = Vec::new();
    for (number, file) in files.iter().enumerate() {
        if size > limit::BOOK_BYTES {
            let place = super::super::diagnostic::Place {
                file: number as u32,
                line: 1,
                column: 1,
            };
            log.add(
                place,
                1,
                format!("this book is larger than {} bytes", limit::BOOK_BYTES),
                None,
            );
            return Vec::new();
        }
        all.extend(
            blocks(number as u32, &file.text, log)
                .into_iter()
                .map(|block| (number as u32, block)),
        );
    }
    if all.len() > limit::BLOCKS {
        log.at(
            &all[limit::BLOCKS].1.keyword.clone(),
            format!("more than {} blocks in one book", limit::BLOCKS),
        );
        all.truncate(limit::BLOCKS);
    }
    all
}

fn known_fields(blocks: &[(u32, Block)], log: &mut Log) {
    for (_, block) in blocks {
        let Some((_, fields)) = FIELDS
            .iter()
            .find(|(keyword, _)| *keyword == block.keyword.value && !keyword.is_empty())
        else {
            log.unknown(
                &block.keyword,
                "block",
                FIELDS.iter().map(|(keyword, _)| *keyword),
            );
            continue;
        };
        if block.name.is_empty() {
            log.at(
                &block.keyword,
                format!("this {} has no name", block.keyword.value),
            );
        }
        let mut seen: BTreeMap<&str, ()> = BTreeMap::new();
        for field in &block.fields {
            let keyword = field.keyword.value.as_str();
            if !fields.contains(&keyword) {
                log.unknown(
                    &field.keyword,
                    &format!("field of a {}", block.keyword.value),
                    fields.iter().copied(),
                );
            } else if seen.insert(keyword, ()).is_some() && !REPEATED.contains(&keyword) {
                log.at(&field.keyword, format!("`{keyword}` stands here twice"));
            }
        }
    }
}

impl Reader {
    /// Settles the units of the lent functions. A function whose units this book lacks cannot be called in it.
    fn signatures(&mut self) {
        let units = &self.words.units;
        let measure = |name: &str| match name {
            "" => Some((Measure::default(), None)),
            _ => units
                .find(name)
                .map(|id| (units.get(id).measure(), Some(id))),
        };
        let signature = |function: &Function| {
            let arguments: Vec<_> = function
                .arguments
                .iter()
                .map(|a| measure(a.unit))
                .collect::<Option<_>>()?;
            let (result, result_unit) = measure(function.unit)?;
            let (arguments, argument_units) = arguments.into_iter().unzip();
            let names = function
                .arguments
                .iter()
                .map(|argument| argument.name)
                .collect();
            Some(Signature {
                arguments,
                argument_units,
                names,
                result,
                result_unit,
            })
        };
        self.words.signatures = self.words.functions.iter().map(signature).collect();
    }

    fn book(&mut self, files: Vec<File>, blocks: &[(u32, Block)]) -> Book {
        let of = |keywords: &[&'static str]| -> Vec<(u32, &Block)> {
            blocks
                .iter()
                .filter(|(_, block)| keywords.contains(&block.keyword.value.as_str()))
                .map(|(chapter, block)| (*chapter, block))
                .collect()
        };
        let columns = of(&["fact", "derive", "table"]);
        of(&["group"])
            .iter()
            .for_each(|(_, block)| block::group(self, block));
        of(&["source"])
            .iter()
            .for_each(|(_, block)| block::source(self, block));
        of(&["caution"])
            .iter()
            .for_each(|(_, block)| block::caution(self, block));
        of(&["action"])
            .iter()
            .for_each(|(_, block)| block::action(self, block));
        of(&["action"])
            .iter()
            .for_each(|(_, block)| block::exclusions(self, block));
        columns
            .iter()
            .for_each(|(chapter, block)| column::declare(self, *chapter, block));
        let overlays = overlay::overlays(self, &of(&["overlay"]));
        let books = of(&["book"]);
        self.head(&books, &files, &overlays);
        columns
            .iter()
            .for_each(|(_, block)| column::define(self, block));
        let (rules, changes) = overlay::rules(
            self,
            &overlays,
            of(&["rule"]),
            &of(&["replace"]),
            &of(&["withdraw"]),
        );
        for (chapter, block) in &rules {
            block::rule(self, *chapter, block);
        }
        for rule in &mut self.rules {
            rule.change = changes.get(&rule.name).cloned();
        }
        rules
            .iter()
            .for_each(|(_, block)| block::overrules(self, block));
        of(&["gate"])
            .iter()
            .for_each(|(chapter, block)| block::gate(self, *chapter, block));
        of(&["unit"]).iter().for_each(|(_, block)| {
            self.citations(block);
        });
        block::overruling_circles(self);
        let kernel = self.normal_forms();
        let order = self.order();
        let worked = steps(&self.words, &order);
        let mut is_worked = vec![false; self.words.columns.len()];
        worked
            .iter()
            .for_each(|step| is_worked[step.id().0 as usize] = true);
        let below = worked_from(&self.words, &worked);
        let ranges = self
            .words
            .columns
            .iter()
            .map(|column| column.range)
            .collect();
        let head = books.first().map(|(_, block)| *block);
        let value = |keyword: &str| {
            head.and_then(|block| block.value(keyword))
                .unwrap_or_default()
        };
        Book {
            name: head
                .map(|block| block.name.value.clone())
                .unwrap_or_default(),
            title: value("title"),
            edition: value("edition"),
            language: value("language"),
            digest: digest(&files),
            today: head
                .and_then(|block| block.field("today"))
                .and_then(|field| self.words.find(&field.text.value)),
            chapters: chapters(&files, &of(&["chapter"]), &overlays),
            overlays,
            files,
            words: std::mem::take(&mut self.words),
            order,
            ranges,
            worked,
            is_worked,
            below,
            kernel,
            groups: std::mem::take(&mut self.groups),
            sources: std::mem::take(&mut self.sources),
            cautions: std::mem::take(&mut self.cautions),
            actions: std::mem::take(&mut self.actions),
            rules: std::mem::take(&mut self.rules),
            gates: std::mem::take(&mut self.gates),
        }
    }

    fn head(&mut self, books: &[(u32, &Block)], files: &[File], overlays: &[Overlay]) {
        let Some((_, block)) = books.first() else {
            let place = super::super::diagnostic::Place {
                file: 0,
                line: 1,
                column: 1,
            };
            let help = Some("start one file with `book NAME`".into());
            self.log
                .add(place, 1, "no file says which book this is", help);
            return;
        };
        if let Some((_, second)) = books.get(1) {
            self.log
                .at(&second.name, "a second `book`; there is one in a book");
        }
        for keyword in ["stage", "today"] {
            let Some(field) = block.field(keyword) else {
                continue;
            };
            let found = self.words.find(&field.text.value);
            if found.is_none() {
                self.log.unknown(&field.text, "fact", self.words.names());
            }
            if keyword == "stage" {
                self.stage = found;
            }
        }
        if let Some(field) = block.field("chapters") {
            self.chapter_list(&field.text, files, overlays);
        }
    }

    /// The list of chapters and the files handed over must be the same.
    fn chapter_list(&mut self, text: &Text, files: &[File], overlays: &[Overlay]) {
        let listed = text.split(",");
        let own = |index: &usize| {
            !overlays
                .iter()
                .any(|overlay| overlay.file as usize == *index)
        };
        let stems: Vec<&str> = (0..files.len())
            .filter(own)
            .map(|index| stem(&files[index].name))
            .collect();
        for name in &listed {
            if !stems.contains(&name.value.as_str()) {
                self.log.unknown(name, "chapter", stems.iter().copied());
            }
        }
        for stem in stems {
            if stem != "book" && !listed.iter().any(|name| name.value == stem) {
                self.log.at(
                    text,
                    format!("the file `{stem}` is not in the list of chapters"),
                );
            }
        }
    }

    /// The sources a block cites.
    pub fn citations(&mut self, block: &Block) -> Vec<Citation> {
        let mut citations = Vec::new();
        for field in block.fields("source") {
            let (id, place) = field
                .text
                .split_once(",")
                .unwrap_or((field.text.clone(), Text::default()));
            match self.sources.iter().position(|source| source.id == id.value) {
                Some(source) => citations.push(Citation {
                    source: source as u32,
                    place: place.value,
                }),
                None => {
                    let known: Vec<&str> = self
                        .sources
                        .iter()
                        .map(|source| source.id.as_str())
                        .collect();
                    self.log.unknown(&id, "source", known);
                }
            }
        }
        citations
    }

    /// Works out the normal form of every rule, need and derived truth, and the tables of rules and needs.
    fn normal_forms(&mut self) -> Kernel {
        let Reader {
            words,
            rules,
            gates,
            ..
        } = self;
        let mut builder = Builder::default();
        for rule in rules.iter() {
            builder.add(&if rule.is_withdrawn() {
                Normal::default()
            } else {
                Normal::of(&rule.conditions, words)
            });
        }
        for need in gates.iter_mut().flat_map(|gate| &mut gate.needs) {
            need.normal = Normal::of(std::slice::from_ref(&need.condition), words);
            builder.add(&need.normal);
        }
        for index in 0..words.columns.len() {
            if let Origin::Derived(Derivation::Truth { condition, .. }) =
                &words.columns[index].origin
            {
                let condition = condition.clone();
                let normal = Normal::of(std::slice::from_ref(&condition), words);
                words.columns[index].origin =
                    Origin::Derived(Derivation::Truth { condition, normal });
            }
        }
        builder.build(rules.len(), |id| {
            let column = words.get(id);
            (column.option_count(), column.range)
        })
    }

    /// Columns so that each stands after those it rests on; circles are mistakes.
    fn order(&mut self) -> Vec<ColumnId> {
        let count = self.words.columns.len();
        let mut state = vec![Mark::New; count];
        let mut order = Vec::with_capacity(count);
        for index in 0..count {
            self.visit(ColumnId(index as u32), &mut state, &mut order);
        }
        order
    }

    /// Depth first with a stack of our own: a long chain of facts must not exhaust the machine's.
    fn visit(&mut self, root: ColumnId, state: &mut [Mark], order: &mut Vec<ColumnId>) {
        let mut stack = vec![(root, false)];
        while let Some((id, done)) = stack.pop() {
            let mark = &mut state[id.0 as usize];
            if done {
                *mark = Mark::Placed;
                order.push(id);
                continue;
            }
            if *mark != Mark::New {
                continue;
            }
            *mark = Mark::Open;
            stack.push((id, true));
            for next in rests_on(&self.words, id) {
                match state[next.0 as usize] {
                    Mark::Open => self.circle(next),
                    Mark::New => stack.push((next, false)),
                    Mark::Placed => {}
                }
            }
        }
    }

    fn circle(&mut self, id: ColumnId) {
        let column = self.words.get(id);
        let message = format!("`{}` rests on itself in a circle", column.name);
        self.log.at(&column.place.clone(), message);
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Mark {
    New,
    Open,
    Placed,
}

/// The columns that a column's value is worked out from.
pub(crate) fn rests_on(words: &Vocabulary, id: ColumnId) -> Vec<ColumnId> {
    let mut found = Vec::new();
    match &words.get(id).origin {
        Origin::Given {
            otherwise: Some(value),
        } => value.columns(&mut |column| found.push(column)),
        Origin::Derived(Derivation::Number(value)) => {
            Value::columns(value, &mut |column| found.push(column))
        }
        Origin::Derived(Derivation::Truth { condition, normal }) => {
            condition.columns(&mut |column| found.push(column));
            normal.columns(&mut |column| found.push(column));
        }
        Origin::Test(condition) => condition.columns(&mut |column| found.push(column)),
        Origin::Order { left, right } => found.extend([*left, *right]),
        Origin::Table(table) => found.extend(&table.by),
        Origin::Feature { series, .. } => found.push(*series),
        Origin::Given { otherwise: None } | Origin::Derived(Derivation::Unread) => {}
    }
    found
}

/// What is worked out, in this order.
fn steps(words: &Vocabulary, order: &[ColumnId]) -> Vec<Step> {
    let step = |id: &ColumnId| match words.get(*id).origin {
        Origin::Given { otherwise: None } => None,
        Origin::Order { left, right } => Some(Step::Order {
            id: *id,
            left,
            right,
        }),
        _ => Some(Step::Other(*id)),
    };
    order.iter().filter_map(step).collect()
}

/// The columns that each of these rests on.
fn worked_from(words: &Vocabulary, worked: &[Step]) -> Box<[Box<[ColumnId]>]> {
    worked
        .iter()
        .map(|step| rests_on(words, step.id()).into_boxed_slice())
        .collect()
}

/// The name of a file without folders and ending.
pub(crate) fn stem(name: &str) -> &str {
    let base = name.rsplit(['/', '\\']).next().unwrap_or(name);
    base.strip_suffix(".rules").unwrap_or(base)
}

fn chapters(files: &[File], blocks: &[(u32, &Block)], overlays: &[Overlay]) -> Vec<Chapter> {
    let chapter = |(index, file): (usize, &File)| {
        if let Some(overlay) = overlays
            .iter()
            .find(|overlay| overlay.file as usize == index)
        {
            return Chapter {
                title: overlay.title.clone(),
                about: overlay.about.clone(),
            };
        }
        let block = blocks
            .iter()
            .find(|(number, _)| *number as usize == index)
            .map(|(_, block)| *block);
        Chapter {
            title: block.map_or_else(
                || stem(&file.name).to_owned(),
                |block| block.name.value.clone(),
            ),
            about: block
                .and_then(|block| block.value("about"))
                .unwrap_or_default(),
        }
    };
    files.iter().enumerate().map(chapter).collect()
}

fn digest(files: &[File]) -> String {
    use sha2::{Digest, Sha256};
    let mut hash = Sha256::new();
    for file in files {
        hash.update(stem(&file.name));
        hash.update([0]);
        hash.update(file.text.replace("\r\n", "\n"));
        hash.update([0]);
    }
    hash.finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
