//! Lists: things of one sort, one a line, whose properties become facts of every choice among them.
//!
//! `list` gives the columns and the rows; a fact with `list NAME as PREFIX` takes the rows as its options, and each
//! column becomes a fact that is looked up by it.

use super::super::expr::compile::ColumnId;
use super::super::limit;
use super::super::phrase;
use super::super::rank::distinct;
use super::super::set::{Interval, NO, Set, YES};
use super::super::unit::UnitId;
use super::body;
use super::column::{check_name, find_unit};
use super::overlay::{RowChange, Rows};
use super::read::Reader;
use super::rule::Citation;
use super::text::{Block, Field, Text};
use super::vocabulary::{ChoiceOption, Column, Kind, Listed, Origin, Vocabulary};

/// A list as it was read.
#[derive(Debug, Clone)]
pub(crate) struct List {
    pub name: String,
    pub columns: Vec<ListColumn>,
    /// Name and label of every row, as a choice among them has it.
    pub options: Vec<ChoiceOption>,
    pub rows: Vec<ListRow>,
}

/// What is told of every row.
#[derive(Debug, Clone)]
pub(crate) struct ListColumn {
    pub name: String,
    pub label: String,
    sort: Sort,
    /// The facts that it becomes: the end of the name, and its value in every row.
    parts: Vec<Part>,
}

#[derive(Debug, Clone)]
struct Part {
    ending: &'static str,
    values: Vec<Set>,
}

/// A line of a list, or several taken together.
#[derive(Debug, Clone)]
pub(crate) struct ListRow {
    /// What stands in each column; nothing where several rows differ.
    pub cells: Vec<String>,
    pub sources: Vec<Citation>,
    /// Where it is not the book's own.
    pub change: Option<RowChange>,
}

#[derive(Debug, Clone)]
enum Sort {
    Text,
    Truth,
    Number(Option<UnitId>),
    /// From one number to another.
    Span(Option<UnitId>),
    Choice(Vec<ChoiceOption>),
}

/// What may be anything.
const ANY: &str = "any";
/// The ends of the names of the two facts that a span becomes.
const FROM: &str = "-from";
const TO: &str = "-to";
/// A text of which there is none.
const NONE: &str = "-";

/// The parts of a line that keeps them apart by two spaces.
pub(crate) fn cells<'a>(text: &Text<'a>) -> Vec<Text<'a>> {
    text.split("  ").filter(|cell| !cell.is_empty()).collect()
}

/// Reads a list, with the rows that overlays add to lists or put in the place of others.
pub(crate) fn list(reader: &mut Reader, block: &Block<'_>, rows: &[Rows<'_>]) {
    let own = |rows: &&Rows<'_>| rows.block.name.value == block.name.value;
    let rows: Vec<&Rows<'_>> = rows.iter().filter(own).collect();
    let replaced = replacements(reader, block, &rows);
    let columns: Vec<Option<ListColumn>> = block
        .fields("column")
        .map(|field| list_column(reader, &field.text))
        .collect();
    let whole = columns.iter().all(Option::is_some);
    let mut list = List {
        name: block.name.value.clone().into_owned(),
        columns: columns.into_iter().flatten().collect(),
        options: Vec::new(),
        rows: Vec::new(),
    };
    for (kind, help) in [
        ("column", "add lines `column NAME  KIND  Label`"),
        ("row", "add lines `row NAME  Label  CELL  ...  SOURCE`"),
    ] {
        if block.field(kind).is_none() {
            let message = format!("this list has no {kind}s");
            reader.log.hint(&block.name, message, help);
        }
    }
    for field in block.fields("option") {
        option_label(reader, &mut list, &field.text);
    }
    for field in block.fields.iter().take_while(|_| whole) {
        match field.keyword.value.as_ref() {
            "row" => {
                let other = replaced.iter().find(|(name, ..)| *name == name_of(field));
                match other {
                    Some((_, other, change)) => row(reader, &mut list, other, Some(change)),
                    None => row(reader, &mut list, field, None),
                }
            }
            "either" => either(reader, &mut list, field),
            _ => {}
        }
    }
    for rows in rows.iter().filter(|_| whole) {
        for field in rows.block.fields.iter() {
            if field.keyword.value == "row" {
                row(reader, &mut list, field, Some(&rows.change));
            }
        }
    }
    reader.words.lists.push(list);
}

