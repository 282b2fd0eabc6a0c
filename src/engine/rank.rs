//! One sort for whatever an answer lists: each further kind of elements would make WebAssembly larger by a sort of its
//! own.

use std::cmp::Ordering;
use std::collections::BTreeSet;

/// Places by rank; those of one rank as they stand.
pub(crate) fn ranked(
    places: impl Iterator<Item = usize>,
    rank: &dyn Fn(usize) -> u32,
) -> Vec<usize> {
    let mut places: Vec<usize> = places.collect();
    sort(&mut places, &|a, b| rank(a).cmp(&rank(b)));
    places
}

/// Elements in an order; equal ones as they stand.
pub fn sorted<T>(elements: Vec<T>, order: impl Fn(&T, &T) -> Ordering) -> Vec<T> {
    let mut places: Vec<usize> = (0..elements.len()).collect();
    sort(&mut places, &|a, b| order(&elements[a], &elements[b]));
    let mut elements: Vec<Option<T>> = elements.into_iter().map(Some).collect();
    let taken = places.into_iter().filter_map(|at| elements[at].take());
    taken.collect()
}

/// Puts elements in order; equal ones stay as they stand.
pub fn arrange<T>(elements: &mut Vec<T>, order: impl Fn(&T, &T) -> Ordering) {
    *elements = sorted(std::mem::take(elements), order);
}

/// Elements in order, each once. Collected, they would bring a sort of their own.
pub fn distinct<T: Ord>(elements: impl Iterator<Item = T>) -> BTreeSet<T> {
    let mut found = BTreeSet::new();
    found.extend(elements);
    found
}

#[inline(never)]
fn sort(places: &mut [usize], order: &dyn Fn(usize, usize) -> Ordering) {
    places.sort_unstable_by(|a, b| order(*a, *b).then(a.cmp(b)));
}
