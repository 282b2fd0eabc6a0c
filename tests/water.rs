//! The chemistry and the arithmetic of `water` against values from outside the project.
//!
//! Each file in `reference/` names the source beside every value. A row is checked if it carries a
//! tolerance; the counts make a row that is passed over fail the test.

use lentic::water::{constants::*, *};

#[path = "water/lent.rs"]
mod lent;
#[path = "water/lent_chemistry.rs"]
mod lent_chemistry;
#[path = "water/lent_doses.rs"]
mod lent_doses;
#[path = "water/monotone.rs"]
mod monotone;

#[path = "support/reference.rs"]
mod reference;

use reference::{Row, check, rows};

#[test]
#[should_panic(expected = "R-atomic_weight-003: 14.01 instead of 14.007")]
fn a_value_outside_its_tolerance_is_reported() {
    check("atomic_weight", 12, 0, |row| {
        let expected = row.number("expected");
        Some(if row.text("element") == "N" {
            14.01
        } else {
            expected
        })
    });
}

#[test]
#[should_panic(expected = "rows of atomic_weight")]
fn a_row_passed_over_is_reported() {
    check("atomic_weight", 12, 0, |row| {
        (row.text("element") != "N").then(|| row.number("expected"))
    });
}

fn atomic_weight(element: &str) -> f64 {
    match element {
        "H" => H_G_MOL,
        "C" => C_G_MOL,
        "N" => N_G_MOL,
        "O" => O_G_MOL,
        "Na" => NA_G_MOL,
        "Mg" => MG_G_MOL,
        "P" => P_G_MOL,
        "S" => S_G_MOL,
        "Cl" => CL_G_MOL,
        "K" => K_G_MOL,
        "Ca" => CA_G_MOL,
        "Fe" => FE_G_MOL,
        other => panic!("no atomic weight for {other}"),
    }
}

fn molar_mass(species: &str) -> f64 {
    match species {
        "NH3" => NH3_G_MOL,
        "NH4+" => NH4_G_MOL,
        "NO2-" => NO2_G_MOL,
        "NO3-" => NO3_G_MOL,
        "PO4---" => PO4_G_MOL,
        "HCO3-" => HCO3_G_MOL,
        "CO3--" => CO3_G_MOL,
        "CO2" => CO2_G_MOL,
        "O2" => O2_G_MOL,
        "SO4--" => SO4_G_MOL,
        "Cl-" => CL_G_MOL,
        "Na+" => NA_G_MOL,
        "K+" => K_G_MOL,
        "Ca++" => CA_G_MOL,
        "Mg++" => MG_G_MOL,
        "N" => N_G_MOL,
        "P" => P_G_MOL,
        "CaCO3" => CACO3_G_MOL,
        "CaO" => CAO_G_MOL,
        "K2O" => K2O_G_MOL,
        "NH4Cl" => NH4CL_G_MOL,
        "KNO3" => KNO3_G_MOL,
        "KH2PO4" => KH2PO4_G_MOL,
        "K2SO4" => K2SO4_G_MOL,
        "MgSO4.7H2O" => MGSO4_7H2O_G_MOL,
        "CaSO4.2H2O" => CASO4_2H2O_G_MOL,
        "CaCl2.2H2O" => CACL2_2H2O_G_MOL,
        "MgCl2.6H2O" => MGCL2_6H2O_G_MOL,
        "Ca(NO3)2.4H2O" => CA_NO3_2_4H2O_G_MOL,
        "NaHCO3" => NAHCO3_G_MOL,
        "KHCO3" => KHCO3_G_MOL,
        "NaCl" => NACL_G_MOL,
        "Na2S2O3" => NA2S2O3_G_MOL,
        "Na2S2O3.5H2O" => NA2S2O3_5H2O_G_MOL,
        "Cl2" => CL2_G_MOL,
        other => panic!("no molar mass for {other}"),
    }
}

