//! The whole pipe line: runs in series and the discharge.

use super::{RunLaw, Settings, fittings_loss_m, water_viscosity_m2_per_s};
use crate::fault::{Fault, FaultKind};

/// The pipe line from pump to tank, made ready.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Q | flow | m³/h | ≥ 0 |
/// | h | head lost | m | |
///
/// # Equation
/// Sum over the runs of friction and fittings ([`RunLaw`]), plus the discharge: the pressure kept there and one
/// velocity head `V²/(2 g)` of the last run, because the water's speed is lost when the pipe ends in the tank
/// (an exit loss with K = 1).
///
/// # Validity
/// Runs in series carry the same flow: no branches, no leak.
///
/// # Example
/// ```
/// use dryspell::pipe::{Line, Run, Settings};
/// let run = Run { name: "drop".into(), length_m: 0.0, bore_m: 0.026, roughness_m: 1.5e-6, fittings_k: 0.0 };
/// let line = Line::new(&Settings {
///     runs: vec![run],
///     inlet_height_m: 3.0,
///     discharge_pressure_m: 1.0,
///     water_degc: 15.0,
/// })
/// .map_err(|faults| faults[0].to_string())?;
/// // 0.942 m/s leave: 1 m of pressure and 0.942²/19.61 = 0.045 m of speed.
/// assert!((line.losses(1.8).discharge_m - 1.0452).abs() < 1e-4);
/// # Ok::<(), String>(())
/// ```
///
/// # References
/// L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), table 3.3 (exit, K = 1).
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    runs: Vec<RunLaw>,
    discharge_pressure_m: f64,
}

/// Head lost in a pipe line at one flow.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Losses {
    /// Friction in all runs, m.
    pub friction_m: f64,
    /// Fittings of all runs, m.
    pub fittings_m: f64,
    /// Pressure kept at the discharge and the velocity head lost there, m.
    pub discharge_m: f64,
}

impl Line {
    /// Makes a line ready.
    ///
    /// # Errors
    /// Every value out of its range.
    pub fn new(settings: &Settings) -> Result<Self, Vec<Fault>> {
        let faults = check(settings);
        if !faults.is_empty() {
            return Err(faults);
        }
        let viscosity = water_viscosity_m2_per_s(settings.water_degc);
        Ok(Self {
            runs: settings.runs.iter().map(|run| RunLaw::new(run, viscosity)).collect(),
            discharge_pressure_m: settings.discharge_pressure_m,
        })
    }

    /// The runs, in the water's order.
    #[must_use]
    pub fn runs(&self) -> &[RunLaw] {
        &self.runs
    }

    /// Head lost at a flow.
    #[must_use]
    pub fn losses(&self, flow_m3_per_h: f64) -> Losses {
        let mut losses = Losses { discharge_m: self.discharge_pressure_m, ..Losses::default() };
        for run in &self.runs {
            losses.friction_m += run.friction_m(flow_m3_per_h);
            losses.fittings_m += run.fittings_m(flow_m3_per_h);
        }
        if let Some(last) = self.runs.last() {
            losses.discharge_m += fittings_loss_m(1.0, last.velocity_m_per_s(flow_m3_per_h));
        }
        losses
    }
}

fn check(settings: &Settings) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut need = |ok: bool, key: String, found: String, accepted: &str, way_out: &str| {
        if !ok {
            faults.push(Fault::at_key(key, FaultKind::OutOfRange, found, accepted, way_out));
        }
    };
    for run in &settings.runs {
        let name = &run.name;
        need(
            run.length_m.is_finite() && run.length_m >= 0.0,
            format!("pipe.{name}.length"),
            format!("length {} m", run.length_m),
            "0 m or more",
            "correct the length, or leave the run out",
        );
        need(
            run.bore_m.is_finite() && run.bore_m > 0.0,
            format!("pipe.{name}.bore"),
            format!("inside diameter {} m", run.bore_m),
            "above 0 m",
            "give the pipe's inside diameter",
        );
        need(
            run.roughness_m >= 0.0 && (run.bore_m <= 0.0 || run.roughness_m <= 0.05 * run.bore_m),
            format!("pipe.{name}.roughness"),
            format!("wall roughness {} m in a bore of {} m", run.roughness_m, run.bore_m),
            "0 to 1/20 of the bore",
            "check the unit: new plastic pipe has about 0.0015 mm",
        );
        need(
            run.fittings_k.is_finite() && run.fittings_k >= 0.0,
            format!("pipe.{name}.fittings"),
            format!("sum of loss coefficients {}", run.fittings_k),
            "0 or more",
            "correct the fittings",
        );
    }
    need(
        settings.inlet_height_m.is_finite(),
        "pipe.inlet_height".into(),
        format!("inlet height {} m", settings.inlet_height_m),
        "a finite height, negative below the wellhead",
        "correct the height",
    );
    need(
        settings.discharge_pressure_m.is_finite() && settings.discharge_pressure_m >= 0.0,
        "pipe.discharge_pressure".into(),
        format!("discharge pressure {} m of water", settings.discharge_pressure_m),
        "0 m of water or more",
        "leave it out where the pipe ends freely",
    );
    need(
        (0.0..=40.0).contains(&settings.water_degc),
        "pipe.water_temperature".into(),
        format!("water temperature {} °C", settings.water_degc),
        "0 to 40 °C",
        "groundwater is near the year's mean air temperature",
    );
    faults
}

#[cfg(test)]
mod tests {
    use super::super::{Run, RunLaw};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn loss_is_zero_at_rest_odd_and_rises(
            bore_m in 0.008_f64..0.2,
            rough in 0.0_f64..0.05,
            k in 0.0_f64..50.0,
            flow in 1e-6_f64..50.0,
            more in 1.000_01_f64..2.0,
        ) {
            let run = Run {
                name: "run".into(), length_m: 100.0, bore_m, roughness_m: rough * bore_m, fittings_k: k,
            };
            let law = RunLaw::new(&run, 1.1e-6);
            let loss = |q: f64| law.friction_m(q) + law.fittings_m(q);
            prop_assert_eq!(loss(0.0).to_bits(), 0.0_f64.to_bits());
            prop_assert!(loss(flow * more) > loss(flow));
            prop_assert_eq!(loss(-flow).to_bits(), (-loss(flow)).to_bits());
        }
    }
}
