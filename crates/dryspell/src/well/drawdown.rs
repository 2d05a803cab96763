//! How far the water falls when pumped.

/// Drawdown of a well from its specific capacity.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Q | flow | m³/h | ≥ 0 |
/// | SC | specific capacity | m³/h per m | > 0 |
/// | s | drawdown | m | |
///
/// # Equation
/// `s = Q / SC`
///
/// # Validity
/// The level has settled: the figure is read after about as long a pumping as it is used for. Losses in the screen
/// that grow with the square of flow are not in it, so it holds near the flow at which it was measured. The bore's own
/// storage is left out, which is on the dry side.
///
/// # Example
/// ```
/// use dryspell::well::drawdown_m;
/// // 2 m³/h from a well that gives 0.5 m³/h for each metre: 4 m.
/// assert!((drawdown_m(2.0, 0.5) - 4.0).abs() < 1e-15);
/// ```
///
/// # References
/// F. G. Driscoll, *Groundwater and Wells* (1986), specific capacity as yield over drawdown (from memory).
#[must_use]
pub fn drawdown_m(flow_m3_per_h: f64, specific_capacity_m3_per_h_m: f64) -> f64 {
    flow_m3_per_h / specific_capacity_m3_per_h_m
}
