//! How reliable the scheme is in this record: what was short, how long the tank lasts, how much storage is needed.

use std::fmt::Write;

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::simulate::Run;
use dryspell::sizing::enough_tank;
use dryspell::units::{Quantity, System, counted, percent_number, show};

use crate::figures::{STORAGE_OF_SEVERAL, day_text, full_tank_words, round_unit_m3, storage_above};
use crate::layout::{MONTHS, day_month, table, wrap_to};
use crate::report::Report;
use crate::told;

/// Width of the values in the list of reliability figures.
const VALUE_WIDTH: usize = 14;

/// The list of reliability figures, and the tank years under it where there are several.
pub(super) fn reliability(run: &Run, context: &Report<'_>) -> String {
    let system = context.system;
    let mut rows = Rows(String::from("RELIABILITY\n"));
    served(&mut rows, run, system);
    autonomy(&mut rows, run);
    storage(&mut rows, run, system);
    otherwise(&mut rows, run);
    backup(&mut rows, run, system);
    pass(&mut rows, run);
    tank_year(&mut rows, run);
    let mut out = rows.0;
    years(&mut out, run);
    out
}

/// A list of figures: what it is, its value, and a note beside it.
struct Rows(String);

impl Rows {
    fn row(&mut self, what: &str, value: String, note: &str) {
        // The note stands in a column of its own, on the next line where the value is long.
        let first = format!("  {what:<27}{value:<VALUE_WIDTH$}");
        let rest = " ".repeat(29 + VALUE_WIDTH);
        if note.is_empty() {
            let _ = writeln!(self.0, "{}", first.trim_end());
        } else if value.chars().count() < VALUE_WIDTH {
            wrap_to(&mut self.0, &first, &rest, note);
        } else {
            let _ = writeln!(self.0, "{}", first.trim_end());
            wrap_to(&mut self.0, &rest, &rest, note);
        }
    }
}

fn days(days: Option<f64>) -> String {
    days.map_or_else(|| "-".to_owned(), |d| format!("{d:.1} days"))
}

/// What was served and what was short: days, spells, hours, shares, and what would have to be hauled.
fn served(rows: &mut Rows, run: &Run, system: System) {
    let counts = &run.outcome.counts;
    let date =
        |day: Option<usize>| day.map_or_else(String::new, |d| day_month(run.calendar.days()[d].month_day()));
    let percent =
        |p: Option<f64>| p.map_or_else(|| "-".to_owned(), |p| format!("{} %", percent_number(p, 2)));
    rows.row(
        "days of shortfall",
        counts.shortfall_days.to_string(),
        &format!(
            "of {} with stock; a day counts when more than {:.1} % of its draw is short",
            counted(counts.stock_days, "day"),
            100.0 * run.plan.tank.tolerance
        ),
    );
    rows.row(
        "spells",
        counts.spells.to_string(),
        &format!("longest {}", counted(counts.longest_spell_days, "day")),
    );
    rows.row(
        "dry hours",
        counts.dry_hours.to_string(),
        &format!("longest run {} h", counts.longest_dry_hours),
    );
    rows.row(
        "longest without drinking",
        format!("{} h", counts.longest_nothing_drawn_hours),
        "of any one herd, nights included",
    );
    if counts.worst_day.is_some() {
        rows.row(
            "worst day",
            format!("{} % short", percent_number(100.0 * counts.worst_day_short, 0)),
            &date(counts.worst_day),
        );
    }
    rows.row("days served", percent(run.days_served_percent()), "");
    rows.row("water served", percent(run.volume_served_percent()), "");
    if counts.haul_by_day.is_some() {
        rows.row(
            "to haul in the worst spell",
            show(counts.haul_m3, Quantity::Volume, system),
            &format!("needed by {}", date(counts.haul_by_day)),
        );
    }
}

/// How long the tank lasts: full, with the booster's battery, and at the levels that it had.
fn autonomy(rows: &mut Rows, run: &Run) {
    rows.row(
        if run.tanks.is_empty() { "autonomy of a full tank" } else { "autonomy of full tanks" },
        days(run.full_tank.worst),
        full_tank_words(run),
    );
    if let Some((battery, scheme)) = run.battery_days().zip(run.scheme_autonomy_days()) {
        rows.row(
            "autonomy of the scheme",
            days(Some(scheme)),
            &format!(
                "the smaller of the full tank's and that of the booster's battery ({:.1} days)",
                battery.worst_days
            ),
        );
    }
    if let Some(a) = run.in_service {
        rows.row(
            "autonomy in service",
            format!("{:.1} days", a.min),
            &format!(
                "lowest; 5th percentile {:.1}, median {:.1} days, at the {} actual levels",
                a.p05,
                a.median,
                if run.tanks.is_empty() { "tank's" } else { "tanks'" }
            ),
        );
    }
}

