//! The critical spell, day by day.

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::reliability::periods::DayState;
use dryspell::reliability::storage::CriticalSpell;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_unit, column_value, counted, show};

use super::legend::{Bar, Sign, legend, mark};
use super::words::{date, f};
use super::{PAGE, finished};
use crate::layout::day_month;
use crate::model::Chart;
use crate::setting::axes::{Axes, Scale};
use crate::setting::paper::{Anchor, DEEP, INK, MESH, Paper, SMALL, WATER, WHITE, area, dashed, pen};
use crate::setting::words::{broken, width};
use dryspell::results::snow_on_panels;

/// Most days that are drawn.
const MOST_DAYS: usize = 60;
/// Days before the spell.
const BEFORE: usize = 2;
/// Days after the deepest one, where the spell is too long to be drawn whole.
const AFTER_DEEPEST: usize = 7;
/// Left edge of what is drawn.
const LEFT: f64 = 48.0;
/// Its width.
const WIDE: f64 = 456.0;

/// Days of the record that are drawn, in order, and what was left out.
struct Window {
    days: Vec<usize>,
    cut: bool,
    /// Days of the whole spell; to the record's end where it was not made up.
    spell_days: usize,
    /// Places in `days` of what is marked.
    marks: Vec<(usize, &'static str)>,
}

/// Sun, water available against demand, and the level at each day's end, from two days before the critical spell until it is made
/// good; `None` where there is no such spell.
///
/// # Errors
/// What plotters refuses.
pub(crate) fn critical_spell(run: &Run, units: System) -> Result<Option<Chart>, String> {
    let Some(spell) = run.storage.critical else { return Ok(None) };
    let window = window(run, spell);
    let n = f(window.days.len()).max(1.0);
    let value = |m3: f64| column_value(m3, Quantity::Volume, units);
    let unit = column_unit(Quantity::Volume, units);
    let most = |get: &dyn Fn(usize) -> f64| window.days.iter().map(|d| get(*d)).fold(0.0, f64::max);

    let mut paper = Paper::new(PAGE, 500);
    let names = mark_rows(&window, n);
    let top = 6.0 + 9.0 * f(names.iter().map(|(_, _, row)| row + 1).max().unwrap_or(0));
    let axes = |y: f64, high: f64, scale: Scale, title: String| Axes {
        frame: area(LEFT, y, WIDE, high),
        x: Scale::bare(0.0, n),
        y: scale,
        x_title: String::new(),
        y_title: title,
        left: LEFT - 4.0,
        below: 0.0,
    };
    let sun =
        axes(top, 26.0, Scale::over(0.0, most(&|d| run.days[d].plane_kwh_per_m2), 3), "kWh/m²".to_owned());
    let water_top = most(&|d| value(run.days[d].available_m3.max(run.days[d].demand_m3)));
    let water = axes(top + 36.0, 52.0, Scale::over(0.0, water_top, 4), format!("{unit} a day"));
    let level = axes(
        top + 98.0,
        42.0,
        Scale::up_to(value(run.plan.all_tanks().capacity_m3), 4),
        format!("{unit} left"),
    );
    for axes in [&sun, &water, &level] {
        axes.draw(&mut paper, |_| Ok(()))?;
    }
    let bottom = level.up(0.0);
    let strip = area(LEFT, bottom + 4.0, WIDE, 9.0);
    for (place, _, _) in &names {
        let x = sun.across(f(*place) + 0.5);
        paper.line((x, top - 1.0), (x, bottom), dashed(INK, 0.5, "1.5 2"));
    }
    let looks = Looks::new();
    for (at, day) in window.days.iter().enumerate() {
        let figures = &run.days[*day];
        let bar = |axes: &Axes, from: f64, to: f64, high: f64| {
            let (left, right) = (axes.across(f(at) + from), axes.across(f(at) + to));
            area(left, axes.up(high), right - left, axes.up(0.0) - axes.up(high))
        };
        looks.sun.draw(&mut paper, bar(&sun, 0.15, 0.85, figures.plane_kwh_per_m2));
        looks.available.draw(&mut paper, bar(&water, 0.15, 0.85, value(figures.available_m3)));
        looks.level.draw(&mut paper, bar(&level, 0.15, 0.85, value(figures.end_m3)));
        let x = strip.x + WIDE * f(at) / n;
        mark(&mut paper, area(x + 0.1 * WIDE / n, strip.y, 0.8 * WIDE / n, strip.height), figures.state());
    }
    let demand: Vec<(f64, f64)> = window
        .days
        .iter()
        .enumerate()
        .flat_map(|(at, day)| {
            let demand = value(run.days[*day].demand_m3);
            [water.at(f(at), demand), water.at(f(at) + 1.0, demand)]
        })
        .collect();
    paper.path(&demand, pen(INK, 1.7));
    let full = value(run.plan.all_tanks().full_m3());
    paper.line(level.at(0.0, full), level.at(n, full), dashed(INK, 0.8, "5 2.5"));
    paper.rect(strip, "none", Some(pen("#9a9a9a", 0.5)));
    paper.words((LEFT - 4.0, strip.y + 7.0), SMALL, Anchor::End, "short");
    for (place, text, row) in &names {
        let (x, anchor) = beside(sun.across(f(*place) + 0.5), width(text, SMALL, false));
        paper.words((x, top - 3.0 - 9.0 * f(*row)), SMALL, anchor, text);
    }
    days_axis(&mut paper, run, &window, strip.y + strip.height);

    let mut next = legend(
        &mut paper,
        (LEFT, strip.y + strip.height + 24.0),
        WIDE,
        &[
            (Sign::Bar(looks.sun), "sun on the panels' plane, a day".to_owned()),
            (Sign::Bar(looks.available), "available".to_owned()),
            (Sign::Line(pen(INK, 1.7)), "demand".to_owned()),
            (Sign::Bar(looks.level), "level at midnight".to_owned()),
            (
                Sign::Line(dashed(INK, 0.8, "5 2.5")),
                format!("full, {}", show(run.plan.all_tanks().full_m3(), Quantity::Volume, units)),
            ),
            (Sign::Mark(DayState::PartlyShort), "partly short".to_owned()),
            (Sign::Mark(DayState::NothingServed), "a herd got nothing".to_owned()),
        ],
    );
    for line in broken(&note(run, &window), WIDE, SMALL, 3) {
        paper.words((LEFT, next), SMALL, Anchor::Start, &line);
        next += 10.0;
    }
    let title = title(run, spell, &window, units);
    let alternative = format!(
        "Bars by day for {}: sun on the panels, water available against demand, and the level at the day's end. \
         {title}.{}",
        counted(window.days.len(), "day"),
        lowest(run, &window, units)
    );
    Ok(Some(finished("critical_spell", title, alternative, &paper.cut_to(next - 4.0))))
}

struct Looks {
    sun: Bar,
    available: Bar,
    level: Bar,
}

impl Looks {
    const fn new() -> Self {
        Self {
            sun: Bar { fill: WHITE, hatch: None },
            available: Bar { fill: WATER, hatch: None },
            level: Bar { fill: DEEP, hatch: None },
        }
    }
}

fn window(run: &Run, spell: CriticalSpell) -> Window {
    let all = run.days.len();
    let wraps = run.calendar.is_one_year();
    let day = |hour: usize| hour / HOURS_PER_DAY;
    let (began, deepest) = (day(spell.began), day(spell.deepest));
    // Days from one to another; over the year's end where the year repeats.
    let on =
        |from: usize, to: usize| if to >= from || !wraps { to.saturating_sub(from) } else { to + all - from };
    let until = match spell.refilled {
        Some(refilled) => on(began, day(refilled)),
        None if wraps => (all - 1).max(on(began, deepest)),
        None => all.saturating_sub(began + 1),
    };
    let before = if wraps { BEFORE.min(all.saturating_sub(until + 1)) } else { BEFORE.min(began) };
    let whole = before + until + 1;
    let deep = before + on(began, deepest);
    let cut = whole > MOST_DAYS;
    // Too long a spell: its beginning, or where its deepest day lies beyond that, the days up to a week after it.
    let skip = if cut && deep + AFTER_DEEPEST >= MOST_DAYS {
        (deep + AFTER_DEEPEST + 1).min(whole) - MOST_DAYS
    } else {
        0
    };
    let first = began + if wraps { all } else { 0 } - before;
    let days: Vec<usize> =
        (skip..whole).take(MOST_DAYS).map(|at| if wraps { (first + at) % all } else { first + at }).collect();
    let mut marks = vec![(before, "began"), (deep, "deepest")];
    marks.extend(spell.refilled.map(|_| (before + until, "refilled")));
    let marks = marks
        .into_iter()
        .filter_map(|(at, what)| Some((at.checked_sub(skip)?, what)))
        .filter(|(at, _)| *at < days.len())
        .collect();
    Window { days, cut, spell_days: until + 1, marks }
}

/// A label's point and anchor, so that it stays between the edges.
fn beside(x: f64, wide: f64) -> (f64, Anchor) {
    if x - 0.5 * wide < LEFT {
        (x.max(LEFT), Anchor::Start)
    } else if x + 0.5 * wide > LEFT + WIDE {
        (x.min(LEFT + WIDE), Anchor::End)
    } else {
        (x, Anchor::Middle)
    }
}

/// The marked days, their words, and the row that keeps the words apart.
fn mark_rows(window: &Window, n: f64) -> Vec<(usize, &'static str, usize)> {
    let mut taken: Vec<Vec<(f64, f64)>> = Vec::new();
    window
        .marks
        .iter()
        .map(|(place, text)| {
            let wide = width(text, SMALL, false) + 6.0;
            let (x, anchor) = beside(LEFT + WIDE * (f(*place) + 0.5) / n, wide);
            let from = match anchor {
                Anchor::Start => x,
                Anchor::Middle => x - 0.5 * wide,
                Anchor::End => x - wide,
            };
            let free = |row: &Vec<(f64, f64)>| row.iter().all(|(a, b)| from + wide <= *a || from >= *b);
            let row = taken.iter().position(free).unwrap_or(taken.len());
            if row == taken.len() {
                taken.push(Vec::new());
            }
            taken[row].push((from, from + wide));
            (*place, *text, row)
        })
        .collect()
}

/// Dates below the days: of every day, or of each second, third and so on where there is no more room.
fn days_axis(paper: &mut Paper, run: &Run, window: &Window, top: f64) {
    const GAP: f64 = 8.0;
    let one = WIDE / f(window.days.len()).max(1.0);
    let texts: Vec<String> =
        window.days.iter().map(|day| day_month(run.calendar.days()[*day].month_day())).collect();
    let widest = texts.iter().map(|text| width(text, SMALL, false)).fold(0.0, f64::max);
    let step = (1..=texts.len()).find(|step| one * f(*step) >= widest + GAP).unwrap_or(texts.len().max(1));
    for (at, text) in texts.iter().enumerate() {
        let x = LEFT + one * f(at);
        let middle = x + 0.5 * one;
        paper.line((x, top), (x, top + 2.0), pen(MESH, 0.5));
        if at % step == 0 && middle + 0.5 * width(text, SMALL, false) <= LEFT + WIDE + 6.0 {
            paper.line((middle, top), (middle, top + 3.0), pen(INK, 0.5));
            paper.words((middle, top + 10.0), SMALL, Anchor::Middle, text);
        }
    }
}

fn note(run: &Run, window: &Window) -> String {
    let mut notes = String::new();
    if window.cut {
        notes = format!("Only {} of {} are drawn. ", window.days.len(), counted(window.spell_days, "day"));
    }
    notes.push_str(
        "From the hour in which demand first exceeds available water until the deficit is made up (sequent peak).",
    );
    let snow: Vec<String> = window
        .days
        .iter()
        .filter(|day| snow_on_panels(run, **day))
        .map(|day| day_month(run.calendar.days()[*day].month_day()))
        .collect();
    if !snow.is_empty() {
        notes.push_str(&format!(" Snow on the panels: {}.", snow.join(", ")));
    }
    if run.delivery.is_some() {
        notes.push_str(" Demand is what the troughs request of the tank.");
    }
    if !run.inflows.is_empty() {
        notes.push_str(" Other inflows are not drawn; they are in the table.");
    }
    notes
}

fn title(run: &Run, spell: CriticalSpell, window: &Window, units: System) -> String {
    let on = |hour: usize| date(run, hour / HOURS_PER_DAY);
    let end = match spell.refilled {
        Some(hour) => {
            format!("lasts {}, from {} to {}", counted(window.spell_days, "day"), on(spell.began), on(hour))
        }
        None => format!("begins on {} and is not made up", on(spell.began)),
    };
    let volume = |m3: f64| show(m3, Quantity::Volume, units);
    let needs = match run.storage.storage_m3 {
        Some(m3) => format!(
            "bridging every hour of it takes {} of usable water, and the tank holds {}{}",
            volume(m3),
            volume(run.plan.all_tanks().full_m3()),
            if run.plan.all_tanks().float_stop_m3.is_some() { " up to the float stop" } else { "" }
        ),
        None if !run.tanks.is_empty() => {
            format!("all tanks together hold {} of usable water", volume(run.plan.all_tanks().full_m3()))
        }
        None => format!(
            "no tank is enough: supply is {} a year too small",
            volume(run.storage.missing_m3 / run.calendar.years())
        ),
    };
    format!("The critical spell {end}; {needs}")
}

fn lowest(run: &Run, window: &Window, units: System) -> String {
    let Some(low) = window
        .days
        .iter()
        .copied()
        .reduce(|a, b| if run.days[b].end_m3 < run.days[a].end_m3 { b } else { a })
    else {
        return String::new();
    };
    format!(
        " The lowest level at a day's end is {}, on {}.",
        show(run.days[low].end_m3, Quantity::Volume, units),
        date(run, low)
    )
}
