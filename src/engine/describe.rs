//! What a book holds, as plain data: the vocabulary for forms, the rules for readers.

use serde::Serialize;

use super::book::Book;
use super::book::message::{Message, Part};
use super::book::rule::{IfOpen, Rule, Urgency};
use super::book::vocabulary::{Column, Kind, Origin};
use super::expr::compile::{Condition, Test};
use super::rank::ranked;
use super::set::Set;
use super::unit::UnitId;
use super::why::SourceRef;

/// One option of a choice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct OptionInfo {
    /// Its name in the book and in journals.
    pub name: String,
    /// Its label.
    pub label: String,
}

/// The plausible values of a number in one of its units.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Scale {
    /// Lowest plausible value.
    pub low: Option<f64>,
    /// Highest plausible value.
    pub high: Option<f64>,
}

/// One fact that can be entered.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct FactInfo {
    /// Its name in the book and in journals.
    pub name: String,
    /// Its label.
    pub label: String,
    /// The question to ask.
    pub ask: String,
    /// How to find out, or empty.
    pub how: String,
    /// The group it stands under.
    pub group: String,
    /// `number`, `series`, `date`, `truth`, `choice` or `several`.
    pub kind: String,
    /// Units it can be entered in, the usual one first.
    pub units: Vec<String>,
    /// The same units as the language of the book writes them beside a number.
    pub units_said: Vec<String>,
    /// Whether a number may stand without its unit.
    pub bare: bool,
    /// Its options.
    pub options: Vec<OptionInfo>,
    /// Lowest plausible value, in the first unit.
    pub low: Option<f64>,
    /// Highest plausible value, in the first unit.
    pub high: Option<f64>,
    /// The same in each of its units.
    pub scales: Vec<Scale>,
    /// Smallest mark of a usual test, in the first unit.
    pub smallest: Option<f64>,
    /// Days after which a reading says nothing about today.
    pub stale_days: Option<f64>,
}

/// A name that conditions speak of and nobody enters: what is derived, looked up or listed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct DerivedInfo {
    /// Its name in the book.
    pub name: String,
    /// Its label.
    pub label: String,
    /// Its options.
    pub options: Vec<OptionInfo>,
}

/// A heading for forms.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct GroupInfo {
    /// Its name.
    pub name: String,
    /// Its label.
    pub label: String,
    /// What it is about.
    pub about: String,
}

/// A chapter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct ChapterInfo {
    /// Its title.
    pub title: String,
    /// What it is about.
    pub about: String,
}

/// An overlay that changes the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct OverlayInfo {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What it is about.
    pub about: String,
}

/// A rule of the book that an overlay withdrew.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Withdrawn {
    /// The rule.
    pub rule: String,
    /// The overlay that withdrew it.
    pub by: String,
    /// Its reason.
    pub reason: String,
    /// How soon the rule's advice would be.
    pub urgency: Urgency,
    /// What it would say to do, with the names of facts in braces.
    pub say: String,
}

/// A source, without a place in it.
pub type SourceInfo = SourceRef;

/// A rule as it stands in the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct RuleInfo {
    /// Its name.
    pub rule: String,
    /// The chapter it stands in.
    pub chapter: String,
    /// The overlay it comes from, or empty.
    pub by: String,
    /// The action it advises, in words.
    pub action_label: String,
    /// How soon.
    pub urgency: Urgency,
    /// What it does while it cannot be decided.
    pub if_open: IfOpen,
    /// Labels of the only stages in which it speaks; none for all of them.
    pub during: Vec<String>,
    /// Its conditions; all must hold.
    pub conditions: Vec<String>,
    /// What it finds, with the names of facts in braces.
    pub finding: String,
    /// What it says to do.
    pub say: String,
    /// Why.
    pub because: String,
    /// Where that comes from.
    pub sources: Vec<SourceRef>,
    /// Rules it overrules.
    pub overrules: Vec<String>,
    /// Its cases.
    pub cases: Vec<String>,
}

