//! The report on the terminal, in the order a designer reads: the answer, the scheme, the head, the year, the evidence.

use std::fmt::Write;
use std::io;

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::results::{CAUTIONS, alerts, answer};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, column_number, column_unit, counted, percent_number, show};

use crate::chart;
use crate::delivery::delivery;
use crate::error::Error;
use crate::exporter::Exporter;
use crate::figures::{OUTLASTS, day_text, detail, full_tank_in, rise_name, storage_above, velocity};
use crate::inputs::Role;
use crate::layout::{MONTHS, table, wrap, wrap_to};
use crate::report::Report;
use crate::scheme_lines::scheme;
use crate::taken::{assumptions, friction};

/// Width of the values in the list of reliability figures.
const VALUE_WIDTH: usize = 14;

/// The report as text.
#[derive(Debug)]
pub(super) struct Terminal;

impl Exporter for Terminal {
    fn name(&self) -> &'static str {
        "terminal"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["txt"]
    }

    fn write(&self, of: &Report<'_>, to: &mut dyn io::Write) -> Result<(), Error> {
        Ok(to.write_all(report(of.run, of).as_bytes())?)
    }
}

/// The whole report.
fn report(run: &Run, context: &Report<'_>) -> String {
    let mut out = String::new();
    let parts = [
        opening(run, context),
        scheme(run, context),
        head(run, context),
        months(run, context),
        tank(run, context),
        reliability(run, context),
        delivery(run, context.system),
        limits(run),
        ledgers(run, context),
        assumptions(run, context),
        cautions(),
        reproduce(context),
    ];
    for part in parts.into_iter().filter(|part| !part.is_empty()) {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&part);
    }
    out
}

fn opening(run: &Run, context: &Report<'_>) -> String {
    let mut out = String::new();
    wrap(&mut out, "", &answer(run, context.system));
    let alerts = alerts(run, context.system);
    if !alerts.is_empty() {
        out.push('\n');
    }
    for alert in alerts {
        wrap(&mut out, "! ", &alert.text);
    }
    out
}

