//! Reads the blocks `fact`, `derive` and `table`.

use super::super::entry;
use super::super::expr::compile::ColumnId;
use super::super::expr::parse::{RESERVED, expression};
use super::super::expr::token::{Token, tokens};
use super::super::limit;
use super::super::normal::Normal;
use super::super::set::{Interval, NO, Set, YES};
use super::super::unit::{Measure, UnitId};
use super::body;
use super::list;
use super::message::message;
use super::read::Reader;
use super::text::{Block, Field, Log, Text};
use super::vocabulary::{Cell, ChoiceOption, Column, Derivation, Kind, Origin, Row, Spread, Table};

/// Declares a block's column, so that others can name it before its formula is read.
pub(crate) fn declare(reader: &mut Reader, chapter: u32, block: &Block<'_>) {
    let origin = match &*block.keyword.value {
        "fact" => Origin::Given { otherwise: None },
        "derive" => Origin::Derived(Derivation::Unread),
        _ => Origin::Table(Table::default()),
    };
    let mut column = Column::new(&block.name.value, chapter, origin);
    column.place = block.name.mark();
    words_of(reader, block, &mut column);
    kind_of(reader, block, &mut column);
    units_of(reader, block, &mut column);
    options_of(reader, block, &mut column);
    limits_of(reader, block, &mut column);
    reader.words.declare(column);
}

pub(crate) fn check_name(log: &mut Log, name: &Text<'_>) {
    let good = !name.value.is_empty()
        && name.value.starts_with(|c: char| c.is_ascii_lowercase())
        && !name.value.ends_with('-')
        && !name.value.contains("--")
        && name
            .value
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if !good {
        let help = "a name is lower-case words joined by hyphens, as in `two-words`";
        log.hint(name, format!("`{}` is no name", name.value), help);
    } else if RESERVED.contains(&&*name.value) {
        log.at(
            name,
            format!("`{}` has a meaning of its own in conditions", name.value),
        );
    }
}

fn words_of(reader: &mut Reader, block: &Block<'_>, column: &mut Column) {
    if let Some(label) = block.value("label") {
        column.label = label;
    }
    column.ask = block.value("ask").unwrap_or_default();
    column.how = block.value("how").unwrap_or_default();
    if let Some(field) = block.field("group") {
        if !reader
            .groups
            .iter()
            .any(|group| group.name == field.text.value)
        {
            let known: Vec<&str> = reader
                .groups
                .iter()
                .map(|group| group.name.as_str())
                .collect();
            reader.log.unknown(&field.text, "group", known);
        }
        column.group = field.text.value.to_string();
    }
}

fn kind_of(reader: &mut Reader, block: &Block<'_>, column: &mut Column) {
    let has_options = block.field("option").is_some() || block.field("list").is_some();
    let Some(field) = block.field("kind") else {
        column.kind = if has_options {
            Kind::Choice
        } else {
            Kind::Number
        };
        return;
    };
    match &*field.text.value {
        "number" => {}
        "series" => column.series = true,
        "date" => {
            column.date = true;
            if let Some(measure) = reader.words.date_measure(&field.text, &mut reader.log) {
                column.measure = measure;
            }
        }
        "truth" => column.kind = Kind::Truth,
        "choice" => column.kind = Kind::Choice,
        "several" => column.kind = Kind::Several,
        _ => reader.log.unknown(
            &field.text,
            "kind",
            ["number", "series", "date", "truth", "choice", "several"],
        ),
    }
}

fn units_of(reader: &mut Reader, block: &Block<'_>, column: &mut Column) {
    if column.kind != Kind::Number || column.date {
        return;
    }
    if let Some(field) = block.field("unit") {
        let Some(id) = find_unit(reader, &field.text) else {
            column.unit_unknown = true;
            return;
        };
        column.unit = Some(id);
        column.measure = reader.words.units.get(id).measure();
        column.units.push(id);
    }
    for field in block.fields("also") {
        for name in field.text.split(",") {
            let Some(id) = find_unit(reader, &name) else {
                continue;
            };
            if reader.words.units.get(id).measure() == column.measure {
                column.units.push(id);
            } else {
                reader.log.at(
                    &name,
                    format!(
                        "`{}` measures something else than this fact's unit",
                        name.value
                    ),
                );
            }
        }
    }
}

