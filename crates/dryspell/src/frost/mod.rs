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
pub use buried::{Ground, buried_days, from_summer};
pub use drain::{Drains, SAFE_DRAIN_H, UNSAFE_STANDING_H, drains};
pub use exposed::{StandingWater, stand, standing_hours};
pub use ice::{
    ICE_FILM_W_PER_M2_K, ICE_KG_PER_M3, ICE_W_PER_M_K, OpenWater, UNBROKEN_ICE_M, Water, ice_hours, ice_m,
};
pub use index::{Fall, Winter, daily_means, freezing_index, winters};
pub use kersten::{Grain, kersten_w_per_m_k};
pub use part::{Columns, Drain, Kind, Part, Settings, Way, check, columns};
pub use pipe_cooling::BarePipe;
pub use report::{
    Basis, BuriedReport, CAUTIONS, Event, ExposedReport, FrostReport, GroundFrost, OpenReport, PartReport,
    Verdict, ground_frost, report,
};
pub use soil::{SOIL_FUSION_J_PER_KG, SOIL_NAMES, SOILS, Soil};
pub use stefan::stefan_depth_m;
pub use surface::{SURFACE_NAMES, SURFACES};

#[cfg(test)]
mod tests;
