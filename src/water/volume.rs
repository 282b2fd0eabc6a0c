//! Litres of water in a furnished tank, and what the whole of it weighs.
//!
//! Lengths are inner ones, glass face to glass face.

const CM3_PER_L: f64 = 1000.0;
const GLASS_KG_L: f64 = 2.5;
const STANDARD_GRAVITY_M_S2: f64 = 9.80665;

/// Volume of the glass box filled to a height, in litres.
///
/// - `length_cm`, `width_cm`: 0 or more, inner
/// - `height_cm`: 0 or more, from the bottom pane up
///
/// Formula: length × width × height / 1000.
/// Error: that of the lengths; none of its own.
/// Monotone: rising in all three.
/// Source: geometry.
///
/// ```
/// assert_eq!(lentic::water::gross_volume_l(60.0, 30.0, 36.0), 64.8);
/// ```
pub fn gross_volume_l(length_cm: f64, width_cm: f64, height_cm: f64) -> f64 {
    length_cm * width_cm * height_cm / CM3_PER_L
}

/// Volume of water that is really in the tank, in litres; never below 0.
///
/// - `length_cm`, `width_cm`: 0 or more, inner
/// - `water_depth_cm`: from the bottom pane to the surface
/// - `bed_depth_cm`: 0 to `water_depth_cm`, the mean over the whole floor
/// - `bed_porosity`: 0 to 1, the share of the bed's space that water fills
/// - `hardscape_l`: 0 or more, what wood and stone displace above the bed
///
/// Formula: length × width × (water depth − bed depth × (1 − porosity)) / 1000 − hardscape.
/// Error: that of the lengths; a sloped bed counts with its mean depth.
/// Monotone: rising in length, width, water depth and porosity; falling in bed depth and hardscape.
/// Source: geometry.
///
/// ```
/// let net = lentic::water::net_volume_l(60.0, 30.0, 33.0, 6.0, 0.4, 3.0);
/// assert!((net - 49.92).abs() < 1e-9);
/// ```
pub fn net_volume_l(
    length_cm: f64,
    width_cm: f64,
    water_depth_cm: f64,
    bed_depth_cm: f64,
    bed_porosity: f64,
    hardscape_l: f64,
) -> f64 {
    let grain_depth_cm = bed_depth_cm * (1.0 - bed_porosity);
    let open_l = gross_volume_l(length_cm, width_cm, water_depth_cm - grain_depth_cm);
    f64::max(open_l - hardscape_l, 0.0)
}

/// Mass of the five panes of an open glass box, in kilograms.
///
/// - `length_cm`, `width_cm`, `height_cm`: 0 or more, inner
/// - `thickness_mm`: 0 or more, the same for all panes
///
/// Formula: (outer box − inner box) × 2.5 kg/L, the outer box a pane longer and wider on each side
/// and a pane deeper.
/// Error: about 2 % from the density of float glass; braces and lids come on top.
/// Monotone: rising in all four.
/// Source: geometry, and `en-572-1` for the density.
///
/// ```
/// let glass = lentic::water::glass_mass_kg(60.0, 30.0, 36.0, 6.0);
/// assert!((glass - 12.71).abs() < 0.01);
/// ```
pub fn glass_mass_kg(length_cm: f64, width_cm: f64, height_cm: f64, thickness_mm: f64) -> f64 {
    let pane_cm = thickness_mm / 10.0;
    let outer_l = gross_volume_l(
        length_cm + 2.0 * pane_cm,
        width_cm + 2.0 * pane_cm,
        height_cm + pane_cm,
    );
    GLASS_KG_L * (outer_l - gross_volume_l(length_cm, width_cm, height_cm))
}

/// Mass that stands on the floor once the tank is filled, in kilograms.
///
/// - `water_l`: 0 or more, net
/// - `bed_l`: 0 or more, the space the bed takes
/// - `bed_bulk_density_kg_l`: 0 or more, dry mass of a litre of bed, pores included
/// - `hardscape_l`: 0 or more
/// - `hardscape_density_kg_l`: 0 or more
/// - `empty_mass_kg`: 0 or more, glass, stand, lid and equipment
///
/// Formula: water × 1 kg/L + bed × bulk density + hardscape × density + empty mass.
/// Error: 0.3 % high for the water at 25 °C; else that of the densities.
/// Monotone: rising in all six.
/// Source: arithmetic.
///
/// ```
/// let mass = lentic::water::filled_mass_kg(50.0, 10.8, 1.0, 3.0, 2.6, 30.0);
/// assert!((mass - 98.6).abs() < 1e-9);
/// ```
pub fn filled_mass_kg(
    water_l: f64,
    bed_l: f64,
    bed_bulk_density_kg_l: f64,
    hardscape_l: f64,
    hardscape_density_kg_l: f64,
    empty_mass_kg: f64,
) -> f64 {
    water_l + bed_l * bed_bulk_density_kg_l + hardscape_l * hardscape_density_kg_l + empty_mass_kg
}

/// Load on the floor under the footprint, in kg/m².
///
/// - `mass_kg`: 0 or more
/// - `length_cm`, `width_cm`: above 0, of the footprint
///
/// Formula: mass / (length × width), lengths in metres.
/// Error: none of its own; feet or rails concentrate the load beyond this mean.
/// Monotone: rising in mass, falling in length and width.
/// Source: arithmetic.
///
/// ```
/// let load = lentic::water::floor_load_kg_m2(90.0, 60.0, 30.0);
/// assert!((load - 500.0).abs() < 1e-9);
/// ```
pub fn floor_load_kg_m2(mass_kg: f64, length_cm: f64, width_cm: f64) -> f64 {
    const CM2_PER_M2: f64 = 10_000.0;
    mass_kg * CM2_PER_M2 / (length_cm * width_cm)
}

/// Load on the floor under the footprint, in kN/m².
///
/// - `mass_kg`: 0 or more
/// - `length_cm`, `width_cm`: above 0, of the footprint
///
/// Formula: [`floor_load_kg_m2`] × 9.80665 m/s² / 1000.
/// Error: gravity differs by 0.3 % from place to place; feet or rails concentrate the load beyond
/// this mean.
/// Monotone: rising in mass, falling in length and width.
/// Source: `si-brochure` for standard gravity.
///
/// ```
/// let load = lentic::water::floor_pressure_kn_m2(90.0, 60.0, 30.0);
/// assert!((load - 4.903).abs() < 0.001);
/// ```
pub fn floor_pressure_kn_m2(mass_kg: f64, length_cm: f64, width_cm: f64) -> f64 {
    floor_load_kg_m2(mass_kg, length_cm, width_cm) * STANDARD_GRAVITY_M_S2 / 1000.0
}
