//! Random rule books of no subject, as rule text, as JSON, as straight-line Rust and as a plain oracle on points.

#[path = "random.rs"]
mod random;

use std::fmt::Write;

pub use random::Random;

/// What a fact is. A value is one `f64` throughout: a number, the place of an option, 0 or 1, or the bits of several.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Kind {
    Number,
    Choice(usize),
    Truth,
    Several(usize),
}

pub struct Fact {
    pub name: String,
    pub kind: Kind,
}

pub enum Formula {
    /// The sum of two numbers.
    Sum(usize, usize),
    /// Twice the first number less the second.
    Less(usize, usize),
    /// A truth.
    Holds(Condition),
}

#[derive(Clone)]
pub enum Condition {
    Compare {
        fact: usize,
        sign: &'static str,
        limit: f64,
    },
    Within {
        fact: usize,
        low: f64,
        high: f64,
    },
    OneOf {
        fact: usize,
        options: Vec<usize>,
        negated: bool,
    },
    Truth(usize),
    Includes {
        fact: usize,
        option: usize,
    },
    /// Two numbers compared with one another.
    Pair {
        left: usize,
        sign: &'static str,
        right: usize,
    },
    All(Vec<Condition>),
    Any(Vec<Condition>),
    Not(Box<Condition>),
}

pub struct Rule {
    pub name: String,
    pub conditions: Vec<Condition>,
    pub urgency: &'static str,
}

/// How a book is made.
#[derive(Clone, Copy)]
pub struct Shape {
    pub rules: usize,
    pub numbers: usize,
    pub choices: usize,
    pub truths: usize,
    pub several: usize,
    pub derived: usize,
    /// Of a hundred tests of a number, how many compare it with another fact.
    pub pairs: usize,
    /// Thresholds are whole multiples of this from 0 to 100.
    pub step: f64,
    /// Of a hundred conditions, how many are made up of others, and how deep.
    pub trees: usize,
    /// The fewest and the most conditions of a rule.
    pub conditions: (usize, usize),
    pub depth: usize,
}

impl Shape {
    /// The book that is measured, with so many rules.
    #[allow(dead_code, reason = "tests make books of other shapes")]
    pub const fn measured(rules: usize) -> Shape {
        Shape {
            rules,
            numbers: 20,
            choices: 5,
            truths: 3,
            several: 2,
            derived: 3,
            pairs: 3,
            step: 0.5,
            // About as many rows a rule, and tests a row, as the built-in book has.
            trees: 8,
            conditions: (2, 4),
            depth: 1,
        }
    }
}

pub struct Model {
    pub facts: Vec<Fact>,
    /// Derived facts stand behind the given ones.
    pub derived: Vec<(Fact, Formula)>,
    pub rules: Vec<Rule>,
}

const SIGNS: [&str; 4] = ["<", "<=", ">", ">="];
const URGENCIES: [&str; 4] = ["danger", "today", "soon", "note"];
/// Numbers lie between 0 and this.
pub const TOP: f64 = 100.0;

impl Model {
    pub fn new(shape: Shape, random: &mut Random) -> Model {
        let mut facts = Vec::new();
        let mut add = |letter: char, count: usize, kind: &dyn Fn(usize) -> Kind| {
            for nth in 0..count {
                let name = format!("{letter}{nth:02}");
                facts.push(Fact {
                    name,
                    kind: kind(nth),
                });
            }
        };
        add('n', shape.numbers, &|_| Kind::Number);
        add('c', shape.choices, &|nth| Kind::Choice(3 + nth % 4));
        add('t', shape.truths, &|_| Kind::Truth);
        add('s', shape.several, &|_| Kind::Several(5));
        let mut model = Model {
            facts,
            derived: Vec::new(),
            rules: Vec::new(),
        };
        for nth in 0..shape.derived {
            let (a, b) = (random.below(shape.numbers), random.below(shape.numbers));
            let (kind, formula) = match nth % 3 {
                0 => (Kind::Number, Formula::Sum(a, b)),
                1 => (
                    Kind::Truth,
                    Formula::Holds(model.condition(shape, 1, random)),
                ),
                _ => (Kind::Number, Formula::Less(a, b)),
            };
            let name = format!("d{nth:02}");
            model.derived.push((Fact { name, kind }, formula));
        }
        model.rules = (0..shape.rules)
            .map(|nth| model.rule(nth, shape, random))
            .collect();
        model
    }

