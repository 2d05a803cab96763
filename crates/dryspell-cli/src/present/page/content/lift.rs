//! The well, the head, the panels and the pump, with the point that all are designed for.

use dryspell::units::{Quantity, counted};

use super::super::model::Block;
use super::{Matter, fact, heading};
use crate::present::taken::friction;
use crate::present::terminal::velocity;

pub(super) fn lift(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let head = &run.head;
    let hour = run.head_hour;
    let length = |metres| m.one(metres, Quantity::Length);
    let mut build = vec![
        fact("static level", format!("{} below the wellhead", m.both(head.static_level_m, Quantity::Length))),
        fact("tank inlet", format!("{} above it", length(head.inlet_height_m))),
        fact("drawdown", length(head.drawdown_m)),
    ];
    for pipe in &head.runs {
        let text = format!("{} at {}", length(pipe.friction_m), velocity(pipe.velocity_m_per_s, m.system));
        build.push(fact(&format!("friction, {}", pipe.name), text));
    }
    build.extend([
        fact("fittings", length(head.fittings_m)),
        fact(
            "discharge",
            format!("pressure {}, velocity head {}", length(head.discharge_pressure_m), length(head.exit_m)),
        ),
        fact("total dynamic head", super::Text::strong(m.both(head.total_m, Quantity::Length))),
    ]);
    let point = vec![
        fact("hour", format!("{}, the highest flow of the record", run.calendar.start_text(hour))),
        fact("flow", m.both(head.flow_m3_per_h, Quantity::Flow)),
        fact("sun on the plane", format!("{:.0} W/m²", run.array.plane_w_per_m2[hour])),
        fact("panels give", m.one(run.array.array_w[hour], Quantity::Power)),
        fact("pump takes", m.one(run.supply.power_w[hour], Quantity::Power)),
        fact("well and pipe", well_and_pipe(m)),
    ];
    let mut blocks = vec![heading("Well, head, panels and pump")];
    blocks.push(Block::Beside(vec![
        vec![Block::Paragraph(super::Text::strong("Head at the design point")), Block::Facts(build)],
        vec![Block::Paragraph(super::Text::strong("Design point")), Block::Facts(point)],
    ]));
    blocks.push(Block::Paragraph(friction(run, m.system).into()));
    blocks.extend(m.chart("head"));
    blocks.extend(m.chart("pump"));
    blocks
}

fn well_and_pipe(m: &Matter<'_>) -> String {
    let l = m.run.limit_hours;
    format!(
        "the well gave no more in {}, the pump was at its limit in {}, the float had stopped it in {}",
        counted(l.well + l.cut_out, "hour"),
        counted(l.pump_limit, "hour"),
        counted(l.float_full, "hour")
    )
}
