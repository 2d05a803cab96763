//! The level of the days ahead over all years of a record.

use dryspell::ahead::{Ahead, Fan, YearAhead};
use dryspell::units::{Quantity, column_unit, column_value, show};

use super::PAGE;
use super::legend::{Bar, Sign, legend};
use super::words::f;
use crate::ahead::{Page, answer};
use crate::layout::day_month;
use crate::setting::axes::{Axes, Scale};
use crate::setting::paper::{Anchor, DEEP, INK, MESH, Paper, SMALL, WATER, area, dashed, pen};
use crate::setting::words::broken;

/// Left edge of what is drawn.
const LEFT: f64 = 48.0;
/// Its width.
const WIDE: f64 = 440.0;
/// Height of the level.
const HIGH: f64 = 190.0;
/// Height of the strip of years that are short.
const STRIP: f64 = 44.0;
/// The middle of the band in which eight of ten years lie.
const BAND: &str = "#7fb0d3";

/// The picture as SVG: lowest level of each day over the years as a fan, the driest year, and below it how many years are short on each day.
///
/// # Errors
/// What keeps it from being drawn.
pub fn days_ahead(p: &Page<'_>) -> Result<String, String> {
    let value = |m3: f64| column_value(m3, Quantity::Volume, p.system);
    let (found, days) = (p.written, p.today.days);
    let full_m3 = p.plan.all_tanks().full_m3();
    let mut paper = Paper::new(PAGE, 900);
    let mut top = 16.0;
    for line in broken(&answer(p), WIDE, SMALL + 1.5, 4) {
        paper.words((LEFT, top), SMALL + 1.5, Anchor::Start, &line);
        top += 12.0;
    }
    let axes = Axes {
        frame: area(LEFT, top, WIDE, HIGH),
        x: Scale::bare(0.0, f(days)),
        y: Scale::over(0.0, value(full_m3), 5),
        x_title: String::new(),
        y_title: format!("lowest level of the day, {}", column_unit(Quantity::Volume, p.system)),
        left: LEFT - 4.0,
        below: 0.0,
    };
    axes.draw(&mut paper, |_| Ok(()))?;
    let fans: Vec<Fan> = (0..days).filter_map(|at| found.fan(at)).collect();
    let edge =
        |of: &dyn Fn(&Fan) -> f64| -> Vec<(f64, f64)> { steps(&axes, fans.iter().map(|fan| value(of(fan)))) };
    let (least, most) = (edge(&|fan| fan.least), edge(&|fan| fan.most));
    between(&mut paper, &least, &most, WATER);
    let enough = fans.iter().all(|fan| fan.tenth.is_some() && fan.ninth.is_some());
    if enough {
        let low = edge(&|fan| fan.tenth.unwrap_or(fan.least));
        let high = edge(&|fan| fan.ninth.unwrap_or(fan.most));
        between(&mut paper, &low, &high, BAND);
    }
    if found.years.len() > 1 {
        paper.path(&edge(&|fan| fan.middle), pen(DEEP, 1.6));
    }
    if let Some(driest) = found.driest() {
        let level = steps(&axes, driest.days.iter().map(|day| value(day.lowest_m3)));
        paper.path(&level, if found.years.len() > 1 { dashed(INK, 1.0, "4 2") } else { pen(DEEP, 1.6) });
    }
    let full = value(full_m3);
    paper.line(axes.at(0.0, full), axes.at(f(days), full), dashed(INK, 0.9, "1.5 2"));
    let bottom = strip(&mut paper, p, &axes)?;
    let next = legend(&mut paper, (LEFT, bottom + 34.0), WIDE, &signs(p, enough));
    let svg = paper.cut_to(next).svg(&format!(
        "Lowest level of each day ahead over the years, and how many years are short on each day. {}",
        answer(p)
    ));
    Ok(svg)
}

/// A value for each day as a line of steps.
fn steps(axes: &Axes, values: impl Iterator<Item = f64>) -> Vec<(f64, f64)> {
    values.enumerate().flat_map(|(at, value)| [axes.at(f(at), value), axes.at(f(at + 1), value)]).collect()
}

fn between(paper: &mut Paper, low: &[(f64, f64)], high: &[(f64, f64)], fill: &str) {
    let shape: Vec<(f64, f64)> = low.iter().chain(high.iter().rev()).copied().collect();
    paper.shape(&shape, fill, None);
}

/// Years short on each day, and the dates; where it ends.
fn strip(paper: &mut Paper, p: &Page<'_>, above: &Axes) -> Result<f64, String> {
    let (found, days) = (p.written, p.today.days);
    let one = found.years.len() == 1;
    let axes = Axes {
        frame: area(LEFT, above.frame.y + HIGH + 14.0, WIDE, STRIP),
        x: Scale::bare(0.0, f(days)),
        y: if one { Scale::bare(0.0, 1.0) } else { Scale::over(0.0, f(found.years.len()), 2) },
        x_title: String::new(),
        y_title: if one { "short" } else { "years short" }.to_owned(),
        left: LEFT - 4.0,
        below: 0.0,
    };
    axes.draw(paper, |_| Ok(()))?;
    let bottom = axes.frame.y + STRIP;
    for at in 0..days {
        let short = short_on(found, at);
        if short > 0 {
            let (x, y) = axes.at(f(at), f(short));
            paper.rect(area(x, y, axes.across(f(at + 1)) - x, bottom - y), INK, None);
        }
    }
    let step = if days > 60 {
        20
    } else if days > 12 {
        5
    } else {
        1
    };
    for at in (0..days).step_by(step) {
        let x = axes.across(f(at) + 0.5);
        paper.line((x, bottom), (x, bottom + 3.0), pen(INK, 0.5));
        paper.line((x, above.frame.y), (x, above.frame.y + HIGH), pen(MESH, 0.4));
        paper.words((x, bottom + 11.0), SMALL, Anchor::Middle, &day_month(p.today.on.later(at)));
    }
    Ok(bottom)
}

/// Years in which a day is short.
fn short_on(found: &Ahead, at: usize) -> usize {
    let short = |year: &&YearAhead| year.days.get(at).is_some_and(|day| day.shortfall);
    found.years.iter().filter(short).count()
}

fn signs(p: &Page<'_>, enough: bool) -> Vec<(Sign, String)> {
    let mut signs = Vec::new();
    if p.written.years.len() > 1 {
        let years = p.written.years.len();
        signs.push((Sign::Bar(Bar { fill: WATER, hatch: None }), format!("all {years} years")));
        if enough {
            signs.push((Sign::Bar(Bar { fill: BAND, hatch: None }), "eight years in ten".to_owned()));
        }
        signs.push((Sign::Line(pen(DEEP, 1.6)), "half of the years lie below".to_owned()));
        if let Some(driest) = p.written.driest() {
            let name = format!("the driest year, from {}", driest.first.year);
            signs.push((Sign::Line(dashed(INK, 1.0, "4 2")), name));
        }
    } else {
        signs.push((Sign::Line(pen(DEEP, 1.6)), "lowest level of the day".to_owned()));
    }
    let full = show(p.plan.all_tanks().full_m3(), Quantity::Volume, p.system);
    signs.push((Sign::Line(dashed(INK, 0.9, "1.5 2")), format!("full, {full}")));
    signs
}
