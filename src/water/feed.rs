//! What food becomes in the water.

/// Total ammonia that fish give off for the food they eat, in mg of nitrogen.
///
/// - `food_g`: 0 or more, dry
/// - `protein_fraction`: 0 to 1, from the label
///
/// Formula: food × 1000 × protein × 0.092, where 0.092 = 0.16 nitrogen in protein × 0.8 taken up
/// × 0.8 given off × 0.9 of it as ammonia.
/// Error: a mean over farmed fish; what is left uneaten rots and gives more, up to 160 mg a gram of
/// protein.
/// Monotone: rising in both.
/// Source: `timmons-ebeling-2010`.
///
/// ```
/// assert!((lentic::water::ammonia_from_food_mg_n(1.0, 0.4) - 36.8).abs() < 1e-9);
/// ```
pub fn ammonia_from_food_mg_n(food_g: f64, protein_fraction: f64) -> f64 {
    food_g * 1000.0 * protein_fraction * 0.092
}
