//! What the delivery is driven by.

use super::Settings;
use crate::calendar::Calendar;
use crate::fault::{Fault, FaultKind, Faults};

/// What the delivery is driven by.
#[derive(Debug, Clone, Copy)]
pub struct Inputs<'a> {
    /// Hours and days.
    pub calendar: &'a Calendar,
    /// Demand at each hydrant, m³ in each hour, in the order of the settings.
    pub demand_m3: &'a [&'a [f64]],
    /// Whether the way to each hydrant is frozen, in each hour; an empty list where nothing freezes.
    pub frozen: &'a [&'a [bool]],
    /// Power of the booster's own panels, W, in each hour, see [`super::panel_w`]; empty without a booster.
    pub panel_w: &'a [f64],
    /// Air temperature, °C.
    pub air_degc: &'a [f64],
    /// Pressure of the air, Pa.
    pub air_pa: f64,
}

/// All columns as long as the record.
pub(super) fn lengths(settings: &Settings, inputs: &Inputs<'_>, hours: usize) -> Result<(), Faults> {
    let n = settings.hydrants.len();
    let booster = settings.booster.is_some();
    let sound = inputs.demand_m3.len() == n
        && inputs.demand_m3.iter().all(|c| c.len() == hours)
        && (inputs.frozen.is_empty() || inputs.frozen.len() == n)
        && inputs.frozen.iter().all(|c| c.len() == hours)
        && inputs.air_degc.len() == hours
        && (!booster || inputs.panel_w.len() == hours);
    if sound {
        return Ok(());
    }
    Err(Faults::from(Fault::at_key(
        "hydrant",
        FaultKind::WrongLength,
        format!("columns that do not fit {n} hydrants and {hours} hours"),
        "one column of demand for each hydrant, all columns as long as the record",
        "give each hydrant its place of the herd",
    )))
}
