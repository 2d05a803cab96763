//! How near the scheme comes to going short.

use std::fmt::Write;

use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, show};

use crate::figures::day_text;

/// Lowest level, what a full tank lasts, and what was in hand at the least.
pub(super) fn margin(run: &Run, system: System) -> String {
    let mut out = String::from("MARGIN\n");
    let mut row = |what: &str, value: &str, note: &str| {
        let _ = writeln!(out, "{}", format!("  {what:<22}{value:<12}{note}").trim_end());
    };
    let level_m3 = run.outcome.lowest_m3;
    if let Some(h) = run.hours.iter().position(|hour| hour.level_m3[0] <= level_m3) {
        row("lowest level", &show(level_m3, Quantity::Volume, system), &day_text(run, h));
    }
    let days = |days: f64| format!("{days:.1} days");
    if let Some(worst) = run.full_tank.worst {
        row(
            if run.tanks.is_empty() { "a full tank lasts" } else { "full tanks last" },
            &days(worst),
            "no inflow, from the worst start hour",
        );
    }
    if let Some(service) = run.in_service {
        row("in hand at the least", &days(service.min), "no inflow, at the level that there was");
    }
    out
}
