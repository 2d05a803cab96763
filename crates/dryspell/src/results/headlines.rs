//! The headlines: what a run comes to, one figure each.

use super::{Field, Figure, SCHEMA, tables};
use crate::simulate::{TankResult, WithBackup};

/// A headline.
macro_rules! headline {
    ($($field:tt)*) => { single!(TankResult, $($field)*) };
}

/// Every headline. Volumes are sums over the record.
pub const HEADLINES: &[Field<TankResult>] = &[
    headline!("schema", "", "version of this list", |_| Figure::Text(SCHEMA.into())),
    headline!("year_kind", "", "typical, calendar, synthetic or projected years", |run| {
        Figure::Text(run.kind.word().into())
    }),
    headline!("years_in_record", "years", "years in the record", |run| run.calendar.years().into()),
    headline!("tank_year_starts_in_month", "", "month (1 to 12) in which yearly counts begin", |run| {
        Figure::Count(run.outcome.tank_year_month.into())
    }),
    headline!("stock_days", "days", "days with stock draw; percentages of days are of these", |run| {
        run.outcome.counts.stock_days.into()
    }),
    headline!(
        "shortfall_days",
        "days",
        "days with stock draw whose shortage exceeds the tolerance of that day's stock draw",
        |run| run.outcome.counts.shortfall_days.into()
    ),
    headline!("tolerance_percent", "%", "share of a day's stock draw that may be short", |run| {
        (100.0 * run.plan.tank.tolerance).into()
    }),
    headline!("spells", "", "runs of consecutive days of shortfall", |run| run.outcome.counts.spells.into()),
    headline!("longest_spell_days", "days", "days in the longest spell", |run| {
        run.outcome.counts.longest_spell_days.into()
    }),
    headline!("dry_hours", "h", "hours that ended with no usable water, on days with stock draw", |run| {
        run.outcome.counts.dry_hours.into()
    }),
    headline!("longest_dry_hours", "h", "hours in the longest dry run; over 24 is a welfare alarm", |run| {
        run.outcome.counts.longest_dry_hours.into()
    }),
    headline!(
        "longest_nothing_drawn_hours",
        "h",
        "hours in the longest run in which one herd drank nothing, nights included, on days on which it draws",
        |run| run.outcome.counts.longest_nothing_drawn_hours.into()
    ),
    headline!("worst_day_short_percent", "%", "largest share of a day's stock draw that was short", |run| {
        (100.0 * run.outcome.counts.worst_day_short).into()
    }),
    headline!("worst_day", "", "the day on which that was", |run| {
        run.outcome.counts.worst_day.map_or(Figure::Null, |d| tables::date(run, d))
    }),
    headline!(
        "days_served_percent",
        "%",
        "share of days with stock draw that are not days of shortfall",
        |run| { run.days_served_percent().into() }
    ),
    headline!("volume_served_percent", "%", "share of the demand that was drunk", |run| {
        run.volume_served_percent().into()
    }),
    headline!("haul_m3", "m3", "water short in the worst spell: the volume to haul", |run| {
        run.outcome.counts.haul_m3.into()
    }),
    headline!("haul_by_day", "", "the first day of that spell", |run| {
        run.outcome.counts.haul_by_day.map_or(Figure::Null, |d| tables::date(run, d))
    }),
    headline!(
        "full_tank_autonomy_days.worst",
        "days",
        "days a full tank lasts for the demand of the herds, from the worst start hour",
        |run| { run.full_tank.worst.into() }
    ),
    headline!(
        "full_tank_autonomy_days.by_month",
        "days",
        "the same for the start hours of each month, January first",
        |run| Figure::List(run.full_tank.by_month.iter().map(|d| (*d).into()).collect())
    ),
    headline!(
        "full_tank_autonomy_days.starts_left_out",
        "",
        "start hours left out because the water outlasts the record",
        |run| run.full_tank.left_out.into()
    ),
    headline!("autonomy_in_service_days.min", "days", "days left at the lowest level the run had", |run| {
        run.in_service.map(|a| a.min).into()
    }),
    headline!("autonomy_in_service_days.p05", "days", "days left, 5th percentile of hours", |run| {
        run.in_service.map(|a| a.p05).into()
    }),
    headline!("autonomy_in_service_days.median", "days", "days left, median of hours", |run| {
        run.in_service.map(|a| a.median).into()
    }),
    headline!(
        "rule_sheet_storage_days",
        "days",
        "usable volume up to the float stop divided by the mean daily draw with stock in the peak month",
        |run| run.rule_sheet_storage_days().into()
    ),
    headline!(
        "storage_needed_m3",
        "m3",
        "sequent peak: smallest volume that meets every hour's draw in that hour, without carry-over, tolerance, losses \
         or float band; null when supply is below draw",
        |run| run.storage.storage_m3.into()
    ),
    headline!("supply_missing_m3_per_year", "m3", "shortfall of a year's supply against its draw", |run| {
        (run.storage.missing_m3 / run.calendar.years()).into()
    }),
    headline!("critical_spell.began", "", "hour in which the spell that sets the storage began", |run| {
        run.storage.critical.map_or(Figure::Null, |c| Figure::Text(run.calendar.start_text(c.began)))
    }),
    headline!("critical_spell.deepest", "", "hour in which it was deepest", |run| {
        run.storage.critical.map_or(Figure::Null, |c| Figure::Text(run.calendar.start_text(c.deepest)))
    }),
    headline!(
        "critical_spell.refilled",
        "",
        "hour in which the deficit was made up; null if it was not",
        |run| {
            run.storage
                .critical
                .and_then(|c| c.refilled)
                .map_or(Figure::Null, |h| Figure::Text(run.calendar.start_text(h)))
        }
    ),
    headline!("start_m3", "m3", "in the tank at the record's start", |run| run
        .outcome
        .ledgers
        .start_m3
        .into()),
    headline!("lifted_m3", "m3", "lifted by the pump as if the float did not stop it", |run| {
        run.supply.ledger.lifted_m3.into()
    }),
    headline!("weep_m3", "m3", "of it lost through the weep hole", |run| run.supply.ledger.weep_m3.into()),
    headline!("riser_refill_m3", "m3", "of it used to fill the drained pipe at starts", |run| {
        run.supply.ledger.riser_refill_m3.into()
    }),
    headline!("available_m3", "m3", "what the pump could lift if the float did not stop it", |run| {
        run.outcome.ledgers.available_m3.into()
    }),
    headline!("pumped_m3", "m3", "pumped into the tank", |run| run.outcome.ledgers.pumped_m3.into()),
    headline!("inflow_m3", "m3", "let into the tank by inflows besides the pump", |run| {
        run.outcome.ledgers.inflow_m3.into()
    }),
    headline!("demand_m3", "m3", "demand of the stock", |run| run.demand_sum_m3.into()),
    headline!(
        "extras_m3.demand",
        "m3",
        "demand of extras such as wildlife, which make no day of shortfall",
        |run| { run.extra_m3.iter().sum::<f64>().into() }
    ),
    headline!("extras_m3.short", "m3", "of it not there in its hour; nothing is owed to extras", |run| run
        .outcome
        .ledgers
        .extra_short_m3
        .into()),
    headline!(
        "requested_m3",
        "m3",
        "requested of the tank for stock and extras: their demand, less the delivery shortage, plus what the troughs gained; \
         their demand where the march answers",
        |run| run.outcome.ledgers.requested_m3.into()
    ),
    headline!("drawn_m3", "m3", "drawn from the tank for stock and extras", |run| run
        .outcome
        .ledgers
        .drawn_m3
        .into()),
    headline!("short_m3", "m3", "demand not drunk, whatever the cause", |run| run.short_m3().into()),
    headline!(
        "short_by_cause_m3.frozen",
        "m3",
        "short because the line to a hydrant was frozen or shut; null without hydrants",
        |run| run.delivery.as_ref().map(|d| d.volumes.short_frozen_m3).into()
    ),
    headline!(
        "short_by_cause_m3.pump_too_small",
        "m3",
        "short because booster, pipe and trough were too small for the peak; null without hydrants",
        |run| run.delivery.as_ref().map(|d| d.volumes.short_too_small_m3).into()
    ),
    headline!(
        "short_by_cause_m3.battery_empty",
        "m3",
        "short because the booster's battery was empty; null without hydrants",
        |run| run.delivery.as_ref().map(|d| d.volumes.short_battery_m3).into()
    ),
    headline!("short_by_cause_m3.tank_empty", "m3", "short because the tank was empty", |run| {
        run.outcome.ledgers.short_m3.into()
    }),
    headline!("curtailed_m3", "m3", "available but not pumped: the float had stopped the pump", |run| {
        run.outcome.ledgers.curtailed_m3.into()
    }),
    headline!("spilled_m3", "m3", "pumped and lost over the top", |run| run
        .outcome
        .ledgers
        .spilled_m3
        .into()),
    headline!("losses_m3.evaporated", "m3", "lost to the air", |run| run
        .outcome
        .ledgers
        .evaporated_m3
        .into()),
    headline!("losses_m3.leaked", "m3", "lost through leaks", |run| run.outcome.ledgers.leaked_m3.into()),
    headline!("garden_m3.demand", "m3", "demand of gardens", |run| { run.garden_sum_m3.into() }),
    headline!("garden_m3.drawn", "m3", "drawn for gardens, after the stock", |run| {
        run.outcome.ledgers.garden_m3.into()
    }),
    headline!(
        "shortfall_days_without_frost",
        "days",
        "days of shortfall if nothing froze; null where frost stops nothing",
        |run| run.shortfall_days_without_frost.into()
    ),
    headline!(
        "battery_autonomy_days.worst",
        "days",
        "days a full battery carries the booster without sun, from the worst day; null without a booster",
        |run| run.battery_days().map(|b| b.worst_days).into()
    ),
    headline!("battery_autonomy_days.median", "days", "the same from the median day", |run| {
        run.battery_days().map(|b| b.median_days).into()
    }),
    headline!(
        "scheme_autonomy_days",
        "days",
        "days without sun from the worst start: those of the full tank or of the full battery, whichever are fewer",
        |run| run.scheme_autonomy_days().into()
    ),
    headline!(
        "delivery_settled",
        "",
        "whether troughs and battery of a repeated year returned to where they began; null without hydrants",
        |run| run.delivery.as_ref().map_or(Figure::Null, |d| Figure::Flag(d.settled))
    ),
    headline!(
        "booster_most_starts_per_day",
        "",
        "largest number of booster starts in a day; null without one",
        |run| { run.booster().map(|d| d.most_starts_per_day).into() }
    ),
    headline!(
        "booster_shortest_run_min",
        "min",
        "shortest booster run on its pressure tank; null where it does not cycle",
        |run| run.booster().and_then(|d| d.shortest_run_h).map(|h| 60.0 * h).into()
    ),
    headline!("end_m3", "m3", "in the tank at the record's end", |run| run.outcome.ledgers.end_m3.into()),
    headline!("ledger_residual", "", "largest residual of the ledgers as a share of their scale", |run| {
        run.residual().into()
    }),
    headline!(
        "shortfall_days_with_backup",
        "days",
        "days of shortfall with the backup; null without one",
        |run| { backup(run, |b| b.counts.shortfall_days.into()) }
    ),
    headline!("dry_hours_with_backup", "h", "dry hours with the backup", |run| {
        backup(run, |b| b.counts.dry_hours.into())
    }),
    headline!("short_m3_with_backup", "m3", "demand not drunk with the backup", |run| backup(run, |b| b
        .short_m3
        .into())),
    headline!("backup.brought_m3", "m3", "brought by the backup", |run| backup(run, |b| b.brought_m3.into())),
    headline!("backup.running_h", "h", "time that the backup ran; 0 for loads", |run| {
        backup(run, |b| b.running_h.into())
    }),
    headline!("backup.loads", "", "loads that the backup hauled", |run| backup(run, |b| b.loads.into())),
    headline!("backup.days", "days", "days on which the backup brought water", |run| backup(run, |b| b
        .days
        .into())),
    headline!("backup.first_day", "", "the first of these days", |run| {
        backup(run, |b| b.first_day.map_or(Figure::Null, |day| tables::date(run, day)))
    }),
    headline!(
        "backup.most_in_a_spell_m3",
        "m3",
        "most that the backup brought on days that follow each other",
        |run| { backup(run, |b| b.most_in_a_spell_m3.into()) }
    ),
    headline!(
        "backup.cost",
        "",
        "cost of the backup over the record, in the scheme's own currency; null where no cost is given",
        |run| { backup(run, |b| b.cost.into()) }
    ),
    headline!(
        "answered_by",
        "",
        "the pass that the counts come from: columns where nothing acted back on them, else march, all stores hour by hour",
        |run| Figure::Text(run.answers_by.word().into())
    ),
    headline!("settled", "", "whether a repeated year settled", |run| Figure::Flag(run.outcome.settled)),
    headline!("passes", "", "passes of the year until it repeated; null for many years", |run| {
        run.outcome.passes.into()
    }),
    headline!(
        "shortfall_days_if_started_empty",
        "days",
        "the same record from an empty tank; null for one year",
        |run| { run.shortfall_days_if_started_empty.into() }
    ),
    headline!(
        "start_power_ends.zero_days",
        "days",
        "days of shortfall with no flow below the lowest tabulated power; with flow_by_voltage, with what the head takes of the \
         flow the same at every voltage",
        |run| { run.start_ends.map(|e| e.zero_days).into() }
    ),
    headline!(
        "start_power_ends.best_line_days",
        "days",
        "days of shortfall with linear interpolation from there to the hydraulic minimum at the table's best efficiency; with \
         flow_by_voltage, with flow in proportion to voltage",
        |run| run.start_ends.map(|e| e.best_line_days).into()
    ),
    headline!(
        "snow_by_rain.least_days",
        "days",
        "days of shortfall with the least snow on the panels that the weather file's rain and temperature allow; null where snow is said, the \
         file has no credible rain, or no month averages below 2 degC",
        |run| run.snow_ends.map(|[least, _]| least).into()
    ),
    headline!(
        "snow_by_rain.most_days",
        "days",
        "days of shortfall with the most snow on the panels that they allow; null likewise",
        |run| run.snow_ends.map(|[_, most]| most).into()
    ),
    headline!(
        "below_lowest_power_m3",
        "m3",
        "water available in hours below the lowest tabulated power",
        |run| run.supply.m3_below_lowest_power.into()
    ),
    headline!(
        "panels_covered_shortfall_days.for_3_days",
        "days",
        "with the panels covered for 3 days from the start of the critical spell",
        |run| covered(run, 0)
    ),
    headline!(
        "panels_covered_shortfall_days.for_7_days",
        "days",
        "with the panels covered for 7 days from there",
        |run| covered(run, 1)
    ),
    headline!(
        "panels_covered_shortfall_days.for_14_days",
        "days",
        "with the panels covered for 14 days from there",
        |run| covered(run, 2)
    ),
    headline!(
        "snow_not_modelled",
        "",
        "a month is below 2 degC and neither scheme nor weather says when snow lies on the panels",
        |run| { Figure::Flag(run.snow_not_modelled) }
    ),
    headline!("limit_hours.night", "h", "sun down", |run| run.limit_hours.night.into()),
    headline!("limit_hours.sun_below_start", "h", "sun too weak to start the pump", |run| {
        run.limit_hours.sun_below_start.into()
    }),
    headline!("limit_hours.sun", "h", "pump running on the sun there was", |run| run.limit_hours.sun.into()),
    headline!("limit_hours.pump_limit", "h", "pump at its limit", |run| run.limit_hours.pump_limit.into()),
    headline!("limit_hours.table_end", "h", "head at the table's end", |run| run
        .limit_hours
        .table_end
        .into()),
    headline!("limit_hours.well", "h", "well at its limit", |run| run.limit_hours.well.into()),
    headline!("limit_hours.cut_out", "h", "water at the cut-out, pump stopped", |run| {
        run.limit_hours.cut_out.into()
    }),
    headline!("limit_hours.frozen", "h", "line from the well frozen, pump stopped", |run| {
        run.limit_hours.frozen.into()
    }),
    headline!("limit_hours.float_full", "h", "float full", |run| run.limit_hours.float_full.into()),
    headline!("design_point.start", "", "hour of the highest flow of the record", |run| {
        Figure::Text(run.calendar.start_text(run.head_hour))
    }),
    headline!("design_point.flow_m3_per_h", "m3/h", "the highest flow of the record", |run| {
        run.head.flow_m3_per_h.into()
    }),
    headline!("design_point.power_w", "W", "power that the pump took in that hour", |run| {
        run.supply.power_w[run.head_hour].into()
    }),
    headline!("design_point.static_level_m", "m", "static level below the wellhead in that month", |run| {
        run.head.static_level_m.into()
    }),
    headline!(
        "design_point.inlet_height_m",
        "m",
        "tank inlet above the wellhead; no fall is counted below it",
        |run| { run.head.inlet_height_m.into() }
    ),
    headline!("design_point.drawdown_m", "m", "drawdown in the well at that flow", |run| {
        run.head.drawdown_m.into()
    }),
    headline!("design_point.friction_m", "m", "friction in the pipes at that flow", |run| {
        run.head.friction_m.into()
    }),
    headline!("design_point.fittings_m", "m", "losses in the fittings at that flow", |run| {
        run.head.fittings_m.into()
    }),
    headline!("design_point.discharge_m", "m", "pressure and velocity head at the discharge", |run| {
        run.head.discharge_m.into()
    }),
    headline!("design_point.total_m", "m", "total dynamic head at that flow", |run| run.head.total_m.into()),
    headline!(
        "frost_depth_m",
        "m",
        "frost depth in the ground; null where the scheme says nothing about frost or no depth can be given",
        |run| frost_depth_m(run).into()
    ),
    headline!("frost_depth_rests_on", "", "basis of that depth", |run| {
        frost_depth_m(run)
            .and(run.frozen.ground.as_ref())
            .map_or(Figure::Null, |g| Figure::Text(g.basis.text()))
    }),
    headline!(
        "goal_met",
        "",
        "whether all that the scheme's goal asks is met, without a backup; null where nothing is asked",
        |run| run.goal().map_or(Figure::Null, |judged| Figure::Flag(judged.met()))
    ),
];

/// How deep the frost goes, m.
fn frost_depth_m(run: &TankResult) -> Option<f64> {
    Some(run.frozen.ground.as_ref()?.depth?.depth_m)
}

fn backup(run: &TankResult, get: impl FnOnce(&WithBackup) -> Figure) -> Figure {
    run.backup.as_ref().map_or(Figure::Null, get)
}

fn covered(run: &TankResult, index: usize) -> Figure {
    run.covered.get(index).map(|c| c.shortfall_days).into()
}
