//! The well, the head, the panels and the pump, with the point that all are designed for.

use dryspell::units::{Quantity, column_number, column_unit, counted};

use super::{Matter, fact, heading};
use crate::figures::{rise_name, velocity};
use crate::model::{Block, Text};
use crate::taken::friction;

pub(super) fn lift(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let head = &run.head;
    let hour = run.head_hour;
    let unit = column_unit(Quantity::Length, m.system);
    let length = |metres| format!("{} {unit}", column_number(metres, Quantity::Length, m.system));
    let setting = run.plan.supply.well.pump_setting_m.map_or_else(
        || "depth not stated".to_owned(),
        |depth| format!("{} below the wellhead", m.one(depth, Quantity::Length)),
    );
    let mut build = vec![
        fact("pump intake", setting),
        fact("static level in the well", length(head.static_level_m)),
        fact(rise_name(head), length(head.rise_m)),
        fact("drawdown", length(head.drawdown_m)),
    ];
    for pipe in &head.runs {
        let speed = velocity(pipe.velocity_m_per_s, m.system);
        build.push(fact(
            &format!("friction, {}", pipe.name),
            format!("{} at {speed}", length(pipe.friction_m)),
        ));
    }
    build.extend([
        fact("fittings", length(head.fittings_m)),
        fact(
            "at the outlet",
            format!("pressure {}, velocity head {}", length(head.discharge_pressure_m), length(head.exit_m)),
        ),
        fact("total dynamic head", Text::strong(m.both(head.total_m, Quantity::Length))),
    ]);
    let limits = run.limit_hours;
    let mut point = vec![
        fact("hour", run.calendar.start_text(hour).replace('T', " ")),
        fact("flow", Text::strong(m.both(head.flow_m3_per_h, Quantity::Flow)).then(", the record's highest")),
        fact("sun on the plane", format!("{:.0} W/m²", run.array.plane_w_per_m2[hour])),
        fact(
            "power",
            format!(
                "panels give {}, pump takes {}",
                m.one(run.array.array_w[hour], Quantity::Power),
                m.one(run.supply.power_w[hour], Quantity::Power)
            ),
        ),
        fact(
            "in the record",
            format!(
                "float shut in {}; otherwise pump at its limit in {}, well at its limit in {}{}",
                counted(limits.float_full, "hour"),
                counted(limits.pump_limit, "hour"),
                counted(limits.well + limits.cut_out, "hour"),
                match run.well.as_ref().map_or(0, |well| well.ledger.cut_out_stops) {
                    0 => String::new(),
                    stops => format!(", water at the cut-out {}", counted(stops, "time")),
                }
            ),
        ),
    ];
    if head.flow_m3_per_h <= 0.0 {
        point = vec![fact("flow", "the pump lifts no water in this record; the head is that at no flow")];
    }
    let mut blocks = vec![
        heading("Well, head, panels and pump"),
        Block::Beside(vec![
            vec![Block::Paragraph(Text::strong("Head at the design point")), Block::Facts(build)],
            vec![Block::Paragraph(Text::strong("Design point")), Block::Facts(point)],
        ]),
        Block::Fine(friction(run, m.system).into()),
    ];
    blocks.extend(m.chart("pump"));
    blocks
}
