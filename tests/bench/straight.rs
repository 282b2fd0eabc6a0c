//! The same rules as straight-line Rust: what a programmer would write by hand, compiled and timed in a process of
//! its own.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use crate::synthetic::{Condition, Formula, Kind, Model};

/// Rules in one function; the compiler needs minutes for ten thousand in one.
const RULES_IN_ONE: usize = 500;

/// Cases that are timed together.
pub const BATCH: usize = 20;

/// Nanoseconds for one judgement of all rules, and how many rules held over all cases.
pub struct Straight {
    pub nanoseconds: f64,
    pub held: u64,
}

/// Writes, compiles and runs the program on these cases.
pub fn run(model: &Model, cases: &[Vec<f64>], rounds: u32, folder: &Path) -> Straight {
    let stem = format!("straight-{}", model.rules.len());
    let (source, program) = (folder.join(format!("{stem}.rs")), folder.join(&stem));
    let input = folder.join(format!("{stem}.bin"));
    let bytes: Vec<u8> = cases
        .iter()
        .flatten()
        .flat_map(|x| x.to_le_bytes())
        .collect();
    std::fs::write(&input, bytes).expect("the folder can be written");
    std::fs::write(&source, text(model, rounds)).expect("the folder can be written");
    let status = Command::new("rustc")
        .args([
            "--edition",
            "2024",
            "-C",
            "opt-level=3",
            "-C",
            "codegen-units=1",
        ])
        .args(["-C", "panic=abort", "-o"])
        .args([&program, &source])
        .status();
    assert!(status.is_ok_and(|status| status.success()), "rustc failed");
    let output = Command::new(&program)
        .arg(&input)
        .output()
        .expect("it was compiled");
    let text = String::from_utf8(output.stdout).expect("it prints two numbers");
    let mut numbers = text.split_whitespace();
    let mut next = || numbers.next().expect("it prints two numbers");
    Straight {
        nanoseconds: next().parse().expect("a number"),
        held: next().parse().expect("a number"),
    }
}

fn text(model: &Model, rounds: u32) -> String {
    let given = model.facts.len();
    let all = given + model.derived.len();
    let mut text = format!("#![allow(warnings)]\ntype Values = [f64; {all}];\n");
    let chunks = model.rules.chunks(RULES_IN_ONE);
    let count = chunks.len();
    for (nth, rules) in chunks.enumerate() {
        let _ = writeln!(
            text,
            "#[inline(never)]\nfn part_{nth}(f: &Values, out: &mut Vec<u32>) {{"
        );
        for (at, rule) in rules.iter().enumerate() {
            let tests: Vec<String> = rule.conditions.iter().map(test).collect();
            let place = nth * RULES_IN_ONE + at;
            let _ = writeln!(
                text,
                "    if {} {{ out.push({place}); }}",
                tests.join(" && ")
            );
        }
        text.push_str("}\n");
    }
    let _ = writeln!(
        text,
        "fn judge(given: &[f64], out: &mut Vec<u32>) {{\n    let mut f: Values = [0.0; {all}];"
    );
    let _ = writeln!(text, "    f[..{given}].copy_from_slice(given);");
    for (nth, (_, formula)) in model.derived.iter().enumerate() {
        let value = match formula {
            Formula::Sum(a, b) => format!("f[{a}] + f[{b}]"),
            Formula::Less(a, b) => format!("2.0 * f[{a}] - f[{b}]"),
            Formula::Holds(condition) => format!("f64::from(u8::from({}))", test(condition)),
        };
        let _ = writeln!(text, "    f[{}] = {value};", given + nth);
    }
    (0..count).for_each(|nth| {
        let _ = writeln!(text, "    part_{nth}(&f, out);");
    });
    text.push_str("}\n");
    let _ = write!(
        text,
        "fn main() {{
    let bytes = std::fs::read(std::env::args().nth(1).unwrap()).unwrap();
    let values: Vec<f64> = bytes.chunks(8).map(|b| f64::from_le_bytes(b.try_into().unwrap())).collect();
    let cases: Vec<&[f64]> = values.chunks({given}).collect();
    let mut out = Vec::with_capacity({});
    let mut best = vec![f64::INFINITY; cases.len().div_ceil({BATCH})];
    let mut held = 0;
    for _ in 0..{rounds} {{
        held = 0;
        for (batch, best) in cases.chunks({BATCH}).zip(&mut best) {{
            let start = std::time::Instant::now();
            for case in batch {{
                out.clear();
                judge(std::hint::black_box(case), &mut out);
                held += std::hint::black_box(&out).len();
            }}
            *best = best.min(start.elapsed().as_secs_f64());
        }}
    }}
    let best = best.iter().sum::<f64>() * 1e9 / cases.len() as f64;
    println!(\"{{best}} {{held}}\");
}}
",
        model.rules.len()
    );
    text
}

