//! What a dissolved salt adds to the water, ion by ion, and to hardness and alkalinity.
//!
//! Salts count as pure, with the water of crystallisation that their formula shows, and as wholly
//! dissolved (gypsum needs hours, and dissolves to about 2 g/L).

use super::constants::*;

const MG_PER_G: f64 = 1000.0;

/// A salt that keepers dose.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Salt {
    /// NH₄Cl.
    AmmoniumChloride,
    /// KNO₃.
    PotassiumNitrate,
    /// KH₂PO₄.
    PotassiumDihydrogenPhosphate,
    /// K₂SO₄.
    PotassiumSulfate,
    /// KHCO₃.
    PotassiumBicarbonate,
    /// NaHCO₃, baking soda.
    SodiumBicarbonate,
    /// NaCl, table salt.
    SodiumChloride,
    /// MgSO₄·7H₂O, Epsom salt.
    MagnesiumSulfateHeptahydrate,
    /// MgCl₂·6H₂O.
    MagnesiumChlorideHexahydrate,
    /// CaSO₄·2H₂O, gypsum.
    CalciumSulfateDihydrate,
    /// CaCl₂·2H₂O.
    CalciumChlorideDihydrate,
    /// Ca(NO₃)₂·4H₂O.
    CalciumNitrateTetrahydrate,
}

/// An ion that a dosed salt sets free.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ion {
    /// NH₄⁺.
    Ammonium,
    /// K⁺.
    Potassium,
    /// Na⁺.
    Sodium,
    /// Mg²⁺.
    Magnesium,
    /// Ca²⁺.
    Calcium,
    /// NO₃⁻.
    Nitrate,
    /// All forms of PO₄³⁻ together, counted as PO₄.
    Phosphate,
    /// SO₄²⁻.
    Sulfate,
    /// Cl⁻.
    Chloride,
    /// HCO₃⁻.
    Bicarbonate,
}

impl Salt {
    /// Every salt.
    pub const ALL: [Salt; 12] = [
        Salt::AmmoniumChloride,
        Salt::PotassiumNitrate,
        Salt::PotassiumDihydrogenPhosphate,
        Salt::PotassiumSulfate,
        Salt::PotassiumBicarbonate,
        Salt::SodiumBicarbonate,
        Salt::SodiumChloride,
        Salt::MagnesiumSulfateHeptahydrate,
        Salt::MagnesiumChlorideHexahydrate,
        Salt::CalciumSulfateDihydrate,
        Salt::CalciumChlorideDihydrate,
        Salt::CalciumNitrateTetrahydrate,
    ];

    /// Chemical formula in plain letters, as `MgSO4.7H2O`.
    pub fn formula(self) -> &'static str {
        self.composition().0
    }

    /// Molar mass in g/mol, water of crystallisation included.
    pub fn molar_mass_g_mol(self) -> f64 {
        self.composition().1
    }

    /// Ions of one formula unit, each with how many of it there are.
    pub fn ions(self) -> [(Ion, f64); 2] {
        self.composition().2
    }

    fn composition(self) -> (&'static str, f64, [(Ion, f64); 2]) {
        use Ion::*;
        match self {
            Salt::AmmoniumChloride => ("NH4Cl", NH4CL_G_MOL, [(Ammonium, 1.0), (Chloride, 1.0)]),
            Salt::PotassiumNitrate => ("KNO3", KNO3_G_MOL, [(Potassium, 1.0), (Nitrate, 1.0)]),
            Salt::PotassiumDihydrogenPhosphate => {
                ("KH2PO4", KH2PO4_G_MOL, [(Potassium, 1.0), (Phosphate, 1.0)])
            }
            Salt::PotassiumSulfate => ("K2SO4", K2SO4_G_MOL, [(Potassium, 2.0), (Sulfate, 1.0)]),
            Salt::PotassiumBicarbonate => {
                ("KHCO3", KHCO3_G_MOL, [(Potassium, 1.0), (Bicarbonate, 1.0)])
            }
            Salt::SodiumBicarbonate => {
                ("NaHCO3", NAHCO3_G_MOL, [(Sodium, 1.0), (Bicarbonate, 1.0)])
            }
            Salt::SodiumChloride => ("NaCl", NACL_G_MOL, [(Sodium, 1.0), (Chloride, 1.0)]),
            Salt::MagnesiumSulfateHeptahydrate => (
                "MgSO4.7H2O",
                MGSO4_7H2O_G_MOL,
                [(Magnesium, 1.0), (Sulfate, 1.0)],
            ),
            Salt::MagnesiumChlorideHexahydrate => (
                "MgCl2.6H2O",
                MGCL2_6H2O_G_MOL,
                [(Magnesium, 1.0), (Chloride, 2.0)],
            ),
            Salt::CalciumSulfateDihydrate => (
                "CaSO4.2H2O",
                CASO4_2H2O_G_MOL,
                [(Calcium, 1.0), (Sulfate, 1.0)],
            ),
            Salt::CalciumChlorideDihydrate => (
                "CaCl2.2H2O",
                CACL2_2H2O_G_MOL,
                [(Calcium, 1.0), (Chloride, 2.0)],
            ),
            Salt::CalciumNitrateTetrahydrate => (
                "Ca(NO3)2.4H2O",
                CA_NO3_2_4H2O_G_MOL,
                [(Calcium, 1.0), (Nitrate, 2.0)],
            ),
        }
    }

    fn count(self, ion: Ion) -> f64 {
        let of_ion = self.ions().into_iter().filter(|(own, _)| *own == ion);
        of_ion.map(|(_, count)| count).sum()
    }

    fn mmol_l(self, dose_g: f64, volume_l: f64) -> f64 {
        dose_g * MG_PER_G / self.molar_mass_g_mol() / volume_l
    }
}

