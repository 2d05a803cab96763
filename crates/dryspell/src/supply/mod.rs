//! Supply: where the pump meets the well and the pipe, hour by hour.
//!
//! Supply is made as if the float never stopped the pump. Each hour stands alone: it depends on the power of that hour
//! and on the month, on nothing before it.

mod head;
mod peak_hours;
mod root;
mod system;

pub use head::{Head, HeadBuildUp, RunBuildUp, head_build_up};
pub use peak_hours::{peak_hours_flow_m3_per_h, peak_hours_volume_m3_per_day, strings_needed, wire_power_w};
pub use system::{Hour, System};

use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::fault::{Fault, FaultKind};
use crate::{pipe, pump, well};

/// Settings of the supply stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The pump.
    pub pump: pump::Settings,
    /// The well.
    pub well: well::Settings,
    /// The pipe line.
    pub pipe: pipe::Settings,
}

/// What set the flow of an hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// No power at all: the sun is down, or nothing reaches the cells.
    Night,
    /// Some power, too little to lift any water.
    SunBelowStart,
    /// Running: more sun would have lifted more.
    Sun,
    /// Running at the greatest tabulated power: more sun would not have lifted more.
    PumpLimit,
    /// Running beyond the table's highest head: the flow is the one that the pipe line passes at that head.
    TableEnd,
    /// Held back to what the well gives.
    Well,
}

impl Limit {
    /// All limits, from no water to most.
    pub const ALL: [Self; 6] =
        [Self::Night, Self::SunBelowStart, Self::Sun, Self::PumpLimit, Self::TableEnd, Self::Well];

    /// Whether water flows.
    #[must_use]
    pub const fn flows(self) -> bool {
        !matches!(self, Self::Night | Self::SunBelowStart)
    }

    /// The limit in words, as tables show it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Night => "night",
            Self::SunBelowStart => "sun below start",
            Self::Sun => "sun",
            Self::PumpLimit => "pump at its limit",
            Self::TableEnd => "head at the table's end",
            Self::Well => "well",
        }
    }
}

/// What the supply stage makes: one value for each hour of the record, and counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Columns {
    /// Water offered to the tank, m³ in the hour.
    pub offered_m3: Vec<f64>,
    /// Power that the pump took, W: none while nothing flows, and none above what gives more flow.
    pub power_w: Vec<f64>,
    /// Total dynamic head, m; the static head while nothing flows.
    pub head_m: Vec<f64>,
    /// What set the flow.
    pub limit: Vec<Limit>,
    /// Hours with flow in which the power was below the lowest tabulated one: the start rule made their water.
    pub hours_below_lowest_power: u32,
    /// Water of those hours, m³.
    pub m3_below_lowest_power: f64,
    /// Hours in which the system curve left the table at its highest head.
    pub hours_table_end: u32,
    /// Hours with flow below the lowest tabulated head, where the flow of that head was kept.
    pub hours_below_lowest_head: u32,
}

impl Columns {
    /// Number of hours with a limit.
    #[must_use]
    pub fn hours(&self, limit: Limit) -> usize {
        self.limit.iter().filter(|l| **l == limit).count()
    }
}

/// The supply of every hour of a record.
///
/// `array_w` is what the array can give at the coupling, before the tracker's efficiency.
///
/// # Errors
/// Every fault of the settings (see [`System::new`]), or a power that is negative or not a number.
pub fn supply(settings: &Settings, array_w: &[f64], calendar: &Calendar) -> Result<Columns, Vec<Fault>> {
    System::new(settings)?.supply(array_w, calendar)
}

impl System {
    /// The supply of every hour of a record; see [`supply`].
    ///
    /// # Errors
    /// A power that is negative or not a number, or a column that does not fit the calendar.
    pub fn supply(&self, array_w: &[f64], calendar: &Calendar) -> Result<Columns, Vec<Fault>> {
        check_power(array_w, calendar)?;
        let hours = array_w.len();
        let mut columns = Columns {
            offered_m3: Vec::with_capacity(hours),
            power_w: Vec::with_capacity(hours),
            head_m: Vec::with_capacity(hours),
            limit: Vec::with_capacity(hours),
            ..Columns::default()
        };
        let mut flows = Vec::new();
        for (day, powers) in calendar.days().iter().zip(array_w.chunks(HOURS_PER_DAY)) {
            for power in powers {
                columns.push(&self.solve(day.month, *power, &mut flows));
            }
        }
        Ok(columns)
    }
}

impl Columns {
    fn push(&mut self, hour: &Hour) {
        self.offered_m3.push(hour.flow_m3_per_h);
        self.power_w.push(hour.power_taken_w);
        self.head_m.push(hour.head.total_m());
        self.limit.push(hour.limit);
        if hour.below_lowest_power {
            self.hours_below_lowest_power += 1;
            self.m3_below_lowest_power += hour.flow_m3_per_h;
        }
        self.hours_table_end += u32::from(hour.table_end);
        self.hours_below_lowest_head += u32::from(hour.below_lowest_head);
    }
}

fn check_power(array_w: &[f64], calendar: &Calendar) -> Result<(), Vec<Fault>> {
    if array_w.len() != calendar.hours() {
        return Err(vec![Fault::at_key(
            "array",
            FaultKind::WrongLength,
            format!("{} hours of array power for a record of {} hours", array_w.len(), calendar.hours()),
            "one power for each hour",
            "make the power from the same record",
        )]);
    }
    match array_w.iter().position(|w| !(w.is_finite() && *w >= 0.0)) {
        None => Ok(()),
        Some(h) => Err(vec![Fault::at_key(
            "array",
            FaultKind::OutOfRange,
            format!("array power {} W in the hour from {}", array_w[h], calendar.start_text(h)),
            "0 W or more",
            "check the weather of that hour",
        )]),
    }
}
