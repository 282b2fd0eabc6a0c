//! Amounts: any derived fact, table or function of a book, worked out for values as a person types them.

use serde::Serialize;

use super::answer::CautionInfo;
use super::book::Book;
use super::book::rule::Citation;
use super::book::vocabulary::{Cell, Column, Kind, Origin, Signature, Spread};
use super::describe::OptionInfo;
use super::diagnostic::nearest;
use super::entry;
use super::facts::{Facts, Given, Reading};
use super::function::{Argument, Function};
use super::phrase::{self, Phrases};
use super::set::{Interval, Set};
use super::unit::UnitId;
use super::why::{SourceRef, Worked};

/// One argument of something that can be reckoned.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct ArgumentInfo {
    /// The name to give its value by.
    pub name: String,
    /// The name as a reader's words.
    pub label: String,
    /// What to give, where the name leaves that open.
    pub how: String,
    /// Units it can be given in, the usual one first; none for a plain number.
    pub units: Vec<String>,
    /// The options of a choice; for a number, words that stand for values.
    pub options: Vec<OptionInfo>,
    /// Whether one of the options must be chosen.
    pub is_choice: bool,
    /// Lowest value for which the formula is valid, in the first unit.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// A function that can be reckoned by name.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct FunctionInfo {
    /// Its name.
    pub name: String,
    /// What it gives.
    pub label: String,
    /// The heading it stands under.
    pub group: String,
    /// Its arguments.
    pub arguments: Vec<ArgumentInfo>,
    /// The unit of its value, or empty.
    pub unit: String,
    /// The formula.
    pub formula: String,
}

/// A value that was asked for by name.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Reckoned {
    /// What it is.
    pub label: String,
    /// The value with its unit.
    pub shown: String,
    /// The lowest possible value in that unit, if there is one.
    pub low: Option<f64>,
    /// The highest.
    pub high: Option<f64>,
    /// The formula.
    pub formula: String,
    /// The working, line by line.
    pub working: Vec<String>,
    /// What comes with it.
    pub also: Vec<String>,
    /// What lies outside the interval in which the formula is valid.
    pub outside: Vec<String>,
    /// Cautions to be shown with it.
    pub cautions: Vec<CautionInfo>,
    /// Where it comes from.
    pub sources: Vec<SourceRef>,
    /// How it came about, for a derived fact or a table.
    pub worked: Option<Worked>,
}

impl Book {
    /// The functions that this book can call.
    #[must_use]
    pub fn functions(&self) -> Vec<FunctionInfo> {
        let pairs = self.words.functions.iter().zip(&self.words.signatures);
        pairs
            .filter_map(|(function, signature)| {
                Some(self.function_info(function, signature.as_ref()?))
            })
            .collect()
    }

    fn function_info(&self, function: &Function, signature: &Signature) -> FunctionInfo {
        let arguments = function.arguments.iter().zip(&signature.argument_units);
        FunctionInfo {
            name: function.name.to_owned(),
            label: self.label_of(function),
            group: (self.words.phrases).lent(phrase::GROUP, function.group, function.group),
            arguments: arguments
                .map(|(argument, unit)| self.argument_info(argument, *unit))
                .collect(),
            unit: function.unit.to_owned(),
            formula: function.formula_told(&self.words.phrases),
        }
    }

    fn label_of(&self, function: &Function) -> String {
        let phrases = &self.words.phrases;
        phrases.lent(phrase::AMOUNT, function.name, function.label)
    }

    fn argument_info(&self, argument: &Argument, unit: Option<UnitId>) -> ArgumentInfo {
        let units = self.same_kind(unit).into_iter();
        let phrases = &self.words.phrases;
        let own = argument.options.iter().map(|(name, label)| OptionInfo {
            name: (*name).to_owned(),
            label: phrases.lent(phrase::OPTION, label, label),
        });
        let mut options: Vec<OptionInfo> = own.collect();
        if let Some((choice, _)) = self.table_of(argument) {
            options.extend(choice.options.iter().map(|option| OptionInfo {
                name: option.name.clone(),
                label: option.label.clone(),
            }));
        }
        ArgumentInfo {
            name: key(argument.name),
            label: phrases.lent(phrase::ARGUMENT, argument.name, argument.name),
            how: phrases.lent(phrase::HOW, argument.how, argument.how),
            units: units
                .map(|id| self.words.units.get(id).name.clone())
                .collect(),
            options,
            is_choice: !argument.options.is_empty(),
            low: argument.valid.0,
            high: argument.valid.1,
        }
    }

