//! Linear current booster.

use crate::array::circuit::Circuit;
use crate::array::hills::Envelope;
use crate::fault::{Fault, FaultKind};

/// A step-down converter that holds the array near its maximum power and gives the pump more current at less voltage.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | η | efficiency | – | above 0, at most 1; makers state 0.92 to 0.97 |
/// | V | voltage at the pump | V | ≥ 0 |
/// | I | current into the pump | A | ≥ 0 |
/// | Va, P | voltage at the arrays' terminals, their power there | V, W | |
///
/// # Equation
/// It cannot raise voltage, and holds the arrays where they give most: `I = η·max(P(Va) over Va ≥ V)/V`
/// ([`Envelope`]), no more than its current limit. With the bypass the pump gets the arrays' own current where that is more.
/// One array: `I = η Pmp/V` below its best voltage and `I = η I_array(V)` above.
///
/// # Validity
/// One efficiency at any load. Several arrays stand on one pair of terminals; unlike ones have several hills of power, and
/// the booster finds the highest at once.
///
/// # Example
/// ```
/// use dryspell::array::{circuit::{Circuit, Strings}, hills::Envelope, one_diode::Curve};
/// use dryspell::coupling::Booster;
/// let curve = Curve { photocurrent_a: 5.0, saturation_current_a: 2e-9, series_resistance_ohm: 0.3,
///     shunt_conductance_per_ohm: 1.0 / 200.0, modified_ideality_v: 1.95 };
/// let circuit = Circuit { strings: vec![Strings::new(&curve, 1, 1, 0.0, 0.0)] };
/// let envelope = Envelope::of(&circuit);
/// let booster = Booster { efficiency: 0.95, bypass: true, current_limit_a: None };
/// // 159.8 W: 15.2 A at 10 V, three times what the panel gives directly.
/// assert!((booster.current_a(&circuit, &envelope, 10.0) - 15.18).abs() < 0.01);
/// // At its best voltage the panel itself is better than 95 % of it.
/// let best = envelope.best();
/// assert!((booster.current_a(&circuit, &envelope, best.voltage_v) - best.current_a).abs() < 1e-6);
/// ```
///
/// # References
/// G. M. Masters, *Renewable and Efficient Electric Power Systems* (2004), section 9.6: linear current boosters (seen in
/// transcription). The efficiency is common practice, from memory.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Booster {
    /// Efficiency.
    pub efficiency: f64,
    /// Whether it lets the array's own current through where that is more.
    pub bypass: bool,
    /// The most current that it gives, A; `None` when not stated.
    pub current_limit_a: Option<f64>,
}

/// More current than any small pump's motor takes, A: keeps the offer finite at rest.
const MOST_A: f64 = 1e4;

impl Booster {
    /// Current available at a voltage of the pump, A; `envelope` is the circuit's.
    #[must_use]
    pub fn current_a(&self, circuit: &Circuit, envelope: &Envelope, voltage_v: f64) -> f64 {
        let own = |v: f64| circuit.current_a(v);
        let best = envelope.best();
        let boosted = if voltage_v < best.voltage_v {
            self.efficiency * best.power_w / voltage_v.max(f64::MIN_POSITIVE)
        } else {
            let higher = envelope.top_from(voltage_v).map_or(0.0, |top| top.power_w / voltage_v);
            self.efficiency * own(voltage_v).max(higher)
        };
        let boosted = boosted.min(self.current_limit_a.unwrap_or(MOST_A));
        // Far below its best voltage the array gives less than η·Pmp/V by a wide margin: its short-circuit current.
        if self.bypass { boosted.max(own(voltage_v)) } else { boosted }
    }

    pub(super) fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut need = |ok: bool, key: &str, value: f64, accepted: &str| {
            if !ok {
                faults.push(Fault::at_key(
                    format!("coupling.{key}"),
                    FaultKind::OutOfRange,
                    format!("{} {value}", key.replace('_', " ")),
                    accepted,
                    "correct the value",
                ));
            }
        };
        let eta = self.efficiency;
        need(eta > 0.0 && eta <= 1.0, "efficiency", eta, "above 0, at most 1");
        if let Some(amps) = self.current_limit_a {
            need(amps.is_finite() && amps > 0.0, "current_limit", amps, "above 0 A");
        }
        faults
    }
}
