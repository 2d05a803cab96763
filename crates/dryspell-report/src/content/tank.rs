//! The year by month, and the tank through the year.

use dryspell::reliability::periods::MonthFigures;
use dryspell::results::{WORST_YEAR, WorstYear, month_inflow_m3, snow_on_panels, worst_year};
use dryspell::units::{Quantity, column_number, column_unit, counted};

use super::{Matter, days, heading, numbers};
use crate::figures::{OUTLASTS, detail, full_tank_in, number};
use crate::layout::MONTHS;
use crate::model::Block;

pub(super) fn year(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let v = |m3: f64| column_number(m3, Quantity::Volume, m.system);
    let volume = column_unit(Quantity::Volume, m.system);
    // A row a quantity, a column a month, the year last.
    let row = |name: String, cell: &dyn Fn(usize) -> String, year: String| {
        let here = |month: usize| if run.months[month].days > 0 { cell(month) } else { String::new() };
        m.in_tank_year(std::iter::once(name).chain((0..12).map(here)).chain([year]).collect())
    };
    let part = run.calendar.days().len() < 365;
    let year = |name: &str| detail(run, &format!("mean_year.{name}"));
    let sums = |text: String, name: &str, get: fn(&MonthFigures) -> f64| {
        row(text, &|m| v(get(&run.months[m])), v(year(name)))
    };
    let mut rows = vec![
        row(
            "sun on the plane, kWh/m² a day".to_owned(),
            &|m| format!("{:.2}", run.months[m].plane_kwh_per_m2_day),
            format!("{:.2}", year("plane_kwh_per_m2_day")),
        ),
        sums(format!("available, {volume}"), "available_m3", |m| m.available_m3),
        sums(format!("pumped, {volume}"), "pumped_m3", |m| m.pumped_m3),
    ];
    if !run.inflows.is_empty() {
        let cell = |m: usize| month_inflow_m3(run, m).map_or_else(String::new, v);
        rows.push(row(format!("other inflows, {volume}"), &cell, v(year("inflow_m3"))));
    }
    rows.extend([
        sums(format!("demand, {volume}"), "demand_m3", |m| m.demand_m3),
        sums(format!("short, {volume}"), "short_m3", |m| m.short_m3),
    ]);
    if !run.plan.draw.gardens.is_empty() {
        rows.push(sums(format!("to gardens, {volume}"), "garden_drawn_m3", |m| m.garden_m3));
    }
    rows.extend([
        row(
            "days of shortfall".to_owned(),
            &|m| days(run.months[m].shortfall_days),
            days(year("shortfall_days")),
        ),
        row(format!("lowest level, {volume}"), &|m| v(run.months[m].lowest_m3), v(year("lowest_m3"))),
        row(
            "full tank lasts, days".to_owned(),
            &|m| full_tank_in(run, m),
            run.full_tank.worst.map_or_else(|| "-".to_owned(), |d| format!("{d:.1}")),
        ),
    ]);
    let worst = worst_year(run);
    if let Some(year) = &worst {
        rows.extend(in_worst_year(m, year));
    }
    let outlasts = rows.last().is_some_and(|row| row.iter().any(|cell| cell == OUTLASTS));
    let columns = std::iter::once(String::new())
        .chain(MONTHS.iter().map(|month| (*month).to_owned()))
        .chain([if part { "record" } else { "year" }.to_owned()]);
    let columns = m.in_tank_year(columns.collect());
    let snow = (0..run.days.len()).filter(|day| snow_on_panels(run, *day)).count();
    let mut note = if run.calendar.is_one_year() {
        String::new()
    } else if part {
        format!(
            "Volumes are those of the record's {}; months at its ends are incomplete. ",
            counted(run.days.len(), "day")
        )
    } else {
        "Volumes and days of shortfall: the mean of the month in all years that include it; lowest level and how long a full \
         tank lasts: the least of all years. "
            .to_owned()
    };
    note.push_str(
        "Available: what the pump could lift; pumped is less where the float stopped the pump. Full tank lasts: from the \
         worst start hour, without any inflow.",
    );
    if snow > 0 {
        note.push_str(&format!(
            " Snow on the panels on {}: the sun shown is that above the snow.",
            counted(snow, "day")
        ));
    }
    if let Some(year) = &worst {
        note.push_str(&format!(
            " Worst year: the tank year from {} {} {}.",
            year.from.day,
            MONTHS[usize::from(year.from.month) - 1],
            year.from.year
        ));
    }
    if outlasts {
        note.push_str(" Outlasts: the stock leaves before the water runs out.");
    }
    let mut blocks = vec![heading("The year")];
    blocks.extend(m.chart("water_by_month"));
    blocks.push(numbers("Water by month", &columns, rows, &note));
    blocks.extend(m.chart("tank_level"));
    blocks.extend(m.chart("calendar"));
    blocks
}

/// The worst year beside the mean: sun, what the pump could lift, what was short.
fn in_worst_year(m: &Matter<'_>, year: &WorstYear) -> [Vec<String>; 4] {
    let volume = column_unit(Quantity::Volume, m.system);
    let row = |name: String, field: &str, shown: &dyn Fn(f64) -> String| {
        let cells = (0..=12).map(|at| number(WORST_YEAR, field, year, at).map_or_else(String::new, shown));
        m.in_tank_year(std::iter::once(name).chain(cells).collect())
    };
    let v = |m3: f64| column_number(m3, Quantity::Volume, m.system);
    [
        row("worst year: sun".to_owned(), "plane_kwh_per_m2_day", &|kwh| format!("{kwh:.2}")),
        row(format!("worst year: available, {volume}"), "available_m3", &v),
        row(format!("worst year: short, {volume}"), "short_m3", &v),
        row("worst year: days of shortfall".to_owned(), "shortfall_days", &days),
    ]
}
