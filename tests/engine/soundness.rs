//! A definite answer over a set of possible values is the answer at every point of it.

use lentic::engine::{
    Book, Evaluation, Facts, File, GateVerdict, Given, Interval, NO, Reading, Set, Verdict, YES,
};

use super::{FUNCTIONS, TODAY, files, oven};

/// Small, and the same everywhere: Marsaglia's xorshift with 64 bits, Journal of Statistical Software 8(14), 2003.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn one_in(&mut self, count: usize) -> bool {
        self.below(count) == 0
    }
}

/// Numbers that thresholds of the book are near to, in main units, so that boxes often end on one.
const EDGES: [f64; 20] = [
    0.0,
    0.02,
    0.05,
    0.1,
    0.5,
    1.0,
    1.5,
    4.0,
    5.0,
    20.0,
    3.0,
    150.0,
    180.0,
    200.0,
    210.0,
    230.0,
    250.0,
    280.0,
    320.0,
    3.9337100000000005,
];

fn number(chance: &mut Chance, range: Interval) -> f64 {
    let edge = EDGES[chance.below(EDGES.len())];
    if chance.one_in(3) && edge >= range.lo && edge <= range.hi {
        return edge;
    }
    range.lo + (range.hi - range.lo) * chance.share().powi(2)
}

fn interval(chance: &mut Chance, range: Interval) -> Interval {
    let (a, b) = (number(chance, range), number(chance, range));
    if chance.one_in(3) {
        Interval::point(a)
    } else {
        Interval::between(a, b)
    }
}

/// A set of possible values within a whole range.
fn part(chance: &mut Chance, range: Set) -> Set {
    match range {
        Set::Number(all) => Set::Number(interval(chance, all)),
        Set::Choice(all) => loop {
            let some = chance.next() as u128 & all;
            if some != 0 {
                break Set::Choice(some);
            }
        },
        Set::Several { maybe, .. } => {
            let maybe = chance.next() as u128 & maybe;
            Set::Several {
                surely: maybe & chance.next() as u128,
                maybe,
            }
        }
    }
}

/// One value of those that a set allows; or, one time in four, a smaller set of them.
fn narrowed(chance: &mut Chance, set: Set, to_point: bool) -> Set {
    match set {
        Set::Number(values) if !to_point => Set::Number(interval(chance, values)),
        Set::Number(values) => Set::Number(Interval::point(number(chance, values))),
        Set::Choice(all) => {
            let count = all.count_ones() as usize;
            let wanted = chance.below(count);
            let bit = (0..128)
                .filter(|bit| all >> bit & 1 == 1)
                .nth(wanted)
                .unwrap();
            Set::Choice(1 << bit)
        }
        Set::Several { surely, maybe } => {
            let some = surely | (maybe & chance.next() as u128);
            Set::Several {
                surely: some,
                maybe: some,
            }
        }
    }
}

fn day(chance: &mut Chance) -> f64 {
    TODAY - chance.below(6) as f64 - 0.25 * chance.below(4) as f64
}

fn reading(chance: &mut Chance, day: f64, values: Interval, has_mark: bool) -> Reading {
    Reading {
        day,
        values,
        nominal: values.lo,
        mark: has_mark.then(|| if chance.one_in(2) { 0.1 } else { 0.2 }),
        typed: "typed".to_owned(),
    }
}

/// Random facts for the book: some unknown, some known, some in between; series with up to four readings.
fn facts(chance: &mut Chance, book: &Book) -> Facts {
    let empty = Facts::default();
    let blank = book.evaluate(&empty);
    let mut facts = Facts::default();
    facts.give(
        book,
        "today",
        Given::new(Set::Number(Interval::point(TODAY))),
    );
    for info in book.facts() {
        if info.name == "today" || chance.one_in(4) {
            continue;
        }
        let range = match blank.values(&info.name).unwrap() {
            Set::Number(_) if info.kind == "date" => Set::Number(Interval {
                lo: TODAY - 10.0,
                hi: TODAY,
            }),
            range => range,
        };
        let mut given = Given::new(part(chance, range));
        if let ("series", Set::Number(all)) = (info.kind.as_str(), range) {
            let mut days: Vec<f64> = (0..1 + chance.below(4)).map(|_| day(chance)).collect();
            days.sort_by(f64::total_cmp);
            for day in days {
                let values = interval(chance, all);
                given
                    .readings
                    .push(reading(chance, day, values, info.smallest.is_some()));
            }
            given.set = Set::Number(given.readings.last().unwrap().values);
        }
        facts.give(book, &info.name, given);
    }
    facts
}

