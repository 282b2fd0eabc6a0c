//! Numbers that look like chance and are the same everywhere.

const GOLDEN_GAMMA: u64 = 0x9e37_79b9_7f4a_7c15;

/// A stream of random numbers: SplitMix64 (Steele, Lea and Flood 2014), which mixes a counter.
///
/// Streams of different keys are independent for every purpose here, so that what is drawn for one
/// member does not depend on how much was drawn for another.
#[derive(Debug, Clone)]
pub struct Stream(u64);

impl Stream {
    /// The stream of a key; each part of the key counts.
    pub fn new(key: [u64; 3]) -> Self {
        let mix = |state: u64, part: u64| finish(state.wrapping_add(GOLDEN_GAMMA) ^ part);
        Self(key.into_iter().fold(0, mix))
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(GOLDEN_GAMMA);
        finish(self.0)
    }

    /// The next number from 0 to below 1, in steps of 2⁻⁵³.
    pub fn uniform(&mut self) -> f64 {
        (self.bits() >> 11) as f64 * (1.0 / 9_007_199_254_740_992.0)
    }

    /// The next whole number below `bound`, which is above 0.
    pub fn below(&mut self, bound: usize) -> usize {
        (((self.bits() >> 32) * bound as u64) >> 32) as usize
    }

    /// The next number of a normal distribution with mean 0 and deviation 1.
    pub fn normal(&mut self) -> f64 {
        self.normal_pair().0
    }

    /// Fills a slice with numbers of that distribution.
    pub fn normals(&mut self, values: &mut [f64]) {
        for pair in values.chunks_mut(2) {
            let (first, second) = self.normal_pair();
            pair[0] = first;
            if let [_, last] = pair {
                *last = second;
            }
        }
    }

    /// By the polar method of Marsaglia and Bray 1964.
    fn normal_pair(&mut self) -> (f64, f64) {
        loop {
            let (x, y) = (2.0 * self.uniform() - 1.0, 2.0 * self.uniform() - 1.0);
            let square = x * x + y * y;
            if square < 1.0 && square > 0.0 {
                let scale = (-2.0 * libm::log(square) / square).sqrt();
                return (x * scale, y * scale);
            }
        }
    }
}

fn finish(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}
