//! What pages of a run show beside the headlines, one figure each.

use super::parts::by_month;
use super::tables::month_inflow_m3;
use super::{Field, Figure};
use crate::calendar::HOURS_PER_DAY;
use crate::delivery::{Energy, Volumes};
use crate::pipe::water_viscosity_m2_per_s;
use crate::reliability::periods::{DayState, MonthFigures};
use crate::simulate::{Run, WellLedger};

/// A figure of a run.
macro_rules! detail {
    ($($field:tt)*) => { single!(Run, $($field)*) };
}

/// Every figure of one row that stands in no other list.
pub const DETAILS: &[Field] = &[
    detail!(
        "mean_year.plane_kwh_per_m2_day",
        "kWh/m2 a day",
        "sun on the plane in a mean day of the year",
        |run| { mean_sun(run).into() }
    ),
    detail!("mean_year.available_m3", "m3", "what the pump could lift, the sum of the months", |run| {
        sum(run, |m| m.available_m3)
    }),
    detail!("mean_year.pumped_m3", "m3", "lifted into the tank, the sum of the months", |run| sum(
        run,
        |m| m.pumped_m3
    )),
    detail!(
        "mean_year.inflow_m3",
        "m3",
        "let in by inflows besides the pump, the sum of the months",
        |run| {
            let months = (0..12).filter_map(|month| month_inflow_m3(run, month));
            if run.inflows.is_empty() { Figure::Null } else { months.sum::<f64>().into() }
        }
    ),
    detail!("mean_year.demand_m3", "m3", "demand of the stock, the sum of the months", |run| sum(run, |m| m
        .demand_m3)),
    detail!("mean_year.short_m3", "m3", "short, the sum of the months", |run| sum(run, |m| m.short_m3)),
    detail!("mean_year.garden_drawn_m3", "m3", "drawn for gardens, the sum of the months", |run| {
        sum(run, |m| m.garden_m3)
    }),
    detail!("mean_year.shortfall_days", "days", "days of shortfall, the sum of the months", |run| {
        sum(run, |m| m.shortfall_days)
    }),
    detail!("mean_year.lowest_m3", "m3", "lowest level of the record", |run| {
        run.days.iter().map(|d| d.lowest_m3).fold(f64::INFINITY, f64::min).into()
    }),
    detail!("days_by_state.served", "days", "days with stock that are no days of shortfall", |run| {
        days_of(run, DayState::Served)
    }),
    detail!(
        "days_by_state.partly_short",
        "days",
        "days of shortfall on which every herd drank something",
        |run| { days_of(run, DayState::PartlyShort) }
    ),
    detail!(
        "days_by_state.nothing_served",
        "days",
        "days of shortfall on which a herd drank nothing",
        |run| { days_of(run, DayState::NothingServed) }
    ),
    detail!("days_by_state.no_stock", "days", "days without stock", |run| days_of(run, DayState::NoStock)),
    detail!(
        "demand_m3_per_day_by_month",
        "m3/day",
        "demand of the stock in a mean day with stock, January first; null where there is none",
        |run| {
            let daily: Vec<f64> = run.days.iter().map(|day| day.demand_m3).collect();
            by_month(run, &daily, |sum, days, _| sum / days)
        }
    ),
    detail!(
        "demand_days_by_month",
        "days",
        "days with stock in a mean month of the record, January first; null where there are none",
        |run| {
            let daily: Vec<f64> = run.days.iter().map(|day| day.demand_m3).collect();
            by_month(run, &daily, |_, days, times| days / times)
        }
    ),
    detail!(
        "air_degc_by_month",
        "degC",
        "mean air temperature of the month, January first; null where the record lacks it",
        |run| { mean_air(run) }
    ),
    detail!("largest_demand_m3_per_day", "m3/day", "largest demand of a day", |run| {
        largest_demand_m3(run).into()
    }),
    detail!("array_most_w", "W", "highest power of the panels at the coupling", |run| {
        run.array.array_w.iter().copied().fold(0.0, f64::max).into()
    }),
    detail!(
        "cut_out_level_m",
        "m",
        "level in the well at which the pump is stopped; null without a cut-out",
        |run| { run.plan.supply.well.cut_out_level_m().into() }
    ),
    detail!("hours_in_record", "h", "hours of the record", |run| Figure::Count(run.calendar.hours() as u64)),
    detail!("days_in_record", "days", "days of the record", |run| Figure::Count(run.days.len() as u64)),
    detail!("snow_days", "days", "days with snow on the panels while there is sun", |run| {
        Figure::Count((0..run.days.len()).filter(|day| snow_on_panels(run, *day)).count() as u64)
    }),
    detail!(
        "critical_spell.days",
        "days",
        "days of the critical spell, the first and the last counted",
        |run| { spell_days(run) }
    ),
    detail!(
        "full_m3",
        "m3",
        "usable volume up to the float stop, or to the overflow without a float",
        |run| { run.plan.all_tanks().full_m3().into() }
    ),
    detail!(
        "storage_needed_with_share_above_m3",
        "m3",
        "storage needed, with the same share above the float stop as now",
        |run| {
            let tank = run.plan.all_tanks();
            run.storage.storage_m3.map(|m3| m3 * (tank.capacity_m3 / tank.full_m3())).into()
        }
    ),
    detail!(
        "design_point.pumping_level_m",
        "m",
        "pumping level below the wellhead at the highest flow",
        |run| { (run.head.static_level_m + run.head.drawdown_m).into() }
    ),
    detail!("design_point.lift_m", "m", "static lift at the highest flow", |run| {
        run.head.static_lift_m.into()
    }),
    detail!("design_point.discharge_pressure_m", "m", "pressure kept at the discharge", |run| {
        run.head.discharge_pressure_m.into()
    }),
    detail!("design_point.exit_m", "m", "velocity head at the outlet", |run| run.head.exit_m.into()),
    detail!(
        "water_viscosity_mm2_per_s",
        "mm2/s",
        "kinematic viscosity of the water in the pipe from the well",
        |run| { (1e6 * water_viscosity_m2_per_s(run.plan.supply.pipe.water_degc)).into() }
    ),
    detail!(
        "well.lifted_m3",
        "m3",
        "lifted by the pump with the float acting; null where each hour of the supply stands alone",
        |run| { well(run, |l| l.lifted_m3.into()) }
    ),
    detail!("well.weep_m3", "m3", "of it lost through the weep hole", |run| well(run, |l| l.weep_m3.into())),
    detail!("well.riser_refill_m3", "m3", "of it used to fill the drained pipe at starts", |run| {
        well(run, |l| l.riser_refill_m3.into())
    }),
    detail!("well.arrived_m3", "m3", "of it taken in by the tank", |run| well(run, |l| l.arrived_m3.into())),
    detail!(
        "well.cut_out_stops",
        "",
        "times that the water in the well fell to the cut-out, with the float acting",
        |run| { well(run, |l| l.cut_out_stops.into()) }
    ),
    detail!("well.pump_running_h", "h", "time that the pump ran, with the float acting", |run| {
        well(run, |l| l.running_h.into())
    }),
    detail!(
        "well.shortfall_days",
        "days",
        "days of shortfall with the float resting the well, from the march",
        |run| { run.well.as_ref().map(|well| well.shortfall_days).into() }
    ),
    detail!("well.passes", "", "passes of the march until the year repeated", |run| {
        run.well.as_ref().map(|well| well.passes).into()
    }),
    detail!(
        "herds_m3.drunk",
        "m3",
        "drunk by the herds, each by its own book; null where the columns answer",
        |run| {
            run.herds
                .as_ref()
                .map(|herds| herds.iter().flat_map(|h| &h.days).map(|day| day.drunk_m3).sum::<f64>())
                .into()
        }
    ),
    detail!("extras_m3.drunk", "m3", "drunk by extras; null where the columns answer", |run| {
        let ledgers = &run.outcome.ledgers;
        run.herds.as_ref().map(|_| ledgers.extra_drunk_m3).into()
    }),
    detail!("limit_percent.night", "%", "share of the hours: sun down", |run| share(
        run,
        run.limit_hours.night
    )),
    detail!("limit_percent.sun_below_start", "%", "sun too weak to start the pump", |run| {
        share(run, run.limit_hours.sun_below_start)
    }),
    detail!("limit_percent.sun", "%", "pump running as the sun let it", |run| share(
        run,
        run.limit_hours.sun
    )),
    detail!("limit_percent.pump_limit", "%", "pump at its limit", |run| share(
        run,
        run.limit_hours.pump_limit
    )),
    detail!("limit_percent.table_end", "%", "head at the table's end", |run| share(
        run,
        run.limit_hours.table_end
    )),
    detail!("limit_percent.well", "%", "well giving no more", |run| share(run, run.limit_hours.well)),
    detail!("limit_percent.cut_out", "%", "well at the cut-out, pump stopped", |run| {
        share(run, run.limit_hours.cut_out)
    }),
    detail!("limit_percent.frozen", "%", "line from the well frozen, pump stopped", |run| {
        share(run, run.limit_hours.frozen)
    }),
    detail!("limit_percent.float_full", "%", "float full", |run| share(run, run.limit_hours.float_full)),
    detail!("troughs_m3.start", "m3", "in the troughs at the record's start; null without hydrants", |run| {
        troughs(run, |v| v.start_m3)
    }),
    detail!("troughs_m3.requested", "m3", "what flows into the troughs, requested of the tank", |run| {
        troughs(run, |v| v.requested_m3)
    }),
    detail!(
        "troughs_m3.short",
        "m3",
        "short at the hydrants, with what an empty tank left short there where the march answers",
        |run| { troughs(run, |v| v.delivery_shortage_m3() + v.short_tank_m3) }
    ),
    detail!("troughs_m3.short_tank_empty", "m3", "of it because the tank was empty", |run| {
        troughs(run, |v| v.short_tank_m3)
    }),
    detail!("troughs_m3.demand", "m3", "demand at the hydrants", |run| troughs(run, |v| v.demand_m3)),
    detail!("troughs_m3.end", "m3", "in the troughs at the record's end", |run| troughs(run, |v| v.end_m3)),
    detail!(
        "battery_kwh.start",
        "kWh",
        "in the booster's battery at the record's start; null without one",
        |run| { battery(run, |e| e.start_wh) }
    ),
    detail!("battery_kwh.charged", "kWh", "into the battery", |run| battery(run, |e| e.charged_wh)),
    detail!("battery_kwh.discharged", "kWh", "from the battery to pump and standby", |run| {
        battery(run, |e| e.discharged_wh)
    }),
    detail!("battery_kwh.charge_loss", "kWh", "lost in charging", |run| battery(run, |e| e.charge_loss_wh)),
    detail!("battery_kwh.rate_loss", "kWh", "rate loss: capacity lost to fast discharge", |run| {
        battery(run, |e| e.rate_loss_wh)
    }),
    detail!("battery_kwh.self_discharge", "kWh", "lost to self-discharge", |run| battery(run, |e| e
        .self_discharge_wh)),
    detail!("battery_kwh.end", "kWh", "in the battery at the record's end", |run| battery(run, |e| e.end_wh)),
    detail!(
        "booster_cut_out_hours",
        "h",
        "hours in which the low-voltage cut-out stopped the booster",
        |run| {
            run.booster()
                .map_or(Figure::Null, |d| Figure::Count(d.cut_out.iter().filter(|cut| **cut).count() as u64))
        }
    ),
    detail!("garden_m3.short", "m3", "short of what gardens requested", |run| {
        run.outcome.ledgers.garden_short_m3.into()
    }),
    detail!("garden_m3.held_back", "m3", "not requested for gardens while the stock was short", |run| {
        (run.garden_sum_m3 - run.outcome.ledgers.garden_requested_m3).into()
    }),
];

