//! A list of plants and animals against the tank and against each other, and in which order animals come.
//!
//! Everything is asked of the book: `fit-of` says what is matched, the rules that then speak and are silent in daily
//! advice are the answer.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::{
    AdvicePoint, Book, Evaluation, Facts, GateAnswer, Given, Interval, ListingCell, Set, SourceRef,
    Urgency, Verdict, arrange,
};
use crate::journal::{Date, Event, Journal, Mistake, Mistakes};

use super::document::{BookRef, Question};
use super::names::*;
use super::phrases::{MEANT, NO_SUCH_KIND};
use super::{book_ref, known, life};

/// A plant or animal that a keeper wants, by its name in the book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wish {
    /// As in `neon-tetra`.
    pub species: String,
    /// How many more are to come.
    pub count: u32,
}

/// A fact that would settle something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Wants {
    /// The fact.
    pub fact: String,
    /// Its label.
    pub label: String,
    /// The question to ask; empty where nobody but the book could tell, since its list leaves it open.
    pub ask: String,
}

/// A rule that cannot be decided yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Unsure {
    /// The rule.
    pub rule: String,
    /// How soon its advice would be.
    pub urgency: Urgency,
    /// What it would say to do.
    pub say: String,
    /// The facts that could decide it.
    pub wants: Vec<Wants>,
}

/// One plant or animal and the tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct SpeciesFit {
    /// Its name in the book.
    pub species: String,
    /// Its label.
    pub label: String,
    /// Whether it is an animal; else it is a plant.
    pub is_animal: bool,
    /// How many there would be. Plants are not counted.
    pub count: u32,
    /// How many of these are in the tank already; for a plant 1 if it is.
    pub in_tank: u32,
    /// What the book tells of it.
    pub told: Vec<ListingCell>,
    /// Where that comes from.
    pub sources: Vec<SourceRef>,
    /// The overlay that tells it, or empty.
    pub by: String,
    /// That overlay's reason, or empty.
    pub reason: String,
    /// What clashes with the tank, most urgent first.
    pub clashes: Vec<AdvicePoint>,
    /// What cannot be told yet.
    pub unsure: Vec<Unsure>,
}

/// Two of them and each other.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct PairFit {
    /// The one that stands first in the book.
    pub first: String,
    /// Its label.
    pub first_label: String,
    /// The other.
    pub second: String,
    /// Its label.
    pub second_label: String,
    /// What clashes, most urgent first.
    pub clashes: Vec<AdvicePoint>,
    /// What cannot be told yet.
    pub unsure: Vec<Unsure>,
}

/// Some animals that come at once.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct AddingStep {
    /// The animal.
    pub species: String,
    /// Its label.
    pub label: String,
    /// How many.
    pub count: u32,
    /// Why it comes now: its turn, in words.
    pub turn: String,
    /// The gate that must be open.
    pub gate: String,
    /// Least days after the step before; none for the first.
    pub days_after: Option<f64>,
    /// Whether something about it clashes, which must be settled first.
    pub clashes: bool,
}

/// What fits a tank and what does not.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct Fit {
    /// `lentic-fit/1`.
    pub format: String,
    /// The day.
    pub date: String,
    /// What the keeper calls the tank, or empty.
    pub tank: String,
    /// The book.
    pub book: BookRef,
    /// Every plant and animal that is in the tank or wanted, animals first, in the order of the book.
    pub species: Vec<SpeciesFit>,
    /// How many pairs were looked at.
    pub pairs_looked_at: usize,
    /// Those of which there is something to say.
    pub pairs: Vec<PairFit>,
    /// In which order and in what numbers the wanted animals come.
    pub steps: Vec<AddingStep>,
    /// Wanted animals that are not for this tank at all.
    pub never: Vec<String>,
    /// The answers today of the gates that the steps name.
    pub gates: Vec<GateAnswer>,
    /// Entries of the journal to be asked about.
    pub questions: Vec<Question>,
}

