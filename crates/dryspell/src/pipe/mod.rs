//! Pipes: head lost to friction, fittings and the discharge.

mod advice;
mod darcy;
mod friction_factor;
mod hazen_williams;
mod line;
mod minor;
mod water;
mod weep;

pub(crate) use advice::VELOCITY_M_PER_S;
pub use advice::{Advice, PRESSURE_SHARE, advice};
pub use darcy::RunLaw;
pub use friction_factor::FrictionFactor;
pub use hazen_williams::hazen_williams_m;
pub use line::{Line, Losses, Split};
pub use minor::{FITTINGS, MATERIALS, fittings_loss_m};
pub use minor::{HAZEN_WILLIAMS_C, SHUT_BY_HAND};
pub use water::{water_density_kg_per_m3, water_viscosity_m2_per_s};
pub use weep::{WeepHole, drain_down_h, drained_share, orifice_m3_per_h};

/// One run of pipe of one bore.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
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
    /// Hazen-Williams coefficient, where that law is asked for; `None` is [`DEFAULT_HAZEN_WILLIAMS_C`].
    pub hazen_williams_c: Option<f64>,
    /// Pressure class, m of water; `None` when not stated.
    pub pressure_class_m: Option<f64>,
    /// Whether a hand valve in it can shut the line.
    pub can_be_shut: bool,
    /// Whether it empties through the weep hole when the pump stands.
    pub drains_back: bool,
}

/// Coefficient of Hazen and Williams for a run that has none of its own: that of printed tables of polyethylene pipe.
pub const DEFAULT_HAZEN_WILLIAMS_C: f64 = 140.0;

/// Law of friction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub enum FrictionLaw {
    /// Darcy and Weisbach with a continuous transition.
    #[default]
    DarcyWeisbach,
    /// Hazen and Williams, as printed tables have it.
    HazenWilliams,
}

impl Run {
    /// Water that fills the run, m³.
    #[must_use]
    pub fn volume_m3(&self) -> f64 {
        std::f64::consts::PI * self.bore_m * self.bore_m / 4.0 * self.length_m
    }
}

impl Settings {
    /// Height above the wellhead to which the pump must lift, m: the inlet's, or the wellhead's own where the tank lies lower.
    ///
    /// # Equation
    /// `max(z_i, 0)`.
    ///
    /// # Validity
    /// Conservative: the water runs down from the wellhead by itself. A line that runs full might draw like a siphon, but
    /// never more than the air's weight, not once air has entered, and not before it is full; so nothing is counted for it,
    /// and the friction of the whole line is the pump's.
    ///
    /// # Example
    /// ```
    /// use dryspell::pipe::Settings;
    /// assert_eq!(Settings { inlet_height_m: 6.0, ..Settings::default() }.rise_m(), 6.0);
    /// assert_eq!(Settings { inlet_height_m: -12.0, ..Settings::default() }.rise_m(), 0.0);
    /// ```
    ///
    /// # References
    /// Own choice; the limit of a siphon is the pressure of the air.
    #[must_use]
    pub fn rise_m(&self) -> f64 {
        self.inlet_height_m.max(0.0)
    }
}

/// Settings of the pipe line from pump to tank.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
pub struct Settings {
    /// Runs in series, in the water's order.
    pub runs: Vec<Run>,
    /// Height of the tank's inlet above the wellhead, m; negative when the tank lies lower.
    pub inlet_height_m: f64,
    /// Pressure kept at the discharge, m of water, ≥ 0.
    pub discharge_pressure_m: f64,
    /// Water temperature, °C, 0 to 40; it sets the viscosity.
    pub water_degc: f64,
    /// Law of friction.
    pub friction: FrictionLaw,
    /// A hole that lets the pipe above it drain; `None` where there is none.
    pub weep_hole: Option<WeepHole>,
}
