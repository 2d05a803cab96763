//! The head at the highest flow, part by part.

use std::fmt::Write;

use dryspell::simulate::Run;
use dryspell::units::{Quantity, column_number, column_unit, show};

use crate::figures::{rise_name, velocity};
use crate::layout::wrap_to;
use crate::report::Report;
use crate::taken::friction;

pub(super) fn head(run: &Run, context: &Report<'_>) -> String {
    let system = context.system;
    let build = &run.head;
    let mut out = format!(
        "HEAD at {}, the highest flow of the record ({})\n",
        show(build.flow_m3_per_h, Quantity::Flow, system),
        run.calendar.start_text(run.head_hour)
    );
    let mut row = |what: &str, metres: f64, note: &str| {
        let _ = writeln!(
            out,
            "  {what:<28}{:>9} {}{note}",
            column_number(metres, Quantity::Length, system),
            column_unit(Quantity::Length, system)
        );
    };
    row("static level in the well", build.static_level_m, "");
    row(rise_name(build), build.rise_m, "");
    row("drawdown", build.drawdown_m, "");
    for pipe in &build.runs {
        row(
            &format!("friction, {}", pipe.name),
            pipe.friction_m,
            &format!("   at {}", velocity(pipe.velocity_m_per_s, system)),
        );
    }
    row("fittings", build.fittings_m, "");
    row("discharge pressure", build.discharge_pressure_m, "");
    row("velocity head at the outlet", build.exit_m, "");
    row("total dynamic head", build.total_m, "");
    wrap_to(&mut out, "  ", "  ", &friction(run, system));
    out
}
