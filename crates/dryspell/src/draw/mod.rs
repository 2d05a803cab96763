//! What the animals want, hour by hour.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `n` | heads of a group on the day | – | ≥ 0 |
//! | `V_d` | need of one head on day `d` | m³ | ≥ 0 |
//! | `a` | waste, as a share of the need | – | ≥ 0 |
//! | `s_i` | share of the day in clock hour `i` | – | 0 to 1, summing to 1 |
//! | `W_h` | demand in hour `h` | m³ | ≥ 0 |
//!
//! # Equation
//!
//! `W_h = Σ n · V_d · (1 + a) · s_i` over the groups that are there on the day. `V_d` comes from the month (own figures,
//! which always win), from a class and the air of the day ([`classes`]), or as a share of what all stock needs that day.
//! Where forage water is asked for, `V_d = max(0, V_class − D m / (1 − m))` with dry matter `D` and moisture `m`: a
//! bonus, which green grass gives and a drought takes back.
//!
//! # Validity
//!
//! A group is at one place for whole days. Each head drinks its mean: no day-to-day scatter, no memory of a dry day
//! before. Snow eaten is not counted.
//!
//! # Example
//!
//! ```
//! use dryspell::calendar::Calendar;
//! use dryspell::draw::{draw, pattern, Group, Need, Settings};
//! // 50 head at 40 L a day want 2 m³; 18/64 of it between 14 and 15 h.
//! let shares = pattern::preset("one visit").unwrap();
//! let cows = Group::new("cows", 50.0, Need::ByMonth([0.040; 12]), shares);
//! let calendar = Calendar::year(2023);
//! let columns = draw(&Settings::of(vec![cows]), &calendar, &vec![5.0; 8760]).unwrap();
//! assert!((columns.demand_m3[14] - 0.5625).abs() < 1e-12);
//! assert!(columns.stock_day.iter().all(|d| *d));
//! ```
//!
//! # References
//!
//! Those of [`pattern`] and [`classes`].

mod carry;
pub mod classes;
pub mod equations;
pub mod garden;
mod herd;
pub mod pattern;
pub mod presence;
pub mod trough;

pub use carry::Carry;
pub use herd::forage_litres;

use crate::calendar::{Calendar, DateSpan, HOURS_PER_DAY};
use crate::fault::Faults;
use classes::{Animal, Class};
use herd::Herd;
use presence::Whereabouts;

/// How much one head drinks in a day.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub enum Need {
    /// m³ a head and day, by month (January first).
    ByMonth([f64; 12]),
    /// A class with a published need that follows the air of the day.
    Class {
        /// The class.
        class: &'static Class,
        /// What is known of one animal.
        animal: Animal,
    },
    /// A share of what all groups of stock need on the day, such as an allowance for wildlife.
    ShareOfHerd(f64),
}

/// Whether a group is of the herd.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum GroupKind {
    /// Animals of the herd.
    Stock,
    /// Another draw, such as wildlife.
    Extra,
}

impl GroupKind {
    /// The table of a scheme in which it stands.
    #[must_use]
    pub const fn table(self) -> &'static str {
        match self {
            Self::Stock => "herd",
            Self::Extra => "extra",
        }
    }
}

/// Water in the forage, taken off what the class needs.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Forage {
    /// Share of water in the forage's mass, by month (January first), 0 to below 1.
    pub moisture: [f64; 12],
    /// Dry matter eaten, kg a day, where the class does not say.
    pub dry_matter_kg: Option<f64>,
}

/// A group that draws: heads of stock, or a constant extra.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Group {
    /// Name in the scheme, such as `cows`.
    pub name: String,
    /// Whether it is of the herd.
    pub kind: GroupKind,
    /// Number of heads; 1 for an extra draw.
    pub count: f64,
    /// Heads on dates on which they differ from `count`; no date twice.
    pub counts: Vec<(DateSpan, f64)>,
    /// Need of one head.
    pub need: Need,
    /// Share of the day's need drawn in each clock hour; sums to 1.
    pub pattern: [f64; 24],
    /// Dates on which the group is there; empty means always.
    pub present: Vec<DateSpan>,
    /// The place where it is on which dates; no date twice. With places the group is there on their dates only.
    pub places: Vec<(String, DateSpan)>,
    /// Forage water to take off, on request.
    pub forage: Option<Forage>,
    /// Water spilled at the trough, as a share of what they drink.
    pub waste: f64,
    /// Name of the tank at which it drinks where it is at no hydrant; `None` is the tank that the pump fills.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tank: Option<String>,
}

