//! The well: how deep the water stands, and how far it falls when pumped.

mod check;
mod drawdown;
mod step_test;
mod storage;
mod theis;

pub use drawdown::drawdown_m;
pub use step_test::step_test;
pub use storage::Bore;
pub use theis::{Aquifer, well_function};

use std::f64::consts::PI;

/// When the pump may run again after the water fell to the cut-out.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Restart {
    /// After a fixed time, h.
    Delay(f64),
    /// When the water has come back to this depth below the wellhead, m.
    Level(f64),
}

/// The bore, as far as its standing water matters.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct BoreSize {
    /// Inside diameter of the casing, m.
    pub diameter_m: f64,
    /// Outside diameter of the drop pipe, m, 0 where it is not known.
    pub pipe_diameter_m: f64,
}

/// Settings of the well.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
pub struct Settings {
    /// Depth of the standing water below the wellhead, m, by month (January first).
    pub static_level_m: [f64; 12],
    /// Specific capacity: flow per metre of drawdown, m³/h per m, > 0; `None` when the drawdown is not known and
    /// taken as zero. It is 1/B.
    pub specific_capacity_m3_per_h_m: Option<f64>,
    /// Well loss C, h²/m⁵, ≥ 0.
    pub well_loss_h2_per_m5: f64,
    /// The most the well gives, m³/h; `None` when not stated.
    pub yield_m3_per_h: Option<f64>,
    /// Depth of the pump's intake below the wellhead, m; `None` when not stated.
    pub pump_setting_m: Option<f64>,
    /// Water that must stand over the intake, m, ≥ 0.
    pub submergence_m: f64,
    /// The bore; `None` leaves its standing water out.
    pub bore: Option<BoreSize>,
    /// Depth at which the pump is stopped, m; `None` is the pump setting less the submergence.
    pub cut_out_m: Option<f64>,
    /// When it may run again.
    pub restart: Option<Restart>,
}

impl Settings {
    /// Settled drawdown at a flow, m; zero where the specific capacity is not known.
    #[must_use]
    pub fn drawdown_m(&self, flow_m3_per_h: f64) -> f64 {
        let aquifer_loss = self.specific_capacity_m3_per_h_m.map_or(0.0, |sc| 1.0 / sc);
        drawdown_m(flow_m3_per_h, aquifer_loss, self.well_loss_h2_per_m5)
    }

    /// The part of it that has no memory, m.
    #[must_use]
    pub fn well_loss_m(&self, flow_m3_per_h: f64) -> f64 {
        drawdown_m(flow_m3_per_h, 0.0, self.well_loss_h2_per_m5)
    }

    /// The water in the bore, where its size is given.
    #[must_use]
    pub fn storage(&self) -> Option<Bore> {
        let bore = self.bore?;
        let (d, p) = (bore.diameter_m, bore.pipe_diameter_m);
        Some(Bore {
            area_m2: PI / 4.0 * (d * d - p * p),
            specific_capacity_m3_per_h_m: self.specific_capacity_m3_per_h_m?,
            yield_m3_per_h: self.yield_m3_per_h,
        })
    }

    /// Depth at which the pump is stopped, m below the wellhead.
    #[must_use]
    pub fn cut_out_level_m(&self) -> Option<f64> {
        self.cut_out_m.or_else(|| Some(self.pump_setting_m? - self.submergence_m))
    }

    /// The flow that the well sustains in a month, 1 to 12, m³/h: its yield, and that whose settled drawdown reaches the
    /// cut-out. Infinite where nothing limits it.
    #[must_use]
    pub fn sustained_m3_per_h(&self, month: u8) -> f64 {
        let most = self.yield_m3_per_h.unwrap_or(f64::INFINITY);
        let month = usize::from(month.clamp(1, 12)) - 1;
        let Some(room) = self.cut_out_level_m().map(|level| (level - self.static_level_m[month]).max(0.0))
        else {
            return most;
        };
        let b = self.specific_capacity_m3_per_h_m.map_or(0.0, |sc| 1.0 / sc);
        let c = self.well_loss_h2_per_m5;
        // C Q² + B Q = room, in the form that does not cancel; without either loss the level stays.
        let down = b + (b * b + 4.0 * c * room).sqrt();
        if down > 0.0 { most.min(2.0 * room / down) } else { most }
    }
}
