//! Rules, gates, actions and their cases, as the evaluator uses them.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::super::diagnostic::Mark;
use super::super::expr::compile::{ColumnId, Condition, Value};
use super::super::facts::Given;
use super::super::normal::Normal;
use super::message::Message;

/// How soon advice is to be followed, most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "lowercase")]
pub enum Urgency {
    /// A person, or animals already in the water, can be harmed within hours.
    Danger,
    /// Harm within a day or two, or a costly loss.
    Today,
    /// At the next session, or before the next stage.
    Soon,
    /// It explains; nothing need be done.
    Note,
}

impl Urgency {
    /// How much it counts beside others when tests are ranked: each step twice the one below.
    pub(crate) fn weight(self) -> f64 {
        match self {
            Urgency::Danger => 8.0,
            Urgency::Today => 4.0,
            Urgency::Soon => 2.0,
            Urgency::Note => 1.0,
        }
    }
}

/// What a rule does while it cannot be decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "lowercase")]
pub enum IfOpen {
    /// Ask for what could decide it.
    Ask,
    /// Act as if it held.
    Warn,
    /// Say nothing.
    Silent,
}

/// What stands behind a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
pub enum Support {
    /// A published work that can be looked up.
    #[serde(rename = "published")]
    Published,
    /// What the trade usually does, without a published source.
    #[serde(rename = "common practice")]
    CommonPractice,
    /// A known work whose figure was not read again.
    #[serde(rename = "from memory")]
    FromMemory,
}

#[derive(Debug, Clone)]
pub(crate) struct Source {
    pub id: String,
    pub words: String,
    /// The day on which it was last read, or empty.
    pub read: String,
    pub support: Support,
}

/// A source and the place in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Citation {
    pub source: u32,
    pub place: String,
}

#[derive(Debug, Clone)]
pub(crate) struct Caution {
    pub id: String,
    pub text: String,
    pub sources: Vec<Citation>,
}

#[derive(Debug, Clone)]
pub(crate) struct Action {
    pub name: String,
    pub label: String,
    pub excludes: Vec<u32>,
    pub unit: Option<super::super::unit::UnitId>,
    pub cautions: Vec<u32>,
    pub gate: Option<u32>,
}

/// A rule as it is judged and ranked. What it says in full is read from the text of the book when it is first asked for.
#[derive(Debug)]
pub(crate) struct Rule {
    pub name: String,
    pub chapter: u32,
    pub action: u32,
    pub urgency: Urgency,
    pub if_open: IfOpen,
    pub overrules: Box<[Overrule]>,
    /// What an overlay did to it.
    pub change: Option<Box<Change>>,
    /// Its name in the text of the book.
    pub place: Mark,
    pub late: Late<Body>,
    pub cases: Late<Vec<Case>>,
}

/// What a rule says in full.
#[derive(Debug, Default)]
pub(crate) struct Body {
    pub conditions: Vec<Condition>,
    pub normal: Normal,
    pub amount: Option<Value>,
    pub finding: Message,
    pub advice: Message,
    pub because: Message,
    pub sources: Vec<Citation>,
    pub cautions: Vec<u32>,
    /// Its cases as they are written.
    pub cases: Vec<String>,
}

/// Something that is read when it is first asked for.
#[derive(Debug)]
pub(crate) struct Late<T>(OnceLock<Box<T>>);

impl<T> Late<T> {
    pub fn read(&self, read: impl FnOnce() -> T) -> &T {
        self.0.get_or_init(|| Box::new(read()))
    }
}

impl<T> Default for Late<T> {
    fn default() -> Late<T> {
        Late(OnceLock::new())
    }
}

/// A copy reads it anew.
impl<T> Clone for Late<T> {
    fn clone(&self) -> Late<T> {
        Late::default()
    }
}

impl Rule {
    /// Whether an overlay took it out of the book.
    pub fn is_withdrawn(&self) -> bool {
        let kind = self.change.as_ref().map(|change| change.kind);
        kind == Some(ChangeKind::Withdrawn)
    }
}

/// What an overlay did to a rule of the book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Change {
    pub overlay: u32,
    pub kind: ChangeKind,
    pub reason: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ChangeKind {
    Replaced,
    Withdrawn,
}

#[derive(Debug, Clone)]
pub(crate) struct Overrule {
    pub rule: u32,
    pub because: String,
}

#[derive(Debug, Clone)]
pub(crate) struct Need {
    pub condition: Condition,
    pub normal: Normal,
    pub because: String,
    pub bars: bool,
}

#[derive(Debug)]
pub(crate) struct Gate {
    pub name: String,
    pub chapter: u32,
    pub action: u32,
    pub ask: String,
    pub needs: Vec<Need>,
    pub sources: Vec<Citation>,
    /// Its name in the text of the book.
    pub place: Mark,
    pub late: Late<Vec<Case>>,
}

#[derive(Debug, Clone)]
pub(crate) enum Expect {
    Holds,
    Fails,
    Asks(Vec<ColumnId>),
    Opens,
    Waits,
    Refuses,
    Gives(Given),
}

#[derive(Debug, Clone)]
pub(crate) struct Case {
    pub expect: Expect,
    pub facts: Vec<(ColumnId, Given)>,
    pub place: Mark,
    /// The keyword and the facts, as they were written.
    pub words: String,
}