#[test]
fn atomic_weights_are_the_standard_ones() {
    check("atomic_weight", 12, 0, |row| {
        Some(atomic_weight(row.text("element")))
    });
}

#[test]
fn molar_masses_are_sums_of_atomic_weights() {
    check("molar_mass", 30, 0, |row| {
        Some(molar_mass(row.text("species")))
    });
}

#[test]
fn ammonias_acid_constant_follows_temperature() {
    check("ammonia_pka", 10, 0, |row| {
        Some(ammonia_pka(row.number("temp_c")))
    });
}

#[test]
fn the_free_ammonia_fraction_follows_ph_and_temperature() {
    check("ammonia_fraction", 151, 0, |row| {
        Some(free_ammonia_fraction(
            row.number("ph"),
            row.number("temp_c"),
        ))
    });
}

#[test]
fn total_ammonia_leads_back_from_free_ammonia() {
    for row in rows("ammonia_fraction") {
        let (ph, temperature) = (row.number("ph"), row.number("temp_c"));
        let free = free_ammonia_mg_l_n(2.5, ph, temperature);
        let total = total_ammonia_mg_l_n(free, ph, temperature);
        assert!((total - 2.5).abs() < 1e-12, "{}: {total}", row.text("id"));
    }
}

#[test]
fn ammonia_criteria_are_those_of_the_agencys_tables() {
    check("ammonia_criteria_epa2013", 70, 0, |row| {
        let (ph, temperature) = (row.number("ph"), row.number("temp_c"));
        Some(match row.text("criterion") {
            "CMC_oncorhynchus_present" => ammonia_acute_criterion_salmonids_mg_l_n(ph, temperature),
            "CMC_oncorhynchus_absent" => ammonia_acute_criterion_mg_l_n(ph, temperature),
            "CCC" => ammonia_chronic_criterion_mg_l_n(ph, temperature),
            "CCC_4day_max" => ammonia_chronic_maximum_mg_l_n(ph, temperature),
            other => panic!("no criterion {other}"),
        })
    });
}

#[test]
fn a_series_of_changes_dilutes_and_a_release_refills() {
    check("water_change", 6, 0, |row| {
        Some(concentration_after_changes(
            row.number("c0"),
            row.number("added_per_interval"),
            row.number("fraction"),
            row.number("c_in"),
            row.number("changes"),
        ))
    });
}

/// The closed form against the same changes made one by one.
#[test]
fn a_series_of_changes_is_one_change_after_another() {
    for row in rows("water_change") {
        let fraction = row.number("fraction");
        let mut level = row.number("c0");
        for _ in 0..row.number("changes") as usize {
            level += row.number("added_per_interval");
            level = concentration_after_change(level, fraction, row.number("c_in"));
        }
        assert!(row.accepts(level), "{}: {level}", row.text("id"));
    }
}

/// The steady levels that the file gives in its notes, to the four places printed there.
#[test]
fn a_rhythm_of_changes_settles() {
    for row in rows("water_change") {
        let (daily, fraction, source) = (
            row.number("added_per_interval"),
            row.number("fraction"),
            row.number("c_in"),
        );
        let after = steady_level_after_change(daily, 1.0, fraction, source).unwrap();
        let before = steady_level_before_change(daily, 1.0, fraction, source).unwrap();
        let steady =
            format!("steady state after change {after:.4}; just before change {before:.4}");
        let printed = row.text("note");
        assert_eq!(printed, steady, "{}", row.text("id"));
    }
    assert_eq!(steady_level_before_change(1.0, 1.0, 0.0, 0.0), None);
}

#[test]
fn an_unchanged_tank_keeps_what_is_released() {
    assert_eq!(concentration_after_changes(3.0, 0.5, 0.0, 9.0, 4.0), 5.0);
}

