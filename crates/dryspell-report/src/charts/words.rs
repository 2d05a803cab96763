//! Words of the pictures: how days and heights are named.

use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, show};

use crate::layout::{MONTHS, day_month};

/// Short name of a month, 1 to 12.
pub(super) fn month(month: u8) -> &'static str {
    MONTHS[usize::from(month.clamp(1, 12)) - 1]
}

/// Day and month, and the year where the record has several.
pub(super) fn date(run: &Run, day: usize) -> String {
    let Some(date) = run.calendar.days().get(day) else { return String::new() };
    let day = day_month(date.month_day());
    if run.calendar.is_one_year() { day } else { format!("{day} {}", date.year) }
}

/// A day of the record as a chart's place.
#[expect(clippy::cast_precision_loss, reason = "days and places of a page")]
pub(super) fn f(n: usize) -> f64 {
    n as f64
}

/// A height against the tank's outlet.
pub(super) fn height(m: f64, units: System) -> String {
    let metres = |m: f64| show(m, Quantity::Length, units);
    match m {
        m if m > 0.0 => format!("{} above the tank's outlet", metres(m)),
        m if m < 0.0 => format!("{} below the tank's outlet", metres(-m)),
        _ => "level with the tank's outlet".to_owned(),
    }
}
