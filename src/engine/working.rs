//! Formulas in words, and worked in numbers.

use super::book::Book;
use super::eval::Evaluation;
use super::expr::ast::Operator;
use super::expr::compile::Value;
use super::function::Function;
use super::phrase::{self, Phrases};
use super::set::Interval;
use super::unit::UnitId;

impl Book {
    /// A formula with the names of its facts.
    pub(crate) fn formula(&self, value: &Value) -> String {
        let phrases = &self.words.phrases;
        match value {
            Value::Constant(x) => phrases.number(*x, None),
            Value::Column(id) => phrases.in_sentence(&self.words.get(*id).label),
            Value::Negate(inner) => format!("−{}", self.formula(inner)),
            Value::Arithmetic {
                operator,
                left,
                right,
            } => {
                format!(
                    "{} {} {}",
                    self.part(left),
                    sign(*operator),
                    self.part(right)
                )
            }
            Value::Least(parts) => phrases.say(&phrase::LEAST_OF, [&self.list(parts)]),
            Value::Greatest(parts) => phrases.say(&phrase::GREATEST_OF, [&self.list(parts)]),
            Value::Call {
                function,
                arguments,
            } => {
                let function = &self.words.functions[function.0 as usize];
                let label = phrases.lent(phrase::AMOUNT, function.name, function.label);
                phrases.say(&phrase::WORKED_FROM, [&label, &self.list(arguments)])
            }
        }
    }

    fn part(&self, value: &Value) -> String {
        match value {
            Value::Arithmetic { .. } => format!("({})", self.formula(value)),
            _ => self.formula(value),
        }
    }

    fn list(&self, parts: &[Value]) -> String {
        let parts: Vec<String> = parts.iter().map(|part| self.formula(part)).collect();
        parts.join(", ")
    }
}

impl Evaluation<'_> {
    /// The lines in which a formula is worked in numbers, inner calls first; the result is counted in `unit`.
    /// While an input may be anything there is nothing to work.
    pub(crate) fn working(&self, value: &Value, unit: Option<UnitId>, lines: &mut Vec<String>) {
        let mut known = true;
        value.columns(&mut |id| {
            known &= self.shown_set(self.book.words.get(id), self.set(id)) != self.not_known()
        });
        if known {
            self.work(value, unit, lines);
        }
    }

    fn work(&self, value: &Value, unit: Option<UnitId>, lines: &mut Vec<String>) {
        match value {
            Value::Constant(_) | Value::Column(_) => {}
            Value::Negate(inner) => self.work(inner, unit, lines),
            Value::Arithmetic {
                operator,
                left,
                right,
            } => {
                self.work(left, self.unit_of(left), lines);
                self.work(right, self.unit_of(right), lines);
                let (a, b) = (self.figure(left), self.figure(right));
                lines.push(format!(
                    "{a} {} {b} = {}",
                    sign(*operator),
                    self.in_unit(unit, None, self.value(value))
                ));
            }
            Value::Least(parts) | Value::Greatest(parts) => {
                parts
                    .iter()
                    .for_each(|part| self.work(part, self.unit_of(part), lines));
                let figures: Vec<String> = parts.iter().map(|part| self.figure(part)).collect();
                let phrase = match value {
                    Value::Least(_) => &phrase::LEAST_OF,
                    _ => &phrase::GREATEST_OF,
                };
                lines.push(format!(
                    "{} = {}",
                    self.phrases().say(phrase, [&figures.join(", ")]),
                    self.in_unit(unit, None, self.value(value))
                ));
            }
            Value::Call {
                function,
                arguments,
            } => {
                arguments
                    .iter()
                    .for_each(|argument| self.work(argument, self.unit_of(argument), lines));
                self.call_working(function.0 as usize, arguments, lines);
            }
        }
    }

    /// A value in figures: facts in the unit they are shown in.
    fn figure(&self, value: &Value) -> String {
        match value {
            Value::Column(id) => self.shown_set(self.book.words.get(*id), self.set(*id)),
            _ => self.in_unit(self.unit_of(value), None, self.value(value)),
        }
    }

    /// The unit a reader would count this value in, where one is at hand.
    pub(crate) fn unit_of(&self, value: &Value) -> Option<UnitId> {
        match value {
            Value::Column(id) => self.book.words.get(*id).unit,
            Value::Negate(inner) => self.unit_of(inner),
            Value::Arithmetic {
                operator: Operator::Add | Operator::Subtract,
                left,
                right,
            } => self.unit_of(left).or_else(|| self.unit_of(right)),
            Value::Call { function, .. } => self.book.words.signatures[function.0 as usize]
                .as_ref()
                .and_then(|signature| signature.result_unit),
            Value::Least(parts) | Value::Greatest(parts) => {
                parts.iter().find_map(|part| self.unit_of(part))
            }
            _ => None,
        }
    }

    fn call_working(&self, index: usize, arguments: &[Value], lines: &mut Vec<String>) {
        let function = &self.book.words.functions[index];
        let Some(handed) = self.handed(index, arguments) else {
            return;
        };
        lines.push(function.formula_told(self.phrases()));
        lines.extend(function.worked(&handed, self.phrases()));
    }
}

