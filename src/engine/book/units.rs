//! Reads the blocks `unit` and `vague`.

use super::super::limit;
use super::super::unit::{Dimension, Index, Unit, UnitId, Units};
use super::text::{Block, Log, Text};

/// Units may stand in any order: each is read after those it is explained by.
pub(crate) fn read(blocks: &[(u32, Block<'_>)], log: &mut Log) -> Units {
    let mut units = Units::default();
    let of = |keyword: &'static str| {
        let blocks = blocks.iter().map(|(_, block)| block);
        blocks.filter(move |block| block.keyword.value == keyword)
    };
    let declared: Vec<&Block<'_>> = of("unit").collect();
    units.declared = declared
        .iter()
        .flat_map(|block| spellings(block))
        .map(|spelling| spelling.value.into_owned())
        .collect();
    for block in in_order(&declared, log) {
        if let Some(unit) = unit(block, &mut units, log) {
            add(block, unit, &mut units, log);
        }
    }
    of("vague").for_each(|block| vague(block, &mut units, log));
    units
}

impl Units {
    /// Reports a unit that the book does not declare. One that was declared wrongly has been reported already.
    pub fn unknown(&self, name: &Text<'_>, log: &mut Log) {
        if !self.declared.iter().any(|known| *known == name.value) {
            log.unknown(name, "unit", self.names());
        }
    }
}

/// Depth first with a stack of our own, as long chains must not exhaust the machine's.
fn in_order<'a>(blocks: &[&'a Block<'a>], log: &mut Log) -> Vec<&'a Block<'a>> {
    let mut named = Index::new();
    for (index, block) in blocks.iter().enumerate() {
        for spelling in spellings(block) {
            let name = spelling.value.into_owned();
            named.entry(name).or_insert(index as u32);
        }
    }
    let (mut begun, mut placed) = (vec![false; blocks.len()], vec![false; blocks.len()]);
    let mut order = Vec::with_capacity(blocks.len());
    let mut stack: Vec<(usize, bool)> = (0..blocks.len()).rev().map(|at| (at, false)).collect();
    while let Some((at, done)) = stack.pop() {
        if done {
            placed[at] = true;
            order.push(blocks[at]);
        } else if !std::mem::replace(&mut begun[at], true) {
            stack.push((at, true));
            for term in terms(blocks[at]) {
                match named.get(&*term.value).map(|below| *below as usize) {
                    Some(below) if begun[below] && !placed[below] => {
                        let message = format!("`{}` is explained by itself", term.value);
                        log.hint(&term, message, "start from a unit that `is base NAME`");
                    }
                    Some(below) => stack.push((below, false)),
                    None => {}
                }
            }
        }
    }
    order
}

/// The name of a unit and its other spellings.
fn spellings<'a>(block: &Block<'a>) -> Vec<Text<'a>> {
    let also = block.field("also").map(|field| field.text.split(","));
    let mut all = vec![block.name.clone()];
    all.extend(also.into_iter().flatten());
    all
}

/// The units that a unit is explained by.
fn terms<'a>(block: &Block<'a>) -> Vec<Text<'a>> {
    let Some(field) = block.field("is") else {
        return Vec::new();
    };
    if field.text.value.starts_with("base ") {
        return Vec::new();
    }
    let (_, rest) = field.text.first_word();
    let mut terms = Vec::new();
    for part in rest.split(" per ") {
        let names = part.split(" * ");
        terms.extend(names.map(|term| match term.split_once("^") {
            Some((name, _)) => name,
            None => term,
        }));
    }
    terms
}

fn unit(block: &Block<'_>, units: &mut Units, log: &mut Log) -> Option<Unit> {
    let Some(field) = block.field("is") else {
        log.hint(
            &block.name,
            "this unit has no `is`",
            "say `is base NAME`, or a factor and a unit",
        );
        return None;
    };
    let zero = block
        .field("zero")
        .and_then(|field| number(&field.text, log));
    let bare = block.value("bare").is_some_and(|value| value == "yes");
    let (dimension, factor) = match field.text.value.strip_prefix("base ") {
        Some(base) => {
            units.bases.push(base.trim().to_owned());
            (Dimension::base(units.bases.len() as u16 - 1), 1.0)
        }
        None => scaled(&field.text, units, log)?,
    };
    Some(Unit {
        name: block.name.value.to_string(),
        dimension,
        factor,
        zero,
        bare,
        says: block.field("says").and_then(|field| says(&field.text, log)),
    })
}

