//! Whole hourly columns of the user's own.

use crate::calendar::Calendar;
use crate::edition::Edition;
use crate::fault::{Fault, FaultKind};

/// Whole hourly columns, each in the place of what a stage would make.
///
/// # Units
/// m³ in each hour of the record, ≥ 0.
///
/// # Validity
/// With `available_m3` panels, pump, well and pipe are not simulated: their settings are not looked at, their power and head
/// are zero, and the questions about start power, frost and covered panels are not asked. With `demand_m3` no herd may be
/// named besides, and the stock drinks at the tank.
///
/// # Example
/// ```
/// use dryspell::calendar::{Calendar, Day};
/// use dryspell::plan::Plan;
/// use dryspell::record::Record;
/// use dryspell::simulate::simulate;
/// use dryspell::tank;
///
/// // Two weeks, 1.2 m³ at noon but on three dull days, and 1 m³ drunk at dusk; a tank of 2 m³.
/// let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 14);
/// let at = |hour: usize, m3: f64| move |h: usize| if h % 24 == hour { m3 } else { 0.0 };
/// let available: Vec<f64> = (0..14 * 24).map(at(12, 1.2)).enumerate()
///     .map(|(h, m3)| if (5..8).contains(&(h / 24)) { 0.0 } else { m3 }).collect();
/// let demand: Vec<f64> = (0..14 * 24).map(at(19, 1.0)).collect();
/// let plan = Plan::of_columns(available, demand, tank::Settings::open("main", 2.0));
/// let run = simulate(&plan, &Record::without_weather(calendar))?;
/// assert_eq!(run.outcome.counts.shortfall_days, 2);
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
pub struct OwnColumns {
    /// Water available to the tank.
    pub available_m3: Option<Edition<Vec<f64>>>,
    /// Demand of the stock.
    pub demand_m3: Option<Edition<Vec<f64>>>,
}

impl OwnColumns {
    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.available_m3.is_none() && self.demand_m3.is_none()
    }

    /// What keeps a column from standing for a record's hours.
    pub(crate) fn fault(column: &[f64], key: &str, calendar: &Calendar) -> Option<Fault> {
        let fault = |found: String| {
            Fault::at_key(
                format!("columns.{key}"),
                FaultKind::OutOfRange,
                found,
                format!("{} values of 0 or more, one an hour of the record", calendar.hours()),
                "correct the column",
            )
        };
        if column.len() != calendar.hours() {
            return Some(fault(format!("{} values", column.len())));
        }
        let wrong = column.iter().position(|m3| !(m3.is_finite() && *m3 >= 0.0))?;
        Some(fault(format!("{} in hour {wrong}", column[wrong])))
    }
}