fn test(condition: &Condition) -> String {
    let join = |parts: &[Condition], sign: &str| {
        let parts: Vec<String> = parts.iter().map(test).collect();
        format!("({})", parts.join(sign))
    };
    match condition {
        Condition::Compare { fact, sign, limit } => format!("f[{fact}] {sign} {limit:?}"),
        Condition::Within { fact, low, high } => {
            format!("({low:?}..={high:?}).contains(&f[{fact}])")
        }
        Condition::OneOf {
            fact,
            options,
            negated,
        } => {
            let (sign, join) = if *negated {
                ("!=", " && ")
            } else {
                ("==", " || ")
            };
            let tests: Vec<String> = options
                .iter()
                .map(|o| format!("f[{fact}] {sign} {o}.0"))
                .collect();
            format!("({})", tests.join(join))
        }
        Condition::Truth(fact) => format!("f[{fact}] == 1.0"),
        Condition::Includes { fact, option } => format!("(f[{fact}] as u64 >> {option} & 1 == 1)"),
        Condition::Pair { left, sign, right } => format!("f[{left}] {sign} f[{right}]"),
        Condition::All(parts) => join(parts, " && "),
        Condition::Any(parts) => join(parts, " || "),
        Condition::Not(inner) => format!("!({})", test(inner)),
    }
}

/// The rules as JSON, with conditions as trees and cases as objects.
pub fn json(model: &Model) -> String {
    let rules: Vec<serde_json::Value> = model
        .rules
        .iter()
        .map(|rule| rule_json(model, rule))
        .collect();
    serde_json::to_string(&rules).expect("plain data")
}

fn rule_json(model: &Model, rule: &crate::synthetic::Rule) -> serde_json::Value {
    let [finding, advice, because] = crate::synthetic::sentences(&rule.name);
    let when: Vec<serde_json::Value> = rule.conditions.iter().map(|c| tree(model, c)).collect();
    serde_json::json!({
        "name": rule.name, "when": when, "advise": "act", "urgency": rule.urgency, "if-open": "ask",
        "finding": finding, "advice": advice, "because": because,
        "source": {"id": "made-up", "place": format!("page {}", rule.name.len())},
        "holds": case(model, rule, 0), "fails": case(model, rule, 1),
    })
}

fn case(model: &Model, rule: &crate::synthetic::Rule, shift: usize) -> serde_json::Value {
    let facts = model.case_values(rule, shift);
    let value = |(fact, text): (usize, String)| {
        let number = text
            .strip_suffix(" u")
            .and_then(|number| number.parse::<f64>().ok());
        let value = number.map_or(serde_json::Value::from(text), serde_json::Value::from);
        (model.fact(fact).name.clone(), value)
    };
    serde_json::Value::Object(facts.into_iter().map(value).collect())
}

fn tree(model: &Model, condition: &Condition) -> serde_json::Value {
    let name = |fact: &usize| &model.fact(*fact).name;
    let all = |parts: &[Condition]| -> Vec<serde_json::Value> {
        parts.iter().map(|c| tree(model, c)).collect()
    };
    match condition {
        Condition::Compare { fact, sign, limit } => {
            serde_json::json!({"fact": name(fact), "is": sign, "value": limit, "unit": "u"})
        }
        Condition::Within { fact, low, high } => {
            serde_json::json!({"fact": name(fact), "within": [low, high], "unit": "u"})
        }
        Condition::OneOf {
            fact,
            options,
            negated,
        } => {
            serde_json::json!({"fact": name(fact), "one-of": options.iter().map(|o| option(*o)).collect::<Vec<_>>(), "not": negated})
        }
        Condition::Truth(fact) => serde_json::json!({"fact": name(fact)}),
        Condition::Includes { fact, option: o } => {
            serde_json::json!({"fact": name(fact), "includes": option(*o)})
        }
        Condition::Pair { left, sign, right } => {
            serde_json::json!({"fact": name(left), "is": sign, "other": name(right)})
        }
        Condition::All(parts) => serde_json::json!({"all": all(parts)}),
        Condition::Any(parts) => serde_json::json!({"any": all(parts)}),
        Condition::Not(inner) => serde_json::json!({"not": tree(model, inner)}),
    }
}

fn option(place: usize) -> String {
    crate::synthetic::option(place)
}

/// How a kind is handed over in numbers, for the reader of a table.
pub fn kinds(model: &Model) -> String {
    let count =
        |wanted: fn(&Kind) -> bool| model.facts.iter().filter(|fact| wanted(&fact.kind)).count();
    format!(
        "{} numbers, {} choices, {} truths, {} of several options, {} derived",
        count(|kind| *kind == Kind::Number),
        count(|kind| matches!(kind, Kind::Choice(_))),
        count(|kind| *kind == Kind::Truth),
        count(|kind| matches!(kind, Kind::Several(_))),
        model.derived.len()
    )
}
