//! What the animals want, hour by hour.

use crate::calendar::DateSpan;

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
