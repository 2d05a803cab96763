//! The year by month.

use dryspell::results::month_inflow_m3;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, column_number, column_unit};

use crate::figures::{OUTLASTS, detail, full_tank_in};
use crate::layout::{MONTHS, table, trimmed, wrap};
use crate::report::Report;

pub(super) fn months(run: &Run, context: &Report<'_>) -> String {
    let system = context.system;
    let volume = column_unit(Quantity::Volume, system);
    let mut out = String::from("THE YEAR BY MONTH\n");
    let mut rows = vec![
        ["", "sun on plane", "available", "pumped", "demand", "short", "days of", "lowest", "full tank"]
            .map(str::to_owned)
            .to_vec(),
        ["", "kWh/m2/day", volume, volume, volume, volume, "shortfall", volume, "lasts days"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let inflows = !run.inflows.is_empty();
    if inflows {
        rows[0].insert(4, "inflows".to_owned());
        rows[1].insert(4, volume.to_owned());
    }
    let v = |m3: f64| column_number(m3, Quantity::Volume, system);
    let days = |d: f64| trimmed(d, 1);
    for (m, month) in run.months.iter().enumerate() {
        if month.days == 0 {
            continue;
        }
        rows.push(vec![
            MONTHS[m].to_owned(),
            format!("{:.2}", month.plane_kwh_per_m2_day),
            v(month.available_m3),
            v(month.pumped_m3),
            v(month.demand_m3),
            v(month.short_m3),
            days(month.shortfall_days),
            v(month.lowest_m3),
            full_tank_in(run, m),
        ]);
        if let (Some(m3), Some(row)) = (month_inflow_m3(run, m), rows.last_mut()) {
            row.insert(4, v(m3));
        }
    }
    let year = |name: &str| detail(run, &format!("mean_year.{name}"));
    rows.push(vec![
        if run.calendar.days().len() < 365 { "record" } else { "year" }.to_owned(),
        format!("{:.2}", year("plane_kwh_per_m2_day")),
        v(year("available_m3")),
        v(year("pumped_m3")),
        v(year("demand_m3")),
        v(year("short_m3")),
        days(year("shortfall_days")),
        v(year("lowest_m3")),
        run.full_tank.worst.map_or_else(|| "-".to_owned(), |d| format!("{d:.1}")),
    ]);
    if let (true, Some(row)) = (inflows, rows.last_mut()) {
        row.insert(4, v(year("inflow_m3")));
    }
    table(&mut out, &rows);
    if rows.iter().any(|row| row.last().is_some_and(|cell| cell == "-")) {
        let outlasts = if run.full_tank.left_out > 0 { ", or the full tank outlasts the record" } else { "" };
        let text = format!("no start hour in that month has draw in the next 24 h{outlasts}");
        wrap(&mut out, "  -  ", &text);
    }
    if rows.iter().any(|row| row.last().is_some_and(|cell| cell == OUTLASTS)) {
        out.push_str("  outlasts: the stock leaves for a day or more before the water runs out\n");
    }
    if !run.calendar.is_one_year() {
        out.push_str(if run.calendar.days().len() < 365 {
            "  volumes are those of the record; months at its ends are incomplete\n"
        } else {
            "  volumes and days of shortfall: the mean of the month in all years that include it\n"
        });
    }
    out
}