/// `option NAME  Label`: the words for an option, in all columns that have it.
fn option_label(reader: &mut Reader, list: &mut List, text: &Text<'_>) {
    let (name, label) = text.first_word();
    let options = list
        .columns
        .iter_mut()
        .flat_map(|column| match &mut column.sort {
            Sort::Choice(options) => options.as_mut_slice(),
            _ => &mut [],
        });
    let mut options: Vec<&mut ChoiceOption> = options.collect();
    if !options.iter().any(|option| option.name == name.value) {
        let known = options.iter().map(|option| option.name.as_str());
        reader.log.unknown(&name, "option", known);
    }
    if label.is_empty() {
        let help = "write it as `option NAME  Label`";
        reader.log.hint(&name, "this option has no label", help);
    }
    for option in options
        .iter_mut()
        .filter(|option| option.name == name.value)
    {
        option.label = label.value.to_string();
    }
}

/// The name of a row.
fn name_of(field: &Field<'_>) -> String {
    let first = field.text.split("  ").next();
    first.map_or_else(String::new, |name| name.value.into_owned())
}

/// The lines that stand in the place of rows of a list, by the name of the row.
fn replacements<'a>(
    reader: &mut Reader,
    block: &Block<'_>,
    rows: &[&'a Rows<'a>],
) -> Vec<(String, &'a Field<'a>, &'a RowChange)> {
    let known: Vec<String> = block.fields("row").map(name_of).collect();
    let mut replaced: Vec<(String, &Field<'_>, &RowChange)> = Vec::new();
    for rows in rows {
        for field in rows.block.fields("replace") {
            let name = name_of(field);
            if !known.contains(&name) {
                let first = field.text.part(0, name.len());
                let known = known.iter().map(String::as_str);
                reader.log.unknown(&first, "row", known);
            } else if replaced.iter().any(|(other, ..)| *other == name) {
                let message = format!("the row `{name}` is changed twice");
                reader.log.at(&field.text, message);
            } else {
                replaced.push((name, field, &rows.change));
            }
        }
    }
    replaced
}

fn list_column(reader: &mut Reader, text: &Text<'_>) -> Option<ListColumn> {
    let parts = cells(text);
    let [name, kind, label] = parts.as_slice() else {
        let help = "write its name, its kind and its label, kept apart by two spaces";
        let message = match parts.len() {
            1 => "this column has only one part".to_owned(),
            many => format!("this column has {many} parts"),
        };
        reader.log.hint(text, message, help);
        return None;
    };
    check_name(&mut reader.log, name);
    let (word, rest) = kind.first_word();
    let sort = match word.value.as_ref() {
        "text" | "name" => Sort::Text,
        "truth" => Sort::Truth,
        "number" => Sort::Number(unit(reader, &rest)?),
        "span" => Sort::Span(unit(reader, &rest)?),
        "choice" => Sort::Choice(options(reader, &rest)),
        _ => {
            let known = ["name", "text", "truth", "number", "span", "choice"];
            reader.log.unknown(&word, "kind of column", known);
            return None;
        }
    };
    let endings: &[&str] = match sort {
        Sort::Text => &[],
        Sort::Span(_) => &[FROM, TO],
        _ => &[""],
    };
    let part = |ending: &&'static str| Part {
        ending,
        values: Vec::new(),
    };
    Some(ListColumn {
        name: name.value.clone().into_owned(),
        label: label.value.clone().into_owned(),
        parts: endings.iter().map(part).collect(),
        sort,
    })
}

/// The unit of a column of numbers, or that it has none; nothing where the book knows no such unit.
fn unit(reader: &mut Reader, name: &Text<'_>) -> Option<Option<UnitId>> {
    match name.is_empty() {
        true => Some(None),
        false => find_unit(reader, name).map(Some),
    }
}

fn options(reader: &mut Reader, text: &Text<'_>) -> Vec<ChoiceOption> {
    let mut options = Vec::new();
    for name in text.split(",") {
        check_name(&mut reader.log, &name);
        if name.value == ANY {
            let message = "`any` means that it is not known, so no option can have this name";
            reader.log.hint(&name, message, "take another word");
        }
        options.push(ChoiceOption {
            label: name.value.replace('-', " "),
            name: name.value.into_owned(),
        });
    }
    options.truncate(limit::OPTIONS);
    options
}

/// Adds an option; false where the list has it already or can hold no more.
fn add_option(reader: &mut Reader, list: &mut List, name: &Text<'_>, label: &Text<'_>) -> bool {
    check_name(&mut reader.log, name);
    let known = |option: &ChoiceOption| option.name == name.value;
    if list.options.iter().any(known) {
        let message = format!("`{}` stands in this list twice", name.value);
        reader.log.at(name, message);
        return false;
    }
    if list.options.len() == limit::OPTIONS {
        let message = format!("more than {} rows in one list", limit::OPTIONS);
        reader.log.at(name, message);
        return false;
    }
    list.options.push(ChoiceOption {
        name: name.value.clone().into_owned(),
        label: label.value.clone().into_owned(),
    });
    true
}