    /// The choice and the table whose options an argument takes instead of a number.
    fn table_of(&self, argument: &Argument) -> Option<(&Column, &Column)> {
        let column = self.words.get(self.words.find(argument.table)?);
        let Origin::Table(table) = &column.origin else {
            return None;
        };
        let [by] = table.by[..] else { return None };
        let choice = self.words.get(by);
        (choice.kind == Kind::Choice && column.is_number()).then_some((choice, column))
    }

    /// The same, if a word of it was typed and not a figure.
    fn table_for(&self, argument: &Argument, text: &str) -> Option<(&Column, &Column)> {
        let is_word = text.trim().starts_with(char::is_alphabetic);
        self.table_of(argument).filter(|_| is_word)
    }

    /// The units that measure the same as this one, itself first.
    fn same_kind(&self, unit: Option<UnitId>) -> Vec<UnitId> {
        let Some(id) = unit else { return Vec::new() };
        let measure = self.words.units.get(id).measure();
        let others = (0..self.words.units.units.len() as u32).map(UnitId);
        let fits =
            |other: &UnitId| *other != id && self.words.units.get(*other).measure() == measure;
        std::iter::once(id).chain(others.filter(fits)).collect()
    }

    /// Works out a function, a derived fact or a table for values as a person types them, taken as exact.
    ///
    /// # Errors
    /// Sentences that say which name or value cannot be used, and what is needed; all of them.
    pub fn reckon(&self, name: &str, values: &[(String, String)]) -> Result<Reckoned, Vec<String>> {
        if let Some((index, signature)) = self.words.function(name) {
            return self.reckon_function(
                &self.words.functions[index.0 as usize],
                &signature,
                values,
            );
        }
        match self.words.find(name) {
            Some(id) if !self.words.get(id).is_given() => self.reckon_fact(name, values),
            _ => {
                let phrases = &self.words.phrases;
                let message = phrases.say(&phrase::NOT_RECKONED, [name]);
                let near = nearest(name, self.reckonable());
                let help = near.map(|near| phrases.say(&phrase::DID_YOU_MEAN, [near]));
                Err(vec![match help {
                    Some(help) => format!("{message}, {help}"),
                    None => message,
                }])
            }
        }
    }

