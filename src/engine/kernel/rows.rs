//! Sets of rows, one bit each.

/// The bits of 512 rows. Whole blocks are worked on at once, which the compiler turns into wide instructions.
pub(super) type Block = [u64; 8];

/// Rows in one block.
pub(super) const BLOCK: usize = 512;

/// Every row of a block.
pub(super) const ALL: Block = [u64::MAX; 8];

/// Whether a row is among some.
pub(super) fn has(rows: &[Block], row: usize) -> bool {
    rows[row / BLOCK][row / 64 % 8] >> (row % 64) & 1 == 1
}

pub(super) fn strike(rows: &mut [Block], row: usize) {
    rows[row / BLOCK][row / 64 % 8] &= !(1 << (row % 64));
}

pub(super) fn add(rows: &mut [Block], row: usize) {
    rows[row / BLOCK][row / 64 % 8] |= 1 << (row % 64);
}

/// Keeps the rows that are also among others.
pub(super) fn keep(rows: &mut [Block], others: &[Block]) {
    for (rows, others) in rows.iter_mut().zip(others) {
        for (row, other) in rows.iter_mut().zip(others) {
            *row &= other;
        }
    }
}

/// Keeps the rows that are in each of the masks at these places: four at a time, so that the rows are read and
/// written less often.
pub(super) fn keep_all(rows: &mut [Block], masks: &[Block], places: &[u32]) {
    let count = rows.len();
    let mask = |place: u32| &masks[place as usize..][..count];
    let (fours, rest) = places.as_chunks::<4>();
    for places in fours {
        let [a, b, c, d] = places.map(mask);
        for (at, rows) in rows.iter_mut().enumerate() {
            for word in 0..8 {
                rows[word] &= a[at][word] & b[at][word] & c[at][word] & d[at][word];
            }
        }
    }
    rest.iter().for_each(|place| keep(rows, mask(*place)));
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
