//! Water that runs at a stated flow: a spring, a main, a hand pump worked by the clock.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `Q_m` | flow in month `m` | m³/h | 0 to 1000 |
//! | `V` | volume in an hour | m³ | ≥ 0 |
//!
//! # Equation
//!
//! `V = Q_m · 1 h` in the hours and on the dates on which it runs, else 0.
//!
//! # Validity
//!
//! The flow is what arrives at the tank, whatever the tank's level. It steps from month to month. Hours are clock hours of
//! local standard time, each named by its start.
//!
//! # Example
//!
//! ```
//! use dryspell::calendar::Calendar;
//! use dryspell::inflow::Steady;
//!
//! // 10 L/min from 6 to 8 o'clock each day: 1.2 m³ a day, 438 m³ a year.
//! let mut hours = [false; 24];
//! (hours[6], hours[7]) = (true, true);
//! let main = Steady { hours, ..Steady::of(0.6) };
//! let m3 = main.column_m3(&Calendar::year(2023));
//! assert_eq!((m3[5], m3[6], m3[8]), (0.0, 0.6, 0.0));
//! assert!((m3.iter().sum::<f64>() - 438.0).abs() < 1e-9);
//! ```

use crate::calendar::{Calendar, DateSpan, HOURS_PER_DAY};

/// A stated flow.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Steady {
    /// Flow by month from January, m³/h, ≥ 0.
    pub flow_m3_per_h: [f64; 12],
    /// Clock hours in which it runs.
    pub hours: [bool; HOURS_PER_DAY],
    /// Dates on which it runs; none is all year.
    pub dates: Vec<DateSpan>,
}

impl Steady {
    /// The same flow in every hour of the year, m³/h.
    #[must_use]
    pub const fn of(flow_m3_per_h: f64) -> Self {
        Self { flow_m3_per_h: [flow_m3_per_h; 12], hours: [true; HOURS_PER_DAY], dates: Vec::new() }
    }

    /// Volume in every hour of a calendar, m³.
    #[must_use]
    pub fn column_m3(&self, calendar: &Calendar) -> Vec<f64> {
        let mut m3 = Vec::with_capacity(calendar.hours());
        for day in calendar.days() {
            let month = usize::from(day.month.clamp(1, 12)) - 1;
            let runs = self.dates.is_empty() || self.dates.iter().any(|span| span.contains(day.month_day()));
            let flow = if runs { self.flow_m3_per_h[month] } else { 0.0 };
            m3.extend(self.hours.map(|on| if on { flow } else { 0.0 }));
        }
        m3
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::{Day, MonthDay};

    #[test]
    fn it_runs_in_its_months_and_on_its_dates() {
        let mut flow_m3_per_h = [0.1; 12];
        flow_m3_per_h[1] = 0.5;
        let date = |month, day| MonthDay { month, day };
        // 30 January to 2 February, over a change of month.
        let dates = vec![DateSpan { from: date(1, 30), to: date(2, 1) }];
        let spring = Steady { flow_m3_per_h, dates, ..Steady::of(0.0) };
        let m3 = spring.column_m3(&Calendar::starting(Day { year: 2023, month: 1, day: 29 }, 5));
        let days: Vec<f64> = m3.chunks(24).map(|day| day.iter().sum()).collect();
        // 24 h of 0.1 m³/h are 2.4 m³, of 0.5 m³/h 12 m³.
        for (found, expected) in days.iter().zip([0.0, 2.4, 2.4, 12.0, 0.0]) {
            assert!((found - expected).abs() < 1e-12, "{days:?}");
        }
    }
}
