//! The whole pipe line: runs in series and the discharge.

use super::{
    DEFAULT_HAZEN_WILLIAMS_C, FrictionLaw, Run, RunLaw, Settings, WeepHole, drain_down_h, fittings_loss_m,
    water_viscosity_m2_per_s,
};
use crate::fault::{Fault, FaultKind, Faults};
use crate::root::falling_root;

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
/// let run = Run { name: "drop".into(), length_m: 0.0, bore_m: 0.026, roughness_m: 1.5e-6, ..Run::default() };
/// let line = Line::new(&Settings {
///     runs: vec![run],
///     inlet_height_m: 3.0,
///     discharge_pressure_m: 1.0,
///     water_degc: 15.0,
///     ..Settings::default()
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
    weep: Option<Weep>,
}

/// The weep hole, and its run cut in two there.
#[derive(Debug, Clone, PartialEq)]
struct Weep {
    hole: WeepHole,
    below: RunLaw,
    above: RunLaw,
    /// From the hole to the tank's inlet, m.
    rise_m: f64,
    /// Water that drains through the hole when the pump stands, m³.
    drains_m3: f64,
}

/// Where the lifted water goes at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Split {
    /// To the tank, m³/h.
    pub delivered_m3_per_h: f64,
    /// Through the weep hole, m³/h.
    pub weep_m3_per_h: f64,
    /// Pressure head at the weep hole, inside less outside, m.
    pub weep_head_m: f64,
}

