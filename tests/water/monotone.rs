//! Every claim of monotony in the documentation of `water`, tried on a grid over its interval.
//!
//! Values over intervals are taken at end points on the strength of these claims, so a false one
//! would make advice wrong without a word.

use lentic::water::{ThiosulfateReaction::*, *};

/// One argument: its interval, and whether the value rises or falls with it.
#[derive(Clone, Copy)]
struct Axis {
    low: f64,
    high: f64,
    rising: bool,
}

const fn up(low: f64, high: f64) -> Axis {
    Axis {
        low,
        high,
        rising: true,
    }
}

const fn down(low: f64, high: f64) -> Axis {
    Axis {
        low,
        high,
        rising: false,
    }
}

impl Axis {
    fn points(self, count: usize) -> impl Iterator<Item = f64> {
        let step = (self.high - self.low) / (count - 1) as f64;
        (0..count).map(move |index| self.low + step * index as f64)
    }

    fn goes_against(self, from: f64, to: f64) -> bool {
        let change = if self.rising { to - from } else { from - to };
        // Rounding may undo what is level.
        change.is_nan() || change < -1e-12 * from.abs()
    }
}

fn grid(axes: &[Axis]) -> Vec<Vec<f64>> {
    axes.iter().fold(vec![Vec::new()], |starts, axis| {
        let extended = starts.iter().flat_map(|start| {
            axis.points(3)
                .map(move |point| [start.as_slice(), &[point]].concat())
        });
        extended.collect()
    })
}

#[track_caller]
fn check<const N: usize>(axes: [Axis; N], value: impl Fn([f64; N]) -> f64) {
    let at = |arguments: &[f64]| value(arguments.try_into().unwrap());
    for (position, axis) in axes.iter().enumerate() {
        let mut moved = false;
        for mut arguments in grid(&axes) {
            arguments[position] = axis.low;
            let mut previous = at(&arguments);
            for point in axis.points(60) {
                arguments[position] = point;
                let next = at(&arguments);
                assert!(
                    !axis.goes_against(previous, next),
                    "argument {position} at {arguments:?}: from {previous} to {next}"
                );
                moved |= next != previous;
                previous = next;
            }
        }
        assert!(moved, "argument {position} never moves the value");
    }
}

#[test]
#[should_panic(expected = "argument 1 at")]
fn a_false_claim_is_found() {
    check([up(0.0, 1.0), up(0.0, 1.0)], |[x, y]| x + y * (1.0 - y));
}

#[test]
fn ammonia_moves_as_documented() {
    check([down(0.0, 50.0)], |[t]| ammonia_pka(t));
    check([up(6.0, 10.0), up(0.0, 50.0)], |[ph, t]| {
        free_ammonia_fraction(ph, t)
    });
    check(
        [up(0.0, 50.0), up(6.0, 10.0), up(0.0, 50.0)],
        |[n, ph, t]| free_ammonia_mg_l_n(n, ph, t),
    );
    check(
        [up(0.0, 1.0), down(6.0, 10.0), down(0.0, 50.0)],
        |[n, ph, t]| total_ammonia_mg_l_n(n, ph, t),
    );
    check(
        [up(0.0, 50.0), up(6.0, 9.0), up(0.0, 40.0)],
        |[n, ph, t]| free_ammonia_anthonisen_mg_l_nh3(n, ph, t),
    );
    check(
        [up(0.0, 50.0), down(6.0, 9.0), down(0.0, 40.0)],
        |[n, ph, t]| free_nitrous_acid_mg_l_hno2(n, ph, t),
    );
    for criterion in [
        ammonia_acute_criterion_mg_l_n,
        ammonia_acute_criterion_salmonids_mg_l_n,
        ammonia_chronic_criterion_mg_l_n,
        ammonia_chronic_maximum_mg_l_n,
    ] {
        check([down(6.5, 9.0), down(0.0, 30.0)], |[ph, t]| {
            criterion(ph, t)
        });
    }
}

#[test]
fn volumes_and_masses_move_as_documented() {
    check([up(0.0, 200.0); 3], |[l, w, h]| gross_volume_l(l, w, h));
    let (side, depth, bed) = (up(20.0, 200.0), up(20.0, 80.0), down(0.0, 20.0));
    check(
        [side, side, depth, bed, up(0.0, 1.0), down(0.0, 30.0)],
        |[l, w, d, b, p, h]| net_volume_l(l, w, d, b, p, h),
    );
    check(
        [
            up(10.0, 200.0),
            up(10.0, 200.0),
            up(10.0, 80.0),
            up(3.0, 20.0),
        ],
        |[l, w, h, t]| glass_mass_kg(l, w, h, t),
    );
    check(
        [
            up(0.0, 500.0),
            up(0.0, 99.0),
            up(0.5, 2.0),
            up(0.0, 50.0),
            up(0.5, 3.0),
            up(0.0, 99.0),
        ],
        |[w, b, bd, h, hd, e]| filled_mass_kg(w, b, bd, h, hd, e),
    );
    check(
        [up(0.0, 900.0), down(20.0, 200.0), down(20.0, 200.0)],
        |[m, l, w]| floor_load_kg_m2(m, l, w),
    );
    check(
        [up(0.0, 900.0), down(20.0, 200.0), down(20.0, 200.0)],
        |[m, l, w]| floor_pressure_kn_m2(m, l, w),
    );
}

