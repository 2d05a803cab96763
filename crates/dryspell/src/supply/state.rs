//! What one hour leaves to the next.

use crate::grid::FINE_STEPS;
use crate::pipe::drained_share;

/// What the pump, the well and the riser remember from hour to hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// The pump ran at the hour's end: it need not break away again.
    pub running: bool,
    /// Drawdown of the water in the bore, m.
    pub drawdown_m: f64,
    /// Empty part of the pipe that drains through the weep hole, m³.
    pub empty_m3: f64,
    /// What keeps the pump from running.
    pub wait: Wait,
}

/// What keeps the pump from running after the water fell to the cut-out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Wait {
    /// Nothing.
    #[default]
    No,
    /// So many hours more.
    Hours(f64),
    /// Until the water is back at the restart level.
    Level,
}

/// Two levels, volumes or times (m, m³, h) so near to each other are one.
const NEAR: f64 = 1e-9;

impl State {
    /// The state on a grid of 2⁻³⁰ m, m³ and h, so that a year that is followed round and round repeats exactly or not at
    /// all.
    #[must_use]
    pub fn on_grid(self) -> Self {
        let on = |value: f64| libm::rint(value * FINE_STEPS) / FINE_STEPS;
        Self {
            running: self.running,
            drawdown_m: on(self.drawdown_m),
            empty_m3: on(self.empty_m3),
            wait: match self.wait {
                Wait::Hours(hours) => Wait::Hours(on(hours)),
                other => other,
            },
        }
    }

    /// Whether the hours that follow cannot tell one from the other.
    pub(super) fn is_near(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= NEAR;
        let waits = match (self.wait, other.wait) {
            (Wait::Hours(a), Wait::Hours(b)) => near(a, b),
            (a, b) => a == b,
        };
        waits
            && self.running == other.running
            && near(self.drawdown_m, other.drawdown_m)
            && near(self.empty_m3, other.empty_m3)
    }

    /// Lets the pipe drain for a time: what stands in it falls as a column of its own height does.
    pub(super) fn drain(&mut self, time_h: f64, drains_m3: f64, drain_down_h: f64) {
        let standing = drains_m3 - self.empty_m3;
        if standing > 0.0 {
            let own_time = drain_down_h * (standing / drains_m3).sqrt();
            self.empty_m3 += standing * drained_share(time_h, own_time);
        }
    }
}
