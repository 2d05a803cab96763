//! Water that is brought when the tank is low: by a generator, from a main, in hauled loads.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `x` | level of the tank at an hour's end | m³ | ≥ 0 |
//! | `S`, `T` | it starts at or below; it stops at | m³ | `0 ≤ S < T` |
//! | `d` | delay from the start to the first water, or to the next load | h | ≥ 0 |
//! | `q`, `v` | flow; volume of a load | m³/h; m³ | > 0 |
//! | `M` | most in a day | m³ | > 0 |
//!
//! # Equation
//!
//! - Idle, on one of its dates, `x ≤ S` at an hour's end: it is called, and waits for `d`. A recovery of the level while it
//!   waits does not call it off.
//! - A flow then brings `q` in each hour, or `q` times the part of the first hour that is left after `d`, until `x ≥ T` at an hour's
//!   end or its dates are over. No more than lifts the level to `T` is taken, nor more than `M` in a day.
//! - A load is there as a whole in the hour in which `d` is over. Of what does not fit below `T` nothing is taken. While `x < T` the
//!   next load is on its way and takes `d` again.
//!
//! # Validity
//!
//! The rule looks at the tank once an hour, at its end, as someone who passes does at best. It does not look ahead.
//!
//! # Example
//! ```
//! use dryspell::inflow::{Backup, BackupState, Bringing};
//! let truck = Backup { bringing: Bringing::Load(4.0), delay_h: 2.0, ..Backup::flow("truck", 0.0, (1.0, 5.0)) };
//! let mut state = BackupState::default();
//! let summer = dryspell::calendar::MonthDay { month: 7, day: 1 };
//! // Low at an hour's end: two hours of waiting, then the load.
//! truck.end_of_hour(&mut state, 0.9, 0.0, summer, false);
//! assert_eq!(truck.offer_m3(&state), 0.0);
//! truck.end_of_hour(&mut state, 0.8, 0.0, summer, false);
//! assert_eq!(truck.offer_m3(&state), 4.0);
//! ```
//!
//! # References
//!
//! Arithmetic; the rule is this project's definition.

use crate::calendar::{DateSpan, MonthDay};

/// A backup and its rule.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Backup {
    /// What it is, such as `hauled water`.
    pub name: String,
    /// How it brings its water.
    pub bringing: Bringing,
    /// Name of the tank that it fills; `None` is the tank that the pump fills.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank: Option<String>,
    /// It is called at or below this level, m³.
    pub starts_below_m3: f64,
    /// It stops at this level, m³, above the other and below the float's stop.
    pub stops_at_m3: f64,
    /// From the call to the first water, or to the next load, h.
    pub delay_h: f64,
    /// Most in a day, m³; `None` without a limit.
    pub most_m3_per_day: Option<f64>,
    /// Dates on which it may be called; empty means all year.
    pub dates: Vec<DateSpan>,
    /// What it costs.
    pub cost: Cost,
}

/// How a backup brings its water.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Bringing {
    /// At a flow, m³/h, > 0: a generator on the pump, a main.
    Flow(f64),
    /// In loads, m³ each, > 0.
    Load(f64),
}

/// What a backup costs, in any currency; what is left out costs nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub struct Cost {
    /// For each m³.
    pub per_m3: f64,
    /// For each hour that it runs.
    pub per_hour: f64,
    /// For each load.
    pub per_load: f64,
}

/// What a backup remembers from hour to hour.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BackupState {
    phase: Phase,
    /// Brought on this day so far, m³.
    today_m3: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
enum Phase {
    #[default]
    Idle,
    /// Called: so many hours until its water is there.
    Waits(f64),
    Runs,
}

impl Backup {
    /// A flow, m³/h, between two levels, m³, at once, all year and without a limit.
    #[must_use]
    pub fn flow(name: &str, m3_per_h: f64, (starts_below_m3, stops_at_m3): (f64, f64)) -> Self {
        Self {
            name: name.to_owned(),
            bringing: Bringing::Flow(m3_per_h),
            tank: None,
            starts_below_m3,
            stops_at_m3,
            delay_h: 0.0,
            most_m3_per_day: None,
            dates: Vec::new(),
            cost: Cost::default(),
        }
    }

    /// What it can bring in the hour that begins now, m³.
    #[must_use]
    pub fn offer_m3(&self, state: &BackupState) -> f64 {
        let offer = match (state.phase, self.bringing) {
            (Phase::Idle, _) => 0.0,
            (Phase::Waits(left_h), Bringing::Flow(q)) => q * (1.0 - left_h).max(0.0),
            (Phase::Waits(left_h), Bringing::Load(v)) => {
                if left_h <= 1.0 {
                    v
                } else {
                    0.0
                }
            }
            (Phase::Runs, Bringing::Flow(q)) => q,
            // A load comes at the end of its wait alone.
            (Phase::Runs, Bringing::Load(_)) => 0.0,
        };
        self.most_m3_per_day.map_or(offer, |most| offer.min((most - state.today_m3).max(0.0)))
    }

