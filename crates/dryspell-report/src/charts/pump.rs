//! What the pump gives against power, at the head of its highest flow.

use dryspell::curve::power_curve;
use dryspell::simulate::Run;
use dryspell::supply::Limit;
use dryspell::units::{Quantity, System, column_unit, column_value, show};
use plotters::prelude::*;

use super::legend::{Sign, legend};
use super::words::date;
use super::{PAGE, finished};
use crate::model::Chart;
use crate::setting::axes::{Axes, Scale};
use crate::setting::ink::colour;
use crate::setting::paper::{Anchor, DEEP, FAINT, INK, Paper, SMALL, area, dashed, pen};
use crate::setting::words::broken;

/// Panels that give more than so many times the pump's greatest power are named, not drawn to scale.
const FAR: f64 = 1.6;

/// Flow against power at the head of the highest flow, with that hour marked.
///
/// # Errors
/// A pump that cannot be made ready (the run would have failed before), or what plotters refuses.
pub(crate) fn pump(run: &Run, units: System) -> Result<Chart, String> {
    let supply = &run.plan.supply;
    let head = &run.head;
    let curve = power_curve(&supply.pump, supply.pipe.water_degc, head.total_m)
        .map_err(|faults| faults.first().map_or_else(String::new, ToString::to_string))?;
    let flow = |m3_per_h: f64| column_value(m3_per_h, Quantity::Flow, units);
    let design = (run.supply.power_w[run.head_hour], flow(head.flow_m3_per_h));
    let most_w = curve.iter().map(|p| p.power_w).fold(design.0, f64::max);
    let panels_w = run.array.array_w.iter().copied().fold(0.0, f64::max);
    let panels_drawn = panels_w > 0.0 && panels_w <= FAR * most_w.max(1.0);
    let most_flow = curve.iter().map(|p| flow(p.flow_m3_per_h)).fold(design.1, f64::max);
    let axes = Axes {
        frame: area(48.0, 8.0, 450.0, 60.0),
        x: Scale::over(0.0, if panels_drawn { panels_w.max(most_w) } else { most_w }, 8),
        y: Scale::over(0.0, most_flow, 6),
        x_title: "electrical power into the pump, W".to_owned(),
        y_title: format!("flow, {}", column_unit(Quantity::Flow, units)),
        left: 44.0,
        below: 21.0,
    };
    let mut paper = Paper::new(PAGE, 400);
    axes.draw(&mut paper, |chart| {
        let points: Vec<(f64, f64)> = curve.iter().map(|p| (p.power_w, flow(p.flow_m3_per_h))).collect();
        chart.draw_series(LineSeries::new(points, colour(DEEP).stroke_width(16)))?;
        Ok(())
    })?;
    if let Some(first) = curve.first() {
        let at = axes.at(first.power_w, flow(first.flow_m3_per_h));
        paper.line((at.0, axes.up(0.0)), at, dashed(DEEP, 0.9, "2 2"));
    }
    if panels_drawn {
        let x = axes.across(panels_w);
        paper.line((x, axes.frame.y), (x, axes.up(0.0)), dashed(FAINT, 1.0, "6 2 1.5 2"));
    }
    if head.flow_m3_per_h > 0.0 {
        let at = axes.at(design.0, design.1);
        paper.line((axes.frame.x, at.1), at, dashed(INK, 0.6, "3 2"));
        paper.line((at.0, axes.up(0.0)), at, dashed(INK, 0.6, "3 2"));
        paper.circle(at, 3.2, INK, None);
    }
    let show_w = |w: f64| show(w, Quantity::Power, units);
    let mut items = vec![(
        Sign::Line(pen(DEEP, 1.6)),
        curve.first().map_or_else(
            || format!("no flow at {}", show(head.total_m, Quantity::Length, units)),
            |first| {
                format!(
                    "the pump at {}, from {}",
                    show(head.total_m, Quantity::Length, units),
                    show_w(first.power_w)
                )
            },
        ),
    )];
    if head.flow_m3_per_h > 0.0 {
        items.push((
            Sign::Dot,
            format!(
                "highest flow: {}, {}",
                show(head.flow_m3_per_h, Quantity::Flow, units),
                show_w(design.0)
            ),
        ));
    }
    if panels_drawn {
        items.push((
            Sign::Line(dashed(FAINT, 1.0, "6 2 1.5 2")),
            format!("peak array power: {}", show_w(panels_w)),
        ));
    }
    let mut next = legend(&mut paper, (48.0, axes.frame.y + axes.frame.height + 34.0), 450.0, &items);
    let mut notes = String::new();
    if panels_w > 0.0 && !panels_drawn {
        notes = format!("Array power reached {}, off the chart.", show_w(panels_w));
    }
    for line in broken(&notes, 450.0, SMALL, 2) {
        paper.words((48.0, next), SMALL, Anchor::Start, &line);
        next += 10.0;
    }
    let title = title(run, units);
    let alternative = format!(
        "A curve of flow against electrical power at a head of {}, with the hour of the highest flow marked. {title}.{}",
        show(head.total_m, Quantity::Length, units),
        curve.last().map_or_else(String::new, |last| format!(
            " The curve ends at {} from {}.",
            show(last.flow_m3_per_h, Quantity::Flow, units),
            show_w(last.power_w)
        ))
    );
    Ok(finished("pump", title, alternative, &paper.cut_to(next - 4.0)))
}

fn title(run: &Run, units: System) -> String {
    let head = &run.head;
    let total = show(head.total_m, Quantity::Length, units);
    if head.flow_m3_per_h <= 0.0 {
        return format!("The pump lifts no water in this record; the head at no flow is {total}");
    }
    let held = match run.supply.limit[run.head_hour] {
        Limit::Well => ", limited by the well",
        Limit::PumpLimit => ", limited by the pump",
        Limit::TableEnd => ", with the head at the table's end",
        _ => "",
    };
    format!(
        "The highest flow is {} against {total}, from {}, on {}{held}",
        show(head.flow_m3_per_h, Quantity::Flow, units),
        show(run.supply.power_w[run.head_hour], Quantity::Power, units),
        date(run, run.head_hour / dryspell::calendar::HOURS_PER_DAY)
    )
}
