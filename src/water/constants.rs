//! Atomic weights and the molar masses summed from them, in g/mol.
//!
//! The weights are the abridged standard atomic weights of IUPAC's commission (CIAAW), 2021.
//! Ions weigh what their atoms weigh; the electron's mass is below the last figure.
//!
//! Source: `iupac-2021`.

/// Hydrogen.
pub const H_G_MOL: f64 = 1.008;
/// Carbon.
pub const C_G_MOL: f64 = 12.011;
/// Nitrogen.
pub const N_G_MOL: f64 = 14.007;
/// Oxygen.
pub const O_G_MOL: f64 = 15.999;
/// Sodium.
pub const NA_G_MOL: f64 = 22.990;
/// Magnesium.
pub const MG_G_MOL: f64 = 24.305;
/// Phosphorus.
pub const P_G_MOL: f64 = 30.974;
/// Sulfur.
pub const S_G_MOL: f64 = 32.06;
/// Chlorine.
pub const CL_G_MOL: f64 = 35.45;
/// Potassium.
pub const K_G_MOL: f64 = 39.098;
/// Calcium.
pub const CA_G_MOL: f64 = 40.078;
/// Iron.
pub const FE_G_MOL: f64 = 55.845;

/// Water.
pub const H2O_G_MOL: f64 = 2.0 * H_G_MOL + O_G_MOL;
/// Dissolved oxygen, O₂.
pub const O2_G_MOL: f64 = 2.0 * O_G_MOL;
/// Chlorine, Cl₂: what a chlorine test counts in.
pub const CL2_G_MOL: f64 = 2.0 * CL_G_MOL;
/// Carbon dioxide.
pub const CO2_G_MOL: f64 = C_G_MOL + 2.0 * O_G_MOL;

/// Un-ionised ammonia.
pub const NH3_G_MOL: f64 = N_G_MOL + 3.0 * H_G_MOL;
/// Ammonium ion.
pub const NH4_G_MOL: f64 = N_G_MOL + 4.0 * H_G_MOL;
/// Nitrite ion.
pub const NO2_G_MOL: f64 = N_G_MOL + 2.0 * O_G_MOL;
/// Nitrate ion.
pub const NO3_G_MOL: f64 = N_G_MOL + 3.0 * O_G_MOL;
/// Phosphate ion, PO₄³⁻.
pub const PO4_G_MOL: f64 = P_G_MOL + 4.0 * O_G_MOL;
/// Sulfate ion.
pub const SO4_G_MOL: f64 = S_G_MOL + 4.0 * O_G_MOL;
/// Bicarbonate ion.
pub const HCO3_G_MOL: f64 = H_G_MOL + CO3_G_MOL;
/// Carbonate ion.
pub const CO3_G_MOL: f64 = C_G_MOL + 3.0 * O_G_MOL;

/// Calcium carbonate: what hardness and alkalinity are counted in.
pub const CACO3_G_MOL: f64 = CA_G_MOL + CO3_G_MOL;
/// Calcium oxide: ten milligrams of it in a litre are one German degree.
pub const CAO_G_MOL: f64 = CA_G_MOL + O_G_MOL;
/// Potassium oxide: what fertiliser labels count potassium in.
pub const K2O_G_MOL: f64 = 2.0 * K_G_MOL + O_G_MOL;

/// Ammonium chloride.
pub const NH4CL_G_MOL: f64 = NH4_G_MOL + CL_G_MOL;
/// Potassium nitrate.
pub const KNO3_G_MOL: f64 = K_G_MOL + NO3_G_MOL;
/// Potassium dihydrogen phosphate.
pub const KH2PO4_G_MOL: f64 = K_G_MOL + 2.0 * H_G_MOL + PO4_G_MOL;
/// Potassium sulfate.
pub const K2SO4_G_MOL: f64 = 2.0 * K_G_MOL + SO4_G_MOL;
/// Magnesium sulfate heptahydrate (Epsom salt).
pub const MGSO4_7H2O_G_MOL: f64 = MG_G_MOL + SO4_G_MOL + 7.0 * H2O_G_MOL;
/// Calcium sulfate dihydrate (gypsum).
pub const CASO4_2H2O_G_MOL: f64 = CA_G_MOL + SO4_G_MOL + 2.0 * H2O_G_MOL;
/// Calcium chloride dihydrate.
pub const CACL2_2H2O_G_MOL: f64 = CA_G_MOL + 2.0 * CL_G_MOL + 2.0 * H2O_G_MOL;
/// Magnesium chloride hexahydrate.
pub const MGCL2_6H2O_G_MOL: f64 = MG_G_MOL + 2.0 * CL_G_MOL + 6.0 * H2O_G_MOL;
/// Calcium nitrate tetrahydrate.
pub const CA_NO3_2_4H2O_G_MOL: f64 = CA_G_MOL + 2.0 * NO3_G_MOL + 4.0 * H2O_G_MOL;
/// Sodium bicarbonate (baking soda).
pub const NAHCO3_G_MOL: f64 = NA_G_MOL + HCO3_G_MOL;
/// Potassium bicarbonate.
pub const KHCO3_G_MOL: f64 = K_G_MOL + HCO3_G_MOL;
/// Sodium chloride (table salt).
pub const NACL_G_MOL: f64 = NA_G_MOL + CL_G_MOL;
/// Sodium thiosulfate, anhydrous.
pub const NA2S2O3_G_MOL: f64 = 2.0 * NA_G_MOL + 2.0 * S_G_MOL + 3.0 * O_G_MOL;
/// Sodium thiosulfate pentahydrate, the usual crystals.
pub const NA2S2O3_5H2O_G_MOL: f64 = NA2S2O3_G_MOL + 5.0 * H2O_G_MOL;

/// Zero degrees Celsius in kelvin.
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// The standard atmosphere in hectopascal.
pub const STANDARD_ATMOSPHERE_HPA: f64 = 1013.25;
