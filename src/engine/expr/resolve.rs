//! Settles names and units: from what was written to what is run.

use super::super::book::text::{Log, Text};
use super::super::book::vocabulary::{Kind, Words};
use super::super::diagnostic::{Mark, did_you_mean, instead};
use super::super::set::YES;
use super::super::unit::{Measure, UnitId};
use super::ast::{Expr, Name, Node, Operator, SeriesWord};
use super::compile::{ColumnId, Condition, Feature, Test, Value};

/// Turns expressions of one text into what the evaluator runs; mistakes go to the log.
pub(crate) struct Resolver<'a> {
    pub words: Words<'a>,
    pub text: &'a Text<'a>,
    pub log: &'a mut Log,
}

/// A value and what kind of number it is; a number without unit waits for what stands beside it.
struct Typed {
    value: Value,
    measure: Option<Measure>,
}

impl Resolver<'_> {
    fn wrong<T>(
        &mut self,
        from: usize,
        to: usize,
        message: String,
        help: Option<String>,
    ) -> Option<T> {
        let part = self.text.value.get(from..to);
        let at = Mark {
            place: self.text.place_at(from),
            characters: part.map_or(1, |part| part.chars().count()) as u32,
        };
        self.log.note(at, message.into(), help.map(Into::into));
        None
    }

    fn written(&self, expr: &Expr<'_>) -> String {
        self.text
            .value
            .get(expr.from..expr.to)
            .unwrap_or("")
            .to_owned()
    }

    /// A condition.
    pub fn condition(&mut self, expr: &Expr<'_>) -> Option<Condition> {
        let test = self.test(expr)?;
        Some(Condition {
            test,
            text: self.written(expr),
        })
    }

    fn test(&mut self, expr: &Expr<'_>) -> Option<Test> {
        match &expr.node {
            Node::And(parts) => Some(Test::All(self.conditions(parts)?)),
            Node::Or(parts) => Some(Test::Any(self.conditions(parts)?)),
            Node::Not(inner) => Some(Test::Not(Box::new(self.condition(inner)?))),
            Node::Compare {
                relation,
                left,
                right,
            } => {
                let [left, right] = self.alike([left, right])?;
                Some(Test::Compare {
                    relation: *relation,
                    left,
                    right,
                })
            }
            Node::Within { value, low, high } => {
                let [value, low, high] = self.alike([value, low, high])?;
                Some(Test::Within { value, low, high })
            }
            Node::IsOneOf {
                fact,
                options,
                negated,
            } => self.one_of(fact, options, *negated),
            Node::Includes { fact, option } => self.includes(fact, option),
            Node::Reads { fact, zero, last } => self.reads(fact, *zero, *last),
            Node::Name(name) => self.truth(expr, name),
            _ => {
                let message = format!("`{}` is a number, not a condition", self.written(expr));
                self.wrong(
                    expr.from,
                    expr.to,
                    message,
                    Some("compare it with something".into()),
                )
            }
        }
    }

    fn conditions(&mut self, parts: &[Expr<'_>]) -> Option<Vec<Condition>> {
        // Every part is looked at, so that all mistakes of a line are found at once.
        let resolved: Vec<Option<Condition>> =
            parts.iter().map(|part| self.condition(part)).collect();
        resolved.into_iter().collect()
    }

    fn column(&mut self, name: &Name<'_>) -> Option<ColumnId> {
        if let Some(id) = self.words.find(name.value) {
            return Some(id);
        }
        let text = self.text.part(name.from, name.to);
        self.log.unknown(&text, "fact", self.words.names());
        None
    }

    fn truth(&mut self, expr: &Expr<'_>, name: &str) -> Option<Test> {
        let name = Name {
            value: name,
            from: expr.from,
            to: expr.to,
        };
        let column = self.column(&name)?;
        match self.words.get(column).kind {
            Kind::Truth => Some(Test::OneOf { column, mask: YES }),
            _ => {
                let message = format!(
                    "`{}` is not a truth; it cannot stand alone as a condition",
                    name.value
                );
                self.wrong(
                    expr.from,
                    expr.to,
                    message,
                    Some("compare it with something".into()),
                )
            }
        }
    }

    fn one_of(&mut self, fact: &Name<'_>, options: &[Name<'_>], negated: bool) -> Option<Test> {
        let column = self.column(fact)?;
        if !matches!(self.words.get(column).kind, Kind::Choice) {
            let message = format!("`{}` is no choice; `is` needs one", fact.value);
            return self.wrong(fact.from, fact.to, message, None);
        }
        let mut mask = 0;
        for option in options {
            mask |= self.option(column, option)?;
        }
        let test = Test::OneOf { column, mask };
        Some(if negated {
            Test::OneOf {
                column,
                mask: self.words.get(column).all_options() & !mask,
            }
        } else {
            test
        })
    }

    fn option(&mut self, column: ColumnId, option: &Name<'_>) -> Option<u128> {
        let known = self.words.get(column);
        if let Some(index) = known.option(option.value) {
            return Some(1 << index);
        }
        let help = instead(option.value, known.options.iter().map(|o| o.name.as_str()));
        let message = format!("`{}` is no option of `{}`", option.value, known.name);
        self.wrong(option.from, option.to, message, help)
    }

    fn includes(&mut self, fact: &Name<'_>, option: &Name<'_>) -> Option<Test> {
        let column = self.column(fact)?;
        if !matches!(self.words.get(column).kind, Kind::Several) {
            let message = format!(
                "`{}` does not hold several options; `includes` needs that",
                fact.value
            );
            return self.wrong(fact.from, fact.to, message, None);
        }
        Some(Test::Includes {
            column,
            mask: self.option(column, option)?,
        })
    }

    fn reads(&mut self, fact: &Name<'_>, zero: bool, last: u32) -> Option<Test> {
        let series = self.series(fact)?;
        if self.words.get(series).smallest.is_none() {
            let message = format!(
                "`{}` has no `smallest` mark, so nothing tells when it reads zero",
                fact.value
            );
            return self.wrong(fact.from, fact.to, message, None);
        }
        let feature = if zero {
            Feature::ReadsZero { last }
        } else {
            Feature::ReadsPresent { last }
        };
        let column = self
            .words
            .feature(series, feature, Kind::Truth, Measure::default());
        Some(Test::OneOf { column, mask: YES })
    }

    fn series(&mut self, fact: &Name<'_>) -> Option<ColumnId> {
        let column = self.column(fact)?;
        if !self.words.get(column).is_series() {
            let message = format!("`{}` is no series of readings", fact.value);
            return self.wrong(fact.from, fact.to, message, None);
        }
        Some(column)
    }

    /// Values that are compared with one another, so must be the same kind of number.
    fn alike<const N: usize>(&mut self, exprs: [&Expr<'_>; N]) -> Option<[Value; N]> {
        let plain = exprs
            .iter()
            .find(|expr| !is_literal(expr))
            .or(exprs.first())
            .copied()?;
        let expected = self.typed(plain, None)?.measure;
        let mut values = Vec::new();
        for expr in exprs {
            let typed = self.typed(expr, expected.as_ref())?;
            self.same(plain, expr, expected.as_ref(), typed.measure.as_ref())?;
            self.countable(plain, expr)?;
            values.push(typed.value);
        }
        values.try_into().ok()
    }

    /// An amount that must be of this kind of number.
    pub fn amount(&mut self, expr: &Expr<'_>, expected: &Measure) -> Option<Value> {
        let typed = self.typed(expr, Some(expected))?;
        match typed.measure {
            Some(measure) if measure != *expected => {
                let message = format!(
                    "`{}` is {}; here it must be {}",
                    self.written(expr),
                    self.described(Some(&measure)),
                    self.described(Some(expected))
                );
                self.wrong(expr.from, expr.to, message, None)
            }
            _ => Some(typed.value),
        }
    }

    fn same(
        &mut self,
        plain: &Expr<'_>,
        expr: &Expr<'_>,
        left: Option<&Measure>,
        right: Option<&Measure>,
    ) -> Option<()> {
        if left == right || left.is_none() || right.is_none() {
            return Some(());
        }
        let message = format!(
            "`{}` is {}, but `{}` is {}",
            self.written(plain),
            self.described(left),
            self.written(expr),
            self.described_literal(expr)
                .unwrap_or_else(|| self.described(right))
        );
        self.wrong(expr.from, expr.to, message, None)
    }

    /// A literal beside a fact must use a unit that the fact can be counted in.
    fn countable(&mut self, fact: &Expr<'_>, literal: &Expr<'_>) -> Option<()> {
        let name = match &fact.node {
            Node::Name(name) => name,
            Node::Series { fact, word, .. } if *word != SeriesWord::Age => &fact.value,
            _ => return Some(()),
        };
        let Node::Number {
            unit: Some(unit), ..
        } = &literal.node
        else {
            return Some(());
        };
        let column = self.words.get(self.words.find(name)?);
        if column.units.is_empty() || column.units.contains(unit) || column.unit.is_none() {
            return Some(());
        }
        let given = self.words.units.get(*unit).name.clone();
        if !column.counts_substances() {
            return Some(());
        }
        let message = format!("`{name}` is not counted in {given}");
        let help = format!(
            "write it in {}",
            column.unit_names(&self.words.units).join(", ")
        );
        self.wrong(literal.from, literal.to, message, Some(help))
    }

    /// A literal is described by its own unit, which the reader has before them.
    fn described_literal(&self, expr: &Expr<'_>) -> Option<String> {
        match expr.node {
            Node::Number { unit: Some(id), .. } => {
                let unit = self.words.units.get(id);
                let point = unit.zero.is_some();
                (!point).then(|| format!("counted in {}", unit.name))
            }
            _ => None,
        }
    }

    fn described(&self, measure: Option<&Measure>) -> String {
        let Some(measure) = measure else {
            return "a number without unit".into();
        };
        let unit = self
            .words
            .units
            .example(&measure.dimension)
            .map(|unit| unit.name.clone());
        match (unit, measure.point, measure.dimension.is_none()) {
            (_, _, true) => "a plain number".into(),
            (Some(_), true, _) if self.words.units.time().as_ref() == Some(&measure.dimension) => {
                "a date".into()
            }
            (Some(unit), true, _) => format!("a point on the scale of {unit}"),
            (Some(unit), false, _) => format!("counted in {unit}"),
            (None, ..) => "of a kind that has no unit".into(),
        }
    }

    fn typed(&mut self, expr: &Expr<'_>, expected: Option<&Measure>) -> Option<Typed> {
        match &expr.node {
            Node::Number { value, unit } => self.literal(expr, *value, *unit, expected),
            Node::Date(days) => {
                let measure = self.words.date_measure(self.text, self.log)?;
                Some(Typed {
                    value: Value::Constant(*days),
                    measure: Some(measure),
                })
            }
            Node::Name(name) => self.named(expr, name),
            Node::Negate(inner) => {
                let inner = self.typed(inner, expected)?;
                Some(Typed {
                    value: Value::Negate(Box::new(inner.value)),
                    measure: inner.measure,
                })
            }
            Node::Arithmetic {
                operator,
                left,
                right,
            } => self.arithmetic(expr, *operator, left, right, expected),
            Node::Call { name, arguments } => self.call(name, arguments, expected),
            Node::Series { word, fact, window } => self.series_word(*word, fact, window.as_deref()),
            _ => {
                let message = format!(
                    "`{}` is a condition; a number is needed here",
                    self.written(expr)
                );
                self.wrong(expr.from, expr.to, message, None)
            }
        }
    }

    fn literal(
        &mut self,
        expr: &Expr<'_>,
        value: f64,
        unit: Option<UnitId>,
        expected: Option<&Measure>,
    ) -> Option<Typed> {
        let Some(id) = unit else {
            return self.bare(expr, value, expected);
        };
        let unit = self.words.units.get(id);
        let difference = expected.is_some_and(|m| m.dimension == unit.dimension && !m.point);
        if difference || unit.zero.is_none() {
            let measure = Measure {
                dimension: unit.dimension.clone(),
                point: false,
            };
            let value = Value::Constant(unit.difference_to_main(value));
            return Some(Typed {
                value,
                measure: Some(measure),
            });
        }
        Some(Typed {
            value: Value::Constant(unit.to_main(value)),
            measure: Some(unit.measure()),
        })
    }

    fn bare(&mut self, expr: &Expr<'_>, value: f64, expected: Option<&Measure>) -> Option<Typed> {
        let typed = |measure| {
            Some(Typed {
                value: Value::Constant(value),
                measure,
            })
        };
        let Some(expected) = expected else {
            return typed(Some(Measure::default()));
        };
        let bare = expected.dimension.is_none()
            || self
                .words
                .units
                .units
                .iter()
                .any(|unit| unit.bare && unit.dimension == expected.dimension);
        if bare {
            return typed(Some(expected.clone()));
        }
        let names: Vec<String> = self
            .words
            .units
            .units
            .iter()
            .filter(|unit| unit.measure() == *expected || !expected.point)
            .filter(|unit| unit.dimension == expected.dimension)
            .map(|unit| unit.name.clone())
            .collect();
        let message = format!("`{}` needs a unit", self.written(expr));
        self.wrong(
            expr.from,
            expr.to,
            message,
            Some(format!("one of {}", names.join(", "))),
        )
    }

    fn named(&mut self, expr: &Expr<'_>, name: &str) -> Option<Typed> {
        let name = Name {
            value: name,
            from: expr.from,
            to: expr.to,
        };
        let id = self.column(&name)?;
        let column = self.words.get(id);
        if !column.is_number() {
            let message = format!("`{}` is no number", name.value);
            return self.wrong(expr.from, expr.to, message, None);
        }
        Some(Typed {
            value: Value::Column(id),
            measure: (!column.unit_unknown).then(|| column.measure.clone()),
        })
    }

    fn arithmetic(
        &mut self,
        expr: &Expr<'_>,
        operator: Operator,
        left: &Expr<'_>,
        right: &Expr<'_>,
        expected: Option<&Measure>,
    ) -> Option<Typed> {
        let sums = matches!(operator, Operator::Add | Operator::Subtract);
        let hint = if sums {
            expected.filter(|m| !m.point)
        } else {
            None
        };
        let first = self.typed(left, hint);
        let second = self.typed(right, hint);
        let (first, second) = (first?, second?);
        let measure = match (&first.measure, &second.measure) {
            (Some(a), Some(b)) => match combined(operator, a, b) {
                Some(measure) => Some(measure),
                None => return self.no_sum(expr, operator, (left, a), (right, b)),
            },
            _ => None,
        };
        let value = Value::Arithmetic {
            operator,
            left: Box::new(first.value),
            right: Box::new(second.value),
        };
        Some(Typed { value, measure })
    }

    fn no_sum<T>(
        &mut self,
        expr: &Expr<'_>,
        operator: Operator,
        (left, a): (&Expr<'_>, &Measure),
        (right, b): (&Expr<'_>, &Measure),
    ) -> Option<T> {
        let message = format!(
            "`{}` is {} and `{}` is {}; they cannot be joined so",
            self.written(left),
            self.described(Some(a)),
            self.written(right),
            self.described(Some(b))
        );
        let points = operator == Operator::Add && a.point && b.point;
        let help = "compare a difference instead, as in `a - b > ...`".to_owned();
        self.wrong(expr.from, expr.to, message, points.then_some(help))
    }

    fn call(
        &mut self,
        name: &Name<'_>,
        arguments: &[Expr<'_>],
        expected: Option<&Measure>,
    ) -> Option<Typed> {
        if name.value == "least" || name.value == "greatest" {
            return self.extreme(name.value == "least", arguments, expected);
        }
        let Some((id, signature)) = self.words.function(name.value) else {
            return self.no_function(name);
        };
        if self.words.functions[id.0 as usize].has_choice() {
            let message = format!("`{}` asks for a choice that no amount can make", name.value);
            return self.wrong(name.from, name.to, message, None);
        }
        if signature.arguments.len() != arguments.len() {
            let wanted: Vec<&str> = signature.names.clone();
            let message = format!(
                "`{}` takes {} arguments, not {}",
                name.value,
                wanted.len(),
                arguments.len()
            );
            return self.wrong(
                name.from,
                name.to,
                message,
                Some(format!("give it {}", wanted.join(", "))),
            );
        }
        let values: Vec<Option<Value>> = arguments
            .iter()
            .zip(&signature.arguments)
            .map(|(expr, measure)| self.amount(expr, measure))
            .collect();
        let arguments = values.into_iter().collect::<Option<Vec<Value>>>()?;
        Some(Typed {
            value: Value::Call {
                function: id,
                arguments,
            },
            measure: Some(signature.result),
        })
    }

    fn no_function<T>(&mut self, name: &Name<'_>) -> Option<T> {
        let lent = self.words.functions.iter().find(|f| f.name == name.value);
        let (message, help) = match lent {
            None => {
                let known = self.words.function_names().chain(["least", "greatest"]);
                let help = did_you_mean(name.value, known);
                (format!("unknown function `{}`", name.value), help)
            }
            // It is there, but counts in a unit that this book does not declare.
            Some(function) => {
                let units = function.arguments.iter().map(|a| a.unit);
                let lacking = units
                    .chain([function.unit])
                    .find(|unit| !unit.is_empty() && self.words.units.find(unit).is_none());
                let lacking = lacking.unwrap_or_default();
                let message = format!("`{}` counts in {lacking}", name.value);
                let help = format!("declare `unit {lacking}` in this book");
                (message, Some(help))
            }
        };
        self.wrong(name.from, name.to, message, help)
    }

    fn extreme(
        &mut self,
        least: bool,
        arguments: &[Expr<'_>],
        expected: Option<&Measure>,
    ) -> Option<Typed> {
        let at = arguments.iter().position(|expr| !is_literal(expr));
        let at = at.unwrap_or(0);
        let plain = arguments.get(at)?;
        // Looked at once only: calls inside one another would double the work each time.
        let first = self.typed(plain, expected)?;
        let measure = first.measure.clone();
        let mut first = Some(first);
        let mut values = Vec::new();
        for (index, expr) in arguments.iter().enumerate() {
            let typed = match first.take_if(|_| index == at) {
                Some(typed) => typed,
                None => self.typed(expr, measure.as_ref())?,
            };
            self.same(plain, expr, measure.as_ref(), typed.measure.as_ref())?;
            values.push(typed.value);
        }
        Some(Typed {
            value: if least {
                Value::Least(values)
            } else {
                Value::Greatest(values)
            },
            measure,
        })
    }

    fn series_word(
        &mut self,
        word: SeriesWord,
        fact: &Name<'_>,
        window: Option<&Expr<'_>>,
    ) -> Option<Typed> {
        let series = self.series(fact)?;
        let time = Measure {
            dimension: self.words.date_measure(self.text, self.log)?.dimension,
            point: false,
        };
        let days = match window {
            None => 0.0,
            Some(expr) => match self.amount(expr, &time)? {
                Value::Constant(days) if days > 0.0 => days,
                _ => {
                    return self.wrong(
                        expr.from,
                        expr.to,
                        "a fixed length of time is needed, as in 7 days".into(),
                        None,
                    );
                }
            },
        };
        let base = self.words.get(series).measure.clone();
        let known = !self.words.get(series).unit_unknown;
        let measure = match word {
            SeriesWord::Age => time,
            SeriesWord::Change => Measure {
                point: false,
                ..base
            },
            SeriesWord::Highest | SeriesWord::Lowest => base,
        };
        let column = self.words.feature(
            series,
            Feature::Number { word, days },
            Kind::Number,
            measure.clone(),
        );
        Some(Typed {
            value: Value::Column(column),
            measure: (known || word == SeriesWord::Age).then_some(measure),
        })
    }
}

fn is_literal(expr: &Expr<'_>) -> bool {
    match &expr.node {
        Node::Number { .. } => true,
        Node::Negate(inner) => is_literal(inner),
        _ => false,
    }
}

/// The kind of number that comes out of joining two, or nothing where they do not fit.
fn combined(operator: Operator, left: &Measure, right: &Measure) -> Option<Measure> {
    let times = |power| Measure {
        dimension: left.dimension.times(&right.dimension, power),
        point: false,
    };
    let same = left.dimension == right.dimension;
    match operator {
        Operator::Add if same && !(left.point && right.point) => Some(Measure {
            point: left.point || right.point,
            ..left.clone()
        }),
        Operator::Subtract if same && (left.point || !right.point) => Some(Measure {
            point: left.point && !right.point,
            ..left.clone()
        }),
        Operator::Multiply if !left.point && !right.point => Some(times(1)),
        Operator::Divide if !left.point && !right.point => Some(times(-1)),
        _ => None,
    }
}
