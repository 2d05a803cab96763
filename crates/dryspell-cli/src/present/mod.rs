//! Results as text: one file an output.

pub(crate) mod chart;
pub(crate) mod csv;
pub(crate) mod curve;
pub(crate) mod json;
pub(crate) mod layout;
mod pump;
mod scheme_lines;
mod taken;
pub(crate) mod terminal;
pub(crate) mod weather;
pub(crate) mod worked;
