//! Friction by Darcy and Weisbach.

use super::hazen_williams::HAZEN_WILLIAMS_POWER;
use super::{FrictionFactor, Run, fittings_loss_m, hazen_williams_m};
use crate::pump::GRAVITY_M_PER_S2;
use std::f64::consts::PI;

/// A run of pipe made ready: head lost to friction and fittings by flow.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Q | flow | m³/h | any; the loss is odd in it |
/// | D | inside diameter | m | > 0 |
/// | L | length | m | ≥ 0 |
/// | V | mean velocity | m/s | |
/// | ν | kinematic viscosity | m²/s | > 0 |
/// | h | head lost to friction | m | |
///
/// # Equation
/// `h = f (L/D) V² / (2 g)`, `V = Q / (3600 π D²/4)`, `f` from [`FrictionFactor`] at `Re = V D / ν`
///
/// # Validity
/// Full round pipe, steady flow, water of one temperature. At zero flow the loss is zero.
///
/// # Example
/// ```
/// use dryspell::pipe::{Run, RunLaw, water_viscosity_m2_per_s};
/// let drop = Run { name: "drop".into(), length_m: 100.0, bore_m: 0.026, roughness_m: 1.5e-6, ..Run::default() };
/// let law = RunLaw::new(&drop, water_viscosity_m2_per_s(15.0));
/// // Half a litre a second in 32 mm polyethylene pipe.
/// assert!((law.friction_m(1.8) - 4.445).abs() < 0.002);
/// ```
///
/// # References
/// - H. Darcy, *Recherches expérimentales relatives au mouvement de l'eau dans les tuyaux* (1857); J. Weisbach,
///   *Lehrbuch der Ingenieur- und Maschinen-Mechanik* (1845).
/// - L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), table 3.1.
#[derive(Debug, Clone, PartialEq)]
pub struct RunLaw {
    factor: FrictionFactor,
    velocity_per_flow: f64,
    reynolds_per_velocity: f64,
    loss_per_velocity2: f64,
    fittings_k: f64,
    /// Head lost at 1 m³/h by Hazen and Williams, where that law was asked for.
    hazen_williams_m: Option<f64>,
}

impl RunLaw {
    /// Makes a run ready for water of a kinematic viscosity.
    #[must_use]
    pub fn new(run: &Run, viscosity_m2_per_s: f64) -> Self {
        let d = run.bore_m;
        Self {
            factor: FrictionFactor::new(run.roughness_m / d),
            velocity_per_flow: 1.0 / (3600.0 * PI * d * d / 4.0),
            reynolds_per_velocity: d / viscosity_m2_per_s,
            loss_per_velocity2: run.length_m / d / (2.0 * GRAVITY_M_PER_S2),
            fittings_k: run.fittings_k,
            hazen_williams_m: None,
        }
    }

    /// The same with friction by Hazen and Williams; see [`hazen_williams_m`] for its validity.
    #[must_use]
    pub fn by_hazen_williams(run: &Run, viscosity_m2_per_s: f64, coefficient: f64) -> Self {
        let at_one = hazen_williams_m(1.0 / 3600.0, coefficient, run.bore_m, run.length_m);
        Self { hazen_williams_m: Some(at_one), ..Self::new(run, viscosity_m2_per_s) }
    }

    /// Mean velocity, m/s.
    #[must_use]
    pub fn velocity_m_per_s(&self, flow_m3_per_h: f64) -> f64 {
        flow_m3_per_h * self.velocity_per_flow
    }

    /// Reynolds number.
    #[must_use]
    pub fn reynolds(&self, flow_m3_per_h: f64) -> f64 {
        self.velocity_m_per_s(flow_m3_per_h).abs() * self.reynolds_per_velocity
    }

    /// Head lost to friction, m.
    #[must_use]
    pub fn friction_m(&self, flow_m3_per_h: f64) -> f64 {
        if let Some(at_one) = self.hazen_williams_m {
            return (at_one * libm::pow(flow_m3_per_h.abs(), HAZEN_WILLIAMS_POWER)).copysign(flow_m3_per_h);
        }
        let v = self.velocity_m_per_s(flow_m3_per_h);
        let reynolds = v.abs() * self.reynolds_per_velocity;
        if reynolds > 0.0 { self.factor.at(reynolds) * self.loss_per_velocity2 * v * v.abs() } else { 0.0 }
    }

    /// Head lost in the fittings, m.
    #[must_use]
    pub fn fittings_m(&self, flow_m3_per_h: f64) -> f64 {
        fittings_loss_m(self.fittings_k, self.velocity_m_per_s(flow_m3_per_h))
    }
}
