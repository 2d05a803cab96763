//! The hourly columns.

use super::{Field, Figure};
use crate::calendar::HOURS_PER_DAY;
use crate::simulate::Run;

/// Every hourly column, in the water's order. SI always, unit in the name.
pub const COLUMNS: &[Field] = &[
    Field {
        name: "hour_of_record",
        unit: "",
        meaning: "hour counted from 0",
        get: |_, h| Figure::Count(h as u64),
    },
    Field {
        name: "source_year",
        unit: "",
        meaning: "calendar year from which the hour's weather comes",
        get: |run, h| Figure::Count(run.calendar.day_of(h).year.unsigned_abs().into()),
    },
    Field {
        name: "start",
        unit: "local standard time",
        meaning: "start of the hour",
        get: |run, h| Figure::Text(run.calendar.start_text(h)),
    },
    Field {
        name: "ghi_w_per_m2",
        unit: "W/m2",
        meaning: "global horizontal irradiance",
        get: |run, h| run.sky.ghi_w_per_m2[h].into(),
    },
    Field {
        name: "dni_w_per_m2",
        unit: "W/m2",
        meaning: "direct normal irradiance",
        get: |run, h| run.sky.dni_w_per_m2[h].into(),
    },
    Field {
        name: "dhi_w_per_m2",
        unit: "W/m2",
        meaning: "diffuse horizontal irradiance",
        get: |run, h| run.sky.dhi_w_per_m2[h].into(),
    },
    Field {
        name: "air_degc",
        unit: "degC",
        meaning: "air temperature",
        get: |run, h| run.air_degc[h].into(),
    },
    Field {
        name: "sun_zenith_deg",
        unit: "deg",
        meaning: "apparent zenith of the sun at the middle of the sunlit part of the hour",
        get: |run, h| run.sky.zenith_deg[h].into(),
    },
    Field {
        name: "plane_w_per_m2",
        unit: "W/m2",
        meaning: "irradiance on the panels' plane before incidence, soiling and snow, weighted over the arrays",
        get: |run, h| run.array.plane_w_per_m2[h].into(),
    },
    Field {
        name: "cell_degc",
        unit: "degC",
        meaning: "cell temperature, weighted over the arrays",
        get: |run, h| run.array.cell_degc[h].into(),
    },
    Field {
        name: "array_w",
        unit: "W",
        meaning: "power available to the pump, before the float and the pump's own limit",
        get: |run, h| run.array.array_w[h].into(),
    },
    Field {
        name: "pump_w",
        unit: "W",
        meaning: "power taken by the pump",
        get: |run, h| pump_w(run, h).into(),
    },
    Field {
        name: "head_m",
        unit: "m",
        meaning: "total dynamic head while pumping",
        get: |run, h| {
            if run.supply.limit[h].flows() { run.supply.head_m[h].into() } else { Figure::Null }
        },
    },
    Field {
        name: "drawdown_m",
        unit: "m",
        meaning: "drawdown of the water in the bore at the hour's end, with the float acting; empty without a bore",
        get: |run, h| {
            let well = run.well.as_ref().filter(|_| run.plan.supply.well.bore.is_some());
            well.and_then(|well| well.hours.get(h)).map(|hour| hour.drawdown_m).into()
        },
    },
    Field {
        name: "available_m3",
        unit: "m3",
        meaning: "what the pump could lift if the float did not stop it",
        get: |run, h| run.flows.available_m3[h].into(),
    },
    Field {
        name: "pumped_m3",
        unit: "m3",
        meaning: "pumped into the tank",
        get: |run, h| run.hours[h].pumped_m3[0].into(),
    },
    Field {
        name: "inflow_m3",
        unit: "m3",
        meaning: "let into the tank by inflows besides the pump; empty without any",
        get: |run, h| run.inflow_m3.get(h).copied().into(),
    },
    Field {
        name: "demand_m3",
        unit: "m3",
        meaning: "demand of the stock",
        get: |run, h| run.demand_m3[h].into(),
    },
    Field {
        name: "extra_demand_m3",
        unit: "m3",
        meaning: "demand of extras such as wildlife",
        get: |run, h| run.extra_m3[h].into(),
    },
    Field {
        name: "requested_m3",
        unit: "m3",
        meaning: "requested of the tank for stock and extras: their demand or, with hydrants, what flows into the troughs; where the march answers, what all could take",
        get: |run, h| run.flows.requested_m3[h].into(),
    },
    Field {
        name: "garden_demand_m3",
        unit: "m3",
        meaning: "demand of gardens, after the stock",
        get: |run, h| run.garden.demand_m3[h].into(),
    },
    Field {
        name: "garden_drawn_m3",
        unit: "m3",
        meaning: "drawn for gardens",
        get: |run, h| run.hours[h].garden_m3[0].into(),
    },
    Field {
        name: "drawn_m3",
        unit: "m3",
        meaning: "drawn for stock and extras, including what was carried over from earlier hours of the day",
        get: |run, h| run.hours[h].drawn_m3[0].into(),
    },
    Field {
        name: "thirst_m3",
        unit: "m3",
        meaning: "unmet at the end of the hour and carried over; at midnight it becomes short",
        // Taken from zero: the negative of a level of zero would be printed as `-0`.
        get: |run, h| (0.0 - run.hours[h].level_m3[0]).max(0.0).into(),
    },
    Field {
        name: "short_m3",
        unit: "m3",
        meaning: "short, whatever the cause",
        get: |run, h| {
            let way = run.delivery.as_ref().map_or(0.0, |d| d.short_in_m3(h));
            (tank_short_m3(run, h) + way).into()
        },
    },
    Field {
        name: "short_frozen_m3",
        unit: "m3",
        meaning: "of it because a line was frozen; empty without hydrants",
        get: |run, h| run.delivery.as_ref().map(|d| d.short_frozen_m3[h]).into(),
    },
    Field {
        name: "short_pump_too_small_m3",
        unit: "m3",
        meaning: "of it because pump, pipe and trough were too small; empty without hydrants",
        get: |run, h| run.delivery.as_ref().map(|d| d.short_too_small_m3[h]).into(),
    },
    Field {
        name: "short_battery_empty_m3",
        unit: "m3",
        meaning: "of it because the battery was empty; empty without hydrants",
        get: |run, h| run.delivery.as_ref().map(|d| d.short_battery_m3[h]).into(),
    },
    Field {
        name: "short_tank_empty_m3",
        unit: "m3",
        meaning: "of it because the tank was empty; with troughs counted at midnight of the day of the demand",
        get: |run, h| tank_short_m3(run, h).into(),
    },
    Field {
        name: "battery_stored_wh",
        unit: "Wh",
        meaning: "in the booster's battery at the hour's end; empty without a booster",
        get: |run, h| {
            let booster = run.plan.delivery.as_ref().and_then(|d| d.booster.as_ref());
            booster.and(run.delivery.as_ref()).map(|d| d.stored_wh[h]).into()
        },
    },
    Field {
        name: "curtailed_m3",
        unit: "m3",
        meaning: "available but not pumped: the float had stopped the pump",
        get: |run, h| run.hours[h].curtailed_m3[0].into(),
    },
    Field {
        name: "spilled_m3",
        unit: "m3",
        meaning: "pumped and lost over the top",
        get: |run, h| run.hours[h].spilled_m3[0].into(),
    },
    Field {
        name: "lost_m3",
        unit: "m3",
        meaning: "evaporated and leaked",
        get: |run, h| (run.hours[h].evaporated_m3[0] + run.hours[h].leaked_m3[0]).into(),
    },
    Field {
        name: "stored_m3",
        unit: "m3",
        meaning: "usable water in the tank at the hour's end",
        get: |run, h| run.hours[h].level_m3[0].max(0.0).into(),
    },
    Field {
        name: "backup_m3",
        unit: "m3",
        meaning: "brought by the backup; empty without one",
        get: |run, h| run.backup.as_ref().map(|b| b.hourly_m3[h]).into(),
    },
    Field {
        name: "stored_with_backup_m3",
        unit: "m3",
        meaning: "usable water in the tank at the hour's end with the backup",
        get: |run, h| run.backup.as_ref().map(|b| b.stored_m3[h]).into(),
    },
    Field {
        name: "short_with_backup_m3",
        unit: "m3",
        meaning: "short with the backup, whatever the cause",
        get: |run, h| run.backup.as_ref().map(|b| b.short_hourly_m3[h]).into(),
    },
    Field {
        name: "limited_by",
        unit: "",
        meaning: "what set the water of the hour",
        get: |run, h| Figure::Text(limit(run, h).to_owned()),
    },
];

/// What is short for want of water in the tank. Behind troughs it is known by day alone: a refill may be short for what was
/// drunk the day before.
fn tank_short_m3(run: &Run, h: usize) -> f64 {
    if !run.demand.has_troughs() {
        return run.hours[h].short_m3[0];
    }
    let day = &run.days[h / HOURS_PER_DAY];
    if h % HOURS_PER_DAY == HOURS_PER_DAY - 1 { day.short_m3 - day.delivery_shortage_m3 } else { 0.0 }
}

/// The power that the pump took: the share of the hour for which the float let it run.
fn pump_w(run: &Run, h: usize) -> f64 {
    let available = run.flows.available_m3[h];
    if available > 0.0 { run.supply.power_w[h] * (run.hours[h].pumped_m3[0] / available) } else { 0.0 }
}

/// What set the water of an hour, as a word.
fn limit(run: &Run, h: usize) -> &'static str {
    if run.float_shut(h) { "float full" } else { run.supply.limit[h].word() }
}