    fn reckon_function(
        &self,
        function: &Function,
        signature: &Signature,
        values: &[(String, String)],
    ) -> Result<Reckoned, Vec<String>> {
        let keys: Vec<String> = function
            .arguments
            .iter()
            .map(|argument| key(argument.name))
            .collect();
        let phrases = &self.words.phrases;
        let mut wrong: Vec<String> = Vec::new();
        for (name, _) in values.iter().filter(|(name, _)| !keys.contains(name)) {
            let help = match nearest(name, keys.iter().map(String::as_str)) {
                Some(near) => phrases.say(&phrase::DID_YOU_MEAN, [near]),
                None => phrases.say(&phrase::TAKES, [&keys.join(", ")]),
            };
            wrong.push(phrases.say(&phrase::TAKES_NO, [function.name, name, &help]));
        }
        let mut handed = Vec::new();
        let mut sources = self.source_named(function.source);
        let arguments = function.arguments.iter().zip(&signature.argument_units);
        for (name, (argument, unit)) in keys.iter().zip(arguments) {
            match values.iter().find(|(given, _)| given == name) {
                None => {
                    let wanted = self.wanted(argument, *unit);
                    wrong.push(phrases.say(&phrase::IS_MISSING, [name, &wanted]));
                }
                Some((_, text)) => {
                    if let Some((_, table)) = self.table_for(argument, text) {
                        sources.extend(self.cited(&table.sources));
                    }
                    match self.argument(argument, *unit, text) {
                        Ok(interval) => handed.push(interval),
                        Err(message) => wrong.push(format!("{name}: {message}")),
                    }
                }
            }
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let result = function.over(&handed);
        Ok(Reckoned {
            label: self.label_of(function),
            shown: shown(phrases, result, function.unit),
            low: Some(result.lo).filter(|x| x.is_finite()),
            high: Some(result.hi).filter(|x| x.is_finite()),
            formula: function.formula_told(phrases),
            working: function.worked(&handed, phrases),
            also: function.beside(&handed, phrases),
            outside: outside(phrases, function, &handed),
            cautions: self.cautions_named(function.cautions),
            sources,
            worked: None,
        })
    }

    /// What to give for an argument.
    fn wanted(&self, argument: &Argument, unit: Option<UnitId>) -> String {
        let phrases = &self.words.phrases;
        if !argument.options.is_empty() {
            return phrases.say(&phrase::CHOOSE_ONE, [&option_names(argument)]);
        }
        let number = match unit.map(|id| self.words.units.get(id)) {
            Some(unit) if !unit.bare => phrases.say(&phrase::GIVE_IN, [&unit.name]),
            _ => phrases.say(&phrase::GIVE_NUMBER, []),
        };
        match self.table_of(argument) {
            Some((choice, _)) => {
                let names: Vec<&str> = choice.options.iter().map(|o| o.name.as_str()).collect();
                phrases.say(&phrase::OR_ONE_OF, [&number, &names.join(", ")])
            }
            None => number,
        }
    }

    fn argument(
        &self,
        argument: &Argument,
        unit: Option<UnitId>,
        text: &str,
    ) -> Result<Interval, String> {
        let (text, phrases) = (text.trim(), &self.words.phrases);
        if !argument.options.is_empty() {
            return chosen(phrases, argument, text);
        }
        if let Some((choice, table)) = self.table_for(argument, text) {
            return Ok(self.in_unit_of(unit, self.looked_up(choice, table, text)?));
        }
        let mut column = Column::new("", 0, Origin::Given { otherwise: None });
        column.label = key(argument.name);
        column.units = self.same_kind(unit);
        column.unit = unit;
        let entered = entry::entered(&column, &self.words, text)?;
        match (entered.question, entered.set) {
            (Some(question), _) => Err(question),
            (None, Set::Number(values)) => {
                within(phrases, argument, self.in_unit_of(unit, values), text)
            }
            _ => Err(phrases.say(&phrase::NOT_A_NUMBER, [text])),
        }
    }

    fn in_unit_of(&self, unit: Option<UnitId>, values: Interval) -> Interval {
        unit.map_or(values, |id| {
            let unit = self.words.units.get(id);
            Interval {
                lo: unit.from_main(values.lo),
                hi: unit.from_main(values.hi),
            }
        })
    }

    /// What a table holds for one of its options, or for one of several.
    fn looked_up(&self, choice: &Column, table: &Column, text: &str) -> Result<Interval, String> {
        let entered = entry::entered(choice, &self.words, text)?;
        let (Origin::Table(held), Set::Choice(asked)) = (&table.origin, entered.set) else {
            return Err(self.words.phrases.say(&phrase::NOT_A_NUMBER, [text]));
        };
        let fits = |cell: &Cell| match cell {
            Cell::OneOf(mask) => mask & asked != 0,
            _ => true,
        };
        let rows = held.rows.iter().filter(|row| row.cells.iter().all(fits));
        let values = rows.map(|row| row.result).reduce(Set::hull);
        Ok(values.map_or(Interval::EVERYTHING, |set| set.interval()))
    }

    fn cautions_named(&self, names: &[&str]) -> Vec<CautionInfo> {
        let place = |name: &&str| self.cautions.iter().position(|c| c.id == *name);
        let ids: Vec<u32> = names.iter().filter_map(place).map(|id| id as u32).collect();
        self.cautions_told(&ids)
    }

    fn source_named(&self, id: &str) -> Vec<SourceRef> {
        let found = self.sources.iter().position(|source| source.id == id);
        let citation = found.map(|source| Citation {
            source: source as u32,
            place: String::new(),
        });
        self.cited(&citation.into_iter().collect::<Vec<_>>())
    }

    fn reckon_fact(
        &self,
        name: &str,
        values: &[(String, String)],
    ) -> Result<Reckoned, Vec<String>> {
        let mut facts = Facts::default();
        let mut wrong = Vec::new();
        for (fact, text) in values {
            match self.exact(fact, text) {
                Ok(given) => {
                    facts.give(self, fact, given);
                }
                Err(message) => wrong.push(format!("{fact}: {message}")),
            }
        }
        let run = self.evaluate(&facts);
        match run.fact(name) {
            Some(worked) if wrong.is_empty() => Ok(Reckoned {
                label: worked.label.clone(),
                shown: worked.shown.clone(),
                low: worked.low,
                high: worked.high,
                formula: worked.formula.clone().unwrap_or_default(),
                working: worked.working.clone(),
                also: Vec::new(),
                outside: Vec::new(),
                cautions: Vec::new(),
                sources: worked.sources.clone(),
                worked: Some(worked),
            }),
            _ => Err(wrong),
        }
    }

    /// A value as typed, taken as exact.
    fn exact(&self, name: &str, text: &str) -> Result<Given, String> {
        let phrases = &self.words.phrases;
        let unknown = || {
            let message = phrases.say(&phrase::UNKNOWN_FACT, []);
            match nearest(name, self.words.names()) {
                Some(near) => format!("{message}, {}", phrases.say(&phrase::DID_YOU_MEAN, [near])),
                None => message,
            }
        };
        let id = self.words.find(name).ok_or_else(unknown)?;
        let column = Column {
            spread: Spread::Exact,
            ..self.words.get(id).clone()
        };
        let entered = entry::entered(&column, &self.words, text)?;
        if let Some(question) = entered.question {
            return Err(question);
        }
        let mut given = Given::typed(entered.set, text);
        if let (true, Set::Number(values), Some(nominal)) =
            (column.series, entered.set, entered.nominal)
        {
            given.readings.push(Reading {
                day: 0.0,
                values,
                nominal,
                mark: entered.mark,
                typed: text.to_owned(),
            });
        }
        Ok(given)
    }
}

/// The name of an argument as it is written on a command line.
fn key(name: &str) -> String {
    name.to_lowercase().replace(' ', "-")
}

fn option_names(argument: &Argument) -> String {
    let names: Vec<&str> = argument.options.iter().map(|(name, _)| *name).collect();
    names.join(", ")
}

/// The place of the option that was chosen.
fn chosen(phrases: &Phrases, argument: &Argument, text: &str) -> Result<Interval, String> {
    let is_it = |(name, label): &(&str, &str)| text == *name || text == *label;
    if let Some(place) = argument.options.iter().position(is_it) {
        return Ok(Interval::point(place as f64));
    }
    let names = argument.options.iter().map(|(name, _)| *name);
    let help = match nearest(text, names) {
        Some(near) => phrases.say(&phrase::DID_YOU_MEAN, [near]),
        None => phrases.say(&phrase::CHOOSE_ONE, [&option_names(argument)]),
    };
    Err(phrases.say(&phrase::NO_OPTION_HERE, [text, &help]))
}

/// What is possible of the values typed.
fn within(
    phrases: &Phrases,
    argument: &Argument,
    values: Interval,
    text: &str,
) -> Result<Interval, String> {
    let (lo, hi) = argument.possible;
    values.meet(Interval { lo, hi }).ok_or_else(|| {
        let bounds = shown(phrases, Interval { lo, hi }, argument.unit);
        phrases.say(&phrase::NOT_POSSIBLE, [text, &bounds])
    })
}

fn shown(phrases: &Phrases, result: Interval, unit: &str) -> String {
    let number = |value| phrases.number(value, None);
    let (low, high) = (number(result.lo), number(result.hi));
    let is_bound = (result.lo.is_finite(), result.hi.is_finite());
    let between = phrases.between(is_bound, [&low, &high], unit);
    between.unwrap_or_else(|| phrases.say(&phrase::NOT_REACHED, []))
}

fn outside(phrases: &Phrases, function: &Function, handed: &[Interval]) -> Vec<String> {
    let pairs = function.arguments.iter().zip(handed);
    pairs
        .filter(|(argument, values)| values.lo < argument.valid.0 || values.hi > argument.valid.1)
        .map(|(argument, _)| {
            let (lo, hi) = argument.valid;
            // What is measured in itself, as pH is, needs no unit beside its name.
            let is_own = argument.unit.eq_ignore_ascii_case(argument.name);
            let unit = if is_own { "" } else { argument.unit };
            let tested = shown(phrases, Interval { lo, hi }, unit);
            let name = phrases.lent(phrase::ARGUMENT, argument.name, argument.name);
            phrases.say(&phrase::OUTSIDE, [&name, &tested])
        })
        .collect()
}