    pub fn fact(&self, index: usize) -> &Fact {
        match index.checked_sub(self.facts.len()) {
            Some(derived) => &self.derived[derived].0,
            None => &self.facts[index],
        }
    }

    fn rule(&self, nth: usize, shape: Shape, random: &mut Random) -> Rule {
        let (least, most) = shape.conditions;
        let count = least + random.below(most + 1 - least);
        let conditions = (0..count)
            .map(|_| {
                let is_tree = random.chance(shape.trees);
                let depth = usize::from(is_tree) * (1 + random.below(shape.depth));
                self.condition(shape, depth, random)
            })
            .collect();
        Rule {
            name: format!("rule-{nth:05}"),
            conditions,
            urgency: URGENCIES[random.below(4)],
        }
    }

    fn condition(&self, shape: Shape, depth: usize, random: &mut Random) -> Condition {
        if depth > 0 {
            let count = 2 + random.below(2);
            let parts = (0..count)
                .map(|_| self.condition(shape, depth - 1, random))
                .collect();
            return match random.below(5) {
                0 | 1 => Condition::Any(parts),
                2 | 3 => Condition::All(parts),
                _ => Condition::Not(Box::new(Condition::Any(parts))),
            };
        }
        let limit =
            |random: &mut Random| random.below((TOP / shape.step) as usize + 1) as f64 * shape.step;
        let fact = random.below(self.facts.len() + self.derived.len());
        match self.fact(fact).kind {
            Kind::Number if fact < shape.numbers && random.chance(shape.pairs) => {
                let (sign, right) = (SIGNS[random.below(4)], random.below(shape.numbers));
                Condition::Pair {
                    left: fact,
                    sign,
                    right,
                }
            }
            Kind::Number if random.chance(12) => {
                let (a, b) = (limit(random), limit(random));
                let (low, high) = (a.min(b), a.max(b));
                Condition::Within { fact, low, high }
            }
            Kind::Number => {
                let (sign, limit) = (SIGNS[random.below(4)], limit(random));
                Condition::Compare { fact, sign, limit }
            }
            Kind::Choice(count) => {
                let first = random.below(count);
                let mut options = vec![first];
                if random.chance(40) {
                    options.push((first + 1) % count);
                }
                let negated = random.chance(25);
                Condition::OneOf {
                    fact,
                    options,
                    negated,
                }
            }
            Kind::Truth if random.chance(30) => Condition::Not(Box::new(Condition::Truth(fact))),
            Kind::Truth => Condition::Truth(fact),
            Kind::Several(count) => {
                let includes = Condition::Includes {
                    fact,
                    option: random.below(count),
                };
                if random.chance(30) {
                    Condition::Not(Box::new(includes))
                } else {
                    includes
                }
            }
        }
    }

    /// The values of the given facts with those of the derived ones behind them.
    pub fn complete(&self, given: &[f64]) -> Vec<f64> {
        let mut values = given.to_vec();
        for (_, formula) in &self.derived {
            values.push(match formula {
                Formula::Sum(a, b) => values[*a] + values[*b],
                Formula::Less(a, b) => 2.0 * values[*a] - values[*b],
                Formula::Holds(condition) => f64::from(u8::from(condition.holds(&values))),
            });
        }
        values
    }