/// What is matched with the tank.
struct Candidate {
    name: String,
    is_animal: bool,
    /// Its place in the book.
    place: u32,
    set: Set,
    in_tank: u32,
    wanted: u32,
}

/// Matches what is in the tank on the day `on`, and what is wanted besides, with the tank and with each other.
///
/// # Errors
/// As for [`advise`](super::advise); the place of a wish that the book does not know is `with[0]`, `with[1]` and so on.
pub fn fit(book: &Book, journal: &Journal, on: Date, with: &[Wish]) -> Result<Fit, Mistakes> {
    let known = known(book, journal, on)?;
    let events = journal.events.iter().filter(|event| event.on <= on);
    let candidates = candidates(book, &events.collect::<Vec<_>>(), with)?;
    let daily = book.evaluate(&known.facts);
    let matcher = Matcher {
        book,
        facts: &known.facts,
        rules: silent(book, &daily),
    };
    let species: Vec<SpeciesFit> = candidates.iter().map(|one| matcher.alone(one)).collect();
    let (pairs_looked_at, pairs) = matcher.pairs(&candidates);
    let clashing = |name: &str| {
        let alone = species.iter().filter(|one| one.species == name);
        let paired = pairs
            .iter()
            .filter(|pair| pair.first == name || pair.second == name);
        let mut points = alone
            .flat_map(|one| &one.clashes)
            .chain(paired.flat_map(|pair| &pair.clashes));
        points.any(|point| point.urgency != Urgency::Note)
    };
    let (steps, never) = matcher.steps(&candidates, &clashing);
    let mut gates = daily.gates();
    gates.retain(|gate| steps.iter().any(|step| step.gate == gate.gate));
    Ok(Fit {
        format: "lentic-fit/1".into(),
        date: on.to_string(),
        tank: journal.name.clone().unwrap_or_default(),
        book: book_ref(book),
        pairs_looked_at,
        pairs,
        steps,
        never,
        gates,
        species,
        questions: known.questions,
    })
}

/// What is in the tank and what is wanted, animals first, in the order of the book; so the order of a wish list is
/// forgotten here.
fn candidates(book: &Book, events: &[&Event], with: &[Wish]) -> Result<Vec<Candidate>, Mistakes> {
    let mut found: BTreeMap<(bool, u32), Candidate> = BTreeMap::new();
    let mut add = |name: &str, in_tank: u32, wanted: u32| -> bool {
        let Some((is_animal, place, set)) = placed(book, name) else {
            return false;
        };
        let one = found.entry((!is_animal, place)).or_insert(Candidate {
            name: name.to_owned(),
            is_animal,
            place,
            set,
            in_tank: 0,
            wanted: 0,
        });
        one.in_tank = one.in_tank.saturating_add(in_tank);
        one.wanted = one.wanted.saturating_add(wanted);
        true
    };
    for (name, count) in life::animals_in_tank(events) {
        add(name, count, 0);
    }
    for name in life::plants_in_tank(events) {
        add(name, 1, 0);
    }
    let mut mistakes = Vec::new();
    for (at, wish) in with.iter().enumerate() {
        if !add(&wish.species, 0, wish.count) {
            mistakes.push(unknown(book, at, &wish.species));
        }
    }
    if mistakes.is_empty() {
        Ok(found.into_values().collect())
    } else {
        Err(mistakes.into())
    }
}

/// Whether a name is that of an animal, its place in the book, and the choice it stands for.
fn placed(book: &Book, name: &str) -> Option<(bool, u32, Set)> {
    [(true, ANIMAL_SPECIES), (false, PLANT_SPECIES)]
        .into_iter()
        .find_map(|(is_animal, fact)| match book.enter(fact, name).ok()?.set {
            Set::Choice(mask) if mask.count_ones() == 1 => {
                Some((is_animal, mask.trailing_zeros(), Set::Choice(mask)))
            }
            _ => None,
        })
}