fn row(reader: &mut Reader, list: &mut List, field: &Field<'_>, change: Option<&RowChange>) {
    let parts = cells(&field.text);
    let wanted = list.columns.len() + 3;
    if parts.len() != wanted {
        let message = format!(
            "this row has {} parts; {wanted} are needed: name, label, a part for each column, source",
            parts.len()
        );
        let help =
            "keep parts apart by two spaces; write `any` for what is not known, `-` for no text";
        reader.log.hint(&field.text, message, help);
        return;
    }
    if !add_option(reader, list, &parts[0], &parts[1]) {
        return;
    }
    for (column, cell) in list.columns.iter_mut().zip(&parts[2..]) {
        let found = values(reader, &column.sort, cell);
        for (part, value) in column.parts.iter_mut().zip(found) {
            part.values.push(value);
        }
    }
    let cell = |cell: &Text| match cell.value.as_ref() {
        NONE | ANY => String::new(),
        told => told.to_owned(),
    };
    let row = ListRow {
        cells: parts[2..wanted - 1].iter().map(cell).collect(),
        sources: sources(reader, &parts[wanted - 1]),
        change: change.cloned(),
    };
    list.rows.push(row);
}

/// What a cell says, once for every fact that its column becomes.
fn values(reader: &mut Reader, sort: &Sort, cell: &Text<'_>) -> Vec<Set> {
    const EVERYTHING: Set = Set::Number(Interval::EVERYTHING);
    let any = cell.value == ANY;
    match sort {
        Sort::Text => Vec::new(),
        Sort::Truth => {
            let value = match cell.value.as_ref() {
                "yes" => YES,
                "no" => NO,
                ANY => YES | NO,
                _ => {
                    let message = format!("`{}` is neither `yes` nor `no`", cell.value);
                    reader
                        .log
                        .hint(cell, message, "write `any` for what is not known");
                    NO
                }
            };
            vec![Set::Choice(value)]
        }
        Sort::Choice(options) => {
            let all = (0..options.len()).fold(0, |all, bit| all | 1 << bit);
            let mut mask = if any { all } else { 0 };
            for name in cell.split(" or ").filter(|_| !any) {
                match options.iter().position(|option| option.name == name.value) {
                    Some(bit) => mask |= 1 << bit,
                    None => {
                        let known = options.iter().map(|option| option.name.as_str());
                        reader.log.unknown(&name, "option", known);
                    }
                }
            }
            vec![Set::Choice(if mask == 0 { all } else { mask })]
        }
        Sort::Number(_) if any => vec![EVERYTHING],
        Sort::Span(_) if any => vec![EVERYTHING; 2],
        Sort::Number(unit) => vec![number(reader, *unit, cell)],
        Sort::Span(unit) => match cell.split_once(" to ") {
            Some((low, high)) => {
                let (from, to) = (number(reader, *unit, &low), number(reader, *unit, &high));
                if from.interval().lo > to.interval().hi {
                    reader.log.at(cell, "the lowest value comes first");
                }
                vec![from, to]
            }
            None => {
                let message = format!("`{}` is no span", cell.value);
                let help = "write the lowest and the highest value, as in `1 to 2`, or `any`";
                reader.log.hint(cell, message, help);
                vec![EVERYTHING; 2]
            }
        },
    }
}

/// A plain number in the unit of its column.
fn number(reader: &mut Reader, unit: Option<UnitId>, cell: &Text<'_>) -> Set {
    let plain = cell
        .value
        .chars()
        .all(|c| c.is_ascii_digit() || "-.".contains(c));
    let Some(value) = cell.value.parse::<f64>().ok().filter(|_| plain) else {
        let message = format!("`{}` is no plain number", cell.value);
        let help = "the unit stands with the column; write `any` for what is not known";
        reader.log.hint(cell, message, help);
        return Set::Number(Interval::EVERYTHING);
    };
    let main = unit.map_or(value, |id| reader.words.units.get(id).to_main(value));
    Set::Number(Interval::point(main))
}

/// The sources of a row, with semicolons between them.
fn sources(reader: &mut Reader, text: &Text<'_>) -> Vec<Citation> {
    let parts = text.split(";");
    parts
        .filter_map(|part| body::citation(&mut reader.known(), &part))
        .collect()
}

