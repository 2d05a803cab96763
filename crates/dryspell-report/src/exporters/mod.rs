//! The outputs of a run: one file each, listed here.
//!
//! Weather files, sizes, odds, comparisons, sweeps and single hours are no runs: their pages are functions.

mod csv;
#[cfg(feature = "setting")]
mod html;
mod json;
#[cfg(feature = "pdf")]
mod pdf;
mod terminal;

use crate::exporter::Exporter;

/// Every output.
pub const EXPORTERS: &[&dyn Exporter] = &[
    &terminal::Terminal,
    &csv::Hourly,
    &csv::Daily,
    &json::Json,
    #[cfg(feature = "setting")]
    &html::Html,
    #[cfg(feature = "pdf")]
    &pdf::Pdf,
];

/// The output of this name.
#[must_use]
pub fn exporter(name: &str) -> Option<&'static dyn Exporter> {
    EXPORTERS.iter().copied().find(|exporter| exporter.name() == name)
}
