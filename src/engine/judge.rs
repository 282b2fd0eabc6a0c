//! One book run over and over: verdicts, what they rest on, what would turn them, and what to find out next, as data.

use super::book::vocabulary::{Column, Origin};
use super::book::{Book, Step};
use super::eval::Evaluation;
use super::expr::compile::ColumnId;
use super::facts::{Facts, Given, Reading};
use super::kernel::{
    Basis, Chances, FlipScratch, RawFlip, Room, Scratch, TRIED, Tries, Turn, Verdicts,
};
use super::normal::order;
use super::rank::arrange;
use super::set::{Interval, Set, Verdict};

/// A book with the buffers that running it takes.
///
/// It gives the verdicts that [`Book::evaluate`] gives, without the words.
#[derive(Debug)]
pub struct Judge<'a> {
    book: &'a Book,
    /// Names of rules, of columns, and of the facts that rules look at.
    rules: Vec<&'a str>,
    facts: Vec<&'a str>,
    tracks: Vec<&'a str>,
    /// What each rule weighs by its urgency.
    weights: Vec<f64>,
    /// What is worked out in a run. How two numbers lie to one another the tables find out themselves.
    steps: Vec<Step>,
    is_step: Vec<bool>,
    /// For every column the steps of the book that rest on it, however far below. Found when first needed.
    above: Vec<Vec<u32>>,
    /// Columns before those that no step works out and nothing is given of.
    settled: usize,
    sets: Vec<Set>,
    run: Scratch,
    flips: FlipScratch,
    basis: Basis,
    search: Search,
}

/// What is found on the way to what to find out next.
#[derive(Debug, Default)]
struct Search {
    /// Facts that are not known, each with what is worked out from it and not known either.
    asked: Vec<ColumnId>,
    above: Vec<Vec<ColumnId>>,
    /// By track: which of the asked facts move it by what is worked out from them.
    movers: Vec<Vec<u32>>,
    /// By asked fact: open rules that look at what moves with it.
    moved: Vec<Vec<usize>>,
    /// By column: what knowing it settles, but for rules that look at what moves with it.
    worths: Vec<f64>,
    chances: Chances,
    tries: Tries,
    /// By column: the place among the asked facts, if it is one.
    places: Vec<Option<u32>>,
    /// By column: for which search it was last found to rest on a fact.
    rests: Vec<u32>,
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

/// All flips of a run. Which rows of which rules one fact alone keeps from holding is found; facts, values and names are
/// looked up as each flip is read.
#[derive(Debug, Clone, Copy)]
pub struct Flips<'j, 'a> {
    judge: &'j Judge<'a>,
}

impl<'j, 'a> Flips<'j, 'a> {
    /// Each of them: first those of rules that hold.
    pub fn iter(self) -> impl Iterator<Item = Flip<'a>> + 'j {
        let Judge {
            book,
            sets,
            run,
            flips,
            ..
        } = self.judge;
        let flip = |now: Verdict| {
            move |raw: RawFlip| Flip {
                rule: self.judge.rule(raw.target),
                fact: self.judge.tracks[raw.track as usize],
                now,
                turn: raw.turn,
            }
        };
        let breaking = book
            .kernel
            .breaking(sets, run, flips)
            .map(flip(Verdict::Holds));
        let mending = book.kernel.mending(sets, run, flips);
        breaking.chain(mending.map(flip(Verdict::Fails)))
    }
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
        let steps: Vec<Step> = book.worked.iter().filter(is_needed).copied().collect();
        let mut is_step = vec![false; book.ranges.len()];
        let ids = steps.iter().map(|step| step.id());
        ids.for_each(|id| is_step[id.0 as usize] = true);
        let is_order = |column: &&Column| matches!(column.origin, Origin::Order { .. });
        let orders = book.words.columns.iter().rev().take_while(is_order).count();
        let name = |id: ColumnId| &*book.words.get(id).name;
        let tracks = (0..book.kernel.track_count() as u32).map(|at| book.kernel.column(at));
        Judge {
            book,
            tracks: tracks.map(name).collect(),
            rules: book.rules.iter().map(|rule| &*rule.name).collect(),
            weights: book
                .rules
                .iter()
                .map(|rule| rule.urgency.weight())
                .collect(),
            facts: book
                .words
                .columns
                .iter()
                .map(|column| &*column.name)
                .collect(),
            steps,
            is_step,
            above: Vec::new(),
            settled: book.ranges.len() - orders,
            sets: book.ranges.clone(),
            run: Scratch::default(),
            flips: FlipScratch::default(),
            basis: Basis::default(),
            search: Search::default(),
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
        kernel.basis(&self.sets, &self.run, &mut self.basis);
        let judge = &*self;
        judge.basis.rows.iter().flat_map(move |[target, row]| {
            let rule = judge.rule(*target);
            let tests = kernel.grounds(*row, &judge.sets, &judge.basis);
            tests.map(move |raw| Ground {
                rule,
                fact: judge.tracks[raw.track as usize],
                verdict: raw.verdict,
                threshold: raw.threshold,
                margin: raw.margin,
            })
        })
    }