/// A name for rows of which it may be any one: each of its values may be that of any of them.
fn either(reader: &mut Reader, list: &mut List, field: &Field<'_>) {
    let parts = cells(&field.text);
    let [name, label, members] = parts.as_slice() else {
        let help = "write a name, a label and the rows it may be, kept apart by two spaces";
        let message = match parts.len() {
            1 => "this line has only one part".to_owned(),
            many => format!("this line has {many} parts"),
        };
        reader.log.hint(&field.text, message, help);
        return;
    };
    let mut rows = Vec::new();
    for member in members.split(",") {
        let known = |option: &ChoiceOption| option.name == member.value;
        match list.options.iter().position(known) {
            Some(row) => rows.push(row),
            None => {
                let known = list.options.iter().map(|option| option.name.as_str());
                reader.log.unknown(&member, "row above", known);
            }
        }
    }
    if rows.is_empty() || !add_option(reader, list, name, label) {
        return;
    }
    for part in list.columns.iter_mut().flat_map(|column| &mut column.parts) {
        let values = rows.iter().map(|row| part.values[*row]);
        let value = values.reduce(Set::hull).unwrap_or(part.values[0]);
        part.values.push(value);
    }
    let same = |column: usize| {
        let mut told = rows.iter().map(|row| &list.rows[*row].cells[column]);
        let first = told.next().cloned().unwrap_or_default();
        told.all(|other| *other == first).then_some(first)
    };
    let mut sources: Vec<Citation> = Vec::new();
    for citation in rows.iter().flat_map(|row| &list.rows[*row].sources) {
        if !sources.contains(citation) {
            sources.push(citation.clone());
        }
    }
    let row = ListRow {
        cells: (0..list.columns.len())
            .map(|at| same(at).unwrap_or_default())
            .collect(),
        sources,
        change: None,
    };
    list.rows.push(row);
}

/// What a fact says of the list that it takes its options from.
struct Taken<'a> {
    list: usize,
    prefix: Text<'a>,
    /// The columns that become facts, where not all do.
    wanted: Option<Vec<Text<'a>>>,
}

fn taken<'a>(reader: &Reader, block: &Block<'a>) -> Option<Taken<'a>> {
    let parts = cells(&block.field("list")?.text);
    let (name, prefix) = parts.first()?.split_once(" as ")?;
    let list = |list: &List| list.name == name.value;
    Some(Taken {
        list: reader.words.lists.iter().position(list)?,
        prefix,
        wanted: parts.get(1).map(|wanted| wanted.split(",").collect()),
    })
}

/// The options of a fact that takes them from a list.
pub(crate) fn options_of(reader: &mut Reader, block: &Block<'_>) -> Vec<ChoiceOption> {
    if let Some(taken) = taken(reader, block) {
        return reader.words.lists[taken.list].options.clone();
    }
    let Some(field) = block.field("list") else {
        return Vec::new();
    };
    match field.text.split_once(" as ") {
        Some((name, _)) => {
            let lists = reader.words.lists.iter().map(|list| list.name.clone());
            let known: Vec<String> = lists.collect();
            reader
                .log
                .unknown(&name, "list", known.iter().map(String::as_str));
        }
        None => {
            let help = "write it as `list NAME as PREFIX`";
            let message = "this does not say how the facts of the list are to be named";
            reader.log.hint(&field.text, message, help);
        }
    }
    Vec::new()
}

/// Declares the facts that the columns of a fact's list become.
pub(crate) fn declare_listed(reader: &mut Reader, chapter: u32, block: &Block<'_>) {
    let Some(taken) = taken(reader, block) else {
        return;
    };
    let Some(by) = reader.words.find(&block.name.value) else {
        return;
    };
    check_name(&mut reader.log, &taken.prefix);
    let list = &reader.words.lists[taken.list];
    let facts: Vec<(String, String, Listed)> = list.facts(by, taken.list as u32).collect();
    for name in taken.wanted.iter().flatten() {
        let names = facts.iter().flat_map(|(column, fact, _)| [column, fact]);
        let known = distinct(names.map(String::as_str));
        if !known.contains(&name.value.as_ref()) {
            reader.log.unknown(name, "column", known);
        }
    }
    for (column, fact, listed) in &facts {
        let is_wanted = |wanted: &Vec<Text<'_>>| {
            let mut names = wanted.iter().map(|name| &name.value);
            names.any(|name| name == column || name == fact)
        };
        if taken.wanted.as_ref().is_none_or(is_wanted) {
            declare_part(reader, chapter, &taken.prefix, *listed);
        }
    }
}

