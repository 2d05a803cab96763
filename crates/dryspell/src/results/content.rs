//! What the cells of a column are, for tables that have types.

use super::Field;
use crate::simulate::TankResult;

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Content {
    /// Whole numbers.
    Count,
    /// Numbers.
    Number,
    /// `true` or `false`.
    Flag,
    /// Days as `2000-01-31`.
    Date,
    /// Text.
    Text,
}

/// Headlines that are no plain numbers.
const COUNTS: [&str; 33] = [
    "tank_year_starts_in_month",
    "stock_days",
    "shortfall_days",
    "spells",
    "longest_spell_days",
    "dry_hours",
    "longest_dry_hours",
    "longest_nothing_drawn_hours",
    "full_tank_autonomy_days.starts_left_out",
    "shortfall_days_without_frost",
    "shortfall_days_with_backup",
    "dry_hours_with_backup",
    "backup.running_h",
    "backup.loads",
    "backup.days",
    "passes",
    "shortfall_days_if_started_empty",
    "start_power_ends.zero_days",
    "start_power_ends.best_line_days",
    "snow_by_rain.least_days",
    "snow_by_rain.most_days",
    "panels_covered_shortfall_days.for_3_days",
    "panels_covered_shortfall_days.for_7_days",
    "panels_covered_shortfall_days.for_14_days",
    "limit_hours.night",
    "limit_hours.sun_below_start",
    "limit_hours.sun",
    "limit_hours.pump_limit",
    "limit_hours.table_end",
    "limit_hours.well",
    "limit_hours.cut_out",
    "limit_hours.frozen",
    "limit_hours.float_full",
];
const FLAGS: [&str; 4] = ["delivery_settled", "settled", "snow_not_modelled", "goal_met"];
const DATES: [&str; 3] = ["worst_day", "haul_by_day", "backup.first_day"];
const TEXTS: [&str; 9] = [
    "schema",
    "year_kind",
    "full_tank_autonomy_days.by_month",
    "critical_spell.began",
    "critical_spell.deepest",
    "critical_spell.refilled",
    "answered_by",
    "design_point.start",
    "frost_depth_rests_on",
];

/// What the cells of a headline are.
#[must_use]
pub fn content(headline: &Field<TankResult>) -> Content {
    let is = |names: &[&str]| names.contains(&headline.name);
    if is(&COUNTS) {
        Content::Count
    } else if is(&FLAGS) {
        Content::Flag
    } else if is(&DATES) {
        Content::Date
    } else if is(&TEXTS) {
        Content::Text
    } else {
        Content::Number
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::results::HEADLINES;

    #[test]
    fn every_name_is_that_of_a_headline() {
        for name in COUNTS.iter().chain(&FLAGS).chain(&DATES).chain(&TEXTS) {
            assert!(HEADLINES.iter().any(|h| h.name == *name), "{name}");
        }
    }
}
