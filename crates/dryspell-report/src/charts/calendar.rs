//! A calendar of days: served, partly short, a herd got nothing.

use dryspell::reliability::periods::DayState;
use dryspell::simulate::Run;
use dryspell::units::counted;

use super::legend::{Sign, day, legend};
use super::words::{f, month};
use super::years::{
    LONGEST, Year, counted_from, marks, month_axis, name_room, place, rows, when_short, years,
};
use super::{PAGE, finished};
use crate::model::Chart;
use crate::setting::paper::{Anchor, FAINT, INK, Paper, SMALL, WATER, area, pen};
use crate::setting::words::broken;

/// Most years that get a row of their own.
const MOST_ROWS: usize = 30;
/// More than so many stand closer.
const ROOMY: usize = 10;
/// Every state of a day, from none to worst.
const STATES: [DayState; 4] =
    [DayState::Served, DayState::PartlyShort, DayState::NothingServed, DayState::NoStock];

/// A calendar of days; of a record of many years one row a tank year.
///
/// # Errors
/// None so far; alike to the other pictures.
pub(crate) fn calendar(run: &Run) -> Result<Chart, String> {
    let mut paper = Paper::new(PAGE, 900);
    let years = years(run);
    // The days of one year lie on twelve rows; of more years a row is a year.
    let one = years.len() == 1;
    let (kept, left_out) = rows(years, MOST_ROWS);
    let next = if one { squares(&mut paper, run, &kept) } else { strips(&mut paper, run, &kept) };
    let count = |state: DayState| run.days.iter().filter(|d| d.state() == state).count();
    let items: Vec<(Sign, String)> = STATES
        .into_iter()
        .filter(|state| *state == DayState::Served || count(*state) > 0)
        .map(|state| {
            let sign = match (one, state) {
                (true, _) => Sign::Day(state),
                (false, DayState::Served) => Sign::Line(pen(WATER, 4.0)),
                (false, _) => Sign::Mark(state),
            };
            (sign, format!("{}: {}", state.word(), counted(count(state), "day")))
        })
        .collect();
    let mut next = legend(&mut paper, (10.0, next + 4.0), 490.0, &items);
    let mut notes = counted_from(run);
    if !one {
        notes.push_str(" One row a tank year; the numbers on the right are its days of shortfall.");
    }
    notes.push_str(&format!(
        " A day is short when more than {:.1} % of its draw is{}.",
        100.0 * run.plan.tank.tolerance,
        if run.delivery.is_some() { ", in all or at one hydrant" } else { "" }
    ));
    if !left_out.is_empty() {
        notes.push(' ');
        notes.push_str(&left_out);
    }
    for line in broken(&notes, 490.0, SMALL, 3) {
        paper.words((10.0, next), SMALL, Anchor::Start, &line);
        next += 10.0;
    }
    let title = title(run, count(DayState::PartlyShort), count(DayState::NothingServed));
    let alternative = format!(
        "A calendar in which each day is marked as served, partly short, a herd got nothing, or without stock. \
         {title}.{}",
        listed(run)
    );
    Ok(finished("calendar", title, alternative, &paper.cut_to(next - 4.0)))
}