#[test]
fn the_number_of_changes_reaches_a_target_and_one_fewer_does_not() {
    check("water_change_count", 3, 0, |row| {
        changes_to_reach(
            row.number("c0"),
            row.number("target"),
            row.number("fraction"),
            row.number("c_in"),
        )
    });
    for row in rows("water_change_count") {
        let level = |changes| {
            concentration_after_changes(
                row.number("c0"),
                0.0,
                row.number("fraction"),
                row.number("c_in"),
                changes,
            )
        };
        let changes = row.number("expected");
        assert!(level(changes) <= row.number("target") * (1.0 + 1e-9));
        assert!(level(changes - 1.0) > row.number("target"));
    }
}

#[test]
fn changes_that_cannot_reach_a_target_have_no_number() {
    assert_eq!(changes_to_reach(8.0, 2.0, 0.0, 0.0), None);
    assert_eq!(changes_to_reach(8.0, 2.0, 0.5, 2.0), None);
    assert_eq!(changes_to_reach(8.0, 2.0, 1.0, 2.0), Some(1.0));
    assert_eq!(changes_to_reach(8.0, 2.0, 1.0, 3.0), None);
    assert_eq!(changes_to_reach(2.0, 8.0, 0.0, 9.0), Some(0.0));
}

#[test]
fn the_fraction_that_reaches_a_target_lands_on_it() {
    for (before, target, source) in [(40.0, 10.0, 5.0), (8.0, 8.0, 0.0), (3.0, 1.0, 1.0)] {
        let fraction = change_fraction_to_reach(before, target, source).unwrap();
        let after = concentration_after_change(before, fraction, source);
        assert!(
            (after - target).abs() < 1e-12,
            "{before} to {target}: {after}"
        );
    }
    let harder = blend_fraction(40.0, 240.0, 90.0).unwrap();
    assert_eq!(concentration_after_change(40.0, harder, 240.0), 90.0);
    assert_eq!(blend_fraction(40.0, 40.0, 90.0), None);
}

/// Worked by hand: 59.4 L of box to the surface, less 10.8 L × 0.6 of grains and 3 L of stone.
#[test]
fn net_volume_leaves_out_grains_and_stone() {
    let net = |bed, porosity, stone| net_volume_l(60.0, 30.0, 33.0, bed, porosity, stone);
    assert!((net(6.0, 0.4, 3.0) - 49.92).abs() < 1e-9);
    assert_eq!(net(0.0, 0.4, 0.0), gross_volume_l(60.0, 30.0, 33.0));
    assert_eq!(net(6.0, 1.0, 0.0), gross_volume_l(60.0, 30.0, 33.0));
    assert_eq!(net(6.0, 0.4, 90.0), 0.0);
}

/// Worked by hand: a bottom of 61.2 × 31.2 cm and walls of 6 mm around 60 × 30 × 36 cm.
#[test]
fn glass_weighs_what_its_panes_do() {
    let bottom_cm3 = 61.2 * 31.2 * 0.6;
    let walls_cm3 = 2.0 * (61.2 + 30.0) * 36.0 * 0.6;
    let by_panes_kg = (bottom_cm3 + walls_cm3) * 0.0025;
    assert!((glass_mass_kg(60.0, 30.0, 36.0, 6.0) - by_panes_kg).abs() < 1e-9);
}

#[test]
fn ammonia_solution_is_as_dense_as_in_tables() {
    check("ammonia_solution_density", 18, 0, |row| {
        Some(ammonia_solution_density_g_ml(
            row.number("nh3_weight_percent"),
        ))
    });
}

#[test]
fn a_dose_of_ammonia_solution_raises_ammonia() {
    check("ammonia_solution_dosing", 4, 0, |row| {
        Some(ammonia_solution_rise_mg_l_n(
            row.number("dose_ml"),
            row.number("volume_l"),
            row.number("nh3_weight_percent"),
            row.number("density_g_ml"),
        ))
    });
    for row in rows("ammonia_solution_dosing") {
        let dose = ammonia_solution_ml(
            row.number("expected"),
            row.number("volume_l"),
            row.number("nh3_weight_percent"),
            row.number("density_g_ml"),
        );
        let relative = dose / row.number("dose_ml") - 1.0;
        assert!(
            relative.abs() <= row.number("tolerance"),
            "{}",
            row.text("id")
        );
    }
}

