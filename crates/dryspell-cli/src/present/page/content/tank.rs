//! The year by month, the tank through the year, and the spell that tries it most.

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::units::{Quantity, column_number, column_unit, counted};

use super::super::model::Block;
use super::{Matter, days, heading, numbers};
use crate::present::layout::MONTHS;
use crate::present::terminal::day_text;

/// Days of the critical spell that are listed.
const MOST_DAYS: usize = 12;

pub(super) fn year(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let v = |m3: f64| column_number(m3, Quantity::Volume, m.system);
    let volume = column_unit(Quantity::Volume, m.system);
    // A row a quantity, a column a month.
    let row = |name: String, cell: &dyn Fn(usize) -> String| {
        let here = |month: usize| if run.months[month].days > 0 { cell(month) } else { String::new() };
        std::iter::once(name).chain((0..12).map(here)).collect::<Vec<String>>()
    };
    let rows = vec![
        row("sun on the plane, kWh/m² a day".to_owned(), &|m| {
            format!("{:.2}", run.months[m].plane_kwh_per_m2_day)
        }),
        row(format!("pump could lift, {volume}"), &|m| v(run.months[m].offered_m3)),
        row(format!("lifted, {volume}"), &|m| v(run.months[m].pumped_m3)),
        row(format!("wanted, {volume}"), &|m| v(run.months[m].wanted_m3)),
        row(format!("short, {volume}"), &|m| v(run.months[m].short_m3)),
        row("days of shortfall".to_owned(), &|m| days(run.months[m].shortfall_days)),
        row(format!("lowest level, {volume}"), &|m| v(run.months[m].lowest_m3)),
        row("full tank lasts, days".to_owned(), &|m| {
            run.full_tank.by_month[m].map_or_else(|| "-".to_owned(), |d| format!("{d:.1}"))
        }),
    ];
    let columns: Vec<String> =
        std::iter::once(String::new()).chain(MONTHS.iter().map(|month| (*month).to_owned())).collect();
    let note = if run.calendar.is_one_year() {
        "Lifted is less than the pump could lift where the float had stopped it. The last row: from the worst start hour \
         of the month, without any inflow."
    } else {
        "Volumes and days of shortfall of a mean year; lowest level and last row of all years."
    };
    let mut blocks = vec![heading("The year")];
    blocks.extend(m.chart("water_by_month"));
    blocks.push(numbers("Water by month", &columns, rows, note));
    blocks.extend(m.chart("tank_level"));
    blocks.extend(m.chart("calendar"));
    blocks
}

pub(super) fn spell(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let Some(critical) = run.storage.critical else { return Vec::new() };
    let dates = run.calendar.days();
    let n = dates.len();
    let first = critical.began / HOURS_PER_DAY;
    let until = critical.refilled.unwrap_or(critical.deepest) / HOURS_PER_DAY;
    let length = if until >= first { until - first + 1 } else { until + n - first + 1 };
    let deepest = critical.deepest / HOURS_PER_DAY;
    let to_deepest = if deepest >= first { deepest - first } else { deepest + n - first };
    // The days up to the deepest hour try the tank; where all do not fit, the last of those and what follows.
    let skip = if length <= MOST_DAYS { 0 } else { (to_deepest + 4).saturating_sub(MOST_DAYS) };
    let listed: Vec<usize> = (0..length).skip(skip).take(MOST_DAYS).map(|i| (first + i) % n).collect();
    let v = |m3: f64| column_number(m3, Quantity::Volume, m.system);
    let row = |day: &usize| {
        let (date, d) = (dates[*day], &run.days[*day]);
        vec![
            format!("{}\u{a0}{}", date.day, MONTHS[usize::from(date.month) - 1]),
            format!("{:.2}", d.plane_kwh_per_m2),
            v(d.offered_m3),
            v(d.wanted_m3),
            v(d.short_m3),
            v(d.end_m3),
        ]
    };
    let volume = column_unit(Quantity::Volume, m.system);
    let columns = [
        volume.to_owned(),
        "sun kWh/m²".to_owned(),
        "could lift".to_owned(),
        "wanted".to_owned(),
        "short".to_owned(),
        "level at midnight".to_owned(),
    ];
    let half = listed.len().div_ceil(2);
    let table = |days: &[usize], title: &str| numbers(title, &columns, days.iter().map(row).collect(), "");
    let refilled = critical
        .refilled
        .map_or_else(|| "it was not made good".to_owned(), |h| format!("made good on {}", day_text(run, h)));
    let mut blocks = vec![
        heading("The critical spell, day by day"),
        Block::Paragraph(
            format!(
                "The stretch that asks for most storage: it began on {}, was deepest on {}, and {refilled}; {}{}.",
                day_text(run, critical.began),
                day_text(run, critical.deepest),
                counted(length, "day"),
                if listed.len() < length { format!(", of which {} are listed", listed.len()) } else { String::new() }
            )
            .into(),
        ),
    ];
    blocks.extend(m.chart("critical_spell"));
    let (left, right) = listed.split_at(half);
    let mut halves = vec![vec![table(left, "Day by day")]];
    if !right.is_empty() {
        halves.push(vec![table(right, "and on")]);
    }
    blocks.push(Block::Beside(halves));
    blocks
}