/// The same facts, known more closely or to the point.
fn closer(chance: &mut Chance, book: &Book, facts: &Facts, to_point: bool) -> Facts {
    let run = book.evaluate(facts);
    let mut closer = Facts::default();
    for info in book.facts() {
        let given = match facts.given(book, &info.name) {
            Some(given) => given.clone(),
            // What works itself out may also be left to do so.
            None if chance.one_in(2) => continue,
            None => Given::new(run.values(&info.name).unwrap()),
        };
        let mut narrow = Given::new(narrowed(chance, given.set, to_point));
        for reading in &given.readings {
            let Set::Number(values) = narrowed(chance, Set::Number(reading.values), to_point)
            else {
                unreachable!()
            };
            narrow.readings.push(Reading {
                values,
                ..reading.clone()
            });
        }
        if let Some(latest) = narrow.readings.last() {
            narrow.set = Set::Number(latest.values);
        }
        closer.give(book, &info.name, narrow);
    }
    closer
}

fn lies_within(inner: Set, outer: Set) -> bool {
    match (inner, outer) {
        (Set::Number(a), Set::Number(b)) => a.lo >= b.lo && a.hi <= b.hi,
        (Set::Choice(a), Set::Choice(b)) => a & !b == 0,
        (
            Set::Several {
                surely: a,
                maybe: b,
            },
            Set::Several {
                surely: c,
                maybe: d,
            },
        ) => c & !a == 0 && b & !d == 0,
        _ => false,
    }
}

const NAMES: [&str; 13] = [
    "oven-heat",
    "loaf-mass",
    "wanted-heat",
    "days-lit",
    "spare-heat",
    "heat-drop",
    "hydration",
    "crumb",
    "leaven-share",
    "proof-time",
    "speed",
    "sour",
    "well-made",
];

/// Nothing that was certain of the whole is denied by a part of it.
fn agrees(whole: &Evaluation<'_>, part: &Evaluation<'_>, book: &Book) -> Result<(), String> {
    for rule in book.rules() {
        let (before, after) = (
            whole.rule(&rule.rule).unwrap(),
            part.rule(&rule.rule).unwrap(),
        );
        if before != Verdict::Open && before != after {
            return Err(format!("{}: {before:?}, then {after:?}", rule.rule));
        }
    }
    for gate in book.gate_names() {
        let (before, after) = (
            whole.gate_verdict(gate).unwrap(),
            part.gate_verdict(gate).unwrap(),
        );
        let kept = match before {
            GateVerdict::CannotTell => true,
            // A bar that was open may close what was waiting.
            GateVerdict::NotYet => matches!(after, GateVerdict::NotYet | GateVerdict::No),
            _ => before == after,
        };
        if !kept {
            return Err(format!("{gate}: {before:?}, then {after:?}"));
        }
    }
    for name in NAMES {
        let (outer, inner) = (whole.values(name).unwrap(), part.values(name).unwrap());
        if !lies_within(inner, outer) {
            return Err(format!("{name}: {inner:?} does not lie within {outer:?}"));
        }
    }
    Ok(())
}

