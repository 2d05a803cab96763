//! Usable water through the year.

use dryspell::calendar::Day;
use dryspell::reliability::periods::DayState;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_unit, column_value, counted, show};

use super::legend::{Bar, Sign, legend};
use super::words::date;
use super::years::{
    LONGEST, Year, counted_from, hardest, marks, month_axis, name_room, place, rows, span, when_short, years,
};
use super::{PAGE, finished};
use crate::model::Chart;
use crate::setting::axes::{Axes, Scale};
use crate::setting::paper::{Anchor, DEEP, INK, Paper, SMALL, WATER, WHITE, area, dashed, pen};
use crate::setting::words::broken;

/// Left edge of what is drawn.
const LEFT: f64 = 48.0;
/// Its width.
const WIDE: f64 = 458.0;
/// Most years that are drawn beside the one above; the calendar, which follows, has them all.
const MOST_ROWS: usize = 6;
/// Height of one of many years.
const ROW: f64 = 13.0;

/// The level of the tank: lowest and highest of each day, with the days of shortfall.
///
/// # Errors
/// What plotters refuses.
pub(crate) fn tank_level(run: &Run, units: System) -> Result<Chart, String> {
    let value = |m3: f64| column_value(m3, Quantity::Volume, units);
    let years = years(run);
    let shown = hardest(run, &years);
    let first_month = run.outcome.tank_year_month;
    let mut paper = Paper::new(PAGE, 900);
    let axes = Axes {
        frame: area(LEFT, 8.0, WIDE, 64.0),
        x: Scale::bare(0.0, LONGEST),
        y: Scale::over(0.0, value(run.plan.all_tanks().capacity_m3), 5),
        x_title: String::new(),
        y_title: format!("usable water, {}", column_unit(Quantity::Volume, units)),
        left: LEFT - 4.0,
        below: 0.0,
    };
    axes.draw(&mut paper, |_| Ok(()))?;
    let bottom = axes.frame.y + axes.frame.height;
    let strip = area(LEFT, bottom + 4.0, WIDE, 10.0);
    month_axis(&mut paper, (LEFT, WIDE), (axes.frame.y, strip.y + strip.height), first_month);
    paper.rect(strip, "none", Some(pen("#9a9a9a", 0.5)));
    paper.words((LEFT - 4.0, strip.y + 7.5), SMALL, Anchor::End, "short");
    if let Some(year) = years.get(shown) {
        let at = |day: usize| place(date_of(run, day), first_month);
        for stretch in stretches(run, year, first_month) {
            let edge = |level: fn(&Run, usize) -> f64| -> Vec<(f64, f64)> {
                stretch
                    .iter()
                    .flat_map(|d| [(at(*d), level(run, *d)), (at(*d) + 1.0, level(run, *d))])
                    .map(|(x, m3)| axes.at(x, value(m3)))
                    .collect()
            };
            let low = edge(|run, d| run.days[d].lowest_m3);
            let high = edge(|run, d| run.days[d].highest_m3);
            let floor: Vec<(f64, f64)> = low.iter().map(|(x, _)| (*x, bottom)).collect();
            let below: Vec<(f64, f64)> = low.iter().copied().chain(floor.into_iter().rev()).collect();
            paper.shape(&below, WATER, None);
            let band: Vec<(f64, f64)> = low.iter().copied().chain(high.into_iter().rev()).collect();
            paper.shape(&band, "#7fb0d3", None);
            paper.path(&low, pen(DEEP, 1.1));
        }
        marks(&mut paper, run, year, strip);
    }
    let full = value(run.plan.all_tanks().full_m3());
    paper.line(axes.at(0.0, full), axes.at(LONGEST, full), dashed(INK, 0.9, "5 2.5"));
    let mut items = vec![
        (Sign::Line(pen(DEEP, 1.4)), "lowest level of the day".to_owned()),
        (Sign::Bar(Bar { fill: "#7fb0d3", hatch: None }), "lowest to highest".to_owned()),
        (
            Sign::Line(dashed(INK, 0.9, "5 2.5")),
            format!("full, {}", show(run.plan.all_tanks().full_m3(), Quantity::Volume, units)),
        ),
    ];
    if run.outcome.counts.shortfall_days > 0 {
        items.push((Sign::Mark(DayState::PartlyShort), DayState::PartlyShort.word().to_owned()));
        items.push((Sign::Mark(DayState::NothingServed), DayState::NothingServed.word().to_owned()));
    }
    let mut next = legend(&mut paper, (LEFT, strip.y + strip.height + 24.0), WIDE, &items);
    // Of one year the calendar, which follows, says it.
    let mut notes = if years.len() > 1 { counted_from(run) } else { String::new() };
    if years.len() > 1
        && let Some(year) = years.get(shown)
    {
        notes.push_str(&format!(
            " Above: the tank year {}, {}. Below: other tank years over the same months, from empty to full, with their \
             days of shortfall.",
            if year.counts.shortfall_days > 0 { "with most days of shortfall" } else { "with the lowest level" },
            span(run, year)
        ));
    }
    let all = years.len();
    let (kept, left_out) = rows(years, MOST_ROWS);
    if !left_out.is_empty() {
        notes.push(' ');
        notes.push_str(&left_out);
    }
    for line in broken(&notes, WIDE, SMALL, 4) {
        paper.words((LEFT, next), SMALL, Anchor::Start, &line);
        next += 10.0;
    }
    if all > 1 {
        next = strips(&mut paper, run, &kept, next - 2.0);
    }
    let title = title(run, units);
    let alternative = format!(
        "Usable water in the tank by day, lowest and highest, over a year; below it a strip that marks each day of \
         shortfall. {title}. The tank is full at {}.",
        show(run.plan.all_tanks().full_m3(), Quantity::Volume, units)
    );
    Ok(finished("tank_level", title, alternative, &paper.cut_to(next - 4.0)))
}