impl Function {
    /// The formula in the words and figures of a language.
    pub(crate) fn formula_told(&self, phrases: &Phrases) -> String {
        phrases.figures(phrases.lent(phrase::FORMULA, self.name, self.formula))
    }

    /// The working for arguments that are known, or for the two ends where they are not.
    pub(crate) fn worked(&self, arguments: &[Interval], phrases: &Phrases) -> Vec<String> {
        if self.extension.is_some() && !arguments.iter().all(|interval| interval.is_point()) {
            let all = self.range_shown(arguments, phrases);
            return vec![phrases.say(&phrase::OVER_ALL, [&all])];
        }
        self.told(arguments, self.working, phrases)
    }

    /// What comes with the value, at both ends where arguments are not known.
    pub(crate) fn beside(&self, arguments: &[Interval], phrases: &Phrases) -> Vec<String> {
        if self.extension.is_some() && !arguments.iter().all(|interval| interval.is_point()) {
            return Vec::new();
        }
        self.told(arguments, self.also, phrases)
    }

    fn told(
        &self,
        arguments: &[Interval],
        lines: fn(&[f64], f64) -> Vec<String>,
        phrases: &Phrases,
    ) -> Vec<String> {
        let is_finite = |interval: &Interval| interval.lo.is_finite() && interval.hi.is_finite();
        if !arguments.iter().all(is_finite) {
            return Vec::new();
        }
        let at = |low: bool| {
            let points = self.corner(arguments, low);
            let value = (self.compute)(&points);
            let lines = match value.is_finite() {
                true => lines(&points, value),
                false => Vec::new(),
            };
            let written = lines.into_iter().map(|line| phrases.line(line));
            written.collect::<Vec<String>>()
        };
        if arguments.iter().all(|interval| interval.is_point()) {
            return at(true);
        }
        let mut told = Vec::new();
        for (heading, low) in [(&phrase::LOW_END, true), (&phrase::HIGH_END, false)] {
            let lines = at(low);
            if !lines.is_empty() {
                told.push(phrases.say(heading, []));
                told.extend(lines);
            }
        }
        told
    }

    fn range_shown(&self, arguments: &[Interval], phrases: &Phrases) -> String {
        let all = self.over(arguments);
        let high = format!("{} {}", phrases.number(all.hi, None), self.unit);
        phrases.say(&phrase::SPAN, [&phrases.number(all.lo, None), &high])
    }
}

fn sign(operator: Operator) -> &'static str {
    match operator {
        Operator::Add => "+",
        Operator::Subtract => "−",
        Operator::Multiply => "×",
        Operator::Divide => "÷",
    }
}
