//! Sums of a run by day and by month, and the hours by what limited the water.

use std::collections::BTreeSet;

use super::demand::Demand;
use super::groups::TankDay;
use crate::calendar::{Day, HOURS_PER_DAY};
use crate::supply::Limit;
use crate::tank::ledger::{Flows, Hour};

/// A day of a run, m³ unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DayFigures {
    /// Sun on the panels' plane, kWh/m².
    pub plane_kwh_per_m2: f64,
    /// What the pump could lift.
    pub available_m3: f64,
    /// Lifted into the tank.
    pub pumped_m3: f64,
    /// Demand of the stock.
    pub demand_m3: f64,
    /// Drawn from the tank for the stock.
    pub drawn_m3: f64,
    /// Short, whatever the cause.
    pub short_m3: f64,
    /// Of it short between tank and animals.
    pub delivery_shortage_m3: f64,
    /// Drawn for gardens.
    pub garden_m3: f64,
    /// Lowest level at an hour's end.
    pub lowest_m3: f64,
    /// Highest level at an hour's end.
    pub highest_m3: f64,
    /// Level at midnight.
    pub end_m3: f64,
    /// Dry hours.
    pub dry_hours: u32,
    /// Whether stock draws on it.
    pub stock: bool,
    /// Whether it is a day of shortfall.
    pub shortfall: bool,
    /// Whether some herd drinks nothing on it.
    pub one_without: bool,
}

/// How a day was served.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DayState {
    /// No stock draws on it.
    NoStock,
    /// It is no day of shortfall.
    Served,
    /// A day of shortfall on which every herd drank some of its demand.
    PartlyShort,
    /// A day of shortfall on which some herd drank nothing.
    NothingServed,
}

impl DayState {
    /// In words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::NoStock => "no stock",
            Self::Served => "served",
            Self::PartlyShort => "partly short",
            Self::NothingServed => "a herd got nothing",
        }
    }
}

impl DayFigures {
    /// How the day was served.
    #[must_use]
    pub fn state(&self) -> DayState {
        // A few millilitres are the rounding of many hours, not a drink.
        const ALL: f64 = 1.0 - 1e-6;
        match (self.stock, self.shortfall) {
            (false, _) => DayState::NoStock,
            (true, false) => DayState::Served,
            (true, true) if self.short_m3 < ALL * self.demand_m3 && !self.one_without => {
                DayState::PartlyShort
            }
            (true, true) => DayState::NothingServed,
        }
    }
}

/// A calendar month of a run: the mean of its like in the record; volumes in m³.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MonthFigures {
    /// Days of the month in the record.
    pub days: u32,
    /// Of them with stock draw.
    pub stock_days: u32,
    /// How often the record holds the month; of a cut one its share. 1 in a record of one year or a part of one.
    pub times: f64,
    /// Sun on the panels' plane, kWh/m² a day.
    pub plane_kwh_per_m2_day: f64,
    /// What the pump could lift.
    pub available_m3: f64,
    /// Of it on days with stock.
    pub available_with_stock_m3: f64,
    /// Lifted into the tank.
    pub pumped_m3: f64,
    /// Demand of the stock.
    pub demand_m3: f64,
    /// Drawn from the tank for the stock.
    pub drawn_m3: f64,
    /// Short, whatever the cause.
    pub short_m3: f64,
    /// Drawn for gardens.
    pub garden_m3: f64,
    /// Days of shortfall.
    pub shortfall_days: f64,
    /// Lowest level at an hour's end in any year.
    pub lowest_m3: f64,
}

impl MonthFigures {
    /// A volume of the month by day, over so many of its days in the record.
    #[must_use]
    pub fn daily(&self, m3: f64, days: u32) -> f64 {
        if days == 0 { 0.0 } else { m3 * self.times / f64::from(days) }
    }

    /// Available on a mean day, m³: the pump lifts on all.
    #[must_use]
    pub fn available_m3_per_day(&self) -> f64 {
        self.daily(self.available_m3, self.days)
    }

