//! What to check on site, and what others must supply.

use dryspell::curve::{CELL_DEGC, PLANE_W_PER_M2, tolerance};
use dryspell::units::{Quantity, column_number, column_unit};

use super::{Matter, heading, numbers};
use crate::layout::MONTHS;
use crate::model::Block;

/// What to check on site, and what must come from others.
pub(super) fn site(m: &Matter<'_>) -> Vec<Block> {
    vec![Block::Beside(vec![on_site(m), from_others(m)])]
}

fn on_site(m: &Matter<'_>) -> Vec<Block> {
    let curve = m.curve;
    let degree = column_unit(Quantity::Temperature, m.system);
    let mut columns = vec!["sun on the plane, W/m²".to_owned()];
    columns.extend(CELL_DEGC.map(|cell| {
        format!(
            "cells {}\u{a0}{degree}",
            column_number(cell, Quantity::Temperature, m.system).trim_end_matches(".0")
        )
    }));
    let rows = PLANE_W_PER_M2
        .iter()
        .zip(&curve.points)
        .skip(1)
        .step_by(2)
        .map(|(plane, points)| {
            let flows = points.iter().map(|p| {
                if p.flow_m3_per_h > 0.0 {
                    column_number(p.flow_m3_per_h, Quantity::Flow, m.system)
                } else {
                    "-".to_owned()
                }
            });
            std::iter::once(format!("{plane:.0}")).chain(flows).collect()
        })
        .collect();
    let title = format!(
        "Flow into the tank, {}; water at {} ({})",
        column_unit(Quantity::Flow, m.system),
        m.one(m.run.plan.supply.well.static_level_m[usize::from(curve.month) - 1], Quantity::Length),
        MONTHS[usize::from(curve.month) - 1]
    );
    let head = &m.run.head;
    let other = if head.month == curve.month || head.flow_m3_per_h <= 0.0 {
        String::new()
    } else {
        format!(
            " The run's highest flow, {} {}, had the water of {}.",
            column_number(head.flow_m3_per_h, Quantity::Flow, m.system),
            column_unit(Quantity::Flow, m.system),
            MONTHS[usize::from(head.month) - 1]
        )
    };
    let note = format!(
        "Measure the sun in the panels' plane, the back of a panel (the cells are about 2 K warmer) and the time to fill a bucket \
         at the inlet, in steady sun with the float open. Within {:.0} % is as good as these instruments tell. dryspell curve \
         prints the whole table.{other}",
        100.0 * tolerance()
    );
    vec![heading("To check on site"), numbers(&title, &columns, rows, &note)]
}

fn from_others(m: &Matter<'_>) -> Vec<Block> {
    let plan = &m.run.plan;
    let mut list = vec![
        "Well: driller's log with tested yield, date, pumping level at that rate, casing and pump setting. This run rests on what \
         the scheme says of the well.",
        "Site map with north arrow, elevations and profile; details, materials and quantities; pressure and leak test.",
        "Electrical: grounding, surge protection, disconnects, labels, wind and snow load of the mount.",
        "Tank: gross against usable volume, overflow and its outlet, freeboard, cover, access; ground that carries it; a way out \
         for wildlife; hard standing.",
        "Pipeline: air valves, drains, check valve and backflow protection.",
        "Utility locate, permits, water right, cultural and environmental clearance.",
        "Operation and maintenance: who looks, how often, what is done when there is no water; a backup plan.",
        "Shade of trees and buildings nearer than the horizon given.",
    ];
    if plan.supply.well.yield_m3_per_h.is_none() {
        list.insert(0, "The well's yield is not stated in the scheme: the run takes what the pump asks.");
    }
    if m.worksheet.pipes.iter().any(|pipe| pipe.class_m.is_none()) {
        list.push("Pressure class of every pipe: the scheme does not state all.");
    }
    if m.frost.is_none() {
        list.push("Freeze plan: season of use, frost depth and its basis, what drains.");
    }
    vec![
        heading("What must still come from others"),
        Block::Fine(
            "Reviewers of stock-water grants also ask for what a simulation does not know. Local standards and their current texts \
             decide what is needed."
                .into(),
        ),
        Block::Fine(list.join(" ").into()),
    ]
}
