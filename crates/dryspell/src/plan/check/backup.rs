//! A backup held against the ranges of its keys and against the tank.

use super::Check;
use crate::fault::{Fault, FaultKind};
use crate::inflow::{Backup, Bringing, Cost};
use crate::tank;

impl Check {
    pub(super) fn backup(&mut self, backup: &Backup, tank: &tank::Settings) {
        let Backup {
            name: _,
            bringing,
            tank: _,
            starts_below_m3,
            stops_at_m3,
            delay_h,
            most_m3_per_day,
            dates: _,
            cost,
        } = backup;
        match bringing {
            Bringing::Flow(flow) => self.value("backup", "", "flow", *flow),
            Bringing::Load(load) => self.value("backup", "", "load", *load),
        }
        let Cost { per_m3, per_hour, per_load } = *cost;
        self.values(
            "backup",
            "",
            [
                ("starts_below", *starts_below_m3),
                ("stops_at", *stops_at_m3),
                ("delay", *delay_h),
                ("cost_per_m3", per_m3),
                ("cost_per_hour", per_hour),
                ("cost_per_load", per_load),
            ],
        );
        if let Some(most) = most_m3_per_day {
            self.value("backup", "", "daily_limit", *most);
        }
        let full_m3 = tank.full_m3();
        if *stops_at_m3 > full_m3 || *stops_at_m3 <= *starts_below_m3 {
            self.0.push(Fault::at_key(
                "backup.stops_at",
                FaultKind::Contradiction,
                format!(
                    "backup from {starts_below_m3} m3 to {stops_at_m3} m3, the tank full at {full_m3} m3"
                ),
                "stops_at above starts_below and at most the level at which the tank is full",
                "change one of them",
            ));
        }
    }
}