fn salt(row: &Row) -> Salt {
    let found = Salt::ALL
        .into_iter()
        .find(|salt| salt.formula() == row.text("salt"));
    found.unwrap_or_else(|| panic!("no salt {}", row.text("salt")))
}

fn ion(name: &str) -> Option<Ion> {
    Some(match name {
        "NH4+" => Ion::Ammonium,
        "K+" => Ion::Potassium,
        "Na+" => Ion::Sodium,
        "NO3-" => Ion::Nitrate,
        "PO4---" => Ion::Phosphate,
        "SO4--" => Ion::Sulfate,
        "Cl-" => Ion::Chloride,
        "HCO3-" => Ion::Bicarbonate,
        _ => return None,
    })
}

fn nitrogen_mg_l(salt: Salt, dose: f64, volume: f64) -> f64 {
    let rise = |ion| salt_rise_mg_l(salt, ion, dose, volume) / ion.molar_mass_g_mol();
    (rise(Ion::Ammonium) + rise(Ion::Nitrate)) * N_G_MOL
}

/// The file's last row is a finding: the bicarbonate dose of a printed aquaculture guide, 53 g in
/// 3785 L for 10 mg/L CaCO3, gives 8.34 mg/L by stoichiometry.
#[test]
fn a_dose_of_salt_raises_its_ions() {
    check("salt_dosing", 23, 0, |row| {
        let (dose, volume) = (row.number("dose_g"), row.number("volume_l"));
        Some(match row.text("result") {
            "N" => nitrogen_mg_l(salt(row), dose, volume),
            "dGH" => salt_hardness_rise_mg_l_caco3(salt(row), dose, volume) / DEGREE_DH_MG_L_CACO3,
            "dKH" => {
                salt_alkalinity_rise_mg_l_caco3(salt(row), dose, volume) / DEGREE_DH_MG_L_CACO3
            }
            "mg/L CaCO3 alkalinity" => salt_alkalinity_rise_mg_l_caco3(salt(row), dose, volume),
            name => salt_rise_mg_l(salt(row), ion(name).expect(name), dose, volume),
        })
    });
}

#[test]
fn a_wanted_rise_leads_back_to_the_dose() {
    for row in rows("salt_dosing") {
        let (salt, rise, volume) = (salt(&row), row.number("expected"), row.number("volume_l"));
        let dose = match row.text("result") {
            "N" if salt == Salt::AmmoniumChloride => Some(ammonium_chloride_g(rise, volume)),
            "N" => salt_dose_g(salt, Ion::Nitrate, rise * NO3_G_MOL / N_G_MOL, volume),
            "dGH" => salt_dose_for_hardness_g(salt, rise * DEGREE_DH_MG_L_CACO3, volume),
            "dKH" => salt_dose_for_alkalinity_g(salt, rise * DEGREE_DH_MG_L_CACO3, volume),
            "mg/L CaCO3 alkalinity" => salt_dose_for_alkalinity_g(salt, rise, volume),
            name => salt_dose_g(salt, ion(name).expect(name), rise, volume),
        };
        let relative = dose.expect("a salt that holds it") / row.number("dose_g") - 1.0;
        assert!(
            relative.abs() <= row.number("tolerance"),
            "{}",
            row.text("id")
        );
    }
}

