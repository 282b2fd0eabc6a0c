//! Why readings might fit no member, each reason tried by a fit of its own.

use super::super::constants::{N_G_MOL, NH4_G_MOL, NO2_G_MOL, NO3_G_MOL};
use super::fit::{Fit, Settings, fit};
use super::ranges::{Range, Ranges, Trait};
use super::reading::{Quantity, Reading};
use super::tank::Tank;

/// A reason that readings and model may disagree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Readings were of the ion (NH₄, NO₂, NO₃) though noted as nitrogen.
    ReadAsIon(Quantity),
    /// Readings were of nitrogen though noted as of the ion, so that they were divided once too
    /// often.
    ReadAsNitrogen(Quantity),
    /// Something gives off ammonia that nobody told of.
    HiddenSource,
    /// Less alkalinity than told, or a bed that takes it up fast: nitrification runs out of it.
    LackOfAlkalinity,
    /// Colder than told.
    Cold,
    /// Disinfectant in the water of changes kills the bacteria.
    Chlorine,
}

impl Cause {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::ReadAsIon(Quantity::Ammonia),
        Self::ReadAsIon(Quantity::Nitrite),
        Self::ReadAsIon(Quantity::Nitrate),
        Self::ReadAsNitrogen(Quantity::Ammonia),
        Self::ReadAsNitrogen(Quantity::Nitrite),
        Self::ReadAsNitrogen(Quantity::Nitrate),
        Self::HiddenSource,
        Self::LackOfAlkalinity,
        Self::Cold,
        Self::Chlorine,
    ];

    /// The ranges if this is the cause. No range of these was found published; they are
    /// assumptions wide enough to hold what is meant.
    fn ranges(self, ranges: &Ranges) -> Ranges {
        let ranges = ranges.clone();
        match self {
            Self::ReadAsIon(_) | Self::ReadAsNitrogen(_) => ranges,
            Self::HiddenSource => ranges.with(Trait::Hidden, Range::logarithm(0.05, 3.0)),
            Self::LackOfAlkalinity => ranges
                .with(Trait::Alkalinity, Range::logarithm(0.03, 0.5))
                .with(Trait::AlkalinityUptake, Range::logarithm(0.05, 2.0))
                .with(Trait::OwnAlkalinity, Range::known(0.0)),
            Self::Cold => ranges.with(Trait::Temperature, Range::even(-14.0, -4.0)),
            Self::Chlorine => ranges.with(Trait::Disinfection, Range::even(0.3, 1.0)),
        }
    }

    /// The readings as they should have been noted if this is the cause.
    fn readings(self, readings: &[Reading]) -> Vec<Reading> {
        let (wrong, factor) = match self {
            Self::ReadAsIon(quantity) => (quantity, nitrogen_share(quantity)),
            Self::ReadAsNitrogen(quantity) => (quantity, 1.0 / nitrogen_share(quantity)),
            _ => return readings.to_vec(),
        };
        let mend = |reading: &Reading| {
            if same_test(reading.quantity, wrong) {
                reading.scaled(factor)
            } else {
                *reading
            }
        };
        readings.iter().map(mend).collect()
    }

    fn can_apply(self, tank: &Tank, readings: &[Reading]) -> bool {
        match self {
            Self::ReadAsIon(quantity) | Self::ReadAsNitrogen(quantity) => readings
                .iter()
                .any(|reading| same_test(reading.quantity, quantity)),
            Self::Chlorine => tank
                .events
                .iter()
                .any(|event| matches!(event.change, super::tank::Change::Water { .. })),
            _ => true,
        }
    }
}

fn same_test(read: Quantity, meant: Quantity) -> bool {
    read == meant || (read, meant) == (Quantity::Oxidised, Quantity::Nitrate)
}

fn nitrogen_share(quantity: Quantity) -> f64 {
    let ion = match quantity {
        Quantity::Ammonia => NH4_G_MOL,
        Quantity::Nitrite => NO2_G_MOL,
        Quantity::Nitrate | Quantity::Oxidised => NO3_G_MOL,
        Quantity::Ph | Quantity::Alkalinity => return 1.0,
    };
    N_G_MOL / ion
}

/// A cause and the fit under it.
#[derive(Debug, Clone)]
pub struct Explanation {
    /// The cause.
    pub cause: Cause,
    /// The ensemble under it; its `log_evidence` less that of the plain fit says how much better
    /// the readings are explained, its `misfit` whether they are explained at all.
    pub fit: Fit,
}

/// Fits under each cause that can apply, the one that explains the readings best first.
///
/// The evidence counts how much of its own range a cause had to use up, so a cause is not preferred
/// for mere freedom. Causes that act alike on the readings at hand, such as cold and a lack of
/// alkalinity without a reading of either, stay close together; the caller sees by how much.
pub fn explanations(
    tank: &Tank,
    readings: &[Reading],
    ranges: &Ranges,
    settings: Settings,
) -> Vec<Explanation> {
    let applies = |cause: &Cause| cause.can_apply(tank, readings);
    let mut found: Vec<Explanation> = Cause::ALL
        .into_iter()
        .filter(applies)
        .map(|cause| Explanation {
            cause,
            fit: fit(
                tank,
                &cause.readings(readings),
                &cause.ranges(ranges),
                settings,
            ),
        })
        .collect();
    found.sort_by(|a, b| b.fit.log_evidence.total_cmp(&a.fit.log_evidence));
    found
}
