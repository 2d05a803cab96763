//! Maximum power tracking.

use super::Power;
use crate::array::OneArray;
use crate::fault::{Fault, FaultKind};

/// Efficiency of a controller.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Efficiency {
    /// The same at any load.
    Constant(f64),
    /// Rows of load (input over rated power, rising) and efficiency; straight between them, from nothing at no load, that
    /// of the last row beyond it.
    ByLoad(Vec<(f64, f64)>),
}

/// A controller that keeps the array at its maximum power and gives it to the pump at the voltage that the pump needs.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | P | input power | W | 0 to rated |
/// | η | efficiency | – | above 0, at most 1 |
/// | V | voltage of the array | V | within the window |
///
/// # Equation
/// `P_out = η(P/P_rated) P`, `P` no more than rated: the most that the arrays give at one common voltage
/// ([`crate::array::hills::Hills`]), or each at its own where each has an input ([`crate::array::Terminals`]). With a window
/// the voltage stays within it; where the open-circuit voltage lies below the window nothing comes.
///
/// The open-circuit voltage at 1000 W/m² and cells as cold as the record low air temperature must not pass the highest
/// voltage that the controller bears.
///
/// # Validity
/// The tracker finds the highest of several maxima at once and exactly.
///
/// # Example
/// ```
/// use dryspell::coupling::{Efficiency, Power, Tracking};
/// let tracker = Tracking { efficiency: Efficiency::ByLoad(vec![(0.1, 0.8), (0.5, 0.96), (1.0, 0.94)]),
///     rated_power_w: Some(500.0), window_v: None, highest_voltage_v: None, record_low_degc: None };
/// // 150 W is a load of 0.3, half way from the first to the second row: 88 %.
/// assert!((tracker.pass(&Power::watts(150.0)).output_w - 132.0).abs() < 1e-9);
/// // Above its rated power it leaves the rest on the panels.
/// assert!((tracker.pass(&Power::watts(700.0)).output_w - 470.0).abs() < 1e-9);
/// ```
///
/// # References
/// - Voltage window and highest input voltage: any datasheet of a pump controller. Record low temperature: the usual
///   reading of the US National Electrical Code, article 690.7 (from memory).
/// - Steady efficiency by load: the shape that IEC 61683 measures (from memory).
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Tracking {
    /// Efficiency.
    pub efficiency: Efficiency,
    /// The most that it takes from the array, W; `None` for no limit.
    pub rated_power_w: Option<f64>,
    /// Lowest and highest voltage at which it tracks, V.
    pub window_v: Option<(f64, f64)>,
    /// The highest voltage that it bears, V.
    pub highest_voltage_v: Option<f64>,
    /// Record low air temperature of the place, °C.
    pub record_low_degc: Option<f64>,
}

/// What a tracker passed on in an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrackerOutput {
    /// What the window let come from the arrays, W.
    pub tracked_w: f64,
    /// Taken from the arrays, W.
    pub input_w: f64,
    /// Efficiency at that load.
    pub efficiency: f64,
    /// Given to the pump, W.
    pub output_w: f64,
}

impl Tracking {
    /// What comes through in an hour.
    #[must_use]
    pub fn pass(&self, power: &Power<'_>) -> TrackerOutput {
        let tracked_w = match (self.window_v, power.circuit) {
            (Some(window), Some(circuit)) => circuit.most_within_w(power.terminals, window),
            _ => power.available_w,
        };
        let input_w = self.rated_power_w.map_or(tracked_w, |most| tracked_w.min(most));
        let efficiency = match &self.efficiency {
            Efficiency::Constant(eta) => *eta,
            Efficiency::ByLoad(rows) => by_load(rows, input_w / self.rated_power_w.unwrap_or(f64::INFINITY)),
        };
        TrackerOutput { tracked_w, input_w, efficiency, output_w: input_w * efficiency }
    }