#[test]
fn every_salt_weighs_its_ions_and_crystal_water_and_carries_no_charge() {
    for salt in Salt::ALL {
        assert_eq!(salt.molar_mass_g_mol(), molar_mass(salt.formula()));
        let ions: f64 = salt
            .ions()
            .iter()
            .map(|(ion, count)| ion.molar_mass_g_mol() * count)
            .sum();
        let rest = salt.molar_mass_g_mol() - ions;
        let loose_hydrogens = if salt == Salt::PotassiumDihydrogenPhosphate {
            2.0
        } else {
            0.0
        };
        let crystal_water = (rest - loose_hydrogens * H_G_MOL) / H2O_G_MOL;
        let written = salt
            .formula()
            .split_once('.')
            .map_or("0", |(_, water)| &water[..1]);
        assert!(
            (crystal_water - written.parse::<f64>().unwrap()).abs() < 1e-9,
            "{salt:?}"
        );
        let charges: f64 = salt
            .ions()
            .iter()
            .map(|(ion, count)| charge(*ion) * count)
            .sum();
        assert_eq!(charges + loose_hydrogens, 0.0, "{salt:?}");
    }
}

fn charge(ion: Ion) -> f64 {
    match ion {
        Ion::Ammonium | Ion::Potassium | Ion::Sodium => 1.0,
        Ion::Magnesium | Ion::Calcium => 2.0,
        Ion::Nitrate | Ion::Chloride | Ion::Bicarbonate => -1.0,
        Ion::Sulfate => -2.0,
        Ion::Phosphate => -3.0,
    }
}

#[test]
fn a_salt_without_the_ion_has_no_dose() {
    assert_eq!(
        salt_dose_for_hardness_g(Salt::PotassiumSulfate, 10.0, 100.0),
        None
    );
    assert_eq!(
        salt_dose_for_alkalinity_g(Salt::SodiumChloride, 10.0, 100.0),
        None
    );
    assert_eq!(
        salt_rise_mg_l(Salt::SodiumChloride, Ion::Sulfate, 1.0, 100.0),
        0.0
    );
}

#[test]
fn free_ammonia_and_nitrous_acid_are_those_of_the_nitrification_literature() {
    check("free_ammonia_anthonisen", 10, 0, |row| {
        let (nitrogen, ph) = (row.number("n_mg_l"), row.number("ph"));
        let temperature = row.number("temp_c");
        Some(match row.text("substance") {
            "FA" => free_ammonia_anthonisen_mg_l_nh3(nitrogen, ph, temperature),
            "FNA" => free_nitrous_acid_mg_l_hno2(nitrogen, ph, temperature),
            other => panic!("no substance {other}"),
        })
    });
}

/// The file's two rows without a tolerance are the sources' own levels, which belong to rules.
#[test]
fn nitrite_is_judged_against_chloride() {
    check("nitrite_chloride", 26, 2, |row| {
        let chloride = row.number("chloride_mg_l");
        Some(match row.text("quantity") {
            "nitrite_limit_long_term" => nitrite_guideline_long_term_mg_l_n(chloride),
            "nitrite_limit_short_term" => nitrite_guideline_short_term_mg_l_n(chloride),
            "chloride_to_add_10to1" => {
                chloride_to_add_mg_l(row.number("nitrite_mg_l"), chloride, 10.0)
            }
            "NaCl_to_add_10to1" => {
                sodium_chloride_to_add_mg_l(row.number("nitrite_mg_l"), chloride, 10.0)
            }
            other => panic!("no quantity {other}"),
        })
    });
}

#[test]
fn the_salt_to_add_brings_the_wanted_ratio() {
    let salt = sodium_chloride_to_add_mg_l(2.0, 5.0, 10.0);
    let chloride = 5.0 + salt_rise_mg_l(Salt::SodiumChloride, Ion::Chloride, salt / 1000.0, 1.0);
    let ratio = chloride_to_nitrite_ratio(chloride, 2.0).unwrap();
    assert!((ratio - 10.0).abs() < 1e-9);
}

