//! Inflows held against the ranges of their keys and against the tank.

use super::Check;
use crate::fault::{Fault, FaultKind};
use crate::inflow::{self, Kind, Steady};
use crate::tank;

impl Check {
    pub(super) fn inflows(&mut self, inflows: &[inflow::Settings], tank: &tank::Settings) {
        for (i, inflow) in inflows.iter().enumerate() {
            let inflow::Settings { name, kind, tank: into, when_full: _ } = inflow;
            match kind {
                Kind::Steady(Steady { flow_m3_per_h, hours: _, dates: _ }) => {
                    for flow in flow_m3_per_h {
                        self.value("inflow.*", name, "flow", *flow);
                    }
                }
                Kind::Column(_) => {}
            }
            self.add(inflow.fault().map(|fault| vec![fault]));
            if *into != tank.name {
                self.0.push(Fault::at_key(
                    format!("inflow.{name}.into"),
                    FaultKind::UnknownWord,
                    format!("no tank {into}"),
                    format!("one of {}", tank.name),
                    "name a tank of the plan",
                ));
            }
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