impl Book {
    /// Every fact that can be entered, in the order of the book.
    #[must_use]
    pub fn facts(&self) -> Vec<FactInfo> {
        self.words
            .columns
            .iter()
            .filter(|column| column.is_given())
            .map(|column| self.fact_info(column))
            .collect()
    }

    /// The names that conditions speak of besides the facts that can be entered.
    #[must_use]
    pub fn derived_names(&self) -> Vec<DerivedInfo> {
        let is_named = |column: &&Column| {
            matches!(
                column.origin,
                Origin::Derived(_) | Origin::Table(_) | Origin::Listed(_)
            )
        };
        let info = |column: &Column| DerivedInfo {
            name: column.name.clone(),
            label: column.label.clone(),
            options: options(column),
        };
        let columns = self.words.columns.iter();
        columns.filter(is_named).map(info).collect()
    }

    fn fact_info(&self, column: &Column) -> FactInfo {
        let unit = column.unit.map(|id| self.words.units.get(id));
        let shown = |main: f64| unit.map_or(main, |unit| unit.from_main(main));
        let ends = match column.range {
            Set::Number(values) if !column.date => (Some(shown(values.lo)), Some(shown(values.hi))),
            _ => (None, None),
        };
        let tidied = |x: Option<f64>| {
            x.filter(|x| x.is_finite())
                .map(|x| libm::round(x * 1e6) / 1e6)
        };
        let scale = |id: &UnitId| {
            let unit = self.words.units.get(*id);
            let end = |main: f64| tidied(Some(unit.from_main(main)));
            match column.range {
                Set::Number(values) if !column.date => Scale {
                    low: end(values.lo),
                    high: end(values.hi),
                },
                _ => Scale {
                    low: None,
                    high: None,
                },
            }
        };
        FactInfo {
            scales: column.units.iter().map(scale).collect(),
            name: column.name.clone(),
            label: column.label.clone(),
            ask: column.ask.clone(),
            how: column.how.clone(),
            group: column.group.clone(),
            kind: kind(column).to_owned(),
            units: column.unit_names(&self.words.units),
            units_said: column
                .units
                .iter()
                .map(|id| self.words.units.get(*id).said("").to_owned())
                .collect(),
            bare: column.units.is_empty() || unit.is_some_and(|unit| unit.bare),
            options: options(column),
            low: tidied(ends.0),
            high: tidied(ends.1),
            smallest: tidied(column.smallest.map(shown)),
            stale_days: column.stale,
        }
    }

    /// The headings for forms.
    #[must_use]
    pub fn groups(&self) -> Vec<GroupInfo> {
        let info = |group: &super::book::Group| GroupInfo {
            name: group.name.clone(),
            label: group.label.clone(),
            about: group.about.clone(),
        };
        self.groups.iter().map(info).collect()
    }

    /// The chapters.
    #[must_use]
    pub fn chapters(&self) -> Vec<ChapterInfo> {
        let info = |c: &super::book::Chapter| ChapterInfo {
            title: c.title.clone(),
            about: c.about.clone(),
        };
        self.chapters.iter().map(info).collect()
    }

    /// The rules, in the order of the book.
    #[must_use]
    pub fn rules(&self) -> Vec<RuleInfo> {
        self.rules.iter().map(|rule| self.rule_info(rule)).collect()
    }

    /// What a rule finds, with a gap where a value belongs; `None` if the book has no such rule.
    #[must_use]
    pub fn finding_of(&self, rule: &str) -> Option<String> {
        let rule = self.rules.iter().find(|one| one.name == rule)?;
        Some(self.unfilled(&rule.body(self).finding))
    }

    fn rule_info(&self, rule: &Rule) -> RuleInfo {
        let body = rule.body(self);
        RuleInfo {
            rule: rule.name.clone(),
            chapter: self.chapters[rule.chapter as usize].title.clone(),
            by: self.overlay_of(rule),
            action_label: self.actions[rule.action as usize].label.clone(),
            urgency: rule.urgency,
            if_open: rule.if_open,
            during: self.during(&body.conditions),
            conditions: body
                .conditions
                .iter()
                .map(|condition| condition.text.clone())
                .collect(),
            finding: self.unfilled(&body.finding),
            say: self.unfilled(&body.advice),
            because: self.unfilled(&body.because),
            sources: self.cited(&body.sources),
            overrules: rule
                .overrules
                .iter()
                .map(|o| self.rules[o.rule as usize].name.clone())
                .collect(),
            cases: body.cases.clone(),
        }
    }

