//! What rules say in full, and the cases beside rules, gates and derived facts: read once to find their mistakes and
//! to make the tables, and again when someone asks for them.

use super::super::diagnostic::Mark;
use super::super::expr::compile::{ColumnId, Condition, Test, Value};
use super::super::expr::parse::expression;
use super::super::facts::Given;
use super::super::normal::Normal;
use super::super::unit::Measure;
use super::block::find_action;
use super::message::{Message, message};
use super::read::{Known, Reader};
use super::rule::{Body, Case, Citation, Gate, IfOpen, Late, Rule, Urgency};
use super::text::{Block, Field, Log, Text, block_at};
use super::vocabulary::{Column, Origin, Words};
use super::{Book, case};

impl Rule {
    /// What the rule says in full.
    pub fn body<'b>(&'b self, book: &'b Book) -> &'b Body {
        self.late.read(|| {
            let read = |known: &mut Known<'_>, block: &Block<'_>| body(known, block, self.action);
            let mut body = book.again(self.place, read);
            if !self.is_withdrawn() {
                body.normal = Normal::of(&body.conditions, &mut &book.words);
            }
            body
        })
    }

    /// Its cases.
    pub fn cases<'b>(&'b self, book: &'b Book) -> &'b [Case] {
        let read = |known: &mut Known<'_>, block: &Block<'_>| cases(known, block, &CASES);
        self.cases.read(|| book.again(self.place, read))
    }
}

impl Gate {
    /// Its cases.
    pub fn cases<'b>(&'b self, book: &'b Book) -> &'b [Case] {
        self.late.read(|| book.again(self.place, gate_cases))
    }
}

impl Column {
    /// What it must come to, case by case.
    pub fn cases<'b>(&'b self, book: &'b Book) -> &'b [Case] {
        match self.origin {
            Origin::Derived(_) | Origin::Table(_) => {
                self.late.read(|| book.again(self.place, column_cases))
            }
            _ => &[],
        }
    }
}

impl Book {
    /// Reads something anew from the block whose name stands at a place. It was read without a mistake before.
    fn again<T: Default>(
        &self,
        name: Mark,
        read: impl FnOnce(&mut Known<'_>, &Block<'_>) -> T,
    ) -> T {
        let mut known = Known {
            words: Words::Whole(&self.words),
            stage: self.stage,
            actions: &self.actions,
            sources: &self.sources,
            cautions: &self.cautions,
            log: &mut Log::default(),
        };
        let block = block_at(&self.files, name.place);
        block.map_or_else(T::default, |block| read(&mut known, &block))
    }
}

/// With what the cases of a rule begin.
const CASES: [&str; 3] = ["holds", "fails", "asks"];

/// Reads a rule, and puts its conditions into the tables.
pub(crate) fn rule(reader: &mut Reader, chapter: u32, block: &Block<'_>) {
    let action = match block.field("advise") {
        Some(field) => find_action(reader, &field.text).unwrap_or(0),
        None => {
            missing(&mut reader.log, block, "advise", "name an action");
            0
        }
    };
    let body = body(&mut reader.known(), block, action);
    if reader.reads_cases {
        cases(&mut reader.known(), block, &CASES);
    }
    let mut changes = reader.changes.iter();
    let change = changes.find(|(name, _)| *name == block.name.value);
    let rule = Rule {
        name: block.name.value.to_string(),
        chapter,
        action,
        urgency: urgency(&mut reader.log, block),
        if_open: if_open(&mut reader.log, block),
        overrules: Box::default(),
        change: change.map(|(_, change)| Box::new(change.clone())),
        place: block.name.mark(),
        late: Late::default(),
        cases: Late::default(),
    };
    for wanted in ["holds", "fails"] {
        if block.field(wanted).is_none() {
            let message = format!("`{}` has no case that {wanted}", rule.name);
            let help = format!("add a line `{wanted} FACT VALUE, ...`");
            reader.log.hint(&block.name, message, help);
        }
    }
    let normal = match rule.is_withdrawn() {
        true => Normal::default(),
        false => Normal::of(&body.conditions, &mut reader.words),
    };
    reader.tables.add(&normal);
    reader.rules.push(rule);
}