/// Findings: two published field ratios are no stoichiometry, and are bracketed below instead.
#[test]
fn thiosulfate_neutralises_chlorine_by_the_mole() {
    use ThiosulfateReaction::*;
    check("dechlorination", 6, 2, |row| {
        let reaction = match row.text("reaction") {
            text if text.contains("to sulfate (") => ToSulfate,
            text if text.contains("to sulfur+sulfate") => ToSulfur,
            text if text.contains("to tetrathionate") => ToTetrathionate,
            text if text.contains("monochloramine") => {
                return Some(ammonia_from_chloramine_mg_l_n(1.0));
            }
            "field dose at pH 7" | "sample bottle excess" => return None,
            other => panic!("no reaction {other}"),
        };
        Some(match row.text("reagent") {
            "Na2S2O3" => thiosulfate_g(1.0, 1000.0, reaction),
            "Na2S2O3.5H2O" => thiosulfate_crystals_g(1.0, 1000.0, reaction),
            other => panic!("no reagent {other}"),
        })
    });
}

/// The field dose of 1.9 mg per mg Cl2 at pH 7 (AWWA field guide, table 7-2) lies between the
/// reactions to sulfate (0.56) and to sulfur (2.23): part of the thiosulfate goes all the way. The
/// sample-bottle excess of 5.0 (Standard Methods, 0.1 mL of 3 % in 120 mL for 5 mg/L) lies above
/// the largest need by stoichiometry (4.46), as an excess must.
#[test]
fn published_field_doses_of_thiosulfate_are_bracketed_by_the_reactions() {
    use ThiosulfateReaction::*;
    let published = |name: &str| {
        let row = rows("dechlorination")
            .into_iter()
            .find(|row| row.text("reaction") == name);
        row.expect(name).number("expected")
    };
    let need = |reaction| thiosulfate_g(1.0, 1000.0, reaction);
    let field_dose = published("field dose at pH 7");
    assert!(need(ToSulfate) < field_dose && field_dose < need(ToSulfur));
    assert!(need(ToTetrathionate) < published("sample bottle excess"));
}

/// What one of a unit is in mmol/L of alkaline earths, or of the CaCO3 that has the same charge.
fn hardness_mmol_l(unit: &str) -> f64 {
    match unit {
        "mmol/L alkaline earths" => 1.0,
        "meq/L" | "meq/L alkalinity" => 0.5,
        "mg/L CaCO3" => 1.0 / CACO3_G_MOL,
        "mg/L HCO3" => 0.5 / HCO3_G_MOL,
        "mg/L Ca" => general_hardness_mg_l_caco3(1.0, 0.0) / CACO3_G_MOL,
        "mg/L Mg" => general_hardness_mg_l_caco3(0.0, 1.0) / CACO3_G_MOL,
        "degree_dH" | "degree_dKH" => DEGREE_DH_MG_L_CACO3 / CACO3_G_MOL,
        "degree_fH (French)" => 10.0 / CACO3_G_MOL,
        other => panic!("no unit {other}"),
    }
}

#[test]
fn hardness_and_alkalinity_convert_by_the_mole() {
    check("hardness_alkalinity_conversion", 15, 0, |row| {
        Some(hardness_mmol_l(row.text("from")) / hardness_mmol_l(row.text("to")))
    });
}

/// Milligrams of one substance in a milligram of another, with as many N, P or K in each.
#[test]
fn nitrogen_phosphorus_and_potassium_convert_by_the_mole() {
    let per_atom = |species: &str| molar_mass(species) / if species == "K2O" { 2.0 } else { 1.0 };
    check("nitrogen_phosphorus_conversion", 12, 0, |row| {
        Some(per_atom(row.text("to")) / per_atom(row.text("from")))
    });
}

#[test]
fn magnesium_and_alkalinity_are_never_negative() {
    assert_eq!(magnesium_from_hardness_mg_l(50.0, 30.0), 0.0);
    assert_eq!(alkalinity_beyond_hardness_mg_l_caco3(50.0, 90.0), 0.0);
    let hardness = general_hardness_mg_l_caco3(40.0, 8.0);
    assert!((magnesium_from_hardness_mg_l(hardness, 40.0) - 8.0).abs() < 1e-9);
}