    fn during(&self, conditions: &[Condition]) -> Vec<String> {
        let first = conditions.first().map(|condition| &condition.test);
        let Some(Test::OneOf { column, mask }) = first else {
            return Vec::new();
        };
        if Some(*column) != self.stage {
            return Vec::new();
        }
        let options = self.words.get(*column).options.iter().enumerate();
        options
            .filter(|(index, _)| mask & (1 << index) != 0)
            .map(|(_, option)| option.label.clone())
            .collect()
    }

    fn unfilled(&self, message: &Message) -> String {
        let part = |part: &Part| match part {
            Part::Words(words) => words.clone(),
            Part::Fact(id) => {
                let label = &self.words.get(*id).label;
                format!("{{{}}}", self.words.phrases.in_sentence(label))
            }
            Part::Amount => "{amount}".to_owned(),
        };
        message.parts.iter().map(part).collect()
    }

    /// The title of the overlay a rule comes from, or empty.
    pub(crate) fn overlay_of(&self, rule: &Rule) -> String {
        let overlay = self
            .overlays
            .iter()
            .find(|overlay| overlay.file == rule.chapter);
        overlay
            .map(|overlay| overlay.title.clone())
            .unwrap_or_default()
    }

    /// The overlays that change the book.
    #[must_use]
    pub fn overlays(&self) -> Vec<OverlayInfo> {
        let info = |overlay: &super::book::overlay::Overlay| OverlayInfo {
            name: overlay.name.clone(),
            title: overlay.title.clone(),
            about: overlay.about.clone(),
        };
        self.overlays.iter().map(info).collect()
    }

    /// The titles of the overlays that change the book.
    #[must_use]
    pub fn overlay_titles(&self) -> Vec<String> {
        let titles = self.overlays.iter().map(|overlay| overlay.title.clone());
        titles.collect()
    }

    /// The rules that overlays withdrew, most urgent first.
    #[must_use]
    pub fn withdrawn(&self) -> Vec<Withdrawn> {
        let info = |index: usize| {
            let rule = &self.rules[index];
            let change = rule.change.as_ref()?;
            Some(Withdrawn {
                rule: rule.name.clone(),
                by: self.overlays[change.overlay as usize].title.clone(),
                reason: change.reason.clone(),
                urgency: rule.urgency,
                say: self.unfilled(&rule.body(self).advice),
            })
        };
        let withdrawn = (0..self.rules.len()).filter(|index| self.rules[*index].is_withdrawn());
        let order = ranked(withdrawn, &|index| self.rules[index].urgency as u32);
        order.into_iter().filter_map(info).collect()
    }

    /// The names of all gates.
    #[must_use]
    pub fn gate_names(&self) -> Vec<&str> {
        self.gates.iter().map(|gate| gate.name.as_str()).collect()
    }

    /// The names of everything that can be reckoned: derived facts, tables, and functions.
    #[must_use]
    pub fn reckonable(&self) -> Vec<&str> {
        let columns = self.words.columns.iter();
        let derived = columns.filter(|c| matches!(c.origin, Origin::Derived(_) | Origin::Table(_)));
        derived
            .map(|c| c.name.as_str())
            .chain(self.words.functions.iter().map(|f| f.name))
            .collect()
    }
}

fn kind(column: &Column) -> &'static str {
    match column.kind {
        Kind::Truth => "truth",
        Kind::Choice => "choice",
        Kind::Several => "several",
        Kind::Number if column.series => "series",
        Kind::Number if column.date => "date",
        Kind::Number => "number",
    }
}

fn options(column: &Column) -> Vec<OptionInfo> {
    let info = |option: &super::book::vocabulary::ChoiceOption| OptionInfo {
        name: option.name.clone(),
        label: option.label.clone(),
    };
    column.options.iter().map(info).collect()
}
