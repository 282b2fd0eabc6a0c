//! What would change it: for every conclusion, each single fact that flips it, with the nearest value both ways.

use serde::Serialize;

use super::book::rule::IfOpen;
use super::book::vocabulary::Column;
use super::eval::{Evaluation, GateVerdict};
use super::expr::compile::ColumnId;
use super::phrase::{self, Phrase};
use super::rank::arrange;
use super::set::{Interval, Set, Verdict};
use super::sweep::{Piece, Sweep};

/// What becomes of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// It does not hold.
    Silent,
    /// It cannot be decided, and asks or keeps still.
    Open,
    /// It holds, and another rule or a gate beat it.
    SetAside,
    /// It may hold, and speaks as a precaution.
    Possible,
    /// It holds, and speaks.
    Stands,
}

/// Which way a fact has to move.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// To a smaller value.
    Lower,
    /// To a larger value.
    Higher,
    /// To another option.
    Other,
}

/// A single fact that would change a conclusion, confirmed by running the book with it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Change {
    /// The rule or gate whose conclusion changes.
    pub of: String,
    /// The fact that would have to change.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// What it is now.
    pub now: String,
    /// Which way it has to move.
    pub direction: Direction,
    /// The nearest value that does it, in words and figures.
    pub to: String,
    /// The same as a number in the fact's unit, for numbers.
    pub value: Option<f64>,
    /// What the rule comes to now; for a gate, `None`.
    pub before: Option<Standing>,
    /// What it would come to.
    pub after: Option<Standing>,
    /// What the gate says now; for a rule, `None`.
    pub gate_before: Option<GateVerdict>,
    /// What it would say.
    pub gate_after: Option<GateVerdict>,
}

/// What one rule comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[non_exhaustive]
pub struct RuleStanding {
    /// The rule.
    pub rule: String,
    /// What it comes to.
    pub standing: Standing,
}

/// What every rule and gate comes to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct State {
    pub rules: Vec<Standing>,
    pub gates: Vec<GateVerdict>,
}

