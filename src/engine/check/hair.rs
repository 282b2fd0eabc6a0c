//! Neighbouring tiers of one quantity that leave a single value between them, or share one.

use super::super::book::rule::Rule;
use super::super::expr::compile::ColumnId;
use super::super::normal::{Allowed, Row, allowed_of};
use super::super::set::Verdict;
use super::goal::Goal;
use super::{Answer, Check, Severity};

/// What two tiers make of the value at which they meet.
#[derive(Clone, Copy, PartialEq)]
enum Seam {
    Open,
    Shared,
}

impl<'q> Check<'q> {
    /// Pairs of rules that are alike but for one quantity, of which one stops where the other starts.
    pub(super) fn hairs(&mut self) {
        let book = self.book;
        let rules = &book.rules;
        let mut found = Vec::new();
        for (a, below) in rules.iter().enumerate() {
            for (b, above) in rules.iter().enumerate() {
                let silent = self.silent.contains(&a) || self.silent.contains(&b);
                if a == b || silent {
                    continue;
                }
                let rows = |rule: &'q Rule| rule.body(book).normal.rows.iter();
                let pairs = rows(below).flat_map(|x| rows(above).map(move |y| (x, y)));
                for (x, y) in pairs {
                    if let Some((column, at, seam)) = seam(x, y) {
                        found.push((a, b, column, at, seam));
                    }
                }
            }
        }
        found
            .iter()
            .for_each(|(a, b, column, at, seam)| self.hair(*a, *b, *column, *at, *seam));
    }

    fn hair(&mut self, a: usize, b: usize, column: ColumnId, at: f64, seam: Seam) {
        let book = self.book;
        let point = Allowed::Numbers {
            low: at,
            low_open: false,
            high: at,
            high_open: false,
        };
        let rest = |rule: usize| {
            let rows = book.rules[rule].body(book).normal.rows.iter();
            let own = rows.filter(move |row| touches(row, column, at));
            own.take(1).flatten().filter(move |(id, _)| *id != column)
        };
        let mut goals: Vec<Goal<'_>> = [a, b]
            .into_iter()
            .flat_map(rest)
            .map(|(id, allowed)| Goal::In(*id, *allowed, true))
            .collect();
        goals.push(Goal::In(column, point, true));
        let wanted = if seam == Seam::Open {
            Verdict::Fails
        } else {
            Verdict::Holds
        };
        let met = |run: &super::Evaluation<'_>| {
            goals.iter().all(|goal| goal.verdict(run) == Verdict::Holds)
        };
        let confirm = |run: &super::Evaluation<'_>| {
            met(run) && run.rules[a] == wanted && run.rules[b] == wanted
        };
        let Answer::Shown(facts) = self.ask(&goals, &confirm) else {
            return;
        };
        let (below, above) = (&book.rules[a], &book.rules[b]);
        let name = &book.words.get(column).name;
        let (kind, message) = match seam {
            Seam::Open => (
                "hairline",
                format!(
                    "between `{}` and `{}` one value of `{name}` is left to neither",
                    below.name, above.name
                ),
            ),
            Seam::Shared => (
                "hair-overlap",
                format!(
                    "`{}` and `{}` both take the one value of `{name}` at which they meet",
                    below.name, above.name
                ),
            ),
        };
        let witness = self.rules_witness(&facts, &[a, b]);
        self.add(kind, Severity::Warning, above.place, message, Some(witness));
    }
}

fn touches(row: &Row, column: ColumnId, at: f64) -> bool {
    matches!(allowed_of(row, column), Some(Allowed::Numbers { low, high, .. }) if *low == at || *high == at)
}

/// The column and value at which one row ends and the other begins, if they differ in nothing else.
fn seam(below: &Row, above: &Row) -> Option<(ColumnId, f64, Seam)> {
    if below.len() != above.len() {
        return None;
    }
    let mut differing = below
        .iter()
        .filter(|(id, allowed)| allowed_of(above, *id) != Some(allowed));
    let (column, first) = differing.next()?;
    let second = allowed_of(above, *column)?;
    if differing.next().is_some() {
        return None;
    }
    match (first, second) {
        (
            Allowed::Numbers {
                high, high_open, ..
            },
            Allowed::Numbers { low, low_open, .. },
        ) if high == low => match (high_open, low_open) {
            (true, true) => Some((*column, *high, Seam::Open)),
            (false, false) => Some((*column, *high, Seam::Shared)),
            _ => None,
        },
        _ => None,
    }
}