    pub(super) fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut need = |ok: bool, key: &str, kind, found: String, accepted: &str, way_out: &str| {
            if !ok {
                faults.push(Fault::at_key(format!("coupling.{key}"), kind, found, accepted, way_out));
            }
        };
        let share = |eta: f64| eta > 0.0 && eta <= 1.0;
        match &self.efficiency {
            Efficiency::Constant(eta) => need(
                share(*eta),
                "efficiency",
                FaultKind::OutOfRange,
                format!("efficiency {eta}"),
                "a number above 0 and at most 1",
                "leave it out where the table's power is taken at the controller's input",
            ),
            Efficiency::ByLoad(rows) => {
                let sound = !rows.is_empty()
                    && rows.iter().all(|(load, eta)| *load > 0.0 && load.is_finite() && share(*eta))
                    && rows.windows(2).all(|w| w[0].0 < w[1].0);
                need(
                    sound,
                    "efficiency_curve",
                    FaultKind::OutOfRange,
                    format!("{} rows of load and efficiency", rows.len()),
                    "loads above 0, rising; efficiencies above 0, at most 1",
                    "check the rows against the datasheet",
                );
                // The slope of load × efficiency at both ends of a piece: it is a parabola between them.
                let falls = rows.windows(2).find(|w| {
                    let slope = (w[1].1 - w[0].1) / (w[1].0 - w[0].0);
                    w.iter().any(|(load, eta)| eta + load * slope < 0.0)
                });
                if let (true, Some(w)) = (sound, falls) {
                    need(
                        false,
                        "efficiency_curve",
                        FaultKind::Contradiction,
                        format!(
                            "between loads {} and {} the output falls as the input rises",
                            w[0].0, w[1].0
                        ),
                        "an output that does not fall with input",
                        "check the rows against the datasheet",
                    );
                }
                need(
                    self.rated_power_w.is_some(),
                    "rated_power",
                    FaultKind::MissingKey,
                    "this key is missing".into(),
                    "needed with efficiency_curve: the power that its loads are shares of",
                    "add rated_power = \"500 W\"",
                );
            }
        }
        if let Some(watts) = self.rated_power_w {
            need(
                watts.is_finite() && watts > 0.0,
                "rated_power",
                FaultKind::OutOfRange,
                format!("rated power {watts} W"),
                "above 0 W",
                "correct the value",
            );
        }
        if let Some((low, high)) = self.window_v {
            need(
                low >= 0.0 && high > low,
                "lowest_tracking_voltage",
                FaultKind::Contradiction,
                format!("window from {low} V to {high} V"),
                "a lower end of 0 V or more, below the upper end",
                "correct the voltages",
            );
        }
        need(
            self.highest_voltage_v.is_none() || self.record_low_degc.is_some(),
            "record_low",
            FaultKind::MissingKey,
            "this key is missing".into(),
            "needed with highest_voltage: the lowest air temperature on record at the place",
            "add record_low = \"-30 degC\"",
        );
        faults
    }

    /// The fault of an array whose voltage in the cold passes what the controller bears.
    pub(super) fn cold_voltage(&self, arrays: &[OneArray]) -> Option<Fault> {
        let (most, cold) = (self.highest_voltage_v?, self.record_low_degc?);
        let worst = arrays
            .iter()
            .filter_map(|a| Some((a, a.wiring.as_ref()?.string(1000.0, cold)?.open_circuit_v())))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|(_, volts)| *volts > most)?;
        Some(Fault::at_key(
            "coupling.highest_voltage",
            FaultKind::CannotRun,
            format!("array {} reaches {:.1} V open-circuit at {cold} degC", worst.0.name, worst.1),
            format!("at most {most} V"),
            "put fewer modules in series, or choose a controller with a higher limit",
        ))
    }
}

/// Efficiency at a load.
fn by_load(rows: &[(f64, f64)], load: f64) -> f64 {
    let upper = rows.partition_point(|(x, _)| *x <= load);
    match (upper.checked_sub(1).and_then(|i| rows.get(i)), rows.get(upper)) {
        (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (load - x0) / (x1 - x0),
        (Some((_, y)), None) => *y,
        (None, Some((x1, y1))) => y1 * load / x1,
        (None, None) => 0.0,
    }
}