pub(crate) fn find_unit(reader: &mut Reader, name: &Text<'_>) -> Option<UnitId> {
    let found = reader.words.units.find(&name.value);
    if found.is_none() {
        let Reader { words, log, .. } = reader;
        words.units.unknown(name, log);
    }
    found
}

fn options_of(reader: &mut Reader, block: &Block<'_>, column: &mut Column) {
    column.options = list::options_of(reader, block);
    for field in block.fields("option") {
        let (name, label) = field.text.first_word();
        check_name(&mut reader.log, &name);
        if column.option(&name.value).is_some() {
            reader.log.at(
                &name,
                format!("the option `{}` stands here twice", name.value),
            );
        }
        let label = if label.is_empty() {
            name.value.replace('-', " ")
        } else {
            label.value.into_owned()
        };
        column.options.push(ChoiceOption {
            name: name.value.into_owned(),
            label,
        });
    }
    if column.options.len() > limit::OPTIONS {
        reader
            .log
            .at(&block.name, format!("more than {} options", limit::OPTIONS));
        column.options.truncate(limit::OPTIONS);
    }
    match column.kind {
        Kind::Truth => column.range = Set::Choice(YES | NO),
        Kind::Choice => column.range = Set::Choice(column.all_options()),
        Kind::Several => {
            column.range = Set::Several {
                surely: 0,
                maybe: column.all_options(),
            }
        }
        Kind::Number => return,
    }
    if column.kind != Kind::Truth && column.options.is_empty() && block.field("list").is_none() {
        reader.log.hint(
            &block.name,
            "this choice has no options",
            "add lines `option NAME  Label`",
        );
    }
}

fn limits_of(reader: &mut Reader, block: &Block<'_>, column: &mut Column) {
    if column.kind == Kind::Number && !column.unit_unknown {
        if let Some(field) = block.field("range") {
            column.range = range(reader, field, column);
        } else if column.is_given() {
            column.range = Set::Number(if column.date {
                DATES
            } else {
                Interval::EVERYTHING
            });
            if !column.date {
                reader.log.hint(
                    &block.name,
                    "this fact has no `range`",
                    "say which values are plausible, as in `range 0 to 100`",
                );
            }
        }
        column.smallest = block
            .field("smallest")
            .and_then(|field| quantity(reader, &field.text, &column.measure));
        if let Some(field) = block.field("spread") {
            column.spread = spread(reader, field, column);
        }
    }
    if let Some(field) = block.field("stale") {
        let time = reader.words.units.time().map(|dimension| Measure {
            dimension,
            point: false,
        });
        column.stale = time.and_then(|time| quantity(reader, &field.text, &time));
    }
    if let Some(field) = block.field("effort") {
        match super::units::number(&field.text, &mut reader.log) {
            Some(effort) if (0.01..=1000.0).contains(&effort) => column.effort = effort,
            Some(_) => reader.log.at(
                &field.text,
                "an effort lies from 0.01 to 1000; a usual test counts 1",
            ),
            None => {}
        }
    }
    if let Some(field) = block.field("decimals") {
        column.decimals =
            super::units::number(&field.text, &mut reader.log).map(|n| n.clamp(0.0, 9.0) as u8);
    }
}

/// Dates from 1900 to 2200, in days since 1970-01-01.
const DATES: Interval = Interval {
    lo: -25_567.0,
    hi: 84_006.0,
};