#[test]
fn carbonate_constants_follow_temperature() {
    check("carbonate_constants", 37, 0, |row| {
        let temperature = row.number("temp_c");
        Some(match row.text("quantity") {
            "pK1" => carbonic_acid_pk1(temperature),
            "pK2" => carbonic_acid_pk2(temperature),
            "pKH" => carbon_dioxide_henry_pk(temperature),
            other => panic!("no constant {other}"),
        })
    });
}

fn alkalinity(row: &Row) -> f64 {
    row.number("kh_dkh") * DEGREE_DH_MG_L_CACO3
}

#[test]
fn carbon_dioxide_follows_ph_and_alkalinity() {
    check("co2_from_ph_kh", 128, 0, |row| {
        Some(carbon_dioxide_mg_l(
            row.number("ph"),
            alkalinity(row),
            row.number("temp_c"),
        ))
    });
    check("co2_ideal_formula", 4, 0, |row| {
        Some(carbon_dioxide_ideal_mg_l(
            row.number("ph"),
            alkalinity(row),
            row.number("temp_c"),
        ))
    });
}

/// Findings: against full speciation the ideal formula is 3 to 13 % high, and the trade's short
/// form, outside the file's tolerance, 1 to 19 % low.
#[test]
fn the_simpler_formulas_err_as_far_as_they_say() {
    let spread = |formula: &dyn Fn(&Row) -> f64| {
        let ratios = rows("co2_from_ph_kh")
            .into_iter()
            .map(|row| formula(&row) / row.number("expected"));
        ratios.fold((f64::MAX, f64::MIN), |(low, high), ratio| {
            (low.min(ratio), high.max(ratio))
        })
    };
    let ideal = spread(&|row| {
        carbon_dioxide_ideal_mg_l(row.number("ph"), alkalinity(row), row.number("temp_c"))
    });
    let short = spread(&|row| carbon_dioxide_short_form_mg_l(row.number("ph"), alkalinity(row)));
    assert!(ideal.0 > 1.02 && ideal.1 < 1.13, "{ideal:?}");
    assert!(short.0 > 0.81 && short.1 < 1.0, "{short:?}");
}

#[test]
fn water_at_rest_takes_carbon_dioxide_from_air() {
    check("co2_air_equilibrium", 9, 0, |row| {
        Some(carbon_dioxide_at_air_equilibrium_mg_l(
            row.number("xco2_ppm_dry"),
            row.number("temp_c"),
            row.number("pressure_atm") * STANDARD_ATMOSPHERE_HPA,
        ))
    });
}

fn ph_of_row_at_rest(row: &Row) -> f64 {
    let (air, temperature) = (row.number("xco2_ppm_dry"), row.number("temp_c"));
    ph_at_air_equilibrium(alkalinity(row), air, temperature, STANDARD_ATMOSPHERE_HPA)
}

/// Finding: at 12 °dH the values lie 0.04 to 0.05 above full speciation, outside the tolerance of
/// 0.03, because calcium pairs with bicarbonate and carbonate. With those pairs and the constants of
/// the same source the file was met within 0.0015. The interval of the function ends below these rows.
#[test]
fn water_at_rest_takes_its_ph_from_air() {
    let within_interval = |row: &Row| alkalinity(row) <= 150.0;
    check("ph_at_air_equilibrium", 12, 3, |row| {
        within_interval(row).then(|| ph_of_row_at_rest(row))
    });
    for row in rows("ph_at_air_equilibrium") {
        let above = ph_of_row_at_rest(&row) - row.number("expected");
        assert!((0.0..0.05).contains(&above), "{}: {above}", row.text("id"));
    }
}

#[test]
fn ph_leads_back_from_carbon_dioxide() {
    for row in rows("co2_from_ph_kh") {
        let (ph, temperature) = (row.number("ph"), row.number("temp_c"));
        let co2 = carbon_dioxide_mg_l(ph, alkalinity(&row), temperature);
        let back = ph_from_carbon_dioxide(co2, alkalinity(&row), temperature);
        assert!((back - ph).abs() < 1e-9, "{}: {back}", row.text("id"));
    }
}

