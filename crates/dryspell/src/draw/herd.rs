//! A herd whose settings have been checked against the record.

use super::beef_cow::BeefCow;
use super::{Group, Need, Settings};
use crate::calendar::{Calendar, HOURS_PER_DAY};
use crate::fault::{Fault, FaultKind};

/// A pattern given by hand may miss 1 by a rounding in its last digit.
const SUM_TOLERANCE: f64 = 1e-6;

/// One group on one day.
#[derive(Debug, Clone, Copy)]
pub(super) struct GroupDay {
    /// Heads that are there.
    pub(super) heads: f64,
    /// Need of one head, m³.
    pub(super) head_m3: f64,
}

impl GroupDay {
    /// Need of the group, m³.
    pub(super) fn day_m3(self) -> f64 {
        self.heads * self.head_m3
    }
}

/// Settings, record and the tables looked up once.
#[derive(Debug)]
pub(super) struct Herd<'a> {
    groups: &'a [Group],
    cows: Vec<Option<BeefCow>>,
    calendar: &'a Calendar,
    air_degc: &'a [f64],
}

impl<'a> Herd<'a> {
    pub(super) fn new(
        settings: &'a Settings,
        calendar: &'a Calendar,
        air_degc: &'a [f64],
    ) -> Result<Self, Fault> {
        if air_degc.len() != calendar.hours() {
            return Err(Fault::at_key(
                "weather.air_degc",
                FaultKind::Weather,
                format!("{} values", air_degc.len()),
                format!("{} hours need as many values", calendar.hours()),
                "use the record that the calendar belongs to",
            ));
        }
        let mut cows = Vec::with_capacity(settings.groups.len());
        for group in &settings.groups {
            check(group)?;
            cows.push(match group.need {
                Need::ByMonth(_) => None,
                Need::BeefCow { mass_kg, milk_kg } => {
                    Some(BeefCow::new(mass_kg, milk_kg).map_err(|fault| under(group, fault))?)
                }
            });
        }
        Ok(Self { groups: &settings.groups, cows, calendar, air_degc })
    }

    /// Mean air temperature of a local day, °C.
    pub(super) fn air_day_degc(&self, day: usize) -> f64 {
        let first = day * HOURS_PER_DAY;
        let hours = &self.air_degc[first..first + HOURS_PER_DAY];
        hours.iter().sum::<f64>() / 24.0
    }

    /// Need of group `i` on a day of that mean air temperature.
    pub(super) fn group_day(&self, i: usize, day: usize, air_degc: f64) -> GroupDay {
        let group = &self.groups[i];
        let date = self.calendar.days()[day];
        let present = group.present.is_empty() || group.present.iter().any(|s| s.contains(date.month_day()));
        let head_m3 = match (&group.need, &self.cows[i]) {
            (_, Some(cow)) => cow.litres_per_day(air_degc) / 1000.0,
            (Need::ByMonth(months), None) => months[usize::from(date.month.clamp(1, 12)) - 1],
            (Need::BeefCow { .. }, None) => 0.0,
        };
        GroupDay { heads: if present { group.count } else { 0.0 }, head_m3 }
    }
}

/// The fault of an hour that the record does not have.
pub(super) fn no_such_hour(h: usize, hours: usize) -> Fault {
    Fault::at_key(
        "hour",
        FaultKind::OutOfRange,
        format!("hour {h}"),
        format!("the record has the hours 0 to {}", hours.saturating_sub(1)),
        "name an hour of the record",
    )
}

/// The same fault below the group's key.
fn under(group: &Group, mut fault: Fault) -> Fault {
    let key = fault.location.key.unwrap_or_default();
    fault.location.key = Some(format!("herd.{}.{key}", group.name));
    fault
}

fn check(group: &Group) -> Result<(), Fault> {
    let refuse = |key: &str, found: String, accepted: &str, way_out: &str| {
        Err(under(group, Fault::at_key(key, FaultKind::OutOfRange, found, accepted, way_out)))
    };
    if !(group.count.is_finite() && group.count >= 0.0) {
        return refuse(
            "count",
            format!("{} head", group.count),
            "a count is 0 or more",
            "give the number of heads",
        );
    }
    if let Need::ByMonth(months) = &group.need
        && let Some(m) = months.iter().position(|v| !(v.is_finite() && *v >= 0.0))
    {
        return refuse(
            "need",
            format!("{} m3 in month {}", months[m], m + 1),
            "a need is 0 or more",
            "give what one head drinks in a day",
        );
    }
    if let Some(hour) = group.pattern.iter().position(|s| !(0.0..=1.0).contains(s)) {
        return refuse(
            "pattern",
            format!("{} in hour {hour}", group.pattern[hour]),
            "a share lies between 0 and 1",
            "give 24 shares of the day that sum to 1, or the name of a preset",
        );
    }
    let sum: f64 = group.pattern.iter().sum();
    if (sum - 1.0).abs() > SUM_TOLERANCE {
        return refuse(
            "pattern",
            format!("shares that sum to {sum}"),
            "24 shares sum to 1",
            "divide each share by their sum, or give the name of a preset",
        );
    }
    Ok(())
}