    /// Every change of one fact that alone turns a rule of the last run from holding to failing or back, the nearest
    /// one below and above, or each option.
    pub fn flips(&mut self) -> Flips<'_, 'a> {
        let kernel = &self.book.kernel;
        kernel.flips(&self.sets, &self.run, &mut self.flips);
        Flips { judge: self }
    }

    /// Facts that are not known, by what they would settle. Runs the book on `facts`.
    ///
    /// Exact for rules that look at nothing worked out from the fact. For the others the book is run on values spread
    /// over the possible ones.
    pub fn next(&mut self, facts: &Facts) -> Vec<Worth<'a>> {
        self.run(facts);
        if self.above.is_empty() {
            self.above = above(self.book);
        }
        let mut search = std::mem::take(&mut self.search);
        self.ask(facts, &mut search);
        self.weigh(&mut search);
        self.book.kernel.begin_tries(&self.run, &mut search.tries);
        let mut ranked = Vec::new();
        for (at, id) in search.asked.iter().enumerate() {
            let mut settles = search.worths[id.0 as usize];
            if !search.moved[at].is_empty() {
                let (above, moved) = (&search.above[at], &search.moved[at]);
                settles += self.tried(*id, facts, above, moved, &mut search.tries);
            }
            if settles > 0.0 {
                let fact = self.fact(*id);
                ranked.push(Worth { fact, settles });
            }
        }
        self.search = search;
        arrange(&mut ranked, |a, b| {
            b.settles.total_cmp(&a.settles).then(a.fact.cmp(b.fact))
        });
        ranked
    }

    /// Finds the facts that are not known, and what moves with each.
    fn ask(&self, facts: &Facts, search: &mut Search) {
        let Search {
            asked,
            above,
            movers,
            moved,
            worths,
            places,
            rests,
            ..
        } = search;
        let (book, columns) = (self.book, self.sets.len());
        asked.clear();
        worths.clear();
        worths.resize(columns, 0.0);
        places.clear();
        places.resize(columns, None);
        rests.clear();
        rests.resize(columns, 0);
        movers.resize(book.kernel.track_count(), Vec::new());
        movers.iter_mut().for_each(Vec::clear);
        for (index, column) in book.words.columns.iter().enumerate() {
            if !column.is_given() || self.sets[index].is_known() {
                continue;
            }
            let (id, place) = (ColumnId(index as u32), asked.len());
            places[index] = Some(place as u32);
            asked.push(id);
            if above.len() <= place {
                above.push(Vec::new());
                moved.push(Vec::new());
            }
            moved[place].clear();
            self.open_above(id, facts, place as u32 + 1, rests, &mut above[place]);
            for track in above[place].iter().filter_map(|id| book.kernel.track(*id)) {
                movers[track as usize].push(place as u32);
            }
        }
    }

    /// Finds for every open rule the facts that settle it, and those that move what it looks at.
    fn weigh(&self, search: &mut Search) {
        let Search {
            movers,
            moved,
            worths,
            places,
            chances,
            ..
        } = search;
        let (kernel, mut room) = (&self.book.kernel, Room::default());
        let moves = movers.iter().map(|movers| !movers.is_empty());
        kernel.gauge_chances(&self.sets, &self.run, moves, chances);
        for rule in self.run.verdicts.open() {
            let weight = self.weights[rule];
            let moves = kernel.moves(rule, chances);
            if moves {
                kernel.each_track(rule, |track| {
                    for place in &movers[track as usize] {
                        let rules = &mut moved[*place as usize];
                        if rules.last() != Some(&rule) {
                            rules.push(rule);
                        }
                    }
                });
            }
            // What moves the rule by another fact too is tried.
            let counts = |track: u32| {
                let own = places[kernel.column(track).0 as usize].filter(|_| moves);
                own.is_none_or(|at| moved[at as usize].last() != Some(&rule))
            };
            if !kernel.is_several(rule) {
                kernel.worth_of_plain(rule, weight, &self.sets, &self.run, chances, counts);
                continue;
            }
            kernel.worths(rule, &self.sets, &self.run, &mut room, |track, chance| {
                if counts(track) {
                    worths[kernel.column(track).0 as usize] += weight * chance;
                }
            });
        }
        for (track, worth) in (0..).zip(chances.worths()) {
            worths[kernel.column(track).0 as usize] += worth;
        }
    }

