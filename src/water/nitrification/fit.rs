//! An ensemble of tanks that explain a tank's readings.
//!
//! A sequential Monte Carlo sampler (Del Moral, Doucet and Jasra 2006). Members are drawn from the
//! ranges and weighted by how likely each makes the readings, the likelihood raised to a power that
//! grows from 0 to 1 by stages. A stage goes as far as leaves half of the ensemble effective; then
//! members are resampled and moved by Metropolis steps that leave the weighted distribution as it
//! is: part of the way to a fresh point of the bell that fits the ensemble, or along a difference
//! between two members (ter Braak 2006). The likelihood of one reading is a chance, at most 1, so a
//! move is given up as soon as the readings so far have made it too unlikely.

use super::course::Course;
use super::ensemble::{Bell, Scores, log_prior, shares};
use super::parameters::Parameters;
use super::random::Stream;
use super::ranges::{Ranges, TRAITS};
use super::reading::Reading;
use super::tank::Tank;

const EFFECTIVE_SHARE: f64 = 0.5;
const LAST_SWEEPS: usize = 4;
/// Even readings that no member explains are taken in after this many stages.
const MOST_STAGES: usize = 40;

/// How a fit is carried out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// How many members; 16 or more.
    pub members: usize,
    /// Number that all chance is derived from.
    pub seed: u64,
    /// Error allowed in a step of the model, as for [`states`](super::states).
    pub tolerance: f64,
}

impl Default for Settings {
    /// A thousand members, seed 1, tolerance 0.02.
    fn default() -> Self {
        Self {
            members: 1000,
            seed: 1,
            tolerance: 0.02,
        }
    }
}

/// How ill the readings sit with the ensemble.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Misfit {
    /// How many readings.
    pub readings: usize,
    /// Mean over the members of the sum of −2 ln (chance of the reading / its chance in the water
    /// that explains it best). Near `readings` or below where the model holds.
    pub deviance: f64,
    /// The same for the member that explains the readings best.
    pub least_deviance: f64,
    /// Chance that readings of a tank the model holds for are as ill explained or worse, 0 to 1:
    /// the upper tail of χ² at `deviance`, `readings` degrees of freedom, after Wilson and Hilferty
    /// 1931. Fitted members follow the readings, so it errs on the high side.
    pub tail: f64,
}

/// An ensemble fitted to readings.
#[derive(Debug, Clone)]
pub struct Fit {
    pub(super) ranges: Ranges,
    pub(super) settings: Settings,
    members: Vec<Member>,
    open: Vec<usize>,
    /// Natural logarithm of the chance of all readings under the ranges: what two explanations of
    /// the same readings are compared by.
    pub log_evidence: f64,
    /// How many members count: N² over the sum of squares of how often each is repeated.
    pub effective_members: f64,
    /// Stages from the ranges to the fitted ensemble.
    pub stages: usize,
    /// How ill the readings sit with the ensemble.
    pub misfit: Misfit,
}

#[derive(Debug, Clone, Copy)]
struct Member {
    scores: Scores,
    log_likelihood: f64,
}

struct Sampler<'a> {
    tank: &'a Tank,
    readings: Vec<Reading>,
    ranges: &'a Ranges,
    settings: Settings,
    open: Vec<usize>,
}

/// Fits an ensemble to a tank's readings; without readings it is drawn from the ranges.
///
/// The same arguments give the same bits on every machine.
///
/// - `readings`: in any order, none after the last event that matters to them
pub fn fit(tank: &Tank, readings: &[Reading], ranges: &Ranges, settings: Settings) -> Fit {
    let mut readings = readings.to_vec();
    readings.sort_by(|a, b| a.day.total_cmp(&b.day));
    let sampler = Sampler {
        tank,
        readings,
        ranges,
        settings,
        open: ranges.open(tank),
    };
    let mut members = sampler.draw();
    let (log_evidence, stages) = sampler.temper(&mut members);
    Fit {
        ranges: ranges.clone(),
        settings,
        log_evidence,
        effective_members: effective_members(&members),
        stages,
        misfit: sampler.misfit(&members),
        members,
        open: sampler.open,
    }
}