#[test]
fn no_point_contradicts_what_was_certain_of_the_box_around_it() {
    let (book, chance) = (oven(), &mut Chance(0x5EED_0001));
    let mut decided = [0; 3];
    for round in 0..1_000 {
        let facts = facts(chance, book);
        let whole = book.evaluate(&facts);
        for rule in book.rules() {
            decided[whole.rule(&rule.rule).unwrap() as usize] += 1;
        }
        for step in 0..6 {
            let inside = closer(chance, book, &facts, step > 1);
            let part = book.evaluate(&inside);
            if let Err(wrong) = agrees(&whole, &part, book) {
                panic!("round {round}, step {step}: {wrong}\n{facts:#?}\n{inside:#?}");
            }
        }
    }
    assert!(
        decided.iter().all(|count| *count > 500),
        "fails, open, holds: {decided:?}"
    );
}

#[test]
fn narrowing_step_by_step_only_ever_decides() {
    let (book, chance) = (oven(), &mut Chance(0x5EED_0002));
    for _ in 0..300 {
        let mut known = facts(chance, book);
        for step in 0..4 {
            let next = closer(chance, book, &known, step == 3);
            let (whole, part) = (book.evaluate(&known), book.evaluate(&next));
            agrees(&whole, &part, book)
                .unwrap_or_else(|wrong| panic!("{wrong}\n{known:#?}\n{next:#?}"));
            known = next;
        }
    }
}

/// Files in another order, and the blocks of each file, too.
fn shuffled(chance: &mut Chance) -> Vec<File> {
    fn shuffle<T>(chance: &mut Chance, list: &mut [T]) {
        (1..list.len())
            .rev()
            .for_each(|at| list.swap(at, chance.below(at + 1)));
    }
    let mut files = files();
    for file in &mut files {
        let mut blocks: Vec<&str> = file
            .text
            .split("\n\n")
            .map(|block| block.trim_end_matches('\n'))
            .collect();
        shuffle(chance, &mut blocks);
        file.text = blocks.join("\n\n") + "\n";
    }
    shuffle(chance, &mut files);
    files
}

#[test]
fn the_order_of_files_and_blocks_changes_no_verdict() {
    let chance = &mut Chance(0x5EED_0003);
    for _ in 0..20 {
        let book = Book::load(shuffled(chance), &FUNCTIONS)
            .unwrap_or_else(|mistakes| panic!("{mistakes}"));
        for _ in 0..10 {
            let mut seed = Chance(chance.next());
            let own = facts(&mut seed, oven());
            let other = carried(oven(), &own, &book);
            let (a, b) = (oven().evaluate(&own), book.evaluate(&other));
            for rule in book.rules() {
                assert_eq!(a.rule(&rule.rule), b.rule(&rule.rule), "{}", rule.rule);
            }
            assert_eq!(a.gate_verdict("load-oven"), b.gate_verdict("load-oven"));
            for name in NAMES {
                assert_eq!(a.values(name), b.values(name), "{name}");
            }
            assert_eq!(sorted(&a), sorted(&b));
        }
    }
}

/// The same facts for another book with the same vocabulary.
fn carried(from: &Book, facts: &Facts, to: &Book) -> Facts {
    let mut carried = Facts::default();
    for info in from.facts() {
        if let Some(given) = facts.given(from, &info.name) {
            carried.give(to, &info.name, given.clone());
        }
    }
    carried
}

/// What is advised and what is set aside, without the order in which the book has it.
fn sorted(run: &Evaluation<'_>) -> (Vec<String>, Vec<String>) {
    let answer = run.answer();
    let mut advice: Vec<String> = answer
        .advice
        .iter()
        .map(|point| format!("{} {}", point.rule, point.say))
        .collect();
    let mut aside: Vec<String> = answer
        .set_aside
        .iter()
        .map(|aside| aside.advice.rule.clone())
        .collect();
    advice.sort();
    aside.sort();
    (advice, aside)
}

#[test]
fn the_sampler_meets_both_sides_of_a_truth() {
    let (book, chance) = (oven(), &mut Chance(0x5EED_0004));
    let mut met = [false; 3];
    for _ in 0..300 {
        let facts = facts(chance, book);
        match book.evaluate(&facts).values("well-made") {
            Some(Set::Choice(YES)) => met[0] = true,
            Some(Set::Choice(NO)) => met[1] = true,
            _ => met[2] = true,
        }
    }
    assert_eq!(met, [true; 3]);
}
