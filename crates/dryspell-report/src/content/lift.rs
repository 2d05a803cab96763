//! The well, the head, the panels and the pump, with the point that all are designed for.

use dryspell::results::{HeadFor, HeadTold};
use dryspell::units::{Quantity, column_number, column_unit, counted};

use super::{Matter, fact, heading, numbers};
use crate::figures::{rise_name, velocity};
use crate::layout::MONTHS;
use crate::model::{Block, Text};
use crate::taken::friction;

pub(super) fn lift(m: &Matter<'_>) -> Vec<Block> {
    let run = m.run;
    let head = &run.head;
    let hour = run.head_hour;
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
            vec![build_up(m)],
            vec![Block::Paragraph(Text::strong("Design point")), Block::Facts(point)],
        ]),
        Block::Fine(friction(run, m.system).into()),
    ];
    blocks.extend(m.chart("pump"));
    blocks
}

/// The head, part by part, in each state that a reviewer asks about.
fn build_up(m: &Matter<'_>) -> Block {
    let own = [HeadTold { at: HeadFor::HighestFlow, hour: None, build: m.run.head.clone() }];
    let told = if m.heads.is_empty() { &own[..] } else { m.heads };
    let mut columns = vec![column_unit(Quantity::Length, m.system).to_owned()];
    columns.extend(told.iter().map(|head| head.at.text().to_owned()));
    let row = |name: &str, quantity: Quantity, of: &dyn Fn(&HeadTold) -> f64| -> Vec<String> {
        let cells = told.iter().map(|head| column_number(of(head), quantity, m.system));
        std::iter::once(name.to_owned()).chain(cells).collect()
    };
    let head = &m.run.head;
    let length = Quantity::Length;
    let flow = format!("flow, {}", column_unit(Quantity::Flow, m.system));
    let mut rows = vec![
        row(&flow, Quantity::Flow, &|h| h.build.flow_m3_per_h),
        row("static level in the well", length, &|h| h.build.static_level_m),
        row("drawdown", length, &|h| h.build.drawdown_m),
        row(rise_name(head), length, &|h| h.build.rise_m),
    ];
    for (at, pipe) in head.runs.iter().enumerate() {
        let friction = |h: &HeadTold| h.build.runs.get(at).map_or(0.0, |run| run.friction_m);
        rows.push(row(&format!("friction, {}", pipe.name), length, &friction));
    }
    rows.extend([
        row("fittings", length, &|h| h.build.fittings_m),
        row("at the outlet", length, &|h| h.build.discharge_m),
        row("total dynamic head", length, &|h| h.build.total_m),
    ]);
    let hour = |at: HeadFor| told.iter().find(|head| head.at == at).and_then(|head| head.hour);
    let mut note = match (hour(HeadFor::DeepestWater), told.iter().find(|h| h.at == HeadFor::HardestMonth)) {
        (Some(deepest), Some(hardest)) => format!(
            "Deepest water while lifting: {}. Hardest month: {}, mean flow of its hours with flow. ",
            m.run.calendar.start_text(deepest).replace('T', " "),
            MONTHS[usize::from(hardest.build.month) - 1]
        ),
        _ => String::new(),
    };
    let speeds: Vec<String> = head
        .runs
        .iter()
        .map(|pipe| format!("{} {}", pipe.name, velocity(pipe.velocity_m_per_s, m.system)))
        .collect();
    let setting = m.run.plan.supply.well.pump_setting_m.map_or_else(
        || "depth not stated".to_owned(),
        |depth| format!("{} below the wellhead", m.one(depth, length)),
    );
    note += &format!(
        "Velocity at the highest flow: {}. At the outlet: pressure and velocity head. Pump intake: {setting}.",
        speeds.join(", ")
    );
    numbers("Head in the well and the pipes", &columns, rows, &note)
}
