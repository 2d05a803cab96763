//! What a well's settings must be before they can be used.

use super::{BoreSize, Restart, Settings};
use crate::fault::{Fault, FaultKind};

impl Settings {
    /// Every value out of its range, and every one that contradicts another.
    #[must_use]
    pub fn faults(&self) -> Vec<Fault> {
        let mut found = Check::default();
        found.static_levels(self);
        found.capacity(self);
        if let Some(bore) = self.bore {
            found.bore(self, bore);
        }
        if let Some(level) = self.cut_out_level_m() {
            found.cut_out(self, level);
        }
        found.restart(self);
        found.0
    }
}

/// The faults found so far.
#[derive(Default)]
struct Check(Vec<Fault>);

impl Check {
    fn need(&mut self, ok: bool, key: &str, kind: FaultKind, found: String, accepted: &str, way_out: &str) {
        if !ok {
            self.0.push(Fault::at_key(format!("well.{key}"), kind, found, accepted, way_out));
        }
    }

    fn static_levels(&mut self, well: &Settings) {
        for (month, level) in well.static_level_m.iter().enumerate().filter(|(_, v)| !v.is_finite()) {
            self.0.push(Fault::at_key(
                "well.static_level",
                FaultKind::OutOfRange,
                format!("static level {level} m in month {}", month + 1),
                "a finite depth below the wellhead",
                "correct the level",
            ));
        }
    }

    /// What the well gives, and how far it falls.
    fn capacity(&mut self, well: &Settings) {
        let positive = |value: Option<f64>| value.is_none_or(|v| v.is_finite() && v > 0.0);
        let range = FaultKind::OutOfRange;
        self.need(
            positive(well.specific_capacity_m3_per_h_m),
            "specific_capacity",
            range,
            format!("specific capacity {} m³/h per m", well.specific_capacity_m3_per_h_m.unwrap_or(0.0)),
            "above 0",
            "leave it out if the drawdown is not known: it is then taken as zero",
        );
        self.need(
            positive(well.yield_m3_per_h),
            "yield",
            range,
            format!("yield {} m³/h", well.yield_m3_per_h.unwrap_or(0.0)),
            "above 0",
            "leave it out where it is not known",
        );
        let loss = well.well_loss_h2_per_m5;
        self.need(
            loss.is_finite() && loss >= 0.0,
            "well_loss",
            range,
            format!("well loss {loss} h²/m⁵"),
            "0 or more",
            "leave it out where it is not known",
        );
        let water = well.submergence_m;
        self.need(
            water.is_finite() && water >= 0.0,
            "submergence",
            range,
            format!("submergence {water} m"),
            "0 m or more",
            "correct the value",
        );
    }

    fn bore(&mut self, well: &Settings, bore: BoreSize) {
        self.need(
            bore.pipe_diameter_m >= 0.0
                && bore.diameter_m > bore.pipe_diameter_m
                && bore.diameter_m.is_finite(),
            "bore",
            FaultKind::OutOfRange,
            format!("bore of {} m around a pipe of {} m", bore.diameter_m, bore.pipe_diameter_m),
            "a casing wider than the drop pipe",
            "give inside diameter of the casing and outside diameter of the pipe",
        );
        self.need(
            well.specific_capacity_m3_per_h_m.is_some(),
            "specific_capacity",
            FaultKind::MissingKey,
            "this key is missing".into(),
            "needed with bore: how fast the water recovers",
            "add specific_capacity, or leave out bore",
        );
    }

    /// The depth at which the pump is stopped.
    fn cut_out(&mut self, well: &Settings, level: f64) {
        let shallow = well.static_level_m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let key = if well.cut_out_m.is_some() { "cut_out" } else { "pump_setting" };
        self.need(
            level > shallow,
            key,
            FaultKind::CannotRun,
            format!("the pump stops at {level} m, with the static level at {shallow} m"),
            "a depth below the static level of every month",
            "set the pump deeper, or check static_level and submergence",
        );
        self.need(
            well.pump_setting_m.is_none_or(|setting| level <= setting),
            "cut_out",
            FaultKind::Contradiction,
            format!(
                "cut-out at {level} m, below the pump's intake at {} m",
                well.pump_setting_m.unwrap_or(0.0)
            ),
            "a cut-out at the intake or above it",
            "correct cut_out or pump_setting",
        );
    }

    fn restart(&mut self, well: &Settings) {
        match (well.restart, well.cut_out_level_m()) {
            (Some(_), None) => self.need(
                false,
                "pump_setting",
                FaultKind::MissingKey,
                "this key is missing".into(),
                "needed with a restart: the depth at which the pump is stopped",
                "add pump_setting or cut_out",
            ),
            (Some(_), Some(_)) if well.bore.is_none() => self.need(
                false,
                "bore",
                FaultKind::MissingKey,
                "this key is missing".into(),
                "needed with a restart: without the water stored in the bore the time between stops is not known",
                "add bore, or leave out the restart: the flow is then held at what the well sustains",
            ),
            (Some(Restart::Delay(hours)), _) => self.need(
                hours.is_finite() && hours >= 1.0 / 60.0,
                "restart_delay",
                FaultKind::OutOfRange,
                format!("restart delay {hours} h"),
                "a minute or more",
                "correct the value",
            ),
            (Some(Restart::Level(level)), Some(cut_out)) => {
                let shallow = well.static_level_m.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                self.need(
                    level < cut_out && level > shallow,
                    "restart_level",
                    FaultKind::Contradiction,
                    format!("restart at {level} m, cut-out at {cut_out} m, water at {shallow} m"),
                    "a restart above the cut-out and below the static level of every month",
                    "correct the levels",
                );
            }
            (None, _) => {}
        }
    }
}