fn unknown(book: &Book, at: usize, name: &str) -> Mistake {
    let both = [ANIMAL_SPECIES, PLANT_SPECIES];
    let near = both.iter().find_map(|fact| book.nearest_option(fact, name));
    Mistake {
        place: format!("with[{at}]"),
        message: book.say(&NO_SUCH_KIND, [name]),
        hint: near.map(|near| book.say(&MEANT, [near])),
    }
}

/// The rules that do not speak while nothing is matched.
fn silent(book: &Book, daily: &Evaluation<'_>) -> Vec<String> {
    let rules = book.rules().into_iter().map(|rule| rule.rule);
    rules
        .filter(|rule| daily.rule(rule) == Some(Verdict::Fails))
        .collect()
}

/// What the rules say of one match: what clashes and what cannot be told.
#[derive(Default)]
struct Told {
    clashes: Vec<AdvicePoint>,
    unsure: BTreeMap<String, Unsure>,
}

impl Told {
    fn sorted(mut self) -> (Vec<AdvicePoint>, Vec<Unsure>) {
        arrange(&mut self.clashes, |a, b| a.urgency.cmp(&b.urgency));
        let mut unsure: Vec<Unsure> = self.unsure.into_values().collect();
        arrange(&mut unsure, |a, b| a.urgency.cmp(&b.urgency));
        (self.clashes, unsure)
    }
}

struct Matcher<'a> {
    book: &'a Book,
    facts: &'a Facts,
    /// The rules that may speak in a match.
    rules: Vec<String>,
}