/// Finding: the plain rule of ten times for each step of pH is 7.9 % low at 8 °dH, where carbonate
/// turns to bicarbonate, and so misses the file's third row; the route through alkalinity holds.
#[test]
fn a_drop_of_ph_multiplies_carbon_dioxide() {
    check("co2_ph_drop", 3, 0, |row| {
        let (before, temperature) = (row.number("ph_degassed"), row.number("temp_c"));
        let at = |ph| carbon_dioxide_mg_l(ph, alkalinity(row), temperature);
        Some(at(before - row.number("ph_drop")) / at(before))
    });
    check("co2_ph_drop", 2, 1, |row| {
        let ratio = carbon_dioxide_after_ph_drop_mg_l(1.0, row.number("ph_drop"));
        (row.number("kh_dkh") < 8.0).then_some(ratio)
    });
}

#[test]
fn the_drop_of_ph_for_a_level_starts_at_the_degassed_sample() {
    check("co2_ph_drop_needed", 4, 0, |row| {
        let degassed = carbon_dioxide_at_air_equilibrium_mg_l(
            row.number("air_co2_ppm"),
            row.number("temp_c"),
            STANDARD_ATMOSPHERE_HPA,
        );
        Some(ph_drop_to_reach(degassed, row.number("target_co2_mg_l")))
    });
}

#[test]
fn oxygen_saturation_is_that_of_tables() {
    check("dissolved_oxygen_saturation", 25, 0, |row| {
        let pressure = row.number("pressure_atm") * STANDARD_ATMOSPHERE_HPA;
        Some(oxygen_saturation_mg_l(row.number("temp_c"), pressure))
    });
}

#[test]
fn oxygen_saturation_falls_with_altitude() {
    check("pressure_at_altitude", 5, 0, |row| {
        Some(pressure_at_altitude_hpa(row.number("altitude_m")))
    });
    check("dissolved_oxygen_altitude", 15, 0, |row| {
        let pressure = row.number("pressure_atm") * STANDARD_ATMOSPHERE_HPA;
        Some(oxygen_saturation_mg_l(row.number("temp_c"), pressure))
    });
    check("dissolved_oxygen_altitude", 15, 0, |row| {
        let pressure = pressure_at_altitude_hpa(row.number("altitude_m"));
        Some(oxygen_saturation_mg_l(row.number("temp_c"), pressure))
    });
}

/// The file's own equation, tighter than its tolerance, which leaves the small term θ untried.
#[test]
fn oxygen_under_thin_air_follows_the_published_relation_to_the_printed_places() {
    for row in rows("dissolved_oxygen_altitude") {
        let pressure = row.number("pressure_atm") * STANDARD_ATMOSPHERE_HPA;
        let off = oxygen_saturation_mg_l(row.number("temp_c"), pressure) - row.number("expected");
        assert!(off.abs() < 0.0002, "{}: off by {off}", row.text("id"));
    }
}

/// Water's vapour pressure at 25 °C is 31.7 hPa (3.17 kPa) in any handbook; from memory.
#[test]
fn saturated_air_holds_vapour() {
    assert!((water_vapour_pressure_hpa(25.0) - 31.69).abs() < 0.05);
    assert!(
        (oxygen_saturation_percent(4.13175, 25.0, STANDARD_ATMOSPHERE_HPA) - 50.0).abs() < 0.01
    );
}

#[test]
fn water_is_as_dense_as_in_tables() {
    check("water_density", 24, 0, |row| {
        Some(water_density_kg_m3(row.number("temp_c")))
    });
}

#[test]
fn food_becomes_ammonia() {
    check("feed_tan", 5, 0, |row| {
        Some(ammonia_from_food_mg_n(
            row.number("feed_g_per_day"),
            row.number("protein_fraction"),
        ))
    });
}
