//! What the ensemble says of the days to come.

use super::course::Course;
use super::fit::Fit;
use super::parameters::Parameters;
use super::reading::Quantity;
use super::state::Water;
use super::tank::{Change, Tank};

/// Shares of the ensemble that lie below the five lines of a band.
pub const LINES: [f64; 5] = [0.05, 0.25, 0.5, 0.75, 0.95];

/// Courses of all members, day by day.
#[derive(Debug, Clone)]
pub struct Forecast {
    days: usize,
    waters: Vec<Water>,
}

impl Fit {
    /// The ensemble's courses under a tank's events, from filling to a day.
    ///
    /// The tank may be another than the one fitted: with other events ahead, or another plan from
    /// the start. Nitrogen, pH and alkalinity are those before the day's own events.
    ///
    /// - `last_day`: since filling
    pub fn forecast(&self, tank: &Tank, last_day: usize) -> Forecast {
        let days = last_day + 1;
        let mut waters = Vec::with_capacity(days * self.settings.members);
        for parameters in self.parameters(tank.bed_kg_l) {
            run(
                tank,
                &parameters,
                days,
                self.settings.tolerance,
                &mut waters,
            );
        }
        Forecast { days, waters }
    }
}

/// The courses of an ensemble, led on day by day, each under changes of its own.
pub struct Walk<'a>(Vec<Course<'a>>);

impl<'a> Walk<'a> {
    /// The courses at filling.
    ///
    /// - `members`: such as [`Fit::parameters`]
    /// - `tolerance`: as for [`states`](super::states)
    pub fn start(tank: &'a Tank, members: &'a [Parameters], tolerance: f64) -> Self {
        let course = |member| Course::start(tank, member, tolerance);
        Self(members.iter().map(course).collect())
    }

    /// Goes on to a day, through the tank's events before it, and says what water each member has.
    ///
    /// - `day`: since filling, not before the last one
    pub fn reach(&mut self, day: f64) -> Vec<Water> {
        let water = |course: &mut Course<'a>| {
            course.reach(day);
            course.water()
        };
        self.0.iter_mut().map(water).collect()
    }

    /// Lets a change happen to one member at the moment that was reached.
    pub fn happen(&mut self, member: usize, change: &Change) {
        if let Some(course) = self.0.get_mut(member) {
            course.happen(change);
        }
    }
}

fn run(tank: &Tank, parameters: &Parameters, days: usize, tolerance: f64, into: &mut Vec<Water>) {
    let mut course = Course::start(tank, parameters, tolerance);
    for day in 0..days {
        course.reach(day as f64);
        into.push(course.water());
    }
}

impl Forecast {
    /// Courses from the waters of all members, day by day from filling on.
    ///
    /// - `days`: each with a water for every member, such as [`Walk::reach`]
    pub fn of_days(days: &[Vec<Water>]) -> Self {
        let members = days.first().map_or(0, Vec::len);
        let course = |member: usize| days.iter().map(move |waters| waters[member]);
        Self {
            days: days.len(),
            waters: (0..members).flat_map(course).collect(),
        }
    }

    /// How many days, the day of filling among them.
    pub fn days(&self) -> usize {
        self.days
    }

    /// The course of each member: its water on each day.
    pub fn courses(&self) -> impl ExactSizeIterator<Item = &[Water]> + '_ {
        self.waters.chunks_exact(self.days)
    }

    /// For each day the values below which 5, 25, 50, 75 and 95 % of the ensemble lie.
    pub fn bands(&self, quantity: Quantity) -> Vec<[f64; 5]> {
        let mut values = Vec::with_capacity(self.courses().len());
        (0..self.days)
            .map(|day| {
                values.clear();
                values.extend(self.courses().map(|course| quantity.of(&course[day])));
                lines(&mut values)
            })
            .collect()
    }

    /// For each day the share of the ensemble for which a condition holds, 0 to 1.
    ///
    /// - `holds`: judges a member's waters from filling up to and with that day
    pub fn chance(&self, holds: impl Fn(&[Water]) -> bool) -> Vec<f64> {
        self.share(|course, day| holds(&course[..=day]))
    }

    /// For each day the share of the ensemble for which a condition held on that day or one
    /// before, 0 to 1.
    pub fn chance_by(&self, holds: impl Fn(&[Water]) -> bool) -> Vec<f64> {
        let first_days = self.first_days(holds);
        let count = first_days.len() as f64;
        let reached = |day: usize| {
            let reached = first_days.iter().flatten().filter(|&&first| first <= day);
            reached.count() as f64 / count
        };
        (0..self.days).map(reached).collect()
    }

    /// For each member the first day on which a condition holds.
    pub fn first_days(&self, holds: impl Fn(&[Water]) -> bool) -> Vec<Option<usize>> {
        self.courses()
            .map(|course| (0..self.days).find(|&day| holds(&course[..=day])))
            .collect()
    }

    fn share(&self, holds: impl Fn(&[Water], usize) -> bool) -> Vec<f64> {
        let count = self.courses().len() as f64;
        let share = |day| self.courses().filter(|course| holds(course, day)).count() as f64 / count;
        (0..self.days).map(share).collect()
    }
}

/// The values at [`LINES`], each the smallest that so many of the values do not exceed.
fn lines(values: &mut [f64]) -> [f64; 5] {
    let (mut found, mut from) = ([0.0; 5], 0);
    for (line, share) in found.iter_mut().zip(LINES) {
        let place = ((share * values.len() as f64).ceil() as usize).max(1) - 1;
        let place = place.max(from);
        let (_, value, _) = values[from..].select_nth_unstable_by(place - from, f64::total_cmp);
        *line = *value;
        from = place;
    }
    found
}
