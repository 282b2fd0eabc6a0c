//! The vocabulary: every fact, derived fact, table and series word, with its kind and range.

use std::ops::Deref;

use super::super::diagnostic::Mark;
use super::super::expr::compile::{ColumnId, Condition, Feature, FunctionId, Value};
use super::super::function::Function;
use super::super::normal::{EQUAL, LESS, MORE, Normal, Opaque};
use super::super::phrase::{self, Phrases};
use super::super::set::{Interval, NO, Set, YES};
use super::super::unit::{Index, Measure, UnitId, Units};
use super::list::List;
use super::message::Message;
use super::rule::{Case, Citation, Late};
use super::text::{Log, Text};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Number,
    Choice,
    Several,
    Truth,
}

#[derive(Debug, Clone)]
pub(crate) struct ChoiceOption {
    pub name: String,
    pub label: String,
}

/// How far off a reading may be, either way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Spread {
    Exact,
    /// In the main unit.
    Absolute(f64),
    /// As a share of the value.
    Relative(f64),
}

#[derive(Debug, Clone)]
pub(crate) enum Origin {
    Given {
        otherwise: Option<Value>,
    },
    Derived(Derivation),
    Table(Table),
    /// A column of a list.
    Listed(Listed),
    Feature {
        series: ColumnId,
        feature: Feature,
    },
    /// A test that is no plain test of one fact, made a fact of its own for the normal forms.
    Test(Condition),
    /// How two numbers lie to one another, made a fact of its own likewise.
    Order {
        left: ColumnId,
        right: ColumnId,
    },
}

#[derive(Debug, Clone)]
pub(crate) enum Derivation {
    Number(Value),
    Truth {
        condition: Condition,
        normal: Normal,
    },
    /// Declared, but its formula has not been read yet, or could not be.
    Unread,
}

/// Where the values of a fact stand that a list gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Listed {
    /// The choice among the rows.
    pub by: ColumnId,
    pub list: u32,
    pub column: u32,
    pub part: u32,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Table {
    pub by: Vec<ColumnId>,
    pub rows: Vec<Row>,
}

#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub cells: Vec<Cell>,
    pub result: Set,
    /// The row as it was written.
    pub words: String,
    pub place: Mark,
}

#[derive(Debug, Clone, Copy)]
pub(crate) enum Cell {
    Any,
    Between {
        low: f64,
        low_open: bool,
        high: f64,
        high_open: bool,
    },
    OneOf(u128),
}

#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub name: String,
    pub label: String,
    pub ask: String,
    pub how: String,
    pub group: String,
    pub kind: Kind,
    pub measure: Measure,
    pub date: bool,
    pub series: bool,
    /// The unit it is shown in.
    pub unit: Option<UnitId>,
    /// Whether it has a unit that the book does not know, so that nothing more can be said of its numbers.
    pub unit_unknown: bool,
    /// The units it can be entered in, the shown one first.
    pub units: Vec<UnitId>,
    pub range: Set,
    pub options: Vec<ChoiceOption>,
    pub smallest: Option<f64>,
    pub spread: Spread,
    /// Days after which a reading says nothing about today.
    pub stale: Option<f64>,
    pub decimals: Option<u8>,
    /// What finding it out costs, against 1 for a usual test.
    pub effort: f64,
    pub origin: Origin,
    pub because: Message,
    pub sources: Vec<Citation>,
    pub chapter: u32,
    /// Its name in the text of the book.
    pub place: Mark,
    pub late: Late<Vec<Case>>,
}

impl Column {
    pub fn new(name: &str, chapter: u32, origin: Origin) -> Column {
        Column {
            name: name.to_owned(),
            label: name.replace('-', " "),
            ask: String::new(),
            how: String::new(),
            group: String::new(),
            kind: Kind::Number,
            measure: Measure::default(),
            date: false,
            series: false,
            unit: None,
            unit_unknown: false,
            units: Vec::new(),
            range: Set::Number(Interval::EVERYTHING),
            options: Vec::new(),
            smallest: None,
            spread: Spread::Exact,
            stale: None,
            decimals: None,
            effort: 1.0,
            origin,
            because: Message::default(),
            sources: Vec::new(),
            chapter,
            place: Mark::default(),
            late: Late::default(),
        }
    }

    pub fn is_number(&self) -> bool {
        self.kind == Kind::Number
    }

    pub fn is_series(&self) -> bool {
        self.series
    }