    /// Demand on a mean day with stock, m³: stock that is there for a part of a month wants water on those days.
    #[must_use]
    pub fn demand_m3_per_day(&self) -> f64 {
        self.daily(self.demand_m3, self.stock_days)
    }
}

/// The month, 1 to 12, that is hardest to serve: where stock drinks, that with least water available for each litre of demand.
#[must_use]
pub fn hardest_month(months: &[MonthFigures]) -> u8 {
    let cover = |month: &MonthFigures| {
        if month.stock_days > 0 {
            month.available_m3_per_day() / month.demand_m3_per_day()
        } else {
            f64::INFINITY
        }
    };
    let months = (1_u8..).zip(months).filter(|(_, month)| month.days > 0);
    months.min_by(|(_, a), (_, b)| cover(a).total_cmp(&cover(b))).map_or(1, |(number, _)| number)
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
    /// Well at the cut-out: the pump stood all hour.
    pub cut_out: u32,
    /// The way was frozen: the pump stood all hour.
    pub frozen: u32,
    /// The float refused some or all of the water.
    pub float_full: u32,
}

/// What the sums of a day are made from.
#[derive(Debug, Clone, Copy)]
pub struct Columns<'a> {
    /// Sun on the panels' plane, W/m².
    pub plane_w_per_m2: &'a [f64],
    /// What drove the tank.
    pub flows: &'a Flows,
    /// Demand of the stock, m³.
    pub demand_m3: &'a [f64],
    /// The draw by day.
    pub demand: &'a Demand,
    /// The tank's hours.
    pub hours: &'a [Hour<1>],
    /// Share of a day's stock draw that may be short.
    pub tolerance: f64,
}

/// Sums the hours of a run by day.
#[must_use]
pub fn days(of: &Columns<'_>) -> Vec<DayFigures> {
    let lacked = of.hours.chunks(HOURS_PER_DAY).map(|day| day.iter().map(|hour| hour.short_m3[0]).sum());
    of.demand
        .short_on_its_day(lacked.enumerate().collect())
        .into_iter()
        .map(|(day, tank_short_m3)| {
            let mut sum = DayFigures { lowest_m3: f64::INFINITY, ..DayFigures::default() };
            let mut tank = TankDay::default();
            for h in day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY {
                let hour = &of.hours[h];
                let stored = hour.level_m3[0].max(0.0);
                sum.plane_kwh_per_m2 += of.plane_w_per_m2[h] / 1000.0;
                sum.available_m3 += of.flows.available_m3[h];
                sum.pumped_m3 += hour.pumped_m3[0];
                sum.demand_m3 += of.demand_m3[h];
                sum.drawn_m3 += hour.drawn_m3[0];
                sum.garden_m3 += hour.garden_m3[0];
                sum.lowest_m3 = sum.lowest_m3.min(stored);
                sum.highest_m3 = sum.highest_m3.max(stored);
                sum.end_m3 = stored;
                tank.hour(hour.level_m3[0], hour.drawn_m3[0], hour.short_m3[0]);
            }
            sum.stock = of.demand.is_stock_day(day);
            sum.dry_hours = of.demand.dry_hours(day, tank.empty);
            sum.one_without = of.demand.leaves_one_without(day, &tank);
            sum.shortfall = of.demand.is_short_day(day, tank_short_m3, of.tolerance);
            sum.delivery_shortage_m3 = of.demand.delivery_shortage_m3(day);
            sum.short_m3 = tank_short_m3 + sum.delivery_shortage_m3;
            sum
        })
        .collect()
}

