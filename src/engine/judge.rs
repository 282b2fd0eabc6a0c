//! One book run over and over: verdicts, what they rest on, what would turn them, and what to find out next, as data.

use super::book::vocabulary::{Column, Origin};
use super::book::{Book, Step};
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::facts::{Facts, Given, Reading};
use super::kernel::{FlipScratch, RawGround, Scratch, Turn, Verdicts};
use super::set::{Interval, Set, Verdict};

/// Values of one fact that are tried where others are worked out from it.
const TRIED: usize = 12;

/// A book with the buffers that running it takes.
///
/// It gives the verdicts that [`Book::evaluate`] gives, without the words.
#[derive(Debug)]
pub struct Judge<'a> {
    book: &'a Book,
    /// What is worked out in a run. How two numbers lie to one another the tables find out themselves.
    steps: Vec<Step>,
    /// Columns before those that no step works out and nothing is given of.
    settled: usize,
    sets: Vec<Set>,
    run: Scratch,
    flips: FlipScratch,
    grounds: Vec<RawGround>,
}

/// One fact whose change alone turns the verdict of one rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flip<'a> {
    /// The rule.
    pub rule: &'a str,
    /// The fact, which may be a derived one: it is changed by itself, whatever it is worked out from.
    pub fact: &'a str,
    /// What the rule comes to now: it holds and would fail, or fails and would hold.
    pub now: Verdict,
    /// The nearest change, within the fact's range.
    pub turn: Turn,
}

/// One test behind the verdict of a rule that holds or is open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground<'a> {
    /// The rule.
    pub rule: &'a str,
    /// The fact that is tested.
    pub fact: &'a str,
    /// What the test comes to.
    pub verdict: Verdict,
    /// The nearest threshold, in the main unit; none for options.
    pub threshold: Option<f64>,
    /// How far all possible values lie on the right side of it; negative where some lie beyond. 0 for options.
    pub margin: f64,
}

/// What finding out one fact is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth<'a> {
    /// The fact.
    pub fact: &'a str,
    /// Open rules that would be settled, on average over the fact's possible values: a rule counts 8 for *danger*, 4
    /// for *today*, 2 for *soon*, 1 for *note*. Between two neighbouring thresholds, and on each, lies one value.
    pub settles: f64,
}

impl Book {
    /// The name of the rule at a place.
    #[must_use]
    pub fn rule_name(&self, place: usize) -> Option<&str> {
        self.rules.get(place).map(|rule| rule.name.as_str())
    }
}