    /// Finds what is worked out from a fact and not known, in the order in which it is worked out. `nth` tells this
    /// search from others.
    fn open_above(
        &self,
        id: ColumnId,
        facts: &Facts,
        nth: u32,
        rests: &mut [u32],
        found: &mut Vec<ColumnId>,
    ) {
        found.clear();
        rests[id.0 as usize] = nth;
        for at in &self.above[id.0 as usize] {
            let (step, below) = (
                self.book.worked[*at as usize],
                &self.book.below[*at as usize],
            );
            let is_known = || match step {
                Step::Order { left, right, .. } => {
                    let set = |id: ColumnId| self.sets[id.0 as usize].interval();
                    order(set(left), set(right)).is_known()
                }
                Step::Other(id) => self.sets[id.0 as usize].is_known() || facts.get(id).is_some(),
            };
            if below.iter().any(|below| rests[below.0 as usize] == nth) && !is_known() {
                rests[step.id().0 as usize] = nth;
                found.push(step.id());
            }
        }
    }

    /// What a fact settles among some rules, on average over some of its possible values.
    fn tried(
        &mut self,
        id: ColumnId,
        facts: &Facts,
        above: &[ColumnId],
        rules: &[usize],
        tries: &mut Tries,
    ) -> f64 {
        let book = self.book;
        let kernel = &book.kernel;
        let tracks: Vec<u32> = std::iter::once(&id)
            .chain(above)
            .filter_map(|id| kernel.track(*id))
            .collect();
        let is_step = |id: &ColumnId| self.is_step[id.0 as usize];
        let steps: Vec<ColumnId> = above.iter().copied().filter(is_step).collect();
        let before: Vec<Set> = steps.iter().map(|id| self.sets[id.0 as usize]).collect();
        let own = self.sets[id.0 as usize];
        let values = self.values(id, own);
        let is_series = book.words.get(id).series;
        let mut changed = if is_series {
            facts.clone()
        } else {
            Facts::default()
        };
        for (nth, value) in values.iter().enumerate() {
            let known = if is_series {
                changed.set(id, self.found(id, facts, *value));
                &changed
            } else {
                facts
            };
            self.sets[id.0 as usize] = *value;
            let mut run = Evaluation::resumed(book, known, std::mem::take(&mut self.sets));
            steps.iter().for_each(|id| run.settle(*id));
            self.sets = run.sets;
            kernel.try_value(nth, &tracks, &self.sets, tries);
        }
        self.sets[id.0 as usize] = own;
        let before = steps.iter().zip(before);
        before.for_each(|(id, set)| self.sets[id.0 as usize] = set);
        let weighed = rules.iter().map(|rule| {
            let settled = kernel.settled(*rule, values.len(), &self.sets, &self.run, tries);
            self.weights[*rule] * f64::from(settled)
        });
        let sum: f64 = weighed.sum();
        kernel.end_tries(&tracks, &self.run, tries);
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
            Set::Number(values) => {
                let numbers = self.numbers(id, values).into_iter();
                return numbers.map(|x| Set::Number(Interval::point(x))).collect();
            }
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

    /// A number in every bucket of the thresholds, as far as they are not too many, or some spread evenly where there is
    /// no threshold.
    fn numbers(&self, id: ColumnId, values: Interval) -> Vec<f64> {
        let cuts = self.book.kernel.cuts(id);
        let first = cuts.partition_point(|cut| *cut <= values.lo);
        let last = cuts.partition_point(|cut| *cut < values.hi);
        let mut ends = cuts[first..last.max(first)].to_vec();
        let smallest = self.book.words.get(id).smallest;
        if let Some(mark) = smallest.filter(|mark| values.lo < *mark && *mark < values.hi) {
            let at = ends.partition_point(|cut| *cut < mark);
            if ends.get(at) != Some(&mark) {
                ends.insert(at, mark);
            }
        }
        let finite = |x: f64| x.clamp(-1e15, 1e15);
        let (low, high) = (finite(values.lo), finite(values.hi));
        if ends.is_empty() {
            let part = |nth| low + (high - low) * f64::from(nth) / 7.0;
            return (0..8).map(part).collect();
        }
        let end = |nth: usize| ends.get(nth).copied().unwrap_or(high);
        let number = |nth: usize| match (nth / 2, nth % 2) {
            (at, 1) => end(at),
            (0, _) => (low + end(0)) / 2.0,
            (at, _) => (end(at - 1) + end(at)) / 2.0,
        };
        let count = 2 * ends.len() + 1;
        let step = count.div_ceil(TRIED);
        (0..count).step_by(step).map(number).collect()
    }

    fn rule(&self, target: u32) -> &'a str {
        self.rules[target as usize]
    }

    fn fact(&self, id: ColumnId) -> &'a str {
        self.facts[id.0 as usize]
    }
}

/// For every column the steps of a book that rest on it, however far below.
fn above(book: &Book) -> Vec<Vec<u32>> {
    let mut above: Vec<Vec<u32>> = vec![Vec::new(); book.ranges.len()];
    let steps = || book.worked.iter().zip(&book.below).enumerate();
    for (index, above) in above.iter_mut().enumerate() {
        let mut rests = vec![false; book.ranges.len()];
        rests[index] = true;
        for (at, (step, below)) in steps() {
            if below.iter().any(|below| rests[below.0 as usize]) {
                rests[step.id().0 as usize] = true;
                above.push(at as u32);
            }
        }
    }
    above
}
