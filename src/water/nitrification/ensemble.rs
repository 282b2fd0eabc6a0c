//! Members as points, and the bell that their cloud resembles.
//!
//! A member is a point of normal scores: each trait's share of the way through its range is
//! Φ(score), so that the ranges are a standard normal distribution, and a fitted ensemble is often
//! near a normal one.

use super::random::Stream;
use super::ranges::{Shares, TRAITS};

/// Normal scores of the open traits, the others zero.
pub(super) type Scores = [f64; TRAITS];

/// Shares of the way through the ranges for scores.
pub(super) fn shares(scores: &Scores, open: &[usize]) -> Shares {
    let mut shares = [0.0; TRAITS];
    for (place, &index) in open.iter().enumerate() {
        shares[index] = 0.5 * libm::erfc(-std::f64::consts::FRAC_1_SQRT_2 * scores[place]);
    }
    shares
}

/// Logarithm of the density of the ranges at scores, up to a constant.
pub(super) fn log_prior(scores: &Scores) -> f64 {
    -0.5 * scores.iter().map(|score| score * score).sum::<f64>()
}

/// A normal distribution of the first `size` scores: mean and Cholesky factor of the covariance.
pub(super) struct Bell {
    size: usize,
    mean: Scores,
    factor: [Scores; TRAITS],
    inverse_diagonal: Scores,
}

impl Bell {
    /// The bell with the moments of weighted points. The covariance is drawn a little towards its
    /// own diagonal, which keeps it positive however few points count.
    pub(super) fn of<'a>(
        points: impl Iterator<Item = &'a Scores> + Clone,
        weights: &[f64],
        size: usize,
    ) -> Self {
        let total: f64 = weights.iter().sum();
        let mut mean = [0.0; TRAITS];
        for (point, weight) in points.clone().zip(weights) {
            for index in 0..size {
                mean[index] += weight * point[index] / total;
            }
        }
        let mut factor = [[0.0; TRAITS]; TRAITS];
        for (point, weight) in points.zip(weights) {
            for row in 0..size {
                let part = weight * (point[row] - mean[row]) / total;
                for column in 0..=row {
                    factor[row][column] += part * (point[column] - mean[column]);
                }
            }
        }
        let mut bell = Self {
            size,
            mean,
            factor,
            inverse_diagonal: [0.0; TRAITS],
        };
        bell.shrink();
        bell.factorise();
        bell
    }

    fn shrink(&mut self) {
        for row in 0..self.size {
            for column in 0..row {
                self.factor[row][column] *= 0.95;
            }
            self.factor[row][row] += 1e-6;
        }
    }

    /// Cholesky's factor in place of the covariance.
    fn factorise(&mut self) {
        for row in 0..self.size {
            for column in 0..=row {
                let mut rest = self.factor[row][column];
                for inner in 0..column {
                    rest -= self.factor[row][inner] * self.factor[column][inner];
                }
                if row == column {
                    self.factor[row][row] = rest.max(1e-9).sqrt();
                    self.inverse_diagonal[row] = 1.0 / self.factor[row][row];
                } else {
                    self.factor[row][column] = rest * self.inverse_diagonal[column];
                }
            }
        }
    }

    /// A point part of the way from another to a fresh one of the bell; a move under which the bell
    /// is reversible (Crank and Nicolson's, as Cotter et al. 2013 use it). With it the logarithm of
    /// how much denser the bell is there.
    ///
    /// - `share`: 0 to 1, 1 for a point that owes nothing to the old one
    pub(super) fn near(&self, point: &Scores, share: f64, stream: &mut Stream) -> (Scores, f64) {
        let mut fresh = [0.0; TRAITS];
        stream.normals(&mut fresh[..self.size]);
        let keep = (1.0 - share * share).sqrt();
        let (white, mut near, mut denser) = (self.white(point), [0.0; TRAITS], 0.0);
        for row in 0..self.size {
            let to = keep * white[row] + share * fresh[row];
            denser += 0.5 * (white[row] * white[row] - to * to);
            let mut shift = 0.0;
            for (factor, fresh) in self.factor[row].iter().zip(&fresh[..=row]) {
                shift += factor * fresh;
            }
            near[row] = self.mean[row] + keep * (point[row] - self.mean[row]) + share * shift;
        }
        (near, denser)
    }

    /// The normal numbers that the factor makes a point of.
    fn white(&self, point: &Scores) -> Scores {
        let mut white = [0.0; TRAITS];
        for row in 0..self.size {
            let mut rest = point[row] - self.mean[row];
            for (factor, known) in self.factor[row].iter().zip(&white[..row]) {
                rest -= factor * known;
            }
            white[row] = rest * self.inverse_diagonal[row];
        }
        white
    }
}