fn head(run: &Run, context: &Report<'_>) -> String {
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

fn months(run: &Run, context: &Report<'_>) -> String {
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
    let v = |m3: f64| column_number(m3, Quantity::Volume, system);
    let days = |d: f64| if d.fract().abs() < 1e-9 { format!("{d:.0}") } else { format!("{d:.1}") };
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

fn tank(run: &Run, context: &Report<'_>) -> String {
    let full = run.plan.tank.full_m3();
    let lowest: Vec<f64> = run.days.iter().map(|d| d.lowest_m3).collect();
    let step = chart::days_a_column(lowest.len());
    let mut out = format!(
        "TANK LEVEL  lowest in each {}; the top line is full ({})\n",
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

fn reliability(run: &Run, context: &Report<'_>) -> String {
    let system = context.system;
    let counts = &run.outcome.counts;
    let mut out = String::from("RELIABILITY\n");
    let date = |day: Option<usize>| {
        day.map_or_else(String::new, |d| {
            let day = run.calendar.days()[d];
            format!("{} {}", day.day, MONTHS[usize::from(day.month) - 1])
        })
    };
    let percent =
        |p: Option<f64>| p.map_or_else(|| "-".to_owned(), |p| format!("{} %", percent_number(p, 2)));
    let n_days = |d: Option<f64>| d.map_or_else(|| "-".to_owned(), |d| format!("{d:.1} days"));
    let mut row = |what: &str, value: String, note: &str| {
        // The note stands in a column of its own, on the next line where the value is long.
        let first = format!("  {what:<27}{value:<VALUE_WIDTH$}");
        let rest = " ".repeat(29 + VALUE_WIDTH);
        if note.is_empty() {
            let _ = writeln!(out, "{}", first.trim_end());
        } else if value.chars().count() < VALUE_WIDTH {
            wrap_to(&mut out, &first, &rest, note);
        } else {
            let _ = writeln!(out, "{}", first.trim_end());
            wrap_to(&mut out, &rest, &rest, note);
        }
    };
    row(
        "days of shortfall",
        counts.shortfall_days.to_string(),
        &format!(
            "of {} with stock; a day counts when more than {:.1} % of its draw is short",
            counted(counts.stock_days, "day"),
            100.0 * run.plan.tank.tolerance
        ),
    );
    row(
        "spells",
        counts.spells.to_string(),
        &format!("longest {}", counted(counts.longest_spell_days, "day")),
    );
    row("dry hours", counts.dry_hours.to_string(), &format!("longest run {} h", counts.longest_dry_hours));
    row(
        "longest without drinking",
        format!("{} h", counts.longest_nothing_drawn_hours),
        "of any one herd, nights included",
    );
    if counts.worst_day.is_some() {
        row(
            "worst day",
            format!("{} % short", percent_number(100.0 * counts.worst_day_short, 0)),
            &date(counts.worst_day),
        );
    }
    row("days served", percent(run.days_served_percent()), "");
    row("water served", percent(run.volume_served_percent()), "");
    if counts.haul_by_day.is_some() {
        row(
            "to haul in the worst spell",
            show(counts.haul_m3, Quantity::Volume, system),
            &format!("needed by {}", date(counts.haul_by_day)),
        );
    }
    row(
        "autonomy of a full tank",
        n_days(run.full_tank.worst),
        if run.full_tank.always_outlasts_stay() {
            "no inflow: the stock leaves before the water runs out, from any start hour"
        } else {
            "no inflow, from the worst start hour of the year"
        },
    );
    if let Some((battery, scheme)) = run.battery_days().zip(run.scheme_autonomy_days()) {
        row(
            "autonomy of the scheme",
            n_days(Some(scheme)),
            &format!(
                "the smaller of the full tank's and that of the booster's battery ({:.1} days)",
                battery.worst_days
            ),
        );
    }
    if let Some(a) = run.in_service {
        row(
            "autonomy in service",
            format!("{:.1} days", a.min),
            &format!(
                "lowest; 5th percentile {:.1}, median {:.1} days, at the tank's actual levels",
                a.p05, a.median
            ),
        );
    }
    let (_, peak) = run.peak_month;
    row(
        "rule-sheet storage",
        n_days(run.rule_sheet_storage_days()),
        &format!(
            "usable volume up to the float stop divided by the mean daily draw with stock in {}, the peak month",
            MONTHS[usize::from(peak) - 1]
        ),
    );
    let needed = run
        .storage
        .storage_m3
        .map_or_else(|| "no tank is enough".to_owned(), |m3| show(m3, Quantity::Volume, system));
    let above = storage_above(run, system);
    row(
        "storage needed",
        needed,
        &format!(
            "sequent peak: smallest volume that meets every hour's draw in that hour, without float band, leak or \
             tolerance{above}; a tank with a float band or a leak needs more"
        ),
    );
    if let Some(c) = run.storage.critical {
        let refilled = c
            .refilled
            .map_or_else(|| "not refilled".to_owned(), |h| format!("refilled {}", day_text(run, h)));
        row(
            "critical spell",
            day_text(run, c.began),
            &format!("start; deepest {}, {refilled}", day_text(run, c.deepest)),
        );
    }
    if !run.covered.is_empty() {
        let days: Vec<String> = run.covered.iter().map(|c| c.days.to_string()).collect();
        let short: Vec<String> = run.covered.iter().map(|c| c.shortfall_days.to_string()).collect();
        row(
            "panels covered (snow)",
            short.join(", "),
            &format!(
                "days of shortfall with the panels covered for {} days from the start of the critical spell",
                days.join(", ")
            ),
        );
    }
    if let Some(ends) = run.start_ends {
        row(
            "start power, both limits",
            format!("{} and {}", ends.zero_days, ends.best_line_days),
            "days of shortfall with no flow below the table's lowest power, and with linear interpolation from there to \
             the hydraulic minimum at the table's best efficiency",
        );
    }
    if let Some(empty) = run.shortfall_days_if_started_empty {
        row("if the tank starts empty", empty.to_string(), "days of shortfall");
    }
    match run.outcome.passes {
        Some(passes) => row(
            "tank year from",
            format!("1 {}", MONTHS[usize::from(run.outcome.tank_year_month) - 1]),
            &format!(
                "{}; the year repeats after {}",
                run.outcome.tank_year_by.text(),
                counted(passes, "pass")
            ),
        ),
        None => row(
            "tank years from",
            format!("1 {}", MONTHS[usize::from(run.outcome.tank_year_month) - 1]),
            run.outcome.tank_year_by.text(),
        ),
    }
    if run.outcome.years.len() > 1 {
        let mut rows = vec![
            ["from", "whole", "shortfall days", "spells", "longest", "dry hours"].map(str::to_owned).to_vec(),
        ];
        for (year, c) in &run.outcome.years {
            let first = year.days().next().map_or(0, |d| d);
            rows.push(vec![
                run.calendar.start_text(first * HOURS_PER_DAY)[..10].to_owned(),
                if year.whole { "yes" } else { "no" }.to_owned(),
                c.shortfall_days.to_string(),
                c.spells.to_string(),
                c.longest_spell_days.to_string(),
                c.dry_hours.to_string(),
            ]);
        }
        table(&mut out, &rows);
    }
    out
}

fn limits(run: &Run) -> String {
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

fn ledgers(run: &Run, context: &Report<'_>) -> String {
    let system = context.system;
    let l = &run.outcome.ledgers;
    let v = |m3: f64| column_number(m3, Quantity::Volume, system);
    let gardens = !run.garden.gardens.is_empty();
    let mut out = format!("LEDGERS  {}, over the record\n", column_unit(Quantity::Volume, system));
    let source = &run.supply.ledger;
    let _ = writeln!(
        out,
        "  well    lifted {} = weep hole {} + refilling the drained pipe {} + available {}",
        v(source.lifted_m3),
        v(source.weep_m3),
        v(source.riser_refill_m3),
        v(source.available_m3)
    );
    let _ = writeln!(
        out,
        "  source  available {} = pumped {} + curtailed {}",
        v(l.available_m3),
        v(l.pumped_m3),
        v(l.curtailed_m3)
    );
    let _ = writeln!(
        out,
        "  tank    start {} + pumped {} = drawn {}{} + spilled {} + evaporated {} + leaked {} + end {}",
        v(l.start_m3),
        v(l.pumped_m3),
        v(l.drawn_m3),
        if gardens { format!(" + gardens {}", v(l.garden_m3)) } else { String::new() },
        v(l.spilled_m3),
        v(l.evaporated_m3),
        v(l.leaked_m3),
        v(l.end_m3)
    );
    match &run.delivery {
        None => {
            let _ = writeln!(
                out,
                "  demand  {} = drunk {} + short {} (tank empty {})",
                v(l.requested_m3),
                v(l.drawn_m3),
                v(l.short_m3),
                v(l.short_m3)
            );
        }
        Some(delivery) => {
            let _ = writeln!(
                out,
                "  outlet  requested {} = drawn {} + short {} (tank empty)",
                v(l.requested_m3),
                v(l.drawn_m3),
                v(l.short_m3)
            );
            let d = &delivery.volumes;
            let troughs = |name: &str| v(detail(run, &format!("troughs_m3.{name}")));
            let _ = writeln!(
                out,
                "  troughs start {} + requested {} + short {} (frozen {}, pump too small {}, battery empty {}) = demand {} + end {}",
                troughs("start"),
                troughs("requested"),
                troughs("short"),
                v(d.short_frozen_m3),
                v(d.short_too_small_m3),
                v(d.short_battery_m3),
                troughs("demand"),
                troughs("end")
            );
            if run.booster().is_some() {
                let kwh = |name: &str| format!("{:.2}", detail(run, &format!("battery_kwh.{name}")));
                let _ = writeln!(
                    out,
                    "  battery start {} + charged {} = to the pump {} + charging loss {} + rate loss {} + self-discharge {} + end {} kWh",
                    kwh("start"),
                    kwh("charged"),
                    kwh("discharged"),
                    kwh("charge_loss"),
                    kwh("rate_loss"),
                    kwh("self_discharge"),
                    kwh("end")
                );
            }
        }
    }
    if gardens {
        let _ = writeln!(
            out,
            "  gardens requested {} = drawn {} + short {} (and {} held back while stock was short)",
            v(run.garden_sum_m3),
            v(l.garden_m3),
            v(detail(run, "garden_m3.short")),
            v(detail(run, "garden_m3.held_back"))
        );
    }
    let _ = writeln!(
        out,
        "  largest relative residual {:.1e}; a run above 1e-9 is refused",
        l.residual().max(source.residual()).max(run.delivery.as_ref().map_or(0.0, |d| d.residual()))
    );
    out
}

fn cautions() -> String {
    let mut out = String::from("CAUTIONS\n");
    for text in CAUTIONS {
        wrap_to(&mut out, "  - ", "    ", text);
    }
    out
}

fn reproduce(context: &Report<'_>) -> String {
    let mut out = format!("PRODUCED BY  dryspell {}\n", env!("CARGO_PKG_VERSION"));
    let _ = writeln!(out, "  scheme   sha256 {}", context.inputs.scheme_sha256());
    for hash in context.inputs.weather_sha256() {
        let _ = writeln!(out, "  weather  sha256 {hash}");
    }
    for table in context.inputs.of(Role::Table) {
        let _ = writeln!(out, "  table    sha256 {}  {}", table.sha256, table.name);
    }
    out
}
