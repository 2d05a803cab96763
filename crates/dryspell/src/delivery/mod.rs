//! From the tank to the animals: by gravity or by a booster with its own panel and battery, through pipes, into troughs.
//!
//! Delivery runs on the draw alone, as if the tank held water. It passes on what it could ask of the tank, and keeps its
//! own shortage by cause: frozen, then pump or pipes too small, then battery empty. What the tank cannot give comes last
//! and is the tank's.

mod autonomy;
mod battery;
mod booster;
mod check;
mod inputs;
mod ledger;
mod network;
mod operate;
mod pass;
mod pressure_tank;
mod rate;
mod ready;
mod run;

pub use autonomy::BatteryDays;
pub(crate) use battery::RATED_DEGC;
pub use battery::{Battery, Charge, Energy, Load};
pub use booster::{Booster, BoosterRow};
pub use check::check;
pub use inputs::Inputs;
pub(crate) use ledger::{Hour as FillHour, Reach, State as FillState, Step as FillStep};
pub use network::Network;
pub use operate::{Lift, Point, operate};
pub(crate) use pass::MOST_PASSES;
pub use pressure_tank::{Cycle, PressureTank, cycle, drawdown_share};
pub use rate::{RateLaw, rate_factor};
pub(crate) use ready::Ready;
pub use run::{Cause, Columns, HydrantColumns, Volumes, delivery, panel_w};

use crate::array;
use crate::draw::Carry;
use crate::pipe::{FrictionLaw, Run};

/// A hydrant with its trough.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Hydrant {
    /// Name in the scheme; the place of the herd that drinks there.
    pub name: String,
    /// The pipe from where the shared one ends, in the water's order; at least one run.
    pub runs: Vec<Run>,
    /// Height of its valve above the tank's outlet, m; negative below.
    pub height_m: f64,
    /// Pressure that its valve keeps, m of water, ≥ 0.
    pub pressure_m: f64,
    /// Water in the trough between full and empty, m³; 0 where they drink from the pipe.
    pub trough_m3: f64,
    /// How far the animals walk to it, m; `None` where nothing is said.
    pub walk_m: Option<f64>,
    /// Area of its water under the open sky, m², ≥ 0. What evaporates is taken from the tank.
    pub open_surface_m2: f64,
    /// What runs over its rim where no valve shuts, m³/h, ≥ 0; taken from the tank.
    pub overflow_m3_per_h: f64,
    /// Name of the tank that its water comes from; `None` is the tank that the pump fills.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank: Option<String>,
}

/// Pipe that the hydrants at another tank share: the water runs down in it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct OtherLine {
    /// Name of that tank.
    pub tank: String,
    /// The runs, in the water's order.
    pub shared: Vec<Run>,
}

/// A booster with what drives it.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct BoosterSettings {
    /// Rows of flow, head and current.
    pub rows: Vec<BoosterRow>,
    /// Voltage that they are for, V.
    pub voltage_v: f64,
    /// Pressure tank and switch; `None` where it runs as long as a valve is open.
    pub tank: Option<PressureTank>,
    /// Its battery.
    pub battery: Battery,
    /// Its own panels.
    pub panel: array::Settings,
    /// Share of the panels' power that their controller hands on, above 0 to 1.
    pub controller_efficiency: f64,
    /// Power that switch and controller always take, W, ≥ 0.
    pub standby_w: f64,
    /// Temperature of the battery, °C; `None` is the day's mean air.
    pub battery_degc: Option<f64>,
}

/// Settings of the delivery.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Settings {
    /// Pipe that all hydrants share, from the tank or booster, in the water's order.
    pub shared: Vec<Run>,
    /// The hydrants.
    pub hydrants: Vec<Hydrant>,
    /// The booster; `None` where the water runs down by itself.
    pub booster: Option<BoosterSettings>,
    /// Law of friction.
    pub friction: FrictionLaw,
    /// Water temperature, °C; it sets the viscosity.
    pub water_degc: f64,
    /// What becomes of unmet thirst; the tank's rule.
    pub carry: Carry,
    /// Name of the tank from which the shared pipe and the booster start; `None` is the tank that the pump fills.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank: Option<String>,
    /// Pipes that hydrants at other tanks share.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub other_lines: Vec<OtherLine>,
}

impl Settings {
    /// The runs shared by the hydrants at each other tank, and for each hydrant the number of its line among them; `None` for those
    /// of the first line.
    pub(crate) fn lines(&self) -> (Vec<&[Run]>, Vec<Option<usize>>) {
        let mut tanks: Vec<&Option<String>> = Vec::new();
        let mut line_of = Vec::with_capacity(self.hydrants.len());
        for hydrant in &self.hydrants {
            if hydrant.tank == self.tank {
                line_of.push(None);
                continue;
            }
            line_of.push(Some(tanks.iter().position(|tank| **tank == hydrant.tank).unwrap_or_else(|| {
                tanks.push(&hydrant.tank);
                tanks.len() - 1
            })));
        }
        let shared = |tank: &&Option<String>| {
            let line = self.other_lines.iter().find(|line| Some(&line.tank) == tank.as_ref());
            line.map_or::<&[Run], _>(&[], |line| &line.shared)
        };
        (tanks.iter().map(shared).collect(), line_of)
    }
}

#[cfg(test)]
mod tests;
