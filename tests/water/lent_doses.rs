//! Hardness, doses of salts, water changes, tap water and the tank by name.

use lentic::advice::FUNCTIONS;
use lentic::water::*;

use super::lent::{Check, close, of, reckoned, row, told, value, with};
use super::reference::{self, rows};

/// Name and check of every amount.
pub(crate) const CHECKS: &[(&str, Check)] = &[
    ("hardness-conversion", |name| {
        let mut held = 0;
        for row in rows("hardness_alkalinity_conversion") {
            let from = match row.text("from") {
                "degree_dH" | "degree_dKH" => "1 °dH",
                "meq/L alkalinity" => "1 meq/L",
                "mg/L CaCO3" => "1 mg/L CaCO3",
                _ => continue,
            };
            let found = reckoned(name, &[("hardness", from.into())]);
            let (value, slack) = match row.text("to") {
                "mg/L CaCO3" => (found.low.expect("a number"), 0.001),
                // Lines show three figures.
                "meq/L" | "meq/L alkalinity" => (told(&found.also, "meq/L"), 0.005),
                "mmol/L alkaline earths" => (told(&found.also, "mmol/L"), 0.005),
                "mg/L Ca" => (told(&found.also, "mg/L of calcium"), 0.005),
                _ => (told(&found.also, "°dH"), 0.005),
            };
            held += 1;
            assert!(
                (value / row.number("expected") - 1.0).abs() < slack,
                "{}: {value}",
                row.text("id")
            );
        }
        assert_eq!(held, 11);
    }),
    ("gh-from-ions", |name| {
        let found = |calcium: &str, magnesium: &str| {
            value(
                name,
                &[("calcium", calcium.into()), ("magnesium", magnesium.into())],
            ) / DEGREE_DH_MG_L_CACO3
        };
        let of = |from: &str| row("hardness_alkalinity_conversion", "from", from);
        assert!(of("mg/L Ca").accepts(found("1 mg/L Ca", "0 mg/L Mg")));
        assert!(of("mg/L Mg").accepts(found("0 mg/L Ca", "1 mg/L Mg")));
    }),
    ("magnesium-from-gh", |name| {
        let degrees = row("hardness_alkalinity_conversion", "from", "mg/L Mg").number("expected");
        close(
            value(
                name,
                &[
                    ("general-hardness", with(degrees, "°dH")),
                    ("calcium", "0 mg/L Ca".into()),
                ],
            ),
            1.0,
        );
    }),
    ("kh-beyond-gh", |name| {
        // Worked by hand: 2 meq/L of bicarbonate beside 0.5 mmol/L of calcium leave 1 meq/L, 50.04 mg/L as CaCO3.
        let found = value(
            name,
            &[
                ("carbonate-hardness", "2 meq/L".into()),
                ("general-hardness", "1 meq/L".into()),
            ],
        );
        close(found, 50.043);
    }),
    ("pure-water-for", |name| {
        // Worked by hand: 15 L of distilled water and 5 L at 16 °dH make 20 L at 4 °dH.
        let found = value(
            name,
            &[
                ("hardness-of-the-tap", "16 °dH".into()),
                ("wanted-hardness", "4 °dH".into()),
                ("hardness-of-the-pure-water", "0 °dH".into()),
                ("water", "20 L".into()),
            ],
        );
        close(found, 15.0);
    }),
    ("raise-gh", |name| {
        for (salt, option) in [
            ("MgSO4.7H2O", "magnesium-sulfate"),
            ("CaSO4.2H2O", "calcium-sulfate"),
            ("Ca(NO3)2.4H2O", "calcium-nitrate"),
        ] {
            dose(name, salt, "dGH", "°dH", Some(option));
        }
    }),
    ("raise-kh", |name| {
        dose(name, "NaHCO3", "dKH", "°dH", Some("sodium-bicarbonate"));
        // 61.016 mg of bicarbonate is 50.043 mg of CaCO3: 100.114 g of the salt for 100 L × 500.43 mg/L.
        close(
            value(
                name,
                &[
                    ("wanted-rise", "500.43 mg/L CaCO3".into()),
                    ("water", "100 L".into()),
                    ("salt", "potassium-bicarbonate".into()),
                ],
            ),
            100.114,
        );
    }),
    ("raise-calcium", |name| {
        // A mol of gypsum, 172.164 g (row of molar_mass), holds a mol of calcium, 40.078 g (row of atomic_weight).
        let rise = row("atomic_weight", "element", "Ca").number("expected");
        let mass = row("molar_mass", "species", "CaSO4.2H2O").number("expected");
        let found = value(
            name,
            &[
                ("wanted-rise", with(rise, "mg/L Ca")),
                ("water", "1000 L".into()),
                ("salt", "calcium-sulfate".into()),
            ],
        );
        close(found, mass);
    }),
    ("raise-magnesium", |name| {
        let rise = row("atomic_weight", "element", "Mg").number("expected");
        let mass = row("molar_mass", "species", "MgSO4.7H2O").number("expected");
        let found = value(
            name,
            &[
                ("wanted-rise", with(rise, "mg/L Mg")),
                ("water", "1000 L".into()),
                ("salt", "magnesium-sulfate".into()),
            ],
        );
        close(found, mass);
    }),
    ("raise-nitrate", |name| {
        dose(name, "KNO3", "NO3-", "mg/L NO3", Some("potassium-nitrate"));
        dose(
            name,
            "Ca(NO3)2.4H2O",
            "NO3-",
            "mg/L NO3",
            Some("calcium-nitrate"),
        );
    }),
    ("raise-phosphate", |name| {
        dose(
            name,
            "KH2PO4",
            "PO4---",
            "mg/L PO4",
            Some("potassium-phosphate"),
        )
    }),
    ("raise-potassium", |name| {
        for (salt, option) in [
            ("K2SO4", "potassium-sulfate"),
            ("KNO3", "potassium-nitrate"),
            ("KHCO3", "potassium-bicarbonate"),
            ("KH2PO4", "potassium-phosphate"),
        ] {
            dose(name, salt, "K+", "mg/L K", Some(option));
        }
    }),
    ("salt-adds", |name| {
        let mut held = 0;
        for row in rows("salt_dosing") {
            let function = FUNCTIONS.iter().find(|f| f.name == name).expect("there");
            let choices = function.arguments[2].options;
            let salt = choices
                .iter()
                .find(|(_, label)| label.ends_with(&format!(", {}", row.text("salt"))));
            let found = reckoned(
                name,
                &[
                    ("dose", of(&row, "dose_g", "g")),
                    ("water", of(&row, "volume_l", "L")),
                    ("salt", salt.expect("an option").0.into()),
                ],
            );
            close(
                found.low.expect("a number"),
                row.number("dose_g") / row.number("volume_l"),
            );
            let words = match row.text("result") {
                "NH4+" => "of ammonium",
                "K+" => "of potassium",
                "Na+" => "of sodium",
                "NO3-" => "of nitrate",
                "PO4---" => "of phosphate",
                "SO4--" => "of sulfate",
                "Cl-" => "of chloride",
                "HCO3-" => "of bicarbonate",
                "mg/L CaCO3 alkalinity" => "carbonate hardness",
                _ => continue,
            };
            held += 1;
            // Lines show three figures.
            let value = told(&found.also, words);
            assert!(
                (value / row.number("expected") - 1.0).abs() < 0.005,
                "{}: {value}",
                row.text("id")
            );
        }
        assert_eq!(held, 17);
    }),
    ("phosphate-conversion", |name| {
        assert!(
            row("nitrogen_phosphorus_conversion", "to", "P")
                .accepts(value(name, &[("reading", "1 mg/L PO4".into())]))
        );
    }),
    ("share-to-reach", |name| {
        for row in rows("water_change")
            .iter()
            .filter(|row| row.number("added_per_interval") == 0.0 && row.number("changes") == 1.0)
        {
            let found = value(
                name,
                &[
                    ("now", of(row, "c0", "mg/L N")),
                    ("wanted", of(row, "expected", "mg/L N")),
                    ("new-water", of(row, "c_in", "mg/L N")),
                ],
            );
            close(found, row.number("fraction") * 100.0);
        }
    }),
    ("water-to-change", |name| {
        for row in rows("water_change")
            .iter()
            .filter(|row| row.number("added_per_interval") == 0.0 && row.number("changes") == 1.0)
        {
            let found = value(
                name,
                &[
                    ("now", of(row, "c0", "")),
                    ("wanted", of(row, "expected", "")),
                    ("new-water", of(row, "c_in", "")),
                    ("water", "80 L".into()),
                ],
            );
            close(found, row.number("fraction") * 80.0);
        }
    }),
    ("changes-needed", |name| {
        reference::check("water_change_count", 3, 0, |row| {
            Some(value(
                name,
                &[
                    ("now", of(row, "c0", "")),
                    ("wanted", of(row, "target", "")),
                    ("new-water", of(row, "c_in", "")),
                    (
                        "share-of-each-change",
                        with(row.number("fraction") * 100.0, "%"),
                    ),
                ],
            ))
        });
    }),
    ("after-changes", |name| {
        reference::check("water_change", 6, 0, |row| {
            Some(value(
                name,
                &[
                    ("now", of(row, "c0", "")),
                    (
                        "share-of-each-change",
                        with(row.number("fraction") * 100.0, "%"),
                    ),
                    ("new-water", of(row, "c_in", "")),
                    ("changes", of(row, "changes", "")),
                    (
                        "released-before-each-change",
                        of(row, "added_per_interval", ""),
                    ),
                ],
            ))
        });
    }),
    ("steady-level", |name| {
        for row in rows("water_change") {
            let found = value(
                name,
                &[
                    ("released-a-day", of(&row, "added_per_interval", "")),
                    ("days-between-changes", "1 day".into()),
                    (
                        "share-of-each-change",
                        with(row.number("fraction") * 100.0, "%"),
                    ),
                    ("new-water", of(&row, "c_in", "")),
                ],
            );
            let printed = row.text("note").rsplit(' ').next().expect("a number");
            assert!(
                (found - printed.parse::<f64>().expect("a number")).abs() < 6e-5,
                "{}: {found}",
                row.text("id")
            );
        }
    }),
    ("top-up", |name| {
        // 50 cm × 20 cm × 1 cm is a litre (SI brochure, 9th edition, table 8).
        let found = value(
            name,
            &[
                ("inner-length", "50 cm".into()),
                ("inner-width", "20 cm".into()),
                ("fallen-by", "10 mm".into()),
            ],
        );
        close(found, 1.0);
    }),
    ("top-up-adds", |name| {
        // Worked by hand: 10 L at 12 °dH bring 120 L °dH, in 100 L 1.2 °dH.
        close(
            value(
                name,
                &[
                    ("top-up-water", "12".into()),
                    ("topped-up", "10 L".into()),
                    ("water", "100 L".into()),
                ],
            ),
            1.2,
        );
    }),
    ("thiosulfate-for", |name| {
        reference::check("dechlorination", 5, 3, |row| {
            let reaction = match row.text("reaction") {
                text if text.contains("to sulfate (") => "to-sulfate",
                text if text.contains("to sulfur+sulfate") => "to-sulfur",
                text if text.contains("to tetrathionate") => "to-tetrathionate",
                _ => return None,
            };
            let form = if row.text("reagent").contains("5H2O") {
                "crystals"
            } else {
                "anhydrous"
            };
            Some(value(
                name,
                &[
                    ("chlorine", "1 mg/L Cl2".into()),
                    ("water", "1 L".into()),
                    ("form", form.into()),
                    ("reaction", reaction.into()),
                ],
            ))
        });
    }),
    ("ammonia-from-chloramine", |name| {
        let chloramine = rows("dechlorination")
            .into_iter()
            .find(|row| row.text("reaction").contains("monochloramine"));
        let found = value(
            name,
            &[
                ("chloramine", "1 mg/L Cl2".into()),
                ("share-of-new-water", "100 %".into()),
            ],
        );
        assert!(chloramine.expect("a row").accepts(found), "{found}");
    }),
    ("water-volume", |name| {
        // Worked by hand: 59.4 L of box, less 10.8 L × 0.6 of grains and 3 L of stone.
        let found = value(
            name,
            &[
                ("inner-length", "60 cm".into()),
                ("inner-width", "30 cm".into()),
                ("height-of-the-water", "33 cm".into()),
                ("depth-of-the-bed", "6 cm".into()),
                ("pores-of-the-bed", "40 %".into()),
                ("wood-and-stone", "3 L".into()),
            ],
        );
        close(found, 49.92);
    }),
    ("glass-weight", |name| {
        // Worked by hand: a bottom of 61.2 × 31.2 cm and walls of 6 mm around 60 × 30 × 36 cm, at 2.5 kg/L (EN 572-1, from
        // memory).
        let panes_cm3 = 61.2 * 31.2 * 0.6 + 2.0 * (61.2 + 30.0) * 36.0 * 0.6;
        let found = value(
            name,
            &[
                ("inner-length", "60 cm".into()),
                ("inner-width", "30 cm".into()),
                ("inner-height", "36 cm".into()),
                ("glass-thickness", "6 mm".into()),
            ],
        );
        close(found, panes_cm3 * 0.0025);
    }),
    ("filled-weight", |name| {
        // Worked by hand: 50 kg of water, 10.8 kg of bed, 7.8 kg of stone and 30 kg of tank.
        let found = value(
            name,
            &[
                ("water", "50 L".into()),
                ("bed", "10.8 L".into()),
                ("density-of-the-bed", "1".into()),
                ("wood-and-stone", "3 L".into()),
                ("density-of-wood-and-stone", "2.6".into()),
                ("empty-weight", "30 kg".into()),
            ],
        );
        close(found, 98.6);
    }),
    ("floor-load", |name| {
        // Standard gravity is 9.80665 m/s² (SI brochure): 1000 kg on a square metre press with 9.80665 kN.
        let found = value(
            name,
            &[
                ("weight", "1000 kg".into()),
                ("length", "1 m".into()),
                ("width", "100 cm".into()),
            ],
        );
        close(found, 9.80665);
    }),
];

/// Holds that the dose for what a row of `salt_dosing` says is the dose of that row.
#[track_caller]
pub(crate) fn dose(name: &str, salt: &str, result: &str, unit: &str, option: Option<&str>) {
    let mut found = rows("salt_dosing").into_iter();
    let row = found.find(|row| row.text("salt") == salt && row.text("result") == result);
    let row = row.unwrap_or_else(|| panic!("no row for {salt} and {result}"));
    let mut asked = vec![
        ("wanted-rise", of(&row, "expected", unit)),
        ("water", of(&row, "volume_l", "L")),
    ];
    asked.extend(option.map(|option| ("salt", option.to_owned())));
    close(value(name, &asked), row.number("dose_g"));
}