fn spread(reader: &mut Reader, field: &Field<'_>, column: &Column) -> Spread {
    if let Some(share) = field.text.value.strip_suffix('%') {
        return match share.trim().parse::<f64>() {
            Ok(share) if (0.0..=100.0).contains(&share) => Spread::Relative(share / 100.0),
            _ => {
                reader.log.at(
                    &field.text,
                    "a spread is a share from 0 to 100 %, or an amount with its unit",
                );
                Spread::Exact
            }
        };
    }
    let difference = Measure {
        point: false,
        ..column.measure.clone()
    };
    quantity(reader, &field.text, &difference).map_or(Spread::Exact, Spread::Absolute)
}

/// A fixed amount of this kind of number.
pub(crate) fn quantity(reader: &mut Reader, text: &Text<'_>, measure: &Measure) -> Option<f64> {
    let expr = expression(text, &reader.words.units, &mut reader.log)?;
    let amount = reader.known().resolver(text).amount(&expr, measure);
    match amount? {
        super::super::expr::compile::Value::Constant(value) => Some(value),
        _ => {
            reader.log.at(text, "a fixed amount is needed here");
            None
        }
    }
}

/// `A to B unit`; a first number without unit takes the second's.
fn range(reader: &mut Reader, field: &Field<'_>, column: &Column) -> Set {
    let everything = Set::Number(Interval::EVERYTHING);
    let wrong = |reader: &mut Reader, message: String| {
        let unit = column
            .unit
            .map(|id| reader.words.units.get(id).name.as_str());
        let example = format!("0 to 100 {}", unit.unwrap_or_default());
        let help = format!(
            "write the lowest and the highest plausible value, as in `{}`",
            example.trim_end()
        );
        reader.log.hint(&field.text, message, help);
        everything
    };
    if !field.text.value.contains(" to ") {
        return wrong(reader, format!("`{}` is no range", field.text.value));
    }
    let Some(spots) = tokens(&field.text, &reader.words.units, &mut reader.log) else {
        return everything;
    };
    let parts: Vec<Token<'_>> = spots.iter().map(|spot| spot.token).collect();
    let (low, rest) = signed(&parts);
    let (high, end) = match rest {
        [Token::Word(to), rest @ ..] if *to == "to" => signed(rest),
        _ => (None, rest),
    };
    let (Some((low, low_unit)), Some((high, high_unit)), [Token::End]) = (low, high, end) else {
        return wrong(reader, format!("`{}` is no range", field.text.value));
    };
    let Some(unit) = low_unit.or(high_unit).or(bare_unit(reader, column)) else {
        if column.unit.is_some() {
            return wrong(reader, "this range needs a unit".into());
        }
        return between(low, high)
            .unwrap_or_else(|| wrong(reader, "the lowest value comes first".into()));
    };
    let units = &reader.words.units;
    let main = |value: f64, own: Option<UnitId>| units.get(own.unwrap_or(unit)).to_main(value);
    let (lo, hi) = (main(low, low_unit), main(high, high_unit));
    let fits = |id: Option<UnitId>| id.is_none_or(|id| units.get(id).measure() == column.measure);
    if !fits(low_unit) || !fits(high_unit) {
        let message = match column.unit {
            Some(_) => "this range is counted in something else than the fact",
            None => "this range has a unit and the fact has none",
        };
        return wrong(reader, message.into());
    }
    between(lo, hi).unwrap_or_else(|| wrong(reader, "the lowest value comes first".into()))
}

fn between(lo: f64, hi: f64) -> Option<Set> {
    (lo <= hi).then_some(Set::Number(Interval { lo, hi }))
}

/// A number, perhaps with a minus before it, at the start of some tokens; and what follows it.
fn signed<'a, 'b>(parts: &'a [Token<'b>]) -> (Option<(f64, Option<UnitId>)>, &'a [Token<'b>]) {
    match parts {
        [Token::Sign("-"), Token::Number { value, unit }, rest @ ..] => {
            (Some((-value, *unit)), rest)
        }
        [Token::Number { value, unit }, rest @ ..] => (Some((*value, *unit)), rest),
        _ => (None, parts),
    }
}

