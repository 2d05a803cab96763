//! Figures that several outputs show.

use dryspell::simulate::Run;
use dryspell::supply::HeadBuildUp;
use dryspell::units::table::FOOT_M;
use dryspell::units::{Quantity, System, column_value, show};

use crate::layout::MONTHS;

/// Whether snow lies on some of the panels in an hour of a day with sun.
#[cfg(feature = "setting")]
pub(crate) fn snowy(run: &Run, day: usize) -> bool {
    use dryspell::array::OneArray;
    use dryspell::calendar::HOURS_PER_DAY;

    (day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY).any(|h| {
        let covered = |array: &OneArray| array.snow_cover.get(h).is_some_and(|share| *share > 0.0);
        run.array.plane_w_per_m2[h] > 0.0 && run.array.each.iter().any(covered)
    })
}

/// What the rise above the wellhead is.
pub(crate) fn rise_name(build: &HeadBuildUp) -> &'static str {
    if build.inlet_height_m < 0.0 { "wellhead (the tank is lower)" } else { "inlet above the wellhead" }
}

/// Sun on the plane over the year, kWh/m² a day: each month counts for its length, however often the record holds it.
pub(crate) fn mean_sun(run: &Run) -> f64 {
    let (sun, days) =
        run.months.iter().filter(|month| month.days > 0).fold((0.0, 0.0), |(sun, days), month| {
            let length = f64::from(month.days) / month.times;
            (sun + month.plane_kwh_per_m2_day * length, days + length)
        });
    if days > 0.0 { sun / days } else { 0.0 }
}

/// What stands above a float besides the storage needed below it; nothing without a float.
pub(crate) fn storage_above(run: &Run, system: System) -> String {
    let tank = &run.plan.tank;
    let share = tank.capacity_m3 / tank.full_m3();
    match run.storage.storage_m3 {
        Some(m3) if m3 > 0.0 && share > 1.0 => format!(
            ", up to the float's stop; with the same share above it {} usable",
            show(m3 * share, Quantity::Volume, system)
        ),
        _ => String::new(),
    }
}

/// Stands where the stock leaves before a full tank is gone.
pub(crate) const OUTLASTS: &str = "outlasts";

/// Days that a full tank lasts from the worst start hour of a month (0 to 11), in a table's cell.
pub(crate) fn full_tank_in(run: &Run, month: usize) -> String {
    match (run.full_tank.by_month[month], run.full_tank.outlasts_stay[month]) {
        (None, _) => "-".to_owned(),
        (Some(_), true) => OUTLASTS.to_owned(),
        (Some(days), false) => format!("{days:.1}"),
    }
}

/// Day and month of an hour, and the year where the record has several.
pub(crate) fn day_text(run: &Run, hour: usize) -> String {
    let day = run.calendar.day_of(hour);
    let name = MONTHS[usize::from(day.month) - 1];
    if run.calendar.is_one_year() {
        format!("{} {name}", day.day)
    } else {
        format!("{} {name} {}", day.day, day.year)
    }
}

/// Water in a pipe is told in feet a second where wind is told in miles an hour.
pub(crate) fn velocity(m_per_s: f64, system: System) -> String {
    match system {
        System::Si => format!("{m_per_s:.2} m/s"),
        System::Us => format!("{:.2} ft/s", m_per_s / FOOT_M),
    }
}

/// The unit of volume in which steps between tanks are round numbers, m³.
pub(crate) fn round_unit_m3(system: System) -> f64 {
    1.0 / column_value(1.0, Quantity::Volume, system)
}