impl Fit {
    /// The parameters of every member, for a tank with so much releasing bed a litre.
    pub fn parameters(&self, bed_kg_l: f64) -> impl Iterator<Item = Parameters> + '_ {
        self.members.iter().map(move |member| {
            let shares = shares(&member.scores, &self.open);
            self.ranges.parameters(&shares, bed_kg_l)
        })
    }
}

impl Sampler<'_> {
    fn stream(&self, stage: usize, member: usize) -> Stream {
        Stream::new([self.settings.seed, stage as u64, 1 + member as u64])
    }

    /// What belongs to a stage and to no member.
    fn stage_stream(&self, stage: usize) -> Stream {
        Stream::new([self.settings.seed, stage as u64, 0])
    }

    fn draw(&self) -> Vec<Member> {
        let member = |index| {
            let mut scores = [0.0; TRAITS];
            let mut stream = self.stream(0, index);
            stream.normals(&mut scores[..self.open.len()]);
            Member {
                scores,
                log_likelihood: self.log_likelihood(&scores, f64::NEG_INFINITY),
            }
        };
        (0..self.settings.members).map(member).collect()
    }

    /// Logarithm of the likelihood of all readings, or −∞ once it is below `least`.
    fn log_likelihood(&self, scores: &Scores, least: f64) -> f64 {
        if self.readings.is_empty() {
            return 0.0;
        }
        // The logarithm of a chance is never above zero.
        if least > 0.0 {
            return f64::NEG_INFINITY;
        }
        let shares = shares(scores, &self.open);
        let parameters = self.ranges.parameters(&shares, self.tank.bed_kg_l);
        let mut course = Course::start(self.tank, &parameters, self.settings.tolerance);
        let mut sum = 0.0;
        for same_day in self.readings.chunk_by(|a, b| a.day == b.day) {
            course.reach(same_day[0].day);
            let water = course.water();
            // A product of likelihoods costs one logarithm; two dozen of them cannot underflow.
            for some in same_day.chunks(24) {
                let chance = |reading: &Reading| reading.likelihood(reading.quantity.of(&water));
                sum += libm::log(some.iter().map(chance).product());
            }
            if sum < least {
                return f64::NEG_INFINITY;
            }
        }
        sum
    }

    fn temper(&self, members: &mut Vec<Member>) -> (f64, usize) {
        let (mut power, mut log_evidence, mut stage) = (0.0, 0.0, 0);
        while power < 1.0 && !self.readings.is_empty() {
            stage += 1;
            let rise = if stage < MOST_STAGES {
                rise(members, 1.0 - power)
            } else {
                1.0 - power
            };
            power += rise;
            let weights = weights(members, rise);
            let mean = weights.iter().sum::<f64>() / members.len() as f64;
            log_evidence += libm::log(mean) + rise * best(members);
            let points = members.iter().map(|member| &member.scores);
            let bell = Bell::of(points, &weights, self.open.len());
            *members = resample(members, &weights, self.stage_stream(stage).uniform());
            let sweeps = if power < 1.0 { 1 } else { 1 + LAST_SWEEPS };
            for sweep in 0..sweeps {
                self.sweep(members, &bell, power, stage + MOST_STAGES * sweep);
            }
        }
        (log_evidence, stage)
    }

    /// Moves every member once, all from the same ensemble, so that their order does not matter.
    fn sweep(&self, members: &mut [Member], bell: &Bell, power: f64, stage: usize) {
        let before = members.to_vec();
        for (index, member) in members.iter_mut().enumerate() {
            let mut stream = self.stream(stage, index);
            let (scores, log_ratio) = self.proposal(&member.scores, &before, bell, &mut stream);
            let bar = libm::log(1.0 - stream.uniform()) - log_ratio;
            let least = member.log_likelihood + bar / power;
            let log_likelihood = self.log_likelihood(&scores, least);
            if log_likelihood >= least {
                *member = Member {
                    scores,
                    log_likelihood,
                };
            }
        }
    }

    /// A point to move to, and the logarithm of what the move weighs apart from the readings.
    fn proposal(
        &self,
        from: &Scores,
        members: &[Member],
        bell: &Bell,
        stream: &mut Stream,
    ) -> (Scores, f64) {
        let kind = stream.uniform();
        if kind < 0.85 {
            let share = [0.6, 1.0, 1.0][stream.below(3)];
            let (to, denser) = bell.near(from, share, stream);
            return (to, log_prior(&to) - log_prior(from) - denser);
        }
        let mut to = *from;
        let one = &members[stream.below(members.len())].scores;
        let two = &members[stream.below(members.len())].scores;
        let size = self.open.len();
        let length = if kind < 0.87 {
            1.0
        } else {
            2.38 / (2.0 * size as f64).sqrt() * (0.5 + stream.uniform())
        };
        for index in 0..size {
            let jitter = 0.04 * (stream.uniform() - 0.5);
            to[index] += length * (one[index] - two[index]) + jitter;
        }
        (to, log_prior(&to) - log_prior(from))
    }

    fn misfit(&self, members: &[Member]) -> Misfit {
        let best: f64 = self
            .readings
            .iter()
            .map(|reading| libm::log(reading.best_likelihood()))
            .sum();
        let deviance = |member: &Member| (2.0 * (best - member.log_likelihood)).max(0.0);
        let mean = members.iter().map(deviance).sum::<f64>() / members.len() as f64;
        Misfit {
            readings: self.readings.len(),
            deviance: mean,
            least_deviance: members.iter().map(deviance).fold(f64::INFINITY, f64::min),
            tail: chi_square_tail(mean, self.readings.len()),
        }
    }
}