/// What a rule says in full, but for the normal form of its conditions.
fn body(known: &mut Known<'_>, block: &Block<'_>, action: u32) -> Body {
    let has_amount = block.field("amount").is_some();
    Body {
        conditions: conditions(known, block),
        normal: Normal::default(),
        amount: amount(known, block, action),
        finding: sentence(known, block, "finding", has_amount),
        advice: sentence(known, block, "advice", has_amount),
        because: sentence(known, block, "because", has_amount),
        sources: needed_citations(known, block),
        cautions: cautions(known, block),
        cases: case_fields(block, &CASES).map(case::words).collect(),
    }
}

fn missing(log: &mut Log, block: &Block<'_>, field: &str, help: &'static str) {
    let message = format!("`{}` has no `{field}`", block.name.value);
    log.hint(&block.name, message, help);
}

/// The cautions a block names.
pub(crate) fn cautions(known: &mut Known<'_>, block: &Block<'_>) -> Vec<u32> {
    let mut found = Vec::new();
    for field in block.fields("caution") {
        for id in field.text.split(",") {
            let mut cautions = known.cautions.iter();
            match cautions.position(|caution| caution.id == id.value) {
                Some(index) => found.push(index as u32),
                None => {
                    let ids = known.cautions.iter().map(|caution| caution.id.as_str());
                    known.log.unknown(&id, "caution", ids);
                }
            }
        }
    }
    found
}

/// The sources a block cites.
pub(crate) fn citations(known: &mut Known<'_>, block: &Block<'_>) -> Vec<Citation> {
    let fields = block.fields("source");
    fields
        .filter_map(|field| citation(known, &field.text))
        .collect()
}

/// A source, and perhaps a place in it.
pub(crate) fn citation(known: &mut Known<'_>, text: &Text<'_>) -> Option<Citation> {
    let (id, place) = match text.split_once(",") {
        Some((id, place)) => (id, place.value.into_owned()),
        None => (text.clone(), String::new()),
    };
    let mut sources = known.sources.iter();
    let Some(source) = sources.position(|source| source.id == id.value) else {
        let ids = known.sources.iter().map(|source| source.id.as_str());
        known.log.unknown(&id, "source", ids);
        return None;
    };
    Some(Citation {
        source: source as u32,
        place,
    })
}

/// The same for a block that must cite one.
pub(crate) fn needed_citations(known: &mut Known<'_>, block: &Block<'_>) -> Vec<Citation> {
    if block.field("source").is_none() {
        let message = format!("`{}` has no source", block.name.value);
        known
            .log
            .hint(&block.name, message, "add a line `source ID`");
    }
    citations(known, block)
}

fn conditions(known: &mut Known<'_>, block: &Block<'_>) -> Vec<Condition> {
    let mut conditions: Vec<Condition> = block
        .field("during")
        .and_then(|field| during(known, field))
        .into_iter()
        .collect();
    for field in &block.fields {
        match &*field.keyword.value {
            "when" | "and" => conditions.extend(condition(known, &field.text)),
            "unless" => {
                if let Some(inner) = condition(known, &field.text) {
                    let text = format!("not ({})", inner.text);
                    conditions.push(Condition {
                        test: Test::Not(Box::new(inner)),
                        text,
                    });
                }
            }
            _ => {}
        }
    }
    if !["during", "when", "and", "unless"]
        .iter()
        .any(|keyword| block.field(keyword).is_some())
    {
        missing(known.log, block, "when", "say when it holds");
    }
    conditions
}

pub(crate) fn condition(known: &mut Known<'_>, text: &Text<'_>) -> Option<Condition> {
    let expr = expression(text, &known.words.units, known.log)?;
    known.resolver(text).condition(&expr)
}

