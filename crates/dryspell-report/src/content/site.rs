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
        "Flow into the tank, {}; static level {} ({})",
        column_unit(Quantity::Flow, m.system),
        m.one(m.run.plan.supply.well.static_level_m[usize::from(curve.month) - 1], Quantity::Length),
        MONTHS[usize::from(curve.month) - 1]
    );
    let head = &m.run.head;
    let other = if head.month == curve.month || head.flow_m3_per_h <= 0.0 {
        String::new()
    } else {
        format!(
            " The run's highest flow, {} {}, was at the static level of {}.",
            column_number(head.flow_m3_per_h, Quantity::Flow, m.system),
            column_unit(Quantity::Flow, m.system),
            MONTHS[usize::from(head.month) - 1]
        )
    };
    let note = format!(
        "Measure plane-of-array irradiance, the temperature at the back of a panel (the cells are about 2 K warmer) and \
         the time to fill a bucket at the inlet, in steady sun with the float open. Within {:.0} % is agreement, given \
         these instruments.{other}",
        100.0 * tolerance()
    );
    vec![heading("To check on site"), numbers(&title, &columns, rows, &note)]
}

fn from_others(m: &Matter<'_>) -> Vec<Block> {
    let plan = &m.run.plan;
    let mut list = vec![
        "Well: driller's log with tested yield, date, pumping level at that rate, casing and pump setting. This run \
         relies on the well data in the scheme.",
        "Site map with north arrow, elevations and profile; details, materials and quantities; pressure and leak test.",
        "Electrical: grounding, surge protection, disconnects, labels, wind and snow load of the mount.",
        "Tank: gross and usable volume, overflow and its outlet, freeboard, cover, access; bearing capacity of the \
         ground; wildlife escape ramp; hardstanding.",
        "Pipeline: air valves, drains, check valve and backflow protection.",
        "Utility locate, permits, water right, cultural and environmental clearance.",
        "Operation and maintenance: who checks, how often, what is done when there is no water; a backup plan.",
        "Shading by trees and buildings nearer than the horizon given.",
    ];
    if plan.supply.well.yield_m3_per_h.is_none() {
        list.insert(
            0,
            "Well yield: not stated in the scheme; the run assumes the well keeps up with the pump.",
        );
    }
    if m.worksheet.pipes.iter().any(|pipe| pipe.class_m.is_none()) {
        list.push("Pressure class of every pipe: not all are stated in the scheme.");
    }
    if m.frost.is_none() {
        list.push("Freeze plan: season of use, frost depth and its basis, what drains.");
    }
    vec![
        heading("Still to be supplied by others"),
        Block::Fine(
            "Grant reviewers also ask for what a simulation cannot give. Current local standards decide what is needed."
                .into(),
        ),
        Block::Ticks(list.into_iter().map(Into::into).collect()),
    ]
}
