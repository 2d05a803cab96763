//! How far the water falls when pumped.

/// Drawdown of a well: aquifer loss and well loss.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Q | flow | m³/h | ≥ 0 |
/// | B | aquifer loss; the inverse of the specific capacity SC where there is no well loss | h/m² | ≥ 0 |
/// | C | well loss | h²/m⁵ | ≥ 0 |
/// | s | drawdown | m | |
///
/// # Equation
/// `s = B Q + C Q²`
///
/// # Validity
/// The level has settled: the figures are read after about as long a pumping as they are used for. Without C, losses in
/// the screen that grow with the square of flow are left out, so that the figure holds near the flow at which it was
/// measured.
///
/// # Example
/// ```
/// use dryspell::well::drawdown_m;
/// // 2 m³/h from a well that gives 0.5 m³/h for each metre: 4 m; with a well loss of 0.1 h²/m⁵ another 0.4 m.
/// assert!((drawdown_m(2.0, 1.0 / 0.5, 0.0) - 4.0).abs() < 1e-15);
/// assert!((drawdown_m(2.0, 1.0 / 0.5, 0.1) - 4.4).abs() < 1e-15);
/// ```
///
/// # References
/// - C. E. Jacob, *Drawdown test to determine effective radius of artesian well*, Trans. ASCE 112 (1947) 1047 (from memory).
/// - F. G. Driscoll, *Groundwater and Wells* (1986), specific capacity as yield over drawdown (from memory).
#[must_use]
pub fn drawdown_m(flow_m3_per_h: f64, aquifer_loss_h_per_m2: f64, well_loss_h2_per_m5: f64) -> f64 {
    flow_m3_per_h * (aquifer_loss_h_per_m2 + well_loss_h2_per_m5 * flow_m3_per_h)
}
