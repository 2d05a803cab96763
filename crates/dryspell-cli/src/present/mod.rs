//! Results as text: one file an output.

pub(crate) mod chart;
pub(crate) mod compare;
pub(crate) mod context;
pub(crate) mod csv;
pub(crate) mod curve;
pub(crate) mod delivery;
pub(crate) mod frost;
pub(crate) mod herd;
pub(crate) mod json;
pub(crate) mod layout;
#[cfg(feature = "charts")]
pub(crate) mod map;
pub(crate) mod odds;
pub(crate) mod page;
#[cfg(feature = "parquet")]
pub(crate) mod parquet;
mod pump;
pub(crate) mod scheme_lines;
pub(crate) mod size;
pub(crate) mod taken;
pub(crate) mod terminal;
pub(crate) mod weather;
pub(crate) mod worked;
