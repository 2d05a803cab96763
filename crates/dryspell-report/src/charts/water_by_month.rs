//! Water available, drawn, demand and short, by month.

use dryspell::reliability::periods::MonthFigures;
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_unit, column_value, show, show_alike};

use super::legend::{Bar, Sign, legend};
use super::words::month;
use super::{PAGE, finished};
use crate::model::Chart;
use crate::setting::axes::{Axes, Scale};
use crate::setting::paper::{Anchor, DEEP, INK, Lean, Paper, SMALL, WATER, WHITE, area, pen};
use crate::setting::words::broken;

/// Bars that would be more than so many times as high as the greatest draw are broken off.
const HIGH: f64 = 3.0;
/// Where they are broken off, in the greatest draw.
const BROKEN_AT: f64 = 2.4;

/// Water by month against demand.
///
/// # Errors
/// What plotters refuses.
pub(crate) fn water_by_month(run: &Run, units: System) -> Result<Chart, String> {
    let order: Vec<(u8, &MonthFigures)> = (0..12_u8)
        .map(|step| (run.outcome.tank_year_month - 1 + step) % 12 + 1)
        .map(|m| (m, &run.months[usize::from(m) - 1]))
        .filter(|(_, figures)| figures.days > 0)
        .collect();
    let value = |m3: f64| column_value(m3, Quantity::Volume, units);
    let most = |get: fn(&MonthFigures) -> f64| order.iter().map(|(_, m)| get(m)).fold(0.0, f64::max);
    let (available, demand) = (most(|m| m.available_m3), most(|m| m.demand_m3.max(m.drawn_m3)));
    let cut = demand > 0.0 && available > HIGH * demand;
    let top = if cut { BROKEN_AT * demand } else { available.max(demand) };
    let mut paper = Paper::new(PAGE, 400);
    let unit = column_unit(Quantity::Volume, units);
    let y = if cut { Scale::up_to(value(top), 5) } else { Scale::over(0.0, value(top), 5) };
    let axes = Axes {
        frame: area(48.0, 14.0, 458.0, 74.0),
        x: Scale::bare(0.0, f64::from(u8::try_from(order.len()).unwrap_or(12)).max(1.0)),
        y,
        x_title: String::new(),
        y_title: format!("water per month, {unit}"),
        left: 44.0,
        below: 0.0,
    };
    axes.draw(&mut paper, |_| Ok(()))?;
    let looks = looks();
    let bottom = axes.up(0.0);
    for ((number, m), at) in order.iter().zip(0_u8..) {
        let slot = |share: f64| axes.across(f64::from(at) + share);
        let high = |m3: f64| axes.up(value(m3).min(axes.y.end()));
        let bar = |from: f64, to: f64, low: f64, top: f64| {
            area(slot(from), high(top), slot(to) - slot(from), high(low) - high(top))
        };
        looks.available.draw(&mut paper, bar(0.14, 0.86, 0.0, m.available_m3));
        if m.drawn_m3 > 0.0 {
            looks.drawn.draw(&mut paper, bar(0.34, 0.66, 0.0, m.drawn_m3));
        }
        if m.short_m3 > 0.0 {
            looks.short.draw(&mut paper, bar(0.34, 0.66, m.demand_m3 - m.short_m3, m.demand_m3));
        }
        if m.demand_m3 > 0.0 {
            paper.line((slot(0.04), high(m.demand_m3)), (slot(0.96), high(m.demand_m3)), pen(INK, 1.8));
        }
        if value(m.available_m3) > axes.y.end() {
            break_off(&mut paper, slot(0.14), slot(0.86), axes.frame.y + 6.0);
        }
        let label = short_number(value(m.available_m3));
        // Above its bar, and above the line of demand where that is higher.
        let over = high(m.available_m3.max(if demand_near(m) { m.demand_m3 } else { 0.0 }));
        paper.words((slot(0.5), over - 2.5), SMALL, Anchor::Middle, &label);
        paper.words((slot(0.5), bottom + 10.0), SMALL, Anchor::Middle, month(*number));
        let short = if m.short_m3 > 0.0 { short_number(value(m.short_m3)) } else { "0".to_owned() };
        if m.short_m3 > 0.0 {
            paper.bold((slot(0.5), bottom + 21.0), SMALL, Anchor::Middle, &short);
        } else {
            paper.words((slot(0.5), bottom + 21.0), SMALL, Anchor::Middle, &short);
        }
    }
    paper.line((axes.frame.x, bottom), (axes.frame.x + axes.frame.width, bottom), pen(INK, 0.6));
    paper.words((44.0, bottom + 21.0), SMALL, Anchor::End, &format!("short, {unit}"));
    let items = [
        (Sign::Bar(looks.available), "available: what the pump could lift".to_owned()),
        (Sign::Bar(looks.drawn), "drawn by the stock".to_owned()),
        (Sign::Bar(looks.short), "short".to_owned()),
        (Sign::Line(pen(INK, 1.8)), "demand of the stock".to_owned()),
    ];
    let mut next = legend(&mut paper, (48.0, bottom + 36.0), 458.0, &items);
    for line in broken(&note(run, cut, units), 460.0, SMALL, 3) {
        paper.words((48.0, next), SMALL, Anchor::Start, &line);
        next += 10.0;
    }
    let title = title(run, &order, units);
    let alternative = format!(
        "Bars by month: available water, demand of the stock, water drawn and water short. {title}. {}",
        spoken(&order, units)
    );
    Ok(finished("water_by_month", title, alternative, &paper.cut_to(next - 4.0)))
}