    pub fn point(&self, random: &mut Random, step: f64) -> Vec<f64> {
        let value = |fact: &Fact| match fact.kind {
            Kind::Number => random.below((TOP / step) as usize + 1) as f64 * step,
            Kind::Choice(count) => random.below(count) as f64,
            Kind::Truth => random.below(2) as f64,
            Kind::Several(count) => random.below(1 << count) as f64,
        };
        self.facts.iter().map(value).collect()
    }
}

fn compare(left: f64, sign: &str, right: f64) -> bool {
    match sign {
        "<" => left < right,
        "<=" => left <= right,
        ">" => left > right,
        _ => left >= right,
    }
}

impl Rule {
    pub fn holds(&self, values: &[f64]) -> bool {
        self.conditions
            .iter()
            .all(|condition| condition.holds(values))
    }
}

impl Condition {
    pub fn holds(&self, values: &[f64]) -> bool {
        match self {
            Condition::Compare { fact, sign, limit } => compare(values[*fact], sign, *limit),
            Condition::Within { fact, low, high } => {
                *low <= values[*fact] && values[*fact] <= *high
            }
            Condition::OneOf {
                fact,
                options,
                negated,
            } => options.iter().any(|option| *option as f64 == values[*fact]) != *negated,
            Condition::Truth(fact) => values[*fact] == 1.0,
            Condition::Includes { fact, option } => values[*fact] as u64 >> option & 1 == 1,
            Condition::Pair { left, sign, right } => compare(values[*left], sign, values[*right]),
            Condition::All(parts) => parts.iter().all(|part| part.holds(values)),
            Condition::Any(parts) => parts.iter().any(|part| part.holds(values)),
            Condition::Not(inner) => !inner.holds(values),
        }
    }
}

pub fn option(place: usize) -> String {
    format!("option-{}", char::from(b'a' + place as u8))
}

impl Model {
    /// The book's vocabulary as rule text, without the rules.
    pub fn vocabulary(&self) -> String {
        let mut text = String::from(
            "book synthetic\n  title Synthetic\n  edition 1\n  language en\n\nunit u\n  is base amount\n\n\
             source made-up\n  title Made up\n  kind common practice\n\naction act\n  label Act\n\n",
        );
        for fact in &self.facts {
            let name = &fact.name;
            let _ = write!(
                text,
                "fact {name}\n  label Fact {name}\n  ask What is {name}?\n"
            );
            match fact.kind {
                Kind::Number => {
                    let _ = writeln!(text, "  kind number\n  unit u\n  range 0 to {TOP} u\n");
                }
                Kind::Truth => text.push_str("  kind truth\n\n"),
                Kind::Choice(count) | Kind::Several(count) => {
                    let several = matches!(fact.kind, Kind::Several(_));
                    text.push_str(if several {
                        "  kind several\n"
                    } else {
                        "  kind choice\n"
                    });
                    (0..count).for_each(|place| {
                        let _ = writeln!(text, "  option {}  Option {place}", option(place));
                    });
                    text.push('\n');
                }
            }
        }
        for (fact, formula) in &self.derived {
            let _ = write!(
                text,
                "derive {}\n  because It follows.\n  source made-up\n",
                fact.name
            );
            let name = |index: &usize| &self.fact(*index).name;
            let _ = match formula {
                Formula::Sum(a, b) => writeln!(text, "  unit u\n  is {} + {}\n", name(a), name(b)),
                Formula::Less(a, b) => {
                    writeln!(text, "  unit u\n  is 2 * {} - {}\n", name(a), name(b))
                }
                Formula::Holds(condition) => {
                    writeln!(text, "  kind truth\n  is {}\n", self.text(condition))
                }
            };
        }
        text
    }

    /// One rule as rule text.
    pub fn rule_text(&self, rule: &Rule) -> String {
        let name = &rule.name;
        let mut text = format!("rule {name}\n");
        for (nth, condition) in rule.conditions.iter().enumerate() {
            let keyword = if nth == 0 { "when" } else { "and" };
            let _ = writeln!(text, "  {keyword} {}", self.text(condition));
        }
        let [finding, advice, because] = sentences(name);
        let _ = write!(
            text,
            "  advise act\n  urgency {}\n  if open ask\n  finding {finding}\n  advice {advice}\n  \
             because {because}\n  source made-up, page {}\n  holds {}\n  fails {}\n\n",
            rule.urgency,
            name.len(),
            self.case(rule, 0),
            self.case(rule, 1),
        );
        text
    }

