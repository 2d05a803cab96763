//! What limited the flow, hour by hour.

use std::fmt::Write;

use dryspell::simulate::Run;

use crate::figures::detail;

pub(super) fn limits(run: &Run) -> String {
    let l = run.limit_hours;
    let all = run.calendar.hours();
    let mut out = format!("WHAT LIMITED THE FLOW  hours of the record, {all} in total\n");
    for (what, name, hours) in [
        ("night", "night", l.night),
        ("sun below start", "sun_below_start", l.sun_below_start),
        ("sun", "sun", l.sun),
        ("pump at its limit", "pump_limit", l.pump_limit),
        ("head at the table's end", "table_end", l.table_end),
        ("well", "well", l.well),
        ("well at the cut-out", "cut_out", l.cut_out),
        ("frozen", "frozen", l.frozen),
        ("float full", "float_full", l.float_full),
    ] {
        // What cannot happen in this scheme is left out of the table.
        let silent = matches!(what, "well at the cut-out" | "frozen");
        if silent && hours == 0 {
            continue;
        }
        let share = detail(run, &format!("limit_percent.{name}"));
        let _ = writeln!(out, "  {what:<28}{hours:>7}  {share:>5.1} %");
    }
    out
}
