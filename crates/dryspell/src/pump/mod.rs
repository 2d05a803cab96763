//! The pump: what flow it gives against a head at a power.

mod check;
pub(crate) mod duty;
mod hydraulic_power;
mod pchip;

pub use duty::{Duty, Place};
pub use hydraulic_power::{GRAVITY_M_PER_S2, hydraulic_power_w};
pub use pchip::Pchip;

/// What the pump does below the lowest tabulated power at a head.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Start {
    /// Nothing: the default, on the dry side.
    #[default]
    Zero,
    /// Nothing below this power, W; from there a straight line to the lowest tabulated point.
    Power(f64),
    /// A straight line from the lowest tabulated point down to zero flow, each watt lifting as at the table's best
    /// efficiency: the hopeful end of what a table leaves open.
    BestEfficiency,
}

/// One row of a duty table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DutyPoint {
    /// Total dynamic head, m, ≥ 0.
    pub head_m: f64,
    /// Electrical power into the pump's controller, W, > 0.
    pub power_w: f64,
    /// Flow, m³/h, ≥ 0.
    pub flow_m3_per_h: f64,
}

/// Settings of the pump.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The duty table as the scheme gives it: head, power, flow.
    pub duty: Vec<DutyPoint>,
    /// What happens below the lowest tabulated power.
    pub start: Start,
    /// Efficiency of the maximum-power tracker between array and pump, 0 to 1 (1 when the table's power is taken at
    /// the controller's input).
    pub tracking_efficiency: f64,
}
