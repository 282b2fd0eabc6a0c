//! What the engine costs, as ratios taken in one run: `cargo bench --bench engine`.
//!
//! The yardsticks are straight-line Rust generated from the same rules and compiled by `rustc -O`, `serde_json` on the
//! same rules printed as JSON, and the engine's own bare verdicts.

mod sets;
mod straight;
#[path = "synthetic.rs"]
mod synthetic;

use std::hint::black_box;
use std::path::PathBuf;
use std::time::Instant;

use lentic::advice;
use lentic::engine::{Book, Facts, File, Given, Interval, Judge, NO, Scope, Set, Verdict, YES};
use lentic::journal::{Date, Journal};
use sets::{exactly, inside};
use synthetic::{Kind, Model, Random, Shape, TOP};

/// Distinct cases that are judged in turn.
const CASES: usize = 2_000;

fn main() {
    // Cargo hands over `--bench`; a filter word picks figures.
    let filter = std::env::args().skip(1).find(|word| !word.starts_with('-'));
    match filter.as_deref() {
        Some("memory") => return memory(),
        Some("load") => return loading(),
        Some("judgements") => return judgements(),
        Some("built-in") => return built_in(),
        _ => {}
    }
    println!("{:<66} {:>9} {:>9}", "figure", "at most", "measured");
    for (rules, limits) in [
        (100, [1.0, 2.0]),
        (1_000, [0.15, 0.3]),
        // A book may have 10,000 blocks in all.
        (9_900, [0.1, 0.2]),
    ] {
        if filter
            .as_deref()
            .is_none_or(|word| word == rules.to_string())
        {
            sized(rules, limits);
        }
    }
    if filter.is_some() {
        return;
    }
    built_in();
    loading();
    child("memory");
    judgements();
}

fn line(figure: &str, limit: f64, measured: f64) {
    println!("{figure:<66} {limit:>9.2} {measured:>9.2}");
}

/// A figure that nothing limits.
fn told(figure: &str, measured: f64) {
    println!("{figure:<66} {:>9} {measured:>9.2}", "");
}

/// All single flips: found and each of them read, which has a limit, and found alone, which has none.
fn flips(judge: &mut Judge, cases: &[Facts], bare: f64) {
    let read = time(cases, |facts| {
        judge.run(facts);
        judge.flips().iter().for_each(|flip| {
            black_box(flip);
        });
    });
    line(
        "  all single flips, both ways, of one evaluation",
        4.0,
        read / bare,
    );
    let found = time(cases, |facts| {
        judge.run(facts);
        black_box(judge.flips());
    });
    told("  the same, found and not yet read", found / bare);
}

fn folder() -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("engine-bench");
    std::fs::create_dir_all(&folder).expect("the target folder can be written");
    folder
}

fn model(rules: usize) -> Model {
    Model::new(Shape::measured(rules), &mut Random(7))
}

fn load(model: &Model) -> Book {
    let files = vec![File::new("synthetic.rules", model.text_of_book())];
    Book::load(files, &[]).unwrap_or_else(|mistakes| panic!("{mistakes}"))
}

fn points(book: &Book, model: &Model, values: &[f64]) -> Facts {
    let mut facts = Facts::default();
    for (fact, value) in model.facts.iter().zip(values) {
        facts.give(book, &fact.name, Given::new(exactly(fact.kind, *value)));
    }
    facts
}

/// A fifth of the facts missing, numbers known to 5 % of their range.
fn boxes(book: &Book, model: &Model, values: &[f64], random: &mut Random) -> Facts {
    let mut facts = Facts::default();
    for (fact, value) in model.facts.iter().zip(values) {
        let set = match fact.kind {
            Kind::Number => Set::Number(Interval {
                lo: (value - TOP * 0.025).max(0.0),
                hi: (value + TOP * 0.025).min(TOP),
            }),
            kind => exactly(kind, *value),
        };
        if !random.chance(20) {
            facts.give(book, &fact.name, Given::new(set));
        }
    }
    facts
}

/// Nanoseconds for one call on average over all cases. They are gone through in rounds, and of each batch of cases the
/// best round counts, so that other programs on the machine are not measured too.
fn time(cases: &[Facts], mut call: impl FnMut(&Facts)) -> f64 {
    let mut best = vec![f64::INFINITY; cases.len().div_ceil(straight::BATCH)];
    let began = Instant::now();
    let mut rounds = 0;
    while rounds < 3 || began.elapsed().as_secs_f64() < 1.0 {
        rounds += 1;
        for (batch, best) in cases.chunks(straight::BATCH).zip(&mut best) {
            let start = Instant::now();
            batch.iter().for_each(|facts| call(black_box(facts)));
            *best = best.min(start.elapsed().as_secs_f64());
        }
    }
    best.iter().sum::<f64>() * 1e9 / cases.len() as f64
}

