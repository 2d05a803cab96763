//! Figures that several outputs show.

use dryspell::results::{DETAILS, Field, Figure};
use dryspell::simulate::Run;
use dryspell::supply::HeadBuildUp;
use dryspell::units::table::FOOT_M;
use dryspell::units::{Quantity, System, column_value, show};

use crate::layout::MONTHS;

/// A number of a list; nothing where it is not known or not a number.
pub(crate) fn number<R: ?Sized>(list: &[Field<R>], name: &str, of: &R, row: usize) -> Option<f64> {
    as_number(&figure(list, name, of, row)?)
}

/// The numbers of a list's field that holds several; nothing where one is not known.
#[cfg(feature = "setting")]
pub(crate) fn numbers_of(list: &[Field], name: &str, run: &Run, row: usize) -> Vec<Option<f64>> {
    match figure(list, name, run, row) {
        Some(Figure::List(all)) => all.iter().map(as_number).collect(),
        _ => Vec::new(),
    }
}

fn figure<R: ?Sized>(list: &[Field<R>], name: &str, of: &R, row: usize) -> Option<Figure> {
    let found = list.iter().find(|field| field.name == name);
    // A name that was changed in the list alone would show as nothing, or as 0.
    debug_assert!(found.is_some(), "{name} is not in the list");
    found.map(|field| (field.get)(of, row))
}

fn as_number(figure: &Figure) -> Option<f64> {
    match figure {
        Figure::Number(number) => Some(*number),
        #[expect(clippy::cast_precision_loss, reason = "counts of a record")]
        Figure::Count(count) => Some(*count as f64),
        _ => None,
    }
}

/// A figure of [`DETAILS`].
pub(crate) fn detail(run: &Run, name: &str) -> f64 {
    number(DETAILS, name, run, 0).unwrap_or(0.0)
}

/// What the rise above the wellhead is.
pub(crate) fn rise_name(build: &HeadBuildUp) -> &'static str {
    if build.inlet_height_m < 0.0 { "wellhead (the tank is lower)" } else { "inlet above the wellhead" }
}

/// What stands above a float besides the storage needed below it; nothing without a float.
pub(crate) fn storage_above(run: &Run, system: System) -> String {
    let tank = run.plan.all_tanks();
    match number(DETAILS, "storage_needed_with_share_above_m3", run, 0) {
        Some(m3) if m3 > 0.0 && tank.capacity_m3 > tank.full_m3() => format!(
            ", up to the float stop; {} usable with the same share above it",
            show(m3, Quantity::Volume, system)
        ),
        _ => String::new(),
    }
}

/// Why no storage needed is told of several tanks.
pub(crate) const STORAGE_OF_SEVERAL: &str =
    "not told of several tanks: no one volume is enough or not; try sizes of each by itself";

/// What the autonomy of the full tank, or of several, counts.
pub(crate) fn full_tank_words(run: &Run) -> &'static str {
    match (run.full_tank.always_outlasts_stay(), run.tanks.is_empty()) {
        (true, _) => "no inflow: the stock leaves before the water runs out, from any start hour",
        (false, true) => "no inflow, from the worst start hour of the year",
        (false, false) => {
            "all tanks full, no pump from a well and no inflow, pipes between tanks on, transfer pumps only where they need no \
             sun; until the first herd lacks water, from the worst start hour of the year"
        }
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
#[must_use]
pub fn round_unit_m3(system: System) -> f64 {
    1.0 / column_value(1.0, Quantity::Volume, system)
}
