//! The well: how deep the water stands, and how far it falls when pumped.

mod drawdown;

pub use drawdown::drawdown_m;

use crate::fault::{Fault, FaultKind};

/// Settings of the well.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Depth of the standing water below the wellhead, m, by month (January first).
    pub static_level_m: [f64; 12],
    /// Specific capacity: flow for each metre of drawdown, m³/h per m, > 0; `None` when the drawdown is not known and
    /// taken as zero.
    pub specific_capacity_m3_per_h_m: Option<f64>,
    /// The most the well gives, m³/h; `None` when not stated.
    pub yield_m3_per_h: Option<f64>,
}

impl Settings {
    /// Drawdown at a flow, m; zero where the specific capacity is not known.
    #[must_use]
    pub fn drawdown_m(&self, flow_m3_per_h: f64) -> f64 {
        self.specific_capacity_m3_per_h_m.map_or(0.0, |sc| drawdown_m(flow_m3_per_h, sc))
    }

    /// Every value out of its range.
    #[must_use]
    pub fn faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        for (month, level) in self.static_level_m.iter().enumerate().filter(|(_, v)| !v.is_finite()) {
            faults.push(Fault::at_key(
                "well.static_level",
                FaultKind::OutOfRange,
                format!("static level {level} m in month {}", month + 1),
                "a finite depth below the wellhead",
                "correct the level",
            ));
        }
        let positive = |value: Option<f64>| value.is_none_or(|v| v.is_finite() && v > 0.0);
        if !positive(self.specific_capacity_m3_per_h_m) {
            faults.push(Fault::at_key(
                "well.specific_capacity",
                FaultKind::OutOfRange,
                format!("specific capacity {} m³/h per m", self.specific_capacity_m3_per_h_m.unwrap_or(0.0)),
                "above 0",
                "leave it out where the drawdown is not known: it is then taken as zero",
            ));
        }
        if !positive(self.yield_m3_per_h) {
            faults.push(Fault::at_key(
                "well.yield",
                FaultKind::OutOfRange,
                format!("yield {} m³/h", self.yield_m3_per_h.unwrap_or(0.0)),
                "above 0",
                "leave it out where it is not known",
            ));
        }
        faults
    }
}
