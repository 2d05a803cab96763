//! The tank's level through the record.

use std::fmt::Write;

use dryspell::simulate::Run;
use dryspell::units::{Quantity, counted, show};

use crate::chart;
use crate::layout::MONTHS;
use crate::report::Report;

pub(super) fn levels(run: &Run, context: &Report<'_>) -> String {
    let full = run.plan.all_tanks().full_m3();
    let lowest: Vec<f64> = run.days.iter().map(|d| d.lowest_m3).collect();
    let step = chart::days_a_column(lowest.len());
    let mut out = format!(
        "TANK LEVEL  {}lowest in each {}; the top line is full ({})\n",
        if run.tanks.is_empty() { "" } else { "all tanks together, " },
        if step == 1 { "day".to_owned() } else { counted(step, "day") },
        show(full, Quantity::Volume, context.system)
    );
    for text in chart::levels(&lowest, full, context.blocks) {
        let _ = writeln!(out, "  |{text}");
    }
    let mut axis = String::new();
    if run.calendar.is_one_year() {
        for (index, day) in run.calendar.days().iter().enumerate() {
            if day.day == 1 {
                let column = index / step;
                while axis.len() < column {
                    axis.push(' ');
                }
                axis.push_str(MONTHS[usize::from(day.month) - 1]);
            }
        }
    } else {
        for (index, day) in run.calendar.days().iter().enumerate() {
            if day.day == 1 && day.month == 1 && index / step >= axis.len() {
                while axis.len() < index / step {
                    axis.push(' ');
                }
                let _ = write!(axis, "{}", day.year);
            }
        }
    }
    let _ = writeln!(out, "   {axis}");
    out
}
