//! Whether a scheme comes to its goal.

use super::{TankResult, Upstream};
use crate::record::YearKind;
use crate::reliability::goal::{Found, Judgement, Settings};
use crate::reliability::interval::Tally;
use crate::reliability::outcome::Outcome;

impl TankResult {
    /// What the scheme's goal comes to, without its backup; `None` where the scheme has no goal.
    #[must_use]
    pub fn goal(&self) -> Option<Judgement> {
        Some(judged(&self.plan.goal?, &self.upstream, &self.outcome, self.full_tank.worst))
    }
}

/// What a goal comes to by what a tank did, and by how long a full one lasts.
pub(crate) fn judged(
    goal: &Settings,
    upstream: &Upstream,
    outcome: &Outcome,
    autonomy_days: Option<f64>,
) -> Judgement {
    let whole: Vec<_> = outcome.years.iter().filter(|(year, _)| year.whole).collect();
    let measured = upstream.kind == YearKind::Calendar;
    goal.judge(&Found {
        short_days: f64::from(outcome.counts.shortfall_days) / upstream.calendar.years(),
        dry_hours_in_a_row: outcome.counts.longest_dry_hours,
        lowest_level_m3: outcome.lowest_m3,
        autonomy_days,
        measured_years: Tally::of_values(&whole, |(_, counts)| counts.shortfall_days > 0)
            .filter(|_| measured),
    })
}
