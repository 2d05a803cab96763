//! Whether a scheme comes to its goal.

use super::TankResult;
use crate::record::YearKind;
use crate::reliability::goal::{Found, Judgement};
use crate::reliability::interval::Tally;

impl TankResult {
    /// What the scheme's goal comes to, without its backup; `None` where the scheme has no goal.
    #[must_use]
    pub fn goal(&self) -> Option<Judgement> {
        let outcome = &self.outcome;
        let whole: Vec<_> = outcome.years.iter().filter(|(year, _)| year.whole).collect();
        let measured = self.kind == YearKind::Calendar;
        let found = Found {
            short_days: f64::from(outcome.counts.shortfall_days) / self.calendar.years(),
            dry_hours_in_a_row: outcome.counts.longest_dry_hours,
            lowest_level_m3: outcome.lowest_m3,
            autonomy_days: self.full_tank.worst,
            measured_years: Tally::of_values(&whole, |(_, counts)| counts.shortfall_days > 0)
                .filter(|_| measured),
        };
        Some(self.plan.goal?.judge(&found))
    }
}
