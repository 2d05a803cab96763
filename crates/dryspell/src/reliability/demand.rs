//! What the animals want by day, and what is short before the tank has a say.

use crate::calendar::HOURS_PER_DAY;
use crate::delivery;
use crate::tank::grid;

/// What the counters must know of the draw, besides the tank's own hours. It is the same for every tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// Wanted by the stock on each day, m³.
    wanted_m3: Vec<f64>,
    /// Behind hydrants: what happens there. `None` where all stock drinks at the tank.
    way: Option<Way>,
}

/// What happens on the way from the tank to the animals.
#[derive(Debug, Clone, PartialEq)]
struct Way {
    /// Short on the way, m³ on each day.
    short_m3: Vec<f64>,
    /// Whether a hydrant by itself is short by more than the tolerance, on each day.
    hydrant_short: Vec<bool>,
    /// Hours that end with nothing before the animals of some hydrant.
    dry: Vec<bool>,
    /// Hours in which the animals of some hydrant drink nothing.
    idle: Vec<bool>,
}

/// One hour on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WayHour {
    /// Whether there are troughs between tank and animals.
    pub troughs: bool,
    /// Whether it ends with nothing before the animals of some hydrant.
    pub dry: bool,
    /// Whether the animals of some hydrant drink nothing in it.
    pub idle: bool,
}

impl Demand {
    /// All stock drinks at the tank; what it wants in each hour, m³.
    #[must_use]
    pub fn at_tank(wanted_m3: &[f64]) -> Self {
        Self { wanted_m3: by_day(wanted_m3), way: None }
    }

    /// Stock drinks at hydrants, some perhaps at the tank itself. `wanted_m3` is what all of it wants in each hour, on
    /// the grid; `at_hydrants_m3` what is wanted at each hydrant, in the order of the columns; `tolerance` the share of
    /// a hydrant's day that may be short.
    #[must_use]
    pub fn behind_hydrants(
        wanted_m3: &[f64],
        at_hydrants_m3: &[&[f64]],
        delivery: &delivery::Columns,
        tolerance: f64,
    ) -> Self {
        let hours = wanted_m3.len();
        let mut way = Way {
            short_m3: by_day(&grid::column_m3(&delivery.short_m3())),
            hydrant_short: vec![false; hours / HOURS_PER_DAY],
            dry: vec![false; hours],
            idle: vec![false; hours],
        };
        for (hydrant, wanted) in delivery.hydrants.iter().zip(at_hydrants_m3) {
            let short: Vec<f64> = (0..hours).map(|h| hydrant.short_m3(h)).collect();
            let days = by_day(wanted).into_iter().zip(by_day(&short));
            for (day, (wanted_day, short_day)) in days.enumerate() {
                if wanted_day <= 0.0 {
                    continue;
                }
                // Thirst below the ledger's grid is rounding, not thirst.
                way.hydrant_short[day] |= short_day > tolerance * wanted_day + grid::STEP_M3;
                for h in day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY {
                    way.dry[h] |= hydrant.is_dry(h);
                    way.idle[h] |= hydrant.drunk_m3(h, wanted[h]) <= grid::STEP_M3;
                }
            }
        }
        Self { wanted_m3: by_day(wanted_m3), way: Some(way) }
    }

    /// Wanted by the stock on a day, m³.
    #[must_use]
    pub fn wanted_m3(&self, day: usize) -> f64 {
        self.wanted_m3[day]
    }

    /// Whether any stock draws on a day.
    #[must_use]
    pub fn is_stock_day(&self, day: usize) -> bool {
        self.wanted_m3[day] > 0.0
    }

    /// Short between tank and animals on a day, m³.
    #[must_use]
    pub fn short_on_the_way_m3(&self, day: usize) -> f64 {
        self.way.as_ref().map_or(0.0, |way| way.short_m3[day])
    }

    /// Whether a day on which the tank lacked so much is a day of shortfall.
    #[must_use]
    pub fn is_short_day(&self, day: usize, tank_short_m3: f64, tolerance: f64) -> bool {
        let short = tank_short_m3 + self.short_on_the_way_m3(day);
        self.is_stock_day(day)
            && (short > tolerance * self.wanted_m3[day]
                || self.way.as_ref().is_some_and(|way| way.hydrant_short[day]))
    }

    /// One hour on the way.
    #[must_use]
    pub fn hour(&self, h: usize) -> WayHour {
        self.way.as_ref().map_or_else(WayHour::default, |way| WayHour {
            troughs: true,
            dry: way.dry[h],
            idle: way.idle[h],
        })
    }
}

/// Sums of each day.
fn by_day(hourly: &[f64]) -> Vec<f64> {
    hourly.chunks(HOURS_PER_DAY).map(|day| day.iter().sum()).collect()
}
