//! Several tanks and wells held against the ranges of their keys and against each other.

use super::{Check, Plan};
use crate::fault::{Fault, Location};
use crate::inflow::Steady;
use crate::link::{self, Tree, Way, no_tank};
use crate::units::table::METRE_OF_WATER_PA;

impl Check {
    /// The tanks beside the first, what feeds them, and further wells.
    pub(super) fn tanks(&mut self, plan: &Plan) {
        for tank in &plan.other_tanks {
            self.tank(tank);
        }
        let names = plan.tank_names();
        self.add(Tree::new(&names, &plan.links).err());
        for link in &plan.links {
            self.link(link);
        }
        for lift in &plan.lifts {
            let mut own = Self::default();
            own.supply(&lift.supply);
            own.arrays(&lift.array, "array.*");
            own.value("tank.*", &lift.into, "inlet_height", lift.supply.pipe.inlet_height_m);
            let under = |mut fault: Fault| {
                let key = fault.location.key.take().unwrap_or_default();
                fault.location = Location::key(format!("lift.{}.{key}", lift.name));
                fault
            };
            self.0.extend(own.0.into_iter().map(under));
        }
        let mut need = |key: String, name: Option<&str>| {
            if let Some(name) = name.filter(|name| !names.contains(name)) {
                self.0.push(no_tank(key, name, &names));
            }
        };
        for lift in &plan.lifts {
            need(format!("lift.{}.into", lift.name), Some(&lift.into));
        }
        for group in &plan.draw.groups {
            need(format!("{}.{}.tank", group.kind.table(), group.name), group.tank.as_deref());
        }
        for garden in &plan.draw.gardens {
            need(format!("garden.{}.tank", garden.name), garden.tank.as_deref());
        }
        for inflow in &plan.inflows {
            need(format!("inflow.{}.into", inflow.name), Some(&inflow.tank));
        }
        if let Some(backup) = &plan.backup {
            need("backup.into".into(), backup.tank.as_deref());
        }
        if let Some(delivery) = &plan.delivery {
            need("booster.tank".into(), delivery.tank.as_deref());
            for line in &delivery.other_lines {
                need("delivery".into(), Some(&line.tank));
            }
            for hydrant in &delivery.hydrants {
                need(format!("hydrant.{}.tank", hydrant.name), hydrant.tank.as_deref());
            }
        }
    }

    fn link(&mut self, link: &link::Settings) {
        let link::Settings { into, from: _, way } = link;
        match way {
            Way::Pipe { runs, height_m, pressure_m, friction: _, water_degc } => {
                self.value("tank.*.feed", into, "height", *height_m);
                self.value("tank.*.feed", into, "pressure", pressure_m * METRE_OF_WATER_PA);
                self.value("well", "", "water_temperature", *water_degc);
                self.classes(runs, &format!("tank.{into}.feed.pipe"));
            }
            Way::Pump { flow: Steady { flow_m3_per_h, .. }, .. } => {
                for flow in flow_m3_per_h {
                    self.value("tank.*.feed", into, "pump_flow", *flow);
                }
            }
            Way::Column { .. } => {}
        }
        self.add(link.flow_m3_per_h().err().map(Vec::from));
    }
}