fn sized(rules: usize, limits: [f64; 2]) {
    let model = model(rules);
    let book = load(&model);
    let mut random = Random(11);
    let values: Vec<Vec<f64>> = (0..CASES).map(|_| model.point(&mut random, 0.25)).collect();
    let known: Vec<Facts> = values
        .iter()
        .map(|values| points(&book, &model, values))
        .collect();
    let open: Vec<Facts> = values
        .iter()
        .map(|values| boxes(&book, &model, values, &mut random))
        .collect();
    let mut judge = Judge::of(&book);
    let held: u64 = known
        .iter()
        .map(|facts| judge.run(facts).holding().count() as u64)
        .sum();
    let straight = straight::run(&model, &values, 20_000 / rules as u32 + 5, &folder());
    assert_eq!(
        held, straight.held,
        "the engine and straight-line Rust disagree"
    );
    let bare = time(&known, |facts| {
        black_box(judge.run(facts));
    });
    let boxed = time(&open, |facts| {
        black_box(judge.run(facts));
    });
    println!(
        "{rules} rules ({}): straight-line Rust {:.2} us",
        straight::kinds(&model),
        straight.nanoseconds / 1e3
    );
    line(
        "  verdicts, points, of straight-line Rust",
        limits[0],
        bare / straight.nanoseconds,
    );
    line(
        "  intervals, missing, reasons kept, of the same",
        limits[1],
        boxed / straight.nanoseconds,
    );
    let evidence = time(&open, |facts| {
        judge.run(facts);
        judge.grounds().for_each(|ground| {
            black_box(ground);
        });
    });
    line(
        "  evidence of all that holds or is open, of the bare verdicts",
        10.0,
        evidence / boxed,
    );
    flips(&mut judge, &known, bare);
    let next = time(&open, |facts| {
        black_box(judge.next(facts));
    });
    line(
        "  next test, all facts, of one evaluation",
        20.0,
        next / boxed,
    );
}

/// The built-in book on one day of one journal. Its yardsticks are its own: the bare verdicts, and the whole answer.
fn built_in() {
    let book = advice::built_in().expect("a good book");
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/journals/story-planted-day-24.json"
    );
    let text = std::fs::read_to_string(path).expect("the journal is there");
    let journal = Journal::from_json(&text).expect("a good journal");
    let on = Date::parse("2026-10-24").expect("a day");
    let facts = [advice::facts(&book, &journal, on).expect("readable entries")];
    let mut judge = Judge::of(&book);
    let bare = time(&facts, |facts| {
        black_box(judge.run(facts));
    });
    let rules = judge.verdicts().len();
    println!(
        "built-in book, {rules} rules: verdicts on one day {:.2} us",
        bare / 1e3
    );
    let evidence = time(&facts, |facts| {
        judge.run(facts);
        judge.grounds().for_each(|ground| {
            black_box(ground);
        });
    });
    line(
        "  evidence of all that holds or is open, of the bare verdicts",
        10.0,
        evidence / bare,
    );
    flips(&mut judge, &facts, bare);
    let next = time(&facts, |facts| {
        black_box(judge.next(facts));
    });
    line(
        "  next test, all facts, of one evaluation",
        20.0,
        next / bare,
    );
    let answer = once(|| advice::advise(&book, &journal, on));
    println!("  the whole answer with words, from the journal {answer:.3} ms; of that");
    let part = |figure: &str, milliseconds: f64| told(figure, milliseconds / answer);
    let next = once(|| advice::next_tests(&book, &journal, on));
    part("  what to find out next, with words", next);
    let changes = once(|| advice::changes(&book, &journal, on));
    part(
        "  every change of one entry, each tried, with words",
        changes,
    );
    let start = Instant::now();
    black_box(book.check(&Scope::default()));
    part(
        "  all proofs of the book",
        start.elapsed().as_secs_f64() * 1e3,
    );
}

/// Milliseconds of a call, the best of some.
fn once<T>(mut call: impl FnMut() -> T) -> f64 {
    let time = |_| {
        let start = Instant::now();
        black_box(call());
        start.elapsed().as_secs_f64() * 1e3
    };
    (0..30).map(time).fold(f64::INFINITY, f64::min)
}

