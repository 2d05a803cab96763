//! The power that lifting water takes.

/// Acceleration of free fall, m/s² (standard value).
pub(crate) const GRAVITY_M_PER_S2: f64 = 9.80665;

/// The least power that lifts a flow against a head: what leaves the pump as pressure and flow.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | ρ | density of water | kg/m³ | > 0 |
/// | H | total dynamic head | m | any |
/// | Q | flow | m³/h | ≥ 0 |
/// | P | hydraulic power | W | |
///
/// # Equation
/// `P = ρ g H Q / 3600`
///
/// # Validity
/// Exact. What the pump and its motor lose comes on top: wire power is this over the efficiency.
///
/// # Example
/// ```
/// use dryspell::pump::hydraulic_power_w;
/// // 3.6 m³/h is 1 kg a second: against 10 m that is 98.0665 W.
/// assert!((hydraulic_power_w(1000.0, 10.0, 3.6) - 98.0665).abs() < 1e-12);
/// ```
///
/// # References
/// F. M. White, *Fluid Mechanics*, chapter on turbomachinery: water horsepower `ρ g Q H` (from memory).
#[must_use]
pub fn hydraulic_power_w(density_kg_per_m3: f64, head_m: f64, flow_m3_per_h: f64) -> f64 {
    density_kg_per_m3 * GRAVITY_M_PER_S2 * head_m * flow_m3_per_h / 3600.0
}