    pub fn option(&self, name: &str) -> Option<usize> {
        self.options.iter().position(|option| option.name == name)
    }

    /// How many options a choice or a truth has.
    pub fn option_count(&self) -> usize {
        match self.kind {
            Kind::Truth => 2,
            _ => self.options.len(),
        }
    }

    pub fn all_options(&self) -> u128 {
        match self.kind {
            Kind::Truth => YES | NO,
            _ if self.options.len() >= 128 => u128::MAX,
            _ => (1 << self.options.len()) - 1,
        }
    }

    /// Whether its units say what is counted, so that others of the same dimension do not fit.
    pub fn counts_substances(&self) -> bool {
        self.units.len() > 1
    }

    pub fn unit_names(&self, units: &Units) -> Vec<String> {
        self.units
            .iter()
            .map(|id| units.get(*id).name.clone())
            .collect()
    }

    pub fn is_given(&self) -> bool {
        matches!(self.origin, Origin::Given { .. })
    }
}

/// A function with its units settled.
#[derive(Debug, Clone)]
pub(crate) struct Signature {
    pub arguments: Vec<Measure>,
    pub argument_units: Vec<Option<UnitId>>,
    pub names: Vec<&'static str>,
    pub result: Measure,
    pub result_unit: Option<UnitId>,
}

#[derive(Debug, Default)]
pub(crate) struct Vocabulary {
    pub units: Units,
    pub columns: Vec<Column>,
    pub lists: Vec<List>,
    names: Index,
    /// Columns of [`Origin::Test`], by the words of the test.
    tests: Index,
    /// The two numbers of each [`Origin::Order`], ascending, with its column.
    orders: Vec<(ColumnId, ColumnId, ColumnId)>,
    /// The engine's own words in the language of the book.
    pub phrases: Phrases,
    pub functions: Vec<Function>,
    pub signatures: Vec<Option<Signature>>,
}

impl Vocabulary {
    pub fn get(&self, id: ColumnId) -> &Column {
        &self.columns[id.0 as usize]
    }

    pub fn get_mut(&mut self, id: ColumnId) -> &mut Column {
        &mut self.columns[id.0 as usize]
    }

    #[inline(never)]
    pub fn find(&self, name: &str) -> Option<ColumnId> {
        self.names.get(name).map(|id| ColumnId(*id))
    }

    /// The column that holds how two numbers lie to one another, if any condition compares them.
    pub fn order_column(&self, left: ColumnId, right: ColumnId) -> Option<ColumnId> {
        self.order_place(left, right)
            .ok()
            .map(|at| self.orders[at].2)
    }

    /// Where the order of two numbers is listed, or would be.
    fn order_place(&self, left: ColumnId, right: ColumnId) -> Result<usize, usize> {
        let numbers = |(a, b, _): &(ColumnId, ColumnId, ColumnId)| (*a, *b);
        self.orders.binary_search_by_key(&(left, right), numbers)
    }

    /// The column of a test that is no plain test of one fact, by its words.
    pub fn test_column(&self, words: &str) -> Option<ColumnId> {
        self.tests.get(words).map(|id| ColumnId(*id))
    }

    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.names.keys().map(String::as_str)
    }

    /// Adds a column that can be named.
    pub fn declare(&mut self, column: Column) -> ColumnId {
        let id = ColumnId(self.columns.len() as u32);
        self.names.insert(column.name.clone(), id.0);
        self.columns.push(column);
        id
    }

    /// The column of a series word.
    fn known_feature(&self, series: ColumnId, feature: Feature) -> Option<ColumnId> {
        let same = |column: &Column| matches!(column.origin, Origin::Feature { series: s, feature: f } if s == series && f == feature);
        let found = self.columns.iter().position(same);
        found.map(|index| ColumnId(index as u32))
    }

    fn new_feature(
        &mut self,
        series: ColumnId,
        feature: Feature,
        kind: Kind,
        measure: Measure,
    ) -> ColumnId {
        let base = self.get(series);
        let name = feature.words(&base.name);
        let mut column = Column::new(&name, base.chapter, Origin::Feature { series, feature });
        column.place = base.place;
        column.label = feature.label(&base.label, &self.phrases);
        column.kind = kind;
        column.unit = if measure == base.measure || measure.dimension == base.measure.dimension {
            base.unit
        } else {
            self.units.find("day")
        };
        column.units = column.unit.into_iter().collect();
        column.range = feature.range(base);
        column.decimals = if matches!(
            feature,
            Feature::Number {
                word: super::super::expr::ast::SeriesWord::Age,
                ..
            }
        ) {
            Some(0)
        } else {
            base.decimals
        };
        column.measure = measure;
        let id = ColumnId(self.columns.len() as u32);
        self.columns.push(column);
        id
    }

    pub fn function(&self, name: &str) -> Option<(FunctionId, Signature)> {
        let index = self
            .functions
            .iter()
            .position(|function| function.name == name)?;
        let signature = self.signatures.get(index)?.clone()?;
        Some((FunctionId(index as u32), signature))
    }

    pub fn function_names(&self) -> impl Iterator<Item = &str> {
        self.functions.iter().map(|function| function.name)
    }

    /// What kind of number a date is; a book without the dimension `time` has none.
    pub fn date_measure(&self, text: &Text<'_>, log: &mut Log) -> Option<Measure> {
        let Some(dimension) = self.units.time() else {
            log.hint(
                text,
                "dates need the dimension `time`",
                "declare `unit day` with `is base time`",
            );
            return None;
        };
        Some(Measure {
            dimension,
            point: true,
        })
    }
}

