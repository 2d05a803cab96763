//! Inflows held against the ranges of their keys and against the tank.

use super::Check;
use crate::fault::{Fault, FaultKind};
use crate::inflow::{self, Catchment, Kind, Steady};
use crate::plan::Plan;

impl Check {
    pub(super) fn inflows(&mut self, inflows: &[inflow::Settings], plan: &Plan) {
        for (i, inflow) in inflows.iter().enumerate() {
            let inflow::Settings { name, kind, tank: into, when_full: _ } = inflow;
            match kind {
                Kind::Steady(Steady { flow_m3_per_h, hours: _, dates: _ }) => {
                    for flow in flow_m3_per_h {
                        self.value("inflow.*", name, "flow", *flow);
                    }
                }
                Kind::Column(_) => {}
                Kind::Rain(Catchment { area_m2, runoff_coefficient, first_flush_mm }) => self.values(
                    "inflow.*",
                    name,
                    [
                        ("catchment_area", *area_m2),
                        ("runoff_coefficient", *runoff_coefficient),
                        ("first_flush", first_flush_mm / 1000.0),
                    ],
                ),
                // The tank's own range holds for it as well.
                Kind::OpenWater { area_m2 } => {
                    let Some(tank) = plan.tanks().find(|tank| tank.name == *into) else { continue };
                    if !(*area_m2 > 0.0 && area_m2.to_bits() == tank.open_surface_m2.to_bits()) {
                        self.0.push(Fault::at_key(
                            inflow.key(),
                            FaultKind::Contradiction,
                            format!(
                                "rain on {area_m2} m2 of open water, a tank with {} m2",
                                tank.open_surface_m2
                            ),
                            "the tank's own open surface, above 0",
                            "make both the same",
                        ));
                    }
                }
            }
            self.add(inflow.fault().map(|fault| vec![fault]));
            if inflows[..i].iter().any(|other| other.name == *name) {
                self.0.push(Fault::at_key(
                    inflow.key(),
                    FaultKind::Contradiction,
                    format!("two inflows with the name {name}"),
                    "a name of its own for each inflow",
                    "rename one of them",
                ));
            }
        }
    }
}
