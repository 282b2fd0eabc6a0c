//! Joins names in the book to functions of `water`, with units and trends.

mod ammonia;
mod carbon_dioxide;
mod changes;
mod hardness;
mod oxygen;
mod salts;
mod tank;
mod tap;

use crate::engine::{Argument, Function, Trend};

use Trend::{Either, Falling, Rising};

/// Every function that can be reckoned and that rules may call, in the order in which they are listed.
pub const FUNCTIONS: &[Function] = &[
    ammonia::UNIONISED_AMMONIA,
    ammonia::TOTAL_AMMONIA_FOR,
    ammonia::CHRONIC_LIMIT,
    ammonia::ACUTE_LIMIT,
    ammonia::AMMONIUM_CHLORIDE_FOR,
    ammonia::AMMONIA_SOLUTION_FOR,
    ammonia::AMMONIA_SOLUTION_ADDS,
    ammonia::AMMONIA_FROM_FOOD,
    ammonia::FOOD_FOR_AMMONIA,
    ammonia::KH_USED_BY,
    ammonia::OXYGEN_USED_BY,
    ammonia::NITROGEN_CONVERSION,
    tap::NITRITE_LIMIT,
    tap::CHLORIDE_TO_NITRITE,
    tap::SALT_AGAINST_NITRITE,
    carbon_dioxide::FROM_PH_KH,
    carbon_dioxide::PH_FOR_CO2,
    carbon_dioxide::FROM_PH_DROP,
    carbon_dioxide::PH_DROP_NEEDED,
    carbon_dioxide::IN_BALANCE_WITH_AIR,
    carbon_dioxide::PH_IN_BALANCE_WITH_AIR,
    oxygen::SATURATION,
    oxygen::AT_ALTITUDE,
    oxygen::SHARE,
    oxygen::AIR_PRESSURE,
    hardness::HARDNESS_CONVERSION,
    hardness::GH_FROM_IONS,
    hardness::MAGNESIUM_FROM_GH,
    hardness::KH_BEYOND_GH,
    hardness::PURE_WATER_FOR,
    salts::RAISE_GH,
    salts::RAISE_KH,
    salts::RAISE_CALCIUM,
    salts::RAISE_MAGNESIUM,
    salts::RAISE_NITRATE,
    salts::RAISE_PHOSPHATE,
    salts::RAISE_POTASSIUM,
    salts::SALT_ADDS,
    salts::PHOSPHATE_CONVERSION,
    changes::SHARE_TO_REACH,
    changes::WATER_TO_CHANGE,
    changes::CHANGES_NEEDED,
    changes::AFTER_CHANGES,
    changes::STEADY_LEVEL,
    changes::TOP_UP,
    changes::TOP_UP_ADDS,
    tap::THIOSULFATE_FOR,
    tap::AMMONIA_FROM_CHLORAMINE,
    tank::WATER_VOLUME,
    tank::GLASS_WEIGHT,
    tank::FILLED_WEIGHT,
    tank::FLOOR_LOAD,
];

/// Where the formula is plain arithmetic, no value is too large for it.
const ANY: (f64, f64) = (0.0, f64::INFINITY);

/// An amount of something, which cannot be less than nothing.
const fn amount(
    name: &'static str,
    unit: &'static str,
    trend: Trend,
    valid: (f64, f64),
) -> Argument {
    Argument {
        name,
        unit,
        trend,
        valid,
        possible: ANY,
        ..Argument::PLAIN
    }
}

/// An argument with a word on what to hand over.
const fn told(argument: Argument, how: &'static str) -> Argument {
    Argument { how, ..argument }
}

const fn share(name: &'static str, trend: Trend, valid: (f64, f64)) -> Argument {
    Argument {
        possible: (0.0, 100.0),
        ..amount(name, "%", trend, valid)
    }
}

const fn choice(name: &'static str, options: &'static [(&'static str, &'static str)]) -> Argument {
    Argument {
        name,
        options,
        trend: Either,
        ..Argument::PLAIN
    }
}

const fn ph(trend: Trend, valid: (f64, f64)) -> Argument {
    Argument {
        possible: (0.0, 14.0),
        ..amount("pH", "pH", trend, valid)
    }
}

/// Of liquid water that something may live in.
const fn temperature(trend: Trend, valid: (f64, f64)) -> Argument {
    Argument {
        possible: (-2.0, 50.0),
        ..amount("temperature", "°C", trend, valid)
    }
}

const fn altitude(trend: Trend) -> Argument {
    let height = Argument {
        possible: (-500.0, 9000.0),
        ..amount("altitude", "m", trend, (-400.0, 5000.0))
    };
    told(height, "Metres above the sea.")
}

/// CO2 in the air over a sample or a tank, in parts per million.
const fn air(trend: Trend) -> Argument {
    let parts = Argument {
        table: "air-by-place",
        possible: (0.0, 1_000_000.0),
        ..amount("air", "", trend, (100.0, 10_000.0))
    };
    told(
        parts,
        "Where the water was aired, or parts of CO2 in a million of that air: one number, or a range as in 420 to 1000.",
    )
}

const fn litres(name: &'static str, trend: Trend) -> Argument {
    amount(name, "L", trend, ANY)
}

/// The water in the tank that is treated.
const WATER: Argument = litres("water", Rising);

/// The water that a dose is spread over.
const INTO_WATER: Argument = litres("water", Falling);

const AMMONIA: Argument = amount("total ammonia", "mg/L N", Rising, (0.0, 100.0));

const KH_NAME: &str = "carbonate hardness";