/// A vocabulary as its conditions are read: growing by the series words they use, or whole.
pub(crate) enum Words<'a> {
    Growing(&'a mut Vocabulary),
    Whole(&'a Vocabulary),
}

impl Words<'_> {
    pub fn again(&mut self) -> Words<'_> {
        match self {
            Words::Growing(words) => Words::Growing(words),
            Words::Whole(words) => Words::Whole(words),
        }
    }

    /// The column of a series word, made when first asked for.
    pub fn feature(
        &mut self,
        series: ColumnId,
        feature: Feature,
        kind: Kind,
        measure: Measure,
    ) -> ColumnId {
        match (self.known_feature(series, feature), self) {
            (Some(id), _) => id,
            (None, Words::Growing(words)) => words.new_feature(series, feature, kind, measure),
            // Not met: a whole vocabulary has the series words of all its book's conditions.
            (None, Words::Whole(_)) => series,
        }
    }
}

impl Deref for Words<'_> {
    type Target = Vocabulary;

    fn deref(&self) -> &Vocabulary {
        match self {
            Words::Growing(words) => words,
            Words::Whole(words) => words,
        }
    }
}

/// A vocabulary that has every test of its conditions already.
impl Opaque for &Vocabulary {
    fn column_of(&mut self, condition: &Condition) -> ColumnId {
        let known = self.test_column(&condition.text);
        known.unwrap_or(ColumnId(0))
    }

    fn order_of(&mut self, left: ColumnId, right: ColumnId) -> ColumnId {
        self.order_column(left, right).unwrap_or(ColumnId(0))
    }

    fn all_options(&self, column: ColumnId) -> u128 {
        self.get(column).all_options()
    }
}

impl Opaque for Vocabulary {
    fn column_of(&mut self, condition: &Condition) -> ColumnId {
        if let Some(id) = self.test_column(&condition.text) {
            return id;
        }
        let id = ColumnId(self.columns.len() as u32);
        let mut column = Column::new(&condition.text, 0, Origin::Test(condition.clone()));
        column.label = condition.text.clone();
        column.kind = Kind::Truth;
        column.range = Set::Choice(YES | NO);
        self.columns.push(column);
        self.tests.insert(condition.text.clone(), id.0);
        id
    }

    fn order_of(&mut self, left: ColumnId, right: ColumnId) -> ColumnId {
        let place = match self.order_place(left, right) {
            Ok(known) => return self.orders[known].2,
            Err(place) => place,
        };
        let id = ColumnId(self.columns.len() as u32);
        let mut column = Column::new("", 0, Origin::Order { left, right });
        let (a, b) = (self.get(left), self.get(right));
        column.name = format!("{} against {}", a.name, b.name);
        column.label = self.phrases.say(&phrase::AGAINST, [&a.label, &b.label]);
        column.kind = Kind::Choice;
        let options = [
            ("less", phrase::LESS),
            ("equal", phrase::EQUAL),
            ("more", phrase::MORE),
        ];
        column.options = options
            .map(|(name, word)| ChoiceOption {
                name: name.into(),
                label: self.phrases.say(&word, []),
            })
            .into();
        column.range = Set::Choice(LESS | EQUAL | MORE);
        self.columns.push(column);
        self.orders.insert(place, (left, right, id));
        id
    }

    fn all_options(&self, column: ColumnId) -> u128 {
        self.get(column).all_options()
    }
}
