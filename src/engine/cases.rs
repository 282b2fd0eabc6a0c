//! Runs the cases that stand beside rules, gates, derived facts and tables.

use super::book::Book;
use super::book::case::CASE_TODAY;
use super::book::rule::{Case, Expect};
use super::diagnostic::Diagnostic;
use super::eval::{Evaluation, GateVerdict};
use super::expr::compile::{ColumnId, Condition};
use super::facts::Facts;
use super::set::{Interval, Set, Verdict};

/// How many cases a book has, and what those that fail say.
#[derive(Debug, Clone, Default)]
pub struct CaseReport {
    /// Cases that were run.
    pub run: usize,
    /// One finding for each case that does not come out as written.
    pub failed: Vec<Diagnostic>,
}

impl Book {
    /// Runs every case of the book.
    #[must_use]
    pub fn run_cases(&self) -> CaseReport {
        let mut report = CaseReport::default();
        for (index, rule) in self.rules.iter().enumerate() {
            if rule.is_withdrawn() {
                continue;
            }
            let of = |run: &Evaluation<'_>| match run.rules[index] {
                Verdict::Holds => "it holds",
                Verdict::Fails => "it fails",
                Verdict::Open => "it is open",
            };
            let body = rule.body(self);
            let conditions: Vec<&Condition> = body.conditions.iter().collect();
            rule.cases(self)
                .iter()
                .for_each(|case| self.judge(case, &rule.name, &conditions, &of, &mut report));
        }
        for (index, gate) in self.gates.iter().enumerate() {
            let of = |run: &Evaluation<'_>| match run.gates[index] {
                GateVerdict::Yes => "the gate is open",
                GateVerdict::NotYet => "the gate says not yet",
                GateVerdict::No => "the gate says no",
                GateVerdict::CannotTell => "the gate cannot tell",
            };
            let conditions: Vec<&Condition> =
                gate.needs.iter().map(|need| &need.condition).collect();
            gate.cases(self)
                .iter()
                .for_each(|case| self.judge(case, &gate.name, &conditions, &of, &mut report));
        }
        for index in 0..self.words.columns.len() {
            let column = &self.words.columns[index];
            column
                .cases(self)
                .iter()
                .for_each(|case| self.derived(ColumnId(index as u32), case, &mut report));
        }
        report
    }

    /// The facts of a case. Readings count their age from the day the case is set on.
    pub(crate) fn case_facts(&self, case: &Case) -> Facts {
        let mut facts = Facts::default();
        let mut moved = 0.0;
        if let Some(today) = self.today {
            let given = case
                .facts
                .iter()
                .find(|(id, _)| *id == today)
                .map(|(_, given)| given.set.interval().lo);
            moved = given.map_or(0.0, |day| day - CASE_TODAY);
            facts.set(
                today,
                super::facts::Given::new(Set::Number(Interval::point(CASE_TODAY + moved))),
            );
        }
        for (id, given) in &case.facts {
            let mut given = given.clone();
            given
                .readings
                .iter_mut()
                .for_each(|reading| reading.day += moved);
            facts.set(*id, given);
        }
        facts
    }

    fn judge(
        &self,
        case: &Case,
        name: &str,
        conditions: &[&Condition],
        came_to: &dyn Fn(&Evaluation<'_>) -> &'static str,
        report: &mut CaseReport,
    ) {
        report.run += 1;
        let facts = self.case_facts(case);
        let run = self.evaluate(&facts);
        let found = came_to(&run);
        let good: &[&str] = match &case.expect {
            Expect::Holds => &["it holds"],
            Expect::Fails => &["it fails"],
            Expect::Asks(_) => &["it is open", "the gate cannot tell"],
            Expect::Opens => &["the gate is open"],
            Expect::Waits => &["the gate says not yet"],
            Expect::Refuses => &["the gate says no"],
            Expect::Gives(_) => return,
        };
        if !good.contains(&found) {
            let blame = blame(&run, conditions);
            let message = format!(
                "`{}` of `{name}` does not come out: {found}{blame}",
                case.words
            );
            report.failed.push(self.finding(case.place, message, None));
            return;
        }
        if let Expect::Asks(wants) = &case.expect {
            self.asked(case, name, conditions, &run, wants, report);
        }
    }

    fn asked(
        &self,
        case: &Case,
        name: &str,
        conditions: &[&Condition],
        run: &Evaluation<'_>,
        wants: &[ColumnId],
        report: &mut CaseReport,
    ) {
        let mut open = std::collections::BTreeSet::new();
        conditions
            .iter()
            .for_each(|condition| run.open_facts(condition, &mut open));
        for want in wants {
            if !open.contains(want) {
                let names: Vec<&str> = open
                    .iter()
                    .map(|id| self.words.get(*id).name.as_str())
                    .collect();
                let want = &self.words.get(*want).name;
                let message = format!("`{}` of `{name}`: `{want}` could not decide it", case.words);
                let help = format!("these could: {}", names.join(", "));
                report
                    .failed
                    .push(self.finding(case.place, message, Some(help)));
            }
        }
    }

    fn derived(&self, id: ColumnId, case: &Case, report: &mut CaseReport) {
        report.run += 1;
        let Expect::Gives(expected) = &case.expect else {
            return;
        };
        let facts = self.case_facts(case);
        let run = self.evaluate(&facts);
        let good = match (run.set(id), expected.set) {
            (Set::Number(found), Set::Number(wanted)) => {
                let slack = 1e-9 * wanted.hi.abs().max(1e-9);
                found.lo >= wanted.lo - slack && found.hi <= wanted.hi + slack
            }
            (found, wanted) => found == wanted,
        };
        if !good {
            let column = self.words.get(id);
            let precise = super::book::vocabulary::Column {
                decimals: Some(6),
                ..column.clone()
            };
            let found = run.shown_set(&precise, run.set(id));
            let message = format!(
                "`{}` of `{}` does not come out: it is {found}",
                case.words, column.name
            );
            report.failed.push(self.finding(case.place, message, None));
        }
    }
}

/// The conditions that did not hold, to find the mistake by.
fn blame(run: &Evaluation<'_>, conditions: &[&Condition]) -> String {
    let lines: Vec<String> = conditions
        .iter()
        .filter_map(|condition| match run.verdict(condition) {
            Verdict::Holds => None,
            Verdict::Fails => Some(format!("`{}` fails", condition.text)),
            Verdict::Open => Some(format!("`{}` is open", condition.text)),
        })
        .collect();
    if lines.is_empty() {
        String::new()
    } else {
        format!(" ({})", lines.join("; "))
    }
}
