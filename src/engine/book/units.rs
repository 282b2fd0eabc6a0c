//! Reads the blocks `unit` and `vague`.

use super::super::unit::{Dimension, Unit, UnitId, Units};
use super::text::{Block, Log, Text};

pub(crate) fn read(blocks: &[(u32, Block)], log: &mut Log) -> Units {
    let mut units = Units::default();
    for (_, block) in blocks
        .iter()
        .filter(|(_, block)| block.keyword.value == "unit")
    {
        if let Some(unit) = unit(block, &mut units, log) {
            add(block, unit, &mut units, log);
        }
    }
    for (_, block) in blocks
        .iter()
        .filter(|(_, block)| block.keyword.value == "vague")
    {
        vague(block, &mut units, log);
    }
    units
}

fn unit(block: &Block, units: &mut Units, log: &mut Log) -> Option<Unit> {
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
        name: block.name.value.clone(),
        dimension,
        factor,
        zero,
        bare,
    })
}

fn add(block: &Block, unit: Unit, units: &mut Units, log: &mut Log) {
    let id = UnitId(units.units.len() as u32);
    units.units.push(unit);
    let also = block
        .field("also")
        .map(|field| field.text.split(","))
        .unwrap_or_default();
    for spelling in std::iter::once(&block.name).chain(&also) {
        if units.spellings.insert(spelling.value.clone(), id).is_some() {
            log.at(spelling, format!("`{}` is a unit already", spelling.value));
        }
    }
}

/// A plain number that fills the whole text.
pub(crate) fn number(text: &Text, log: &mut Log) -> Option<f64> {
    match text.value.parse::<f64>() {
        Ok(value) if value.is_finite() => Some(value),
        _ => {
            log.at(text, format!("`{}` is not a number", text.value));
            None
        }
    }
}

/// `0.5`, or a factor and units joined by `*`, `per` and powers, as in `1000 cm^3` or `1 mg N per L`.
fn scaled(text: &Text, units: &Units, log: &mut Log) -> Option<(Dimension, f64)> {
    let (first, rest) = text.first_word();
    let mut factor = number(&first, log)?;
    let mut dimension = Dimension::default();
    if factor <= 0.0 {
        log.at(&first, "the factor of a unit is above zero");
        return None;
    }
    if rest.is_empty() {
        return Some((dimension, factor));
    }
    for (index, part) in rest.split(" per ").iter().enumerate() {
        let sign = if index == 0 { 1 } else { -1 };
        for term in part.split(" * ") {
            let (unit, power) = power_of(&term, units, log)?;
            dimension = dimension.times(&unit.dimension, sign * power);
            factor *= libm::pow(unit.factor, f64::from(sign * power));
        }
    }
    Some((dimension, factor))
}

fn power_of<'a>(term: &Text, units: &'a Units, log: &mut Log) -> Option<(&'a Unit, i8)> {
    let (name, power) = match term.split_once("^") {
        Some((name, power)) => (name, number(&power, log)?),
        None => (term.clone(), 1.0),
    };
    let Some(id) = units.find(&name.value) else {
        log.unknown(&name, "unit", units.names());
        return None;
    };
    if power.fract() != 0.0 || !(1.0..=6.0).contains(&power) {
        log.at(term, "a power is a whole number from 1 to 6");
        return None;
    }
    Some((units.get(id), power as i8))
}

fn vague(block: &Block, units: &mut Units, log: &mut Log) {
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
            None => log.unknown(&name, "unit", units.names()),
        }
    }
    let also = block
        .field("also")
        .map(|field| field.text.split(","))
        .unwrap_or_default();
    for spelling in std::iter::once(&block.name).chain(&also) {
        if units.find(&spelling.value).is_some() {
            log.at(spelling, format!("`{}` is a unit already", spelling.value));
        }
        units.vague.insert(spelling.value.clone(), means.clone());
    }
}
