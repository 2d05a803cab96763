//! The same record with water brought when the tank is low.

use super::{Marched, Upstream};
use crate::calendar::HOURS_PER_DAY;
use crate::fault::Faults;
use crate::inflow::Backup;
use crate::plan::Plan;
use crate::reliability::counters::Counts;

/// What a backup brings, and what is still short with it. Verdicts, sizes and odds are judged without it.
#[derive(Debug, Clone, PartialEq)]
pub struct WithBackup {
    /// Days, spells and hours with it.
    pub counts: Counts,
    /// Short with it, whatever the cause, m³.
    pub short_m3: f64,
    /// Brought, m³.
    pub brought_m3: f64,
    /// Time that it ran, h; 0 for loads.
    pub running_h: f64,
    /// Loads.
    pub loads: u32,
    /// Days on which it brought anything.
    pub days: u32,
    /// The first of them, as an index into the record.
    pub first_day: Option<usize>,
    /// Most brought on consecutive days, m³.
    pub most_in_a_spell_m3: f64,
    /// What it costs; `None` where the scheme gives no cost.
    pub cost: Option<f64>,
    /// Brought in each hour, m³.
    pub hourly_m3: Vec<f64>,
    /// In the tank at each hour's end, m³.
    pub stored_m3: Vec<f64>,
    /// Short by hour, booked at midnight where thirst carries over, m³.
    pub short_hourly_m3: Vec<f64>,
}

/// Marches the record with the backup.
pub(super) fn with_backup(upstream: &Upstream, plan: &Plan, backup: &Backup) -> Result<WithBackup, Faults> {
    let inputs = &upstream.march;
    let (marched, outcome) = inputs.with_backup(plan, backup)?;
    let Marched { hours, delivery, herds, backup_m3: hourly_m3, .. } = marched;
    let daily_m3: Vec<f64> = hourly_m3.chunks(HOURS_PER_DAY).map(|day| day.iter().sum()).collect();
    let brought_m3: f64 = hourly_m3.iter().sum();
    let running_h = hourly_m3.iter().map(|m3| backup.running_h(*m3)).sum();
    let loads = hourly_m3.iter().map(|m3| backup.loads(*m3)).sum();
    let (mut spell_m3, mut most_in_a_spell_m3) = (0.0, 0.0_f64);
    for m3 in &daily_m3 {
        spell_m3 = if *m3 > 0.0 { spell_m3 + m3 } else { 0.0 };
        most_in_a_spell_m3 = most_in_a_spell_m3.max(spell_m3);
    }
    let way = |h: usize| delivery.as_ref().map_or(0.0, |d| d.short_in_m3(h));
    Ok(WithBackup {
        counts: outcome.counts,
        short_m3: herds.iter().flat_map(|herd| &herd.days).map(|day| day.short_m3()).sum(),
        brought_m3,
        running_h,
        loads,
        days: daily_m3.iter().map(|m3| u32::from(*m3 > 0.0)).sum(),
        first_day: daily_m3.iter().position(|m3| *m3 > 0.0),
        most_in_a_spell_m3,
        cost: backup.cost(brought_m3, running_h, loads),
        stored_m3: hours.iter().map(|hour| hour.level_m3[0].max(0.0)).collect(),
        short_hourly_m3: hours.iter().enumerate().map(|(h, hour)| hour.short_m3[0] + way(h)).collect(),
        hourly_m3,
    })
}
