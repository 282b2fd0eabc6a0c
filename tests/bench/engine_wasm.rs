//! The engine by itself behind plain numbers: built as wasm for its size and speed, and natively to compare with.

#[path = "../../src/engine/mod.rs"]
#[allow(dead_code, unused_imports, missing_docs)]
mod engine;
#[path = "synthetic.rs"]
#[allow(dead_code)]
mod synthetic;

use engine::{Book, Facts, File, Given, Interval, Judge, Set};
use synthetic::{Kind, Model, Random, Shape, TOP};

/// How closely numbers are known: points, and a twentieth of their range.
#[cfg(not(target_arch = "wasm32"))]
const SPREADS: [f64; 2] = [0.0, TOP * 0.025];

/// A book of 1,000 rules.
pub struct Bench {
    model: Model,
    book: Book,
}

impl Bench {
    pub fn new() -> Bench {
        let model = Model::new(Shape::measured(1_000), &mut Random(7));
        let files = vec![File::new("synthetic.rules", model.text_of_book())];
        let book = Book::load(files, &[]).expect("the book is good");
        Bench { model, book }
    }

    /// The number of rules that hold or may hold at these values: at the points themselves, or with numbers known to
    /// `spread` either way and every fifth fact missing.
    pub fn run(&self, judge: &mut Judge<'_>, values: &[f64], spread: f64) -> u32 {
        let mut facts = Facts::default();
        for (nth, (fact, value)) in self.model.facts.iter().zip(values).enumerate() {
            if spread > 0.0 && nth % 5 == 4 {
                continue;
            }
            let set = match fact.kind {
                Kind::Number => Set::Number(Interval {
                    lo: (value - spread).max(0.0),
                    hi: (value + spread).min(TOP),
                }),
                Kind::Truth | Kind::Choice(_) => Set::Choice(1 << *value as u32),
                Kind::Several(_) => Set::Several {
                    surely: *value as u128,
                    maybe: *value as u128,
                },
            };
            facts.give(&self.book, &fact.name, Given::new(set));
        }
        judge.run(&facts).possible().count() as u32
    }
}

#[cfg(target_arch = "wasm32")]
mod face {
    use super::*;
    use std::cell::RefCell;

    thread_local! {
        static STATE: RefCell<Option<State>> = const { RefCell::new(None) };
    }

    struct State {
        bench: &'static Bench,
        judge: Judge<'static>,
        values: Vec<f64>,
    }

    /// Loads the book and tells where the values are to be written.
    #[unsafe(no_mangle)]
    pub extern "C" fn start() -> *const f64 {
        let bench: &'static Bench = Box::leak(Box::new(Bench::new()));
        let values = vec![0.0; bench.model.facts.len()];
        let place = values.as_ptr();
        let judge = Judge::of(&bench.book);
        STATE.set(Some(State {
            bench,
            judge,
            values,
        }));
        place
    }

    #[unsafe(no_mangle)]
    pub extern "C" fn run(spread: f64) -> u32 {
        STATE.with_borrow_mut(|state| {
            let run = |state: &mut State| {
                let values = std::hint::black_box(&state.values);
                state.bench.run(&mut state.judge, values, spread)
            };
            state.as_mut().map_or(0, run)
        })
    }

    /// Everything the book says of the same values, so that explanations are part of what is weighed.
    #[unsafe(no_mangle)]
    pub extern "C" fn explain() -> usize {
        STATE.with_borrow(|state| {
            state.as_ref().map_or(0, |state| {
                let facts = Facts::default();
                let run = state.bench.book.evaluate(&facts);
                let answer = serde_json::to_string(&run.answer()).unwrap_or_default();
                let gates = serde_json::to_string(&run.gates()).unwrap_or_default();
                answer.len() + gates.len()
            })
        })
    }
}

#[cfg(not(target_arch = "wasm32"))]
pub fn native() {
    let bench = Bench::new();
    let mut judge = Judge::of(&bench.book);
    let mut random = Random(11);
    let points: Vec<Vec<f64>> = (0..500)
        .map(|_| bench.model.point(&mut random, 0.25))
        .collect();
    for spread in SPREADS {
        let (mut best, mut count) = (f64::INFINITY, 0);
        for _ in 0..200 {
            let start = std::time::Instant::now();
            count = 0;
            for point in &points {
                count += bench.run(&mut judge, point, spread);
            }
            best = best.min(start.elapsed().as_secs_f64() * 1e9 / points.len() as f64);
        }
        println!("{spread} {best} {count}");
    }
    points.iter().flatten().for_each(|x| println!("{x}"));
}
