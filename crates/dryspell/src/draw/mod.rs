//! What the animals want, hour by hour.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `n` | heads of a group | – | ≥ 0 |
//! | `V_d` | need of one head on day `d` | m³ | ≥ 0 |
//! | `s_i` | share of the day in clock hour `i` | – | 0 to 1, summing to 1 |
//! | `W_h` | wanted in hour `h` | m³ | ≥ 0 |
//!
//! # Equation
//!
//! `W_h = Σ n · V_d · s_i` over the groups that are there on the day. `V_d` comes from the month, or from the mean air
//! temperature of the local day ([`beef_cow`]).
//!
//! # Validity
//!
//! A group is there for whole days. Each head drinks its mean: no day-to-day scatter, no memory of a dry day before.
//!
//! # Example
//!
//! ```
//! use dryspell::calendar::Calendar;
//! use dryspell::draw::{draw, pattern, Group, Need, Settings};
//! // 50 head at 40 L a day want 2 m³; 18/64 of it between 14 and 15 h.
//! let cows = Group {
//!     name: "cows".into(),
//!     count: 50.0,
//!     need: Need::ByMonth([0.040; 12]),
//!     pattern: pattern::preset("one visit").unwrap(),
//!     present: vec![],
//! };
//! let calendar = Calendar::year(2023);
//! let columns = draw(&Settings { groups: vec![cows] }, &calendar, &vec![5.0; 8760]).unwrap();
//! assert!((columns.wanted_m3[14] - 0.5625).abs() < 1e-12);
//! assert!(columns.stock_day.iter().all(|d| *d));
//! ```
//!
//! # References
//!
//! Those of [`pattern`] and [`beef_cow`].

pub mod beef_cow;
mod herd;
pub mod pattern;

use crate::calendar::{Calendar, DateSpan, HOURS_PER_DAY};
use crate::fault::Fault;
use herd::Herd;

/// How much one head drinks in a day.
#[derive(Debug, Clone, PartialEq)]
pub enum Need {
    /// m³ a head and day, by month (January first).
    ByMonth([f64; 12]),
    /// A beef cow by mass and milk, following the day's mean temperature by the published table.
    BeefCow {
        /// Live mass, kg, 499 to 680.
        mass_kg: f64,
        /// Milk, kg a day, 0 to 11.3.
        milk_kg: f64,
    },
}

/// A group that draws: heads of stock, or a constant extra.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Name in the scheme, such as `cows`.
    pub name: String,
    /// Number of heads; 1 for an extra draw.
    pub count: f64,
    /// Need of one head.
    pub need: Need,
    /// Share of the day's need drawn in each clock hour; sums to 1.
    pub pattern: [f64; 24],
    /// Dates on which the group is there; empty means always.
    pub present: Vec<DateSpan>,
}

/// Settings of the draw stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The groups.
    pub groups: Vec<Group>,
}

/// The columns of the draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Columns {
    /// Wanted by all groups, m³ in each hour.
    pub wanted_m3: Vec<f64>,
    /// Whether anything is drawn, for each day.
    pub stock_day: Vec<bool>,
    /// Need of each group, m³ for each day, in the order of the settings.
    pub by_group_m3_per_day: Vec<(String, Vec<f64>)>,
    /// Head-days of each group over the record: heads times days present.
    pub head_days: Vec<(String, f64)>,
    /// Mean air temperature of each local day, °C.
    pub air_day_degc: Vec<f64>,
}

/// One hour of the draw with everything on the way to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Hour {
    /// Mean air temperature of the local day, °C.
    pub air_day_degc: f64,
    /// Each group, in the order of the settings.
    pub groups: Vec<GroupHour>,
    /// Wanted by all groups, m³.
    pub wanted_m3: f64,
}

/// One group in one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupHour {
    /// Name in the scheme.
    pub name: String,
    /// Heads that are there: the group's count, or 0.
    pub heads: f64,
    /// Need of one head on this day, m³.
    pub head_m3_per_day: f64,
    /// Share of the day in this hour.
    pub share: f64,
    /// Wanted by the group, m³.
    pub wanted_m3: f64,
}

/// What the groups want over a record.
///
/// # Errors
/// A count, need or pattern that is no such thing, a cow outside the published table, or a column of air temperature
/// that is not as long as the calendar.
pub fn draw(settings: &Settings, calendar: &Calendar, air_degc: &[f64]) -> Result<Columns, Fault> {
    let herd = Herd::new(settings, calendar, air_degc)?;
    let days = calendar.days().len();
    let mut columns = Columns {
        wanted_m3: Vec::with_capacity(calendar.hours()),
        stock_day: Vec::with_capacity(days),
        by_group_m3_per_day: settings
            .groups
            .iter()
            .map(|g| (g.name.clone(), Vec::with_capacity(days)))
            .collect(),
        head_days: settings.groups.iter().map(|g| (g.name.clone(), 0.0)).collect(),
        air_day_degc: Vec::with_capacity(days),
    };
    for day in 0..days {
        let air = herd.air_day_degc(day);
        let mut wanted = [0.0; HOURS_PER_DAY];
        let mut any = false;
        for (i, group) in settings.groups.iter().enumerate() {
            let need = herd.group_day(i, day, air);
            for (w, share) in wanted.iter_mut().zip(&group.pattern) {
                *w += need.day_m3() * share;
            }
            any |= need.day_m3() > 0.0;
            columns.by_group_m3_per_day[i].1.push(need.day_m3());
            columns.head_days[i].1 += need.heads;
        }
        columns.wanted_m3.extend(wanted);
        columns.stock_day.push(any);
        columns.air_day_degc.push(air);
    }
    Ok(columns)
}

/// One hour of the draw, with all that led to it; the same numbers as in [`draw`].
///
/// # Errors
/// As [`draw`]; also an hour outside the record.
pub fn hour(settings: &Settings, calendar: &Calendar, air_degc: &[f64], h: usize) -> Result<Hour, Fault> {
    let herd = Herd::new(settings, calendar, air_degc)?;
    if h >= calendar.hours() {
        return Err(herd::no_such_hour(h, calendar.hours()));
    }
    let day = h / HOURS_PER_DAY;
    let air = herd.air_day_degc(day);
    let mut out = Hour { air_day_degc: air, groups: Vec::new(), wanted_m3: 0.0 };
    for (i, group) in settings.groups.iter().enumerate() {
        let need = herd.group_day(i, day, air);
        let share = group.pattern[h % HOURS_PER_DAY];
        let wanted_m3 = need.day_m3() * share;
        out.wanted_m3 += wanted_m3;
        out.groups.push(GroupHour {
            name: group.name.clone(),
            heads: need.heads,
            head_m3_per_day: need.head_m3,
            share,
            wanted_m3,
        });
    }
    Ok(out)
}

#[cfg(test)]
mod tests;