fn best(members: &[Member]) -> f64 {
    members
        .iter()
        .map(|member| member.log_likelihood)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Likelihoods raised to `power`, relative to the best.
fn weights(members: &[Member], power: f64) -> Vec<f64> {
    let best = best(members);
    let weight = |member: &Member| libm::exp(power * (member.log_likelihood - best));
    members.iter().map(weight).collect()
}

/// How far the power can rise at a stage, at most `most`.
fn rise(members: &[Member], most: f64) -> f64 {
    let enough = |power: f64| {
        let weights = weights(members, power);
        let sum: f64 = weights.iter().sum();
        let squares: f64 = weights.iter().map(|weight| weight * weight).sum();
        sum * sum >= EFFECTIVE_SHARE * members.len() as f64 * squares
    };
    if enough(most) {
        return most;
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..20 {
        let middle = 0.5 * (low + high);
        if enough(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low.max(1e-6)
}

/// Members in proportion to their weights, at equal distances along the sum of them.
fn resample(members: &[Member], weights: &[f64], offset: f64) -> Vec<Member> {
    let distance = weights.iter().sum::<f64>() / members.len() as f64;
    let (mut chosen, mut reached) = (Vec::with_capacity(members.len()), weights[0]);
    let mut index = 0;
    for place in 0..members.len() {
        let wanted = (place as f64 + offset) * distance;
        while reached < wanted && index + 1 < members.len() {
            index += 1;
            reached += weights[index];
        }
        chosen.push(members[index]);
    }
    chosen
}

fn effective_members(members: &[Member]) -> f64 {
    let mut order: Vec<&Scores> = members.iter().map(|member| &member.scores).collect();
    let compare = |a: &&Scores, b: &&Scores| {
        let pairs = a.iter().zip(b.iter());
        pairs.fold(std::cmp::Ordering::Equal, |order, (x, y)| {
            order.then_with(|| x.total_cmp(y))
        })
    };
    order.sort_unstable_by(compare);
    let squares: usize = order
        .chunk_by(|a, b| a == b)
        .map(|same| same.len() * same.len())
        .sum();
    let count = members.len() as f64;
    count * count / squares as f64
}

fn chi_square_tail(value: f64, freedom: usize) -> f64 {
    if freedom == 0 {
        return 1.0;
    }
    let share = 2.0 / (9.0 * freedom as f64);
    let normal = (libm::cbrt(value / freedom as f64) - (1.0 - share)) / share.sqrt();
    0.5 * libm::erfc(normal / std::f64::consts::SQRT_2)
}