/// Means of the calendar months of a record, or of a part of it. A month that it lacks is all zeros.
#[must_use]
pub fn months(dates: &[Day], days: &[DayFigures]) -> [MonthFigures; 12] {
    let mut months = [MonthFigures { lowest_m3: f64::INFINITY, ..MonthFigures::default() }; 12];
    for (date, day) in dates.iter().zip(days) {
        let month = &mut months[usize::from(date.month) - 1];
        month.days += 1;
        month.stock_days += u32::from(day.stock);
        month.plane_kwh_per_m2_day += day.plane_kwh_per_m2;
        month.available_m3 += day.available_m3;
        month.available_with_stock_m3 += if day.stock { day.available_m3 } else { 0.0 };
        month.pumped_m3 += day.pumped_m3;
        month.demand_m3 += day.demand_m3;
        month.drawn_m3 += day.drawn_m3;
        month.short_m3 += day.short_m3;
        month.garden_m3 += day.garden_m3;
        month.shortfall_days += f64::from(u8::from(day.shortfall));
        month.lowest_m3 = month.lowest_m3.min(day.lowest_m3);
    }
    for (month, times) in months.iter_mut().zip(times(dates)) {
        if month.days == 0 {
            *month = MonthFigures::default();
            continue;
        }
        month.times = times;
        month.plane_kwh_per_m2_day /= f64::from(month.days);
        for volume in [
            &mut month.available_m3,
            &mut month.available_with_stock_m3,
            &mut month.pumped_m3,
            &mut month.demand_m3,
            &mut month.drawn_m3,
            &mut month.short_m3,
            &mut month.garden_m3,
            &mut month.shortfall_days,
        ] {
            *volume /= times;
        }
    }
    months
}

/// How often a record holds each calendar month. Divided by years, the months that a cut record lacks would make the others
/// small.
fn times(days: &[Day]) -> [f64; 12] {
    // Part of a year is shown as it is, not blown up to a whole one.
    if days.len() <= 366 {
        return [1.0; 12];
    }
    let leap: BTreeSet<i32> = days.iter().filter(|d| (d.month, d.day) == (2, 29)).map(|d| d.year).collect();
    let mut times = [0.0; 12];
    for day in days {
        let length = match day.month {
            4 | 6 | 9 | 11 => 30.0,
            2 if leap.contains(&day.year) => 29.0,
            2 => 28.0,
            _ => 31.0,
        };
        times[usize::from(day.month) - 1] += 1.0 / length;
    }
    times
}

/// The hours of a record by what limits the supply, in the order of [`Limit::ALL`].
#[must_use]
pub(crate) fn by_limit(limits: impl Iterator<Item = Limit>) -> [u32; Limit::ALL.len()] {
    let mut counts = [0; Limit::ALL.len()];
    for limit in limits {
        counts[limit.place()] += 1;
    }
    counts
}

impl LimitHours {
    /// Each hour counts once: `all` hours by what limits the supply, less those of them that the float `held` wholly or in
    /// part, which count as full.
    #[must_use]
    pub fn new(all: &[u32; Limit::ALL.len()], held: &[u32; Limit::ALL.len()]) -> Self {
        let of = |limit: Limit| all[limit.place()] - held[limit.place()];
        Self {
            night: of(Limit::Night),
            sun_below_start: of(Limit::SunBelowStart),
            sun: of(Limit::Sun),
            pump_limit: of(Limit::PumpLimit),
            table_end: of(Limit::TableEnd),
            well: of(Limit::Well),
            cut_out: of(Limit::CutOut),
            frozen: of(Limit::Frozen),
            float_full: held.iter().sum(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::Calendar;

    /// A cubic metre is the demand of every day; the record is cut in the middle of its months.
    #[test]
    fn a_cut_record_makes_no_month_small() {
        let whole: Vec<Day> = (2001..=2005).flat_map(|year| Calendar::year(year).days().to_vec()).collect();
        let cut = &whole[100..whole.len() - 80];
        let demand = DayFigures { demand_m3: 1.0, stock: true, ..DayFigures::default() };
        let months = months(cut, &vec![demand; cut.len()]); // By hand: four Februaries, one of them of a leap year.
        let lengths = [31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];
        for (month, length) in months.iter().zip(lengths) {
            assert!((month.demand_m3 - length).abs() < 1e-9, "{length}: {}", month.demand_m3);
            assert!((month.daily(month.demand_m3, month.stock_days) - 1.0).abs() < 1e-9);
        }
        // January is there four times, April from its 11th and four times in whole.
        assert!((months[0].times - 4.0).abs() < 1e-12);
        assert!((months[3].times - (4.0 + 20.0 / 30.0)).abs() < 1e-12);
    }
}
