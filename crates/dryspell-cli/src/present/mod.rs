//! Results as text: one file an output.

pub(crate) mod chart;
pub(crate) mod csv;
pub(crate) mod json;
mod pump;
pub(crate) mod terminal;