/// Whose level it is; `the` with a capital at the beginning of a sentence.
fn whose(run: &Run, the: &str) -> String {
    if run.tanks.is_empty() { format!("{the} tank's ") } else { format!("{the} tanks' common ") }
}

fn date_of(run: &Run, day: usize) -> Day {
    run.calendar.days()[day]
}

/// Days that follow each other on the axis: a gap, such as 29 February, breaks no line; the year's end does.
fn stretches(run: &Run, year: &Year<'_>, first_month: u8) -> Vec<Vec<usize>> {
    let mut out: Vec<Vec<usize>> = Vec::new();
    let mut before = f64::INFINITY;
    for day in &year.days {
        let here = place(date_of(run, *day), first_month);
        match out.last_mut() {
            Some(last) if here > before => last.push(*day),
            _ => out.push(vec![*day]),
        }
        before = here;
    }
    out
}

/// One small strip a tank year; returns where the next line would be.
fn strips(paper: &mut Paper, run: &Run, years: &[Year<'_>], top: f64) -> f64 {
    let first_month = run.outcome.tank_year_month;
    let left = name_room(years).max(LEFT - 6.0) + 6.0;
    let wide = LEFT + WIDE - left - 44.0;
    let x = |place: f64| left + wide * place / LONGEST;
    let full = run.plan.all_tanks().full_m3();
    let bottom = top + ROW * super::words::f(years.len());
    month_axis(paper, (left, wide), (top, bottom), first_month);
    for (at, year) in years.iter().enumerate() {
        let base = top + ROW * super::words::f(at + 1) - 1.0;
        let high = ROW - 2.0;
        let up = |m3: f64| base - high * (m3 / full).clamp(0.0, 1.0);
        for stretch in stretches(run, year, first_month) {
            let places: Vec<(f64, f64)> = stretch
                .iter()
                .map(|d| (place(date_of(run, *d), first_month), run.days[*d].lowest_m3))
                .collect();
            let edge: Vec<(f64, f64)> =
                places.iter().flat_map(|(p, m3)| [(x(*p), up(*m3)), (x(p + 1.0), up(*m3))]).collect();
            let floor: Vec<(f64, f64)> = edge.iter().map(|(x, _)| (*x, base)).collect();
            let shape: Vec<(f64, f64)> = edge.iter().copied().chain(floor.into_iter().rev()).collect();
            paper.shape(&shape, WATER, None);
            paper.path(&edge, pen(DEEP, 0.5));
        }
        paper.line((left, base), (left + wide, base), pen(INK, 0.4));
        marks(paper, run, year, area(left, base - high, wide, high));
        paper.words((left - 4.0, base - 2.5), SMALL, Anchor::End, &year.name);
        let short = year.counts.shortfall_days;
        let text = if short == 0 { "none".to_owned() } else { counted(short, "day") };
        paper.words((left + wide + 4.0, base - 2.5), SMALL, Anchor::Start, &text);
    }
    paper.line((left, top), (left + wide, top), pen(WHITE, 0.1));
    bottom + 18.0
}

fn title(run: &Run, units: System) -> String {
    let counts = &run.outcome.counts;
    let mut low = 0;
    for day in 1..run.days.len() {
        if run.days[day].lowest_m3 < run.days[low].lowest_m3 {
            low = day;
        }
    }
    let level = run.days.get(low).map_or(0.0, |d| d.lowest_m3);
    let lowest = show(level, Quantity::Volume, units);
    if counts.shortfall_days > 0 {
        let tank = if level <= 0.0 {
            "the tank runs empty".to_owned()
        } else {
            format!("{}lowest level is {lowest}, on {}", whose(run, "the"), date(run, low))
        };
        format!("The herd goes short on {}{}; {tank}", counted(counts.shortfall_days, "day"), when_short(run))
    } else if level <= 0.0 {
        format!("The tank is empty at its lowest, on {}, without a day of shortfall", date(run, low))
    } else {
        format!(
            "{}lowest level is {lowest}, on {}; there is no day of shortfall",
            whose(run, "The"),
            date(run, low)
        )
    }
}
