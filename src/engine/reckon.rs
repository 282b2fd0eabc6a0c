//! Amounts: any derived fact, table or function of a book, worked out for values as a person types them.

use serde::Serialize;

use super::book::Book;
use super::book::vocabulary::{Column, Signature, Spread};
use super::diagnostic::did_you_mean;
use super::entry;
use super::facts::{Facts, Given, Reading};
use super::function::Function;
use super::set::{Interval, Set};
use super::show::printed;
use super::unit::UnitId;
use super::why::{SourceRef, Worked};

/// One argument of something that can be reckoned.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct ArgumentInfo {
    /// The name to give its value by.
    pub name: String,
    /// Units it can be given in, the usual one first; none for a plain number.
    pub units: Vec<String>,
    /// Lowest value for which the formula is valid, in the first unit.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// A function that can be reckoned by name.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct FunctionInfo {
    /// Its name.
    pub name: String,
    /// What it gives.
    pub label: String,
    /// Its arguments.
    pub arguments: Vec<ArgumentInfo>,
    /// The unit of its value, or empty.
    pub unit: String,
    /// The formula.
    pub formula: String,
}

/// A value that was asked for by name.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Reckoned {
    /// What it is.
    pub label: String,
    /// The value with its unit.
    pub shown: String,
    /// The formula.
    pub formula: String,
    /// The working, line by line.
    pub working: Vec<String>,
    /// What lies outside the interval in which the formula is valid.
    pub outside: Vec<String>,
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
        let argument =
            |(argument, unit): (&super::function::Argument, &Option<UnitId>)| ArgumentInfo {
                name: key(argument.name),
                units: self
                    .same_kind(*unit)
                    .into_iter()
                    .map(|id| self.words.units.get(id).name.clone())
                    .collect(),
                low: argument.valid.0,
                high: argument.valid.1,
            };
        FunctionInfo {
            name: function.name.to_owned(),
            label: function.label.to_owned(),
            arguments: function
                .arguments
                .iter()
                .zip(&signature.argument_units)
                .map(argument)
                .collect(),
            unit: function.unit.to_owned(),
            formula: function.formula.to_owned(),
        }
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
                let help = did_you_mean(name, self.reckonable())
                    .map(|help| format!(", {help}"))
                    .unwrap_or_default();
                Err(vec![format!(
                    "nothing called `{name}` can be reckoned{help}"
                )])
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
        let mut wrong: Vec<String> = Vec::new();
        for (name, _) in values.iter().filter(|(name, _)| !keys.contains(name)) {
            let help = did_you_mean(name, keys.iter().map(String::as_str))
                .unwrap_or_else(|| format!("it takes {}", keys.join(", ")));
            wrong.push(format!("`{}` takes no `{name}`; {help}", function.name));
        }
        let mut handed = Vec::new();
        for (name, unit) in keys.iter().zip(&signature.argument_units) {
            match values.iter().find(|(given, _)| given == name) {
                None => wrong.push(format!(
                    "`{name}` is missing: write {name}=VALUE{}",
                    self.usual(*unit)
                )),
                Some((_, text)) => match self.argument(name, *unit, text) {
                    Ok(interval) => handed.push(interval),
                    Err(message) => wrong.push(format!("{name}: {message}")),
                },
            }
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let result = function.over(&handed);
        let unit = if function.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", function.unit)
        };
        let shown = match (printed(result.lo, None), printed(result.hi, None)) {
            _ if !result.lo.is_finite() || !result.hi.is_finite() => {
                "this cannot be reached with these values".into()
            }
            (low, high) if low == high => format!("{low}{unit}"),
            (low, high) => format!("{low} to {high}{unit}"),
        };
        Ok(Reckoned {
            label: function.label.to_owned(),
            shown,
            formula: function.formula.to_owned(),
            working: function.worked(&handed),
            outside: outside(function, &handed),
            sources: self.source_named(function.source),
            worked: None,
        })
    }

    fn usual(&self, unit: Option<UnitId>) -> String {
        unit.map_or_else(String::new, |id| {
            format!(", in {}", self.words.units.get(id).name)
        })
    }

    fn argument(&self, name: &str, unit: Option<UnitId>, text: &str) -> Result<Interval, String> {
        let mut column = Column::new(
            "",
            0,
            super::book::vocabulary::Origin::Given { otherwise: None },
        );
        column.label = name.to_owned();
        column.units = self.same_kind(unit);
        column.unit = unit;
        let entered = entry::entered(&column, &self.words.units, text)?;
        match (entered.question, entered.set) {
            (Some(question), _) => Err(question),
            (None, Set::Number(values)) => Ok(unit.map_or(values, |id| {
                let unit = self.words.units.get(id);
                Interval {
                    lo: unit.from_main(values.lo),
                    hi: unit.from_main(values.hi),
                }
            })),
            _ => Err(format!("`{text}` is no number")),
        }
    }

    fn source_named(&self, id: &str) -> Vec<SourceRef> {
        let found = self.sources.iter().position(|source| source.id == id);
        let citation = found.map(|source| super::book::rule::Citation {
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
                formula: worked.formula.clone().unwrap_or_default(),
                working: worked.working.clone(),
                outside: Vec::new(),
                sources: worked.sources.clone(),
                worked: Some(worked),
            }),
            _ => Err(wrong),
        }
    }

    /// A value as typed, taken as exact.
    fn exact(&self, name: &str, text: &str) -> Result<Given, String> {
        let id =
            self.words
                .find(name)
                .ok_or_else(|| match did_you_mean(name, self.words.names()) {
                    Some(help) => format!("unknown fact, {help}"),
                    None => "unknown fact".to_owned(),
                })?;
        let column = Column {
            spread: Spread::Exact,
            ..self.words.get(id).clone()
        };
        let entered = entry::entered(&column, &self.words.units, text)?;
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

fn outside(function: &Function, handed: &[Interval]) -> Vec<String> {
    let pairs = function.arguments.iter().zip(handed);
    pairs
        .filter(|(argument, values)| values.lo < argument.valid.0 || values.hi > argument.valid.1)
        .map(|(argument, _)| {
            let (low, high) = (
                printed(argument.valid.0, None),
                printed(argument.valid.1, None),
            );
            let unit = if argument.unit.is_empty() {
                String::new()
            } else {
                format!(" {}", argument.unit)
            };
            format!(
                "{} is outside {low} to {high}{unit}, where the formula was tested",
                argument.name
            )
        })
        .collect()
}
