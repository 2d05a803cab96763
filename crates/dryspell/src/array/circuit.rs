//! Modules in strings, strings side by side, and the cable to the load.

use crate::array::OneDiode;
use crate::array::one_diode::{Curve, Point, curve};

/// How an array's modules are wired, and what lies between them and the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wiring {
    /// The module's five parameters.
    pub module: OneDiode,
    /// Modules in series in a string, ≥ 1.
    pub series: u32,
    /// Strings in parallel, ≥ 1.
    pub parallel: u32,
    /// Resistance of the cable, both ways together, Ω, ≥ 0.
    pub cable_ohm: f64,
    /// Share of power lost because modules differ, 0 to 1.
    pub mismatch: f64,
}

impl Wiring {
    /// The array in this light and heat, seen from the load's end of the cable; `None` in the dark.
    #[must_use]
    pub fn string(&self, light_w_per_m2: f64, cell_degc: f64) -> Option<Strings> {
        let module = curve(&self.module, light_w_per_m2, cell_degc)?;
        Some(Strings::new(&module, self.series, self.parallel, self.cable_ohm, self.mismatch))
    }

    /// The same where only a share of the strings works.
    #[must_use]
    pub fn working(&self, share: f64) -> Self {
        Self { mismatch: 1.0 - (1.0 - self.mismatch) * share, ..*self }
    }
}

/// Like strings side by side with their cable: current by voltage at the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strings {
    /// One module with its share of the cable in series.
    curve: Curve,
    series: f64,
    /// Strings in parallel, less the share lost to mismatch.
    parallel: f64,
}

impl Strings {
    /// Strings of modules of one curve; see [`Circuit`] for the equation.
    #[must_use]
    pub fn new(module: &Curve, series: u32, parallel: u32, cable_ohm: f64, mismatch: f64) -> Self {
        let (ns, np) = (f64::from(series), f64::from(parallel));
        let series_resistance_ohm = module.series_resistance_ohm + cable_ohm * np / ns;
        let curve = Curve { series_resistance_ohm, ..*module };
        Self { curve, series: ns, parallel: np * (1.0 - mismatch) }
    }

    /// Current at a voltage of the load, A; none flows back.
    #[must_use]
    pub fn current_a(&self, voltage_v: f64) -> f64 {
        (self.parallel * self.curve.current_a(voltage_v / self.series)).max(0.0)
    }

    /// Current and its first two derivatives by voltage; beyond the open-circuit voltage the current is negative here.
    pub(super) fn bend(&self, voltage_v: f64) -> (f64, f64, f64) {
        let (current, first, second) = self.curve.bend(voltage_v / self.series);
        let per_v = self.parallel / self.series;
        (self.parallel * current, per_v * first, per_v / self.series * second)
    }

    /// Open-circuit voltage, V.
    #[must_use]
    pub fn open_circuit_v(&self) -> f64 {
        self.series * self.curve.open_circuit_v()
    }

    /// The most power with the voltage held within a window, W.
    pub(super) fn within_w(&self, (low, high): (f64, f64)) -> f64 {
        let best = self.maximum_power();
        let voltage_v = best.voltage_v.clamp(low, high);
        if (voltage_v - best.voltage_v).abs() < 1e-12 * best.voltage_v {
            best.power_w
        } else {
            voltage_v * self.current_a(voltage_v)
        }
    }

    /// The point of maximum power at the load.
    #[must_use]
    pub fn maximum_power(&self) -> Point {
        let point = self.curve.maximum_power();
        Point {
            voltage_v: self.series * point.voltage_v,
            current_a: self.parallel * point.current_a,
            power_w: self.series * self.parallel * point.power_w,
        }
    }
}

/// Arrays side by side; on one pair of terminals where nothing else is said.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | V | voltage at the load | V | ≥ 0 |
/// | I | current into the load | A | ≥ 0 |
///
/// # Equation
///
/// `I(V) = Σ (1 − mismatch)·Np·i(V/Ns)` over the arrays, none below zero; `i` is a module's current with `Rc·Np/Ns` added
/// to its series resistance (see [`array_power_w`]). So the greatest `V·I` of one array is its [`array_power_w`].
///
/// # Validity
///
/// Each array has a diode that lets no current back and drops no voltage. The mismatch is taken from the current alone.
///
/// # Example
///
/// ```
/// use dryspell::array::{circuit::{Circuit, Strings}, one_diode::Curve};
/// // Without resistances a module gives 5 A less 1e-9·(e^20 − 1) at 20 V.
/// let module = Curve { photocurrent_a: 5.0, saturation_current_a: 1e-9, series_resistance_ohm: 0.0,
///     shunt_conductance_per_ohm: 0.0, modified_ideality_v: 1.0 };
/// let circuit = Circuit { strings: vec![Strings::new(&module, 2, 3, 0.0, 0.0)] };
/// assert!((circuit.current_a(40.0) - 3.0 * (5.0 - 0.485165194)).abs() < 1e-7);
/// ```
///
/// # References
///
/// Kirchhoff's laws.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Circuit {
    /// The arrays that see light.
    pub strings: Vec<Strings>,
}

impl Circuit {
    /// Current at a voltage of the load, A.
    #[must_use]
    pub fn current_a(&self, voltage_v: f64) -> f64 {
        self.strings.iter().map(|s| s.current_a(voltage_v)).sum()
    }

    /// The voltage above which no current flows, V.
    #[must_use]
    pub fn open_circuit_v(&self) -> f64 {
        self.strings.iter().map(Strings::open_circuit_v).fold(0.0, f64::max)
    }

    /// Voltage, current and power at a voltage.
    #[must_use]
    pub fn at(&self, voltage_v: f64) -> Point {
        let current_a = self.current_a(voltage_v);
        Point { voltage_v, current_a, power_w: voltage_v * current_a }
    }
}

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
