//! The peak-sun-hour method of rule sheets, to reproduce a reviewer's figures. The simulation does not use it.

use crate::pump::hydraulic_power_w;

/// The flow that lifts a day's water within its peak sun hours.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | V | volume a day | m³ | ≥ 0 |
/// | N | peak sun hours: a day's radiation on the plane over 1 kW/m² | h | > 0 |
/// | H | total dynamic head | m | ≥ 0 |
/// | η | efficiency from wire to water | – | 0 to 1 |
/// | P | electrical power | W | ≥ 0 |
///
/// # Equation
/// `Q = V / N`; [`wire_power_w`]: `P = ρ g H Q / (3600 η)`; [`strings_needed`]: `P / (U I d)` with a string's voltage U
/// and current I under full sun and the derating d; [`peak_hours_volume_m3_per_day`]: `3600 P N η / (ρ g H)`
///
/// # Validity
/// A mean day of a mean month. It says nothing of dull weeks, starting power, or a head that rises with flow; that is
/// what the simulation is for.
///
/// # Example
/// ```
/// use dryspell::supply::peak_hours_flow_m3_per_h;
/// assert!((peak_hours_flow_m3_per_h(4.9, 4.9) - 1.0).abs() < 1e-15);
/// ```
///
/// # References
/// G. M. Masters, *Renewable and Efficient Electric Power Systems* (2004), section 9.6, example 9.22.
#[must_use]
pub fn peak_hours_flow_m3_per_h(volume_m3_per_day: f64, peak_sun_hours: f64) -> f64 {
    volume_m3_per_day / peak_sun_hours
}

/// Electrical power for a flow against a head; see [`peak_hours_flow_m3_per_h`].
#[must_use]
pub fn wire_power_w(density_kg_per_m3: f64, head_m: f64, flow_m3_per_h: f64, efficiency: f64) -> f64 {
    hydraulic_power_w(density_kg_per_m3, head_m, flow_m3_per_h) / efficiency
}

/// Parallel strings that give a power, not rounded up; see [`peak_hours_flow_m3_per_h`].
#[must_use]
pub fn strings_needed(power_w: f64, string_v: f64, string_a: f64, derating: f64) -> f64 {
    power_w / (string_v * string_a * derating)
}

/// The volume that an array's power lifts in a day; see [`peak_hours_flow_m3_per_h`].
#[must_use]
pub fn peak_hours_volume_m3_per_day(
    density_kg_per_m3: f64,
    head_m: f64,
    power_w: f64,
    peak_sun_hours: f64,
    efficiency: f64,
) -> f64 {
    power_w * peak_sun_hours * efficiency / hydraulic_power_w(density_kg_per_m3, head_m, 1.0)
}
