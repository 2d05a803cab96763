//! What the dynamic head is made of.

use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit, column_value, show};

use super::legend::{Bar, Sign, legend};
use super::words::f;
use super::{PAGE, finished};
use crate::figures::rise_name;
use crate::model::Chart;
use crate::setting::axes::{Axes, Scale};
use crate::setting::paper::{Anchor, DEEP, FAINT, INK, Lean, Paper, WATER, WHITE, WORDS, area, pen};
use crate::setting::words::shortened;

/// Height of a step.
const ROW: f64 = 12.0;
/// Where the bars begin.
const LEFT: f64 = 150.0;
/// Their width.
const WIDE: f64 = 290.0;

/// What a step is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// There whether the pump runs or not.
    Standing,
    /// Made by the flow.
    Flowing,
    /// The sum.
    Total,
}

/// The head built up step by step.
///
/// # Errors
/// What plotters refuses.
pub(crate) fn head(run: &Run, units: System) -> Result<Chart, String> {
    let steps = steps(run);
    let value = |m: f64| column_value(m, Quantity::Length, units);
    let unit = column_unit(Quantity::Length, units);
    let mut ends = (0.0_f64, 0.0_f64);
    let mut sum = 0.0;
    for (_, metres, kind) in &steps {
        if *kind != Kind::Total {
            sum += metres;
            ends = (ends.0.min(sum), ends.1.max(sum));
        }
    }
    let high = ROW * f(steps.len());
    let mut paper = Paper::new(PAGE, 700);
    let axes = Axes {
        frame: area(LEFT, 6.0, WIDE, high),
        x: Scale::over(value(ends.0), value(ends.1), 8),
        y: Scale::bare(0.0, f(steps.len())),
        x_title: format!("head, {unit}"),
        y_title: String::new(),
        left: 0.0,
        below: 26.0,
    };
    axes.draw(&mut paper, |_| Ok(()))?;
    let mut from = 0.0;
    for (at, (name, metres, kind)) in steps.iter().enumerate() {
        let top = axes.frame.y + ROW * f(at);
        let start = if *kind == Kind::Total { 0.0 } else { from };
        let end = start + metres;
        let (a, b) = (axes.across(value(start.min(end))), axes.across(value(start.max(end))));
        let label = shortened(name, LEFT - 12.0, WORDS, *kind == Kind::Total);
        let number = format!("{} {unit}", column_number(*metres, Quantity::Length, units));
        let base = top + 9.0;
        if *kind == Kind::Total {
            paper.bold((LEFT - 8.0, base), WORDS, Anchor::End, &label);
            paper.bold((PAGE_RIGHT, base), WORDS, Anchor::End, &number);
        } else {
            paper.words((LEFT - 8.0, base), WORDS, Anchor::End, &label);
            paper.words((PAGE_RIGHT, base), WORDS, Anchor::End, &number);
        }
        // Too little to be seen still shows where it stands.
        if metres.abs() > 0.0 {
            look(*kind).draw(&mut paper, area(a, top + 2.5, (b - a).max(0.8), ROW - 5.0));
        }
        if *kind != Kind::Total {
            let x = axes.across(value(end));
            paper.line((x, top + 2.5), (x, top + ROW + ROW - 2.5), pen(FAINT, 0.5));
            from = end;
        }
    }
    let zero = axes.across(0.0);
    paper.line((zero, axes.frame.y), (zero, axes.frame.y + high), pen(INK, 0.6));
    let next = legend(
        &mut paper,
        (10.0, axes.frame.y + high + 40.0),
        490.0,
        &[
            (Sign::Bar(look(Kind::Standing)), "static: the same at any flow".to_owned()),
            (Sign::Bar(look(Kind::Flowing)), "dynamic: rises with flow".to_owned()),
            (Sign::Bar(look(Kind::Total)), "sum".to_owned()),
        ],
    );
    let title = title(run, units);
    let spoken: Vec<String> =
        steps.iter().map(|(name, m, _)| format!("{name} {}", show(*m, Quantity::Length, units))).collect();
    let alternative = format!("Bars that add up to the total dynamic head. {title}. {}.", spoken.join("; "));
    Ok(finished("head", title, alternative, &paper.cut_to(next - 4.0)))
}

/// Right edge of the figures.
const PAGE_RIGHT: f64 = 504.0;

fn look(kind: Kind) -> Bar {
    match kind {
        Kind::Standing => Bar { fill: WATER, hatch: None },
        Kind::Flowing => Bar { fill: WHITE, hatch: Some(Lean::Right) },
        Kind::Total => Bar { fill: DEEP, hatch: None },
    }
}

fn steps(run: &Run) -> Vec<(String, f64, Kind)> {
    let build = &run.head;
    let mut steps = vec![
        ("static level in the well".to_owned(), build.static_level_m, Kind::Standing),
        (rise_name(build).to_owned(), build.rise_m, Kind::Standing),
        ("drawdown".to_owned(), build.drawdown_m, Kind::Flowing),
    ];
    for pipe in &build.runs {
        steps.push((format!("friction, {}", pipe.name), pipe.friction_m, Kind::Flowing));
    }
    steps.push(("fittings".to_owned(), build.fittings_m, Kind::Flowing));
    steps.push(("discharge pressure".to_owned(), build.discharge_pressure_m, Kind::Standing));
    steps.push(("velocity head at the outlet".to_owned(), build.exit_m, Kind::Flowing));
    // What the terms above leave of the sum would be an error of theirs; the sum is the run's own.
    steps.push(("total dynamic head".to_owned(), build.total_m, Kind::Total));
    steps
}

fn title(run: &Run, units: System) -> String {
    let build = &run.head;
    let [total, lift] = [build.total_m, build.static_lift_m].map(|m| show(m, Quantity::Length, units));
    if build.flow_m3_per_h > 0.0 {
        format!(
            "At the highest flow of the record, {}, the pump works against {total}, of which {lift} is lift",
            show(build.flow_m3_per_h, Quantity::Flow, units)
        )
    } else {
        format!("The pump lifts no water in this record; at no flow the head is {total}")
    }
}
