//! The spell that asks for most storage, day by day.

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_unit, column_value, counted, show};

use super::axes::{Axes, Scale};
use super::legend::{Bar, Sign, legend};
use super::paper::{Anchor, DEEP, INK, Paper, SMALL, WATER, WHITE, area, pen};
use super::words::{broken, date, f};
use super::{PAGE, finished};
use crate::present::page::model::Chart;

/// Days shown before the spell begins.
const BEFORE: usize = 2;
/// Most days shown.
const MOST_DAYS: usize = 60;
/// Left edge of what is drawn, and its width.
const LEFT: f64 = 46.0;
const WIDE: f64 = 460.0;

/// Sun, water and level by day, from two days before the critical spell until it is made good; `None` where there is none.
///
/// # Errors
/// What plotters refuses.
pub(crate) fn critical_spell(run: &Run, units: System) -> Result<Option<Chart>, String> {
    let Some(critical) = run.storage.critical else { return Ok(None) };
    let n = run.calendar.days().len();
    let began = critical.began / HOURS_PER_DAY;
    // A spell that goes on past the end of a year that repeats ends in its beginning.
    let after = |hour: usize| {
        let day = hour / HOURS_PER_DAY;
        if day >= began { day - began } else { day + n - began }
    };
    let length = after(critical.refilled.unwrap_or(critical.deepest)) + 1;
    let before = if run.calendar.is_one_year() { BEFORE } else { BEFORE.min(began) };
    let shown = (length + before).min(MOST_DAYS).min(n);
    let days: Vec<usize> = (0..shown).map(|i| (began + n - before + i) % n).collect();

    let value = |m3: f64| column_value(m3, Quantity::Volume, units);
    let unit = column_unit(Quantity::Volume, units);
    let most = |get: fn(&dryspell::reliability::periods::DayFigures) -> f64| {
        days.iter().map(|d| get(&run.days[*d])).fold(0.0, f64::max)
    };
    let x = Scale::bare(0.0, f(shown));
    let panel = |top: f64, high: f64, y: Scale, title: &str| Axes {
        frame: area(LEFT, top, WIDE, high),
        x: x.clone(),
        y,
        x_title: String::new(),
        y_title: title.to_owned(),
        left: LEFT,
        below: 0.0,
    };
    let sun = panel(8.0, 26.0, Scale::over(0.0, most(|d| d.plane_kwh_per_m2), 3), "kWh/m²");
    let water = panel(
        42.0,
        52.0,
        Scale::over(0.0, value(most(|d| d.offered_m3.max(d.wanted_m3))), 4),
        &format!("{unit} a day"),
    );
    let level =
        panel(102.0, 42.0, Scale::over(0.0, value(run.plan.tank.capacity_m3), 4), &format!("stored, {unit}"));
    let mut paper = Paper::new(PAGE, 400);
    for axes in [&sun, &water, &level] {
        axes.draw(&mut paper, |_| Ok(()))?;
    }
    let looks = [
        Bar { fill: WHITE, hatch: false },
        Bar { fill: WATER, hatch: false },
        Bar { fill: WHITE, hatch: true },
    ];
    let bar = |axes: &Axes, at: usize, from: f64, to: f64, low: f64, high: f64| {
        let (left, right) = (axes.across(f(at) + from), axes.across(f(at) + to));
        area(left, axes.up(high), right - left, axes.up(low) - axes.up(high))
    };
    for (at, day) in days.iter().enumerate() {
        let d = &run.days[*day];
        looks[0].draw(&mut paper, bar(&sun, at, 0.2, 0.8, 0.0, d.plane_kwh_per_m2));
        looks[1].draw(&mut paper, bar(&water, at, 0.12, 0.88, 0.0, value(d.offered_m3)));
        if d.short_m3 > 0.0 {
            let (low, high) = (value(d.wanted_m3 - d.short_m3), value(d.wanted_m3));
            looks[2].draw(&mut paper, bar(&water, at, 0.3, 0.7, low, high));
        }
        if d.wanted_m3 > 0.0 {
            let up = water.up(value(d.wanted_m3));
            paper.line((water.across(f(at) + 0.02), up), (water.across(f(at) + 0.98), up), pen(INK, 1.6));
        }
    }
    let line: Vec<(f64, f64)> =
        days.iter().enumerate().map(|(at, day)| level.at(f(at + 1), value(run.days[*day].end_m3))).collect();
    paper.path(&line, pen(DEEP, 1.4));
    let bottom = level.frame.y + level.frame.height;
    let every = shown.div_ceil(12).max(1);
    for (at, day) in days.iter().enumerate().filter(|(at, _)| at % every == 0) {
        let place = level.across(f(at) + 0.5);
        paper.line((place, bottom), (place, bottom + 3.0), pen(INK, 0.5));
        paper.words(
            (place, bottom + 10.0),
            SMALL,
            Anchor::Middle,
            &super::words::day_month(run.calendar.days()[*day]),
        );
    }
    let mut next = legend(
        &mut paper,
        (LEFT, bottom + 24.0),
        WIDE,
        &[
            (Sign::Bar(looks[0]), "sun on the panels' plane".to_owned()),
            (Sign::Bar(looks[1]), "what the pump could lift".to_owned()),
            (Sign::Line(pen(INK, 1.6)), "wanted by the stock".to_owned()),
            (Sign::Bar(looks[2]), "short".to_owned()),
            (Sign::Line(pen(DEEP, 1.4)), "usable water at midnight".to_owned()),
        ],
    );
    if length + before > shown {
        let text = format!(
            "Cut after {}: the spell lasts {} in all.",
            counted(shown, "day"),
            counted(length, "day")
        );
        for line in broken(&text, WIDE, SMALL, 2) {
            paper.words((LEFT, next), SMALL, Anchor::Start, &line);
            next += 10.0;
        }
    }
    // As in the table of days: the whole length is told, whatever is shown.
    let refilled = critical.refilled.map_or_else(
        || "is not made good".to_owned(),
        |h| format!("is made good on {}", date(run, h / HOURS_PER_DAY)),
    );
    let needed = run.storage.storage_m3.map_or_else(
        || "no tank is enough".to_owned(),
        |m3| format!("it asks for {} of storage", show(m3, Quantity::Volume, units)),
    );
    let title = format!(
        "The spell that tries the tank most began on {}, was deepest on {} and {refilled}; {needed}",
        date(run, began),
        date(run, critical.deepest / HOURS_PER_DAY)
    );
    let alternative = format!(
        "Three rows by day: sun on the panels' plane, what the pump could lift against what the stock wants with what is short, and \
         usable water at midnight. {title}."
    );
    Ok(Some(finished("critical_spell", title, alternative, &paper.cut_to(next - 4.0))))
}