fn loading() {
    let model = model(1_000);
    let (text, json) = (model.text_of_book(), straight::json(&model));
    println!(
        "load of 1,000 rules: {} bytes of rule text, {} of JSON",
        text.len(),
        json.len()
    );
    let parse =
        once(|| serde_json::from_str::<serde_json::Value>(&json).expect("it was printed so"));
    let load = once(|| Book::load(vec![File::new("synthetic.rules", text.clone())], &[]).is_ok());
    println!("  serde_json {parse:.2} ms, loader {load:.2} ms");
    line("  loader, of serde_json", 2.0, load / parse);
}

/// Figures that need a process of their own.
fn child(word: &str) {
    let program = std::env::current_exe().expect("this program");
    let status = std::process::Command::new(program).arg(word).status();
    assert!(status.is_ok_and(|status| status.success()));
}

/// Memory of a loaded book: what the process grows by, books being kept.
fn memory() {
    const BOOKS: usize = 40;
    let text = model(1_000).text_of_book();
    let load = || Book::load(vec![File::new("synthetic.rules", text.clone())], &[]).ok();
    let first = load();
    let before = resident_bytes();
    let books: Vec<Option<Book>> = (0..BOOKS).map(|_| load()).collect();
    let grown = resident_bytes() - before;
    black_box((first, books));
    let megabytes = grown / BOOKS as f64 / 1e6;
    line("memory of 1,000 rules with texts, MB", 0.5, megabytes);
}

fn resident_bytes() -> f64 {
    let text = std::fs::read_to_string("/proc/self/statm").unwrap_or_default();
    let pages: f64 = text
        .split(' ')
        .nth(1)
        .and_then(|pages| pages.parse().ok())
        .unwrap_or(f64::NAN);
    pages * 4096.0
}

/// Ten million verdicts against points drawn from the same boxes.
fn judgements() {
    let mut random = Random(13);
    let (mut made, mut wrong, mut less) = (0_u64, 0_u64, 0_u64);
    while made < 10_000_000 {
        let shape = Shape {
            rules: 300,
            numbers: 8,
            choices: 3,
            truths: 2,
            several: 1,
            derived: 4,
            pairs: 8,
            step: 2.5,
            trees: 25,
            conditions: (1, 3),
            depth: 2,
        };
        let model = Model::new(shape, &mut random);
        let book = load(&model);
        for _ in 0..10 {
            let sets: Vec<Set> = model
                .facts
                .iter()
                .map(|fact| some_set(fact.kind, &mut random))
                .collect();
            let mut facts = Facts::default();
            for (fact, set) in model.facts.iter().zip(&sets) {
                facts.give(&book, &fact.name, Given::new(*set));
            }
            let run = book.evaluate(&facts);
            let verdicts: Vec<Verdict> = model
                .rules
                .iter()
                .filter_map(|rule| run.rule(&rule.name))
                .collect();
            for (rule, verdict) in model.rules.iter().zip(&verdicts) {
                let tree = run.rule_by_conditions(&rule.name);
                less += u64::from(tree != Some(Verdict::Open) && tree != Some(*verdict));
            }
            for _ in 0..20 {
                let point: Vec<f64> = sets.iter().map(|set| inside(*set, &mut random)).collect();
                let values = model.complete(&point);
                for (rule, verdict) in model.rules.iter().zip(&verdicts) {
                    made += 1;
                    wrong += u64::from(match verdict {
                        Verdict::Open => false,
                        verdict => rule.holds(&values) != (*verdict == Verdict::Holds),
                    });
                }
            }
        }
    }
    println!("{made} judgements at points inside the boxes");
    line("  wrong definite answers", 0.0, wrong as f64);
    line(
        "  verdicts that Kleene decides and the tables do not",
        0.0,
        less as f64,
    );
}

fn some_set(kind: Kind, random: &mut Random) -> Set {
    let known = random.chance(50);
    let number = |random: &mut Random| random.below(401) as f64 * 0.25;
    match kind {
        Kind::Number if known => Set::Number(Interval::point(number(random))),
        Kind::Number => Set::Number(Interval::between(number(random), number(random))),
        Kind::Truth if known => Set::Choice(1 << random.below(2)),
        Kind::Truth => Set::Choice(YES | NO),
        Kind::Choice(count) => Set::Choice(1 + random.below((1 << count) - 1) as u128),
        Kind::Several(count) => {
            let maybe = random.below(1 << count) as u128;
            let surely = if known {
                maybe
            } else {
                maybe & random.next() as u128
            };
            Set::Several { surely, maybe }
        }
    }
}