#[test]
fn dilution_moves_as_documented() {
    check(
        [up(5.0, 50.0), down(0.0, 1.0), up(0.0, 5.0)],
        |[b, f, s]| concentration_after_change(b, f, s),
    );
    check([up(0.0, 5.0), up(0.0, 1.0), up(5.0, 50.0)], |[b, f, s]| {
        concentration_after_change(b, f, s)
    });
    check(
        [up(5.0, 50.0), up(0.0, 3.0), down(0.0, 1.0), up(0.0, 5.0)],
        |[c, r, f, s]| concentration_after_changes(c, r, f, s, 5.0),
    );
    check([up(0.0, 20.0)], |[n]| {
        concentration_after_changes(0.0, 3.0, 0.4, 1.0, n)
    });
    check([down(0.0, 20.0)], |[n]| {
        concentration_after_changes(90.0, 3.0, 0.4, 1.0, n)
    });
    check(
        [up(0.0, 3.0), up(1.0, 14.0), down(0.1, 1.0), up(0.0, 9.0)],
        |[r, d, f, s]| steady_level_before_change(r, d, f, s).unwrap(),
    );
    check(
        [up(0.0, 3.0), up(1.0, 14.0), down(0.1, 1.0), up(0.0, 9.0)],
        |[r, d, f, s]| steady_level_after_change(r, d, f, s).unwrap(),
    );
    check(
        [up(5.0, 50.0), down(5.0, 50.0), up(0.0, 5.0)],
        |[b, t, s]| change_fraction_to_reach(b, t, s).unwrap(),
    );
    check(
        [up(20.0, 50.0), up(0.0, 9.0), down(9.0, 20.0)],
        |[a, b, t]| blend_fraction(a, b, t).unwrap(),
    );
    check(
        [down(0.0, 9.0), down(20.0, 50.0), up(9.0, 20.0)],
        |[a, b, t]| blend_fraction(a, b, t).unwrap(),
    );
    check(
        [up(5.0, 90.0), down(5.0, 50.0), down(0.1, 1.0), up(0.0, 4.0)],
        |[b, t, f, s]| changes_to_reach(b, t, f, s).unwrap(),
    );
    check(
        [up(0.0, 300.0), up(0.0, 50.0), down(10.0, 500.0)],
        |[s, t, v]| rise_from_top_ups(s, t, v),
    );
}

#[test]
fn doses_move_as_documented() {
    let (rise, volume) = (up(0.0, 9.0), up(0.0, 500.0));
    let (dose, into) = (up(0.0, 9.0), down(1.0, 500.0));
    check([rise, volume], |[r, v]| ammonium_chloride_g(r, v));
    check([dose, into], |[d, v]| ammonium_chloride_rise_mg_l_n(d, v));
    check([down(0.0, 35.0)], |[w]| ammonia_solution_density_g_ml(w));
    check(
        [rise, volume, down(1.0, 35.0), down(0.8, 1.0)],
        |[r, v, w, d]| ammonia_solution_ml(r, v, w, d),
    );
    check([dose, into, up(0.0, 35.0), up(0.8, 1.0)], |[m, v, w, d]| {
        ammonia_solution_rise_mg_l_n(m, v, w, d)
    });
    check([dose, into], |[d, v]| {
        salt_rise_mg_l(Salt::PotassiumNitrate, Ion::Nitrate, d, v)
    });
    check([rise, volume], |[r, v]| {
        salt_dose_g(Salt::PotassiumNitrate, Ion::Nitrate, r, v).unwrap()
    });
    check([dose, into], |[d, v]| {
        salt_hardness_rise_mg_l_caco3(Salt::CalciumSulfateDihydrate, d, v)
    });
    check([rise, volume], |[r, v]| {
        salt_dose_for_hardness_g(Salt::CalciumSulfateDihydrate, r, v).unwrap()
    });
    check([dose, into], |[d, v]| {
        salt_alkalinity_rise_mg_l_caco3(Salt::SodiumBicarbonate, d, v)
    });
    check([rise, volume], |[r, v]| {
        salt_dose_for_alkalinity_g(Salt::SodiumBicarbonate, r, v).unwrap()
    });
    for reaction in [ToSulfate, ToSulfur, ToTetrathionate] {
        assert!(thiosulfate_g(2.0, 50.0, reaction) > thiosulfate_g(1.0, 50.0, reaction));
        assert!(thiosulfate_crystals_g(1.0, 50.0, reaction) > thiosulfate_g(1.0, 50.0, reaction));
    }
    check([up(0.0, 4.0), up(0.0, 500.0)], |[c, v]| {
        thiosulfate_g(c, v, ToSulfur)
    });
    check([up(0.0, 4.0), up(0.0, 500.0)], |[c, v]| {
        thiosulfate_crystals_g(c, v, ToSulfur)
    });
    check([up(0.0, 4.0)], |[c]| ammonia_from_chloramine_mg_l_n(c));
    check([up(0.0, 20.0), up(0.0, 1.0)], |[f, p]| {
        ammonia_from_food_mg_n(f, p)
    });
}