impl<'a> Judge<'a> {
    /// A book, ready to be run over and over.
    #[must_use]
    pub fn of(book: &'a Book) -> Judge<'a> {
        let named = |id: ColumnId| book.below.iter().any(|below| below.contains(&id));
        let is_needed = |step: &&Step| matches!(step, Step::Other(_)) || named(step.id());
        let steps = book.worked.iter().filter(is_needed).copied().collect();
        let is_order = |column: &&Column| matches!(column.origin, Origin::Order { .. });
        let orders = book.words.columns.iter().rev().take_while(is_order).count();
        Judge {
            book,
            steps,
            settled: book.ranges.len() - orders,
            sets: book.ranges.clone(),
            run: Scratch::default(),
            flips: FlipScratch::default(),
            grounds: Vec::new(),
        }
    }

    /// The verdicts of all rules on some facts.
    pub fn run(&mut self, facts: &Facts) -> &Verdicts {
        let mut sets = std::mem::take(&mut self.sets);
        sets[..self.settled].copy_from_slice(&self.book.ranges[..self.settled]);
        let mut run = Evaluation::resumed(self.book, facts, sets);
        let overridden = run.put_in();
        run.work_out(&self.steps, overridden);
        self.sets = run.sets;
        self.book.kernel.run(&self.sets, &mut self.run);
        &self.run.verdicts
    }

    /// The verdicts of the last run.
    #[must_use]
    pub fn verdicts(&self) -> &Verdicts {
        &self.run.verdicts
    }

    /// The facts that leave a rule open in the last run, by the rule's place.
    pub fn reasons(&self, rule: usize) -> impl Iterator<Item = &'a str> + '_ {
        let reasons = self.book.kernel.reasons(rule, &self.sets, &self.run);
        reasons.into_iter().map(|id| self.fact(id))
    }

    /// What the verdicts of the last run rest on: the tests of every rule that holds or is open.
    pub fn grounds(&mut self) -> impl Iterator<Item = Ground<'a>> + '_ {
        let kernel = &self.book.kernel;
        kernel.grounds(&self.sets, &self.run, &mut self.grounds);
        self.grounds.iter().map(|raw| Ground {
            rule: self.rule(raw.target),
            fact: self.fact(kernel.column(raw.track)),
            verdict: raw.verdict,
            threshold: raw.threshold,
            margin: raw.margin,
        })
    }

    /// Every change of one fact that alone turns a rule of the last run from holding to failing or back, the nearest
    /// one below and above, or each option.
    pub fn flips(&mut self) -> impl Iterator<Item = Flip<'a>> + '_ {
        let kernel = &self.book.kernel;
        kernel.flips(&self.sets, &self.book.ranges, &self.run, &mut self.flips);
        self.flips.found.iter().map(|raw| Flip {
            rule: self.rule(raw.target),
            fact: self.fact(kernel.column(raw.track)),
            now: self.run.verdicts.at(raw.target as usize),
            turn: raw.turn,
        })
    }

    /// Facts that are not known, by what they would settle. Runs the book on `facts`.
    ///
    /// Exact for rules that look at the fact itself. Where other facts are worked out from it the book is run on
    /// values spread over the possible ones.
    pub fn next(&mut self, facts: &Facts) -> Vec<Worth<'a>> {
        self.run(facts);
        let rules = &self.book.rules;
        let mut worths = Vec::new();
        let weight = |rule: usize| rules[rule].urgency.weight();
        let kernel = &self.book.kernel;
        kernel.worths(&self.sets, &self.run, weight, &mut worths);
        let open: Vec<usize> = self.open().collect();
        for (index, worth) in worths.iter_mut().enumerate() {
            let id = ColumnId(index as u32);
            if !self.book.words.get(id).is_given() || self.sets[index].is_known() {
                *worth = 0.0;
                continue;
            }
            let fed = self.open_above(id, facts);
            if !fed.is_empty() {
                *worth = self.tried(id, facts, &fed, &open);
            }
        }
        let mut ranked: Vec<Worth<'a>> = worths
            .iter()
            .enumerate()
            .filter(|(_, settles)| **settles > 0.0)
            .map(|(index, settles)| Worth {
                fact: self.fact(ColumnId(index as u32)),
                settles: *settles,
            })
            .collect();
        ranked.sort_by(|a, b| b.settles.total_cmp(&a.settles).then(a.fact.cmp(b.fact)));
        ranked
    }

