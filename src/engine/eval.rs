//! The one evaluator: a book run on sets of possible values.

use super::book::rule::Need;
use super::book::vocabulary::{Cell, Column, Derivation, Listed, Origin, Row, Table};
use super::book::{Book, Step};
use super::expr::ast::{Operator, Relation};
use super::expr::compile::{ColumnId, Condition, Feature, Test, Value};
use super::facts::{Brief, Facts, Given, feature};
use super::kernel::{Scratch, Verdicts};
use super::normal::{Allowed, Normal, order};
use super::set::{Interval, Set, Verdict};
use super::unit::UnitId;
use serde::{Deserialize, Serialize};

/// What is worked out is kept to one part of so many of its unit.
const BILLION: f64 = 1e9;

/// The answer to *May I ...?*
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "kebab-case")]
pub enum GateVerdict {
    /// Every need is met and nothing bars it.
    Yes,
    /// A need is not met; time or work may meet it.
    NotYet,
    /// Something bars it outright.
    No,
    /// A need or a bar is open: something must be measured first.
    CannotTell,
}

/// A book run on some facts: the set of every fact and derived fact, and the verdict of every rule and gate.
#[derive(Debug)]
pub struct Evaluation<'a> {
    pub(crate) book: &'a Book,
    pub(crate) facts: &'a Facts,
    pub(crate) sets: Vec<Set>,
    pub(crate) today: Option<f64>,
    pub(crate) rules: Verdicts,
    pub(crate) gates: Vec<GateVerdict>,
}

impl Book {
    /// Runs the book on some facts.
    #[must_use]
    pub fn evaluate<'a>(&'a self, facts: &'a Facts) -> Evaluation<'a> {
        let mut run = Evaluation::blank(self, facts);
        run.settle_all();
        run.conclude();
        run
    }
}

impl<'a> Evaluation<'a> {
    /// Nothing worked out yet: every fact may be anything in its range.
    pub(crate) fn blank(book: &'a Book, facts: &'a Facts) -> Evaluation<'a> {
        Evaluation::resumed(book, facts, book.ranges.clone())
    }

    /// What an earlier run worked out, to be worked out again in part.
    pub(crate) fn resumed(book: &'a Book, facts: &'a Facts, sets: Vec<Set>) -> Evaluation<'a> {
        Evaluation {
            book,
            facts,
            sets,
            today: today(book, facts),
            rules: Verdicts::default(),
            gates: Vec::new(),
        }
    }

    /// Puts in what is given and works out the rest.
    pub(crate) fn settle_all(&mut self) {
        self.settle_by(&self.book.worked);
    }

    /// Puts in what is given and takes these steps.
    pub(crate) fn settle_by(&mut self, steps: &[Step]) {
        let overridden = self.put_in();
        self.work_out(steps, overridden);
    }

    /// Puts in what is given, where the ranges stand. Tells whether any of it is worked out otherwise.
    pub(crate) fn put_in(&mut self) -> bool {
        let (book, facts) = (self.book, self.facts);
        for (place, id, brief) in facts.briefly() {
            let set = match brief {
                Brief::Number(values) => Set::Number(values),
                Brief::Options(options) => Set::Choice(options.into()),
                Brief::Several(surely, maybe) => Set::Several {
                    surely: surely.into(),
                    maybe: maybe.into(),
                },
                Brief::Full => {
                    let (_, given) = facts.at(place);
                    if self.is_old(id, given) {
                        continue;
                    }
                    given.set
                }
            };
            // Facts may be those of another book.
            if let Some(place) = self.sets.get_mut(id.0 as usize) {
                *place = set;
            }
        }
        // Mostly all that is given stands before what is worked out.
        if facts.last() < book.first_worked {
            return false;
        }
        let is_worked = |id: ColumnId| book.is_worked.get(id.0 as usize) == Some(&true);
        let mut given = facts.iter();
        given.any(|(id, given)| is_worked(id) && !self.is_old(id, given))
    }

    /// Whether the readings of a fact are too old to speak of today.
    fn is_old(&self, id: ColumnId, given: &Given) -> bool {
        let column = self.book.words.columns.get(id.0 as usize);
        !given.readings.is_empty() && column.is_some_and(|column| self.is_stale(column, given))
    }

    /// Works out what is not given, in the order of these steps.
    pub(crate) fn work_out(&mut self, steps: &[Step], overridden: bool) {
        for step in steps {
            match *step {
                Step::Order { id, left, right } => {
                    self.sets[id.0 as usize] = self.order(left, right);
                }
                Step::Other(id) if overridden && self.facts.get(id).is_some() => {}
                Step::Other(id) => self.sets[id.0 as usize] = self.worked_out(id),
            }
        }
    }

    /// Works out every rule and gate once all facts are settled.
    pub(crate) fn conclude(&mut self) {
        let mut scratch = Scratch::default();
        self.book.kernel.run(&self.sets, &mut scratch);
        self.rules = scratch.verdicts;
        // The verdicts of needs stand behind those of the rules.
        let mut next = self.book.rules.len()..;
        let mut need = |need: &Need| (need.bars, self.rules.at(next.next().unwrap_or(0)));
        let gates = self.book.gates.iter();
        self.gates = gates
            .map(|gate| GateVerdict::of(gate.needs.iter().map(&mut need)))
            .collect();
    }

    /// Works out one fact whose inputs are settled.
    pub(crate) fn settle(&mut self, id: ColumnId) {
        self.sets[id.0 as usize] = self.set_of(id);
    }
}

