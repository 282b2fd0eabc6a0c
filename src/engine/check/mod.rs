//! Proofs about a book: what can never be, what clashes, what is missing, and what its cases do not show.
//!
//! There is one semantics, the evaluator's. A question is put as conditions that must hold and others that must fail,
//! and answered by branch and prune over the given facts: where conditions compare facts with constants, by narrowing
//! their sets, which is exact and complete; through sums, tables and functions, by cutting the box and running the
//! evaluator on each part. Readings are histories of a few days, so that what series words say of one series always
//! goes together. A point that is found is run once more, as a case would be, before it is reported.
//!
//! Two things are taken as they are in cases: a test's smallest mark is the vocabulary's, and the day is 2026-01-01,
//! which is any day for a book that only ever subtracts dates. What is not decided within the budget is said to be
//! undecided.

mod beaten;
mod boxes;
mod clash;
mod coverage;
mod decision;
mod gap;
mod gate;
mod goal;
mod hair;
mod mutant;
mod mutation;
mod pick;
mod place;
mod plan;
mod range;
mod reach;
mod resolution;
mod search;
mod shadow;
mod unused;
mod witness;

use std::collections::BTreeSet;

use serde::Serialize;

use super::book::Book;
use super::book::case::CASE_TODAY;
use super::book::vocabulary::Origin;
use super::diagnostic::{Diagnostic, Mark};
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::facts::Facts;
use super::set::{Interval, Set};
pub use coverage::{Coverage, Gap};
use decision::Decision;
use goal::Goal;
pub use mutation::{Mutation, Survivor};
use place::Places;
use search::{Answer, Search};
pub use witness::{Witness, WitnessCase};

/// How much a check may do, and what it takes for granted.
#[derive(Debug, Clone)]
pub struct Scope<'a> {
    /// Boxes that one question may take before it is left undecided.
    pub boxes: u32,
    /// Facts that the host program reads or fills by name, and sources that it cites, so that they are never unused.
    pub read_by_host: &'a [&'a str],
}

impl Default for Scope<'_> {
    fn default() -> Self {
        Scope {
            boxes: 20_000,
            read_by_host: &[],
        }
    }
}

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Severity {
    /// The book cannot mean this.
    Mistake,
    /// It may be meant, and is worth a look.
    Warning,
    /// Neither shown nor ruled out within the budget.
    Undecided,
}

/// Something a check found.
#[derive(Debug, Clone, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Finding {
    /// What kind of finding, as a stable id.
    pub kind: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// Where it stands, and what is wrong in words.
    pub place: Diagnostic,
    /// Facts that show it, where facts can.
    pub witness: Option<Witness>,
}

/// A case that the book lacks. It says no more than the facts: what must come of them is for a person to write.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Proposal {
    /// The block, as in `rule too-hot`.
    pub block: String,
    /// Name of the file the block stands in.
    pub file: String,
    /// The facts, as a case lists them.
    pub facts: String,
    /// What the case would show.
    pub shows: String,
}

/// What a check found.
#[derive(Debug, Clone, Serialize)]
pub struct Report {
    /// Findings in the order of files and lines.
    pub findings: Vec<Finding>,
    /// What the cases show of the conditions.
    pub coverage: Coverage,
    /// Whether the cases notice when a condition is changed.
    pub mutation: Mutation,
    /// Questions that were answered by search.
    pub questions: u64,
    /// Boxes that all of them took together.
    pub boxes: u64,
}

impl Report {
    /// How many findings are of this severity.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }

    /// Every case that is proposed, for coverage first.
    pub fn proposals(&self) -> impl Iterator<Item = &Proposal> {
        let gaps = self
            .coverage
            .gaps
            .iter()
            .filter_map(|gap| gap.proposal.as_ref());
        let survivors = self.mutation.survivors.iter();
        gaps.chain(survivors.filter_map(|survivor| survivor.proposal.as_ref()))
    }
}

impl Book {
    /// Proves what can be proved of the book's rules, and measures its cases.
    #[must_use]
    pub fn check(&self, scope: &Scope<'_>) -> Report {
        let mut check = Check {
            book: self,
            search: Search::new(self, scope.boxes),
            places: Places::of(self),
            decisions: decision::decisions(self),
            findings: Vec::new(),
            silent: (0..self.rules.len())
                .filter(|index| self.rules[*index].is_withdrawn())
                .collect(),
            shut: BTreeSet::new(),
        };
        check.ranges();
        check.reach();
        check.gates();
        check.beaten();
        check.clashes();
        check.shadows();
        check.tables();
        check.hairs();
        check.unused(scope.read_by_host);
        let coverage = check.coverage();
        let mutation = check.mutation();
        let mut findings = check.findings;
        findings.sort_by(|a, b| {
            (&a.place.file, a.place.line, a.kind).cmp(&(&b.place.file, b.place.line, b.kind))
        });
        Report {
            findings,
            coverage,
            mutation,
            questions: check.search.asked.get(),
            boxes: check.search.spent.get(),
        }
    }
}

