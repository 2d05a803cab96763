//! Pipes: head lost to friction, fittings and the discharge.

mod darcy;
mod friction_factor;
mod hazen_williams;
mod line;
mod minor;
mod water;

pub use darcy::RunLaw;
pub use friction_factor::{FrictionFactor, LAMINAR_BELOW, TURBULENT_ABOVE};
pub use hazen_williams::hazen_williams_m;
pub use line::{Line, Losses};
pub use minor::{FITTINGS, MATERIALS, fittings_loss_m};
pub use water::{water_density_kg_per_m3, water_viscosity_m2_per_s};

/// One run of pipe of one bore.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Name in the scheme, such as `drop`.
    pub name: String,
    /// Length, m, ≥ 0.
    pub length_m: f64,
    /// Inside diameter, m, > 0.
    pub bore_m: f64,
    /// Wall roughness, m, ≥ 0.
    pub roughness_m: f64,
    /// Sum of the loss coefficients of the fittings, ≥ 0.
    pub fittings_k: f64,
}

impl Run {
    /// Water that fills the run, m³.
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        std::f64::consts::PI * self.bore_m * self.bore_m / 4.0 * self.length_m
    }
}

/// Settings of the pipe line from pump to tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Runs in series, in the water's order.
    pub runs: Vec<Run>,
    /// Height of the tank's inlet above the wellhead, m; negative when the tank lies lower.
    pub inlet_height_m: f64,
    /// Pressure kept at the discharge, m of water, ≥ 0.
    pub discharge_pressure_m: f64,
    /// Water temperature, °C, 0 to 40; it sets the viscosity.
    pub water_degc: f64,
}