impl Matcher<'_> {
    /// The facts of a match, with some choices given.
    fn with(&self, of: &str, given: &[(&str, Set)]) -> Facts {
        let mut facts = self.facts.clone();
        if let Ok(entered) = self.book.enter(FIT_OF, of) {
            facts.give(self.book, FIT_OF, Given::new(entered.set));
        }
        for (fact, set) in given {
            facts.give(self.book, fact, Given::new(*set));
        }
        facts
    }

    fn ask(&self, facts: &Facts, told: &mut Told) {
        let run = self.book.evaluate(facts);
        for rule in &self.rules {
            if run
                .rule(rule)
                .is_none_or(|verdict| verdict == Verdict::Fails)
            {
                continue;
            }
            let Some((verdict, point, _)) = run.rule_point(rule) else {
                continue;
            };
            if verdict == Verdict::Holds {
                told.clashes.push(point);
                continue;
            }
            let unsure = told.unsure.entry(rule.clone()).or_insert(Unsure {
                rule: rule.clone(),
                urgency: point.urgency,
                say: point.say,
                wants: Vec::new(),
            });
            let wants = point.wants.iter().map(|fact| self.wants(fact));
            unsure.wants.extend(wants);
            arrange(&mut unsure.wants, |a, b| a.fact.cmp(&b.fact));
            unsure.wants.dedup();
        }
    }

    fn wants(&self, fact: &str) -> Wants {
        Wants {
            fact: fact.to_owned(),
            label: self.book.label(fact).to_owned(),
            ask: self.book.question(fact).to_owned(),
        }
    }

    fn alone(&self, one: &Candidate) -> SpeciesFit {
        let count = one.in_tank.saturating_add(one.wanted);
        let facts = if one.is_animal {
            let number = Set::Number(Interval::point(f64::from(count)));
            self.with(
                FIT_OF_ANIMAL,
                &[(ANIMAL_SPECIES, one.set), (ANIMAL_COUNT, number)],
            )
        } else {
            self.with(FIT_OF_PLANT, &[(PLANT_SPECIES, one.set)])
        };
        let mut told = Told::default();
        self.ask(&facts, &mut told);
        let (clashes, unsure) = told.sorted();
        let fact = if one.is_animal {
            ANIMAL_SPECIES
        } else {
            PLANT_SPECIES
        };
        let listing = self.book.listing(fact, &one.name);
        let (told_of, sources, by, reason) = listing
            .map(|listing| (listing.cells, listing.sources, listing.by, listing.reason))
            .unwrap_or_default();
        SpeciesFit {
            species: one.name.clone(),
            label: self.label(one),
            is_animal: one.is_animal,
            count,
            in_tank: one.in_tank,
            told: told_of,
            sources,
            by,
            reason,
            clashes,
            unsure,
        }
    }

    fn label(&self, one: &Candidate) -> String {
        let fact = if one.is_animal {
            ANIMAL_SPECIES
        } else {
            PLANT_SPECIES
        };
        let listing = self.book.listing(fact, &one.name);
        listing.map_or_else(|| one.name.clone(), |listing| listing.label)
    }

    /// How many pairs there are, and those of which there is something to say.
    fn pairs(&self, candidates: &[Candidate]) -> (usize, Vec<PairFit>) {
        let mut looked_at = 0;
        let mut pairs = Vec::new();
        for (at, first) in candidates.iter().enumerate() {
            for second in &candidates[at + 1..] {
                looked_at += 1;
                let (clashes, unsure) = self.together(first, second).sorted();
                if clashes.is_empty() && unsure.is_empty() {
                    continue;
                }
                pairs.push(PairFit {
                    first: first.name.clone(),
                    first_label: self.label(first),
                    second: second.name.clone(),
                    second_label: self.label(second),
                    clashes,
                    unsure,
                });
            }
        }
        (looked_at, pairs)
    }

    /// Two of a sort are asked both ways round, since a rule says what the first does to the second.
    fn together(&self, first: &Candidate, second: &Candidate) -> Told {
        let ways = match (first.is_animal, second.is_animal) {
            (true, true) => {
                let way = |a: &Candidate, b: &Candidate| {
                    self.with(
                        FIT_OF_TWO_ANIMALS,
                        &[(ANIMAL_SPECIES, a.set), (OTHER_ANIMAL, b.set)],
                    )
                };
                vec![way(first, second), way(second, first)]
            }
            (false, false) => {
                let way = |a: &Candidate, b: &Candidate| {
                    self.with(
                        FIT_OF_TWO_PLANTS,
                        &[(PLANT_SPECIES, a.set), (OTHER_PLANT, b.set)],
                    )
                };
                vec![way(first, second), way(second, first)]
            }
            _ => {
                let (animal, plant) = if first.is_animal {
                    (first, second)
                } else {
                    (second, first)
                };
                let given = [(ANIMAL_SPECIES, animal.set), (PLANT_SPECIES, plant.set)];
                vec![self.with(FIT_OF_ANIMAL_AND_PLANT, &given)]
            }
        };
        let mut told = Told::default();
        ways.iter().for_each(|facts| self.ask(facts, &mut told));
        told
    }

    /// The steps in which the wanted animals come, and those that never should.
    fn steps(
        &self,
        candidates: &[Candidate],
        clashing: &dyn Fn(&str) -> bool,
    ) -> (Vec<AddingStep>, Vec<String>) {
        let wanted = candidates
            .iter()
            .filter(|one| one.is_animal && one.wanted > 0);
        let mut groups: Vec<Newcomers<'_>> = wanted.map(|one| self.newcomers(one)).collect();
        let never = self.option(ANIMAL_TURN, TURN_NEVER);
        let (out, mut coming): (Vec<_>, Vec<_>) = groups
            .drain(..)
            .partition(|group| never == Some(group.turn));
        arrange(&mut coming, |a, b| {
            let key = |group: &Newcomers<'_>| (group.turn, group.one.place);
            let waste = |group: &Newcomers<'_>| group.waste.hi;
            (a.turn.cmp(&b.turn))
                .then(waste(a).total_cmp(&waste(b)))
                .then(key(a).cmp(&key(b)))
        });
        let largest = self.largest_batch(&coming);
        let pause = self.pause();
        let mut steps: Vec<AddingStep> = Vec::new();
        for group in &coming {
            for count in group.batches(self.option(ANIMAL_TURN, TURN_CREW), largest) {
                steps.push(AddingStep {
                    species: group.one.name.clone(),
                    label: self.label(group.one),
                    count,
                    turn: group.turn_label.clone(),
                    gate: group.gate.clone(),
                    days_after: pause.filter(|_| !steps.is_empty()),
                    clashes: clashing(&group.one.name),
                });
            }
        }
        (
            steps,
            out.iter().map(|group| self.label(group.one)).collect(),
        )
    }

    fn newcomers<'c>(&self, one: &'c Candidate) -> Newcomers<'c> {
        let facts = self.with(FIT_OF_ANIMAL, &[(ANIMAL_SPECIES, one.set)]);
        let run = self.book.evaluate(&facts);
        // An animal of which the turn is not known takes the last that it may have.
        let turn = match run.values(ANIMAL_TURN) {
            Some(Set::Choice(mask)) => 127 - mask.leading_zeros().min(127),
            _ => 0,
        };
        let gate = run.values(ANIMAL_GATE);
        let named = |name: &&&str| {
            self.book
                .enter(ANIMAL_GATE, name)
                .is_ok_and(|entered| Some(entered.set) == gate)
        };
        Newcomers {
            one,
            turn,
            turn_label: run
                .fact(ANIMAL_TURN)
                .map(|turn| turn.shown)
                .unwrap_or_default(),
            gate: self
                .book
                .gate_names()
                .iter()
                .find(named)
                .map(|name| (*name).to_owned())
                .unwrap_or_default(),
            waste: match run.values(ANIMAL_WASTE) {
                Some(Set::Number(waste)) => waste,
                _ => Interval::EVERYTHING,
            },
        }
    }

    /// The place of an option among those of its fact.
    fn option(&self, fact: &str, name: &str) -> Option<u32> {
        match self.book.enter(fact, name).ok()?.set {
            Set::Choice(mask) => Some(mask.trailing_zeros()),
            _ => None,
        }
    }

    /// How much waste may come at once, where the waste of all is known.
    fn largest_batch(&self, coming: &[Newcomers<'_>]) -> Option<f64> {
        let crew = self.option(ANIMAL_TURN, TURN_CREW);
        let fish = coming.iter().filter(|group| Some(group.turn) != crew);
        let all: f64 = fish
            .map(|group| group.waste.hi * f64::from(group.one.wanted))
            .sum();
        if !all.is_finite() {
            return None;
        }
        let mut facts = Facts::default();
        facts.give(
            self.book,
            PLANNED_WASTE,
            Given::new(Set::Number(Interval::point(all))),
        );
        match self.book.look_up(LARGEST_BATCH, &facts)? {
            Set::Number(largest) if largest.is_point() => Some(largest.lo),
            _ => None,
        }
    }

    fn pause(&self) -> Option<f64> {
        match self.book.look_up(BATCH_PAUSE, &Facts::default())? {
            Set::Number(days) if days.is_point() => Some(days.lo),
            _ => None,
        }
    }
}

/// Animals of one species that are to come.
struct Newcomers<'a> {
    one: &'a Candidate,
    /// Their turn; the lower the earlier.
    turn: u32,
    turn_label: String,
    gate: String,
    /// The waste of one of them.
    waste: Interval,
}

impl Newcomers<'_> {
    /// The numbers in which they come: as few batches as the largest allows, as even as can be, the larger first.
    fn batches(&self, crew: Option<u32>, largest: Option<f64>) -> Vec<u32> {
        let count = self.one.wanted;
        let whole = Some(self.turn) == crew || count < 2;
        let Some(largest) = largest.filter(|largest| !whole && *largest > 0.0) else {
            return vec![count];
        };
        let load = self.waste.hi * f64::from(count);
        // A hair over a whole number of batches comes from the division alone.
        let needed = libm::ceil(load / largest - 1e-9).clamp(1.0, f64::from(count)) as u32;
        let (each, more) = (count / needed, count % needed);
        (0..needed)
            .map(|batch| each + u32::from(batch < more))
            .collect()
    }
}