fn during(known: &mut Known<'_>, field: &Field<'_>) -> Option<Condition> {
    let Some(stage) = known.stage else {
        known.log.hint(
            &field.keyword,
            "this book has no stages",
            "name the stage fact in `book`",
        );
        return None;
    };
    let mut mask = 0;
    for name in field.text.split(",") {
        let column = known.words.get(stage);
        match column.option(&name.value) {
            Some(index) => mask |= 1 << index,
            None => {
                let stages = column.options.iter().map(|option| option.name.as_str());
                known.log.unknown(&name, "stage", stages);
            }
        }
    }
    let text = format!(
        "{} is one of {}",
        known.words.get(stage).name,
        field.text.value
    );
    Some(Condition {
        test: Test::OneOf {
            column: stage,
            mask,
        },
        text,
    })
}

fn amount(known: &mut Known<'_>, block: &Block<'_>, action: u32) -> Option<Value> {
    let field = block.field("amount")?;
    let Some(unit) = known
        .actions
        .get(action as usize)
        .and_then(|action| action.unit)
    else {
        let help = "give the action a `unit`";
        known.log.hint(
            &field.keyword,
            "the action of this rule takes no amount",
            help,
        );
        return None;
    };
    let measure: Measure = known.words.units.get(unit).measure();
    let expr = expression(&field.text, &known.words.units, known.log)?;
    known.resolver(&field.text).amount(&expr, &measure)
}

fn urgency(log: &mut Log, block: &Block<'_>) -> Urgency {
    let Some(field) = block.field("urgency") else {
        missing(
            log,
            block,
            "urgency",
            "say `danger`, `today`, `soon` or `note`",
        );
        return Urgency::Note;
    };
    match field.text.value.as_ref() {
        "danger" => Urgency::Danger,
        "today" => Urgency::Today,
        "soon" => Urgency::Soon,
        "note" => Urgency::Note,
        _ => {
            log.unknown(&field.text, "urgency", ["danger", "today", "soon", "note"]);
            Urgency::Note
        }
    }
}

fn if_open(log: &mut Log, block: &Block<'_>) -> IfOpen {
    let Some(field) = block.field("if") else {
        missing(
            log,
            block,
            "if open",
            "say `if open ask`, `warn` or `silent`",
        );
        return IfOpen::Silent;
    };
    let (open, word) = field.text.first_word();
    if open.value != "open" {
        log.hint(
            &field.text,
            "`if` goes on with `open`",
            "write `if open ask`, `warn` or `silent`",
        );
    }
    match word.value.as_ref() {
        "ask" => IfOpen::Ask,
        "warn" => IfOpen::Warn,
        "silent" => IfOpen::Silent,
        _ => {
            log.unknown(&word, "word after `if open`", ["ask", "warn", "silent"]);
            IfOpen::Silent
        }
    }
}

fn sentence(known: &mut Known<'_>, block: &Block<'_>, keyword: &str, amount: bool) -> Message {
    match block.field(keyword) {
        Some(field) if !field.text.is_empty() => {
            message(&field.text, amount, &known.words, known.log)
        }
        _ => {
            missing(known.log, block, keyword, "write a sentence");
            Message::default()
        }
    }
}

fn cases(known: &mut Known<'_>, block: &Block<'_>, keywords: &[&str]) -> Vec<Case> {
    let mut given: Vec<(ColumnId, Given)> = Vec::new();
    for field in block.fields("given") {
        given.extend(case::facts(known, &field.text).unwrap_or_default());
    }
    case_fields(block, keywords)
        .filter_map(|field| case::case(known, field, &given))
        .collect()
}

fn case_fields<'b>(block: &'b Block<'_>, keywords: &[&str]) -> impl Iterator<Item = &'b Field<'b>> {
    let is_case = |field: &&Field<'_>| keywords.contains(&&*field.keyword.value);
    block.fields.iter().filter(is_case)
}

/// The cases of a gate.
pub(crate) fn gate_cases(known: &mut Known<'_>, block: &Block<'_>) -> Vec<Case> {
    cases(known, block, &["opens", "waits", "refuses", "asks"])
}

/// The cases of a derived fact or a table.
pub(crate) fn column_cases(known: &mut Known<'_>, block: &Block<'_>) -> Vec<Case> {
    let Some(id) = known.words.find(&block.name.value) else {
        return Vec::new();
    };
    let cases = block.fields("gives");
    cases
        .filter_map(|field| case::gives(known, id, field))
        .collect()
}