impl Evaluation<'_> {
    /// The same book on other facts, with the sets of this run where they are not worked out anew.
    pub(crate) fn begun<'b>(&'b self, facts: &'b Facts) -> Evaluation<'b> {
        Evaluation {
            book: self.book,
            facts,
            sets: self.sets.clone(),
            today: today(self.book, facts),
            rules: Verdicts::default(),
            gates: Vec::new(),
        }
    }

    pub(crate) fn set(&self, id: ColumnId) -> Set {
        self.sets[id.0 as usize]
    }

    fn set_of(&self, id: ColumnId) -> Set {
        let column = self.book.words.get(id);
        if let Some(given) = self.facts.get(id) {
            return if self.is_stale(column, given) {
                column.range
            } else {
                given.set
            };
        }
        self.worked_out(id)
    }

    /// The value of what is not given.
    fn worked_out(&self, id: ColumnId) -> Set {
        let column = self.book.words.get(id);
        match &column.origin {
            Origin::Given {
                otherwise: Some(value),
            } => within(Set::Number(self.worked_amount(column, value)), column.range),
            Origin::Given { otherwise: None } | Origin::Derived(Derivation::Unread) => column.range,
            Origin::Derived(Derivation::Number(value)) => {
                within(Set::Number(self.worked_amount(column, value)), column.range)
            }
            Origin::Derived(Derivation::Truth { normal, .. }) => {
                Set::from_verdict(self.normal(normal))
            }
            Origin::Test(condition) => Set::from_verdict(self.verdict(condition)),
            Origin::Order { left, right } => self.order(*left, *right),
            Origin::Table(table) => self.look_up(table, column.range),
            Origin::Listed(listed) => self.listed(*listed, column.range),
            Origin::Feature {
                series,
                feature: wanted,
            } => self.feature(*series, *wanted, column.range),
        }
    }

    /// What old readings say of today is open; how old they are, and what stood in the last days, is not.
    fn feature(&self, series: ColumnId, wanted: Feature, whole: Set) -> Set {
        let Some(given) = self.facts.get(series) else {
            return feature(&[], self.today, wanted, whole);
        };
        if wanted.speaks_of_today() && self.is_stale(self.book.words.get(series), given) {
            return whole;
        }
        feature(&given.readings, self.today, wanted, whole)
    }

    /// Whether the latest reading of a series is too old to speak of today.
    pub(crate) fn is_stale(&self, column: &Column, given: &Given) -> bool {
        match (given.readings.last(), column.stale, self.today) {
            (Some(latest), Some(days), Some(today)) => {
                libm::floor(today) - libm::floor(latest.day) > days
            }
            _ => false,
        }
    }

    /// An amount to a billionth of the unit of its fact, so that 30 less 20 is 10 whatever it was converted from.
    fn worked_amount(&self, column: &Column, value: &Value) -> Interval {
        let exact = self.value(value);
        if value.is_plain() {
            return exact;
        }
        let Some(unit) = column.unit.map(|id| self.book.words.units.get(id)) else {
            return exact.rounded(BILLION);
        };
        let shown = Interval {
            lo: unit.from_main(exact.lo),
            hi: unit.from_main(exact.hi),
        };
        let shown = shown.rounded(BILLION);
        Interval {
            lo: unit.to_main(shown.lo),
            hi: unit.to_main(shown.hi),
        }
    }

    /// The sides of a comparison, rounded alike where one of them is worked out. Main units may be a thousand times as
    /// large as those that people write.
    fn sides<const N: usize>(&self, values: [&Value; N]) -> [Interval; N] {
        let plain = values.iter().all(|value| value.is_plain());
        values.map(|value| {
            let exact = self.value(value);
            if plain {
                exact
            } else {
                exact.rounded(1_000.0 * BILLION)
            }
        })
    }

    pub(crate) fn value(&self, value: &Value) -> Interval {
        match value {
            Value::Constant(x) => Interval::point(*x),
            Value::Column(id) => self.set(*id).interval(),
            Value::Negate(inner) => self.value(inner).negate(),
            Value::Arithmetic {
                operator,
                left,
                right,
            } => {
                let (left, right) = (self.value(left), self.value(right));
                match operator {
                    Operator::Add => left.add(right),
                    Operator::Subtract => left.add(right.negate()),
                    Operator::Multiply => left.multiply(right),
                    Operator::Divide => left.divide(right),
                }
            }
            Value::Least(parts) => self.extreme(parts, f64::min),
            Value::Greatest(parts) => self.extreme(parts, f64::max),
            Value::Call {
                function,
                arguments,
            } => self.call(function.0 as usize, arguments),
        }
    }

    fn extreme(&self, parts: &[Value], pick: fn(f64, f64) -> f64) -> Interval {
        let each = parts.iter().map(|part| self.value(part));
        each.reduce(|a, b| Interval {
            lo: pick(a.lo, b.lo),
            hi: pick(a.hi, b.hi),
        })
        .unwrap_or(Interval::EVERYTHING)
    }

    /// The result of a function in the main unit.
    fn call(&self, function: usize, arguments: &[Value]) -> Interval {
        let words = &self.book.words;
        let (Some(signature), Some(handed)) = (
            &words.signatures[function],
            self.handed(function, arguments),
        ) else {
            return Interval::EVERYTHING;
        };
        let result = words.functions[function].over(&handed);
        signature.result_unit.map_or(result, |id| {
            let unit = words.units.get(id);
            Interval {
                lo: unit.to_main(result.lo),
                hi: unit.to_main(result.hi),
            }
        })
    }

    /// The arguments of a function, each in the unit in which it is handed over.
    pub(crate) fn handed(&self, function: usize, arguments: &[Value]) -> Option<Vec<Interval>> {
        let words = &self.book.words;
        let signature = words.signatures[function].as_ref()?;
        let handed = |(argument, unit): (&Value, &Option<UnitId>)| {
            let main = self.value(argument);
            unit.map_or(main, |id| {
                let unit = words.units.get(id);
                Interval {
                    lo: unit.from_main(main.lo),
                    hi: unit.from_main(main.hi),
                }
            })
        };
        let pairs = arguments.iter().zip(&signature.argument_units);
        Some(pairs.map(handed).collect())
    }

    fn look_up(&self, table: &Table, range: Set) -> Set {
        let possible = table
            .rows
            .iter()
            .filter(|row| self.row(table, row) != Verdict::Fails);
        possible
            .map(|row| row.result)
            .reduce(Set::hull)
            .unwrap_or(range)
    }

    /// What a list tells of the rows that are possible.
    fn listed(&self, listed: Listed, whole: Set) -> Set {
        let values = self.book.words.listed(listed);
        let Set::Choice(rows) = self.set(listed.by) else {
            return whole;
        };
        if rows.count_ones() as usize == values.len() {
            return whole;
        }
        let possible = values.iter().enumerate();
        let possible = possible.filter(|(row, _)| rows >> row & 1 == 1);
        possible
            .map(|(_, value)| *value)
            .reduce(Set::hull)
            .unwrap_or(whole)
    }

    pub(crate) fn row(&self, table: &Table, row: &Row) -> Verdict {
        let cells = table.by.iter().zip(&row.cells);
        cells
            .map(|(id, cell)| self.cell(*id, cell))
            .fold(Verdict::Holds, Verdict::and)
    }

    fn cell(&self, id: ColumnId, cell: &Cell) -> Verdict {
        let allowed = match *cell {
            Cell::Any => return Verdict::Holds,
            Cell::OneOf(mask) => Allowed::Options(mask),
            Cell::Between {
                low,
                low_open,
                high,
                high_open,
            } => Allowed::Numbers {
                low,
                low_open,
                high,
                high_open,
            },
        };
        allowed.verdict(self.set(id))
    }

    /// The verdict of a rule by the definition: row by row of its normal form, without the tables.
    #[must_use]
    pub fn rule_by_rows(&self, name: &str) -> Option<Verdict> {
        let rule = &self.book.rules[self.book.rule_at(name)?];
        Some(self.normal(&rule.body(self.book).normal))
    }

    /// The verdict of a rule in strong Kleene logic, condition by condition: never more decided than the rule's own.
    #[must_use]
    pub fn rule_by_conditions(&self, name: &str) -> Option<Verdict> {
        let rule = &self.book.rules[self.book.rule_at(name)?];
        Some(self.all(&rule.body(self.book).conditions))
    }

    /// How two numbers may lie to one another.
    pub(crate) fn order(&self, left: ColumnId, right: ColumnId) -> Set {
        order(self.set(left).interval(), self.set(right).interval())
    }

    pub(crate) fn normal(&self, normal: &Normal) -> Verdict {
        normal.verdict(|id| self.set(id))
    }

    /// The verdict of one condition by itself, in strong Kleene logic. Rules, needs and derived truths go by their
    /// normal form, which is never less decided.
    pub(crate) fn verdict(&self, condition: &Condition) -> Verdict {
        match &condition.test {
            Test::Compare {
                relation,
                left,
                right,
            } => {
                let [left, right] = self.sides([left, right]);
                compare(*relation, left, right)
            }
            Test::Within { value, low, high } => {
                let [low, value, high] = self.sides([low, value, high]);
                low.at_most(value).and(value.at_most(high))
            }
            Test::OneOf { column, mask } => self.set(*column).is_one_of(*mask),
            Test::Includes { column, mask } => self.set(*column).includes(*mask),
            Test::All(parts) => self.all(parts),
            Test::Any(parts) => parts
                .iter()
                .map(|part| self.verdict(part))
                .fold(Verdict::Fails, Verdict::or),
            Test::Not(inner) => self.verdict(inner).not(),
        }
    }

    pub(crate) fn all(&self, conditions: &[Condition]) -> Verdict {
        conditions
            .iter()
            .map(|condition| self.verdict(condition))
            .fold(Verdict::Holds, Verdict::and)
    }
}

