//! Which plants and animals are in the tank, and what that makes of it.

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::{Facts, Given, Interval, Set, distinct};
use crate::journal::{Entry, Event, Origin, What};

use super::facts::{Reader, point};
use super::names::*;
use super::phrases::{MORE_LOST, WHEN_ADDED};

/// Plants of one species and origin, with the day they came in.
struct Group<'a> {
    species: &'a Entry,
    origin: Option<Origin>,
    on: crate::journal::Date,
}

/// The plants that were planted and not removed.
fn planted<'a>(events: &[&'a Event]) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'_>> = Vec::new();
    for event in events {
        match &event.what {
            What::Planted { plants } => groups.extend(plants.iter().map(|plants| Group {
                species: &plants.species,
                origin: plants.origin,
                on: event.on,
            })),
            What::Removed { plants } => {
                groups.retain(|group| {
                    !plants
                        .iter()
                        .any(|gone| gone.species.text == group.species.text)
                });
            }
            _ => {}
        }
    }
    groups
}

/// The species of plants in the tank, each once.
pub(super) fn plants_in_tank<'a>(events: &[&'a Event]) -> BTreeSet<&'a str> {
    let groups = planted(events).into_iter();
    distinct(groups.map(|group| group.species.text.as_str()))
}

/// The class of the most sensitive plant.
pub(super) fn plants(reader: &mut Reader<'_>, events: &[&Event]) {
    let classes: Vec<u128> = planted(events)
        .iter()
        .filter_map(|group| class(reader, group))
        .collect();
    reader.give(PLANT_CLASS, Given::new(Set::Choice(most(&classes))));
}

fn class(reader: &mut Reader<'_>, group: &Group<'_>) -> Option<u128> {
    let species = reader.enter(PLANT_SPECIES, group.species)?;
    let mut facts = Facts::default();
    facts.give(reader.book, PLANT_SPECIES, Given::new(species.set));
    if let Some(origin) = group.origin
        && let Ok(entered) = reader.book.enter(PLANT_ORIGIN, origin.name())
    {
        facts.give(reader.book, PLANT_ORIGIN, Given::new(entered.set));
    }
    let days = f64::from(reader.today.days_from(group.on));
    facts.give(
        reader.book,
        PLANT_DAYS,
        Given::new(Set::Number(Interval::point(days))),
    );
    match reader.book.look_up(CLASS_OF_PLANT, &facts)? {
        Set::Choice(mask) => Some(mask),
        _ => None,
    }
}

/// The options that the highest of several choices may be, options being in rising order; without any, the first.
fn most(classes: &[u128]) -> u128 {
    let least = classes
        .iter()
        .map(|mask| mask.trailing_zeros())
        .max()
        .unwrap_or(0);
    let all = classes.iter().fold(0, |all, mask| all | mask);
    let possible = all & (u128::MAX << least.min(127));
    if classes.is_empty() { 1 } else { possible }
}

/// How many animals of each species were added and not lost, and the entries that lost more than there were.
fn counted<'a>(events: &[&'a Event]) -> (BTreeMap<&'a str, (i64, &'a Entry)>, Vec<&'a Entry>) {
    let mut counts: BTreeMap<&str, (i64, &Entry)> = BTreeMap::new();
    let mut too_many = Vec::new();
    for event in events {
        let (animals, sign) = match &event.what {
            What::Added { animals } => (animals, 1),
            What::Lost { animals } => (animals, -1),
            _ => continue,
        };
        for some in animals {
            let count = counts
                .entry(some.species.text.as_str())
                .or_insert((0, &some.species));
            count.0 += sign * i64::from(some.count);
            if count.0 < 0 {
                too_many.push(&some.species);
                count.0 = 0;
            }
        }
    }
    (counts, too_many)
}

/// The species of animals in the tank, with their numbers.
pub(super) fn animals_in_tank<'a>(events: &[&'a Event]) -> Vec<(&'a str, u32)> {
    let (counts, _) = counted(events);
    let count = |(species, (count, _))| Some((species, u32::try_from(count).ok()?));
    let counts = counts.into_iter().filter_map(count);
    counts.filter(|(_, count)| *count > 0).collect()
}

/// How many fish, shrimp and snails there are.
pub(super) fn animals(reader: &mut Reader<'_>, events: &[&Event]) {
    let (counts, too_many) = counted(events);
    for species in too_many {
        let message = reader.book.say(&MORE_LOST, [&species.text]);
        let hint = Some(reader.book.say(&WHEN_ADDED, []));
        reader.mistake(&species.place, message, hint);
    }
    let mut sums = [0.0; COUNTS.len()];
    for (count, species) in counts.into_values() {
        if let Some(kind) = kind(reader, species) {
            sums[kind.min(COUNTS.len() - 1)] += count as f64;
        }
    }
    for (name, sum) in COUNTS.iter().zip(sums) {
        reader.give(name, Given::new(Set::Number(Interval::point(sum))));
    }
}

fn kind(reader: &mut Reader<'_>, species: &Entry) -> Option<usize> {
    let entered = reader.enter(ANIMAL_SPECIES, species)?;
    let mut facts = Facts::default();
    facts.give(reader.book, ANIMAL_SPECIES, Given::new(entered.set));
    facts.give(reader.book, TODAY, point(reader.today));
    match reader.book.look_up(ANIMAL_KIND, &facts)? {
        Set::Choice(mask) if mask.count_ones() == 1 => Some(mask.trailing_zeros() as usize),
        _ => None,
    }
}
