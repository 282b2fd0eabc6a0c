//! The tables against the definition: thousands of random books and boxes of possible values.

#[path = "bench/sets.rs"]
mod sets;
#[path = "bench/synthetic.rs"]
mod synthetic;

use lentic::engine::{
    Book, Evaluation, Facts, File, Flip, Given, Interval, Judge, NO, Set, Turn, Verdict, YES,
};
use sets::{exactly, inside};
use synthetic::{Fact, Kind, Model, Random, Shape, TOP};

const STEP: f64 = 2.5;

fn shape(random: &mut Random, pairs: usize, derived: bool) -> Shape {
    Shape {
        rules: [1, 3, 20, 70, 150][random.below(5)],
        numbers: 1 + random.below(5),
        choices: random.below(3),
        truths: random.below(2),
        several: random.below(2),
        derived: if derived { random.below(4) } else { 0 },
        pairs,
        step: STEP,
        trees: 25,
        conditions: (1, 3),
        depth: 2,
    }
}

#[track_caller]
fn load(text: String) -> Book {
    Book::load(vec![File::new("synthetic.rules", text)], &[])
        .unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn whole(kind: Kind) -> Set {
    match kind {
        Kind::Number => Set::Number(Interval { lo: 0.0, hi: TOP }),
        Kind::Truth => Set::Choice(YES | NO),
        Kind::Choice(count) => Set::Choice((1 << count) - 1),
        Kind::Several(count) => Set::Several {
            surely: 0,
            maybe: (1 << count) - 1,
        },
    }
}

/// A set of possible values: a point, a part of the range, or all of it.
fn possible(fact: &Fact, random: &mut Random) -> Set {
    let point =
        |random: &mut Random| random.below((TOP / STEP) as usize * 2 + 1) as f64 * STEP / 2.0;
    if random.chance(15) {
        return whole(fact.kind);
    }
    match fact.kind {
        Kind::Number => {
            let (a, b) = (point(random), point(random));
            Set::Number(if random.chance(50) {
                Interval::point(a)
            } else {
                Interval::between(a, b)
            })
        }
        Kind::Truth => Set::Choice(1 << random.below(2)),
        Kind::Choice(count) => Set::Choice(1 + random.below((1 << count) - 1) as u128),
        Kind::Several(count) => {
            let maybe = random.below(1 << count) as u128;
            Set::Several {
                surely: maybe & random.next() as u128,
                maybe,
            }
        }
    }
}

fn facts(book: &Book, model: &Model, sets: &[Set]) -> Facts {
    let mut facts = Facts::default();
    for (index, set) in sets.iter().enumerate() {
        let fact = model.fact(index);
        if *set != whole(fact.kind) || index >= model.facts.len() {
            assert!(facts.give(book, &fact.name, Given::new(*set)));
        }
    }
    facts
}

fn boxed(model: &Model, random: &mut Random) -> Vec<Set> {
    model
        .facts
        .iter()
        .map(|fact| possible(fact, random))
        .collect()
}

#[test]
fn tables_give_what_the_rows_give_and_no_point_contradicts() {
    let mut random = Random(1);
    for _ in 0..250 {
        let shape = shape(&mut random, 8, true);
        let model = Model::new(shape, &mut random);
        let book = load(model.text_of_book());
        for _ in 0..5 {
            let sets = boxed(&model, &mut random);
            let facts = facts(&book, &model, &sets);
            let run = book.evaluate(&facts);
            agrees_with_rows(&model, &run);
            let points: Vec<Vec<f64>> = (0..3)
                .map(|_| sets.iter().map(|set| inside(*set, &mut random)).collect())
                .collect();
            never_contradicted(&model, &run, &points);
        }
    }
}

fn agrees_with_rows(model: &Model, run: &Evaluation<'_>) {
    for rule in &model.rules {
        let tables = run.rule(&rule.name);
        assert_eq!(
            tables,
            run.rule_by_rows(&rule.name),
            "{}",
            model.rule_text(rule)
        );
        let tree = run.rule_by_conditions(&rule.name);
        let decided = tree == Some(Verdict::Open) || tree == tables;
        assert!(
            decided,
            "{tables:?} but {tree:?}: {}",
            model.rule_text(rule)
        );
    }
}

fn never_contradicted(model: &Model, run: &Evaluation<'_>, points: &[Vec<f64>]) {
    for point in points {
        let values = model.complete(point);
        for rule in &model.rules {
            match run.rule(&rule.name).unwrap() {
                Verdict::Holds => assert!(rule.holds(&values), "{}", model.rule_text(rule)),
                Verdict::Fails => assert!(!rule.holds(&values), "{}", model.rule_text(rule)),
                Verdict::Open => {}
            }
        }
    }
}

#[test]
fn a_judge_that_is_used_again_gives_the_same_and_says_what_leaves_a_rule_open() {
    let mut random = Random(2);
    for _ in 0..60 {
        let shape = shape(&mut random, 8, true);
        let model = Model::new(shape, &mut random);
        let book = load(model.text_of_book());
        let mut judge = Judge::of(&book);
        for _ in 0..8 {
            let facts = facts(&book, &model, &boxed(&model, &mut random));
            let run = book.evaluate(&facts);
            judge.run(&facts);
            for (place, rule) in model.rules.iter().enumerate() {
                assert_eq!(Some(judge.verdicts()[place]), run.rule(&rule.name));
                let reasons: Vec<&str> = judge.reasons(place).collect();
                let open = judge.verdicts()[place] == Verdict::Open;
                assert_eq!(open, !reasons.is_empty(), "{}", model.rule_text(rule));
                for reason in reasons {
                    assert!(
                        run.values(reason).is_none_or(|set| !set.is_known()),
                        "{reason}"
                    );
                }
            }
            for ground in judge.grounds().collect::<Vec<_>>() {
                let verdict = run.rule(ground.rule).unwrap();
                assert!(verdict <= ground.verdict, "{ground:?}");
                assert!(
                    ground.verdict == Verdict::Open || ground.margin >= 0.0,
                    "{ground:?}"
                );
            }
        }
    }
}

/// Every single change of a fact, from the nearest downwards, then upwards, then each option.
fn changes(kind: Kind, set: Set) -> Vec<Vec<(Set, f64)>> {
    let choice = |count: usize| {
        let option = |place: usize| (Set::Choice(1 << place), place as f64);
        (0..count).map(|place| vec![option(place)]).collect()
    };
    match (kind, set) {
        (Kind::Number, Set::Number(values)) => {
            // Half steps stand for the values between two thresholds.
            let all: Vec<f64> = (-80..=160).map(|n| f64::from(n) * STEP / 2.0).collect();
            let point = |x: &f64| (Set::Number(Interval::point(*x)), *x);
            let down = all
                .iter()
                .rev()
                .filter(|x| **x < values.lo)
                .map(point)
                .collect();
            let up = all.iter().filter(|x| **x > values.hi).map(point).collect();
            vec![down, up]
        }
        (Kind::Truth, _) => choice(2),
        (Kind::Choice(count), _) => choice(count),
        (Kind::Several(count), Set::Several { surely, maybe }) => (0..count)
            .flat_map(|place| {
                let option = 1 << place;
                let with = Set::Several {
                    surely: surely | option,
                    maybe: maybe | option,
                };
                let without = Set::Several {
                    surely: surely & !option,
                    maybe: maybe & !option,
                };
                [vec![(with, f64::NAN)], vec![(without, f64::NAN)]]
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Whether a flip says that this change, the `way`th of its fact, is the nearest.
fn is_told(flip: &Flip<'_>, way: usize, value: f64) -> bool {
    // A value between two thresholds stands half a step off.
    let between = |limit: f64| (limit - value).abs() == STEP / 2.0;
    match flip.turn {
        Turn::Down { value: v, reached } => {
            way == 0 && (v == value && reached || between(v) && !reached)
        }
        Turn::Up { value: v, reached } => {
            way == 1 && (v == value && reached || between(v) && !reached)
        }
        Turn::Option(option) => way == usize::from(option),
        Turn::With(option) => way == 2 * usize::from(option),
        Turn::Without(option) => way == 2 * usize::from(option) + 1,
    }
}

#[test]
fn flips_are_confirmed_and_complete() {
    let mut random = Random(3);
    let mut told = 0;
    for round in 0..120 {
        let shape = Shape {
            rules: 1 + random.below(40),
            ..shape(&mut random, 0, true)
        };
        let mut model = Model::new(shape, &mut random);
        // A condition with very many ways to hold becomes a fact of its own, and moves with those it looks at.
        model
            .rules
            .retain(|rule| facts_named(&rule.conditions).len() <= 8);
        let book = load(model.text_of_book());
        let mut sets = boxed(&model, &mut random);
        if round % 2 == 0 {
            let point = model.point(&mut random, STEP);
            sets = (0..sets.len())
                .map(|at| exactly(model.facts[at].kind, point[at]))
                .collect();
        }
        // Derived facts are given as they are, so that each changes by itself.
        let base = facts(&book, &model, &sets);
        let run = book.evaluate(&base);
        sets.extend(
            model
                .derived
                .iter()
                .map(|(fact, _)| run.values(&fact.name).unwrap()),
        );
        told += flips_of(&book, &model, &sets);
    }
    assert!(told > 1_000, "only {told} flips");
}

fn flips_of(book: &Book, model: &Model, sets: &[Set]) -> usize {
    let all = facts(book, model, sets);
    let mut judge = Judge::of(book);
    let now = judge.run(&all).clone();
    let flips: Vec<Flip<'_>> = judge.flips().iter().collect();
    let mut unconfirmed = flips.clone();
    let mut other = Judge::of(book);
    for (index, set) in sets.iter().enumerate() {
        let fact = model.fact(index);
        for (way, steps) in changes(fact.kind, *set).into_iter().enumerate() {
            let mut turned = vec![false; model.rules.len()];
            for (to, value) in steps {
                if index < model.facts.len() && !(value.is_nan() || (0.0..=TOP).contains(&value)) {
                    continue;
                }
                let mut changed = all.clone();
                changed.give(book, &fact.name, Given::new(to));
                let then = other.run(&changed);
                for (place, rule) in model.rules.iter().enumerate() {
                    let opposite = now[place].not() == then[place] && then[place] != Verdict::Open;
                    if !opposite || std::mem::replace(&mut turned[place], true) {
                        continue;
                    }
                    let same = |flip: &&Flip<'_>| flip.rule == rule.name && flip.fact == fact.name;
                    let found = flips
                        .iter()
                        .filter(same)
                        .any(|flip| is_told(flip, way, value));
                    unconfirmed.retain(|flip| !(same(&flip) && is_told(flip, way, value)));
                    let text = model.rule_text(rule);
                    assert!(
                        found,
                        "{} {set:?} to {value} {to:?} by {flips:?}\n{text}",
                        fact.name
                    );
                }
            }
        }
    }
    if let Some(flip) = unconfirmed.first() {
        let rule = model.rules.iter().find(|rule| rule.name == flip.rule);
        let text = model.rule_text(rule.unwrap());
        panic!("no change confirms {flip:?} from {sets:?}\n{text}");
    }
    flips.len()
}

#[test]
fn the_worth_of_a_fact_is_the_average_over_its_buckets() {
    let mut random = Random(4);
    let mut compared = 0;
    for _ in 0..60 {
        let shape = Shape {
            rules: 30,
            numbers: 4 + random.below(4),
            ..shape(&mut random, 0, false)
        };
        let mut model = Model::new(shape, &mut random);
        // Where a rule names a fact twice, some of its thresholds may play no part and part no buckets.
        model
            .rules
            .retain(|rule| names_each_fact_once(&rule.conditions));
        let book = load(model.text_of_book());
        let sets = boxed(&model, &mut random);
        let base = facts(&book, &model, &sets);
        let mut judge = Judge::of(&book);
        let worths = judge.next(&base);
        let now = judge.run(&base).clone();
        for (index, fact) in model.facts.iter().enumerate() {
            let values = representatives(&model, index, sets[index]);
            let mut sum = 0.0;
            for value in &values {
                let mut changed = base.clone();
                changed.give(&book, &fact.name, Given::new(exactly(fact.kind, *value)));
                let then = judge.run(&changed);
                for (place, rule) in model.rules.iter().enumerate() {
                    if now[place] == Verdict::Open && then[place] != Verdict::Open {
                        sum += match rule.urgency {
                            "danger" => 8.0,
                            "today" => 4.0,
                            "soon" => 2.0,
                            _ => 1.0,
                        };
                    }
                }
            }
            let wanted = sum / values.len() as f64;
            let told = worths.iter().find(|worth| worth.fact == fact.name);
            let told = told.map_or(0.0, |worth| worth.settles);
            assert!(
                (told - wanted).abs() < 1e-9,
                "{}: {told} for {wanted}",
                fact.name
            );
            compared += usize::from(wanted > 0.0);
        }
    }
    assert!(compared > 100);
}

fn facts_named(conditions: &[synthetic::Condition]) -> Vec<usize> {
    let mut facts = Vec::new();
    conditions
        .iter()
        .for_each(|condition| condition.facts(&mut facts));
    facts
}

fn names_each_fact_once(conditions: &[synthetic::Condition]) -> bool {
    let mut facts = facts_named(conditions);
    let count = facts.len();
    facts.sort_unstable();
    facts.dedup();
    facts.len() == count
}

/// One value in each bucket of the rules' own thresholds.
fn representatives(model: &Model, index: usize, set: Set) -> Vec<f64> {
    match set {
        Set::Number(values) => {
            let mut cuts = Vec::new();
            model
                .rules
                .iter()
                .flat_map(|rule| &rule.conditions)
                .for_each(|c| limits(c, index, &mut cuts));
            cuts.sort_by(f64::total_cmp);
            cuts.dedup();
            let bucket = |x: f64| {
                2 * cuts.iter().filter(|cut| **cut < x).count() + usize::from(cuts.contains(&x))
            };
            let steps = (0..=80).map(|n| f64::from(n) * STEP / 2.0);
            let mut all: Vec<f64> = steps
                .filter(|x| values.lo <= *x && *x <= values.hi)
                .collect();
            all.dedup_by_key(|x| bucket(*x));
            all
        }
        Set::Choice(options) => (0..8)
            .filter(|o| options >> o & 1 == 1)
            .map(f64::from)
            .collect(),
        Set::Several { surely, maybe } => (0..32_u128)
            .filter(|bits| bits & surely == surely && bits & !maybe == 0)
            .map(|bits| bits as f64)
            .collect(),
    }
}

fn limits(condition: &synthetic::Condition, index: usize, cuts: &mut Vec<f64>) {
    use synthetic::Condition as C;
    match condition {
        C::Compare { fact, limit, .. } if *fact == index => cuts.push(*limit),
        C::Within { fact, low, high } if *fact == index => cuts.extend([*low, *high]),
        C::All(parts) | C::Any(parts) => parts.iter().for_each(|part| limits(part, index, cuts)),
        C::Not(inner) => limits(inner, index, cuts),
        _ => {}
    }
}

#[test]
fn the_order_of_rules_and_files_changes_nothing() {
    let mut random = Random(5);
    for _ in 0..60 {
        let shape = shape(&mut random, 8, true);
        let model = Model::new(shape, &mut random);
        let book = load(model.text_of_book());
        let mut texts: Vec<String> = model
            .rules
            .iter()
            .map(|rule| model.rule_text(rule))
            .collect();
        (1..texts.len()).for_each(|at| texts.swap(at, random.below(at + 1)));
        let (first, second) = texts.split_at(texts.len() / 2);
        let files = vec![
            File::new("a.rules", first.concat()),
            File::new("b.rules", model.vocabulary()),
            File::new("c.rules", second.concat()),
        ];
        let other = Book::load(files, &[]).unwrap();
        for _ in 0..4 {
            let sets = boxed(&model, &mut random);
            let (here, there) = (facts(&book, &model, &sets), facts(&other, &model, &sets));
            let (here, there) = (book.evaluate(&here), other.evaluate(&there));
            for rule in &model.rules {
                assert_eq!(here.rule(&rule.name), there.rule(&rule.name));
            }
        }
    }
}

#[test]
fn renaming_changes_only_names() {
    let mut random = Random(6);
    for _ in 0..60 {
        let shape = shape(&mut random, 8, true);
        let mut model = Model::new(shape, &mut random);
        let book = load(model.text_of_book());
        let boxes: Vec<Vec<Set>> = (0..4).map(|_| boxed(&model, &mut random)).collect();
        let outcome = |book: &Book, model: &Model| -> Vec<_> {
            let mut judge = Judge::of(book);
            let of_box = |sets: &Vec<Set>| {
                let verdicts = judge.run(&facts(book, model, sets)).clone();
                let turns: Vec<Turn> = judge.flips().iter().map(|flip| flip.turn).collect();
                (verdicts, turns)
            };
            boxes.iter().map(of_box).collect()
        };
        let before = outcome(&book, &model);
        let count = model.facts.len();
        for (at, fact) in model.facts.iter_mut().enumerate() {
            fact.name = format!("renamed-{}", count - at);
        }
        model
            .rules
            .iter_mut()
            .for_each(|rule| rule.name.insert_str(0, "other-"));
        let renamed = load(model.text_of_book());
        assert!(before == outcome(&renamed, &model));
    }
}