#[test]
fn nitrite_and_hardness_move_as_documented() {
    check([up(0.0, 20.0)], |[c]| nitrite_guideline_long_term_mg_l_n(c));
    check([up(0.0, 20.0)], |[c]| {
        nitrite_guideline_short_term_mg_l_n(c)
    });
    check([up(0.0, 200.0), down(0.1, 9.0)], |[c, n]| {
        chloride_to_nitrite_ratio(c, n).unwrap()
    });
    check(
        [up(0.0, 9.0), down(0.0, 200.0), up(0.0, 20.0)],
        |[n, c, r]| chloride_to_add_mg_l(n, c, r),
    );
    check(
        [up(0.0, 9.0), down(0.0, 200.0), up(0.0, 20.0)],
        |[n, c, r]| sodium_chloride_to_add_mg_l(n, c, r),
    );
    check([up(0.0, 150.0), up(0.0, 50.0)], |[ca, mg]| {
        general_hardness_mg_l_caco3(ca, mg)
    });
    check([up(0.0, 400.0), down(0.0, 150.0)], |[gh, ca]| {
        magnesium_from_hardness_mg_l(gh, ca)
    });
    check([up(0.0, 400.0), down(0.0, 400.0)], |[kh, gh]| {
        alkalinity_beyond_hardness_mg_l_caco3(kh, gh)
    });
}

#[test]
fn gases_move_as_documented() {
    let (alkalinity, temperature) = (up(15.0, 300.0), down(5.0, 35.0));
    check([down(0.0, 50.0)], |[t]| carbonic_acid_pk1(t));
    check([down(0.0, 50.0)], |[t]| carbonic_acid_pk2(t));
    check([up(0.0, 50.0)], |[t]| carbon_dioxide_henry_pk(t));
    check(
        [down(1.0, 2.0), down(0.0, 0.1), down(0.0, 50.0)],
        |[z, i, t]| ion_activity_coefficient(z, i, t),
    );
    check([down(5.5, 9.0), alkalinity, temperature], |[ph, kh, t]| {
        carbon_dioxide_mg_l(ph, kh, t)
    });
    check(
        [down(5.5, 8.0), up(0.0, 300.0), down(0.0, 50.0)],
        |[ph, kh, t]| carbon_dioxide_ideal_mg_l(ph, kh, t),
    );
    check([down(6.0, 7.6), up(0.0, 300.0)], |[ph, kh]| {
        carbon_dioxide_short_form_mg_l(ph, kh)
    });
    check([down(0.1, 200.0), alkalinity, temperature], |[c, kh, t]| {
        ph_from_carbon_dioxide(c, kh, t)
    });
    check([up(0.1, 3.0), up(0.0, 3.0)], |[c, drop]| {
        carbon_dioxide_after_ph_drop_mg_l(c, drop)
    });
    check([down(0.1, 3.0), up(1.0, 60.0)], |[c, target]| {
        ph_drop_to_reach(c, target)
    });
    check(
        [up(0.0, 1e4), down(0.0, 35.0), up(500.0, 1100.0)],
        |[x, t, p]| carbon_dioxide_at_air_equilibrium_mg_l(x, t, p),
    );
    check(
        [
            up(15.0, 150.0),
            down(100.0, 1e4),
            up(5.0, 35.0),
            down(500.0, 1100.0),
        ],
        |[kh, x, t, p]| ph_at_air_equilibrium(kh, x, t, p),
    );
    check([down(-400.0, 5000.0)], |[h]| pressure_at_altitude_hpa(h));
    check([up(0.0, 40.0)], |[t]| water_vapour_pressure_hpa(t));
    check([down(0.0, 40.0), up(500.0, 1100.0)], |[t, p]| {
        oxygen_saturation_mg_l(t, p)
    });
    check(
        [up(0.0, 15.0), up(0.0, 40.0), down(500.0, 1100.0)],
        |[o, t, p]| oxygen_saturation_percent(o, t, p),
    );
    check([up(0.0, 3.9)], |[t]| water_density_kg_m3(t));
    check([down(4.1, 100.0)], |[t]| water_density_kg_m3(t));
}