    fn open(&self) -> impl Iterator<Item = usize> + '_ {
        let verdicts = &self.run.verdicts;
        let possible = verdicts.possible();
        possible.filter(|rule| verdicts.at(*rule) == Verdict::Open)
    }

    /// What is worked out from a fact and not known, in the order in which it is worked out.
    fn open_above(&self, id: ColumnId, facts: &Facts) -> Vec<ColumnId> {
        let mut above = Vec::new();
        for (step, below) in self.book.worked.iter().zip(&self.book.below) {
            let worked = &step.id();
            let open = !self.sets[worked.0 as usize].is_known() && facts.get(*worked).is_none();
            if open
                && below
                    .iter()
                    .any(|below| *below == id || above.contains(below))
            {
                above.push(*worked);
            }
        }
        above
    }

    /// What a fact settles on average over some of its possible values.
    fn tried(&mut self, id: ColumnId, facts: &Facts, above: &[ColumnId], open: &[usize]) -> f64 {
        let kernel = &self.book.kernel;
        let moved: Vec<u32> = std::iter::once(&id)
            .chain(above)
            .filter_map(|id| kernel.track(*id))
            .collect();
        let touched = |target: &&usize| kernel.looks_at(**target, &moved);
        let touched: Vec<usize> = open.iter().filter(touched).copied().collect();
        let before: Vec<Set> = self.sets.clone();
        let values = self.values(id, before[id.0 as usize]);
        let mut changed = facts.clone();
        let mut sum = 0.0;
        for value in &values {
            changed.set(id, self.found(id, facts, *value));
            let sets = std::mem::take(&mut self.sets);
            let mut run = Evaluation::resumed(self.book, &changed, sets);
            run.settle(id);
            above.iter().for_each(|id| run.settle(*id));
            self.sets = run.sets;
            kernel.place(&moved, &self.sets, &mut self.run);
            for target in &touched {
                if kernel.verdict(*target, &self.sets, &self.run) != Verdict::Open {
                    sum += self.book.rules[*target].urgency.weight();
                }
            }
        }
        self.sets = before;
        kernel.place(&moved, &self.sets, &mut self.run);
        sum / values.len().max(1) as f64
    }

    /// The fact as it would be known: a series gets a reading of today.
    fn found(&self, id: ColumnId, facts: &Facts, value: Set) -> Given {
        let column = self.book.words.get(id);
        let today = self
            .book
            .today
            .map(|today| self.sets[today.0 as usize].interval());
        let mut given = Given::new(value);
        if let (true, Set::Number(values)) = (column.series, value) {
            let before = facts.get(id).map(|given| given.readings.clone());
            given.readings = before.unwrap_or_default();
            let latest = given.readings.last().map_or(0.0, |reading| reading.day);
            given.readings.push(Reading {
                day: today.map_or(latest, |today| today.hi.max(latest)),
                values,
                nominal: values.lo,
                mark: column.smallest,
                typed: String::new(),
            });
        }
        given
    }

    /// Some of the possible values of a fact, at most [`TRIED`].
    fn values(&self, id: ColumnId, set: Set) -> Vec<Set> {
        let all: Vec<Set> = match set {
            Set::Number(values) => self
                .numbers(id, values)
                .into_iter()
                .map(|x| Set::Number(Interval::point(x)))
                .collect(),
            Set::Choice(options) => (0..128)
                .filter(|option| options >> option & 1 == 1)
                .map(|option| Set::Choice(1 << option))
                .collect(),
            Set::Several { surely, maybe } => {
                let exactly = |mask| Set::Several {
                    surely: mask,
                    maybe: mask,
                };
                let open = (0..128).filter(|option| (maybe & !surely) >> option & 1 == 1);
                std::iter::once(exactly(surely))
                    .chain(open.map(|option| exactly(surely | 1 << option)))
                    .collect()
            }
        };
        let step = all.len().div_ceil(TRIED).max(1);
        all.into_iter().step_by(step).collect()
    }

    /// One number in every bucket of the thresholds, or some spread evenly where there is none.
    fn numbers(&self, id: ColumnId, values: Interval) -> Vec<f64> {
        let smallest = self.book.words.get(id).smallest;
        let inside = |cut: &f64| values.lo < *cut && *cut < values.hi;
        let cuts = self.book.kernel.cuts(id).iter().copied().chain(smallest);
        let mut ends: Vec<f64> = cuts.filter(inside).collect();
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        let finite = |x: f64| x.clamp(-1e15, 1e15);
        let (low, high) = (finite(values.lo), finite(values.hi));
        if ends.is_empty() {
            let part = |nth| low + (high - low) * f64::from(nth) / 7.0;
            return (0..8).map(part).collect();
        }
        let mut numbers = vec![(low + ends[0]) / 2.0];
        for (at, end) in ends.iter().enumerate() {
            numbers.push(*end);
            numbers.push((*end + ends.get(at + 1).copied().unwrap_or(high)) / 2.0);
        }
        numbers
    }

    fn rule(&self, target: u32) -> &'a str {
        &self.book.rules[target as usize].name
    }

    fn fact(&self, id: ColumnId) -> &'a str {
        &self.book.words.get(id).name
    }
}