/// Twelve rows of months; returns where the next line would be.
fn squares(paper: &mut Paper, run: &Run, years: &[Year<'_>]) -> f64 {
    const LEFT: f64 = 36.0;
    const TOP: f64 = 14.0;
    const CELL: (f64, f64) = (13.6, 9.4);
    let first_month = run.outcome.tank_year_month;
    for number in 1..=31_u8 {
        let x = LEFT + CELL.0 * (f64::from(number) - 0.5);
        paper.tinted((x, TOP - 3.5), SMALL, Anchor::Middle, FAINT, &number.to_string());
    }
    for step in 0..12_u8 {
        let this = (first_month - 1 + step) % 12 + 1;
        let y = TOP + CELL.1 * f64::from(step);
        paper.words((LEFT - 6.0, y + 7.2), SMALL, Anchor::End, month(this));
        let short = run.months[usize::from(this) - 1].shortfall_days;
        if short > 0.0 {
            let x = LEFT + 31.0 * CELL.0 + 5.0;
            paper.words((x, y + 7.2), SMALL, Anchor::Start, &format!("{short:.0} short"));
        }
    }
    for at in years.iter().flat_map(|y| &y.days) {
        let date = run.calendar.days()[*at];
        let row = f64::from((date.month + 12 - first_month) % 12);
        let (x, y) = (LEFT + CELL.0 * (f64::from(date.day) - 1.0), TOP + CELL.1 * row);
        day(paper, area(x + 1.2, y + 0.9, CELL.0 - 2.4, CELL.1 - 1.8), run.days[*at].state());
    }
    TOP + 12.0 * CELL.1 + 10.0
}

/// One row a tank year; returns where the next line would be.
fn strips(paper: &mut Paper, run: &Run, years: &[Year<'_>]) -> f64 {
    const TOP: f64 = 6.0;
    let row = if years.len() > ROOMY { 8.0 } else { 13.0 };
    let left = name_room(years).max(30.0) + 8.0;
    let wide = 500.0 - left - 44.0;
    let first_month = run.outcome.tank_year_month;
    let bottom = TOP + row * f(years.len());
    month_axis(paper, (left, wide), (TOP, bottom), first_month);
    let one = wide / LONGEST;
    for (at, year) in years.iter().enumerate() {
        let base = TOP + row * f(at + 1) - 1.0;
        // Days with stock draw one band a stretch, not one a day.
        let mut band: Option<(f64, f64)> = None;
        let mut bands = Vec::new();
        for day in &year.days {
            let x = left + one * place(run.calendar.days()[*day], first_month);
            if run.days[*day].state() == DayState::NoStock {
                bands.extend(band.take());
            } else if let Some((_, end)) = band.as_mut().filter(|(start, _)| x > *start) {
                *end = x + one;
            } else {
                bands.extend(band.replace((x, x + one)));
            }
        }
        bands.extend(band);
        for (from, to) in bands {
            paper.rect(area(from, base - 4.0, to - from, 4.0), WATER, None);
        }
        marks(paper, run, year, area(left, base - (row - 2.0), wide, row - 2.0));
        paper.line((left, base), (left + wide, base), pen(INK, 0.4));
        paper.words((left - 4.0, base - 2.5), SMALL, Anchor::End, &year.name);
        let short = year.counts.shortfall_days;
        let text = if short == 0 { "none".to_owned() } else { counted(short, "day") };
        paper.words((left + wide + 4.0, base - 2.5), SMALL, Anchor::Start, &text);
    }
    bottom + 24.0
}

fn title(run: &Run, partly: usize, nothing: usize) -> String {
    let counts = &run.outcome.counts;
    if counts.stock_days == 0 {
        return "No stock draws water on any day of this record".to_owned();
    }
    if counts.shortfall_days == 0 {
        return format!("The herd has its water on all {} with stock", counted(counts.stock_days, "day"));
    }
    format!(
        "Of {} with stock, {} short{}: {partly} in part, {nothing} on which a herd got nothing",
        counted(counts.stock_days, "day"),
        if counts.shortfall_days == 1 { "1 is".to_owned() } else { format!("{} are", counts.shortfall_days) },
        when_short(run)
    )
}

/// The days of shortfall by name, as long as that is a list one can listen to.
fn listed(run: &Run) -> String {
    const MOST: usize = 31;
    let short: Vec<String> = years(run)
        .iter()
        .flat_map(|y| &y.days)
        .filter(|d| run.days[**d].shortfall)
        .map(|d| super::words::date(run, *d))
        .collect();
    if short.is_empty() || short.len() > MOST {
        String::new()
    } else {
        format!(" Short: {}.", short.join(", "))
    }
}
