//! Each herd's own book: what it wanted, drank and lacked, day by day.

use crate::fault::Fault;
use crate::{grid, residual};

/// A herd, day by day, wherever it drinks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HerdBook {
    /// Name in the scheme.
    pub name: String,
    /// Each day of the record.
    pub days: Vec<BookDay>,
}

/// A day of a herd's book, m³, each term accumulated on its own.
///
/// # Equation
/// `demand = drunk + short`, exactly, and `0 ≤ short ≤ demand`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BookDay {
    /// Demand of its hours.
    pub demand_m3: f64,
    /// Drunk in them.
    pub drunk_m3: f64,
    /// Short because the way was frozen.
    pub short_frozen_m3: f64,
    /// Short because pump or pipes were too small.
    pub short_too_small_m3: f64,
    /// Short because the booster's battery was empty.
    pub short_battery_m3: f64,
    /// Short because the tank was empty.
    pub short_tank_m3: f64,
    /// Hours in which it stands dry, a bit for each, the first hour highest.
    pub dry: u32,
    /// Hours in which it drinks nothing.
    pub idle: u32,
}

impl BookDay {
    /// Short, whatever the cause, m³.
    #[must_use]
    pub fn short_m3(&self) -> f64 {
        self.short_frozen_m3 + self.short_too_small_m3 + self.short_battery_m3 + self.short_tank_m3
    }

    /// Whether more than this share of its demand was short. Below a step of the grid is rounding, not thirst.
    #[must_use]
    pub fn is_short(&self, tolerance: f64) -> bool {
        self.demand_m3 > 0.0 && self.short_m3() > tolerance * self.demand_m3 + grid::STEP_M3
    }
}

impl HerdBook {
    /// Days on which more than this share of its demand was short.
    #[must_use]
    pub fn short_days(&self, tolerance: f64) -> usize {
        self.days.iter().filter(|day| day.is_short(tolerance)).count()
    }

    /// What is missing, m³, on the day on which most is: 0 where the book is right.
    #[must_use]
    pub fn left_over_m3(&self) -> f64 {
        let missing = |day: &BookDay| {
            let left = day.demand_m3 - day.drunk_m3 - day.short_m3();
            // What is not a number, or endless, must not pass as "not larger".
            if !left.is_finite() {
                return f64::INFINITY;
            }
            let beyond = (day.short_m3() - day.demand_m3).max(-day.short_m3()).max(0.0);
            left.abs().max(beyond)
        };
        self.days.iter().map(missing).fold(0.0, f64::max)
    }

    /// What is missing on the worst day as a share of the herd's largest day (of 1 m³ where that is less), if the book is right.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault when it is above 1e-9.
    pub fn close(&self) -> Result<f64, Fault> {
        let scale = self.days.iter().map(|day| day.demand_m3).fold(1.0, f64::max);
        let what = format!("the book of {} does not close", self.name);
        let terms = format!("{} m3 missing on a day", self.left_over_m3());
        let scale = if scale.is_finite() { scale } else { 1.0 };
        residual::close(self.left_over_m3() / scale, "ledger", &what, &terms)
    }
}
