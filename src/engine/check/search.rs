//! Branch and prune: facts at which some conditions hold and others fail, a proof that there are none, or neither
//! within the budget.
//!
//! Conditions are taken apart until they speak of given facts, whose sets are then narrowed; that part is exact. What
//! is left, sums and functions, is decided by cutting the box. Every box is judged by the evaluator.

use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};

use super::super::book::Book;
use super::super::book::vocabulary::Origin;
use super::super::eval::Evaluation;
use super::super::expr::ast::SeriesWord;
use super::super::expr::compile::{ColumnId, Feature};
use super::super::facts::Facts;
use super::super::kernel::Verdicts;
use super::super::normal::Allowed;
use super::super::set::{Interval, Set, Verdict};
use super::boxes::{self, Cut, NARROWEST};
use super::goal::{Goal, Step};
use super::pick::LEANS;
use super::plan::{Plan, every_condition};

/// Boxes for a question beside known facts.
const BESIDE: u32 = 200;

/// What a search ends with.
#[derive(Debug)]
pub(super) enum Answer {
    /// These facts, each a single value with the text it is typed as.
    Shown(Facts),
    /// Proof that there are none.
    Never,
    /// Neither within the budget.
    Undecided,
}

/// A book with what a search needs to know of it.
pub(super) struct Search<'q> {
    pub book: &'q Book,
    /// Boxes that one question may take.
    budget: u32,
    /// Boxes that all questions took.
    pub spent: Cell<u64>,
    /// Questions that were asked.
    pub asked: Cell<u64>,
    /// Ages in days that conditions compare the latest reading of a series with, as bits.
    pub ages: BTreeMap<ColumnId, BTreeSet<u64>>,
    /// What worked-out facts may be when nothing is known.
    pub widest: Vec<Set>,
    /// Whether dates are only ever subtracted from one another, so that one day stands for all.
    pub any_day: bool,
}

struct Node<'q> {
    facts: Facts,
    goals: Vec<Goal<'q>>,
}