impl Ion {
    /// Molar mass in g/mol.
    pub fn molar_mass_g_mol(self) -> f64 {
        match self {
            Ion::Ammonium => NH4_G_MOL,
            Ion::Potassium => K_G_MOL,
            Ion::Sodium => NA_G_MOL,
            Ion::Magnesium => MG_G_MOL,
            Ion::Calcium => CA_G_MOL,
            Ion::Nitrate => NO3_G_MOL,
            Ion::Phosphate => PO4_G_MOL,
            Ion::Sulfate => SO4_G_MOL,
            Ion::Chloride => CL_G_MOL,
            Ion::Bicarbonate => HCO3_G_MOL,
        }
    }
}

/// Rise of one ion from a dose of a salt, in mg/L of the ion; 0 if the salt holds none of it.
///
/// - `dose_g`: 0 or more, of pure salt
/// - `volume_l`: above 0, net
///
/// Formula: dose × 1000 × count × M(ion) / M(salt) / volume.
/// Error: 0.01 % from molar masses; salts that draw damp fall short.
/// Monotone: rising in the dose, falling in the volume.
/// Source: `iupac-2021`.
///
/// ```
/// use lentic::water::{salt_rise_mg_l, Ion, Salt};
/// let nitrate = salt_rise_mg_l(Salt::PotassiumNitrate, Ion::Nitrate, 1.0, 100.0);
/// assert!((nitrate - 6.133).abs() < 0.001);
/// ```
pub fn salt_rise_mg_l(salt: Salt, ion: Ion, dose_g: f64, volume_l: f64) -> f64 {
    salt.mmol_l(dose_g, volume_l) * salt.count(ion) * ion.molar_mass_g_mol()
}

/// Mass of a salt that raises one ion, in grams; none if the salt holds none of it.
///
/// - `rise_mg_l`: 0 or more, of the ion
/// - `volume_l`: 0 or more, net
///
/// Formula: rise × volume × M(salt) / (count × M(ion)) / 1000.
/// Error: 0.01 % from molar masses; salts that draw damp fall short.
/// Monotone: rising in both.
/// Source: `iupac-2021`.
///
/// ```
/// use lentic::water::{salt_dose_g, Ion, Salt};
/// let dose = salt_dose_g(Salt::PotassiumNitrate, Ion::Nitrate, 10.0, 60.0).unwrap();
/// assert!((dose - 0.978).abs() < 0.001);
/// assert_eq!(salt_dose_g(Salt::PotassiumNitrate, Ion::Sulfate, 10.0, 60.0), None);
/// ```
pub fn salt_dose_g(salt: Salt, ion: Ion, rise_mg_l: f64, volume_l: f64) -> Option<f64> {
    dose_for_rise_g(salt_rise_mg_l(salt, ion, 1.0, 1.0), rise_mg_l, volume_l)
}