/// Reports rules that have the name of a fact which a list made.
pub(crate) fn names_apart(reader: &mut Reader) {
    for rule in &reader.rules {
        let fact = reader.words.find(&rule.name);
        let fact = fact.map(|id| reader.words.get(id));
        if fact.is_some_and(|fact| matches!(fact.origin, Origin::Listed(_))) {
            let message = format!(
                "the list makes a fact `{}`, and there is one of that name",
                rule.name
            );
            let help = "take another name".into();
            reader.log.note(rule.place, message.into(), Some(help));
        }
    }
}

impl List {
    /// The facts that its columns become for a choice among its rows, with the name of the column and of the fact.
    fn facts(
        &self,
        by: ColumnId,
        list: u32,
    ) -> impl Iterator<Item = (String, String, Listed)> + '_ {
        self.columns
            .iter()
            .enumerate()
            .flat_map(move |(column, told)| {
                told.parts.iter().enumerate().map(move |(part, fact)| {
                    let name = format!("{}{}", told.name, fact.ending);
                    let (column, part) = (column as u32, part as u32);
                    (
                        told.name.clone(),
                        name,
                        Listed {
                            by,
                            list,
                            column,
                            part,
                        },
                    )
                })
            })
    }
}

fn declare_part(reader: &mut Reader, chapter: u32, prefix: &Text<'_>, listed: Listed) {
    let list = &reader.words.lists[listed.list as usize];
    let told = &list.columns[listed.column as usize];
    let part = &told.parts[listed.part as usize];
    let name = format!("{}-{}{}", prefix.value, told.name, part.ending);
    let is_action = reader.actions.iter().any(|action| action.name == name);
    if is_action || reader.words.find(&name).is_some() {
        let message = format!("the list makes a fact `{name}`, and there is one of that name");
        reader
            .log
            .hint(prefix, message, "take another word after `as`");
        return;
    }
    let mut made = Column::new(&name, chapter, Origin::Listed(listed));
    made.place = prefix.mark();
    let phrases = &reader.words.phrases;
    let of = phrases.lowered(&reader.words.get(listed.by).label);
    let label = match part.ending {
        FROM => &phrase::LISTED_FROM,
        TO => &phrase::LISTED_TO,
        _ => &phrase::LISTED,
    };
    made.label = phrases.say(label, [&told.label, &of]);
    match &told.sort {
        Sort::Text => {}
        Sort::Truth => made.kind = Kind::Truth,
        Sort::Choice(options) => {
            made.kind = Kind::Choice;
            made.options.clone_from(options);
        }
        Sort::Number(unit) | Sort::Span(unit) => {
            if let Some(id) = unit {
                made.unit = Some(*id);
                made.units.push(*id);
                made.measure = reader.words.units.get(*id).measure();
            }
        }
    }
    if let Some(range) = part.values.iter().copied().reduce(Set::hull) {
        made.range = range;
    }
    let cited = list.rows.iter().flat_map(|row| &row.sources);
    let sources = distinct(cited.map(|citation| citation.source));
    let whole = |source| Citation {
        source,
        place: String::new(),
    };
    made.sources = sources.into_iter().map(whole).collect();
    reader.words.declare(made);
}

impl ListColumn {
    /// A cell as it is shown: its options by their labels, its numbers with their unit.
    pub fn shown(&self, cell: &str, words: &Vocabulary) -> String {
        let phrases = &words.phrases;
        match &self.sort {
            Sort::Text => cell.to_owned(),
            Sort::Truth if cell == "yes" => phrases.say(&phrase::YES, []),
            Sort::Truth => phrases.say(&phrase::NO, []),
            Sort::Choice(options) => {
                let label = |name: &str| {
                    let option = options.iter().find(|option| option.name == name);
                    option.map_or_else(|| name.to_owned(), |option| option.label.clone())
                };
                phrases.either(&cell.split(" or ").map(label).collect::<Vec<String>>())
            }
            Sort::Number(unit) | Sort::Span(unit) => {
                let cell = phrases.figures(cell.to_owned());
                let (low, high) = cell.split_once(" to ").unwrap_or((&cell, &cell));
                let unit = unit.map_or("", |id| words.units.get(id).said(high));
                let shown = phrases.between((true, true), [low, high], unit);
                shown.unwrap_or_default()
            }
        }
    }
}

impl Vocabulary {
    /// The values of a listed fact, one for every option of the choice it is looked up by.
    pub fn listed(&self, listed: Listed) -> &[Set] {
        let column = &self.lists[listed.list as usize].columns[listed.column as usize];
        &column.parts[listed.part as usize].values
    }

    /// The row of a list that one option of a choice stands for.
    pub fn listed_row(&self, listed: Listed, option: u32) -> Option<&ListRow> {
        self.lists[listed.list as usize].rows.get(option as usize)
    }
}
