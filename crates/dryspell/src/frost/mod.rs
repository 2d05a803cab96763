//! Frost: what it reaches, what it stops, and for how long.
//!
//! Each law is a file; [`columns`] says in which hours a part is frozen, [`report()`] puts what it has into a form that a
//! contractor can use. Both look at the weather and at the settings alone: water that flows and brings warmth is not
//! counted on, which is conservative.

mod berggren;
mod buried;
mod drain;
mod exposed;
mod ice;
mod index;
mod kersten;
mod part;
mod pipe_cooling;
mod report;
mod soil;
mod stefan;
mod surface;

pub use berggren::{FrostDepth, frost_depth, lambda};
pub use buried::{Ground, buried_days};
pub use drain::{Drains, drains};
pub use exposed::{StandingWater, stand};
pub use ice::{OpenWater, UNBROKEN_ICE_M, Water, ice_hours, ice_m};
pub use index::{Fall, Winter, daily_means, freezing_index, winters};
pub use kersten::{Grain, kersten_w_per_m_k};
pub use part::{Columns, Drain, Kind, Part, Settings, Way, check, columns};
pub use pipe_cooling::BarePipe;
pub(crate) use report::ground_frost;
pub use report::{
    Basis, BuriedReport, CAUTIONS, Event, ExposedReport, FrostReport, GroundFrost, OpenReport, PartReport,
    Verdict, report,
};
pub use soil::{SOIL_NAMES, SOILS, Soil};
pub use stefan::stefan_depth_m;
pub use surface::{SURFACE_NAMES, SURFACES};

#[cfg(test)]
mod tests;
