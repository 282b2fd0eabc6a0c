//! Sets of rows, one bit each, in whole blocks of words.

/// Words that are worked on at once, so that the compiler can use wide instructions.
pub(super) const BLOCK: usize = 4;

/// Whether a row is among some.
pub(super) fn has(rows: &[u64], row: usize) -> bool {
    rows[row / 64] >> (row % 64) & 1 == 1
}

pub(super) fn add(rows: &mut [u64], row: usize) {
    rows[row / 64] |= 1 << (row % 64);
}

pub(super) fn strike(rows: &mut [u64], row: usize) {
    strike_if(rows, row, true);
}

/// Strikes a row or leaves it, without a branch.
pub(super) fn strike_if(rows: &mut [u64], row: usize, gone: bool) {
    rows[row / 64] &= !(u64::from(gone) << (row % 64));
}

/// Keeps the rows that are also among others.
pub(super) fn keep(rows: &mut [u64], others: &[u64]) {
    for (row, other) in rows.iter_mut().zip(others) {
        *row &= other;
    }
}

/// Keeps the rows that are in each of the masks at these places: eight at a time, so that the rows are read and
/// written less often.
pub(super) fn keep_all(rows: &mut [u64], masks: &[u64], places: &[u32]) {
    let (rows, _) = rows.as_chunks_mut::<BLOCK>();
    let count = rows.len();
    let mask = |place: u32| {
        let (blocks, _) = masks[place as usize..].as_chunks::<BLOCK>();
        &blocks[..count]
    };
    let (eights, rest) = places.as_chunks::<8>();
    for places in eights {
        let [a, b, c, d, e, f, g, h] = places.map(mask);
        let first = rows.iter_mut().zip(a).zip(b).zip(c).zip(d);
        let second = e.iter().zip(f).zip(g).zip(h);
        for (((((rows, a), b), c), d), (((e, f), g), h)) in first.zip(second) {
            for word in 0..BLOCK {
                let first = a[word] & b[word] & c[word] & d[word];
                rows[word] &= first & e[word] & f[word] & g[word] & h[word];
            }
        }
    }
    for place in rest {
        for (rows, mask) in rows.iter_mut().zip(mask(*place)) {
            keep(rows, mask);
        }
    }
}

/// Places of the bits that are set.
pub(super) fn ones(words: &[u64]) -> impl Iterator<Item = usize> + '_ {
    let words = words.iter().enumerate();
    words.flat_map(|(at, word)| bits(*word).map(move |bit| at * 64 + bit))
}

/// Places of the bits of one word.
pub(super) fn bits(mut word: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let bit = word.trailing_zeros() as usize;
        word &= word.wrapping_sub(1);
        (bit < 64).then_some(bit)
    })
}