    /// The rule at an hour's end: the level then, what was taken in the hour, the date, and whether the hour was the day's last.
    pub fn end_of_hour(
        &self,
        state: &mut BackupState,
        level_m3: f64,
        taken_m3: f64,
        date: MonthDay,
        midnight: bool,
    ) {
        state.today_m3 += taken_m3;
        let allowed = self.dates.is_empty() || self.dates.iter().any(|span| span.contains(date));
        let full = level_m3 >= self.stops_at_m3;
        state.phase = match state.phase {
            Phase::Waits(left_h) if left_h > 1.0 => Phase::Waits(left_h - 1.0),
            Phase::Waits(_) | Phase::Runs if full || !allowed => Phase::Idle,
            Phase::Waits(_) | Phase::Runs => match self.bringing {
                Bringing::Flow(_) => Phase::Runs,
                Bringing::Load(_) => Phase::Waits(self.delay_h),
            },
            Phase::Idle if allowed && level_m3 <= self.starts_below_m3 => Phase::Waits(self.delay_h),
            Phase::Idle => Phase::Idle,
        };
        if midnight {
            state.today_m3 = 0.0;
        }
    }

    /// Loads that a volume brought in an hour came in: 1 or 0; 0 where it flows.
    #[must_use]
    pub fn loads(&self, taken_m3: f64) -> u32 {
        match self.bringing {
            Bringing::Load(_) => u32::from(taken_m3 > 0.0),
            Bringing::Flow(_) => 0,
        }
    }

    /// Time that it ran for a volume brought in an hour, h; 0 for a load.
    #[must_use]
    pub fn running_h(&self, taken_m3: f64) -> f64 {
        match self.bringing {
            Bringing::Flow(q) if q > 0.0 => taken_m3 / q,
            _ => 0.0,
        }
    }

    /// What so many m³, hours and loads cost; `None` where no cost is given.
    #[must_use]
    pub fn cost(&self, m3: f64, hours: f64, loads: u32) -> Option<f64> {
        let Cost { per_m3, per_hour, per_load } = self.cost;
        (self.cost != Cost::default()).then(|| per_m3 * m3 + per_hour * hours + per_load * f64::from(loads))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAY: MonthDay = MonthDay { month: 7, day: 1 };

    /// By hand: 0.6 m³/h, called at 1, stops at 2, an hour and a half later, at most 1.5 m³ a day.
    #[test]
    fn a_flow_waits_runs_and_keeps_to_its_day() {
        let main =
            Backup { delay_h: 1.5, most_m3_per_day: Some(1.5), ..Backup::flow("main", 0.6, (1.0, 2.0)) };
        let mut state = BackupState::default();
        let mut offers = Vec::new();
        // It is called at the end of the first hour; the level recovers while it waits, and falls again.
        for level in [1.0, 1.2, 1.1, 1.3, 1.6, 1.7] {
            let offer = main.offer_m3(&state);
            offers.push(offer);
            main.end_of_hour(&mut state, level, offer, DAY, false);
        }
        for (offer, by_hand) in offers.iter().zip([0.0, 0.0, 0.3, 0.6, 0.6, 0.0]) {
            assert!((offer - by_hand).abs() < 1e-12, "{offers:?}");
        }
        // Midnight gives it a new day; at the stop it is done.
        main.end_of_hour(&mut state, 1.7, 0.0, DAY, true);
        assert!((main.offer_m3(&state) - 0.6).abs() < 1e-12);
        main.end_of_hour(&mut state, 2.0, 0.3, DAY, false);
        assert!(main.offer_m3(&state) <= 0.0);
    }

    #[test]
    fn loads_follow_each_other_until_it_is_enough() {
        let truck = Backup {
            bringing: Bringing::Load(3.0),
            delay_h: 2.0,
            dates: vec![DateSpan { from: MonthDay { month: 6, day: 1 }, to: MonthDay { month: 8, day: 31 } }],
            cost: Cost { per_load: 90.0, ..Cost::default() },
            ..Backup::flow("truck", 0.0, (1.0, 5.0))
        };
        let mut state = BackupState::default();
        let mut brought = Vec::new();
        let mut level: f64 = 1.0;
        for _ in 0..8 {
            let taken = truck.offer_m3(&state).min(5.0 - level);
            brought.push(taken);
            level += taken;
            truck.end_of_hour(&mut state, level, taken, DAY, false);
        }
        assert_eq!(brought, [0.0, 0.0, 3.0, 0.0, 1.0, 0.0, 0.0, 0.0]);
        assert_eq!(truck.cost(4.0, 0.0, 2), Some(180.0));
        // Out of its dates it is not called.
        let mut state = BackupState::default();
        truck.end_of_hour(&mut state, 0.0, 0.0, MonthDay { month: 9, day: 1 }, false);
        assert_eq!(state, BackupState::default());
    }
}