impl Evaluation<'_> {
    /// What every rule comes to, in the order of the book.
    #[must_use]
    pub fn standings(&self) -> Vec<RuleStanding> {
        let standings = self.state().rules.into_iter().zip(&self.book.rules);
        standings
            .map(|(standing, rule)| RuleStanding {
                rule: rule.name.clone(),
                standing,
            })
            .collect()
    }

    /// What every rule and gate comes to.
    pub(crate) fn state(&self) -> State {
        let mut rules: Vec<Standing> = self
            .rules
            .iter()
            .zip(&self.book.rules)
            .map(|(verdict, rule)| match (verdict, rule.if_open) {
                (Verdict::Fails, _) => Standing::Silent,
                (Verdict::Open, IfOpen::Warn) => Standing::Possible,
                (Verdict::Open, _) => Standing::Open,
                (Verdict::Holds, _) => Standing::Stands,
            })
            .collect();
        for conclusion in self
            .conclusions()
            .iter()
            .filter(|c| !c.beaten_by.is_empty())
        {
            rules[conclusion.rule] = Standing::SetAside;
        }
        State {
            rules,
            gates: self.gates.clone(),
        }
    }

    /// Every change of one fact, among those that `may` names, that would change what a rule or gate comes to: for
    /// numbers the nearest value on each side, for options each that does it.
    #[must_use]
    pub fn changes(&self, may: &dyn Fn(&str) -> bool) -> Vec<Change> {
        self.changes_among(may, None)
    }

    /// The same for one rule or gate alone, found without looking at what does not decide it; none if the book has no
    /// such name. Values may differ from those of [`changes`](Evaluation::changes) in that a threshold of some other
    /// rule no longer keeps them from being round.
    #[must_use]
    pub fn changes_of(&self, name: &str, may: &dyn Fn(&str) -> bool) -> Vec<Change> {
        let Some(deciding) = self.book.deciding(name) else {
            return Vec::new();
        };
        let mut changes = self.changes_among(may, Some(&deciding));
        changes.retain(|change| change.of == name);
        changes
    }

    fn changes_among(&self, may: &dyn Fn(&str) -> bool, deciding: Option<&[bool]>) -> Vec<Change> {
        let cuts = self.book.cuts();
        let now = self.state();
        let mut changes = Vec::new();
        for index in 0..self.book.words.columns.len() {
            let column = &self.book.words.columns[index];
            let decides = deciding.is_none_or(|deciding| deciding[index]);
            if !column.is_given() || column.date || !decides || !may(&column.name) {
                continue;
            }
            let sweep = Sweep::new(self, ColumnId(index as u32), &cuts, deciding);
            if sweep.matters() {
                self.changes_by(&sweep, column, &now, &mut changes);
            }
        }
        arrange(&mut changes, |a, b| {
            (&a.of, &a.fact, a.direction).cmp(&(&b.of, &b.fact, b.direction))
        });
        changes
    }

    fn changes_by(
        &self,
        sweep: &Sweep<'_>,
        column: &Column,
        now: &State,
        changes: &mut Vec<Change>,
    ) {
        let pieces = sweep.pieces();
        let Some(values) = self.stand(sweep.id) else {
            for piece in pieces {
                self.note(sweep, column, piece, 0.0, Direction::Other, now, changes);
            }
            return;
        };
        if !values.is_point() {
            self.runs(sweep, column, &pieces, now, changes);
            return;
        }
        let within = |piece: &Piece| matches!(piece, Piece::Numbers { first, last } if *first <= values.hi && *last >= values.lo);
        let here = pieces.iter().position(within).unwrap_or(0);
        for piece in pieces[..here].iter().rev() {
            self.note_number(sweep, column, *piece, Direction::Lower, now, changes);
        }
        for piece in pieces.iter().skip(here + 1) {
            self.note_number(sweep, column, *piece, Direction::Higher, now, changes);
        }
    }

    /// For a number that is not known: the stretches of its range on which a conclusion would be decided otherwise.
    fn runs(
        &self,
        sweep: &Sweep<'_>,
        column: &Column,
        pieces: &[Piece],
        now: &State,
        changes: &mut Vec<Change>,
    ) {
        let ends: Vec<(f64, f64)> = pieces
            .iter()
            .filter_map(|piece| match piece {
                Piece::Numbers { first, last } => Some((*first, *last)),
                _ => None,
            })
            .collect();
        let states: Vec<State> = ends
            .iter()
            .zip(pieces)
            .map(|((first, last), piece)| {
                let facts = sweep.facts(*piece, first + (last - first) / 2.0);
                self.book.evaluate(&facts).state()
            })
            .collect();
        let mut tell = |of: &str, change: &dyn Fn(&State) -> Option<Change>| {
            let mut at = 0;
            while at < states.len() {
                let found = change(&states[at]);
                let mut end = at;
                while end + 1 < states.len() && change(&states[end + 1]) == found {
                    end += 1;
                }
                if let Some(found) = found {
                    let (low, high) = (ends[at].0, ends[end].1);
                    let unit = column.unit.map(|id| self.book.words.units.get(id));
                    changes.push(Change {
                        of: of.to_owned(),
                        to: self.stretch(column, low, high),
                        value: Some(unit.map_or(low, |unit| unit.from_main(low))),
                        ..found
                    });
                }
                at = end + 1;
            }
        };
        let blank = self.blank_change(sweep.id, column);
        for (index, rule) in self.book.rules.iter().enumerate() {
            let before = now.rules[index];
            tell(&rule.name, &|state| {
                let after = state.rules[index];
                (after != before).then(|| Change {
                    before: Some(before),
                    after: Some(after),
                    ..blank.clone()
                })
            });
        }
        for (index, gate) in self.book.gates.iter().enumerate() {
            let before = now.gates[index];
            tell(&gate.name, &|state| {
                let after = state.gates[index];
                (after != before).then(|| Change {
                    gate_before: Some(before),
                    gate_after: Some(after),
                    ..blank.clone()
                })
            });
        }
    }

    fn blank_change(&self, id: ColumnId, column: &Column) -> Change {
        Change {
            of: String::new(),
            fact: column.name.clone(),
            label: column.label.clone(),
            now: self.shown(id),
            direction: Direction::Other,
            to: String::new(),
            value: None,
            before: None,
            after: None,
            gate_before: None,
            gate_after: None,
        }
    }

    /// A stretch of a fact's range in words: an end that is the range's own needs no telling.
    fn stretch(&self, column: &Column, low: f64, high: f64) -> String {
        let range = column.range.interval();
        let phrases = self.phrases();
        let from = |words| self.end_shown(column, low, &phrase::MORE_THAN, words);
        let to = |words| self.end_shown(column, high, &phrase::LESS_THAN, words);
        match (low <= range.lo, high >= range.hi) {
            (true, true) => phrases.say(&phrase::ANY_VALUE, []),
            (true, false) => to(Some(&phrase::OR_LESS)),
            (false, true) => from(Some(&phrase::OR_MORE)),
            (false, false) => phrases.say(&phrase::SPAN, [&from(None), &to(None)]),
        }
    }

    /// Where a number stands now: what its test showed, or its possible values.
    fn stand(&self, id: ColumnId) -> Option<Interval> {
        let column = self.book.words.get(id);
        let Set::Number(values) = self.set(id) else {
            return None;
        };
        let latest = self
            .facts
            .get(id)
            .filter(|given| !self.is_stale(column, given))
            .and_then(|g| g.readings.last());
        Some(latest.map_or(values, |reading| Interval::point(reading.nominal)))
    }

    fn note_number(
        &self,
        sweep: &Sweep<'_>,
        column: &Column,
        piece: Piece,
        direction: Direction,
        now: &State,
        changes: &mut Vec<Change>,
    ) {
        let Piece::Numbers { first, last } = piece else {
            return;
        };
        let value = match direction {
            Direction::Lower => self.rounded(column, last, first),
            _ => self.rounded(column, first, last),
        };
        self.note(sweep, column, piece, value, direction, now, changes);
    }

    /// The value nearest to `edge` that has no more digits than are printed, if one lies between it and `other`.
    fn rounded(&self, column: &Column, edge: f64, other: f64) -> f64 {
        let unit = column.unit.map(|id| self.book.words.units.get(id));
        let shown = unit.map_or(edge, |unit| unit.from_main(edge));
        let scale = libm::pow(10.0, f64::from(column.decimals.map_or(6, i32::from)));
        let nearest = libm::round(shown * scale);
        let step = if other > edge { 1.0 } else { -1.0 };
        let (low, high) = (edge.min(other), edge.max(other));
        [nearest, nearest + step]
            .into_iter()
            .map(|printed| unit.map_or(printed / scale, |unit| unit.to_main(printed / scale)))
            .find(|main| (low..=high).contains(main))
            .unwrap_or(edge)
    }

    /// An end of a stretch in words: a threshold that belongs to it, or one that just does not.
    fn end_shown(
        &self,
        column: &Column,
        end: f64,
        beside: &Phrase<1>,
        at: Option<&Phrase<1>>,
    ) -> String {
        let unit = column.unit.map(|id| self.book.words.units.get(id));
        let shown = unit.map_or(end, |unit| unit.from_main(end));
        let near = libm::round(shown * 1e6) / 1e6;
        let main = unit.map_or(near, |unit| unit.to_main(near));
        let text = self.in_unit(column.unit, Some(6), Interval::point(main));
        let just_beside = main != end && (near - shown).abs() <= shown.abs() * 1e-12;
        match at {
            _ if just_beside => self.phrases().say(beside, [&text]),
            Some(at) => self.phrases().say(at, [&text]),
            None => text,
        }
    }

    #[allow(
        clippy::too_many_arguments,
        reason = "one change is seen from many sides"
    )]
    fn note(
        &self,
        sweep: &Sweep<'_>,
        column: &Column,
        piece: Piece,
        value: f64,
        direction: Direction,
        now: &State,
        changes: &mut Vec<Change>,
    ) {
        let facts = sweep.facts(piece, value);
        let then = self.book.evaluate(&facts).state();
        let to = self.piece_shown(column, piece, value);
        let known = |changes: &[Change], of: &str| {
            direction != Direction::Other
                && changes
                    .iter()
                    .any(|c| c.of == of && c.fact == column.name && c.direction == direction)
        };
        let blank = self.blank_change(sweep.id, column);
        let change = |of: &str| Change {
            of: of.to_owned(),
            direction,
            to: to.clone(),
            value: matches!(piece, Piece::Numbers { .. }).then(|| {
                column
                    .unit
                    .map_or(value, |id| self.book.words.units.get(id).from_main(value))
            }),
            ..blank.clone()
        };
        for (index, rule) in self.book.rules.iter().enumerate() {
            let (before, after) = (now.rules[index], then.rules[index]);
            if before != after && !known(changes, &rule.name) {
                changes.push(Change {
                    before: Some(before),
                    after: Some(after),
                    ..change(&rule.name)
                });
            }
        }
        for (index, gate) in self.book.gates.iter().enumerate() {
            let (before, after) = (now.gates[index], then.gates[index]);
            if before != after && !known(changes, &gate.name) {
                changes.push(Change {
                    gate_before: Some(before),
                    gate_after: Some(after),
                    ..change(&gate.name)
                });
            }
        }
    }

    pub(crate) fn piece_shown(&self, column: &Column, piece: Piece, value: f64) -> String {
        match piece {
            Piece::Numbers { .. } => {
                let exact = self.in_unit(column.unit, column.decimals, Interval::point(value));
                let shown = column
                    .unit
                    .map_or(value, |id| self.book.words.units.get(id).from_main(value));
                let decimals = column.decimals.map_or(6, i32::from);
                let scale = libm::pow(10.0, f64::from(decimals));
                let is_printed = (libm::round(shown * scale) / scale - shown).abs()
                    <= shown.abs().max(1.0) * 1e-9;
                if is_printed {
                    exact
                } else {
                    self.in_unit(column.unit, None, Interval::point(value))
                }
            }
            Piece::Option(option) => self.shown_set(column, Set::Choice(1 << option)),
            Piece::Presence { option, present } => {
                let label = column
                    .options
                    .get(option as usize)
                    .map(|o| o.label.clone())
                    .unwrap_or_default();
                match present {
                    true => label,
                    false => self.phrases().say(&phrase::NO_LONGER, [&label]),
                }
            }
        }
    }
}
