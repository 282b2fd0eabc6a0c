//! Reads the blocks `group`, `term`, `source`, `caution`, `action`, `rule` and `gate`.

use super::super::expr::compile::{ColumnId, Condition, Test};
use super::super::expr::parse::expression;
use super::super::expr::resolve::Resolver;
use super::super::facts::Given;
use super::super::normal::Normal;
use super::super::unit::Measure;
use super::message::{Message, message};
use super::order::round;
use super::read::Reader;
use super::rule::{
    Action, Case, Caution, Gate, IfOpen, Need, Overrule, Rule, Source, Support, Urgency,
};
use super::text::{Block, Field, Text};
use super::{Group, Term, case, column};

pub(crate) fn group(reader: &mut Reader, block: &Block) {
    let label = block
        .value("label")
        .unwrap_or_else(|| block.name.value.clone());
    let about = block.value("about").unwrap_or_default();
    reader.groups.push(Group {
        name: block.name.value.clone(),
        label,
        about,
    });
}

pub(crate) fn term(reader: &mut Reader, block: &Block) {
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
        name: block.name.value.clone(),
        label,
        also: also.into_iter().flatten().map(|text| text.value).collect(),
        means,
    });
}

pub(crate) fn source(reader: &mut Reader, block: &Block) {
    let support = match block
        .field("kind")
        .map(|field| (field, field.text.value.as_str()))
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
    let (id, words) = (block.name.value.clone(), words.join(". "));
    reader.sources.push(Source { id, words, support });
}

pub(crate) fn caution(reader: &mut Reader, block: &Block) {
    let text = block.value("text").unwrap_or_default();
    if text.is_empty() {
        reader.log.at(&block.name, "this caution has no `text`");
    }
    let sources = reader.citations(block);
    reader.cautions.push(Caution {
        id: block.name.value.clone(),
        text,
        sources,
    });
}

pub(crate) fn action(reader: &mut Reader, block: &Block) {
    let unit = block
        .field("unit")
        .and_then(|field| column::find_unit(reader, &field.text));
    let action = Action {
        name: block.name.value.clone(),
        label: block
            .value("label")
            .unwrap_or_else(|| block.name.value.replace('-', " ")),
        excludes: Vec::new(),
        unit,
        cautions: cautions(reader, block),
        gate: None,
    };
    reader.actions.push(action);
}