/// Whether snow lies on some of the panels in an hour with sun of a day of the record.
///
/// # Panics
/// If `day` lies outside the record.
#[must_use]
pub fn snow_on_panels(run: &Run, day: usize) -> bool {
    (day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY).any(|h| {
        let covered = |share: Option<&f64>| share.is_some_and(|share| *share > 0.0);
        run.array.plane_w_per_m2[h] > 0.0
            && run.array.each.iter().any(|array| covered(array.snow_cover.get(h)))
    })
}

/// Largest demand of a day.
pub(super) fn largest_demand_m3(run: &Run) -> f64 {
    run.days.iter().map(|day| day.demand_m3).fold(0.0, f64::max)
}

/// Mean air temperature of each calendar month of the record.
fn mean_air(run: &Run) -> Figure {
    let month = |month: u8| {
        let dates = run.calendar.days().iter().zip(run.air_degc.chunks(HOURS_PER_DAY));
        let (sum, hours) = dates
            .filter(|(date, _)| date.month == month)
            .flat_map(|(_, day)| day)
            .fold((0.0, 0.0), |(sum, hours), degc| (sum + degc, hours + 1.0));
        if hours > 0.0 { Figure::from(sum / hours) } else { Figure::Null }
    };
    Figure::List((1..=12).map(month).collect())
}

