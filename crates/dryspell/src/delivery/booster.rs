//! The booster: flow and current by head.

use crate::fault::{Fault, FaultKind, Faults};
use crate::pump::{Pchip, hydraulic_power_w};

/// A row of a booster's table, at its nominal voltage.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct BoosterRow {
    /// Flow, m³/h, ≥ 0.
    pub flow_m3_per_h: f64,
    /// Head, m, ≥ 0.
    pub head_m: f64,
    /// Current, A, > 0.
    pub current_a: f64,
}

/// A booster pump's table, made ready.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | H | head from the tank's outlet to the booster's | m | up to the highest tabulated |
/// | Q, I | flow, current | m³/h, A | |
/// | U | nominal voltage | V | > 0 |
/// | P | power, `U I` | W | |
///
/// # Equation
/// Monotone cubics of Q and I by H ([`Pchip`]). Above the highest head nothing flows; below the lowest, flow and current
/// are those of the lowest.
///
/// # Validity
/// Nominal voltage throughout: a battery that sags pumps less.
///
/// # Example
/// ```
/// use dryspell::delivery::{Booster, BoosterRow};
/// let row = |flow_m3_per_h, head_m, current_a| BoosterRow { flow_m3_per_h, head_m, current_a };
/// let rows = [row(0.8, 10.0, 4.0), row(0.6, 30.0, 7.0)];
/// let booster = Booster::new(&rows, 24.0).map_err(|faults| faults[0].to_string())?;
/// assert!((booster.flow_m3_per_h(20.0) - 0.7).abs() < 1e-12);
/// assert!((booster.power_w(20.0) - 132.0).abs() < 1e-12);
/// assert_eq!(booster.flow_m3_per_h(31.0), 0.0);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// The maker's table.
#[derive(Debug, Clone, PartialEq)]
pub struct Booster {
    flow: Pchip,
    current: Pchip,
    highest_head_m: f64,
    voltage_v: f64,
    most_power_w: f64,
}

impl Booster {
    /// Makes a table ready.
    ///
    /// # Errors
    /// Every row that is none, and rows that contradict each other.
    pub fn new(rows: &[BoosterRow], voltage_v: f64) -> Result<Self, Faults> {
        let mut faults = Vec::new();
        let mut fault = |kind, found: String, accepted: &str, way_out: &str| {
            faults.push(Fault::at_key("booster.table", kind, found, accepted, way_out));
        };
        if !(voltage_v.is_finite() && voltage_v > 0.0) {
            fault(
                FaultKind::OutOfRange,
                format!("nominal voltage {voltage_v} V"),
                "above 0 V",
                "give the battery's",
            );
        }
        for (n, row) in rows.iter().enumerate() {
            let sound = |v: f64| v.is_finite() && v >= 0.0;
            if !(sound(row.flow_m3_per_h) && sound(row.head_m) && sound(row.current_a) && row.current_a > 0.0)
            {
                fault(
                    FaultKind::OutOfRange,
                    format!(
                        "row {}: {} m³/h, {} m, {} A",
                        n + 1,
                        row.flow_m3_per_h,
                        row.head_m,
                        row.current_a
                    ),
                    "flow and head of 0 or more, a current above 0",
                    "correct the row",
                );
            } else if hydraulic_power_w(990.0, row.head_m, row.flow_m3_per_h) > voltage_v * row.current_a {
                fault(
                    FaultKind::OutOfRange,
                    format!(
                        "row {}: the water alone takes more than {voltage_v} V at {} A",
                        n + 1,
                        row.current_a
                    ),
                    "an efficiency below 100 %",
                    "check the units of flow, head and current",
                );
            }
        }
        let mut sorted = rows.to_vec();
        sorted.sort_by(|a, b| a.head_m.total_cmp(&b.head_m));
        for pair in sorted.windows(2) {
            if pair[0].head_m >= pair[1].head_m || pair[0].flow_m3_per_h < pair[1].flow_m3_per_h {
                fault(
                    FaultKind::Contradiction,
                    format!(
                        "{} m³/h at {} m, but {} m³/h at {} m",
                        pair[0].flow_m3_per_h, pair[0].head_m, pair[1].flow_m3_per_h, pair[1].head_m
                    ),
                    "heads that differ, flows that do not rise with head",
                    "check the rows against the datasheet",
                );
            }
        }
        let column = |value: fn(&BoosterRow) -> f64| {
            let x: Vec<f64> = sorted.iter().map(|r| r.head_m).collect();
            Pchip::new(&x, &sorted.iter().map(value).collect::<Vec<_>>())
        };
        let curves = column(|r| r.flow_m3_per_h).zip(column(|r| r.current_a));
        if faults.is_empty() && curves.is_none() {
            faults.push(Fault::at_key(
                "booster.table",
                FaultKind::WrongLength,
                format!("{} rows", rows.len()),
                "at least two heads",
                "copy the maker's rows",
            ));
        }
        let highest_head_m = sorted.last().map_or(0.0, |r| r.head_m);
        let most_power_w = voltage_v * sorted.iter().map(|r| r.current_a).fold(0.0, f64::max);
        match curves {
            Some((flow, current)) if faults.is_empty() => {
                Ok(Self { flow, current, highest_head_m, voltage_v, most_power_w })
            }
            _ => Err(faults.into()),
        }
    }

    /// Flow against a head, m³/h.
    #[must_use]
    pub fn flow_m3_per_h(&self, head_m: f64) -> f64 {
        if head_m > self.highest_head_m { 0.0 } else { self.flow.at(head_m) }
    }

    /// Electrical power at a head, W.
    #[must_use]
    pub fn power_w(&self, head_m: f64) -> f64 {
        self.voltage_v * self.current.at(head_m)
    }

    /// The highest tabulated head, m.
    #[must_use]
    pub const fn highest_head_m(&self) -> f64 {
        self.highest_head_m
    }

    /// The greatest tabulated power, W.
    #[must_use]
    pub const fn most_power_w(&self) -> f64 {
        self.most_power_w
    }
}