fn bare_unit(reader: &Reader, column: &Column) -> Option<UnitId> {
    column.unit.filter(|id| reader.words.units.get(*id).bare)
}

/// Reads the formula, the rows and the cases of a column that was declared.
pub(crate) fn define(reader: &mut Reader, block: &Block<'_>) {
    let Some(id) = reader.words.find(&block.name.value) else {
        return;
    };
    match &*block.keyword.value {
        "fact" => otherwise(reader, id, block),
        "derive" => derivation(reader, id, block),
        _ => table(reader, id, block),
    }
    if let Some(field) = block.field("because") {
        let because = message(&field.text, false, &reader.words, &mut reader.log);
        reader.words.get_mut(id).because = because;
    }
    reader.words.get_mut(id).sources = match &*block.keyword.value {
        "fact" => body::citations(&mut reader.known(), block),
        _ => body::needed_citations(&mut reader.known(), block),
    };
    if reader.reads_cases {
        body::column_cases(&mut reader.known(), block);
    }
}

fn otherwise(reader: &mut Reader, id: ColumnId, block: &Block<'_>) {
    let Some(field) = block.field("otherwise") else {
        return;
    };
    let measure = reader.words.get(id).measure.clone();
    let Some(expr) = expression(&field.text, &reader.words.units, &mut reader.log) else {
        return;
    };
    let value = reader.known().resolver(&field.text).amount(&expr, &measure);
    reader.words.get_mut(id).origin = Origin::Given { otherwise: value };
}

fn derivation(reader: &mut Reader, id: ColumnId, block: &Block<'_>) {
    let Some(field) = block.field("is") else {
        reader.log.hint(
            &block.name,
            format!("`{}` has no formula", block.name.value),
            "add a line `is ...`",
        );
        return;
    };
    let (kind, measure) = (
        reader.words.get(id).kind,
        reader.words.get(id).measure.clone(),
    );
    let Some(expr) = expression(&field.text, &reader.words.units, &mut reader.log) else {
        return;
    };
    let mut known = reader.known();
    let mut resolver = known.resolver(&field.text);
    let derivation = match kind {
        Kind::Truth => resolver
            .condition(&expr)
            .map(|condition| Derivation::Truth {
                condition,
                normal: Normal::default(),
            }),
        Kind::Number => resolver.amount(&expr, &measure).map(Derivation::Number),
        Kind::Choice | Kind::Several => {
            known
                .log
                .hint(&block.name, "a choice cannot be a formula", "use a table");
            None
        }
    };
    if let Some(derivation) = derivation {
        reader.words.get_mut(id).origin = Origin::Derived(derivation);
    }
}

fn table(reader: &mut Reader, id: ColumnId, block: &Block<'_>) {
    let mut by = Vec::new();
    if let Some(field) = block.field("by") {
        for name in field.text.split(",") {
            by.extend(looked_at(reader, &name));
        }
    } else {
        reader.log.hint(
            &block.name,
            "this table has no `by`",
            "name the facts its rows look at",
        );
    }
    let known = block
        .field("by")
        .is_some_and(|field| field.text.split(",").count() == by.len());
    let rows: Vec<Row> = block
        .fields("row")
        .take_while(|_| known)
        .filter_map(|field| row(reader, id, &by, &field.text))
        .collect();
    if block.field("row").is_none() {
        reader.log.hint(
            &block.name,
            "this table has no rows",
            "add lines `row CELL  RESULT`",
        );
    }
    let values = rows.iter().map(|row| row.result).reduce(Set::hull);
    let column = reader.words.get_mut(id);
    column.origin = Origin::Table(Table { by, rows });
    if let Some(values) = values {
        column.range = values;
    }
}

/// A fact that a table looks at.
fn looked_at(reader: &mut Reader, name: &Text<'_>) -> Option<ColumnId> {
    let Some(id) = reader.words.find(&name.value) else {
        let Reader { words, log, .. } = reader;
        log.unknown(name, "fact", words.names());
        return None;
    };
    if reader.words.get(id).kind == Kind::Several {
        let message = format!("`{}` may be several things at once", name.value);
        reader
            .log
            .hint(name, message, "a table looks at single values");
        return None;
    }
    Some(id)
}