/// How much storage there is by the rule, how much the record needs, and the spell that needs it.
fn storage(rows: &mut Rows, run: &Run, system: System) {
    let (_, peak) = run.peak_month;
    rows.row(
        "rule-sheet storage",
        days(run.rule_sheet_storage_days()),
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
    if run.tanks.is_empty() {
        rows.row(
            "storage needed",
            needed,
            &format!(
                "sequent peak: smallest volume that meets every hour's draw in that hour, without float band, leak or \
                 tolerance{above}; a tank with a float band or a leak needs more"
            ),
        );
        let (size, text) = told::enough_tank(run, &enough_tank(run, round_unit_m3(system)), system);
        rows.row("sufficient tank", size, &text);
    } else {
        rows.row("storage needed", "-".to_owned(), STORAGE_OF_SEVERAL);
    }
    if let Some(c) = run.storage.critical {
        let refilled = c
            .refilled
            .map_or_else(|| "not refilled".to_owned(), |h| format!("refilled {}", day_text(run, h)));
        rows.row(
            "critical spell",
            day_text(run, c.began),
            &format!("start; deepest {}, {refilled}", day_text(run, c.deepest)),
        );
    }
}

/// Days of shortfall if something were otherwise: snow on the panels, the start power, an empty tank.
fn otherwise(rows: &mut Rows, run: &Run) {
    if !run.covered.is_empty() {
        let days: Vec<String> = run.covered.iter().map(|c| c.days.to_string()).collect();
        let short: Vec<String> = run.covered.iter().map(|c| c.shortfall_days.to_string()).collect();
        rows.row(
            "panels covered (snow)",
            short.join(", "),
            &format!(
                "days of shortfall with the panels covered for {} days from the start of the critical spell",
                days.join(", ")
            ),
        );
    }
    if let Some([least, most]) = run.snow_ends {
        rows.row(
            "snow by rain and frost",
            format!("{least} to {most}"),
            "days of shortfall with the least and the most snow on the panels that the weather file's rain and temperature allow",
        );
    }
    if let Some(ends) = run.start_ends {
        let [name, means] = if run.plan.supply.pump.is_scaled_by_voltage() {
            [
                "flow by voltage, limits",
                "days of shortfall with what the head takes of the flow the same at every voltage, and with flow in \
                 proportion to voltage",
            ]
        } else {
            [
                "start power, both limits",
                "days of shortfall with no flow below the table's lowest power, and with linear interpolation from there \
                 to the hydraulic minimum at the table's best efficiency",
            ]
        };
        rows.row(name, format!("{} and {}", ends.zero_days, ends.best_line_days), means);
    }
    if let Some(empty) = run.shortfall_days_if_started_empty {
        rows.row("if the tank starts empty", empty.to_string(), "days of shortfall");
    }
}

/// What the backup brings, and what is still short with it.
fn backup(rows: &mut Rows, run: &Run, system: System) {
    if let Some((days, text)) = told::backup(run, system) {
        rows.row("with the backup", days.to_string(), &text);
    }
}

/// Which pass the counts come from, and what the float spares the well.
fn pass(rows: &mut Rows, run: &Run) {
    let (word, why) = told::pass(run);
    rows.row("counts come from", word.to_owned(), why);
    if let Some((days, text)) = told::well(run) {
        rows.row("float resting the well", days.to_string(), &text);
    }
}

/// From which month on years are counted.
fn tank_year(rows: &mut Rows, run: &Run) {
    match run.outcome.passes {
        Some(passes) => rows.row(
            "tank year from",
            format!("1 {}", MONTHS[usize::from(run.outcome.tank_year_month) - 1]),
            &format!(
                "{}; the year repeats after {}",
                run.outcome.tank_year_by.text(),
                counted(passes, "pass")
            ),
        ),
        None => rows.row(
            "tank years from",
            format!("1 {}", MONTHS[usize::from(run.outcome.tank_year_month) - 1]),
            run.outcome.tank_year_by.text(),
        ),
    }
}

/// The tank years, where there are several.
fn years(out: &mut String, run: &Run) {
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
        table(out, &rows);
    }
}