/// Each month counts for its length, however often the record holds it.
fn mean_sun(run: &Run) -> f64 {
    let (sun, days) =
        run.months.iter().filter(|month| month.days > 0).fold((0.0, 0.0), |(sun, days), month| {
            let length = f64::from(month.days) / month.times;
            (sun + month.plane_kwh_per_m2_day * length, days + length)
        });
    if days > 0.0 { sun / days } else { 0.0 }
}

fn sum(run: &Run, get: fn(&MonthFigures) -> f64) -> Figure {
    run.months.iter().map(get).sum::<f64>().into()
}

fn days_of(run: &Run, state: DayState) -> Figure {
    Figure::Count(run.days.iter().filter(|day| day.state() == state).count() as u64)
}

fn spell_days(run: &Run) -> Figure {
    run.storage.critical.map_or(Figure::Null, |spell| {
        let first = spell.began / HOURS_PER_DAY;
        let last = spell.refilled.unwrap_or(spell.deepest) / HOURS_PER_DAY;
        let round = if last >= first { 0 } else { run.days.len() };
        Figure::Count((last + round - first + 1) as u64)
    })
}

#[expect(clippy::cast_precision_loss, reason = "hours of a record")]
fn share(run: &Run, hours: u32) -> Figure {
    (100.0 * f64::from(hours) / run.calendar.hours() as f64).into()
}

fn well(run: &Run, get: fn(&WellLedger) -> Figure) -> Figure {
    run.well.as_ref().map_or(Figure::Null, |well| get(&well.ledger))
}

fn troughs(run: &Run, get: fn(&Volumes) -> f64) -> Figure {
    run.delivery.as_ref().map(|found| get(&found.volumes)).into()
}

fn battery(run: &Run, get: fn(&Energy) -> f64) -> Figure {
    run.booster().map(|found| get(&found.energy) / 1000.0).into()
}