impl Group {
    /// A group of the herd that is there all year.
    #[must_use]
    pub fn new(name: impl Into<String>, count: f64, need: Need, pattern: [f64; 24]) -> Self {
        Self {
            name: name.into(),
            kind: GroupKind::Stock,
            count,
            counts: Vec::new(),
            need,
            pattern,
            present: Vec::new(),
            places: Vec::new(),
            forage: None,
            waste: 0.0,
            tank: None,
        }
    }
}

/// Settings of the draw stage.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
pub struct Settings {
    /// The groups.
    pub groups: Vec<Group>,
    /// Gardens, which come after the stock.
    pub gardens: Vec<garden::Garden>,
}

impl Settings {
    /// Settings of groups alone.
    #[must_use]
    pub const fn of(groups: Vec<Group>) -> Self {
        Self { groups, gardens: Vec::new() }
    }
}

/// The demand at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Name in the scheme.
    pub name: String,
    /// Demand there, m³ in each hour.
    pub demand_m3: Vec<f64>,
}

/// Where one group was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GroupPlaces {
    /// The group.
    pub group: String,
    /// For each day the number of its place in [`Columns::places`]; `None` when away or at no place in particular.
    pub place_of_day: Vec<Option<usize>>,
}

/// The columns of the draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Columns {
    /// Demand of all groups, m³ in each hour.
    pub demand_m3: Vec<f64>,
    /// Of it that of extras, such as wildlife, which are not of the herd, m³ in each hour.
    pub extra_m3: Vec<f64>,
    /// Demand of the groups that stand at no place in particular: at the tank itself. m³ in each hour.
    pub at_tank_m3: Vec<f64>,
    /// Whether anything is drawn, for each day.
    pub stock_day: Vec<bool>,
    /// Need of each group, m³ for each day, in the order of the settings.
    pub by_group_m3_per_day: Vec<(String, Vec<f64>)>,
    /// Head-days of each group over the record: heads times days present.
    pub head_days: Vec<(String, f64)>,
    /// Mean air temperature of each local day, °C.
    pub air_day_degc: Vec<f64>,
    /// The demand at each named place, in the order in which they first stand in the settings.
    pub places: Vec<Place>,
    /// Where each group was, in the order of the settings.
    pub stays: Vec<GroupPlaces>,
}

/// One hour of the draw with everything on the way to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Hour {
    /// Mean air temperature of the local day, °C.
    pub air_day_degc: f64,
    /// Each group, in the order of the settings.
    pub groups: Vec<GroupHour>,
    /// Demand of all groups, m³.
    pub demand_m3: f64,
}

/// One group in one hour.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupHour {
    /// Name in the scheme.
    pub name: String,
    /// The place where it is, if it has one.
    pub place: Option<String>,
    /// Heads that are there: the group's count of the day, or 0.
    pub heads: f64,
    /// Need of one head on this day, waste included, m³.
    pub head_m3_per_day: f64,
    /// Share of the day in this hour.
    pub share: f64,
    /// Demand of the group, m³.
    pub demand_m3: f64,
}