struct Looks {
    available: Bar,
    drawn: Bar,
    short: Bar,
}

const fn looks() -> Looks {
    Looks {
        available: Bar { fill: WATER, hatch: None },
        drawn: Bar { fill: DEEP, hatch: None },
        short: Bar { fill: WHITE, hatch: Some(Lean::Right) },
    }
}

/// Whether the line of demand lies where the number over the bar would stand.
fn demand_near(m: &MonthFigures) -> bool {
    m.demand_m3 >= m.available_m3
}

/// A white zigzag over a bar that goes on.
fn break_off(paper: &mut Paper, left: f64, right: f64, y: f64) {
    let step = (right - left) / 4.0;
    let zigzag = |down: f64| {
        [0.0, 1.0, 2.0, 3.0, 4.0].into_iter().map(move |k: f64| {
            (
                left + k * step,
                y + down + if (k - 1.0).abs() < 0.5 || (k - 3.0).abs() < 0.5 { 3.0 } else { 0.0 },
            )
        })
    };
    let band: Vec<(f64, f64)> =
        zigzag(0.0).chain(zigzag(3.0).collect::<Vec<_>>().into_iter().rev()).collect();
    paper.shape(&band, WHITE, None);
    for down in [0.0, 3.0] {
        paper.path(&zigzag(down).collect::<Vec<_>>(), pen(INK, 0.5));
    }
}

/// A number over a bar: three digits or all before the point.
fn short_number(value: f64) -> String {
    match value.abs() {
        v if v >= 99.95 => format!("{value:.0}"),
        v if v >= 9.995 => format!("{value:.1}"),
        _ => format!("{value:.2}"),
    }
}

fn note(run: &Run, cut: bool, units: System) -> String {
    let mut notes = Vec::new();
    if cut {
        notes.push("Numbers above bars: available water; broken bars run off the top.".to_owned());
    } else {
        notes.push("Numbers above bars: available water.".to_owned());
    }
    if !run.calendar.is_one_year() && run.calendar.years() > 1.0 {
        notes.push("Volumes are those of a mean year.".to_owned());
    }
    let garden: f64 = run.months.iter().map(|m| m.garden_m3).sum();
    if garden > 0.0 {
        notes.push(format!("Gardens draw {} a year besides.", show(garden, Quantity::Volume, units)));
    }
    if run.delivery.is_some() {
        notes.push("Drawn and demand differ by what troughs store or release.".to_owned());
    }
    notes.join(" ")
}

fn title(run: &Run, order: &[(u8, &MonthFigures)], units: System) -> String {
    let with_draw: Vec<&(u8, &MonthFigures)> = order.iter().filter(|(_, m)| m.demand_m3 > 0.0).collect();
    let below: Vec<&&(u8, &MonthFigures)> =
        with_draw.iter().filter(|(_, m)| m.available_with_stock_m3 < m.demand_m3).collect();
    let mean = if run.calendar.days().len() <= 366 { "I" } else { "In a mean year, i" };
    let lacks = |m: &MonthFigures| m.demand_m3 - m.available_with_stock_m3;
    // What is lifted before the stock comes or after it has left does not serve its demand.
    let part = with_draw.iter().any(|(_, m)| m.stock_days < m.days);
    let days = if part { " on the days with stock" } else { "" };
    if with_draw.is_empty() {
        let available = show(run.outcome.ledgers.available_m3, Quantity::Volume, units);
        return format!("No stock needs water in this record, with {available} available");
    }
    if let Some(first) = below.first() {
        let worst = below.iter().fold(**first, |w, m| if lacks(m.1) > lacks(w.1) { m } else { w });
        let [available, demand] =
            show_alike([worst.1.available_with_stock_m3, worst.1.demand_m3], Quantity::Volume, units);
        return format!(
            "{}n {} of {} months with stock the pump could lift less than the demand of the stock; the widest gap is in \
             {}, {available} available for {demand} of demand{days}",
            mean,
            below.len(),
            with_draw.len(),
            month(worst.0)
        );
    }
    let ratio = |m: &MonthFigures| m.available_with_stock_m3 / m.demand_m3;
    let closest = with_draw.iter().fold(with_draw[0], |c, m| if ratio(m.1) < ratio(c.1) { m } else { c });
    let [available, demand] =
        show_alike([closest.1.available_with_stock_m3, closest.1.demand_m3], Quantity::Volume, units);
    format!(
        "{mean}n every month with stock the pump could lift the demand of the stock; the margin is smallest in {}, \
         {available} available for {demand} of demand{days}",
        month(closest.0)
    )
}

fn spoken(order: &[(u8, &MonthFigures)], units: System) -> String {
    let months: Vec<String> = order
        .iter()
        .map(|(number, m)| {
            let v = |m3: f64| show(m3, Quantity::Volume, units);
            format!(
                "{}: available {}, drawn {}, demand {}, short {}",
                month(*number),
                v(m.available_m3),
                v(m.drawn_m3),
                v(m.demand_m3),
                v(m.short_m3)
            )
        })
        .collect();
    format!("{}.", months.join("; "))
}