impl GateVerdict {
    /// The answer that bars (true) and needs (false) come to with their verdicts.
    pub(crate) fn of(needs: impl Iterator<Item = (bool, Verdict)>) -> GateVerdict {
        let (mut met, mut barred) = (Verdict::Holds, Verdict::Fails);
        for (bars, verdict) in needs {
            if bars {
                barred = barred.or(verdict);
            } else {
                met = met.and(verdict);
            }
        }
        match (met, barred) {
            (_, Verdict::Holds) => GateVerdict::No,
            (Verdict::Fails, _) => GateVerdict::NotYet,
            (Verdict::Holds, Verdict::Fails) => GateVerdict::Yes,
            _ => GateVerdict::CannotTell,
        }
    }
}

/// The day that the facts speak of, if they name one.
fn today(book: &Book, facts: &Facts) -> Option<f64> {
    let given = book.today.and_then(|id| facts.get(id))?;
    let day = given.set.interval();
    day.is_point().then_some(day.lo)
}

pub(crate) fn compare(relation: Relation, left: Interval, right: Interval) -> Verdict {
    match relation {
        Relation::Less => left.less_than(right),
        Relation::AtMost => left.at_most(right),
        Relation::More => right.less_than(left),
        Relation::AtLeast => right.at_most(left),
    }
}

/// A computed value is held within what the vocabulary allows. Held, not dropped: what a point inside comes to then
/// lies within what the whole comes to.
fn within(set: Set, range: Set) -> Set {
    match (set, range) {
        (Set::Number(values), Set::Number(allowed)) => Set::Number(Interval {
            lo: values.lo.clamp(allowed.lo, allowed.hi),
            hi: values.hi.clamp(allowed.lo, allowed.hi),
        }),
        _ => set,
    }
}