/// What the groups want over a record.
///
/// # Errors
/// All counts, needs, dates and patterns that are no such thing, animals outside their class, or a column of air
/// temperature that is not as long as the calendar.
pub fn draw(settings: &Settings, calendar: &Calendar, air_degc: &[f64]) -> Result<Columns, Faults> {
    let herd = Herd::new(settings, calendar, air_degc)?;
    let days = calendar.days().len();
    let mut names: Vec<&str> = Vec::new();
    for (name, _) in settings.groups.iter().flat_map(|g| &g.places) {
        if !names.contains(&name.as_str()) {
            names.push(name);
        }
    }
    let mut columns = Columns {
        demand_m3: Vec::with_capacity(calendar.hours()),
        extra_m3: vec![0.0; calendar.hours()],
        at_tank_m3: vec![0.0; calendar.hours()],
        stock_day: Vec::with_capacity(days),
        by_group_m3_per_day: settings
            .groups
            .iter()
            .map(|g| (g.name.clone(), Vec::with_capacity(days)))
            .collect(),
        head_days: settings.groups.iter().map(|g| (g.name.clone(), 0.0)).collect(),
        air_day_degc: Vec::with_capacity(days),
        places: names
            .iter()
            .map(|name| Place { name: (*name).to_string(), demand_m3: vec![0.0; calendar.hours()] })
            .collect(),
        stays: settings
            .groups
            .iter()
            .map(|g| GroupPlaces { group: g.name.clone(), place_of_day: Vec::with_capacity(days) })
            .collect(),
    };
    for day in 0..days {
        let air = herd.air(day);
        let mut demand = [0.0; HOURS_PER_DAY];
        let mut any = false;
        for (i, (group, need)) in settings.groups.iter().zip(herd.groups_on(day, air)).enumerate() {
            for (w, share) in demand.iter_mut().zip(&group.pattern) {
                *w += need.day_m3() * share;
            }
            let place = match need.place {
                Whereabouts::At(name) => names.iter().position(|n| *n == name),
                Whereabouts::Here | Whereabouts::Away => None,
            };
            {
                let first = day * HOURS_PER_DAY;
                let column = match place {
                    Some(place) => &mut columns.places[place].demand_m3,
                    None => &mut columns.at_tank_m3,
                };
                let hours = &mut column[first..first + HOURS_PER_DAY];
                for (w, share) in hours.iter_mut().zip(&group.pattern) {
                    *w += need.day_m3() * share;
                }
            }
            if group.kind == GroupKind::Extra {
                let first = day * HOURS_PER_DAY;
                let hours = &mut columns.extra_m3[first..first + HOURS_PER_DAY];
                for (w, share) in hours.iter_mut().zip(&group.pattern) {
                    *w += need.day_m3() * share;
                }
            }
            any |= need.day_m3() > 0.0;
            columns.by_group_m3_per_day[i].1.push(need.day_m3());
            columns.head_days[i].1 += need.heads;
            columns.stays[i].place_of_day.push(place);
        }
        columns.demand_m3.extend(demand);
        columns.stock_day.push(any);
        columns.air_day_degc.push(air.mean_degc);
    }
    Ok(columns)
}

/// A column of the user's own in the place of herds: the stock drinks at the tank.
pub(crate) fn of_column(demand_m3: &[f64], air_degc: &[f64]) -> Columns {
    let means = air_degc.chunks(HOURS_PER_DAY).map(|day| day.iter().sum::<f64>() / HOURS_PER_DAY as f64);
    Columns {
        demand_m3: demand_m3.to_vec(),
        extra_m3: vec![0.0; demand_m3.len()],
        at_tank_m3: demand_m3.to_vec(),
        stock_day: demand_m3.chunks(HOURS_PER_DAY).map(|day| day.iter().any(|m3| *m3 > 0.0)).collect(),
        by_group_m3_per_day: Vec::new(),
        head_days: Vec::new(),
        air_day_degc: means.collect(),
        places: Vec::new(),
        stays: Vec::new(),
    }
}

/// One hour of the draw, with all that led to it; the same numbers as in [`draw`].
///
/// # Errors
/// As [`draw`]; also an hour outside the record.
pub fn hour(settings: &Settings, calendar: &Calendar, air_degc: &[f64], h: usize) -> Result<Hour, Faults> {
    let herd = Herd::new(settings, calendar, air_degc)?;
    if h >= calendar.hours() {
        return Err(vec![herd::no_such_hour(h, calendar.hours())].into());
    }
    let day = h / HOURS_PER_DAY;
    let air = herd.air(day);
    let mut out = Hour { air_day_degc: air.mean_degc, groups: Vec::new(), demand_m3: 0.0 };
    for (group, need) in settings.groups.iter().zip(herd.groups_on(day, air)) {
        let share = group.pattern[h % HOURS_PER_DAY];
        let demand_m3 = need.day_m3() * share;
        out.demand_m3 += demand_m3;
        out.groups.push(GroupHour {
            name: group.name.clone(),
            place: match need.place {
                Whereabouts::At(name) => Some(name.to_string()),
                Whereabouts::Here | Whereabouts::Away => None,
            },
            heads: need.heads,
            head_m3_per_day: need.head_m3,
            share,
            demand_m3,
        });
    }
    Ok(out)
}

#[cfg(test)]
mod tests;
