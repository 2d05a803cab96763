//! Modules in strings, strings side by side, and the cable to the load.

use crate::array::one_diode::Curve;

/// Power of an array at the load's end of its cable.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Ns, Np | `series`, `parallel` | – | ≥ 1 |
/// | Rc | `cable_ohm`, both ways together | Ω | ≥ 0 |
/// | | `mismatch` | – | 0 to 1 |
/// | P | result | W | ≥ 0 |
///
/// # Equation
///
/// The load sees `V = Ns·v − Rc·Np·i = Ns·(v − (Rc·Np/Ns)·i)`: the cable is more series resistance, `Rc·Np/Ns` for each
/// module. The maximum is sought with it, so it is that of the load's side: `P = Ns·Np·p·(1 − mismatch)`.
///
/// # Validity
///
/// All modules alike and evenly lit; unlike ones are the mismatch share.
///
/// # Example
///
/// With no cable two by three modules give six times one module's power.
///
/// ```
/// use dryspell::array::{circuit::array_power_w, one_diode::Curve};
/// let c = Curve { photocurrent_a: 5.0, saturation_current_a: 1e-9, series_resistance_ohm: 0.3,
///     shunt_conductance_per_ohm: 0.01, modified_ideality_v: 1.0 };
/// let one = c.maximum_power().power_w;
/// assert!((array_power_w(&c, 2, 3, 0.0, 0.0) / one - 6.0).abs() < 1e-12);
/// ```
///
/// # References
///
/// Kirchhoff's laws.
#[must_use]
pub fn array_power_w(curve: &Curve, series: u32, parallel: u32, cable_ohm: f64, mismatch: f64) -> f64 {
    let (ns, np) = (f64::from(series), f64::from(parallel));
    let with_cable =
        Curve { series_resistance_ohm: curve.series_resistance_ohm + cable_ohm * np / ns, ..*curve };
    ns * np * with_cable.maximum_power().power_w * (1.0 - mismatch)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MODULE: Curve = Curve {
        photocurrent_a: 5.0,
        saturation_current_a: 1e-9,
        series_resistance_ohm: 0.3,
        shunt_conductance_per_ohm: 0.007,
        modified_ideality_v: 1.0,
    };

    #[test]
    fn the_cable_takes_what_its_current_heats() {
        let (series, parallel, cable_ohm) = (3, 2, 0.8);
        let mut best = 0.0_f64;
        // Brute force over the module's voltage: power at the array less what the cable turns to heat.
        for k in 0..60_000 {
            let v = 21.0 * f64::from(k) / 60_000.0;
            let i = MODULE.current_a(v);
            let (voltage, current) = (3.0 * v, 2.0 * i);
            best = best.max(voltage * current - current * current * cable_ohm);
        }
        let ours = array_power_w(&MODULE, series, parallel, cable_ohm, 0.0);
        assert!((ours / best - 1.0).abs() < 1e-7, "{ours} v {best}");
        assert!((array_power_w(&MODULE, series, parallel, cable_ohm, 0.02) / ours - 0.98).abs() < 1e-12);
    }
}