/// Rise of general hardness from a dose of a salt, in mg/L as CaCO₃.
///
/// - `dose_g`: 0 or more, of pure salt
/// - `volume_l`: above 0, net
///
/// Formula: dose × 1000 × (Ca²⁺ + Mg²⁺ in a unit) × M(CaCO₃) / M(salt) / volume.
/// Error: 0.01 % from molar masses; salts that draw damp fall short.
/// Monotone: rising in the dose, falling in the volume.
/// Source: `iupac-2021`.
///
/// ```
/// use lentic::water::{salt_hardness_rise_mg_l_caco3, Salt};
/// let rise = salt_hardness_rise_mg_l_caco3(Salt::MagnesiumSulfateHeptahydrate, 1.0, 100.0);
/// assert!((rise - 4.061).abs() < 0.001);
/// ```
pub fn salt_hardness_rise_mg_l_caco3(salt: Salt, dose_g: f64, volume_l: f64) -> f64 {
    let alkaline_earths = salt.count(Ion::Calcium) + salt.count(Ion::Magnesium);
    salt.mmol_l(dose_g, volume_l) * alkaline_earths * CACO3_G_MOL
}

/// Mass of a salt that raises general hardness, in grams; none if it holds no Ca²⁺ or Mg²⁺.
///
/// - `rise_mg_l_caco3`: 0 or more
/// - `volume_l`: 0 or more, net
///
/// Formula: rise × volume / ([`salt_hardness_rise_mg_l_caco3`] of 1 g in 1 L).
/// Error: 0.01 % from molar masses; salts that draw damp fall short.
/// Monotone: rising in both.
/// Source: `iupac-2021`.
///
/// ```
/// use lentic::water::{salt_dose_for_hardness_g, Salt};
/// let dose = salt_dose_for_hardness_g(Salt::CalciumSulfateDihydrate, 17.848, 100.0).unwrap();
/// assert!((dose - 3.070).abs() < 0.001);
/// ```
pub fn salt_dose_for_hardness_g(salt: Salt, rise_mg_l_caco3: f64, volume_l: f64) -> Option<f64> {
    let rise_of_1_g_l = salt_hardness_rise_mg_l_caco3(salt, 1.0, 1.0);
    dose_for_rise_g(rise_of_1_g_l, rise_mg_l_caco3, volume_l)
}

/// Rise of alkalinity (carbonate hardness) from a dose of a salt, in mg/L as CaCO₃.
///
/// - `dose_g`: 0 or more, of pure salt
/// - `volume_l`: above 0, net
///
/// Formula: dose × 1000 × HCO₃⁻ in a unit × M(CaCO₃) / 2 / M(salt) / volume.
/// Error: 0.01 % from molar masses. Salts without bicarbonate add none; what ammonium later takes
/// away as it is nitrified is not counted here.
/// Monotone: rising in the dose, falling in the volume.
/// Source: `iupac-2021`.
///
/// ```
/// use lentic::water::{salt_alkalinity_rise_mg_l_caco3, Salt};
/// let rise = salt_alkalinity_rise_mg_l_caco3(Salt::SodiumBicarbonate, 3.0, 100.0);
/// assert!((rise - 17.871).abs() < 0.001);
/// ```
pub fn salt_alkalinity_rise_mg_l_caco3(salt: Salt, dose_g: f64, volume_l: f64) -> f64 {
    salt.mmol_l(dose_g, volume_l) * salt.count(Ion::Bicarbonate) * CACO3_G_MOL / 2.0
}

/// Mass of a salt that raises alkalinity (carbonate hardness), in grams; none if it holds no
/// bicarbonate.
///
/// - `rise_mg_l_caco3`: 0 or more
/// - `volume_l`: 0 or more, net
///
/// Formula: rise × volume / ([`salt_alkalinity_rise_mg_l_caco3`] of 1 g in 1 L).
/// Error: 0.01 % from molar masses.
/// Monotone: rising in both.
/// Source: `iupac-2021`.
///
/// ```
/// use lentic::water::{salt_dose_for_alkalinity_g, Salt};
/// let dose = salt_dose_for_alkalinity_g(Salt::SodiumBicarbonate, 17.848, 100.0).unwrap();
/// assert!((dose - 2.996).abs() < 0.001);
/// ```
pub fn salt_dose_for_alkalinity_g(salt: Salt, rise_mg_l_caco3: f64, volume_l: f64) -> Option<f64> {
    let rise_of_1_g_l = salt_alkalinity_rise_mg_l_caco3(salt, 1.0, 1.0);
    dose_for_rise_g(rise_of_1_g_l, rise_mg_l_caco3, volume_l)
}

fn dose_for_rise_g(rise_of_1_g_l: f64, rise: f64, volume_l: f64) -> Option<f64> {
    (rise_of_1_g_l > 0.0).then(|| rise * volume_l / rise_of_1_g_l)
}