/// How a unit is written beside one, and beside any other number.
fn says(text: &Text<'_>, log: &mut Log) -> Option<[String; 2]> {
    let words: Vec<Text<'_>> = text.split(",").collect();
    let [one, many] = words.as_slice() else {
        let help = "write it beside one, a comma, and beside any other number";
        log.hint(text, "this does not say both", help);
        return None;
    };
    Some([one, many].map(|word| word.value.to_string()))
}

fn add(block: &Block<'_>, unit: Unit, units: &mut Units, log: &mut Log) {
    let id = UnitId(units.units.len() as u32);
    units.units.push(unit);
    for spelling in spellings(block) {
        if spelling.value.chars().nth(limit::UNIT_CHARACTERS).is_some() {
            let message = format!("longer than {} characters", limit::UNIT_CHARACTERS);
            log.at(&spelling, message);
            continue;
        }
        if units.spell(&spelling.value, id).is_some() {
            log.at(&spelling, format!("`{}` is a unit already", spelling.value));
        }
    }
}

/// A plain number that fills the whole text.
pub(crate) fn number(text: &Text<'_>, log: &mut Log) -> Option<f64> {
    match text.value.parse::<f64>() {
        Ok(value) if value.is_finite() => Some(value),
        _ => {
            log.at(text, format!("`{}` is not a number", text.value));
            None
        }
    }
}

/// `0.5`, or a factor and units joined by `*`, `per` and powers, as in `1000 cm^3` or `1 mg N per L`.
fn scaled(text: &Text<'_>, units: &Units, log: &mut Log) -> Option<(Dimension, f64)> {
    let (first, rest) = text.first_word();
    let mut factor = number(&first, log)?;
    let mut dimension = Dimension::default();
    if factor <= 0.0 {
        log.at(&first, "the factor of a unit is above zero");
        return None;
    }
    let parts = (!rest.is_empty()).then(|| rest.split(" per "));
    for (index, part) in parts.into_iter().flatten().enumerate() {
        let sign = if index == 0 { 1 } else { -1 };
        for term in part.split(" * ") {
            let (unit, power) = power_of(&term, units, log)?;
            dimension = dimension.times(&unit.dimension, sign * power);
            factor *= libm::pow(unit.factor, f64::from(sign * power));
        }
    }
    if !(SMALLEST..=1.0 / SMALLEST).contains(&factor) {
        let help = "a factor lies between 1e-30 and 1e30";
        log.hint(text, "this unit is too large or too small", help);
        return None;
    }
    Some((dimension, factor))
}

/// The smallest factor: products of a few values must stay numbers.
const SMALLEST: f64 = 1e-30;

fn power_of<'a>(term: &Text<'_>, units: &'a Units, log: &mut Log) -> Option<(&'a Unit, i8)> {
    let (name, power) = match term.split_once("^") {
        Some((name, power)) => (name, number(&power, log)?),
        None => (term.clone(), 1.0),
    };
    let Some(id) = units.find(&name.value) else {
        units.unknown(&name, log);
        return None;
    };
    if power.fract() != 0.0 || !(1.0..=6.0).contains(&power) {
        log.at(term, "a power is a whole number from 1 to 6");
        return None;
    }
    Some((units.get(id), power as i8))
}

fn vague(block: &Block<'_>, units: &mut Units, log: &mut Log) {
    let Some(field) = block.field("means") else {
        log.hint(
            &block.name,
            "this vague unit has no `means`",
            "list the units it may stand for",
        );
        return;
    };
    let mut means = Vec::new();
    for name in field.text.split(",") {
        match units.find(&name.value) {
            Some(id) => means.push(id),
            None => units.unknown(&name, log),
        }
    }
    for spelling in &spellings(block) {
        if units.find(&spelling.value).is_some() {
            log.at(spelling, format!("`{}` is a unit already", spelling.value));
        }
        units.spell_vague(&spelling.value, means.clone());
    }
}
