//! A scheme split into the settings of each stage.
//!
//! A stage is a function of its settings and of the columns upstream. Two plans are compared stage by stage to learn
//! what a change touches; nothing else decides what must be computed again. Its serialised form holds all that two plans
//! are compared by, so that equal texts are equal plans, however the scheme was written.

mod check;

use crate::{array, delivery, draw, frost, sun, supply, tank};

/// The settings of every stage, in the water's order.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Plan {
    /// Sun.
    pub sun: sun::Settings,
    /// Panels.
    pub array: array::Settings,
    /// Pump, well and pipe.
    pub supply: supply::Settings,
    /// Herd.
    pub draw: draw::Settings,
    /// Frost; `None` where the scheme says nothing about it.
    pub frost: Option<frost::Settings>,
    /// From the tank to the hydrants; `None` where all stock drinks at the tank.
    pub delivery: Option<delivery::Settings>,
    /// Tank.
    pub tank: tank::Settings,
}
