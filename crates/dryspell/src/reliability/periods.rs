//! Sums of a run by day and by month, and the hours by what limited the water.

use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::supply::Limit;
use crate::tank::ledger::{Flows, Hour};

/// A day of a run, m³ unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DayFigures {
    /// Sun on the panels' plane, kWh/m².
    pub plane_kwh_per_m2: f64,
    /// What the pump could lift.
    pub offered_m3: f64,
    /// Lifted into the tank.
    pub pumped_m3: f64,
    /// Wanted by the stock.
    pub wanted_m3: f64,
    /// Drunk.
    pub drawn_m3: f64,
    /// Short.
    pub short_m3: f64,
    /// Lowest level at an hour's end.
    pub lowest_m3: f64,
    /// Level at midnight.
    pub end_m3: f64,
    /// Dry hours.
    pub dry_hours: u32,
    /// Whether it is a day of shortfall.
    pub shortfall: bool,
}

/// A calendar month of a run, over all years of the record; volumes in m³ for a mean year.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MonthFigures {
    /// Days of the month in the record.
    pub days: u32,
    /// Sun on the panels' plane, kWh/m² a day.
    pub plane_kwh_per_m2_day: f64,
    /// What the pump could lift.
    pub offered_m3: f64,
    /// Lifted into the tank.
    pub pumped_m3: f64,
    /// Wanted by the stock.
    pub wanted_m3: f64,
    /// Drunk.
    pub drawn_m3: f64,
    /// Short.
    pub short_m3: f64,
    /// Days of shortfall in a mean year.
    pub shortfall_days: f64,
    /// Lowest level at an hour's end in any year.
    pub lowest_m3: f64,
}

/// Hours of the record by what set the water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LimitHours {
    /// The sun was down.
    pub night: u32,
    /// The sun was up but too weak to start the pump.
    pub sun_below_start: u32,
    /// The pump ran as the sun let it.
    pub sun: u32,
    /// More sun would have given no more water.
    pub pump_limit: u32,
    /// The head stood at the table's end.
    pub table_end: u32,
    /// The well gave no more.
    pub well: u32,
    /// The float refused some or all of the water.
    pub float_full: u32,
}

/// Sums the hours of a run by day. `tolerance` is the share of a day's stock draw that may be short.
#[must_use]
pub fn days(plane_w_per_m2: &[f64], flows: &Flows, hours: &[Hour<1>], tolerance: f64) -> Vec<DayFigures> {
    (0..hours.len() / HOURS_PER_DAY)
        .map(|day| {
            let mut sum = DayFigures { lowest_m3: f64::INFINITY, ..DayFigures::default() };
            for h in day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY {
                let hour = &hours[h];
                let stored = hour.level_m3[0].max(0.0);
                sum.plane_kwh_per_m2 += plane_w_per_m2[h] / 1000.0;
                sum.offered_m3 += flows.offered_m3[h];
                sum.pumped_m3 += hour.pumped_m3[0];
                sum.wanted_m3 += flows.wanted_m3[h];
                sum.drawn_m3 += hour.drawn_m3[0];
                sum.short_m3 += hour.short_m3[0];
                sum.lowest_m3 = sum.lowest_m3.min(stored);
                sum.end_m3 = stored;
                sum.dry_hours += u32::from(hour.level_m3[0] <= 0.0);
            }
            let stock_day = sum.wanted_m3 > 0.0;
            if !stock_day {
                sum.dry_hours = 0;
            }
            sum.shortfall = stock_day && sum.short_m3 > tolerance * sum.wanted_m3;
            sum
        })
        .collect()
}

/// Sums the days by calendar month, for a mean year. A month that the record lacks is all zeros.
#[must_use]
pub fn months(calendar: &Calendar, days: &[DayFigures]) -> [MonthFigures; 12] {
    let mut months = [MonthFigures { lowest_m3: f64::INFINITY, ..MonthFigures::default() }; 12];
    for (date, day) in calendar.days().iter().zip(days) {
        let month = &mut months[usize::from(date.month) - 1];
        month.days += 1;
        month.plane_kwh_per_m2_day += day.plane_kwh_per_m2;
        month.offered_m3 += day.offered_m3;
        month.pumped_m3 += day.pumped_m3;
        month.wanted_m3 += day.wanted_m3;
        month.drawn_m3 += day.drawn_m3;
        month.short_m3 += day.short_m3;
        month.shortfall_days += f64::from(u8::from(day.shortfall));
        month.lowest_m3 = month.lowest_m3.min(day.lowest_m3);
    }
    let years = calendar.years();
    for month in &mut months {
        if month.days == 0 {
            *month = MonthFigures::default();
            continue;
        }
        month.plane_kwh_per_m2_day /= f64::from(month.days);
        for volume in [
            &mut month.offered_m3,
            &mut month.pumped_m3,
            &mut month.wanted_m3,
            &mut month.drawn_m3,
            &mut month.short_m3,
            &mut month.shortfall_days,
        ] {
            *volume /= years;
        }
    }
    months
}

/// Counts the hours of a run by what set the water; each hour counts once.
#[must_use]
pub fn limit_hours(limits: &[Limit], hours: &[Hour<1>]) -> LimitHours {
    let mut counts = LimitHours::default();
    for (limit, hour) in limits.iter().zip(hours) {
        let count = if hour.turned_away_m3[0] > 0.0 {
            &mut counts.float_full
        } else {
            match limit {
                Limit::Night => &mut counts.night,
                Limit::SunBelowStart => &mut counts.sun_below_start,
                Limit::Sun => &mut counts.sun,
                Limit::PumpLimit => &mut counts.pump_limit,
                Limit::TableEnd => &mut counts.table_end,
                Limit::Well => &mut counts.well,
            }
        };
        *count += 1;
    }
    counts
}