/// On the straight line through two points, `beyond` the second by this share of their distance; all that is lifted goes somewhere.
fn extrapolated(
    one: &(Losses, Split),
    two: &(Losses, Split),
    beyond: f64,
    lifted_m3_per_h: f64,
) -> (Losses, Split) {
    let on = |of: fn(&(Losses, Split)) -> f64| of(two) + beyond * (of(two) - of(one));
    let delivered_m3_per_h = on(|p| p.1.delivered_m3_per_h);
    let losses = Losses {
        friction_m: on(|p| p.0.friction_m),
        fittings_m: on(|p| p.0.fittings_m),
        discharge_m: on(|p| p.0.discharge_m),
    };
    let weep_m3_per_h = lifted_m3_per_h - delivered_m3_per_h;
    (losses, Split { delivered_m3_per_h, weep_m3_per_h, weep_head_m: on(|p| p.1.weep_head_m) })
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

impl Losses {
    /// The sum, m.
    #[must_use]
    pub fn total_m(&self) -> f64 {
        self.friction_m + self.fittings_m + self.discharge_m
    }
}

impl Line {
    /// Makes a line ready.
    ///
    /// # Errors
    /// Every value out of its range.
    pub fn new(settings: &Settings) -> Result<Self, Faults> {
        let faults = check(settings);
        if !faults.is_empty() {
            return Err(faults.into());
        }
        let viscosity = water_viscosity_m2_per_s(settings.water_degc);
        let law = |run: &Run| match settings.friction {
            FrictionLaw::DarcyWeisbach => RunLaw::new(run, viscosity),
            FrictionLaw::HazenWilliams => {
                let c = run.hazen_williams_c.unwrap_or(DEFAULT_HAZEN_WILLIAMS_C);
                RunLaw::by_hazen_williams(run, viscosity, c)
            }
        };
        let weep = settings.weep_hole.as_ref().and_then(|hole| {
            let run = settings.runs.get(hole.run)?;
            let above = Run { length_m: hole.depth_m, fittings_k: 0.0, ..run.clone() };
            let below = Run { length_m: run.length_m - hole.depth_m, ..run.clone() };
            let later = settings.runs.iter().skip(hole.run + 1).filter(|r| r.drains_back);
            Some(Weep {
                drains_m3: above.volume_m3() + later.map(Run::volume_m3).sum::<f64>(),
                below: law(&below),
                above: law(&above),
                rise_m: hole.depth_m + settings.rise_m(),
                hole: hole.clone(),
            })
        });
        Ok(Self {
            runs: settings.runs.iter().map(law).collect(),
            discharge_pressure_m: settings.discharge_pressure_m,
            weep,
        })
    }

    /// Whether it has a weep hole.
    #[must_use]
    pub const fn has_weep_hole(&self) -> bool {
        self.weep.is_some()
    }

    /// Water that drains through the weep hole when the pump stands, m³.
    #[must_use]
    pub fn drains_m3(&self) -> f64 {
        self.weep.as_ref().map_or(0.0, |w| w.drains_m3)
    }

    /// Time in which it drains, h.
    #[must_use]
    pub fn drain_down_h(&self) -> f64 {
        self.weep.as_ref().map_or(0.0, |w| {
            let height = w.rise_m.max(w.hole.depth_m);
            if height <= 0.0 {
                return 0.0;
            }
            drain_down_h(w.drains_m3 / height, height, w.hole.discharge_coefficient, w.hole.area_m2())
        })
    }

    /// Where a lifted flow goes, and the head lost on the way, with the water outside the pipe standing `level_m` below
    /// the wellhead.
    ///
    /// # Equation
    /// The delivered flow q solves `q + Q_weep(h(q)) = Q`, with `h(q)` the head from the hole to the tank at q less the
    /// water standing over the hole outside. Both terms rise with q: there is one such flow. While the hole can take
    /// all that is lifted, nothing is delivered, and the head is still counted to the tank's inlet (conservative).
    #[must_use]
    pub fn losses_with_weep(&self, lifted_m3_per_h: f64, level_m: f64) -> (Losses, Split) {
        let Some(weep) = &self.weep else {
            let split = Split { delivered_m3_per_h: lifted_m3_per_h, ..Split::default() };
            return (self.losses(lifted_m3_per_h), split);
        };
        let outside_m = (weep.hole.depth_m - level_m).max(0.0);
        let (mut losses, split) = self.at_weep(weep, lifted_m3_per_h, outside_m);
        for run in &self.runs[..weep.hole.run] {
            losses.friction_m += run.friction_m(lifted_m3_per_h);
            losses.fittings_m += run.fittings_m(lifted_m3_per_h);
        }
        losses.friction_m += weep.below.friction_m(lifted_m3_per_h);
        losses.fittings_m += weep.below.fittings_m(lifted_m3_per_h);
        (losses, split)
    }

    /// What goes on above the weep hole and what it takes of a lifted flow; losses above it, with water standing `outside_m` over it.
    fn at_weep(&self, weep: &Weep, lifted_m3_per_h: f64, outside_m: f64) -> (Losses, Split) {
        // Losses above the hole, and what flows on and through it together, at a delivered flow.
        let at = |q: f64| {
            let mut above = self.sum(weep.hole.run + 1, q);
            above.friction_m += weep.above.friction_m(q);
            let weep_head_m = (weep.rise_m + above.total_m() - outside_m).max(0.0);
            let weep_m3_per_h = weep.hole.flow_m3_per_h(weep_head_m);
            (above, Split { delivered_m3_per_h: q, weep_m3_per_h, weep_head_m })
        };
        let excess = |split: &Split| split.delivered_m3_per_h + split.weep_m3_per_h - lifted_m3_per_h;
        // First what the hole takes at no friction; then with its slope guessed, friction being near the power 1.8 of the flow.
        let still_m = weep.rise_m + self.discharge_pressure_m - outside_m;
        let q = lifted_m3_per_h - weep.hole.flow_m3_per_h(still_m);
        if q > 0.0 {
            let mut before = at(q);
            let (losses, split) = &before;
            let slope = if split.weep_head_m > 0.0 {
                let rise = 1.8 * losses.friction_m + 2.0 * losses.fittings_m;
                0.5 * split.weep_m3_per_h / split.weep_head_m * rise / q
            } else {
                0.0
            };
            let mut q = q - excess(split) / (1.0 + slope);
            for _ in 0..6 {
                if q <= 0.0 {
                    break;
                }
                let now = at(q);
                let (was, is) = (excess(&before.1), excess(&now.1));
                // So near, all is straight to 10⁻⁸ and better.
                if is.abs() <= 1e-5 * lifted_m3_per_h {
                    let beyond = if (was - is).abs() > 0.0 { is / (was - is) } else { 0.0 };
                    return extrapolated(&before, &now, beyond, lifted_m3_per_h);
                }
                q += is / (was - is) * (q - before.1.delivered_m3_per_h);
                before = now;
            }
        }
        let none = at(0.0);
        if none.1.weep_m3_per_h >= lifted_m3_per_h {
            return (none.0, Split { weep_m3_per_h: lifted_m3_per_h.max(0.0), ..none.1 });
        }
        let tolerance = 1e-12 * lifted_m3_per_h;
        at(falling_root(|q| -excess(&at(q).1), 0.0, lifted_m3_per_h, tolerance))
    }

    /// The runs, in the water's order.
    #[must_use]
    pub fn runs(&self) -> &[RunLaw] {
        &self.runs
    }

    /// Head lost at a flow.
    #[must_use]
    pub fn losses(&self, flow_m3_per_h: f64) -> Losses {
        self.sum(0, flow_m3_per_h)
    }

    /// Flow that uses up a head, m³/h; none at a head of 0 or below.
    #[must_use]
    pub fn flow_m3_per_h(&self, head_m: f64) -> f64 {
        if head_m.is_nan() || head_m <= 0.0 {
            return 0.0;
        }
        let left = |q: f64| head_m - self.losses(q).total_m();
        let mut high = 1.0;
        // A pipe without any loss would flow without end; the check of settings leaves none, and this bound holds.
        while left(high) > 0.0 && high < 1e6 {
            high *= 2.0;
        }
        falling_root(left, 0.0, high, 1e-10 * head_m)
    }

    /// Head lost from a run on, the discharge included.
    fn sum(&self, from: usize, flow_m3_per_h: f64) -> Losses {
        let mut losses = Losses { discharge_m: self.discharge_pressure_m, ..Losses::default() };
        for run in self.runs.get(from..).unwrap_or_default() {
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
    if let Some(hole) = &settings.weep_hole {
        let run = settings.runs.get(hole.run);
        let name = run.map_or("drop", |r| r.name.as_str());
        let length = run.map_or(0.0, |r| r.length_m);
        need(
            (0.0..=length).contains(&hole.depth_m),
            format!("pipe.{name}.weep_hole_depth"),
            format!("weep hole {} m below the wellhead in a run of {length} m", hole.depth_m),
            "a depth from 0 m to the run's length",
            "put the hole into the run that ends at the wellhead",
        );
        need(
            run.is_some_and(|r| hole.diameter_m > 0.0 && hole.diameter_m < 0.5 * r.bore_m),
            format!("pipe.{name}.weep_hole"),
            format!("weep hole of {} m", hole.diameter_m),
            "a diameter above 0 and below half the bore",
            "a common size is 1/16 in",
        );
        need(
            hole.discharge_coefficient > 0.0 && hole.discharge_coefficient <= 1.0,
            format!("pipe.{name}.weep_hole_coefficient"),
            format!("discharge coefficient {}", hole.discharge_coefficient),
            "above 0, at most 1",
            "leave it out",
        );
    }
    for run in &settings.runs {
        if let Some(c) = run.hazen_williams_c {
            need(
                c.is_finite() && c > 0.0,
                format!("pipe.{}.hazen_williams_c", run.name),
                format!("coefficient {c}"),
                "above 0",
                "new plastic pipe has 140 to 150",
            );
        }
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
        "leave it out for free discharge",
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
                name: "run".into(),
                length_m: 100.0,
                bore_m,
                roughness_m: rough * bore_m,
                fittings_k: k,
                ..Run::default()
            };
            let law = RunLaw::new(&run, 1.1e-6);
            let loss = |q: f64| law.friction_m(q) + law.fittings_m(q);
            prop_assert_eq!(loss(0.0).to_bits(), 0.0_f64.to_bits());
            prop_assert!(loss(flow * more) > loss(flow));
            prop_assert_eq!(loss(-flow).to_bits(), (-loss(flow)).to_bits());
        }
    }
}