    fn case(&self, rule: &Rule, shift: usize) -> String {
        let facts = self.case_values(rule, shift);
        let fact = |(fact, value): &(usize, String)| format!("{} {value}", self.fact(*fact).name);
        facts.iter().map(fact).collect::<Vec<String>>().join(", ")
    }

    /// The facts of a case: those that the rule looks at, at some value.
    pub fn case_values(&self, rule: &Rule, shift: usize) -> Vec<(usize, String)> {
        let value = |fact: usize| {
            let value = match self.fact(fact).kind {
                Kind::Number => format!("{} u", (fact * 7 + shift * 41) % 100),
                Kind::Truth => ["yes", "no"][(fact + shift) % 2].to_owned(),
                Kind::Choice(count) | Kind::Several(count) => option((fact + shift) % count),
            };
            (fact, value)
        };
        self.looked_at(rule).into_iter().map(value).collect()
    }

    fn looked_at(&self, rule: &Rule) -> Vec<usize> {
        let mut facts = Vec::new();
        rule.conditions
            .iter()
            .for_each(|condition| condition.facts(&mut facts));
        facts.sort_unstable();
        facts.dedup();
        facts
    }

    /// The whole book as rule text.
    pub fn text_of_book(&self) -> String {
        let rules = self.rules.iter().map(|rule| self.rule_text(rule));
        self.vocabulary() + &rules.collect::<String>()
    }

    pub fn text(&self, condition: &Condition) -> String {
        let name = |index: &usize| &self.fact(*index).name;
        let join = |parts: &[Condition], word: &str| {
            let parts: Vec<String> = parts.iter().map(|part| self.text(part)).collect();
            format!("({})", parts.join(word))
        };
        match condition {
            Condition::Compare { fact, sign, limit } => format!("{} {sign} {limit} u", name(fact)),
            Condition::Within { fact, low, high } => {
                format!("{} within {low} u to {high} u", name(fact))
            }
            Condition::OneOf {
                fact,
                options,
                negated,
            } => {
                let options: Vec<String> = options.iter().map(|place| option(*place)).collect();
                let not = if *negated { "not " } else { "" };
                format!("{} is {not}one of {}", name(fact), options.join(", "))
            }
            Condition::Truth(fact) => name(fact).clone(),
            Condition::Includes {
                fact,
                option: place,
            } => {
                format!("{} includes {}", name(fact), option(*place))
            }
            Condition::Pair { left, sign, right } => {
                format!("{} {sign} {}", name(left), name(right))
            }
            Condition::All(parts) => join(parts, " and "),
            Condition::Any(parts) => join(parts, " or "),
            Condition::Not(inner) => format!("not ({})", self.text(inner)),
        }
    }
}

/// What a rule says, of about the length that rules have.
pub fn sentences(name: &str) -> [String; 3] {
    [
        format!("What was measured meets all that {name} asks for."),
        format!("Do what {name} says before the next step."),
        "Somebody found that this is so.".to_owned(),
    ]
}

impl Condition {
    pub fn facts(&self, found: &mut Vec<usize>) {
        match self {
            Condition::Compare { fact, .. }
            | Condition::Within { fact, .. }
            | Condition::OneOf { fact, .. }
            | Condition::Truth(fact)
            | Condition::Includes { fact, .. } => found.push(*fact),
            Condition::Pair { left, right, .. } => found.extend([*left, *right]),
            Condition::All(parts) | Condition::Any(parts) => {
                parts.iter().for_each(|part| part.facts(found));
            }
            Condition::Not(inner) => inner.facts(found),
        }
    }
}