/// Settles what an action excludes; exclusion goes both ways.
pub(crate) fn exclusions(reader: &mut Reader, block: &Block) {
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

fn find_action(reader: &mut Reader, name: &Text) -> Option<u32> {
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

fn cautions(reader: &mut Reader, block: &Block) -> Vec<u32> {
    let mut found = Vec::new();
    for field in block.fields("caution") {
        for id in field.text.split(",") {
            match reader
                .cautions
                .iter()
                .position(|caution| caution.id == id.value)
            {
                Some(index) => found.push(index as u32),
                None => {
                    let known: Vec<&str> = reader
                        .cautions
                        .iter()
                        .map(|caution| caution.id.as_str())
                        .collect();
                    reader.log.unknown(&id, "caution", known);
                }
            }
        }
    }
    found
}

pub(crate) fn rule(reader: &mut Reader, chapter: u32, block: &Block) {
    let conditions = conditions(reader, block);
    let action = match block.field("advise") {
        Some(field) => find_action(reader, &field.text).unwrap_or(0),
        None => missing(reader, block, "advise", "name an action"),
    };
    let amount = amount(reader, block, action);
    let has_amount = block.field("amount").is_some();
    let sources = reader.needed_citations(block);
    let rule = Rule {
        name: block.name.value.clone(),
        chapter,
        conditions,
        normal: Normal::default(),
        action,
        amount,
        urgency: urgency(reader, block),
        if_open: if_open(reader, block),
        finding: sentence(reader, block, "finding", has_amount),
        advice: sentence(reader, block, "advice", has_amount),
        because: sentence(reader, block, "because", has_amount),
        sources,
        cautions: cautions(reader, block),
        overrules: Vec::new(),
        cases: cases(reader, block, &["holds", "fails", "asks"]),
        change: None,
        text: block.name.clone(),
    };
    for wanted in ["holds", "fails"] {
        if block.field(wanted).is_none() {
            let message = format!("`{}` has no case that {wanted}", rule.name);
            let help = format!("add a line `{wanted} FACT VALUE, ...`");
            reader.log.hint(&block.name, message, help);
        }
    }
    reader.rules.push(rule);
}

fn missing(reader: &mut Reader, block: &Block, field: &str, help: &str) -> u32 {
    reader.log.hint(
        &block.name,
        format!("`{}` has no `{field}`", block.name.value),
        help,
    );
    0
}

fn conditions(reader: &mut Reader, block: &Block) -> Vec<Condition> {
    let mut conditions: Vec<Condition> = block
        .field("during")
        .and_then(|field| during(reader, field))
        .into_iter()
        .collect();
    for field in &block.fields {
        match field.keyword.value.as_str() {
            "when" | "and" => conditions.extend(condition(reader, &field.text)),
            "unless" => {
                if let Some(inner) = condition(reader, &field.text) {
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
        missing(reader, block, "when", "say when it holds");
    }
    conditions
}

fn condition(reader: &mut Reader, text: &Text) -> Option<Condition> {
    let expr = expression(text, &reader.words.units, &mut reader.log)?;
    let Reader { words, log, .. } = reader;
    Resolver { words, text, log }.condition(&expr)
}

fn during(reader: &mut Reader, field: &Field) -> Option<Condition> {
    let Some(stage) = reader.stage else {
        reader.log.hint(
            &field.keyword,
            "this book has no stages",
            "name the stage fact in `book`",
        );
        return None;
    };
    let mut mask = 0;
    for name in field.text.split(",") {
        let column = reader.words.get(stage);
        match column.option(&name.value) {
            Some(index) => mask |= 1 << index,
            None => {
                let known: Vec<String> = column
                    .options
                    .iter()
                    .map(|option| option.name.clone())
                    .collect();
                reader
                    .log
                    .unknown(&name, "stage", known.iter().map(String::as_str));
            }
        }
    }
    let text = format!(
        "{} is one of {}",
        reader.words.get(stage).name,
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

fn amount(
    reader: &mut Reader,
    block: &Block,
    action: u32,
) -> Option<super::super::expr::compile::Value> {
    let field = block.field("amount")?;
    let Some(unit) = reader
        .actions
        .get(action as usize)
        .and_then(|action| action.unit)
    else {
        let help = "give the action a `unit`";
        reader.log.hint(
            &field.keyword,
            "the action of this rule takes no amount",
            help,
        );
        return None;
    };
    let measure: Measure = reader.words.units.get(unit).measure();
    let expr = expression(&field.text, &reader.words.units, &mut reader.log)?;
    let Reader { words, log, .. } = reader;
    Resolver {
        words,
        text: &field.text,
        log,
    }
    .amount(&expr, &measure)
}

fn urgency(reader: &mut Reader, block: &Block) -> Urgency {
    let Some(field) = block.field("urgency") else {
        missing(
            reader,
            block,
            "urgency",
            "say `danger`, `today`, `soon` or `note`",
        );
        return Urgency::Note;
    };
    match field.text.value.as_str() {
        "danger" => Urgency::Danger,
        "today" => Urgency::Today,
        "soon" => Urgency::Soon,
        "note" => Urgency::Note,
        _ => {
            reader
                .log
                .unknown(&field.text, "urgency", ["danger", "today", "soon", "note"]);
            Urgency::Note
        }
    }
}

fn if_open(reader: &mut Reader, block: &Block) -> IfOpen {
    let Some(field) = block.field("if") else {
        missing(
            reader,
            block,
            "if open",
            "say `if open ask`, `warn` or `silent`",
        );
        return IfOpen::Silent;
    };
    let (open, word) = field.text.first_word();
    if open.value != "open" {
        reader.log.hint(
            &field.text,
            "`if` goes on with `open`",
            "write `if open ask`, `warn` or `silent`",
        );
    }
    match word.value.as_str() {
        "ask" => IfOpen::Ask,
        "warn" => IfOpen::Warn,
        "silent" => IfOpen::Silent,
        _ => {
            reader
                .log
                .unknown(&word, "word after `if open`", ["ask", "warn", "silent"]);
            IfOpen::Silent
        }
    }
}

fn sentence(reader: &mut Reader, block: &Block, keyword: &str, amount: bool) -> Message {
    match block.field(keyword) {
        Some(field) if !field.text.is_empty() => {
            message(&field.text, amount, &reader.words, &mut reader.log)
        }
        _ => {
            missing(reader, block, keyword, "write a sentence");
            Message::default()
        }
    }
}

fn cases(reader: &mut Reader, block: &Block, keywords: &[&str]) -> Vec<Case> {
    let mut given: Vec<(ColumnId, Given)> = Vec::new();
    for field in block.fields("given") {
        given.extend(case::facts(reader, &field.text).unwrap_or_default());
    }
    block
        .fields
        .iter()
        .filter(|field| keywords.contains(&field.keyword.value.as_str()))
        .filter_map(|field| case::case(reader, field, &given))
        .collect()
}

/// Settles which rules a rule overrules.
pub(crate) fn overrules(reader: &mut Reader, block: &Block) {
    if block.field("overrules").is_none() {
        return;
    }
    let Some(own) = reader
        .rules
        .iter()
        .position(|rule| rule.name == block.name.value)
    else {
        return;
    };
    for field in block.fields("overrules") {
        let Some((name, because)) = field.text.split_once(" because ") else {
            let help = "write it as `overrules RULE because TEXT`";
            reader
                .log
                .hint(&field.text, "this does not say why it overrules", help);
            continue;
        };
        match reader.rules.iter().position(|rule| rule.name == name.value) {
            Some(rule) => {
                let overrule = Overrule {
                    rule: rule as u32,
                    because: because.value,
                };
                reader.rules[own].overrules.push(overrule);
            }
            None => {
                let known: Vec<&str> = reader.rules.iter().map(|rule| rule.name.as_str()).collect();
                reader.log.unknown(&name, "rule", known);
            }
        }
    }
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
    let place = reader.rules[circle[0].0].text.clone();
    reader.log.at(&place, message);
}

pub(crate) fn gate(reader: &mut Reader, chapter: u32, block: &Block) {
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
    let sources = reader.needed_citations(block);
    let gate = Gate {
        name: block.name.value.clone(),
        chapter,
        action,
        ask: block.value("ask").unwrap_or_default(),
        needs,
        sources,
        cases: cases(reader, block, &["opens", "waits", "refuses", "asks"]),
        text: block.name.clone(),
    };
    gate_is_whole(reader, block);
    reader.gates.push(gate);
}

fn gate_is_whole(reader: &mut Reader, block: &Block) {
    let mut wanted = |fields: &[&str], message: &str, help: &str| {
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

fn need(reader: &mut Reader, field: &Field) -> Option<Need> {
    let Some((words, because)) = field.text.split_once(" because ") else {
        let help = "write it as `needs CONDITION because TEXT`";
        reader
            .log
            .hint(&field.text, "this need does not say why", help);
        return None;
    };
    let condition = condition(reader, &words)?;
    Some(Need {
        condition,
        normal: Normal::default(),
        because: because.value,
        bars: field.keyword.value == "bars",
    })
}
