//! What one size came to.

use dryspell::plan::Plan;
use dryspell::reliability::interval::Interval;
use dryspell::simulate::{AnswersBy, TankResult};
use dryspell::sizing::{Chance, Target, smallest};

/// What one size came to.
#[derive(Debug, Clone)]
pub struct SizeResult {
    pub(crate) met: bool,
    /// Whether the targets other than the chance of a dry year are met.
    others_met: bool,
    pub(crate) days: f64,
    pub(crate) served: Option<f64>,
    pub(crate) autonomy: Option<f64>,
    /// Least water at the end of any hour, m³.
    pub(crate) lowest_m3: f64,
    pub(crate) longest_dry_hours: u32,
    /// Days short by something that no tank mends, and whether supply is below draw.
    pub(crate) on_the_way_m3: f64,
    pub(crate) runs_down: bool,
    pub(crate) capacity_m3: f64,
    pub(crate) modules: u32,
    /// The pass that its counts come from.
    pub answers_by: AnswersBy,
    /// Its plan; `None` where it cannot run.
    pub plan: Option<Plan>,
    /// Dry years among made years, where the target rests on them.
    pub(crate) chance: Option<Chance>,
    /// What the record allows the chance of a dry year to be, where it was asked.
    pub interval: Option<Interval>,
    /// Whole tank years of the record with a day of shortfall, and all of them.
    pub(crate) own_years: (usize, usize),
    /// Why it could not run.
    pub(crate) fault: Option<String>,
}

impl SizeResult {
    /// Keeps of a tank's result what the page needs, or why it could not run; `tank` is the one that is sized.
    #[must_use]
    pub fn of(found: Result<TankResult, String>, targets: &[Target], tank: &str) -> Self {
        match found {
            Err(fault) => Self {
                met: false,
                others_met: false,
                days: f64::NAN,
                served: None,
                autonomy: None,
                lowest_m3: 0.0,
                longest_dry_hours: 0,
                on_the_way_m3: 0.0,
                runs_down: false,
                capacity_m3: 0.0,
                modules: 0,
                answers_by: AnswersBy::Columns,
                plan: None,
                chance: None,
                interval: None,
                own_years: (0, 0),
                fault: Some(fault),
            },
            Ok(found) => Self {
                met: targets.iter().all(|t| t.met(&found)),
                days: f64::from(found.outcome.counts.shortfall_days) / found.calendar.years(),
                answers_by: found.answers_by,
                served: found.volume_served_percent(),
                autonomy: found.full_tank.worst,
                lowest_m3: found.outcome.lowest_m3,
                longest_dry_hours: found.outcome.counts.longest_dry_hours,
                on_the_way_m3: found.short_m3() - found.outcome.ledgers.short_m3,
                runs_down: found.storage.missing_m3 > 0.0,
                capacity_m3: {
                    let named = found.plan.tanks().find(|own| own.name == tank);
                    named.unwrap_or(&found.plan.tank).capacity_m3
                },
                modules: found.plan.array.arrays.iter().map(|a| a.series * a.parallel).sum(),
                chance: None,
                interval: None,
                own_years: {
                    let whole = || found.outcome.years.iter().filter(|(year, _)| year.whole);
                    (whole().filter(|(_, counts)| counts.shortfall_days > 0).count(), whole().count())
                },
                others_met: targets
                    .iter()
                    .filter(|t| !matches!(t, Target::DryYears(_)))
                    .all(|t| t.met(&found)),
                plan: Some(found.plan),
                fault: None,
            },
        }
    }

    /// Judges the chance of a dry year by made years in place of the record's own.
    pub fn rest_on(&mut self, chance: Chance, targets: &[Target]) {
        let share = chance.share();
        self.met = self.others_met
            && targets
                .iter()
                .filter(|t| matches!(t, Target::DryYears(_)))
                .all(|t| share.is_some_and(|share| t.met_by(share)));
        self.chance = Some(chance);
    }

    /// It cannot run on made years.
    pub fn refuse(&mut self, fault: String) {
        (self.met, self.plan, self.fault) = (false, None, Some(fault));
    }
}

/// The smallest size of a row from which all larger ones meet the targets.
#[must_use]
pub fn smallest_of(row: &[SizeResult]) -> Option<usize> {
    smallest(&row.iter().map(|f| f.met).collect::<Vec<_>>())
}