impl<'q> Search<'q> {
    pub fn new(book: &'q Book, budget: u32) -> Search<'q> {
        let nothing = Facts::default();
        let widest = book.evaluate(&nothing).sets;
        let mut search = Search {
            book,
            budget,
            spent: Cell::new(0),
            asked: Cell::new(0),
            ages: BTreeMap::new(),
            widest,
            any_day: true,
        };
        let conditions = every_condition(book);
        conditions
            .iter()
            .for_each(|condition| search.learn(condition));
        search
    }

    /// Facts that meet all goals, among them those that are known. Columns in `free` may be given directly; all others
    /// are worked out.
    pub fn find(
        &self,
        goals: &[Goal<'q>],
        free: &BTreeSet<ColumnId>,
        known: &Facts,
        confirm: &dyn Fn(&Evaluation<'_>) -> bool,
    ) -> Answer {
        self.asked.set(self.asked.get() + 1);
        let (plan, facts) = self.plan(goals, free, known);
        let mut stack = vec![Node {
            facts,
            goals: goals.to_vec(),
        }];
        // Beside known facts little is left to settle.
        let budget = if known.is_empty() {
            self.budget
        } else {
            self.budget.min(BESIDE)
        };
        let (mut boxes, mut lost) = (0, false);
        while let Some(mut node) = stack.pop() {
            boxes += 1;
            self.spent.set(self.spent.get() + 1);
            if boxes > budget {
                return Answer::Undecided;
            }
            if !self.narrow(&plan, &mut node) {
                continue;
            }
            if let Some(facts) = self.sampled(&plan, &node) {
                match self.confirmed(facts, confirm) {
                    Some(facts) => return Answer::Shown(facts),
                    None => lost = true,
                }
            }
            match self.branches(&plan, &node, free) {
                Some(children) => stack.extend(children.into_iter().rev()),
                None => lost = true,
            }
        }
        if lost || !self.any_day {
            Answer::Undecided
        } else {
            Answer::Never
        }
    }

    /// The evaluator on a box, for the columns that are needed.
    fn run<'f>(&self, plan: &Plan<'q, '_>, facts: &'f Facts) -> Evaluation<'f>
    where
        'q: 'f,
    {
        let mut run = Evaluation {
            book: self.book,
            facts,
            sets: self.widest.clone(),
            today: plan.today,
            rules: Verdicts::default(),
            gates: Vec::new(),
        };
        plan.order.iter().for_each(|id| run.settle(*id));
        run
    }

    /// Takes goals apart and narrows the box, until only smaller boxes can tell. False: nothing in it meets them.
    fn narrow(&self, plan: &Plan<'q, '_>, node: &mut Node<'q>) -> bool {
        loop {
            let run = self.run(plan, &node.facts);
            let hopeless = |goal: &Goal<'q>| goal.verdict(&run) == Verdict::Fails;
            if plan.roots.iter().any(hopeless) {
                return false;
            }
            let mut facts = None;
            let Some(goals) = self.taken_apart(&run, &node.goals, &mut facts) else {
                return false;
            };
            node.goals = goals;
            match facts {
                Some(facts) => node.facts = facts,
                None => return self.agree(&node.goals),
            }
        }
    }

    fn taken_apart(
        &self,
        run: &Evaluation<'_>,
        goals: &[Goal<'q>],
        narrowed: &mut Option<Facts>,
    ) -> Option<Vec<Goal<'q>>> {
        let mut work: Vec<Goal<'q>> = goals.to_vec();
        let mut rest = Vec::new();
        while let Some(goal) = work.pop() {
            match goal.verdict(run) {
                Verdict::Holds => continue,
                Verdict::Fails => return None,
                Verdict::Open => {}
            }
            match goal.step(self.book, run) {
                Step::Never => return None,
                Step::All(goals) => work.extend(goals),
                Step::Open => rest.push(goal),
                Step::Narrow(id, allowed) => {
                    let facts = narrowed.get_or_insert_with(|| run.facts.clone());
                    let set = facts.get(id)?.set;
                    let set = boxes::narrowed(self.book.words.get(id), set, allowed)?;
                    boxes::give(facts, id, set);
                }
                Step::NarrowReading(id, place, allowed) => {
                    let facts = narrowed.get_or_insert_with(|| run.facts.clone());
                    let values = facts.get(id)?.readings.get(place)?.values;
                    let values = values.meet(boxes::closed(allowed)?)?;
                    boxes::give_reading(facts, id, place, values);
                }
                Step::Either(mut goals) => {
                    goals.retain(|goal| goal.verdict(run) != Verdict::Fails);
                    match goals.len() {
                        0 => return None,
                        1 => work.extend(goals),
                        _ => rest.push(Goal::OneOf(goals)),
                    }
                }
            }
        }
        Some(rest)
    }

    /// Whether the goals that are left agree with one another: each column in values that all of them allow, and no
    /// test both to hold and to fail.
    fn agree(&self, goals: &[Goal<'q>]) -> bool {
        let mut within: BTreeMap<ColumnId, Allowed> = BTreeMap::new();
        let mut tests: BTreeMap<&str, bool> = BTreeMap::new();
        goals.iter().all(|goal| match goal {
            Goal::In(id, allowed, true) => {
                let known = within.get(id).copied();
                let met = known.map_or(Some(*allowed), |known| known.meet(*allowed));
                met.is_some_and(|met| {
                    within.insert(*id, met);
                    true
                })
            }
            Goal::Is(condition, wanted) => {
                *tests.entry(condition.text.as_str()).or_insert(*wanted) == *wanted
            }
            _ => true,
        })
    }

    /// A point of the box that meets the goals.
    fn sampled(&self, plan: &Plan<'q, '_>, node: &Node<'q>) -> Option<Facts> {
        let mut whole = node.facts.clone();
        let mut early = node.goals.iter().any(|goal| matches!(goal, Goal::OneOf(_)));
        let unread = plan
            .order
            .iter()
            .filter(|id| self.book.words.get(**id).series);
        for id in unread {
            if whole.get(*id).is_none() {
                early = true;
                let ages = self
                    .shapes(plan, *id)
                    .into_iter()
                    .next()
                    .unwrap_or_default();
                whole.set(*id, boxes::history(self.book.words.get(*id), &ages));
            }
        }
        // The ends of a box make odd facts: they are for when the middle will not do.
        let leans = if early { &LEANS[..1] } else { &LEANS[..] };
        leans.iter().find_map(|lean| {
            let facts = boxes::sample(self.book, &whole, *lean)?;
            let run = self.run(plan, &facts);
            let met = plan
                .roots
                .iter()
                .all(|goal| goal.verdict(&run) == Verdict::Holds);
            met.then_some(facts)
        })
    }

    /// The smaller boxes that a box falls into; nothing where it is too narrow to be cut, though not a point.
    fn branches(
        &self,
        plan: &Plan<'q, '_>,
        node: &Node<'q>,
        free: &BTreeSet<ColumnId>,
    ) -> Option<Vec<Node<'q>>> {
        if let Some(children) = self.alternatives(node) {
            return Some(children);
        }
        let open: Vec<&Goal<'q>> = match node.goals.is_empty() {
            true => plan.roots.iter().collect(),
            false => node.goals.iter().collect(),
        };
        // One goal at a time: the one that rests on the fewest facts that are not settled.
        let run = self.run(plan, &node.facts);
        let mut fewest: Option<(BTreeSet<ColumnId>, &Goal<'q>)> = None;
        for goal in open {
            let mut support = BTreeSet::new();
            goal.columns(self.book, &mut |id| {
                self.support(id, free, &run, &mut support)
            });
            support.retain(|id| {
                let column = self.book.words.get(*id);
                let given = node.facts.get(*id);
                given.map_or(column.series, |given| {
                    boxes::widest(*id, given, self.whole(*id)).is_some()
                })
            });
            if fewest
                .as_ref()
                .is_none_or(|(known, _)| support.len() < known.len())
            {
                fewest = Some((support, goal));
            }
        }
        let Some((support, goal)) = fewest.filter(|(support, _)| !support.is_empty()) else {
            // Nothing is left that could settle a goal: either one stays open, or none of the values can be written.
            let met = plan
                .roots
                .iter()
                .all(|goal| goal.verdict(&run) == Verdict::Holds);
            return (!met).then(Vec::new);
        };
        let child = |facts: Facts| Node {
            facts,
            goals: node.goals.clone(),
        };
        let unread =
            |id: &&ColumnId| self.book.words.get(**id).series && node.facts.get(**id).is_none();
        if let Some(id) = support.iter().find(unread) {
            let histories = self.shapes(plan, *id);
            let shaped = histories.iter().map(|ages| {
                let mut facts = node.facts.clone();
                facts.set(*id, boxes::history(self.book.words.get(*id), ages));
                child(facts)
            });
            return Some(shaped.collect());
        }
        let cuts = support.iter().filter_map(|id| {
            let given = node.facts.get(*id)?;
            boxes::widest(*id, given, self.whole(*id))
        });
        let (width, cut) = cuts.max_by(|a, b| a.0.total_cmp(&b.0))?;
        if width < NARROWEST {
            return None;
        }
        let hints = self.hints(&[goal], cut);
        let parts = boxes::parts(self.book, &node.facts, cut, &hints);
        Some(parts.into_iter().map(child).collect())
    }

    /// The histories a series may have, the plainest first.
    fn shapes(&self, plan: &Plan<'q, '_>, id: ColumnId) -> Vec<Vec<f64>> {
        let limits = self.ages.get(&id).cloned().unwrap_or_default();
        self.book.histories(id, &plan.order, &limits)
    }

    fn whole(&self, id: ColumnId) -> Interval {
        self.widest[id.0 as usize].interval()
    }

    /// Branches over the goal that leaves the fewest choices; each excludes those before it.
    fn alternatives(&self, node: &Node<'q>) -> Option<Vec<Node<'q>>> {
        let choices = node
            .goals
            .iter()
            .enumerate()
            .filter_map(|(at, goal)| match goal {
                Goal::OneOf(goals) => Some((goals.len(), at, goals)),
                _ => None,
            });
        let (_, at, choice) = choices.min_by_key(|(count, at, _)| (*count, *at))?;
        let mut rest = node.goals.clone();
        rest.remove(at);
        let mut children = Vec::new();
        for (index, goal) in choice.iter().enumerate() {
            let mut goals = rest.clone();
            goals.extend(choice[..index].iter().flat_map(Goal::negated));
            goals.push(goal.clone());
            children.push(Node {
                facts: node.facts.clone(),
                goals,
            });
        }
        Some(children)
    }

    /// Numbers at which a verdict on this fact turns.
    fn hints(&self, goals: &[&Goal<'q>], cut: Cut) -> Vec<f64> {
        let id = cut.of();
        let mut hints: Vec<f64> = self.book.words.get(id).smallest.into_iter().collect();
        for goal in goals {
            let Goal::In(column, allowed, true) = goal else {
                continue;
            };
            let turns = match self.book.words.get(*column).origin {
                Origin::Feature { series, feature } => {
                    series == id
                        && matches!(
                            feature,
                            Feature::Number {
                                word: SeriesWord::Highest | SeriesWord::Lowest,
                                ..
                            }
                        )
                }
                _ => *column == id,
            };
            if let Some(values) = boxes::closed(*allowed).filter(|_| turns) {
                hints.extend([values.lo, values.hi.next_up()]);
            }
        }
        hints
    }

    /// The facts without those that are not needed for `confirm`, which is asked of the whole book run on them.
    /// Nothing if it does not say yes to all of them.
    fn confirmed(&self, facts: Facts, confirm: &dyn Fn(&Evaluation<'_>) -> bool) -> Option<Facts> {
        let agrees = |facts: &Facts| confirm(&self.book.evaluate(facts));
        if !agrees(&facts) {
            return None;
        }
        let ids: Vec<ColumnId> = facts.iter().map(|(id, _)| id).collect();
        let mut least = facts;
        for id in ids.into_iter().filter(|id| Some(*id) != self.book.today) {
            let mut fewer = least.clone();
            fewer.remove(id);
            if agrees(&fewer) {
                least = fewer;
                continue;
            }
            while let Some(shorter) = least
                .get(id)
                .and_then(|given| boxes::shortened(self.book, given))
            {
                let mut fewer = least.clone();
                fewer.set(id, shorter);
                if !agrees(&fewer) {
                    break;
                }
                least = fewer;
            }
        }
        Some(least)
    }
}
