//! The well: how deep the water stands, and how far it falls when pumped.

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