/// A check under way.
struct Check<'q> {
    book: &'q Book,
    search: Search<'q>,
    places: Places<'q>,
    decisions: Vec<Decision<'q>>,
    findings: Vec<Finding>,
    /// Decisions, by their number, that are withdrawn, or have a finding that makes others moot.
    silent: BTreeSet<usize>,
    /// Gates that never open, or whose needs have a finding of their own.
    shut: BTreeSet<usize>,
}

impl<'q> Check<'q> {
    /// The decisions that no overlay took out of the book.
    fn kept(&self) -> impl Iterator<Item = &Decision<'q>> {
        let book = self.book;
        self.decisions
            .iter()
            .filter(move |decision| !decision.is_withdrawn(book))
    }

    /// Facts that meet the goals and that the whole book, run on them, agrees with.
    fn ask(&self, goals: &[Goal<'q>], confirm: &dyn Fn(&Evaluation<'_>) -> bool) -> Answer {
        self.ask_free(goals, &BTreeSet::new(), confirm)
    }

    fn ask_free(
        &self,
        goals: &[Goal<'q>],
        free: &BTreeSet<ColumnId>,
        confirm: &dyn Fn(&Evaluation<'_>) -> bool,
    ) -> Answer {
        self.ask_beside(goals, free, &Facts::default(), confirm)
    }

    /// The same, where some facts are known already.
    fn ask_beside(
        &self,
        goals: &[Goal<'q>],
        free: &BTreeSet<ColumnId>,
        known: &Facts,
        confirm: &dyn Fn(&Evaluation<'_>) -> bool,
    ) -> Answer {
        self.search.find(goals, free, known, confirm)
    }

    /// Facts that meet the goals as a case may give them: near one of the decision's own cases if that can be, with
    /// other values only for what `condition` speaks of.
    fn ask_for_case(
        &self,
        decision: &Decision<'q>,
        condition: &super::expr::compile::Condition,
        goals: &[Goal<'q>],
        confirm: &dyn Fn(&Evaluation<'_>) -> bool,
    ) -> Answer {
        let free = decision.named(self.book);
        let mut own = BTreeSet::new();
        condition.columns(&mut |id| {
            own.insert(match self.book.words.get(id).origin {
                Origin::Feature { series, .. } => series,
                _ => id,
            });
        });
        for case in decision.cases {
            let mut known = self.book.case_facts(case);
            let day = self.book.today.and_then(|id| known.get(id));
            if day.is_some_and(|given| given.set != Set::Number(Interval::point(CASE_TODAY))) {
                continue;
            }
            own.iter().for_each(|id| known.remove(*id));
            if let Answer::Shown(facts) = self.ask_beside(goals, &free, &known, confirm) {
                return Answer::Shown(facts);
            }
        }
        self.ask_free(goals, &free, confirm)
    }

    fn add(
        &mut self,
        kind: &'static str,
        severity: Severity,
        at: Mark,
        message: String,
        witness: Option<Witness>,
    ) {
        self.findings.push(Finding {
            kind,
            severity,
            place: self.book.finding(at, message, None),
            witness,
        });
    }

    fn undecided(&mut self, kind: &'static str, at: Mark, question: &str) {
        let message = format!("{question}: undecided within the budget");
        self.add(kind, Severity::Undecided, at, message, None);
    }

    /// A witness with one case for each of some blocks that are rules.
    fn rules_witness(&self, facts: &Facts, rules: &[usize]) -> Witness {
        let run = self.book.evaluate(facts);
        let each = rules
            .iter()
            .map(|index| (&self.book.rules[*index].name, run.rules[*index]));
        each.fold(
            Witness::new(self.book, facts),
            |witness, (name, verdict)| {
                witness.with("rule", name, witness::keyword(verdict), &self.places, &run)
            },
        )
    }

    /// A witness with the case of one decision.
    fn decision_witness(&self, facts: &Facts, decision: &Decision<'q>) -> Witness {
        let run = self.book.evaluate(facts);
        let witness = Witness::new(self.book, facts);
        let expect = match decision.owner {
            decision::Owner::Rule(index) => witness::keyword(run.rules[index]).to_owned(),
            decision::Owner::Truth(_) => witness::gives(&run, decision.name),
            decision::Owner::Need(gate, _) => gate_keyword(&run, gate).to_owned(),
        };
        witness.with(decision.keyword, decision.name, &expect, &self.places, &run)
    }
}

/// The keyword of a gate's case.
fn gate_keyword(run: &Evaluation<'_>, gate: usize) -> &'static str {
    use super::eval::GateVerdict;
    match run.gates[gate] {
        GateVerdict::Yes => "opens",
        GateVerdict::NotYet => "waits",
        GateVerdict::No => "refuses",
        GateVerdict::CannotTell => "asks",
    }
}