fn row(reader: &mut Reader, id: ColumnId, by: &[ColumnId], text: &Text<'_>) -> Option<Row> {
    let cells: Vec<Text> = text.split("  ").filter(|cell| !cell.is_empty()).collect();
    if cells.len() != by.len() + 1 {
        let message = match (cells.len(), by.len()) {
            (1, _) => "this row has only one part".to_owned(),
            (found, wanted) => format!(
                "this row has {found} parts; {wanted} for the facts after `by` and a result are needed"
            ),
        };
        reader
            .log
            .hint(text, message, "keep parts apart by two spaces");
        return None;
    }
    let (result, tests) = cells.split_last()?;
    let tests: Vec<Option<Cell>> = tests
        .iter()
        .zip(by)
        .map(|(cell, column)| table_cell(reader, *column, cell))
        .collect();
    let column = reader.words.get(id);
    let result = match entry::entered(column, &reader.words, &result.value) {
        Ok(entered) if entered.question.is_none() => entered.set,
        Ok(entered) => {
            reader.log.at(result, entered.question.unwrap_or_default());
            return None;
        }
        Err(message) => {
            reader.log.at(result, message);
            return None;
        }
    };
    Some(Row {
        cells: tests.into_iter().collect::<Option<_>>()?,
        result,
        words: text.value.to_string(),
        place: text.mark(),
    })
}

fn table_cell(reader: &mut Reader, id: ColumnId, text: &Text<'_>) -> Option<Cell> {
    if text.value == "any" {
        return Some(Cell::Any);
    }
    let column = reader.words.get(id);
    if column.kind != Kind::Number {
        return match entry::entered(column, &reader.words, &text.value) {
            Ok(entry::Entered {
                set: Set::Choice(mask),
                ..
            }) => Some(Cell::OneOf(mask)),
            Ok(_) => None,
            Err(message) => {
                reader.log.at(text, message);
                None
            }
        };
    }
    match text.split_once(" to ") {
        Some((low, high)) => {
            let (low_open, low) = bound(reader, id, &low, ">")?;
            let (high_open, high) = bound(reader, id, &high, "<")?;
            Some(Cell::Between {
                low,
                low_open,
                high,
                high_open,
            })
        }
        None => one_sided(reader, id, text),
    }
}

fn bound(reader: &mut Reader, id: ColumnId, text: &Text<'_>, open: &str) -> Option<(bool, f64)> {
    let opened = text.value.starts_with(open);
    let from = if opened { open.len() } else { 0 };
    let measure = reader.words.get(id).measure.clone();
    Some((
        opened,
        quantity(reader, &text.part(from, text.value.len()), &measure)?,
    ))
}

fn one_sided(reader: &mut Reader, id: ColumnId, text: &Text<'_>) -> Option<Cell> {
    let sign = ["<=", ">=", "<", ">"]
        .into_iter()
        .find(|sign| text.value.starts_with(sign));
    let measure = reader.words.get(id).measure.clone();
    let from = sign.map_or(0, str::len);
    let value = quantity(reader, &text.part(from, text.value.len()), &measure)?;
    let (least, most) = (f64::NEG_INFINITY, f64::INFINITY);
    Some(match sign {
        Some("<") => Cell::Between {
            low: least,
            low_open: true,
            high: value,
            high_open: true,
        },
        Some("<=") => Cell::Between {
            low: least,
            low_open: true,
            high: value,
            high_open: false,
        },
        Some(">") => Cell::Between {
            low: value,
            low_open: true,
            high: most,
            high_open: true,
        },
        Some(">=") => Cell::Between {
            low: value,
            low_open: false,
            high: most,
            high_open: true,
        },
        _ => Cell::Between {
            low: value,
            low_open: false,
            high: value,
            high_open: false,
        },
    })
}
